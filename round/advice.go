package round

import (
	"math"
	"slices"
)

// Advice is what a crew was told of a bin: the act and its amounts.
type Advice struct {
	Act     Act     `json:"act"`
	DepthM  float64 `json:"depth_m,omitempty"`
	WaterKg float64 `json:"water_kg,omitempty"`
	Cover   string  `json:"cover,omitempty"`
	Mix     string  `json:"mix,omitempty"`
	Due     bool    `json:"due,omitempty"` // by habit it was seen to that day
	Off     bool    `json:"off,omitempty"` // put off until the next visit of the truck
}

// Advice gives what an item asks for.
func (it *Item) Advice() Advice {
	if it.Off != nil {
		return *it.Off
	}
	return Advice{Act: it.Act, DepthM: it.DepthM, WaterKg: it.WaterKg, Cover: it.Cover, Mix: it.Mix, Due: it.Due}
}

// is says whether an item asks for the same as an advice did.
func (a *Advice) is(it *Item) bool {
	return a != nil && a.Act == it.Act && a.Mix == it.Mix && a.Cover == it.Cover && near(a.DepthM, it.DepthM) && near(a.WaterKg, it.WaterKg)
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// Told gives what each bin of a round is told, bins left alone among them.
func (p *Parameters) Told(m Made) map[string]Advice {
	out := map[string]Advice{}
	items, _, _ := p.settled(m.Items, m.At)
	for _, it := range items {
		out[it.Bin] = it.Advice()
	}
	return out
}

// was says whether an option is the feeding that was advised last; water and cover
// are settled before the depth.
func (c *Case) was(o *option) bool {
	return c.fed() && o.mix >= 0 && c.Was.Mix == c.Mixes[o.mix].Batch && near(c.Was.DepthM, o.depthM)
}

// wasWet says whether an option is the water and cover that was advised last.
func (c *Case) wasWet(o *option) bool {
	return c.watered() && near(c.Was.WaterKg, o.waterKg) && c.Was.Cover == o.cover
}

// unfed says that the last advice was not to feed it, on a day on which it was due
// as it is today.
func (c *Case) unfed() bool { return c.still() && c.Was.Due }

// still says that the last advice was to leave it or to look, and that since then
// its day has not come.
func (c *Case) still() bool {
	return c.Was != nil && c.Was.Due == c.Due && (c.Was.Act == Rest || c.Was.Act == Look)
}

// watered says that the last advice was a cover or water, with feed or without.
func (c *Case) watered() bool {
	w := c.Was
	return w != nil && (w.WaterKg > 0 || w.Cover != "") && (w.Act == Water || w.Act == Cover || w.Act == Feed)
}

// unwatered says that the last advice was neither, and that since then its day has
// not come.
func (c *Case) unwatered() bool {
	return !c.watered() && (c.still() || c.fed() && c.Was.Due == c.Due)
}

// fedToday says that it was fed within the hours that count as today: by what the
// twins make of them, chance would have it fed again at once. docs/model.md (R9)
func (c *Case) fedToday() bool { return c.LastFed > 0 && c.Now-c.LastFed < sameDay }

// sameDay is within how many hours of a feeding a bin was seen to today [h].
const sameDay = 18

// fed says that the last advice was to feed it.
func (c *Case) fed() bool { return c.Was != nil && c.Was.Act == Feed }

// left says that it was to be fed on a day of feeding before this one, and that
// nobody did. docs/model.md (H1).
func (c *Case) left() bool { return c.OffDay && c.fed() && !c.Was.Off }

// hold gives by how much a chance must pass its threshold for advice to change:
// nothing where nothing was advised. docs/model.md (R9).
func (t *Trier) hold(held bool) float64 {
	if held {
		return t.P.HoldChance
	}
	return 0
}

// ahead puts those of which keep is true first and leaves the order otherwise.
func ahead(of []int, keep func(i int) bool) {
	slices.SortStableFunc(of, func(a, b int) int {
		x, y := keep(a), keep(b)
		switch {
		case x == y:
			return 0
		case x:
			return -1
		}
		return 1
	})
}
