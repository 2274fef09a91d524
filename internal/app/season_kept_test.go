package app

import (
	"context"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"wormyard/season"
)

// openTwins opens a farm's file as a program that begins does, at a time that may move on.
func openTwins(t *testing.T, path string, at *time.Time) *Twins {
	t.Helper()
	a, store, err := OpenFile(context.Background(), path, func() time.Time { return *at })
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	tw, err := NewTwins(a, KeepIn{store})
	if err != nil {
		t.Fatal(err)
	}
	return tw
}

// A plan is there when the program begins again; one of an earlier week is what the
// newest is held against, however often that is made anew within its week.
func TestPlansAreKept(t *testing.T) {
	ctx, path := context.Background(), filepath.Join(t.TempDir(), "farm.wormyard")
	at := time.Date(2026, 3, 5, 9, 0, 0, 0, time.UTC) // a Thursday
	open := func() *Twins { return openTwins(t, path, &at) }
	tw := open()
	if y, _ := tw.Years(ctx); y != nil || tw.YearDue(ctx) {
		t.Fatal("a plan that nobody made")
	}
	keep := func(worth float64) {
		y := &Year{Made: at, Weeks: 4, Plan: season.Plan{Value: worth, Steps: []season.Step{{Weeks: 1, Start: map[string]float64{"usual": 2}}}}}
		if err := tw.keepYear(ctx, y); err != nil {
			t.Fatal(err)
		}
	}
	keep(1)
	keep(2)
	if _, before := tw.Years(ctx); before != nil || tw.YearDue(ctx) {
		t.Error("a plan of the same week is held against itself")
	}
	at = at.AddDate(0, 0, 4) // Monday
	if !tw.YearDue(ctx) {
		t.Error("a new week asks for no new plan")
	}
	keep(3)
	at = at.AddDate(0, 0, 2)
	keep(4)
	for _, of := range []*Twins{tw, open()} {
		newest, before := of.Years(ctx)
		if newest == nil || before == nil || newest.Plan.Value != 4 || before.Plan.Value != 2 || newest.Plan.Steps[0].Start["usual"] != 2 || !newest.Made.Equal(at) {
			t.Fatalf("newest %+v, before %+v", newest, before)
		}
	}
}

// Who goes away while the plan is read the first time leaves it to be read by the next,
// and a plan is not put in place of one that could not be read.
func TestAPlanThatWasNotReadIsNotGone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "farm.wormyard")
	at := time.Date(2026, 3, 5, 9, 0, 0, 0, time.UTC)
	open := func() *Twins { return openTwins(t, path, &at) }
	if err := open().keepYear(context.Background(), &Year{Made: at, Weeks: 4}); err != nil {
		t.Fatal(err)
	}
	gone, leave := context.WithCancel(context.Background())
	leave()
	tw := open()
	if err := tw.keepYear(gone, &Year{Made: at, Weeks: 5}); err == nil {
		t.Error("a plan was put in place of one that was not read")
	}
	if y, _ := tw.Years(gone); y != nil {
		t.Fatal("the plan was read by one who is gone: the test says nothing")
	}
	if y, _ := tw.Years(context.Background()); y == nil || y.Weeks != 4 {
		t.Errorf("the plan is gone: %+v", y)
	}
}

// What more may be promised is asked once for each month, of its first period: weeks up
// to the thirteenth, then every fourth.
func TestOnePeriodAMonthIsAsked(t *testing.T) {
	got := monthWeeks(time.Date(2026, 3, 5, 9, 0, 0, 0, time.UTC), 26)
	if want := []float64{0, 4, 9, 13, 17, 25}; !slices.Equal(got, want) { // 5 March, 2 April, 7 May, 4 June, 2 July (30 July is July again), 27 August
		t.Errorf("%v", got)
	}
}
