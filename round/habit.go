package round

import "math"

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
