package app

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"wormyard/barn"
	"wormyard/bed"
	"wormyard/climate"
	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/round"
	"wormyard/twin"
)

// Kept is where computed things are kept between runs; internal/sqlite is one
// through KeepIn. Everything in it may be thrown away.
type Kept interface {
	Snapshot(ctx context.Context, key, hash, version string) ([]byte, bool, error)
	PutSnapshots(ctx context.Context, version string, snaps []Snap) error
	Result(ctx context.Context, kind, subject string) (data []byte, made time.Time, ok bool, err error)
	PutResults(ctx context.Context, kind, day string, made time.Time, bySubject map[string][]byte) error
}

// Snap is one stored ensemble.
type Snap struct {
	Key, Hash string
	Data      []byte
}

// TwinSettings are the numbers of this layer. Values are data.
type TwinSettings struct {
	BinHeatW      float64 `param:"bin_heat_w" unit:"W"`            // given to the barn by one bin
	BinWaterKgDay float64 `param:"bin_water_kg_day" unit:"kg/day"` // the same, as vapour
	BarnBinM3     float64 `param:"barn_m3_per_bin" unit:"m3"`      // of a barn nobody measured
	BarnAirSD     float64 `param:"barn_air_sd_c" unit:"C"`         // of the air of a barn that nobody reads
}

// Twins keeps the twins of a farm's bins and makes rounds and outlooks of them.
// Methods that compute are long: they belong in a job. It is safe for use by
// several goroutines.
type Twins struct {
	App  *App
	Kept Kept
	Site Site

	numbers nature.Numbers
	params  TwinSettings
	twin    twin.Parameters
	round   round.Parameters
	draws   []bed.Parameters
	version string

	mu    sync.Mutex
	crews []*twin.Crew // not at work
	views map[string]*Outlook
	last  *Made
	aired keptAir
	runs  int // twins begun at the start of their bed, for tests: a restart must not
}

// twinSeed is behind everything drawn for twins; modelMake is raised when the
// code of the bed or of the twins computes something else from the same numbers.
// Both are part of the version of what is stored.
const (
	twinSeed  = 20240303
	modelMake = 2
)

// uncertain are the numbers of nature in which members differ: rates, transport
// and the worms' ways. Limits, reference points and how a bed of unknown age is
// guessed are the same in all.
var uncertain = []string{
	"conductivity_share", "cloth_u_w_m2k", "film_u_w_m2k", "air_u_w_m2k", "floor_u_w_m2k", "under_air_u_w_m2k", "under_bin_u_w_m2k", "over_share", "wall_u_w_m2k",
	"cloth_permeance", "cover_leak_m_s", "air_h_w_m2k", "dry_surface",
	"holds_fibre_kg_kg", "holds_woody_kg_kg", "holds_cast_kg_kg", "spread_kg_m_day", "drain_hours",
	"quick_rate_per_day", "slow_rate_per_day", "woody_rate_per_day", "cast_rate_per_day", "oxygen_heat_mj_kg", "nitrogen_lack", "microbe_efficiency",
	"hole_path_m", "draft_share", "fibre_bulk_kg_m3", "woody_bulk_kg_m3", "cast_bulk_kg_m3", "settle_days", "settle_load_pa",
	"slow_taste", "food_half_kg_kg", "shift_hours", "gut_loss",
	"growth_per_day", "grown_g", "maturation_days", "laying_per_day", "intake_kg_kg_day", "maintenance_frac", "tissue_yield", "shrink_per_day",
	"crowd_from_kg_m2", "crowd_full_kg_m2", "hatch_frac", "young_per_cocoon", "adult_death_per_day", "young_death_per_day",
}

// NewTwins makes the twins of a farm. The error is the loader's.
func NewTwins(a *App, kept Kept) (*Twins, error) {
	t := &Twins{App: a, Kept: kept, views: map[string]*Outlook{}}
	var err error
	if t.numbers, err = nature.Load(); err != nil {
		return nil, err
	}
	var both struct {
		Twin twin.Parameters
		Here TwinSettings
	}
	if err := source.Load("twin", &both); err != nil {
		return nil, err
	}
	t.twin, t.params = both.Twin, both.Here
	if err := source.Load("round", &t.round); err != nil {
		return nil, err
	}
	knobs, err := knobs(&t.numbers.Bed)
	if err != nil {
		return nil, err
	}
	t.draws = twin.Draws(&t.numbers.Bed, knobs, twinSeed)
	h := sha256.New()
	fmt.Fprintf(h, "%d %d %+v %+v %+v %+v", modelMake, twinSeed, t.draws, t.twin, t.params, t.numbers.Climate)
	t.version = hex.EncodeToString(h.Sum(nil)[:12])
	return t, nil
}

// knobs joins the names in uncertain with their ranges and their fields.
func knobs(p *bed.Parameters) ([]twin.Knob, error) {
	var out []twin.Knob
	for _, file := range []string{"bed", "worm"} {
		list, err := source.Parameters(file)
		if err != nil {
			return nil, err
		}
		for _, e := range list {
			if slices.Contains(uncertain, e.Name) && e.Value != nil && e.Low != nil {
				name := e.Name
				if field(reflect.ValueOf(p).Elem(), name) == nil {
					return nil, fmt.Errorf("the twins vary %s, which a bed does not have", name)
				}
				out = append(out, twin.Knob{Name: name, Range: e.Estimate(), Field: func(p *bed.Parameters) *float64 { return field(reflect.ValueOf(p).Elem(), name) }})
			}
		}
	}
	if len(out) != len(uncertain) {
		return nil, fmt.Errorf("%d of the %d numbers that the twins vary have a range", len(out), len(uncertain))
	}
	return out, nil
}

// field finds the number of a parameter struct that a tag names, nil when none does.
func field(v reflect.Value, name string) *float64 {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.Tag.Get("param") == name {
			p, _ := v.Field(i).Addr().Interface().(*float64)
			return p
		}
		if f.Type.Kind() == reflect.Struct && f.IsExported() {
			if p := field(v.Field(i), name); p != nil {
				return p
			}
		}
	}
	return nil
}

func (t *Twins) borrow() *twin.Crew {
	t.mu.Lock()
	defer t.mu.Unlock()
	if n := len(t.crews); n > 0 {
		c := t.crews[n-1]
		t.crews = t.crews[:n-1]
		return c
	}
	return twin.NewCrew(t.twin, t.draws, twinSeed)
}

func (t *Twins) giveBack(c *twin.Crew) {
	t.mu.Lock()
	t.crews = append(t.crews, c)
	t.mu.Unlock()
}

// A bed's twins are stored twice: young, some weeks back, from where every round
// goes on, and old, for entries that come late. Later than both, the twins run
// from the start of the bed again.
const (
	young = "young"
	old   = "old"

	youngDays = pastDays + 1  // back from now a young one is stored
	renewDays = 2 * youngDays // a young one older than this is stored anew
	keepDays  = 3 * renewDays // an old one older than this gives way
	pastDays  = 14            // of an outlook are behind it
)

func snapKey(bin, which string) string { return "twin/" + which + "/" + bin }

// recall gives the stored ensemble of a bed if everything it rests on is as it
// was: the start, the acts, the looks and the air up to its hour.
func (t *Twins) recall(ctx context.Context, which string, h twin.History, air climate.Series, now int64) (*twin.Ensemble, []byte, error) {
	data, ok, err := t.Kept.Snapshot(ctx, snapKey(h.Bin, which), "", t.version)
	if err != nil || !ok || len(data) < hashLen {
		return nil, nil, err
	}
	e, err := twin.Decode(data[hashLen:])
	if err != nil || e.Bin != h.Bin || e.Hour > now || string(data[:hashLen]) != pastHash(h, air, e.Hour, e.Looks) {
		return nil, nil, nil
	}
	return e, data, nil
}

// ensemble brings the twins of a bed to now, from a stored state or from the
// bed's start, and gives the states worth storing. It tells seen of the last days.
func (t *Twins) ensemble(ctx context.Context, c *twin.Crew, h twin.History, air climate.Series, now int64, seen twin.Seen) (*twin.Ensemble, []Snap, error) {
	at := (now/24 - youngDays) * 24
	e, data, err := t.recall(ctx, young, h, air, at)
	if err != nil {
		return nil, nil, err
	}
	var snaps []Snap
	if e == nil {
		if e, _, err = t.recall(ctx, old, h, air, at); err != nil {
			return nil, nil, err
		}
	} else if now-e.Hour > renewDays*24 {
		if o, _, err := t.recall(ctx, old, h, air, at); err != nil {
			return nil, nil, err
		} else if o == nil || now-o.Hour > keepDays*24 {
			snaps = append(snaps, Snap{Key: snapKey(h.Bin, old), Data: data})
		}
		data = nil
	}
	if e == nil {
		e = c.Begin(h, air)
		t.mu.Lock()
		t.runs++
		t.mu.Unlock()
	}
	if data == nil && e.Hour < at {
		if err := c.Advance(e, h, air, at, nil); err != nil {
			return nil, nil, err
		}
		snaps = append(snaps, Snap{Key: snapKey(h.Bin, young), Data: e.AppendBinary([]byte(pastHash(h, air, e.Hour, e.Looks)))})
	}
	return e, snaps, c.Advance(e, h, air, now, seen)
}

const hashLen = 2 * sha256.Size // in hexadecimal digits

// pastHash names everything an ensemble at an hour rests on: the bed's start,
// the acts and looks up to then, and the air.
func pastHash(h twin.History, air climate.Series, until int64, looks int) string {
	d := sha256.New()
	fmt.Fprintf(d, "%s|%+v|%+v|%g|%d|", h.Bin, h.Box, h.Start, h.AirSD, until)
	for _, a := range h.Acts {
		if a.Hour < until {
			fmt.Fprintf(d, "%+v|", a)
		}
	}
	for i, l := range h.Looks {
		if i < looks || l.Hour < until {
			fmt.Fprintf(d, "%+v|", l)
		}
	}
	hashAir(d, air, h.Start.Hour, until)
	return hex.EncodeToString(d.Sum(nil))
}

func hashAir(d hash.Hash, air climate.Series, from, until int64) {
	var b [16]byte
	for t := from; t < until; t++ {
		x := air.At(t)
		binary.LittleEndian.PutUint64(b[:], math.Float64bits(x.TempC))
		binary.LittleEndian.PutUint64(b[8:], math.Float64bits(x.RH))
		d.Write(b[:])
	}
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
}

// horizon is how far ahead things are computed [day].
const horizon = 15

// MakeRound computes the round of today for every bin, with an outlook of each.
// It keeps both. Progress is called with what is done and how many there are.
func (t *Twins) MakeRound(ctx context.Context, progress func(step string, done, of int)) (*Made, error) {
	began := time.Now()
	s, now := t.App.State(), t.App.Now()
	bins := s.Living()
	progress("air", 0, len(bins))
	air, err := t.airFor(s, now)
	if err != nil {
		return nil, err
	}
	mixes, held := t.mixes(s, now)
	type done struct {
		item  round.Item
		view  *Outlook
		snaps []Snap
		err   error
	}
	jobs, results := make(chan *farm.Bin), make(chan done)
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var workers sync.WaitGroup
	for range max(1, runtime.GOMAXPROCS(0)) {
		workers.Add(1)
		go func() {
			defer workers.Done()
			c := t.borrow()
			defer t.giveBack(c)
			for b := range jobs {
				var d done
				d.item, d.view, d.snaps, d.err = t.bin(ctx, c, s, b, air, now, mixes)
				results <- d
			}
		}()
	}
	go func() {
		defer close(jobs)
		for _, b := range bins {
			select {
			case jobs <- b:
			case <-ctx.Done():
				return
			}
		}
	}()
	go func() { workers.Wait(); close(results) }()
	made := &Made{Day: now.Format(time.DateOnly), At: now, Version: t.version}
	views, failed := map[string]*Outlook{}, error(nil)
	var snaps []Snap
	n := 0
	for d := range results {
		n++
		progress("bins", n, len(bins))
		if d.err != nil {
			if failed == nil {
				failed = d.err
				cancel()
			}
			continue
		}
		made.Items, views[d.view.Bin] = append(made.Items, d.item), d.view
		if snaps = append(snaps, d.snaps...); len(snaps) > 60 {
			if err := t.Kept.PutSnapshots(ctx, t.version, snaps); err != nil && failed == nil {
				failed = err
				cancel()
			}
			snaps = snaps[:0]
		}
	}
	if failed != nil {
		return nil, failed
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	slices.SortFunc(made.Items, func(a, b round.Item) int { return barn.Natural(a.Bin, b.Bin) })
	made.Made = t.frame(s, air, now, mixes, held)
	made.Made.Piles = t.piles(s, air, now)
	made.Seconds = time.Since(began).Seconds()
	if err := t.Kept.PutSnapshots(ctx, t.version, snaps); err != nil {
		return nil, err
	}
	return made, t.keep(ctx, made, views, true)
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

// RemakeBin computes the item and the outlook of one bin again, after news of
// it. It does nothing when no round was made yet.
func (t *Twins) RemakeBin(ctx context.Context, name string) error {
	last, err := t.Last(ctx)
	if err != nil || last == nil {
		return err
	}
	s, now := t.App.State(), t.App.Now()
	made := *last
	made.Items = slices.DeleteFunc(slices.Clone(made.Items), func(it round.Item) bool { return it.Bin == name })
	views := map[string]*Outlook{}
	air, err := t.airFor(s, now)
	if err != nil {
		return err
	}
	mixes, held := t.mixes(s, now)
	if b, ok := s.Bin(name); ok && b.Bed != nil {
		c := t.borrow()
		defer t.giveBack(c)
		item, view, snaps, err := t.bin(ctx, c, s, b, air, now, mixes)
		if err != nil {
			return err
		}
		if err := t.Kept.PutSnapshots(ctx, t.version, snaps); err != nil {
			return err
		}
		made.Items, views[name] = append(made.Items, item), view
		slices.SortFunc(made.Items, func(a, b round.Item) int { return barn.Natural(a.Bin, b.Bin) })
	}
	piles := made.Made.Piles
	made.Made = t.frame(s, air, now, mixes, held)
	made.Made.Piles = piles // news of a bin is none of a pile
	return t.keep(ctx, &made, views, false)
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
// numbers.
func (t *Twins) Stale(ctx context.Context) bool {
	m, err := t.Last(ctx)
	return err != nil || m == nil || m.Day != t.App.Now().Format(time.DateOnly) || m.Version != t.version
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

// bin computes one bin: its twins to now, its item and its outlook.
func (t *Twins) bin(ctx context.Context, c *twin.Crew, s *farm.State, b *farm.Bin, air *Air, now time.Time, mixes []round.Mix) (round.Item, *Outlook, []Snap, error) {
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
	e, snaps, err := t.ensemble(ctx, c, h, around, hour, past.see)
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	trier := round.Trier{P: t.round, Crew: c}
	item, err := trier.Bin(t.caseOf(s, b, h, e, around, now, mixes))
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	view, err := t.outlook(c, b, h, e, around, now)
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	view.Says, view.Past = notes, past.ranges()
	return item, view, snaps, nil
}

// history gives the history of a bin's bed with how well its air is known.
func (t *Twins) history(s *farm.State, b *farm.Bin, air *Air) (twin.History, []string, bool) {
	h, notes, ok := s.History(b.Name, &t.numbers.Bed)
	if !air.read[b.Slot.Barn] {
		h.AirSD = t.params.BarnAirSD
	}
	return h, notes, ok
}

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

func (t *Twins) caseOf(s *farm.State, b *farm.Bin, h twin.History, e *twin.Ensemble, air climate.Series, now time.Time, mixes []round.Mix) round.Case {
	by := t.habitOf(s, b, now)
	c := round.Case{
		Bin: b.Name, Place: s.Called(b), Barn: b.Slot.Barn, Row: b.Slot.Row, Stack: b.Slot.Stack, Level: b.Slot.Level, Above: len(s.Places().Above(b.Name)),
		History: h, Ensemble: e, Air: air, Now: now.Unix() / 3600, Mixes: mixes,
		Visit: by.next, Due: by.due, Waits: by.waits, EveryDays: by.every, LastFed: by.fed, LastDepthM: by.depth,
	}
	if n := len(b.Bed.Looks); n > 0 {
		c.LastLook = b.Bed.Looks[n-1].At.Unix() / 3600
	}
	return c
}

// mostMixes is how many mixes are tried on each bin.
const mostMixes = 3

// mixes gives the batches in the yard that may be fed, those with most matter
// left first, and in words why others may not.
func (t *Twins) mixes(s *farm.State, now time.Time) (out []round.Mix, held []round.Phrase) {
	for _, b := range s.Feeding() {
		left := b.Left()
		if left.Volume <= leastMix || left.Dry <= 0 || b.Purpose == "starting bed" || b.Purpose == "bedding" || b.Purpose == "hot pile" {
			continue
		}
		if now.Sub(b.At) > staleMix && now.Sub(b.Last) > staleMix {
			continue // used up by feedings that nobody wrote down
		}
		if why := forbids(s, b, now); why != "" {
			held = append(held, round.Phrase{Key: "note.held", Args: []round.Arg{{Of: "text", S: b.Name}, {Of: "text", S: why}}})
			continue
		}
		out = append(out, round.Mix{Batch: b.Name, PerM3: left.Times(1 / float64(left.Volume)), LeftM3: float64(left.Volume)})
	}
	slices.SortStableFunc(out, func(a, b round.Mix) int { return cmp.Compare(b.LeftM3, a.LeftM3) })
	return out[:min(len(out), mostMixes)], held
}

// staleMix is how long a batch that nobody fed from is still taken to lie there.
const staleMix = 21 * 24 * time.Hour

// leastMix is what the loader cannot scrape together [m3].
const leastMix = 0.02

// forbids says in words why a batch may not be fed: a pile it came from is held,
// or what lies in it harms worms. A weed killer that nobody tested for harms the
// buyer's plants and holds the castings, not the feed.
func forbids(s *farm.State, b *farm.Batch, now time.Time) string {
	for _, part := range b.Parts {
		p, ok := s.Pile(part.Pile)
		if !ok {
			continue
		}
		if p.Hold != nil {
			return strings.TrimSuffix("pile "+p.Name+" is on hold: "+p.HoldWhy, ": ") + "."
		}
		age := now.Sub(p.Newest.At).Hours() / 24
		share := float64(part.Share)
		facts := feedstock.Facts{AgeDays: &age, ShareOfMix: &share, Tests: map[string]feedstock.Outcome{}}
		if dosed, err := time.ParseInLocation(time.DateOnly, p.DosedOn, s.Zone()); err == nil {
			days := now.Sub(dosed).Hours() / 24
			facts.DosedDaysAgo = &days
		} else { // no later than the day it came
			facts.DosedDaysAgo = &age
		}
		for _, lies := range p.Holds {
			if lies.Material.Name != part.Material && len(p.Holds) > 1 {
				continue
			}
			for _, h := range feedstock.Screen(lies.Material, p.Declared, facts) {
				if h.Level != feedstock.LevelWarn && h.Test != feedstock.TestBioassay {
					return fmt.Sprintf("%s in pile %s. %s", h.What, p.Name, h.Clears)
				}
			}
		}
	}
	return ""
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

// want says what to mix when nothing mixed is left: enough of the last feed for
// all bins that are due.
func (t *Twins) want(s *farm.State, now time.Time) *round.Want {
	w := new(round.Want)
	depth := float64(s.FarmHabit().Depth)
	if depth <= 0 {
		depth = t.App.Usual().FeedDepth
	}
	for _, b := range s.Living() {
		if h := t.habitOf(s, b, now); h.due && h.waits == 0 {
			w.Bins++
			w.M3 += depth * float64(b.Box.Area())
		}
	}
	if w.Bins == 0 {
		return nil
	}
	for _, b := range s.Batches() {
		if !b.Known || len(b.Parts) == 0 || strings.Contains(b.Purpose, "bed") || forbids(s, b, now) != "" {
			continue
		}
		w.Like = b.Name
		var all float64
		for _, p := range b.Parts {
			all += float64(p.Matter.Volume)
		}
		if made := float64(b.Made.Volume); all > 0 && made > 0 {
			for _, p := range b.Parts {
				w.Parts = append(w.Parts, round.Part{Pile: p.Pile, M3: w.M3 * float64(p.Matter.Volume) / made})
			}
		}
		break
	}
	return w
}
