// Package lab is the statistics of the microscope bench and of the laboratory:
// counts of a few fields brought to a gram with their interval, clumping, how
// many fields are still to be counted, the ratio of fungi to bacteria, lots and
// people compared, charts of lots; dilution tubes, plates, values below a limit
// of detection, units and bases, how many grabs a composite needs, and stability.
//
// It assumes that what was looked at was taken at random from what the answer is
// about. Fields of one slide are not that: Nested keeps field, slide, sub-sample
// and lot apart. Nothing seen is never nothing there: it comes out as less than
// a limit. It leaves out who counted well and which organism is good for plants:
// no grade limits are known to us, only the farm's own past lots.
//
// The equations are in docs/model/lab.md (L1 to L41); the numbers about nature
// and trade are in internal/source/data/lab.json.
package lab

import (
	"fmt"
	"math"

	"wormyard/figure"
	"wormyard/qty"
)

// Parameters are the numbers behind counts and assays that describe nature or
// trade; values, ranges and sources are in internal/source/data/lab.json.
type Parameters struct {
	Confidence float64 `param:"confidence" unit:"-"` // of an interval when nobody asks for another
	Doubt      float64 `param:"doubt" unit:"-"`      // chance below which clumping, or a difference, is said
	Rare       float64 `param:"rare_tubes" unit:"-"` // rarity of a pattern of tubes below which it is not believed

	PlateLowest  float64 `param:"plate_lowest" unit:"1/plate"`
	PlateHighest float64 `param:"plate_highest" unit:"1/plate"`

	HyphaDensity qty.Estimate `param:"hypha_density" unit:"g dry/cm3"`
	CellDensity  qty.Estimate `param:"cell_density" unit:"g dry/cm3"`
	FocusDepth   float64      `param:"focus_depth" unit:"um"` // a film thicker than that is counted by focusing through it

	Sigmas   float64 `param:"chart_sigmas" unit:"-"`
	Baseline float64 `param:"chart_baseline" unit:"lots"`

	BagsLeast float64 `param:"bags_least" unit:"bags"`
	BagsMost  float64 `param:"bags_most" unit:"bags"`
	CutsLeast float64 `param:"composite_least" unit:"grabs"`

	RespirationLimits []float64 `param:"respiration_limits" unit:"mg CO2-C/g OM/day"`
	HeatingLimits     []float64 `param:"heating_limits" unit:"K"`
	GerminationLimits []float64 `param:"germination_limits" unit:"%"`
	NitrogenLimits    []float64 `param:"ammonium_nitrate_limits" unit:"-"`
}

// problems gathers what is wrong with what was given.
type problems struct{ figure.Problems }

// count asks for a whole number, not negative.
func (p *problems) count(field, what string, x float64) {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0) || x < 0:
		p.Add(field, fmt.Sprintf("%s is %g. It cannot be below 0.", what, x), "Give how many were seen, 0 when there were none.")
	case x != math.Trunc(x):
		p.Add(field, fmt.Sprintf("%s is %g. Counts are whole numbers.", what, x), "Give the tally itself, not a mean: the interval rests on how many were really seen.")
	case x > mostCounted:
		p.Add(field, fmt.Sprintf("%s is %g, which nobody counts.", what, x), fmt.Sprintf("Give the tally of what was seen, at most %g; what stands for a gram is worked out from it.", float64(mostCounted)))
	}
}

func (p *problems) confidence(c float64) {
	if !(c >= 0.5 && c <= 0.9999) {
		p.Add("confidence", fmt.Sprintf("A confidence of %g is asked for.", c), "Give a part of 1 between 0.5 and 0.9999, as 0.95.")
	}
}

// mostCounted bounds tallies, so that sums of them stay exact.
const mostCounted = 1e7

func ptr(x float64) *float64 { return &x }
