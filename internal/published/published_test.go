package published

import (
	"errors"
	"strings"
	"testing"

	"wormyard/figure"
)

const sample = `{"source":{"title":"A table","how":"algebra"},
 "checks":[{"id":"double","what":"twice","role":"check","tolerance":{"rel":0.01,"why":"printed to two figures"},
  "rows":[{"in":{"x":1},"out":{"y":2}},{"in":{"x":2},"out":{"list[1].z":4.02}},{"in":{"x":3},"out":{"word":"odd"}},
          {"in":{"x":5},"out":{"y":10.1},"tolerance":{"abs":0.2,"why":"read by eye"}}]}],
 "known_gap":[{"check":"double","row":{"in":{"x":4},"out":{"y":9}},"differs":"a slip","tried":"nothing","next":"nothing"}]}`

func double(in map[string]any) (map[string]any, error) {
	x, _ := in["x"].(float64)
	word := "even"
	if int(x)%2 == 1 {
		word = "odd"
	}
	return map[string]any{"y": 2 * x, "word": word, "list": []any{nil, map[string]any{"z": 2 * x}}}, nil
}

func TestMeasure(t *testing.T) {
	f, err := decode("sample", []byte(sample))
	if err != nil {
		t.Fatal(err)
	}
	r := Measure(f.Checks[0], double)
	if len(r.Misses) > 0 || r.Rows != 4 || r.Values != 4 {
		t.Errorf("%+v", r)
	}
	if r.WorstAbs < 0.0999 || r.WorstAbs > 0.1001 {
		t.Errorf("largest difference %v, want 0.1", r.WorstAbs)
	}
	wrong := Measure(f.Checks[0], func(in map[string]any) (map[string]any, error) {
		out, err := double(in)
		out["y"], out["word"] = 7.0, "none"
		delete(out, "list")
		return out, err
	})
	if len(wrong.Misses) != 4 {
		t.Errorf("of four wrong rows %d were seen: %v", len(wrong.Misses), wrong.Misses)
	}
	if gap := MeasureGap(f.Checks[0], f.Gaps[0], double); len(gap.Misses) != 1 {
		t.Errorf("a gap that is open is not seen: %+v", gap)
	}
}

// A row that must be refused is met by a refusal that says its words and by
// nothing else.
func TestRefusedRows(t *testing.T) {
	text := `{"source":{"title":"A table","how":"algebra"},"checks":[{"id":"c","what":"w","role":"check","tolerance":{"why":"words"},
	 "rows":[{"in":{},"out":{"refused":["parts[1]","too much"]}}]}]}`
	f, err := decode("sample", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		err    error
		misses int
	}{
		"its words":       {figure.Refuse("parts[1]", "This is too much.", "Take less."), 0},
		"other words":     {figure.Refuse("parts[0]", "This is too little.", "Take more."), 2},
		"another field":   {figure.Refuse("parts[0]", "This is too much.", "Take less."), 1},
		"another error":   {errors.New("parts[1] too much"), 1},
		"no error at all": {nil, 1},
	} {
		r := Measure(f.Checks[0], func(map[string]any) (map[string]any, error) { return map[string]any{"y": 1.0}, c.err })
		if len(r.Misses) != c.misses {
			t.Errorf("%s: %d misses, want %d: %q", name, len(r.Misses), c.misses, r.Misses)
		}
	}
	for _, out := range []string{`{"refused":true}`, `{"refused":""}`, `{"refused":"no","y":1}`} {
		if _, err := decode("sample", []byte(strings.Replace(text, `{"refused":["parts[1]","too much"]}`, out, 1))); err == nil || !strings.Contains(err.Error(), "words it must say") {
			t.Errorf("%s is taken: %v", out, err)
		}
	}
}

// recorder is a test that only notes whether it failed.
type recorder struct {
	testing.TB
	said []string
}

func (r *recorder) Helper()                           {}
func (r *recorder) Logf(string, ...any)               {}
func (r *recorder) Errorf(format string, args ...any) { r.said = append(r.said, format) }

func TestAGapThatClosedIsToldApart(t *testing.T) {
	f, err := decode("sample", []byte(strings.Replace(sample, `"y":9`, `"y":8`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	var r recorder
	RunAny(&r, f, "double", double)
	if len(r.said) != 1 || !strings.Contains(r.said[0], "met now") {
		t.Errorf("%q", r.said)
	}
	RunAny(&r, f, "treble", double)
	if len(r.said) != 2 {
		t.Error("a check that is not in the file passes")
	}
}

func TestReadRefuses(t *testing.T) {
	for said, text := range map[string]string{
		"no reason":   strings.Replace(sample, "printed to two figures", "", 1),
		"Neither":     strings.Replace(sample, `"what":"twice",`, "", 1),
		"is not in":   strings.Replace(sample, `"check":"double"`, `"check":"treble"`, 1),
		"words known": strings.Replace(sample, `"how":"algebra"`, `"how":"guess"`, 1),
		"Nothing is":  strings.Replace(sample, `"out":{"y":2}`, `"out":{}`, 1),
	} {
		if _, err := decode("sample", []byte(text)); err == nil || !strings.Contains(err.Error(), said) {
			t.Errorf("%v, want %q", err, said)
		}
	}
}
