package feedstock

import (
	"fmt"
	"math"
	"slices"

	"wormyard/chance"
)

// Damage is what the newest leaves of one plant look like, in the words of the
// published scale; "doubtful" and "dead" are ours.
type Damage string

// The words, from nothing to the worst.
const (
	DamageNone     Damage = "none"     // like the controls
	DamageDoubtful Damage = "doubtful" // something, perhaps
	DamageSlight   Damage = "slight"   // new leaves somewhat cupped, they do not lie flat
	DamageModerate Damage = "moderate" // plainly cupped
	DamageSevere   Damage = "severe"   // most leaves cupped, stems twisted, stunted
	DamageDead     Damage = "dead"     // the growing tip is dead
)

// DamageWords lists the words from nothing to the worst; the score of a word is
// its place in the list, a scale of our own.
func DamageWords() []Damage {
	return []Damage{DamageNone, DamageDoubtful, DamageSlight, DamageModerate, DamageSevere, DamageDead}
}

// Pot is one pot of a bioassay with what its plants look like. The pot is the
// unit, not the plant.
type Pot struct {
	Control bool
	Plants  []Damage
}

// score is the mean over the pot's plants.
func (p Pot) score() float64 {
	sum := 0.0
	for _, d := range p.Plants {
		sum += float64(slices.Index(DamageWords(), d))
	}
	return sum / float64(len(p.Plants))
}

// Bioassay is a test in pots: peas or beans in the suspect material thinned with
// clean mix, beside pots of clean mix alone.
type Bioassay struct {
	Subject   string  // "pile hay 3"
	Crop      string  // "pea", "bean", "tomato"
	TestParts float64 // of the suspect material, by volume
	MixParts  float64 // of clean, fertilised potting mix
	Days      float64 // from sowing to scoring [day]
	LeafSets  int     // sets of true leaves when scored
	Saucers   bool    // every pot drains by itself
	Blind     bool    // scored without knowing which is which
	Pots      []Pot
}

// Protocol is one published way of doing it; they disagree on how far to thin.
type Protocol struct {
	TestParts, MixParts float64 // 0 where not readable
	Pots, Controls      string
	Seeds               string
	Weeks               string
	Ref, How, Note      string
}

// BioassayLimits are the choices by which a test in pots or in a bucket is read.
type BioassayLimits struct {
	Hurt         float64 `param:"hurt_score" unit:"-"`         // median of the test pots from here
	Above        float64 `param:"above_control" unit:"-"`      // and so far above the controls
	Normal       float64 `param:"control_normal" unit:"-"`     // a control pot scoring more is not normal
	LeastDays    float64 `param:"least_days" unit:"day"`       //
	LeastSets    float64 `param:"least_leaf_sets" unit:"-"`    //
	LeastTests   float64 `param:"least_test_pots" unit:"-"`    //
	LeastControl float64 `param:"least_control_pots" unit:"-"` //
	Advised      float64 `param:"advised_pots" unit:"-"`       // of each kind
	BucketDays   float64 `param:"bucket_days" unit:"day"`      //
	BucketWorms  float64 `param:"bucket_worms" unit:"-"`       // fewest worms
	BucketDead   float64 `param:"bucket_dead" unit:"kg/kg"`    // part dead that fails
	BucketLeft   float64 `param:"bucket_left" unit:"kg/kg"`    // part fled that fails
	Confidence   float64 `param:"bucket_confidence" unit:"-"`  //
	Chance       float64 `param:"chance_of_nothing" unit:"-"`  // p below which the pots show a difference
}

// Verdict is what a test says and why.
type Verdict struct {
	Outcome Outcome
	Why     []string // sentences
	Test    float64  // median score of the test pots
	Control float64  // median score of the control pots
	P       float64  // chance of as uneven a split of hurt pots if nothing were there (Fisher, two-sided); NaN when not judged
}

// Verdict judges the test, or refuses to: with controls that are not normal, too
// few pots, or scored too early nothing can be said, and the outcome is void.
func (b Bioassay) Verdict(l BioassayLimits) Verdict {
	v := Verdict{Outcome: OutcomeVoid, P: math.NaN()}
	say := func(format string, args ...any) { v.Why = append(v.Why, fmt.Sprintf(format, args...)) }
	var test, control []float64
	for i, p := range b.Pots {
		if len(p.Plants) == 0 {
			say("Pot %d has no plant: nothing came up or nothing was scored.", i+1)
			continue
		}
		if j := slices.IndexFunc(p.Plants, func(d Damage) bool { return !slices.Contains(DamageWords(), d) }); j >= 0 {
			say("%q in pot %d is not a word of the scale. Use none, doubtful, slight, moderate, severe or dead.", p.Plants[j], i+1)
			continue
		}
		if p.Control {
			control = append(control, p.score())
		} else {
			test = append(test, p.score())
		}
	}
	if float64(len(control)) < l.LeastControl {
		say("There are %d control pots with plants; at least %.0f are needed to know what normal looks like.", len(control), l.LeastControl)
	}
	if float64(len(test)) < l.LeastTests {
		say("There are %d test pots with plants; at least %.0f are needed.", len(test), l.LeastTests)
	}
	if b.Days < l.LeastDays && float64(b.LeafSets) < l.LeastSets {
		say("Scored after %.0f days with %d sets of true leaves: wait until %.0f sets or %.0f days.", b.Days, b.LeafSets, l.LeastSets, l.LeastDays)
	}
	for _, c := range control {
		if c > l.Normal {
			say("A control pot is not normal (score %.1f): something else hurts the plants, so nothing can be said. Do it again with fresh mix, own saucers and clean water.", c)
			break
		}
	}
	if len(control) > 0 && len(test) > 0 {
		v.Control, v.Test = middle(control), middle(test)
	}
	if len(v.Why) > 0 {
		return v
	}
	hurt := func(x float64) bool { return x >= l.Hurt }
	a, c := count(test, hurt), count(control, hurt)
	v.P = Fisher(a, len(test), c, len(control))
	switch {
	case v.Test >= l.Hurt && v.Test >= v.Control+l.Above:
		v.Outcome = OutcomeFailed
		say("The test pots are hurt (median %.1f) and the controls are not (%.1f): a spray that acts like a plant hormone is in it.", v.Test, v.Control)
		say("The test cannot tell which spray. Salt and unripe compost can look alike: measure the salt and, if it is high, repeat in a weaker mix.")
		if v.P > l.Chance {
			say("So few pots could come out like this by chance (%.0f in 100); repeat with %.0f and %.0f pots before it costs money.", 100*v.P, l.Advised, l.Advised)
		}
	case a == 0 && v.Test <= l.Normal:
		v.Outcome = OutcomePassed
		say("%d test pots look like the %d controls.", len(test), len(control))
		if b.TestParts > 0 && b.MixParts > 0 && b.TestParts < b.MixParts {
			say("It was thinned to %s: a trace below that is not ruled out.", share(b.TestParts, b.MixParts))
		}
		if float64(min(len(test), len(control))) < l.Advised {
			say("With %.0f pots of each kind the answer would be firmer.", l.Advised)
		}
	default:
		v.Outcome = OutcomeDoubtful
		say("Some damage (median %.1f against %.1f in the controls), not enough to judge: repeat with %.0f pots of each kind.", v.Test, v.Control, l.Advised)
	}
	return v
}

func share(test, mix float64) string { return fmt.Sprintf("%.3g parts in %.3g", test, test+mix) }

func middle(x []float64) float64 {
	s := slices.Sorted(slices.Values(x))
	n := len(s)
	if n%2 == 1 {
		return s[n/2]
	}
	return (s[n/2-1] + s[n/2]) / 2
}

func count(x []float64, f func(float64) bool) (n int) {
	for _, v := range x {
		if f(v) {
			n++
		}
	}
	return n
}

// Fisher gives the two-sided exact chance that a of n and c of m, or a split at
// most as likely, come about when both have the same chance: the sum of the
// hypergeometric probabilities that are no greater than that of the split seen
// (Fisher 1934; two-sided by point probability).
func Fisher(a, n, c, m int) float64 {
	k := a + c
	ways := func(n, k int) float64 { return chance.WaysLog(float64(n), float64(k)) }
	logP := func(x int) float64 { return ways(n, x) + ways(m, k-x) - ways(n+m, k) }
	seen := logP(a)
	sum := 0.0
	for x := max(0, k-m); x <= min(n, k); x++ {
		if p := logP(x); p <= seen+1e-9 {
			sum += math.Exp(p)
		}
	}
	return min(sum, 1)
}

// Bucket is the other test: worms kept in a bucket of the material.
type Bucket struct {
	Worms int     // put in
	Dead  int     // found dead or missing
	Left  int     // found on the lid or outside, or balled at the edge
	Days  float64 // kept [day]
}

// Verdict judges the bucket; too few worms or too short a time is void.
func (b Bucket) Verdict(l BioassayLimits) Verdict {
	v := Verdict{Outcome: OutcomeVoid, P: math.NaN()}
	say := func(format string, args ...any) { v.Why = append(v.Why, fmt.Sprintf(format, args...)) }
	if b.Dead < 0 || b.Left < 0 || b.Dead+b.Left > b.Worms {
		say("%d dead and %d gone do not fit %d worms put in.", b.Dead, b.Left, b.Worms)
	}
	if float64(b.Worms) < l.BucketWorms {
		say("%d worms are too few; put in %.0f or more.", b.Worms, l.BucketWorms)
	}
	if b.Days < l.BucketDays {
		say("After %.3g days it is too early; keep them %.3g days.", b.Days, l.BucketDays)
	}
	if len(v.Why) > 0 {
		return v
	}
	n := float64(b.Worms)
	switch {
	case float64(b.Dead) >= l.BucketDead*n:
		v.Outcome = OutcomeFailed
		say("%d of %d worms died.", b.Dead, b.Worms)
	case float64(b.Left) >= l.BucketLeft*n:
		v.Outcome = OutcomeFailed
		say("%d of %d worms left it.", b.Left, b.Worms)
	case b.Dead > 0:
		v.Outcome = OutcomeDoubtful
		say("%d of %d worms died: keep a second bucket of clean bedding beside it and repeat.", b.Dead, b.Worms)
	default:
		v.Outcome = OutcomePassed
		say("None of %d worms died; up to %.0f in 100 dying could still be hidden by so few.", b.Worms, 100*NoneDeadBound(b.Worms, l.Confidence))
	}
	return v
}

// NoneDeadBound gives the greatest death rate that none of n leaves possible at
// a confidence: 1 - (1-confidence)^(1/n).
func NoneDeadBound(n int, confidence float64) float64 {
	return 1 - math.Pow(1-confidence, 1/float64(n))
}
