package app

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash"
	"math"
	"time"

	"wormyard/climate"
	"wormyard/twin"
)

// Kept is where computed things are kept between runs; internal/sqlite is one
// through KeepIn. Everything in it may be thrown away.
type Kept interface {
	Snapshot(ctx context.Context, key, hash, version string) ([]byte, bool, error)
	PutSnapshots(ctx context.Context, version string, snaps []Snap) error
	Result(ctx context.Context, kind, subject string) (data []byte, made time.Time, ok bool, err error)
	PutResults(ctx context.Context, kind, day string, made time.Time, bySubject map[string][]byte) error
}

// Snap is one stored ensemble.
type Snap struct {
	Key, Hash string
	Data      []byte
}

// A bed's twins are stored twice: young, some weeks back, from where every round
// goes on, and old, for entries that come late. Later than both, the twins run
// from the start of the bed again.
const (
	young  = "young"
	old    = "old"
	weekly = "week" // for learning, which goes on from there

	youngDays = pastDays + 1  // back from now a young one is stored
	renewDays = 2 * youngDays // a young one older than this is stored anew
	keepDays  = 3 * renewDays // an old one older than this gives way
	pastDays  = 14            // of an outlook are behind it
)

func snapKey(bin, which string) string { return "twin/" + which + "/" + bin }

// recall gives the stored ensemble of a bed if everything it rests on is as it
// was: the start, the acts, the looks and the air up to its hour.
func (t *Twins) recall(ctx context.Context, c *twin.Crew, which string, h twin.History, air climate.Series, now int64) (*twin.Ensemble, []byte, error) {
	data, ok, err := t.Kept.Snapshot(ctx, snapKey(h.Bin, which), "", t.kind.Load().version)
	if err != nil || !ok || len(data) < hashLen {
		return nil, nil, err
	}
	e, err := twin.Decode(data[hashLen:])
	if err != nil || e.Bin != h.Bin || e.Hour > now || string(data[:hashLen]) != pastHash(c, h, air, e.Hour, e.Taken) {
		return nil, nil, nil
	}
	return e, data, nil
}

// ensemble brings the twins of a bed to now, from a stored state or from the
// bed's start, and gives the states worth storing. It tells seen of the last days.
func (t *Twins) ensemble(ctx context.Context, c *twin.Crew, h twin.History, air climate.Series, now int64, seen twin.Seen) (*twin.Ensemble, []Snap, error) {
	at := youngAt(now)
	e, data, err := t.recall(ctx, c, young, h, air, at)
	if err != nil {
		return nil, nil, err
	}
	var snaps []Snap
	if e == nil {
		if e, _, err = t.recall(ctx, c, old, h, air, at); err != nil {
			return nil, nil, err
		}
	} else if now-e.Hour > renewDays*24 {
		if snaps, err = t.giveWay(ctx, c, h, air, now, data); err != nil {
			return nil, nil, err
		}
		data = nil
	}
	if e == nil {
		e = c.Begin(h, air)
		t.mu.Lock()
		t.runs++
		t.mu.Unlock()
	}
	if data == nil && e.Hour < at {
		if err := c.Advance(e, h, air, at, nil); err != nil {
			return nil, nil, err
		}
		snaps = append(snaps, Snap{Key: snapKey(h.Bin, young), Data: e.AppendBinary([]byte(pastHash(c, h, air, e.Hour, e.Taken)))})
	}
	return e, snaps, c.Advance(e, h, air, now, seen)
}

// giveWay gives the young state of a bed as its old one before another is put in its
// place, unless the old one that is stored is to stay.
func (t *Twins) giveWay(ctx context.Context, c *twin.Crew, h twin.History, air climate.Series, now int64, data []byte) ([]Snap, error) {
	o, _, err := t.recall(ctx, c, old, h, air, now)
	if err != nil || o != nil && now-o.Hour <= keepDays*24 {
		return nil, err
	}
	return []Snap{{Key: snapKey(h.Bin, old), Data: data}}, nil
}

// youngAt gives the hour up to which a stored state serves as a young one.
func youngAt(now int64) int64 { return (now/24 - youngDays) * 24 }

const hashLen = 2 * sha256.Size // in hexadecimal digits

// pastHash names everything an ensemble at an hour rests on: the bed's start,
// the acts and what was found up to then, and the air.
func pastHash(c *twin.Crew, h twin.History, air climate.Series, until int64, taken int) string {
	d := sha256.New()
	fmt.Fprintf(d, "%s|%+v|%+v|%g|%d|", h.Bin, h.Box, h.Start, h.AirSD, until)
	for _, a := range h.Acts {
		if a.Hour < until {
			fmt.Fprintf(d, "%+v|", a)
		}
	}
	for i, f := range c.P.Found(&h) {
		if i >= taken && f.Hour >= until {
			break
		}
		fmt.Fprintf(d, "%+v|", f)
	}
	for _, name := range c.Named(h.Start.Hour, until) {
		fmt.Fprintf(d, "%s|", name)
	}
	hashAir(d, air, h.Start.Hour, until)
	return hex.EncodeToString(d.Sum(nil))
}

func hashAir(d hash.Hash, air climate.Series, from, until int64) {
	var b [24]byte
	for t := from; t < until; t++ {
		x := air.At(t)
		binary.LittleEndian.PutUint64(b[:], math.Float64bits(x.TempC))
		binary.LittleEndian.PutUint64(b[8:], math.Float64bits(x.RH))
		binary.LittleEndian.PutUint64(b[16:], math.Float64bits(air.OffAt(t)))
		d.Write(b[:])
	}
}
