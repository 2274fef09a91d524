package twin

import (
	"math"

	"wormyard/bed"
	"wormyard/climate"
)

// Score is one forecast of a reading held against what was read, as it was issued.
// Numbers are in the measure in which a reading is taken in (docs/model.md (T5)):
// of worms the natural log of what is on a square metre.
type Score struct {
	Bin    string  `json:"bin"`
	Entry  string  `json:"entry"` // of the journal
	Kind   Kind    `json:"kind"`
	Days   int     `json:"horizon_days"`
	Hour   int64   `json:"hour"`    // of the reading [since 1970-01-01T00Z]
	Issue  int64   `json:"issue"`   // of the forecast, up to five hours more than the horizon before it
	DepthM float64 `json:"depth_m"` // below the surface, 0 where it has none
	Told   float64 `json:"told"`
	SD     float64 `json:"sd"` // error of the reading

	Low     float64 `json:"p05"` // of the forecast of the reading
	LowMid  float64 `json:"p25"`
	Mid     float64 `json:"p50"`
	HighMid float64 `json:"p75"`
	High    float64 `json:"p95"`
	Below   float64 `json:"below"` // chance that it gave to less than was read
	CRPS    float64 `json:"crps"`

	LastCRPS   float64 `json:"-"` // of the last reading kept; NaN where there is no such forecast
	SeasonCRPS float64 `json:"-"` // of what is usual at the time of the year; NaN likewise

	Make string `json:"make"` // of the twins
	Made int64  `json:"made"` // when it was scored [hours since 1970-01-01T00Z]
}

// Read puts down what a forecast said and how well it did. docs/model.md (T16), (T17).
func (s *Score) Read(f Foretold) {
	s.Low, s.LowMid, s.Mid, s.HighMid, s.High = f.Quantile(0.05), f.Quantile(0.25), f.Quantile(0.5), f.Quantile(0.75), f.Quantile(0.95)
	s.Below, s.CRPS = f.Below(s.Told), f.CRPS(s.Told)
}

// Finite says whether the score is of numbers.
func (s *Score) Finite() bool {
	for _, v := range [...]float64{s.Told, s.SD, s.Low, s.Mid, s.High, s.Below, s.CRPS} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// Expected is what the members expect of one thing that is going to be found.
type Expected struct {
	Values []float64 // by member
	Told   float64   // what is found, in the same measure
	SD     float64   // its error
}

// Expect runs a copy of the ensemble on, through what the history says is done and
// without taking anything found in, and gives for each thing found after its hour
// what the members expect of it then. Found is in order of hour. What is a word has
// no values; those of what cannot be expected (a first weighing) are not numbers. docs/model.md (T20).
func (c *Crew) Expect(e *Ensemble, h History, air climate.Series, found []Found) ([]Expected, error) {
	e = e.Clone()
	out := make([]Expected, len(found))
	for i, f := range found {
		if f.Hour < e.Hour || f.Word != "" {
			continue
		}
		if err := c.run(e, h, air, f.Hour, nil); err != nil {
			return nil, err
		}
		out[i] = c.expect(e, h.Box, f)
	}
	return out, nil
}

// expect gives what the members expect of one thing found now.
func (c *Crew) expect(e *Ensemble, box bed.Box, f Found) (x Expected) {
	for _, s := range c.sights(e, box, f) {
		x = Expected{Values: e.each(s.of), Told: s.told, SD: math.Sqrt(s.variance)}
	}
	return x
}
