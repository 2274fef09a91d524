package nature_test

import (
	"encoding/json"
	"math"
	"reflect"
	"regexp"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/nature"
)

func figures(t *testing.T) []figure.Figure {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	return n.Figures()
}

var nounThing = regexp.MustCompile(`^[a-z]+\.[a-z_]+$`)

// Every figure says what it is, can be described by a schema, and has a name of
// its own.
func TestFiguresAreDescribed(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range figures(t) {
		if !nounThing.MatchString(f.Name) || seen[f.Name] {
			t.Errorf("name %q is not noun.thing, or stands twice", f.Name)
		}
		seen[f.Name] = true
		for what, s := range map[string]string{"title": f.Title, "equation": f.Equation, "formula": f.Formula, "source": f.Source} {
			if s == "" {
				t.Errorf("%s has no %s", f.Name, what)
			}
		}
		if len(contract.Keys(f.In())) == 0 || len(contract.Keys(f.Out())) == 0 {
			t.Errorf("%s has no inputs or no outputs", f.Name)
		}
		if !json.Valid(contract.Schema(f.Name, f.In())) {
			t.Errorf("%s: its schema cannot be read", f.Name)
		}
	}
}

// Whatever plain numbers within their stated ranges are given, a figure answers
// or refuses in words; it neither panics nor prints what is no number.
func TestFiguresAnswerOrRefuse(t *testing.T) {
	for _, f := range figures(t) {
		t.Run(f.Name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				in := f.In()
				fillAny(t, reflect.ValueOf(in).Elem())
				out, _, err := f.Run(in)
				if err != nil {
					if _, ok := err.(*figure.Refusal); !ok {
						t.Fatalf("%+v: %v", in, err)
					}
					return
				}
				if _, err := json.Marshal(out); err != nil {
					t.Fatalf("%+v gives %+v: %v", in, out, err)
				}
			})
		})
	}
}

// fillAny draws plain number fields within their low and high tags.
func fillAny(t *rapid.T, v reflect.Value) {
	for i := range v.NumField() {
		f, field := v.Type().Field(i), v.Field(i)
		if !f.IsExported() && !f.Anonymous {
			continue
		}
		low, high := limitTag(f, "low", -100), limitTag(f, "high", 1000)
		switch {
		case field.Kind() == reflect.Struct:
			fillAny(t, field)
		case field.Kind() == reflect.Float64:
			field.SetFloat(between(t, f.Name, low, high))
		case field.Kind() == reflect.Pointer && field.Type().Elem().Kind() == reflect.Float64 && rapid.Bool().Draw(t, f.Name+" given"):
			x := reflect.New(field.Type().Elem())
			x.Elem().SetFloat(between(t, f.Name, low, high))
			field.Set(x)
		case field.Kind() == reflect.String && f.Tag.Get("choice") != "":
			field.SetString(rapid.SampledFrom(regexp.MustCompile(`,\s*`).Split(f.Tag.Get("choice"), -1)).Draw(t, f.Name))
		}
	}
}

// between draws one of a thousand and one steps from low to high, both ends
// among them.
func between(t *rapid.T, name string, low, high float64) float64 {
	return low + (math.Max(low, high)-low)*float64(rapid.IntRange(0, 1000).Draw(t, name))/1000
}

func limitTag(f reflect.StructField, key string, otherwise float64) float64 {
	if x, err := strconv.ParseFloat(f.Tag.Get(key), 64); err == nil {
		return x
	}
	return otherwise
}
