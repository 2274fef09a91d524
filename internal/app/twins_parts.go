package app

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"wormyard/farm"
	"wormyard/round"
)

// part is what a round has of one bin.
type part struct {
	Of    string       `json:"of"` // all that it rests on beside the hour
	Item  round.Item   `json:"item"`
	View  *Outlook     `json:"view"`
	Price *round.Price `json:"price,omitempty"`
}

// parts keeps what is done of a round while it is made, so that a program that is
// stopped in between goes on where it was. It is of no use once the round is made,
// or anything is written down.
type parts struct {
	kept   Kept
	rounds int // made before, whole
	of     string
	now    time.Time
	wait   map[string][]byte // not kept yet
	last   time.Time
}

// A part is taken up again for partAge, in which neither the air nor the beds go
// far; parts are kept every partEvery.
const (
	partKind  = "round part"
	partAge   = 2 * time.Hour
	partEvery = 2 * time.Second
)

func (t *Twins) partsOf(ctx context.Context, s *farm.State, now time.Time, rules string) (*parts, error) {
	p := &parts{kept: t.Kept, now: now, last: time.Now(), wait: map[string][]byte{}}
	data, _, ok, err := t.Kept.Result(ctx, partKind, "")
	if err != nil {
		return nil, err
	}
	if ok && json.Unmarshal(data, &p.rounds) != nil {
		p.rounds = 0
	}
	p.of = fmt.Sprintf("%d %s %s %s %d %s", p.rounds, now.Format(time.DateOnly), t.kind.Load().rounds, rules, s.Entries, s.LastID)
	return p, nil
}

// made says that the round is whole, so that the next begins at its first bin.
func (p *parts) made(ctx context.Context) error {
	data, err := json.Marshal(p.rounds + 1)
	if err != nil {
		return err
	}
	return p.kept.PutResults(ctx, partKind, "", p.now, map[string][]byte{"": data})
}

// done gives what was done of a bin before a restart. What cannot be read is done
// again.
func (p *parts) done(ctx context.Context, bin string) (x part, ok bool) {
	data, made, ok, err := p.kept.Result(ctx, partKind, bin)
	if err != nil || !ok || p.now.Sub(made).Abs() > partAge || json.Unmarshal(data, &x) != nil || x.Of != p.of || x.View == nil {
		return part{}, false
	}
	return x, true
}

func (p *parts) keep(x part) error {
	x.Of = p.of
	data, err := json.Marshal(x)
	if err != nil {
		return err
	}
	p.wait[x.View.Bin] = data
	if time.Since(p.last) < partEvery {
		return nil
	}
	return p.flush()
}

// flush keeps what waits, even of a job that is being ended.
func (p *parts) flush() error {
	p.last = time.Now()
	wait := p.wait
	p.wait = map[string][]byte{}
	if len(wait) == 0 {
		return nil
	}
	return p.kept.PutResults(context.Background(), partKind, "", p.now, wait)
}
