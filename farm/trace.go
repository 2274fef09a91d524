package farm

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"wormyard/qty"
	"wormyard/trace"
)

// graph is where everything came from, worked out once for a picture.
type graph struct {
	once sync.Once
	of   *trace.Graph
}

// Trace gives where everything came from and went, of the entries that count. It
// is made when first asked for, from what the fold keeps and not from the entries,
// so that it takes its time by the beds and lots of a farm and not by its readings.
//
// A thing is called as Subjects calls it: "pile hay", "batch 41", "lot 25-03";
// besides there are "delivery hay 2025-05-03", "bed B12 2025-03-01" (its ID),
// "bags 25-03", "overs 25-03", "sale ID" by the id of its entry, and "customer C-03".
func (s *State) Trace() *trace.Graph {
	g := s.graph
	if g == nil { // the work itself, which no reader sees
		g = new(graph)
	}
	g.once.Do(func() {
		t := tracing{State: s, one: map[string]int{}, batch: map[string]int{}, lot: map[string]int{}, heaps: map[string]int{}, taken: map[string]bedTaken{}, back: map[string]int{}}
		t.yard()
		t.beds()
		t.sales()
		g.of = trace.New(t.nodes, t.flows)
	})
	return g.of
}

// bedTaken is the last harvest of a bed into a lot.
type bedTaken struct {
	at   time.Time
	node int
}

// tracing gathers the nodes of a graph and what flowed between them.
type tracing struct {
	*State
	nodes []trace.Node
	flows []trace.Flow
	one   map[string]int // where things stand that are one node each
	batch map[string]int
	lot   map[string]int
	heaps map[string]int // the node of a pile after its first delivery; the others follow by twos
	taken map[string]bedTaken
	back  map[string]int // overs that came onto a pile, by their entry
}

func (t *tracing) add(n trace.Node) int {
	t.nodes = append(t.nodes, n)
	return len(t.nodes) - 1
}

func (t *tracing) flow(from, to int, mass qty.WetKg, known, guessed bool) {
	t.flows = append(t.flows, trace.Flow{From: from, To: to, Mass: mass, Known: known, Guessed: guessed})
}

// shared gives the node of a thing of which many speak.
func (t *tracing) shared(n trace.Node) int {
	i, there := t.one[n.Group]
	if !there {
		i = t.add(n)
		t.one[n.Group] = i
	}
	return i
}

// whole is a node that stands for its thing alone.
func whole(k trace.Kind, name string) trace.Node {
	return trace.Node{Group: string(k) + " " + name, Kind: k, Name: name}
}

// yard adds deliveries, piles and batches. A pile is a node after each delivery,
// made of what came and of what lay there, so that a batch holds no delivery that
// came after it, and none of a time before the pile was used up.
func (t *tracing) yard() {
	days := map[string]int{}
	for _, p := range t.Piles() {
		t.pile(p, days)
	}
	for _, b := range sorted(t.batches) {
		n := whole(trace.Batch, b.Name)
		n.What, n.At, n.Entry = b.Purpose, b.At, b.Noted.Entry
		at := t.add(n)
		t.batch[b.Name] = at
		var parts qty.WetKg
		for _, x := range b.Parts {
			parts += x.Matter.Wet()
			known := x.Matter.Wet() > 0
			if first, there := t.heaps[x.Pile]; there {
				t.flow(first+2*max(x.after-1, 0), at, x.Matter.Wet(), known, false)
			} else { // called by what it is
				t.flow(t.shared(whole(trace.Bedding, said(x.Material, x.Pile))), at, x.Matter.Wet(), known, false)
			}
		}
		t.nodes[at].Water = b.Made.Wet() - parts // added, or lost on the pad by the moisture measured
		if b.Known {
			t.nodes[at].Left, t.nodes[at].Lies = b.Left().Wet(), true
		}
	}
}

func (t *tracing) pile(p *Pile, days map[string]int) {
	for i, d := range p.Loads {
		at := t.add(trace.Node{Group: "pile " + p.Name, Kind: trace.Pile, Name: p.Name, What: p.Material, At: p.Since.At, Entry: p.Since.Entry})
		if i == 0 {
			t.heaps[p.Name] = at
		}
		name := p.Name + " " + d.At.In(t.Zone()).Format("2006-01-02")
		if days[name]++; days[name] > 1 {
			name = fmt.Sprintf("%s %d", name, days[name])
		}
		load := whole(trace.Delivery, name)
		load.What = d.Material
		if d.Lot != "" {
			load = whole(trace.Overs, d.Lot)
			load.What = "pile " + p.Name
		}
		load.At, load.Entry = d.At, d.Entry
		from := t.add(load)
		if d.Lot != "" {
			t.back[d.Entry] = from
		}
		t.flow(from, at, d.Matter.Wet(), d.Matter.Wet() > 0, false)
		if i > 0 && (d.Onto.Wet() > 0 || d.Onto.Volume > 0) {
			t.flow(at-2, at, d.Onto.Wet(), d.Onto.Wet() > 0, false)
		}
	}
	if first, there := t.heaps[p.Name]; there {
		last := &t.nodes[first+2*(len(p.Loads)-1)]
		last.Left, last.Lies = p.Left().Wet(), true
		for _, x := range p.Tended {
			last.Water += qty.WetKg(or(x.Water, 0))
		}
	}
}

// beds adds the beds, each as a node at every harvest into a lot, and one of all
// that was laid in it.
func (t *tracing) beds() {
	for _, l := range t.Lots() {
		d, _ := t.CastingsDensity(l)
		n := whole(trace.Lot, l.Name)
		n.At, n.Entry = l.Since.At, l.Since.Entry
		lot := t.add(n)
		t.lot[l.Name] = lot
		for _, x := range l.From {
			bed := t.bed(x.Bed, x.Bin, x.Noted, x.Laid)
			if was, there := t.taken[x.Bed]; !there || !was.at.After(x.At) { // lots go by name and not by day
				t.taken[x.Bed] = bedTaken{x.At, bed}
			}
			m, known, guessed := weigh(d, x.Mass, x.Volume)
			t.flow(bed, lot, m, known, guessed)
		}
	}
	for _, b := range t.Bins() {
		for i := range b.Past {
			p := &b.Past[i]
			t.rest(p.ID, b.Name, Noted{At: p.Since}, p.Until, p.Laid, p.Watered)
		}
		if b.Bed != nil {
			laid, water := b.Bed.laid()
			t.rest(b.Bed.ID, b.Name, b.Bed.Noted, time.Time{}, laid, water)
		}
	}
}

// rest adds a bed as it is, or was at its end; the harvest that ended it is that
// node already.
func (t *tracing) rest(bed, bin string, n Noted, until time.Time, laid []Laid, water qty.WaterKg) {
	x, ok := t.taken[bed]
	at := x.node
	if !ok || !x.at.Equal(until) {
		at = t.bed(bed, bin, n, laid)
	}
	t.nodes[at].Water += qty.WetKg(water)
}

// unwritten is what a bed was laid of when nobody wrote it.
const unwritten = "not written down"

func (t *tracing) bed(bed, bin string, n Noted, laid []Laid) int {
	at := t.add(trace.Node{Group: "bed " + bed, Kind: trace.Bed, Name: bed, What: bin, At: n.At, Entry: n.Entry})
	for _, l := range laid {
		from, there := t.batch[l.Batch]
		if heap, lies := t.heaps[l.Pile]; !there && lies {
			from, there = heap+2*max(l.after-1, 0), true
		}
		if !there {
			from = t.shared(whole(trace.Bedding, said(l.Material, unwritten)))
		}
		t.flow(from, at, l.Mass, l.Known, false)
	}
	return at
}

// sales adds what became of the lots.
func (t *tracing) sales() {
	for _, l := range t.Lots() {
		lot := t.lot[l.Name]
		density, _ := t.CastingsDensity(l)
		for _, x := range l.Joined {
			if from, there := t.lot[x.Lot]; there {
				m, known, guessed := weigh(density, x.Mass, x.Volume)
				t.flow(from, lot, m, known, guessed)
			}
		}
		t.overs(l)
		for _, x := range l.Samples {
			n := whole(trace.Kept, x.Noted.Entry)
			n.What, n.At, n.Entry = x.Name, x.At, x.Noted.Entry
			t.flow(lot, t.add(n), x.Mass, true, false) // some hundred grams where nobody weighed it
		}
		bags := t.bags(l, density)
		for _, x := range l.Sales {
			n := whole(trace.Sale, x.Noted.Entry)
			n.At, n.Entry, n.Number, n.What = x.At, x.Noted.Entry, x.Bags, l.Name
			sale := t.add(n)
			mass, known, guessed := weigh(density, x.Mass, x.Volume)
			switch {
			case x.Bags == 0:
				t.flow(lot, sale, mass, known, guessed)
			case len(bags) == 0: // by the bag, though no bagging was written
				mass, known = 0, false
				t.flow(lot, sale, mass, known, guessed)
			}
			for _, b := range bags {
				if x.Bags == 0 {
					break
				}
				mass, known, guessed = weigh(density, 0, t.nodes[b].Size*qty.CubicMetre(x.Bags))
				known = known && len(bags) == 1 // else nobody wrote of which size
				t.flow(b, sale, mass, known, guessed)
			}
			t.flow(sale, t.shared(whole(trace.Customer, said(x.Customer, unwritten))), mass, known, guessed)
		}
	}
}

// overs adds what the decks kept back of a lot. What came onto a pile is a node of
// its own, which the pile was made of; the rest of them are one.
func (t *tracing) overs(l *Lot) {
	n := whole(trace.Overs, l.Name)
	var to []string
	var mass qty.WetKg
	known, rest := true, false
	for _, x := range l.Screens {
		over, weighed := x.over()
		if at, piled := t.back[x.Entry]; piled {
			t.flow(t.lot[l.Name], at, over, weighed, false)
			continue
		}
		if !rest {
			rest, n.At, n.Entry = true, x.At, x.Entry
		}
		mass, known = mass+over, known && weighed
		to = once(to, x.OversTo)
	}
	if !rest {
		return
	}
	n.What = strings.Join(to, ", ")
	t.flow(t.lot[l.Name], t.add(n), mass, known, false)
}

// bags adds the bags of a lot, those of one size as one thing.
func (t *tracing) bags(l *Lot, density qty.KgPerM3Wet) []int {
	var out []int
	for _, x := range l.Bags {
		k := slices.IndexFunc(out, func(i int) bool { return t.nodes[i].Size == x.Size })
		if k < 0 {
			n := whole(trace.Bags, l.Name)
			if k = len(out); k > 0 {
				n = whole(trace.Bags, fmt.Sprintf("%s %.1f L", l.Name, float64(x.Size)*1000))
			}
			n.What, n.At, n.Entry, n.Size = l.Name, x.At, x.Noted.Entry, x.Size
			out = append(out, t.add(n))
		}
		t.nodes[out[k]].Number += x.Number
	}
	for _, i := range out {
		n := &t.nodes[i]
		m, known, guessed := weigh(density, 0, n.Size*qty.CubicMetre(n.Number))
		t.flow(t.lot[l.Name], i, m, known, guessed)
		if len(out) == 1 {
			n.Left, _, _ = weigh(density, 0, n.Size*qty.CubicMetre(max(n.Number-l.BagsSold(), 0)))
			n.Lies = true
		}
	}
	return out
}
