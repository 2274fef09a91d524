package twin

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// What a measurement is expected to tell of a number is what Kalman's rule takes
// away of its variance when it comes, whatever comes: that of a number that is
// itself measured, and of one that goes along with it by the formula for two
// normal variables, less what chance makes of so many members.
func TestHelpsIsKalmans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		c, e, _ := somewhere(r)
		noise := rapid.Float64Range(0.1, 4).Draw(t, "noise")
		along := rapid.Float64Range(-2, 2).Draw(t, "along")
		air := make([]float64, Members)
		other := make([]float64, Members)
		for m := range air {
			air[m] = e.Members[m].Air
			other[m] = along*air[m] + r.NormFloat64()
		}
		s := sight{of: func(m *Member) float64 { return m.Air }, variance: noise, depth: math.NaN()}
		_, va := moments(air)
		if got, want := c.tells(s, e.each(s.of), air), va/(va+noise); math.Abs(got-want) > 1e-9 {
			t.Fatalf("of itself it tells %.9f, Kalman's %.9f", got, want)
		}
		_, vo := moments(other)
		var shared float64
		ma, _ := moments(air)
		mo, _ := moments(other)
		for m := range air {
			shared += (air[m] - ma) * (other[m] - mo) / float64(Members-1)
		}
		most := shared * shared / (va * vo) * va / (va + noise)
		if got := c.tells(s, e.each(s.of), other); got < 0 || got > most+1e-9 || most > 0.5 && got < 0.7*most {
			t.Fatalf("of another it tells %.6f, by two variables %.6f", got, most)
		}
	})
}
