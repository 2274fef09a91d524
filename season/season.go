// Package season plans the year of a worm farm: which bins to start with what,
// what to collect and keep, when to harvest, what to sell and to whom, under
// the limits of bins, worms, crew, stores and weeks.
//
// A plan is a mixed-integer programme over periods: the first thirteen by the
// week, later ones of four weeks. Bins of one mix started in one period are one
// group, whole near by and in parts farther on. All inside a period is even.
// What is to come is taken as given; what may come otherwise is for a replay.
//
// Left out: prices that change with the amount, worms of one bin that are too many
// for it while another has too few.
//
// The equations are in docs/model/season.md (V1 to V16).
package season

import (
	"context"
	"fmt"
	"math"
	"time"

	"wormyard/program"
)

// A Mix is what a bin is run on. Volumes are as they lie.
type Mix struct {
	Name       string  `json:"name"`
	RipeWeeks  float64 `json:"ripe_weeks" unit:"week" low:"1" high:"104" doc:"from the start to ripe, at a pace of 1"`
	CastingsM3 float64 `json:"castings_m3" unit:"m3" low:"0" high:"10" doc:"that a bin gives"`
	StartM3    float64 `json:"start_m3" unit:"m3" low:"0" high:"10" default:"0" doc:"that its bed takes at the start, of the same parts"`
	FeedM3Week float64 `json:"feed_m3_week" unit:"m3/week" low:"0" high:"5" doc:"that a bin takes until it is ripe, at a pace of 1"`
	Parts      []Part  `json:"parts" doc:"of the feed; none for feed that is always there"`
	WormsKg    float64 `json:"worms_kg" unit:"kg" low:"0" high:"200" doc:"live, that a bin must hold at least"`
	StartCost  float64 `json:"start_cost" low:"0" high:"100000" default:"0"`
}

// A Part is a feedstock's share of a mix by volume.
type Part struct {
	Feedstock string  `json:"feedstock"`
	Share     float64 `json:"share" low:"0" high:"1"`
}

// A Feedstock comes in its own weeks and lies in a store of its own.
type Feedstock struct {
	Name    string    `json:"name"`
	Arrives []float64 `json:"arrives_m3" unit:"m3/week" doc:"that can be had in each week; the last counts for all later ones"`
	StartM3 float64   `json:"start_m3" unit:"m3" low:"0" high:"100000" default:"0"`
	StoreM3 float64   `json:"store_m3" unit:"m3" low:"0" high:"100000"`
	Spoils  float64   `json:"spoils_per_week" low:"0" high:"1" default:"0"`
	Cost    float64   `json:"cost_per_m3" low:"0" high:"100000" default:"0"`
}

// Worms are the stock of the whole farm, live.
type Worms struct {
	StartKg float64   `json:"start_kg" unit:"kg" low:"0" high:"1000000"`
	Growth  []float64 `json:"growth_per_week" doc:"share by which they grow in each week with room and feed; the last counts for all later ones"`
	MostKg  float64   `json:"most_kg_bin" unit:"kg" low:"0" high:"200" doc:"that a running bin has room for"`
	EndKg   *float64  `json:"end_kg" unit:"kg" low:"0" high:"1000000" doc:"that must be left at the end; as many as at the start when left out"`
}

// A Product is sold by the piece.
type Product struct {
	Name       string    `json:"name"`
	CastingsM3 float64   `json:"castings_m3" unit:"m3" low:"0" high:"100" default:"0" doc:"in each"`
	WormsKg    float64   `json:"worms_kg" unit:"kg" low:"0" high:"100" default:"0" doc:"live, in each"`
	Price      float64   `json:"price" low:"0" high:"1000000"`
	Demand     []float64 `json:"demand" doc:"that can be sold in each week; none after the last"`
	Promised   []float64 `json:"promised" doc:"of it promised"`
	Penalty    float64   `json:"penalty" low:"0" high:"1000000" default:"0" doc:"for each that was promised and is not there"`
}

// Hours are what the acts take of the crew [h].
type Hours struct {
	Start   float64 `json:"start" unit:"h" low:"0" high:"100" default:"1.5" doc:"a bin"`
	Feed    float64 `json:"feed" unit:"h" low:"0" high:"100" default:"0.15" doc:"a bin a week"`
	Harvest float64 `json:"harvest" unit:"h" low:"0" high:"100" default:"1" doc:"a bin, with screening"`
}

// Running are bins that have begun already.
type Running struct {
	Mix    string  `json:"mix"`
	Bins   float64 `json:"bins" low:"0" high:"100000"`
	RipeIn float64 `json:"ripe_in_weeks" unit:"week" low:"0" high:"104" doc:"at a pace of 1"`
}

// A Farm is what a plan is made for.
type Farm struct {
	Weeks      int         `json:"weeks" low:"1" high:"104"`
	Bins       float64     `json:"bins" low:"0" high:"100000"`
	EndBins    float64     `json:"end_bins" low:"0" high:"100000" default:"0" doc:"that must hold a bed at the end, so that the next year begins with some"`
	Running    []Running   `json:"running"`
	Mixes      []Mix       `json:"mixes"`
	Feedstocks []Feedstock `json:"feedstock"`
	Worms      Worms       `json:"worms"`
	Products   []Product   `json:"products"`
	Pace       []float64   `json:"pace" doc:"of what a bin does in a week, in each week; the last counts for all later ones, 1 when left out"`
	Hours      Hours       `json:"hours"`
	Crew       []float64   `json:"crew_hours" unit:"h/week" doc:"in each week; the last counts for all later ones"`
	Overtime   float64     `json:"overtime_hours" unit:"h/week" low:"0" high:"10000" default:"0"`
	OverPrice  float64     `json:"overtime_price" low:"0" high:"10000" default:"0" doc:"an hour"`
	CureWeeks  float64     `json:"cure_weeks" unit:"week" low:"0" high:"104" default:"4"`
	StoreM3    float64     `json:"store_m3" unit:"m3" low:"0" high:"100000" doc:"for castings, curing and cured"`
	StockM3    float64     `json:"stock_m3" unit:"m3" low:"0" high:"100000" default:"0" doc:"of cured castings now"`
	AgesPer    float64     `json:"loses_per_week" low:"0" high:"1" default:"0" doc:"of what a stock is worth, as it gets old"`
	Heat       []Heat      `json:"heat" doc:"ways in which barns may be heated, by the period"`
	Split      *Split      `json:"split" doc:"how bins are split; worms spread by themselves over the bins when left out"`
	Begins     float64     `json:"begins_week" unit:"week" low:"0" high:"104" default:"0" doc:"from now, in which the farm has its bins and worms; nothing is done and sold before"`
	Cash       *Cash       `json:"cash" doc:"money at hand, of which there must be enough at the end of every period; not asked for when left out"`
	Aim        string      `json:"aim" choice:"money,castings" default:"money" doc:"what the plan is for: to earn most, or to make the most castings and of such plans to earn most"`
	People     float64     `json:"people" low:"0" high:"1000" default:"0" doc:"of whom the crew's hours are; 0 where nobody says"`
}

// MostHours is the most that a person is believed to work in a week [h]: sixteen
// hours on each of seven days. Our choice, of what cannot be more.
const MostHours = 16 * 7

// Heat is a way in which a barn may be heated in a period, all of it. Degrees warm
// the beds by as much as the air: what a bed is warmer by stays. A farm with several
// barns gives each its ways, with the pace and the growth of the whole farm when that
// barn alone is heated so; what two of them bring is added.
//
// Who has a farm's beds and barns asks an owner for the warmth that a barn is kept at
// and for the price of a kilowatt-hour of heat, and calls Keep for each barn with the
// air of its hours and its loss (Transmission and Infiltration of climate.Barn). A plan
// that heats has HeatCaution beside it.
type Heat struct {
	Barn    string    `json:"barn,omitempty" doc:"which; none for the whole farm"`
	Degrees float64   `json:"degrees_k" unit:"K" low:"0.1" high:"40" doc:"by which the barn is warmer, of a barn that is kept at a warmth in its coldest week; each way of a barn has another"`
	Pace    []float64 `json:"pace" doc:"of what a bin does in a week that is heated so, in each week; the last counts for all later ones"`
	Growth  []float64 `json:"growth_per_week" doc:"of the worms in such a week; as without heat when left out"`
	Cost    []float64 `json:"cost_week" doc:"of fuel for a heated week, in each week; the last counts for all later ones"`
}

// Split is the act of parting the worms of one bin into two. Without it worms spread
// by themselves: ask an owner for hours and weeks only where splitting is to be
// planned, and show Splits of each step beside what is begun.
type Split struct {
	Hours float64 `json:"hours" unit:"h" low:"0" high:"100" default:"1" doc:"of the crew, for each, besides beginning the new bin"`
	Back  float64 `json:"back_weeks" unit:"week" low:"0" high:"52" default:"2" doc:"by which the bin that was split is ripe later, at a pace of 1"`
}

// Heated is a barn that is heated in one of its ways.
type Heated struct {
	Barn    string  `json:"barn,omitempty"`
	Degrees float64 `json:"degrees_k" unit:"K"`
}

// Warmed is a stretch of a plan all through which a barn is heated.
type Warmed struct {
	Barn   string  `json:"barn"`
	Week   float64 `json:"week" doc:"it begins, from now"`
	Weeks  float64 `json:"weeks"`
	Cost   float64 `json:"cost" doc:"of fuel"`
	Brings float64 `json:"brings" doc:"that the plan would earn less without it, before its fuel; of the plan with bins in parts"`
}

// Splitting is a number of bins of one kind that are split.
type Splitting struct {
	Mix    string  `json:"mix"`
	Begun  float64 `json:"begun_week" unit:"week" doc:"that they are begun in, from now; -1 for those that run already"`
	RipeIn float64 `json:"ripe_in_weeks" unit:"week" doc:"of those that run already, from now at a pace of 1, if they were not split"`
	Bins   float64 `json:"bins"`
}

// A Period is some weeks in a row, from a week on [weeks from now].
type Period struct{ From, Weeks float64 }

// Periods are thirteen weeks, then four-weekly. model.md (V1).
func Periods(weeks int) (out []Period) {
	for at := 0; at < weeks; {
		n := 1
		if at >= 13 {
			n = min(4, weeks-at)
		}
		out = append(out, Period{float64(at), float64(n)})
		at += n
	}
	return out
}

// in is a weekly list summed over a period; the last of it counts for later
// weeks where it lasts.
func (p Period) in(list []float64, lasts bool) float64 {
	sum := 0.0
	for w := int(p.From); w < int(p.From+p.Weeks); w++ {
		switch {
		case w < len(list):
			sum += list[w]
		case lasts && len(list) > 0:
			sum += list[len(list)-1]
		}
	}
	return sum
}

// done is what a bin has done by a week, in weeks at a pace of 1. model.md (V7).
func (f *Farm) done(week float64) float64 {
	if len(f.Pace) == 0 {
		return week
	}
	sum, whole := 0.0, math.Floor(week)
	for w := range int(whole) {
		sum += f.Pace[min(w, len(f.Pace)-1)]
	}
	return sum + (week-whole)*f.Pace[min(int(whole), len(f.Pace)-1)]
}

// A Step is what a plan does in a period.
type Step struct {
	Week      float64            `json:"week" doc:"it begins, from now"`
	Weeks     float64            `json:"weeks"`
	Start     map[string]float64 `json:"start" doc:"bins, by mix"`
	Harvest   map[string]float64 `json:"harvest" doc:"bins, by mix"`
	Collect   map[string]float64 `json:"collect_m3" unit:"m3" doc:"by feedstock"`
	Sell      map[string]float64 `json:"sell" doc:"pieces, by product"`
	Bins      float64            `json:"bins" doc:"in use"`
	WormsKg   float64            `json:"worms_kg" unit:"kg" doc:"that it keeps for what it needs, at its end"`
	StockM3   float64            `json:"stock_m3" unit:"m3" doc:"cured, at its end"`
	CrewHours float64            `json:"crew_hours" unit:"h"`
	Overtime  float64            `json:"overtime_hours" unit:"h"`
	HeatK     float64            `json:"heat_k" unit:"K" default:"0" doc:"by which the barn is heated all through it, of several the one that is most; 0 for none"`
	Heat      []Heated           `json:"heat" doc:"barns that are heated all through it"`
	Splits    []Splitting        `json:"splits" doc:"bins of which the worms are parted into two"`
}

// Unmet is what was promised and is not there.
type Unmet struct {
	Product string  `json:"product"`
	Week    float64 `json:"week"`
	Pieces  float64 `json:"pieces"`
}

// Say is a limit in words.
func (t Tight) Say() string {
	short := fmt.Sprintf("week %.0f", t.Weeks[0]+1)
	if n := len(t.Weeks); n > 1 {
		short = fmt.Sprintf("%d periods between week %.0f and week %.0f", n, t.Weeks[0]+1, t.Weeks[n-1]+1)
	}
	return fmt.Sprintf("The plan runs against %s in %s. One more %s, all along, is worth about %s.", t.Limit, short, t.Unit, t.WorthSaid())
}

// WorthSaid is the worth in figures: whole money, or two of them where that would hide it,
// as one more of money may bring less than one.
func (t Tight) WorthSaid() string {
	if t.Worth < 10 {
		return fmt.Sprintf("%.2g", t.Worth)
	}
	return fmt.Sprintf("%.0f", t.Worth)
}

// Kind is what a limit is of.
type Kind string

// The kinds of limits.
const (
	OfBins      Kind = "bins"
	OfWorms     Kind = "worms"
	OfCrew      Kind = "crew"
	OfStore     Kind = "store"      // of castings
	OfDemand    Kind = "demand"     // for a product
	OfFeed      Kind = "feed"       // of a feedstock to be had
	OfFeedStore Kind = "feed store" // of a feedstock
	OfCash      Kind = "cash"
)

// Tight is a limit that holds the plan back.
type Tight struct {
	Limit string    `json:"limit"`
	Kind  Kind      `json:"kind"`
	Of    string    `json:"of,omitempty" doc:"the product or feedstock that it is about"`
	Weeks []float64 `json:"weeks" doc:"beginnings of the periods in which it is reached"`
	Worth float64   `json:"worth" doc:"of one more of it, all along, in money; of the plan with bins in parts"`
	Unit  string    `json:"unit"`
}

// A Plan is the best that was found.
type Plan struct {
	Steps  []Step
	Value  float64
	Bound  float64 // no plan is worth more
	Gap    float64
	Status program.Status // Stopped where time ran out or the caller gave up: then the plan is the best until then
	Simple *float64       // what the plan of simple rules is worth, from which the search begins; nil where the rules found none
	Rules  bool           // this is the plan of simple rules, since the search had none better when it was stopped: say so beside value and bound
	Unmet  []Unmet
	Tight  []Tight
	Warmed []Warmed // barns that are heated, by the stretch
	// HeatWorth is what the plan earns more than one that heats nothing, the fuel
	// paid; of the plan with bins in parts. 0 where it heats nothing.
	HeatWorth float64
}

// Solve finds the plan that earns most. model.md (V2 to V6). It begins from a plan
// by simple rules (V10), which is the answer where time runs out, or the caller
// gives up, before a better one was found. Where there is none at all the status
// says why and there are no steps. The error is a *figure.Refusal with all that is
// wrong, or that of the solver.
func Solve(ctx context.Context, f Farm, solve program.Solver, gap float64) (Plan, error) {
	if err := f.sound(); err != nil {
		return Plan{}, err
	}
	m := build(f)
	m.problem.Gap = gap
	return m.solve(ctx, solve)
}

// heatedLimit is the time for the search of a plan that may heat; ten seconds are usual. It
// goes by the clock, and four seconds of a processor are forty on a busy machine.
const heatedLimit = time.Minute

func (m *model) solve(ctx context.Context, solve program.Solver) (Plan, error) {
	if len(m.farm.Heat) > 0 {
		m.problem.Limit = heatedLimit
	}
	m.problem.Start = newGreedy(m).plan()
	rules := m.problem.Start
	if m.farm.Aim == AimCastings {
		if most, err := m.aimed(ctx, solve); err != nil || most.Values == nil {
			return Plan{Status: most.Status, Bound: m.ceiling()}, err
		}
		if rules != nil && m.problem.Violation(rules) > 1e-6 {
			rules = nil // they are for money
		}
	}
	asked := m.problem
	if m.last != nil {
		asked = m.steady()
	}
	got, err := m.search(ctx, solve, asked)
	if err != nil {
		return Plan{}, err
	}
	if got.Values != nil {
		got.Values = got.Values[:len(m.problem.Columns)]
		got.Objective = m.problem.Objective(got.Values)
	}
	out := Plan{Status: got.Status, Bound: m.ceiling()}
	// A bound of a programme with prices on changes is none of one without; a search
	// that was stopped before it had a bound says 0.
	if m.last == nil && (got.Status == program.Optimal || got.Status == program.Stopped && got.Bound != 0) {
		out.Bound = math.Min(out.Bound, got.Bound)
	}
	if rules != nil {
		simple := m.problem.Objective(rules)
		out.Simple = &simple
		if got.Status == program.Stopped && (got.Values == nil || got.Objective <= simple) {
			got.Values, got.Objective, out.Rules = rules, simple, true
		}
	}
	if got.Values == nil {
		return out, nil
	}
	out.Value = got.Objective
	out.Steps, out.Unmet = m.read(got.Values)
	var parts float64
	if parts, err = m.tight(ctx, solve, got.Values, &out); err != nil {
		return out, err
	}
	out.Bound = math.Max(math.Min(out.Bound, parts), out.Value)
	if d := math.Abs(out.Value); d > 1e-9 {
		out.Gap = math.Abs(out.Bound-out.Value) / d
	}
	return out, nil
}

// ceiling is what no plan can be worth more than, without a search: all that is
// asked for sold, and nothing spent.
func (m *model) ceiling() float64 {
	sum := m.problem.Offset
	for _, c := range m.problem.Columns {
		if c.Cost > 0 {
			sum += c.Cost * c.High
		}
	}
	return sum
}

// Programme is the programme that Solve hands to the solver, with the plan of
// simple rules that it begins from, so that others may be asked the same. The error is a *figure.Refusal with all that is wrong.
func Programme(f Farm) (program.Problem, error) {
	if err := f.sound(); err != nil {
		return program.Problem{}, err
	}
	m := build(f)
	m.problem.Start = newGreedy(m).plan()
	return m.problem, nil
}
