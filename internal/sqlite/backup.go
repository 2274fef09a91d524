package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"wormyard/journal"
)

// Backup writes a copy of the farm to a new file while others read and write,
// and rechecks the copy entry by entry before it gets its name. It refuses to
// write over a file unless replace is set.
func (s *Store) Backup(ctx context.Context, file string, replace bool) (journal.Audit, error) {
	if same(s.path, file) {
		return journal.Audit{}, &Trouble{Path: file, Say: file + " is the farm itself.", Try: "Name another file, best on another disk."}
	}
	info, err := os.Stat(file)
	if err == nil && info.IsDir() {
		return journal.Audit{}, &Trouble{Path: file, Say: file + " is a folder.", Try: "Name a file in it."}
	}
	if err == nil && !replace {
		return journal.Audit{}, &Trouble{Path: file, Say: fmt.Sprintf("There is a file %s already.", file), Try: "Name another file, or say --replace."}
	}
	return s.copyTo(ctx, file)
}

func same(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}

// copyTo writes a checked copy under a name of its own and then renames it.
func (s *Store) copyTo(ctx context.Context, file string) (a journal.Audit, err error) {
	dir := filepath.Dir(file)
	if _, err := os.Stat(dir); err != nil {
		return a, &Trouble{Path: file, Say: fmt.Sprintf("There is no folder %s.", dir), Try: "Make it, or name another folder.", err: err}
	}
	part := file + ".part"
	drop := func() {
		for _, end := range []string{"", "-wal", "-shm", "-journal", "-lock"} {
			os.Remove(part + end)
		}
	}
	drop()
	defer drop()
	if err := s.vacuumInto(ctx, part); err != nil {
		return a, wrap(file, err)
	}
	if err := syncFile(part); err != nil {
		return a, wrap(file, err)
	}
	kept, err := openCopy(part)
	if err != nil {
		return a, err
	}
	a, err = kept.Verify(ctx)
	if closeErr := kept.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return a, wrap(file, err)
	}
	if a.Broken != nil {
		return a, &Trouble{Path: file, Say: fmt.Sprintf("The copy is broken at entry %d: %s", a.Broken.Seq, a.Broken.Say), Try: "No file was written. Run verify on the farm."}
	}
	if err := syncFile(part); err != nil {
		return a, wrap(file, err)
	}
	if err := os.Rename(part, file); err != nil {
		return a, wrap(file, err)
	}
	return a, wrap(file, syncFolder(dir))
}

// vacuumInto copies through a connection that may write, for the copy counts
// as writing; the farm itself is only read.
func (s *Store) vacuumInto(ctx context.Context, file string) error {
	mode := "mode=ro"
	if s.write == nil {
		mode = readMode(s.path)
	}
	db, err := sql.Open("sqlite", dsn(s.path, mode, "_pragma=busy_timeout(20000)"))
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.ExecContext(ctx, "VACUUM INTO ?", file)
	return err
}

// syncFolder makes sure that the names in a folder are on the disk, where the
// system can do that for folders.
func syncFolder(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	return syncFile(path)
}

// syncFile makes sure that a file is on the disk.
func syncFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Restored tells what a restore did.
type Restored struct {
	Audit journal.Audit
	Aside string // where the farm that was there before is kept, "" when there was none
}

// Restore makes the farm at path from a backup, after rechecking the backup
// entry by entry. Over an existing farm it does so only with replace, and then
// keeps the old one beside it under a name with the time. It refuses while
// another process has the old farm open. Nobody is signed in on what was
// restored.
func Restore(ctx context.Context, backup, path string, replace bool, stamp string) (r Restored, err error) {
	if same(backup, path) {
		return r, &Trouble{Path: path, Say: "The backup and the farm are the same file.", Try: "Name the backup and the farm that is to be made of it."}
	}
	if _, err := os.Stat(backup); errors.Is(err, os.ErrNotExist) {
		return r, &Trouble{Path: backup, Say: fmt.Sprintf("There is no file %s.", backup), Try: "Look at the name and the folder.", err: err}
	}
	info, err := os.Stat(path)
	there := err == nil
	if there && info.IsDir() {
		return r, &Trouble{Path: path, Say: path + " is a folder.", Try: "Name the farm's file in it."}
	}
	if there && !replace {
		return r, &Trouble{Path: path, Say: fmt.Sprintf("There is a farm %s already.", path), Try: "Name another file with --farm, or say --replace; the old farm is then kept beside it."}
	}
	from, err := openCopy(backup)
	if err != nil {
		return r, err
	}
	defer from.Close()
	if r.Audit, err = from.Verify(ctx); err != nil {
		return r, err
	}
	if b := r.Audit.Broken; b != nil {
		return r, &Trouble{Path: backup, Say: fmt.Sprintf("The backup %s is broken at entry %d: %s Nothing was changed.", backup, b.Seq, b.Say), Try: "Take an older backup."}
	}
	lock, err := lockFile(path, true)
	if err != nil {
		return r, wrap(path, err)
	}
	defer lock.Close()
	if there {
		r.Aside = path + ".before-" + stamp
		if err := settle(path); err != nil {
			return r, err
		}
		if err := os.Rename(path, r.Aside); err != nil {
			return r, wrap(path, err)
		}
		for _, end := range []string{"-wal", "-shm"} {
			if err := os.Rename(path+end, r.Aside+end); err != nil && !errors.Is(err, os.ErrNotExist) {
				return r, wrap(path, err)
			}
		}
	}
	if _, err = from.copyTo(ctx, path); err == nil {
		err = wrap(path, forgetSessions(ctx, path))
	}
	if err != nil && there {
		for _, end := range []string{"", "-wal", "-shm"} {
			os.Rename(r.Aside+end, path+end)
		}
	}
	return r, err
}

// settle folds the write-ahead file into the farm where that can be done; a
// damaged farm is moved aside as it is.
func settle(path string) error {
	db, err := sql.Open("sqlite", dsn(path, "_pragma=busy_timeout(2000)"))
	if err != nil {
		return nil
	}
	defer db.Close()
	_, err = db.Exec("PRAGMA wal_checkpoint(TRUNCATE)")
	var t *Trouble
	if errors.As(wrap(path, err), &t) && errors.Is(err, os.ErrPermission) {
		return t
	}
	return nil
}
