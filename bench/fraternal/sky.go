package fraternal

import (
	"fmt"
	"math"
	"time"

	"wormyard/internal/weather"
)

// sky is the air outside by day: a daily record of a mild coast in another order
// of years, moved by what drifts over days, with a hard second winter.
type sky struct {
	first  int64 // day since 1970 of low[0]
	low    []float64
	high   []float64
	clockH int64
}

func newSky(f *Farm) (sky, error) {
	days, err := weather.Daily(0)
	if err != nil {
		return sky{}, err
	}
	first := days[0].Day
	d := newDice(f.Seed, "sky")
	begin := f.From.AddDate(0, 0, -20)
	s := sky{first: time.Date(begin.Year(), begin.Month(), begin.Day(), 0, 0, 0, 0, time.UTC).Unix() / 86400, clockH: -8}
	turn := d.IntN(4)
	off := d.about(-0.5, 0.8)
	drift := 1.3 * d.NormFloat64()
	snaps := []int{d.IntN(20), 35 + d.IntN(25)} // days after 10 December
	for i := range f.Days + 60 {
		day := begin.AddDate(0, 0, i)
		y := 2012 + (day.Year()+turn)%4
		m, dom := day.Month(), day.Day()
		if m == time.February && dom == 29 {
			dom = 28
		}
		at := time.Date(y, m, dom, 0, 0, 0, 0, time.UTC).Unix()/86400 - first
		if at < 0 || at >= int64(len(days)) {
			return s, fmt.Errorf("the record has no %s", day.Format(time.DateOnly))
		}
		r := days[at]
		drift = 0.78*drift + 1.3*math.Sqrt(1-0.78*0.78)*d.NormFloat64()
		x := off + drift
		winter := time.Date(f.From.Year()+1, time.December, 10, 0, 0, 0, 0, f.Zone)
		if since := int(day.Sub(winter).Hours() / 24); !f.Plain && since >= 0 && since < 80 {
			x -= 2.5
			for _, k := range snaps {
				if since >= k && since < k+8 {
					x -= 7
				}
			}
		}
		s.low = append(s.low, r.LowC+x)
		s.high = append(s.high, max(r.HighC+x, r.LowC+x+0.5))
	}
	return s, nil
}

// weather of an hour.
type outdoors struct {
	c, vapour, sun float64
}

// at gives the air outside: lowest at six, warmest at three in the afternoon.
func (s *sky) at(hour int64) outdoors {
	local := hour + s.clockH
	day := local/24 - s.first
	h := float64(local%24) + 0.5
	i := int(min(max(day, 1), int64(len(s.low)-2)))
	wave := func(from, to, part float64) float64 { return from + (to-from)*(1-math.Cos(math.Pi*part))/2 }
	var c float64
	switch {
	case h < 6:
		c = wave(s.high[i-1], s.low[i], (h+9)/15)
	case h < 15:
		c = wave(s.low[i], s.high[i], (h-6)/9)
	default:
		c = wave(s.high[i], s.low[i+1], (h-15)/15)
	}
	season := math.Cos(2 * math.Pi * float64((s.first+int64(i))%365-172) / 365.25) // 1 at midsummer
	long := 12 + 4*season
	sun := 0.0
	if x := (h - 12.2) / long * math.Pi; math.Abs(x) < math.Pi/2 {
		sun = math.Cos(x) * (0.45 + 0.35*season) * min(1, (s.high[i]-s.low[i])/14)
	}
	return outdoors{c, 0.97 * steam(s.low[i]-0.5), sun}
}

// day gives the low and high of a day of the farm.
func (s *sky) day(f *Farm, day int) (low, high float64) {
	d := f.From.AddDate(0, 0, day)
	i := time.Date(d.Year(), d.Month(), d.Day(), 0, 0, 0, 0, time.UTC).Unix()/86400 - s.first
	i = min(max(i, 0), int64(len(s.low)-1))
	return s.low[i], s.high[i]
}

// barn is a shed of two nodes, air and what it is built of, over a slab that
// hardly changes.
type barn struct {
	name                      string
	rows, stacks              int
	length, width, height     float64
	loss                      float64 // through walls, roof and leaks [W/K]
	touch                     float64 // between the air and the building [W/K]
	mass                      float64 // of the building [J/K]
	roofM2                    float64
	changes                   float64 // of air in an hour
	airC, bodyC, slab, ground float64
	vapour                    float64 // [kg/m3]
	rise                      float64 // from level to level [C]
	lowC, highC               float64 // since the glass was read
}

func newBarn(f *Farm) barn {
	d := newDice(f.Seed, "barn")
	stacks := (f.Plan.Bins + stackHigh - 1) / stackHigh
	rows := max(1, (stacks+9)/10)
	h := barn{name: "Barn 1", rows: rows, stacks: (stacks + rows - 1) / rows, width: 3 + 2.5*float64(rows), height: 3.6}
	h.length = 2 + 1.5*float64(h.stacks)
	walls, roof := 2*(h.length+h.width)*h.height, h.length*h.width
	h.roofM2 = roof
	volume := roof * h.height
	h.changes = 1.6 * d.times(0.25)
	h.loss = (3.9*walls+5.5*roof)*d.times(0.15)*0.8 + 0.335*h.changes*volume
	h.touch = 4 * (walls + roof)
	h.mass = 26e3 * (walls + 2*roof) * d.times(0.2)
	h.ground = 10.5
	h.slab = 9
	o := f.sky.at(f.hour())
	h.airC, h.bodyC, h.vapour = o.c+2, o.c+2, o.vapour
	h.rise = 0.45 * d.times(0.3)
	h.lowC, h.highC = math.Inf(1), math.Inf(-1)
	return h
}

// hour lets an hour pass, with the heat that the beds gave off in it [J] and the
// water [kg].
func (h *barn) hour(o outdoors, warm, wet float64) {
	q := warm/3600 - wet*vaporing/3600*0.3 + 0.35*800*o.sun*h.roofM2*0.25
	h.airC = (h.loss*o.c + h.touch*h.bodyC + q) / (h.loss + h.touch)
	h.bodyC += 3600 * (h.touch*(h.airC-h.bodyC) + 1.0*h.length*h.width*(h.slab-h.bodyC)) / h.mass
	h.slab += (h.airC-h.slab)/(24*24) + (h.ground-h.slab)/(24*70)
	volume := h.length * h.width * h.height
	h.vapour = min(o.vapour+wet/(h.changes*volume), steam(h.airC))
	h.lowC, h.highC = min(h.lowC, h.airC), max(h.highC, h.airC)
}

// at gives the air at a height of the stack.
func (h *barn) at(level int) float64 { return h.airC + h.rise*(float64(level)-1.5) }
