// Package round makes today's list: for every bin and every pile what to do,
// how much, why, how sure, what it costs in minutes, what can hurt, and what
// else was tried.
//
// Advice is found by trying it on the bin's twins over the coming fourteen days
// (bin.go, danger.go) and taking what makes most castings while the chances of heat,
// souring, drying, worms leaving and leftovers stay under their limits. The
// chances that are printed come from members that were not used to choose
// (equations R1 to R13, and H1 to H8 for the habits of a farm). Like acts in one row become one line with its
// exceptions (line.go). What is said is kept as phrases with their numbers
// (phrase.go), so that units and language are chosen by who reads.
package round

import (
	"time"

	"wormyard/figure"
	"wormyard/twin"
)

// Act is what a line asks for.
type Act string

// The acts of a round.
const (
	Open    Act = "open"    // take cover or feed off: danger now
	Feed    Act = "feed"    // spread a mix
	Water   Act = "water"   // sprinkle
	Cover   Act = "cover"   // put a cover on
	Warm    Act = "warm"    // shelter from frost
	Rest    Act = "rest"    // leave as it is
	Look    Act = "look"    // open, squeeze, look
	Harvest Act = "harvest" // ripe
	Split   Act = "split"   // more worms than the bed carries well
	Blend   Act = "blend"   // mix a new batch
	Turn    Act = "turn"    // a pile: turn it
	Wet     Act = "wet"     // a pile: wet it
	Measure Act = "measure" // a pile: long thermometer
	Wait    Act = "wait"    // a pile: not to be used yet
	Ask     Act = "ask"     // was it fed, with nobody writing it down
	Mend    Act = "mend"    // a step of a remedy
	Helped  Act = "helped"  // did a remedy help
)

// Urgency says when.
type Urgency string

// The urgencies, most urgent first.
const (
	Now     Urgency = "now"
	Today   Urgency = "today"
	Week    Urgency = "this week"
	NoHurry Urgency = "no hurry"
)

var urgencies = []Urgency{Now, Today, Week, NoHurry}

// Chance is how likely something is, from members that were not used to choose.
type Chance struct {
	Of   string  `json:"of"`   // "left", "too_warm", "sour", "dry", "leave", "frozen", "hungry"
	Frac float64 `json:"frac"` // 0 to 1
	N    int     `json:"n"`    // members it rests on
}

// Tried is one alternative that was run on the twins. Chances here are those
// that chose; the printed ones of the winner stand in Item.Chances.
type Tried struct {
	Option     Phrase  `json:"option"`
	Say        string  `json:"say"`
	LeftFrac   float64 `json:"left_frac"` // median share of the feed unworked at the next visit
	Left       float64 `json:"left"`      // chance that more is left than worms eat in some days
	TooWarm    float64 `json:"too_warm"`  // chance of the alarm or of too little refuge
	Sour       float64 `json:"sour"`
	Dry        float64 `json:"dry"`
	Leave      float64 `json:"leave"`
	CastingsKg float64 `json:"castings_kg_wet"` // median made in the horizon
	Value      float64 `json:"value_kg_dry"`    // objective R1: castings made in the horizon
	Allowed    bool    `json:"allowed"`         // all limits kept
	Chosen     bool    `json:"chosen"`
	Members    int     `json:"members"`
}

// Item is what is asked for one bin or one pile.
type Item struct {
	Bin      string    `json:"bin,omitempty"` // as painted
	Place    string    `json:"place"`         // "3-4 top"
	Barn     string    `json:"barn,omitempty"`
	Row      string    `json:"row,omitempty"`
	Stack    int       `json:"stack,omitempty"`
	Level    int       `json:"level,omitempty"`
	Above    int       `json:"above,omitempty"` // bins that stand on it
	Pile     string    `json:"pile,omitempty"`
	Act      Act       `json:"act"`
	DepthM   float64   `json:"depth_m,omitempty"`
	WaterKg  float64   `json:"water_kg,omitempty"`
	Cover    string    `json:"cover,omitempty"` // none, cloth, board, film; empty leaves it
	Mix      string    `json:"mix,omitempty"`   // batch
	Head     Phrase    `json:"head"`
	Why      []Phrase  `json:"why"`
	Sureness []Phrase  `json:"sureness"`
	Care     []Phrase  `json:"care,omitempty"`
	Say      string    `json:"say"`
	Amount   string    `json:"amount,omitempty"` // in the reader's units
	Reason   string    `json:"reason"`
	Sure     string    `json:"sure"`
	Caution  string    `json:"caution,omitempty"`
	Urgency  Urgency   `json:"urgency"`
	Minutes  float64   `json:"minutes"`
	Chances  []Chance  `json:"chance"`
	Tried    []Tried   `json:"tried,omitempty"`
	Visit    time.Time `json:"visit"`                  // until when the advice is meant to last
	Doubt    float64   `json:"doubt"`                  // how much a look could change the advice, 0 to 1
	Learn    float64   `json:"learn_kg_dry,omitempty"` // castings that it would be worth to know the bed before it is decided on
	Tells    twin.Help `json:"tells,omitzero"`         // what would tell most of the bed in a minute
	VolumeM3 float64   `json:"volume_m3,omitempty"`
	Value    float64   `json:"value_kg_dry,omitempty"` // objective R1
	Lift     int       `json:"lift,omitempty"`         // bins to lift off and put back for it
	Due      bool      `json:"due,omitempty"`          // by habit it is seen to today
	Was      *Advice   `json:"was,omitempty"`          // the last advice, where nothing was written since
	Seen     int64     `json:"seen,omitempty"`         // hour at which somebody last had it before them, 0 unknown
	Off      *Advice   `json:"off,omitempty"`          // what was advised and is put off until the next visit
	RestsOn  string    `json:"rests_on,omitempty"`     // stands for all that was written of the bin
	Others   []Item    `json:"others,omitempty"`       // amounts that are as good, best first
	Asked    *Asked    `json:"asked,omitempty"`        // a feeding that may have been made and not written down

	Remedy *Remedy `json:"remedy,omitempty"` // that it is a step of, or that is asked about

	Working []figure.Step `json:"working,omitempty"` // of its chances and of what it goes by
}

// Remedy is what an item of a remedy is about: a step, or whether it helped. A
// remedy is decided by people, so it stands beside what the twins advise.
type Remedy struct {
	Cause string    `json:"cause"`
	Step  string    `json:"step,omitempty"`  // empty where it is asked whether it helped
	Write string    `json:"write,omitempty"` // kind of entry that writes the step down as well
	Since time.Time `json:"since"`
	Done  time.Time `json:"done,omitzero"` // zero while it is open
	By    string    `json:"by,omitempty"`
}

// Line is what a crew reads: one act in one row, with its exceptions.
type Line struct {
	Key     string   `json:"key"` // the same within a day, for links and ticks
	Barn    string   `json:"barn,omitempty"`
	Row     string   `json:"row,omitempty"`
	Act     Act      `json:"act"`
	Head    Phrase   `json:"head"`
	Say     string   `json:"say"`
	Reason  string   `json:"reason"`
	Sure    string   `json:"sure"`
	Caution string   `json:"caution,omitempty"`
	Urgency Urgency  `json:"urgency"`
	Minutes float64  `json:"minutes"`
	Except  []string `json:"except,omitempty"` // places of the row left out
	Items   []Item   `json:"items"`
}

// List is a day's round.
type List struct {
	Day     string    `json:"day"` // YYYY-MM-DD in the farm's zone
	Made    time.Time `json:"made"`
	Weather []Phrase  `json:"weather"`
	Notes   []Phrase  `json:"notes"` // what was assumed for the whole list
	Minutes float64   `json:"minutes"`
	Lines   []Line    `json:"lines"`
	Visits  []Visit   `json:"visits,omitempty"` // of the truck
	Resting int       `json:"resting"`          // bins that need nothing today
	Bins    int       `json:"bins"`             // with a bed
	Seconds float64   `json:"seconds"`          // it took to make
	Params  string    `json:"parameters"`
}

// Due gives the work of the list that is not to wait for another day [min].
func (l *List) Due() float64 {
	sum := 0.0
	for i := range l.Lines {
		if u := l.Lines[i].Urgency; u == Now || u == Today {
			sum += l.Lines[i].Minutes
		}
	}
	return sum
}
