package mix

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

// Values gives one number for each property of the part's material, chosen by
// pick as in feedstock.Material.Values. Where nitrogen is not known but carbon
// and C:N are, nitrogen is their quotient (M8 turned round).
func (p *Part) Values(pick func(key string, p feedstock.Property) float64) feedstock.Values {
	v := p.Material.Values(pick)
	if math.IsNaN(float64(v.Nitrogen)) && p.Material.CN.Has() {
		v.Nitrogen = qty.NitrogenOfDry(float64(v.Carbon) / pick(feedstock.KeyCN, p.Material.CN))
	}
	return v
}

// Forward gives what a recipe makes, at the median of every property. The error
// is a *figure.Refusal that lists everything that cannot be: amounts below
// zero, a volume of a material whose density is not known, a shrink outside 0
// to below 1, no dry matter at all.
func Forward(p Parameters, r Recipe) (Result, error) {
	if problems := r.problems(); len(problems) > 0 {
		return Result{}, &figure.Refusal{Problems: problems}
	}
	var out Result
	parts, values, total := r.sums()
	for i := range r.Parts {
		part, s, v := &r.Parts[i], parts[i], values[i]
		matter, _, err := v.Of(part.Name, part.Amount)
		if err != nil {
			return Result{}, err
		}
		out.Matter = out.Matter.Plus(matter)
		out.Parts = append(out.Parts, Taken{
			Name: part.Name, Wet: qty.WetKg(s.wet), Dry: qty.DryKg(s.dry), Water: qty.WaterKg(s.water),
			Volume: qty.CubicMetre(s.volume), Values: v,
		})
	}
	loose := 0.0
	for _, t := range out.Parts {
		loose += float64(t.Volume)
	}
	for i := range out.Parts {
		out.Parts[i].Share = qty.Fraction(ratio(float64(out.Parts[i].Volume), loose))
	}
	out.Method = r.method(&total)
	out.Numbers = total.numbers(&p, r.Shrink.Best, out.Method)
	out.Matter.Water += r.Water
	out.Matter.Volume = 0
	if out.Numbers.Known(Volume) {
		out.Matter.Volume = qty.CubicMetre(out.Numbers[Volume])
	}
	out.Missing = missing(out.Numbers, out.Parts, r.Method)
	out.Notes = r.notes(&p, &total, out)
	out.Working = working(p, r, &total, out)
	return out, nil
}

// sums gives what each part holds at the median of its properties, those
// values, and what all hold together with the water poured on.
func (r *Recipe) sums() ([]sums, []feedstock.Values, sums) {
	parts, values := make([]sums, len(r.Parts)), make([]feedstock.Values, len(r.Parts))
	total := none()
	for i := range r.Parts {
		values[i] = r.Parts[i].Values(feedstock.Best)
		parts[i] = sumsOf(&values[i], r.Parts[i].Amount)
		total.add(&parts[i])
	}
	poured := none()
	poured.wet, poured.water = float64(r.Water), float64(r.Water)
	total.add(&poured)
	return parts, values, total
}

// method chooses how air-filled space is found when the recipe leaves it open.
func (r *Recipe) method(total *sums) Method {
	switch {
	case math.IsNaN(total.volume) || total.volume == 0:
		return ""
	case r.Method != "":
		if r.Method == Volumes && math.IsNaN(total.ash) {
			return ""
		}
		return r.Method
	case math.IsNaN(total.ash):
		return Linear
	}
	return Volumes
}

// problems lists everything about a recipe that cannot be.
func (r *Recipe) problems() []figure.Problem {
	var all []figure.Problem
	tell := func(field, say, try string) { all = append(all, figure.Problem{Field: field, Say: say, Try: try}) }
	if len(r.Parts) == 0 {
		tell("parts", "There are no parts.", "Name at least one material and how much of it.")
	}
	dry := false
	for i := range r.Parts {
		if c, v := r.Parts[i].Amount, r.Parts[i].Values(feedstock.Best); (c.Wet > 0 || c.Dry > 0 || c.Volume > 0) && v.Water < 1 {
			dry = true
		}
	}
	all = append(all, r.amiss()...)
	if len(all) == 0 && !dry {
		say := "This is a mix of water only."
		if r.Water == 0 && !slices.ContainsFunc(r.Parts, func(p Part) bool { return p.Amount != (feedstock.Quantity{}) }) {
			say = "The amount of every part is 0."
		}
		tell("parts", say, "Give an amount of at least one material that holds dry matter.")
	}
	return all
}

// amiss lists what cannot be about the parts and how they are mixed, amounts
// that are still to be found aside.
func (r *Recipe) amiss() []figure.Problem {
	var all []figure.Problem
	tell := func(field, say, try string) { all = append(all, figure.Problem{Field: field, Say: say, Try: try}) }
	for i := range r.Parts {
		part := &r.Parts[i]
		v := part.Values(feedstock.Best)
		if _, _, err := v.Of(part.Name, part.Amount); err != nil {
			var refusal *figure.Refusal
			if errors.As(err, &refusal) {
				for _, p := range refusal.Problems {
					p.Field = fmt.Sprintf("parts[%d].%s", i, p.Field)
					all = append(all, p)
				}
			}
		}
		if v.Carbon > 1 {
			tell(fmt.Sprintf("parts[%d].%s", i, feedstock.KeyCN), fmt.Sprintf("Nitrogen of %g and a C:N of %g make the carbon of %s %.0f %% of its dry matter.",
				float64(v.Nitrogen), part.Material.CN.Best, part.Name, 100*float64(v.Carbon)), "Carbon is mostly 35 to 55 % of dry matter. Look again at nitrogen_frac_dry (0.016 is 1.6 %) and cn.")
		}
	}
	if !(r.Water >= 0) || math.IsInf(float64(r.Water), 0) {
		tell("water_kg", fmt.Sprintf("The water to pour on is %g kg.", float64(r.Water)), "Give 0 or more.")
	}
	if s := r.Shrink; !(s.Low >= 0 && s.Low <= s.Best && s.Best <= s.High && s.High < 1) {
		tell("shrink_frac", fmt.Sprintf("The loss of volume on mixing is %g.", s.Best), "Give a fraction of 0 or more and below 1; 0.1 is a tenth lost.")
	}
	switch r.Method {
	case "", Volumes, Linear:
	default:
		tell("air_filled_method", fmt.Sprintf("%q is not a way to find air-filled space.", r.Method), `Use "volumes" or "linear".`)
	}
	return all
}

// needs names the properties that each output rests on, beside moisture.
var needs = [outputs][]string{
	Carbon:    {feedstock.KeyCarbon},
	Nitrogen:  {feedstock.KeyNitrogen},
	CN:        {feedstock.KeyCarbon, feedstock.KeyNitrogen},
	Ash:       {feedstock.KeyAsh},
	Volume:    {feedstock.KeyDensity},
	Density:   {feedstock.KeyDensity},
	AirFilled: {feedstock.KeyDensity, feedstock.KeyAsh},
	Salts:     {feedstock.KeySalts},
	PHLow:     {feedstock.KeyPH},
	PHHigh:    {feedstock.KeyPH},
	Ammonia:   {feedstock.KeyAmmonia},
	Lignin:    {feedstock.KeyLignin},
}

// missing says what each unknown output lacks, and of which parts.
func missing(n Numbers, parts []Taken, method Method) []Missing {
	var all []Missing
	for _, o := range Outputs() {
		if n.Known(o) {
			continue
		}
		for _, key := range needs[o] {
			if o == AirFilled && method == Linear && key == feedstock.KeyAsh {
				continue
			}
			m := Missing{Output: o, Lacks: key}
			for _, t := range parts {
				if t.Dry > 0 && math.IsNaN(valueOf(&t.Values, key)) {
					m.Parts = append(m.Parts, t.Name)
				}
			}
			if len(m.Parts) > 0 {
				all = append(all, m)
			}
		}
	}
	return all
}

func valueOf(v *feedstock.Values, key string) float64 {
	switch key {
	case feedstock.KeyWater:
		return float64(v.Water)
	case feedstock.KeyDensity:
		return float64(v.Density)
	case feedstock.KeyCarbon:
		return float64(v.Carbon)
	case feedstock.KeyNitrogen:
		return float64(v.Nitrogen)
	case feedstock.KeyAsh:
		return float64(v.Ash)
	case feedstock.KeyLignin:
		return float64(v.Lignin)
	case feedstock.KeySalts:
		return float64(v.Salts)
	case feedstock.KeyAmmonia:
		return float64(v.Ammonia)
	case feedstock.KeyPH:
		return float64(v.PHLow)
	}
	return math.NaN()
}

// notes says what was assumed or is unusual.
func (r *Recipe) notes(p *Parameters, total *sums, out Result) []string {
	var notes []string
	if r.Shrink.Best == 0 && out.Numbers.Known(Volume) && len(r.Parts) > 1 {
		notes = append(notes, "No loss of volume on mixing was given, so 0 was taken; fines falling between chips take 5 to 25 % (common practice, no source). Fill a bucket of known size with the blend to know.")
	}
	if a := total.air(p, float64(out.Matter.Volume), out.Method); a < 0 {
		notes = append(notes, fmt.Sprintf("Water and solids would fill %.0f %% of the volume, which cannot be: no air is left, and either water drips out or a density or moisture is off.", 100*(1-a)))
	}
	if out.Method == Linear && r.Method == "" {
		notes = append(notes, "Air-filled space is from bulk density alone, since the ash of a part is not known.")
	}
	if out.Numbers.Known(Salts) {
		notes = append(notes, "Salts of a mix are estimated by dry mass and hold only when all values are of one kind of extract; test the mix.")
	}
	if out.Numbers.Known(PHLow) {
		notes = append(notes, fmt.Sprintf("The pH of a mix cannot be averaged; the range of its parts is shown. Use a strip or a meter on the mix: worms want %g to %g.", p.PHMin, p.PHMax))
	}
	for i, part := range r.Parts {
		if part.Available != nil && out.Parts[i].Volume > *part.Available*(1+1e-9) {
			notes = append(notes, fmt.Sprintf("More of %s is wanted than is there: %s times as much.", part.Name, qty.Figures(float64(out.Parts[i].Volume / *part.Available))))
		}
		if m := &part.Material; m.Water.Own && !m.Density.Own && len(m.Density.Claims) > 0 && m.Density.Claims[0].How == "derived" {
			notes = append(notes, fmt.Sprintf("The density of %s was moved along with its moisture: %s kg/m3. Weigh a bucket to know.", part.Name, qty.Figures(m.Density.Best)))
		}
		if c := float64(out.Parts[i].Values.Carbon); c > 0.65 && c <= 1 && out.Parts[i].Dry > 0 {
			notes = append(notes, fmt.Sprintf("Carbon of %s is %.0f %% of its dry matter; charcoal is so, other matter hardly.", part.Name, 100*c))
		}
	}
	return notes
}
