package main

import (
	"bufio"
	"bytes"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The program ends within two seconds of Ctrl-C and of SIGTERM, while a page
// listens for news, one is kept open for the next request, and one was opened
// ahead of need; and the page that listens is sent home in good order.
func TestServeEndsAtOnce(t *testing.T) {
	const atOnce = 2 * time.Second
	for name, sent := range map[string]os.Signal{"Ctrl-C": os.Interrupt, "SIGTERM": syscall.SIGTERM} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			program, err := os.Executable()
			if err != nil {
				t.Fatal(err)
			}
			var said bytes.Buffer
			c := &exec.Cmd{Path: program, Args: []string{"wormyard", "serve", "--farm", filepath.Join(t.TempDir(), "farm.wormyard"), "--listen", "127.0.0.1:0"}, Stderr: &said}
			out, err := c.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := c.Start(); err != nil {
				t.Fatal(err)
			}
			t.Cleanup(func() { _ = c.Process.Kill() })
			lines := bufio.NewReader(out)
			line, err := lines.ReadString('\n')
			if err != nil {
				t.Fatalf("%v: %s", err, &said)
			}
			address := strings.TrimSpace(line[strings.Index(line, "http://"):])
			ahead, err := net.Dial("tcp", strings.TrimPrefix(address, "http://"))
			if err != nil {
				t.Fatal(err)
			}
			defer ahead.Close()
			page, err := http.Get(address + "/more")
			if err != nil {
				t.Fatal(err)
			}
			_, _ = io.Copy(io.Discard, page.Body)
			page.Body.Close()
			live, err := http.Get(address + "/round/events")
			if err != nil {
				t.Fatal(err)
			}
			defer live.Body.Close()
			news := bufio.NewReader(live.Body)
			if line, err := news.ReadString('\n'); err != nil || !strings.HasPrefix(line, "retry:") {
				t.Fatalf("the page hears %q, %v", line, err)
			}
			begun := time.Now()
			if err := c.Process.Signal(sent); err != nil {
				t.Fatal(err)
			}
			if _, err := io.Copy(io.Discard, news); err != nil {
				t.Errorf("the page that listens ends with %v", err)
			}
			_, _ = io.Copy(io.Discard, lines)
			if err := c.Wait(); err != nil {
				t.Errorf("it ended with %v: %s", err, &said)
			}
			if took := time.Since(begun); took > atOnce {
				t.Errorf("it took %v to end", took)
			} else {
				t.Logf("it ended within %v", took.Round(time.Millisecond))
			}
		})
	}
}
