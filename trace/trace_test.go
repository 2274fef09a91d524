package trace_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"wormyard/qty"
	"wormyard/trace"
)

// farm is small enough to be worked out on paper: hay of two days in one pile, a
// batch of hay and solids, two beds, one lot, bags and two customers.
// node and flow name nodes, so that a test can be read.
type node struct {
	id string
	trace.Node
}

type flow struct {
	from, to string
	trace.Flow
}

func graph(nodes []node, flows []flow) *trace.Graph {
	at := map[string]int{}
	var ns []trace.Node
	for i, n := range nodes {
		at[n.id] = i
		ns = append(ns, n.Node)
	}
	var fs []trace.Flow
	for _, f := range flows {
		f.From, f.To = at[f.from], at[f.to]
		fs = append(fs, f.Flow)
	}
	return trace.New(ns, fs)
}

func farm() ([]node, []flow) {
	n := func(kind trace.Kind, id, group string) node {
		return node{id, trace.Node{Group: group, Kind: kind, Name: group}}
	}
	nodes := []node{
		n(trace.Delivery, "hay 1", "hay 1"), n(trace.Delivery, "hay 2", "hay 2"), n(trace.Delivery, "solids 1", "solids 1"),
		n(trace.Pile, "hay#1", "pile hay"), n(trace.Pile, "hay#2", "pile hay"), n(trace.Pile, "solids#1", "pile solids"),
		n(trace.Batch, "batch 1", "batch 1"), n(trace.Batch, "batch 2", "batch 2"),
		n(trace.Bed, "A", "bed A"), n(trace.Bed, "B", "bed B"),
		n(trace.Lot, "lot", "lot"), n(trace.Bags, "bags", "bags"),
		n(trace.Sale, "sale 1", "sale 1"), n(trace.Sale, "sale 2", "sale 2"), n(trace.Customer, "C", "C"), n(trace.Customer, "D", "D"),
	}
	nodes[11].Number, nodes[12].Number, nodes[13].Number = 5, 2, 1
	f := func(from, to string, kg qty.WetKg) flow {
		return flow{from, to, trace.Flow{Mass: kg, Known: true}}
	}
	flows := []flow{
		f("hay 1", "hay#1", 600), f("hay#1", "batch 2", 300),
		f("hay#1", "hay#2", 300), f("hay 2", "hay#2", 100),
		f("solids 1", "solids#1", 500), f("hay#2", "batch 1", 200), f("solids#1", "batch 1", 100),
		f("batch 1", "A", 150), f("batch 2", "A", 50), f("batch 1", "B", 40),
		f("A", "lot", 80), f("B", "lot", 20),
		f("lot", "bags", 50), f("bags", "sale 1", 20), f("bags", "sale 2", 10), f("sale 1", "C", 20), f("sale 2", "D", 10),
	}
	return nodes, flows
}

func of(t *testing.T, tr trace.Trace, group string) trace.Found {
	t.Helper()
	for _, f := range tr.Found {
		if f.Group == group {
			return f
		}
	}
	t.Fatalf("the trace %s of %s does not come to %s", tr.Way, tr.Of.Group, group)
	return trace.Found{}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-12*math.Max(1, math.Abs(want))) { // a few roundings
		t.Errorf("%s is %g, want %g", what, got, want)
	}
}

func TestSharesOnPaper(t *testing.T) {
	g := graph(farm())
	back, ok := g.Trace("lot", trace.Back)
	if !ok {
		t.Fatal("no lot")
	}
	// Batch 1 is 2/3 hay, of which 3/4 is of the first day; batch 2 is all of the first day.
	b1, b2 := 0.8*150/200+0.2, 0.8*50/200
	for group, want := range map[string]float64{
		"bed A": 0.8, "bed B": 0.2, "batch 1": b1, "batch 2": b2,
		"pile hay": b1*2/3 + b2, "pile solids": b1 / 3, "solids 1": b1 / 3,
		"hay 1": b1*2/3*0.75 + b2, "hay 2": b1 * 2 / 3 * 0.25,
	} {
		near(t, group, of(t, back, group).Share, want)
	}
	forward, _ := g.Trace("hay 1", trace.Forward)
	near(t, "hay of the first day in the lot", of(t, forward, "lot").Share, b1*2/3*0.75+b2)
	near(t, "in bed B", of(t, forward, "bed B").Share, 0.5)
	near(t, "its mass in the lot", float64(of(t, forward, "lot").Mass), 100*(b1*2/3*0.75+b2))
	for _, f := range forward.Found {
		if f.Group == "solids 1" || f.Group == "hay 2" {
			t.Errorf("the hay of the first day does not go into %s", f.Group)
		}
	}
}

func TestRecallAndBalance(t *testing.T) {
	g := graph(farm())
	r, ok := g.Recall("hay 2")
	if !ok || r.Bagged != 5 || r.Sold != 3 || len(r.Customers) != 2 || len(r.Lots) != 1 || len(r.Sales) != 2 {
		t.Errorf("the hay of the second day: %d bags, %d sold, %d customers, want 5, 3, 2", r.Bagged, r.Sold, len(r.Customers))
	}
	b, _ := g.Balance("lot")
	if b.In != 100 || b.Out != 50 || b.Unexplained != 50 || !b.Sure || b.Lies {
		t.Errorf("the lot: %+v, want 100 in, 50 out, 50 not explained", b)
	}
	// 600 and 100 came, 300 and 200 went; what lay in the pile between is no flow.
	if b, _ = g.Balance("pile hay"); b.In != 700 || b.Out != 500 {
		t.Errorf("the pile: %+v, want 700 in, 500 out", b)
	}
}

// Where a mass is not known no share is told, and what can be in it is.
func TestUnknownMass(t *testing.T) {
	nodes, flows := farm()
	for i := range flows {
		if flows[i].from == "A" && flows[i].to == "lot" {
			flows[i].Known, flows[i].Mass = false, 0
		}
	}
	g := graph(nodes, flows)
	back, _ := g.Trace("lot", trace.Back)
	if len(back.Found) != 9 {
		t.Errorf("%d things can be in the lot, want 9", len(back.Found))
	}
	for _, f := range back.Found {
		if f.Known() {
			t.Errorf("the share of %s is told as %g", f.Group, f.Share)
		}
	}
	forward, _ := g.Trace("hay 1", trace.Forward)
	if of(t, forward, "lot").Known() || of(t, forward, "D").Known() || !of(t, forward, "bed A").Known() {
		t.Error("only what lies after the unknown mass is unknown")
	}
	if b, _ := g.Balance("lot"); b.Sure {
		t.Error("the balance of the lot is told as sure")
	}
	// A lot of one bed is all of that bed, whatever it weighs.
	g = graph(nodes, slices.DeleteFunc(flows, func(f flow) bool { return f.from == "B" }))
	back, _ = g.Trace("lot", trace.Back)
	near(t, "the only bed", of(t, back, "bed A").Share, 1)
}

func TestMadeOfItself(t *testing.T) {
	nodes, flows := farm()
	nodes = append(nodes, node{"lot 2", trace.Node{Group: "lot 2", Kind: trace.Lot}})
	flows = append(flows, flow{"lot", "lot 2", trace.Flow{Mass: 10, Known: true}}, flow{"lot 2", "lot", trace.Flow{Mass: 10, Known: true}},
		flow{"lot", "lot", trace.Flow{Mass: 5, Known: true}})
	g := graph(nodes, flows)
	for _, way := range []trace.Way{trace.Back, trace.Forward} {
		for _, from := range []string{"lot", "lot 2"} {
			tr, _ := g.Trace(from, way)
			slices.Sort(tr.Loop)
			if !slices.Equal(tr.Loop, []string{"lot", "lot 2"}) {
				t.Errorf("%s of %s: the ring is %v", way, from, tr.Loop)
			}
		}
	}
	tr, _ := g.Trace("hay 1", trace.Forward)
	if !of(t, tr, "bed A").Known() || of(t, tr, "lot").Known() || of(t, tr, "D").Known() {
		t.Error("shares are known before the ring, and not in it or after it")
	}
	if r, _ := g.Recall("hay 1"); len(r.Customers) != 2 {
		t.Errorf("%d customers, want 2, ring or not", len(r.Customers))
	}
	if _, ok := g.Trace("nothing", trace.Back); ok {
		t.Error("a thing that is not there was traced")
	}
}

// TestBackIsForward: on farms drawn by chance what a thing holds of another is the
// same found from either end, and the deliveries of a thing add to all of it.
func TestBackIsForward(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 52))
	for range 40 {
		var nodes []node
		var flows []flow
		n := 5 + r.IntN(30)
		for i := range n {
			id := fmt.Sprint(i)
			nodes = append(nodes, node{id, trace.Node{Group: id, Kind: trace.Lot}})
			for j := range i {
				if r.Float64() < 2/float64(i+1) {
					flows = append(flows, flow{fmt.Sprint(j), id, trace.Flow{Mass: qty.WetKg(1 + 99*r.Float64()), Known: true}})
				}
			}
		}
		g := graph(nodes, flows)
		into := map[string]bool{}
		for _, f := range flows {
			into[f.to] = true
		}
		for _, x := range nodes {
			back, _ := g.Trace(x.Group, trace.Back)
			sum := 0.0
			for _, f := range back.Found {
				forward, _ := g.Trace(f.Group, trace.Forward)
				if got := of(t, forward, x.Group).Share; math.Abs(got-f.Share) > 1e-9 {
					t.Fatalf("%s in %s: %g from one end, %g from the other", f.Group, x.Group, f.Share, got)
				}
				if !into[f.Group] {
					sum += f.Share
				}
			}
			if into[x.Group] && math.Abs(sum-1) > 1e-9 {
				t.Fatalf("what %s was made of adds to %g", x.Group, sum)
			}
		}
	}
}
