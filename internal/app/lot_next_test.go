package app

import (
	"fmt"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// The names of lots go on as the farm has them.
func TestNextLot(t *testing.T) {
	kg := qty.WetKg(100)
	trade, err := Trade()
	if err != nil {
		t.Fatal(err)
	}
	march := time.Date(2026, 3, 3, 9, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name string
		had  []string
		on   time.Time
		want string
	}{
		{"a farm without lots", nil, march, "26-01"},
		{"the next number", []string{"26-06"}, march, "26-07"},
		{"a width that is kept", []string{"L 009"}, march, "L 010"},
		{"a new year begins anew", []string{"25-117"}, march, "26-001"},
		{"a name that is taken", []string{"26-08", "26-07"}, march, "26-09"},
		{"called by days", []string{"2026-02-27"}, march, "2026-03-03"},
		{"twice on a day", []string{"2026-03-02", "2026-03-03"}, march, "2026-03-03 1"},
		{"no number at all", []string{"north pile"}, march, "26-01"},
	} {
		var entries []journal.Entry
		add := func(kind string, at time.Time, body any) {
			n := len(entries) + 1
			entries = append(entries, journal.Entry{ID: fmt.Sprintf("0195f1d2-0000-7000-8000-%012d", n), Seq: int64(n), Kind: kind, At: at, Body: body})
		}
		add("build", march.AddDate(-1, 0, 0), &journal.Build{Bins: []string{"B1"}})
		add("bed", march.AddDate(-1, 0, 1), &journal.Bed{Bins: []string{"B1"}, Material: "corrugated cardboard", DepthM: 0.15})
		for i, name := range c.had {
			add("harvest", march.AddDate(0, 0, i-20), &journal.Harvest{Bins: []string{"B1"}, MassKgWet: &kg, Lot: name})
		}
		f := farm.New(trade)
		f.Apply(entries)
		s := f.State()
		if got := NextLot(s, c.on); got != c.want {
			t.Errorf("%s: after %q comes %q, want %q", c.name, c.had, got, c.want)
		}
		if got := OpenLots(s, 1); len(c.had) > 0 && (len(got) != 1 || got[0].Name != c.had[len(c.had)-1]) {
			t.Errorf("%s: the newest open lot is not offered first", c.name)
		}
	}
}
