package web

import (
	"math"
	"net/http"

	"wormyard/internal/app"
	"wormyard/qty"
)

// TrialsPage is what trials with matched bins say so far.
type TrialsPage struct {
	Frame
	Heading, Under, Empty, Note string
	Trials                      []TrialShown
}

// TrialShown is one of them.
type TrialShown struct {
	Title, Asked, What, None string
	Sides                    []TrialSideShown
	Table                    TriedTable
	Entry                    Link
}

// TrialSideShown is the bins of one side.
type TrialSideShown struct {
	Name string
	Bins []Link
}

func (s *Server) trialsShow(w http.ResponseWriter, r *http.Request, p person) error {
	page := TrialsPage{Frame: s.frame(r, p, p.Say("trials.title"), "more"), Heading: p.Say("trials.title"), Under: p.Say("trials.under")}
	page.One = true
	list := app.Trials(s.Farm.State(), p.Now)
	if len(list.Trials) == 0 {
		page.Empty = p.Say("trials.empty")
	} else {
		page.Note = p.Say("trials.note")
	}
	for _, t := range list.Trials {
		x := TrialShown{Title: p.Say("trials.name", t.Name, p.Words.Date(t.Since.In(p.Zone))), Asked: t.Question, What: t.What, Entry: Link{To: "/journal/" + t.Entry, Name: p.Say("trials.entry")}}
		for i, side := range t.Sides {
			sh := TrialSideShown{Name: p.Say("trials.side", i+1)}
			for _, name := range side {
				sh.Bins = append(sh.Bins, Link{To: binTo(name), Name: name})
			}
			x.Sides = append(x.Sides, sh)
		}
		x.Table = trialTable(p, t)
		if len(t.Measures) == 0 {
			x.None = p.Say("trials.none")
		}
		page.Trials = append(page.Trials, x)
	}
	return s.draw(w, "trials", http.StatusOK, page)
}

// trialTable has a line for each side that is set against the first.
func trialTable(p person, t app.TrialAnswer) TriedTable {
	var out TriedTable
	for n, key := range []string{"trials.what", "trials.difference", "trials.says", "trials.first", "trials.other"} {
		out.Heads = append(out.Heads, Cell{Text: p.Say(key), Num: n > 0 && n != 2})
	}
	for _, m := range t.Measures {
		value, apart, unit := trialNumbers(p, m.Key)
		of := func(side app.TrialSide) string {
			if side.Mean == nil {
				return p.Say("trials.unknown")
			}
			return p.Count("trials.mean", side.Bins, value(*side.Mean))
		}
		for _, x := range m.Pairs {
			difference, says := withSign(x.Difference, apart)+" "+unit, p.Say("trials.norange")
			if x.Low != nil {
				difference = p.Say("trials.range", withSign(x.Difference, apart), withSign(*x.Low, apart), withSign(*x.High, apart), unit)
				says = p.Say("trials.verdict." + map[string]string{"more": "more", "less": "less", "cannot tell": "cannot"}[x.Verdict])
			}
			name := p.Say("trials.measure." + m.Key)
			if m.Days > 0 {
				name = p.Count("trials.days", m.Days, name)
			}
			other := of(m.Sides[x.Side-1])
			if len(t.Sides) > 2 {
				other = p.Say("trials.side", x.Side) + ": " + other
			}
			out.Rows = append(out.Rows, TriedRow{Cells: []Cell{{Text: name}, {printable(difference), true}, {Text: says}, {of(m.Sides[0]), true}, {other, true}}})
		}
	}
	return out
}

// withSign puts a sign before a difference.
func withSign(v float64, text func(float64) string) string {
	out := text(math.Abs(v))
	switch {
	case v < 0:
		return "−" + out
	case v > 0:
		return "+" + out
	}
	return out
}

// trialNumbers gives how a mean and a difference of a measure are printed, and the
// unit of the difference.
func trialNumbers(p person, key string) (value, apart func(float64) string, unit string) {
	tenth := func(per float64) func(float64) string {
		return func(v float64) string { return qty.Figures(math.Round(10*per*v) / 10) }
	}
	switch key {
	case "temp_c":
		return p.temperatureUnit, tenth(pickNumber(p.Units, 1.8, 1)), pick(p.Units, "°F", "°C")
	case "water_frac_wet":
		return qty.Percent100, tenth(100), p.Say("trials.points")
	case "worms_per_m2":
		return headcount, headcount, ""
	}
	mass := func(v float64) string { return printable(p.Units.Mass(v)) }
	return mass, mass, ""
}
