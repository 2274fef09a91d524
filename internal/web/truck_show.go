package web

import (
	"net/http"
	"strings"

	"wormyard/farm"
	"wormyard/internal/source"
	"wormyard/journal"
)

// TruckPage is the sheet that is gone through before the first lift of a day.
type TruckPage struct {
	Frame
	Heading, Under string
	Rule           string
	Form           Form
	Recent         []EntryLine
}

const truckKind = "truck check"

// truckOffer gives the way to the sheet when nobody went through it today, and
// tells of a truck that is out of service; nil when there is nothing to say.
func (s *Server) truckOffer(p person) *Link {
	lines, _ := s.Farm.State().Search(farm.Search{Kind: truckKind, From: midnight(p.Now), Limit: 20}, p.Units)
	if len(lines) == 0 {
		return &Link{To: "/truck", Name: p.Say("truck.open"), Note: p.Say("truck.first")}
	}
	seen := map[string]bool{}
	for _, l := range lines { // the newest first; what was said last of a truck stands
		b, ok := l.Entry.Body.(*journal.TruckCheck)
		if !ok || seen[b.Truck] {
			continue
		}
		seen[b.Truck] = true
		if !b.Fit {
			return &Link{To: "/truck", Name: p.Say("truck.open"), Note: p.Say("truck.out", b.Truck, p.Moment(l.Entry.At))}
		}
	}
	return nil
}

// lifts says whether some of the bins stand under others, so that the truck is
// needed.
func lifts(state *farm.State, bins []string) bool {
	for _, b := range bins {
		if len(state.Places().Above(b)) > 0 {
			return true
		}
	}
	return false
}

// truckShow shows the sheet and takes it back.
func (s *Server) truckShow(w http.ResponseWriter, r *http.Request, p person) error {
	items, err := source.Truck()
	if err != nil {
		return err
	}
	page := TruckPage{Frame: s.frame(r, p, p.Say("truck.title"), "round"), Heading: p.Say("truck.title"), Under: p.Say("truck.how"), Rule: p.Say("truck.rule")}
	page.One = true
	var ticks []Option
	part := ""
	for _, i := range items {
		x := Option{Value: i.Item, Label: p.Say("truck.part." + strings.ReplaceAll(i.Item, " ", ""))}
		if i.Paragraph != "" {
			x.Label = p.Say("truck.asked", x.Label, i.Paragraph)
		}
		if i.Key != part {
			part, x.Head = i.Key, p.Say("truck."+i.Key)
		}
		ticks = append(ticks, x)
	}
	lines, _ := s.Farm.State().Search(farm.Search{Kind: truckKind, From: p.Now.Add(-lately), Limit: 6}, p.Units)
	page.Recent = entryLines(p, lines)
	sh := slip{kind: truckKind, action: "/truck", back: "/round", open: []string{"truck", "wrong", "fit", "hours"}, rows: "wrong", offer: map[string][]Option{"wrong": ticks}, preset: map[string]string{}}
	if len(lines) > 0 {
		if b, ok := lines[0].Entry.Body.(*journal.TruckCheck); ok {
			sh.preset["truck"] = b.Truck
		}
	}
	status := http.StatusOK
	if r.Method == http.MethodPost {
		got, err := s.keep(r, p, sh)
		if err != nil {
			return err
		}
		if got.saved != "" {
			seeOther(w, r, withSaid(back(r, "/round"), got.saved))
			return nil
		}
		page.Form, status = got.form, http.StatusUnprocessableEntity
	} else if page.Form, err = s.formOf(p, sh, values{}); err != nil {
		return err
	}
	return s.draw(w, "truck", status, page)
}
