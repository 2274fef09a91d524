package season

import (
	"slices"
	"testing"
)

// What is promised in a week changes nothing before it: lived on from there it comes to
// what living it from the beginning comes to.
func TestLivedOnFromAWeek(t *testing.T) {
	f := Farm{
		Weeks: 30, Bins: 6, StoreM3: 20, StockM3: 2, CureWeeks: 2, AgesPer: 0.01, Crew: []float64{60},
		Running:    []Running{{Mix: "usual", Bins: 3, RipeIn: 4}},
		Mixes:      []Mix{{Name: "usual", RipeWeeks: 8, CastingsM3: 0.5, FeedM3Week: 0.1, WormsKg: 2, Parts: []Part{{Feedstock: "leaves", Share: 1}}}},
		Feedstocks: []Feedstock{{Name: "leaves", Arrives: []float64{0.7}, StoreM3: 4, StartM3: 2, Spoils: 0.02}},
		Worms:      Worms{StartKg: 9, Growth: []float64{0.03}, MostKg: 6},
		Products:   []Product{{Name: "sack", CastingsM3: 0.1, Price: 10, Demand: make([]float64, 30), Promised: []float64{0, 0, 3}}},
	}
	var p Plan
	for i, at := range Periods(f.Weeks) {
		s := Step{Week: at.From, Weeks: at.Weeks, Collect: map[string]float64{"leaves": 0.1 * at.Weeks}}
		if i%4 == 1 {
			s.Harvest, s.Start = map[string]float64{"usual": 1}, map[string]float64{"usual": 1}
		}
		s.Sell = map[string]float64{"sack": 1}
		p.Steps = append(p.Steps, s)
	}
	worlds := WorldsAbout(f, Spread{Years: 16, Pace: 0.2, Stays: 0.6, Yield: 0.1, Came: 0.4}, 3)
	for _, from := range []int{0, 5, 14} {
		_, stand := replayed(f, p, worlds, 0, nil, from)
		more := f.promising(0, int(Periods(f.Weeks)[from].From), 4)
		whole := Replayed(more, p, worlds)
		on, _ := replayed(more, p, worlds, from, stand, -1)
		again, _ := replayed(more, p, worlds, from, stand, -1)
		if on.Value != whole.Value || again.Value != whole.Value {
			t.Errorf("from %d: %v, and again %v, and from the beginning %v", from, on.Value, again.Value, whole.Value)
		}
		for i := from; i < len(p.Steps); i++ {
			if on.Stock[i] != whole.Stock[i] || on.Worms[i] != whole.Worms[i] {
				t.Errorf("from %d, period %d: %v and %v", from, i, on.Stock[i], whole.Stock[i])
			}
		}
		for _, k := range on.Kept {
			if !slices.Contains(whole.Kept, k) {
				t.Errorf("from %d: %+v is not in %+v", from, k, whole.Kept)
			}
		}
	}
}
