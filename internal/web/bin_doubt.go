package web

import (
	"math"
	"time"

	"wormyard/farm"
	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/twin"
)

// doubtDays is how long what is not believed of a probe is told [day].
const doubtDays = 14

// Unbelieved says which readings of a bin's probes are not believed of late, and
// why, in a reader's words.
func Unbelieved(state *farm.State, bin string, c *words.Catalogue, units qty.System, now time.Time) []string {
	p := person{Units: units, Words: c, Zone: state.Zone(), Now: now.In(state.Zone())}
	return p.unbelieved(state.Unbelieved(bin))
}

func (p person) unbelieved(all []farm.Unbelieved) (out []string) {
	type two [2]string
	told := map[two]bool{}
	for i := range all {
		x := &all[i]
		if x.Cause != twin.WrongYear && x.Last.At.Before(p.Now.AddDate(0, 0, -doubtDays)) {
			continue
		}
		who, said := p.probe(x.Last), p.probed(x.Last)
		when := p.Moment(x.Last.At)
		var say string
		switch x.Cause {
		case twin.Impossible:
			key := "doubt.impossible"
			if x.Air {
				key = "doubt.air"
			}
			say = p.Say(key, who, said, when)
		case twin.WrongYear:
			say = p.Say("doubt.clock", who, p.Words.Date(x.Last.At.In(p.Zone)))
		case twin.Stuck:
			say = p.Say("doubt.stuck", who, said, p.Moment(x.First.At), when)
		case twin.Spike:
			say = p.Say("doubt.spike", who, said, when)
		case twin.OtherUnit:
			typed, meant := farm.OtherScale(*x.Last.Temp, x.As)
			which := farm.Meant(p.Units, meant, x.As)
			say = p.Say("doubt.unit", who, said, when, which)
			if !math.IsNaN(float64(x.Expect)) {
				say = p.Say("doubt.unitof", who, said, when, p.Units.Temperature(x.Expect), which)
			}
			say += " " + p.Say("doubt.unittry", meant, typed)
		case twin.Apart:
			other := p.probe(x.Other)
			if told[two{other, who}] {
				continue
			}
			told[two{who, other}] = true
			other = lowered(other) // within the sentence
			near := p.Units.Temperature(*x.Other.Temp)
			y := against(all, x)
			if y == nil {
				say = p.Say("doubt.checked", who, said, when, other, near)
				break
			}
			say = p.Say("doubt.apart", who, said, when, other, near)
			switch {
			case x.Far:
				say += " " + p.Say("doubt.nearer", near)
			case y.Far:
				say += " " + p.Say("doubt.nearer", p.Units.Temperature(*x.Last.Temp))
			}
		}
		if x.N > 1 && x.Cause != twin.Stuck {
			say += " " + p.Say("doubt.since", x.N, p.Moment(x.First.At))
		}
		out = append(out, say+" "+p.Say("doubt.out"))
	}
	return out
}

// against gives what is not believed of the probe that another disagrees with;
// nil where that one is believed.
func against(all []farm.Unbelieved, x *farm.Unbelieved) *farm.Unbelieved {
	for i := range all {
		if y := &all[i]; y.Cause == twin.Apart && y.Last.Probe == x.Other.Probe && y.Last.ProbeID == x.Other.ProbeID {
			return y
		}
	}
	return nil
}

// probe names the thermometer of a reading.
func (p person) probe(r *farm.Reading) string {
	name := p.Say("doubt.probe")
	switch r.Probe {
	case "dial":
		name = p.Say("doubt.dial")
	case "logger":
		name = p.Say("doubt.logger")
	}
	if r.ProbeID != "" {
		name = p.Say("doubt.named", name, printable(r.ProbeID))
	}
	return name
}

// probed gives what a reading says and how deep.
func (p person) probed(r *farm.Reading) string {
	say := ""
	if r.Temp != nil {
		say = p.Units.Temperature(*r.Temp)
	}
	if r.Water != nil && (r.Temp == nil || *r.Water > 1) {
		say = qty.Percent100(float64(*r.Water))
	}
	if r.Depth != nil {
		say = p.Say("doubt.at", say, depthSay(p, float64(*r.Depth)))
	}
	return say
}
