package proof

import (
	"encoding/csv"
	"io"
	"math"
	"slices"
	"strconv"
	"sync"

	"wormyard/twin"
)

// Marks is what the twins and the plain forecasts scored on one farm.
type Marks struct {
	Farm   string
	Name   string // as the command calls it
	Seed   uint64
	Bins   int
	Issues int

	mu    sync.Mutex
	seen  map[int64]bool
	pairs [quantities][1 + 4][]pair // in no order
}

// pair is one forecast held against the truth.
type pair struct {
	bin    string
	issue  int64
	truth  float64
	watch  bool // a logger sits in the bin, or it was read within a week
	twin   score
	keeps  score // damped, dressed persistence
	season score
}

// score is how one forecast did.
type score struct {
	ok             bool
	crps, off, mid float64
	rank           float64 // share of the members below the truth, of ties half
	in50, in90     bool
	low, high      float64 // of the 90 % range
}

func newMarks(f *Farm) *Marks {
	return &Marks{Farm: f.Name, Seed: f.Seed, Bins: len(f.Answers), seen: map[int64]bool{}}
}

func (m *Marks) take(f *Farm, bin string, issue int64, s *said, p *plain) {
	for at := range s {
		days := 0
		if at > 0 {
			days = Horizons[at-1]
		}
		t, ok := f.Answers[bin][issue+int64(days)*24]
		if !ok {
			continue
		}
		for q, truth := range [quantities]float64{t.MidC, t.Water, t.FeedKg, t.WormKg} {
			if math.IsNaN(truth) || len(s[at][q]) == 0 || math.IsNaN(s[at][q][0]) {
				continue
			}
			x := pair{bin: bin, issue: issue, truth: truth, twin: mark(s[at][q], truth), keeps: mark(p.persists(q, bin, days), truth), season: mark(p.seasons(q, bin, days), truth)}
			if list := p.read[midC][bin]; len(list) > 0 && issue-list[len(list)-1].hour <= 7*24 {
				x.watch = true
			}
			m.mu.Lock()
			m.pairs[q][at] = append(m.pairs[q][at], x)
			if !m.seen[issue] {
				m.seen[issue] = true
				m.Issues++
			}
			m.mu.Unlock()
		}
	}
}

// WriteAll writes every forecast of a farm beside the truth, one a row, to see
// where they go wrong.
func (m *Marks) WriteAll(w io.Writer) error {
	out := csv.NewWriter(w)
	out.Write([]string{"farm", "seed", "bin", "issue_hour", "quantity", "days", "truth", "low", "mid", "high", "crps", "persistence", "persistence_crps"})
	num := func(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
	for q := range quantities {
		for at, days := range append([]int{0}, Horizons...) {
			for _, x := range fair(m.pairs[q][at], slices.ContainsFunc(m.pairs[q][at], pair.plain)) {
				out.Write([]string{m.Name, strconv.FormatUint(m.Seed, 10), x.bin, strconv.FormatInt(x.issue, 10), Names[q], strconv.Itoa(days),
					num(x.truth), num(x.twin.low), num(x.twin.mid), num(x.twin.high), num(x.twin.crps), num(x.keeps.mid), num(x.keeps.crps)})
			}
		}
	}
	out.Flush()
	return out.Error()
}

// mark scores a forecast given as equally likely values against the truth.
func mark(v []float64, truth float64) score {
	if len(v) == 0 {
		return score{}
	}
	v = slices.Clone(v)
	r, h := twin.RangeOf(v), twin.HalfOf(v)
	s := score{ok: true, crps: CRPS(v, truth), mid: r.Mid, low: r.Low, high: r.High, off: r.Mid - truth, in50: h.Low <= truth && truth <= h.High, in90: r.Low <= truth && truth <= r.High}
	for _, x := range v {
		if x < truth {
			s.rank++
		} else if x == truth {
			s.rank += 0.5
		}
	}
	s.rank /= float64(len(v))
	return s
}

// CRPS gives the continuous ranked probability score of equally likely values
// against the truth, in the unit of both: the mean distance from the truth less
// half the mean distance among themselves.
func CRPS(v []float64, truth float64) float64 { return twin.Foretell(v, 0).CRPS(truth) }
