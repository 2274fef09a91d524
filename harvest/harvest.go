// Package harvest is what happens between a ripe bin and a heap of castings:
// when a bin is ripe, how long worms take to move to the side that is fed, and
// what a screen does to sizes, worms, cocoons and fungal threads.
//
// A screen is a partition curve: the chance of a grain of a size to stay on top.
// Wet castings make the curve flat and, past a moisture, ball up. It assumes that
// sizes are by mass and sieve opening, and that what is stuck in a crumb goes
// where the crumb goes. No screening of worm castings was found measured in
// print, so the curve's steepness, the moistures and the shares of stuck cocoons
// are assumptions with wide ranges, which are carried to what a deck is likely to
// do (CutOf): the farm's own screenings mend them (Learn).
// It leaves out wear, damage to worms on the screen, and how long it takes.
//
// The equations are in docs/model/harvest.md (S1 to S20), the numbers in
// internal/source/data/harvest.json.
package harvest

import "wormyard/qty"

// Parameters are the numbers behind screens and ripeness; values, ranges and
// sources are in internal/source/data/harvest.json.
type Parameters struct {
	Steepness qty.Estimate `param:"ep_of_opening" unit:"-"` // Ep as a part of the opening, dry enough and fed slowly
	CutOff    qty.Estimate `param:"d50_of_opening" unit:"-"`

	Sticky     float64      `param:"sticky_frac_wet" unit:"kg/kg wet"` // from here on the curve gets flatter
	Balls      float64      `param:"balls_frac_wet" unit:"kg/kg wet"`  // from here on it balls up
	Dusty      float64      `param:"dusty_frac_wet" unit:"kg/kg wet"`
	WetFlat    qty.Estimate `param:"wet_flattens" unit:"-"`    // how many times Ep is at the balls
	RateFlat   qty.Estimate `param:"rate_flattens" unit:"-"`   // how much Ep grows at twice the usual rate
	DrumFactor qty.Estimate `param:"drum_steeper" unit:"-"`    // Ep of a drum beside a flat deck
	FineDeck   qty.Estimate `param:"thread_deck_mm" unit:"mm"` // decks under this break fungal threads
	FineShare  qty.Estimate `param:"thread_kept_frac" unit:"-"`

	CocoonWidth qty.Estimate `param:"cocoon_width_mm" unit:"mm"`
	CocoonSD    float64      `param:"cocoon_width_sd_mm" unit:"mm"`
	CocoonFree  qty.Estimate `param:"cocoon_free_frac" unit:"-"`
	AdultHeld   []float64    `param:"adult_held_frac" unit:"-"` // on decks of adult_held_mm
	AdultMM     []float64    `param:"adult_held_mm" unit:"mm"`
	AdultLow    []float64    `param:"adult_held_low_frac" unit:"-"`
	AdultHigh   []float64    `param:"adult_held_high_frac" unit:"-"`

	OpeningSaid qty.Estimate `param:"opening_of_said" unit:"-"`        // the hole as it is, of what was said
	WaterOff    qty.Estimate `param:"water_off_frac" unit:"kg/kg wet"` // what is screened, over what was said
	RateSaid    qty.Estimate `param:"rate_of_said" unit:"-"`

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
