package app

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

var monday = time.Date(2026, 3, 2, 16, 0, 0, 0, time.UTC)

func openTest(t *testing.T) *App {
	t.Helper()
	a, store, err := OpenFile(context.Background(), filepath.Join(t.TempDir(), "farm.wormyard"), func() time.Time { return monday })
	if err != nil {
		t.Fatal(err)
	}
	store.Now = func() time.Time { return monday }
	t.Cleanup(func() {
		if err := store.Close(); err != nil {
			t.Error(err)
		}
	})
	return a
}

func readSample(t *testing.T) FirstForm {
	t.Helper()
	file, err := os.Open("testdata/first_morning.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	form, ps, err := ReadFirst(file)
	if err != nil || len(ps) > 0 {
		t.Fatalf("the sample is not read: %v %v", err, ps)
	}
	return form
}

func near(a, b, rel float64) bool { return math.Abs(a-b) <= rel*math.Abs(b) }

func TestFirstMorning(t *testing.T) {
	a := openTest(t)
	began := time.Now()
	saved, ps, err := a.Begin(context.Background(), readSample(t), "owner", false)
	if err != nil || len(ps) > 0 {
		t.Fatalf("not taken: %v %v", err, ps)
	}
	t.Logf("%d entries for 240 bins in %v", saved, time.Since(began))
	s := a.State()
	if d := s.Doubts(); len(d) > 0 {
		t.Errorf("doubts on the first morning: %v", d)
	}
	if n, living := len(s.Bins()), len(s.Living()); n != 240 || living != 236 {
		t.Fatalf("%d bins, %d with a bed; want 240 and 236", n, living)
	}
	if s.Settings.Name != "Heron Slough" || s.Zone().String() != "America/Los_Angeles" || s.Settings.Units != qty.US || len(s.Settings.People) != 3 {
		t.Errorf("settings %+v", s.Settings)
	}
	// 47 in is 1.1938 m; the bed is 10 in deep.
	b, _ := s.Bin("B1")
	if b.Slot.String() != "North/1/1/1" || s.Called(b) != "1-1 low" {
		t.Errorf("B1 stands in %s, called %s", b.Slot, s.Called(b))
	}
	if len(b.Box.Assumed) > 0 || !near(float64(b.Box.Area()), 1.1938*1.1938, 1e-9) {
		t.Errorf("box %+v", b.Box)
	}
	if got, want := float64(b.Bed.Start.Matter.Volume), 1.1938*1.1938*0.254; !near(got, want, 1e-9) {
		t.Errorf("the bed holds %g m3, want %g", got, want)
	}
	if b.Bed.Start.Matter.Dry <= 0 {
		t.Error("the bed has no dry matter")
	}
	// Middle stock is 5 kg/m2, good to a factor of two.
	want := 5 * 1.1938 * 1.1938
	if got := b.Bed.Stock; !near(float64(got.Best), want, 1e-9) || !near(float64(got.Low), want/2, 1e-9) || !near(float64(got.High), want*2, 1e-9) {
		t.Errorf("stock %v, want %g", got, want)
	}
	if got := b.Bed.Start; !near(float64(got.AgeDays), 4*365.25/12, 1e-9) || got.AgeLow >= got.AgeDays || got.AgeHigh <= got.AgeDays {
		t.Errorf("age %v (%v to %v)", got.AgeDays, got.AgeLow, got.AgeHigh)
	}
	if d, ok := b.Bed.SinceFed(a.Now()); !ok || !near(float64(d), 5, 1e-3) {
		t.Errorf("fed %v days ago, want 5", d)
	}
	// Row 3 of North is B49 to B72: two months, seven inches.
	c, _ := s.Bin("B49")
	if c.Slot.Row != "3" || !near(float64(c.Bed.Start.AgeDays), 2*365.25/12, 1e-9) || !near(float64(c.Bed.Start.Depth), 7*0.0254, 1e-9) {
		t.Errorf("B49: %+v", c.Bed.Start)
	}
	if e, _ := s.Bin("B41"); e.Bed != nil || e.State != farm.Empty {
		t.Error("B41 is not empty")
	}
	low, _ := s.Bin("B121")
	if low.Slot.Barn != "South" || low.Cover != "film" || !near(float64(low.Bed.Stock.Best), want/2, 1e-9) {
		t.Errorf("B121: cover %s, stock %v", low.Cover, low.Bed.Stock)
	}
	if h := s.FarmHabit(); h.EveryDays != 7 || !near(float64(h.Depth), 1.5*0.0254, 1e-9) || h.From != 0 {
		t.Errorf("habit %+v", h)
	}
	if len(s.Lying()) != 4 {
		t.Errorf("%d piles lie in the yard, want 4", len(s.Lying()))
	}
	rabbit, _ := s.Pile("rabbit")
	if age := monday.Sub(rabbit.Since.At).Hours() / 24; !near(age, 2*365.25/12, 0.01) || len(rabbit.Declared) != 1 {
		t.Errorf("rabbit manure is %g days old, declared %v", age, rabbit.Declared)
	}
	if bt, ok := s.Batch("41"); !ok || len(s.Feeding()) != 1 || !near(float64(bt.Made.Volume), 6*0.764554857984, 1e-9) {
		t.Errorf("the mix that lies ready: %+v", bt)
	}
	if w := s.Weather(); len(w) != 1 || w[0].Low == nil || w[0].Outlook {
		t.Errorf("weather %v", w)
	}
	barns := s.Barns()
	if len(barns) != 2 || len(barns[0].Setup.Rows) != 5 || !near(barns[0].Setup.LengthM, 110*0.3048, 1e-9) {
		t.Errorf("barns %+v", barns[0].Setup)
	}

	if _, ps, _ := a.Begin(context.Background(), readSample(t), "owner", true); len(ps) == 0 {
		t.Error("a second first morning is taken")
	}
}

// TestFirstMorningBare sets a farm up with nothing but rows, stacks and height:
// everything that is taken is asked about, and a yes makes a farm.
func TestFirstMorningBare(t *testing.T) {
	a := openTest(t)
	form := FirstForm{Barns: []FirstBarn{{Name: "Old", Rows: "2", Stacks: "4, 3", High: "2"}}}
	saved, ps, err := a.Begin(context.Background(), form, "owner", false)
	if err != nil || saved != 0 {
		t.Fatalf("saved %d without asking, %v", saved, err)
	}
	asked := map[string]bool{}
	for _, p := range ps {
		if !p.Doubt {
			t.Errorf("refused: %+v", p)
		}
		asked[p.Field] = true
	}
	for _, f := range []string{"length", "depth", "material", "age", "stock", "place"} {
		if !asked[f] {
			t.Errorf("%s is taken without asking", f)
		}
	}
	if _, ps, err = a.Begin(context.Background(), form, "owner", true); err != nil {
		t.Fatal(err)
	}
	s := a.State()
	if len(s.Living()) != 14 {
		t.Fatalf("%d beds, want 14: %v", len(s.Living()), ps)
	}
	b, _ := s.Bin("B8")
	if b.Bed.Start.AgeHigh < 9*b.Bed.Start.AgeLow*0.99 {
		t.Errorf("an age nobody told runs from %v to %v days", b.Bed.Start.AgeLow, b.Bed.Start.AgeHigh)
	}
	if len(b.Box.Assumed) != 3 {
		t.Errorf("assumed of the box: %v", b.Box.Assumed)
	}
}

// TestFirstMorningWrong holds that everything wrong is told at once, each at its
// own field and with what to do.
func TestFirstMorningWrong(t *testing.T) {
	a := openTest(t)
	form := readSample(t)
	form.Zone, form.Units, form.Depth, form.Stock, form.Age, form.Material = "Pacific", "imperial", "10", "plenty", "old", "moon dust"
	form.Barns[1].Stacks, form.Barns[0].Name = "eight", "Nor/th"
	form.Except = []string{"row 9: empty", "B17", "B1: colour red", "B2: depth 40 in"}
	form.Piles[0].Amount, form.Piles[1].Material = "a heap", "rabit manur"
	form.LowToday, form.HighToday = "60 F", "40 F"
	form.Mixes = []FirstMix{{Name: "41", Parts: "3 yd3 solids, 1 yd3 straw"}}
	saved, ps, err := a.Begin(context.Background(), form, "owner", true)
	if err != nil || saved != 0 || len(a.State().Journal()) != 0 {
		t.Fatalf("saved %d, %v", saved, err)
	}
	told := map[string]int{}
	for _, p := range ps {
		told[p.Field]++
		if p.Say == "" || p.Try == "" || strings.ContainsAny(p.Say+p.Try, "!") || strings.Contains(strings.ToLower(p.Say), "invalid") {
			t.Errorf("%s: %q %q", p.Field, p.Say, p.Try)
		}
	}
	for _, f := range []string{"zone", "units", "depth", "stock", "age", "material", "barns[1].stacks", "barns[0].name", "except[0]", "except[1]", "piles[0].amount", "piles[1].material", "low_today", "mixes[0].parts"} {
		if told[f] == 0 {
			t.Errorf("nothing is told of %s", f)
		}
	}
}

func TestReadFirst(t *testing.T) {
	form, ps, err := ReadFirst(strings.NewReader("\ufeffwhat;of;value\nfarm;;Test\nbarn;A;3 rows, 8 8 7 stacks, 3 high\nbarnn;B;1 rows\nbin size;;47 in\npile;x;chips\nfarm;;Other\nbarn size;C;1 m x 1 m x 1 m\n"))
	if err != nil {
		t.Fatal(err)
	}
	if form.Barns[0].Stacks != "8 8 7" || form.Barns[0].High != "3" {
		t.Errorf("barn %+v", form.Barns[0])
	}
	rows := map[int]bool{}
	for _, p := range ps {
		rows[p.Row] = true
	}
	for _, r := range []int{4, 5, 6, 7} {
		if !rows[r] {
			t.Errorf("nothing is told of line %d: %v", r, ps)
		}
	}
	if len(ps) != 5 {
		t.Errorf("%d problems, want 5: %v", len(ps), ps)
	}
}

func TestSpan(t *testing.T) {
	for text, want := range map[string]float64{"5 days": 5, "3 weeks": 21, "2 months": 2 * 365.25 / 12, "1 1/2 years": 1.5 * 365.25, "3 days ago": 3, "today": 0, "a month old": 365.25 / 12, "12 h": 0.5, "hace 5 días": 5, "3 semanas": 21, "2 meses": 2 * 365.25 / 12, "hoy": 0, "1 año": 365.25} {
		if got, err := Span(text); err != nil || !near(float64(got)+1, want+1, 1e-12) {
			t.Errorf("%q is %v days, want %g (%v)", text, got, want, err)
		}
	}
	for _, text := range []string{"", "5", "old", "-2 days", "months"} {
		if got, err := Span(text); err == nil {
			t.Errorf("%q is taken as %v days", text, got)
		}
	}
}

func TestRecord(t *testing.T) {
	a, ctx := openTest(t), context.Background()
	if _, ps, err := a.Begin(ctx, readSample(t), "owner", false); err != nil || len(ps) > 0 {
		t.Fatal(err, ps)
	}
	inch := qty.Metre(0.0254)
	ask := func(name string, e journal.Entry, wantDoubt bool, words ...string) {
		t.Helper()
		ack, err := a.Record(ctx, e, false)
		if err != nil || ack.Saved {
			t.Errorf("%s: saved %v, %v", name, ack.Saved, err)
			return
		}
		all := ""
		doubt := true
		for _, p := range ack.Problems {
			all += p.Say + " " + p.Try + " "
			doubt = doubt && p.Doubt
		}
		if doubt != wantDoubt {
			t.Errorf("%s: doubtful %v, want %v: %s", name, doubt, wantDoubt, all)
		}
		for _, w := range words {
			if !strings.Contains(all, w) {
				t.Errorf("%s: %q is not in %q", name, w, all)
			}
		}
	}
	mix := journal.Entry{Kind: "blend", Who: "crew 1", Body: &journal.Blend{Batch: "43", Parts: []journal.BlendPart{{Pile: "solids", VolumeM3: point(qty.CubicMetre(2))}, {Pile: "chips", VolumeM3: point(qty.CubicMetre(1))}}}}
	if ack, err := a.Record(ctx, mix, false); err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	ask("an unknown bin", journal.Entry{Kind: "feed", Body: &journal.Feed{Bins: []string{"B999"}, Batch: "43", DepthM: point(inch)}}, false, "B999")
	ask("an unknown batch", journal.Entry{Kind: "feed", Body: &journal.Feed{Bins: []string{"B12"}, Batch: "77", DepthM: point(inch)}}, true, "77")
	ask("an entry older than the bin", journal.Entry{Kind: "feed", At: monday.AddDate(-5, 0, 0), Body: &journal.Feed{Bins: []string{"B12"}, Batch: "43", DepthM: point(inch)}}, false, "B12")
	ask("a feed deeper than the bin", journal.Entry{Kind: "feed", Body: &journal.Feed{Bins: []string{"B12"}, Batch: "43", DepthM: point(30 * inch)}}, false, "23 in deep")
	ask("a harvest of an empty bin", journal.Entry{Kind: "harvest", Body: &journal.Harvest{Bins: []string{"B41"}, EndsBed: true}}, false, "B41")
	ask("more from a pile than lies there", journal.Entry{Kind: "blend", Body: &journal.Blend{Batch: "42", Parts: []journal.BlendPart{{Pile: "rabbit", VolumeM3: point(qty.CubicMetre(30))}}}}, true, "lies there")
	ask("bedding over a bed", journal.Entry{Kind: "bed", Body: &journal.Bed{Bins: []string{"B12"}, Batch: "43", DepthM: 6 * inch}}, true, "holds a bed")
	ask("a move onto another bin", journal.Entry{Kind: "move", Body: &journal.Move{Bin: "B1", To: "North/1/2/1"}}, true, "stands in")
	ask("an odd setting", journal.Entry{Kind: "setting", Body: &journal.Setting{Key: "units", Value: []byte(`"imperial"`)}}, false, "metric")

	before := len(a.State().Journal())
	feed := journal.Entry{ID: "019a0000-0000-7000-8000-000000000001", At: monday, Kind: "feed", Who: "crew 1", Body: &journal.Feed{Bins: []string{"B1", "B2"}, Batch: "43", DepthM: point(2 * inch)}}
	for range 2 { // twice is once
		if ack, err := a.Record(ctx, feed, false); err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
	}
	if got := len(a.State().Journal()); got != before+1 {
		t.Errorf("%d entries more, want 1", got-before)
	}
	other := feed
	other.Body = &journal.Feed{Bins: []string{"B3"}, Batch: "43", DepthM: point(2 * inch)}
	if ack, err := a.Record(ctx, other, false); err != nil || ack.Saved || len(ack.Problems) == 0 {
		t.Errorf("another body under the same id: saved %v, %v", ack.Saved, err)
	}

	// Fed: 2 in on 1.1938 m square, from 3 m3 mixed.
	bt, _ := a.State().Batch("43")
	if got, want := bt.FedShare(), 2*1.1938*1.1938*2*0.0254/3; !near(got, want, 1e-9) {
		t.Errorf("%.6f of the batch is fed, want %.6f", got, want)
	}
	ack, err := a.Strike(ctx, feed.ID, "crew 1", "wrong row")
	if err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	if b, _ := a.State().Bin("B1"); b.Bed.LastFeed != nil {
		t.Error("the feeding still counts after the strike")
	}
	if again, err := a.Strike(ctx, feed.ID, "crew 1", "again"); err != nil || again.Saved {
		t.Error("struck twice", err)
	}
	if back, err := a.Strike(ctx, ack.Entry.ID, "owner", "it was right"); err != nil || !back.Saved {
		t.Fatal(err, back.Problems)
	}
	if b, _ := a.State().Bin("B1"); b.Bed.LastFeed == nil {
		t.Error("the feeding does not live again after its strike was struck")
	}

	late := journal.Entry{Kind: "water", At: monday.Add(-time.Millisecond), Body: &journal.Water{Bins: []string{"B1"}, Kg: 5}}
	if ack, err := a.Record(ctx, late, false); err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}

	// Opened again, the same farm.
	want := a.State()
	b, err := Open(ctx, a.Journal, a.Clock)
	if err != nil {
		t.Fatal(err)
	}
	if got := b.State(); got.Entries != want.Entries || got.LastID != want.LastID || len(got.Doubts()) != len(want.Doubts()) {
		t.Errorf("opened again: %d entries, last %s; want %d, %s", got.Entries, got.LastID, want.Entries, want.LastID)
	}
}
