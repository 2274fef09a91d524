package storetest

import (
	"context"
	"math"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"wormyard/twin"
)

// ScoreStore is what every store of scores does.
type ScoreStore interface {
	KeepScores(ctx context.Context, list []twin.Score, looked []string) error
	Scores(ctx context.Context) ([]twin.Score, error)
	Looked(ctx context.Context) (map[string]bool, error)
	Close() error
}

// RunScores puts a store of scores through the suite. Open opens the same store
// each time within one test.
func RunScores(t *testing.T, open func(t *testing.T, path string) ScoreStore) {
	ctx := context.Background()
	first := twin.Score{Bin: "B1", Entry: "e1", Kind: twin.Temperature, Days: 7, Hour: 490000, Issue: 489830, DepthM: 0.15, Told: 21.5, SD: 1.7,
		Low: 15, LowMid: 18, Mid: 20, HighMid: 22, High: 25, Below: 0.62, CRPS: 1.25, LastCRPS: 1.5, SeasonCRPS: math.NaN(), Make: "m1", Made: 490100}
	day := first
	day.Days, day.Issue, day.SeasonCRPS = 1, 489974, 2.5
	count := first
	count.Entry, count.Kind, count.Hour, count.Told = "e0", twin.WormsKg, 480000, math.Log(4)
	same := cmpopts.EquateNaNs()
	t.Run("kept for ever", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "farm.wormyard")
		s := open(t, path)
		if err := s.KeepScores(ctx, []twin.Score{first, count, day}, []string{"e1", "e0", "e9"}); err != nil {
			t.Fatal(err)
		}
		other := first
		other.CRPS, other.Make = 99, "m2"
		if err := s.KeepScores(ctx, []twin.Score{other}, []string{"e1"}); err != nil {
			t.Fatal(err)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		s = open(t, path)
		defer s.Close()
		got, err := s.Scores(ctx)
		if diff := cmp.Diff([]twin.Score{count, day, first}, got, same); err != nil || diff != "" {
			t.Error(err, diff)
		}
		looked, err := s.Looked(ctx)
		if diff := cmp.Diff(map[string]bool{"e0": true, "e1": true, "e9": true}, looked); err != nil || diff != "" {
			t.Error(err, diff)
		}
	})
	t.Run("all or none", func(t *testing.T) {
		s := open(t, filepath.Join(t.TempDir(), "farm.wormyard"))
		defer s.Close()
		broken := day
		broken.CRPS = math.NaN()
		if err := s.KeepScores(ctx, []twin.Score{first, broken}, []string{"e1"}); err == nil {
			t.Error("a score that is no number was taken")
		}
		got, err := s.Scores(ctx)
		looked, err2 := s.Looked(ctx)
		if err != nil || err2 != nil || len(got) > 0 || len(looked) > 0 {
			t.Error(got, looked, err, err2)
		}
	})
	t.Run("an empty store", func(t *testing.T) {
		s := open(t, filepath.Join(t.TempDir(), "farm.wormyard"))
		defer s.Close()
		got, err := s.Scores(ctx)
		if err != nil || len(got) > 0 {
			t.Error(got, err)
		}
	})
}
