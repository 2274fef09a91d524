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
