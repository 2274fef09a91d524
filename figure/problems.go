package figure

import (
	"fmt"
	"math"
)

// Problems gathers what is wrong with what was given, so that all of it is told at
// once.
type Problems []Problem

// Add takes one more up.
func (p *Problems) Add(field, say, try string) {
	*p = append(*p, Problem{Field: field, Say: say, Try: try})
}

// Over0 asks for a number above 0.
func (p *Problems) Over0(field, what string, x float64) {
	if !(x > 0) || math.IsInf(x, 0) {
		p.Add(field, fmt.Sprintf("%s is %g. It must be more than 0.", what, x), "Look at the number again.")
	}
}

// Between asks for a number from low to high.
func (p *Problems) Between(field, what string, x, low, high float64) {
	if !(x >= low && x <= high) {
		p.Add(field, fmt.Sprintf("%s is %g. It must lie from %g to %g.", what, x, low, high), "Look at the number again.")
	}
}

// Refuse gives a Refusal with all of them, nil where there is none.
func (p Problems) Refuse() error {
	if len(p) == 0 {
		return nil
	}
	return &Refusal{Problems: p}
}
