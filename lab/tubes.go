package lab

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"wormyard/chance"
)

// A Level is the tubes of one dilution.
type Level struct {
	Amount   float64 `json:"amount" unit:"g or mL" low:"0" high:"1e9" doc:"of the sample in each tube"`
	Tubes    float64 `json:"tubes" unit:"-" low:"1" high:"10000"`
	Positive float64 `json:"positive" unit:"-" low:"0" high:"10000"`
}

// Tubes is the most probable number of a pattern of dilution tubes.
type Tubes struct {
	Number     *float64 // in a unit of the amount; nil when every tube is positive
	Low        float64
	High       *float64 // nil when every tube is positive
	Likelihood float64  // of the pattern at the number
	Rarity     *float64 // of the pattern against the likeliest one at that number; nil at an end
	Shown      string
}

// TubesOf finds the number under which the pattern is likeliest, and its
// interval: by the likelihood (L25), or on the logarithm with the information
// observed or expected (L26). The levels are sound: amounts over 0, no more
// positive than there are tubes. model.md (L24).
func TubesOf(levels []Level, method string, confidence float64) Tubes {
	positive, negative, amount := 0.0, 0.0, 0.0
	for _, l := range levels {
		positive += l.Positive
		negative += l.Tubes - l.Positive
		amount += l.Tubes * l.Amount
	}
	switch {
	case positive == 0:
		// The least number that any pattern with one positive tube has.
		least := math.Inf(1)
		for i := range levels {
			one := append([]Level(nil), levels...)
			one[i].Positive = 1
			if allPositive(one) {
				continue
			}
			least = min(least, likeliest(one))
		}
		high := NothingSeen(confidence) / amount
		if math.IsInf(least, 1) {
			least = high
		}
		return Tubes{Number: ptr(0), High: &high, Likelihood: 1, Shown: "<" + twoFigures(least)}
	case negative == 0:
		top := 0.0
		for i := range levels {
			one := append([]Level(nil), levels...)
			one[i].Positive--
			if !nonePositive(one) {
				top = max(top, likeliest(one))
			}
		}
		low := allPositiveAbove(levels, confidence)
		if top == 0 {
			top = low
		}
		return Tubes{Low: low, Likelihood: 1, Shown: ">" + twoFigures(top)}
	}
	number := likeliest(levels)
	t := Tubes{Number: &number, Likelihood: math.Exp(logLikelihood(levels, number)), Shown: twoFigures(number)}
	rarity := rarityOf(levels, number)
	t.Rarity = &rarity
	z := chance.NormalQuantile((1 + confidence) / 2)
	if method == "observed" || method == "expected" {
		f := stretch(z / math.Sqrt(information(levels, number, method == "expected")))
		t.Low, t.High = number/f, ptr(number*f)
		return t
	}
	top := logLikelihood(levels, number)
	drop := func(u float64) float64 { return 2*(top-logLikelihood(levels, math.Exp(u))) - z*z }
	at := math.Log(number)
	out := 1.0
	for drop(at-out) < 0 {
		out *= 2
	}
	t.Low = math.Exp(chance.Root(func(u float64) float64 { return -drop(u) }, at-out, at))
	out = 1
	for drop(at+out) < 0 {
		out *= 2
	}
	t.High = ptr(math.Exp(chance.Root(drop, at, at+out)))
	return t
}

func allPositive(levels []Level) bool {
	for _, l := range levels {
		if l.Positive < l.Tubes {
			return false
		}
	}
	return true
}

func nonePositive(levels []Level) bool {
	for _, l := range levels {
		if l.Positive > 0 {
			return false
		}
	}
	return true
}

// likeliest is the root of the score, for a pattern with both kinds of tubes.
// model.md (L24).
func likeliest(levels []Level) float64 {
	score := func(u float64) float64 {
		n, sum := math.Exp(u), 0.0
		for _, l := range levels {
			sum += l.Tubes * l.Amount
			if l.Positive > 0 {
				sum += l.Positive * l.Amount / math.Expm1(-n*l.Amount)
			}
		}
		return sum
	}
	low, high := math.Inf(1), 0.0
	for _, l := range levels {
		low, high = min(low, 1/l.Amount), max(high, 1/l.Amount)
	}
	from, to := math.Log(low)-1, math.Log(high)+1
	for score(from) > 0 {
		from--
	}
	for score(to) < 0 {
		to++
	}
	return math.Exp(chance.Root(score, from, to))
}

// logLikelihood is that of the pattern when a unit of amount holds n.
func logLikelihood(levels []Level, n float64) float64 {
	sum := 0.0
	for _, l := range levels {
		a, _ := math.Lgamma(l.Tubes + 1)
		b, _ := math.Lgamma(l.Positive + 1)
		c, _ := math.Lgamma(l.Tubes - l.Positive + 1)
		sum += a - b - c - n*l.Amount*(l.Tubes-l.Positive)
		if l.Positive > 0 {
			sum += l.Positive * math.Log(-math.Expm1(-n*l.Amount))
		}
	}
	return sum
}

// information of the logarithm of the number, as observed or as expected.
// model.md (L26).
func information(levels []Level, n float64, expected bool) float64 {
	sum := 0.0
	for _, l := range levels {
		y := n * l.Amount
		miss := -math.Expm1(-y)
		if miss == 0 {
			continue
		}
		term := y * y * math.Exp(-y) / (miss * miss) * l.Positive
		if expected {
			term = y * y * math.Exp(-y) / miss * l.Tubes
		}
		sum += term
	}
	return sum
}

// allPositiveAbove is the number under which all tubes would turn positive only
// seldom: the counterpart of NothingSeen. model.md (L24).
func allPositiveAbove(levels []Level, confidence float64) float64 {
	f := func(u float64) float64 { return logLikelihood(levels, math.Exp(u)) - math.Log(1-confidence) }
	from, to := -1.0, 1.0
	for f(from) > 0 {
		from *= 2
	}
	for f(to) < 0 {
		to *= 2
	}
	return math.Exp(chance.Root(f, from, to))
}

// rarityOf is how likely the pattern is beside the likeliest one when the number
// is n. model.md (L27).
func rarityOf(levels []Level, n float64) float64 {
	sum := 0.0
	for _, l := range levels {
		p := -math.Expm1(-n * l.Amount)
		best := min(l.Tubes, math.Floor((l.Tubes+1)*p))
		sum += chance.BinomialLog(l.Positive, l.Tubes, p) - chance.BinomialLog(best, l.Tubes, p)
	}
	return min(1, math.Exp(sum))
}

// twoFigures prints to two figures, a lone 5 behind them to the even neighbour,
// without powers of ten. model.md (L29).
func twoFigures(x float64) string {
	if !(x > 0) || math.IsInf(x, 0) {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	e := int(math.Floor(math.Log10(x))) - 1
	// Of nine figures, so that a 5 which is one only by the last bit of a
	// quotient is still a lone 5.
	nine, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 8, 64), 64)
	if err != nil {
		nine = x
	}
	r := math.RoundToEven(math.Round(nine/math.Pow(10, float64(e))*1e7) / 1e7)
	if e >= 0 {
		return strconv.FormatFloat(r*math.Pow(10, float64(e)), 'f', 0, 64)
	}
	places := -e
	if r >= 100 {
		places--
	}
	return strconv.FormatFloat(r*math.Pow(10, float64(e)), 'f', max(0, places), 64)
}

type tubesIn struct {
	Levels     []Level `json:"levels" doc:"one for each dilution"`
	Method     string  `json:"method" choice:"likelihood,observed,expected" default:"likelihood"`
	Confidence float64 `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type tubesOut struct {
	Number     *float64 `json:"most_probable_number" unit:"1/amount" doc:"null when every tube is positive"`
	Low        float64  `json:"low" unit:"1/amount"`
	High       *float64 `json:"high" unit:"1/amount" doc:"null when every tube is positive"`
	Likelihood float64  `json:"likelihood" unit:"-"`
	Rarity     *float64 `json:"rarity" unit:"-"`
	Credible   bool     `json:"credible"`
	Shown      string   `json:"shown"`
}

func (par Parameters) tubesFigure(in tubesIn) (out tubesOut, notes []string, err error) {
	var p problems
	p.confidence(in.Confidence)
	if len(in.Levels) == 0 || len(in.Levels) > 20 {
		p.Add("levels", fmt.Sprintf("%d dilutions are given.", len(in.Levels)), "Give one line for each, with amount, tubes and positive.")
	}
	for i, l := range in.Levels {
		at := fmt.Sprintf("levels[%d].", i)
		p.Between(at+"amount", "The amount in a tube", l.Amount, 1e-12, 1e9)
		p.count(at+"tubes", "The number of tubes", l.Tubes)
		p.Between(at+"tubes", "The number of tubes", l.Tubes, 1, 10000)
		p.count(at+"positive", "The number of positive tubes", l.Positive)
		if l.Positive > l.Tubes {
			p.Add(at+"positive", fmt.Sprintf("%g of %g tubes are positive.", l.Positive, l.Tubes), "Look whether the two were swapped.")
		}
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	t := TubesOf(in.Levels, in.Method, in.Confidence)
	out = tubesOut{t.Number, t.Low, t.High, t.Likelihood, t.Rarity, t.Rarity == nil || *t.Rarity >= par.Rare, t.Shown}
	switch {
	case strings.HasPrefix(t.Shown, "<"):
		notes = append(notes, fmt.Sprintf("No tube turned: the upper limit is one-sided, %s.", percent(in.Confidence)))
	case strings.HasPrefix(t.Shown, ">"):
		notes = append(notes, fmt.Sprintf("Every tube turned: the lower limit is one-sided, %s. Dilute further.", percent(in.Confidence)))
	case !out.Credible:
		notes = append(notes, "This pattern hardly ever comes from a sample that was mixed and diluted well. Look whether dilutions or tubes were swapped, and repeat.")
	}
	return out, notes, nil
}
