package twin

import (
	"cmp"
	"math"
	"slices"
)

// Lesson is what the twins of a bin expected of something that was found in it,
// before it moved them.
type Lesson struct {
	Bin      string    `json:"bin"`
	Hour     int64     `json:"hour"`
	What     string    `json:"what"`     // which kind of thing, and where in the bed
	Expected []float64 `json:"expected"` // by member, in the measure in which it was taken in
	Told     float64   `json:"told"`     // the same of what was found
	SD       float64   `json:"sd"`       // error of the telling
}

// Learn gives anew how far the members' numbers of nature lie from their middles
// [standard deviations], after some days and the lessons of that time. What a few
// watched bins show thereby reaches all others, which run with the same numbers.
// The update is a serial square-root Kalman update over the lessons, joined over
// the bins, with what the members expect of the later ones moved along, so that
// nothing is learned twice; of a correlation only what is more than chance among
// so few members counts. docs/model.md (T15).
func (p *Parameters) Learn(z [][]float64, days float64, lessons []Lesson) [][]float64 {
	numbers := columns(z)
	for k := range numbers {
		p.forget(numbers[k], days)
	}
	l := p.joined(lessons, len(z))
	for i := range l {
		if _, variance := moments(l[i].Expected); !(variance > 0) {
			continue
		}
		u := newUpdate(l[i].Expected, l[i].Told, square(l[i].SD))
		for k := range numbers {
			u.move(numbers[k], 1)
		}
		for j := i + 1; j < len(l); j++ {
			u.move(l[j].Expected, 1)
		}
	}
	for k := range numbers {
		p.leave(numbers[k])
	}
	return columns(numbers)
}

// forget lets a number drift back to what it was before anybody learned anything,
// as an autoregression of first order whose memory is LearnMemory: nature is not
// the same in all mixes and seasons. docs/model.md (T15).
func (p *Parameters) forget(v []float64, days float64) {
	mean, variance := moments(v)
	if !(variance > 0) || p.LearnMemory <= 0 {
		return
	}
	keep := math.Exp(-days / p.LearnMemory)
	wider := math.Sqrt(square(keep) + (1-square(keep))/variance)
	if variance > 1 {
		wider = 1
	}
	for m := range v {
		v[m] = keep*mean + (v[m]-mean)*wider
	}
}

// leave keeps a number from being known better than nature allows.
func (p *Parameters) leave(v []float64) {
	mean, variance := moments(v)
	sd := math.Sqrt(variance)
	if !(sd > 0) || sd >= p.LearnLeast {
		return
	}
	for m := range v {
		v[m] = mean + (v[m]-mean)*p.LearnLeast/sd
	}
}

// joined makes one lesson of all of one kind and place in the bed. Errors of the
// instrument average out over readings; what the twins of a bin are wrong about in
// that bin averages out over bins only; what they are wrong about in all bins does
// not. The lessons come in order of their kind.
func (p *Parameters) joined(lessons []Lesson, members int) []Lesson {
	all := slices.DeleteFunc(slices.Clone(lessons), func(l Lesson) bool {
		return len(l.Expected) != members || math.IsNaN(l.Told) || !(l.SD > 0)
	})
	slices.SortStableFunc(all, func(a, b Lesson) int {
		return cmp.Or(cmp.Compare(a.What, b.What), cmp.Compare(a.Bin, b.Bin), cmp.Compare(a.Hour, b.Hour))
	})
	var out []Lesson
	for len(all) > 0 {
		n := count(all, func(l Lesson) bool { return l.What == all[0].What })
		var bins []Lesson
		for of := all[:n]; len(of) > 0; {
			k := count(of, func(l Lesson) bool { return l.Bin == of[0].Bin })
			bins = append(bins, mean(of[:k]))
			of = of[k:]
		}
		for i := range bins {
			_, variance := moments(bins[i].Expected)
			bins[i].SD = math.Hypot(bins[i].SD, p.LearnOwn*math.Sqrt(variance))
		}
		j := mean(bins)
		_, variance := moments(j.Expected)
		j.SD = math.Hypot(j.SD, p.LearnShared*math.Sqrt(variance))
		out = append(out, j)
		all = all[n:]
	}
	return out
}

// mean joins lessons whose errors are independent.
func mean(of []Lesson) Lesson {
	n := float64(len(of))
	j := Lesson{What: of[0].What, Hour: of[len(of)-1].Hour, Expected: make([]float64, len(of[0].Expected))}
	var noise float64
	for _, l := range of {
		for m, v := range l.Expected {
			j.Expected[m] += v / n
		}
		j.Told += l.Told / n
		noise += square(l.SD)
	}
	j.SD = math.Sqrt(noise) / n
	return j
}

// moments gives the mean and the variance of members.
func moments(v []float64) (mean, variance float64) {
	n := float64(len(v))
	for _, x := range v {
		mean += x / n
	}
	for _, x := range v {
		variance += (x - mean) * (x - mean) / (n - 1)
	}
	return mean, variance
}

// Moments gives the mean and the spread of each number over the members of z
// [standard deviations].
func Moments(z [][]float64) (mean, sd []float64) {
	for _, v := range columns(z) {
		m, variance := moments(v)
		mean, sd = append(mean, m), append(sd, math.Sqrt(variance))
	}
	return mean, sd
}

// columns gives the transpose: members by knob, or knobs by member.
func columns(z [][]float64) [][]float64 {
	if len(z) == 0 {
		return nil
	}
	out := make([][]float64, len(z[0]))
	for k := range out {
		out[k] = make([]float64, len(z))
		for m := range z {
			out[k][m] = z[m][k]
		}
	}
	return out
}
