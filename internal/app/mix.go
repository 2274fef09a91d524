package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/source"
	"wormyard/mix"
	"wormyard/program"
	"wormyard/qty"
)

// Mixer answers questions about mixes: forward, backward and under uncertainty.
// It is safe for use by many goroutines.
type Mixer struct {
	Library    *feedstock.Library
	Parameters mix.Parameters
	Solver     program.Solver
}

// NewMixer gives a Mixer with the library and the parameters of the program.
// The solver may be nil where nothing is ever solved for.
func NewMixer(solver program.Solver) (*Mixer, error) {
	library, err := source.Library()
	if err != nil {
		return nil, err
	}
	m := &Mixer{Library: library, Solver: solver}
	if err := source.Load("mix", &m.Parameters); err != nil {
		return nil, err
	}
	return m, nil
}

// MixPart is one ingredient as it is typed, docs/contracts/mix.
type MixPart struct {
	Name     string          `json:"name,omitempty" doc:"as you call it; the material's name when left out"`
	Material string          `json:"material,omitempty" doc:"a material of the library, any unambiguous part of its name"`
	WetKg    *float64        `json:"mass_kg_wet" unit:"kg" low:"0" high:"10000000"`
	DryKg    *float64        `json:"mass_kg_dry" unit:"kg" low:"0" high:"10000000"`
	VolumeM3 *float64        `json:"volume_m3" unit:"m3" low:"0" high:"100000"`
	Mass     *contract.Typed `json:"mass" quantity:"mass" high:"10000000" doc:"as typed, \"500 lb\""`
	Volume   *contract.Typed `json:"volume" quantity:"volume" high:"100000" doc:"as typed, \"2 yd3\""`
	Share    *float64        `json:"share" low:"0" high:"10000" doc:"parts by volume; all parts have it or none"`

	Water    *contract.Number `json:"water_frac_wet" low:"0" high:"1"`
	OfDry    *contract.Number `json:"water_frac_dry" low:"0" high:"1000" doc:"in place of water_frac_wet: water for each kilogram of dry matter, may pass 1"`
	Nitrogen *contract.Number `json:"nitrogen_frac_dry" low:"0" high:"1"`
	Carbon   *contract.Number `json:"carbon_frac_dry" low:"0" high:"1" doc:"as measured; never overwritten"`
	CN       *contract.Number `json:"cn" low:"1" high:"5000"`
	Volatile *contract.Number `json:"volatile_frac_dry" low:"0" high:"1"`
	Ash      *contract.Number `json:"ash_frac_dry" low:"0" high:"1"`
	Density  *contract.Number `json:"density_kg_m3_wet" unit:"kg/m3" low:"1" high:"3000"`
	Weighed  *contract.Typed  `json:"density" quantity:"density" low:"1" high:"3000" doc:"as typed, \"1000 lb/yd3\""`
	Lignin   *contract.Number `json:"lignin_frac_dry" low:"0" high:"1"`
	Salts    *contract.Number `json:"ec_ds_m" unit:"dS/m" low:"0" high:"200"`
	PH       *contract.Number `json:"ph" low:"0" high:"14"`
	Ammonia  *contract.Number `json:"ammonia_n_mg_kg_dry" unit:"mg/kg dry" low:"0" high:"200000"`

	CostPerM3 *float64 `json:"cost_per_m3" low:"0" high:"1000000" doc:"as it lies, in the farm's money"`
	Available *float64 `json:"available_m3" unit:"m3" low:"0" high:"1000000"`
	Declared  []string `json:"declared" doc:"what the supplier said: dewormer, herbicide, no herbicide, dye, ..."`
	AgeDays   *float64 `json:"age_days" unit:"day" low:"0" high:"10000" doc:"since it came"`
}

// ranged tells whether a property is given as a range.
func (p *MixPart) ranged() bool {
	return slices.ContainsFunc([]*contract.Number{p.Water, p.OfDry, p.Nitrogen, p.Carbon, p.CN, p.Volatile, p.Ash, p.Density, p.Lignin, p.Salts, p.PH, p.Ammonia}, spread)
}

func spread(n *contract.Number) bool { return n != nil && n.Estimate().Spread() }

// ranged tells whether a property of a part or the loss of volume is a range.
func (in *MixRequest) ranged() bool {
	return spread(in.Shrink) || slices.ContainsFunc(in.Parts, func(p MixPart) bool { return p.ranged() })
}

// MixWindow is a target for one number of the mix.
type MixWindow struct {
	Min *float64 `json:"min"`
	Max *float64 `json:"max"`
	Is  *float64 `json:"is" doc:"exactly this, in place of min and max"`
}

// MixSolve says what is to be found.
type MixSolve struct {
	Free     []string        `json:"free" doc:"names of the parts to be found, and water"`
	Total    string          `json:"total,omitempty" doc:"volume after shrink or mass, as typed: \"10 yd3\""`
	BucketM3 *float64        `json:"bucket_m3" unit:"m3" low:"0.001" high:"100" doc:"loader bucket; free parts come in whole, half or quarter ones"`
	Bucket   *contract.Typed `json:"bucket" quantity:"volume" low:"0.001" high:"100" doc:"the same as typed, \"1 yd3\""`
	Step     *float64        `json:"bucket_step" low:"0.05" high:"1" doc:"1, 0.5 or 0.25 of a bucket; the coarsest that works when left out"`
	Least    string          `json:"least,omitempty" choice:"cost,change,water" doc:"what is made as small as can be; cost when all free parts have a price, else change"`
}

// MixRequest is what wormyard mix reads, docs/contracts/mix.
type MixRequest struct {
	Parts    []MixPart            `json:"parts"`
	WaterKg  float64              `json:"water_kg" unit:"kg" low:"0" high:"10000000" default:"0" doc:"poured on"`
	Shrink   *contract.Number     `json:"shrink_frac" low:"0" high:"0.9" doc:"loss of volume on mixing; 0 when left out"`
	Purpose  string               `json:"purpose,omitempty" choice:"starting bed,feed,woody feed,bedding,hot pile" doc:"sets the windows when there is no target"`
	Total    string               `json:"total,omitempty" doc:"what the shares make: volume after shrink or mass, as typed"`
	Solve    *MixSolve            `json:"solve"`
	Target   map[string]MixWindow `json:"target" choice:"water_frac_wet,cn,air_filled_frac,density_kg_m3_wet,carbon_frac_dry,nitrogen_frac_dry,ash_frac_dry,ec_ds_m,ph_low,ph_high,ammonia_n_mg_kg_dry,lignin_frac_dry,mass_kg_wet,mass_kg_dry,volume_m3"`
	Method   string               `json:"air_filled_method,omitempty" choice:"volumes,linear" doc:"volumes when the ash of all parts is known, else linear"`
	Seed     uint64               `json:"seed" default:"1"`
	Draws    int                  `json:"draws" low:"100" high:"200000" default:"10000"`
	Contract *int                 `json:"contract" low:"1" high:"1"`
}

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

	Recipe mix.Recipe       `json:"-"` // what was computed, for callers inside the program
	Matter feedstock.Matter `json:"-"`
}

// Mix reads a request and answers it; a MixRequest that is already in hand goes
// to Answer. The error is a *figure.Refusal with every problem, or ours.
func (m *Mixer) Mix(ctx context.Context, data []byte, units qty.System) (*MixAnswer, error) {
	var in MixRequest
	problems := contract.Decode(data, &in)
	if len(problems) > 0 {
		explainMoisture(data, problems)
		return nil, contract.Refuse(append(problems, m.furtherProblems(in, problems)...))
	}
	return m.Answer(ctx, in, units)
}

// furtherProblems finds what else is wrong with a request that could be read in
// part only. What may merely follow from a problem told already is left out:
// all but the name of the material in a part that has one.
func (m *Mixer) furtherProblems(in MixRequest, told []figure.Problem) []figure.Problem {
	_, _, _, found := m.recipe(in)
	_, more := m.windows(in)
	head := func(field string) string {
		part, _, _ := strings.Cut(field, ".")
		return part
	}
	var out []figure.Problem
	for _, p := range append(found, more...) {
		near := slices.ContainsFunc(told, func(t figure.Problem) bool { return t.Field == "parts" || head(t.Field) == head(p.Field) })
		if !near || strings.HasSuffix(p.Field, ".material") {
			out = append(out, p)
		}
	}
	return out
}

// explainMoisture says of a refused moisture how it may have been meant.
func explainMoisture(data []byte, problems []figure.Problem) {
	var loose struct {
		Parts []map[string]json.RawMessage `json:"parts"`
	}
	if json.Unmarshal(data, &loose) != nil {
		return
	}
	for i := range problems {
		var part int
		if n, err := fmt.Sscanf(problems[i].Field, "parts[%d].water_frac_wet", &part); n != 1 || err != nil || part < 0 || part >= len(loose.Parts) {
			continue
		}
		v, err := strconv.ParseFloat(string(loose.Parts[part]["water_frac_wet"]), 64)
		if err != nil || v <= 1 || v > 1000 {
			continue
		}
		var said []string
		percent := v
		if v < 5 {
			percent = 100 * v
		} else if v <= 100 {
			said = append(said, fmt.Sprintf("if you meant %g %%, type %g", v, v/100))
		}
		dry := percent / 100
		said = append(said, fmt.Sprintf("if %g %% is water for 100 of dry matter, type %.3g, or give water_frac_dry %.4g", percent, float64(qty.WaterOfDry(dry).OfWet()), dry))
		problems[i].Say = fmt.Sprintf("A moisture of %g is more water than there is mass.", v)
		problems[i].Try = "It must be between 0 and 1: " + strings.Join(said, "; ") + "."
	}
}

// Resolve turns a typed part into one of the core, without its amount: the
// material from the library or a blank one, with the typed properties in front.
// Problems carry the field under at ("parts[1]").
func (m *Mixer) Resolve(in MixPart, at string) (mix.Part, []figure.Problem) {
	var problems []figure.Problem
	tell := func(field, say, try string) {
		problems = append(problems, figure.Problem{Field: at + "." + field, Say: say, Try: try})
	}
	part := mix.Part{Name: strings.TrimSpace(in.Name)}
	if in.Material != "" {
		material, err := m.Library.Find(in.Material)
		var name *feedstock.NameError
		if errors.As(err, &name) {
			tell("material", name.Say(), name.Try())
		} else if err != nil {
			tell("material", err.Error(), "")
		}
		part.Material = material
	} else {
		part.Material = m.Library.Blank(part.Name)
	}
	for _, name := range []string{part.Material.Name, strings.TrimSpace(in.Material)} {
		if part.Name == "" {
			part.Name = name
		}
	}
	if in.Material == "" && part.Name == "" {
		tell("material", "Neither a material nor a name is given.", `Name a material of the library, or give a name and its own moisture and analyses.`)
	}
	if in.Volatile != nil && in.Ash != nil {
		tell("volatile_frac_dry", "Both volatile matter and ash are given; one is what the other leaves.", "Give one of the two.")
	}
	if in.Density != nil && in.Weighed != nil {
		tell("density", "The density is given twice.", "Give one of density and density_kg_m3_wet.")
	}
	water := in.Water
	if in.OfDry != nil {
		if in.Water != nil {
			tell("water_frac_dry", "Moisture is given on both bases.", "Give one of water_frac_wet and water_frac_dry.")
		}
		wet := func(d float64) float64 { return float64(qty.WaterOfDry(d).OfWet()) }
		e := in.OfDry.Estimate()
		n := contract.Number{Best: wet(e.Best), Low: wet(e.Low), High: wet(e.High), Known: e.Known}
		water = &n
	}
	var own []feedstock.Assay
	for _, g := range []struct {
		key   string
		value *contract.Number
	}{
		{feedstock.KeyWater, water}, {feedstock.KeyNitrogen, in.Nitrogen}, {feedstock.KeyCarbon, in.Carbon}, {feedstock.KeyCN, in.CN},
		{feedstock.KeyVolatile, in.Volatile}, {feedstock.KeyAsh, in.Ash}, {feedstock.KeyDensity, in.Density}, {feedstock.KeyLignin, in.Lignin},
		{feedstock.KeySalts, in.Salts}, {feedstock.KeyPH, in.PH}, {feedstock.KeyAmmonia, in.Ammonia},
	} {
		if g.value != nil {
			own = append(own, feedstock.Assay{Key: g.key, Value: g.value.Estimate()})
		}
	}
	if in.Weighed != nil {
		own = append(own, feedstock.Assay{Key: feedstock.KeyDensity, Value: qty.Exactly(in.Weighed.Value)})
	}
	if len(problems) == 0 || in.Material == "" {
		material, err := part.Material.Override(own...)
		var refusal *figure.Refusal
		switch {
		case errors.As(err, &refusal):
			for _, p := range refusal.Problems {
				tell(p.Field, p.Say, p.Try)
			}
		case err != nil:
			tell("", err.Error(), "")
		default:
			part.Material = material
		}
	}
	if in.CostPerM3 != nil {
		c := qty.Money(*in.CostPerM3)
		part.CostPerM3 = &c
	}
	if in.Available != nil {
		v := qty.CubicMetre(*in.Available)
		part.Available = &v
	}
	return part, problems
}

// Answer computes a mix. The error is a *figure.Refusal with every problem, or
// ours.
func (m *Mixer) Answer(ctx context.Context, in MixRequest, units qty.System) (*MixAnswer, error) {
	recipe, free, freeWater, problems := m.recipe(in)
	windows, more := m.windows(in)
	problems = append(problems, more...)
	if len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	out := &MixAnswer{
		Purpose: in.Purpose, Parts: []MixTaken{}, Windows: []MixHeld{}, Chance: map[string]*float64{},
		Hazards: []MixHazard{}, Blocked: []MixBlocked{}, Missing: []string{}, Notes: []string{},
	}
	var bucket qty.CubicMetre
	if in.Solve != nil {
		var err error
		if recipe, bucket, err = m.solve(ctx, in, recipe, free, freeWater, windows, units, out); err != nil {
			return nil, err
		}
	}
	result, err := mix.Forward(m.Parameters, recipe)
	if err != nil {
		return nil, err
	}
	seed, draws := in.Seed, in.Draws
	if draws == 0 {
		draws = mix.Draws
	}
	outlook, err := mix.Chance(m.Parameters, recipe, windows, seed, draws)
	if err != nil {
		return nil, err
	}
	out.Recipe, out.Matter, out.Working = recipe, result.Matter, result.Working
	out.Mix = numbers(result)
	out.Notes = append(out.Notes, result.Notes...)
	for _, miss := range result.Missing {
		out.Missing = append(out.Missing, miss.String())
	}
	m.taken(in, recipe, result, free, bucket, out)
	m.judge(result, windows, outlook, out)
	m.pour(in, recipe, result, windows, freeWater, out)
	for i, p := range in.Parts {
		if result.Parts[i].Wet <= 0 {
			continue
		}
		facts := feedstock.Facts{AgeDays: p.AgeDays, ShareOfMix: number(float64(result.Parts[i].Share))}
		for _, h := range feedstock.Screen(recipe.Parts[i].Material, p.Declared, facts) {
			out.Hazards = append(out.Hazards, MixHazard{recipe.Parts[i].Name, h.What, string(h.Level), h.Why, h.Clears})
		}
	}
	return out, nil
}

// number is nil for what is not known.
func number(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// recipe turns the typed parts into those of the core and finds which are free.
func (m *Mixer) recipe(in MixRequest) (r mix.Recipe, free []bool, freeWater bool, problems []figure.Problem) {
	tell := func(field, say, try string) {
		problems = append(problems, figure.Problem{Field: field, Say: say, Try: try})
	}
	if len(in.Parts) == 0 {
		tell("parts", "There are no parts.", "Name at least one material and how much of it.")
	}
	r.Water = qty.WaterKg(in.WaterKg)
	if in.Shrink != nil {
		r.Shrink = in.Shrink.Estimate()
	}
	r.Method = mix.Method(in.Method)
	seen := map[string]int{}
	var names []string
	for i, p := range in.Parts {
		part, wrong := m.Resolve(p, fmt.Sprintf("parts[%d]", i))
		problems = append(problems, wrong...)
		if first, twice := seen[part.Name]; twice && part.Name != "" {
			tell(fmt.Sprintf("parts[%d].name", i), fmt.Sprintf("%q is also the name of part %d.", part.Name, first+1), "Give each part a name of its own.")
		}
		seen[part.Name] = i
		names = append(names, part.Name)
		r.Parts = append(r.Parts, part)
	}
	free = make([]bool, len(in.Parts))
	if in.Solve != nil {
		for k, f := range in.Solve.Free {
			i, ok := seen[strings.TrimSpace(f)]
			if !ok {
				// A part may be named as its material was typed.
				i = slices.IndexFunc(in.Parts, func(p MixPart) bool { return p.Material != "" && p.Material == f })
				ok = i >= 0
			}
			switch {
			case ok:
				free[i] = true
			case strings.EqualFold(strings.TrimSpace(f), "water"):
				freeWater = true
			default:
				try := "Parts here: " + strings.Join(names, ", ") + ", water."
				if near := contract.Nearest(f, append(slices.Clone(names), "water")); len(near) > 0 {
					try = "Did you mean " + strings.Join(near, " or ") + "?"
				}
				tell(fmt.Sprintf("solve.free[%d]", k), fmt.Sprintf("%q is no part of this mix.", f), try)
			}
		}
	}
	problems = append(problems, amounts(in, &r, free)...)
	return r, free, freeWater, problems
}

// amounts fills in how much of each part there is.
func amounts(in MixRequest, r *mix.Recipe, free []bool) []figure.Problem {
	var problems []figure.Problem
	tell := func(i int, field, say, try string) {
		problems = append(problems, figure.Problem{Field: fmt.Sprintf("parts[%d].%s", i, field), Say: say, Try: try})
	}
	shares, others, sum := 0, 0, 0.0
	for i, p := range in.Parts {
		var given []string
		q := &r.Parts[i].Amount
		for _, g := range []struct {
			key string
			has bool
			set func()
		}{
			{"mass_kg_wet", p.WetKg != nil, func() { q.Wet = qty.WetKg(*p.WetKg) }},
			{"mass_kg_dry", p.DryKg != nil, func() { q.Dry = qty.DryKg(*p.DryKg) }},
			{"volume_m3", p.VolumeM3 != nil, func() { q.Volume = qty.CubicMetre(*p.VolumeM3) }},
			{"mass", p.Mass != nil, func() { q.Wet = qty.WetKg(p.Mass.Value) }},
			{"volume", p.Volume != nil, func() { q.Volume = qty.CubicMetre(p.Volume.Value) }},
			{"share", p.Share != nil, func() { q.Volume = qty.CubicMetre(*p.Share) }},
		} {
			if g.has {
				given = append(given, g.key)
				g.set()
			}
		}
		switch {
		case len(given) > 1:
			tell(i, given[0], fmt.Sprintf("The amount of %s is given as %s.", r.Parts[i].Name, strings.Join(given, " and ")), "Give one of them.")
		case len(given) == 0 && !free[i]:
			tell(i, "volume", fmt.Sprintf("No amount of %s is given.", r.Parts[i].Name), `Give a volume ("2 yd3"), a mass ("500 lb") or a share, or name it in solve.free.`)
		}
		if p.Share != nil {
			shares++
			sum += *p.Share
		} else if len(given) > 0 {
			others++
		}
	}
	if shares > 0 && (others > 0 || shares+others < len(in.Parts)) {
		for i, p := range in.Parts {
			if p.Share == nil && (!free[i] || others > 0) {
				tell(i, "share", fmt.Sprintf("Other parts are given by share and %s is not.", r.Parts[i].Name), "Give all parts by share, or none.")
			}
		}
	}
	if in.Total != "" && shares == 0 && in.Solve == nil {
		problems = append(problems, figure.Problem{Field: "total", Say: "A total is given, but the parts have amounts of their own.", Try: "Give the parts by share, or leave the total out."})
	}
	total := in.Total
	if total == "" && in.Solve != nil {
		total = in.Solve.Total
	}
	if shares == 0 || total == "" || len(problems) > 0 {
		return problems
	}
	// One share is a cubic metre until a total says otherwise.
	volume, mass, wrong := parseTotal("total", total)
	if len(wrong) > 0 {
		if in.Total == "" {
			return nil // told where the solve reads it
		}
		return wrong
	}
	if sum == 0 {
		return []figure.Problem{{Field: "parts", Say: "All shares are 0.", Try: "Give at least one above 0."}}
	}
	k := float64(volume) / (sum * (1 - r.Shrink.Best))
	if mass > 0 {
		weight := 0.0
		for i := range r.Parts {
			weight += float64(r.Parts[i].Amount.Volume) * r.Parts[i].Material.Density.Best
		}
		if k = (float64(mass) - float64(r.Water)) / weight; !(k > 0) {
			return []figure.Problem{{Field: "total", Say: "The water alone weighs as much as the total.", Try: "Give a larger total or less water."}}
		}
	}
	for i := range r.Parts {
		r.Parts[i].Amount.Volume *= qty.CubicMetre(k)
	}
	return nil
}

// parseTotal reads a total, which is a volume or a mass.
func parseTotal(field, text string) (qty.CubicMetre, qty.WetKg, []figure.Problem) {
	v, asVolume := qty.Parse(text, qty.Volume)
	if asVolume != nil {
		kg, asMass := qty.Parse(text, qty.Mass)
		if asMass != nil {
			var p *qty.ParseError
			problem := figure.Problem{Field: field, Say: asVolume.Error(), Try: `Type a volume ("10 yd3") or a mass ("2 tonnes").`}
			if errors.As(asMass, &p) && strings.Contains(p.Say, "two ways") {
				problem.Say, problem.Try = p.Say, p.Try
			} else if errors.As(asVolume, &p) {
				problem.Say = p.Say
			}
			return 0, 0, []figure.Problem{problem}
		}
		v = kg
		asVolume = nil
		if v > 0 && v <= 1e7 {
			return 0, qty.WetKg(v), nil
		}
	} else if v > 0 && v <= 1e5 {
		return qty.CubicMetre(v), 0, nil
	}
	return 0, 0, []figure.Problem{{Field: field, Say: fmt.Sprintf("A total of %s cannot be.", text), Try: "Give more than 0 and no more than a yard holds (100,000 m3, 10,000 tonnes)."}}
}

// windows gives the target, or the windows of the purpose when there is none.
func (m *Mixer) windows(in MixRequest) ([]mix.Window, []figure.Problem) {
	if len(in.Target) == 0 {
		return m.Parameters.Windows(mix.Purpose(in.Purpose)), nil
	}
	var out []mix.Window
	var problems []figure.Problem
	for _, o := range mix.Outputs() {
		w, ok := in.Target[o.Key()]
		if !ok {
			continue
		}
		tell := func(say, try string) {
			problems = append(problems, figure.Problem{Field: "target." + o.Key(), Say: say, Try: try})
		}
		t := mix.Window{Output: o, Low: math.Inf(-1), High: math.Inf(1)}
		switch {
		case w.Is != nil && (w.Min != nil || w.Max != nil):
			tell("Both an exact value and a range are given.", "Give is alone, or min and max.")
			continue
		case w.Is == nil && w.Min == nil && w.Max == nil:
			tell("No value is given.", "Give min, max or both, or is.")
			continue
		case w.Is != nil:
			t.Low, t.High = *w.Is, *w.Is
		}
		if w.Min != nil {
			t.Low = *w.Min
		}
		if w.Max != nil {
			t.High = *w.Max
		}
		if t.Low > t.High {
			tell(fmt.Sprintf("The window runs from %g to %g.", t.Low, t.High), "Give min below max.")
			continue
		}
		top := math.Inf(1)
		if strings.Contains(o.Key(), "_frac") {
			top = 1
		}
		for _, v := range []*float64{w.Min, w.Max, w.Is} {
			if v != nil && (*v < 0 || *v > top || math.IsNaN(*v)) {
				try := "Give 0 or more."
				if top == 1 {
					try = "Give a fraction between 0 and 1."
					if *v > 1 && *v <= 100 {
						try = fmt.Sprintf("Give a fraction between 0 and 1; %g %% is %g.", *v, *v/100)
					}
				}
				tell(fmt.Sprintf("%g is no %s that can be.", *v, o.Words()), try)
			}
		}
		out = append(out, t)
	}
	return out, problems
}

// solve finds the free parts and writes down what blocks.
func (m *Mixer) solve(ctx context.Context, in MixRequest, recipe mix.Recipe, free []bool, freeWater bool, windows []mix.Window, units qty.System, out *MixAnswer) (mix.Recipe, qty.CubicMetre, error) {
	var problems []figure.Problem
	w := mix.Wanted{Recipe: recipe, Free: free, FreeWater: freeWater, Target: windows, Units: units, Least: mix.Least(in.Solve.Least), Candidates: m.candidates()}
	total, field := in.Solve.Total, "solve.total"
	if total == "" {
		total, field = in.Total, "total"
	}
	if total != "" {
		w.TotalVolume, w.TotalMass, problems = parseTotal(field, total)
	}
	if in.Solve.BucketM3 != nil && in.Solve.Bucket != nil {
		problems = append(problems, figure.Problem{Field: "solve.bucket", Say: "The bucket is given twice.", Try: "Give one of bucket and bucket_m3."})
	}
	if in.Solve.BucketM3 != nil {
		w.Bucket = qty.CubicMetre(*in.Solve.BucketM3)
	}
	if in.Solve.Bucket != nil {
		w.Bucket = qty.CubicMetre(in.Solve.Bucket.Value)
	}
	if in.Solve.Step != nil {
		w.Steps = []float64{*in.Solve.Step}
	}
	if w.Least == "" {
		w.Least = mix.Cost
		for i, f := range free {
			if f && recipe.Parts[i].CostPerM3 == nil {
				w.Least = mix.Change
			}
		}
	}
	found, err := mix.Solve(ctx, m.Solver, m.Parameters, w)
	var refusal *figure.Refusal
	if errors.As(err, &refusal) {
		problems = append(problems, refusal.Problems...)
		err = nil
	}
	if len(problems) > 0 {
		return recipe, 0, contract.Refuse(problems)
	}
	if err != nil {
		return recipe, 0, err
	}
	for _, s := range found.Skipped {
		if len(in.Target) > 0 && s.Output != mix.PHLow && s.Output != mix.PHHigh {
			problems = append(problems, figure.Problem{Field: "target." + s.Output.Key(), Say: fmt.Sprintf("This cannot be aimed at, since what it rests on (%s) is not known of every part.", s.Output.Words()), Try: "Give it for the parts, or leave this target out."})
			continue
		}
		out.Notes = append(out.Notes, fmt.Sprintf("Not aimed at, since it is not known of every part or no sum: %s.", s.Output.Words()))
	}
	if len(problems) > 0 {
		return recipe, 0, contract.Refuse(problems)
	}
	out.Possible = &found.Possible
	if w.Bucket > 0 {
		b := float64(w.Bucket)
		out.Bucket = &b
		out.BucketStep = number(found.Step)
	}
	out.Notes = append(out.Notes, found.Notes...)
	out.Notes = append(out.Notes, leastWords[w.Least])
	for _, b := range found.Blocked {
		out.Blocked = append(out.Blocked, MixBlocked{b.Window.Output.Key(), number(b.Best), b.Needs})
	}
	return found.Recipe, w.Bucket, nil
}

var leastWords = map[mix.Least]string{
	mix.Cost:      "Of all mixes that meet the windows this costs the least.",
	mix.Change:    "Of all mixes that meet the windows this moves the least volume away from the amounts given.",
	mix.LeastPour: "Of all mixes that meet the windows this takes the least water.",
}

// candidates are the materials named when a mix cannot be made: all that may go
// to worms without a hold.
func (m *Mixer) candidates() []mix.Part {
	var out []mix.Part
	for _, material := range m.Library.Materials() {
		if material.Group == "mineral" || material.Group == "other" || material.Group == "water" || material.Group == "castings" {
			continue
		}
		if slices.ContainsFunc(material.Hazards, func(h feedstock.Hazard) bool {
			return h.Level == feedstock.LevelRefuse && h.Declared == "" && h.Fact == ""
		}) {
			continue
		}
		// What would bring ammonia or salt of its own is no help.
		if material.Ammonia.Best > m.Parameters.AmmoniaMax || material.Salts.Best > m.Parameters.SaltsMax {
			continue
		}
		out = append(out, mix.Part{Name: material.Name, Material: material})
	}
	return out
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
