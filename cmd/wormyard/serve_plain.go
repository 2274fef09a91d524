package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
)

// showsTheWay sends who speaks plain HTTP to the door with a certificate on to
// the same address by https: a person who types the address of the farm without
// it gets there all the same.
type showsTheWay struct{ net.Listener }

func (l showsTheWay) Accept() (net.Conn, error) {
	c, err := l.Listener.Accept()
	if err != nil {
		return nil, err
	}
	return &firstWord{Conn: c}, nil
}

// firstWord looks at the first that comes in on a connection.
type firstWord struct {
	net.Conn
	heard bool
}

// tlsHandshake is the first byte of a TLS connection (RFC 8446, 5.1).
const tlsHandshake = 22

func (c *firstWord) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	if c.heard || n == 0 {
		return n, err
	}
	c.heard = true
	if b[0] == tlsHandshake {
		return n, err
	}
	if r, err := http.ReadRequest(bufio.NewReader(bytes.NewReader(b[:n]))); err == nil && plainHost(r.Host) {
		to := "https://" + r.Host + r.URL.RequestURI()
		fmt.Fprintf(c.Conn, "HTTP/1.1 307 Temporary Redirect\r\nLocation: %s\r\nConnection: close\r\nContent-Length: 0\r\n\r\n", to)
	}
	return 0, io.EOF
}

// plainHost says whether a host as sent can stand in an address as it is.
func plainHost(host string) bool {
	return host != "" && strings.Trim(host, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.-:[]") == ""
}
