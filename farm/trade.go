package farm

import (
	"time"

	"wormyard/feedstock"
	"wormyard/qty"
	"wormyard/twin"
)

// Trade is what the fold must know beyond the journal. Every part may be
// missing: amounts are then not known and the state says so.
type Trade struct {
	Library *feedstock.Library
	Usual   Usual
	Limits  twin.Limits // beyond which a probe is not believed
	// Zone gives the time zone of a name such as "America/Los_Angeles".
	Zone func(name string) (*time.Location, error)
	// Decode reads the JSON of a setting into a struct with json tags.
	Decode func(data []byte, into any) error
}

// Usual is what is taken where nobody said: the bin that nobody measured, and
// what low, middle and high stock and an unknown age mean on the first morning.
// The values are data (internal/source/data/farm.json).
type Usual struct {
	BoxLength float64 `param:"box_length" unit:"m"`
	BoxWidth  float64 `param:"box_width" unit:"m"`
	BoxDepth  float64 `param:"box_depth" unit:"m"`

	StockLow        float64 `param:"stock_low" unit:"kg/m2"`
	StockMiddle     float64 `param:"stock_middle" unit:"kg/m2"`
	StockHigh       float64 `param:"stock_high" unit:"kg/m2"`
	StockTypedRange float64 `param:"stock_typed_range" unit:"-"` // factor up and down around a typed mass
	StockRange      float64 `param:"stock_range" unit:"-"`       // factor up and down around low, middle or high
	AgeRange        float64 `param:"age_range" unit:"-"`         // factor up and down around a typed age
	UnsaidRange     float64 `param:"unsaid_range" unit:"-"`      // factor up and down around what nobody said
	FirstDepth      float64 `param:"first_depth" unit:"m"`       // depth of a bed when nobody says
	FirstAge        float64 `param:"first_age" unit:"day"`       // age of a bed when nobody says
	FeedEvery       float64 `param:"feed_every" unit:"day"`      // days between feedings when nobody says
	FeedEveryRange  float64 `param:"feed_every_range" unit:"-"`  // factor up and down around the days after which a feeding is gone
	FeedDepth       float64 `param:"feed_depth" unit:"m"`        // depth of a feeding when nobody says
	QuarantineDays  float64 `param:"quarantine_days" unit:"day"` // that bought worms stay apart

	CastingsDensity qty.Estimate `param:"castings_density_kg_m3" unit:"kg/m3"` // wet, of castings as they are bagged

	GapDays   float64 `param:"gap_days" unit:"day"`           // with nothing written of a bed, after which it is said
	MuchFeed  float64 `param:"much_feed_m" unit:"m"`          // at once, from which it is said
	MuchWater float64 `param:"much_water_kg_m2" unit:"kg/m2"` // at once, from which it is said

	MostFeed float64 `param:"most_feed_boxes" unit:"-"`    // at once, in depths of the box, that the twin takes
	MostHeat float64 `param:"most_heat_w_m2" unit:"W/m2"`  // under one bin that the twin takes
	Heaviest float64 `param:"heaviest_kg_m3" unit:"kg/m3"` // that a bin can weigh, by the room of its box
}

// Box gives the usual box.
func (u Usual) Box() Box {
	return Box{Length: qty.Metre(u.BoxLength), Width: qty.Metre(u.BoxWidth), Depth: qty.Metre(u.BoxDepth)}
}
