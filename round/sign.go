package round

import (
	"math"

	"wormyard/bed"
	"wormyard/twin"
)

// sign is the last word of a dial thermometer that is far from what is expected
// at its depth.
type sign struct {
	twin.Reading
	expect float64 // [C]
}

func (s *sign) say(key string) Phrase {
	return say(key, temp(s.TempC), depth(s.DepthM), temp(s.expect))
}

// odd gives the last word of a dial thermometer of the last day where it lies far
// beyond its own error and the range of the twins; nil where it does not.
// docs/model.md (R5).
func (t *Trier) odd(c *Case) *sign {
	for i := len(c.History.Readings) - 1; i >= 0; i-- {
		r := c.History.Readings[i]
		if r.Hour < c.Now-24 || r.Hour > c.Now {
			return nil
		}
		if r.Probe != "dial" || math.IsNaN(r.TempC) {
			continue
		}
		r.DepthM = t.Crew.P.Deep(&r)
		expect := c.Ensemble.Over(func(m *twin.Member) float64 { return twin.TempAt(&m.State, r.DepthM) })
		if r.TempC > expect.Low-t.P.ReadOff && r.TempC < expect.High+t.P.ReadOff {
			return nil
		}
		return &sign{r, expect.Mid}
	}
	return nil
}

// besideM is how far beside a thermometer its word is believed [m].
const besideM = 0.1

// believed gives the twins as warm or as cold as an odd reading says, about the
// depth at which it was read, for the tries of today; the twins that are kept
// are not moved. docs/model.md (R5).
func believed(e *twin.Ensemble, odd *sign) *twin.Ensemble {
	e = e.Clone()
	for m := range e.Members {
		s := &e.Members[m].State
		off, at := odd.TempC-twin.TempAt(s, odd.DepthM), 0.0
		for i := len(s.Layers) - 1; i >= 0; i-- {
			l := &s.Layers[i]
			z := (at + l.DepthM/2 - odd.DepthM) / besideM
			l.TempC += off * math.Exp(-z*z/2)
			at += l.DepthM
		}
	}
	return e
}

// tooHot says that it may have read over the limit of what worms bear well, by its own
// error, where much less was to be expected: of such a bed the twins do not know.
func (s *sign) tooHot(limitC float64) bool {
	return s != nil && s.TempC > s.expect && s.TempC+s.TempSD >= limitC
}

// seeTo makes a look of an item where something was seen that the twins do not
// know of: an odd reading, or more water than a bed takes up; where it read too hot
// the bin is opened now. What cannot wait stays as it is. docs/model.md (R5).
func (t *Trier) seeTo(c *Case, it *Item, odd *sign) {
	var head, why Phrase
	kg, hour := poured(c, t.P.SoakDays)
	switch {
	case odd != nil:
		head, why = say("look.odd"), odd.say("why.reading")
	case kg > t.P.SoakKg:
		head, why = say("look.soaked"), say("why.hose", pour(kg), day(hour))
	default:
		return
	}
	it.Act, it.Head, it.Urgency, it.Minutes = Look, head, Today, t.P.LookMinutes
	var care []Phrase
	if odd.tooHot(t.Crew.Best().RefugeC) {
		it.Act, it.Urgency, it.Minutes = Open, Now, t.P.OpenMinutes
		care = []Phrase{say("care.ammonia"), say("care.gloves")}
	}
	it.DepthM, it.WaterKg, it.Cover, it.Mix, it.VolumeM3 = 0, 0, "", "", 0
	it.Why, it.Sureness, it.Care, it.Others = []Phrase{why}, nil, care, nil
	t.lifted(c, it)
}

// poured gives the most water that was given at once in the last days [kg], and
// the hour.
func poured(c *Case, days float64) (kg float64, hour int64) {
	for _, a := range c.History.Acts {
		if a.Kind == bed.Water && a.Hour <= c.Now && a.Hour > c.Now-int64(days*24) && a.WaterKg > kg {
			kg, hour = a.WaterKg, a.Hour
		}
	}
	return kg, hour
}
