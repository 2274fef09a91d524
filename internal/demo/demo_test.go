package demo

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/sqlite"
	"wormyard/journal"
	lots "wormyard/lot"
)

// small is the farm of 12 bins and 60 days, made once for all tests, with the
// truth it was made from.
var small = sync.OnceValues(func() (made, error) {
	var m made
	dir := tempDir
	for i := range m.path {
		m.path[i] = filepath.Join(dir, []string{"once.wormyard", "again.wormyard"}[i])
		if err := sapling().make(context.Background(), m.path[i], nil); err != nil {
			return m, err
		}
	}
	a, store, err := app.OpenFile(context.Background(), m.path[0], Now)
	if err != nil {
		return m, err
	}
	defer store.Close()
	m.state = a.State()
	m.truth, err = sapling().live(context.Background(), func(file) error { return nil }, nil)
	return m, err
})

type made struct {
	path  [2]string
	state *farm.State
	truth *truth
}

var tempDir string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "demo-test-")
	if err != nil {
		panic(err)
	}
	tempDir = dir
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

func field(p *bed.Parameters, k knob) float64 {
	return reflect.ValueOf(p).Elem().FieldByIndex(k.index).Float()
}

func get(t *testing.T) made {
	t.Helper()
	m, err := small()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The same seed gives the same entries, taken at the same times in the same
// order: the chains of hashes end alike.
func TestTheSameTwice(t *testing.T) {
	m := get(t)
	var heads [2]string
	for i, path := range m.path {
		store, err := sqlite.OpenExisting(path)
		if err != nil {
			t.Fatal(err)
		}
		defer store.Close()
		h := sha256.New()
		n := 0
		for e, err := range store.Entries(context.Background(), 0) {
			if err != nil {
				t.Fatal(err)
			}
			n++
			h.Write(e.Hash[:])
		}
		if n < 1000 {
			t.Fatalf("only %d entries", n)
		}
		heads[i] = hex.EncodeToString(h.Sum(nil))
	}
	if heads[0] != heads[1] {
		t.Errorf("made twice, the journals differ: %s and %s", heads[0], heads[1])
	}
}

// Every kind of entry that the journal knows is there.
func TestEveryKind(t *testing.T) {
	seen := map[string]int{}
	for _, e := range get(t).state.Journal() {
		seen[e.Kind]++
	}
	for _, k := range journal.KindNames() {
		if seen[k] == 0 {
			t.Errorf("no entry of kind %s", k)
		}
	}
}

// What was written hangs together: few doubts, and none about a bin that is not
// there. (That nothing was refused is held by make, which fails otherwise.)
func TestFewDoubts(t *testing.T) {
	m := get(t)
	doubts := m.state.Doubts()
	for _, d := range doubts {
		t.Logf("%s: %s", d.About, d.Say)
		if d.Kind == "unknown" && strings.HasPrefix(d.About, "bin ") {
			t.Errorf("%s: %s", d.About, d.Say)
		}
	}
	if most := len(m.state.Journal()) / 150; len(doubts) > most {
		t.Errorf("%d doubts about %d entries, expected at most %d", len(doubts), len(m.state.Journal()), most)
	}
}

// Feedings are written down as people do: about a fifth is missing, and what was
// mixed covers what was written as fed.
func TestFeedings(t *testing.T) {
	p := sapling()
	p.days, p.stacks, p.rows = 120, 10, 2
	p.first, p.built = 90, 100
	f, err := p.prepare()
	if err != nil {
		t.Fatal(err)
	}
	done, written := 0, 0
	for f.day = 1; f.day < p.days; f.day++ {
		if f.day == 1 {
			f.day = 0
			f.sheets = map[int][]line{}
			must(t, f.work())
			night(t, f)
			f.day = 1
		}
		must(t, f.work())
		for _, b := range f.bins {
			if b.live == nil {
				continue
			}
			for _, a := range b.live.acts {
				if a.Kind == "feed" {
					done++
				}
			}
		}
		for day, lines := range f.sheets {
			if day > f.day {
				continue
			}
			for _, l := range lines {
				if l.kind == "feed" {
					written += 1 + strings.Count(l.cells["bins"], ",")
				}
			}
			delete(f.sheets, day)
		}
		night(t, f)
	}
	share := 1 - float64(written)/float64(done)
	sd := math.Sqrt(f.h.Unwritten * (1 - f.h.Unwritten) * 2.5 / float64(done)) // lines of two or three bins are forgotten together
	t.Logf("%d feedings done, %d written: %.3f missing, meant %.3f", done, written, share, f.h.Unwritten)
	if done < 300 || math.Abs(share-f.h.Unwritten) > 4*sd {
		t.Errorf("%.3f of %d feedings are not written down, expected %.3f within %.3f", share, done, f.h.Unwritten, 4*sd)
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func night(t *testing.T, f *truth) {
	t.Helper()
	from, to := f.morning(f.day), f.morning(f.day+1)
	for _, h := range f.houses {
		f.breathe(h, from, to)
	}
	must(t, f.night(from, to))
}

// By the ledger no batch and no pile gives more than it had by far, and the
// batches account for what the bins got.
func TestLedgerBalances(t *testing.T) {
	s := get(t).state
	made, fed := 0.0, 0.0
	for _, b := range s.Batches() {
		made += float64(b.Made.Wet())
		fed += float64(b.Fed.Wet())
	}
	laid := 0.0
	for _, e := range s.Journal() {
		if _, counts, _ := s.Entry(e.ID); !counts {
			continue
		}
		switch b := e.Body.(type) {
		case *journal.Feed:
			if bt, ok := s.Batch(b.Batch); ok && b.DepthM != nil {
				laid += float64(*b.DepthM) * areaM2 * float64(len(b.Bins)) * float64(bt.Made.Wet()) / float64(bt.Made.Volume)
			} else if b.MassKgWet != nil {
				laid += float64(*b.MassKgWet) * float64(len(b.Bins))
			}
		case *journal.Bed:
			if bt, ok := s.Batch(b.Batch); ok {
				laid += float64(b.DepthM) * areaM2 * float64(len(b.Bins)) * float64(bt.Made.Wet()) / float64(bt.Made.Volume)
			}
		}
	}
	t.Logf("made %.0f kg, laid %.0f kg by the batches, %.0f kg by the entries", made, fed, laid)
	if fed > made || fed < 0.2*made {
		t.Errorf("%.0f kg were laid of %.0f kg mixed", fed, made)
	}
	if math.Abs(fed-laid) > 0.02*fed { // moisture measured after a feeding changes what is counted as made
		t.Errorf("the batches say %.0f kg were laid, the entries %.0f kg", fed, laid)
	}
	for _, p := range s.Piles() {
		if p.Over > 0.05*p.Got.Wet() {
			t.Errorf("%.0f kg more were taken from pile %s than the %.0f kg that came", float64(p.Over), p.Name, float64(p.Got.Wet()))
		}
	}
}

// Nobody is named: people are roles, buyers go by what they are called at the gate,
// laboratories by letters.
func TestNoRealNames(t *testing.T) {
	for _, e := range get(t).state.Journal() {
		if !slices.Contains([]string{owner, crew1, crew2}, e.Who) {
			t.Fatalf("%q wrote an entry", e.Who)
		}
		switch b := e.Body.(type) {
		case *journal.Sell:
			if !slices.Contains(customers, b.Customer) {
				t.Errorf("a sale to %q", b.Customer)
			}
		case *journal.Order:
			if !slices.Contains(customers, b.Customer) {
				t.Errorf("an order of %q", b.Customer)
			}
		case *journal.Assay:
			if !slices.Contains([]string{"", farmLab, otherLab}, b.Laboratory) {
				t.Errorf("a test by %q", b.Laboratory)
			}
		}
	}
}

// Nothing is from the future but the outlook; what was done is recorded at the
// end of its day or some days late; loggers are in the first barn only.
func TestTimesAndPlaces(t *testing.T) {
	s := get(t).state
	late := 0
	for _, e := range s.Journal() {
		if e.At.After(Now()) {
			t.Errorf("%s at %v lies after now", e.Kind, e.At)
		}
		if e.Recorded.Before(e.At.Add(-time.Hour)) || e.Recorded.Sub(e.At) > 9*24*time.Hour {
			t.Errorf("%s of %v was recorded at %v", e.Kind, e.At, e.Recorded)
		}
		if e.Kind != "reading" && e.Recorded.Sub(e.At) > 20*time.Hour {
			late++
		}
		if r, ok := e.Body.(*journal.Reading); ok && r.Probe == "logger" {
			if b, ok := s.Bin(r.Bin); !ok || b.Slot.Barn != firstBarn && b.Moved.Entry == "" {
				t.Errorf("logger %s in bin %s", r.ProbeID, r.Bin)
			}
		}
	}
	if late < 5 {
		t.Errorf("only %d entries were typed late", late)
	}
	outlook := 0
	for _, w := range s.Weather() {
		if w.Outlook && w.Day >= "2026-03-03" {
			outlook++
		}
	}
	if outlook < 3 {
		t.Errorf("the outlook has %d days from today on, expected 3", outlook)
	}
}

// The farm has a price list, and orders that are due in the weeks to come: one of them of
// several products, and none long overdue.
func TestOpenOrders(t *testing.T) {
	s := get(t).state
	now := s.Last
	if n := len(s.Settings.Money.Products); n < 3 {
		t.Errorf("%d products on the price list, want three or more", n)
	}
	open, several := 0, 0
	for _, o := range app.Orders(s, now, false).Orders {
		if o.Stale {
			t.Errorf("the order of %s, due %s, is long overdue", o.Customer, o.Due)
		}
		if due, ok := o.Booked.DueBy(s.Zone()); ok && due.After(now) {
			open++
			if len(o.Lines) > 1 {
				several++
			}
			if o.Worth == nil || *o.Worth <= 0 {
				t.Errorf("the order of %s for %s has no worth", o.Customer, o.What)
			}
		}
	}
	if open < 5 || several < 2 {
		t.Errorf("%d orders are due in the weeks to come, %d of them of several products; want 5 and 2", open, several)
	}
	weeks := app.OpenOrders(s, now)
	if len(weeks) < 3 {
		t.Errorf("open orders are of %d weeks, want three or more", len(weeks))
	}
}

// What was released under the house rule keeps it by what is written down, and a lot
// is looked at by two people on slides of several handfuls before that.
func TestReleasesHold(t *testing.T) {
	s := get(t).state
	released := 0
	for _, l := range s.Lots() {
		people, handfuls := map[string]bool{}, map[string]bool{}
		for _, e := range s.Journal() {
			if b, ok := e.Body.(*journal.Microscope); ok && b.Lot == l.Name {
				people[e.Who], handfuls[b.SubSample] = true, true
			}
		}
		for _, r := range l.Releases {
			rule, _, ok, err := app.RuleNamed(s, r.Rule)
			if err != nil || !ok {
				t.Fatalf("lot %s was released under %q, which is no rule: %v", l.Name, r.Rule, err)
			}
			if r.Rule != app.HouseRule {
				continue
			}
			released++
			if j, err := app.Judged(s, l.Name, rule, nil, r.By, r.At); err != nil || j.State != lots.Allowed {
				t.Errorf("lot %s was released and is %s: %+v %v", l.Name, j.State, j.Lines, err)
			}
			if len(people) < 2 || len(handfuls) < 2 {
				t.Errorf("lot %s was looked at by %d people on slides of %d handfuls", l.Name, len(people), len(handfuls))
			}
		}
	}
	if released == 0 {
		t.Error("no lot was released under the house rule")
	}
}

// Some entries are struck, and one strike is struck itself so that its entry
// lives again.
func TestStrikes(t *testing.T) {
	s := get(t).state
	again := 0
	for _, e := range s.Journal() {
		if e.Kind != "strike" {
			continue
		}
		target, counts, found := s.Entry(e.Strikes)
		if !found {
			t.Errorf("a strike of an entry that is not there")
			continue
		}
		if b := e.Body.(*journal.Strike); b.Why == "" {
			t.Error("a strike without reason")
		}
		if target.Kind == "strike" {
			if _, lives, _ := s.Entry(target.Strikes); !lives || counts {
				t.Error("the strike of a strike has no effect")
			}
			again++
		}
	}
	if again != 1 {
		t.Errorf("%d strikes are struck, expected 1", again)
	}
}

// Hard frosts fall in the second winter: the record has -7.1 C on 7 December
// 2013 and -6.0 C on 6 February 2014, twelve years before. The farm's own air is
// off the record by the spread of the scenario.
func TestHardFrostInTheSecondWinter(t *testing.T) {
	f, err := heronSlough().prepare()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		day     time.Time
		recordC float64
	}{{time.Date(2025, 12, 7, 8, 0, 0, 0, time.UTC), -7.1}, {time.Date(2026, 2, 6, 8, 0, 0, 0, time.UTC), -6.0}} {
		least := math.Inf(1)
		for h := range int64(24) {
			least = min(least, f.outside.At(c.day.Unix()/3600+h).TempC)
		}
		if off := least - c.recordC - f.h.SiteOffset; math.Abs(off) > 3*f.h.SiteSD {
			t.Errorf("on %s the low is %.1f C, the record has %.1f C", c.day.Format(time.DateOnly), least, c.recordC)
		}
	}
}

// The farm's nature differs from ours in most numbers, and in none beyond the
// range that we admit.
func TestTruthDiffers(t *testing.T) {
	f := get(t).truth
	list, err := knobs()
	if err != nil {
		t.Fatal(err)
	}
	if len(list) < 60 {
		t.Fatalf("only %d numbers may differ", len(list))
	}
	for _, b := range []*bin{f.bins[0], f.bins[5]} {
		moved := 0
		for _, k := range list {
			v := field(&b.own, k)
			if v < k.of.Low || v > k.of.High {
				t.Errorf("%s is %g, outside %g to %g", k.name, v, k.of.Low, k.of.High)
			}
			if math.Abs(v-k.of.Best) > 0.02*math.Abs(k.of.Best) {
				moved++
			}
		}
		if moved < len(list)*3/4 {
			t.Errorf("%d of %d numbers of bin %s differ from ours", moved, len(list), b.name)
		}
	}
}

// The truth of the last morning is there for scoring, and no word of it in the
// farm.
func TestAnswers(t *testing.T) {
	m := get(t)
	list := m.truth.answers()
	if len(list) != len(m.state.Living()) {
		t.Errorf("%d answers for %d beds", len(list), len(m.state.Living()))
	}
	for _, a := range list {
		if !(a.WormsKg > 0 && a.WormsKg < 30 && a.FeedLeftKg >= 0 && a.MiddleC > -3 && a.MiddleC < 60 && a.DepthM > 0.02 && a.DepthM < 0.65 && a.Water > 0.3 && a.Water < 0.9) {
			t.Errorf("%+v", a)
		}
	}
	data, err := json.Marshal(list[0])
	if err != nil || !strings.Contains(string(data), `"worms_kg"`) {
		t.Errorf("%s %v", data, err)
	}
}

// A farm that is missing or of another edition is made; another's is left alone.
func TestOpen(t *testing.T) {
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "farm.wormyard")
	steps := 0
	a, store, err := sapling().open(ctx, path, func(string, int, int) { steps++ })
	if err != nil {
		t.Fatal(err)
	}
	if steps == 0 || !a.Now().Equal(Now()) || a.State().Settings.Name != "Heron Slough" {
		t.Errorf("made in %d steps, now %v, %q", steps, a.Now(), a.State().Settings.Name)
	}
	must(t, store.Close())
	steps = 0
	_, store, err = sapling().open(ctx, path, func(string, int, int) { steps++ })
	if err != nil || steps > 0 {
		t.Fatalf("opened again: %v, %d steps", err, steps)
	}
	must(t, store.Close())

	other := filepath.Join(t.TempDir(), "mine.wormyard")
	b, mine, err := app.OpenFile(ctx, other, Now)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Record(ctx, journal.Entry{Kind: "setting", Who: owner, Body: &journal.Setting{Key: "farm", Value: json.RawMessage(`"Mine"`)}}, true); err != nil {
		t.Fatal(err)
	}
	must(t, mine.Close())
	if _, _, err := sapling().open(ctx, other, nil); err == nil || !strings.Contains(err.Error(), "not the demo farm") {
		t.Errorf("a farm that is not the demo was opened or made anew: %v", err)
	}
	if err := Make(ctx, other, nil); err == nil {
		t.Error("a farm that is not the demo was made anew")
	}
}

// An end asked for in the middle leaves no half farm behind.
func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	path := filepath.Join(t.TempDir(), "farm.wormyard")
	err := sapling().make(ctx, path, func(_ string, done, _ int) {
		if done == 20 {
			cancel()
		}
	})
	if err == nil {
		t.Error("it went on after it was told to stop")
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
