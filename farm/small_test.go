package farm

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"wormyard/journal"
	"wormyard/qty"
)

var update = flag.Bool("update", false, "write testdata/snapshot anew")

// small reads the small farm of testdata, half a year of four bins.
func small(t *testing.T) []journal.Entry {
	t.Helper()
	data, err := os.ReadFile("testdata/small.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	var out []journal.Entry
	for i, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
		e, ps := journal.ReadEntry([]byte(line))
		if len(ps) > 0 {
			t.Fatalf("line %d: %v", i+1, ps)
		}
		out = append(out, *e)
	}
	return out
}

// TestSmall guards the whole state of the small farm against change. It is our
// own output and proves nothing; TestAmounts and its like do.
func TestSmall(t *testing.T) {
	f := New(trade(t))
	f.Apply(small(t))
	got := []byte(tell(f.State()))
	const file = "testdata/snapshot/small.txt"
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the small farm has changed; look at the difference and run with -update when it is meant:\n%s", got)
	}
}

func tell(s *State) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("%s, %d entries, last %s", s.Settings.Name, s.Entries, s.Last.In(s.Zone()).Format("2006-01-02 15:04"))
	for _, p := range s.Piles() {
		left := p.Left()
		line("pile %s: %s, left %.4f m3, %.3f kg dry, %.3f kg water, used %.3f kg, over %.3f kg, into %s", p.Name, p.Material, left.Volume, left.Dry, left.Water, p.Used.Wet(), p.Over, strings.Join(p.Batches, " "))
	}
	for _, x := range s.Batches() {
		line("batch %s (%s): made %.4f m3, %.3f kg dry, %.3f kg water, C:N %.3f, fed %.4f of it in %s", x.Name, x.Purpose, x.Made.Volume, x.Made.Dry, x.Made.Water, x.Made.CN(), x.FedShare(), strings.Join(x.Bins, " "))
	}
	for _, x := range s.Bins() {
		line("bin %s at %s, %q, %s", x.Name, x.Slot, s.Called(x), x.State)
		for _, p := range x.Past {
			line("  past %s to %s: %d feedings, %.3f kg dry, %.1f kg out, %.1f kg worms, lots %s, %s", p.ID, p.Until.Format("2006-01-02"), p.Feedings, p.Fed.Dry, p.Harvested, p.Worms, strings.Join(p.Lots, " "), p.How)
		}
		if x.Bed == nil {
			continue
		}
		line("  bed %s: %.3f kg dry at the start, stock %.2f kg", x.Bed.ID, x.Bed.Start.Matter.Dry, x.Bed.Stock.Best)
		for _, a := range x.Bed.Acts {
			line("    %s %s %s %.4f m %.3f kg dry %.2f kg worms %s", a.At.Format("2006-01-02"), a.Kind, a.Batch, a.Depth, a.Matter.Dry, a.Stock.Best, a.Guessed)
		}
		line("    %d readings, %d looks", len(x.Bed.Readings), len(x.Bed.Looks))
	}
	for _, l := range s.Links() {
		line("%s -> %s", l.From, l.To)
	}
	for _, d := range s.Doubts() {
		line("doubt: %s %s", d.Say, d.Try)
	}
	lines, _ := s.Search(Search{Struck: true}, qty.US)
	for _, l := range lines {
		struck := ""
		if l.Struck {
			struck = " (struck)"
		}
		line("%s %s%s", l.Entry.At.In(s.Zone()).Format("2006-01-02 15:04"), l.Say, struck)
	}
	return b.String()
}
