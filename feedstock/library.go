package feedstock

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Library is the list of known materials, found by name.
type Library struct{ materials []Material }

// NewLibrary gives a library of the materials in the order given. Two materials
// that answer to one name, a range out of order and a property without a claim
// are told all at once in the error.
func NewLibrary(materials []Material) (*Library, error) {
	var wrong []error
	owner := map[string]string{}
	for _, m := range materials {
		for _, n := range append([]string{m.Name}, m.Also...) {
			key := plain(n)
			if key == "" {
				wrong = append(wrong, fmt.Errorf("a material has an empty name beside %q", m.Name))
				continue
			}
			if other, taken := owner[key]; taken {
				wrong = append(wrong, fmt.Errorf("%q is a name of both %q and %q", n, other, m.Name))
			}
			owner[key] = m.Name
		}
		for _, p := range m.properties() {
			if e := p.value.Estimate; p.value.Has() && !(e.Low <= e.Best && e.Best <= e.High) {
				wrong = append(wrong, fmt.Errorf("%s of %s: low %g, typical %g and high %g are out of order", p.key, m.Name, e.Low, e.Best, e.High))
			}
			if p.value.Has() && len(p.value.Claims) == 0 {
				wrong = append(wrong, fmt.Errorf("%s of %s has no source", p.key, m.Name))
			}
		}
	}
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	return &Library{slices.Clone(materials)}, nil
}

// Materials lists the library in its own order.
func (l *Library) Materials() []Material { return slices.Clone(l.materials) }

// Blank gives a material of one's own, for Override: nothing is known of it but
// how volatile matter divides when nothing is known, taken from the library's
// material "unknown material" when there is one.
func (l *Library) Blank(name string) Material {
	m := Material{Name: name, Group: "other"}
	for _, o := range l.materials {
		if o.Name == "unknown material" {
			m.Quick, m.Slow, m.Woody = o.Quick, o.Slow, o.Woody
		}
	}
	return m
}

// Names lists the names in the library's order.
func (l *Library) Names() []string {
	out := make([]string, len(l.materials))
	for i, m := range l.materials {
		out[i] = m.Name
	}
	return out
}

// NameError says that a name is in no material or in more than one.
type NameError struct {
	Typed   string
	Several bool     // it fits more than one material
	Nearest []string // the materials it may mean
}

// Say tells what is wrong, in a sentence.
func (e *NameError) Say() string {
	if e.Several {
		return fmt.Sprintf("%q fits more than one material.", e.Typed)
	}
	if strings.TrimSpace(e.Typed) == "" {
		return "No material is named."
	}
	return fmt.Sprintf("%q is not a material in the library.", e.Typed)
}

// Try tells what to do, in a sentence.
func (e *NameError) Try() string {
	if e.Several {
		return "Type more of the name: " + either(e.Nearest) + "."
	}
	return "The nearest names are " + list(e.Nearest, "and") + "."
}

func (e *NameError) Error() string { return e.Say() + " " + e.Try() }

func either(names []string) string { return list(names, "or") }

func list(names []string, last string) string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = fmt.Sprintf("%q", n)
	}
	if len(quoted) < 2 {
		return strings.Join(quoted, "")
	}
	return strings.Join(quoted[:len(quoted)-1], ", ") + " " + last + " " + quoted[len(quoted)-1]
}

// Find gives the material of that name, or the only one whose name or other
// name holds what was typed, as a run of words or as words in any order. A name
// that fits none or several gives a *NameError with the nearest names.
func (l *Library) Find(name string) (Material, error) {
	typed := plain(name)
	for i := range l.materials {
		if plain(l.materials[i].Name) == typed && typed != "" {
			return l.materials[i], nil
		}
	}
	for i := range l.materials {
		if slices.ContainsFunc(l.materials[i].Also, func(a string) bool { return plain(a) == typed }) {
			return l.materials[i], nil
		}
	}
	if typed == "" {
		return Material{}, &NameError{Typed: name, Nearest: l.nearest(typed)}
	}
	words := strings.Fields(typed)
	for _, fits := range []func(string) bool{
		func(n string) bool { return strings.Contains(" "+n, " "+typed) },
		func(n string) bool { return holds(n, words) },
	} {
		var found []Material
		for _, m := range l.materials {
			if fits(plain(m.Name)) || slices.ContainsFunc(m.Also, func(a string) bool { return fits(plain(a)) }) {
				found = append(found, m)
			}
		}
		if len(found) == 1 {
			return found[0], nil
		}
		if len(found) > 1 {
			e := &NameError{Typed: name, Several: true}
			for _, m := range found {
				e.Nearest = append(e.Nearest, m.Name)
			}
			return Material{}, e
		}
	}
	return Material{}, &NameError{Typed: name, Nearest: l.nearest(typed)}
}

// plain is a name in lower case, its words parted by single spaces, without marks.
func plain(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r < 0x80
	}), " ")
}

// holds says whether every word begins a word of the name.
func holds(name string, words []string) bool {
	have := strings.Fields(name)
	for _, w := range words {
		if !slices.ContainsFunc(have, func(h string) bool { return strings.HasPrefix(h, w) }) {
			return false
		}
	}
	return true
}

// nearest gives the three names that take the fewest changes of letters.
func (l *Library) nearest(typed string) []string {
	type near struct {
		name string
		far  float64
	}
	all := make([]near, 0, len(l.materials))
	for _, m := range l.materials {
		best := math.Inf(1)
		for _, n := range append([]string{m.Name}, m.Also...) {
			best = min(best, apart(typed, plain(n)))
		}
		all = append(all, near{m.Name, best})
	}
	slices.SortStableFunc(all, func(a, b near) int {
		switch {
		case a.far < b.far:
			return -1
		case a.far > b.far:
			return 1
		}
		return 0
	})
	var out []string
	for i := 0; i < len(all) && i < 3; i++ {
		out = append(out, all[i].name)
	}
	return out
}

// apart compares word by word, so that a short typed name is near a long one
// that has the same words; the whole name decides between equals.
func apart(typed, name string) float64 {
	sum, have := 0.0, strings.Fields(name)
	for _, w := range strings.Fields(typed) {
		best := math.Inf(1)
		for _, h := range have {
			best = min(best, float64(changes(w, h))/float64(max(len(w), len(h))))
		}
		sum += best
	}
	return sum + 0.01*float64(changes(typed, name))
}

// changes is the number of letters to insert, drop, replace or swap with the
// neighbour to turn a into b (optimal string alignment).
func changes(a, b string) int {
	x, y := []rune(a), []rune(b)
	d := make([][]int, len(x)+1)
	for i := range d {
		d[i] = make([]int, len(y)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(x)][len(y)]
}
