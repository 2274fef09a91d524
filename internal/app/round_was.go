package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"wormyard/farm"
	"wormyard/round"
	"wormyard/twin"
)

// lastSaid is what the last round told each bin, with what it rested on.
type lastSaid struct {
	advice  map[string]round.Advice
	restsOn map[string]string
}

// saidBefore gives what the newest round told; nothing where it is of other
// numbers, or older than a bin goes without a visit. docs/model.md (R9).
func (t *Twins) saidBefore(ctx context.Context, now time.Time) (lastSaid, error) {
	last, err := t.Last(ctx)
	if err != nil || last == nil || last.Version != t.kind.Load().rounds || now.Sub(last.At).Hours() > 24*t.round.VisitDays {
		return lastSaid{}, err
	}
	in := last.Made
	in.Items = last.Items
	s := lastSaid{t.round.Told(in), map[string]string{}}
	for i := range last.Items {
		s.restsOn[last.Items[i].Bin] = last.Items[i].RestsOn
	}
	return s, nil
}

// of gives what a bin was told, nil where something was written of it since.
func (s lastSaid) of(bin, restsOn string) *round.Advice {
	a, ok := s.advice[bin]
	if !ok || s.restsOn[bin] != restsOn {
		return nil
	}
	return &a
}

// restsOn stands for all that was written of a bin: where it differs from that of
// the last round, news came.
func restsOn(h twin.History, c *round.Case, answers []farm.Answered) string {
	d := sha256.New()
	fmt.Fprintf(d, "%+v|%+v|%+v", h, c.Held, c.Apart)
	if len(answers) > 0 {
		fmt.Fprintf(d, "|%+v", answers)
	}
	return hex.EncodeToString(d.Sum(nil)[:8])
}
