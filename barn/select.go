package barn

import (
	"slices"
	"strconv"
	"strings"
)

// SelectError says which part of a selection could not be read.
type SelectError struct {
	Part    string
	Say     string
	Try     string
	Nearest []string
	known   bool // the text means something, but not one thing
}

// Clear says whether the text means something, but not one thing.
func (e *SelectError) Clear() bool { return e.known }

func (e *SelectError) Error() string { return e.Say + " " + e.Try }

// Select gives the bins that a crew means, in the order in which they walk:
//
//	B12, b 12, bin 12, 12   names, by their number where that is clear
//	B14-B20, 14-20, 14 to 20 runs of names
//	row 3                   a whole row; "row A of South" when two barns have it
//	row 3 except 3-4-2, B7  all but some
//	stack 3-4, 3-4          a stack; "bins 3-4" is a run of names
//	3-4-2, 3-4 top          one place: row, stack and level by number or in words
//	North 3-4 top           the same where two barns have such a row
//	barn North, all         a whole barn, all bins
//	row 3 top               the top bins of a row; low and mid likewise
//
// Parts are joined by commas or "and", names and places by blanks too. A name as
// it is painted goes before a place that is written alike. All that cannot be
// read is told at once.
func (p *Places) Select(text string) ([]string, []*SelectError) { return p.SelectFirst(text, nil) }

// SelectFirst is Select where some bins are at hand: what is written means one of
// them before any other.
func (p *Places) SelectFirst(text string, first []string) ([]string, []*SelectError) {
	want, but, _ := cutWord(text, "except", "but not", "not", "without", "excepto", "menos")
	var wrong []*SelectError
	chosen, out := map[string]bool{}, []string(nil)
	for _, part := range parts(want) {
		bins, bad := p.some(part, first)
		wrong = append(wrong, bad...)
		for _, b := range bins {
			chosen[b] = true
		}
	}
	for _, part := range parts(but) {
		bins, bad := p.some(part, first)
		wrong = append(wrong, bad...)
		for _, b := range bins {
			delete(chosen, b)
		}
	}
	if len(wrong) > 0 {
		return nil, wrong
	}
	for _, b := range p.Bins() {
		if chosen[b] {
			out = append(out, b)
		}
	}
	if len(out) == 0 {
		return nil, []*SelectError{{Part: text, Say: "No bin is named.", Try: "Type names such as B12, B14-B20, or row 3 except 3-4 top."}}
	}
	return out, nil
}

// One gives the one bin that a crew means by its name or its place.
func (p *Places) One(text string) (string, *SelectError) {
	if one := p.index().names.sure(strings.TrimSpace(text)); one != nil {
		return one[0], nil
	}
	bins, wrong := p.Select(text)
	switch {
	case len(wrong) > 0:
		return "", wrong[0]
	case len(bins) > 1:
		names := strings.Join(bins[:min(6, len(bins))], ", ")
		if len(bins) > 6 {
			names += ", …"
		}
		return "", &SelectError{Part: text, known: true, Say: `"` + text + `" is ` + strconv.Itoa(len(bins)) + ` bins: ` + names + ".", Try: "Type one of them.", Nearest: bins}
	}
	return bins[0], nil
}

// Keys gives every key by which one bin alone is meant, for a device that is to
// find bins where there is no signal.
func (p *Places) Keys() map[string]string {
	out := map[string]string{}
	for bin, s := range p.slots {
		texts := []string{bin}
		if _, n, ok := keyNumber(Key(bin)); ok {
			texts = append(texts, strconv.Itoa(n))
		}
		if s.InRow() {
			texts = append(texts, p.Called(s), s.Row+"-"+strconv.Itoa(s.Stack)+"-"+strconv.Itoa(s.Level), s.Barn+" "+p.Called(s))
		}
		for _, text := range texts {
			key := Key(text)
			if key == "" || out[key] != "" {
				continue
			}
			// written with hyphens a key is at its least clear
			if hit, err := p.one(strings.ReplaceAll(key, " ", "-"), nil); err == nil && len(hit) == 1 && hit[0] == bin {
				out[key] = bin
			}
		}
	}
	return out
}

// some reads one part of a selection, or several that only blanks divide.
func (p *Places) some(part string, first []string) ([]string, []*SelectError) {
	whole, err := p.one(part, first)
	words := strings.Fields(part)
	if err == nil || err.known || len(words) < 2 || groups[strings.ToLower(words[0])] {
		return whole, wrongs(err)
	}
	var out []string
	var wrong []*SelectError
	read := false
	for len(words) > 0 {
		var bins []string
		var e *SelectError
		n := len(words)
		for ; n > 0; n-- { // the longest that is one
			if bins, e = p.one(strings.Join(words[:n], " "), first); e == nil || e.known {
				read = true
				break
			}
		}
		out, wrong, words = append(out, bins...), append(wrong, wrongs(e)...), words[max(1, n):]
	}
	if !read || slices.ContainsFunc(wrong, func(e *SelectError) bool { return !strings.ContainsAny(e.Part, "0123456789") }) {
		return nil, wrongs(err) // words, not names: all of it was meant as one
	}
	return out, wrong
}

// groups are words that begin what means many bins.
var groups = map[string]bool{"barn": true, "granero": true, "row": true, "rows": true, "fila": true, "filas": true, "stack": true, "estiba": true}

func wrongs(e *SelectError) []*SelectError {
	if e == nil {
		return nil
	}
	return []*SelectError{e}
}

func cutWord(s string, words ...string) (before, after string, found bool) {
	low := " " + strings.ToLower(strings.NewReplacer(",", " , ", ";", " ; ").Replace(s)) + " "
	full := " " + strings.NewReplacer(",", " , ", ";", " ; ").Replace(s) + " "
	for _, w := range words {
		if i := strings.Index(low, " "+w+" "); i >= 0 {
			return full[:i], full[i+len(w)+2:], true
		}
	}
	return s, "", false
}

func parts(s string) []string {
	s = strings.NewReplacer(";", ",", "\n", ",", "–", "-", "—", "-").Replace(s)
	var out []string
	for _, a := range strings.Split(s, ",") {
		for {
			head, tail, ok := cutWord(a, "and", "&")
			if head = strings.Join(strings.Fields(head), " "); head != "" {
				out = append(out, head)
			}
			if !ok {
				break
			}
			a = tail
		}
	}
	return out
}

// one reads one part of a selection.
func (p *Places) one(part string, first []string) ([]string, *SelectError) {
	low := strings.ToLower(part)
	words := strings.Fields(low)
	if low == "all" || low == "all bins" || low == "everything" {
		return p.Bins(), nil
	}
	x := p.index()
	if hit := x.names.sure(part); hit != nil {
		return hit, nil
	}
	level := ""
	if n := len(words); n > 1 && isLevel(words[n-1]) {
		level, words = Key(words[n-1]), words[:n-1]
	}
	var hit []string
	rest := strings.Join(words[min(1, len(words)):], " ")
	switch words[0] {
	case "barn", "granero":
		hit = p.where(func(s Slot) bool { return strings.EqualFold(s.Barn, rest) })
	case "row", "rows", "fila", "filas":
		row, in, _ := strings.Cut(rest, " of ")
		for _, word := range []string{" in ", " de ", " en "} {
			if at, barn, ok := strings.Cut(rest, word); ok {
				row, in = at, barn
			}
		}
		in = strings.TrimSpace(strings.TrimPrefix(in, "barn "))
		from, to, run := strings.Cut(row, "-")
		hit = p.where(func(s Slot) bool {
			if in != "" && !strings.EqualFold(s.Barn, in) {
				return false
			}
			if run {
				return Natural(strings.ToLower(s.Row), from) >= 0 && Natural(strings.ToLower(s.Row), to) <= 0
			}
			return strings.EqualFold(s.Row, row)
		})
		if in == "" && len(hit) > 0 {
			if barns := p.barnsOf(hit); len(barns) > 1 {
				return nil, &SelectError{Part: part, known: true, Say: "Row " + row + " is in more than one barn: " + strings.Join(barns, ", ") + ".", Try: "Type row " + row + " of " + barns[0] + ", or row " + row + " of " + barns[1] + "."}
			}
		}
	case "stack", "estiba":
		var err *SelectError
		if hit, err = p.inOneBarn(part, among(x.stack(rest), first)); err != nil {
			return nil, err
		}
	default:
		if hit, err := p.named(part, words[0], first); hit != nil || err != nil {
			return hit, err
		}
		if level != "" {
			var err *SelectError
			if hit, err = p.inOneBarn(part, x.stack(strings.Join(words, " "))); err != nil {
				return nil, err
			}
		}
	}
	if level != "" {
		hit = slices.DeleteFunc(slices.Clone(hit), func(b string) bool { return !p.isAt(b, level) })
	}
	if len(hit) == 0 {
		return nil, unknown(part, p.Nearest(part))
	}
	return hit, nil
}

// named reads a name, a place, a stack, a run of names or a number alone; nil when
// it is none of them. What reads as a name and as another bin's place is asked for.
func (p *Places) named(part, word string, first []string) ([]string, *SelectError) {
	x := p.index()
	name := among(x.names.loose(part), first)
	if len(name) > 1 {
		return nil, unclear(part, name)
	}
	place := among(x.place(part), first)
	if place == nil {
		place = among(x.stack(part), first)
	}
	if before[word] && x.names.run(part) != nil { // "bins 3-4" are no stack
		place = nil
	}
	place, err := p.inOneBarn(part, place)
	switch {
	case len(name) == 1 && err == nil && len(place) > 0 && !slices.Equal(name, place):
		return nil, unclear(part, slices.Concat(name, place))
	case len(name) == 1:
		return name, nil
	case err != nil:
		return nil, err
	case len(place) > 0:
		return place, nil
	}
	if n := among(x.names.number(part), first); len(n) == 1 {
		return n, nil
	} else if len(n) > 1 {
		return nil, unclear(part, n)
	}
	if runs := x.names.run(part); len(runs) == 1 {
		return among(runs[0], first), nil
	} else if len(runs) > 1 {
		return nil, unclear(part, firsts(runs))
	}
	return nil, nil
}

// among gives those of a list that are at hand, or all of it when none is.
func among(list, first []string) []string {
	if len(first) == 0 {
		return list
	}
	if near := slices.DeleteFunc(slices.Clone(list), func(b string) bool { return !slices.Contains(first, b) }); len(near) > 0 {
		return near
	}
	return list
}

// inOneBarn asks which barn is meant when bins of several are.
func (p *Places) inOneBarn(part string, bins []string) ([]string, *SelectError) {
	if barns := p.barnsOf(bins); len(barns) > 1 {
		return nil, &SelectError{Part: part, known: true, Say: part + " is in more than one barn: " + strings.Join(barns, ", ") + ".", Try: "Type the bin's painted name, or North/3/4/2 with the barn's own name."}
	}
	return bins, nil
}

// index is what a text is looked up in.
type index struct {
	names  *Names
	places map[string][]string // by what a place is called
	stacks map[string][]string
}

// index gathers names and places once after a bin has moved.
func (p *Places) index() *index {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if p.found != nil {
		return p.found
	}
	bins := p.Bins()
	x := &index{names: NewNames(bins), places: map[string][]string{}, stacks: map[string][]string{}}
	for _, b := range bins {
		s := p.slots[b]
		if !s.InRow() {
			continue
		}
		called := p.Called(s)
		stack := s.Row + "-" + strconv.Itoa(s.Stack)
		at := []string{called, stack + "-" + strconv.Itoa(s.Level), s.String()}
		if called != stack {
			at = append(at, s.Barn+" "+called)
		}
		for i := range at {
			at[i] = Key(at[i])
		}
		slices.Sort(at)
		for _, k := range slices.Compact(at) {
			x.places[k] = append(x.places[k], b)
		}
		x.stacks[Key(stack)] = append(x.stacks[Key(stack)], b)
		x.stacks[Key(s.Barn+"/"+stack)] = append(x.stacks[Key(s.Barn+"/"+stack)], b)
	}
	p.found = x
	return x
}

func (x *index) place(text string) []string {
	if apartByBlanks(text) {
		return nil
	}
	return x.places[Key(text)]
}

func (x *index) stack(text string) []string {
	if apartByBlanks(text) {
		return nil
	}
	return x.stacks[Key(text)]
}

// apartByBlanks says whether two numbers have but blanks between them: they are
// two bins and no place.
func apartByBlanks(text string) bool {
	words := strings.Fields(text)
	for i := 1; i < len(words); i++ {
		w := strings.ToLower(words[i])
		ordinal := strings.HasSuffix(w, "nd") || strings.HasSuffix(w, "rd") || strings.HasSuffix(w, "th")
		if b := words[i-1]; digit(b[len(b)-1]) && digit(w[0]) && !ordinal {
			return true
		}
	}
	return false
}

func (p *Places) where(fits func(Slot) bool) []string {
	var out []string
	for b, s := range p.slots {
		if s.InRow() && fits(s) {
			out = append(out, b)
		}
	}
	return out
}

func (p *Places) barnsOf(bins []string) []string {
	var out []string
	for _, b := range bins {
		if s := p.slots[b]; s.InRow() && !slices.Contains(out, s.Barn) {
			out = append(out, s.Barn)
		}
	}
	slices.SortFunc(out, Natural)
	return out
}

func tailNumber(s string) (head string, n int, ok bool) {
	i := len(s)
	for i > 0 && digit(s[i-1]) {
		i--
	}
	n, err := strconv.Atoi(s[i:])
	return s[:i], n, err == nil
}

func isLevel(w string) bool { k := Key(w); return k == "low" || k == "mid" || k == "top" }

// isAt says whether a bin is the lowest, the top one or between in its stack.
func (p *Places) isAt(bin, level string) bool {
	above, below := len(p.Above(bin)), len(p.Below(bin))
	switch level {
	case "top":
		return above == 0
	case "low":
		return below == 0
	}
	return above > 0 && below > 0
}

// Nearest gives the three names that are nearest to what was typed, or the three
// places when a place was typed.
func (p *Places) Nearest(text string) []string {
	bins := p.Bins()
	if k := Key(text); len(k) == 0 || !digit(k[0]) || !strings.Contains(k, " ") {
		return nearest(text, bins, bins)
	}
	called := make([]string, len(bins))
	for i, b := range bins {
		if called[i] = b; p.slots[b].InRow() {
			called[i] = p.Called(p.slots[b])
		}
	}
	return nearest(text, called, called)
}

// apart counts the letters to change, drop or add between two names
// (Levenshtein's distance).
func apart(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		last := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			last, row[j+1] = row[j+1], min(row[j+1]+1, row[j]+1, last+cost)
		}
	}
	return row[len(b)]
}

// Spoken gives bins the short way: runs of names drawn together, "B12, B14-B20".
func Spoken(bins []string) string {
	sorted := slices.Clone(bins)
	slices.SortFunc(sorted, Natural)
	var out []string
	for i := 0; i < len(sorted); {
		head, n, ok := tailNumber(sorted[i])
		j := i + 1
		for ok && j < len(sorted) {
			h, m, ok2 := tailNumber(sorted[j])
			if !ok2 || h != head || m != n+(j-i) {
				break
			}
			j++
		}
		if j-i >= 3 {
			out = append(out, sorted[i]+"-"+sorted[j-1])
		} else {
			out = append(out, sorted[i:j]...)
		}
		i = j
	}
	return strings.Join(out, ", ")
}
