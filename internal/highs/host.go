package highs

import (
	"context"
	"fmt"
	"time"

	"github.com/tetratelabs/wazero/api"
)

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
