package farm

import (
	"time"

	"wormyard/qty"
)

// SeasonSetup is the value of the setting "season": what the owner says of the year
// to come. What is left out is taken from the journal, or assumed.
type SeasonSetup struct {
	Weeks      int             `json:"weeks,omitempty"`           // of the plan
	CrewHours  *float64        `json:"crew_hours_week,omitempty"` // of all together
	StoreM3    *qty.CubicMetre `json:"store_m3,omitempty"`        // for castings, curing and cured
	CureWeeks  *float64        `json:"cure_weeks,omitempty"`
	Sales      []SeasonSales   `json:"sales,omitempty"` // as they were typed before there were rows
	Selling    []SeasonDemand  `json:"selling,omitempty"`
	Demand     []SeasonDemand  `json:"demand,omitempty"` // taken in from files
	Feedstocks []SeasonFeed    `json:"feedstock,omitempty"`
	Heat       *SeasonHeat     `json:"heat,omitempty"`  // nil: barns are not heated
	Split      *SeasonSplit    `json:"split,omitempty"` // nil: worms spread by themselves
	Aim        string          `json:"aim,omitempty"`   // one of Aims; AimMoney when left out
	Cash       *qty.Money      `json:"cash,omitempty"`  // at hand as the plan begins; nil: the plan does not ask for it
	Spent      *qty.Money      `json:"spent,omitempty"` // in a week, besides what the plan reckons
}

// What a plan of the year is for.
const (
	AimMoney    = "money"    // to earn most
	AimCastings = "castings" // to make the most castings
	AimPromises = "promises" // to keep what was promised
)

// Aims lists what a plan of the year may be for.
func Aims() []string { return []string{AimMoney, AimCastings, AimPromises} }

// With what a barn may be heated.
const (
	HeatPower   = "power"     // electric heaters
	HeatPump    = "heat pump" // by power too
	HeatPropane = "propane"
	HeatOil     = "oil"
	HeatGas     = "gas" // natural
)

// HeatWith lists with what a barn may be heated.
func HeatWith() []string { return []string{HeatPower, HeatPump, HeatPropane, HeatOil, HeatGas} }

// SeasonHeat lets a plan heat barns: it chooses when.
type SeasonHeat struct {
	With  string       `json:"with"`            // one of HeatWith
	Price *qty.Money   `json:"price,omitempty"` // of a kilowatt-hour of power or gas, of a litre of the others; of power as in the setting money where left out
	AtC   *qty.Celsius `json:"at_c,omitempty"`  // that the air of a barn is kept at
	Barns []string     `json:"barns,omitempty"` // all when left out
}

// SeasonSplit lets a plan split bins, and begin others only with the worms of those
// split or harvested.
type SeasonSplit struct {
	Hours *float64 `json:"hours,omitempty"`      // of the crew, for each
	Back  *float64 `json:"back_weeks,omitempty"` // by which it is ripe later
}

// SeasonSales is what can be sold of one product in each month.
type SeasonSales struct {
	Product    string         `json:"product"`
	CastingsM3 qty.CubicMetre `json:"castings_m3,omitempty"` // in each
	WormsKg    qty.LiveKg     `json:"worms_kg,omitempty"`    // live, in each
	Price      *qty.Money     `json:"price,omitempty"`
	Months     []float64      `json:"months,omitempty"` // twelve, January first
}

// SeasonDemand is what can be sold of one product: so much in each week or month of a part
// of the year, as it is typed, or once by a day, as it is taken in from a file.
type SeasonDemand struct {
	Product string     `json:"product"` // as the price list calls it, or castings, bags, live worms
	Amount  float64    `json:"amount"`
	Unit    string     `json:"unit,omitempty"`    // a unit of volume or mass; none for pieces
	Price   *qty.Money `json:"price,omitempty"`   // for one of them
	Penalty *qty.Money `json:"penalty,omitempty"` // for each that is promised and not there; a promise has one
	Each    string     `json:"each,omitempty"`    // week or month
	From    int        `json:"from,omitempty"`    // month, 1 January; 0 with Until 0: all year
	Until   int        `json:"until,omitempty"`   // month, with it; before From: over the new year
	Day     string     `json:"day,omitempty"`     // YYYY-MM-DD, where it is once
	Beside  bool       `json:"beside,omitempty"`  // once, on top of what is usually sold
	Source  string     `json:"source,omitempty"`  // the file that it was taken in from
}

// In says whether a row is of a month.
func (d SeasonDemand) In(m time.Month) bool {
	from, until := time.Month(d.From), time.Month(d.Until)
	switch {
	case from == 0 && until == 0:
		return true
	case from == 0:
		from = until
	case until == 0:
		until = from
	}
	if from <= until {
		return m >= from && m <= until
	}
	return m >= from || m <= until
}

// SeasonFeed is how much of a feedstock can be had and kept.
type SeasonFeed struct {
	Name    string          `json:"name"`
	StoreM3 *qty.CubicMetre `json:"store_m3,omitempty"`
	Times   *float64        `json:"times,omitempty"` // what came in the last year
}
