package app

import (
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/round"
)

// workOf gives what an entry tells of work on bins; the act is empty where it tells
// of none.
func workOf(e *journal.Entry) (round.Act, []string) {
	switch b := e.Body.(type) {
	case *journal.Feed:
		return round.Feed, b.Bins
	case *journal.Water:
		return round.Water, b.Bins
	case *journal.Cover:
		return round.Cover, b.Bins
	case *journal.Look:
		return round.Look, b.Bins
	case *journal.Turn:
		return round.Open, b.Bins
	case *journal.Harvest:
		return round.Harvest, b.Bins
	}
	return "", nil
}

// atOnce is within what time entries of one person are one tick.
const atOnce = 5 * time.Second

// Ticks gives the work that was written down from a time on with how long it
// took, each since its person wrote something before on the same day of the farm.
// Struck entries, loggers and sheets typed back are left out.
func Ticks(s *farm.State, from time.Time) (out []round.Tick) {
	list := s.Journal()
	first, _ := slices.BinarySearchFunc(list, from, func(e *journal.Entry, t time.Time) int { return e.At.Compare(t) })
	type last struct {
		at   time.Time
		tick int // in out, -1 where it told of no work
	}
	who := map[string]last{}
	for _, e := range list[first:] {
		if r, ok := e.Body.(*journal.Reading); ok && r.Probe == "logger" || strings.HasPrefix(e.Device, "sheet ") || s.Struck(e.ID) {
			continue
		}
		act, bins := workOf(e)
		x, known := who[e.Who]
		if known && e.At.Sub(x.at) <= atOnce {
			if x.tick >= 0 && act != "" && !slices.Contains(out[x.tick].Acts, act) {
				out[x.tick].Acts = append(out[x.tick].Acts, act)
			} else if x.tick >= 0 && act != "" && out[x.tick].Acts[0] == act {
				out[x.tick].Bins += len(bins)
			}
			continue
		}
		now := last{e.At, -1}
		if known && act != "" && len(bins) > 0 && dayOf(s, x.at).Equal(dayOf(s, e.At)) {
			now.tick = len(out)
			out = append(out, round.Tick{Acts: []round.Act{act}, Bins: len(bins), Minutes: e.At.Sub(x.at).Minutes()})
		}
		who[e.Who] = now
	}
	return out
}

// Paces gives how long acts take on the farm, as its last weeks tell.
func (t *Twins) Paces(s *farm.State, now time.Time) []round.Pace {
	t.mu.Lock()
	defer t.mu.Unlock()
	if day := dayOf(s, now); t.pace.entries != s.Entries || !t.pace.day.Equal(day) {
		t.pace.entries, t.pace.day = s.Entries, day
		t.pace.list = t.round.Paces(Ticks(s, now.Add(-time.Duration(t.round.PaceDays*24*float64(time.Hour)))))
	}
	return t.pace.list
}

// Taken gives what the work since a time took and what it is reckoned at [min], of
// what tells; zero where nothing does.
func (t *Twins) Taken(s *farm.State, from time.Time) (took, reckoned float64) {
	p := t.round.Paced(t.Paces(s, t.App.Now()))
	return p.Taken(Ticks(s, from))
}
