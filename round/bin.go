package round

import (
	"math"
	"slices"
	"sort"
	"time"

	"wormyard/bed"
	"wormyard/figure"
	"wormyard/twin"
)

// Bin gives what today asks of a bin: one item, Rest when nothing. The error is
// of the twins, not of the farmer. docs/model.md (R1), (R2), (R3), (R4).
func (t *Trier) Bin(c Case) (Item, error) {
	it := Item{
		Bin: c.Bin, Place: c.Place, Barn: c.Barn, Row: c.Row, Stack: c.Stack, Level: c.Level, Above: c.Above,
		Urgency: NoHurry, Visit: time.Unix(c.Visit*3600, 0).UTC(),
	}
	t.half = part(c.Ensemble.Members)
	odd := t.odd(&c)
	if odd != nil {
		c.Ensemble = believed(c.Ensemble, odd)
	}
	rest := option{head: say("rest"), act: Rest, mix: -1}
	base, err := t.try(&c, &rest, t.half.screen)
	if err != nil {
		return it, err
	}
	if base.danger > 0 || base.flee >= t.P.Flee || base.frozen > 0 {
		if base, err = t.try(&c, &rest, t.half.choose); err != nil {
			return it, err
		}
	}
	var wary bool // warm enough to put a thermometer in
	if base.danger >= t.P.Danger || base.flee >= t.P.Flee && base.frozen < t.P.Danger {
		done, err := t.cool(&c, &it, &rest, base)
		if err != nil || done {
			if odd != nil {
				it.Why = append([]Phrase{odd.say("why.read")}, it.Why...)
			}
			return it, err
		}
		wary = true
	}
	if base.frozen >= t.P.Danger {
		return it, t.frost(&c, &it, &rest, base)
	}
	if c.Waits > 0 {
		it.Act, it.Head, it.Why = Rest, rest.head, []Phrase{say("why.waits", day(c.Waits))}
		it.Chances, it.Working = chances(base), t.working(base, 0, 0)
		t.seeTo(&c, &it, odd)
		return it, nil
	}
	if t.ripe(&c, &it, base) {
		return it, nil
	}
	wet, watered, err := t.moist(&c, base)
	if err != nil {
		return it, err
	}
	if wet != nil { // how dry it gets is told by those that did not choose to water
		told, err := t.try(&c, &rest, t.half.tell)
		if err != nil {
			return it, err
		}
		base.dryTold, base.dryOf = told.dry, told.n
	}
	if err := t.feed(&c, &it, rest, wet, base, watered); err != nil {
		return it, err
	}
	if wary && it.Act == Rest {
		it.Act, it.Head, it.Urgency, it.Minutes = Look, say("probe"), Today, t.P.LookMinutes
		it.Why = []Phrase{say("why.maybe_warm", temp(t.P.AlarmC), odds(base.danger, base.n))}
	}
	if it.WaterKg > 0 && dryNow(&c, t.P.DryTop) {
		it.Urgency = Now
	}
	t.seeTo(&c, &it, odd)
	return it, nil
}

// dryNow says whether the top is too dry already in most members.
func dryNow(c *Case, least float64) bool {
	n := 0
	for m := range c.Ensemble.Members {
		if twin.TopWater(&c.Ensemble.Members[m].State) < least {
			n++
		}
	}
	return 4*n >= 3*len(c.Ensemble.Members)
}

func watering(c *Case, kg float64) bed.Act {
	return bed.Act{Hour: c.Now, Kind: bed.Water, WaterKg: kg, TempC: math.NaN()}
}

func (t *Trier) covered(c *Case, name string) bed.Act {
	cover, _ := t.Crew.Best().Cover(name)
	return bed.Act{Hour: c.Now, Kind: bed.Covered, Cover: cover}
}

func bare(c *Case) bool {
	name := c.Ensemble.Members[0].State.Cover.Name
	return name == "" || name == "none"
}

// watered is a watering by the gallon, with a cloth on a bare bed.
func (t *Trier) watered(c *Case, gallons float64, cover bool) option {
	kg := gallons * t.P.WaterStepKg
	o := option{head: say("water", pour(kg)), act: Water, waterKg: kg, mix: -1, acts: []bed.Act{watering(c, kg)}}
	if cover {
		o.head, o.cover = say("water_cover", pour(kg)), "cloth"
		o.acts = append(o.acts, t.covered(c, "cloth"))
	}
	return o
}

// moist finds the least that keeps the top moist until the visit: a cover where
// there is none, then water by the gallon; nil when nothing is needed. It gives
// what else was tried. docs/model.md (R4).
func (t *Trier) moist(c *Case, base verdict) (*option, []option, error) {
	if base.dry <= t.P.MostDry || base.water > t.P.WetBed {
		return nil, nil, nil
	}
	var options []option
	open := bare(c)
	if open {
		options = append(options, option{head: say("cover.cloth"), act: Cover, cover: "cloth", mix: -1, acts: []bed.Act{t.covered(c, "cloth")}})
	}
	for _, g := range []float64{1, 2, 3, 5} {
		options = append(options, t.watered(c, g, open))
	}
	best := -1
	for i := range options {
		v, err := t.try(c, &options[i], t.half.screen)
		if err != nil {
			return nil, nil, err
		}
		if v.water > t.P.WetBed || v.sour > math.Max(base.sour, t.P.MostSour) {
			options = options[:i+1]
			break
		}
		best = i
		if v.dry <= t.P.MostDry {
			options = options[:i+1]
			break
		}
	}
	if best < 0 {
		return nil, options, nil
	}
	chosen := options[best]
	return &chosen, options, nil
}

// layer is the identity that a tried feeding's layer gets; journals never give it.
const layer = math.MaxUint64

func feeding(c *Case, mix int, depthM float64) bed.Act {
	v := depthM * c.History.Box.Area()
	return bed.Act{Hour: c.Now, Kind: bed.Feed, Matter: c.Mixes[mix].PerM3.Times(v), DepthM: depthM, TempC: math.NaN(), Layer: layer}
}

// finalists is how many options, doing nothing among them, all members finish.
const finalists = 4

// feed tries depths of every mix with the water found, and takes what makes most
// castings within the limits. docs/model.md (R1), (R2), (R3).
func (t *Trier) feed(c *Case, it *Item, rest option, wet *option, base verdict, watered []option) error {
	if wet != nil {
		rest = *wet
	}
	rest.rank = rest.tried.Value
	if !c.Due {
		alone, err := t.try(c, &rest, t.half.choose)
		if err != nil {
			return err
		}
		if alone.hungry < early {
			return t.restOrWet(c, it, rest, base, watered)
		}
	}
	if base.full > 0.5 || t.untouched(c) || t.finishing(c, base) || len(c.Mixes) == 0 {
		return t.restOrWet(c, it, rest, base, watered)
	}
	options := []option{rest}
	for m := range c.Mixes {
		worse := 0
		for d := t.P.DepthStepM; d <= t.P.DepthMostM*1.001; d += t.P.DepthStepM {
			o := option{head: say("feed", depth(d), text(c.Mixes[m].Batch)), act: Feed, depthM: d, mix: m, acts: []bed.Act{feeding(c, m, d)}}
			if wet != nil {
				o.waterKg, o.cover, o.acts = wet.waterKg, wet.cover, append(o.acts, wet.acts...)
				switch {
				case o.waterKg > 0 && o.cover != "":
					o.head = say("feed_water_cover", depth(d), text(c.Mixes[m].Batch), pour(o.waterKg))
				case o.waterKg > 0:
					o.head = say("feed_water", depth(d), text(c.Mixes[m].Batch), pour(o.waterKg))
				default:
					o.head = say("feed_cover", depth(d), text(c.Mixes[m].Batch))
				}
			}
			v, err := t.try(c, &o, t.half.screen)
			if err != nil {
				return err
			}
			o.rank = t.rank(&o, v, base)
			options = append(options, o)
			if t.over(v, base)+t.leftover(v) > farOver {
				if worse++; worse == 2 {
					break // deeper only gets worse: R2
				}
			}
		}
	}
	sort.SliceStable(options, func(i, j int) bool { return options[i].rank > options[j].rank })
	few := slices.Clone(options[:min(finalists, len(options))])
	if !slices.ContainsFunc(few, func(o option) bool { return o.mix < 0 }) {
		few[len(few)-1] = rest
	}
	told := make([]verdict, len(few))
	best, none, alone := 0, 0, verdict{}
	for i := range few {
		o := &few[i]
		var err error
		if told[i], err = t.try(c, o, t.half.tell); err != nil {
			return err
		}
		v, err := t.try(c, o, t.half.choose) // last, so that what chose is what is shown as tried
		if err != nil {
			return err
		}
		o.rank = o.tried.Value
		if o.mix >= 0 {
			o.rank = t.rank(o, v, base)
		} else {
			none, alone = i, v
		}
	}
	// A feeding must be worth its visit: more castings, worms that would find
	// nothing before the next one, or, where it does no harm, a last feed that is
	// nearly gone.
	best = none
	gone := c.LastFed > 0 && leftNow(c) < t.P.GoneFrac
	for i := range few {
		if few[i].mix < 0 || few[i].rank < 0 || best != none && few[i].rank <= few[best].rank {
			continue
		}
		few[none].spared = true
		gain := few[i].tried.Value - few[none].tried.Value
		if alone.hungry >= 0.5 || gain >= t.P.LeastGain || gone && t.asGood(few[i].tried.Value, few[none].tried.Value) {
			best = i
		}
	}
	it.Doubt = t.doubt(few, none) * t.unseen(c)
	write := func(x *Item, i int) {
		t.tell(c, x, &few[i], base, told[i])
		more := func(o *option) bool {
			return few[i].mix >= 0 && o.mix == few[i].mix && math.Abs(o.depthM-few[i].depthM-t.P.DepthStepM) < 1e-6
		}
		if k := slices.IndexFunc(few, func(o option) bool { return more(&o) }); k >= 0 {
			t.tooMuch(x, told[k].left, told[k].n)
		} else if k := slices.IndexFunc(options, func(o option) bool { return more(&o) }); k >= 0 {
			t.tooMuch(x, options[k].tried.Left, options[k].tried.Members)
		}
		x.Value = few[i].tried.Value
		x.Tried = triedOf(options, few, watered, few[i].head)
	}
	if few[best].mix >= 0 { // what would be as good, so that a row can get one amount
		for i := range few {
			if i != best && few[i].mix >= 0 && few[i].rank > 0 && t.asGood(few[i].tried.Value, few[best].tried.Value) {
				other := *it
				write(&other, i)
				other.Tried, other.Others = nil, nil // the item itself holds the table
				it.Others = append(it.Others, other)
			}
		}
	}
	write(it, best)
	if it.Act == Feed && c.LastFed > 0 && c.EveryDays > 0 {
		if gap := float64(c.Now-c.LastFed) / 24; gap > longGap*c.EveryDays && gap > 10 {
			unfed := say("why.unfed", count(int(math.Round(gap))))
			it.Why = append(it.Why, unfed)
			for i := range it.Others {
				it.Others[i].Why = append(it.Others[i].Why, unfed)
			}
		}
	}
	return nil
}

const (
	early   = 0.75 // chance of going hungry from which a bin is fed before its habitual day
	farOver = 0.4  // past the limits by this much twice in a row ends the search of a mix
	longGap = 2.2  // times the habit without a feeding written down, from which it is told
)

// asGood says whether castings are no material loss against the best.
func (t *Trier) asGood(value, best float64) bool {
	return best-value <= math.Max(t.P.LeastGain, t.P.SteadyFrac*best)
}

// rank is the objective: castings made [kg dry], far below zero when a limit is
// passed, so that among forbidden options the least bad comes first.
func (t *Trier) rank(o *option, v, base verdict) float64 {
	if over := t.over(v, base) + t.leftover(v); over > 0 {
		return -1e9 * (1 + over)
	}
	return o.tried.Value
}

// doubt gives how evenly the members part on whether to feed: 4 q (1 - q) with q
// the share for which the best feeding is worth its visit and leaves too little
// to mind. docs/model.md (R5).
func (t *Trier) doubt(few []option, none int) float64 {
	best := -1
	for i := range few {
		if few[i].mix >= 0 && (best < 0 || few[i].rank > few[best].rank) {
			best = i
		}
	}
	if best < 0 {
		return 0
	}
	var yes float64
	for m := range few[best].outs {
		fed, left := &few[best].outs[m], &few[none].outs[m]
		if fed.LeftDays <= t.P.LeftDays && fed.CastDryKg-left.CastDryKg >= t.P.LeastGain {
			yes++
		}
	}
	q := yes / twin.Members
	return 4 * q * (1 - q)
}

// untouched says whether most of a feeding that has lain for days is still there:
// then nobody feeds on top of it. docs/model.md (R2).
func (t *Trier) untouched(c *Case) bool {
	return c.LastFed > 0 && c.Now-c.LastFed >= 3*24 && leftNow(c) > t.P.AgainFrac
}

// leftNow gives the share of the last feeding that is left.
func leftNow(c *Case) float64 {
	return c.Ensemble.Over(func(m *twin.Member) float64 { return twin.LeftOfLast(&m.State) }).Mid
}

// finishing says whether a bed is so full, with castings for a harvest in it,
// that it is left to ripen. docs/model.md (R7).
func (t *Trier) finishing(c *Case, base verdict) bool {
	if base.depthM < t.P.FinishShare*(c.History.Box.DepthM-t.P.RimM) {
		return false
	}
	return c.Ensemble.Over(func(m *twin.Member) float64 { return twin.CastingsKg(&m.State) }).Mid*c.History.Box.Area() > t.P.RipeKg
}

// unseen gives how much of a look's worth the time since the last one has brought
// back, 0 to 1.
func (t *Trier) unseen(c *Case) float64 {
	if c.LastLook == 0 {
		return 1
	}
	return math.Min(1, float64(c.Now-c.LastLook)/24/t.P.LookDays)
}

// restOrWet makes the item of a bin that is not fed today.
func (t *Trier) restOrWet(c *Case, it *Item, rest option, base verdict, watered []option) error {
	told, err := t.try(c, &rest, t.half.tell)
	if err != nil {
		return err
	}
	if _, err := t.try(c, &rest, t.half.choose); err != nil {
		return err
	}
	it.Doubt = 4 * told.hungry * (1 - told.hungry) * t.unseen(c)
	t.tell(c, it, &rest, base, told)
	it.Tried = triedOf([]option{rest}, nil, watered, rest.head)
	return nil
}

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
		it.Why = append(it.Why, say("why.lasts", depth(o.depthM), visit))
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
		case t.finishing(c, base):
			it.Why = append(it.Why, say("why.finish"))
		case base.full > 0.5:
			it.Why = append(it.Why, say("why.full", depth(t.P.RimM)))
		case len(c.Mixes) == 0:
			it.Why = append(it.Why, say("why.nomixes"))
		case told.hungry < 0.5:
			it.Why = append(it.Why, say("why.enough", visit))
		case o.spared:
			it.Why = append(it.Why, say("why.nogain"))
		default:
			it.Why = append(it.Why, say("why.limits"))
		}
		it.Sureness = append(it.Sureness, say("sure.hungry", visit, odds(told.hungry, told.n)))
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
			Inputs:  map[string]float64{"members": float64(c.N), "with_it": math.Round(c.Frac * float64(c.N))},
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
