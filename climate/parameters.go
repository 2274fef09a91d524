package climate

// Parameters holds what the air around a farm needs that is not physics.
type Parameters struct {
	DailyLowHour  float64 `param:"daily_low_hour" unit:"h"`  // after sunrise, when the day is coldest
	DailyHighHour float64 `param:"daily_high_hour" unit:"h"` // after noon, when it is warmest
	NightFall     float64 `param:"night_fall" unit:"-"`      // how quickly the evening cools
	DewBelowLowC  float64 `param:"dew_below_low_c" unit:"C"` // dew point below the daily low
	BlendDays     float64 `param:"blend_days" unit:"day"`    // memory of a typed reading
	OutlookSDC    float64 `param:"outlook_sd_c" unit:"C"`    // error of an outlook, first day
	NormalSDC     float64 `param:"normal_sd_c" unit:"C"`     // how far a day lies from its normal
	TypedSDC      float64 `param:"typed_sd_c" unit:"C"`      // error of a typed low or high
	FrostC        float64 `param:"frost_c" unit:"C"`         // frost warning
	HardFrostC    float64 `param:"hard_frost_c" unit:"C"`    // hard frost warning
	HeatC         float64 `param:"heat_c" unit:"C"`          // heat warning
	StackOffsetC  float64 `param:"stack_offset_c" unit:"C"`  // warmer for each level up
	BarnCapacity  float64 `param:"barn_capacity_j_m3k" unit:"J/(m3 K)"`
	Discharge     float64 `param:"opening_discharge" unit:"-"`
}
