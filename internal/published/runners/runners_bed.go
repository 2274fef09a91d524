package runners

import (
	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/worm"
)

const bedsFile = "worm_beds_measured"

// beds computes what whole beds did in trials.
func beds() []Runner {
	var all []Runner
	for _, check := range []string{"carbon to nitrogen", "what is gone", "worms made", "against none", "feeds", "rate left", "acidity", "nitrate"} {
		all = append(all, Runner{bedsFile, check, trial})
	}
	return all
}

// trial keeps a box of one material of the library, shut so that no worm
// leaves, moist and at one temperature, with worms after a week (kg_worms) or
// without; and once more without worms, or on another feed (against), to compare.
func trial(in map[string]any) (map[string]any, error) {
	got, err := box(in, in["material"].(string), in["kg_worms"].(float64))
	if err != nil {
		return nil, err
	}
	out := map[string]any{
		"cn":               got.last.CN,
		"rate_left":        got.last.HeatW / got.first.HeatW,
		"dry_lost":         1 - got.last.DryKg/got.dryKg,
		"worms_of_dry":     got.grownKg * got.dryFrac / got.dryKg,
		"nitrogen_as_worm": got.grownKg * got.dryFrac * got.nitrogenFrac / got.nitrogenKg,
	}
	if feed, ok := in["against"].(string); ok {
		other, err := box(in, feed, in["kg_worms"].(float64))
		if err != nil {
			return nil, err
		}
		out["gain_against"] = got.grownKg / other.grownKg
	} else if got.grownKg != 0 {
		none, err := box(in, in["material"].(string), 0)
		if err != nil {
			return nil, err
		}
		out["carbon_lost_against_none"] = got.budget.Carbon.Out / none.budget.Carbon.Out
		out["ph_against_none"] = got.ph - none.ph
		out["nitrate_against_none"] = got.nitrate / none.nitrate
	}
	return out, nil
}

// outcome is what became of a box.
type outcome struct {
	first, last           bed.Day
	budget                bed.Budget
	dryKg, nitrogenKg     float64 // of the manure
	grownKg               float64 // live worms more than were put in
	ph, nitrate           float64 // mean acidity; nitrate nitrogen of dry matter
	dryFrac, nitrogenFrac float64 // of worms
}

func box(in map[string]any, material string, worms float64) (outcome, error) {
	n, err := numbers()
	if err != nil {
		return outcome{}, err
	}
	m, err := manure(material, in)
	if err != nil {
		return outcome{}, err
	}
	p := n.Bed
	p.Worm.LeavePerDay = 0
	size := bed.Box{LengthM: 0.40, WidthM: 0.27, DepthM: 0.15, Under: bed.UnderAir}
	air := climate.Hour{TempC: in["temp_c"].(float64), RH: 0.8}
	days := int64(in["days"].(float64))
	s := bed.Start(&p, size, []bed.Laid{{Matter: m, TempC: air.TempC, Layer: 1}}, air, 0)
	s.Cover, _ = p.Cover("board")
	var acts []bed.Act
	if worms > 0 {
		acts = append(acts, bed.Act{Hour: 24 * 7, Kind: bed.Stock, Worms: worm.Stock{AdultKg: worms / 2, JuvenileKg: worms / 2}})
	}
	for d := int64(10); d < days; d += 7 {
		acts = append(acts, bed.Act{Hour: d * 24, Kind: bed.Water, WaterKg: 0.02, TempC: air.TempC})
	}
	o := outcome{dryKg: float64(m.Dry), nitrogenKg: float64(m.Nitrogen + m.Ammonia), dryFrac: p.Worm.DryFrac, nitrogenFrac: p.Worm.NitrogenFrac}
	o.budget, err = bed.Run(&p, size, s, climate.Steady(0, int(days)*24, air), days*24, acts, func(d bed.Day) {
		if d.Hour == 24 {
			o.first = d
		}
		o.last = d
	})
	mass := 0.0
	for i := range s.Layers {
		l := &s.Layers[i]
		mass += l.Dry()
		o.ph += l.Dry() * l.PH
		o.nitrate += l.Nitrate
	}
	o.ph /= mass
	o.nitrate /= mass
	if worms > 0 {
		o.grownKg = s.Worms.LiveKg() - worms
	}
	return o, err
}

// manure is 2.5 kg of a material of the library, at least three quarters water,
// with its nitrogen set to a C:N where one is given.
func manure(name string, in map[string]any) (feedstock.Matter, error) {
	library, err := source.Library()
	if err != nil {
		return feedstock.Matter{}, err
	}
	material, err := library.Find(name)
	if err != nil {
		return feedstock.Matter{}, err
	}
	m, _, err := material.Amount(feedstock.Quantity{Wet: 2.5})
	if err != nil {
		return feedstock.Matter{}, err
	}
	if moist := qty.WaterKg(3 * m.Dry); m.Water < moist {
		m.Water = moist
	}
	m = m.Times(2.5 / float64(m.Wet()))
	if cn, ok := in["cn"].(float64); ok {
		set := m.Times(float64(m.Carbon) / cn / float64(m.Nitrogen+m.Ammonia))
		m.Nitrogen, m.Ammonia = set.Nitrogen, set.Ammonia
	}
	return m, nil
}
