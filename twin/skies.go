package twin

import (
	"math"
	"math/rand/v2"
)

// skies are how the weather of each member goes beside what is told of it, in
// standard deviations: the same for all bins of a farm and in every run, by the
// day alone. docs/model.md (T18).
type skies struct {
	seed  uint64
	lasts float64 // [day]
	days  map[int64]*[Members]float64
}

// pairs are members whose weather is each other's opposite; member 0 has that
// which is told.
const pairs = Members / 2

// of gives how far the weather of a member is off at an hour, straight between
// the noons of days [standard deviations].
func (k *skies) of(draw int, hour int64, lasts float64) float64 {
	if !(lasts > 0) || draw <= 0 {
		return 0
	}
	at := hour - 12
	day := at / 24
	if at < day*24 {
		day--
	}
	x := float64(at-day*24) / 24
	return (1-x)*k.day(day, lasts)[draw%Members] + x*k.day(day+1, lasts)[draw%Members]
}

// forgets is after how many times its memory a day no more counts.
const forgets = 6

// day gives an autoregression of first order over the days, from steps drawn for
// each of them: those of the members are the quantiles of a normal, dealt out
// anew each day, one to each pair.
func (k *skies) day(day int64, lasts float64) *[Members]float64 {
	if k.lasts != lasts {
		k.lasts, k.days = lasts, map[int64]*[Members]float64{}
	}
	if v, ok := k.days[day]; ok {
		return v
	}
	v := new([Members]float64)
	keeps := math.Exp(-1 / lasts)
	step := math.Sqrt(1 - keeps*keeps)
	for d := day - int64(forgets*lasts); d <= day; d++ {
		r := rand.New(rand.NewPCG(k.seed^0x736b79, uint64(d)))
		deal := r.Perm(pairs)
		for m := 1; m < Members; m++ {
			v[m] *= keeps
		}
		for p, q := range deal {
			z := math.Sqrt2 * math.Erfinv((float64(q)+0.5)/pairs) // of the absolute value
			if r.IntN(2) == 0 {
				z = -z
			}
			v[2*p+1] += step * z
			if m := 2*p + 2; m < Members {
				v[m] -= step * z
			}
		}
	}
	k.days[day] = v
	return v
}
