package round

import (
	"math"
	"slices"
	"sort"

	"wormyard/figure"
	"wormyard/twin"
)

// triedOf lists what was tried by amount, the finalists as they chose.
func triedOf(options, few, watered []option, chosen Phrase) []Tried {
	var out []Tried
	add := func(o *option) {
		o.tried.Allowed = o.rank > -1e8
		o.tried.Chosen = same(o.head, chosen)
		if !slices.ContainsFunc(out, func(x Tried) bool { return same(x.Option, o.head) }) {
			out = append(out, o.tried)
		}
	}
	for i := range few {
		o := few[i]
		add(&o)
	}
	for i := range options {
		o := options[i]
		add(&o)
	}
	for i := range watered {
		o := watered[i]
		add(&o)
	}
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i].Option, out[j].Option
		if a.mix() != b.mix() {
			return a.mix() < b.mix()
		}
		return a.amount() < b.amount()
	})
	return out
}

// tell writes the item of an option.
func (t *Trier) tell(c *Case, it *Item, o *option, base, told verdict) {
	it.Act, it.Head, it.DepthM, it.WaterKg, it.Cover = o.act, o.head, o.depthM, o.waterKg, o.cover
	it.Why, it.Sureness, it.Care, it.Urgency, it.Minutes = nil, nil, nil, NoHurry, 0
	visit := day(c.Visit)
	if c.LastFed > 0 {
		// Half of the last feed and more is no reason to feed, so it is not given as one.
		if key := shareKey(leftNow(c)); o.act != Feed || key != "most" && key != "all" {
			it.Why = append(it.Why, say("why.left."+key))
		}
	} else if o.act == Feed {
		it.Why = append(it.Why, say("why.first"))
	}
	if o.waterKg > 0 || o.cover != "" {
		it.Why = append(it.Why, say("why.dry", visit, odds(base.dryTold, base.dryOf)))
	}
	switch o.act {
	case Feed:
		mix := c.Mixes[o.mix]
		it.Mix, it.VolumeM3 = mix.Batch, o.depthM*c.History.Box.Area()
		it.Urgency, it.Minutes = Today, t.P.FeedMinutes
		lasts := "why.lasts"
		if told.hungry >= 0.5 {
			lasts = "why.short"
		}
		it.Why = append(it.Why, say(lasts, depth(o.depthM), visit))
		it.Sureness = append(it.Sureness, say("sure.eaten", visit, odds(1-told.left, told.n)))
		if told.warm > 0 {
			it.Sureness = append(it.Sureness, say("sure.warm", odds(told.warm, told.n)))
		}
		it.Care = append(it.Care, say("care.gloves"))
	case Water, Cover:
		it.Urgency = Today
	case Rest:
		mean := c.Ensemble.Over(meanC).Mid
		switch {
		case mean < t.P.ColdC:
			it.Why = append(it.Why, say("why.cold", temp(mean)))
		case base.sour > t.P.MostSour:
			it.Why = append(it.Why, say("why.soaked"))
		case c.finish:
			it.Why = append(it.Why, say("why.last", date(c.LastFed+int64(t.P.StopFeedDays*24))))
		case t.finishing(c, base):
			it.Why = append(it.Why, say("why.finish"))
		case base.full > 0.5:
			it.Why = append(it.Why, say("why.full", depth(t.P.RimM)))
		case len(c.Mixes) == 0:
			it.Why = append(it.Why, say("why.nomixes"))
		case c.Held.Since != 0 && told.hungry >= 0.5: // heed says why it gets none
		case c.fedToday() && told.hungry >= 0.5:
			it.Why = append(it.Why, say("why.fedtoday"))
		case c.OffDay && told.hungry >= 0.5:
			it.Why = append(it.Why, say("why.feedday", visit))
		case told.hungry < 0.5:
			it.Why = append(it.Why, say("why.enough", visit))
		case o.spared:
			it.Why = append(it.Why, say("why.nogain"))
		default:
			it.Why = append(it.Why, say(harmful))
		}
		if !t.bedding(c) {
			it.Sureness = append(it.Sureness, say("sure.hungry", visit, odds(told.hungry, told.n)))
		}
	}
	if o.waterKg > 0 {
		it.Minutes += t.P.WaterMin
	}
	if o.cover != "" {
		it.Minutes += t.P.CoverMin
	}
	if o.waterKg > 0 || o.cover != "" {
		it.Sureness = append(it.Sureness, say("sure.dry", visit, odds(told.dry, told.n)))
	}
	t.lifted(c, it)
	it.Chances, it.Working = chances(told), t.working(told, o.tried.Value, o.tried.Members)
}

// bedding says whether the worms of a bed that was never fed live on what it was
// laid of: less than half of that is castings. What is reckoned as hunger is of
// feed alone. docs/model.md (R12).
func (t *Trier) bedding(c *Case) bool {
	return c.LastFed == 0 && c.Ensemble.Over(func(m *twin.Member) float64 { return twin.Worked(&m.State) }).Mid < beddingGone
}

// beddingGone is the share of castings from which a bed no longer feeds its worms.
const beddingGone = 0.5

// unfed says what becomes of a bin that is fed if it is not: by the members that
// tell, hungry by the visit; where none of them is, what castings are not made.
// docs/model.md (R12).
func (t *Trier) unfed(c *Case, fed, alone verdict) []Phrase {
	if t.bedding(c) {
		return []Phrase{say("why.bedding")}
	}
	if alone.hungry >= 0.5/float64(alone.n) {
		return []Phrase{say("sure.unfed", day(c.Visit), odds(alone.hungry, alone.n))}
	}
	if fed.castDry-alone.castDry >= t.P.LeastGain {
		return []Phrase{say("sure.less", mass(fed.castWet-alone.castWet), count(int(t.P.HorizonDays)))}
	}
	return []Phrase{say("sure.unharmed", day(c.Visit))}
}

// tooMuch says of a feeding that a step more would likely leave too much.
func (t *Trier) tooMuch(it *Item, left float64, of int) {
	if left > t.P.MostLeft {
		it.Why = append(it.Why, say("why.more", depth(t.P.DepthStepM), odds(left, of)))
	}
}

// lifted adds what comes with a bin that stands under others; the minutes are
// reckoned once for a stack, in Write.
func (t *Trier) lifted(c *Case, it *Item) {
	if c.Above > 0 && it.Act != Rest {
		it.Lift = c.Above
		it.Care = append(it.Care, say("care.truck"))
	}
}

// working gives the sums behind an item: each chance as a share of members, and
// the objective.
func (t *Trier) working(told verdict, value float64, chose int) []figure.Step {
	limits := map[string]string{
		"left":     "feed for more days than left_days, and more of it than left_least_m, at the next visit",
		"too_warm": "over alarm_c where worms are held, or less than refuge_m of bed under the limit of the refuge beneath a warmer layer",
		"sour":     "oxygen gone where worms and feed are", "dry": "the top drier than dry_top_frac_wet before the next visit",
		"leave": "worms leaving", "frozen": "frozen", "hungry": "feed for fewer days than hungry_days at the next visit",
	}
	var out []figure.Step
	for _, c := range chances(told) {
		out = append(out, figure.Step{
			Figure: "round.chance." + c.Of, Equation: "chance = members with " + limits[c.Of] + " / members asked (R2, R3)",
			Inputs:  map[string]float64{"members": float64(c.N), "with_it": whole(c.Frac * float64(c.N))},
			Outputs: map[string]float64{"chance": c.Frac}, Source: "docs/model.md R2, R3", How: "computed",
		})
	}
	if chose > 0 {
		out = append(out, figure.Step{
			Figure: "round.value", Equation: "median over members of castings made in the horizon (R1)", Inputs: map[string]float64{"members": float64(chose)},
			Outputs: map[string]float64{"value_kg_dry": value}, Source: "docs/model.md R1", How: "computed",
		})
	}
	return out
}

// whole gives a number of members as whole as it is: one of members that are not
// equally likely need not be.
func whole(n float64) float64 {
	if near(n, math.Round(n)) {
		return math.Round(n)
	}
	return n
}

func chances(v verdict) []Chance {
	return []Chance{
		{"left", v.left, v.n}, {"too_warm", v.warm, v.n}, {"sour", v.sour, v.n}, {"dry", v.dry, v.n},
		{"leave", v.leave, v.n}, {"frozen", v.frozen, v.n}, {"hungry", v.hungry, v.n},
	}
}

func meanC(m *twin.Member) float64 {
	var sum, d float64
	for i := range m.State.Layers {
		l := &m.State.Layers[i]
		sum, d = sum+l.TempC*l.DepthM, d+l.DepthM
	}
	if d == 0 {
		return math.NaN()
	}
	return sum / d
}
