package round

import (
	"math"
	"slices"

	"wormyard/bed"
)

// starved gives the chance that the worms would find next to nothing from
// starve_days before the next day on which the farm feeds on, 0 where that day
// is nearer. docs/model.md (H2).
func (t *Trier) starved(c *Case, alone option) (float64, error) {
	sooner := *c
	sooner.Visit -= int64(t.P.StarveDays * 24)
	if sooner.Visit <= c.Now {
		return 0, nil
	}
	alone.had = [len(alone.had)]bool{}
	v, err := t.try(&sooner, &alone, t.half.choose)
	return v.hungry, err
}

// price says what a farm's rule of never feeding deeper costs in castings, where
// the best feeding beyond it keeps the limits on all members and makes materially
// more than what is advised. docs/model.md (R10).
func (t *Trier) price(c *Case, beyond []option, advised *option, base verdict) ([]Phrase, error) {
	best := -1
	for i := range beyond {
		if beyond[i].rank >= 0 && (best < 0 || beyond[i].rank > beyond[best].rank) {
			best = i
		}
	}
	if best < 0 {
		return nil, nil
	}
	o := beyond[best]
	told, err := t.try(c, &o, t.half.tell)
	if err != nil {
		return nil, err
	}
	v, err := t.try(c, &o, t.half.choose)
	if err != nil {
		return nil, err
	}
	more := o.tried.CastingsKg - advised.tried.CastingsKg
	if t.rank(c, &o, v, base) < 0 || told.left > 0.5 || t.asGood(advised.tried.Value, o.tried.Value) || more <= 0 {
		return nil, nil
	}
	return []Phrase{say("why.habit", depth(c.MostM), depth(o.depthM), mass(more), count(int(math.Round(t.P.HorizonDays))))}, nil
}

// Price is what the habits of a farm cost on one bin: castings that the best plan
// of feedings makes in the horizon [kg wet], with any days and depths, on the
// days of the habit, and no deeper than it.
type Price struct{ FreeKg, DaysKg, DepthKg float64 }

// eachDays are the days between feedings that a plan without a habit may have.
var eachDays = []int{2, 3, 4, 5, 7, 10}

// plan is equal feedings on some days of the horizon.
type plan struct {
	gaps []int // days between them, again and again
	o    option
}

// Price tries plans of equal feedings on a bin, the first of them today: gaps are
// the days from one day of feeding of the week to the next, none where the farm
// has no such rule. It is false where no plan keeps the limits, or there is no mix.
// docs/model.md (H3).
func (t *Trier) Price(c Case, gaps []int) (Price, bool, error) {
	if len(c.Mixes) == 0 {
		return Price{}, false, nil
	}
	t.half = part(len(c.Ensemble.Members))
	c.Visit = c.Now + int64(t.P.HorizonDays*24) // what is left is judged at the end
	rest := option{head: say("rest"), act: Rest, mix: -1}
	base, err := t.try(&c, &rest, t.half.choose)
	if err != nil {
		return Price{}, false, err
	}
	var free [][]int
	for _, n := range eachDays {
		free = append(free, []int{n})
	}
	if _, err := t.try(&c, &rest, t.half.screen); err != nil { // as the plans are
		return Price{}, false, err
	}
	rest.rank = rest.tried.Value // to feed nothing keeps every habit
	none := plan{o: rest}
	plans := map[string][]plan{"free": {none}}
	try := func(key string, of []int) error {
		worse := 0
		for d := t.P.DepthStepM; d <= t.P.DepthMostM*1.001; d += t.P.DepthStepM {
			p := plan{of, option{act: Feed, depthM: d, acts: t.planned(&c, of, d)}}
			v, err := t.try(&c, &p.o, t.half.screen)
			if err != nil {
				return err
			}
			p.o.rank = t.rank(&c, &p.o, v, base)
			plans[key] = append(plans[key], p)
			if t.over(v, base, 0)+t.leftover(v, 0) > farOver {
				if worse++; worse == 2 {
					break
				}
			}
		}
		return nil
	}
	for _, g := range free {
		if err := try("free", g); err != nil {
			return Price{}, false, err
		}
	}
	all := slices.Clone(plans["free"])
	for i := range gaps { // from each of its days on, on each of them, each second, each third
		plans[habitKey(i)] = []plan{none}
		for each := 1; each*7 <= len(gaps)*eachDays[len(eachDays)-1]; each++ {
			if err := try(habitKey(i), every(gaps, i, each)); err != nil {
				return Price{}, false, err
			}
		}
		all = append(all, plans[habitKey(i)]...)
	}
	out := Price{}
	ok := true
	best := func(of []plan) float64 {
		kg, any, e := t.best(&c, of, base)
		if e != nil {
			err = e
		}
		ok = ok && any
		return kg
	}
	out.FreeKg = best(all)
	out.DaysKg, out.DepthKg = out.FreeKg, out.FreeKg
	if c.MostM > 0 {
		out.DepthKg = best(slices.DeleteFunc(slices.Clone(all), func(p plan) bool { return p.o.depthM > c.MostM*1.001 }))
	}
	if len(gaps) > 0 {
		out.DaysKg = 0
		for i := range gaps {
			out.DaysKg += best(plans[habitKey(i)]) / float64(len(gaps))
		}
	}
	return out, ok, err
}

// every gives the days between feedings on each so manieth day of the habit, from
// one of its days on.
func every(gaps []int, from, each int) []int {
	out := make([]int, len(gaps))
	for i := range out {
		for range each {
			out[i] += gaps[from%len(gaps)]
			from++
		}
	}
	return out
}

func habitKey(i int) string { return "habit" + string(rune('0'+i)) }

// planned gives the feedings of a plan.
func (t *Trier) planned(c *Case, gaps []int, depthM float64) []bed.Act {
	var out []bed.Act
	for day, k := 0, 0; float64(day) < t.P.HorizonDays; k++ {
		a := feeding(c, 0, depthM)
		a.Hour, a.Layer = c.Now+int64(day)*24, layer-uint64(k)
		out = append(out, a)
		day += gaps[k%len(gaps)]
	}
	return out
}

// best gives what the best of some plans makes, by the members that choose, as
// those that tell say. It is false where none keeps the limits.
func (t *Trier) best(c *Case, of []plan, base verdict) (float64, bool, error) {
	best := -1
	for i := range of {
		if of[i].o.rank >= 0 && (best < 0 || of[i].o.rank > of[best].o.rank) {
			best = i
		}
	}
	if best < 0 {
		return 0, false, nil
	}
	told, err := t.try(c, &of[best].o, t.half.tell)
	return told.castWet, true, err
}

// Cost is what a habit costs a farm: the share of the castings, 0 where nothing
// can be told, of so many bins.
type Cost struct {
	Share float64 `json:"share"`
	Bins  int     `json:"bins"`
}

// leastShare is the least share of castings that is told as a price: one in a hundred.
const leastShare = 0.01

// CostOf gives the cost of a habit from what its best plan makes on each bin and
// what the best of all plans makes. It is nothing that can be told where it is
// less than twice its standard error over the bins. docs/model.md (H3).
func CostOf(free, kept []float64) Cost {
	n := float64(len(free))
	if n < 2 {
		return Cost{Bins: len(free)}
	}
	var all, lost, square float64
	for i := range free {
		all += free[i]
		lost += free[i] - kept[i]
	}
	for i := range free {
		d := free[i] - kept[i] - lost/n
		square += d * d
	}
	error := math.Sqrt(square * n / (n - 1)) // of the sum
	if all <= 0 || lost < 2*error || lost/all < leastShare {
		return Cost{Bins: len(free)}
	}
	return Cost{lost / all, len(free)}
}

// Say tells the cost of a habit: key is that of its sentence, which ends where
// nothing can be told in ".nothing".
func (c Cost) Say(key string, a ...Arg) Phrase {
	switch {
	case c.Share <= 0:
		return say(key+".nothing", a...)
	case c.Share > 0.5:
		return say(key+".half", a...)
	}
	return say(key, append(a, count(int(math.Round(1/c.Share))))...)
}

// DaysOf gives the argument that names days of the week, 0 for Sunday.
func DaysOf(days []int) Arg {
	var out []Phrase
	for _, d := range days {
		out = append(out, say("weekdays."+string(rune('0'+d))))
	}
	return list(out)
}

// DepthOf gives the argument that tells a depth [m].
func DepthOf(m float64) Arg { return depth(m) }
