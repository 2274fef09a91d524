package round

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"wormyard/qty"
)

// Phrase is a sentence with its numbers kept apart: a key of the catalogue and
// the arguments that stand at {0}, {1} and so on.
type Phrase struct {
	Key  string `json:"key"`
	Args []Arg  `json:"args,omitempty"`
}

// Arg is one argument. Of says what V or S is: "text", "depth" [m], "temp" [C],
// "water" [kg], "volume" [m3], "mass" [kg], "stocking" [kg/m2], "count", "chance" [0..1 of N],
// "share" [0..1], "day" [s since 1970].
type Arg struct {
	Of string  `json:"of"`
	V  float64 `json:"v,omitempty"`
	S  string  `json:"s,omitempty"`
	N  int     `json:"n,omitempty"`
	// High is the upper end where the argument is the odds of several bins; V is
	// then the lower.
	High float64 `json:"high,omitempty"`
}

func text(s string) Arg               { return Arg{Of: "text", S: s} }
func depth(m float64) Arg             { return Arg{Of: "depth", V: m} }
func temp(c float64) Arg              { return Arg{Of: "temp", V: c} }
func water(kg float64) Arg            { return Arg{Of: "water", V: kg} }
func volume(m3 float64) Arg           { return Arg{Of: "volume", V: m3} }
func count(n int) Arg                 { return Arg{Of: "count", V: float64(n)} }
func share(f float64) Arg             { return Arg{Of: "share", V: f} }
func odds(f float64, n int) Arg       { return Arg{Of: "chance", V: f, N: n} }
func day(hour int64) Arg              { return Arg{Of: "day", V: float64(hour) * 3600} }
func say(key string, a ...Arg) Phrase { return Phrase{key, a} }

// Words is who reads: units, zone, and a catalogue of sentences by key. Without
// a catalogue the English one serves.
type Words struct {
	Units     qty.System
	Zone      *time.Location
	Catalogue func(key string) string
}

// Text puts a phrase into words. A key that the catalogue lacks shows as itself.
func (w Words) Text(p Phrase) string {
	s := ""
	if w.Catalogue != nil {
		s = w.Catalogue("round." + p.Key)
	}
	if s == "" || s == "round."+p.Key {
		s = English()[p.Key]
	}
	if s == "" {
		s = p.Key
	}
	for i, a := range p.Args {
		s = strings.ReplaceAll(s, "{"+strconv.Itoa(i)+"}", w.arg(a))
	}
	return s
}

func (w Words) all(ps []Phrase) string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = w.Text(p)
	}
	return strings.Join(out, " ")
}

func (w Words) arg(a Arg) string {
	switch a.Of {
	case "depth":
		return w.Units.Depth(qty.Metre(a.V))
	case "temp":
		return w.Units.Temperature(qty.Celsius(a.V))
	case "water":
		return w.Units.Water(qty.WaterKg(math.Round(a.V*10) / 10))
	case "volume":
		return w.Units.Volume(qty.CubicMetre(a.V))
	case "mass":
		return w.Units.Mass(a.V)
	case "stocking":
		if w.Units == qty.US {
			return qty.Figures(a.V*qty.M2PerSquareFoot/qty.KgPerPound) + " lb/ft2"
		}
		return qty.Figures(a.V) + " kg/m2"
	case "count":
		return strconv.Itoa(int(a.V))
	case "share":
		return w.Text(say(shareKey(a.V)))
	case "chance":
		low, high := w.chance(a.V, a.N), w.chance(math.Max(a.V, a.High), a.N)
		if low == high {
			return low
		}
		return w.Text(say("chance.between", text(low), text(high)))
	case "day":
		t := time.Unix(int64(a.V), 0)
		if w.Zone != nil {
			t = t.In(w.Zone)
		}
		return w.Text(say(fmt.Sprintf("weekday.%d", t.Weekday())))
	}
	return a.S
}

// chance says a probability as people do, no finer than the members it rests on.
func (w Words) chance(f float64, n int) string {
	switch {
	case n > 0 && f < 0.5/float64(n):
		return w.Text(say("chance.none", count(n)))
	case n > 0 && f > 1-0.5/float64(n):
		return w.Text(say("chance.all", count(n)))
	}
	tenths := int(math.Round(f * 10))
	return w.Text(say("chance.tenths", count(min(max(tenths, 1), 9))))
}

func shareKey(f float64) string {
	switch {
	case f < 0.1:
		return "share.none"
	case f < 0.3:
		return "share.quarter"
	case f < 0.45:
		return "share.third"
	case f < 0.6:
		return "share.half"
	case f < 0.85:
		return "share.most"
	}
	return "share.all"
}

// Speak fills every sentence of a list in the reader's words and units.
func (l *List) Speak(w Words) {
	for i := range l.Lines {
		n := &l.Lines[i]
		for k := range n.Items {
			n.Items[k].speak(w)
		}
		n.speak(w)
	}
}

func (it *Item) speak(w Words) {
	it.Say, it.Reason, it.Sure, it.Caution = w.Text(it.Head), w.all(it.Why), w.all(it.Sureness), w.all(it.Care)
	for i := range it.Tried {
		it.Tried[i].Say = w.Text(it.Tried[i].Option)
	}
}

// English is the source of all phrases of a round, by key.
func English() map[string]string {
	return map[string]string{
		"weekday.0": "Sunday", "weekday.1": "Monday", "weekday.2": "Tuesday", "weekday.3": "Wednesday",
		"weekday.4": "Thursday", "weekday.5": "Friday", "weekday.6": "Saturday",
		"chance.none": "in none of {0} runs", "chance.all": "in all {0} runs", "chance.tenths": "{0} in 10",
		"chance.between": "{0} to {1}",
		"share.none":     "nearly nothing", "share.quarter": "about a quarter", "share.third": "about a third",
		"share.half": "about half", "share.most": "most", "share.all": "nearly all",

		"feed": "Feed {0} of mix {1}", "feed_water": "Feed {0} of mix {1}, then water {2}",
		"water": "Water {0}", "rest": "Leave as it is", "open.cover": "Take the cover off",
		"open.feed": "Take off {0} of the new feed", "open.both": "Take off {0} of the new feed and leave the cover off",
		"open.watch": "Open it and look now: too warm, and nothing we tried mends it",
		"cover":      "Put a {0} on", "warm": "Keep the frost off", "look": "Look before you feed",
		"harvest": "Ripe: harvest", "split": "Split the worms", "blend": "Mix a new batch of {0}",

		"bins": "{0}, {1} bins", "bins.except": "{0}, {1} bins, not {2}", "bins.named": "{0}: {1}", "pile": "{1}: {0}",

		"why.left":      "Of the last feed {0} is left.",
		"why.first":     "It has had no feed yet.",
		"why.lasts":     "At this warmth {0} lasts until {1}.",
		"why.more":      "{0} more would leave some, {1}.",
		"why.enough":    "There is feed enough until {0}.",
		"why.hungry":    "By {0} the worms would go hungry, {1}.",
		"why.warm":      "It may reach {0} where the worms are.",
		"why.refuge":    "Only about {0} of bed stays cool enough for them.",
		"why.dry":       "The top is drying: {0} of the runs fall below what keeps the feed eaten.",
		"why.soaked":    "It is wet and short of air already, so no feed and no water.",
		"why.cold":      "It is too cold for the worms to eat: {0} in the middle.",
		"why.frozen":    "The outlook takes the bed below freezing, {0}.",
		"why.full":      "The bin is full to within {0} of the rim.",
		"why.spread":    "We know this bin less well than the others: the worms may weigh {0} to {1}.",
		"why.unfed":     "Nobody wrote a feeding down for {0} days.",
		"why.ripe":      "About {0} of it is castings and the feed is nearly gone.",
		"why.crowded":   "There are about {0} of worms: crowding slows their breeding.",
		"why.runs_out":  "Mix {0} is short by {1} for the bins that want it today.",
		"why.undecided": "It is a close call whether it wants feed: a look and a squeeze would settle it.",
		"pile.turn":     "Turn pile {0}", "pile.wet": "Wet pile {0}, {1}", "pile.measure": "Long thermometer into pile {0}",
		"pile.wait": "Leave pile {0}", "pile.use": "Pile {0} is ready to use", "pile.spread": "Spread pile {0} out",
		"pile.call": "Pile {0}: call for help", "pile.why": "{0}", "pile.care": "{0}",
		"why.looked":    "Nobody has looked for {0} days.",
		"sure.eaten":    "Eaten by {0}: {1}.",
		"sure.warm":     "Too warm: {0}.",
		"sure.sour":     "Sour: {0}.",
		"sure.dry":      "Dry on top by {0}: {1}.",
		"sure.danger":   "Over {0} where the worms are, if left alone: {1}; after this: {2}.",
		"sure.frozen":   "Below freezing in the bed, if left alone: {0}.",
		"sure.ripe":     "Ripe now: {0}.",
		"sure.hungry":   "Hungry before {0}: {1}.",
		"care.ammonia":  "Ammonia may be strong. Open the barn door first; leave if your eyes sting.",
		"care.truck":    "Level floor, forks low, nobody near or under a lifted bin. Capacity plate and local rules decide.",
		"care.dust":     "Damp dry material down and wear a mask: dust and spores.",
		"care.gloves":   "Gloves; wash before you eat. Manure carries germs.",
		"care.lift":     "Full buckets are heavy: two people or half full.",
		"care.power":    "Keep heaters and cords dry and off the bedding. A licensed electrician decides.",
		"weather.now":   "Out {0} to {1} today.",
		"weather.frost": "Frost likely {0} night: {1}.",
		"weather.heat":  "Hot {0}: {1}.",
		"weather.from":  "Weather: {0}.",
		"note.plain":    "{0}",
		"note.doubts":   "{0} entries do not fit with the rest; see the journal.",
		"note.members":  "Chances come from {0} of {1} twins that were not used to choose.",
		"note.nomix":    "There is no mix with matter left, so feeding could not be tried. Mix a batch first.",
		"note.missing":  "One feeding in some is not written down. Advice here takes the journal at its word.",
	}
}
