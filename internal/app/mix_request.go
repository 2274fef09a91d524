package app

import (
	"slices"

	"wormyard/internal/contract"
)

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
