package round

import (
	"time"
)

// Bin gives what today asks of a bin: one item, Rest when nothing. The error is
// of the twins, not of the farmer. docs/model.md (R1), (R2), (R3), (R4), (R8), (R9),
// (R10), (R13).
func (t *Trier) Bin(c Case) (Item, error) {
	it, err := t.bin(&c)
	if err == nil {
		t.heed(&c, &it)
	}
	return it, err
}

// bin gives it as far as the twins say; where a reading is believed their copy
// takes the place of those in the case.
func (t *Trier) bin(c *Case) (Item, error) {
	it := Item{
		Bin: c.Bin, Place: c.Place, Barn: c.Barn, Row: c.Row, Stack: c.Stack, Level: c.Level, Above: c.Above,
		Urgency: NoHurry, Visit: time.Unix(c.Visit*3600, 0).UTC(), Due: c.Due, Was: c.Was, Seen: c.Seen,
	}
	t.half = part(len(c.Ensemble.Members))
	odd := t.odd(c)
	if odd != nil {
		c.Ensemble = believed(c.Ensemble, odd)
	}
	rest := option{head: say("rest"), act: Rest, mix: -1}
	base, err := t.try(c, &rest, t.half.screen)
	if err != nil {
		return it, err
	}
	gone := t.wormless(c)
	if !gone && (base.danger > 0 || base.seep >= t.P.Flee) || base.frozen > 0 {
		if base, err = t.try(c, &rest, t.half.choose); err != nil {
			return it, err
		}
	}
	var wary bool // warm enough to put a thermometer in
	if !gone && (base.danger >= t.P.Danger || base.flee >= t.P.Flee && base.frozen < t.P.Danger) {
		done, err := t.cool(c, &it, &rest, base)
		if err != nil || done {
			if odd != nil {
				it.Why = append([]Phrase{odd.say("why.read")}, it.Why...)
			}
			return it, err
		}
		wary = true
	}
	if base.frozen >= t.P.Danger {
		return it, t.frost(c, &it, &rest, base)
	}
	if c.Waits > 0 {
		it.Act, it.Head, it.Why = Rest, rest.head, []Phrase{say("why.waits", day(c.Waits))}
		if t.bedding(c) {
			it.Why = append(it.Why, say("why.first"), say("why.bedding"))
		}
		it.Chances, it.Working = chances(base), t.working(base, 0, 0)
		t.seeTo(c, &it, odd)
		return it, nil
	}
	if odd == nil && t.ripe(c, &it, base) {
		return it, nil
	}
	if gone {
		t.barren(c, &it, base)
		return it, nil
	}
	wet, watered, err := t.moist(c, base)
	if err != nil {
		return it, err
	}
	if wet != nil { // how dry it gets is told by those that did not choose to water
		told, err := t.try(c, &rest, t.half.tell)
		if err != nil {
			return it, err
		}
		base.dryTold, base.dryOf = told.dry, told.n
		if told.dry <= t.P.MostDry+t.hold(c.unwatered())-t.hold(c.watered()) { // those that did not choose see no need
			wet = nil
		}
	}
	if err := t.feed(c, &it, rest, wet, base, watered); err != nil {
		return it, err
	}
	if wary && it.Act == Rest {
		it.Act, it.Head, it.Urgency, it.Minutes = Look, say("probe"), Today, t.P.LookMinutes
		it.Why = []Phrase{say("why.maybe_warm", temp(t.P.AlarmC), odds(base.danger, base.n))}
	}
	if !gone && it.Act == Rest && base.seep >= t.P.Flee {
		if err := t.seeping(c, &it, &rest); err != nil {
			return it, err
		}
	}
	if it.WaterKg > 0 && dryNow(c, t.P.DryTop) {
		it.Urgency = Now
	}
	t.seeTo(c, &it, odd)
	return it, nil
}
