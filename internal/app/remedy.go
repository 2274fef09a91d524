package app

import (
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/source"
	"wormyard/trouble"
)

// Remedy is a remedy of a bin with what is to be done of it and when it is asked
// whether it helped.
type Remedy struct {
	farm.Remedy
	Bin   *farm.Bin
	Of    trouble.Cause
	End   *farm.RemedyHeard // nil while it is under way
	Steps []RemedyStep
	Asks  time.Time // from when on; zero when nothing was done yet
}

// RemedyStep is one thing to do.
type RemedyStep struct {
	Name  string // as the journal has it
	Write string // kind of entry that writes it down as well, empty for none
	Due   time.Time
	Done  *farm.Noted // nil while it is open
	Rests bool        // it is that the bin gets no feed, which the round keeps to
}

// troubleKey gives the key in the data of a name in the journal: "no air" is
// no_air there.
func troubleKey(name string) string { return strings.ReplaceAll(name, " ", "_") }

// TroubleName gives the name in the journal of a key in the data.
func TroubleName(key string) string { return strings.ReplaceAll(key, "_", " ") }

// Remedies gives what was decided against troubles in a bin, in order. A step is
// done when it was ticked, or when an entry of its kind was written down since it
// was due. The error is the loader's.
func Remedies(s *farm.State, b *farm.Bin) ([]Remedy, error) {
	if len(b.Remedies) == 0 {
		return nil, nil
	}
	book, err := source.Trouble()
	if err != nil {
		return nil, err
	}
	var out []Remedy
	for i := range b.Remedies {
		r := Remedy{Remedy: b.Remedies[i], Bin: b, End: b.End(&b.Remedies[i])}
		r.Of, _ = book.Cause(troubleKey(r.Cause))
		for _, name := range r.Remedy.Steps {
			r.Steps = append(r.Steps, r.step(s, name))
		}
		r.Asks = r.asks(s)
		out = append(out, r)
	}
	return out, nil
}

func (r *Remedy) step(s *farm.State, name string) RemedyStep {
	x := RemedyStep{Name: name, Due: r.At}
	for _, d := range r.Of.Do {
		if d.Key != troubleKey(name) {
			continue
		}
		if x.Write, x.Rests = d.Kind, d.Kind == "rest"; x.Rests {
			x.Write, x.Done = "", &r.Noted
		}
		if d.AfterDays > 0 {
			x.Due = dayOf(s, r.At).AddDate(0, 0, int(d.AfterDays))
		}
	}
	for _, d := range r.Remedy.Done {
		if d.Step == name {
			x.Done = &d.Noted
			return x
		}
	}
	if x.Write != "" && r.End == nil {
		if at, ok := r.Bin.Written(x.Write, x.Due); ok {
			x.Done = &at
		}
	}
	return x
}

// asks gives from when on it is asked whether a remedy helped: so many days after
// it was begun, or after it was last said to be better.
func (r *Remedy) asks(s *farm.State) time.Time {
	done := false
	for _, x := range r.Steps {
		done = done || x.Done != nil
	}
	if !done {
		return time.Time{}
	}
	from := r.At
	if n := len(r.Said); n > 0 {
		from = r.Said[n-1].At
	}
	return dayOf(s, from).AddDate(0, 0, int(r.Of.AskDays))
}

// dayOf gives the beginning of the farm's day that a time is in.
func dayOf(s *farm.State, at time.Time) time.Time {
	t := at.In(s.Zone())
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}
