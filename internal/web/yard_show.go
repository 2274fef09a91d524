package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/internal/web/draw"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// YardPage is the piles and batches, with one opened beside them.
type YardPage struct {
	Frame
	At, Under, Empty string
	Heaps            []HeapShown
	Batches          []Link
	Opened           *OpenedPile
}

// HeapShown is a drawn pile.
type HeapShown struct {
	To, Name, What, Left, Age, Stop string
	Here                            bool
	Drawing                         draw.DrawnHeap
}

// OpenedPile is a pile, or a batch, with everything known of it.
type OpenedPile struct {
	Heading, Under, Unknown string
	Hazards                 []HazardShown
	Line                    *ShownLine
	Acts                    []Link
	Facts, Tests            []Fact
	Recent                  []EntryLine
}

// HazardShown is a hazard in words.
type HazardShown struct{ Head, Say string }

func pileTo(name string) string  { return "/yard/pile/" + url.PathEscape(name) }
func batchTo(name string) string { return "/yard/batch/" + url.PathEscape(name) }

func (s *Server) yardShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	page := YardPage{Frame: s.frame(r, p, p.Say("yard.title"), "yard"), At: "at-list"}
	lying := state.Lying()
	largest := 0.0
	total := 0.0
	for _, x := range lying {
		v := float64(x.Left().Volume)
		largest, total = max(largest, v), total+v
	}
	open, openBatch := r.PathValue("pile"), r.PathValue("batch")
	for _, x := range lying {
		page.Heaps = append(page.Heaps, s.heapShown(p, x, largest, x.Name == open))
	}
	page.Under = p.Say("yard.under", p.Count("yard.count", len(lying)), printable(p.Units.Volume(qty.CubicMetre(total))))
	if len(lying) == 0 {
		page.Under, page.Empty = "", p.Say("yard.empty")
	}
	for i, b := range state.Batches() {
		if i >= 12 && b.Name != openBatch {
			continue
		}
		note := p.Say("batch.gone")
		if left := b.Left(); left.Volume > 0 && b.Known && b.FedShare() < 0.98 {
			note = p.Say("batch.left", printable(p.Units.Volume(left.Volume)))
		}
		page.Batches = append(page.Batches, Link{To: batchTo(b.Name), Name: batchName(p, b), Note: note, Here: b.Name == openBatch})
	}
	switch {
	case open != "":
		x, ok := state.Pile(open)
		if !ok {
			return missing{p.Say("fault.nopile", open)}
		}
		page.At = "at-opened"
		page.Opened = s.openPile(r, p, state, x)
		page.Title = p.Say("pile.title", x.Name)
		page.Unseen = page.Title
	case openBatch != "":
		x, ok := state.Batch(openBatch)
		if !ok {
			return missing{p.Say("fault.nobatch", openBatch)}
		}
		page.At = "at-opened"
		page.Opened = s.openBatch(p, state, x)
		page.Title = batchName(p, x)
		page.Unseen = page.Title
	case len(lying) > 0:
		page.Opened = s.openPile(r, p, state, lying[0])
	}
	return s.draw(w, "yard", http.StatusOK, page)
}

func batchName(p person, b *farm.Batch) string {
	if b.Purpose != "" {
		return p.Say("batch.name", b.Name, p.Told(b.Purpose))
	}
	return p.Say("batch.plain", b.Name)
}

// texture gives the drawing of a material's group.
func texture(group string) string {
	switch group {
	case "manure", "leaf", "paper", "mineral":
		return group
	case "wood":
		return "chips"
	case "straw":
		return "bedding"
	case "compost":
		return "castings"
	}
	return "feed"
}

func (s *Server) heapShown(p person, x *farm.Pile, largest float64, here bool) HeapShown {
	left := x.Left()
	group := ""
	if len(x.Holds) > 0 {
		group = x.Holds[0].Material.Group
	}
	temp, _, hot := lastPileTemp(x)
	out := HeapShown{To: pileTo(x.Name), Name: printable(x.Name), What: p.material(x.Material), Here: here}
	out.Left = p.Say("pile.left", printable(p.Units.Volume(left.Volume)))
	if left.Volume <= 0 {
		out.Left = p.Say("pile.left", printable(p.Units.Mass(float64(left.Wet()))))
	}
	out.Age = p.Say("pile.age", p.Words.Age(p.Now.Sub(x.Newest.At)))
	if hot {
		out.Age = printable(out.Age + p.Say("list.comma") + p.Units.Temperature(temp))
	}
	out.Stop = s.stopWord(p, x)
	out.Drawing = draw.NewHeap(draw.Heap{Texture: texture(group), Volume: float64(left.Volume), Hot: hot && temp > 45, Label: p.Say("pile.alt", x.Name, p.material(x.Material), out.Left)}, largest)
	return out
}

// stopWord gives the one word that keeps people from using a pile.
func (s *Server) stopWord(p person, x *farm.Pile) string {
	if x.Hold != nil {
		return p.Say("pile.held", x.HoldWhy)
	}
	for _, level := range []feedstock.Level{feedstock.LevelRefuse, feedstock.LevelHold} {
		for _, h := range s.hazards(p, x) {
			if h.Level == level {
				return p.Say("hazard."+string(level), p.Told(h.What))
			}
		}
	}
	return ""
}

// hazards screens what lies in a pile.
func (s *Server) hazards(p person, x *farm.Pile) []feedstock.Hazard {
	var out []feedstock.Hazard
	for _, h := range x.Holds {
		for _, z := range feedstock.Screen(h.Material, x.Declared, s.factsOf(p, x)) {
			if !slices.ContainsFunc(out, func(y feedstock.Hazard) bool { return y.What == z.What }) {
				out = append(out, z)
			}
		}
	}
	return out
}

// lastPileTemp gives the last temperature measured in a pile, when that was, and
// whether there is one.
func lastPileTemp(x *farm.Pile) (qty.Celsius, time.Time, bool) {
	for i := len(x.Tended) - 1; i >= 0; i-- {
		if t := x.Tended[i]; t.Temp != nil {
			return *t.Temp, t.At, true
		}
	}
	return 0, time.Time{}, false
}

func (s *Server) openPile(r *http.Request, p person, state *farm.State, x *farm.Pile) *OpenedPile {
	left := x.Left()
	o := &OpenedPile{Heading: p.Say("pile.title", x.Name), Under: p.Say("pile.under", p.material(x.Material), p.Words.Date(x.Since.At.In(p.Zone)))}
	for _, h := range s.hazards(p, x) {
		o.Hazards = append(o.Hazards, HazardShown{Head: p.Say("hazard."+string(h.Level), p.Told(h.What)), Say: strings.TrimSpace(p.Told(sentence(h.Why)) + " " + p.Say("hazard.clears", p.Told(h.Clears)))})
	}
	if x.Hold != nil {
		o.Hazards = slices.Insert(o.Hazards, 0, HazardShown{Head: p.Say("pile.heldhead"), Say: sentence(x.HoldWhy)})
	}
	if l, ok := s.lineOfPile(r, p, x.Name); ok {
		y := s.showLine(p, l, s.doneSinceOf(r.Context()))
		y.Back = pileTo(x.Name)
		y.only("pile", x.Name)
		o.Line = &y
	}
	for _, a := range []string{"measured", "turned", "wetted", "covered"} {
		o.Acts = append(o.Acts, Link{To: pileTo(x.Name) + "/tend?act=" + a, Name: p.Say("pile.act." + a), Main: a == "measured"})
	}
	o.Acts = append(o.Acts, Link{To: pileTo(x.Name) + "/assay", Name: p.Say("pile.act.assay")}, Link{To: pileTo(x.Name) + "/receive", Name: p.Say("pile.act.receive")}, Link{To: pileTo(x.Name) + "/sighting", Name: p.Say("bin.act.sighting")}, Link{To: pileTo(x.Name) + "/hold", Name: p.Say("pile.act.hold")})
	work := "/working/pile/" + url.PathEscape(x.Name)
	o.Facts = append(o.Facts, Fact{Name: p.Say("pile.left1"), Value: loadOf(p, left), Note: p.Say("pile.of", loadOf(p, x.Got)), Working: work})
	o.Facts = append(o.Facts, Fact{Name: p.Say("pile.came"), Value: p.Say("pile.age", p.Words.Age(p.Now.Sub(x.Newest.At)))})
	if t, at, ok := lastPileTemp(x); ok {
		o.Facts = append(o.Facts, Fact{Name: p.Say("pile.temp"), Value: p.Units.Temperature(t), Note: p.Say("fact.at", p.Moment(at))})
	}
	o.Facts = append(o.Facts, matterFacts(p, left, work)...)
	if len(x.Declared) > 0 {
		o.Facts = append(o.Facts, Fact{Name: p.Say("pile.declared"), Value: p.Words.List(p.declared(x.Declared))})
	}
	if x.PaidFor > 0 {
		o.Facts = append(o.Facts, Fact{Name: p.Say("pile.cost"), Value: p.Say("pile.costsay", qty.Figures(float64(x.Paid)/float64(x.PaidFor)*pickNumber(p.Units, qty.M3PerCubicYard, 1)), pick(p.Units, "yd³", "m³"))})
	}
	for i := len(x.Tests) - 1; i >= 0; i-- {
		o.Tests = append(o.Tests, p.testFact(x.Tests[i]))
	}
	if len(x.Missing) > 0 {
		o.Unknown = p.Say("pile.unknown", p.Words.List(x.Missing))
	}
	lines, _ := s.search(state, farm.Search{Subject: "pile " + x.Name, From: p.Now.Add(-lately), Limit: 6}, p.Units)
	o.Recent = entryLines(p, lines)
	return o
}

func loadOf(p person, m feedstock.Matter) string {
	mass := printable(p.Units.Mass(float64(m.Wet())))
	if m.Volume <= 0 {
		return mass
	}
	return p.Say("pile.load", printable(p.Units.Volume(m.Volume)), mass)
}

// matterFacts gives the properties of an amount of matter.
func matterFacts(p person, m feedstock.Matter, work string) []Fact {
	var out []Fact
	if m.Wet() <= 0 {
		return nil
	}
	add := func(key, value string) {
		out = append(out, Fact{Name: p.Say("matter." + key), Value: value, Working: work + "#" + key})
	}
	add("water", qty.Percent100(float64(m.WaterContent())))
	if cn := m.CN(); cn > 0 {
		add("cn", p.Say("matter.cnsay", whole(float64(cn))))
	}
	if d := m.Density(); d > 0 {
		add("density", printable(p.Units.Density(d)))
	}
	if m.Dry > 0 && m.Salt > 0 {
		add("salts", p.Say("matter.saltsay", qty.Figures(m.Salt/float64(m.Dry))))
	}
	if m.PHHigh > 0 {
		add("ph", p.Say("matter.phsay", qty.Figures(float64(m.PHLow)), qty.Figures(float64(m.PHHigh))))
	}
	return out
}

func (s *Server) openBatch(p person, state *farm.State, b *farm.Batch) *OpenedPile {
	o := &OpenedPile{Heading: batchName(p, b), Under: p.Say("batch.under", p.Moment(b.At), b.Who)}
	work := "/working/batch/" + url.PathEscape(b.Name)
	o.Facts = append(o.Facts, Fact{Name: p.Say("batch.made"), Value: loadOf(p, b.Made), Working: work}, Fact{Name: p.Say("pile.left1"), Value: loadOf(p, b.Left())})
	for _, x := range b.Parts {
		o.Facts = append(o.Facts, Fact{Name: x.Pile, Value: loadOf(p, x.Matter), Note: p.Say("batch.share", percentNumber(float64(x.Share))), Working: pileTo(x.Pile)})
	}
	o.Facts = append(o.Facts, matterFacts(p, b.Made, work)...)
	if len(b.Bins) > 0 {
		o.Facts = append(o.Facts, Fact{Name: p.Say("batch.bins"), Value: p.Count("barn.bins", len(b.Bins)), Working: "/journal?about=" + url.QueryEscape("batch "+b.Name)})
	}
	for _, t := range b.Tests {
		o.Tests = append(o.Tests, p.testFact(t))
	}
	o.Acts = []Link{{To: "/mix?from=" + url.QueryEscape(b.Name), Name: p.Say("batch.again"), Main: true}}
	lines, _ := s.search(state, farm.Search{Subject: "batch " + b.Name, From: b.At, Limit: 6}, p.Units)
	o.Recent = entryLines(p, lines)
	return o
}

func (s *Server) lineOfPile(r *http.Request, p person, pile string) (round.Line, bool) {
	list, made, err := s.list(r.Context(), p)
	if err != nil || !made {
		return round.Line{}, false
	}
	for _, l := range list.Lines {
		for _, i := range l.Items {
			if i.Pile == pile {
				l.Items = []round.Item{i}
				return l, true
			}
		}
	}
	return round.Line{}, false
}

// yardAct is one form about a pile, or for feedstock that arrives.
func (s *Server) yardAct(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	name, act := r.PathValue("pile"), r.PathValue("act")
	if act == "" {
		act = "receive"
	}
	kind, ok := p.kindNamed(act)
	if !ok || !slices.Contains([]string{"tend", "assay", "receive", "sighting", "hold"}, act) {
		return missing{p.Say("fault.nokind", act)}
	}
	sh := slip{kind: act, action: "/yard/receive", back: "/yard", fixed: map[string]string{}, preset: map[string]string{}}
	page := EntryPage{Frame: s.frame(r, p, kind.Words, "yard"), BackTo: "/yard", BackName: p.Say("yard.title"), Heading: kind.Words, Under: kind.Help}
	if name != "" {
		x, ok := state.Pile(name)
		if !ok {
			return missing{p.Say("fault.nopile", name)}
		}
		sh.action, sh.back = pileTo(name)+"/"+act, pileTo(name)
		page.BackTo, page.BackName, page.Heading = pileTo(name), p.Say("pile.title", name), p.Say("bin.formtitle", kind.Words, name)
		page.Title = page.Heading
		switch act {
		case "assay":
			sh.fixed["subject"] = "pile " + name
		case "receive":
			sh.fixed["pile"], sh.preset["material"] = name, x.Material
		case "sighting":
			sh.fixed["pile"], sh.fixed["bin"], sh.fixed["place"] = name, "", ""
		case "hold":
			sh.fixed["pile"], sh.fixed["lot"] = name, ""
		default:
			sh.fixed["pile"] = name
			sh.preset["act"] = r.URL.Query().Get("act")
		}
		page.Facts = s.openPile(r, p, state, x).Facts
	}
	return s.entryForm(w, r, p, sh, page)
}

// entryForm shows a form and takes it in.
func (s *Server) entryForm(w http.ResponseWriter, r *http.Request, p person, sh slip, page EntryPage) error {
	status := http.StatusOK
	if r.Method == http.MethodPost {
		got, err := s.keep(r, p, sh)
		if err != nil {
			return err
		}
		if got.saved != "" {
			seeOther(w, r, withSaid(back(r, sh.back), got.saved))
			return nil
		}
		page.Form, status = got.form, http.StatusUnprocessableEntity
		if got.rows {
			status = http.StatusOK
		}
	} else {
		f, err := s.formOf(p, sh, values{})
		if err != nil {
			return err
		}
		page.Form = f
	}
	return s.draw(w, "entry", status, page)
}

// factsOf gives what is known of a pile beyond its material.
func (s *Server) factsOf(p person, x *farm.Pile) feedstock.Facts {
	age := p.Now.Sub(x.Newest.At).Hours() / 24
	f := feedstock.Facts{AgeDays: &age, Tests: map[string]feedstock.Outcome{}}
	if t, err := time.ParseInLocation(journal.DayLayout, x.DosedOn, p.Zone); err == nil {
		days := p.Now.Sub(t).Hours() / 24
		f.DosedDaysAgo = &days
	}
	hot := map[string]bool{}
	for _, t := range x.Tended {
		if t.Temp != nil && *t.Temp >= hotCore {
			hot[t.At.In(p.Zone).Format(journal.DayLayout)] = true
		}
	}
	days := float64(len(hot))
	f.HotDays = &days
	return f
}

// hotCore is the temperature from which a day counts as hot (feedstock.Facts).
const hotCore qty.Celsius = 55
