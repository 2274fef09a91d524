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
		"B1 B2":            `called "B1 B2"`,
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
