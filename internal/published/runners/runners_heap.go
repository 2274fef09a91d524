package runners

import (
	"fmt"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/worm"
)

// heaps computes what whole heaps and windrows did, each source with its own
// file, none tuned.
func heaps() []Runner {
	return []Runner{
		{"michel_2004", "heating", heap}, {"michel_2004", "nitrogen", heap}, {"michel_2004", "straw", heap},
		{"sommer_1999", "carbon", heap}, {"sommer_1999", "heating", heap}, {"sommer_1999", "ammonia", heap},
		{"dairy_compost_volume", "volume", heap},
		{"worm_windrow_plan", "heating", windrow}, {"worm_windrow_plan", "cold", windrow},
	}
}

// blend is parts of materials of the library by volume, in words such as
// "dairy manure, solid handled: 1; sawdust: 2", at least so wet, with its nitrogen
// set to a C:N where one is given.
func blend(in map[string]any) (feedstock.Matter, error) {
	library, err := source.Library()
	if err != nil {
		return feedstock.Matter{}, err
	}
	var all feedstock.Matter
	for _, part := range in["parts"].([]any) {
		p := part.(map[string]any)
		material, err := library.Find(p["material"].(string))
		if err != nil {
			return all, err
		}
		m, _, err := material.Amount(feedstock.Quantity{Volume: qty.CubicMetre(p["share"].(float64))})
		if err != nil {
			return all, err
		}
		all = all.Plus(m)
	}
	if w, ok := in["water_frac_wet"].(float64); ok {
		all.Water = max(all.Water, qty.WaterKg(float64(all.Dry)*w/(1-w)))
	}
	if cn, ok := in["cn"].(float64); ok {
		set := all.Times(float64(all.Carbon) / cn / float64(all.Nitrogen+all.Ammonia))
		all.Nitrogen, all.Ammonia = set.Nitrogen, set.Ammonia
	}
	return all, nil
}

// heap lays a heap without worms in the open, as deep as it is told (of the
// matter as it lies loose), pressed together or turned when told, and runs it.
func heap(in map[string]any) (map[string]any, error) {
	n, err := numbers()
	if err != nil {
		return nil, err
	}
	m, err := blend(in)
	if err != nil {
		return nil, err
	}
	size := bed.Box{LengthM: in["length_m"].(float64), WidthM: in["width_m"].(float64), DepthM: 5, WallU: n.Bed.AirU, Under: bed.UnderFloor}
	depth := in["depth_m"].(float64)
	m = m.Times(depth * size.Area() / float64(m.Volume))
	lies := depth
	if pressed, ok := in["pressed_to"].(float64); ok {
		lies *= pressed
	}
	air := climate.Hour{TempC: in["air_c"].(float64), RH: 0.8}
	days := int64(in["days"].(float64))
	// Thirds, so that the heap has layers enough.
	var laid []bed.Laid
	for i := range 3 {
		laid = append(laid, bed.Laid{Matter: m.Times(1.0 / 3), DepthM: lies / 3, TempC: in["start_c"].(float64), Layer: uint64(i + 1)})
	}
	s := bed.Start(&n.Bed, size, laid, air, 0)
	var acts []bed.Act
	turned := -1.0
	if every, ok := in["turn_every_days"].(float64); ok {
		for d := every; d < float64(days); d += every {
			acts = append(acts, bed.Act{Hour: int64(d) * 24, Kind: bed.Turn})
		}
	}
	if day, ok := in["turn_on_day"].(float64); ok {
		turned = day
		acts = append(acts, bed.Act{Hour: int64(day) * 24, Kind: bed.Turn})
	}
	peak, peakDay, over, after, first := 0.0, 0.0, 0.0, 0.0, -1.0
	var last bed.Day
	b, err := bed.Run(&n.Bed, size, s, climate.Steady(0, int(days)*24, air), days*24, acts, func(d bed.Day) {
		day := float64(d.Hour) / 24
		if d.MaxC > peak {
			peak, peakDay = d.MaxC, day
		}
		if d.MaxC > 55 {
			over++
			if first < 0 {
				first = day
			}
		}
		if day > turned {
			after = max(after, d.MaxC)
		}
		last = d
	})
	if err != nil {
		return nil, err
	}
	return map[string]any{
		"peak_c": peak, "peak_day": peakDay, "days_over_55": over, "first_day_over_55": first, "peak_after_turn_c": after,
		"carbon_lost": b.Carbon.Out / b.Carbon.In, "nitrogen_lost": b.Nitrogen.Out / b.Nitrogen.In, "ammonia_of_nitrogen": b.AmmoniaKg / b.Nitrogen.In,
		"volume_lost": 1 - last.DepthM/depth,
	}, nil
}

// windrow is a worm windrow fed weekly by the inch.
func windrow(in map[string]any) (map[string]any, error) {
	n, err := numbers()
	if err != nil {
		return nil, err
	}
	m, err := blend(in)
	if err != nil {
		return nil, err
	}
	const inch = 0.0254
	size := bed.Box{LengthM: 20, WidthM: 1.5, DepthM: 2, WallU: n.Bed.AirU, Under: bed.UnderFloor}
	of := func(deep float64) feedstock.Matter { return m.Times(deep * size.Area() / float64(m.Volume)) }
	air := climate.Hour{TempC: in["air_c"].(float64), RH: 0.8}
	first, weekly := in["start_in"].(float64)*inch, in["weekly_in"].(float64)*inch
	s := bed.Start(&n.Bed, size, []bed.Laid{{Matter: of(first), DepthM: first, AgeDays: 60, TempC: air.TempC, Layer: 1}}, air, 0)
	var ok bool
	if s.Cover, ok = n.Bed.Cover("cloth"); !ok {
		return nil, fmt.Errorf("no cloth among the covers")
	}
	acts := []bed.Act{{Kind: bed.Stock, Worms: worm.Stock{AdultKg: 2.4 * size.Area(), JuvenileKg: 1.2 * size.Area()}}}
	const weeks = 16
	for w := int64(1); w < weeks; w++ {
		acts = append(acts, bed.Act{Hour: w * 168, Kind: bed.Feed, Matter: of(weekly), DepthM: weekly, TempC: air.TempC, Layer: uint64(w + 1)})
	}
	hottest := 0.0
	if _, err := bed.Run(&n.Bed, size, s, climate.Steady(0, weeks*168, air), weeks*168, acts, func(d bed.Day) { hottest = max(hottest, d.MaxC) }); err != nil {
		return nil, err
	}
	return map[string]any{"hottest_c": hottest, "worms_kept": s.Worms.LiveKg() / (3.6 * size.Area())}, nil
}
