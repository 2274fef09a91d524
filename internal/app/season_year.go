package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/program"
	"wormyard/season"
)

// Year is a season's plan for the farm as it is, and what it would come to in years
// that may come.
type Year struct {
	Made    time.Time     `json:"made"`
	Began   time.Time     `json:"began"`   // of the first week
	Entries int           `json:"entries"` // of the journal, that it was made from
	Newest  time.Time     `json:"newest"`  // of them
	Weeks   int           `json:"weeks"`
	Facts   []SeasonFact  `json:"facts"`
	Plan    season.Plan   `json:"plan"`
	Replay  season.Replay `json:"replay"`
	Surer   season.Surer  `json:"surer"`
	Sure    bool          `json:"surer_taken,omitempty"` // the plan is the surer one, as was asked for

	ForPromises bool            `json:"for_promises,omitempty"` // that was asked for, whether or not there is a surer one
	Eased       []string        `json:"eased,omitempty"`        // keys of what had to be given more of for a plan to be
	Farm        season.Farm     `json:"farm"`
	SDC         float64         `json:"sd_c"` // of a week's warmth about the usual [°C]
	Stays       float64         `json:"stays"`
	Heat        *YearHeat       `json:"heat,omitempty"`     // with what it may heat; nil where it may not
	Left        []string        `json:"left_out,omitempty"` // products that are said to be sold and are not known any more
	Against     *time.Time      `json:"against,omitempty"`  // when the plan was made that this one is held against
	Changes     []season.Change `json:"changes,omitempty"`  // from it

	Promises []season.Promise `json:"promise,omitempty"`      // what may be promised besides, in one period of each month
	Unasked  bool             `json:"promise_part,omitempty"` // time was up before later months were asked
}

// WormsKg is how many worms there are at the end of step i: in the middle of the drawn
// years. The plan's own may be fewer, as it lets go what it does not need.
func (y *Year) WormsKg(i int) float64 { return wormsKg(y.Plan.Steps, &y.Replay)[i] }

// wormsKg are the worms at the end of each step: in the middle of the drawn years where
// there are some, else those that the plan keeps for what it needs.
func wormsKg(steps []season.Step, drawn *season.Replay) []float64 {
	out := make([]float64, len(steps))
	for i, s := range steps {
		if out[i] = s.WormsKg; drawn != nil && i < len(drawn.Worms) {
			out[i] = drawn.Worms[i][1]
		}
	}
	return out
}

// YearAnswer is the answer of wormyard season --mine: the year, and what its page tells
// that is reckoned from it.
type YearAnswer struct {
	*Year
	Worms []float64 `json:"worms_kg" unit:"kg" doc:"at the end of each step, in the middle of the drawn years; worms_kg of a step are those that the plan keeps for what it needs"`
}

// Answer gives a year as the command prints it.
func (y *Year) Answer() *YearAnswer { return &YearAnswer{y, wormsKg(y.Plan.Steps, &y.Replay)} }

const (
	seasonGap    = 0.01 // how far from the best a plan may be
	seasonLimit  = 3 * time.Minute
	seasonWorlds = 64 // years that are drawn
	seasonSeed   = 2025
	seasonOften  = 0.9 // of the years a promise should be kept in

	promiseLimit = time.Minute      // for what may be promised besides
	surerLimit   = 45 * time.Second // for each search of a surer plan
)

// easings are what is given more of, one after the other, where the limits leave no
// plan: the bins that run must be fed and worms must be left.
var easings = []struct {
	key  string
	ease func(*season.Farm)
}{
	{"end", func(f *season.Farm) { none := 0.0; f.Worms.EndKg, f.EndBins = &none, 0 }},
	{"feed", func(f *season.Farm) {
		for i := range f.Feedstocks {
			f.Feedstocks[i].Arrives = []float64{1e4}
			f.Feedstocks[i].StoreM3 = 1e5
			f.Feedstocks[i].Cost = max(f.Feedstocks[i].Cost, 0) // who is paid to take it is not for so much
		}
	}},
	{"cash", func(f *season.Farm) { f.Cash = nil }},
	{"crew", func(f *season.Farm) { f.Overtime = 1e4 }},
	{"store", func(f *season.Farm) { f.StoreM3 = 1e5 }},
	{"worms", func(f *season.Farm) {
		for i := range f.Mixes {
			f.Mixes[i].WormsKg = 0
		}
	}},
}

// copiedFarm is a farm of which the lists that easings change are its own.
func copiedFarm(f season.Farm) season.Farm {
	f.Feedstocks, f.Mixes = slices.Clone(f.Feedstocks), slices.Clone(f.Mixes)
	return f
}

// easingsInTurn gives what is tried: nothing, each alone, then ever more together.
func easingsInTurn() [][]int {
	out := [][]int{nil}
	for i := range easings {
		out = append(out, []int{i})
	}
	for n := 2; n <= len(easings); n++ {
		all := make([]int, n)
		for i := range all {
			all[i] = i
		}
		out = append(out, all)
	}
	return out
}

// nothingToPlan refuses a year in which nothing can be made or sold, with what is missing.
func nothingToPlan(f *season.Farm) error {
	running := 0.0
	for _, r := range f.Running {
		running += r.Bins
	}
	switch {
	case f.Bins == 0:
		return figure.Refuse("", "There are no bins to plan for.", "Write down the bins first.")
	case running == 0 && f.StockM3 == 0:
		return figure.Refuse("", "No bin holds a bed with worms and no castings lie in the store, so nothing could be begun or sold.", "Write down the beds and the worms first.")
	case !slices.ContainsFunc(f.Products, func(x season.Product) bool { return total(x.Demand)+total(x.Promised) > 0 }):
		return figure.Refuse("", "It is not known what could be sold in these weeks: nothing was sold in the last year, no order has a day, and nothing is typed.", "Type below what can be sold, take it in from a file, or write down sales and orders.")
	}
	return nil
}

// MakeYear plans the year of the farm as it is. It takes some seconds. The error is
// a *figure.Refusal where there is nothing to plan.
// Where no round was ever made it is made first: the plan leans on what the twins of the
// beds say. Progress is called with the step and with how many thousandths are done; it
// never goes back.
func (t *Twins) MakeYear(ctx context.Context, solve program.Solver, progress func(step string, done, of int)) (*Year, error) {
	begin, err := t.roundFirst(ctx, progress)
	if err != nil {
		return nil, err
	}
	part := func(step string, from, to float64) func(share float64) {
		return func(share float64) {
			progress(step, begin+int(float64(yearParts-begin)*(from+(to-from)*min(share, 1))), yearParts)
		}
	}
	part(StepFarm, 0, 0)(0)
	from, err := t.SeasonFarm(ctx)
	if err != nil {
		return nil, err
	}
	f := from.Farm
	if err := nothingToPlan(&f); err != nil {
		return nil, err
	}
	searching := part(StepSearch, 0.03, 0.2)
	searching(0)
	state := t.App.State()
	out := &Year{Made: t.App.Now(), Began: from.Begin, Entries: state.Entries, Newest: state.Last, Weeks: f.Weeks, Facts: from.Facts, Left: from.Left, Heat: from.Heat}
	last := t.lastYear(ctx)
	for _, eased := range easingsInTurn() {
		f = copiedFarm(from.Farm)
		out.Eased = slices.Clone(from.Eased)
		for _, i := range eased {
			easings[i].ease(&f)
			out.Eased = append(out.Eased, easings[i].key)
		}
		if err = out.solve(ctx, f, last, searched(solve, searching)); err != nil {
			return nil, err
		}
		if len(out.Plan.Steps) > 0 {
			break
		}
	}
	switch {
	case ctx.Err() != nil: // what was found until then is no plan of the year
		return nil, ctx.Err()
	case len(out.Plan.Steps) == 0:
		return nil, noPlan(out.Plan.Status)
	}
	out.Farm = f
	part(StepYears, 0.2, 0.22)(0)
	climate, err := t.seasonClimate(from.bedC)
	if err != nil {
		return nil, err
	}
	out.SDC, out.Stays = climate.SDC, climate.Stays
	worlds := season.Worlds(seasonWorlds, seasonSeed, climate, from.sure)
	out.Replay = season.Replayed(f, out.Plan, worlds)
	out.Surer, err = season.MakeSurer(ctx, f, out.Plan, out.Replay, within(solve, surerLimit), seasonGap, worlds, seasonOften, func(done, of int) { part(StepSurer, 0.22, 0.35)(float64(done) / float64(of)) })
	if err != nil {
		return nil, err
	}
	out.ForPromises = state.Settings.Season.Aim == farm.AimPromises
	if out.ForPromises && out.Surer.Part < 1 {
		out.Plan, out.Replay, out.Sure = out.Surer.Plan, out.Surer.Replay, true
		if last != nil {
			out.Changes = season.Changes(season.Last{Steps: last.Plan.Steps, Ago: out.ago(last)}, out.Plan.Steps)
		}
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	out.promises(ctx, worlds, state.Zone(), promiseLimit, part(StepPromises, 0.35, 1))
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	return out, t.keepYear(ctx, out)
}

// Steps of a plan of the year, as its progress names them.
const (
	StepTwins    = "bins"     // the round is made, since there was none
	StepFarm     = "farm"     // the farm is put together
	StepSearch   = "search"   // the plan that earns most is looked for
	StepYears    = "years"    // it is lived in drawn years
	StepSurer    = "surer"    // a surer one is looked for
	StepPromises = "promises" // what more may be promised is asked
)

const (
	yearParts  = 1000
	roundParts = 800 // of them, that the first round takes
)

// roundFirst makes the first round of a farm, and gives how many parts that was.
func (t *Twins) roundFirst(ctx context.Context, progress func(step string, done, of int)) (int, error) {
	if made, err := t.Last(ctx); err != nil || made != nil || len(t.App.State().Living()) == 0 {
		return 0, err
	}
	_, err := t.MakeRound(ctx, func(step string, done, of int) {
		if step != "bins" { // what comes before takes little, and counts otherwise
			done = 0
		}
		progress(StepTwins, roundParts*done/max(of, 1), yearParts)
	})
	return roundParts, err
}

// searched tells of each search that a solver has done. How many there will be nobody
// knows: a dozen are half of it.
func searched(solve program.Solver, said func(share float64)) program.Solver {
	n := 0.0
	return func(ctx context.Context, p program.Problem) (program.Solution, error) {
		out, err := solve(ctx, p)
		n++
		said(n / (n + 12))
		return out, err
	}
}

// within gives a solver no longer than a time for each search; then it answers with the
// best that it has.
func within(solve program.Solver, limit time.Duration) program.Solver {
	return func(ctx context.Context, p program.Problem) (program.Solution, error) {
		limited, end := context.WithTimeout(ctx, limit)
		defer end()
		return solve(limited, p)
	}
}

// promises asks what more of each product may be promised, in the first period that
// begins in each month, the nearest first. The first month is asked of whatever it takes;
// where time is up the later ones are left out, each as a whole, and Unasked says so.
func (y *Year) promises(ctx context.Context, worlds []season.World, zone *time.Location, limit time.Duration, said func(share float64)) {
	limited, end := context.WithTimeout(ctx, limit)
	defer end()
	weeks := monthWeeks(y.Began.In(zone), y.Weeks)
	for i, week := range weeks {
		if i > 0 && limited.Err() != nil {
			y.Unasked = true
			return
		}
		for k, x := range y.Farm.Products {
			said((float64(i) + float64(k)/float64(len(y.Farm.Products))) / float64(len(weeks)))
			if ctx.Err() != nil {
				return
			}
			if p, ok := season.Promisable(y.Farm, y.Plan, worlds, x.Name, week, seasonOften); ok {
				y.Promises = append(y.Promises, p)
			}
		}
	}
}

// monthWeeks gives the first period of a plan that begins in each month [weeks from its
// beginning].
func monthWeeks(began time.Time, weeks int) (out []float64) {
	last := time.Month(0)
	for _, at := range season.Periods(weeks) {
		if m := began.AddDate(0, 0, 7*int(at.From)).Month(); m != last {
			out, last = append(out, at.From), m
		}
	}
	return out
}

// lastYear gives the plan that a new one departs from no more than it is worth: the last
// of an earlier week, else the one before it; nil where there is none.
func (t *Twins) lastYear(ctx context.Context) *Year {
	newest, before := t.Years(ctx)
	if zone := t.App.State().Zone(); before == nil || newest != nil && mondayOf(newest.Made, zone).Before(mondayOf(t.App.Now(), zone)) {
		return newest
	}
	return before
}

// solve finds the plan of a farm in the time there is; where it is up, the best until
// then.
func (y *Year) solve(ctx context.Context, f season.Farm, last *Year, solve program.Solver) (err error) {
	limited, end := context.WithTimeout(ctx, seasonLimit)
	defer end()
	if last != nil {
		if y.Plan, y.Changes, err = season.Replan(limited, f, season.Last{Steps: last.Plan.Steps, Ago: y.ago(last)}, solve, seasonGap); err == nil && len(y.Plan.Steps) > 0 {
			y.Against = &last.Made
			return nil
		}
	}
	y.Plan, err = season.Solve(limited, f, solve, seasonGap)
	return err
}

// ago is how many weeks before this one a plan began.
func (y *Year) ago(last *Year) float64 { return y.Began.Sub(last.Began).Hours() / 168 }

// seasonProblems tells what is wrong with what an owner says of the year to come,
// each with what to do.
func seasonProblems(v farm.SeasonSetup) (out [][2]string) {
	wrong := func(say, try string) { out = append(out, [2]string{say, try}) }
	if v.Weeks < 0 || v.Weeks > 104 {
		wrong(fmt.Sprintf("A plan over %d weeks is not made.", v.Weeks), "Type 1 to 104 weeks.")
	}
	if v.CrewHours != nil && (*v.CrewHours < 0 || *v.CrewHours > season.MostCrew) {
		wrong(fmt.Sprintf("The crew has %g hours in a week.", *v.CrewHours), "Type the hours of all together; a person has about 40.")
	}
	if v.CureWeeks != nil && (*v.CureWeeks < 0 || *v.CureWeeks > 104) {
		wrong(fmt.Sprintf("Castings cure for %g weeks.", *v.CureWeeks), "Type 0 to 104 weeks.")
	}
	if v.StoreM3 != nil && (*v.StoreM3 < 0 || *v.StoreM3 > 1e5) {
		wrong("The store for castings is below nothing or larger than any barn.", "Type the room there is.")
	}
	for _, x := range v.Sales {
		if x.Product == "" {
			wrong("A product has no name.", "Give each a name.")
		}
		if len(x.Months) != 0 && len(x.Months) != 12 {
			wrong(fmt.Sprintf("%s has sales for %d months.", x.Product, len(x.Months)), "Type twelve numbers, January first.")
		}
		if slices.ContainsFunc(x.Months, func(n float64) bool { return !(n >= 0 && n <= 1e7) }) || x.CastingsM3 < 0 || x.WormsKg < 0 || x.Price != nil && *x.Price < 0 {
			wrong(fmt.Sprintf("One of the numbers of %s is below 0 or far too large.", x.Product), "Look at its twelve months, its size and its price.")
		}
	}
	for _, x := range append(slices.Clone(v.Selling), v.Demand...) {
		_, err := time.Parse(time.DateOnly, x.Day)
		switch {
		case !(x.Amount >= 0 && x.Amount <= 1e7) || x.Price != nil && *x.Price < 0 || x.Penalty != nil && *x.Penalty < 0:
			wrong(fmt.Sprintf("One of the numbers of %s is below 0 or far too large.", x.Product), "Look at its amount and its price.")
		case x.From < 0 || x.From > 12 || x.Until < 0 || x.Until > 12:
			wrong(fmt.Sprintf("%s is sold from month %d to month %d.", x.Product, x.From, x.Until), "Months are 1 to 12; leave both out for all year.")
		case x.Day != "" && err != nil:
			wrong(fmt.Sprintf("%q is not a day.", x.Day), "Write it as 2026-03-01.")
		case x.Day == "" && x.Each != "week" && x.Each != "month":
			wrong(fmt.Sprintf("It is not said whether %s is sold so often a week or a month.", x.Product), "Say week or month.")
		}
	}
	if len(v.Demand) > MostDemand {
		wrong(fmt.Sprintf("%d rows of demand are more than a plan takes.", len(v.Demand)), fmt.Sprintf("Take in at most %d.", MostDemand))
	}
	heatProblems(v, wrong)
	aimProblems(v, wrong)
	for _, x := range v.Feedstocks {
		if x.Name == "" || x.StoreM3 != nil && *x.StoreM3 < 0 || x.Times != nil && !(*x.Times >= 0 && *x.Times <= 100) {
			wrong("A feedstock has no name, or a number below 0.", "Look at what is typed for each feedstock.")
		}
	}
	return out
}
