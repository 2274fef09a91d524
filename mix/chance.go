package mix

import (
	"math"
	"slices"
	"sync"

	"wormyard/feedstock"
	"wormyard/figure"
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
// rand.NewPCG(seed, stream), a stream a property of a part by its name, so that
// the same seed gives the same answer and a part more or less leaves the draws
// of the others alone. A single-valued window counts as met within
// Parameters.ExactSlack. Nothing is drawn when no input is a range. The errors
// are those of Forward.
func Chance(p Parameters, r Recipe, windows []Window, seed uint64, draws int) (Outlook, error) {
	return new(Kept).Chance(p, r, windows, seed, draws)
}

// Chance is the function of the same name, to the last digit, without drawing
// again what was drawn before.
func (k *Kept) Chance(p Parameters, r Recipe, windows []Window, seed uint64, draws int) (Outlook, error) {
	base, err := Forward(p, r)
	if err != nil {
		return Outlook{}, err
	}
	random, used, draws := k.drawn(&r, seed, draws)
	out := Outlook{Draws: draws}
	columns := make([][]float64, outputs)
	flat := make([]float64, int(outputs)*draws)
	for o := range columns {
		columns[o] = flat[o*draws : (o+1)*draws]
	}
	met := make([]bool, draws)
	out.Chance, out.All = r.judge(&p, &base.Numbers, base.Method, used, windows, draws, met, columns)
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

// Odds are what Chance says of the windows alone, with the numbers of the mix at
// the median.
type Odds struct {
	Numbers Numbers
	Chance  []float64 // one a window, NaN when its output is not known
	All     float64   // that every window which is known is met; NaN without windows
}

// Odds gives the chances that Chance gives, to the last digit, and nothing
// else: for trying many mixes. The errors are those of Forward.
func (k *Kept) Odds(p Parameters, r Recipe, windows []Window, seed uint64, draws int) (Odds, error) {
	if problems := r.problems(); len(problems) > 0 {
		return Odds{}, &figure.Refusal{Problems: problems}
	}
	_, used, draws := k.drawn(&r, seed, draws)
	var out Odds
	_, _, total := r.sums()
	method := r.method(&total)
	out.Numbers = total.numbers(&p, r.Shrink.Best, method)
	out.Chance, out.All = r.judge(&p, &out.Numbers, method, used, windows, draws, make([]bool, draws), nil)
	return out, nil
}

// drawn gives the uncertain properties of a recipe with their draws, all and by
// part, and how many draws there are.
func (k *Kept) drawn(r *Recipe, seed uint64, draws int) ([]*drawn, [][]*drawn, int) {
	random, used := r.random()
	if len(random) == 0 {
		draws = 1
	}
	both(len(random), func(i int) { k.draw(random[i], seed, draws) })
	return random, used, draws
}

// judge mixes the draws and gives the chance of each window and of all; which
// draws meet all windows is noted in met, and the outputs in the columns unless
// these are nil. Half of the draws go on each of two threads; a draw does not
// see another.
func (r *Recipe) judge(p *Parameters, best *Numbers, method Method, used [][]*drawn, windows []Window, draws int, met []bool, columns [][]float64) ([]float64, float64) {
	type ends struct {
		of        Output
		low, high float64
	}
	var known []ends
	for _, w := range windows {
		if best.Known(w.Output) {
			low, high := w.ends(p.ExactSlack)
			known = append(known, ends{w.Output, low, high})
		}
	}
	var counts [2][]int
	both(2, func(half int) {
		count := make([]int, len(known)+1)
		from := half * draws / 2
		r.blend(p, method, used, from, (half+1)*draws/2, func(d int, n *Numbers) {
			for o := range columns {
				columns[o][d] = n[o]
			}
			all := true
			for i := range known {
				if v := n[known[i].of]; v >= known[i].low && v <= known[i].high {
					count[i]++
				} else {
					all = false
				}
			}
			if met[d] = all; all {
				count[len(known)]++
			}
		})
		counts[half] = count
	})
	share := func(i int) float64 { return float64(counts[0][i]+counts[1][i]) / float64(draws) }
	var chance []float64
	i := 0
	for _, w := range windows {
		if !best.Known(w.Output) {
			chance = append(chance, math.NaN())
			continue
		}
		chance = append(chance, share(i))
		i++
	}
	if len(known) == 0 {
		return chance, math.NaN()
	}
	return chance, share(len(known))
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

// handful is how many draws are mixed at once; their sums fit in the nearest
// memory of the processor.
const handful = 128

// blend mixes the draws from one to before the other and tells their outputs.
func (r *Recipe) blend(p *Parameters, method Method, used [][]*drawn, from, to int, tell func(d int, n *Numbers)) {
	parts := make([]pouring, len(r.Parts))
	for i := range parts {
		parts[i] = r.Parts[i].pour(used[i])
	}
	var shrink []float64
	if s := used[len(r.Parts)]; len(s) > 0 {
		shrink = s[0].values
	}
	var total [handful]sums
	var n Numbers
	for ; from < to; from += handful {
		end := min(from+handful, to)
		for d := range end - from {
			total[d] = none()
			total[d].wet, total[d].water = float64(r.Water), float64(r.Water)
		}
		for i := range parts {
			parts[i].into(total[:end-from], from)
		}
		for d := from; d < end; d++ {
			lost := r.Shrink.Best
			if shrink != nil {
				lost = shrink[d]
			}
			n = total[d-from].numbers(p, lost, method)
			tell(d, &n)
		}
	}
}

// pouring is a part made ready for many draws.
type pouring struct {
	part    *Part
	row     []*drawn
	values  feedstock.Values
	columns columnsOf
	direct  bool
}

func (p *Part) pour(row []*drawn) pouring {
	x := pouring{part: p, row: row}
	x.values, x.columns, x.direct = p.direct(row)
	return x
}

// into throws the part into the sums of the draws that begin with one.
func (x *pouring) into(total []sums, from int) {
	if len(x.row) == 0 {
		s := sumsOf(&x.values, x.part.Amount)
		for d := range total {
			total[d].add(&s)
		}
		return
	}
	for d := range total {
		v := x.at(from + d)
		s := sumsOf(v, x.part.Amount)
		total[d].add(&s)
	}
}

// at gives the values of the part in one draw; they hold until it is called again.
func (x *pouring) at(d int) *feedstock.Values {
	v := &x.values
	if !x.direct {
		*v = x.part.Values(func(key string, prop feedstock.Property) float64 {
			for _, r := range x.row {
				if r.key == key {
					return r.values[d]
				}
			}
			return prop.Best
		})
		if v.Carbon > 1 { // nitrogen and C:N drawn apart can pass what a kilogram holds
			v.Carbon = 1
		}
		return v
	}
	c := &x.columns
	if c.water != nil {
		v.Water = qty.WaterOfWet(c.water[d])
	}
	if c.nitrogen != nil {
		v.Nitrogen = qty.NitrogenOfDry(c.nitrogen[d])
	}
	if c.carbon != nil {
		v.Carbon = qty.CarbonOfDry(c.carbon[d])
	}
	if c.density != nil {
		v.Density = qty.KgPerM3Wet(c.density[d])
	}
	if c.ash != nil {
		v.Ash = qty.AshOfDry(c.ash[d])
	}
	if c.lignin != nil {
		v.Lignin = qty.LigninOfDry(c.lignin[d])
	}
	if c.salts != nil {
		v.Salts = qty.Decisiemens(c.salts[d])
	}
	if c.ammonia != nil {
		v.Ammonia = qty.MgPerKgDry(c.ammonia[d])
	}
	return v
}

// columnsOf are the draws of the properties of a part; nil is not drawn.
type columnsOf struct {
	water, nitrogen, carbon, density, ash, lignin, salts, ammonia []float64
}

// direct gives the draws of the properties when each is a value by itself, which
// they are unless carbon or nitrogen follows from others. It is the quick way;
// the values are the same.
func (p *Part) direct(row []*drawn) (feedstock.Values, columnsOf, bool) {
	asked := map[string]bool{}
	v := p.Values(func(key string, prop feedstock.Property) float64 {
		asked[key] = true
		return prop.Best
	})
	var c columnsOf
	if asked[feedstock.KeyCN] || (!asked[feedstock.KeyCarbon] && !math.IsNaN(float64(v.Carbon))) {
		return v, c, false
	}
	for _, r := range row {
		switch r.key {
		case feedstock.KeyWater:
			c.water = r.values
		case feedstock.KeyNitrogen:
			c.nitrogen = r.values
		case feedstock.KeyCarbon:
			c.carbon = r.values
		case feedstock.KeyDensity:
			c.density = r.values
		case feedstock.KeyAsh:
			c.ash = r.values
		case feedstock.KeyLignin:
			c.lignin = r.values
		case feedstock.KeySalts:
			c.salts = r.values
		case feedstock.KeyAmmonia:
			c.ammonia = r.values
		default:
			return v, c, false
		}
	}
	return v, c, true
}

// shrinkStream is the random stream of the loss of volume.
const shrinkStream = 1 << 40

// stream gives the random stream of the first property of a part, which follows
// from the part's name (FNV-1a, 64 bits), and where another part before it has
// the same name, from how many do.
func (r *Recipe) stream(i int) uint64 {
	const offset, prime = 14695981039346656037, 1099511628211
	h := uint64(offset)
	for j := range len(r.Parts[i].Name) {
		h = (h ^ uint64(r.Parts[i].Name[j])) * prime
	}
	for j := range i {
		if r.Parts[j].Name == r.Parts[i].Name {
			h = (h ^ 0xff) * prime // no byte of a name
		}
	}
	return h
}

// random lists the uncertain properties that are asked for, and the same by
// part, with the shrink last.
func (r *Recipe) random() ([]*drawn, [][]*drawn) {
	var all []*drawn
	by := make([][]*drawn, len(r.Parts)+1)
	for i := range r.Parts {
		part := &r.Parts[i]
		first := r.stream(i)
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
			d := &drawn{part: i, key: key, fraction: fractional(key), of: e, stream: first + uint64(k)}
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
// neighbours. Only those values are put in order that lie about the three: the
// others are counted into slots of equal width.
func percentiles(v []float64) [3]float64 {
	const slots = 512
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range v {
		low, high = min(low, x), max(high, x)
	}
	if low == high {
		return [3]float64{low, low, low}
	}
	scale := slots / (high - low)
	if !(scale > 0) || math.IsInf(scale, 0) { // something is not a number, or too near to part
		sorted := slices.Sorted(slices.Values(v))
		return atRanks(len(v), func(i int) float64 { return sorted[i] })
	}
	slot := func(x float64) int { return min(int((x-low)*scale), slots-1) }
	var count [slots + 1]int // before each slot
	for _, x := range v {
		count[slot(x)+1]++
	}
	for k := range slots {
		count[k+1] += count[k]
	}
	holding := func(i int) int { // the slot of the i-th smallest
		k, _ := slices.BinarySearch(count[:], i+1)
		return k - 1
	}
	var wanted [slots][]float64
	atRanks(len(v), func(i int) float64 {
		if k := holding(i); wanted[k] == nil {
			wanted[k] = make([]float64, 0, count[k+1]-count[k])
		}
		return 0
	})
	for _, x := range v {
		if k := slot(x); wanted[k] != nil {
			wanted[k] = append(wanted[k], x)
		}
	}
	for _, w := range wanted {
		slices.Sort(w)
	}
	return atRanks(len(v), func(i int) float64 {
		k := holding(i)
		return wanted[k][i-count[k]]
	})
}

// atRanks gives the three percentiles of n values of which the i-th smallest is
// told.
func atRanks(n int, smallest func(i int) float64) [3]float64 {
	var out [3]float64
	for k, q := range [3]float64{0.05, 0.5, 0.95} {
		at := q * float64(n-1)
		i := int(at)
		low := smallest(i)
		high := low
		if i+1 < n {
			high = smallest(i + 1)
		}
		out[k] = low + (at-float64(i))*(high-low)
	}
	return out
}
