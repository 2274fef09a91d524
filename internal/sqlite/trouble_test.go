package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"wormyard/internal/storetest"
)

func mustOpen(t *testing.T, path string) *Store {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// said asserts that err is told in words that hold all of want.
func said(t *testing.T, err error, want ...string) {
	t.Helper()
	var trouble *Trouble
	if !errors.As(err, &trouble) {
		t.Fatalf("not told in words: %v", err)
	}
	for _, w := range want {
		if !strings.Contains(err.Error(), w) {
			t.Fatalf("%q does not say %q", err, w)
		}
	}
	if trouble.Say == "" || trouble.Try == "" || strings.ContainsAny(err.Error(), "!") {
		t.Fatalf("%q", err)
	}
}

func TestAFullDiskIsTold(t *testing.T) {
	s := mustOpen(t, filepath.Join(t.TempDir(), "farm.wormyard"))
	ctx := context.Background()
	if _, err := s.Append(ctx, storetest.Samples(100)); err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.Exec("PRAGMA max_page_count=40"); err != nil { // SQLite then answers as on a full disk
		t.Fatal(err)
	}
	_, err := s.Append(ctx, storetest.Samples(5000))
	said(t, err, "is full", "Make room")
	if _, err := s.write.Exec("PRAGMA max_page_count=100000"); err != nil {
		t.Fatal(err)
	}
	if got := storetest.Collect(t, s, 0); len(got) != 100 {
		t.Fatalf("%d entries after a full disk", len(got))
	}
	if _, err := s.Append(ctx, storetest.Samples(5000)); err != nil {
		t.Fatal(err)
	}
	a, err := s.Verify(ctx)
	if err != nil || a.Broken != nil || a.Entries != 5000 {
		t.Fatalf("%+v %v", a, err)
	}
}

func TestAReadOnlyFolderIsTold(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "farm.wormyard")
	farm := mustOpen(t, path)
	if _, err := farm.Append(context.Background(), storetest.Samples(30)); err != nil {
		t.Fatal(err)
	}
	farm.Close()
	os.Chmod(dir, 0o555)
	defer os.Chmod(dir, 0o755)
	for _, name := range []string{path, filepath.Join(dir, "new.wormyard")} {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), "WORMYARD_OPEN_ONLY="+name)
		if os.Getuid() == 0 { // root may write anywhere, so ask as nobody
			for p := dir; p != "/"; p = filepath.Dir(p) {
				info, err := os.Stat(p)
				if err != nil {
					t.Fatal(err)
				}
				os.Chmod(p, info.Mode()|0o055)
			}
			bin := filepath.Join(os.TempDir(), filepath.Base(dir)+"asker.test")
			data, err := os.ReadFile(os.Args[0])
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(bin, data, 0o755); err != nil {
				t.Fatal(err)
			}
			defer os.Remove(bin)
			cmd.Path = bin
			cmd.Dir = "/"
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		}
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%v %s", err, out)
		}
		if s := string(out); !strings.Contains(s, "Let your user") || !strings.Contains(s, "the folder it lies in") {
			t.Fatalf("%s: %q", name, s)
		}
		if s := string(out); name == path && !strings.HasSuffix(s, "readable: 30 <nil>") {
			t.Fatalf("what cannot be written can still be read: %q", s)
		}
	}
	s := mustOpen(t, filepath.Join(t.TempDir(), "farm.wormyard"))
	_, err := s.read.Exec("DELETE FROM entry") // the reading side may not write: SQLITE_READONLY
	said(t, wrap(s.path, err), "may be read but not written")
}

func TestAFarmThatCannotBeWrittenCanBeRead(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	path := filepath.Join(dir, "farm.wormyard")
	s := mustOpen(t, path)
	if _, err := s.Append(ctx, storetest.Samples(50)); err != nil {
		t.Fatal(err)
	}
	s.Close()
	if err := os.Remove(path + "-lock"); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(path+"-lock", 0o755); err != nil { // as in a folder where no file can be made
		t.Fatal(err)
	}
	if _, err := OpenExisting(path); err == nil {
		t.Fatal("opened without a lock")
	}
	r, err := openCopy(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	r.unwritable = &Trouble{Say: "a", Try: "b"}
	if got := storetest.Collect(t, r, 0); len(got) != 50 {
		t.Fatalf("%d entries", len(got))
	}
	if a, err := r.Verify(ctx); err != nil || a.Broken != nil || a.Entries != 50 {
		t.Fatal(a, err)
	}
	if _, err := r.Append(ctx, storetest.Samples(60)); err == nil {
		t.Fatal("written")
	}
	if err := r.PutSnapshot(ctx, Snapshot{Key: "x"}); err == nil {
		t.Fatal("written")
	}
	if _, err := r.Backup(ctx, filepath.Join(t.TempDir(), "copy.wormyard"), false); err != nil {
		t.Fatal(err)
	}
}

func TestFilesThatAreNoFarmAreTold(t *testing.T) {
	dir := t.TempDir()
	write := func(name, data string) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
		return p
	}
	_, err := Open(write("letter.txt", strings.Repeat("Dear farmer, ", 100)))
	said(t, err, "not a farm")
	_, err = Open(dir)
	said(t, err, "is a folder")
	_, err = Open(filepath.Join(dir, "none", "farm.wormyard"))
	said(t, err, "There is no folder")
	_, err = OpenExisting(filepath.Join(dir, "none.wormyard"))
	said(t, err, "There is no farm", "--farm")
	if _, err := os.Stat(filepath.Join(dir, "none.wormyard")); err == nil {
		t.Fatal("looking for a farm made one")
	}

	other := filepath.Join(dir, "other.db")
	db, err := sql.Open("sqlite", "file:"+other)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("CREATE TABLE song (name TEXT)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	before, _ := os.ReadFile(other)
	_, err = Open(other)
	said(t, err, "another program", "not changed")
	if after, _ := os.ReadFile(other); string(after) != string(before) {
		t.Fatal("a foreign database was changed")
	}

	newer := filepath.Join(dir, "newer.wormyard")
	s := mustOpen(t, newer)
	if _, err := s.write.Exec("PRAGMA user_version=99"); err != nil {
		t.Fatal(err)
	}
	s.Close()
	before, _ = os.ReadFile(newer)
	_, err = Open(newer)
	said(t, err, "newer wormyard", "layout 99", "not changed")
	if after, _ := os.ReadFile(newer); string(after) != string(before) {
		t.Fatal("a newer farm was changed")
	}
}

func TestVerifyFindsTheFirstChangedEntry(t *testing.T) {
	ctx := context.Background()
	for name, c := range map[string]struct {
		change string
		seq    int64
	}{
		"body":             {"UPDATE entry SET body = replace(body,'9.5','9.6') WHERE kind='water'", 12},
		"time":             {"UPDATE entry SET at = '2026-03-01T16:00:00.001Z' WHERE seq = 2", 2},
		"who":              {"UPDATE entry SET who = 'crew 2' WHERE seq = 13", 13},
		"recorded":         {"UPDATE entry SET recorded = '2020-03-01T16:00:00.000Z' WHERE seq = 14", 14},
		"reading":          {"UPDATE reading SET temp_c = 30 WHERE seq = 7", 3},
		"reading gone":     {"DELETE FROM reading WHERE seq = 7", 8},
		"block gone":       {"DELETE FROM block WHERE first = 3", 3},
		"entry gone":       {"DELETE FROM entry WHERE seq = 13", 14},
		"last entry gone":  {"DELETE FROM entry WHERE seq = (SELECT max(seq) FROM entry)", 299},
		"two swapped":      {"UPDATE entry SET seq = -1 WHERE seq = 1; UPDATE entry SET seq = 1 WHERE seq = 2; UPDATE entry SET seq = 2 WHERE seq = -1", 1},
		"hash of one":      {"UPDATE entry SET hash = zeroblob(32) WHERE seq = 2", 2},
		"strike dropped":   {"UPDATE entry SET strikes = NULL WHERE seq = 13", 13},
		"confirmed forged": {"UPDATE entry SET confirmed = '[\"kg\"]' WHERE seq = 12", 12},
	} {
		t.Run(name, func(t *testing.T) {
			s := mustOpen(t, filepath.Join(t.TempDir(), "farm.wormyard"))
			if _, err := s.Append(ctx, storetest.Samples(300)); err != nil {
				t.Fatal(err)
			}
			if a, err := s.Verify(ctx); err != nil || a.Broken != nil {
				t.Fatalf("%+v %v", a.Broken, err)
			}
			if _, err := s.write.Exec(c.change); err != nil {
				t.Fatal(err)
			}
			a, err := s.Verify(ctx)
			if err != nil || a.Broken == nil || a.Broken.Seq != c.seq {
				t.Fatalf("broken %+v %v, want it at %d", a.Broken, err, c.seq)
			}
		})
	}
}

func TestBackupWhileWriting(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	s := mustOpen(t, filepath.Join(dir, "farm.wormyard"))
	in := storetest.Samples(3000)
	if _, err := s.Append(ctx, in[:1000]); err != nil {
		t.Fatal(err)
	}
	started, done := make(chan struct{}), make(chan error, 1)
	go func() {
		for i := 1000; i < len(in); i += 4 {
			if i == 1400 {
				close(started)
			}
			if _, err := s.Append(ctx, in[i:i+4]); err != nil {
				done <- err
				return
			}
		}
		done <- nil
	}()
	<-started
	file := filepath.Join(dir, "copy.wormyard")
	a, err := s.Backup(ctx, file, false)
	if err != nil || a.Broken != nil || a.Entries < 1400 {
		t.Fatalf("%+v %v", a, err)
	}
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	if _, err := s.Backup(ctx, file, false); err == nil {
		t.Fatal("a backup was written over")
	} else {
		said(t, err, "--replace")
	}
	if _, err := s.Backup(ctx, s.path, true); err == nil {
		t.Fatal("the farm was backed up onto itself")
	}

	// Restored under another name, it is the farm as it was.
	again := filepath.Join(dir, "again.wormyard")
	if _, err := Restore(ctx, file, again, false, "x"); err != nil {
		t.Fatal(err)
	}
	r := mustOpen(t, again)
	old, got := storetest.Collect(t, s, 0), storetest.Collect(t, r, 0)
	if len(got) != a.Entries || got[len(got)-1].Hash != old[len(got)-1].Hash {
		t.Fatalf("%d entries, want %d", len(got), a.Entries)
	}
	left, _ := filepath.Glob(filepath.Join(dir, "*.part*"))
	if len(left) > 0 {
		t.Fatalf("left behind: %v", left)
	}

	// Never over a farm without the word, never over one in use, and the old one is kept.
	_, err = Restore(ctx, file, s.path, false, "x")
	said(t, err, "--replace")
	_, err = Restore(ctx, file, s.path, true, "x")
	said(t, err, "is open in another wormyard")
	s.Close()
	done2, err := Restore(ctx, file, s.path, true, "20260301")
	if err != nil {
		t.Fatal(err)
	}
	kept := mustOpen(t, done2.Aside)
	if n := len(storetest.Collect(t, kept, 0)); n != len(in) {
		t.Fatalf("the old farm holds %d entries", n)
	}
	now := mustOpen(t, s.path)
	if n := len(storetest.Collect(t, now, 0)); n != a.Entries {
		t.Fatalf("the restored farm holds %d entries", n)
	}

	// A broken backup is refused and changes nothing.
	bad := mustOpen(t, again)
	if _, err := bad.write.Exec("UPDATE entry SET who='x' WHERE seq=1"); err != nil {
		t.Fatal(err)
	}
	bad.Close()
	r.Close()
	now.Close()
	_, err = Restore(ctx, again, s.path, true, "y")
	said(t, err, "broken at entry 1", "Nothing was changed")
}

func TestSnapshotsAndResults(t *testing.T) {
	ctx := context.Background()
	s := mustOpen(t, filepath.Join(t.TempDir(), "farm.wormyard"))
	s.Now = func() time.Time { return storetest.Start }
	if _, ok, err := s.Snapshot(ctx, "farm"); ok || err != nil {
		t.Fatal(ok, err)
	}
	for _, data := range []string{"one", "two"} {
		if err := s.PutSnapshot(ctx, Snapshot{"farm", "h", "v1", []byte(data)}); err != nil {
			t.Fatal(err)
		}
	}
	got, ok, err := s.Snapshot(ctx, "farm")
	if err != nil || !ok || string(got.Data) != "two" || got.Version != "v1" {
		t.Fatal(got, ok, err)
	}
	if err := s.DropSnapshots(ctx, "v2"); err != nil {
		t.Fatal(err)
	}
	if _, ok, _ := s.Snapshot(ctx, "farm"); ok {
		t.Fatal("an old snapshot stays")
	}
	err = s.PutResults(ctx, []Result{{Kind: "round", Subject: "farm", Day: "2026-03-01", JSON: []byte(`{"a":1}`)}, {Kind: "round", Subject: "farm", Day: "2026-03-02", JSON: []byte(`{"a":2}`)}})
	if err != nil {
		t.Fatal(err)
	}
	r, ok, err := s.Result(ctx, "round", "farm", "")
	if err != nil || !ok || r.Day != "2026-03-02" || string(r.JSON) != `{"a":2}` || !r.MadeAt.Equal(storetest.Start) {
		t.Fatal(r, ok, err)
	}
	if r, ok, _ = s.Result(ctx, "round", "farm", "2026-03-01"); !ok || string(r.JSON) != `{"a":1}` {
		t.Fatal(r, ok)
	}
}
