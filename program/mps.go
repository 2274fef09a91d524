package program

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// MPS writes the programme down in free MPS, as other solvers read it: columns
// c0, c1, ..., rows r0, r1, ... in their order, every bound said. What is to be
// largest is written as the least of its negative, since not every reader knows
// the section that says so; Offset is the price of a column that is held at one.
// Rows without bounds are left out. Start, Gap and Limit are not part of it.
//
// The format: International Business Machines, Mathematical Programming System;
// free form as glpsol(1) and cbc(1) read it, by which it is tested.
func (p *Problem) MPS(name string) string {
	var b strings.Builder
	sign := 1.0
	if p.Maximize {
		sign = -1
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	fmt.Fprintf(&b, "NAME %s FREE\nROWS\n N objective\n", name)
	in := make([][]Term, len(p.Columns)) // by column, with the row in place of it
	for i, r := range p.Rows {
		kind := ""
		switch low, high := math.IsInf(r.Low, 0), math.IsInf(r.High, 0); {
		case low && high:
			continue
		case low:
			kind = "L"
		case high:
			kind = "G"
		case r.Low == r.High:
			kind = "E"
		default:
			kind = "L" // and a range
		}
		fmt.Fprintf(&b, " %s r%d\n", kind, i)
		for _, t := range r.Terms {
			list := in[t.Column]
			if n := len(list); n > 0 && list[n-1].Column == i {
				list[n-1].Coefficient += t.Coefficient
				continue
			}
			in[t.Column] = append(list, Term{i, t.Coefficient})
		}
	}
	b.WriteString("COLUMNS\n")
	whole, marks := false, 0
	mark := func(w bool) {
		if w != whole {
			fmt.Fprintf(&b, " m%d 'MARKER' '%s'\n", marks, map[bool]string{true: "INTORG", false: "INTEND"}[w])
			whole, marks = w, marks+1
		}
	}
	for j, c := range p.Columns {
		mark(c.Whole)
		if c.Cost != 0 || len(in[j]) == 0 {
			fmt.Fprintf(&b, " c%d objective %s\n", j, number(sign*c.Cost))
		}
		for _, t := range in[j] {
			if t.Coefficient != 0 {
				fmt.Fprintf(&b, " c%d r%d %s\n", j, t.Column, number(t.Coefficient))
			}
		}
	}
	mark(false)
	if p.Offset != 0 {
		fmt.Fprintf(&b, " one objective %s\n", number(sign*p.Offset))
	}
	b.WriteString("RHS\n")
	for i, r := range p.Rows {
		switch {
		case !math.IsInf(r.High, 0):
			fmt.Fprintf(&b, " rhs r%d %s\n", i, number(r.High))
		case !math.IsInf(r.Low, 0):
			fmt.Fprintf(&b, " rhs r%d %s\n", i, number(r.Low))
		}
	}
	b.WriteString("RANGES\n")
	for i, r := range p.Rows {
		if !math.IsInf(r.Low, 0) && !math.IsInf(r.High, 0) && r.Low != r.High {
			fmt.Fprintf(&b, " range r%d %s\n", i, number(r.High-r.Low))
		}
	}
	b.WriteString("BOUNDS\n")
	for j, c := range p.Columns {
		switch {
		case math.IsInf(c.Low, 0):
			fmt.Fprintf(&b, " MI bound c%d\n", j)
		default:
			fmt.Fprintf(&b, " LO bound c%d %s\n", j, number(c.Low))
		}
		switch {
		case math.IsInf(c.High, 0):
			fmt.Fprintf(&b, " PL bound c%d\n", j)
		default:
			fmt.Fprintf(&b, " UP bound c%d %s\n", j, number(c.High))
		}
	}
	if p.Offset != 0 {
		b.WriteString(" FX bound one 1\n")
	}
	b.WriteString("ENDATA\n")
	return b.String()
}
