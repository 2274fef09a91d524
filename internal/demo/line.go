package demo

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/internal/ids"
	"wormyard/internal/sheet"
)

// line is one entry as it is typed: a row of the day's sheet.
type line struct {
	at      time.Time
	kind    string
	who     string
	device  string
	cells   map[string]string
	id      string // only where another line must name it
	strikes string
	exact   bool // the time is written in UTC to the second, as a logger does
}

// with puts a value under a key; an empty one is left out.
func (l line) with(key, value string) line {
	if value != "" {
		l.cells[key] = value
	}
	return l
}

// The crew.
const (
	owner = "owner"
	crew1 = "crew 1"
	crew2 = "crew 2"
)

var deviceOf = map[string]string{owner: "desk", crew1: "phone 1", crew2: "phone 2"}

func entry(kind, who string, at time.Time) line {
	return line{at: at, kind: kind, who: who, device: deviceOf[who], cells: map[string]string{}}
}

// named gives the line an id that others can name.
func (l line) named(why string) line {
	l.id = ids.FromContent(l.at, []byte("heron slough "+why), 0)
	return l
}

// What people type: in the units of the yard, to what their tools show.

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// rounded prints a number to a multiple of by.
func rounded(v, by float64) string {
	text := strconv.FormatFloat(step(v, by), 'f', 3, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" {
		return "0"
	}
	return text
}

func inches(m, by float64) string     { return rounded(m/0.0254, by) + " in" }
func pounds(kg, by float64) string    { return rounded(kg/0.45359237, by) + " lb" }
func gallons(kg, by float64) string   { return rounded(kg/3.785411784, by) + " gal" }
func yards(m3, by float64) string     { return rounded(m3/0.764554857984, by) + " yd3" }
func fahrenheit(c, by float64) string { return rounded(c*1.8+32, by) + " F" }
func percent(frac, by float64) string { return rounded(frac*100, by) + " %" }

func names(bins []*bin) string {
	out := make([]string, len(bins))
	for i, b := range bins {
		out[i] = b.name
	}
	return strings.Join(out, ", ")
}

// asJSON writes a value that the import takes as JSON.
func asJSON(v any) string {
	data, err := json.Marshal(v)
	if err != nil {
		return ""
	}
	return string(data)
}

// columns are the headers that a sheet may have, in order.
var columns = sheet.Columns()

// table writes lines as one CSV file with the columns that they use.
func table(lines []line, zone *time.Location) ([]byte, error) {
	used := map[string]bool{"kind": true, "at": true, "who": true, "device": true}
	for _, l := range lines {
		if l.id != "" {
			used["id"] = true
		}
		if l.strikes != "" {
			used["strikes"] = true
		}
		for k := range l.cells {
			used[k] = true
		}
	}
	var head []string
	for _, c := range columns {
		if used[c] {
			head = append(head, c)
			delete(used, c)
		}
	}
	for k := range used {
		return nil, fmt.Errorf("no sheet has a column %q", k)
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.Write(head); err != nil {
		return nil, err
	}
	row := make([]string, len(head))
	for _, l := range lines {
		at := l.at.In(zone).Format("2006-01-02 15:04")
		if l.exact {
			at = l.at.UTC().Format(time.RFC3339)
		}
		for i, c := range head {
			switch c {
			case "id":
				row[i] = l.id
			case "kind":
				row[i] = l.kind
			case "at":
				row[i] = at
			case "who":
				row[i] = l.who
			case "device":
				row[i] = l.device
			case "strikes":
				row[i] = l.strikes
			default:
				row[i] = l.cells[c]
			}
		}
		if err := w.Write(row); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// byTime orders the lines of a sheet as they were done.
func byTime(lines []line) {
	slices.SortStableFunc(lines, func(a, b line) int { return a.at.Compare(b.at) })
}
