package app

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"wormyard/farm"
	"wormyard/round"
)

// habit is when a bin is seen to.
type habit struct {
	every float64 // usual days between feedings
	due   bool    // today
	next  int64   // hour of the next visit, after today
	waits int64   // under others: the hour of the visit it waits for, 0 when not
	fed   int64   // hour of the last feeding, 0 when never
	depth float64 // of it [m]
	off   bool    // the farm feeds on some days of the week, and today is none of them
}

// habitOf says by the farm's habits when a bin is seen to: every few days, and
// one under others when the truck comes.
func (t *Twins) habitOf(s *farm.State, b *farm.Bin, now time.Time) habit {
	hour := now.Unix() / 3600
	usual := s.Habit(b.Name)
	h := habit{every: usual.EveryDays}
	if h.every <= 0 {
		h.every = t.App.Usual().FeedEvery
	}
	if b.Bed.LastFeed != nil {
		h.fed, h.depth = b.Bed.LastFeed.At.Unix()/3600, float64(b.Bed.LastFeed.Depth)
	} else if ago, ok := b.Bed.SinceFed(now); ok {
		h.fed, h.depth = hour-int64(float64(ago)*24), float64(b.Bed.Start.LastFeedDepth)
	}
	interval := int64(min(max(h.every, leastVisit), mostVisit) * 24)
	h.due = h.fed == 0 || hour-h.fed >= interval-halfDay
	if len(s.Places().Above(b.Name)) > 0 {
		days := s.Settings.Habits.VisitDays
		if days <= 0 {
			days = t.round.VisitDays
			if usual.From >= 3 {
				days = h.every // they lift it as often as they feed it
			}
		}
		interval = int64(min(max(days, leastVisit), mostVisit) * 24)
		if seen := lastTouched(b.Bed); hour-seen < interval-halfDay {
			h.waits = seen + interval
		} else {
			h.due = true
		}
	}
	h.next = hour + interval
	if !h.due && h.fed+interval > hour {
		h.next = h.fed + interval
	}
	h.next = max(h.next, hour+24)
	if days := s.Settings.Habits.FeedDays; days != 0 {
		h.onDays(days, now, hour, interval, len(s.Places().Above(b.Name)) > 0)
	}
	return h
}

// onDays keeps a habit to the farm's days of feeding: on one of them every bin
// that is reached is seen to, and what it gets must last until the next.
// docs/model.md (H1).
func (h *habit) onDays(days farm.FeedDays, now time.Time, hour, interval int64, under bool) {
	h.every = 7 / float64(len(days.Names()))
	today := now.Weekday()
	h.off = !days.On(today)
	h.due = !h.off && hour-h.fed >= fedToday
	first := hour + 24
	if under { // the first day of feeding on which the truck is due again
		first = hour + interval - halfDay
		if h.waits > 0 {
			h.waits = onDay(days, today, hour, h.waits-halfDay)
			h.due = false
		}
	}
	h.next = onDay(days, today, hour, first)
}

// onDay gives the hour of the first day of feeding after today that comes at an
// hour or later.
func onDay(days farm.FeedDays, today time.Weekday, hour, from int64) int64 {
	for {
		n := days.Next(today)
		hour, today = hour+24*int64(n), (today+time.Weekday(n))%7
		if hour >= from {
			return hour
		}
	}
}

// fedToday is within how many hours of a feeding a bin was seen to today.
const fedToday = 18

// Days between visits that advice can be made for; the horizon holds two of them.
const (
	leastVisit = 2.0
	mostVisit  = 10.0
	halfDay    = 12 // [h]
)

// lastTouched gives the hour at which somebody last had a bed before them.
func lastTouched(b *farm.Bed) int64 {
	at := b.At
	if b.Start.FirstMorning { // found, not made, on that day
		at = at.Add(-time.Duration(float64(b.Start.LastFeedDays) * 24 * float64(time.Hour)))
	}
	for i := len(b.Acts) - 1; i >= 0; i-- {
		if a := b.Acts[i]; !b.Start.FirstMorning || a.Kind != farm.ActStock || a.At.Sub(b.At) > 24*time.Hour {
			if a.At.After(at) {
				at = a.At
			}
			break
		}
	}
	if n := len(b.Looks); n > 0 && b.Looks[n-1].At.After(at) {
		at = b.Looks[n-1].At
	}
	return at.Unix() / 3600
}

// besides is what a round works out of a bin beside its item.
type besides struct {
	suspect *round.Asked
	gaps    []int // between the farm's days of feeding, to be priced on this bin; nil not
	price   *round.Price
}

// Priced is what the habits of a farm cost, as worked out on some of its bins.
type Priced struct {
	Of    string     `json:"of"` // the habits that were priced
	At    time.Time  `json:"at"`
	Days  round.Cost `json:"days"`
	Depth round.Cost `json:"depth"`
}

// pricedFor is how long a price stands before it is worked out again.
const pricedFor = 7 * 24 * time.Hour

// rules names the habits of a farm that have a price; empty where it has none.
func rules(h farm.Habits) string {
	if h.FeedDays == 0 && h.FeedMost == 0 {
		return ""
	}
	return fmt.Sprintf("%v %.4f", h.FeedDays.Names(), float64(h.FeedMost))
}

// toPrice gives the price of the farm's habits where it still stands, or else the
// bins on which it is to be worked out, spread over the farm: those that are
// reached without a truck and are not at rest. The days between the farm's days
// of feeding come with each. docs/model.md (H3).
func (t *Twins) toPrice(ctx context.Context, s *farm.State, now time.Time) (*Priced, map[string][]int, error) {
	of := rules(s.Settings.Habits)
	if of == "" {
		return nil, nil, nil
	}
	last, err := t.Last(ctx)
	if err != nil {
		return nil, nil, err
	}
	if last != nil && last.Priced != nil && last.Version == t.kind.Load().rounds && last.Priced.Of == of && now.Sub(last.Priced.At) < pricedFor {
		return last.Priced, nil, nil
	}
	var may []*farm.Bin
	for _, b := range s.Living() {
		if len(s.Places().Above(b.Name)) == 0 && b.Bed.Rest == nil {
			may = append(may, b)
		}
	}
	gaps := []int{}
	if days := s.Settings.Habits.FeedDays; days != 0 {
		for d := range 7 {
			if days.On(time.Weekday(d)) {
				gaps = append(gaps, days.Next(time.Weekday(d)))
			}
		}
	}
	out := map[string][]int{}
	n := min(len(may), int(t.round.PriceBins))
	for i := range n {
		out[may[i*len(may)/n].Name] = gaps
	}
	return nil, out, nil
}

// priced gives the cost of each habit over the bins on which it was tried.
func (t *Twins) priced(s *farm.State, now time.Time, of map[string]round.Price) *Priced {
	var free, days, depth []float64
	for _, bin := range slices.Sorted(maps.Keys(of)) { // so that sums are the same in every run
		p := of[bin]
		free, days, depth = append(free, p.FreeKg), append(days, p.DaysKg), append(depth, p.DepthKg)
	}
	return &Priced{Of: rules(s.Settings.Habits), At: now, Days: round.CostOf(free, days), Depth: round.CostOf(free, depth)}
}

// HabitCosts tells what the habits of a farm cost, each in a sentence; none where
// it has no habits with a price, or none was worked out for those it has now.
func HabitCosts(s *farm.State, p *Priced) []round.Phrase {
	h := s.Settings.Habits
	if p == nil || p.Of != rules(h) {
		return nil
	}
	var out []round.Phrase
	if h.FeedDays != 0 && p.Days.Bins > 1 {
		var days []int
		for i := range 7 {
			if d := (i + 1) % 7; h.FeedDays.On(time.Weekday(d)) {
				days = append(days, d)
			}
		}
		out = append(out, p.Days.Say("price.days", round.DaysOf(days)))
	}
	if h.FeedMost > 0 && p.Depth.Bins > 1 {
		out = append(out, p.Depth.Say("price.depth", round.DepthOf(float64(h.FeedMost))))
	}
	return out
}
