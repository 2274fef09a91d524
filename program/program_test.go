package program

import (
	"math"
	"testing"
)

func TestCheckFindsWhatIsMalformed(t *testing.T) {
	sound := func() Problem {
		var p Problem
		c := p.Add(Column{Name: "leaves", Cost: 1, High: math.Inf(1)})
		p.Hold(Row{Name: "water", Low: math.Inf(-1), High: 3, Terms: []Term{{c, 2}}})
		return p
	}
	p := sound()
	if err := p.Check(); err != nil {
		t.Errorf("a sound programme was refused: %v", err)
	}
	for name, spoil := range map[string]func(*Problem){
		"price":       func(p *Problem) { p.Columns[0].Cost = math.NaN() },
		"bounds":      func(p *Problem) { p.Columns[0].Low, p.Columns[0].High = 2, 1 },
		"no bound":    func(p *Problem) { p.Columns[0].Low = math.Inf(1) },
		"row":         func(p *Problem) { p.Rows[0].High = math.NaN() },
		"column":      func(p *Problem) { p.Rows[0].Terms[0].Column = 1 },
		"coefficient": func(p *Problem) { p.Rows[0].Terms[0].Coefficient = math.Inf(1) },
		"start":       func(p *Problem) { p.Start = []float64{1, 2} },
		"gap":         func(p *Problem) { p.Gap = -1 },
	} {
		p := sound()
		spoil(&p)
		if p.Check() == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

func TestViolationIsTheWorst(t *testing.T) {
	var p Problem
	a := p.Add(Column{High: 2, Whole: true})
	b := p.Add(Column{High: 10})
	p.Hold(Row{Low: 1, High: 4, Terms: []Term{{a, 1}, {b, 1}}})
	for _, c := range []struct {
		values []float64
		want   float64
	}{
		{[]float64{1, 2}, 0},
		{[]float64{3, 0}, 1},      // above its bound
		{[]float64{1.25, 0}, .25}, // not whole
		{[]float64{0, 9}, 5},      // row passed
		{[]float64{0, 0.5}, .5},   // row not reached
	} {
		if got := p.Violation(c.values); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: %v, want %v", c.values, got, c.want)
		}
	}
}
