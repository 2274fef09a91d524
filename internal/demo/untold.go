package demo

import (
	"context"
	"time"
)

// Untold is a feeding that truly was made and that nobody wrote down.
type Untold struct {
	Bin    string    `json:"bin"`
	At     time.Time `json:"at"`
	DepthM float64   `json:"depth_m"`
	Batch  string    `json:"batch"`
}

// Untolds lives the two years again and gives the feedings that nobody wrote
// down, in order, for scoring what the round asks about. Nothing of it is ever in
// the farm.
func Untolds(ctx context.Context, progress Progress) ([]Untold, error) {
	f, err := heronSlough().live(ctx, func(file) error { return nil }, progress)
	if err != nil {
		return nil, err
	}
	return f.untold, nil
}
