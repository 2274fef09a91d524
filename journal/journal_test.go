package journal

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"wormyard/qty"
)

func TestTheCanonicalFormReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, e := range drawEntries(t, 3) {
			body, err := Read(e.Kind, e.Raw)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(e.Body, body); d != "" {
				t.Fatal(d)
			}
			strict, ps := Decode(e.Kind, e.Raw)
			if len(ps) > 0 {
				t.Fatalf("%s: %v", e.Raw, ps)
			}
			if d := cmp.Diff(e.Body, strict); d != "" {
				t.Fatal(d)
			}
			wire, err := json.Marshal(e)
			if err != nil {
				t.Fatal(err)
			}
			again, ps := ReadEntry(wire)
			if len(ps) > 0 || !Same(&e, again) {
				t.Fatalf("%s: %v", wire, ps)
			}
			var content map[string]any
			if err := json.Unmarshal(e.AppendContent(nil), &content); err != nil {
				t.Fatalf("the content is not JSON: %v", err)
			}
		}
	})
}

func TestWhatCountsDoesNotDependOnArrival(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawEntries(t, rapid.IntRange(1, 12).Draw(t, "n"))
		want := Live(in)
		mixed := rapid.Permutation(append(in, in[:len(in)/2]...)).Draw(t, "arrival")
		got := Live(mixed)
		if len(got) != len(want) {
			t.Fatalf("%d count, then %d", len(want), len(got))
		}
		for i := range want {
			if got[i].ID != want[i].ID || i > 0 && !Before(got[i-1], got[i]) {
				t.Fatalf("place %d: %s, then %s", i, want[i].ID, got[i].ID)
			}
		}
		var s Strikes // one at a time, asked after each
		for i := range mixed {
			s.Add(&mixed[i])
			s.Struck(in[0].ID)
		}
		for _, e := range want {
			if s.Struck(e.ID) {
				t.Fatalf("%s counts and is struck", e.ID)
			}
		}
	})
}

func TestAStrikeOfAStrikeRevives(t *testing.T) {
	chain := make([]Entry, 5)
	for i := range chain {
		chain[i] = Entry{ID: testID(i), Kind: "strike", At: start, Body: &Strike{Why: "x"}}
		if i > 0 {
			chain[i].Strikes = testID(i - 1)
		}
	}
	chain[0].Kind, chain[0].Body = "water", &Water{Bins: []string{"A1"}, Kg: 5}
	for n := 1; n <= len(chain); n++ {
		live := len(Live(chain[:n])) == 1
		if want := n%2 == 1; live != want { // alone it counts; struck not; the strike struck, it counts again
			t.Fatalf("with %d strikes the entry counts: %v", n-1, live)
		}
	}
	ring := []Entry{{ID: testID(8), Kind: "water", Strikes: testID(9), At: start, Body: &Water{}}, {ID: testID(9), Kind: "water", Strikes: testID(8), At: start, Body: &Water{}}}
	if got := Live(ring); len(got) != 2 {
		t.Fatalf("of a ring %d count", len(got))
	}
}

// The chain is computed here a second time from its description alone:
// SHA-256 over the hash before, the time of taking and the lines of content.
func TestTheChainIsWhatItsDescriptionSays(t *testing.T) {
	e := Entry{ID: testID(1), Kind: "water", At: start, Recorded: start.Add(1500 * time.Millisecond), Who: "owner", Device: "desk", Body: &Water{Bins: []string{"A1"}, Kg: 9.5}, Confirmed: []string{"kg"}}
	if err := e.Seal(); err != nil {
		t.Fatal(err)
	}
	text := `{"id":"` + testID(1) + `","kind":"water","at":"2026-03-01T16:00:00.000Z","who":"owner","device":"desk","body":{"bins":["A1"],"kg":9.5},"confirmed":["kg"]}`
	if got := string(e.AppendContent(nil)); got != text {
		t.Fatalf("\n%s\n%s", got, text)
	}
	prev := Hash(sha256.Sum256([]byte("before")))
	h := sha256.New()
	h.Write(prev[:])
	fmt.Fprintf(h, "2026-03-01T16:00:01.500Z\n%s\n%s", text, text)
	if got := Link(prev, e.Recorded, &e, &e); fmt.Sprintf("%x", h.Sum(nil)) != got.String() {
		t.Fatal(got)
	}
}

func TestTimesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := time.UnixMilli(rapid.Int64Range(-62135596800000, 253402300799999).Draw(t, "ms")).UTC()
		got, err := ParseTime(string(AppendTime(nil, want)))
		if err != nil || !got.Equal(want) {
			t.Fatalf("%v %v %v", want, got, err)
		}
	})
}

// Every body type and its descriptor name the same keys.
func TestDescriptorsFitTheirBodies(t *testing.T) {
	for _, k := range Kinds() {
		full := map[string]any{}
		for _, f := range k.Fields {
			full[f.Key] = map[Type]any{Text: "x", Name: "x", Names: []any{"x"}, Number: 0.5, Whole: 1.0, Flag: true, Choice: "x", Choices: []any{"x"},
				Day: "2026-01-01", Slot: "x", Slots: []any{"x"}, Numbers: []any{1.0}, Sides: []any{[]any{"x"}}, Any: 1.0}[f.Type]
			if f.Type == Table {
				item := map[string]any{}
				for _, g := range f.Item {
					item[g.Key] = 1.0
					if g.Type == Name || g.Type == Text || g.Type == Day || g.Type == Choice {
						item[g.Key] = "x"
					}
					if g.Type == Names {
						item[g.Key] = []any{"x"}
					}
				}
				full[f.Key] = []any{item}
			}
			if f.Label == "" || f.Key == "" {
				t.Errorf("%s has a field without label", k.Name)
			}
			if f.Refused != nil && f.Doubtful != nil && (f.Doubtful.Low < f.Refused.Low || f.Doubtful.High > f.Refused.High) {
				t.Errorf("%s.%s: what is usual is wider than what is possible", k.Name, f.Key)
			}
			if f.Dim != nil {
				if _, ok := qty.Named(f.Unit); !ok && f.Unit != "fraction" {
					t.Errorf("%s.%s: unit %q", k.Name, f.Key, f.Unit)
				}
			}
		}
		raw, err := json.Marshal(full)
		if err != nil {
			t.Fatal(err)
		}
		body := k.New()
		dec := json.NewDecoder(strings.NewReader(string(raw)))
		dec.DisallowUnknownFields()
		if err := dec.Decode(body); err != nil { // a described key that the type lacks
			t.Errorf("%s: %v", k.Name, err)
		}
		back, _ := Encode(body)
		if got := keys(t, back); cmp.Diff(keys(t, raw), got) != "" {
			t.Errorf("%s: the type drops keys: %s", k.Name, cmp.Diff(keys(t, raw), got))
		}
		for _, g := range k.OneOf {
			for _, key := range g.Keys {
				if _, ok := k.Field(key); !ok {
					t.Errorf("%s: group of %q, which is no field", k.Name, key)
				}
			}
		}
		if k.Words == "" || k.Help == "" {
			t.Errorf("%s lacks words", k.Name)
		}
	}
}

func keys(t *testing.T, raw []byte) map[string]bool {
	var m map[string]any
	if err := json.Unmarshal(raw, &m); err != nil {
		t.Fatal(err)
	}
	out := map[string]bool{}
	for k := range m {
		out[k] = true
	}
	return out
}

func TestIDs(t *testing.T) {
	for s, want := range map[string]bool{
		"017f22e2-79b0-7cc3-98c4-dc0c0c07398f": true,  // RFC 9562, appendix A.6
		"919108f7-52d1-4320-9bac-f847db4148a8": false, // version 4, appendix A.3
		"017F22E2-79B0-7CC3-98C4-DC0C0C07398F": false, // upper case
		"017f22e2-79b0-7cc3-c8c4-dc0c0c07398f": false, // another variant
		"017f22e279b07cc398c4dc0c0c07398f":     false,
		"":                                     false,
	} {
		if IsID(s) != want {
			t.Errorf("%q: %v", s, !want)
		}
	}
}

func TestNotFiniteNumbersAreRefused(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1)} {
		e := &Entry{ID: testID(1), Kind: "water", At: start, Body: &Water{Bins: []string{"A1"}, Kg: qty.WaterKg(v)}}
		if Worst(Check(e, Known{})) != Refused {
			t.Errorf("%v was taken", v)
		}
		if e.Seal() == nil {
			t.Errorf("%v was sealed", v)
		}
	}
}
