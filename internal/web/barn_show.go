package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"time"

	"wormyard/farm"
	"wormyard/internal/web/draw"
	"wormyard/journal"
	"wormyard/round"
)

// BarnPage is a barn, row by row, as one sees it from the aisle.
type BarnPage struct {
	Frame
	At, Heading, Under string
	Others, Views      []Link
	Acts               []Link
	Map                *BarnMap
	Look               *LookIn
	Layout, NewBarn    *Link
	Key                []KeyShown
	List               []BinRow
	Empty              string
	Spots              []Link
	Facts              []Fact
	Air                *FanShown
	AirNone, AirForm   string
	Unbelieved         []string // readings of the air that are to be checked
	Recent             []EntryLine
}

// RowShown is one row in elevation.
type RowShown struct {
	Anchor, Title, Floor string
	Stacks               []StackShown
}

// StackShown is a stack, its bins from the top down.
type StackShown struct{ Bins []BinShown }

// BinShown is one box as seen from the aisle.
type BinShown struct {
	To, Place, State, Act string
	Here, Faint           bool
}

// KeyShown explains a texture.
type KeyShown struct{ Act, Word string }

// BinRow is a bin in the list view.
type BinRow struct{ To, Place, State, Warm string }

func barnTo(name string) string {
	if name == "" {
		return "/barn"
	}
	return "/barn/" + url.PathEscape(name)
}

// barnShow shows a barn; without a name the first one.
func (s *Server) barnShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	rows := state.Rows()
	var names []string
	var spots []Link
	for _, row := range rows {
		if row.Barn == "" {
			for _, b := range row.Bins {
				spots = append(spots, Link{To: binTo(b.Name), Name: binTitle(p, state, b)})
			}
			continue
		}
		if !slices.Contains(names, row.Barn) {
			names = append(names, row.Barn)
		}
	}
	for _, b := range state.Barns() {
		if !slices.Contains(names, b.Name) {
			names = append(names, b.Name)
		}
	}
	name := r.PathValue("name")
	if name == "" && len(names) > 0 {
		name = names[0]
	}
	if name != "" && !slices.Contains(names, name) {
		return missing{p.Say("fault.nobarn", name, p.Words.List(names))}
	}
	page := BarnPage{Frame: s.frame(r, p, p.barn(name), "barn"), At: "at-both", Heading: p.barn(name), Spots: spots}
	if name == "" {
		page.Heading, page.Title = p.Say("nav.barn"), p.Say("nav.barn")
		page.Empty = p.Say("barn.none")
		page.Ways = p.begin()
	}
	for _, n := range names {
		if len(names) > 1 {
			page.Others = append(page.Others, Link{To: barnTo(n), Name: p.barn(n), Here: n == name})
		}
	}
	view := r.URL.Query().Get("show")
	if !slices.Contains([]string{"", "needs", "warmth", "list"}, view) {
		view = ""
	}
	for _, v := range []string{"", "needs", "warmth", "list"} {
		key := "barn.view.all"
		if v != "" {
			key = "barn.view." + v
		}
		page.Views = append(page.Views, Link{To: mapView{barn: name, show: v}.to(), Name: p.Say(key), Here: v == view})
	}
	mine := func(row farm.Row) bool { return row.Barn == name && name != "" }
	bins, needs := 0, 0
	said, err := s.sayings(r.Context(), p)
	if err != nil {
		return err
	}
	for _, row := range rows {
		if mine(row) {
			for _, b := range row.Bins {
				bins++
				if x, ok := said.of[b.Name]; ok && x.act != round.Rest {
					needs++
				}
			}
		}
	}
	page.Under = p.Say("barn.under", p.Count("barn.bins", bins), p.Count("barn.needs", needs))
	if view == "list" {
		for _, row := range rows {
			if !mine(row) {
				continue
			}
			for _, b := range row.Bins {
				warm := ""
				if look, err := s.outlook(r.Context(), b.Name); err != nil {
					return err
				} else if look != nil {
					warm = p.temperatureUnit(look.Warmest.Mid)
				}
				page.List = append(page.List, BinRow{To: binTo(b.Name), Place: binTitle(p, state, b), State: said.state(p, b), Warm: warm})
			}
		}
	}
	seen := mapView{barn: name, show: view, look: r.URL.Query().Get("look")}
	if view == "needs" {
		seen.act = r.URL.Query().Get("act")
		page.Acts = s.actLinks(p, state, said, seen)
	}
	if b, ok := state.Bin(seen.look); ok {
		if page.Look, err = s.lookIn(r.Context(), p, state, b, seen); err != nil {
			return err
		}
	}
	if name != "" {
		page.Layout = &Link{To: "/layout?barn=" + url.QueryEscape(name), Name: p.Say("map.layout")}
	}
	page.NewBarn = &Link{To: "/layout", Name: p.Say("map.newbarn")}
	if name != "" && view != "list" && r.URL.Query().Get("only") != "look" {
		if page.Map, err = s.mapOf(r.Context(), p, state, said, seen); err != nil {
			return err
		}
	}
	for _, act := range []round.Act{round.Feed, round.Water, round.Look, round.Harvest, round.Cover, round.Turn} {
		page.Key = append(page.Key, KeyShown{Act: string(act), Word: p.Say("key." + string(act))})
	}
	page.Key = append(page.Key, KeyShown{Act: "now", Word: p.Say("key.now")})
	page.AirForm = "/enter/site?place=" + url.QueryEscape("barn "+name)
	if b, ok := state.Barn(name); ok {
		read, not := state.Aired(name)
		page.Facts, page.Air, page.Unbelieved = barnFacts(p, b, read), barnAir(p, b, read), p.unbelieved(not)
	}
	if page.Air == nil {
		page.AirNone = p.Say("barn.noair")
	}
	lines, _ := s.search(state, farm.Search{Subject: "barn " + name, From: p.Now.Add(-lately), Limit: 5}, p.Units)
	page.Recent = entryLines(p, lines)
	return s.draw(w, "barn", http.StatusOK, page)
}

// barnFacts gives what is known of a barn, with the readings of its air that are
// believed.
func barnFacts(p person, b *farm.Barn, read []*farm.Reading) []Fact {
	var out []Fact
	if n := len(read); n > 0 && read[n-1].Temp != nil {
		x := read[n-1]
		out = append(out, Fact{Name: p.Say("barn.last"), Value: p.Units.Temperature(*x.Temp), Note: p.Say("fact.at", p.Moment(x.At)), Working: "/journal/" + x.Entry})
	}
	if n := len(b.Weather); n > 0 {
		x := b.Weather[n-1]
		if x.Low != nil && x.High != nil {
			out = append(out, Fact{Name: p.Say("barn.lowhigh"), Value: p.Say("barn.lowhighsay", p.Units.Temperature(*x.Low), p.Units.Temperature(*x.High)), Note: p.Say("fact.at", dayName(p, x.Day)), Working: "/journal/" + x.Entry})
		}
	}
	if v := b.Setup; v.LengthM > 0 && v.WidthM > 0 {
		out = append(out, Fact{Name: p.Say("barn.size"), Value: p.Say("barn.sizesay", feetOrMetres(p, v.LengthM), feetOrMetres(p, v.WidthM))})
	}
	if b.Setup.HeaterW > 0 {
		out = append(out, Fact{Name: p.Say("barn.heater"), Value: p.Say("barn.watts", whole(b.Setup.HeaterW))})
	}
	return out
}

// dayName gives a stored day in words.
func dayName(p person, day string) string {
	t, err := time.ParseInLocation(journal.DayLayout, day, p.Zone)
	if err != nil {
		return day
	}
	if t.Year() != p.Now.Year() {
		return p.Words.Date(t)
	}
	return p.Words.Short(t)
}

func feetOrMetres(p person, m float64) string {
	return p.Say("unit.span", whole(m/pickNumber(p.Units, 0.3048, 1)), pick(p.Units, "ft", "m"))
}

// barnAir draws what was read in a barn in the last weeks and is believed.
func barnAir(p person, b *farm.Barn, read []*farm.Reading) *FanShown {
	var days []float64
	var low, mid, high []float64
	byDay := map[string][2]float64{}
	var order []string
	for _, x := range farm.Since(read, p.Now.Add(-pastShown)) {
		if x.Temp == nil {
			continue
		}
		d, v := x.At.In(p.Zone).Format(journal.DayLayout), p.degrees(float64(*x.Temp))
		if lh, ok := byDay[d]; ok {
			byDay[d] = [2]float64{min(lh[0], v), max(lh[1], v)}
			continue
		}
		byDay[d] = [2]float64{v, v}
		order = append(order, d)
	}
	for _, x := range b.Weather {
		if x.Outlook || x.Low == nil || x.High == nil || x.At.Before(p.Now.Add(-pastShown)) {
			continue
		}
		if _, read := byDay[x.Day]; !read {
			byDay[x.Day] = [2]float64{p.degrees(float64(*x.Low)), p.degrees(float64(*x.High))}
			order = append(order, x.Day)
		}
	}
	slices.Sort(order)
	if len(order) < 3 {
		return nil
	}
	f := draw.Series{Unit: "°", Least: p.degrees(0), Most: p.degrees(20), Height: 170, From: -28, Today: -1e9}
	for i, d := range order {
		t, err := time.ParseInLocation(journal.DayLayout, d, p.Zone)
		if err != nil {
			continue
		}
		days = append(days, dayOn(p, t)+0.5)
		low, high = append(low, byDay[d][0]), append(high, byDay[d][1])
		mid = append(mid, (byDay[d][0]+byDay[d][1])/2)
		if t.Weekday() == time.Monday || i == 0 && len(order) < 7 {
			f.Marks = append(f.Marks, draw.TimeMark{Day: days[len(days)-1], Label: p.Words.Tick(t)})
		}
	}
	f.Days, f.Low, f.Mid, f.High = days, low, mid, high
	f.Limits = []draw.ValueLimit{{Value: p.degrees(0), Label: p.Say("limit.frost", p.Units.Temperature(0))}}
	return &FanShown{Fan: draw.NewFan(f), Alt: p.Say("barn.airalt"), Caption: p.Say("barn.aircaption")}
}

// saidOf is what the newest list says of a bin, in a few words.
type saidOf struct {
	act   round.Act
	strip string
	words string
	rank  int // how urgent, from 1
}

// rankOf orders what is urgent.
var rankOf = map[round.Urgency]int{round.NoHurry: 1, round.Week: 2, round.Today: 3, round.Now: 4}

// saying is what the newest list says of every bin.
type saying struct {
	made bool
	of   map[string]saidOf
}

func (x saying) state(p person, b *farm.Bin) string {
	switch {
	case b.State == farm.Retired:
		return p.Say("state.retired")
	case b.Bed == nil:
		return p.Say("state.empty")
	}
	if v, ok := x.of[b.Name]; ok {
		return v.words
	}
	if !x.made {
		return p.Say("state.unknown")
	}
	return p.Say("state.rests")
}

// sayings reads the newest list for all bins at once.
func (s *Server) sayings(ctx context.Context, p person) (saying, error) {
	out := saying{of: map[string]saidOf{}}
	list, made, err := s.list(ctx, p)
	if err != nil || !made {
		return out, err
	}
	out.made = true
	for _, l := range list.Lines {
		for _, i := range l.Items {
			if i.Bin == "" {
				continue
			}
			if _, twice := out.of[i.Bin]; twice && l.Urgency != round.Now {
				continue
			}
			x := saidOf{act: i.Act, strip: strip(i.Act, i.Urgency), words: p.actWord(i.Act), rank: rankOf[i.Urgency]}
			if i.Act == round.Feed && i.DepthM > 0 {
				x.words = p.Say("state.feed", depthSay(p, i.DepthM))
			}
			if i.Urgency == round.Now {
				x.words = p.Say("state.now", x.words)
			}
			out.of[i.Bin] = x
		}
	}
	return out, nil
}

// rowsShown draws rows; here marks one bin; view is "", "needs" or "warmth".
func (s *Server) rowsShown(ctx context.Context, p person, state *farm.State, want func(farm.Row) bool, here, view string) ([]RowShown, error) {
	said, err := s.sayings(ctx, p)
	if err != nil {
		return nil, err
	}
	var out []RowShown
	for _, row := range state.Rows() {
		if !want(row) || row.Barn == "" {
			continue
		}
		x := RowShown{Anchor: "row-" + row.Name, Title: p.Say("barn.row", row.Name), Floor: p.Say("barn.aisle")}
		stack := -1
		for _, b := range row.Bins {
			if b.Slot.Stack != stack {
				x.Stacks = append(x.Stacks, StackShown{})
				stack = b.Slot.Stack
			}
			v := BinShown{To: binTo(b.Name), Place: state.Called(b), State: said.state(p, b), Here: b.Name == here}
			if y, ok := said.of[b.Name]; ok {
				v.Act = y.strip
			}
			if b.Bed == nil {
				v.Act = "empty"
			}
			switch view {
			case "needs":
				v.Faint = v.Act == "" || v.Act == "empty"
			case "warmth":
				v.State, v.Act = p.Say("state.unknown"), ""
				look, err := s.outlook(ctx, b.Name)
				if err != nil {
					return nil, err
				}
				if look != nil {
					v.State = p.Say("state.warm", p.temperatureUnit(look.Warmest.Mid), p.temperature(look.Warmest.Low), p.temperature(look.Warmest.High))
					if look.Warmest.High >= float64(alarmC) {
						v.Act = "now"
					}
				}
			}
			last := &x.Stacks[len(x.Stacks)-1]
			last.Bins = slices.Insert(last.Bins, 0, v)
		}
		out = append(out, x)
	}
	return out, nil
}
