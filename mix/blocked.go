package mix

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strings"

	"wormyard/feedstock"
	"wormyard/program"
	"wormyard/qty"
)

// explain finds why no mix meets the windows. An elastic programme, in which
// every window may be missed at a price, gives the nearest mix (M32). A window
// blocks when a mix exists without it; the best it can reach with all others
// kept is a fractional programme made linear (M33). Where no single window
// blocks, those that the nearest mix misses are told. Last it is asked what
// would unblock: more of a part than is there, or a material of the library.
func (m *model) explain(ctx context.Context) error {
	plan, missed, err := m.nearest(ctx, 0)
	if err != nil {
		return err
	}
	m.found.Recipe = m.recipe(plan)
	if len(missed) == 0 {
		// The windows agree; what cannot be is the total with what is there.
		m.found.Blocked = []Blocked{m.blockedTotal(plan)}
		return nil
	}
	help, err := m.unblock(ctx)
	if err != nil {
		return err
	}
	tell := func(h held, best float64, low bool) {
		needs := m.wants(h.Output, low)
		if !math.IsNaN(best) {
			needs += fmt.Sprintf(" Or a window that reaches to %s.", spoken(h.Output, best))
		}
		if help != "" {
			needs += " " + help
		}
		m.found.Blocked = append(m.found.Blocked, Blocked{Window: h.Window, Best: best, Needs: needs})
	}
	for i, h := range m.windows {
		others := append(clone(m.windows[:i]), m.windows[i+1:]...)
		best, low, err := m.reach(ctx, h, others)
		if err != nil {
			return err
		}
		if !math.IsNaN(best) {
			tell(h, best, low)
		}
	}
	if len(m.found.Blocked) > 0 {
		return nil
	}
	var kept []held
	for i, h := range m.windows {
		if !missed[i] {
			kept = append(kept, h)
		}
	}
	for i, h := range m.windows {
		if !missed[i] {
			continue
		}
		best, low, err := m.reach(ctx, h, kept)
		if err != nil {
			return err
		}
		if math.IsNaN(best) {
			best = h.num.at(plan) / h.den.at(plan)
			low = best < h.Low
		}
		tell(h, best, low)
	}
	return nil
}

// spoken prints a value of an output for a person.
func spoken(o Output, v float64) string {
	switch o {
	case Water, AirFilled, Carbon, Nitrogen, Ash, Lignin:
		return qty.Figures(100*v) + " %"
	}
	return qty.Figures(v)
}

// nearest gives the mix that misses the windows least and which it misses (M32).
func (m *model) nearest(ctx context.Context, step float64) ([]float64, map[int]bool, error) {
	prog, size := m.programme(step)
	// The total gives way too, at a price above all windows: it is the one
	// thing that a person counts on.
	if m.totalGoal > 0 {
		row := &prog.Rows[0]
		weight := 1000 / m.totalGoal
		row.Terms = append(row.Terms,
			program.Term{Column: prog.Add(program.Column{Name: "total short", Cost: weight, High: math.Inf(1)}), Coefficient: 1},
			program.Term{Column: prog.Add(program.Column{Name: "total over", Cost: weight, High: math.Inf(1)}), Coefficient: -1})
	}
	for _, h := range m.windows {
		// A miss is weighed against the end that is missed.
		weight := func(end float64) float64 { return 1 / math.Max(math.Abs(end), 1e-3) }
		short := prog.Add(program.Column{Name: h.Output.Key() + " short", Cost: weight(h.Low), High: math.Inf(1)})
		over := prog.Add(program.Column{Name: h.Output.Key() + " over", Cost: weight(h.High), High: math.Inf(1)})
		m.rows(&prog, h, size, short, over)
	}
	const trace = 1e-7
	for i := range m.columns {
		prog.Columns[i].Cost += trace * size[i] * m.columns[i].wet / waterDensity
	}
	sol, err := m.solve(ctx, prog)
	if err != nil {
		return nil, nil, err
	}
	if sol.Values == nil {
		return nil, nil, fmt.Errorf("mix: the search for the nearest mix ended %v", sol.Status)
	}
	plan := scaled(sol.Values, size)
	missed := map[int]bool{}
	for i, h := range m.windows {
		num, den := h.num.at(plan), h.den.at(plan)
		slack := 1e-6 * h.scale * math.Max(1e-3, math.Max(finite(math.Abs(h.Low)), finite(math.Abs(h.High))))
		if num < h.Low*den-slack || (!math.IsInf(h.High, 1) && num > h.High*den+slack) {
			missed[i] = true
		}
	}
	return plan, missed, nil
}

func finite(v float64) float64 {
	if math.IsInf(v, 0) {
		return 0
	}
	return v
}

// reach gives the value nearest to a window with the kept windows held, and
// whether it is too low; NaN when the kept windows cannot be held together.
// Amounts that meet them form one piece, so the values of the output form one
// interval, and it lies on one side.
func (m *model) reach(ctx context.Context, h held, kept []held) (best float64, low bool, err error) {
	largest, err := m.extreme(ctx, h, kept, true)
	if err != nil || math.IsNaN(largest) || h.Holds(largest, 0) {
		return largest, true, err
	}
	if largest < h.Low {
		return largest, true, nil
	}
	least, err := m.extreme(ctx, h, kept, false)
	return least, false, err
}

// extreme gives the largest or the least value of a window's output with the
// kept windows held. All amounts are divided by the denominator, which turns
// the ratio into a sum (M33).
func (m *model) extreme(ctx context.Context, h held, kept []held, largest bool) (float64, error) {
	prog := program.Problem{Maximize: largest}
	for i := range m.columns {
		prog.Add(program.Column{Cost: h.num.by[i] / h.scale, High: math.Inf(1)})
	}
	t := prog.Add(program.Column{Name: "scale", Cost: h.num.constant / h.scale, High: math.Inf(1)})
	whole := func(l linear, by float64) []program.Term {
		var terms []program.Term
		for _, x := range l.terms() {
			terms = append(terms, program.Term{Column: x.Column, Coefficient: x.Coefficient / by})
		}
		return append(terms, program.Term{Column: t, Coefficient: l.constant / by})
	}
	prog.Hold(program.Row{Name: "denominator", Low: 1, High: 1, Terms: whole(h.den, h.scale)})
	for i, most := range m.most {
		if !math.IsInf(most, 1) {
			prog.Hold(program.Row{Low: math.Inf(-1), High: 0, Terms: []program.Term{{Column: i, Coefficient: 1}, {Column: t, Coefficient: -most}}})
		}
	}
	if m.totalGoal > 0 {
		l := m.total
		l.constant -= m.totalGoal
		prog.Hold(program.Row{Name: "total", Low: 0, High: 0, Terms: whole(l, m.totalGoal)})
	}
	for _, k := range kept {
		if !math.IsInf(k.Low, -1) && !(k.Low == 0 && k.Output != AirFilled) {
			prog.Hold(program.Row{Low: 0, High: math.Inf(1), Terms: whole(k.num.less(k.Low, k.den), k.scale)})
		}
		if !math.IsInf(k.High, 1) {
			prog.Hold(program.Row{Low: math.Inf(-1), High: 0, Terms: whole(k.num.less(k.High, k.den), k.scale)})
		}
	}
	sol, err := m.solve(ctx, prog)
	if err != nil {
		return 0, err
	}
	if sol.Values == nil {
		return math.NaN(), nil
	}
	return sol.Objective, nil
}

// wants says what kind of thing a window lacks.
func (m *model) wants(o Output, low bool) string {
	switch {
	case o == Water && low && !m.want.FreeWater:
		return "Needs water or a wetter material; let water be found too."
	case o == Water && low:
		return "Needs a wetter material."
	case o == Water:
		return "Needs a drier material."
	case o == CN && low:
		return "Needs a drier or more carbon-rich material."
	case o == CN:
		return "Needs a material richer in nitrogen."
	case o == AirFilled && low:
		return "Needs a lighter, coarser material that keeps pores open, or less water."
	case o == AirFilled:
		return "Needs a finer or heavier material, or more water."
	case o == Density && low:
		return "Needs a heavier material or more water."
	case o == Density:
		return "Needs a lighter material or less water."
	case o == Salts:
		return "Needs a material with less salt, or leaching."
	case o == Ammonia:
		return "Needs a material with less ammonia, or a pile that has stood longer."
	case low:
		return "Needs a material with more of it."
	}
	return "Needs a material with less of it."
}

// unblock looks for what would make the mix possible: more of the free parts
// than is there, else some volume of the candidates. It gives a sentence, or
// "" when neither helps.
func (m *model) unblock(ctx context.Context) (string, error) {
	if s, err := m.more(ctx); err != nil || s != "" {
		return s, err
	}
	wide := *m
	wide.parts, wide.columns, wide.unit = clone(m.parts), clone(m.columns), clone(m.unit)
	wide.baseline, wide.most = clone(m.baseline), clone(m.most)
	wide.want.Parts = clone(m.want.Parts)
	first := len(wide.columns)
	for _, c := range m.want.Candidates {
		v := c.Values(feedstock.Best)
		one := sumsOf(&v, feedstock.Quantity{Volume: 1})
		if !m.complete(&one) {
			continue
		}
		wide.want.Parts = append(wide.want.Parts, c)
		wide.addColumn(len(wide.want.Parts)-1, one, 1, 0)
	}
	if len(wide.columns) == first {
		return "", nil
	}
	wide.windows = nil
	for _, h := range m.windows {
		again, ok := wide.hold(h.Window)
		if !ok {
			return "", nil
		}
		wide.windows = append(wide.windows, again)
	}
	wide.retotal()
	prog, size := wide.programme(0)
	for _, h := range wide.windows {
		wide.rows(&prog, h, size, -1, -1)
	}
	for i := first; i < len(wide.columns); i++ {
		prog.Columns[i].Cost = 1
	}
	sol, err := wide.solve(ctx, prog)
	if err != nil || sol.Values == nil {
		return "", err
	}
	var found []string
	for i := first; i < len(wide.columns); i++ {
		if v := sol.Values[i]; v > 1e-6 {
			found = append(found, fmt.Sprintf("%s of %s", m.volume(v), wide.want.Parts[wide.parts[i]].Name))
		}
	}
	if len(found) == 0 {
		return "", nil
	}
	sort.Strings(found)
	return "It would be possible with " + strings.Join(found, " and ") + ", by the library's figures.", nil
}

// more asks whether larger piles of the free parts would do.
func (m *model) more(ctx context.Context) (string, error) {
	limited := false
	prog, size := m.programme(0)
	for i, most := range m.most {
		if math.IsInf(most, 1) {
			continue
		}
		limited = true
		prog.Columns[i].High = math.Inf(1)
		beyond := prog.Add(program.Column{Name: "beyond", Cost: 1, High: math.Inf(1)})
		prog.Hold(program.Row{Low: math.Inf(-1), High: most, Terms: []program.Term{{Column: i, Coefficient: 1}, {Column: beyond, Coefficient: -1}}})
	}
	if !limited {
		return "", nil
	}
	for _, h := range m.windows {
		m.rows(&prog, h, size, -1, -1)
	}
	sol, err := m.solve(ctx, prog)
	if err != nil || sol.Values == nil {
		return "", err
	}
	var found []string
	for i, most := range m.most {
		if v := sol.Values[i]; !math.IsInf(most, 1) && v > most*(1+1e-6) {
			found = append(found, fmt.Sprintf("%s of %s in place of the %s there", m.volume(v), prog.Columns[i].Name, m.volume(most)))
		}
	}
	if len(found) == 0 {
		return "", nil
	}
	return "It would be possible with " + strings.Join(found, " and ") + ".", nil
}

// complete says whether a candidate has all that the held windows rest on.
func (m *model) complete(one *sums) bool {
	probe := *m
	probe.columns = append(clone(m.columns), *one)
	probe.baseline = append(clone(m.baseline), 0)
	method := m.airMethod()
	probe.want.Method = method
	for _, h := range m.windows {
		if _, ok := probe.hold(h.Window); !ok {
			return false
		}
	}
	return true
}

func (m *model) retotal() {
	if m.want.TotalVolume > 0 {
		m.total = m.sum(func(s *sums) float64 { return s.volume * (1 - m.want.Shrink.Best) })
	} else if m.want.TotalMass > 0 {
		m.total = m.sum(func(s *sums) float64 { return s.wet })
	}
}

func clone[T any](s []T) []T { return append([]T(nil), s...) }

// blockedTotal says that the total asked for cannot be made of what is there.
func (m *model) blockedTotal(plan []float64) Blocked {
	o := Volume
	if m.want.TotalMass > 0 {
		o = MassWet
	}
	b := Blocked{Window: Window{Output: o, Low: m.totalGoal, High: m.totalGoal}, Best: m.total.at(plan)}
	if b.Best < m.totalGoal {
		b.Needs = fmt.Sprintf("Needs more of the free parts than is there, or a total of %s.", m.amount(b.Best))
	} else {
		b.Needs = fmt.Sprintf("Needs less of the parts that stay as given, or a total of %s.", m.amount(b.Best))
	}
	return b
}

func (m *model) amount(v float64) string {
	if m.want.TotalMass > 0 {
		return m.want.Units.Mass(v)
	}
	return m.volume(v)
}

func (m *model) volume(v float64) string { return m.want.Units.Volume(qty.CubicMetre(v)) }

// bucketWords names a part of a bucket as a loader driver does.
func bucketWords(step float64) string {
	switch step {
	case 1:
		return "whole buckets"
	case 0.5:
		return "half buckets"
	case 0.25:
		return "quarter buckets"
	}
	return fmt.Sprintf("%g of a bucket", step)
}

// explainBuckets says which window a mix in buckets misses, though one by the
// shovel would meet it.
func (m *model) explainBuckets(ctx context.Context, exact []float64, steps []float64) error {
	finest := steps[len(steps)-1]
	plan, missed, err := m.nearest(ctx, finest)
	if err != nil {
		return err
	}
	m.found.Step = finest
	m.found.Recipe = m.recipe(plan)
	var by []string
	for i, part := range m.parts {
		if part >= 0 {
			by = append(by, fmt.Sprintf("%s of %s", m.volume(exact[i]*m.unit[i]), m.want.Parts[part].Name))
		}
	}
	needs := fmt.Sprintf("No count of %s of %s meets it, but %s would: a smaller bucket, a wider window or a larger total helps.",
		bucketWords(finest), m.volume(float64(m.want.Bucket)), strings.Join(by, " and "))
	for i, h := range m.windows {
		if missed[i] {
			m.found.Blocked = append(m.found.Blocked, Blocked{Window: h.Window, Best: h.num.at(plan) / h.den.at(plan), Needs: needs})
		}
	}
	if len(m.found.Blocked) == 0 {
		b := m.blockedTotal(plan)
		b.Needs = needs
		m.found.Blocked = []Blocked{b}
	}
	return nil
}
