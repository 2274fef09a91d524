package proof

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Result is what one sort of farm showed, over its seeds.
type Result struct {
	Farm  string   `json:"farm"`
	Name  string   `json:"name"` // as the command calls it
	Seeds []uint64 `json:"seeds"`
	Bins  int      `json:"bins"`
	Days  int      `json:"days"`
	Made  string   `json:"made"`            // day on which it was run
	Every int      `json:"every,omitempty"` // days from one issue to the next; 0 for nine
	Only  int      `json:"only,omitempty"`  // the last so many bins alone were scored; 0 for all
	Alone bool     `json:"alone,omitempty"` // bins did not learn from each other
	Once  bool     `json:"once,omitempty"`  // too long to be run again with the others
	Cells []Cell   `json:"cells"`
	Worms Factor   `json:"worms"`
	Rank  []Rank   `json:"rank"`
}

// Cell is one quantity at one horizon.
type Cell struct {
	Quantity string     `json:"quantity"`
	Days     int        `json:"days"`
	N        int        `json:"n"`
	Twin     Score      `json:"twin"`
	Keeps    Score      `json:"persistence"`
	Season   Score      `json:"season"`
	Gain     float64    `json:"gain"` // CRPS less than that of persistence, as a share
	GainLow  float64    `json:"gain_low"`
	GainHigh float64    `json:"gain_high"` // least and most over the seeds
	Watched  [2]float64 `json:"gain_watched"`
}

// Score is the mean over forecasts.
type Score struct {
	CRPS float64 `json:"crps"`
	MAE  float64 `json:"mae"`
	Bias float64 `json:"bias"`
	In50 float64 `json:"in50"`
	In90 float64 `json:"in90"`
}

// Factor is how far the middle of the twins' worm mass lies from the truth on the
// last issue, as a factor up or down.
type Factor struct {
	Median float64 `json:"median"` // of the bins
	Ninth  float64 `json:"p90"`
	Bias   float64 `json:"bias"` // twin over truth, median
	In90   float64 `json:"in90"`
	Truth  float64 `json:"truth_kg"` // median
}

// Rank is where the truth lay among the members a week ahead: shares of ten equal
// parts, from below all of them to above.
type Rank struct {
	Quantity string      `json:"quantity"`
	Parts    [10]float64 `json:"parts"`
}

// enough is from how many forecasts on it is drawn how they were spread.
const enough = 20

// Told gives the ranks of which there are enough to draw them.
func (r *Result) Told() (out []Rank) {
	for _, k := range r.Rank {
		if slices.ContainsFunc(r.Cells, func(c Cell) bool { return c.Quantity == k.Quantity && c.Days == 7 && c.N >= enough }) {
			out = append(out, k)
		}
	}
	return out
}

// Picture is where the picture of the ranks lies beside the page; empty for a farm
// that shows what watched bins tell of others.
func (r *Result) Picture() string {
	if watchedOf(*r) >= 0 {
		return ""
	}
	return "proof/" + strings.ReplaceAll(strings.ReplaceAll(r.Farm, ",", ""), " ", "_") + ".svg"
}

// Names are the quantities as they are written, in order, with their units.
var Names = [quantities]string{"mid-bed temperature, C", "moisture, of wet", "feed left, kg dry", "worms, kg"}

// Sum joins the marks of farms of one sort.
func Sum(marks []*Marks, days int, made string) Result {
	r := Result{Farm: marks[0].Farm, Name: marks[0].Name, Bins: marks[0].Bins, Days: days, Made: made}
	for _, m := range marks {
		r.Seeds = append(r.Seeds, m.Seed)
	}
	for q := range quantities {
		for at, days := range append([]int{0}, Horizons...) {
			c := Cell{Quantity: Names[q], Days: days, GainLow: math.Inf(1), GainHigh: math.Inf(-1)}
			var all, watched, not []pair
			plain := slices.ContainsFunc(marks, func(m *Marks) bool { return slices.ContainsFunc(m.pairs[q][at], pair.plain) })
			for _, m := range marks {
				list := fair(m.pairs[q][at], plain)
				if len(list) == 0 {
					continue
				}
				g := gain(list)
				c.GainLow, c.GainHigh = min(c.GainLow, g), max(c.GainHigh, g)
				all = append(all, list...)
			}
			for _, x := range all {
				if x.watch {
					watched = append(watched, x)
				} else {
					not = append(not, x)
				}
			}
			if len(all) == 0 {
				continue
			}
			c.N, c.Gain, c.Watched = len(all), gain(all), [2]float64{gain(watched), gain(not)}
			c.Twin = mean(all, func(p *pair) *score { return &p.twin })
			c.Keeps = mean(all, func(p *pair) *score { return &p.keeps })
			c.Season = mean(all, func(p *pair) *score { return &p.season })
			r.Cells = append(r.Cells, c)
			if days == 7 {
				k := Rank{Quantity: Names[q]}
				for _, x := range all {
					k.Parts[min(int(x.twin.rank*10), 9)] += 1 / float64(len(all))
				}
				r.Rank = append(r.Rank, k)
			}
		}
	}
	r.Worms = factor(marks)
	return r
}

// plain says whether both plain forecasts were made.
func (x pair) plain() bool { return x.keeps.ok && x.season.ok }

// fair keeps the forecasts that all three made; where no plain one was made on any
// of the farms, those of the twins.
func fair(list []pair, plain bool) []pair {
	out := make([]pair, 0, len(list))
	for _, x := range list {
		if x.twin.ok && (!plain || x.plain()) {
			out = append(out, x)
		}
	}
	slices.SortFunc(out, func(a, b pair) int { return cmp.Or(cmp.Compare(a.issue, b.issue), cmp.Compare(a.bin, b.bin)) })
	return out
}

// gain is how much less the CRPS of the twins is than that of persistence; 0 of none.
func gain(list []pair) float64 {
	var t, k float64
	for i := range list {
		t, k = t+list[i].twin.crps, k+list[i].keeps.crps
	}
	if k == 0 {
		return 0
	}
	return 1 - t/k
}

func mean(list []pair, of func(*pair) *score) (s Score) {
	n := float64(len(list))
	for i := range list {
		x := of(&list[i])
		s.CRPS += x.crps / n
		s.MAE += math.Abs(x.off) / n
		s.Bias += x.off / n
		if x.in50 {
			s.In50 += 1 / n
		}
		if x.in90 {
			s.In90 += 1 / n
		}
	}
	return s
}

func factor(marks []*Marks) (f Factor) {
	var off, ratio, truth []float64
	for _, m := range marks {
		var last int64
		for _, x := range m.pairs[wormKg][0] {
			last = max(last, x.issue)
		}
		for _, x := range m.pairs[wormKg][0] {
			if x.issue != last || !(x.truth > 0) {
				continue
			}
			g := max(x.twin.mid, 0.01) / x.truth
			off, ratio, truth = append(off, max(g, 1/g)), append(ratio, g), append(truth, x.truth)
			if x.twin.in90 {
				f.In90++
			}
		}
	}
	if len(off) == 0 {
		return f
	}
	slices.Sort(off)
	slices.Sort(ratio)
	slices.Sort(truth)
	at := func(v []float64, q float64) float64 { return v[int(q*float64(len(v)-1)+0.5)] }
	f.Median, f.Ninth, f.Bias, f.Truth, f.In90 = at(off, 0.5), at(off, 0.9), at(ratio, 0.5), at(truth, 0.5), f.In90/float64(len(off))
	return f
}
