package trouble_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wormyard/internal/source"
	. "wormyard/trouble"
)

func book(t testing.TB) *Book {
	t.Helper()
	b, err := source.Trouble()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func weigh(t testing.TB, b *Book, list ...Message) Finding {
	t.Helper()
	f, err := b.Weigh(list)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func chanceOf(f Finding, cause string) float64 {
	for _, c := range f.Causes {
		if c.Cause.Key == cause {
			return c.Chance.Best
		}
	}
	return math.NaN()
}

// small is a book of two causes that can be worked out by hand.
func small(t testing.TB, trust float64) *Book {
	p := func(v float64) Range { return Range{Low: v, Best: v, High: v} }
	b, err := New([]Cause{{Key: "wet", Prior: Range{Low: .25, Best: .5, High: .75}}, {Key: Else, Prior: p(.5)}},
		[]Look{{Key: "smell", Usual: "earth", Asked: true, Answers: []Answer{{Is: "sour", Base: .1, Speaks: []Ratio{{Cause: "wet", Of: Range{Low: 2.5, Best: 5, High: 9}}}}}},
			{Key: "squeeze", Usual: "drops", Asked: true, Answers: []Answer{{Is: "runs", Base: .2, Speaks: []Ratio{{Cause: "wet", Of: p(4)}}}}}},
		Trust{trust, trust, trust, trust, trust})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func near(t testing.TB, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12 {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// Worked out by hand: sour comes in 0.5 under wet and in 0.1 else. Trusted 0.8
// it counts 0.8·5 + 0.2 = 4.2 times; earth 0.8·0.5/0.9 + 0.2 = 0.6444 times.
func TestByHand(t *testing.T) {
	b := small(t, 0.8)
	near(t, "nothing told", chanceOf(weigh(t, b), "wet"), 0.5)
	near(t, "sour", chanceOf(weigh(t, b, Says("smell", "sour", Seen)), "wet"), 4.2/5.2)
	earth := 0.8*0.5/0.9 + 0.2
	near(t, "earth", chanceOf(weigh(t, b, Says("smell", "earth", Seen)), "wet"), earth/(1+earth))
	runs := 0.8*4 + 0.2
	near(t, "sour and runs", chanceOf(weigh(t, b, Says("smell", "sour", Seen), Says("squeeze", "runs", Hand)), "wet"), 4.2*runs/(1+4.2*runs))
	// Half sour, half earth: half of each factor, as D2 is a sum.
	half := weigh(t, b, Message{Look: "smell", From: Twin, Share: map[string]float64{"sour": .5}})
	odds := 0.5*4.2 + 0.5*earth
	near(t, "half", chanceOf(half, "wet"), odds/(1+odds))
	// Two sources that say sour: Σ P(a|c) m² with m = 0.8/0.1 + 0.2 = 8.2 for sour
	// and 0.2 for earth.
	wet, els := 0.5*8.2*8.2+0.5*0.2*0.2, 0.1*8.2*8.2+0.9*0.2*0.2
	near(t, "twice", chanceOf(weigh(t, b, Says("smell", "sour", Seen), Says("smell", "sour", Probe)), "wet"), wet/(wet+els))
	// What is believed as often as it comes anyhow says nothing.
	near(t, "as ever", chanceOf(weigh(t, b, Message{Look: "smell", From: Twin, Share: map[string]float64{"sour": .1}}), "wet"), 0.5)
}

// The gain of a look with full trust is the information between cause and
// answer: with sour in 0.5 and 0.1 it is H(0.3) − (H(0.5) + H(0.1)) / 2 bit.
func TestGainByHand(t *testing.T) {
	h := func(p float64) float64 { return -p*math.Log2(p) - (1-p)*math.Log2(1-p) }
	f := weigh(t, small(t, 1-1e-13))
	want := map[string]float64{"smell": h(.3) - (h(.5)+h(.1))/2, "squeeze": h(.5) - (h(.8)+h(.2))/2}
	for _, n := range f.Next {
		if math.Abs(n.Gain-want[n.Look.Key]) > 1e-9 {
			t.Errorf("%s: %.9f bit, want %.9f", n.Look.Key, n.Gain, want[n.Look.Key])
		}
	}
	if f.Next[0].Look.Key != "squeeze" || len(f.Next) != 2 {
		t.Errorf("the first look is %s of %d", f.Next[0].Look.Key, len(f.Next))
	}
	if g := weigh(t, small(t, 0.5)).Next[0].Gain; g >= want["squeeze"] {
		t.Errorf("with half the trust it tells as much, %.3f bit", g)
	}
}

// The range: the share alone has s = ln(3)/(2·1.645), so that its odds at the
// ends are √3 apart from the middle ones.
func TestRangeByHand(t *testing.T) {
	c := weigh(t, small(t, 0.8)).Causes[0]
	k := math.Sqrt(3)
	near(t, "low", c.Chance.Low, 1/(1+k))
	near(t, "high", c.Chance.High, k/(1+k))
}

// Cases told in print: signs on the left of the table of problems, and the cause
// that it gives. Where two causes are told, either may come first.
func TestAsToldInPrint(t *testing.T) {
	b := book(t)
	say := func(pairs ...string) (out []Message) {
		for i := 0; i < len(pairs); i += 2 {
			out = append(out, Says(pairs[i], pairs[i+1], Seen))
		}
		return out
	}
	for _, c := range []struct {
		what  string
		signs []Message
		cause []string // the first of them comes first, or any when "or" is meant
	}{
		{"mites massed, worms deep, wet", say("mites", "pale mites", "where", "deep", "wetness", "wet"), []string{"overfed", "no_air"}},
		{"red mites", say("mites", "red mites"), []string{"overfed"}},
		{"dust of mites near grain feed", say("mites", "mite dust", "top", "meal"), []string{"meal"}},
		{"springtails and white threads in a sour bed", say("crawlers", "pot worms", "smell", "sour"), []string{"overfed", "protein"}},
		{"flies on the lid, feed open", say("flies", "fruit flies", "top", "open"), []string{"open_feed"}},
		{"ants in a dry bed", say("crawlers", "ants", "wetness", "dry"), []string{"dry"}},
		{"missing worms and runs", say("eaters", "hunters", "many", "few"), []string{"hunters"}},
		{"a flat slimy ribbon, worms dissolving", say("eaters", "ribbon", "bodies", "bitten"), []string{"flatworm"}},
		{"worms beaded, sour", say("bodies", "beaded", "smell", "sour"), []string{"protein"}},
		{"over 86 °F in the feed, worms at the edges", say("warmth", "hot", "where", "sides"), []string{"heat"}},
		{"black, smells of eggs, worms on the lid", say("smell", "rotten", "wetness", "wet", "where", "lid"), []string{"no_air"}},
		{"sharp smell, worms flee", say("smell", "ammonia", "where", "lid"), []string{"ammonia"}},
		{"not eaten, worms massed deep, cold", say("warmth", "cold", "where", "deep", "left", "most"), []string{"cold"}},
		{"salts high, worms limp", say("salt", "high", "bodies", "limp"), []string{"salts"}},
		{"new worms on the lid, all else well", append(say("where", "lid", "smell", "earth", "warmth", "middling", "wetness", "moist"), Says("stocked", "days ago", Journal)), []string{"strangers"}},
	} {
		f := weigh(t, b, c.signs...)
		first := f.Causes[0]
		if !slices.Contains(c.cause, first.Cause.Key) {
			t.Errorf("%s: %s comes first (%.2f), %v is told (%.2f)", c.what, first.Cause.Key, first.Chance.Best, c.cause, chanceOf(f, c.cause[0]))
		}
		if first.Chance.Best < 0.25 {
			t.Errorf("%s: only %.2f for %s", c.what, first.Chance.Best, first.Cause.Key)
		}
		t.Logf("%-45s %s %.2f (%.2f to %.2f), then %s %.2f; look next at %s", c.what, first.Cause.Key, first.Chance.Best, first.Chance.Low, first.Chance.High, f.Causes[1].Cause.Key, f.Causes[1].Chance.Best, f.Next[0].Look.Key)
	}
}

// messages draws what may be told.
func messages(b *Book) *rapid.Generator[[]Message] {
	looks := b.Looks()
	return rapid.Custom(func(t *rapid.T) []Message {
		var out []Message
		for range rapid.IntRange(0, 12).Draw(t, "n") {
			l := looks[rapid.IntRange(0, len(looks)-1).Draw(t, "look")]
			is := rapid.SampledFrom(l.Is()).Draw(t, "is")
			from := rapid.SampledFrom([]Source{Seen, Hand, Probe, Journal, Twin}).Draw(t, "from")
			out = append(out, Message{Look: l.Key, From: from, Share: map[string]float64{is: rapid.Float64Range(0, 1).Draw(t, "share")}})
		}
		return out
	})
}

// Chances come to one, none is none or all, ranges hold their middles, nothing
// that can be looked at is expected to confuse, and the order of telling makes
// no difference, to the last digit.
func TestWhateverIsTold(t *testing.T) {
	b := book(t)
	draw := messages(b)
	rapid.Check(t, func(r *rapid.T) {
		list := draw.Draw(r, "told")
		f, err := b.Weigh(list)
		if err != nil {
			r.Fatal(err)
		}
		sum := 0.0
		for _, c := range f.Causes {
			sum += c.Chance.Best
			if !(0 < c.Chance.Low && c.Chance.Low <= c.Chance.Best && c.Chance.Best <= c.Chance.High && c.Chance.High < 1) {
				r.Fatalf("%s has the chance %v", c.Cause.Key, c.Chance)
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			r.Fatalf("the chances come to %v", sum)
		}
		for i, n := range f.Next {
			all := 0.0
			for _, a := range n.Answers {
				all += a.Chance
			}
			if n.Gain < 0 || math.Abs(all-1) > 1e-9 || i > 0 && n.Gain > f.Next[i-1].Gain {
				r.Fatalf("%s: %v bit, answers come to %v", n.Look.Key, n.Gain, all)
			}
		}
		mixed := slices.Clone(list)
		rand.New(rand.NewPCG(uint64(len(list)), 7)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		g, err := b.Weigh(mixed)
		if err != nil {
			r.Fatal(err)
		}
		if !reflect.DeepEqual(f, g) {
			r.Fatal("another order of telling gave another finding")
		}
	})
}

// A sign that speaks most for a cause makes it likelier, the more so the surer
// the sign; and the ten looks of a very plain case leave a doubt.
func TestMoreOfASign(t *testing.T) {
	b := book(t)
	for _, l := range b.Looks() {
		for _, a := range l.Answers {
			top := slices.MaxFunc(a.Speaks, func(x, y Ratio) int { return int(math.Copysign(1, x.Of.Best-y.Of.Best)) })
			before := -1.0
			for _, share := range []float64{a.Base, .2, .4, .6, .8, 1} {
				if share < a.Base {
					continue
				}
				p := chanceOf(weigh(t, b, Message{Look: l.Key, From: Seen, Share: map[string]float64{a.Is: share}}), top.Cause)
				if p <= before {
					t.Errorf("%s, %s: %s has %.4f at %.2f, and had %.4f at less", l.Key, a.Is, top.Cause, p, share, before)
				}
				before = p
			}
		}
	}
	var all []Message
	for _, l := range b.Looks() {
		is, most := l.Usual, 1.0
		for _, a := range l.Answers {
			for _, r := range a.Speaks {
				if r.Cause == "no_air" && r.Of.Best > most {
					is, most = a.Is, r.Of.Best
				}
			}
		}
		for _, from := range []Source{Seen, Hand, Probe, Twin} {
			all = append(all, Says(l.Key, is, from))
		}
	}
	if p := chanceOf(weigh(t, b, all...), "no_air"); p < 0.9 || p >= 1 {
		t.Errorf("every sign of a bed without air gives %v", p)
	}
}

// The look that is offered first parts the two likeliest causes: after each of
// its answers the expected entropy is the least of all looks, found by making
// them.
func TestNextLookByMakingAll(t *testing.T) {
	b := book(t)
	told := []Message{Says("where", "lid", Seen), Says("stocked", "days ago", Journal)}
	f := weigh(t, b, told...)
	entropy := func(f Finding) (h float64) {
		for _, c := range f.Causes {
			h -= c.Chance.Best * math.Log2(c.Chance.Best)
		}
		return h
	}
	before := entropy(f)
	for _, n := range f.Next {
		from := Seen
		if n.Look.Needs != "" {
			from = Probe
		}
		after := 0.0
		for _, a := range n.Answers {
			after += a.Chance * entropy(weigh(t, b, append(slices.Clone(told), Says(n.Look.Key, a.Is, from))...))
		}
		if math.Abs(before-after-n.Gain) > 1e-9 {
			t.Errorf("%s: %.6f bit are expected, making it gives %.6f", n.Look.Key, n.Gain, before-after)
		}
		if n.Look.Key == "where" || !n.Look.Asked {
			t.Errorf("%s is offered", n.Look.Key)
		}
	}
}

func TestBelow(t *testing.T) {
	r := Range{Low: 10, Best: 20, High: 40}
	for limit, want := range map[float64]float64{10: .05, 20: .5, 40: .95} {
		if got := Below(limit, r); math.Abs(got-want) > 1e-9 {
			t.Errorf("under %v: %v, want %v", limit, got, want)
		}
	}
	if Below(5, Range{Low: 6, Best: 6, High: 6}) != 0 || Below(7, Range{Low: 6, Best: 6, High: 6}) != 1 {
		t.Error("a quantity without a range")
	}
}

func TestWhatDoesNotFit(t *testing.T) {
	b := book(t)
	_, err := b.Weigh([]Message{Says("colour", "blue", Seen), Says("smell", "roses", Seen), {Look: "smell", From: "rumour"}, {Look: "smell", From: Twin, Share: map[string]float64{"sour": .7, "rotten": .7}}})
	for _, want := range []string{"colour", "roses", "rumour", "1.400"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v says nothing of %s", err, want)
		}
	}
	if _, err := New(nil, nil, Trust{}); err == nil {
		t.Error("an empty book is taken")
	}
}
