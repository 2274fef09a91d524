package web

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"wormyard/carpentry"
	"wormyard/internal/app"
	"wormyard/internal/drawing"
	papers "wormyard/internal/paper"
	"wormyard/internal/web/words"
	"wormyard/qty"
)

// BoxViews draws a bin with its words.
func boxViews(p person, a *app.BoxAnswer) []drawing.View {
	x, built, holes := a.Drawn()
	pieces := map[string]string{}
	for _, c := range built.Pieces {
		pieces[c.Name] = p.Told(c.Name)
	}
	past := carpentry.Inches(x.PointIn) + " in · " + qty.Figures(math.Round(x.PointIn*25.4)) + " mm"
	fasteners := p.Count("workshop.screw", x.PerJoint, thickSaid(x.DiameterIn, true), past)
	if x.Fastener == "nail" {
		fasteners = p.Count("workshop.nail", x.PerJoint, thickSaid(x.DiameterIn, false), past)
	}
	b := drawing.Bin{Box: x, Built: built, Holes: holes, Cuts: a.Cuts, Words: drawing.Words{
		Inch: "in", Foot: "ft", Plan: p.Say("workshop.d.plan"), Front: p.Say("workshop.d.front"), Side: p.Say("workshop.d.side"), Section: p.Say("workshop.d.section"),
		Exploded: p.Say("workshop.d.exploded"), Corner: p.Say("workshop.d.corner"), Cuts: p.Say("workshop.d.cuts"),
		Inside: p.Say("workshop.d.inside"), Forks: p.Say("workshop.d.forks"), Bed: p.Say("workshop.d.bed"), Liner: p.Say("workshop.d.liner"), Holes: p.Say("workshop.d.holes"),
		Pieces: pieces, Many: "%d × %s", Fasteners: fasteners, OneBin: "%d × %s, %s", Left: p.Say("workshop.d.left"),
	}}
	return b.Views()
}

// BoxSVG writes the drawings of a bin as one file of SVG.
func BoxSVG(w io.Writer, a *app.BoxAnswer, c *words.Catalogue, u qty.System) error {
	p := person{Units: u, Words: c}
	return drawing.WriteSVG(w, boxTitle(p, a), p.Say("workshop.foot"), boxViews(p, a))
}

// BoxPDF writes the drawings of a bin with what it holds and what is bought. The
// same bin, language and units give the same bytes but for the day.
func BoxPDF(w io.Writer, a *app.BoxAnswer, c *words.Catalogue, u qty.System, day time.Time) error {
	p := person{Units: u, Words: c}
	views := boxViews(p, a)
	d := papers.Document{Title: p.Say("workshop.title"), Under: boxTitle(p, a), Foot: p.Say("workshop.foot"), Page: p.Say("record.page")}
	if fails := boxFails(p, a); len(fails) > 0 {
		d.Banner = p.Say("workshop.failbanner")
	}
	var cautions []string
	for _, x := range a.Cautions {
		cautions = append(cautions, p.Told(x))
	}
	last := len(views) - 1
	views[last].Title = "" // its part says it
	checks := papers.Table{Columns: []papers.Column{{Head: p.Say("workshop.c.check"), Wide: 0.34}, {Head: p.Say("workshop.c.has"), Wide: 0.2, Right: true}, {Head: p.Say("workshop.c.may"), Wide: 0.2, Right: true}, {Head: p.Say("workshop.c.share"), Wide: 0.12, Right: true}, {Head: p.Say("workshop.c.said"), Wide: 0.14}}}
	for _, x := range a.Checks {
		said := p.Say("workshop.holds")
		if !x.OK {
			said = p.Say("workshop.fails")
		}
		checks.Rows = append(checks.Rows, []string{sentence(p.Told(x.Name)), boxValue(p, x.Value, x.Unit), boxValue(p, x.Allowed, x.Unit), percentNumber(x.Ratio) + " %", said})
	}
	buy := papers.Table{Columns: []papers.Column{{Head: p.Say("workshop.c.thing"), Wide: 0.5}, {Head: p.Say("workshop.c.each"), Wide: 0.25, Right: true}, {Head: p.Say("workshop.c.cost"), Wide: 0.25, Right: true}}}
	for _, x := range a.Parts {
		buy.Rows = append(buy.Rows, []string{partSay(p, x), moneySay(x.Each), moneySay(x.Cost)})
	}
	d.Parts = []papers.Part{
		{Head: p.Say("workshop.careful"), Says: cautions},
		{Head: p.Say("workshop.drawn"), Views: views[:last]},
		{Head: p.Say("workshop.d.cuts"), Views: views[last:], Says: []string{cutSay(p, a)}},
		{Head: p.Say("workshop.c.buy"), Table: &buy},
		{Head: p.Say("workshop.checks"), Table: &checks},
		{Head: p.Say("workshop.facts"), Facts: paperFacts(buildFacts(p, a)), Says: holesSay(p, a)},
	}
	return d.Write(w, paperOf(u), day)
}

func paperFacts(list []Fact) (out []papers.Fact) {
	for _, f := range list {
		out = append(out, papers.Fact{Name: f.Name, Value: strings.TrimSpace(f.Value + " " + f.Note)})
	}
	return out
}

func boxTitle(p person, a *app.BoxAnswer) string {
	x, _, _ := a.Drawn()
	return p.Say("workshop.bin", inchSaid(p, x.Length), inchSaid(p, x.Width), inchSaid(p, a.Stands), p.Told(x.Species), p.Told(x.Grade))
}

// thickSaid tells how thick a fastener is, as it is sold: decimals of an inch, the
// number of a screw where it has one, and millimetres.
func thickSaid(in float64, screw bool) string {
	say := plainNumber(roundTo(in, 0.001)) + " in · " + fmt.Sprintf("%.1f mm", in*25.4)
	if n := math.Round((in - 0.06) / 0.013); screw && n >= 2 && n <= 24 && math.Abs(0.06+0.013*n-in) < 0.002 { // ASME B18.6.1, by memory
		return "No. " + plainNumber(n) + ", " + say
	}
	return say
}

// boxValue prints a number of a check in the units of a person.
func boxValue(p person, v float64, unit string) string {
	if unit == "in" && v >= 1 { // a sag is finer than a tape
		return inchSaid(p, v)
	}
	if p.Units == qty.Metric {
		if m, ok := metricOf[unit]; ok {
			v, unit = v*m.by, m.unit
		}
	}
	return strings.TrimSpace(qty.Figures(v) + " " + p.Told(unit))
}

// metricOf turns the units of carpentry into those of a metric reader; forces
// are told as the mass that weighs as much.
var metricOf = map[string]struct {
	unit string
	by   float64
}{
	"psi": {"kPa", 6.894757}, "lb": {"kg", qty.KgPerPound}, "in": {"mm", 25.4}, "lb/in": {"kg/cm", qty.KgPerPound / 2.54}, "lb in": {"kg cm", qty.KgPerPound * 2.54},
	"in2": {"cm2", 6.4516}, "in3": {"cm3", 16.387064}, "in4": {"cm4", 41.623143},
}

func moneySay(v *float64) string {
	if v == nil {
		return "–"
	}
	return moneyText(*v)
}

func moneyText(v float64) string {
	whole, cents, _ := strings.Cut(fmt.Sprintf("%.2f", v), ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return whole + "." + cents
}
