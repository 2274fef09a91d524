package round

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"wormyard/barn"
	"wormyard/twin"
	"wormyard/yard"
)

// Bedded is a bin with a bed, whether or not it needs something.
type Bedded struct{ Bin, Place, Barn, Row string }

// Pile is what a pile in the yard asks for.
type Pile struct {
	Name   string
	Advice []yard.Advice
}

// Part is a share of a mix by volume.
type Part struct {
	Pile string
	M3   float64
}

// Want is a batch to be mixed because nothing mixed is left: like an earlier one.
type Want struct {
	Like  string // batch, empty when none was ever mixed
	Bins  int    // that are due for feed
	M3    float64
	Parts []Part // of the volume wanted
}

// Made is everything that a list is written from.
type Made struct {
	Day     string
	At      time.Time
	Items   []Item // of bins, in any order
	Bedded  []Bedded
	Piles   []Pile
	Mixes   []Mix
	Want    *Want
	Weather []Phrase
	Notes   []Phrase
}

// Write orders the items of a day into lines: first what is urgent, then barn by
// barn and row by row; like acts of a row in one line with its exceptions. Where
// several amounts are as good it takes the one that serves most bins of a row.
// It keeps the looks that could change most and drops the rest of them, and says
// where a mix does not last for all that want it. docs/model.md (R5), (R6), (R11).
func (p *Parameters) Write(m Made) List {
	l := List{Day: m.Day, Made: m.At, Weather: m.Weather, Notes: m.Notes, Bins: len(m.Bedded)}
	items, visits, asks := p.settled(m.Items, m.At)
	l.Visits = visits
	l.Lines = asks
	groups := map[string]*Line{}
	var keys []string
	for _, it := range items {
		if it.Act == Rest {
			l.Resting++
			continue
		}
		k := lineKey(&it)
		g := groups[k]
		if g == nil {
			g = &Line{Key: k, Barn: it.Barn, Row: it.Row, Act: it.Act, Head: it.Head, Urgency: it.Urgency}
			groups[k], keys = g, append(keys, k)
		}
		g.Items = append(g.Items, it)
		g.Minutes += it.Minutes
	}
	for _, k := range keys {
		g := groups[k]
		g.Except = except(g, m.Bedded)
		l.Lines = append(l.Lines, *g)
	}
	l.Lines = append(l.Lines, p.short(items, m)...)
	l.Lines = append(l.Lines, piles(m.Piles)...)
	sort.SliceStable(l.Lines, func(i, j int) bool { return lineBefore(&l.Lines[i], &l.Lines[j]) })
	for i := range l.Lines {
		l.Minutes += l.Lines[i].Minutes
	}
	return l
}

// settled gives the items with what is chosen over all of them at once: the amount
// of each row, whose turn it is, where to look, what the truck takes.
func (p *Parameters) settled(items []Item, at time.Time) ([]Item, []Visit, []Line) {
	items = slices.Clone(items)
	sort.SliceStable(items, func(i, j int) bool { return before(&items[i], &items[j]) })
	asks := p.asked(items)
	p.steady(items)
	p.harvests(items)
	p.looks(items)
	visits := p.visits(items, at.Unix()/3600)
	p.lifts(items)
	return items, visits, asks
}

func rank(u Urgency) int { return slices.Index(urgencies, u) }

func before(a, b *Item) bool {
	if a.Barn != b.Barn {
		return barn.Natural(a.Barn, b.Barn) < 0
	}
	if a.Row != b.Row {
		return barn.Natural(a.Row, b.Row) < 0
	}
	if a.Stack != b.Stack {
		return a.Stack < b.Stack
	}
	if a.Level != b.Level {
		return a.Level > b.Level
	}
	return barn.Natural(a.Bin, b.Bin) < 0
}

var actOrder = []Act{Ask, Helped, Mend, Open, Warm, Cover, Wet, Turn, Water, Feed, Look, Harvest, Split, Blend, Measure, Wait, Rest}

// lineBefore: what cannot wait first, then the yard's batches, then barn by
// barn, row by row.
func lineBefore(a, b *Line) bool {
	now := func(l *Line) int {
		if l.Urgency == Now {
			return 0
		}
		return 1
	}
	switch {
	case now(a) != now(b):
		return now(a) < now(b)
	case (a.Act == Blend) != (b.Act == Blend):
		return a.Act == Blend
	case (a.Barn == "") != (b.Barn == ""):
		return a.Barn != ""
	case a.Barn != b.Barn:
		return barn.Natural(a.Barn, b.Barn) < 0
	case a.Row != b.Row:
		return barn.Natural(a.Row, b.Row) < 0
	case rank(a.Urgency) != rank(b.Urgency):
		return rank(a.Urgency) < rank(b.Urgency)
	case a.Act != b.Act:
		return slices.Index(actOrder, a.Act) < slices.Index(actOrder, b.Act)
	}
	return len(a.Items) > len(b.Items)
}

// lineKey says which items stand in one line.
func lineKey(it *Item) string {
	return fmt.Sprintf("%s/%s/%s/%s/%.4f/%.1f/%s/%s/%s", it.Barn, it.Row, it.Act, it.Head.Key, it.DepthM, it.WaterKg, it.Cover, it.Mix, it.Urgency)
}

// steady gives the feedings of a row as few different amounts as are as good:
// again and again the amount that serves most of those not yet settled, of equal
// ones that which makes most castings. Those whose last advice is as good keep it
// and count for the others. docs/model.md (R6), (R9).
func (p *Parameters) steady(items []Item) {
	rows := map[string][]int{}
	var order []string
	for i := range items {
		if items[i].Act == Feed {
			k := items[i].Barn + "/" + items[i].Row
			if rows[k] == nil {
				order = append(order, k)
			}
			rows[k] = append(rows[k], i)
		}
	}
	for _, k := range order {
		var open []int
		settled := map[string]int{}
		for _, i := range rows[k] {
			if items[i].keep() {
				settled[lineKey(&items[i])]++
			} else {
				open = append(open, i)
			}
		}
		for len(open) > 0 {
			var keys []string
			served, value := map[string]int{}, map[string]float64{}
			for _, i := range open {
				items[i].each(func(o *Item) {
					key := lineKey(o)
					if served[key] == 0 {
						keys, served[key] = append(keys, key), settled[key]
					}
					served[key]++
					value[key] += o.Value
				})
			}
			best := keys[0]
			for _, key := range keys {
				if served[key] > served[best] || served[key] == served[best] && value[key] > value[best] {
					best = key
				}
			}
			open = slices.DeleteFunc(slices.Clone(open), func(i int) bool { return items[i].take(best) })
		}
	}
}

// each calls with the item and with each amount that is as good.
func (it *Item) each(do func(*Item)) {
	do(it)
	for i := range it.Others {
		do(&it.Others[i])
	}
}

// keep makes the item the one of its amounts that was advised last, and reports
// whether there is one.
func (it *Item) keep() bool {
	key := ""
	it.each(func(o *Item) {
		if it.Was.is(o) {
			key = lineKey(o)
		}
	})
	return key != "" && it.take(key)
}

// take makes the item the one of its amounts that has the key, and reports
// whether there is one.
func (it *Item) take(key string) bool {
	if lineKey(it) == key {
		return true
	}
	for i := range it.Others {
		if lineKey(&it.Others[i]) != key {
			continue
		}
		o := it.Others[i]
		o.Tried = slices.Clone(it.Tried)
		for k := range o.Tried {
			o.Tried[k].Chosen = same(o.Tried[k].Option, o.Head)
		}
		*it = o
		return true
	}
	return false
}

func (it *Item) wasTo(a Act) bool { return it.Was != nil && it.Was.Act == a }

// looks turns the resting bins in which a look could change most, for the minutes of
// what tells most there, into looks, where it is worth these; not those that would
// have to be lifted out for it. docs/model.md (R5)
func (p *Parameters) looks(items []Item) {
	var may []int
	for i := range items {
		least, held := leastDoubt, 1.0
		if items[i].wasTo(Look) {
			least, held = least/2, 0.5
		}
		if it := &items[i]; it.Act == Rest && it.Above == 0 && it.Doubt > least && (it.seeps() || p.lookPays(it, held)) {
			may = append(may, i)
		}
	}
	settles := func(i int) float64 { return items[i].Doubt * items[i].Tells.PerMinute() }
	sort.SliceStable(may, func(a, b int) bool {
		i, j := may[a], may[b]
		return cmp.Or(cmp.Compare(settles(j), settles(i)), cmp.Compare(items[j].Doubt, items[i].Doubt)) < 0
	})
	ahead(may, func(i int) bool { return items[i].wasTo(Look) })
	ahead(may, func(i int) bool { return items[i].seeps() })
	for _, i := range may[:min(len(may), int(p.LookMost))] {
		it := &items[i]
		if it.Act, it.Head, it.Urgency, it.Minutes = Look, say("look"), Week, p.LookMinutes; it.seeps() {
			it.Head = say("look.seep")
			continue
		}
		if it.unread() { // a thermometer says more of it than hand and eye
			it.Head, it.Minutes = say("probe"), p.StabMinutes
			continue
		}
		why := say("why.undecided")
		if it.says(harmful) {
			why = say("why.unsure")
		}
		it.Why = []Phrase{why}
		if tells, ok := tellsMost(it.Tells); ok {
			it.Why = append(it.Why, tells)
		}
	}
}

// lookPays says whether what tells most of a bed in a minute is worth its minutes,
// or a share of them. docs/model.md (R5)
func (p *Parameters) lookPays(it *Item, share float64) bool {
	minutes, told := p.LookMinutes, 1.0
	if h := &it.Tells; h.Minutes > 0 {
		minutes = h.Minutes
		if h.Before > 0 {
			told = 1 - h.After*h.After/(h.Before*h.Before)
		}
	}
	return it.Learn*told >= share*p.MinuteKg*minutes
}

// unread says whether heat alone keeps a hungry bin from feed that no thermometer was in.
func (it *Item) unread() bool { return it.says(tooWarm) }

func (it *Item) says(reason string) bool {
	return slices.ContainsFunc(it.Why, func(x Phrase) bool { return x.Key == reason })
}

func (it *Item) seeps() bool { return len(it.Why) > 0 && it.Why[0].Key == seeps }

// tellsMost says what to bring to a look besides hand and eye; false where these
// tell most.
func tellsMost(h twin.Help) (Phrase, bool) {
	switch h.What {
	case twin.Stab:
		return say("why.tells.stab", depth(h.DepthM)), true
	case twin.Rule:
		return say("why.tells.depth"), true
	case twin.Counting:
		return say("why.tells.count"), true
	}
	return Phrase{}, false
}

// harvests keeps the surest of the ripe bins, as many as one crew can empty in a
// week; the others wait their turn.
func (p *Parameters) harvests(items []Item) {
	var ripe []int
	for i := range items {
		if items[i].Act == Harvest {
			ripe = append(ripe, i)
		}
	}
	sort.SliceStable(ripe, func(a, b int) bool { return items[ripe[a]].Value > items[ripe[b]].Value })
	ahead(ripe, func(i int) bool { return items[i].wasTo(Harvest) })
	for _, i := range ripe[min(len(ripe), int(p.HarvestMost)):] {
		it := &items[i]
		it.Act, it.Head, it.Urgency, it.Minutes, it.Lift = Rest, say("rest"), NoHurry, 0, 0
		it.Why = append(slices.Clip(it.Why), say("why.turn"))
	}
}

// leastDoubt is from where a look is worth its minutes: the members part worse
// than one against six.
const leastDoubt = 0.5

// lifts reckons the minutes of the truck: of each stack the lowest bin that is
// worked on brings all above it down.
func (p *Parameters) lifts(items []Item) {
	lowest := map[string]int{}
	for i := range items {
		it := &items[i]
		if it.Lift == 0 || it.Act == Rest {
			continue
		}
		k := fmt.Sprintf("%s/%s/%d", it.Barn, it.Row, it.Stack)
		if o, ok := lowest[k]; !ok || it.Lift > items[o].Lift {
			lowest[k] = i
		}
	}
	for _, i := range lowest {
		items[i].Minutes += p.LiftMinutes * float64(items[i].Lift)
	}
}

// except names the bedded places of the row that a line leaves out, when they
// are few against those it names.
func except(l *Line, bedded []Bedded) []string {
	if len(l.Items) < 4 {
		return nil
	}
	var out []string
	in := map[string]bool{}
	for i := range l.Items {
		in[l.Items[i].Bin] = true
	}
	for _, b := range bedded {
		if b.Barn == l.Barn && b.Row == l.Row && !in[b.Bin] {
			out = append(out, b.Place)
		}
	}
	if len(out) > 3 || len(out)*3 > len(l.Items) {
		return nil
	}
	return out
}

// scant is how much a mix may lack before anybody mixes for it [m3]; a bucket.
const scant = 0.05

// short makes a line of each mix that does not last, and one of what to mix when
// nothing mixed is left.
func (p *Parameters) short(items []Item, m Made) []Line {
	var out []Line
	blend := func(key string, it Item) {
		it.Act, it.Urgency, it.Minutes, it.Care = Blend, Today, math.Max(1, math.Ceil(it.VolumeM3*p.BlendMin)), []Phrase{say("care.dust")}
		out = append(out, Line{Key: "blend/" + key, Act: Blend, Head: it.Head, Urgency: Today, Minutes: it.Minutes, Items: []Item{it}})
	}
	for _, mix := range m.Mixes {
		var want float64
		for i := range items {
			if items[i].Act == Feed && items[i].Mix == mix.Batch {
				want += items[i].VolumeM3
			}
		}
		if lack := want - mix.LeftM3; lack > scant {
			blend(mix.Batch, Item{Place: mix.Batch, Mix: mix.Batch, VolumeM3: lack, Head: say("blend", volume(lack), text(mix.Batch)),
				Why: []Phrase{say("why.runs_out", text(mix.Batch), volume(want), volume(mix.LeftM3))}})
		}
	}
	if w := m.Want; w != nil && w.Bins > 0 {
		it := Item{Place: "feed", Mix: w.Like, VolumeM3: w.M3, Head: say("blend.any", volume(w.M3)), Why: []Phrase{say("why.nomix", count(w.Bins))}}
		if w.Like != "" {
			it.Head = say("blend.like", volume(w.M3), text(w.Like))
			var parts []Phrase
			for _, x := range w.Parts {
				parts = append(parts, say("part", volume(x.M3), text(x.Pile)))
			}
			it.Why = append(it.Why, say("why.parts", list(parts)))
		}
		blend("feed", it)
	}
	return out
}

func (l *Line) speak(w Words) {
	first := &l.Items[0]
	places := make([]string, len(l.Items))
	for i := range l.Items {
		places[i] = l.Items[i].Place
	}
	act := w.Text(l.Head)
	switch {
	case first.Pile != "" || l.Act == Blend:
		l.Say = act
	case l.Act == Ask:
		l.Say = w.Text(say("line.ask", count(len(places)), text(w.list(places)), l.Head.Args[0], l.Head.Args[1]))
	case l.Act == Open:
		key := "line.open"
		if len(first.Why) > 0 && (first.Why[0].Key == flees || first.Why[0].Key == fleesBed) {
			key = "line.flee"
		}
		l.Say = w.Text(say(key, text(act), text(w.list(places))))
	case len(l.Except) > 0:
		l.Say = w.Text(say("line.except", text(act), count(len(l.Items)), text(w.list(l.Except))))
	case len(l.Items) <= 4:
		l.Say = w.Text(say("line.named", text(act), text(w.list(places))))
	default:
		l.Say = w.Text(say("line.all", text(act), count(len(l.Items))))
	}
	l.Say = capital(l.Say)
	l.Reason = w.all(l.most(func(it *Item) []Phrase { return it.Why }))
	l.Sure = w.all(l.most(func(it *Item) []Phrase { return it.Sureness }))
	var care []Phrase
	for i := range l.Items {
		for _, c := range l.Items[i].Care {
			if !slices.ContainsFunc(care, func(o Phrase) bool { return o.Key == c.Key && o.Key != "pile.care" }) {
				care = append(care, c)
			}
		}
	}
	l.Caution = w.all(care)
}

// most gives the phrases that are true of more than half of the items, with odds
// as the lowest to the highest among them; where there is none, those of the
// first.
func (l *Line) most(of func(*Item) []Phrase) []Phrase {
	var keys []string
	seen := map[string][]Phrase{}
	for i := range l.Items {
		for _, p := range of(&l.Items[i]) {
			if seen[p.Key] == nil {
				keys = append(keys, p.Key)
			}
			seen[p.Key] = append(seen[p.Key], p)
		}
	}
	var out []Phrase
	for _, k := range keys {
		if ps := seen[k]; 2*len(ps) > len(l.Items) {
			out = append(out, joined(ps))
		}
	}
	if len(out) == 0 {
		return of(&l.Items[0])
	}
	return out
}

// joined gives the middle one of phrases of one key, its odds from the lowest to
// the highest.
func joined(ps []Phrase) Phrase {
	out := ps[len(ps)/2]
	out.Args = slices.Clone(out.Args)
	for a := range out.Args {
		if out.Args[a].Of != "chance" {
			continue
		}
		low, high := out.Args[a].V, out.Args[a].V
		for _, p := range ps {
			if a < len(p.Args) {
				low, high = math.Min(low, p.Args[a].V), math.Max(high, p.Args[a].V)
			}
		}
		out.Args[a].V, out.Args[a].High = low, high
	}
	return out
}

// pileActs are the yard's words for what a pile wants, and ours.
var pileActs = map[string]struct {
	act Act
	key string
}{
	"turn": {Turn, "pile.turn"}, "wet": {Wet, "pile.wet"}, "measure": {Measure, "pile.measure"},
	"spread": {Turn, "pile.spread"}, "call for help": {Open, "pile.call"},
}

// piles makes a line of what each pile wants; a pile that wants nothing, or only
// to lie, makes none.
func piles(ps []Pile) []Line {
	var out []Line
	for _, p := range ps {
		for _, a := range p.Advice {
			k, ok := pileActs[a.Act]
			if !ok {
				continue
			}
			it := Item{
				Pile: p.Name, Place: p.Name, Act: k.act, Head: say(k.key, text(p.Name)), WaterKg: float64(a.Water),
				Urgency: pileUrgency(a.Urgency), Minutes: a.Minutes, Why: []Phrase{say("pile.why", text(a.Reason))},
			}
			if a.Water > 0 {
				it.Head.Args = append(it.Head.Args, pour(float64(a.Water)))
			}
			if a.Caution != "" {
				it.Care = []Phrase{say("pile.care", text(a.Caution))}
			}
			out = append(out, Line{Key: "pile/" + p.Name + "/" + strings.ReplaceAll(a.Act, " ", "-"), Act: k.act, Head: it.Head, Urgency: it.Urgency, Minutes: it.Minutes, Items: []Item{it}})
		}
	}
	return out
}

func pileUrgency(u yard.Urgency) Urgency {
	switch u {
	case yard.Now:
		return Now
	case yard.Today:
		return Today
	case yard.Week:
		return Week
	}
	return NoHurry
}
