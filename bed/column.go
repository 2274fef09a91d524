package bed

import "math"

// heatColumn is the conduction of heat through a column of cells, for each
// square metre. Cell 0 is one end; link[i] joins cells i-1 and i, link[0] and
// link[n] join the ends to what is beyond them at temperatures given with every
// step. Each cell also loses heat sideways. The bed and the figure
// bed.heat_column run this very solver.
//
// Time: the two-stage singly diagonally implicit Runge-Kutta method of second
// order that damps stiff parts fully (Alexander 1977, SIAM J. Numer. Anal.
// 14:1006), with gamma 1 - 1/sqrt 2. Both stages share one matrix, factored
// once for many steps. model.md (B2)
type heatColumn struct {
	n      int
	dt     float64   // step for which it is factored [s]
	cap    []float64 // heat capacity [J/(m2 K)]
	link   []float64 // conductance [W/(m2 K)], n+1 long
	side   []float64 // conductance sideways [W/(m2 K)]
	source []float64 // heat made [W/m2]

	over []float64 // cap / (gamma dt)
	low  []float64 // link over pivot, of the factored matrix
	inv  []float64 // 1 / pivot
	one  []float64 // temperatures of the first stage
	rhs  []float64
}

const (
	gamma  = 1 - 1/math.Sqrt2
	beyond = (1 - gamma) / gamma
)

// heatFlow is what left the column over a step, mean [W/m2].
type heatFlow struct{ first, last, sides float64 }

func newHeatColumn(cells int) *heatColumn {
	h := new(heatColumn)
	h.grow(cells)
	return h
}

func (h *heatColumn) grow(cells int) {
	h.cap = make([]float64, cells)
	h.link = make([]float64, cells+1)
	h.side = make([]float64, cells)
	h.source = make([]float64, cells)
	h.over = make([]float64, cells)
	h.low = make([]float64, cells)
	h.inv = make([]float64, cells)
	h.one = make([]float64, cells)
	h.rhs = make([]float64, cells)
}

// factor prepares steps of dt seconds.
func (h *heatColumn) factor(dt float64) {
	h.dt = dt
	per := 1 / (gamma * dt)
	for i := 0; i < h.n; i++ {
		h.over[i] = h.cap[i] * per
	}
	h.pivots()
}

// pivots factors over + conduction, symmetric and diagonally dominant.
func (h *heatColumn) pivots() {
	before := 0.0
	for i := 0; i < h.n; i++ {
		d := h.over[i] + h.link[i] + h.link[i+1] + h.side[i]
		if i > 0 {
			h.low[i] = h.link[i] * before
			d -= h.link[i] * h.low[i]
		}
		before = 1 / d
		h.inv[i] = before
	}
}

// solve turns the right side into temperatures, in place.
func (h *heatColumn) solve(x []float64) {
	n := h.n
	low, inv := h.low[:n], h.inv[:n]
	x = x[:n]
	y := x[0]
	for i := 1; i < n; i++ {
		y = x[i] + low[i]*y
		x[i] = y
	}
	z := y * inv[n-1]
	x[n-1] = z
	for i := n - 2; i >= 0; i-- {
		z = x[i]*inv[i] + low[i+1]*z
		x[i] = z
	}
}

// step moves the temperatures on by the factored dt with the given temperatures
// beyond the first cell, beyond the last and at the sides. model.md (B2)
func (h *heatColumn) step(t []float64, first, last, sides float64) heatFlow {
	n := h.n
	t, over, side, source := t[:n], h.over[:n], h.side[:n], h.source[:n]
	one, x := h.one[:n], h.rhs[:n]
	a, b := h.link[0]*first, h.link[n]*last
	for i := range t {
		fixed := source[i] + side[i]*sides
		x[i] = fixed
		one[i] = over[i]*t[i] + fixed
	}
	one[0] += a
	one[n-1] += b
	h.solve(one)
	for i := range t {
		x[i] += over[i] * (t[i] + beyond*(one[i]-t[i]))
	}
	x[0] += a
	x[n-1] += b
	h.solve(x)
	var f heatFlow
	sideways := 0.0
	for i := range t {
		mean := (1-gamma)*one[i] + gamma*x[i]
		sideways += side[i] * (mean - sides)
		t[i] = x[i]
	}
	f.first = h.link[0] * ((1-gamma)*one[0] + gamma*x[0] - first)
	f.last = h.link[n] * ((1-gamma)*one[n-1] + gamma*x[n-1] - last)
	f.sides = sideways
	return f
}

// steady solves for temperatures that no longer change. At least one way out
// must have a conductance above 0.
func (h *heatColumn) steady(t []float64, first, last, sides float64) heatFlow {
	n := h.n
	for i := 0; i < n; i++ {
		h.over[i] = 0
		t[i] = h.source[i] + h.side[i]*sides
	}
	h.pivots()
	t[0] += h.link[0] * first
	t[n-1] += h.link[n] * last
	h.solve(t)
	var f heatFlow
	for i := 0; i < n; i++ {
		f.sides += h.side[i] * (t[i] - sides)
	}
	f.first = h.link[0] * (t[0] - first)
	f.last = h.link[n] * (t[n-1] - last)
	return f
}

// gasColumn is the quasi-steady diffusion of oxygen through a column of cells
// with uptake, for each square metre, in concentrations of the pore air relative
// to open air (1 is open air). Uptake of a cell at relative concentration c is
//
//	first c + most c/(half + c)   [kg/(m2 s)]
//
// beside which air may rise from cell to cell (rise). With half 0 uptake does
// not slow until nothing is left; then c is held at or above 0 and a cell takes
// up only what reaches it. The bed and the figure bed.oxygen_column run this
// very solver. model.md (B9)
type gasColumn struct {
	n     int
	link  []float64 // conductance [kg/(m2 s)] for a difference of 1; n+1 long; ends lead to open air
	side  []float64 // conductance to open air sideways [kg/(m2 s)]
	rise  []float64 // carried up by rising air from cell i-1 to i [kg/(m2 s)] at 1, n+1 long; what comes in sideways to feed it stands in side
	first []float64
	most  []float64
	half  []float64
	c     []float64 // answer; also the first guess

	diag, rhs, low []float64
	none           []bool // cells held at nothing
}

func newGasColumn(cells int) *gasColumn {
	g := new(gasColumn)
	g.link = make([]float64, cells+1)
	g.side = make([]float64, cells)
	g.rise = make([]float64, cells+1)
	g.first = make([]float64, cells)
	g.most = make([]float64, cells)
	g.half = make([]float64, cells)
	g.c = make([]float64, cells)
	g.diag = make([]float64, cells)
	g.rhs = make([]float64, cells)
	g.low = make([]float64, cells)
	g.none = make([]bool, cells)
	return g
}

// solve finds the concentrations by Newton's method on the uptake, which is
// concave, so that after the first pass the iterates rise to the answer; a cell
// whose answer would fall below nothing is held there. It returns the number of
// passes. model.md (B9)
func (g *gasColumn) solve(passes int, close float64) int {
	n := g.n
	for i := 0; i < n; i++ {
		g.none[i] = false
	}
	for pass := 1; ; pass++ {
		// Linearise: uptake = a + b c.
		for i := 0; i < n; i++ {
			a, b := 0.0, g.first[i]
			switch {
			case g.most[i] == 0:
			case g.half[i] == 0:
				a = g.most[i]
			default:
				q := 1 / (g.half[i] + g.c[i])
				b += g.most[i] * g.half[i] * q * q
				a = g.most[i] * g.c[i] * g.c[i] * q * q
			}
			g.diag[i] = b + g.below(i) + g.link[i+1] + g.side[i] + shut
			g.rhs[i] = g.side[i] - a
		}
		g.rhs[0] += g.link[0]
		g.rhs[n-1] += g.link[n]
		change, moved := g.pass()
		if (change < close && !moved) || pass >= passes {
			return pass
		}
	}
}

// shut keeps a cell that nothing reaches solvable: it holds nothing.
const shut = 1e-30

// pass solves the linearised system with the held cells at nothing, updates c
// and reports the largest change and whether the set of held cells moved.
func (g *gasColumn) pass() (change float64, moved bool) {
	n := g.n
	// Thomas elimination; a held cell is the row c = 0.
	before := 0.0 // pivot inverse times nothing for the first row
	for i := 0; i < n; i++ {
		if g.none[i] {
			g.low[i], g.rhs[i], before = 0, 0, 0
			g.diag[i] = 1
			continue
		}
		d, r := g.diag[i], g.rhs[i]
		if i > 0 && !g.none[i-1] {
			m := g.below(i) * before
			d -= m * g.link[i]
			r += m * g.rhs[i-1]
		}
		before = 1 / d
		g.diag[i], g.rhs[i] = before, r
	}
	next := 0.0
	for i := n - 1; i >= 0; i-- {
		x := 0.0
		if !g.none[i] {
			x = (g.rhs[i] + g.link[i+1]*next*boolFloat(i < n-1)) * g.diag[i]
		}
		next = x
		g.low[i] = x
	}
	for i := 0; i < n; i++ {
		x := g.low[i]
		if g.half[i] == 0 && g.most[i] > 0 {
			if g.none[i] {
				// Let it go when more would reach it than it takes.
				reach := g.side[i]
				if i > 0 {
					reach += g.below(i) * g.low[i-1]
				} else {
					reach += g.link[0]
				}
				if i < n-1 {
					reach += g.link[i+1] * g.low[i+1]
				} else {
					reach += g.link[n]
				}
				if reach > g.most[i] {
					g.none[i], moved = false, true
				}
			} else if x < 0 {
				g.none[i], moved = true, true
				x = 0
			}
		} else if x < 0 {
			x = 0
			moved = true
		}
		if d := math.Abs(x - g.c[i]); d > change {
			change = d
		}
		g.c[i] = x
	}
	return change, moved
}

// below gives what comes up from the cell below for a difference of 1, by
// diffusion and with rising air [kg/(m2 s)].
func (g *gasColumn) below(i int) float64 { return g.link[i] + g.rise[i] }

func boolFloat(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// uptake gives what a cell takes up at its concentration [kg/(m2 s)]; a held
// cell takes what reaches it.
func (g *gasColumn) uptake(i int) float64 {
	c := g.c[i]
	u := g.first[i] * c
	switch {
	case g.most[i] == 0:
	case g.half[i] > 0:
		u += g.most[i] * c / (g.half[i] + c)
	case c > 0:
		u += g.most[i]
	default:
		u += min(g.most[i], g.reach(i))
	}
	return u
}

// reach gives what flows into a cell that holds nothing [kg/(m2 s)].
func (g *gasColumn) reach(i int) float64 {
	r := g.side[i]
	if i > 0 {
		r += g.below(i) * g.c[i-1]
	} else {
		r += g.link[0]
	}
	if i < g.n-1 {
		r += g.link[i+1] * g.c[i+1]
	} else {
		r += g.link[g.n]
	}
	return r
}
