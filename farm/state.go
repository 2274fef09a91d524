// Package farm is the farm as of now: the entries of the journal folded into
// state, and the questions one may ask it.
//
// A Farm takes entries in any order and keeps the same farm as if they had come
// in the order of when they happened. What it shows is a State, a
// picture that never changes; asking it is safe while the next entries are
// folded. Nothing here is a forecast or a model: only what people wrote down,
// with amounts worked out (what two inches of mix 41 weigh, what is left of a
// pile). Rates and responses of a living bed are the twin's.
//
// What an entry says that cannot be squared with the rest (a batch nobody
// mixed, a pile with less in it than was taken) becomes a Doubt that a person
// can read; it never stops the fold.
package farm

import (
	"time"

	"wormyard/barn"
	"wormyard/feedstock"
	"wormyard/journal"
	"wormyard/qty"
)

// State is the farm at one moment. Everything in it is read only: it is shared
// by all who look.
type State struct {
	Entries int       // entries that count, struck ones and strikes left out
	Last    time.Time // when the newest of them happened
	LastID  string

	Settings Settings

	barns   map[string]*Barn
	bins    map[string]*Bin
	piles   map[string]*Pile
	batches map[string]*Batch
	lots    map[string]*Lot
	orders  []Order
	trials  []Trial
	site    []Weather
	seen    []Sighting // in places that are neither bin nor pile
	doubts  map[doubtKey]*Doubt

	journal []*journal.Entry // all that was applied, in the order of happening
	struck  map[string]bool  // ids of entries that do not count
	zone    *time.Location
	folded  int // how many of the journal's entries are folded in

	lastBatch string // the batch mixed last
	beds      uint32 // how many were ever laid
	usual     Usual
	lay       *layout // of a picture, worked out when first asked for

	epoch  uint32 // objects of an older epoch are shared with a picture and are copied before a change
	branch uint32 // objects of this epoch or older may have lists whose spare room belongs to a dropped branch
}

// Noted says which entry a fact comes from, when it happened and who wrote it.
type Noted struct {
	Entry string
	At    time.Time
	Who   string
}

// Settings is what the owner said about the farm itself.
type Settings struct {
	Name   string
	Zone   string // IANA name, "America/Los_Angeles"; empty is UTC
	Units  qty.System
	Site   Site
	People []string
	Habits Habits
	Other  map[string]string // keys we do not know, kept as given
}

// Site says where the weather comes from.
type Site struct {
	Place     string        // in words
	Source    string        // "normals" (also when empty), "monthly", "typed", "own record", "seattle-daily"
	AltitudeM float64       // [m]
	MonthLow  []qty.Celsius // twelve monthly mean lows, January first, when typed
	MonthHigh []qty.Celsius // twelve monthly mean highs, January first, when typed
}

// Habits is the farm's usual practice, typed on the first morning and later
// replaced by what the journal shows.
type Habits struct {
	FeedDepth     qty.Metre   // usual depth of a feeding [m], 0 unknown
	FeedEveryDays float64     // usual days between feedings, 0 unknown
	VisitDays     float64     // days between looks at a bin low in a stack, 0 unknown
	Bedding       qty.Metre   // depth of a starting bed [m], 0 unknown
	WaterKg       qty.WaterKg // usual watering of a bin [kg], 0 unknown
}

// Barn is a building: what the climate in it needs, its rows and what was read
// or done in it.
type Barn struct {
	Name     string
	Setup    BarnSetup
	Heat     []HeatAct
	Readings []*Reading
	Weather  []Weather // lows and highs typed for this barn
	Known    bool      // set up by the owner, not only named by a slot

	epoch uint32
}

// BarnSetup is the value of the setting "barn/NAME". Everything is optional; the
// climate fills what is missing with its defaults and says so.
type BarnSetup struct {
	LengthM    float64    `json:"length_m,omitempty"`
	WidthM     float64    `json:"width_m,omitempty"`
	HeightM    float64    `json:"height_m,omitempty"` // mean height inside
	Parts      []BarnPart `json:"parts,omitempty"`    // walls, roof, doors
	SlabWMK    float64    `json:"slab_w_mk,omitempty"`
	PerimeterM float64    `json:"perimeter_m,omitempty"`
	VolumeM3   float64    `json:"volume_m3,omitempty"`
	AirChanges float64    `json:"air_changes_per_h,omitempty"`
	HeaterW    float64    `json:"heater_w,omitempty"`
	SetC       *float64   `json:"set_c,omitempty"`
	Doors      string     `json:"doors,omitempty"` // in words
	Rows       []BarnRow  `json:"rows,omitempty"`
}

// BarnPart is one surface of the building.
type BarnPart struct {
	What  string  `json:"what,omitempty"`
	UWM2K float64 `json:"u_w_m2k"`
	AreaM float64 `json:"area_m2"`
}

// BarnRow is one row as laid out.
type BarnRow struct {
	Name   string `json:"name"`
	Stacks int    `json:"stacks"`
	High   int    `json:"high"`
}

// HeatAct is heating of a barn switched or set.
type HeatAct struct {
	Noted
	Watts qty.Watt
	SetC  *qty.Celsius
	On    bool
}

// Weather is a low and a high somebody typed for a day.
type Weather struct {
	Noted
	Place     string // "outside" or a barn's name
	Day       string // YYYY-MM-DD in the farm's zone
	Low, High *qty.Celsius
	RainMM    *float64
	PowerLost *qty.Hours
	Outlook   bool // a forecast, not a record
}

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
	Material                 string
	Matter                   feedstock.Matter // whole bin; zero when nobody knows the material
	AgeDays, AgeLow, AgeHigh qty.Days         // age when it was written down; 0 for a fresh bed
	LastFeedDays             qty.Days         // 0 unknown
	LastFeedDepth            qty.Metre
	Castings                 *qty.Fraction // share of the dry matter
	FirstMorning             bool          // it was there before the journal began
	Cover                    string        // on it then
	Guessed                  string        // what had to be guessed, in words; empty when nothing
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
	Matter  feedstock.Matter // feed: as laid, whole bin
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
	How          string // harvested, bedded anew, retired, ...
}

// Test is an assay with what it was of.
type Test struct {
	Noted
	Analyte        string
	Value          float64
	Unit           string
	Method         string
	DetectionLimit *float64
	Laboratory     string
}

// Sighting is something seen or smelled.
type Sighting struct {
	Noted
	Of       string   // "bin B12", "pile chips", a place
	What     string   // in words; the signs when nothing else was written
	Signs    []string // of journal.Signs
	Severity string
}

// Pile is a quantity of feedstock in the yard.
type Pile struct {
	Name     string
	Holds    []Held // what lies in it, by delivered material
	Material string // of the first delivery, as in the library; as typed when not found
	Since    Noted  // first delivery
	Newest   Noted  // last delivery
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

	epoch uint32
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
	Known   bool // false when only named by a feeding

	in []uint32 // by the number of the bin, the number of the bed it was last laid on

	epoch uint32
}

// BatchPart is what went in from one pile.
type BatchPart struct {
	Pile     string
	Material string
	Matter   feedstock.Matter
	Share    qty.Fraction // of the loose volume
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
	Screens  []Screening
	Cures    []Curing
	Bags     []Bagging
	Sales    []Sale
	Tests    []Test
	Seen     []Microscopy
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
}

// Screening is a lot through decks.
type Screening struct {
	Noted
	Decks   []Deck
	Water   *qty.WaterOfWet
	OversTo string
}

// Deck is one screen and what it did.
type Deck struct {
	OpeningMM     float64
	Through, Over *qty.WetKg
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
	Price    qty.Money
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

// Order is what somebody wants.
type Order struct {
	Noted
	Customer, What string
	Volume         qty.CubicMetre
	Mass           float64 // castings, or live worms [kg]
	Due            string  // day
}

// Trial is a comparison between sides of bins.
type Trial struct {
	Noted
	Name, Question, What string
	Sides                [][]string
}

// Doubt is something in the journal that does not fit the rest.
type Doubt struct {
	About string // "batch 41", "bin B12", "pile chips"
	Kind  string // groups doubts that are one question
	Say   string
	Try   string
	Noted     // the newest entry that raised it
	Times int // how many entries raised it
}

// Zone gives the farm's time zone; UTC when none is set.
func (s *State) Zone() *time.Location {
	if s.zone == nil {
		return time.UTC
	}
	return s.zone
}
