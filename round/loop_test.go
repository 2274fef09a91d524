package round_test

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
)

// loop lets a farmer do what the round says, day by day, and gives what was fed.
func TestLoop(t *testing.T) {
	if os.Getenv("LOOP") == "" {
		t.Skip()
	}
	mean, _ := strconv.ParseFloat(os.Getenv("LOOP"), 64)
	f := open(t, spring, 0)
	f.knobs()
	air := climate.Series{Start: f.begin - 48}
	for i := range 24 * 400 {
		air.Hours = append(air.Hours, climate.Hour{TempC: mean + 3*math.Sin(2*math.Pi*float64(i-9)/24), RH: 0.75})
	}
	h := f.history(0)
	h.Acts = nil
	e := f.crew.Begin(h, air)
	trier := round.Trier{P: f.p, Crew: f.crew}
	fedM, last := 0.0, int64(0)
	fedAt := []float64{}
	for d := 1; d < 260; d++ {
		now := f.begin + int64(d)*24 + 15
		if err := f.crew.Advance(e, h, air, now, nil); err != nil {
			t.Fatal(err)
		}
		c := round.Case{Bin: "B1", Place: "3-4 top", Barn: "1", Row: "3", Stack: 4, Level: 3, History: h, Ensemble: e, Air: air,
			Now: now, Visit: now + 4*24, Due: now-last >= 4*24, EveryDays: 4, LastFed: last, Mixes: []round.Mix{{Batch: "41", PerM3: f.everyday(1), LeftM3: 10}}}
		if !c.Due {
			c.Visit = last + 4*24
		}
		it, err := trier.Bin(c)
		if err != nil {
			t.Fatal(err)
		}
		if n, _ := strconv.Atoi(os.Getenv("AT")); n == d {
			for _, t := range it.Tried {
				fmt.Printf("      %-30s left %.2f p %.2f warm %.2f sour %.2f dry %.2f leave %.2f cast %.2f n %d %v %v\n", round.Words{}.Text(t.Option), t.LeftFrac, t.Left, t.TooWarm, t.Sour, t.Dry, t.Leave, t.Value, t.Members, t.Allowed, t.Chosen)
			}
			all := make([]int, 32)
			for i := range all {
				all[i] = i
			}
			for _, in := range []float64{0, 0.5, 1, 1.5, 2, 3} {
				tr := twin.Trial{Soon: now + 72, Visit: now + 96, Until: now + 14*24}
				if in > 0 {
					tr.Acts = []bed.Act{{Hour: now, Kind: bed.Feed, Matter: f.everyday(in * 0.0254 * 1.44), DepthM: in * 0.0254, TempC: math.NaN(), Layer: math.MaxUint64}}
				}
				out, err := f.crew.Try(e, all, h, air, tr, nil)
				if err != nil {
					t.Fatal(err)
				}
				of := func(g func(o *twin.Outcome) float64) twin.Range {
					x := make([]float64, len(out))
					for i := range out {
						x[i] = g(&out[i])
					}
					return twin.RangeOf(x)
				}
				fmt.Printf("  %.1f in: left kg %.2f days %.1f frac %.2f cast %.2f max %.1f\n", in, of(func(o *twin.Outcome) float64 { return o.LeftKg }), of(func(o *twin.Outcome) float64 { return o.LeftDays }),
					of(func(o *twin.Outcome) float64 { return o.LeftFrac }), of(func(o *twin.Outcome) float64 { return o.CastDryKg }), of(func(o *twin.Outcome) float64 { return o.MaxC }))
			}
		}
		var acts []bed.Act
		if it.DepthM > 0 && it.Act == round.Feed {
			acts = append(acts, bed.Act{Hour: now, Kind: bed.Feed, Matter: f.everyday(it.DepthM * 1.44), DepthM: it.DepthM, TempC: math.NaN(), Layer: uint64(100 + d)})
			fedM += it.DepthM
			last = now
			fedAt = append(fedAt, it.DepthM)
		}
		if it.WaterKg > 0 {
			acts = append(acts, bed.Act{Hour: now, Kind: bed.Water, WaterKg: it.WaterKg, TempC: math.NaN()})
		}
		h.Acts = append(h.Acts, acts...)
		if d%14 == 0 || it.Act == round.Harvest || it.Act == round.Open {
			x := e.Members[0].State
			var depth float64
			for i := range x.Layers {
				depth += x.Layers[i].DepthM
			}
			fmt.Printf("day %3d %-8s depth %.0f cm fed %4.1f in, %.1f in/wk; eaten %.2f cast %.0f kg worms %.1f..%.1f..%.1f last %v\n   %s\n", d, it.Act, depth*100, fedM/0.0254, fedM/0.0254/float64(d)*7,
				twin.Eaten(&x), twin.CastingsKg(&x)*1.44, e.Over(kg).Low, e.Over(kg).Mid, e.Over(kg).High, fedAt[max(0, len(fedAt)-6):], talk(it))
		}
		if it.Act == round.Open {
			all := make([]int, 32)
			for i := range all {
				all[i] = i
			}
			out, _ := f.crew.Try(e, all, h, air, twin.Trial{Soon: now + 72, Visit: now + 96, Until: now + 14*24}, nil)
			for i := range out {
				var low float64
				for k := range e.Members[i].State.Layers {
					if l := e.Members[i].State.Layers[k]; l.Oxygen < 0.05 {
						low += l.DepthM
					}
				}
				fmt.Printf("   soonC %.1f soonMax %.1f soonM %.3f depth %.2f airless %.2f\n", out[i].SoonC, out[i].SoonMaxC, out[i].SoonM, out[i].DepthM, low)
			}
		}
		if it.Act == round.Harvest || it.Act == round.Open {
			break
		}
	}
	_ = qty.US
}

func kg(m *twin.Member) float64 { return m.State.Worms.LiveKg() }

func talk(it round.Item) string {
	l := round.List{Lines: []round.Line{{Act: it.Act, Head: it.Head, Items: []round.Item{it}}}}
	l.Speak(round.Words{})
	return l.Lines[0].Say + " | " + l.Lines[0].Reason + " | " + l.Lines[0].Sure
}
