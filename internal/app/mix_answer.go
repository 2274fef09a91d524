package app

import (
	"math"
	"slices"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/mix"
	"wormyard/qty"
)

// MixNumbers are the numbers of a mix; null is not known.
type MixNumbers struct {
	MassWet   *float64 `json:"mass_kg_wet" unit:"kg"`
	MassDry   *float64 `json:"mass_kg_dry" unit:"kg"`
	WaterKg   *float64 `json:"water_kg" unit:"kg"`
	Water     *float64 `json:"water_frac_wet"`
	Carbon    *float64 `json:"carbon_frac_dry"`
	Nitrogen  *float64 `json:"nitrogen_frac_dry"`
	CN        *float64 `json:"cn"`
	Ash       *float64 `json:"ash_frac_dry"`
	Volume    *float64 `json:"volume_m3" unit:"m3"`
	Density   *float64 `json:"density_kg_m3_wet" unit:"kg/m3"`
	AirFilled *float64 `json:"air_filled_frac"`
	AirMethod *string  `json:"air_filled_method"`
	Salts     *float64 `json:"ec_ds_m" unit:"dS/m"`
	PHLow     *float64 `json:"ph_low"`
	PHHigh    *float64 `json:"ph_high"`
	Ammonia   *float64 `json:"ammonia_n_mg_kg_dry" unit:"mg/kg dry"`
	Lignin    *float64 `json:"lignin_frac_dry"`
}

// MixTaken is a part as it was resolved.
type MixTaken struct {
	Name     string   `json:"name"`
	Material string   `json:"material,omitempty"`
	MassWet  float64  `json:"mass_kg_wet" unit:"kg"`
	MassDry  float64  `json:"mass_kg_dry" unit:"kg"`
	WaterKg  float64  `json:"water_kg" unit:"kg"`
	Volume   *float64 `json:"volume_m3" unit:"m3"`
	Share    *float64 `json:"share" doc:"of the summed loose volume"`
	Buckets  *float64 `json:"buckets" doc:"of bucket_m3"`
	Cost     *float64 `json:"cost"`
	Water    *float64 `json:"water_frac_wet"`
	Nitrogen *float64 `json:"nitrogen_frac_dry"`
	Carbon   *float64 `json:"carbon_frac_dry"`
	CN       *float64 `json:"cn"`
	Density  *float64 `json:"density_kg_m3_wet" unit:"kg/m3"`
	Ash      *float64 `json:"ash_frac_dry"`
	Free     bool     `json:"free" doc:"found by the solve"`
}

// MixRange is the spread of one number.
type MixRange struct {
	P05 float64 `json:"p05"`
	P50 float64 `json:"p50"`
	P95 float64 `json:"p95"`
}

// MixHazard is what a material may bring.
type MixHazard struct {
	Material string `json:"material"`
	What     string `json:"what"`
	Level    string `json:"level" choice:"refuse,hold,warn"`
	Why      string `json:"why"`
	Clears   string `json:"clears"`
}

// MixBlocked is a window that no mix of the parts reaches.
type MixBlocked struct {
	Window string   `json:"window"`
	Best   *float64 `json:"best_reachable"`
	Needs  string   `json:"needs"`
}

// MixTest is the measurement that would help most.
type MixTest struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// MixHeld is a window and whether the mix lies in it.
type MixHeld struct {
	Window string   `json:"window"`
	Min    *float64 `json:"min"`
	Max    *float64 `json:"max"`
	Value  *float64 `json:"value"`
	Met    *bool    `json:"met" doc:"null when the number is not known"`
	Why    string   `json:"why,omitempty"`
}

// MixAnswer is what wormyard mix prints, docs/contracts/mix.
type MixAnswer struct {
	Possible    *bool               `json:"possible,omitempty" doc:"of a solve"`
	Purpose     string              `json:"purpose,omitempty"`
	Mix         MixNumbers          `json:"mix"`
	Parts       []MixTaken          `json:"parts"`
	WaterToAdd  *float64            `json:"water_to_add_kg" unit:"kg" doc:"found by a solve with water free; else what is lacking to the near end of the moisture window beyond water_kg, below 0 what must go; null without such a window"`
	WaterMiddle *float64            `json:"water_to_middle_kg,omitempty" unit:"kg" doc:"the same to the middle of the window"`
	Bucket      *float64            `json:"bucket_m3,omitempty" unit:"m3"`
	BucketStep  *float64            `json:"bucket_step,omitempty" doc:"part of a bucket to which the parts are rounded"`
	Cost        *float64            `json:"cost" doc:"of all parts, when all have a price"`
	Windows     []MixHeld           `json:"windows"`
	Chance      map[string]*float64 `json:"chance" doc:"that each window is met; null when its number is not known"`
	ChanceAll   *float64            `json:"chance_all" doc:"that all windows are met at once"`
	Range       map[string]MixRange `json:"range,omitempty"`
	Hazards     []MixHazard         `json:"hazards"`
	Blocked     []MixBlocked        `json:"blocked"`
	NextTest    *MixTest            `json:"next_test"`
	Missing     []string            `json:"missing"`
	Notes       []string            `json:"notes"`
	Working     []figure.Step       `json:"working,omitempty"`

	Unknown []string         `json:"-"` // what is missing, in sentences for a person
	Recipe  mix.Recipe       `json:"-"` // what was computed, for callers inside the program
	Matter  feedstock.Matter `json:"-"`
}

// number is nil for what is not known.
func number(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func numbers(r mix.Result) MixNumbers {
	n := func(o mix.Output) *float64 { return number(r.Numbers[o]) }
	out := MixNumbers{
		n(mix.MassWet), n(mix.MassDry), n(mix.WaterMass), n(mix.Water), n(mix.Carbon), n(mix.Nitrogen), n(mix.CN), n(mix.Ash),
		n(mix.Volume), n(mix.Density), n(mix.AirFilled), nil, n(mix.Salts), n(mix.PHLow), n(mix.PHHigh), n(mix.Ammonia), n(mix.Lignin),
	}
	if out.AirFilled != nil {
		method := string(r.Method)
		out.AirMethod = &method
	}
	return out
}

func (m *Mixer) taken(in MixRequest, recipe mix.Recipe, result mix.Result, free []bool, bucket qty.CubicMetre, out *MixAnswer) {
	cost, priced := 0.0, true
	for i, t := range result.Parts {
		v := t.Values
		taken := MixTaken{
			Name: t.Name, MassWet: float64(t.Wet), MassDry: float64(t.Dry), WaterKg: float64(t.Water),
			Volume: number(float64(t.Volume)), Share: number(float64(t.Share)), Water: number(float64(v.Water)),
			Nitrogen: number(float64(v.Nitrogen)), Carbon: number(float64(v.Carbon)), CN: number(float64(v.Carbon) / float64(v.Nitrogen)),
			Density: number(float64(v.Density)), Ash: number(float64(v.Ash)), Free: free[i],
		}
		if in.Parts[i].Material != "" {
			taken.Material = recipe.Parts[i].Material.Name
		}
		if bucket > 0 && taken.Volume != nil {
			taken.Buckets = number(*taken.Volume / float64(bucket))
			if out.BucketStep != nil && free[i] {
				// The solver keeps whole numbers to a millionth.
				if n := math.Round(*taken.Buckets / *out.BucketStep); math.Abs(n**out.BucketStep-*taken.Buckets) < 1e-5 {
					*taken.Buckets = n * *out.BucketStep
				}
			}
		}
		if price := recipe.Parts[i].CostPerM3; price != nil && taken.Volume != nil {
			taken.Cost = number(float64(*price) * *taken.Volume)
			cost += *taken.Cost
		} else if t.Wet > 0 {
			priced = false
		}
		out.Parts = append(out.Parts, taken)
	}
	if priced {
		out.Cost = &cost
	}
}

func (m *Mixer) judge(result mix.Result, windows []mix.Window, outlook mix.Outlook, out *MixAnswer) {
	for i, w := range windows {
		held := MixHeld{Window: w.Output.Key(), Min: number(w.Low), Max: number(w.High), Value: number(result.Numbers[w.Output]), Why: w.Why}
		if held.Value != nil {
			met := w.Holds(*held.Value, m.Parameters.ExactSlack)
			held.Met = &met
		}
		out.Windows = append(out.Windows, held)
		out.Chance[w.Output.Key()] = number(outlook.Chance[i])
	}
	out.ChanceAll = number(outlook.All)
	if outlook.Range != nil {
		out.Range = map[string]MixRange{}
		for o, q := range outlook.Range {
			out.Range[o.Key()] = MixRange{q[0], q[1], q[2]}
		}
	}
	if outlook.Next != nil {
		out.NextTest = &MixTest{outlook.Next.What, outlook.Next.Why}
	}
}

// pour says how much water is to be added.
func (m *Mixer) pour(in MixRequest, recipe mix.Recipe, result mix.Result, windows []mix.Window, found bool, out *MixAnswer) {
	if in.Solve != nil && found {
		out.WaterToAdd = number(float64(recipe.Water))
		return
	}
	i := slices.IndexFunc(windows, func(w mix.Window) bool { return w.Output == mix.Water })
	if i < 0 {
		return
	}
	w, have := windows[i], result.Numbers[mix.Water]
	toward := func(target float64) *float64 {
		if target >= 1 {
			return nil
		}
		return number(float64(mix.WaterToAdd(qty.WetKg(result.Numbers[mix.MassWet]), qty.WaterOfWet(have), qty.WaterOfWet(target))))
	}
	zero := 0.0
	out.WaterToAdd = &zero
	switch {
	case have < w.Low:
		out.WaterToAdd = toward(w.Low)
	case have > w.High:
		out.WaterToAdd = toward(w.High)
	}
	if !math.IsInf(w.Low, 0) && !math.IsInf(w.High, 0) && !w.Exact() {
		out.WaterMiddle = toward((w.Low + w.High) / 2)
	}
	if out.WaterToAdd != nil && *out.WaterToAdd != 0 {
		target := w.Low
		if have > w.High {
			target = w.High
		}
		out.Working = append(out.Working, mix.WaterStep(result.Numbers[mix.MassWet], have, target, *out.WaterToAdd))
	}
}
