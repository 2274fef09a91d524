package app

import (
	"math"
	"slices"
	"time"

	"wormyard/climate"
	"wormyard/farm"
)

// glassDay is one day on which somebody read the low and high glass of a barn.
type glassDay struct {
	from, to int64   // hours of the day at the farm
	off      float64 // warmer than the heat balance says [C]
}

// enoughGlass is from how many days read the air of a barn counts as known.
const enoughGlass = 5

// readGlass sets the lows and highs that were read in a barn against its air as
// reckoned: in order, one for each day, the last word where a day has several.
func readGlass(read []farm.Weather, zone *time.Location, air climate.Series) []glassDay {
	byDay := map[int64]glassDay{}
	for _, w := range read {
		day, err := time.ParseInLocation(time.DateOnly, w.Day, zone)
		if err != nil || w.Outlook || w.Low == nil && w.High == nil {
			continue
		}
		d := glassDay{from: day.Unix() / 3600, to: day.AddDate(0, 0, 1).Unix() / 3600}
		if d.from < air.Start || d.to > air.Start+int64(len(air.Hours)) {
			continue
		}
		low, high := math.Inf(1), math.Inf(-1)
		for t := d.from; t < d.to; t++ {
			low, high = math.Min(low, air.At(t).TempC), math.Max(high, air.At(t).TempC)
		}
		n := 0.0
		if w.Low != nil {
			d.off, n = d.off+float64(*w.Low)-low, n+1
		}
		if w.High != nil {
			d.off, n = d.off+float64(*w.High)-high, n+1
		}
		d.off /= n
		byDay[d.from] = d
	}
	var out []glassDay
	for _, d := range byDay {
		out = append(out, d)
	}
	slices.SortFunc(out, func(a, b glassDay) int { return int(a.from - b.from) })
	return out
}

const (
	glassMemory = 3 * 24 // hours after which a day that was read says no more than those before it
	glassLatest = 7      // days read that say what a barn is like where none is near
)

// byGlass moves the air of a barn to what was read in it: a day that was read by
// its own difference, the days after it less and less so and more by what the
// latest days read have in common. What is read later never moves what was
// reckoned for earlier days, once a few days were read. The vapour in the air
// stays. docs/model.md (T9).
func byGlass(air climate.Series, days []glassDay) climate.Series {
	if len(days) == 0 {
		return air
	}
	out := air
	out.Hours = slices.Clone(air.Hours)
	usual := func(upTo int) float64 { // of the latest days before a place in the order
		of := days[max(0, upTo-glassLatest):upTo]
		if upTo < glassLatest {
			of = days[:min(glassLatest, len(days))]
		}
		var sum float64
		for _, d := range of {
			sum += d.off
		}
		return sum / float64(len(of))
	}
	next := 0 // the first day read that is not over
	for i := range out.Hours {
		t := air.Start + int64(i)
		for next < len(days) && days[next].to <= t {
			next++
		}
		off := usual(next)
		switch {
		case next < len(days) && t >= days[next].from:
			off = days[next].off
		case next > 0 && t < days[next-1].to+glassMemory:
			gone := float64(t-days[next-1].to) / glassMemory
			off = days[next-1].off + gone*(off-days[next-1].off)
		}
		out.Hours[i] = out.Hours[i].Warmer(off)
	}
	return out
}

// warmed gives the same air warmer by so much in every hour, with the same vapour.
func warmed(s climate.Series, by float64) climate.Series {
	s.Hours = slices.Clone(s.Hours)
	for i := range s.Hours {
		s.Hours[i] = s.Hours[i].Warmer(by)
	}
	return s
}

// offInside gives how far the air of a barn may be off by hour [C, one standard
// deviation]: as much of what the air outside may be off by as comes in, which is
// told by what would come in if it were warmer by how far a day lies from its
// normal, and what the barn does besides; neither on a day that was read, and more
// and more of both after it. docs/model.md (T18).
func (t *Twins) offInside(outside, inside, warmer climate.Series, days []glassDay) []float64 {
	c, out := &t.numbers.Climate, make([]float64, len(inside.Hours))
	where := 0.0 // what is known no more of the barn's air, as a share of the variance
	if len(days) > 0 {
		where = 1
	}
	next := 0
	for i := range out {
		hour := inside.Start + int64(i)
		for next < len(days) && days[next].to <= hour {
			next++
		}
		unknown := 1.0
		if len(days) > 0 {
			where += (1 - where) * climate.Forgotten(c, 1.0/24)
			if next < len(days) && hour >= days[next].from {
				where = 0
			}
			unknown = where
		}
		comes := min(max(warmer.Hours[i].TempC-inside.Hours[i].TempC, 0), c.NormalSDC)
		fromOutside := min(comes*comes*unknown, square(comes/c.NormalSDC*outside.OffAt(hour)))
		out[i] = math.Sqrt(fromOutside + t.params.BarnDaySD*t.params.BarnDaySD*where)
	}
	return out
}

func square(x float64) float64 { return x * x }
