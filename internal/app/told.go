package app

import (
	"cmp"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/farm"
	"wormyard/twin"
)

// Told is what the twins of one bin rest on as the journal stands.
type Told struct {
	History twin.History
	Air     climate.Series // around the bin: as read until now, as foretold or usual after it
	Says    []string       // what had to be guessed, in words
}

// TellAll gives what the twins of every bin with a bed rest on now.
func (t *Twins) TellAll() (map[string]Told, error) {
	s, now := t.App.State(), t.App.Now()
	air, err := t.airFor(s, now)
	if err != nil {
		return nil, err
	}
	out := map[string]Told{}
	for _, b := range s.Living() {
		out[b.Name] = t.tell(s, b, air)
	}
	return out, nil
}

func (t *Twins) tell(s *farm.State, b *farm.Bin, air *Air) Told {
	h, notes, _ := t.history(s, b, air)
	return Told{History: h, Air: air.At(b.Slot.Barn, b.Slot.Level), Says: notes}
}

// Uncertain gives the numbers of nature in which the members of the twins differ.
// The error is the loader's.
func Uncertain(p *bed.Parameters) ([]twin.Knob, error) { return knobs(p, "") }

// Follower brings the twins of one bin from one time to the next as the journal
// grows. It goes back only as far as news reach. One goroutine uses it at a time.
type Follower struct {
	Keep  int     // how many ensembles are kept; 0 is usual
	snaps []stand // in order of hour
}

// stand is an ensemble and the name of everything it rests on.
type stand struct {
	e    *twin.Ensemble
	hash string
}

// stands is how many ensembles a Follower keeps, standApart how far they lie
// apart at most [hours].
const (
	stands     = 12
	standApart = 48
)

// To gives the ensemble at the last whole block of six hours at or before an
// hour. It is not to be changed; Forecast takes a copy of its own.
func (f *Follower) To(c *twin.Crew, d Told, hour int64) (*twin.Ensemble, error) {
	h := d.History
	keep := cmp.Or(f.Keep, stands)
	n := len(f.snaps)
	for n > 0 {
		e := f.snaps[n-1].e
		if e.Hour <= hour && f.snaps[n-1].hash == pastHash(c, h, d.Air, e.Hour, e.Taken) {
			break
		}
		n--
	}
	f.snaps = f.snaps[:n]
	var e *twin.Ensemble
	if n > 0 {
		e = f.snaps[n-1].e.Clone()
	} else {
		e = c.Begin(h, d.Air)
	}
	for e.Hour < hour {
		to := min(hour, e.Hour+standApart)
		if hour-to > int64(keep)*standApart { // too long ago to be wanted again
			to = hour - int64(keep)*standApart
		}
		was := e.Hour
		if err := c.Advance(e, h, d.Air, to, nil); err != nil {
			return nil, err
		}
		f.snaps = append(f.snaps, stand{e.Clone(), pastHash(c, h, d.Air, e.Hour, e.Taken)})
		if len(f.snaps) > keep {
			f.snaps = append(f.snaps[:0], f.snaps[1:]...)
		}
		if e.Hour == was {
			break
		}
	}
	return e, nil
}

// HeapsOf follows the heaps of another picture of the farm, as of now.
func (t *Twins) HeapsOf(s *farm.State) (*farm.Heaps, error) {
	air, err := t.airFor(s, t.App.Now())
	if err != nil {
		return nil, err
	}
	return t.heaps(s, air), nil
}
