package program

import (
	"math"
	"testing"
)

// A programme with every kind of row and bound, written down by hand. That others
// read it is held by bench/solvers.
func TestMPS(t *testing.T) {
	p := Problem{Maximize: true, Offset: 2}
	inf := math.Inf(1)
	a := p.Add(Column{Cost: 3, High: inf, Whole: true})
	b := p.Add(Column{Cost: -0.5, Low: -inf, High: 4})
	c := p.Add(Column{Low: 1, High: 1})
	p.Hold(Row{Low: -inf, High: 7, Terms: []Term{{a, 1}, {b, 2}, {a, 1}}})
	p.Hold(Row{Low: 1, High: inf, Terms: []Term{{b, 1}}})
	p.Hold(Row{Low: 2, High: 2, Terms: []Term{{c, 2}}})
	p.Hold(Row{Low: -1, High: 3, Terms: []Term{{a, 1}, {c, -1}}})
	p.Hold(Row{Low: -inf, High: inf, Terms: []Term{{a, 1}}})
	const want = `NAME small FREE
ROWS
 N objective
 L r0
 G r1
 E r2
 L r3
COLUMNS
 m0 'MARKER' 'INTORG'
 c0 objective -3
 c0 r0 2
 c0 r3 1
 m1 'MARKER' 'INTEND'
 c1 objective 0.5
 c1 r0 2
 c1 r1 1
 c2 r2 2
 c2 r3 -1
 one objective -2
RHS
 rhs r0 7
 rhs r1 1
 rhs r2 2
 rhs r3 3
RANGES
 range r3 4
BOUNDS
 LO bound c0 0
 PL bound c0
 MI bound c1
 UP bound c1 4
 LO bound c2 1
 UP bound c2 1
 FX bound one 1
ENDATA
`
	if got := p.MPS("small"); got != want {
		t.Errorf("got\n%s", got)
	}
}
