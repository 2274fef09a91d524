package app_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/sheet"
	"wormyard/journal"
	"wormyard/qty"
)

// orderFarm is a farm with a price list and a lot in 12 bags of 20 L.
func orderFarm(t *testing.T) (a *app.App, now time.Time, write func(kind string, body any, yes bool) app.Ack) {
	t.Helper()
	now = time.Date(2026, 3, 11, 18, 0, 0, 0, time.UTC) // a Wednesday
	a, store, err := app.OpenFile(t.Context(), filepath.Join(t.TempDir(), "f.wormyard"), func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	at := now.AddDate(0, 0, -40)
	write = func(kind string, body any, yes bool) app.Ack {
		t.Helper()
		at = at.Add(time.Hour)
		ack, err := a.Record(t.Context(), journal.Entry{Kind: kind, At: at, Who: "owner", Body: body}, yes)
		if err != nil {
			t.Fatal(err)
		}
		return ack
	}
	must := func(ack app.Ack) app.Ack {
		t.Helper()
		if !ack.Saved {
			t.Fatalf("%s: %v", ack.Entry.Kind, ack.Problems)
		}
		return ack
	}
	must(write("setting", &journal.Setting{Key: farm.KeyMoney, Value: []byte(`{"currency":"USD","products":[{"name":"bag","as":"bag","volume_m3":0.02,"price":20,"steps":[{"from":10,"price":17.5}]},{"name":"live worms","as":"worms","mass_kg":0.5,"price":30}]}`)}, false))
	must(write("build", &journal.Build{Bins: []string{"B1"}}, true))
	must(write("bed", &journal.Bed{Bins: []string{"B1"}, DepthM: 0.3, Material: "leaves, loose dry"}, true))
	must(write("stock", &journal.Stock{Bins: []string{"B1"}, Kg: 6}, true))
	m := qty.WetKg(200)
	must(write("harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: &m, Lot: "26-01"}, true))
	must(write("bag", &journal.Bag{Lot: "26-01", SizeM3: 0.02, Number: 12}, true))
	return a, now, write
}

func some[T any](v T) *T { return &v }

// Twenty bags at 17.50, since ten and more are 17.50 each, are 350. Eight delivered
// leave twelve, worth 210: the step counts for the whole order. Of the twelve bags
// filled four are left, so five cannot be sold.
func TestOrderFromOpenToDelivered(t *testing.T) {
	a, now, write := orderFarm(t)
	o := write("order", &journal.Order{Customer: "garden shop", What: "Bag", Number: some(20), Due: "2026-03-12"}, true)
	late := write("order", &journal.Order{Customer: "school", What: "live worms", MassKg: some(1.0), Due: "2026-03-02"}, true)
	if !o.Saved || !late.Saved {
		t.Fatalf("the orders are not saved: %v %v", o.Problems, late.Problems)
	}
	check := func(want farm.OrderState, left, worth float64) {
		t.Helper()
		x, ok := app.OrderNamed(a.State(), o.Entry.ID, now)
		if !ok || x.State != string(want) || x.Left != left || x.Worth == nil || *x.Worth != worth {
			t.Errorf("the order is %s with %v left, worth %v; want %s, %v, %v", x.State, x.Left, x.Worth, want, left, worth)
		}
	}
	check(farm.OrderOpen, 20, 350)
	weeks := app.OpenOrders(a.State(), now)
	if len(weeks) != 1 || weeks[0].Week != "2026-03-09" || !weeks[0].Overdue || len(weeks[0].Products) != 2 {
		t.Fatalf("open by week is %+v, want both products in the week of 9 March, the worms overdue", weeks)
	}
	if b, w := weeks[0].Products[0], weeks[0].Products[1]; b.Pieces != 20 || b.VolumeM3 != 0.4 || w.MassKg != 1 || w.VolumeM3 != 0 || *w.Worth != 60 {
		t.Errorf("20 bags are %+v, want 0.4 m3; 1 kg of worms is %+v, want worth 60", b, w)
	}
	sell := func(n int, yes bool) app.Ack {
		return write("sell", &journal.Sell{Lot: "26-01", Customer: "garden shop", Bags: some(n), SizeM3: some(qty.CubicMetre(0.02)), Order: o.Entry.ID}, yes)
	}
	if ack := sell(8, true); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	check(farm.OrderPart, 12, 210)
	if ack := sell(5, true); ack.Saved || !ack.Refused() || !strings.Contains(ack.Problems[len(ack.Problems)-1].Say, "and 4 of it are filled and not sold") {
		t.Errorf("five bags of four are sold: %v", ack.Problems)
	}
	if ack := write("bag", &journal.Bag{Lot: "26-01", SizeM3: 0.02, Number: 8}, true); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	if ack := sell(12, true); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	check(farm.OrderDone, 0, 0)
	if ack := write("cancel order", &journal.CancelOrder{Order: o.Entry.ID, Why: "changed"}, true); !ack.Refused() {
		t.Error("a delivered order is cancelled")
	}
	if ack := write("sell", &journal.Sell{Lot: "26-01", VolumeM3: some(qty.CubicMetre(0.01)), Order: "nothing"}, true); !ack.Refused() {
		t.Error("a sale delivers an order that is not there")
	}
	before, _ := a.State().Bin("B1")
	if ack := write("worms sold", &journal.WormsSold{Bins: []string{"B1"}, Kg: 1, Customer: "school", Order: late.Entry.ID}, true); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	after, _ := a.State().Bin("B1")
	if got := before.Bed.Stock.Best - after.Bed.Stock.Best; got != 1 {
		t.Errorf("the sale takes %v kg of worms out of the bin, want 1", got)
	}
	if left := app.OpenOrders(a.State(), now); len(left) != 0 {
		t.Errorf("still open are %+v, want nothing", left)
	}
}

// What is amiss stands with the lot, and a recall of it has it.
func TestComplaintIsInTheRecall(t *testing.T) {
	a, _, write := orderFarm(t)
	if ack := write("complaint", &journal.Complaint{Lot: "26-01", Customer: "C-1", What: "mould"}, true); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	if ack := write("complaint", &journal.Complaint{What: "mould"}, true); ack.Saved {
		t.Error("a complaint about nothing is kept")
	}
	if ack := write("kept sample", &journal.KeptSample{Lot: "26-01", Sample: "S-1", Until: "2027-03-01"}, true); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	group, _ := app.ThingNamed(a.State(), "bin B1")
	x, ok := app.TraceOf(a.State(), group, "forward")
	if !ok || x.Recall == nil || len(x.Recall.Complaints) != 1 || x.Recall.Complaints[0].Customer != "C-1" {
		t.Errorf("the recall of the bed has %+v, want the complaint about its lot", x.Recall)
	}
	if l, _ := a.State().Lot("26-01"); len(l.Samples) != 1 {
		t.Errorf("the lot has %d samples kept back, want 1", len(l.Samples))
	}
}

// A sheet of orders is kept whole or not at all, and every row that is wrong is told.
func TestOrdersFromASheet(t *testing.T) {
	a, _, _ := orderFarm(t)
	path := filepath.Join(t.TempDir(), "orders.csv")
	put := func(text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	const head = "PO Number,Order Date,Buyer,Item,Qty,Ship Date,Rep\n"
	put(head + "P-1,2026-03-01,garden shop,bag,20,2026-03-20,Jo\nP-2,2026-03-01,,bag,-3,2026-03-20,Jo\nP-3,2026-03-02,nursery,gravel,5,2026-02-30,Jo\n")
	opt := sheet.Options{Map: sheet.Map{Columns: map[string]string{"Order Date": "at"}}}
	x, err := a.ImportOrders(t.Context(), path, app.OrderHow{Sheet: opt, Yes: true})
	if err != nil {
		t.Fatal(err)
	}
	means := map[string]string{}
	for _, h := range x.Headings {
		means[h.Header] = h.Means
	}
	for header, want := range map[string]string{"PO Number": "ref", "Order Date": "at", "Buyer": "customer", "Item": "what", "Qty": "number", "Ship Date": "due", "Rep": ""} {
		if means[header] != want {
			t.Errorf("column %s is read as %q, want %q", header, means[header], want)
		}
	}
	rows := map[int]bool{}
	for _, p := range x.Problems {
		rows[p.Row] = true
	}
	if x.Written != 0 || len(a.State().Orders()) != 0 || !rows[3] || !rows[4] || rows[2] {
		t.Errorf("%d written, problems in rows %v; want nothing written and rows 3 and 4 told", x.Written, rows)
	}
	put(head + "P-1,2026-03-01,garden shop,bag,20,2026-03-20,Jo\nP-3,2026-03-02,nursery,gravel,5,2026-03-30,Jo\n")
	if x, err = a.ImportOrders(t.Context(), path, app.OrderHow{Sheet: opt}); err != nil || x.Written != 0 || x.Doubtful != 1 {
		t.Errorf("gravel is not on the price list: %d written, %d doubtful, %v", x.Written, x.Doubtful, err)
	}
	if x, err = a.ImportOrders(t.Context(), path, app.OrderHow{Sheet: opt, Yes: true}); err != nil || x.Written != 2 {
		t.Errorf("%d written, want 2: %v %v", x.Written, x.Problems, err)
	}
	if x, err = a.ImportOrders(t.Context(), path, app.OrderHow{Sheet: opt, Yes: true}); err != nil || x.Written != 0 || x.Already != 2 || len(a.State().Orders()) != 2 {
		t.Errorf("the same sheet again: %d written, %d there already, want 0 and 2 (%v)", x.Written, x.Already, err)
	}
}

// Rows of one customer with one order number are one order of several products, each with
// its own step of the price list; the same sheet again is known. Of two rows the second is
// told by its own row.
func TestOrderOfSeveralRows(t *testing.T) {
	a, now, write := orderFarm(t)
	path := filepath.Join(t.TempDir(), "orders.csv")
	put := func(text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte("PO Number,at,Buyer,Item,Qty,Mass wanted,Ship Date\n"+text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	sheetOf := func(yes bool) app.OrderSheet {
		t.Helper()
		x, err := a.ImportOrders(t.Context(), path, app.OrderHow{Yes: yes})
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	put("P-1,2026-03-01,garden shop,bag,10,,2026-03-20\nP-1,2026-03-01,nursery,bag,2,,2026-03-20\np-1,2026-03-02,Garden Shop,gravel,4,,2026-03-27\n")
	if x := sheetOf(false); x.Written != 0 || len(x.Problems) != 1 || x.Problems[0].Row != 4 || x.Problems[0].Column != "Item" {
		t.Errorf("gravel in row 4 is told as %+v", x.Problems)
	}
	put("P-1,2026-03-01,garden shop,bag,10,,2026-03-20\nP-1,2026-03-01,nursery,bag,2,,2026-03-20\np-1,2026-03-02,Garden Shop,live worms,,2 kg,2026-03-27\n")
	if x := sheetOf(false); x.Written != 2 || x.Several != 1 || x.Rows != 3 {
		t.Fatalf("%d orders of %d rows are kept: %+v", x.Written, x.Rows, x.Problems)
	}
	if x := sheetOf(false); x.Already != 3 || x.Written != 0 || len(x.Problems) != 0 {
		t.Errorf("the same sheet again: %+v", x)
	}
	var o farm.Booked
	for _, x := range a.State().OrderBook() {
		if x.Customer == "garden shop" {
			o = x
		}
	}
	if len(o.Lines) != 2 || o.Lines[0].Due != "2026-03-20" || o.Lines[1].Due != "2026-03-27" {
		t.Fatalf("the order of two rows is %+v", o)
	}
	got, _ := app.OrderNamed(a.State(), o.Entry, now)
	if got.Worth == nil || *got.Worth != 10*17.5+2/0.5*30 || got.Due != "2026-03-20" || got.What != "bag, live worms" {
		t.Errorf("ten bags and 2 kg of worms are worth %v, due %s: %s", got.Worth, got.Due, got.What)
	}
	sold := func(line *int) app.Ack {
		return write("sell", &journal.Sell{Lot: "26-01", Customer: "garden shop", Bags: some(10), Order: o.Entry, Line: line}, true)
	}
	if ack := sold(nil); !ack.Refused() || ack.Problems[len(ack.Problems)-1].Field != "line" {
		t.Errorf("a sale of one of two products, nobody knows which: %+v", ack)
	}
	if ack := sold(some(1)); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	if got, _ = app.OrderNamed(a.State(), o.Entry, now); got.State != "part" || got.Lines[0].State != "done" || got.Lines[1].State != "open" || *got.Worth != 120 {
		t.Errorf("after the bags the order is %+v", got)
	}
	if ack := write("cancel order", &journal.CancelOrder{Order: o.Entry, Line: some(2), Why: "no place for worms"}, true); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	if got, _ = app.OrderNamed(a.State(), o.Entry, now); got.State != "done" {
		t.Errorf("with the bags delivered and the worms cancelled the order is %s", got.State)
	}
	for _, bad := range []*journal.Order{
		{Customer: "C", What: "bag", Lines: []journal.OrderPart{{What: "bag"}}},
		{Customer: "C", Number: some(3), Lines: []journal.OrderPart{{What: "bag"}}},
		{Customer: "C", Lines: []journal.OrderPart{{What: "bag", Number: some(3), MassKg: some(2.0)}}},
		{Customer: "C"},
	} {
		if ack := write("order", bad, true); !ack.Refused() {
			t.Errorf("%+v is kept", bad)
		}
	}
}

// A sheet that is sent again after an order changed asks what is to become of it. Replaced, the
// order has what the sheet says, keeps the eight bags that went out, and what is gone from
// the sheet but was delivered in part stays with its rest cancelled; the sheet once more
// changes nothing, and so does an older one that is left.
func TestAnOrderOfASheetThatChanged(t *testing.T) {
	a, now, write := orderFarm(t)
	path := filepath.Join(t.TempDir(), "orders.csv")
	const head = "PO Number,at,Buyer,Item,Qty,Mass wanted,Ship Date\n"
	const first = head + "P-1,2026-03-01,garden shop,bag,20,,2026-03-20\nP-1,2026-03-01,garden shop,live worms,,2 kg,2026-03-20\nP-2,2026-03-01,nursery,bag,2,,2026-03-20\n"
	const second = head + "P-1,2026-03-01,garden shop,tote,1,,2026-03-20\nP-1,2026-03-01,garden shop,bag,30,,2026-03-20\nP-2,2026-03-01,nursery,bag,2,,2026-03-20\n"
	take := func(text string, how app.OrderHow) app.OrderSheet {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		how.Yes, how.Sheet.Who, how.Gone, how.Anew = true, "owner", "not on the sheet", "written anew"
		x, err := a.ImportOrders(t.Context(), path, how)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	if x := take(first, app.OrderHow{}); x.Written != 2 {
		t.Fatalf("%+v", x)
	}
	old, _ := app.OrderNamed(a.State(), "P-1", now)
	must := func(ack app.Ack) {
		t.Helper()
		if !ack.Saved {
			t.Fatal(ack.Problems)
		}
	}
	must(write("sell", &journal.Sell{Lot: "26-01", Customer: "garden shop", Bags: some(8), Order: old.Entry, Line: some(1)}, true))
	must(write("worms sold", &journal.WormsSold{Bins: []string{"B1"}, Kg: 1, Customer: "garden shop", Order: old.Entry, Line: some(2)}, true))
	n := len(a.State().Journal())
	x := take(second, app.OrderHow{})
	if x.Written != 0 || x.Asked != 1 || x.Already != 1 || len(x.Same) != 1 || len(a.State().Journal()) != n {
		t.Fatalf("without an answer: %+v", x)
	}
	same := x.Same[0]
	var told []string
	for _, c := range same.Changes {
		told = append(told, c.Change+" "+c.What)
		if c.What == "bag" && (c.Was.Number != 20 || c.Is.Number != 30) || c.Change == app.OrderGone && !c.Delivered {
			t.Errorf("the change is %+v", c)
		}
	}
	slices.Sort(told)
	if got := strings.Join(told, "; "); got != "added tote; changed bag; gone live worms" || same.Row != 2 || same.Entry != old.Entry {
		t.Fatalf("row %d is told as %s", same.Row, got)
	}
	if x = take(second, app.OrderHow{Same: map[int]app.OrderSay{2: {Do: app.OrderReplace, Entry: "another"}}}); x.Asked != 1 || x.Written != 0 {
		t.Errorf("an answer about an order that was not shown: %+v", x)
	}
	if x = take(second, app.OrderHow{Same: map[int]app.OrderSay{2: {Do: app.OrderReplace, Entry: old.Entry}}}); x.Written != 1 || len(x.Problems) != 0 {
		t.Fatalf("replaced: %+v", x)
	}
	check := func(id, state string, bags, got float64, what string) {
		t.Helper()
		o, ok := app.OrderNamed(a.State(), id, now)
		if !ok || o.State != state || o.What != what || len(a.State().Orders()) != 2 {
			t.Fatalf("the order is %s, %s; %d in the book", o.What, o.State, len(a.State().Orders()))
		}
		for _, l := range o.Lines {
			if l.What == "bag" && (l.Wanted != bags || l.Delivered != got) {
				t.Errorf("%v bags of %v, want %v of %v", l.Delivered, l.Wanted, got, bags)
			}
			if l.What == "live worms" && (l.State != "cancelled" || l.Delivered != 1 || l.Why != "not on the sheet") {
				t.Errorf("the worms are %s, %v kg delivered", l.State, l.Delivered)
			}
		}
	}
	check("P-1", "part", 30, 8, "tote, bag, live worms")
	check(old.Entry, "part", 30, 8, "tote, bag, live worms")
	if x = take(second, app.OrderHow{}); x.Already != 3 || x.Written != 0 || len(x.Same) != 0 {
		t.Errorf("the same sheet again: %+v", x)
	}
	if x = take(first, app.OrderHow{Else: app.OrderLeave}); x.Left != 2 || x.Written != 0 || len(x.Same) != 1 {
		t.Errorf("the older sheet, left: %+v", x)
	}
	// a sale that was typed for the order as it stood first is of the bags
	must(write("sell", &journal.Sell{Lot: "26-01", Customer: "garden shop", Bags: some(2), Order: old.Entry, Line: some(1)}, true))
	check("P-1", "part", 30, 10, "tote, bag, live worms")
	third := strings.Replace(second, "bag,30", "bag,10", 1)
	if x = take(third, app.OrderHow{Else: app.OrderReplace}); x.Written != 1 {
		t.Fatalf("replaced once more: %+v", x)
	}
	check("P-1", "part", 10, 10, "tote, bag, live worms")
	if x = take(second, app.OrderHow{Else: app.OrderAdd}); x.Written != 1 || len(a.State().Orders()) != 3 {
		t.Errorf("as another: %+v", x)
	}
	if x = take(second, app.OrderHow{}); x.Already != 3 || x.Asked != 0 {
		t.Errorf("with both in the book: %+v", x)
	}
}

// An order without a number is known by its customer, its day and what it is for. One
// that was cancelled is not brought back.
func TestAnOrderWithoutANumberThatChanged(t *testing.T) {
	a, _, write := orderFarm(t)
	path := filepath.Join(t.TempDir(), "orders.csv")
	take := func(row, do string) app.OrderSheet {
		t.Helper()
		if err := os.WriteFile(path, []byte("at,Buyer,Item,Qty\n"+row+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		x, err := a.ImportOrders(t.Context(), path, app.OrderHow{Else: do, Yes: true})
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	if x := take("2026-03-01,school,bag,4", ""); x.Written != 1 {
		t.Fatalf("%+v", x)
	}
	if x := take("2026-03-08,school,bag,5", ""); x.Written != 1 || len(x.Same) != 0 {
		t.Errorf("an order of another day: %+v", x)
	}
	x := take("2026-03-01,School,Bag,5", "")
	if x.Written != 0 || x.Asked != 1 {
		t.Fatalf("%+v", x)
	}
	if ack := write("cancel order", &journal.CancelOrder{Order: x.Same[0].Entry, Why: "closed"}, true); !ack.Saved {
		t.Fatal(ack.Problems)
	}
	if x = take("2026-03-01,School,Bag,5", app.OrderReplace); x.Written != 0 || x.Asked != 1 || x.Same[0].State != "cancelled" {
		t.Errorf("a cancelled order is replaced: %+v", x)
	}
	if x = take("2026-03-01,school,bag,4", ""); x.Already != 1 {
		t.Errorf("the cancelled order as it was: %+v", x)
	}
}

// What the columns of a sheet of orders mean is kept for the next one with the same
// headers, and for no other.
func TestColumnsOfOrdersAreRemembered(t *testing.T) {
	a, _, _ := orderFarm(t)
	path := filepath.Join(t.TempDir(), "orders.csv")
	take := func(text string, how app.OrderHow) app.OrderSheet {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		x, err := a.ImportOrders(t.Context(), path, how)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	const head = "Ordered on,Who for,Thing,Qty\n"
	mapped := app.OrderHow{Sheet: sheet.Options{Dates: "dmy", Map: sheet.Map{Columns: map[string]string{"Ordered on": "at", "Who for": "customer", "Thing": "what", "Qty": "number"}}}}
	if x := take(head+"3/2/2026,school,bag,4\n", mapped); x.Written != 1 {
		t.Fatalf("%+v", x)
	}
	if x := take(head+"4/2/2026,school,bag,4\n", app.OrderHow{}); x.Written != 0 || x.Known {
		t.Errorf("columns are remembered that nobody asked to keep: %+v", x)
	}
	mapped.Remember = true
	if x := take(head+"5/2/2026,school,bag,4\n", mapped); x.Written != 1 {
		t.Fatalf("%+v", x)
	}
	if x := take(head+"6/2/2026,school,bag,7\n", app.OrderHow{}); x.Written != 1 || !x.Known {
		t.Errorf("with the headers of the last sheet: %+v", x)
	}
	if o := a.State().Orders(); len(o) != 3 || o[2].At.Format(time.DateOnly) != "2026-02-06" {
		t.Errorf("the orders are %+v", o)
	}
	if x := take("Day,"+head[11:]+"6/2/2026,school,bag,8\n", app.OrderHow{}); x.Known || x.Written != 0 {
		t.Errorf("another header row: %+v", x)
	}
}
