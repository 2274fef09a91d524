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
// What is not here: starting bases, quadratic objectives, callbacks.
package highs

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	_ "embed"
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

	"github.com/tetratelabs/wazero"

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
	if ctx.Err() != nil { // its clocks would run on from the far future
		out := program.Solution{Status: program.Stopped, Bound: math.Inf(-1)}
		if p.Maximize {
			out.Bound = math.Inf(1)
		}
		return out, nil
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

const (
	noSuchFile = -44 // ENOENT in the module's C library
	badFile    = 8   // EBADF of WASI
)

// Notice is what must be printed with the solver: where it comes from and its licence.
func Notice() string {
	return strings.TrimSpace(licence)
}

//go:embed third_party/LICENSE
var licence string
