package round

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Visit is one coming of the truck to a stack: how far down it goes, and why it is
// worth its minutes. docs/model.md (R11).
type Visit struct {
	Barn    string  `json:"barn,omitempty"`
	Row     string  `json:"row,omitempty"`
	Stack   int     `json:"stack,omitempty"`
	Lift    int     `json:"lift"`    // bins taken down and put back
	Reached int     `json:"reached"` // bins that stood under others and are worked on
	Feed    int     `json:"feed"`    // of these
	Look    int     `json:"look"`    // of these
	Minutes float64 `json:"minutes"` // of the truck and of the work on the bins reached
	GainKg  float64 `json:"gain_kg_dry"`
	PriceKg float64 `json:"price_kg_dry"`
	Say     Phrase  `json:"head"`
	Text    string  `json:"say"` // in the reader's words
}

// visits decides for each stack how far down the truck goes today, puts off what
// lies deeper until the next visit and asks for a look at what nobody has seen for
// long. now is an hour. docs/model.md (R11).
func (p *Parameters) visits(items []Item, now int64) []Visit {
	stacks := map[string][]int{}
	var order []string
	var may []int // those not seen for longest first; a look that was asked for keeps its turn
	for i := range items {
		if it := &items[i]; it.Bin != "" && it.Above > 0 && it.Act == Rest && p.overdue(it, now) {
			may = append(may, i)
		}
	}
	slices.SortStableFunc(may, func(a, b int) int { return cmp.Compare(items[a].Seen, items[b].Seen) })
	ahead(may, func(i int) bool { return items[i].wasTo(Look) })
	unseen := map[int]bool{}
	for _, i := range may[:min(len(may), int(p.LookMost))] {
		unseen[i] = true
	}
	for i := range items {
		it := &items[i]
		if it.Bin == "" || it.Above == 0 {
			continue
		}
		if unseen[i] {
			it.Act, it.Head, it.Urgency, it.Minutes, it.Lift = Look, say("look.unseen"), Week, p.LookMinutes, it.Above
			it.Why = append([]Phrase{say("why.unseen", date(it.Seen))}, it.Why...)
			it.Care = append(slices.Clip(it.Care), say("care.truck"))
		}
		if it.Act == Rest || it.Lift == 0 {
			continue
		}
		k := stackKey(it)
		if stacks[k] == nil {
			order = append(order, k)
		}
		stacks[k] = append(stacks[k], i)
	}
	var out []Visit
	for _, k := range order {
		if v, made := p.visit(items, stacks[k], now); made {
			out = append(out, v)
		}
	}
	return out
}

func stackKey(it *Item) string { return fmt.Sprintf("%s/%s/%d", it.Barn, it.Row, it.Stack) }

// overdue says that nobody has had a bin before them for overdue_days.
func (p *Parameters) overdue(it *Item, now int64) bool {
	return it.Seen > 0 && float64(now-it.Seen) >= p.OverdueDays*24
}

// must says that a bin is reached whatever it costs: what cannot wait, what a crew
// was already picked for, what nobody has seen for long.
func (p *Parameters) must(it *Item, now int64) bool {
	return it.Urgency == Now || slices.Contains([]Act{Open, Warm, Harvest, Split}, it.Act) || p.overdue(it, now)
}

// worth gives what reaching a bin today is worth against its next visit [kg dry of
// castings]: the share of the gain that the wait would lose, and the look.
func (p *Parameters) worth(it *Item, now int64) float64 {
	var gain float64
	if i := slices.IndexFunc(it.Tried, func(x Tried) bool { return x.Option.Key == "rest" }); i >= 0 && it.Act != Look {
		gain = math.Max(0, it.Value-it.Tried[i].Value)
	}
	wait := float64(it.Visit.Unix()/3600-now) / 24
	look := it.Doubt
	if it.Act == Look {
		look = 1
	}
	return gain*math.Min(1, math.Max(0, wait)/p.HorizonDays) + look*p.LookWorth
}

// visit decides on one stack, given which of its items want a lift.
func (p *Parameters) visit(items []Item, of []int, now int64) (Visit, bool) {
	deepest, least := 0, 0
	held, was := true, 0 // how far down the last round went, where nothing is new
	for _, i := range of {
		it := &items[i]
		deepest = max(deepest, it.Lift)
		if p.must(it, now) {
			least = max(least, it.Lift)
		}
		if it.Was == nil || it.Was.Due != it.Due {
			held = false
		} else if it.Was.Act != Rest && !it.Was.Off {
			was = max(was, it.Lift)
		}
	}
	gain := func(lift int) (kg float64) {
		for _, i := range of {
			if items[i].Lift <= lift {
				kg += p.worth(&items[i], now)
			}
		}
		return kg
	}
	price := func(lift int) float64 { return float64(lift) * p.LiftMinutes * p.MinuteKg }
	best := least
	for lift := least + 1; lift <= deepest; lift++ {
		if gain(lift)-price(lift) > gain(best)-price(best) {
			best = lift
		}
	}
	if held && was >= least && gain(best)-price(best) <= gain(was)-price(was)+p.VisitHold*math.Max(price(was), price(best)) {
		best = was
	}
	v := Visit{Lift: best, GainKg: gain(best), PriceKg: price(best), Minutes: float64(best) * p.LiftMinutes}
	var why Phrase
	for _, i := range of {
		it := &items[i]
		if it.Lift > best {
			p.putOff(it, now)
			continue
		}
		v.Barn, v.Row, v.Stack = it.Barn, it.Row, it.Stack
		v.Reached++
		v.Minutes += it.Minutes
		switch it.Act {
		case Feed:
			v.Feed++
		case Look:
			v.Look++
		}
		switch {
		case it.Urgency == Now || it.Act == Open || it.Act == Warm:
			why = say("visit.now")
		case why.Key == "visit.now":
		case p.overdue(it, now):
			why = say("visit.unseen", count(int(float64(now-it.Seen)/24)))
		case p.must(it, now) && why.Key == "":
			why = say("visit.ripe")
		}
	}
	if v.Reached == 0 {
		return v, false
	}
	if why.Key == "" {
		why = say("visit.worth", mass(v.GainKg), mass(v.PriceKg))
	}
	does := []Phrase{say("visit.reached", count(v.Reached))}
	if v.Feed > 0 {
		does = append(does, say("visit.feed", count(v.Feed)))
	}
	if v.Look > 0 {
		does = append(does, say("visit.look", count(v.Look)))
	}
	v.Say = say("visit", text(v.Row), text(fmt.Sprint(v.Stack)), list(does), text(fmt.Sprint(math.Round(v.Minutes))), list([]Phrase{why}), date(now+int64(p.OverdueDays*24)))
	return v, true
}

// putOff leaves a bin under others until the next visit; what was advised is kept,
// so that tomorrow's round holds on to it.
func (p *Parameters) putOff(it *Item, now int64) {
	a := it.Advice()
	a.Off = true
	it.Off = &a
	by := it.Seen + int64(p.OverdueDays*24)
	if it.Seen == 0 {
		by = now + int64(p.OverdueDays*24)
	}
	it.Act, it.Head, it.Urgency, it.Minutes, it.Lift = Rest, say("rest"), NoHurry, 0, 0
	it.DepthM, it.WaterKg, it.Cover, it.Mix, it.VolumeM3, it.Others, it.Care, it.Sureness = 0, 0, "", "", 0, nil, nil, nil
	it.Why = append([]Phrase{say("why.nextvisit", date(by))}, it.Why...)
}
