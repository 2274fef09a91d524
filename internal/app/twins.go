package app

import (
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
	"sync"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/farm"
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
	made  map[string]standing
	views map[string]*Outlook
	last  *Made
	gone  map[string]bool // bins written about since their item was made
}

// standing is the ensemble of a bin as last computed, and of what.
type standing struct {
	hash string
	e    *twin.Ensemble
}

// twinSeed is behind everything drawn for twins; modelMake is raised when the
// code of the bed or of the twins computes something else from the same numbers.
// Both are part of the version of what is stored.
const (
	twinSeed  = 20240303
	modelMake = 1
)

// uncertain are the numbers of nature in which members differ: rates, transport
// and the worms' ways. Limits, reference points and how a bed of unknown age is
// guessed are the same in all.
var uncertain = []string{
	"conductivity_share", "cloth_u_w_m2k", "film_u_w_m2k", "air_u_w_m2k", "cover_leak_m_s", "air_h_w_m2k",
	"holds_fibre_kg_kg", "holds_cast_kg_kg", "spread_kg_m_day", "drain_hours",
	"quick_rate_per_day", "slow_rate_per_day", "woody_rate_per_day", "cast_rate_per_day", "oxygen_heat_mj_kg", "nitrogen_lack",
	"hole_path_m", "fibre_bulk_kg_m3", "slow_taste", "food_half_kg_kg", "shift_hours",
	"growth_per_day", "laying_per_day", "intake_kg_kg_day", "crowd_full_kg_m2", "hatch_frac",
}

// NewTwins makes the twins of a farm. The error is the loader's.
func NewTwins(a *App, kept Kept) (*Twins, error) {
	t := &Twins{App: a, Kept: kept, made: map[string]standing{}, views: map[string]*Outlook{}, gone: map[string]bool{}}
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
	fmt.Fprintf(h, "%d %d %+v %+v %+v", modelMake, twinSeed, t.draws, t.twin, t.params)
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

// ensemble brings the twins of a bed to now: from memory, from a snapshot, or
// from the bed's start. It gives the snapshots worth keeping.
func (t *Twins) ensemble(ctx context.Context, c *twin.Crew, h twin.History, air climate.Series, now int64) (*twin.Ensemble, []Snap, error) {
	t.mu.Lock()
	s, ok := t.made[h.Bin]
	t.mu.Unlock()
	if ok && s.e.Hour <= now && s.hash == pastHash(h, air, s.e.Hour, s.e.Looks) {
		e := s.e.Clone()
		if err := c.Advance(e, h, air, now, nil); err != nil {
			return nil, nil, err
		}
		return e, nil, t.stand(h, air, e)
	}
	var e *twin.Ensemble
	for _, age := range snapAges {
		data, ok, err := t.Kept.Snapshot(ctx, snapKey(h.Bin, age), "", t.version)
		if err != nil {
			return nil, nil, err
		}
		if !ok || len(data) < 64 {
			continue
		}
		stored, err := twin.Decode(data[64:])
		if err != nil || stored.Hour > now || string(data[:64]) != pastHash(h, air, stored.Hour, stored.Looks) {
			continue
		}
		e = stored
		break
	}
	if e == nil {
		e = c.Begin(h, air)
	}
	var snaps []Snap
	for i := len(snapAges) - 1; i >= 0; i-- {
		at := (now/24 - snapAges[i]) * 24
		if i == 0 {
			at = now
		}
		if e.Hour >= at {
			continue
		}
		if err := c.Advance(e, h, air, at, nil); err != nil {
			return nil, nil, err
		}
		hash := pastHash(h, air, e.Hour, e.Looks)
		snaps = append(snaps, Snap{Key: snapKey(h.Bin, snapAges[i]), Data: e.AppendBinary([]byte(hash))})
	}
	return e, snaps, t.stand(h, air, e)
}

// snapAges are the ages, in days, at which ensembles are stored: a late entry
// goes back to the youngest one before it.
var snapAges = []int64{0, 10, 45}

func snapKey(bin string, age int64) string { return fmt.Sprintf("twin/%s/%d", bin, age) }

func (t *Twins) stand(h twin.History, air climate.Series, e *twin.Ensemble) error {
	hash := pastHash(h, air, e.Hour, e.Looks)
	t.mu.Lock()
	t.made[h.Bin] = standing{hash, e.Clone()}
	t.mu.Unlock()
	return nil
}

// pastHash names everything an ensemble at an hour rests on: the bed's start,
// the acts and looks up to then, and the air.
func pastHash(h twin.History, air climate.Series, until int64, looks int) string {
	d := sha256.New()
	fmt.Fprintf(d, "%s|%+v|%+v|%d|", h.Bin, h.Box, h.Start, until)
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
	mixes := t.mixes(s)
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
	slices.SortFunc(made.Items, func(a, b round.Item) int { return compareNames(a.Bin, b.Bin) })
	made.Made = t.frame(s, air, now, mixes)
	made.Seconds = time.Since(began).Seconds()
	if err := t.Kept.PutSnapshots(ctx, t.version, snaps); err != nil {
		return nil, err
	}
	return made, t.keep(ctx, made, views, true)
}

// airFor gives the air from before the oldest living bed to the horizon, so that
// every bin of a farm sees the same.
func (t *Twins) airFor(s *farm.State, now time.Time) (*Air, error) {
	hour := now.Unix() / 3600
	from := hour - 24
	for _, b := range s.Living() {
		from = min(from, b.Bed.At.Unix()/3600-1)
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
	b, ok := s.Bin(name)
	made := *last
	made.Items = slices.DeleteFunc(slices.Clone(made.Items), func(it round.Item) bool { return it.Bin == name })
	views := map[string]*Outlook{}
	air, err := t.airFor(s, now)
	if err != nil {
		return err
	}
	mixes := t.mixes(s)
	if ok && b.Bed != nil {
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
		slices.SortFunc(made.Items, func(a, b round.Item) int { return compareNames(a.Bin, b.Bin) })
	}
	made.Made = t.frame(s, air, now, mixes)
	return t.keep(ctx, &made, views, false)
}

func compareNames(a, b string) int {
	if len(a) != len(b) {
		return len(a) - len(b)
	}
	if a < b {
		return -1
	}
	if a > b {
		return 1
	}
	return 0
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
		delete(t.gone, bin)
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
	h, notes, ok := s.History(b.Name, &t.numbers.Bed)
	if !ok {
		return round.Item{}, nil, nil, fmt.Errorf("bin %s has no bed", b.Name)
	}
	around := air.At(b.Slot.Barn, b.Slot.Level)
	hour := now.Unix() / 3600
	e, snaps, err := t.ensemble(ctx, c, h, around, hour)
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	trier := round.Trier{P: t.round, Crew: c}
	item, err := trier.Bin(t.caseOf(s, b, h, e, around, now, mixes))
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	view, err := t.outlook(c, s, b, h, e, around, now)
	if err != nil {
		return round.Item{}, nil, nil, err
	}
	view.Says = notes
	return item, view, snaps, nil
}

func (t *Twins) caseOf(s *farm.State, b *farm.Bin, h twin.History, e *twin.Ensemble, air climate.Series, now time.Time, mixes []round.Mix) round.Case {
	above := len(s.Places().Above(b.Name))
	c := round.Case{
		Bin: b.Name, Place: s.Called(b), Barn: b.Slot.Barn, Row: b.Slot.Row, Stack: b.Slot.Stack, Level: b.Slot.Level, Above: above,
		History: h, Ensemble: e, Air: air, Now: now.Unix() / 3600, Mixes: mixes,
	}
	habit := s.Habit(b.Name)
	days := habit.EveryDays
	if days <= 0 {
		days = 4
	}
	if above > 0 && s.Settings.Habits.VisitDays > days {
		days = s.Settings.Habits.VisitDays
	}
	c.Visit, c.Due = c.Now+int64(math.Round(min(max(days, 2), 10)))*24, true
	if b.Bed.LastFeed != nil {
		c.LastFed, c.LastDepthM = b.Bed.LastFeed.At.Unix()/3600, float64(b.Bed.LastFeed.Depth)
	} else if ago, ok := b.Bed.SinceFed(now); ok {
		c.LastFed, c.LastDepthM = c.Now-int64(ago*24), float64(b.Bed.Start.LastFeedDepth)
	}
	if n := len(b.Bed.Looks); n > 0 {
		c.LastLook = b.Bed.Looks[n-1].At.Unix() / 3600
	}
	return c
}

// mixes gives the batches in the yard that can be fed, those with most matter
// left first, at most three.
func (t *Twins) mixes(s *farm.State) []round.Mix {
	var out []round.Mix
	for _, b := range s.Feeding() {
		left := b.Left()
		if left.Volume <= 0.02 || left.Dry <= 0 {
			continue
		}
		out = append(out, round.Mix{Batch: b.Name, PerM3: left.Times(1 / float64(left.Volume)), LeftM3: float64(left.Volume)})
	}
	slices.SortStableFunc(out, func(a, b round.Mix) int {
		switch {
		case a.LeftM3 > b.LeftM3:
			return -1
		case a.LeftM3 < b.LeftM3:
			return 1
		}
		return 0
	})
	if len(out) > 3 {
		out = out[:3]
	}
	return out
}

// frame gives what a round says beside its items.
func (t *Twins) frame(s *farm.State, air *Air, now time.Time, mixes []round.Mix) round.Made {
	m := round.Made{Day: now.Format(time.DateOnly), At: now, Mixes: mixes, Weather: round.Weather(air.Outside.Days, air.Outside.Warnings, dayNumber(now))}
	for _, b := range s.Living() {
		m.Bedded = append(m.Bedded, round.Bedded{Bin: b.Name, Place: s.Called(b), Barn: b.Slot.Barn, Row: b.Slot.Row})
	}
	if len(mixes) == 0 {
		m.Notes = append(m.Notes, round.Phrase{Key: "note.nomix"})
	}
	for _, n := range air.Notes {
		m.Notes = append(m.Notes, round.Phrase{Key: "note.plain", Args: []round.Arg{{Of: "text", S: n}}})
	}
	m.Piles = t.piles(s, air, now)
	return m
}
