package mix

import (
	"fmt"
	"math"
)

// Window is the range in which an output should lie. An open end is infinite.
type Window struct {
	Output Output
	Low    float64
	High   float64
	Why    string // where the window comes from, one sentence; "" when it was asked for
}

// Exact says whether the window is a single value.
func (w Window) Exact() bool { return w.Low == w.High }

// Holds says whether v lies in the window. A single value is met within what
// can be measured: a relative slack, and the window's ends within rounding.
func (w Window) Holds(v, slack float64) bool {
	low, high := w.ends(slack)
	return v >= low && v <= high
}

// ends gives the least and the greatest number that the window holds.
func (w Window) ends(slack float64) (low, high float64) {
	low, high = w.Low, w.High
	if w.Exact() {
		low, high = low-slack*math.Abs(low), high+slack*math.Abs(high)
	}
	const rounding = 1e-7 // the solver keeps its rows to about this
	return low - rounding*math.Abs(low), high + rounding*math.Abs(high)
}

// Purpose is what a mix is for. Purposes have windows of their own, because
// they differ on purpose.
type Purpose string

// The purposes.
const (
	StartingBed Purpose = "starting bed"
	Feed        Purpose = "feed"
	WoodyFeed   Purpose = "woody feed" // high in carbon on purpose, slow, for fungi
	Bedding     Purpose = "bedding"
	HotPile     Purpose = "hot pile" // heated before worms get it
)

// Purposes lists them all.
func Purposes() []Purpose { return []Purpose{StartingBed, Feed, WoodyFeed, Bedding, HotPile} }

// Windows gives the windows of a purpose; none for an unknown one. A window
// that a farm does not want is left out by giving a target of its own.
func (p Parameters) Windows(purpose Purpose) []Window {
	open := math.Inf(1)
	worms := []Window{
		{AirFilled, p.AirMin, open, "Borrowed from hot composting; none was measured for worm feed."},
		{Salts, 0, p.SaltsMax, "Worms gained weight up to about this; extracts by other methods do not compare."},
		{Ammonia, 0, p.AmmoniaMax, "Ammonia drives worms off and kills them."},
	}
	low := func(o Output, v float64, why string) Window { return Window{o, v, open, why} }
	within := func(o Output, v [2]float64, why string) Window { return Window{o, v[0], v[1], why} }
	const slow = "Below it feed sours and loses nitrogen as ammonia; above it nothing is wrong, it is slow."
	switch purpose {
	case StartingBed:
		return append([]Window{
			within(Water, p.BedWater, "A bed is made a little drier than feed, since it cannot be drained by turning."),
			low(CN, p.BedCNMin, slow),
		}, worms...)
	case Feed:
		return append([]Window{
			within(Water, p.FeedWater, "Trade practice; laboratories grew worms fastest at 80 to 90 %."),
			within(CN, p.FeedCN, "Below it feed sours and loses nitrogen as ammonia; above it call it woody feed, which is slow on purpose."),
		}, worms...)
	case WoodyFeed:
		return append([]Window{
			within(Water, p.WoodyWater, "Wood holds less water than manure at the same feel."),
			low(CN, p.WoodyCNMin, "High in carbon on purpose, for fungi; there is no upper end."),
		}, worms...)
	case Bedding:
		return append([]Window{
			within(Water, p.BeddingWater, "Moist to the hand, not dripping."),
			low(CN, p.BeddingCNMin, "Bedding should not heat and should last."),
		}, worms...)
	case HotPile:
		return []Window{
			within(Water, p.HotWater, "Hot composting wants less water than worms do."),
			within(CN, p.HotCN, "Hot composting targets of two handbooks."),
			within(AirFilled, p.HotAir, "Hot composting targets."),
			{Density, 0, p.HotDensityMax, "Heavier piles lack air."},
		}
	}
	return nil
}

// String prints a window for a person: "cn 20 to 60".
func (w Window) String() string {
	switch {
	case w.Exact():
		return fmt.Sprintf("%s %g", w.Output.Key(), w.Low)
	case math.IsInf(w.High, 1):
		return fmt.Sprintf("%s at least %g", w.Output.Key(), w.Low)
	case w.Low == 0 || math.IsInf(w.Low, -1):
		return fmt.Sprintf("%s at most %g", w.Output.Key(), w.High)
	}
	return fmt.Sprintf("%s %g to %g", w.Output.Key(), w.Low, w.High)
}
