package app

import (
	"bytes"
	"context"
	"fmt"

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
	Already  int // in the book as they are
	Written  int
	Refused  int
	Doubtful int
	Problems []Problem // by row
	Notes    []string
}

// ImportOrders takes orders from a sheet, all rows or none, each held against the price
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
	var rows []int
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
	acks, err := a.recordOr(ctx, entries, yes, dry || len(refused) > 0)
	if err != nil {
		return out, err
	}
	for i, ack := range acks {
		switch worst := worstOf(ack.Problems); {
		case worst == journal.Refused:
			refused[rows[i]] = true
		case worst == journal.Doubtful:
			out.Doubtful++
		default:
			out.Good++
		}
		for _, p := range ack.Problems {
			p.Row, p.Column = rows[i], file.ColumnOf(orderKind, p.Field)
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
