package app

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
	"github.com/teambition/rrule-go"

	"wormyard/farm"
	"wormyard/internal/sheet"
	"wormyard/qty"
)

// Demand comes in files: a sheet with a row a sale that is to come, or a calendar with
// events such as "20 bags for the market". What is clear is read, what is not is asked
// about, and all of it is seen before it is kept. What the columns of a sheet mean is
// kept under the mark of its header row, as it is of a laboratory's (docs/adr/0069).

// DemandColumns are what a column of a sheet of demand may be; - is left out.
var DemandColumns = []string{"day", "week", "product", "amount", "unit", "price", "penalty", "-"}

// demandHeaders are the headers of what a column may be, in English and Spanish.
var demandHeaders = map[string][]string{
	"day":     {"day", "date", "due", "due date", "ship date", "delivery date", "deliver by", "wanted by", "needed by", "when", "fecha", "día", "dia", "fecha de entrega", "entrega"},
	"week":    {"week", "week of", "week no", "calendar week", "wk", "semana", "semana de"},
	"product": {"product", "item", "what", "description", "sku", "article", "producto", "artículo", "articulo", "descripción", "qué"},
	"amount":  {"amount", "quantity", "qty", "how much", "how many", "number", "units wanted", "volume", "cantidad", "cuánto", "cuántos", "número"},
	"unit":    {"unit", "units", "uom", "measure", "unidad", "unidades", "medida"},
	"price":   {"price", "price each", "unit price", "each", "price per unit", "rate", "precio", "precio unitario"},
	"penalty": {"penalty", "penalty each", "fine", "penalty per unit", "multa", "penalización", "pena"},
}

// DemandMap says what the columns of a sheet of demand mean.
type DemandMap struct {
	Columns map[string]string `json:"columns"`         // header -> one of DemandColumns
	Dates   string            `json:"dates,omitempty"` // "mdy" or "dmy"
}

func (m DemandMap) amiss() []Problem { return columnsAmiss(m.Columns, DemandColumns) }

// DemandAsk is what is said with a file of demand.
type DemandAsk struct {
	Map     *DemandMap           // nil: as remembered for such a sheet, or guessed from its headers
	Answers map[int]DemandAnswer // by row, of what was not clear
}

// DemandAnswer is what somebody says of a row that was not clear; empty leaves it out.
type DemandAnswer struct{ Product, Amount, Day string }

// DemandFile is what a file of demand says, read and not yet kept.
type DemandFile struct {
	Mark     string // of its header row; "" of a calendar
	Calendar bool
	Known    bool // what its columns mean was remembered
	Header   []string
	Map      DemandMap
	Rows     []DemandRow
	Past     int       // days that are over
	Far      int       // days after the weeks that are planned
	Problems []Problem // of the whole
}

// DemandRow is one row, or one event of a calendar with the days that it comes on.
type DemandRow struct {
	Row  int
	Said string // as it stands in the file
	Days []time.Time
	farm.SeasonDemand
	Ask     []Problem // what is not clear of it; Field is product, amount, day, price or penalty
	LeftOut bool      // as somebody said
}

// Clear says whether nothing is asked of a row.
func (r DemandRow) Clear() bool { return len(r.Ask) == 0 }

// Demand gives the rows that are clear as they are kept, a day each, marked as on top of
// what is usually sold or in its place.
func (f DemandFile) Demand(file string, beside bool) (out []farm.SeasonDemand) {
	for _, r := range f.Rows {
		if !r.Clear() || r.LeftOut {
			continue
		}
		for _, day := range r.Days {
			d := r.SeasonDemand
			d.Day, d.Beside, d.Source = day.Format(time.DateOnly), beside, file
			out = append(out, d)
		}
	}
	slices.SortStableFunc(out, func(a, b farm.SeasonDemand) int { return cmp.Compare(a.Day, b.Day) })
	return out
}

// Asked says whether a row is not clear.
func (f DemandFile) Asked() bool {
	return len(f.Problems) > 0 || slices.ContainsFunc(f.Rows, func(r DemandRow) bool { return !r.Clear() && !r.LeftOut })
}

// DemandFile reads a file of demand and writes nothing down. A file that cannot be read
// at all, and one that comes before there is a farm, gives a *sheet.Unreadable.
func (a *App) DemandFile(path string, ask DemandAsk) (DemandFile, error) {
	s := a.State()
	if len(s.Bins()) == 0 {
		return DemandFile{}, &sheet.Unreadable{Say: "There are no bins yet that could give what is asked for.", Try: "Write down the bins first, on the page First morning; then take the demand in."}
	}
	r := demandReader{seller: seller{s, castingsDensity(s, a.Usual())}, ask: ask, now: a.Now().In(s.Zone())}
	weeks := seasonWeeks
	if s.Settings.Season.Weeks > 0 {
		weeks = s.Settings.Season.Weeks
	}
	r.until = r.now.AddDate(0, 0, 7*weeks)
	var err error
	if strings.EqualFold(filepath.Ext(path), ".ics") {
		err = r.calendar(path)
	} else {
		err = r.sheet(path)
	}
	if err != nil {
		return DemandFile{}, err
	}
	if r.days > MostDemand {
		return DemandFile{}, &sheet.Unreadable{Say: fmt.Sprintf("The file has more than the %d sales that a plan takes.", MostDemand), Try: "Part it, or leave out what is far off."}
	}
	if len(r.out.Rows) == 0 && len(r.out.Problems) == 0 {
		r.out.Problems = append(r.out.Problems, Problem{Say: "Nothing in the file is of the weeks that are planned.", Try: "See which column is the day, or plan for more weeks."})
	}
	return r.out, nil
}

type demandReader struct {
	seller
	ask        DemandAsk
	now, until time.Time
	out        DemandFile
	days       int // of all rows
}

// take reads one row: how much of what, with what somebody said of it, and puts it down
// for its days.
func (r *demandReader) take(row DemandRow, product, amount string) {
	if a, said := r.ask.Answers[row.Row]; said {
		if row.LeftOut = a == (DemandAnswer{}); row.LeftOut {
			row.Ask = append(row.Ask, Problem{Field: "product"})
			r.put(row)
			return
		}
		product, amount = a.Product, a.Amount
		if day, err := time.ParseInLocation(time.DateOnly, a.Day, r.now.Location()); err == nil {
			row.Days = []time.Time{day}
			row.Ask = slices.DeleteFunc(row.Ask, func(p Problem) bool { return p.Field == "day" })
		}
	}
	row.Product = product
	var ok bool
	if row.Amount, row.Unit, ok = ReadAmount(amount); !ok || row.Amount == 0 {
		row.Ask = append(row.Ask, Problem{Field: "amount", Row: row.Row, Say: fmt.Sprintf("How much is wanted cannot be read: %q.", amount), Try: "Type a number for pieces, or an amount with its unit, such as 2 yd3."})
	} else if _, _, say, try := r.sold(product, row.Unit); say != "" {
		row.Ask = append(row.Ask, Problem{Field: "product", Row: row.Row, Say: say, Try: try})
	}
	r.put(row)
}

// put puts down a row.
func (r *demandReader) put(row DemandRow) {
	r.days += len(row.Days)
	r.out.Rows = append(r.out.Rows, row)
}

// within gives the days that are planned, and counts the others.
func (r *demandReader) within(days []time.Time) (out []time.Time) {
	for _, d := range days {
		switch {
		case d.AddDate(0, 0, 1).Before(r.now):
			r.out.Past++
		case d.After(r.until):
			r.out.Far++
		default:
			out = append(out, d)
		}
	}
	return out
}

// mostDemandRows is how many rows of a sheet are read, those that are past with them.
const mostDemandRows = 20_000

// sheet reads a table.
func (r *demandReader) sheet(path string) error {
	file, err := sheet.Open(path, sheet.Options{Zone: r.state.Zone()})
	if err != nil {
		return err
	}
	table, err := file.Plain(mostDemandRows + 1)
	if err != nil {
		return err
	}
	if table.More {
		return &sheet.Unreadable{Say: fmt.Sprintf("The sheet has more than %d rows.", mostDemandRows), Try: "Leave out what is past, or part it."}
	}
	if len(table.Rows) == 0 {
		return &sheet.Unreadable{Say: "There is no row in the sheet.", Try: "Save it with its headers and one sale a row."}
	}
	head := texts(table.Rows[0])
	guess := map[string]string{}
	taken := map[string]bool{}
	for _, h := range head {
		if h == "" {
			continue
		}
		guess[h] = "-"
		for _, role := range DemandColumns {
			if slices.Contains(demandHeaders[role], labWord(h)) && !taken[role] {
				guess[h], taken[role] = role, true
				break
			}
		}
	}
	r.out.Header, r.out.Map = head, DemandMap{Columns: guess}
	r.out.Mark = markOf(keyDemandMap, head)
	kept, known := remembered[DemandMap](r.state, keyDemandMap, r.out.Mark)
	r.out.Known = known
	switch {
	case r.ask.Map != nil:
		r.out.Map = *r.ask.Map
	case r.out.Known:
		r.out.Map = kept
	}
	r.out.Problems = append(r.out.Problems, r.out.Map.amiss()...)
	column := func(role string) int {
		return slices.IndexFunc(head, func(h string) bool { return h != "" && r.out.Map.Columns[h] == role })
	}
	at := map[string]int{}
	for _, role := range DemandColumns {
		at[role] = column(role)
	}
	if at["amount"] < 0 {
		r.out.Problems = append(r.out.Problems, Problem{Row: table.Rows[0].Number, Say: "It is not said which column holds how much is wanted.", Try: "Choose it among the columns."})
	}
	if at["day"] < 0 && at["week"] < 0 {
		r.out.Problems = append(r.out.Problems, Problem{Row: table.Rows[0].Number, Say: "It is not said which column holds the day or the week.", Try: "Choose it among the columns."})
	}
	if len(r.out.Problems) > 0 {
		return nil
	}
	for _, line := range table.Rows[1:] {
		cell := func(role string) sheet.PlainCell {
			if i := at[role]; i >= 0 && i < len(line.Cells) {
				return line.Cells[i]
			}
			return sheet.PlainCell{}
		}
		r.line(table, line.Number, texts(line), cell)
	}
	return nil
}

// pieceWords are units that are pieces.
var pieceWords = []string{"", "piece", "pieces", "pcs", "pc", "each", "ea", "unit", "units", "pieza", "piezas", "pza", "pzas"}

func (r *demandReader) line(table sheet.Plain, number int, said []string, cell func(string) sheet.PlainCell) {
	row := DemandRow{Row: number, Said: strings.Join(slices.DeleteFunc(slices.Clone(said), func(t string) bool { return t == "" }), ", ")}
	ask := func(field, say, try string) {
		row.Ask = append(row.Ask, Problem{Field: field, Row: number, Say: say, Try: try})
	}
	text := func(role string) string { return strings.TrimSpace(cell(role).Text) }
	role := "day"
	if text(role) == "" {
		role = "week"
	}
	week, named := r.week(text(role), role == "week")
	switch when := text(role); {
	case named:
		row.Days = []time.Time{week}
	case when == "":
		ask("day", "It is not said when this is wanted.", "Type the day, such as 2026-03-02.")
	default:
		if day, bad := table.DayIn(cell(role), r.out.Map.Dates, r.now.Location()); bad != nil {
			ask("day", bad.Say, bad.Try)
		} else {
			row.Days = []time.Time{day}
		}
	}
	if some := len(row.Days) > 0; some {
		if row.Days = r.within(row.Days); len(row.Days) == 0 {
			return
		}
	}
	money := func(role string) *qty.Money {
		t := strings.TrimSpace(strings.Trim(text(role), "$€"))
		if t == "" {
			return nil
		}
		v, ok := Price(t)
		if !ok {
			ask(role, fmt.Sprintf("%q is no price.", text(role)), "Mend it in the file, or leave the row out.")
			return nil
		}
		m := qty.Money(v.InexactFloat64())
		return &m
	}
	row.Price, row.Penalty = money("price"), money("penalty")
	product, amount, unit := text("product"), text("amount"), text("unit")
	switch lower := strings.ToLower(unit); {
	case slices.Contains(pieceWords, lower):
	case product == "" && slices.Contains(bagNames, lower):
		product = unit
	case slices.Contains(bagNames, lower):
	default:
		amount += " " + unit
	}
	if _, _, ok := ReadAmount(amount); !ok {
		if n, rest, cut := counted(amount); cut { // 20 bags in one cell
			amount = n
			if product == "" {
				product = rest
			}
		}
	}
	r.take(row, product, amount)
}

var (
	weekNamed  = regexp.MustCompile(`(?i)^(?:([0-9]{4})[- ]?)?(?:w|wk|week|kw|semana|sem)\.? ?([0-9]{1,2})$`)
	weekNumber = regexp.MustCompile(`^[0-9]{1,2}$`)
)

// week reads a week of the calendar (ISO 8601) as its Thursday: 2026-W14, week 14, and
// where a column is of weeks 14. One without a year is the next of its number.
func (r *demandReader) week(text string, bare bool) (time.Time, bool) {
	m := weekNamed.FindStringSubmatch(text)
	if m == nil && bare && weekNumber.MatchString(text) {
		m = []string{"", "", text}
	}
	if m == nil {
		return time.Time{}, false
	}
	n, _ := strconv.Atoi(m[2])
	year, _ := strconv.Atoi(m[1])
	first := func(year int) time.Time { // 4 January is in week 1
		return mondayOf(time.Date(year, 1, 4, 0, 0, 0, 0, r.now.Location()), r.now.Location()).AddDate(0, 0, 7*(n-1))
	}
	if year == 0 {
		if year, _ = r.now.ISOWeek(); first(year).Before(mondayOf(r.now, r.now.Location())) {
			year++
		}
	}
	day := first(year)
	_, got := day.ISOWeek()
	return day.AddDate(0, 0, 3), got == n
}

var (
	countedBegin = regexp.MustCompile(`(?:^|[\s(])([0-9][0-9.,/]*[½¼¾]?)\s*([^\s0-9][^0-9]*.*)$`)
	partsOf      = regexp.MustCompile(`\s*(?:[;+&\n]|, | and | y )\s*`)
	buyerFrom    = regexp.MustCompile(`(?i)\s(?:for|to|@|at|–|-|para|a|en)\s.*$|\s*\(.*$`)
	ofBefore     = regexp.MustCompile(`(?i)^(?:of|x|×|de)\s+`)
)

// counted parts a text that has a number with words after it: 20, bags of 1 ft3.
func counted(text string) (n, rest string, ok bool) {
	m := countedBegin.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || strings.HasPrefix(m[2], ":") { // a time of the day
		return "", "", false
	}
	return strings.TrimRight(m[1], ".,"), strings.TrimSpace(ofBefore.ReplaceAllString(m[2], "")), true
}

// spoken reads how much of what a text asks for, part by part: "Market: 20 bags, 5 lb
// worms". What has no number with words after it says nothing.
func (r *demandReader) spoken(text string) (out [][2]string) {
	for _, part := range partsOf.Split(text, -1) {
		if _, after, cut := strings.Cut(part, ": "); cut {
			part = after
		}
		n, rest, ok := counted(part)
		if !ok {
			continue
		}
		rest = strings.TrimSpace(buyerFrom.ReplaceAllString(" "+rest, ""))
		product, amount := rest, n
		words := strings.Fields(rest)
		for k := min(3, len(words)); k > 0; k-- {
			if try := n + " " + strings.Join(words[:k], " "); readsWithUnit(try) {
				amount, product = try, ofBefore.ReplaceAllString(strings.Join(words[k:], " ")+" ", "")
				break
			}
		}
		out = append(out, [2]string{strings.TrimSpace(product), amount})
	}
	return out
}

func readsWithUnit(text string) bool {
	_, unit, ok := ReadAmount(text)
	return ok && unit != ""
}

// calendar reads a calendar (RFC 5545), an event with the days that it comes on as one row
// for each thing that it asks for.
func (r *demandReader) calendar(path string) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	cal, err := ics.ParseCalendar(strings.NewReader(string(data)))
	if err != nil || !strings.Contains(string(data), "BEGIN:VCALENDAR") {
		return &sheet.Unreadable{Say: "The file is no calendar that can be read.", Try: "Save it anew from the calendar as iCalendar (.ics)."}
	}
	r.out.Calendar = true
	number := 0
	for _, e := range cal.Events() {
		if p := e.GetProperty(ics.ComponentPropertyStatus); p != nil && strings.EqualFold(p.Value, "CANCELLED") {
			continue
		}
		value := func(key ics.ComponentProperty) string {
			if p := e.GetProperty(key); p != nil {
				return strings.TrimSpace(p.Value)
			}
			return ""
		}
		say, more := value(ics.ComponentPropertySummary), value(ics.ComponentPropertyDescription)
		row := DemandRow{Said: say}
		days, dayErr := r.daysOf(e)
		if dayErr != nil {
			row.Ask = append(row.Ask, Problem{Field: "day", Say: fmt.Sprintf("The day of %q cannot be read.", say), Try: "Type the day, such as 2026-03-02."})
		} else if row.Days = r.within(days); len(row.Days) == 0 {
			continue
		}
		asks := r.spoken(say)
		if len(asks) == 0 {
			asks = r.spoken(more)
		}
		if len(asks) == 0 {
			asks = [][2]string{{"", ""}}
		}
		for _, x := range asks {
			if r.days > MostDemand { // it is refused
				return nil
			}
			number++
			row.Row = number
			row.Ask = slices.Clone(row.Ask)
			r.take(row, x[0], x[1])
		}
	}
	return nil
}

// mostTimes is how often an event may come within the weeks of a plan.
const mostTimes = 750

// mostSteps is how many times of an event are looked through from its first on: a day
// each for more than two hundred years.
const mostSteps = 100_000

// daysOf gives the days of an event, up to the end of the weeks that are planned.
func (r *demandReader) daysOf(e *ics.VEvent) ([]time.Time, error) {
	zone := r.now.Location()
	start := e.GetProperty(ics.ComponentPropertyDtStart)
	if start == nil {
		return nil, errors.New("no start")
	}
	at, err := e.GetStartAt()
	if len(start.Value) == len("20060102") { // a day, in no zone
		at, err = time.ParseInLocation("20060102", start.Value, zone)
	} else if err != nil && len(start.ICalParameters["TZID"]) > 0 { // a zone by a name of its own
		at, err = time.ParseInLocation("20060102T150405", start.Value, zone)
	} else if !strings.HasSuffix(start.Value, "Z") && len(start.ICalParameters["TZID"]) == 0 { // as the clock of the farm has it
		at, err = time.ParseInLocation("20060102T150405", start.Value, zone)
	}
	if err != nil {
		return nil, err
	}
	times := []time.Time{at}
	var set rrule.Set
	set.DTStart(at)
	again := false
	for _, p := range e.GetProperties(ics.ComponentPropertyRrule) {
		o, err := rrule.StrToROptionInLocation(p.Value, at.Location())
		if err != nil {
			return nil, err
		}
		if o.Freq > rrule.DAILY { // by the hour or second: no sale comes so, and it could be looked through for ever
			return nil, errors.New("too often")
		}
		o.Dtstart = at
		rule, err := rrule.NewRRule(*o)
		if err != nil {
			return nil, err
		}
		set.RRule(rule)
		again = true
	}
	if again {
		for _, p := range e.GetProperties(ics.ComponentPropertyExdate) {
			for _, t := range strings.Split(p.Value, ",") {
				for _, layout := range []string{"20060102T150405Z", "20060102T150405", "20060102"} {
					if x, err := time.ParseInLocation(layout, t, at.Location()); err == nil {
						if layout == "20060102" {
							x = x.Add(at.Sub(time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, at.Location())))
						}
						set.ExDate(x)
						break
					}
				}
			}
		}
		next, begin := set.Iterator(), r.now.AddDate(0, 0, -1)
		times = nil
		for n := 0; ; n++ {
			t, ok := next()
			if !ok || t.After(r.until) {
				break
			}
			if !t.Before(begin) {
				times = append(times, t)
			}
			if n == mostSteps || len(times) > mostTimes {
				return nil, errors.New("too often")
			}
		}
	}
	out := make([]time.Time, 0, len(times))
	for _, t := range times {
		t = t.In(zone)
		out = append(out, time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, zone))
	}
	return out, nil
}

// KeepDemand gives the settings that keep what a file says: in place of what came of the
// same file before, beside what came of others; with remember also what its columns mean.
func KeepDemand(s *farm.State, f DemandFile, file string, beside, remember bool) (map[string]any, error) {
	set := s.Settings.Season
	set.Demand = append(slices.DeleteFunc(slices.Clone(set.Demand), func(d farm.SeasonDemand) bool { return d.Source == file }), f.Demand(file, beside)...)
	out := map[string]any{farm.KeySeason: set}
	if !remember || f.Calendar {
		return out, nil
	}
	b, fresh, err := toRemember(s, keyDemandMap, f.Mark, f.Map)
	if err == nil && fresh {
		out[b.Key] = f.Map
	}
	return out, err
}
