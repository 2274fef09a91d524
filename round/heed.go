package round

// heed adds to an item what people decided of the bin: that it gets no feed, and
// that bought worms keep it apart. docs/model.md (R8).
func (t *Trier) heed(c *Case, it *Item) {
	if c.Held.Since != 0 && it.Act != Open && it.Act != Warm && it.Act != Harvest {
		t.held(c, it)
	}
	if c.Apart.Until == 0 {
		return
	}
	if c.late.Key != "" && it.Act != Open && it.Act != Warm {
		it.Why = append([]Phrase{c.late}, it.Why...)
	}
	apart := say("care.apart", date(c.Apart.Since), date(c.Apart.Until))
	it.Care = append(it.Care, apart)
	for i := range it.Others {
		it.Others[i].Care = append(it.Others[i].Care, apart)
	}
}

// held says since when and why a bin gets no feed. Where it would be due for feed
// and the last is nearly eaten, it asks for a look, so that no bin is forgotten
// at rest; one under others waits for its truck.
func (t *Trier) held(c *Case, it *Item) {
	why := []Phrase{say("why.held", date(c.Held.Since), text(c.Held.Why))}
	if it.Act == Rest && c.Due && c.Waits == 0 && (c.LastFed == 0 || leftNow(c) < t.P.GoneFrac) {
		it.Act, it.Head, it.Urgency, it.Minutes = Look, say("look.rest"), Week, t.P.LookMinutes
		it.Why = append(why, say("why.heldgone"))
		t.lifted(c, it)
		return
	}
	it.Why = append(why, it.Why...)
}
