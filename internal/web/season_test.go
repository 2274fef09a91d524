package web

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/program"
	"wormyard/qty"
	"wormyard/season"
)

// seasonDesk is who plans the year in tests.
type seasonDesk struct {
	year, before *app.Year
	asked        int
	doing        Progress
	err          error
}

func (d *seasonDesk) Years(context.Context) (newest, before *app.Year) { return d.year, d.before }
func (d *seasonDesk) Plan()                                            { d.asked++ }
func (d *seasonDesk) Stop()                                            { d.doing = Progress{} }
func (d *seasonDesk) Planning() (Progress, error)                      { return d.doing, d.err }

// sampleYear is a plan of a year as a farm would get it.
func sampleYear() *app.Year {
	y := &app.Year{Made: sampleNow, Began: sampleNow, Entries: 60, Newest: sampleNow.Add(-time.Hour), Weeks: 21, SDC: 2.1, Stays: 0.3}
	y.Farm = season.Farm{Weeks: 21, Bins: 40, Mixes: []season.Mix{{Name: "usual"}}, Feedstocks: []season.Feedstock{{Name: "dairy solids, separated"}, {Name: "leaves, loose dry"}},
		Products: []season.Product{{Name: "bag 0.02832", CastingsM3: 0.02832}, {Name: "loose", CastingsM3: 1}}}
	for _, p := range season.Periods(21) {
		y.Plan.Steps = append(y.Plan.Steps, season.Step{Week: p.From, Weeks: p.Weeks, Start: map[string]float64{"usual": p.Weeks}, Harvest: map[string]float64{"usual": p.Weeks}, Collect: map[string]float64{"leaves, loose dry": 2},
			Sell: map[string]float64{"loose": 1.5, "bag 0.02832": 20}, Bins: 38, WormsKg: 120, StockM3: 4, CrewHours: 30})
		y.Replay.Stock = append(y.Replay.Stock, [3]float64{3, 4, 6})
		y.Replay.Worms = append(y.Replay.Worms, [3]float64{250, 300, 320})
	}
	y.Plan.Value, y.Plan.Bound, y.Plan.Gap = 10000, 10100, 0.01
	y.Plan.Tight = []season.Tight{{Limit: "bins", Kind: season.OfBins, Weeks: []float64{4, 5, 6}, Worth: 240, Unit: "bin"}, {Limit: "leaves, loose dry to be had", Kind: season.OfFeed, Of: "leaves, loose dry", Weeks: []float64{2}, Worth: 90, Unit: "m3 a week"}}
	y.Replay.Worlds, y.Replay.Value = 64, [3]float64{8000, 9800, 10500}
	y.Replay.Kept = []season.Kept{{Product: "loose", Week: 6, Promised: 3, Often: 0.82}}
	y.Surer = season.Surer{Part: 0.9, Enough: true, Costs: 350, Replay: season.Replay{Kept: []season.Kept{{Product: "loose", Week: 6, Promised: 3, Often: 0.95}}}}
	against := sampleNow.AddDate(0, 0, -7)
	y.Against, y.Changes = &against, []season.Change{{What: season.ChangedStart, Of: "usual", Week: 1, Weeks: 1, Before: 3, After: 5}, {What: season.ChangedSale, Of: "loose", Week: 13, Weeks: 4, Before: 3, After: 6}}
	y.Promises = []season.Promise{{Product: "bag 0.02832", Week: 0, Weeks: 1, More: 9.6, Kept: 1}, {Product: "loose", Week: 0, Weeks: 1}, {Product: "bag 0.02832", Week: 13, Weeks: 4, More: 40, Kept: 0.92}, {Product: "loose", Week: 13, Weeks: 4, More: 2, Kept: 0.91}}
	y.Facts = []app.SeasonFact{{Key: "bins", Value: 40, From: app.WhenceJournal}, {Key: "feedcost", Of: "leaves, loose dry", Value: 4, From: app.WhenceAssumed}, {Key: "price", Of: "loose", Value: 300, From: app.WhenceJournal, Count: 12}}
	return y
}

// A plan says what holds it back, how often promises are kept and what each costs.
func TestYearIsSaid(t *testing.T) {
	said := strings.Join(YearSaid(sampleYear(), words.English(), qty.US, time.UTC, sampleNow, "USD"), "\n")
	for _, want := range []string{"about 9,800 USD", "between 8,000 USD and 10,500 USD", "Bins, in 3 weeks", "one more bin all year would bring about 240 USD", "More worms now would bring nothing.",
		"3.9 yd³ loose in the week of", "kept in 8.2 years of ten, by the surer plan in 9.5", "reckons with 90 %", "about 350 USD less", "begin 5 bins and not 3", "sell 7.9 yd³ loose and not 3.9 yd³ loose", "Cost: leaves, loose dry: 3.06 USD a yd³ (assumed)"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said in:\n%s", want, said)
		}
	}
	if strings.Contains(said, "More bins would bring nothing.") {
		t.Error("bins hold the plan back, and more of them are said to bring nothing")
	}
}

// What more may be promised is told by product and period and never rounded up: 9.6
// bags are 9, and 2 m3 are 2.616 yd3, of which 2.6 are told.
func TestBesidesAreSaid(t *testing.T) {
	y := sampleYear()
	said := strings.Join(YearSaid(y, words.English(), qty.US, time.UTC, sampleNow, "USD"), "\n")
	for _, want := range []string{"What more may be promised\n", "In the week of 3 March 2026: 9 bags of 1 ft³.", "In the 4 weeks from", ": 40 bags of 1 ft³ or 2.6 yd³ castings loose."} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said in:\n%s", want, said)
		}
	}
	p := person{Units: qty.US, Words: words.English(), Zone: time.UTC}
	y.Unasked = true
	table := p.besidesTable(y, p.dayOf(y))
	if len(table.Rows) != 2 || table.Rows[0].Cells[2].Text != "–" || table.Rows[1].Cells[2].Text != "2.6 yd³" || !strings.Contains(table.Note, "Time was up") {
		t.Errorf("%+v", table)
	}
	if got := floorShown(9.99); got != 9.9 {
		t.Errorf("9.99 is shown as %v", got)
	}
}

// A plan of which the search was cut short says so, with its bound and how far off it may
// be; one that is the best says only the bound.
func TestCutSearchIsSaid(t *testing.T) {
	say := func(change func(*season.Plan)) string {
		y := sampleYear()
		change(&y.Plan)
		return strings.Join(YearSaid(y, words.English(), qty.US, time.UTC, sampleNow, "USD"), "\n")
	}
	rules := say(func(p *season.Plan) { p.Status, p.Rules, p.Bound, p.Gap = program.Stopped, true, 12500, 0.25 })
	for _, want := range []string{"by simple rules only", "it earns 10,000 USD; no plan earns more than 12,500 USD, at most 25 % more."} {
		if !strings.Contains(rules, want) {
			t.Errorf("%q is not said in:\n%s", want, rules)
		}
	}
	cut := say(func(p *season.Plan) { p.Status, p.Bound, p.Gap = program.Stopped, 10500, 0.05 })
	if !strings.Contains(cut, "the best plan until then") || !strings.Contains(cut, "at most 5 % more") || strings.Contains(cut, "simple rules") {
		t.Errorf("a search that was cut short is not told of:\n%s", cut)
	}
	if whole := say(func(*season.Plan) {}); strings.Contains(whole, "Time was up") || strings.Count(whole, "10,100 USD") != 1 {
		t.Errorf("a whole search is told otherwise:\n%s", whole)
	}
}

// What is typed for the year is kept and a plan begun; what cannot be read is told
// with everything as it was typed, and nothing is kept.
func TestSeasonIsTyped(t *testing.T) {
	s, f, _ := sample(t)
	d := s.Seasons.(*seasonDesk)
	w := post(t, s, "/season", "weeks=200", "crew=many", "rows=4", "product_0=castings", "amount_0=lots", "product_1=jars", "amount_1=3", "product_2=", "amount_2=5", "product_3=", "do=save")
	for _, want := range []string{"“200” is not", "“many” is not", "How much of castings can be sold cannot be read: “lots”", "“jars” is not on the price list", "Row 3 does not say what is sold", `value="many"`, `value="jars"`} {
		if !strings.Contains(strings.ReplaceAll(w.Body.String(), "&#34;jars&#34;", "“jars”"), want) {
			t.Errorf("%d: %q is not on the page", w.Code, want)
		}
	}
	if w.Code != 422 || d.asked != 0 || f.State().Settings.Season.Weeks != 0 {
		t.Fatalf("%d, asked %d times, kept %+v", w.Code, d.asked, f.State().Settings.Season)
	}
	good := []string{"weeks=60", "crew=75", "store=100", "rows=3", "product_0=castings", "amount_0=2 yards", "each_0=week", "price_0=220",
		"product_1=bags of 1 cu ft", "amount_1=60", "each_1=month", "from_1=11", "until_1=2", "product_2=live worms", "amount_2=5 lb", "each_2=month"}
	if w = post(t, s, "/season", good...); w.Code != 303 || d.asked != 1 {
		t.Fatalf("%d, asked %d times: %s", w.Code, d.asked, w.Body.String())
	}
	set := f.State().Settings.Season
	const yard = 0.764554857984
	if set.Weeks != 60 || *set.CrewHours != 75 || float64(*set.StoreM3) < 100*yard-1e-9 || float64(*set.StoreM3) > 100*yard+1e-9 || len(set.Selling) != 3 {
		t.Fatalf("kept %+v", set)
	}
	if x := set.Selling[0]; x.Product != "castings" || x.Amount != 2 || x.Unit != "yd3" || x.Each != "week" || *x.Price != 220 {
		t.Errorf("kept %+v", x)
	}
	if x := set.Selling[1]; x.Unit != "" || x.From != 11 || x.Until != 2 || !x.In(time.December) || !x.In(time.February) || x.In(time.June) {
		t.Errorf("kept %+v", x)
	}
	page := get(t, s, "/season").Body.String()
	for _, want := range []string{`value="2 yd3"`, `value="bags of 1 cu ft"`, `<option value="11" selected>`} {
		if !strings.Contains(page, want) {
			t.Errorf("%s is not on the page as it was typed", want)
		}
	}
	// the same once more is no new entry
	n := len(f.State().Journal())
	if post(t, s, "/season", good...); len(f.State().Journal()) != n {
		t.Error("saying the same twice wrote another entry")
	}
}

// Rows come and go without a script and without a plan being made.
func TestSeasonRowsComeAndGo(t *testing.T) {
	s, f, _ := sample(t)
	form := []string{"rows=2", "product_0=castings", "amount_0=2 yd3", "product_1=live worms", "amount_1=5 lb"}
	n := len(f.State().Journal())
	more := doc(t, post(t, s, "/season", append(form, "do=add")...))
	if x := all(more, "input[name=product_2]"); len(x) != 1 || len(all(more, "input[name=rows][value='3']")) != 1 || len(all(more, "input[name=product_0][value=castings]")) != 1 {
		t.Error("no third row, or what was typed is gone")
	}
	less := doc(t, post(t, s, "/season", append(form, "do=drop_0")...))
	if len(all(less, "input[name=product_0][value='live worms']")) != 1 || len(all(less, "input[name=product_1]")) != 0 {
		t.Error("the row is not out")
	}
	if d := s.Seasons.(*seasonDesk); d.asked != 0 || len(f.State().Journal()) != n {
		t.Error("a row that came or went planned the year or was kept")
	}
}

// Sales that were typed month by month, as they once were, stand in rows.
func TestOlderSalesStandInRows(t *testing.T) {
	price := qty.Money(220 / 0.764554857984)
	p := person{Units: qty.US, Words: words.English()}
	const yard = 0.764554857984
	got := p.olderSales([]farm.SeasonSales{{Product: "loose", CastingsM3: 1, Price: &price, Months: []float64{2 * yard, 2 * yard, 12 * yard, 0, 0, 0, 0, 0, 0, 0, 0, 3 * yard}}, {Product: "tote", CastingsM3: 2 * yard, Months: []float64{4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4, 4}}})
	if len(got) != 4 || got[0].Amount != 2 || got[0].Unit != "yd3" || got[0].From != 1 || got[0].Until != 2 || got[1].Amount != 12 || got[2].From != 12 || got[3].Product != "tote of 2 yd³" || math.Abs(float64(*got[0].Price)-220) > 1e-9 {
		t.Errorf("%+v", got)
	}
	if ps := app.DemandWrong(farm.New(farm.Trade{}).State(), got); len(ps) > 0 {
		t.Errorf("rows of before are refused: %+v", ps)
	}
}

// Why there is no plan stands on the page.
func TestSeasonWithoutAPlan(t *testing.T) {
	s, _, _ := sample(t)
	s.Seasons = &seasonDesk{err: figure.Refuse("", "There are no bins to plan for.", "Write down the bins first.")}
	if body := get(t, s, "/season").Body.String(); !strings.Contains(body, "no bins to plan for") || !strings.Contains(body, "No plan was made yet") {
		t.Error("the page does not say why there is no plan")
	}
	var r *figure.Refusal
	if !errors.As(s.Seasons.(*seasonDesk).err, &r) {
		t.Fatal("no refusal")
	}
}

// The sheet has a row a step; the calendar has an event for what is done, in lines
// that other programs can read (RFC 5545: at most 75 octets, ended by CR and LF).
func TestSeasonLeaves(t *testing.T) {
	y := sampleYear()
	rows, err := csv.NewReader(strings.NewReader(string(SeasonCSV(y)))).ReadAll()
	if err != nil || len(rows) != 1+len(y.Plan.Steps) || rows[1][0] != sampleNow.Format(time.DateOnly) {
		t.Errorf("%v %v", err, rows)
	}
	calendar := string(SeasonCalendar(y, nil, words.English(), qty.US, time.UTC, sampleNow))
	for _, line := range strings.Split(strings.TrimSuffix(calendar, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.Contains(line, "\n") {
			t.Errorf("a line of %d octets: %q", len(line), line)
		}
	}
	if n := strings.Count(calendar, "BEGIN:VEVENT"); n != strings.Count(calendar, "END:VEVENT") || n != 5*len(y.Plan.Steps) {
		t.Errorf("%d events for %d steps", n, len(y.Plan.Steps))
	}
	if !strings.Contains(calendar, `SUMMARY:Collect leaves\, loose dry: 2.6 yd³`) {
		t.Error("a comma is not marked, or the amount is missing")
	}
}

// More hours than those who work here can work are refused in words; where nobody is
// named, nobody is counted.
func TestHoursNobodyCanWork(t *testing.T) {
	s, f, _ := sample(t)
	people := len(f.State().Settings.People)
	if people == 0 {
		t.Fatal("nobody works at the sample farm")
	}
	for hours, say := range map[string]string{
		strconv.Itoa(people*season.MostHours + 1): "hours in a week are more than " + strconv.Itoa(people),
		strconv.Itoa(people * season.MostHours):   "",
	} {
		w := post(t, s, "/season", "weeks=60", "crew="+hours, "rows=1", "do=save")
		if text := words1(doc(t, w)); say != "" && (w.Code != 422 || !strings.Contains(text, say)) || say == "" && w.Code != 303 {
			t.Errorf("%s hours of %d: %d %s", hours, people, w.Code, text)
		}
	}
}

// While the first plan is being made the page does not ask for one, and counts no steps
// before there are any.
func TestFirstPlanIsBegun(t *testing.T) {
	s, _, _ := sample(t)
	d := &seasonDesk{doing: Progress{Running: true}}
	s.Seasons = d
	x := words1(doc(t, get(t, s, "/season")))
	if !strings.Contains(x, "A plan is begun") || strings.Contains(x, "No plan was made yet") || strings.Contains(x, "of 1 steps") {
		t.Errorf("waiting: %s", x)
	}
	d.doing = Progress{Running: true, Doing: PlanAfterRound, Done: 12, Total: 48, Left: 100 * time.Second, LeftKnown: true}
	if x = words1(doc(t, get(t, s, "/season"))); !strings.Contains(x, "The plan comes after the round") || !strings.Contains(x, "25 %") || !strings.Contains(x, "2 minutes") {
		t.Errorf("while the round is made: %s", x)
	}
	for _, step := range []string{app.StepTwins, app.StepFarm, app.StepSearch, app.StepYears, app.StepSurer, app.StepPromises} {
		if d.doing.Doing = step; !words.English().Has("season.step." + step) {
			t.Errorf("nothing is said of %s", step)
		}
	}
}

// Sales that were typed month by month may be more rows than are typed by hand: none of
// them is lost when the form is sent.
func TestSeasonKeepsManyRows(t *testing.T) {
	s, f, _ := sample(t)
	var form []string
	set := farm.SeasonSetup{}
	for i := range mostSales + 5 {
		set.Selling = append(set.Selling, farm.SeasonDemand{Product: "castings", Amount: float64(i + 1), Unit: "yd3", Each: "week"})
		form = append(form, fmt.Sprintf("product_%d=castings", i), fmt.Sprintf("amount_%d=%d yd3", i, i+1), fmt.Sprintf("each_%d=week", i))
	}
	if ack, err := s.keepSetting(t.Context(), person{Who: "owner", Now: f.Now()}, setting{farm.KeySeason, set}); err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	form = append(form, fmt.Sprintf("rows=%d", mostSales+5))
	if rows := all(doc(t, post(t, s, "/season", append(form, "do=add")...)), "input[name^=product_]"); len(rows) != mostSales+5 {
		t.Errorf("%d rows after one more was asked for", len(rows))
	}
	if w := post(t, s, "/season", append(form, "weeks=60", "do=save")...); w.Code != 303 || len(f.State().Settings.Season.Selling) != mostSales+5 {
		t.Errorf("%d: %d rows are kept", w.Code, len(f.State().Settings.Season.Selling))
	}
}

// heatedYear is sampleYear with a barn that is heated in its third to fifth week, and
// with bins that are split.
func heatedYear() *app.Year {
	y := sampleYear()
	y.Heat = &app.YearHeat{With: farm.HeatPropane, Price: 0.5, Brings: 6, AtC: 15, KW: map[string]float64{"1": 12}}
	y.Farm.Heat = []season.Heat{{Barn: "1", Degrees: 6, Cost: []float64{50}}}
	y.Farm.Split = &season.Split{Hours: 1, Back: 2}
	for t := 2; t < 5; t++ {
		y.Plan.Steps[t].HeatK, y.Plan.Steps[t].Heat = 6, []season.Heated{{Barn: "1", Degrees: 6}}
	}
	y.Plan.Steps[3].Splits = []season.Splitting{{Mix: "usual", Begun: -1, RipeIn: 7, Bins: 2}, {Mix: "usual", Begun: 0, Bins: 1}}
	y.Plan.Warmed = []season.Warmed{{Barn: "1", Week: 2, Weeks: 3, Cost: 150, Brings: 400}}
	y.Plan.HeatWorth = 250
	return y
}

// When a plan heats, what that costs and brings stands in words, in the tables, the sheet
// and the calendar, with how to do it safely: 150 at 0.50 a litre are 300 L, 79 gallons.
func TestHeatIsSaid(t *testing.T) {
	y := heatedYear()
	for speak, want := range map[*words.Catalogue][]string{
		words.English(): {"about 250 USD more than with none of it", "Barn 1 from 17 March 2026 to 6 April 2026: costs about 150 USD (79 gallons of propane), brings about 400 USD.", "alarm for carbon monoxide", "To split: 3 bins in all"},
		words.Spanish(): {"Granero 1, del 17 de marzo de 2026 al 6 de abril de 2026: cuesta unos 150 USD (79 galones de propano), da unos 400 USD.", "alarma de monóxido de carbono"},
	} {
		said := strings.Join(YearSaid(y, speak, qty.US, time.UTC, sampleNow, "USD"), "\n")
		for _, w := range want {
			if !strings.Contains(said, w) {
				t.Errorf("%q is not said in:\n%s", w, said)
			}
		}
	}
	rows, err := csv.NewReader(strings.NewReader(string(SeasonCSV(y)))).ReadAll()
	if n := len(rows[0]); err != nil || strings.Join(rows[0][n-3:], "|") != "heat barn 1 K|fuel cost|split" || strings.Join(rows[4][n-3:], "|") != "6|50|3" || strings.Join(rows[1][n-3:], "|") != "0|0|0" {
		t.Errorf("%v %v", err, rows[:5])
	}
	cal := strings.ReplaceAll(string(SeasonCalendar(y, nil, words.English(), qty.US, time.UTC, sampleNow)), "\r\n ", "")
	for _, want := range []string{"SUMMARY:Heat Barn 1: keep the air at 59 °F", "DTSTART;VALUE=DATE:20260317", "DTEND;VALUE=DATE:20260407", "carbon monoxide", "Split bins: 2 that run"} {
		if !strings.Contains(cal, want) {
			t.Errorf("%q is not in the calendar", want)
		}
	}
	p := person{Units: qty.US, Words: words.English(), Zone: time.UTC}
	week, month := p.yearTable(y, p.dayOf(y)), p.monthTable(y, p.dayOf(y), "USD")
	if n := len(week.Heads); week.Rows[2].Cells[n-2].Text != "Barn 1" || !strings.Contains(week.Rows[3].Cells[n-1].Text, "1 begun in the week of 3 March") {
		t.Errorf("%+v", week.Rows[3])
	}
	if month.Heads[3].Text != "split" || month.Rows[0].Cells[3].Text != "3" || month.Rows[0].Cells[4].Text == "–" {
		t.Errorf("%+v %+v", month.Heads, month.Rows[0])
	}
	y.Plan.Warmed, y.Plan.HeatWorth = nil, 0
	if said := strings.Join(YearSaid(y, words.English(), qty.US, time.UTC, sampleNow, "USD"), "\n"); !strings.Contains(said, "The plan heats nothing") || strings.Contains(said, "monoxide") {
		t.Errorf("a plan that may heat and does not:\n%s", said)
	}
}

// Heating and splitting are typed, kept in SI, shown again as typed and taken back; a fuel
// without a price and a warmth that harms worms are refused.
func TestHeatIsTyped(t *testing.T) {
	s, f, _ := sample(t)
	for _, c := range []struct{ form, say string }{
		{"heat=propane", "It is not said what is paid for heat."},
		{"heat=propane heatprice=2.50 heatat=95", "“95” is not a number that can be planned with."},
		{"heat=propane heatprice=free", "“free” is not"},
		{"split=hand splithours=-1", "“-1” is not"},
	} {
		w := post(t, s, "/season", append(strings.Fields(c.form), "rows=1", "do=save")...)
		if w.Code != 422 || !strings.Contains(w.Body.String(), c.say) {
			t.Errorf("%s: %d, %q is not said", c.form, w.Code, c.say)
		}
	}
	if set := f.State().Settings.Season; set.Heat != nil || set.Split != nil {
		t.Fatalf("half of it was kept: %+v", set)
	}
	if w := post(t, s, "/season", "heat=propane", "heatprice=2.50", "heatat=59", "barns=1", "split=hand", "splitback=3", "rows=1", "do=save"); w.Code != 303 {
		t.Fatal(w.Code, w.Body)
	}
	set := f.State().Settings.Season
	if h := set.Heat; h == nil || h.With != farm.HeatPropane || math.Abs(float64(*h.Price)-2.5/3.785411784) > 1e-9 || *h.AtC != 15 || set.Split == nil || *set.Split.Back != 3 || set.Split.Hours != nil {
		t.Fatalf("%+v %+v", set.Heat, set.Split)
	}
	page := doc(t, get(t, s, "/season"))
	for box, want := range map[string]string{"heatprice": "2.5", "heatat": "59", "splitback": "3", "splithours": ""} {
		if boxes := all(page, "input[name="+box+"]"); len(boxes) != 1 || attr(boxes[0], "value") != want {
			t.Errorf("%s does not show %q", box, want)
		}
	}
	if w := post(t, s, "/season", "heat=", "split=", "rows=1", "do=save"); w.Code != 303 || f.State().Settings.Season.Heat != nil || f.State().Settings.Season.Split != nil {
		t.Errorf("%d, still kept", w.Code)
	}
}

// What a plan is for and the money at hand are typed, shown again and taken back, and the
// plan says what was made of them.
func TestAimIsTyped(t *testing.T) {
	s, f, _ := sample(t)
	for _, c := range []struct{ form, say string }{
		{"cash=plenty", "“plenty” is not"},
		{"cash=5000 spent=-3", "“-3” is not"},
	} {
		if w := post(t, s, "/season", append(strings.Fields(c.form), "rows=1", "do=save")...); w.Code != 422 || !strings.Contains(w.Body.String(), c.say) {
			t.Errorf("%s: %d, %q is not said", c.form, w.Code, c.say)
		}
	}
	if w := post(t, s, "/season", "aim=castings", "cash=-250", "spent=600", "rows=1", "do=save"); w.Code != 303 {
		t.Fatal(w.Code, w.Body)
	}
	set := f.State().Settings.Season
	if set.Aim != farm.AimCastings || set.Cash == nil || *set.Cash != -250 || set.Spent == nil || *set.Spent != 600 {
		t.Fatalf("%+v", set)
	}
	page := doc(t, get(t, s, "/season"))
	for box, want := range map[string]string{"cash": "-250", "spent": "600"} {
		if boxes := all(page, "input[name="+box+"]"); len(boxes) != 1 || attr(boxes[0], "value") != want {
			t.Errorf("%s does not show %q", box, want)
		}
	}
	if chosen := all(page, "select[name=aim] option[selected]"); len(chosen) != 1 || attr(chosen[0], "value") != farm.AimCastings {
		t.Error("what the plan is for is not shown")
	}
	if w := post(t, s, "/season", "aim=money", "rows=1", "do=save"); w.Code != 303 || f.State().Settings.Season.Aim != "" || f.State().Settings.Season.Cash != nil {
		t.Errorf("%d, still kept", w.Code)
	}
	y := sampleYear()
	y.Plan.Tight = []season.Tight{{Limit: "cash at hand", Kind: season.OfCash, Weeks: []float64{4, 5}, Worth: 0.85, Unit: "unit of money"}}
	y.Eased = []string{"cash"}
	y.Farm.Aim = season.AimCastings
	said := func() string {
		return strings.Join(YearSaid(y, words.English(), qty.US, time.UTC, sampleNow, "USD"), "\n")
	}
	for _, want := range []string{"Money at hand, in 2 weeks", "100 USD more now would bring about 85 USD", "as if there were enough", "nearly the most castings"} {
		if !strings.Contains(said(), want) {
			t.Errorf("%q is not said in:\n%s", want, said())
		}
	}
	y.Farm.Aim, y.ForPromises, y.Sure = season.AimMoney, true, true
	if got := said(); !strings.Contains(got, "It is for what was promised: it reckons with 90 %") || !strings.Contains(got, "about 350 USD less in the middle year") || !strings.Contains(got, "Every promise is kept in nine years of ten.") {
		t.Error(got)
	}
	if y.Sure = false; !strings.Contains(said(), "no other keeps promises more often") {
		t.Error(said())
	}
}

// What one set does not go without a word when another saves a page that was opened
// before.
func TestSeasonChangedMeanwhile(t *testing.T) {
	s, f, _ := sample(t)
	mark := func(n *html.Node) string {
		t.Helper()
		boxes := all(n, "input[name="+drawnFrom+"]")
		if len(boxes) != 1 {
			t.Fatalf("%d marks of what the form was drawn from", len(boxes))
		}
		return drawnFrom + "=" + attr(boxes[0], "value")
	}
	old := mark(doc(t, get(t, s, "/season")))
	if w := post(t, s, "/season", "weeks=50", "rows=1", "do=save", old); w.Code != 303 {
		t.Fatalf("the first is answered with %d", w.Code)
	}
	if w := post(t, s, "/season", "weeks=50", "rows=1", "do=save", old); w.Code != 303 {
		t.Errorf("the same once more is answered with %d", w.Code)
	}
	w := post(t, s, "/season", "weeks=40", "crew=30", "rows=1", "do=save", old)
	n := doc(t, w)
	if w.Code != 422 || f.State().Settings.Season.Weeks != 50 || !strings.Contains(textOf(n, ".wrong"), "changed while the form was open") || len(all(n, "input[name=crew][value='30']")) != 1 {
		t.Fatalf("the second is answered with %d: %s", w.Code, textOf(n, ".wrong"))
	}
	if added := post(t, s, "/season", "weeks=40", "rows=1", "do=add", old); mark(doc(t, added)) != old {
		t.Error("a row more forgets what the form was drawn from")
	}
	if w = post(t, s, "/season", "weeks=40", "crew=30", "rows=1", "do=save", mark(n)); w.Code != 303 || f.State().Settings.Season.Weeks != 40 {
		t.Errorf("pressed once more it is answered with %d", w.Code)
	}
}

// The worms of a week are those of the drawing, in the table and in the sheet: the plan's
// own are fewer, as it lets go what it does not need.
func TestWormsOfAWeek(t *testing.T) {
	s, _, _ := sample(t)
	if page := get(t, s, "/season").Body.String(); !strings.Contains(page, "661 lb") || strings.Contains(page, "265 lb") {
		t.Error("the table of weeks tells other worms than the drawing")
	}
	if sheet := get(t, s, "/season.csv").Body.String(); !strings.Contains(sheet, ",38,300,4,") {
		t.Errorf("%.600s", sheet)
	}
}

// The page says first what is to be done in each of the next weeks, and money that is
// about so much to three figures.
func TestNextWeeksAreSaid(t *testing.T) {
	y := heatedYear()
	y.Plan.Steps[1].Start, y.Plan.Steps[1].Harvest, y.Plan.Steps[1].Collect, y.Plan.Steps[1].Sell = nil, nil, nil, nil
	y.Replay.Value = [3]float64{49246, 55371, 58193}
	s, _, _ := sample(t)
	s.Seasons = &seasonDesk{year: y}
	n := doc(t, get(t, s, "/season"))
	var said []string
	for i, when := range all(n, "[data-live=plan] dl.facts:first-of-type dt") {
		said = append(said, words1(when)+": "+words1(all(n, "[data-live=plan] dl.facts:first-of-type dd")[i]))
	}
	if len(said) < nextShown || !strings.Contains(said[0], "Tuesday 3 March: Begin 1 bin. Harvest 1 bin. Collect leaves, loose dry: 2.6 yd³. Sell") || !strings.Contains(said[1], "Nothing but to feed and look.") || !strings.Contains(said[2], "Heat Barn 1: keep the air at 59 °F.") {
		t.Errorf("%q", said)
	}
	if x := words1(n); !strings.Contains(x, "about 55,400 over what it costs; in nine years of ten between 49,200 and 58,200.") {
		t.Errorf("more figures are told than anybody knows: %.400s", x)
	}
}

// A box that was left empty says what the plan took for it and whence, one that was typed
// does not; what is amiss names its box.
func TestEmptyBoxesSayWhatIsTaken(t *testing.T) {
	s, _, _ := sample(t)
	y := sampleYear()
	y.Facts = append(y.Facts, app.SeasonFact{Key: "crew", Value: 120, From: app.WhenceAssumed}, app.SeasonFact{Key: "store", Value: 100, From: app.WhenceTyped})
	s.Seasons = &seasonDesk{year: y}
	n := doc(t, get(t, s, "/season"))
	if x := textOf(n, "#f-crew"); !strings.Contains(x, "Left empty, 120 (assumed).") {
		t.Error(x)
	}
	if x := textOf(n, "#f-store"); strings.Contains(x, "Left empty") {
		t.Error(x)
	}
	if len(all(n, "details[open] select[name=heat]")) != 0 {
		t.Error("heating stands open where nothing is heated")
	}
	wrong := doc(t, post(t, s, "/season", "heat=propane", "heatprice=free", "weeks=0", "rows=1", "do=save"))
	if x := textOf(wrong, ".wrong"); !strings.Contains(x, "Weeks to plan: “0” is not a number") || !strings.Contains(x, "Price of fuel or power: “free” is not a number") {
		t.Error(x)
	}
	if len(all(wrong, "details[open] select[name=heat]")) != 1 {
		t.Error("what is amiss is folded away")
	}
}

// A barn that is called Barn 1 is no "granero Barn 1", and one with the word in its name
// needs no other.
func TestBarnIsSaid(t *testing.T) {
	for name, want := range map[string][2]string{
		"1": {"Barn 1", "Granero 1"}, "Barn 1": {"Barn 1", "Granero 1"}, "Granero 2": {"Barn 2", "Granero 2"},
		"Old Barn": {"Old Barn", "Old Barn"}, "norte": {"norte barn", "granero norte"},
	} {
		if got := [2]string{barnSaid(words.English(), name), barnSaid(words.Spanish(), name)}; got != want {
			t.Errorf("%q is said %q, wanted %q", name, got, want)
		}
	}
}

// All that keeps a plan from being made is told, in the language of who reads, without
// the names that a file has for it.
func TestRefusedYearIsSaid(t *testing.T) {
	_, err := season.Solve(t.Context(), season.Farm{Weeks: 200, Crew: []float64{9000}}, nil, 0.01)
	for speak, want := range map[*words.Catalogue]string{
		words.English(): "A plan over 200 weeks is not made. 1 to 104 weeks.|The crew's hours are 9000 in week 1. Give a number from 0 to 3360 for each week.",
		words.Spanish(): "No se hace un plan de 200 semanas. De 1 a 104 semanas.|Las horas de la cuadrilla son 9000 en la semana 1. Dé un número de 0 a 3360 para cada semana.",
	} {
		p := person{Words: speak}
		if got := strings.Join(p.refused(err), "|"); got != want {
			t.Errorf("%q, wanted %q", got, want)
		}
	}
}
