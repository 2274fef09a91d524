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

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
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
	early   []early // entries about lots that no harvest went into yet
	orders  []Order
	worms   []WormSale
	amiss   []Complaint
	drills  []Drill
	cancels map[orderAt]*Cancel
	duties  []dutyNote
	trials  []Trial
	site    []Weather
	seen    []Sighting // in places that are neither bin nor pile
	doubts  map[doubtKey]*Doubt

	journal []*journal.Entry // all that was applied, in the order of happening
	struck  map[string]bool  // ids of entries that do not count
	known   *index           // of the farm: it may hold entries that came after a picture
	zone    *time.Location
	folded  int // how many of the journal's entries are folded in

	lastBatch  string         // the batch mixed last
	beds       uint32         // how many were ever laid
	castingsKg qty.WetKg      // of harvests of which both mass
	castingsM3 qty.CubicMetre // and volume were written
	released   bool           // a lot was released, so that the farm is one that releases
	usual      Usual
	limits     twin.Limits
	lay        *layout // of a picture, worked out when first asked for
	graph      *graph  // likewise
	book       *ledger // likewise

	epoch  uint32 // objects of an older epoch are shared with a picture and are copied before a change
	branch uint32 // objects of this epoch or older may have lists whose spare room belongs to a dropped branch
}

// Noted says which entry a fact comes from, when it happened and who wrote it.
type Noted struct {
	Entry string
	At    time.Time
	Who   string
	Words bool // a note stands beside what was done or seen
}

// Settings is what the owner said about the farm itself.
type Settings struct {
	Name   string
	Zone   string // IANA name, "America/Los_Angeles"; empty is UTC
	Units  qty.System
	Site   Site
	People []string
	Habits Habits
	Money  MoneySetup
	Season SeasonSetup
	Truck  TruckSetup
	Worms  string            // the species that most worms are of, by the last word of its name; empty is the usual one
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
	FeedMost      qty.Metre   // never deeper at once [m], 0 no rule
	FeedDays      FeedDays    // on no other days of the week, none no rule
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
	Spots      []string   `json:"spots,omitempty"` // staging spots in it, by name
}

// BarnPart is one surface of the building.
type BarnPart struct {
	What  string  `json:"what,omitempty"`
	UWM2K float64 `json:"u_w_m2k"`
	AreaM float64 `json:"area_m2"`
}

// BarnRow is one row as laid out.
type BarnRow struct {
	Name    string `json:"name"`
	Stacks  int    `json:"stacks"`
	High    int    `json:"high"`
	Against bool   `json:"against,omitempty"` // it stands against the row before, without an aisle between
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

// Test is an assay with what it was of.
type Test struct {
	Noted
	Analyte        string
	Value          float64
	Unit           string
	Method         string
	DetectionLimit *float64
	Laboratory     string
	Basis, Reads   string // as journal.Assay has them
	Sample         string
}

// Sighting is something seen or smelled.
type Sighting struct {
	Noted
	Of       string   // "bin B12", "pile chips", a place
	What     string   // in words; the signs when nothing else was written
	Signs    []string // of journal.Signs
	Severity string
}

// Order is what somebody wants: one product or more.
type Order struct {
	Noted
	Customer string
	Ref      string // the customer's own number
	Note     string
	Parts    []OrderItem
	Strikes  string  // id of the entry that it was written in place of
	Before   []Order // what it was written in place of, the newest first
}

// OrderItem is one product of an order.
type OrderItem struct {
	What   string
	Number int
	Volume qty.CubicMetre
	Mass   float64 // castings, or live worms [kg]
	Due    string  // day
	Price  qty.Money
	Priced bool    // the price was agreed
	Cancel *Cancel // of it, or of the whole order
}

// Cancel is the end of an order that is not wanted any more.
type Cancel struct {
	Noted
	Why string
}

// WormSale is live worms that left the farm.
type WormSale struct {
	Noted
	Bins                  []string
	Customer, What, Order string
	Kg                    qty.LiveKg
	Number                int // kits
	Price                 qty.Money
	Line                  int    // product of the order, from 1; 0 where nobody said
	Delivery              string // what went out together has the same
}

// Drill is a recall that was tried out.
type Drill struct {
	Noted
	Of              string // what was asked, as a trace calls it
	Seconds         *float64
	Bags, Customers *int
	Mend            string
}

// Complaint is what a customer finds amiss.
type Complaint struct {
	Noted
	Lot, Bags, Customer, What, Done string
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
