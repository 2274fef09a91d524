package lab

import (
	"fmt"
	"math"

	"wormyard/chance"
	"wormyard/qty"
)

// Bounds are the ends of an interval.
type Bounds struct{ Low, High float64 }

func (b Bounds) times(f float64) Bounds { return Bounds{b.Low * f, b.High * f} }

// Poisson gives the exact interval of the mean that a count comes from: at each
// end the count or one further out has half of what the confidence leaves.
// model.md (L2).
func Poisson(count, confidence float64) Bounds {
	out := (1 - confidence) / 2
	var b Bounds
	if count > 0 {
		b.Low = chance.ChiQuantile(out, 2*count) / 2
	}
	b.High = chance.ChiQuantile(1-out, 2*count+2) / 2
	return b
}

// NothingSeen gives the mean under which a count of none would come only once in
// 1/(1 - confidence) times: what may be there when none was seen. model.md (L3).
func NothingSeen(confidence float64) float64 { return -math.Log(1 - confidence) }

type intervalIn struct {
	Count      float64 `json:"count" unit:"-" low:"0" high:"1e7" doc:"how many were seen in all"`
	Exposure   float64 `json:"exposure" unit:"fields, g or mL" low:"0" high:"1e12" doc:"how much was looked at"`
	Confidence float64 `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type intervalOut struct {
	Rate     float64 `json:"rate" unit:"1/exposure"`
	Low      float64 `json:"low" unit:"1/exposure"`
	High     float64 `json:"high" unit:"1/exposure"`
	LessThan float64 `json:"less_than" unit:"1/exposure" doc:"one-sided upper limit; what is shown when none was seen"`
	Shown    string  `json:"shown"`
}

func intervalFigure(in intervalIn) (out intervalOut, notes []string, err error) {
	var p problems
	p.count("count", "The count", in.Count)
	p.Over0("exposure", "What was looked at", in.Exposure)
	p.confidence(in.Confidence)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	b := Poisson(in.Count, in.Confidence).times(1 / in.Exposure)
	out = intervalOut{in.Count / in.Exposure, b.Low, b.High, chance.ChiQuantile(in.Confidence, 2*in.Count+2) / 2 / in.Exposure, ""}
	out.Shown = shown(in.Count, out.Rate, b, NothingSeen(in.Confidence)/in.Exposure)
	if in.Count == 0 {
		notes = []string{fmt.Sprintf("None was seen in what was looked at. With so little looked at, up to %s may be there (one-sided, %s).", qty.Figures(out.LessThan), percent(in.Confidence))}
	}
	return out, notes, nil
}

// shown prints a rate with its interval, or the limit of detection when nothing
// was seen: never 0.
func shown(count, rate float64, b Bounds, limit float64) string {
	if count == 0 {
		return "<" + qty.Figures(limit)
	}
	return fmt.Sprintf("%s (%s to %s)", qty.Figures(rate), qty.Figures(b.Low), qty.Figures(b.High))
}

func percent(f float64) string { return qty.Figures(100*f) + " %" }

type shareIn struct {
	Hit        float64 `json:"count" unit:"-" low:"0" high:"1e7" doc:"how many of them"`
	Of         float64 `json:"of" unit:"-" low:"1" high:"1e7" doc:"how many were looked at"`
	Confidence float64 `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type shareOut struct {
	Share    float64 `json:"share_frac" unit:"-"`
	Low      float64 `json:"low" unit:"-"`
	High     float64 `json:"high" unit:"-"`
	LessThan float64 `json:"less_than" unit:"-" doc:"one-sided upper limit"`
}

// Share gives the exact interval (Clopper and Pearson) of a share of which x of
// n were seen. model.md (L4).
func Share(x, n, confidence float64) Bounds {
	out := (1 - confidence) / 2
	b := Bounds{0, 1}
	if x > 0 {
		b.Low = chance.BetaQuantile(out, x, n-x+1)
	}
	if x < n {
		b.High = chance.BetaQuantile(1-out, x+1, n-x)
	}
	return b
}

func shareFigure(in shareIn) (out shareOut, notes []string, err error) {
	var p problems
	p.count("count", "The count", in.Hit)
	p.count("of", "How many were looked at", in.Of)
	p.Over0("of", "How many were looked at", in.Of)
	p.confidence(in.Confidence)
	if in.Hit > in.Of {
		p.Add("count", fmt.Sprintf("%g of %g is more than all.", in.Hit, in.Of), "Look whether the two were swapped.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	b := Share(in.Hit, in.Of, in.Confidence)
	out = shareOut{in.Hit / in.Of, b.Low, b.High, 1}
	if in.Hit < in.Of {
		out.LessThan = chance.BetaQuantile(in.Confidence, in.Hit+1, in.Of-in.Hit)
	}
	return out, nil, nil
}
