package demo

import "context"

// Answer is what truly lives in a bin on the last morning.
type Answer struct {
	Bin        string  `json:"bin"`
	WormsKg    float64 `json:"worms_kg"`             // live
	FeedLeftKg float64 `json:"feed_left_kg_dry"`     // not worked and not rotted
	MiddleC    float64 `json:"middle_c"`             // in the middle of the bed
	MaxC       float64 `json:"max_c"`                // of any layer over the last hours
	DepthM     float64 `json:"depth_m"`              //
	Water      float64 `json:"water_frac_wet"`       // of the whole bed
	Castings   float64 `json:"castings_frac_of_dry"` //
	AgeDays    int     `json:"age_days"`             //
}

// Answers lives the two years again and gives the truth of the last morning, for
// scoring what the farm's twins say. Nothing of it is ever in the farm.
func Answers(ctx context.Context, progress Progress) ([]Answer, error) {
	f, err := heronSlough().live(ctx, func(file) error { return nil }, progress)
	if err != nil {
		return nil, err
	}
	return f.answers(), nil
}

func (f *truth) answers() []Answer {
	var out []Answer
	for _, b := range f.bins {
		if b.live == nil {
			continue
		}
		s, d := b.live.s, b.live.last
		out = append(out, Answer{Bin: b.name, WormsKg: s.Worms.LiveKg(), FeedLeftKg: d.FeedLeftKg, MiddleC: tempAt(s, depthOf(s)/2), MaxC: d.MaxC,
			DepthM: depthOf(s), Water: d.WaterOfWet, Castings: d.CastingsOfDry, AgeDays: f.day - b.live.since})
	}
	return out
}
