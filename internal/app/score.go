package app

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	"wormyard/bed"
	"wormyard/farm"
	"wormyard/journal"
	"wormyard/twin"
)

// Scores is where forecasts held against what was read are kept for ever;
// internal/sqlite is one.
type Scores interface {
	// KeepScores puts scores down that are not there yet, with the entries that were looked at.
	KeepScores(ctx context.Context, list []twin.Score, looked []string) error
	// Scores gives all, in the order of the readings.
	Scores(ctx context.Context) ([]twin.Score, error)
	// Looked gives the entries that were looked at, scored or not.
	Looked(ctx context.Context) (map[string]bool, error)
}

// ScoreDays are how far ahead forecasts are scored [day].
var ScoreDays = [...]int{1, 3, 7, 14}

const (
	// settled is how long after a reading was written down it is scored: by then
	// what was done before it is written down too.
	settled = 3 * 24 * time.Hour
	// issued is in how many hours forecasts are issued: where ensembles stop.
	issued = 6
	// NightScores is how many readings are scored in a night at most; the rest follow
	// in the next.
	NightScores = 200
)

// Score holds forecasts against the readings that were not looked at yet, the
// newest first and at most so many: what the twins would have said of each one,
// three, seven and fourteen days before, by what the journal had taken by then, given
// what was done in between as it was written down by three days after the reading.
// What is put down stays for ever, and is the same whenever it is made, so that a
// stop loses nothing. It gives how many readings are left. Progress is called with
// the forecasts done.
func (t *Twins) Score(ctx context.Context, most int, progress func(step string, done, of int)) (left int, err error) {
	if t.Scores == nil {
		return 0, nil
	}
	now := t.App.Now()
	known, err := t.App.then(ctx)
	if err != nil || known.first().IsZero() {
		return 0, err
	}
	looked, err := t.Scores.Looked(ctx)
	if err != nil {
		return 0, err
	}
	begun := known.first()
	plain := newPlain(known.waiting, t.App.State())
	list := readingsOf(known.waiting, t.App.State(), now, looked)
	if len(list) > most {
		left, list = len(list)-most, list[:most]
	}
	later := &then{waiting: slices.Clone(known.waiting), farm: farm.New(t.App.trade)}
	goals := t.goals(later, list)
	issues, last := byIssue(goals)
	var nothing []string // of which no forecast can be had
	for _, e := range list {
		if _, ok := last[e.ID]; !ok {
			nothing = append(nothing, e.ID)
		}
	}
	if err := t.Scores.KeepScores(ctx, nil, nothing); err != nil {
		return 0, err
	}
	ends := map[int64][]string{} // entries by the issue after which all is done
	for e, issue := range last {
		ends[issue] = append(ends[issue], e)
	}
	follow := map[string]*Follower{}
	for i, is := range issues {
		progress("scores", i, len(issues))
		var rows []twin.Score
		if at := time.Unix(is.hour*3600, 0); !at.Before(begun) {
			if rows, err = t.issue(ctx, known.at(at), &is, begun, follow); err != nil {
				return 0, err
			}
		}
		for k := range rows {
			plain.score(&rows[k])
			rows[k].Made = now.Unix() / 3600
		}
		if err := t.Scores.KeepScores(ctx, rows, ends[is.hour]); err != nil {
			return 0, err
		}
	}
	progress("scores", len(issues), len(issues))
	data, err := json.Marshal(left)
	if err != nil {
		return 0, err
	}
	return left, t.Kept.PutResults(ctx, scoresLeft, now.Format(time.DateOnly), now, map[string][]byte{"farm": data})
}

// scoresLeft is under what it is kept how many readings are still to be scored.
const scoresLeft = "scores left"

// readingsOf gives the readings, heights, weights and counts that are settled and
// not looked at yet, the newest first. Of a probe at one depth only the first of a
// day is one: what makes it differ from the bed is the same an hour later.
func readingsOf(all []journal.Entry, s *farm.State, now time.Time, looked map[string]bool) []*journal.Entry {
	type place struct {
		bin, probe string
		deep       int
		day        int64
		what       string
	}
	first := map[place]*journal.Entry{}
	var out []*journal.Entry
	for i := range all {
		e := &all[i]
		switch e.Body.(type) {
		case *journal.Reading, *journal.Depth, *journal.Weigh, *journal.Count:
		default:
			continue
		}
		if _, counts, found := s.Entry(e.ID); !found || !counts || e.Recorded.Add(settled).After(now) {
			continue
		}
		r, ok := e.Body.(*journal.Reading)
		if !ok {
			out = append(out, e)
			continue
		}
		if r.Bin == "" || r.TempC == nil && r.WaterFracWet == nil {
			continue
		}
		at := place{bin: r.Bin, probe: r.Probe + "\x00" + r.ProbeID, day: e.At.Unix() / 86400, what: fmt.Sprint(r.TempC != nil, r.WaterFracWet != nil)}
		if r.DepthM != nil {
			at.deep = int(math.Round(float64(*r.DepthM) / 0.05))
		}
		if was := first[at]; was == nil || cmp.Or(e.At.Compare(was.At), cmp.Compare(e.ID, was.ID)) < 0 {
			first[at] = e
		}
	}
	for _, e := range first {
		out = append(out, e)
	}
	out = slices.DeleteFunc(out, func(e *journal.Entry) bool { return looked[e.ID] })
	slices.SortFunc(out, func(a, b *journal.Entry) int { return cmp.Or(b.At.Compare(a.At), cmp.Compare(a.ID, b.ID)) })
	return out
}

// goal is one reading of one bed with what was done up to it.
type goal struct {
	entry string
	bin   string
	start twin.Start // of the bed
	found []twin.Found
	acts  []bed.Act
}

// goals reads each entry as the farm knew it once it was settled; what was not
// believed by then is left out.
func (t *Twins) goals(later *then, list []*journal.Entry) []goal {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b *journal.Entry) int { return a.Recorded.Compare(b.Recorded) })
	var out []goal
	for _, e := range list {
		s := later.at(e.Recorded.Add(settled))
		for _, of := range farm.Subjects(e) {
			name, is := strings.CutPrefix(of, "bin ")
			b, ok := s.Bin(name)
			if !is || !ok || b.Bed == nil {
				continue
			}
			h, _, ok := t.history(s, b, &Air{})
			if !ok {
				continue
			}
			if found := t.foundBy(e, &h); len(found) > 0 {
				out = append(out, goal{e.ID, name, h.Start, found, h.Acts})
			}
		}
	}
	return out
}

// foundBy gives what an entry found of a bed, as its history has it.
func (t *Twins) foundBy(e *journal.Entry, h *twin.History) []twin.Found {
	hour := e.At.Unix() / 3600
	var one twin.History
	switch b := e.Body.(type) {
	case *journal.Reading:
		i := slices.IndexFunc(h.Readings, func(r twin.Reading) bool {
			return r.Hour == hour && r.Probe == b.Probe && r.ProbeID == b.ProbeID && (b.TempC == nil || float64(*b.TempC) == r.TempC) &&
				(b.WaterFracWet == nil || float64(*b.WaterFracWet) == r.Water) && (b.DepthM == nil || float64(*b.DepthM) == r.DepthM)
		})
		if i >= 0 {
			one.Readings = h.Readings[i : i+1]
		}
	case *journal.Depth:
		if i := slices.IndexFunc(h.Marks, func(m twin.Mark) bool { return m.Hour == hour && m.DepthM == float64(b.DepthM) }); i >= 0 {
			one.Marks = h.Marks[i : i+1]
		}
	case *journal.Weigh:
		if i := slices.IndexFunc(h.Weights, func(w twin.Weight) bool { return w.Hour == hour && w.Kg == float64(b.MassKg) }); i >= 0 {
			one.Weights = h.Weights[i : i+1]
		}
	case *journal.Count:
		if i := slices.IndexFunc(h.Counts, func(n twin.Count) bool { return n.Hour == hour }); i >= 0 {
			one.Counts = h.Counts[i : i+1]
		}
	}
	return slices.DeleteFunc(t.twin.Found(&one), func(f twin.Found) bool { return f.Kind == twin.Oxygen || f.Kind == twin.Ammonia })
}

// issue is what forecasts of one hour are held against.
type issue struct {
	hour int64
	of   []aim
}

// aim is one goal, so many days ahead.
type aim struct {
	*goal
	days int
}

// byIssue sorts goals by when forecasts of them were issued, and gives the last
// issue of each entry.
func byIssue(goals []goal) ([]issue, map[string]int64) {
	by, last := map[int64][]aim{}, map[string]int64{}
	for i := range goals {
		g := &goals[i]
		for _, days := range ScoreDays {
			at := g.found[0].Hour - int64(days)*24
			at -= (at%issued + issued) % issued
			by[at] = append(by[at], aim{g, days})
			if was, ok := last[g.entry]; !ok || at > was {
				last[g.entry] = at
			}
		}
	}
	out := make([]issue, 0, len(by))
	for at, of := range by {
		out = append(out, issue{at, of})
	}
	slices.SortFunc(out, func(a, b issue) int { return cmp.Compare(a.hour, b.hour) })
	return out, last
}

// issue scores the forecasts of one hour: of each bin one run of the twins serves
// all that is held against it.
func (t *Twins) issue(ctx context.Context, s *farm.State, is *issue, begun time.Time, follow map[string]*Follower) ([]twin.Score, error) {
	by := map[string][]aim{}
	var bins []string
	for _, x := range is.of {
		if b, ok := s.Bin(x.bin); ok && b.Bed != nil {
			if by[x.bin] == nil {
				bins = append(bins, x.bin)
			}
			by[x.bin] = append(by[x.bin], x)
		}
	}
	if len(bins) == 0 {
		return nil, nil
	}
	slices.Sort(bins)
	for _, b := range bins {
		if follow[b] == nil {
			follow[b] = &Follower{Keep: 6}
		}
	}
	air, err := t.airFor(s, time.Unix(is.hour*3600, 0))
	if err != nil {
		return nil, err
	}
	epochs := t.epochsThen(is.hour, begun)
	var mu sync.Mutex
	var out []twin.Score
	err = Each(ctx, t, bins, func(c *twin.Crew, name string) error {
		b, _ := s.Bin(name)
		told := t.tell(s, b, air)
		if told.History.Start.Hour >= is.hour {
			return nil
		}
		c.Turn(epochs)
		e, err := follow[name].To(c, told, is.hour)
		if err != nil {
			return fmt.Errorf("bin %s: %w", name, err)
		}
		for _, x := range by[name] {
			if h := &told.History; x.start.Layer != h.Start.Layer || x.start.Hour != h.Start.Hour {
				continue // it is another bed
			}
			rows, err := foretold(c, e, told, x, is.hour)
			if err != nil {
				return fmt.Errorf("bin %s: %w", name, err)
			}
			mu.Lock()
			for i := range rows {
				rows[i].Make = t.kind.Load().version
			}
			out = append(out, rows...)
			mu.Unlock()
		}
		return nil
	})
	slices.SortFunc(out, func(a, b twin.Score) int {
		return cmp.Or(cmp.Compare(a.Bin, b.Bin), cmp.Compare(a.Entry, b.Entry), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Days, b.Days))
	})
	return out, err
}

// foretold runs the twins from an issue to a reading, through what was known by
// then to be done before it and what was done after it, and scores what they
// expected.
func foretold(c *twin.Crew, e *twin.Ensemble, told Told, x aim, issue int64) ([]twin.Score, error) {
	h := told.History
	h.Acts = slices.DeleteFunc(slices.Clone(h.Acts), func(a bed.Act) bool { return a.Hour >= issue }) // done, not only planned
	for _, a := range x.acts {
		if a.Hour >= issue {
			h.Acts = append(h.Acts, a)
		}
	}
	expected, err := c.Expect(e, h, told.Air, x.found)
	if err != nil {
		return nil, err
	}
	var out []twin.Score
	for i, f := range x.found {
		v := twin.Foretell(expected[i].Values, expected[i].SD)
		if !v.Any() {
			continue
		}
		s := twin.Score{Bin: x.bin, Entry: x.entry, Kind: f.Kind, Days: x.days, Hour: f.Hour, Issue: issue, DepthM: f.DepthM,
			Told: expected[i].Told, SD: expected[i].SD, LastCRPS: math.NaN(), SeasonCRPS: math.NaN()}
		if s.Read(v); s.Finite() {
			out = append(out, s)
		}
	}
	return out, nil
}

// epochsThen gives the numbers of nature as they were learned by an hour: what was
// learned later is not known yet.
func (t *Twins) epochsThen(hour int64, begun time.Time) []twin.Epoch {
	t.mu.Lock()
	defer t.mu.Unlock()
	n := 1
	founded := twin.WeekEnd(begun.Unix()/3600) + week // what was learned of the time before it was learned then
	for n < len(t.epochs) && t.epochs[n].From <= hour && hour >= founded {
		n++
	}
	return t.epochs[:n:n]
}
