package harvest

import (
	"fmt"
	"math"

	"wormyard/figure"
	"wormyard/qty"
)

// A Layer is a part of a bin as a twin sees it, from the bottom up.
type Layer struct {
	Thickness qty.Metre    `json:"thickness_m" unit:"m" low:"0" high:"10"`
	Dry       qty.DryKg    `json:"dry_kg" unit:"kg dry" low:"0" high:"1e6"`
	Worked    qty.Fraction `json:"worked_frac" unit:"-" low:"0" high:"1" doc:"part of the dry matter that worms have worked"`
	Feed      qty.Fraction `json:"feed_frac" unit:"-" low:"0" high:"1" doc:"part of it that is feed not yet worked"`
}

// Ripeness is how far a bin is on its way to castings.
type Ripeness struct {
	Worked qty.Fraction // of all dry matter
	Feed   qty.Fraction // of all dry matter
	Ripe   bool         // the whole of it
	Depth  qty.Metre    // from the bottom up to where every layer is ripe
	Dry    qty.DryKg    // in that depth
	Wanted []string     // what is missing, in words
}

// Ripeness judges a bin from the shares of its layers: ripe is what is worked to
// Parameters.RipeWorked and holds no more feed than Parameters.RipeFeed.
// model.md (S14).
func (par Parameters) Ripeness(layers []Layer) Ripeness {
	var r Ripeness
	var dry, worked, feed float64
	rising := true
	for _, l := range layers {
		dry += float64(l.Dry)
		worked += float64(l.Worked) * float64(l.Dry)
		feed += float64(l.Feed) * float64(l.Dry)
		rising = rising && par.ripe(float64(l.Worked), float64(l.Feed))
		if rising {
			r.Depth += l.Thickness
			r.Dry += l.Dry
		}
	}
	if dry == 0 {
		r.Wanted = []string{"There is nothing in it."}
		return r
	}
	r.Worked, r.Feed = qty.Fraction(worked/dry), qty.Fraction(feed/dry)
	r.Ripe = par.ripe(float64(r.Worked), float64(r.Feed))
	if float64(r.Worked) < par.RipeWorked {
		r.Wanted = append(r.Wanted, fmt.Sprintf("%s is worked; ripe is %s.", percent(float64(r.Worked)), percent(par.RipeWorked)))
	}
	if float64(r.Feed) > par.RipeFeed {
		r.Wanted = append(r.Wanted, fmt.Sprintf("%s is feed still; stop feeding about %s days before the harvest.", percent(float64(r.Feed)), qty.Figures(par.StopFeed)))
	}
	return r
}

func (par Parameters) ripe(worked, feed float64) bool {
	return worked >= par.RipeWorked && feed <= par.RipeFeed
}

// ChanceRipe is the share of members that are ripe.
func ChanceRipe(members []Ripeness) qty.Fraction {
	n := 0.0
	for _, m := range members {
		if m.Ripe {
			n++
		}
	}
	return qty.Fraction(n / float64(max(1, len(members))))
}

type ripeIn struct {
	Layers []Layer `json:"layers" doc:"from the bottom up"`
}

type ripeOut struct {
	Worked float64  `json:"worked_frac" unit:"-"`
	Feed   float64  `json:"feed_frac" unit:"-"`
	Ripe   bool     `json:"ripe"`
	Depth  float64  `json:"ripe_depth_m" unit:"m" doc:"from the bottom up"`
	Dry    float64  `json:"ripe_kg_dry" unit:"kg dry"`
	Wanted []string `json:"wanted"`
}

func (par Parameters) ripeFigure(in ripeIn) (out ripeOut, notes []string, err error) {
	var p figure.Problems
	if len(in.Layers) == 0 || len(in.Layers) > 1000 {
		p.Add("layers", fmt.Sprintf("%d layers are given.", len(in.Layers)), "Give them from the bottom up.")
	}
	for i, l := range in.Layers {
		at := fmt.Sprintf("layers[%d].", i)
		p.Between(at+"dry_kg", "The dry mass", float64(l.Dry), 0, 1e6)
		if l.Worked+l.Feed > 1+1e-9 {
			p.Add(at+"feed_frac", fmt.Sprintf("%s is worked and %s is feed: more than all.", percent(float64(l.Worked)), percent(float64(l.Feed))), "What is worked is no feed any more; bedding that is not worked is neither.")
		}
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	r := par.Ripeness(in.Layers)
	out = ripeOut{float64(r.Worked), float64(r.Feed), r.Ripe, float64(r.Depth), float64(r.Dry), r.Wanted}
	if out.Wanted == nil {
		out.Wanted = []string{}
	}
	return out, nil, nil
}

// SideMoved is the part of the worms that has gone over to the side that is fed
// after some days: all but those that stay, at a steady rate of those that
// will. model.md (S15).
func SideMoved(days, perDay, stay float64) float64 { return (1 - stay) * -math.Expm1(-perDay*days) }

// SideDays is after how many days a part of the worms has gone over; infinite
// when more are wanted than ever go.
func SideDays(part, perDay, stay float64) float64 {
	if part >= 1-stay {
		return math.Inf(1)
	}
	return -math.Log1p(-part/(1-stay)) / perDay
}

type sideIn struct {
	Part   float64  `json:"wanted_frac" unit:"-" low:"0" high:"0.999" default:"0.7" doc:"of the worms, gone over"`
	PerDay *float64 `json:"move_per_day" unit:"1/day" low:"0.001" high:"2" doc:"the farm's own"`
	Stay   *float64 `json:"stay_frac" unit:"-" low:"0" high:"0.99"`
}

type sideOut struct {
	Days *float64 `json:"days" unit:"day" doc:"null when so many never go"`
	Low  *float64 `json:"days_low" unit:"day"`
	High *float64 `json:"days_high" unit:"day"`
	Ever float64  `json:"ever_frac" unit:"-" doc:"part that ever goes over"`
}

func (par Parameters) sideFigure(in sideIn) (out sideOut, notes []string, err error) {
	rate, stay := par.SideRate, par.SideStay
	if in.PerDay != nil {
		rate = qty.Exactly(*in.PerDay)
	}
	if in.Stay != nil {
		stay = qty.Exactly(*in.Stay)
	}
	var p figure.Problems
	p.Between("wanted_frac", "The part wanted", in.Part, 0, 0.999)
	p.Over0("move_per_day", "The rate", rate.Best)
	p.Between("stay_frac", "The part that stays", stay.Best, 0, 0.99)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	days := func(k, s float64) *float64 {
		if d := SideDays(in.Part, k, s); !math.IsInf(d, 0) {
			return &d
		}
		return nil
	}
	out = sideOut{days(rate.Best, stay.Best), days(rate.High, stay.Low), days(rate.Low, stay.High), 1 - stay.Best}
	if out.Days == nil {
		notes = append(notes, fmt.Sprintf("About %s never go over by themselves: take those by light or by a screen.", percent(stay.Best)))
	}
	return out, append(notes, "Common practice, no source: nobody is known to have measured how fast they go."), nil
}
