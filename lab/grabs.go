package lab

import (
	"fmt"
	"math"

	"wormyard/chance"
	"wormyard/figure"
	"wormyard/qty"
)

// GrabsFor gives how many grabs bring the half width of the interval of a
// composite to half, with the standard deviation between grabs. model.md (L36).
func GrabsFor(sd, half, confidence float64) float64 {
	n := chance.TwoSided(confidence, math.Inf(1)) * sd / half
	return n * n
}

// BagsToOpen gives of how many of so many bags a composite is made: the square root
// of them within bounds. Our choice; common practice, no source. model.md (L36).
func (par Parameters) BagsToOpen(bags float64) float64 {
	return min(bags, min(par.BagsMost, max(par.BagsLeast, math.Ceil(math.Sqrt(bags)-1e-9))))
}

// A Grab is one handful for a composite.
type Grab struct {
	Bin   string `json:"bin"`
	Depth string `json:"depth"`
}

// GrabPlan spreads n grabs over bins and depths so that every bin has as many as
// the next, or one more, and every depth comes up in turn. With fewer grabs than
// bins, the bins are taken evenly along the list.
func GrabPlan(n int, bins, depths []string) []Grab {
	out := make([]Grab, 0, n)
	for i := range n {
		b := i % len(bins)
		turn := i / len(bins)
		if n < len(bins) {
			b = i * len(bins) / n
		}
		out = append(out, Grab{bins[b], depths[(b+turn)%len(depths)]})
	}
	return out
}

type grabsIn struct {
	SD         *float64 `json:"sd" unit:"as the value" low:"0" high:"1e12" doc:"standard deviation between grabs, from earlier lots"`
	Wanted     *float64 `json:"half_width" unit:"as the value" low:"0" high:"1e12" doc:"how near the composite shall come"`
	Confidence float64  `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
	Bins       []string `json:"bins" doc:"bins or places of the lot"`
	Depths     []string `json:"depths" doc:"absent: top, middle, bottom"`
	Bags       *float64 `json:"bags" unit:"bags" low:"1" high:"1e6" doc:"of a lot that is bagged already"`
}

type grabsOut struct {
	Grabs float64  `json:"grabs" unit:"grabs"`
	Exact *float64 `json:"grabs_exact" unit:"grabs"`
	Plan  []Grab   `json:"plan"`
	Why   string   `json:"why"`
}

const mostGrabs = 1000

func (par Parameters) grabsFigure(in grabsIn) (out grabsOut, notes []string, err error) {
	var p problems
	p.confidence(in.Confidence)
	if (in.SD == nil) != (in.Wanted == nil) {
		p.Add("half_width", "The spread between grabs and how near to come are needed together.", "Give both, or neither.")
	}
	if in.SD != nil && in.Wanted != nil {
		p.Over0("half_width", "How near to come", *in.Wanted)
		p.Between("sd", "The spread between grabs", *in.SD, 0, 1e12)
	}
	if in.Bags != nil {
		p.count("bags", "The number of bags", *in.Bags)
		p.Over0("bags", "The number of bags", *in.Bags)
	}
	if len(in.Bins) > 10000 || len(in.Depths) > 100 {
		p.Add("bins", "That many bins or depths are not one lot.", "Give one lot at a time.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	out.Plan = []Grab{}
	switch {
	case in.SD != nil:
		n := GrabsFor(*in.SD, *in.Wanted, in.Confidence)
		if n > mostGrabs {
			return out, nil, figure.Refuse("half_width", fmt.Sprintf("That would take more than %d grabs.", mostGrabs), "Ask for less, or mix the lot first.")
		}
		out.Exact = &n
		out.Grabs = max(1, math.Ceil(n-1e-9))
		out.Why = fmt.Sprintf("Grabs differ by %s (standard deviation), and the mean of all shall be known to ±%s at %s.", qty.Figures(*in.SD), qty.Figures(*in.Wanted), percent(in.Confidence))
	case in.Bags != nil:
		out.Grabs = par.BagsToOpen(*in.Bags)
		out.Why = fmt.Sprintf("The square root of %g bags, at least %g and at most %g.", *in.Bags, par.BagsLeast, par.BagsMost)
		notes = append(notes, "Our choice; the square root is common practice and has no theory behind it.")
	default:
		out.Grabs = par.CutsLeast
		out.Why = "Nothing is known of how grabs differ here: five cuts at three depths. Test a few grabs one by one some time, then the number can be worked out."
	}
	if len(in.Bins) > 0 {
		depths := in.Depths
		if len(depths) == 0 {
			depths = []string{"top", "middle", "bottom"}
		}
		if in.SD == nil && in.Bags == nil {
			out.Grabs = min(mostGrabs, max(out.Grabs, float64(len(in.Bins))))
		}
		out.Plan = GrabPlan(int(out.Grabs), in.Bins, depths)
	}
	return out, notes, nil
}
