package web

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/web/words"
)

//go:generate go run ../islands/generate

// A phone can keep the program as one of its own: a manifest, a service worker,
// and a list of the pages that it should have at hand without signal.

// programOf names what the pages, scripts and words together are, so that a
// page can see that the farm runs a newer program.
func programOf(st static, templates []byte, all []*words.Catalogue) string {
	h := sha256.New()
	names := make([]string, 0, len(st.names))
	for _, n := range st.names {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		h.Write([]byte(n + "\x00"))
	}
	h.Write(templates)
	for _, c := range all {
		for _, k := range c.Keys() {
			h.Write([]byte(c.Say(k) + "\x00"))
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:6])
}

type webManifest struct {
	Name       string         `json:"name"`
	ShortName  string         `json:"short_name"`
	ID         string         `json:"id"`
	StartURL   string         `json:"start_url"`
	Scope      string         `json:"scope"`
	Display    string         `json:"display"`
	Lang       string         `json:"lang"`
	Background string         `json:"background_color"`
	Theme      string         `json:"theme_color"`
	Icons      []manifestIcon `json:"icons"`
	Shortcuts  []shortcut     `json:"shortcuts"`
}

type manifestIcon struct {
	Src     string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose"`
}

type shortcut struct {
	Name string `json:"name"`
	URL  string `json:"url"`
}

func (s *Server) manifestShow(w http.ResponseWriter, _ *http.Request, p person) error {
	name := s.Farm.State().Settings.Name
	if name == "" {
		name = p.Say("farm.unnamed")
	}
	m := webManifest{Name: p.Say("install.name", name), ShortName: name, ID: "/", StartURL: "/round", Scope: "/", Display: "standalone", Lang: p.Words.Lang, Background: "#fbf7ee", Theme: "#fbf7ee",
		Icons: []manifestIcon{
			{s.static.to("icon-192.png"), "192x192", "image/png", "any"}, {s.static.to("icon-512.png"), "512x512", "image/png", "any"}, {s.static.to("icon-cut-512.png"), "512x512", "image/png", "maskable"},
		},
		Shortcuts: []shortcut{{p.Say("nav.round"), "/round"}, {p.Say("nav.barn"), "/barn"}, {p.Say("enter.title"), "/enter"}, {p.Say("outbox.title"), "/outbox"}}}
	raw, err := json.Marshal(m)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/manifest+json")
	if _, err := w.Write(raw); err != nil {
		return errGone{err}
	}
	return nil
}

// usualPatience is short enough for a person at a bin and long enough for a
// farm that answers over bad signal.
const usualPatience = 2500 * time.Millisecond

// workerShow gives the service worker, with the files it is to keep.
func (s *Server) workerShow(w http.ResponseWriter, _ *http.Request, _ person) error {
	files := []string{}
	for name, to := range s.static.names {
		if name != "sw.js" {
			files = append(files, to)
		}
	}
	slices.Sort(files)
	given, err := json.Marshal(map[string]any{"program": s.program, "files": files, "patience_ms": cmp.Or(s.Patience, usualPatience).Milliseconds()})
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "text/javascript; charset=utf-8")
	h.Set("Cache-Control", "no-cache")
	body := slices.Concat([]byte("self.wormyard="), given, []byte(";\n"), s.static.files[s.static.to("sw.js")].plain)
	if _, err := w.Write(body); err != nil {
		return errGone{err}
	}
	return nil
}

// keptPage is a page that a phone should have, and for how many seconds its own
// copy is good enough while there is signal. A page with a tag is as good as new
// while its tag is the same.
type keptPage struct {
	At    string `json:"at"`
	Fresh int    `json:"fresh_s"`
	Tag   string `json:"tag,omitempty"`
}

// barnForms are filled in where a bin's own form is not at hand.
var barnForms = []string{"feed", "water", "look", "reading", "sighting", "move", "depth", "weigh", "cover", "turn", "stock", "count", "harvest", "receive", "tend", "site", "assay", "hold", "bed", "build"}

// mostKeptBins is how many bins a phone keeps the pages of; beyond it, those
// that the round names.
const mostKeptBins = 500

const keptMinute, keptHour = 60, 3600

// keepMark stands for all that a phone keeps: when it is another, the phone asks
// again which of its pages are old.
func (s *Server) keepMark(ctx context.Context) string {
	now := s.Farm.State()
	mark := fmt.Sprintf("%d-%s", now.Entries, now.LastID)
	if s.Rounds != nil {
		if made, err := s.Rounds.Last(ctx); err == nil && made != nil {
			mark += "-" + strconv.FormatInt(made.At.Unix(), 36)
		}
	}
	if s.Work != nil && s.Work.Progress().Running {
		mark += "-making"
	}
	return mark
}

// mostKeptPiles is how many piles a phone keeps the pages of.
const mostKeptPiles = 40

// keepShow gives the pages that a phone keeps, the round, its walk and the steps of
// the truck first: who goes into the barn needs those. It is ready when no round is under way.
func (s *Server) keepShow(w http.ResponseWriter, r *http.Request, p person) error {
	list := []keptPage{{At: "/round", Fresh: keptMinute}, {At: "/outbox", Fresh: keptHour}}
	walk, made, err := s.keepWalk(r, p)
	if err != nil {
		return err
	}
	drive, err := s.keepDrive(r, p)
	if err != nil {
		return err
	}
	list = slices.Concat(list, walk, drive)
	named := map[string]bool{}
	lines, _, err := s.roundLines(r, p)
	if err != nil {
		return err
	}
	for _, l := range lines {
		tag := tagOf(s.program, l)
		list = append(list, keptPage{lineTo(l, ""), 6 * keptHour, tag})
		if s.exceptSheet(p, l).kind != "" {
			list = append(list, keptPage{lineTo(l, "/except"), 6 * keptHour, tag})
		}
		for _, b := range l.Bins() {
			named[b] = true
		}
	}
	for _, k := range barnForms {
		list = append(list, keptPage{At: "/enter/" + k, Fresh: keptHour})
	}
	list = append(list, keptPage{At: "/barn", Fresh: 10 * keptMinute}, keptPage{At: "/enter", Fresh: 12 * keptHour}, keptPage{At: "/scan", Fresh: keptHour}, keptPage{At: "/more", Fresh: keptHour}, keptPage{At: "/yard", Fresh: keptHour}, keptPage{At: "/castings", Fresh: keptHour}, keptPage{At: "/mix", Fresh: keptHour})
	for _, name := range barnNames(s.Farm.State()) {
		for _, show := range []string{"", "needs", "warmth"} {
			list = append(list, keptPage{At: mapView{barn: name, show: show}.to(), Fresh: 10 * keptMinute})
		}
	}
	for i, x := range s.Farm.State().Lying() {
		if i < mostKeptPiles {
			list = append(list, keptPage{At: pileTo(x.Name), Fresh: keptHour})
		}
	}
	list = append(list, s.keepOrders(p)...)
	living := s.Farm.State().Living()
	for _, b := range living {
		if len(living) <= mostKeptBins || named[b.Name] {
			list = append(list, keptPage{At: binTo(b.Name), Fresh: 2 * keptHour})
		}
	}
	ready := made && (s.Work == nil || !s.Work.Progress().Running)
	return s.json(w, http.StatusOK, map[string]any{"pages": list, "ready": ready, "mark": s.keepMark(r.Context())})
}

// mostKeptOrders is how many orders a phone keeps the pages of.
const mostKeptOrders = 40

// keepOrders gives the order book, the form of a new order, and the orders that are to be
// delivered next, each with its delivery: orders come by telephone in the barn, and bags are
// counted at the tailgate. A farm that sells nothing has none of it.
func (s *Server) keepOrders(p person) []keptPage {
	state := s.Farm.State()
	book := app.Orders(state, p.Now, false)
	if len(book.Orders) == 0 && len(state.Settings.Money.Products) == 0 {
		return nil
	}
	out := []keptPage{{At: "/orders", Fresh: keptHour}, {At: "/orders/new", Fresh: keptHour}}
	for _, o := range book.Orders {
		if len(out) > 2*mostKeptOrders {
			break
		}
		if !o.Stale {
			out = append(out, keptPage{At: orderTo(o.Entry), Fresh: 10 * keptMinute}, keptPage{At: orderTo(o.Entry) + "/deliver", Fresh: 10 * keptMinute})
		}
	}
	return out
}

// mostKeptLifts is how many steps of the truck a phone keeps.
const mostKeptLifts = 80

// keepDrive gives the list of the truck and its steps, one page each and one for the
// end. After a lift was ticked they are others.
func (s *Server) keepDrive(r *http.Request, p person) ([]keptPage, error) {
	page, a, _, err := s.movesPage(r, p)
	if err != nil {
		return nil, err
	}
	steps := page.steps()
	whole := []any{s.program, page.Offer, page.Say}
	for n := range steps {
		steps[n].ID, steps[n].Facts = "", "" // new each time
		whole = append(whole, steps[n])
	}
	out := []keptPage{{a.to("/moves"), 10 * keptMinute, tagOf(whole...)}, {a.to("/moves/drive"), keptHour, tagOf(whole...)}}
	for n := range min(mostKeptLifts, len(steps)+1) {
		of := []any{s.program, page.Offer, n, len(steps)}
		if n < len(steps) {
			of = append(of, steps[n])
		}
		out = append(out, keptPage{a.to("/moves/drive", "at", strconv.Itoa(n)), keptHour, tagOf(of...)})
	}
	return out, nil
}

// mostKeptStops is how many stops of the round a phone keeps.
const mostKeptStops = 80

// keepWalk gives the pages of the walk, stop by stop, with the forms for what
// was done in another way, and whether there is a round.
func (s *Server) keepWalk(r *http.Request, p person) ([]keptPage, bool, error) {
	list, made, err := s.list(r.Context(), p)
	if err != nil || !made {
		return nil, false, err
	}
	stops := s.stops(p, list)
	order := make([]string, len(stops))
	for n, x := range stops {
		order[n] = x.key()
	}
	offer := s.truckOffer(p)
	out := []keptPage{{At: "/round/walk", Fresh: keptMinute}}
	for n, x := range stops {
		if n == mostKeptStops {
			break
		}
		tag := tagOf(s.program, x.line, x.settled, x.left, offer, order)
		out = append(out, keptPage{walkAt(n), 6 * keptHour, tag})
		if !x.settled && s.exceptSheet(p, x.line).kind != "" {
			out = append(out, keptPage{changedAt(x), 6 * keptHour, tag})
		}
	}
	return out, true, nil
}

// tagOf stands for what a page is drawn from.
func tagOf(of ...any) string {
	h := sha256.New()
	_ = json.NewEncoder(h).Encode(of) // what cannot be written is not told apart
	return hex.EncodeToString(h.Sum(nil)[:6])
}

// OutboxPage is what a device holds; the device itself fills it in.
type OutboxPage struct{ Frame }

func (s *Server) outboxShow(w http.ResponseWriter, r *http.Request, p person) error {
	page := OutboxPage{Frame: s.frame(r, p, p.Say("outbox.title"), "more")}
	page.One, page.BarWords = true, wordsFor(p, barWords, listWords)
	return s.draw(w, "outbox", http.StatusOK, page)
}
