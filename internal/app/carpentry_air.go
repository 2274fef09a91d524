package app

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"sync"

	"wormyard/bed"
	"wormyard/carpentry"
	"wormyard/climate"
	"wormyard/figure"
	"wormyard/qty"
)

// holes finds how many holes a bin needs and where they are drilled: by the need
// for oxygen where that was given, and by trying them on the bed model where not.
func (w *Workshop) holes(ctx context.Context, a BoxAir, b carpentry.Built, x carpentry.Box) (*BoxHoles, carpentry.Pattern, error) {
	wall, _ := carpentry.Dressed(x.Wall)
	diameter, thick := a.Hole*qty.MetrePerInch, wall.Width*qty.MetrePerInch
	if a.OxygenKgS > 0 {
		h, err := w.wood.HolesFor(a.OxygenKgS, 0.28, a.Inside, diameter, thick, a.Vapour)
		if err != nil {
			return nil, carpentry.Pattern{}, err
		}
		pattern, err := carpentry.PatternOf(x, b, h.Count, a.Hole)
		return holesSaid(h, pattern), pattern, err
	}
	try := func(holes int) (bedAired, error) {
		key := airKey{of: a.Bed, inside: b.Inside, wallU: b.Loss.WallU, stacked: x.High > 1, holesM2: float64(holes) * math.Pi * diameter * diameter / 4}
		if got, ok := w.air.get(key); ok {
			return got, nil
		}
		got, err := w.aired(ctx, key)
		if err == nil {
			w.air.put(key, got)
		}
		return got, err
	}
	none, err := try(0)
	if err != nil {
		return nil, carpentry.Pattern{}, err
	}
	model := &BoxHolesModel{Wanted: w.least, Without: none.oxygen, With: none.oxygen, Enough: none.oxygen >= w.least, TopLbDay: none.evaporated / qty.KgPerPound, WarmC: none.meanC, HotC: w.hot}
	n, last := 0, none
	if !model.Enough {
		most := 4 // as many as fit
		for step := 512; step >= 4; step /= 2 {
			if _, err := carpentry.PatternOf(x, b, most+step, a.Hole); err == nil {
				most += step
			}
		}
		if last, err = try(most); err != nil {
			return nil, carpentry.Pattern{}, err
		}
		n = most
		model.Enough = last.oxygen >= w.least
		low, under, asked := 0, none.oxygen, 0
		for model.Enough && n-low > 4 { // in fours, one for each side
			// where a straight line between both ends meets what is wanted, and
			// every third time the middle, so that it surely ends
			middle := (low + n) / 8 * 4
			if asked++; asked%3 != 0 && last.oxygen > under {
				share := (w.least - under) / (last.oxygen - under)
				middle = low + int(math.Ceil(share*float64(n-low)/4))*4
			}
			middle = min(max(middle, low+4), n-4)
			got, err := try(middle)
			if err != nil {
				return nil, carpentry.Pattern{}, err
			}
			if got.oxygen >= w.least {
				n, last = middle, got
			} else {
				low, under = middle, got.oxygen
			}
		}
		model.With, model.TopLbDay, model.WarmC = last.oxygen, last.evaporated/qty.KgPerPound, last.meanC
	}
	pattern, err := carpentry.PatternOf(x, b, n, a.Hole)
	if err != nil {
		return nil, carpentry.Pattern{}, err
	}
	// what goes through the holes by diffusion alone
	inside := bed.OxygenInAir(last.meanC, standardPa, last.oxygen)
	outside := bed.AtmosphericOxygen(a.Bed.AirC)
	vapour := climate.SaturationDensity(last.meanC) - barnHumidity*climate.SaturationDensity(a.Bed.AirC)
	h := w.wood.Through(n, diameter, thick, math.Max(0, outside-inside), math.Max(0, vapour))
	out := holesSaid(h, pattern)
	out.Model = model
	return out, pattern, nil
}

func holesSaid(h carpentry.Holes, p carpentry.Pattern) *BoxHoles {
	const in2 = qty.MetrePerInch * qty.MetrePerInch
	return &BoxHoles{Count: h.Count, AreaIn2: h.AreaM2 / in2, DryingLbD: h.DryingKgS * 86400 / qty.KgPerPound, PerSide: p.PerSide[:], Rows: p.Rows, ApartIn: p.Apart}
}

// The air of the barn about a bin for which holes are found.
const (
	barnHumidity = 0.75
	standardPa   = 101325.0
)

// bedAired is how a bed of three weeks stood over its last one.
type bedAired struct {
	oxygen     float64 // lowest of any layer, by volume
	evaporated float64 // through the top [kg/day]
	meanC      float64
}

// airKey is all that a bed of three weeks hangs on.
type airKey struct {
	of      BoxBed
	inside  [3]float64 // [in]
	wallU   float64
	stacked bool
	holesM2 float64
}

// airKept is beds that were run already: a page that changes a price runs none
// again.
type airKept struct {
	mu   sync.Mutex
	of   map[airKey]bedAired
	keys []airKey // in the order they came
}

// mostAired is how many are kept.
const mostAired = 1000

func (k *airKept) get(key airKey) (bedAired, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	got, ok := k.of[key]
	return got, ok
}

func (k *airKept) put(key airKey, got bedAired) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of == nil {
		k.of = map[airKey]bedAired{}
	}
	if _, ok := k.of[key]; !ok {
		k.keys = append(k.keys, key)
	}
	k.of[key] = got
	if len(k.keys) > mostAired {
		delete(k.of, k.keys[0])
		k.keys = k.keys[1:]
	}
}

// aired runs a bed in a bin with holes: castings to three fifths of its depth, fed
// for three weeks, worms at a pound for each square foot.
func (w *Workshop) aired(ctx context.Context, k airKey) (bedAired, error) {
	const days, week = 21, 7
	m := func(in float64) float64 { return in * qty.MetrePerInch }
	of, area := k.of, m(k.inside[0])*m(k.inside[1])
	under, cover := "floor", "cloth"
	if k.stacked {
		under = "bin"
	}
	type object map[string]any
	var events []object
	for day := 1.0; day < days; day += of.EveryDays {
		events = append(events, object{"day": day, "kind": "feed", "material": of.Material, "depth_m": m(of.FeedIn)})
	}
	perM2 := qty.KgPerPound / (144 * m(1) * m(1))
	data, err := json.Marshal(object{
		"from": "2013-03-01", "days": days, "place": object{"air": object{"temp_c": of.AirC, "rh_frac": barnHumidity}},
		"bin":    object{"length_m": m(k.inside[0]), "width_m": m(k.inside[1]), "depth_m": m(k.inside[2]), "u_w_m2k": k.wallU, "cover": cover, "holes_m2": math.Min(2, k.holesM2), "under": under, "over": k.stacked},
		"layers": []object{{"castings": true, "depth_m": 0.6 * m(k.inside[2])}}, "worms": object{"adult_kg": 0.7 * perM2 * area, "juvenile_kg": 0.3 * perM2 * area}, "events": events,
	})
	if err != nil {
		return bedAired{}, err
	}
	got, err := w.mixer.Bed(ctx, data, qty.US)
	if err != nil {
		var no *figure.Refusal
		if errors.As(err, &no) { // all of it comes from these boxes
			for i := range no.Problems {
				no.Problems[i].Field = "air.bed." + fieldOfBed(no.Problems[i].Field)
			}
		}
		return bedAired{}, err
	}
	out := bedAired{oxygen: 1}
	for _, r := range got.Series[len(got.Series)-week:] {
		out.oxygen = math.Min(out.oxygen, r.best.OxygenMin)
		out.evaporated += r.best.EvaporatedKg / week
		out.meanC += r.best.MeanC / week
	}
	return out, nil
}

// fieldOfBed is the box of this request from which a field of the bed's came.
func fieldOfBed(field string) string {
	for end, box := range map[string]string{"material": "material", "depth_m": "feed_in", "temp_c": "air_c"} {
		if len(field) >= len(end) && field[len(field)-len(end):] == end {
			return box
		}
	}
	return "material"
}
