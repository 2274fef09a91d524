package yard

import (
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/qty"
)

// Lying is a heap beside what came to make what still lies in it.
type Lying struct {
	Pile
	Came    feedstock.Matter // as it came, of what lies there
	Through Budget           // what went through the heap
	at      float64          // hour of coming, mean by dry mass that came
}

// Receive throws matter onto the heap that lay elsewhere before: what came to
// make it, and when on the mean. AtC nil is as warm as the air.
func (l *Lying) Receive(p *Parameters, air climate.Series, hour int64, lies, came feedstock.Matter, at float64, warm *qty.Celsius) {
	if l.Matter.Wet() <= 0 {
		l.Came, l.at = feedstock.Matter{}, 0
	}
	l.Pile.Do(p, air, Event{Hour: hour, Kind: Received, Matter: lies, AtC: warm}, &l.Through)
	if all := float64(l.Came.Dry + came.Dry); all > 0 {
		l.at = (l.at*float64(l.Came.Dry) + at*float64(came.Dry)) / all
	}
	l.Came = l.Came.Plus(came)
}

// Lie lets the heap lie until an hour.
func (l *Lying) Lie(p *Parameters, air climate.Series, until int64) {
	l.Run(p, air, nil, until, &l.Through)
}

// Take takes a part of the heap away.
func (l *Lying) Take(p *Parameters, air climate.Series, part float64) {
	part = min(max(part, 0), 1)
	l.Pile.Do(p, air, Event{Hour: l.Hour, Kind: Taken, Part: qty.Fraction(part)}, &l.Through)
	l.Came = l.Came.Times(1 - part)
}

// Tend does to the heap what people do to it beside bringing and taking.
func (l *Lying) Tend(p *Parameters, air climate.Series, e Event) {
	l.Pile.Do(p, air, e, &l.Through)
	if e.Kind == Wetted {
		l.Came.Water += e.Water
	}
}

// Wet sets the moisture to what was measured, which it holds, as it does what it
// came with.
func (l *Lying) Wet(w qty.WaterOfWet) {
	if w >= 0 && w < 1 {
		l.Matter.Water = l.Matter.Dry.Wet(w).Water(w)
		l.Came.Water = l.Came.Dry.Wet(w).Water(w)
		if l.Matter.Dry > 0 {
			l.held = max(l.held, float64(l.Matter.Water)/float64(l.Matter.Dry))
		}
	}
}

// Known says what a test told of the matter that came: each amount that lies
// there changes as much as that which came.
func (l *Lying) Known(came feedstock.Matter) {
	if came.Dry <= 0 || l.Came.Dry <= 0 {
		return
	}
	was := l.Came
	is := came.Times(float64(was.Dry / came.Dry))
	f := func(lies, was, is float64) float64 {
		if was <= 0 {
			return is
		}
		return lies * is / was
	}
	m := &l.Matter
	m.Quick = qty.DryKg(f(float64(m.Quick), float64(was.Quick), float64(is.Quick)))
	m.Slow = qty.DryKg(f(float64(m.Slow), float64(was.Slow), float64(is.Slow)))
	m.Woody = qty.DryKg(f(float64(m.Woody), float64(was.Woody), float64(is.Woody)))
	m.Fibre = qty.DryKg(f(float64(m.Fibre), float64(was.Fibre), float64(is.Fibre)))
	m.Lignin = qty.DryKg(f(float64(m.Lignin), float64(was.Lignin), float64(is.Lignin)))
	m.Ash = qty.DryKg(f(float64(m.Ash), float64(was.Ash), float64(is.Ash)))
	m.Carbon = qty.CarbonKg(f(float64(m.Carbon), float64(was.Carbon), float64(is.Carbon)))
	m.Nitrogen = qty.NitrogenKg(f(float64(m.Nitrogen), float64(was.Nitrogen), float64(is.Nitrogen)))
	m.Ammonia = qty.NitrogenKg(f(float64(m.Ammonia), float64(was.Ammonia), float64(is.Ammonia)))
	m.Nitrate, m.Salt, m.PHLow, m.PHHigh = is.Nitrate, is.Salt, is.PHLow, is.PHHigh
	m.Dry = m.Quick + m.Slow + m.Woody + m.Cast + m.Ash
	if is.Volume > 0 {
		l.looseKgM3 = float64(is.Dry) / float64(is.Volume)
	}
	water := was.Water
	l.Came = is
	l.Came.Water = water
}

// Loose gives what lies there in the room it takes once it is dug.
func (l *Lying) Loose() feedstock.Matter {
	m := l.Matter
	if l.looseKgM3 > 0 {
		m.Volume = qty.CubicMetre(float64(m.Dry) / l.looseKgM3)
	}
	return m
}

// Lain says what lying has left of it. docs/model.md (Y15)
func (l *Lying) Lain() feedstock.Lain {
	out := feedstock.LainOf(l.Came, l.Matter)
	out.Days = qty.Days(max(0, float64(l.Hour)-l.at) / 24)
	return out
}

// CameAt gives the hour at which what lies there came, the mean by dry mass.
func (l *Lying) CameAt() float64 { return l.at }
