package sheet

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"
)

// Plain is a table as it stands, before anything is made of it.
type Plain struct {
	Tabs      []string // of a workbook
	Tab       string   // that was read
	Rows      []PlainRow
	Comma     bool // its numbers have a decimal comma
	More      bool // there are more rows than were asked for
	dayOffset bool // days count from 1904
}

// PlainRow is one row that is not empty.
type PlainRow struct {
	Number int // as a spreadsheet counts
	Cells  []PlainCell
}

// PlainCell is one cell of a table.
type PlainCell struct {
	Text   string
	Number bool // a number of a workbook, with a point before tenths
}

// Plain reads the first rows of a table, at most so many. The error is an
// *Unreadable when a person can mend it.
func (f *File) Plain(most int) (Plain, error) {
	var out Plain
	var g grid
	var err error
	switch f.format {
	case "csv":
		g, out.Comma, err = f.openCSV()
	case "xlsx":
		g, out.dayOffset, err = f.openWorkbook()
	default:
		return out, &Unreadable{fmt.Sprintf("%s is no table.", f.path), "Save it as XLSX or CSV."}
	}
	if err != nil {
		return out, err
	}
	defer g.close()
	if b, ok := g.(*bookGrid); ok {
		out.Tabs, out.Tab = b.book.GetSheetList(), b.tab
	}
	for {
		number, cells, err := g.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return out, err
		}
		if blank(cells) {
			continue
		}
		if len(out.Rows) == most {
			out.More = true
			break
		}
		row := PlainRow{Number: number}
		for _, c := range cells {
			text := unguard(c.text)
			if v, err := strconv.ParseFloat(c.text, 64); c.serial && err == nil { // a workbook keeps 0.1 as 0.10000000000000001
				short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
				text = strconv.FormatFloat(short, 'f', -1, 64)
			}
			row.Cells = append(row.Cells, PlainCell{text, c.serial})
		}
		out.Rows = append(out.Rows, row)
	}
	if len(out.Rows) == 0 {
		return out, &Unreadable{fmt.Sprintf("%s is empty.", f.path), "Give a file with a header row and a row below it."}
	}
	return out, nil
}

// DayIn reads a cell as a day, at noon in a zone. order is "mdy" or "dmy" for days
// such as 3/4/2026, or empty; what can be read two ways is refused with both.
func (p Plain) DayIn(c PlainCell, order string, zone *time.Location) (time.Time, *Unreadable) {
	var d day
	if v, err := strconv.ParseFloat(c.Text, 64); err == nil && c.Number && v >= 1 && v < 2_958_466 { // up to 9999-12-31
		d, _ = serialDay(v, p.dayOffset)
	} else {
		when, _, exact, f := parseWhen(c.Text, order)
		switch {
		case f != nil:
			return time.Time{}, &Unreadable{f.say, f.try}
		case !exact.IsZero():
			return exact, nil
		}
		d = when
	}
	t, _, f := localTime(d, clock{}, "assay", zone)
	if f != nil {
		return time.Time{}, &Unreadable{f.say, f.try}
	}
	return t, nil
}
