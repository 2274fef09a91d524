package feedstock

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wormyard/qty"
)

// lying draws matter and what became of it in a heap.
func lying(t *rapid.T) (came, lies Matter) {
	kg := func(name string) float64 { return rapid.Float64Range(0.01, 50).Draw(t, name) }
	left := func(name string) float64 { return rapid.Float64Range(0.001, 1).Draw(t, name) }
	came = Matter{Quick: qty.DryKg(kg("quick")), Slow: qty.DryKg(kg("slow")), Woody: qty.DryKg(kg("woody")), Ash: qty.DryKg(kg("ash")), Water: qty.WaterKg(kg("water")),
		Nitrogen: qty.NitrogenKg(kg("n") / 50), Ammonia: qty.NitrogenKg(kg("ammonia") / 500), Volume: qty.CubicMetre(kg("volume") / 100)}
	came.Dry = came.Quick + came.Slow + came.Woody + came.Ash
	came.Carbon = qty.CarbonKg(0.5 * float64(came.Dry-came.Ash))
	lies = came
	lies.Quick *= qty.DryKg(left("quick left"))
	lies.Slow *= qty.DryKg(left("slow left"))
	lies.Woody *= qty.DryKg(left("woody left"))
	lies.Ammonia *= qty.NitrogenKg(left("ammonia left"))
	lies.Dry = lies.Quick + lies.Slow + lies.Woody + lies.Ash
	lies.Carbon = qty.CarbonKg(0.5 * float64(lies.Dry-lies.Ash))
	return came, lies
}

// What a member's pace makes of matter keeps the dry mass and the room that were
// laid, its pools stay a sum, and carbon stays in proportion to volatile matter.
func TestPaceKeepsWhatWasLaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		came, lies := lying(t)
		l := LainOf(came, lies)
		m := l.Pace(lies, rapid.Float64Range(0.2, 4).Draw(t, "pace"))
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*math.Max(want, 1e-3) {
				t.Fatalf("%s is %g, want %g", what, got, want)
			}
		}
		near("dry mass", float64(m.Dry), float64(lies.Dry))
		near("room", float64(m.Volume), float64(lies.Volume))
		near("sum of the pools", float64(m.Quick+m.Slow+m.Woody+m.Ash), float64(m.Dry))
		near("carbon", float64(m.Carbon), 0.5*float64(m.Dry-m.Ash))
	})
}

// A pace of 1 changes nothing, one of nearly 0 undoes the lying, and 2 is as far
// again: with a quarter of the quick left, a sixteenth.
func TestPaceIsAPower(t *testing.T) {
	came := Matter{Dry: 10, Quick: 4, Slow: 4, Ash: 2, Water: 30, Carbon: 4, Nitrogen: 0.2, Ammonia: 0.1, Volume: 0.1}
	lies := Matter{Dry: 5, Quick: 1, Slow: 2, Ash: 2, Water: 10, Carbon: 1.5, Nitrogen: 0.2, Ammonia: 0.05, Volume: 0.05}
	l := LainOf(came, lies)
	if m := l.Pace(lies, 1); m != lies {
		t.Errorf("at its own pace: %+v", m)
	}
	twice := l.Pace(lies, 2)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"quick over ash", float64(twice.Quick / twice.Ash), 4.0 / 16 / 2},
		{"slow over ash", float64(twice.Slow / twice.Ash), 4.0 / 4 / 2},
		{"water by dry mass", float64(twice.Water) / float64(twice.Dry), 2 * 2.0 / 3}, // 3 came, 2 lie
		{"ammonia over ash", float64(twice.Ammonia) / float64(twice.Ash), 0.1 / 4 / 2},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s is %g at twice the pace, want %g", c.what, c.got, c.want)
		}
	}
	if m := l.Pace(lies, 1e-9); math.Abs(float64(m.Quick/m.Ash)-2) > 1e-6 || math.Abs(float64(m.Slow/m.Ash)-2) > 1e-6 {
		t.Errorf("without any ageing it is not as it came: %+v", m)
	}
	var fresh Lain
	if m := fresh.Pace(lies, 3); m != lies {
		t.Error("what never lay has aged")
	}
}

// Opening fibre moves it between wood and slow matter and changes nothing else; no
// pool falls under nothing, however much is to be guarded.
func TestOpenedMovesFibreAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, _ := lying(t)
		m.Fibre = m.Woody * qty.DryKg(rapid.Float64Range(0, 1).Draw(t, "fibre"))
		m.Lignin = m.Woody / 4
		f := rapid.Float64Range(0, 5).Draw(t, "guarded")
		o := m.Opened(f)
		if d := math.Abs(float64(o.Woody + o.Slow - m.Woody - m.Slow)); d > 1e-9*float64(m.Dry) || o.Fibre < 0 || o.Woody < o.Fibre-1e-12 || o.Slow < 0 {
			t.Fatalf("%+v of %+v", o, m)
		}
		if want := float64(m.Fibre) * (f - 1); want < float64(m.Slow) && math.Abs(float64(o.Woody-m.Woody)-want) > 1e-9*float64(m.Dry) {
			t.Fatalf("%g of the fibre guarded moved %g kg, want %g", f, o.Woody-m.Woody, want)
		}
		o.Woody, o.Slow, o.Fibre = m.Woody, m.Slow, m.Fibre
		if o != m {
			t.Fatalf("%+v of %+v", o, m)
		}
	})
}
