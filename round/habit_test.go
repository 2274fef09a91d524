package round_test

import (
	"math"
	"testing"

	"wormyard/round"
)

// A farm that never feeds more than half an inch is not told to, and is told what
// that costs only where more would make materially more; the price is what its own
// tries say.
func TestAHabitIsKeptAndPriced(t *testing.T) {
	f := open(t, spring, 40)
	f.p.MostLaid = 1 // what was laid before bounds nothing here
	c := f.asked(f.history(34), f.air(14, 3, 0.75))
	free := f.bin(c)
	if free.Act != round.Feed || free.DepthM < 2*0.0127 {
		t.Fatalf("no deep feeding to forbid: %s", spoken(free))
	}
	priced := func(it round.Item) *round.Phrase {
		for i := range it.Why {
			if it.Why[i].Key == "why.habit" {
				return &it.Why[i]
			}
		}
		return nil
	}
	c.MostM = 0.0127
	it := f.bin(c)
	if it.DepthM > c.MostM*1.001 {
		t.Errorf("deeper than the farm ever feeds: %s", spoken(it))
	}
	for _, o := range it.Others {
		if o.DepthM > c.MostM*1.001 {
			t.Errorf("as good, and deeper than the farm ever feeds: %s", spoken(o))
		}
	}
	p := priced(it)
	if p == nil {
		t.Fatalf("materially less (%.2f against %.2f kg) and no price told", it.Value, free.Value)
	}
	if deep, kg := p.Args[1].V, p.Args[2].V; deep <= c.MostM || kg <= 0 {
		t.Errorf("priced at %.1f kg of %.4f m", kg, deep)
	}
	c.MostM = 0.1016 // what is never tried deeper costs nothing
	if it := f.bin(c); it.DepthM != free.DepthM || priced(it) != nil {
		t.Errorf("a habit that forbids nothing: %s", spoken(it))
	}
}

// On a day on which the farm does not feed, a bin waits for the next unless its
// worms would go without for days; then it is said that the habit is broken.
func TestADayWithoutFeedingIsKept(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(14, 3, 0.75))
	c.Due, c.OffDay, c.Visit = false, true, c.Now+2*24
	if it := f.bin(c); it.Act == round.Feed {
		t.Errorf("fed two days before the day of feeding: %s", spoken(it))
	}
	hungry := f.asked(f.history(10), f.air(20, 3, 0.75)) // nothing for a month
	hungry.Due, hungry.OffDay, hungry.Visit = false, true, hungry.Now+6*24
	it := f.bin(hungry)
	if it.Act != round.Feed || it.Why[0].Key != "why.offday" {
		t.Errorf("worms without feed for a month wait six more days: %s", spoken(it))
	}
}

// A cost is the share that the best plan keeping the habit falls short, and is told
// only where bins agree on it: 10 less of 100 on each is one in ten, 10 more and 10
// less are nothing.
func TestCostOfAHabit(t *testing.T) {
	free := []float64{100, 100, 100, 100}
	if c := round.CostOf(free, []float64{90, 91, 89, 90}); math.Abs(c.Share-0.1) > 1e-12 || c.Bins != 4 {
		t.Errorf("%+v", c)
	}
	if c := round.CostOf(free, []float64{110, 88, 112, 86}); c.Share != 0 {
		t.Errorf("%+v", c)
	}
	if c := round.CostOf(nil, nil); c.Share != 0 || c.Bins != 0 {
		t.Errorf("%+v", c)
	}
	say := func(c round.Cost) string { return c.Say("price.days", round.DaysOf([]int{2, 5})).Key }
	if a, b := say(round.Cost{Share: 0.05, Bins: 8}), say(round.Cost{Bins: 8}); a != "price.days" || b != "price.days.nothing" {
		t.Error(a, b)
	}
}

// What no plan forbids costs nothing, and what forbids all but thin feed costs.
func TestHabitsArePricedByPlans(t *testing.T) {
	f := open(t, spring, 40)
	f.p.MostLaid = 1 // what was laid before bounds nothing here
	c := f.asked(f.history(34), f.air(14, 3, 0.75))
	trier := round.Trier{P: f.p, Crew: f.crew}
	all, ok, err := trier.Price(c, []int{3, 4})
	if err != nil || !ok || all.FreeKg <= 0 {
		t.Fatal(all, ok, err)
	}
	if all.DepthKg != all.FreeKg {
		t.Errorf("a rule that is none costs: %+v", all)
	}
	c.MostM = 0.0127
	thin, ok, err := trier.Price(c, nil)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	if thin.DaysKg != thin.FreeKg {
		t.Errorf("days that are no rule cost: %+v", thin)
	}
	if thin.DepthKg >= thin.FreeKg { // a hungry bin in a warm barn
		t.Errorf("half an inch at most costs nothing: %+v", thin)
	}
	seldom, ok, err := trier.Price(c, []int{7})
	if err != nil || !ok || seldom.DaysKg > all.DaysKg {
		t.Errorf("once a week makes more than twice: %+v, %+v", seldom, all)
	}
	t.Logf("%+v, %+v, %+v", all, thin, seldom)
}

// What was to be fed on a day of feeding and was not stays to be done on the days
// after, and says so; what was put off for the truck's sake waits as it was told.
func TestAFeedingLeftIsStillToBeDone(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(14, 3, 0.75))
	before := f.bin(c)
	if before.Act != round.Feed {
		t.Fatalf("on its day: %s", spoken(before))
	}
	was := before.Advice()
	c.Due, c.OffDay, c.Visit, c.Was = false, true, c.Now+2*24, &was
	it := f.bin(c)
	if it.Act != round.Feed || it.DepthM != before.DepthM || it.Why[0].Key != "why.late" {
		t.Errorf("a day later: %s", spoken(it))
	}
	was.Off = true
	if it := f.bin(c); it.Act == round.Feed {
		t.Errorf("put off until the truck comes: %s", spoken(it))
	}
}
