package web

import (
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/internal/web/words"
	"wormyard/program"
	"wormyard/qty"
	"wormyard/season"
)

// Seasons plans the year in the background.
type Seasons interface {
	// Years gives the newest plan and the last of an earlier week, nil where there is none.
	Years(ctx context.Context) (newest, before *app.Year)
	// Plan begins a new one; nothing happens while one is being made.
	Plan()
	// Stop ends the one that is being made; what was planned before stays.
	Stop()
	// Planning tells of the one that is being made, and why the last one failed.
	Planning() (Progress, error)
}

// PlanAfterRound is the step of a plan that waits until the round is made.
const PlanAfterRound = "round"

// SeasonPage is the plan of the year.
type SeasonPage struct {
	Frame
	Heading, Under string
	From           string    // what it was made from
	Doing          *JobShown // while a plan is being made
	Live           *Live
	Bad            []string // why there is none
	Yet            string   // where no plan was made yet
	YearShown
	Facts  []Fact
	Form   *SeasonForm
	Links  []Link
	Duties DutiesShown
}

// YearShown is a plan in a reader's words.
type YearShown struct {
	Worth         string
	Aimed         string // what it is for, where that is not to earn most
	Next          []Fact // what is to be done in each of the next weeks
	Search        string // where time was up before the search was done
	Limits, Eased []string
	LeftOut       []string
	ChangedSince  string // the head over what changed
	Changed       []string
	ChangedMore   []string
	ChangedMoreOf string
	Promises      []string // those that are not always kept
	Kept          string   // how many are
	AllPromises   []string // where one is always kept
	AllHead       string
	Surer         string
	Besides       *TriedTable // what may be promised besides
	Months        *TriedTable
	Drawing       *draw.Year
	Alt           string
	Table         *TriedTable
	Notes         []string
	PromisesNone  string
	HeatHead      string   // over when barns are heated; empty where they are not
	Heat          []string // each stretch
	HeatWorth     string
	HeatCare      string
}

func (s *Server) seasonShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawSeason(w, r, p, s.seasonTyped(p), nil, http.StatusOK)
}

func (s *Server) drawSeason(w http.ResponseWriter, r *http.Request, p person, v seasonTyped, problems []app.Problem, status int) error {
	page := SeasonPage{Frame: s.frame(r, p, p.Say("season.title"), "more"), Heading: p.Say("season.title")}
	page.One = true
	if s.Seasons == nil {
		page.Yet = p.Say("season.nowhere")
		return s.draw(w, "season", status, page)
	}
	state := s.Farm.State()
	page.Duties = s.dutiesShown(p)
	y, _ := s.Seasons.Years(r.Context())
	if y != nil {
		page.Under = p.Say("season.under", p.Words.Date(y.Began.In(p.Zone)), y.Weeks, p.Moment(y.Made))
		page.From = p.madeFrom(y, state)
		page.YearShown = p.yearShown(y, state.Settings.Money.Currency)
		page.Facts = p.seasonFacts(y.Facts, state.Settings.Money.Currency)
		for i := range page.Facts {
			page.Facts[i].Note = "(" + page.Facts[i].Note + ")"
		}
		page.Links = []Link{{To: "/season.csv", Name: p.Say("season.csv")}, {To: "/season.ics", Name: p.Say("season.ics")}}
	} else {
		page.Yet = p.Say("season.yet")
	}
	doing, err := s.Seasons.Planning()
	switch {
	case doing.Running:
		percent := 100 * doing.Done / max(doing.Total, 1)
		page.Yet, page.Doing = "", &JobShown{Say: p.Say("season.begun"), Percent: percent, Label: p.Say("round.percent", percent)}
		if doing.Total > 0 {
			page.Doing.Say = p.Say("season.step."+doing.Doing) + p.left(doing)
		}
	case err != nil:
		page.Bad = append(page.Bad, p.refused(err)...)
	}
	page.Live = &Live{Mark: s.seasonMark(), At: "/season"}
	page.Form = s.seasonForm(p, v, y, problems)
	return s.draw(w, "season", status, page)
}

// seasonMark stands for all that changes of the page while a plan is made.
func (s *Server) seasonMark() string {
	if s.Seasons == nil {
		return ""
	}
	doing, err := s.Seasons.Planning()
	return fmt.Sprintf("%t-%s-%d-%d-%t", doing.Running, doing.Doing, doing.Done, doing.Total, err != nil)
}

// seasonEvents tells a page that the plan being made got further.
func (s *Server) seasonEvents(w http.ResponseWriter, r *http.Request, _ person) error {
	return s.tellMarks(w, r, s.seasonMark)
}

// refused tells all that keeps a plan from being made.
func (p person) refused(err error) (out []string) {
	var why *figure.Refusal
	if !errors.As(err, &why) {
		return []string{p.Told(err.Error())}
	}
	for _, x := range why.Problems {
		out = append(out, strings.TrimSpace(p.Told(x.Say)+" "+p.Told(x.Try)))
	}
	return out
}

// madeFrom tells what a plan was made from, and how much was written down since.
func (p person) madeFrom(y *app.Year, state *farm.State) string {
	from := p.Say("season.made", thousands(y.Entries), p.Moment(y.Newest))
	if since := state.Entries - y.Entries; since > 0 {
		from += " " + p.Count("season.since", since)
	}
	return from
}

// seasonStop ends the plan that is being made.
func (s *Server) seasonStop(w http.ResponseWriter, r *http.Request, p person) error {
	if s.Seasons == nil {
		return missing{p.Say("fault.nopage")}
	}
	s.Seasons.Stop()
	seeOther(w, r, "/season")
	return nil
}

// cash prints money as it stands in plans: whole, with the farm's currency.
func (p person) cash(v float64, currency string) string {
	return strings.TrimSpace(coins(decimal.NewFromFloat(v)) + " " + currency)
}

// roughly prints money of which nobody knows more than three figures.
func (p person) roughly(v float64, currency string) string {
	if v == 0 {
		return p.cash(0, currency)
	}
	return p.cash(roundTo(v, thirdFigure(v)), currency)
}

// product names what is sold in a reader's words and units.
func (p person) product(name string) string {
	if size, ok := strings.CutPrefix(name, "bag "); ok {
		if v, err := strconv.ParseFloat(size, 64); err == nil {
			return p.Say("season.bag", p.bagSize(v))
		}
	}
	switch name {
	case app.Loose:
		return p.Say("season.loose")
	case app.Alive:
		return p.Say("season.worms")
	}
	return name
}

// bagSize prints what a bag holds, in cubic feet or litres.
func (p person) bagSize(v float64) string {
	if p.Units == qty.US {
		return plainNumber(math.Round(v/qty.M3PerCubicFoot*10)/10) + " ft³"
	}
	return plainNumber(math.Round(v*1000)) + " L"
}

// pieces prints how much of a product.
func (p person) pieces(name string, n float64) string {
	if name == app.Loose {
		return p.Say("season.ofloose", p.cubic(n))
	}
	return p.Say("season.pieces", p.amount(name, n), p.product(name))
}

// amount prints how much of a product where its name stands beside it.
func (p person) amount(name string, n float64) string {
	switch name {
	case app.Loose:
		return p.cubic(n)
	case app.Alive:
		return printable(p.Units.Mass(n))
	}
	return thousands(int(math.Round(n)))
}

// oneMore names a limit and one step of it, as it is told, and how many of its units
// that is.
func (p person) oneMore(t season.Tight, currency string) (name, more string, times float64) {
	switch t.Kind {
	case season.OfWorms:
		if p.Units == qty.US {
			return p.Say("season.limit.worms"), p.Say("season.more.pound"), qty.KgPerPound
		}
		return p.Say("season.limit.worms"), p.Say("season.more.kg"), 1
	case season.OfBins:
		return p.Say("season.limit.bins"), p.Say("season.more.bins"), 1
	case season.OfCrew:
		return p.Say("season.limit.crew"), p.Say("season.more.hour"), 1
	case season.OfDemand:
		if name = p.Say("season.limit.demand", p.product(t.Of)); t.Of != app.Loose {
			if t.Of != app.Alive {
				return name, p.Say("season.more.piece"), 1
			}
			if p.Units == qty.US {
				return name, p.Say("season.more.poundsold"), qty.KgPerPound
			}
			return name, p.Say("season.more.kgsold"), 1
		}
	case season.OfFeed:
		name = p.Say("season.limit.feed", p.material(t.Of))
	case season.OfFeedStore:
		name = p.Say("season.limit.feedstore", p.material(t.Of))
	case season.OfStore:
		name = p.Say("season.limit.store")
	case season.OfCash:
		return p.Say("season.limit.cash"), p.Say("season.more.cash", p.cash(hundred, currency)), hundred
	}
	key := "season.more.volume"
	if t.Kind == season.OfDemand || t.Kind == season.OfFeed {
		key = "season.more.volumeweek"
	}
	return name, p.Say(key, p.cubicUnit()), p.toM3(1)
}

// hundred is the step in which more money is told.
const hundred = 100

// cubicUnit names the unit of volumes of a plan.
func (p person) cubicUnit() string {
	return pick(p.Units, p.Say("season.yard"), p.Say("season.metre"))
}

// tightShown is how many limits are told of, littleWorth the part of what the plan
// earns under which one, or the step in which it is told, is not worth a sentence.
const (
	tightShown  = 5
	littleWorth = 5e-4
)

// dayOf gives the day of a week of a plan.
func (p person) dayOf(y *app.Year) func(week float64) time.Time {
	return func(week float64) time.Time { return y.Began.AddDate(0, 0, int(math.Round(week*7))).In(p.Zone) }
}

// aimed says what a plan is for and what that costs; nothing of one that is to earn most.
func (p person) aimed(y *app.Year, currency string) string {
	switch {
	case y.Farm.Aim == season.AimCastings:
		return p.Say("season.aimed.castings")
	case y.Sure:
		return p.Say("season.aimed.promises", int(math.Round(100*y.Surer.Part)), p.roughly(math.Max(0, y.Surer.Costs), currency))
	case y.ForPromises:
		return p.Say("season.aimed.as")
	}
	return ""
}

func (p person) yearShown(y *app.Year, currency string) YearShown {
	out := YearShown{}
	day := p.dayOf(y)
	out.Worth = p.Say("season.worth", p.roughly(y.Replay.Value[1], currency), p.roughly(y.Replay.Value[0], currency), p.roughly(y.Replay.Value[2], currency))
	out.Aimed = p.aimed(y, currency)
	out.Next = p.nextWeeks(y)
	out.Search = p.searchCut(y.Plan, currency)
	for _, e := range y.Eased {
		out.Eased = append(out.Eased, p.Say("season.eased."+e))
	}
	for _, name := range y.Left {
		out.LeftOut = append(out.LeftOut, p.Say("season.leftout", name))
	}
	for i, t := range y.Plan.Tight {
		if i == tightShown {
			break
		}
		name, more, times := p.oneMore(t, currency)
		if t.Worth*math.Max(times, 1) < littleWorth*math.Abs(y.Plan.Value) {
			continue
		}
		weeks := p.Words.Date(day(t.Weeks[0]))
		if n := len(t.Weeks); weeksOf(y, t) >= y.Weeks {
			weeks = p.Say("season.always")
		} else if n > 1 {
			weeks = p.Say("season.weeks", weeksOf(y, t), p.Words.Date(day(t.Weeks[0])), p.Words.Date(day(t.Weeks[n-1])))
		}
		out.Limits = append(out.Limits, sentence(p.Say("season.tight", name, weeks, more, p.roughly(t.Worth*times, currency))))
	}
	for _, which := range []season.Kind{season.OfBins, season.OfWorms, season.OfCrew} {
		if !slices.ContainsFunc(y.Plan.Tight, func(t season.Tight) bool {
			return t.Kind == which && t.Worth >= littleWorth*math.Abs(y.Plan.Value)
		}) {
			out.Limits = append(out.Limits, p.Say("season.enough."+string(which)))
		}
	}
	p.heatShown(y, day, currency, &out)
	p.yearChanged(y, day, &out)
	p.promisesShown(y, day, &out)
	switch {
	case len(y.Replay.Kept) == 0:
		out.PromisesNone = p.Say("season.promisenone")
	case len(out.Promises) == 0:
	case y.Surer.Part == 1 || y.Sure && y.Surer.Enough:
		out.Surer = p.Say("season.sureas")
	case y.Surer.Enough:
		out.Surer = p.Say("season.surer", int(math.Round(100*y.Surer.Part)), p.roughly(math.Max(0, y.Surer.Costs), currency))
	default:
		out.Surer = p.Say("season.surernot", int(math.Round(100*y.Surer.Part)), p.roughly(math.Max(0, y.Surer.Costs), currency))
	}
	out.Besides = p.besidesTable(y, day)
	out.Drawing, out.Alt = p.yearDrawn(y, day, currency)
	out.Table = p.yearTable(y, day)
	out.Months = p.monthTable(y, day, currency)
	out.Table.stacked()
	out.Months.stacked()
	if out.Besides != nil && !out.Besides.Narrow {
		out.Besides.stacked()
	}
	if out.Search == "" {
		out.Notes = []string{p.bound(y.Plan, currency)}
	}
	out.Notes = append(out.Notes, p.Say("season.given"), p.Say("season.drawn", y.Replay.Worlds, printable(p.Units.TemperatureStep(y.SDC))))
	return out
}

// nextShown is of how many weeks the page says first what is to be done.
const nextShown = 4

// nextWeeks tells what is to be done in each of the next weeks.
func (p person) nextWeeks(y *app.Year) (out []Fact) {
	day := p.dayOf(y)
	for _, s := range y.Plan.Steps {
		if s.Week >= nextShown || s.Weeks > 1 {
			break
		}
		var acts []string
		p.stepSaid(s, day, func(_, say string) { acts = append(acts, say+".") })
		for _, h := range s.Heat {
			acts = append(acts, p.Say("season.heatsay", p.barn(h.Barn), p.temperatureUnit(y.Heat.AtC))+".")
		}
		out = append(out, Fact{Name: sentence(p.Words.Day(day(s.Week))), Value: cmp.Or(strings.Join(acts, " "), p.Say("season.nothing"))})
	}
	return out
}

// promisesShown says once how many promises are always kept, and lists the others.
func (p person) promisesShown(y *app.Year, day func(float64) time.Time, out *YearShown) {
	always := 0
	for _, k := range y.Replay.Kept {
		what, week := p.pieces(k.Product, k.Promised), p.Words.Date(day(k.Week))
		out.AllPromises = append(out.AllPromises, p.Say("season.promised", what, week))
		if k.Often == 1 {
			always++
			continue
		}
		sure := 0.0
		for _, other := range y.Surer.Replay.Kept {
			if other.Product == k.Product && other.Week == k.Week {
				sure = other.Often
			}
		}
		key := "season.promise"
		if sure <= k.Often {
			key = "season.promiseas"
		}
		out.Promises = append(out.Promises, p.Say(key, what, week, inTen(k.Often), inTen(sure)))
	}
	switch rest := len(out.Promises); {
	case always == 0:
		out.AllPromises = nil
	case rest == 0:
		out.Kept = p.Count("season.keptall", always)
	default:
		out.Kept = p.Count("season.keptrest", always)
	}
	if len(out.AllPromises) > 0 {
		out.AllHead = p.Count("season.allpromises", len(out.AllPromises))
	}
}

// searchCut says of a plan that it is only the best until time was up, and how far from
// the best of all it may be; nothing where the search was done.
func (p person) searchCut(x season.Plan, currency string) string {
	key := "season.cut"
	switch {
	case x.Rules:
		key = "season.rules"
	case x.Status != program.Stopped:
		return ""
	}
	return p.Say(key) + " " + p.bound(x, currency)
}

// bound says what a plan earns where all comes as it is reckoned, and what none earns more
// than.
func (p person) bound(x season.Plan, currency string) string {
	if x.Bound-x.Value < 5e-4*math.Abs(x.Value) {
		return p.Say("season.best", p.cash(x.Value, currency))
	}
	return p.Say("season.bound", p.cash(x.Value, currency), p.cash(x.Bound, currency), p.number(100*x.Gap))
}

// besides tells how much more of a product may be promised, rounded down to what is
// printed so that it is kept as often as it is told; a dash for nothing.
func (p person) besides(x season.Promise) string {
	more := ""
	switch v := x.More; x.Product {
	case app.Loose:
		if v = floorShown(v / p.toM3(1)); v > 0 {
			more = p.cubic(p.toM3(v))
		}
	case app.Alive:
		pound := pickNumber(p.Units, qty.KgPerPound, 1)
		if v = floorShown(v / pound); v > 0 {
			more = printable(p.Units.Mass(v * pound))
		}
	default:
		if v = math.Floor(v + 1e-9); v > 0 {
			more = thousands(int(v))
		}
	}
	return cmp.Or(more, "–")
}

// floorShown rounds down to a whole number, one below ten to a tenth.
func floorShown(v float64) float64 {
	fine := 1.0
	if v < 10 {
		fine = 10
	}
	return math.Floor(v*fine+1e-9) / fine
}

// inPeriod names the weeks that a promise is for.
func (p person) inPeriod(x season.Promise, day func(float64) time.Time) string {
	if x.Weeks == 1 {
		return p.Say("season.inweek", p.Words.Date(day(x.Week)))
	}
	return p.Say("season.infew", plainNumber(x.Weeks), p.Words.Date(day(x.Week)))
}

// besidesTable is what may be promised besides: a row a period, a column a product.
func (p person) besidesTable(y *app.Year, day func(float64) time.Time) *TriedTable {
	if len(y.Promises) == 0 {
		return nil
	}
	t := &TriedTable{Heads: []Cell{{Text: p.Say("season.head.deliver")}}}
	for _, x := range y.Farm.Products {
		t.Heads = append(t.Heads, Cell{Text: sentence(p.product(x.Name)), Num: true})
	}
	const onPhone = 4 // columns
	t.Narrow = len(t.Heads) <= onPhone
	if y.Unasked {
		t.Note = p.Say("season.unasked")
	}
	for i := 0; i < len(y.Promises); {
		row := make([]string, len(t.Heads))
		row[0] = sentence(p.inPeriod(y.Promises[i], day))
		for week := y.Promises[i].Week; i < len(y.Promises) && y.Promises[i].Week == week; i++ {
			k := slices.IndexFunc(y.Farm.Products, func(x season.Product) bool { return x.Name == y.Promises[i].Product })
			row[1+k] = p.besides(y.Promises[i])
		}
		t.Rows = append(t.Rows, tableRow(t.Heads, row))
	}
	return t
}

// besidesSaid is the same in lines, one a period.
func (p person) besidesSaid(y *app.Year) (out []string) {
	day := p.dayOf(y)
	for i := 0; i < len(y.Promises); {
		first, either := y.Promises[i], []string{}
		for ; i < len(y.Promises) && y.Promises[i].Week == first.Week; i++ {
			if more := p.besides(y.Promises[i]); more != "–" {
				either = append(either, p.Say("season.pieces", more, p.product(y.Promises[i].Product)))
			}
		}
		out = append(out, p.Say("season.besides", sentence(p.inPeriod(first, day)), cmp.Or(strings.Join(either, p.Say("season.or")), p.Say("season.besidesnone"))))
	}
	return out
}

// changesShown is how many changes stand open.
const changesShown = 8

// yearChanged tells where a plan departs from the one before it.
func (p person) yearChanged(y *app.Year, day func(float64) time.Time, out *YearShown) {
	if y.Against == nil {
		return
	}
	out.ChangedSince = p.Say("season.changed", p.Moment(*y.Against))
	if len(y.Changes) == 0 {
		out.Changed = []string{p.Say("season.changed.none")}
	}
	for i, c := range y.Changes {
		amount := p.number
		if c.What == season.ChangedSale {
			amount = func(v float64) string { return p.pieces(c.Of, v) }
		}
		key := "season.changed."
		if c.Weeks > 1 {
			key = "season.changedfrom."
		}
		say := ""
		switch {
		case c.What != season.ChangedHeat:
			say = p.Say(key+c.What, p.Words.Date(day(c.Week)), amount(c.After), amount(c.Before))
		case c.After > c.Before:
			say = p.Say(key+"heat", p.Words.Date(day(c.Week)), p.barn(c.Of))
		default:
			say = p.Say(key+"cold", p.Words.Date(day(c.Week)), p.barn(c.Of))
		}
		if i < changesShown {
			out.Changed = append(out.Changed, say)
		} else {
			out.ChangedMore = append(out.ChangedMore, say)
		}
	}
	if n := len(out.ChangedMore); n > 0 {
		out.ChangedMoreOf = p.Count("season.changedmore", n)
	}
}

// inTen is a share of years as so many in ten.
func inTen(share float64) string { return plainNumber(math.Round(share*100) / 10) }

// weeksOf is in how many weeks a limit is reached.
func weeksOf(y *app.Year, t season.Tight) int {
	n := 0.0
	for _, s := range y.Plan.Steps {
		if slices.Contains(t.Weeks, s.Week) {
			n += s.Weeks
		}
	}
	return int(math.Round(n))
}

// cubic prints a volume in the one unit of the page.
func (p person) cubic(v float64) string {
	n := p.fromM3(v)
	if n >= 10 {
		n = math.Round(n)
	} else {
		n = math.Round(n*10) / 10
	}
	return plainNumber(n+0) + " " + p.cubicUnit() // no minus before 0
}

func total(of map[string]float64) (sum float64) {
	for _, v := range of {
		sum += v
	}
	return sum
}

// monthDone is what falls into one month of a plan, as far as it falls even within a
// step.
type monthDone struct {
	first          time.Time // of the month, UTC
	start, harvest float64   // bins
	split, fuel    float64   // bins; money
	collect        []float64 // of each feedstock of the farm [m3]
}

// monthsOf gives the months of a plan in order.
func monthsOf(y *app.Year, day func(float64) time.Time) (out []monthDone) {
	for _, s := range y.Plan.Steps {
		for k := range int(s.Weeks) {
			at := day(s.Week + float64(k) + 0.5)
			first := time.Date(at.Year(), at.Month(), 1, 0, 0, 0, 0, time.UTC)
			if n := len(out); n == 0 || !out[n-1].first.Equal(first) {
				out = append(out, monthDone{first: first, collect: make([]float64, len(y.Farm.Feedstocks))})
			}
			m := &out[len(out)-1]
			m.start += total(s.Start) / s.Weeks
			m.harvest += total(s.Harvest) / s.Weeks
			m.split += splitIn(s) / s.Weeks
			m.fuel += fuelOf(&y.Farm, s) / s.Weeks
			for i, x := range y.Farm.Feedstocks {
				m.collect[i] += s.Collect[x.Name] / s.Weeks
			}
		}
	}
	return out
}

// byMonth tells of one thing what is done in each month: "Leaves: 30 yd³ in all; 20 yd³
// in November, 10 yd³ in December." It is empty where nothing is done.
func (p person) byMonth(months []monthDone, name string, of func(monthDone) float64, amount func(float64) string) string {
	all := 0.0
	for _, m := range months {
		all += of(m)
	}
	if all <= 0 {
		return ""
	}
	var said []string
	for _, m := range months {
		if v := of(m); v > 0.01*all {
			said = append(said, p.Say("season.inmonth", amount(v), p.Words.Month(m.first)))
		}
	}
	return p.Say("season.bymonth", sentence(name), amount(all), strings.Join(said, ", "))
}

// yearDrawn draws beds, worms, castings and sales week by week.
func (p person) yearDrawn(y *app.Year, day func(float64) time.Time, currency string) (*draw.Year, string) {
	var from, weeks []float64
	n := len(y.Plan.Steps)
	bins, worms, stock, sold, fed := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	size := map[string]float64{}
	for _, x := range y.Farm.Products {
		size[x.Name] = x.CastingsM3
	}
	low, high, lowW, highW := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i, s := range y.Plan.Steps {
		from, weeks = append(from, s.Week), append(weeks, s.Weeks)
		bins[i], worms[i], stock[i] = s.Bins, y.WormsKg(i), s.StockM3
		for name, v := range s.Sell {
			sold[i] += v * size[name] / s.Weeks
		}
		fed[i] = total(s.Collect) / s.Weeks
		if i < len(y.Replay.Stock) {
			low[i], high[i] = y.Replay.Stock[i][0], y.Replay.Stock[i][2]
			lowW[i], highW[i] = y.Replay.Worms[i][0], y.Replay.Worms[i][2]
		}
	}
	volume := func(v float64) string { return p.cubic(v) }
	most := func(x []float64) float64 { return slices.Max(append([]float64{0}, x...)) }
	strips := []draw.YearLine{
		{Title: p.Say("season.strip.bins"), Note: p.Say("season.most", thousands(int(math.Round(most(bins))))), Values: bins, Limit: y.Farm.Bins, Class: "bedding"},
		{Title: p.Say("season.strip.worms"), Note: p.Say("season.most", printable(p.Units.Mass(most(worms)))), Values: worms, Low: lowW, High: highW, Class: "worms"},
		{Title: p.Say("season.strip.feed"), Note: p.Say("season.mostweek", volume(most(fed))), Values: fed, Bars: true, Class: "feed"},
		{Title: p.Say("season.strip.stock"), Note: p.Say("season.most", volume(most(stock))), Values: stock, Low: low, High: high, Class: "castings"},
		{Title: p.Say("season.strip.sold"), Note: p.Say("season.mostweek", volume(most(sold))), Values: sold, Bars: true, Class: "castings"},
	}
	if y.Farm.Split != nil {
		split := make([]float64, n)
		for i, s := range y.Plan.Steps {
			split[i] = splitIn(s) / s.Weeks
		}
		strips = slices.Insert(strips, 1, draw.YearLine{Title: p.Say("season.strip.split"), Note: p.Say("season.mostweek", p.number(most(split))), Values: split, Bars: true, Class: "bedding"})
	}
	for _, name := range heatedBarns(y) {
		fuel := make([]float64, n)
		for i, s := range y.Plan.Steps {
			s.Heat = slices.DeleteFunc(slices.Clone(s.Heat), func(h season.Heated) bool { return h.Barn != name })
			fuel[i] = fuelOf(&y.Farm, s) / s.Weeks
		}
		strips = append(strips, draw.YearLine{Title: p.Say("season.strip.heat", p.barn(name)), Note: p.Say("season.aweek", p.cash(most(fuel), currency)), Values: fuel, Bars: true, Class: "heat"})
	}
	var months []draw.MonthMark
	end := float64(y.Weeks)
	first := y.Began.In(p.Zone)
	every := 1
	if end > 60 {
		every = 2
	}
	for i, at := 0, time.Date(first.Year(), first.Month()+1, 1, 0, 0, 0, 0, p.Zone); at.Before(day(end)); i, at = i+1, at.AddDate(0, 1, 0) {
		if week := at.Sub(y.Began).Hours() / 168; i%every == 0 && week < end*0.94 {
			name := []rune(p.Words.Month(at))
			if len(name) > 4 {
				name = name[:3]
			}
			months = append(months, draw.MonthMark{Week: week, Label: string(name)})
		}
	}
	d := draw.NewYear(strips, from, weeks, months)
	return &d, p.Say("season.alt")
}

// headOf adds the head of numbers in one unit.
func (t *TriedTable) headOf(p person, name, unit string) {
	if t.units == nil {
		t.units = map[int]Block{}
	}
	t.units[len(t.Heads)] = Block{Head: name, Unit: unit}
	t.Heads = append(t.Heads, Cell{Text: p.Say("season.head.of", name, unit), Num: true})
}

// monthTable is what is begun, harvested and collected in each month, as far as it
// falls even within a step.
func (p person) monthTable(y *app.Year, day func(float64) time.Time, currency string) *TriedTable {
	t := &TriedTable{Heads: []Cell{{Text: p.Say("season.head.month")}, {Text: p.Say("season.head.start"), Num: true}, {Text: p.Say("season.head.harvest"), Num: true}}}
	if y.Farm.Split != nil {
		t.Heads = append(t.Heads, Cell{Text: p.Say("season.head.split"), Num: true})
	}
	heated := len(y.Plan.Warmed) > 0
	if heated {
		t.headOf(p, p.Say("season.head.fuel"), currency)
	}
	for _, x := range y.Farm.Feedstocks {
		t.headOf(p, p.material(x.Name), p.cubicUnit())
	}
	for _, m := range monthsOf(y, day) {
		row := []string{p.Say("season.month", p.Words.Month(m.first), m.first.Year()), p.orDash(math.Round(m.start)), p.orDash(math.Round(m.harvest))}
		if y.Farm.Split != nil {
			row = append(row, p.orDash(math.Round(m.split)))
		}
		if heated {
			row = append(row, p.orDash(math.Round(m.fuel)))
		}
		for _, v := range m.collect {
			row = append(row, p.orDash(p.fromM3(v)))
		}
		t.Rows = append(t.Rows, tableRow(t.Heads, row))
	}
	return t
}

// yearTable is the plan step by step.
func (p person) yearTable(y *app.Year, day func(float64) time.Time) *TriedTable {
	t := &TriedTable{}
	for i, key := range []string{"week", "start", "harvest", "collect", "sell", "bins", "worms", "stock", "crew"} {
		t.Heads = append(t.Heads, Cell{Text: p.Say("season.head." + key), Num: i > 4 || i == 1 || i == 2})
	}
	heated := len(y.Plan.Warmed) > 0
	if heated {
		t.Heads = append(t.Heads, Cell{Text: p.Say("season.head.heated")})
	}
	if y.Farm.Split != nil {
		t.Heads = append(t.Heads, Cell{Text: p.Say("season.head.split")})
	}
	list := func(of map[string]float64, say func(string, float64) string) string {
		var out []string
		for _, name := range slices.Sorted(maps.Keys(of)) {
			if of[name] > 0.005 {
				out = append(out, say(name, of[name]))
			}
		}
		return cmp.Or(strings.Join(out, ", "), "–")
	}
	for i, s := range y.Plan.Steps {
		row := []string{p.Words.Date(day(s.Week)), p.orDash(total(s.Start)), p.orDash(total(s.Harvest)),
			list(s.Collect, func(n string, v float64) string {
				return p.material(n) + " " + p.cubic(v)
			}),
			list(s.Sell, func(n string, v float64) string { return p.pieces(n, v) }),
			thousands(int(math.Round(s.Bins))), printable(p.Units.Mass(y.WormsKg(i))), p.cubic(s.StockM3), p.number(s.CrewHours)}
		if heated {
			row = append(row, cmp.Or(p.heatedIn(s), "–"))
		}
		if y.Farm.Split != nil {
			row = append(row, cmp.Or(p.splitsIn(s, day), "–"))
		}
		t.Rows = append(t.Rows, tableRow(t.Heads, row))
	}
	return t
}

// orDash is a number of a plan, or a dash for next to nothing.
func (p person) orDash(v float64) string {
	if v < 0.05 {
		return "–"
	}
	return p.number(v)
}

// tableRow is texts as cells under their heads.
func tableRow(heads []Cell, texts []string) (row TriedRow) {
	for i, text := range texts {
		row.Cells = append(row.Cells, Cell{Text: text, Num: heads[i].Num})
	}
	return row
}

// stacked has each cell say its head where the screen is a phone's, and those that say
// nothing left out there.
func (t *TriedTable) stacked() {
	t.Stacked = true
	for k := range t.Rows {
		r := &t.Rows[k]
		for i, c := range r.Cells {
			head := t.Heads[i].Text
			if named, ok := t.units[i]; ok {
				head = named.Head
			}
			if c.Text == "–" {
				head = ""
			}
			r.Blocks = append(r.Blocks, Block{c, head, t.units[i].Unit})
		}
	}
}

// number prints a number of a plan to a tenth, whole where it is large.
func (p person) number(v float64) string {
	if v >= 20 || math.Abs(v-math.Round(v)) < 0.05 {
		return thousands(int(math.Round(v)))
	}
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
}

// seasonFacts tells what the plan was made with, and whence.
func (p person) seasonFacts(facts []app.SeasonFact, currency string) (out []Fact) {
	for _, f := range facts {
		value := p.number(f.Value)
		switch f.Key {
		case "gives", "bedding", "feedstore", "feedcomes", "stock", "store":
			value = p.cubic(f.Value)
		case "eats":
			value = p.Say("season.aweek", printable(p.Units.Volume(qty.CubicMetre(f.Value))))
		case "worms", "mosthold":
			value = printable(p.Units.Mass(f.Value))
		case "bedabove":
			value = printable(p.Units.TemperatureStep(f.Value))
		case "price":
			value = p.cashCents(f.Value, currency)
			if f.Of == app.Loose {
				value = p.perVolume(f.Value, currency)
			}
		case "feedcost":
			value = p.perVolume(f.Value, currency)
		case "sales":
			value = p.amount(f.Of, f.Value)
		case "ripe", "cure":
			value = p.Say("season.inweeks", p.number(f.Value))
		case "duties":
			value = p.hours(f.Value)
		case "cash", "spent":
			value = p.cash(f.Value, currency)
		case "heatat":
			value = p.temperatureUnit(f.Value)
		case "heatprice":
			value = p.Say("season.per", p.cashCents(f.Value, currency), p.Say("season.kwhofheat"))
		case "heatloss":
			value = p.Say("season.lossof", thousands(int(math.Round(pickNumber(p.Units, btuPerKWh/1000/1.8, 1)*f.Value))), pick(p.Units, "Btu/h", "W"), pick(p.Units, "°F", "°C"))
		case "heater":
			value = p.Say("season.heaterof", p.number(f.Value), thousands(int(math.Round(f.Value*btuPerKWh/1000))*1000))
		case "splithours":
			value = p.hours(f.Value)
		case "splitback":
			value = p.Say("season.inweeks", p.number(f.Value))
		}
		of := f.Of
		if strings.HasPrefix(f.Key, "feed") {
			of = p.material(of)
		} else if strings.HasPrefix(f.Key, "heat") && of != "" {
			of = p.barn(of)
		} else if of != "" {
			of = p.product(of)
		}
		name := p.Say("season.fact." + f.Key)
		if of != "" {
			name = p.Say("season.factof", name, of)
		}
		note := p.Say("season.from." + string(f.From))
		if f.Count > 0 && f.From != app.WhenceAssumed {
			note = p.Say("season.fromcount", note, thousands(f.Count))
		}
		out = append(out, Fact{Name: name, Value: value, Note: note})
	}
	return out
}

func (p person) cashCents(v float64, currency string) string {
	return strings.TrimSpace(money(decimal.NewFromFloat(v)) + " " + currency)
}

// perVolume prints a price a cubic metre as one a cubic yard where the farm reckons in
// them.
func (p person) perVolume(v float64, currency string) string {
	return p.Say("season.per", p.cashCents(p.toM3(v), currency), p.cubicUnit())
}

// fromM3 and toM3 turn a volume into the farm's and back.
func (p person) fromM3(v float64) float64 {
	fine := pickNumber(p.Units, 100, 1000)
	return math.Round(v/p.toM3(1)*fine) / fine
}

func (p person) toM3(v float64) float64 {
	return v * pickNumber(p.Units, qty.M3PerCubicYard, 1)
}

// YearSaid is a plan of a year for a terminal, line by line.
func YearSaid(y *app.Year, c *words.Catalogue, units qty.System, zone *time.Location, now time.Time, currency string) (out []string) {
	p := person{Units: units, Words: c, Zone: zone, Now: now.In(zone)}
	x := p.yearShown(y, currency)
	out = append(append(out, x.Worth), x.LeftOut...)
	out = append(out, slices.DeleteFunc([]string{x.Aimed, x.Search}, func(l string) bool { return l == "" })...)
	out = append(out, x.Eased...)
	part := func(head string, lines ...string) {
		if lines = slices.DeleteFunc(lines, func(l string) bool { return l == "" }); len(lines) > 0 {
			out = append(append(out, "", head), lines...)
		}
	}
	var next []string
	for _, w := range x.Next {
		next = append(next, w.Name+": "+w.Value)
	}
	part(p.Say("season.head.next"), next...)
	part(p.Say("season.head.limits"), x.Limits...)
	part(x.HeatHead, append(append([]string{x.HeatWorth}, x.Heat...), x.HeatCare)...)
	part(x.ChangedSince, append(slices.Clone(x.Changed), x.ChangedMore...)...)
	part(p.Say("season.head.promises"), append(slices.Clone(x.Promises), x.Kept, x.Surer, x.PromisesNone)...)
	if x.Besides != nil {
		part(p.Say("season.head.besides"), append(append([]string{p.Say("season.besideshelp")}, p.besidesSaid(y)...), x.Besides.Note)...)
	}
	months := monthsOf(y, p.dayOf(y))
	bins := func(v float64) string { return p.Count("season.bins", int(math.Round(v))) }
	part(p.Say("season.head.do"), p.byMonth(months, p.Say("season.start"), func(m monthDone) float64 { return m.start }, bins),
		p.byMonth(months, p.Say("season.harvest"), func(m monthDone) float64 { return m.harvest }, bins),
		p.byMonth(months, p.Say("season.split"), func(m monthDone) float64 { return m.split }, bins))
	var collect []string
	for i, f := range y.Farm.Feedstocks {
		collect = append(collect, p.byMonth(months, p.material(f.Name), func(m monthDone) float64 { return m.collect[i] }, p.cubic))
	}
	part(p.Say("season.head.collects"), collect...)
	var facts []string
	for _, f := range p.seasonFacts(y.Facts, currency) {
		facts = append(facts, fmt.Sprintf("%s: %s (%s)", f.Name, f.Value, f.Note))
	}
	part(p.Say("season.head.facts"), facts...)
	return append(append(out, ""), x.Notes...)
}

// seasonSheet is the plan as a sheet: a row a step, in SI units.
func (s *Server) seasonSheet(w http.ResponseWriter, r *http.Request, p person) error {
	y := s.year(r.Context())
	if y == nil {
		return missing{p.Say("season.yet")}
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="season.csv"`)
	_, err := w.Write(SeasonCSV(y))
	return err
}

func (s *Server) year(ctx context.Context) *app.Year {
	if s.Seasons == nil {
		return nil
	}
	y, _ := s.Seasons.Years(ctx)
	return y
}

// SeasonCSV writes a plan as a sheet, in SI units.
func SeasonCSV(y *app.Year) []byte {
	var mixes, feeds, products []string
	for _, m := range y.Farm.Mixes {
		mixes = append(mixes, m.Name)
	}
	for _, x := range y.Farm.Feedstocks {
		feeds = append(feeds, x.Name)
	}
	for _, x := range y.Farm.Products {
		products = append(products, x.Name)
	}
	var b bytes.Buffer
	c := csv.NewWriter(&b)
	c.UseCRLF = true // RFC 4180
	head := []string{"from", "weeks"}
	for _, m := range mixes {
		head = append(head, "start "+m, "harvest "+m)
	}
	for _, x := range feeds {
		head = append(head, "collect "+x+" m3")
	}
	for _, x := range products {
		head = append(head, "sell "+x)
	}
	head = append(head, "bins", "worms kg", "cured m3", "crew h", "overtime h")
	barns := heatedBarns(y)
	for _, b := range barns {
		head = append(head, "heat barn "+b+" K")
	}
	if len(barns) > 0 {
		head = append(head, "fuel cost")
	}
	if y.Farm.Split != nil {
		head = append(head, "split")
	}
	_ = c.Write(head)
	for i, s := range y.Plan.Steps {
		row := []string{y.Began.AddDate(0, 0, int(math.Round(s.Week*7))).Format(time.DateOnly), plainNumber(s.Weeks)}
		n := func(v float64) { row = append(row, strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64)) }
		for _, m := range mixes {
			n(s.Start[m])
			n(s.Harvest[m])
		}
		for _, x := range feeds {
			n(s.Collect[x])
		}
		for _, x := range products {
			n(s.Sell[x])
		}
		n(s.Bins)
		n(y.WormsKg(i))
		n(s.StockM3)
		n(s.CrewHours)
		n(s.Overtime)
		for _, b := range barns {
			by := 0.0
			for _, h := range s.Heat {
				if h.Barn == b {
					by = h.Degrees
				}
			}
			n(by)
		}
		if len(barns) > 0 {
			n(fuelOf(&y.Farm, s))
		}
		if y.Farm.Split != nil {
			n(splitIn(s))
		}
		_ = c.Write(row)
	}
	c.Flush()
	return b.Bytes()
}
