package rstats

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"testing"

	"wormyard/lab"
)

// A tolerance is relative, and absolute under 1; why says where it comes from.
type tolerance struct {
	within float64
	why    string
}

var tolerances = map[string]tolerance{
	"poisson":    {1e-9, "the same quantiles by two programs, both to near the last digits"},
	"share":      {1e-9, "as poisson"},
	"rates":      {1e-6, "R counts points as equally unlikely within 1e-7, and its limits are searched to that"},
	"clumps":     {1e-5, "the top of a flat likelihood is found to the root of the last digits; the rest are closed forms"},
	"nbinom":     {0, "whole numbers"},
	"tubes":      {2e-6, "the top of a flat likelihood, as clumps; the limits lie where it is steep"},
	"difference": {1e-9, "closed forms"},
}

type row struct {
	What string      `json:"what"`
	In   [][]float64 `json:"in"`
	Out  []*float64  `json:"out"`
}

func TestAgainstR(t *testing.T) {
	file := os.Getenv("WORMYARD_RSTATS")
	if file == "" {
		t.Skip("bench/rstats/run gives the numbers; ./check full runs it")
	}
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	worst, seen := map[string]float64{}, map[string]int{}
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		var r row
		if err := json.Unmarshal(lines.Bytes(), &r); err != nil {
			t.Fatalf("%s: %v", lines.Text(), err)
		}
		ours := compute(t, r)
		if len(ours) != len(r.Out) {
			t.Fatalf("%s: R gives %d numbers, we %d", lines.Text(), len(r.Out), len(ours))
		}
		seen[r.What]++
		for i, theirs := range r.Out {
			switch {
			case theirs == nil && (math.IsNaN(ours[i]) || math.IsInf(ours[i], 0)):
				continue
			case theirs == nil:
				t.Errorf("%s, number %d: R has none, we %g", lines.Text(), i, ours[i])
				continue
			}
			off := math.Abs(ours[i]-*theirs) / math.Max(1, math.Abs(*theirs))
			worst[r.What] = math.Max(worst[r.What], off)
			if !(off <= tolerances[r.What].within) {
				t.Errorf("%s, number %d: R %g, we %g (%s)", lines.Text(), i, *theirs, ours[i], tolerances[r.What].why)
			}
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	for what, least := range map[string]int{"poisson": 52, "share": 10, "rates": 6, "clumps": 5, "nbinom": 18, "tubes": 60, "difference": 8} {
		if seen[what] < least {
			t.Errorf("%d cases of %s came, want %d", seen[what], what, least)
		}
		t.Logf("%-10s %3d cases, off by at most %.1e, allowed %.1e: %s", what, seen[what], worst[what], tolerances[what].within, tolerances[what].why)
	}
}

func or(p *float64) float64 {
	if p == nil {
		return math.NaN()
	}
	return *p
}

// compute gives what we make of a case, in the order in which R prints it.
func compute(t *testing.T, r row) []float64 {
	in := r.In
	switch r.What {
	case "poisson":
		b := lab.Poisson(in[0][0], in[1][0])
		return []float64{b.Low, b.High}
	case "share":
		b := lab.Share(in[0][0], in[1][0], in[2][0])
		return []float64{b.Low, b.High}
	case "rates":
		x := in[0]
		c := lab.CompareRates(x[0], x[1], x[2], x[3], 0.95, 0.05, true)
		return []float64{c.Low, or(c.High), c.P}
	case "clumps":
		c := lab.ClumpsOf(in[0], 0.95)
		return []float64{c.Mean, c.Variance, c.Dispersion, c.Clumped, c.TooEven, or(c.KLikely)}
	case "nbinom":
		x := in[0]
		return []float64{lab.NegativeBinomialQuantile(x[2], x[0], x[1]), lab.NegativeBinomialQuantile(1-x[2], x[0], x[1])}
	case "tubes":
		levels := make([]lab.Level, len(in[0]))
		for i, amount := range []float64{0.1, 0.01, 0.001} {
			levels[i] = lab.Level{Amount: amount, Tubes: in[0][i], Positive: in[1][i]}
		}
		x := lab.TubesOf(levels, "likelihood", 0.95)
		return []float64{or(x.Number), x.Low, or(x.High)}
	case "difference":
		d := lab.Difference(in[0], in[1], in[2][0])
		return []float64{d.Difference, d.Bounds.Low, d.Bounds.High, d.P, d.DF}
	}
	t.Fatalf("R tells of %q, which is not known here", r.What)
	return nil
}
