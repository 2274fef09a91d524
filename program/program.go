// Package program holds linear and mixed-integer programmes as values: columns
// to be chosen, rows that bound sums of them, and a price on each column. It
// solves nothing; whoever needs an answer is handed a Solver.
//
// A farm meets such programmes where amounts are to be found under limits at
// least cost: the parts of a mix, the weeks of a season. All numbers are plain;
// their units are the business of whoever builds the programme.
//
// Left out: quadratic prices, and limits that bend. A ratio of two sums held
// between limits is linear once its denominator is moved across (docs/model.md M30).
package program

import (
	"context"
	"fmt"
	"math"
	"time"
)

// Column is one unknown.
type Column struct {
	Name  string
	Cost  float64 // what one unit adds to the objective
	Low   float64 // lower bound, may be minus infinity
	High  float64 // upper bound, may be infinity
	Whole bool    // whole numbers only
}

// Term is a coefficient on a column.
type Term struct {
	Column      int
	Coefficient float64
}

// Row holds a sum of terms between two bounds; equal bounds make an equation.
type Row struct {
	Name  string
	Low   float64 // may be minus infinity
	High  float64 // may be infinity
	Terms []Term  // terms on the same column add
}

// Problem is a programme to be solved: the least Offset + sum of Cost times
// column, or the largest with Maximize.
type Problem struct {
	Maximize bool
	Offset   float64
	Columns  []Column
	Rows     []Row
	Gap      float64       // relative gap at which whole-number search may stop; 0 means 1e-6
	Limit    time.Duration // time allowed; 0 means 10 s
	Start    []float64     // a plan to begin from, one value a column; nil for none
}

// Add appends a column and gives its index.
func (p *Problem) Add(c Column) int {
	p.Columns = append(p.Columns, c)
	return len(p.Columns) - 1
}

// Hold appends a row.
func (p *Problem) Hold(r Row) { p.Rows = append(p.Rows, r) }

// Status says how a solve ended.
type Status int

// How a solve ends.
const (
	Optimal    Status = iota // the best, to the gap asked for
	Infeasible               // nothing meets all rows and bounds
	Unbounded                // the objective has no limit
	Stopped                  // time or context ran out; Values hold the best found, or nil
)

func (s Status) String() string {
	return [...]string{"optimal", "infeasible", "unbounded", "stopped"}[s]
}

// Solution is the answer to a Problem.
type Solution struct {
	Status    Status
	Objective float64
	Bound     float64   // no plan can be better than this
	Nodes     int64     // branches looked at; 0 for a programme without whole numbers
	Values    []float64 // one a column; nil when no plan was found

	// RowWorth is by how much the objective changes with each unit by which the
	// bound that a row lies at is raised, ColumnWorth the same of columns: the dual
	// prices of a programme that was solved to its best and has no whole numbers;
	// nil for others, and from a solver that has none. Where a plan lies in a
	// corner of too many limits they are one of several answers.
	RowWorth, ColumnWorth []float64
}

// Solver solves a Problem. An infeasible or unbounded programme is an answer,
// not an error; an error means that the programme is malformed or that the
// solver itself failed. It must be safe for use by many goroutines.
type Solver func(context.Context, Problem) (Solution, error)

// Check says what is malformed: a NaN, bounds that cross, a term on a column
// that is not there, a Start of the wrong length. It returns nil for a sound
// programme.
func (p *Problem) Check() error {
	if math.IsNaN(p.Offset) || math.IsNaN(p.Gap) || p.Gap < 0 {
		return fmt.Errorf("program: offset %v or gap %v is no number to work with", p.Offset, p.Gap)
	}
	for i, c := range p.Columns {
		if math.IsNaN(c.Cost) || math.IsInf(c.Cost, 0) || !bounds(c.Low, c.High) {
			return fmt.Errorf("program: column %d (%s): cost %v, bounds %v to %v", i, c.Name, c.Cost, c.Low, c.High)
		}
	}
	for i, r := range p.Rows {
		if !bounds(r.Low, r.High) {
			return fmt.Errorf("program: row %d (%s): bounds %v to %v", i, r.Name, r.Low, r.High)
		}
		for _, t := range r.Terms {
			if t.Column < 0 || t.Column >= len(p.Columns) || math.IsNaN(t.Coefficient) || math.IsInf(t.Coefficient, 0) {
				return fmt.Errorf("program: row %d (%s): term %v on column %d of %d", i, r.Name, t.Coefficient, t.Column, len(p.Columns))
			}
		}
	}
	if p.Start != nil && len(p.Start) != len(p.Columns) {
		return fmt.Errorf("program: the plan to begin from has %d values for %d columns", len(p.Start), len(p.Columns))
	}
	return nil
}

func bounds(low, high float64) bool {
	return low <= high && !math.IsInf(low, 1) && !math.IsInf(high, -1)
}

// Value gives the sum of a row's terms at the given column values.
func (r Row) Value(values []float64) float64 {
	sum := 0.0
	for _, t := range r.Terms {
		sum += t.Coefficient * values[t.Column]
	}
	return sum
}

// Objective gives the objective at the given column values.
func (p *Problem) Objective(values []float64) float64 {
	sum := p.Offset
	for i, c := range p.Columns {
		sum += c.Cost * values[i]
	}
	return sum
}

// Violation gives the largest amount by which the values break a bound, a row
// or wholeness, each measured as it stands; 0 when all is kept.
func (p *Problem) Violation(values []float64) float64 {
	worst := 0.0
	for i, c := range p.Columns {
		worst = math.Max(worst, math.Max(c.Low-values[i], values[i]-c.High))
		if c.Whole {
			worst = math.Max(worst, math.Abs(values[i]-math.Round(values[i])))
		}
	}
	for _, r := range p.Rows {
		v := r.Value(values)
		worst = math.Max(worst, math.Max(r.Low-v, v-r.High))
	}
	return worst
}
