package mix

// Parameters are the numbers behind mixing that describe nature or trade; the
// values, ranges and sources are in internal/source/data/mix.json.
type Parameters struct {
	OrganicDensity float64 `param:"organic_density" unit:"kg/m3"` // of organic matter without pores
	AshDensity     float64 `param:"ash_density" unit:"kg/m3"`     // of ash without pores
	SlopePycno     float64 `param:"air_slope_pycnometer" unit:"% m3/kg"`
	SlopeParticle  float64 `param:"air_slope_particle" unit:"% m3/kg"`

	CarbonDivisor  float64 `param:"carbon_divisor" unit:"-"`         // carbon is volatile matter over this
	OrganicDivisor float64 `param:"organic_matter_divisor" unit:"-"` // carbon is organic matter over this
	ApplyLow       float64 `param:"nitrogen_apply_low" unit:"-"`
	ApplyHigh      float64 `param:"nitrogen_apply_high" unit:"-"`

	ExactSlack float64 `param:"exact_slack" unit:"-"` // relative, within which a single-valued window counts as met

	BedWater     [2]float64 `param:"starting_bed_water" unit:"kg/kg wet"`
	FeedWater    [2]float64 `param:"feed_water" unit:"kg/kg wet"`
	WoodyWater   [2]float64 `param:"woody_feed_water" unit:"kg/kg wet"`
	BeddingWater [2]float64 `param:"bedding_water" unit:"kg/kg wet"`
	HotWater     [2]float64 `param:"hot_pile_water" unit:"kg/kg wet"`

	BedCNMin     float64    `param:"starting_bed_cn_min" unit:"-"`
	FeedCN       [2]float64 `param:"feed_cn" unit:"-"`
	WoodyCNMin   float64    `param:"woody_feed_cn_min" unit:"-"`
	BeddingCNMin float64    `param:"bedding_cn_min" unit:"-"`
	HotCN        [2]float64 `param:"hot_pile_cn" unit:"-"`

	AirMin        float64    `param:"air_filled_min" unit:"m3/m3"`
	HotAir        [2]float64 `param:"hot_pile_air_filled" unit:"m3/m3"`
	HotDensityMax float64    `param:"hot_pile_density_max" unit:"kg/m3 wet"`
	SaltsMax      float64    `param:"salts_max" unit:"dS/m"`
	AmmoniaMax    float64    `param:"ammonia_max" unit:"mg/kg dry"`
	PHMin         float64    `param:"ph_min" unit:"pH"`
	PHMax         float64    `param:"ph_max" unit:"pH"`
}
