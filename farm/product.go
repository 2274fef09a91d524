package farm

import (
	"strings"

	"wormyard/qty"
)

// MoneySetup is the value of the setting "money": what things cost the farm, in its
// currency, and what it sells. What is nil nobody said.
type MoneySetup struct {
	Currency string         `json:"currency,omitempty"` // "USD"
	Wage     *qty.Money     `json:"wage_per_hour,omitempty"`
	Truck    *qty.Money     `json:"truck_per_hour,omitempty"`
	Power    *qty.Money     `json:"power_per_kwh,omitempty"`
	Bag      *qty.Money     `json:"bag_each,omitempty"`
	Tote     *qty.Money     `json:"tote_each,omitempty"`
	Products []ProductSetup `json:"products,omitempty"`
	// Minutes of crew that acts take on this farm, in the place of what is usual.
	Minutes map[string]float64 `json:"minutes,omitempty"`
}

// How a product is sold.
const (
	SoldBags  = "bag"   // filled bags of one size, counted
	SoldTotes = "tote"  // the same, of a size that a truck carries
	SoldLoose = "loose" // by volume
	SoldWorms = "worms" // live worms by mass
	SoldKits  = "kit"   // starter kits: worms with bedding, counted
)

// SoldAs lists how a product may be sold.
func SoldAs() []string { return []string{SoldBags, SoldTotes, SoldLoose, SoldWorms, SoldKits} }

// ProductSetup is one line of the price list. What is not said is that of a bag where
// there is a volume, and of worms where there is a mass.
type ProductSetup struct {
	Name   string          `json:"name"`
	As     string          `json:"as,omitempty"`        // one of SoldAs
	Volume *qty.CubicMetre `json:"volume_m3,omitempty"` // of one
	Mass   *qty.WetKg      `json:"mass_kg,omitempty"`   // of one: castings, or live worms
	Price  qty.Money       `json:"price"`               // of one
	Steps  []PriceStep     `json:"steps,omitempty"`
	Parts  []KitPart       `json:"parts,omitempty"` // of a starter kit, beside its worms
}

// KitPart is what goes into a starter kit beside its worms.
type KitPart struct {
	What string    `json:"what"` // "bin", "bedding"
	Cost qty.Money `json:"cost"` // of what goes into one kit
}

// PriceStep is the price of one from a number on.
type PriceStep struct {
	From  int       `json:"from"`
	Price qty.Money `json:"price"`
}

// Kind gives how a product is sold.
func (p ProductSetup) Kind() string {
	switch {
	case p.As != "":
		return p.As
	case p.Mass != nil && p.Volume == nil:
		return SoldWorms
	}
	return SoldBags
}

// Living says whether a product is worms, which come out of bins and not of lots.
func (p ProductSetup) Living() bool { return p.Kind() == SoldWorms || p.Kind() == SoldKits }

// Each gives the price of one where so many are taken: that of the last step that the
// number reaches.
func (p ProductSetup) Each(number float64) qty.Money {
	each := p.Price
	for _, s := range p.Steps {
		if number >= float64(s.From) {
			each = s.Price
		}
	}
	return each
}

// Product finds a line of the price list by its name, whatever its capitals.
func (m MoneySetup) Product(name string) (ProductSetup, bool) {
	for _, p := range m.Products {
		if strings.EqualFold(strings.TrimSpace(p.Name), strings.TrimSpace(name)) {
			return p, true
		}
	}
	return ProductSetup{}, false
}
