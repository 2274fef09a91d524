package app

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/ids"
	"wormyard/internal/sheet"
	"wormyard/journal"
)

// orderKind is the kind of every row of a sheet of orders.
const orderKind = "order"

// mostOrders is how many rows a sheet of orders may have: each is held against the
// order book, which a sheet of any kind is not.
const mostOrders = 5000

// OrderSheet is what a sheet of orders holds and what became of it.
type OrderSheet struct {
	Headings []sheet.Heading
	Rows     int
	Good     int // new and without a question
	Already  int // rows that are in the book as they are
	Several  int // orders of several rows
	Written  int // orders
	Refused  int
	Doubtful int
	Problems []Problem // by row
	Notes    []string
}

// ImportOrders takes orders from a sheet, all rows or none: rows of one customer with one
// order number are one order of several products. Each is held against the price
// list and the order book as if it were typed. A dry run only looks; yes says that what
// is doubtful is right. The error is a *sheet.Unreadable when a person can mend it.
func (a *App) ImportOrders(ctx context.Context, path string, opt sheet.Options, dry, yes bool) (OrderSheet, error) {
	opt.Kind = orderKind
	if opt.Zone == nil {
		opt.Zone = a.State().Zone()
	}
	file, err := sheet.Open(path, opt)
	if err != nil {
		return OrderSheet{}, err
	}
	a.writing.Lock()
	defer a.writing.Unlock()
	var out OrderSheet
	if out.Headings, err = file.Headings(); err != nil {
		return out, err
	}
	var entries []journal.Entry
	var rows []int // of entries
	refused := map[int]bool{}
	for row, err := range file.Rows() {
		if err != nil {
			return out, err
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
			return out, &sheet.Unreadable{Say: fmt.Sprintf("The sheet has more than %d orders.", mostOrders), Try: "Part it into several files."}
		}
		if row.Entry.Kind != orderKind {
			out.Problems = append(out.Problems, Problem{Field: "kind", Row: row.Number, Say: fmt.Sprintf("Row %d is no order.", row.Number), Try: "Take it out, or import the file on the page Import."})
			refused[row.Number] = true
			continue
		}
		if old, _, known := a.farm.Entry(row.Entry.ID); known && sameBody(old, row.Entry) {
			out.Already++
			continue
		}
		entries, rows = append(entries, *row.Entry), append(rows, row.Number)
	}
	groups := ordersOf(entries)
	whole := make([]journal.Entry, 0, len(groups))
	kept := groups[:0]
	for _, g := range groups {
		e := wholeOrder(entries, g)
		if old, _, known := a.farm.Entry(e.ID); known && len(g) > 1 && sameBody(old, &e) {
			out.Already += len(g)
			continue
		}
		if len(g) > 1 {
			out.Several++
		}
		whole, kept = append(whole, e), append(kept, g)
	}
	acks, err := a.recordOr(ctx, whole, yes, dry || len(refused) > 0)
	if err != nil {
		return out, err
	}
	for i, ack := range acks {
		switch worst := worstOf(ack.Problems); {
		case worst == journal.Refused:
			refused[rows[kept[i][0]]] = true
		case worst == journal.Doubtful:
			out.Doubtful += len(kept[i])
		default:
			out.Good += len(kept[i])
		}
		for _, p := range ack.Problems {
			line, field := 0, p.Field
			if at, of, cut := strings.Cut(strings.TrimPrefix(p.Field, "lines["), "]."); cut {
				if n, err := strconv.Atoi(at); err == nil && n < len(kept[i]) {
					line, field = n, of
				}
			}
			p.Row, p.Column = rows[kept[i][line]], file.ColumnOf(orderKind, field)
			out.Problems = append(out.Problems, p)
		}
		if ack.Saved {
			out.Written++
		}
	}
	out.Refused = len(refused)
	return out, nil
}

// sameBody says whether two entries say the same, whatever was confirmed with them.
func sameBody(a, b *journal.Entry) bool {
	x, err := journal.Encode(a.Body)
	y, err2 := journal.Encode(b.Body)
	return err == nil && err2 == nil && a.Kind == b.Kind && bytes.Equal(x, y)
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
	first := *out.Body.(*journal.Order)
	body := journal.Order{Customer: first.Customer, Ref: first.Ref, Due: first.Due}
	for _, i := range group {
		if entries[i].Body.(*journal.Order).Due != first.Due { // then each has its own
			body.Due = ""
		}
	}
	var notes []string
	var from strings.Builder
	for _, i := range group {
		e, b := &entries[i], entries[i].Body.(*journal.Order)
		from.WriteString(e.ID)
		if e.At.Before(out.At) {
			out.At = e.At
		}
		line := journal.OrderPart{What: b.What, Number: b.Number, VolumeM3: b.VolumeM3, MassKg: b.MassKg, Price: b.Price}
		if b.Due != body.Due {
			line.Due = b.Due
		}
		body.Lines = append(body.Lines, line)
		if b.Note != "" && !slices.Contains(notes, b.Note) {
			notes = append(notes, b.Note)
		}
	}
	body.Note = strings.Join(notes, "; ")
	out.ID, out.Body = ids.FromContent(out.At, []byte(from.String()), 0), &body
	return out
}
