package solvers

import (
	"bufio"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"wormyard/internal/highs"
	"wormyard/program"
	"wormyard/season"
)

// answer is what a solver came to.
type answer struct {
	status program.Status
	value  float64
	bound  float64 // NaN where it tells none
	took   time.Duration
	used   time.Duration // of the processor
}

func needed(t *testing.T) {
	if os.Getenv("WORMYARD_SOLVERS") == "" {
		t.Skip("bench/solvers/run runs it; ./check full does")
	}
	for _, name := range []string{"glpsol", "cbc"} {
		if _, err := exec.LookPath(name); err != nil {
			t.Fatalf("%v. try: apt-get install glpk-utils coinor-cbc", err)
		}
	}
}

// glpk solves a programme of which MPS was written to a file. The answer is read
// from the raw solution, whose first letters are told in glpsol(1).
func glpk(t *testing.T, file string, p program.Problem) answer {
	out := file + ".glpk"
	begin := time.Now()
	run := exec.Command("glpsol", "--freemps", file, "--min", "--cuts", "--mipgap", number(p.Gap), "--tmlim", number(math.Ceil(p.Limit.Seconds())), "--write", out)
	said, err := run.CombinedOutput()
	took := time.Since(begin)
	if err != nil {
		t.Fatalf("glpsol: %v\n%s", err, said)
	}
	if strings.Contains(string(said), "PROBLEM HAS NO PRIMAL FEASIBLE SOLUTION") || strings.Contains(string(said), "PROBLEM HAS NO INTEGER FEASIBLE SOLUTION") {
		return answer{status: program.Infeasible, took: took}
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(strings.NewReader(string(data)))
	for lines.Scan() {
		w := strings.Fields(lines.Text())
		if len(w) < 6 || w[0] != "s" || w[1] != "mip" {
			continue
		}
		value, err := strconv.ParseFloat(w[5], 64)
		if err != nil {
			t.Fatal(err)
		}
		a := answer{status: program.Stopped, value: signed(p, value), bound: math.NaN(), took: took, used: run.ProcessState.UserTime()}
		switch w[4] {
		case "o":
			a.status = program.Optimal
		case "n":
			a.status = program.Infeasible
		case "u":
			a.value = math.NaN()
		case "f":
			if strings.Contains(string(said), "RELATIVE MIP GAP TOLERANCE REACHED") {
				a.status = program.Optimal
			}
		}
		return a
	}
	t.Fatalf("glpsol wrote no solution:\n%s", said)
	return answer{}
}

// cbc does the same; its solution begins with how it ended.
func cbc(t *testing.T, file string, p program.Problem) answer {
	out := file + ".cbc"
	begin := time.Now()
	run := exec.Command("cbc", file, "-ratio", number(p.Gap), "-sec", number(math.Ceil(p.Limit.Seconds())), "-timeMode", "elapsed", "-solve", "-solution", out)
	said, err := run.CombinedOutput()
	took := time.Since(begin)
	if err != nil {
		t.Fatalf("cbc: %v\n%s", err, said)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	first, _, _ := strings.Cut(string(data), "\n")
	how, value, found := strings.Cut(first, " - objective value ")
	a := answer{status: program.Stopped, value: math.NaN(), bound: math.NaN(), took: took, used: run.ProcessState.UserTime()}
	if found {
		if a.value, err = strconv.ParseFloat(strings.TrimSpace(value), 64); err != nil {
			t.Fatal(err)
		}
		a.value = signed(p, a.value)
	}
	switch {
	case strings.HasPrefix(how, "Optimal"):
		a.status = program.Optimal
	case strings.Contains(strings.ToLower(how), "infeasible"):
		a.status = program.Infeasible
	}
	return a
}

func ours(t *testing.T, s *highs.Solver, p program.Problem) answer {
	begin, before := time.Now(), processor(t)
	got, err := s.Solve(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	a := answer{status: got.Status, value: got.Objective, bound: got.Bound, took: time.Since(begin), used: processor(t) - before}
	if got.Values == nil {
		a.value = math.NaN()
	} else if v := p.Violation(got.Values); v > 1e-5 {
		t.Errorf("our plan breaks a row by %g", v)
	}
	return a
}

// processor is what this process has used of it.
func processor(t *testing.T) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano())
}

// signed turns the least that was asked of the others back into the most.
func signed(p program.Problem, v float64) float64 {
	if p.Maximize {
		return -v
	}
	return v
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func written(t *testing.T, name string, p program.Problem) string {
	file := filepath.Join(t.TempDir(), name+".mps")
	if err := os.WriteFile(file, []byte(p.MPS(name)), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// Farms drawn by seeds have the same best plan, to the gap, by three solvers that
// share no line, and the same of them have none. Where one does not close in its
// time the farm does not count; enough must.
func TestSameOptimum(t *testing.T) {
	needed(t)
	s := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer s.Close()
	const gap, farms, enough = 1e-6, 48, 24 // drawn until enough are closed
	closed, none, open := 0, 0, 0
	worst := 0.0
	heats, splits := 0, 0
	for seed := uint64(0); seed < farms && (closed < enough || none == 0); seed++ {
		f := Generated(seed)
		p, err := season.Programme(f)
		if err != nil {
			t.Fatalf("farm %d: %v", seed, err)
		}
		p.Gap, p.Limit = gap, 10*time.Second
		file := written(t, fmt.Sprintf("farm%d", seed), p)
		answers := map[string]answer{"highs": ours(t, s, p), "glpk": glpk(t, file, p), "cbc": cbc(t, file, p)}
		a := answers["highs"]
		stopped := false
		for name, b := range answers {
			stopped = stopped || b.status == program.Stopped
			if name == "highs" || b.status == program.Stopped || a.status == program.Stopped {
				continue
			}
			if b.status != a.status {
				t.Errorf("farm %d: %s says %v, HiGHS %v", seed, name, b.status, a.status)
				continue
			}
			if a.status != program.Optimal {
				continue
			}
			// each may stop by the gap from the best, and rows give by their tolerance
			off := math.Abs(b.value-a.value) / math.Max(1, math.Abs(a.value))
			worst = math.Max(worst, off)
			if off > 2*gap+1e-7 {
				t.Errorf("farm %d: %s earns %.6f, HiGHS %.6f", seed, name, b.value, a.value)
			}
		}
		switch {
		case stopped:
			open++
			t.Logf("farm %d was not closed by all: %+v", seed, answers)
		case a.status == program.Infeasible:
			none++
		default:
			closed++
			if len(f.Heat) > 0 {
				heats++
			}
			if f.Split != nil {
				splits++
			}
		}
	}
	t.Logf("%d farms closed by three solvers (%d of them with heating, %d with splitting), %d without a plan by all, %d not closed; they differ by %.1e at most", closed, heats, splits, none, open, worst)
	if none == 0 {
		t.Error("no farm had no plan: that such are told alike was not seen")
	}
	if closed < enough {
		t.Errorf("only %d farms were closed by all three, %d are wanted", closed, enough)
	}
}

// The time that each takes on a farm at size, one after the other in one run.
func TestTimeAtSize(t *testing.T) {
	needed(t)
	s := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer s.Close()
	if err := s.Ready(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		name string
		farm season.Farm
		gap  float64
	}{{"as it is", Big(), 0.01}, {"as it is", Big(), 0.0001}, {"two ways of heating, splitting", BigWithChoices(), 0.01}} {
		p, err := season.Programme(x.farm)
		if err != nil {
			t.Fatal(err)
		}
		whole := 0
		for _, c := range p.Columns {
			if c.Whole {
				whole++
			}
		}
		p.Gap, p.Limit = x.gap, time.Minute
		t.Logf("%s, gap %g: %d rows, %d columns, %d of them whole", x.name, x.gap, len(p.Rows), len(p.Columns), whole)
		file := written(t, "year", p)
		first := ours(t, s, p)
		for _, x := range []struct {
			name string
			a    answer
		}{{"HiGHS in this process", first}, {"glpsol", glpk(t, file, p)}, {"cbc", cbc(t, file, p)}} {
			t.Logf("%-22s %-10s %7.2f s, %.2f s of processor, %.2f times HiGHS, earns %.1f (bound %.1f)", x.name, x.a.status, x.a.took.Seconds(), x.a.used.Seconds(), x.a.used.Seconds()/first.used.Seconds(), x.a.value, x.a.bound)
		}
	}
}

// What it brings to begin from the plan of simple rules: the same farms solved with
// it and without, by turns in one run.
func TestTimeFromRules(t *testing.T) {
	needed(t)
	s := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer s.Close()
	if err := s.Ready(t.Context()); err != nil {
		t.Fatal(err)
	}
	one := func(name string, f season.Farm) (with, without float64) {
		p, err := season.Programme(f)
		if err != nil {
			t.Fatal(err)
		}
		if p.Start == nil {
			return 0, 0
		}
		p.Gap, p.Limit = 1e-4, 20*time.Second
		cold := p
		cold.Start = nil
		with, without = math.Inf(1), math.Inf(1)
		var a, b answer
		for range 3 {
			a, b = ours(t, s, p), ours(t, s, cold)
			with, without = math.Min(with, a.took.Seconds()), math.Min(without, b.took.Seconds())
		}
		t.Logf("%s: %.3f s from the rules' plan (%.1f), %.3f s without; %.1f and %.1f", name, with, p.Objective(p.Start), without, a.value, b.value)
		return with, without
	}
	one("at size", Big())
	var with, without float64
	for seed := range uint64(12) {
		a, b := one(fmt.Sprintf("farm %d", seed), Generated(seed))
		with, without = with+a, without+b
	}
	t.Logf("generated farms: %.2f s from the rules' plan, %.2f s without", with, without)
}
