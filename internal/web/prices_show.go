package web

import (
	"fmt"
	"net/http"
	"reflect"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/qty"
)

// PricesPage is the price list, a line a product.
type PricesPage struct {
	Frame
	Action, ID, Back string
	Problems         []Complaint
	Lines            []PriceLine
	Submit           string
}

// PriceLine is one product with its boxes.
type PriceLine struct {
	Head   string
	Fields []Field
}

// spareLines is how many empty lines stand under the price list, and mostProducts how
// many it holds.
const (
	spareLines   = 3
	mostProducts = 40
)

var priceBoxes = []string{"name", "as", "size", "price", "steps", "parts"}

func (s *Server) pricesShow(w http.ResponseWriter, r *http.Request, p person) error {
	list := s.Farm.State().Settings.Money.Products
	v := values{}
	for i, x := range list {
		size := ""
		switch {
		case x.Volume != nil:
			size = p.volumeText(*x.Volume)
		case x.Mass != nil:
			size = p.massText(*x.Mass)
		}
		var steps []string
		for _, st := range x.Steps {
			steps = append(steps, fmt.Sprintf("%d: %s", st.From, plainNumber(float64(st.Price))))
		}
		var parts []string
		for _, part := range x.Parts {
			parts = append(parts, part.What+": "+plainNumber(float64(part.Cost)))
		}
		for box, text := range map[string]string{"parts": strings.Join(parts, ", "), "name": x.Name, "as": x.Kind(), "size": size, "price": plainNumber(float64(x.Price)), "steps": strings.Join(steps, ", ")} {
			v[box+"_"+strconv.Itoa(i)] = text
		}
	}
	return s.drawPrices(w, r, p, len(list), v, nil)
}

// volumeText gives a volume as a box holds it: bags in cubic feet or litres, what is
// larger in yards or cubic metres. An odd one keeps the unit that it is stored in.
func (p person) volumeText(v qty.CubicMetre) string {
	type unit struct {
		name string
		m3   float64
	}
	units := []unit{{"L", 0.001}, {"m³", 1}}
	if p.Units == qty.US {
		units = []unit{{"ft³", qty.M3PerCubicYard / 27}, {"yd³", qty.M3PerCubicYard}}
	}
	at := units[0]
	if float64(v) > 0.5*qty.M3PerCubicYard {
		at = units[1]
	}
	return qty.Figures(float64(v)/at.m3) + " " + at.name
}

func (p person) massText(m qty.WetKg) string {
	if p.Units == qty.US {
		return qty.Figures(float64(m)/qty.KgPerPound) + " lb"
	}
	return qty.Figures(float64(m)) + " kg"
}

func (s *Server) drawPrices(w http.ResponseWriter, r *http.Request, p person, n int, v values, problems []app.Problem) error {
	page := PricesPage{Frame: s.frame(r, p, p.Say("prices.title"), "more"), Action: "/prices", ID: s.NewID(p.Now), Back: "/orders", Submit: p.Say("form.save")}
	var kinds []Option
	for _, k := range farm.SoldAs() {
		kinds = append(kinds, Option{Value: k, Label: p.Say("prices.as." + k)})
	}
	currency := s.Farm.State().Settings.Money.Currency
	var groups [][]Field
	for i := range min(n+spareLines, mostProducts) {
		at := "_" + strconv.Itoa(i)
		line := PriceLine{Head: p.Say("prices.line", i+1)}
		if name := v["name"+at]; name != "" {
			line.Head = name
		}
		name, size, price, steps := textField("name"+at, p.Say("prices.name"), v["name"+at]), textField("size"+at, p.Say("prices.size"), v["size"+at]), numberField("price"+at, p.Say("prices.price"), currency, v["price"+at]), textField("steps"+at, p.Say("prices.steps"), v["steps"+at])
		size.Help, steps.Help, size.Short = p.Say("prices.sizehelp"), p.Say("prices.stepshelp"), true
		line.Fields = []Field{name, selectField("as"+at, p.Say("prices.as"), v["as"+at], kinds), size, price, steps}
		if v["as"+at] == farm.SoldKits || v["parts"+at] != "" {
			parts := textField("parts"+at, p.Say("prices.parts"), v["parts"+at])
			parts.Help = p.Say("prices.partshelp")
			line.Fields = append(line.Fields, parts)
		}
		page.Lines = append(page.Lines, line)
		groups = append(groups, line.Fields)
	}
	status := http.StatusOK
	if len(problems) > 0 {
		status = http.StatusUnprocessableEntity
		page.Problems = mark(problems, groups...)
	}
	return s.draw(w, "prices", status, page)
}

// pricesSave keeps the price list as one setting. A line without anything in it is left
// out; everything that is wrong is told at once.
func (s *Server) pricesSave(w http.ResponseWriter, r *http.Request, p person) error {
	v, n := values{}, 0
	for i := range mostProducts {
		for _, box := range priceBoxes {
			key := box + "_" + strconv.Itoa(i)
			if v[key] = typed(r, key); v[key] != "" && box != "as" {
				n = i + 1
			}
		}
	}
	var list []farm.ProductSetup
	var problems []app.Problem
	var lines []int // of the page, by product
	for i := range n {
		x, ps, some := s.priceLine(p, v, i)
		if some {
			list, lines = append(list, x), append(lines, i)
			problems = append(problems, ps...)
		}
	}
	read := map[string]bool{}
	for _, x := range problems {
		read[x.Field] = true
	}
	for _, x := range app.PricesWrong(list) {
		box, at, _ := strings.Cut(x.Field, "_")
		k, _ := strconv.Atoi(at)
		if x.Field = box + "_" + strconv.Itoa(lines[k]); !read[x.Field] {
			problems = append(problems, x)
		}
	}
	if len(problems) > 0 {
		return s.drawPrices(w, r, p, n, v, problems)
	}
	money := s.Farm.State().Settings.Money
	if reflect.DeepEqual(money.Products, list) {
		seeOther(w, r, "/orders#prices")
		return nil
	}
	money.Products = list
	ack, err := s.keepSetting(r.Context(), p, setting{farm.KeyMoney, money})
	if err != nil {
		return err
	}
	if !ack.Saved {
		return s.drawPrices(w, r, p, n, v, ack.Problems)
	}
	seeOther(w, r, withSaid("/orders#prices", ack.Entry.ID))
	return nil
}

// priceLine reads one line; false where nothing stands in it.
func (s *Server) priceLine(p person, v values, i int) (x farm.ProductSetup, problems []app.Problem, some bool) {
	at := "_" + strconv.Itoa(i)
	for _, box := range priceBoxes {
		some = some || box != "as" && v[box+at] != ""
	}
	if !some {
		return x, nil, false
	}
	refuse := func(box, say, try string) {
		problems = append(problems, app.Problem{Field: box + at, Say: say, Try: try})
	}
	x.Name, x.As = v["name"+at], v["as"+at]
	called := x.Name
	if called == "" {
		called = p.Say("prices.line", i+1)
	}
	if text := v["size"+at]; text != "" {
		if m3, err := qty.Parse(text, qty.Volume); err == nil {
			size := qty.CubicMetre(m3)
			x.Volume = &size
		} else if kg, err := qty.Parse(text, qty.Mass); err == nil {
			size := qty.WetKg(kg)
			x.Mass = &size
		} else {
			refuse("size", p.Say("prices.nosize", called, text), p.Say("prices.nosizetry"))
		}
	}
	price, ok := app.Price(v["price"+at])
	if !ok {
		refuse("price", p.Say("costs.noprice", called, v["price"+at]), p.Say("costs.nopricetry"))
	}
	x.Price = qty.Money(price.InexactFloat64())
	for _, part := range strings.FieldsFunc(v["steps"+at], func(r rune) bool { return r == ';' || r == '\n' || r == ',' }) {
		from, each, cut := strings.Cut(part, ":")
		number, err := strconv.Atoi(strings.TrimSpace(from))
		step, ok := app.Price(strings.TrimSpace(each))
		if !cut || err != nil || !ok {
			refuse("steps", p.Say("prices.nostep", called, strings.TrimSpace(part)), p.Say("prices.nosteptry"))
			break
		}
		x.Steps = append(x.Steps, farm.PriceStep{From: number, Price: qty.Money(step.InexactFloat64())})
	}
	for _, part := range strings.FieldsFunc(v["parts"+at], func(r rune) bool { return r == ';' || r == '\n' || r == ',' }) {
		what, each, cut := strings.Cut(part, ":")
		c, ok := app.Price(strings.TrimSpace(each))
		if what = strings.TrimSpace(what); !cut || what == "" || !ok {
			refuse("parts", p.Say("prices.nopart", strings.TrimSpace(part), called), p.Say("prices.noparttry"))
			break
		}
		x.Parts = append(x.Parts, farm.KitPart{What: what, Cost: qty.Money(c.InexactFloat64())})
	}
	return x, problems, true
}
