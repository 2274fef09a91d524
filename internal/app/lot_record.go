package app

import (
	"slices"
	"time"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/journal"
	"wormyard/slide"
	"wormyard/trace"
)

// LotRecord is everything that is written down of a lot: what a certifier, an
// inspector or a customer may ask for. Masses are wet [kg].
type LotRecord struct {
	LotAnswer
	Journal    JournalState    `json:"journal"`
	Deliveries []RecordLoad    `json:"deliveries"`
	Piles      []RecordPile    `json:"piles"`
	Batches    []RecordBatch   `json:"batches"`
	Fed        []RecordBed     `json:"fed"` // what each bed was laid and fed with before its harvest
	Harvests   []RecordHarvest `json:"harvests"`
	Joined     []RecordPart    `json:"joined"`
	Screens    []RecordScreen  `json:"screens"`
	Cures      []RecordNote    `json:"cures"`
	Counts     []RecordCount   `json:"counts"`
	Decisions  []RecordNote    `json:"decisions"` // releases and holds
	Drills     []RecordDrill   `json:"drills"`    // recalls of it that were tried out
	Bags       []RecordBag     `json:"bagged"`
	Sales      []RecordSale    `json:"sales"`
	Samples    []RecordSample  `json:"samples_kept"`
}

// LotRecordWritten is the answer of wormyard lot record.
type LotRecordWritten struct {
	File string `json:"file"` // the PDF
	LotRecord
}

// JournalState says at which state of the journal something was told.
type JournalState struct {
	Entries int       `json:"entries"`
	Newest  int64     `json:"newest"` // number of the newest one
	Taken   time.Time `json:"taken"`  // when the journal took it
	Hash    string    `json:"hash"`   // of the link with it
}

// RecordNote is one decision or act with who wrote it.
type RecordNote struct {
	At    time.Time `json:"at"`
	Who   string    `json:"who"`
	Lot   string    `json:"lot"`
	Kind  string    `json:"kind"` // release, hold, cure
	Rule  string    `json:"rule,omitempty"`
	By    string    `json:"by,omitempty"`
	Say   string    `json:"say,omitempty"` // why, or where
	Entry string    `json:"entry"`
	// Shown is what whoever released it said of what the journal does not settle, with the
	// ids of the entries that show it.
	Shown []journal.Evidence `json:"shown,omitempty"`
}

// RecordDrill is a recall of the lot that was tried out.
type RecordDrill struct {
	At        time.Time `json:"at"`
	Who       string    `json:"who"`
	Bags      *int      `json:"bags"`
	Customers *int      `json:"customers"`
	Seconds   *float64  `json:"seconds"`
	Mend      string    `json:"mend,omitempty"`
	Entry     string    `json:"entry"`
}

// RecordLoad is a delivery that is in the lot.
type RecordLoad struct {
	TraceThing
	Pile     string   `json:"pile"`
	Came     *float64 `json:"came_kg_wet"` // null where nobody weighed it and its density is not known
	Who      string   `json:"who"`
	Declared []string `json:"declared,omitempty"`
	DosedOn  string   `json:"dosed_on,omitempty"`
}

// RecordPile is a pile with how it was tended.
type RecordPile struct {
	Name     string       `json:"name"`
	Material string       `json:"material"`
	Share    *float64     `json:"share"`
	Tended   []RecordHeat `json:"tended"`
	Tests    []LotTest    `json:"tests"`
	Held     string       `json:"held_why,omitempty"`
}

// RecordHeat is one turning, wetting or reading of a pile.
type RecordHeat struct {
	At     time.Time `json:"at"`
	Who    string    `json:"who"`
	Act    string    `json:"act"`
	TempC  *float64  `json:"temp_c"`
	DepthM *float64  `json:"depth_m"`
	Water  *float64  `json:"water_kg"`
}

// RecordBatch is a mix with its parts.
type RecordBatch struct {
	Name    string          `json:"name"`
	Purpose string          `json:"purpose,omitempty"`
	At      time.Time       `json:"at"`
	Who     string          `json:"who"`
	Share   *float64        `json:"share"`
	Parts   []RecordPortion `json:"parts"`
	Tests   []LotTest       `json:"tests"`
}

// RecordPortion is what a batch took of one pile, or a bed got of one batch.
type RecordPortion struct {
	Of       string   `json:"of"`
	Material string   `json:"material,omitempty"`
	Mass     *float64 `json:"mass_kg_wet"`
}

// RecordBed is a bed up to a harvest.
type RecordBed struct {
	Bin  string          `json:"bin"`
	Bed  string          `json:"bed"`
	Till time.Time       `json:"till"`
	Laid []RecordPortion `json:"laid"`
}

// RecordHarvest is one harvest.
type RecordHarvest struct {
	At     time.Time `json:"at"`
	Who    string    `json:"who"`
	Lot    string    `json:"lot"`
	Bin    string    `json:"bin"`
	How    string    `json:"how,omitempty"`
	Mass   *float64  `json:"mass_kg_wet"`
	Volume *float64  `json:"volume_m3"`
	Entry  string    `json:"entry"`
}

// RecordPart is what was put together from another lot.
type RecordPart struct {
	At     time.Time `json:"at"`
	Who    string    `json:"who"`
	From   string    `json:"from"`
	To     string    `json:"to"`
	Mass   *float64  `json:"mass_kg_wet"`
	Volume *float64  `json:"volume_m3"`
}

// RecordScreen is one screening, a line for each deck.
type RecordScreen struct {
	At      time.Time `json:"at"`
	Who     string    `json:"who"`
	Lot     string    `json:"lot"`
	Opening float64   `json:"opening_mm"`
	Through *float64  `json:"through_kg_wet"`
	Over    *float64  `json:"over_kg_wet"`
	Water   *float64  `json:"water_frac_wet"`
	OversTo string    `json:"overs_to,omitempty"`
}

// RecordCount is one group that was counted on a slide under the microscope.
type RecordCount struct {
	At       time.Time `json:"at"`
	Who      string    `json:"who"`
	Lot      string    `json:"lot"`
	Group    string    `json:"group"`
	Fields   int       `json:"fields"`
	Counted  int       `json:"counted"`
	LengthUM float64   `json:"length_um"`
	Dilution *float64  `json:"dilution"`
	Entry    string    `json:"entry"`
}

// RecordBag is one bagging.
type RecordBag struct {
	At     time.Time `json:"at"`
	Who    string    `json:"who"`
	Number int       `json:"number"`
	Size   float64   `json:"size_m3"`
}

// RecordSale is one sale.
type RecordSale struct {
	At       time.Time `json:"at"`
	Who      string    `json:"who"`
	Customer string    `json:"customer"`
	Bags     int       `json:"bags"`
	Volume   *float64  `json:"volume_m3"`
	Mass     *float64  `json:"mass_kg_wet"`
	Entry    string    `json:"entry"`
}

// RecordSample is a sample of the lot that is kept back.
type RecordSample struct {
	At    time.Time `json:"at"`
	Who   string    `json:"who"`
	Name  string    `json:"name"` // what is written on it
	Place string    `json:"place,omitempty"`
	Mass  *float64  `json:"mass_kg_wet"`     // null where nobody weighed it
	Until string    `json:"until,omitempty"` // day up to which it is kept
	Entry string    `json:"entry"`
}

// JournalAt gives the state of the journal that a picture rests on.
func JournalAt(s *farm.State) JournalState {
	var newest *journal.Entry
	for _, e := range s.Journal() {
		if newest == nil || e.Seq > newest.Seq {
			newest = e
		}
	}
	if newest == nil {
		return JournalState{}
	}
	out := JournalState{Entries: len(s.Journal()), Newest: newest.Seq, Taken: newest.Recorded}
	if newest.Hash != (journal.Hash{}) {
		out.Hash = newest.Hash.String()
	}
	return out
}

// RecordOf gives the record of a lot; false when there is none of that name.
func RecordOf(s *farm.State, name string) (LotRecord, bool) {
	shown, ok := LotShown(s, name)
	if !ok {
		return LotRecord{}, false
	}
	l, _ := s.Lot(name)
	r := recording{State: s, out: LotRecord{LotAnswer: shown, Journal: JournalAt(s), Deliveries: []RecordLoad{}, Piles: []RecordPile{}, Batches: []RecordBatch{}, Fed: []RecordBed{}, Harvests: []RecordHarvest{},
		Joined: []RecordPart{}, Screens: []RecordScreen{}, Cures: []RecordNote{}, Counts: []RecordCount{}, Decisions: []RecordNote{}, Drills: []RecordDrill{}, Bags: []RecordBag{}, Sales: []RecordSale{}, Samples: []RecordSample{}}}
	_, r.till = harvested(s, l, map[string]bool{})
	r.before(name)
	r.lot(l, map[string]bool{})
	r.sold(l)
	r.sort()
	return r.out, true
}

// recording gathers a record.
type recording struct {
	*farm.State
	till time.Time // the last harvest in it
	out  LotRecord
}

// before gathers what the lot was made of.
func (r *recording) before(name string) {
	t, _ := r.Trace().Trace("lot "+name, trace.Back)
	for _, f := range t.Found {
		x := thing(f, trace.Back)
		switch f.Kind {
		case trace.Delivery:
			r.load(x)
		case trace.Pile:
			r.pile(x)
		case trace.Batch:
			r.batch(x)
		}
	}
}

func (r *recording) load(x TraceThing) {
	load := RecordLoad{TraceThing: x}
	if e, _, ok := r.Entry(x.Entry); ok {
		load.Who = e.Who
		if b, is := e.Body.(*journal.Receive); is {
			load.Pile, load.Declared, load.DosedOn = b.Pile, b.Declared, b.DosedOn
		}
	}
	if p, ok := r.Pile(load.Pile); ok {
		for _, d := range p.Loads {
			if m := d.Matter.Wet(); d.Entry == x.Entry && m > 0 {
				load.Came = numberOf(float64(m))
			}
		}
	}
	r.out.Deliveries = append(r.out.Deliveries, load)
}

func (r *recording) pile(x TraceThing) {
	p, ok := r.Pile(x.Name)
	if !ok {
		return
	}
	out := RecordPile{Name: p.Name, Material: p.Material, Share: x.Share, Tended: []RecordHeat{}, Tests: lotTests(p.Tests)}
	if p.Hold != nil {
		out.Held = p.HoldWhy
	}
	for _, a := range p.Tended {
		if a.At.After(r.till) {
			continue // it has to do with what is not in this lot
		}
		h := RecordHeat{At: a.At, Who: a.Who, Act: a.Act}
		if a.Temp != nil {
			h.TempC = numberOf(float64(*a.Temp))
		}
		if a.Depth != nil {
			h.DepthM = numberOf(float64(*a.Depth))
		}
		if a.Water != nil {
			h.Water = numberOf(float64(*a.Water))
		}
		out.Tended = append(out.Tended, h)
	}
	r.out.Piles = append(r.out.Piles, out)
}

func (r *recording) batch(x TraceThing) {
	b, ok := r.Batch(x.Name)
	if !ok {
		return
	}
	out := RecordBatch{Name: b.Name, Purpose: b.Purpose, At: b.At, Who: b.Who, Share: x.Share, Parts: []RecordPortion{}, Tests: lotTests(b.Tests)}
	for _, p := range b.Parts {
		out.Parts = append(out.Parts, RecordPortion{Of: p.Pile, Material: p.Material, Mass: known(float64(p.Matter.Wet()))})
	}
	r.out.Batches = append(r.out.Batches, out)
}

func lotTests(all []farm.Test) []LotTest {
	out := []LotTest{}
	for _, x := range all {
		out = append(out, LotTestOf(x))
	}
	return out
}

// known gives an amount, and nothing where none was written.
func known(v float64) *float64 {
	if v > 0 {
		return &v
	}
	return nil
}

// lot gathers what was done with a lot and with the lots that were put into it.
func (r *recording) lot(l *farm.Lot, seen map[string]bool) {
	if seen[l.Name] {
		return
	}
	seen[l.Name] = true
	for _, x := range l.From {
		h := RecordHarvest{At: x.At, Who: x.Who, Lot: l.Name, Bin: x.Bin, Mass: known(float64(x.Mass)), Volume: known(float64(x.Volume)), Entry: x.Entry}
		if e, _, ok := r.Entry(x.Entry); ok {
			if b, is := e.Body.(*journal.Harvest); is {
				h.How = b.How
			}
		}
		r.out.Harvests = append(r.out.Harvests, h)
		bed := RecordBed{Bin: x.Bin, Bed: x.Bed, Till: x.At, Laid: []RecordPortion{}}
		for _, d := range x.Laid {
			p := RecordPortion{Of: d.Batch, Material: d.Material}
			if d.Known {
				p.Mass = known(float64(d.Mass))
			}
			bed.Laid = append(bed.Laid, p)
		}
		r.out.Fed = append(r.out.Fed, bed)
	}
	for _, x := range l.Screens {
		s := RecordScreen{At: x.At, Who: x.Who, Lot: l.Name, OversTo: x.OversTo}
		if x.Water != nil {
			s.Water = numberOf(float64(*x.Water))
		}
		if len(x.Decks) == 0 {
			r.out.Screens = append(r.out.Screens, s)
		}
		for _, d := range x.Decks {
			s.Opening, s.Through, s.Over = d.OpeningMM, nil, nil
			if d.Through != nil {
				s.Through = numberOf(float64(*d.Through))
			}
			if d.Over != nil {
				s.Over = numberOf(float64(*d.Over))
			}
			r.out.Screens = append(r.out.Screens, s)
		}
	}
	for _, x := range l.Cures {
		r.out.Cures = append(r.out.Cures, RecordNote{At: x.At, Who: x.Who, Lot: l.Name, Kind: "cure", Say: x.Place, Entry: x.Entry})
	}
	for _, x := range l.Releases {
		r.out.Decisions = append(r.out.Decisions, RecordNote{At: x.At, Who: x.Who, Lot: l.Name, Kind: "release", Rule: x.Rule, By: x.By, Say: x.Why, Entry: x.Entry, Shown: ShownIn(r.State, x.Entry)})
	}
	for _, x := range l.Holds {
		r.out.Decisions = append(r.out.Decisions, RecordNote{At: x.At, Who: x.Who, Lot: l.Name, Kind: "hold", Say: x.Why, Entry: x.Entry})
	}
	for _, x := range l.Seen {
		r.count(l.Name, x)
	}
	for _, x := range l.Joined {
		r.out.Joined = append(r.out.Joined, RecordPart{At: x.At, Who: x.Who, From: x.Lot, To: l.Name, Mass: known(float64(x.Mass)), Volume: known(float64(x.Volume))})
		if part, ok := r.Lot(x.Lot); ok {
			r.lot(part, seen)
		}
	}
}

// count gathers a slide: a row for each group that was looked for on it.
func (r *recording) count(lot string, x farm.Microscopy) {
	c := RecordCount{At: x.At, Who: x.Who, Lot: lot, Group: x.Group, Entry: x.Entry}
	var rows []RecordCount
	if e, _, ok := r.Entry(x.Entry); ok {
		if b, is := e.Body.(*journal.Microscope); is {
			rows = countRows(c, b, GlassOf(e, b, r.Zone()).Count.Seen)
		}
	}
	if len(rows) == 0 {
		rows = []RecordCount{c}
	}
	r.out.Counts = append(r.out.Counts, rows...)
}

// countRows gives what was counted of a slide, one row a group: what stands under the
// entry's own group as it is called there, and each group that has a number of its own.
func countRows(c RecordCount, b *journal.Microscope, seen map[slide.Group][]float64) (rows []RecordCount) {
	c.Dilution, c.Fields = b.Dilution, len(b.Fields)
	own := false
	for _, f := range b.Fields {
		own = own || b.Group != "" && (f.Count != nil || f.LengthUM != nil)
		c.Counted += or0(f.Count)
		c.LengthUM += or0(f.LengthUM)
	}
	said, _ := groupMeant(b.Group)
	if threadsMeant(b.Group) {
		said = slide.Threads
	}
	if own {
		rows = append(rows, c)
	}
	for _, group := range slide.Groups() {
		fields := seen[group]
		if len(fields) == 0 || own && group == said {
			continue
		}
		one := c
		one.Group, one.Fields, one.Counted, one.LengthUM = string(group), len(fields), 0, 0
		for _, n := range fields {
			if group == slide.Threads {
				one.LengthUM += n
			} else {
				one.Counted += int(n)
			}
		}
		rows = append(rows, one)
	}
	if len(rows) == 0 {
		rows = []RecordCount{c}
	}
	return rows
}

// sold gathers what left the lot itself.
func (r *recording) sold(l *farm.Lot) {
	for _, x := range l.Bags {
		r.out.Bags = append(r.out.Bags, RecordBag{At: x.At, Who: x.Who, Number: x.Number, Size: float64(x.Size)})
	}
	for _, x := range l.Sales {
		r.out.Sales = append(r.out.Sales, RecordSale{At: x.At, Who: x.Who, Customer: x.Customer, Bags: x.Bags, Volume: known(float64(x.Volume)), Mass: known(float64(x.Mass)), Entry: x.Entry})
	}
	for _, x := range l.Samples {
		r.out.Samples = append(r.out.Samples, RecordSample{At: x.At, Who: x.Who, Name: x.Name, Place: x.Place, Mass: known(float64(x.Mass)), Until: x.Until, Entry: x.Entry})
	}
	for _, x := range l.Given {
		r.out.Joined = append(r.out.Joined, RecordPart{At: x.At, Who: x.Who, From: l.Name, To: x.Lot, Mass: known(float64(x.Mass)), Volume: known(float64(x.Volume))})
	}
}

// sort puts everything in the order of time, things of no day by name.
func (r *recording) sort() {
	o := &r.out
	slices.SortStableFunc(o.Deliveries, func(a, b RecordLoad) int { return a.At.Compare(b.At) })
	slices.SortStableFunc(o.Piles, func(a, b RecordPile) int { return barn.Natural(a.Name, b.Name) })
	slices.SortStableFunc(o.Batches, func(a, b RecordBatch) int { return a.At.Compare(b.At) })
	slices.SortStableFunc(o.Fed, func(a, b RecordBed) int { return a.Till.Compare(b.Till) })
	slices.SortStableFunc(o.Harvests, func(a, b RecordHarvest) int { return a.At.Compare(b.At) })
	slices.SortStableFunc(o.Joined, func(a, b RecordPart) int { return a.At.Compare(b.At) })
	slices.SortStableFunc(o.Screens, func(a, b RecordScreen) int { return a.At.Compare(b.At) })
	for _, d := range DrillsOf(r.State, "lot "+o.Lot) {
		o.Drills = append(o.Drills, RecordDrill{d.At, d.Who, d.Bags, d.Customers, d.Seconds, d.Mend, d.Entry})
	}
	slices.SortStableFunc(o.Decisions, func(a, b RecordNote) int { return a.At.Compare(b.At) })
	slices.SortStableFunc(o.Counts, func(a, b RecordCount) int { return a.At.Compare(b.At) })
}

// RuleAnswers judges a lot under the rule of each of its releases as of that day, by
// what the journal holds now and what whoever signed said; releases under words that
// name no rule are left out. The error is ours: the built-in data is amiss.
func RuleAnswers(s *farm.State, name string) ([]ReleaseAnswer, error) {
	out := []ReleaseAnswer{}
	l, ok := s.Lot(name)
	if !ok {
		return out, nil
	}
	for _, x := range l.Releases {
		rule, _, ok, err := RuleNamed(s, x.Rule)
		if err != nil {
			return nil, err
		}
		e, _, found := s.Entry(x.Entry)
		if !ok || !found {
			continue
		}
		b, is := e.Body.(*journal.Release)
		if !is {
			continue
		}
		answer, err := Judged(s, name, rule, b.Shown, x.By, x.At)
		if err != nil {
			return nil, err
		}
		out = append(out, answer)
	}
	return out, nil
}
