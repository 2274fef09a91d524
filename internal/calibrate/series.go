// Package calibrate fits the worms' numbers to published series of growth, laying
// and times, all at once, and says how well each series is met.
//
// A pot of each series is followed by the model itself (worm.Keep). Studies
// differ in feed, pot and strain, so each has a scale of its own on how good its
// feed is; what is common to all is what the numbers describe. Beliefs before the
// fit are in priors.json, series in growth.json, the fit that is kept in
// result.json. Left out: other species, which no scale can bring to these worms,
// and whatever a pot does not tell about a bed: deaths, flight, crowding.
// Equations: docs/model.md, W1 to W18.
package calibrate

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"wormyard/figure"
	"wormyard/internal/contract"
)

// Kinds of series: what is counted, and against what.
const (
	Mass       = "mass"             // mg of a worm against day
	Cocoons    = "cocoons"          // laid by all worms since the day before, against day
	ByMoisture = "mass by moisture" // mg of a worm on Day against water of wet mass
	Peak       = "peak by worms"    // greatest mg of a worm up to Day against the number kept
	Incubation = "incubation"       // days against temperature
	Maturity   = "maturity"         // days against temperature
	Laying     = "laying"           // cocoons of a worm in a week against temperature
)

var kinds = []string{Mass, Cocoons, ByMoisture, Peak, Incubation, Maturity, Laying}

// Series is one published curve or table with the conditions it was taken in.
type Series struct {
	Name         string    `json:"name" doc:"what tells it from the others of its study"`
	Study        string    `json:"study" doc:"series of one study share a scale"`
	Species      string    `json:"species" default:"Eisenia fetida"`
	Kind         string    `json:"kind" choice:"mass,cocoons,mass by moisture,peak by worms,incubation,maturity,laying"`
	TempC        float64   `json:"temp_c" unit:"C" default:"25" low:"-10" high:"50"`
	Water        float64   `json:"water_frac_wet" unit:"-" default:"0.75" low:"0" high:"1" doc:"of the feed"`
	Worms        float64   `json:"worms" unit:"-" default:"1" low:"0.1" high:"100000"`
	FeedKgWet    float64   `json:"feed_kg_wet" unit:"kg" default:"0" low:"0" high:"10000" doc:"at the start; 0 for all they want"`
	MoreKgWet    float64   `json:"more_kg_wet" unit:"kg" default:"0" low:"0" high:"10000" doc:"given again"`
	MoreEachDays float64   `json:"more_each_days" unit:"day" default:"0" low:"0" high:"10000"`
	AreaM2       float64   `json:"area_m2" unit:"m2" default:"0" low:"0" high:"10000" doc:"0: crowding does not count"`
	StartMg      float64   `json:"start_mg" unit:"mg" default:"0" low:"0" high:"100000" doc:"of a worm at the start; for mass the first point"`
	StartDay     float64   `json:"start_day" unit:"day" default:"0" low:"0" high:"10000" doc:"for mass the first point"`
	Day          float64   `json:"day" unit:"day" default:"0" low:"0" high:"10000" doc:"weighed on, or followed to"`
	Until        float64   `json:"until" unit:"day" default:"0" low:"0" high:"10000" doc:"later points are shown and not fitted; 0 for none"`
	X            []float64 `json:"x"`
	Y            []float64 `json:"y"`
	Error        []float64 `json:"error,omitempty" doc:"of each y"`
	Where        string    `json:"where" default:"" doc:"figure or page, and how it was read"`
}

// Key names a series.
func (s *Series) Key() string { return s.Study + ", " + s.Name }

// ours tells a series of the worms whose numbers are fitted.
func (s *Series) ours() bool { return strings.HasPrefix(s.Species, "Eisenia") }

//go:embed growth.json
var growth []byte

// Book gives the series that are kept, in their written order.
func Book() ([]Series, error) { return Read(growth) }

// Read takes in a file of series: an object with them under "series", or one
// alone. The error lists all that is amiss.
func Read(data []byte) ([]Series, error) {
	var book struct {
		Note   string            `json:"note"`
		Series []json.RawMessage `json:"series"`
	}
	err := json.Unmarshal(data, &book)
	if err == nil && book.Series == nil {
		book.Series = []json.RawMessage{data}
	}
	if err != nil {
		return nil, figure.Refuse("", "The file is not JSON: "+err.Error()+".", "Look at internal/calibrate/growth.json for the form.")
	}
	var out []Series
	var amiss []figure.Problem
	for i, raw := range book.Series {
		var s Series
		found := contract.Decode(raw, &s)
		if len(found) == 0 {
			found = s.amiss()
		}
		for _, p := range found {
			p.Field = fmt.Sprintf("series %d %s", i+1, p.Field)
			amiss = append(amiss, p)
		}
		out = append(out, s)
	}
	return out, contract.Refuse(amiss)
}

func (s *Series) amiss() []figure.Problem {
	var out []figure.Problem
	say := func(field, what, try string) {
		out = append(out, figure.Problem{Field: field, Say: what, Try: try})
	}
	if !slices.Contains(kinds, s.Kind) {
		say("kind", fmt.Sprintf("%q is no kind of series.", s.Kind), "Take one of "+strings.Join(kinds, ", ")+".")
	}
	if len(s.X) == 0 || len(s.X) != len(s.Y) {
		say("x", fmt.Sprintf("There are %d numbers under x and %d under y.", len(s.X), len(s.Y)), "Give one y for each x.")
		return out
	}
	if s.Error != nil && len(s.Error) != len(s.Y) {
		say("error", fmt.Sprintf("There are %d errors for %d points.", len(s.Error), len(s.Y)), "Give one for each point, 0 where none is known, or leave them out.")
	}
	for _, y := range s.Y {
		if !(y > 0) {
			say("y", fmt.Sprintf("%g cannot be compared: the comparison is by the logarithm.", y), "Leave out points of nothing.")
		}
	}
	switch s.Kind {
	case Mass, Cocoons:
		if !slices.IsSorted(s.X) {
			say("x", "The days are not in order.", "Put the points in the order of their days.")
		}
		if s.Kind == Mass && len(s.X) < 2 {
			say("x", "One weighing tells no growth.", "The first point is the start; give another.")
		}
		if s.Kind == Cocoons && !(s.StartMg > 0) {
			say("start_mg", "The mass at the start is not given.", "Give the mass of a worm on start_day.")
		}
	case ByMoisture, Peak:
		if !(s.StartMg > 0 && s.Day > 0) {
			say("start_mg", "The mass at the start or the day is not given.", "Give start_mg and day.")
		}
	}
	return out
}
