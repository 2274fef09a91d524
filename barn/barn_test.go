package barn

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// two barns of two rows, four stacks, three high, named B1 to B48 as a crew
// walks; one bin stands on a staging spot.
func twoBarns() *Places {
	p := NewPlaces()
	n := 0
	for _, b := range []string{"North", "South"} {
		for r := 1; r <= 2; r++ {
			for s := 1; s <= 4; s++ {
				for l := 1; l <= 3; l++ {
					n++
					p.Put(fmt.Sprintf("B%d", n), Slot{Barn: b, Row: fmt.Sprint(r), Stack: s, Level: l})
				}
			}
		}
	}
	p.Put("C1", Slot{Spot: "staging"})
	return p
}

func TestSlot(t *testing.T) {
	for _, text := range []string{"North/3/4/2", "staging 2"} {
		if s, err := ParseSlot(text); err != nil || s.String() != text {
			t.Errorf("%q is read as %q (%v)", text, s, err)
		}
	}
	for _, text := range []string{"", "North/3", "North/3/4/0", "North/3/x/1", "/3/4/1", "North//4/1", "a/b/1/1/1"} {
		if s, err := ParseSlot(text); err == nil {
			t.Errorf("%q is taken as %v", text, s)
		}
	}
}

func TestCalled(t *testing.T) {
	p := twoBarns()
	for bin, want := range map[string]string{"B1": "1-1 low", "B2": "1-1 mid", "B3": "1-1 top", "C1": "staging"} {
		s, _ := p.Slot(bin)
		if got := p.Called(s); got != want {
			t.Errorf("%s is called %q, want %q", bin, got, want)
		}
	}
	p.Take("B3")
	if s, _ := p.Slot("B2"); p.Called(s) != "1-1 top" {
		t.Errorf("the bin that is now uppermost is called %q", p.Called(s))
	}
	p.Take("B2")
	if s, _ := p.Slot("B1"); p.Called(s) != "1-1" {
		t.Errorf("a bin alone is called %q", p.Called(s))
	}
	if got := (Slot{Barn: "N", Row: "1", Stack: 2, Level: 3}).Called(4); got != "1-2 3rd" {
		t.Errorf("the third of four is called %q", got)
	}
}

func TestStack(t *testing.T) {
	p := twoBarns()
	if got := p.Above("B1"); !slices.Equal(got, []string{"B2", "B3"}) {
		t.Errorf("above B1: %v", got)
	}
	if got := p.Below("B3"); !slices.Equal(got, []string{"B2", "B1"}) {
		t.Errorf("below B3: %v", got)
	}
	p.Put("B3", Slot{Barn: "North", Row: "1", Stack: 2, Level: 1})
	if c := p.Crowded(); len(c) != 1 || !slices.Equal(c[Slot{Barn: "North", Row: "1", Stack: 2, Level: 1}], []string{"B3", "B4"}) {
		t.Errorf("crowded: %v", c)
	}
	if got := p.Above("C1"); got != nil {
		t.Errorf("above a bin on a spot: %v", got)
	}
}

func TestSelect(t *testing.T) {
	p := twoBarns()
	names := func(from, to int) string {
		var out []string
		for i := from; i <= to; i++ {
			out = append(out, fmt.Sprintf("B%d", i))
		}
		return strings.Join(out, " ")
	}
	for _, c := range []struct{ text, want string }{
		{"B12, B14-B20", "B12 " + names(14, 20)},
		{"b12 and b14-20", "B12 " + names(14, 20)},
		{"B20–B14", names(14, 20)},
		{"row 1 of North", names(1, 12)},
		{"Row 2 in South", names(37, 48)},
		{"row 1-2 of South", names(25, 48)},
		{"barn north", names(1, 24)},
		{"North/1/2/3", "B6"},
		{"row 1 of North top", "B3 B6 B9 B12"},
		{"row 1 of South except B26-B36", "B25"},
		{"row 1 of South except B26, row 1 of South mid", "B25 B27 B28 B30 B31 B33 B34 B36"},
		{"C1", "C1"},
		{"all except barn North, barn South", "C1"},
	} {
		got, wrong := p.Select(c.text)
		if len(wrong) > 0 || strings.Join(got, " ") != c.want {
			t.Errorf("%q: %v %v, want %s", c.text, got, wrong, c.want)
		}
	}
	one := NewPlaces()
	for s := 1; s <= 4; s++ {
		for l := 1; l <= 3; l++ {
			one.Put(fmt.Sprintf("B%d", (s-1)*3+l), Slot{Barn: "North", Row: "3", Stack: s, Level: l})
		}
	}
	for _, c := range []struct{ text, want string }{
		{"row 3 except 3-4-2", "B1 B2 B3 B4 B5 B6 B7 B8 B9 B10 B12"},
		{"row 3 except 3-4 top", "B1 B2 B3 B4 B5 B6 B7 B8 B9 B10 B11"},
		{"3-2", "B4 B5 B6"},
		{"stack 3-2 low", "B4"},
		{"3-2 mid", "B5"},
	} {
		got, wrong := one.Select(c.text)
		if len(wrong) > 0 || strings.Join(got, " ") != c.want {
			t.Errorf("%q: %v %v, want %s", c.text, got, wrong, c.want)
		}
	}
	for text, want := range map[string]string{
		"row 1":            "more than one barn",
		"1-2 top":          "more than one barn",
		"B77, B99":         "B77",
		"row 9 of North":   `called "row 9 of North"`,
		"":                 "No bin",
		"B1 except B1":     "No bin",
		"B1 B99":           `called "B99"`,
		"B1 colour blue":   `called "B1 colour blue"`,
		"row 1 of Noord":   "called",
		"B12, colour blue": "colour blue",
	} {
		got, wrong := p.Select(text)
		if len(wrong) == 0 {
			t.Errorf("%q is taken as %v", text, got)
			continue
		}
		if !strings.Contains(wrong[0].Say, want) || wrong[0].Try == "" {
			t.Errorf("%q: %q %q", text, wrong[0].Say, wrong[0].Try)
		}
	}
	if _, wrong := p.Select("B77, B99"); len(wrong) != 2 {
		t.Errorf("%d of two wrong names are told", len(wrong))
	}
	if near := p.Nearest("B1O"); near[0] != "B1" && near[0] != "B10" {
		t.Errorf("nearest to B1O: %v", near)
	}
}

// TestOneWritten holds all ways in which a crew writes down one bin or a run, on a
// farm whose rows are 3 and A, with a stack of four and bins of two kinds of names.
func TestOneWritten(t *testing.T) {
	p := NewPlaces()
	for s := 1; s <= 4; s++ {
		for l := 1; l <= 3; l++ {
			p.Put(fmt.Sprintf("B%d", (s-1)*3+l), Slot{Barn: "North", Row: "3", Stack: s, Level: l})
		}
	}
	for l := 1; l <= 4; l++ {
		p.Put(fmt.Sprintf("B%d", 20+l), Slot{Barn: "North", Row: "A", Stack: 4, Level: l})
	}
	p.Put("B25", Slot{Barn: "North", Row: "A", Stack: 5, Level: 1})
	p.Put("A4", Slot{Barn: "North", Row: "9", Stack: 1, Level: 1})
	p.Put("A040", Slot{Barn: "North", Row: "9", Stack: 2, Level: 1})
	p.Put("Nursery 2", Slot{Spot: "staging 1"})
	for text, want := range map[string]string{
		"B12": "B12", "b12": "B12", " b  12 ": "B12", "B-12": "B12", "B012": "B12", "bin 12": "B12", "Bin B12": "B12", "12": "B12", "012": "B12", "#12": "B12", "caja 12": "B12",
		"3-4-2": "B11", "3/4/2": "B11", "3 - 4 - 2": "B11", "3-4 mid": "B11", "3-4 MIDDLE": "B11", "3-4-mid": "B11", "3-4 top": "B12", "3-4  Top": "B12", "3-4 arriba": "B12", "3-4 low": "B10", "3-4 bottom": "B10", "North/3/4/2": "B11", "north 3-4 top": "B12",
		"A-4 2nd": "B22", "a-4 3rd": "B23", "a4 top": "B24", "A-5": "B25", "A4": "A4", "a4": "A4", "a40": "A040", "40": "A040", "nursery 2": "Nursery 2", "NURSERY-2": "Nursery 2",
		"12-14": "", "3-4": "", "2": "", "A-4": "", "77": "", "B1O": "", "": "", "top": "", "🪱": "",
	} {
		got, e := p.One(text)
		if got != want || (e == nil) != (want != "") {
			t.Errorf("%q is %q (%v), want %q", text, got, e, want)
		}
		if e != nil && (e.Say == "" || e.Try == "") {
			t.Errorf("%q: %+v", text, e)
		}
	}
	for text, want := range map[string]string{
		"7-9": "B7 B8 B9", "bins 7 to 9": "B7 B8 B9", "B7..B9": "B7 B8 B9", "b 7 - b 9": "B7 B8 B9", "B9-7": "B7 B8 B9", "bin 7 to bin 9": "B7 B8 B9", "cajas 7 a 9": "B7 B8 B9",
		"3-4": "B10 B11 B12", "bins 3-4": "B3 B4", "3-1 top 3-2 low b9": "B3 B4 B9", "7 8 9": "B7 B8 B9", "B7 8, 9": "B7 B8 B9", "3-4 12": "B10 B11 B12", "row A": "B21 B22 B23 B24 B25",
	} {
		if got, wrong := p.Select(text); strings.Join(got, " ") != want {
			t.Errorf("%q is %v (%v), want %s", text, got, wrong, want)
		}
	}
	for text, want := range map[string]string{
		"2": `"2" can mean B2, Nursery 2.`, "4": `"4" can mean A4, B4.`, "A-4": `"A-4" can mean A4, B21, B22, B23, B24.`, "3-4": "is 3 bins: B10, B11, B12.", "bins 5-40": "No bin is called",
	} {
		if _, e := p.One(text); e == nil || !strings.Contains(e.Say, want) {
			t.Errorf("%q: %v, want %s", text, e, want)
		}
	}
	for text, want := range map[string]string{"77": "B7", "3-4 tip": "3-4 top", "B1O": "B1", "nursry 2": "Nursery 2"} {
		if _, e := p.One(text); e == nil || !strings.Contains(e.Try, want) {
			t.Errorf("%q: %+v, want %s", text, e, want)
		}
	}
	if got, wrong := p.SelectFirst("4, 2, 3-4", []string{"B4", "B2", "B12"}); len(wrong) > 0 || strings.Join(got, " ") != "B2 B4 B12" {
		t.Errorf("on a line: %v %v", got, wrong)
	}
	keys := p.Keys()
	for key, want := range map[string]string{"b 12": "B12", "12": "B12", "3 4 3": "B12", "3 4 top": "B12", "north 3 4 top": "B12", "a 4 2 nd": "B22", "nursery 2": "Nursery 2", "a 40": "A040", "a 4": "", "2": "", "3 4": "", "4": ""} {
		if keys[key] != want {
			t.Errorf("the key %q opens %q, want %q", key, keys[key], want)
		}
	}
	p.Put("B12", Slot{Barn: "North", Row: "3", Stack: 3, Level: 4})
	if got, _ := p.One("3-3 top"); got != "B12" {
		t.Errorf("after a move 3-3 top is %q", got)
	}
	if _, e := NewNames([]string{"A1", "A2", "B1", "B2"}).Read("1-2"); e == nil || !strings.Contains(e.Say, "can mean A1-A2, B1-B2") {
		t.Errorf("a run of two kinds: %v", e)
	}
	names := NewNames([]string{"B1", "B2", "B12", "B13", "B14"})
	for text, want := range map[string]string{"12": "B12", "b 12": "B12", "12-14": "B12 B13 B14", "3-4 top": "", "row 3": ""} {
		if got, _ := names.Read(text); strings.Join(got, " ") != want {
			t.Errorf("by names alone %q is %v, want %s", text, got, want)
		}
	}
}

func TestSpoken(t *testing.T) {
	for want, bins := range map[string][]string{
		"B12, B14-B20": {"B20", "B14", "B15", "B16", "B17", "B18", "B19", "B12"},
		"A1, A2, B3":   {"B3", "A1", "A2"},
	} {
		if got := Spoken(bins); got != want {
			t.Errorf("%v is spoken %q, want %q", bins, got, want)
		}
	}
}

// TestSpokenSelect holds that what is spoken selects the bins it was made of.
func TestSpokenSelect(t *testing.T) {
	p := twoBarns()
	all := p.Bins()
	rapid.Check(t, func(t *rapid.T) {
		pick := rapid.SliceOfNDistinct(rapid.SampledFrom(all), 1, 30, rapid.ID[string]).Draw(t, "bins")
		got, wrong := p.Select(Spoken(pick))
		slices.SortFunc(pick, Natural)
		slices.SortFunc(got, Natural)
		if len(wrong) > 0 || !slices.Equal(got, pick) {
			t.Fatalf("%q selects %v, want %v (%v)", Spoken(pick), got, pick, wrong)
		}
	})
}

// TestNatural holds that the order is an order, and counts.
func TestNatural(t *testing.T) {
	if Natural("B2", "B12") >= 0 || Natural("b3", "B12") >= 0 || Natural("Row 10", "Row 9") <= 0 {
		t.Error("names are not ordered as people count")
	}
	name := rapid.StringMatching(`[ABab]?[0-9]{0,3}[a-c]?[0-9]?`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := name.Draw(t, "a"), name.Draw(t, "b"), name.Draw(t, "c")
		if Natural(a, b) != -Natural(b, a) || (Natural(a, b) == 0) != (a == b) {
			t.Fatalf("%q and %q: %d and %d", a, b, Natural(a, b), Natural(b, a))
		}
		if Natural(a, b) <= 0 && Natural(b, c) <= 0 && Natural(a, c) > 0 {
			t.Fatalf("%q, %q, %q are in a ring", a, b, c)
		}
	})
}

// TestPlaces holds that bins put and taken stand where they were put last.
func TestPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, want := NewPlaces(), map[string]Slot{}
		for range rapid.IntRange(1, 40).Draw(t, "moves") {
			b := rapid.SampledFrom([]string{"B1", "B2", "B3", "B4"}).Draw(t, "bin")
			if rapid.IntRange(0, 4).Draw(t, "take") == 0 {
				p.Take(b)
				delete(want, b)
				continue
			}
			s := Slot{Barn: "N", Row: "1", Stack: rapid.IntRange(1, 2).Draw(t, "stack"), Level: rapid.IntRange(1, 3).Draw(t, "level")}
			p.Put(b, s)
			want[b] = s
		}
		if len(p.Bins()) != len(want) {
			t.Fatalf("%d bins stand, want %d", len(p.Bins()), len(want))
		}
		for b, s := range want {
			if got, _ := p.Slot(b); got != s || !slices.Contains(p.Stack(s), b) {
				t.Fatalf("%s stands in %v, want %v; stack %v", b, got, s, p.Stack(s))
			}
			for _, o := range p.Above(b) {
				if want[o].Level <= s.Level || want[o].Stack != s.Stack {
					t.Fatalf("%s is not above %s", o, b)
				}
			}
		}
	})
}
