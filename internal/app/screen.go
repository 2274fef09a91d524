package app

import (
	"slices"

	"wormyard/farm"
	"wormyard/harvest"
	"wormyard/internal/source"
	"wormyard/qty"
)

// Screens reckons with decks by the numbers of harvest.
type Screens struct{ par harvest.Parameters }

// NewScreens loads the numbers.
func NewScreens() (*Screens, error) {
	var s Screens
	return &s, source.Load("harvest", &s.par)
}

// ScreenAsked is a deck that somebody thinks of for a lot.
type ScreenAsked struct {
	Opening float64        // [mm]
	Water   qty.WaterOfWet // of what is screened
	Rate    float64        // of the usual
	Drum    bool
	Chips   float64 // part of the heap, 0 for what is usual
}

// ScreenAnswer is what a deck is likely to do with a lot. Masses are wet [kg], of
// the heap that lies there now.
type ScreenAnswer struct {
	Heap                                   qty.WetKg
	Sure                                   bool // the mass of the heap is known
	Asked                                  ScreenAsked
	Cut                                    harvest.Cut
	Sticks                                 bool // wetter than a deck likes
	Dusty                                  bool
	Fine                                   bool    // under the opening at which fungal threads break
	Own                                    int     // screenings of the farm that the cut was learned from
	Dry                                    float64 // moisture to dry to first [kg/kg wet]
	Balls                                  float64
	Hold                                   float64 // days to hold the fines for their cocoons
	HoldC                                  float64
	Beside                                 []ScreenBeside // other openings
	Through, ThroughLow, ThroughHigh, Over qty.WetKg
}

// ScreenBeside is another opening for the same heap.
type ScreenBeside struct {
	Opening float64
	Cut     harvest.Cut
}

// usualOpenings are the decks that are set side by side [mm]: an eighth, a quarter,
// three eighths and half an inch.
var usualOpenings = []float64{25.4 / 8, 25.4 / 4, 25.4 * 3 / 8, 25.4 / 2}

// weighings gives the screenings of a farm of which both sides of the first deck
// were weighed: what comes to a second deck is no whole heap any more.
func weighings(s *farm.State) (out []harvest.Weighing) {
	for _, l := range s.Lots() {
		for _, x := range l.Screens {
			if len(x.Decks) == 0 || x.Water == nil {
				continue
			}
			coarsest := slices.MaxFunc(x.Decks, func(a, b farm.Deck) int {
				if a.OpeningMM < b.OpeningMM {
					return -1
				}
				return 1
			})
			if coarsest.Through == nil || coarsest.Over == nil {
				continue
			}
			out = append(out, harvest.Weighing{Opening: coarsest.OpeningMM, Water: *x.Water, Drum: coarsest.Drum, Rate: coarsest.Rate, Through: float64(*coarsest.Through), Over: float64(*coarsest.Over)})
		}
	}
	return out
}

// Ask tells what a deck is likely to do with a lot, by the farm's own cut as far as
// its screenings tell one.
func (p *Screens) Ask(s *farm.State, l *farm.Lot, in ScreenAsked) ScreenAnswer {
	chips := p.par.Chips
	if in.Chips > 0 { // somebody looked
		chips = qty.Exactly(in.Chips)
	}
	in.Chips = chips.Best
	shift, used := p.par.Shift(weighings(s), p.par.Chips.Best)
	deck := func(mm float64) harvest.Deck {
		return harvest.Deck{Opening: mm, Water: in.Water, Rate: in.Rate, Drum: in.Drum}
	}
	a := s.Amounts(l)
	out := ScreenAnswer{Heap: a.Left(), Sure: a.Sure, Asked: in, Own: used, Dry: p.par.Sticky, Balls: p.par.Balls, Hold: p.par.HoldDays, HoldC: p.par.HoldC}
	out.Cut = p.par.CutOf(deck(in.Opening), chips, shift)
	out.Sticks, out.Dusty, out.Fine = p.par.Sticks(in.Water), p.par.IsDusty(in.Water), in.Opening < p.par.FineDeck.Best
	part := func(f float64) qty.WetKg { return qty.WetKg(f * float64(out.Heap)) }
	t := out.Cut.Through
	out.Through, out.ThroughLow, out.ThroughHigh = part(t.Best), part(t.Low), part(t.High)
	out.Over = out.Heap - out.Through
	for _, mm := range usualOpenings {
		out.Beside = append(out.Beside, ScreenBeside{mm, p.par.CutOf(deck(mm), chips, shift)})
	}
	return out
}

// TooWet says whether castings of a moisture make balls on a deck.
func (p *Screens) TooWet(w qty.WaterOfWet) bool { return float64(w) >= p.par.Balls }
