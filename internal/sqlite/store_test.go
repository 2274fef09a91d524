package sqlite

import (
	"testing"

	"wormyard/internal/storetest"
)

func TestStore(t *testing.T) {
	storetest.Run(t, func(t *testing.T, path string) storetest.Store {
		t.Helper()
		s, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		return s
	})
}

func TestScores(t *testing.T) {
	storetest.RunScores(t, func(t *testing.T, path string) storetest.ScoreStore {
		t.Helper()
		s, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		return s
	})
}
