package sqlite

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"wormyard/internal/ids"
	"wormyard/internal/storetest"
	"wormyard/journal"
	"wormyard/qty"
)

// TestMain turns the test binary into the writer that the crash test kills.
func TestMain(m *testing.M) {
	if path := os.Getenv("WORMYARD_CRASH_WRITER"); path != "" {
		crashWriter(path, os.Getenv("WORMYARD_CRASH_SEED"))
		os.Exit(3)
	}
	if path := os.Getenv("WORMYARD_OPEN_ONLY"); path != "" {
		_, err := Open(path)
		fmt.Print(err)
		if r, err := OpenToRead(path); err == nil {
			a, err := r.Verify(context.Background())
			fmt.Print(" readable: ", a.Entries, " ", err)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// crashWriter appends for ever and tells each id on standard output after
// Append has acknowledged it.
func crashWriter(path, seed string) {
	s, err := Open(path)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(4)
	}
	n, _ := strconv.ParseUint(seed, 10, 64)
	r := rand.New(rand.NewPCG(n, 1))
	for i := 0; ; {
		var batch []journal.Entry
		for range 1 + r.IntN(30) {
			at := storetest.Start.Add(time.Duration(i) * time.Second)
			e := journal.Entry{ID: ids.FromContent(at, []byte(seed), i), Kind: "water", At: at, Who: "crew 1", Device: "phone", Body: &journal.Water{Bins: []string{"A1"}, Kg: 5}}
			if r.IntN(2) == 0 {
				e.Kind, e.Body = "reading", &journal.Reading{Bin: "A1", TempC: storetest.Ptr(qty.Celsius(20)), Probe: "logger"}
			}
			batch = append(batch, e)
			i++
		}
		taken, err := s.Append(context.Background(), batch)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(5)
		}
		var said strings.Builder
		for _, e := range taken {
			said.WriteString(e.ID + "\n")
		}
		os.Stdout.WriteString(said.String())
	}
}

// TestKilledWriter kills a writing process with SIGKILL at random moments, time
// after time on the same farm. Every acknowledged entry must be there and the
// chain must hold. WORMYARD_CRASH_ROUNDS sets the rounds; 10 when unset.
func TestKilledWriter(t *testing.T) {
	rounds := 10
	if n, err := strconv.Atoi(os.Getenv("WORMYARD_CRASH_ROUNDS")); err == nil {
		rounds = n
	}
	path := filepath.Join(t.TempDir(), "farm.wormyard")
	r := rand.New(rand.NewPCG(7, 7))
	var acknowledged []string
	inWrite, unacknowledged := 0, 0
	for round := range rounds {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), "WORMYARD_CRASH_WRITER="+path, fmt.Sprintf("WORMYARD_CRASH_SEED=%d", round+1))
		var complaint strings.Builder
		cmd.Stderr = &complaint
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(out)
		before := len(acknowledged)
		if lines.Scan() { // it writes; from now on any moment may be the last
			acknowledged = append(acknowledged, lines.Text())
			time.AfterFunc(time.Duration(r.IntN(120_000))*time.Microsecond, func() { cmd.Process.Signal(syscall.SIGKILL) })
		}
		for lines.Scan() {
			if id := lines.Text(); len(id) == 36 { // the last line may be cut
				acknowledged = append(acknowledged, id)
			}
		}
		err = cmd.Wait()
		if exit, ok := err.(*exec.ExitError); !ok || exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGKILL {
			t.Fatalf("round %d: the writer ended by itself: %v %s", round, err, complaint.String())
		}
		if len(acknowledged) == before {
			t.Fatalf("round %d: nothing was written", round)
		}
		s, err := Open(path)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		a, err := s.Verify(context.Background())
		if err != nil || a.Broken != nil {
			t.Fatalf("round %d: %+v %v", round, a.Broken, err)
		}
		have := map[string]bool{}
		for _, e := range storetest.Collect(t, s, 0) {
			have[e.ID] = true
		}
		for _, id := range acknowledged {
			if !have[id] {
				t.Fatalf("round %d: entry %s was acknowledged and is gone", round, id)
			}
		}
		if more := len(have) - len(acknowledged); more > unacknowledged {
			inWrite++
			unacknowledged = more
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%d rounds, %d entries acknowledged and found; %d rounds were cut between the disk and the word of it", rounds, len(acknowledged), inWrite)
}
