package web

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
)

// DemandPage takes demand from a sheet or a calendar: what was taken in, and of a file
// what is clear, what is asked about, and then the yes.
type DemandPage struct {
	Frame
	Fault, Limit string
	Sources      []DemandSource
	Seen         *DemandSeen
}

// DemandSource is a file that demand was taken in from.
type DemandSource struct{ Name, Note, Drop string }

// DemandSeen is a file that was read.
type DemandSeen struct {
	Title, Token, Known string
	Facts               []Fact
	Problems            []ImportRow
	Clear               *TriedTable
	Asked               []SaleRow
	AskedHead, More     string
	Hidden              []Field // answers that made a row clear
	Columns             []Field
	Beside              Field
	Save, Rest          string // what the buttons say: all of it, or without what is not clear
}

const demandTo = "/season/demand"

// askedAtOnce is how many rows that are not clear are asked about at once.
const askedAtOnce = 40

func (s *Server) demandPage(r *http.Request, p person) DemandPage {
	page := DemandPage{Frame: s.frame(r, p, p.Say("demand.title"), "more"), Limit: p.Say("demand.limit", mostFile>>20)}
	page.One = true
	var names []string
	by := map[string][]farm.SeasonDemand{}
	for _, d := range s.Farm.State().Settings.Season.Demand {
		if by[d.Source] == nil {
			names = append(names, d.Source)
		}
		by[d.Source] = append(by[d.Source], d)
	}
	for _, name := range names {
		rows := by[name]
		page.Sources = append(page.Sources, DemandSource{Name: name, Note: p.Count("demand.kept", len(rows), rows[0].Day, rows[len(rows)-1].Day), Drop: p.Say("demand.drop", name)})
	}
	return page
}

func (s *Server) demandShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.draw(w, "demand", http.StatusOK, s.demandPage(r, p))
}

// demandTry takes a file and shows how it is read.
func (s *Server) demandTry(w http.ResponseWriter, r *http.Request, p person) error {
	name, path, fault, err := s.received(w, r, p)
	if err != nil {
		return err
	}
	if fault != "" {
		page := s.demandPage(r, p)
		page.Fault = fault
		return s.draw(w, "demand", http.StatusUnprocessableEntity, page)
	}
	return s.demandWith(w, r, p, s.tries.put(name, path), "")
}

// demandSave reads a file again with what was said of it, and keeps it.
func (s *Server) demandSave(w http.ResponseWriter, r *http.Request, p person) error {
	return s.demandWith(w, r, p, r.PostForm.Get("token"), r.PostForm.Get("do"))
}

// demandDrop takes out what came of a file.
func (s *Server) demandDrop(w http.ResponseWriter, r *http.Request, p person) error {
	set := s.Farm.State().Settings.Season
	name, n := r.PostForm.Get("source"), len(set.Demand)
	set.Demand = slices.DeleteFunc(slices.Clone(set.Demand), func(d farm.SeasonDemand) bool { return d.Source == name })
	if len(set.Demand) == n {
		seeOther(w, r, demandTo)
		return nil
	}
	ack, err := s.keepSetting(r.Context(), p, setting{farm.KeySeason, set})
	if err != nil {
		return err
	}
	if !ack.Saved {
		return fmt.Errorf("demand without %s is refused: %v", name, ack.Problems)
	}
	seeOther(w, r, withSaid(demandTo, ack.Entry.ID))
	return nil
}

// demandAsk reads what was said of a file, and whether it comes on top of what is
// usually sold.
func demandAsk(r *http.Request, do string) (ask app.DemandAsk) {
	if do == "" {
		return ask
	}
	m := app.DemandMap{Columns: map[string]string{}, Dates: r.PostForm.Get("dates")}
	for i := 0; r.PostForm.Has("header_" + strconv.Itoa(i)); i++ {
		m.Columns[r.PostForm.Get("header_"+strconv.Itoa(i))] = r.PostForm.Get("means_" + strconv.Itoa(i))
	}
	if len(m.Columns) > 0 {
		ask.Map = &m
	}
	ask.Answers = map[int]app.DemandAnswer{}
	for i := 0; r.PostForm.Has("row_" + strconv.Itoa(i)); i++ {
		at := "_" + strconv.Itoa(i)
		if row, err := strconv.Atoi(r.PostForm.Get("row" + at)); err == nil {
			ask.Answers[row] = app.DemandAnswer{Product: typed(r, "product"+at), Amount: typed(r, "amount"+at), Day: typed(r, "day"+at)}
		}
	}
	return ask
}

func (s *Server) demandWith(w http.ResponseWriter, r *http.Request, p person, token, do string) error {
	page := s.demandPage(r, p)
	file, fault, err := s.atHand(p, token)
	if err != nil {
		return err
	}
	if fault != "" {
		page.Fault = fault
		return s.draw(w, "demand", http.StatusUnprocessableEntity, page)
	}
	ask := demandAsk(r, do)
	got, err := s.Import.DemandFile(file.path, ask)
	if fault := s.unread(p, token, file, err); fault != "" {
		page.Fault = fault
		return s.draw(w, "demand", http.StatusUnprocessableEntity, page)
	}
	if err != nil {
		return err
	}
	beside := got.Calendar
	if do != "" {
		beside = r.PostForm.Get("beside") == "beside"
	}
	status := http.StatusOK
	if n := len(got.Demand(file.name, beside)); n > 0 && len(got.Problems) == 0 && (do == "rest" || do == "save" && !got.Asked()) {
		said, problems, err := s.keepDemand(r, p, got, file.name, beside)
		if err != nil {
			return err
		}
		if said != "" {
			s.tries.drop(token)
			_ = os.RemoveAll(filepath.Dir(file.path))
			if s.Seasons != nil {
				s.Seasons.Plan()
			}
			seeOther(w, r, withSaid("/season", said))
			return nil
		}
		got.Problems = append(got.Problems, problems...)
		status = http.StatusUnprocessableEntity
	} else if do == "save" || do == "rest" {
		status = http.StatusUnprocessableEntity
	}
	page.Seen = s.demandSeen(p, file.name, token, got, ask, beside)
	return s.draw(w, "demand", status, page)
}

// keepDemand writes down what a file says, all of it or nothing.
func (s *Server) keepDemand(r *http.Request, p person, got app.DemandFile, file string, beside bool) (saved string, problems []app.Problem, err error) {
	set, err := app.KeepDemand(s.Farm.State(), got, file, beside, true)
	if err != nil {
		return "", nil, err
	}
	var entries []journal.Entry
	for key, value := range set {
		e, err := s.settingEntry(p, setting{key, value})
		if err != nil {
			return "", nil, err
		}
		if key == farm.KeySeason {
			saved = e.ID
		}
		entries = append(entries, e)
	}
	acks, err := s.Farm.RecordAll(r.Context(), entries, true)
	if err != nil {
		return "", nil, err
	}
	if problems = app.ProblemsOf(acks); len(problems) > 0 {
		saved = ""
	}
	return saved, problems, nil
}

// demandSeen fills the page with what a file holds.
func (s *Server) demandSeen(p person, name, token string, f app.DemandFile, ask app.DemandAsk, beside bool) *DemandSeen {
	d := &DemandSeen{Title: p.Say("demand.found", name), Token: token}
	if f.Known {
		d.Known = p.Say("labsheet.known")
	}
	for _, x := range f.Problems {
		row := ImportRow{Column: x.Column, Say: p.Told(sentence(x.Say)), Try: p.Told(x.Try)}
		if x.Row > 0 {
			row.Row = strconv.Itoa(x.Row)
		}
		d.Problems = append(d.Problems, row)
	}
	s.demandColumns(p, d, f)
	value := ""
	if beside {
		value = "beside"
	}
	d.Beside = chipsField("beside", p.Say("demand.beside"), value, []Option{{Value: "", Label: p.Say("demand.instead")}, {Value: "beside", Label: p.Say("demand.ontop")}})
	d.Clear = &TriedTable{Heads: []Cell{{Text: p.Say("demand.day")}, {Text: p.Say("season.product")}, {Text: p.Say("season.amount"), Num: true}, {Text: p.Say("season.price"), Num: true}, {Text: p.Say("demand.penalty"), Num: true}}}
	kept := f.Demand(name, beside)
	for i, x := range kept {
		if i == 200 {
			d.Clear.Note = p.Say("import.cut", len(kept)-i)
			break
		}
		row := []string{x.Day, x.Product, printable(plainNumber(x.Amount) + " " + x.Unit), "–", "–"}
		if x.Price != nil {
			row[3] = plainNumber(float64(*x.Price))
		}
		if x.Penalty != nil {
			row[4] = plainNumber(float64(*x.Penalty))
		}
		d.Clear.Rows = append(d.Clear.Rows, tableRow(d.Clear.Heads, row))
	}
	var unclear, settled []app.DemandRow
	for _, x := range f.Rows {
		if !x.Clear() {
			unclear = append(unclear, x)
		} else if _, said := ask.Answers[x.Row]; said {
			settled = append(settled, x)
		}
	}
	asked := len(unclear)
	// what was left out comes last, so that the rows after it are reached
	slices.SortStableFunc(unclear, func(a, b app.DemandRow) int {
		switch {
		case a.LeftOut == b.LeftOut:
			return 0
		case a.LeftOut:
			return 1
		}
		return -1
	})
	products := append(app.Sellers(s.Farm.State()), p.Say("season.castings"), p.Say("season.worms"))
	for i, x := range unclear {
		switch {
		case i < askedAtOnce:
			d.Asked = append(d.Asked, p.demandAsked(x, i, products))
		case x.LeftOut:
			settled = append(settled, x)
		}
	}
	for i, x := range settled {
		a, at := ask.Answers[x.Row], "_"+strconv.Itoa(len(d.Asked)+i)
		d.Hidden = append(d.Hidden, hidden("row"+at, strconv.Itoa(x.Row)), hidden("product"+at, a.Product), hidden("amount"+at, a.Amount), hidden("day"+at, a.Day))
	}
	if asked > askedAtOnce {
		d.More = p.Say("demand.more", askedAtOnce, asked)
	}
	if asked > 0 {
		d.AskedHead = p.Count("demand.asked", asked)
	}
	for key, n := range map[string]int{"demand.past": f.Past, "demand.far": f.Far} {
		if n > 0 {
			d.Facts = append(d.Facts, Fact{Name: p.Say(key), Value: strconv.Itoa(n)})
		}
	}
	slices.SortFunc(d.Facts, func(a, b Fact) int { return len(a.Name) - len(b.Name) })
	if len(f.Problems) > 0 {
		return d
	}
	switch {
	case asked > 0:
		d.Save = p.Say("demand.answered")
		if len(kept) > 0 {
			d.Rest = p.Count("demand.rest", len(kept))
		}
	case len(kept) > 0:
		d.Save = p.Count("demand.save", len(kept))
	}
	return d
}

// demandColumns makes the boxes for what the columns mean.
func (s *Server) demandColumns(p person, d *DemandSeen, f app.DemandFile) {
	if f.Calendar {
		return
	}
	var roles []Option
	for _, c := range app.DemandColumns {
		key := "demand.col." + c
		if c == "-" {
			key = "orders.leaveout"
		}
		roles = append(roles, Option{Value: c, Label: p.Say(key)})
	}
	n := 0
	for _, h := range f.Header {
		if h == "" {
			continue
		}
		role := f.Map.Columns[h]
		if role == "" {
			role = "-"
		}
		d.Columns = append(d.Columns, hidden("header_"+strconv.Itoa(n), h), selectField("means_"+strconv.Itoa(n), p.Say("orders.column", h), role, roles))
		n++
	}
	d.Columns = append(d.Columns, selectField("dates", p.Say("orders.dates"), f.Map.Dates, []Option{{Value: "", Label: p.Say("orders.datesplain")}, {Value: "mdy", Label: p.Say("orders.mdy")}, {Value: "dmy", Label: p.Say("orders.dmy")}}))
}

// demandAsked is one row that is not clear, with the boxes in which it is answered.
func (p person) demandAsked(x app.DemandRow, i int, products []string) SaleRow {
	at := "_" + strconv.Itoa(i)
	row := SaleRow{Head: p.Say("demand.row", x.Row, x.Said), Anchor: "asked" + at}
	product, amount := textField("product"+at, p.Say("season.product"), x.Product), textField("amount"+at, p.Say("season.amount"), "")
	product.List, amount.Short = products, true
	if x.Amount > 0 {
		amount.Value = plainNumber(x.Amount) + " " + x.Unit
	}
	row.Fields = []Field{hidden("row"+at, strconv.Itoa(x.Row)), product, amount}
	for _, q := range x.Ask {
		say := p.Told(q.Say)
		switch q.Field {
		case "day":
			day := textField("day"+at, p.Say("demand.day"), "")
			day.Type, day.Bad, day.Help = "date", say, p.Told(q.Try)
			row.Fields = append(row.Fields, day)
		case "amount":
			row.Fields[2].Bad, row.Fields[2].Help = say, p.Told(q.Try)
		default:
			row.Fields[1].Bad, row.Fields[1].Help = say, p.Told(q.Try)
		}
	}
	if x.LeftOut {
		row.Fields[1].Bad = p.Say("demand.leftout")
	}
	return row
}
