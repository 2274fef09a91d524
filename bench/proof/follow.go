package proof

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"time"

	"wormyard/bed"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/twin"
)

// Horizons are how far ahead is scored [day].
var Horizons = []int{1, 3, 7, 14}

// writtenBy is how many days after an issue the acts of the days scored are written
// down, the late ones too.
var writtenBy = Horizons[len(Horizons)-1] + 7

// Options says how a farm is run.
type Options struct {
	Every    int      // days from one issue to the next; no multiple of seven, so that every day of the week is met
	First    int      // days of journal before the first issue
	Alone    bool     // bins do not learn from each other, as they do in use
	Only     []string // bins that are scored; empty for all
	Air      TrueAir  // which air of the barn the twins are given as it truly was
	Progress func(done, of int)
}

// TrueAir says which air the twins are given as nobody could know it, to part what
// they miss by the air from what they miss by the bed.
type TrueAir string

const (
	Ahead  TrueAir = "ahead"  // that of the days foretold
	Always TrueAir = "always" // that of the days behind too
)

// told gives what the twins of a farm rest on, with the air that they are given.
func (o *Options) told(t *app.Twins, f *Farm, issue int64) (map[string]app.Told, error) {
	told, err := t.TellAll()
	if err != nil || o.Air == "" {
		return told, err
	}
	from := f.Barn.Start
	if o.Air == Ahead {
		from = max(from, issue)
	}
	until := f.Barn.Start + int64(len(f.Barn.Hours))
	for b, x := range told {
		x.Air.Hours, x.Air.Off = slices.Clone(x.Air.Hours), slices.Clone(x.Air.Off)
		for i := range x.Air.Hours {
			if t := x.Air.Start + int64(i); t >= from && t < until {
				x.Air.Hours[i] = f.Barn.At(t)
				if i < len(x.Air.Off) {
					x.Air.Off[i] = 0
				}
			}
		}
		told[b] = x
	}
	return told, nil
}

// Run lets the twins live through the journal of a farm and scores what they
// said of the days ahead.
func Run(ctx context.Context, f *Farm, o Options) (*Marks, error) {
	for i := range f.Entries {
		f.Entries[i].Seq = int64(i + 1)
	}
	began, end := f.Entries[0].Recorded, f.Entries[len(f.Entries)-1].Recorded
	past, later := &recorded{entries: f.Entries, now: began}, &recorded{entries: f.Entries, now: began}
	twins, a, err := past.open(ctx)
	if err != nil {
		return nil, err
	}
	_, after, err := later.open(ctx)
	if err != nil {
		return nil, err
	}
	follow := map[string]*app.Follower{}
	marks := newMarks(f)
	last := int(end.Sub(began).Hours() / 24)
	day0 := began.Unix() / 86400
	for day := o.First; day+Horizons[len(Horizons)-1] <= last; day += o.Every {
		issue := (day0 + int64(day)) * 24
		past.now = time.Unix(issue*3600, 0).UTC()
		later.now = past.now.AddDate(0, 0, writtenBy)
		if err := errors.Join(a.Refresh(ctx), after.Refresh(ctx)); err != nil {
			return nil, err
		}
		if !o.Alone {
			if err := twins.Learn(ctx, func(string, int, int) {}); err != nil {
				return nil, fmt.Errorf("day %d: %w", day, err)
			}
		}
		told, err := o.told(twins, f, issue)
		if err != nil {
			return nil, err
		}
		done, err := twins.HeapsOf(after.State())
		if err != nil {
			return nil, err
		}
		plain := newPlain(told, past.counts(), issue)
		bins := slices.DeleteFunc(sorted(told), func(b string) bool { return len(o.Only) > 0 && !slices.Contains(o.Only, b) })
		for _, b := range bins {
			if follow[b] == nil {
				follow[b] = new(app.Follower)
			}
		}
		err = app.Each(ctx, twins, bins, func(c *twin.Crew, bin string) error {
			was, _, ok := done.History(bin, c.Best())
			if h := told[bin].History; !ok || was.Start.Layer != h.Start.Layer || was.Start.Hour != h.Start.Hour {
				return nil // its bed ends meanwhile
			}
			said, err := say(c, follow[bin], told[bin], was.Acts, issue)
			if err != nil {
				return err
			}
			marks.take(f, bin, issue, said, plain)
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("day %d: %w", day, err)
		}
		if o.Progress != nil {
			o.Progress(day, last)
		}
	}
	return marks, nil
}

// quantities are what is scored.
const (
	midC = iota
	water
	feedKg
	wormKg
	quantities
)

// said is what the members say, by horizon and quantity; place 0 is the time of
// issue itself.
type said [1 + 4][quantities][]float64

// say gives what the twins of a bin say of the days ahead, by what was told until
// then, and given what was written down afterwards of what was done.
func say(c *twin.Crew, f *app.Follower, told app.Told, done []bed.Act, issue int64) (*said, error) {
	e, err := f.To(c, told, issue)
	if err != nil {
		return nil, err
	}
	h := told.History
	h.Acts = slices.Clone(h.Acts)
	for _, a := range done {
		if a.Hour >= issue {
			h.Acts = append(h.Acts, a)
		}
	}
	out := new(said)
	put := func(at int, s *bed.State, d *bed.Day) {
		for q, v := range [quantities]float64{Middle(s), d.WaterOfWet, d.FeedLeftKg, s.Worms.LiveKg()} {
			out[at][q] = append(out[at][q], v)
		}
	}
	for m := range e.Members {
		s := &e.Members[m].State
		put(0, s, &bed.Day{WaterOfWet: wateriness(s), FeedLeftKg: math.NaN()})
	}
	until := issue + int64(Horizons[len(Horizons)-1])*24
	err = c.Forecast(e, h, told.Air, until, func(_ int, s *bed.State, d bed.Day) {
		if i := slices.Index(Horizons, int(d.Hour-issue)/24); i >= 0 && (d.Hour-issue)%24 == 0 {
			put(1+i, s, &d)
		}
	})
	return out, err
}

// Middle gives the temperature halfway between the surface and the floor of a
// bed, straight between the middles of its layers [C].
func Middle(s *bed.State) float64 {
	deep := 0.0
	for i := range s.Layers {
		deep += s.Layers[i].DepthM
	}
	at, was, last := 0.0, 0.0, math.NaN()
	for i := range s.Layers {
		l := &s.Layers[i]
		mid := at + l.DepthM/2
		if mid >= deep/2 {
			if math.IsNaN(last) {
				return l.TempC
			}
			return last + (deep/2-was)/(mid-was)*(l.TempC-last)
		}
		at, was, last = at+l.DepthM, mid, l.TempC
	}
	return last
}

// wateriness gives the water of a whole bed, ice included, on wet basis.
func wateriness(s *bed.State) float64 {
	var w, all float64
	for i := range s.Layers {
		l := &s.Layers[i]
		w, all = w+l.Water+l.Ice, all+l.Water+l.Ice+l.Dry()
	}
	return w / all
}

// recorded is a journal that shows what was recorded by now, and a place for
// what is computed.
type recorded struct {
	entries []journal.Entry
	now     time.Time

	mu      sync.Mutex
	snaps   map[[2]string][]byte // by key and version
	results map[[2]string][]byte // by kind and subject
}

func (r *recorded) open(ctx context.Context) (*app.Twins, *app.App, error) {
	r.snaps, r.results = map[[2]string][]byte{}, map[[2]string][]byte{}
	a, err := app.Open(ctx, r, func() time.Time { return r.now })
	if err != nil {
		return nil, nil, err
	}
	t, err := app.NewTwins(a, r)
	return t, a, err
}

// Append implements app.Journal.
func (r *recorded) Append(context.Context, []journal.Entry) ([]journal.Entry, error) {
	return nil, fmt.Errorf("nothing is written on this farm any more")
}

// Load implements app.Journal.
func (r *recorded) Load(_ context.Context, after int64) ([]journal.Entry, error) {
	to := after
	for to < int64(len(r.entries)) && !r.entries[to].Recorded.After(r.now) {
		to++
	}
	return slices.Clone(r.entries[after:to]), nil
}

// Snapshot implements app.Kept.
func (r *recorded) Snapshot(_ context.Context, key, _, version string) ([]byte, bool, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	data, ok := r.snaps[[2]string{key, version}]
	return data, ok, nil
}

// PutSnapshots implements app.Kept.
func (r *recorded) PutSnapshots(_ context.Context, version string, snaps []app.Snap) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	for _, s := range snaps {
		r.snaps[[2]string{s.Key, version}] = s.Data
	}
	return nil
}

// Result implements app.Kept.
func (r *recorded) Result(_ context.Context, kind, subject string) ([]byte, time.Time, bool, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	data, ok := r.results[[2]string{kind, subject}]
	return data, time.Time{}, ok, nil
}

// PutResults implements app.Kept.
func (r *recorded) PutResults(_ context.Context, kind, _ string, _ time.Time, rows map[string][]byte) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	for subject, data := range rows {
		r.results[[2]string{kind, subject}] = data
	}
	return nil
}

// counts gives the worm counts recorded by now, as stock under a square metre.
func (r *recorded) counts() map[string][]point {
	out := map[string][]point{}
	for i := range r.entries {
		e := &r.entries[i]
		if e.Recorded.After(r.now) {
			break
		}
		if b, ok := e.Body.(*journal.Count); ok && b.AreaM2 != nil && b.WormsKg != nil && *b.AreaM2 > 0 {
			out[b.Bin] = append(out[b.Bin], point{e.At.Unix() / 3600, float64(*b.WormsKg) / float64(*b.AreaM2)})
		}
	}
	return out
}
