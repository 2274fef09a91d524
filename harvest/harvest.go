// Package harvest is what happens between a ripe bin and a heap of castings:
// when a bin is ripe, how long worms take to move to the side that is fed, and
// what a screen does to sizes, worms, cocoons and fungal threads.
//
// A screen is a partition curve: the chance of a grain of a size to stay on top.
// Wet castings make the curve flat and, past a moisture, ball up. It assumes that
// sizes are by mass and sieve opening, and that what is stuck in a crumb goes
// where the crumb goes. No screening of worm castings was found measured in
// print, so the curve's steepness, the moistures and the shares of stuck cocoons
// are assumptions with wide ranges: the farm's own screenings mend them (Learn).
// It leaves out wear, damage to worms on the screen, and how long it takes.
//
// The equations are in docs/model/harvest.md (S1 to S19), the numbers in
// internal/source/data/harvest.json.
package harvest

import "wormyard/qty"

// Parameters are the numbers behind screens and ripeness; values, ranges and
// sources are in internal/source/data/harvest.json.
type Parameters struct {
	Steepness qty.Estimate `param:"ep_of_opening" unit:"-"` // Ep as a part of the opening, dry enough and fed slowly
	CutOff    qty.Estimate `param:"d50_of_opening" unit:"-"`

	Sticky     float64 `param:"sticky_frac_wet" unit:"kg/kg wet"` // from here on the curve gets flatter
	Balls      float64 `param:"balls_frac_wet" unit:"kg/kg wet"`  // from here on it balls up
	Dusty      float64 `param:"dusty_frac_wet" unit:"kg/kg wet"`
	WetFlat    float64 `param:"wet_flattens" unit:"-"`    // how many times Ep is at the balls
	RateFlat   float64 `param:"rate_flattens" unit:"-"`   // how much Ep grows at twice the usual rate
	DrumFactor float64 `param:"drum_steeper" unit:"-"`    // Ep of a drum beside a flat deck
	FineDeck   float64 `param:"thread_deck_mm" unit:"mm"` // decks under this break fungal threads
	FineShare  float64 `param:"thread_kept_frac" unit:"-"`

	CocoonWidth float64      `param:"cocoon_width_mm" unit:"mm"`
	CocoonSD    float64      `param:"cocoon_width_sd_mm" unit:"mm"`
	CocoonFree  qty.Estimate `param:"cocoon_free_frac" unit:"-"`
	AdultHeld   []float64    `param:"adult_held_frac" unit:"-"` // on decks of adult_held_mm
	AdultMM     []float64    `param:"adult_held_mm" unit:"mm"`

	HoldDays float64 `param:"hold_fines_days" unit:"day"`
	HoldC    float64 `param:"hold_fines_c" unit:"C"`

	RipeWorked  float64      `param:"ripe_worked_frac" unit:"-"`
	RipeFeed    float64      `param:"ripe_feed_frac" unit:"-"`
	StopFeed    float64      `param:"stop_feed_days" unit:"day"`
	Dry         qty.Estimate `param:"dry_days" unit:"day"` // without water before castings go over a deck
	SideRate    qty.Estimate `param:"side_move_per_day" unit:"1/day"`
	SideStay    qty.Estimate `param:"side_stay_frac" unit:"-"`
	DrumLow     float64      `param:"drum_speed_low" unit:"-"`
	DrumHigh    float64      `param:"drum_speed_high" unit:"-"`
	LearnedLots float64      `param:"learn_screens" unit:"-"` // screenings that weigh as much as the assumption

	SizeMM       []float64    `param:"size_mm" unit:"mm"` // ends of the classes below
	SizeCastings []float64    `param:"size_castings_frac" unit:"-"`
	SizeChips    []float64    `param:"size_chips_frac" unit:"-"`
	Chips        qty.Estimate `param:"chips_frac" unit:"-"` // of a heap as harvested
	TableFound   qty.Estimate `param:"table_found_frac" unit:"-"`
	TableCocoons qty.Estimate `param:"table_cocoons_frac" unit:"-"`
}
