package twin

import (
	"math"
	"math/rand/v2"
	"testing"
)

// gaussian is the CRPS of a normal forecast: Gneiting and Raftery (2007), equation 21.
func gaussian(mean, sd, y float64) float64 {
	z := (y - mean) / sd
	density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	return sd * (z*math.Erf(z/math.Sqrt2) + 2*density - 1/math.Sqrt(math.Pi))
}

func TestOneMemberScoresItsDistance(t *testing.T) {
	if got := Foretell([]float64{3}, 0).CRPS(7.5); got != 4.5 {
		t.Errorf("%g, want the distance 4.5", got)
	}
}

// One member read with an error is a normal forecast, and so are many drawn from
// one: the first is exact, the second within four standard errors of 2,000 draws
// (their distances spread by less than 1.5, so 4·1.5/√2000 = 0.134).
func TestNormalForecastsScoreByTheClosedForm(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	draws := make([]float64, 2000)
	for _, y := range []float64{-2, 0, 0.3, 4} {
		if got, want := Foretell([]float64{1}, 1.5).CRPS(y), gaussian(1, 1.5, y); math.Abs(got-want) > 1e-12 {
			t.Errorf("read %g: %g, want %g", y, got, want)
		}
		for i := range draws {
			draws[i] = 1 + 1.5*r.NormFloat64()
		}
		if got, want := Foretell(draws, 0).CRPS(y), gaussian(1, 1.5, y); math.Abs(got-want) > 4*1.5/math.Sqrt(2000) {
			t.Errorf("read %g: %g of draws, want %g", y, got, want)
		}
	}
}

// The score is by definition the integral of the squared difference between the
// chance and what happened; a sum of steps of 0.001 errs by less than 0.001.
func TestScoreIsTheIntegralOfTheDefinition(t *testing.T) {
	for _, sd := range []float64{0, 0.7} {
		s := Foretell([]float64{1, 2, 2.5, 7}, sd)
		const read, step = 3.2, 0.001
		var want float64
		for x := -10.0; x < 20; x += step {
			f := 0.0
			for _, v := range []float64{1, 2, 2.5, 7} {
				switch {
				case sd > 0:
					f += 0.25 * 0.5 * math.Erfc((v-x)/(sd*math.Sqrt2))
				case v <= x:
					f += 0.25
				}
			}
			if x >= read {
				f--
			}
			want += f * f * step
		}
		if got := s.CRPS(read); math.Abs(got-want) > step {
			t.Errorf("error %g: %g, integral %g", sd, got, want)
		}
	}
}

// Few members score worse than many of the same kind: over 4,000 draws of four members
// the mean must lie above the closed form of endlessly many by E|X−X'|/(2·4), within
// four standard errors (0.05).
func TestFewMembersScoreWorse(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	const n = 4000
	var plain, want float64
	for range n {
		v := make([]float64, 4)
		for i := range v {
			v[i] = r.NormFloat64()
		}
		y := r.NormFloat64()
		s := Foretell(v, 0)
		plain, want = plain+s.CRPS(y)/n, want+gaussian(0, 1, y)/n
	}
	if math.Abs(plain-want-2/math.Sqrt(math.Pi)/8) > 0.05 {
		t.Errorf("four members %g, closed form %g", plain, want)
	}
}

// Where truth is one more member, every chance comes up alike and the 90 % range
// holds 90 of 100, with and without an error of reading (8,000 trials: four
// standard errors of the share are 0.0134). With an error of reading the members'
// own few make the range a little narrow, by less than 2/33.
func TestRangesHoldWhatTheyShould(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, c := range []struct{ sd, slack float64 }{{0, 0.0134}, {1, 0.0134 + 2.0/33}} {
		below := make([]float64, 8000)
		for k := range below {
			v := make([]float64, Members)
			for i := range v {
				v[i] = r.NormFloat64()
			}
			below[k] = Foretell(v, c.sd).Below(r.NormFloat64() + c.sd*r.NormFloat64())
		}
		for _, share := range []float64{0.5, 0.9} {
			if got := Within(below, share); math.Abs(got-share) > c.slack {
				t.Errorf("error %g: %g of readings in the range of %g", c.sd, got, share)
			}
		}
		for i, p := range Parts(below, 10) {
			if math.Abs(p-0.1) > c.slack {
				t.Errorf("error %g: part %d holds %g", c.sd, i, p)
			}
		}
	}
}

func TestQuantileAndBelowAreInverse(t *testing.T) {
	for _, sd := range []float64{0, 0.5} {
		s := Foretell([]float64{1, 2, 4, 8, 16, 32, 33}, sd)
		for _, q := range []float64{0.2, 0.5, 0.8} {
			if got := s.Below(s.Quantile(q)); math.Abs(got-q) > 1e-9 {
				t.Errorf("error %g: %g of %g", sd, got, q)
			}
		}
	}
}
