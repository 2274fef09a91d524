package farm

import "wormyard/qty"

// SeasonSetup is the value of the setting "season": what the owner says of the year
// to come. What is left out is taken from the journal, or assumed.
type SeasonSetup struct {
	Weeks      int             `json:"weeks,omitempty"`           // of the plan
	CrewHours  *float64        `json:"crew_hours_week,omitempty"` // of all together
	StoreM3    *qty.CubicMetre `json:"store_m3,omitempty"`        // for castings, curing and cured
	CureWeeks  *float64        `json:"cure_weeks,omitempty"`
	Sales      []SeasonSales   `json:"sales,omitempty"`
	Feedstocks []SeasonFeed    `json:"feedstock,omitempty"`
}

// SeasonSales is what can be sold of one product in each month.
type SeasonSales struct {
	Product    string         `json:"product"`
	CastingsM3 qty.CubicMetre `json:"castings_m3,omitempty"` // in each
	WormsKg    qty.LiveKg     `json:"worms_kg,omitempty"`    // live, in each
	Price      *qty.Money     `json:"price,omitempty"`
	Months     []float64      `json:"months,omitempty"` // twelve, January first
}

// SeasonFeed is how much of a feedstock can be had and kept.
type SeasonFeed struct {
	Name    string          `json:"name"`
	StoreM3 *qty.CubicMetre `json:"store_m3,omitempty"`
	Times   *float64        `json:"times,omitempty"` // what came in the last year
}
