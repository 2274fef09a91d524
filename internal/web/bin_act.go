package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

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
	return []Link{to("feed", true), to("water", false), to("look", false), to("reading", false), to("sighting", false)},
		[]Link{to("depth", false), to("cover", false), to("weigh", false), to("turn", false), to("stock", false), to("count", false), to("harvest", false), to("move", false), to("assay", false), to("bed", false), to("build", false)}
}

// binAct is one form about a bin.
func (s *Server) binAct(w http.ResponseWriter, r *http.Request, p person) error {
	state, b, err := s.bin(r, p)
	if err != nil {
		return err
	}
	act := r.PathValue("act")
	kind, ok := p.kindNamed(act)
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
			to := back(r, binTo(b.Name))
			if act == "sighting" && to == binTo(b.Name) {
				to = troubleTo(b.Name, got.saved)
			}
			seeOther(w, r, withSaid(to, got.saved))
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
	if act := kind.Name; act == "move" || lifts(state, []string{b.Name}) {
		page.Offer = s.truckOffer(p)
	}
	page.Recent = entryLines(p, s.recent(p, state, b.Name, 4))
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
	case "hold":
		sh.open, sh.only = []string{"why"}, true
		sh.preset["why"], sh.care = p.Say("rest.why"), p.Say("rest.care")
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
