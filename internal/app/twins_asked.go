package app

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/farm"
	"wormyard/journal"
	"wormyard/round"
	"wormyard/twin"
)

// suspects gives the bins that may have been fed on one of the last days with
// nobody writing it down, by what the journal shows. docs/model.md (H4), (H5).
func (t *Twins) suspects(s *farm.State, now time.Time) map[string]*round.Asked {
	zone := s.Zone()
	dayOf := func(at time.Time) int64 { return dayNumber(at.In(zone)) }
	from := now.AddDate(0, 0, -int(t.round.AskStackDays+t.round.AskDays)-habitDays)
	days, laid := map[string][]int64{}, map[string][]int64{}
	fed := map[int64][]fedThen{}
	all := s.Journal()
	for i := len(all) - 1; i >= 0 && !all[i].At.Before(from); i-- {
		var of map[string][]int64
		var bins []string
		batch := ""
		switch b := all[i].Body.(type) {
		case *journal.Feed:
			of, bins, batch = days, b.Bins, b.Batch
		case *journal.Bed:
			of, bins = laid, b.Bins
		default:
			continue
		}
		if _, counts, _ := s.Entry(all[i].ID); !counts || all[i].At.After(now) {
			continue
		}
		day := dayOf(all[i].At)
		for _, bin := range bins {
			if list := of[bin]; len(list) == 0 || list[len(list)-1] != day {
				of[bin] = append(list, day)
			}
			if batch != "" {
				fed[day] = append(fed[day], fedThen{all[i].At.In(zone), batch})
			}
		}
	}
	answers := s.AnsweredSince(from)
	var bins []round.Fed
	living := s.Living()
	for _, b := range living {
		f := round.Fed{Bin: b.Name, Barn: b.Slot.Barn, Row: b.Slot.Row, Stack: b.Slot.Stack, Level: b.Slot.Level,
			Top: len(s.Places().Above(b.Name)) == 0, Quiet: b.Bed.Rest != nil || t.full(b),
			Days: days[b.Name], Laid: laid[b.Name]}
		slices.Reverse(f.Days)
		slices.Reverse(f.Laid)
		for _, a := range answers[b.Name] {
			day, err := time.ParseInLocation(time.DateOnly, a.Day, zone)
			if err == nil && a.Said == "fed" {
				f.Told = append(f.Told, dayNumber(day))
			}
			if err != nil || a.Said == "fed" && !slices.Contains(f.Days, dayNumber(day)) { // the feeding was struck since
				continue
			}
			f.Answered = append(f.Answered, dayNumber(day))
		}
		bins = append(bins, f)
	}
	found := t.round.Suspects(bins, dayNumber(now))
	if len(found) == 0 {
		return nil
	}
	at := middles(fed)
	out := map[string]*round.Asked{}
	for _, b := range living {
		x, ok := found[b.Name]
		if !ok {
			continue
		}
		a := x.Asked
		u := s.Habit(b.Name)
		then := at[x.Day]
		a.Day, a.Hour, a.Every = then.at.Format(time.DateOnly), then.at.Unix()/3600, math.Round(u.EveryDays)
		if a.DepthM, a.Mix = float64(u.Depth), then.batch; a.DepthM <= 0 {
			a.DepthM = float64(s.FarmHabit().Depth)
		}
		a.DepthM = math.Max(t.round.DepthStepM, math.Round(a.DepthM/t.round.DepthStepM)*t.round.DepthStepM)
		out[b.Name] = &a
	}
	return out
}

// full says that who works at a bin took its bed as full, so that nobody asks whether
// it was fed. docs/model.md (R7).
func (t *Twins) full(b *farm.Bin) bool {
	n := len(b.Bed.Depths)
	if n == 0 || b.Bed.LastFeed == nil {
		return false
	}
	last := b.Bed.Depths[n-1]
	return t.round.Full(float64(b.Box.Depth), b.Bed.LastFeed.At.Unix()/3600, last.At.Unix()/3600, float64(last.Depth))
}

// habitDays is how much longer the journal is read than habits are counted, since
// each rests on the feedings before it [day].
const habitDays = 60

// fedThen is when and with what a farm fed on a day: the middle one of its feedings,
// of beds that were emptied since as well.
type fedThen struct {
	at    time.Time
	batch string
}

func middles(all map[int64][]fedThen) map[int64]fedThen {
	out := map[int64]fedThen{}
	for day, list := range all {
		slices.SortStableFunc(list, func(a, b fedThen) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.batch, b.batch)) })
		out[day] = list[len(list)/2]
	}
	return out
}

// mostRatio is the most that what was seen since may change the odds of a feeding:
// the twins share errors that no member shows.
const mostRatio = 8

// Perhaps is a feeding that a bin may have had with nobody writing it down, as its
// twins are followed both ways.
type Perhaps struct {
	Hour   int64      `json:"hour"`   // at which the farm was feeding on that day
	Chance float64    `json:"chance"` // 0 to 1
	DepthM float64    `json:"depth_m"`
	Batch  string     `json:"batch"`
	Fed    twin.Range `json:"max_c_fed"`   // warmest place now, if it was
	Unfed  twin.Range `json:"max_c_unfed"` // if it was not
}

// bothWays weighs a suspected feeding by what was found of the bed since, and
// follows its twins both ways from before that day, each corrected by what was
// found. It gives both side by side, or the one that is as good as sure; e as it
// was where nothing is followed. docs/model.md (H6), (H8), (T10).
func (t *Twins) bothWays(ctx context.Context, c *twin.Crew, heaps *farm.Heaps, a *round.Asked, h twin.History, snaps []Snap, air climate.Series, hour int64, e *twin.Ensemble, past *days) (*twin.Ensemble, *Perhaps, error) {
	perM3, lain, _, ok := heaps.Batch(a.Mix, a.Hour)
	if !ok {
		return e, nil, nil
	}
	from, err := t.young(ctx, c, h, snaps, air, hour)
	if err != nil {
		return e, nil, err
	}
	if from == nil && h.Start.Hour <= a.Hour {
		from = c.Begin(h, air)
	}
	if from == nil || from.Hour > a.Hour {
		return e, nil, nil
	}
	with := h
	feed := bed.Act{Hour: a.Hour, Kind: bed.Feed, Matter: perM3.Times(a.DepthM * h.Box.Area()), Lain: lain, DepthM: a.DepthM, TempC: math.NaN(), Layer: math.MaxUint64 - uint64(a.Hour)}
	i, _ := slices.BinarySearchFunc(h.Acts, a.Hour, func(x bed.Act, hour int64) int { return cmp.Compare(x.Hour, hour) })
	with.Acts = slices.Insert(slices.Clone(h.Acts), i, feed)
	if err := t.seenSince(c, a, h, with, from, air, hour); err != nil {
		return e, nil, err
	}
	if !a.Follow || !a.Both() && !a.Fed() {
		return e, nil, nil
	}
	fed, seen := from.Clone(), days{least: past.least}
	if err := c.Advance(fed, with, air, hour, seen.see); err != nil {
		return e, nil, err
	}
	p := &Perhaps{Hour: a.Hour, Chance: a.Chance(), DepthM: a.DepthM, Batch: a.Mix, Fed: warmest(fed), Unfed: warmest(e)}
	if a.Fed() {
		*past = seen
		return fed, p, nil
	}
	both := twin.Either(e, fed, p.Chance)
	past.beside(&seen, both.Weights)
	return both, p, nil
}

// warmest gives the range of the warmest place of a bed [C].
func warmest(e *twin.Ensemble) twin.Range {
	return e.Over(func(m *twin.Member) float64 { return twin.Warmest(&m.State) })
}

// seenSince weighs a suspected feeding by what was found of the bed since: the
// twins run once without it and once with it, each branch on its own.
// docs/model.md (H6).
func (t *Twins) seenSince(c *twin.Crew, a *round.Asked, h, with twin.History, e *twin.Ensemble, air climate.Series, hour int64) error {
	var since []twin.Found
	for _, f := range t.twin.Found(&h) {
		if f.Hour > a.Hour && f.Hour <= hour && !f.Kind.Silent() {
			since = append(since, f)
		}
	}
	if len(since) == 0 {
		return nil
	}
	none, err := c.Evidence(e, h, air, a.Hour+1, hour)
	if err != nil {
		return err
	}
	fed, err := c.Evidence(e, with, air, a.Hour+1, hour)
	if err != nil {
		return err
	}
	a.Ratio = math.Exp(math.Max(-math.Log(mostRatio), math.Min(math.Log(mostRatio), fed-none)))
	if a.Ratio < 1.5 { // too little to speak of
		return nil
	}
	last := since[len(since)-1]
	for _, f := range since {
		if f.Kind == twin.Temperature {
			last = f
		}
	}
	if last.Kind == twin.Temperature {
		early := h.Before(a.Hour + 1)
		cold, err := c.Expected(e, early, air, last.Hour, last.DepthM)
		if err != nil {
			return err
		}
		early.Acts = with.Acts
		warm, err := c.Expected(e, early, air, last.Hour, last.DepthM)
		if err != nil {
			return err
		}
		a.SeenRead(twin.Reading{Hour: last.Hour, DepthM: last.DepthM, TempC: last.Value}, cold.Mid, warm.Mid)
		return nil
	}
	a.SeenLook(last.Hour)
	return nil
}

// young gives the twins of a bed as they were before the last two weeks; nil where
// none are kept.
func (t *Twins) young(ctx context.Context, c *twin.Crew, h twin.History, snaps []Snap, air climate.Series, hour int64) (*twin.Ensemble, error) {
	for _, x := range snaps {
		if x.Key == snapKey(h.Bin, young) && len(x.Data) > hashLen {
			return twin.Decode(x.Data[hashLen:])
		}
	}
	e, _, err := t.recall(ctx, c, young, h, air, hour)
	return e, err
}
