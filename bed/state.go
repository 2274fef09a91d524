package bed

import (
	"wormyard/worm"
)

// MaxLayers is how many layers a bed keeps; older ones merge.
const MaxLayers = 20

// Layer is one layer of a bed, for each square metre of plan area. Masses are
// [kg/m2]. Quick + Slow + Woody + Cast + Ash is the dry mass.
type Layer struct {
	ID     uint64  // of the act that laid it; parts of one act share it
	Part   uint8   // which part of that act's layer, from the bottom up
	Feed   bool    // laid as feed, not as bedding
	Side   Side    // the half it lies on, spread over the whole in all that follows
	Laid   int64   // hour when it was laid, hours since 1970-01-01T00Z
	LaidM  float64 // depth as the act gave it [m]; merging adds
	DepthM float64 // depth now [m]

	Quick    float64 // volatile matter that rots within days
	Slow     float64 // volatile matter that rots within weeks to months
	Woody    float64 // volatile matter guarded by lignin
	Cast     float64 // volatile matter worked by worms
	Ash      float64
	Lignin   float64 // within Woody and Slow
	Carbon   float64 // in all volatile matter
	Nitrogen float64 // organic
	Ammonia  float64 // ammoniacal nitrogen
	Nitrate  float64 // nitrate nitrogen
	Salt     float64 // dry mass times conductivity of its extract [kg dS/m /m2]
	PH       float64 // acidity of the pore water

	Water   float64 // liquid
	Ice     float64
	TempC   float64 // [C]
	Trend   float64 // of the temperature over the last step [K/h]
	Warming float64 // by the heat made in it over the last step [K/h]
	Oxygen  float64 // in pore air, by volume [0..0.2095]

	Worms   float64 // share of the bed's worms that is here [0..1]
	Cocoons float64 // share of the bed's cocoons that is here [0..1]
}

// Dry gives the dry mass [kg/m2].
func (l *Layer) Dry() float64 { return l.Quick + l.Slow + l.Woody + l.Cast + l.Ash }

// Volatile gives the dry mass without ash [kg/m2].
func (l *Layer) Volatile() float64 { return l.Quick + l.Slow + l.Woody + l.Cast }

// State is one bed at one hour. It holds everything a run needs to go on: a run
// stopped, stored and taken up again gives the same bits.
type State struct {
	Hour    int64      // hours since 1970-01-01T00Z
	Stirred int64      // hour of the last act; steps are short for a while after
	Layers  []Layer    // from the floor up
	Worms   worm.Stock // in the whole bin
	Cover   Cover
	HeatW   float64 // heater under the bed, in the whole bin [W]
	FloorC  float64 // temperature of the slab under the bin [C]
	Drying  float64 // evaporation over the last step [kg/(m2 h)]
	Drawn   float64 // how far worms are drawn to the left half: 1 all, 0 evenly, -1 all on the right
	HeatLn  float64 // how much more heat stays with what rots in this bed than the numbers say, natural log

	DrainedKg float64 // drained since the start, whole bin [kg]
	Meal      Meal    // since the worms were last stepped
}

// Meal is what the worms of a bed ate since they were last stepped, whole bin.
type Meal struct {
	Hours     float64
	WantedWet float64 // [kg]
	EatenWet  float64 // [kg]
	EatenDry  float64 // [kg]
	Nitrogen  float64 // in what was eaten [kg]
}

// Clone gives a copy that shares nothing with s.
func (s *State) Clone() *State {
	c := *s
	c.Layers = append(make([]Layer, 0, MaxLayers+2), s.Layers...)
	return &c
}

// CopyFrom makes s a copy of o, keeping the memory s has.
func (s *State) CopyFrom(o *State) {
	layers := append(s.Layers[:0], o.Layers...)
	*s = *o
	s.Layers = layers
}
