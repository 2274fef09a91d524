package main

import (
	"context"
	"database/sql"
	"path/filepath"
	"strings"
	"testing"

	"wormyard/internal/sqlite"
)

// verify tells of a photo that was changed, by its name, and the answer says
// that something is broken.
func TestVerifyLooksAtPhotos(t *testing.T) {
	path := filepath.Join(t.TempDir(), "farm")
	store, err := sqlite.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	name, err := store.KeepPhoto(context.Background(), []byte{0xff, 0xd8, 1, 2, 3}, 40, 30)
	if err != nil {
		t.Fatal(err)
	}
	if err := store.Close(); err != nil {
		t.Fatal(err)
	}
	if code, out, said := play("", "verify", "--farm", path); code != 0 || !strings.Contains(out, "1 photo as put away.") {
		t.Fatalf("%d %s %s", code, out, said)
	}
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("UPDATE photo SET data = x'00'"); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	if code, out, said := play("", "verify", "--farm", path); code != 1 || strings.Contains(out, "as put away") || !strings.Contains(said, name) || !strings.Contains(said, "was changed") {
		t.Errorf("%d %s %s", code, out, said)
	}
	if code, out, _ := play("", "verify", "--farm", path, "--json"); code != 1 || !strings.Contains(out, `"is_broken": true`) || !strings.Contains(out, `"photos": 1`) {
		t.Errorf("%d %s", code, out)
	}
}
