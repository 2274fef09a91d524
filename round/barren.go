package round

import (
	"wormyard/bed"
	"wormyard/twin"
)

// wormless says whether the twins of a bed that was given worms hold none that a
// look would find, more likely than not. Of a bed that got feed or bedding in the
// last soon_days it does not: what drove them out is then a danger of today, and
// they may still be there. Nor where somebody found worms within look_days.
// docs/model.md (R13)
func (t *Trier) wormless(c *Case) bool {
	soon := c.Now - int64(t.P.SoonDays*24)
	if given(c) == 0 || max(c.LastFed, c.History.Start.Hour) > soon {
		return false
	}
	if _, found := sought(c); c.Now-found < int64(t.P.LookDays*24) { // who saw them knows better
		return false
	}
	area := c.History.Box.Area()
	return c.Ensemble.Share(func(m *twin.Member) bool { return m.State.Worms.LiveKg() < t.P.NoWormsKgM2*area }) > 0.5
}

// given is the hour at which a bed last got worms, 0 where it never did.
func given(c *Case) int64 {
	last := int64(0)
	if c.History.Start.StockKg.Best > 0 {
		last = c.History.Start.Hour
	}
	for _, a := range c.History.Acts {
		if a.Kind == bed.Stock && a.Hour <= c.Now {
			last = a.Hour
		}
	}
	return last
}

// barren makes the item of a bed whose twins hold no worms: a look, since twins are
// often wrong in that, and once somebody looked for worms it is left until some are
// put in; after look_days it is asked again. docs/model.md (R13)
func (t *Trier) barren(c *Case, it *Item, base verdict) {
	it.Chances, it.Working = chances(base), t.working(base, 0, 0)
	if looked, _ := sought(c); c.Now-looked < int64(t.P.LookDays*24) {
		it.Act, it.Head, it.Why = Rest, say("rest"), []Phrase{say("why.barren")}
		return
	}
	it.Act, it.Head, it.Urgency, it.Minutes = Look, say("look.worms"), Week, t.P.LookMinutes
	it.Why = []Phrase{say("why.noworms")}
	t.lifted(c, it)
}

// sought gives the hours at which somebody last looked into the bed or counted its
// worms since it got its last, and at which worms were found so; 0 where it never was.
func sought(c *Case) (looked, found int64) {
	since := given(c)
	at := func(hour int64, worms bool) {
		if hour < since || hour > c.Now {
			return
		}
		if looked = max(looked, hour); worms {
			found = max(found, hour)
		}
	}
	for _, l := range c.History.Looks {
		at(l.Hour, l.Worms != "")
	}
	for _, n := range c.History.Counts {
		at(n.Hour, n.KgM2 > 0 || n.Number > 0)
	}
	return looked, found
}
