package bed

import "wormyard/climate"

// Run steps the bed from s.Hour to the hour until, through the acts in the
// order given (sorted by hour), and calls out once a day at midnight UTC and at
// the end. It changes s. The error says which act cannot be done; s is then at
// the hour of that act. For many runs with one set of parameters a Runner keeps
// its tables and memory.
func Run(p *Parameters, box Box, s *State, air climate.Series, until int64, acts []Act, out func(Day)) (Budget, error) {
	return NewRunner(p).Run(box, s, air, until, acts, out)
}

// Runner steps beds with one set of parameters. It is not safe for use by two
// goroutines at once; a State may be passed from one Runner to another.
type Runner struct {
	p     Parameters
	Each  int64 // hours between outputs; 24 when 0
	Finer int   // divides every step, for tests of accuracy; 1 when 0
}

// NewRunner gives a Runner for the parameters, which it copies.
func NewRunner(p *Parameters) *Runner { return &Runner{p: *p} }

// Run is the Run of the package. After the first call it allocates nothing.
func (r *Runner) Run(box Box, s *State, air climate.Series, until int64, acts []Act, out func(Day)) (Budget, error) {
	return Budget{}, nil
}

// Profile gives the layers from the top down.
func (r *Runner) Profile(box Box, s *State) []Slice { return nil }
