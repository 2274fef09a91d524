package round_test

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
	"wormyard/yard"
)

const in = qty.MetrePerInch

func limits(t testing.TB) round.Parameters {
	t.Helper()
	var p round.Parameters
	if err := source.Load("round", &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func arg(of string, v float64) round.Arg { return round.Arg{Of: of, V: v} }
func words(s string) round.Arg           { return round.Arg{Of: "text", S: s} }
func phrase(key string, a ...round.Arg) round.Phrase {
	return round.Phrase{Key: key, Args: a}
}

// at is a bin of barn 1, row 3, on the floor.
func at(stack int, act round.Act) round.Item {
	return round.Item{Bin: fmt.Sprint("B", stack), Place: fmt.Sprintf("3-%d low", stack), Barn: "1", Row: "3", Stack: stack, Level: 1, Act: act, Urgency: round.Today, Head: phrase(string(act))}
}

func fed(stack int, inches, value float64) round.Item {
	it := at(stack, round.Feed)
	it.DepthM, it.Mix, it.Value, it.Minutes, it.VolumeM3 = inches*in, "41", value, 4, inches*in*1.44
	it.Head = phrase("feed", arg("depth", inches*in), words("41"))
	it.Tried = []round.Tried{{Option: it.Head, Chosen: true}}
	return it
}

func made(items ...round.Item) round.Made {
	m := round.Made{Day: "2026-03-03", Items: items}
	for _, it := range items {
		m.Bedded = append(m.Bedded, round.Bedded{Bin: it.Bin, Place: it.Place, Barn: it.Barn, Row: it.Row})
	}
	return m
}

func said(l round.List) []string {
	var out []string
	for _, n := range l.Lines {
		out = append(out, n.Say)
	}
	return out
}

// Like acts of a row are one line; the few that are left out are named.
func TestARowIsOneLineWithItsExceptions(t *testing.T) {
	p := limits(t)
	var items []round.Item
	for s := 1; s <= 14; s++ {
		items = append(items, fed(s, 1.5, 5))
	}
	rest := at(15, round.Rest)
	items = append(items, rest)
	l := p.Write(made(items...))
	l.Speak(round.Words{})
	if len(l.Lines) != 1 || l.Lines[0].Say != "Feed 1½ in of mix 41, 14 bins, not 3-15 low" || l.Resting != 1 || l.Bins != 15 {
		t.Fatalf("%q, %d rest of %d", said(l), l.Resting, l.Bins)
	}
	if l.Minutes != 14*4 || len(l.Lines[0].Items) != 14 {
		t.Errorf("%.0f minutes for %d", l.Minutes, len(l.Lines[0].Items))
	}
	if l.Lines[0].Items[0].Amount != "1½ in" {
		t.Errorf("amount %q", l.Lines[0].Items[0].Amount)
	}
	metric := round.Words{Units: qty.Metric}
	l.Speak(metric)
	if l.Lines[0].Say != "Feed 4 cm of mix 41, 14 bins, not 3-15 low" {
		t.Errorf("metric: %q", l.Lines[0].Say)
	}
}

func TestFewBinsAreNamed(t *testing.T) {
	p := limits(t)
	l := p.Write(made(fed(1, 2, 5), fed(2, 2, 5), fed(3, 2, 5), at(4, round.Rest), at(5, round.Rest)))
	l.Speak(round.Words{})
	if got := said(l); !slices.Equal(got, []string{"Feed 2 in of mix 41: 3-1 low, 3-2 low and 3-3 low"}) {
		t.Errorf("%q", got)
	}
}

// Where several amounts are as good a row gets the one that serves most bins, and
// what was tried says so.
func TestARowGetsOneAmount(t *testing.T) {
	p := limits(t)
	with := func(it round.Item, others ...round.Item) round.Item { it.Others = others; return it }
	a := with(fed(1, 2, 5), fed(1, 1.5, 4.9))
	a.Tried = append(a.Tried, round.Tried{Option: fed(1, 1.5, 0).Head})
	b, c := fed(2, 1.5, 6), with(fed(3, 1, 5), fed(3, 1.5, 4.8))
	alone := fed(4, 3, 9)
	l := p.Write(made(a, b, c, alone))
	l.Speak(round.Words{})
	if got := said(l); !slices.Equal(got, []string{"Feed 1½ in of mix 41: 3-1 low, 3-2 low and 3-3 low", "Feed 3 in of mix 41: 3-4 low"}) {
		t.Fatalf("%q", got)
	}
	tried := l.Lines[0].Items[0].Tried
	if len(tried) != 2 || tried[0].Chosen || !tried[1].Chosen {
		t.Errorf("%+v", tried)
	}
	if again := p.Write(made(a, b, c, alone)); len(again.Lines) != 2 || a.DepthM != 2*in {
		t.Error("writing a list must not change what it is written from")
	}
}

// What cannot wait comes first, then what is to be mixed, then the barns row by
// row, then the yard.
func TestOrder(t *testing.T) {
	p := limits(t)
	hot := at(9, round.Open)
	hot.Barn, hot.Row, hot.Urgency, hot.Head = "2", "7", round.Now, phrase("open.cover")
	row10, row2 := fed(5, 1, 5), fed(6, 1, 5)
	row10.Row, row2.Row = "10", "2"
	look := at(7, round.Look)
	look.Row, look.Urgency = "2", round.Week
	m := made(row10, look, row2, hot)
	m.Mixes = []round.Mix{{Batch: "41", LeftM3: 0.01}}
	m.Piles = []round.Pile{{Name: "leaves", Advice: []yard.Advice{{Act: "wet", Water: 400, Urgency: yard.Week, Reason: "Too dry."}, {Act: "rest"}}},
		{Name: "manure", Advice: []yard.Advice{{Act: "spread", Urgency: yard.Now, Reason: "The core was at 180 °F.", Caution: "Fire."}}}}
	l := p.Write(m)
	l.Speak(round.Words{})
	var got []string
	for _, n := range l.Lines {
		got = append(got, string(n.Act)+" "+n.Row+n.Items[0].Pile)
	}
	if want := []string{"open 7", "turn manure", "blend ", "feed 2", "look 2", "feed 10", "wet leaves"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	keys := map[string]bool{}
	for _, n := range l.Lines {
		if keys[n.Key] || n.Key == "" {
			t.Errorf("two lines have the key %q", n.Key)
		}
		keys[n.Key] = true
	}
}

// Barns and rows stand as people read them, not by how long their names are.
func TestBarnsByTheirNames(t *testing.T) {
	p := limits(t)
	var items []round.Item
	for _, barn := range []string{"Old", "Barn 10", "barn 9", "Eastern shed"} {
		it := at(1, round.Look)
		it.Bin, it.Barn = "B of "+barn, barn
		items = append(items, it)
	}
	var got []string
	for _, l := range p.Write(made(items...)).Lines {
		got = append(got, l.Barn)
	}
	if want := []string{"barn 9", "Barn 10", "Eastern shed", "Old"}; !slices.Equal(got, want) {
		t.Errorf("%q, should be %q", got, want)
	}
}

// Of the resting bins those in which a look could change most become looks, at
// most as many as a crew has time for, and none that must be lifted out for it.
func TestLooksGoWhereDoubtIsGreatest(t *testing.T) {
	p := limits(t)
	p.LookMost = 2
	var items []round.Item
	for s, doubt := range []float64{0.6, 0.1, 0.9, 0.99, 0.7} {
		it := at(s+1, round.Rest)
		it.Doubt, it.Learn, it.Why = doubt, 1, []round.Phrase{phrase("why.finish")}
		items = append(items, it)
	}
	items[3].Above = 2 // the most doubtful stands under two others
	l := p.Write(made(items...))
	l.Speak(round.Words{})
	if got := said(l); !slices.Equal(got, []string{"Look before you feed: 3-3 low and 3-5 low"}) || l.Resting != 3 {
		t.Errorf("%q, %d rest", got, l.Resting)
	}
}

// A look is asked where what it may turn is worth its minutes, by hand: at 0.3 kg a
// minute two minutes are 0.6 kg; a stab of a minute and a half that takes half of the
// variance away pays at 0.9 kg. Half of that does where it was asked before.
func TestALookIsWorthItsMinutes(t *testing.T) {
	p := limits(t)
	p.LookMost, p.MinuteKg, p.LookMinutes = 9, 0.3, 2
	stab := twin.Help{What: twin.Stab, Minutes: 1.5, Worth: 1, Before: 2, After: 2 * math.Sqrt(0.5)}
	for _, x := range []struct {
		learn float64
		tells twin.Help
		was   *round.Advice
		asked bool
	}{
		{0.59, twin.Help{}, nil, false}, {0.61, twin.Help{}, nil, true}, {0.31, twin.Help{}, &round.Advice{Act: round.Look}, true}, {0.29, twin.Help{}, &round.Advice{Act: round.Look}, false},
		{0.89, stab, nil, false}, {0.91, stab, nil, true},
	} {
		it := at(1, round.Rest)
		it.Doubt, it.Learn, it.Tells, it.Was, it.Why = 0.9, x.learn, x.tells, x.was, []round.Phrase{phrase("why.finish")}
		if l := p.Write(made(it)); (len(l.Lines) == 1) != x.asked {
			t.Errorf("a look that may turn %.2f kg by %+v: %d lines", x.learn, x.tells, len(l.Lines))
		}
	}
}

// Of looks with the same doubt those come first where a minute tells most, and
// they say by what, where it is not hand and eye.
func TestLooksGoWhereAMinuteTellsMost(t *testing.T) {
	p := limits(t)
	p.LookMost = 2
	var items []round.Item
	for s, tells := range []twin.Help{
		{What: twin.Glance, Minutes: 2, Worth: 0.2},
		{What: twin.Stab, DepthM: 0.2032, Minutes: 1, Worth: 0.6},
		{What: twin.Counting, Minutes: 10, Worth: 0.9},
		{What: twin.Glance, Minutes: 2, Worth: 0.8},
	} {
		it := at(s+1, round.Rest)
		it.Doubt, it.Learn, it.Tells, it.Why = 0.8, 4, tells, []round.Phrase{phrase("why.finish")}
		items = append(items, it)
	}
	l := p.Write(made(items...))
	l.Speak(round.Words{})
	if got := said(l); !slices.Equal(got, []string{"Look before you feed: 3-2 low and 3-4 low"}) {
		t.Errorf("%q", got)
	}
	for _, x := range l.Lines[0].Items {
		if told := strings.Contains(x.Reason, "A thermometer at 8 in tells most here."); told != (x.Place == "3-2 low") {
			t.Errorf("%s says %q", x.Place, x.Reason)
		}
	}
}

// The truck lifts a stack down once, whatever is done in it.
func TestAStackIsLiftedOnce(t *testing.T) {
	p := limits(t)
	low, mid := fed(1, 1, 5), fed(1, 1, 5)
	low.Lift, mid.Lift, mid.Level, mid.Bin = 2, 1, 2, "B1m"
	l := p.Write(made(low, mid, fed(2, 1, 5)))
	if want := 3*4 + 2*p.LiftMinutes; l.Minutes != want {
		t.Errorf("%.1f minutes, want %.1f", l.Minutes, want)
	}
}

// More ripe bins than a crew can empty wait their turn, the surest first.
func TestHarvestsWaitTheirTurn(t *testing.T) {
	p := limits(t)
	p.HarvestMost = 2
	var items []round.Item
	for s, sure := range []float64{0.7, 1, 0.9} {
		it := at(s+1, round.Harvest)
		it.Value, it.Minutes, it.Why = sure, 45, []round.Phrase{phrase("why.ripe", arg("mass", 200))}
		items = append(items, it)
	}
	l := p.Write(made(items...))
	l.Speak(round.Words{})
	if got := said(l); !slices.Equal(got, []string{"Harvest, it is ripe: 3-2 low and 3-3 low"}) || l.Resting != 1 || l.Minutes != 90 {
		t.Errorf("%q, %d rest, %.0f minutes", got, l.Resting, l.Minutes)
	}
}

func TestAMixThatDoesNotLast(t *testing.T) {
	p := limits(t)
	m := made(fed(1, 4, 5), fed(2, 4, 5))
	m.Mixes = []round.Mix{{Batch: "41", LeftM3: 0.1}} // wanted 2 x 0.1463 m3
	l := p.Write(m)
	l.Speak(round.Words{})
	if l.Lines[0].Act != round.Blend || l.Lines[0].Say != "Mix 50.9 gal more of mix 41" || l.Lines[0].Reason != "The bins here want 77.3 gal of mix 41, and 26.4 gal are left." {
		t.Errorf("%q %q", l.Lines[0].Say, l.Lines[0].Reason)
	}
	m.Mixes[0].LeftM3 = 0.29
	if l := p.Write(m); l.Lines[0].Act != round.Feed {
		t.Errorf("a bucket short, and it says %s", l.Lines[0].Act)
	}
}

func TestNothingMixedIsLeft(t *testing.T) {
	p := limits(t)
	m := made(at(1, round.Rest))
	m.Want = &round.Want{Like: "40", Bins: 12, M3: 1, Parts: []round.Part{{Pile: "leaves", M3: 0.4}, {Pile: "manure", M3: 0.4}, {Pile: "chips", M3: 0.2}}}
	l := p.Write(m)
	l.Speak(round.Words{Units: qty.Metric})
	if len(l.Lines) != 1 || l.Lines[0].Say != "Mix 1 m3 of feed like mix 40" ||
		l.Lines[0].Reason != "Nothing mixed is left, and 12 bins are due for feed. That is 400 L of leaves, 400 L of manure and 200 L of chips." {
		t.Errorf("%q %q", l.Lines[0].Say, l.Lines[0].Reason)
	}
	m.Want.Bins = 1
	l = p.Write(m)
	l.Speak(round.Words{})
	if !strings.HasPrefix(l.Lines[0].Reason, "Nothing mixed is left, and one bin is due for feed.") {
		t.Errorf("%q", l.Lines[0].Reason)
	}
}

// A line says what is true of most of its bins, with odds from the lowest to the
// highest among them.
func TestALineSpeaksForMostOfItsBins(t *testing.T) {
	p := limits(t)
	var items []round.Item
	for s := 1; s <= 3; s++ {
		it := fed(s, 1, 5)
		it.Why = []round.Phrase{phrase("why.left.none")}
		it.Sureness = []round.Phrase{phrase("sure.eaten", arg("day", 0), round.Arg{Of: "chance", V: float64(s+5) / 10, N: 16})}
		items = append(items, it)
	}
	items[1].Why = []round.Phrase{phrase("why.left.half")}
	l := p.Write(made(items...))
	l.Speak(round.Words{Zone: time.UTC})
	if n := l.Lines[0]; n.Reason != "The last feed is nearly gone." || n.Sure != "Eaten by Thursday, or nearly: 6 in 10 to 8 in 10." {
		t.Errorf("%q %q", n.Reason, n.Sure)
	}
}

// Chances are said in tenths, never finer than the members they rest on.
func TestChancesInWords(t *testing.T) {
	for _, x := range []struct {
		f    float64
		n    int
		want string
	}{{0, 16, "Ripe now: in none of 16 tries."}, {1, 16, "Ripe now: in all 16 tries."}, {0.04, 16, "Ripe now: 1 in 10."}, {0.5, 16, "Ripe now: 5 in 10."}, {0.96, 32, "Ripe now: 9 in 10."}} {
		if got := (round.Words{}).Text(phrase("sure.ripe", round.Arg{Of: "chance", V: x.f, N: x.n})); got != x.want {
			t.Errorf("%g of %d: %q, want %q", x.f, x.n, got, x.want)
		}
	}
}

// Odds of several bins are said from the lowest to the highest.
func TestOddsOfSeveralBins(t *testing.T) {
	for _, x := range []struct {
		low, high float64
		want      string
	}{{0.4, 0.6, "4 in 10 to 6 in 10"}, {0.7, 1, "7 in 10 or more"}, {0, 0.2, "2 in 10 or less"}, {0, 1, "from never to always"}, {1, 1, "in all 16 tries"}} {
		got := (round.Words{}).Text(phrase("sure.ripe", round.Arg{Of: "chance", V: x.low, High: x.high, N: 16}))
		if got != "Ripe now: "+x.want+"." {
			t.Errorf("%g to %g: %q", x.low, x.high, got)
		}
	}
}

var slot = regexp.MustCompile(`\{\d\}`)

// Every sentence reads in both systems of units, with all its slots filled, ends
// as a sentence does, and has no word of the trade of modelling in it.
func TestEverySentence(t *testing.T) {
	english := round.English()
	for _, full := range slices.Sorted(maps.Keys(english)) {
		key, found := strings.CutPrefix(full, "round.")
		if !found {
			t.Errorf("a catalogue would not find %s", full)
		}
		kinds := map[string][]round.Arg{
			"feed": {arg("depth", 2*in), words("41"), arg("water", 7.57)}, "feed_cover": {arg("depth", in), words("41")},
			"water": {arg("water", 3.785)}, "water_cover": {arg("water", 3.785)}, "why.more": {arg("depth", in), words("6 in 10")},
		}
		args := kinds[strings.TrimSuffix(key, "_water")]
		if args == nil {
			args = []round.Arg{words("this"), words("that"), words("those"), words("these"), words("more"), words("less")}
		}
		for _, u := range []qty.System{qty.US, qty.Metric} {
			got := round.Words{Units: u}.Text(round.Phrase{Key: key, Args: args})
			if slot.MatchString(got) {
				t.Errorf("%s: %q has an empty slot", key, got)
			}
			if strings.HasPrefix(key, "why.") || strings.HasPrefix(key, "sure.") || strings.HasPrefix(key, "care.") {
				if !strings.HasSuffix(got, ".") && !strings.HasSuffix(got, "?") || got[:1] != strings.ToUpper(got[:1]) {
					t.Errorf("%s is no sentence: %q", key, got)
				}
			}
			for _, word := range []string{"!", "member", "twin", "ensemble", "run ", "simulat", "invalid"} {
				if key != "note.tries" && strings.Contains(strings.ToLower(got), word) {
					t.Errorf("%s says %q: %q", key, word, got)
				}
			}
		}
	}
}

// A second language has its own words, its own order, and may lack a sentence.
func TestAnotherCatalogue(t *testing.T) {
	w := round.Words{Units: qty.Metric, Catalogue: func(key string) string {
		return map[string]string{"round.feed": "aus {1} {0} geben", "round.line.named": "{1}: {0}"}[key]
	}}
	p := limits(t)
	l := p.Write(made(fed(1, 2, 5)))
	l.Speak(w)
	if l.Lines[0].Say != "3-1 low: aus 41 5 cm geben" {
		t.Errorf("%q", l.Lines[0].Say)
	}
	if got := w.Text(phrase("why.finish")); got != round.English()["round.why.finish"] {
		t.Errorf("%q", got)
	}
}
