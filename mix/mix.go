// Package mix blends feedstocks: forward, from parts to what the mix is;
// backward, from what it should be to parts that a loader can take; and under
// uncertainty, how likely each window is met and which test would help most.
//
// Every mass is a sum over the parts and every ratio is computed from the sums;
// ratios are never averaged (docs/model.md M9). Volumes add and then shrink
// when fines fall between chips. Water that is poured on fills pores and adds
// no volume. What is not known of one part is not known of the mix: such an
// output is NaN here and null outside, and the missing list says why.
//
// Left out: heating, leaching and the buffering of acids, so that the pH of a
// mix is shown as the range of its parts. Equations M1 to M35 of
// docs/model/mix.md.
package mix

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

// Part is one ingredient: a material, with own analyses in front of the
// library's ranges, and how much of it.
type Part struct {
	Name      string
	Material  feedstock.Material
	Amount    feedstock.Quantity // none of the three above 0 is nothing of it
	CostPerM3 *qty.Money         // as it lies in the yard; nil is not known
	Available *qty.CubicMetre    // loose; nil is no limit
}

// Recipe is what is thrown together.
type Recipe struct {
	Parts  []Part
	Water  qty.WaterKg  // poured on [kg]
	Shrink qty.Estimate // loss of loose volume on mixing, a fraction [m3/m3]
	Method Method       // how air-filled space is found; "" chooses, see Method
}

// Method is a way to find air-filled space.
type Method string

// The methods. With "" the volumes method serves when the ash of every part is
// known and the linear one otherwise; the result names which.
const (
	Volumes Method = "volumes" // from the volumes of water, organic matter and ash (M21)
	Linear  Method = "linear"  // from bulk density alone (M22)
)

// Output is one number that a mix has.
type Output int

// The outputs, in the order in which they are printed.
const (
	MassWet Output = iota
	MassDry
	WaterMass
	Water
	Carbon
	Nitrogen
	CN
	Ash
	Volume
	Density
	AirFilled
	Salts
	PHLow
	PHHigh
	Ammonia
	Lignin
	outputs
)

var outputKeys = [outputs]string{
	"mass_kg_wet", "mass_kg_dry", "water_kg", "water_frac_wet", "carbon_frac_dry", "nitrogen_frac_dry", "cn",
	"ash_frac_dry", "volume_m3", "density_kg_m3_wet", "air_filled_frac", "ec_ds_m", "ph_low", "ph_high",
	"ammonia_n_mg_kg_dry", "lignin_frac_dry",
}

// Key gives the name of the output outside Go.
func (o Output) Key() string { return outputKeys[o] }

// Outputs lists all outputs in order.
func Outputs() []Output {
	all := make([]Output, outputs)
	for i := range all {
		all[i] = Output(i)
	}
	return all
}

// OutputOf finds an output by its name outside Go.
func OutputOf(key string) (Output, bool) {
	for i, k := range outputKeys {
		if k == key {
			return Output(i), true
		}
	}
	return 0, false
}

// Numbers holds one number for each output; NaN is not known.
type Numbers [outputs]float64

// Known says whether the output is known.
func (n Numbers) Known(o Output) bool { return !math.IsNaN(n[o]) }

// Taken is a part as it was resolved.
type Taken struct {
	Name   string
	Wet    qty.WetKg
	Dry    qty.DryKg
	Water  qty.WaterKg
	Volume qty.CubicMetre // loose; NaN when density is not known
	Share  qty.Fraction   // of the summed loose volume; NaN when a volume is not known
	Values feedstock.Values
}

// Result is what a mix is, at the median of every property.
type Result struct {
	Matter  feedstock.Matter // volume after shrink
	Numbers Numbers
	Method  Method // of air-filled space; "" when it is not known
	Parts   []Taken
	Missing []Missing
	Notes   []string
	Working []figure.Step
}

// Missing says which output is not known and what it lacks.
type Missing struct {
	Output Output
	Lacks  string   // name of the property outside Go
	Parts  []string // of these parts
}

// String says it in a line: "ec_ds_m: the salt content of chips and leaves is not known".
func (m Missing) String() string {
	return fmt.Sprintf("%s: %s not known", m.Output.Key(), m.lack())
}

// lack names what is not known, with its verb: "the ash of chips is".
func (m Missing) lack() string {
	return fmt.Sprintf("the %s of %s is", propertyWords[m.Lacks], listed(m.Parts))
}

// Unknown says for a person what is not known of a mix and what that leaves
// open, a sentence for each lacking property.
func Unknown(all []Missing) []string {
	var lacks []string
	open := map[string][]string{}
	for _, m := range all {
		lack := m.lack()
		if open[lack] == nil {
			lacks = append(lacks, lack)
		}
		if o := m.Output.Words(); !slices.Contains(open[lack], o) {
			open[lack] = append(open[lack], o)
		}
	}
	for i, lack := range lacks {
		lacks[i] = fmt.Sprintf("%s not known, which leaves open %s of the mix.", strings.ToUpper(lack[:1])+lack[1:], listed(open[lack]))
	}
	return lacks
}

// propertyWords names the properties on which an output may rest.
var propertyWords = map[string]string{
	feedstock.KeyWater: "moisture", feedstock.KeyDensity: "bulk density", feedstock.KeyCarbon: "carbon", feedstock.KeyNitrogen: "nitrogen",
	feedstock.KeyAsh: "ash", feedstock.KeySalts: "salt content", feedstock.KeyPH: "pH", feedstock.KeyAmmonia: "ammonia", feedstock.KeyLignin: "lignin",
}

// listed joins names with commas and "and".
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// words names the outputs for a person.
var words = [outputs]string{
	"the mass", "the dry mass", "the water", "moisture", "carbon", "nitrogen", "the ratio of carbon to nitrogen", "ash",
	"the volume", "bulk density", "air-filled space", "salts", "pH", "pH", "ammonia", "lignin",
}

// Words names the output for a person.
func (o Output) Words() string { return words[o] }
