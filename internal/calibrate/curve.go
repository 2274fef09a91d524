package calibrate

import (
	"slices"
	"strings"

	"wormyard/internal/nature"
)

// Curve is one series and the model against it.
type Curve struct {
	Of    Series
	Scale float64      // of its study
	Line  [][2]float64 // of the model, in order of x
	How   Met
}

// points is how finely a course is drawn.
const points = 80

// Curves sets the worms' numbers as they are kept against all series, those of
// other species against the numbers of those, each at the scale that the kept fit
// gives its study.
func Curves() ([]Curve, error) {
	book, err := Book()
	if err != nil {
		return nil, err
	}
	kept, err := Kept()
	if err != nil {
		return nil, err
	}
	var out []Curve
	for i := range book {
		s := &book[i]
		species := ""
		if !s.ours() {
			species = s.Species[strings.LastIndex(s.Species, " ")+1:]
		}
		p, err := nature.Worms(species)
		if err != nil {
			return nil, err
		}
		scale := 1.0
		if k := slices.IndexFunc(kept.Scales, func(f Fitted) bool { return f.Name == s.Study }); k >= 0 && s.scaled() {
			scale = kept.Scales[k].Value
		}
		q := On(p, scale)
		c := Curve{Of: *s, Scale: scale, How: met(s, Errors(s, Predict(q, s)))}
		at := s.fine()
		for j, y := range Predict(q, &at) {
			c.Line = append(c.Line, [2]float64{at.X[j], y})
		}
		out = append(out, c)
	}
	return out, nil
}

// fine gives the series with more points, for a line; what counts since the point
// before keeps its own.
func (s *Series) fine() Series {
	f := *s
	f.X = slices.Sorted(slices.Values(s.X))
	if s.Kind != Cocoons {
		from, to := f.X[0], f.X[len(f.X)-1]
		f.X = nil
		for i := range points + 1 {
			f.X = append(f.X, from+(to-from)*float64(i)/points)
		}
	}
	f.Y, f.Error = slices.Repeat([]float64{1}, len(f.X)), nil
	f.Y[0] = s.Y[0]
	return f
}
