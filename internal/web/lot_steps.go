package web

import (
	"maps"
	"net/http"
	"slices"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// LotStep is one step in the life of a lot: how far it is, and where it is done.
type LotStep struct {
	Link
	Done bool
}

// lotSteps gives the steps of a lot in their order, and the one that comes next;
// nil when nothing is left of it.
func (s *Server) lotSteps(p person, state *farm.State, l *farm.Lot) (steps []LotStep, next *Link) {
	a := state.Amounts(l)
	mass := func(m qty.WetKg) string { return printable(p.Units.Mass(float64(m))) }
	day := func(n farm.Noted) string { return p.Words.Date(n.At.In(p.Zone)) }
	add := func(name, to, note string, done bool) {
		if note == "" {
			note = p.Say("lot.step.not")
		}
		steps = append(steps, LotStep{Link{To: to, Name: name, Note: note}, done})
	}
	act := func(key, note string, done bool) { add(p.Say("lot.act."+key), lotTo(l.Name)+"/"+key, note, done) }
	note := ""
	if n := len(l.Screens); n > 0 {
		if note = day(l.Screens[n-1].Noted); a.Overs > 0 {
			note = p.Say("lot.step.screened", note, mass(a.Overs))
		}
	}
	act("screen", note, note != "")
	note = ""
	if n := len(l.Cures); n > 0 {
		if note = p.Say("lot.step.cured", day(l.Cures[n-1].Noted)); l.Cures[n-1].Place != "" {
			note = p.Say("lot.step.curedat", note, l.Cures[n-1].Place)
		}
	}
	act("cure", note, note != "")
	note = ""
	if n := len(l.Seen); n > 0 {
		note = p.Say("lot.step.last", p.Count("lot.step.slides", n), day(l.Seen[n-1].Noted))
	}
	add(p.Say("lot.bench"), benchTo(l.Name), note, note != "")
	note = ""
	if n := len(l.Tests); n > 0 {
		note = p.Say("lot.step.last", p.Count("lot.step.tests", n), day(l.Tests[n-1].Noted))
	}
	act("assay", note, note != "")
	note = ""
	released := len(l.Releases) > 0 && !l.Held()
	switch {
	case l.Held():
		note = p.Say("lot.step.held", l.Holds[len(l.Holds)-1].Why)
	case released:
		x := l.Releases[len(l.Releases)-1]
		note = p.Say("lot.step.released", day(x.Noted), said(x.By, x.Who), p.ruleSay(state, x.Rule))
	}
	act("release", note, released)
	add(p.Say("bag.link"), lotLabelsTo(l.Name), p.Say("lot.step.labels"), len(l.Bags) > 0) // nobody writes down that they were printed
	note = ""
	if n := l.Bagged(); n > 0 {
		note = p.Say("lot.step.bagged", p.Count("trace.bags", n), p.Count("lot.step.here", max(n-l.BagsSold(), 0)))
	}
	act("bag", note, note != "")
	note = ""
	if n := len(l.Sales); n > 0 {
		note = p.Say("lot.step.last", p.Count("trace.sales", n), day(l.Sales[n-1].Noted))
	}
	act("sell", note, note != "")
	if state.Standing(l) == farm.LotSold {
		return steps, nil
	}
	labels := lotLabelsTo(l.Name)
	for i := range steps {
		// what is sold loose needs neither labels nor bags, and what was released needs no more tests
		if x := &steps[i]; !x.Done && x.To != labels && !(released && i < slices.IndexFunc(steps, func(y LotStep) bool { return y.To == labels })) {
			return steps, &x.Link
		}
	}
	return steps, &steps[len(steps)-1].Link
}

// ruleSay names a rule that a lot was released under: by its title where it is one
// of those known, else as somebody wrote it.
func (p person) ruleSay(state *farm.State, key string) string {
	if r, _, ok, err := app.RuleNamed(state, key); err == nil && ok {
		return p.Told(r.Title)
	}
	return key
}

// lotWays gives the pages that one may want after an entry about a lot was written.
func (s *Server) lotWays(p person, e journal.Entry, here string) (out []Link) {
	name := ""
	switch b := e.Body.(type) {
	case *journal.Harvest:
		name = b.Lot
	case *journal.Screen:
		name = b.Lot
	case *journal.Cure:
		name = b.Lot
	case *journal.Microscope:
		name = b.Lot
	case *journal.Bag:
		name = b.Lot
	case *journal.Sell:
		name = b.Lot
		out = append(out, Link{To: "/sale/" + e.ID + "/note.pdf", Name: p.Say("note.title")})
	case *journal.Join:
		name = b.Lot
	}
	if _, ok := s.Farm.State().Lot(name); ok && lotTo(name) != here && here != "" {
		out = append([]Link{{To: lotTo(name), Name: p.Say("lot.title", name)}}, out...)
	}
	return out
}

// bagSizes are offered where the farm has filled no bag yet.
var bagSizesUS, bagSizesSI = []string{"0.5 ft3", "1 ft3", "2 ft3"}, []string{"10 L", "25 L", "50 L"}

// mostSizes is how many sizes of bags stand as buttons.
const mostSizes = 4

// sizeChips offers the sizes of bags that the farm filled, the newest first.
func sizeChips(p person, state *farm.State) (out []Option, last string) {
	var used []farm.Bagging
	for _, l := range state.Lots() {
		used = append(used, l.Bags...)
	}
	slices.SortStableFunc(used, func(a, b farm.Bagging) int { return b.At.Compare(a.At) })
	for _, b := range used {
		text := boxVolume(p.Units, b.Size)
		if len(out) < mostSizes && !slices.ContainsFunc(out, func(o Option) bool { return o.Value == text }) {
			out = append(out, Option{Value: text, Label: printable(text)})
		}
	}
	if len(out) > 0 {
		return out, out[0].Value
	}
	texts := bagSizesSI
	if p.Units == qty.US {
		texts = bagSizesUS
	}
	for _, text := range texts {
		out = append(out, Option{Value: text, Label: printable(text)})
	}
	return out, ""
}

// lotHere tells what of a lot lies there, for the forms that take of it.
func (p person) lotHere(state *farm.State, l *farm.Lot) string {
	a := state.Amounts(l)
	said := p.Say("lot.here.unsure")
	if a.Sure {
		said = p.Say("lot.here.loose", printable(p.Units.Mass(float64(a.Left()))))
		if a.Density > 0 {
			said = p.Say("lot.here.volume", said, printable(boxVolume(p.Units, a.Left().Volume(a.Density))))
		}
	}
	if n := l.Bagged() - l.BagsSold(); n > 0 {
		said = p.Say("lot.here.bags", said, p.Count("trace.bags", n))
	}
	return said
}

// newLot is the box that keeps which name the form of a harvest proposed for a new lot.
const newLot = "newlot"

// offeredLots is how many open lots the form of a harvest offers.
const offeredLots = 4

// lotChips offers the lots that a harvest may go into, so that none has to be typed:
// those that are not screened yet, and a new one.
func (p person) lotChips(state *farm.State, f Field) Field {
	f.Chips, f.Help, f.Other = true, p.Say("harvest.lothelp"), p.Say("harvest.otherlot")
	for _, l := range app.OpenLots(state, offeredLots) {
		f.Options = append(f.Options, Option{Value: l.Name, Label: p.Say("harvest.openlot", printable(l.Name), p.Words.Short(l.Since.At.In(p.Zone)))})
	}
	next := app.NextLot(state, p.Now)
	f.Options = append(f.Options, Option{Value: next, Label: p.Say("harvest.newlot", printable(next))})
	if !slices.ContainsFunc(f.Options, func(o Option) bool { return o.Value == f.Value }) {
		f.OtherValue, f.Value = f.Value, ""
	}
	return choose(f)
}

// lotTaken asks about a harvest into no lot, though its form offered some, since nobody
// can follow it to who buys it; and about one into a lot that its form proposed as a new
// one, and that somebody else has begun since: castings of two lots are not parted again.
func (s *Server) lotTaken(r *http.Request, p person, e journal.Entry) []app.Problem {
	b, ok := e.Body.(*journal.Harvest)
	if proposed := r.PostForm.Get(newLot); ok && b.Lot == "" && proposed != "" {
		return []app.Problem{{Field: "lot", Doubt: true, Say: p.Say("harvest.nolot"), Try: p.Say("harvest.nolottry", proposed)}}
	}
	if !ok || b.Lot == "" || b.Lot != r.PostForm.Get(newLot) || r.PostForm.Get("lot_other") != "" {
		return nil
	}
	state := s.Farm.State()
	l, taken := state.Lot(b.Lot)
	if _, _, known := s.entry(e.ID); known || !taken {
		return nil
	}
	return []app.Problem{{Field: "lot", Doubt: true, Say: p.Say("harvest.taken", b.Lot, p.Moment(l.Since.At), whoOf(p, l.Since.Who)), Try: p.Say("harvest.takentry", app.NextLot(state, p.Now))}}
}

// customersOf lists who bought or ordered, for the browser to offer.
func customersOf(state *farm.State) []string {
	seen := map[string]bool{}
	for _, l := range state.Lots() {
		for _, x := range l.Sales {
			seen[x.Customer] = true
		}
	}
	for _, o := range state.Orders() {
		seen[o.Customer] = true
	}
	delete(seen, "")
	return slices.Sorted(maps.Keys(seen))
}
