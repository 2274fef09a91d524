// Package contract reads what a program or a person hands to wormyard and
// writes what comes back.
//
// Decode is a strict reader of JSON into a Go struct: it refuses unknown keys
// by name with the nearest known one, values of the wrong kind, missing values,
// values out of range, numbers that are not numbers and keys given twice, all
// at once and in words that say what to do. What a struct accepts is written in
// its tags, the same that a figure's inputs carry:
//
//	json:"temp_c"           the key; ",omitempty" also makes it optional
//	unit:"C"                the unit, for messages and schemas
//	low:"-60" high:"120"    the range; outside it is refused
//	default:"20"            the value taken when absent
//	choice:"a,b,c"          the words allowed
//	quantity:"volume"       a text with a unit ("2 yd3"), for a float or a Typed
//	as:"word|list|number"   on a field with json:"-": the struct may also be given as one word, a list or a number
//	doc:"..."               one line for the schema
//
// A field is required unless it has a default or omitempty, or is a pointer, a
// slice, a map, a bool or an interface. A struct that is absent is read as an
// empty object, so that the required values inside it are named. Without low
// and high the name of a key sets the range: a fraction is 0 to 1, a mass, a
// volume, a length or an area is not negative.
//
// Schema gives the JSON Schema of a struct by the same tags. Nothing here knows
// any equation.
package contract

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"wormyard/figure"
	"wormyard/qty"
)

// Version is the number printed as "contract" with every answer.
const Version = 1

// MaxBytes is the largest input that is read [byte].
const MaxBytes = 32 << 20

// A Number is a plain number or a range {"best","low","high","known"}.
type Number qty.Estimate

// Estimate gives the number as an estimate of the core.
func (n Number) Estimate() qty.Estimate { return qty.Estimate(n) }

// MarshalJSON writes a plain number as one and a range as an object.
func (n Number) MarshalJSON() ([]byte, error) {
	if n.Low == n.High && n.Known == "" {
		return json.Marshal(n.Best)
	}
	return json.Marshal(qty.Estimate(n))
}

// A Typed is a quantity with a unit as a person types it ("2 yd3").
type Typed struct {
	Text  string  // as typed
	Value float64 // in the stored unit of its dimension: kg, m3, m, C, m2, kg/m3, h, fraction
}

// MarshalJSON writes the text as it was typed.
func (t Typed) MarshalJSON() ([]byte, error) { return json.Marshal(t.Text) }

// Partly is the error of a command that did a part of what was asked; the
// program then ends with exit code 3.
type Partly struct{ Say string }

func (p *Partly) Error() string { return p.Say }

// Refuse gives the problems as an error, nil when there are none.
func Refuse(problems []figure.Problem) error {
	return figure.Problems(problems).Refuse()
}

// Read reads all of r up to MaxBytes and refuses more.
func Read(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > MaxBytes {
		return nil, Refuse([]figure.Problem{tooLarge()})
	}
	return data, nil
}

func tooLarge() figure.Problem {
	return figure.Problem{
		Say: fmt.Sprintf("This is more than %d MB.", MaxBytes>>20),
		Try: "Give it in smaller pieces; tables of entries go in with journal import.",
	}
}

// Write prints v, which becomes a JSON object, with "contract" as its first
// key, once.
func Write(w io.Writer, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	body = bytes.TrimSpace(body)
	if len(body) == 0 || body[0] != '{' {
		return fmt.Errorf("writing the answer: %T is not an object", v)
	}
	head := fmt.Sprintf(`{"contract":%d`, Version)
	switch {
	case bytes.HasPrefix(body, []byte(`{"contract":`)):
		head = "{" // the answer carries it itself
	case !bytes.Equal(body, []byte("{}")):
		head += ","
	}
	var out bytes.Buffer
	if err := json.Indent(&out, append([]byte(head), body[1:]...), "", "  "); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	out.WriteByte('\n')
	_, err = w.Write(out.Bytes())
	return err
}

// InWords prints problems for a person, one a line.
func InWords(problems []figure.Problem) string {
	var b strings.Builder
	for _, p := range problems {
		if p.Field != "" {
			b.WriteString(p.Field)
			b.WriteString(": ")
		}
		b.WriteString(p.Say)
		b.WriteByte('\n')
		if p.Try != "" {
			b.WriteString("  try: ")
			b.WriteString(p.Try)
			b.WriteByte('\n')
		}
	}
	return b.String()
}
