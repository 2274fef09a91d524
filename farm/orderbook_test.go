package farm

import (
	"slices"
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// Of bags that are counted the last one is owed too; scales and loader buckets are good
// to some hundredths.
func TestWhenAnOrderIsDelivered(t *testing.T) {
	for _, x := range []struct {
		count string
		got   float64
		want  OrderState
		left  float64
	}{
		{CountPieces, 97, OrderPart, 3}, {CountPieces, 100, OrderDone, 0}, {CountPieces, 101, OrderDone, 0},
		{CountPieces, 97.5, OrderDone, 0}, // kits of worms that were weighed
		{CountPieces, 96.5, OrderPart, 3.5}, {CountVolume, 97, OrderDone, 0}, {CountMass, 96, OrderPart, 4}, {"", 0, OrderDone, 0},
	} {
		o := OrderLine{Count: x.count, Wanted: 100, Sales: []Delivered{{Amount: x.got, Known: true}}}
		if o.settle(); o.State != x.want || o.Left() != x.left {
			t.Errorf("%g of 100 in %q: %s, %g left", x.got, x.count, o.State, o.Left())
		}
	}
}

// The same product for the same day is the same, however the rows stand; what took the
// place of another in as many rows is a better name of it.
func TestCarryOrder(t *testing.T) {
	bag := func(n int, due string) OrderItem { return OrderItem{What: "bag", Number: n, Due: due} }
	worms, kit := OrderItem{What: "Worms", Mass: 2}, OrderItem{What: "kit", Number: 1}
	for _, x := range []struct {
		name    string
		was, is []OrderItem
		want    []int
	}{
		{"a row above", []OrderItem{bag(5, ""), worms}, []OrderItem{kit, worms, bag(5, "")}, []int{2, 1}},
		{"two days of one product", []OrderItem{bag(5, "03-01"), bag(5, "03-08")}, []OrderItem{bag(9, "03-08"), bag(5, "03-01")}, []int{1, 0}},
		{"a later day", []OrderItem{bag(5, "03-01"), worms}, []OrderItem{bag(5, "03-02"), worms}, []int{0, 1}},
		{"gone", []OrderItem{bag(5, ""), worms}, []OrderItem{bag(5, "")}, []int{0, -1}},
		{"two became one", []OrderItem{bag(5, "03-01"), bag(4, "03-08")}, []OrderItem{bag(9, "03-01")}, []int{0, 0}},
		{"a better name", []OrderItem{{What: "bags of 1 cu ft", Number: 5}}, []OrderItem{bag(5, "")}, []int{0}},
	} {
		if got := CarryOrder(x.was, x.is); !slices.Equal(got, x.want) {
			t.Errorf("%s: %v, want %v", x.name, got, x.want)
		}
	}
}

// An order that is written anew, twice, keeps what was delivered and cancelled of it, and
// any of its ids finds it; when the last is struck it is as it was before.
func TestAnOrderWrittenAnewKeepsItsDeliveries(t *testing.T) {
	at := func(day int) time.Time { return start.AddDate(0, 0, day) }
	parts := func(p ...journal.OrderPart) *journal.Order {
		return &journal.Order{Customer: "shop", Ref: "P-1", Lines: p}
	}
	bag := func(n int) journal.OrderPart { return journal.OrderPart{What: "bag", Number: &n} }
	kit := func(n int) journal.OrderPart { return journal.OrderPart{What: "kit", Number: &n} }
	tote := func(n int) journal.OrderPart { return journal.OrderPart{What: "tote", Number: &n} }
	kg := qty.WetKg(500)
	entries := []journal.Entry{
		{ID: id(21), At: at(0), Kind: "build", Body: &journal.Build{Bins: []string{"B1"}}},
		{ID: id(20), At: at(0), Kind: "bed", Body: &journal.Bed{Bins: []string{"B1"}, DepthM: 0.3, Material: "chips"}},
		{ID: id(1), At: at(1), Kind: "harvest", Body: &journal.Harvest{Bins: []string{"B1"}, MassKgWet: &kg, Lot: "L1"}},
		{ID: id(2), At: at(2), Kind: "bag", Body: &journal.Bag{Lot: "L1", SizeM3: 0.02, Number: 20}},
		{ID: id(3), At: at(3), Kind: "order", Body: parts(bag(5), kit(2), tote(1))},
		{ID: id(4), At: at(4), Kind: "sell", Body: &journal.Sell{Lot: "L1", Bags: ptr(3), Order: id(3), Line: ptr(1)}},
		{ID: id(5), At: at(4), Kind: "cancel order", Body: &journal.CancelOrder{Order: id(3), Line: ptr(2), Why: "none left"}},
		{ID: id(6), At: at(3), Kind: "order", Strikes: id(3), Body: parts(tote(1), bag(8), kit(2))},
		{ID: id(7), At: at(5), Kind: "sell", Body: &journal.Sell{Lot: "L1", Bags: ptr(1), Order: id(3), Line: ptr(1)}}, // typed without signal before
		{ID: id(8), At: at(3), Kind: "order", Strikes: id(6), Body: parts(tote(1), kit(2), bag(9))},
		{ID: id(11), At: at(6), Kind: "strike", Strikes: id(3), Body: &journal.Strike{Why: "what struck it is struck"}},
	}
	f := New(trade(t))
	f.Apply(entries)
	check := func(place, wanted int, got float64, cancelled int) {
		t.Helper()
		book := f.State().OrderBook()
		if len(book) != 1 || len(book[0].Other) != 0 {
			t.Fatalf("the book is %+v", book)
		}
		if again := f.State().OrderBook(); &again[0] != &book[0] { // worked out once for a picture
			t.Error("the book of one picture is worked out twice")
		}
		o := book[0]
		if l := o.Lines[place]; l.What != "bag" || l.Wanted != float64(wanted) || l.Got != got || l.State != OrderPart {
			t.Errorf("the bags are %+v, want %d wanted and %g delivered", l, wanted, got)
		}
		for i, l := range o.Lines {
			if (l.Cancel != nil) != (i == cancelled) {
				t.Errorf("%s, product %d: cancelled is %v", l.What, i+1, l.Cancel)
			}
		}
		if x, ok := f.State().Order(id(3)); !ok || x.Entry != o.Entry {
			t.Errorf("by its first id the order is %+v", x)
		}
	}
	check(2, 9, 4, 1)
	f.Apply([]journal.Entry{{ID: id(9), At: at(6), Kind: "strike", Strikes: id(8), Body: &journal.Strike{Why: "wrong"}}})
	check(1, 8, 4, 2)
	f.Apply([]journal.Entry{{ID: id(10), At: at(6), Kind: "strike", Strikes: id(6), Body: &journal.Strike{Why: "wrong"}}, {ID: id(12), At: at(6), Kind: "strike", Strikes: id(11), Body: &journal.Strike{Why: "wrong"}}})
	check(0, 5, 4, 1)
}
