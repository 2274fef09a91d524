package farm

import (
	"time"

	"wormyard/barn"
	"wormyard/feedstock"
	"wormyard/qty"
)

// BinState is the life of the box.
type BinState string

// The states of a bin.
const (
	Empty   BinState = "empty"
	Bedded  BinState = "bedded"
	Retired BinState = "retired"
)

// Box is the wooden box as built, in the words of the journal.
type Box struct {
	Length, Width, Depth qty.Metre       // inside [m]
	Wall                 string          // named build
	Liner                string          //
	Holes                qty.SquareMetre // drilled through the sides [m2]
	Assumed              []string        // what nobody wrote down and was taken as usual
}

// Area gives the area of the bed.
func (b Box) Area() qty.SquareMetre { return qty.SquareMetre(float64(b.Length) * float64(b.Width)) }

// Volume gives what the box holds when full.
func (b Box) Volume() qty.CubicMetre {
	return qty.CubicMetre(float64(b.Area()) * float64(b.Depth))
}

// Bin is one painted box: where it is and what lives in it.
type Bin struct {
	Name      string // as painted
	Slot      barn.Slot
	Box       Box
	Cover     string // none, cloth, board, film; empty when never said
	State     BinState
	Built     Noted // the first entry that told of it
	Moved     Noted // the last move, zero when never moved
	Bed       *Bed  // nil unless bedded
	Past      []PastBed
	Sightings []Sighting
	Remedies  []Remedy
	Tests     []Test // assays of the bin

	number int // from 0, in order of building

	epoch uint32
}

// Bed is what lives in a bin since it was bedded.
type Bed struct {
	Noted
	ID       string // "B12 2025-03-01"
	Bin      string
	Start    Start
	Acts     []*Act // in order; one act on many bins is shared by them
	Readings []*Reading
	Looks    []*Look
	Depths   []*Depth
	Weighs   []Weigh
	Counts   []Count

	Fed      feedstock.Matter // all feed since the bedding
	Feedings int
	LastFeed *Act      // nil when never fed
	Rest     *Rest     // nil unless it rests: ends with the next feeding
	Stock    Stock     // stocked less split off, growth not counted
	Taken    qty.WetKg // harvested from it while it lives

	batches []string // bedded and fed, in order of first use, each once
	lots    []string // its harvests went into
	bin     int      // number of the bin
	number  uint32   // of the bed, from 1

	epoch uint32
}

// Rest is the decision that a bed gets no feed for now.
type Rest struct {
	Noted
	Why string
}

// Start is how the bed began, as far as anybody knows.
type Start struct {
	Depth                    qty.Metre
	Batch                    string // or
	Pile                     string // it was taken from unmixed, or
	Material                 string
	Matter                   feedstock.Matter // whole bin; zero when nobody knows the material
	AgeDays, AgeLow, AgeHigh qty.Days         // age when it was written down; 0 for a fresh bed
	LastFeedDays             qty.Days         // 0 unknown
	LastFeedDepth            qty.Metre
	Castings                 *qty.Fraction // share of the dry matter
	FirstMorning             bool          // it was there before the journal began
	Cover                    string        // on it then
	Guessed                  string        // what had to be guessed, in words; empty when nothing

	after int // loads of the pile before it was taken
}

// Stock is a live mass of worms with its range.
type Stock struct {
	Low, Best, High qty.LiveKg
}

// ActKind is what was done to a bed.
type ActKind string

// What may be done to a bed.
const (
	ActFeed  ActKind = "feed"
	ActWater ActKind = "water"
	ActCover ActKind = "cover"
	ActHeat  ActKind = "heat"
	ActTurn  ActKind = "turn"
	ActStock ActKind = "stock" // worms in; out when negative
	ActTake  ActKind = "take"  // castings or bed taken out while the bed lives on
	ActMove  ActKind = "move"  // the bin was carried to another place
)

// Act is one thing done to a bed, its amounts worked out for the whole bin.
type Act struct {
	Noted
	Kind    ActKind
	Batch   string           // feed
	Matter  feedstock.Matter // feed: as its batch was mixed of what came, whole bin
	ByMass  bool             // feed: it was weighed, and its depth follows
	Age     *qty.Days        // feed: since what it was mixed from came, the mean by mass; nil where nobody wrote that down
	Depth   qty.Metre        // feed: as spread; take: depth taken
	Mass    qty.WetKg        // take: mass taken out, 0 when nobody weighed it
	Volume  qty.CubicMetre   // take: volume taken out, 0 when nobody measured it
	Side    string           // feed: whole, left, right; take: the side or how
	Water   qty.WaterKg      // water
	Cover   string           // cover
	Watts   qty.Watt         // heat
	SetC    *qty.Celsius     // heat
	On      bool             // heat
	What    string           // turn: what was done; move: to which slot
	Stock   Stock            // stock: per bin, negative when taken out
	Bought  bool             // stock: from another farm
	Layer   uint64           // identity of the layer a feeding makes, from the journal
	Guessed string           // what had to be guessed about the amount, in words
}

// Reading is one look through a probe.
type Reading struct {
	Noted
	Temp    *qty.Celsius
	Water   *qty.WaterOfWet
	Oxygen  *qty.OxygenOfAir
	Ammonia *qty.PartsPerM
	Salts   *qty.Decisiemens
	PH      *qty.PH
	Depth   *qty.Metre // below the surface
	Probe   string     // dial, logger, other
	ProbeID string
	Sure    bool // somebody was asked about the temperature and said that it is right
	Dated   bool // the same of its day
}

// Look is one look by hand and eye; empty words were not said.
type Look struct {
	Noted
	Squeeze, FeedLeft, Worms, Where, Colour, Crumb, Chips, Smell string
}

// Depth is a measured height of the bed.
type Depth struct {
	Noted
	Depth qty.Metre
}

// Weigh is a whole bin on a scale, box included.
type Weigh struct {
	Noted
	Mass qty.WetKg
}

// Count is a sample of worms.
type Count struct {
	Noted
	Area                       *qty.SquareMetre
	Mass                       *qty.WetKg
	Depth                      *qty.Metre
	Adults, Juveniles, Cocoons *int
	WormsKg                    *qty.LiveKg
}

// PastBed is a bed that has ended.
type PastBed struct {
	ID           string
	Since, Until time.Time
	Feedings     int
	Fed          feedstock.Matter
	Harvested    qty.WetKg // 0 when only a volume or nothing was written
	HarvestedM3  qty.CubicMetre
	Worms        qty.LiveKg // taken out at the end
	Batches      []string   // bedded and fed, in order of first use, each once
	Lots         []string
	Laid         []Laid      // in it, in order of first use
	Watered      qty.WaterKg // in all
	How          string      // harvested, bedded anew, retired, ...
}
