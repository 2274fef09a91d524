package app

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/internal/sqlite"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// small is a farm of six bins, three stacks of two, in a file.
type small struct {
	t     *testing.T
	path  string
	now   time.Time
	app   *App
	store *sqlite.Store
	twins *Twins
	wrote int // entries, whose ids are made of it: what the twins draw is then the same in every run
}

var midsummer = time.Date(2025, 6, 2, 16, 0, 0, 0, time.UTC)

func smallFarm(t *testing.T, more ...FirstMix) *small {
	t.Helper()
	return smallFarmOn(t, midsummer, more...)
}

func smallFarmOn(t *testing.T, now time.Time, more ...FirstMix) *small {
	t.Helper()
	f := &small{t: t, path: filepath.Join(t.TempDir(), "farm.wormyard"), now: now}
	f.open()
	form := FirstForm{
		Farm: "Test", Zone: "America/Los_Angeles", Weather: "normals", Barns: []FirstBarn{{Name: "1", Rows: "1", Stacks: "3", High: "2", Length: "30 ft", Width: "30 ft", Height: "10 ft"}},
		Depth: "9 in", Age: "3 months", LastFed: "9 days", LastFedDepth: "1 in", Stock: "middle", FeedEvery: "4 days", Cover: "cloth",
		Piles: []FirstPile{{Name: "manure", Material: "horse manure with bedding", Amount: "6 yd3", Age: "2 months"}, {Name: "leaves", Material: "leaves, loose dry", Amount: "6 yd3"}},
		Mixes: append([]FirstMix{{Name: "41", Parts: "2 yd3 manure, 2 yd3 leaves"}}, more...),
	}
	if _, ps, err := f.app.Begin(context.Background(), form, "owner", true); err != nil || slices.ContainsFunc(ps, func(p Problem) bool { return !p.Doubt }) {
		t.Fatal(err, ps)
	}
	return f
}

// open opens the file, as a program that is started does.
func (f *small) open() {
	f.t.Helper()
	clock := func() time.Time { return f.now }
	var err error
	if f.app, f.store, err = OpenFile(context.Background(), f.path, clock); err != nil {
		f.t.Fatal(err)
	}
	f.store.Now = clock
	f.app.newID = func() (string, error) {
		f.wrote++ // in the order of writing, as of those that are made by the clock
		at := f.now.UnixMilli()
		return fmt.Sprintf("%08x-%04x-7000-8000-%012d", at>>16, at&0xffff, f.wrote), nil
	}
	if f.twins, err = NewTwins(f.app, KeepIn{Store: f.store}); err != nil {
		f.t.Fatal(err)
	}
	store := f.store
	f.t.Cleanup(func() { _ = store.Close() })
}

func (f *small) restart() {
	f.t.Helper()
	if err := f.store.Close(); err != nil {
		f.t.Fatal(err)
	}
	f.open()
}

func (f *small) make() *Made {
	f.t.Helper()
	made, err := f.twins.MakeRound(context.Background(), func(string, int, int) {})
	if err != nil {
		f.t.Fatal(err)
	}
	return made
}

func (f *small) write(at time.Time, kind string, body any) {
	f.t.Helper()
	ack, err := f.app.Record(context.Background(), journal.Entry{Kind: kind, Who: "crew 1", At: at, Body: body}, true)
	if err != nil || !ack.Saved {
		f.t.Fatal(err, ack.Problems)
	}
}

func (f *small) feed(at time.Time, bins ...string) {
	depth := qty.Metre(0.0254)
	f.write(at, "feed", &journal.Feed{Bins: bins, Batch: "41", DepthM: &depth})
}

func (f *small) list() round.List {
	f.t.Helper()
	l, ok, err := f.twins.List(context.Background(), round.Words{Zone: f.app.State().Zone()})
	if err != nil || !ok {
		f.t.Fatal(ok, err)
	}
	return l
}

func (f *small) outlook(bin string) *Outlook {
	f.t.Helper()
	v, err := f.twins.Outlook(context.Background(), bin)
	if err != nil || v == nil {
		f.t.Fatal(v, err)
	}
	return v
}

func asJSON(t *testing.T, v any) []byte {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func itemOf(t *testing.T, m *Made, bin string) round.Item {
	t.Helper()
	for _, it := range m.Items {
		if it.Bin == bin {
			return it
		}
	}
	t.Fatalf("no item of %s", bin)
	return round.Item{}
}

func TestARoundOfASmallFarm(t *testing.T) {
	f := smallFarm(t)
	if l, ok, err := f.twins.List(context.Background(), round.Words{}); ok || err != nil || !f.twins.Stale(context.Background()) {
		t.Fatalf("before the first round there is none: %v %v", l, err)
	}
	if v, err := f.twins.Outlook(context.Background(), "B1"); v != nil || err != nil {
		t.Fatalf("and no outlook: %v %v", v, err)
	}
	var steps []string
	made, err := f.twins.MakeRound(context.Background(), func(step string, done, of int) {
		if len(steps) == 0 || steps[len(steps)-1] != step {
			steps = append(steps, step)
		}
		if done > of {
			t.Errorf("%d of %d", done, of)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(made.Items) != 6 || made.Day != "2025-06-02" || len(made.Made.Bedded) != 6 || len(steps) != 2 {
		t.Errorf("%d items of %d bins on %s, steps %v", len(made.Items), len(made.Made.Bedded), made.Day, steps)
	}
	l := f.list()
	if l.Bins != 6 || len(l.Lines) == 0 || len(l.Notes) == 0 || f.twins.Stale(context.Background()) {
		t.Errorf("%d bins, %d lines, %d notes", l.Bins, len(l.Lines), len(l.Notes))
	}
	for _, n := range l.Lines {
		if n.Say == "" || n.Reason == "" {
			t.Errorf("a line says nothing: %+v", n)
		}
	}
	v := f.outlook("B1")
	if v.Members != 32 || len(v.Layers) == 0 || len(v.Ahead) != 14 || v.Worms.Low <= 0 || v.Worms.Low >= v.Worms.High {
		t.Errorf("%d members, %d layers, %d days ahead, worms %v", v.Members, len(v.Layers), len(v.Ahead), v.Worms)
	}
	if v.Layers[len(v.Layers)-1].Batch != "horse manure with bedding" {
		t.Errorf("the lowest layer is of %q", v.Layers[len(v.Layers)-1].Batch)
	}
	f.now = f.now.Add(24 * time.Hour)
	if !f.twins.Stale(context.Background()) {
		t.Error("yesterday's round is not today's")
	}
}

// A program that starts shows what was computed and runs nothing.
func TestARestartReadsWhatWasKept(t *testing.T) {
	f := smallFarm(t)
	f.now = midsummer.AddDate(0, 0, 40)
	f.make()
	list, outlook := asJSON(t, f.list()), asJSON(t, f.outlook("B3"))
	if f.twins.runs != 6 {
		t.Fatalf("%d beds were run from their start, want all six", f.twins.runs)
	}
	f.restart()
	if got := asJSON(t, f.list()); !bytes.Equal(got, list) {
		t.Error("the list reads otherwise after a restart")
	}
	if got := asJSON(t, f.outlook("B3")); !bytes.Equal(got, outlook) {
		t.Error("the outlook reads otherwise after a restart")
	}
	if f.twins.Stale(context.Background()) || f.twins.runs != 0 {
		t.Errorf("after a restart %d beds were run", f.twins.runs)
	}
	// Tomorrow's round goes on from the stored states, to the same bits as one
	// that begins anew.
	f.now = f.now.AddDate(0, 0, 1)
	told := f.twins.last
	stored := asJSON(t, f.make().Items)
	if f.twins.runs != 0 {
		t.Errorf("%d beds were run from their start again", f.twins.runs)
	}
	f.twins.Kept, f.twins.last = nowhere{}, told
	if anew := asJSON(t, f.make().Items); !bytes.Equal(anew, stored) || f.twins.runs != 6 {
		t.Errorf("from stored states and from the start it is not the same; %d run", f.twins.runs)
	}
	f.twins.kind.Load().rounds = "of other numbers"
	if !f.twins.Stale(context.Background()) {
		t.Error("a round of other numbers is stale")
	}
}

// A late entry goes back to the youngest stored state before it, and beyond the
// old one to the start of the bed.
func TestALateEntryFallsBack(t *testing.T) {
	f := smallFarm(t)
	at := func(day int) time.Time { return midsummer.AddDate(0, 0, day) }
	for _, day := range []int{20, 60, 94} { // young at 5, then old 5 and young 45, then young 79
		f.now = at(day)
		f.make()
	}
	f.twins.runs = 0
	remake := func(bin string, day int) (runs int) {
		t.Helper()
		before := f.twins.runs
		f.feed(at(day), bin)
		if err := f.remake(bin); err != nil {
			t.Fatal(err)
		}
		return f.twins.runs - before
	}
	if n := remake("B1", 90); n != 0 {
		t.Error("an entry after the young state ran the bed from its start")
	}
	if n := remake("B2", 30); n != 0 {
		t.Error("an entry between the old state and the young one ran the bed from its start")
	}
	if n := remake("B3", 2); n != 1 {
		t.Errorf("an entry before the old state: %d runs from the start", n)
	}
	f.twins.runs = 0
	told, err := f.twins.Last(context.Background()) // both hear the same of what was advised last: R9
	if err != nil {
		t.Fatal(err)
	}
	var again []round.Item
	for _, bin := range []string{"B1", "B2", "B3"} { // with the mixes as they are now
		f.twins.last = told
		if err := f.remake(bin); err != nil {
			t.Fatal(err)
		}
		again = append(again, itemOf(t, f.twins.last, bin))
	}
	if f.twins.runs != 0 {
		t.Fatalf("%d beds were run from their start", f.twins.runs)
	}
	f.twins.Kept, f.twins.last = nowhere{}, told
	anew := f.make()
	for _, one := range again {
		if !bytes.Equal(asJSON(t, one), asJSON(t, itemOf(t, anew, one.Bin))) {
			t.Errorf("after late entries the item of %s is not that of a round made anew", one.Bin)
		}
	}
}

// A reading that is struck goes out of the twins, from a stored state before it: the bin
// is what it is when it is run anew, and nothing of it was corrected. What it taught the
// farm stays (T15).
func TestAStruckReadingGoesOutOfTheTwins(t *testing.T) {
	f := smallFarm(t)
	f.now = midsummer.AddDate(0, 0, 20)
	f.make()
	f.now = midsummer.AddDate(0, 0, 30)
	id := f.stab(f.now, "B1", 33)
	f.now = midsummer.AddDate(0, 0, 60) // the farm has learned of it by then, with a state stored after it
	f.make()
	f.twins.runs = 0
	before := f.outlook("B1").Warmest
	if ack, err := f.app.Strike(context.Background(), id, "another bin", "crew 1"); err != nil || !ack.Saved {
		t.Fatal(ack, err)
	}
	if err := f.remake("B1"); err != nil {
		t.Fatal(err)
	}
	if f.twins.runs != 0 {
		t.Error("a reading struck after a stored state ran the bed from its start")
	}
	got := f.outlook("B1")
	f.twins.Kept, f.twins.views = nowhere{}, map[string]*Outlook{}
	f.make()
	want := f.outlook("B1")
	if !bytes.Equal(asJSON(t, got), asJSON(t, want)) {
		t.Errorf("from a stored state: %s\nanew: %s", asJSON(t, got), asJSON(t, want))
	}
	if got.Warmest == before || got.Corrected != (bed.Contents{}) {
		t.Errorf("warmest was %+v, is %+v, corrected by %+v", before, got.Warmest, got.Corrected)
	}
}

// News of one bin changes its item and leaves the others.
func TestNewsOfOneBin(t *testing.T) {
	f := smallFarm(t)
	before := f.make()
	fed, depth := "", qty.Metre(0)
	for _, it := range before.Items {
		if it.Act == round.Feed {
			fed, depth = it.Bin, qty.Metre(it.DepthM)
		}
	}
	if fed == "" {
		t.Fatalf("no bin is fed nine days after the last feeding: %v", f.list().Lines)
	}
	f.now = f.now.Add(time.Hour)
	f.write(f.now, "feed", &journal.Feed{Bins: []string{fed}, Batch: "41", DepthM: &depth}) // as it was asked for
	if err := f.remake(fed); err != nil {
		t.Fatal(err)
	}
	after, err := f.twins.Last(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	news := asJSON(t, itemOf(t, after, fed))
	if bytes.Equal(news, asJSON(t, itemOf(t, before, fed))) {
		t.Error("just fed, and its item is what it was")
	}
	for _, it := range before.Items {
		if it.Bin != fed && !bytes.Equal(asJSON(t, it), asJSON(t, itemOf(t, after, it.Bin))) {
			t.Errorf("the item of %s changed", it.Bin)
		}
	}
	if !before.At.Equal(after.At) || len(after.Made.Piles) != len(before.Made.Piles) {
		t.Error("the round is still that of the morning, with its piles")
	}
	f.restart()
	if again, err := f.twins.Last(context.Background()); err != nil || !bytes.Equal(asJSON(t, itemOf(t, again, fed)), news) {
		t.Errorf("after a restart the news is forgotten: %v", err)
	}
}

func (f *small) mixes() ([]round.Mix, []round.Phrase) {
	f.t.Helper()
	s := f.app.State()
	air, err := f.twins.airFor(s, f.now)
	if err != nil {
		f.t.Fatal(err)
	}
	return f.twins.mixes(s, air, f.now)
}

// A held pile keeps its mixes out of the beds; then the list says what to mix.
func TestAHeldMixIsNotFed(t *testing.T) {
	f := smallFarm(t, FirstMix{Name: "42", Parts: "1 yd3 leaves"})
	f.write(f.now, "hold", &journal.Hold{Pile: "manure", Why: "bean test running"})
	mixes, held := f.mixes()
	if len(mixes) != 1 || mixes[0].Batch != "42" || len(held) != 1 {
		t.Fatalf("%v %v", mixes, held)
	}
	if got := (round.Words{}).Text(held[0]); got != "Mix 41 is not fed: pile manure is on hold: bean test running." {
		t.Errorf("%q", got)
	}
	f.write(f.now, "hold", &journal.Hold{Pile: "leaves", Why: "glass in it"})
	mixes, _ = f.mixes()
	if len(mixes) != 0 {
		t.Errorf("%v", mixes)
	}
	if w := f.twins.want(f.app.State(), f.now); w == nil || w.Bins == 0 || w.Like != "" {
		t.Errorf("with every pile held nothing can be named to mix: %+v", w)
	}
}

func TestWhatToMixWhenNothingIsLeft(t *testing.T) {
	f := smallFarm(t)
	mass := f.app.State().Feeding()[0].Made.Wet()
	f.write(f.now.Add(-time.Hour), "feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", MassKgWet: &mass})
	w := f.twins.want(f.app.State(), f.now)
	if mixes, _ := f.mixes(); len(mixes) != 0 || w == nil {
		t.Fatalf("%v %v", mixes, w)
	}
	var sum float64
	for _, p := range w.Parts {
		sum += p.M3
	}
	if w.Like != "41" || w.Bins == 0 || len(w.Parts) != 2 || sum < w.M3*0.99 || w.Parts[0].M3 != w.Parts[1].M3 {
		t.Errorf("%+v", w)
	}
}

// By the farm's habits: fed six days ago and fed each four days, a bin on top is
// due; one under another waits for the truck.
func TestHabits(t *testing.T) {
	f := smallFarm(t)
	s := f.app.State()
	f.now = f.now.AddDate(0, 0, -3) // six days after the last feeding
	of := func(place string) habit {
		t.Helper()
		found, wrong := s.Places().Select(place)
		if len(wrong) > 0 || len(found) != 1 {
			t.Fatal(found, wrong)
		}
		b, _ := s.Bin(found[0])
		return f.twins.habitOf(s, b, f.now)
	}
	hour := f.now.Unix() / 3600
	if h := of("1-1 top"); !h.due || h.waits != 0 || h.next != hour+4*24 || h.every != 4 {
		t.Errorf("on top: %+v at %d", h, hour)
	}
	if h := of("1-1 low"); h.waits < hour+23 || h.waits > hour+24 { // touched six days ago, lifted each seven
		t.Errorf("under another: %+v at %d", h, hour)
	}
	f.now = f.now.AddDate(0, 0, 1)
	hour = f.now.Unix() / 3600
	if h := of("1-1 low"); h.waits != 0 || !h.due || h.next != hour+7*24 {
		t.Errorf("when the truck comes: %+v at %d", h, hour)
	}
}

func TestStandardTime(t *testing.T) {
	for zone, want := range map[string]int64{"America/Los_Angeles": -8, "Europe/Dublin": 0, "Australia/Sydney": 10, "Asia/Kolkata": 5, "UTC": 0, "America/St_Johns": -4} {
		z, err := time.LoadLocation(zone)
		if err != nil {
			t.Fatal(err)
		}
		if got := standardH(z, 2026); got != want {
			t.Errorf("%s: %d, want %d", zone, got, want)
		}
	}
}

// Lows and highs that a farm with its own record writes down are the record.
func TestOwnRecord(t *testing.T) {
	f := smallFarm(t)
	for d := range 5 {
		low, high := qty.Celsius(20), qty.Celsius(33)
		f.write(f.now.AddDate(0, 0, -d), "site", &journal.Site{Place: "outside", LowC: &low, HighC: &high})
	}
	air := func(source string) *Air {
		t.Helper()
		f.write(f.now, "setting", &journal.Setting{Key: "site", Value: json.RawMessage(`{"source":"` + source + `"}`)})
		a, err := f.twins.airFor(f.app.State(), f.app.Now())
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	for source, says := range map[string]string{"own record": "the site's own record", "typed": "typed by hand"} {
		a := air(source)
		if !strings.Contains(a.Notes[0], says) {
			t.Errorf("%s: %q", source, a.Notes[0])
		}
		if noon := a.Outside.Air.At(f.now.Unix()/3600 + 6); noon.TempC < 27 { // 15 h there, a June day of 33 C
			t.Errorf("%s: %.1f C in the afternoon", source, noon.TempC)
		}
	}
	if air("own record").Outside.Days[len(air("own record").Outside.Days)-1].Origin == climate.Measured {
		t.Error("the days ahead are not measured")
	}
	if a, b := air("typed"), air("typed"); a != b {
		t.Error("the same air was worked out twice")
	}
}

// The beds that warm a barn are those that lived in it then, so that a bedding
// of today leaves the air of last month as it was.
func TestBedsAreCountedOverTime(t *testing.T) {
	f := smallFarm(t)
	before := livingIn(f.app.State())["1"]
	at := midsummer.AddDate(0, 0, 10)
	f.now = at
	f.write(at, "harvest", &journal.Harvest{Bins: []string{"B2"}, How: "whole", EndsBed: true})
	after := livingIn(f.app.State())["1"]
	hour := at.Unix() / 3600
	for d := int64(-20); d < 10; d++ {
		if a, b := before.at(hour-d*24-1), after.at(hour-d*24-1); d >= 0 && a != b {
			t.Errorf("%d days before the harvest there were %.0f, now %.0f", d, a, b)
		}
	}
	if after.at(hour+1) != 5 || after.most() != 6 || before.at(hour-1000) != 6 {
		t.Errorf("%.0f live on, at most %d did, %.0f before the journal", after.at(hour+1), after.most(), before.at(hour-1000))
	}
	var nobody *lived
	if nobody.at(hour) != 0 || nobody.most() != 0 {
		t.Error("an empty barn holds no bed")
	}
}

// A round that is told to stop stops, and leaves the last one.
func TestARoundThatIsStopped(t *testing.T) {
	f := smallFarm(t)
	ctx, cancel := context.WithCancel(context.Background())
	_, err := f.twins.MakeRound(ctx, func(step string, done, _ int) {
		if done == 1 {
			cancel()
		}
	})
	if err == nil || !f.twins.Stale(context.Background()) {
		t.Errorf("stopped, and it says %v", err)
	}
}

// nowhere keeps nothing.
func (f *small) remake(bins ...string) error {
	left, err := f.twins.RemakeBins(context.Background(), bins, nil)
	if err == nil && len(left) > 0 {
		err = fmt.Errorf("%v were not come to", left)
	}
	return err
}

type nowhere struct{}

func (nowhere) Snapshot(context.Context, string, string, string) ([]byte, bool, error) {
	return nil, false, nil
}
func (nowhere) PutSnapshots(context.Context, string, []Snap) error { return nil }
func (nowhere) Result(context.Context, string, string) ([]byte, time.Time, bool, error) {
	return nil, time.Time{}, false, nil
}
func (nowhere) PutResults(context.Context, string, string, time.Time, map[string][]byte) error {
	return nil
}
