package season

import (
	"fmt"
	"math"

	"wormyard/figure"
)

// MostCrew is the most that all who work on a farm are believed to work together in a week
// [h]: twenty people around the clock. Our choice, of what cannot be more.
const MostCrew = 20 * 168

// sound refuses a farm that cannot be, all of it at once.
func (f Farm) sound() error {
	var bad figure.Problems
	if f.Weeks < 1 || f.Weeks > 104 {
		bad.Add("weeks", fmt.Sprintf("A plan over %d weeks is not made.", f.Weeks), "1 to 104 weeks.")
	}
	// list looks through a weekly list; say has a verb for the number and one for its week,
	// and before them one for a name where there is one.
	list := func(field, say string, x []float64, most float64, name ...any) {
		for w, v := range x {
			if !(v >= 0 && v <= most) {
				bad.Add(fmt.Sprintf("%s[%d]", field, w), fmt.Sprintf(say, append(name, v, w+1)...), fmt.Sprintf("Give a number from 0 to %.4g for each week.", most))
				return
			}
		}
	}
	list("crew_hours", "The crew's hours are %.4g in week %d.", f.Crew, MostCrew)
	if f.People > 0 {
		for w, h := range f.Crew {
			if all := h + f.Overtime; all > f.People*MostHours && h <= MostCrew {
				bad.Add(fmt.Sprintf("crew_hours[%d]", w), fmt.Sprintf("The crew has %.4g hours in week %d, overtime included, and is %.4g.", all, w+1, f.People), fmt.Sprintf("A person has about 40 hours in a week and at most %d. Give the hours of all together, or look at people.", MostHours))
				break
			}
		}
	}
	if f.Aim != "" && f.Aim != AimMoney && f.Aim != AimCastings {
		bad.Add("aim", fmt.Sprintf("A plan for %q is not made.", f.Aim), "Say money or castings.")
	}
	if c := f.Cash; c != nil && !(math.Abs(c.Start) <= 1e9 && c.Spent >= 0 && c.Spent <= 1e7) {
		bad.Add("cash", fmt.Sprintf("There is %.4g of money now, and %.4g is spent in a week.", c.Start, c.Spent), "Give what is at hand, and what is spent in a week besides what the plan reckons, 0 or more.")
	}
	if f.Begins > 0 && len(f.Running) > 0 {
		bad.Add("begins_week", fmt.Sprintf("Bins run already, and the farm begins in week %.4g.", f.Begins+1), "Leave begins_week out, or the bins that run.")
	}
	if f.Begins >= float64(f.Weeks) && f.Weeks > 0 && f.Begins > 0 {
		bad.Add("begins_week", fmt.Sprintf("The farm begins in week %.4g, and the plan ends with week %d.", f.Begins+1, f.Weeks), "Plan for more weeks, or begin sooner.")
	}
	degrees := map[Heated]bool{}
	for i, x := range f.Heat {
		list(fmt.Sprintf("heat[%d].pace", i), "The pace of heated bins is %.4g in week %d.", x.Pace, 10)
		list(fmt.Sprintf("heat[%d].growth_per_week", i), "Growth in heated bins is %.4g in week %d.", x.Growth, 1)
		list(fmt.Sprintf("heat[%d].cost_week", i), "The cost of heating is %.4g in week %d.", x.Cost, 1e6)
		if degrees[x.is()] {
			bad.Add(fmt.Sprintf("heat[%d].degrees_k", i), fmt.Sprintf("Two ways of heating warm the barn by %.4g degrees.", x.Degrees), "Give each way other degrees.")
		}
		degrees[x.is()] = true
		if len(x.Pace) == 0 || len(x.Cost) == 0 {
			bad.Add(fmt.Sprintf("heat[%d]", i), fmt.Sprintf("Heating by %.4g degrees has no pace of the bins or no cost.", x.Degrees), "Give both, for each week or one for all.")
		}
	}
	list("pace", "The pace of the bins is %.4g in week %d.", f.Pace, 10)
	names := map[string]bool{}
	for i, x := range f.Feedstocks {
		if names[x.Name] || x.Name == "" {
			bad.Add(fmt.Sprintf("feedstock[%d].name", i), fmt.Sprintf("%q is no name of its own.", x.Name), "Give each feedstock another name.")
		}
		names[x.Name] = true
		list(fmt.Sprintf("feedstock[%d].arrives_m3", i), "What comes of %s is %.4g in week %d.", x.Arrives, 1e6, x.Name)
		if x.StartM3 > x.StoreM3 {
			bad.Add(fmt.Sprintf("feedstock[%d].start_m3", i), fmt.Sprintf("%.4g m3 of %s lie in a store for %.4g.", x.StartM3, x.Name, x.StoreM3), "Give the room it has.")
		}
	}
	mixes := map[string]bool{}
	for i, x := range f.Mixes {
		if mixes[x.Name] || x.Name == "" {
			bad.Add(fmt.Sprintf("mixes[%d].name", i), fmt.Sprintf("%q is no name of its own.", x.Name), "Give each mix another name.")
		}
		mixes[x.Name] = true
		shares := 0.0
		for k, q := range x.Parts {
			shares += q.Share
			if !names[q.Feedstock] {
				bad.Add(fmt.Sprintf("mixes[%d].parts[%d]", i, k), fmt.Sprintf("%s takes %q, which is no feedstock of the farm.", x.Name, q.Feedstock), "Add it to feedstock, or look at its name.")
			}
		}
		if len(x.Parts) > 0 && math.Abs(shares-1) > 0.01 {
			bad.Add(fmt.Sprintf("mixes[%d].parts", i), fmt.Sprintf("The parts of %s make %.3g and not 1.", x.Name, shares), "Give shares by volume that add up to 1.")
		}
		if x.RipeWeeks < 1 {
			bad.Add(fmt.Sprintf("mixes[%d].ripe_weeks", i), fmt.Sprintf("%s is ripe after %.3g weeks.", x.Name, x.RipeWeeks), "A bin takes some weeks; 12 to 26 is usual.")
		}
	}
	running := 0.0
	for i, r := range f.Running {
		running += r.Bins
		if !mixes[r.Mix] {
			bad.Add(fmt.Sprintf("running[%d].mix", i), fmt.Sprintf("Bins run on %q, which is no mix of the plan.", r.Mix), "Add it to mixes, or look at its name.")
		}
	}
	if running > f.Bins {
		bad.Add("running", fmt.Sprintf("%.4g bins run, and the farm has %.4g.", running, f.Bins), "Look at both numbers.")
	}
	if f.EndBins > f.Bins {
		bad.Add("end_bins", fmt.Sprintf("%.4g bins must hold a bed at the end, and the farm has %.4g.", f.EndBins, f.Bins), "Look at both numbers.")
	}
	list("worms.growth_per_week", "The growth of the worms is %.4g in week %d.", f.Worms.Growth, 1)
	products := map[string]bool{}
	for i, x := range f.Products {
		if products[x.Name] || x.Name == "" { // a plan tells by the name what is sold
			bad.Add(fmt.Sprintf("products[%d].name", i), fmt.Sprintf("%q is no name of its own.", x.Name), "Give each product another name.")
		}
		products[x.Name] = true
		list(fmt.Sprintf("products[%d].demand", i), "Demand for %s is %.4g in week %d.", x.Demand, 1e7, x.Name)
		list(fmt.Sprintf("products[%d].promised", i), "What is promised of %s is %.4g in week %d.", x.Promised, 1e7, x.Name)
		for w := range min(int(math.Ceil(f.Begins)), f.Weeks) {
			if w < len(x.Demand) && x.Demand[w] > 0 || w < len(x.Promised) && x.Promised[w] > 0 {
				bad.Add(fmt.Sprintf("products[%d]", i), fmt.Sprintf("%s is to be sold in week %d, and the farm begins in week %.4g.", x.Name, w+1, f.Begins+1), "Ask for it later, or let the farm begin sooner (begins_week).")
				break
			}
		}
		if len(x.Demand) > f.Weeks || len(x.Promised) > f.Weeks {
			bad.Add(fmt.Sprintf("products[%d]", i), fmt.Sprintf("There is demand for %s after the %d weeks of the plan.", x.Name, f.Weeks), "Plan for more weeks, or leave the later demand out.")
		}
	}
	return bad.Refuse()
}

// sound refuses a last plan that cannot have been printed.
func (l Last) sound(f *Farm) error {
	var bad figure.Problems
	if !(l.Ago >= 0 && l.Ago <= 104) {
		bad.Add("last.weeks_ago", fmt.Sprintf("The last plan was made %.4g weeks ago.", l.Ago), "0 to 104 weeks.")
	}
	end := math.Inf(-1)
	for i, s := range l.Steps {
		at := fmt.Sprintf("last.plan[%d]", i)
		if !(s.Weeks > 0 && s.Week >= end) {
			bad.Add(at, fmt.Sprintf("A step of the last plan begins in week %.4g and takes %.4g weeks, and the one before it ends in week %.4g.", s.Week+1, s.Weeks, end), "Give the plan as it was printed.")
			break
		}
		end = s.Week + s.Weeks
		for _, acts := range []map[string]float64{s.Start, s.Harvest, s.Sell} {
			for name, n := range acts {
				if !(n >= 0 && n <= 1e7) {
					bad.Add(at, fmt.Sprintf("The last plan has %.4g of %s in week %.4g.", n, name, s.Week+1), "Give the plan as it was printed.")
				}
			}
		}
	}
	return bad.Refuse()
}
