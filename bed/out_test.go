package bed_test

import (
	"fmt"
	"math"
	"testing"

	"wormyard/bed"
	"wormyard/worm"
)

// Worms taken out are out, no more than there are, and with them their water,
// carbon and nitrogen; the cocoons stay. By algebra: at the hour of the act the
// live mass falls by what was asked for.
func TestWormsOut(t *testing.T) {
	p := parameters(t)
	const day = 20000
	for _, kg := range []float64{2, 100} {
		s := bedded(t, p, day)
		acts := []bed.Act{stocked(day), {Hour: day*24 + 30, Kind: bed.Out, Worms: worm.Stock{AdultKg: kg}}}
		var worms, cocoons []float64
		r := bed.NewRunner(p)
		r.Each = 6
		money, err := r.Run(bin(), s, barnAir(day-2, 10), day*24+36, acts, func(bed.Day) {
			worms, cocoons = append(worms, s.Worms.LiveKg()), append(cocoons, s.Worms.Cocoons)
		})
		if err != nil {
			t.Fatal(err)
		}
		balanced(t, "worms out", money)
		n := len(worms)
		before, after := worms[n-2], worms[n-1] // half a day apart, in which a stock moves by a hundredth
		if want := max(0, before-kg); math.Abs(after-want) > 0.02*before {
			t.Errorf("%.0f kg out of %.2f leave %.2f", kg, before, after)
		}
		taken := r.Taken()
		if got := taken.LiveKg(); math.Abs(got-min(kg, before)) > 0.02*before {
			t.Errorf("%.2f kg were taken, asked for were %.0f", got, kg)
		}
		if cocoons[n-1] < 0.98*cocoons[n-2] {
			t.Errorf("cocoons went from %.0f to %.0f", cocoons[n-2], cocoons[n-1])
		}
	}
}

// What a harvest, a split or worms put in do to a stock, at the very hour of the act:
// what stays and what was taken is what was there, every stage in number and mass.
func TestActsKeepTheCountOfWorms(t *testing.T) {
	p := parameters(t)
	const day = 20000
	more := worm.Stock{AdultKg: 1.5, JuvenileKg: 0.7, Cocoons: 800}
	for _, act := range []bed.Act{
		{Kind: bed.Take, DepthM: 0.07, From: bed.FromTop}, {Kind: bed.Take, DepthM: 0.07, From: bed.FromBottom}, {Kind: bed.Take, DepthM: 5, From: bed.FromTop},
		{Kind: bed.Take, Side: bed.Right}, {Kind: bed.Take, DepthM: 0.03, Side: bed.Left},
		{Kind: bed.Out, Worms: worm.Stock{AdultKg: 2}}, {Kind: bed.Turn}, {Kind: bed.Stock, Worms: more},
	} {
		s := bedded(t, p, day)
		air, r := barnAir(day-2, 40), bed.NewRunner(p)
		feed := bed.Act{Hour: day*24 + 100, Kind: bed.Feed, Matter: everyday(t, 0.0254*plan), DepthM: 0.05, TempC: 15, Layer: 9, Side: bed.Left}
		if _, err := r.Run(bin(), s, air, (day+20)*24, []bed.Act{stocked(day), feed}, nil); err != nil {
			t.Fatal(err)
		}
		before := s.Worms
		act.Hour = s.Hour
		money, err := r.Run(bin(), s, air, s.Hour, []bed.Act{act}, nil)
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("%s %s %g m, side %d", act.Kind, act.From, act.DepthM, act.Side)
		balanced(t, name, money)
		came := worm.Stock{}
		if act.Kind == bed.Stock {
			came = act.Worms
		}
		before.Add(&p.Worm, came)
		is := r.Taken()
		is.Add(&p.Worm, s.Worms)
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*(want+1e-9) {
				t.Errorf("%s: %s are %v, were %v", name, what, got, want)
			}
		}
		near("grown ones", is.Adults, before.Adults)
		near("grown ones [kg]", is.AdultKg, before.AdultKg)
		near("young [kg]", is.JuvenileKg, before.JuvenileKg)
		near("cocoons", is.Cocoons, before.Cocoons)
		for i := range is.Aged {
			near("grown ones of an age", is.Aged[i], before.Aged[i])
		}
		for i := range is.Young {
			near("young of a step", is.Young[i], before.Young[i])
			near("young of a step [kg]", is.YoungKg[i], before.YoungKg[i])
		}
		for i := range is.Cocoon {
			near("cocoons of a step", is.Cocoon[i], before.Cocoon[i])
		}
		if taken := r.Taken(); act.Kind == bed.Take && !(taken.LiveKg() > 0) {
			t.Errorf("%s took no worms", name)
		}
	}
}
