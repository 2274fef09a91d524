package sqlite

import (
	"context"
	"errors"

	"wormyard/journal"
)

// Verify rechecks the file and the whole chain, entry by entry. What it found
// broken is in the Audit; the error is for what kept it from looking.
func (s *Store) Verify(ctx context.Context) (journal.Audit, error) {
	var a journal.Audit
	var fault string
	if err := s.read.QueryRowContext(ctx, "PRAGMA quick_check(1)").Scan(&fault); err != nil {
		return a, wrap(s.path, err)
	}
	if fault != "ok" {
		return a, damaged(s.path, errors.New(fault))
	}
	r, err := s.reader(ctx, 0)
	if err != nil {
		return a, wrap(s.path, err)
	}
	defer r.close()
	var blockEntries []*journal.Entry
	flush := func() {
		if len(blockEntries) > 0 {
			a.Link(blockEntries[0].Hash, blockEntries...)
			blockEntries = nil
		}
	}
	var open block
	for {
		list, err := r.fill(nil, chunkSize)
		if err != nil {
			return a, wrap(s.path, err)
		}
		if len(list) == 0 {
			break
		}
		for i := range list {
			e := &list[i]
			inBlock := e.Kind == "reading" && e.Raw == nil
			if !inBlock || e.Hash != open.head.Hash {
				flush()
			}
			if inBlock {
				open.head.Hash = e.Hash
				blockEntries = append(blockEntries, e)
				continue
			}
			a.Link(e.Hash, e)
		}
	}
	flush()
	a.Finish(r.last, r.head)
	return a, nil
}
