package sheet

import (
	"errors"

	"wormyard/journal"
)

// A Heading is a column of a table and what it is read as: a key of the kind, a role
// such as "at" or "who", "-" where it is left out, "" where nobody knows.
type Heading struct {
	Header string
	Means  string
}

// Headings gives the columns of a table as they are read for the kind of all its rows.
// The error is an *Unreadable when a person can mend it.
func (f *File) Headings() ([]Heading, error) {
	for _, err := range f.Rows() {
		if err != nil && !errors.Is(err, errStop) {
			return nil, err
		}
		break
	}
	if f.last == nil {
		return nil, nil
	}
	kind, _ := journal.KindNamed(f.opt.Kind)
	out := make([]Heading, f.last.width)
	for _, c := range f.last.cols {
		h := Heading{Header: c.header, Means: string(c.role)}
		if list := c.fields[kind.Name]; c.role == roleField && len(list) > 0 {
			h.Means = kind.Fields[list[0]].Key
		}
		out[c.at] = h
	}
	for _, c := range f.last.unknown {
		out[c.at] = Heading{Header: c.header}
	}
	kept := out[:0]
	for _, h := range out {
		if h.Header != "" {
			kept = append(kept, h)
		}
	}
	return kept, nil
}
