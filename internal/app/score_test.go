package app

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

func (f *small) stab(at time.Time, bin string, c float64) string {
	f.t.Helper()
	depth, temp := qty.Metre(0.15), qty.Celsius(c)
	ack, err := f.app.Record(context.Background(), journal.Entry{Kind: "reading", Who: "crew 1", At: at, Body: &journal.Reading{Bin: bin, TempC: &temp, DepthM: &depth, Probe: "dial"}}, true)
	if err != nil || !ack.Saved {
		f.t.Fatal(err, ack.Problems)
	}
	return ack.Entry.ID
}

// later sets the clock on, of which the store makes when an entry was taken.
func (f *small) later(days float64) { f.now = f.now.Add(time.Duration(days*24) * time.Hour) }

func (f *small) score(most int) int {
	f.t.Helper()
	f.twins.Scores = f.store
	left, err := f.twins.Score(context.Background(), most, func(string, int, int) {})
	if err != nil {
		f.t.Fatal(err)
	}
	return left
}

func (f *small) scores() []twin.Score {
	f.t.Helper()
	all, err := f.store.Scores(context.Background())
	if err != nil {
		f.t.Fatal(err)
	}
	return all
}

func (f *small) trust() *Trust {
	f.t.Helper()
	f.twins.Scores = f.store
	tr, err := f.twins.Trust(context.Background())
	if err != nil {
		f.t.Fatal(err)
	}
	return tr
}

var nans = cmpopts.EquateNaNs()

// aFarmThatReads has a stab a day later than three weeks after it began, of a bin
// that was fed in between, and is at the day on which it is settled.
func aFarmThatReads(t *testing.T) (*small, string) {
	f := smallFarm(t)
	f.later(12)
	f.feed(f.now, "B1")
	f.later(9)
	id := f.stab(f.now, "B1", 21)
	f.later(4)
	return f, id
}

// A reading is scored once for each horizon that the farm was there for, by the
// forecast of the time: issued where ensembles stop, at most six hours before the
// horizon.
func TestAReadingIsScored(t *testing.T) {
	f, id := aFarmThatReads(t)
	if left := f.score(9); left != 0 {
		t.Errorf("%d left", left)
	}
	all := f.scores()
	if len(all) != 4 {
		t.Fatalf("%d scores, want one a horizon", len(all))
	}
	for i, days := range ScoreDays {
		s := all[i]
		lead := s.Hour - s.Issue
		if s.Bin != "B1" || s.Entry != id || s.Kind != twin.Temperature || s.Days != days || s.Told != 21 || lead < int64(days)*24 || lead >= int64(days)*24+6 || s.Issue%6 != 0 {
			t.Errorf("%+v", s)
		}
		if !(s.Low < s.LowMid && s.LowMid < s.Mid && s.Mid < s.HighMid && s.HighMid < s.High) || !(s.CRPS > 0) || s.Below < 0 || s.Below > 1 {
			t.Errorf("%+v", s)
		}
		if !math.IsNaN(s.LastCRPS) { // nothing was read before
			t.Error("a plain forecast was made of nothing")
		}
	}
	if f.score(9) != 0 || len(f.scores()) != 4 {
		t.Error("it was scored again")
	}
}

// A reading is left alone until it is settled.
func TestAReadingWaitsUntilItIsSettled(t *testing.T) {
	f := smallFarm(t)
	f.later(9)
	f.stab(f.now, "B1", 21)
	f.later(2.9)
	if f.score(9); len(f.scores()) != 0 {
		t.Error("scored too soon")
	}
	f.later(0.2)
	if f.score(9); len(f.scores()) != 3 { // one, three and seven days before; not fourteen, when there was no farm
		t.Error(len(f.scores()))
	}
}

// What was written down after the issue about the time before it changes nothing of
// the forecast: a stab of the day before the issue that came late teaches it nothing,
// while one written down in time does.
func TestALateEntryDoesNotLeak(t *testing.T) {
	run := func(before, after func(f *small, day time.Time)) []twin.Score {
		f := smallFarm(t)
		day := f.now.AddDate(0, 0, 13)
		f.later(13)
		if before != nil {
			before(f, day)
		}
		f.later(7.5) // beyond the issue of a week before the reading, and those nearer by stay behind
		if after != nil {
			after(f, day)
		}
		f.later(0.5)
		f.stab(f.now, "B1", 21)
		f.later(4)
		f.score(99)
		return slices.DeleteFunc(f.scores(), func(s twin.Score) bool { return s.Hour < day.Unix()/3600+24*7 || s.Days != 7 })
	}
	stab := func(f *small, day time.Time) { f.stab(day.Add(-time.Hour), "B1", 35) }
	none, late, timely := run(nil, nil), run(nil, stab), run(stab, nil)
	if len(none) != 1 || len(late) != 1 || len(timely) != 1 {
		t.Fatal(len(none), len(late), len(timely))
	}
	ignore := cmpopts.IgnoreFields(twin.Score{}, "Entry", "LastCRPS", "SeasonCRPS")
	if diff := cmp.Diff(none, late, nans, ignore); diff != "" {
		t.Errorf("a late entry moved the forecast: %s", diff)
	}
	if timely[0].Mid <= none[0].Mid {
		t.Errorf("a warm reading in time left the forecast at %.2f C, %.2f without it", timely[0].Mid, none[0].Mid)
	}
}

// What was done between the issue and the reading is given to the forecast, however
// late it was written down before the reading was settled.
func TestWhatWasDoneIsGiven(t *testing.T) {
	run := func(kg qty.WaterKg) twin.Score {
		f := smallFarm(t)
		f.later(20)
		depth := qty.Metre(0.05)
		water := qty.WaterOfWet(0.75)
		ack, err := f.app.Record(context.Background(), journal.Entry{Kind: "reading", Who: "crew 1", At: f.now, Body: &journal.Reading{Bin: "B1", WaterFracWet: &water, DepthM: &depth, Probe: "other"}}, true)
		if err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
		f.later(1)
		if kg > 0 {
			f.write(f.now.AddDate(0, 0, -3), "water", &journal.Water{Bins: []string{"B1"}, Kg: kg})
		}
		f.later(4)
		f.score(9)
		all := slices.DeleteFunc(f.scores(), func(s twin.Score) bool { return s.Days != 7 })
		if len(all) != 1 {
			t.Fatal(len(all))
		}
		return all[0]
	}
	if dry, wet := run(0), run(30); wet.Mid <= dry.Mid {
		t.Errorf("30 kg of water leave the forecast at %.3f, %.3f without", wet.Mid, dry.Mid)
	}
}

// A struck reading is left out of the sums; its rows stay, and count again with it.
func TestAStruckReadingIsLeftOut(t *testing.T) {
	f, id := aFarmThatReads(t)
	f.score(9)
	if tr := f.trust(); tr.Readings != 1 || tr.Forecast != 4 || len(tr.Lines) != 4 {
		t.Fatalf("%+v", tr)
	}
	before := f.scores()
	ack, err := f.app.Strike(context.Background(), id, "wrong bin", "crew 1")
	if err != nil || !ack.Saved {
		t.Fatal(err)
	}
	if tr := f.trust(); tr.Readings != 0 || tr.Forecast != 0 || len(tr.Lines) != 0 {
		t.Errorf("%+v", tr)
	}
	if diff := cmp.Diff(before, f.scores(), nans); diff != "" {
		t.Error(diff)
	}
}

// The newest readings come first, so many at a time, and a stop and a restart end in
// the same rows as one go.
func TestScoringGoesOn(t *testing.T) {
	fill := func() (*small, []string) {
		f := smallFarm(t)
		var ids []string
		for range 3 {
			f.later(5)
			ids = append(ids, f.stab(f.now, "B1", 20), f.stab(f.now.Add(time.Minute), "B3", 18))
		}
		f.later(4)
		return f, ids
	}
	whole, _ := fill()
	if left := whole.score(99); left != 0 {
		t.Fatal(left)
	}
	f, ids := fill()
	if left := f.score(2); left != 4 || f.trust().Left != 4 {
		t.Fatalf("%d left", left)
	}
	for _, s := range f.scores() {
		if s.Entry != ids[4] && s.Entry != ids[5] {
			t.Errorf("%s came before the newest", s.Entry)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	f.twins.Scores = f.store
	if _, err := f.twins.Score(ctx, 99, func(_ string, done, _ int) {
		if done == 2 {
			stop()
		}
	}); err == nil {
		t.Fatal("it was stopped and said nothing")
	}
	f.restart()
	if left := f.score(99); left != 0 {
		t.Fatal(left)
	}
	want, got := whole.scores(), f.scores()
	entry := cmpopts.IgnoreFields(twin.Score{}, "Entry")
	byAll := cmpopts.SortSlices(func(a, b twin.Score) bool {
		return a.Hour < b.Hour || a.Hour == b.Hour && (a.Bin < b.Bin || a.Bin == b.Bin && a.Days < b.Days)
	})
	if diff := cmp.Diff(want, got, nans, entry, byAll); diff != "" {
		t.Error(diff)
	}
}

// A farm by hand: of four readings a week ahead one lies below, one above the whole
// range, two within the inner one; they are off by 10, 10, 1 and 1, half below.
func TestTrustAddsUp(t *testing.T) {
	at := func(entry string, off, below float64) twin.Score {
		return twin.Score{Bin: entry[:2], Entry: entry, Kind: twin.Temperature, Days: 7, Told: 20 + off, Low: 15, LowMid: 18, Mid: 20, HighMid: 22, High: 25, Below: below,
			CRPS: math.Abs(off) / 2, LastCRPS: math.Abs(off), SeasonCRPS: math.NaN(), SD: 2}
	}
	got := trustLines([]twin.Score{at("B1a", -10, 0.001), at("B1b", 10, 0.999), at("B2c", -1, 0.4), at("B2d", 1, 0.6)})
	want := []TrustLine{{Kind: twin.Temperature, Days: 7, N: 4, Bins: 2, In50: 0.5, In90: 0.5, Off: 5.5, Higher: 0, SD: 2, Wide: 10, CRPS: 2.75,
		Parts: []float64{0.25, 0, 0.25, 0.25, 0.25}, Last: &Against{N: 4, CRPS: 2.75, Plain: 5.5}}}
	if diff := cmp.Diff(want, got, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Error(diff)
	}
	if less := got[0].Last.Less(); math.Abs(less-0.5) > 1e-12 {
		t.Error(less)
	}
}

// What limits is told by hand: readings to one side; ranges that hold too few; a day
// ahead as bad as two weeks; else what is to come.
func TestWhatLimits(t *testing.T) {
	line := func(days, n int, higher, in90, crps float64) TrustLine {
		return TrustLine{Kind: twin.Temperature, Days: days, N: n, Off: 2, Higher: higher, In90: in90, CRPS: crps}
	}
	for want, lines := range map[string][]TrustLine{
		"":          {line(7, 19, 2, 0.5, 1)},
		LimitOff:    {line(7, 20, -1.5, 0.5, 1)},
		LimitNarrow: {line(7, 20, 0.5, 0.8, 1)},
		LimitNow:    {line(1, 20, 0, 0.9, 0.9), line(7, 20, 0, 0.9, 1), line(14, 20, 0, 0.9, 1)},
		LimitAhead:  {line(1, 20, 0, 0.9, 0.4), line(7, 20, 0, 0.9, 0.9), line(14, 20, 0, 0.9, 1)},
	} {
		got := limitOf(lines)
		if got == nil && want != "" || got != nil && got.Cause != want {
			t.Errorf("%q: %+v", want, got)
		}
	}
}

// The plain forecasts by hand. Readings of one bin a week apart go on from the last:
// with rises of 1 each week nothing is damped, so the forecast is one more, without
// spread. What is usual is what was read about that time, of whatever bin.
func TestPlainForecasts(t *testing.T) {
	p := &plainly{map[twin.Kind][]atHour{}}
	for i := range 20 {
		p.by[twin.Temperature] = append(p.by[twin.Temperature], atHour{hour: int64(i * 7 * 24), recorded: int64(i * 7 * 24), bin: "B1", depth: 0.15, v: 10 + float64(i)})
	}
	s := twin.Score{Bin: "B1", Kind: twin.Temperature, DepthM: 0.15, Hour: 20 * 7 * 24, Issue: 19 * 7 * 24, Told: 33}
	for _, v := range p.last(&s) {
		if math.Abs(v-30) > 1e-9 {
			t.Fatal(v)
		}
	}
	p.score(&s)
	if math.Abs(s.LastCRPS-3) > 1e-9 {
		t.Error(s.LastCRPS)
	}
	// within 45 days of day 140 and known by day 133: days 98 to 133, of which there are 6
	if v := p.season(&s); len(v) != 6 || !math.IsNaN(s.SeasonCRPS) {
		t.Error(v, s.SeasonCRPS)
	}
	s.Issue -= 7 * 24 * 12 // eight readings are too few
	if v := p.last(&s); v != nil {
		t.Error(v)
	}
}
