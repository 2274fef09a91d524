package proof

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"wormyard/internal/app"
	"wormyard/twin"
)

// point is something that was read or seen, as a number.
type point struct {
	hour int64
	v    float64
}

// plain is what the plain forecasts know at one issue: the readings of every bin,
// by quantity, until then.
type plain struct {
	issue  int64
	areaM2 map[string]float64
	read   [quantities]map[string][]point
	of     [quantities]*habit
}

// Words of a look as numbers: the middle of what a word stands for (common
// practice, no source; the bounds are those of the twin's parameters).
var (
	squeezed = map[string]float64{"dry": 0.5, "crumbly": 0.63, "few drops": 0.73, "drips": 0.81, "runs": 0.86}
	leftOf   = map[string]float64{"gone": 0.05, "some": 0.4, "most": 0.8}
	wormsKg  = map[string]float64{"few": 1.5, "usual": 4.5, "many": 11} // under a square metre
)

// errorSD is how far one reading is off by itself: half a class for a word, the
// dial or logger for a temperature. It is taken out of the past errors of the plain
// forecasts, which are scored against the truth and not against another reading.
var errorSD = [quantities]float64{midC: 0, water: 0.04, feedKg: 0, wormKg: 0.4}

func newPlain(told map[string]app.Told, counts map[string][]point, issue int64) *plain {
	p := &plain{issue: issue, areaM2: map[string]float64{}}
	for q := range p.read {
		p.read[q] = map[string][]point{}
	}
	add := func(q int, bin string, hour int64, v float64) {
		if hour <= issue && !math.IsNaN(v) {
			p.read[q][bin] = append(p.read[q][bin], point{hour, v})
		}
	}
	var off, n float64
	for _, bin := range sorted(told) {
		h := told[bin].History
		p.areaM2[bin] = h.Box.Area()
		for _, r := range h.Readings {
			add(midC, bin, r.Hour, r.TempC)
			add(water, bin, r.Hour, r.Water)
			sd := 1.7
			if r.Probe == "logger" {
				sd = 0.3
			}
			off, n = off+sd*sd, n+1
		}
		for _, l := range h.Looks {
			if w, ok := squeezed[l.Squeeze]; ok {
				add(water, bin, l.Hour, w)
			}
			if w, ok := leftOf[l.FeedLeft]; ok {
				add(feedKg, bin, l.Hour, w*lastFed(h, l.Hour))
			}
			if w, ok := wormsKg[l.Worms]; ok {
				add(wormKg, bin, l.Hour, math.Log(w))
			}
		}
		for _, a := range h.Acts {
			if kg := a.Worms.AdultKg + a.Worms.JuvenileKg; kg > 0 {
				add(wormKg, bin, a.Hour, math.Log(kg/h.Box.Area()))
			}
		}
		for _, c := range counts[bin] {
			add(wormKg, bin, c.hour, math.Log(max(c.v, 0.05)))
		}
		for q := range p.read {
			slices.SortStableFunc(p.read[q][bin], func(a, b point) int { return cmp.Compare(a.hour, b.hour) })
			p.read[q][bin] = daily(p.read[q][bin])
		}
	}
	for q := range p.of {
		sd := errorSD[q]
		if q == midC && n > 0 {
			sd = math.Sqrt(off / n)
		}
		p.of[q] = newHabit(p.read[q], sd)
	}
	return p
}

// lastFed gives the dry matter of the newest feeding before an hour [kg].
func lastFed(h twin.History, hour int64) float64 {
	kg := 0.0
	for _, a := range h.Acts {
		if a.Hour < hour && a.Kind == "feed" {
			kg = float64(a.Matter.Dry)
		}
	}
	return kg
}

// daily keeps the last reading of each day.
func daily(list []point) []point {
	out := list[:0]
	for _, x := range list {
		if k := len(out); k > 0 && out[k-1].hour/24 == x.hour/24 {
			out[k-1] = x
			continue
		}
		out = append(out, x)
	}
	return out
}

// habit is what a quantity did on a farm until an issue: its course over the
// year, how long a difference from it lasts, and how far off forecasts by these
// were.
type habit struct {
	mean   [3]float64 // constant, cosine, sine of the year
	tau    float64    // [day]
	trust  float64    // how much of a difference that was read is true, 0 to 1
	sd     float64    // of a reading's own error
	around []float64  // differences from the course, in order
	errors []lagged   // of damped persistence, in order of lag
}

type lagged struct{ days, off float64 }

func (h *habit) course(hour int64) float64 {
	a := 2 * math.Pi * float64(hour) / (365.25 * 24)
	return h.mean[0] + h.mean[1]*math.Cos(a) + h.mean[2]*math.Sin(a)
}

// keeps gives how much of a difference that was read is expected days later.
func (h *habit) keeps(days float64) float64 { return h.trust * math.Exp(-days/h.tau) }

// taus are the memories tried [day].
var taus = []float64{1, 2, 4, 7, 14, 30, 60, 120, 365}

// mostPairs is how many pairs of readings a memory is found from.
const mostPairs = 4000

func newHabit(read map[string][]point, sd float64) *habit {
	h := &habit{tau: 14, trust: 1}
	bins := sorted(read)
	var all []point
	for _, b := range bins {
		all = append(all, read[b]...)
	}
	h.fit(all)
	for _, x := range all {
		h.around = append(h.around, x.v-h.course(x.hour))
	}
	type pair struct{ days, a, b float64 }
	var pairs []pair
	for _, b := range bins {
		list := read[b]
		for i := range list {
			for j := i + 1; j < len(list) && list[j].hour-list[i].hour <= 60*24; j++ {
				if d := j - i; d > 4 && d%7 != 0 {
					continue
				}
				pairs = append(pairs, pair{float64(list[j].hour-list[i].hour) / 24, list[i].v - h.course(list[i].hour), list[j].v - h.course(list[j].hour)})
			}
		}
	}
	if step := len(pairs)/mostPairs + 1; step > 1 {
		for i := range len(pairs) / step {
			pairs[i] = pairs[i*step+i%step]
		}
		pairs = pairs[:len(pairs)/step]
	}
	least := math.Inf(1)
	for _, tau := range taus {
		var ab, aa, bb float64
		for _, x := range pairs {
			a := x.a * math.Exp(-x.days/tau)
			ab, aa, bb = ab+a*x.b, aa+a*a, bb+x.b*x.b
		}
		if len(pairs) < 10 || !(aa > 0) {
			break
		}
		trust := min(max(ab/aa, 0), 1) // least squares: a reading is partly its own error
		if sum := bb - 2*trust*ab + trust*trust*aa; sum < least {
			least, h.tau, h.trust = sum, tau, trust
		}
	}
	for _, x := range pairs {
		h.errors = append(h.errors, lagged{x.days, x.b - x.a*h.keeps(x.days)})
	}
	slices.SortStableFunc(h.errors, func(a, b lagged) int { return cmp.Compare(a.days, b.days) })
	h.sd = sd
	calm(h.around, sd)
	slices.Sort(h.around)
	return h
}

// calm takes the variance of a reading's own error out of differences.
func calm(list []float64, sd float64) {
	var sum float64
	for _, x := range list {
		sum += x * x
	}
	if !(sum > 0) {
		return
	}
	v := sum / float64(len(list))
	f := math.Sqrt(max(v-sd*sd, 0.1*v) / v)
	for i := range list {
		list[i] *= f
	}
}

// fit finds the course over the year by least squares, pulled a little to no
// season at all, so that the first months make none up.
func (h *habit) fit(all []point) {
	if len(all) == 0 {
		return
	}
	var a [3][4]float64
	for _, x := range all {
		w := 2 * math.Pi * float64(x.hour) / (365.25 * 24)
		r := [4]float64{1, math.Cos(w), math.Sin(w), x.v}
		for i := range 3 {
			for j := range 4 {
				a[i][j] += r[i] * r[j]
			}
		}
	}
	ridge := 0.02 * float64(len(all))
	a[1][1] += ridge
	a[2][2] += ridge
	for i := range 3 { // Gauss without pivots: the matrix is positive definite
		for k := i + 1; k < 3; k++ {
			f := a[k][i] / a[i][i]
			for j := i; j < 4; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	for i := 2; i >= 0; i-- {
		v := a[i][3]
		for j := i + 1; j < 3; j++ {
			v -= a[i][j] * h.mean[j]
		}
		h.mean[i] = v / a[i][i]
	}
}

// dressed is how many values a plain forecast has, as many as there are members.
const dressed = twin.Members

// persists gives damped, dressed persistence of a bin days after the issue: its
// last reading, drawn towards the course of the year, with the past errors of
// such forecasts; where it has none, the course itself. Nil where nothing of the
// sort was ever read on the farm.
func (p *plain) persists(q int, bin string, days int) []float64 {
	list, h := p.read[q][bin], p.of[q]
	if len(list) == 0 || len(h.errors) < 10 {
		return p.seasons(q, bin, days)
	}
	last := list[len(list)-1]
	to := p.issue + int64(days)*24
	lag := float64(to-last.hour) / 24
	v := h.course(to) + (last.v-h.course(last.hour))*h.keeps(lag)
	i, _ := slices.BinarySearchFunc(h.errors, lag, func(e lagged, d float64) int { return cmp.Compare(e.days, d) })
	const near = 150 // errors of about that lag
	from := max(0, min(i-near/2, len(h.errors)-near))
	off := make([]float64, 0, near)
	for _, e := range h.errors[from:min(from+near, len(h.errors))] {
		off = append(off, e.off)
	}
	calm(off, h.sd)
	slices.Sort(off)
	return p.back(q, bin, v, off)
}

// seasons gives the course of the year with what differed from it so far.
func (p *plain) seasons(q int, bin string, days int) []float64 {
	h := p.of[q]
	if len(h.around) < 10 {
		return nil
	}
	return p.back(q, bin, h.course(p.issue+int64(days)*24), h.around)
}

// back dresses a forecast with sorted errors, as evenly spaced quantiles, in the
// measure of the answers.
func (p *plain) back(q int, bin string, v float64, off []float64) []float64 {
	out := make([]float64, dressed)
	for i := range out {
		at := (float64(i) + 0.5) / dressed * float64(len(off)-1)
		k := min(int(at), len(off)-2)
		x := v + off[k] + (at-float64(k))*(off[k+1]-off[k])
		switch q {
		case wormKg:
			x = math.Exp(x) * p.areaM2[bin]
		case feedKg:
			x = max(x, 0)
		}
		out[i] = x
	}
	return out
}

func sorted[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
