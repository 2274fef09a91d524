package web

import (
	"math"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/qty"
)

// SectionShown is a drawn bed with its words.
type SectionShown struct {
	draw.Section
	Title, Alt, Caption string
}

// FanShown is a drawn quantity over time with its words.
type FanShown struct {
	draw.Fan
	Title, Alt, Caption string
}

// LayerShown is one row of the table of layers.
type LayerShown struct{ Name, Thick, Warm, Wet, Air string }

// StageShown is one row of the table of worms by age.
type StageShown struct{ Name, Now, Then string }

func layerName(p person, b *farm.Bin, l app.LayerNow) string {
	name := p.Say("layer." + l.Texture)
	if l.Perhaps {
		return p.Say("layer.perhaps", name)
	}
	if b.Bed == nil || !l.Feed {
		return name
	}
	for _, a := range b.Bed.Acts {
		if a.Kind == farm.ActFeed && a.Batch != "" && a.At.Unix()/3600 == l.Laid.Unix()/3600 {
			return p.Say("layer.of", name, a.Batch)
		}
	}
	return name
}

// mostWorms is how many worms fit a drawing.
const mostWorms = 40

// bedSection draws the cut through a bed.
func bedSection(p person, b *farm.Bin, o *app.Outlook) *SectionShown {
	deep := func(m float64) float64 { return depthValue(p, m) }
	d := draw.Bed{Box: deep(float64(b.Box.Depth)), DepthBy: pickNumber(p.Units, 4, 10), Unit: pick(p.Units, "inches", "cm"), Covered: b.Cover != "" && b.Cover != "none"}
	d.Unit = p.Say("unit." + d.Unit)
	temp := draw.Profile{Title: pick(p.Units, "°F", "°C"), Least: p.degrees(10), Most: p.degrees(25)}
	wet := draw.Profile{Title: p.Say("draw.wet"), Least: 55, Most: 85}
	at := 0.0
	each := pickNumber(p.Units, qty.KgPerPound, 0.5) // a drawn worm
	most := math.Min(o.Worms.Mid/each, mostWorms)
	for _, l := range o.Layers {
		thick := deep(l.Thick.Mid)
		if thick <= 0 { // more likely not there than there
			continue
		}
		d.Layers = append(d.Layers, draw.Layer{Texture: l.Texture, Thick: thick, Worms: l.Worms * most, Label: p.Say("draw.layer", layerName(p, b, l), depthSay(p, l.Thick.Mid))})
		mid := at + thick/2
		temp.Depths, temp.Low, temp.Mid, temp.High = append(temp.Depths, mid), append(temp.Low, p.degrees(l.Temp.Low)), append(temp.Mid, p.degrees(l.Temp.Mid)), append(temp.High, p.degrees(l.Temp.High))
		wet.Depths, wet.Low, wet.Mid, wet.High = append(wet.Depths, mid), append(wet.Low, 100*l.Water.Low), append(wet.Mid, 100*l.Water.Mid), append(wet.High, 100*l.Water.High)
		at += thick
	}
	if len(d.Layers) == 0 {
		return nil
	}
	stretch(&temp, at)
	stretch(&wet, at)
	if b.Bed != nil {
		for _, x := range farm.Since(b.Bed.Readings, p.Now.Add(-4*24*time.Hour)) {
			depth := at / 2
			if x.Depth != nil {
				depth = deep(float64(*x.Depth))
			}
			if depth > at {
				continue
			}
			if x.Temp != nil {
				temp.Readings = append(temp.Readings, draw.DepthReading{Depth: depth, Value: p.degrees(float64(*x.Temp)), Label: p.Say("draw.reading", p.Units.Temperature(*x.Temp), p.Moment(x.At))})
			}
			if x.Water != nil {
				wet.Readings = append(wet.Readings, draw.DepthReading{Depth: depth, Value: 100 * float64(*x.Water), Label: p.Say("draw.reading", qty.Percent100(float64(*x.Water)), p.Moment(x.At))})
			}
		}
	}
	if n := len(temp.Readings); n > 4 {
		temp.Readings = temp.Readings[n-4:]
	}
	d.Profiles = []draw.Profile{temp, wet}
	out := &SectionShown{Section: draw.NewSection(d), Title: p.Say("draw.title"), Caption: p.Say("draw.caption", p.Moment(o.Made), printable(p.Units.Mass(each)))}
	if len(out.Panels) == 2 {
		out.Panels[1].Class = "wet"
	}
	if len(temp.Readings)+len(wet.Readings) > 0 {
		out.Caption += " " + p.Say("draw.circles")
	}
	var names []string
	for _, l := range d.Layers {
		names = append(names, l.Label)
	}
	out.Alt = p.Say("draw.alt", strings.Join(names, "; "))
	return out
}

// stretch draws a profile to the surface and to the floor.
func stretch(f *draw.Profile, deep float64) {
	n := len(f.Depths)
	f.Depths = append(append([]float64{0}, f.Depths...), deep)
	for _, v := range []*[]float64{&f.Low, &f.Mid, &f.High} {
		*v = append(append([]float64{(*v)[0]}, *v...), (*v)[n-1])
	}
}

// pastShown is how far back a fan reaches.
const pastShown = 28 * 24 * time.Hour

// dayOn gives a time in days from today's start of the drawing.
func dayOn(p person, t time.Time) float64 { return t.Sub(p.Now).Hours() / 24 }

func thinned(list []draw.TimeReading, most int) []draw.TimeReading {
	if len(list) <= most {
		return list
	}
	var out []draw.TimeReading
	for i := 0; i < most; i++ {
		out = append(out, list[i*(len(list)-1)/(most-1)])
	}
	return out
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}
