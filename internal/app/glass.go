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

// byGlass moves the air of a barn to what was read in it, and says how far it may
// still be off by hour [C, one standard deviation]. A day that was read has its own
// difference. Between and after them, what was read is parted into what stands in
// the barn for months and what comes in with the weather and goes in days, each by
// how much of it is to be expected (lean); before the first, what stands by the
// first days read. What is read later never moves what was reckoned for earlier
// days, once a few days were read. The vapour in the air stays. warmer is the
// inside where it is warmer outside by how far a day lies from its normal.
// docs/model.md (T9), (T18).
func (t *Twins) byGlass(outside, inside, warmer climate.Series, days []glassDay) (climate.Series, []float64) {
	if len(days) == 0 {
		off := make([]float64, len(inside.Hours))
		for i := range off {
			off[i] = t.comesIn(outside, inside, warmer, i).far
		}
		return inside, off
	}
	out, off := inside, make([]float64, len(inside.Hours))
	out.Hours = slices.Clone(inside.Hours)
	standing := t.newLean()
	for _, d := range days[:min(len(days), glassFirst)] {
		standing.read(t, d, t.thatDay(outside, inside, warmer, d))
	}
	standing = standing.standing()
	now, next := standing, 0 // next is the first day read that is not over
	for i := range out.Hours {
		hour := inside.Start + int64(i)
		for next < len(days) && days[next].to <= hour {
			if next == 0 {
				now = t.newLean()
			}
			now.read(t, days[next], t.thatDay(outside, inside, warmer, days[next]))
			next++
		}
		if next < len(days) && hour >= days[next].from {
			out.Hours[i] = out.Hours[i].Warmer(days[next].off)
			continue
		}
		mean, variance := now.at(t, hour, t.comesIn(outside, inside, warmer, i), len(days) >= enoughGlass)
		out.Hours[i], off[i] = out.Hours[i].Warmer(mean), math.Sqrt(variance)
	}
	return out, off
}

// glassFirst is how many of the first days read say what a barn was like before.
const glassFirst = 7

// inflow is how much of what the weather does comes into a barn at an hour.
type inflow struct {
	untold float64 // share of the weather's own ways that nobody told, as a standard deviation, 0 to 1
	far    float64 // how far the inside is off by it [C, one standard deviation]
}

// comesIn gives it for a place in the hours: nothing where a heater holds the barn.
func (t *Twins) comesIn(outside, inside, warmer climate.Series, i int) inflow {
	most := t.numbers.Climate.NormalSDC
	comes := min(max(warmer.Hours[i].TempC-inside.Hours[i].TempC, 0), most)
	untold := min(1, outside.OffAt(inside.Start+int64(i))/most)
	return inflow{untold, comes * untold}
}

// thatDay gives the mean of what comes in on a day that was read.
func (t *Twins) thatDay(outside, inside, warmer climate.Series, d glassDay) inflow {
	var sum inflow
	for hour := d.from; hour < d.to; hour++ {
		x := t.comesIn(outside, inside, warmer, int(hour-inside.Start))
		sum.untold, sum.far = sum.untold+x.untold, sum.far+x.far
	}
	n := float64(d.to - d.from)
	return inflow{sum.untold / n, sum.far / n}
}

// lean is what is known of how the air of a barn differs from what is reckoned:
// what stands [C] and how the weather goes [standard deviations], with their
// variances and covariance, from an hour on. docs/model.md (T9).
type lean struct {
	stands, goes   float64
	vStands, vGoes float64
	both           float64
	hour           int64
	begun          bool
}

// newLean knows nothing of a barn but how far such barns are off.
func (t *Twins) newLean() lean {
	return lean{vStands: square(t.params.BarnAirSD), vGoes: 1}
}

// standing gives what stands alone, as good at any time.
func (l lean) standing() lean {
	return lean{stands: l.stands, vStands: l.vStands, vGoes: 1}
}

// later gives what is known at a later hour: the weather's ways are forgotten in
// days, what stands in months.
func (l lean) later(t *Twins, hour int64) lean {
	if !l.begun || hour <= l.hour {
		return l
	}
	d := float64(hour-l.hour) / 24
	stands, goes := math.Exp(-d/t.params.BarnAirDays), math.Exp(-d/t.numbers.Climate.BlendDays)
	l.stands, l.goes, l.both = l.stands*stands, l.goes*goes, l.both*stands*goes
	l.vStands = square(t.params.BarnAirSD) + (l.vStands-square(t.params.BarnAirSD))*square(stands)
	l.vGoes = 1 + (l.vGoes-1)*square(goes)
	l.hour = hour
	return l
}

// read takes a day that was read in, by Kalman's rule. A day further off than
// farOff times what is to be expected is of another barn than was told, and what
// stands is doubted as far as makes it likely.
func (l *lean) read(t *Twins, d glassDay, in inflow) {
	*l = l.later(t, d.from+(d.to-d.from)/2)
	by := in.far * in.untold
	alone := square(in.far)*(1-square(in.untold)) + square(t.params.BarnDaySD)
	cs, cg := l.vStands+by*l.both, l.both+by*l.vGoes
	all := cs + by*cg + alone
	gap := d.off - l.stands - by*l.goes
	if more := square(gap/farOff) - all; more > 0 {
		l.vStands, cs, all = l.vStands+more, cs+more, all+more
	}
	l.stands, l.goes = l.stands+cs/all*gap, l.goes+cg/all*gap
	l.vStands, l.vGoes, l.both = l.vStands-cs*cs/all, l.vGoes-cg*cg/all, l.both-cs*cg/all
	l.hour, l.begun = d.from+(d.to-d.from)/2, true
}

// farOff is how many spreads a day read may lie off before what stands is doubted.
const farOff = 4

// at gives how much warmer the air is at an hour than reckoned, and the variance of
// that, with or without that of what stands. What was told of the weather says
// nothing of how it goes besides, so by as much less counts.
func (l lean) at(t *Twins, hour int64, in inflow, withStanding bool) (mean, variance float64) {
	l = l.later(t, hour)
	by := in.far * in.untold
	variance = by*by*l.vGoes + square(in.far)*(1-square(in.untold)) + square(t.params.BarnDaySD)
	if withStanding {
		variance += l.vStands + 2*by*l.both
	}
	return l.stands + by*l.goes, math.Max(variance, 0)
}

// warmed gives the same air warmer by so much in every hour, with the same vapour.
func warmed(s climate.Series, by float64) climate.Series {
	s.Hours = slices.Clone(s.Hours)
	for i := range s.Hours {
		s.Hours[i] = s.Hours[i].Warmer(by)
	}
	return s
}

func square(x float64) float64 { return x * x }
