// Package figure holds the types of the registry of figures: every equation of
// docs/model.md that stands alone, with its name, inputs, outputs, range and
// source, callable by itself. The figure calls the very function that the
// engine calls, so that a number on a page, a number printed by the command
// line and a number in the engine are one.
//
// A noun of the trade offers its figures as a plain list
// (func Figures(p Parameters) []figure.Figure); internal/app gathers them. The
// inputs and outputs are Go structs; the rim reads their tags:
//
//	json:"temp_c"        the name outside Go, with unit and basis
//	unit:"C"             the unit as printed
//	low:"-60" high:"120" the range in which the figure means something; outside it is refused
//	default:"101325"     the value taken when absent; a field without default is required unless it is a pointer or a slice
//	choice:"a,b,c"       the words allowed
//	doc:"..."            one line
package figure

// A Figure is one equation with what is needed to call it and to trust it.
type Figure struct {
	Name     string // noun.thing, as in "mix.moisture"
	Title    string // in words
	Equation string // number in docs/model.md, as in "M1"
	Formula  string // the equation in one line of plain text
	Source   string // where it comes from: author, year, table or page
	In       func() any
	Out      func() any
	run      func(any) (any, []string, error)
}

// Run computes the figure from an input made by In. The notes say what was
// assumed or is unusual. The error is a *Refusal when the input is meaningless.
func (f Figure) Run(in any) (out any, notes []string, err error) { return f.run(in) }

// Of fills f with a typed function.
func Of[I, O any](f Figure, compute func(I) (O, []string, error)) Figure {
	f.In = func() any { return new(I) }
	f.Out = func() any { return new(O) }
	f.run = func(in any) (any, []string, error) { return compute(*in.(*I)) }
	return f
}

// A Refusal says which inputs are meaningless, all at once.
type Refusal struct{ Problems []Problem }

// A Problem is one thing wrong with what was given, in words a farmer reads.
type Problem struct {
	Field string `json:"field"` // path of the field as typed, "parts[1].water_frac_wet"
	Say   string `json:"say"`   // what is wrong
	Try   string `json:"try"`   // what to do
}

func (r *Refusal) Error() string {
	if len(r.Problems) == 0 {
		return "refused"
	}
	p := r.Problems[0]
	return p.Field + ": " + p.Say + " " + p.Try
}

// Refuse gives a Refusal for one field.
func Refuse(field, say, try string) error {
	return &Refusal{[]Problem{{field, say, try}}}
}

// A Step is one line of a working: a figure that was computed on the way to a
// printed number, with everything needed to redo it by hand.
type Step struct {
	Figure   string             `json:"figure"`
	Equation string             `json:"equation"`
	Inputs   map[string]float64 `json:"inputs"`
	Outputs  map[string]float64 `json:"outputs"`
	Source   string             `json:"source"`
	How      string             `json:"how"`
}
