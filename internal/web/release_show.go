package web

import (
	"cmp"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/lot"
	"wormyard/qty"
)

// JudgedShown is what a rule says of a lot, above the form that releases it.
type JudgedShown struct {
	State, Known, Applies, Animal string
	To                            string // where the rule is shown
	Caution                       []string
	Rules                         []Link
	Lines                         []JudgedLine
	Allows, Refuses               []string
	Allowed                       bool
	Hold                          *Link // where it is blocked
}

// JudgedLine is one thing that a rule asks, opening to where it stands. Mark is how its
// frame is drawn.
type JudgedLine struct {
	State, Mark, Asked, Try, Where string
	Has                            []string
	Entries                        []Link
}

// judged holds a lot against a rule for its page.
func (s *Server) judged(p person, name, key string) (out *JudgedShown, asked string, words []shownBox, err error) {
	state := s.Farm.State()
	list, err := app.RulesListed(state, p.Now)
	if err != nil {
		return nil, "", nil, err
	}
	rule, _, ok, err := app.RuleNamed(state, key)
	if err != nil {
		return nil, "", nil, err
	}
	if !ok {
		return nil, "", nil, missing{p.Say("fault.norule", key)}
	}
	j, err := app.Judged(state, name, rule, nil, p.Who, p.Now)
	if err != nil {
		return nil, "", nil, err
	}
	out = &JudgedShown{State: p.Say("release.would", p.Say(stateKey(j.State)), p.Told(j.Title)), Applies: p.Told(j.Applies), Animal: sentence(p.Told(j.AnimalWhy)), Allows: j.Allows, Refuses: j.Refuses, Allowed: j.State == lot.Allowed}
	out.Known, out.To = p.Say("release.known."+j.Known, p.Told(j.Citation), p.ruleDay(j.Review)), ruleTo(j.Rule)
	for _, x := range j.Caution {
		out.Caution = append(out.Caution, p.toldDays(x))
	}
	for _, x := range list.Rules {
		note := p.Say("release.known."+x.Known, p.Told(x.Citation), p.ruleDay(x.Review))
		out.Rules = append(out.Rules, Link{To: lotTo(name) + "/release?" + url.Values{"rule": {x.Rule}}.Encode(), Name: p.Told(x.Title), Note: note, Here: x.Rule == rule.Key})
	}
	if j.State == lot.Blocked {
		out.Hold = &Link{To: lotTo(name) + "/hold", Name: p.Say("release.hold")}
	}
	l, _ := state.Lot(name)
	words = []shownBox{} // none is asked for where the journal settles all
	for _, x := range j.Lines {
		if x.Asks {
			words = append(words, s.shownBox(p, state, l, j, x, shownOffered))
		}
		line := JudgedLine{State: p.Say(stateKey(x.State)), Mark: strings.TrimPrefix(stateKey(x.State), "release."), Asked: p.asked(x.Line), Has: p.hasOf(j, x), Try: p.Told(x.Try), Where: p.Say("release.where."+x.Known, x.Citation)}
		if x.Either != "" {
			line.Where += " " + p.Say("release.either")
		}
		for _, e := range x.Entries {
			line.Entries = append(line.Entries, Link{To: "/journal/" + e, Name: p.Say("release.entry")})
		}
		out.Lines = append(out.Lines, line)
	}
	return out, rule.Key, words, nil
}

// hasOf tells what there is for a line of a rule; heat pile by pile, those of which most
// went in first.
func (p person) hasOf(j app.ReleaseAnswer, x app.ReleaseLine) (out []string) {
	for _, h := range byShare(j.Heat) {
		for _, route := range h.Routes {
			if route.Key == x.Key {
				out = append(out, printable(p.Say("release.pileheat", h.Pile, p.Words.Date(h.From.In(p.Zone)), p.Told(route.Said))))
			}
		}
	}
	if len(out) == 0 {
		out = []string{printable(p.toldDays(x.Has))}
	}
	return out
}

// shownBox is a demand of a rule of which whoever signs may say what shows it, with
// what is on record of its kind, and the ids of the entries behind each choice.
type shownBox struct {
	key, label    string
	options, rest []Option
	entries       map[string][]string
}

// plainText takes off what keeps typed text apart where it is shown.
var plainText = strings.NewReplacer("\u2068", "", "\u2069", "")

// shownOffered is how much of what is on record is offered for one demand; shownKnown is
// how far back a choice is looked for whose page was opened some time ago.
const shownOffered, shownKnown = 5, 200

func (s *Server) shownBox(p person, state *farm.State, l *farm.Lot, j app.ReleaseAnswer, x app.ReleaseLine, most int) shownBox {
	out := shownBox{key: x.Key, label: p.asked(x.Line), entries: map[string][]string{}}
	offer := func(say string, entries ...string) {
		text := plainText.Replace(say) // as it is kept in the journal
		_, there := out.entries[text]
		if out.entries[text] = append(out.entries[text], entries...); there {
			return
		}
		if o := (Option{Value: text, Label: printable(say)}); len(out.options) < most {
			out.options = append(out.options, o)
		} else {
			out.rest = append(out.rest, o)
		}
	}
	day := func(t time.Time) string { return p.Words.Date(t.In(p.Zone)) }
	if strings.HasPrefix(x.Key, "heat_") {
		for _, h := range byShare(j.Heat) {
			if h.Readings == 0 {
				continue
			}
			offer(p.Count("release.heatlog", h.Readings, h.Pile, day(h.From), day(h.To)), h.Entries...)
		}
		return out
	}
	for _, e := range app.OnRecord(state, l, x.Key, most) {
		offer(p.Say("release.onrecord", day(e.At), p.sentence(e)), e.ID)
	}
	return out
}

// byShare puts piles in the order of how much of the lot came from each, those of which
// nobody knows it behind them.
func byShare(list []app.PileHeat) []app.PileHeat {
	out := slices.Clone(list)
	share := func(h app.PileHeat) float64 {
		if h.Share == nil {
			return -1
		}
		return *h.Share
	}
	slices.SortStableFunc(out, func(a, b app.PileHeat) int { return cmp.Compare(share(b), share(a)) })
	return out
}

// pointAt puts to what was said at a release the ids of the entries that it was chosen
// from. The same form sent twice points at the same ones.
func (s *Server) pointAt(p person, id string, b *journal.Release) error {
	if len(b.Shown) == 0 {
		return nil
	}
	state := s.Farm.State()
	if was := app.ShownIn(state, id); len(was) == len(b.Shown) {
		same := true
		for i, x := range was {
			same = same && x.Key == b.Shown[i].Key && x.What == b.Shown[i].What
		}
		if same {
			b.Shown = slices.Clone(was)
			return nil
		}
	}
	l, there := state.Lot(b.Lot)
	rule, _, ok, err := app.RuleNamed(state, b.Rule)
	if err != nil || !ok || !there {
		return err
	}
	j, err := app.Judged(state, b.Lot, rule, nil, p.Who, p.Now)
	if err != nil {
		return err
	}
	for i := range b.Shown {
		x := &b.Shown[i]
		n := slices.IndexFunc(j.Lines, func(line app.ReleaseLine) bool { return line.Key == x.Key })
		if n < 0 || len(x.Entries) > 0 {
			continue
		}
		x.Entries = s.shownBox(p, state, l, j, j.Lines[n], shownKnown).entries[x.What]
	}
	return nil
}

// mostPointed is how many entries are told one by one for one point of a release.
const mostPointed = 6

// shownFacts tells what was said at a release, each under what the rule asks; it opens the
// entry that it was chosen from, where it is one.
func (p person) shownFacts(state *farm.State, b *journal.Release) (out []Fact) {
	asked := map[string]string{}
	if rule, _, ok, err := app.RuleNamed(state, b.Rule); err == nil && ok {
		for _, l := range rule.Limits {
			asked[l.Analyte] = p.asked(lot.Line{Limit: &l})
		}
		for _, n := range rule.Evidence {
			asked[n.Key] = p.Told(n.Say)
		}
	}
	for _, x := range b.Shown {
		f := Fact{Name: cmp.Or(asked[x.Key], x.Key), Value: printable(x.What)}
		if len(x.Entries) == 1 {
			f.Working = "/journal/" + url.PathEscape(x.Entries[0])
		}
		out = append(out, f)
	}
	return out
}

// pointedAt lists the entries that a release was said to rest on, of points that rest on
// so many at least.
func (s *Server) pointedAt(p person, state *farm.State, release string, least int) (out []EntryLine) {
	for _, x := range app.ShownIn(state, release) {
		if len(x.Entries) < least {
			continue
		}
		for i, id := range x.Entries {
			e, counts, found := s.entry(id)
			if !found {
				continue
			}
			line := entryLine(p, farm.Line{Entry: e, Struck: !counts})
			if rest := len(x.Entries) - mostPointed; i == mostPointed-1 && rest > 0 {
				line.Note = strings.TrimSpace(line.Note + p.Say("list.comma") + p.Count("release.pointedmore", rest))
			}
			out = append(out, line)
			if i == mostPointed-1 {
				break
			}
		}
	}
	return out
}

// shownFields are the boxes of what shows each demand: what is on record to be chosen,
// anything else to be typed.
func (p person) shownFields(boxes []shownBox, v values) (out []Field) {
	said := map[string]string{}
	n, _ := strconv.Atoi(v[setCount("shown")])
	for i := range n {
		said[v[setBox("shown", i, "key")]] = v[setBox("shown", i, "what")]
	}
	for i, b := range boxes {
		f := textField(setBox("shown", i, "what"), b.label, said[b.key])
		out = append(out, Field{Name: setBox("shown", i, "key"), Value: b.key, Hidden: true}, Field{Name: setBox("shown", i, rowAsked), Value: "1", Hidden: true})
		if len(b.options) > 0 {
			f.Chips, f.Options, f.Other = true, b.options, p.Say("release.other")
			if f.Rest = b.rest; len(b.rest) > 0 {
				f.RestLabel = p.Count("release.rest", len(b.rest))
			}
			if !slices.ContainsFunc(slices.Concat(b.options, b.rest), func(o Option) bool { return o.Value == f.Value }) {
				f.OtherValue, f.Value = f.Value, ""
			}
			f = choose(f)
		} else {
			f.Help = p.Say("release.norecord")
		}
		out = append(out, f)
	}
	if len(out) > 0 {
		out[2].Help = strings.TrimSpace(p.Say("release.shownhelp") + " " + out[2].Help)
	}
	return out
}

func stateKey(s lot.State) string {
	switch s {
	case lot.Allowed:
		return "release.allowed"
	case lot.IfRecalled:
		return "release.recalled"
	case lot.Missing:
		return "release.missing"
	}
	return "release.blocked"
}

// asked says what a rule asks; a limit in the reader's words.
func (p person) asked(x lot.Line) string {
	l := x.Limit
	if l == nil {
		return p.Told(x.Asked)
	}
	name := p.limitAnalyte(l.Analyte)
	if l.Of == "mean" || l.Of == "geometric_mean" {
		name = p.Say("limit."+l.Of, name)
	}
	amount := func(v float64) string {
		return printable(strings.TrimSpace(qty.Reported(v) + " " + strings.TrimSuffix(l.Unit, "-")))
	}
	switch {
	case l.Least != nil && l.Most != nil:
		name = p.Say("limit.between", name, qty.Reported(*l.Least), amount(*l.Most))
	case l.Least != nil:
		name = p.Say("limit.least", name, amount(*l.Least))
	case l.Under != nil:
		name = p.Say("limit.under", name, amount(*l.Under))
	case l.Most != nil:
		name = p.Say("limit.most", name, amount(*l.Most))
	}
	if l.Basis == "dry" || l.Basis == "wet" {
		name = p.Say("limit."+l.Basis, name)
	}
	if l.Within != nil {
		if name = p.Say("limit.within", name, l.Samples); l.Over < l.Samples {
			name = p.Say("limit.over", name, l.Over, qty.Reported(*l.Within))
		}
	}
	return sentence(name)
}

// limitAnalyte names what a limit is about.
func (p person) limitAnalyte(key string) string {
	if k := "limit.analyte." + key; p.Words.Has(k) {
		return p.Say(k)
	}
	name := p.analyte(key)
	if word, _, _ := strings.Cut(name, " "); strings.ToUpper(word) != word && !strings.Contains(word, ".") && key != "salmonella" && key != "listeria" && key != "ph" {
		return strings.ToLower(name[:1]) + name[1:]
	}
	return name
}
