// Package round makes today's list: for every bin and every pile what to do,
// how much, why, how sure, what it costs in minutes, what can hurt, and what
// else was tried.
//
// Advice is found by trying it on the bin's twin over the coming fourteen days
// (trial.go) and taking what turns most feed into castings while the chances of
// heat, souring, drying, worms leaving and leftovers stay under their limits.
// The chances that are printed come from members that were not used to choose
// (docs/model.md R1 to R9). Like acts in one row become one line with its
// exceptions (group.go). The package knows nothing of files, clocks or pages.
package round

import (
	"time"

	"wormyard/qty"
)

// Act is what a line asks for.
type Act string

// The acts of a round.
const (
	Open    Act = "open"    // take cover or feed off: danger now
	Feed    Act = "feed"    // spread a mix
	Water   Act = "water"   // sprinkle
	Cover   Act = "cover"   // put a cover on
	Uncover Act = "uncover" // take the cover off
	Warm    Act = "warm"    // shelter or heat
	Rest    Act = "rest"    // leave as it is
	Look    Act = "look"    // open and look, squeeze
	Probe   Act = "probe"   // stick the long thermometer in
	Harvest Act = "harvest" // ripe
	Split   Act = "split"   // more worms than the bed can carry
	Turn    Act = "turn"    // a pile: turn it
	Wet     Act = "wet"     // a pile: wet it
	Measure Act = "measure" // a pile: long thermometer
)

// Urgency says when.
type Urgency string

// The urgencies.
const (
	Now     Urgency = "now"   // before anything else
	Today   Urgency = "today" //
	Week    Urgency = "week"  // within the week
	NoHurry Urgency = "no hurry"
)

// Chance is a probability in words' terms: of what, and how likely.
type Chance struct {
	Of   string  `json:"of"`   // "eaten by Monday", "over 95 °F where the worms are"
	Frac float64 `json:"frac"` // 0 to 1, from members not used to choose
	N    int     `json:"n"`    // how many members that rests on
}

// Tried is one alternative that was run on the twin.
type Tried struct {
	Say          string  `json:"say"`           // "feed 2 in of mix 41"
	EatenFrac    float64 `json:"eaten_frac"`    // median share of the feed worked by the next visit
	TooWarm      float64 `json:"too_warm"`      // chance
	Sour         float64 `json:"sour"`          // chance
	Dry          float64 `json:"dry"`           // chance
	Left         float64 `json:"left"`          // chance that feed is left over at the next visit
	CastingsKg   float64 `json:"castings_kg"`   // median wet castings made in the horizon
	Value        float64 `json:"value"`         // objective, kg of dry feed worked less what the risks cost
	Chosen       bool    `json:"chosen"`        //
	MembersTried int     `json:"members_tried"` //
}

// Item is one line for one bin or one pile.
type Item struct {
	Bin      string    `json:"bin,omitempty"`  // as painted
	Place    string    `json:"place"`          // "3-4 top"
	Barn     string    `json:"barn,omitempty"` //
	Row      string    `json:"row,omitempty"`  //
	Stack    int       `json:"stack,omitempty"`
	Level    int       `json:"level,omitempty"`
	Pile     string    `json:"pile,omitempty"`
	Act      Act       `json:"act"`
	Amount   float64   `json:"amount,omitempty"`    // in the unit of AmountOf
	AmountOf string    `json:"amount_of,omitempty"` // "depth_m", "water_kg"
	Mix      string    `json:"mix,omitempty"`       // batch name
	MixName  string    `json:"mix_name,omitempty"`
	Say      string    `json:"say"` // the whole sentence, in the units asked for
	Reason   string    `json:"reason"`
	Sure     string    `json:"sure"` // chances in words: "eaten by Monday: 8 in 10"
	Urgency  Urgency   `json:"urgency"`
	Minutes  float64   `json:"minutes"`
	Chances  []Chance  `json:"chance"`
	Caution  string    `json:"caution,omitempty"`
	Tried    []Tried   `json:"tried,omitempty"`
	Until    time.Time `json:"until"` // next visit the advice is meant to last to
	Working  []string  `json:"working,omitempty"`
}

// Line is what a crew reads: one act in one row, with its exceptions.
type Line struct {
	Key     string   `json:"key"` // stable within a day, for links and ticks
	Barn    string   `json:"barn,omitempty"`
	Row     string   `json:"row,omitempty"`
	Act     Act      `json:"act"`
	Say     string   `json:"say"`
	Reason  string   `json:"reason"`
	Sure    string   `json:"sure"`
	Caution string   `json:"caution,omitempty"`
	Urgency Urgency  `json:"urgency"`
	Minutes float64  `json:"minutes"`
	Bins    []string `json:"bins"`
	Places  []string `json:"places"`
	Except  []string `json:"except,omitempty"` // places of the row that are left out
	Items   []Item   `json:"items"`
}

// List is a day's round.
type List struct {
	Day      string    `json:"day"` // YYYY-MM-DD in the farm's zone
	Made     time.Time `json:"made"`
	Weather  string    `json:"weather"`  // one sentence
	Warnings []string  `json:"warnings"` // frost, heat, missing weather
	Minutes  float64   `json:"minutes"`
	Lines    []Line    `json:"lines"`
	Resting  int       `json:"resting"` // bins that need nothing
	Bins     int       `json:"bins"`
	Notes    []string  `json:"notes"` // assumptions that shape the whole list
}

// Words carries what a sentence needs: units and the farm's zone.
type Words struct {
	Units qty.System
	Zone  *time.Location
}
