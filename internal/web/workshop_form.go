package web

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"wormyard/carpentry"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// boxForm is what stands in the boxes of the workshop, by name.
type boxForm map[string]string

// boxNames are the boxes, in order; those of stock come after them.
var boxNames = []string{"length", "width", "height", "high", "fill", "truck", "center", "axle", "forks", "wall", "floor", "bearer", "bearers", "skid", "skids", "post", "posts", "wood", "liner",
	"fastener", "thick", "point", "joint", "hole", "feed", "every", "material", "air", "bins", "kerf", "linercost", "fastcost", "beside"}

const stockName = "stock-"

// boxTyped gives what stands in the boxes that were sent, over those of a start.
func boxTyped(v url.Values, start boxForm) boxForm {
	f := boxForm{}
	for k, x := range start {
		f[k] = x
	}
	for k := range v {
		if slices.Contains(boxNames, k) || strings.HasPrefix(k, stockName) {
			f[k] = strings.TrimSpace(v.Get(k))
		}
	}
	return f
}

// query is the address of the same bin.
func (f boxForm) query() string {
	q := url.Values{}
	for k, x := range f {
		q.Set(k, x)
	}
	return q.Encode()
}

// inchText writes a length of carpentry [in] as a person types it.
func inchText(p person, v float64) string {
	if p.Units == qty.Metric {
		return qty.Figures(roundTo(v*2.54, 0.01)) + " cm"
	}
	return inchTyped(v)
}

// inchSaid tells a length of carpentry [in]: to the sixteenth, as a tape has it, or
// in whole millimetres.
func inchSaid(p person, v float64) string {
	if p.Units == qty.Metric {
		return qty.Figures(math.Round(v*25.4)) + " mm"
	}
	return carpentry.Inches(v) + " in"
}

const kgM3PerLbFt3 = qty.KgPerPound / qty.M3PerCubicFoot

// boxFormOf writes a bin into the boxes.
func boxFormOf(p person, in app.BoxRequest) boxForm {
	n := func(v float64) string { return plainNumber(roundTo(v, 0.001)) }
	b := in.Build
	f := boxForm{
		"length": inchText(p, in.Length), "width": inchText(p, in.Width), "height": inchText(p, in.Height), "high": strconv.Itoa(in.High),
		"wall": b.Wall, "floor": b.Floor, "bearer": b.Bearer, "bearers": strconv.Itoa(b.Bearers), "skid": b.Skid, "skids": strconv.Itoa(b.Skids), "post": b.Post, "posts": "outside",
		"wood": b.Species + ", " + b.Grade, "liner": "none", "fastener": b.Fastener, "thick": inchText(p, b.Diameter), "point": inchText(p, b.Point), "joint": strconv.Itoa(b.PerJoint),
		"bins": strconv.Itoa(in.Bins), "kerf": inchText(p, in.Kerf), "center": inchText(p, 24), "axle": "", "forks": inchText(p, 24),
	}
	if b.PostsInside {
		f["posts"] = "inside"
	}
	if b.Lined {
		f["liner"] = b.Liner
	}
	if in.Fill != nil {
		f["fill"] = densityText(p, *in.Fill)
	}
	if t := in.Truck; t != nil {
		f["truck"], f["center"], f["forks"] = qty.Figures(pickNumber(p.Units, t.Rated, t.Rated*qty.KgPerPound))+pick(p.Units, " lb", " kg"), inchText(p, t.Center), inchText(p, t.Forks)
		if t.Axle > 0 {
			f["axle"] = inchText(p, t.Axle)
		}
	}
	if a := in.Air; a != nil {
		f["hole"], f["feed"], f["every"], f["material"] = inchText(p, a.Hole), inchText(p, a.Bed.FeedIn), n(a.Bed.EveryDays), a.Bed.Material
		f["air"] = p.Units.Temperature(qty.Celsius(a.Bed.AirC))
	}
	for _, s := range in.Stock {
		one := feetText(s.Length)
		if s.Price > 0 {
			one += " " + n(s.Price)
		}
		key := stockName + s.Stick
		if f[key] != "" {
			f[key] += "; "
		}
		f[key] += one
	}
	if in.Prices.Liner > 0 {
		f["linercost"] = n(in.Prices.Liner)
	}
	if in.Prices.Fastener > 0 {
		f["fastcost"] = n(in.Prices.Fastener)
	}
	return f
}

func densityText(p person, lbFt3 float64) string {
	if p.Units == qty.Metric {
		return qty.Figures(lbFt3*kgM3PerLbFt3) + " kg/m3"
	}
	return qty.Figures(lbFt3) + " lb/ft3"
}

// feetText is a length that is sold, in feet where it is whole ones.
func feetText(in float64) string {
	if ft := in / 12; math.Abs(ft-math.Round(ft)) < 1e-9 {
		return plainNumber(math.Round(ft)) + " ft"
	}
	return inchTyped(in)
}

// inchTyped writes a length [in] so that it is the same when it is read again.
func inchTyped(v float64) string {
	if math.Abs(v*16-math.Round(v*16)) < 1e-6 {
		return carpentry.Inches(v) + " in"
	}
	return plainNumber(roundTo(v, 0.001)) + " in"
}

// usualStock is what is offered in the boxes of sticks that nothing was said of.
const usualStock = "8 ft; 10 ft; 12 ft; 16 ft"

// boxReader reads the boxes of the workshop, and gathers all that is wrong.
type boxReader struct {
	s        *Server
	p        person
	f        boxForm
	problems []app.Problem
}

func (r *boxReader) tell(field, say, try string) {
	r.problems = append(r.problems, app.Problem{Field: field, Say: say, Try: try})
}

// dim reads a quantity in its stored unit; 0 and false where the box is empty.
func (r *boxReader) dim(name string, d qty.Dimension, unit string) (float64, bool) {
	if r.f[name] == "" {
		return 0, false
	}
	v, ps := r.s.number(r.p, journal.Field{Key: name, Label: r.p.Say("workshop.f." + name), Dim: dimension(d), Unit: unit}, r.f[name])
	r.problems = append(r.problems, ps...)
	return v, ps == nil
}

// inches reads a length that must be there.
func (r *boxReader) inches(name string, otherwise float64) float64 {
	v, ok := r.dim(name, qty.Length, "m")
	if !ok {
		return otherwise
	}
	return roundTo(v/qty.MetrePerInch, 1e-6)
}

func (r *boxReader) number(name string, otherwise float64) float64 {
	if r.f[name] == "" {
		return otherwise
	}
	v, ok := qty.Number(r.f[name])
	if !ok || math.IsNaN(v) || math.IsInf(v, 0) {
		r.tell(name, r.p.Say("form.nonumber", r.p.Say("workshop.f."+name), r.f[name]), r.p.Say("form.nonumbertry", "3"))
		return otherwise
	}
	return v
}

func (r *boxReader) whole(name string, otherwise int) int {
	v := r.number(name, float64(otherwise))
	if v != math.Round(v) || math.Abs(v) > 1e6 {
		r.tell(name, r.p.Say("workshop.whole", r.p.Say("workshop.f."+name), r.f[name]), r.p.Say("workshop.wholetry"))
		return otherwise
	}
	return int(v)
}

// between refuses a number that lies outside what can be worked with.
func (r *boxReader) between(name string, v, low, high float64, say func(float64) string) {
	if v < low || v > high {
		r.tell(name, r.p.Say("workshop.range", r.p.Say("workshop.f."+name), r.f[name]), r.p.Say("workshop.rangetry", say(low), say(high)))
	}
}

// request reads the boxes into a request. Limits that the core tells itself are
// left to it.
func (r *boxReader) request(start app.BoxRequest) app.BoxRequest {
	in, f, p := start, r.f, r.p
	inch := func(v float64) string { return inchText(p, v) }
	in.Length, in.Width, in.Height, in.High = r.inches("length", 0), r.inches("width", 0), r.inches("height", 0), r.whole("high", 1)
	in.Fill = nil
	if v, ok := r.dim("fill", qty.Density, "kg/m3"); ok {
		lb := v / kgM3PerLbFt3
		in.Fill = &lb
	}
	in.Truck = nil
	if v, ok := r.dim("truck", qty.Mass, "kg"); ok {
		low, high := 100*qty.KgPerPound, 100000*qty.KgPerPound // as the request has them, but for a plate of next to nothing
		r.between("truck", v, low, high, func(kg float64) string { return printable(p.Units.Mass(kg)) })
		in.Truck = &app.BoxTruck{Rated: v / qty.KgPerPound, Center: r.inches("center", 24), Axle: r.inches("axle", 0), Forks: r.inches("forks", 24)}
	}
	b := &in.Build
	b.Wall, b.Floor, b.Bearer, b.Skid, b.Post = f["wall"], f["floor"], f["bearer"], f["skid"], f["post"]
	b.Bearers, b.Skids, b.PostsInside = r.whole("bearers", 3), r.whole("skids", 3), f["posts"] == "inside"
	b.Species, b.Grade, _ = strings.Cut(f["wood"], ", ")
	b.Lined = f["liner"] != "none"
	if b.Lined {
		if !slices.Contains(carpentry.Liners, f["liner"]) {
			r.tell("liner", p.Say("workshop.noliner", f["liner"]), p.Say("workshop.choosetry"))
		}
		b.Liner = f["liner"]
	}
	b.Fastener = f["fastener"]
	if b.Fastener != "nail" && b.Fastener != "screw" {
		r.tell("fastener", p.Say("workshop.nofastener", f["fastener"]), p.Say("workshop.choosetry"))
	}
	b.Diameter, b.Point, b.PerJoint = r.inches("thick", 0), r.inches("point", 0), r.whole("joint", 0)
	in.Air = nil
	if f["hole"] != "" {
		a := app.BoxAir{Hole: r.inches("hole", 1), Inside: 0.14, Vapour: 0.01, Bed: app.BoxBed{Material: f["material"], FeedIn: r.inches("feed", 2), EveryDays: r.number("every", 7), AirC: 20}}
		if v, ok := r.dim("air", qty.Temperature, "C"); ok {
			a.Bed.AirC = v
		}
		r.between("hole", a.Hole, 0.1, 6, inch)
		r.between("feed", a.Bed.FeedIn, 0.25, 12, inch)
		r.between("every", a.Bed.EveryDays, 1, 60, plainNumber)
		r.between("air", a.Bed.AirC, -10, 45, func(v float64) string { return p.Units.Temperature(qty.Celsius(v)) })
		in.Air = &a
	}
	in.Bins, in.Kerf = r.whole("bins", 1), r.inches("kerf", 0.125)
	r.between("bins", float64(in.Bins), 1, 1000, plainNumber)
	in.Stock = nil
	for _, stick := range sticksIn(in) {
		in.Stock = append(in.Stock, r.stock(stick)...)
	}
	in.Prices = app.BoxPrices{Liner: r.number("linercost", 0), Fastener: r.number("fastcost", 0)}
	r.between("linercost", in.Prices.Liner, 0, 1000, plainNumber)
	r.between("fastcost", in.Prices.Fastener, 0, 100, plainNumber)
	return in
}

// sticksIn are the sticks that a build is cut from.
func sticksIn(in app.BoxRequest) (out []string) {
	b := in.Build
	for _, s := range []string{b.Wall, b.Floor, b.Bearer, b.Skid, b.Post} {
		if _, known := carpentry.Dressed(s); known && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// stock reads lengths with their prices: "8 ft 5.98; 10 ft".
func (r *boxReader) stock(stick string) (out []app.BoxStock) {
	text, said := r.f[stockName+stick]
	if !said || text == "" {
		text = usualStock
	}
	for _, one := range strings.FieldsFunc(text, func(c rune) bool { return c == ';' || c == '\n' }) {
		words := strings.Fields(one)
		if len(words) == 0 {
			continue
		}
		length, price := strings.Join(words, " "), 0.0
		if len(words) > 1 {
			if v, ok := qty.Number(words[len(words)-1]); ok {
				length, price = strings.Join(words[:len(words)-1], " "), v
			}
		}
		m, err := qty.Parse(length, qty.Length)
		in := roundTo(m/qty.MetrePerInch, 1e-6)
		if err != nil || !(in >= 1 && in <= 480) || !(price >= 0 && price <= 100000) {
			r.tell(stockName+stick, r.p.Say("workshop.badstock", stick, strings.TrimSpace(one)), r.p.Say("workshop.badstocktry"))
			continue
		}
		out = append(out, app.BoxStock{Stick: stick, Length: in, Price: price})
	}
	return out
}

// boxField gives the box of a field of the request or of a bin.
func (f boxForm) field(path string) string {
	for from, to := range map[string]string{"length_in": "length", "width_in": "width", "height_in": "height", "stack_high": "high", "fill_lb_ft3": "fill", "forks_in": "forks", "grade": "wood", "species": "wood",
		"air.hole_in": "hole", "air.bed.material": "material", "air.bed.feed_in": "feed", "air.bed.air_c": "air", "fastener": "thick", "kerf_in": "kerf"} {
		if path == from {
			return to
		}
	}
	var i int
	if n, err := fmt.Sscanf(path, "pieces[%d]", &i); n == 1 && err == nil && i >= 0 && i < len(piecesFrom) {
		return stockName + f[piecesFrom[i]]
	}
	return path
}

// piecesFrom are the boxes that name the sticks of the pieces of a bin, in the
// order in which the core lists them.
var piecesFrom = []string{"wall", "wall", "post", "floor", "bearer", "skid"}

// besides are the changes that a bin is compared with, by name.
var besides = []struct {
	key    string
	change func(*app.BoxBuild)
}{
	{"lining", func(b *app.BoxBuild) { b.Lined = !b.Lined }},
	{"foam", func(b *app.BoxBuild) { b.Lined, b.Liner = true, carpentry.Liners[2] }},
	{"thin", func(b *app.BoxBuild) { b.Wall, b.Floor = "1x6", "1x6" }},
	{"posts", func(b *app.BoxBuild) { b.PostsInside = !b.PostsInside }},
	{"redwood", func(b *app.BoxBuild) { b.Species, b.Grade = "redwood", "No 2" }},
}

const keptPrefix = "kept "

// beside gives the build that a bin is compared with and what it is called.
func (r *boxReader) beside(in app.BoxRequest) (app.BoxRequest, string, bool) {
	name := r.f["beside"]
	if kept, ok := strings.CutPrefix(name, keptPrefix); ok {
		for _, k := range app.KeptBoxes(r.s.Farm.State()) {
			if k.Name == kept {
				return k.Box, k.Name, true
			}
		}
	}
	for _, x := range besides {
		if x.key != name {
			continue
		}
		out := in
		x.change(&out.Build)
		out.Stock = nil
		for _, stick := range sticksIn(out) {
			out.Stock = append(out.Stock, r.stock(stick)...)
		}
		if out.Build.Species != in.Build.Species { // what was typed is the price of the other wood
			for i := range out.Stock {
				out.Stock[i].Price = 0
			}
		}
		return out, r.p.Say("workshop.beside." + x.key), true
	}
	return in, "", false
}

// boxFields lays out the boxes in groups.
func (s *Server) boxFields(p person, f boxForm, in, beside app.BoxRequest) []BoxGroup {
	text := func(name string) Field {
		x := textField(name, p.Say("workshop.f."+name), f[name])
		x.Short = true
		return x
	}
	help := func(x Field, key string) Field { x.Help = p.Say(key); return x }
	sticks := func(name string) Field {
		return selectField(name, p.Say("workshop.f."+name), f[name], plainOptions(carpentry.Sticks()...))
	}
	chips := func(name string, values ...string) Field {
		var o []Option
		for _, v := range values {
			o = append(o, Option{Value: v, Label: p.Say("workshop." + name + "." + strings.ReplaceAll(v, " ", ""))})
		}
		return chipsField(name, p.Say("workshop.f."+name), f[name], o)
	}
	var woods []Option
	for _, g := range s.grades() {
		woods = append(woods, Option{Value: g.Species + ", " + g.Grade, Label: p.Told(g.Species) + ", " + p.Told(g.Grade)})
	}
	var stock []Field
	seen := slices.Concat(sticksIn(in), sticksIn(beside))
	slices.Sort(seen)
	for _, stick := range slices.Compact(seen) {
		key := stockName + stick
		x := textField(key, p.Say("workshop.f.stock", stick), f[key])
		if x.Value == "" {
			x.Value = usualStock
		}
		stock = append(stock, x)
	}
	if len(stock) > 0 {
		stock[len(stock)-1].Help = p.Say("workshop.stockhelp")
	}
	material := textField("material", p.Say("workshop.f.material"), f["material"])
	material.List = s.Materials
	money := func(name string) Field {
		return numberField(name, p.Say("workshop.f."+name), s.Farm.State().Settings.Money.Currency, f[name])
	}
	return []BoxGroup{
		{Key: "size", Title: p.Say("workshop.g.size"), Open: true, Fields: []Field{text("length"), help(text("width"), "workshop.widthhelp"), text("height"), text("high"), help(text("fill"), pick(p.Units, "workshop.fillhelp", "workshop.fillhelpsi"))}},
		{Key: "truck", Title: p.Say("workshop.g.truck"), Open: f["truck"] == "", Fields: []Field{help(text("truck"), "workshop.truckhelp"), text("center"), help(text("axle"), "workshop.axlehelp"), text("forks")}},
		{Key: "build", Title: p.Say("workshop.g.build"), Fields: []Field{sticks("wall"), sticks("floor"), sticks("bearer"), text("bearers"), sticks("skid"), text("skids"), sticks("post"), chips("posts", "outside", "inside"),
			selectField("wood", p.Say("workshop.f.wood"), f["wood"], woods), chips("liner", append([]string{"none"}, carpentry.Liners...)...), chips("fastener", "screw", "nail"), text("thick"), help(text("point"), "workshop.pointhelp"), text("joint")}},
		{Key: "air", Title: p.Say("workshop.g.air"), Fields: []Field{help(text("hole"), "workshop.holehelp"), material, text("feed"), text("every"), text("air")}},
		{Key: "buy", Title: p.Say("workshop.g.buy"), Fields: slices.Concat([]Field{text("bins")}, stock, []Field{money("linercost"), money("fastcost"), text("kerf")})},
	}
}

// BoxGroup is boxes that belong together.
type BoxGroup struct {
	Key, Title, Help string
	Open             bool
	Fields           []Field
}

// grades are the woods that are known, as the program's data has them.
func (s *Server) grades() []carpentry.Grade {
	if s.Workshop == nil {
		return nil
	}
	return s.Workshop.Grades()
}
