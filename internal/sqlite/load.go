package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"iter"
	"runtime"
	"sync"

	"wormyard/journal"
	"wormyard/qty"
)

// chunkSize is how many entries are read before they are decoded together.
const chunkSize = 4096

const (
	entryColumns   = "seq,id,kind,at,recorded,who,device,body,strikes,photo,confirmed,hash"
	readingColumns = "r.seq,r.id,r.at,r.bin,r.barn,r.temp_c,r.water_frac_wet,r.oxygen_frac,r.ammonia_ppm,r.ec_ds_m,r.ph,r.depth_m,r.probe,r.probe_id,r.note,r.confirmed"
)

// Entries gives the entries taken after the one with sequence number after, in
// the order in which they were taken, up to the newest at the time of the call.
// Raw of readings that stand in a block is nil.
func (s *Store) Entries(ctx context.Context, after int64) iter.Seq2[journal.Entry, error] {
	return func(yield func(journal.Entry, error) bool) {
		r, err := s.reader(ctx, after)
		if err != nil {
			yield(journal.Entry{}, wrap(s.path, err))
			return
		}
		defer r.close()
		buf := make([]journal.Entry, 0, chunkSize)
		for {
			buf = buf[:0]
			buf, err = r.fill(buf, chunkSize)
			if err != nil {
				yield(journal.Entry{}, wrap(s.path, err))
				return
			}
			if len(buf) == 0 {
				return
			}
			for i := range buf {
				if !yield(buf[i], nil) {
					return
				}
			}
		}
	}
}

// Head gives the number of the newest entry and the last link of the chain.
func (s *Store) Head(ctx context.Context) (seq int64, head journal.Hash, err error) {
	seq, head, err = headOf(ctx, s.read)
	return seq, head, wrap(s.path, err)
}

// Entry gives one entry by its id; sql.ErrNoRows when there is none.
func (s *Store) Entry(ctx context.Context, id string) (journal.Entry, error) {
	e, err := entryByID(ctx, s.read, id)
	if err != nil {
		return journal.Entry{}, wrap(s.path, err)
	}
	return *e, nil
}

func entryByID(ctx context.Context, q querier, id string) (*journal.Entry, error) {
	r := reader{names: map[string]string{}}
	defer r.close()
	var err error
	if r.entries, err = q.QueryContext(ctx, "SELECT "+entryColumns+" FROM entry WHERE id = ?", id); err != nil {
		return nil, err
	}
	if r.readings, err = q.QueryContext(ctx, "SELECT "+readingColumns+" FROM reading r WHERE r.id = ?", id); err != nil {
		return nil, err
	}
	list, err := r.rows(nil, 1)
	if err != nil {
		return nil, err
	}
	if len(list) == 0 {
		return nil, sql.ErrNoRows
	}
	e := &list[0]
	first := e.Seq
	if e.Raw == nil {
		if r.blocks, err = q.QueryContext(ctx, "SELECT first,last,recorded,who,device,hash FROM block WHERE first <= ? ORDER BY first DESC LIMIT 1", e.Seq); err != nil {
			return nil, err
		}
		if err := r.blockOf(e); err != nil {
			return nil, err
		}
		first = r.block.first
	}
	r.close()
	if err := decode(list); err != nil {
		return nil, err
	}
	e.Prev, err = linkAt(ctx, q, first-1)
	return e, err
}

type block struct {
	first, last int64
	head        journal.Entry // Recorded, Who, Device, Prev and Hash of its readings
}

// reader walks both tables in the order of seq.
type reader struct {
	last     int64        // newest entry to be given
	head     journal.Hash // link of it
	entries  *sql.Rows
	readings *sql.Rows
	blocks   *sql.Rows
	entry    *journal.Entry // read but not given yet
	reading  *journal.Entry
	block    block
	prev     journal.Hash
	names    map[string]string // texts that come again and again, kept once
}

func (s *Store) reader(ctx context.Context, after int64) (*reader, error) {
	r := &reader{names: map[string]string{}}
	var err error
	if r.last, r.head, err = headOf(ctx, s.read); err != nil {
		return nil, err
	}
	if r.prev, err = linkAt(ctx, s.read, after); err != nil {
		return nil, err
	}
	if r.entries, err = s.read.QueryContext(ctx, "SELECT "+entryColumns+" FROM entry WHERE seq > ? AND seq <= ? ORDER BY seq", after, r.last); err == nil {
		r.readings, err = s.read.QueryContext(ctx, "SELECT "+readingColumns+" FROM reading r WHERE r.seq > ? AND r.seq <= ? ORDER BY r.seq", after, r.last)
	}
	if err == nil {
		r.blocks, err = s.read.QueryContext(ctx, "SELECT first,last,recorded,who,device,hash FROM block WHERE last > ? AND first <= ? ORDER BY first", after, r.last)
	}
	if err != nil {
		r.close()
		return nil, err
	}
	return r, nil
}

// linkAt gives the newest link that holds nothing after seq.
func linkAt(ctx context.Context, q querier, seq int64) (h journal.Hash, err error) {
	if seq <= 0 {
		return h, nil
	}
	var raw []byte
	err = q.QueryRowContext(ctx, `SELECT hash FROM (SELECT seq, hash FROM (SELECT seq, hash FROM entry WHERE seq <= ?1 ORDER BY seq DESC LIMIT 1)
		UNION ALL SELECT last, hash FROM (SELECT last, hash FROM block WHERE last <= ?1 ORDER BY first DESC LIMIT 1)) ORDER BY seq DESC LIMIT 1`, seq).Scan(&raw)
	if errors.Is(err, sql.ErrNoRows) {
		return h, nil
	}
	copy(h[:], raw)
	return h, err
}

func (r *reader) close() {
	for _, rows := range []*sql.Rows{r.entries, r.readings, r.blocks} {
		if rows != nil {
			rows.Close()
		}
	}
	r.entries, r.readings, r.blocks = nil, nil, nil
}

// fill appends up to n entries, decoded by all processors.
func (r *reader) fill(buf []journal.Entry, n int) ([]journal.Entry, error) {
	buf, err := r.rows(buf, n)
	if err != nil {
		return nil, err
	}
	workers := runtime.GOMAXPROCS(0)
	faults := make([]error, workers)
	var wg sync.WaitGroup
	for w := range workers {
		from, to := len(buf)*w/workers, len(buf)*(w+1)/workers
		wg.Go(func() { faults[w] = decode(buf[from:to]) })
	}
	wg.Wait()
	return buf, errors.Join(faults...)
}

// decode fills the bodies of entries that have only Raw.
func decode(list []journal.Entry) error {
	for i := range list {
		e := &list[i]
		if e.Body != nil {
			continue
		}
		body, err := journal.Read(e.Kind, e.Raw)
		if err != nil {
			return err
		}
		e.Body = body
	}
	return nil
}

// rows appends up to n entries, bodies of the entry table not yet decoded.
func (r *reader) rows(buf []journal.Entry, n int) ([]journal.Entry, error) {
	for range n {
		if r.entry == nil && r.entries != nil {
			if err := r.nextEntry(); err != nil {
				return nil, err
			}
		}
		if r.reading == nil && r.readings != nil {
			if err := r.nextReading(); err != nil {
				return nil, err
			}
		}
		switch {
		case r.entry == nil && r.reading == nil:
			return buf, nil
		case r.reading == nil || r.entry != nil && r.entry.Seq < r.reading.Seq:
			r.entry.Prev = r.prev
			r.prev = r.entry.Hash
			buf = append(buf, *r.entry)
			r.entry = nil
		default:
			if r.blocks != nil {
				if err := r.blockOf(r.reading); err != nil {
					return nil, err
				}
			}
			buf = append(buf, *r.reading)
			r.reading = nil
		}
	}
	return buf, nil
}

// same keeps one copy of a text that comes often.
func (r *reader) same(b []byte) string {
	if len(b) == 0 {
		return ""
	}
	if s, ok := r.names[string(b)]; ok {
		return s
	}
	s := string(b)
	if len(r.names) < 10_000 {
		r.names[s] = s
	}
	return s
}

func (r *reader) nextEntry() error {
	if !r.entries.Next() {
		err := r.entries.Err()
		r.entries.Close()
		r.entries = nil
		return err
	}
	var e journal.Entry
	var kind, at, recorded, who, device, body, strikes, photo, confirmed, hash sql.RawBytes
	if err := r.entries.Scan(&e.Seq, &e.ID, &kind, &at, &recorded, &who, &device, &body, &strikes, &photo, &confirmed, &hash); err != nil {
		return err
	}
	e.Kind, e.Who, e.Device, e.Strikes, e.Photo = r.same(kind), r.same(who), r.same(device), string(strikes), string(photo)
	e.Raw = append([]byte(nil), body...)
	copy(e.Hash[:], hash)
	var err error
	if e.At, err = journal.ParseTime(string(at)); err != nil {
		return err
	}
	if e.Recorded, err = journal.ParseTime(string(recorded)); err != nil {
		return err
	}
	if e.Confirmed, err = readConfirmed(confirmed); err != nil {
		return err
	}
	r.entry = &e
	return nil
}

func (r *reader) nextReading() error {
	if !r.readings.Next() {
		err := r.readings.Err()
		r.readings.Close()
		r.readings = nil
		return err
	}
	e := journal.Entry{Kind: "reading"}
	var at, bin, barn, probe, probeID, note, confirmed sql.RawBytes
	var temp, water, oxygen, ammonia, ec, ph, depth sql.NullFloat64
	if err := r.readings.Scan(&e.Seq, &e.ID, &at, &bin, &barn, &temp, &water, &oxygen, &ammonia, &ec, &ph, &depth, &probe, &probeID, &note, &confirmed); err != nil {
		return err
	}
	b := &journal.Reading{Bin: r.same(bin), Barn: r.same(barn), Probe: r.same(probe), ProbeID: r.same(probeID), Note: string(note),
		TempC: pointer[qty.Celsius](temp), WaterFracWet: pointer[qty.WaterOfWet](water), OxygenFrac: pointer[qty.OxygenOfAir](oxygen),
		AmmoniaPPM: pointer[qty.PartsPerM](ammonia), ECDSM: pointer[qty.Decisiemens](ec), PH: pointer[qty.PH](ph), DepthM: pointer[qty.Metre](depth)}
	e.Body = b
	var err error
	if e.At, err = journal.ParseTime(string(at)); err != nil {
		return err
	}
	if e.Confirmed, err = readConfirmed(confirmed); err != nil {
		return err
	}
	r.reading = &e
	return nil
}

func pointer[F ~float64](v sql.NullFloat64) *F {
	if !v.Valid {
		return nil
	}
	f := F(v.Float64)
	return &f
}

// blockOf gives a reading what it has from its block.
func (r *reader) blockOf(e *journal.Entry) error {
	for r.block.last < e.Seq {
		if !r.blocks.Next() {
			if err := r.blocks.Err(); err != nil {
				return err
			}
			break // a reading outside every block: verify will say so
		}
		var b block
		var recorded, who, device, hash sql.RawBytes
		if err := r.blocks.Scan(&b.first, &b.last, &recorded, &who, &device, &hash); err != nil {
			return err
		}
		var err error
		if b.head.Recorded, err = journal.ParseTime(string(recorded)); err != nil {
			return err
		}
		b.head.Who, b.head.Device, b.head.Prev = r.same(who), r.same(device), r.prev
		copy(b.head.Hash[:], hash)
		r.prev = b.head.Hash
		r.block = b
	}
	if e.Seq >= r.block.first && e.Seq <= r.block.last {
		h := &r.block.head
		e.Recorded, e.Who, e.Device, e.Prev, e.Hash = h.Recorded, h.Who, h.Device, h.Prev, h.Hash
	}
	return nil
}
