// Package highs solves linear and mixed-integer programmes with HiGHS, a solver
// by the University of Edinburgh, compiled to WebAssembly (npm package "highs",
// version 1.15.3, MIT licence beside the module in third_party) and run inside
// this process by wazero. Nothing needs to be installed and no C compiler is
// needed.
//
// Compiling the module takes seconds and is done once, on first use; the result
// is kept in a cache folder when one is given, and the next start takes a tenth
// of a second. Without a cache a small programme can be run interpreted
// instead, see Options.Interpret. Instances are pooled: a solve takes one,
// uses it alone and puts it back, so a Solver may be shared by goroutines.
//
// What is not here: starting bases, duals, quadratic objectives, callbacks.
package highs

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"time"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"

	"wormyard/program"
)

//go:generate go run ./generate

//go:embed third_party/highs.wasm.gz
var packed []byte

// Version is the pinned release of the solver.
const Version = "1.15.3"

// Options say how the module is run.
type Options struct {
	// CacheDir is a folder for the compiled module; "" keeps it in memory only.
	CacheDir string
	// Interpret runs the module without compiling it: ready sooner, each solve
	// many times slower. It is for a single small programme.
	Interpret bool
}

// Solver runs programmes. The zero value compiles without a cache; Open is the
// usual way to get one.
type Solver struct {
	options Options

	start    sync.Once
	startErr error
	engine   wazero.Runtime
	cache    wazero.CompilationCache
	code     wazero.CompiledModule

	mu     sync.Mutex
	closed bool
	idle   []*instance
}

// keep is how many idle instances wait for the next solve.
const keep = 4

// small is the number of columns below which a search is over at once.
const small = 100

// heaviest is the memory above which an instance is not kept [bytes].
const heaviest = 256 << 20

// Open gives a Solver. The module is compiled when it is first needed.
func Open(o Options) *Solver { return &Solver{options: o} }

// CacheDir gives the folder in which the compiled module is kept for this
// person, or "" when the system names none.
func CacheDir() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "wormyard", "highs-"+Version)
}

// Cached says whether a module that this program can use was compiled into dir.
func Cached(dir string) bool {
	if dir == "" {
		return false
	}
	_, err := os.Stat(filepath.Join(dir, marker()))
	return err == nil
}

// marker is the file that says that compiling into a cache was finished. The
// runtime keeps code by its own version, which differs between a program and
// its tests.
func marker() string {
	version := "unversioned"
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, d := range info.Deps {
			if d.Path == "github.com/tetratelabs/wazero" {
				version = d.Version
			}
		}
	}
	return "compiled-" + version + "-" + runtime.GOARCH
}

// Ready compiles the module if that has not been done yet, so that the first
// solve does not wait for it.
func (s *Solver) Ready(ctx context.Context) error {
	s.start.Do(func() { s.startErr = s.compile(context.WithoutCancel(ctx)) })
	return s.startErr
}

func (s *Solver) compile(ctx context.Context) error {
	wasm, err := unpack()
	if err != nil {
		return err
	}
	config := wazero.NewRuntimeConfig()
	if s.options.Interpret {
		config = wazero.NewRuntimeConfigInterpreter()
	} else if s.options.CacheDir != "" {
		// A cache that cannot be made (read-only disk) costs time, not the answer.
		if c, e := wazero.NewCompilationCacheWithDir(s.options.CacheDir); e == nil {
			s.cache = c
			config = config.WithCompilationCache(c)
		}
	}
	config = config.WithMemoryLimitPages(16384) // 1 GiB
	s.engine = wazero.NewRuntimeWithConfig(ctx, config)
	s.code, err = s.engine.CompileModule(ctx, wasm)
	if err != nil {
		return fmt.Errorf("compile the solver: %w", err)
	}
	if s.cache != nil {
		// Without the marker the next start is slower, nothing else.
		_ = os.WriteFile(filepath.Join(s.options.CacheDir, marker()), nil, 0o644)
	}
	return s.hostModule(ctx)
}

func unpack() ([]byte, error) {
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("unpack the solver: %w", err)
	}
	wasm, err := io.ReadAll(z)
	if err != nil {
		return nil, fmt.Errorf("unpack the solver: %w", err)
	}
	if sum := fmt.Sprintf("%x", sha256.Sum256(wasm)); sum != wasmSum {
		return nil, fmt.Errorf("the solver's module has checksum %s, not %s", sum, wasmSum)
	}
	return wasm, nil
}

// Close frees all instances and the compiled module. Solves after it fail.
func (s *Solver) Close() error {
	s.mu.Lock()
	s.closed = true
	s.idle = nil
	s.mu.Unlock()
	s.start.Do(func() { s.startErr = errClosed })
	ctx := context.Background()
	var err error
	if s.engine != nil {
		err = s.engine.Close(ctx)
	}
	if s.cache != nil {
		err = errors.Join(err, s.cache.Close(ctx))
	}
	return err
}

var errClosed = errors.New("the solver is closed")

// Solve solves p. It has the type program.Solver. When ctx is done the search
// stops by itself and the best plan found so far comes back with status
// Stopped.
func (s *Solver) Solve(ctx context.Context, p program.Problem) (program.Solution, error) {
	if err := p.Check(); err != nil {
		return program.Solution{}, err
	}
	if err := s.Ready(ctx); err != nil {
		return program.Solution{}, err
	}
	in, err := s.take(ctx)
	if err != nil {
		return program.Solution{}, err
	}
	out, err := in.solve(ctx, p)
	if err != nil {
		// The module may be in any state after a failure: it is thrown away.
		return program.Solution{}, errors.Join(fmt.Errorf("the solver failed: %w", err), in.module.Close(context.WithoutCancel(ctx)))
	}
	s.putBack(ctx, in)
	return out, nil
}

var _ program.Solver = (*Solver)(nil).Solve

func (s *Solver) take(ctx context.Context) (*instance, error) {
	s.mu.Lock()
	if s.closed {
		s.mu.Unlock()
		return nil, errClosed
	}
	if n := len(s.idle); n > 0 {
		in := s.idle[n-1]
		s.idle = s.idle[:n-1]
		s.mu.Unlock()
		return in, nil
	}
	s.mu.Unlock()
	return s.instantiate(context.WithoutCancel(ctx))
}

func (s *Solver) putBack(ctx context.Context, in *instance) {
	s.mu.Lock()
	if !s.closed && len(s.idle) < keep && in.memory.Size() <= heaviest {
		s.idle = append(s.idle, in)
		s.mu.Unlock()
		return
	}
	s.mu.Unlock()
	_ = in.module.Close(context.WithoutCancel(ctx))
}

// instance is one running copy of the module.
type instance struct {
	module api.Module
	memory api.Memory
	calls  map[string]api.Function
	held   []uint32 // blocks to free after this solve
}

func (s *Solver) instantiate(ctx context.Context) (*instance, error) {
	module, err := s.engine.InstantiateModule(ctx, s.code, wazero.NewModuleConfig().WithName("").WithStartFunctions())
	if err != nil {
		return nil, fmt.Errorf("start the solver: %w", err)
	}
	in := &instance{module: module, memory: module.ExportedMemory(exportMemory), calls: map[string]api.Function{}}
	for long, short := range exportNames {
		f := module.ExportedFunction(short)
		if f == nil {
			return nil, fmt.Errorf("the solver's module has no function %s (%s)", long, short)
		}
		in.calls[long] = f
	}
	if _, err := module.ExportedFunction(exportConstructors).Call(ctx); err != nil {
		return nil, fmt.Errorf("start the solver: %w", err)
	}
	return in, nil
}

func (in *instance) call(ctx context.Context, name string, args ...uint64) (uint64, error) {
	out, err := in.calls[name].Call(ctx, args...)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	if len(out) == 0 {
		return 0, nil
	}
	return out[0], nil
}

// place copies bytes into the module's memory and gives their address.
func (in *instance) place(ctx context.Context, data []byte) (uint64, error) {
	size := len(data)
	if size == 0 {
		size = 8
	}
	at, err := in.call(ctx, "_malloc", uint64(size))
	if err != nil {
		return 0, err
	}
	if at == 0 || (len(data) > 0 && !in.memory.Write(uint32(at), data)) {
		return 0, errors.New("the solver is out of memory")
	}
	in.held = append(in.held, uint32(at))
	return at, nil
}

func (in *instance) release(ctx context.Context) error {
	var first error
	for _, at := range in.held {
		if _, err := in.call(ctx, "_free", uint64(at)); err != nil && first == nil {
			first = err
		}
	}
	in.held = in.held[:0]
	return first
}

// The solver's own codes.
const (
	byRow          = 2
	minimise       = 1
	maximise       = -1 // two's complement in 32 bits
	statusError    = -1
	modelOptimal   = 7
	modelNone      = 8
	modelEither    = 9 // unbounded or infeasible
	modelUnbounded = 10
	modelEmpty     = 6
)

func (in *instance) solve(ctx context.Context, p program.Problem) (out program.Solution, err error) {
	hard := context.WithoutCancel(ctx) // for calls that must not be cut short
	h, err := in.call(hard, "_Highs_create")
	if err != nil {
		return out, err
	}
	if err := in.set(hard, h, p); err != nil {
		return out, err
	}
	if err := in.pass(hard, h, p); err != nil {
		return out, err
	}
	if code, err := in.call(ctx, "_Highs_run", h); err != nil || int32(code) == statusError {
		return out, errors.Join(err, fmt.Errorf("run ended with code %d", int32(code)))
	}
	if out, err = in.read(hard, h, p); err != nil {
		return out, err
	}
	if out.Status == either {
		// Presolve saw that one of the two holds without saying which. The same
		// rows without prices have a plan or they have none.
		free := p
		free.Columns = append([]program.Column(nil), p.Columns...)
		for i := range free.Columns {
			free.Columns[i].Cost = 0
		}
		if err := in.pass(hard, h, free); err != nil {
			return out, err
		}
		if code, err := in.call(ctx, "_Highs_run", h); err != nil || int32(code) == statusError {
			return out, errors.Join(err, fmt.Errorf("run ended with code %d", int32(code)))
		}
		again, err := in.read(hard, h, free)
		if err != nil {
			return out, err
		}
		out = program.Solution{Status: program.Infeasible}
		if again.Status == program.Optimal {
			out.Status = program.Unbounded
		}
	}
	if _, err := in.call(hard, "_Highs_destroy", h); err != nil {
		return out, err
	}
	return out, in.release(hard)
}

// either marks the solver's undecided answer; it never leaves this package.
const either = program.Status(-1)

func (in *instance) set(ctx context.Context, h uint64, p program.Problem) error {
	limit := p.Limit
	if limit <= 0 {
		limit = 10 * time.Second
	}
	gap := p.Gap
	if gap == 0 {
		gap = 1e-6
	}
	type option struct {
		call, name string
		value      uint64
	}
	options := []option{
		{"_Highs_setBoolOptionValue", "output_flag", 0},
		{"_Highs_setIntOptionValue", "threads", 1},
		{"_Highs_setDoubleOptionValue", "time_limit", api.EncodeF64(limit.Seconds())},
		{"_Highs_setDoubleOptionValue", "mip_rel_gap", api.EncodeF64(gap)},
	}
	if len(p.Columns) < small {
		// Looking for a first plan by jumps costs more than a small search itself.
		options = append(options, option{"_Highs_setBoolOptionValue", "mip_heuristic_run_feasibility_jump", 0})
	}
	for _, o := range options {
		name, err := in.place(ctx, append([]byte(o.name), 0))
		if err != nil {
			return err
		}
		if code, err := in.call(ctx, o.call, h, name, o.value); err != nil || int32(code) != 0 {
			return errors.Join(err, fmt.Errorf("option %s refused with code %d", o.name, int32(code)))
		}
	}
	return nil
}

// pass hands the programme over, row by row.
func (in *instance) pass(ctx context.Context, h uint64, p program.Problem) error {
	n, m := len(p.Columns), len(p.Rows)
	var cost, low, high, rowLow, rowHigh, value doubles
	var start, index, whole integers
	for _, c := range p.Columns {
		cost.add(c.Cost)
		low.add(c.Low)
		high.add(c.High)
		if c.Whole {
			whole.add(1)
		} else {
			whole.add(0)
		}
	}
	sum := make([]float64, n)
	seen := make([]bool, n)
	count := 0
	for _, r := range p.Rows {
		start.add(int32(count))
		rowLow.add(r.Low)
		rowHigh.add(r.High)
		var order []int
		for _, t := range r.Terms {
			if !seen[t.Column] {
				seen[t.Column] = true
				order = append(order, t.Column)
			}
			sum[t.Column] += t.Coefficient
		}
		for _, c := range order {
			if sum[c] != 0 {
				index.add(int32(c))
				value.add(sum[c])
				count++
			}
			seen[c], sum[c] = false, 0
		}
	}
	sense := int32(minimise)
	if p.Maximize {
		sense = maximise
	}
	args := []uint64{h, uint64(n), uint64(m), uint64(count), byRow, api.EncodeI32(sense), api.EncodeF64(p.Offset)}
	for _, block := range [][]byte{cost.b, low.b, high.b, rowLow.b, rowHigh.b, start.b, index.b, value.b, whole.b} {
		at, err := in.place(ctx, block)
		if err != nil {
			return err
		}
		args = append(args, at)
	}
	if code, err := in.call(ctx, "_Highs_passMip", args...); err != nil || int32(code) == statusError {
		return errors.Join(err, fmt.Errorf("the programme was refused with code %d", int32(code)))
	}
	if p.Start != nil {
		var from doubles
		for _, v := range p.Start {
			from.add(v)
		}
		at, err := in.place(ctx, from.b)
		if err != nil {
			return err
		}
		if code, err := in.call(ctx, "_Highs_setSolution", h, at, 0, 0, 0); err != nil || int32(code) == statusError {
			return errors.Join(err, fmt.Errorf("the plan to begin from was refused with code %d", int32(code)))
		}
	}
	return nil
}

func (in *instance) read(ctx context.Context, h uint64, p program.Problem) (program.Solution, error) {
	var out program.Solution
	code, err := in.call(ctx, "_Highs_getModelStatus", h)
	if err != nil {
		return out, err
	}
	switch int32(code) {
	case modelOptimal, modelEmpty:
		out.Status = program.Optimal
	case modelNone:
		return program.Solution{Status: program.Infeasible}, nil
	case modelUnbounded:
		return program.Solution{Status: program.Unbounded}, nil
	case modelEither:
		return program.Solution{Status: either}, nil
	default:
		out.Status = program.Stopped
	}
	n, m := len(p.Columns), len(p.Rows)
	var at [4]uint64
	for i, size := range []int{n, n, m, m} {
		if at[i], err = in.place(ctx, make([]byte, 8*size)); err != nil {
			return out, err
		}
	}
	if _, err := in.call(ctx, "_Highs_getSolution", h, at[0], at[1], at[2], at[3]); err != nil {
		return out, err
	}
	raw, ok := in.memory.Read(uint32(at[0]), uint32(8*n))
	if !ok {
		return out, errors.New("the plan lies outside the solver's memory")
	}
	values := make([]float64, n)
	for i := range values {
		values[i] = math.Float64frombits(binary.LittleEndian.Uint64(raw[8*i:]))
	}
	found := true
	if out.Status == program.Stopped {
		// A search that was cut short may have no plan; then its values are zeros
		// or break a row.
		found = p.Violation(values) < 1e-5*(1+largest(values))
	}
	if found {
		out.Values = values
		bits, err := in.call(ctx, "_Highs_getObjectiveValue", h)
		if err != nil {
			return out, err
		}
		out.Objective = math.Float64frombits(bits)
	}
	out.Bound = out.Objective
	for _, c := range p.Columns {
		if c.Whole {
			return out, in.readSearch(ctx, h, &out)
		}
	}
	return out, nil
}

// readSearch reads what only a search over whole numbers has.
func (in *instance) readSearch(ctx context.Context, h uint64, out *program.Solution) error {
	slot, err := in.place(ctx, make([]byte, 8))
	if err != nil {
		return err
	}
	for _, q := range []struct {
		call, name string
		take       func(uint64)
	}{
		{"_Highs_getDoubleInfoValue", "mip_dual_bound", func(v uint64) { out.Bound = math.Float64frombits(v) }},
		{"_Highs_getInt64InfoValue", "mip_node_count", func(v uint64) { out.Nodes = int64(v) }},
	} {
		name, err := in.place(ctx, append([]byte(q.name), 0))
		if err != nil {
			return err
		}
		code, err := in.call(ctx, q.call, h, name, slot)
		if err != nil {
			return err
		}
		if int32(code) != 0 {
			continue
		}
		if v, ok := in.memory.ReadUint64Le(uint32(slot)); ok {
			q.take(v)
		}
	}
	return nil
}

func largest(values []float64) float64 {
	big := 0.0
	for _, v := range values {
		big = math.Max(big, math.Abs(v))
	}
	return big
}

type doubles struct{ b []byte }

func (d *doubles) add(v float64) { d.b = binary.LittleEndian.AppendUint64(d.b, math.Float64bits(v)) }

type integers struct{ b []byte }

func (d *integers) add(v int32) { d.b = binary.LittleEndian.AppendUint32(d.b, uint32(v)) }

// hostModule gives the module what it imports: clocks, an empty environment,
// no files, and a way to grow its memory. The types come from the module.
func (s *Solver) hostModule(ctx context.Context) error {
	long := map[string]string{}
	for l, short := range importNames {
		long[short] = l
	}
	builder := s.engine.NewHostModuleBuilder("a")
	for _, f := range s.code.ImportedFunctions() {
		_, short, _ := f.Import()
		handler, ok := host[long[short]]
		if !ok {
			return fmt.Errorf("the solver's module wants %s (%s), which we do not offer", long[short], short)
		}
		builder.NewFunctionBuilder().WithGoModuleFunction(handler, f.ParamTypes(), f.ResultTypes()).Export(short)
	}
	if _, err := builder.Instantiate(ctx); err != nil {
		return fmt.Errorf("offer the solver its imports: %w", err)
	}
	return nil
}

// farFuture is added to every clock once the caller has given up, so that the
// solver's own time limit stops it and its best plan can still be read [ms].
const farFuture = 1e12

var began = time.Now()

func milliseconds(ctx context.Context) float64 {
	now := float64(time.Since(began).Nanoseconds()) / 1e6
	if ctx.Err() != nil {
		now += farFuture
	}
	return now
}

const (
	noSuchFile = -44 // ENOENT in the module's C library
	badFile    = 8   // EBADF of WASI
)

var host = map[string]api.GoModuleFunc{
	"___cxa_throw":                         func(context.Context, api.Module, []uint64) { panic("the solver threw an exception") },
	"__abort_js":                           func(context.Context, api.Module, []uint64) { panic("the solver aborted") },
	"_exit":                                func(context.Context, api.Module, []uint64) { panic("the solver exited") },
	"_proc_exit":                           func(context.Context, api.Module, []uint64) { panic("the solver exited") },
	"__emscripten_runtime_keepalive_clear": func(context.Context, api.Module, []uint64) {},
	"_emscripten_get_now":                  clock,
	"_emscripten_date_now":                 clock,
	"_clock_time_get": func(ctx context.Context, m api.Module, stack []uint64) {
		if !m.Memory().WriteUint64Le(uint32(stack[2]), uint64(milliseconds(ctx)*1e6)) {
			panic("a clock outside memory")
		}
		stack[0] = 0
	},
	"_emscripten_resize_heap": func(_ context.Context, m api.Module, stack []uint64) {
		wanted, have := uint64(uint32(stack[0])), uint64(m.Memory().Size())
		stack[0] = 1
		if wanted > have {
			const page = 65536
			if _, ok := m.Memory().Grow(uint32((wanted - have + page - 1) / page)); !ok {
				stack[0] = 0
			}
		}
	},
	"_fd_write": func(_ context.Context, m api.Module, stack []uint64) {
		// The log is off; whatever is still written is counted and dropped.
		vec, n, total := uint32(stack[1]), uint32(stack[2]), uint32(0)
		for i := uint32(0); i < n; i++ {
			size, _ := m.Memory().ReadUint32Le(vec + 8*i + 4)
			total += size
		}
		m.Memory().WriteUint32Le(uint32(stack[3]), total)
		stack[0] = 0
	},
	"_fd_read":           constant(badFile),
	"_fd_close":          constant(0),
	"_fd_seek":           constant(badFile),
	"___syscall_openat":  constant(noSuchFile),
	"___syscall_fcntl64": constant(0),
	"___syscall_ioctl":   constant(0),
	"__setitimer_js":     constant(0),
	"_environ_get":       constant(0),
	"_environ_sizes_get": func(_ context.Context, m api.Module, stack []uint64) {
		m.Memory().WriteUint32Le(uint32(stack[0]), 0)
		m.Memory().WriteUint32Le(uint32(stack[1]), 0)
		stack[0] = 0
	},
	"__tzset_js": func(_ context.Context, m api.Module, stack []uint64) {
		m.Memory().WriteUint32Le(uint32(stack[0]), 0)
		m.Memory().WriteUint32Le(uint32(stack[1]), 0)
		for _, at := range stack[2:] {
			m.Memory().Write(uint32(at), []byte("UTC\x00"))
		}
	},
}

func clock(ctx context.Context, _ api.Module, stack []uint64) {
	stack[0] = api.EncodeF64(milliseconds(ctx))
}

func constant(v int32) api.GoModuleFunc {
	return func(_ context.Context, _ api.Module, stack []uint64) { stack[0] = api.EncodeI32(v) }
}

// Notice is what must be printed with the solver: where it comes from and its licence.
func Notice() string {
	return strings.TrimSpace(licence)
}

//go:embed third_party/LICENSE
var licence string
