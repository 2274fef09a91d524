package calibrate

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"

	"wormyard/figure"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/worm"
)

// fit is all that is looked for and what it is looked for in. The unknowns are
// standard deviations of their priors: first the numbers, then the logarithms of
// the studies' scales.
type fit struct {
	base    worm.Parameters
	beliefs *priors
	numbers []prior
	studies []string
	series  []Series
}

// newFit takes the numbers to be fitted; all of those with a prior, or only those
// that are kept.
func newFit(series []Series, all bool) (*fit, error) {
	b, err := beliefs()
	if err != nil {
		return nil, err
	}
	f := &fit{beliefs: b}
	if f.base, err = Worms(); err != nil {
		return nil, err
	}
	for _, r := range b.Parameters {
		if number(&f.base, r.Name) == nil {
			return nil, fmt.Errorf("priors.json names %s, which worms do not have", r.Name)
		}
		if r.Fit || all {
			f.numbers = append(f.numbers, r)
		}
	}
	for _, s := range series {
		if !s.ours() {
			continue
		}
		f.series = append(f.series, s)
		if s.scaled() && !slices.Contains(f.studies, s.Study) {
			f.studies = append(f.studies, s.Study)
		}
	}
	return f, nil
}

// newOther is a fit of another species: of its own curves, as far as growth goes,
// with priors that are thrice as wide and no scales, since one study cannot tell
// its feed from its worms. What the species' file says is assumed is held.
func newOther(series []Series, species string) (*fit, error) {
	b, err := beliefs()
	if err != nil {
		return nil, err
	}
	f := &fit{beliefs: b}
	for _, s := range series {
		if strings.HasSuffix(s.Species, " "+species) && s.Kind == Mass {
			f.series = append(f.series, s)
		}
	}
	if len(f.series) == 0 {
		return nil, figure.Refuse("species", fmt.Sprintf("No curve of growth of %q is kept.", species), "See internal/calibrate/growth.json for those that are.")
	}
	if f.base, err = nature.Worms(species); err != nil {
		return nil, err
	}
	entries, err := nature.WormEntries(species)
	if err != nil {
		return nil, err
	}
	for _, r := range b.Parameters {
		i := slices.IndexFunc(entries, func(e source.Parameter) bool { return e.Name == r.Name })
		if !slices.Contains(growing, r.Name) || entries[i].How == "assumed" {
			continue
		}
		middle, half := (r.coordinate(r.Low)+r.coordinate(r.High))/2, (r.coordinate(r.High)-r.coordinate(r.Low))/2
		r.Low, r.High = middle-3*half, middle+3*half
		if !r.Plain {
			r.Low, r.High = math.Exp(r.Low), math.Exp(r.High)
		}
		f.numbers = append(f.numbers, r)
	}
	return f, nil
}

// growing are the numbers that curves of growth alone tell.
var growing = []string{"growth_cbrt_g_day", "growth_bend", "grown_g", "growth_cold_c", "growth_hot_c"}

// scaled tells whether the scale of its study acts on a series.
func (s *Series) scaled() bool {
	return s.Kind == Mass || s.Kind == Cocoons || s.Kind == ByMoisture || s.Kind == Peak
}

func (f *fit) size() int { return len(f.numbers) + len(f.studies) }

// start gives the unknowns at the numbers as they are kept, all scales 1.
func (f *fit) start() []float64 {
	u := make([]float64, f.size())
	for i := range f.numbers {
		u[i] = f.numbers[i].deviation(*number(&f.base, f.numbers[i].Name))
	}
	return u
}

// parameters gives the worms' numbers at u.
func (f *fit) parameters(u []float64) worm.Parameters {
	p := f.base
	for i := range f.numbers {
		*number(&p, f.numbers[i].Name) = f.numbers[i].at(u[i])
	}
	return p
}

func (f *fit) scaleAt(study string) int {
	return len(f.numbers) + slices.Index(f.studies, study)
}

func (f *fit) scale(u []float64, s *Series) float64 {
	if !s.scaled() {
		return 1
	}
	return math.Exp(f.beliefs.ScaleSD * u[f.scaleAt(s.Study)])
}

// Errors gives the logarithm of model over observation, of the points that tell
// more than how the pot began and are to be fitted.
func Errors(s *Series, predicted []float64) []float64 {
	_, told := s.start()
	var out []float64
	for i := told; i < len(s.X); i++ {
		if s.fitted(i) {
			out = append(out, math.Log(max(predicted[i], 1e-9)/s.Y[i]))
		}
	}
	return out
}

func (s *Series) fitted(i int) bool { return s.Until == 0 || s.X[i] <= s.Until }

// misfit gives the residuals of one series: errors in parts of their spread, by
// Student's law, a long curve counted as a few points.
func (f *fit) misfit(u []float64, s *Series) []float64 {
	r := Errors(s, Predict(On(f.parameters(u), f.scale(u, s)), s))
	_, told := s.start()
	weigh := math.Sqrt(min(1, f.beliefs.Counts/float64(len(r))))
	at := 0
	for i := told; i < len(s.X); i++ {
		if !s.fitted(i) {
			continue
		}
		own := 0.0
		if s.Error != nil {
			own = min(0.5, s.Error[i]/s.Y[i])
		}
		r[at] = weigh * f.student(r[at]/math.Hypot(f.beliefs.Spread[s.Kind], own))
		at++
	}
	return r
}

// student turns a residual so that half its square is the loss of Student's law.
func (f *fit) student(r float64) float64 {
	n := f.beliefs.Freedom
	return math.Copysign(math.Sqrt((n+1)*math.Log1p(r*r/n)), r)
}

var errUnsettled = errors.New("the series do not settle the numbers: several together have the same effect")

// linear is the misfit about one place: residuals by series, and their slopes.
type linear struct {
	cost   float64 // half the sum of squares with the priors
	normal [][]float64
	slope  []float64
	points float64 // counted, without the priors
}

// each runs work for every series, on all cores.
func (f *fit) each(work func(i int)) {
	next := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				work(i)
			}
		})
	}
	for i := range f.series {
		next <- i
	}
	close(next)
	wait.Wait()
}

func (f *fit) cost(u []float64) float64 {
	part := make([]float64, len(f.series))
	f.each(func(i int) {
		for _, r := range f.misfit(u, &f.series[i]) {
			part[i] += r * r / 2
		}
	})
	sum := 0.0
	for _, v := range part {
		sum += v
	}
	for _, v := range u {
		sum += v * v / 2
	}
	return sum
}

// about works out residuals and slopes, by differences to one side or, to know
// them better, to both.
func (f *fit) about(u []float64, both bool) *linear {
	const h = 0.02
	n := f.size()
	type bit struct {
		r  []float64
		by map[int][]float64
	}
	bits := make([]bit, len(f.series))
	f.each(func(i int) {
		s := &f.series[i]
		b := bit{r: f.misfit(u, s), by: map[int][]float64{}}
		for k := range n {
			if k >= len(f.numbers) && (!s.scaled() || k != f.scaleAt(s.Study)) {
				continue
			}
			v := slices.Clone(u)
			v[k] = u[k] + h
			up := f.misfit(v, s)
			down, apart := b.r, h
			if both {
				v[k] = u[k] - h
				down, apart = f.misfit(v, s), 2*h
			}
			for j := range up {
				up[j] = (up[j] - down[j]) / apart
			}
			b.by[k] = up
		}
		bits[i] = b
	})
	l := &linear{normal: make([][]float64, n), slope: make([]float64, n)}
	for k := range n { // the priors: residual u, slope 1
		l.normal[k] = make([]float64, n)
		l.normal[k][k] = 1
		l.slope[k] = u[k]
		l.cost += u[k] * u[k] / 2
	}
	for _, b := range bits {
		l.points += min(f.beliefs.Counts, float64(len(b.r)))
		for j, r := range b.r {
			l.cost += r * r / 2
			for k := range n {
				if b.by[k] == nil {
					continue
				}
				l.slope[k] += b.by[k][j] * r
				for m := range n {
					if b.by[m] != nil {
						l.normal[k][m] += b.by[k][j] * b.by[m][j]
					}
				}
			}
		}
	}
	return l
}

// descend finds the least cost by Levenberg's and Marquardt's method from u.
// Unknowns that are held stay where they are.
func (f *fit) descend(u []float64, held ...int) ([]float64, *linear, error) {
	const most, still = 60, 1e-4
	u = slices.Clone(u)
	damp := 0.01
	for range most {
		l := f.about(u, false)
		for {
			a := make([][]float64, len(u))
			for i := range a {
				a[i] = slices.Clone(l.normal[i])
				a[i][i] *= 1 + damp
			}
			b := slices.Clone(l.slope)
			for _, k := range held {
				for i := range a {
					a[i][k], a[k][i] = 0, 0
				}
				a[k][k], b[k] = 1, 0
			}
			inverse, ok := invert(a)
			if !ok {
				return u, l, errUnsettled
			}
			v := slices.Clone(u)
			far := 0.0
			for i := range v {
				for k := range b {
					v[i] -= inverse[i][k] * b[k]
				}
				far = max(far, math.Abs(v[i]-u[i]))
			}
			if cost := f.cost(v); cost <= l.cost {
				u = v
				damp = max(damp/5, 1e-6)
				if far < 1e-2 && l.cost-cost < still {
					return u, f.about(u, true), nil
				}
				break
			}
			if damp *= 4; damp > 1e8 || far < 1e-6 {
				return u, f.about(u, true), nil
			}
		}
	}
	return u, nil, fmt.Errorf("the fit did not come to rest in %d steps", most)
}

// invert inverts a symmetric positive definite matrix by Cholesky's method.
func invert(a [][]float64) ([][]float64, bool) {
	n := len(a)
	low := make([][]float64, n)
	for i := range n {
		low[i] = make([]float64, n)
		for j := 0; j <= i; j++ {
			sum := a[i][j]
			for k := range j {
				sum -= low[i][k] * low[j][k]
			}
			if i != j {
				low[i][j] = sum / low[j][j]
			} else if !(sum > 0) {
				return nil, false
			} else {
				low[i][i] = math.Sqrt(sum)
			}
		}
	}
	out := make([][]float64, n)
	for c := range n {
		x := make([]float64, n)
		x[c] = 1
		for i := range n {
			for k := range i {
				x[i] -= low[i][k] * x[k]
			}
			x[i] /= low[i][i]
		}
		for i := n - 1; i >= 0; i-- {
			for k := i + 1; k < n; k++ {
				x[i] -= low[k][i] * x[k]
			}
			x[i] /= low[i][i]
		}
		out[c] = x
	}
	return out, true
}
