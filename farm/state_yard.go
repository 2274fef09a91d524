package farm

import (
	"time"

	"wormyard/feedstock"
	"wormyard/qty"
)

// Pile is a quantity of feedstock in the yard.
type Pile struct {
	Name     string
	Holds    []Held     // what lies in it, by delivered material
	Material string     // of the first delivery, as in the library; as typed when not found
	Since    Noted      // first delivery
	Newest   Noted      // last delivery
	Loads    []Delivery // that came, in order
	Got      feedstock.Matter
	Used     feedstock.Matter
	Over     qty.WetKg // taken beyond what lay there
	Tests    []Test
	Declared []string // declared treatments
	DosedOn  string   // day of the treatment, as typed
	Hold     *Noted   // nil when not held
	HoldWhy  string
	Tended   []Tending
	Batches  []string // it went into, in order of first use, each once
	Seen     []Sighting
	Paid     qty.Money      // for all deliveries with a price
	PaidFor  qty.CubicMetre // what those deliveries were
	Missing  []string       // properties nobody knows, so that amounts lack them
	Came     time.Time      // when what lies there came, the mean by mass

	past  []lain // what came, went and was found out, in order
	epoch uint32
}

// lain is what changed in a pile, for those who follow how it ages.
type lain struct {
	Noted
	came  feedstock.Matter // a delivery
	took  float64          // the share of what lay there that went
	known feedstock.Matter // what is left, as delivered, after a test told more of it
	water *qty.WaterOfWet  // moisture, tested
}

// Delivery is one load that came to a pile.
type Delivery struct {
	Noted
	Material string
	Matter   feedstock.Matter // as it came
	Onto     feedstock.Matter // what lay in the pile before it
	Lot      string           // the lot whose overs it is; empty for what came from outside
}

// Held is one material in a pile.
type Held struct {
	Material feedstock.Material // as the library has it; Pile.Own gives the pile's own analyses
	Found    bool               // in the library; else only its name is known
	ByVolume bool               // delivered by volume: the volume is what is known, else the mass
	Matter   feedstock.Matter   // what is left
	Wetted   qty.WaterKg        // water put on since the moisture was last known
}

// Tending is care of a pile.
type Tending struct {
	Noted
	Act   string // turned, wetted, measured, covered
	Water *qty.WaterKg
	Temp  *qty.Celsius
	Depth *qty.Metre
}

// Left gives what still lies in the pile.
func (p *Pile) Left() feedstock.Matter {
	var m feedstock.Matter
	for _, h := range p.Holds {
		m = m.Plus(h.Matter)
	}
	return m
}

// Batch is a mix that was made.
type Batch struct {
	Noted
	Name    string
	Purpose string
	Parts   []BatchPart
	Shrink  qty.Fraction
	Made    feedstock.Matter // after mixing shrink; measured moisture counted
	Fed     feedstock.Matter // laid in bins, as feed or bed
	Bins    []string         // where it went, in order of first use, each once
	Last    time.Time        // last use
	Tests   []Test
	Known   bool      // false when only named by a feeding
	Came    time.Time // when what it was mixed from came, the mean by mass; zero where nobody wrote that down

	blends []blending
	in     []uint32 // by the number of the bin, the number of the bed it was last laid on

	epoch uint32
}

// blending is one mixing of a batch: its parts from the first up to but not
// including the end.
type blending struct {
	Noted
	first, end int
	water      qty.WaterKg
	moist      *qty.WaterOfWet // measured
	shrink     qty.Fraction
}

// BatchPart is what went in from one pile.
type BatchPart struct {
	byMass   bool
	Pile     string
	Material string
	Matter   feedstock.Matter
	Share    qty.Fraction // of the loose volume

	after int // deliveries of the pile before it was taken
}

// Left gives what is left of the batch; nothing when more was fed than made.
func (b *Batch) Left() feedstock.Matter {
	left := 1 - b.FedShare()
	if left < 0 {
		left = 0
	}
	return b.Made.Times(left)
}

// FedShare gives the part of the batch that was laid, by wet mass; above 1 when
// more was fed than made.
func (b *Batch) FedShare() float64 {
	if b.Made.Wet() <= 0 {
		return 0
	}
	return float64(b.Fed.Wet() / b.Made.Wet())
}

// Lot is castings out of one or more harvests.
type Lot struct {
	Name     string
	Since    Noted
	From     []LotSource
	Joined   []LotPart // out of other lots
	Given    []LotPart // into other lots
	Screens  []Screening
	Cures    []Curing
	Bags     []Bagging
	Sales    []Sale
	Tests    []Test
	Seen     []Microscopy
	Samples  []Sample // kept back
	Releases []Decision
	Holds    []Decision

	epoch uint32
}

// LotSource is one harvest that went into a lot.
type LotSource struct {
	Noted
	Bin    string
	Bed    string // PastBed.ID or Bed.ID
	Mass   qty.WetKg
	Volume qty.CubicMetre
	Laid   []Laid // in the bed before it
}

// Laid is what a bed got of one batch.
type Laid struct {
	Batch    string // or
	Pile     string // it was taken from unmixed, or
	Material string // where a bed was laid of no batch; all empty where nobody wrote what
	Mass     qty.WetKg
	Known    bool // the mass is known

	after int // loads of the pile before it was taken
}

// LotPart is what went from one lot into another.
type LotPart struct {
	Noted
	Lot    string // the other one
	Mass   qty.WetKg
	Volume qty.CubicMetre
}

// Screening is a lot through decks.
type Screening struct {
	Noted
	Decks   []Deck
	Water   *qty.WaterOfWet
	OversTo string // where what was kept back went, in words
	Pile    string // the pile it came onto, empty where it came onto none
}

// Deck is one screen and what it did.
type Deck struct {
	OpeningMM     float64
	Through, Over *qty.WetKg
	Drum          bool
	Rate          float64 // of the usual; 0 where nobody said
}

// Curing is where a lot rests from then on.
type Curing struct {
	Noted
	Place string
}

// Bagging is a lot put into bags.
type Bagging struct {
	Noted
	Size   qty.CubicMetre
	Number int
}

// Sale is a part of a lot that left the farm.
type Sale struct {
	Noted
	Customer string
	Volume   qty.CubicMetre
	Mass     qty.WetKg
	Bags     int
	Size     qty.CubicMetre // of one bag, 0 where nobody wrote it
	Price    qty.Money
	What     string // the product
	Order    string // id of the order that it delivers
	Line     int    // product of the order, from 1; 0 where nobody said
	Delivery string // what went out together has the same
}

// Sample is a sample of a lot that is kept back.
type Sample struct {
	Noted
	Name, Place, Until string
	Mass               qty.WetKg
}

// Microscopy tells that counts were made; the bench reads the entry itself.
type Microscopy struct {
	Noted
	Group string
}

// Decision is a release or a hold.
type Decision struct {
	Noted
	Rule, By, Why string
}
