package bed

import (
	"wormyard/feedstock"
	"wormyard/worm"
)

// Parameters are the numbers of nature and trade that a run rests on.
type Parameters struct {
	Column
	feedstock.Warmth
	feedstock.Lying
	feedstock.Fibre
	Responses   Responses
	Diffusivity Diffusivity
	Worm        worm.Parameters
}

// Column holds the numbers of the layered column itself. Values, ranges and
// sources are data (internal/source/data/bed.json); a unit of "-" is a plain
// number.
type Column struct {
	// Heat.
	ConductivityShare float64 `param:"conductivity_share" unit:"-"`          // of the parallel bound of water, solids and air
	DryHeat           float64 `param:"dry_heat_j_kg_k" unit:"J/(kg K)"`      // specific heat of dry matter
	OxygenHeat        float64 `param:"oxygen_heat_mj_kg" unit:"MJ/kg"`       // heat released for each kg of oxygen used
	FilmU             float64 `param:"film_u_w_m2k" unit:"W/(m2 K)"`         // plastic film with the air it traps
	ClothU            float64 `param:"cloth_u_w_m2k" unit:"W/(m2 K)"`        // sacking or cloth
	BoardU            float64 `param:"board_u_w_m2k" unit:"W/(m2 K)"`        // boards or plywood
	AirU              float64 `param:"air_u_w_m2k" unit:"W/(m2 K)"`          // film of air over bed or cover, radiation included
	FloorU            float64 `param:"floor_u_w_m2k" unit:"W/(m2 K)"`        // bed to slab
	UnderAirU         float64 `param:"under_air_u_w_m2k" unit:"W/(m2 K)"`    // bed to air below
	UnderBinU         float64 `param:"under_bin_u_w_m2k" unit:"W/(m2 K)"`    // what a bin below still lets through to barn air
	OverShare         float64 `param:"over_share" unit:"-"`                  // of heat and air exchange through the top left when a bin stands over it
	StackAirK         float64 `param:"stack_air_k" unit:"K"`                 // how much warmer the air of a barn is a level up a stack
	FloorDays         float64 `param:"floor_days" unit:"day"`                // how slowly the slab follows the air
	WallU             float64 `param:"wall_u_w_m2k" unit:"W/(m2 K)"`         // wall of boards, and of a bin that names none
	PlywoodU          float64 `param:"wall_plywood_u_w_m2k" unit:"W/(m2 K)"` // wall of plywood
	PlasticU          float64 `param:"wall_plastic_u_w_m2k" unit:"W/(m2 K)"` // wall of plastic sheet

	// Water.
	FilmPermeance  float64 `param:"film_permeance" unit:"kg/(s m2 Pa)"`
	ClothPermeance float64 `param:"cloth_permeance" unit:"kg/(s m2 Pa)"`
	BoardPermeance float64 `param:"board_permeance" unit:"kg/(s m2 Pa)"`
	CoverGapM      float64 `param:"cover_gap_m" unit:"m"`               // still air under a cover
	CoverLeak      float64 `param:"cover_leak_m_s" unit:"m/s"`          // air exchange past the edges of a cover
	AirH           float64 `param:"air_h_w_m2k" unit:"W/(m2 K)"`        // convection at the top, for vapour
	HoldsFibre     float64 `param:"holds_fibre_kg_kg" unit:"kg/kg"`     // water held by quick and slow matter
	HoldsWoody     float64 `param:"holds_woody_kg_kg" unit:"kg/kg"`     // water held by woody matter
	HoldsCast      float64 `param:"holds_cast_kg_kg" unit:"kg/kg"`      // water held by worked volatile matter
	HoldsAsh       float64 `param:"holds_ash_kg_kg" unit:"kg/kg"`       // water held by ash
	DrainHours     float64 `param:"drain_hours" unit:"h"`               // how slowly water above that runs down
	Spread         float64 `param:"spread_kg_m_day" unit:"kg/(m day)"`  // capillary flow for a unit of saturation over a metre, when full
	DrySurface     float64 `param:"dry_surface" unit:"-"`               // saturation of the top layer below which evaporation falls
	MetabolicWater float64 `param:"metabolic_water_kg_kg" unit:"kg/kg"` // water formed for each kg of matter rotted

	// Air.
	OxygenPerVolatile float64 `param:"oxygen_per_volatile_kg_kg" unit:"kg/kg"` // oxygen used for each kg of matter rotted
	HolePathM         float64 `param:"hole_path_m" unit:"m"`                   // from a side hole into the bed
	PoreGrainM        float64 `param:"pore_grain_m" unit:"m"`                  // grain that passes air like the bed's matter
	DraftShare        float64 `param:"draft_share" unit:"-"`                   // of the flow that a layer's warmth would drive straight up, that finds its way
	BaseG             float64 `param:"base_conductance_m_s" unit:"m/s"`        // air exchange through the base where air can come

	// Decay; rates at Warmth.RateAtC, wet and aired.
	QuickRate    float64 `param:"quick_rate_per_day" unit:"1/day"`
	SlowRate     float64 `param:"slow_rate_per_day" unit:"1/day"`
	WoodyRate    float64 `param:"woody_rate_per_day" unit:"1/day"`
	CastRate     float64 `param:"cast_rate_per_day" unit:"1/day"`
	NitrogenLack float64 `param:"nitrogen_lack" unit:"-"`        // how slow decay is when all nitrogen is lacking, against plenty
	MineralHalf  float64 `param:"mineral_half_g_kg" unit:"g/kg"` // mineral nitrogen of dry matter at which half the lack is felt

	// Nitrogen.
	MicrobeCN         float64 `param:"microbe_cn" unit:"-"`
	MicrobeEfficiency float64 `param:"microbe_efficiency" unit:"-"`
	NitrifyRate       float64 `param:"nitrify_rate_per_day" unit:"1/day"` // at NitrifyBestC
	NitrifyMinC       float64 `param:"nitrify_min_c" unit:"C"`
	NitrifyBestC      float64 `param:"nitrify_best_c" unit:"C"`
	NitrifyMaxC       float64 `param:"nitrify_max_c" unit:"C"`
	NitrifyOxygen     float64 `param:"nitrify_oxygen_frac" unit:"-"`        // oxygen below which it stops, by volume
	RipePH            float64 `param:"ripe_ph" unit:"pH"`                   // what a bed's acidity drifts to
	PHDays            float64 `param:"ph_days" unit:"day"`                  // how slowly
	Buffer            float64 `param:"buffer_mol_kg_ph" unit:"mol/(kg pH)"` // acid that moves a kg of dry matter by one pH
	NitrifyPH         float64 `param:"nitrify_ph" unit:"pH"`                // acidity up to which nitrification is not slowed
	NitrifyEndPH      float64 `param:"nitrify_end_ph" unit:"pH"`            // acidity at which it stops

	// Room.
	OrganicDensity float64 `param:"organic_density_kg_m3" unit:"kg/m3"` // of volatile matter without pores
	AshDensity     float64 `param:"ash_density_kg_m3" unit:"kg/m3"`     // of ash without pores
	FibreBulk      float64 `param:"fibre_bulk_kg_m3" unit:"kg/m3"`      // unworked dry matter in the bulk, settled
	WoodyBulk      float64 `param:"woody_bulk_kg_m3" unit:"kg/m3"`      // woody dry matter in the bulk, settled
	CastBulk       float64 `param:"cast_bulk_kg_m3" unit:"kg/m3"`       // worked dry matter in the bulk, settled
	SettleDays     float64 `param:"settle_days" unit:"day"`             // how slowly a layer settles to that
	SettleLoad     float64 `param:"settle_load_pa" unit:"Pa"`           // load that doubles the settled density
	AirLeast       float64 `param:"air_least_frac" unit:"-"`            // air space that even a soaked bed keeps
	AirDrained     float64 `param:"air_drained_frac" unit:"-"`          // air space of a packed layer that has drained
	TurnLoosens    float64 `param:"turn_loosens" unit:"-"`              // rise of depth on turning

	// Worms in the bed.
	PreferBase       float64 `param:"prefer_base" unit:"-"`                  // pull of a layer without food against one full of it
	LightM           float64 `param:"light_m" unit:"m"`                      // of the top of a bed without cover, that worms keep out of by day
	PreferDepthM     float64 `param:"prefer_depth_m" unit:"m"`               // depth over which the pull of the surface falls by e
	SlowTaste        float64 `param:"slow_taste" unit:"-"`                   // slow matter against quick, as worms take it
	WoodyTaste       float64 `param:"woody_taste" unit:"-"`                  // woody matter against quick
	CastTaste        float64 `param:"cast_taste" unit:"-"`                   // worked matter against quick
	FoodHalf         float64 `param:"food_half_kg_kg" unit:"kg/kg"`          // edible dry matter for each live kg at which intake is halved
	ShiftHours       float64 `param:"shift_hours" unit:"h"`                  // how slowly worms move to where it suits them
	SideDays         float64 `param:"side_days" unit:"day"`                  // how slowly worms cross to the half where more draws them
	GutLoss          float64 `param:"gut_loss" unit:"-"`                     // share of the quick and slow matter eaten that is gone with the pass
	CastElsewhere    float64 `param:"cast_elsewhere" unit:"-"`               // share of what worms eat in a layer that they cast in its neighbours
	NitrogenTaken    float64 `param:"nitrogen_taken" unit:"-"`               // most of the nitrogen eaten that becomes worm
	AmmoniaTestPH    float64 `param:"ammonia_test_ph" unit:"pH"`             // acidity of the trials that the worms' ammonia limits come from
	AmmoniaTestWater float64 `param:"ammonia_test_water_kg_kg" unit:"kg/kg"` // water of their soil, by dry soil
	RefugeC          float64 `param:"refuge_c" unit:"C"`                     // a refuge is cooler than this
	AlarmC           float64 `param:"alarm_c" unit:"C"`                      // worms are in danger above this
	RefugeOxygen     float64 `param:"refuge_oxygen_frac" unit:"-"`           // a refuge has more oxygen than this, by volume
	DryTop           float64 `param:"dry_top_frac_wet" unit:"-"`             // water of the top 5 cm below which drying is noticed
	SourOxygen       float64 `param:"sour_oxygen_frac" unit:"-"`             // oxygen in a layer with feed below which souring is noticed, by volume
	LeavingDay       float64 `param:"leaving_per_day" unit:"1/day"`          // share of the worms leaving at which it is noticed
	FrozenWater      float64 `param:"frozen_of_water" unit:"-"`              // ice in all water at which a bed is called frozen
	RipeDays         float64 `param:"ripe_days" unit:"day"`                  // time constant of working in a bed without record, a first guess only
	RipeC            float64 `param:"ripe_c" unit:"C"`                       // temperature at which a bed without record is aged, a first guess only

	// Castings as a material, where a bed starts with them.
	CastingsBulk   float64 `param:"castings_bulk_kg_m3" unit:"kg/m3"`     // dry matter in the bulk
	CastingsWater  float64 `param:"castings_water_frac_wet" unit:"-"`     // water, of wet
	CastingsAsh    float64 `param:"castings_ash_frac_dry" unit:"-"`       // ash, of dry
	CastingsCarbon float64 `param:"castings_carbon_of_volatile" unit:"-"` // carbon, of volatile matter
	CastingsCN     float64 `param:"castings_cn" unit:"-"`                 // carbon to nitrogen

}
