package barn

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Names knows painted names by all the ways in which a crew writes one down:
// "B12", "b 12", "B-12", "B012", "bin 12", "12". It is read only.
type Names struct {
	list   []string
	exact  map[string]bool
	folded map[string][]string // by the name in small letters
	keys   map[string][]string // by Key
	heads  map[string][]numbered
	alone  map[int][]string // by the number a name ends in
}

// numbered is a name that ends in a number.
type numbered struct {
	name string
	n    int
}

// NewNames gathers the names of bins.
func NewNames(list []string) *Names {
	n := &Names{list: slices.Clone(list), exact: map[string]bool{}, folded: map[string][]string{}, keys: map[string][]string{}, heads: map[string][]numbered{}, alone: map[int][]string{}}
	for _, name := range list {
		n.exact[name] = true
		low := strings.ToLower(name)
		n.folded[low] = append(n.folded[low], name)
		if k := Key(name); k != "" {
			n.keys[k] = append(n.keys[k], name)
			if head, no, ok := keyNumber(k); ok {
				n.heads[head] = append(n.heads[head], numbered{name, no})
				n.alone[no] = append(n.alone[no], name)
			}
		}
	}
	return n
}

// before are words that a crew puts before a name, and same are words of levels
// that mean the same.
var (
	before = map[string]bool{"bin": true, "bins": true, "box": true, "boxes": true, "caja": true, "cajas": true}
	same   = map[string]string{"middle": "mid", "medio": "mid", "bottom": "low", "abajo": "low", "arriba": "top"}
)

// Key gives the letters and the numbers of a name or a place as they are
// compared: small letters, numbers without leading noughts, a blank between, and
// no word "bin" before. "B-012", "bin b12" and "B 12" have one key.
func Key(text string) string {
	var words []string
	var word []rune
	kind := 0
	flush := func() {
		if len(word) > 0 {
			w := string(word)
			if kind == 2 {
				if w = strings.TrimLeft(w, "0"); w == "" {
					w = "0"
				}
			}
			if s := same[w]; s != "" {
				w = s
			}
			words = append(words, w)
		}
		word = word[:0]
	}
	for _, c := range strings.ToLower(text) {
		k := 0
		switch {
		case unicode.IsLetter(c) || unicode.IsMark(c):
			k = 1
		case c >= '0' && c <= '9':
			k = 2
		}
		if k != kind {
			flush()
			kind = k
		}
		if k != 0 {
			word = append(word, c)
		}
	}
	flush()
	if len(words) > 1 && before[words[0]] {
		words = words[1:]
	}
	return strings.Join(words, " ")
}

// keyNumber parts a key into what stands before its last number, and that.
func keyNumber(key string) (head string, n int, ok bool) {
	i := strings.LastIndexByte(key, ' ')
	n, err := strconv.Atoi(key[i+1:])
	return strings.TrimSuffix(key[:i+1], " "), n, err == nil
}

// Has says whether a bin has exactly this name.
func (n *Names) Has(name string) bool { return n.exact[name] }

// sure gives the name that is written as painted, but for small and large letters.
func (n *Names) sure(text string) []string {
	if n.exact[text] {
		return []string{text}
	}
	if f := n.folded[strings.ToLower(text)]; len(f) == 1 {
		return f
	}
	return nil
}

// loose gives the names that have the key of what is written.
func (n *Names) loose(text string) []string { return n.keys[Key(text)] }

// number gives the names whose number alone is written: "12", "bin 12".
func (n *Names) number(text string) []string {
	head, no, ok := keyNumber(Key(text))
	if !ok || head != "" {
		return nil
	}
	out := slices.Clone(n.alone[no])
	slices.SortFunc(out, Natural)
	return out
}

// run gives the names from one to another, which must both be there: "B14-B20",
// "B14-20", "14 to 20". When
// only numbers are written and several kinds of names have them, each kind's
// names are one list.
func (n *Names) run(text string) [][]string {
	low := strings.NewReplacer("–", "-", "—", "-", "..", "-", "…", "-", " to ", "-", " a ", "-").Replace(strings.ToLower(text))
	for i := range low {
		if low[i] != '-' {
			continue
		}
		head, a, ok1 := keyNumber(Key(low[:i]))
		head2, b, ok2 := keyNumber(Key(low[i+1:]))
		if !ok1 || !ok2 || head2 != "" && head != head2 {
			continue
		}
		if b < a {
			a, b = b, a
		}
		var out [][]string
		for h, list := range n.heads {
			if h != head && head != "" {
				continue
			}
			var names []string
			ends := map[int]bool{}
			for _, x := range list {
				if x.n >= a && x.n <= b {
					names, ends[x.n] = append(names, x.name), true
				}
			}
			if ends[a] && ends[b] {
				slices.SortFunc(names, Natural)
				out = append(out, names)
			}
		}
		if len(out) > 0 {
			slices.SortFunc(out, func(x, y []string) int { return Natural(x[0], y[0]) })
			return out
		}
	}
	return nil
}

// Read gives the bins that are written by their names: one, or a run of them.
// Places are not known to it.
func (n *Names) Read(text string) ([]string, *SelectError) {
	text = strings.Join(strings.Fields(text), " ")
	if hit := n.sure(text); hit != nil {
		return hit, nil
	}
	for _, hit := range [][]string{n.loose(text), n.number(text)} {
		switch {
		case len(hit) == 1:
			return hit, nil
		case len(hit) > 1:
			return nil, unclear(text, hit)
		}
	}
	if runs := n.run(text); len(runs) == 1 {
		return runs[0], nil
	} else if len(runs) > 1 {
		return nil, unclear(text, firsts(runs))
	}
	return nil, unknown(text, n.Nearest(text))
}

func firsts(runs [][]string) []string {
	var out []string
	for _, r := range runs {
		out = append(out, r[0]+"-"+r[len(r)-1])
	}
	return out
}

func unclear(text string, what []string) *SelectError {
	return &SelectError{Part: text, known: true, Say: `"` + text + `" can mean ` + strings.Join(what[:min(6, len(what))], ", ") + ".", Try: "Type the one that is meant, as it is painted.", Nearest: what}
}

func unknown(text string, near []string) *SelectError {
	e := &SelectError{Part: text, Say: `No bin is called "` + text + `".`, Nearest: near, Try: "Enter the bins first."}
	if len(near) > 0 {
		e.Try = "The nearest names are " + strings.Join(near, ", ") + "."
	}
	return e
}

// Nearest gives the three painted names that are nearest to what was typed.
func (n *Names) Nearest(text string) []string { return nearest(text, n.list, n.list) }

// nearest gives the three of a list that are nearest to what was typed, as they
// are written or by their number alone. Called stands beside list and says how
// each is told.
func nearest(text string, list, called []string) []string {
	low, key := strings.ToLower(text), Key(text)
	_, _, isNumber := keyNumber(key)
	isNumber = isNumber && !strings.Contains(key, " ")
	type far struct{ i, by int }
	all := make([]far, len(list))
	for i, name := range list {
		k := Key(name)
		by := min(apart(low, strings.ToLower(name)), apart(key, k))
		if isNumber {
			if _, no, ok := keyNumber(k); ok {
				by = min(by, apart(key, strconv.Itoa(no)))
			}
		}
		all[i] = far{i, by}
	}
	slices.SortStableFunc(all, func(a, b far) int { return a.by - b.by })
	var out []string
	for _, f := range all[:min(3, len(all))] {
		out = append(out, called[f.i])
	}
	return out
}
