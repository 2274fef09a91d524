package web

import (
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// TestOrderPages takes an order from the form to its delivery of a lot.
func TestOrderPages(t *testing.T) {
	s := withLot(t)
	id := func() string { return "id=" + s.NewID(s.Farm.Now()) }
	w := post(t, s, "/prices", "name_0=bag", "as_0=bag", "size_0=10 L", "price_0=x", "steps_0=10: 9, 5: 8", "name_1=worms", "as_1=worms", "price_1=30")
	if w.Code != 422 || len(all(doc(t, w), ".wrong li")) < 3 {
		t.Errorf("a price list with three slips gives %d and does not tell them all", w.Code)
	}
	w = post(t, s, "/prices", "name_0=bag", "as_0=bag", "size_0=10 L", "price_0=12", "steps_0=10: 9", "name_1=live worms", "as_1=worms", "size_1=1 lb", "price_1=30")
	if w.Code != 303 || len(s.Farm.State().Settings.Money.Products) != 2 {
		t.Fatalf("the price list gives %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	if w = post(t, s, "/enter/order", id(), "customer=garden shop", "what=bag", "number=3", "due=2026-05-01"); w.Code != 303 {
		t.Fatalf("the order gives %d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
	o := s.Farm.State().OrderBook()[0]
	if page := saidOn(t, s, "/orders"); !strings.Contains(page, "garden shop: 3 × bag") || !strings.Contains(page, "36.00") {
		t.Errorf("the order book does not say who wants what: %s", page)
	}
	to := "/order/" + o.Entry
	form := doc(t, get(t, s, to+"/deliver"))
	if amount := all(form, "input[name='load_1.0.amount']"); len(amount) != 1 || attr(amount[0], "value") != "3" || len(all(form, `select[name='load_1.0.lot'] option[value="L 1"]`)) != 1 {
		t.Errorf("the delivery does not offer three bags of lot L 1: %s", textOf(form, "main"))
	}
	w = post(t, s, to+"/deliver", id(), "do=save", "load_1.0.lot=L 1", "load_1.0.amount=4")
	if w.Code != 422 || !strings.Contains(w.Body.String(), "4 bags of 0.353 ft³ are sold of lot L 1, and 3 of it are filled and not sold") {
		t.Errorf("four bags of three are sold: %d", w.Code)
	}
	deliver(t, s, to, "load_1.0.lot=L 1", "load_1.0.amount=3", "price_1=36")
	if page := saidOn(t, s, to); !strings.Contains(page, "3 × bag, delivered") || !strings.Contains(page, "of lot L 1") {
		t.Errorf("the order does not say that it is delivered: %s", page)
	}
	if w = get(t, s, "/sale/"+url.PathEscape(s.Farm.State().OrderBook()[0].Lines[0].Sales[0].Entry)+"/note.pdf"); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF") {
		t.Errorf("the delivery note gives %d", w.Code)
	}
	if w = post(t, s, "/lot/L%201/complaint", id(), "customer=garden shop", "what=too wet"); w.Code != 303 {
		t.Fatalf("the complaint gives %d", w.Code)
	}
	for _, at := range []string{"/castings", "/lot/L%201", "/trace?of=L+1&way=forward"} {
		if page := saidOn(t, s, at); !strings.Contains(page, "Too wet") {
			t.Errorf("%s does not tell the complaint", at)
		}
	}
}

// TestWhatIfOnCosts moves the cost without keeping anything.
func TestWhatIfOnCosts(t *testing.T) {
	s := withLot(t)
	if w := post(t, s, "/farm/money", "currency=USD", "wage=20", "bag=0.50", "minutes_harvest=30"); w.Code != 303 {
		t.Fatalf("the prices give %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	entries := s.Farm.State().Entries
	is, if40 := saidOn(t, s, "/costs"), saidOn(t, s, "/costs?wage=40")
	if !strings.Contains(is, "Crew") || is == if40 || !strings.Contains(if40, "As it is, it costs") {
		t.Errorf("twice the wage changes nothing: %s", if40)
	}
	if page := saidOn(t, s, "/costs?wage=much"); !strings.Contains(page, `"much", which is no price`) {
		t.Errorf("a wage that is no number is not told: %s", page)
	}
	if s.Farm.State().Entries != entries || *s.Farm.State().Settings.Money.Wage != 20 {
		t.Error("what was tried is kept")
	}
	if s.Farm.State().Settings.Money.Minutes["harvest"] != 30 {
		t.Error("the minutes of a harvest are not kept")
	}
}

// Three products are typed as rows, one is added and one taken out again without a
// script; each has its price by its own quantity step, is delivered by itself, and one of
// them is cancelled: then the order is delivered.
func TestOrderOfSeveralProducts(t *testing.T) {
	s := withLot(t)
	id := func() string { return "id=" + s.NewID(s.Farm.Now()) }
	if w := post(t, s, "/prices", "name_0=bag", "as_0=bag", "size_0=10 L", "price_0=12", "steps_0=3: 9", "name_1=live worms", "as_1=worms", "size_1=1 lb", "price_1=30", "name_2=loose", "as_2=loose", "size_2=1 yd3", "price_2=100"); w.Code != 303 {
		t.Fatalf("the price list gives %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	typed := []string{"customer=garden shop", "due=2026-05-01", "lines.0.what=bag", "lines.0.amount=3", "lines.1.what=gravel", "lines.1.amount=9", "lines.1.price=4", "lines.2.what=Loose", "lines.2.amount=2"}
	w := post(t, s, "/orders/new", append([]string{id(), "rows=+lines"}, typed...)...)
	if n := len(all(doc(t, w), ".setrow")); w.Code != 200 || n != 4 {
		t.Errorf("another row gives %d and %d rows, want 4", w.Code, n)
	}
	w = post(t, s, "/orders/new", append([]string{id(), "rows=-lines.1"}, typed...)...)
	page := doc(t, w)
	if what := all(page, "input[name='lines.1.what']"); len(what) != 1 || attr(what[0], "value") != "Loose" || len(all(page, "input[name='lines.2.what']")) != 0 {
		t.Errorf("row 2 is not taken out: %s", textOf(page, "main"))
	}
	w = post(t, s, "/orders/new", id(), "lines.0.what=bag", "lines.0.amount=some", "lines.1.amount=5", "lines.2.what=loose", "lines.2.amount=2", "lines.2.price=much")
	wrong := doc(t, w)
	if said := textOf(wrong, ".wrong"); w.Code != 422 || len(all(wrong, ".wrong li")) != 4 || !strings.Contains(said, `"some" is no amount of bag`) {
		t.Errorf("four slips give %d: %s", w.Code, said)
	}
	if len(s.Farm.State().Orders()) != 0 {
		t.Fatal("an order with slips is kept")
	}
	order := []string{id(), "customer=garden shop", "due=2026-05-01", "ref=P-7", "lines.0.what=bag", "lines.0.amount=3", "lines.1.what=loose", "lines.1.amount=2", "lines.3.what=live worms", "lines.3.amount=5", "lines.3.day=2026-05-09", "lines.3.price=100"}
	if w = post(t, s, "/orders/new", order...); w.Code != 303 {
		t.Fatalf("the order gives %d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
	o := s.Farm.State().OrderBook()[0]
	if len(o.Lines) != 3 || o.Lines[0].Count != "pieces" || o.Lines[1].Count != "m3" || o.Lines[2].Count != "kg" || o.Lines[2].Due != "2026-05-09" || o.Lines[0].Due != "2026-05-01" {
		t.Fatalf("the order is read as %+v", o.Lines)
	}
	if list := saidOn(t, s, "/orders"); !strings.Contains(list, "garden shop: 3 × bag, 2 yd³ loose, 5 lb live worms") || !strings.Contains(list, "327.00") { // 3 at 9, 2 at 100, 100 agreed
		t.Errorf("the order book does not say what is wanted and its worth: %s", list)
	}
	to := "/order/" + o.Entry
	if one := saidOn(t, s, to); !strings.Contains(one, "1. 3 × bag") || !strings.Contains(one, "27.00 by the price list") || !strings.Contains(one, "100.00 as agreed") {
		t.Errorf("the order does not tell its products: %s", one)
	}
	if text := pdfText(t, get(t, s, "/sale/"+o.Entry+"/note.pdf")); !strings.Contains(text, "Goods 3 of 3") || !strings.Contains(text, "live worms") || !strings.Contains(text, "P-7") {
		t.Errorf("the paper of the order says %s", text)
	}
	if w = get(t, s, to+"/cancel?line=4"); w.Code != 404 {
		t.Errorf("a fourth product of three gives %d", w.Code)
	}
	if w = post(t, s, to+"/cancel?line=2", id(), "why=they have enough"); w.Code != 303 {
		t.Fatalf("cancelling gives %d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
	if w = post(t, s, to+"/cancel?line=2", id(), "why=again"); w.Code != 422 || !strings.Contains(w.Body.String(), "is cancelled already") {
		t.Errorf("cancelling twice gives %d", w.Code)
	}
	lines := s.Farm.State().OrderBook()[0].Lines
	if lines[0].State != "open" || lines[1].State != "cancelled" || lines[2].State != "open" {
		t.Errorf("the products are %s, %s and %s", lines[0].State, lines[1].State, lines[2].State)
	}
}

// deliver writes a delivery down, and says yes to what is asked.
func deliver(t *testing.T, s *Server, to string, boxes ...string) {
	t.Helper()
	boxes = append([]string{"id=" + s.NewID(s.Farm.Now()), "do=save"}, boxes...)
	w := post(t, s, to+"/deliver", boxes...)
	if w.Code == 422 {
		yes := all(doc(t, w), "button[name=yes]")
		if len(yes) != 1 {
			t.Fatalf("the delivery gives 422 and asks nothing: %s", textOf(doc(t, post(t, s, to+"/deliver", boxes...)), ".wrong"))
		}
		w = post(t, s, to+"/deliver", append(boxes, "yes="+attr(yes[0], "value"))...)
	}
	if w.Code != 303 {
		t.Fatalf("the delivery gives %d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
}

// Five bags and two pounds of worms go out together, the bags of two lots: one delivery
// note has all of it, each lot has its sale, and so has the recall of either. A lot on
// hold in it, or a bag too many, stops all of it.
func TestDeliveryOfSeveralLots(t *testing.T) {
	s := released(t, "farm house rule")
	kg := qty.WetKg(40)
	n := 4
	write(t, s, journal.Entry{Kind: "harvest", Body: &journal.Harvest{Bins: []string{"B10"}, MassKgWet: &kg, Lot: "L 2"}}, journal.Entry{Kind: "bag", Body: &journal.Bag{Lot: "L 2", SizeM3: 0.01, Number: n}})
	id := func() string { return "id=" + s.NewID(s.Farm.Now()) }
	if w := post(t, s, "/prices", "name_0=bag", "as_0=bag", "size_0=10 L", "price_0=12", "steps_0=5: 9", "name_1=live worms", "as_1=worms", "size_1=1 lb", "price_1=30"); w.Code != 303 {
		t.Fatalf("the price list gives %d", w.Code)
	}
	if w := post(t, s, "/orders/new", id(), "customer=garden shop", "lines.0.what=bag", "lines.0.amount=5", "lines.1.what=live worms", "lines.1.amount=2"); w.Code != 303 {
		t.Fatalf("the order gives %d", w.Code)
	}
	o := s.Farm.State().OrderBook()[0]
	to := "/order/" + o.Entry
	form := doc(t, get(t, s, to+"/deliver"))
	if lot := all(form, `select[name='load_1.0.lot'] option[selected]`); len(lot) != 1 || attr(lot[0], "value") != "L 1" || attr(all(form, "input[name='load_1.0.amount']")[0], "value") != "3" {
		t.Errorf("the three bags of the released lot are not laid out: %s", textOf(form, "main"))
	}
	more := doc(t, post(t, s, to+"/deliver", id(), "rows=+load_1", "load_1.0.lot=L 1", "load_1.0.amount=3", "load_2.0.bins=B20", "load_2.0.amount=2"))
	if rows := all(more, `select[name='load_1.1.lot']`); len(rows) != 1 || attr(all(more, "input[name='load_2.0.bins']")[0], "value") != "B20" {
		t.Errorf("a second lot gets no row, or what was typed is lost: %s", textOf(more, "main"))
	}
	entries := s.Farm.State().Entries
	held := post(t, s, to+"/deliver", id(), "do=save", "load_1.0.lot=L 1", "load_1.0.amount=3", "load_1.1.lot=L 2", "load_1.1.amount=2", "load_2.0.bins=B20", "load_2.0.amount=2")
	if said := textOf(doc(t, held), ".wrong"); held.Code != 422 || !strings.Contains(said, "Lot L 2 was not released") || !strings.Contains(said, "write in the note why") {
		t.Errorf("a lot that is not released goes out with %d: %s", held.Code, said)
	}
	over := post(t, s, to+"/deliver", id(), "do=save", "note=tested", "load_1.0.lot=L 1", "load_1.0.amount=4", "load_1.1.lot=L 2", "load_1.1.amount=9", "load_2.0.bins=B20", "load_2.0.amount=2")
	if said := over.Body.String(); over.Code != 422 || !strings.Contains(said, "sold of lot L 1, and 3 of it are filled") || !strings.Contains(said, "sold of lot L 2, and 4 of it are filled") {
		t.Errorf("too many bags of both lots give %d", over.Code)
	}
	if twice := post(t, s, to+"/deliver", id(), "do=save", "load_1.0.lot=L 1", "load_1.0.amount=1", "load_1.1.lot=L 1", "load_1.1.amount=2"); twice.Code != 422 || !strings.Contains(textOf(doc(t, twice), ".wrong"), "stands twice") {
		t.Errorf("a lot in two rows gives %d", twice.Code)
	}
	if now := s.Farm.State().Entries; now != entries {
		t.Fatalf("%d entries are half saved", now-entries)
	}
	deliver(t, s, to, "note=tested", "load_1.0.lot=L 1", "load_1.0.amount=3", "load_1.1.lot=L 2", "load_1.1.amount=2", "load_2.0.bins=B20", "load_2.0.amount=2")
	o = s.Farm.State().OrderBook()[0]
	if o.State != "done" || len(o.Lines[0].Sales) != 2 || o.Lines[0].Got != 5 || o.Lines[0].Sales[0].Price+o.Lines[0].Sales[1].Price != 45 || o.Lines[1].Sales[0].Price != 60 {
		t.Errorf("after the delivery the order is %+v", o)
	}
	said := doc(t, get(t, s, to+"?said="+o.Lines[0].Sales[0].Entry))
	if text := textOf(said, ".said"); !strings.Contains(text, "3 sales went out together to garden shop") || len(all(said, ".said form")) != 0 {
		t.Errorf("a delivery of three sales is told as %q, and a button takes back one of them", text)
	}
	page := doc(t, get(t, s, to))
	notes := all(page, `a[href$="note.pdf"]`)
	if len(notes) != 2 { // the paper of the order, and one note for three sales
		t.Errorf("%d papers, want the order and one delivery note", len(notes))
	}
	for _, d := range append(o.Lines[0].Sales, o.Lines[1].Sales...) {
		text := pdfText(t, get(t, s, "/sale/"+d.Entry+"/note.pdf"))
		for _, want := range []string{"Goods 1 of 3", "L 1 · ", "L 2 · ", "Bags 3", "Bags 2", "Live worms in all 2 lb", "105.00", "HELD: NOT FOR SALE"} {
			if !strings.Contains(text, want) {
				t.Errorf("the note of %s does not say %q: %s", d.Entry, want, text)
			}
		}
	}
	for _, lot := range []string{"L 1", "L 2"} {
		group, _ := app.ThingNamed(s.Farm.State(), "lot "+lot)
		if x, ok := app.TraceOf(s.Farm.State(), group, "forward"); !ok || x.Recall == nil || !slices.Contains(x.Recall.Customers, "garden shop") {
			t.Errorf("the recall of lot %s does not find the delivery: %+v", lot, x.Recall)
		}
	}
}

// A sample of half a kilogram is out of the lot: its masses close with it, and its page,
// the record and the trace say where it lies and until when.
func TestKeptSample(t *testing.T) {
	s := withLot(t)
	l, _ := s.Farm.State().Lot("L 1")
	before := s.Farm.State().Amounts(l).Left()
	was, _ := app.LotShown(s.Farm.State(), "L 1")
	m := qty.WetKg(0.5)
	write(t, s, journal.Entry{Kind: "kept sample", Body: &journal.KeptSample{Lot: "L 1", Sample: "S-1", Place: "shelf 3", MassKgWet: &m, Until: "2027-03-01"}},
		journal.Entry{Kind: "kept sample", Body: &journal.KeptSample{Lot: "L 1", Sample: "S-2", Until: "2026-01-05"}})
	l, _ = s.Farm.State().Lot("L 1")
	if got := before - s.Farm.State().Amounts(l).Left(); got != m {
		t.Errorf("the samples take %v kg of the lot, want %v", got, m)
	}
	if is, _ := app.LotShown(s.Farm.State(), "L 1"); is.Balance.Out != was.Balance.Out+0.5 || is.Balance.In != was.Balance.In || !is.Balance.Sure {
		t.Errorf("the masses were %+v and are %+v, want half a kilogram more out", was.Balance, is.Balance)
	}
	if page := saidOn(t, s, "/lot/L%201", "units=metric"); !strings.Contains(page, "Sample S-1 shelf 3") || !strings.Contains(page, "until 1 March 2027, 0.5 kg") || !strings.Contains(page, "to be kept until 5 January 2026, which is past") || !strings.Contains(page, "Kept back 0.5 kg") {
		t.Errorf("the page of the lot does not tell its samples: %s", page)
	}
	text := pdfText(t, get(t, s, "/lot/L%201/record.pdf"))
	for _, want := range []string{"Samples kept back", "S-1", "shelf 3", "1 Mar 2027", "S-2"} {
		if !strings.Contains(text, want) {
			t.Errorf("the record does not say %q", want)
		}
	}
	if page := saidOn(t, s, "/trace?of=L+1&way=forward"); !strings.Contains(page, "2 samples kept back") {
		t.Errorf("the trace does not find the samples: %s", page)
	}
}

// A sheet whose order gained a row and another amount shows both beside what the book has,
// is not kept without an answer, and replaces the order with its deliveries; a second owner
// who kept something in between is not written over. What the columns are is known the
// next time.
func TestASheetOfOrdersSentAgain(t *testing.T) {
	s, a := labServer(t)
	s.NewID = func(time.Time) string { return uuid.Must(uuid.NewV7()).String() }
	if ack, err := a.Record(t.Context(), journal.Entry{Kind: "bag", At: sampleNow.AddDate(0, 0, -15), Who: "owner", Body: &journal.Bag{Lot: "26-01", SizeM3: 0.01, Number: 3}}, true); err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	if w := post(t, s, "/prices", "name_0=bag", "as_0=bag", "size_0=10 L", "price_0=12", "name_1=tote", "as_1=tote", "size_1=1 yd3", "price_1=90"); w.Code != 303 {
		t.Fatalf("the price list gives %d", w.Code)
	}
	const head, form = "Day of it,Their PO,Buyer,Item,How many of it\n", "form[action='/orders/import/save']"
	first := doc(t, upload(t, s, "/orders/import", "shop.csv", head+"2026-03-01,P-1,garden shop,bag,2\n2026-03-01,P-2,school,bag,1\n"))
	if said := words1(first); !strings.Contains(said, "No column says when") {
		t.Fatalf("a sheet without a day is read: %s", said)
	}
	columns := []string{"means_0=at", "means_1=ref", "means_2=customer", "means_3=what", "means_4=number"}
	w := post(t, s, "/orders/import/save", boxes(first, form, append(columns, "do=all")...)...)
	if w.Code != 303 || len(s.Farm.State().Orders()) != 2 {
		t.Fatalf("the sheet gives %d: %s", w.Code, words1(doc(t, w)))
	}
	book := s.Farm.State().OrderBook()
	old := book[slices.IndexFunc(book, func(o farm.Booked) bool { return o.Ref == "P-1" })]
	deliver(t, s, "/order/"+old.Entry, "load_1.0.lot=26-01", "load_1.0.amount=1")
	const second = head + "2026-03-01,P-1,garden shop,tote,1\n2026-03-01,P-1,garden shop,bag,3\n2026-03-01,P-2,school,bag,1\n"
	page := doc(t, upload(t, s, "/orders/import", "shop.csv", second))
	said := words1(page)
	for _, want := range []string{"read as they were then", "Order P-1 of garden shop, row 2", "partly delivered", "2 × bag 3 × bag", "not there 1 × tote", "in the journal already 1"} {
		if !strings.Contains(strings.ToLower(said), strings.ToLower(want)) {
			t.Errorf("the page does not say %q: %s", want, said)
		}
	}
	entries := s.Farm.State().Entries
	if w = post(t, s, "/orders/import/save", boxes(page, form, "same_0=", "do=all")...); w.Code != 422 || s.Farm.State().Entries != entries || !strings.Contains(words1(doc(t, w)), "Of 1 order it is not said what becomes of it") {
		t.Errorf("without an answer: %d", w.Code)
	}
	if w = post(t, s, "/orders/import/save", boxes(page, form, "entry_0="+book[0].Entry[:35]+"0", "do=all")...); w.Code != 422 || s.Farm.State().Entries != entries {
		t.Errorf("an answer about what stood there before: %d", w.Code)
	}
	if w = post(t, s, "/orders/import/save", boxes(page, form, "do=all")...); w.Code != 303 {
		t.Fatalf("replaced: %d %s", w.Code, words1(doc(t, w)))
	}
	if got := saidOn(t, s, "/order/"+old.Entry); len(s.Farm.State().Orders()) != 2 || !strings.Contains(got, "2. 3 × bag") || !strings.Contains(got, "Delivered 1 × bag") || !strings.Contains(got, "of lot 26-01") {
		t.Errorf("%d orders; the order says %s", len(s.Farm.State().Orders()), got)
	}
	// a delivery typed for the order as it was, on a phone without signal: product 1 was the bags
	deliver(t, s, "/order/"+old.Entry, "load_1.0.lot=26-01", "load_1.0.amount=2")
	if got := saidOn(t, s, "/order/"+old.Entry); !strings.Contains(got, "2. 3 × bag State Delivered") {
		t.Errorf("after two bags more the order says %s", got)
	}
}
