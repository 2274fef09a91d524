package app

import (
	"reflect"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/ids"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// How a line of the round is answered. That it was done as advised is Done, whatever
// is to be done; what was left has its reason; questions have their own answers, in
// the words of the journal.
const (
	Done     = "done"
	Skipped  = "skipped"
	CouldNot = "could not"

	SaidFed    = "fed"
	SaidNotFed = "not fed"
	SaidNobody = "not known"
)

// SaidHelped are the answers to whether a remedy helped.
var SaidHelped = []string{"gone", "better", "same", "worse"}

// Fact is an entry that an answer stands for, still without who writes it down and
// on what. A zero time is the time of the answer.
type Fact struct {
	Body any
	At   time.Time
}

// Answer gives the entries that an answer to a line of the round stands for, in one
// place for every way in: a form, what a phone sends, a stop of the walk, a line of
// a sheet of paper. None where the line does not take the answer, or where a form
// must ask for more. The items are taken as they are given: what was settled by
// others is to be left out before, see Written.Open.
func Answer(l round.Line, how, why string) []Fact {
	switch {
	case len(l.Items) == 0:
		return nil
	case l.Act == round.Ask:
		return asked(l, how)
	case l.Act == round.Helped:
		return helped(l, how)
	case how == Skipped, how == CouldNot, how == "":
		return left(l, how, why)
	case how == Done:
		return ticked(l)
	}
	return nil
}

// ticked gives the entries that say a line was done as advised; none when a form
// must ask for more about any of it.
func ticked(l round.Line) (out []Fact) {
	for _, items := range l.Parts() {
		part := done(l.Act, items)
		if len(part) == 0 {
			return nil
		}
		out = append(out, part...)
	}
	return out
}

func done(act round.Act, items []round.Item) (out []Fact) {
	bins, first := round.Line{Items: items}.Bins(), &items[0]
	add := func(bodies ...any) {
		for _, b := range bodies {
			out = append(out, Fact{Body: b})
		}
	}
	switch act {
	case round.Feed:
		depth := qty.Metre(first.DepthM)
		add(&journal.Feed{Bins: bins, Batch: first.Mix, DepthM: &depth})
		add(beside(bins, first.WaterKg, first.Cover)...)
	case round.Mend:
		add(&journal.Outcome{Bins: bins, Cause: first.Remedy.Cause, Said: "done", Steps: []string{first.Remedy.Step}})
	case round.Water, round.Cover:
		add(beside(bins, first.WaterKg, first.Cover)...)
	case round.Open:
		if first.DepthM > 0 {
			off := qty.Metre(first.DepthM)
			add(&journal.Turn{Bins: bins, TakenOffM: &off})
		}
		add(beside(bins, first.WaterKg, first.Cover)...)
	case round.Turn:
		add(&journal.Tend{Pile: first.Pile, Act: "turned"})
	case round.Wet:
		if first.WaterKg > 0 {
			kg := qty.WaterKg(first.WaterKg)
			add(&journal.Tend{Pile: first.Pile, Act: "wetted", WaterKg: &kg})
		}
	}
	return out
}

// beside gives the watering and the cover that go with what is done to bins.
func beside(bins []string, waterKg float64, cover string) (out []any) {
	if waterKg > 0 {
		out = append(out, &journal.Water{Bins: bins, Kg: qty.WaterKg(waterKg)})
	}
	if cover != "" {
		out = append(out, &journal.Cover{Bins: bins, Cover: cover})
	}
	return out
}

// AskedAt gives when the bins of a line that asks would have been fed.
func AskedAt(l round.Line) time.Time { return time.Unix(l.Items[0].Asked.Hour*3600, 0).UTC() }

// asked gives the answer to whether bins were fed and, where they were, the
// feedings of that day in the farm's usual way.
func asked(l round.Line, said string) (out []Fact) {
	if !slices.Contains([]string{SaidFed, SaidNotFed, SaidNobody}, said) {
		return nil
	}
	if said == SaidFed {
		for _, items := range l.AskedParts() {
			a := items[0].Asked
			depth := qty.Metre(a.DepthM)
			out = append(out, Fact{Body: &journal.Feed{Bins: round.Line{Items: items}.Bins(), Batch: a.Mix, DepthM: &depth}, At: AskedAt(l)})
		}
	}
	return append(out, Fact{Body: &journal.Answer{Bins: l.Bins(), Day: l.Items[0].Asked.Day, Said: said}})
}

// helped gives the entry that says whether a remedy helped.
func helped(l round.Line, said string) []Fact {
	if !slices.Contains(SaidHelped, said) {
		return nil
	}
	return []Fact{{Body: &journal.Outcome{Bins: l.Bins(), Cause: l.Items[0].Remedy.Cause, Said: said}}}
}

// left gives the entries that a line was left undone, and why: one for its bins,
// and one for each pile.
func left(l round.Line, how, why string) (out []Fact) {
	if !slices.Contains(journal.RoundActs, string(l.Act)) {
		return nil
	}
	if bins := l.Bins(); len(bins) > 0 {
		step := ""
		for i := range l.Items {
			if l.Items[i].Bin != "" {
				step = l.Items[i].Step()
				break
			}
		}
		out = append(out, Fact{Body: &journal.Left{Bins: bins, Act: string(l.Act), How: how, Why: why, Step: step}})
	}
	for _, i := range l.Items {
		if i.Bin == "" && i.Pile != "" {
			out = append(out, Fact{Body: &journal.Left{Pile: i.Pile, Act: string(l.Act), How: how, Why: why}})
		}
	}
	return out
}

// Along is what goes with an entry that was typed by form: what else was ticked
// beside it, and the question that it answers.
type Along struct {
	WaterKg float64
	Cover   string
	Day     string   // YYYY-MM-DD that was asked about, empty where nothing was
	Asked   []string // bins that were asked about
}

// With gives the entries that go with one, at its time: the watering and the cover
// for the same bins, and the answer that a feeding is: fed, for the bins that it
// names on that day, and not fed for the others. An answer is given now.
func (a Along) With(e *journal.Entry, zone *time.Location, now time.Time) (out []Fact) {
	var bins []string
	feed := false
	switch b := e.Body.(type) {
	case *journal.Feed:
		bins, feed = b.Bins, true
	case *journal.Water:
		bins = b.Bins
	}
	if len(bins) > 0 {
		for _, b := range beside(bins, a.WaterKg, a.Cover) {
			out = append(out, Fact{Body: b, At: e.At})
		}
	}
	if a.Day == "" || !feed {
		return out
	}
	var fed, not []string
	for _, bin := range a.Asked {
		if slices.Contains(bins, bin) && e.At.In(zone).Format(journal.DayLayout) == a.Day {
			fed = append(fed, bin)
		} else {
			not = append(not, bin)
		}
	}
	if len(fed) > 0 {
		out = append(out, Fact{Body: &journal.Answer{Bins: fed, Day: a.Day, Said: SaidFed}, At: now})
	}
	if len(not) > 0 {
		out = append(out, Fact{Body: &journal.Answer{Bins: not, Day: a.Day, Said: SaidNotFed}, At: now})
	}
	return out
}

// Entries makes entries of facts: the first with the id given, the others with ids
// that follow from it, so that sent twice they are the same, and that the first
// leads to all. A fact without a time has the one given.
func Entries(like journal.Entry, facts []Fact) []journal.Entry {
	out := make([]journal.Entry, len(facts))
	for i, f := range facts {
		e := journal.Entry{ID: like.ID, Kind: KindOf(f.Body), At: like.At.UTC(), Who: like.Who, Device: like.Device, Body: f.Body}
		if !f.At.IsZero() {
			e.At = f.At.UTC()
		}
		if i > 0 {
			e.ID = ids.Follower(like.ID, i)
		}
		out[i] = e
	}
	return out
}

// Together gives the entries that count of those written down together with one,
// itself first.
func Together(s *farm.State, id string) (out []*journal.Entry) {
	for n := 0; ; n++ {
		next := id
		if n > 0 {
			next = ids.Follower(id, n)
		}
		e, counts, found := s.Entry(next)
		if !found {
			return out
		}
		if counts {
			out = append(out, e)
		}
	}
}

// Written is what was written down since a time.
type Written struct {
	Since time.Time
	by    map[string][]*journal.Entry // by subject, the newest first
}

// WrittenSince gives what was written down of a time or later and counts.
func WrittenSince(s *farm.State, from time.Time) Written {
	out := Written{from, map[string][]*journal.Entry{}}
	all := s.Journal()
	for i := len(all) - 1; i >= 0 && !all[i].At.Before(from); i-- {
		if s.Struck(all[i].ID) {
			continue
		}
		for _, subject := range farm.Subjects(all[i]) {
			out.by[subject] = append(out.by[subject], all[i])
		}
	}
	return out
}

// tends are the acts on a pile that settle what is to be done to it.
var tends = map[round.Act]string{round.Turn: "turned", round.Wet: "wetted", round.Measure: "measured"}

// settles says whether an entry is what an item asked for.
func settles(i *round.Item, act round.Act, e *journal.Entry) bool {
	if !slices.Contains(act.Kinds(), e.Kind) {
		return false
	}
	switch b := e.Body.(type) {
	case *journal.Tend:
		return b.Act == tends[act] || act == round.Measure && b.TempC != nil
	case *journal.Answer:
		return i.Asked == nil || b.Day == i.Asked.Day
	}
	return true
}

// Of gives the last entry that settles an item of a line; nil while it is open.
func (w Written) Of(act round.Act, i *round.Item) *farm.Noted {
	if r := i.Remedy; r != nil && (act == round.Mend || act == round.Helped) {
		if r.Done.IsZero() {
			return nil
		}
		return &farm.Noted{At: r.Done, Who: r.By}
	}
	subject := "pile " + i.Pile
	if i.Bin != "" {
		subject = "bin " + i.Bin
	}
	for _, e := range w.by[subject] {
		if settles(i, act, e) {
			return &farm.Noted{Entry: e.ID, At: e.At, Who: e.Who}
		}
	}
	return nil
}

// Open gives a line with the items that are still to be done, and the last entry
// that settled any of the others.
func (w Written) Open(l round.Line) (open round.Line, last *farm.Noted) {
	open = l.Only(func(i *round.Item) bool {
		by := w.Of(l.Act, i)
		if by != nil && (last == nil || by.At.After(last.At)) {
			last = by
		}
		return by == nil
	})
	return open, last
}

// LeftKey names work at one place.
type LeftKey struct{ Bin, Pile, Act, Step string }

// LeftKeyOf names the work of an item.
func LeftKeyOf(i *round.Item) LeftKey { return LeftKey{i.Bin, i.Pile, string(i.Act), i.Step()} }

// StillLeft gives what was left undone at a time or later and not done since.
func StillLeft(s *farm.State, from time.Time) map[LeftKey]farm.LeftWork {
	out := map[LeftKey]farm.LeftWork{}
	work := s.LeftSince(from)
	if len(work) == 0 {
		return out
	}
	since := WrittenSince(s, from)
	for _, w := range work {
		by := since.Of(round.Act(w.Act), &round.Item{Bin: w.Bin, Pile: w.Pile})
		if w.Step != "" || by == nil || by.At.Before(w.At) {
			out[LeftKey{w.Bin, w.Pile, w.Act, w.Step}] = w
		}
	}
	return out
}

// Stop is one thing to do at one place, as it is named to a phone.
type Stop struct {
	Act   round.Act
	About string // bin or pile
	Key   string // of the line
}

func (x Stop) String() string { return strings.Join([]string{string(x.Act), x.About, x.Key}, "|") }

// ParseStop reads what String gives.
func ParseStop(text string) (Stop, bool) {
	part := strings.SplitN(text, "|", 3)
	if len(part) != 3 {
		return Stop{}, false
	}
	return Stop{round.Act(part[0]), part[1], part[2]}, true
}

// SettledBy gives who settled a stop by what was written since a round was made, for
// whoever settles it again without having seen that; nil while it is open. The
// error is the loader's.
func (x Stop) SettledBy(s *farm.State, w Written) (*farm.Noted, error) {
	switch x.Act {
	case round.Mend, round.Helped:
		return x.remedied(s, w.Since)
	case round.Turn, round.Wet, round.Measure, round.Blend:
		return w.Of(x.Act, &round.Item{Pile: x.About}), nil
	}
	return w.Of(x.Act, &round.Item{Bin: x.About}), nil
}

func (x Stop) remedied(s *farm.State, since time.Time) (*farm.Noted, error) {
	b, ok := s.Bin(x.About)
	if !ok {
		return nil, nil
	}
	list, err := Remedies(s, b)
	if err != nil {
		return nil, err
	}
	var last *farm.Noted
	for _, r := range list {
		for _, y := range r.Steps {
			if x.Key == MendKey(r.Cause, y.Name) && y.Done != nil && !y.Done.At.Before(since) {
				last = y.Done
			}
		}
		if n := len(r.Said); n > 0 && x.Key == HelpedKey(r.Cause) && !r.Said[n-1].At.Before(since) {
			last = &r.Said[n-1].Noted
		}
	}
	return last, nil
}

// MendKey names the line of a step of a remedy.
func MendKey(cause, step string) string { return "mend/" + cause + "/" + step }

// HelpedKey names the line that asks whether a remedy helped.
func HelpedKey(cause string) string { return "helped/" + cause }

// kindOf names the kinds by the types of their bodies.
var kindOf = func() map[reflect.Type]string {
	out := map[reflect.Type]string{}
	for _, k := range journal.Kinds() {
		out[reflect.TypeOf(k.New())] = k.Name
	}
	return out
}()

// KindOf names the kind of a body; empty for what is none.
func KindOf(body any) string { return kindOf[reflect.TypeOf(body)] }

// ProblemsOf gives what is wrong with entries that belong together.
func ProblemsOf(acks []Ack) (out []Problem) {
	for _, a := range acks {
		out = append(out, a.Problems...)
	}
	return out
}
