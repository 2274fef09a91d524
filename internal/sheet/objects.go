package sheet

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"wormyard/journal"
)

// objects reads a JSON file: a list of entries, an object with a list under
// "entries", or one object a line. An element with a "body" is an entry as
// docs/contracts has it; any other is read as a row whose headers are its keys.
func (f *File) objects(yield func(Row, error) bool) error {
	file, err := os.Open(f.path)
	if err != nil {
		return err
	}
	defer file.Close()
	in := bufio.NewReaderSize(file, 1<<16)
	if bom, _ := in.Peek(3); string(bom) == "\ufeff" {
		in.Discard(3)
	}
	counted := &countOnly{in, &f.read}
	dec := json.NewDecoder(counted)
	r := &reader{opt: f.opt, seen: map[uint64]int{}}
	n := 0
	give := func(raw json.RawMessage) bool {
		n++
		return yield(r.object(n, raw), nil)
	}
	if f.format == "lines" {
		for {
			var raw json.RawMessage
			if err := dec.Decode(&raw); errors.Is(err, io.EOF) {
				return nil
			} else if err != nil {
				return f.notJSON(err, dec)
			}
			if !give(raw) {
				return errStop
			}
		}
	}
	tok, err := dec.Token()
	if errors.Is(err, io.EOF) {
		return &Unreadable{fmt.Sprintf("%s is empty.", f.path), "Give a file with a list of entries."}
	}
	if err != nil {
		return f.notJSON(err, dec)
	}
	inside := tok == json.Delim('{')
	if inside {
		for {
			key, err := dec.Token()
			if err != nil {
				return f.notJSON(err, dec)
			}
			if key == json.Delim('}') {
				return &Unreadable{fmt.Sprintf("%s has no list of entries.", f.path), `Put the entries in a list under "entries", or one object a line in a file that ends in .jsonl.`}
			}
			if key == "entries" {
				break
			}
			var skip json.RawMessage
			if err := dec.Decode(&skip); err != nil {
				return f.notJSON(err, dec)
			}
		}
		if tok, err = dec.Token(); err != nil {
			return f.notJSON(err, dec)
		}
	}
	if tok != json.Delim('[') {
		return &Unreadable{fmt.Sprintf("%s has no list of entries.", f.path), `Write [{"kind":"feed","at":"2026-03-01T16:00:00Z","body":{...}}, ...].`}
	}
	for dec.More() {
		var raw json.RawMessage
		if err := dec.Decode(&raw); err != nil {
			return f.notJSON(err, dec)
		}
		if !give(raw) {
			return errStop
		}
	}
	return f.ends(dec, inside)
}

// ends reads what follows the last entry: a file that was cut off, or has
// something after its end, is not taken for a whole one.
func (f *File) ends(dec *json.Decoder, inside bool) error {
	if _, err := dec.Token(); err != nil {
		return f.notJSON(err, dec)
	}
	for inside && dec.More() {
		var skip json.RawMessage
		if _, err := dec.Token(); err != nil {
			return f.notJSON(err, dec)
		}
		if err := dec.Decode(&skip); err != nil {
			return f.notJSON(err, dec)
		}
	}
	if inside {
		if _, err := dec.Token(); err != nil {
			return f.notJSON(err, dec)
		}
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return &Unreadable{fmt.Sprintf("Something follows after the end of the list in %s, at character %d.", f.path, dec.InputOffset()), "Take it out, or put all entries in one list."}
	}
	return nil
}

type countOnly struct {
	r io.Reader
	n *int64
}

func (c *countOnly) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	*c.n += int64(n)
	return n, err
}

func (f *File) notJSON(err error, dec *json.Decoder) error {
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return &Unreadable{fmt.Sprintf("%s cannot be read as JSON after character %d.", f.path, dec.InputOffset()), "Look there for a missing comma, bracket or quotation mark, and whether the file was cut off."}
	}
	return err
}

// object reads one element.
func (r *reader) object(n int, raw json.RawMessage) Row {
	row := Row{Number: n}
	var m map[string]json.RawMessage
	if err := json.Unmarshal(raw, &m); err != nil || m == nil {
		row.Problems = []Problem{{n, "", journal.Problem{Say: "This element is not an object.", Try: `Write {"kind":"feed","at":"2026-03-01T16:00:00Z","body":{...}}.`, Level: journal.Refused}}}
		return row
	}
	if _, ok := m["body"]; ok {
		e, ps := journal.ReadEntry(raw)
		for _, p := range ps {
			row.Problems = append(row.Problems, Problem{n, "", p})
		}
		if e == nil {
			return row
		}
		if e.Device == "" {
			e.Device = r.opt.Device
		}
		if e.Who == "" {
			e.Who = r.opt.Who
		}
		r.finish(&row, e)
		return row
	}
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	header, cells := make([]cell, len(keys)), make([]cell, len(keys))
	for i, k := range keys {
		header[i].text = k
		cells[i].text = cellText(m[k])
	}
	one := *r // the keys may differ from element to element
	cols, unknown, _ := columns(header, r.opt.Map, r.opt.Kind != "")
	one.cols = cols
	for _, p := range missingColumns(cols, r.opt) {
		row.Problems = append(row.Problems, Problem{n, "", p})
	}
	if len(row.Problems) > 0 {
		return row
	}
	row = one.entry(n, cells)
	for _, c := range unknown {
		row.Problems = append(row.Problems, Problem{n, c.header, unknownColumn(c)})
	}
	return row
}

// cellText gives a JSON value as it would stand in a cell.
func cellText(raw json.RawMessage) string {
	raw = bytes.TrimSpace(raw)
	var s string
	if json.Unmarshal(raw, &s) == nil {
		return s
	}
	if string(raw) == "null" {
		return ""
	}
	var list []string
	if json.Unmarshal(raw, &list) == nil {
		return strings.Join(quotedNames(list), ", ")
	}
	if v, err := strconv.ParseFloat(string(raw), 64); err == nil {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return string(raw)
}

// quotedNames puts names that hold a blank in quotation marks, so that a list
// of them reads back.
func quotedNames(names []string) []string {
	out := make([]string, len(names))
	for i, s := range names {
		out[i] = s
		if strings.ContainsAny(s, " .,;") {
			out[i] = `"` + s + `"`
		}
	}
	return out
}
