// Package yard follows a pile of feedstock from the day it arrives: how warm
// its core is, how fast it rots, what dry matter, nitrogen and water are left,
// and what to do with it - turn, wet, measure, or lay it before worms.
//
// A pile is one lump: a cone with one temperature (that of its core), one
// moisture and one oxygen content, losing heat through a shell of its own
// material and through the air that its warmth draws in. Left out: the cool
// outer skin as a body of its own, the ground, wind, snow, chemical heating
// beyond what microbes live through (which is how a pile catches fire: the
// alarms speak long before), leaching of salts and nitrate. A long thermometer
// corrects it. Equations Y1 to Y14 are in docs/model/yard.md, every number in
// internal/source/data/yard.json and warmth.json; many are assumptions, and the ranges say so.
package yard

import (
	"wormyard/feedstock"
	"wormyard/qty"
)

// Parameters are the numbers a pile rests on.
type Parameters struct {
	Heap
	feedstock.Warmth
}

// Heap holds the numbers of the pile itself, file yard.json.
type Heap struct {
	// Shape.
	Slope float64 `param:"heap_slope" unit:"-"` // height over radius of the cone
	// Decay, at RateAtC, moist and aired.
	QuickPerDay   float64 `param:"quick_rate" unit:"1/day"`
	SlowPerDay    float64 `param:"slow_rate" unit:"1/day"`
	WoodyPerDay   float64 `param:"woody_rate" unit:"1/day"`
	MoistSlope    float64 `param:"moisture_slope" unit:"-"`
	MoistStart    float64 `param:"moisture_start" unit:"-"`
	AirSlope      float64 `param:"air_slope" unit:"-"`
	AirStart      float64 `param:"air_start" unit:"-"`
	HalfOxygen    float64 `param:"half_oxygen" unit:"m3/m3"`
	OxygenNeed    float64 `param:"oxygen_need" unit:"kg/kg"` // of volatile matter rotted
	WaterMade     float64 `param:"water_made" unit:"kg/kg"`  // of volatile matter rotted
	OrganicKgM3   float64 `param:"organic_density" unit:"kg/m3"`
	AshKgM3       float64 `param:"ash_density" unit:"kg/m3"`
	UnknownKgM3   float64 `param:"unknown_density" unit:"kg/m3"`     // of a pile without a volume
	StillAirMS    float64 `param:"still_air_exchange" unit:"m/s"`    // through the surface, no warmth
	DrawnAirMS    float64 `param:"drawn_air_exchange" unit:"m/s"`    // added at DrawnAtK and half air
	DrawnAtK      float64 `param:"drawn_air_at" unit:"K"`            //
	HalfAir       float64 `param:"exchange_air_filled" unit:"m3/m3"` // air-filled space at which exchange was given
	FibreKgKg     float64 `param:"fibre_saturation" unit:"kg/kg"`    // water below which pore air is no longer saturated
	HoldsKgKg     float64 `param:"holds" unit:"kg/kg"`               // water held against drainage, by dry matter
	RainTaken     float64 `param:"rain_taken" unit:"-"`              // part of the rain on an open pile that goes in
	OxygenHeat    float64 `param:"oxygen_heat" unit:"MJ/kg"`         //
	DryHeat       float64 `param:"dry_heat_capacity" unit:"J/(kg K)"`
	WaterHeat     float64 `param:"water_heat_capacity" unit:"J/(kg K)"`
	ConductWMK    float64 `param:"conductivity" unit:"W/(m K)"`
	ShellPart     float64 `param:"shell_part" unit:"-"` // thickness of the shell over 3 V/A
	FilmM2KW      float64 `param:"surface_film" unit:"m2 K/W"`
	TurnKeeps     float64 `param:"turn_keeps_heat" unit:"-"` // part of the warmth left after turning
	SettlePart    float64 `param:"settling" unit:"-"`        // part of the air-filled space that goes in the long run
	SettleDays    float64 `param:"settling_time" unit:"day"`
	Efficiency    float64 `param:"microbe_efficiency" unit:"-"`
	MicrobeCN     float64 `param:"microbe_cn" unit:"-"`
	AmmoniaPerDay float64 `param:"ammonia_loss_rate" unit:"1/day"` // at RateAtC
	AmmoniaPerK   float64 `param:"ammonia_loss_growth" unit:"-"`   // factor for each kelvin
	// What a thermometer is worth.
	ProbeC      float64 `param:"probe_error" unit:"K"`      // one standard deviation
	ModelC      float64 `param:"model_error" unit:"K"`      // of a pile as cool as the air
	ModelPart   float64 `param:"model_error_part" unit:"-"` // of the warmth above the air, added in squares
	ForgetDays  float64 `param:"measurement_memory" unit:"day"`
	LearnPart   float64 `param:"activity_gain" unit:"-"`
	LearnLimit  float64 `param:"activity_limit" unit:"-"` // greatest factor of one measurement
	ActiveLimit float64 `param:"activity_range" unit:"-"` // greatest factor in all
	// What a pile is told.
	LaidM       float64 `param:"laid_depth" unit:"m"`
	LaidCover   float64 `param:"laid_cover" unit:"m2 K/W"` // resistance of the cover over it
	LaidAirC    float64 `param:"laid_air" unit:"C"`
	CoolC       float64 `param:"laid_cool" unit:"C"`         // laid no warmer: feed
	WarmC       float64 `param:"laid_warm" unit:"C"`         // laid warmer: wait
	HotC        float64 `param:"hot" unit:"C"`               // core this warm: it is hot
	SanitiseC   float64 `param:"sanitise" unit:"C"`          // counted as a hot day
	TurnC       float64 `param:"turn_above" unit:"C"`        // core warmer: turn to cool
	TurnOxygen  float64 `param:"turn_oxygen" unit:"m3/m3"`   // less oxygen: turn for air
	TurnDays    float64 `param:"turn_apart" unit:"day"`      // never sooner
	WetBelow    float64 `param:"wet_below" unit:"-"`         // drier and warm: wet
	WetTo       float64 `param:"wet_to" unit:"-"`            // moisture aimed at
	MeasureDays float64 `param:"measure_apart" unit:"day"`   // a warm pile not measured for so long
	WarnC       float64 `param:"fire_warn" unit:"C"`         //
	ActC        float64 `param:"fire_act" unit:"C"`          //
	HelpC       float64 `param:"fire_help" unit:"C"`         //
	FireDry     float64 `param:"fire_driest" unit:"-"`       // moisture
	FireMoist   float64 `param:"fire_moistest" unit:"-"`     // moisture
	HeightM     float64 `param:"fire_height" unit:"m"`       //
	SharpFrac   float64 `param:"ammonia_sharp" unit:"kg/kg"` // ammoniacal nitrogen in dry matter that is smelled on turning
	DustBelow   float64 `param:"dust_below" unit:"-"`        // moisture
	TurnMinPerM float64 `param:"turn_minutes" unit:"min/m3"`
	WetMinPerL  float64 `param:"wet_minutes" unit:"min/kg"`
	MeasureMin  float64 `param:"measure_minutes" unit:"min"`
}

// Kind is what happened to a pile.
type Kind string

// The kinds of event.
const (
	Received  Kind = "received"
	Taken     Kind = "taken"
	Turned    Kind = "turned"
	Wetted    Kind = "wetted"
	Measured  Kind = "measured"
	Covered   Kind = "covered"
	Uncovered Kind = "uncovered"
)

// Event is one thing that was done to or seen of a pile. Hours are counted from
// 1970-01-01T00Z.
type Event struct {
	Hour   int64
	Kind   Kind
	Matter feedstock.Matter // Received: what came
	AtC    *qty.Celsius     // Received: how warm it came; nil is as warm as the air
	Part   qty.Fraction     // Taken: part of what lies there, 0 to 1
	Volume qty.CubicMetre   // Taken: in place of Part
	Wet    qty.WetKg        // Taken: in place of Part
	Water  qty.WaterKg      // Wetted
	TempC  qty.Celsius      // Measured: in the core
}

// Pile is a heap in the yard as it is at an hour.
type Pile struct {
	Hour    int64            // it is so at the beginning of this hour
	Matter  feedstock.Matter // what lies there; Volume is the settled one
	TempC   float64          // core [C]
	Oxygen  float64          // in its pores [m3/m3]
	AirC    float64          // air outside, mean of the last day [C]
	Active  float64          // what measurements have taught of its rates; 1 is as the parameters say
	Spread  float64          // standard deviation of TempC after the last measurement [K]; 0 when never measured
	Covered bool

	First, Last int64   // hours of the first and the last delivery
	Mean        float64 // hour of delivery, mean by dry mass
	TurnedAt    int64   // hour of the last turning, or of the first delivery
	Turns       int
	WettedAt    int64 // 0 when never
	MeasuredAt  int64 // 0 when never
	MeasuredC   float64
	PeakC       float64 // warmest core so far
	HotHours    float64 // hours at SanitiseC or above
	WarmHours   float64 // hours at HotC or above

	looseKgM3 float64 // dry matter in the volume when loose
	held      float64 // water it held when it came [kg/kg dry]
}

// Budget is what went through a pile.
type Budget struct {
	In, Out      feedstock.Matter // delivered, taken
	DryLost      qty.DryKg
	CarbonLost   qty.CarbonKg
	NitrogenLost qty.NitrogenKg // to the air, as ammonia
	WaterAdded   qty.WaterKg    // by hose and rain
	WaterMade    qty.WaterKg    // by rotting
	Evaporated   qty.WaterKg
	Drained      qty.WaterKg
	HeatMade     float64 // [J]
	HeatLost     float64 // through shell, air and turning [J]
	HeatStored   float64 // warming of what lay there; heat that comes and goes with matter is not in it [J]
}

// Cool says whether a pile may go to worms.
type Cool string

// The answers to "cool enough to use?".
const (
	CoolYes    Cool = "yes"
	CoolNearly Cool = "nearly" // lay it thin, look the next day; or let it cool first
	CoolNo     Cool = "no"
)

// Status is what a pile is at an hour, in the numbers people ask for.
type Status struct {
	AgeDays   float64        // since the first delivery
	NewestDay float64        // since the last delivery
	Core      qty.Estimate   // temperature of the core [C]
	Laid      qty.Celsius    // how warm it would grow when laid thin on a bed
	LaidDepth qty.Metre      // how thin that is
	Use       Cool           // cool enough to use?
	Hot       bool           // the core is hot now
	Turn      bool           // wants turning
	Wet       bool           // wants water
	Water     qty.WaterKg    // to reach the moisture aimed at, 0 when it needs none
	Moisture  qty.WaterOfWet //
	Oxygen    qty.OxygenOfAir
	AirFilled qty.AirOfVolume
	Volume    qty.CubicMetre // left
	Height    qty.Metre      // of the cone
	HotDays   float64        // at SanitiseC or above so far
	Left      qty.Fraction   // dry matter left of what was delivered and not taken
}

// Urgency says when.
type Urgency string

// The urgencies, the same words as the round has.
const (
	Now     Urgency = "now"
	Today   Urgency = "today"
	Week    Urgency = "week"
	NoHurry Urgency = "no hurry"
)

// Advice is one act for a pile.
type Advice struct {
	Act     string      // "turn", "wet", "measure", "rest", "use", "spread", "call for help"
	Water   qty.WaterKg // with "wet"
	Reason  string      // one sentence
	Urgency Urgency
	Caution string // what can hurt, "" when nothing
	Minutes float64
}
