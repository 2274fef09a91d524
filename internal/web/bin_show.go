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
	Lefts                      []string // what was left undone here, and why
	Remedies                   []Link   // under way, and what became of the last
	Unbelieved                 []string // readings of its probes that are to be checked
	Assumed                    []string // what the twins take for granted where the journal is silent or cannot be true
	Perhaps                    string   // a feeding that nobody wrote down
	Learned                    []string // what moved the twins last
	Row                        []RowShown
	Line                       *ShownLine
	Rests                      string // why nothing is asked for today
	Acts, MoreActs             []Link
	Section                    *SectionShown
	Facts, BoxFacts            []Fact
	Times                      *TimesShown
	Harvest                    *HarvestShown
	Layers                     []LayerShown
	Stages                     []StageShown
	Past                       []Link
	Recent                     []EntryLine
}

// Where the worms are in danger and where refuge ends (design section 8: an
// alarm at 95 °F anywhere worms are held, refuge under 86 °F).
const (
	alarmC  qty.Celsius = 35
	refugeC qty.Celsius = 30
)

func (s *Server) bin(r *http.Request, p person) (*farm.State, *farm.Bin, error) {
	state := s.Farm.State()
	name := r.PathValue("name")
	called, e := state.BinCalled(name)
	b, ok := state.Bin(called)
	if e != nil || !ok {
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
	if l, ok := s.lineOf(r.Context(), p, b.Name); ok && b.State != farm.Retired { // the round may be older
		x := s.showLine(p, l, s.doneSinceOf(r.Context()))
		x.Back = binTo(b.Name)
		x.only("bin", b.Name)
		page.Line = &x
	} else if b.Bed != nil {
		page.Rests = s.restsSay(r.Context(), p, b)
	}
	page.Acts, page.MoreActs = binActs(p, b)
	look, err := s.outlook(r.Context(), b.Name)
	if err != nil {
		return err
	}
	s.fillBin(p, state, b, look, &page)
	if look != nil {
		if page.Times, err = binTimes(p, b, look); err != nil {
			return err
		}
		if b.Bed != nil {
			page.Harvest = s.harvestShown(p, b, look)
		}
	}
	page.Lefts = s.leftAt(p, func(x *farm.Bin) bool { return x.Name == b.Name })
	if page.Remedies, err = remedyLinks(p, state, b); err != nil {
		return err
	}
	page.Recent = entryLines(p, s.recent(p, state, b.Name, 8))
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

// restsSay says why today's round asks nothing of a bin; empty where it does, or
// where the bed was fed since.
func (s *Server) restsSay(ctx context.Context, p person, b *farm.Bin) string {
	if s.Rounds == nil {
		return ""
	}
	made, err := s.Rounds.Last(ctx)
	if err != nil || made == nil || made.Day != p.Now.Format(time.DateOnly) || b.Bed.LastFeed != nil && b.Bed.LastFeed.At.After(made.At) {
		return ""
	}
	i := slices.IndexFunc(made.Items, func(it round.Item) bool { return it.Bin == b.Name })
	if i < 0 || made.Items[i].Act != round.Rest {
		return ""
	}
	say := []string{p.Say("bin.rests")}
	for _, why := range made.Items[i].Why {
		say = append(say, p.spoken().Text(why))
	}
	return strings.Join(say, " ")
}

func (s *Server) doneSinceOf(ctx context.Context) app.Written {
	if s.Rounds == nil {
		return app.Written{}
	}
	made, err := s.Rounds.Last(ctx)
	if err != nil || made == nil {
		return app.Written{}
	}
	return s.doneSince(round.List{Made: made.At})
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
			page.Warnings = append(page.Warnings, p.Told(sentence(d.Say))+" "+p.Told(d.Try))
		}
	}
	page.Unbelieved = p.unbelieved(state.Unbelieved(b.Name))
	if x := bed.Rest; x != nil {
		page.Warnings = append(page.Warnings, p.Say("rest.say", p.Moment(x.At), x.Why))
	}
	if since, until, apart := state.Apart(b, p.Now); apart {
		page.Warnings = append(page.Warnings, p.Say("apart.say", p.Words.Short(since.In(p.Zone)), p.Words.Short(until.In(p.Zone))))
	}
	page.Facts = append(bedFacts(p, bed), Fact{Name: p.Say("fact.worms"), Value: p.Say("worms." + wormsOf(state.Settings.Worms)), Working: "/farm#worms"})
	if look == nil {
		page.NoTwin = p.Say("bin.notwin")
		return
	}
	if x := look.Perhaps; x != nil {
		page.Perhaps = p.spoken().Text(round.BothWays(x.Hour, x.Chance, x.Fed.Mid, x.Unfed.Mid))
	}
	for _, x := range look.Says {
		page.Assumed = append(page.Assumed, p.Told(sentence(x)))
	}
	page.Section, page.Learned = bedSection(p, b, look), p.learned(look.Learned)
	work := "/working/bin/" + url.PathEscape(b.Name)
	page.Facts = append(likelyFacts(p, look, fed(bed), work), page.Facts...)
	page.Stages = stages(p, look)
	for _, l := range look.Layers {
		page.Layers = append(page.Layers, LayerShown{Name: layerName(p, b, l), Thick: depthSay(p, l.Thick.Mid), Warm: rangeSay(p, l.Temp, p.temperature), Wet: rangeSay(p, l.Water, percentNumber), Air: rangeSay(p, l.Oxygen, percentNumber)})
	}
}

// stages gives the worms of a bed by age: how many there likely are now, and in
// two weeks if the bin is left alone.
func stages(p person, o *app.Outlook) []StageShown {
	var out []StageShown
	for _, x := range []struct {
		key       string
		now, then twin.Range
	}{{"stage.cocoons", o.Cocoons, o.Later.Cocoons}, {"stage.young", o.Young, o.Later.Young}, {"stage.grown", o.Adults, o.Later.Adults}} {
		if x.now.High < 1 && x.then.High < 1 {
			continue
		}
		row := StageShown{Name: p.Say(x.key), Now: rangeSay(p, x.now, headcount)}
		if o.Later != (app.Stages{}) { // of an older program
			row.Then = rangeSay(p, x.then, headcount)
		}
		out = append(out, row)
	}
	return out
}

// headcount prints a number of worms to two figures.
func headcount(v float64) string { return qty.Figures(roundTo(v, math.Max(1, 10*thirdFigure(v)))) }

// lately is how far back "lately" looks; the journal shows the rest.
const lately = 120 * 24 * time.Hour

// recent gives the newest entries about a bin.
func (s *Server) recent(p person, state *farm.State, bin string, n int) []farm.Line {
	lines, _ := s.search(state, farm.Search{Subject: "bin " + bin, From: p.Now.Add(-lately), Limit: n}, p.Units)
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
	return EntryLine{To: "/journal/" + url.PathEscape(l.Entry.ID), Say: printable(p.sentence(l.Entry)), When: p.Moment(l.Entry.At), Note: note, Struck: l.Struck}
}
