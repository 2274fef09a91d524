package web

import (
	"net/http"
	"net/url"
	"strings"

	"wormyard/journal"
	"wormyard/qty"
)

// Frame is what every page shows around its own matter.
type Frame struct {
	Paper                        string // of whom and when, at the head of what is printed
	Lang, Theme, Title, FarmName string
	Style, Icon                  string
	Touch, Script, Program       string
	Units, Who                   string // as scripts keep them with an entry
	Mark                         string // of the farm, by which a phone sees that what it keeps is old
	BarWords                     string // what the bar and the boxes say, by key
	Refresh                      int    // seconds; 0 never
	Demo                         string
	One                          bool // a single narrow column at a desk
	Said, SaidUndo               string
	Undo                         *Undo
	SaidWays                     []Link // where what was written down leads
	Unseen                       string // heading of an opened part where the page's own is not shown
	Nav                          []Link
	Ways                         []Link // where to go when there is nothing to show yet
	Tongues                      *Tongues
}

// Tongues is the choice of a language on a page before the door, where the menu
// that leads to it is not there yet. Each is called by its own name.
type Tongues struct {
	Title, Back string
	Options     []Tongue
}

// Tongue is one language.
type Tongue struct {
	Lang, Name string
	On         bool
}

// Undo is the button beside what was just written down.
type Undo struct{ To, ID, Back, Strikes, Title string }

// Link is a way to another page.
type Link struct {
	To, Name, Note string
	Here, Main     bool
}

// Fact is a name and a value, with the page that shows its working.
type Fact struct{ Name, Value, Note, Working string }

// frame gives the frame of a page that belongs to one part of the menu.
func (s *Server) frame(r *http.Request, p person, title, part string) Frame {
	state := s.Farm.State()
	f := Frame{Lang: p.Words.Lang, Theme: p.Theme, Title: title, FarmName: state.Settings.Name, Style: s.static.to("look.css"), Icon: s.static.to("icon.svg"), Touch: s.static.to("icon-touch-180.png"), Script: s.static.to("page.js"), Program: s.program,
		Units: unitsName(p.Units), Who: p.Who, BarWords: wordsFor(p, barWords)}
	if f.FarmName == "" {
		f.FarmName = p.Say("farm.unnamed")
	}
	f.Paper = p.Say("paper.head", f.FarmName, p.Words.Date(p.Now), p.Words.Clock(p.Now))
	if s.Config.Demo {
		f.Demo = p.Say("layout.demo", p.Words.Date(p.Now))
	}
	if p.In.outside() {
		f.Tongues = s.tongues(r, p)
		return f
	}
	f.Mark = s.keepMark(r.Context())
	for _, n := range []string{"round", "barn", "yard", "mix", "more"} {
		f.Nav = append(f.Nav, Link{To: "/" + n, Name: p.Say("nav." + n), Here: n == part})
	}
	if id := r.URL.Query().Get("said"); id != "" {
		s.said(p, id, r.URL.Path, &f)
	}
	return f
}

// tongues offers every language on the page where somebody is.
func (s *Server) tongues(r *http.Request, p person) *Tongues {
	out := &Tongues{Title: p.Say("more.language"), Back: r.URL.RequestURI()}
	for _, c := range s.words {
		out.Options = append(out.Options, Tongue{c.Language(), c.Say("language.name"), c.Lang == p.Words.Lang})
	}
	return out
}

// unitsName names a system of units as the cookie of a person has it.
func unitsName(u qty.System) string {
	if u == qty.US {
		return "us"
	}
	return "metric"
}

// begin is the way on from a farm that has nothing in it yet.
func (p person) begin() []Link { return []Link{{To: "/start", Name: p.Say("start.title")}} }

// said tells what was just written down, with the way to take it back.
func (s *Server) said(p person, id, here string, f *Frame) {
	e, counts, found := s.entry(id)
	if !found {
		return
	}
	f.Said = p.Say("said.saved", printable(p.sentence(e)))
	if e.Kind == "strike" {
		f.Said = p.Say("said.struck")
	} else if counts {
		f.SaidWays = s.lotWays(p, *e, here)
		if customer, n := s.wentOut(e); n > 1 { // one button would take back a part of it
			f.Said = p.Say("said.delivery", n, customer)
			return
		}
		f.SaidUndo = "/journal/" + url.PathEscape(id) + "#strike"
		f.Undo = &Undo{To: "/journal/" + url.PathEscape(id) + "/undo", ID: s.NewID(p.Now), Back: here, Strikes: id, Title: printable(p.sentence(e))}
	}
}

// wentOut counts the sales of the delivery that a sale of an order belongs to.
func (s *Server) wentOut(e *journal.Entry) (customer string, n int) {
	var order, delivery string
	switch b := e.Body.(type) {
	case *journal.Sell:
		customer, order, delivery = b.Customer, b.Order, b.Delivery
	case *journal.WormsSold:
		customer, order, delivery = b.Customer, b.Order, b.Delivery
	}
	if order == "" || delivery == "" {
		return customer, 0
	}
	for _, o := range s.Farm.State().OrderBook() {
		for _, l := range o.Lines {
			for _, x := range l.Sales {
				if o.Is(order) && x.Delivery == delivery {
					n++
				}
			}
		}
	}
	return customer, n
}

// back gives the page to return to after a form, never one of another site.
func back(r *http.Request, otherwise string) string {
	to := r.PostFormValue("back")
	if !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.HasPrefix(to, "/\\") || strings.ContainsAny(to, "\r\n") {
		return otherwise
	}
	return to
}

// withSaid adds the id of what was saved to an address.
func withSaid(to, id string) string {
	path, anchor, _ := strings.Cut(to, "#")
	path, query, _ := strings.Cut(path, "?")
	q, _ := url.ParseQuery(query)
	q.Set("said", id)
	to = path + "?" + q.Encode()
	if anchor != "" {
		to += "#" + anchor
	}
	return to
}

func seeOther(w http.ResponseWriter, r *http.Request, to string) {
	http.Redirect(w, r, to, http.StatusSeeOther)
}
