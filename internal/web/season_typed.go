package web

import (
	"cmp"
	"fmt"
	"math"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/qty"
	"wormyard/season"
)

// SeasonForm is what the owner may say of the year to come.
type SeasonForm struct {
	Problems []Complaint
	Drawn    string // the mark of what it was drawn from
	Changed  *Link  // what somebody else set meanwhile
	Fields   []Field
	Groups   []BoxGroup // whether barns are heated and bins split, folded where neither is
	Rows     []SaleRow
	Number   int // of rows
	Add      string
}

// SaleRow is one row of what can be sold.
type SaleRow struct {
	Head, Anchor string
	Out, Drop    string // what its button sends, and what stands on it
	OutAt        string // where the page is opened again
	Fields       []Field
}

// seasonTyped is what stands in the boxes: those of the limits, and rows of sales.
type seasonTyped struct {
	v       values
	rows    int
	changed *Link // what somebody else set meanwhile
}

// typedSeason is the part of the setting that the form holds; the others are set by files.
func typedSeason(x farm.SeasonSetup) farm.SeasonSetup {
	x.Feedstocks, x.Demand = nil, nil
	return x
}

// mostSales is how many rows of sales are typed by hand; of sales that were typed month
// by month there may be more.
const mostSales = 60

// mostRead is how many rows are read from a form: those that somebody else took out
// meanwhile are in it too.
const mostRead = 1000

var (
	seasonBoxes = []string{"weeks", "crew", "store", "cure", "aim", "cash", "spent", "heat", "heatprice", "heatat", "barns", "split", "splithours", "splitback"}
	saleBoxes   = []string{"product", "amount", "each", "from", "until", "price"}
)

// seasonTyped fills the boxes with what was said.
func (s *Server) seasonTyped(p person) seasonTyped {
	set := s.Farm.State().Settings.Season
	t := seasonTyped{v: values{drawnFrom: markOf(typedSeason(set))}}
	optional := func(key string, x *float64) {
		if x != nil {
			t.v[key] = plainNumber(*x)
		}
	}
	if set.Weeks > 0 {
		t.v["weeks"] = strconv.Itoa(set.Weeks)
	}
	optional("crew", set.CrewHours)
	optional("cure", set.CureWeeks)
	if set.StoreM3 != nil {
		t.v["store"] = plainNumber(p.fromM3(float64(*set.StoreM3)))
	}
	t.v["aim"] = set.Aim
	optional("cash", (*float64)(set.Cash))
	optional("spent", (*float64)(set.Spent))
	if h := set.Heat; h != nil {
		t.v["heat"], t.v["barns"] = h.With, strings.Join(h.Barns, "\n")
		if h.Price != nil {
			_, times := p.fuelUnit(h.With)
			t.v["heatprice"] = plainNumber(qty.Rounded(float64(*h.Price)*times, 4))
		}
		if h.AtC != nil {
			t.v["heatat"] = plainNumber(math.Round(10*p.degrees(float64(*h.AtC))) / 10)
		}
	}
	if x := set.Split; x != nil {
		t.v["split"] = splitByHand
		optional("splithours", x.Hours)
		optional("splitback", x.Back)
	}
	for _, d := range append(p.olderSales(set.Sales), set.Selling...) {
		at := "_" + strconv.Itoa(t.rows)
		t.rows++
		t.v["product"+at], t.v["amount"+at], t.v["each"+at] = d.Product, strings.TrimSpace(plainNumber(d.Amount)+" "+d.Unit), d.Each
		if d.Price != nil {
			t.v["price"+at] = plainNumber(float64(*d.Price))
		}
		for box, m := range map[string]int{"from": d.From, "until": d.Until} {
			if m > 0 {
				t.v[box+at] = strconv.Itoa(m)
			}
		}
	}
	t.rows = max(t.rows, 1)
	return t
}

// olderSales gives sales that were typed month by month as rows, one for months in a row
// that are alike.
func (p person) olderSales(list []farm.SeasonSales) (out []farm.SeasonDemand) {
	for _, x := range list {
		row := farm.SeasonDemand{Product: x.Product, Each: "month", Price: x.Price}
		times := 1.0
		switch {
		case x.Product == app.Loose:
			row.Product, row.Unit = p.Say("season.castings"), pick(p.Units, "yd3", "m3")
			if times = p.toM3(1); x.Price != nil {
				price := *x.Price * qty.Money(times)
				row.Price = &price
			}
		case x.CastingsM3 > 0:
			row.Product = p.Say("season.sized", x.Product, p.volumeText(x.CastingsM3))
		}
		for m := 0; m < len(x.Months); m++ {
			first := m
			for m+1 < len(x.Months) && x.Months[m+1] == x.Months[first] {
				m++
			}
			if x.Months[first] > 0 {
				row.Amount, row.From, row.Until = qty.Rounded(x.Months[first]/times, 6), first+1, m+1
				out = append(out, row)
			}
		}
	}
	return out
}

// seasonForm lays out the form of what the year should reckon with.
func (s *Server) seasonForm(p person, t seasonTyped, y *app.Year, problems []app.Problem) *SeasonForm {
	state := s.Farm.State()
	f := &SeasonForm{Number: t.rows, Drawn: t.v[drawnFrom], Changed: t.changed, Add: "/season#say", Fields: []Field{
		numberField("weeks", p.Say("season.field.weeks"), p.Say("season.unit.weeks"), t.v["weeks"]),
		numberField("crew", p.Say("season.field.crew"), p.Say("season.unit.hours"), t.v["crew"]),
		numberField("store", p.Say("season.field.store"), p.cubicUnit(), t.v["store"]),
		numberField("cure", p.Say("season.field.cure"), p.Say("season.unit.weeks"), t.v["cure"]),
	}}
	for i := range f.Fields {
		f.Fields[i].Help = p.leftEmpty(f.Fields[i].Name, y)
	}
	var aims []Option
	for _, of := range farm.Aims() {
		aims = append(aims, Option{Value: of, Label: p.Say("season.aim." + of)})
	}
	f.Fields = append(f.Fields, selectField("aim", p.Say("season.field.aim"), cmp.Or(t.v["aim"], farm.AimMoney), aims))
	currency := state.Settings.Money.Currency
	purse := []Field{numberField("cash", p.Say("season.field.cash"), currency, t.v["cash"]), numberField("spent", p.Say("season.field.spent"), currency, t.v["spent"])}
	asked := p.Say("season.purse.none")
	if t.v["cash"] != "" {
		asked = strings.TrimSpace(t.v["cash"] + " " + currency)
	}
	heat, split := s.heatFields(p, t.v), p.splitFields(t.v)
	f.Groups = []BoxGroup{
		{Key: "purse", Title: p.Say("season.head.purse", asked), Help: p.Say("season.pursehelp"), Open: t.v["cash"] != "", Fields: purse},
		{Key: "heat", Title: p.Say("season.head.heats", chosen(heat[0])), Help: p.Say("season.heathelp"), Open: t.v["heat"] != "", Fields: heat},
		{Key: "split", Title: p.Say("season.head.splits", chosen(split[0])), Help: p.Say("season.splithelp"), Open: t.v["split"] != "", Fields: split},
	}
	groups := [][]Field{f.Fields, purse, heat, split}
	months := []Option{{Label: p.Say("season.allyear")}}
	for m := time.January; m <= time.December; m++ {
		months = append(months, Option{Value: strconv.Itoa(int(m)), Label: p.Words.Month(time.Date(2025, m, 1, 0, 0, 0, 0, time.UTC))})
	}
	each := []Option{{Value: "month", Label: p.Say("season.each.month")}, {Value: "week", Label: p.Say("season.each.week")}}
	products := append(app.Sellers(state), p.Say("season.castings"), p.Say("season.worms"))
	for i := range t.rows {
		at := "_" + strconv.Itoa(i)
		row := SaleRow{Head: p.Say("season.salerow", i+1), Anchor: "sale" + at, Out: "drop" + at, Drop: p.Say("season.drop", i+1), OutAt: "/season#sale_" + strconv.Itoa(max(0, min(i, t.rows-2)))}
		if name := t.v["product"+at]; name != "" {
			row.Head = name
		}
		product, amount := textField("product"+at, p.Say("season.product"), t.v["product"+at]), textField("amount"+at, p.Say("season.amount"), t.v["amount"+at])
		product.List, amount.Short = products, true
		price := numberField("price"+at, p.Say("season.price"), currency, t.v["price"+at])
		if i == 0 {
			amount.Help, price.Help = p.Say("season.amounthelp", pick(p.Units, "2 yd3", "2 m3")), p.Say("season.pricehelp")
		}
		of := selectField("each"+at, p.Say("season.each"), t.v["each"+at], each)
		from, until := selectField("from"+at, p.Say("season.from"), t.v["from"+at], months), selectField("until"+at, p.Say("season.until"), t.v["until"+at], months)
		of.Short, from.Short, until.Short = true, true, true
		row.Fields = []Field{product, amount, of, from, until, price}
		f.Rows = append(f.Rows, row)
		groups = append(groups, row.Fields)
	}
	f.Add = "/season#sale_" + strconv.Itoa(min(t.rows, mostSales-1))
	f.Problems = mark(problems, groups...)
	for i, g := range f.Groups {
		f.Groups[i].Open = g.Open || slices.ContainsFunc(g.Fields, func(x Field) bool { return x.Bad != "" })
	}
	return f
}

// chosen is the words of what is chosen in a list, its first where nothing is.
func chosen(f Field) string {
	for _, o := range f.Options {
		if o.Value == f.Value {
			return o.Label
		}
	}
	return f.Options[0].Label
}

// leftEmpty says what the newest plan took for a box that was left empty, and whence; ""
// where there is none or it was typed.
func (p person) leftEmpty(box string, y *app.Year) string {
	if y == nil {
		return ""
	}
	for _, x := range y.Facts {
		if x.Key != box || x.From == app.WhenceTyped {
			continue
		}
		value := p.number(x.Value)
		if box == "store" {
			value = p.cubic(x.Value)
		}
		return p.Say("season.leftempty", value, p.Say("season.from."+string(x.From)))
	}
	return ""
}

// saleOf reads one row; false where nothing stands in it.
func (p person) saleOf(t seasonTyped, i int) (d farm.SeasonDemand, problems []app.Problem, some bool) {
	at := "_" + strconv.Itoa(i)
	name, amount, price := t.v["product"+at], t.v["amount"+at], t.v["price"+at]
	if name == "" && amount == "" && price == "" {
		return d, nil, false
	}
	refuse := func(box, say, try string) {
		problems = append(problems, app.Problem{Field: box + at, Say: say, Try: try})
	}
	d = farm.SeasonDemand{Product: name, Each: t.v["each"+at]}
	d.From, _ = strconv.Atoi(t.v["from"+at])
	d.Until, _ = strconv.Atoi(t.v["until"+at])
	called := name
	if called == "" {
		called = p.Say("season.salerow", i+1)
		refuse("product", p.Say("season.noproduct", i+1), p.Say("season.noproducttry"))
	}
	var ok bool
	if d.Amount, d.Unit, ok = app.ReadAmount(amount); !ok {
		refuse("amount", p.Say("season.noamount", called, amount), p.Say("season.noamounttry", pick(p.Units, "2 yd3", "2 m3")))
	}
	if price != "" {
		x, ok := app.Price(price)
		if !ok {
			refuse("price", p.Say("costs.noprice", called, price), p.Say("costs.nopricetry"))
		}
		m := qty.Money(x.InexactFloat64())
		d.Price = &m
	}
	return d, problems, true
}

// seasonSave adds a row of sales, takes one out, or keeps what was typed and begins a
// new plan.
func (s *Server) seasonSave(w http.ResponseWriter, r *http.Request, p person) error {
	if s.Seasons == nil {
		return missing{p.Say("fault.nopage")}
	}
	t := seasonTyped{v: values{drawnFrom: typed(r, drawnFrom)}}
	for _, box := range seasonBoxes {
		t.v[box] = typed(r, box)
	}
	n, _ := strconv.Atoi(r.PostForm.Get("rows"))
	t.rows = min(max(n, 0), max(mostRead, s.seasonTyped(p).rows))
	for i := range t.rows {
		for _, box := range saleBoxes {
			t.v[box+"_"+strconv.Itoa(i)] = typed(r, box+"_"+strconv.Itoa(i))
		}
	}
	do := r.PostForm.Get("do")
	if do == "add" {
		t.rows = max(t.rows, min(t.rows+1, mostSales))
		return s.drawSeason(w, r, p, t, nil, http.StatusOK)
	}
	if at, drop := strings.CutPrefix(do, "drop_"); drop {
		t.drop(at)
		return s.drawSeason(w, r, p, t, nil, http.StatusOK)
	}
	s.settle.Lock()
	defer s.settle.Unlock()
	was := s.Farm.State().Settings.Season
	now, problems := s.seasonSaid(p, t, was)
	if problems != nil {
		return s.drawSeason(w, r, p, t, problems, http.StatusUnprocessableEntity)
	}
	if !reflect.DeepEqual(now, was) {
		if problems, changed := s.meanwhile(p, t.v, farm.KeySeason, typedSeason(was)); len(problems) > 0 {
			t.changed = changed
			return s.drawSeason(w, r, p, t, problems, http.StatusUnprocessableEntity)
		}
		ack, err := s.keepSetting(r.Context(), p, setting{farm.KeySeason, now})
		if err != nil {
			return err
		}
		if len(ack.Problems) > 0 {
			return s.drawSeason(w, r, p, t, ack.Problems, http.StatusUnprocessableEntity)
		}
	}
	s.Seasons.Plan()
	seeOther(w, r, "/season#top")
	return nil
}

// drop takes a row out; the last is emptied.
func (t *seasonTyped) drop(at string) {
	out, err := strconv.Atoi(at)
	if err != nil || out < 0 || out >= t.rows {
		return
	}
	for i := out; i < t.rows; i++ {
		for _, box := range saleBoxes {
			t.v[fmt.Sprint(box, "_", i)] = t.v[fmt.Sprint(box, "_", i+1)]
		}
	}
	t.rows = max(t.rows-1, 1)
}

// seasonSaid reads what was typed, with all that is wrong with it.
func (s *Server) seasonSaid(p person, t seasonTyped, was farm.SeasonSetup) (farm.SeasonSetup, []app.Problem) {
	now := farm.SeasonSetup{Feedstocks: was.Feedstocks, Demand: was.Demand}
	var problems []app.Problem
	read := func(key string, least, most float64) *float64 {
		text := t.v[key]
		if text == "" {
			return nil
		}
		n, ok := qty.Number(text)
		if !ok || n < least || n > most {
			problems = append(problems, app.Problem{Field: key, Say: p.Say("season.badbox", p.Say("season.field."+key), text), Try: p.Say("season.badboxtry", plainNumber(least), plainNumber(most))})
			return nil
		}
		return &n
	}
	if n := read("weeks", 1, 104); n != nil {
		now.Weeks = int(*n)
	}
	now.CrewHours, now.CureWeeks = read("crew", 0, season.MostCrew), read("cure", 0, 104)
	if people := len(s.Farm.State().Settings.People); people > 0 && now.CrewHours != nil && *now.CrewHours > float64(people*season.MostHours) {
		problems = append(problems, app.Problem{Field: "crew", Say: p.Count("season.crewlong", people, p.number(*now.CrewHours)), Try: p.Say("season.crewlongtry", season.MostHours)})
	}
	if n := read("store", 0, 1e5); n != nil {
		m := qty.CubicMetre(p.toM3(*n))
		now.StoreM3 = &m
	}
	if of := t.v["aim"]; of != farm.AimMoney && slices.Contains(farm.Aims(), of) {
		now.Aim = of
	}
	now.Cash, now.Spent = (*qty.Money)(read("cash", -1e9, 1e9)), (*qty.Money)(read("spent", 0, 1e7))
	now.Heat, now.Split = s.heatSaid(p, t.v, read, &problems), splitSaid(t.v, read)
	var rows []int // of the page, by row that something stands in
	amiss := map[int]bool{}
	for i := range t.rows {
		d, ps, some := p.saleOf(t, i)
		if !some {
			continue
		}
		now.Selling, rows = append(now.Selling, d), append(rows, i)
		problems, amiss[i] = append(problems, ps...), len(ps) > 0
	}
	for _, x := range app.DemandWrong(s.Farm.State(), now.Selling) {
		if i := rows[x.Row-1]; !amiss[i] {
			x.Field = "product_" + strconv.Itoa(i)
			problems = append(problems, x)
		}
	}
	return now, problems
}
