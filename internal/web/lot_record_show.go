package web

import (
	"bytes"
	"io"
	"net/http"
	"strconv"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	papers "wormyard/internal/paper"
	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/lot"
	"wormyard/qty"
	"wormyard/trace"
)

// lotRecord gives the record of a lot as a file to print or to send.
func (s *Server) lotRecord(w http.ResponseWriter, r *http.Request, p person) error {
	name := r.PathValue("name")
	x, ok := app.RecordOf(s.Farm.State(), name)
	if !ok {
		return missing{p.Say("fault.nolot", name)}
	}
	var b bytes.Buffer
	if err := LotRecord(&b, x, s.Farm.State(), p.Words, p.Units); err != nil {
		return err
	}
	return sendPDF(w, p.Say("record.file", fileName(name)), b.Bytes())
}

// paperOf gives the size of paper that goes with a system of units.
func paperOf(u qty.System) papers.Size {
	if u == qty.US {
		return papers.Letter
	}
	return papers.A4
}

// LotRecord writes the record of a lot as PDF. The same record, farm, language and
// units give the same bytes: nothing in it is of the day on which it is made.
func LotRecord(w io.Writer, x app.LotRecord, state *farm.State, c *words.Catalogue, u qty.System) error {
	p := person{Units: u, Words: c, Zone: state.Zone(), Now: x.Journal.Taken.In(state.Zone())}
	answers, err := app.RuleAnswers(state, x.Lot)
	if err != nil {
		return err
	}
	k := recordPaper{person: p, x: x, state: state, answers: answers}
	return k.document().Write(w, paperOf(u), x.Journal.Taken.UTC().Truncate(time.Second))
}

// recordPaper puts the record of a lot into words.
type recordPaper struct {
	person
	x       app.LotRecord
	answers []app.ReleaseAnswer
	state   *farm.State
}

// day is a day on paper, "27 Nov 2026"; minute has the clock behind it.
func (p person) day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return p.Words.Dated(t.In(p.Zone))
}

func (p person) minute(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return p.Say("date.datedclock", p.day(t), p.Words.Clock(t.In(p.Zone)))
}

// paperDay prints a day of the journal, "2027-12-31", on paper; what is no day stays as it is.
func (p person) paperDay(text string) string {
	t, err := time.ParseInLocation(journal.DayLayout, text, p.Zone)
	if err != nil {
		return text
	}
	return p.day(t)
}

// kg prints a mass, and a stroke where none was written.
func (p person) kg(m *float64) string {
	if m == nil {
		return "–"
	}
	return printable(p.Units.Mass(*m))
}

func (p person) m3(v *float64) string {
	if v == nil {
		return "–"
	}
	return printable(p.Units.Volume(qty.CubicMetre(*v)))
}

// sharePlain prints a share.
func (p person) sharePlain(x app.TraceThing) string {
	switch {
	case x.Share == nil:
		return p.Say("trace.unknown")
	case *x.Share > 0 && *x.Share < leastShare:
		return p.Say("trace.little")
	case x.Guessed:
		return p.Say("trace.about", p.Say("trace.percent", percentNumber(*x.Share)))
	}
	return p.Say("trace.percent", percentNumber(*x.Share))
}

func (p person) partOf(share *float64) string {
	return p.sharePlain(app.TraceThing{Share: share})
}

func (k recordPaper) document() papers.Document {
	x := k.x
	farmName := k.state.Settings.Name
	if farmName == "" {
		farmName = k.Say("farm.unnamed")
	}
	d := papers.Document{Title: k.Say("record.title", x.Lot), Page: k.Say("record.page"), Foot: k.Say("record.foot", farmName, x.Lot, shortHash(x.Journal.Hash)),
		Under: k.Say("record.under", farmName, k.Say("lot.state."+x.State), k.minute(x.Journal.Taken))}
	if l, ok := k.state.Lot(x.Lot); ok && !app.Releasable(l) {
		d.Banner = k.Say("bag.banner")
	}
	parts := []papers.Part{k.journalPart(), k.madePart(), k.loads(), k.heat(), k.batches(), k.beds(), k.harvests(), k.joined(), k.screens(), k.cures(), k.counts(), k.tests(), k.decisions(), k.rules(), k.bagged(), k.sales(), k.drills(), k.samples(), k.balance()}
	if len(x.Doubts) > 0 {
		part := papers.Part{Head: k.Say("record.doubts")}
		for _, doubt := range k.state.DoubtsOf("lot " + x.Lot) {
			part.Says = append(part.Says, k.Told(doubt.Say)+" "+k.Told(doubt.Try))
		}
		parts = append(parts, part)
	}
	parts = append(parts, papers.Part{Head: k.Say("record.sign"), Says: []string{k.Say("record.signsay")}, Lines: []string{k.Say("record.signline")}})
	for _, part := range parts {
		if part.Head != "" {
			d.Parts = append(d.Parts, part)
		}
	}
	return d
}

// shortHash is enough of a hash to tell two states of a journal apart by eye.
func shortHash(h string) string {
	if len(h) > 16 {
		return h[:16]
	}
	return h
}

func (k recordPaper) journalPart() papers.Part {
	j := k.x.Journal
	out := papers.Part{Head: k.Say("record.journal"), Says: []string{k.Say("record.journalsay")}, Facts: []papers.Fact{
		{Name: k.Say("record.entries"), Value: thousands(j.Entries)},
		{Name: k.Say("record.newest"), Value: k.Say("record.newestsay", thousands(int(j.Newest)), k.minute(j.Taken))},
	}}
	hash := j.Hash
	if hash == "" {
		hash = k.Say("record.nohash")
	}
	out.Facts = append(out.Facts, papers.Fact{Name: k.Say("record.hash"), Value: hash})
	return out
}

// part is a table under a heading; where there is nothing the heading says so.
func (k recordPaper) part(key string, columns []papers.Column, rows [][]string) papers.Part {
	out := papers.Part{Head: k.Say("record." + key)}
	if len(rows) == 0 {
		out.Says = []string{k.Say("record.none")}
		return out
	}
	wide := 0.0
	for _, c := range columns {
		wide += c.Wide
	}
	for i := range columns {
		columns[i].Wide /= wide
		columns[i].Head = k.Say("record.c." + columns[i].Head)
	}
	out.Table = &papers.Table{Columns: columns, Rows: rows}
	return out
}

func (k recordPaper) madePart() papers.Part {
	var rows [][]string
	for _, m := range app.ByMaterial(k.x.Made) {
		rows = append(rows, []string{k.material(m.Name), k.sharePlain(m)})
	}
	out := k.part("made", []papers.Column{{Head: "material", Wide: 3}, {Head: "share", Wide: 1, Right: true}}, rows)
	if len(rows) > 0 {
		out.Says = []string{k.Say("record.madesay")}
	}
	return out
}

func (k recordPaper) loads() papers.Part {
	var rows [][]string
	for _, d := range k.x.Deliveries {
		told := k.declared(d.Declared)
		if d.DosedOn != "" {
			told = append(told, k.Say("record.dosed", d.DosedOn))
		}
		rows = append(rows, []string{k.day(d.At), k.material(d.What), d.Pile, k.kg(d.Came), strings.Join(told, k.Say("list.comma")), k.sharePlain(d.TraceThing), d.Who})
	}
	for _, m := range k.x.Made {
		if m.Kind == string(trace.Bedding) {
			rows = append(rows, []string{"–", k.material(m.Name), k.Say("record.nobatch"), "–", "", k.sharePlain(m), ""})
		}
	}
	return k.part("loads", []papers.Column{{Head: "day", Wide: 1.1}, {Head: "material", Wide: 2}, {Head: "pile", Wide: 1.2}, {Head: "came", Wide: 1, Right: true}, {Head: "declared", Wide: 1.6}, {Head: "share", Wide: 1, Right: true}, {Head: "who", Wide: 0.9}}, rows)
}

func (k recordPaper) heat() papers.Part {
	var rows [][]string
	var says []string
	for _, x := range k.x.Piles {
		if len(x.Tended) == 0 {
			says = append(says, k.Say("record.noheat", x.Name))
		}
		for _, h := range x.Tended {
			temp, depth, water := "–", "–", "–"
			if h.TempC != nil {
				temp = k.temperatureUnit(*h.TempC)
			}
			if h.DepthM != nil {
				depth = k.Units.Depth(qty.Metre(*h.DepthM))
			}
			if h.Water != nil {
				water = k.Units.Water(qty.WaterKg(*h.Water))
			}
			rows = append(rows, []string{x.Name, k.minute(h.At), k.choice("act", h.Act), temp, depth, water, h.Who})
		}
	}
	out := k.part("heat", []papers.Column{{Head: "pile", Wide: 1.4}, {Head: "time", Wide: 1.5}, {Head: "act", Wide: 1.2}, {Head: "temp", Wide: 1, Right: true}, {Head: "depth", Wide: 1, Right: true}, {Head: "water", Wide: 1, Right: true}, {Head: "who", Wide: 1}}, rows)
	if len(rows) > 0 {
		out.Says = says
	} else if len(k.x.Piles) > 0 {
		out.Says = []string{k.Say("record.noheatatall")}
	}
	return out
}

// portions says what went into a batch from piles, or into a bed of batches.
func (k recordPaper) portions(list []app.RecordPortion, batch bool) string {
	var out []string
	for _, p := range list {
		name := p.Of
		if name != "" && batch {
			name = k.Say("batch.plain", name)
		}
		if name == "" {
			name = k.material(p.Material)
		}
		if name == "" {
			name = k.Say("record.unsaid")
		}
		out = append(out, k.Say("record.portion", name, k.kg(p.Mass)))
	}
	return strings.Join(out, k.Say("list.comma"))
}

func (k recordPaper) batches() papers.Part {
	var rows [][]string
	for _, b := range k.x.Batches {
		rows = append(rows, []string{b.Name, k.day(b.At), k.portions(b.Parts, false), k.testWords(b.Tests), k.partOf(b.Share), b.Who})
	}
	return k.part("batches", []papers.Column{{Head: "batch", Wide: 0.8}, {Head: "day", Wide: 1.1}, {Head: "parts", Wide: 3}, {Head: "tests", Wide: 1.5}, {Head: "share", Wide: 0.9, Right: true}, {Head: "who", Wide: 0.9}}, rows)
}

func (k recordPaper) testWords(list []app.LotTest) string {
	var out []string
	for _, t := range list {
		out = append(out, k.tested(t))
	}
	return strings.Join(out, "; ")
}

func (k recordPaper) beds() papers.Part {
	var rows [][]string
	for _, b := range k.x.Fed {
		rows = append(rows, []string{b.Bin, k.day(b.Till), k.portions(b.Laid, true)})
	}
	return k.part("beds", []papers.Column{{Head: "bin", Wide: 0.7}, {Head: "till", Wide: 1}, {Head: "laid", Wide: 5}}, rows)
}

func (k recordPaper) harvests() papers.Part {
	var rows [][]string
	for _, h := range k.x.Harvests {
		rows = append(rows, []string{k.minute(h.At), h.Lot, h.Bin, k.choice("how", h.How), k.kg(h.Mass), k.m3(h.Volume), h.Who})
	}
	return k.part("harvests", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "lot", Wide: 1}, {Head: "bin", Wide: 0.8}, {Head: "how", Wide: 1.2}, {Head: "mass", Wide: 1, Right: true}, {Head: "volume", Wide: 1, Right: true}, {Head: "who", Wide: 1}}, rows)
}

func (k recordPaper) joined() papers.Part {
	if len(k.x.Joined) == 0 {
		return papers.Part{}
	}
	var rows [][]string
	for _, j := range k.x.Joined {
		rows = append(rows, []string{k.minute(j.At), j.From, j.To, k.kg(j.Mass), k.m3(j.Volume), j.Who})
	}
	return k.part("joined", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "from", Wide: 1}, {Head: "to", Wide: 1}, {Head: "mass", Wide: 1, Right: true}, {Head: "volume", Wide: 1, Right: true}, {Head: "who", Wide: 1}}, rows)
}

func (k recordPaper) screens() papers.Part {
	var rows [][]string
	for _, s := range k.x.Screens {
		opening, water := "–", "–"
		if s.Opening > 0 {
			opening = k.Units.Opening(qty.Metre(s.Opening / 1000))
		}
		if s.Water != nil {
			water = k.Say("trace.percent", percentNumber(*s.Water))
		}
		rows = append(rows, []string{k.minute(s.At), s.Lot, opening, k.kg(s.Through), k.kg(s.Over), water, s.OversTo, s.Who})
	}
	return k.part("screens", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "lot", Wide: 0.9}, {Head: "opening", Wide: 0.9, Right: true}, {Head: "through", Wide: 1, Right: true}, {Head: "over", Wide: 1, Right: true}, {Head: "moisture", Wide: 0.9, Right: true}, {Head: "oversto", Wide: 1.1}, {Head: "who", Wide: 0.9}}, rows)
}

func (k recordPaper) cures() papers.Part {
	var rows [][]string
	for _, c := range k.x.Cures {
		rows = append(rows, []string{k.minute(c.At), c.Lot, c.Say, c.Who})
	}
	return k.part("cures", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "lot", Wide: 1}, {Head: "place", Wide: 3}, {Head: "who", Wide: 1}}, rows)
}

// group names what was counted.
func (k recordPaper) group(group string) string {
	if key := "bench.group." + group; k.Words.Has(key) {
		return k.Say(key)
	}
	return k.choice("group", group)
}

func (k recordPaper) counts() papers.Part {
	var rows [][]string
	for _, c := range k.x.Counts {
		counted, dilution := thousands(c.Counted), "–"
		switch {
		case c.LengthUM > 0 && c.Counted > 0:
			counted = k.Say("record.length", counted, qty.Figures(c.LengthUM))
		case c.LengthUM > 0:
			counted = k.Say("record.long", qty.Figures(c.LengthUM))
		}
		if c.Dilution != nil {
			dilution = qty.Figures(*c.Dilution)
		}
		rows = append(rows, []string{k.minute(c.At), c.Lot, k.group(c.Group), strconv.Itoa(c.Fields), counted, dilution, c.Who})
	}
	out := k.part("counts", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "lot", Wide: 1}, {Head: "group", Wide: 1.4}, {Head: "fields", Wide: 0.8, Right: true}, {Head: "counted", Wide: 1.4, Right: true}, {Head: "dilution", Wide: 1, Right: true}, {Head: "who", Wide: 1}}, rows)
	if len(rows) > 0 {
		out.Says = []string{k.Say("record.countsay")}
	}
	return out
}

func (k recordPaper) tests() papers.Part {
	var rows [][]string
	for _, t := range k.x.Tests {
		rows = append(rows, []string{k.minute(t.At), k.testedValue(t), t.Laboratory})
	}
	return k.part("tests", []papers.Column{{Head: "time", Wide: 1.2}, {Head: "result", Wide: 3}, {Head: "laboratory", Wide: 2}}, rows)
}

func (k recordPaper) decisions() papers.Part {
	var rows [][]string
	for _, d := range k.x.Decisions {
		say := sentence(d.Say)
		if d.Kind == "release" {
			say = k.Say("record.released", k.ruleSay(k.state, d.Rule), said(d.By, d.Who))
		}
		rows = append(rows, []string{k.minute(d.At), d.Lot, k.Say("record.decision." + d.Kind), say, d.Who})
	}
	out := k.part("decisions", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "lot", Wide: 1}, {Head: "decision", Wide: 1}, {Head: "why", Wide: 3}, {Head: "who", Wide: 1}}, rows)
	out.Says = append(out.Says, k.Say("record.decides"))
	return out
}

// drills are the recalls of the lot that were tried out.
func (k recordPaper) drills() papers.Part {
	var rows [][]string
	for _, d := range k.x.Drills {
		rows = append(rows, []string{k.minute(d.At), tally(d.Bags), tally(d.Customers), k.drillSeconds(d.Seconds), sentence(d.Mend), d.Who})
	}
	return k.part("drills", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "bags", Wide: 1, Right: true}, {Head: "customers", Wide: 1, Right: true}, {Head: "foundin", Wide: 1, Right: true}, {Head: "mend", Wide: 3}, {Head: "who", Wide: 1}}, rows)
}

// rules tells what the rule of each release says, line by line, and whether its text
// was read or is recalled.
func (k recordPaper) rules() papers.Part {
	if len(k.answers) == 0 {
		return papers.Part{}
	}
	var rows [][]string
	var says []string
	for _, a := range k.answers {
		says = append(says, k.Say("record.answer", k.Told(a.Title), k.Told(string(a.State)), a.Citation))
		for _, c := range a.Caution {
			says = append(says, k.Told(c))
		}
		for _, l := range a.Lines {
			rows = append(rows, []string{k.asked(l.Line), coreDay.ReplaceAllStringFunc(k.Told(l.Has), k.paperDay), k.Told(string(l.State)), l.Citation, k.Say("record.known." + l.Known)})
		}
	}
	out := k.part("rules", []papers.Column{{Head: "asked", Wide: 2.4}, {Head: "has", Wide: 2}, {Head: "answer", Wide: 1.1}, {Head: "citation", Wide: 1.5}, {Head: "known", Wide: 0.9}}, rows)
	out.Says = says
	return out
}

func (k recordPaper) bagged() papers.Part {
	var rows [][]string
	for _, b := range k.x.Bags {
		us, metric := lot.NetVolume(qty.CubicMetre(b.Size))
		rows = append(rows, []string{k.minute(b.At), thousands(b.Number), us, metric, b.Who})
	}
	return k.part("bagged", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "bags", Wide: 1, Right: true}, {Head: "each", Wide: 1, Right: true}, {Head: "same", Wide: 1, Right: true}, {Head: "who", Wide: 1}}, rows)
}

func (k recordPaper) sales() papers.Part {
	var rows [][]string
	for _, s := range k.x.Sales {
		bags := "–"
		if s.Bags > 0 {
			bags = thousands(s.Bags)
		}
		rows = append(rows, []string{k.minute(s.At), s.Customer, bags, k.m3(s.Volume), k.kg(s.Mass), s.Who})
	}
	return k.part("sales", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "customer", Wide: 2}, {Head: "bags", Wide: 0.8, Right: true}, {Head: "volume", Wide: 1, Right: true}, {Head: "mass", Wide: 1, Right: true}, {Head: "who", Wide: 1}}, rows)
}

// samples tells which samples are kept back, where they lie and until when.
func (k recordPaper) samples() papers.Part {
	var rows [][]string
	for _, s := range k.x.Samples {
		place, until := s.Place, k.paperDay(s.Until)
		if place == "" {
			place = "–"
		}
		if until == "" {
			until = "–"
		}
		rows = append(rows, []string{k.minute(s.At), s.Name, place, until, k.kg(s.Mass), s.Who})
	}
	return k.part("samples", []papers.Column{{Head: "time", Wide: 1.5}, {Head: "sample", Wide: 1.2}, {Head: "place", Wide: 1.6}, {Head: "until", Wide: 1}, {Head: "mass", Wide: 1, Right: true}, {Head: "who", Wide: 1}}, rows)
}

func (k recordPaper) balance() papers.Part {
	b := k.x.Balance
	out := papers.Part{Head: k.Say("lot.balance")}
	add := func(key string, kg float64) {
		out.Facts = append(out.Facts, papers.Fact{Name: k.Say(key), Value: printable(k.Units.Mass(kg))})
	}
	add("balance.in", b.In)
	if b.Water != 0 {
		add("balance.water", b.Water)
	}
	add("balance.out", b.Out)
	if b.Left != nil {
		add("balance.left", *b.Left)
	}
	add(balanceRest(b, k.x.State != string(farm.LotSold)), b.Unexplained)
	if say := k.balanceSay(b, qty.KgPerM3Wet(k.x.Density), k.x.Measured); say != "" {
		out.Says = []string{say}
	}
	return out
}
