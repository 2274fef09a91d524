package yard

import (
	"fmt"

	"wormyard/qty"
)

// The cautions, shown where the advice is given.
const (
	cautionDust    = "Dust and spores: damp the face down first, stand upwind, wear a mask."
	cautionHot     = "Hot inside, with steam and ammonia: keep your face out of it and gloves on."
	cautionAmmonia = "Ammonia: turn in the open, leave if eyes or nose sting."
	cautionGerms   = "Manure carries germs: gloves, wash before eating."
	cautionFire    = "Hot, dry piles can catch fire. Do not drive or climb on it, have water at hand, open it from the side."
	cautionHelp    = "It may already smoulder and flame up when opened. Keep people and machines off and call the fire service."
)

// Advise says what the pile wants, the most urgent first; nothing when it can
// lie. Temperatures are printed in the units asked for. A pile laid in store
// dry on purpose is not told to be wetted unless it warms.
func (s *Pile) Advise(p *Parameters, b Budget, units qty.System) []Advice {
	if s.Matter.Wet() <= 0 {
		return nil
	}
	now := s.Status(p, b)
	var out []Advice
	add := func(a Advice) { out = append(out, a) }
	deg := func(c float64) string { return units.Temperature(qty.Celsius(c)) }
	volume := float64(s.Matter.Volume)
	dry := float64(now.Moisture) < p.DustBelow
	smoulders := float64(now.Moisture) >= p.FireDry && float64(now.Moisture) <= p.FireMoist

	// Microbes cannot make a pile hotter than DecayMaxC and the model knows nothing
	// else, so fire is judged by the thermometer: its last word stands until the
	// pile is measured again or turned.
	read := 0.0
	if s.MeasuredAt != 0 && s.MeasuredAt >= s.TurnedAt {
		read = s.MeasuredC
	}
	core := s.TempC
	switch {
	case read >= p.HelpC:
		add(Advice{Act: "call for help", Urgency: Now, Caution: cautionHelp,
			Reason: fmt.Sprintf("The core was at %s, beyond what microbes make: it heats by itself.", deg(read))})
		return out
	case read >= p.ActC:
		add(Advice{Act: "spread", Urgency: Now, Caution: cautionFire, Minutes: volume * p.TurnMinPerM,
			Reason: fmt.Sprintf("The core was at %s. Spread it low and wet it.", deg(read))})
		return out
	case read >= p.WarnC:
		add(Advice{Act: "turn", Urgency: Today, Caution: cautionFire, Minutes: volume * p.TurnMinPerM,
			Reason: fmt.Sprintf("The core was at %s, the top of what microbes make.", deg(read))})
	case now.Turn:
		why := fmt.Sprintf("It is %s inside and short of air.", deg(core))
		if core > p.TurnC {
			why = fmt.Sprintf("At %s even the useful microbes die back.", deg(core))
		} else if !now.Hot {
			why = fmt.Sprintf("It has cooled to %s but would still grow warm when laid: turning wakes it.", deg(core))
		}
		add(Advice{Act: "turn", Reason: why, Urgency: Week, Caution: s.turning(p, dry, now.Hot), Minutes: volume * p.TurnMinPerM})
	}
	if now.Wet {
		a := Advice{Act: "wet", Water: now.Water, Urgency: Week, Minutes: float64(now.Water) * p.WetMinPerL,
			Reason: fmt.Sprintf("Moisture is about %s: too dry to rot well.", qty.Percent100(float64(now.Moisture)))}
		if smoulders && s.TempC >= p.HotC {
			a.Urgency, a.Caution = Today, cautionFire
			a.Reason = fmt.Sprintf("Warm and dry (about %s): the state in which piles catch fire.", qty.Percent100(float64(now.Moisture)))
		} else if dry {
			a.Caution = cautionDust
		}
		add(a)
	}
	stale := s.MeasuredAt == 0 || float64(s.Hour-s.MeasuredAt)/24 >= p.MeasureDays
	if (now.Hot || float64(now.Laid) > p.CoolC) && stale {
		why := "It has never been measured."
		if s.MeasuredAt != 0 {
			why = fmt.Sprintf("Last measured %.0f days ago.", float64(s.Hour-s.MeasuredAt)/24)
		}
		add(Advice{Act: "measure", Urgency: Week, Minutes: p.MeasureMin,
			Reason: fmt.Sprintf("We think the core is between %s and %s. %s", deg(now.Core.Low), deg(now.Core.High), why)})
	}
	if float64(now.Height) > p.HeightM {
		add(Advice{Act: "spread", Urgency: NoHurry, Minutes: volume * p.TurnMinPerM / 2, Caution: cautionFire,
			Reason: fmt.Sprintf("It stands about %s high; keep piles under %s.", feet(now.Height, units), feet(qty.Metre(p.HeightM), units))})
	}
	return out
}

func feet(h qty.Metre, units qty.System) string {
	if units == qty.US {
		return fmt.Sprintf("%.0f ft", float64(h)/qty.MetrePerFoot)
	}
	return fmt.Sprintf("%.1f m", float64(h))
}

func (s *Pile) turning(p *Parameters, dry, hot bool) string {
	switch {
	case dry:
		return cautionDust
	case float64(s.Matter.Ammonia) > p.SharpFrac*float64(s.Matter.Dry):
		return cautionAmmonia
	case hot:
		return cautionHot
	}
	return cautionGerms
}
