package twin

import (
	"math"
	"math/rand/v2"
	"testing"

	"wormyard/bed"
	"wormyard/worm"
)

// bereft is a made-up bin of which the worms of some members are gone.
func bereft(seed uint64, gone int) (*Crew, *Ensemble, bed.Box) {
	c, e, box := somewhere(rand.New(rand.NewPCG(seed, 11)))
	c.seed = seed
	c.P.WormsGone, c.P.GoneShare, c.P.WormsSD, c.P.AgainHours, c.P.SaidDays = 0.5, 0.1, 0.5, 20, 28
	c.P.Remarks, c.P.RemarkLook, c.P.RemarkFeed, c.P.RemarkWater = 0.9, 0.7, 0.4, 0.2
	for m := range e.Members {
		e.Members[m].Patience = c.patience(e.Bin, m, 0)
		if m < gone {
			e.Members[m].State.Worms = worm.Stock{}
		}
	}
	return c, e, box
}

// dead counts the members without worms.
func dead(e *Ensemble) (n int) {
	for m := range e.Members {
		if e.Members[m].State.Worms.LiveKg() == 0 {
			n++
		}
	}
	return n
}

// By Bayes' rule, on paper: of a bed whose worms are gone with the chance d, after n
// visits without a word of it, gone = d s/(1 - d + d s) with s = (1 - a) + a (1 - q)^n,
// a of people who would ever write it, q of them at each visit. The share of members,
// over many bins, is that within a few points.
func TestSilenceIsBayes(t *testing.T) {
	const bins = 200
	for _, x := range []struct {
		gone, visits int
		of           Visiting
		q            float64
	}{{4, 1, Fed, 0.4}, {8, 1, LookedIn, 0.7}, {8, 3, Fed, 0.4}, {16, 2, Watered, 0.2}, {16, 12, LookedIn, 0.7}, {28, 3, Fed, 0.4}, {16, 40, Fed, 0.4}} {
		sum := 0.0
		for seed := range uint64(bins) {
			c, e, box := bereft(seed+1, x.gone)
			for range x.visits {
				e.Hour += 168
				c.unremarked(e, box, x.of)
			}
			sum += float64(dead(e)) / Members / bins
		}
		d := float64(x.gone) / Members
		s := 0.1 + 0.9*math.Pow(1-x.q, float64(x.visits))
		if want := d * s / (1 - d + d*s); math.Abs(sum-want) > 0.03 {
			t.Errorf("of %d members without worms, after %d times %s and not a word, %.3f, by Bayes' rule %.3f", x.gone, x.visits, x.of, sum, want)
		}
	}
}

// Worms that truly died are not talked back to life by people who never write:
// where all members say so nothing moves, and where nearly all do most stay.
func TestDeadBedsStayDead(t *testing.T) {
	still := 0
	for seed := range uint64(50) {
		c, e, box := bereft(seed+1, Members)
		before := e.AppendBinary(nil)
		for range 30 {
			c.unremarked(e, box, Fed)
		}
		if dead(e) != Members || len(before) != len(e.AppendBinary(nil)) {
			t.Fatalf("of a bed that no member holds worms of, %d hold none after it was fed thirty times", dead(e))
		}
		c, e, box = bereft(seed+1, Members-1)
		for range 4 {
			e.Hour += 168
			c.unremarked(e, box, Fed)
		}
		still += dead(e)
	}
	if share := float64(still) / 50 / Members; share < 0.8 {
		t.Errorf("one member of %d held worms, and after four feedings %.0f %% hold none", Members, 100*share)
	}
}

// What a copy holds more or less is booked to the last gram, its numbers of nature
// stay its own, and members with worms are left as they are.
func TestACopyIsBooked(t *testing.T) {
	c, e, box := bereft(3, 10)
	before := e.Clone()
	for range 6 {
		c.unremarked(e, box, LookedIn)
	}
	if n := dead(e); n >= 6 {
		t.Fatalf("%d of 10 members without worms stayed through six looks", n)
	}
	for m := range e.Members {
		b, old := &e.Members[m], &before.Members[m]
		if b.Draw != m || b.State.DrainedKg != old.State.DrainedKg {
			t.Errorf("member %d has the numbers of %d", m, b.Draw)
		}
		r := c.epochs[0].runner(m)
		moved := r.Contents(box, &b.State).Less(r.Contents(box, &old.State)).Less(b.Moved)
		for _, x := range []float64{moved.Dry, moved.Water, moved.Carbon, moved.Nitrogen, moved.Heat / 1e6} {
			if !(math.Abs(x) < 1e-9) {
				t.Errorf("member %d: %+v is not booked", m, moved)
			}
		}
		if m >= 10 && (b.Moved != bed.Contents{} || b.State.Worms.AdultKg != old.State.Worms.AdultKg) {
			t.Errorf("member %d had worms and was changed", m)
		}
	}
	e.Members[0].State.Layers[0].Water++ // copies share nothing
	for m := 1; m < Members; m++ {
		if e.Members[m].State.Layers[0].Water == e.Members[0].State.Layers[0].Water {
			t.Errorf("members 0 and %d share their layers", m)
		}
	}
}

// A bed that was given few worms is not one whose worms are gone.
func TestFewWormsAreNotGone(t *testing.T) {
	c, e, box := bereft(5, 0)
	for m := range e.Members {
		e.Members[m].State.Worms = worm.Stock{AdultKg: 0.3 * math.Exp(0.05*float64(m%7)), Adults: 1000}
	}
	before := e.Clone()
	for range 40 {
		c.unremarked(e, box, LookedIn)
	}
	for m := range e.Members {
		if e.Members[m].State.Worms.AdultKg != before.Members[m].State.Worms.AdultKg {
			t.Errorf("member %d held %.2f kg as it was given and was changed", m, before.Members[m].State.Worms.AdultKg)
		}
	}
}

// Of one visit what shows most counts, and once; what people have said of few worms
// or none they do not say again, until some were found or put in.
func TestWhichVisitsTell(t *testing.T) {
	p := Parameters{AgainHours: 20, SaidDays: 28, WormsGone: 0.5, RemarkLook: 0.7, RemarkFeed: 0.4, RemarkWater: 0.2}
	at := func(days ...int64) (out []Visit) {
		for _, d := range days {
			out = append(out, Visit{Hour: d * 24, For: Fed})
		}
		return out
	}
	for _, x := range []struct {
		what string
		h    History
		days []int64
	}{
		{"a watering with its feeding", History{Visits: []Visit{{Hour: 24, For: Watered}, {Hour: 25, For: Fed}, {Hour: 72, For: Watered}}}, []int64{1, 3}},
		{"few were seen, for four weeks", History{Visits: at(1, 8, 15, 22, 29, 36, 43), Looks: []Look{{Hour: 8 * 24, Worms: "few"}}}, []int64{1, 36, 43}},
		{"and then the usual", History{Visits: at(1, 8, 15, 22), Looks: []Look{{Hour: 2 * 24, Worms: "few"}, {Hour: 14 * 24, Worms: "usual"}}}, []int64{1, 15, 22}},
		{"a count of none, then worms were put in", History{Visits: at(1, 8, 15, 22), Counts: []Count{{Hour: 5 * 24, Below: 30}}, Acts: []bed.Act{{Hour: 15 * 24, Kind: bed.Stock}}}, []int64{1, 15, 22}},
		{"worms were taken out, and months later seen again", History{Visits: at(1, 8, 50, 90), Looks: []Look{{Hour: 80 * 24, Worms: "usual"}}, Acts: []bed.Act{{Hour: 5 * 24, Kind: bed.Out}}}, []int64{1, 90}},
		{"a look at the feed alone", History{Visits: at(1, 8), Looks: []Look{{Hour: 7 * 24, FeedLeft: "gone"}}}, []int64{1, 8}},
	} {
		var got []int64
		for _, f := range p.silences(&x.h) {
			got = append(got, f.Hour/24)
			if f.Kind != Unremarked || f.Hour/24 == 1 && f.Word != string(Fed) {
				t.Errorf("%s: %+v", x.what, f)
			}
		}
		if len(got) != len(x.days) {
			t.Errorf("%s: days %v tell, not %v", x.what, got, x.days)
			continue
		}
		for i := range got {
			if got[i] != x.days[i] {
				t.Errorf("%s: days %v tell, not %v", x.what, got, x.days)
			}
		}
	}
}

// Of members whose bed is hot to the hand as many stay as Bayes' rule leaves after
// visits without a word of heat, and members at 34 C are hardly touched.
func TestSilenceOfHeat(t *testing.T) {
	const bins, hot, visits = 200, 16, 2
	for _, x := range []struct{ at, felt float64 }{{34, 0.0228}, {40, 0.5}, {46, 0.977}} {
		sum := 0.0
		for seed := range uint64(bins) {
			c, e, box := bereft(seed+1, 0)
			c.P.HandC, c.P.HandSD, c.P.UsualStab = 40, 3, 0.1
			for m := range e.Members {
				for i := range e.Members[m].State.Layers {
					e.Members[m].State.Layers[i].TempC = 20
					if m < hot {
						e.Members[m].State.Layers[i].TempC = x.at
					}
				}
			}
			for range visits {
				e.Hour += 168
				c.unfelt(e, box, LookedIn)
			}
			for m := range e.Members {
				if TempAt(&e.Members[m].State, 0.1) > 30 {
					sum += 1.0 / Members / bins
				}
			}
		}
		s := 0.1 + 0.9*math.Pow(1-0.7*x.felt, visits)
		if want := s / (1 + s); math.Abs(sum-want) > 0.03 {
			t.Errorf("of members half of which hold a bed to be at %.0f C, after %d looks without a word %.3f do, by Bayes' rule %.3f", x.at, visits, sum, want)
		}
	}
}

// A thermometer tells of heat by itself, and who has read a heat knows of it.
func TestSilenceOfHeatBesideAThermometer(t *testing.T) {
	p := Parameters{AgainHours: 20, SaidDays: 28, HandC: 40, HandSD: 3}
	at := func(hour int64, c float64) []Reading { return []Reading{{Hour: hour, TempC: c, DepthM: 0.1}} }
	for _, x := range []struct {
		read  []Reading
		tells bool
	}{{nil, true}, {at(995, 22), false}, {at(900, 22), true}, {at(900, 41), false}, {at(200, 41), true}, {at(1030, 41), true}, {at(900, math.NaN()), true}} {
		h := History{Visits: []Visit{{Hour: 1000, For: Fed}}, Readings: x.read}
		n := 0
		for _, f := range p.silences(&h) {
			if f.Kind == Unfelt {
				n++
			}
		}
		if x.tells != (n == 1) {
			t.Errorf("with %+v a feeding at hour 1000 without a word of heat is taken in %d times", x.read, n)
		}
	}
}
