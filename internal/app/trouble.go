package app

import (
	"fmt"
	"time"

	"wormyard/farm"
	"wormyard/internal/source"
	"wormyard/trouble"
	"wormyard/twin"
)

// Diagnosis is what is amiss in a bin, as far as it can be told.
type Diagnosis struct {
	Bin      string
	Sighting *farm.Sighting    // that it began with, nil when none
	Told     []trouble.Message // all that was taken into account
	Finding  trouble.Finding
	Twin     time.Time // when the twin's part was computed, zero when it had none
}

// Diagnose ranks what may be amiss in a bin by the sighting named (empty for
// none), by signs seen just now, by the looks, readings and acts of the last
// days and by what the twin computed, nil when it did not. A sighting that is
// not the bin's is left out. The error is ours, or names an answer that no look
// has.
func Diagnose(s *farm.State, b *farm.Bin, sighting string, seen []trouble.Message, look *Outlook, now time.Time) (*Diagnosis, error) {
	book, err := source.Trouble()
	if err != nil {
		return nil, err
	}
	limits, err := source.TroubleLimits()
	if err != nil {
		return nil, err
	}
	d := &Diagnosis{Bin: b.Name}
	at := now
	for i := range b.Sightings {
		if x := &b.Sightings[i]; x.Entry == sighting {
			d.Sighting, at = x, x.At
		}
	}
	answered := map[string]bool{}
	for _, m := range seen {
		answered[m.Look] = true
		d.Told = append(d.Told, m)
	}
	if d.Sighting != nil {
		for _, m := range signsOf(book, d.Sighting) {
			if !answered[m.Look] { // said again just now
				m.Entry = d.Sighting.Entry
				d.Told = append(d.Told, m)
			}
		}
	}
	if b.Bed != nil {
		told := bedTells(b.Bed, limits, at)
		d.Told = append(d.Told, told...)
		if look != nil && at.Sub(look.Made).Abs().Hours() < limits.TwinDays*24 {
			d.Twin = look.Made
			d.Told = append(d.Told, twinTells(b.Bed, look, limits, at)...)
		}
	}
	d.Finding, err = book.Weigh(d.Told)
	if err != nil {
		return nil, fmt.Errorf("bin %s: %w", b.Name, err)
	}
	return d, nil
}

// signsOf gives what a sighting says: its ticked signs, and what its words say
// of looks that no sign tells of. Several signs of one look share the belief.
func signsOf(book *trouble.Book, x *farm.Sighting) []trouble.Message {
	var list []trouble.Message
	for _, sign := range x.Signs {
		if m, ok := book.Signed(sign); ok {
			list = append(list, m)
		}
	}
	ticked := map[string][]string{}
	for _, m := range list {
		for is := range m.Share {
			ticked[m.Look] = append(ticked[m.Look], is)
		}
	}
	if len(x.Signs) == 0 || x.What != "" {
		for _, m := range book.Read(x.What) {
			if ticked[m.Look] == nil {
				for is := range m.Share {
					ticked[m.Look] = []string{is}
				}
			}
		}
	}
	var out []trouble.Message
	for _, l := range book.Looks() {
		list := ticked[l.Key]
		if len(list) == 0 {
			continue
		}
		m := trouble.Message{Look: l.Key, From: trouble.Seen, Share: map[string]float64{}}
		for _, is := range list {
			m.Share[is] += 1 / float64(len(list))
		}
		out = append(out, m)
	}
	return out
}

// squeezes is what the squeeze of a hand says of wetness; crumbly and drips lie
// between two answers.
var squeezes = map[string]map[string]float64{
	"dry": {"dry": 1}, "crumbly": {"dry": 0.5}, "few drops": {}, "drips": {"wet": 0.5}, "runs": {"wet": 1},
}

// wheres is where worms were seen in a look, as the diagnosis asks.
var wheres = map[string]string{"spread": "spread", "top": "spread", "bottom": "deep", "sides": "sides", "lid": "lid"}

// bedTells gives what looks, readings and acts of the last days say.
func bedTells(bed *farm.Bed, l trouble.Limits, at time.Time) []trouble.Message {
	var out []trouble.Message
	add := func(m trouble.Message, entry string) {
		m.Entry = entry
		out = append(out, m)
	}
	days := func(t time.Time) float64 { return at.Sub(t).Hours() / 24 }
	for i := len(bed.Looks) - 1; i >= 0; i-- { // the newest that counts
		x := bed.Looks[i]
		if days(x.At) < -l.LookDays {
			continue
		}
		if days(x.At) > l.LookDays {
			break
		}
		switch x.Smell {
		case "none", "earth":
			add(trouble.Says("smell", "earth", trouble.Hand), x.Entry)
		case "sour", "ammonia", "rotten":
			add(trouble.Says("smell", x.Smell, trouble.Hand), x.Entry)
		}
		if share, ok := squeezes[x.Squeeze]; ok {
			add(trouble.Message{Look: "wetness", From: trouble.Hand, Share: share}, x.Entry)
		}
		if x.Worms == "few" {
			add(trouble.Says("many", "few", trouble.Hand), x.Entry)
		} else if x.Worms != "" {
			add(trouble.Says("many", "usual", trouble.Hand), x.Entry)
		}
		if is, ok := wheres[x.Where]; ok {
			add(trouble.Says("where", is, trouble.Hand), x.Entry)
		}
		if x.FeedLeft == "most" {
			add(trouble.Says("left", "most", trouble.Hand), x.Entry)
		} else if x.FeedLeft != "" {
			add(trouble.Says("left", "eaten", trouble.Hand), x.Entry)
		}
		break
	}
	probed := map[string]bool{}
	number := func(look string, v *float64, entry string, under float64, low string, over float64, high string) {
		if v == nil || probed[look] {
			return
		}
		probed[look] = true
		add(trouble.Between(look, trouble.Probe, trouble.Range{Low: *v, Best: *v, High: *v}, under, low, over, high), entry)
	}
	for i := len(bed.Readings) - 1; i >= 0; i-- {
		x := bed.Readings[i]
		if days(x.At) < -l.ProbeDays {
			continue
		}
		if days(x.At) > l.ProbeDays {
			break
		}
		number("warmth", (*float64)(x.Temp), x.Entry, l.ColdC, "cold", l.HotC, "hot")
		number("wetness", (*float64)(x.Water), x.Entry, l.Dry, "dry", l.Wet, "wet")
		number("air", (*float64)(x.Oxygen), x.Entry, l.Air, "short", 0, "")
		number("ammonia_air", (*float64)(x.Ammonia), x.Entry, 0, "", l.Ammonia, "much")
		number("salt", (*float64)(x.Salts), x.Entry, 0, "", l.Salts, "high")
		number("acid", (*float64)(x.PH), x.Entry, l.Acid, "acid", l.Alkaline, "alkaline")
	}
	if x := lastBefore(bed, at, func(x *farm.Act) bool { return x.Kind == farm.ActFeed }); x != nil {
		add(trouble.Days("fed", days(x.At), l.FedDays, "just now", l.LongDays, "long ago"), x.Entry)
	}
	if x := lastBefore(bed, at, func(x *farm.Act) bool { return x.Kind == farm.ActStock && x.Stock.Best > 0 }); x != nil {
		add(trouble.Days("stocked", days(x.At), l.NewDays, "days ago", 0, ""), x.Entry)
	}
	return out
}

// lastBefore gives the last act that fits and was not after a time.
func lastBefore(bed *farm.Bed, at time.Time, fits func(*farm.Act) bool) *farm.Act {
	for i := len(bed.Acts) - 1; i >= 0; i-- {
		if x := bed.Acts[i]; !x.At.After(at) && fits(x) {
			return x
		}
	}
	return nil
}

// twinTells gives what the twin computed for a bed in which nothing special is
// the matter.
func twinTells(bed *farm.Bed, o *Outlook, l trouble.Limits, at time.Time) []trouble.Message {
	of := func(r twin.Range) trouble.Range { return trouble.Range{Low: r.Low, Best: r.Mid, High: r.High} }
	out := []trouble.Message{
		trouble.Between("warmth", trouble.Twin, of(o.Warmest), l.ColdC, "cold", l.HotC, "hot"),
		trouble.Between("wetness", trouble.Twin, of(o.Water), l.Dry, "dry", l.Wet, "wet"),
		trouble.Between("air", trouble.Twin, of(o.Oxygen), l.Air, "short", 0, ""),
	}
	fed := lastBefore(bed, at, func(x *farm.Act) bool { return x.Kind == farm.ActFeed })
	if fed != nil && at.Sub(fed.At).Hours()/24 > l.FedDays { // just laid, all of it lies
		out = append(out, trouble.Between("left", trouble.Twin, of(o.Left), 0, "", l.Left, "most"))
	}
	return out
}
