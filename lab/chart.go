package lab

import (
	"fmt"
	"math"

	"wormyard/chance"
)

// Chart is a run chart of lots with limits.
type Chart struct {
	Center float64
	Limits []Bounds
	Out    []int   // lots beyond their limits
	Widen  float64 // by how much clumping widens the limits, where over 1; 1 for plain ones
	Even   float64 // chance of as even a baseline when only chance parts its lots
}

// ChartOf draws limits from the first baseline lots and holds all against them:
// counts[i] over exposures[i], sigmas out. Clumped widens the limits by how much
// neighbours differ beyond chance and never narrows them under what chance alone
// makes, which for few is more than a normal has it. model.md (L23).
func ChartOf(counts, exposures []float64, baseline int, sigmas float64, clumped bool) Chart {
	var sum, over float64
	for i := range baseline {
		sum += counts[i]
		over += exposures[i]
	}
	c := Chart{Center: sum / over, Widen: 1, Even: 1}
	z := func(i int) float64 {
		return (counts[i]/exposures[i] - c.Center) / math.Sqrt(c.Center/exposures[i])
	}
	if clumped && baseline >= 2 && c.Center > 0 {
		moves, squares := 0.0, z(0)*z(0)
		for i := 1; i < baseline; i++ {
			moves += math.Abs(z(i) - z(i-1))
			squares += z(i) * z(i)
		}
		c.Even = chance.GammaLower(float64(baseline-1)/2, squares/2)
		c.Widen = moves / float64(baseline-1) / meanRange
	}
	for i := range counts {
		half := sigmas * math.Sqrt(c.Center/exposures[i])
		b := Bounds{max(0, c.Center-half), c.Center + half}
		if clumped {
			half *= max(1, c.Widen)
			exact := chanceAlone(c.Center, over, exposures[i], sigmas)
			b = Bounds{max(0, min(c.Center-half, exact.Low)), max(c.Center+half, exact.High)}
		}
		c.Limits = append(c.Limits, b)
		if u := counts[i] / exposures[i]; u < b.Low || u > b.High {
			c.Out = append(c.Out, i)
		}
	}
	return c
}

// chanceAlone is how far counts without clumps lie from a rate, with as much beyond
// each end as so many sigmas of a normal leave: exactly where few are expected. Where
// the baseline, over so much, saw none, the rate is the most that may have been
// there. model.md (L23).
func chanceAlone(center, over, exposure, sigmas float64) Bounds {
	rate := center
	if center == 0 {
		rate = NothingSeen(0.95) / over
	}
	if rate*exposure > mostExact {
		half := sigmas * math.Sqrt(rate/exposure)
		return Bounds{max(0, rate-half), rate + half}
	}
	tail := chance.NormalLower(-sigmas)
	return Bounds{poissonQuantile(tail, rate*exposure) / exposure, poissonQuantile(1-tail, rate*exposure) / exposure}
}

const mostExact = 100 // expected, from where the normal is off by a hundredth at most

// meanRange is the mean distance of two standard normals, 2/sqrt(pi).
const meanRange = 2 / math.SqrtPi

type chartLot struct {
	Count    float64 `json:"count" unit:"-" low:"0" high:"1e7"`
	Exposure float64 `json:"n" unit:"fields, g or mL" low:"0" high:"1e9" doc:"how much was looked at"`
}

type chartIn struct {
	Lots     []chartLot `json:"lots" doc:"in the order they were made"`
	Baseline *float64   `json:"baseline" unit:"lots" low:"2" high:"1e6" doc:"how many from the start set the limits; absent, all"`
	Method   string     `json:"method" choice:"plain,clumped" default:"clumped"`
}

type chartLimit struct {
	Low  float64 `json:"low" unit:"1/n"`
	High float64 `json:"high" unit:"1/n"`
}

type chartOut struct {
	Center float64      `json:"center" unit:"1/n"`
	Limits []chartLimit `json:"limits"`
	Out    []int        `json:"out" doc:"lots beyond the limits, from 0"`
	Widen  float64      `json:"widened_by" unit:"-"`
}

func (par Parameters) chartFigure(in chartIn) (out chartOut, notes []string, err error) {
	var p problems
	if len(in.Lots) < 2 {
		p.Add("lots", fmt.Sprintf("%d lots are too few for a chart.", len(in.Lots)), "Give at least two, better twenty.")
	}
	if len(in.Lots) > mostLots {
		p.Add("lots", fmt.Sprintf("%d lots are given; %d is the most that is drawn.", len(in.Lots), mostLots), "Give the newer ones.")
	}
	var counts, over []float64
	for i, l := range in.Lots {
		p.count(fmt.Sprintf("lots[%d].count", i), fmt.Sprintf("The count of lot %d", i+1), l.Count)
		p.Over0(fmt.Sprintf("lots[%d].n", i), fmt.Sprintf("What was looked at of lot %d", i+1), l.Exposure)
		counts, over = append(counts, l.Count), append(over, l.Exposure)
	}
	baseline := len(in.Lots)
	if in.Baseline != nil {
		if b := *in.Baseline; b < 2 || b > float64(len(in.Lots)) || b != math.Trunc(b) {
			p.Add("baseline", fmt.Sprintf("The first %g lots cannot set the limits of %d.", b, len(in.Lots)), fmt.Sprintf("Give a whole number from 2 to %d.", len(in.Lots)))
		} else {
			baseline = int(b)
		}
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	c := ChartOf(counts, over, baseline, par.Sigmas, in.Method == "clumped")
	out = chartOut{Center: c.Center, Out: c.Out, Widen: c.Widen, Limits: []chartLimit{}}
	if out.Out == nil {
		out.Out = []int{}
	}
	for _, b := range c.Limits {
		out.Limits = append(out.Limits, chartLimit(b))
	}
	if float64(baseline) < par.Baseline {
		notes = append(notes, fmt.Sprintf("Only %d lots set the limits; fewer than %g are loose, and one wild lot among them widens the limits so that it hides.", baseline, par.Baseline))
	}
	if c.Even < par.Doubt {
		notes = append(notes, "The lots lie closer together than chance makes them. Look how they were counted.")
	}
	return out, notes, nil
}

const mostLots = 20000
