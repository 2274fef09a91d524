package sqlite

import (
	"testing"

	"wormyard/internal/people"
	"wormyard/internal/storetest"
)

func TestPeopleStore(t *testing.T) {
	storetest.RunPeople(t, func(t *testing.T, path string) people.Store {
		t.Helper()
		s, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { s.Close() })
		return s.People()
	})
}
