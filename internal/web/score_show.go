package web

import (
	"context"
	"math"
	"net/http"
	"strconv"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/twin"
)

// Trusts tells how far the forecasts could be trusted so far.
type Trusts interface {
	Trust(ctx context.Context) (*app.Trust, error)
}

// ScorePage says how far to trust the forecasts.
type ScorePage struct {
	Frame
	Heading string
	Trusted
}

// Trusted is how far the forecasts could be trusted, in a reader's words.
type Trusted struct {
	Under string
	Empty string // instead of the rest, where nothing was scored yet
	Left  string // still to be scored; "" where nothing is
	Limit string
	Kinds []TrustedKind
	Helps []Link // to the bins
}

// TrustedKind is the forecasts of one kind of reading.
type TrustedKind struct {
	Title string
	Say   []string
	Held  draw.Held
	Alt   string
	Table TriedTable
}

func (s *Server) scoreShow(w http.ResponseWriter, r *http.Request, p person) error {
	page := ScorePage{Frame: s.frame(r, p, p.Say("score.title"), "more"), Heading: p.Say("score.title")}
	page.One = true
	trust := &app.Trust{}
	if from, ok := s.Rounds.(Trusts); ok {
		var err error
		if trust, err = from.Trust(r.Context()); err != nil {
			return err
		}
	}
	page.Trusted = p.trusted(trust)
	for i, h := range trust.Helps {
		if b, ok := s.Farm.State().Bin(h.Bin); ok {
			page.Helps[i].Name = p.about(s.Farm.State().Called(b))
		}
	}
	return s.draw(w, "score", http.StatusOK, page)
}

// Scored says in a reader's words how far the forecasts could be trusted.
func Scored(t *app.Trust, c *words.Catalogue, units qty.System, zone *time.Location, now time.Time) Trusted {
	return person{Units: units, Words: c, Zone: zone, Now: now.In(zone)}.trusted(t)
}

func (p person) trusted(t *app.Trust) Trusted {
	var out Trusted
	if t.Left > 0 {
		out.Left = p.Count("score.left", t.Left)
	}
	for _, h := range t.Helps {
		out.Helps = append(out.Helps, Link{To: binTo(h.Bin), Name: h.Bin, Note: p.help(h.Help)})
	}
	if t.Forecast == 0 {
		out.Empty = p.Say("score.empty")
		return out
	}
	out.Under = p.Count("score.under", t.Readings, p.Words.Date(t.From.In(p.Zone)), p.Words.Date(t.To.In(p.Zone)))
	out.Limit = p.limit(t.Limit)
	for i := 0; i < len(t.Lines); {
		n := i + 1
		for n < len(t.Lines) && t.Lines[n].Kind == t.Lines[i].Kind {
			n++
		}
		out.Kinds = append(out.Kinds, p.trustedKind(t.Lines[i:n]))
		i = n
	}
	return out
}

// kindTitle names the kinds of reading.
var kindTitle = map[twin.Kind]string{
	twin.Temperature: "score.kind.temperature", twin.Moisture: "score.kind.moisture", twin.Height: "score.kind.height",
	twin.Weighed: "score.kind.weight", twin.WormsKg: "score.kind.worms", twin.WormsNumber: "score.kind.number",
}

// aheadWord says how far ahead.
var aheadWord = map[int]string{1: "score.ahead.1", 3: "score.ahead.3", 7: "score.ahead.7", 14: "score.ahead.14"}

func (p person) trustedKind(lines []app.TrustLine) TrustedKind {
	k := TrustedKind{Title: p.Say(kindTitle[lines[0].Kind]), Alt: p.Say("score.alt")}
	picture := draw.Shares{Whole: 0.9, Half: 0.5, WholeLabel: p.Say("score.nine"), HalfLabel: p.Say("score.five"), None: "0", All: p.Say("score.all")}
	t := TriedTable{Narrow: true, Heads: []Cell{{Text: p.Say("score.head.ahead")}, {p.Say("score.head.n"), true}, {p.Say("score.head.off"), true}, {p.Say("score.head.wide"), true}}}
	few := true
	for i := range lines {
		l := &lines[i]
		ahead := p.Say(aheadWord[l.Days])
		k.Say = append(k.Say, p.Count("score.held", l.N, ahead, tenths(l.In90), tenths(l.In50)))
		picture.Rows = append(picture.Rows, draw.Share{Label: ahead, Whole: l.In90, Half: l.In50})
		t.Rows = append(t.Rows, TriedRow{Cells: []Cell{{Text: ahead}, {thousands(l.N), true}, {p.apart(l.Kind, l.Off), true}, {p.apart(l.Kind, l.Wide), true}}})
		few = few && l.N < app.EnoughRead
	}
	if few {
		k.Say = append(k.Say, p.Say("score.few"))
	}
	for i := range lines {
		if l := &lines[i]; l.Days == 7 || len(lines) == 1 {
			ahead := p.Say(aheadWord[l.Days])
			k.Say = append(k.Say, p.plainly(&againstLast, ahead, l.Last), p.plainly(&againstSeason, ahead, l.Season))
		}
	}
	k.Held, k.Table = draw.NewHeld(picture), t
	return k
}

// tenths says a share as so many of ten, to one figure behind the point.
func tenths(v float64) string { return strconv.FormatFloat(math.Round(v*100)/10, 'f', -1, 64) }

// againstPlain is what is said of the twins against a plain forecast.
type againstPlain struct{ better, worse, same, none string }

var (
	againstLast   = againstPlain{"score.last.better", "score.last.worse", "score.last.same", "score.last.none"}
	againstSeason = againstPlain{"score.season.better", "score.season.worse", "score.season.same", "score.season.none"}
)

// plainly says how the twins did against a plain forecast.
func (p person) plainly(k *againstPlain, ahead string, a *app.Against) string {
	if a == nil {
		return p.Say(k.none, ahead)
	}
	by, of := math.Round(100*a.Less()), p.Say("score.of.many", thousands(a.N))
	if a.N == 1 {
		of = p.Say("score.of.one")
	}
	switch {
	case by > 0:
		return p.Say(k.better, ahead, of, whole(by))
	case by < 0:
		return p.Say(k.worse, ahead, of, whole(-by))
	}
	return p.Say(k.same, ahead, of)
}

// apart says a difference between what was read and what was expected; of worms as
// a factor.
func (p person) apart(kind twin.Kind, d float64) string {
	switch kind {
	case twin.Temperature:
		return p.stepC(d)
	case twin.Moisture:
		return p.Say("score.points", strconv.FormatFloat(math.Round(1000*d)/10, 'f', -1, 64))
	case twin.Height:
		return depthSay(p, d)
	case twin.Weighed:
		return printable(p.Units.Mass(d))
	}
	return p.Say("score.factor", qty.Figures(math.Exp(d)))
}

// stepC says a difference of temperature to a tenth.
func (p person) stepC(d float64) string {
	unit := "\u00a0°C"
	if p.Units == qty.US {
		d, unit = 1.8*d, "\u00a0°F"
	}
	return strconv.FormatFloat(math.Round(10*d)/10, 'f', -1, 64) + unit
}

func (p person) limit(l *app.TrustLimit) string {
	if l == nil {
		return p.Say("score.limit.none")
	}
	kind := p.Say(kindTitle[l.Kind])
	switch l.Cause {
	case app.LimitOff:
		if l.Kind == twin.WormsKg || l.Kind == twin.WormsNumber {
			if l.Higher > 0 {
				return p.Say("score.limit.morefactor", kind, p.apart(l.Kind, l.Higher))
			}
			return p.Say("score.limit.lessfactor", kind, p.apart(l.Kind, -l.Higher))
		}
		if l.Higher > 0 {
			return p.Say("score.limit.more", kind, p.apart(l.Kind, l.Higher))
		}
		return p.Say("score.limit.less", kind, p.apart(l.Kind, -l.Higher))
	case app.LimitNarrow:
		return p.Say("score.limit.narrow", kind, tenths(l.In90))
	case app.LimitNow:
		return p.Say("score.limit.now", kind)
	}
	return p.Say("score.limit.ahead", kind)
}

// wide90 is half the width of the central 90 % of a normal [standard deviations].
const wide90 = 1.6448536269514722

// help says what a measure would tell of a bin.
func (p person) help(h twin.Help) string {
	var what string
	switch h.What {
	case twin.Stab:
		what = p.Say("score.help.stab", depthSay(p, h.DepthM))
	case twin.Glance:
		what = p.Say("score.help.look")
	case twin.Rule:
		what = p.Say("score.help.rule")
	default:
		what = p.Say("score.help.count")
	}
	takes := p.Words.Span(math.Max(1, h.Minutes))
	before, after := wide90*h.Before, wide90*h.After
	switch h.Of {
	case twin.WarmestNow:
		return p.Say("score.help.warmest", what, takes, p.stepC(after), p.stepC(before))
	case twin.LeftNow:
		return p.Say("score.help.left", what, takes, whole(100*after), whole(100*before))
	}
	return p.Say("score.help.worms", what, takes, qty.Figures(math.Exp(after)), qty.Figures(math.Exp(before)))
}
