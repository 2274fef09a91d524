package highs

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"os"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wormyard/internal/highs/glue"
	"wormyard/program"
)

var shared = Open(Options{CacheDir: CacheDir()})

func TestMain(m *testing.M) {
	code := m.Run()
	if err := shared.Close(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

var inf = math.Inf(1)

// The glue kept beside the module must give the names that names.go holds.
func TestNamesComeFromTheGlue(t *testing.T) {
	f, err := os.Open("third_party/highs.js.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	js, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	if sum := fmt.Sprintf("%x", sha256.Sum256(js)); sum != glueSum {
		t.Errorf("glue has checksum %s, names.go was made from %s", sum, glueSum)
	}
	names, err := glue.Read(js)
	if err != nil {
		t.Fatal(err)
	}
	if names.Memory != exportMemory || names.Constructors != exportConstructors {
		t.Errorf("memory %q constructors %q, names.go has %q %q", names.Memory, names.Constructors, exportMemory, exportConstructors)
	}
	for long, short := range exportNames {
		if names.Exports[long] != short {
			t.Errorf("export %s is %q in the glue, %q in names.go", long, names.Exports[long], short)
		}
	}
	if len(names.Imports) != len(importNames) {
		t.Errorf("%d imports in the glue, %d in names.go", len(names.Imports), len(importNames))
	}
	for long, short := range names.Imports {
		if importNames[long] != short {
			t.Errorf("import %s is %q in the glue, %q in names.go", long, short, importNames[long])
		}
	}
	if _, err := glue.Read([]byte("nothing of the kind")); err == nil {
		t.Error("glue without names was read without complaint")
	}
}

// A changed module must be refused.
func TestChangedModuleIsRefused(t *testing.T) {
	whole := packed
	defer func() { packed = whole }()
	wasm, err := unpack()
	if err != nil {
		t.Fatal(err)
	}
	wasm[len(wasm)/2] ^= 1
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := z.Write(wasm); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	packed = b.Bytes()
	if _, err := unpack(); err == nil {
		t.Fatal("a module with one bit turned was taken")
	}
}

// Most 3x + 5y with x <= 4, 2y <= 12, 3x + 2y <= 18: corner (2, 6), value 36.
func corner() program.Problem {
	p := program.Problem{Maximize: true}
	x := p.Add(program.Column{Name: "x", Cost: 3, High: inf})
	y := p.Add(program.Column{Name: "y", Cost: 5, High: inf})
	p.Hold(program.Row{Low: -inf, High: 4, Terms: []program.Term{{Column: x, Coefficient: 1}}})
	p.Hold(program.Row{Low: -inf, High: 12, Terms: []program.Term{{Column: y, Coefficient: 2}}})
	p.Hold(program.Row{Low: -inf, High: 18, Terms: []program.Term{{Column: x, Coefficient: 1}, {Column: x, Coefficient: 2}, {Column: y, Coefficient: 2}}})
	return p
}

func TestCorner(t *testing.T) {
	got, err := shared.Solve(t.Context(), corner())
	if err != nil {
		t.Fatal(err)
	}
	if got.Status != program.Optimal || math.Abs(got.Objective-36) > 1e-9 || math.Abs(got.Values[0]-2) > 1e-9 || math.Abs(got.Values[1]-6) > 1e-9 {
		t.Errorf("got %+v, want 36 at (2, 6)", got)
	}
}

func TestInterpretedGivesTheSame(t *testing.T) {
	s := Open(Options{Interpret: true})
	defer s.Close()
	got, err := s.Solve(t.Context(), corner())
	if err != nil {
		t.Fatal(err)
	}
	if got.Status != program.Optimal || math.Abs(got.Objective-36) > 1e-9 {
		t.Errorf("got %+v, want 36", got)
	}
}

func TestInfeasibleAndUnbounded(t *testing.T) {
	var none program.Problem
	x := none.Add(program.Column{High: 1})
	none.Hold(program.Row{Low: 2, High: inf, Terms: []program.Term{{Column: x, Coefficient: 1}}})

	free := program.Problem{Maximize: true}
	x = free.Add(program.Column{Cost: 1, High: inf})
	y := free.Add(program.Column{High: inf})
	free.Hold(program.Row{Low: 0, High: inf, Terms: []program.Term{{Column: x, Coefficient: 1}, {Column: y, Coefficient: 1}}})

	whole := program.Problem{Maximize: true}
	x = whole.Add(program.Column{Cost: 1, High: inf, Whole: true})
	y = whole.Add(program.Column{High: inf, Whole: true})
	whole.Hold(program.Row{Low: -1, High: 1, Terms: []program.Term{{Column: x, Coefficient: 1}, {Column: y, Coefficient: -1}}})

	for name, c := range map[string]struct {
		p    program.Problem
		want program.Status
	}{"crossing": {none, program.Infeasible}, "free": {free, program.Unbounded}, "free whole": {whole, program.Unbounded}} {
		got, err := shared.Solve(t.Context(), c.p)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got.Status != c.want {
			t.Errorf("%s: %v, want %v", name, got.Status, c.want)
		}
	}
}

func TestMalformedIsAnError(t *testing.T) {
	var p program.Problem
	p.Add(program.Column{Cost: math.NaN(), High: 1})
	if _, err := shared.Solve(t.Context(), p); err == nil {
		t.Error("a price that is no number was taken")
	}
	p = program.Problem{}
	p.Hold(program.Row{High: 1, Terms: []program.Term{{Column: 3, Coefficient: 1}}})
	if _, err := shared.Solve(t.Context(), p); err == nil {
		t.Error("a term on a column that is not there was taken")
	}
}

// Small programmes over whole numbers, checked by looking at every plan.
func TestWholeNumbersAgainstEveryPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "columns")
		p := program.Problem{Gap: 1e-9}
		for i := 0; i < n; i++ {
			p.Add(program.Column{Cost: float64(rapid.IntRange(-9, 9).Draw(t, "cost")), High: 4, Whole: true})
		}
		for r := rapid.IntRange(0, 3).Draw(t, "rows"); r > 0; r-- {
			row := program.Row{Low: -inf, High: float64(rapid.IntRange(-6, 12).Draw(t, "high"))}
			for i := 0; i < n; i++ {
				row.Terms = append(row.Terms, program.Term{Column: i, Coefficient: float64(rapid.IntRange(-3, 5).Draw(t, "coefficient"))})
			}
			p.Hold(row)
		}
		best, values := inf, make([]float64, n)
		var walk func(int)
		walk = func(i int) {
			if i == n {
				if p.Violation(values) == 0 {
					best = math.Min(best, p.Objective(values))
				}
				return
			}
			for v := 0; v <= 4; v++ {
				values[i] = float64(v)
				walk(i + 1)
			}
		}
		walk(0)
		got, err := shared.Solve(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if math.IsInf(best, 1) {
			if got.Status != program.Infeasible {
				t.Fatalf("no plan exists, got %+v", got)
			}
			return
		}
		if got.Status != program.Optimal || math.Abs(got.Objective-best) > 1e-6 || p.Violation(got.Values) > 1e-6 {
			t.Fatalf("got %+v, want %v", got, best)
		}
	})
}

// Dual prices of drawn programmes lie between the differences that are found by
// solving again with a little more and a little less of each bound, and make up
// the objective (weak and strong duality; G. B. Dantzig, Linear Programming and
// Extensions, Princeton 1963, recalled).
func TestWorthAgainstDifferences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "columns")
		p := program.Problem{Maximize: rapid.Bool().Draw(t, "most")}
		whole := func(low, high int, name string) float64 { return float64(rapid.IntRange(low, high).Draw(t, name)) }
		for range n {
			p.Add(program.Column{Cost: whole(-9, 9, "cost"), High: whole(1, 5, "high")})
		}
		for range rapid.IntRange(1, 5).Draw(t, "rows") {
			row := program.Row{Low: -inf, High: whole(1, 12, "row")} // so that nothing at all is a plan, with a little less too
			if rapid.Bool().Draw(t, "least") {
				row = program.Row{Low: -row.High, High: inf}
			}
			for i := range n {
				row.Terms = append(row.Terms, program.Term{Column: i, Coefficient: whole(-3, 5, "coefficient")})
			}
			p.Hold(row)
		}
		solve := func(p program.Problem) program.Solution {
			got, err := shared.Solve(context.Background(), p)
			if err != nil || got.Status != program.Optimal {
				t.Fatalf("%v %v", got.Status, err)
			}
			return got
		}
		base := solve(p)
		const h = 1e-3
		between := func(what string, worth float64, raise func(p *program.Problem, by float64)) {
			moved := func(by float64) float64 {
				q := p
				q.Columns, q.Rows = append([]program.Column(nil), p.Columns...), append([]program.Row(nil), p.Rows...)
				raise(&q, by)
				return (solve(q).Objective - base.Objective) / by
			}
			more, less := moved(h), moved(-h)
			if more > less {
				more, less = less, more // the least is convex in its bounds, the most concave
			}
			if worth < more-1e-5 || worth > less+1e-5 {
				t.Fatalf("%s is worth %g, between %g and %g by solving again", what, worth, more, less)
			}
		}
		sum := 0.0
		for i, r := range p.Rows {
			between(fmt.Sprintf("row %d", i), base.RowWorth[i], func(q *program.Problem, by float64) {
				if math.IsInf(r.High, 1) {
					q.Rows[i].Low += by
				} else {
					q.Rows[i].High += by
				}
			})
			if math.IsInf(r.High, 1) {
				sum += base.RowWorth[i] * r.Low
			} else {
				sum += base.RowWorth[i] * r.High
			}
		}
		for j, c := range p.Columns {
			if base.Values[j] > c.High-1e-9 { // else it lies at nothing, or between
				between(fmt.Sprintf("column %d", j), base.ColumnWorth[j], func(q *program.Problem, by float64) { q.Columns[j].High += by })
				sum += base.ColumnWorth[j] * c.High
			}
		}
		if math.Abs(sum-base.Objective) > 1e-6*(1+math.Abs(base.Objective)) {
			t.Fatalf("what the bounds are worth makes %g, the objective is %g", sum, base.Objective)
		}
	})
}

func TestManyAtOnce(t *testing.T) {
	var wait sync.WaitGroup
	for i := 0; i < 8; i++ {
		wait.Add(1)
		go func() {
			defer wait.Done()
			p := corner()
			p.Offset = float64(i)
			for k := 0; k < 5; k++ {
				got, err := shared.Solve(context.Background(), p)
				if err != nil || math.Abs(got.Objective-36-float64(i)) > 1e-9 {
					t.Errorf("solve %d: %+v, %v", i, got, err)
				}
			}
		}()
	}
	wait.Wait()
}

// A caller who gives up gets an answer at once, and the solver still serves the
// next one.
func TestGivingUp(t *testing.T) {
	// A knapsack of many near-equal things keeps a branching search busy.
	p := program.Problem{Maximize: true, Gap: 1e-12, Limit: time.Minute}
	row := program.Row{Low: 1000003, High: 1000003}
	for i := 0; i < 60; i++ {
		c := p.Add(program.Column{Cost: float64(1 + i%7), High: 100, Whole: true})
		row.Terms = append(row.Terms, program.Term{Column: c, Coefficient: float64(20011 + 2*i*i)})
	}
	p.Hold(row)
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	began := time.Now()
	got, err := shared.Solve(ctx, p)
	if err != nil {
		t.Fatal(err)
	}
	if took := time.Since(began); took > 20*time.Second {
		t.Errorf("the solver came back %v after the caller gave up", took)
	}
	if got.Values != nil && p.Violation(got.Values) > 1e-4 {
		t.Errorf("the plan kept on giving up breaks a row by %v", p.Violation(got.Values))
	}
	if got, err = shared.Solve(ctx, corner()); err != nil || got.Status != program.Stopped || got.Values != nil || !math.IsInf(got.Bound, 0) {
		t.Errorf("asked after giving up: %+v, %v", got, err)
	}
	if got, err = shared.Solve(t.Context(), corner()); err != nil || math.Abs(got.Objective-36) > 1e-9 {
		t.Errorf("after giving up: %+v, %v", got, err)
	}
}

func TestClosedSolverSaysSo(t *testing.T) {
	s := Open(Options{})
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Solve(t.Context(), corner()); err == nil {
		t.Error("a closed solver answered")
	}
}

func TestFolderThatCannotBeWrittenIsNoHindrance(t *testing.T) {
	file := t.TempDir() + "/file"
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if Cached(file) || Cached("") || Cached(file+"/none") {
		t.Error("a file or nothing at all counts as a compiled module")
	}
	s := Open(Options{CacheDir: file + "/cache", Interpret: true})
	defer s.Close()
	if _, err := s.Solve(t.Context(), corner()); err != nil {
		t.Error(err)
	}
}

func TestCompiledOnceIsKnown(t *testing.T) {
	if err := shared.Ready(t.Context()); err != nil {
		t.Fatal(err)
	}
	if dir := CacheDir(); dir != "" && !Cached(dir) {
		t.Errorf("compiled into %s, and not known to be", dir)
	}
}

func BenchmarkCorner(b *testing.B) {
	p := corner()
	if _, err := shared.Solve(b.Context(), p); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := shared.Solve(b.Context(), p); err != nil {
			b.Fatal(err)
		}
	}
}
