package calibrate

import (
	"math"

	"wormyard/worm"
)

// plenty is more wet feed than any worm of a pot eats [kg].
const plenty = 1e6

// On gives the numbers of worms on feed that is q times as good: growth that the
// feed drives is q times as quick and ends where upkeep meets it,
//
//	dl/dt = v (q - (l/L)^b),  which is W2 with v q and L q^(1/b).
func On(p worm.Parameters, q float64) worm.Parameters {
	p.GrowthSpeed *= q
	p.GrownG *= math.Pow(q, 3/p.GrowthBend)
	return p
}

func (s *Series) culture() worm.Culture {
	c := worm.Culture{Worms: s.Worms, MassG: s.StartMg / 1e3, TempC: s.TempC, Water: s.Water, AreaM2: s.AreaM2,
		FeedKgWet: s.FeedKgWet, MoreKgWet: s.MoreKgWet, MoreEachDays: s.MoreEachDays}
	if c.FeedKgWet == 0 {
		c.FeedKgWet = plenty
	}
	return c
}

// start gives the first day of a pot, and how many points of the series only tell
// how it began.
func (s *Series) start() (day float64, told int) {
	if s.Kind == Mass {
		return s.X[0], 1
	}
	return s.StartDay, 0
}

// Predict gives what the model says in place of each y. model.md (W18)
func Predict(p worm.Parameters, s *Series) []float64 {
	out := make([]float64, len(s.X))
	switch s.Kind {
	case Mass, Cocoons:
		predictCourse(p, s, out)
	case ByMoisture:
		for i, water := range s.X {
			c := s.culture()
			c.Water = water
			p.Keep(c, s.Day, func(at worm.Point) { out[i] = at.MassG * 1e3 })
		}
	case Peak:
		for i, worms := range s.X {
			c := s.culture()
			c.Worms = worms
			p.Keep(c, s.Day, func(at worm.Point) { out[i] = max(out[i], at.MassG*1e3) })
		}
	case Incubation:
		for i, t := range s.X {
			out[i] = 1 / p.Hatching(t)
		}
	case Maturity:
		for i, t := range s.X {
			out[i] = p.Maturation(t)
		}
	case Laying:
		for i, t := range s.X {
			out[i] = 7 * p.Laying(t, s.Water, 0, 1)
		}
	}
	return out
}

// predictCourse follows a pot from point to point.
func predictCourse(p worm.Parameters, s *Series, out []float64) {
	start, told := s.start()
	c := s.culture()
	if told > 0 {
		c.MassG = s.Y[0] / 1e3
		out[0] = s.Y[0]
	}
	next, laid := told, 0.0
	const half = 0.125 // of the step of a pot [day]
	p.Keep(c, s.X[len(s.X)-1]-start, func(at worm.Point) {
		for next < len(s.X) && at.Day > s.X[next]-start-half {
			if s.Kind == Mass {
				out[next] = at.MassG * 1e3
			} else {
				total := at.Cocoons * s.Worms
				out[next] = total - laid
				laid = total
			}
			next++
		}
	})
}
