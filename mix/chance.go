package mix

import (
	"math"
	"slices"
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
