package journal

import (
	"fmt"
	"slices"
	"strings"

	"wormyard/qty"
)

// kindRules are what the fields of one kind say to one another.
func (c *checker) kindRules(m map[string]any) {
	switch b := c.e.Body.(type) {
	case *Assay:
		c.assay(b)
	case *Blend:
		seen := map[string]bool{}
		for i, p := range b.Parts {
			at := fmt.Sprintf("parts[%d].", i)
			if (p.VolumeM3 == nil) == (p.MassKgWet == nil) {
				c.refuse(at+"volume_m3", fmt.Sprintf("Part %d of the batch, %s, needs a volume or a mass, and only one of them.", i+1, p.Pile), "Say how much of it went in.")
			}
			if seen[p.Pile] {
				c.doubt(at+"pile", fmt.Sprintf("Pile %s is in the batch twice.", p.Pile), "")
			}
			seen[p.Pile] = true
		}
	case *Build:
		slot := b.Row != 0 || b.Stack != 0 || b.Level != 0
		if slot && len(b.Slots) > 0 {
			c.refuse("slots", "The place is given twice, as row, stack and level and as slots.", "Keep one of them.")
		}
		if slot && (b.Row == 0 || b.Stack == 0 || b.Level == 0) {
			c.refuse("row", "Row, stack and level belong together.", "Fill in all three, or none.")
		}
		if slot && len(b.Bins) > 1 {
			c.refuse("row", fmt.Sprintf("%d bins cannot stand in one place.", len(b.Bins)), "Give a slot for each bin under slots.")
		}
		if n := len(b.Slots); n > 0 && n != len(b.Bins) {
			c.refuse("slots", fmt.Sprintf("There are %d bins and %d slots.", len(b.Bins), n), "Give one slot for each bin, in the same order.")
		}
		for i, s := range b.Slots {
			if !IsSlot(s) {
				c.refuse(fmt.Sprintf("slots[%d]", i), fmt.Sprintf("%q is not a slot.", s), "Write it as BARN/ROW/STACK/LEVEL, such as West/3/4/1.")
			}
		}
	case *Bed:
		c.ordered("age_low_days", "age_days", "age_high_days", b.AgeLowDays, b.AgeDays, b.AgeHighDays, "age of the bed")
		if b.AgeDays != nil && b.LastFeedDays != nil && *b.LastFeedDays > *b.AgeDays && (b.AgeHighDays == nil || *b.LastFeedDays > *b.AgeHighDays) {
			c.refuse("last_feed_days", fmt.Sprintf("The bed is %s days old and was fed %s days ago.", plain(float64(*b.AgeDays)), plain(float64(*b.LastFeedDays))), "Make the age larger or the last feeding later.")
		}
		if b.Pile != "" && b.Batch != "" {
			c.refuse("pile", fmt.Sprintf("The bed is of batch %s and straight from pile %s.", b.Batch, b.Pile), "Keep one of the two. Overs that were mixed into a batch are told with that batch.")
		}
	case *Screen:
		c.overs(b)
	case *Stock:
		c.ordered("kg_low", "kg", "kg_high", b.KgLow, &b.Kg, b.KgHigh, "mass of the worms")
		if b.FromBin != "" && slices.Contains(b.Bins, b.FromBin) {
			c.refuse("from_bin", fmt.Sprintf("The worms come from bin %s and go into bin %s.", b.FromBin, b.FromBin), "Name another bin.")
		}
		if b.FromBin != "" && b.Bought {
			c.refuse("bought", "The worms come from a bin and are bought.", "Keep one of the two.")
		}
	case *Site:
		if b.LowC != nil && b.HighC != nil && *b.LowC > *b.HighC {
			f, _ := c.kind.Field("low_c")
			c.refuse("low_c", fmt.Sprintf("The low is %s and the high is %s.", f.Show(float64(*b.LowC), c.known.Units), f.Show(float64(*b.HighC), c.known.Units)), "Swap them if they were typed the wrong way round.")
		}
		if barn, ok := strings.CutPrefix(b.Place, "barn "); b.Place != "outside" && (!ok || strings.TrimSpace(barn) == "") {
			c.refuse("place", fmt.Sprintf("The place is %q.", b.Place), `Say "outside", or "barn" and its name.`)
		}
	case *Move:
		if b.From != "" && b.From == b.To {
			c.refuse("to", fmt.Sprintf("Bin %s moves from %s to the same place.", b.Bin, b.From), "Say where it went.")
		}
		if strings.Contains(b.To, "/") && !IsSlot(b.To) {
			c.refuse("to", fmt.Sprintf("%q is not a slot.", b.To), "Write it as BARN/ROW/STACK/LEVEL, such as West/3/4/1, or give the name of a staging spot.")
		}
	case *Trial:
		if len(b.Sides) < 2 {
			c.refuse("sides", "A trial needs two sides or more.", "Name the bins of each side.")
		}
		seen := map[string]bool{}
		for _, side := range b.Sides {
			for _, name := range side {
				if seen[name] {
					c.refuse("sides", fmt.Sprintf("Bin %s is named more than once.", name), "Put each bin on one side.")
				}
				seen[name] = true
			}
		}
	case *Harvest:
		var back qty.LiveKg
		for _, w := range b.WormsTo {
			back += w.Kg
		}
		if b.WormsKg != nil && back > *b.WormsKg*1.001 {
			c.doubt("worms_to", fmt.Sprintf("%s of worms go back to bins, and %s were got out.", c.known.Units.Mass(float64(back)), c.known.Units.Mass(float64(*b.WormsKg))), "")
		}
	case *Join:
		seen := map[string]bool{}
		for i, p := range b.Parts {
			at := fmt.Sprintf("parts[%d].", i)
			if p.Lot == b.Lot {
				c.refuse(at+"lot", fmt.Sprintf("Lot %s would be made of itself.", b.Lot), "Give the new lot a name of its own, or leave that part out: what is not taken stays in its lot.")
			}
			if p.VolumeM3 != nil && p.MassKgWet != nil {
				c.refuse(at+"volume_m3", fmt.Sprintf("It is said twice how much of lot %s went in.", p.Lot), "Keep the volume or the mass.")
			}
			if seen[p.Lot] {
				c.doubt(at+"lot", fmt.Sprintf("Lot %s is named twice.", p.Lot), "")
			}
			seen[p.Lot] = true
		}
		if len(b.Parts) == 0 {
			c.refuse("parts", "It is not said which lots were put together.", "Name the lots.")
		}
	case *Order:
		c.orderLines(b)
	case *TruckCheck:
		if b.Fit && len(b.Wrong) > 0 {
			c.doubt("fit", fmt.Sprintf("Something on truck %s is not as it should be (%s), and the truck may be used.", b.Truck, andList(b.Wrong)), "A truck that is unsafe in any way stays out of service until it is mended.")
		}
		if !b.Fit && len(b.Wrong) == 0 && b.Note == "" {
			c.doubt("wrong", fmt.Sprintf("Truck %s may not be used, and nothing says why.", b.Truck), "Tick what is wrong, or write it in the note.")
		}
	case *Microscope:
		if n := len(b.CoverMM); n != 0 && n != 2 {
			c.refuse("cover_mm", fmt.Sprintf("The cover glass has %d measures.", n), "Give its width and its height, such as [22,22].")
		}
	case *Duty:
		if (b.Every == nil) != (b.Period == "") {
			c.refuse("period", fmt.Sprintf("It is said only in part how often %s is due again.", b.Duty), "Give both, as in 12 and months, or leave both empty if it is due once.")
		}
	case *DutyDone:
		if b.Over && b.Next != "" {
			c.refuse("next", fmt.Sprintf("%s is due next on %s, and it is not due again.", b.Duty, b.Next), "Keep one of the two.")
		}
	case *Strike:
		if c.e.Strikes == "" {
			c.refuse("strikes", "It is not said which entry is struck.", "Give its id, as the journal shows it.")
		}
	}
}

// overs asks for the weight of overs that go onto a pile.
func (c *checker) overs(b *Screen) {
	if b.OversPile == "" {
		return
	}
	for _, d := range b.Decks {
		if d.OverKg != nil {
			return
		}
	}
	c.doubt("overs_pile", fmt.Sprintf("The overs of lot %s went onto pile %s, and nothing says how much they were.", b.Lot, b.OversPile),
		"Fill in what the deck kept back. Say yes if nobody weighed it: then the pile is there and its amount is not known.")
}

func (c *checker) ordered(lowKey, key, highKey string, low, mid, high any, what string) {
	l, hasLow := plainNumber(low)
	m, hasMid := plainNumber(mid)
	h, hasHigh := plainNumber(high)
	f, _ := c.kind.Field(key)
	switch {
	case hasLow && hasMid && l > m:
		c.refuse(lowKey, fmt.Sprintf("The least %s, %s, is more than the middle one, %s.", what, f.Show(l, c.known.Units), f.Show(m, c.known.Units)), "Type them from low to high.")
	case hasMid && hasHigh && m > h:
		c.refuse(highKey, fmt.Sprintf("The greatest %s, %s, is less than the middle one, %s.", what, f.Show(h, c.known.Units), f.Show(m, c.known.Units)), "Type them from low to high.")
	case hasLow && hasHigh && l > h:
		c.refuse(highKey, fmt.Sprintf("The greatest %s, %s, is less than the least, %s.", what, f.Show(h, c.known.Units), f.Show(l, c.known.Units)), "Type them from low to high.")
	}
}

func plainNumber(v any) (float64, bool) {
	switch p := v.(type) {
	case *qty.Days:
		if p != nil {
			return float64(*p), true
		}
	case *qty.LiveKg:
		if p != nil {
			return float64(*p), true
		}
	}
	return 0, false
}

func (c *checker) assay(b *Assay) {
	what, name, ok := strings.Cut(b.Subject, " ")
	if !ok || !slices.Contains([]string{"pile", "batch", "bin", "lot"}, what) || strings.TrimSpace(name) == "" {
		c.refuse("subject", fmt.Sprintf("What was tested is %q.", b.Subject), `Say "pile", "batch", "bin" or "lot" and its name.`)
	}
	f, known := analyteField(b.Analyte)
	if known {
		f.Label += " of " + b.Subject
		c.number(f, b.Value, "value")
		return
	}
	if b.Value < 0 && !strings.HasSuffix(b.Analyte, "_c") {
		c.refuse("value", fmt.Sprintf("%s of %s is %s. It cannot be less than 0.", b.Analyte, b.Subject, plain(b.Value)), "Type it without the minus sign if that was a slip.")
	}
	if strings.Contains(b.Analyte, "_frac_") && b.Value > 1 {
		c.refuse("value", fmt.Sprintf("%s of %s is %s. A part of the whole is between 0 and 1.", b.Analyte, b.Subject, plain(b.Value)), "Divide by 100 if it was in per cent.")
	}
	if _, _, ok := EndingOf(b.Analyte); !ok {
		try := "Look for it under another name, such as moisture, nitrogen, salts or fecal coliform. If this is another test, say yes: no rule asks for it."
		if near := Nearest(b.Analyte, Analytes()); len(near) > 0 {
			try = "Did you mean " + orList(near) + "? If this is another test, say yes."
		}
		c.doubt("analyte", fmt.Sprintf("%q is not a test we know.", strings.ReplaceAll(b.Analyte, "_", " ")), try)
	}
}

// orderLines holds each product of an order to one amount.
func (c *checker) orderLines(b *Order) {
	if len(b.Lines) == 0 {
		return
	}
	if b.Number != nil || b.VolumeM3 != nil || b.MassKg != nil || b.Price != nil {
		c.refuse("lines", "An order of several products has its amounts and prices with each product.", "Take away how much is wanted and the price beside them.")
	}
	for i, p := range b.Lines {
		n := 0
		for _, given := range []bool{p.Number != nil, p.VolumeM3 != nil, p.MassKg != nil} {
			if given {
				n++
			}
		}
		if n > 1 {
			c.refuse(fmt.Sprintf("lines[%d].number", i), fmt.Sprintf("It is said more than once how much %s is wanted.", p.What), "Keep the number, the volume or the mass.")
		}
	}
}
