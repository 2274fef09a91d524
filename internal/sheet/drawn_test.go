package sheet

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"wormyard/internal/ids"
	"wormyard/journal"
)

// drawn makes 40 entries of every kind at random (seed 3), every field filled
// with a chance of two in three, texts with all that is hard on a table.
func drawn(t *testing.T) []journal.Entry {
	t.Helper()
	r := rand.New(rand.NewPCG(3, 3))
	words := []string{"a", "north 3", "A1", "=1+1", "'x", "-5", "+3", "@home", "crumb, dark", `say "so"`, "two\nlines", "ümlaut ½", "5 gal", "1/2/2026", "true", "[1]", "x;y", "0012", "bin 7", "A1 to A3"}
	names := []string{"A1", "north 3", "B 12", "C3", "7", "bin 7", "A1 to A3", "x.y", "dairy solids"}
	pick := func(l []string) string { return l[r.IntN(len(l))] }
	var value func(f journal.Field) any
	fields := func(list []journal.Field) map[string]any {
		m := map[string]any{}
		for _, f := range list {
			if f.Required || r.IntN(3) > 0 {
				m[f.Key] = value(f)
			}
		}
		return m
	}
	value = func(f journal.Field) any {
		switch f.Type {
		case journal.Number:
			low, high := 0.0, 1000.0
			if f.Doubtful != nil {
				low, high = f.Doubtful.Low, f.Doubtful.High
			} else if f.Refused != nil {
				low, high = f.Refused.Low, min(f.Refused.High, 1e6)
			}
			return low + (high-low)*(0.001+0.998*r.Float64())
		case journal.Whole:
			return 1 + r.IntN(4)
		case journal.Numbers:
			return []any{22.5, 1 + r.Float64()}
		case journal.Flag:
			return r.IntN(2) == 0
		case journal.Choice:
			return pick(f.Choices)
		case journal.Choices:
			return []any{f.Choices[0], f.Choices[1]}
		case journal.Names:
			return []any{names[r.IntN(4)], names[4+r.IntN(5)]}[:1+r.IntN(2)]
		case journal.Name:
			if f.Of == "place" {
				return "barn West"
			}
			if f.Of == "subject" {
				return "pile " + pick(names)
			}
			return pick(names)
		case journal.Sides:
			return []any{[]any{"A1", "north 3"}, []any{"B 12"}}
		case journal.Slot:
			return "West/1/2/3"
		case journal.Slots:
			return []any{"North barn/1/2/3", "West/1/1/1"}[:1+r.IntN(2)]
		case journal.Day:
			return fmt.Sprintf("2026-%02d-%02d", 1+r.IntN(12), 1+r.IntN(28))
		case journal.Table:
			return []any{fields(f.Item), fields(f.Item)}[:1+r.IntN(2)]
		case journal.Any:
			return []any{map[string]any{"b": 1.5, "a": []any{"x", true}}, "Heron Slough", "42", 42.0, pick(words)}[r.IntN(5)]
		}
		return strings.TrimSpace(pick(words))
	}
	var out []journal.Entry
	for _, k := range journal.Kinds() {
		for range 40 {
			raw, err := json.Marshal(fields(k.Fields))
			if err != nil {
				t.Fatal(err)
			}
			body, ps := journal.Decode(k.Name, raw)
			if len(ps) > 0 {
				if k.Name == "assay" { // a unit at random does not fit
					continue
				}
				t.Fatalf("%s %s: %+v", k.Name, raw, ps)
			}
			n := len(out)
			e := journal.Entry{Kind: k.Name, Body: body, At: now.Add(time.Duration(n) * 7919 * time.Millisecond), Who: pick(words[:13]), Device: "phone"}
			e.ID = ids.FromContent(e.At, nil, n)
			if n > 0 && (k.Name == "strike" || r.IntN(9) == 0) {
				e.Strikes = out[r.IntN(n)].ID
			}
			if r.IntN(9) == 0 {
				e.Confirmed, e.Photo = []string{"bins[0]", "depth_m"}, "photo 1.jpg"
			}
			e.Who = strings.ReplaceAll(e.Who, "\n", " ")
			out = append(out, e)
		}
	}
	return out
}
