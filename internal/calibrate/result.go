package calibrate

import (
	_ "embed"
	"encoding/json"
	"math"
	"strconv"
)

// Fitted is one number with its central 90 %.
type Fitted struct {
	Name      string  `json:"name"`
	Value     float64 `json:"value"`
	Low       float64 `json:"low"`
	High      float64 `json:"high"`
	PriorLow  float64 `json:"prior_low"`
	PriorHigh float64 `json:"prior_high"`
}

// Met says how well a series is met: errors in the logarithm, model over print.
type Met struct {
	Study  string  `json:"study"`
	Name   string  `json:"name"`
	Points int     `json:"points"`
	Mean   float64 `json:"mean"`
	RMS    float64 `json:"rms"`
}

// Result is a fit.
type Result struct {
	Fitted      []Fitted    `json:"fitted" doc:"go into the worms' numbers"`
	Correlation [][]float64 `json:"correlation" doc:"of the fitted, in their logarithms"`
	Scales      []Fitted    `json:"scales" doc:"of the studies"`
	Series      []Met       `json:"series"`
	Loss        float64     `json:"loss" doc:"half the sum of squares, priors with it"`
	Widened     float64     `json:"widened" doc:"by how much the ranges are wider for what the model cannot meet"`
	Pulled      []Fitted    `json:"pulled,omitempty" doc:"all numbers fitted together, the held ones too"`
}

// Run fits the kept numbers to series; with pulled also all of those that have a
// prior, to see how far the series pull at what is held.
func Run(series []Series, pulled bool) (*Result, error) {
	f, err := newFit(series, false)
	if err != nil {
		return nil, err
	}
	r, err := f.solve(f.start())
	if err != nil || !pulled {
		return r, err
	}
	if f, err = newFit(series, true); err != nil {
		return nil, err
	}
	all, err := f.solve(f.start())
	if err != nil {
		return nil, err
	}
	r.Pulled = all.Fitted
	return r, nil
}

// RunOther fits the growth of another species to its own curves in series.
func RunOther(series []Series, species string) (*Result, error) {
	f, err := newOther(series, species)
	if err != nil {
		return nil, err
	}
	return f.solve(f.start())
}

// solve comes to rest from u and reads off what was found.
func (f *fit) solve(u []float64) (*Result, error) {
	u, l, err := f.descend(u)
	if err != nil {
		return nil, err
	}
	spread, ok := invert(l.normal)
	if !ok {
		return nil, errUnsettled
	}
	r := &Result{Loss: round(l.cost)}
	wide := math.Sqrt(max(1, 2*l.cost/l.points))
	r.Widened = round(wide)
	sd := func(i int) float64 { return min(1, wide*math.Sqrt(spread[i][i])) }
	for i := range f.numbers {
		p := &f.numbers[i]
		r.Fitted = append(r.Fitted, Fitted{p.Name, round(p.at(u[i])), round(p.at(u[i] - z90*sd(i))), round(p.at(u[i] + z90*sd(i))), p.Low, p.High})
		row := make([]float64, len(f.numbers))
		for k := range f.numbers {
			row[k] = math.Round(100*spread[i][k]/math.Sqrt(spread[i][i]*spread[k][k])) / 100
		}
		r.Correlation = append(r.Correlation, row)
	}
	times := func(v float64) float64 { return round(math.Exp(f.beliefs.ScaleSD * v)) }
	for k, study := range f.studies {
		i := len(f.numbers) + k
		r.Scales = append(r.Scales, Fitted{study, times(u[i]), times(u[i] - z90*sd(i)), times(u[i] + z90*sd(i)), times(-z90), times(z90)})
	}
	p := f.parameters(u)
	for i := range f.series {
		s := &f.series[i]
		r.Series = append(r.Series, met(s, Errors(s, Predict(On(p, f.scale(u, s)), s))))
	}
	return r, nil
}

func met(s *Series, errs []float64) Met {
	m := Met{Study: s.Study, Name: s.Name, Points: len(errs)}
	for _, e := range errs {
		m.Mean += e / float64(len(errs))
		m.RMS += e * e / float64(len(errs))
	}
	m.Mean, m.RMS = math.Round(100*m.Mean)/100, math.Round(100*math.Sqrt(m.RMS))/100
	return m
}

// round keeps three digits, as many as are kept with the worms' numbers.
func round(v float64) float64 {
	out, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return out
}

//go:embed result.json
var resultFile []byte

// Kept gives the fit that the worms' numbers come from.
func Kept() (*Result, error) {
	var r Result
	if err := json.Unmarshal(resultFile, &r); err != nil {
		return nil, err
	}
	return &r, nil
}

// Against sets the worms' numbers as they are kept against one series: the model
// in place of each y, and how well it is met. With free the scale of its study is
// fitted to it, else it is 1.
func Against(s *Series, free bool) (predicted []float64, scale float64, how Met, err error) {
	p, err := Worms()
	if err != nil {
		return nil, 0, Met{}, err
	}
	scale = 1
	if free && s.scaled() {
		f := &fit{base: p, studies: []string{s.Study}, series: []Series{*s}}
		if f.beliefs, err = beliefs(); err != nil {
			return nil, 0, Met{}, err
		}
		u, _, err := f.descend([]float64{0})
		if err != nil {
			return nil, 0, Met{}, err
		}
		scale = f.scale(u, s)
	}
	predicted = Predict(On(p, scale), s)
	return predicted, scale, met(s, Errors(s, predicted)), nil
}
