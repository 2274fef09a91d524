package web

import (
	"math"
	"net/http"
	"net/url"
	"strings"

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
	for _, x := range look.Says {
		page.Notes = append(page.Notes, sentence(x))
	}
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
		"warmest": layerRows(p, b, o, func(l app.LayerNow) string { return p.temperatureUnit(l.Temp.Mid) }),
		"wet":     layerRows(p, b, o, func(l app.LayerNow) string { return qty.Percent100(l.Water.Mid) }),
		"left":    feedRows(p, b.Bed, o),
		"worms":   wormRows(p, b, o),
		"air":     layerRows(p, b, o, func(l app.LayerNow) string { return p.Say("working.percent1", number3(100*l.Oxygen.Mid)) }),
		"refuge":  layerRows(p, b, o, func(l app.LayerNow) string { return refugeSay(p, l) }),
		"castings": append(layerRows(p, b, o, func(l app.LayerNow) string { return qty.Percent100(l.Cast) }),
			Fact{Name: p.Say("working.castmass"), Value: massRange(p, o.CastKg)}),
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

// layerRows gives one value of every layer, from the top down, with where it lies.
func layerRows(p person, b *farm.Bin, o *app.Outlook, of func(app.LayerNow) string) []Fact {
	var out []Fact
	top := 0.0
	for _, l := range o.Layers {
		out = append(out, Fact{Name: layerName(p, b, l), Value: of(l), Note: p.Say("working.lies", depthSay(p, top), depthSay(p, top+l.Thick.Mid))})
		top += l.Thick.Mid
	}
	return out
}

// refugeSay tells how much of a layer counts as fit to live in.
func refugeSay(p person, l app.LayerNow) string {
	if l.Temp.Mid >= float64(refugeC) {
		return p.Say("working.toowarm", p.temperatureUnit(l.Temp.Mid))
	}
	return p.Say("working.counts", depthSay(p, l.Thick.Mid), p.temperatureUnit(l.Temp.Mid), number3(100*l.Oxygen.Mid))
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
	area := float64(b.Box.Length) * float64(b.Box.Width)
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
			st.Rows = append(st.Rows, Fact{Name: x.label(), Value: strings.TrimSpace(number5(v) + " " + x.unit), Note: p.Say("working.isin")})
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
func number3(v float64) string {
	if v == 0 {
		return "0"
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-2)
	return number5(roundTo(v, step))
}
