package bed

import (
	"math"
	"testing"
)

// slab is a uniform column of n cells [m, W/(m K), J/(m3 K)].
func slab(n int, depth, k, capacity, temp float64) (*heatColumn, []float64) {
	h := newHeatColumn(n)
	h.n = n
	dz := depth / float64(n)
	t := make([]float64, n)
	for i := range n {
		h.cap[i] = capacity * dz
		h.link[i] = k / dz
		t[i] = temp
	}
	h.link[0], h.link[n] = 2*k/dz, 2*k/dz
	return h, t
}

// The wave of a day dies out with depth and comes late: amplitude exp(-x/d), lag
// x/d over omega, damping depth d = sqrt(2 alpha/omega). Exact mathematics.
func TestDailyWave(t *testing.T) {
	const k, c, n, depth = 0.40, 2.5e6, 800, 1.6
	omega := 2 * math.Pi / 86400
	d := math.Sqrt(2 * k / c / omega)
	h, temp := slab(n, depth, k, c, 0)
	h.link[n] = 0
	const dt = 900.0
	h.factor(dt)
	probe := []float64{0.1, 0.3}
	cos, sin := make([]float64, 2), make([]float64, 2)
	const days = 30
	for s := range days * 96 {
		// The face is held at the mean of the wave over the step.
		at := (float64(s) + 0.5) * dt
		h.step(temp, math.Cos(omega*at), 0, 0)
		if s >= (days-1)*96 {
			end := (float64(s) + 1) * dt
			for i, x := range probe {
				j := int(x/depth*n + 0.5)
				v := (temp[j-1] + temp[j]) / 2
				cos[i] += v * math.Cos(omega*end) / 48
				sin[i] += v * math.Sin(omega*end) / 48
			}
		}
	}
	for i, x := range probe {
		ratio, lag := math.Hypot(cos[i], sin[i]), math.Atan2(sin[i], cos[i])/omega/3600
		wantRatio, wantLag := math.Exp(-x/d), x/d/omega/3600
		if lag < 0 {
			lag += 24
		}
		if math.Abs(ratio/wantRatio-1) > 0.01 || math.Abs(lag-wantLag) > 0.06 {
			t.Errorf("at %g m: amplitude %.6f, lag %.4f h; want %.6f and %.4f", x, ratio, lag, wantRatio, wantLag)
		}
	}
}

// A box that cools through all six faces is the product of three slabs; each is
// run through the column. Series of cosines give the answer.
func TestBoxOfThreeSlabs(t *testing.T) {
	const k, c, film = 0.40, 2.5e6, 5.0
	run := func(depth float64, days float64) (center, mean float64) {
		const n = 601
		h, temp := slab(n, depth, k, c, 1)
		half := depth / n / (2 * k)
		h.link[0], h.link[n] = 1/(half+1/film), 1/(half+1/film)
		h.factor(600)
		for range int(days * 144) {
			h.step(temp, 0, 0, 0)
		}
		for _, v := range temp {
			mean += v / n
		}
		return temp[n/2], mean
	}
	for _, want := range []struct{ days, center, mean float64 }{{1, 33.0019, 21.6917}, {5, 13.0934, 8.20548}, {10, 6.19843, 5.45775}} {
		lc, lm := run(1.2, want.days)
		sc, sm := run(0.6, want.days)
		center, mean := 5+30*lc*lc*sc, 5+30*lm*lm*sm
		if math.Abs(center-want.center) > 0.003 || math.Abs(mean-want.mean) > 0.003 {
			t.Errorf("day %g: centre %.4f, mean %.4f; the product of three series gives %.4f and %.4f", want.days, center, mean, want.center, want.mean)
		}
	}
}

// Heat that rises with temperature, q0 (1 + beta T), both faces at 0: centre
// (1/beta) (1/cos(m L/2) - 1), m = sqrt(q0 beta/k); nothing holds from L = pi/m.
func TestHeatThatFeedsItself(t *testing.T) {
	const k, q0, beta = 0.40, 100.0, 0.065
	m := math.Sqrt(q0 * beta / k)
	center := func(depth float64) (float64, bool) {
		const n = 1001
		h, temp := slab(n, depth, k, 2.5e6, 0)
		dz := depth / n
		last := 0.0
		for range 2000 {
			for i := range temp {
				h.source[i] = q0 * (1 + beta*temp[i]) * dz
			}
			h.steady(temp, 0, 0, 0)
			if now := temp[n/2]; math.Abs(now-last) < 1e-10 {
				return now, true
			} else if now > 1e6 {
				return now, false
			}
			last = temp[n/2]
		}
		return last, false
	}
	for _, depth := range []float64{0.3, 0.4, 0.7} {
		want := (1/math.Cos(m*depth/2) - 1) / beta
		got, ok := center(depth)
		if !ok || math.Abs(got/want-1) > 1e-5 {
			t.Errorf("%g m: centre %.6f K, want %.6f", depth, got, want)
		}
	}
	if _, ok := center(math.Pi/m + 0.01); ok {
		t.Error("a column thicker than pi/m found a steady state; there is none")
	}
}

// Heat made dies away, nothing is lost: the rise is q0/(C a) (1 - exp(-a t)).
func TestHeatDyingAway(t *testing.T) {
	const c, a = 2.5e6, 0.1
	h, temp := slab(50, 0.5, 0.4, c, 0)
	h.link[0], h.link[50] = 0, 0
	h.factor(3600)
	for hour := range 7 * 24 {
		// Mean of the heat over the hour, as the bed spreads it.
		from, to := float64(hour)/24, float64(hour+1)/24
		q := 300 * (math.Exp(-a*from) - math.Exp(-a*to)) / (a * (to - from))
		for i := range temp {
			h.source[i] = q * 0.01
		}
		h.step(temp, 0, 0, 0)
		if want, ok := map[int]float64{23: 9.8665, 71: 26.872, 167: 52.194}[hour]; ok && math.Abs(temp[25]-want) > 0.001 {
			t.Errorf("after %d h: %.4f K, want %.4f", hour+1, temp[25], want)
		}
	}
}

// Oxygen filling a closed column follows the equation of heat with the air space
// as capacity; a printed value of the series at the closed end.
func TestOxygenFilling(t *testing.T) {
	const n = 600
	h, c := slab(n, 0.3, 1e-6, 0.3, 0)
	h.link[n] = 0
	h.factor(1)
	for range 3600 {
		h.step(c, 1, 0, 0)
	}
	if want := 0.105615; math.Abs(c[n-1]/want-1) > 2e-3 {
		t.Errorf("at the closed end after an hour: %.6f, want %.6f", c[n-1], want)
	}
}

// Halving the cells brings the error down to a quarter: second order in space.
// Against the closed form of two layers, and of a Monod column against its own
// finest grid.
func TestGridConverges(t *testing.T) {
	heat := func(cells float64) float64 {
		u := func(v float64) *float64 { return &v }
		out, _, err := heatFigure(heatColumnIn{
			Layers: []HeatLayer{{ThicknessM: 0.05, Conductivity: 0.25, Heat: 800}, {ThicknessM: 0.45, Conductivity: 0.45, Heat: 20}},
			Top:    HeatEnd{U: u(3), AirC: u(10)}, Bottom: HeatEnd{U: u(2), AirC: u(10)}, Hours: HeatHours{Word: "steady"}, Cells: cells,
		})
		if err != nil {
			t.Fatal(err)
		}
		return out.Times[0].MeanC
	}
	// Mean of two parabolas: top layer T0 + F z/k1 - q1 z^2/2k1, below Ti + G y/k2 - q2 y^2/2k2.
	total := 49.0
	f := (total + 2*(800*0.05*0.05/(2*0.25)+800*0.05+20*0.45*0.45/(2*0.45))) / (1 + 2*(1.0/3+0.05/0.25+1))
	t0 := 10 + f/3
	ti := t0 + f*0.05/0.25 - 800*0.05*0.05/(2*0.25)
	g := f - 40
	mean := (0.05*(t0+f*0.05/(2*0.25)-800*0.05*0.05/(6*0.25)) + 0.45*(ti+g*0.45/(2*0.45)-20*0.45*0.45/(6*0.45))) / 0.5
	last := math.Inf(1)
	for _, cells := range []float64{20, 40, 80, 160} {
		e := math.Abs(heat(cells) - mean)
		if !math.IsInf(last, 1) && (e > last/3.5 || e < last/4.5) {
			t.Errorf("heat, %g cells: error %.3g after %.3g; second order quarters it", cells, e, last)
		}
		last = e
	}
	oxygen := func(cells float64) float64 {
		out, _, err := oxygenFigure(oxygenColumnIn{Layers: []OxygenLayer{{ThicknessM: 0.3, Diffusivity: 1e-6, Uptake: 1e-5, Half: 0.0274}}, Surface: 0.2739, Bottom: "closed", Cells: cells})
		if err != nil {
			t.Fatal(err)
		}
		return out.Flux
	}
	want := 2.0229206046e-06 // shooting, internal/published/computed/columns.py
	last = math.Inf(1)
	for _, cells := range []float64{20, 40, 80, 160} {
		e := math.Abs(oxygen(cells) - want)
		if !math.IsInf(last, 1) && (e > last/3.5 || e < last/4.5) {
			t.Errorf("oxygen, %g cells: error %.3g after %.3g; second order quarters it", cells, e, last)
		}
		last = e
	}
}

// Halving the step brings the error of a smooth case down to a quarter: second
// order in time, against a step sixteen times finer than the finest.
func TestTimeConverges(t *testing.T) {
	run := func(dt float64) float64 {
		h, temp := slab(12, 0.5, 0.4, 2.5e6, 0)
		for i := range temp {
			temp[i] = 10 + 10*math.Cos(math.Pi*(float64(i)+0.5)/12)
		}
		h.link[0], h.link[12] = 3, 2
		h.factor(dt)
		for range int(86400 / dt) {
			h.step(temp, 5, 8, 0)
		}
		return temp[2]
	}
	exact := run(3.375)
	last := math.Inf(1)
	for _, dt := range []float64{3600, 1800, 900, 450} {
		e := math.Abs(run(dt) - exact)
		if !math.IsInf(last, 1) && (e > last/3 || e < last/5.5) {
			t.Errorf("step %g s: error %.3g after %.3g; second order quarters it", dt, e, last)
		}
		last = e
	}
}

// Uptake can never pass what reaches a cell, and nothing is below nothing.
func TestOxygenNeverNegative(t *testing.T) {
	for _, half := range []float64{0, 1e-6, 0.05} {
		g := newGasColumn(30)
		g.n = 30
		for i := range 30 {
			g.link[i] = 1e-5 * float64(1+i%7)
			g.most[i] = 1e-5 * float64(i%11) * 50
			g.half[i] = half
			g.c[i] = 1
			g.side[i] = 1e-7
		}
		g.link[30] = 1e-5
		g.solve(500, 1e-12)
		in, used := g.link[0]*(1-g.c[0])+g.link[30]*(1-g.c[29]), 0.0
		for i := range 30 {
			if g.c[i] < 0 || g.c[i] > 1 {
				t.Errorf("half %g: cell %d holds %g of open air", half, i, g.c[i])
			}
			in += g.side[i] * (1 - g.c[i])
			used += g.uptake(i)
		}
		if math.Abs(in/used-1) > 1e-8 {
			t.Errorf("half %g: %g comes in and %g is used", half, in, used)
		}
	}
}
