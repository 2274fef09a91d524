package web

import (
	"net/http"
	"slices"
	"strings"

	"wormyard/internal/app"
	"wormyard/qty"
	"wormyard/round"
)

// EntryPage is a form for one entry, with what it is about beside it.
type EntryPage struct {
	Frame
	BackTo, BackName, Heading, Under string
	Empty                            string // what must be there before the form can be of use
	Form                             Form
	Section                          *SectionShown
	Facts                            []Fact
	Recent                           []EntryLine
	Offer                            *Link        // what to do before
	Wholes                           []Link       // rows, stacks and barns that can be written down at once
	Judged                           *JudgedShown // what a rule says of the lot that is released
	Deck                             *DeckShown   // what a deck does, before a lot is screened
}

// exceptSheet lays out the form that answers a line in another way than "done".
func (s *Server) exceptSheet(p person, l round.Line) slip {
	sh := slip{action: lineTo(l, "/except"), back: "/round#" + anchorOf(l), fixed: map[string]string{}, preset: map[string]string{}, offer: map[string][]Option{}, care: l.Caution, pick: "bins"}
	var first round.Item
	if len(l.Items) > 0 {
		first = l.Items[0]
	}
	bins := l.Bins()
	for _, i := range l.Items {
		if i.Bin != "" {
			sh.offer["bins"] = append(sh.offer["bins"], Option{Value: i.Bin, Label: placeOr(i)})
		}
	}
	sh.preset["bins"] = strings.Join(bins, "\n")
	if len(bins) == 1 {
		delete(sh.offer, "bins")
		sh.fixed["bins"] = bins[0]
	}
	switch l.Act {
	case round.Ask:
		s.askSheet(p, l, &sh)
	case round.Mend:
		sh.kind = mendForm(first)
	case round.Feed:
		sh.kind, sh.open = "feed", []string{"depth_m", "batch", "bins"}
		sh.offer["depth_m"], sh.preset["depth_m"] = depthChips(p), depthText(p, qty.Metre(first.DepthM))
		sh.offer["batch"], sh.preset["batch"] = s.batchChips(p, first.Mix), first.Mix
	case round.Water:
		sh.kind, sh.open = "water", []string{"kg", "bins"}
		sh.offer["kg"], sh.preset["kg"] = waterChips(p), waterText(p, qty.WaterKg(first.WaterKg))
	case round.Cover, round.Open, round.Warm:
		sh.kind, sh.open, sh.only = "cover", []string{"cover", "bins"}, true
		sh.preset["cover"] = first.Cover
		if l.Act == round.Open {
			sh.preset["cover"] = "none"
		}
	case round.Look:
		sh.kind, sh.open = "look", []string{"squeeze", "feed_left", "worms", "where", "smell", "bins"}
	case round.Harvest:
		sh.kind = "harvest"
	case round.Split:
		sh.kind = "stock"
		delete(sh.offer, "bins")
		delete(sh.fixed, "bins")
		delete(sh.preset, "bins")
		if len(bins) > 0 {
			sh.preset["from_bin"] = bins[0]
		}
	case round.Turn, round.Wet, round.Measure:
		sh.kind = "tend"
		sh.fixed["pile"] = first.Pile
		sh.preset["act"] = map[round.Act]string{round.Turn: "turned", round.Wet: "wetted", round.Measure: "measured"}[l.Act]
		if first.WaterKg > 0 {
			sh.preset["water_kg"] = waterText(p, qty.WaterKg(first.WaterKg))
		}
	}
	return sh
}

func (s *Server) exceptForm(w http.ResponseWriter, r *http.Request, p person, l round.Line, problems []app.Problem) error {
	sh := s.exceptSheet(p, l)
	f, err := s.formOf(p, sh, askWhen(p, l))
	if err != nil {
		return err
	}
	refused, doubtful := split(problems)
	f.Problems, f.Doubts, f.Yes = mark(refused, f.Fields, f.More), mark(doubtful, f.Fields, f.More), digest(doubtful)
	status := http.StatusOK
	if len(problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.drawExcept(w, r, p, l, f, status)
}

func (s *Server) drawExcept(w http.ResponseWriter, r *http.Request, p person, l round.Line, f Form, status int) error {
	if x, offered := also(p, l); offered {
		if r.Method == http.MethodPost && r.PostForm.Has("depth_m") {
			x.Value = typed(r, "also")
			x = choose(x)
		}
		f.Fields = append(f.Fields, x)
		f.Fields = append(f.Fields, along(l)...)
	}
	f.Fields = append(f.Fields, askFields(l)...)
	page := EntryPage{Frame: s.frame(r, p, l.Say, "round"), BackTo: "/round#" + anchorOf(l), BackName: p.Say("round.back"), Heading: l.Say, Under: l.Reason, Form: f}
	kind, _ := p.kindNamed(s.exceptSheet(p, l).kind)
	page.Facts = []Fact{{Name: p.Say("round.urgency"), Value: p.Say("urgency." + strings.ReplaceAll(string(l.Urgency), " ", ""))}, {Name: p.Say("form.kind"), Value: kind.Words}}
	if l.Sure != "" {
		page.Facts = append(page.Facts, Fact{Name: p.Say("round.sure"), Value: l.Sure})
	}
	return s.draw(w, "entry", status, page)
}

// roundExcept asks for what was done otherwise than advised, and writes it down.
func (s *Server) roundExcept(w http.ResponseWriter, r *http.Request, p person) error {
	l, err := s.line(r, p)
	if err != nil {
		return err
	}
	if s.exceptSheet(p, l).kind == "" {
		if r.Method != http.MethodPost { // what came back of a tick is answered there
			seeOther(w, r, "/outbox")
			return nil
		}
		return missing{p.Say("round.noline")}
	}
	if r.Method != http.MethodPost {
		list, _, err := s.list(r.Context(), p)
		if err != nil {
			return err
		}
		if open, _ := s.doneSince(list).Open(l); len(open.Items) > 0 {
			l = open
		}
		return s.exceptForm(w, r, p, l, nil)
	}
	if _, _, known := s.entry(r.PostForm.Get("id")); known { // the button was pressed twice
		seeOther(w, r, withSaid(back(r, "/round"), r.PostForm.Get("id")))
		return nil
	}
	carry(r, l)
	got, err := s.keep(r, p, s.exceptSheet(p, l))
	if err != nil {
		return err
	}
	if got.saved != "" {
		seeOther(w, r, withSaid(back(r, "/round"), got.saved))
		return nil
	}
	return s.drawExcept(w, r, p, l, got.form, http.StatusUnprocessableEntity)
}

// carry puts into a form what its page carries along, where it came without.
func carry(r *http.Request, l round.Line) {
	for _, f := range slices.Concat(along(l), askFields(l)) {
		if !r.PostForm.Has(f.Name) {
			r.PostForm.Set(f.Name, f.Value)
		}
	}
}

// also offers the watering and the cover that a feeding was to come with.
func also(p person, l round.Line) (Field, bool) {
	f := Field{ID: "f-also", Name: "also", Label: p.Say("also.title"), Chips: true, Many: true}
	if l.Act != round.Feed && l.Act != round.Water || len(l.Items) == 0 {
		return f, false
	}
	first := l.Items[0]
	if first.WaterKg > 0 && l.Act == round.Feed {
		f.Options = append(f.Options, Option{Value: "water", Label: p.Say("also.water", printable(p.Units.Water(qty.WaterKg(first.WaterKg)))), On: true})
	}
	if first.Cover != "" {
		f.Options = append(f.Options, Option{Value: "cover", Label: p.Say("also.cover", first.Cover), On: true})
	}
	return f, len(f.Options) > 0
}

// depthChips are the depths a bucket can spread.
func depthChips(p person) []Option {
	if p.Units == qty.US {
		return []Option{{Value: "0.5", Label: "½"}, {Value: "1", Label: "1"}, {Value: "1.5", Label: "1½"}, {Value: "2", Label: "2"}, {Value: "2.5", Label: "2½"}, {Value: "3", Label: "3"}, {Value: "4", Label: "4"}}
	}
	return plainOptions("1", "2", "3", "4", "5", "6", "8", "10")
}

// depthText gives a depth as the chips have it.
func depthText(p person, d qty.Metre) string {
	if d <= 0 {
		return ""
	}
	if p.Units == qty.US {
		return plainNumber(halfOf(float64(d) / qty.MetrePerInch))
	}
	return plainNumber(roundTo(float64(d)*100, 1))
}

func waterChips(p person) []Option {
	if p.Units == qty.US {
		return plainOptions("0.5", "1", "1.5", "2", "3", "5")
	}
	return plainOptions("2", "4", "6", "8", "12", "20")
}

func waterText(p person, kg qty.WaterKg) string {
	if p.Units == qty.US {
		return plainNumber(halfOf(float64(kg) / 1000 / qty.M3PerUSGallon))
	}
	return plainNumber(roundTo(float64(kg), 0.5))
}
