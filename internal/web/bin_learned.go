package web

import (
	"math"
	"strings"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/twin"
)

// Learned says what moved the twins of a bin last, in a reader's words.
func Learned(all []app.Learned, c *words.Catalogue, units qty.System, zone *time.Location, now time.Time) []string {
	return person{Units: units, Words: c, Zone: zone, Now: now.In(zone)}.learned(all)
}

func (p person) learned(all []app.Learned) (out []string) {
	for i := range all {
		if say := p.learnedOf(&all[i]); say != "" {
			out = append(out, say)
		}
	}
	return out
}

func (p person) learnedOf(l *app.Learned) string {
	var what string
	number := qty.Percent100
	mass := func(kg float64) string { return printable(p.Units.Mass(kg)) }
	switch l.Kind {
	case twin.Temperature:
		off := l.Value - l.Before.Mid
		key := "learned.warmer"
		if off < 0 {
			key, off = "learned.colder", -off
		}
		what, number = p.Say(key, depthSay(p, l.DepthM), p.Units.TemperatureStep(off)), p.temperatureUnit
	case twin.Moisture:
		what = p.Say("learned.wet", depthSay(p, l.DepthM), qty.Percent100(l.Value))
	case twin.Height:
		number = func(m float64) string { return depthSay(p, m) }
		what = p.Say("learned.height", number(l.Value))
	case twin.Weighed:
		what, number = p.Say("learned.weight", mass(l.Value)), mass
	case twin.WormsKg:
		what, number = p.Say("learned.count", mass(l.Value)), mass
	case twin.WormsNumber:
		if number = whole; l.Word == twin.NoneFound {
			what = p.Say("learned.none")
			break
		}
		number = func(v float64) string { return thousands(int(math.Round(v))) }
		what = p.Say("learned.number", number(l.Value))
	case twin.Squeezed:
		what = p.Say("learned.squeeze", strings.ToLower(p.choice("squeeze", l.Word)))
	case twin.FeedLeft:
		what = p.Say("learned.left", strings.ToLower(p.choice("feed_left", l.Word)))
	case twin.WormsSeen:
		what, number = p.Say("learned.worms", strings.ToLower(p.choice("worms", l.Word))), mass
	default:
		return ""
	}
	when := p.Moment(l.At)
	if !l.Believed {
		return p.Say("learned.not", when, what, number(l.Before.Mid))
	}
	say := p.Say("learned.moved", when, what, number(l.Before.Mid), number(l.After.Mid))
	if l.InPart && l.Word == "" {
		say += " " + p.Say("learned.part")
	}
	return say
}
