package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"wormyard/barn"
	"wormyard/climate"
	"wormyard/farm"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/round"
	"wormyard/twin"
)

// Twins keeps the twins of a farm's bins and makes rounds and outlooks of them.
// Methods that compute are long: they belong in a job. It is safe for use by
// several goroutines.
type Twins struct {
	App  *App
	Kept Kept
	Site Site
	// Scores is where forecasts held against readings are kept; nil where none are.
	Scores Scores

	numbers nature.Numbers // those of the worms apart, which are in kind
	probes  Probes
	params  indoors
	twin    twin.Parameters
	round   round.Parameters
	kind    atomic.Pointer[worms]

	mu      sync.Mutex
	crews   []*twin.Crew // not at work
	learned *learned
	epochs  []twin.Epoch // of the numbers that hold by what was learned
	views   map[string]*Outlook
	past    *Past
	years   *keptYears // the newest plan of a season and the one before
	last    *Made
	aired   keptAir
	heaped  struct { // of the farm as of a state and an air
		state *farm.State
		air   *Air
		of    *farm.Heaps
	}
	pace struct { // of the farm, as of so many entries and a day
		entries int
		day     time.Time
		list    []round.Pace
	}

	sheets sync.Mutex // of the printed rounds

	runs int // twins begun at the start of their bed, for tests: a restart must not
}

// NewTwins makes the twins of a farm. The error is the loader's.
func NewTwins(a *App, kept Kept) (*Twins, error) {
	t := &Twins{App: a, Kept: kept, views: map[string]*Outlook{}}
	var err error
	if t.numbers, err = nature.Load(); err != nil {
		return nil, err
	}
	if err := source.Load("twin", &t.twin); err != nil {
		return nil, err
	}
	if err := source.Load("indoors", &t.params); err != nil {
		return nil, err
	}
	if err := source.Load("round", &t.round); err != nil {
		return nil, err
	}
	if err := source.Load("probe", &t.probes); err != nil {
		return nil, err
	}
	if err := t.suit(); err != nil {
		return nil, err
	}
	a.Expect, a.ExpectWorms = t.expect, t.expectWorms
	return t, nil
}

func (t *Twins) borrow() *twin.Crew {
	_, _ = t.learnedSoFar(context.Background()) // where it cannot be read, Learn says so
	t.mu.Lock()
	defer t.mu.Unlock()
	var c *twin.Crew
	if n := len(t.crews); n > 0 {
		c, t.crews = t.crews[n-1], t.crews[:n-1]
	} else {
		c = twin.NewCrew(t.twin, t.kind.Load().draws, twinSeed)
	}
	c.Turn(t.epochs)
	return c
}

func (t *Twins) giveBack(c *twin.Crew) {
	t.mu.Lock()
	t.crews = append(t.crews, c)
	t.mu.Unlock()
}

// Made is a round as computed, kept whole: the list is written from it whenever
// it is shown, so that one bin's news changes one item.
type Made struct {
	Day     string       `json:"day"`
	At      time.Time    `json:"at"`
	Seconds float64      `json:"seconds"`
	Items   []round.Item `json:"items"`
	Made    round.Made   `json:"made"`
	Version string       `json:"version"`
	Rules   string       `json:"rules,omitempty"`  // of the farm that it keeps to
	Priced  *Priced      `json:"priced,omitempty"` // the habits of the farm
}

// horizon is how far ahead things are computed [day].
const horizon = 15

// MakeRound computes the round of today for every bin, with an outlook of each.
// It keeps both. Progress is called with what is done and how many there are.
func (t *Twins) MakeRound(ctx context.Context, progress func(step string, done, of int)) (*Made, error) {
	began := time.Now()
	if err := t.suit(); err != nil {
		return nil, err
	}
	if err := t.Learn(ctx, progress); err != nil {
		return nil, err
	}
	s, now := t.App.State(), t.App.Now()
	made := &Made{Day: now.Format(time.DateOnly), At: now, Version: t.kind.Load().rounds, Rules: rules(s.Settings.Habits)}
	views, prices := map[string]*Outlook{}, map[string]round.Price{}
	take := func(x part) {
		made.Items, views[x.View.Bin] = append(made.Items, x.Item), x.View
		if x.Price != nil {
			prices[x.View.Bin] = *x.Price
		}
	}
	bins := s.Living()
	of := len(bins)
	parts, err := t.partsOf(ctx, s, now, made.Rules)
	if err != nil {
		return nil, err
	}
	todo := make([]*farm.Bin, 0, of)
	for _, b := range bins { // what was done before a restart is not done again
		if x, ok := parts.done(ctx, b.Name); ok {
			take(x)
		} else {
			todo = append(todo, b)
		}
	}
	bins = todo
	n := of - len(bins)
	progress("air", n, of) // with what is done, as the time that is left is reckoned from here
	air, err := t.airFor(s, now)
	if err != nil {
		return nil, err
	}
	mixes, held := t.mixes(s, air, now)
	before, err := t.saidBefore(ctx, now)
	if err != nil {
		return nil, err
	}
	asked := t.suspects(s, now)
	priced, price, err := t.toPrice(ctx, s, now)
	if err != nil {
		return nil, err
	}
	progress("bins", n, of)
	var mu sync.Mutex // of what was made
	var snaps []Snap
	err = Each(ctx, t, bins, func(c *twin.Crew, b *farm.Bin) error {
		x := besides{suspect: asked[b.Name], gaps: price[b.Name]}
		item, view, fresh, err := t.binSafely(ctx, c, s, b, air, now, mixes, before, &x)
		mu.Lock()
		defer mu.Unlock()
		n++
		progress("bins", n, of)
		if err != nil {
			return err
		}
		p := part{Item: item, View: view, Price: x.price}
		take(p)
		if err := parts.keep(p); err != nil {
			return err
		}
		if snaps = append(snaps, fresh...); len(snaps) > 60 {
			err = t.Kept.PutSnapshots(ctx, t.kind.Load().version, snaps)
			snaps = snaps[:0]
		}
		return err
	})
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return nil, errors.Join(err, parts.flush())
	}
	slices.SortFunc(made.Items, func(a, b round.Item) int { return barn.Natural(a.Bin, b.Bin) })
	if made.Priced = priced; len(price) > 0 {
		made.Priced = t.priced(s, now, prices)
	}
	made.Made = t.frame(s, air, now, mixes, held)
	made.Made.Notes = append(HabitCosts(s, made.Priced), made.Made.Notes...)
	made.Made.Piles = t.piles(s, air, now)
	made.Seconds = time.Since(began).Seconds()
	if err := t.Kept.PutSnapshots(ctx, t.kind.Load().version, snaps); err != nil {
		return nil, err
	}
	if err := t.keepPast(ctx, s, air, now, views); err != nil {
		return nil, err
	}
	if err := t.keep(ctx, made, views, true); err != nil {
		return nil, err
	}
	return made, parts.made(ctx)
}

// leadHours is how long before the oldest bed the air is followed: until a barn
// has forgotten how it was begun, and a few days of it were read.
const leadHours = 14 * 24

// airFor gives the air from before the oldest living bed to the horizon, so that
// every bin of a farm sees the same.
func (t *Twins) airFor(s *farm.State, now time.Time) (*Air, error) {
	hour := now.Unix() / 3600
	from := hour - 24
	for _, b := range s.Living() {
		from = min(from, b.Bed.At.Unix()/3600-leadHours)
	}
	return t.air(s, from, hour+horizon*24, now)
}

// keep stores a round and outlooks and shows them from now on.
func (t *Twins) keep(ctx context.Context, m *Made, views map[string]*Outlook, all bool) error {
	data, err := json.Marshal(m)
	if err != nil {
		return err
	}
	if err := t.Kept.PutResults(ctx, "round", m.Day, m.At, map[string][]byte{"farm": data}); err != nil {
		return err
	}
	rows := map[string][]byte{}
	for bin, v := range views {
		if rows[bin], err = json.Marshal(v); err != nil {
			return err
		}
	}
	if err := t.Kept.PutResults(ctx, "outlook", m.Day, m.At, rows); err != nil {
		return err
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.last = m
	if all {
		t.views = map[string]*Outlook{}
	}
	for bin, v := range views {
		t.views[bin] = v
	}
	return nil
}

// Last gives the newest round, nil when none was made.
func (t *Twins) Last(ctx context.Context) (*Made, error) {
	t.mu.Lock()
	m := t.last
	t.mu.Unlock()
	if m != nil {
		return m, nil
	}
	data, _, ok, err := t.Kept.Result(ctx, "round", "farm")
	if err != nil || !ok {
		return nil, err
	}
	m = new(Made)
	if err := json.Unmarshal(data, m); err != nil {
		return nil, nil // of an older make: it is made anew
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.last = m
	return m, nil
}

// List writes the newest round for a reader; false when none was made.
func (t *Twins) List(ctx context.Context, w round.Words) (round.List, bool, error) {
	m, err := t.Last(ctx)
	if err != nil || m == nil {
		return round.List{}, false, err
	}
	in := m.Made
	in.Items = m.Items
	l := t.round.Write(in)
	l.Seconds, l.Params = m.Seconds, m.Version
	l.Speak(w)
	return l, true, nil
}

// Stale says whether the newest round is of another day, or was made with other
// numbers or under other habits of the farm.
func (t *Twins) Stale(ctx context.Context) bool {
	m, err := t.Last(ctx)
	return err != nil || m == nil || m.Day != t.App.Now().Format(time.DateOnly) || m.Version != t.kind.Load().rounds || t.kind.Load().species != speciesOf(t.App.State()) || m.Rules != rules(t.App.State().Settings.Habits)
}

// Outlook gives what is likely in a bin; nil when nothing has been computed.
func (t *Twins) Outlook(ctx context.Context, bin string) (*Outlook, error) {
	t.mu.Lock()
	v := t.views[bin]
	t.mu.Unlock()
	if v != nil {
		return v, nil
	}
	data, _, ok, err := t.Kept.Result(ctx, "outlook", bin)
	if err != nil || !ok {
		return nil, err
	}
	v = new(Outlook)
	if err := json.Unmarshal(data, v); err != nil {
		return nil, nil // of an older make
	}
	t.mu.Lock()
	t.views[bin] = v
	t.mu.Unlock()
	return v, nil
}

// binSafely is bin; where it breaks down it takes nothing with it but the round.
func (t *Twins) binSafely(ctx context.Context, c *twin.Crew, s *farm.State, b *farm.Bin, air *Air, now time.Time, mixes []round.Mix, before lastSaid, x *besides) (item round.Item, view *Outlook, snaps []Snap, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("bin %s broke down: %v\n%s", b.Name, r, debug.Stack())
		}
	}()
	return t.bin(ctx, c, s, b, air, now, mixes, before, x)
}

// bin computes one bin: its twins to now, its item and its outlook.
func (t *Twins) bin(ctx context.Context, c *twin.Crew, s *farm.State, b *farm.Bin, air *Air, now time.Time, mixes []round.Mix, before lastSaid, x *besides) (round.Item, *Outlook, []Snap, error) {
	if err := ctx.Err(); err != nil {
		return round.Item{}, nil, nil, err
	}
	h, notes, ok := t.history(s, b, air)
	if !ok {
		return round.Item{}, nil, nil, fmt.Errorf("bin %s has no bed", b.Name)
	}
	around := air.At(b.Slot.Barn, b.Slot.Level)
	hour := now.Unix() / 3600
	past := days{least: hour - pastDays*24}
	var heard listener
	c.Watch(heard.hear)
	e, snaps, err := t.ensemble(ctx, c, h, around, hour, past.see)
	c.Watch(nil)
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	trier := round.Trier{P: t.round.Paced(t.Paces(s, now)), Crew: c}
	var doubt *Perhaps
	if x.suspect != nil {
		if e, doubt, err = t.bothWays(ctx, c, t.heaps(s, air), x.suspect, h, snaps, around, hour, e, &past); err != nil {
			return round.Item{}, nil, nil, err
		}
	}
	asked := t.caseOf(s, b, h, e, around, now, mixes)
	rests := restsOn(h, &asked, s.AnsweredSince(now.AddDate(0, 0, -int(t.round.AskDays)-1))[b.Name])
	asked.Was = before.of(b.Name, rests)
	item, err := trier.Bin(asked)
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	item.RestsOn, item.Asked = rests, x.suspect
	if doubt != nil {
		item.Why = append(item.Why, x.suspect.Perhaps())
	}
	if x.gaps != nil {
		p, ok, err := trier.Price(asked, x.gaps)
		if err != nil {
			return round.Item{}, nil, nil, err
		}
		if ok {
			x.price = &p
		}
	}
	view, err := t.outlook(c, b, asked.Above, h, e, around, now)
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	if len(view.Helps) > 0 {
		item.Tells = view.Helps[0]
	}
	view.Perhaps = doubt
	view.Says, view.Past, view.Learned = andNow(notes, view, b.Box.Depth), past.ranges(), heard.last(h.Box, hour)
	return item, view, snaps, nil
}

// history gives the history of a bin's bed with how well its air is known.
func (t *Twins) history(s *farm.State, b *farm.Bin, air *Air) (twin.History, []string, bool) {
	h, notes, ok := t.heaps(s, air).History(b.Name, &t.kind.Load().bed)
	if !air.read[b.Slot.Barn] {
		h.AirSD = t.params.BarnAirSD
	}
	for i := range h.Readings {
		r := &h.Readings[i]
		r.TempSD, r.WaterSD = float64(t.probes.Temp(r.Probe)), t.probes.Water
	}
	return h, notes, ok
}

func (t *Twins) caseOf(s *farm.State, b *farm.Bin, h twin.History, e *twin.Ensemble, air climate.Series, now time.Time, mixes []round.Mix) round.Case {
	by := t.habitOf(s, b, now)
	c := round.Case{
		Bin: b.Name, Place: s.Called(b), Barn: b.Slot.Barn, Row: b.Slot.Row, Stack: b.Slot.Stack, Level: b.Slot.Level, Above: len(s.Places().Above(b.Name)),
		History: h, Ensemble: e, Air: air, Now: now.Unix() / 3600, Mixes: mixes,
		Visit: by.next, Due: by.due, Waits: by.waits, Seen: lastTouched(b.Bed), EveryDays: by.every, LastFed: by.fed, LastDepthM: by.depth, OffDay: by.off,
	}
	if n := len(b.Bed.Looks); n > 0 {
		c.LastLook = b.Bed.Looks[n-1].At.Unix() / 3600
	}
	c.MostM = float64(s.Settings.Habits.FeedMost)
	if r := b.Bed.Rest; r != nil {
		c.Held = round.Held{Since: r.At.Unix() / 3600, Why: r.Why}
	}
	if since, until, apart := s.Apart(b, now); apart {
		c.Apart = round.Apart{Since: since.Unix() / 3600, Until: until.Unix() / 3600}
	}
	return c
}

// frame gives what a round says beside its items and its piles.
func (t *Twins) frame(s *farm.State, air *Air, now time.Time, mixes []round.Mix, held []round.Phrase) round.Made {
	m := round.Made{Day: now.Format(time.DateOnly), At: now, Mixes: mixes, Weather: round.Weather(air.Outside.Days, air.Outside.Warnings, dayNumber(now))}
	for _, b := range s.Living() {
		m.Bedded = append(m.Bedded, round.Bedded{Bin: b.Name, Place: s.Called(b), Barn: b.Slot.Barn, Row: b.Slot.Row})
	}
	note := func(key string, args ...round.Arg) { m.Notes = append(m.Notes, round.Phrase{Key: key, Args: args}) }
	if len(mixes) == 0 {
		if m.Want = t.want(s, now); m.Want != nil {
			note("note.nomix")
		}
	}
	m.Notes = append(m.Notes, held...)
	if n := len(s.Doubts()); n > 0 {
		note("note.doubts", round.Arg{Of: "count", V: float64(n)})
	}
	for _, n := range air.Notes {
		note("note.plain", round.Arg{Of: "text", S: n})
	}
	note("note.tries")
	return m
}
