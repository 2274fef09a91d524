// Package work is what a body takes: what may be lifted by hand, and how long
// air with a gas in it may be breathed.
//
// The lifting equation is that of 1991 in its metric form; it assumes two hands,
// firm footing and a calm lift, and says nothing of twisting under a falling
// load. Air limits are means over eight hours and over short spells.
//
// Left out: dust and spores, for which a mask and damp bedding are the answer
// and no reading is had; noise, cold, heat.
//
// The equations are in docs/model/work.md (X1 to X3), the numbers in
// internal/source/data/work.json.
package work

import (
	"fmt"
	"math"

	"wormyard/figure"
)

// Parameters are the tables and limits; sources are in
// internal/source/data/work.json.
type Parameters struct {
	Constant float64   `param:"lift_constant_kg" unit:"kg"`
	PerMin   []float64 `param:"lift_per_min" unit:"1/min"`
	Low1     []float64 `param:"lift_low_1h" unit:"-"`
	Low2     []float64 `param:"lift_low_2h" unit:"-"`
	Low8     []float64 `param:"lift_low_8h" unit:"-"`
	High1    []float64 `param:"lift_high_1h" unit:"-"`
	High2    []float64 `param:"lift_high_2h" unit:"-"`
	High8    []float64 `param:"lift_high_8h" unit:"-"`

	AmmoniaMean   float64 `param:"ammonia_mean_ppm" unit:"ppm"`
	AmmoniaShort  float64 `param:"ammonia_short_ppm" unit:"ppm"`
	AmmoniaLeave  float64 `param:"ammonia_leave_ppm" unit:"ppm"`
	MonoxideMean  float64 `param:"monoxide_mean_ppm" unit:"ppm"`
	MonoxideShort float64 `param:"monoxide_short_ppm" unit:"ppm"`
	MonoxideLeave float64 `param:"monoxide_leave_ppm" unit:"ppm"`
	SulphideMean  float64 `param:"sulphide_mean_ppm" unit:"ppm"`
	SulphideShort float64 `param:"sulphide_short_ppm" unit:"ppm"`
	SulphideLeave float64 `param:"sulphide_leave_ppm" unit:"ppm"`
	DioxideMean   float64 `param:"dioxide_mean_ppm" unit:"ppm"`
	DioxideShort  float64 `param:"dioxide_short_ppm" unit:"ppm"`
	DioxideLeave  float64 `param:"dioxide_leave_ppm" unit:"ppm"`
}

// A Lift is one lift by hand, as it is done over and over.
type Lift struct {
	Horizontal float64 // ankles to hands [cm]
	Vertical   float64 // floor to hands at the start [cm]
	Travel     float64 // up or down [cm]
	Angle      float64 // of twist [degrees]
	Frequency  float64 // multiplier, 0 to 1
	Coupling   string  // "good", "fair", "poor": how it can be gripped
}

// Multipliers are what each circumstance leaves of the constant.
type Multipliers struct {
	Horizontal float64 `json:"horizontal"`
	Vertical   float64 `json:"vertical"`
	Travel     float64 `json:"travel"`
	Angle      float64 `json:"angle"`
	Frequency  float64 `json:"frequency"`
	Coupling   float64 `json:"coupling"`
}

// Limit is the recommended weight limit [kg]. model.md (X1).
func (p Parameters) Limit(l Lift) (float64, Multipliers) {
	m := Multipliers{Horizontal: 25 / math.Max(l.Horizontal, 25), Vertical: 1 - 0.003*math.Abs(l.Vertical-75), Travel: 0.82 + 4.5/math.Max(l.Travel, 25), Angle: 1 - 0.0032*l.Angle, Frequency: l.Frequency, Coupling: coupling(l)}
	if l.Horizontal > 63 {
		m.Horizontal = 0
	}
	if l.Vertical > 175 {
		m.Vertical = 0
	}
	if l.Travel > 175 {
		m.Travel = 0
	}
	if l.Angle > 135 {
		m.Angle = 0
	}
	return p.Constant * m.Horizontal * m.Vertical * m.Travel * m.Angle * m.Frequency * m.Coupling, m
}

func coupling(l Lift) float64 {
	switch {
	case l.Coupling == "poor":
		return 0.9
	case l.Coupling == "fair" && l.Vertical < 75:
		return 0.95
	}
	return 1
}

// Often is the frequency multiplier of so many lifts a minute over so many hours
// in a row, with the hands that high [cm]. Between rows it goes straight.
// model.md (X2).
func (p Parameters) Often(perMin, hours, verticalCm float64) float64 {
	table := [3][]float64{p.Low1, p.Low2, p.Low8}
	if verticalCm >= 75 {
		table = [3][]float64{p.High1, p.High2, p.High8}
	}
	row := table[2]
	switch {
	case hours <= 1:
		row = table[0]
	case hours <= 2:
		row = table[1]
	}
	if perMin <= p.PerMin[0] {
		return row[0]
	}
	for i := 1; i < len(p.PerMin); i++ {
		if perMin <= p.PerMin[i] {
			f := (perMin - p.PerMin[i-1]) / (p.PerMin[i] - p.PerMin[i-1])
			return row[i-1] + f*(row[i]-row[i-1])
		}
	}
	return 0
}

// A Spell is a time in air with a gas in it.
type Spell struct {
	PPM   float64 `json:"ppm" unit:"ppm" low:"0" high:"1000000"`
	Hours float64 `json:"hours" unit:"h" low:"0" high:"24"`
}

// Limits of a gas [ppm]: mean of eight hours, a short spell, and the level that
// is at once a danger to life.
type Limits struct {
	Mean, Short, Leave float64
	MolarMass          float64 // [g/mol]
}

// Gas gives the limits of "ammonia", "carbon monoxide", "hydrogen sulphide" or
// "carbon dioxide".
func (p Parameters) Gas(name string) Limits {
	switch name {
	case "carbon monoxide":
		return Limits{p.MonoxideMean, p.MonoxideShort, p.MonoxideLeave, 28.01}
	case "hydrogen sulphide":
		return Limits{p.SulphideMean, p.SulphideShort, p.SulphideLeave, 34.08}
	case "carbon dioxide":
		return Limits{p.DioxideMean, p.DioxideShort, p.DioxideLeave, 44.01}
	}
	return Limits{p.AmmoniaMean, p.AmmoniaShort, p.AmmoniaLeave, 17.03}
}

// MeanOf8 is the mean over eight hours of spells; the hours that are missing
// were in clean air. model.md (X3).
func MeanOf8(spells []Spell) float64 {
	sum := 0.0
	for _, s := range spells {
		sum += s.PPM * s.Hours
	}
	return sum / 8
}

// MgPerM3 turns parts in a million of a gas into mg in a cubic metre at 25 C.
// model.md (X3).
func MgPerM3(ppm, molarMass float64) float64 { return ppm * molarMass / 24.45 }

// Figures gives the figures of work, in the order of docs/model/work.md.
func Figures(p Parameters) []figure.Figure {
	return []figure.Figure{
		figure.Of(figure.Figure{Name: "lift.limit", Title: "What may be lifted by hand", Equation: "X1", Formula: "23 HM VM DM AM FM CM", Source: "Waters, Putz-Anderson, Garg 1994, as told"}, p.liftFigure),
		figure.Of(figure.Figure{Name: "work.exposure", Title: "A day in bad air", Equation: "X3", Formula: "sum of ppm x hours / 8", Source: "limits of NIOSH and OSHA, as told"}, p.exposureFigure),
	}
}

type liftIn struct {
	Horizontal float64  `json:"horizontal_cm" unit:"cm" low:"0" high:"200" doc:"between the ankles to the hands"`
	Vertical   float64  `json:"vertical_cm" unit:"cm" low:"0" high:"250" doc:"floor to hands at the start"`
	Travel     float64  `json:"travel_cm" unit:"cm" low:"0" high:"250"`
	Angle      float64  `json:"angle_deg" unit:"deg" low:"0" high:"180" default:"0"`
	PerMin     *float64 `json:"lifts_per_min" unit:"1/min" low:"0" high:"60"`
	Hours      *float64 `json:"hours" unit:"h" low:"0" high:"8" doc:"in a row"`
	Frequency  *float64 `json:"frequency_factor" unit:"1" low:"0" high:"1" doc:"in place of lifts and hours"`
	Coupling   string   `json:"coupling" choice:"good,fair,poor" default:"fair" doc:"a limp sack is poor or fair"`
	Load       *float64 `json:"load_kg" unit:"kg" low:"0" high:"500"`
}

type liftOut struct {
	Limit       float64     `json:"limit_kg" unit:"kg"`
	Index       *float64    `json:"index" unit:"1" doc:"load by limit; 1 or less is the aim"`
	Multipliers Multipliers `json:"multipliers"`
}

func (p Parameters) liftFigure(in liftIn) (liftOut, []string, error) {
	l := Lift{Horizontal: in.Horizontal, Vertical: in.Vertical, Travel: in.Travel, Angle: in.Angle, Coupling: in.Coupling}
	var notes []string
	switch {
	case in.Frequency != nil && in.PerMin == nil:
		l.Frequency = *in.Frequency
	case in.Frequency == nil && in.PerMin != nil && in.Hours != nil:
		l.Frequency = p.Often(*in.PerMin, *in.Hours, in.Vertical)
		if *in.PerMin > 8 {
			notes = append(notes, "Above 8 lifts a minute the table is known from memory: ask somebody who knows.")
		}
	default:
		return liftOut{}, nil, figure.Refuse("lifts_per_min", "How often is missing, or given twice.", "Give lifts_per_min with hours, or frequency_factor.")
	}
	limit, m := p.Limit(l)
	out := liftOut{Limit: limit, Multipliers: m}
	if in.Load != nil {
		if limit == 0 {
			notes = append(notes, "No load should be lifted like this.")
		} else {
			index := *in.Load / limit
			out.Index = &index
			if index > 1 {
				notes = append(notes, fmt.Sprintf("That is %.1f times what is advised: lift less, nearer, by two, or with the truck.", index))
			}
		}
	}
	return out, append(notes, "For healthy adults, two hands, firm footing. Look at the end of the lift too, and take the smaller limit."), nil
}

type exposureIn struct {
	Spells []Spell `json:"spells"`
	Gas    string  `json:"gas" choice:"ammonia,carbon monoxide,hydrogen sulphide,carbon dioxide" default:"ammonia"`
}

type exposureOut struct {
	Mean      float64 `json:"mean_8h_ppm" unit:"ppm"`
	OverMean  bool    `json:"over_mean"`
	OverShort bool    `json:"over_short"`
	Leave     bool    `json:"leave"`
	MgM3      float64 `json:"mean_8h_mg_m3" unit:"mg/m3"`
}

func (p Parameters) exposureFigure(in exposureIn) (exposureOut, []string, error) {
	if len(in.Spells) == 0 {
		return exposureOut{}, nil, figure.Refuse("spells", "No spell in bad air is given.", "Give ppm and hours of each.")
	}
	g := p.Gas(in.Gas)
	out := exposureOut{Mean: MeanOf8(in.Spells)}
	out.MgM3 = MgPerM3(out.Mean, g.MolarMass)
	hours := 0.0
	for _, s := range in.Spells {
		hours += s.Hours
		out.OverShort = out.OverShort || s.PPM > g.Short
		out.Leave = out.Leave || s.PPM >= g.Leave
	}
	if hours > 24 {
		return exposureOut{}, nil, figure.Refuse("spells", fmt.Sprintf("The spells are %.4g hours, and a day has 24.", hours), "Give one day at a time.")
	}
	out.OverMean = out.Mean > g.Mean
	notes := []string{"Open doors and fans first; a doctor, an adviser and the local code decide."}
	if out.Leave {
		notes = append([]string{"Leave at once and let nobody in: that much is a danger to life."}, notes...)
	}
	return out, notes, nil
}
