package app

import (
	"fmt"
	"slices"
	"strings"

	"wormyard/farm"
	"wormyard/qty"
)

// firstMaterial is what a bed is taken to be of when nobody says: an everyday
// starting bed and feed of the trade. Common practice, no source.
const firstMaterial = "horse manure with bedding"

// first is what is told of one bed, or of all.
type first struct {
	empty            bool
	depth, fedDepth  qty.Metre
	material, cover  string
	age, ageL, ageH  qty.Days
	fed              qty.Days
	fedSaid, ageSaid bool
	stock            farm.Stock // in each bin
}

// all reads what is told of all beds.
func (m *morning) all() first {
	f := &m.form
	t := first{material: strings.TrimSpace(f.Material), cover: f.Cover}
	if strings.TrimSpace(f.Depth) == "" {
		m.doubt("depth", fmt.Sprintf("The depth of the beds is not told; %s is taken.", m.units().Depth(qty.Metre(m.usual.FirstDepth))), "Measure some, or say yes.")
	}
	t.depth = qty.Metre(m.typed("depth", f.Depth, qty.Length, m.usual.FirstDepth))
	if f.Depth != "" && t.depth == 0 {
		m.refuse("depth", "The depth of the beds is 0.", "Type how deep they are; bins without a bed are exceptions, as in \"B17 empty\".")
	}
	if t.material == "" {
		t.material = firstMaterial
		m.doubt("material", fmt.Sprintf("What the beds are made of is not told; %s is taken.", firstMaterial), "Name the material that most of it was, or say yes.")
	} else if err := m.material(t.material); err != nil {
		m.refuse("material", err.Error(), "Name the material of the library that comes nearest.")
	}
	t.setAge(m.spanOr("age", f.Age, qty.Days(m.usual.FirstAge)))
	if f.Age == "" {
		m.doubt("age", fmt.Sprintf("The age of the beds is not told; about %.0f months is taken, give or take a lot.", float64(t.age)/30.44), "Tell about how old they are, or say yes.")
	}
	m.ages(&t)
	t.fed, t.fedSaid = m.spanOr("last_fed", f.LastFed, qty.Days(m.usual.FeedEvery/2))
	t.fedDepth = qty.Metre(m.typed("fed_depth", f.LastFedDepth, qty.Length, m.usual.FeedDepth))
	stock := f.Stock
	if stock == "" {
		stock = "middle"
		m.doubt("stock", "How many worms there are is not told; a middle stock is taken.", "Say low, middle or high, or a mass in each bin; or say yes.")
	}
	t.stock = m.stock("stock", stock)
	return t
}

func (t *first) setAge(d qty.Days, said bool) { t.age, t.ageSaid = d, said }

// ages gives an age its range.
func (m *morning) ages(t *first) {
	r := m.usual.AgeRange
	if !t.ageSaid {
		r = m.usual.UnsaidRange
	}
	t.ageL, t.ageH = t.age/qty.Days(r), t.age*qty.Days(r)
}

// stock reads low, middle, high or a mass in each bin.
func (m *morning) stock(field, text string) farm.Stock {
	text = strings.ToLower(strings.TrimSpace(text))
	per := 0.0
	switch text {
	case "low", "few":
		per = m.usual.StockLow
	case "middle", "mid", "medium", "usual":
		per = m.usual.StockMiddle
	case "high", "many":
		per = m.usual.StockHigh
	case "none", "0":
		return farm.Stock{}
	}
	if per > 0 {
		kg := qty.LiveKg(per * m.area)
		r := qty.LiveKg(m.usual.StockRange)
		return farm.Stock{Low: kg / r, Best: kg, High: kg * r}
	}
	v, err := qty.Parse(text, qty.Mass)
	if err != nil || v < 0 {
		m.refuse(field, fmt.Sprintf("The stock is %q.", text), `Say low, middle or high, or a mass in each bin such as "12 lb".`)
		return farm.Stock{}
	}
	r := m.usual.StockTypedRange
	return farm.Stock{Low: qty.LiveKg(v / r), Best: qty.LiveKg(v), High: qty.LiveKg(v * r)}
}

// except reads the exceptions, one a line, later ones over earlier ones.
func (m *morning) except(told map[string]first) {
	for i, line := range m.form.Except {
		if strings.TrimSpace(line) == "" {
			continue
		}
		field := fmt.Sprintf("except[%d]", i)
		who, what, ok := strings.Cut(line, ":")
		if !ok {
			if head, found := strings.CutSuffix(strings.TrimRight(line, " ."), " empty"); found {
				who, what = head, "empty"
			} else {
				m.refuse(field, fmt.Sprintf("%q does not say what is different.", line), `Write the bins, a colon and what is so, such as "row 3: age 2 months" or "B17: empty".`)
				continue
			}
		}
		bins, wrong := m.places.Select(who)
		for _, e := range wrong {
			m.refuse(field, e.Say, e.Try)
		}
		if len(wrong) > 0 {
			continue
		}
		change := m.change(field, what)
		for _, b := range bins {
			t := told[b]
			change(&t)
			told[b] = t
		}
	}
}

// change reads what is different: "empty", "age 2 months", "depth 8 in", "fed 3
// days ago", "feed depth 1 in", "stock low", "cover film", "material leaves",
// several parted by commas.
func (m *morning) change(field, text string) func(*first) {
	var all []func(*first)
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		part = strings.TrimSpace(part)
		low := strings.ToLower(part)
		after := func(words ...string) (string, bool) {
			for _, w := range words {
				if low == w || strings.HasPrefix(low, w+" ") {
					return strings.TrimSpace(part[len(w):]), true
				}
			}
			return "", false
		}
		if low == "" {
			continue
		}
		if low == "empty" || low == "no bed" {
			all = append(all, func(t *first) { t.empty = true })
			continue
		}
		if v, ok := after("feed depth", "fed depth", "last feeding"); ok {
			d := qty.Metre(m.typed(field, v, qty.Length, 0))
			all = append(all, func(t *first) { t.fedDepth = d })
			continue
		}
		if v, ok := after("last fed", "fed"); ok {
			if d, ok := m.span(field, v); ok {
				all = append(all, func(t *first) { t.fed, t.fedSaid = d, true })
			}
			continue
		}
		if v, ok := after("age", "bedded"); ok {
			if d, ok := m.span(field, v); ok {
				all = append(all, func(t *first) { t.setAge(d, true); m.ages(t) })
			}
			continue
		}
		if v, ok := after("bed depth", "depth"); ok {
			if d := qty.Metre(m.typed(field, v, qty.Length, 0)); d > 0 {
				all = append(all, func(t *first) { t.depth = d })
			} else if len(m.problems) == 0 || m.problems[len(m.problems)-1].Field != field {
				m.refuse(field, "A depth of 0 is no bed.", `Write "empty" for a bin without a bed.`)
			}
			continue
		}
		if v, ok := after("stock", "worms"); ok {
			s := m.stock(field, v)
			all = append(all, func(t *first) { t.stock = s })
			continue
		}
		if v, ok := after("cover"); ok {
			v = strings.ToLower(v)
			if !slices.Contains([]string{"none", "cloth", "board", "film"}, v) {
				m.refuse(field, fmt.Sprintf("The cover is %q.", v), "Choose none, cloth, board or film.")
				continue
			}
			all = append(all, func(t *first) { t.cover = v })
			continue
		}
		if v, ok := after("material", "of"); ok {
			if err := m.material(v); err != nil {
				m.refuse(field, err.Error(), "Name the material of the library that comes nearest.")
				continue
			}
			all = append(all, func(t *first) { t.material = v })
			continue
		}
		m.refuse(field, fmt.Sprintf("%q is not understood.", part), `Write "empty", or age, depth, fed, feed depth, stock, cover or material and its value, such as "age 2 months".`)
	}
	return func(t *first) {
		for _, c := range all {
			c(t)
		}
	}
}
