package farm

import (
	"fmt"
	"slices"
	"time"

	"wormyard/qty"
)

// assumed says what the twin of a bed takes for granted where the journal is
// silent for long, or tells of more than a bed can take. Nothing is said beyond
// limits that are 0.
func (s *State) assumed(bin *Bin) (out []string) {
	b, u := bin.Bed, s.Settings.Units
	say := func(format string, values ...any) { out = append(out, fmt.Sprintf(format, values...)) }
	if from, to, own := s.gap(b); !own {
		if to.Sub(from) > 0 {
			say("Nobody wrote down anything of this bed since %s, so the twin runs as if nothing had been done.", s.date(from))
		}
	} else if to.Sub(from) > 0 {
		say("Nobody wrote down anything of this bed from %s to %s, so the twin runs as if nothing had been done.", s.date(from), s.date(to))
	}
	var deep qty.Metre
	var wet, worms float64
	for _, a := range b.Acts {
		switch a.Kind {
		case ActFeed:
			if a.Matter.Wet() > 0 { // what is left out warms no bed
				deep = max(deep, a.Depth)
			}
		case ActWater:
			wet = max(wet, float64(a.Water))
		case ActStock:
			worms += float64(a.Stock.Best)
			if a.Stock.Best < 0 && worms < 0 {
				say("By the journal more worms were taken out on %s than were put in, so the twin takes out all that it has, or as many.", s.date(a.At))
				worms = 0
			}
		}
	}
	if m := s.usual.MuchFeed; m > 0 && float64(deep) > m {
		say("It was fed %s at once, far deeper than a usual feeding, so what is said of its warmth is less sure than the range shows.", u.Depth(deep))
	}
	if m := s.usual.MuchWater; m > 0 && wet > m*float64(bin.Box.Area()) && wet > 0 {
		say("It was given %s at once, more than a bed takes up; the twin lets the rest run out below.", u.Water(qty.WaterKg(wet)))
	}
	return out
}

// gap gives the last time for which nobody wrote of a bed for longer than is
// usual; both are alike where there was none. It is false where it reaches to
// the end of the journal.
func (s *State) gap(b *Bed) (from, to time.Time, ended bool) {
	if s.usual.GapDays <= 0 {
		return from, to, false
	}
	at := []time.Time{b.At}
	for _, a := range b.Acts {
		at = append(at, a.At)
	}
	for _, l := range b.Looks {
		at = append(at, l.At)
	}
	for _, d := range b.Depths {
		at = append(at, d.At)
	}
	for _, r := range b.Readings {
		if r.Probe != "logger" { // which goes on by itself
			at = append(at, r.At)
		}
	}
	slices.SortFunc(at, time.Time.Compare)
	long := time.Duration(s.usual.GapDays * float64(dayLong))
	if last := at[len(at)-1]; s.Last.Sub(last) > long {
		return last, s.Last, false
	}
	for i := len(at) - 1; i > 0; i-- {
		if at[i].Sub(at[i-1]) > long {
			return at[i-1], at[i], true
		}
	}
	return from, from, true
}
