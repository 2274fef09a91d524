package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"slices"
	"time"

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
// copy is good enough while there is signal.
type keptPage struct {
	At    string `json:"at"`
	Fresh int    `json:"fresh_s"`
}

// barnForms are filled in where a bin's own form is not at hand.
var barnForms = []string{"feed", "water", "look", "reading", "sighting", "move", "depth", "weigh", "cover", "turn", "stock", "count", "harvest", "receive", "tend", "site", "assay", "hold", "bed", "build"}

// mostKeptBins is how many bins a phone keeps the pages of; beyond it, those
// that the round names.
const mostKeptBins = 500

// mostKeptPiles is how many piles a phone keeps the pages of.
const mostKeptPiles = 40

func (s *Server) keepShow(w http.ResponseWriter, r *http.Request, p person) error {
	const minute, hour = 60, 3600
	list := []keptPage{{"/round", minute}, {"/outbox", hour}, {"/barn", 10 * minute}, {"/enter", 12 * hour}, {"/scan", hour}, {"/more", hour}, {"/yard", hour}, {"/mix", hour}}
	for _, k := range barnForms {
		list = append(list, keptPage{"/enter/" + k, hour})
	}
	for _, name := range barnNames(s.Farm.State()) {
		for _, show := range []string{"", "needs", "warmth"} {
			list = append(list, keptPage{mapView{barn: name, show: show}.to(), 10 * minute})
		}
	}
	for i, x := range s.Farm.State().Lying() {
		if i < mostKeptPiles {
			list = append(list, keptPage{pileTo(x.Name), hour})
		}
	}
	living := s.Farm.State().Living()
	named := map[string]bool{}
	if lines, ok, err := s.roundLines(r, p); err != nil {
		return err
	} else if ok {
		for _, l := range lines {
			list = append(list, keptPage{lineTo(l, ""), 10 * minute})
			if s.exceptSheet(p, l).kind != "" {
				list = append(list, keptPage{lineTo(l, "/except"), 10 * minute})
			}
			for _, b := range binsIn(l) {
				named[b] = true
			}
		}
	}
	if walk, err := s.keepWalk(r, p); err != nil {
		return err
	} else {
		list = append(list, walk...)
	}
	for _, b := range living {
		if len(living) <= mostKeptBins || named[b.Name] {
			list = append(list, keptPage{binTo(b.Name), 2 * hour})
		}
	}
	return s.json(w, http.StatusOK, map[string]any{"pages": list})
}

// mostKeptStops is how many stops of the round a phone keeps.
const mostKeptStops = 80

// keepWalk gives the pages of the walk, stop by stop, with the forms for what
// was done in another way.
func (s *Server) keepWalk(r *http.Request, p person) ([]keptPage, error) {
	list, made, err := s.list(r.Context(), p)
	if err != nil || !made {
		return nil, err
	}
	out := []keptPage{{"/round/walk", 60}}
	for n, x := range s.stops(p, list) {
		if n == mostKeptStops {
			break
		}
		out = append(out, keptPage{walkAt(n), 600})
		if !x.settled && s.exceptSheet(p, x.line).kind != "" {
			out = append(out, keptPage{changedAt(x), 3600})
		}
	}
	return out, nil
}

// OutboxPage is what a device holds; the device itself fills it in.
type OutboxPage struct{ Frame }

func (s *Server) outboxShow(w http.ResponseWriter, r *http.Request, p person) error {
	page := OutboxPage{Frame: s.frame(r, p, p.Say("outbox.title"), "more")}
	page.One, page.BarWords = true, wordsFor(p, barWords, listWords)
	return s.draw(w, "outbox", http.StatusOK, page)
}
