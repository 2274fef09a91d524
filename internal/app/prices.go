package app

import (
	"fmt"
	"slices"
	"strings"

	"wormyard/farm"
)

// PricesWrong tells all that is wrong with a price list, each with the box and the
// number of the product, from 0: "price_1".
func PricesWrong(list []farm.ProductSetup) (ps []Problem) {
	seen := map[string]bool{}
	for i, x := range list {
		refuse := func(box, say, try string) {
			ps = append(ps, Problem{Field: fmt.Sprintf("%s_%d", box, i), Say: say, Try: try})
		}
		name := strings.TrimSpace(x.Name)
		switch key := strings.ToLower(name); {
		case name == "":
			refuse("name", fmt.Sprintf("Line %d of the price list has no name.", i+1), "Give the product a name, or empty the line.")
		case len([]rune(name)) > mostName:
			refuse("name", fmt.Sprintf("The name of a product has %d letters.", len([]rune(name))), fmt.Sprintf("Use at most %d.", mostName))
		case seen[key]:
			refuse("name", fmt.Sprintf("%s stands in the price list twice.", name), "Keep one of the lines; prices for larger numbers are steps of one line.")
		default:
			seen[key] = true
		}
		if name == "" {
			name = fmt.Sprintf("line %d", i+1)
		}
		if x.As != "" && !slices.Contains(farm.SoldAs(), x.As) {
			refuse("as", fmt.Sprintf("%s is sold as %q.", name, x.As), "Choose "+strings.Join(farm.SoldAs(), ", ")+".")
		}
		if x.Price < 0 || x.Price > mostPrice {
			refuse("price", fmt.Sprintf("The price of %s is %g.", name, float64(x.Price)), "Type a price between 0 and 1,000,000.")
		}
		switch x.Kind() {
		case farm.SoldBags, farm.SoldTotes, farm.SoldLoose:
			if x.Volume == nil && x.Mass == nil {
				refuse("size", fmt.Sprintf("It is not said how much one %s is.", name), "Type its size, such as 1 ft3, 1 yd3 or 25 lb.")
			}
		case farm.SoldWorms:
			if x.Mass == nil {
				refuse("size", fmt.Sprintf("It is not said how much one %s weighs.", name), "Type the mass of live worms that the price is for, such as 1 lb.")
			}
		}
		if x.Volume != nil && (*x.Volume <= 0 || *x.Volume > 100) || x.Mass != nil && (*x.Mass <= 0 || *x.Mass > 100_000) {
			refuse("size", fmt.Sprintf("The size of %s cannot be right.", name), "Type how much one of them is, such as 1 ft3, 1 yd3 or 25 lb.")
		}
		if len(x.Parts) > 0 && x.Kind() != farm.SoldKits {
			refuse("parts", fmt.Sprintf("%s is no starter kit, and has parts.", name), "Say that it is sold as a starter kit, or empty the parts.")
		}
		for _, part := range x.Parts {
			if part.Cost < 0 || part.Cost > mostPrice {
				refuse("parts", fmt.Sprintf("A %s for %s costs %g.", part.What, name, float64(part.Cost)), "Type a price between 0 and 1,000,000.")
			}
		}
		for k, st := range x.Steps {
			if st.From < 2 || st.Price < 0 || st.Price > mostPrice || k > 0 && st.From <= x.Steps[k-1].From {
				refuse("steps", fmt.Sprintf("The price steps of %s are out of order.", name), "Begin at 2 or more, each step from a larger number on, such as 10: 17.50, 40: 15.")
				break
			}
		}
	}
	return ps
}
