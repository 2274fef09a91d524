package round

import (
	"math"

	"wormyard/bed"
	"wormyard/twin"
)

// cool looks for what takes the danger off: heat, or worms leaving what they
// cannot bear. It reports whether an item
// was made: where the members that tell do not see half of the danger, it is
// left to a thermometer. docs/model.md (R2).
func (t *Trier) cool(c *Case, it *Item, rest *option, base verdict) (bool, error) {
	alone, err := t.try(c, rest, t.half.tell)
	if err != nil {
		return false, err
	}
	hot := base.danger >= t.P.Danger && alone.danger >= t.P.Danger/2
	flee := base.flee >= t.P.Flee && alone.flee >= t.P.Flee/2
	if !hot && !flee {
		return false, nil
	}
	bad := func(v verdict) float64 { // what is hot now is not cool at once, so it is judged by the last day
		if hot {
			return v.stays
		}
		return v.flee
	}
	fed := c.LastDepthM
	if fed == 0 {
		fed = t.P.DepthMostM / 2
	}
	uncover := bed.Act{Hour: c.Now, Kind: bed.Covered, Cover: bed.Cover{Name: "none"}}
	take := func(d float64) bed.Act {
		return bed.Act{Hour: c.Now, Kind: bed.Take, DepthM: d, From: bed.FromTop}
	}
	half := math.Max(t.P.DepthStepM, math.Round(fed/2/t.P.DepthStepM)*t.P.DepthStepM)
	options := []option{*rest}
	if !hot && base.dry > t.P.MostDry && base.water < t.P.WetBed { // what is dry is watered before anything is taken off
		for _, gallons := range []float64{3, 5} {
			options = append(options, t.watered(c, gallons, bare(c)))
		}
	}
	if !bare(c) {
		options = append(options, option{head: say("open.cover"), act: Open, mix: -1, cover: "none", acts: []bed.Act{uncover}})
	}
	for _, d := range []float64{half, fed} {
		off, both := "open.feed", "open.both"
		if c.LastFed == 0 { // no feed was laid, so what comes off is bedding
			off, both = "open.top", "open.topboth"
		}
		o := option{head: say(off, depth(d)), act: Open, mix: -1, depthM: d, acts: []bed.Act{take(d)}}
		if !bare(c) {
			o.head, o.cover, o.acts = say(both, depth(d)), "none", append(o.acts, uncover)
		}
		if d == half || fed > half {
			options = append(options, o)
		}
	}
	best, least := 0, math.Inf(1)
	for i := range options {
		v, err := t.try(c, &options[i], t.half.choose)
		if err != nil {
			return false, err
		}
		options[i].rank = -1e9
		if bad(v) < t.P.Danger {
			options[i].rank = v.castDry
		}
		if bad(v) < least-material { // what is simpler comes first
			best, least = i, bad(v)
		}
	}
	o := options[best]
	told, err := t.try(c, &o, t.half.tell)
	if err != nil {
		return false, err
	}
	if best == 0 {
		o.head = say("open.watch")
	}
	it.Act, it.Head, it.DepthM, it.Cover, it.Urgency, it.Minutes = Open, o.head, o.depthM, o.cover, Now, t.P.OpenMinutes
	it.Care = []Phrase{say("care.ammonia"), say("care.gloves")}
	switch {
	case o.act == Water:
		it.Act, it.WaterKg, it.Minutes = Water, o.waterKg, t.P.WaterMin
		if o.cover != "" {
			it.Minutes += t.P.CoverMin
		}
		it.Why = []Phrase{say("why.flee_dry")}
		it.Sureness = []Phrase{t.fast(c, alone)}
		it.Care = []Phrase{say("care.gloves")}
	case hot:
		it.Why = append([]Phrase{say(t.heats(base.maxC), temp(base.maxC))}, t.refuge(base)...)
		if t.unread(c) { // it is what the twins make of it
			it.Why = append(it.Why, say("why.tells.stab", depth(base.depthM/2)))
		}
		it.Sureness = []Phrase{say("sure.danger", temp(t.P.AlarmC), odds(alone.danger, alone.n))}
	default:
		it.Why = []Phrase{say(flees)}
		if long := int64(24 * t.P.HorizonDays); c.Now-max(c.LastFed, c.History.Start.Hour) > long {
			it.Why = []Phrase{say(fleesBed)}
		}
		it.Sureness = []Phrase{t.fast(c, alone)}
	}
	if best > 0 {
		it.Sureness = append(it.Sureness, say("sure.after", odds(bad(told), told.n)))
	}
	t.lifted(c, it)
	it.Chances, it.Working = chances(told), t.working(told, 0, 0)
	it.Tried = triedOf(options, nil, nil, o.head)
	return true, nil
}

// The reasons of a bin whose worms leave: what was laid of late, or nobody knows.
const (
	flees    = "why.flee"
	fleesBed = "why.flee_bed"
)

// heats is the reason of a bin that may get so warm: where no worm lives on it is
// said that none does.
func (t *Trier) heats(maxC float64) string {
	if maxC > t.Crew.Best().Worm.HeatFullC {
		return "why.killing"
	}
	return "why.warm"
}

// fast says how likely more worms leave than can wait.
func (t *Trier) fast(c *Case, alone verdict) Phrase {
	return say("sure.fast", count(int(math.Round(1/t.P.FleeLoss))), day(c.Now+int64(t.P.SoonDays*24)), odds(alone.flee, alone.n))
}

// seeping makes what may be looked at (R5) of a bin left alone where worms are
// seen to leave, too few in soon_days to open it now: the members that tell must
// find it as likely as not. docs/model.md (R2), (R5).
func (t *Trier) seeping(c *Case, it *Item, rest *option) error {
	alone, err := t.try(c, rest, t.half.tell)
	if err != nil || alone.seep < t.P.Flee {
		return err
	}
	it.Why, it.Sureness = []Phrase{say(seeps)}, []Phrase{say("sure.flee", day(c.Visit), odds(alone.seep, alone.n))}
	it.Doubt = math.Max(it.Doubt, t.unseen(c))
	return nil
}

// seeps is the reason of a bin whose worms may be leaving slowly.
const seeps = "why.seep"

// refuge says how little bed stays cool enough, where it is little.
func (t *Trier) refuge(base verdict) []Phrase {
	switch {
	case base.coolM < t.P.DepthStepM:
		return []Phrase{say("why.norefuge")}
	case base.coolM < t.P.RefugeM:
		return []Phrase{say("why.refuge", depth(base.coolM))}
	}
	return nil
}

// material is a difference of chances below which two acts are as good.
const material = 0.1

// frost looks for a cover that keeps a bed from freezing; where none does, the
// bin wants shelter.
func (t *Trier) frost(c *Case, it *Item, rest *option, base verdict) error {
	options := []option{*rest}
	now := c.Ensemble.Members[0].State.Cover.Name
	for _, name := range []string{"cloth", "film", "board"} {
		if name != now {
			options = append(options, option{head: say("cover." + name), act: Cover, cover: name, mix: -1, acts: []bed.Act{t.covered(c, name)}})
		}
	}
	best, least := 0, base.frozen
	for i := range options {
		v, err := t.try(c, &options[i], t.half.choose)
		if err != nil {
			return err
		}
		options[i].rank = v.castDry
		if v.frozen < least-material {
			best, least = i, v.frozen
		}
	}
	alone, err := t.try(c, &options[0], t.half.tell)
	if err != nil {
		return err
	}
	o := options[best]
	told, err := t.try(c, &o, t.half.tell)
	if err != nil {
		return err
	}
	it.Urgency = Today
	it.Sureness = []Phrase{say("sure.frozen", odds(alone.frozen, alone.n))}
	if least < t.P.Danger {
		it.Act, it.Head, it.Cover, it.Minutes = Cover, o.head, o.cover, t.P.CoverMin
		it.Sureness = append(it.Sureness, say("sure.after", odds(told.frozen, told.n)))
	} else {
		it.Act, it.Head, it.Minutes = Warm, say("warm"), t.P.CoverMin
		it.Care = []Phrase{say("care.power")}
	}
	it.Why = []Phrase{say("why.frozen", temp(base.minC))}
	t.lifted(c, it)
	it.Chances, it.Working = chances(told), t.working(told, 0, 0)
	it.Tried = triedOf(options, nil, nil, o.head)
	return nil
}

// ripe makes an item of a deep bed whose feed is worked, that was not fed for
// stop_feed_days and makes little more, or of one with more worms than it carries
// well; of neither while the bed is kept apart, as both take worms to other bins.
// docs/model.md (R7), (R8).
func (t *Trier) ripe(c *Case, it *Item, base verdict) bool {
	n := len(c.Ensemble.Members)
	area := c.History.Box.Area()
	ripe := c.Ensemble.Share(func(m *twin.Member) bool { return t.P.Ripe(&m.State, area) })
	if t.full(c, base) { // whatever may still be eaten in it: nothing more goes in
		ripe = c.Ensemble.Share(func(m *twin.Member) bool { return t.P.Worth(&m.State, area) })
	}
	worked := ripe > ripeShare-t.hold(c.Was != nil && c.Was.Act == Harvest) && (t.deep(c, base) || t.given(c))
	c.finish = worked && c.LastFed > 0 && float64(c.Now-c.LastFed) < 24*t.P.StopFeedDays
	if worked && !c.finish && t.done(c, base) {
		if c.Apart.Until != 0 {
			c.late = say("why.ripelate", date(c.Apart.Until))
			return false
		}
		it.Value = ripe
		castings := c.Ensemble.Over(func(m *twin.Member) float64 { return twin.CastingsKg(&m.State) * area })
		it.Act, it.Head, it.Urgency, it.Minutes = Harvest, say("harvest"), Week, t.P.HarvestMin
		it.Why = []Phrase{say("why.ripe", mass(castings.Mid))}
		it.Sureness = []Phrase{say("sure.ripe", odds(ripe, n))}
		it.Care = []Phrase{say("care.dust")}
		t.lifted(c, it)
		it.Chances, it.Working = chances(base), t.working(base, 0, 0)
		return true
	}
	kg := c.Ensemble.Over(func(m *twin.Member) float64 { return m.State.Worms.LiveKg() / area })
	if kg.Low > t.P.SplitKgM2 {
		if c.Apart.Until != 0 {
			c.late = say("why.fulllate", date(c.Apart.Until))
			return false
		}
		it.Act, it.Head, it.Urgency, it.Minutes = Split, say("split"), Week, t.P.HarvestMin
		it.Why = []Phrase{say("why.crowded", Arg{Of: "stocking", V: kg.Mid})}
		it.Care = []Phrase{say("care.lift")}
		t.lifted(c, it)
		it.Chances, it.Working = chances(base), t.working(base, 0, 0)
		return true
	}
	return false
}

// given says that a bed has had no feed for so long that it gets none any more.
// docs/model.md (R7).
func (t *Trier) given(c *Case) bool {
	return float64(c.Now-max(c.LastFed, c.History.Start.Hour)) >= giveUp*24*t.P.StopFeedDays
}

// done says that a ripe bed is worth its harvest now: it was given up, or left
// alone it makes less than the minutes of a harvest, spread over the time after
// which it would be given up. docs/model.md (R7).
func (t *Trier) done(c *Case, base verdict) bool {
	return t.given(c) || base.castDry < t.P.MinuteKg*t.P.HarvestMin*t.P.HorizonDays/(giveUp*t.P.StopFeedDays)
}

// giveUp is how many times stop_feed_days a bed without feed is left to work what
// lies in it.
const giveUp = 3

// ripeShare is the share of members that must find a bed ripe.
const ripeShare = 0.6

// Ripe says whether a bed of an area [m2] is worth a harvest: little is left that
// worms could still eat, and the castings are many enough. docs/model.md (R7).
func (p *Parameters) Ripe(s *bed.State, area float64) bool {
	return twin.Eaten(s) > p.RipeFrac && p.Worth(s, area)
}

// Worth says whether a bed of an area [m2] holds castings enough for a harvest.
// docs/model.md (R7).
func (p *Parameters) Worth(s *bed.State, area float64) bool {
	return twin.CastingsKg(s)*area > p.RipeKg
}
