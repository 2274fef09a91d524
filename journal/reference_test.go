package journal

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"
)

// The fields of each kind say of what they hold names; References must tell every
// one of them, or an entry about a bin is told neither on its page nor when its
// name is wrong.
func TestEveryNameIsAReference(t *testing.T) {
	n := 0
	for _, k := range kinds {
		m, want := nameAll(k.Fields, &n)
		switch k.Name { // what they are about says what it names
		case "assay":
			m["subject"], want = "bin S1", []string{"bin S1"}
		case "site":
			m["place"], want = "barn S1", []string{"barn S1"}
		}
		raw, err := json.Marshal(m)
		if err != nil {
			t.Fatal(err)
		}
		body := k.New()
		if err := json.Unmarshal(raw, body); err != nil {
			t.Fatalf("%s: %v", k.Name, err)
		}
		var got []string
		for _, r := range References(&Entry{Kind: k.Name, Body: body}) {
			got = append(got, r.Of+" "+r.Name)
		}
		slices.Sort(want)
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%s names %v, and References tells %v", k.Name, want, got)
		}
	}
	if n < 50 {
		t.Errorf("only %d names in all kinds", n)
	}
}

// nameAll fills the fields that hold names, each with one of its own.
func nameAll(fields []Field, n *int) (map[string]any, []string) {
	m, names := map[string]any{}, []string{}
	one := func(f Field) string {
		*n++
		name := fmt.Sprint("N", *n)
		names = append(names, f.Of+" "+name)
		return name
	}
	for _, f := range fields {
		if f.Type == Names && f.Of == "" { // ids of entries, which are no names of things
			continue
		}
		switch f.Type {
		case Name:
			m[f.Key] = one(f)
		case Names:
			m[f.Key] = []string{one(f), one(f)}
		case Sides:
			m[f.Key] = [][]string{{one(f)}, {one(f)}}
		case Table:
			row, more := nameAll(f.Item, n)
			if len(more) > 0 {
				m[f.Key], names = []any{row}, append(names, more...)
			}
		}
	}
	return m, names
}
