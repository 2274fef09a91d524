package round_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"wormyard/round"
)

// diary is a made-up farm for tests only: 12 stacks of two, all fed each Tuesday
// and Friday (days 2 and 5 of a week) up to a day; skip leaves entries out.
func diary(until int64, skip func(stack int, day int64) bool) []round.Fed {
	var out []round.Fed
	for stack := range 12 {
		for level := range 2 {
			f := round.Fed{Bin: fmt.Sprintf("B%d", 2*stack+level+1), Barn: "1", Row: "1", Stack: stack + 1, Level: level + 1, Top: level == 1, Laid: []int64{1}}
			for day := int64(2); day <= until; day++ {
				if (day%7 == 2 || day%7 == 5) && !skip(stack, day) {
					f.Days = append(f.Days, day)
				}
			}
			out = append(out, f)
		}
	}
	return out
}

// lines writes a round of bins that would all be fed, with what is suspected.
func lines(p round.Parameters, bins []round.Fed, suspects map[string]round.Suspect, water float64) (asks, others []round.Line) {
	var items []round.Item
	for _, b := range bins {
		it := round.Item{Bin: b.Bin, Place: b.Bin, Barn: b.Barn, Row: b.Row, Stack: b.Stack, Level: b.Level, Act: round.Feed, DepthM: 0.0254, WaterKg: water, Mix: "41",
			Head: round.Phrase{Key: "feed"}, Urgency: round.Today, Minutes: 2}
		if s, ok := suspects[b.Bin]; ok {
			a := s.Asked
			a.Day, a.Hour = fmt.Sprint(s.Day), s.Day*24
			it.Asked = &a
		}
		items = append(items, it)
	}
	for _, l := range p.Write(round.Made{At: time.Unix(0, 0), Items: items}).Lines {
		if l.Act == round.Ask {
			asks = append(asks, l)
		} else {
			others = append(others, l)
		}
	}
	return asks, others
}

func binsOf(ls []round.Line) (out []string) {
	for _, l := range ls {
		for _, it := range l.Items {
			out = append(out, it.Bin)
		}
	}
	slices.Sort(out)
	return out
}

// One stack was not written down on a day on which all others were, on a farm on
// which nearly all always are.
func TestAStackThatWasForgottenIsAskedAbout(t *testing.T) {
	p := limits(t)
	const today = 143 // the day after a Friday, 142 = 20*7 + 2 being a Tuesday
	forgot := func(stack int, day int64) bool {
		return stack == 4 && day == 142 || (stack+int(day))%9 == 0 && day < 142
	}
	bins := diary(142, forgot)
	s := p.Suspects(bins, today)
	asks, others := lines(p, bins, s, 0)
	if len(asks) != 1 || !slices.Equal(binsOf(asks), []string{"B10", "B9"}) {
		t.Fatalf("%v of %+v", binsOf(asks), s)
	}
	if a := asks[0].Items[0]; a.Asked.Gap != 4 || a.Asked.Others != 22 || asks[0].Head.Key != "ask" {
		t.Errorf("%+v", a.Asked)
	}
	for _, x := range binsOf(others) {
		if x == "B9" || x == "B10" {
			t.Errorf("%s is asked about and advised on", x)
		}
	}
	if got := len(binsOf(others)); got != 22 {
		t.Errorf("%d other bins are fed, wanted 22", got)
	}
	// Water that was advised with the feed stays.
	if _, others := lines(p, bins, s, 4); !slices.ContainsFunc(others, func(l round.Line) bool {
		return l.Act == round.Water && slices.Equal(binsOf([]round.Line{l}), []string{"B10", "B9"})
	}) {
		t.Error("the water went with the feed")
	}
	// An answer is kept.
	for i := range bins {
		if bins[i].Bin == "B9" {
			bins[i].Answered = []int64{142}
		}
	}
	if asks, _ := lines(p, bins, p.Suspects(bins, today), 0); len(asks) != 0 {
		t.Errorf("asked again: %v", binsOf(asks))
	}
	// Nobody is asked about what lies long back.
	old := diary(142, forgot)
	if s := p.Suspects(old, 142+int64(p.AskDays)+1); len(s) != 0 {
		t.Errorf("%+v", s)
	}
}

// On a farm that feeds a stack now and then nothing is suspected of one day.
func TestAStackThatIsFedNowAndThenIsNotAskedAbout(t *testing.T) {
	p := limits(t)
	bins := diary(142, func(stack int, day int64) bool { return (stack*7+int(day)*13)%5 > 1 })
	if asks, _ := lines(p, bins, p.Suspects(bins, 143), 0); len(asks) != 0 {
		t.Errorf("%v", binsOf(asks))
	}
}

// What was seen since moves a question either way, by Bayes' rule on two branches:
// odds 1 with share 1 and a ratio of 3 are 3 to 1.
func TestWhatWasSeenMovesAQuestion(t *testing.T) {
	p := limits(t)
	for _, x := range []struct{ prior, ratio, chance float64 }{{0.5, 3, 0.75}, {0.9, 1.0 / 9, 0}, {0.5, 1, 0}} {
		it := round.Item{Bin: "B1", Place: "B1", Row: "1", Stack: 1, Act: round.Rest, Asked: &round.Asked{Day: "d", Prior: x.prior, Share: 1, Ratio: x.ratio}}
		var got float64
		for _, l := range p.Write(round.Made{At: time.Unix(0, 0), Items: []round.Item{it}}).Lines {
			got = l.Items[0].Sureness[0].Args[0].V
		}
		if diff := got - x.chance; diff > 1e-9 || diff < -1e-9 {
			t.Errorf("prior %v, ratio %v: %v, wanted %v", x.prior, x.ratio, got, x.chance)
		}
	}
}
