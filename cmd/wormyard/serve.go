package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"syscall"
	"time"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/highs"
	"wormyard/internal/ids"
	"wormyard/internal/web"
)

type serveCommand struct {
	Listen  string `help:"Where to listen." default:"127.0.0.1:8484" placeholder:"ADDRESS" aliases:"addr"`
	Network bool   `help:"Listen beyond this machine, though there are no passwords yet: everyone who reaches the address can read and write the farm."`
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
	a, store, err := c.makeFarm()
	if err != nil {
		return err
	}
	defer func() {
		if err := store.Close(); err != nil {
			fmt.Fprintln(c.Stderr, err)
		}
	}()
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
	logger := slog.New(slog.NewTextHandler(c.Stderr, nil))
	work := beginWork(a, twins, logger)
	defer work.close()
	server, err := web.New(web.Config{
		Farm: a, NewID: newID, Rounds: twins, Work: work, Figures: app.Figures, Mix: mixer, Materials: materialNames(mixer),
		Start: a, Import: a, Log: logger, Demo: c.Demo, Loopback: loopback,
	})
	if err != nil {
		return err
	}
	defer server.Close()
	return v.serve(c, server, work)
}

// loopback says whether the address is this machine's alone. An address beyond
// it is refused unless it was asked for.
func (v *serveCommand) loopback() (bool, error) {
	host, _, err := net.SplitHostPort(v.Listen)
	if err != nil {
		return false, figure.Refuse("listen", fmt.Sprintf("%q is not an address to listen on.", v.Listen), "Write it like 127.0.0.1:8484.")
	}
	ip, err := netip.ParseAddr(host)
	if host == "localhost" || err == nil && ip.IsLoopback() {
		return true, nil
	}
	if !v.Network {
		return false, figure.Refuse("listen", fmt.Sprintf("%s can be reached by others, and there are no passwords yet.", v.Listen), "Listen on 127.0.0.1, or add --network if everyone there may read and write the farm.")
	}
	return false, nil
}

func (v *serveCommand) serve(c *Context, server *web.Server, work *work) error {
	listener, err := net.Listen("tcp", v.Listen)
	if err != nil {
		if errors.Is(err, syscall.EADDRINUSE) {
			return figure.Refuse("listen", fmt.Sprintf("Something else listens on %s already, perhaps wormyard itself.", v.Listen), "Open http://"+v.Listen+", or choose another with --listen 127.0.0.1:8485.")
		}
		return figure.Refuse("listen", fmt.Sprintf("%s cannot be listened on: %v.", v.Listen, err), "Write it like 127.0.0.1:8484.")
	}
	s := &http.Server{Handler: server, ReadHeaderTimeout: headerTime, ReadTimeout: pageTime, WriteTimeout: pageTime, IdleTimeout: idleTime, MaxHeaderBytes: mostHeader,
		ErrorLog: slog.NewLogLogger(slog.NewTextHandler(c.Stderr, nil), slog.LevelWarn)}
	fmt.Fprintf(c.Stdout, "The farm is open at http://%s\nCtrl-C closes it.\n", listener.Addr())
	work.begin()
	go server.Warm()
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-c.Done():
	}
	stop, cancel := context.WithTimeout(context.WithoutCancel(c), endTime)
	defer cancel()
	err = s.Shutdown(stop)
	if e := <-ended; !errors.Is(e, http.ErrServerClosed) {
		err = errors.Join(err, e)
	}
	return err
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
