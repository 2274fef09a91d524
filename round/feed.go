package round

import (
	"math"
	"slices"
	"sort"

	"wormyard/bed"
	"wormyard/twin"
)

// feed tries depths of every mix with the water found, and takes what makes most
// castings within the limits. docs/model.md (R1), (R2), (R3).
func (t *Trier) feed(c *Case, it *Item, rest option, wet *option, base verdict, watered []option) error {
	if wet != nil {
		rest = *wet
	}
	rest.rank = rest.tried.Value
	if c.fedToday() { // what it needs beyond that is seen tomorrow: R9
		return t.restOrWet(c, it, rest, base, watered)
	}
	var starved float64
	late := false // of a day of feeding before: what was left then is still to be done
	if !c.Due {
		alone, err := t.try(c, &rest, t.half.choose)
		if err != nil {
			return err
		}
		chance := alone.hungry
		if c.OffDay {
			if chance, err = t.starved(c, rest); err != nil {
				return err
			}
			starved = chance
		}
		if early := early - t.hold(c.fed()) + t.hold(c.still()); chance < early && c.left() {
			late = true
		} else if chance < early {
			return t.restOrWet(c, it, rest, base, watered)
		}
	}
	if c.Held.Since != 0 || base.full > 0.5 || t.untouched(c) || t.finishing(c, base) || len(c.Mixes) == 0 {
		return t.restOrWet(c, it, rest, base, watered)
	}
	deepest := t.P.DepthMostM
	if c.LastDepthM > 0 || c.LastFed == 0 { // a larger change goes by steps, as the twins may be wrong; a new bed begins with one
		deepest = math.Min(deepest, c.LastDepthM+t.P.DeeperMostM)
	}
	options := []option{rest}
	var beyond []option // the farm's habit
	for m := range c.Mixes {
		worse := 0
		for d := t.P.DepthStepM; d <= deepest*1.001; d += t.P.DepthStepM {
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
			o.rank = t.rank(c, &o, v, base)
			if c.MostM > 0 && d > c.MostM*1.001 {
				beyond = append(beyond, o)
			} else {
				options = append(options, o)
			}
			if t.over(v, base, 0)+t.leftover(v, 0) > farOver {
				if worse++; worse == 2 {
					break // deeper only gets worse: R2
				}
			}
		}
	}
	sort.SliceStable(options, func(i, j int) bool { return options[i].rank > options[j].rank })
	few, told, none, err := t.finish(c, options, base)
	if err != nil {
		return err
	}
	alone := t.verdict(c, &few[none], t.half.choose)
	// A feeding must be worth its visit: more castings, worms that would find
	// nothing before the next one, or, where it does no harm, a last feed that is
	// nearly gone. What those that tell find more likely left than eaten is no
	// advice.
	best := none
	gone := c.LastFed > 0 && leftNow(c) < t.P.GoneFrac-t.hold(c.unfed())
	hungry := alone.hungry >= 0.5-t.hold(c.fed())+t.hold(c.unfed())
	likely := func(i int) bool { return told[i].left > 0.5+t.hold(c.was(&few[i])) } // to be left
	for i := range few {
		if few[i].mix < 0 || few[i].rank < 0 || likely(i) || best != none && few[i].rank <= few[best].rank {
			continue
		}
		few[none].spared = true
		gains := few[i].tried.Value-few[none].tried.Value >= t.pays()
		if c.unfed() { // a change wants more than a visit does
			gains = !t.asGood(few[none].tried.Value, few[i].tried.Value)
		}
		if hungry || gains || gone && t.asGood(few[i].tried.Value, few[none].tried.Value) {
			best = i
		}
	}
	if i := slices.IndexFunc(few, func(o option) bool { return c.was(&o) }); i >= 0 && few[i].rank >= 0 && !likely(i) && t.asGood(few[i].tried.Value, few[best].tried.Value) {
		best = i // what was advised last is as good: R9
	}
	price, err := t.price(c, beyond, &few[best], base)
	if err != nil {
		return err
	}
	it.Doubt, it.Learn = t.doubt(c, few, none)
	it.Doubt, it.Learn = it.Doubt*t.unseen(c), it.Learn*t.unseen(c)
	write := func(x *Item, i int) {
		t.tell(c, x, &few[i], base, told[i])
		if x.Act == Feed {
			x.Sureness = append(x.Sureness, t.unfed(c, told[i], told[none])...)
		}
		more := func(o *option) bool {
			return few[i].mix >= 0 && o.mix == few[i].mix && math.Abs(o.depthM-few[i].depthM-t.P.DepthStepM) < 1e-6
		}
		if k := slices.IndexFunc(few, func(o option) bool { return more(&o) }); k >= 0 {
			t.tooMuch(x, told[k].left, told[k].n)
		} else if k := slices.IndexFunc(options, func(o option) bool { return more(&o) }); k >= 0 {
			t.tooMuch(x, options[k].tried.Left, options[k].tried.Members)
		}
		x.Why = append(x.Why, price...)
		if late && x.Act == Feed {
			x.Why = append([]Phrase{say("why.late")}, x.Why...)
		} else if c.OffDay && x.Act == Feed {
			x.Why = append([]Phrase{say("why.offday", day(c.Visit), odds(starved, len(t.half.choose)))}, x.Why...)
		}
		x.Value = few[i].tried.Value
		x.Tried = triedOf(options, few, watered, few[i].head)
	}
	if few[best].mix >= 0 { // what would be as good, so that a row can get one amount
		for i := range few {
			if i != best && few[i].mix >= 0 && few[i].rank > 0 && !likely(i) && t.asGood(few[i].tried.Value, few[best].tried.Value) {
				other := *it
				write(&other, i)
				other.Tried, other.Others = nil, nil // the item itself holds the table
				it.Others = append(it.Others, other)
			}
		}
	}
	write(it, best)
	if best == none && t.unread(c) && len(it.Why) > 0 && it.Why[len(it.Why)-1].Key == harmful {
		if i := t.heatAlone(few, told, base); i >= 0 {
			warm := told[i].warm
			it.Why = append(it.Why, say(tooWarm, odds(warm, told[i].n)))
			it.Doubt = math.Max(it.Doubt, 4*warm*(1-warm))
			it.Learn = math.Max(it.Learn, (1-warm)*(few[i].tried.Value-few[none].tried.Value))
		}
	}
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

// finish has all members try the best few options of the screened, doing nothing
// (at none) among them, and gives what those that tell say of each. Where no
// feeding of these keeps the limits on all members, the next best are finished
// until one does. docs/model.md (R3).
func (t *Trier) finish(c *Case, screened []option, base verdict) (few []option, told []verdict, none int, err error) {
	kept := false
	for i := range screened {
		o := screened[i]
		if o.mix >= 0 && i >= finalists-1 && !c.was(&o) && (kept || o.rank < 0 || len(few) >= mostFinalists) {
			continue
		}
		said, err := t.try(c, &o, t.half.tell)
		if err != nil {
			return nil, nil, 0, err
		}
		v, err := t.try(c, &o, t.half.choose) // last, so that what chose is what is shown as tried
		if err != nil {
			return nil, nil, 0, err
		}
		o.rank = o.tried.Value
		if o.mix >= 0 {
			o.rank = t.rank(c, &o, v, base)
			kept = kept || o.rank >= 0
		} else {
			none = len(few)
		}
		few, told = append(few, o), append(told, said)
	}
	return few, told, none, nil
}

const (
	early   = 0.75 // chance of going hungry from which a bin is fed before its habitual day
	farOver = 0.4  // past the limits by this much twice in a row ends the search of a mix
	longGap = 2.2  // times the habit without a feeding written down, from which it is told
)

// layer is the identity that a tried feeding's layer gets; journals never give it.
const layer = math.MaxUint64

func feeding(c *Case, mix int, depthM float64) bed.Act {
	v := depthM * c.History.Box.Area()
	return bed.Act{Hour: c.Now, Kind: bed.Feed, Matter: c.Mixes[mix].PerM3.Times(v), Lain: c.Mixes[mix].Lain, DepthM: depthM, TempC: math.NaN(), Layer: layer}
}

// How many options, doing nothing among them, all members finish: as a rule, and
// at most where none of the first keeps the limits.
const (
	finalists     = 4
	mostFinalists = 10
)

// pays gives the castings that a feeding must make beyond leaving the bin alone to
// be worth its minutes where nobody goes hungry. docs/model.md (R1), (R11).
func (t *Trier) pays() float64 { return math.Max(t.P.LeastGain, t.P.MinuteKg*t.P.FeedMinutes) }

// asGood says whether castings are no material loss against the best.
func (t *Trier) asGood(value, best float64) bool {
	return best-value <= math.Max(t.P.LeastGain, t.P.SteadyFrac*best)
}

// rank is the objective: castings made [kg dry], far below zero when a limit is
// passed, so that among forbidden options the least bad comes first.
func (t *Trier) rank(c *Case, o *option, v, base verdict) float64 {
	slack := t.hold(c.was(o))
	if over := t.over(v, base, slack) + t.leftover(v, slack); over > 0 {
		return -1e9 * (1 + over)
	}
	return o.tried.Value
}

// doubt gives how evenly the members part on whether to feed: 4 q (1 - q) with q
// the share for which the best feeding is worth its visit and leaves too little
// to mind; and what it would be worth, in castings, to know which of them is right
// before it is left [kg dry]. docs/model.md (R5).
func (t *Trier) doubt(c *Case, few []option, none int) (doubt, learn float64) {
	best := -1
	for i := range few {
		if few[i].mix >= 0 && (best < 0 || few[i].rank > few[best].rank) {
			best = i
		}
	}
	if best < 0 {
		return 0, 0
	}
	var yes float64
	for m := range c.Ensemble.Members {
		fed, left := &few[best].outs[m], &few[none].outs[m]
		if more := fed.CastDryKg - left.CastDryKg - t.pays(); fed.LeftDays <= t.P.LeftDays && more >= 0 {
			yes += c.Ensemble.Weight(m)
			learn += c.Ensemble.Weight(m) * more
		}
	}
	q := min(1, yes)
	return 4 * q * (1 - q), learn
}

// unread says whether no thermometer was in a bed for so long that its warmth is
// only what the twins make of it. docs/model.md (R5).
func (t *Trier) unread(c *Case) bool {
	for i := len(c.History.Readings) - 1; i >= 0; i-- {
		if r := &c.History.Readings[i]; !math.IsNaN(r.TempC) {
			return float64(c.Now-r.Hour) > 24*t.P.ProbeDays
		}
	}
	return true
}

// The reasons of a hungry bin that gets no feed: every feeding does harm, and of the
// best of them it is heat alone.
const (
	harmful = "why.limits"
	tooWarm = "sure.warm"
)

// heatAlone gives the best feeding of which nothing but warmth, and worms that leave
// for it, is feared; -1 where there is none. docs/model.md (R5).
func (t *Trier) heatAlone(few []option, told []verdict, base verdict) int {
	best := -1
	for i := range few {
		v := told[i]
		v.warm, v.leave = 0, 0
		if few[i].mix < 0 || told[i].warm <= t.P.MostWarm || v.left > 0.5 || t.over(v, base, 0)+t.leftover(v, 0) > 0 {
			continue
		}
		if best < 0 || few[i].tried.Value > few[best].tried.Value {
			best = i
		}
	}
	return best
}

// untouched says whether most of a feeding that has lain for days is still there:
// then nobody feeds on top of it. docs/model.md (R2).
func (t *Trier) untouched(c *Case) bool {
	return c.LastFed > 0 && c.Now-c.LastFed >= 3*24 && leftNow(c) > t.P.AgainFrac
}

// leftNow gives the share of the last feeding that is left: all of one that is
// younger than what the twins have come to.
func leftNow(c *Case) float64 {
	if c.LastFed >= c.Ensemble.Hour {
		return 1
	}
	return c.Ensemble.Over(func(m *twin.Member) float64 { return twin.LeftOfLast(&m.State) }).Mid
}

// finishing says whether a bed is left to ripen: one that is ripe but for what it was
// fed last, that somebody measured and left unfed, or that is so full, with castings
// for a harvest in it. docs/model.md (R7).
func (t *Trier) finishing(c *Case, base verdict) bool {
	if c.finish || t.full(c, base) {
		return true
	}
	if !t.deep(c, base) {
		return false
	}
	return c.Ensemble.Over(func(m *twin.Member) float64 { return twin.CastingsKg(&m.State) }).Mid*c.History.Box.Area() > t.P.RipeKg
}

// deep says that a bed fills finish_share of the depth to the rim. docs/model.md (R7).
func (t *Trier) deep(c *Case, base verdict) bool {
	return base.depthM >= t.P.deepFrom(c.History.Box.DepthM)
}

// deepFrom is from what depth on a bed in a box so deep is deep [m].
func (p *Parameters) deepFrom(boxM float64) float64 { return p.FinishShare * (boxM - p.RimM) }

// full says that a bed is taken as full by those who work at it, and is deep by the
// twins still. docs/model.md (R7).
func (t *Trier) full(c *Case, base verdict) bool {
	n := len(c.History.Marks)
	if n == 0 || !t.deep(c, base) {
		return false
	}
	last := &c.History.Marks[n-1]
	return t.P.Full(c.History.Box.DepthM, c.LastFed, last.Hour, last.DepthM)
}

// Full says that a bed in a box so deep was measured, and found deep, a day or more
// after its last feeding: who stood before it with a rule laid nothing more. What a
// crew calls full is lower than the rim. Hours are since 1970-01-01T00Z, depths in m;
// a bed that was never fed, or in a box that nobody knows, is not full. docs/model.md (R7).
func (p *Parameters) Full(boxM float64, lastFed, measured int64, depthM float64) bool {
	return boxM > 0 && lastFed > 0 && measured >= lastFed+24 && depthM >= p.deepFrom(boxM)
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
	if it.Doubt = 4 * told.hungry * (1 - told.hungry) * t.unseen(c); c.fedToday() { // somebody just had it before them
		it.Doubt = 0
	}
	it.Learn = t.P.LookWorth * it.Doubt
	if c.OffDay && c.Was != nil && c.Was.Act == Look { // a look that was left is still to be taken
		it.Doubt, it.Learn = math.Max(it.Doubt, leastDoubt), math.Max(it.Learn, t.P.MinuteKg*t.P.LookMinutes)
	}
	t.tell(c, it, &rest, base, told)
	it.Tried = triedOf([]option{rest}, nil, watered, rest.head)
	return nil
}
