package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/journal"
	"wormyard/qty"
)

// CastingsPage is the lots by how far they are.
type CastingsPage struct {
	Frame
	Under, Empty string
	Groups       []LotGroup
	Sold         []Link
	SoldHead     string
	Ripe         *RipeShown
	Complaints   []Link
}

// LotGroup is the lots of one state.
type LotGroup struct {
	Head string
	Lots []HeapShown
}

// shownComplaints is how many complaints stand on the page, the newest first.
const shownComplaints = 12

func lotTo(name string) string { return "/lot/" + url.PathEscape(name) }

func (s *Server) castingsShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	page := CastingsPage{Frame: s.frame(r, p, p.Say("castings.title"), "more")}
	page.One = false
	list := app.Lots(state).Lots
	largest, left := 0.0, 0.0
	for _, l := range list {
		if l.State != string(farm.LotSold) {
			largest, left = max(largest, l.LeftKgWet), left+l.LeftKgWet
		}
	}
	groups := map[string]*LotGroup{}
	standing := 0
	for _, l := range list {
		if l.State == string(farm.LotSold) {
			page.Sold = append(page.Sold, Link{To: lotTo(l.Lot), Name: p.Say("lot.title", l.Lot), Note: p.Say("castings.soldnote", printable(p.Units.Mass(l.InKgWet)), p.Words.Date(l.Since.In(p.Zone)))})
			continue
		}
		standing++
		if groups[l.State] == nil {
			groups[l.State] = &LotGroup{Head: p.Say("lot.state." + l.State)}
		}
		groups[l.State].Lots = append(groups[l.State].Lots, s.lotHeap(p, l, largest))
	}
	for _, st := range farm.LotStates() {
		if g := groups[string(st)]; g != nil {
			page.Groups = append(page.Groups, *g)
		}
	}
	page.Under = p.Say("castings.under", p.Count("castings.count", standing), printable(p.Units.Mass(left)))
	if len(list) == 0 {
		page.Under, page.Empty = "", p.Say("castings.empty")
	}
	if len(page.Sold) > 0 {
		page.SoldHead = p.Count("castings.sold", len(page.Sold))
	}
	complaints := state.Complaints()
	for i := len(complaints) - 1; i >= 0 && len(page.Complaints) < shownComplaints; i-- {
		c := complaints[i]
		told := p.complaint(c)
		x := Link{To: "/journal/" + c.Entry, Name: told.Head, Note: told.Say}
		if c.Lot != "" {
			x.Name, x.To = p.Say("complaint.lot", told.Head, c.Lot), lotTo(c.Lot)
		}
		page.Complaints = append(page.Complaints, x)
	}
	ripe, err := s.ripeShown(r.Context(), p, state)
	if err != nil {
		return err
	}
	page.Ripe = ripe
	return s.draw(w, "castings", http.StatusOK, page)
}

func (s *Server) lotHeap(p person, l app.LotShort, largest float64) HeapShown {
	out := HeapShown{To: lotTo(l.Lot), Name: printable(l.Lot), What: p.Say("castings.since", p.Words.Date(l.Since.In(p.Zone)))}
	out.Left = p.Say("castings.left", printable(p.Units.Mass(l.LeftKgWet)), printable(p.Units.Mass(l.InKgWet)))
	if !l.Sure {
		out.Left = p.Say("castings.unsure", printable(p.Units.Mass(l.InKgWet)))
	}
	if l.Bagged > 0 {
		out.Age = p.Say("castings.bags", l.Bagged, l.Sold)
	}
	if l.Why != "" {
		out.Stop = p.Say("castings.held", l.Why)
	}
	out.Drawing = draw.NewHeap(draw.Heap{Texture: texture("compost"), Volume: l.LeftKgWet, Label: p.Say("castings.alt", l.Lot, out.Left)}, largest)
	return out
}

// LotPage is one lot.
type LotPage struct {
	Frame
	Heading, Under, BackTo, BackName string
	Cares                            []HazardShown
	Steps                            []LotStep
	Next                             *Link
	More                             []Link // what is seldom done
	Made                             []ShareShown
	MadeHead, MadeNote               string
	Beds                             []ShareShown
	BedsMore                         *Link
	Facts, Balance, Tests            []Fact
	BalanceSay                       string
	Recent                           []EntryLine
	Traces                           []Link
	TestWays                         []Link // to tests, under them
	Told                             string
}

// ShareShown is a thing with its share, which is drawn as a bar of a hundred.
type ShareShown struct{ Name, To, Share, Bar, Note string }

// shownBeds is how many beds stand on the page of a lot.
const shownBeds = 8

func (s *Server) lotShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	name := r.PathValue("name")
	x, ok := app.LotShown(state, name)
	if !ok {
		return missing{p.Say("fault.nolot", name)}
	}
	l, _ := state.Lot(name)
	page := LotPage{Frame: s.frame(r, p, p.Say("lot.title", name), "more"), Heading: p.Say("lot.title", name), BackTo: "/castings", BackName: p.Say("castings.title")}
	page.Under = p.Say("lot.under", p.Say("lot.state."+x.State), p.Words.Date(x.Since.In(p.Zone)))
	if n := len(l.Releases); n > 0 && !l.Held() {
		page.Under = p.Say("lot.released", p.Words.Date(l.Releases[n-1].At.In(p.Zone)), p.ruleSay(state, l.Releases[n-1].Rule), said(l.Releases[n-1].By, l.Releases[n-1].Who))
	}
	if l.Held() {
		h := l.Holds[len(l.Holds)-1]
		page.Cares = append(page.Cares, HazardShown{Head: p.Say("lot.heldhead", p.Words.Date(h.At.In(p.Zone))), Say: sentence(h.Why)})
	}
	for _, c := range state.Complaints() {
		if c.Lot == name {
			page.Cares = append(page.Cares, p.complaint(c))
		}
	}
	for _, d := range state.DoubtsOf("lot " + name) {
		page.Cares = append(page.Cares, HazardShown{Head: p.Told(d.Say), Say: p.Told(d.Try)})
	}
	page.Steps, page.Next = s.lotSteps(p, state, l)
	for _, act := range []string{"join", "hold", "keep", "complaint"} {
		page.More = append(page.More, Link{To: lotTo(name) + "/" + act, Name: p.Say("lot.act." + act)})
	}
	page.More = append(page.More, Link{To: lotTo(name) + "/record.pdf", Name: p.Say("record.link")}, Link{To: lotTo(name) + "/report", Name: p.Say("bench.report")}, Link{To: lotTo(name) + "/sample", Name: p.Say("sample.link")})
	page.MadeHead = p.Say("lot.made")
	for _, m := range app.ByMaterial(x.Made) {
		page.Made = append(page.Made, s.shareShown(p, state, m))
	}
	if len(x.Made) == 0 {
		page.MadeNote = p.Say("lot.madenothing")
	}
	for i, b := range x.Beds {
		if i < shownBeds {
			page.Beds = append(page.Beds, s.shareShown(p, state, b))
		}
	}
	trace := "/trace?of=" + url.QueryEscape("lot "+name)
	if n := len(x.Beds); n > shownBeds {
		page.BedsMore = &Link{To: trace + "&way=back", Name: p.Count("trace.more", n-shownBeds)}
	}
	page.Traces = []Link{{To: trace + "&way=back", Name: p.Say("lot.traceback")}, {To: trace + "&way=forward", Name: p.Say("lot.traceforward")}}
	a := state.Amounts(l)
	mass := func(m qty.WetKg) string { return printable(p.Units.Mass(float64(m))) }
	page.Facts = []Fact{{Name: p.Say("lot.in"), Value: mass(a.In)}}
	for _, f := range []struct {
		key string
		m   qty.WetKg
	}{{"lot.overs", a.Overs}, {"lot.bagged", a.Bagged}, {"lot.bulk", a.Bulk}, {"lot.given", a.Given}, {"lot.kept", a.Kept}} {
		if f.m > 0 {
			page.Facts = append(page.Facts, Fact{Name: p.Say(f.key), Value: mass(f.m)})
		}
	}
	page.Facts = append(page.Facts, oversFacts(p, state, l)...)
	if x.Bagged > 0 {
		page.Facts = append(page.Facts, Fact{Name: p.Say("lot.bags"), Value: p.Say("castings.bags", x.Bagged, x.Sold)})
	}
	if n := len(l.Cures); n > 0 {
		page.Facts = append(page.Facts, Fact{Name: p.Say("lot.cure"), Value: l.Cures[n-1].Place, Note: p.Say("fact.at", p.Moment(l.Cures[n-1].At))})
	}
	for _, k := range l.Samples {
		note := ""
		if t, err := time.ParseInLocation(journal.DayLayout, k.Until, p.Zone); err == nil {
			note = p.Say("lot.sampleuntil", p.Words.Date(t))
			if p.Now.After(t.AddDate(0, 0, 1)) {
				note = p.Say("lot.sampleover", p.Words.Date(t))
			}
		}
		if k.Mass > 0 {
			note = strings.TrimPrefix(strings.Join([]string{note, mass(k.Mass)}, p.Say("list.comma")), p.Say("list.comma"))
		}
		page.Facts = append(page.Facts, Fact{Name: p.Say("lot.sample", k.Name), Value: said(k.Place, p.Say("lot.sampleplace")), Note: note, Working: "/journal/" + k.Entry})
	}
	page.Balance = s.balanceFacts(p, x.Balance, x.State != string(farm.LotSold))
	page.BalanceSay = p.balanceSay(x.Balance, qty.KgPerM3Wet(x.Density), x.Measured)
	for i := len(x.Tests) - 1; i >= 0; i-- {
		page.Tests = append(page.Tests, p.testFact(l.Tests[i]))
	}
	page.TestWays = []Link{{To: labSheetTo(name), Name: p.Say("labsheet.link")}}
	if n, ok := wholeNumber(r.URL.Query().Get("tests")); ok && n > 0 {
		page.Told = p.Count("labsheet.saved", n)
	}
	lines, _ := s.search(state, farm.Search{Subject: "lot " + name, Limit: 12}, p.Units)
	page.Recent = entryLines(p, lines)
	return s.draw(w, "lot", http.StatusOK, page)
}

// oversFacts tells onto which piles the overs of a lot went, and what lies there yet.
func oversFacts(p person, state *farm.State, l *farm.Lot) (out []Fact) {
	seen := map[string]bool{}
	for _, x := range l.Screens {
		pile, ok := state.Pile(x.Pile)
		if !ok || seen[x.Pile] {
			continue
		}
		seen[x.Pile] = true
		out = append(out, Fact{Name: p.Say("lot.oversto"), Value: p.Say("pile.title", pile.Name), Note: p.Say("lot.overslie", printable(p.Units.Mass(float64(pile.Left().Wet())))), Working: pileTo(pile.Name)})
	}
	return out
}

// complaint tells what a customer found amiss.
func (p person) complaint(c farm.Complaint) HazardShown {
	ended := func(s string) string { return strings.TrimRight(s, ". ") + "." }
	out := HazardShown{Head: p.Say("complaint.head", p.Words.Date(c.At.In(p.Zone)), said(c.Customer, p.Say("complaint.nobody"))), Say: ended(sentence(c.What))}
	if c.Bags != "" {
		out.Say = p.Say("complaint.bags", out.Say, strings.TrimRight(c.Bags, ". "))
	}
	if c.Done != "" {
		out.Say = p.Say("complaint.done", out.Say, c.Done)
	}
	return out
}

func said(now, otherwise string) string {
	if now != "" {
		return now
	}
	return otherwise
}

// balanceFacts gives a balance line by line. What nobody took of a lot that is not
// sold out lies there, as far as anybody knows.
func (s *Server) balanceFacts(p person, b app.BalanceAnswer, standing bool) []Fact {
	mass := func(kg float64) string { return printable(p.Units.Mass(kg)) }
	out := []Fact{{Name: p.Say("balance.in"), Value: mass(b.In)}}
	if b.Water != 0 {
		out = append(out, Fact{Name: p.Say("balance.water"), Value: mass(b.Water)})
	}
	out = append(out, Fact{Name: p.Say("balance.out"), Value: mass(b.Out)})
	if b.Left != nil {
		out = append(out, Fact{Name: p.Say("balance.left"), Value: mass(*b.Left)})
	}
	return append(out, Fact{Name: p.Say(balanceRest(b, standing)), Value: mass(b.Unexplained)})
}

// balanceRest is the word for what a balance leaves over.
func balanceRest(b app.BalanceAnswer, standing bool) string {
	if standing && b.Unexplained > 0 {
		return "balance.lies"
	}
	return "balance.rest"
}

// balanceSay tells what the sums rest on.
func (p person) balanceSay(b app.BalanceAnswer, d qty.KgPerM3Wet, measured bool) string {
	var out []string
	if !b.Sure {
		out = append(out, p.Say("balance.unsure"))
	}
	if b.Sure && b.In > 0 && b.Unexplained < -0.01*b.In {
		out = append(out, p.Say("balance.over"))
	}
	if b.Guessed && d > 0 {
		key := "balance.usual"
		if measured {
			key = "balance.measured"
		}
		out = append(out, p.Say(key, printable(p.Units.Density(d))))
	}
	return strings.Join(out, " ")
}

// lotActs are what may be written about a lot from its page.
var lotActs = []string{"screen", "cure", "assay", "bag", "sell", "join", "hold", "release", "keep", "complaint"}

// lotKinds are the kinds of entries of acts that are called otherwise.
var lotKinds = map[string]string{"keep": "kept sample"}

// lotAct is one form about a lot.
func (s *Server) lotAct(w http.ResponseWriter, r *http.Request, p person) error {
	name, act := r.PathValue("name"), r.PathValue("act")
	kind, ok := p.kindNamed(cmp.Or(lotKinds[act], act))
	if !ok || !slices.Contains(lotActs, act) {
		return missing{p.Say("fault.nokind", act)}
	}
	if _, ok := s.Farm.State().Lot(name); !ok {
		return missing{p.Say("fault.nolot", name)}
	}
	sh := slip{kind: kind.Name, action: lotTo(name) + "/" + act, back: lotTo(name), fixed: map[string]string{}, preset: map[string]string{}}
	switch act {
	case "assay":
		sh.fixed["subject"] = "lot " + name
	case "hold":
		sh.fixed["lot"], sh.fixed["pile"], sh.fixed["bin"] = name, "", ""
	case "join":
		sh.preset["parts"] = name
	default:
		sh.fixed["lot"] = name
	}
	page := EntryPage{Frame: s.frame(r, p, kind.Words, "more"), BackTo: lotTo(name), BackName: p.Say("lot.title", name), Heading: p.Say("bin.formtitle", kind.Words, name), Under: kind.Help}
	page.Title, page.One = page.Heading, act != "screen" && act != "release" // nothing stands beside the others
	if act == "release" {
		judged, rule, words, err := s.judged(p, name, cmp.Or(r.URL.Query().Get("rule"), app.HouseRule))
		if err != nil {
			return err
		}
		sh.fixed["rule"], sh.preset["by"], page.Judged, sh.shown = rule, p.Who, judged, words
		sh.action += "?" + url.Values{"rule": {rule}}.Encode()
	}
	l, _ := s.Farm.State().Lot(name)
	switch act {
	case "bag":
		sh.offer = map[string][]Option{}
		sh.offer["size_m3"], sh.preset["size_m3"] = sizeChips(p, s.Farm.State())
		page.Under = p.lotHere(s.Farm.State(), l)
	case "sell":
		page.Under = p.lotHere(s.Farm.State(), l)
	case "screen":
		page.Deck = s.deckShown(r, p, l, &sh)
	}
	return s.entryForm(w, r, p, sh, page)
}
