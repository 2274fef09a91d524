package farm

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/feedstock"
	"wormyard/journal"
	"wormyard/qty"
)

// pile gives a pile to change, or nil with a doubt.
func (f *folding) pile(e *journal.Entry, name string) *Pile {
	p := f.ownPile(name)
	if p == nil {
		f.raise(e, "pile "+name, "unknown", fmt.Sprintf("An entry of %s (%s) is about pile %s, and no entry before it tells that it came.", f.date(e.At), e.Kind, name),
			"Enter the delivery with its day, or strike the entry if the name is wrong.")
	}
	return p
}

// material finds a material of the library; found is false when only its name is known.
func (f *folding) material(name string) (feedstock.Material, bool) {
	if f.trade.Library == nil {
		return feedstock.Material{Name: name}, false
	}
	m, err := f.trade.Library.Find(name)
	if err != nil {
		return f.trade.Library.Blank(name), false
	}
	return m, true
}

// ofMaterial gives an amount of a material, and in words what had to be guessed.
func (f *folding) ofMaterial(name string, volume qty.CubicMetre, mass qty.WetKg) (feedstock.Matter, string) {
	m, found := f.material(name)
	matter, _, err := m.Amount(quantity(volume, mass))
	switch {
	case !found:
		return matter, fmt.Sprintf("%q is not a material of the library, so what is in it is not known.", name)
	case err != nil:
		return matter, fmt.Sprintf("What is in %s is not known well enough: %v", name, err)
	}
	return matter, ""
}

func quantity(volume qty.CubicMetre, mass qty.WetKg) feedstock.Quantity {
	if volume > 0 {
		return feedstock.Quantity{Volume: volume}
	}
	return feedstock.Quantity{Wet: mass}
}

// ofBatch gives an amount of a batch as laid, by volume or by mass, and in words
// what had to be guessed. Volume is turned into mass by the density of the
// batch after mixing.
func (f *folding) ofBatch(e *journal.Entry, name string, volume qty.CubicMetre, mass qty.WetKg) (feedstock.Matter, string) {
	b := f.batches[name]
	if b == nil {
		f.raise(e, "batch "+name, "unknown", fmt.Sprintf("Batch %s was used on %s, and no entry tells how it was mixed.", name, f.date(e.At)),
			"Enter the mixing with its day and parts, or strike the entry if it was another batch.")
		b = f.ownBatch(name)
		if b == nil {
			b = &Batch{Noted: noted(e), Name: name, epoch: f.epoch}
			f.batches[name] = b
		}
	}
	guessed := ""
	like := b
	if b.Made.Wet() <= 0 {
		like = f.batches[f.lastBatch]
		if like == nil || like.Made.Wet() <= 0 {
			return feedstock.Matter{Volume: volume}, fmt.Sprintf("Nobody wrote down what batch %s is made of, so what was laid of it is left out.", name)
		}
		guessed = fmt.Sprintf("Nobody wrote down what batch %s is made of; it is taken to be like batch %s, mixed before it.", name, like.Name)
	}
	if volume > 0 {
		if like.Made.Volume <= 0 {
			return feedstock.Matter{Volume: volume}, fmt.Sprintf("The density of batch %s is not known, so its depth gives no mass.", like.Name)
		}
		return like.Made.Times(float64(volume / like.Made.Volume)), guessed
	}
	return like.Made.Times(float64(mass / like.Made.Wet())), guessed
}

// overdrawn is how far above what was made the feedings of a batch may come
// before it is asked about: depths are good to about an inch, so a batch spread
// by depth seldom comes out even. Common practice, no source.
const overdrawn = 0.15

// laid takes from a batch what was laid on an owned bed.
func (f *folding) laid(e *journal.Entry, name string, bed *Bed, m feedstock.Matter) {
	b := f.ownBatch(name)
	if b == nil {
		return
	}
	b.Fed = b.Fed.Plus(m)
	b.Last = e.At
	if n := bed.bin + 1 - len(b.in); n > 0 {
		b.in = append(b.in, make([]uint32, n)...)
	}
	if last := &b.in[bed.bin]; *last != bed.number {
		if *last == 0 {
			b.Bins = append(b.Bins, bed.Bin)
		}
		*last = bed.number
		bed.batches = append(bed.batches, name)
	}
	if made := b.Made.Wet(); made > 0 && float64(b.Fed.Wet()) > float64(made)*(1+overdrawn) {
		u := f.Settings.Units
		f.raise(e, "batch "+name, "overdrawn", fmt.Sprintf("Batch %s made %s, and the feedings written down up to %s add to %s.", name,
			u.Volume(b.Made.Volume), f.date(e.At), u.Volume(b.Fed.Volume)), "Look whether a batch was mixed in between, or whether a depth is too large.")
	}
}

func (f *folding) receive(e *journal.Entry, b *journal.Receive) {
	p, m := f.arrive(e, arrival{pile: b.Pile, material: b.Material, volume: or(b.VolumeM3, 0), mass: or(b.MassKgWet, 0)})
	if b.Price != nil {
		p.Paid += *b.Price
		p.PaidFor += m.Volume
	}
	for _, d := range b.Declared {
		if d = strings.TrimSpace(strings.ToLower(d)); d != "none" {
			p.Declared = once(p.Declared, d)
		}
	}
	p.DosedOn = said(b.DosedOn, p.DosedOn)
}

// arrival is what comes onto a pile: from outside, or the overs of a lot.
type arrival struct {
	pile, material string
	volume         qty.CubicMetre
	mass           qty.WetKg
	lot            string            // whose overs it is
	own            []feedstock.Assay // what was measured of this load alone
}

// arrive puts a load onto a pile, which it may begin, and gives what came.
func (f *folding) arrive(e *journal.Entry, a arrival) (*Pile, feedstock.Matter) {
	p := f.ownPile(a.pile)
	if p == nil {
		p = &Pile{Name: a.pile, Since: noted(e), epoch: f.epoch}
		f.piles[a.pile] = p
		f.settle("pile "+a.pile, "unknown")
	}
	p.Newest = noted(e)
	m, found := f.material(a.material)
	if p.Material == "" {
		p.Material = m.Name
	} else if m.Name != p.Material {
		f.raise(e, "pile "+a.pile, "two materials", fmt.Sprintf("%s came to pile %s on %s, which held %s.", m.Name, a.pile, f.date(e.At), p.Material),
			"Nothing needs doing if they were thrown together; else strike it and give the new pile its own name.")
	}
	if !found {
		f.raise(e, "pile "+a.pile, "material", fmt.Sprintf("%q is not a material of the library, so what is in pile %s is not known.", a.material, a.pile),
			"Enter its moisture, nitrogen, carbon and density as tests of the pile, or name a material of the library.")
	}
	h := Held{Material: m, Found: found, ByVolume: a.volume > 0}
	own := slices.Clone(a.own) // what is known of the load itself stands before what is known of the pile
	for _, o := range p.Own() {
		if !slices.ContainsFunc(own, func(x feedstock.Assay) bool { return x.Key == o.Key }) {
			own = append(own, o)
		}
	}
	var missing []string
	h.Matter, missing = amount(m, a.volume, a.mass, own)
	for _, k := range missing {
		p.Missing = once(p.Missing, k)
	}
	p.Loads = append(p.Loads, Delivery{Noted: noted(e), Material: a.material, Matter: h.Matter, Onto: p.Left(), Lot: a.lot})
	p.Came = meanTime(p.Came, weight(p.Left()), e.At, weight(h.Matter))
	p.past = append(p.past, lain{Noted: noted(e), came: h.Matter})
	p.Got = p.Got.Plus(h.Matter)
	joined := false
	for i := range p.Holds {
		if o := &p.Holds[i]; o.Material.Name == m.Name && o.ByVolume == h.ByVolume {
			o.Matter = o.Matter.Plus(h.Matter)
			joined = true
			break
		}
	}
	if !joined {
		p.Holds = append(p.Holds, h)
	}
	return p, h.Matter
}

// amount gives an amount of a material with a pile's own analyses in front, as
// far as it is known: at least the volume or the mass that was written.
func amount(m feedstock.Material, volume qty.CubicMetre, mass qty.WetKg, own []feedstock.Assay) (feedstock.Matter, []string) {
	matter, missing, err := m.Amount(quantity(volume, mass), own...)
	if err != nil {
		if volume <= 0 {
			matter = feedstock.Matter{Ash: qty.DryKg(mass), Dry: qty.DryKg(mass)} // nothing but its mass is known
		} else {
			matter = feedstock.Matter{Volume: volume}
		}
		missing = append(missing, feedstock.KeyWater)
	}
	return matter, missing
}

// Own gives the pile's own analyses of properties, the newest of each.
func (p *Pile) Own() []feedstock.Assay {
	var out []feedstock.Assay
	for i := len(p.Tests) - 1; i >= 0; i-- {
		t := p.Tests[i]
		if !property(t.Analyte) {
			continue
		}
		dup := false
		for _, o := range out {
			dup = dup || o.Key == t.Analyte
		}
		if !dup {
			out = append(out, feedstock.Assay{Key: t.Analyte, Value: qty.Estimate{Best: t.Value, Low: t.Value, High: t.Value, Known: "measured"}, Ref: "own", Note: strings.TrimSpace(t.Laboratory + " " + t.Method)})
		}
	}
	return out
}

// property says whether a test is of a property that turns a quantity into matter.
func property(analyte string) bool {
	if analyte == feedstock.KeyVolatile {
		return true
	}
	var m feedstock.Material
	return m.Property(analyte) != nil
}

func (f *folding) assay(e *journal.Entry, b *journal.Assay) {
	t := Test{noted(e), b.Analyte, b.Value, b.Unit, b.Method, b.DetectionLimit, b.Laboratory, b.Basis, b.Reads, b.Sample}
	what, name, _ := strings.Cut(strings.TrimSpace(b.Subject), " ")
	name = strings.TrimSpace(name)
	switch what {
	case "pile":
		if p := f.pile(e, name); p != nil {
			f.assayPile(e, p, t)
		}
	case "batch":
		if bt := f.ownBatch(name); bt != nil {
			bt.Tests = append(bt.Tests, t)
			if t.Analyte == feedstock.KeyWater && t.Value < 1 && t.Value >= 0 {
				bt.Made.Water = bt.Made.Dry.Wet(qty.WaterOfWet(t.Value)).Water(qty.WaterOfWet(t.Value))
			}
			return
		}
		f.raise(e, "batch "+name, "unknown", fmt.Sprintf("A test of %s is of batch %s, and no entry tells how it was mixed.", f.date(e.At), name),
			"Enter the mixing with its day and parts, or strike the test if it was of another batch.")
	case "bin":
		if bin := f.bin(e, name); bin != nil {
			bin.Tests = append(bin.Tests, t)
		}
	case "lot":
		f.lotOf(e, name, func(l *Lot) { l.Tests = append(l.Tests, t) })
	}
}

// assayPile keeps a test of a pile and works out anew what is left in it: the
// volume that is left stays when it came by volume, the mass when by mass.
// Batches that were mixed before keep what was known then.
func (f *folding) assayPile(e *journal.Entry, p *Pile, t Test) {
	p.Tests = append(p.Tests, t)
	if !property(t.Analyte) {
		return
	}
	own := p.Own()
	p.Missing = nil
	for i := range p.Holds {
		h := &p.Holds[i]
		if _, err := h.Material.Override(own...); err != nil {
			f.raise(e, "pile "+p.Name, "test", fmt.Sprintf("The test of pile %s on %s cannot be used: %v", p.Name, f.date(e.At), err), "Strike the test and enter it again on the right basis.")
			p.Tests = p.Tests[:len(p.Tests)-1]
			return
		}
		if t.Analyte == feedstock.KeyWater {
			h.Wetted = 0
		}
		var volume qty.CubicMetre
		var mass qty.WetKg
		if h.ByVolume {
			volume = h.Matter.Volume
		} else {
			mass = h.Matter.Wet() - qty.WetKg(h.Wetted)
		}
		var missing []string
		h.Matter, missing = amount(h.Material, volume, mass, own)
		h.Matter.Water += h.Wetted
		for _, k := range missing {
			p.Missing = once(p.Missing, k)
		}
	}
	found := lain{Noted: noted(e), known: p.Left()}
	if t.Analyte == feedstock.KeyWater && t.Value >= 0 && t.Value < 1 {
		found.water = waterOfWet(t.Value)
	}
	p.past = append(p.past, found)
}

func waterOfWet(v float64) *qty.WaterOfWet {
	w := qty.WaterOfWet(v)
	return &w
}

// weight gives how much an amount counts in a mean: by its mass, or its room
// where that is all that is known.
func weight(m feedstock.Matter) float64 {
	if w := float64(m.Wet()); w > 0 {
		return w
	}
	return float64(m.Volume) * 500
}

// meanTime gives the mean of two times by weight; a zero time counts for nothing.
func meanTime(a time.Time, wa float64, b time.Time, wb float64) time.Time {
	switch {
	case b.IsZero() || wb <= 0 && !a.IsZero():
		return a
	case a.IsZero() || wa <= 0:
		return b
	}
	return a.Add(time.Duration(float64(b.Sub(a)) * wb / (wa + wb))).Truncate(time.Second)
}

func (f *folding) blend(e *journal.Entry, b *journal.Blend) {
	bt := f.ownBatch(b.Batch)
	again := bt != nil && bt.Known
	if bt == nil {
		bt = &Batch{Name: b.Batch, epoch: f.epoch}
		f.batches[b.Batch] = bt
	}
	if again {
		f.raise(e, "batch "+b.Batch, "mixed twice", fmt.Sprintf("Batch %s was mixed on %s and again on %s; both count as one batch.", b.Batch, f.date(bt.At), f.date(e.At)),
			"Give the second batch its own number if it was another mix.")
	} else {
		f.settle("batch "+b.Batch, "unknown")
		bt.Noted, bt.Known = noted(e), true
		bt.Made, bt.Came = feedstock.Matter{}, time.Time{}
	}
	bt.Purpose = said(b.Purpose, bt.Purpose)
	var sum, told feedstock.Matter
	var came time.Time
	first := len(bt.Parts)
	for _, part := range b.Parts {
		m, material := f.take(e, part, b.Batch)
		after := 0
		if p := f.piles[part.Pile]; p != nil {
			after = len(p.Loads)
			came = meanTime(came, weight(told), p.Came, weight(m))
			told = told.Plus(m)
		}
		sum = sum.Plus(m)
		bt.Parts = append(bt.Parts, BatchPart{Pile: part.Pile, Material: material, Matter: m, byMass: part.VolumeM3 == nil, after: after})
	}
	if weight(told) < mostlyTold*weight(sum) {
		came = time.Time{}
	}
	bt.Came = meanTime(bt.Came, weight(bt.Made), came, weight(sum))
	bt.blends = append(bt.blends, blending{Noted: noted(e), first: first, end: len(bt.Parts), water: or(b.WaterKg, 0), moist: b.WaterFracWet, shrink: or(b.ShrinkFrac, 0)})
	sum.Water += or(b.WaterKg, 0)
	bt.Shrink = or(b.ShrinkFrac, 0)
	loose := sum.Volume
	sum.Volume *= qty.CubicMetre(1 - float64(bt.Shrink))
	if w := b.WaterFracWet; w != nil && *w < 1 {
		sum.Water = sum.Dry.Wet(*w).Water(*w)
	}
	for i := first; i < len(bt.Parts); i++ {
		if loose > 0 {
			bt.Parts[i].Share = qty.Fraction(bt.Parts[i].Matter.Volume / loose)
		}
	}
	bt.Made = bt.Made.Plus(sum)
	f.lastBatch = b.Batch
}

// mostlyTold is how much of a batch must be of piles with a delivery on record,
// for its age to be told.
const mostlyTold = 0.5

// take takes a part of a batch from its pile and gives what it is.
func (f *folding) take(e *journal.Entry, part journal.BlendPart, batch string) (feedstock.Matter, string) {
	volume, mass := or(part.VolumeM3, 0), or(part.MassKgWet, 0)
	p := f.pile(e, part.Pile)
	if p == nil {
		material, _ := f.material(part.Pile) // it may be called by what it is
		m, _ := amount(material, volume, mass, nil)
		return m, material.Name
	}
	p.Batches = once(p.Batches, batch)
	return f.takeOf(e, p, volume, mass, batch, ""), p.Material
}

// takeOf takes an amount from a pile, for a batch or for the bed of a bin, and
// gives what it is.
func (f *folding) takeOf(e *journal.Entry, p *Pile, volume qty.CubicMetre, mass qty.WetKg, batch, bin string) feedstock.Matter {
	left := p.Left()
	share := 0.0
	switch {
	case volume > 0 && left.Volume > 0:
		share = float64(volume / left.Volume)
	case volume <= 0 && left.Wet() > 0:
		share = float64(mass / left.Wet())
	default: // nothing lies there any more, so the composition is that of what was delivered
		share = -1
	}
	var m feedstock.Matter
	if share < 0 {
		if len(p.Holds) > 0 {
			m, _ = amount(p.Holds[0].Material, volume, mass, p.Own())
		}
		p.Over += m.Wet()
	} else {
		m = left.Times(share)
		if share > 1 {
			p.Over += m.Times(1 - 1/share).Wet()
		}
		p.past = append(p.past, lain{Noted: noted(e), took: min(share, 1)})
		keep := max(1-share, 0)
		for i := range p.Holds {
			p.Holds[i].Matter = p.Holds[i].Matter.Times(keep)
			p.Holds[i].Wetted *= qty.WaterKg(keep)
		}
	}
	p.Used = p.Used.Plus(m)
	if share < 0 || share > 1+1e-9 {
		over := f.Settings.Units.Mass(float64(p.Over))
		say := fmt.Sprintf("Batch %s took more from pile %s on %s than lay there by the journal; %s more in all.", batch, p.Name, f.date(e.At), over)
		try := "Enter the delivery that is missing, or strike the mixing if an amount is wrong."
		if bin != "" {
			say = fmt.Sprintf("The bed of bin %s took more from pile %s on %s than lay there by the journal; %s more in all.", bin, p.Name, f.date(e.At), over)
			try = "Enter the delivery or the screening that is missing, or strike the bedding if a depth is wrong."
		}
		f.raise(e, "pile "+p.Name, "overdrawn", say, try)
	}
	return m
}

func (f *folding) tend(e *journal.Entry, b *journal.Tend) {
	p := f.pile(e, b.Pile)
	if p == nil {
		return
	}
	p.Tended = append(p.Tended, Tending{noted(e), b.Act, b.WaterKg, b.TempC, b.DepthM})
	if b.WaterKg == nil {
		return
	}
	total := p.Left().Wet()
	for i := range p.Holds {
		h := &p.Holds[i]
		share := 1 / float64(len(p.Holds))
		if total > 0 {
			share = float64(h.Matter.Wet() / total)
		}
		h.Wetted += *b.WaterKg * qty.WaterKg(share)
		h.Matter.Water += *b.WaterKg * qty.WaterKg(share)
	}
}

func (f *folding) hold(e *journal.Entry, b *journal.Hold) {
	if b.Bin != "" {
		if _, bed := f.livingBed(e, b.Bin); bed != nil {
			bed.Rest = &Rest{noted(e), b.Why}
		}
	}
	if b.Pile != "" {
		if p := f.pile(e, b.Pile); p != nil {
			n := noted(e)
			p.Hold, p.HoldWhy = &n, b.Why
		}
	}
	if b.Lot != "" {
		f.lotOf(e, b.Lot, func(l *Lot) { l.Holds = append(l.Holds, Decision{Noted: noted(e), Why: b.Why}) })
	}
}
