package main

import (
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"
)

// Who types the address of a farm with a certificate without https is sent on;
// who speaks TLS is not touched.
func TestPlainIsShownTheWay(t *testing.T) {
	srv := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { io.WriteString(w, r.URL.RequestURI()) }))
	srv.Listener = showsTheWay{srv.Listener}
	srv.StartTLS()
	defer srv.Close()
	at := srv.Listener.Addr().String()
	client := srv.Client()
	r, err := client.Get("http://" + at + "/bin/B3?from=sheet")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, _ := io.ReadAll(r.Body)
	if r.Request.URL.String() != "https://"+at+"/bin/B3?from=sheet" || string(body) != "/bin/B3?from=sheet" {
		t.Errorf("it ended at %s with %q", r.Request.URL, body)
	}
	for _, said := range []string{"\x00\x01\x02", "GET / HTTP/1.1\r\nHost: a b\r\n\r\n", "GET / HTTP/1.1\r\n\r\n", "no words at all\r\n\r\n"} {
		c, err := net.Dial("tcp", at)
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(c, said)
		if got, err := io.ReadAll(c); len(got) > 0 || err != nil && !errors.Is(err, net.ErrClosed) && !isReset(err) {
			t.Errorf("%q was answered %q, %v", said, got, err)
		}
		c.Close()
	}
}

// isReset says whether the other side hung up.
func isReset(err error) bool {
	var op *net.OpError
	return errors.As(err, &op)
}
