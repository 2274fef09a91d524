package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A new farm is served, begins with its first morning, and ends when told to.
func TestServe(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	read, write := io.Pipe()
	var said bytes.Buffer
	c := &Context{Context: ctx, Stdin: strings.NewReader(""), Stdout: write, Stderr: &said, Now: time.Now}
	ended := make(chan int, 1)
	go func() {
		ended <- run(c, []string{"serve", "--farm", filepath.Join(t.TempDir(), "farm.wormyard"), "--listen", "127.0.0.1:0"})
		write.Close()
	}()
	line, err := bufio.NewReader(read).ReadString('\n')
	if err != nil {
		t.Fatalf("%v: %s", err, &said)
	}
	go func() { _, _ = io.Copy(io.Discard, read) }()
	address := strings.TrimSpace(line[strings.Index(line, "http://"):])
	r, err := http.Get(address + "/")
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != http.StatusOK || r.Request.URL.Path != "/start" {
		t.Errorf("an empty farm opens at %s with %d", r.Request.URL.Path, r.StatusCode)
	}
	stop()
	select {
	case code := <-ended:
		if code != exitDone {
			t.Errorf("it ended with %d: %s", code, &said)
		}
	case <-time.After(endTime + 5*time.Second):
		t.Fatal("it did not end")
	}
}

// Addresses that others reach are refused unless they are asked for.
func TestServeKeepsToItself(t *testing.T) {
	for _, listen := range []string{"0.0.0.0:8484", ":8484", "192.0.2.7:80", "8484", "farm.example:80"} {
		var out, said bytes.Buffer
		c := &Context{Context: context.Background(), Stdin: strings.NewReader(""), Stdout: &out, Stderr: &said, Now: time.Now}
		if code := run(c, []string{"serve", "--farm", filepath.Join(t.TempDir(), "farm.wormyard"), "--listen", listen}); code != exitRefused {
			t.Errorf("listening on %s ended with %d: %s", listen, code, &said)
		}
	}
}
