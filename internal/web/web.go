// Package web draws the pages of a farm and takes what people type into them.
//
// A handler reads the path and the form, calls one method of the app, redraws
// the form on refusal with everything that was typed, redirects on success, and
// returns any error, which is drawn in one place (fault.go). It computes
// nothing about worms and knows no storage. Every page is one Go struct of
// values that are ready to print; templates only repeat and leave out. Pages
// work without scripts. All words come from the catalogue in
// internal/web/words, those of entry kinds from package journal.
//
// Scripts improve what is drawn: entries that wait on the device for signal,
// steppers, photos (islands/, outbox.go, installed.go). Their words come with the
// page; what they send goes through the same reading as a form.
//
// Units, theme and name are the person's own and travel as arguments
// (person.go). Times are shown in the farm's zone.
package web

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/people"
	"wormyard/internal/web/words"
	"wormyard/journal"
)

// Farm is what the pages ask of the farm itself.
type Farm interface {
	State() *farm.State
	Now() time.Time
	Record(ctx context.Context, e journal.Entry, confirmed bool) (app.Ack, error)
	RecordAll(ctx context.Context, entries []journal.Entry, confirmed bool) ([]app.Ack, error)
	Strike(ctx context.Context, id, who, why string) (app.Ack, error)
}

// Config is what a Server needs.
type Config struct {
	Farm      Farm
	Rounds    Rounds  // nil when no rounds are made here
	Work      Work    // nil when none can be begun
	Seasons   Seasons // nil where no year is planned
	NewID     func(at time.Time) string
	Figures   func() ([]figure.Figure, error)
	Mix       Mixer
	Workshop  Workshop
	Start     Starter
	Materials []string // names of the library, offered on forms
	Import    Importer
	Photos    Photos // nil when none are kept
	Log       *slog.Logger
	Demo      bool
	// Loopback says that only this machine is served, so that a page asked for
	// under another name comes from a site that plays tricks with names.
	Loopback bool
	// Door is who may come in. Without one, and until there is an owner, the farm
	// is open to everyone at this machine.
	Door *people.Door
	// Patience is how long a phone waits for a page of which it keeps a copy; 0 is
	// usual.
	Patience time.Duration
	// Trust is the machine's own certificate authority, nil without one.
	Trust *Trust
	// ForPhones is the command that opens this farm to phones, told to the owner.
	ForPhones string
}

// Server answers requests for pages. Make one with New.
type Server struct {
	Config
	words     []*words.Catalogue // the source first
	program   string             // of the pages, scripts and words
	pages     map[string]pages   // by language
	static    static
	screens   *app.Screens
	spoken    spokenList
	index     index
	tries     tries
	costs     app.CostBook
	trucks    app.TruckPlans
	begun     begun
	kept      heldForms
	settle    sync.Mutex // of settings that are compared with what their form was drawn from
	live      *listeners
	liveEvery time.Duration
	liveBeat  time.Duration
	gated     []string // every address, for the table of roles
	mux       http.Handler
	handle    http.Handler

	figures func() ([]figure.Figure, error)
}

// New gives a Server. An error is ours: a template or a static file is amiss.
func New(c Config) (*Server, error) {
	if c.Farm == nil || c.NewID == nil {
		return nil, errors.New("web: the farm and the maker of ids are needed")
	}
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	s := &Server{Config: c, words: words.Languages(), pages: map[string]pages{}, live: newListeners(), liveEvery: liveEvery, liveBeat: liveBeat}
	var err error
	if s.static, err = readStatic(); err != nil {
		return nil, err
	}
	if s.screens, err = app.NewScreens(); err != nil {
		return nil, err
	}
	for _, c := range s.words {
		if s.pages[c.Lang], err = readPages(c); err != nil {
			return nil, err
		}
	}
	text, err := templateText()
	if err != nil {
		return nil, err
	}
	s.program = programOf(s.static, text, s.words)
	s.figures = sync.OnceValues(s.readFigures)
	if s.Door != nil {
		s.Farm = signedFarm{s.Farm}
		if s.Start != nil {
			s.Start = signedStart{s.Start}
		}
	}
	s.mux = s.routes()
	s.handle = s.protect(s.mux)
	return s, nil
}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handle.ServeHTTP(w, r) }

// Close ends what still goes on for open pages and deletes the files that wait
// for a yes.
func (s *Server) Close() {
	s.EndLive()
	s.tries.close()
}
