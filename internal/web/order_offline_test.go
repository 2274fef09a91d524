package web

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"wormyard/journal"
)

// An order is read and delivered at the tailgate without signal. Bags that went to
// somebody else meanwhile bring the delivery back with its reason and all that was typed;
// mended it is in the journal once. What is known by then is not written twice.
func TestDeliveryWithoutSignal(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, a := labServer(t)
	s.NewID = func(time.Time) string { return uuid.Must(uuid.NewV7()).String() }
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
	s.Patience = longest
	at := newSignal(t, s)
	p := newPhone(t, at)
	to := orderTo(o.ID)
	p.open("/more")
	p.until("navigator.serviceWorker.controller")
	for _, x := range []string{"/orders", to, to + "/deliver"} {
		p.ready(x)
	}
	p.online(false)
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
