package app

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"

	"wormyard/bed"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/nature"
	"wormyard/qty"
	"wormyard/twin"
)

// Bed runs one bed from a stated start, no farm needed. The error is a
// *figure.Refusal with every problem, or ours.
func (m *Mixer) Bed(ctx context.Context, data []byte, units qty.System) (*BedAnswer, error) {
	var in BedRequest
	problems := contract.Decode(data, &in)
	n, err := numbersOf(in.species())
	if err != nil {
		return nil, err
	}
	b := bedder{mixer: m, numbers: &n, in: &in, units: units, unread: problems}
	b.read(ctx)
	// What merely follows from a problem of the same field is told once.
	for _, p := range b.problems {
		if !slices.ContainsFunc(problems, func(t figure.Problem) bool {
			return t.Field == p.Field || strings.HasPrefix(p.Field, t.Field+".") || t.Field == ""
		}) {
			problems = append(problems, p)
		}
	}
	if len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	return b.run(ctx)
}

// keptNumbers are the numbers of nature by the kind of worms, each read once.
var keptNumbers sync.Map

// numbersOf are the numbers of nature with the worms of a kind.
func numbersOf(species string) (nature.Numbers, error) {
	if n, ok := keptNumbers.Load(species); ok {
		return n.(nature.Numbers), nil
	}
	n, err := nature.Of(species)
	if err == nil {
		keptNumbers.Store(species, n)
	}
	return n, err
}

// run runs the members and gathers the answer.
func (b *bedder) run(ctx context.Context) (*BedAnswer, error) {
	sets, err := b.draws()
	if err != nil {
		return nil, err
	}
	each := int64(24)
	if b.in.Output == "hourly" {
		each = 1
	}
	until := b.from + int64(b.in.Days)*24
	days := make([][]bed.Day, len(sets))
	states := make([]*bed.State, len(sets))
	budgets := make([]bed.Budget, len(sets))
	failed := make([]error, len(sets))
	one := func(k int) {
		p := &sets[k]
		laid, acts := b.drawn(k)
		s := bed.Start(p, b.box, laid, b.air.At(b.from), b.from)
		s.Cover = b.cover
		r := bed.NewRunner(p)
		r.Each = each
		budgets[k], failed[k] = r.Run(b.box, s, b.air, until, acts, func(d bed.Day) { days[k] = append(days[k], d) })
		states[k] = s
	}
	var wait sync.WaitGroup
	lanes := make(chan struct{}, 2)
	for k := range sets {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		lanes <- struct{}{}
		wait.Add(1)
		go func() {
			defer wait.Done()
			one(k)
			<-lanes
		}()
	}
	wait.Wait()
	for _, err := range failed {
		if err != nil {
			return nil, fmt.Errorf("running the bed: %w", err)
		}
	}
	out := &BedAnswer{Series: []BedRow{}, Layers: []BedSlice{}, Events: []BedNoticed{}, Notes: b.notes}
	for i := range days[0] {
		out.Series = append(out.Series, b.row(days, i))
	}
	for _, x := range bed.NewRunner(&sets[0]).Profile(b.box, states[0]) {
		kind := "bedding"
		if x.Feed {
			kind = "feed"
		}
		out.Layers = append(out.Layers, BedSlice{
			Laid: clock(x.Laid).Format("2006-01-02"), Kind: kind, TopM: x.TopM, DepthM: x.DepthM, TempC: x.TempC, Water: x.WaterOfWet, Air: x.AirFilled,
			Oxygen: x.Oxygen, Ammonia: x.Ammonia, Castings: x.Castings, DryKg: x.DryKg, FeedLeft: x.FeedLeftKg, WormsKg: x.WormsKg, CN: x.CN, PH: x.PH,
		})
	}
	out.Budget = budgetOf(budgets)
	out.Events = b.noticed(days)
	switch {
	case b.beside():
		out.Notes = append(out.Notes, fmt.Sprintf("Ranges were given, so %d runs were made with values drawn from them; range holds the 5th, 50th and 95th of a hundred of them, all else is of the best values.", len(sets)))
	case len(sets) > 1:
		out.Notes = append(out.Notes, fmt.Sprintf("%d runs; the ranges are the 5th, 50th and 95th of a hundred of them. Layers and budget are of the first, which has the best values.", len(sets)))
	}
	if out.Notes == nil {
		out.Notes = []string{}
	}
	return out, nil
}

// beside tells whether the spread is printed beside a run with the best values:
// ranges were given and members were not asked for.
func (b *bedder) beside() bool { return b.in.Members <= 1 && b.ranged }

// runs is how many members there are.
func (b *bedder) runs() int {
	if b.beside() {
		return twin.Members
	}
	return max(b.in.Members, 1)
}

// draws gives the parameter sets: the first with the best values, the others
// drawn from the ranges of the numbers that the twins vary. Beside a run with
// the best values only what was given as a range is drawn.
func (b *bedder) draws() ([]bed.Parameters, error) {
	sets := []bed.Parameters{b.numbers.Bed}
	if b.beside() {
		return slices.Repeat(sets, b.runs()), nil
	}
	if b.runs() == 1 {
		return sets, nil
	}
	k, err := knobs(&b.numbers.Bed, b.in.species())
	if err != nil {
		return nil, err
	}
	for block := uint64(0); len(sets) < b.runs(); block++ {
		sets = append(sets, twin.Draws(&b.numbers.Bed, k, b.in.Seed+block<<32)[1:]...)
	}
	return sets[:b.runs()], nil
}

// drawnStream keeps the draws of what lies in the bed apart from those of the
// parameters, which take the member as their stream.
const drawnStream = 1 << 40

// drawn gives the layers and the acts of a member: as they are for the first,
// with the ranges of their materials drawn for the others.
func (b *bedder) drawn(member int) ([]bed.Laid, []bed.Act) {
	if member == 0 {
		return b.laid, b.acts
	}
	deviates := func(layer uint64) func() float64 {
		return rand.New(rand.NewPCG(b.in.Seed, drawnStream+uint64(member)<<20+layer)).NormFloat64
	}
	laid, acts := slices.Clone(b.laid), slices.Clone(b.acts)
	for i := range laid {
		if again, ok := b.lots[laid[i].Layer]; ok {
			laid[i].Matter = again(deviates(laid[i].Layer))
		}
	}
	for i := range acts {
		if again, ok := b.lots[acts[i].Layer]; ok {
			acts[i].Matter = again(deviates(acts[i].Layer))
		}
	}
	return laid, acts
}
