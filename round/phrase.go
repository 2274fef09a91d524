package round

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/qty"
)

// Phrase is a sentence with its numbers kept apart: a key of the catalogue and
// the arguments that stand at {0}, {1} and so on. Where its first count is one
// the key with ".one" behind it serves, if there is one.
type Phrase struct {
	Key  string `json:"key"`
	Args []Arg  `json:"args,omitempty"`
}

// Arg is one argument. Of says what it is: "text", "depth" [m], "temp" [C],
// "water" [kg], "volume" [m3], "mass" [kg], "stocking" [kg/m2], "count",
// "chance" [0..1 of N], "day" (of the week) and "date" [s since 1970], "list" of phrases.
type Arg struct {
	Of string   `json:"of"`
	V  float64  `json:"v,omitempty"`
	S  string   `json:"s,omitempty"`
	N  int      `json:"n,omitempty"`
	P  []Phrase `json:"p,omitempty"`
	// High is the upper end where the argument is the odds of several bins; V is
	// then the lower.
	High float64 `json:"high,omitempty"`
}

func text(s string) Arg               { return Arg{Of: "text", S: s} }
func depth(m float64) Arg             { return Arg{Of: "depth", V: m} }
func temp(c float64) Arg              { return Arg{Of: "temp", V: c} }
func pour(kg float64) Arg             { return Arg{Of: "water", V: kg} }
func volume(m3 float64) Arg           { return Arg{Of: "volume", V: m3} }
func mass(kg float64) Arg             { return Arg{Of: "mass", V: kg} }
func count(n int) Arg                 { return Arg{Of: "count", V: float64(n)} }
func odds(f float64, n int) Arg       { return Arg{Of: "chance", V: f, N: n} }
func day(hour int64) Arg              { return Arg{Of: "day", V: float64(hour) * 3600} }
func date(hour int64) Arg             { return Arg{Of: "date", V: float64(hour) * 3600} }
func list(p []Phrase) Arg             { return Arg{Of: "list", P: p} }
func say(key string, a ...Arg) Phrase { return Phrase{key, a} }

// same says whether two phrases say the same.
func same(a, b Phrase) bool {
	return a.Key == b.Key && slices.EqualFunc(a.Args, b.Args, func(x, y Arg) bool {
		return x.Of == y.Of && x.V == y.V && x.S == y.S && x.N == y.N && x.High == y.High && slices.EqualFunc(x.P, y.P, same)
	})
}

// mix gives the first text of a phrase, which of a feeding is its mix.
func (p Phrase) mix() string {
	for _, a := range p.Args {
		if a.Of == "text" {
			return a.S
		}
	}
	return ""
}

// amount gives its first depth or water.
func (p Phrase) amount() float64 {
	for _, a := range p.Args {
		if a.Of == "depth" || a.Of == "water" {
			return a.V
		}
	}
	return 0
}

// Words is who reads: units, zone, and a catalogue of sentences by key. Without
// a catalogue the English one serves.
type Words struct {
	Units     qty.System
	Zone      *time.Location
	Catalogue func(key string) string
}

// Text puts a phrase into words. A key that no catalogue has shows as itself.
func (w Words) Text(p Phrase) string {
	s := ""
	if i := slices.IndexFunc(p.Args, func(a Arg) bool { return a.Of == "count" }); i >= 0 && p.Args[i].V == 1 {
		s = w.find(p.Key + ".one")
	}
	if s == "" {
		s = w.find(p.Key)
	}
	if s == "" {
		s = p.Key
	}
	for i, a := range p.Args {
		if at := "{" + strconv.Itoa(i) + "}"; strings.Contains(s, at) {
			s = strings.ReplaceAll(s, at, w.arg(a))
		}
	}
	return s
}

func (w Words) find(key string) string {
	if w.Catalogue != nil {
		if s := w.Catalogue(inCatalogue + key); s != "" && s != inCatalogue+key {
			return s
		}
	}
	return english[key]
}

func (w Words) all(ps []Phrase) string {
	var out []string
	for _, p := range ps {
		if said := w.Text(p); !slices.Contains(out, said) { // a caution of several causes is said once
			out = append(out, said)
		}
	}
	return strings.Join(out, " ")
}

// list joins names as one says them: "a, b and c".
func (w Words) list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return w.Text(say("list.and", text(strings.Join(names[:last], w.find("list.comma"))), text(names[last])))
}

// capital begins a sentence.
func capital(s string) string {
	for _, r := range s {
		first := string(r)
		return strings.ToUpper(first) + s[len(first):]
	}
	return s
}

func (w Words) arg(a Arg) string {
	switch a.Of {
	case "depth":
		return w.Units.Depth(qty.Metre(a.V))
	case "temp":
		return w.Units.Temperature(qty.Celsius(a.V))
	case "water":
		unit := 1.0
		if w.Units == qty.US {
			unit = 1000 * qty.M3PerUSGallon
		}
		return w.Units.Water(qty.WaterKg(twoFigures(a.V/unit) * unit))
	case "volume":
		return w.Units.Volume(qty.CubicMetre(a.V))
	case "mass":
		unit := 1.0
		if w.Units == qty.US {
			unit = qty.KgPerPound
		}
		return w.Units.Mass(twoFigures(a.V/unit) * unit)
	case "stocking":
		if w.Units == qty.US {
			return qty.Figures(math.Round(a.V*qty.M2PerSquareFoot/qty.KgPerPound*10)/10) + " lb/ft2"
		}
		return qty.Figures(math.Round(a.V)) + " kg/m2"
	case "count":
		return strconv.Itoa(int(a.V))
	case "chance":
		low, high := w.chance(a.V, a.N), w.chance(math.Max(a.V, a.High), a.N)
		most, least := a.N > 0 && math.Max(a.V, a.High) > 1-0.5/float64(a.N), a.N > 0 && a.V < 0.5/float64(a.N)
		switch {
		case low == high:
			return low
		case least && most:
			return w.Text(say("chance.any"))
		case most:
			return w.Text(say("chance.more", text(low)))
		case least:
			return w.Text(say("chance.less", text(high)))
		}
		return w.Text(say("chance.between", text(low), text(high)))
	case "day":
		return w.Text(say("weekday." + strconv.Itoa(int(w.time(a).Weekday()))))
	case "date":
		t := w.time(a)
		return w.Text(say("date", text(strconv.Itoa(t.Day())), text(w.find("month."+strconv.Itoa(int(t.Month()))))))
	case "list":
		out := make([]string, len(a.P))
		for i, p := range a.P {
			out[i] = w.Text(p)
		}
		return w.list(out)
	}
	return a.S
}

func (w Words) time(a Arg) time.Time {
	t := time.Unix(int64(a.V), 0)
	if w.Zone != nil {
		t = t.In(w.Zone)
	}
	return t
}

// twoFigures takes an estimate to what it is worth.
func twoFigures(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return qty.Rounded(v, 2)
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

// shareKey says which sentence fits a share that is left.
func shareKey(f float64) string {
	switch {
	case f < 0.1:
		return "none"
	case f < 0.3:
		return "quarter"
	case f < 0.42:
		return "third"
	case f < 0.6:
		return "half"
	case f < 0.9:
		return "most"
	}
	return "all"
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
	for i := range l.Visits {
		l.Visits[i].Text = w.Text(l.Visits[i].Say)
	}
}

// amountIn gives what is to be spread, poured, taken off or mixed, in the
// reader's units; empty where there is none.
func (it *Item) amountIn(w Words) string {
	var parts []string
	if it.DepthM > 0 {
		parts = append(parts, w.arg(depth(it.DepthM)))
	}
	if it.WaterKg > 0 {
		parts = append(parts, w.Text(say("amount.water", pour(it.WaterKg))))
	}
	if it.Act == Blend && it.VolumeM3 > 0 {
		parts = append(parts, w.arg(volume(it.VolumeM3)))
	}
	return strings.Join(parts, w.find("list.comma"))
}

func (it *Item) speak(w Words) {
	it.Amount = it.amountIn(w)
	it.Say, it.Reason, it.Sure, it.Caution = capital(w.Text(it.Head)), w.all(it.Why), w.all(it.Sureness), w.all(it.Care)
	for i := range it.Tried {
		it.Tried[i].Say = capital(w.Text(it.Tried[i].Option))
	}
}

// English is the source of all phrases of a round, by the key that a catalogue
// has them under: with "round." before that of the phrase.
func English() map[string]string {
	out := make(map[string]string, len(english))
	for key, words := range english {
		out[inCatalogue+key] = words
	}
	return out
}

const inCatalogue = "round."

var english = map[string]string{
	"weekday.0": "Sunday", "weekday.1": "Monday", "weekday.2": "Tuesday", "weekday.3": "Wednesday",
	"weekday.4": "Thursday", "weekday.5": "Friday", "weekday.6": "Saturday",
	"date": "{0} {1}", "month.1": "January", "month.2": "February", "month.3": "March", "month.4": "April", "month.5": "May", "month.6": "June",
	"month.7": "July", "month.8": "August", "month.9": "September", "month.10": "October", "month.11": "November", "month.12": "December",
	"chance.none": "in none of {0} tries", "chance.all": "in all {0} tries", "chance.tenths": "{0} in 10",
	"chance.between": "{0} to {1}", "chance.more": "{0} or more", "chance.less": "{0} or less", "chance.any": "from never to always", "list.comma": ", ", "list.and": "{0} and {1}",

	"line.named": "{0}: {1}", "line.all": "{0}, {1} bins", "line.except": "{0}, {1} bins, not {2}", "line.open": "Open {1}, too warm: {0}", "line.flee": "Open {1}, the worms cannot bear it: {0}",

	"feed": "feed {0} of mix {1}", "feed_water": "feed {0} of mix {1} and water {2}",
	"feed_cover": "feed {0} of mix {1} and lay a cloth over it", "feed_water_cover": "feed {0} of mix {1}, water {2} and lay a cloth over it",
	"water": "water {0}", "water_cover": "water {0} and lay a cloth over it", "rest": "leave as it is",
	"cover.cloth": "lay a cloth over it", "cover.film": "lay a plastic sheet over it", "cover.board": "lay boards over it",
	"open.cover": "take the cover off", "open.feed": "take off {0} of the new feed",
	"open.both": "take off {0} of the new feed and leave the cover off", "open.top": "take off {0} of the top", "open.topboth": "take off {0} of the top and leave the cover off",
	"open.watch": "nothing that was tried helps, so look at it first",
	"warm":       "keep the frost off", "look": "look before you feed", "probe": "put the thermometer in", "look.odd": "look what is the matter", "look.soaked": "look whether water stands in it", "look.rest": "look whether it may be fed again", "look.unseen": "look, nobody has seen it for long",
	"amount.water": "{0} of water",
	"harvest":      "harvest, it is ripe", "split": "split the worms",
	"blend": "mix {0} more of mix {1}", "blend.like": "mix {0} of feed like mix {1}", "blend.any": "mix {0} of feed", "part": "{0} of {1}",

	"why.left.none": "The last feed is nearly gone.", "why.left.quarter": "About a quarter of the last feed is left.",
	"why.left.third": "About a third of the last feed is left.", "why.left.half": "About half of the last feed is left.",
	"why.left.most": "Most of the last feed is left.", "why.left.all": "The last feed is hardly touched.",
	"why.first": "It has had no feed yet.", "why.bedding": "Until it is fed the worms live on their bedding.", "why.lasts": "At this warmth {0} lasts until {1}.",
	"look.worms": "look whether there are worms in it", "why.noworms": "By all that was written down there should be no worms left in it. That is often wrong: say what you find.",
	"why.barren":  "Hardly any worms are left in it, so it gets no feed until some are put in or found.",
	"why.both":    "Perhaps fed on {0} with nobody writing it down, {1}. The ranges here hold both: the warmest place is about {2} if it was, about {3} if not.",
	"why.perhaps": "Perhaps fed on {0} with nobody writing it down, {1}: the chances hold both.",
	"why.short":   "Before {1} {0} will likely be eaten up.", "why.fedtoday": "It was fed today. Whether it needs more is seen tomorrow.",
	"why.more": "{0} more would leave too much: {1}.", "why.enough": "There is feed enough until {0}.",
	"why.waits": "It stands under others and waits for the truck on {0}.", "why.unfed": "Nobody wrote down a feeding for {0} days.",
	"why.nextvisit": "At the next visit of the truck, by {0} at the latest: today the lift costs more than it brings.",
	"why.unseen":    "It stands under others and nobody has seen it since {0}.",
	"visit":         "Take down row {0} stack {1} with the truck: {2}, about {3} minutes. {4} Next visit by {5} at the latest.",
	"visit.reached": "{0} bins reached", "visit.reached.one": "1 bin reached", "visit.feed": "{0} to feed", "visit.look": "{0} to look at",
	"visit.now": "Worth it because it cannot wait.", "visit.unseen": "Worth it because nobody has seen it for {0} days.", "visit.ripe": "Worth it because what is ripe or crowded comes out.",
	"visit.worth": "Worth it because waiting would cost about {0} of dry castings, and the lifts cost as much as {1}.",
	"why.warm":    "It may reach {0} where the worms are.", "why.refuge": "Only about {0} of bed stays cool enough for them.",
	"why.norefuge": "No bed below stays cool enough for them.",
	"why.killing":  "It may reach {0} where the worms are now, and none lives through that.",
	"why.flee":     "What was laid last drives the worms out.", "why.flee_bed": "Something in the bed drives the worms out.", "why.turn": "Others are riper, so this one waits its turn.",
	"why.reading":  "It read {0} at {1}, where by all that is written down about {2} is likely. Was something done that nobody wrote down?",
	"why.read":     "It read {0} at {1}, where by all that is written down about {2} is likely.",
	"why.hose":     "It was given {0} on {1}, more than a bed takes up. Lift a corner: it should not run, stand or smell sour.",
	"look.seep":    "look whether worms sit on lid and walls, and smell it",
	"why.seep":     "The ammonia, the water or the air in it may drive some worms out, slowly.",
	"why.flee_dry": "It is so dry that the worms leave.",
	"why.nogain":   "Feed on top now would make no more castings.",
	"why.nomixes":  "There is no mix to feed.", "why.limits": "Every feeding that was tried would do more harm than good.",
	"why.maybe_warm": "It may pass {0} where the worms are: {1}.",
	"why.dry":        "The top dries out by {0} if left alone: {1}.", "why.soaked": "It is wet and short of air, so no feed and no water.",
	"why.cold": "At {0} in the middle the worms hardly eat.", "why.frozen": "The cold ahead takes the bed down to {0}.",
	"why.last":   "It is ripe but for its last feed: no more of it, and a harvest from {0} on.",
	"why.finish": "It is nearly full and gets no more feed, so that it ripens.",
	"why.full":   "It is full to within {0} of the rim.", "why.ripe": "Nearly all of the feed is worked: about {0} of castings.",
	"why.habit":  "This farm never feeds more than {0}; {1} would make about {2} more castings in {3} days.",
	"weekdays.0": "Sundays", "weekdays.1": "Mondays", "weekdays.2": "Tuesdays", "weekdays.3": "Wednesdays", "weekdays.4": "Thursdays", "weekdays.5": "Fridays", "weekdays.6": "Saturdays",
	"price.days":          "Feeding only on {0} costs about 1 in {1} of the castings.",
	"price.days.half":     "Feeding only on {0} costs more than half of the castings.",
	"price.days.nothing":  "Feeding only on {0} costs nothing that can be told.",
	"price.depth":         "Never feeding more than {0} costs about 1 in {1} of the castings.",
	"price.depth.half":    "Never feeding more than {0} costs more than half of the castings.",
	"price.depth.nothing": "Never feeding more than {0} costs nothing that can be told.",
	"line.ask":            "Were {1} fed on {2} {3}?", "line.ask.one": "Was {1} fed on {2} {3}?",
	"ask":               "was it fed on {0} {1}?",
	"why.ask.habit":     "It is fed about every {0} days, and by the journal it had gone {1} days by then.",
	"why.ask.habit.one": "It is fed about every day, and by the journal it had gone {1} days by then.",
	"why.ask.gap":       "By the journal it had gone {0} days by then.",
	"why.ask.gap.one":   "By the journal it had gone one day by then.",
	"why.ask.row":       "That day {0} others of the row were written down as fed.",
	"why.ask.row.one":   "That day one other of the row was written down as fed.",
	"why.ask.read":      "On {0} it read {1} at {2}; about {3} was to be expected without a feeding, about {4} with one.",
	"why.ask.look":      "What was seen on {0} fits a feeding better than none.",
	"why.asked":         "No feed until somebody says whether it was fed on {0}.",
	"sure.ask":          "That it was fed, as this farm feeds and writes: {0}.",
	"why.late":          "It was to be fed on the last day of feeding, and nobody wrote down that it was.",
	"why.offday":        "The farm feeds next on {0}, but this one would go without for days until then: {1}.",
	"why.feedday":       "It waits for {0}, the next day on which the farm feeds.",
	"why.held":          "It gets no feed since {0}: {1}. That holds until somebody feeds it again.",
	"why.heldgone":      "What lay there is nearly eaten by now: see whether it may be fed again.",
	"why.ripelate":      "It is ripe, but bought worms went into it, so nothing of it goes to other bins until {0}.",
	"why.fulllate":      "It is crowded, but bought worms went into it, so none of them go to other bins until {0}.",
	"why.crowded":       "It holds about {0} of worms: crowded worms breed slowly.",
	"why.runs_out":      "The bins here want {1} of mix {0}, and {2} are left.",
	"why.nomix":         "Nothing mixed is left, and {0} bins are due for feed.",
	"why.nomix.one":     "Nothing mixed is left, and one bin is due for feed.",
	"why.parts":         "That is {0}.", "why.undecided": "It is a close call whether it wants feed, and a look would settle it.",
	"why.tells.stab": "A thermometer at {0} tells most here.", "why.tells.depth": "How deep the bed is tells most here.", "why.tells.count": "Worms counted or weighed in one forkful tell most here.",
	"why.unsure": "Feed may do more harm than good here, and it is a close call: a look would settle it.",

	"sure.eaten": "Eaten by {0}, or nearly: {1}.", "sure.warm": "Too warm for the worms: {0}.", "sure.dry": "Too dry on top by {0} even so: {1}.",
	"sure.danger": "Over {0} within three days if left alone: {1}.", "sure.flee": "Worms leaving by {0} if left alone: {1}.",
	"sure.fast":   "One worm in {0} or more leaving by {1} if left alone: {2}.",
	"sure.after":  "After that: {0}.",
	"sure.frozen": "Frozen if left alone: {0}.", "sure.ripe": "Ripe now: {0}.", "sure.hungry": "Hungry before {0}: {1}.",
	"sure.unfed": "Left unfed: hungry by {0}, {1}.", "sure.less": "Left unfed: about {0} of castings less in {1} days.", "sure.unharmed": "Left unfed: no harm by {0}.",

	"care.ammonia": "Ammonia may be strong: open the barn door first, and leave if your eyes sting.",
	"care.truck":   "Level floor, forks low, nobody near or under a lifted bin. Capacity plate and local rules decide.",
	"care.dust":    "Damp dry material down and wear a mask: dust and spores.",
	"care.gloves":  "Gloves, and wash before you eat: manure carries germs.",
	"care.lift":    "Full buckets are heavy: two people, or half full.",
	"care.apart":   "Bought worms went in on {0}. Until {1} it has its own tools, and no worms or bedding go from it to other bins.",
	"care.power":   "Keep heaters and cords dry and off the bedding. A licensed electrician decides.",

	"pile.turn": "turn pile {0}", "pile.wet": "wet pile {0} with {1}", "pile.measure": "put the long thermometer into pile {0}",
	"pile.spread": "spread pile {0} out low", "pile.call": "keep off pile {0} and call the fire service", "pile.why": "{0}", "pile.care": "{0}",

	"weather.now": "Out {0} to {1} today.", "weather.frost": "Frost likely in the night to {0}: {1}.", "weather.heat": "Hot on {0}: {1}.",
	"note.plain": "{0}", "note.doubts": "{0} entries do not fit with the rest; the journal says which.", "note.doubts.one": "One entry does not fit with the rest; the journal says which.",
	"note.nomix": "No mix has matter left, so feeding could not be tried.", "note.held": "Mix {0} is not fed: {1}",
	"note.tries": "How sure: what became of tries on the model bed that were not used to choose.",
}
