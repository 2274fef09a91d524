package main

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"strconv"
	"time"

	"wormyard/figure"
	"wormyard/internal/localtls"
	"wormyard/internal/people"
	"wormyard/internal/web"
)

// serveDoor is how the farm is reached from other machines.
type serveDoor struct {
	TLS       string `name:"tls" help:"off, or local: serve https with a certificate of this machine's own, which phones need." enum:"off,local" default:"off"`
	TLSFolder string `name:"tls-folder" help:"Where that certificate authority is kept; by default in your settings." placeholder:"FOLDER"`
	Trust     string `help:"Where to explain on plain http how a phone trusts the certificate; by default one port further." placeholder:"ADDRESS"`
}

// authority gives the machine's certificate authority, nil without --tls local.
func (v *serveCommand) authority() (*localtls.Authority, error) {
	if v.TLS != "local" {
		return nil, nil
	}
	folder := v.TLSFolder
	var err error
	if folder == "" {
		folder, err = localtls.Folder()
	}
	var a *localtls.Authority
	if err == nil {
		a, err = localtls.Open(folder, time.Now)
	}
	var trouble *localtls.Trouble
	if errors.As(err, &trouble) {
		return nil, figure.Refuse("tls", trouble.Say, trouble.Try)
	}
	return a, err
}

// mayListen refuses an address that others reach, unless what is typed there is
// sealed and somebody decides who comes in.
func (v *serveCommand) mayListen(c *Context, door *people.Door, loopback bool) error {
	if loopback {
		return nil
	}
	var problems []figure.Problem
	if v.TLS != "local" {
		problems = append(problems, figure.Problem{Field: "listen", Say: fmt.Sprintf("%s can be reached by others, and on plain http they could read passwords on their way.", v.Listen), Try: "Listen on 127.0.0.1, or add --tls local."})
	}
	has, err := door.HasOwner(c)
	if err != nil {
		return inWords(err)
	}
	if !has {
		problems = append(problems, figure.Problem{Field: "listen", Say: fmt.Sprintf("%s can be reached by others, and this farm has no owner yet who says whom to let in.", v.Listen), Try: "Start it on 127.0.0.1, open it in a browser here and make yourself the owner; or: wormyard people add NAME --role owner"})
	}
	if len(problems) > 0 {
		return &figure.Refusal{Problems: problems}
	}
	return nil
}

// plainDoor listens where trust is explained, and gives what the pages say of it.
func (v *serveCommand) plainDoor(a *localtls.Authority, listener net.Listener) (net.Listener, *web.Trust, error) {
	if a == nil {
		return nil, nil, nil
	}
	if host, _, err := net.SplitHostPort(v.Listen); err == nil {
		if ip, err := netip.ParseAddr(host); err == nil && !ip.IsUnspecified() && !a.Vouches(ip) {
			return nil, nil, figure.Refuse("listen", fmt.Sprintf("%s is an address of the open internet, and a certificate of this machine's own is for private networks only.", v.Listen), "Listen on an address of the barn's network, such as 192.168.1.20:8484, or on 0.0.0.0:8484.")
		}
	}
	at := v.Trust
	if at == "" {
		host, _, _ := net.SplitHostPort(v.Listen)
		port := listener.Addr().(*net.TCPAddr).Port + 1
		if _, asked, _ := net.SplitHostPort(v.Listen); asked == "0" || port > 65535 {
			port = 0
		}
		at = net.JoinHostPort(host, strconv.Itoa(port))
	}
	plain, err := v.listen("trust", at)
	if err != nil {
		return nil, nil, err
	}
	return plain, &web.Trust{Certificate: a.Certificate(), Name: a.Name(), Fingerprint: a.Fingerprint(), Base: "https://" + v.reached(a, listener), Plain: "http://" + v.reached(a, plain)}, nil
}

// reached gives the address under which a phone comes to a listener.
func (v *serveCommand) reached(a *localtls.Authority, l net.Listener) string {
	at := l.Addr().(*net.TCPAddr)
	host := at.IP.String()
	if ip, ok := netip.AddrFromSlice(at.IP); !ok || ip.IsUnspecified() {
		host = "localhost"
		if list := a.Reached(); len(list) > 0 {
			host = list[0]
		}
	}
	return net.JoinHostPort(host, strconv.Itoa(at.Port))
}

// tell prints where the farm is and what to compare on a phone.
func (v *serveCommand) tell(c *Context, t *web.Trust, a *localtls.Authority) {
	fmt.Fprintf(c.Stdout, "The farm is open at %s\n", t.Base)
	fmt.Fprintf(c.Stdout, "A phone that was never here begins at %s\nFingerprint to compare there, SHA-256 of %q:\n%s\n", t.Plain, a.Name(), t.Fingerprint)
	fmt.Fprintln(c.Stdout, "Ctrl-C closes it.")
}
