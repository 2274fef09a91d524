package app

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"runtime"
	"slices"
	"sync"
	"time"

	"golang.org/x/sync/errgroup"

	"wormyard/farm"
	"wormyard/twin"
)

// learned is what the watched bins of a farm have taught: how far each member's
// numbers of nature lie from their middles, by the week from which on it holds.
// It is kept, and is made again from the journal where it is lost.
type learned struct {
	Until  int64          `json:"until"`  // the end of the last week learned of [hours since 1970-01-01T00Z]
	Z      [][]float64    `json:"z"`      // by member and number, as of then [standard deviations]
	Heat   float64        `json:"heat"`   // how much more than as drawn usually stays in a bed, as of then, natural log
	Epochs []learnedEpoch `json:"epochs"` // in force, in order; before the first, as drawn
	Weeks  []learnedWeek  `json:"weeks"`  // in order
}

type learnedEpoch struct {
	From int64       `json:"from"`
	Z    [][]float64 `json:"z"`
	Heat float64     `json:"heat"`
}

// learnedWeek is how much a week taught.
type learnedWeek struct {
	Until   int64 `json:"until"`
	Bins    int   `json:"bins"` // that had something to teach
	Lessons int   `json:"lessons"`
}

const (
	week      = twin.Week
	earlier   = 6  // weeks before the journal was begun that are learned of, where they were written down
	mostBack  = 13 // weeks that are learned anew where what was learned is lost
	mostTeach = 24 // bins that teach in a week, those that were read most
	watched   = 3  // findings in a week make a bin a watched one
	mostRare  = 6  // bins that teach in a week where fewer are watched
)

// learnedSoFar gives what is kept, or the beginning.
func (t *Twins) learnedSoFar(ctx context.Context) (*learned, error) {
	t.mu.Lock()
	l := t.learned
	t.mu.Unlock()
	if l != nil {
		return l, nil
	}
	data, _, ok, err := t.Kept.Result(ctx, learnedKind, t.kind.Load().version)
	if err != nil {
		return nil, err
	}
	l = &learned{}
	if !ok || json.Unmarshal(data, l) != nil || len(l.Z) != len(t.kind.Load().deviates) {
		l = &learned{Z: t.kind.Load().deviates}
	}
	return l, t.teach(l)
}

const learnedKind = "learned"

// teach makes what was learned the numbers that the twins run with.
func (t *Twins) teach(l *learned) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	epochs := []twin.Epoch{{Numbers: t.kind.Load().draws}}
	for i, e := range l.Epochs {
		data, err := json.Marshal(e)
		if err != nil {
			return err
		}
		n := twin.Epoch{From: e.From, HeatLn: e.Heat, Name: fmt.Sprintf("%x", sha256.Sum256(data))}
		if i+1 < len(t.epochs) && t.epochs[i+1].Name == n.Name {
			n = t.epochs[i+1] // and with it the runners
		} else {
			n.Numbers = twin.NumbersAt(&t.kind.Load().bed, t.kind.Load().knobs, e.Z)
		}
		epochs = append(epochs, n)
	}
	t.learned, t.epochs = l, epochs
	return nil
}

// Learn takes the lessons of the weeks that have ended since it last did: what
// the twins of each bin expected of what was read in it, as far as the journal had
// taken it by the end of the week. An entry that comes later moves its own bin and
// teaches nobody, so that it runs one bin anew and not the farm. Progress is
// called with the weeks done. docs/model.md (T15).
func (t *Twins) Learn(ctx context.Context, progress func(step string, done, of int)) error {
	l, err := t.learnedSoFar(ctx)
	if err != nil {
		return err
	}
	last := twin.WeekEnd(t.App.Now().Unix() / 3600)
	if l.Until >= last {
		return nil
	}
	known, err := t.App.then(ctx)
	if err != nil || known.first().IsZero() {
		return err
	}
	founded := twin.WeekEnd(known.first().Unix()/3600) + week // what was written down before the journal was begun is known from its first week on
	from := l.Until
	if from == 0 {
		from = max(t.firstWeek(known.at(time.Unix(founded*3600, 0)), founded), last-mostBack*week)
	}
	for end := from + week; end <= last; end += week {
		progress("weeks", int((end-from)/week)-1, int((last-from)/week))
		now := time.Unix(max(end, founded)*3600, 0)
		taught, err := t.lessons(ctx, known.at(now), now, end)
		if err != nil {
			return err
		}
		next := &learned{
			Until: end, Epochs: l.Epochs, Z: t.twin.Learn(l.Z, week/24, taught.lessons), Heat: t.twin.UsualHeat(l.Heat, taught.heat),
			Weeks: append(slices.Clip(l.Weeks), learnedWeek{end, taught.bins, len(taught.lessons)}),
		}
		if z, heat := next.inForce(t.kind.Load().deviates); moved(z, next.Z) || math.Abs(next.Heat-heat) > muchHeat {
			next.Epochs = append(slices.Clip(l.Epochs), learnedEpoch{end, next.Z, next.Heat})
		}
		data, err := json.Marshal(next)
		if err != nil {
			return err
		}
		if err := t.Kept.PutResults(ctx, learnedKind, now.Format(time.DateOnly), now, map[string][]byte{t.kind.Load().version: data}); err != nil {
			return err
		}
		if err := t.teach(next); err != nil {
			return err
		}
		l = next
	}
	return nil
}

// firstWeek gives the end of the week before the first bed that is known when the
// journal is begun.
func (t *Twins) firstWeek(s *farm.State, founded int64) int64 {
	first := founded - week
	for _, b := range s.Living() {
		first = min(first, twin.WeekEnd(b.Bed.At.Unix()/3600))
	}
	return max(first, founded-earlier*week)
}

// inForce gives the numbers that hold last.
func (l *learned) inForce(drawn [][]float64) (z [][]float64, heat float64) {
	if n := len(l.Epochs); n > 0 {
		return l.Epochs[n-1].Z, l.Epochs[n-1].Heat
	}
	return drawn, 0
}

// muchHeat is by how much the usual heat of a farm differs from that in force to
// be worth turning to, natural log.
const muchHeat = 0.03

// moved says whether numbers lie so far from those in force that they are worth
// turning to: a mean by a quarter of the spread it began with, or a spread by a
// quarter of itself.
func moved(old, now [][]float64) bool {
	const much = 0.25
	m0, s0 := twin.Moments(old)
	m1, s1 := twin.Moments(now)
	for k := range m0 {
		if math.Abs(m1[k]-m0[k]) > much || math.Abs(s1[k]-s0[k]) > much*s0[k] {
			return true
		}
	}
	return false
}

// taught is what a week taught.
type taught struct {
	lessons []twin.Lesson
	heat    []float64 // of the beds whose warmth was read, in order of their bins (twin.Ensemble.Warmer)
	bins    int       // with something to teach
}

// lessons gives what the week that ends at an hour taught, of the beds that live
// then.
func (t *Twins) lessons(ctx context.Context, s *farm.State, now time.Time, end int64) (out taught, err error) {
	air, err := t.airFor(s, now)
	if err != nil {
		return out, err
	}
	var mu sync.Mutex
	var snaps []Snap
	heat := map[string]float64{}
	err = Each(ctx, t, t.teachers(s, air, end), func(c *twin.Crew, x teacher) error {
		b, h := x.bin, x.history
		around := air.At(b.Slot.Barn, b.Slot.Level)
		e, _, err := t.recall(ctx, c, weekly, h, around, end)
		if err != nil {
			return err
		}
		if e == nil {
			e = c.Begin(h, around)
		}
		var of []twin.Lesson
		warmth := false
		c.Watch(func(n twin.News) {
			if l, ok := n.Lesson(); ok && n.Hour > end-week {
				of, warmth = append(of, l), warmth || n.Kind == twin.Temperature
			}
		})
		defer c.Watch(nil)
		if err := c.Advance(e, h, around, end, nil); err != nil {
			return fmt.Errorf("bin %s: %w", b.Name, err)
		}
		data := e.AppendBinary([]byte(pastHash(c, h, around, e.Hour, e.Taken)))
		fresh := []Snap{{Key: snapKey(h.Bin, weekly), Data: data}}
		if now := t.App.Now().Unix() / 3600; end <= youngAt(now) { // far behind, so that the round need not come this way again
			was, of, err := t.recall(ctx, c, young, h, around, end)
			if err != nil {
				return err
			}
			if was != nil {
				gives, err := t.giveWay(ctx, c, h, around, now, of)
				if err != nil {
					return err
				}
				fresh = append(fresh, gives...)
			}
			fresh = append(fresh, Snap{Key: snapKey(h.Bin, young), Data: data})
		}
		mu.Lock()
		defer mu.Unlock()
		snaps = append(snaps, fresh...)
		if len(of) > 0 {
			out.lessons = append(out.lessons, of...)
			out.bins++
		}
		if warmth {
			heat[b.Name] = e.Warmer()
		}
		return nil
	})
	if err != nil {
		return taught{}, err
	}
	for _, bin := range slices.Sorted(maps.Keys(heat)) {
		out.heat = append(out.heat, heat[bin])
	}
	slices.SortFunc(snaps, func(a, b Snap) int { return cmp.Compare(a.Key, b.Key) })
	return out, t.Kept.PutSnapshots(ctx, t.kind.Load().version, snaps)
}

// teacher is a bin with something to teach.
type teacher struct {
	bin     *farm.Bin
	history twin.History
	told    int // things that an instrument told in the week
}

// teachers gives the bins of which an instrument told most in the week that ends
// at an hour: a probe, a scale, a rule or a count. More bins than mostTeach would
// take long and teach little more; of those that are stabbed now and then a few do.
func (t *Twins) teachers(s *farm.State, air *Air, end int64) []teacher {
	var out []teacher
	for _, b := range s.Living() {
		h, _, ok := t.history(s, b, air)
		if !ok || h.Start.Hour >= end {
			continue
		}
		x := teacher{bin: b, history: h}
		for _, f := range t.twin.Found(&h) {
			if f.Hour > end-week && f.Hour <= end && f.Word == "" {
				x.told++
			}
		}
		if x.told > 0 {
			out = append(out, x)
		}
	}
	slices.SortFunc(out, func(a, b teacher) int {
		return cmp.Or(cmp.Compare(b.told, a.told), cmp.Compare(a.bin.Name, b.bin.Name))
	})
	for i, x := range out {
		if i == mostTeach || i >= mostRare && x.told < watched {
			return out[:i]
		}
	}
	return out
}

// Each does something with everything of a list on all processors, with the
// numbers that the twins run with, until one fails. The order is open.
func Each[T any](ctx context.Context, t *Twins, list []T, do func(c *twin.Crew, x T) error) error {
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for _, x := range list {
		g.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			c := t.borrow()
			defer t.giveBack(c)
			return do(c, x)
		})
	}
	return g.Wait()
}
