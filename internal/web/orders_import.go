package web

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/people"
	"wormyard/internal/sheet"
	"wormyard/qty"
)

// OrdersImportPage takes a sheet of orders: first what its columns are read as, which
// may be set right, then all that is wrong with its rows, and then the yes.
type OrdersImportPage struct {
	Frame
	Fault, Limit string
	Title, Token string
	Known        string
	Columns      []Field
	Same         []OrderAsked
	Facts        []Fact
	Problems     []ImportRow
	Cut          string
	Notes        []string
	Button       *Answer
}

// OrderAsked is an order of a sheet that is in the book and says something else, with the
// answers to what is to become of it.
type OrderAsked struct {
	Head, Note string
	Changes    []OrderDiff
	Hidden     []Field
	Do         Field
}

// OrderDiff is what is otherwise in an order, as it stands in the book and on the sheet.
type OrderDiff struct{ What, Was, Is string }

func (s *Server) ordersImportPage(r *http.Request, p person) OrdersImportPage {
	page := OrdersImportPage{Frame: s.frame(r, p, p.Say("orders.importtitle"), "more"), Limit: p.Say("import.limit", mostFile>>20)}
	page.One = true
	return page
}

func (s *Server) ordersImport(w http.ResponseWriter, r *http.Request, p person) error {
	return s.draw(w, "ordersimport", http.StatusOK, s.ordersImportPage(r, p))
}

// ordersImportTry looks through a sheet and keeps nothing.
func (s *Server) ordersImportTry(w http.ResponseWriter, r *http.Request, p person) error {
	page := s.ordersImportPage(r, p)
	name, path, fault, err := s.received(w, r, p)
	if err != nil {
		return err
	}
	if fault != "" {
		page.Fault = fault
		return s.draw(w, "ordersimport", http.StatusUnprocessableEntity, page)
	}
	if ext := strings.ToLower(filepath.Ext(path)); ext == ".json" {
		_ = os.RemoveAll(filepath.Dir(path))
		page.Fault = p.Say("orders.notable", name)
		return s.draw(w, "ordersimport", http.StatusUnprocessableEntity, page)
	}
	return s.ordersImportWith(w, r, p, page, s.tries.put(name, path), app.OrderHow{Dry: true, Else: app.OrderReplace})
}

// ordersImportSave looks again with the columns as they were set, or keeps all rows.
func (s *Server) ordersImportSave(w http.ResponseWriter, r *http.Request, p person) error {
	do := r.PostForm.Get("do")
	how := app.OrderHow{Dry: do == "try", Yes: do == "yes", Same: map[int]app.OrderSay{}, Remember: p.In.may(people.Owner)}
	if how.Dry {
		how.Else = app.OrderReplace
	}
	columns := map[string]string{}
	for i := 0; ; i++ {
		header, there := r.PostForm["header_"+strconv.Itoa(i)]
		if !there {
			break
		}
		means := typed(r, "means_"+strconv.Itoa(i))
		if means == "" {
			means = "-"
		}
		columns[header[0]] = means
	}
	how.Sheet.Map = sheet.Map{Columns: columns}
	if dates := typed(r, "dates"); dates == "mdy" || dates == "dmy" {
		how.Sheet.Dates = dates
	}
	for i := 0; r.PostForm.Has("row_" + strconv.Itoa(i)); i++ {
		at := "_" + strconv.Itoa(i)
		if row, err := strconv.Atoi(r.PostForm.Get("row" + at)); err == nil {
			how.Same[row] = app.OrderSay{Do: r.PostForm.Get("same" + at), Entry: r.PostForm.Get("entry" + at)}
		}
	}
	return s.ordersImportWith(w, r, p, s.ordersImportPage(r, p), r.PostForm.Get("token"), how)
}

func (s *Server) ordersImportWith(w http.ResponseWriter, r *http.Request, p person, page OrdersImportPage, token string, how app.OrderHow) error {
	f, fault, err := s.atHand(p, token)
	if err != nil {
		return err
	}
	if fault != "" {
		page.Fault = fault
		return s.draw(w, "ordersimport", http.StatusUnprocessableEntity, page)
	}
	how.Name, how.Sheet.Who, how.Gone, how.Anew = f.name, p.Who, p.Say("orders.gonewhy", f.name), p.Say("orders.anewwhy")
	if how.Sheet.Dates == "" && how.Sheet.Map.Columns == nil && p.Units == qty.US {
		how.Sheet.Dates = "mdy"
	}
	x, err := s.Import.ImportOrders(context.WithoutCancel(r.Context()), f.path, how)
	if fault := s.unread(p, token, f, err); fault != "" {
		page.Fault = fault
		return s.draw(w, "ordersimport", http.StatusUnprocessableEntity, page)
	}
	if err != nil {
		return err
	}
	if !how.Dry && x.Asked == 0 && (x.Written > 0 || len(x.Problems) == 0) {
		s.tries.drop(token)
		seeOther(w, r, "/orders?imported="+strconv.Itoa(x.Written))
		return nil
	}
	s.ordersSheet(p, &page, token, how, x)
	status := http.StatusOK
	if x.Refused > 0 || x.Asked > 0 && !how.Dry {
		status = http.StatusUnprocessableEntity
	}
	return s.draw(w, "ordersimport", status, page)
}

// ordersSheet fills the page with what a sheet holds.
func (s *Server) ordersSheet(p person, page *OrdersImportPage, token string, how app.OrderHow, x app.OrderSheet) {
	page.Title, page.Token = p.Say("import.found", x.File), token
	if x.Known {
		page.Known = p.Say("labsheet.known")
	}
	kind, _ := p.kindNamed("order")
	means := []Option{{Value: "-", Label: p.Say("orders.leaveout")}}
	for _, key := range app.OrderColumns {
		switch f, ok := kind.Field(key); {
		case ok:
			means = append(means, Option{Value: key, Label: f.Label})
		case key != "-":
			means = append(means, Option{Value: key, Label: p.Say("orders.col." + key)})
		}
	}
	for i, h := range x.Headings {
		value := h.Means
		if value == "" {
			value = "-"
		}
		page.Columns = append(page.Columns, Field{Name: "header_" + strconv.Itoa(i), Value: h.Header, Hidden: true}, selectField("means_"+strconv.Itoa(i), p.Say("orders.column", h.Header), value, means))
	}
	page.Columns = append(page.Columns, selectField("dates", p.Say("orders.dates"), x.Map.Dates, []Option{{Value: "", Label: p.Say("orders.datesplain")}, {Value: "mdy", Label: p.Say("orders.mdy")}, {Value: "dmy", Label: p.Say("orders.dmy")}}))
	add := func(key string, n int) {
		if n > 0 {
			page.Facts = append(page.Facts, Fact{Name: p.Say(key), Value: strconv.Itoa(n)})
		}
	}
	add("import.rows", x.Rows)
	add("orders.several", x.Several)
	add("import.known", x.Already)
	add("orders.leftout", x.Left)
	add("import.good", x.Good)
	add("import.doubtful", x.Doubtful)
	add("import.refused", x.Refused)
	const most = 300
	for i, q := range x.Problems {
		if i == most {
			page.Cut = p.Say("import.cut", len(x.Problems)-most)
			break
		}
		row := ImportRow{Column: q.Column, Say: p.Told(sentence(q.Say)), Try: p.Told(q.Try), Doubt: q.Doubt}
		if q.Row > 0 {
			row.Row = strconv.Itoa(q.Row)
		}
		page.Problems = append(page.Problems, row)
	}
	for _, n := range x.Notes {
		if len(page.Notes) < 20 {
			page.Notes = append(page.Notes, p.Told(sentence(n)))
		}
	}
	for i, o := range x.Same {
		page.Same = append(page.Same, s.orderAsked(p, i, o))
	}
	if x.Asked > 0 && !how.Dry {
		page.Problems = append(page.Problems, ImportRow{Say: p.Count("orders.unanswered", x.Asked), Try: p.Say("orders.unansweredtry")})
	}
	switch {
	case x.Refused > 0 || x.Good+x.Doubtful == 0 && len(x.Same) == 0:
	case len(x.Same) > 0 && x.Doubtful > 0:
		page.Button = &Answer{Value: "yes", Label: p.Say("orders.takeyes")}
	case len(x.Same) > 0:
		page.Button = &Answer{Value: "all", Label: p.Say("orders.take")}
	case x.Doubtful > 0:
		page.Button = &Answer{Value: "yes", Label: p.Count("import.saveyes", x.Good+x.Doubtful)}
	default:
		page.Button = &Answer{Value: "all", Label: p.Count("import.save", x.Good)}
	}
}

// orderAsked tells how an order of a sheet differs from the one in the book, and asks what
// is to become of it.
func (s *Server) orderAsked(p person, i int, o app.OrderSame) OrderAsked {
	at := "_" + strconv.Itoa(i)
	out := OrderAsked{Head: p.Say("orders.samebyday", o.Customer, p.Words.Date(o.At.In(p.Zone)), o.Row)}
	if o.Ref != "" {
		out.Head = p.Say("orders.same", o.Ref, o.Customer, o.Row)
	}
	notes := []string{p.Say("orders.samestate", lowered(p.Say("order.state."+o.State)))}
	if o.Why != "" {
		notes = append(notes, sentence(o.Why))
	}
	if o.Others > 0 {
		notes = append(notes, p.Count("orders.sameothers", o.Others))
	}
	gone := false
	for _, c := range o.Changes {
		d := OrderDiff{What: c.What, Was: p.Say("orders.notthere"), Is: p.Say("orders.notthere")}
		if c.WasLine != nil {
			d.Was = p.orderWanted(*c.WasLine)
		}
		if c.IsLine != nil {
			d.Is = p.orderWanted(*c.IsLine)
		}
		if c.Change == app.OrderNote {
			d = OrderDiff{What: p.Say("deliver.note"), Was: c.Note[0], Is: c.Note[1]}
		}
		gone = gone || c.Delivered
		out.Changes = append(out.Changes, d)
	}
	if gone {
		notes = append(notes, p.Say("orders.samegone"))
	}
	out.Note = strings.Join(notes, " ")
	out.Hidden = []Field{hidden("row"+at, strconv.Itoa(o.Row)), hidden("entry"+at, o.Entry)}
	var ways []Option
	if o.State != string(farm.OrderCancelled) {
		ways = append(ways, Option{Value: app.OrderReplace, Label: p.Say("orders.replace")})
	}
	out.Do = chipsField("same"+at, p.Say("orders.samedo"), o.Do, append(ways, Option{Value: app.OrderAdd, Label: p.Say("orders.addanother")}, Option{Value: app.OrderLeave, Label: p.Say("orders.leavebook")}))
	return out
}

// orderWanted tells how much of a product is wanted, by when and for what.
func (p person) orderWanted(l farm.OrderLine) string {
	parts := []string{p.orderAmount(l, l.Wanted)}
	if due, ok := l.DueBy(p.Zone); ok {
		parts = append(parts, p.Say("orders.due", p.Words.Date(due)))
	}
	if l.Priced {
		parts = append(parts, strings.TrimSpace(p.Say("order.agreed", p.coins(float64(l.Price)), "")))
	}
	return strings.Join(parts, p.Say("list.comma"))
}

// importedOrders tells how many orders were just taken in.
func (p person) importedOrders(r *http.Request) string {
	n, err := strconv.Atoi(r.URL.Query().Get("imported"))
	if err != nil || n < 0 || n > 1_000_000 {
		return ""
	}
	return p.Count("orders.imported", n)
}
