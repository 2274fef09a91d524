// Package trace is where things came from and where they went: a graph of
// deliveries, piles, batches, beds, lots, bags, sales and customers, each joined
// to what it was made of by the mass that went over. It answers what is in a lot
// and by what share, what a delivery can have got into, how the masses of a node
// add up, and what a recall has to call back.
//
// It assumes that a pile, a batch, a bed and a lot are well mixed when something
// is taken from them, so that shares go by wet mass as it was put in; wet mass is
// what a farm weighs, and water lost or gained later changes no share. Where one
// mass of a node is not known its shares are not known either, and only "can
// contain" is left, which never rests on a mass.
//
// It leaves out what clings to worms, tools and boxes, and it does not know the
// journal: package farm gives the graph. The sums are in docs/model/trace.md.
package trace

import (
	"time"

	"wormyard/qty"
)

// Kind says what a node is.
type Kind string

// The kinds of nodes, from the yard to the customer.
const (
	Delivery Kind = "delivery"
	Pile     Kind = "pile"
	Batch    Kind = "batch"
	Bedding  Kind = "bedding" // what a bed was laid of when no batch was named
	Bed      Kind = "bed"
	Lot      Kind = "lot"
	Overs    Kind = "overs"
	Bags     Kind = "bags"
	Sale     Kind = "sale"
	Kept     Kind = "sample" // of a lot, put by
	Customer Kind = "customer"
)

// Kinds lists the kinds in the order in which matter goes through them.
func Kinds() []Kind {
	return []Kind{Delivery, Pile, Batch, Bedding, Bed, Lot, Overs, Bags, Kept, Sale, Customer}
}

// Node is one thing that matter lay in. A thing whose content changed between
// takings is several nodes with one Group.
type Node struct {
	Group  string // as people call the thing: "lot 25-03", "pile hay", "bed B12 2025-03-01"
	Kind   Kind
	Name   string // the thing's name without its kind
	What   string // of what it is, in the journal's words; may be empty
	At     time.Time
	Entry  string         // the journal entry that it began with
	Number int            // of bags; else 0
	Size   qty.CubicMetre // of a bag; else 0 [m3]
	Left   qty.WetKg      // what lies there still by the journal, where it says so [kg wet]
	Lies   bool           // Left is known
	Water  qty.WetKg      // put in besides, which no share counts; below zero it was lost [kg wet]
}

// Flow is matter that went from one node into another.
type Flow struct {
	From, To int       // places in the list of nodes
	Mass     qty.WetKg // [kg wet]
	Known    bool      // else the mass is not known, and only that it can be in it
	Guessed  bool      // the mass was worked out from a volume and a density
}

// Graph is all nodes with what flowed between them. Make one with New; it never
// changes and may be read by many at once.
type Graph struct {
	nodes   []Node
	group   []int // by node, the number of its thing
	in, out [][]edge
	sums    []sum // by node
	groups  map[string]int
	things  [][]int // by thing, its nodes
}

type edge struct {
	other          int
	mass           float64 // kg wet
	known, guessed bool
}

// sum is what went into a node [kg wet].
type sum struct {
	kg      float64
	all     bool // every mass is known
	guessed bool // one of them was worked out from a volume
}

// New gives a graph, which keeps the nodes. A flow from a node that is not there,
// or into itself, is left out.
func New(nodes []Node, flows []Flow) *Graph {
	g := &Graph{nodes: nodes, group: make([]int, len(nodes)), sums: make([]sum, len(nodes)), groups: make(map[string]int, len(nodes))}
	for i, n := range nodes {
		k, there := g.groups[n.Group]
		if !there {
			k = len(g.things)
			g.groups[n.Group] = k
			g.things = append(g.things, nil)
		}
		g.group[i] = k
		g.things[k] = append(g.things[k], i)
	}
	ins, outs := make([]int, len(nodes)), make([]int, len(nodes))
	real := func(f Flow) bool {
		return f.From != f.To && f.From >= 0 && f.To >= 0 && f.From < len(nodes) && f.To < len(nodes)
	}
	for _, f := range flows {
		if real(f) {
			outs[f.From]++
			ins[f.To]++
		}
	}
	g.in, g.out = rows(ins), rows(outs)
	for i := range g.sums {
		g.sums[i].all = true
	}
	for _, f := range flows {
		if !real(f) {
			continue
		}
		m := float64(f.Mass)
		if !f.Known || m < 0 {
			m = 0
		}
		s := &g.sums[f.To]
		s.kg, s.all, s.guessed = s.kg+m, s.all && f.Known, s.guessed || f.Guessed
		g.out[f.From] = append(g.out[f.From], edge{f.To, m, f.Known, f.Guessed})
		g.in[f.To] = append(g.in[f.To], edge{f.From, m, f.Known, f.Guessed})
	}
	return g
}

// rows gives lists of the wanted lengths in one piece of memory.
func rows(lengths []int) [][]edge {
	total := 0
	for _, n := range lengths {
		total += n
	}
	all, out := make([]edge, total), make([][]edge, len(lengths))
	at := 0
	for i, n := range lengths {
		out[i] = all[at : at : at+n]
		at += n
	}
	return out
}

// Size gives how many nodes and flows there are.
func (g *Graph) Size() (nodes, flows int) {
	for _, l := range g.out {
		flows += len(l)
	}
	return len(g.nodes), flows
}

// Groups gives the things of one kind, each once, in the order in which they
// were given.
func (g *Graph) Groups(k Kind) []Node {
	var out []Node
	for _, nodes := range g.things {
		if n := g.nodes[nodes[0]]; n.Kind == k {
			out = append(out, n)
		}
	}
	return out
}

// of gives the nodes of a thing, none when there is no such thing.
func (g *Graph) of(group string) []int {
	if k, there := g.groups[group]; there {
		return g.things[k]
	}
	return nil
}

// Has says whether there is a thing of that name ("lot 25-03").
func (g *Graph) Has(group string) bool { return len(g.of(group)) > 0 }

// First gives the first node of a thing.
func (g *Graph) First(group string) (Node, bool) {
	l := g.of(group)
	if len(l) == 0 {
		return Node{}, false
	}
	return g.nodes[l[0]], true
}
