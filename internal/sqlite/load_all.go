package sqlite

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"runtime"
	"sync"

	"wormyard/journal"
	"wormyard/qty"
)

// spreadFrom is how many entries are worth reading on all processors.
const spreadFrom = 5000

// Load gives the entries after a sequence number all at once, in the order in
// which they were taken: the quickest way to open a farm. Raw is nil.
func (s *Store) Load(ctx context.Context, after int64) ([]journal.Entry, error) {
	last, _, err := headOf(ctx, s.read)
	if err != nil {
		return nil, wrap(s.path, err)
	}
	blocks, err := s.blocks(ctx, after, last)
	if err != nil {
		return nil, wrap(s.path, err)
	}
	prev, err := linkAt(ctx, s.read, after)
	if err != nil {
		return nil, wrap(s.path, err)
	}
	out := make([]journal.Entry, max(0, last-after)) // the entry with number n stands at n-after-1
	parts := int64(1)
	if len(out) >= spreadFrom {
		parts = int64(runtime.GOMAXPROCS(0))
	}
	faults := make([]error, parts)
	var wg sync.WaitGroup
	for p := range parts {
		from, to := after+int64(len(out))*p/parts, after+int64(len(out))*(p+1)/parts
		wg.Go(func() { faults[p] = s.part(ctx, from, to, out[from-after:to-after]) })
	}
	wg.Wait()
	if err := errors.Join(faults...); err != nil {
		return nil, wrap(s.path, err)
	}
	n, b := 0, 0
	for i := range out {
		e := &out[i]
		if e.ID == "" { // lost; verify will say so
			continue
		}
		for b < len(blocks) && blocks[b].last < e.Seq {
			b++
		}
		if b < len(blocks) && e.Seq >= blocks[b].first && e.Hash == (journal.Hash{}) {
			h := &blocks[b].head
			if e.Seq == blocks[b].first || i == 0 || out[i-1].Hash != h.Hash {
				h.Prev = prev
				if e.Seq != blocks[b].first { // the reading began within the block
					if h.Prev, err = linkAt(ctx, s.read, blocks[b].first-1); err != nil {
						return nil, wrap(s.path, err)
					}
				}
			}
			e.Recorded, e.Who, e.Device, e.Prev, e.Hash = h.Recorded, h.Who, h.Device, h.Prev, h.Hash
		} else {
			e.Prev = prev
		}
		prev = e.Hash
		if n != i {
			out[n] = *e
		}
		n++
	}
	return out[:n], nil
}

// blocks gives the blocks that hold entries after one number and up to another.
func (s *Store) blocks(ctx context.Context, after, last int64) ([]block, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT first,last,recorded,who,device,hash FROM block WHERE last > ? AND first <= ? ORDER BY first", after, last)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []block
	for rows.Next() {
		var b block
		var recorded string
		var hash []byte
		if err := rows.Scan(&b.first, &b.last, &recorded, &b.head.Who, &b.head.Device, &hash); err != nil {
			return nil, err
		}
		if b.head.Recorded, err = journal.ParseTime(recorded); err != nil {
			return nil, err
		}
		copy(b.head.Hash[:], hash)
		out = append(out, b)
	}
	return out, rows.Err()
}

// part reads the entries after from and up to to into out. It takes the rows
// from the driver as they are, which spares a copy of every cell.
func (s *Store) part(ctx context.Context, from, to int64, out []journal.Entry) error {
	conn, err := s.read.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	return conn.Raw(func(dc any) error {
		q, ok := dc.(driver.QueryerContext)
		if !ok {
			return fmt.Errorf("the driver's connection is a %T", dc)
		}
		args := []driver.NamedValue{{Ordinal: 1, Value: from}, {Ordinal: 2, Value: to}}
		names := names{}
		var buf []byte
		err := each(ctx, q, "SELECT "+entryColumns+" FROM entry WHERE seq > ? AND seq <= ? ORDER BY seq", args, func(v []driver.Value) error {
			seq, _ := v[0].(int64)
			e := &out[seq-from-1]
			e.Seq, e.ID, e.Kind = seq, str(v[1]), names.one(v[2])
			e.Who, e.Device, e.Strikes, e.Photo = names.one(v[5]), names.one(v[6]), str(v[8]), str(v[9])
			buf = append(buf[:0], str(v[7])...)
			hash, _ := v[11].([]byte)
			copy(e.Hash[:], hash)
			var err error
			if e.At, err = journal.ParseTime(str(v[3])); err != nil {
				return err
			}
			if e.Recorded, err = journal.ParseTime(str(v[4])); err != nil {
				return err
			}
			if c := str(v[10]); c != "" {
				if e.Confirmed, err = readConfirmed([]byte(c)); err != nil {
					return err
				}
			}
			e.Body, err = journal.Read(e.Kind, buf)
			return err
		})
		if err != nil {
			return err
		}
		return each(ctx, q, "SELECT "+readingColumns+" FROM reading r WHERE r.seq > ? AND r.seq <= ? ORDER BY r.seq", args, func(v []driver.Value) error {
			seq, _ := v[0].(int64)
			e := &out[seq-from-1]
			e.Seq, e.ID, e.Kind = seq, str(v[1]), "reading"
			e.Body = &journal.Reading{Bin: names.one(v[3]), Barn: names.one(v[4]), TempC: float[qty.Celsius](v[5]), WaterFracWet: float[qty.WaterOfWet](v[6]),
				OxygenFrac: float[qty.OxygenOfAir](v[7]), AmmoniaPPM: float[qty.PartsPerM](v[8]), ECDSM: float[qty.Decisiemens](v[9]), PH: float[qty.PH](v[10]),
				DepthM: float[qty.Metre](v[11]), Probe: names.one(v[12]), ProbeID: names.one(v[13]), Note: str(v[14])}
			var err error
			if e.At, err = journal.ParseTime(str(v[2])); err != nil {
				return err
			}
			if c := str(v[15]); c != "" {
				e.Confirmed, err = readConfirmed([]byte(c))
			}
			return err
		})
	})
}

// each runs a query on the driver and hands over every row.
func each(ctx context.Context, q driver.QueryerContext, query string, args []driver.NamedValue, row func([]driver.Value) error) (err error) {
	rows, err := q.QueryContext(ctx, query, args)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	v := make([]driver.Value, len(rows.Columns()))
	for n := 0; ; n++ {
		if n%1024 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if err := rows.Next(v); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		if err := row(v); err != nil {
			return err
		}
	}
}

func str(v driver.Value) string {
	s, _ := v.(string)
	return s
}

func float[F ~float64](v driver.Value) *F {
	x, ok := v.(float64)
	if !ok {
		return nil
	}
	f := F(x)
	return &f
}

// names keeps one copy of texts that come again and again.
type names map[string]string

func (n names) one(v driver.Value) string {
	s := str(v)
	if s == "" {
		return ""
	}
	if kept, ok := n[s]; ok {
		return kept
	}
	if len(n) < 10_000 {
		n[s] = s
	}
	return s
}
