package round_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
)

// farm is a made-up bin of the usual make, for tests only.
type farm struct {
	t     testing.TB
	n     nature.Numbers
	crew  *twin.Crew
	p     round.Parameters
	begin int64
	now   int64
}

// Seeds and members are those of the program; the knobs are three.
func open(t testing.TB, begin time.Time, days int) *farm {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	var both struct {
		Twin twin.Parameters
		Rest struct {
			A float64 `param:"bin_heat_w" unit:"W"`
			B float64 `param:"bin_water_kg_day" unit:"kg/day"`
			C float64 `param:"barn_m3_per_bin" unit:"m3"`
		}
	}
	if err := source.Load("twin", &both); err != nil {
		t.Fatal(err)
	}
	f := &farm{t: t, n: n, begin: begin.Unix() / 3600}
	if err := source.Load("round", &f.p); err != nil {
		t.Fatal(err)
	}
	knobs := []twin.Knob{
		{Name: "quick", Range: qty.Estimate{Best: n.Bed.QuickRate, Low: n.Bed.QuickRate / 1.6, High: n.Bed.QuickRate * 1.6}, Field: func(p *bed.Parameters) *float64 { return &p.QuickRate }},
		{Name: "slow", Range: qty.Estimate{Best: n.Bed.SlowRate, Low: n.Bed.SlowRate / 1.6, High: n.Bed.SlowRate * 1.6}, Field: func(p *bed.Parameters) *float64 { return &p.SlowRate }},
		{Name: "intake", Range: qty.Estimate{Best: n.Bed.Worm.IntakePerDay, Low: n.Bed.Worm.IntakePerDay / 1.5, High: n.Bed.Worm.IntakePerDay * 1.5}, Field: func(p *bed.Parameters) *float64 { return &p.Worm.IntakePerDay }},
	}
	f.crew = twin.NewCrew(both.Twin, twin.Draws(&n.Bed, knobs, 1), 1)
	f.now = f.begin + int64(days)*24
	return f
}

// knobs gives the crew all the numbers in which the program's twins differ.
func (f *farm) knobs() {
	var ks []twin.Knob
	for _, file := range []string{"bed", "worm"} {
		list, err := source.Parameters(file)
		if err != nil {
			f.t.Fatal(err)
		}
		for _, e := range list {
			if slices.Contains(uncertain, e.Name) {
				ks = append(ks, twin.Knob{Name: e.Name, Range: e.Estimate(), Field: func(p *bed.Parameters) *float64 { return field(reflect.ValueOf(p).Elem(), e.Name) }})
			}
		}
	}
	f.crew = twin.NewCrew(f.crew.P, twin.Draws(&f.n.Bed, ks, 20240303), 20240303)
}

var uncertain = []string{
	"conductivity_share", "cloth_u_w_m2k", "film_u_w_m2k", "air_u_w_m2k", "cover_leak_m_s", "air_h_w_m2k",
	"holds_fibre_kg_kg", "holds_cast_kg_kg", "spread_kg_m_day", "drain_hours",
	"quick_rate_per_day", "slow_rate_per_day", "woody_rate_per_day", "cast_rate_per_day", "oxygen_heat_mj_kg", "nitrogen_lack",
	"hole_path_m", "fibre_bulk_kg_m3", "slow_taste", "food_half_kg_kg", "shift_hours",
	"growth_per_day", "laying_per_day", "intake_kg_kg_day", "crowd_full_kg_m2", "hatch_frac",
}

func field(v reflect.Value, name string) *float64 {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.Tag.Get("param") == name {
			p, _ := v.Field(i).Addr().Interface().(*float64)
			return p
		}
		if f.Type.Kind() == reflect.Struct && f.IsExported() {
			if p := field(v.Field(i), name); p != nil {
				return p
			}
		}
	}
	return nil
}

func (f *farm) matter(m3 float64, parts ...any) feedstock.Matter {
	f.t.Helper()
	all, err := source.Materials()
	if err != nil {
		f.t.Fatal(err)
	}
	lib, err := feedstock.NewLibrary(all)
	if err != nil {
		f.t.Fatal(err)
	}
	var sum feedstock.Matter
	var shares float64
	for i := 1; i < len(parts); i += 2 {
		shares += parts[i].(float64)
	}
	for i := 0; i < len(parts); i += 2 {
		m, err := lib.Find(parts[i].(string))
		if err != nil {
			f.t.Fatal(err)
		}
		a, missing, err := m.Amount(feedstock.Quantity{Volume: qty.CubicMetre(m3 * parts[i+1].(float64) / shares)})
		if err != nil {
			f.t.Fatal(err, missing)
		}
		sum = sum.Plus(a)
	}
	return sum
}

// The everyday feed and a fresh hot one, by volume.
func (f *farm) everyday(m3 float64) feedstock.Matter {
	m := f.matter(m3, "leaves, loose dry", 1.0, "horse manure with bedding", 1.0, "wood chips, hardwood", 0.5)
	m.Water = qty.WaterKg(float64(m.Dry) * 0.75 / 0.25)
	return m
}

func (f *farm) fresh(m3 float64) feedstock.Matter {
	return f.matter(m3, "dairy solids, separated", 1.0)
}

func (f *farm) air(mean, swing, humid float64) climate.Series {
	s := climate.Series{Start: f.begin - 48}
	for i := range 24 * 120 {
		s.Hours = append(s.Hours, climate.Hour{TempC: mean + swing*math.Sin(2*math.Pi*float64(i-9)/24), RH: humid})
	}
	return s
}

// history is a bin bedded with six inches, stocked with 7 kg, fed 1½ in of the
// everyday feed each fourth day, watered a gallon with it, until the last days.
func (f *farm) history(until int) twin.History {
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, HolesM2: 0.006, Under: bed.UnderFloor}
	cloth, _ := f.n.Bed.Cover("cloth")
	h := twin.History{Bin: "B1", Box: box, Start: twin.Start{
		Hour: f.begin, Matter: f.everyday(0.1524 * 1.44), DepthM: 0.1524, TempC: 15, Layer: 1, Cover: cloth,
		AgeDays: qty.Estimate{Best: 40, Low: 20, High: 60}, StockKg: qty.Estimate{Best: 7, Low: 5, High: 9},
	}}
	for d := 2; d < until; d += 4 {
		at := f.begin + int64(d)*24 + 10
		h.Acts = append(h.Acts,
			bed.Act{Hour: at, Kind: bed.Feed, Matter: f.everyday(0.0381 * 1.44), DepthM: 0.0381, TempC: math.NaN(), Layer: uint64(10 + d)},
			bed.Act{Hour: at, Kind: bed.Water, WaterKg: 3.785, TempC: math.NaN()})
	}
	return h
}

func (f *farm) ask(h twin.History, air climate.Series) round.Item {
	f.t.Helper()
	e := f.crew.Begin(h, air)
	if err := f.crew.Advance(e, h, air, f.now, nil); err != nil {
		f.t.Fatal(err)
	}
	c := round.Case{
		Bin: "B1", Place: "3-4 top", Barn: "1", Row: "3", Stack: 4, Level: 3, History: h, Ensemble: e, Air: air,
		Now: f.now, Visit: f.now + 4*24, Due: true,
		Mixes: []round.Mix{{Batch: "41", PerM3: f.everyday(1), LeftM3: 10}},
	}
	for _, a := range h.Acts {
		if a.Kind == bed.Feed {
			c.LastFed, c.LastDepthM = a.Hour, a.DepthM
		}
	}
	trier := round.Trier{P: f.p, Crew: f.crew}
	it, err := trier.Bin(c)
	if err != nil {
		f.t.Fatal(err)
	}
	l := f.p.Write(round.Made{Day: "2026-03-03", Items: []round.Item{it}, Bedded: []round.Bedded{{Bin: "B1", Place: "3-4 top", Barn: "1", Row: "3"}}, Mixes: c.Mixes})
	l.Speak(round.Words{Zone: time.UTC})
	if testing.Verbose() {
		s := c.Ensemble.Members[0].State
		fmt.Printf("\n%s: %v kg worms, left %v, worked %v\n", f.t.Name(), e.Over(func(m *twin.Member) float64 { return m.State.Worms.LiveKg() }),
			e.Over(func(m *twin.Member) float64 { return twin.LeftOfLast(&m.State) }), e.Over(func(m *twin.Member) float64 { return twin.Worked(&m.State) }))
		for i := len(s.Layers) - 1; i >= 0; i-- {
			y := s.Layers[i]
			fmt.Printf("  %4.1f cm %5.1f C water %.2f O2 %.3f q %.2f s %.2f w %.2f cast %.2f worms %.2f\n", y.DepthM*100, y.TempC, y.Water/(y.Water+y.Dry()), y.Oxygen, y.Quick, y.Slow, y.Woody, y.Cast, y.Worms)
		}
		for _, n := range l.Lines {
			fmt.Printf("  > %s\n    %s\n    %s\n    %s\n", n.Say, n.Reason, n.Sure, n.Caution)
		}
		fmt.Println("  item:", it.Act, it.Why, it.Chances)
		for _, t := range it.Tried {
			fmt.Printf("      %-30s left %.2f p %.2f warm %.2f sour %.2f dry %.2f leave %.2f cast %.2f %v %v\n", round.Words{}.Text(t.Option), t.LeftFrac, t.Left, t.TooWarm, t.Sour, t.Dry, t.Leave, t.Value, t.Allowed, t.Chosen)
		}
	}
	return it
}

var spring = time.Date(2025, 12, 20, 0, 0, 0, 0, time.UTC)

func TestAHungryBinIsFed(t *testing.T) {
	f := open(t, spring, 60)
	it := f.ask(f.history(46), f.air(18, 3, 0.75))
	if it.Act != round.Feed || it.DepthM <= 0 {
		t.Errorf("asked for %s of %.3f m", it.Act, it.DepthM)
	}
}

// Three faults, each put into the same bin, must each change what the round asks.
func TestFaultsChangeTheRound(t *testing.T) {
	f := open(t, spring, 60)
	t.Run("fed far too deep", func(t *testing.T) {
		f := *f
		f.t = t
		h := f.history(56)
		h.Acts = append(h.Acts, bed.Act{Hour: f.now - 30, Kind: bed.Feed, Matter: f.fresh(0.25 * 1.44), DepthM: 0.25, TempC: 25, Layer: 900})
		if it := f.ask(h, f.air(20, 3, 0.75)); it.Act != round.Open || it.Urgency != round.Now {
			t.Errorf("asked for %s, %s", it.Act, it.Urgency)
		}
	})
	t.Run("left dry", func(t *testing.T) {
		f := *f
		f.t = t
		h := f.history(40)
		var acts []bed.Act
		for _, a := range h.Acts {
			if a.Kind != bed.Water {
				acts = append(acts, a)
			}
		}
		h.Acts = acts
		h.Start.Cover = bed.Cover{Name: "none"}
		if it := f.ask(h, f.air(22, 4, 0.4)); it.WaterKg <= 0 {
			t.Errorf("asked for %s without water", it.Act)
		}
	})
	t.Run("frozen", func(t *testing.T) {
		f := *f
		f.t = t
		if it := f.ask(f.history(56), f.air(-12, 2, 0.8)); it.Act == round.Feed || it.Act == round.Rest {
			t.Errorf("asked for %s in hard frost", it.Act)
		}
	})
}
