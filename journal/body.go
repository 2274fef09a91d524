package journal

import (
	"encoding/json"

	"wormyard/qty"
)

// Receive is feedstock that arrives and becomes, or joins, a pile.
type Receive struct {
	Pile      string          `json:"pile"`
	Material  string          `json:"material"`
	VolumeM3  *qty.CubicMetre `json:"volume_m3,omitempty"`
	MassKgWet *qty.WetKg      `json:"mass_kg_wet,omitempty"`
	Note      string          `json:"note,omitempty"`
	Price     *qty.Money      `json:"price,omitempty"`
	Haulage   *qty.Money      `json:"haulage,omitempty"`
	Declared  []string        `json:"declared,omitempty"` // treatments the giver told of
	DosedOn   string          `json:"dosed_on,omitempty"` // day of the treatment
}

// Assay is a laboratory or field test of a pile, batch, bin or lot.
type Assay struct {
	Subject        string   `json:"subject"` // "pile NAME", "batch NAME", "bin NAME" or "lot NAME"
	Analyte        string   `json:"analyte"`
	Value          float64  `json:"value"` // in the unit the analyte's name ends in
	Unit           string   `json:"unit,omitempty"`
	Method         string   `json:"method,omitempty"`
	DetectionLimit *float64 `json:"detection_limit,omitempty"`
	Laboratory     string   `json:"laboratory,omitempty"`
	Basis          string   `json:"basis,omitempty"`  // "wet" or "dry"; empty where the name says it or it has none
	Reads          string   `json:"reads,omitempty"`  // how the value is meant when it is not the amount itself: one of Readings
	Sample         string   `json:"sample,omitempty"` // as the laboratory numbers it
	Note           string   `json:"note,omitempty"`
}

// What a laboratory's value may be when it is not the amount itself.
const (
	ReadsLess    = "less than" // the value is what the laboratory could see
	ReadsMore    = "more than"
	ReadsNone    = "not detected" // with no limit beside it
	ReadsTooMany = "too many"     // to count
	ReadsPresent = "present"      // and not counted
)

// Readings are what a laboratory's value may be when it is not the amount itself.
var Readings = []string{ReadsLess, ReadsMore, ReadsNone, ReadsTooMany, ReadsPresent}

// Blend is a batch mixed from piles.
type Blend struct {
	Batch        string          `json:"batch"`
	Purpose      string          `json:"purpose,omitempty"`
	Parts        []BlendPart     `json:"parts"`
	WaterKg      *qty.WaterKg    `json:"water_kg,omitempty"`
	WaterFracWet *qty.WaterOfWet `json:"water_frac_wet,omitempty"` // measured in the batch
	ShrinkFrac   *qty.Fraction   `json:"shrink_frac,omitempty"`
	Note         string          `json:"note,omitempty"`
}

// BlendPart is what a batch took from one pile.
type BlendPart struct {
	Pile      string          `json:"pile"`
	VolumeM3  *qty.CubicMetre `json:"volume_m3,omitempty"`
	MassKgWet *qty.WetKg      `json:"mass_kg_wet,omitempty"`
}

// Build is a bin built, repaired or retired.
type Build struct {
	Bins    []string         `json:"bins"`
	LengthM *qty.Metre       `json:"length_m,omitempty"`
	WidthM  *qty.Metre       `json:"width_m,omitempty"`
	DepthM  *qty.Metre       `json:"depth_m,omitempty"`
	Wall    string           `json:"wall,omitempty"`
	Liner   string           `json:"liner,omitempty"`
	HolesM2 *qty.SquareMetre `json:"holes_m2,omitempty"`
	Cover   string           `json:"cover,omitempty"`
	Barn    string           `json:"barn,omitempty"`
	Row     int              `json:"row,omitempty"`   // slot of the first bin, from 1
	Stack   int              `json:"stack,omitempty"` // from 1
	Level   int              `json:"level,omitempty"` // 1 on the floor
	Slots   []string         `json:"slots,omitempty"` // "BARN/ROW/STACK/LEVEL" a bin, in the order of Bins
	State   string           `json:"state,omitempty"` // built, repaired, retired; built when absent
	Note    string           `json:"note,omitempty"`
}

// Bed is bedding laid into bins, or a bed that was there on the first morning.
type Bed struct {
	Bins           []string      `json:"bins"`
	Batch          string        `json:"batch,omitempty"`
	Pile           string        `json:"pile,omitempty"` // it was taken from as it lay there, unmixed
	Material       string        `json:"material,omitempty"`
	DepthM         qty.Metre     `json:"depth_m"`
	AgeDays        *qty.Days     `json:"age_days,omitempty"`
	AgeLowDays     *qty.Days     `json:"age_low_days,omitempty"`
	AgeHighDays    *qty.Days     `json:"age_high_days,omitempty"`
	LastFeedDays   *qty.Days     `json:"last_feed_days,omitempty"`
	LastFeedDepthM *qty.Metre    `json:"last_feed_depth_m,omitempty"`
	CastingsFrac   *qty.Fraction `json:"castings_frac,omitempty"` // of dry matter
	Note           string        `json:"note,omitempty"`
}

// Stock is worms put into bins.
type Stock struct {
	Bins    []string    `json:"bins"`
	Kg      qty.LiveKg  `json:"kg"` // in each bin
	KgLow   *qty.LiveKg `json:"kg_low,omitempty"`
	KgHigh  *qty.LiveKg `json:"kg_high,omitempty"`
	FromBin string      `json:"from_bin,omitempty"`
	Bought  bool        `json:"bought,omitempty"`
	Note    string      `json:"note,omitempty"`
}

// Feed is a batch spread on beds.
type Feed struct {
	Bins      []string   `json:"bins"`
	Batch     string     `json:"batch"`
	DepthM    *qty.Metre `json:"depth_m,omitempty"`
	MassKgWet *qty.WetKg `json:"mass_kg_wet,omitempty"` // in each bin
	Side      string     `json:"side,omitempty"`        // whole, left, right; whole when absent
	Note      string     `json:"note,omitempty"`
}

// Water is water given to beds.
type Water struct {
	Bins []string    `json:"bins"`
	Kg   qty.WaterKg `json:"kg"` // to each bin
	Note string      `json:"note,omitempty"`
}

// Cover is a cover laid on or taken off.
type Cover struct {
	Bins  []string `json:"bins"`
	Cover string   `json:"cover"` // none, cloth, board, film
	Note  string   `json:"note,omitempty"`
}

// Heat is heating switched or set, for bins or a barn.
type Heat struct {
	Bins  []string     `json:"bins,omitempty"`
	Barn  string       `json:"barn,omitempty"`
	Watts *qty.Watt    `json:"watts,omitempty"` // in each bin, or for the barn
	SetC  *qty.Celsius `json:"set_c,omitempty"`
	On    *bool        `json:"on,omitempty"`
	Note  string       `json:"note,omitempty"`
}

// Turn is a bed turned or loosened, or one of which the top was taken off.
type Turn struct {
	Bins      []string   `json:"bins"`
	What      string     `json:"what,omitempty"`
	TakenOffM *qty.Metre `json:"taken_off_m,omitempty"` // depth of feed or bed taken off the top
	Note      string     `json:"note,omitempty"`
}

// Reading is what a probe said.
type Reading struct {
	Bin          string           `json:"bin,omitempty"`
	Barn         string           `json:"barn,omitempty"`
	TempC        *qty.Celsius     `json:"temp_c,omitempty"`
	WaterFracWet *qty.WaterOfWet  `json:"water_frac_wet,omitempty"`
	OxygenFrac   *qty.OxygenOfAir `json:"oxygen_frac,omitempty"`
	AmmoniaPPM   *qty.PartsPerM   `json:"ammonia_ppm,omitempty"`
	ECDSM        *qty.Decisiemens `json:"ec_ds_m,omitempty"`
	PH           *qty.PH          `json:"ph,omitempty"`
	DepthM       *qty.Metre       `json:"depth_m,omitempty"` // below the surface
	Probe        string           `json:"probe,omitempty"`   // dial, logger, other
	ProbeID      string           `json:"probe_id,omitempty"`
	Note         string           `json:"note,omitempty"`
}

// Look is what hand, eye and nose found, all optional.
type Look struct {
	Bins     []string `json:"bins"`
	Squeeze  string   `json:"squeeze,omitempty"`   // dry, crumbly, few drops, drips, runs
	FeedLeft string   `json:"feed_left,omitempty"` // gone, some, most
	Worms    string   `json:"worms,omitempty"`     // few, usual, many
	Where    string   `json:"where,omitempty"`     // spread, top, bottom, sides, lid
	Colour   string   `json:"colour,omitempty"`
	Crumb    string   `json:"crumb,omitempty"`
	Chips    string   `json:"chips,omitempty"` // none, some, many
	Smell    string   `json:"smell,omitempty"` // none, earth, sour, ammonia, rotten
	Note     string   `json:"note,omitempty"`
}

// Tend is work on a pile.
type Tend struct {
	Pile    string       `json:"pile"`
	Act     string       `json:"act"` // turned, wetted, measured, covered
	WaterKg *qty.WaterKg `json:"water_kg,omitempty"`
	TempC   *qty.Celsius `json:"temp_c,omitempty"`
	DepthM  *qty.Metre   `json:"depth_m,omitempty"` // at which TempC was read
	Note    string       `json:"note,omitempty"`
}

// Site is weather outside or air in a barn, by hand or from a file.
type Site struct {
	Place          string       `json:"place"` // "outside" or "barn NAME"
	LowC           *qty.Celsius `json:"low_c,omitempty"`
	HighC          *qty.Celsius `json:"high_c,omitempty"`
	RainMM         *float64     `json:"rain_mm,omitempty"`
	PowerLostHours *qty.Hours   `json:"power_lost_hours,omitempty"`
	Outlook        bool         `json:"outlook,omitempty"` // a forecast day
	Day            string       `json:"day,omitempty"`     // the day of the low and high; that of At when absent
	Note           string       `json:"note,omitempty"`
}

// Weigh is a whole bin on the scale.
type Weigh struct {
	Bin    string    `json:"bin"`
	MassKg qty.WetKg `json:"mass_kg"`
	Note   string    `json:"note,omitempty"`
}

// Depth is the measured height of beds.
type Depth struct {
	Bins   []string  `json:"bins"`
	DepthM qty.Metre `json:"depth_m"`
	Note   string    `json:"note,omitempty"`
}

// Count is a worm sample.
type Count struct {
	Bin       string           `json:"bin"`
	AreaM2    *qty.SquareMetre `json:"area_m2,omitempty"`
	MassKgWet *qty.WetKg       `json:"mass_kg_wet,omitempty"`
	DepthM    *qty.Metre       `json:"depth_m,omitempty"`
	Adults    *int             `json:"adults,omitempty"`
	Juveniles *int             `json:"juveniles,omitempty"`
	Cocoons   *int             `json:"cocoons,omitempty"`
	WormsKg   *qty.LiveKg      `json:"worms_kg,omitempty"`
	Note      string           `json:"note,omitempty"`
}

// Sighting is a pest, smell, escape or mould.
type Sighting struct {
	Bin      string   `json:"bin,omitempty"`
	Pile     string   `json:"pile,omitempty"`
	Place    string   `json:"place,omitempty"`
	What     string   `json:"what,omitempty"`
	Signs    []string `json:"signs,omitempty"`
	Severity string   `json:"severity,omitempty"` // slight, some, bad
	Note     string   `json:"note,omitempty"`
}

// Move is a bin carried from slot to slot.
type Move struct {
	Bin  string `json:"bin"`
	From string `json:"from,omitempty"`
	To   string `json:"to"` // "BARN/ROW/STACK/LEVEL" or the name of a staging spot
	Note string `json:"note,omitempty"`
}

// Harvest is castings taken from bins.
type Harvest struct {
	Bins      []string        `json:"bins"`
	How       string          `json:"how,omitempty"`         // side feeding, screening, table, whole
	MassKgWet *qty.WetKg      `json:"mass_kg_wet,omitempty"` // of all the bins together
	VolumeM3  *qty.CubicMetre `json:"volume_m3,omitempty"`   // of all the bins together
	WormsKg   *qty.LiveKg     `json:"worms_kg,omitempty"`
	WormsTo   []WormsTo       `json:"worms_to,omitempty"`
	Lot       string          `json:"lot,omitempty"`
	EndsBed   bool            `json:"ends_bed,omitempty"`
	Note      string          `json:"note,omitempty"`
}

// WormsTo is worms returned to a bin at a harvest.
type WormsTo struct {
	Bin string     `json:"bin"`
	Kg  qty.LiveKg `json:"kg"`
}

// Screen is a lot put through decks.
type Screen struct {
	Lot          string          `json:"lot"`
	Decks        []Deck          `json:"decks,omitempty"`
	WaterFracWet *qty.WaterOfWet `json:"water_frac_wet,omitempty"`
	OversTo      string          `json:"overs_to,omitempty"`
	OversPile    string          `json:"overs_pile,omitempty"` // the pile that what was kept back came onto
	Note         string          `json:"note,omitempty"`
}

// Deck is one screen deck and what it divided.
type Deck struct {
	OpeningMM float64    `json:"opening_mm"`
	ThroughKg *qty.WetKg `json:"through_kg,omitempty"`
	OverKg    *qty.WetKg `json:"over_kg,omitempty"`
	Type      string     `json:"type,omitempty"`      // flat or drum; flat where nobody said
	RateFrac  *float64   `json:"rate_frac,omitempty"` // how quickly it was fed, of the usual
}

// Cure is a lot laid to cure.
type Cure struct {
	Lot   string `json:"lot"`
	Place string `json:"place,omitempty"`
	Note  string `json:"note,omitempty"`
}

// Bag is a lot bagged.
type Bag struct {
	Lot    string         `json:"lot"`
	SizeM3 qty.CubicMetre `json:"size_m3"`
	Number int            `json:"number"`
	Note   string         `json:"note,omitempty"`
}

// Sell is castings sold.
type Sell struct {
	Lot       string          `json:"lot"`
	Customer  string          `json:"customer,omitempty"`
	VolumeM3  *qty.CubicMetre `json:"volume_m3,omitempty"`
	MassKgWet *qty.WetKg      `json:"mass_kg_wet,omitempty"`
	Bags      *int            `json:"bags,omitempty"`
	SizeM3    *qty.CubicMetre `json:"size_m3,omitempty"` // of one bag
	Price     *qty.Money      `json:"price,omitempty"`
	What      string          `json:"what,omitempty"`     // the product, as the price list calls it
	Order     string          `json:"order,omitempty"`    // id of the entry of the order that it delivers
	Line      *int            `json:"line,omitempty"`     // which product of the order, from 1
	Delivery  string          `json:"delivery,omitempty"` // what went out together has the same
	Note      string          `json:"note,omitempty"`
}

// Microscope is counts by field.
type Microscope struct {
	Lot           string       `json:"lot,omitempty"`
	Bin           string       `json:"bin,omitempty"`
	Group         string       `json:"group,omitempty"` // what was counted: bacteria, fungi, protozoa, nematodes
	ObjectiveX    *float64     `json:"objective_x,omitempty"`
	FieldNumberMM *float64     `json:"field_number_mm,omitempty"`
	Dilution      *float64     `json:"dilution,omitempty"`
	DropML        *float64     `json:"drop_ml,omitempty"`
	CoverMM       []float64    `json:"cover_mm,omitempty"` // width and height of the cover glass
	Fields        []FieldCount `json:"fields,omitempty"`

	SubSample    string          `json:"sub_sample,omitempty"` // the handful that the slide was made of
	Slide        string          `json:"slide,omitempty"`      // which of its slides; a repeat count has the same
	WaterFracWet *qty.WaterOfWet `json:"water_frac_wet,omitempty"`
	CellLengthUM *float64        `json:"cell_length_um,omitempty"`
	CellWidthUM  *float64        `json:"cell_width_um,omitempty"`
	FieldAreaMM2 *float64        `json:"field_area_mm2,omitempty"` // in place of objective and field number
	UMPerPx      *float64        `json:"um_per_px,omitempty"`      // scale of the photo
	Traces       []Trace         `json:"traces,omitempty"`         // what was marked on the photo
	Note         string          `json:"note,omitempty"`
}

// FieldCount is what one field of view held. What is absent was not counted
// there; 0 was looked for and not seen. Count is of the entry's group.
type FieldCount struct {
	Count         *int     `json:"count,omitempty"`
	LengthUM      *float64 `json:"length_um,omitempty"` // of threads, together
	DiameterUM    *float64 `json:"diameter_um,omitempty"`
	Intersections *int     `json:"intersections,omitempty"`

	Bacteria           *int `json:"bacteria,omitempty"`
	Flagellates        *int `json:"flagellates,omitempty"`
	Amoebae            *int `json:"amoebae,omitempty"`
	Ciliates           *int `json:"ciliates,omitempty"`
	NematodesBacteria  *int `json:"nematodes_bacteria,omitempty"` // that feed on bacteria
	NematodesFungi     *int `json:"nematodes_fungi,omitempty"`
	NematodesPlants    *int `json:"nematodes_plants,omitempty"`
	NematodesPredators *int `json:"nematodes_predators,omitempty"`
	Unknown            *int `json:"unknown,omitempty"`
}

// Trace is one mark on a photo: a thread along its points, or one thing.
type Trace struct {
	What     string   `json:"what"`
	Points   string   `json:"points"` // "x y, x y" in pixels of the photo
	LengthUM *float64 `json:"length_um,omitempty"`
}

// Trial is bins marked as matched sides of a comparison.
type Trial struct {
	Name     string     `json:"name"`
	Sides    [][]string `json:"sides"`
	Question string     `json:"question,omitempty"`
	What     string     `json:"what,omitempty"`
	Note     string     `json:"note,omitempty"`
}

// Order is who wants what, when: one product, or several in Lines, where What and the
// amounts beside it are empty.
type Order struct {
	Customer string          `json:"customer"`
	What     string          `json:"what,omitempty"`
	Number   *int            `json:"number,omitempty"` // of bags, totes or kits
	VolumeM3 *qty.CubicMetre `json:"volume_m3,omitempty"`
	MassKg   *float64        `json:"mass_kg,omitempty"` // castings, or live worms
	Due      string          `json:"due,omitempty"`     // day
	Price    *qty.Money      `json:"price,omitempty"`   // agreed, for all of it
	Ref      string          `json:"ref,omitempty"`     // the customer's own number
	Lines    []OrderPart     `json:"lines,omitempty"`
	Note     string          `json:"note,omitempty"`
}

// OrderPart is one product of an order of several.
type OrderPart struct {
	What     string          `json:"what"`
	Number   *int            `json:"number,omitempty"` // of bags, totes or kits
	VolumeM3 *qty.CubicMetre `json:"volume_m3,omitempty"`
	MassKg   *float64        `json:"mass_kg,omitempty"` // castings, or live worms
	Due      string          `json:"due,omitempty"`     // day, where it is another than the order's
	Price    *qty.Money      `json:"price,omitempty"`   // agreed, for all of this product
}

// CancelOrder ends an order, or one product of it: what is not delivered yet is not
// wanted any more.
type CancelOrder struct {
	Order string `json:"order"`          // id of its entry
	Line  *int   `json:"line,omitempty"` // which product of it, from 1; all where it is empty
	Why   string `json:"why"`
	Note  string `json:"note,omitempty"`
}

// WormsSold is live worms out of bins, by mass or as starter kits.
type WormsSold struct {
	Bins     []string   `json:"bins"`
	Kg       qty.LiveKg `json:"kg"` // live mass out of all the bins together
	Number   *int       `json:"number,omitempty"`
	What     string     `json:"what,omitempty"`
	Customer string     `json:"customer,omitempty"`
	Price    *qty.Money `json:"price,omitempty"`
	Order    string     `json:"order,omitempty"`
	Line     *int       `json:"line,omitempty"`     // which product of the order, from 1
	Delivery string     `json:"delivery,omitempty"` // what went out together has the same
	Note     string     `json:"note,omitempty"`
}

// KeptSample is a sample of a lot that is kept back, to be looked at again when
// somebody asks.
type KeptSample struct {
	Lot       string     `json:"lot"`
	Sample    string     `json:"sample"` // what is written on it
	Place     string     `json:"place,omitempty"`
	MassKgWet *qty.WetKg `json:"mass_kg_wet,omitempty"`
	Until     string     `json:"until,omitempty"` // day up to which it is kept
	Note      string     `json:"note,omitempty"`
}

// Complaint is what a customer finds amiss with a lot, with some bags of it, or
// with what was sold to them of a lot that nobody knows yet.
type Complaint struct {
	Lot      string `json:"lot,omitempty"`
	Bags     string `json:"bags,omitempty"` // which ones, as the label or the customer says
	Customer string `json:"customer,omitempty"`
	What     string `json:"what"`
	Done     string `json:"done,omitempty"` // about it
	Note     string `json:"note,omitempty"`
}

// Duties are what a duty may be, as the word of the field says it.
var Duties = []string{"registration", "permit", "truck check", "screen check", "stocktake", "other"}

// Duty is something that must be done by a day, once or again and again. A later
// entry of the same name stands in its place.
type Duty struct {
	Duty   string   `json:"duty"` // its name on this farm
	What   string   `json:"what"` // one of Duties
	Due    string   `json:"due"`  // day
	Every  *int     `json:"every,omitempty"`
	Period string   `json:"period,omitempty"` // what Every counts: weeks or months
	Hours  *float64 `json:"hours,omitempty"`  // of work that it takes [h]
	Note   string   `json:"note,omitempty"`
}

// DutyDone says that a duty was done. It is due again after its time, on a day that
// is given, or never.
type DutyDone struct {
	Duty  string   `json:"duty"`
	Hours *float64 `json:"hours,omitempty"` // that it took [h]
	Next  string   `json:"next,omitempty"`  // day on which it is due next, where that is not after its time
	Over  bool     `json:"over,omitempty"`  // it is not due again
	Note  string   `json:"note,omitempty"`
}

// RecallDrill is a recall tried out before one is needed.
type RecallDrill struct {
	Of        string   `json:"of"`                // what was asked, as a trace calls it: "lot 25-20"
	Seconds   *float64 `json:"seconds,omitempty"` // until the list stood there
	Bags      *int     `json:"bags,omitempty"`    // that can contain it
	Customers *int     `json:"customers,omitempty"`
	Mend      string   `json:"mend,omitempty"` // what was missing or took long
	Note      string   `json:"note,omitempty"`
}

// Release is the decision that a lot may be sold under a rule.
type Release struct {
	Lot  string `json:"lot"`
	Rule string `json:"rule"`
	By   string `json:"by,omitempty"`
	// Shown is what whoever signs says of evidence that the journal does not hold.
	Shown []Evidence `json:"shown,omitempty"`
	Note  string     `json:"note,omitempty"`
}

// Evidence is what somebody says shows that one demand of a rule is met.
type Evidence struct {
	Key  string `json:"key"` // as the rule names it
	What string `json:"what"`
	// Entries are the ids of entries that show it; none of what is not in the journal, and
	// of releases from before they were kept.
	Entries []string `json:"entries,omitempty"`
}

// Hold is the decision that a lot or a pile must wait, or that a bin rests: no
// feed until it is fed again.
type Hold struct {
	Lot  string `json:"lot,omitempty"`
	Pile string `json:"pile,omitempty"`
	Bin  string `json:"bin,omitempty"`
	Why  string `json:"why"`
	Note string `json:"note,omitempty"`
}

// TruckCheck is the look over a truck before its first lift of the day.
type TruckCheck struct {
	Truck string   `json:"truck"`
	Hours *float64 `json:"hours,omitempty"` // of its meter [h]
	Wrong []string `json:"wrong,omitempty"` // parts that are not as they should be
	Fit   bool     `json:"fit"`             // it may be used today
	Note  string   `json:"note,omitempty"`
}

// Left is work of the round that was not done, and why: it comes again with its
// reason.
type Left struct {
	Bins []string `json:"bins,omitempty"`
	Pile string   `json:"pile,omitempty"`
	Act  string   `json:"act"`
	How  string   `json:"how,omitempty"` // skipped, could not
	Why  string   `json:"why"`
	Step string   `json:"step,omitempty"` // of a remedy, one of Steps
	Note string   `json:"note,omitempty"`
}

// Answer is what somebody said when the round asked whether bins were fed on a
// day on which nobody wrote it down. A feeding itself is an entry of its own.
type Answer struct {
	Bins []string `json:"bins"`
	Day  string   `json:"day"`  // YYYY-MM-DD in the farm's zone
	Said string   `json:"said"` // fed, not fed, not known
	Note string   `json:"note,omitempty"`
}

// Remedy is what was decided against a trouble in bins, as steps to be done.
type Remedy struct {
	Bins     []string `json:"bins"`
	Cause    string   `json:"cause"`              // one of Causes
	Steps    []string `json:"steps,omitempty"`    // of Steps
	Sighting string   `json:"sighting,omitempty"` // id of the entry that it began with
	Note     string   `json:"note,omitempty"`
}

// Outcome is what became of the last remedy against a cause in bins.
type Outcome struct {
	Bins  []string `json:"bins"`
	Cause string   `json:"cause"`           // one of Causes
	Said  string   `json:"said"`            // done, dropped, gone, better, same, worse
	Steps []string `json:"steps,omitempty"` // that were done
	Note  string   `json:"note,omitempty"`
}

// Join is lots, or parts of them, put together as one lot.
type Join struct {
	Lot   string     `json:"lot"`
	Parts []JoinPart `json:"parts"`
	Note  string     `json:"note,omitempty"`
}

// JoinPart is what came out of one lot.
type JoinPart struct {
	Lot       string          `json:"lot"`
	VolumeM3  *qty.CubicMetre `json:"volume_m3,omitempty"`
	MassKgWet *qty.WetKg      `json:"mass_kg_wet,omitempty"`
}

// Setting is something the farm says of itself: key "farm", "zone", "units",
// "site", "habits", "person/NAME", "barn/NAME"; the value is any JSON.
type Setting struct {
	Key   string          `json:"key"`
	Value json.RawMessage `json:"value"`
}

// Strike cancels the entry named by Entry.Strikes.
type Strike struct {
	Why string `json:"why"`
}
