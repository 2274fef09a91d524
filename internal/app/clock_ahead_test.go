package app

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// The clock of the farm's machine ran a year ahead for a day and was set right: what
// was written then is of days to come. The round and the outlooks of today are made,
// and a round of the year ahead does not stand in for them.
func TestClockOfTheMachineAYearAhead(t *testing.T) {
	f := smallFarm(t)
	bins := f.app.State().Living()
	right := f.now.AddDate(0, 0, 20)
	f.now = right.AddDate(1, 0, 0)
	f.feed(f.now.Add(-time.Hour), bins[0].Name)
	f.write(f.now.Add(-time.Hour), "reading", reading(bins[1].Name, 20, 0.1, "dial"))
	f.make()
	f.now = right.Add(2 * time.Hour)
	f.restart()
	f.feed(f.now.Add(-time.Hour), bins[2].Name)
	f.written()
	for _, b := range f.app.State().Living() {
		v := f.outlook(b.Name)
		sane(t, b.Name, v)
		if v.Made.After(f.now) {
			t.Errorf("bin %s: the outlook is of %s", b.Name, v.Made)
		}
	}
	last, err := f.twins.Last(context.Background())
	if err != nil || last == nil || last.Day != f.now.Format(time.DateOnly) {
		t.Errorf("the newest round is of %+v, %v", last, err)
	}
}

// What was read is struck, corrected and written down late, after rounds were made:
// the twins are then as if it had been written so from the start.
func TestStruckAndLateIsAsIfWrittenSo(t *testing.T) {
	f, g := smallFarm(t), smallFarm(t)
	began := f.now
	bin := f.app.State().Living()[0].Name
	day := func(n int) time.Time { return began.AddDate(0, 0, n) }
	both := func(at time.Time, kind string, body any, id string) {
		for _, x := range []*small{f, g} {
			x.writeAs(id, at, kind, body)
		}
	}
	f.now, g.now = day(30), day(30)
	both(day(5), "reading", reading(bin, 24, 0.1, "dial"), "01a21806-39c3-7349-8015-000000000001")
	f.writeAs("01a21806-39c3-7349-8015-000000000002", day(9), "reading", reading(bin, 33, 0.1, "dial")) // to be struck
	f.make()
	f.now = day(31)
	f.make()
	if ack, err := f.app.Strike(context.Background(), "01a21806-39c3-7349-8015-000000000002", "owner", "a slip"); err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	depth := qty.Metre(0.0254)
	both(day(9), "reading", reading(bin, 22, 0.1, "dial"), "01a21806-39c3-7349-8015-000000000003")
	both(day(2), "feed", &journal.Feed{Bins: []string{bin}, Batch: "41", DepthM: &depth}, "01a21806-39c3-7349-8015-000000000004")
	f.now, g.now = day(32), day(32)
	f.make()
	g.make()
	a, b := f.outlook(bin), g.outlook(bin)
	for _, v := range []*Outlook{a, b} {
		v.Made, v.Learned = time.Time{}, nil
	}
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	if string(x) != string(y) {
		t.Errorf("struck and late:\n%s\nfrom the start:\n%s", x, y)
	}
}

func (f *small) writeAs(id string, at time.Time, kind string, body any) {
	f.t.Helper()
	ack, err := f.app.Record(context.Background(), journal.Entry{ID: id, Kind: kind, Who: "crew 1", At: at, Body: body}, true)
	if err != nil || !ack.Saved {
		f.t.Fatal(err, ack.Problems)
	}
}

// Two bins of a stack change places, and change back: each keeps its bed.
func TestBinsThatAreSwapped(t *testing.T) {
	f := smallFarm(t)
	bins := f.app.State().Living()
	a, b := bins[0], bins[1]
	f.now = f.now.AddDate(0, 0, 20)
	f.feed(f.now.AddDate(0, 0, -15), a.Name)
	f.write(f.now.AddDate(0, 0, -10), "move", &journal.Move{Bin: a.Name, To: "spot"})
	f.write(f.now.AddDate(0, 0, -10).Add(time.Minute), "move", &journal.Move{Bin: b.Name, To: a.Slot.String()})
	f.write(f.now.AddDate(0, 0, -10).Add(2*time.Minute), "move", &journal.Move{Bin: a.Name, To: b.Slot.String()})
	f.written()
	for _, x := range []string{a.Name, b.Name} {
		sane(t, x, f.outlook(x))
	}
	if v := f.outlook(a.Name); v.Layers[0].Batch != "41" || !v.Layers[0].Feed {
		t.Errorf("the top of %s is %+v", a.Name, v.Layers[0])
	}
}
