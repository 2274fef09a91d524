package web

import (
	"net/http"
	"net/url"
	"strings"

	"wormyard/bed"
	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/qty"
	"wormyard/twin"
)

// workingBin shows how what is likely in a bin came about: for each number the
// bin's own values that it is made of, the equations by their numbers in
// docs/model.md, those that stand alone worked out with the bin's values, and
// what came out.
func (s *Server) workingBin(w http.ResponseWriter, r *http.Request, p person) error {
	state, b, err := s.bin(r, p)
	if err != nil {
		return err
	}
	page := WorkingPage{Frame: s.frame(r, p, p.Say("working.bin", b.Name), "barn"), BackTo: binTo(b.Name), BackName: binTitle(p, state, b), Heading: p.Say("working.bin", b.Name)}
	page.One = true
	look, err := s.outlook(r.Context(), b.Name)
	if err != nil {
		return err
	}
	if look == nil || b.Bed == nil {
		page.Under = p.Say("bin.notwin")
		return s.draw(w, "working", http.StatusOK, page)
	}
	page.Under = p.Say("working.twin", look.Members, p.Moment(look.Made))
	page.Says = append(page.Says, p.Say("working.twinhow"), p.Say("working.twinrange"), p.Words.List([]string{
		p.Count("working.fed", b.Bed.Feedings), p.Count("working.looked", len(b.Bed.Looks)), p.Count("working.read", len(b.Bed.Readings))})+p.Say("working.lookmoves"))
	if m := look.Corrected; m != (bed.Contents{}) {
		page.Says = append(page.Says, p.Say("learned.booked", printable(p.Units.Mass(m.Dry)), printable(p.Units.Mass(m.Water))))
	}
	page.Says = append(page.Says, p.learned(look.Learned)...)
	for _, x := range look.Says {
		page.Notes = append(page.Notes, p.Told(sentence(x)))
	}
	page.Layers = layerTable(p, b, look)
	if page.Steps, err = s.binSteps(p, b, look); err != nil {
		return err
	}
	if l, ok := s.lineOf(r.Context(), p, b.Name); ok {
		for _, i := range l.Items {
			if len(i.Tried) > 0 {
				page.Tables = append(page.Tables, triedTable(p, i))
			}
		}
	}
	page.Source = p.Say("working.twinsource")
	return s.draw(w, "working", http.StatusOK, page)
}

// equations of docs/model.md behind each number of a bin.
var binEquations = map[string]string{
	"warmest": "B1-B7, B22, T8", "wet": "B13-B16, T8", "left": "B17-B20, B27, T4, T8", "worms": "W1-W16, B26, B32, T8",
	"air": "B9, B10, B51, T8", "refuge": "B37, T8", "castings": "B30, B31, T8",
}

// binSteps gives the working of each number of a bin under the number's anchor.
func (s *Server) binSteps(p person, b *farm.Bin, o *app.Outlook) ([]StepShown, error) {
	rows := map[string][]Fact{
		"warmest":  pickedRow(p, b, o, "working.highest", warmestLayer(o), func(l app.LayerNow) string { return p.temperatureUnit(l.Temp.Mid) }),
		"wet":      pickedRow(p, b, o, "working.halfway", middleLayer(o), func(l app.LayerNow) string { return qty.Percent100(l.Water.Mid) }),
		"left":     feedRows(p, b.Bed, o),
		"worms":    wormRows(p, b, o),
		"air":      pickedRow(p, b, o, "working.lowest", airlessLayer(o), func(l app.LayerNow) string { return p.Say("working.percent1", number3(100*l.Oxygen.Mid)) }),
		"refuge":   refugeRows(p, o),
		"castings": {{Name: p.Say("working.castmass"), Value: massRange(p, o.CastKg)}},
	}
	alone, err := s.aloneSteps(p, b, o)
	if err != nil {
		return nil, err
	}
	var out []StepShown
	for _, f := range likelyFacts(p, o, fed(b.Bed), "") {
		key := strings.TrimPrefix(f.Working, "#")
		st := StepShown{Anchor: key, Title: p.Say("working.isnow", sentence(f.Name), f.Value), Formula: p.Say("working.formula." + key), Rows: rows[key],
			How: p.Say("working.how." + key), Source: p.Say("working.equations", binEquations[key])}
		out = append(append(out, st), alone[key]...)
	}
	return out, nil
}

// layerTable shows every layer, from the top down, with what the numbers of the
// bin are made of.
func layerTable(p person, b *farm.Bin, o *app.Outlook) *TriedTable {
	t := &TriedTable{Narrow: true, Title: p.Say("working.layers"), Note: p.Say("working.layersnote")}
	for n, head := range []string{p.Say("bin.layer"), p.Say("working.down"), pick(p.Units, "°F", "°C"), p.Say("bin.wet"), p.Say("bin.air"), p.Say("working.worked")} {
		t.Heads = append(t.Heads, Cell{Text: head, Num: n > 0})
	}
	top := 0.0
	for _, l := range o.Layers {
		t.Rows = append(t.Rows, TriedRow{Cells: []Cell{{Text: layerName(p, b, l)}, {depthSay(p, top+l.Thick.Mid), true},
			{p.temperature(l.Temp.Mid), true}, {percentNumber(l.Water.Mid), true}, {number3(100 * l.Oxygen.Mid), true}, {percentNumber(l.Cast), true}}})
		top += l.Thick.Mid
	}
	return t
}

// pickedRow gives the one layer that decides a number.
func pickedRow(p person, b *farm.Bin, o *app.Outlook, key string, at int, of func(app.LayerNow) string) []Fact {
	if at < 0 {
		return nil
	}
	top := 0.0
	for _, l := range o.Layers[:at] {
		top += l.Thick.Mid
	}
	l := o.Layers[at]
	return []Fact{{Name: p.Say(key), Value: of(l), Note: p.Say("working.lies", layerName(p, b, l), depthSay(p, top), depthSay(p, top+l.Thick.Mid))}}
}

// warmestLayer, airlessLayer and middleLayer give the layer that is warmest, has
// the least oxygen, or lies at half the depth, -1 when there is none.
func warmestLayer(o *app.Outlook) int {
	return leastLayer(o, func(l app.LayerNow) float64 { return -l.Temp.Mid })
}

func airlessLayer(o *app.Outlook) int {
	return leastLayer(o, func(l app.LayerNow) float64 { return l.Oxygen.Mid })
}

func leastLayer(o *app.Outlook, of func(app.LayerNow) float64) int {
	at := -1
	for i, l := range o.Layers {
		if at < 0 || of(l) < of(o.Layers[at]) {
			at = i
		}
	}
	return at
}

func middleLayer(o *app.Outlook) int {
	var deep, down float64
	for _, l := range o.Layers {
		deep += l.Thick.Mid
	}
	for i, l := range o.Layers {
		if down += l.Thick.Mid; down >= deep/2 {
			return i
		}
	}
	return -1
}

// refugeRows adds up what is cool enough, and tells the layers that are not.
func refugeRows(p person, o *app.Outlook) []Fact {
	var deep, cool float64
	for _, l := range o.Layers {
		deep += l.Thick.Mid
		if l.Temp.Mid < float64(refugeC) {
			cool += l.Thick.Mid
		}
	}
	return []Fact{{Name: p.Say("working.deep"), Value: depthSay(p, deep)}, {Name: p.Say("working.cool", p.temperatureUnit(float64(refugeC))), Value: depthSay(p, cool)}}
}

func feedRows(p person, bed *farm.Bed, o *app.Outlook) []Fact {
	var out []Fact
	if f := bed.LastFeed; f != nil {
		out = append(out,
			Fact{Name: p.Say("fact.lastfeed"), Value: p.Moment(f.At), Note: p.Say("working.batchword", f.Batch)},
			Fact{Name: p.Say("working.dry"), Value: number3(float64(f.Matter.Dry)) + " kg", Note: p.Say("working.wholebin")},
			Fact{Name: p.Say("working.water"), Value: number3(float64(f.Matter.Water)) + " kg", Note: p.Say("working.wholebin")})
	}
	return append(out, Fact{Name: p.Say("working.unworked"), Value: rangeSay(p, o.Left, number3), Note: p.Say("working.ofedible")})
}

func wormRows(p person, b *farm.Bin, o *app.Outlook) []Fact {
	var out []Fact
	if x := b.Bed.Stock; x.Best > 0 {
		out = append(out, Fact{Name: p.Say("fact.stocked"), Value: rangeKg(p, float64(x.Low), float64(x.Best), float64(x.High))})
	}
	count := func(v float64) string { return thousands(int(roundTo(v, 10))) }
	return append(out,
		Fact{Name: p.Say("working.adults"), Value: rangeSay(p, o.Adults, count)}, Fact{Name: p.Say("working.young"), Value: rangeSay(p, o.Young, count)},
		Fact{Name: p.Say("working.cocoons"), Value: rangeSay(p, o.Cocoons, count)},
		Fact{Name: p.Say("working.density"), Value: p.Say("working.densitysay", number3(wormDensity(b, o)))})
}

// wormDensity gives the likely live worms on the area of a bin [kg/m2].
func wormDensity(b *farm.Bin, o *app.Outlook) float64 {
	area := float64(b.Box.Area())
	if area <= 0 {
		return 0
	}
	return o.Worms.Mid / area
}

// aloneSteps works out the equations that stand alone with the bin's values, so
// that they can be redone and tried with others.
func (s *Server) aloneSteps(p person, b *farm.Bin, o *app.Outlook) (map[string][]StepShown, error) {
	temp, n := meanTemp(o)
	if n == 0 {
		return nil, nil
	}
	out := map[string][]StepShown{}
	for _, x := range []struct {
		under, figure string
		in            map[string]float64
	}{
		{"left", "bed.moisture_response", map[string]float64{"water_frac_wet": o.Water.Mid}},
		{"worms", "worm.growth_rate", map[string]float64{"temp_c": temp}},
		{"worms", "worm.laying", map[string]float64{"temp_c": temp, "water_frac_wet": o.Water.Mid, "density_kg_m2": wormDensity(b, o)}},
		{"air", "bed.oxygen_response", map[string]float64{"oxygen_frac": o.Oxygen.Mid}},
	} {
		st, ok, err := s.figureStep(p, x.figure, x.in)
		if err != nil {
			return nil, err
		}
		if ok {
			out[x.under] = append(out[x.under], st)
		}
	}
	return out, nil
}

// meanTemp gives the likely temperature of the bed [°C], each layer for its
// thickness, and how many layers there are.
func meanTemp(o *app.Outlook) (float64, int) {
	var sum, deep float64
	for _, l := range o.Layers {
		sum += l.Temp.Mid * l.Thick.Mid
		deep += l.Thick.Mid
	}
	if deep <= 0 {
		return 0, 0
	}
	return sum / deep, len(o.Layers)
}

// figureStep works one figure out with named numbers, false when there is no
// such figure or it does not take them.
func (s *Server) figureStep(p person, name string, in map[string]float64) (StepShown, bool, error) {
	list, err := s.figures()
	if err != nil {
		return StepShown{}, false, err
	}
	for _, f := range list {
		if f.Name != name {
			continue
		}
		st := StepShown{Title: p.Say("working.step", f.Title, f.Equation), Formula: f.Formula, Source: f.Source}
		m, q := map[string]any{}, url.Values{}
		for _, x := range inputsOf(reflectIn(f)) {
			v, ok := in[x.key]
			if !ok {
				continue
			}
			v = roundTo(v, 1e-4)
			m[x.key] = v
			q.Set(x.key, plainNumber(v))
			st.Rows = append(st.Rows, Fact{Name: x.label(), Value: strings.TrimSuffix(number5(v)+" "+x.unit, " -"), Note: p.Say("working.isin")})
		}
		facts, _, problems, err := s.runFigure(f, m)
		if err != nil || len(problems) > 0 {
			return StepShown{}, false, err
		}
		for _, x := range facts {
			st.Rows = append(st.Rows, Fact{Name: sentence(x.Name), Value: x.Value, Note: p.Say("working.isout")})
		}
		st.To = "/working/figure/" + url.PathEscape(name) + "?" + q.Encode()
		return st, true, nil
	}
	return StepShown{}, false, nil
}

// massRange gives a mass with its range.
func massRange(p person, r twin.Range) string { return rangeKg(p, r.Low, r.Mid, r.High) }

// number3 prints three figures.
func number3(v float64) string { return number5(roundTo(v, thirdFigure(v))) }
