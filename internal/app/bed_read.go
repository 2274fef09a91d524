package app

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/nature"
	"wormyard/mix"
	"wormyard/qty"
	"wormyard/worm"
)

// bedder reads a request into the core's terms and runs it.
type bedder struct {
	mixer    *Mixer
	numbers  *nature.Numbers
	in       *BedRequest
	units    qty.System
	unread   []figure.Problem // what could not be read at all
	problems []figure.Problem
	notes    []string

	from  int64 // hour of the start, clock of the place
	box   bed.Box
	cover bed.Cover
	laid  []bed.Laid
	acts  []bed.Act
	air   climate.Series

	lots   map[uint64]lot // how the matter of a layer is made again, by layer
	ranged bool           // a property was given as a range
}

// lot makes the matter of one layer or feeding again with its ranges drawn.
type lot func(deviate func() float64) feedstock.Matter

// firstFed is the layer of the first event, past those that lie there from the start.
const firstFed = 1 << 19

func (b *bedder) tell(field, say, try string) {
	b.problems = append(b.problems, figure.Problem{Field: field, Say: say, Try: try})
}

// amiss tells whether something whose field begins so could not be read.
func (b *bedder) amiss(field string) bool {
	return slices.ContainsFunc(b.unread, func(p figure.Problem) bool { return strings.HasPrefix(p.Field, field) })
}

func (b *bedder) read(ctx context.Context) {
	b.lots = map[uint64]lot{}
	day, err := time.Parse(time.DateOnly, b.in.From)
	if err != nil {
		if at, other := time.Parse(time.RFC3339, b.in.From); other == nil {
			day, err = at.Truncate(24*time.Hour), nil
		}
	}
	if err != nil {
		b.tell("from", fmt.Sprintf("%q is not a day of the calendar.", b.in.From), "Write it as 2013-03-01.")
	}
	b.from = climate.DayNumber(day.Year(), int(day.Month()), day.Day()) * 24
	b.bin()
	b.place()
	b.layers()
	b.events(ctx)
	b.untold()
	b.soaked()
	b.crowded()
}

// untold says what was taken where no temperature was told.
func (b *bedder) untold() {
	if len(b.air.Hours) == 0 {
		return
	}
	temp := func(hour int64) string { return b.units.Temperature(qty.Celsius(b.air.At(hour).TempC)) }
	lie, lies := 0, len(b.laid)
	for _, l := range b.laid {
		if math.IsNaN(l.TempC) {
			lie++
		}
	}
	switch {
	case lie > 0 && lie == lies:
		b.notes = append(b.notes, fmt.Sprintf("How warm the bed is at the start was not told; it is taken as warm as the air of that hour, %s.", temp(b.from)))
	case lie > 0:
		b.notes = append(b.notes, fmt.Sprintf("How warm %d of the %d layers are at the start was not told; they are taken as warm as the air of that hour, %s.", lie, lies, temp(b.from)))
	}
	for _, a := range b.acts {
		if (a.Kind == bed.Feed || a.Kind == bed.Bedding) && math.IsNaN(a.TempC) {
			b.notes = append(b.notes, "What is laid on without a temperature is taken as warm as the air of its hour.")
			return
		}
	}
}

// soaked says that more water was poured on than a bed takes up.
func (b *bedder) soaked() {
	for _, a := range b.acts {
		if most := b.mixer.usual.MuchWater * b.box.Area(); a.Kind == bed.Water && most > 0 && a.WaterKg > most {
			b.notes = append(b.notes, fmt.Sprintf("%s of water at once is more than a bed takes up; what it does not hold runs out below.", b.units.Water(qty.WaterKg(a.WaterKg))))
			return
		}
	}
}

// crowded refuses more worms than the bin can hold at all, and says where there are
// more than a bed keeps.
func (b *bedder) crowded() {
	area, volume := b.box.Area(), b.box.Area()*b.box.DepthM
	if !(area > 0 && volume > 0) {
		return
	}
	p := &b.numbers.Bed.Worm
	wet := 0.0
	for _, l := range b.laid {
		wet += float64(l.Matter.Wet())
	}
	in, told := 0.0, false
	for k, a := range b.acts {
		if a.Kind != bed.Stock {
			continue
		}
		one := a.Worms.AdultKg + a.Worms.JuvenileKg
		in += one
		at := "worms"
		if !(k == 0 && b.in.Worms != nil) {
			at = "events"
		}
		switch {
		case at == "worms" && wet > 0 && one > wet:
			b.tell(at, fmt.Sprintf("%s of worms are to live in a bed of %s: they weigh more than the bed.", b.units.Mass(one), b.units.Mass(wet)), b.holds(area))
			return
		case one > volume*wormDensity:
			b.tell(at, fmt.Sprintf("%s of worms do not fit into a bin of %s, were there nothing but worms in it.", b.units.Mass(one), b.units.Volume(qty.CubicMetre(volume))), b.holds(area))
			return
		case in > p.CrowdFull*area && !told:
			told = true
			b.notes = append(b.notes, fmt.Sprintf("%s of worms are put into this bin. %s Beyond it they neither grow nor breed, and how fast they die or leave is a guess.", b.units.Mass(in), b.holds(area)))
		}
	}
}

// holds says what a bed of an area holds of worms. docs/model.md (W9).
func (b *bedder) holds(area float64) string {
	p := &b.numbers.Bed.Worm
	return fmt.Sprintf("A bed of this size is well stocked with %s and holds %s at the very most.", b.units.Mass(p.CrowdFrom*area), b.units.Mass(p.CrowdFull*area))
}

// wormDensity is the density of a worm, a little more than that of water [kg/m3].
const wormDensity = 1050

func (b *bedder) bin() {
	i := b.in.Bin
	p := &b.numbers.Bed
	b.box = bed.Box{LengthM: i.LengthM, WidthM: i.WidthM, DepthM: i.DepthM, HolesM2: i.HolesM2, Under: bed.Under(i.Under), Over: i.Over, Hidden: i.Hidden, WallU: p.WallU}
	if i.Wall != nil && i.U != nil {
		b.tell("bin.u_w_m2k", "The wall is given twice.", "Give one of wall and u_w_m2k.")
	}
	switch {
	case i.U != nil:
		b.box.WallU = *i.U
	case i.Wall == nil:
		b.notes = append(b.notes, "The wall was not told; 38 mm boards are taken.")
	case i.Wall.U != nil:
		b.box.WallU = *i.Wall.U
	case i.Wall.Number != nil:
		b.box.WallU = *i.Wall.Number
	default:
		b.box.WallU, _ = p.Wall(i.Wall.Name)
	}
	if i.Cover == nil {
		b.cover, _ = p.Cover("cloth")
		b.notes = append(b.notes, "The cover was not told; a cloth is taken.")
	} else {
		b.cover = b.covered(i.Cover, "bin.cover")
	}
}

func (b *bedder) covered(c *BedCover, field string) bed.Cover {
	if c.Name != "" {
		out, _ := b.numbers.Bed.Cover(c.Name)
		return out
	}
	if c.U == nil || c.Permeance == nil {
		b.tell(field, "A cover of your own needs both its heat transfer and its permeance.", `Give {"u_w_m2k":7,"permeance_ng_s_m2_pa":300}, or one of none, cloth, board, film.`)
		return bed.Cover{}
	}
	return bed.Cover{Name: "own", U: *c.U, Permeance: *c.Permeance * 1e-12}
}

// matter turns a typed part into matter for the bin; an amount in the part wins
// over the depth, which then only says how deep it lies.
func (b *bedder) matter(part MixPart, depth float64, at string, layer uint64) feedstock.Matter {
	r, problems := b.mixer.Resolve(part, at)
	b.problems = append(b.problems, problems...)
	if len(problems) > 0 {
		return feedstock.Matter{}
	}
	var q feedstock.Quantity
	given := 0
	for _, g := range []struct {
		set bool
		do  func()
	}{
		{part.WetKg != nil, func() { q.Wet = qty.WetKg(*part.WetKg) }},
		{part.DryKg != nil, func() { q.Dry = qty.DryKg(*part.DryKg) }},
		{part.VolumeM3 != nil, func() { q.Volume = qty.CubicMetre(*part.VolumeM3) }},
		{part.Mass != nil, func() { q.Wet = qty.WetKg(part.Mass.Value) }},
		{part.Volume != nil, func() { q.Volume = qty.CubicMetre(part.Volume.Value) }},
	} {
		if g.set {
			given++
			g.do()
		}
	}
	switch {
	case part.Share != nil:
		b.tell(at+".share", "A share is a share of a mix; this is one material.", "Give depth_m, a mass or a volume.")
		return feedstock.Matter{}
	case given > 1:
		b.tell(at, "The amount is given in more than one way.", "Give one of mass_kg_wet, mass_kg_dry, volume_m3, mass and volume, or only depth_m.")
		return feedstock.Matter{}
	case given == 0 && depth <= 0 && b.amiss(at+"."):
		return feedstock.Matter{} // an amount that could not be read, and that is told
	case given == 0 && depth <= 0:
		b.tell(at, "How much is not told.", `Give "depth_m", such as 0.05, or a mass or a volume.`)
		return feedstock.Matter{}
	case given == 0:
		q.Volume = qty.CubicMetre(depth * b.box.Area())
	}
	m, missing, err := r.Material.Amount(q)
	if err != nil {
		b.refused(err, at)
		return feedstock.Matter{}
	}
	if len(missing) > 0 {
		b.notes = append(b.notes, fmt.Sprintf("Of %s these are not known and taken as none: %s.", r.Name, strings.Join(missing, ", ")))
	}
	b.ranged = b.ranged || part.ranged()
	b.lots[layer] = func(deviate func() float64) feedstock.Matter {
		drawn, _, err := mix.Drawn(r.Material, deviate).Amount(q)
		if err != nil { // a draw at the edge of what can be
			return m
		}
		return drawn
	}
	return m
}

func (b *bedder) refused(err error, at string) {
	var refusal *figure.Refusal
	if !errors.As(err, &refusal) {
		b.tell(at, err.Error(), "")
		return
	}
	for _, p := range refusal.Problems {
		b.tell(strings.TrimSuffix(at+"."+p.Field, "."), p.Say, p.Try)
	}
}

// deep gives the depth told, in metres, 0 for none.
func (b *bedder) deep(m *float64, typed *contract.Typed, at string) float64 {
	if m != nil && typed != nil {
		b.tell(at+".depth", "The depth is given twice.", "Give one of depth and depth_m.")
	}
	switch {
	case m != nil:
		return *m
	case typed != nil:
		return typed.Value
	}
	return 0
}

func (b *bedder) layers() {
	for k, l := range b.in.Layers {
		at := fmt.Sprintf("layers[%d]", k)
		depth := b.deep(l.DepthM, l.Depth, at)
		temp := math.NaN()
		if l.TempC != nil {
			temp = *l.TempC
		}
		one := bed.Laid{DepthM: depth, TempC: temp, Castings: -1, Layer: uint64(k + 1)}
		if l.Castings {
			if l.Material != "" || l.Name != "" {
				b.tell(at+".castings", "Castings are named beside another material.", "Leave castings out, or give castings alone.")
			}
			if depth <= 0 && !b.amiss(at+".depth") {
				b.tell(at, "How deep the castings lie is not told.", `Give "depth_m".`)
			}
			one.Matter = bed.Castings(&b.numbers.Bed, qty.CubicMetre(depth*b.box.Area()))
		} else {
			one.Matter = b.matter(l.MixPart, depth, at, one.Layer)
		}
		if l.AgeDays != nil {
			one.AgeDays = *l.AgeDays
		}
		if l.CastingsFrac != nil {
			one.Castings = *l.CastingsFrac
		}
		b.laid = append(b.laid, one)
	}
	if len(b.in.Layers) == 0 {
		b.notes = append(b.notes, "No layers are told, so the bin starts empty.")
	}
}

func (b *bedder) events(ctx context.Context) {
	if w := b.in.Worms; w != nil {
		b.acts = append(b.acts, bed.Act{Hour: b.from, Kind: bed.Stock, Worms: worm.Stock{AdultKg: w.AdultKg, JuvenileKg: w.JuvenileKg, Cocoons: w.Cocoons}})
	}
	for k := range b.in.Events {
		e := &b.in.Events[k]
		at := fmt.Sprintf("events[%d]", k)
		if e.Day >= float64(b.in.Days) {
			b.tell(at+".day", fmt.Sprintf("Day %g is at or after the end; the run has %d days.", e.Day, b.in.Days), "Raise days, or leave the event out.")
		}
		a := bed.Act{Hour: b.from + int64(math.Floor(e.Day*24)), TempC: math.NaN(), Layer: firstFed + uint64(k)}
		if e.TempC != nil {
			a.TempC = *e.TempC
		}
		depth := b.deep(e.DepthM, e.Depth, at)
		switch e.Kind {
		case "feed", "bed":
			a.Kind, a.DepthM = bed.Feed, depth
			if e.Kind == "bed" {
				a.Kind = bed.Bedding
			}
			a.Side = side(e.Side)
			over := depth
			if a.Side != bed.Whole {
				over /= 2
			}
			a.Matter = b.fed(ctx, e, over, at, a.Layer)
		case "water":
			a.Kind = bed.Water
			b.needs(at+".kg", e.Kg != nil, "How much water is not told.", `Give "kg".`)
			if e.Kg != nil {
				a.WaterKg = *e.Kg
			}
		case "cover":
			a.Kind = bed.Covered
			b.needs(at+".cover", e.Cover != nil, "Which cover is not told.", "Give one of none, cloth, board, film.")
			if e.Cover != nil {
				a.Cover = b.covered(e.Cover, at+".cover")
			}
		case "heat":
			a.Kind = bed.Heat
			b.needs(at+".w", e.W != nil, "How strong the heater is set is not told.", `Give "w"; 0 turns it off.`)
			if e.W != nil {
				a.Watts = *e.W
			}
		case "turn":
			a.Kind, a.DepthM = bed.Turn, depth
		case "stock":
			a.Kind = bed.Stock
			b.needs(at, e.AdultKg != nil || e.JuvenileKg != nil || e.Cocoons != nil, "How many worms is not told.", `Give "adult_kg", "juvenile_kg" or "cocoons".`)
			for _, g := range []struct{ from, to *float64 }{{e.AdultKg, &a.Worms.AdultKg}, {e.JuvenileKg, &a.Worms.JuvenileKg}, {e.Cocoons, &a.Worms.Cocoons}} {
				if g.from != nil {
					*g.to = *g.from
				}
			}
		case "take":
			a.Kind, a.DepthM, a.From = bed.Take, depth, bed.End(e.From)
			if a.Side = side(e.Side); a.Side != bed.Whole {
				break
			}
			b.needs(at+".depth_m", depth > 0, "How deep is taken is not told.", `Give "depth_m".`)
			b.needs(at+".from", e.From != "", "From which end it is taken is not told.", `Give "from":"top" or "bottom", or the "side" that is taken.`)
		}
		b.acts = append(b.acts, a)
	}
	slices.SortStableFunc(b.acts, func(x, y bed.Act) int { return int(x.Hour - y.Hour) })
}

// side gives the half of a bin by its name.
func side(name string) bed.Side {
	switch name {
	case "left":
		return bed.Left
	case "right":
		return bed.Right
	}
	return bed.Whole
}

func (b *bedder) needs(field string, have bool, say, try string) {
	if !have {
		b.tell(field, say, try)
	}
}

// fed gives the matter of a feeding: a part, or a mix scaled to the depth or the
// mass told.
func (b *bedder) fed(ctx context.Context, e *BedEvent, depth float64, at string, layer uint64) feedstock.Matter {
	if e.Mix == nil {
		return b.matter(e.MixPart, depth, at, layer)
	}
	if e.Material != "" || e.Name != "" {
		b.tell(at, "Both a material and a mix are given.", "Give one of the two.")
	}
	answer, err := b.mixer.Answer(ctx, *e.Mix, b.units)
	if err != nil {
		b.refused(err, at+".mix")
		return feedstock.Matter{}
	}
	if answer.Possible != nil && !*answer.Possible {
		b.tell(at+".mix", "No mix meets this target.", "Run wormyard mix with it to see what blocks.")
	}
	if depth > 0 && e.WetKg == nil && answer.Matter.Volume <= 0 {
		b.tell(at, "The volume of this mix is not known, so a depth of it is no amount.", "Give mass_kg_wet, or the density of the parts.")
	}
	scaled := func(m feedstock.Matter) feedstock.Matter {
		switch {
		case e.WetKg != nil && m.Wet() > 0:
			return m.Times(*e.WetKg / float64(m.Wet()))
		case depth > 0 && m.Volume > 0:
			return m.Times(depth * b.box.Area() / float64(m.Volume))
		}
		return m
	}
	b.ranged = b.ranged || e.Mix.ranged()
	b.lots[layer] = func(deviate func() float64) feedstock.Matter {
		drawn, err := mix.Forward(b.mixer.Parameters, answer.Recipe.Drawn(deviate))
		if err != nil { // a draw at the edge of what can be
			return scaled(answer.Matter)
		}
		return scaled(drawn.Matter)
	}
	return scaled(answer.Matter)
}

// run runs the members and gathers the answer.
