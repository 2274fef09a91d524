// Package sqlite keeps a farm in one SQLite file: the journal, and computed
// things that may be thrown away. The file is in write-ahead mode with
// synchronous=FULL, so that an entry which Append has acknowledged is on the
// disk and outlives a killed process and a power cut, as far as the disk keeps
// its word. One writer at a time; readers are not held up.
//
// Readings of a probe that come in bulk stand in a table of their own, chained
// by block; they are given back as the entries they are.
package sqlite

import (
	"bytes"
	"context"
	"database/sql"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	_ "modernc.org/sqlite" // the driver

	"wormyard/journal"
)

//go:embed migrations/*.sql
var migrations embed.FS

// applicationID marks our files ("WRMY" in ASCII).
const applicationID = 0x57524D59

// BlockSize is the most readings that one link of the chain holds.
const BlockSize = 1000

// Store is one open farm.
type Store struct {
	Now func() time.Time // the clock that gives Recorded

	path    string
	write   *sql.DB // one connection
	read    *sql.DB
	writing sync.Mutex
	lock    *os.File

	made       bool  // by this Open
	unwritable error // why the farm is open for reading only
}

// Open opens the farm at path and makes it when there is none. The error is a
// *Trouble when a person can mend it.
func Open(path string) (*Store, error) { return open(path, true) }

// OpenExisting opens the farm at path and refuses when there is none.
func OpenExisting(path string) (*Store, error) { return open(path, false) }

// OpenToRead opens a farm that must be there, and where the disk is full or may
// not be written, opens it for reading only, as long as nothing of it lies in a
// write-ahead file. What writes then gives the *Trouble that kept it from writing.
func OpenToRead(path string) (*Store, error) {
	s, err := OpenExisting(path)
	var t *Trouble
	if err == nil || !errors.As(err, &t) || !t.unwritable {
		return s, err
	}
	if !settled(path) {
		return nil, err
	}
	if s, readErr := openCopy(path); readErr == nil {
		s.unwritable = err
		return s, nil
	}
	return nil, err
}

func open(path string, create bool) (*Store, error) {
	if err := inspect(path, create, "mode=ro"); err != nil {
		return nil, wrap(path, err)
	}
	_, err := os.Stat(path)
	made := errors.Is(err, os.ErrNotExist)
	lock, err := lockFile(path, false)
	if err != nil {
		return nil, wrap(path, err)
	}
	s := &Store{Now: time.Now, path: path, lock: lock, made: made}
	s.write, err = sql.Open("sqlite", dsn(path, "_txlock=immediate", "_pragma=journal_mode(WAL)", "_pragma=synchronous(FULL)",
		"_pragma=busy_timeout(20000)", "_pragma=foreign_keys(1)", "_pragma=cache_size(-16000)"))
	if err == nil {
		s.write.SetMaxOpenConns(1)
		err = s.migrate()
	}
	if err == nil && made {
		err = syncFolder(filepath.Dir(path)) // else a power cut could take the new file's name
	}
	if err == nil {
		s.read, err = sql.Open("sqlite", dsn(path, "_pragma=query_only(1)", "_pragma=busy_timeout(20000)", "_pragma=cache_size(-16000)"))
	}
	if err != nil {
		s.Close()
		if made { // a farm that could not be made leaves nothing in the way
			removeFarm(path)
		}
		return nil, wrap(path, err)
	}
	return s, nil
}

// removeFarm takes away a farm's file and those beside it.
func removeFarm(path string) error {
	var errs []error
	for _, end := range []string{"", "-wal", "-shm", "-lock"} {
		if err := os.Remove(path + end); err != nil && !errors.Is(err, os.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

func dsn(path string, params ...string) string {
	u := url.URL{Path: filepath.ToSlash(path)}
	return "file:" + strings.ReplaceAll(u.EscapedPath(), ";", "%3B") + "?" + strings.Join(params, "&")
}

// inspect looks at a file without changing it.
func inspect(path string, create bool, mode string) error {
	info, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) {
		if dir := filepath.Dir(path); create {
			if _, err := os.Stat(dir); errors.Is(err, os.ErrNotExist) {
				return &Trouble{Path: path, Say: fmt.Sprintf("There is no folder %s.", dir), Try: "Make it, or name another folder.", err: err}
			}
			return nil
		}
		return &Trouble{Path: path, Say: fmt.Sprintf("There is no farm %s.", path), Try: "Look at the name and the folder, name the farm with --farm FILE, or begin one: wormyard begin, or wormyard serve.", err: err}
	}
	if err != nil {
		return err
	}
	if info.IsDir() {
		return &Trouble{Path: path, Say: fmt.Sprintf("%s is a folder.", path), Try: "Name the farm's file in it."}
	}
	if info.Size() == 0 {
		if !create {
			return &Trouble{Path: path, Say: fmt.Sprintf("%s is empty: it is not a farm.", path), Try: "Look at the name of the file. It was not changed."}
		}
		return nil
	}
	db, err := sql.Open("sqlite", dsn(path, mode, "_pragma=busy_timeout(20000)"))
	if err != nil {
		return err
	}
	defer db.Close()
	var app, version, tables int
	if err := db.QueryRow("PRAGMA application_id").Scan(&app); err != nil {
		return err
	}
	if err := db.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	if err := db.QueryRow("SELECT count(*) FROM sqlite_schema").Scan(&tables); err != nil {
		return err
	}
	if app != applicationID && (app != 0 || tables > 0) {
		return &Trouble{Path: path, Say: fmt.Sprintf("%s is not a farm: it was written by another program.", path), Try: "Look at the name of the file. It was not changed."}
	}
	if newest := len(migrationNames()); version > newest {
		return &Trouble{Path: path,
			Say: fmt.Sprintf("The farm %s was written by a newer wormyard (layout %d; this one knows layouts up to %d). It was not changed.", path, version, newest),
			Try: "Install the newer wormyard, or restore a backup made with this one."}
	}
	return nil
}

func migrationNames() []string {
	entries, err := migrations.ReadDir("migrations")
	if err != nil {
		panic(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// migrate brings the layout up to date, one transaction a step.
func (s *Store) migrate() error {
	for i, name := range migrationNames() {
		text, err := migrations.ReadFile("migrations/" + name)
		if err != nil {
			return err
		}
		if err := s.step(i, string(text)); err != nil {
			return fmt.Errorf("migration %s: %w", name, err)
		}
	}
	return nil
}

// step brings the layout from version i to the next, unless it is there already.
func (s *Store) step(i int, text string) error {
	tx, err := s.write.Begin()
	if err != nil {
		return err
	}
	defer tx.Rollback()
	var version int
	if err := tx.QueryRow("PRAGMA user_version").Scan(&version); err != nil || version > i {
		return err
	}
	if _, err := tx.Exec(text); err != nil {
		return err
	}
	if _, err := tx.Exec(fmt.Sprintf("PRAGMA application_id=%d; PRAGMA user_version=%d", applicationID, i+1)); err != nil {
		return err
	}
	return tx.Commit()
}

// openCopy opens a backup for reading only and changes nothing, not even on a
// disk that cannot be written.
func openCopy(path string) (*Store, error) {
	mode := readMode(path)
	if err := inspect(path, false, mode); err != nil {
		return nil, wrap(path, err)
	}
	db, err := sql.Open("sqlite", dsn(path, mode, "_pragma=busy_timeout(20000)"))
	return &Store{Now: time.Now, path: path, read: db}, wrap(path, err)
}

// settled says whether nothing of a farm lies in a write-ahead file.
func settled(path string) bool {
	info, err := os.Stat(path + "-wal")
	return errors.Is(err, os.ErrNotExist) || err == nil && info.Size() == 0
}

// readMode is how a file is opened that must not be changed: as one that nobody
// changes where that is so, which needs no file beside it.
func readMode(path string) string {
	if settled(path) {
		return "mode=ro&immutable=1"
	}
	return "mode=ro"
}

// Close ends the use of the farm. Everything acknowledged is on disk already.
func (s *Store) Close() error {
	var errs []error
	if s.read != nil {
		errs = append(errs, s.read.Close())
	}
	if s.write != nil {
		errs = append(errs, s.write.Close())
	}
	if s.lock != nil {
		errs = append(errs, s.lock.Close())
	}
	return errors.Join(errs...)
}

// CloseUnused closes the farm, and where this store made its file and nothing was
// written to it, takes the file away again: a refused import leaves no farm.
func (s *Store) CloseUnused() error {
	var seq int64
	used := !s.made || s.read == nil || s.read.QueryRow("SELECT seq FROM head").Scan(&seq) != nil || seq > 0
	err := s.Close()
	if used || err != nil {
		return err
	}
	lock, err := lockFile(s.path, true)
	if err != nil {
		return nil // somebody else has it open by now, and it is theirs
	}
	defer lock.Close()
	return wrap(s.path, removeFarm(s.path))
}

// Path gives the file of the farm.
func (s *Store) Path() string { return s.path }

// Append keeps entries for ever, all or none, and gives them as taken, with
// Seq, Recorded, Prev and Hash. It comes back only after the disk has them. An
// entry that is there already with the same content is given as it was taken
// then. The error is a *journal.Conflict when an id is taken by another
// content, a *Trouble when a person can mend it.
func (s *Store) Append(ctx context.Context, entries []journal.Entry) ([]journal.Entry, error) {
	b, err := s.Begin(ctx)
	if err != nil {
		return nil, err
	}
	defer b.Rollback()
	taken, err := b.Append(entries)
	if err != nil {
		return nil, err
	}
	return taken, b.Commit()
}

// Batch is a number of appends that are kept together or not at all. Others
// who write wait for its end.
type Batch struct {
	Added int // entries that were not there before

	s        *Store
	ctx      context.Context
	tx       *sql.Tx
	recorded time.Time
	seq      int64
	head     journal.Hash
	one      *sql.Stmt
	reading  *sql.Stmt
	block    *sql.Stmt
	done     bool
}

// Begin starts a batch.
func (s *Store) Begin(ctx context.Context) (*Batch, error) {
	if s.unwritable != nil {
		return nil, s.unwritable
	}
	s.writing.Lock()
	b := &Batch{s: s, ctx: ctx}
	err := b.begin()
	if err != nil {
		b.Rollback()
		return nil, wrap(s.path, err)
	}
	return b, nil
}

func (b *Batch) begin() (err error) {
	if b.tx, err = b.s.write.BeginTx(b.ctx, nil); err != nil {
		return err
	}
	var last sql.NullString
	if b.seq, b.head, err = headOf(b.ctx, b.tx); err != nil {
		return err
	}
	err = b.tx.QueryRowContext(b.ctx, `SELECT max(r) FROM (SELECT recorded r FROM entry WHERE seq = (SELECT max(seq) FROM entry)
		UNION ALL SELECT recorded FROM block WHERE first = (SELECT max(first) FROM block))`).Scan(&last)
	if err != nil {
		return err
	}
	b.recorded = b.s.Now().UTC().Truncate(time.Millisecond)
	if last.Valid {
		t, err := journal.ParseTime(last.String)
		if err != nil {
			return err
		}
		if b.recorded.Before(t) { // the clock was set back; the recorded order stays the order of time
			b.recorded = t
		}
	}
	return nil
}

type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

func headOf(ctx context.Context, q querier) (seq int64, head journal.Hash, err error) {
	var raw []byte
	err = q.QueryRowContext(ctx, "SELECT seq, hash FROM head").Scan(&seq, &raw)
	copy(head[:], raw)
	return seq, head, err
}

// Append adds entries to the batch and gives them as they will be taken.
func (b *Batch) Append(entries []journal.Entry) ([]journal.Entry, error) {
	taken, err := b.append(entries)
	return taken, wrap(b.s.path, err)
}

func (b *Batch) append(entries []journal.Entry) ([]journal.Entry, error) {
	taken := make([]journal.Entry, len(entries))
	copy(taken, entries)
	at := make(map[string]int, len(taken)) // place of the first entry with an id
	var fresh []*journal.Entry
	again := map[int]int{}
	for i := range taken {
		e := &taken[i]
		e.Recorded, e.Seq = b.recorded, 0
		if err := e.Seal(); err != nil {
			return nil, err
		}
		if !journal.IsID(e.ID) {
			return nil, &journal.Unwritable{ID: e.ID, Problems: journal.Check(e, journal.Known{})}
		}
		if first, twice := at[e.ID]; twice {
			if !journal.Same(&taken[first], e) {
				return nil, &journal.Conflict{Kept: &taken[first], Given: e}
			}
			again[i] = first
			continue
		}
		at[e.ID] = i
	}
	known, err := b.known(taken)
	if err != nil {
		return nil, err
	}
	for i := range taken {
		e := &taken[i]
		if _, twice := again[i]; twice {
			continue
		}
		if !known[e.ID] {
			fresh = append(fresh, e)
			continue
		}
		kept, err := entryByID(b.ctx, b.tx, e.ID)
		if err != nil {
			return nil, err
		}
		if err := kept.Seal(); err != nil {
			return nil, err
		}
		if !journal.Same(kept, e) {
			return nil, &journal.Conflict{Kept: kept, Given: e}
		}
		*e = *kept
	}
	if err := b.insert(fresh); err != nil {
		return nil, err
	}
	for i, first := range again {
		taken[i] = taken[first]
	}
	b.Added += len(fresh)
	return taken, nil
}

// known gives which of the ids are in the journal.
func (b *Batch) known(entries []journal.Entry) (map[string]bool, error) {
	found := map[string]bool{}
	if b.seq == 0 {
		return found, nil
	}
	const most = 500
	for len(entries) > 0 {
		n := min(len(entries), most)
		args := make([]any, 0, 2*n)
		for i := range entries[:n] {
			args = append(args, entries[i].ID)
		}
		args = append(args, args...)
		marks := strings.TrimSuffix(strings.Repeat("?,", n), ",")
		rows, err := b.tx.QueryContext(b.ctx, "SELECT id FROM entry WHERE id IN ("+marks+") UNION ALL SELECT id FROM reading WHERE id IN ("+marks+")", args...)
		if err != nil {
			return nil, err
		}
		for rows.Next() {
			var id string
			if err := rows.Scan(&id); err != nil {
				rows.Close()
				return nil, err
			}
			found[id] = true
		}
		if err := rows.Close(); err != nil {
			return nil, err
		}
		entries = entries[n:]
	}
	return found, nil
}

// inBlock says whether an entry may stand in a block.
func inBlock(e *journal.Entry) bool {
	return e.Kind == "reading" && e.Strikes == "" && e.Photo == ""
}

func (b *Batch) insert(fresh []*journal.Entry) error {
	for len(fresh) > 0 {
		n := 0
		for n < len(fresh) && n < BlockSize && inBlock(fresh[n]) && fresh[n].Who == fresh[0].Who && fresh[n].Device == fresh[0].Device {
			n++
		}
		var err error
		if n >= 2 {
			err = b.insertBlock(fresh[:n])
		} else {
			n, err = 1, b.insertOne(fresh[0])
		}
		if err != nil {
			return err
		}
		fresh = fresh[n:]
	}
	return nil
}

func (b *Batch) insertOne(e *journal.Entry) (err error) {
	if b.one == nil {
		if b.one, err = b.tx.PrepareContext(b.ctx, `INSERT INTO entry (seq,id,kind,at,recorded,who,device,body,strikes,photo,confirmed,hash) VALUES (?,?,?,?,?,?,?,?,?,?,?,?)`); err != nil {
			return err
		}
	}
	b.seq++
	e.Seq, e.Prev = b.seq, b.head
	e.Hash = journal.Link(b.head, e.Recorded, e)
	b.head = e.Hash
	_, err = b.one.ExecContext(b.ctx, e.Seq, e.ID, e.Kind, text(e.At), text(e.Recorded), e.Who, e.Device, string(e.Raw), orNull(e.Strikes), orNull(e.Photo), confirmed(e), e.Hash[:])
	return err
}

func (b *Batch) insertBlock(list []*journal.Entry) (err error) {
	if b.block == nil {
		if b.block, err = b.tx.PrepareContext(b.ctx, `INSERT INTO block (first,last,recorded,who,device,hash) VALUES (?,?,?,?,?,?)`); err != nil {
			return err
		}
		if b.reading, err = b.tx.PrepareContext(b.ctx, `INSERT INTO reading (seq,id,at,bin,barn,temp_c,water_frac_wet,oxygen_frac,ammonia_ppm,ec_ds_m,ph,depth_m,probe,probe_id,note,confirmed) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`); err != nil {
			return err
		}
	}
	prev, first := b.head, list[0]
	b.head = journal.Link(prev, first.Recorded, list...)
	for _, e := range list {
		b.seq++
		e.Seq, e.Prev, e.Hash = b.seq, prev, b.head
		r, ok := e.Body.(*journal.Reading)
		if !ok {
			return fmt.Errorf("entry %s is a reading with a body of %T", e.ID, e.Body)
		}
		_, err := b.reading.ExecContext(b.ctx, e.Seq, e.ID, text(e.At), orNull(r.Bin), orNull(r.Barn), number(r.TempC), number(r.WaterFracWet), number(r.OxygenFrac),
			number(r.AmmoniaPPM), number(r.ECDSM), number(r.PH), number(r.DepthM), orNull(r.Probe), orNull(r.ProbeID), orNull(r.Note), confirmed(e))
		if err != nil {
			return err
		}
	}
	_, err = b.block.ExecContext(b.ctx, first.Seq, b.seq, text(first.Recorded), first.Who, first.Device, b.head[:])
	return err
}

// Kept gives the entry that the journal holds under an id; ok is false when there is none.
func (b *Batch) Kept(id string) (e journal.Entry, ok bool, err error) {
	kept, err := entryByID(b.ctx, b.tx, id)
	if errors.Is(err, sql.ErrNoRows) {
		return e, false, nil
	}
	if err != nil {
		return e, false, wrap(b.s.path, err)
	}
	return *kept, true, nil
}

// New gives how many entries of the batch were not there before.
func (b *Batch) New() int { return b.Added }

// Commit puts the batch on the disk.
func (b *Batch) Commit() error {
	if b.done {
		return nil
	}
	_, err := b.tx.ExecContext(b.ctx, "UPDATE head SET seq = ?, hash = ?", b.seq, b.head[:])
	if err == nil {
		err = b.tx.Commit()
	}
	if err != nil {
		b.Rollback()
		return wrap(b.s.path, err)
	}
	b.done = true
	b.s.writing.Unlock()
	return nil
}

// Rollback drops a batch that was not committed.
func (b *Batch) Rollback() {
	if b.done {
		return
	}
	b.done = true
	if b.tx != nil {
		b.tx.Rollback()
	}
	b.s.writing.Unlock()
}

func text(t time.Time) string { return string(journal.AppendTime(make([]byte, 0, 24), t.UTC())) }

func orNull(s string) any {
	if s == "" {
		return nil
	}
	return s
}

func number[F ~float64](p *F) any {
	if p == nil {
		return nil
	}
	return float64(*p)
}

func confirmed(e *journal.Entry) any {
	if len(e.Confirmed) == 0 {
		return nil
	}
	raw, err := journal.Encode(e.Confirmed)
	if err != nil {
		return nil
	}
	return string(raw)
}

func readConfirmed(raw []byte) (list []string, err error) {
	if len(bytes.TrimSpace(raw)) == 0 {
		return nil, nil
	}
	err = json.Unmarshal(raw, &list)
	return list, err
}
