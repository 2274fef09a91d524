package bench

import (
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/source"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/trace"
)

// traded makes a journal of n entries of five years: 500 bins that are fed weekly by
// the row and harvested three times a year, four piles of weekly loads, a batch every
// other day, a lot every two weeks that is bagged and sold to 40 customers, and
// readings for the rest.
func traded(n int) []journal.Entry {
	const bins, days = 500, 5 * 365
	name := make([]string, bins)
	for i := range name {
		name[i] = fmt.Sprintf("B%d", i+1)
	}
	day := time.Date(2021, 1, 1, 6, 0, 0, 0, time.UTC)
	var out []journal.Entry
	minute := 0
	add := func(kind string, body any) {
		i := len(out)
		out = append(out, journal.Entry{ID: fmt.Sprintf("019a%04x-%04x-7000-8000-%012d", i>>16, i&0xffff, i), Kind: kind, At: day.Add(time.Duration(minute) * time.Second), Who: "crew 1", Body: body})
		minute++
	}
	for i := 0; i < bins; i += 10 {
		add("build", &journal.Build{Bins: name[i : i+10]})
	}
	kg := func(m float64) *qty.WetKg { return ptr(qty.WetKg(m)) }
	piles := []string{"solids", "rabbit", "cardboard", "leaves"}
	batch, lot := "", ""
	for d := range days {
		if d%7 == 0 {
			for _, p := range piles {
				add("receive", &journal.Receive{Pile: p, Material: "dairy solids, separated", MassKgWet: kg(2500)})
			}
		}
		if d%2 == 0 {
			batch = fmt.Sprint(d/2 + 1)
			b := &journal.Blend{Batch: batch}
			for _, p := range piles {
				b.Parts = append(b.Parts, journal.BlendPart{Pile: p, MassKgWet: kg(500)})
			}
			add("blend", b)
		}
		if d == 0 {
			for i := 0; i < bins; i += 10 {
				add("bed", &journal.Bed{Bins: name[i : i+10], Batch: batch, DepthM: 0.15})
			}
		}
		for row := range bins / 10 {
			if row%7 == d%7 {
				add("feed", &journal.Feed{Bins: name[row*10 : row*10+10], Batch: batch, MassKgWet: kg(20)})
			}
		}
		if d%14 == 0 {
			if lot != "" {
				add("screen", &journal.Screen{Lot: lot, Decks: []journal.Deck{{OpeningMM: 6, ThroughKg: kg(4000), OverKg: kg(1000)}}, OversTo: "feed"})
				add("release", &journal.Release{Lot: lot, Rule: "house rule"})
				for range 20 {
					add("bag", &journal.Bag{Lot: lot, SizeM3: 0.028, Number: 10})
					add("sell", &journal.Sell{Lot: lot, Customer: fmt.Sprintf("C-%d", len(out)*7%40), Bags: ptr(10)})
				}
			}
			lot = fmt.Sprintf("L%d", d/14+1)
		}
		if d > 90 {
			for k := range 4 {
				i := (d*4 + k) % bins
				add("harvest", &journal.Harvest{Bins: name[i : i+1], MassKgWet: kg(90), Lot: lot, EndsBed: true})
				add("bed", &journal.Bed{Bins: name[i : i+1], Batch: batch, DepthM: 0.15})
			}
		}
		for len(out) < n*(d+1)/days {
			i := len(out) * 13 % bins
			add("reading", &journal.Reading{Bin: name[i], TempC: ptr(qty.Celsius(18 + float64(i%9))), DepthM: ptr(qty.Metre(0.1)), Probe: "logger"})
		}
		day, minute = day.Add(24*time.Hour), 0
	}
	return out
}

// walked finds who can have got a load by one walk over all entries, with nothing
// of the fold: what was touched by what was touched.
func walked(all []journal.Entry, load string) (lots, customers []string) {
	touched := map[string]bool{}
	put := func(list *[]string, kind, name string) {
		if !touched[kind+name] {
			touched[kind+name] = true
			*list = append(*list, name)
		}
	}
	for i := range all {
		switch b := all[i].Body.(type) {
		case *journal.Receive:
			if all[i].ID == load {
				touched["pile "+b.Pile] = true
			}
		case *journal.Blend:
			for _, p := range b.Parts {
				if touched["pile "+p.Pile] {
					touched["batch "+b.Batch] = true
				}
			}
		case *journal.Bed:
			for _, name := range b.Bins {
				touched["bin "+name] = touched["batch "+b.Batch]
			}
		case *journal.Feed:
			for _, name := range b.Bins {
				if touched["batch "+b.Batch] {
					touched["bin "+name] = true
				}
			}
		case *journal.Harvest:
			for _, name := range b.Bins {
				if touched["bin "+name] {
					put(&lots, "lot ", b.Lot)
				}
			}
		case *journal.Sell:
			if touched["lot "+b.Lot] {
				put(&customers, "customer ", b.Customer)
			}
		}
	}
	slices.Sort(lots)
	slices.Sort(customers)
	return lots, customers
}

// TestTrace measures a trace on five years of entries and holds who can have got a
// load against a walk over all entries that knows nothing of the graph. Without
// WORMYARD_BENCH it is a small farm and measures nothing.
func TestTrace(t *testing.T) {
	n, measure := 30_000, os.Getenv("WORMYARD_BENCH") != ""
	if measure {
		n = 1_000_000
	}
	entries := traded(n)
	library, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	f := farm.New(farm.Trade{Library: library, Usual: farm.Usual{BoxLength: 1.2, BoxWidth: 1.2, BoxDepth: 0.6, CastingsDensity: qty.Estimate{Low: 500, Best: 700, High: 900}}})
	began := time.Now()
	f.Apply(entries)
	s := f.State()
	fold := time.Since(began)
	began = time.Now()
	g := s.Trace()
	made := time.Since(began)
	loads := g.Groups(trace.Delivery)
	var slowest, walk, back time.Duration
	for _, k := range []int{4, len(loads) / 3, len(loads) / 2, len(loads) * 9 / 10} {
		began = time.Now()
		r, ok := g.Recall(loads[k].Group)
		took := time.Since(began)
		slowest = max(slowest, took)
		if !ok {
			t.Fatal("no recall")
		}
		began = time.Now()
		lots, customers := walked(entries, loads[k].Entry)
		walk = max(walk, time.Since(began))
		if measure {
			t.Logf("load %d: recall %v", k, took)
		}
		if got := names(r.Lots); !slices.Equal(got, lots) {
			t.Errorf("%s can be in %d lots by the graph and in %d by the walk", loads[k].Group, len(got), len(lots))
		}
		if got := names(r.Customers); !slices.Equal(got, customers) {
			t.Errorf("%s can be with %d customers by the graph and with %d by the walk", loads[k].Group, len(got), len(customers))
		}
	}
	for _, l := range g.Groups(trace.Lot) {
		began = time.Now()
		g.Trace(l.Group, trace.Back)
		back = max(back, time.Since(began))
	}
	if measure {
		nodes, flows := g.Size()
		t.Logf("%d entries folded in %v; graph of %d things and %d flows made in %v; recall at worst %v, a lot back at worst %v; a walk over all entries %v, %.1f times a recall with the graph made anew", len(entries), fold, nodes, flows, made, slowest, back, walk, float64(walk)/float64(made+slowest))
		if most := made + max(slowest, back); most > 200*time.Millisecond {
			t.Errorf("a trace takes %v after an entry; 200 ms are wanted", most)
		}
	}
}

func names(list []trace.Found) []string {
	var out []string
	for _, f := range list {
		out = append(out, f.Name)
	}
	slices.Sort(out)
	return out
}
