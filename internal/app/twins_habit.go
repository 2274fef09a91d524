package app

import (
	"time"

	"wormyard/farm"
)

// habit is when a bin is seen to.
type habit struct {
	every float64 // usual days between feedings
	due   bool    // today
	next  int64   // hour of the next visit, after today
	waits int64   // under others: the hour of the visit it waits for, 0 when not
	fed   int64   // hour of the last feeding, 0 when never
	depth float64 // of it [m]
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
	return h
}

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
