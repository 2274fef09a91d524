package web

import (
	"encoding/csv"
	"fmt"
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
	"wormyard/trace"
)

// TracePage is where something came from, or what it went into.
type TracePage struct {
	Frame
	Heading, Under, Of  string
	Forward             bool
	Known               []string // names that may be typed
	Problem, ProblemTry string
	Say, Sub, Loop      string // the answer of a recall, and what does not fit
	Ways                []Link
	Sheet               string // address of the CSV
	Groups              []TraceGroup
	Drawing             *draw.Lineage
	Balance             []Fact
	BalanceSay          string
	DrawnNote           string
	Complaints          []Link
	Drill               *DrillForm
	Drills              []EntryLine
	Pointed             []EntryLine // what the lot was released on
}

// DrillForm writes the recall that stands on the page down as a drill, by one button.
type DrillForm struct {
	Action, ID, Of string
	Mend           Field
	Open           bool // what was typed was refused
}

// shownDrills is how many recall drills stand on the page, the newest first.
const shownDrills = 12

// TraceGroup is things of one kind.
type TraceGroup struct {
	Head string
	Rows []ShareShown
	Rest []ShareShown // beyond the first dozen
	More string
}

// listed is how many things of a kind stand open on the page.
const listedThings = 12

func (s *Server) traceShow(w http.ResponseWriter, r *http.Request, p person) error {
	way := trace.Way(r.URL.Query().Get("way"))
	if way != trace.Forward {
		way = trace.Back
	}
	return s.drawTrace(w, r, p, strings.TrimSpace(r.URL.Query().Get("of")), way, nil)
}

// drawTrace draws where a thing came from or went to; with a drill that was refused,
// its box as it was typed and what is wrong with it.
func (s *Server) drawTrace(w http.ResponseWriter, r *http.Request, p person, of string, way trace.Way, refused *Field) error {
	state, status := s.Farm.State(), http.StatusOK
	page := TracePage{Frame: s.frame(r, p, p.Say("trace.title"), "more"), Heading: p.Say("trace.title"), Under: p.Say("trace.under"), Of: of, Forward: way == trace.Forward}
	began := time.Now()
	g := state.Trace()
	for _, k := range []trace.Kind{trace.Lot, trace.Delivery, trace.Pile, trace.Batch, trace.Customer} {
		things := g.Groups(k)
		slices.SortStableFunc(things, func(a, b trace.Node) int { return b.At.Compare(a.At) })
		for i, n := range things {
			if i < 150 {
				page.Known = append(page.Known, n.Group)
			}
		}
	}
	if of == "" {
		page.Drills = s.drillLines(p, state, "")
		return s.draw(w, "trace", http.StatusOK, page)
	}
	group, near := app.ThingNamed(state, of)
	if group == "" {
		page.Problem, page.ProblemTry = p.Say("trace.nothing", of), p.Say("trace.try")
		if len(near) > 0 {
			page.ProblemTry = p.Say("trace.near", p.Words.List(near))
		}
		return s.draw(w, "trace", http.StatusNotFound, page)
	}
	x, _ := app.TraceOf(state, group, way)
	first, _ := g.First(group)
	name := s.thingName(p, app.TraceThing{ID: group, Kind: string(first.Kind), Name: first.Name, What: first.What, At: first.At, Number: first.Number})
	page.Of, page.Title = group, p.Say("trace.of", lowered(name))
	page.Heading, page.Under = page.Title, p.Say("trace."+string(way))
	to := func(w trace.Way) string { return "/trace?of=" + url.QueryEscape(group) + "&way=" + string(w) }
	page.Ways = []Link{{To: to(trace.Back), Name: p.Say("trace.goback"), Here: way == trace.Back}, {To: to(trace.Forward), Name: p.Say("trace.goforward"), Here: way == trace.Forward}}
	page.Sheet = "/trace.csv?of=" + url.QueryEscape(group) + "&way=" + string(way)
	if rec := x.Recall; rec != nil {
		page.Say = p.Say("trace.recall", lowered(name), p.Count("trace.bags", rec.Bags), p.Count("trace.customers", len(rec.Customers)), fmt.Sprintf("%.1f", max(time.Since(began).Seconds(), 0.05)))
		page.Sub = p.Say("trace.recallmore", rec.BagsSold, rec.Bags-rec.BagsSold, p.Count("trace.sales", rec.Sales), p.Count("trace.lots", rec.Lots))
	}
	if x.Recall != nil {
		page.Drill = &DrillForm{Action: "/trace/drill", ID: s.NewID(p.Now), Of: group, Mend: textField("mend", p.Say("drill.mend"), "")}
		if refused != nil {
			page.Drill.Mend, page.Drill.Open, status = *refused, true, http.StatusUnprocessableEntity
		}
		page.Drill.Mend.Help = p.Say("drill.mendhelp")
		page.Drills = s.drillLines(p, state, group)
	}
	if rec := x.Recall; rec != nil {
		for _, c := range rec.Complaints {
			told := p.complaint(farm.Complaint{Noted: farm.Noted{Entry: c.Entry, At: c.At}, Lot: c.Lot, Bags: c.Bags, Customer: c.Customer, What: c.What, Done: c.Done})
			if c.Lot != "" {
				told.Head = p.Say("complaint.lot", told.Head, c.Lot)
			}
			page.Complaints = append(page.Complaints, Link{To: "/journal/" + c.Entry, Name: told.Head, Note: told.Say})
		}
	}
	if len(x.Loop) > 0 {
		page.Loop = p.Say("trace.loop", p.Words.List(x.Loop))
	}
	page.Groups = s.traceGroups(p, state, x, way)
	d := s.lineage(p, g, x, first)
	page.Drawing = &d
	density, measured, standing := qty.KgPerM3Wet(0), false, false
	if l, ok := state.Lot(strings.TrimPrefix(group, "lot ")); ok && strings.HasPrefix(group, "lot ") {
		density, measured = state.CastingsDensity(l)
		standing = state.Standing(l) != farm.LotSold
		if n := len(l.Releases); n > 0 && way == trace.Back {
			page.Pointed = s.pointedAt(p, state, l.Releases[n-1].Entry, 1)
		}
	}
	page.Balance = s.balanceFacts(p, x.Balance, standing)
	page.BalanceSay = p.balanceSay(x.Balance, density, measured)
	return s.draw(w, "trace", status, page)
}

// drillLines lists recall drills; of everything where it is not said of what.
func (s *Server) drillLines(p person, state *farm.State, of string) (out []EntryLine) {
	for _, d := range app.DrillsOf(state, of) {
		if len(out) == shownDrills {
			break
		}
		line := EntryLine{To: "/journal/" + d.Entry, When: p.Say("drill.when", p.Words.Date(d.At.In(p.Zone)), said(d.Who, p.Say("when.nobody"))), Note: sentence(d.Mend)}
		line.Say = sentence(p.Say("drill.of", lowered(s.drilled(p, state, d.Of))))
		if d.Bags != nil && d.Customers != nil {
			line.Say = p.Say("drill.found", line.Say, p.Count("trace.bags", *d.Bags), p.Count("trace.customers", *d.Customers))
		}
		if d.Seconds != nil {
			line.Say = p.Say("drill.in", line.Say, p.drillSeconds(d.Seconds))
		}
		out = append(out, line)
	}
	return out
}

// drilled calls what a drill asked about as people do.
func (s *Server) drilled(p person, state *farm.State, of string) string {
	first, ok := state.Trace().First(of)
	if !ok {
		return of
	}
	return s.thingName(p, app.TraceThing{ID: of, Kind: string(first.Kind), Name: first.Name, What: first.What, At: first.At, Number: first.Number})
}

func (p person) drillSeconds(v *float64) string {
	if v == nil {
		return ""
	}
	return p.Say("drill.seconds", qty.Figures(max(*v, 0.05)))
}

func tally(n *int) string {
	if n == nil {
		return ""
	}
	return thousands(*n)
}

// drillSave makes the recall anew and writes it down as a drill: what was asked, what
// was found and in which time, and what to mend.
func (s *Server) drillSave(w http.ResponseWriter, r *http.Request, p person) error {
	of, id := typed(r, "of"), r.PostForm.Get("id")
	back := "/trace?of=" + url.QueryEscape(of) + "&way=" + string(trace.Forward)
	if known, _, found := s.entry(id); found && known.Kind == "recall drill" { // pressed twice
		seeOther(w, r, withSaid(back, id))
		return nil
	}
	began := time.Now()
	x, ok := app.TraceOf(s.Farm.State(), of, trace.Forward)
	if !ok {
		return missing{p.Say("trace.nothing", of)}
	}
	mend := typed(r, "mend")
	body := app.Drilled(x, roundTo(time.Since(began).Seconds(), 0.001), mend)
	ack, err := s.Farm.Record(r.Context(), journal.Entry{ID: id, Kind: "recall drill", At: p.Now.UTC(), Who: p.Who, Device: deviceOf(p), Body: body}, true)
	if err != nil {
		return err
	}
	if !ack.Saved {
		box := textField("mend", p.Say("drill.mend"), mend)
		for _, x := range ack.Problems {
			box.Bad = strings.TrimSpace(box.Bad + " " + p.Told(x.Say) + " " + p.Told(x.Try))
		}
		return s.drawTrace(w, r, p, of, trace.Forward, &box)
	}
	seeOther(w, r, withSaid(back, ack.Entry.ID))
	return nil
}

// traceGroups sorts what was found by kind: for a recall from the customer back to
// the yard, else from the yard on.
func (s *Server) traceGroups(p person, state *farm.State, x app.TraceAnswer, way trace.Way) []TraceGroup {
	kinds := trace.Kinds()
	if way == trace.Forward {
		slices.Reverse(kinds)
	}
	var out []TraceGroup
	for _, k := range kinds {
		var list []app.TraceThing
		for _, f := range x.Found {
			if f.Kind == string(k) {
				list = append(list, f)
			}
		}
		if len(list) == 0 {
			continue
		}
		app.ByShare(list)
		g := TraceGroup{Head: p.Count("trace.kind."+string(k), len(list))}
		for i, f := range list {
			row := s.shareShown(p, state, f)
			if i < listedThings {
				g.Rows = append(g.Rows, row)
			} else {
				g.Rest = append(g.Rest, row)
			}
		}
		if len(g.Rest) > 0 {
			g.More = p.Count("trace.more", len(g.Rest))
		}
		out = append(out, g)
	}
	return out
}

// shareShown gives a thing with its share in print.
func (s *Server) shareShown(p person, state *farm.State, f app.TraceThing) ShareShown {
	out := ShareShown{Name: s.thingName(p, f), To: thingTo(f), Share: p.Say("trace.unknown")}
	if f.Share != nil {
		out.Share, out.Bar = p.Say("trace.percent", percentNumber(*f.Share)), qty.Figures(max(*f.Share*100, 0.6))
		if *f.Share > 0 && *f.Share < 0.005 {
			out.Share = p.Say("trace.little")
		} else if f.Guessed {
			out.Share = p.Say("trace.about", out.Share)
		}
	}
	var notes []string
	if f.Mass != nil {
		notes = append(notes, printable(p.Units.Mass(*f.Mass)))
	}
	if f.Kind == string(trace.Overs) && f.What != "" {
		notes = append(notes, p.Say("trace.oversto", f.What))
	}
	out.Note = strings.Join(notes, p.Say("list.comma"))
	return out
}

// thingName calls a thing as people do.
func (s *Server) thingName(p person, f app.TraceThing) string {
	date := func(t time.Time) string { return p.Words.Date(t.In(p.Zone)) }
	switch trace.Kind(f.Kind) {
	case trace.Delivery:
		return p.Say("trace.name.delivery", p.material(f.What), date(f.At))
	case trace.Pile:
		return p.Say("pile.title", f.Name)
	case trace.Batch:
		if f.What != "" {
			return p.Say("batch.name", f.Name, p.Told(f.What))
		}
		return p.Say("batch.plain", f.Name)
	case trace.Bedding:
		return p.Say("trace.name.bedding", p.material(f.Name))
	case trace.Bed:
		if n := len(f.Name) - len(journal.DayLayout); n > 0 {
			if t, err := time.ParseInLocation(journal.DayLayout, f.Name[n:], p.Zone); err == nil {
				return p.Say("trace.name.bed", strings.TrimSpace(f.Name[:n]), date(t))
			}
		}
		return p.Say("trace.name.bed", f.Name, date(f.At))
	case trace.Lot:
		return p.Say("lot.title", f.Name)
	case trace.Overs:
		return p.Say("trace.name.overs", f.Name)
	case trace.Kept:
		return p.Say("lot.sample", f.What)
	case trace.Bags:
		return p.Say("trace.name.bags", p.Count("trace.bags", f.Number), f.What)
	case trace.Sale:
		if f.Number > 0 {
			return p.Say("trace.name.salebags", date(f.At), p.Count("trace.bags", f.Number))
		}
		return p.Say("trace.name.sale", date(f.At))
	}
	return printable(p.material(f.Name))
}

// thingTo gives the page of a thing.
func thingTo(f app.TraceThing) string {
	switch trace.Kind(f.Kind) {
	case trace.Delivery, trace.Sale, trace.Kept:
		return "/journal/" + url.PathEscape(f.Entry)
	case trace.Pile:
		return pileTo(f.Name)
	case trace.Batch:
		return batchTo(f.Name)
	case trace.Bed:
		return binTo(f.What)
	case trace.Lot:
		return lotTo(f.Name)
	case trace.Bags:
		return lotTo(f.What)
	case trace.Overs:
		return lotTo(f.Name)
	case trace.Customer:
		return "/trace?of=" + url.QueryEscape(f.ID) + "&way=back"
	}
	return ""
}

// drawnThings is how many things of a kind are drawn; the rest are one box.
const drawnThings = 6

// lineage draws a trace in columns from the yard to the customer.
func (s *Server) lineage(p person, g *trace.Graph, x app.TraceAnswer, of trace.Node) draw.Lineage {
	columns := [][]trace.Kind{{trace.Delivery, trace.Bedding}, {trace.Pile}, {trace.Batch}, {trace.Bed}, {trace.Lot}, {trace.Bags, trace.Overs, trace.Kept}, {trace.Sale}, {trace.Customer}}
	self := app.TraceThing{ID: of.Group, Kind: string(of.Kind), Name: of.Name, What: of.What, At: of.At, Number: of.Number}
	shown := map[string]string{} // by ID of a thing, its box
	var heads []string
	var drawn [][]draw.Kin
	for i, kinds := range columns {
		var list []app.TraceThing
		for _, f := range x.Found {
			if slices.Contains(kinds, trace.Kind(f.Kind)) {
				list = append(list, f)
			}
		}
		app.ByShare(list)
		here := slices.Contains(kinds, of.Kind)
		if here {
			list = slices.Insert(list, 0, self)
		}
		if len(list) == 0 {
			continue
		}
		var column []draw.Kin
		rest := fmt.Sprintf("rest %d", i)
		for k, f := range list {
			if k >= drawnThings && len(list) > drawnThings+1 {
				shown[f.ID] = rest
				continue
			}
			shown[f.ID] = f.ID
			note := ""
			if f.ID != of.Group {
				note = s.shareShown(p, nil, f).Share
			}
			if f.Kind == string(trace.Delivery) {
				note = strings.TrimSuffix(p.Words.Tick(f.At.In(p.Zone))+p.Say("list.comma")+note, p.Say("list.comma"))
			}
			column = append(column, draw.Kin{ID: f.ID, Label: s.shortName(p, f), Note: note, Here: f.ID == of.Group})
		}
		if n := len(list) - len(column); n > 0 {
			column = append(column, draw.Kin{ID: rest, Label: p.Count("trace.more", n)})
		}
		heads = append(heads, p.Say("trace.column."+string(kinds[0])))
		drawn = append(drawn, column)
	}
	sums := map[[2]string]*draw.KinFlow{}
	var order [][2]string
	most := 0.0
	for _, f := range x.Flows {
		key := [2]string{shown[f.From], shown[f.To]}
		if sums[key] == nil {
			sums[key] = &draw.KinFlow{From: key[0], To: key[1], Known: true}
			order = append(order, key)
		}
		if f.Mass == nil {
			sums[key].Known = false
		} else {
			sums[key].Part += *f.Mass
		}
		most = max(most, sums[key].Part)
	}
	var flows []draw.KinFlow
	for _, k := range order {
		f := *sums[k]
		if most > 0 {
			f.Part /= most
		}
		flows = append(flows, f)
	}
	return draw.NewLineage(heads, drawn, flows, p.Say("trace.alt", s.thingName(p, self)))
}

// shortName calls a thing in a box of the drawing, where its kind stands above.
func (s *Server) shortName(p person, f app.TraceThing) string {
	switch trace.Kind(f.Kind) {
	case trace.Delivery:
		name, _, _ := strings.Cut(f.Name, f.At.In(p.Zone).Format(" "+journal.DayLayout))
		return name
	case trace.Bed:
		return f.What
	case trace.Sale:
		return p.Words.Tick(f.At.In(p.Zone))
	case trace.Bags:
		return p.Count("trace.bags", f.Number)
	case trace.Overs:
		return p.Say("trace.column.overs")
	case trace.Kept:
		return p.Say("lot.sample", f.What)
	}
	return printable(p.material(f.Name))
}

// traceSheet gives a trace as a table for a spreadsheet.
func (s *Server) traceSheet(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	way := trace.Back
	if r.URL.Query().Get("way") == string(trace.Forward) {
		way = trace.Forward
	}
	group, _ := app.ThingNamed(state, r.URL.Query().Get("of"))
	x, ok := app.TraceOf(state, group, way)
	if !ok {
		return missing{p.Say("trace.nothing", r.URL.Query().Get("of"))}
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="trace.csv"`)
	c := csv.NewWriter(w)
	c.UseCRLF = true // RFC 4180
	rows := [][]string{{"traced", "way", "kind", "name", "what", "day", "share", "mass_kg_wet", "bags", "steps", "from_volume", "entry"}}
	for _, f := range x.Found {
		day := ""
		if !f.At.IsZero() {
			day = f.At.In(p.Zone).Format(journal.DayLayout)
		}
		rows = append(rows, []string{plainCell(group), string(way), f.Kind, plainCell(f.Name), plainCell(f.What), day, cell(f.Share), cell(f.Mass), fmt.Sprint(f.Number), fmt.Sprint(f.Steps), fmt.Sprint(f.Guessed), f.Entry})
	}
	if err := c.WriteAll(rows); err != nil {
		return errGone{err}
	}
	return nil
}

func cell(v *float64) string {
	if v == nil {
		return ""
	}
	return fmt.Sprintf("%.6g", *v)
}

// plainCell keeps a spreadsheet from taking a name as a formula.
func plainCell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t", rune(s[0])) {
		return "'" + s
	}
	return s
}
