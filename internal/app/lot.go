package app

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/journal"
	"wormyard/trace"
)

// LotShort is a lot on the list of lots. Masses are wet [kg].
type LotShort struct {
	Lot       string    `json:"lot"`
	State     string    `json:"state"`
	Since     time.Time `json:"since"`
	InKgWet   float64   `json:"in_kg_wet"`   // harvested and joined into it
	LeftKgWet float64   `json:"left_kg_wet"` // if nothing was lost
	Sure      bool      `json:"sure"`        // every mass is known
	Bagged    int       `json:"bags"`
	Sold      int       `json:"bags_sold"`
	Why       string    `json:"held_why,omitempty"`
}

// LotList is the answer of wormyard lot list.
type LotList struct {
	Lots []LotShort `json:"lots"`
}

// Lots gives the lots, the newest first.
func Lots(s *farm.State) LotList {
	out := LotList{Lots: []LotShort{}}
	all := s.Lots()
	for i := len(all) - 1; i >= 0; i-- {
		out.Lots = append(out.Lots, lotShort(s, all[i]))
	}
	return out
}

func lotShort(s *farm.State, l *farm.Lot) LotShort {
	a := s.Amounts(l)
	out := LotShort{Lot: l.Name, State: string(s.Standing(l)), Since: l.Since.At, InKgWet: float64(a.In), LeftKgWet: float64(a.Left()), Sure: a.Sure, Bagged: l.Bagged(), Sold: l.BagsSold()}
	if l.Held() {
		out.Why = l.Holds[len(l.Holds)-1].Why
	}
	return out
}

// LotAnswer is the answer of wormyard lot show.
type LotAnswer struct {
	LotShort
	Made     []TraceThing  `json:"made_of"` // deliveries, and beddings of no batch, by share
	Beds     []TraceThing  `json:"beds"`
	Balance  BalanceAnswer `json:"balance"`
	Density  float64       `json:"density_kg_m3_wet"`
	Measured bool          `json:"density_measured"` // else it is what is usual
	Tests    []LotTest     `json:"tests"`
	Doubts   []string      `json:"doubts,omitempty"`
}

// LotTest is a test of a lot.
type LotTest struct {
	At         time.Time `json:"at"`
	Analyte    string    `json:"analyte"`
	Value      float64   `json:"value"`
	Unit       string    `json:"unit,omitempty"`
	Laboratory string    `json:"laboratory,omitempty"`
	Basis      string    `json:"basis,omitempty"`    // wet or dry, where the name of the test does not say it
	Reads      string    `json:"reads_as,omitempty"` // when the value is not the amount itself
}

// LotTestOf gives a test as answers have it.
func LotTestOf(x farm.Test) LotTest {
	t := LotTest{x.At, x.Analyte, x.Value, x.Unit, x.Laboratory, x.Basis, x.Reads}
	if t.Reads == "" && t.Value == 0 && x.DetectionLimit != nil && *x.DetectionLimit > 0 {
		t.Value, t.Reads = *x.DetectionLimit, journal.ReadsLess
	}
	return t
}

// BalanceAnswer is how the masses of a thing add up [kg wet].
type BalanceAnswer struct {
	In          float64  `json:"in_kg_wet"`
	Water       float64  `json:"water_kg"`
	Out         float64  `json:"out_kg_wet"`
	Left        *float64 `json:"left_kg_wet"` // null where nobody can say
	Unexplained float64  `json:"unexplained_kg_wet"`
	Sure        bool     `json:"sure"`
	Guessed     bool     `json:"from_volume"` // a mass was worked out from a volume
}

// TraceThing is a thing that a trace came to.
type TraceThing struct {
	ID      string    `json:"id"`
	Kind    string    `json:"kind"`
	Name    string    `json:"name"`
	What    string    `json:"what,omitempty"`
	At      time.Time `json:"at"`
	Entry   string    `json:"entry,omitempty"`
	Steps   int       `json:"steps"`
	Share   *float64  `json:"share"`       // null where a mass on the way is not known
	Mass    *float64  `json:"mass_kg_wet"` // forward: of the thing traced in this
	Number  int       `json:"bags,omitempty"`
	Guessed bool      `json:"from_volume,omitempty"`
}

// TraceAnswer is the answer of wormyard lot trace.
type TraceAnswer struct {
	Of      string        `json:"of"`
	Way     string        `json:"way"`
	Found   []TraceThing  `json:"found"`
	Flows   []TraceFlow   `json:"flows"`
	Balance BalanceAnswer `json:"balance"`
	Recall  *RecallAnswer `json:"recall,omitempty"` // forward
	Loop    []string      `json:"made_of_itself,omitempty"`
	Seconds float64       `json:"seconds"`
	Drill   string        `json:"drill,omitempty"` // id of the recall drill that was written down
}

// TraceFlow is what went from one thing of a trace into another.
type TraceFlow struct {
	From string   `json:"from"`
	To   string   `json:"to"`
	Mass *float64 `json:"mass_kg_wet"`
}

// RecallAnswer counts what can contain a thing.
type RecallAnswer struct {
	Lots      int      `json:"lots"`
	Bags      int      `json:"bags"`
	BagsSold  int      `json:"bags_sold"`
	Sales     int      `json:"sales"`
	Customers []string `json:"customers"`
	// Complaints about the lots found, and of their customers about no lot in particular.
	Complaints []ComplaintShort `json:"complaints"`
}

// ComplaintShort is what a customer found amiss.
type ComplaintShort struct {
	Entry    string    `json:"entry"`
	At       time.Time `json:"at"`
	Lot      string    `json:"lot,omitempty"`
	Bags     string    `json:"bags,omitempty"`
	Customer string    `json:"customer,omitempty"`
	What     string    `json:"what"`
	Done     string    `json:"done,omitempty"`
}

// Drilled is the entry of a recall drill of what was traced forward, found in so many
// seconds.
func Drilled(x TraceAnswer, seconds float64, mend string) *journal.RecallDrill {
	b := &journal.RecallDrill{Of: x.Of, Seconds: &seconds, Mend: mend}
	if r := x.Recall; r != nil {
		customers := len(r.Customers)
		b.Bags, b.Customers = &r.Bags, &customers
	}
	return b
}

// DrillsOf gives the recall drills of a thing, the newest first; of everything where
// it is empty.
func DrillsOf(s *farm.State, of string) (out []farm.Drill) {
	all := s.Drills()
	for i := len(all) - 1; i >= 0; i-- {
		if of == "" || all[i].Of == of {
			out = append(out, all[i])
		}
	}
	return out
}

// ComplaintsOf gives the complaints about lots, and those of customers that name no
// lot, the newest first.
func ComplaintsOf(s *farm.State, lots, customers []string) []ComplaintShort {
	out := []ComplaintShort{}
	for _, c := range s.Complaints() {
		if slices.Contains(lots, c.Lot) || c.Lot == "" && slices.Contains(customers, c.Customer) {
			out = append(out, ComplaintShort{c.Entry, c.At, c.Lot, c.Bags, c.Customer, c.What, c.Done})
		}
	}
	slices.Reverse(out)
	return out
}

// ThingNamed finds what somebody means by the name of a lot, or of any other thing
// in words as a trace prints them ("pile hay", "hay 2025-05-03", "bin B12"): the
// thing's name in the graph, or names that are near it.
func ThingNamed(s *farm.State, text string) (group string, near []string) {
	g := s.Trace()
	text = strings.TrimSpace(text)
	tries := []string{"lot " + text, text, "delivery " + text, "pile " + text, "batch " + text, "customer " + text}
	if name, named := strings.CutPrefix(text, "bin "); named || !slices.ContainsFunc(tries, g.Has) { // a bare B12 is the bin, where nothing else is called so
		if bin, refused := s.BinCalled(name); refused == nil {
			if b, ok := s.Bin(bin); ok {
				if b.Bed != nil {
					tries = append(tries, "bed "+b.Bed.ID)
				} else if n := len(b.Past); n > 0 {
					tries = append(tries, "bed "+b.Past[n-1].ID)
				}
			}
		}
	}
	for _, t := range tries {
		if g.Has(t) {
			return t, nil
		}
	}
	var names []string
	for _, k := range []trace.Kind{trace.Lot, trace.Delivery, trace.Pile, trace.Batch, trace.Customer} {
		for _, n := range g.Groups(k) {
			if k == trace.Lot {
				names = append(names, n.Name)
			} else {
				names = append(names, n.Group)
			}
		}
	}
	return "", journal.Nearest(text, names)
}

// TraceOf gives the trace of a thing with its balance; false when it is not there.
func TraceOf(s *farm.State, group string, way trace.Way) (TraceAnswer, bool) {
	g := s.Trace()
	t, ok := g.Trace(group, way)
	if !ok {
		return TraceAnswer{}, false
	}
	out := TraceAnswer{Of: group, Way: string(way), Found: []TraceThing{}, Flows: []TraceFlow{}, Loop: t.Loop}
	for _, f := range t.Found {
		out.Found = append(out.Found, thing(f, way))
	}
	for _, x := range g.Steps(group, way) {
		flow := TraceFlow{From: x.From, To: x.To}
		if x.Known {
			flow.Mass = numberOf(float64(x.Mass))
		}
		out.Flows = append(out.Flows, flow)
	}
	b, _ := g.Balance(group)
	out.Balance = balanceAnswer(b)
	if way == trace.Forward {
		r, _ := g.Recall(group)
		out.Recall = &RecallAnswer{Lots: len(r.Lots), Bags: r.Bagged, BagsSold: r.Sold, Sales: len(r.Sales), Customers: []string{}}
		for _, c := range r.Customers {
			out.Recall.Customers = append(out.Recall.Customers, c.Name)
		}
		var lots []string
		for _, l := range r.Lots {
			lots = append(lots, l.Name)
		}
		if lot, ok := strings.CutPrefix(group, "lot "); ok && !slices.Contains(lots, lot) {
			lots = append(lots, lot)
		}
		out.Recall.Complaints = ComplaintsOf(s, lots, out.Recall.Customers)
	}
	return out, true
}

func numberOf(v float64) *float64 { return &v }

func thing(f trace.Found, way trace.Way) TraceThing {
	out := TraceThing{ID: f.Group, Kind: string(f.Kind), Name: f.Name, What: f.What, At: f.At, Entry: f.Entry, Steps: f.Steps, Number: f.Number, Guessed: f.Guessed}
	if !math.IsNaN(f.Share) {
		out.Share = numberOf(f.Share)
		if way == trace.Forward {
			out.Mass = numberOf(float64(f.Mass))
		}
	}
	return out
}

func balanceAnswer(b trace.Balance) BalanceAnswer {
	out := BalanceAnswer{In: float64(b.In), Water: float64(b.Water), Out: float64(b.Out), Unexplained: float64(b.Unexplained), Sure: b.Sure, Guessed: b.Guessed}
	if b.Lies {
		out.Left = numberOf(float64(b.Left))
	}
	return out
}

// LotShown gives everything of a lot; false when there is none of that name.
func LotShown(s *farm.State, name string) (LotAnswer, bool) {
	l, ok := s.Lot(name)
	if !ok {
		return LotAnswer{}, false
	}
	g := s.Trace()
	group := "lot " + name
	out := LotAnswer{LotShort: lotShort(s, l), Made: []TraceThing{}, Beds: []TraceThing{}, Tests: []LotTest{}}
	t, _ := g.Trace(group, trace.Back)
	for _, f := range t.Found {
		switch f.Kind {
		case trace.Delivery, trace.Bedding:
			out.Made = append(out.Made, thing(f, trace.Back))
		case trace.Bed:
			out.Beds = append(out.Beds, thing(f, trace.Back))
		}
	}
	ByShare(out.Made)
	ByShare(out.Beds)
	b, _ := g.Balance(group)
	out.Balance = balanceAnswer(b)
	d, measured := s.CastingsDensity(l)
	out.Density, out.Measured = float64(d), measured
	for _, x := range l.Tests {
		out.Tests = append(out.Tests, LotTestOf(x))
	}
	for _, x := range s.DoubtsOf(group) {
		out.Doubts = append(out.Doubts, x.Say+" "+x.Try)
	}
	return out, true
}

// ByShare puts the largest share first, unknown ones last.
func ByShare(list []TraceThing) {
	slices.SortStableFunc(list, func(a, b TraceThing) int {
		x, y := -1.0, -1.0
		if a.Share != nil {
			x = *a.Share
		}
		if b.Share != nil {
			y = *b.Share
		}
		if c := cmp.Compare(y, x); c != 0 {
			return c
		}
		return barn.Natural(a.Name, b.Name)
	})
}

// ByMaterial sums deliveries and beddings by what they are, the largest share first.
func ByMaterial(list []TraceThing) []TraceThing {
	var out []TraceThing
	for _, f := range list {
		name := f.Name
		if f.Kind == string(trace.Delivery) {
			name = f.What
		}
		i := slices.IndexFunc(out, func(x TraceThing) bool { return x.Name == name })
		if i < 0 {
			out = append(out, TraceThing{Kind: "material", Name: name, Share: f.Share, Guessed: f.Guessed, Number: 1})
			continue
		}
		x := &out[i]
		x.Guessed, x.Number = x.Guessed || f.Guessed, x.Number+1
		if x.Share != nil && f.Share != nil {
			x.Share = numberOf(*x.Share + *f.Share)
		} else {
			x.Share = nil
		}
	}
	ByShare(out)
	return out
}
