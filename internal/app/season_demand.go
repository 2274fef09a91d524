package app

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/qty"
	"wormyard/season"
)

// What is sold without standing on the price list, in English and Spanish.
var (
	bulkNames  = []string{"castings", "worm castings", "castings loose", "loose castings", "castings, loose", "castings, screened", "screened castings", "loose", "bulk", "bulk castings", "vermicompost", "humus", "humus a granel", "humus de lombriz", "a granel", "lombrihumus", "vermicomposta"}
	aliveNames = []string{"worms", "worm", "live worms", "red worms", "composting worms", "lombrices", "lombriz", "lombrices vivas", "lombriz viva"}
	bagNames   = []string{"bags", "bag", "bags of castings", "bagged castings", "sacks", "sack", "bolsas", "bolsa", "sacos", "saco", "bolsas de humus"}
)

// sizeIn finds a size in the name of a product: bags of 1 ft3.
var sizeIn = regexp.MustCompile(`(?i)([0-9][0-9.,/ ]*)\s*(ft³|yd³|m³|(?:cu\.? ?ft\.?|cubic f(?:oo|ee)t|ft3|l|lit(?:re|er)s?|litros?|gal|gallons?|pies? c[úu]bicos?|yd3|cu\.? ?yd|m3|lbs?|pounds?|libras?|kg)\b)`)

// seller turns what is said of a product into what a plan sells.
type seller struct {
	state   *farm.State
	density float64 // of castings [kg wet/m3]
}

// bagName names bags of a size in a plan.
func bagName(m3 float64) string { return fmt.Sprintf("bag %.4g", m3) }

// sold gives what a plan sells where so much of a product is said to be sold, and how
// many pieces of that one of the unit is. say is empty where it is known, else what is
// missing, with what to do.
func (x seller) sold(name, unit string) (p season.Product, per float64, say, try string) {
	name = strings.Join(strings.Fields(name), " ")
	u, known := qty.Named(unit)
	if unit != "" && (!known || u.Of != qty.Volume && u.Of != qty.Mass) {
		return p, 0, fmt.Sprintf("%q is no unit of volume or weight.", unit), "Use yd3, ft3, m3, L, lb or kg, or no unit for pieces."
	}
	loose := func(m3 float64) { p, per = season.Product{Name: Loose, CastingsM3: 1}, m3 }
	bags := func(size float64) {
		p, per = season.Product{Name: bagName(size), CastingsM3: size}, 1
		switch {
		case unit == "":
		case u.Of == qty.Volume:
			per = u.To(1) / size
		default:
			per = u.To(1) / x.density / size
		}
	}
	alive := func(kg float64) { p, per = season.Product{Name: Alive, WormsKg: 1}, kg }
	whole := func() { // castings as they lie
		switch {
		case unit == "":
			say, try = fmt.Sprintf("It is not said what %s are counted in.", name), "Give the unit too, such as 3 yd3, or put the product on the price list with its size."
		case u.Of == qty.Volume:
			loose(u.To(1))
		default:
			loose(u.To(1) / x.density)
		}
	}
	one, listed := x.state.Settings.Money.Product(name)
	if !listed {
		one, listed = x.state.Settings.Money.Product(strings.TrimSuffix(name, "s"))
	}
	size := 0.0
	if m := sizeIn.FindString(name); m != "" {
		if v, err := qty.Parse(m, qty.Volume); err == nil {
			size = v
		} else if kg, err := qty.Parse(m, qty.Mass); err == nil {
			size = kg / x.density
		}
	}
	is := func(words []string) bool { return slices.Contains(words, strings.ToLower(name)) }
	switch {
	case listed && one.Living():
		switch {
		case unit == "" && one.Mass != nil:
			alive(float64(*one.Mass))
		case known && u.Of == qty.Mass:
			alive(u.To(1))
		default:
			say, try = fmt.Sprintf("Worms are not measured in %q.", unit), "Give their weight, such as 5 lb."
		}
	case listed:
		v := 0.0
		switch {
		case one.Volume != nil:
			v = float64(*one.Volume)
		case one.Mass != nil:
			v = float64(*one.Mass) / x.density
		}
		switch {
		case one.Kind() == farm.SoldLoose && unit == "" && v > 0:
			loose(v)
		case one.Kind() == farm.SoldLoose || v <= 0:
			whole()
		default:
			bags(v)
		}
	case is(aliveNames):
		if !known || u.Of != qty.Mass {
			say, try = fmt.Sprintf("It is not said how heavy the %s are.", name), "Give their weight, such as 5 lb."
			break
		}
		alive(u.To(1))
	case size > 0:
		bags(size)
	case strings.HasPrefix(name, "bag ") && x.known(name) > 0:
		bags(x.known(name))
	case is(bagNames):
		switch sizes := x.sizes(); len(sizes) {
		case 1:
			bags(sizes[0])
		default:
			say, try = "It is not said how large the bags are.", "Name them as the price list does, or with their size: bags of 1 ft3."
		}
	case is(bulkNames), name == "" && known:
		whole()
	case name == "":
		say, try = "It is not said what is sold.", "Name it as the price list does, or as castings, bags of 1 ft3 or live worms."
	default:
		say, try = fmt.Sprintf("%q is not on the price list.", name), "Put it there with its size, or call it castings, bags of 1 ft3 or live worms."
	}
	return p, per, say, try
}

// known gives the size of bags as a plan names them; 0 of others.
func (x seller) known(name string) (m3 float64) {
	if _, err := fmt.Sscanf(name, "bag %g", &m3); err != nil || !(m3 > 0 && m3 < 10) {
		return 0
	}
	return m3
}

// sizes gives the sizes of bags [m3] that the price list has, or of which some were
// filled where it has none.
func (x seller) sizes() (out []float64) {
	add := func(v float64) {
		if v > 0 && !slices.ContainsFunc(out, func(w float64) bool { return math.Abs(v-w) < 0.02*w }) {
			out = append(out, v)
		}
	}
	for _, p := range x.state.Settings.Money.Products {
		if p.Kind() == farm.SoldBags && p.Volume != nil {
			add(float64(*p.Volume))
		}
	}
	if len(out) == 0 {
		for _, l := range x.state.Lots() {
			for _, b := range l.Bags {
				add(float64(b.Size))
			}
		}
	}
	return out
}

// Sellers names the products of the price list, for boxes in which what can be sold is
// typed.
func Sellers(s *farm.State) (out []string) {
	for _, p := range s.Settings.Money.Products {
		out = append(out, p.Name)
	}
	return out
}

// DemandWrong tells what is wrong with rows of what can be sold, each with the
// number of the row, from 1.
func DemandWrong(s *farm.State, rows []farm.SeasonDemand) (ps []Problem) {
	x := seller{s, 1} // what is not weighed is asked about alike, whatever castings weigh
	for i, d := range rows {
		if _, _, say, try := x.sold(d.Product, d.Unit); say != "" {
			ps = append(ps, Problem{Field: "product", Row: i + 1, Say: say, Try: try})
		}
	}
	return ps
}

// amountBegins is the number that an amount begins with.
var amountBegins = regexp.MustCompile(`^[0-9][0-9.,/ ]*[½¼¾]?|^[½¼¾]`)

// ReadAmount reads how much is sold, as a number with its unit: 2 yd3, 5 lb, or without
// one for pieces. The unit is a symbol of package qty; false where it cannot be read.
func ReadAmount(text string) (n float64, unit string, ok bool) {
	text = strings.TrimSpace(text)
	if n, ok := qty.Number(text); ok {
		return max(n, 0), "", n >= 0
	}
	rest := strings.TrimSpace(strings.TrimPrefix(text, amountBegins.FindString(text)))
	for _, of := range []qty.Dimension{qty.Volume, qty.Mass} {
		v, err := qty.Parse(text, of)
		one, err2 := qty.Parse("1 "+rest, of)
		if err != nil || err2 != nil || v < 0 {
			continue
		}
		for _, symbol := range qty.UnitsOf(of) {
			if u, _ := qty.Named(symbol); u.To(1) == one {
				return qty.Rounded(u.From(v), 9), symbol, true
			}
		}
	}
	return 0, "", false
}

// selling puts the rows that were typed in place of what the journal has of their
// products.
func (m *seasonMaker) selling(get func(name string, castings, mass float64) *sold) {
	x := seller{m.s, m.usualDensity()}
	typed := map[string]bool{}
	for _, d := range m.setup.Selling {
		p, per, say, _ := x.sold(d.Product, d.Unit)
		if say != "" { // the price list has changed since
			m.out.Left = append(m.out.Left, d.Product)
			continue
		}
		s := get(p.Name, p.CastingsM3, p.WormsKg)
		if !typed[p.Name] {
			typed[p.Name] = true
			s.pieces, s.typed, s.count = [12]float64{}, true, 0
			s.typedMoney, s.typedPriced = 0, 0
		}
		all := 0.0
		for month := time.January; month <= time.December; month++ {
			if !d.In(month) {
				continue
			}
			n := d.Amount * per
			if d.Each == "week" {
				n *= float64(daysOf(month)) / 7
			}
			s.pieces[month-1] += n
			all += n
		}
		if d.Price != nil && per > 0 {
			s.typedMoney, s.typedPriced = s.typedMoney+float64(*d.Price)/per*all, s.typedPriced+all
		}
	}
}

// daysOf is how many days a month has in a year of 365.
func daysOf(m time.Month) int { return time.Date(2025, m+1, 0, 0, 0, 0, 0, time.UTC).Day() }

// imported puts what was taken in from files into its weeks. What is not said to come on
// top stands in place of what is usually sold of its product, from its first week to its
// last. What has a penalty is promised.
func (m *seasonMaker) imported() {
	f := &m.out.Farm
	x := seller{m.s, m.usualDensity()}
	type row struct {
		week, product int
		pieces        float64
		of            farm.SeasonDemand
		per           float64
	}
	var rows []row
	span := map[int][2]int{} // of the weeks of a product that are replaced
	for _, d := range m.setup.Demand {
		day, err := time.ParseInLocation(time.DateOnly, d.Day, m.s.Zone())
		if err != nil {
			continue
		}
		if !day.AddDate(0, 0, 1).After(m.now) {
			continue
		}
		w := max(0, int(math.Floor(day.Add(12*time.Hour).Sub(m.now).Hours()/168))) // today until it is over
		if w >= f.Weeks {
			continue
		}
		p, per, say, _ := x.sold(d.Product, d.Unit)
		if say != "" {
			m.out.Left = append(m.out.Left, d.Product)
			continue
		}
		i := slices.IndexFunc(f.Products, func(q season.Product) bool {
			return q.Name == p.Name || p.CastingsM3 > 0 && p.Name != Loose && q.Name != Loose && math.Abs(q.CastingsM3-p.CastingsM3) < 0.05*p.CastingsM3
		})
		if i < 0 {
			i = len(f.Products)
			p.Demand, p.Promised = make([]float64, f.Weeks), make([]float64, f.Weeks)
			f.Products = append(f.Products, p)
		}
		rows = append(rows, row{w, i, d.Amount * per, d, per})
		if s, some := span[i]; !d.Beside && !some {
			span[i] = [2]int{w, w}
		} else if !d.Beside {
			span[i] = [2]int{min(s[0], w), max(s[1], w)}
		}
	}
	for i, s := range span {
		clear(f.Products[i].Demand[s[0] : s[1]+1])
	}
	money, priced := map[int]float64{}, map[int]float64{}
	for _, r := range rows {
		q := &f.Products[r.product]
		q.Demand[r.week] += r.pieces
		if r.of.Price != nil {
			money[r.product], priced[r.product] = money[r.product]+float64(*r.of.Price)/r.per*r.pieces, priced[r.product]+r.pieces
		}
		if r.of.Penalty != nil {
			q.Promised[r.week] += r.pieces
			q.Penalty = math.Max(q.Penalty, float64(*r.of.Penalty)/r.per)
		}
	}
	for i, n := range priced {
		if n > 0 {
			q := &f.Products[i]
			q.Price = money[i] / n
			q.Penalty = math.Max(q.Penalty, m.p.PenaltyPart*q.Price)
		}
	}
	if len(rows) > 0 {
		m.fact("demand", "", float64(len(rows)), WhenceTyped, 0)
	}
}

// MostDemand is how many rows of demand a farm keeps.
const MostDemand = 2000
