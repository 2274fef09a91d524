package bed

import (
	"wormyard/climate"
	"wormyard/feedstock"
)

// Laid is one layer that a bed starts with. Amounts are for the whole bin.
type Laid struct {
	Matter  feedstock.Matter
	DepthM  float64 // 0 to take it from the volume
	TempC   float64 // NaN for that of the air
	AgeDays float64 // how long it has lain there with worms in it; 0 for fresh
	Layer   uint64
	Feed    bool
}

// Start gives a bed from the layers in it, from the floor up, at an hour.
func Start(p *Parameters, box Box, layers []Laid, air climate.Hour, hour int64) *State {
	return nil
}
