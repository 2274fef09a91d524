package farm

import (
	"fmt"
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
		t := tracing{State: s}
		t.yard()
		t.beds()
		t.lotsOut()
		g.of = trace.New(t.nodes, t.flows)
	})
	return g.of
}

// bedTaken is what was harvested of a bed so far.
type bedTaken struct {
	times int
	at    time.Time // the last time
	node  int       // of that
}

// tracing gathers the nodes of a graph and what flowed between them.
type tracing struct {
	*State
	nodes []trace.Node
	flows []trace.Flow
	begun map[string]bool // beddings and customers that have a node
	taken map[string]bedTaken
}

func (t *tracing) flow(from, to string, mass qty.WetKg, known, guessed bool) {
	t.flows = append(t.flows, trace.Flow{From: from, To: to, Mass: mass, Known: known, Guessed: guessed})
}

// once adds a node of which many things speak.
func (t *tracing) once(n trace.Node) {
	if t.begun == nil {
		t.begun = map[string]bool{}
	}
	if !t.begun[n.ID] {
		t.begun[n.ID] = true
		t.nodes = append(t.nodes, n)
	}
}

// whole is a node that stands for its thing alone.
func whole(k trace.Kind, name string) trace.Node {
	id := string(k) + " " + name
	return trace.Node{ID: id, Group: id, Kind: k, Name: name}
}

// heap is the node of a pile after so many deliveries.
func heap(pile string, came int) string { return fmt.Sprintf("pile %s#%d", pile, came) }

// yard adds deliveries, piles and batches. A pile is a node after each delivery,
// made of what came and of what lay there, so that a batch holds no delivery that
// came after it, and none of a time before the pile was used up.
func (t *tracing) yard() {
	days := map[string]int{}
	for _, p := range t.Piles() {
		var water qty.WaterKg
		for _, x := range p.Tended {
			water += or(x.Water, 0)
		}
		for i := 0; i <= len(p.Loads); i++ {
			n := trace.Node{ID: heap(p.Name, i), Group: "pile " + p.Name, Kind: trace.Pile, Name: p.Name, What: p.Material, At: p.Since.At, Entry: p.Since.Entry}
			if i == len(p.Loads) {
				n.Left, n.Lies, n.Water = p.Left().Wet(), true, qty.WetKg(water)
			}
			if i == 0 && len(p.Loads) > 0 {
				continue
			}
			t.nodes = append(t.nodes, n)
			if i == 0 {
				continue
			}
			d := p.Loads[i-1]
			name := p.Name + " " + d.At.In(t.Zone()).Format("2006-01-02")
			if days[name]++; days[name] > 1 {
				name = fmt.Sprintf("%s %d", name, days[name])
			}
			load := whole(trace.Delivery, name)
			load.What, load.At, load.Entry = d.Material, d.At, d.Entry
			t.nodes = append(t.nodes, load)
			t.flow(load.ID, n.ID, d.Matter.Wet(), d.Matter.Wet() > 0, false)
			if i > 1 && (d.Onto.Wet() > 0 || d.Onto.Volume > 0) {
				t.flow(heap(p.Name, i-1), n.ID, d.Onto.Wet(), d.Onto.Wet() > 0, false)
			}
		}
	}
	for _, b := range sorted(t.batches) {
		n := whole(trace.Batch, b.Name)
		n.What, n.At, n.Entry = b.Purpose, b.At, b.Noted.Entry
		var parts qty.WetKg
		for _, x := range b.Parts {
			from := heap(x.Pile, x.after)
			if x.after == 0 && t.piles[x.Pile] != nil && len(t.piles[x.Pile].Loads) > 0 {
				from = heap(x.Pile, 1) // taken before the first delivery was written; it can only be of that
			}
			if t.piles[x.Pile] == nil { // called by what it is
				b := whole(trace.Bedding, said(x.Material, x.Pile))
				t.once(b)
				from = b.ID
			}
			t.flow(from, n.ID, x.Matter.Wet(), x.Matter.Wet() > 0, false)
			parts += x.Matter.Wet()
		}
		n.Water = b.Made.Wet() - parts // added, or lost on the pad by the moisture measured
		if b.Known {
			n.Left, n.Lies = b.Left().Wet(), true
		}
		t.nodes = append(t.nodes, n)
	}
}

// beds adds the beds, each as a node at every harvest into a lot, and one of all
// that was laid in it.
func (t *tracing) beds() {
	t.taken = map[string]bedTaken{}
	for _, l := range t.Lots() {
		d, _ := t.CastingsDensity(l)
		for _, x := range l.From {
			was := t.taken[x.Bed]
			id := fmt.Sprintf("bed %s#%d", x.Bed, was.times)
			now := bedTaken{was.times + 1, x.At, len(t.nodes)}
			if was.at.After(now.at) { // lots go by name and not by day
				now.at, now.node = was.at, was.node
			}
			t.taken[x.Bed] = now
			t.bed(id, x.Bed, x.Bin, x.Noted, x.Laid, 0)
			m, known, guessed := weigh(d, x.Mass, x.Volume)
			t.flow(id, "lot "+l.Name, m, known, guessed)
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
	if x, ok := t.taken[bed]; ok && x.at.Equal(until) {
		t.nodes[x.node].Water += qty.WetKg(water)
		return
	}
	t.bed("bed "+bed+"#end", bed, bin, n, laid, water)
}

// unwritten is what a bed was laid of when nobody wrote it.
const unwritten = "not written down"

func (t *tracing) bed(id, bed, bin string, n Noted, laid []Laid, water qty.WaterKg) {
	t.nodes = append(t.nodes, trace.Node{ID: id, Group: "bed " + bed, Kind: trace.Bed, Name: bed, What: bin, At: n.At, Entry: n.Entry, Water: qty.WetKg(water)})
	for _, l := range laid {
		from := "batch " + l.Batch
		if l.Batch == "" {
			b := whole(trace.Bedding, said(l.Material, unwritten))
			t.once(b)
			from = b.ID
		}
		t.flow(from, id, l.Mass, l.Known, false)
	}
}

// lotsOut adds the lots and what became of them.
func (t *tracing) lotsOut() {
	for _, l := range t.Lots() {
		n := whole(trace.Lot, l.Name)
		n.At, n.Entry = l.Since.At, l.Since.Entry
		t.nodes = append(t.nodes, n)
		density, _ := t.CastingsDensity(l)
		for _, x := range l.Joined {
			m, known, guessed := weigh(density, x.Mass, x.Volume)
			t.flow("lot "+x.Lot, n.ID, m, known, guessed)
		}
		t.overs(l)
		bags := t.bags(l, density)
		for _, x := range l.Sales {
			sale := whole(trace.Sale, x.Noted.Entry)
			sale.At, sale.Entry, sale.Number, sale.What = x.At, x.Noted.Entry, x.Bags, l.Name
			t.nodes = append(t.nodes, sale)
			var mass qty.WetKg
			known, guessed := false, false
			if x.Bags == 0 {
				mass, known, guessed = weigh(density, x.Mass, x.Volume)
				t.flow(n.ID, sale.ID, mass, known, guessed)
			}
			for _, b := range bags {
				if x.Bags == 0 {
					break
				}
				mass, known, guessed = weigh(density, 0, b.Size*qty.CubicMetre(x.Bags))
				known = known && len(bags) == 1 // else nobody wrote of which size
				t.flow(b.ID, sale.ID, mass, known, guessed)
			}
			if x.Bags > 0 && len(bags) == 0 { // sold by the bag though no bagging was written
				t.flow(n.ID, sale.ID, 0, false, false)
			}
			c := whole(trace.Customer, said(x.Customer, unwritten))
			t.once(c)
			t.flow(sale.ID, c.ID, mass, known, guessed)
		}
	}
}

func (t *tracing) overs(l *Lot) {
	if len(l.Screens) == 0 {
		return
	}
	n := whole(trace.Overs, l.Name)
	n.At, n.Entry = l.Screens[0].At, l.Screens[0].Entry
	var to []string
	var mass qty.WetKg
	known := true
	for _, x := range l.Screens {
		over, weighed := x.over()
		mass, known = mass+over, known && weighed
		to = once(to, x.OversTo)
	}
	n.What = strings.Join(to, ", ")
	t.nodes = append(t.nodes, n)
	t.flow("lot "+l.Name, n.ID, mass, known, false)
}

// bags adds the bags of a lot, those of one size as one thing.
func (t *tracing) bags(l *Lot, density qty.KgPerM3Wet) []trace.Node {
	var out []trace.Node
	for _, x := range l.Bags {
		at := -1
		for i := range out {
			if out[i].Size == x.Size {
				at = i
			}
		}
		if at < 0 {
			at = len(out)
			n := whole(trace.Bags, l.Name)
			if at > 0 {
				n = whole(trace.Bags, fmt.Sprintf("%s %.1f L", l.Name, float64(x.Size)*1000))
			}
			n.What, n.At, n.Entry, n.Size = l.Name, x.At, x.Noted.Entry, x.Size
			out = append(out, n)
		}
		out[at].Number += x.Number
	}
	sold := l.BagsSold()
	for i := range out {
		m, known, guessed := weigh(density, 0, out[i].Size*qty.CubicMetre(out[i].Number))
		t.flow("lot "+l.Name, out[i].ID, m, known, guessed)
		if len(out) == 1 {
			left := max(out[i].Number-sold, 0)
			out[i].Left, _, _ = weigh(density, 0, out[i].Size*qty.CubicMetre(left))
			out[i].Lies = true
		}
	}
	t.nodes = append(t.nodes, out...)
	return out
}
