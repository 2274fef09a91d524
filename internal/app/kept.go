package app

import (
	"context"
	"time"

	"wormyard/internal/sqlite"
)

// KeepIn keeps computed things in the farm's own file.
type KeepIn struct{ Store *sqlite.Store }

// Snapshot implements Kept. An empty hash asks for any.
func (k KeepIn) Snapshot(ctx context.Context, key, hash, version string) ([]byte, bool, error) {
	s, ok, err := k.Store.Snapshot(ctx, key)
	if err != nil || !ok || s.Version != version || hash != "" && s.Hash != hash {
		return nil, false, err
	}
	return s.Data, true, nil
}

// PutSnapshots implements Kept.
func (k KeepIn) PutSnapshots(ctx context.Context, version string, snaps []Snap) error {
	if len(snaps) == 0 {
		return nil
	}
	list := make([]sqlite.Snapshot, len(snaps))
	for i, s := range snaps {
		list[i] = sqlite.Snapshot{Key: s.Key, Hash: s.Hash, Version: version, Data: s.Data}
	}
	return k.Store.PutSnapshots(ctx, list)
}

// anyDay is under what the newest result of a kind is kept.
const anyDay = "newest"

// Result implements Kept.
func (k KeepIn) Result(ctx context.Context, kind, subject string) ([]byte, time.Time, bool, error) {
	r, ok, err := k.Store.Result(ctx, kind, subject, anyDay)
	return r.JSON, r.MadeAt, ok, err
}

// PutResults implements Kept.
func (k KeepIn) PutResults(ctx context.Context, kind, _ string, made time.Time, bySubject map[string][]byte) error {
	list := make([]sqlite.Result, 0, len(bySubject))
	for subject, data := range bySubject {
		list = append(list, sqlite.Result{Kind: kind, Subject: subject, Day: anyDay, MadeAt: made, JSON: data})
	}
	if len(list) == 0 {
		return nil
	}
	return k.Store.PutResults(ctx, list)
}
