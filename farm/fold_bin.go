package farm

import (
	"fmt"
	"slices"
	"strings"

	"wormyard/barn"
	"wormyard/feedstock"
	"wormyard/journal"
	"wormyard/qty"
)

// bin gives a bin to change, or nil with a doubt.
func (f *folding) bin(e *journal.Entry, name string) *Bin {
	b := f.ownBin(name)
	if b == nil {
		f.raise(e, "bin "+name, "unknown", fmt.Sprintf("An entry of %s is about bin %s, and no entry before it tells that it was built.", f.date(e.At), name),
			"Strike the entry if the name is wrong, or enter when the bin was built.")
	}
	return b
}

// livingBed gives the bed of a bin to change, or nil with a doubt.
func (f *folding) livingBed(e *journal.Entry, name string) (*Bin, *Bed) {
	b := f.bin(e, name)
	if b == nil {
		return nil, nil
	}
	bed := f.ownBed(b)
	if bed == nil {
		f.raise(e, "bin "+name, "empty", fmt.Sprintf("An entry of %s (%s) is about bin %s, which was empty then as far as the journal knows.", f.date(e.At), e.Kind, name),
			"Enter when it was bedded, or strike the entry if it was another bin.")
	}
	return b, bed
}

func (f *folding) build(e *journal.Entry, b *journal.Build) {
	for i, name := range b.Bins {
		bin := f.ownBin(name)
		if bin == nil {
			bin = &Bin{Name: name, State: Empty, Built: noted(e), number: len(f.bins), epoch: f.epoch}
			f.bins[name] = bin
			f.settle("bin "+name, "unknown")
		}
		if b.State == "retired" {
			if bed := f.ownBed(bin); bed != nil {
				f.end(e, bin, bed, "retired")
			}
			bin.State = Retired
			continue
		}
		if bin.State == Retired {
			bin.State = Empty
		}
		if b.LengthM != nil {
			bin.Box.Length = *b.LengthM
		}
		if b.WidthM != nil {
			bin.Box.Width = *b.WidthM
		}
		if b.DepthM != nil {
			bin.Box.Depth = *b.DepthM
		}
		bin.Box.Wall = said(b.Wall, bin.Box.Wall)
		bin.Box.Liner = said(b.Liner, bin.Box.Liner)
		bin.Box.Holes = or(b.HolesM2, bin.Box.Holes)
		bin.Cover = said(b.Cover, bin.Cover)
		bin.Box.assume(f.trade.Usual.Box())
		if slot, ok := f.builtAt(e, b, i); ok {
			bin.Slot = slot
			f.stand(slot)
		}
	}
}

func said(now, before string) string {
	if now != "" {
		return now
	}
	return before
}

// assume fills what nobody measured and names it.
func (b *Box) assume(usual Box) {
	b.Assumed = nil
	for _, side := range []struct {
		name string
		mine *qty.Metre
		as   qty.Metre
	}{{"length", &b.Length, usual.Length}, {"width", &b.Width, usual.Width}, {"depth", &b.Depth, usual.Depth}} {
		if *side.mine <= 0 {
			*side.mine = side.as
			b.Assumed = append(b.Assumed, side.name)
		}
	}
}

// builtAt gives the slot of bin i of a building.
func (f *folding) builtAt(e *journal.Entry, b *journal.Build, i int) (barn.Slot, bool) {
	if i < len(b.Slots) {
		slot, err := barn.ParseSlot(b.Slots[i])
		if err != nil {
			f.raise(e, "bin "+b.Bins[i], "place", fmt.Sprintf("The place of bin %s cannot be read: %v.", b.Bins[i], err), "Move the bin to where it stands.")
		}
		return slot, err == nil
	}
	if i > 0 || b.Barn == "" {
		return barn.Slot{}, false
	}
	if b.Row == 0 || b.Stack == 0 {
		return barn.Slot{Spot: b.Barn}, true
	}
	return barn.Slot{Barn: b.Barn, Row: fmt.Sprint(b.Row), Stack: b.Stack, Level: max(b.Level, 1)}, true
}

// stand makes a barn known that a slot names.
func (f *folding) stand(s barn.Slot) {
	if s.Barn != "" && f.barns[s.Barn] == nil {
		f.ownBarn(s.Barn)
	}
}

func (f *folding) bed(e *journal.Entry, b *journal.Bed) {
	ages := b.AgeDays != nil || b.AgeLowDays != nil || b.AgeHighDays != nil || b.LastFeedDays != nil || b.CastingsFrac != nil
	for _, name := range b.Bins {
		bin := f.bin(e, name)
		if bin == nil {
			continue
		}
		if old := f.ownBed(bin); old != nil {
			f.raise(e, "bin "+name, "bedded anew", fmt.Sprintf("Bin %s was bedded on %s, and nothing tells what became of the bed of %s.", name, f.date(e.At), f.date(old.At)),
				"Enter the harvest if there was one.")
			f.end(e, bin, old, "bedded anew")
		}
		start := Start{Depth: b.DepthM, Batch: b.Batch, Material: b.Material, FirstMorning: ages,
			AgeDays: or(b.AgeDays, 0), LastFeedDays: or(b.LastFeedDays, 0), LastFeedDepth: or(b.LastFeedDepthM, 0), Castings: b.CastingsFrac}
		start.AgeLow, start.AgeHigh = or(b.AgeLowDays, start.AgeDays), or(b.AgeHighDays, start.AgeDays)
		start.AgeLow, start.AgeHigh = min(start.AgeLow, start.AgeDays), max(start.AgeHigh, start.AgeDays)
		bed := f.begin(e, bin, start)
		volume := qty.CubicMetre(float64(b.DepthM) * float64(bin.Box.Area()))
		switch {
		case b.Batch != "" && ages: // laid before the journal began, so nothing is taken from the batch
			bed.Start.Matter, bed.Start.Guessed = f.ofBatch(e, b.Batch, volume, 0)
			bed.batches = once(bed.batches, b.Batch)
		case b.Batch != "":
			bed.Start.Matter, bed.Start.Guessed = f.ofBatch(e, b.Batch, volume, 0)
			f.laid(e, b.Batch, bed, bed.Start.Matter)
		case b.Pile != "":
			f.fromPile(e, b, bed, volume)
		case b.Material != "":
			bed.Start.Matter, bed.Start.Guessed = f.ofMaterial(b.Material, volume, 0)
		default:
			bed.Start.Guessed = "Nobody wrote down what the bed is made of."
		}
	}
}

// fromPile lays a bed straight from a pile. What was laid before the journal
// began is taken from none.
func (f *folding) fromPile(e *journal.Entry, b *journal.Bed, bed *Bed, volume qty.CubicMetre) {
	start := &bed.Start
	p := f.pile(e, b.Pile)
	switch {
	case p == nil:
		start.Material = said(b.Material, b.Pile) // it may be called by what it is
		start.Matter, start.Guessed = f.ofMaterial(start.Material, volume, 0)
	case start.FirstMorning:
		start.Material = p.Material
		start.Matter, start.Guessed = f.ofMaterial(p.Material, volume, 0)
	default:
		start.Pile, start.Material, start.after = p.Name, p.Material, len(p.Loads)
		start.Matter = f.takeOf(e, p, volume, 0, "", bed.Bin)
	}
}

// begin puts a bed into an owned bin.
func (f *folding) begin(e *journal.Entry, bin *Bin, start Start) *Bed {
	bin.State = Bedded
	f.settle("bin "+bin.Name, "empty")
	start.Cover = bin.Cover
	f.beds++
	bin.Bed = &Bed{bin: bin.number, number: f.beds, Noted: noted(e), ID: bin.Name + " " + e.At.In(f.Zone()).Format("2006-01-02"), Bin: bin.Name, Start: start, epoch: f.epoch}
	return bin.Bed
}

// implied begins a bed in a bin that was fed or stocked though nobody wrote
// that it was bedded.
func (f *folding) implied(e *journal.Entry, bin *Bin, what string) *Bed {
	f.raise(e, "bin "+bin.Name, "never bedded", fmt.Sprintf("Bin %s was %s on %s, and no entry tells that it was bedded.", bin.Name, what, f.date(e.At)),
		"Enter the bedding with its day, or strike the entry if it was another bin.")
	return f.begin(e, bin, Start{Guessed: "Nobody wrote down the bedding; it is taken to be as old as the first entry about it."})
}

// end makes the bed a past one and empties the bin.
func (f *folding) end(e *journal.Entry, bin *Bin, bed *Bed, how string) *PastBed {
	laid, water := bed.laid()
	bin.Past = append(bin.Past, PastBed{ID: bed.ID, Since: bed.At, Until: e.At, Feedings: bed.Feedings, Fed: bed.Fed,
		Harvested: bed.Taken, Batches: bed.batches, Lots: bed.lots, Laid: laid, Watered: water, How: how})
	bin.Bed, bin.State = nil, Empty
	return &bin.Past[len(bin.Past)-1]
}

func (f *folding) stock(e *journal.Entry, b *journal.Stock) {
	put := Stock{or(b.KgLow, b.Kg), b.Kg, or(b.KgHigh, b.Kg)}
	if b.KgLow == nil && b.KgHigh == nil && f.trade.Usual.StockTypedRange > 1 {
		r := qty.LiveKg(f.trade.Usual.StockTypedRange)
		put.Low, put.High = b.Kg/r, b.Kg*r
	}
	act := &Act{Noted: noted(e), Kind: ActStock, Stock: put, What: b.FromBin, Bought: b.Bought}
	for _, name := range b.Bins {
		f.stockOne(e, name, act)
	}
	if b.FromBin == "" {
		return
	}
	if bin, bed := f.livingBed(e, b.FromBin); bed != nil {
		n := qty.LiveKg(len(b.Bins))
		out := Stock{-put.High * n, -put.Best * n, -put.Low * n}
		bed.Acts = append(bed.Acts, &Act{Noted: noted(e), Kind: ActStock, Stock: out, What: "split to others"})
		bed.Stock = bed.Stock.plus(out)
		_ = bin
	}
}

func (f *folding) stockOne(e *journal.Entry, name string, act *Act) {
	bin := f.bin(e, name)
	if bin == nil {
		return
	}
	bed := f.ownBed(bin)
	if bed == nil {
		bed = f.implied(e, bin, "stocked")
	}
	bed.Acts = append(bed.Acts, act)
	bed.Stock = bed.Stock.plus(act.Stock)
}

// wormsSold takes worms that were sold out of their bins, as much from each.
func (f *folding) wormsSold(e *journal.Entry, b *journal.WormsSold) {
	f.worms = append(f.worms, WormSale{noted(e), b.Bins, b.Customer, b.What, b.Order, b.Kg, or(b.Number, 0), or(b.Price, 0), or(b.Line, 0), b.Delivery})
	each := b.Kg / qty.LiveKg(max(len(b.Bins), 1))
	for _, name := range b.Bins {
		if _, bed := f.livingBed(e, name); bed != nil {
			out := Stock{-each, -each, -each}
			bed.Acts = append(bed.Acts, &Act{Noted: noted(e), Kind: ActStock, Stock: out, What: "sold"})
			bed.Stock = bed.Stock.plus(out)
		}
	}
}

func (s Stock) plus(o Stock) Stock {
	return Stock{max(s.Low+o.Low, 0), max(s.Best+o.Best, 0), max(s.High+o.High, 0)}
}

func (f *folding) feed(e *journal.Entry, b *journal.Feed) {
	var act *Act // shared by bins of one area
	var area qty.SquareMetre
	for _, name := range b.Bins {
		bin := f.bin(e, name)
		if bin == nil {
			continue
		}
		bed := f.ownBed(bin)
		if bed == nil {
			if bin.State == Retired {
				f.raise(e, "bin "+name, "retired", fmt.Sprintf("Bin %s was fed on %s, and it was retired before.", name, f.date(e.At)), "Strike the feeding if it was another bin, or enter that the bin was repaired.")
				continue
			}
			bed = f.implied(e, bin, "fed")
		}
		if act == nil || (b.DepthM != nil && bin.Box.Area() != area) {
			area = bin.Box.Area()
			act = &Act{Noted: noted(e), Kind: ActFeed, Batch: b.Batch, Side: b.Side, Layer: layer(e.ID)}
			covers := 1.0
			if b.Side == "left" || b.Side == "right" {
				covers = 0.5
			}
			if b.DepthM != nil {
				act.Depth = *b.DepthM
				act.Matter, act.Guessed = f.ofBatch(e, b.Batch, qty.CubicMetre(float64(act.Depth)*float64(area)*covers), 0)
			} else {
				act.ByMass = true
				act.Matter, act.Guessed = f.ofBatch(e, b.Batch, 0, or(b.MassKgWet, 0))
				if area > 0 {
					act.Depth = qty.Metre(float64(act.Matter.Volume) / (float64(area) * covers))
				}
			}
		}
		act.Age = f.ageOf(e, b.Batch)
		bed.Acts = append(bed.Acts, act)
		bed.Fed = bed.Fed.Plus(act.Matter)
		bed.Feedings++
		bed.LastFeed, bed.Rest = act, nil
		f.laid(e, b.Batch, bed, act.Matter)
	}
}

// ageOf gives how long what a batch was mixed from has lain, nil where nobody
// wrote down when it came.
func (f *folding) ageOf(e *journal.Entry, batch string) *qty.Days {
	b := f.batches[batch]
	if b == nil || b.Came.IsZero() || b.Came.After(e.At) {
		return nil
	}
	age := qty.Days(e.At.Sub(b.Came).Hours() / 24)
	return &age
}

// plain lays one act of a kind on the beds of many bins.
func (f *folding) plain(e *journal.Entry, bins []string, act Act) {
	act.Noted = noted(e)
	shared := &act
	for _, name := range bins {
		if _, bed := f.livingBed(e, name); bed != nil {
			bed.Acts = append(bed.Acts, shared)
		}
	}
}

func (f *folding) water(e *journal.Entry, b *journal.Water) {
	f.plain(e, b.Bins, Act{Kind: ActWater, Water: b.Kg})
}

// fromTop is the side of a taking that took what lay on top.
const fromTop = "top"

func (f *folding) turn(e *journal.Entry, b *journal.Turn) {
	if off := or(b.TakenOffM, 0); off > 0 {
		f.plain(e, b.Bins, Act{Kind: ActTake, Depth: off, Side: fromTop, What: b.What})
		return
	}
	f.plain(e, b.Bins, Act{Kind: ActTurn, What: b.What})
}

func (f *folding) cover(e *journal.Entry, b *journal.Cover) {
	act := &Act{Noted: noted(e), Kind: ActCover, Cover: b.Cover}
	for _, name := range b.Bins {
		bin := f.bin(e, name)
		if bin == nil {
			continue
		}
		bin.Cover = b.Cover
		if bed := f.ownBed(bin); bed != nil {
			bed.Acts = append(bed.Acts, act)
		}
	}
}

func (f *folding) heat(e *journal.Entry, b *journal.Heat) {
	on := or(b.On, true)
	if b.Barn != "" {
		h := f.ownBarn(b.Barn)
		h.Heat = append(h.Heat, HeatAct{noted(e), or(b.Watts, 0), b.SetC, on})
	}
	act := Act{Kind: ActHeat, Watts: or(b.Watts, 0), SetC: b.SetC, On: on}
	if !on {
		act.Watts = 0
	}
	f.plain(e, b.Bins, act)
}

func (f *folding) reading(e *journal.Entry, b *journal.Reading) {
	r := &Reading{Noted: noted(e), Temp: b.TempC, Water: b.WaterFracWet, Oxygen: b.OxygenFrac, Ammonia: b.AmmoniaPPM, Salts: b.ECDSM, PH: b.PH,
		Depth: b.DepthM, Probe: b.Probe, ProbeID: b.ProbeID, Sure: slices.Contains(e.Confirmed, "temp_c"), Dated: slices.Contains(e.Confirmed, "at")}
	if b.Barn != "" {
		h := f.ownBarn(b.Barn)
		h.Readings = append(h.Readings, r)
	}
	if b.Bin == "" {
		return
	}
	if _, bed := f.livingBed(e, b.Bin); bed != nil {
		bed.Readings = append(bed.Readings, r)
	}
}

func (f *folding) look(e *journal.Entry, b *journal.Look) {
	l := &Look{noted(e), b.Squeeze, b.FeedLeft, b.Worms, b.Where, b.Colour, b.Crumb, b.Chips, b.Smell}
	for _, name := range b.Bins {
		if _, bed := f.livingBed(e, name); bed != nil {
			bed.Looks = append(bed.Looks, l)
		}
	}
}

func (f *folding) depth(e *journal.Entry, b *journal.Depth) {
	d := &Depth{noted(e), b.DepthM}
	for _, name := range b.Bins {
		if _, bed := f.livingBed(e, name); bed != nil {
			bed.Depths = append(bed.Depths, d)
		}
	}
}

func (f *folding) weigh(e *journal.Entry, b *journal.Weigh) {
	if _, bed := f.livingBed(e, b.Bin); bed != nil {
		bed.Weighs = append(bed.Weighs, Weigh{noted(e), b.MassKg})
	}
}

func (f *folding) count(e *journal.Entry, b *journal.Count) {
	if _, bed := f.livingBed(e, b.Bin); bed != nil {
		bed.Counts = append(bed.Counts, Count{noted(e), b.AreaM2, b.MassKgWet, b.DepthM, b.Adults, b.Juveniles, b.Cocoons, b.WormsKg})
	}
}

func (f *folding) move(e *journal.Entry, b *journal.Move) {
	bin := f.bin(e, b.Bin)
	if bin == nil {
		return
	}
	to, err := barn.ParseSlot(b.To)
	if err != nil {
		f.raise(e, "bin "+b.Bin, "place", fmt.Sprintf("Where bin %s was moved on %s cannot be read: %v.", b.Bin, f.date(e.At), err), "Strike the move and enter it again.")
		return
	}
	if b.From != "" {
		if from, err := barn.ParseSlot(b.From); err == nil && bin.Slot.Known() && from != bin.Slot {
			f.raise(e, "bin "+b.Bin, "moved from", fmt.Sprintf("Bin %s was moved from %s on %s, and the journal had it in %s.", b.Bin, from, f.date(e.At), bin.Slot),
				"A move before it may not be written down; nothing needs doing if it stands right now.")
		}
	}
	bin.Slot, bin.Moved = to, noted(e)
	f.stand(to)
	if bed := f.ownBed(bin); bed != nil {
		bed.Acts = append(bed.Acts, &Act{Noted: noted(e), Kind: ActMove, What: to.String()})
	}
}

func (f *folding) sighting(e *journal.Entry, b *journal.Sighting) {
	s := Sighting{Noted: noted(e), What: b.What, Signs: b.Signs, Severity: b.Severity, Of: b.Place}
	if s.What == "" {
		s.What = strings.Join(b.Signs, ", ")
	}
	if b.Bin != "" {
		if bin := f.bin(e, b.Bin); bin != nil {
			s.Of = "bin " + b.Bin
			bin.Sightings = append(bin.Sightings, s)
		}
	}
	if b.Pile != "" {
		if p := f.pile(e, b.Pile); p != nil {
			s.Of = "pile " + b.Pile
			p.Seen = append(p.Seen, s)
		}
	}
	if b.Place != "" {
		s.Of = b.Place
		f.seen = append(f.seen, s)
	}
}

func (f *folding) harvest(e *journal.Entry, b *journal.Harvest) {
	n := len(b.Bins)
	if n == 0 {
		return
	}
	if b.MassKgWet != nil && b.VolumeM3 != nil && *b.MassKgWet > 0 && *b.VolumeM3 > 0 {
		f.castingsKg, f.castingsM3 = f.castingsKg+*b.MassKgWet, f.castingsM3+*b.VolumeM3
	}
	mass, volume := or(b.MassKgWet, 0)/qty.WetKg(n), or(b.VolumeM3, 0)/qty.CubicMetre(n)
	worms := or(b.WormsKg, 0) / qty.LiveKg(n)
	act := &Act{Noted: noted(e), Kind: ActTake, Mass: mass, Volume: volume, Side: b.How, What: b.Lot}
	for _, name := range b.Bins {
		bin, bed := f.livingBed(e, name)
		if bed == nil {
			continue
		}
		if b.Lot != "" {
			bed.lots = once(slices.Clip(bed.lots), b.Lot)
			laid, _ := bed.laid()
			f.lotMade(e, b.Lot, LotSource{Noted: noted(e), Bin: name, Bed: bed.ID, Mass: mass, Volume: volume, Laid: laid})
		}
		bed.Taken += mass
		if b.EndsBed {
			past := f.end(e, bin, bed, said(b.How, "harvested"))
			past.HarvestedM3, past.Worms = volume, worms
			continue
		}
		bed.Acts = append(bed.Acts, act)
		if worms > 0 {
			out := Stock{-worms, -worms, -worms}
			bed.Acts = append(bed.Acts, &Act{Noted: noted(e), Kind: ActStock, Stock: out, What: "taken with the castings"})
			bed.Stock = bed.Stock.plus(out)
		}
	}
	for _, w := range b.WormsTo {
		f.stockOne(e, w.Bin, &Act{Noted: noted(e), Kind: ActStock, Stock: Stock{w.Kg, w.Kg, w.Kg}, What: "returned at a harvest"})
	}
}

// zero says whether nothing is known of an amount.
func zero(m feedstock.Matter) bool { return m == feedstock.Matter{} }
