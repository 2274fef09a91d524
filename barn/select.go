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
}

func (e *SelectError) Error() string { return e.Say + " " + e.Try }

// Select gives the bins that a crew means, in the order in which they walk:
//
//	B12, B14-B20            names and runs of names
//	row 3                   a whole row; "row A of South" when two barns have it
//	row 3 except 3-4-2, B7  all but some
//	stack 3-4               a stack
//	3-4-2, 3-4 top          one place: row, stack and level by number or in words
//	barn North, all         a whole barn, all bins
//	row 3 top               the top bins of a row; low and mid likewise
//
// Parts are joined by commas or "and". All that cannot be read is told at once.
func (p *Places) Select(text string) ([]string, []*SelectError) {
	want, but, _ := cutWord(text, "except", "but not", "not", "without")
	var wrong []*SelectError
	chosen, out := map[string]bool{}, []string(nil)
	for _, part := range parts(want) {
		bins, err := p.one(part)
		if err != nil {
			wrong = append(wrong, err)
		}
		for _, b := range bins {
			chosen[b] = true
		}
	}
	for _, part := range parts(but) {
		bins, err := p.one(part)
		if err != nil {
			wrong = append(wrong, err)
		}
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
func (p *Places) one(part string) ([]string, *SelectError) {
	low := strings.ToLower(part)
	words := strings.Fields(low)
	if low == "all" || low == "all bins" || low == "everything" {
		return p.Bins(), nil
	}
	if name := p.named(part); name != "" {
		return []string{name}, nil
	}
	level := ""
	if n := len(words); n > 1 && isLevel(words[n-1]) {
		level, words = words[n-1], words[:n-1]
	}
	var hit []string
	placed := false // by row and stack, which two barns may share
	rest := strings.Join(words[min(1, len(words)):], " ")
	switch words[0] {
	case "barn":
		hit = p.where(func(s Slot) bool { return strings.EqualFold(s.Barn, rest) })
	case "row", "rows":
		row, in, _ := strings.Cut(rest, " of ")
		if at, barn, ok := strings.Cut(rest, " in "); ok {
			row, in = at, barn
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
				return nil, &SelectError{Part: part, Say: "Row " + row + " is in more than one barn: " + strings.Join(barns, ", ") + ".", Try: "Type row " + row + " of " + barns[0] + ", or row " + row + " of " + barns[1] + "."}
			}
		}
	case "stack":
		hit, placed = p.place(rest), true
	default:
		if len(words) == 1 {
			hit, placed = p.place(words[0]), true
			if len(hit) == 0 {
				hit, placed = p.run(part), false
			}
		}
	}
	if barns := p.barnsOf(hit); placed && len(barns) > 1 {
		return nil, &SelectError{Part: part, Say: part + " is in more than one barn: " + strings.Join(barns, ", ") + ".", Try: "Type the bin's painted name, or North/3/4/2 with the barn's own name."}
	}
	if level != "" {
		hit = slices.DeleteFunc(slices.Clone(hit), func(b string) bool { return !p.isAt(b, level) })
	}
	if len(hit) == 0 {
		near := p.Nearest(part)
		e := &SelectError{Part: part, Say: `No bin is called "` + part + `".`, Nearest: near}
		if len(near) > 0 {
			e.Try = "The nearest names are " + strings.Join(near, ", ") + "."
		} else {
			e.Try = "Enter the bins first."
		}
		return nil, e
	}
	return hit, nil
}

// named finds a bin by its painted name, without regard to case when only one fits.
func (p *Places) named(name string) string {
	if _, ok := p.slots[name]; ok {
		return name
	}
	found := ""
	for b := range p.slots {
		if strings.EqualFold(b, name) {
			if found != "" {
				return ""
			}
			found = b
		}
	}
	return found
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

// place reads "3-4" (a stack), "3-4-2" (a place) or "North/3/4/2".
func (p *Places) place(s string) []string {
	if strings.Contains(s, "/") {
		for b, at := range p.slots {
			if strings.EqualFold(at.String(), s) {
				return []string{b}
			}
		}
		return nil
	}
	bits := strings.Split(s, "-")
	if len(bits) < 2 || len(bits) > 3 {
		return nil
	}
	stack, err := strconv.Atoi(bits[1])
	if err != nil {
		return nil
	}
	level := 0
	if len(bits) == 3 {
		if level, err = strconv.Atoi(bits[2]); err != nil {
			return nil
		}
	}
	return p.where(func(at Slot) bool {
		return strings.EqualFold(at.Row, bits[0]) && at.Stack == stack && (level == 0 || at.Level == level)
	})
}

// run reads "B14-B20" or "B14-20": all bins whose name has that head and a
// number from one to the other.
func (p *Places) run(s string) []string {
	from, to, ok := strings.Cut(s, "-")
	if !ok {
		return nil
	}
	head, a, ok1 := tailNumber(strings.TrimSpace(from))
	head2, b, ok2 := tailNumber(strings.TrimSpace(to))
	if !ok1 || !ok2 || (head2 != "" && !strings.EqualFold(head, head2)) {
		return nil
	}
	if b < a {
		a, b = b, a
	}
	var out []string
	for name := range p.slots {
		if h, n, ok := tailNumber(name); ok && strings.EqualFold(h, head) && n >= a && n <= b {
			out = append(out, name)
		}
	}
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

func isLevel(w string) bool { return w == "low" || w == "mid" || w == "middle" || w == "top" }

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

// Nearest gives the three painted names that are nearest to what was typed.
func (p *Places) Nearest(name string) []string {
	bins := p.Bins()
	low := strings.ToLower(name)
	slices.SortStableFunc(bins, func(a, b string) int { return apart(low, strings.ToLower(a)) - apart(low, strings.ToLower(b)) })
	return bins[:min(3, len(bins))]
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
