package web

import (
	"fmt"
	"net/http"

	"wormyard/round"
)

// printPage is the sheet for the crew.
type printPage struct {
	Frame
	Heading, Under, Empty string
	Warnings              []string
	Duties                []Link
	Code                  *CodeShown // opens the sheet to be typed back
	CodeSay               string
	Visits                []string // of the truck
	TruckCare             string
	Groups                []printGroup
}

type printGroup struct {
	Title string
	Lines []printLine
}

type printLine struct {
	No                   int
	Say, Why, Sure, Care string
	Boxes, Blanks        []string
	Code                 *CodeShown
}

// roundPrint shows the list as a sheet to tick with a pen.
func (s *Server) roundPrint(w http.ResponseWriter, r *http.Request, p person) error {
	full, list, err := s.roundPage(r, p)
	if err != nil {
		return err
	}
	page := printPage{Frame: full.Frame, Heading: fmt.Sprintf("%s, %s", full.FarmName, full.Heading), Under: full.Under, Warnings: full.Warnings, Duties: full.Duties, Empty: full.Empty, Visits: full.Visits, TruckCare: full.TruckCare}
	page.Refresh, page.One = 0, true
	if page.Empty != "" && len(s.Farm.State().Bins()) == 0 {
		page.Ways = p.begin()
	}
	x, kept, err := s.keepSheet(r, list)
	if err != nil {
		return err
	}
	if kept {
		list.Lines = p.onPaper(list.Lines, x)
		page.Code, page.CodeSay = s.sheetCode(r, p, x), p.Say("sheet.code", x.Code)
	}
	for n, l := range list.Lines {
		if l.Act == "" { // of a remedy that is over: its number stays free
			continue
		}
		title := s.groupTitle(p, l)
		if g := len(page.Groups); g == 0 || page.Groups[g-1].Title != title {
			page.Groups = append(page.Groups, printGroup{Title: title})
		}
		x := printLine{No: n + 1, Say: l.Say, Why: l.Reason, Sure: l.Sure, Care: l.Caution, Boxes: placesIn(l), Blanks: blanks(p, l.Act), Code: s.lineCode(r, p, l.Key)}
		if len(x.Boxes) == 0 {
			for _, i := range l.Items {
				x.Boxes = append(x.Boxes, i.Pile)
			}
		}
		g := &page.Groups[len(page.Groups)-1]
		g.Lines = append(g.Lines, x)
	}
	return s.draw(w, "round_print", http.StatusOK, page)
}

// blanks are what a crew writes by hand beside a line.
func blanks(p person, act round.Act) []string {
	switch act {
	case round.Feed:
		return []string{p.Say("blank.feed"), p.Say("blank.not")}
	case round.Water, round.Wet:
		return []string{p.Say("blank.water"), p.Say("blank.not")}
	case round.Look:
		return []string{p.Say("blank.squeeze"), p.Say("blank.left"), p.Say("blank.worms"), p.Say("blank.smell")}
	case round.Ask:
		return []string{p.Say("ask.blank")}
	case round.Mend:
		return []string{p.Say("blank.not")}
	case round.Helped:
		return []string{p.Say("remedy.blank")}
	case round.Measure:
		return []string{p.Say("blank.temp", pick(p.Units, "°F", "°C")), p.Say("blank.deep", pick(p.Units, "in", "cm"))}
	case round.Harvest:
		return []string{p.Say("blank.castings"), p.Say("blank.worms")}
	}
	return []string{p.Say("blank.note")}
}
