package trace

import (
	"slices"

	"wormyard/qty"
)

// Balance is how the masses of a thing add up.
type Balance struct {
	In, Out qty.WetKg // what is known to have gone in, and out [kg wet]
	Water   qty.WetKg // that was put in besides [kg wet]
	Left    qty.WetKg // what lies there still by the journal; 0 where nobody can say [kg wet]
	// Unexplained is In and Water less Out less Left [kg wet]: water and rot lost, what lies
	// there unweighed, or what was not written down. Below zero more came out than
	// went in.
	Unexplained qty.WetKg
	// Sure says that every mass is known. Else the sums are of what is known.
	Sure    bool
	Lies    bool // Left is known
	Guessed bool // a mass was worked out from a volume
	Ins     int  // flows in
	Outs    int  // flows out
}

// Balance gives how the masses of a thing add up over its whole life; false when
// there is no such thing. docs/model.md (G3).
func (g *Graph) Balance(group string) (Balance, bool) {
	nodes := g.of(group)
	if len(nodes) == 0 {
		return Balance{}, false
	}
	b := Balance{Sure: true}
	add := func(to *qty.WetKg, n *int, edges []edge) {
		for _, e := range edges {
			if g.group[e.other] == g.group[nodes[0]] {
				continue
			}
			*to += qty.WetKg(e.mass)
			*n++
			b.Sure = b.Sure && e.known
			b.Guessed = b.Guessed || e.guessed
		}
	}
	ins := nodes
	if g.nodes[nodes[0]].Kind == Bed {
		ins = nodes[len(nodes)-1:] // each harvest lists all that was laid before it
	}
	for _, i := range ins {
		add(&b.In, &b.Ins, g.in[i])
	}
	for _, i := range nodes {
		add(&b.Out, &b.Outs, g.out[i])
		b.Water += g.nodes[i].Water
		if g.nodes[i].Lies {
			b.Left, b.Lies = g.nodes[i].Left, true
		}
	}
	b.Unexplained = b.In + b.Water - b.Out - b.Left
	return b, true
}

// Recall is what has to be called back when something in a thing is bad.
type Recall struct {
	Of        Node
	Batches   []Found
	Beds      []Found
	Lots      []Found
	Overs     []Found
	Bags      []Found
	Sales     []Found
	Customers []Found
	Bagged    int // bags that can contain it
	Sold      int // of them sold
	Loop      []string
}

// Recall gives everything that can contain a thing; false when there is no such
// thing. It rests on no mass.
func (g *Graph) Recall(group string) (Recall, bool) {
	t, ok := g.Trace(group, Forward)
	if !ok {
		return Recall{}, false
	}
	r := Recall{Of: t.Of, Loop: t.Loop}
	lists := map[Kind]*[]Found{Batch: &r.Batches, Bed: &r.Beds, Lot: &r.Lots, Overs: &r.Overs, Bags: &r.Bags, Sale: &r.Sales, Customer: &r.Customers}
	for _, f := range t.Found {
		if list := lists[f.Kind]; list != nil {
			*list = append(*list, f)
		}
	}
	if list := lists[t.Of.Kind]; list != nil && (t.Of.Kind == Lot || t.Of.Kind == Bags || t.Of.Kind == Sale) {
		*list = append(*list, Found{Node: t.Of, Share: 1})
	}
	count := func(n Node) {
		switch n.Kind {
		case Bags:
			r.Bagged += n.Number
		case Sale:
			r.Sold += n.Number
		}
	}
	count(t.Of)
	for _, f := range t.Found {
		count(f.Node)
	}
	for _, l := range lists {
		slices.SortStableFunc(*l, func(a, b Found) int { return a.At.Compare(b.At) })
	}
	return r, true
}
