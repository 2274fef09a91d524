package web

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"wormyard/journal"
)

// withoutSignal gives a phone that has kept some pages of a farm and has lost its signal.
func withoutSignal(t *testing.T, s *Server, kept ...string) *phone {
	t.Helper()
	s.NewID = func(time.Time) string { return uuid.Must(uuid.NewV7()).String() }
	s.Patience = longest
	p := newPhone(t, newSignal(t, s))
	p.open("/more")
	p.until("navigator.serviceWorker.controller")
	p.ready(kept...)
	p.online(false)
	return p
}

// An order is read and delivered at the tailgate without signal. Bags that went to
// somebody else meanwhile bring the delivery back with its reason and all that was typed;
// mended it is in the journal once. What is known by then is not written twice.
func TestDeliveryWithoutSignal(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, a := labServer(t)
	write := func(kind string, hours int, body any) journal.Entry {
		t.Helper()
		ack, err := a.Record(t.Context(), journal.Entry{Kind: kind, At: sampleNow.AddDate(0, 0, -15).Add(time.Duration(hours) * time.Hour), Who: "owner", Body: body}, true)
		if err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
		return ack.Entry
	}
	n := func(v int) *int { return &v }
	write("setting", 0, &journal.Setting{Key: "money", Value: []byte(`{"currency":"USD","products":[{"name":"bag","as":"bag","volume_m3":0.01,"price":12}]}`)})
	write("bag", 1, &journal.Bag{Lot: "26-01", SizeM3: 0.01, Number: 5})
	o := write("order", 2, &journal.Order{Customer: "garden shop", What: "bag", Number: n(4)})
	to := orderTo(o.ID)
	p := withoutSignal(t, s, "/orders", to, to+"/deliver")
	p.open("/orders")
	p.until("document.documentElement.dataset.kept&&document.querySelector('main').innerText.includes('garden shop: 4 × bag')")
	p.open(to)
	p.until("document.querySelector('main').innerText.includes('Still to come')")
	p.open(to + "/deliver")
	p.until("document.documentElement.dataset.kept&&customElements.get('outbox-bar')&&document.querySelector('form[data-kind=delivery]')")
	if err := p.eval("(()=>{const f=document.querySelector('form.form');f.querySelector('button[value=\"+load_1\"]').click();return f.querySelectorAll('.setrow').length})()"); err != "2" {
		t.Errorf("a row more without signal gives %s rows", err)
	}
	p.eval("(()=>{const f=document.querySelector('form.form');f.querySelector('button[value=\"-load_1.1\"]').click();f.querySelector('[name=\"load_1.0.lot\"]').value='26-01';f.note.value='at the gate';f.requestSubmit();return 1})()")
	p.count("waiting", 1)
	p.until(fmt.Sprintf("location.pathname===%q", to))
	write("sell", 3, &journal.Sell{Lot: "26-01", Customer: "somebody else", Bags: n(3)})
	p.online(true)
	p.count("refused", 1)
	p.open("/outbox")
	p.until("document.querySelectorAll('.waitrow[data-state=refused]').length===1")
	if said := p.eval("document.querySelector('.waitrow').innerText.replace(/\\s+/g,' ')"); !strings.Contains(said, "Deliver to garden shop") || !strings.Contains(said, "4 bags of 0.353 ft³ are sold of lot 26-01, and 2 of it are filled and not sold") {
		t.Errorf("what came back says %s", said)
	}
	p.picture("delivery-back")
	p.tap(".waitrow a.b")
	p.until("document.querySelector('.wrong')?.innerText.includes('and 2 of it')&&document.querySelector('form.form').note.value==='at the gate'&&document.querySelector('.bad [name=\"load_1.0.amount\"]')?.value==='4'")
	p.eval("(()=>{const f=document.querySelector('form.form');f.querySelector('[name=\"load_1.0.amount\"]').value='2';f.requestSubmit();return 1})()")
	p.until("document.querySelector('.doubt button[name=yes],.said')")
	if p.eval("document.querySelector('.doubt')?1:0") == "1" {
		p.tap(".doubt button[name=yes]")
	}
	p.count("refused", 0)
	p.until("document.querySelector('.said')")
	if l, _ := a.State().Lot("26-01"); len(l.Sales) != 2 || l.Sales[1].Bags+l.Sales[0].Bags != 5 {
		t.Errorf("the lot was sold as %+v", l.Sales)
	}
}

// An order comes by telephone where there is no signal: it waits with its two products.
// What is no amount comes back on its box, with all that was typed; mended it is in the
// order book once.
func TestOrderWithoutSignal(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, a := labServer(t)
	ack, err := a.Record(t.Context(), journal.Entry{Kind: "setting", At: sampleNow.AddDate(0, 0, -15), Who: "owner", Body: &journal.Setting{Key: "money", Value: []byte(`{"currency":"USD","products":[{"name":"bag","as":"bag","volume_m3":0.01,"price":12},{"name":"loose","as":"loose","volume_m3":1,"price":90}]}`)}}, true)
	if err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	p := withoutSignal(t, s, "/orders", "/orders/new")
	p.open("/orders/new")
	p.until("document.documentElement.dataset.kept&&customElements.get('outbox-bar')&&document.querySelector('form[data-kind=ordering]')")
	p.eval("(()=>{const f=document.querySelector('form.form');f.customer.value='garden shop';f.querySelector('[name=\"lines.0.what\"]').value='bag';f.querySelector('[name=\"lines.0.amount\"]').value='some';f.querySelector('button[value=\"+lines\"]').click();f.querySelector('button[value=\"+lines\"]').click();f.querySelector('button[value=\"-lines.1\"]').click();f.querySelector('[name=\"lines.2.what\"]').value='loose';f.querySelector('[name=\"lines.2.amount\"]').value='much';f.querySelector('[name=\"lines.2.price\"]').value='80';f.requestSubmit();return 1})()")
	p.count("waiting", 1)
	p.until("location.pathname==='/orders'")
	if n := len(a.State().OrderBook()); n != 0 {
		t.Fatalf("%d orders are in the book without signal", n)
	}
	p.online(true)
	p.count("refused", 1)
	p.open("/outbox")
	p.until("document.querySelectorAll('.waitrow[data-state=refused]').length===1")
	if said := p.eval("document.querySelector('.waitrow').innerText.replace(/\\s+/g,' ')"); !strings.Contains(said, "garden shop") || !strings.Contains(said, "no amount of bag") {
		t.Errorf("what came back says %s", said)
	}
	p.tap(".waitrow a.b")
	p.until("document.querySelector('.bad [name=\"lines.0.amount\"]')?.value==='some'&&document.querySelector('.bad [name=\"lines.2.amount\"]')?.value==='much'&&document.querySelector('[name=\"lines.2.price\"]').value==='80'")
	p.picture("order-back")
	p.eval("(()=>{const f=document.querySelector('form.form');f.querySelector('[name=\"lines.0.amount\"]').value='4';f.querySelector('[name=\"lines.2.amount\"]').value='2 m3';f.requestSubmit();return 1})()")
	p.count("refused", 0)
	p.until("document.querySelector('.said')")
	book := a.State().OrderBook()
	if len(book) != 1 || book[0].Customer != "garden shop" || len(book[0].Lines) != 2 || book[0].Lines[0].Count != "pieces" || book[0].Lines[1].Count != "m3" {
		t.Errorf("the order book has %+v", book)
	}
}
