package mix

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"

	"wormyard/feedstock"
	"wormyard/qty"
)

// Draws is the usual number of draws.
const Draws = 10000

// Outlook is what is known of a mix when its properties are ranges (M34).
type Outlook struct {
	Draws  int
	Range  map[Output][3]float64 // 5th, 50th and 95th percentile; only when an input is a range
	Chance []float64             // one a window, NaN when its output is not known
	All    float64               // that every window which is known is met; NaN without windows
	Next   *Test
}

// Test is the one measurement that would help most (M35).
type Test struct {
	What   string
	Why    string
	Part   string
	Key    string  // the property measured, outside Go
	Settle float64 // part of the doubt it would settle, 0 to 1; NaN for a property that is not known at all
}

// normal95 is the 95th percentile of the standard normal distribution.
const normal95 = 1.6448536269514722

// Draw gives the value of e at a standard normal deviate z: a two-piece normal
// about the best as median, on the logit for fractions and on the log for other
// positive quantities, low to high being the central 90 %. Where an end is 0 or
// 1, that has no logit or log, that side is spread on the value itself.
// docs/model.md (M34).
func Draw(e qty.Estimate, fraction bool, z float64) float64 {
	c := curveOf(e, fraction)
	return c.at(z)
}

// curve is an estimate made ready for many draws.
type curve struct {
	fraction bool
	best     float64
	middle   float64 // of the scale on which the pieces are normal
	low      piece
	high     piece
}

// piece is one side of the median.
type piece struct {
	step   float64 // of the scale for one standard deviation
	scaled bool    // on the logit or log; else on the value itself
}

func curveOf(e qty.Estimate, fraction bool) curve {
	scale := math.Log
	if fraction {
		scale = func(x float64) float64 { return math.Log(x / (1 - x)) }
	}
	c := curve{fraction: fraction, best: e.Best}
	inside := func(x float64) bool { return x > 0 && (!fraction || x < 1) }
	if inside(e.Best) {
		c.middle = scale(e.Best)
	}
	side := func(end float64) piece {
		if inside(e.Best) && inside(end) {
			return piece{math.Abs(scale(end)-c.middle) / normal95, true}
		}
		return piece{math.Abs(end-e.Best) / normal95, false}
	}
	c.low, c.high = side(e.Low), side(e.High)
	return c
}

func (c *curve) at(z float64) float64 {
	p := &c.high
	if z < 0 {
		p = &c.low
	}
	switch {
	case p.step == 0 || z == 0:
		return c.best
	case !p.scaled && c.fraction:
		return min(max(c.best+z*p.step, 0), 1)
	case !p.scaled:
		return max(c.best+z*p.step, 0)
	case c.fraction:
		return 1 / (1 + math.Exp(-(c.middle + z*p.step)))
	}
	return math.Exp(c.middle + z*p.step)
}

// drawn is one uncertain property of one part, or the shrink (part -1).
type drawn struct {
	part     int
	key      string
	fraction bool
	of       qty.Estimate
	stream   uint64
	classes  []uint8 // of the standard normal deviates, see class
	values   []float64
}

func (d *drawn) draw(seed uint64, n int) {
	source := rand.New(rand.NewPCG(seed, d.stream))
	c := curveOf(d.of, d.fraction)
	d.classes, d.values = make([]uint8, n), make([]float64, n)
	for i := range d.values {
		z := source.NormFloat64()
		d.classes[i] = class(z)
		d.values[i] = c.at(z)
	}
}

// keyIndex numbers the properties that a mix rests on, so that each has a
// random stream of its own: a change in one part leaves the others' draws.
var keyIndex = []string{
	feedstock.KeyWater, feedstock.KeyNitrogen, feedstock.KeyCN, feedstock.KeyCarbon, feedstock.KeyDensity,
	feedstock.KeyAsh, feedstock.KeyLignin, feedstock.KeySalts, feedstock.KeyAmmonia,
}

func fractional(key string) bool { return strings.Contains(key, "_frac") }

// Drawn gives the material with its ranges drawn once: each property that a mix
// rests on becomes one value (M34), the others stay. A given source of standard
// normal deviates gives the same material; one deviate is taken for each
// property, drawn or not, so that a range more does not move the others.
func Drawn(m feedstock.Material, deviate func() float64) feedstock.Material {
	for _, key := range keyIndex {
		z := deviate()
		p := m.Property(key)
		if p == nil || !p.Has() || !p.Spread() {
			continue
		}
		v := Draw(p.Estimate, fractional(key), z)
		p.Estimate = qty.Estimate{Best: v, Low: v, High: v, Known: p.Known}
	}
	// Nitrogen and C:N drawn apart can pass what a kilogram holds.
	if v := m.Values(feedstock.Best); v.Carbon > 1 {
		most := 1 / float64(v.Nitrogen)
		m.CN.Estimate = qty.Estimate{Best: most, Low: most, High: most, Known: m.CN.Known}
	}
	return m
}

// Drawn gives the recipe with the ranges of its parts and of its loss of volume
// drawn once, see the function of the same name.
func (r Recipe) Drawn(deviate func() float64) Recipe {
	r.Parts = slices.Clone(r.Parts)
	for i := range r.Parts {
		r.Parts[i].Material = Drawn(r.Parts[i].Material, deviate)
	}
	r.Shrink = qty.Exactly(Draw(r.Shrink, true, deviate()))
	return r
}

// Chance draws the properties and gives ranges, the chance of each window and
// the next test worth doing. The draws of each property come from
// rand.NewPCG(seed, stream), a stream a property of a part, so that the same
// seed gives the same answer. A single-valued window counts as met within
// Parameters.ExactSlack. Nothing is drawn when no input is a range. The errors
// are those of Forward.
func Chance(p Parameters, r Recipe, windows []Window, seed uint64, draws int) (Outlook, error) {
	base, err := Forward(p, r)
	if err != nil {
		return Outlook{}, err
	}
	out := Outlook{All: math.NaN()}
	random, used := r.random()
	if len(random) == 0 {
		draws = 1
	}
	out.Draws = draws
	both(len(random), func(i int) { random[i].draw(seed, draws) })
	columns := make([][]float64, outputs)
	flat := make([]float64, int(outputs)*draws)
	for o := range columns {
		columns[o] = flat[o*draws : (o+1)*draws]
	}
	// Half of the draws on each of two threads; a draw does not see another.
	both(2, func(half int) {
		r.blend(&p, base.Method, used, half*draws/2, (half+1)*draws/2, columns)
	})

	met := make([]bool, draws)
	for d := range met {
		met[d] = true
	}
	known := 0
	for _, w := range windows {
		if !base.Numbers.Known(w.Output) {
			out.Chance = append(out.Chance, math.NaN())
			continue
		}
		known++
		n := 0
		for d, v := range columns[w.Output] {
			if w.Holds(v, p.ExactSlack) {
				n++
			} else {
				met[d] = false
			}
		}
		out.Chance = append(out.Chance, float64(n)/float64(draws))
	}
	if known > 0 {
		n := 0
		for _, ok := range met {
			if ok {
				n++
			}
		}
		out.All = float64(n) / float64(draws)
	}
	out.Next = nextTest(r, base, windows, random, columns, met, out)
	if len(random) > 0 {
		ranges := make([][3]float64, outputs)
		both(len(columns), func(o int) {
			if base.Numbers.Known(Output(o)) {
				ranges[o] = percentiles(columns[o])
			}
		})
		out.Range = map[Output][3]float64{}
		for o, r := range ranges {
			if base.Numbers.Known(Output(o)) {
				out.Range[Output(o)] = r
			}
		}
	}
	return out, nil
}

// both does n independent things on two threads.
func both(n int, do func(i int)) {
	var wait sync.WaitGroup
	wait.Add(1)
	go func() {
		defer wait.Done()
		for i := 1; i < n; i += 2 {
			do(i)
		}
	}()
	for i := 0; i < n; i += 2 {
		do(i)
	}
	wait.Wait()
}

// blend mixes the draws from one to before the other and writes their outputs
// into the columns.
func (r *Recipe) blend(p *Parameters, method Method, used [][]*drawn, from, to int, columns [][]float64) {
	total := make([]sums, to-from)
	for d := range total {
		total[d] = none()
		total[d].wet, total[d].water = float64(r.Water), float64(r.Water)
	}
	for i := range r.Parts {
		part := &r.Parts[i]
		if len(used[i]) == 0 {
			v := part.Values(feedstock.Best)
			s := sumsOf(&v, part.Amount)
			for d := range total {
				total[d].add(&s)
			}
			continue
		}
		part.eachDraw(used[i], from, to, func(d int, v *feedstock.Values) {
			s := sumsOf(v, part.Amount)
			total[d-from].add(&s)
		})
	}
	shrink := func(int) float64 { return r.Shrink.Best }
	if s := used[len(r.Parts)]; len(s) > 0 {
		shrink = func(d int) float64 { return s[0].values[d] }
	}
	for d := from; d < to; d++ {
		n := total[d-from].numbers(p, shrink(d), method)
		for o := range columns {
			columns[o][d] = n[o]
		}
	}
}

// eachDraw gives the values of the part in the draws from one to before the other.
func (p *Part) eachDraw(row []*drawn, from, to int, do func(d int, v *feedstock.Values)) {
	if v, set := p.direct(row); set != nil {
		for d := from; d < to; d++ {
			for k, r := range row {
				set[k](&v, r.values[d])
			}
			do(d, &v)
		}
		return
	}
	d := from
	pick := func(key string, prop feedstock.Property) float64 {
		for _, r := range row {
			if r.key == key {
				return r.values[d]
			}
		}
		return prop.Best
	}
	for ; d < to; d++ {
		v := p.Values(pick)
		if v.Carbon > 1 { // nitrogen and C:N drawn apart can pass what a kilogram holds
			v.Carbon = 1
		}
		do(d, &v)
	}
}

// direct gives setters for the drawn properties when each is a value by itself,
// which they are unless carbon or nitrogen follows from others. It is the quick
// way; the values are the same.
func (p *Part) direct(row []*drawn) (feedstock.Values, []func(*feedstock.Values, float64)) {
	asked := map[string]bool{}
	v := p.Values(func(key string, prop feedstock.Property) float64 {
		asked[key] = true
		return prop.Best
	})
	if asked[feedstock.KeyCN] || (!asked[feedstock.KeyCarbon] && !math.IsNaN(float64(v.Carbon))) {
		return v, nil
	}
	set := make([]func(*feedstock.Values, float64), len(row))
	for k, r := range row {
		switch r.key {
		case feedstock.KeyWater:
			set[k] = func(v *feedstock.Values, x float64) { v.Water = qty.WaterOfWet(x) }
		case feedstock.KeyNitrogen:
			set[k] = func(v *feedstock.Values, x float64) { v.Nitrogen = qty.NitrogenOfDry(x) }
		case feedstock.KeyCarbon:
			set[k] = func(v *feedstock.Values, x float64) { v.Carbon = qty.CarbonOfDry(x) }
		case feedstock.KeyDensity:
			set[k] = func(v *feedstock.Values, x float64) { v.Density = qty.KgPerM3Wet(x) }
		case feedstock.KeyAsh:
			set[k] = func(v *feedstock.Values, x float64) { v.Ash = qty.AshOfDry(x) }
		case feedstock.KeyLignin:
			set[k] = func(v *feedstock.Values, x float64) { v.Lignin = qty.LigninOfDry(x) }
		case feedstock.KeySalts:
			set[k] = func(v *feedstock.Values, x float64) { v.Salts = qty.Decisiemens(x) }
		case feedstock.KeyAmmonia:
			set[k] = func(v *feedstock.Values, x float64) { v.Ammonia = qty.MgPerKgDry(x) }
		default:
			return v, nil
		}
	}
	return v, set
}

// shrinkStream is the random stream of the loss of volume, far from those of
// the properties.
const shrinkStream = 1 << 40

// random lists the uncertain properties that are asked for, and the same by
// part, with the shrink last.
func (r *Recipe) random() ([]*drawn, [][]*drawn) {
	var all []*drawn
	by := make([][]*drawn, len(r.Parts)+1)
	for i := range r.Parts {
		part := &r.Parts[i]
		if part.Amount == (feedstock.Quantity{}) {
			continue
		}
		// Which properties count is seen by evaluating once and noting what is asked for.
		asked := map[string]qty.Estimate{}
		part.Values(func(key string, p feedstock.Property) float64 {
			asked[key] = p.Estimate
			return p.Best
		})
		for k, key := range keyIndex {
			e, ok := asked[key]
			if !ok || !e.Spread() {
				continue
			}
			d := &drawn{part: i, key: key, fraction: fractional(key), of: e, stream: uint64(i*len(keyIndex) + k)}
			all = append(all, d)
			by[i] = append(by[i], d)
		}
	}
	if r.Shrink.Spread() {
		d := &drawn{part: -1, key: "shrink_frac", fraction: true, of: r.Shrink, stream: shrinkStream}
		all = append(all, d)
		by[len(r.Parts)] = []*drawn{d}
	}
	return all, by
}

// percentiles gives the 5th, 50th and 95th percentile of v, linear between
// neighbours, and leaves v in another order.
func percentiles(v []float64) [3]float64 {
	var out [3]float64
	from := 0
	for k, q := range [3]float64{0.05, 0.5, 0.95} {
		at := q * float64(len(v)-1)
		i := int(at)
		place(v[from:], i-from)
		low, high := v[i], v[i]
		if i+1 < len(v) {
			high = slices.Min(v[i+1:])
		}
		out[k] = low + (at-float64(i))*(high-low)
		from = i
	}
	return out
}

// place puts the k-th smallest of v at v[k], smaller ones before it and larger
// ones after it (Hoare's selection).
func place(v []float64, k int) {
	low, high := 0, len(v)-1
	for low < high {
		pivot := v[(low+high)/2]
		i, j := low, high
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return
		}
	}
}

// test is one thing a person can do that measures one or more properties.
type test struct {
	keys   []string
	what   string  // %s is the part
	effort float64 // against a bucket weighed
}

// tests in the order of ease. The effort only decides between tests that help
// nearly alike; it is our judgement of minutes and money (assumed).
var tests = []test{
	{[]string{feedstock.KeyDensity}, "Weigh a bucket of the %s.", 1},
	{[]string{"shrink_frac"}, "Fill a bucket of known size with the mixed %s and compare it with the buckets that went in.", 1},
	{[]string{feedstock.KeyWater}, "Weigh a pan of the %s, dry it and weigh it again.", 1.2},
	{[]string{feedstock.KeyPH}, "Hold a strip or a meter into the %s stirred with water.", 1.2},
	{[]string{feedstock.KeySalts}, "Measure the conductivity of the %s in five parts of water.", 1.3},
	{[]string{feedstock.KeyAmmonia}, "Test the %s for ammonia with a strip.", 1.3},
	{[]string{feedstock.KeyNitrogen, feedstock.KeyCarbon, feedstock.KeyCN}, "Send a sample of the %s to a laboratory for carbon and nitrogen.", 2},
	{[]string{feedstock.KeyAsh}, "Send a sample of the %s to a laboratory for ash.", 2},
	{[]string{feedstock.KeyLignin}, "Send a sample of the %s to a laboratory for lignin.", 3},
}

// nextTest finds the measurement that would help most (M35): first what a
// window lacks altogether, then what settles the largest part of the doubt
// whether all windows are met, and where there is no such doubt, of the doubt
// about the output that is widest against its window.
func nextTest(r Recipe, base Result, windows []Window, random []*drawn, columns [][]float64, met []bool, out Outlook) *Test {
	if t := lacking(base, windows); t != nil {
		return t
	}
	if len(random) == 0 {
		return nil
	}
	about := make([]float64, len(met))
	var of string
	if out.All > 0.02 && out.All < 0.98 {
		for d, ok := range met {
			if ok {
				about[d] = 1
			}
		}
		of = fmt.Sprintf("whether all windows are met (now %.0f in 100)", 100*out.All)
	} else {
		o, ok := widest(base, windows, columns)
		if !ok {
			return nil
		}
		copy(about, columns[o])
		of = "about " + words[o]
		if o == CN || o == Density {
			for d, v := range about {
				about[d] = math.Log(v)
			}
		}
	}
	var best *Test
	score := 0.0
	for i := -1; i < len(r.Parts); i++ {
		for _, t := range tests {
			gain := 0.0
			var key string
			for _, d := range random {
				if d.part == i && slices.Contains(t.keys, d.key) {
					gain += settled(d.classes, about)
					key = d.key
				}
			}
			// A dearer test must help clearly more.
			if s := gain / math.Sqrt(t.effort); s > score*(1+1e-9) {
				name := "parts"
				if i >= 0 {
					name = r.Parts[i].Name
				}
				score = s
				best = &Test{What: fmt.Sprintf(t.what, name), Part: name, Key: key, Settle: min(gain, 1),
					Why: fmt.Sprintf("It would settle about %.0f %% of the doubt %s.", 100*min(gain, 1), of)}
			}
		}
	}
	return best
}

// lacking gives the test for a property without which a window cannot be judged.
func lacking(base Result, windows []Window) *Test {
	for _, t := range tests {
		for _, m := range base.Missing {
			if !slices.Contains(t.keys, m.Lacks) {
				continue
			}
			if slices.ContainsFunc(windows, func(w Window) bool { return w.Output == m.Output && w.Why == "" }) {
				return &Test{What: fmt.Sprintf(t.what, m.Parts[0]), Part: m.Parts[0], Key: m.Lacks, Settle: math.NaN(),
					Why: fmt.Sprintf("Without it %s cannot be judged at all.", words[m.Output])}
			}
		}
	}
	return nil
}

// words names the outputs for a person.
var words = [outputs]string{
	"the mass", "the dry mass", "the water", "moisture", "carbon", "nitrogen", "the ratio of carbon to nitrogen", "ash",
	"the volume", "bulk density", "air-filled space", "salts", "pH", "pH", "ammonia", "lignin",
}

// Words names the output for a person.
func (o Output) Words() string { return words[o] }

// widest gives the window's output whose spread is widest against the room the
// window leaves; without windows moisture and C:N against their own size.
func widest(base Result, windows []Window, columns [][]float64) (Output, bool) {
	if len(windows) == 0 {
		windows = []Window{{Output: Water, Low: 0.7, High: 0.8}, {Output: CN, Low: 20, High: 60}}
	}
	worst, which, any := 0.0, Output(0), false
	for _, w := range windows {
		if !base.Numbers.Known(w.Output) || w.Output == PHLow || w.Output == PHHigh {
			continue
		}
		room := w.High - w.Low
		if math.IsInf(room, 0) || room == 0 {
			room = math.Max(math.Abs(finite(w.Low)), math.Abs(finite(w.High)))
		}
		if s := spread(columns[w.Output]) / math.Max(room, 1e-9); s > worst {
			worst, which, any = s, w.Output, true
		}
	}
	return which, any
}

func spread(v []float64) float64 {
	mean, square := 0.0, 0.0
	for _, x := range v {
		mean += x
	}
	mean /= float64(len(v))
	for _, x := range v {
		square += (x - mean) * (x - mean)
	}
	return math.Sqrt(square / float64(len(v)))
}

// bins is how many classes a property is cut into to see how far knowing it
// would settle an output: a fifth of a standard deviation each, the outer two
// open. Finer ones change the answer less than the draws do.
const bins = 16

// class gives the class of a standard normal deviate.
func class(z float64) uint8 { return uint8(min(max(int(5*z+bins/2), 0), bins-1)) }

// settled gives the part of the variance of y that goes when the property whose
// draws have these classes becomes known: the variance between the means of its classes over
// the whole, less what chance alone would give (M35).
func settled(classes []uint8, y []float64) float64 {
	var sum, count [bins]float64
	mean := 0.0
	for d, b := range classes {
		sum[b] += y[d]
		count[b]++
		mean += y[d]
	}
	n := float64(len(y))
	mean /= n
	whole := 0.0
	for _, v := range y {
		whole += (v - mean) * (v - mean)
	}
	if whole <= 0 {
		return 0
	}
	between := 0.0
	for b := range sum {
		if count[b] > 0 {
			m := sum[b]/count[b] - mean
			between += count[b] * m * m
		}
	}
	ratio := between / whole
	// With no bearing at all the classes still differ by (bins-1)/(n-1).
	free := float64(bins-1) / (n - 1)
	return math.Max(0, (ratio-free)/(1-free))
}
