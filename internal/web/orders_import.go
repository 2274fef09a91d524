package web

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"wormyard/internal/app"
	"wormyard/internal/sheet"
	"wormyard/journal"
	"wormyard/qty"
)

// OrdersImportPage takes a sheet of orders: first what its columns are read as, which
// may be set right, then all that is wrong with its rows, and then the yes.
type OrdersImportPage struct {
	Frame
	Fault, Limit string
	Title, Token string
	Columns      []Field
	Facts        []Fact
	Problems     []ImportRow
	Cut          string
	Notes        []string
	Button       *Answer
}

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
	return s.ordersImportWith(w, r, p, page, s.tries.put(name, path), sheet.Options{}, true, false)
}

// ordersImportSave looks again with the columns as they were set, or keeps all rows.
func (s *Server) ordersImportSave(w http.ResponseWriter, r *http.Request, p person) error {
	opt := sheet.Options{Map: sheet.Map{Columns: map[string]string{}}}
	for i := 0; ; i++ {
		header, there := r.PostForm["header_"+strconv.Itoa(i)]
		if !there {
			break
		}
		means := typed(r, "means_"+strconv.Itoa(i))
		if means == "" {
			means = "-"
		}
		opt.Map.Columns[header[0]] = means
	}
	if dates := typed(r, "dates"); dates == "mdy" || dates == "dmy" {
		opt.Dates = dates
	}
	do := r.PostForm.Get("do")
	return s.ordersImportWith(w, r, p, s.ordersImportPage(r, p), r.PostForm.Get("token"), opt, do == "try", do == "yes")
}

func (s *Server) ordersImportWith(w http.ResponseWriter, r *http.Request, p person, page OrdersImportPage, token string, opt sheet.Options, dry, yes bool) error {
	f, fault, err := s.atHand(p, token)
	if err != nil {
		return err
	}
	if fault != "" {
		page.Fault = fault
		return s.draw(w, "ordersimport", http.StatusUnprocessableEntity, page)
	}
	opt.Who = p.Who
	if opt.Dates == "" && p.Units == qty.US {
		opt.Dates = "mdy"
	}
	x, err := s.Import.ImportOrders(context.WithoutCancel(r.Context()), f.path, opt, dry, yes)
	if fault := s.unread(p, token, f, err); fault != "" {
		page.Fault = fault
		return s.draw(w, "ordersimport", http.StatusUnprocessableEntity, page)
	}
	if err != nil {
		return err
	}
	if !dry && (x.Written > 0 || len(x.Problems) == 0) {
		s.tries.drop(token)
		seeOther(w, r, "/orders?imported="+strconv.Itoa(x.Written))
		return nil
	}
	s.ordersSheet(p, &page, f.name, token, opt, x)
	status := http.StatusOK
	if x.Refused > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.draw(w, "ordersimport", status, page)
}

// ordersSheet fills the page with what a sheet holds.
func (s *Server) ordersSheet(p person, page *OrdersImportPage, name, token string, opt sheet.Options, x app.OrderSheet) {
	page.Title, page.Token = p.Say("import.found", name), token
	kind, _ := p.kindNamed("order")
	means := []Option{{Value: "-", Label: p.Say("orders.leaveout")}, {Value: "at", Label: p.Say("orders.orderday")}, {Value: "who", Label: p.Say("when.who")}}
	for _, f := range kind.Fields {
		if f.Type == journal.Table {
			continue
		}
		means = append(means, Option{Value: f.Key, Label: f.Label})
	}
	for i, h := range x.Headings {
		value := h.Means
		if value == "" {
			value = "-"
		}
		page.Columns = append(page.Columns, Field{Name: "header_" + strconv.Itoa(i), Value: h.Header, Hidden: true}, selectField("means_"+strconv.Itoa(i), p.Say("orders.column", h.Header), value, means))
	}
	page.Columns = append(page.Columns, selectField("dates", p.Say("orders.dates"), opt.Dates, []Option{{Value: "", Label: p.Say("orders.datesplain")}, {Value: "mdy", Label: p.Say("orders.mdy")}, {Value: "dmy", Label: p.Say("orders.dmy")}}))
	add := func(key string, n int) {
		if n > 0 {
			page.Facts = append(page.Facts, Fact{Name: p.Say(key), Value: strconv.Itoa(n)})
		}
	}
	add("import.rows", x.Rows)
	add("orders.several", x.Several)
	add("import.known", x.Already)
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
	switch {
	case x.Refused > 0 || x.Good+x.Doubtful == 0:
	case x.Doubtful > 0:
		page.Button = &Answer{Value: "yes", Label: p.Count("import.saveyes", x.Good+x.Doubtful)}
	default:
		page.Button = &Answer{Value: "all", Label: p.Count("import.save", x.Good)}
	}
}

// importedOrders tells how many orders were just taken in.
func (p person) importedOrders(r *http.Request) string {
	n, err := strconv.Atoi(r.URL.Query().Get("imported"))
	if err != nil || n < 0 || n > 1_000_000 {
		return ""
	}
	return p.Count("orders.imported", n)
}
