package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wormyard/internal/localtls"
	"wormyard/internal/sqlite"
)

// served is the built-in server at work, with what it printed.
func served(t *testing.T, lines int, args ...string) []string {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	read, write := io.Pipe()
	var said bytes.Buffer
	c := &Context{Context: ctx, Stdin: strings.NewReader(""), Stdout: write, Stderr: &said, Now: time.Now}
	ended := make(chan int, 1)
	go func() {
		ended <- run(c, append([]string{"serve"}, args...))
		write.Close()
	}()
	t.Cleanup(func() {
		stop()
		select {
		case code := <-ended:
			if code != exitDone {
				t.Errorf("it ended with %d: %s", code, &said)
			}
		case <-time.After(endTime + 5*time.Second):
			t.Error("it did not end")
		}
	})
	in := bufio.NewReader(read)
	var out []string
	for range lines {
		line, err := in.ReadString('\n')
		if err != nil {
			t.Fatalf("%v: %s", err, &said)
		}
		out = append(out, strings.TrimSpace(line))
	}
	go func() { _, _ = io.Copy(io.Discard, in) }()
	return out
}

// A farm with an owner is served to the whole network with the machine's own
// certificate: a phone learns of it on plain http, compares the fingerprint,
// trusts it, signs in, and writes; without trust it does not come in.
func TestServeToPhones(t *testing.T) {
	dir := t.TempDir()
	farm, folder := filepath.Join(dir, "farm.wormyard"), filepath.Join(dir, "tls")
	store, err := sqlite.Open(farm)
	if err != nil {
		t.Fatal(err)
	}
	if err := store.Close(); err != nil {
		t.Fatal(err)
	}
	if code, _, said := play("three wet gloves\n", "people", "add", "Ana", "--role", "owner", "--farm", farm); code != exitDone {
		t.Fatal(said)
	}
	lines := served(t, 4, "--farm", farm, "--listen", "0.0.0.0:0", "--tls", "local", "--tls-folder", folder)
	last := func(s string) *url.URL {
		t.Helper()
		u, err := url.Parse(s[strings.LastIndex(s, " ")+1:])
		if err != nil {
			t.Fatal(err)
		}
		u.Host = "127.0.0.1:" + u.Port() // this machine stands for the phone
		return u
	}
	pages, plain := last(lines[0]), last(lines[1])
	if pages.Scheme != "https" || plain.Scheme != "http" {
		t.Fatalf("%q", lines)
	}
	get := func(c *http.Client, at string) (int, string, http.Header) {
		t.Helper()
		r, err := c.Get(at)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		body, err := io.ReadAll(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		return r.StatusCode, string(body), r.Header
	}
	if code, page, _ := get(http.DefaultClient, plain.String()); code != 200 || !strings.Contains(page, strings.ReplaceAll(lines[3], ":", " ")) {
		t.Errorf("the page about trust: %d, without the fingerprint %s", code, lines[3])
	}
	if code, page, _ := get(http.DefaultClient, plain.String()+"/round"); code != 404 || !strings.Contains(page, "only the page about trust") {
		t.Errorf("the farm on plain http: %d", code)
	}
	_, der, head := get(http.DefaultClient, plain.String()+"/trust/authority.crt")
	if head.Get("Content-Type") != "application/x-x509-ca-cert" || localtls.Fingerprint([]byte(der)) != lines[3] {
		t.Errorf("another certificate: %v", head)
	}
	if r, err := http.Get(pages.String()); err == nil {
		r.Body.Close()
		t.Error("a phone that does not trust comes in")
	}
	ca, err := x509.ParseCertificate([]byte(der))
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(ca)
	jar, _ := cookiejar.New(nil)
	phone := &http.Client{Jar: jar, Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}, ForceAttemptHTTP2: true}}
	defer phone.CloseIdleConnections()
	if code, page, _ := get(phone, pages.String()+"/round"); code != 200 || !strings.Contains(page, `action="/sign-in"`) {
		t.Errorf("it is not asked to sign in: %d", code)
	}
	r, err := phone.PostForm(pages.String()+"/sign-in", url.Values{"name": {"Ana"}, "password": {"three wet gloves"}, "device": {"Barn phone"}, "to": {"/me"}})
	if err != nil {
		t.Fatal(err)
	}
	page, _ := io.ReadAll(r.Body)
	r.Body.Close()
	if r.StatusCode != 200 || r.ProtoMajor != 2 || !strings.Contains(string(page), "You are owner, on: Barn phone") {
		t.Errorf("%d %s: %s", r.StatusCode, r.Proto, page)
	}
	if code, out, _ := play("", "people", "list", "--farm", farm); code != exitDone || !strings.Contains(out, "on Barn phone") {
		t.Errorf("%d %s", code, out)
	}
}

// What cannot be listened on is told with the flag that mends it.
func TestServeTellsWhichAddress(t *testing.T) {
	busy, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer busy.Close()
	dir := t.TempDir()
	for want, args := range map[string][]string{
		"--listen 127":   {"--listen", busy.Addr().String()},
		"--trust 127":    {"--listen", "127.0.0.1:0", "--tls", "local", "--trust", busy.Addr().String()},
		"not an address": {"--listen", "nowhere"},
	} {
		code, _, said := play("", append([]string{"serve", "--farm", filepath.Join(dir, "farm"), "--tls-folder", filepath.Join(dir, "tls")}, args...)...)
		if code != exitRefused || !strings.Contains(said, want) {
			t.Errorf("%v ended with %d: %s", args, code, said)
		}
	}
}

// The old way to open a farm to everyone is gone.
func TestNoNetworkWithoutAnOwner(t *testing.T) {
	if code, _, _ := play("", "serve", "--network", "--listen", "0.0.0.0:0", "--farm", filepath.Join(t.TempDir(), "farm")); code != exitRefused {
		t.Errorf("it ended with %d", code)
	}
}
