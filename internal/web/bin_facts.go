package web

import (
	"math"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/qty"
	"wormyard/twin"
)

func fed(b *farm.Bed) bool { return b.LastFeed != nil || b.Start.LastFeedDepth > 0 }

func fedSay(p person, b *farm.Bed) string {
	if b.Feedings == 0 {
		return p.Say("bin.notfed")
	}
	return p.Count("bin.fed", b.Feedings)
}

func boxFacts(p person, b *farm.Bin) []Fact {
	x := b.Box
	out := []Fact{
		{Name: p.Say("box.size"), Value: p.Say("box.by", depthSay(p, float64(x.Length)), depthSay(p, float64(x.Width)), depthSay(p, float64(x.Depth)))},
		{Name: p.Say("box.holds"), Value: printable(p.Units.Volume(x.Volume()))},
	}
	for _, t := range []struct{ key, value string }{{"box.wall", x.Wall}, {"box.liner", x.Liner}, {"box.cover", p.choice("cover", b.Cover)}} {
		if t.value != "" {
			out = append(out, Fact{Name: p.Say(t.key), Value: t.value})
		}
	}
	if len(x.Assumed) > 0 {
		out = append(out, Fact{Name: p.Say("box.assumed"), Value: strings.Join(x.Assumed, p.Say("list.comma"))})
	}
	return out
}

// lainSay says how long feed had lain since it came: in days up to two weeks, then
// in weeks; nothing where nobody wrote that down or it was fed as it came.
func lainSay(p person, age *qty.Days) string {
	if age == nil {
		return ""
	}
	days := int(math.Round(float64(*age)))
	switch {
	case days < 1:
		return ""
	case days < 14:
		return p.Say("fact.at", p.Count("fact.lain.days", days))
	}
	return p.Say("fact.at", p.Count("fact.lain.weeks", int(math.Round(float64(days)/7))))
}

// bedFacts gives what people wrote down of a bed.
func bedFacts(p person, bed *farm.Bed) []Fact {
	var out []Fact
	if bed.LastFeed != nil {
		f := bed.LastFeed
		value := p.Say("fact.feed", depthSay(p, float64(f.Depth)), f.Batch, p.Moment(f.At))
		if f.Depth == 0 {
			value = p.Say("fact.feed", printable(p.Units.Mass(float64(f.Matter.Wet()))), f.Batch, p.Moment(f.At))
		}
		out = append(out, Fact{Name: p.Say("fact.lastfeed"), Value: value, Note: lainSay(p, f.Age), Working: "/journal/" + f.Entry})
	}
	if n := len(bed.Looks); n > 0 {
		l := bed.Looks[n-1]
		var said []string
		for _, w := range []struct{ key, value string }{{"look.squeeze", p.choice("squeeze", l.Squeeze)}, {"look.left", p.choice("feed_left", l.FeedLeft)}, {"look.worms", p.choice("worms", l.Worms)}, {"look.where", p.choice("where", l.Where)}, {"look.smell", p.choice("smell", l.Smell)}} {
			if w.value != "" {
				said = append(said, p.Say(w.key, w.value))
			}
		}
		out = append(out, Fact{Name: p.Say("fact.lastlook"), Value: strings.Join(said, p.Say("list.comma")), Note: p.Say("fact.at", p.Moment(l.At)), Working: "/journal/" + l.Entry})
	}
	if n := len(bed.Readings); n > 0 {
		x := bed.Readings[n-1]
		var said []string
		if x.Temp != nil {
			said = append(said, p.Units.Temperature(*x.Temp))
		}
		if x.Water != nil {
			said = append(said, qty.Percent100(float64(*x.Water)))
		}
		if x.Depth != nil {
			said = append(said, p.Say("fact.deep", depthSay(p, float64(*x.Depth))))
		}
		out = append(out, Fact{Name: p.Say("fact.lastreading"), Value: strings.Join(said, p.Say("list.comma")), Note: p.Say("fact.at", p.Moment(x.At)), Working: "/journal/" + x.Entry})
	}
	if bed.Stock.Best > 0 {
		out = append(out, Fact{Name: p.Say("fact.stocked"), Value: rangeKg(p, float64(bed.Stock.Low), float64(bed.Stock.Best), float64(bed.Stock.High))})
	}
	return out
}

// likelyFacts gives what the twin says, each with its working. fed says whether
// the bed was ever fed.
func likelyFacts(p person, o *app.Outlook, fed bool, work string) []Fact {
	var out []Fact
	add := func(key, value string) {
		out = append(out, Fact{Name: p.Say("likely." + key), Value: value, Working: work + "#" + key})
	}
	between := func(mid, low, high string) string {
		if low == high {
			return mid
		}
		return p.Say("range.long", mid, low, high)
	}
	percent := func(r twin.Range) string {
		return between(qty.Percent100(r.Mid), percentNumber(r.Low), percentNumber(r.High))
	}
	add("warmest", between(p.Say("likely.at", p.temperatureUnit(o.Warmest.Mid), depthSay(p, o.WarmAt.Mid)), p.temperature(o.Warmest.Low), p.temperature(o.Warmest.High)))
	add("wet", percent(o.Water))
	if fed {
		add("left", p.Say("likely.eaten", p.Words.Tenths(1-o.Left.Mid, 1-o.Left.High, 1-o.Left.Low)))
	}
	add("worms", wormsLook(p, o.Worms))
	add("air", p.Say("likely.oxygen", percent(o.Oxygen)))
	add("refuge", between(depthSay(p, o.Refuge.Mid), depthNumber(p, o.Refuge.Low), depthNumber(p, o.Refuge.High)))
	cast := p.Say("likely.cast", percent(o.Cast))
	if o.Ripe != nil {
		cast += p.Say("list.semicolon") + ripeSay(p, *o.Ripe)
	}
	add("castings", cast)
	return out
}

// ripeSay tells in how many weeks a bed is likely to be ripe [days].
func ripeSay(p person, r twin.Range) string {
	switch {
	case r.High < 1:
		return p.Say("likely.ripenow")
	case r.High <= 7:
		return p.Say("likely.ripesoon")
	}
	weeks := func(days float64) string { return whole(math.Max(0, days) / 7) }
	if weeks(r.Mid) == "0" {
		return p.Say("likely.ripeorsoon", whole(math.Ceil(r.High/7)))
	}
	return p.Say("likely.ripe", rangeSay(p, r, weeks))
}

// wormsLook is wormsSay with what to do where nobody knows.
func wormsLook(p person, r twin.Range) string {
	say := wormsSay(p, r)
	if vague(r) {
		return p.Say("worms.look", say)
	}
	return say
}
