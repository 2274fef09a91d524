package app

import (
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/label"
	"wormyard/internal/source"
	lots "wormyard/lot"
	"wormyard/qty"
)

// LotLabel is what the label of a bag of a lot rests on.
type LotLabel struct {
	Lot         string
	Held        bool // on hold, or never released: it may not be sold
	Why         string
	Rule        string // of the last release, as written
	From, Until time.Time
	Packed      time.Time // last bagging; zero when none
	Size        qty.CubicMetre
	Number      int // bags of the last bagging
	Density     qty.KgPerM3Wet
	Measured    bool         // by this farm; else it is what is usual
	Made        []TraceThing // by material and share
	Tests       []LotTest    // the newest of each analyte
}

// LotLabelOf gives what is known for the label of a lot; false when there is none
// of that name.
func LotLabelOf(s *farm.State, name string) (LotLabel, bool) {
	x, ok := LotShown(s, name)
	if !ok {
		return LotLabel{}, false
	}
	l, _ := s.Lot(name)
	out := LotLabel{Lot: name, Made: ByMaterial(x.Made), Density: qty.KgPerM3Wet(x.Density), Measured: x.Measured, Held: !Releasable(l), Why: x.Why}
	out.From, out.Until = harvested(s, l, map[string]bool{})
	if n := len(l.Bags); n > 0 {
		b := l.Bags[n-1]
		out.Packed, out.Size, out.Number = b.At, b.Size, b.Number
	}
	if n := len(l.Releases); n > 0 {
		out.Rule = l.Releases[n-1].Rule
	}
	for i := len(x.Tests) - 1; i >= 0; i-- {
		t := x.Tests[i]
		if !slices.ContainsFunc(out.Tests, func(o LotTest) bool { return o.Analyte == t.Analyte }) {
			out.Tests = append(out.Tests, t)
		}
	}
	return out, true
}

// Releasable says whether a lot is released and not on hold.
func Releasable(l *farm.Lot) bool { return len(l.Releases) > 0 && !l.Held() }

// harvested gives the first and the last harvest in a lot, those of lots put into
// it counted.
func harvested(s *farm.State, l *farm.Lot, seen map[string]bool) (from, until time.Time) {
	if seen[l.Name] {
		return
	}
	seen[l.Name] = true
	take := func(a, b time.Time) {
		if !a.IsZero() && (from.IsZero() || a.Before(from)) {
			from = a
		}
		if b.After(until) {
			until = b
		}
	}
	for _, x := range l.From {
		take(x.At, x.At)
	}
	for _, x := range l.Joined {
		if part, ok := s.Lot(x.Lot); ok {
			take(harvested(s, part, seen))
		}
	}
	return from, until
}

// LabelClaims looks through the text of a label of a lot for words that are refused
// or asked about, by the rule that the lot was released under as well. The error
// is ours: the built-in data is amiss.
func LabelClaims(text, rule string) ([]lots.Caution, error) {
	claims, err := source.Claims()
	if err != nil {
		return nil, err
	}
	rules, err := builtIn()
	if err != nil {
		return nil, err
	}
	var under lots.Rule
	if i := slices.IndexFunc(rules, func(r lots.Rule) bool {
		return strings.EqualFold(r.Key, strings.TrimSpace(rule)) || strings.EqualFold(r.Title, strings.TrimSpace(rule))
	}); i >= 0 {
		under = rules[i]
	}
	return lots.CheckLabel(text, claims, under, nil), nil
}

// NetLetter gives the least height of the figures of net contents on a label [m].
func NetLetter(wide, high qty.Metre) (qty.Metre, error) {
	var p lots.Panel
	if err := source.Load("label", &p); err != nil {
		return 0, err
	}
	return p.NetLetter(qty.SquareMetre(float64(wide) * float64(high))), nil
}

// lotTail tells the tail of a lot's address from that of a bin of the same name.
const lotTail = "lot "

// LotMark gives what is printed beside the name of a lot, so that a name read or
// typed wrong is seen: the mark of the farm and a check over both.
func LotMark(s *farm.State, name string) string { return label.Tail(lotTail+name, FarmMark(s)) }

// LotMarked says whose a lot's label is.
func LotMarked(s *farm.State, name, tail string) label.Whose {
	return label.Read(lotTail+name, tail, FarmMark(s))
}
