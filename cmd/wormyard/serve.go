package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"sync"
	"syscall"
	"time"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/highs"
	"wormyard/internal/ids"
	"wormyard/internal/localtls"
	"wormyard/internal/people"
	"wormyard/internal/web"
)

type serveCommand struct {
	Listen string `help:"Where to listen." default:"127.0.0.1:8484" placeholder:"ADDRESS" aliases:"addr"`
	serveDoor
}

// How long a reader may take, and how long the end waits for pages under way.
const (
	headerTime = 5 * time.Second
	pageTime   = 2 * time.Minute
	idleTime   = 2 * time.Minute
	endTime    = 10 * time.Second
	mostHeader = 64 << 10
)

// Run serves the pages of a farm until it is told to end. A farm that is not
// there is made, empty, and begins with its first morning.
func (v *serveCommand) Run(c *Context) error {
	loopback, err := v.loopback()
	if err != nil {
		return err
	}
	authority, err := v.authority()
	if err != nil {
		return err
	}
	a, store, err := c.makeFarm()
	if err != nil {
		return err
	}
	defer func() {
		if err := store.Close(); err != nil {
			fmt.Fprintln(c.Stderr, err)
		}
	}()
	door := people.New(store.People(), time.Now)
	if err := v.mayListen(c, door, loopback); err != nil {
		return err
	}
	listener, err := v.listen("listen", v.Listen)
	if err != nil {
		return err
	}
	defer listener.Close()
	plain, trust, err := v.plainDoor(authority, listener)
	if err != nil {
		return err
	}
	twins, err := newTwins(c, a, store)
	if err != nil {
		return err
	}
	solver := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer solver.Close()
	mixer, err := app.NewMixer(solver.Solve)
	if err != nil {
		return err
	}
	workshop, err := app.NewWorkshop(mixer, solver.Solve)
	if err != nil {
		return err
	}
	logger := slog.New(slog.NewTextHandler(c.Stderr, nil))
	work := beginWork(a, twins, logger)
	defer work.close()
	year := yearOf{work, solver.Solve}
	work.week = year.week
	server, err := web.New(web.Config{
		Farm: a, NewID: newID, Rounds: twins, Work: work, Seasons: year, Figures: app.Figures, Mix: mixer, Workshop: workshop, Materials: materialNames(mixer),
		Start: a, Import: a, Photos: store, Log: logger, Demo: c.Demo, Loopback: loopback,
		Door: door, Trust: trust, ForPhones: v.forPhones(c),
	})
	if err != nil {
		return err
	}
	defer server.Close()
	go func() { // the first mix does not wait for it
		if err := solver.Ready(c); err != nil {
			logger.Error("the solver does not start", "error", err.Error())
		}
	}()
	return v.serve(c, server, work, listener, plain, authority)
}

// forPhones gives the command that opens this farm to phones.
func (v *serveCommand) forPhones(c *Context) string {
	which := "--demo"
	if !c.Demo {
		which = "--farm " + c.Farm
	}
	return fmt.Sprintf("%s serve %s --tls local --listen 0.0.0.0:8484", os.Args[0], which)
}

// loopback says whether the address is this machine's alone.
func (v *serveCommand) loopback() (bool, error) {
	host, _, err := net.SplitHostPort(v.Listen)
	if err != nil {
		return false, figure.Refuse("listen", fmt.Sprintf("%q is not an address to listen on.", v.Listen), "Write it like 127.0.0.1:8484.")
	}
	ip, err := netip.ParseAddr(host)
	if host == "localhost" || err == nil && ip.IsLoopback() {
		return true, nil
	}
	return false, nil
}

func (v *serveCommand) listen(flag, address string) (net.Listener, error) {
	listener, err := net.Listen("tcp", address)
	if err == nil {
		return listener, nil
	}
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, figure.Refuse(flag, fmt.Sprintf("Something else listens on %s already, perhaps wormyard itself.", address), "Open it in a browser, or choose another with --"+flag+" 127.0.0.1:8495.")
	}
	return nil, figure.Refuse(flag, fmt.Sprintf("%s cannot be listened on: %v.", address, err), "Write it like 127.0.0.1:8484.")
}

func (v *serveCommand) serve(c *Context, server *web.Server, work *work, listener, plain net.Listener, authority *localtls.Authority) error {
	var silent silentConns
	servers := []*http.Server{v.server(c, server)}
	servers[0].ConnState = silent.state
	ended := make(chan error, 2)
	if authority == nil {
		fmt.Fprintf(c.Stdout, "The farm is open at http://%s\nCtrl-C closes it.\n", listener.Addr())
		go func() { ended <- servers[0].Serve(listener) }()
	} else {
		servers[0].TLSConfig = authority.Config()
		servers = append(servers, v.server(c, server.Plain()))
		servers[1].ConnState = silent.state
		v.tell(c, server.Trust, authority)
		go func() { ended <- servers[0].ServeTLS(showsTheWay{listener}, "", "") }()
		go func() { ended <- servers[1].Serve(plain) }()
	}
	work.begin()
	go server.Warm()
	var err error
	left := len(servers)
	select {
	case err = <-ended:
		left--
	case <-c.Done():
	}
	server.EndLive()
	silent.end()
	stop, cancel := context.WithTimeout(context.WithoutCancel(c), endTime)
	defer cancel()
	for _, s := range servers {
		err = errors.Join(err, s.Shutdown(stop))
	}
	for range left {
		if e := <-ended; !errors.Is(e, http.ErrServerClosed) {
			err = errors.Join(err, e)
		}
	}
	return err
}

func (v *serveCommand) server(c *Context, h http.Handler) *http.Server {
	return &http.Server{Handler: h, ReadHeaderTimeout: headerTime, ReadTimeout: pageTime, WriteTimeout: pageTime, IdleTimeout: idleTime, MaxHeaderBytes: mostHeader,
		ErrorLog: slog.NewLogLogger(slog.NewTextHandler(c.Stderr, nil), slog.LevelWarn)}
}

// silentConns are connections on which nothing was asked as yet, such as browsers
// open ahead of need. A server that shuts down would wait for them for seconds.
type silentConns struct {
	mutex sync.Mutex
	open  map[net.Conn]bool
	over  bool
}

func (s *silentConns) state(c net.Conn, now http.ConnState) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	switch {
	case now != http.StateNew:
		delete(s.open, c)
	case s.over:
		_ = c.Close()
	default:
		if s.open == nil {
			s.open = map[net.Conn]bool{}
		}
		s.open[c] = true
	}
}

func (s *silentConns) end() {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.over = true
	for c := range s.open {
		_ = c.Close()
	}
}

// newID makes the id of a form. Where the machine has no random numbers the
// form goes without, and the journal tries again.
func newID(time.Time) string {
	id, err := ids.New()
	if err != nil {
		return ""
	}
	return id
}

func materialNames(m *app.Mixer) []string {
	var out []string
	for _, x := range m.Library.Materials() {
		out = append(out, x.Name)
	}
	return out
}
