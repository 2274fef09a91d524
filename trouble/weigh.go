package trouble

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Finding is what the messages come to.
type Finding struct {
	Causes []Ranked // the likeliest first
	Next   []Next   // looks that were not made yet, the most telling first
}

// Ranked is a cause with its chance and how it came to it.
type Ranked struct {
	Cause   Cause
	Chance  Range
	Factors []Factor // one a look that was told of, in the order of looks
}

// Factor is what one look says for or against a cause, against something else
// being the matter.
type Factor struct {
	Look  string
	Told  []Message
	Times Range // above 1 speaks for the cause
	Refs  []string
}

// Next is a look that can still be made.
type Next struct {
	Look    Look
	Gain    float64 // expected [bit]
	Answers []Expected
}

// Expected is an answer with its chance and the cause it would put first.
type Expected struct {
	Is     string
	Chance float64
	First  string
	Then   float64 // the chance of that cause then
}

// Weigh ranks the causes by what was told. The order of the messages makes no
// difference. The error names looks, answers and sources that the book lacks.
func (b *Book) Weigh(messages []Message) (Finding, error) {
	told := make([][]Message, len(b.looks))
	var wrong []string
	for _, m := range messages {
		i := b.look(m.Look)
		if i < 0 {
			wrong = append(wrong, fmt.Sprintf("there is no look %q", m.Look))
			continue
		}
		sum := 0.0
		for is, share := range m.Share {
			if b.looks[i].answer(is) < 0 {
				wrong = append(wrong, fmt.Sprintf("the look %s has no answer %q", m.Look, is))
			}
			if !(share >= 0) {
				wrong = append(wrong, fmt.Sprintf("the look %s: a share of %v", m.Look, share))
			}
			sum += share
		}
		if sum > 1+1e-9 {
			wrong = append(wrong, fmt.Sprintf("the look %s: shares of %.3f in all", m.Look, sum))
		}
		if _, ok := b.trust.of(m.From); !ok {
			wrong = append(wrong, fmt.Sprintf("nobody is called %q", m.From))
		}
		told[i] = append(told[i], m)
	}
	if len(wrong) > 0 {
		slices.Sort(wrong)
		return Finding{}, fmt.Errorf("trouble: %s", strings.Join(slices.Compact(wrong), "; "))
	}
	for i := range told {
		slices.SortStableFunc(told[i], b.order(b.looks[i]))
	}
	els := b.cause(Else)
	logs := make([]float64, len(b.causes)) // log of prior and likelihood
	spread := make([]float64, len(b.causes))
	out := Finding{Causes: make([]Ranked, len(b.causes))}
	for c, cause := range b.causes {
		out.Causes[c].Cause = cause
		logs[c] = math.Log(cause.Prior.Best)
		spread[c] = square(math.Log(cause.Prior.High/cause.Prior.Low) / (2 * z90))
	}
	for i, list := range told {
		if len(list) == 0 {
			continue
		}
		against := b.likelihood(i, b.chance[i][els], list)
		for c := range b.causes {
			times := Range{Best: b.likelihood(i, b.chance[i][c], list) / against}
			x, y := b.likelihood(i, b.chances(i, c, low, false), list)/against, b.likelihood(i, b.chances(i, c, high, false), list)/against
			times.Low, times.High = min(x, y, times.Best), max(x, y, times.Best)
			logs[c] += math.Log(times.Best)
			spread[c] += square(math.Log(times.High/times.Low) / (2 * z90))
			out.Causes[c].Factors = append(out.Causes[c].Factors, Factor{Look: b.looks[i].Key, Told: list, Times: times, Refs: b.refs(i, c, list)})
		}
	}
	chance := normal(logs)
	for c := range out.Causes {
		out.Causes[c].Chance = around(chance[c], math.Sqrt(spread[c]))
	}
	out.Next = b.next(chance, told)
	slices.SortStableFunc(out.Causes, func(x, y Ranked) int { return cmp.Compare(y.Chance.Best, x.Chance.Best) })
	return out, nil
}

// z90 is the quantile of the normal distribution at 0.95: ends of a central 90 %.
const z90 = 1.6448536269514722

func square(v float64) float64 { return v * v }

// order sorts the messages of a look, so that sums are made in one order.
func (b *Book) order(l Look) func(x, y Message) int {
	return func(x, y Message) int {
		if c := cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.Entry, y.Entry), cmp.Compare(x.Detail, y.Detail)); c != 0 {
			return c
		}
		for _, is := range l.Is() {
			if c := cmp.Compare(x.Share[is], y.Share[is]); c != 0 {
				return c
			}
		}
		return 0
	}
}

// likelihood gives how well the messages about a look fit a cause under which
// its answers come with the chances given: model.md (D2).
func (b *Book) likelihood(look int, chances []float64, list []Message) float64 {
	sum := 0.0
	for _, v := range b.weights(look, chances, list) {
		sum += v
	}
	return sum
}

// weights gives the terms of that sum, one an answer.
func (b *Book) weights(look int, chances []float64, list []Message) []float64 {
	out := slices.Clone(chances)
	for _, m := range list {
		trust, _ := b.trust.of(m.From)
		for a, share := range b.shares(look, m) {
			out[a] *= trust*share/b.base[look][a] + 1 - trust
		}
	}
	return out
}

// shares gives the belief of a message on each answer, the usual one first.
func (b *Book) shares(look int, m Message) []float64 {
	l := b.looks[look]
	out := make([]float64, len(l.Answers)+1)
	rest := 1.0
	for i, a := range l.Answers {
		out[i+1] = m.Share[a.Is]
		rest -= out[i+1]
	}
	out[0] = max(rest, 0)
	return out
}

// refs names where the ratios behind a factor are told.
func (b *Book) refs(look, cause int, list []Message) []string {
	var out []string
	for _, a := range b.looks[look].Answers {
		for _, r := range a.Speaks {
			if r.Cause != b.causes[cause].Key || r.Ref == "" || slices.Contains(out, r.Ref) {
				continue
			}
			if slices.ContainsFunc(list, func(m Message) bool { return m.Share[a.Is] > 0 }) {
				out = append(out, r.Ref)
			}
		}
	}
	return out
}

// normal gives chances from their logarithms: model.md (D3).
func normal(logs []float64) []float64 {
	top := slices.Max(logs)
	out := make([]float64, len(logs))
	sum := 0.0
	for i, v := range logs {
		out[i] = math.Exp(v - top)
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// around gives the range of a chance whose log odds are uncertain by so much:
// model.md (D4).
func around(p, spread float64) Range {
	odds := p / (1 - p)
	of := func(o float64) float64 { return o / (1 + o) }
	k := math.Exp(z90 * spread)
	return Range{Low: of(odds / k), Best: p, High: of(odds * k)}
}

// next gives what each look that nobody made yet may be expected to tell:
// model.md (D5). A look that only the twin or the journal told of can be made.
func (b *Book) next(chance []float64, told [][]Message) []Next {
	var out []Next
	for i, l := range b.looks {
		if !l.Asked || slices.ContainsFunc(told[i], func(m Message) bool { return m.From == Seen || m.From == Hand || m.From == Probe }) {
			continue
		}
		from := Seen
		if l.Needs != "" {
			from = Probe
		}
		trust, _ := b.trust.of(from)
		joint := make([][]float64, len(l.Answers)+1) // by what is said, cause
		for r := range joint {
			joint[r] = make([]float64, len(chance))
		}
		for c, p := range chance {
			w := b.weights(i, b.chance[i][c], told[i])
			sum := 0.0
			for _, v := range w {
				sum += v
			}
			for r := range joint {
				for a, v := range w {
					says := (1 - trust) * b.base[i][r]
					if a == r {
						says += trust
					}
					joint[r][c] += p * v / sum * says
				}
			}
		}
		n := Next{Look: l, Gain: entropy(chance)}
		for r, is := range l.Is() {
			sum := 0.0
			for _, v := range joint[r] {
				sum += v
			}
			then := make([]float64, len(chance))
			for c, v := range joint[r] {
				then[c] = v / sum
			}
			n.Gain -= sum * entropy(then)
			top := 0
			for c := range then {
				if then[c] > then[top] {
					top = c
				}
			}
			n.Answers = append(n.Answers, Expected{Is: is, Chance: sum, First: b.causes[top].Key, Then: then[top]})
		}
		n.Gain = max(n.Gain, 0)
		out = append(out, n)
	}
	slices.SortStableFunc(out, func(x, y Next) int { return cmp.Compare(y.Gain, x.Gain) })
	return out
}

func entropy(p []float64) float64 {
	h := 0.0
	for _, v := range p {
		if v > 0 {
			h -= v * math.Log2(v)
		}
	}
	return h
}

// Below gives the chance that a quantity known by its central 90 % lies under a
// limit: two halves of normal distributions that meet at the middle, model.md
// (D6). A quantity without a range lies under or over.
func Below(limit float64, r Range) float64 {
	half := r.High - r.Best
	if limit < r.Best {
		half = r.Best - r.Low
	}
	if half <= 0 {
		if limit > r.Best {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc(-(limit-r.Best)/half*z90/math.Sqrt2)
}
