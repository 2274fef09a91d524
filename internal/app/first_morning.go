package app

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// FirstForm is a farm as told on its first morning, each value as typed ("10
// in", "3 months", "middle"). Everything but the barns may be left empty; what
// is taken then is told. It is also one CSV of three columns (ReadFirst).
type FirstForm struct {
	Farm  string `json:"farm,omitempty"`
	Zone  string `json:"zone,omitempty"`  // America/Los_Angeles; UTC when empty
	Units string `json:"units,omitempty"` // us or metric; us when empty

	Place     string   `json:"place,omitempty"`    // of the site, in words
	Weather   string   `json:"weather,omitempty"`  // normals, monthly, typed, own record
	Altitude  string   `json:"altitude,omitempty"` // "600 ft"
	MonthLow  []string `json:"month_low,omitempty"`
	MonthHigh []string `json:"month_high,omitempty"`
	LowToday  string   `json:"low_today,omitempty"`
	HighToday string   `json:"high_today,omitempty"`

	Barns []FirstBarn `json:"barns"`
	Names string      `json:"names,omitempty"` // the painted name of the first bin; "B1" when empty

	Length string `json:"length,omitempty"` // inside of a bin
	Width  string `json:"width,omitempty"`
	Deep   string `json:"deep,omitempty"`
	Wall   string `json:"wall,omitempty"`
	Liner  string `json:"liner,omitempty"`
	Holes  string `json:"holes,omitempty"` // area in all sides, "20 sq in" is not taken: "0.01 m2", "0.1 sq ft"
	Cover  string `json:"cover,omitempty"`

	Depth        string `json:"depth,omitempty"`      // of a bed
	Material     string `json:"material,omitempty"`   // what the beds are made of
	Age          string `json:"age,omitempty"`        // "4 months"
	LastFed      string `json:"last_fed,omitempty"`   // "5 days"
	LastFedDepth string `json:"fed_depth,omitempty"`  // "1.5 in"
	Stock        string `json:"stock,omitempty"`      // low, middle, high, or a mass a bin
	FeedEvery    string `json:"feed_every,omitempty"` // "7 days"
	Visit        string `json:"visit,omitempty"`      // how often a bin low in a stack is seen

	Except []string    `json:"except,omitempty"` // "row 3: age 2 months", "B17 empty"
	Piles  []FirstPile `json:"piles,omitempty"`
	Mixes  []FirstMix  `json:"mixes,omitempty"`
	People []string    `json:"people,omitempty"`
}

// FirstMix is a batch that lies ready, or the usual mix that can be made at
// once from the piles.
type FirstMix struct {
	Name    string `json:"name"`
	Purpose string `json:"purpose,omitempty"` // feed when empty
	Parts   string `json:"parts"`             // "2 yd3 solids, 1 yd3 chips"
}

// FirstBarn is a barn as laid out: rows of stacks of bins.
type FirstBarn struct {
	Name   string `json:"name"`
	Rows   string `json:"rows"`   // how many
	Stacks string `json:"stacks"` // in each row; "8, 8, 7" when they differ
	High   string `json:"high"`   // bins in a stack
	Length string `json:"length,omitempty"`
	Width  string `json:"width,omitempty"`
	Height string `json:"height,omitempty"`
}

// FirstPile is something that lies in the yard.
type FirstPile struct {
	Name     string `json:"name"`
	Material string `json:"material"`
	Amount   string `json:"amount"` // "30 yd3", "2 short tons"
	Age      string `json:"age,omitempty"`
	Declared string `json:"declared,omitempty"` // "dewormer, dye"
}

// firstMaterial is what a bed is taken to be of when nobody says: an everyday
// starting bed and feed of the trade. Common practice, no source.
const firstMaterial = "horse manure with bedding"

// first is what is told of one bed, or of all.
type first struct {
	empty            bool
	depth, fedDepth  qty.Metre
	material, cover  string
	age, ageL, ageH  qty.Days
	fed              qty.Days
	fedSaid, ageSaid bool
	stock            farm.Stock // in each bin
}

type morning struct {
	form     FirstForm
	usual    farm.Usual
	now      time.Time
	material func(string) error
	area     float64
	places   *barn.Places
	problems []Problem
	entries  []journal.Entry
}

// FirstMorning turns what was told into the entries of a new journal: settings,
// bins built where they stand, beds with their age and last feeding, stock, and
// what lies in the yard. Ranges are as wide as what was told. The times are such
// that a bin is as old as the oldest bed can be and a pile as old as was said.
// All problems come at once; when none is refused the entries can be recorded.
func (a *App) FirstMorning(form FirstForm) ([]journal.Entry, []Problem) {
	m := morning{form: form, usual: a.trade.Usual, now: a.Clock().UTC().Truncate(time.Minute), places: barn.NewPlaces()}
	m.material = func(name string) error { _, err := a.trade.Library.Find(name); return err }
	m.make()
	for i := range m.problems {
		if !m.problems[i].Doubt {
			return nil, m.problems
		}
	}
	return m.entries, m.problems
}

// Begin records a first morning, all or nothing. It is refused when the journal
// holds bins already. The problems are those of FirstMorning and of every entry.
func (a *App) Begin(ctx context.Context, form FirstForm, who string, confirmed bool) (saved int, found []Problem, err error) {
	a.writing.Lock()
	defer a.writing.Unlock()
	if n := len(a.State().Bins()); n > 0 {
		return 0, []Problem{{Field: "barns", Say: fmt.Sprintf("This farm has %d bins already.", n), Try: "Add bins on the page Barn, or begin with a new file."}}, nil
	}
	entries, found := a.FirstMorning(form)
	if entries == nil || (len(found) > 0 && !confirmed) {
		return 0, found, nil
	}
	for i := range entries {
		entries[i].Who = who
	}
	acks, err := a.record(ctx, entries, confirmed)
	if err != nil {
		return 0, found, err
	}
	for _, ack := range acks {
		if ack.Saved {
			saved++
			continue
		}
		for _, p := range ack.Problems {
			if !slices.Contains(found, p) {
				found = append(found, p)
			}
		}
	}
	return saved, found, nil
}

func (m *morning) refuse(field, say, try string) {
	m.problems = append(m.problems, Problem{Field: field, Say: say, Try: try})
}

func (m *morning) doubt(field, say, try string) {
	m.problems = append(m.problems, Problem{Field: field, Say: say, Try: try, Doubt: true})
}

// typed reads a quantity, or gives what is usual when nothing was typed.
func (m *morning) typed(field, text string, of qty.Dimension, usual float64) float64 {
	if strings.TrimSpace(text) == "" {
		return usual
	}
	v, err := qty.Parse(text, of)
	if err != nil {
		m.parse(field, err)
		return usual
	}
	if v < 0 && of != qty.Temperature {
		m.refuse(field, fmt.Sprintf("%q is less than 0.", text), "Type it without the minus sign if that was a slip.")
		return usual
	}
	return v
}

func (m *morning) parse(field string, err error) {
	if p, ok := err.(*qty.ParseError); ok {
		m.refuse(field, p.Say, p.Try)
		return
	}
	m.refuse(field, err.Error(), "Type it again.")
}

// span reads a time in days, weeks, months or years.
func (m *morning) span(field, text string) (qty.Days, bool) {
	d, err := Span(text)
	if err != nil {
		m.parse(field, err)
		return 0, false
	}
	return d, true
}

// Span reads a length of time as a person types it: "5 days", "3 weeks", "2
// months", "1 1/2 years", "today". A month is a twelfth of 365.25 days. The
// error is a *qty.ParseError.
func Span(text string) (qty.Days, error) {
	t := strings.ToLower(strings.TrimSpace(text))
	t = strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(t, "ago"), "old"))
	switch t {
	case "today", "new", "fresh":
		return 0, nil
	case "yesterday":
		return 1, nil
	}
	for _, u := range []struct {
		names string
		days  float64
	}{{"months|month|mo", 365.25 / 12}, {"years|year|yrs|yr|y", 365.25}} {
		for _, n := range strings.Split(u.names, "|") {
			if head, ok := strings.CutSuffix(t, n); ok {
				v, ok := howMany(head)
				if !ok || v < 0 {
					return 0, &qty.ParseError{Say: fmt.Sprintf("%q is not a length of time.", text), Try: `Type one such as "5 days", "3 weeks" or "2 months".`}
				}
				return qty.Days(v * u.days), nil
			}
		}
	}
	h, err := qty.Parse(t, qty.Duration)
	if err != nil || h < 0 {
		return 0, &qty.ParseError{Say: fmt.Sprintf("%q is not a length of time.", text), Try: `Type one such as "5 days", "3 weeks" or "2 months".`}
	}
	return qty.Days(h / 24), nil
}

// howMany reads a number as people write it: "2", "1.5", "1 1/2", "½", "a".
func howMany(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if s == "a" || s == "one" {
		return 1, true
	}
	v, err := qty.Parse(s+" h", qty.Duration)
	return v, err == nil
}

func (m *morning) make() {
	f := &m.form
	length := m.typed("length", f.Length, qty.Length, m.usual.BoxLength)
	width := m.typed("width", f.Width, qty.Length, m.usual.BoxWidth)
	deep := m.typed("deep", f.Deep, qty.Length, m.usual.BoxDepth)
	m.area = length * width
	if m.area <= 0 || deep <= 0 {
		m.refuse("length", "A bin has no length, width or depth.", "Measure one inside and type its size.")
	}
	if f.Length == "" || f.Width == "" || f.Deep == "" {
		u := m.units()
		m.doubt("length", fmt.Sprintf("The size of the bins is not told in full; %s by %s and %s deep inside is taken.", u.Depth(qty.Metre(length)), u.Depth(qty.Metre(width)), u.Depth(qty.Metre(deep))), "Measure one, or say yes.")
	}
	if f.Cover != "" && !slices.Contains([]string{"none", "cloth", "board", "film"}, f.Cover) {
		m.refuse("cover", fmt.Sprintf("The cover is %q.", f.Cover), "Choose none, cloth, board or film.")
	}
	bins := m.lay()
	all := m.all()
	told := map[string]first{}
	for _, b := range bins {
		told[b.name] = all
	}
	m.except(told)
	oldest := qty.Days(1)
	for _, t := range told {
		if !t.empty {
			oldest = max(oldest, t.ageH+1)
		}
		if !t.empty && float64(t.depth) > deep {
			m.refuse("depth", fmt.Sprintf("A bed is %s deep and the bins are %s deep.", m.units().Depth(t.depth), m.units().Depth(qty.Metre(deep))), "Look at the numbers and their units again.")
			break
		}
	}
	piles, pileAt := m.piles()
	begin := m.now.Add(-time.Duration(float64(oldest) * 24 * float64(time.Hour)))
	for _, at := range pileAt {
		if at.Before(begin) {
			begin = at
		}
	}
	begin = begin.Truncate(time.Hour)
	m.settings(begin)
	m.build(begin, bins, length, width, deep)
	for i, p := range piles {
		m.add("receive", pileAt[i], p)
	}
	m.mixes(piles)
	m.beds(bins, told)
	m.today()
}

func (m *morning) units() qty.System {
	if m.form.Units == "metric" {
		return qty.Metric
	}
	return qty.US
}

func (m *morning) add(kind string, at time.Time, body any) {
	m.entries = append(m.entries, journal.Entry{Kind: kind, At: at, Body: body})
}

func (m *morning) set(at time.Time, key string, value any) {
	raw, err := json.Marshal(value)
	if err != nil {
		m.refuse(key, "The setting cannot be kept: "+err.Error()+".", "Type it again.")
		return
	}
	m.add("setting", at, &journal.Setting{Key: key, Value: raw})
}

func (m *morning) settings(at time.Time) {
	f := &m.form
	if f.Units != "" && f.Units != "us" && f.Units != "metric" {
		m.refuse("units", fmt.Sprintf("The units are %q.", f.Units), "Choose us or metric.")
	}
	if f.Zone != "" {
		if _, err := time.LoadLocation(f.Zone); err != nil || f.Zone == "Local" {
			m.refuse("zone", fmt.Sprintf("%q is not a time zone we know.", f.Zone), "Choose one such as America/Los_Angeles or Europe/Dublin.")
		} else {
			m.set(at, farm.KeyZone, f.Zone)
		}
	}
	if f.Farm != "" {
		m.set(at, farm.KeyFarm, f.Farm)
	}
	m.set(at, farm.KeyUnits, map[qty.System]string{qty.US: "us", qty.Metric: "metric"}[m.units()])
	site := farm.SiteSetup{Place: f.Place, Source: f.Weather, AltitudeM: m.typed("altitude", f.Altitude, qty.Length, 0)}
	for _, t := range []struct {
		field string
		texts []string
		into  *[]qty.Celsius
	}{{"month_low", f.MonthLow, &site.MonthLowC}, {"month_high", f.MonthHigh, &site.MonthHighC}} {
		if strings.TrimSpace(strings.Join(t.texts, "")) == "" {
			continue
		}
		for i, text := range t.texts {
			*t.into = append(*t.into, qty.Celsius(m.typed(fmt.Sprintf("%s[%d]", t.field, i), text, qty.Temperature, 0)))
			if strings.TrimSpace(text) == "" {
				m.refuse(fmt.Sprintf("%s[%d]", t.field, i), fmt.Sprintf("The month %s is empty.", time.Month(i+1)), "Give all twelve, or none.")
			}
		}
	}
	if site.Source == "" && len(site.MonthLowC) == 12 {
		site.Source = "monthly"
	}
	raw, _ := json.Marshal(site) // plain numbers and words
	for _, p := range setting(&journal.Setting{Key: farm.KeySite, Value: raw}) {
		m.refuse("weather", p.Say, p.Try)
	}
	if site.Place == "" && site.Source == "" && f.LowToday == "" {
		m.doubt("place", "Nothing is told of the weather; the normals of the nearest record serve.", "Tell the place, twelve monthly lows and highs, or today's low and high; or say yes.")
	}
	m.set(at, farm.KeySite, site)
	every, _ := m.spanOr("feed_every", f.FeedEvery, qty.Days(m.usual.FeedEvery))
	visit, _ := m.spanOr("visit", f.Visit, 0)
	m.set(at, farm.KeyHabits, farm.HabitSetup{FeedDepthM: qty.Metre(m.typed("fed_depth", f.LastFedDepth, qty.Length, m.usual.FeedDepth)),
		FeedEveryDays: float64(every), VisitDays: float64(visit)})
	for i, p := range f.People {
		if strings.TrimSpace(p) == "" || strings.Contains(p, "/") {
			m.refuse(fmt.Sprintf("people[%d]", i), fmt.Sprintf("The name %q is empty or has a stroke in it.", p), "Type a name, or leave the line out.")
			continue
		}
		m.set(at, farm.KeyPerson+strings.TrimSpace(p), struct{}{})
	}
	for i, b := range f.Barns {
		at0 := fmt.Sprintf("barns[%d].", i)
		v := farm.BarnSetup{LengthM: m.typed(at0+"length", b.Length, qty.Length, 0), WidthM: m.typed(at0+"width", b.Width, qty.Length, 0), HeightM: m.typed(at0+"height", b.Height, qty.Length, 0)}
		rows, stacks, high := m.counts(i, b, false)
		for r := range rows {
			v.Rows = append(v.Rows, farm.BarnRow{Name: strconv.Itoa(r + 1), Stacks: stacks[r], High: high})
		}
		m.set(at, farm.KeyBarn+strings.TrimSpace(b.Name), v)
	}
}

func (m *morning) spanOr(field, text string, usual qty.Days) (qty.Days, bool) {
	if strings.TrimSpace(text) == "" {
		return usual, false
	}
	return m.span(field, text)
}

// counts reads how many rows, stacks by row, and levels a barn has.
func (m *morning) counts(i int, b FirstBarn, tell bool) (rows int, stacks []int, high int) {
	whole := func(field, what, text string, most int) int {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || n < 1 || n > most {
			if tell {
				m.refuse(fmt.Sprintf("barns[%d].%s", i, field), fmt.Sprintf("The number of %s in barn %s is %q.", what, b.Name, text), fmt.Sprintf("Type a whole number from 1 to %d.", most))
			}
			return 0
		}
		return n
	}
	rows = whole("rows", "rows", b.Rows, 200)
	high = whole("high", "bins in a stack", b.High, 12)
	list := strings.FieldsFunc(b.Stacks, func(r rune) bool { return r == ',' || r == ';' || r == ' ' })
	if len(list) == 0 {
		list = []string{""}
	}
	for r := range rows {
		text := list[len(list)-1]
		if r < len(list) {
			text = list[r]
		}
		stacks = append(stacks, whole("stacks", "stacks in a row", text, 500))
	}
	if tell && len(list) > 1 && len(list) != rows && rows > 0 {
		m.refuse(fmt.Sprintf("barns[%d].stacks", i), fmt.Sprintf("Barn %s has %d rows and %d numbers of stacks.", b.Name, rows, len(list)), "Give one number for all rows, or one for each.")
	}
	return rows, stacks, high
}

type firstBin struct {
	name string
	slot barn.Slot
}

// lay gives the bins where they stand, named in the order in which a crew walks.
func (m *morning) lay() []firstBin {
	f := &m.form
	if len(f.Barns) == 0 {
		m.refuse("barns", "No barn is told.", "Give a barn its name, rows, stacks and how high they are.")
	}
	name := strings.TrimSpace(f.Names)
	if name == "" {
		name = "B1"
	}
	head := strings.TrimRight(name, "0123456789")
	digits := name[len(head):]
	next, err := strconv.Atoi(digits)
	if err != nil {
		m.refuse("names", fmt.Sprintf("The name of the first bin, %q, does not end in a number to count on from.", name), "Type one such as B1 or 101.")
		return nil
	}
	pad := 0
	if strings.HasPrefix(digits, "0") {
		pad = len(digits)
	}
	var out []firstBin
	seen := map[string]bool{}
	for i, b := range f.Barns {
		b.Name = strings.TrimSpace(b.Name)
		if b.Name == "" || strings.ContainsAny(b.Name, "/,;\"") {
			m.refuse(fmt.Sprintf("barns[%d].name", i), fmt.Sprintf("The name of barn %d is %q.", i+1, b.Name), "Give it a name without strokes, commas or quotation marks, such as North.")
			continue
		}
		if seen[strings.ToLower(b.Name)] {
			m.refuse(fmt.Sprintf("barns[%d].name", i), fmt.Sprintf("Two barns are called %s.", b.Name), "Give each its own name.")
			continue
		}
		seen[strings.ToLower(b.Name)] = true
		rows, stacks, high := m.counts(i, b, true)
		for r := range rows {
			for s := range stacks[r] {
				for l := range high {
					n := firstBin{fmt.Sprintf("%s%0*d", head, pad, next), barn.Slot{Barn: b.Name, Row: strconv.Itoa(r + 1), Stack: s + 1, Level: l + 1}}
					next++
					out = append(out, n)
					m.places.Put(n.name, n.slot)
				}
			}
		}
	}
	if len(out) > 5000 {
		m.refuse("barns", fmt.Sprintf("That makes %d bins.", len(out)), "Look at the rows, stacks and heights again; up to 5,000 bins can be set up at once.")
		return nil
	}
	return out
}

// all reads what is told of all beds.
func (m *morning) all() first {
	f := &m.form
	t := first{material: strings.TrimSpace(f.Material), cover: f.Cover}
	if strings.TrimSpace(f.Depth) == "" {
		m.doubt("depth", fmt.Sprintf("The depth of the beds is not told; %s is taken.", m.units().Depth(qty.Metre(m.usual.FirstDepth))), "Measure some, or say yes.")
	}
	t.depth = qty.Metre(m.typed("depth", f.Depth, qty.Length, m.usual.FirstDepth))
	if f.Depth != "" && t.depth == 0 {
		m.refuse("depth", "The depth of the beds is 0.", "Type how deep they are; bins without a bed are exceptions, as in \"B17 empty\".")
	}
	if t.material == "" {
		t.material = firstMaterial
		m.doubt("material", fmt.Sprintf("What the beds are made of is not told; %s is taken.", firstMaterial), "Name the material that most of it was, or say yes.")
	} else if err := m.material(t.material); err != nil {
		m.refuse("material", err.Error(), "Name the material of the library that comes nearest.")
	}
	t.setAge(m.spanOr("age", f.Age, qty.Days(m.usual.FirstAge)))
	if f.Age == "" {
		m.doubt("age", fmt.Sprintf("The age of the beds is not told; about %.0f months is taken, give or take a lot.", float64(t.age)/30.44), "Tell about how old they are, or say yes.")
	}
	m.ages(&t)
	t.fed, t.fedSaid = m.spanOr("last_fed", f.LastFed, qty.Days(m.usual.FeedEvery/2))
	t.fedDepth = qty.Metre(m.typed("fed_depth", f.LastFedDepth, qty.Length, m.usual.FeedDepth))
	stock := f.Stock
	if stock == "" {
		stock = "middle"
		m.doubt("stock", "How many worms there are is not told; a middle stock is taken.", "Say low, middle or high, or a mass in each bin; or say yes.")
	}
	t.stock = m.stock("stock", stock)
	return t
}

func (t *first) setAge(d qty.Days, said bool) { t.age, t.ageSaid = d, said }

// ages gives an age its range.
func (m *morning) ages(t *first) {
	r := m.usual.AgeRange
	if !t.ageSaid {
		r = m.usual.UnsaidRange
	}
	t.ageL, t.ageH = t.age/qty.Days(r), t.age*qty.Days(r)
}

// stock reads low, middle, high or a mass in each bin.
func (m *morning) stock(field, text string) farm.Stock {
	text = strings.ToLower(strings.TrimSpace(text))
	per := 0.0
	switch text {
	case "low", "few":
		per = m.usual.StockLow
	case "middle", "mid", "medium", "usual":
		per = m.usual.StockMiddle
	case "high", "many":
		per = m.usual.StockHigh
	case "none", "0":
		return farm.Stock{}
	}
	if per > 0 {
		kg := qty.LiveKg(per * m.area)
		r := qty.LiveKg(m.usual.StockRange)
		return farm.Stock{Low: kg / r, Best: kg, High: kg * r}
	}
	v, err := qty.Parse(text, qty.Mass)
	if err != nil || v < 0 {
		m.refuse(field, fmt.Sprintf("The stock is %q.", text), `Say low, middle or high, or a mass in each bin such as "12 lb".`)
		return farm.Stock{}
	}
	r := m.usual.StockTypedRange
	return farm.Stock{Low: qty.LiveKg(v / r), Best: qty.LiveKg(v), High: qty.LiveKg(v * r)}
}

// except reads the exceptions, one a line, later ones over earlier ones.
func (m *morning) except(told map[string]first) {
	for i, line := range m.form.Except {
		if strings.TrimSpace(line) == "" {
			continue
		}
		field := fmt.Sprintf("except[%d]", i)
		who, what, ok := strings.Cut(line, ":")
		if !ok {
			if head, found := strings.CutSuffix(strings.TrimRight(line, " ."), " empty"); found {
				who, what = head, "empty"
			} else {
				m.refuse(field, fmt.Sprintf("%q does not say what is different.", line), `Write the bins, a colon and what is so, such as "row 3: age 2 months" or "B17: empty".`)
				continue
			}
		}
		bins, wrong := m.places.Select(who)
		for _, e := range wrong {
			m.refuse(field, e.Say, e.Try)
		}
		if len(wrong) > 0 {
			continue
		}
		change := m.change(field, what)
		for _, b := range bins {
			t := told[b]
			change(&t)
			told[b] = t
		}
	}
}

// change reads what is different: "empty", "age 2 months", "depth 8 in", "fed 3
// days ago", "feed depth 1 in", "stock low", "cover film", "material leaves",
// several parted by commas.
func (m *morning) change(field, text string) func(*first) {
	var all []func(*first)
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' }) {
		part = strings.TrimSpace(part)
		low := strings.ToLower(part)
		after := func(words ...string) (string, bool) {
			for _, w := range words {
				if low == w || strings.HasPrefix(low, w+" ") {
					return strings.TrimSpace(part[len(w):]), true
				}
			}
			return "", false
		}
		if low == "" {
			continue
		}
		if low == "empty" || low == "no bed" {
			all = append(all, func(t *first) { t.empty = true })
			continue
		}
		if v, ok := after("feed depth", "fed depth", "last feeding"); ok {
			d := qty.Metre(m.typed(field, v, qty.Length, 0))
			all = append(all, func(t *first) { t.fedDepth = d })
			continue
		}
		if v, ok := after("last fed", "fed"); ok {
			if d, ok := m.span(field, v); ok {
				all = append(all, func(t *first) { t.fed, t.fedSaid = d, true })
			}
			continue
		}
		if v, ok := after("age", "bedded"); ok {
			if d, ok := m.span(field, v); ok {
				all = append(all, func(t *first) { t.setAge(d, true); m.ages(t) })
			}
			continue
		}
		if v, ok := after("bed depth", "depth"); ok {
			if d := qty.Metre(m.typed(field, v, qty.Length, 0)); d > 0 {
				all = append(all, func(t *first) { t.depth = d })
			} else if len(m.problems) == 0 || m.problems[len(m.problems)-1].Field != field {
				m.refuse(field, "A depth of 0 is no bed.", `Write "empty" for a bin without a bed.`)
			}
			continue
		}
		if v, ok := after("stock", "worms"); ok {
			s := m.stock(field, v)
			all = append(all, func(t *first) { t.stock = s })
			continue
		}
		if v, ok := after("cover"); ok {
			v = strings.ToLower(v)
			if !slices.Contains([]string{"none", "cloth", "board", "film"}, v) {
				m.refuse(field, fmt.Sprintf("The cover is %q.", v), "Choose none, cloth, board or film.")
				continue
			}
			all = append(all, func(t *first) { t.cover = v })
			continue
		}
		if v, ok := after("material", "of"); ok {
			if err := m.material(v); err != nil {
				m.refuse(field, err.Error(), "Name the material of the library that comes nearest.")
				continue
			}
			all = append(all, func(t *first) { t.material = v })
			continue
		}
		m.refuse(field, fmt.Sprintf("%q is not understood.", part), `Write "empty", or age, depth, fed, feed depth, stock, cover or material and its value, such as "age 2 months".`)
	}
	return func(t *first) {
		for _, c := range all {
			c(t)
		}
	}
}

// piles reads what lies in the yard and since when.
func (m *morning) piles() ([]*journal.Receive, []time.Time) {
	var out []*journal.Receive
	var at []time.Time
	seen := map[string]bool{}
	for i, p := range m.form.Piles {
		field := func(k string) string { return fmt.Sprintf("piles[%d].%s", i, k) }
		name := strings.TrimSpace(p.Name)
		if name == "" {
			name = strings.TrimSpace(p.Material)
		}
		if name == "" || seen[name] {
			m.refuse(field("name"), fmt.Sprintf("The name of pile %d, %q, is empty or taken.", i+1, name), "Give each pile a name of its own.")
		}
		seen[name] = true
		if err := m.material(p.Material); err != nil {
			m.refuse(field("material"), err.Error(), "Name the material of the library that comes nearest.")
		}
		r := &journal.Receive{Pile: name, Material: strings.TrimSpace(p.Material)}
		if v, err := qty.Parse(p.Amount, qty.Volume); err == nil && v > 0 {
			r.VolumeM3 = point(qty.CubicMetre(v))
		} else if w, err2 := qty.Parse(p.Amount, qty.Mass); err2 == nil && w > 0 {
			r.MassKgWet = point(qty.WetKg(w))
		} else {
			m.refuse(field("amount"), fmt.Sprintf("The amount of pile %s, %q, is not a volume or a mass.", name, p.Amount), `Type one such as "30 yd3" or "500 lb".`)
		}
		for _, d := range strings.FieldsFunc(p.Declared, func(r rune) bool { return r == ',' || r == ';' }) {
			r.Declared = append(r.Declared, strings.ToLower(strings.TrimSpace(d)))
		}
		age, _ := m.spanOr(field("age"), p.Age, 0)
		out = append(out, r)
		at = append(at, m.now.Add(-time.Duration(float64(age)*24*float64(time.Hour))-2*time.Hour).Truncate(time.Minute))
	}
	return out, at
}

func point[T any](v T) *T { return &v }

// mixes enters the batches that lie ready, taken from the piles.
func (m *morning) mixes(piles []*journal.Receive) {
	for i, x := range m.form.Mixes {
		field := func(k string) string { return fmt.Sprintf("mixes[%d].%s", i, k) }
		b := &journal.Blend{Batch: strings.TrimSpace(x.Name), Purpose: said(strings.TrimSpace(x.Purpose), "feed")}
		if b.Batch == "" {
			m.refuse(field("name"), fmt.Sprintf("Mix %d has no name.", i+1), "Give it the number painted on its board, such as 41.")
		}
		for _, part := range strings.FieldsFunc(x.Parts, func(r rune) bool { return r == ',' || r == ';' }) {
			part = strings.TrimSpace(part)
			at := slices.IndexFunc(piles, func(p *journal.Receive) bool {
				return len(part) > len(p.Pile) && strings.EqualFold(part[len(part)-len(p.Pile):], p.Pile) && part[len(part)-len(p.Pile)-1] == ' '
			})
			if at < 0 {
				m.refuse(field("parts"), fmt.Sprintf("%q does not end in the name of a pile.", part), `Write each part as an amount and a pile, such as "2 yd3 solids, 1 yd3 chips".`)
				continue
			}
			amount := strings.TrimSuffix(strings.TrimSpace(part[:len(part)-len(piles[at].Pile)]), " of")
			p := journal.BlendPart{Pile: piles[at].Pile}
			if v, err := qty.Parse(amount, qty.Volume); err == nil && v > 0 {
				p.VolumeM3 = point(qty.CubicMetre(v))
			} else if w, err := qty.Parse(amount, qty.Mass); err == nil && w > 0 {
				p.MassKgWet = point(qty.WetKg(w))
			} else {
				m.refuse(field("parts"), fmt.Sprintf("The amount %q of pile %s is not a volume or a mass.", amount, p.Pile), `Write each part as an amount and a pile, such as "2 yd3 solids, 1 yd3 chips".`)
				continue
			}
			b.Parts = append(b.Parts, p)
		}
		if strings.TrimSpace(x.Parts) == "" {
			m.refuse(field("parts"), fmt.Sprintf("What mix %s is made of is not told.", b.Batch), `Write each part as an amount and a pile, such as "2 yd3 solids, 1 yd3 chips".`)
		}
		m.add("blend", m.now.Add(-time.Hour), b)
	}
	if len(m.form.Mixes) == 0 && len(piles) > 0 {
		m.doubt("mixes", "No mix lies ready, so the round cannot say how much to feed.", "Tell the mix that you feed now, such as 41: 2 yd3 solids, 1 yd3 chips; or say yes and mix one later.")
	}
}

func said(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

// build builds the bins, one entry a row.
func (m *morning) build(at time.Time, bins []firstBin, length, width, deep float64) {
	f := &m.form
	var holes *qty.SquareMetre
	if f.Holes != "" {
		holes = point(qty.SquareMetre(m.typed("holes", f.Holes, qty.Area, 0)))
	}
	size := func(text string, v float64) *qty.Metre {
		if text == "" {
			return nil // stays assumed
		}
		return point(qty.Metre(v))
	}
	for i := 0; i < len(bins); {
		b := &journal.Build{LengthM: size(f.Length, length), WidthM: size(f.Width, width), DepthM: size(f.Deep, deep), Wall: f.Wall, Liner: f.Liner, HolesM2: holes, Cover: f.Cover}
		j := i
		for ; j < len(bins) && bins[j].slot.Barn == bins[i].slot.Barn && bins[j].slot.Row == bins[i].slot.Row; j++ {
			b.Bins, b.Slots = append(b.Bins, bins[j].name), append(b.Slots, bins[j].slot.String())
		}
		m.add("build", at, b)
		i = j
	}
}

// beds enters the beds and their stock, those alike in one entry.
func (m *morning) beds(bins []firstBin, told map[string]first) {
	type group struct {
		t    first
		bins []string
	}
	var groups []group
	for _, b := range bins {
		t := told[b.name]
		if t.empty {
			continue
		}
		i := slices.IndexFunc(groups, func(g group) bool { return g.t == t })
		if i < 0 {
			groups, i = append(groups, group{t: t}), len(groups)
		}
		groups[i].bins = append(groups[i].bins, b.name)
	}
	for i, g := range groups {
		t := g.t
		if t.fed > t.age {
			if t.fedSaid && t.ageSaid {
				m.refuse("last_fed", fmt.Sprintf("%s: the last feeding was %.0f days ago and the bed is %.0f days old.", barn.Spoken(g.bins), float64(t.fed), float64(t.age)), "Make the age larger or the last feeding later.")
				continue
			}
			t.fed = t.age
		}
		bed := &journal.Bed{Bins: g.bins, Material: t.material, DepthM: t.depth, AgeDays: point(t.age), AgeLowDays: point(t.ageL), AgeHighDays: point(t.ageH),
			LastFeedDays: point(t.fed)}
		if t.fedDepth > 0 {
			bed.LastFeedDepthM = point(t.fedDepth)
		}
		at := m.now.Add(time.Duration(2*i-2*len(groups)) * time.Second)
		m.add("bed", at, bed)
		if t.cover != m.form.Cover && t.cover != "" {
			m.add("cover", at, &journal.Cover{Bins: g.bins, Cover: t.cover})
		}
		if t.stock.Best > 0 {
			m.add("stock", at.Add(time.Second), &journal.Stock{Bins: g.bins, Kg: t.stock.Best, KgLow: point(t.stock.Low), KgHigh: point(t.stock.High), Note: "as told on the first morning"})
		}
	}
}

// today enters the low and high of today.
func (m *morning) today() {
	f := &m.form
	if f.LowToday == "" && f.HighToday == "" {
		return
	}
	s := &journal.Site{Place: "outside"}
	if f.LowToday != "" {
		s.LowC = point(qty.Celsius(m.typed("low_today", f.LowToday, qty.Temperature, 0)))
	}
	if f.HighToday != "" {
		s.HighC = point(qty.Celsius(m.typed("high_today", f.HighToday, qty.Temperature, 0)))
	}
	if s.LowC != nil && s.HighC != nil && *s.LowC > *s.HighC {
		m.refuse("low_today", "The low of today is above its high.", "Swap them if they were typed the wrong way round.")
	}
	m.add("site", m.now, s)
}
