package barn

// Parameters say what a place in a stack is worth; sources are in
// internal/source/data/barn.json.
type Parameters struct {
	SlotWeeks       float64 `param:"slot_weeks" unit:"week"`
	SlotColdC       float64 `param:"slot_cold_c" unit:"C"`
	SlotWarmC       float64 `param:"slot_warm_c" unit:"C"`
	SlotKelvinLifts float64 `param:"slot_kelvin_lifts" unit:"1/(K week)"`
}

// Warm is what a kelvin more is worth over the weeks to a bed of that mean [lifts]:
// to a cold one so much, to a warm one as much less, and nothing between.
// model.md (F10).
func (p *Parameters) Warm(meanC float64) float64 {
	switch worth := p.SlotKelvinLifts * p.SlotWeeks; {
	case meanC < p.SlotColdC:
		return worth
	case meanC > p.SlotWarmC:
		return -worth
	}
	return 0
}
