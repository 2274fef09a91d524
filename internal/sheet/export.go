package sheet

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"wormyard/journal"
)

// head are the columns of an export before those of the bodies.
var head = []string{"id", "kind", "at", "who", "device", "strikes", "photo", "confirmed"}

// Columns gives the headers of an export: what every entry has, then every key
// of every body, in the order of the kinds.
func Columns() []string {
	out := append([]string(nil), head...)
	seen := map[string]bool{}
	for _, k := range journal.Kinds() {
		for _, f := range k.Fields {
			if !seen[f.Key] {
				seen[f.Key] = true
				out = append(out, f.Key)
			}
		}
	}
	return out
}

// line gives an entry as the cells of Columns.
func line(e *journal.Entry, place map[string]int, cells []string) error {
	for i := range cells {
		cells[i] = ""
	}
	raw := e.Raw
	if raw == nil {
		var err error
		if raw, err = journal.Encode(e.Body); err != nil {
			return err
		}
	}
	var body map[string]json.RawMessage
	if err := json.Unmarshal(raw, &body); err != nil {
		return err
	}
	cells[0], cells[1], cells[2] = e.ID, e.Kind, string(journal.AppendTime(nil, e.At.UTC()))
	cells[3], cells[4], cells[5], cells[6], cells[7] = guard(e.Who), guard(e.Device), e.Strikes, guard(e.Photo), strings.Join(e.Confirmed, ", ")
	kind, ok := journal.KindNamed(e.Kind)
	if !ok {
		return fmt.Errorf("entry %s is of kind %q, which this program does not know", e.ID, e.Kind)
	}
	for _, f := range kind.Fields {
		v, there := body[f.Key]
		if !there {
			continue
		}
		text := ""
		switch f.Type {
		case journal.Number, journal.Whole:
			text = string(v)
		case journal.Flag:
			text = map[string]string{"true": "yes", "false": "no"}[string(v)]
		case journal.Names, journal.Slots, journal.Choices:
			var list []string
			if err := json.Unmarshal(v, &list); err != nil {
				return err
			}
			if f.Type != journal.Choices {
				list = quotedNames(list)
			}
			text = strings.Join(list, ", ")
		case journal.Table, journal.Numbers, journal.Sides, journal.Any:
			text = string(v)
		default:
			if err := json.Unmarshal(v, &text); err != nil {
				return err
			}
			if f.Type == journal.Name {
				if f.Of == "bin" && withoutWord(text) != text {
					text = `"` + text + `"`
				}
			} else {
				text = guard(text)
			}
		}
		cells[place[f.Key]] = text
	}
	return nil
}

func places(columns []string) map[string]int {
	m := map[string]int{}
	for i, c := range columns {
		if i >= len(head) {
			m[c] = i
		}
	}
	return m
}

// ExportCSV writes entries as CSV (RFC 4180, UTF-8) that Import reads back to
// the same farm.
func ExportCSV(w io.Writer, entries iter.Seq2[journal.Entry, error]) (n int, err error) {
	out := csv.NewWriter(w)
	out.UseCRLF = true // RFC 4180
	columns := Columns()
	place, cells := places(columns), make([]string, len(columns))
	if err := out.Write(columns); err != nil {
		return 0, err
	}
	for e, err := range entries {
		if err != nil {
			return n, err
		}
		if err := line(&e, place, cells); err != nil {
			return n, err
		}
		if err := out.Write(cells); err != nil {
			return n, err
		}
		n++
	}
	out.Flush()
	return n, out.Error()
}

// ExportJSON writes {"contract":1,"entries":[...]}, one entry a line.
func ExportJSON(w io.Writer, contract int, entries iter.Seq2[journal.Entry, error]) (n int, err error) {
	out := bufio.NewWriterSize(w, 1<<16)
	fmt.Fprintf(out, "{\"contract\":%d,\"entries\":[", contract)
	for e, err := range entries {
		if err != nil {
			return n, err
		}
		raw, err := journal.Encode(e)
		if err != nil {
			return n, err
		}
		if n > 0 {
			out.WriteByte(',')
		}
		out.WriteByte('\n')
		if _, err := out.Write(raw); err != nil {
			return n, err
		}
		n++
	}
	out.WriteString("\n]}\n")
	return n, out.Flush()
}

// mostRows is what a sheet of a workbook holds, header row included (ECMA-376).
const mostRows = 1_048_576

// ExportXLSX writes entries as a workbook with one sheet. The error is an
// *Unreadable when a sheet cannot hold them all.
func ExportXLSX(w io.Writer, entries iter.Seq2[journal.Entry, error]) (n int, err error) {
	book := excelize.NewFile()
	defer book.Close()
	if err := book.SetSheetName("Sheet1", "Journal"); err != nil {
		return 0, err
	}
	out, err := book.NewStreamWriter("Journal")
	if err != nil {
		return 0, err
	}
	columns := Columns()
	place, cells, values := places(columns), make([]string, len(columns)), make([]any, len(columns))
	write := func(row int) error {
		for i, s := range cells {
			values[i] = nil
			if s == "" {
				continue
			}
			values[i] = s
			if i < len(head) {
				continue
			}
			// A workbook keeps 15 figures; a number that needs more stays text.
			if v, err := strconv.ParseFloat(s, 64); err == nil && numeric[columns[i]] {
				if short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 15, 64), 64); short == v {
					values[i] = v
				}
			}
		}
		return out.SetRow("A"+strconv.Itoa(row), values)
	}
	copy(cells, columns)
	if err := write(1); err != nil {
		return 0, err
	}
	for e, err := range entries {
		if err != nil {
			return n, err
		}
		if n+2 > mostRows {
			return n, &Unreadable{"A sheet of a workbook cannot hold more than 1,048,575 entries.", "Export to CSV or JSON, or a part of the time with --from and --to."}
		}
		if err := line(&e, place, cells); err != nil {
			return n, err
		}
		if err := write(n + 2); err != nil {
			return n, err
		}
		n++
	}
	if err := out.Flush(); err != nil {
		return n, err
	}
	_, err = book.WriteTo(w)
	return n, err
}

// numeric are the keys that hold numbers in every kind that has them.
var numeric = func() map[string]bool {
	m := map[string]bool{}
	for _, k := range journal.Kinds() {
		for _, f := range k.Fields {
			if _, seen := m[f.Key]; !seen {
				m[f.Key] = true
			}
			if f.Type != journal.Number && f.Type != journal.Whole {
				m[f.Key] = false
			}
		}
	}
	return m
}()
