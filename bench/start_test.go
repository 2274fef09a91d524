package bench

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// TestStart starts the program on the demo farm, as ./run does, and tells how
// long it takes until the round is answered;
// then four readers walk its pages over loopback.
func TestStart(t *testing.T) {
	if os.Getenv("WORMYARD_BENCH") == "" {
		t.Skip("set WORMYARD_BENCH=1 to measure")
	}
	program := filepath.Join(t.TempDir(), "wormyard")
	if out, err := exec.Command("go", "build", "-o", program, "../cmd/wormyard").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	_, _, end := started(t, program)
	end() // the first start may have made the demo farm
	var starts []time.Duration
	for range 5 {
		_, took, end := started(t, program)
		starts = append(starts, took)
		end()
	}
	slices.Sort(starts)
	t.Logf("start on the demo farm until /round is answered: middle %.2f s, worst of five %.2f s (wanted: 2 s)", starts[2].Seconds(), starts[4].Seconds())

	base, _, end := started(t, program)
	defer end()
	settle(t, base)
	for _, path := range []string{"/round", "/round/print", "/barn", "/bin/B77", "/bin/B77/feed", "/yard", "/mix", "/journal", "/farm", "/more"} {
		p50, p99 := load(t, base+path, 4, 200)
		t.Logf("%-16s p50 %5.1f ms   p99 %5.1f ms   (wanted: p99 50 ms)", path, p50, p99)
	}
}

// started runs the program on the demo farm and waits for its first page.
func started(t *testing.T, program string) (base string, took time.Duration, end func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	cmd := exec.CommandContext(ctx, program, "serve", "--demo", "--listen", "127.0.0.1:0")
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	begin := time.Now()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	end = func() { cancel(); _ = cmd.Wait() }
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if _, after, ok := strings.Cut(lines.Text(), "http://"); ok {
			base = "http://" + strings.TrimSpace(after)
			break
		}
	}
	go func() { _, _ = io.Copy(io.Discard, out) }()
	if err := get(base + "/round"); err != nil {
		end()
		t.Fatal(err)
	}
	return base, time.Since(begin), end
}

// settle waits until no round is being made, so that pages are measured alone.
func settle(t *testing.T, base string) {
	t.Helper()
	for deadline := time.Now().Add(5 * time.Minute); ; time.Sleep(time.Second) {
		page, err := fetch(base + "/round")
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(page, "<progress") {
			return
		}
		if time.Now().After(deadline) {
			t.Fatal("the round is still being made after five minutes")
		}
	}
}

// load asks for a page n times by so many readers at once [ms].
func load(t *testing.T, url string, readers, n int) (p50, p99 float64) {
	t.Helper()
	times := make([]float64, n)
	var group sync.WaitGroup
	for r := range readers {
		group.Go(func() {
			for i := r; i < n; i += readers {
				begin := time.Now()
				if err := get(url); err != nil {
					t.Error(err)
					return
				}
				times[i] = time.Since(begin).Seconds() * 1000
			}
		})
	}
	group.Wait()
	slices.Sort(times)
	return times[n/2], times[n*99/100]
}

func get(url string) error {
	_, err := fetch(url)
	return err
}

func fetch(url string) (string, error) {
	r, err := http.Get(url)
	if err != nil {
		return "", err
	}
	defer func() { _ = r.Body.Close() }()
	body, err := io.ReadAll(r.Body)
	if err == nil && r.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s: %s", url, r.Status)
	}
	return string(body), err
}
