package lab

import (
	"fmt"
	"math"

	"wormyard/chance"
	"wormyard/qty"
)

// Ratio is a quotient with its interval; Finite is false when the denominator
// may be 0, and then there are no limits to print.
type Ratio struct {
	Ratio  float64
	Bounds Bounds
	Finite bool
	G      float64 // (t se/b)^2 of the denominator; from 1 on it may be 0
}

// FiellerRatio gives the interval of a/b from estimates with independent normal
// errors, t standard errors out; b over 0. It is right for a denominator that is
// small against its error: it says that there is no finite interval. model.md
// (L19).
func FiellerRatio(a, seA, b, seB, t float64) Ratio {
	r := Ratio{Ratio: a / b, G: t * seB / b * (t * seB / b)}
	if r.G >= 1 {
		return r
	}
	half := t / b * math.Sqrt(seA*seA+r.Ratio*r.Ratio*seB*seB-r.G*seA*seA)
	r.Bounds = Bounds{(r.Ratio - half) / (1 - r.G), (r.Ratio + half) / (1 - r.G)}
	r.Finite = true
	return r
}

// LogRatio gives the interval of a/b from relative errors that are small; a and
// b over 0. model.md (L20).
func LogRatio(a, seA, b, seB, t float64) Ratio {
	f := math.Exp(t * math.Hypot(seA/a, seB/b))
	return Ratio{Ratio: a / b, Bounds: Bounds{a / b / f, a / b * f}, Finite: !math.IsInf(f, 0), G: t * seB / b * (t * seB / b)}
}

type ratioIn struct {
	A          float64  `json:"a" unit:"-" low:"0" high:"1e15" doc:"above the line, as fungi"`
	SEA        float64  `json:"a_se" unit:"-" low:"0" high:"1e15" doc:"its standard error"`
	B          float64  `json:"b" unit:"-" low:"0" high:"1e15" doc:"below the line, as bacteria"`
	SEB        float64  `json:"b_se" unit:"-" low:"0" high:"1e15" doc:"its standard error"`
	Method     string   `json:"method" choice:"fieller,log" default:"fieller"`
	Confidence float64  `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
	DF         *float64 `json:"df" unit:"-" low:"1" high:"1e6" doc:"degrees of freedom behind the errors; absent, many"`
}

type ratioOut struct {
	Ratio  *float64 `json:"ratio" unit:"-"`
	Low    *float64 `json:"low" unit:"-"`
	High   *float64 `json:"high" unit:"-"`
	Finite bool     `json:"finite"`
	G      *float64 `json:"g" unit:"-"`
}

func ratioFigure(in ratioIn) (out ratioOut, notes []string, err error) {
	var p problems
	for _, x := range []struct {
		key string
		v   float64
	}{{"a", in.A}, {"a_se", in.SEA}, {"b", in.B}, {"b_se", in.SEB}} {
		p.Between(x.key, "It", x.v, 0, 1e15)
	}
	p.confidence(in.Confidence)
	df := math.Inf(1)
	if in.DF != nil {
		df = *in.DF
		p.Between("df", "The degrees of freedom", df, 1, 1e6)
	}
	if in.Method == "log" && (in.A == 0 || in.B == 0) {
		p.Add("method", "The log form needs both to be more than 0.", "Use fieller.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	const none = "Below the line there may be none at all, within its error: no finite interval can be given. Count more of it."
	if in.B == 0 {
		return out, []string{none}, nil
	}
	t := chance.TwoSided(in.Confidence, df)
	r := FiellerRatio(in.A, in.SEA, in.B, in.SEB, t)
	if in.Method == "log" {
		r = LogRatio(in.A, in.SEA, in.B, in.SEB, t)
		if r.G >= 0.1 {
			notes = append(notes, "The error below the line is large: the log form is too narrow there, take fieller.")
		}
	}
	if math.IsInf(r.Ratio, 0) || math.IsInf(r.G, 0) || math.IsInf(r.Bounds.High, 0) {
		return out, append(notes, none), nil
	}
	out.Ratio, out.G, out.Finite = &r.Ratio, &r.G, r.Finite
	if !r.Finite {
		return out, append(notes, none), nil
	}
	low := r.Bounds.Low
	if low < 0 {
		low = 0
		notes = append(notes, "The lower limit falls below 0 and is printed as 0.")
	}
	out.Low, out.High = &low, &r.Bounds.High
	return out, append(notes, "The factors from lengths and counts to mass are the same for every lot and are not in this interval."), nil
}

// TwoRates is how a rate compares with another.
type TwoRates struct {
	Ratio   *float64 // nil when the second saw none
	Low     float64
	High    *float64 // nil when there is no upper limit
	P       float64  // two-sided
	Verdict string   // "more", "fewer" or "cannot tell"
}

// CompareRates compares counts a and b over what was looked at for each, exactly
// and given their sum, which must be over 0; doubt is the chance under which a
// difference is said. model.md (L21).
func CompareRates(a, overA, b, overB, confidence, doubt float64, point bool) TwoRates {
	n := a + b
	odds := overB / overA
	s := Share(a, n, confidence)
	out := TwoRates{Low: s.Low / (1 - s.Low) * odds, Verdict: "cannot tell"}
	if b > 0 {
		out.Ratio = ptr(a / b * odds)
		out.High = ptr(s.High / (1 - s.High) * odds)
	}
	p := overA / (overA + overB)
	if point {
		out.P = pointChance(a, n, p)
	} else {
		lower, upper := 1.0, 1.0
		if a < n {
			lower = 1 - chance.BetaLower(a+1, n-a, p)
		}
		if a > 0 {
			upper = chance.BetaLower(a, n-a+1, p)
		}
		out.P = min(1, 2*min(lower, upper))
	}
	if out.P < doubt {
		out.Verdict = "more"
		if a/overA < b/overB {
			out.Verdict = "fewer"
		}
	}
	return out
}

// pointChance is the chance of every outcome that is no likelier than the one
// seen: its own tail, and the other from where chances fall as low.
func pointChance(x, n, p float64) float64 {
	limit := chance.BinomialLog(x, n, p) + 1e-9
	mode := math.Floor((n + 1) * p)
	atMost := func(k float64) float64 {
		switch {
		case k < 0:
			return 0
		case k >= n:
			return 1
		}
		return 1 - chance.BetaLower(k+1, n-k, p)
	}
	atLeast := func(k float64) float64 {
		switch {
		case k <= 0:
			return 1
		case k > n:
			return 0
		}
		return chance.BetaLower(k, n-k+1, p)
	}
	// Chances rise up to the mode and fall from it.
	low, high := -1.0, min(mode, n) // low is no likelier, or before all
	for high-low > 1 {
		if mid := math.Floor((low + high) / 2); chance.BinomialLog(mid, n, p) <= limit {
			low = mid
		} else {
			high = mid
		}
	}
	down := low
	low, high = min(mode, n), n+1 // high is no likelier, or after all
	for high-low > 1 {
		if mid := math.Floor((low + high) / 2); chance.BinomialLog(mid, n, p) <= limit {
			high = mid
		} else {
			low = mid
		}
	}
	if chance.BinomialLog(min(mode, n), n, p) <= limit {
		return 1 // the one seen is the likeliest
	}
	return min(1, atMost(down)+atLeast(high))
}

type compareIn struct {
	CountA     float64 `json:"count_a" unit:"-" low:"0" high:"1e6"`
	ExposureA  float64 `json:"exposure_a" unit:"fields, g or mL" low:"0" high:"1e12"`
	CountB     float64 `json:"count_b" unit:"-" low:"0" high:"1e6"`
	ExposureB  float64 `json:"exposure_b" unit:"fields, g or mL" low:"0" high:"1e12"`
	Method     string  `json:"p_method" choice:"doubling,point" default:"doubling"`
	Confidence float64 `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type compareOut struct {
	Ratio   *float64 `json:"ratio" unit:"-" doc:"null when b saw none"`
	Low     float64  `json:"low" unit:"-"`
	High    *float64 `json:"high" unit:"-" doc:"null when there is no upper limit"`
	P       float64  `json:"p" unit:"-"`
	Verdict string   `json:"verdict" doc:"more, fewer or cannot tell"`
	Said    string   `json:"said"`
}

func (par Parameters) compareFigure(in compareIn) (out compareOut, notes []string, err error) {
	var p problems
	for _, x := range []struct {
		key string
		v   float64
	}{{"count_a", in.CountA}, {"count_b", in.CountB}} {
		p.count(x.key, "The count", x.v)
		p.Between(x.key, "The count", x.v, 0, 1e6)
	}
	p.Over0("exposure_a", "What was looked at", in.ExposureA)
	p.Over0("exposure_b", "What was looked at", in.ExposureB)
	p.confidence(in.Confidence)
	if in.CountA+in.CountB == 0 && len(p.Problems) == 0 {
		p.Add("count_a", "None was seen in either, so they cannot be compared.", "Look at more of both.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	c := CompareRates(in.CountA, in.ExposureA, in.CountB, in.ExposureB, in.Confidence, par.Doubt, in.Method == "point")
	out = compareOut{c.Ratio, c.Low, c.High, c.P, c.Verdict, c.sentence()}
	return out, []string{"Counts are taken as not clumped; where they clump, the interval is too narrow."}, nil
}

// sentence says a comparison plainly.
func (c TwoRates) sentence() string {
	span := "at least " + qty.Figures(c.Low) + " times as many"
	if c.High != nil {
		span = qty.Figures(c.Low) + " to " + qty.Figures(*c.High) + " times as many"
	}
	switch c.Verdict {
	case "more":
		return "The first holds more than the second: " + span + "."
	case "fewer":
		return "The first holds fewer than the second: " + span + "."
	}
	return "These counts cannot tell the two apart: the first may hold " + span + " as the second."
}

// TwoPeople is how two people who counted the same fields compare.
type TwoPeople struct {
	TwoRates
	Dispersion float64 // how unevenly they differ from field to field; near 1 when only chance parts them
}

// ComparePeople compares tallies of the same fields by two people: given the sum
// of a field, each tally is a share of it, and shares that jump more than chance
// widen the interval. model.md (L22).
func ComparePeople(first, second []float64, confidence, doubt float64) TwoPeople {
	var a, b float64
	n := 0.0
	for i := range first {
		a += first[i]
		b += second[i]
		if first[i]+second[i] > 0 {
			n++
		}
	}
	out := TwoPeople{TwoRates: CompareRates(a, 1, b, 1, confidence, doubt, false), Dispersion: 1}
	if n < 2 || a == 0 || b == 0 {
		return out
	}
	share := a / (a + b)
	d := 0.0
	for i := range first {
		if sum := first[i] + second[i]; sum > 0 {
			d += (first[i] - share*sum) * (first[i] - share*sum) / (sum * share * (1 - share))
		}
	}
	out.Dispersion = d / (n - 1)
	if out.Dispersion <= 1 {
		return out
	}
	se := math.Sqrt(out.Dispersion * (1/a + 1/b))
	f := stretch(chance.TwoSided(confidence, n-1) * se)
	out.Low, out.High = min(out.Low, a/b/f), ptr(max(*out.High, a/b*f))
	out.P = max(out.P, chance.StudentTwoSided(math.Log(a/b)/se, n-1))
	if out.P >= doubt {
		out.Verdict = "cannot tell"
	}
	return out
}

type peopleIn struct {
	First      []float64 `json:"first" unit:"1/field" low:"0" high:"1e5" doc:"count of each field by one person"`
	Second     []float64 `json:"second" unit:"1/field" low:"0" high:"1e5" doc:"of the same fields by the other"`
	Confidence float64   `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type peopleOut struct {
	compareOut
	Dispersion float64 `json:"dispersion" unit:"-"`
}

func (par Parameters) peopleFigure(in peopleIn) (out peopleOut, notes []string, err error) {
	var p problems
	p.fields("first", in.First)
	p.fields("second", in.Second)
	p.confidence(in.Confidence)
	if len(in.First) != len(in.Second) {
		p.Add("second", fmt.Sprintf("One person counted %d fields, the other %d.", len(in.First), len(in.Second)), "Give the same fields in the same order.")
	}
	sum := 0.0
	for _, list := range [][]float64{in.First, in.Second} {
		for _, x := range list {
			sum += x
		}
	}
	if sum == 0 && len(p.Problems) == 0 {
		p.Add("first", "Neither saw any, so they cannot be compared.", "Compare them on a slide that holds some.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	c := ComparePeople(in.First, in.Second, in.Confidence, par.Doubt)
	said := "Nothing here tells the two apart."
	switch c.Verdict {
	case "more":
		said = "The first person counts more than the second on the same fields. Count a few together and agree what is counted."
	case "fewer":
		said = "The first person counts fewer than the second on the same fields. Count a few together and agree what is counted."
	}
	return peopleOut{compareOut{c.Ratio, c.Low, c.High, c.P, c.Verdict, said}, c.Dispersion}, nil, nil
}
