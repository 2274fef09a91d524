package calibrate

import (
	_ "embed"
	"fmt"
	"math"
	"reflect"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/nature"
	"wormyard/worm"
)

// prior is what is believed of one number before the fit.
type prior struct {
	Name  string  `json:"name"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Plain bool    `json:"plain" default:"false" doc:"normal in the number itself; else in its logarithm"`
	Fit   bool    `json:"fit" default:"false" doc:"fitted and kept"`
	Why   string  `json:"why"`
}

// priors is priors.json.
type priors struct {
	Note       string             `json:"note"`
	Parameters []prior            `json:"parameters"`
	ScaleSD    float64            `json:"scale_sd"`
	ScaleWhy   string             `json:"scale_why"`
	Spread     map[string]float64 `json:"spread"`
	SpreadWhy  string             `json:"spread_why"`
	Counts     float64            `json:"counts"`
	CountsWhy  string             `json:"counts_why"`
	Freedom    float64            `json:"freedom"`
	FreedomWhy string             `json:"freedom_why"`
}

//go:embed priors.json
var priorsFile []byte

func beliefs() (*priors, error) {
	var b priors
	if found := contract.Decode(priorsFile, &b); len(found) > 0 {
		return nil, contract.Refuse(found)
	}
	for _, k := range kinds {
		if !(b.Spread[k] > 0) {
			return nil, figure.Refuse("spread", fmt.Sprintf("%s has no spread.", k), "Give one in priors.json.")
		}
	}
	return &b, nil
}

// z90 is the 95th percentile of the standard normal.
const z90 = 1.6448536269514722

// middle and sd of a prior in its coordinate.
func (r *prior) middle() float64 { return (r.coordinate(r.Low) + r.coordinate(r.High)) / 2 }
func (r *prior) sd() float64     { return (r.coordinate(r.High) - r.coordinate(r.Low)) / (2 * z90) }

func (r *prior) coordinate(v float64) float64 {
	if r.Plain {
		return v
	}
	return math.Log(v)
}

// at gives the number that lies u standard deviations of the prior off its middle.
func (r *prior) at(u float64) float64 {
	c := r.middle() + u*r.sd()
	if r.Plain {
		return c
	}
	return math.Exp(c)
}

// deviation is the inverse of at.
func (r *prior) deviation(v float64) float64 { return (r.coordinate(v) - r.middle()) / r.sd() }

// Worms gives the worms' numbers as they are kept.
func Worms() (worm.Parameters, error) { return nature.Worms("") }

// number finds a number of the worms by its name; nil when there is none.
func number(p *worm.Parameters, name string) *float64 {
	v := reflect.ValueOf(p).Elem()
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("param") == name {
			f, _ := v.Field(i).Addr().Interface().(*float64)
			return f
		}
	}
	return nil
}
