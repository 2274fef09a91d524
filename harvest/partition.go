package harvest

import (
	"fmt"
	"math"

	"wormyard/figure"
	"wormyard/qty"
)

// A Curve is the partition of a deck: the size of which half stays on top and
// half the distance between the sizes of which a quarter and three quarters do
// [mm].
type Curve struct {
	D50, Ep float64
}

// ln3 makes Ep half the distance between a quarter and three quarters.
var ln3 = math.Log(3)

// Over is the chance that a grain of a size [mm] stays on top. model.md (S4).
func (c Curve) Over(size float64) float64 {
	return 1 / (1 + math.Exp(-ln3*(size-c.D50)/c.Ep))
}

// mean is the mean chance over sizes spread evenly from low to high.
func (c Curve) mean(low, high float64) float64 {
	if high-low < 1e-4*c.Ep { // nothing is left of a difference so small
		return c.Over((low + high) / 2)
	}
	// The integral of the logistic, written so that neither end overflows.
	k := ln3 / c.Ep
	soft := func(x float64) float64 {
		u := k * (x - c.D50)
		if u > 30 {
			return u
		}
		return math.Log1p(math.Exp(u))
	}
	return min(1, max(0, (soft(high)-soft(low))/k/(high-low)))
}

type partitionIn struct {
	D50  float64 `json:"d50_mm" unit:"mm" low:"0.01" high:"1000"`
	Ep   float64 `json:"ep_mm" unit:"mm" low:"0.001" high:"1000"`
	Size float64 `json:"size_mm" unit:"mm" low:"0" high:"10000"`
}

type partitionOut struct {
	Over float64 `json:"to_oversize_frac" unit:"-"`
}

func partitionFigure(in partitionIn) (out partitionOut, notes []string, err error) {
	var p figure.Problems
	p.Between("d50_mm", "The size at which half stays on top", in.D50, 0.01, 1000)
	p.Between("ep_mm", "Ep", in.Ep, 0.001, 1000)
	p.Between("size_mm", "The size", in.Size, 0, 10000)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	return partitionOut{Curve{in.D50, in.Ep}.Over(in.Size)}, nil, nil
}

// A Deck is a screen as it runs.
type Deck struct {
	Opening float64        // [mm]
	Water   qty.WaterOfWet // of what is screened
	Rate    float64        // of the usual rate; 1 as usual
	Drum    bool
}

// CurveOf is the curve expected of a deck from its opening, with moisture and
// rate; it balls from Parameters.Balls on and there is no curve then. model.md
// (S5).
func (par Parameters) CurveOf(d Deck) (c Curve, balls bool) {
	c = Curve{par.CutOff.Best * d.Opening, par.Steepness.Best * d.Opening}
	if d.Drum {
		c.Ep *= par.DrumFactor.Best
	}
	wet := min(1, max(0, (float64(d.Water)-par.Sticky)/(par.Balls-par.Sticky)))
	c.Ep *= 1 + wet*(par.WetFlat.Best-1)
	if d.Rate > 1 {
		c.Ep *= 1 + par.RateFlat.Best*(d.Rate-1)
	}
	return c, float64(d.Water) >= par.Balls
}

// A Class is the mass of one range of sizes.
type Class struct {
	Low  float64 `json:"low_mm" unit:"mm" low:"0" high:"10000"`
	High float64 `json:"high_mm" unit:"mm" low:"0" high:"10000"`
	Mass float64 `json:"kg" unit:"kg" low:"0" high:"1e7"`
}

// Split parts classes of sizes by a curve: what goes through and what stays, in
// the order of the classes, which together come to the whole. model.md (S6).
func (c Curve) Split(classes []Class) (through, over []qty.WetKg) {
	for _, k := range classes {
		o := k.Mass * c.mean(k.Low, k.High)
		over = append(over, qty.WetKg(o))
		through = append(through, qty.WetKg(k.Mass-o))
	}
	return through, over
}

type splitIn struct {
	Classes []Class  `json:"classes" doc:"size classes of what is screened"`
	Opening float64  `json:"opening_mm" unit:"mm" low:"0.05" high:"200"`
	Water   float64  `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Rate    float64  `json:"rate_of_usual" unit:"-" low:"0.01" high:"20" default:"1"`
	Kind    string   `json:"kind" choice:"flat,drum" default:"flat"`
	D50     *float64 `json:"d50_mm" unit:"mm" low:"0.01" high:"1000" doc:"of the farm's own curve, with ep_mm"`
	Ep      *float64 `json:"ep_mm" unit:"mm" low:"0.001" high:"1000"`
	Free    *float64 `json:"cocoon_free_frac" unit:"-" low:"0" high:"1" doc:"cocoons that are not stuck in larger crumbs"`
}

type splitOut struct {
	Through  float64   `json:"through_kg" unit:"kg"`
	Over     float64   `json:"over_kg" unit:"kg"`
	Each     []float64 `json:"through_each_kg" unit:"kg"`
	Cocoons  float64   `json:"cocoons_through_frac" unit:"-"`
	Adults   float64   `json:"worms_through_frac" unit:"-"`
	Threads  float64   `json:"threads_kept_frac" unit:"-" doc:"length of fungal threads that stays whole enough to count"`
	D50      float64   `json:"curve_d50_mm" unit:"mm"`
	Ep       float64   `json:"curve_ep_mm" unit:"mm"`
	Runs     bool      `json:"can_be_screened"`
	Warnings []string  `json:"warnings"`
}

func (par Parameters) splitFigure(in splitIn) (out splitOut, notes []string, err error) {
	var p figure.Problems
	p.Between("opening_mm", "The opening", in.Opening, 0.05, 200)
	p.Between("water_frac_wet", "The moisture", in.Water, 0, 1)
	p.Between("rate_of_usual", "The rate", in.Rate, 0.01, 20)
	if len(in.Classes) == 0 || len(in.Classes) > 1000 {
		p.Add("classes", fmt.Sprintf("%d size classes are given.", len(in.Classes)), "Give at least one, with low_mm, high_mm and kg.")
	}
	for i, c := range in.Classes {
		at := fmt.Sprintf("classes[%d].", i)
		p.Between(at+"low_mm", "The lower end", c.Low, 0, 10000)
		p.Between(at+"kg", "The mass", c.Mass, 0, 1e7)
		if c.High < c.Low {
			p.Add(at+"high_mm", fmt.Sprintf("The class runs from %g to %g mm.", c.Low, c.High), "Give the smaller number first.")
		}
		if i > 0 && c.Low < in.Classes[i-1].High && c.High > in.Classes[i-1].Low {
			p.Add(at+"low_mm", "It lies over the class before it.", "Let one class begin where the other ends.")
		}
	}
	if (in.D50 == nil) != (in.Ep == nil) {
		p.Add("ep_mm", "A curve has a d50_mm and an ep_mm.", "Give both, or neither.")
	}
	free := par.CocoonFree.Best
	if in.Free != nil {
		free = *in.Free
		p.Between("cocoon_free_frac", "The share of free cocoons", free, 0, 1)
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	curve, balls := par.CurveOf(Deck{in.Opening, qty.WaterOfWet(in.Water), in.Rate, in.Kind == "drum"})
	if in.D50 != nil {
		curve = Curve{*in.D50, *in.Ep}
	}
	out.D50, out.Ep, out.Runs = curve.D50, curve.Ep, !balls
	through, over := curve.Split(in.Classes)
	out.Cocoons = CocoonsThrough(par.CocoonWidth.Best, par.CocoonSD, in.Opening, free, curve)
	out.Warnings, out.Each = par.Warnings(in.Opening, in.Water, out.Cocoons), []float64{}
	for i := range through {
		out.Through += float64(through[i])
		out.Over += float64(over[i])
		out.Each = append(out.Each, float64(through[i]))
	}
	out.Adults = 1 - par.adultsHeld(in.Opening)
	out.Threads = par.ThreadsKept(in.Opening)
	if in.D50 == nil {
		notes = append(notes, "The curve is assumed from the opening; no screening of worm castings was found in print. Your own screenings mend it.")
	}
	return out, notes, nil
}

// Warnings are said before the crew starts, in the order of what matters most.
func (par Parameters) Warnings(opening, water, cocoons float64) []string {
	out := []string{}
	switch {
	case water >= par.Balls:
		out = append(out, fmt.Sprintf("At %s moisture it makes balls and will not go through. Let it dry to %s or less first.", percent(water), percent(par.Sticky)))
	case water >= par.Sticky:
		out = append(out, fmt.Sprintf("At %s moisture it sticks: the cut is poor and the deck blinds. Better %s or less.", percent(water), percent(par.Sticky)))
	case water < par.Dusty:
		out = append(out, fmt.Sprintf("At %s moisture it is dusty, and the life in it is drying out. Wear a mask, and wet it after.", percent(water)))
	}
	if cocoons > 0.05 {
		out = append(out, fmt.Sprintf("About %s of the cocoons go through with the castings. If they are wanted back, hold the fines %s days at %s °F and bait them; if worms in the product are no harm, leave them in.",
			percent(cocoons), qty.Figures(par.HoldDays), qty.Figures(par.HoldC*1.8+32)))
	}
	if opening < par.FineDeck.Best {
		out = append(out, fmt.Sprintf("A deck under %s breaks fungal threads: count fungi after it, not before. A coarser deck leaves them whole; that is a choice of product.", qty.US.Opening(qty.Metre(par.FineDeck.Best/1000))))
	}
	return out
}

func percent(f float64) string { return qty.Figures(100*f) + " %" }

// ThreadsKept is the part of the length of fungal threads that comes through a
// deck whole enough to count. model.md (S7).
func (par Parameters) ThreadsKept(opening float64) float64 {
	if opening >= par.FineDeck.Best {
		return 1
	}
	return 1 - (1-par.FineShare.Best)*(1-opening/par.FineDeck.Best)
}

// adultsHeld is the share of grown worms that stay on a deck, between what is
// said of a few openings. model.md (S8).
func (par Parameters) adultsHeld(opening float64) float64 {
	mm, held := par.AdultMM, par.AdultHeld
	if opening <= mm[0] {
		return held[0]
	}
	for i := 1; i < len(mm); i++ {
		if opening <= mm[i] {
			return held[i-1] + (held[i]-held[i-1])*(opening-mm[i-1])/(mm[i]-mm[i-1])
		}
	}
	return held[len(held)-1]
}

// bareCocoons is the share of cocoons narrow enough for an opening: the width
// rules, not the length. model.md (S9).
func bareCocoons(width, sd, opening float64) float64 {
	if sd == 0 {
		if width <= opening {
			return 1
		}
		return 0
	}
	return math.Erfc(-(opening-width)/sd/math.Sqrt2) / 2
}

// CocoonsThrough is the share of cocoons that go through: bare ones by width, as
// S9 has it, those stuck in a crumb with the crumb, taken as twice as wide as the
// cocoon. model.md (S10).
func CocoonsThrough(width, sd, opening, free float64, c Curve) float64 {
	return free*bareCocoons(width, sd, opening) + (1-free)*(1-c.Over(2*width))
}

type cocoonsIn struct {
	Width   *float64 `json:"width_mm" unit:"mm" low:"0.1" high:"50" doc:"absent, as of the common worm"`
	SD      *float64 `json:"width_sd_mm" unit:"mm" low:"0" high:"20"`
	Opening float64  `json:"opening_mm" unit:"mm" low:"0.05" high:"200"`
	Free    float64  `json:"free_frac" unit:"-" low:"0" high:"1" default:"1" doc:"share not stuck in larger crumbs"`
}

type cocoonsOut struct {
	Passing float64 `json:"passing_frac" unit:"-" doc:"of all; those stuck in larger crumbs stay with them"`
	Kept    float64 `json:"kept_frac" unit:"-"`
}

func (par Parameters) cocoonsFigure(in cocoonsIn) (out cocoonsOut, notes []string, err error) {
	var p figure.Problems
	width, sd := par.CocoonWidth.Best, par.CocoonSD
	if in.Width != nil {
		width = *in.Width
	}
	if in.SD != nil {
		sd = *in.SD
	}
	p.Between("width_mm", "The width", width, 0.1, 50)
	p.Between("width_sd_mm", "The spread of widths", sd, 0, 20)
	p.Between("opening_mm", "The opening", in.Opening, 0.05, 200)
	p.Between("free_frac", "The share of free cocoons", in.Free, 0, 1)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	out.Passing = in.Free * bareCocoons(width, sd, in.Opening)
	out.Kept = 1 - out.Passing
	return out, []string{"By geometry: cocoons are longer than wide and turn until they pass. Nobody is known to have measured it."}, nil
}

type holeIn struct {
	Size    float64 `json:"size_mm" unit:"mm" low:"0" high:"1000"`
	Opening float64 `json:"opening_mm" unit:"mm" low:"0.01" high:"1000"`
	Wire    float64 `json:"wire_mm" unit:"mm" low:"0" high:"100"`
	Tries   float64 `json:"tries" unit:"-" low:"1" high:"1e6" default:"1"`
}

type holeOut struct {
	Once   float64 `json:"once_frac" unit:"-"`
	Passed float64 `json:"passed_frac" unit:"-"`
}

// PassOnce is the chance that a ball of a size falls through at one touch
// without hitting wire. model.md (S11).
func PassOnce(size, opening, wire float64) float64 {
	if size >= opening {
		return 0
	}
	f := (opening - size) / (opening + wire)
	return f * f
}

func holeFigure(in holeIn) (out holeOut, notes []string, err error) {
	var p figure.Problems
	p.Between("size_mm", "The size", in.Size, 0, 1000)
	p.Between("opening_mm", "The opening", in.Opening, 0.01, 1000)
	p.Between("wire_mm", "The wire", in.Wire, 0, 100)
	p.Between("tries", "The tries", in.Tries, 1, 1e6)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	out.Once = PassOnce(in.Size, in.Opening, in.Wire)
	out.Passed = -math.Expm1(in.Tries * math.Log1p(-min(out.Once, 1-1e-16)))
	return out, nil, nil
}

type efficiencyIn struct {
	Feed  float64 `json:"feed_fine_frac" unit:"-" low:"0" high:"1" doc:"part of the feed finer than the opening"`
	Over  float64 `json:"over_fine_frac" unit:"-" low:"0" high:"1"`
	Under float64 `json:"under_fine_frac" unit:"-" low:"0" high:"1"`
	Mass  float64 `json:"feed_kg" unit:"kg" low:"0" high:"1e9"`
}

type efficiencyOut struct {
	Under         float64 `json:"under_kg" unit:"kg"`
	Over          float64 `json:"over_kg" unit:"kg"`
	UnderRecovery float64 `json:"under_recovery" unit:"-"`
	OverRecovery  float64 `json:"over_recovery" unit:"-"`
	Efficiency    float64 `json:"efficiency" unit:"-"`
	Purity        float64 `json:"purity" unit:"-"`
}

// Efficiency of a deck from the fine parts of feed, oversize and undersize: what
// goes under of each kilogram fed, and the shares of fine and of coarse that go
// where they belong. model.md (S12).
func Efficiency(feed, over, under float64) (share, underRecovery, overRecovery float64) {
	share = (feed - over) / (under - over)
	return share, share * under / feed, (1 - share) * (1 - over) / (1 - feed)
}

func efficiencyFigure(in efficiencyIn) (out efficiencyOut, notes []string, err error) {
	var p figure.Problems
	for _, x := range []struct {
		key string
		v   float64
	}{{"feed_fine_frac", in.Feed}, {"over_fine_frac", in.Over}, {"under_fine_frac", in.Under}} {
		p.Between(x.key, "The fine part", x.v, 0, 1)
	}
	p.Between("feed_kg", "The feed", in.Mass, 0, 1e9)
	if len(p) == 0 && !(in.Over < in.Feed && in.Feed < in.Under) {
		p.Add("feed_fine_frac", fmt.Sprintf("The feed is %s fine, what stayed on top %s, what went through %s: the feed must lie between the two.", percent(in.Feed), percent(in.Over), percent(in.Under)), "Look whether two were swapped, or a sample was not of the whole.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	share, under, over := Efficiency(in.Feed, in.Over, in.Under)
	return efficiencyOut{share * in.Mass, in.Mass - share*in.Mass, under, over, under * over, in.Under}, nil, nil
}
