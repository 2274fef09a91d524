package demo

import (
	"fmt"
	"math"
	"strings"
	"time"

	"wormyard/bed"
)

// firstMorning is a Sunday at the kitchen table: what the owner types about the
// farm as it stands.
func (f *truth) firstMorning() error {
	typing := clockOf(7, 15)
	next := func(kind string) line {
		typing++
		return entry(kind, owner, f.at(0, typing))
	}
	set := func(key string, value any) { f.write(next("setting").with("key", key).with("value", asJSON(value))) }
	set(keyEdition, Edition)
	set("farm", "Heron Slough")
	set("zone", Zone)
	set("units", "us")
	set("site", map[string]any{"place": "a lowland by the coast, wet and mild in winter", "source": "seattle-daily", "altitude_m": 6})
	set("habits", map[string]any{"feed_depth_m": 0.0381, "feed_every_days": 6, "visit_days": 7, "bedding_depth_m": bedDepth, "water_kg": 9.5})
	set("money", map[string]any{"currency": "USD", "wage_per_hour": 22, "truck_per_hour": 15, "power_per_kwh": 0.14, "bag_each": 0.55, "products": priceList})
	for _, who := range []string{owner, crew1, crew2} {
		set("person/"+who, map[string]any{"role": who})
	}
	for i, h := range f.houses {
		var parts []map[string]any
		for k, what := range []string{"walls", "roof"} {
			parts = append(parts, map[string]any{"what": what, "u_w_m2k": h.owners.Parts[k].U, "area_m2": math.Round(h.owners.Parts[k].Area)})
		}
		per := h.owners.PerimeterM / 2
		width := math.Round(math.Sqrt(h.owners.VolumeM3 / 3.8 / 1.8))
		var rows []map[string]any
		for r := range f.rows {
			rows = append(rows, map[string]any{"name": fmt.Sprint(i*f.rows + r + 1), "stacks": f.stacks, "high": stackHigh})
		}
		set("barn/"+h.name, map[string]any{"length_m": math.Round(per - width), "width_m": width, "height_m": 3.8, "parts": parts,
			"slab_w_mk": h.owners.SlabWMK, "volume_m3": math.Round(h.owners.VolumeM3), "air_changes_per_h": h.owners.AirChanges, "doors": "two sliding doors", "rows": rows})
	}
	f.build(f.bins[:min(f.built, len(f.bins))], next("build").at, owner)
	typing += f.built/10 + 1
	f.stand()
	// The beds that were there: typed as the owner remembers them, by the stack.
	group := f.bins[:min(f.first, len(f.bins))]
	source := f.sources["solids"]
	for len(group) > 0 {
		n := min(f.crew.whole(2, 4), len(group))
		at := next("bed").at
		age, fed := f.crew.between(20, 190), f.crew.whole(1, 6)
		if group[0].number == 0 {
			age = 180 // one is about to be harvested
		}
		told := step(age, 10) + 10
		depth := 0.16 + 0.0011*age + f.crew.between(0, 0.05)
		kg := step(f.crew.about(f.worms, 0.35)/0.45359237, 1)
		for _, b := range group[:n] {
			m, err := source.load(areaM2*depth, 0, f.h.LoadShare, f.crew)
			if err != nil {
				return err
			}
			top, err := source.load(areaM2*1.5*inch, 0, f.h.LoadShare, f.crew)
			if err != nil {
				return err
			}
			b.cover = "cloth"
			hour := f.morning(0)
			b.laid([]bed.Laid{
				{Matter: m, DepthM: depth, TempC: math.NaN(), AgeDays: f.crew.about(age, 0.3), Castings: -1, Layer: f.nextLayer()},
				{Matter: top, DepthM: 1.5 * inch, TempC: math.NaN(), AgeDays: float64(fed), Layer: f.nextLayer(), Feed: true},
			}, f.houses[0].now.Hour(), hour, -int(age))
			b.live.fed = -fed
			b.live.ripe = f.crew.whole(115, 195)
			if age > 150 {
				b.live.rest = 0 // it is to be harvested soon
			}
			b.stock(kg*0.45359237*f.crew.off(0.25), kg*250, hour)
		}
		f.write(entry("bed", owner, at).with("bins", names(group[:n])).with("material", "dairy solids, separated").with("depth_m", inches(depth+1.5*inch, 1)).
			with("age_days", rounded(told, 1)).with("age_low_days", rounded(told*0.6, 1)).with("age_high_days", rounded(told*1.6, 1)).
			with("last_feed_days", fmt.Sprint(fed)).with("last_feed_depth_m", "1.5 in"))
		f.write(next("stock").with("bins", names(group[:n])).with("kg", rounded(kg, 1)+" lb").with("kg_low", rounded(kg*0.5, 1)+" lb").with("kg_high", rounded(kg*1.8, 1)+" lb").
			with("note", f.note(0.3, "guess by eye", "as last counted, more or less")))
		group = group[n:]
	}
	f.duties(clockOf(17, 10))
	return nil
}

// build puts up bins, some in one line.
func (f *truth) build(list []*bin, at time.Time, who string) {
	for len(list) > 0 {
		n := min(10, len(list))
		slots := make([]string, n)
		for i, b := range list[:n] {
			b.built, b.cover = true, "cloth"
			slots[i] = b.slot.String()
		}
		f.write(entry("build", who, at).with("bins", names(list[:n])).with("length_m", number(side)).with("width_m", number(side)).with("depth_m", number(deep)).
			with("wall", "1 in cedar").with("liner", "landscape cloth").with("holes_m2", number(holesM2)).with("cover", "cloth").with("slots", strings.Join(slots, ", ")))
		at = at.Add(time.Minute)
		list = list[n:]
	}
}

// carpentry adds bins on Saturdays until all stand, and mends some.
func (f *truth) carpentry() {
	if f.weekday(f.day) != time.Saturday {
		return
	}
	var missing []*bin
	standing := 0
	for _, b := range f.bins {
		if b.built {
			standing++
		} else {
			missing = append(missing, b)
		}
	}
	want := f.built + int(float64(len(f.bins)-f.built)*math.Min(1, float64(f.day)/(float64(f.days)*0.75)))
	if n := min(want-standing, len(missing)); n >= 3 || n > 0 && n == len(missing) {
		f.build(missing[:n], f.at(f.day, clockOf(14, 30)), crew2)
		f.stand()
	}
	if f.crew.chance(0.12) {
		b := f.bins[f.crew.IntN(standing)]
		if b.built {
			f.write(entry("build", crew2, f.at(f.day, clockOf(11, 20))).with("bins", b.name).with("state", "repaired").
				with("note", f.crew.one("new corner post", "bottom board was soft, replaced", "liner torn, patched", "screws in one side")))
		}
	}
}
