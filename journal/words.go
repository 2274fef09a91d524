package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"wormyard/qty"
)

// Typed reads a quantity with its unit as a person typed it ("2 in", "5 gal",
// "72 %") into the stored unit of the field. Water may be typed by volume: 1 L
// is taken as 1 kg. The error is a *qty.ParseError.
func (f Field) Typed(s string) (float64, error) {
	if f.Dim == nil {
		return 0, &qty.ParseError{Say: fmt.Sprintf("%s takes no unit.", f.Label), Try: "Type a plain number."}
	}
	v, err := qty.Parse(s, *f.Dim)
	if err != nil && f.Water {
		if m3, volErr := qty.Parse(s, qty.Volume); volErr == nil {
			return tidy(m3 * 1000), nil
		}
	}
	if err != nil {
		return 0, err
	}
	if u, ok := qty.Named(f.Unit); ok {
		v = u.From(v)
	}
	return tidy(v), nil
}

// tidy rounds to 15 figures, as many as a person's decimal can hold through a
// double and back, so that 1.5 in is 0.0381 m and not 0.038099999999999995.
func tidy(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 15, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// Show prints a stored value of the field as a person of that system reads it.
func (f Field) Show(v float64, sys qty.System) string {
	if f.Water {
		return sys.Water(qty.WaterKg(v))
	}
	if f.Dim == nil {
		return strings.TrimSpace(plain(v) + " " + f.Unit)
	}
	u, _ := qty.Named(f.Unit)
	switch *f.Dim {
	case qty.Percent:
		return plain(v*100) + " %"
	case qty.Temperature:
		if sys == qty.US {
			return plain(v*1.8+32) + " °F"
		}
		return plain(v) + " °C"
	case qty.Length:
		if f.Unit == "mm" { // of a screen
			return sys.Opening(qty.Metre(u.To(v)))
		}
		if sys == qty.US {
			return plain(u.To(v)/qty.MetrePerInch) + " in"
		}
		return plain(v) + " " + f.Unit
	case qty.Mass:
		return sys.Mass(v)
	case qty.Volume:
		return sys.Volume(qty.CubicMetre(v))
	case qty.Area:
		if sys == qty.US {
			return plain(v/qty.M2PerSquareFoot) + " ft2"
		}
		return plain(v) + " m2"
	}
	return plain(v) + " " + f.Unit
}

// plain prints a number to four figures, with thousands marks.
func plain(v float64) string {
	if v == 0 {
		return "0"
	}
	if a := math.Abs(v); a >= 1000 || a < 0.001 {
		return strings.Replace(qty.Figures(v), "-", "−", 1)
	}
	s := strconv.FormatFloat(v, 'g', 4, 64)
	return strings.Replace(s, "-", "−", 1)
}

// limit words for a value that lies outside l.
func (f Field) mustBe(v float64, l *Limits, sys qty.System) string {
	low, high := f.Show(l.Low, sys), f.Show(l.High, sys)
	percent := f.Dim != nil && *f.Dim == qty.Percent
	switch {
	case percent && l.Low == 0 && l.High == 1:
		return "It must be between 0 and 100 %."
	case v > l.High:
		return "It can be at most " + high + "."
	case l.Open:
		return "It must be more than " + low + "."
	}
	return "It cannot be less than " + low + "."
}

// meant guesses what a person meant who typed a fraction that is too large.
func (f Field) meant(v float64) string {
	if f.Dim == nil || *f.Dim != qty.Percent || v <= 1 || v > 1000 {
		return ""
	}
	var said []string
	for _, guess := range []float64{v / 100, v / 10} {
		if guess <= 1 && f.Doubtful.holds(guess) {
			said = append(said, fmt.Sprintf("If you meant %s %%, type %s %%.", plain(guess*100), plain(guess*100)))
		}
	}
	if f.Key == "water_frac_wet" && v < 10 {
		said = append(said, fmt.Sprintf("If that is water for each part of dry matter, type %s %%.", plain(100*v/(1+v))))
	}
	return strings.Join(said, " ")
}

// typedKeyHelp says how to give a number that was given as text.
func (f Field) typedKeyHelp() string {
	if f.Bare != "" {
		d := *f.Dim
		if f.Water {
			d = qty.Volume
		}
		example := map[qty.Dimension]string{qty.Mass: "500 lb", qty.Volume: "5 gal", qty.Length: "2 in", qty.Temperature: "68 F",
			qty.Area: "1 ft2", qty.Duration: "30 days", qty.Percent: "72 %"}[d]
		return fmt.Sprintf("Write a plain number in %s, or %q with a unit, such as %q.", unitWords(f.Unit), f.Bare, example)
	}
	if f.Unit != "" {
		return "Write a plain number in " + unitWords(f.Unit) + "."
	}
	return "Write a plain number."
}

func unitWords(u string) string {
	if u == "fraction" {
		return "parts of one (0 to 1)"
	}
	return u
}

// sayParse turns the fault of a typed quantity into words with the field's name.
func sayParse(f Field, err error) (say, try string) {
	var p *qty.ParseError
	if errors.As(err, &p) {
		return f.Label + ": " + p.Say, p.Try
	}
	return f.Label + " cannot be read.", "Type an amount and its unit."
}

// Nearest gives the known names closest to a word, best first, at most three,
// none when nothing is close.
func Nearest(word string, known []string) []string {
	type near struct {
		name string
		far  int
	}
	w := strings.ToLower(word)
	var list []near
	for _, k := range known {
		l := strings.ToLower(k)
		d := distance(w, l)
		if w != "" && (strings.Contains(l, w) || strings.Contains(w, l)) {
			d = min(d, 2)
		}
		if d <= max(1, len(w)/3) {
			list = append(list, near{k, d})
		}
	}
	slices.SortStableFunc(list, func(a, b near) int {
		if a.far != b.far {
			return a.far - b.far
		}
		return strings.Compare(a.name, b.name)
	})
	var out []string
	for _, n := range list {
		if len(out) < 3 && !slices.Contains(out, n.name) {
			out = append(out, n.name)
		}
	}
	return out
}

// distance is the number of letters to change, add, leave out or swap with a
// neighbour to get from a to b (optimal string alignment).
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	if d := len(s) - len(t); d > 3 || d < -3 {
		return max(len(s), len(t))
	}
	before, row := make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range row {
		row[j] = j
	}
	next := make([]int, len(t)+1)
	for i := 1; i <= len(s); i++ {
		next[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			next[j] = min(row[j]+1, next[j-1]+1, row[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				next[j] = min(next[j], before[j-2]+1)
			}
		}
		before, row, next = row, next, before
	}
	return row[len(t)]
}

// orList joins words as a person would: "a, b or c".
func orList(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

func andList(words []string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// Brief tells what an entry says in one line, names first: "A1, A2: 2 in, batch
// 41". It is for lists; every field is in the body.
func Brief(e *Entry, sys qty.System) string {
	kind, ok := KindNamed(e.Kind)
	raw, err := Encode(e.Body)
	var m map[string]any
	if err == nil {
		err = json.Unmarshal(raw, &m)
	}
	if !ok || err != nil {
		return ""
	}
	var names, said []string
	for _, f := range kind.Fields {
		v, there := m[f.Key]
		if !there {
			continue
		}
		switch f.Type {
		case Number, Whole:
			if f.Key == "value" && e.Kind == "assay" {
				if known, ok := analyteField(fmt.Sprint(m["analyte"])); ok {
					said = append(said, known.Show(v.(float64), sys))
					continue
				}
			}
			said = append(said, strings.ToLower(f.Label[:1])+f.Label[1:]+" "+f.Show(v.(float64), sys))
		case Names, Choices:
			list := wordsOf(v)
			if f.Of == "bin" && f.Key == "bins" {
				names = append(names, shorten(list))
			} else {
				said = append(said, strings.Join(list, ", "))
			}
		case Name:
			text := v.(string)
			if f.Of != "bin" && f.Of != "subject" && f.Of != "place" {
				text = f.Of + " " + text
			}
			if len(names) == 0 && len(said) == 0 {
				names = append(names, text)
			} else {
				said = append(said, text)
			}
		case Flag:
			if v == true {
				said = append(said, strings.ToLower(f.Label))
			} else {
				said = append(said, "not "+strings.ToLower(f.Label))
			}
		case Table:
			var parts []string
			for _, row := range v.([]any) {
				var one []string
				for _, g := range f.Item {
					switch x := row.(map[string]any)[g.Key].(type) {
					case string:
						one = append(one, x)
					case float64:
						one = append(one, g.Show(x, sys))
					}
				}
				parts = append(parts, strings.Join(one, " "))
			}
			said = append(said, strings.Join(parts, " + "))
		case Sides:
			var sides []string
			for _, side := range v.([]any) {
				sides = append(sides, shorten(wordsOf(side)))
			}
			said = append(said, strings.Join(sides, " against "))
		case Slots, Numbers, Any:
			said = append(said, showJSON(v))
		default:
			said = append(said, fmt.Sprint(v))
		}
	}
	if e.Kind == "cover" && len(said) > 0 && said[0] == "none" {
		said[0] = "no cover"
	}
	return strings.TrimPrefix(strings.Join(names, ", ")+": "+strings.Join(said, ", "), ": ")
}

func wordsOf(v any) []string {
	var out []string
	list, _ := v.([]any)
	for _, x := range list {
		out = append(out, fmt.Sprint(x))
	}
	return out
}

// shorten names the first of many.
func shorten(list []string) string {
	if len(list) > 6 {
		return fmt.Sprintf("%s and %d more", strings.Join(list[:5], ", "), len(list)-5)
	}
	return strings.Join(list, ", ")
}
