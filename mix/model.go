package mix

import (
	"context"
	"fmt"
	"math"

	"wormyard/feedstock"
	"wormyard/program"
	"wormyard/qty"
)

// linear is a sum that depends on the amounts: a constant and a coefficient a column.
type linear struct {
	constant float64
	by       []float64
}

func (l linear) at(plan []float64) float64 {
	v := l.constant
	for i, c := range l.by {
		v += c * plan[i]
	}
	return v
}

// less gives l - f*o.
func (l linear) less(f float64, o linear) linear {
	out := linear{l.constant - f*o.constant, make([]float64, len(l.by))}
	for i := range l.by {
		out.by[i] = l.by[i] - f*o.by[i]
	}
	return out
}

func (l linear) terms() []program.Term {
	var t []program.Term
	for i, c := range l.by {
		if c != 0 {
			t = append(t, program.Term{Column: i, Coefficient: c})
		}
	}
	return t
}

// held is a window as the ratio of two linear sums.
type held struct {
	Window
	num, den linear
	scale    float64 // of the denominator, to weigh one window against another
}

// model is a Wanted in the form of sums. Column i is a free part, in m3 loose
// (in kg when its density is not known); the last column is water in m3 when it
// is free.
type model struct {
	want   Wanted
	p      *Parameters
	solver program.Solver
	found  *Found

	parts     []int     // index of the part of each column; -1 for water
	columns   []sums    // of one unit of each column
	unit      []float64 // m3 of loose volume in one unit, NaN when not known
	baseline  []float64 // the amount given, in units
	most      []float64 // available, in units
	fixed     sums      // of all that stays
	windows   []held    // those that can be held
	total     linear    // of the volume after shrink or of the mass
	totalGoal float64   // 0 for none
	values    []feedstock.Values
}

func (w *Wanted) model(p *Parameters) (*model, []Window) {
	m := &model{want: *w, p: p, fixed: none()}
	for i := range w.Parts {
		part := &w.Parts[i]
		v := part.Values(feedstock.Best)
		m.values = append(m.values, v)
		s := sumsOf(&v, part.Amount)
		if i >= len(w.Free) || !w.Free[i] {
			m.fixed.add(&s)
			continue
		}
		unit := feedstock.Quantity{Volume: 1}
		loose := 1.0
		if !(v.Density > 0) || v.Water == 1 {
			unit, loose = feedstock.Quantity{Wet: 1}, math.NaN()
		}
		one := sumsOf(&v, unit)
		m.addColumn(i, one, loose, s.wet/one.wet)
		if part.Available != nil {
			m.most[len(m.most)-1] = float64(*part.Available)
		}
	}
	if w.FreeWater {
		m.addColumn(-1, sums{wet: 1000, water: 1000, phLow: math.Inf(1), phHigh: math.Inf(-1)}, 1, float64(w.Water)/1000)
	} else {
		m.fixed.add(&sums{wet: float64(w.Water), water: float64(w.Water), phLow: math.Inf(1), phHigh: math.Inf(-1)})
	}
	if w.TotalVolume > 0 {
		m.total, m.totalGoal = m.sum(func(s *sums) float64 { return s.volume * (1 - w.Shrink.Best) }), float64(w.TotalVolume)
	} else if w.TotalMass > 0 {
		m.total, m.totalGoal = m.sum(func(s *sums) float64 { return s.wet }), float64(w.TotalMass)
	}
	var skipped []Window
	for _, t := range w.Target {
		h, ok := m.hold(t)
		if !ok {
			skipped = append(skipped, t)
			continue
		}
		m.windows = append(m.windows, h)
	}
	return m, skipped
}

func (m *model) addColumn(part int, one sums, loose, given float64) {
	m.parts = append(m.parts, part)
	m.columns = append(m.columns, one)
	m.unit = append(m.unit, loose)
	m.baseline = append(m.baseline, given)
	m.most = append(m.most, math.Inf(1))
}

func (m *model) sum(of func(*sums) float64) linear {
	l := linear{of(&m.fixed), make([]float64, len(m.columns))}
	for i := range m.columns {
		l.by[i] = of(&m.columns[i])
	}
	return l
}

// hold turns a window into two sums, M30 and M31; false when one is not known
// or when the output is no ratio of sums.
func (m *model) hold(w Window) (held, bool) {
	keep := 1 - m.want.Shrink.Best
	wet := m.sum(func(s *sums) float64 { return s.wet })
	dry := m.sum(func(s *sums) float64 { return s.dry })
	volume := m.sum(func(s *sums) float64 { return s.volume * keep })
	one := linear{1, make([]float64, len(m.columns))}
	h := held{Window: w}
	switch w.Output {
	case MassWet:
		h.num, h.den = wet, one
	case MassDry:
		h.num, h.den = dry, one
	case WaterMass:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.water }), one
	case Volume:
		h.num, h.den = volume, one
	case Water:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.water }), wet
	case Carbon:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.carbon }), dry
	case Nitrogen:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.nitrogen }), dry
	case CN:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.carbon }), m.sum(func(s *sums) float64 { return s.nitrogen })
	case Ash:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.ash }), dry
	case Lignin:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.lignin }), dry
	case Salts:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.salt }), dry
	case Ammonia:
		h.num, h.den = m.sum(func(s *sums) float64 { return s.ammonia }), dry
	case Density:
		h.num, h.den = wet, volume
	case AirFilled:
		h.den = volume
		h.num = m.sum(func(s *sums) float64 {
			v := s.volume * keep
			if m.airMethod() == Linear {
				return v - m.p.SlopePycno/100*s.wet
			}
			return v - s.water/waterDensity - (s.dry-s.ash)/m.p.OrganicDensity - s.ash/m.p.AshDensity
		})
	default:
		return h, false
	}
	for _, l := range []linear{h.num, h.den} {
		if math.IsNaN(l.constant) {
			return h, false
		}
		for _, c := range l.by {
			if math.IsNaN(c) {
				return h, false
			}
		}
	}
	h.scale = h.den.constant
	for i, c := range h.den.by {
		h.scale += c * math.Max(m.baseline[i], 1)
	}
	if !(h.scale > 0) {
		h.scale = 1
	}
	return h, true
}

// airMethod is the method for air-filled space, chosen as Forward chooses, by
// all parts that may be in the mix.
func (m *model) airMethod() Method {
	if m.want.Method != "" {
		return m.want.Method
	}
	all := m.fixed
	for i := range m.columns {
		all.add(&m.columns[i])
	}
	if math.IsNaN(all.ash) {
		return Linear
	}
	return Volumes
}

// best solves for the windows with amounts in steps of a part of a bucket (0
// for any size) and gives the plan in units, nil when there is none.
func (m *model) best(ctx context.Context, step float64) ([]float64, error) {
	prog, size := m.programme(step)
	for _, h := range m.windows {
		m.rows(&prog, h, size, -1, -1)
	}
	m.aim(&prog, size)
	m.center(&prog, size)
	sol, err := m.solve(ctx, prog)
	if err != nil || sol.Status == program.Infeasible {
		return nil, err
	}
	if sol.Values == nil {
		return nil, fmt.Errorf("mix: the search ended %v without a plan", sol.Status)
	}
	if step > 0 && m.want.FreeWater {
		// The search stops at half a percent; with the buckets settled, the water
		// is found to the end.
		for i := range size {
			if c := &prog.Columns[i]; c.Whole {
				c.Low, c.High, c.Whole = math.Round(sol.Values[i]), math.Round(sol.Values[i]), false
			}
		}
		again, err := m.solve(ctx, prog)
		if err != nil {
			return nil, err
		}
		if again.Status == program.Optimal {
			sol = again
		}
	}
	return scaled(sol.Values, size), nil
}

// center adds a trace of price on the way from the middle of each window, so
// that of mixes that are as good the one that bears most error is taken. It
// gives up a ten-thousandth of what is made least at most.
func (m *model) center(prog *program.Problem, size []float64) {
	amount := 1.0
	for i := range m.columns {
		amount = math.Max(amount, m.baseline[i])
	}
	amount = math.Max(amount, float64(m.want.TotalVolume))
	for _, h := range m.windows {
		half := (h.High - h.Low) / 2
		if math.IsInf(half, 0) || half <= 0 || h.Low <= 0 {
			continue
		}
		price := centerTrace * m.dearest() * amount / half
		up := prog.Add(program.Column{Name: "above the middle", Cost: price, High: math.Inf(1)})
		down := prog.Add(program.Column{Name: "below the middle", Cost: price, High: math.Inf(1)})
		d := h.num.less(h.Low+half, h.den)
		row := program.Row{Name: h.Output.Key() + " middle", Low: -d.constant / h.scale, High: -d.constant / h.scale}
		for _, t := range d.terms() {
			row.Terms = append(row.Terms, program.Term{Column: t.Column, Coefficient: t.Coefficient * size[t.Column] / h.scale})
		}
		row.Terms = append(row.Terms, program.Term{Column: up, Coefficient: -1}, program.Term{Column: down, Coefficient: 1})
		prog.Hold(row)
	}
}

const centerTrace = 1e-4

// dearest is the highest price of a free part, at least 1.
func (m *model) dearest() float64 {
	most := 1.0
	for i := range m.columns {
		if k := m.parts[i]; k >= 0 && m.want.Least == Cost {
			most = math.Max(most, math.Abs(float64(*m.want.Parts[k].CostPerM3)))
		}
	}
	return most
}

func (m *model) solve(ctx context.Context, prog program.Problem) (program.Solution, error) {
	m.found.Solves++
	return m.solver(ctx, prog)
}

func scaled(values, size []float64) []float64 {
	plan := make([]float64, len(size))
	for i, s := range size {
		plan[i] = math.Max(0, values[i]) * s
	}
	return plan
}

// programme begins a programme with one column for each of the model's, and
// gives the size of one step of each in units.
func (m *model) programme(step float64) (program.Problem, []float64) {
	// Half a percent of the price is nothing to a loader, and saves the search.
	prog := program.Problem{Gap: 0.005}
	size := make([]float64, len(m.columns))
	for i := range m.columns {
		size[i] = 1
		c := program.Column{Name: "water", High: m.most[i]}
		if m.parts[i] >= 0 {
			c.Name = m.want.Parts[m.parts[i]].Name
			if step > 0 {
				size[i] = step * float64(m.want.Bucket) / m.unit[i]
				c.Whole = true
				c.High = math.Floor(m.most[i]/size[i] + 1e-9)
			}
		}
		prog.Add(c)
	}
	if m.totalGoal > 0 {
		// Buckets cannot hit a volume to the litre: half a step either way.
		slack := 0.0
		if step > 0 {
			for i, c := range m.total.by {
				if m.parts[i] >= 0 {
					slack = math.Max(slack, c*size[i]/2)
				}
			}
		}
		row := program.Row{Name: "total", Low: m.totalGoal - m.total.constant - slack, High: m.totalGoal - m.total.constant + slack}
		for i, c := range m.total.by {
			row.Terms = append(row.Terms, program.Term{Column: i, Coefficient: c * size[i]})
		}
		prog.Hold(row)
	}
	return prog, size
}

// rows holds num between low*den and high*den; short and over are columns that
// take what is missing or too much, -1 for none.
func (m *model) rows(prog *program.Problem, h held, size []float64, short, over int) {
	put := func(limit float64, slack int, sign float64) {
		d := h.num.less(limit, h.den)
		row := program.Row{Name: h.Output.Key(), Low: math.Inf(-1), High: math.Inf(1)}
		for _, t := range d.terms() {
			row.Terms = append(row.Terms, program.Term{Column: t.Column, Coefficient: t.Coefficient * size[t.Column] / h.scale})
		}
		if slack >= 0 {
			row.Terms = append(row.Terms, program.Term{Column: slack, Coefficient: sign})
		}
		bound := -d.constant / h.scale
		if sign > 0 {
			row.Low = bound
		} else {
			row.High = bound
		}
		prog.Hold(row)
	}
	if !math.IsInf(h.Low, -1) && !(h.Low == 0 && h.Output != AirFilled) {
		put(h.Low, short, 1)
	}
	if !math.IsInf(h.High, 1) {
		put(h.High, over, -1)
	}
}

// aim sets the prices. A trace of volume is added to break ties, so that of two
// equal mixes the smaller is taken.
func (m *model) aim(prog *program.Problem, size []float64) {
	const trace = 1e-6
	dearest := m.dearest()
	for i, part := range m.parts {
		volume := m.unit[i]
		if math.IsNaN(volume) {
			volume = m.columns[i].wet / waterDensity
		}
		price := trace * dearest * volume
		switch {
		case m.want.Least == Cost && part >= 0:
			price += float64(*m.want.Parts[part].CostPerM3) * volume
		case m.want.Least == LeastPour && part < 0:
			price += volume
		case m.want.Least == Change || m.want.Least == "":
			up := prog.Add(program.Column{Name: "more", Cost: volume, High: math.Inf(1)})
			down := prog.Add(program.Column{Name: "less", Cost: volume, High: math.Inf(1)})
			prog.Hold(program.Row{Name: "change", Low: m.baseline[i], High: m.baseline[i], Terms: []program.Term{
				{Column: i, Coefficient: size[i]}, {Column: up, Coefficient: -1}, {Column: down, Coefficient: 1},
			}})
		}
		prog.Columns[i].Cost = price * size[i]
	}
}

// recipe writes a plan back into the recipe. Free parts come out by volume
// where density is known, by mass otherwise.
func (m *model) recipe(plan []float64) Recipe {
	r := m.want.Recipe
	r.Parts = append([]Part(nil), r.Parts...)
	for i, part := range m.parts {
		amount := plan[i]
		if amount < 1e-9 {
			amount = 0
		}
		switch {
		case part < 0:
			r.Water = qty.WaterKg(amount * waterDensity)
		case math.IsNaN(m.unit[i]):
			r.Parts[part].Amount = feedstock.Quantity{Wet: qty.WetKg(amount)}
		default:
			r.Parts[part].Amount = feedstock.Quantity{Volume: qty.CubicMetre(amount)}
		}
	}
	return r
}
