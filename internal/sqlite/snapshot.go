package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"wormyard/journal"
)

// Snapshot is something computed that is kept to spare the work, together with
// the link of the journal and the version it was computed at. It may be thrown
// away at any time.
type Snapshot struct {
	Key     string // what it is of: "farm", "bin A1"
	Hash    string // link of the journal it was computed at
	Version string // of the parameters and the program
	Data    []byte
}

// PutSnapshot keeps a snapshot in place of the one with the same key.
func (s *Store) PutSnapshot(ctx context.Context, snap Snapshot) error {
	return s.PutSnapshots(ctx, []Snapshot{snap})
}

// PutSnapshots keeps many in one transaction.
func (s *Store) PutSnapshots(ctx context.Context, list []Snapshot) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		put, err := tx.PrepareContext(ctx, `INSERT INTO snapshot (key,hash,version,made_at,data) VALUES (?,?,?,?,?)
			ON CONFLICT (key) DO UPDATE SET hash=excluded.hash, version=excluded.version, made_at=excluded.made_at, data=excluded.data`)
		if err != nil {
			return err
		}
		defer put.Close()
		for _, n := range list {
			data := n.Data
			if data == nil {
				data = []byte{}
			}
			if _, err := put.ExecContext(ctx, n.Key, n.Hash, n.Version, text(s.Now()), data); err != nil {
				return err
			}
		}
		return nil
	})
}

// Snapshot gives the snapshot with a key; ok is false when there is none.
func (s *Store) Snapshot(ctx context.Context, key string) (snap Snapshot, ok bool, err error) {
	snap.Key = key
	err = s.read.QueryRowContext(ctx, "SELECT hash,version,data FROM snapshot WHERE key = ?", key).Scan(&snap.Hash, &snap.Version, &snap.Data)
	if errors.Is(err, sql.ErrNoRows) {
		return snap, false, nil
	}
	return snap, err == nil, wrap(s.path, err)
}

// DropSnapshots throws the snapshots away whose version is not the one given.
func (s *Store) DropSnapshots(ctx context.Context, keepVersion string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "DELETE FROM snapshot WHERE version <> ?", keepVersion)
		return err
	})
}

// Result is what a job computed, or why it could not.
type Result struct {
	Kind    string // "round", "forecast"
	Subject string // "farm", "bin A1"
	Day     string // 2026-03-01
	MadeAt  time.Time
	Fault   string // in words, "" when it worked
	JSON    []byte
}

// PutResults keeps results in place of those with the same kind, subject and day.
func (s *Store) PutResults(ctx context.Context, list []Result) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		put, err := tx.PrepareContext(ctx, `INSERT INTO result (kind,subject,day,made_at,fault,data) VALUES (?,?,?,?,?,?)
			ON CONFLICT (kind,subject,day) DO UPDATE SET made_at=excluded.made_at, fault=excluded.fault, data=excluded.data`)
		if err != nil {
			return err
		}
		defer put.Close()
		for _, n := range list {
			made := n.MadeAt
			if made.IsZero() {
				made = s.Now()
			}
			if _, err := put.ExecContext(ctx, n.Kind, n.Subject, n.Day, text(made), n.Fault, string(n.JSON)); err != nil {
				return err
			}
		}
		return nil
	})
}

// Result gives the result of a kind for a subject on a day, or the newest one
// when day is "". Ok is false when there is none.
func (s *Store) Result(ctx context.Context, kind, subject, day string) (r Result, ok bool, err error) {
	var made, data string
	r.Kind, r.Subject = kind, subject
	err = s.read.QueryRowContext(ctx, `SELECT day,made_at,fault,data FROM result WHERE kind = ?1 AND subject = ?2 AND (?3 = '' OR day = ?3) ORDER BY day DESC LIMIT 1`,
		kind, subject, day).Scan(&r.Day, &made, &r.Fault, &data)
	if errors.Is(err, sql.ErrNoRows) {
		return r, false, nil
	}
	if err == nil {
		r.JSON = []byte(data)
		r.MadeAt, err = journal.ParseTime(made)
	}
	return r, err == nil, wrap(s.path, err)
}

func (s *Store) change(ctx context.Context, do func(*sql.Tx) error) error {
	if s.unwritable != nil {
		return s.unwritable
	}
	s.writing.Lock()
	defer s.writing.Unlock()
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return wrap(s.path, err)
	}
	defer tx.Rollback()
	if err := do(tx); err != nil {
		return wrap(s.path, err)
	}
	return wrap(s.path, tx.Commit())
}
