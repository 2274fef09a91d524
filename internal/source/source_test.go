package source

import (
	"errors"
	"strings"
	"testing"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/qty"
)

type board struct {
	Conductivity float64 `param:"board.conductivity" unit:"W/(m K)"`
	Inner        struct {
		Rate qty.Estimate `param:"rate" unit:"1/day"`
	}
	Curve  []float64   `param:"curve" unit:"-"`
	Warm   qty.Celsius `param:"warm" unit:"C"`
	Unread int
}

var refs = map[string]Ref{"wood": {Key: "wood", Title: "Wood", How: "found"}}

const good = `{"parameters":[
 {"name":"board.conductivity","value":0.12,"unit":"W/(m K)","low":0.1,"high":0.15,"ref":"wood","where":"table 1","how":"found","at":"12 % water"},
 {"name":"rate","value":0.02,"unit":"1/day","low":0.01,"high":0.03,"how":"assumed","note":"between two neighbours"},
 {"name":"curve","values":[1,2],"unit":"-","how":"memory","ref":"wood"},
 {"name":"warm","value":20,"unit":"C","how":"measured","ref":"wood"}]}`

func load(t *testing.T, text string, own ...Own) (board, []string) {
	t.Helper()
	var said []string
	p, err := parse("test", []byte(text), refs)
	if err != nil {
		said = append(said, err.Error())
		said = append(said, strings.Split(contract.InWords(problemsOf(err)), "\n")...)
	}
	var b board
	for _, line := range strings.Split(contract.InWords(fill("test", p, &b, own)), "\n") {
		if line != "" {
			said = append(said, line)
		}
	}
	return b, said
}

func TestLoadFillsTaggedStructs(t *testing.T) {
	b, said := load(t, good)
	if len(said) > 0 {
		t.Fatal(said)
	}
	if b.Conductivity != 0.12 || b.Warm != 20 || len(b.Curve) != 2 {
		t.Errorf("%+v", b)
	}
	if want := (qty.Estimate{Best: 0.02, Low: 0.01, High: 0.03, Known: "assumed"}); b.Inner.Rate != want {
		t.Errorf("%+v, want %+v", b.Inner.Rate, want)
	}
}

func TestLoadRefusesEverythingWrongAtOnce(t *testing.T) {
	_, said := load(t, `{"parameters":[
 {"name":"board.conductivity","value":0.12,"unit":"W/m","low":0.1,"high":0.15,"ref":"wood","how":"found"},
 {"name":"rate","value":0.09,"unit":"1/day","low":0.01,"high":0.03,"how":"assumed","note":"n"},
 {"name":"curv","values":[1,2],"unit":"-","how":"memory"},
 {"name":"warm","value":20,"unit":"C","how":"measured","ref":"woood"},
 {"name":"warm","value":20,"unit":"C","how":"measured","low":3,"ref":"wood"},
 {"name":"lost","unit":"","how":"assumed"}]}`)
	all := strings.Join(said, "\n")
	for _, want := range []string{
		`unit "W/m", the struct "W/(m K)"`, "0.09 is outside its own range, 0.01 to 0.03", "is memory but names no reference",
		"curv: Nothing in", "curve: The struct asks for it", `Reference "woood" is in no refs file`, "warm: It stands twice",
		"one end of a range only", "lost: It has no value", "lost: It has no unit", "lost: It has neither reference nor note",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing says %q", want)
		}
	}
	if t.Failed() {
		t.Log(all)
	}
}

func TestOwnValuesAreLaidOver(t *testing.T) {
	own := Own{Name: "warm", Value: 21, Unit: "C", Low: 19, High: 23, Date: "2026-03-01", Data: "12 loggers", Person: "owner"}
	b, said := load(t, good, own)
	if len(said) > 0 || b.Warm != 21 {
		t.Errorf("%v %+v", said, b)
	}
	for want, bad := range map[string]Own{
		"in \"F\"":          {Name: "warm", Value: 70, Unit: "F", Low: 60, High: 80, Date: "d", Data: "d", Person: "p"},
		"outside its own":   {Name: "warm", Value: 70, Unit: "C", Low: 60, High: 65, Date: "d", Data: "d", Person: "p"},
		"lacks its date":    {Name: "warm", Value: 20, Unit: "C", Low: 19, High: 21},
		"that is not used":  {Name: "wrm", Value: 20, Unit: "C", Low: 19, High: 21, Date: "d", Data: "d", Person: "p"},
		"A table cannot be": {Name: "curve", Value: 1, Unit: "-", Low: 0, High: 2, Date: "d", Data: "d", Person: "p"},
	} {
		if _, said := load(t, good, bad); !strings.Contains(strings.Join(said, "\n"), want) {
			t.Errorf("%+v: %v, want %q", bad, said, want)
		}
	}
}

// Every parameter file and every reference that ships is well formed.
func TestShippedFiles(t *testing.T) {
	if _, err := Refs(); err != nil {
		t.Fatal(contract.InWords(problemsOf(err)))
	}
	for _, name := range Names() {
		if _, err := Parameters(name); err != nil {
			t.Error(contract.InWords(problemsOf(err)))
		}
	}
}

func problemsOf(err error) []figure.Problem {
	var r *figure.Refusal
	if errors.As(err, &r) {
		return r.Problems
	}
	return []figure.Problem{{Say: err.Error()}}
}
