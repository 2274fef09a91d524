package web

import (
	"context"
	"math"
	"net/http"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/harvest"
	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/qty"
	"wormyard/twin"
)

// RipeShown is the bins that are ripe or soon are.
type RipeShown struct {
	None, More string
	NoneTo     Link // what would tell it
	Bins       []RipeBin
	Rest       []RipeBin // under a fold
}

// RipeBin is a bin that is ripe or soon is, with the way to its form of a harvest.
type RipeBin struct {
	Link
	Take Link // its name is for those who do not see beside which bin it stands
}

// HarvestShown is when and how a bin is taken.
type HarvestShown struct {
	Says  []string
	Times *HarvestTimes
	Ways  TriedTable
	To    string // the form on which a harvest is written down
}

// HarvestTimes is a bed from its bedding to its harvest, a line for each step with
// its words and its drawing; all lines have one axis of time.
type HarvestTimes struct {
	Lines       []TimeStep
	First, Last string // what stands at the ends of the axis
}

// TimeStep is one line of it.
type TimeStep struct {
	Name, When, Note, Texture string
	draw.Strip
}

// stepTextures are the drawings of what is spread on the way to a harvest; what is
// left off is left empty.
var stepTextures = map[harvest.Step]string{harvest.FeedOneSide: "t-feed"}

// DeckShown is what a deck is likely to do with a lot, above the form of a screening.
type DeckShown struct {
	Action      string
	Fields      []Field
	Bad         []string // what cannot be read of what was asked
	Cares, Says []string
	Facts       []Fact
	Beside      *TriedTable
}

// shownRipe is how many bins stand open on the page Castings.
const shownRipe = 12

func (s *Server) ripeShown(ctx context.Context, p person, state *farm.State) (*RipeShown, error) {
	if s.Rounds == nil {
		return nil, nil
	}
	var all []*app.Outlook
	for _, b := range state.Living() {
		o, err := s.outlook(ctx, b.Name)
		if err != nil {
			return nil, err
		}
		all = append(all, o)
	}
	list := app.RipeningOf(all)
	out := &RipeShown{}
	if len(list) == 0 {
		out.None = p.Say("ripe.none")
		if len(all) > 0 && !slices.ContainsFunc(all, func(o *app.Outlook) bool { return o != nil }) { // no round was made yet
			out.None, out.NoneTo = p.Say("ripe.unknown"), Link{To: "/round", Name: p.Say("ripe.toround")}
		}
		return out, nil
	}
	for _, x := range list {
		b, ok := state.Bin(x.Outlook.Bin)
		if !ok {
			continue
		}
		one := RipeBin{Take: Link{To: binTo(b.Name) + "/harvest", Name: p.Say("ripe.take", binTitle(p, state, b))}, Link: Link{To: binTo(b.Name) + "#harvest", Name: binTitle(p, state, b), Note: p.Say("ripe.bins", ripeSay(p, x.Days), rangeKg(p, x.Outlook.CastKg.Low, x.Outlook.CastKg.Mid, x.Outlook.CastKg.High), wormsSay(p, x.Outlook.Worms))}}
		if len(out.Bins) < shownRipe {
			out.Bins = append(out.Bins, one)
		} else {
			out.Rest = append(out.Rest, one)
		}
	}
	if n := len(out.Rest); n > 0 {
		out.More = p.Count("ripe.more", n)
	}
	return out, nil
}

// harvestShown tells when a bin is ripe, when to stop feeding it, and what each way
// of taking it gives; nil of a bin that is not ripe as far as was looked ahead.
func (s *Server) harvestShown(p person, b *farm.Bin, o *app.Outlook) *HarvestShown {
	if o.Ripe == nil {
		return nil
	}
	out := &HarvestShown{To: binTo(o.Bin) + "/harvest", Says: []string{p.Say("ripe.is", sentence(ripeSay(p, *o.Ripe)))}}
	if x := o.Ready; x != nil {
		out.Says = append(out.Says, p.Say("ripe.shares", rangeSay(p, x.Worked, percentNumber), rangeSay(p, x.Feed, percentNumber), rangeSay(p, x.Depth, func(m float64) string { return depthNumber(p, m) })+" "+p.Say("unit."+pick(p.Units, "inches", "cm"))))
		out.Says = append(out.Says, p.Say("ripe.chance", p.Words.Chance(x.Chance)))
	}
	out.Times = s.harvestTimes(p, b, o)
	ways := s.screens.Ways(o)
	out.Ways = TriedTable{Narrow: true, Note: p.Say("ripe.waysnote")}
	for n, key := range []string{"ripe.way", "ripe.castings", "ripe.worms", "ripe.cocoons"} {
		out.Ways.Heads = append(out.Ways.Heads, Cell{Text: p.Say(key), Num: n > 0})
	}
	for _, w := range ways {
		out.Ways.Rows = append(out.Ways.Rows, TriedRow{Cells: []Cell{{Text: p.Say("ripe.way." + strings.ReplaceAll(string(w.Way), " ", "_"))},
			{rangeKg(p, w.Castings.Low, w.Castings.Mid, w.Castings.High), true}, {wormsSay(p, w.Worms), true}, {rangeSay(p, w.Cocoons, headcount), true}}})
	}
	return out
}

// aheadLeast is how many days ahead a timeline shows at least.
const aheadLeast = 14

// harvestTimes draws when a bed was laid and fed and when what is to be done on the
// way to its harvest.
func (s *Server) harvestTimes(p person, b *farm.Bin, o *app.Outlook) *HarvestTimes {
	plan := s.screens.Plan(o, p.Now)
	if len(plan) == 0 || b.Bed == nil {
		return nil
	}
	axis := draw.StripAxis{First: min(dayOn(p, b.Bed.At), 0), Last: aheadLeast}
	for _, x := range plan {
		axis.Last = max(axis.Last, math.Ceil(dayOn(p, x.High))+1)
	}
	date := func(t time.Time) string { return p.Words.Date(t.In(p.Zone)) }
	out := &HarvestTimes{First: date(b.Bed.At), Last: date(p.Now.AddDate(0, 0, int(axis.Last)))}
	var fed []float64
	for _, a := range b.Bed.Acts {
		if a.Kind == farm.ActFeed && !a.At.After(p.Now) {
			fed = append(fed, dayOn(p, a.At))
		}
	}
	laid := TimeStep{Name: p.Say("ripe.laid"), When: date(b.Bed.At), Note: p.Say("ripe.neverfed"), Strip: axis.Strip(draw.StripSpan{Best: axis.First, Done: fed, Since: true})}
	if n := len(fed); n > 0 {
		laid.Note = p.Count("ripe.fed", n, date(p.Now.Add(time.Duration(fed[n-1]*24*float64(time.Hour)))))
	}
	if b.Bed.Start.FirstMorning {
		laid.Name = p.Say("ripe.was")
	}
	out.Lines = append(out.Lines, laid)
	take := plan[len(plan)-1]
	for _, x := range plan {
		key := strings.ReplaceAll(string(x.Step), " ", "_")
		line := TimeStep{Name: p.Say("ripe.step." + key), When: p.Words.Short(x.At.In(p.Zone)), Texture: stepTextures[x.Step], Note: p.Say("ripe.note." + key)}
		if x.Days > 0 {
			line.Note = p.Say("ripe.note."+key, whole(x.Days))
		}
		if x.At.Before(p.Now.Add(12 * time.Hour)) {
			line.When = p.Say("ripe.now")
		}
		if low, high := p.Words.Short(x.Low.In(p.Zone)), p.Words.Short(x.High.In(p.Zone)); low != high {
			line.When = p.Say("ripe.span", line.When, low, high)
		}
		span := draw.StripSpan{Low: dayOn(p, x.Low), Best: dayOn(p, x.At), High: dayOn(p, x.High), Until: dayOn(p, take.At)}
		line.Strip = axis.Strip(span)
		out.Lines = append(out.Lines, line)
	}
	return out
}

// The deck that is asked about when nobody says which: a quarter inch; what may be
// asked about; and the moisture that decks like.
const (
	usualOpening  = qty.Metre(qty.MetrePerInch / 4)
	leastOpening  = qty.Metre(0.0005)
	mostOpening   = qty.Metre(0.05)
	usualMoisture = "45"
)

// deckShown tells what the deck that is asked about is likely to do with a lot, and
// fills it into the form of the screening.
func (s *Server) deckShown(r *http.Request, p person, l *farm.Lot, sh *slip) *DeckShown {
	q := r.URL.Query()
	text := func(key, otherwise string) string {
		if v := strings.TrimSpace(q.Get(key)); v != "" {
			return v
		}
		return otherwise
	}
	moist := usualMoisture
	if n := len(l.Tests); n > 0 {
		for _, t := range l.Tests { // the newest stands
			if t.Analyte == "water_frac_wet" {
				moist = whole(100 * t.Value)
			}
		}
	}
	opening, water, kind, rate, chips := text("opening", p.Units.OpeningTyped(usualOpening)), text("water", moist), text("deck", "flat"), text("rate", "100"), text("chips", "")
	out := &DeckShown{Action: lotTo(l.Name) + "/screen"}
	box := func(key, value, unit string) Field {
		return Field{ID: "deck-" + key, Name: key, Label: p.Say("deck." + key), Value: value, Unit: unit, Type: "text", Short: true}
	}
	asked := box("opening", opening, pick(p.Units, "in", "mm"))
	asked.Help = p.Say("deck.openinghelp", pick(p.Units, "1/4", "6"))
	out.Fields = []Field{asked, box("water", water, "%"), {ID: "deck-deck", Name: "deck", Label: p.Say("deck.deck"), Select: true, Options: []Option{
		{Value: "flat", Label: p.Say("deck.flat"), On: kind != "drum"}, {Value: "drum", Label: p.Say("deck.drum"), On: kind == "drum"}}},
		box("rate", rate, "%"), box("chips", chips, "%")}
	for i, key := range []string{1: "deck.waterhelp", 3: "deck.ratehelp", 4: "deck.chipshelp"} {
		if key != "" {
			out.Fields[i].Help = p.Say(key)
		}
	}
	in := app.ScreenAsked{Drum: kind == "drum"}
	number := func(i int, text string, low, high float64) float64 {
		v, ok := qty.Number(strings.TrimSuffix(strings.TrimSpace(text), "%"))
		if !ok || !(v >= low && v <= high) {
			out.Fields[i].Bad = p.Say("deck.bad", text, whole(low), whole(high))
			out.Bad = append(out.Bad, out.Fields[i].Label+": "+out.Fields[i].Bad)
		}
		return v
	}
	full := opening
	if bare(opening) {
		full += " " + asked.Unit
	}
	m, err := qty.Parse(full, qty.Length)
	if hole := qty.Metre(m); err != nil || !(hole >= leastOpening && hole <= mostOpening) {
		out.Fields[0].Bad = p.Say("deck.badopening", full, pick(p.Units, "1/4 in", "6 mm"), p.Units.Opening(leastOpening), p.Units.Opening(mostOpening))
		out.Bad = append(out.Bad, out.Fields[0].Label+": "+out.Fields[0].Bad)
	}
	in.Opening = m * 1000
	in.Water, in.Rate = qty.WaterOfWet(number(1, water, 0, 95)/100), number(3, rate, 1, 1000)/100
	if chips != "" {
		in.Chips = number(4, chips, 0, 95) / 100
	}
	if len(out.Bad) > 0 {
		return out
	}
	s.fillDeck(p, l, in, out)
	sh.preset["decks"] = p.Units.OpeningTyped(qty.Metre(m)) + ", , , " + kind + ", " + rate + " %"
	sh.preset["water_frac_wet"] = water + " %"
	return out
}

func (s *Server) fillDeck(p person, l *farm.Lot, in app.ScreenAsked, out *DeckShown) {
	a := s.screens.Ask(s.Farm.State(), l, in)
	percent := func(v float64) string { return p.Say("tried.percent", percentNumber(v)) }
	percentOf := func(e qty.Estimate) string {
		if percentNumber(e.Low) == percentNumber(e.High) {
			return percent(e.Best)
		}
		return p.Say("range.short", percent(e.Best), percentNumber(e.Low), percentNumber(e.High))
	}
	of := func(e qty.Estimate) string {
		return rangeSay(p, twin.Range{Low: e.Low, Mid: e.Best, High: e.High}, percentNumber)
	}
	switch {
	case a.Cut.Balls:
		out.Cares = append(out.Cares, p.Say("deck.balls", percent(float64(in.Water)), percent(a.Dry)))
	case a.Sticks:
		out.Cares = append(out.Cares, p.Say("deck.sticks", percent(float64(in.Water)), percent(a.Dry)))
	case a.Dusty:
		out.Cares = append(out.Cares, p.Say("deck.dusty", percent(float64(in.Water))))
	}
	if !a.Cut.Balls {
		out.Facts = append(out.Facts, Fact{Name: p.Say("deck.through"), Value: rangeKg(p, float64(a.ThroughLow), float64(a.Through), float64(a.ThroughHigh)), Note: p.Say("deck.ofheap", percent(a.Cut.Through.Best)), Working: "/working/figure/screen.cut"},
			Fact{Name: p.Say("deck.over"), Value: rangeKg(p, float64(a.Heap-a.ThroughHigh), float64(a.Over), float64(a.Heap-a.ThroughLow))},
			Fact{Name: p.Say("deck.efficiency"), Value: percent(a.Cut.Efficiency()), Note: p.Say("deck.parts", percent(a.Cut.Recovered), percent(a.Cut.Kept)), Working: "/working/figure/screen.efficiency"},
			Fact{Name: p.Say("deck.cocoons"), Value: percentOf(a.Cut.Cocoons), Working: "/working/figure/screen.cocoons"}, Fact{Name: p.Say("deck.worms"), Value: percentOf(a.Cut.Worms)}, Fact{Name: p.Say("deck.threads"), Value: percentOf(a.Cut.Threads)})
	}
	if !a.Sure {
		out.Says = append(out.Says, p.Say("deck.unsure"))
	}
	if gone := 1 - a.Cut.Cocoons.Best; gone > 0.05 {
		out.Says = append(out.Says, p.Say("deck.stock", percent(gone), qty.Figures(a.Hold), printable(p.Units.Temperature(qty.Celsius(a.HoldC)))))
	}
	if a.Fine {
		out.Says = append(out.Says, p.Say("deck.fine"))
	}
	own := p.Say("deck.assumed")
	if a.Own > 0 {
		own = p.Count("deck.own", a.Own)
	}
	out.Says = append(out.Says, own)
	out.Beside = &TriedTable{Title: p.Say("deck.beside"), Narrow: true, Note: p.Say("deck.besidenote")}
	for n, key := range []string{"deck.opening", "deck.goes", "deck.cocoons", "deck.worms", "deck.threads"} {
		out.Beside.Heads = append(out.Beside.Heads, Cell{Text: p.Say(key), Num: n > 0})
	}
	for _, b := range a.Beside {
		out.Beside.Rows = append(out.Beside.Rows, TriedRow{Cells: []Cell{{Text: p.opening(b.Opening)}, {of(b.Cut.Through), true},
			{of(b.Cut.Cocoons), true}, {of(b.Cut.Worms), true}, {of(b.Cut.Threads), true}}})
	}
}
