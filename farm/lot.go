package farm

import (
	"slices"

	"wormyard/qty"
)

// LotState is how far a lot has come.
type LotState string

// The states of a lot, in the order of its life.
const (
	LotRaw      LotState = "raw"      // harvested
	LotScreened LotState = "screened" // been through the decks
	LotCuring   LotState = "curing"
	LotHeld     LotState = "held"
	LotReleased LotState = "released"
	LotSold     LotState = "sold" // as good as nothing is left
)

// LotStates lists the states in the order of a lot's life.
func LotStates() []LotState {
	return []LotState{LotRaw, LotScreened, LotCuring, LotHeld, LotReleased, LotSold}
}

// Held says whether a lot is on hold now.
func (l *Lot) Held() bool {
	return holds(newest(l.Holds), newest(l.Releases))
}

// holds says whether the newest hold stands against the newest release.
func holds(hold, release *Decision) bool {
	return hold != nil && (release == nil || release.At.Before(hold.At))
}

func newest(all []Decision) *Decision {
	if len(all) == 0 {
		return nil
	}
	return &all[len(all)-1]
}

// Bagged gives how many bags were filled from a lot.
func (l *Lot) Bagged() (n int) {
	for _, b := range l.Bags {
		n += b.Number
	}
	return n
}

// BagsSold gives how many bags of a lot were sold.
func (l *Lot) BagsSold() (n int) {
	for _, s := range l.Sales {
		n += s.Bags
	}
	return n
}

// LotAmounts is what went into a lot and out of it, bags counted once: when they
// are filled. All are wet masses [kg].
type LotAmounts struct {
	In, Overs, Bagged, Bulk, Given qty.WetKg
	Kept                           qty.WetKg      // in samples that were weighed
	Sure                           bool           // every mass of what went in and out is known
	Guessed                        bool           // a volume was made a mass by the density
	Density                        qty.KgPerM3Wet // of the lot
	Measured                       bool           // the farm measured it; else it is what is usual
}

// Taken gives all that came out [kg wet].
func (a LotAmounts) Taken() qty.WetKg { return a.Overs + a.Bagged + a.Bulk + a.Given + a.Kept }

// Left gives what lies there still if nothing was lost [kg wet].
func (a LotAmounts) Left() qty.WetKg { return max(a.In-a.Taken(), 0) }

// overtaken is how far above what went into a lot may come out of it before it is
// asked about: scales are good to a few in a hundred, castings dry and are wetted,
// and where a volume had to be made a mass the density may be off by a third
// (farm.json, castings_density_kg_m3). Common practice, no source.
const (
	overtaken        = 0.1
	overtakenGuessed = 0.35
)

// TooMuch says whether more was taken than went in, were so much more taken.
func (a LotAmounts) TooMuch(more qty.WetKg) bool {
	may := 1 + overtaken
	if a.Guessed {
		may = 1 + overtakenGuessed
	}
	return float64(a.Taken()+more) > float64(a.In)*may
}

// Amounts gives what went into a lot and out of it.
func (s *State) Amounts(l *Lot) LotAmounts {
	a := LotAmounts{Sure: true}
	a.Density, a.Measured = s.CastingsDensity(l)
	add := func(to *qty.WetKg, mass qty.WetKg, volume qty.CubicMetre) {
		m, known, guessed := weigh(a.Density, mass, volume)
		*to += m
		a.Sure, a.Guessed = a.Sure && known, a.Guessed || guessed
	}
	for _, x := range l.From {
		add(&a.In, x.Mass, x.Volume)
	}
	for _, x := range l.Joined {
		add(&a.In, x.Mass, x.Volume)
	}
	for _, x := range l.Given {
		add(&a.Given, x.Mass, x.Volume)
	}
	for _, x := range l.Screens {
		over, _ := x.over()
		a.Overs += over
	}
	for _, x := range l.Bags {
		add(&a.Bagged, 0, x.Size*qty.CubicMetre(x.Number))
	}
	for _, x := range l.Samples {
		a.Kept += x.Mass
	}
	for _, x := range l.Sales {
		if x.Bags == 0 {
			add(&a.Bulk, x.Mass, x.Volume)
		}
	}
	return a
}

// over gives what the decks of a screening kept back, and whether anybody weighed it.
func (s Screening) over() (kg qty.WetKg, known bool) {
	for _, d := range s.Decks {
		if d.Over != nil {
			kg, known = kg+*d.Over, true
		}
	}
	return kg, known
}

// weigh gives the mass of an amount, by its volume where nobody weighed it.
func weigh(d qty.KgPerM3Wet, mass qty.WetKg, volume qty.CubicMetre) (kg qty.WetKg, known, guessed bool) {
	switch {
	case mass > 0:
		return mass, true, false
	case volume > 0 && d > 0:
		return qty.WetKg(float64(volume) * float64(d)), true, true
	}
	return 0, false, false
}

// CastingsDensity gives the wet density of a lot and whether it was measured: that
// of its own harvests whose mass and volume were both written, else that of all
// harvests of the farm, else what is usual. docs/model.md (G4).
func (s *State) CastingsDensity(l *Lot) (d qty.KgPerM3Wet, measured bool) {
	if d := measuredDensity(l); d > 0 {
		return d, true
	}
	if s.castingsM3 > 0 {
		return qty.KgPerM3Wet(float64(s.castingsKg) / float64(s.castingsM3)), true
	}
	return qty.KgPerM3Wet(s.usual.CastingsDensity.Best), false
}

// DensityRange gives the wet density of a lot with how far it may be off: what the farm
// measured stands as it is, what is usual has its range. docs/model.md (G4).
func (s *State) DensityRange(l *Lot) qty.Estimate {
	if d, measured := s.CastingsDensity(l); measured {
		return qty.Exactly(float64(d))
	}
	return s.usual.CastingsDensity
}

func measuredDensity(l *Lot) qty.KgPerM3Wet {
	var kg, m3 float64
	for _, x := range l.From {
		if x.Mass > 0 && x.Volume > 0 {
			kg, m3 = kg+float64(x.Mass), m3+float64(x.Volume)
		}
	}
	if m3 <= 0 {
		return 0
	}
	return qty.KgPerM3Wet(kg / m3)
}

// spent is the part of a lot below which it counts as sold. Common practice, no source.
const spent = 0.05

// Standing gives how far a lot has come.
func (s *State) Standing(l *Lot) LotState {
	a := s.Amounts(l)
	switch {
	case a.Sure && a.In > 0 && len(l.Sales) == 0 && l.Bagged() == 0 && a.Given > 0 && float64(a.Left()) < spent*float64(a.In):
		return LotSold // all of it went into other lots, held or not
	case l.Held():
		return LotHeld
	case a.Sure && a.In > 0 && len(l.Sales) > 0 && l.BagsSold() >= l.Bagged() && float64(a.Left()) < spent*float64(a.In):
		return LotSold
	case len(l.Releases) > 0:
		return LotReleased
	case len(l.Cures) > 0:
		return LotCuring
	case len(l.Screens) > 0:
		return LotScreened
	}
	return LotRaw
}

// DoubtsOf gives what does not fit in the journal about one thing ("lot 25-03").
func (s *State) DoubtsOf(about string) []Doubt {
	return slices.DeleteFunc(s.Doubts(), func(d Doubt) bool { return d.About != about })
}

// laid gives what was laid in a bed so far, summed by batch in order of first
// use, and the water given.
func (b *Bed) laid() ([]Laid, qty.WaterKg) {
	out := []Laid{{Batch: b.Start.Batch, Pile: b.Start.Pile, Material: b.Start.Material, Mass: b.Start.Matter.Wet(), Known: b.Start.Matter.Wet() > 0, after: b.Start.after}}
	if b.Start.Batch != "" {
		out[0].Material = ""
	}
	if b.Start == (Start{}) {
		out = out[:0]
	}
	var water qty.WaterKg
	for _, a := range b.Acts {
		switch a.Kind {
		case ActWater:
			water += a.Water
		case ActFeed:
			i := len(out) - 1 // most feedings are of the batch before, or of one not far back
			for i >= 0 && (out[i].Batch != a.Batch || out[i].Material != "" || a.Batch == "") {
				i--
			}
			if i < 0 {
				i = len(out)
				out = append(out, Laid{Batch: a.Batch, Known: true})
			}
			out[i].Mass += a.Matter.Wet()
			out[i].Known = out[i].Known && a.Matter.Wet() > 0
		}
	}
	return out, water
}
