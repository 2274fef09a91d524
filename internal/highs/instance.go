package highs

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"time"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"

	"wormyard/program"
)

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
	if p.Start != nil {
		// Smaller searches for a first plan, from the programme in parts and from its
		// prices, cost a third of the whole where there is one to begin from (ADR 83).
		options = append(options,
			option{"_Highs_setBoolOptionValue", "mip_heuristic_run_rens", 0},
			option{"_Highs_setBoolOptionValue", "mip_heuristic_run_root_reduced_cost", 0})
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
	values, err := in.doubles(at[0], n)
	if err != nil {
		return out, err
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
	if out.Status == program.Optimal {
		if out.ColumnWorth, err = in.doubles(at[1], n); err != nil {
			return out, err
		}
		if out.RowWorth, err = in.doubles(at[3], m); err != nil {
			return out, err
		}
	}
	return out, nil
}

// doubles reads n numbers from an address of the module's memory.
func (in *instance) doubles(at uint64, n int) ([]float64, error) {
	raw, ok := in.memory.Read(uint32(at), uint32(8*n))
	if !ok {
		return nil, errors.New("the plan lies outside the solver's memory")
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Float64frombits(binary.LittleEndian.Uint64(raw[8*i:]))
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
