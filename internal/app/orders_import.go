package app

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/internal/ids"
	"wormyard/internal/sheet"
	"wormyard/journal"
)

// orderKind is the kind of every row of a sheet of orders.
const orderKind = "order"

// mostOrders is how many rows a sheet of orders may have: each is held against the
// order book, which a sheet of any kind is not.
const mostOrders = 5000

// OrderColumns are what a column of a sheet of orders may be; - is left out.
var OrderColumns = func() []string {
	out := []string{"at", "time"}
	kind, _ := journal.KindNamed(orderKind)
	for _, f := range kind.Fields {
		if f.Type != journal.Table {
			out = append(out, f.Key)
		}
	}
	return append(out, "unit", "who", "-")
}()

// OrderMap says what the columns of a sheet of orders mean.
type OrderMap struct {
	Columns map[string]string `json:"columns"`         // header -> one of OrderColumns
	Dates   string            `json:"dates,omitempty"` // "mdy" or "dmy"
}

func (m OrderMap) amiss() []Problem { return columnsAmiss(m.Columns, OrderColumns) }

// OrderHow is what is said with a sheet of orders.
type OrderHow struct {
	Sheet    sheet.Options    // without columns they are as remembered for such a sheet, or guessed
	Name     string           // of the file, as a person calls it; of its answer alone
	Dry, Yes bool             // only look; what is doubtful is right
	Same     map[int]OrderSay // by first row, of orders that are in the book and say something else
	Else     string           // of those that Same does not have
	Remember bool             // keep what the columns mean, for the next sheet with these headers

	Gone, Anew string // why a product is cancelled, and why an order is struck, in the words of who does it
}

// OrderSay is what is to become of an order of a sheet that is in the book already: Do is one
// of OrderReplace, OrderAdd and OrderLeave, and Entry is the order in the book that was shown.
type OrderSay struct{ Do, Entry string }

// What may become of an order of a sheet that is in the book and says something else.
const (
	OrderReplace = "replace" // it takes the place of the one in the book, which keeps its deliveries
	OrderAdd     = "add"     // it is another one
	OrderLeave   = "leave"   // the book stays as it is
)

// OrderSheet is what a sheet of orders holds and what became of it.
type OrderSheet struct {
	File     string          `json:"file"`
	Mark     string          `json:"mark"` // of its header row
	Known    bool            `json:"remembered"`
	Map      OrderMap        `json:"map"`
	Headings []sheet.Heading `json:"-"`
	Rows     int             `json:"rows"`
	Good     int             `json:"good"`    // rows that are new or change something, without a question
	Already  int             `json:"already"` // rows that are in the book as they are
	Several  int             `json:"several"` // orders of several rows
	Same     []OrderSame     `json:"same"`    // orders that are in the book and say something else
	Asked    int             `json:"asked"`   // of them those that nobody answered
	Left     int             `json:"left"`    // rows left out by an answer
	Written  int             `json:"written"` // orders
	Refused  int             `json:"refused"`
	Doubtful int             `json:"doubtful"`
	Problems []Problem       `json:"problems"` // by row
	Notes    []string        `json:"notes"`
}

// sheetOrder is an order of a sheet: its entry and the rows that it is of.
type sheetOrder struct {
	journal.Entry
	rows []int
	with []journal.Entry // what is written before it
}

// ImportOrders takes orders from a sheet, all rows or none: rows of one customer with one
// order number are one order of several products. Each is held against the price
// list and the order book as if it were typed. One that is in the book already and says
// something else takes the place of that, is another one, or is left out, as it is said
// (docs/adr/0075). The error is a *sheet.Unreadable when a person can mend it.
func (a *App) ImportOrders(ctx context.Context, path string, how OrderHow) (OrderSheet, error) {
	out := OrderSheet{File: how.Name, Same: []OrderSame{}, Problems: []Problem{}, Notes: []string{}}
	file, err := a.openOrders(path, &how, &out)
	if err != nil {
		return out, err
	}
	a.writing.Lock()
	defer a.writing.Unlock()
	orders, refused, err := a.ordersIn(file, &out)
	if err != nil {
		return out, err
	}
	b := newOrderBook(a.State(), out.Headings)
	keep := make([]sheetOrder, 0, len(orders))
	for _, o := range orders {
		if b.has(o) {
			out.Already += len(o.rows)
			continue
		}
		same, there := b.same(o)
		if !there {
			keep = append(keep, b.fresh(o))
			continue
		}
		if same.Do = how.Else; same.Do == OrderReplace && same.State == string(farm.OrderCancelled) {
			same.Do = ""
		}
		if say := how.Same[same.Row]; say.Entry == same.Entry {
			same.Do = say.Do
		}
		switch same.Do {
		case OrderReplace:
			keep = append(keep, b.replacing(o, &same, how, a.Clock()))
		case OrderAdd:
			o.Confirmed = append(o.Confirmed, "ref")
			keep = append(keep, b.fresh(o))
		case OrderLeave:
			out.Left += len(o.rows)
		default:
			out.Asked++
		}
		out.Same = append(out.Same, same)
	}
	var entries []journal.Entry
	var of []*sheetOrder // of entries
	for i := range keep {
		o := &keep[i]
		for _, e := range append(o.with, o.Entry) {
			entries, of = append(entries, e), append(of, o)
		}
		if len(o.rows) > 1 {
			out.Several++
		}
	}
	dry := how.Dry || len(refused) > 0 || out.Asked > 0
	if m, fresh, err := toRemember(a.State(), keyOrderMap, out.Mark, out.Map); err != nil {
		return out, err
	} else if fresh && how.Remember && len(entries) > 0 && out.Map.amiss() == nil {
		e := entries[0]
		entries = append(entries, journal.Entry{ID: ids.FromContent(a.Clock(), append([]byte(e.ID), m.Value...), 0), Kind: "setting", Who: how.Sheet.Who, Device: e.Device, Body: m})
	}
	acks, err := a.recordOr(ctx, entries, how.Yes, dry)
	if err != nil {
		return out, err
	}
	for i, ack := range acks {
		if i >= len(of) { // what the columns mean
			continue
		}
		o := of[i]
		order := ack.Entry.Kind == orderKind
		switch worst := worstOf(ack.Problems); {
		case worst == journal.Refused:
			refused[o.rows[0]] = true
		case !order:
		case worst == journal.Doubtful:
			out.Doubtful += len(o.rows)
		default:
			out.Good += len(o.rows)
		}
		for _, p := range ack.Problems {
			line, field := 0, p.Field
			if at, of, cut := strings.Cut(strings.TrimPrefix(p.Field, "lines["), "]."); cut {
				if n, err := strconv.Atoi(at); err == nil && n < len(o.rows) {
					line, field = n, of
				}
			}
			p.Row, p.Column = o.rows[line], file.ColumnOf(orderKind, field)
			out.Problems = append(out.Problems, p)
		}
		if ack.Saved && order {
			out.Written++
		}
	}
	out.Refused = len(refused)
	return out, nil
}

// openOrders opens a sheet with its columns as they are said, as they are remembered, or as
// their headers tell.
func (a *App) openOrders(path string, how *OrderHow, out *OrderSheet) (*sheet.File, error) {
	opt := how.Sheet
	opt.Kind = orderKind
	if opt.Zone == nil {
		opt.Zone = a.State().Zone()
	}
	opt.AnyHeader = true
	plain := opt
	plain.Map.Columns = nil
	file, err := sheet.Open(path, plain)
	if err != nil {
		return nil, err
	}
	if out.Headings, err = file.Headings(); err != nil {
		return nil, err
	}
	var header []string
	for _, h := range out.Headings {
		header = append(header, h.Header)
	}
	out.Mark = markOf(keyOrderMap, header)
	kept, known := remembered[OrderMap](a.State(), keyOrderMap, out.Mark)
	if out.Known = known; known && opt.Map.Columns == nil {
		opt.Map.Columns = kept.Columns
		if how.Sheet.Dates == "" {
			opt.Dates = kept.Dates
		}
	}
	if opt.Map.Columns != nil {
		if file, err = sheet.Open(path, opt); err != nil {
			return nil, err
		}
		if out.Headings, err = file.Headings(); err != nil {
			return nil, err
		}
	}
	out.Map = OrderMap{Columns: map[string]string{}, Dates: opt.Dates}
	for _, h := range out.Headings {
		switch {
		case h.Means == "":
			out.Map.Columns[h.Header] = "-"
		case slices.Contains(OrderColumns, h.Means):
			out.Map.Columns[h.Header] = h.Means
		}
	}
	return file, nil
}

// ordersIn reads the orders of a sheet, and what is wrong with its rows.
func (a *App) ordersIn(file *sheet.File, out *OrderSheet) (orders []sheetOrder, refused map[int]bool, err error) {
	var entries []journal.Entry
	var rows []int // of entries
	refused = map[int]bool{}
	for row, err := range file.Rows() {
		if err != nil {
			return nil, nil, err
		}
		for _, p := range row.Problems {
			doubt := p.Level == journal.Doubtful
			if doubt && row.Entry == nil { // a column that nobody knows: it is shown with the others, and left out
				continue
			}
			out.Problems = append(out.Problems, Problem{Field: p.Field, Row: p.Row, Column: p.Column, Say: p.Say, Try: p.Try, Doubt: doubt})
			refused[p.Row] = refused[p.Row] || !doubt
		}
		for _, n := range row.Notes {
			out.Notes = append(out.Notes, n.Say)
		}
		if row.Entry == nil {
			if refused[row.Number] {
				out.Rows++
			}
			continue
		}
		out.Rows++
		if out.Rows > mostOrders {
			return nil, nil, &sheet.Unreadable{Say: fmt.Sprintf("The sheet has more than %d orders.", mostOrders), Try: "Part it into several files."}
		}
		if row.Entry.Kind != orderKind {
			out.Problems = append(out.Problems, Problem{Field: "kind", Row: row.Number, Say: fmt.Sprintf("Row %d is no order.", row.Number), Try: "Take it out, or import the file on the page Import."})
			refused[row.Number] = true
			continue
		}
		entries, rows = append(entries, *row.Entry), append(rows, row.Number)
	}
	for _, g := range ordersOf(entries) {
		o := sheetOrder{Entry: wholeOrder(entries, g)}
		for _, i := range g {
			o.rows = append(o.rows, rows[i])
		}
		orders = append(orders, o)
	}
	return orders, refused, nil
}

func worstOf(ps []Problem) journal.Level {
	worst := journal.Level("")
	for _, p := range ps {
		if !p.Doubt {
			return journal.Refused
		}
		worst = journal.Doubtful
	}
	return worst
}

// ordersOf puts together what is one order: the places of rows with the same customer
// and the same number, in the order of the sheet.
func ordersOf(entries []journal.Entry) (groups [][]int) {
	at := map[[2]string]int{}
	for i := range entries {
		b, ok := entries[i].Body.(*journal.Order)
		if !ok || b.Ref == "" || len(b.Lines) > 0 {
			groups = append(groups, []int{i})
			continue
		}
		key := [2]string{strings.ToLower(b.Customer), strings.ToLower(b.Ref)}
		if g, there := at[key]; there {
			groups[g] = append(groups[g], i)
			continue
		}
		at[key] = len(groups)
		groups = append(groups, []int{i})
	}
	return groups
}

// wholeOrder makes one order of rows that belong together. Its id follows from theirs,
// so that the same sheet gives the same order.
func wholeOrder(entries []journal.Entry, group []int) journal.Entry {
	out := entries[group[0]]
	if len(group) == 1 {
		return out
	}
	first := out.Body.(*journal.Order)
	var parts []farm.OrderItem
	var notes []string
	var from strings.Builder
	for _, i := range group {
		e, b := &entries[i], entries[i].Body.(*journal.Order)
		from.WriteString(e.ID)
		if e.At.Before(out.At) {
			out.At = e.At
		}
		parts = append(parts, farm.OrderIn(e, b).Parts...)
		if b.Note != "" && !slices.Contains(notes, b.Note) {
			notes = append(notes, b.Note)
		}
	}
	out.ID, out.Body = ids.FromContent(out.At, []byte(from.String()), 0), orderBody(first.Customer, first.Ref, strings.Join(notes, "; "), parts)
	return out
}
