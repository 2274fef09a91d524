package sqlite

import (
	"context"
	"database/sql"
	"path/filepath"
	"testing"
	"time"

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

// A restored farm has its people, and nobody is signed in: a session that was
// ended since the backup does not come back to life. So it is with a backup from
// before there were people.
func TestRestoreSignsEverybodyOut(t *testing.T) {
	ctx, dir := context.Background(), t.TempDir()
	s, err := Open(filepath.Join(dir, "farm"))
	if err != nil {
		t.Fatal(err)
	}
	door := people.New(s.People(), time.Now)
	door.Cost = people.Cost{Time: 1, Memory: 8, Lanes: 1}
	in, err := door.FirstOwner(ctx, "Ana", "three wet gloves", "three wet gloves", people.Visit{})
	if err != nil {
		t.Fatal(err)
	}
	link, _, err := door.Invite(ctx, in.Who, "Ben", people.Crew)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Backup(ctx, filepath.Join(dir, "copy"), false); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(ctx, filepath.Join(dir, "copy"), filepath.Join(dir, "again"), false, "x"); err != nil {
		t.Fatal(err)
	}
	s, err = Open(filepath.Join(dir, "again"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	door = people.New(s.People(), time.Now)
	if _, ok, err := door.Who(ctx, in.Session); ok || err != nil {
		t.Errorf("the session lives: %v", err)
	}
	if _, err := door.Invited(ctx, link); err == nil {
		t.Error("the link works")
	}
	if _, err := door.SignIn(ctx, "Ana", "three wet gloves", people.Visit{}); err != nil {
		t.Error(err)
	}

	old := filepath.Join(dir, "old") // layout 1
	db, err := sql.Open("sqlite", dsn(old))
	if err != nil {
		t.Fatal(err)
	}
	text, err := migrations.ReadFile("migrations/0001_journal.sql")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec(string(text) + "; PRAGMA application_id=0x57524D59; PRAGMA user_version=1"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	if _, err := Restore(ctx, old, filepath.Join(dir, "new"), false, "x"); err != nil {
		t.Fatal(err)
	}
	n, err := Open(filepath.Join(dir, "new"))
	if err != nil {
		t.Fatal(err)
	}
	defer n.Close()
	if has, err := people.New(n.People(), time.Now).HasOwner(ctx); has || err != nil {
		t.Errorf("%v %v", has, err)
	}
}
