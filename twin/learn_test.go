package twin

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// a toy farm: what is found in a bin is the sum of some knobs by known weights and
// of the bin's own error, seen with an error.
type toy struct {
	weights []float64
	truth   []float64
	own, sd float64
	r       *rand.Rand
	bins    map[int]float64
}

func (f *toy) lesson(z [][]float64, bin int) Lesson {
	l := Lesson{Bin: fmt.Sprint("B", bin), What: "temperature", SD: f.sd, Expected: make([]float64, len(z))}
	for k, w := range f.weights {
		l.Told += w * f.truth[k]
		for m := range z {
			l.Expected[m] += w * z[m][k]
		}
	}
	if _, has := f.bins[bin]; !has {
		f.bins[bin] = f.own * f.r.NormFloat64()
	}
	l.Told += f.bins[bin] + f.sd*f.r.NormFloat64()
	for m := range z {
		l.Expected[m] += f.own * f.r.NormFloat64()
	}
	return l
}

func (f *toy) off(z [][]float64) float64 {
	var sum float64
	for k, c := range columns(z) {
		mean, _ := moments(c)
		sum += f.weights[k] * (mean - f.truth[k])
	}
	return math.Abs(sum)
}

var learning = Parameters{LearnOwn: 2, LearnShared: 0.7, LearnMemory: 365, LearnLeast: 0.4}

// The more bins are watched, the nearer the members come to what all bins share:
// on the mean over many toy farms whose truth is drawn from what the members are.
func TestWatchedBinsTeachWhatIsShared(t *testing.T) {
	const farms = 60
	var off [4]float64
	for seed := range uint64(farms) {
		r := rand.New(rand.NewPCG(seed, 5))
		for i, watched := range []int{0, 2, 12, 60} {
			f := toy{weights: make([]float64, 50), truth: make([]float64, 50), own: 1, sd: 1, r: r, bins: map[int]float64{}}
			for k := range f.truth {
				f.truth[k] = r.NormFloat64()
			}
			f.weights[3], f.weights[11], f.weights[40] = 1.5, -1, 0.5
			z := Deviates(50, seed)
			for range 26 { // weeks
				var l []Lesson
				for b := range watched {
					l = append(l, f.lesson(z, b))
				}
				z = learning.Learn(z, 7, l)
			}
			off[i] += f.off(z) / farms
		}
	}
	t.Logf("off by %.3f, %.3f, %.3f, %.3f with 0, 2, 12 and 60 bins watched", off[0], off[1], off[2], off[3])
	if off[1] > 0.9*off[0] || off[2] > 0.8*off[1] || off[3] > off[2] {
		t.Errorf("off by %v with 0, 2, 12 and 60 bins watched", off)
	}
}

// What nothing depends on is neither moved far nor narrowed much by fifty weeks of
// lessons: its mean stays within a spread of where it was.
func TestNothingIsLearnedOfWhatHasNoPart(t *testing.T) {
	z := Deviates(20, 3)
	f := toy{weights: make([]float64, 20), truth: make([]float64, 20), own: 1, sd: 1, r: rand.New(rand.NewPCG(1, 1)), bins: map[int]float64{}}
	f.weights[0], f.truth[0] = 1, 2
	for range 50 {
		var l []Lesson
		for b := range 12 {
			l = append(l, f.lesson(z, b))
		}
		z = learning.Learn(z, 7, l)
	}
	for k, c := range columns(z) {
		mean, variance := moments(c)
		if k == 0 {
			if math.Abs(mean-2) > 0.6 {
				t.Errorf("the number that all depends on is at %.2f, its truth at 2", mean)
			}
			continue
		}
		if math.Abs(mean) > 1 || math.Sqrt(variance) < 0.4-1e-9 {
			t.Errorf("number %d, which has no part in it: %.2f with a spread of %.2f", k, mean, math.Sqrt(variance))
		}
	}
}

// One lesson of a knob that alone makes what is found is Kalman's update of a
// normal number, by its formula, but for the spread that is given back.
func TestOneLessonIsKalmans(t *testing.T) {
	p := Parameters{}
	z := Deviates(1, 9)
	l := Lesson{Bin: "B1", What: "x", Told: 1.3, SD: 0.7, Expected: make([]float64, len(z))}
	for m := range z {
		l.Expected[m] = z[m][0]
	}
	mean, variance := moments(l.Expected)
	gain := variance / (variance + 0.49)
	after := columns(p.Learn(z, 7, []Lesson{l}))[0]
	got, left := moments(after)
	if want := mean + gain*(1.3-mean); math.Abs(got-want) > 1e-12 {
		t.Errorf("mean %.6f, Kalman's %.6f", got, want)
	}
	if want := variance * (1 - gain); math.Abs(left-want) > 1e-12 {
		t.Errorf("variance %.6f, Kalman's %.6f", left, want)
	}
}

// Whatever is told, numbers stay finite, and the order in which lessons come does
// not matter.
func TestLearningStaysFinite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := Deviates(4, rapid.Uint64().Draw(t, "seed"))
		var l []Lesson
		for i := range rapid.IntRange(0, 6).Draw(t, "lessons") {
			x := Lesson{Bin: fmt.Sprint(i % 3), What: "x", Hour: int64(i), Told: rapid.Float64Range(-1e6, 1e6).Draw(t, "told"), SD: rapid.Float64Range(0, 10).Draw(t, "sd"), Expected: make([]float64, len(z))}
			for m := range z {
				x.Expected[m] = z[m][i%4] * rapid.Float64Range(-5, 5).Draw(t, "weight")
			}
			l = append(l, x)
		}
		once := learning.Learn(z, 7, l)
		for i, j := 0, len(l)-1; i < j; i, j = i+1, j-1 {
			l[i], l[j] = l[j], l[i]
		}
		again := learning.Learn(z, 7, l)
		for m := range once {
			for k := range once[m] {
				if math.IsNaN(once[m][k]) || math.IsInf(once[m][k], 0) {
					t.Fatalf("member %d, number %d: %g", m, k, once[m][k])
				}
				if once[m][k] != again[m][k] {
					t.Fatal("the order of lessons mattered")
				}
			}
		}
	})
}
