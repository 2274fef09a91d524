package journal

import (
	"encoding/json"
	"fmt"
	"strconv"
	"time"

	"pgregory.net/rapid"
)

var start = time.Date(2026, 3, 1, 16, 0, 0, 0, time.UTC)

func ptr[T any](v T) *T { return &v }

// testID gives the n-th id of a test: a UUIDv7 with its time at the start.
func testID(n int) string { return fmt.Sprintf("019caa20-c400-7000-8000-%012x", n) }

// drawBody makes any body that a kind's descriptor allows: every required field,
// some others, numbers within the doubtful limits.
func drawBody(t *rapid.T, k Kind) any {
	m := drawFields(t, k.Fields)
	for _, g := range k.OneOf {
		given := 0
		for _, key := range g.Keys {
			if _, ok := m[key]; ok {
				if given++; given > 1 && !g.Many {
					delete(m, key)
				}
			}
		}
		if given == 0 && !g.None {
			f, _ := k.Field(g.Keys[rapid.IntRange(0, len(g.Keys)-1).Draw(t, "one")])
			m[f.Key] = drawValue(t, f)
		}
	}
	if k.Name == "assay" {
		m["subject"], m["analyte"], m["value"] = "pile rabbit", "water_frac_wet", rapid.Float64Range(0.05, 0.95).Draw(t, "value")
		delete(m, "unit")
	}
	if lines, there := m["lines"].([]any); k.Name == "order" && there { // amounts and prices are with each product
		for _, key := range []string{"number", "volume_m3", "mass_kg", "price"} {
			delete(m, key)
		}
		for _, x := range lines {
			line := x.(map[string]any)
			if line["number"] != nil {
				delete(line, "volume_m3")
			}
			if line["number"] != nil || line["volume_m3"] != nil {
				delete(line, "mass_kg")
			}
		}
	}
	raw, err := json.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	body, ps := Decode(k.Name, raw)
	if len(ps) > 0 {
		t.Fatalf("%s %s: %v", k.Name, raw, ps)
	}
	return body
}

func drawFields(t *rapid.T, fields []Field) map[string]any {
	m := map[string]any{}
	for _, f := range fields {
		if f.Required || rapid.Bool().Draw(t, f.Key) {
			m[f.Key] = drawValue(t, f)
		}
	}
	return m
}

func drawValue(t *rapid.T, f Field) any {
	name := rapid.StringMatching(`[A-Z][a-z]{0,3}[ -]?[0-9]{1,3}`)
	switch f.Type {
	case Number, Numbers:
		low, high := -1e6, 1e6
		for _, l := range []*Limits{f.Refused, f.Doubtful} {
			if l != nil {
				low, high = max(low, l.Low), min(high, l.High)
			}
		}
		if f.Refused != nil && f.Refused.Open && low == f.Refused.Low {
			low += (high - low) / 1000
		}
		v := rapid.Float64Range(low, high).Draw(t, f.Key)
		if f.Type == Numbers {
			return []any{v, v}
		}
		return v
	case Whole:
		return rapid.IntRange(1, 5).Draw(t, f.Key)
	case Flag:
		return rapid.Bool().Draw(t, f.Key)
	case Choice:
		return rapid.SampledFrom(f.Choices).Draw(t, f.Key)
	case Choices:
		return rapid.SliceOfNDistinct(rapid.SampledFrom(f.Choices), 1, 3, rapid.ID[string]).Draw(t, f.Key)
	case Names:
		return rapid.SliceOfNDistinct(name, 1, 4, rapid.ID[string]).Draw(t, f.Key)
	case Slots:
		return []any{"West/1/2/" + strconv.Itoa(rapid.IntRange(1, 4).Draw(t, f.Key))}
	case Slot:
		return "West/1/2/" + strconv.Itoa(rapid.IntRange(1, 4).Draw(t, f.Key))
	case Sides:
		return []any{[]any{"A1", "A2"}, []any{"B1"}}
	case Day:
		return start.AddDate(0, 0, rapid.IntRange(-900, 900).Draw(t, f.Key)).Format(DayLayout)
	case Table:
		return []any{drawFields(t, f.Item)}
	case Any:
		return map[string]any{"b": rapid.Float64Range(-5, 5).Draw(t, "b"), "a": []any{rapid.String().Draw(t, "a"), nil, true}}
	case Name:
		if f.Of == "place" {
			return "outside"
		}
		return name.Draw(t, f.Key)
	}
	return rapid.StringMatching(`[a-zé "',;<&>=+-]{0,12}[a-z0-9]`).Draw(t, f.Key)
}

// drawEntries makes n entries of any kind, some striking others.
func drawEntries(t *rapid.T, n int) []Entry {
	out := make([]Entry, n)
	for i := range out {
		k := rapid.SampledFrom(kinds).Draw(t, "kind")
		e := Entry{ID: testID(i), Kind: k.Name, At: start.Add(time.Duration(rapid.IntRange(0, 5).Draw(t, "at")) * time.Hour), Who: "crew 1", Device: "phone"}
		if i > 0 && (k.Name == "strike" || rapid.IntRange(0, 3).Draw(t, "strikes") == 0) {
			e.Strikes = testID(rapid.IntRange(0, n-1).Draw(t, "target"))
		}
		e.Body = drawBody(t, k)
		if err := e.Seal(); err != nil {
			t.Fatal(err)
		}
		out[i] = e
	}
	return out
}
