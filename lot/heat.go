package lot

import (
	"fmt"
	"math"
	"slices"
	"time"

	"wormyard/qty"
)

// Heat is what a rule asks of a hot pile.
type Heat struct {
	Low         qty.Celsius `json:"low_c" unit:"C"`
	High        qty.Celsius `json:"high_c" unit:"C" default:"0" doc:"0: no upper limit"`
	Hours       float64     `json:"hours" unit:"h"`
	Consecutive bool        `json:"consecutive" doc:"in one piece"`
	Turns       int         `json:"turns" default:"0" doc:"within that time, at least"`
	Kind        string      `json:"kind" choice:"still,turned,any" default:"any" doc:"still: in a vessel or an aerated pile that is not turned"`
	Gap         float64     `json:"gap_h" unit:"h" low:"0.1" high:"48" default:"26" doc:"readings of a place at most so far apart; our choice, once a day and a little"`
}

// A HeatReading is one reading of one place in a pile.
type HeatReading struct {
	At    time.Time   `json:"at"`
	Place string      `json:"place" doc:"probe or depth"`
	Temp  qty.Celsius `json:"temp_c" unit:"C"`
}

// A HeatRecord is what was read of a pile, and when it was turned.
type HeatRecord struct {
	Name     string // of the pile
	Kind     string // still, turned, or empty: it was not turned and nobody knows how air got in
	Readings []HeatReading
	Turned   []time.Time
}

// HeatFound is what a record shows.
type HeatFound struct {
	Met      bool
	Hours    float64 // that count, in the best piece when it must be one piece
	Turns    int     // while they were counted
	Gaps     float64 // hours between first and last reading in which some place was not read in time
	Cold     float64 // hours that were read and too cold at the coldest place
	Hot      float64 // hours over the upper limit
	Span     float64 // hours from first to last reading
	From, To time.Time
	Said     string
}

// Evaluate goes through a record hour by hour. An hour counts when every place
// was read within Gap hours about it and the straight line between its readings
// keeps the limits all through the hour; hours that nobody read do not count, and
// break a run. Turnings of one hour are one turning. model.md (Q1).
func (h Heat) Evaluate(r HeatRecord) HeatFound {
	var f HeatFound
	places := map[string][]HeatReading{}
	for _, x := range r.Readings {
		places[x.Place] = append(places[x.Place], x)
		if f.From.IsZero() || x.At.Before(f.From) {
			f.From = x.At
		}
		if x.At.After(f.To) {
			f.To = x.At
		}
	}
	for _, list := range places {
		slices.SortStableFunc(list, func(a, b HeatReading) int { return a.At.Compare(b.At) })
	}
	f.Span = f.To.Sub(f.From).Hours()
	if f.Span > longestRecord {
		f.Said = "The record runs over more than two years. Look at the dates."
		return f
	}
	hours := int(math.Floor(f.Span + 1e-9))
	var counted []bool
	for i := range hours {
		from := f.From.Add(time.Duration(i) * time.Hour)
		state := counts
		for _, list := range places {
			state = max(state, h.hour(list, from))
		}
		switch state {
		case unread:
			f.Gaps++
		case tooCold:
			f.Cold++
		case tooHot:
			f.Hot++
		}
		counted = append(counted, state == counts)
	}
	first, last := h.best(counted, &f.Hours)
	turned := map[int]bool{}
	for _, t := range r.Turned {
		at := int(math.Floor(t.Sub(f.From).Hours()))
		if first >= 0 && at >= first && at <= last && !turned[at] {
			turned[at] = true // written twice, it is still one
			f.Turns++
		}
	}
	fits := h.Kind != "still" && h.Kind != "turned" || h.Kind == r.Kind
	f.Met = fits && f.Hours >= h.Hours && f.Turns >= h.Turns
	f.Said = h.sentence(f, len(r.Readings))
	if !fits && len(r.Readings) > 0 {
		switch {
		case h.Kind == "turned":
			f.Said += " It stood, and this is for what is turned."
		case r.Kind == "turned":
			f.Said += " It was turned, and this is for what stands in a vessel or over air."
		default:
			f.Said += " It was not turned, and nobody wrote that it lay in a vessel or that air was blown through it."
		}
	}
	return f
}

const longestRecord = 2 * 366 * 24 // hours

// What one hour of one place is; the worst of all places stands.
const (
	counts = iota
	tooHot
	tooCold
	unread
)

func (h Heat) hour(list []HeatReading, from time.Time) int {
	to := from.Add(time.Hour)
	a, okA := between(list, from, h.Gap)
	b, okB := between(list, to, h.Gap)
	if !okA || !okB {
		return unread
	}
	// A line has its ends at readings, so that it is lowest and highest at one or at
	// an end of the hour.
	low, high := min(a, b), max(a, b)
	i, _ := slices.BinarySearchFunc(list, from, func(r HeatReading, t time.Time) int { return r.At.Compare(t) })
	for ; i < len(list) && !list[i].At.After(to); i++ {
		low, high = min(low, float64(list[i].Temp)), max(high, float64(list[i].Temp))
	}
	switch {
	case low < float64(h.Low)-1e-9:
		return tooCold
	case h.High > 0 && high > float64(h.High)+1e-9:
		return tooHot
	}
	return counts
}

// between is the temperature at a time on the straight line between the two
// readings about it; none when they lie further apart than gap hours.
func between(list []HeatReading, at time.Time, gap float64) (float64, bool) {
	i, exact := slices.BinarySearchFunc(list, at, func(r HeatReading, t time.Time) int { return r.At.Compare(t) })
	if exact {
		return float64(list[i].Temp), true
	}
	if i == 0 || i == len(list) {
		return 0, false
	}
	a, b := list[i-1], list[i]
	apart := b.At.Sub(a.At).Hours()
	if apart > gap {
		return 0, false
	}
	return float64(a.Temp) + (float64(b.Temp)-float64(a.Temp))*at.Sub(a.At).Hours()/apart, true
}

// best gives the first and the last hour of what counts, and how many hours
// those are: all of them, or the longest run.
func (h Heat) best(counted []bool, hours *float64) (first, last int) {
	first, last = -1, -1
	if !h.Consecutive {
		for i, ok := range counted {
			if ok {
				if first < 0 {
					first = i
				}
				last = i
				*hours++
			}
		}
		return first, last
	}
	start := 0
	for i := range counted {
		if !counted[i] {
			start = i + 1
			continue
		}
		if n := i + 1 - start; float64(n) > *hours {
			*hours, first, last = float64(n), start, i
		}
	}
	return first, last
}

func (h Heat) sentence(f HeatFound, readings int) string {
	if readings == 0 {
		return "There is no record of heat."
	}
	s := fmt.Sprintf("%s of %s hours count.", qty.Figures(f.Hours), qty.Figures(h.Hours))
	if h.Consecutive {
		s = fmt.Sprintf("%s of %s hours in one piece count.", qty.Figures(f.Hours), qty.Figures(h.Hours))
	}
	if h.Turns > 0 {
		s += fmt.Sprintf(" It was turned %d of %d times meanwhile.", f.Turns, h.Turns)
	}
	if f.Gaps > 0 {
		s += fmt.Sprintf(" %s hours have no reading near enough and count against it.", qty.Figures(f.Gaps))
	}
	if f.Cold > 0 {
		s += fmt.Sprintf(" %s hours were too cold.", qty.Figures(f.Cold))
	}
	if f.Hot > 0 {
		s += fmt.Sprintf(" %s hours were too hot.", qty.Figures(f.Hot))
	}
	return s
}

// HeatDays is how long matter must be at a temperature for the time-temperature
// route of treatment, from 50 C, at least twenty minutes [days]. model.md (Q2).
func HeatDays(t qty.Celsius) float64 {
	return max(20./(24*60), 131.7e6/math.Pow(10, 0.14*float64(t)))
}
