package lab

import (
	"fmt"
	"math"

	"wormyard/chance"
)

// Differs is the difference between the means of two sides of a trial.
type Differs struct {
	A, B       float64 // means
	Difference float64 // of A less B
	Bounds     Bounds
	P          float64 // chance of so much or more where there is none, two-sided
	DF         float64 // degrees of freedom
	Told       bool    // there are limits: each side has two units or more that are not all alike
}

// Difference gives the difference of the means of two sides, each with a variance
// of its own; a unit is a bin, not a reading, as readings of one bin are not
// independent. Where a side has one unit, or nothing varies on either, there are no
// limits. model.md (L41).
func Difference(a, b []float64, confidence float64) Differs {
	ma, va := meanVariance(a)
	mb, vb := meanVariance(b)
	d := Differs{A: ma, B: mb, Difference: ma - mb, P: 1}
	na, nb := float64(len(a)), float64(len(b))
	if na < 2 || nb < 2 {
		return d
	}
	ea, eb := va/na, vb/nb
	se := math.Sqrt(ea + eb)
	if !(se > 0) {
		return d
	}
	d.DF = (ea + eb) * (ea + eb) / (ea*ea/(na-1) + eb*eb/(nb-1))
	half := chance.TwoSided(confidence, d.DF) * se
	d.Bounds, d.Told = Bounds{d.Difference - half, d.Difference + half}, true
	d.P = chance.StudentTwoSided(math.Abs(d.Difference)/se, d.DF)
	return d
}

type differenceIn struct {
	A          []float64 `json:"a" unit:"-" low:"-1e9" high:"1e9" doc:"one value for each bin of one side"`
	B          []float64 `json:"b" unit:"-" low:"-1e9" high:"1e9" doc:"of the other side"`
	Confidence float64   `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type differenceOut struct {
	A          float64  `json:"mean_a" unit:"-"`
	B          float64  `json:"mean_b" unit:"-"`
	Difference float64  `json:"difference" unit:"-"`
	Low        *float64 `json:"low" unit:"-" doc:"null where no limits can be given"`
	High       *float64 `json:"high" unit:"-"`
	P          float64  `json:"p" unit:"-"`
	DF         *float64 `json:"df" unit:"-"`
}

func differenceFigure(in differenceIn) (out differenceOut, notes []string, err error) {
	var p problems
	for _, side := range []struct {
		key  string
		list []float64
	}{{"a", in.A}, {"b", in.B}} {
		if n := len(side.list); n < 1 || n > 10000 {
			p.Add(side.key, fmt.Sprintf("%d bins are given.", n), "Give the value of each bin of the side, from 1 to 10000 of them.")
		}
		for i, v := range side.list {
			p.Between(fmt.Sprintf("%s[%d]", side.key, i), "The value", v, -1e9, 1e9)
		}
	}
	p.confidence(in.Confidence)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	d := Difference(in.A, in.B, in.Confidence)
	out = differenceOut{A: d.A, B: d.B, Difference: d.Difference, P: d.P}
	if d.Told {
		out.Low, out.High, out.DF = &d.Bounds.Low, &d.Bounds.High, &d.DF
	} else {
		notes = append(notes, "No limits can be given: a side of one bin, or bins that are all alike, say nothing of how bins differ.")
	}
	return out, notes, nil
}
