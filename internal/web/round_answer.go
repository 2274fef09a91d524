package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// answerKinds says which entries answer which act.
var answerKinds = map[round.Act][]string{
	round.Feed: {"feed"}, round.Water: {"water"}, round.Cover: {"cover"}, round.Open: {"cover", "harvest", "turn"},
	round.Look: {"look", "reading"}, round.Harvest: {"harvest"}, round.Split: {"stock", "harvest"}, round.Warm: {"heat", "move", "cover"},
	round.Turn: {"tend"}, round.Wet: {"tend"}, round.Measure: {"tend"}, round.Blend: {"blend"}, round.Ask: {"answer"},
	round.Mend: {"outcome"}, round.Helped: {"outcome"},
}

// doneSince gives what was written down since the list was made.
func (s *Server) doneSince(list round.List) []farm.Line {
	lines, _ := s.search(s.Farm.State(), farm.Search{From: list.Made.Truncate(time.Millisecond), Limit: 2000}, qty.US)
	return lines
}

// answered tells what of a line is done, and whether all of it is.
func (s *Server) answered(p person, l round.Line, done []farm.Line) (string, bool) {
	if l.Act == round.Mend || l.Act == round.Helped {
		return p.remedied(l)
	}
	want := binsIn(l)
	piles := len(want) == 0
	if piles {
		for _, i := range l.Items {
			want = append(want, i.Pile)
		}
	}
	seen := map[string]bool{}
	var last *journal.Entry
	of := "bin "
	if piles {
		of = "pile "
	}
	for _, d := range done { // the newest first
		if !slices.Contains(answerKinds[l.Act], d.Entry.Kind) {
			continue
		}
		for _, subject := range farm.Subjects(d.Entry) {
			n, ok := strings.CutPrefix(subject, of)
			if ok && slices.Contains(want, n) {
				seen[n] = true
				if last == nil {
					last = d.Entry
				}
			}
		}
	}
	if last == nil {
		return "", false
	}
	who := last.Who
	if who == "" {
		who = p.Say("when.nobody")
	}
	if len(seen) == len(want) {
		return p.Say("round.alldone", p.Moment(last.At), who), true
	}
	return p.Say("round.somedone", len(seen), len(want), p.Moment(last.At), who), false
}

// amounts parts the items of a line by what is to be done, so that each part is
// one set of entries.
func amounts(l round.Line) [][]round.Item {
	var out [][]round.Item
	for _, i := range l.Items {
		n := slices.IndexFunc(out, func(g []round.Item) bool {
			return i.Pile == "" && g[0].DepthM == i.DepthM && g[0].WaterKg == i.WaterKg && g[0].Mix == i.Mix && g[0].Cover == i.Cover
		})
		if n < 0 {
			out = append(out, []round.Item{i})
			continue
		}
		out[n] = append(out[n], i)
	}
	return out
}

// doneBodies gives the entries that say a part of a line was done as advised;
// none when a form must ask for more.
func doneBodies(p person, act round.Act, items []round.Item) []any {
	var bins []string
	for _, i := range items {
		bins = append(bins, i.Bin)
	}
	first := items[0]
	var out []any
	switch act {
	case round.Feed:
		depth := qty.Metre(first.DepthM)
		out = append(out, &journal.Feed{Bins: bins, Batch: first.Mix, DepthM: &depth})
		out = append(out, companions(bins, first)...)
	case round.Mend:
		out = stepDone(items)
	case round.Water, round.Cover:
		out = companions(bins, first)
	case round.Open:
		if first.DepthM > 0 {
			off := qty.Metre(first.DepthM)
			out = append(out, &journal.Turn{Bins: bins, TakenOffM: &off})
		}
		out = append(out, companions(bins, first)...)
	case round.Turn:
		out = append(out, &journal.Tend{Pile: first.Pile, Act: "turned"})
	case round.Wet:
		if first.WaterKg > 0 {
			kg := qty.WaterKg(first.WaterKg)
			out = append(out, &journal.Tend{Pile: first.Pile, Act: "wetted", WaterKg: &kg})
		}
	}
	return out
}

// companions gives the watering and the cover that go with an item.
func companions(bins []string, i round.Item) []any {
	var out []any
	if i.WaterKg > 0 {
		out = append(out, &journal.Water{Bins: bins, Kg: qty.WaterKg(i.WaterKg)})
	}
	if i.Cover != "" {
		out = append(out, &journal.Cover{Bins: bins, Cover: i.Cover})
	}
	return out
}

// kindOf names the kind of a body that an answer makes.
func kindOf(body any) string {
	switch body.(type) {
	case *journal.Feed:
		return "feed"
	case *journal.Water:
		return "water"
	case *journal.Cover:
		return "cover"
	case *journal.Turn:
		return "turn"
	case *journal.Answer:
		return "answer"
	case *journal.Remedy:
		return "remedy"
	case *journal.Outcome:
		return "outcome"
	case *journal.Hold:
		return "hold"
	case *journal.Left:
		return "left"
	}
	return "tend"
}

// roundAnswer writes down that a line was done as advised, all of it or nothing.
func (s *Server) roundAnswer(w http.ResponseWriter, r *http.Request, p person) error {
	l, err := s.line(r, p)
	if err != nil {
		return err
	}
	id := r.PostForm.Get("id")
	to := back(r, "/round")
	if _, _, known := s.entry(id); known { // the button was pressed twice
		seeOther(w, r, withSaid(to, id))
		return nil
	}
	if l.Act == round.Ask {
		return s.roundAsked(w, r, p, l)
	}
	if l.Act == round.Helped {
		return s.roundHelped(w, r, p, l)
	}
	var entries []journal.Entry
	for _, items := range amounts(l) {
		bodies := doneBodies(p, l.Act, items)
		if len(bodies) == 0 {
			seeOther(w, r, lineTo(l, "/except"))
			return nil
		}
		for _, b := range bodies {
			e := journal.Entry{ID: id, Kind: kindOf(b), At: p.Now.UTC(), Who: p.Who, Device: "page", Body: b}
			if len(entries) > 0 {
				e.ID = s.NewID(p.Now)
			}
			entries = append(entries, e)
		}
	}
	acks, err := s.Farm.RecordAll(r.Context(), entries, false)
	if err != nil {
		return err
	}
	var problems []app.Problem
	for _, a := range acks {
		problems = append(problems, a.Problems...)
	}
	if len(problems) > 0 { // the form shows what is odd about it
		return s.exceptForm(w, r, p, l, problems)
	}
	seeOther(w, r, withSaid(to, acks[0].Entry.ID))
	return nil
}
