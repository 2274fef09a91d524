package mix

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

// Reference case 20, constructed: manure with vegetable waste and water.
func TestSolveTwoTargetsWithWater(t *testing.T) {
	p := parameters(t)
	w := Wanted{
		Recipe:    Recipe{Parts: []Part{kilos("manure", 1000, 72, 48, 1.6), kilos("vegetables", 0, 87, 51.3, 2.7)}},
		Free:      []bool{false, true},
		FreeWater: true,
		Target:    []Window{{Output: Water, Low: .78, High: .78}, {Output: CN, Low: 27, High: 27}},
		Least:     LeastPour,
	}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if !got.Possible {
		t.Fatalf("%+v", got.Blocked)
	}
	near(t, "vegetables", float64(got.Recipe.Parts[1].Amount.Wet), 478.63, .01)
	near(t, "water", float64(got.Recipe.Water), 76.92, .01)
}

// Reference case 21, constructed: no mix of the three meets both.
func TestSolveSaysWhichWindowBlocks(t *testing.T) {
	p := parameters(t)
	w := Wanted{
		Recipe: Recipe{Parts: []Part{kilos("vegetables", 1000, 87, 51.3, 2.7), kilos("leaves", 0, 38, 48.6, .9), kilos("cardboard", 0, 8, 56.3, .1)}},
		Free:   []bool{false, true, true},
		Target: []Window{{Output: Water, Low: .75, High: .75}, {Output: CN, Low: 25, High: 25}},
	}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if got.Possible || len(got.Blocked) != 2 {
		t.Fatalf("%+v", got)
	}
	// Each window alone gives way to what leaves alone reach: 130.14 kg for the
	// C:N and 324.32 kg for the moisture.
	near(t, "moisture", got.Blocked[0].Best, .814, .001)
	near(t, "C:N", got.Blocked[1].Best, 30.9, .05)
	t.Log(got.Blocked[0].Needs, got.Blocked[1].Needs, got.Solves)
}

// anyWanted draws a mix to be found with ranges of properties as they occur.
func anyWanted(t *rapid.T, p Parameters) Wanted {
	w := Wanted{Recipe: Recipe{Shrink: qty.Exactly(rapid.Float64Range(0, .3).Draw(t, "shrink"))}}
	n := rapid.IntRange(2, 4).Draw(t, "parts")
	for i := range n {
		part := anyPart(t, string(rune('a'+i)))
		part.Amount = feedstock.Quantity{Volume: qty.CubicMetre(rapid.Float64Range(.1, 5).Draw(t, "volume"))}
		price := qty.Money(rapid.Float64Range(0, 50).Draw(t, "price"))
		part.CostPerM3 = &price
		w.Parts = append(w.Parts, part)
		w.Free = append(w.Free, rapid.Bool().Draw(t, "free"))
	}
	w.Free[n-1] = true
	w.FreeWater = rapid.Bool().Draw(t, "water free")
	w.TotalVolume = qty.CubicMetre(rapid.Float64Range(2, 40).Draw(t, "total"))
	w.Least = rapid.SampledFrom([]Least{Cost, Change, LeastPour}).Draw(t, "least")
	mid, cn, air := rapid.Float64Range(.3, .85).Draw(t, "moisture"), rapid.Float64Range(12, 80).Draw(t, "cn"), rapid.Float64Range(0, .4).Draw(t, "air")
	if rapid.IntRange(0, 2).Draw(t, "two in three can be met") > 0 { // as they are given, at least
		as := mustForward(t, p, w.Recipe).Numbers
		mid, cn, air, w.TotalVolume = as[Water], as[CN], min(air, as[AirFilled]), qty.CubicMetre(as[Volume])
	}
	w.Target = []Window{{Output: Water, Low: mid - .05, High: mid + .05}, {Output: CN, Low: cn * .8, High: cn * 1.2}, {Output: AirFilled, Low: air, High: math.Inf(1)}}
	return w
}

// A mix that is found meets its windows when it is blended forward, makes the
// total, and leaves as it was what was to stay.
func TestFoundMixMeetsItsWindowsForward(t *testing.T) {
	p := parameters(t)
	possible := 0
	rapid.Check(t, func(t *rapid.T) {
		w := anyWanted(t, p)
		got, err := Solve(context.Background(), solver.Solve, p, w)
		if err != nil {
			t.Fatal(err)
		}
		if !got.Possible {
			if len(got.Blocked) == 0 {
				t.Fatal("impossible, and nothing blocks")
			}
			return
		}
		possible++
		out := mustForward(t, p, got.Recipe)
		for _, win := range w.Target {
			v := out.Numbers[win.Output]
			if !(v >= win.Low-1e-6*(1+win.Low) && v <= win.High+1e-6*(1+win.High)) {
				t.Fatalf("%v is %v forward", win, v)
			}
		}
		if v := out.Numbers[Volume]; math.Abs(v-float64(w.TotalVolume)) > 1e-6*v {
			t.Fatalf("total %v, wanted %v", v, w.TotalVolume)
		}
		for i := range w.Parts {
			if !w.Free[i] && got.Recipe.Parts[i].Amount != w.Parts[i].Amount {
				t.Fatalf("part %d was to stay", i)
			}
		}
		if !w.FreeWater && got.Recipe.Water != w.Water {
			t.Fatal("water was to stay")
		}
	})
	if possible < 5 {
		t.Errorf("only %d of the drawn mixes were possible; the test looks at too little", possible)
	}
}

// What a window is said to reach at best is reached by no mix drawn at random,
// and by some mix nearly.
func TestBestReachableIsTheEdge(t *testing.T) {
	p := parameters(t)
	w := Wanted{
		Recipe: Recipe{Parts: []Part{kilos("vegetables", 1000, 87, 51.3, 2.7), kilos("leaves", 0, 38, 48.6, .9), kilos("cardboard", 0, 8, 56.3, .1)}},
		Free:   []bool{false, true, true},
		Target: []Window{{Output: Water, Low: 0, High: .70}, {Output: CN, Low: 15, High: 25}},
	}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if got.Possible || len(got.Blocked) != 2 {
		t.Fatalf("%+v", got)
	}
	driest, poorest := 1.0, math.Inf(1)
	for leaves := 0.0; leaves <= 600; leaves += 5 {
		for board := 0.0; board <= 300; board += 5 {
			r := Recipe{Parts: []Part{kilos("vegetables", 1000, 87, 51.3, 2.7), kilos("leaves", leaves, 38, 48.6, .9), kilos("cardboard", board, 8, 56.3, .1)}}
			out, err := Forward(p, r)
			if err != nil {
				t.Fatal(err)
			}
			if out.Numbers[CN] >= 15 && out.Numbers[CN] <= 25 {
				driest = math.Min(driest, out.Numbers[Water])
			}
			if out.Numbers[Water] <= .70 {
				poorest = math.Min(poorest, out.Numbers[CN])
			}
		}
	}
	for i, found := range []float64{driest, poorest} {
		if best := got.Blocked[i].Best; found < best-1e-6 || found > best*1.02 {
			t.Errorf("%s: best reachable %v, on the grid %v", got.Blocked[i].Window.Output.Key(), best, found)
		}
	}
}

// Two free parts and a fixed one, checked against every mix on a fine grid.
func TestLeastCostAgainstGrid(t *testing.T) {
	p, l := parameters(t), library(t)
	var r Recipe
	for _, g := range []struct {
		name   string
		volume qty.CubicMetre
		price  qty.Money
	}{{"dairy solids, separated", 3, 4}, {"leaves, loose dry", 0, 9}, {"corrugated cardboard", 0, 6}} {
		m, err := l.Find(g.name)
		if err != nil {
			t.Fatal(err)
		}
		r.Parts = append(r.Parts, Part{Name: g.name, Material: m, Amount: feedstock.Quantity{Volume: g.volume}, CostPerM3: &g.price})
	}
	w := Wanted{Recipe: r, Free: []bool{false, true, true}, Least: Cost, Target: []Window{{Output: Water, Low: .60, High: .68}, {Output: CN, Low: 25, High: 45}}}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if !got.Possible {
		t.Fatalf("%+v", got.Blocked)
	}
	cost := func(r Recipe) float64 {
		c := 0.0
		for _, part := range r.Parts[1:] {
			c += float64(*part.CostPerM3) * float64(part.Amount.Volume)
		}
		return c
	}
	cheapest := math.Inf(1)
	const grid = .02
	for a := 0.0; a <= 6; a += grid {
		for b := 0.0; b <= 3; b += grid {
			try := Recipe{Parts: append([]Part(nil), r.Parts...)}
			try.Parts[1].Amount.Volume, try.Parts[2].Amount.Volume = qty.CubicMetre(a), qty.CubicMetre(b)
			total := none()
			for i := range try.Parts {
				v := try.Parts[i].Values(feedstock.Best)
				s := sumsOf(&v, try.Parts[i].Amount)
				total.add(&s)
			}
			if m, cn := total.water/total.wet, total.carbon/total.nitrogen; m >= .60 && m <= .68 && cn >= 25 && cn <= 45 {
				cheapest = math.Min(cheapest, cost(try))
			}
		}
	}
	if c := cost(got.Recipe); c > cheapest+1e-6 || c < cheapest-(9+6)*grid {
		t.Errorf("found at %v, the grid has %v", c, cheapest)
	}
}

func TestBuckets(t *testing.T) {
	p := parameters(t)
	w := Wanted{Recipe: yardful(t), Free: []bool{true, true, true, true, true, true}, FreeWater: true, Target: p.Windows(Feed), TotalVolume: 8, Least: Cost, Bucket: .5}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if !got.Possible || got.Step != 1 {
		t.Fatalf("%+v", got)
	}
	for _, part := range got.Recipe.Parts {
		n := float64(part.Amount.Volume) / .5
		near(t, part.Name+" in buckets", n, math.Round(n), 1e-6)
	}
	out, err := Forward(p, got.Recipe)
	if err != nil {
		t.Fatal(err)
	}
	for _, win := range w.Target {
		if v := out.Numbers[win.Output]; !math.IsNaN(v) && !win.Holds(v, 0) {
			t.Errorf("%v is %v", win, v)
		}
	}
	near(t, "total", out.Numbers[Volume], 8, .25)
	// What cannot be met in buckets is told with what would do by the shovel.
	w = Wanted{
		Recipe: Recipe{Parts: yardful(t).Parts[:3]}, Free: []bool{false, false, true}, Bucket: 1, Steps: []float64{1},
		Target: []Window{{Output: CN, Low: 28, High: 28}}, Units: qty.Metric,
	}
	if got, err = Solve(t.Context(), solver.Solve, p, w); err != nil {
		t.Fatal(err)
	}
	if got.Possible || len(got.Blocked) != 1 || !strings.Contains(got.Blocked[0].Needs, "whole buckets") || !strings.Contains(got.Blocked[0].Needs, "leaves") {
		t.Errorf("%+v", got.Blocked)
	}
}

func TestWhatIsThereLimits(t *testing.T) {
	p := parameters(t)
	r := yardful(t)
	few := qty.CubicMetre(.4)
	r.Parts = r.Parts[:3]
	r.Parts[2].Available = &few
	w := Wanted{Recipe: r, Free: []bool{false, false, true}, Target: []Window{{Output: CN, Low: 32, High: 40}}, Units: qty.Metric}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if got.Possible || len(got.Blocked) != 1 || !strings.Contains(got.Blocked[0].Needs, "in place of the 400 L there") {
		t.Fatalf("%+v", got)
	}
	if v := got.Recipe.Parts[2].Amount.Volume; v > few+1e-6 {
		t.Errorf("%v m3 of leaves, %v are there", v, few)
	}
	// A material of the library may help where more of the same is not to be had.
	m, err := library(t).Find("corrugated cardboard")
	if err != nil {
		t.Fatal(err)
	}
	w.Target = []Window{{Output: CN, Low: 60, High: 80}}
	w.Candidates = []Part{{Name: "corrugated cardboard", Material: m}}
	if got, err = Solve(t.Context(), solver.Solve, p, w); err != nil {
		t.Fatal(err)
	}
	if got.Possible || !strings.Contains(got.Blocked[0].Needs, "of corrugated cardboard, by the library's figures") {
		t.Errorf("%+v", got.Blocked)
	}
	// More than can be made of what is there.
	w.Target, w.Free, w.TotalVolume, w.Candidates = []Window{{Output: Water, Low: .1, High: .9}}, []bool{false, false, true}, 50, nil
	if got, err = Solve(t.Context(), solver.Solve, p, w); err != nil {
		t.Fatal(err)
	}
	if got.Possible || len(got.Blocked) != 1 || got.Blocked[0].Window.Output != Volume {
		t.Errorf("%+v", got.Blocked)
	}
}

func TestSolveSaysWhatIsMissing(t *testing.T) {
	p := parameters(t)
	r := yardful(t)
	r.Parts[0].CostPerM3 = nil
	r.Parts[1].Material.Density = feedstock.Property{}
	w := Wanted{Recipe: r, Free: []bool{true, true, true, true, true, true}, Least: Cost}
	_, err := Solve(t.Context(), solver.Solve, p, w)
	var refusal *figure.Refusal
	if !errors.As(err, &refusal) {
		t.Fatal(err)
	}
	fields := map[string]bool{}
	for _, x := range refusal.Problems {
		fields[x.Field] = true
	}
	for _, f := range []string{"parts[0].cost_per_m3", "parts[1].density_kg_m3_wet", "solve.total", "target"} {
		if !fields[f] {
			t.Errorf("%s is not among %+v", f, refusal.Problems)
		}
	}
}

// Where no window by itself is to blame, all that the nearest mix misses are told.
func TestTwoThingsBlock(t *testing.T) {
	p := parameters(t)
	r := yardful(t)
	few := qty.CubicMetre(.01)
	r.Parts = r.Parts[:3]
	r.Parts[2].Available = &few
	w := Wanted{Recipe: r, Free: []bool{false, false, true}, Target: []Window{{Output: Water, Low: .1, High: .3}, {Output: CN, Low: 60, High: 90}, {Output: AirFilled, Low: .1, High: 1}}}
	w.Parts[2].Amount = feedstock.Quantity{}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if got.Possible || len(got.Blocked) != 2 || got.Blocked[0].Window.Output != Water || got.Blocked[1].Window.Output != CN {
		t.Fatalf("%+v", got.Blocked)
	}
	if !(got.Blocked[0].Best > .3) || !(got.Blocked[1].Best < 60) {
		t.Errorf("best reachable %v and %v", got.Blocked[0].Best, got.Blocked[1].Best)
	}
}
