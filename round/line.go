package round

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"wormyard/yard"
)

// Bedded is a bin with a bed, whether or not it needs something.
type Bedded struct{ Bin, Place, Barn, Row string }

// Pile is what a pile in the yard asks for.
type Pile struct {
	Name   string
	Advice []yard.Advice
}

// Made is everything that a list is written from.
type Made struct {
	Day     string
	At      time.Time
	Items   []Item // of bins, in any order
	Bedded  []Bedded
	Piles   []Pile
	Mixes   []Mix
	Weather []Phrase
	Notes   []Phrase
}

// Write orders the items of a day into lines: first what is urgent, then barn by
// barn and row by row; like acts of a row in one line with its exceptions. It
// keeps the looks that could change most and drops the rest of them, and says
// where a mix does not last for all that want it. docs/model.md (R5), (R6).
func (p *Parameters) Write(m Made) List {
	l := List{Day: m.Day, Made: m.At, Weather: m.Weather, Notes: m.Notes, Bins: len(m.Bedded)}
	items := slices.Clone(m.Items)
	sort.SliceStable(items, func(i, j int) bool { return before(&items[i], &items[j]) })
	p.looks(items)
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
	l.Lines = append(l.Lines, p.short(items, m.Mixes)...)
	l.Lines = append(l.Lines, piles(m.Piles)...)
	sort.SliceStable(l.Lines, func(i, j int) bool { return lineBefore(&l.Lines[i], &l.Lines[j]) })
	for i := range l.Lines {
		l.Minutes += l.Lines[i].Minutes
	}
	return l
}

func rank(u Urgency) int { return slices.Index(urgencies, u) }

func before(a, b *Item) bool {
	if a.Barn != b.Barn {
		return a.Barn < b.Barn
	}
	if a.Row != b.Row {
		return natural(a.Row, b.Row)
	}
	if a.Stack != b.Stack {
		return a.Stack < b.Stack
	}
	return a.Level > b.Level
}

// natural orders "2" before "10".
func natural(a, b string) bool {
	if len(a) != len(b) {
		return len(a) < len(b)
	}
	return a < b
}

var actOrder = []Act{Open, Warm, Cover, Wet, Turn, Water, Feed, Look, Harvest, Split, Blend, Measure, Wait, Rest}

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
		return a.Barn < b.Barn
	case a.Row != b.Row:
		return natural(a.Row, b.Row)
	case rank(a.Urgency) != rank(b.Urgency):
		return rank(a.Urgency) < rank(b.Urgency)
	case a.Act != b.Act:
		return slices.Index(actOrder, a.Act) < slices.Index(actOrder, b.Act)
	}
	return len(a.Items) > len(b.Items)
}

// lineKey says which items stand in one line.
func lineKey(it *Item) string {
	if it.Urgency == Now {
		return "now/" + it.Bin
	}
	return fmt.Sprintf("%s/%s/%s/%.4f/%.1f/%s/%s", it.Barn, it.Row, it.Act, it.DepthM, it.WaterKg, it.Mix, it.Urgency)
}

// looks turns the resting bins in which a look could change most into looks.
func (p *Parameters) looks(items []Item) {
	var may []int
	for i := range items {
		if items[i].Act == Rest && items[i].Doubt > 0.75 {
			may = append(may, i)
		}
	}
	sort.SliceStable(may, func(a, b int) bool { return items[may[a]].Doubt > items[may[b]].Doubt })
	for _, i := range may[:min(len(may), int(p.LookMost))] {
		it := &items[i]
		it.Act, it.Head, it.Urgency, it.Minutes = Look, say("look"), Week, p.LookMinutes
		it.Why = append(it.Why[:max(0, len(it.Why)-1):max(0, len(it.Why)-1)], say("why.undecided"))
	}
}

// except names the bedded places of the row that a line leaves out, when they
// are few against those it names.
func except(l *Line, bedded []Bedded) []string {
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

// short makes a line of each mix that does not last.
func (p *Parameters) short(items []Item, mixes []Mix) []Line {
	var out []Line
	for _, mix := range mixes {
		var want float64
		for i := range items {
			if items[i].Act == Feed && items[i].Mix == mix.Batch {
				want += items[i].VolumeM3
			}
		}
		if lack := want - mix.LeftM3; lack > 0.05 {
			it := Item{
				Place: mix.Batch, Act: Blend, Mix: mix.Batch, VolumeM3: lack, Head: say("blend", text(mix.Batch)), Urgency: Today,
				Minutes: math.Ceil(lack * p.BlendMin), Why: []Phrase{say("why.runs_out", text(mix.Batch), volume(lack))}, Care: []Phrase{say("care.dust")},
			}
			out = append(out, Line{Key: "blend/" + mix.Batch, Act: Blend, Head: it.Head, Urgency: Today, Minutes: it.Minutes, Items: []Item{it}})
		}
	}
	return out
}

func (l *Line) speak(w Words) {
	first := &l.Items[0]
	act := w.Text(l.Head)
	places := make([]string, len(l.Items))
	for i := range l.Items {
		places[i] = l.Items[i].Place
	}
	switch {
	case l.Items[0].Pile != "":
		l.Say = act
	case l.Act == Blend:
		l.Say = act
	case len(l.Items) == 1:
		l.Say = w.Text(say("bins.named", text(act), text(places[0])))
	case len(l.Except) > 0:
		l.Say = w.Text(say("bins.except", text(act), count(len(l.Items)), text(strings.Join(l.Except, ", "))))
	case len(l.Items) <= 4:
		l.Say = w.Text(say("bins.named", text(act), text(strings.Join(places, ", "))))
	default:
		l.Say = w.Text(say("bins", text(act), count(len(l.Items))))
	}
	l.Reason = first.Reason
	l.Sure = w.all(l.sureness())
	var care []Phrase
	for i := range l.Items {
		for _, c := range l.Items[i].Care {
			if !slices.ContainsFunc(care, func(o Phrase) bool { return o.Key == c.Key }) {
				care = append(care, c)
			}
		}
	}
	l.Caution = w.all(care)
}

// sureness gives the phrases of the first item, with the odds of the whole line
// as the lowest to the highest among its bins.
func (l *Line) sureness() []Phrase {
	out := make([]Phrase, len(l.Items[0].Sureness))
	for k, p := range l.Items[0].Sureness {
		p.Args = slices.Clone(p.Args)
		for a := range p.Args {
			if p.Args[a].Of != "chance" {
				continue
			}
			low, high := p.Args[a].V, p.Args[a].V
			for i := range l.Items {
				if s := l.Items[i].Sureness; k < len(s) && s[k].Key == p.Key && a < len(s[k].Args) {
					low, high = math.Min(low, s[k].Args[a].V), math.Max(high, s[k].Args[a].V)
				}
			}
			p.Args[a].V, p.Args[a].High = low, high
		}
		out[k] = p
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
				Pile: p.Name, Place: p.Name, Act: k.act, Head: say(k.key, text(p.Name), water(float64(a.Water))), WaterKg: float64(a.Water),
				Urgency: pileUrgency(a.Urgency), Minutes: a.Minutes, Why: []Phrase{say("pile.why", text(a.Reason))},
			}
			if a.Caution != "" {
				it.Care = []Phrase{say("pile.care", text(a.Caution))}
			}
			out = append(out, Line{Key: "pile/" + p.Name + "/" + a.Act, Act: k.act, Head: it.Head, Urgency: it.Urgency, Minutes: it.Minutes, Items: []Item{it}})
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
