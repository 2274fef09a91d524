// Package worm is the stock of a bed: how compost worms (Eisenia fetida and
// E. andrei) eat, grow, mature, lay, hatch, shrink, leave and die.
//
// The stock is kept as three compartments, cocoons, juveniles and adults, each
// development spread over a chain of steps so that neither all cocoons hatch on
// one day nor some at once. Single worms grow best near 31 C but hardly lay
// above 30 C, so a warm bed grows worms and not a population. Crowding slows
// laying and growth from 5 to 20 kg/m2. Rates are known to 25 to 40 %; the size
// of a population after three months to a factor of two. Equations:
// docs/model.md, W1 to W18. Hot functions use plain float64 with units in names
// or comments.
package worm

// Parameters holds what is known of the species. The values are data.
type Parameters struct {
	GrowthColdC   float64 `param:"growth_cold_c" unit:"C"`               // no growth below (Briere)
	GrowthHotC    float64 `param:"growth_hot_c" unit:"C"`                // no growth above (Briere)
	GrowthSpeed   float64 `param:"growth_cbrt_g_day" unit:"g^(1/3)/day"` // of the cube root of mass of a small, full fed worm at 25 C
	GrowthBend    float64 `param:"growth_bend" unit:"-"`                 // how late growth slows on the way to the grown mass
	Upkeep        float64 `param:"upkeep_frac" unit:"-"`                 // share of a full meal that keeps mass as it is
	GrownG        float64 `param:"grown_g" unit:"g"`                     // live mass that a fed worm tends to
	MatureG       float64 `param:"mature_g" unit:"g"`                    // least live mass of an adult
	HatchlingG    float64 `param:"hatchling_g" unit:"g"`                 // live mass at hatching
	CocoonG       float64 `param:"cocoon_g" unit:"g"`                    // live mass of a cocoon
	MaturationDay float64 `param:"maturation_days" unit:"day"`           // hatching to maturity at 25 C, well fed
	HatchColdC    float64 `param:"hatch_cold_c" unit:"C"`                // T0 of the degree-days
	HatchDegDays  float64 `param:"hatch_degree_days" unit:"C day"`       // to hatch
	HatchLeastC   float64 `param:"hatch_least_c" unit:"C"`               // no hatching below
	HatchCV       float64 `param:"hatch_cv" unit:"-"`                    // spread of single cocoons
	HatchFrac     float64 `param:"hatch_frac" unit:"-"`                  // cocoons that hatch at all
	HatchFallC    float64 `param:"hatch_fall_c" unit:"C"`                // hatching success falls from here
	HatchNoneC    float64 `param:"hatch_none_c" unit:"C"`                // to nothing here
	YoungPer      float64 `param:"young_per_cocoon" unit:"-"`            // from a cocoon that hatched
	LayingPerDay  float64 `param:"laying_per_day" unit:"1/day"`          // cocoons per adult at 25 C
	LayingColdC   float64 `param:"laying_cold_c" unit:"C"`               // Briere
	LayingHotC    float64 `param:"laying_hot_c" unit:"C"`                // Briere
	LayingLeastC  float64 `param:"laying_least_c" unit:"C"`              // none below
	MoistMid      float64 `param:"moist_mid_frac_wet" unit:"-"`          // half growth on the dry side
	MoistWidth    float64 `param:"moist_width_frac_wet" unit:"-"`        // of the dry side
	WetFull       float64 `param:"wet_full_frac_wet" unit:"-"`           // full growth up to
	WetLess       float64 `param:"wet_less_frac_wet" unit:"-"`           // 0.7 here
	WetNone       float64 `param:"wet_none_frac_wet" unit:"-"`           // none here
	OxygenHalf    float64 `param:"oxygen_half_frac" unit:"-"`            // oxygen in pore air at which activity halves
	CrowdFrom     float64 `param:"crowd_from_kg_m2" unit:"kg/m2"`        // crowding begins
	CrowdFull     float64 `param:"crowd_full_kg_m2" unit:"kg/m2"`        // laying and growth stop
	IntakePerDay  float64 `param:"intake_kg_kg_day" unit:"1/day"`        // wet feed per live mass at 25 C, all that it wants
	IntakeAtG     float64 `param:"intake_at_g" unit:"g"`                 // live mass of the worm for which the intake holds
	Maintenance   float64 `param:"maintenance_frac" unit:"-"`            // share of intake below which nothing is laid
	ShrinkPerDay  float64 `param:"shrink_per_day" unit:"1/day"`          // loss of mass unfed at 20 C
	TissueYield   float64 `param:"tissue_yield" unit:"-"`                // greatest dry tissue for each dry mass eaten
	DryFrac       float64 `param:"dry_frac" unit:"-"`                    // dry matter of live mass
	CarbonFrac    float64 `param:"carbon_frac_dry" unit:"-"`             // of dry tissue
	NitrogenFrac  float64 `param:"nitrogen_frac_dry" unit:"-"`           // of dry tissue
	BreathMgGH    float64 `param:"breath_mg_g_h" unit:"mg/(g h)"`        // oxygen per live mass at 20 C
	BreathQ10     float64 `param:"breath_q10" unit:"-"`                  //
	LifeDays      float64 `param:"life_days" unit:"day"`                 // maturity to death by age, mean
	AdultDeath    float64 `param:"adult_death_per_day" unit:"1/day"`
	YoungDeath    float64 `param:"young_death_per_day" unit:"1/day"` // at 20 C
	CocoonDeath   float64 `param:"cocoon_death_per_day" unit:"1/day"`
	HeatFromC     float64 `param:"heat_from_c" unit:"C"`              // death by heat begins
	HeatFullC     float64 `param:"heat_full_c" unit:"C"`              // at LethalPerDay
	ColdFromC     float64 `param:"cold_from_c" unit:"C"`              // death by cold begins (worms)
	ColdFullC     float64 `param:"cold_full_c" unit:"C"`              // at LethalPerDay (worms)
	CocoonColdC   float64 `param:"cocoon_cold_c" unit:"C"`            // cocoons: cold death starts
	CocoonFrostC  float64 `param:"cocoon_frost_c" unit:"C"`           // cocoons: at LethalPerDay
	LethalPerDay  float64 `param:"lethal_per_day" unit:"1/day"`       // death rate where nothing can live
	DryFrom       float64 `param:"dry_from_frac_wet" unit:"-"`        // death by drought begins
	DryFull       float64 `param:"dry_full_frac_wet" unit:"-"`        // at DryPerDay
	DryPerDay     float64 `param:"dry_per_day" unit:"1/day"`          //
	OxygenFrom    float64 `param:"oxygen_from_frac" unit:"-"`         // death by want of air begins
	OxygenDeath   float64 `param:"oxygen_death_per_day" unit:"1/day"` // without any oxygen
	AmmoniaLC     float64 `param:"ammonia_lc_mg_g" unit:"mg/g"`       // half die in the end; of NH4OH by dry soil
	AmmoniaPerDay float64 `param:"ammonia_per_day" unit:"1/day"`      // how quickly that end is neared
	AmmoniaShape  float64 `param:"ammonia_shape" unit:"-"`            // steepness
	AvoidMgG      float64 `param:"avoid_mg_g" unit:"mg/g"`            // half leave; of NH4OH by dry soil
	AvoidShape    float64 `param:"avoid_shape" unit:"-"`              //
	SourFrom      float64 `param:"sour_from_ph" unit:"pH"`            // acidity: death begins below
	SourFull      float64 `param:"sour_full_ph" unit:"pH"`            // at PHPerDay
	BitterFrom    float64 `param:"bitter_from_ph" unit:"pH"`          // alkalinity: death begins above
	BitterFull    float64 `param:"bitter_full_ph" unit:"pH"`          // at PHPerDay
	PHPerDay      float64 `param:"ph_death_per_day" unit:"1/day"`     // death rate outside the range of pH
	SaltLeave     float64 `param:"salt_leave_ds_m" unit:"dS/m"`       // worms begin to leave; of a 1:5 extract of dry matter
	SaltFrom      float64 `param:"salt_from_ds_m" unit:"dS/m"`        // death by salts begins, all seek to leave
	SaltFull      float64 `param:"salt_full_ds_m" unit:"dS/m"`        // at SaltPerDay
	SaltPerDay    float64 `param:"salt_death_per_day" unit:"1/day"`   //
	LeavePerDay   float64 `param:"leave_per_day" unit:"1/day"`        // of worms that find no place to be
	LeaveHeatC    float64 `param:"leave_heat_c" unit:"C"`             // worms seek to leave from
	LeaveHeatAllC float64 `param:"leave_heat_all_c" unit:"C"`         // all do
	BestC         float64 `param:"like_best_c" unit:"C"`              // where worms gather
	LikeWidthC    float64 `param:"like_width_c" unit:"C"`             // how wide
}
