package bed_test

import (
	"errors"
	"math"
	"testing"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/worm"
)

// parameters gives the published set.
func parameters(t testing.TB) *bed.Parameters {
	t.Helper()
	p := new(bed.Parameters)
	err := errors.Join(
		source.Load("bed", &p.Column),
		source.Load("warmth", &p.Warmth),
		source.Load("lying", &p.Lying),
		source.Load("fibre", &p.Fibre),
		source.Load("response", &p.Responses),
		source.Load("diffusivity", &p.Diffusivity),
		source.Load("worm", &p.Worm),
	)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

const (
	spring = 15796 // 2013-04-01, days since 1970
	winter = 15706 // 2013-01-01
)

// barnAir is a made-up record of a barn on a mild, wet coast: a yearly and a
// daily wave and a three-weekly swing, for tests only.
func barnAir(day int64, days int) climate.Series {
	s := climate.Series{Start: day * 24, Hours: make([]climate.Hour, days*24)}
	for i := range s.Hours {
		d := float64(day) + float64(i)/24
		clock := math.Cos(2 * math.Pi * (d - math.Floor(d) - 0.125))
		s.Hours[i] = climate.Hour{
			TempC: 12 - 7*math.Cos(2*math.Pi*(d-20)/365.25) - 3*clock + 2*math.Sin(2*math.Pi*d/21),
			RH:    0.78 + 0.08*clock,
		}
	}
	return s
}

// mixed gives a volume [m3] of materials of the library by parts of volume, a
// tenth shrunk when there are several, watered to water_frac_wet when drier.
func mixed(t testing.TB, volume, water float64, parts ...any) feedstock.Matter {
	t.Helper()
	library, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	var m feedstock.Matter
	for i := 0; i < len(parts); i += 2 {
		material, err := library.Find(parts[i].(string))
		if err != nil {
			t.Fatal(err)
		}
		a, _, err := material.Amount(feedstock.Quantity{Volume: qty.CubicMetre(parts[i+1].(float64))})
		if err != nil {
			t.Fatal(err)
		}
		m = m.Plus(a)
	}
	if len(parts) > 2 {
		m.Volume *= 0.9
	}
	if w := float64(m.Dry) * water / (1 - water); w > float64(m.Water) {
		m.Water = qty.WaterKg(w)
	}
	return m.Times(volume / float64(m.Volume))
}

// everyday is one part leaves, one stall manure with bedding and half a part
// chips by volume, moist.
func everyday(t testing.TB, volume float64) feedstock.Matter {
	return mixed(t, volume, 0.74, "leaves, loose dry", 1.0, "horse manure with bedding", 1.0, "wood chips, hardwood", 0.5)
}

// rich is manure with straw, fresh.
func rich(t testing.TB, volume float64) feedstock.Matter {
	return mixed(t, volume, 0.72, "rabbit manure with straw", 1.0)
}

func bin() bed.Box {
	return bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, HolesM2: 0.006, Under: bed.UnderFloor}
}

const plan = 1.44 // area of bin [m2]

// bedded gives a bin bedded 6 in deep under cloth.
func bedded(t testing.TB, p *bed.Parameters, day int64) *bed.State {
	s := bed.Start(p, bin(), []bed.Laid{{Matter: everyday(t, 0.15*plan), DepthM: 0.15, TempC: 12, Layer: 1}}, climate.Hour{TempC: 10, RH: 0.8}, day*24)
	s.Cover, _ = p.Cover("cloth")
	return s
}

func stocked(day int64) bed.Act {
	return bed.Act{Hour: day * 24, Kind: bed.Stock, Worms: worm.Stock{AdultKg: 4, JuvenileKg: 3, Cocoons: 3000}}
}

// fed gives feedings at nine in the morning on some days of the week.
func fed(day int64, days int, feed func(volume float64) feedstock.Matter, deep float64, weekdays ...int) []bed.Act {
	var acts []bed.Act
	for d := 7; d < days; d++ {
		for _, w := range weekdays {
			if d%7 == w {
				acts = append(acts, bed.Act{Hour: (day+int64(d))*24 + 9, Kind: bed.Feed, Matter: feed(deep * plan), DepthM: deep, TempC: math.NaN(), Layer: uint64(100 + d)})
			}
		}
	}
	return acts
}
