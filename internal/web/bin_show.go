package web

import (
	"context"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
)

// BinPage is one bin: what lies in it, what is likely, what was done.
type BinPage struct {
	Frame
	At, Heading, Under, NoTwin string
	BarnTo, BarnName, AllTo    string
	Warnings                   []string
	Row                        []RowShown
	Line                       *ShownLine
	Acts, MoreActs             []Link
	Section                    *SectionShown
	Facts, BoxFacts            []Fact
	Warmth, Wetness            *FanShown
	Layers                     []LayerShown
	Past                       []Link
	Recent                     []EntryLine
}

// SectionShown is a drawn bed with its words.
type SectionShown struct {
	draw.Section
	Title, Alt, Caption string
}

// FanShown is a drawn forecast with its words.
type FanShown struct {
	draw.Fan
	Title, Alt, Caption string
	Wet                 bool
}

// LayerShown is one row of the table of layers.
type LayerShown struct{ Name, Thick, Warm, Wet, Air string }

// Where the worms are in danger and where refuge ends (design section 8: an
// alarm at 95 °F anywhere worms are held, refuge under 86 °F).
const (
	alarmC  qty.Celsius = 35
	refugeC qty.Celsius = 30
)

func (s *Server) bin(r *http.Request, p person) (*farm.State, *farm.Bin, error) {
	state := s.Farm.State()
	name := r.PathValue("name")
	b, ok := state.Bin(name)
	if !ok {
		if bins, wrong := state.Places().Select(name); len(wrong) == 0 && len(bins) == 1 {
			b, ok = state.Bin(bins[0])
		}
	}
	if !ok {
		say := p.Say("fault.nobin", name)
		if near := state.Places().Nearest(name); len(near) > 0 {
			say += " " + p.Say("fault.nearest", p.Words.List(near))
		}
		return nil, nil, missing{say}
	}
	return state, b, nil
}

// binTitle gives "3-4 top, bin B12".
func binTitle(p person, state *farm.State, b *farm.Bin) string {
	called := state.Called(b)
	switch {
	case called == "" || called == b.Name:
		return p.Say("bin.plain", b.Name)
	default:
		return p.Say("bin.title", called, b.Name)
	}
}

func binTo(name string) string { return "/bin/" + url.PathEscape(name) }

func (s *Server) binShow(w http.ResponseWriter, r *http.Request, p person) error {
	state, b, err := s.bin(r, p)
	if err != nil {
		return err
	}
	page := BinPage{Frame: s.frame(r, p, binTitle(p, state, b), "barn"), At: "at-opened", Heading: binTitle(p, state, b)}
	page.BarnTo, page.BarnName = barnTo(b.Slot.Barn), p.Say("nav.barn")
	if b.Slot.Barn != "" {
		page.BarnName = p.barn(b.Slot.Barn)
	}
	page.AllTo = "/journal?about=" + url.QueryEscape("bin "+b.Name)
	rows, err := s.rowsShown(r.Context(), p, state, func(row farm.Row) bool { return row.Barn == b.Slot.Barn && row.Name == b.Slot.Row }, b.Name, "")
	if err != nil {
		return err
	}
	page.Row = rows
	if l, ok := s.lineOf(r.Context(), p, b.Name); ok {
		x := s.showLine(p, l, s.doneSinceOf(r.Context()))
		x.Back = binTo(b.Name)
		page.Line = &x
	}
	page.Acts, page.MoreActs = binActs(p, b)
	look, err := s.outlook(r.Context(), b.Name)
	if err != nil {
		return err
	}
	s.fillBin(p, state, b, look, &page)
	page.Recent = entryLines(p, recent(p, state, b.Name, 8))
	for i := len(b.Past) - 1; i >= 0; i-- {
		x := b.Past[i]
		note := p.Say("bin.pastnote", x.Feedings)
		if x.Harvested > 0 {
			note += p.Say("list.comma") + printable(p.Units.Mass(float64(x.Harvested)))
		}
		page.Past = append(page.Past, Link{To: page.AllTo, Name: p.Say("bin.pastname", p.Words.Date(x.Since.In(p.Zone)), p.Words.Date(x.Until.In(p.Zone))), Note: note})
	}
	return s.draw(w, "bin", http.StatusOK, page)
}

// lineOf finds what the newest list says of a bin, cut down to that bin.
func (s *Server) lineOf(ctx context.Context, p person, bin string) (round.Line, bool) {
	list, made, err := s.list(ctx, p)
	if err != nil || !made {
		return round.Line{}, false
	}
	for _, l := range list.Lines {
		for _, i := range l.Items {
			if i.Bin == bin {
				l.Say, l.Reason, l.Sure, l.Caution = i.Say, i.Reason, i.Sure, i.Caution
				l.Items, l.Except = []round.Item{i}, nil
				return l, true
			}
		}
	}
	return round.Line{}, false
}

func (s *Server) doneSinceOf(ctx context.Context) []farm.Line {
	if s.Rounds == nil {
		return nil
	}
	made, err := s.Rounds.Last(ctx)
	if err != nil || made == nil {
		return nil
	}
	return s.doneSince(round.List{Made: made.At})
}

// binActs gives the ways to write something down about a bin.
func binActs(p person, b *farm.Bin) (first, more []Link) {
	to := func(act string, main bool) Link {
		return Link{To: binTo(b.Name) + "/" + act, Name: p.Say("bin.act." + act), Main: main}
	}
	if b.State == farm.Empty {
		return []Link{to("bed", true), to("move", false), to("build", false)}, []Link{to("sighting", false)}
	}
	if b.State == farm.Retired {
		return []Link{to("build", true)}, nil
	}
	return []Link{to("feed", true), to("water", false), to("look", false), to("reading", false)},
		[]Link{to("depth", false), to("sighting", false), to("cover", false), to("weigh", false), to("turn", false), to("stock", false), to("count", false), to("harvest", false), to("move", false), to("assay", false), to("bed", false), to("build", false)}
}

// fillBin fills what is known and what is likely.
func (s *Server) fillBin(p person, state *farm.State, b *farm.Bin, look *app.Outlook, page *BinPage) {
	page.BoxFacts = boxFacts(p, b)
	if b.Bed == nil {
		page.Under = p.Say("bin.empty")
		if b.State == farm.Retired {
			page.Under = p.Say("bin.retired")
		}
		return
	}
	bed := b.Bed
	page.Under = p.Say("bin.under", p.Words.Date(bed.At.Add(-time.Duration(float64(bed.Start.AgeDays)*24)*time.Hour).In(p.Zone)), fedSay(p, bed))
	for _, d := range state.Doubts() {
		if d.About == "bin "+b.Name {
			page.Warnings = append(page.Warnings, sentence(d.Say)+" "+d.Try)
		}
	}
	page.Facts = bedFacts(p, bed)
	if look == nil {
		page.NoTwin = p.Say("bin.notwin")
		return
	}
	page.Section = bedSection(p, b, look)
	work := "/working/bin/" + url.PathEscape(b.Name)
	page.Facts = append(likelyFacts(p, look, fed(bed), work), page.Facts...)
	page.Warmth = warmthFan(p, b, look)
	page.Wetness = wetnessFan(p, b, look)
	for _, l := range look.Layers {
		page.Layers = append(page.Layers, LayerShown{Name: layerName(p, b, l), Thick: depthSay(p, l.Thick.Mid), Warm: rangeSay(p, l.Temp, p.temperature), Wet: rangeSay(p, l.Water, percentNumber), Air: rangeSay(p, l.Oxygen, percentNumber)})
	}
}

func fed(b *farm.Bed) bool { return b.LastFeed != nil || b.Start.LastFeedDepth > 0 }

func fedSay(p person, b *farm.Bed) string {
	if b.Feedings == 0 {
		return p.Say("bin.notfed")
	}
	return p.Count("bin.fed", b.Feedings)
}

func boxFacts(p person, b *farm.Bin) []Fact {
	x := b.Box
	out := []Fact{
		{Name: p.Say("box.size"), Value: p.Say("box.by", depthSay(p, float64(x.Length)), depthSay(p, float64(x.Width)), depthSay(p, float64(x.Depth)))},
		{Name: p.Say("box.holds"), Value: printable(p.Units.Volume(x.Volume()))},
	}
	for _, t := range []struct{ key, value string }{{"box.wall", x.Wall}, {"box.liner", x.Liner}, {"box.cover", b.Cover}} {
		if t.value != "" {
			out = append(out, Fact{Name: p.Say(t.key), Value: t.value})
		}
	}
	if len(x.Assumed) > 0 {
		out = append(out, Fact{Name: p.Say("box.assumed"), Value: strings.Join(x.Assumed, p.Say("list.comma"))})
	}
	return out
}

// bedFacts gives what people wrote down of a bed.
func bedFacts(p person, bed *farm.Bed) []Fact {
	var out []Fact
	if bed.LastFeed != nil {
		f := bed.LastFeed
		value := p.Say("fact.feed", depthSay(p, float64(f.Depth)), f.Batch, p.Moment(f.At))
		if f.Depth == 0 {
			value = p.Say("fact.feed", printable(p.Units.Mass(float64(f.Matter.Wet()))), f.Batch, p.Moment(f.At))
		}
		out = append(out, Fact{Name: p.Say("fact.lastfeed"), Value: value, Working: "/journal/" + f.Entry})
	}
	if n := len(bed.Looks); n > 0 {
		l := bed.Looks[n-1]
		var said []string
		for _, w := range []struct{ key, value string }{{"look.squeeze", l.Squeeze}, {"look.left", l.FeedLeft}, {"look.worms", l.Worms}, {"look.where", l.Where}, {"look.smell", l.Smell}} {
			if w.value != "" {
				said = append(said, p.Say(w.key, w.value))
			}
		}
		out = append(out, Fact{Name: p.Say("fact.lastlook"), Value: strings.Join(said, p.Say("list.comma")), Note: p.Say("fact.at", p.Moment(l.At)), Working: "/journal/" + l.Entry})
	}
	if n := len(bed.Readings); n > 0 {
		x := bed.Readings[n-1]
		var said []string
		if x.Temp != nil {
			said = append(said, p.Units.Temperature(*x.Temp))
		}
		if x.Water != nil {
			said = append(said, qty.Percent100(float64(*x.Water)))
		}
		if x.Depth != nil {
			said = append(said, p.Say("fact.deep", depthSay(p, float64(*x.Depth))))
		}
		out = append(out, Fact{Name: p.Say("fact.lastreading"), Value: strings.Join(said, p.Say("list.comma")), Note: p.Say("fact.at", p.Moment(x.At)), Working: "/journal/" + x.Entry})
	}
	if bed.Stock.Best > 0 {
		out = append(out, Fact{Name: p.Say("fact.stocked"), Value: rangeKg(p, float64(bed.Stock.Low), float64(bed.Stock.Best), float64(bed.Stock.High))})
	}
	return out
}

// likelyFacts gives what the twin says, each with its working. fed says whether
// the bed was ever fed.
func likelyFacts(p person, o *app.Outlook, fed bool, work string) []Fact {
	var out []Fact
	add := func(key, value string) {
		out = append(out, Fact{Name: p.Say("likely." + key), Value: value, Working: work + "#" + key})
	}
	between := func(mid, low, high string) string {
		if low == high {
			return mid
		}
		return p.Say("range.long", mid, low, high)
	}
	percent := func(r twin.Range) string {
		return between(qty.Percent100(r.Mid), percentNumber(r.Low), percentNumber(r.High))
	}
	add("warmest", between(p.Say("likely.at", p.temperatureUnit(o.Warmest.Mid), depthSay(p, o.WarmAt.Mid)), p.temperature(o.Warmest.Low), p.temperature(o.Warmest.High)))
	add("wet", percent(o.Water))
	if fed {
		add("left", p.Say("likely.eaten", p.Words.Tenths(1-o.Left.Mid, 1-o.Left.High, 1-o.Left.Low)))
	}
	add("worms", rangeKg(p, o.Worms.Low, o.Worms.Mid, o.Worms.High))
	add("air", p.Say("likely.oxygen", percent(o.Oxygen)))
	add("refuge", between(depthSay(p, o.Refuge.Mid), depthNumber(p, o.Refuge.Low), depthNumber(p, o.Refuge.High)))
	cast := p.Say("likely.cast", percent(o.Cast))
	if o.Ripe != nil {
		cast += p.Say("list.semicolon") + ripeSay(p, *o.Ripe)
	}
	add("castings", cast)
	return out
}

// ripeSay tells in how many weeks a bed is likely to be ripe [days].
func ripeSay(p person, r twin.Range) string {
	switch {
	case r.High < 1:
		return p.Say("likely.ripenow")
	case r.High <= 7:
		return p.Say("likely.ripesoon")
	}
	weeks := func(days float64) string { return whole(math.Max(0, days) / 7) }
	return p.Say("likely.ripe", rangeSay(p, r, weeks))
}

func layerName(p person, b *farm.Bin, l app.LayerNow) string {
	name := p.Say("layer." + l.Texture)
	if b.Bed == nil || !l.Feed {
		return name
	}
	for _, a := range b.Bed.Acts {
		if a.Kind == farm.ActFeed && a.Batch != "" && a.At.Unix()/3600 == l.Laid.Unix()/3600 {
			return p.Say("layer.of", name, a.Batch)
		}
	}
	return name
}

// mostWorms is how many worms fit a drawing.
const mostWorms = 40

// bedSection draws the cut through a bed.
func bedSection(p person, b *farm.Bin, o *app.Outlook) *SectionShown {
	deep := func(m float64) float64 { return depthValue(p, m) }
	d := draw.Bed{Box: deep(float64(b.Box.Depth)), DepthBy: pickNumber(p.Units, 4, 10), Unit: pick(p.Units, "inches", "cm"), Covered: b.Cover != "" && b.Cover != "none"}
	d.Unit = p.Say("unit." + d.Unit)
	temp := draw.Profile{Title: pick(p.Units, "°F", "°C"), Least: p.degrees(10), Most: p.degrees(25)}
	wet := draw.Profile{Title: p.Say("draw.wet"), Least: 55, Most: 85}
	at := 0.0
	each := pickNumber(p.Units, qty.KgPerPound, 0.5) // a drawn worm
	most := math.Min(o.Worms.Mid/each, mostWorms)
	for _, l := range o.Layers {
		thick := deep(l.Thick.Mid)
		d.Layers = append(d.Layers, draw.Layer{Texture: l.Texture, Thick: thick, Worms: l.Worms * most, Label: p.Say("draw.layer", layerName(p, b, l), depthSay(p, l.Thick.Mid))})
		mid := at + thick/2
		temp.Depths, temp.Low, temp.Mid, temp.High = append(temp.Depths, mid), append(temp.Low, p.degrees(l.Temp.Low)), append(temp.Mid, p.degrees(l.Temp.Mid)), append(temp.High, p.degrees(l.Temp.High))
		wet.Depths, wet.Low, wet.Mid, wet.High = append(wet.Depths, mid), append(wet.Low, 100*l.Water.Low), append(wet.Mid, 100*l.Water.Mid), append(wet.High, 100*l.Water.High)
		at += thick
	}
	if len(d.Layers) == 0 {
		return nil
	}
	stretch(&temp, at)
	stretch(&wet, at)
	if b.Bed != nil {
		for _, x := range farm.Since(b.Bed.Readings, p.Now.Add(-4*24*time.Hour)) {
			depth := at / 2
			if x.Depth != nil {
				depth = deep(float64(*x.Depth))
			}
			if depth > at {
				continue
			}
			if x.Temp != nil {
				temp.Readings = append(temp.Readings, draw.DepthReading{Depth: depth, Value: p.degrees(float64(*x.Temp)), Label: p.Say("draw.reading", p.Units.Temperature(*x.Temp), p.Moment(x.At))})
			}
			if x.Water != nil {
				wet.Readings = append(wet.Readings, draw.DepthReading{Depth: depth, Value: 100 * float64(*x.Water), Label: p.Say("draw.reading", qty.Percent100(float64(*x.Water)), p.Moment(x.At))})
			}
		}
	}
	if n := len(temp.Readings); n > 4 {
		temp.Readings = temp.Readings[n-4:]
	}
	d.Profiles = []draw.Profile{temp, wet}
	out := &SectionShown{Section: draw.NewSection(d), Title: p.Say("draw.title"), Caption: p.Say("draw.caption", p.Moment(o.Made), printable(p.Units.Mass(each)))}
	if len(out.Panels) == 2 {
		out.Panels[1].Class = "wet"
	}
	if len(temp.Readings)+len(wet.Readings) > 0 {
		out.Caption += " " + p.Say("draw.circles")
	}
	var names []string
	for _, l := range d.Layers {
		names = append(names, l.Label)
	}
	out.Alt = p.Say("draw.alt", strings.Join(names, "; "))
	return out
}

// stretch draws a profile to the surface and to the floor.
func stretch(f *draw.Profile, deep float64) {
	n := len(f.Depths)
	f.Depths = append(append([]float64{0}, f.Depths...), deep)
	for _, v := range []*[]float64{&f.Low, &f.Mid, &f.High} {
		*v = append(append([]float64{(*v)[0]}, *v...), (*v)[n-1])
	}
}

// warmthFan draws the warmest layer over time.
func warmthFan(p person, b *farm.Bin, o *app.Outlook) *FanShown {
	f, ok := fan(p, b, o, func(d app.DayRange) twin.Range { return d.Warmest }, p.degrees)
	if !ok {
		return nil
	}
	f.Unit, f.Least, f.Most = "°", p.degrees(5), p.degrees(37)
	f.Limits = []draw.ValueLimit{{Value: p.degrees(float64(alarmC)), Label: p.Say("limit.alarm", p.Units.Temperature(alarmC))}, {Value: p.degrees(float64(refugeC)), Label: p.Say("limit.refuge", p.Units.Temperature(refugeC))}}
	if b.Bed != nil {
		for _, x := range farm.Since(b.Bed.Readings, p.Now.Add(-pastShown)) {
			if x.Temp != nil {
				f.Readings = append(f.Readings, draw.TimeReading{Day: dayOn(p, x.At), Value: p.degrees(float64(*x.Temp)), Label: p.Say("draw.reading", p.Units.Temperature(*x.Temp), p.Moment(x.At))})
			}
		}
	}
	f.Readings = thinned(f.Readings, 40)
	return &FanShown{Fan: draw.NewFan(f), Title: p.Say("fan.warmth"), Alt: p.Say("fan.warmthalt"), Caption: p.Say("fan.caption")}
}

func wetnessFan(p person, b *farm.Bin, o *app.Outlook) *FanShown {
	f, ok := fan(p, b, o, func(d app.DayRange) twin.Range { return d.Water }, func(v float64) float64 { return 100 * v })
	if !ok {
		return nil
	}
	f.Least, f.Most, f.Height = 55, 85, 160
	if b.Bed != nil {
		for _, x := range farm.Since(b.Bed.Readings, p.Now.Add(-pastShown)) {
			if x.Water != nil {
				f.Readings = append(f.Readings, draw.TimeReading{Day: dayOn(p, x.At), Value: 100 * float64(*x.Water), Label: p.Say("draw.reading", qty.Percent100(float64(*x.Water)), p.Moment(x.At))})
			}
		}
	}
	f.Readings = thinned(f.Readings, 40)
	return &FanShown{Fan: draw.NewFan(f), Title: p.Say("fan.wetness"), Alt: p.Say("fan.wetnessalt"), Caption: p.Say("fan.wetcaption"), Wet: true}
}

// pastShown is how far back a fan reaches.
const pastShown = 28 * 24 * time.Hour

// dayOn gives a time in days from today's start of the drawing.
func dayOn(p person, t time.Time) float64 { return t.Sub(p.Now).Hours() / 24 }

func thinned(list []draw.TimeReading, most int) []draw.TimeReading {
	if len(list) <= most {
		return list
	}
	var out []draw.TimeReading
	for i := 0; i < most; i++ {
		out = append(out, list[i*(len(list)-1)/(most-1)])
	}
	return out
}

// fan lays out four weeks back, with what was read and done and how the twins
// stood, and the days ahead with their range.
func fan(p person, b *farm.Bin, o *app.Outlook, of func(app.DayRange) twin.Range, unit func(float64) float64) (draw.Series, bool) {
	f := draw.Series{From: -pastShown.Hours() / 24, TodayLabel: p.Say("draw.today")}
	if len(o.Ahead) < 2 {
		return f, false
	}
	add := func(day float64, v twin.Range) {
		f.Days = append(f.Days, day)
		f.Low, f.Mid, f.High = append(f.Low, unit(v.Low)), append(f.Mid, unit(v.Mid)), append(f.High, unit(v.High))
	}
	for _, d := range slices.Concat(o.Past, o.Ahead) {
		if at := dayOn(p, d.Day); len(f.Days) == 0 || at > f.Days[len(f.Days)-1] {
			add(at, of(d))
		}
	}
	last := f.Days[len(f.Days)-1]
	for t := midnight(p.Now).AddDate(0, 0, -28); dayOn(p, t) <= last; t = t.AddDate(0, 0, 1) {
		if t.Weekday() == time.Monday {
			f.Marks = append(f.Marks, draw.TimeMark{Day: dayOn(p, t), Label: p.Words.Tick(t)})
		}
	}
	if len(f.Marks) > 4 {
		var fewer []draw.TimeMark
		for i := len(f.Marks) % 2; i < len(f.Marks); i += 2 {
			fewer = append(fewer, f.Marks[i])
		}
		f.Marks = fewer
	}
	if b.Bed != nil {
		for _, a := range b.Bed.Acts {
			if a.At.Before(p.Now.Add(-pastShown)) {
				continue
			}
			switch a.Kind {
			case farm.ActFeed:
				f.Events = append(f.Events, draw.TimeEvent{Day: dayOn(p, a.At), Class: "fed", Label: p.Say("draw.fed", p.Moment(a.At))})
			case farm.ActWater:
				f.Events = append(f.Events, draw.TimeEvent{Day: dayOn(p, a.At), Class: "watered", Label: p.Say("draw.watered", p.Moment(a.At))})
			}
		}
	}
	return f, true
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

// lately is how far back "lately" looks; the journal shows the rest.
const lately = 120 * 24 * time.Hour

// recent gives the newest entries about a bin.
func recent(p person, state *farm.State, bin string, n int) []farm.Line {
	lines, _ := state.Search(farm.Search{Subject: "bin " + bin, From: p.Now.Add(-lately), Limit: n}, p.Units)
	return lines
}

// entryLines makes lines of the journal ready to print.
func entryLines(p person, lines []farm.Line) []EntryLine {
	var out []EntryLine
	for _, l := range lines {
		out = append(out, entryLine(p, l))
	}
	return out
}

func entryLine(p person, l farm.Line) EntryLine {
	note := l.Entry.Who
	if l.Struck {
		note = strings.TrimSpace(p.Say("journal.struckword") + " " + note)
	}
	return EntryLine{To: "/journal/" + url.PathEscape(l.Entry.ID), Say: printable(l.Say), When: p.Moment(l.Entry.At), Note: note, Struck: l.Struck}
}

// binAct is one form about a bin.
func (s *Server) binAct(w http.ResponseWriter, r *http.Request, p person) error {
	state, b, err := s.bin(r, p)
	if err != nil {
		return err
	}
	act := r.PathValue("act")
	kind, ok := journal.KindNamed(act)
	if !ok || !slices.ContainsFunc(kind.Fields, func(f journal.Field) bool { return f.Of == "bin" || f.Key == "subject" }) {
		return missing{p.Say("fault.nokind", act)}
	}
	sh := s.binSheet(p, state, b, act)
	if r.Method == http.MethodPost {
		got, err := s.keep(r, p, sh)
		if err != nil {
			return err
		}
		if got.saved != "" {
			seeOther(w, r, withSaid(back(r, binTo(b.Name)), got.saved))
			return nil
		}
		return s.drawBinAct(w, r, p, state, b, kind, got.form, http.StatusUnprocessableEntity)
	}
	f, err := s.formOf(p, sh, values{})
	if err != nil {
		return err
	}
	return s.drawBinAct(w, r, p, state, b, kind, f, http.StatusOK)
}

func (s *Server) drawBinAct(w http.ResponseWriter, r *http.Request, p person, state *farm.State, b *farm.Bin, kind journal.Kind, f Form, status int) error {
	page := EntryPage{Frame: s.frame(r, p, p.Say("bin.formtitle", kind.Words, b.Name), "barn"), BackTo: binTo(b.Name), BackName: binTitle(p, state, b), Heading: p.Say("bin.formtitle", kind.Words, state.Called(b)), Form: f}
	if state.Called(b) == "" {
		page.Heading = p.Say("bin.formtitle", kind.Words, b.Name)
	}
	look, err := s.outlook(r.Context(), b.Name)
	if err != nil {
		return err
	}
	if b.Bed != nil {
		if look != nil {
			page.Section = bedSection(p, b, look)
			page.Facts = likelyFacts(p, look, fed(b.Bed), "/working/bin/"+url.PathEscape(b.Name))
		}
		page.Facts = append(page.Facts, bedFacts(p, b.Bed)...)
	}
	page.Recent = entryLines(p, recent(p, state, b.Name, 4))
	if kind.Name == "feed" {
		page.Empty, page.Ways = s.feedless(p)
	}
	if l, ok := s.lineOf(r.Context(), p, b.Name); ok && string(l.Act) == kind.Name {
		page.Under = l.Say + ". " + l.Reason
	}
	return s.draw(w, "entry", status, page)
}

// binSheet lays out a form about a bin: its name is filled in, amounts are
// those of the round or the farm's habit.
func (s *Server) binSheet(p person, state *farm.State, b *farm.Bin, act string) slip {
	sh := slip{kind: act, action: binTo(b.Name) + "/" + act, back: binTo(b.Name), fixed: map[string]string{}, preset: map[string]string{}, offer: map[string][]Option{}}
	kind, _ := journal.KindNamed(act)
	if _, ok := kind.Field("bins"); ok {
		sh.preset["bins"] = b.Name
	}
	if _, ok := kind.Field("bin"); ok {
		sh.fixed["bin"] = b.Name
	}
	switch act {
	case "feed":
		depth, batch := state.Habit(b.Name).Depth, ""
		if fed := state.Feeding(); len(fed) > 0 {
			batch = fed[0].Name
		}
		if l, ok := s.lineOf(context.Background(), p, b.Name); ok && l.Act == round.Feed {
			depth, batch = qty.Metre(l.Items[0].DepthM), l.Items[0].Mix
		}
		sh.open = []string{"depth_m", "batch", "bins"}
		sh.offer["depth_m"], sh.preset["depth_m"] = depthChips(p), depthText(p, depth)
		sh.offer["batch"], sh.preset["batch"] = s.batchChips(p, batch), batch
	case "water":
		sh.open = []string{"kg", "bins"}
		sh.offer["kg"] = waterChips(p)
		if l, ok := s.lineOf(context.Background(), p, b.Name); ok && l.Act == round.Water {
			sh.preset["kg"] = waterText(p, qty.WaterKg(l.Items[0].WaterKg))
		}
	case "look":
		sh.open = []string{"squeeze", "feed_left", "worms", "where", "smell", "bins"}
	case "reading":
		sh.preset["probe"] = "dial"
		sh.preset["depth_m"] = pick(p.Units, "4", "10")
	case "sighting":
		sh.fixed["pile"], sh.fixed["place"] = "", ""
	case "assay":
		sh.fixed["subject"] = "bin " + b.Name
	case "move":
		sh.fixed["from"] = b.Slot.String()
	}
	return sh
}

// feedless tells when nothing that is mixed is left to feed.
func (s *Server) feedless(p person) (string, []Link) {
	if len(s.Farm.State().Feeding()) > 0 {
		return "", nil
	}
	return p.Say("feed.nobatch"), []Link{{To: "/mix", Name: p.Say("yard.mix")}}
}

// batchChips offers the batches with something left, the last mixed first.
func (s *Server) batchChips(p person, chosen string) []Option {
	var out []Option
	seen := false
	for i, x := range s.Farm.State().Feeding() {
		if i >= 6 && x.Name != chosen {
			continue
		}
		label := x.Name
		if x.Purpose != "" {
			label = p.Say("batch.chip", x.Name, x.Purpose)
		}
		out = append(out, Option{Value: x.Name, Label: label})
		seen = seen || x.Name == chosen
	}
	if chosen != "" && !seen {
		out = append(out, Option{Value: chosen, Label: chosen})
	}
	return out
}
