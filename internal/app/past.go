package app

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/climate"
	"wormyard/farm"
	"wormyard/journal"
	"wormyard/twin"
)

// Past is what the farm had and did, for its pictures: made with the round and
// kept, so that no page has to reckon it.
type Past struct {
	Made  time.Time  `json:"made"`
	Days  []PastDay  `json:"days"`  // of all beds together, the oldest first
	Air   []PastAir  `json:"air"`   // a barn each
	Weeks []PastWeek `json:"weeks"` // the oldest first
}

// PastDay is one day of all beds that lived when it was reckoned.
type PastDay struct {
	Day     time.Time  `json:"day"`
	Beds    int        `json:"beds"`
	Worms   twin.Range `json:"worms_kg"` // the sums of the beds' ranges, wider than the range of the sum
	EatenKg float64    `json:"eaten_kg_wet"`
	MadeKg  float64    `json:"castings_kg_dry"` // made on the day
}

// PastAir is the air of a barn by days.
type PastAir struct {
	Barn string    `json:"barn"`
	From time.Time `json:"from"` // the first day
	LowC []float64 `json:"low_c"`
	Mean []float64 `json:"mean_c"`
	High []float64 `json:"high_c"`
}

// PastWeek is the work that was written down in a week, in minutes as the round
// reckons them.
type PastWeek struct {
	From    time.Time `json:"from"`
	Minutes float64   `json:"minutes"`
}

const (
	pastWeeks = 13
	keepsDays = 400
)

// Past gives the newest; nil when none was made yet.
func (t *Twins) Past(ctx context.Context) (*Past, error) {
	t.mu.Lock()
	p := t.past
	t.mu.Unlock()
	if p != nil {
		return p, nil
	}
	data, _, ok, err := t.Kept.Result(ctx, "past", "farm")
	if err != nil || !ok {
		return nil, err
	}
	p = new(Past)
	if err := json.Unmarshal(data, p); err != nil {
		return nil, nil // of an older make
	}
	t.mu.Lock()
	t.past = p
	t.mu.Unlock()
	return p, nil
}

// keepPast reckons the past of the farm from what the twins of its beds said
// and from the journal, and keeps it. Days from before those that the twins tell
// stay as they were kept.
func (t *Twins) keepPast(ctx context.Context, s *farm.State, air *Air, now time.Time, views map[string]*Outlook) error {
	p := &Past{Made: now, Days: pastDaysOf(views), Air: airOf(s, air, now), Weeks: t.weeks(s, now)}
	before, err := t.Past(ctx)
	if err != nil {
		return err
	}
	if before != nil && len(p.Days) > 0 {
		old := slices.DeleteFunc(slices.Clone(before.Days), func(d PastDay) bool { return !d.Day.Before(p.Days[0].Day) })
		p.Days = append(old, p.Days...)
		p.Days = p.Days[max(0, len(p.Days)-keepsDays):]
	}
	data, err := json.Marshal(p)
	if err != nil {
		return err
	}
	if err := t.Kept.PutResults(ctx, "past", now.Format(time.DateOnly), now, map[string][]byte{"farm": data}); err != nil {
		return err
	}
	t.mu.Lock()
	t.past = p
	t.mu.Unlock()
	return nil
}

// pastDaysOf adds up the days that the outlooks look back on. The first is left
// out, since what was made on it is told by the day before.
func pastDaysOf(views map[string]*Outlook) []PastDay {
	names := make([]string, 0, len(views))
	for n := range views {
		names = append(names, n)
	}
	slices.Sort(names) // sums in a fixed order
	by := map[int64]*PastDay{}
	for _, n := range names {
		for i, d := range views[n].Past {
			x := by[d.Day.Unix()]
			if x == nil {
				x = &PastDay{Day: d.Day}
				by[d.Day.Unix()] = x
			}
			x.Beds++
			x.Worms.Low += d.Worms.Low
			x.Worms.Mid += d.Worms.Mid
			x.Worms.High += d.Worms.High
			x.EatenKg += d.EatenKg
			if i > 0 { // a harvest takes castings out, it does not make fewer
				x.MadeKg += math.Max(0, d.CastKg-views[n].Past[i-1].CastKg)
			}
		}
	}
	var out []PastDay
	for _, x := range by {
		out = append(out, *x)
	}
	slices.SortFunc(out, func(a, b PastDay) int { return a.Day.Compare(b.Day) })
	return out[min(1, len(out)):]
}

// airOf gives the lows, means and highs of each barn on the floor, by days of
// the farm, as far back as the air was followed.
func airOf(s *farm.State, air *Air, now time.Time) []PastAir {
	today := dayOf(s, now)
	var out []PastAir
	for _, b := range s.Barns() {
		x, series := PastAir{Barn: b.Name}, air.At(b.Name, 1)
		for day := today.AddDate(0, 0, -7*pastWeeks); day.Before(today); day = day.AddDate(0, 0, 1) {
			from, to := day.Unix()/3600, day.AddDate(0, 0, 1).Unix()/3600
			if from < air.From || to > air.To {
				continue
			}
			if x.LowC == nil {
				x.From = day
			}
			low, sum, high := lowMeanHigh(series, from, to)
			x.LowC, x.Mean, x.High = append(x.LowC, low), append(x.Mean, sum), append(x.High, high)
		}
		if x.LowC != nil {
			out = append(out, x)
		}
	}
	return out
}

func lowMeanHigh(series climate.Series, from, to int64) (low, mean, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	var sum float64
	for h := from; h < to; h++ {
		c := series.At(h).TempC
		low, high, sum = math.Min(low, c), math.Max(high, c), sum+c
	}
	return low, sum / float64(to-from), high
}

// weeks adds up the work of each of the last weeks.
func (t *Twins) weeks(s *farm.State, now time.Time) []PastWeek {
	today := dayOf(s, now)
	from := today.AddDate(0, 0, 1-7*pastWeeks)
	out := make([]PastWeek, pastWeeks)
	for i := range out {
		out[i].From = from.AddDate(0, 0, 7*i)
	}
	lines, _ := s.Search(farm.Search{From: from, To: now, Limit: math.MaxInt32}, t.App.units())
	for _, l := range lines {
		i, found := slices.BinarySearchFunc(out, l.Entry.At, func(w PastWeek, at time.Time) int { return w.From.Compare(at) })
		if !found {
			i--
		}
		if i >= 0 {
			out[i].Minutes += t.minutes(l.Entry)
		}
	}
	return out
}

// minutes gives what the work of an entry takes by the numbers of the round; 0
// for what is no work in the barn or has no number.
func (t *Twins) minutes(e *journal.Entry) float64 {
	bins := 0.0
	for _, about := range farm.Subjects(e) {
		if strings.HasPrefix(about, "bin ") {
			bins++
		}
	}
	switch e.Kind {
	case "feed":
		return bins * t.round.FeedMinutes
	case "water":
		return bins * t.round.WaterMin
	case "cover":
		return bins * t.round.CoverMin
	case "turn":
		return bins * t.round.OpenMinutes
	case "look", "reading", "count", "sighting":
		return bins * t.round.LookMinutes
	case "harvest":
		return bins * t.round.HarvestMin
	case "move":
		return bins * t.round.LiftMinutes
	}
	if b, ok := e.Body.(*journal.Blend); ok {
		var m3 float64
		for _, part := range b.Parts {
			if part.VolumeM3 != nil {
				m3 += float64(*part.VolumeM3)
			}
		}
		return m3 * t.round.BlendMin
	}
	return 0
}
