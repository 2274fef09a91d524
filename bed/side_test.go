package bed_test

import (
	"testing"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/worm"
)

// halves runs a ripe bed with an inch of an everyday feed on its left half, two
// inches deep there, and gives the share of the worms on that half by day.
func halves(t *testing.T, p *bed.Parameters, side bed.Side, days int64, more ...bed.Act) (left []float64, s *bed.State, r *bed.Runner) {
	t.Helper()
	air := climate.Hour{TempC: 18, RH: 0.8}
	s = bed.Start(p, bin(), []bed.Laid{{Matter: everyday(t, 0.3*plan), DepthM: 0.25, AgeDays: 120, TempC: 18, Layer: 1}}, air, 0)
	s.Cover, _ = p.Cover("cloth")
	acts := []bed.Act{{Kind: bed.Stock, Worms: worm.Stock{AdultKg: 4, JuvenileKg: 3}},
		{Hour: 240, Kind: bed.Feed, Matter: everyday(t, 0.0254*plan), DepthM: 0.0508, TempC: 18, Layer: 2, Side: side}}
	r = bed.NewRunner(p)
	b, err := r.Run(bin(), s, climate.Steady(0, 24*60, air), 240+days*24, append(acts, more...), func(d bed.Day) {
		if d.Hour > 240 {
			left = append(left, (1+s.Drawn)/2)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	balanced(t, "a side fed", b)
	return left, s, r
}

// Common practice: 8 or 9 of 10 worms are at feed on one side within one or two
// days; other accounts wait a couple of weeks. The two ends of side_days.
func TestASideDrawsTheWorms(t *testing.T) {
	p := *parameters(t)
	for _, c := range []struct {
		days      float64
		by        int64
		low, high float64
		said      string
	}{{0.7, 2, 0.75, 0.95, "8 or 9 of 10 within one or two days"}, {p.SideDays, 4, 0.7, 0.95, "between"}, {7, 14, 0.7, 0.95, "a couple of weeks"}} {
		p.SideDays = c.days
		left, _, _ := halves(t, &p, bed.Left, c.by)
		within(t, "share on the fed half", left[c.by-1], c.low, c.high, c.said)
		right, _, _ := halves(t, &p, bed.Right, c.by)
		if d := left[c.by-1] + right[c.by-1] - 1; d > 1e-12 || d < -1e-12 {
			t.Errorf("left and right are not mirrored: %g and %g", left[c.by-1], right[c.by-1])
		}
	}
}

// What lies on one half is reached by the worms of that half alone: worms held
// evenly eat less of it, and none of it where all are across.
func TestOnlyWormsOfItsHalfEatASide(t *testing.T) {
	p := *parameters(t)
	worked := func(days float64, drawn float64) float64 {
		p.SideDays = days
		air := climate.Hour{TempC: 18, RH: 0.8}
		s := bed.Start(&p, bin(), []bed.Laid{{Matter: everyday(t, 0.2*plan), DepthM: 0.2, AgeDays: 120, TempC: 18, Layer: 1}}, air, 0)
		s.Cover, _ = p.Cover("cloth")
		s.Drawn = drawn
		s.Worms = worm.Stock{AdultKg: 4}
		acts := []bed.Act{{Kind: bed.Feed, Matter: everyday(t, 0.0254*plan), DepthM: 0.0508, TempC: 18, Layer: 2, Side: bed.Left}}
		if _, err := bed.Run(&p, bin(), s, climate.Steady(0, 24*4, air), 24*4, acts, nil); err != nil {
			t.Fatal(err)
		}
		for i := range s.Layers {
			if s.Layers[i].ID == 2 {
				return s.Layers[i].Cast
			}
		}
		t.Fatal("no layer")
		return 0
	}
	across, even, drawn := worked(1e12, -1), worked(1e12, 0), worked(0.01, 0)
	t.Logf("castings in the feed after four days: worms across %.4g, held evenly %.4g, free to come %.4g kg/m2", across, even, drawn)
	if across > 1e-6 || even < 10*across || drawn < 1.2*even {
		t.Errorf("across %g, even %g, free %g", across, even, drawn)
	}
}

// Taking the half that was not fed leaves most of the worms, and the feed.
func TestTakingTheOtherHalfKeepsTheWorms(t *testing.T) {
	p := parameters(t)
	_, s, _ := halves(t, p, bed.Left, 10)
	before, depth, feed := s.Worms.LiveKg(), depthOf(s), 0.0
	onFed := before * (1 + s.Drawn) / 2
	for i := range s.Layers {
		if s.Layers[i].ID == 2 {
			feed += s.Layers[i].Dry()
		}
	}
	r := bed.NewRunner(p)
	b, err := r.Run(bin(), s, climate.Steady(s.Hour, 48, climate.Hour{TempC: 18, RH: 0.8}), s.Hour, []bed.Act{{Hour: s.Hour, Kind: bed.Take, Side: bed.Right}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	balanced(t, "a side taken", b)
	taken := r.Taken()
	t.Logf("%.2f of %.2f kg of worms stay, %.3f of %.3f m of bed", s.Worms.LiveKg(), before, depthOf(s), depth)
	if d := s.Worms.LiveKg() + taken.LiveKg() - before; d > 1e-9 || d < -1e-9 {
		t.Errorf("%g kg of worms from nowhere", d)
	}
	if s.Worms.LiveKg() < 0.95*onFed || s.Worms.LiveKg() > 1.05*onFed || s.Drawn != 0 {
		t.Errorf("%g kg stay of %g kg that were on the fed half, drawn %g", s.Worms.LiveKg(), onFed, s.Drawn)
	}
	for i := range s.Layers {
		if s.Layers[i].ID == 2 {
			feed -= s.Layers[i].Dry()
		}
		if s.Layers[i].Side != bed.Whole {
			t.Errorf("layer %d is still of one half", i)
		}
	}
	if feed > 1e-12 || feed < -1e-12 {
		t.Errorf("%g kg/m2 of the feed went with the other half", feed)
	}
}

func depthOf(s *bed.State) float64 {
	d := 0.0
	for i := range s.Layers {
		d += s.Layers[i].DepthM
	}
	return d
}
