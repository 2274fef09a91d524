// Package trouble finds what is amiss in a bin: it ranks causes by the signs
// that were seen and by what is known of the bed, says which look would part
// them best, and names what to do and what to leave.
//
// It is Bayes' rule with stated numbers. A Look is a question about a bin (what
// does it smell of, how wet is it) with a usual answer and some that tell; how
// much more often an answer comes under a cause than in a bin with some other
// trouble is a ratio with a low and a high end and a source. Messages carry
// answers: seen by a person, read from a probe, computed by the twin or known
// from the journal, each trusted so far and no further; so nothing is ever
// certain.
//
// What it assumes: one main cause at a time, looks that are independent given
// the cause, sources whose slips are independent. What it leaves out: two
// causes at once, how bad it is, what became of earlier remedies. Equations:
// docs/model.md, section D.
package trouble

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Range is a number with the ends of its central 90 %.
type Range struct{ Low, Best, High float64 }

// Cause is one thing that may be the matter.
type Cause struct {
	Key     string
	Prior   Range    // share of the sightings it is behind, before anything is known
	Do      []Remedy // in the order in which to do it
	Not     []string // what makes it worse, by key
	Care    []string // cautions for people, by key
	AskDays float64  // after how many the round asks whether the remedy helped [day]
	Ref     string   // where signs and remedies are told
	How     string   // found, memory, assumed
	Note    string
}

// Remedy is one thing to do, and the kind of entry that writes it down.
type Remedy struct {
	Key       string
	Kind      string  // "water", "cover", "turn", "look", ...; empty when nothing is written
	AfterDays float64 // how long it waits [day]
}

// Else is the cause that stands for all that is not on the list; every ratio
// is against it.
const Else = "else"

// Look is one question about a bin.
type Look struct {
	Key     string
	Order   int    // of the diagnosis: smell, temperature, moisture, salts and ammonia, then pests
	Usual   string // the answer of a bin in which something else is the matter, mostly
	Needs   string // a tool by key, empty for hand, eye and nose
	Minutes float64
	Asked   bool // a person can look; else only the journal knows
	Answers []Answer
}

// Answer is one that tells something.
type Answer struct {
	Is     string
	Sign   string   // as it is ticked when a sighting is written down, empty when it is not
	Words  []string // what people call it, in small letters; beginnings of words too
	Base   float64  // share of it among bins where something else is the matter
	Speaks []Ratio  // causes under which it comes more or less often; all others as often
}

// Ratio says how many times as often an answer comes under a cause.
type Ratio struct {
	Cause    string
	Of       Range
	Ref, How string
}

// Signed gives what a ticked sign says.
func (b *Book) Signed(sign string) (Message, bool) {
	for _, l := range b.looks {
		for _, a := range l.Answers {
			if a.Sign == sign && sign != "" {
				return Says(l.Key, a.Is, Seen), true
			}
		}
	}
	return Message{}, false
}

// Read gives what a few words say, such as "red mites on the lid, sour": of each
// look the answer with the longest word that stands in them.
func (b *Book) Read(text string) []Message {
	text = " " + strings.ToLower(text)
	var out []Message
	for _, l := range b.looks {
		is, long := "", 0
		for _, a := range l.Answers {
			for _, w := range a.Words {
				if len(w) > long && strings.Contains(text, " "+w) {
					is, long = a.Is, len(w)
				}
			}
		}
		if long > 0 {
			out = append(out, Says(l.Key, is, Seen))
		}
	}
	return out
}

// Source is who tells an answer.
type Source string

// The sources, in the order of their trust as the data has it.
const (
	Seen    Source = "seen"    // in the sighting, or just now
	Hand    Source = "look"    // a look of the last days
	Probe   Source = "reading" // an instrument
	Journal Source = "journal" // what was done
	Twin    Source = "twin"    // computed
)

// Trust says how far each source is believed: the chance that it tells the
// state of the bin at all. Values are data.
type Trust struct {
	Seen    float64 `param:"trust_seen" unit:"-"`
	Hand    float64 `param:"trust_look" unit:"-"`
	Probe   float64 `param:"trust_reading" unit:"-"`
	Journal float64 `param:"trust_journal" unit:"-"`
	Twin    float64 `param:"trust_twin" unit:"-"`
}

// Limits part the answers of looks that are numbers. Values are data.
type Limits struct {
	ColdC     float64 `param:"cold_c" unit:"C"`          // of the warmest place: they hardly eat
	HotC      float64 `param:"hot_c" unit:"C"`           // of the warmest place: they leave
	Dry       float64 `param:"dry_frac_wet" unit:"-"`    // in the middle of the bed
	Wet       float64 `param:"wet_frac_wet" unit:"-"`    // the same
	Air       float64 `param:"air_frac" unit:"-"`        // least oxygen of any layer
	Acid      float64 `param:"acid_ph" unit:"-"`         //
	Alkaline  float64 `param:"alkaline_ph" unit:"-"`     //
	Ammonia   float64 `param:"ammonia_ppm" unit:"ppm"`   // in the air of the bed
	Salts     float64 `param:"salts_ds_m" unit:"dS/m"`   //
	Left      float64 `param:"left_frac" unit:"-"`       // of the last feeding: most of it
	FedDays   float64 `param:"fed_now_days" unit:"day"`  // a feeding as new as that is just now
	LongDays  float64 `param:"fed_long_days" unit:"day"` // one as old as that long ago
	NewDays   float64 `param:"stocked_days" unit:"day"`  // worms as new as that wander
	LookDays  float64 `param:"look_days" unit:"day"`     // looks as old as that still count
	ProbeDays float64 `param:"reading_days" unit:"day"`  // readings
	TwinDays  float64 `param:"outlook_days" unit:"day"`  // what the twin computed
	StepMin   float64 `param:"step_minutes" unit:"min"`  // of a remedy, at one bin
}

// Between gives a message about a quantity: how much of it lies under one limit
// and over another. An empty name leaves that side out.
func Between(look string, from Source, r Range, under float64, low string, over float64, high string) Message {
	m := Message{Look: look, From: from, Share: map[string]float64{}}
	if low != "" {
		m.Share[low] = Below(under, r)
	}
	if high != "" {
		m.Share[high] = 1 - Below(over, r)
	}
	return m
}

// Days gives a message about how long ago something was: up to one limit, and
// beyond another where there is one.
func Days(look string, days, upTo float64, young string, beyond float64, old string) Message {
	switch {
	case days <= upTo:
		return Says(look, young, Journal)
	case old != "" && days > beyond:
		return Says(look, old, Journal)
	}
	return Message{Look: look, From: Journal}
}

func (t Trust) of(s Source) (float64, bool) {
	switch s {
	case Seen:
		return t.Seen, true
	case Hand:
		return t.Hand, true
	case Probe:
		return t.Probe, true
	case Journal:
		return t.Journal, true
	case Twin:
		return t.Twin, true
	}
	return 0, false
}

// Message is what one source says of one look: how much of its belief lies on
// each answer. What is missing to one lies on the usual answer.
type Message struct {
	Look   string
	From   Source
	Share  map[string]float64
	Entry  string // of the journal, when it comes from there
	Detail string // as read or computed, ready to print
}

// Says gives a message of a single answer.
func Says(look, answer string, from Source) Message {
	return Message{Look: look, From: from, Share: map[string]float64{answer: 1}}
}

// Book is the causes and looks that are known. It never changes; make one with
// New.
type Book struct {
	causes []Cause
	looks  []Look
	trust  Trust
	chance [][][]float64 // of an answer: by look, cause, answer; the usual answer comes first
	base   [][]float64   // by look, answer
}

// usualLeast is the least share that the usual answer keeps under any cause, so
// that no answer rules a cause out.
const usualLeast = 0.02

// New makes a Book. The error names everything in the data that does not fit.
func New(causes []Cause, looks []Look, trust Trust) (*Book, error) {
	b := &Book{causes: slices.Clone(causes), looks: slices.Clone(looks), trust: trust}
	slices.SortStableFunc(b.looks, func(x, y Look) int { return x.Order - y.Order })
	var wrong []string
	say := func(format string, v ...any) { wrong = append(wrong, fmt.Sprintf(format, v...)) }
	for i, c := range b.causes {
		if !(c.Prior.Low > 0 && c.Prior.Low <= c.Prior.Best && c.Prior.Best <= c.Prior.High && c.Prior.High < 1) {
			say("cause %s: its share %v is no range between 0 and 1", c.Key, c.Prior)
		}
		if b.cause(c.Key) != i {
			say("cause %s stands twice", c.Key)
		}
	}
	if b.cause(Else) < 0 {
		say("the cause %s is missing", Else)
	}
	sum := 0.0
	for _, c := range b.causes {
		sum += c.Prior.Best
	}
	if math.Abs(sum-1) > 1e-9 {
		say("the shares of the causes come to %g, not to 1", sum)
	}
	for _, s := range []Source{Seen, Hand, Probe, Journal, Twin} {
		if t, _ := trust.of(s); !(t > 0 && t < 1) {
			say("the trust in %s is %v, not between 0 and 1", s, t)
		}
	}
	for i, l := range b.looks {
		if b.look(l.Key) != i {
			say("look %s stands twice", l.Key)
		}
		for _, a := range l.Answers {
			if !(a.Base > 0 && a.Base < 1) {
				say("look %s, %s: its share %v is not between 0 and 1", l.Key, a.Is, a.Base)
			}
			for _, r := range a.Speaks {
				if b.cause(r.Cause) < 0 || r.Cause == Else {
					say("look %s, %s: %q is no cause that it may speak for", l.Key, a.Is, r.Cause)
				}
				if !(r.Of.Low > 0 && r.Of.Low <= r.Of.Best && r.Of.Best <= r.Of.High && !math.IsInf(r.Of.High, 1)) {
					say("look %s, %s, %s: %v is no range of ratios", l.Key, a.Is, r.Cause, r.Of)
				}
			}
		}
		for c := range b.causes {
			if usual := b.chances(i, c, best, true)[0]; usual < usualLeast-1e-12 {
				say("look %s: under %s its telling answers come to more than %g", l.Key, b.causes[c].Key, 1-usualLeast)
			}
		}
	}
	if len(wrong) > 0 {
		return nil, fmt.Errorf("trouble: %s", strings.Join(wrong, "; "))
	}
	els := b.cause(Else)
	for i := range b.looks {
		var by [][]float64
		for c := range b.causes {
			by = append(by, b.chances(i, c, best, true))
		}
		b.chance, b.base = append(b.chance, by), append(b.base, by[els])
	}
	return b, nil
}

// Causes gives the causes in the order of the data. Read only.
func (b *Book) Causes() []Cause { return slices.Clip(b.causes) }

// Looks gives the looks in the order of a diagnosis. Read only.
func (b *Book) Looks() []Look { return slices.Clip(b.looks) }

func (b *Book) cause(key string) int {
	return slices.IndexFunc(b.causes, func(c Cause) bool { return c.Key == key })
}

func (b *Book) look(key string) int {
	return slices.IndexFunc(b.looks, func(l Look) bool { return l.Key == key })
}

// Cause gives a cause by its key.
func (b *Book) Cause(key string) (Cause, bool) {
	if i := b.cause(key); i >= 0 {
		return b.causes[i], true
	}
	return Cause{}, false
}

// Named gives a look by its key.
func (b *Book) Named(key string) (Look, bool) {
	if i := b.look(key); i >= 0 {
		return b.looks[i], true
	}
	return Look{}, false
}

// answer gives the place of an answer of a look, 0 for the usual one, -1 for
// none of that name.
func (l Look) answer(is string) int {
	if is == l.Usual {
		return 0
	}
	i := slices.IndexFunc(l.Answers, func(a Answer) bool { return a.Is == is })
	if i < 0 {
		return -1
	}
	return i + 1
}

// Is gives the names of the answers, the usual one first.
func (l Look) Is() []string {
	out := []string{l.Usual}
	for _, a := range l.Answers {
		out = append(out, a.Is)
	}
	return out
}

func low(r Range) float64  { return r.Low }
func best(r Range) float64 { return r.Best }
func high(r Range) float64 { return r.High }

// chances gives how often each answer of a look comes under a cause, the usual
// one first: model.md (D1). Unless it must be exact, telling answers that come
// to more than one at the ends of their ratios are cut in proportion, so that
// the usual answer keeps its least share.
func (b *Book) chances(look, cause int, end func(Range) float64, exact bool) []float64 {
	l, key := b.looks[look], b.causes[cause].Key
	out := make([]float64, len(l.Answers)+1)
	sum := 0.0
	for i, a := range l.Answers {
		out[i+1] = a.Base
		for _, r := range a.Speaks {
			if r.Cause == key {
				out[i+1] = a.Base * end(r.Of)
			}
		}
		sum += out[i+1]
	}
	if most := 1 - usualLeast; sum > most && !exact {
		for i := range l.Answers {
			out[i+1] *= most / sum
		}
		sum = most
	}
	out[0] = 1 - sum
	return out
}
