package trace

import (
	"math"
	"slices"

	"wormyard/qty"
)

// Way is the direction of a trace.
type Way string

// The two ways.
const (
	Back    Way = "back"    // what a thing was made of
	Forward Way = "forward" // what it went into
)

// Found is a thing that a trace came to.
type Found struct {
	Node
	Steps   int       // the fewest flows from where the trace began
	Share   float64   // back: the part of the thing traced that came from this; forward: the part of this that came from the thing traced; NaN where it is not known
	Mass    qty.WetKg // forward: how much of the thing traced went into this [kg wet]; 0 where it is not known
	Guessed bool      // a mass on the way was worked out from a volume
}

// Known says whether the share is known.
func (f Found) Known() bool { return !math.IsNaN(f.Share) }

// Step is what flowed between two things of a trace.
type Step struct {
	From, To string // groups
	Mass     qty.WetKg
	Known    bool
}

// Trace is everything on one way from a thing.
type Trace struct {
	Of    Node
	Way   Way
	Found []Found  // nearest first; things of equal distance in the order of the graph
	Loop  []string // things that would have been made of themselves; empty when all is in order
}

// Trace gives what a thing was made of, or what it went into; false when there is
// no such thing. docs/model.md (G1), (G2).
func (g *Graph) Trace(group string, way Way) (Trace, bool) {
	w, next, ok := g.walk(group, way)
	if !ok {
		return Trace{}, false
	}
	thing := g.groups[group]
	t := Trace{Of: g.nodes[g.things[thing][0]], Way: way}
	for _, i := range w.rings {
		if name := g.nodes[i].Group; !slices.Contains(t.Loop, name) {
			t.Loop = append(t.Loop, name)
		}
	}
	for _, i := range w.start {
		w.at[i].share = 1
	}
	for _, i := range w.rings {
		w.at[i].unsure = true
	}
	for _, i := range w.order {
		from := &w.at[i]
		for _, e := range next[i] {
			to := &w.at[e.other]
			if way == Forward && g.group[e.other] == thing {
				continue // all of it is of itself
			}
			child := i
			if way == Forward {
				child = e.other
			}
			part, known, guessed := g.part(child, e)
			flow := from.share * part
			to.share += flow
			if g.group[i] != g.group[e.other] {
				to.entering += flow
			}
			to.unsure = to.unsure || from.unsure || !known
			to.guessed = to.guessed || from.guessed || guessed
		}
	}
	t.Found = g.found(thing, way, w)
	return t, true
}

// walk goes from a thing one way; false when there is no such thing.
func (g *Graph) walk(group string, way Way) (w walk, next [][]edge, ok bool) {
	start := g.of(group)
	if len(start) == 0 {
		return w, nil, false
	}
	if way == Back { // the newest holds the older
		return g.reach(start[len(start)-1:], g.in), g.in, true
	}
	return g.reach(start, g.out), g.out, true
}

// part gives what part of a node came by one of the flows into it, whether that is
// known, and whether a volume was made a mass for it: of a single one all, of
// several by mass. docs/model.md (G1).
func (g *Graph) part(child int, e edge) (part float64, known, guessed bool) {
	if len(g.in[child]) == 1 {
		return 1, true, false
	}
	in := &g.sums[child]
	if !in.all || in.kg <= 0 {
		return 0, false, false
	}
	return e.mass / in.kg, true, in.guessed
}

// walk is what lies on a way.
type walk struct {
	start []int
	at    []stand // by node
	order []int   // every node after all that lead to it; those behind a ring last
	rings []int   // nodes that lead to themselves, and what lies between such
}

// stand is what a walk knows of a node.
type stand struct {
	steps           int // from the start, -1 when it is not on the way
	leading         int // how many flows on the way lead to it
	share, entering float64
	unsure, guessed bool
}

// reach walks from the start.
func (g *Graph) reach(start []int, next [][]edge) walk {
	w := walk{start: start, at: make([]stand, len(g.nodes))}
	for i := range w.at {
		w.at[i].steps = -1
	}
	all := slices.Clone(start)
	for _, i := range start {
		w.at[i].steps = 0
	}
	for k := 0; k < len(all); k++ {
		for _, e := range next[all[k]] {
			to := &w.at[e.other]
			to.leading++
			if to.steps < 0 {
				to.steps = w.at[all[k]].steps + 1
				all = append(all, e.other)
			}
		}
	}
	done := make([]bool, len(g.nodes))
	for _, i := range all {
		if w.at[i].leading == 0 {
			w.order = append(w.order, i)
		}
	}
	for k := 0; k < len(w.order); k++ {
		done[w.order[k]] = true
		for _, e := range next[w.order[k]] {
			if to := &w.at[e.other]; to.leading == 1 {
				w.order = append(w.order, e.other)
			} else {
				to.leading--
			}
		}
	}
	if len(w.order) == len(all) {
		return w
	}
	for _, i := range all {
		if !done[i] {
			w.rings = append(w.rings, i)
		}
	}
	w.order = append(w.order, w.rings...)
	w.rings = inRings(w.rings, next)
	return w
}

// inRings leaves out of nodes those that lead to no ring.
func inRings(nodes []int, next [][]edge) []int {
	for {
		on := make(map[int]bool, len(nodes))
		for _, i := range nodes {
			on[i] = true
		}
		kept := slices.DeleteFunc(slices.Clone(nodes), func(i int) bool {
			return !slices.ContainsFunc(next[i], func(e edge) bool { return on[e.other] })
		})
		if len(kept) == len(nodes) {
			return kept
		}
		nodes = kept
	}
}

// found sums the nodes of each thing on the way.
func (g *Graph) found(thing int, way Way, w walk) []Found {
	order := slices.Clone(w.order)
	slices.SortFunc(order, func(a, b int) int {
		if c := w.at[a].steps - w.at[b].steps; c != 0 {
			return c
		}
		return a - b
	})
	at := make([]int, len(g.things)) // by thing, its place in out, counted from 1
	var out []Found
	for _, i := range order {
		k, s := g.group[i], &w.at[i]
		if k == thing {
			continue
		}
		if at[k] == 0 {
			out = append(out, Found{Node: g.nodes[g.things[k][0]], Steps: s.steps})
			at[k] = len(out)
		}
		f := &out[at[k]-1]
		f.Guessed = f.Guessed || s.guessed
		switch {
		case s.unsure:
			f.Share, f.Mass = math.NaN(), 0
		case !f.Known():
		case way == Back: // the older of a pile lies in the newer: what is taken from each counts
			f.Share = min(f.Share+s.entering, 1)
		default:
			f.Share = max(f.Share, min(s.share, 1))
			if in := &g.sums[i]; in.all {
				f.Mass = max(f.Mass, qty.WetKg(min(s.share, 1)*in.kg))
			}
		}
	}
	return out
}

// Steps gives the flows between a thing and all that a trace of it comes to, in
// the order of the walk; none when there is no such thing.
func (g *Graph) Steps(group string, way Way) []Step {
	w, _, _ := g.walk(group, way)
	at := map[[2]int]int{}
	var out []Step
	for _, i := range w.order {
		for _, e := range g.out[i] {
			a, b := g.group[i], g.group[e.other]
			if w.at[e.other].steps < 0 || a == b {
				continue
			}
			k, there := at[[2]int{a, b}]
			if !there {
				k = len(out)
				at[[2]int{a, b}] = k
				out = append(out, Step{From: g.nodes[i].Group, To: g.nodes[e.other].Group, Known: true})
			}
			out[k].Mass += qty.WetKg(e.mass)
			out[k].Known = out[k].Known && e.known
		}
	}
	return out
}
