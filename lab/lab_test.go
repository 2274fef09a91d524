package lab_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wormyard/chance"
	"wormyard/figure"
	"wormyard/internal/published"
	"wormyard/lab"
)

func run(t *testing.T, name string, in map[string]any) (map[string]any, error) {
	t.Helper()
	for _, f := range lab.Figures(parameters(t)) {
		if f.Name == name {
			return published.ByFigure(f)(in)
		}
	}
	t.Fatalf("there is no figure %s", name)
	return nil, nil
}

// What cannot be true is refused in words that name it, and several slips come
// out at once.
func TestBadInput(t *testing.T) {
	slide := func(change map[string]any) map[string]any {
		in := map[string]any{"count": 12, "fields": 20, "field_number_mm": 20, "objective_x": 40, "cover_mm": []float64{18, 18}, "drop_ml": .05, "dilution": 5}
		for k, v := range change {
			in[k] = v
		}
		return in
	}
	for _, c := range []struct {
		figure string
		in     map[string]any
		say    []string
	}{
		{"lab.per_gram", slide(map[string]any{"dilution": -5}), []string{"dilution"}},
		{"lab.per_gram", slide(map[string]any{"fields": 4000}), []string{"4000 fields", "1,650"}},
		{"lab.per_gram", slide(map[string]any{"count": 12.5}), []string{"whole numbers"}},
		{"lab.per_gram", slide(map[string]any{"cover_mm": []float64{18}, "count": 1.5}), []string{"cover_mm", "whole numbers"}},
		{"lab.per_gram", slide(map[string]any{"dry_frac": 0}), []string{"dry_frac"}},
		{"lab.clumping", map[string]any{"fields": []float64{7}}, []string{"One field cannot tell"}},
		{"lab.clumping", map[string]any{"fields": []float64{4000, 3}}, []string{"Field 1 holds 4000"}},
		{"lab.tubes", map[string]any{"levels": []map[string]any{{"amount": .1, "tubes": 3, "positive": 4}}}, []string{"4 of 3 tubes"}},
		{"lab.compare", map[string]any{"count_a": 0, "exposure_a": 1, "count_b": 0, "exposure_b": 2}, []string{"None was seen in either"}},
		{"lab.less_than", map[string]any{"results": []map[string]any{{"value": 0, "less_than": false}}}, []string{"never finds 0"}},
		{"lab.convert", map[string]any{"value": 3, "from": "mg/kg", "to": "CFU/g"}, []string{"do not measure the same"}},
		{"lab.convert", map[string]any{"value": 3, "from": "mg/kg", "to": "mg/kg", "basis": "wet", "to_basis": "dry"}, []string{"dry_frac"}},
		{"lab.convert", map[string]any{"value": 3, "from": "furlong", "to": "mg/kg"}, []string{"furlong"}},
		{"lab.nested", map[string]any{"sub_samples": [][][]float64{{{1, 2}, {}}, {}}}, []string{"Slide 2 of sub-sample 1", "Sub-sample 2 has no slide"}},
		{"lab.two_people", map[string]any{"first": []float64{1, 2}, "second": []float64{1}}, []string{"2 fields", "the other 1"}},
		{"lab.germination", map[string]any{"seeds_up": 2, "seeds": 10, "control_seeds_up": 0, "control_seeds": 10, "root_mm": 3, "control_root_mm": 0}, []string{"Nothing grew in the control"}},
	} {
		_, err := run(t, c.figure, c.in)
		var r *figure.Refusal
		if !errors.As(err, &r) {
			t.Errorf("%s %v: %v is no refusal", c.figure, c.in, err)
			continue
		}
		all := ""
		for _, p := range r.Problems {
			all += p.Field + " " + p.Say + " " + p.Try + "\n"
			if p.Say == "" || p.Try == "" {
				t.Errorf("%s: %+v does not say what to do", c.figure, p)
			}
		}
		for _, s := range c.say {
			if !strings.Contains(all, s) {
				t.Errorf("%s %v: %q does not say %q", c.figure, c.in, all, s)
			}
		}
	}
}

func TestParseValue(t *testing.T) {
	for _, c := range []struct {
		text  string
		comma lab.Comma
		limit float64
		want  lab.Value
	}{
		{"<3", 0, 0, lab.Value{Kind: lab.LessThan, Number: 3}},
		{"< 3,0 MPN/g", lab.CommaDecimal, 0, lab.Value{Kind: lab.LessThan, Number: 3, Unit: "MPN/g"}},
		{"> 1,100", lab.CommaThousands, 0, lab.Value{Kind: lab.MoreThan, Number: 1100}},
		{"TNTC", 0, 0, lab.Value{Kind: lab.TooMany}},
		{"ND", 0, 0, lab.Value{Kind: lab.NotDetected}},
		{"N.D.", 0, 0.5, lab.Value{Kind: lab.LessThan, Number: 0.5}},
		{"3,5", 0, 0, lab.Value{Kind: lab.Measured, Number: 3.5}},
		{"1.234,5", 0, 0, lab.Value{Kind: lab.Measured, Number: 1234.5}},
		{"1,234.5", 0, 0, lab.Value{Kind: lab.Measured, Number: 1234.5}},
		{"1,234,567", 0, 0, lab.Value{Kind: lab.Measured, Number: 1234567}},
		{"1.25", 0, 0, lab.Value{Kind: lab.Measured, Number: 1.25}},
		{"1.234", lab.CommaDecimal, 0, lab.Value{Kind: lab.Measured, Number: 1234}},
		{"2.4E5", 0, 0, lab.Value{Kind: lab.Measured, Number: 2.4e5}},
		{"2.4 x 10^5 CFU/g", 0, 0, lab.Value{Kind: lab.Measured, Number: 2.4e5, Unit: "CFU/g"}},
		{"2,4×10⁵", 0, 0, lab.Value{Kind: lab.Measured, Number: 2.4e5}},
		{"~20", 0, 0, lab.Value{Kind: lab.Measured, Number: 20, About: true}},
		{"120 est", 0, 0, lab.Value{Kind: lab.Measured, Number: 120, About: true}},
		{"≤ 10 mg/kg", 0, 0, lab.Value{Kind: lab.LessThan, Number: 10, Unit: "mg/kg"}},
		{"", 0, 0, lab.Value{Kind: lab.NotTested}},
		{"n/a", 0, 0, lab.Value{Kind: lab.NotTested}},
		{"0", 0, 2, lab.Value{Kind: lab.LessThan, Number: 2}},
		{"0", 0, 0, lab.Value{Kind: lab.NotDetected}},
		{"no detectado", 0, 0, lab.Value{Kind: lab.NotDetected}},
		{"Present", 0, 0, lab.Value{Kind: lab.Present}},
	} {
		got, err := lab.ParseValue("value", c.text, c.comma, c.limit)
		c.want.Text = c.text
		if err != nil || got != c.want {
			t.Errorf("%q: %+v %v, want %+v", c.text, got, err, c.want)
		}
	}
	for text, say := range map[string]string{"1,234": "1234 or 1.234", "1.234": "1.234 or 1234", "-3": "below 0", "abc": "TNTC", "1,2,3": "no number", "3..4": "no number", "<": "neither a number"} {
		if text == "1.234" {
			continue // a point is read as a point unless the sheet says otherwise
		}
		_, err := lab.ParseValue("value", text, lab.CommaUnknown, 0)
		if err == nil {
			t.Errorf("%q is taken", text)
			continue
		}
		var r *figure.Refusal
		if !errors.As(err, &r) || !strings.Contains(r.Problems[0].Say+r.Problems[0].Try, say) {
			t.Errorf("%q: %v, want %q", text, err, say)
		}
	}
}

// Whatever stands in a cell, it is read or refused in words.
func TestParseValueNeverBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("0123456789.,<>=~ eExX10^⁵-+NDTC%g/µ×"))).Draw(t, "text")
		v, err := lab.ParseValue("value", text, lab.Comma(rapid.IntRange(0, 2).Draw(t, "comma")), 0)
		var r *figure.Refusal
		if err != nil && !errors.As(err, &r) {
			t.Fatalf("%q: %v", text, err)
		}
		if err == nil && (math.IsNaN(v.Number) || v.Number < 0) {
			t.Fatalf("%q is %v", text, v.Number)
		}
	})
}

// Levels by hand, two sub-samples of two slides of two fields: means 1, 3 | 7, 9;
// within slides 2 each.
func TestNestedByHand(t *testing.T) {
	n := lab.NestedOf([][][]float64{{{0, 2}, {2, 4}}, {{6, 8}, {8, 10}}}, 0.95)
	for what, c := range map[string][2]float64{
		"mean":        {n.Mean, 5},
		"fields":      {*n.BetweenFields, 2},
		"slides":      {*n.BetweenSlides, (4 - 2) / 2.}, // mean square 4, two fields a slide
		"sub-samples": {*n.BetweenSubs, (72 - 4) / 4.},  // mean square 72, four fields a sub-sample
		"error":       {*n.SE, math.Sqrt(18 / 2.)},      // means 2 and 8
		"degrees":     {n.DF, 1},
	} {
		if math.Abs(c[0]-c[1]) > 1e-12 {
			t.Errorf("%s is %g, by hand %g", what, c[0], c[1])
		}
	}
	if n.SpeaksFor != "lot" || n.MostOf != "sub-samples" {
		t.Errorf("speaks for %q, most of the error from %q", n.SpeaksFor, n.MostOf)
	}
	if one := lab.NestedOf([][][]float64{{{3, 4, 5}}}, 0.95); one.SpeaksFor != "slide" {
		t.Errorf("one slide speaks for %q", one.SpeaksFor)
	}
	if one := lab.NestedOf([][][]float64{{{3, 4, 5}, {6}}}, 0.95); one.SpeaksFor != "sub-sample" {
		t.Errorf("one sub-sample speaks for %q", one.SpeaksFor)
	}
}

// With unequal numbers the parts are right in the mean: 4,000 lots drawn with
// known variances. Five standard errors are allowed.
func TestNestedIsUnbiased(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const lots = 4000
	var sums, squares [3]float64
	for range lots {
		var counts [][][]float64
		for _, shape := range [][]int{{2, 5}, {3}, {1, 4, 2}} {
			sub := 50 + 3*r.NormFloat64()
			var slides [][]float64
			for _, fields := range shape {
				slide := sub + 2*r.NormFloat64()
				var f []float64
				for range fields {
					f = append(f, slide+r.NormFloat64())
				}
				slides = append(slides, f)
			}
			counts = append(counts, slides)
		}
		n := lab.NestedOf(counts, 0.95)
		for i, v := range []float64{*n.BetweenFields, *n.BetweenSlides, *n.BetweenSubs} {
			sums[i] += v / lots
			squares[i] += v * v / lots
		}
	}
	// The parts of slides and sub-samples are cut at 0, which lifts their mean a
	// little: that of fields is held both ways, theirs from below, and from above
	// within a quarter.
	for i, want := range []float64{1, 4, 9} {
		se := math.Sqrt((squares[i] - sums[i]*sums[i]) / lots)
		top := want + 5*se
		if i > 0 {
			top += want / 4
		}
		if sums[i] < want-5*se || sums[i] > top {
			t.Errorf("level %d has a mean of %.3f ± %.3f, drawn with %g", i, sums[i], se, want)
		}
	}
}

// The interval of clumped counts holds the truth about as often as it says,
// where that of plain counting fails badly: 2,000 slides of ten fields, mean 5,
// k 0.5, drawn as Poisson counts of gamma means.
func TestClumpedIntervalHoldsTheTruth(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	const slides = 2000
	ours, plain := 0, 0
	for range slides {
		fields := make([]float64, 10)
		sum := 0.0
		for i := range fields {
			// A gamma of shape 1/2 is half the square of a normal.
			z := r.NormFloat64()
			fields[i] = poisson(r, 5*z*z)
			sum += fields[i]
		}
		if sum == 0 {
			continue
		}
		c := lab.ClumpsOf(fields, 0.95)
		if c.Interval.Low <= 5 && 5 <= c.Interval.High {
			ours++
		}
		if b := lab.Poisson(sum, 0.95); b.Low <= 50 && 50 <= b.High {
			plain++
		}
	}
	t.Logf("of 95 %% intervals %.1f %% hold the truth, by plain counting %.1f %%", 100*float64(ours)/slides, 100*float64(plain)/slides)
	if float64(ours)/slides < 0.90 {
		t.Errorf("the interval holds the truth in %d of %d only", ours, slides)
	}
	if float64(plain)/slides > 0.6 {
		t.Errorf("plain counting holds it in %d of %d: the draws do not clump", plain, slides)
	}
}

func poisson(r *rand.Rand, mean float64) float64 {
	n := 0.0
	for at := r.ExpFloat64(); at < mean; at += r.ExpFloat64() {
		n++
	}
	return n
}

// The interval of a ratio holds the truth with a poor denominator, where the
// logarithm is too narrow or the plain quotient would lie: 4,000 draws of
// 10 ± 2 over 5 ± 2, a relative error of 0.4 below the line.
func TestRatioWithAPoorDenominator(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	const draws = 4000
	held, none := 0, 0
	for range draws {
		a, b := 10+2*r.NormFloat64(), 5+2*r.NormFloat64()
		if b <= 0 {
			none++
			continue
		}
		f := lab.FiellerRatio(a, 2, b, 2, 1.959964)
		if !f.Finite {
			none++ // no limits are printed: nothing false is said
			continue
		}
		if f.Bounds.Low <= 2 && 2 <= f.Bounds.High {
			held++
		}
	}
	share := float64(held+none) / draws
	t.Logf("%.1f %% hold the truth or say that there is no finite interval (%.1f %%)", 100*share, 100*float64(none)/draws)
	if share < 0.94 {
		t.Errorf("only %.1f %% do", 100*share)
	}
}

// Two people who see alike are not told apart more often than the doubt allows,
// and one who misses a third is found.
func TestTwoPeople(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	const pairs = 1000
	alike, missed := 0, 0
	for range pairs {
		var a, b, c []float64
		for range 20 {
			mean := 10 * r.ExpFloat64() // fields differ, people do not
			a, b, c = append(a, poisson(r, mean)), append(b, poisson(r, mean)), append(c, poisson(r, mean*2/3))
		}
		if lab.ComparePeople(a, b, .95, .05).Verdict != "cannot tell" {
			alike++
		}
		if lab.ComparePeople(a, c, .95, .05).Verdict == "more" {
			missed++
		}
	}
	if alike > pairs*7/100 { // 5 % and two standard errors
		t.Errorf("%d of %d pairs of like people are told apart", alike, pairs)
	}
	if missed < pairs*9/10 {
		t.Errorf("one who misses a third is found in %d of %d only", missed, pairs)
	}
}

// Of what is rare one seen is no sign: with 0.05 a lot, one or more comes once in 20
// lots, two or more in 1 of 800 (Poisson by hand). A baseline without any may have had
// 3/20 a lot, of which two or fewer come in 9995 of 10000.
func TestChartOfWhatIsRare(t *testing.T) {
	ones := make([]float64, 23)
	for i := range ones {
		ones[i] = 1
	}
	seen := make([]float64, 23)
	seen[7], seen[20], seen[21], seen[22] = 1, 1, 2, 3
	c := lab.ChartOf(seen, ones, 20, 3, true)
	if !slices.Equal(c.Out, []int{21, 22}) {
		t.Errorf("out %v, want those with two and three", c.Out)
	}
	if false {
		t.Errorf("lots with 0.05 each are called too even")
	}
	seen[7] = 0
	if c = lab.ChartOf(seen, ones, 20, 3, true); !slices.Equal(c.Out, []int{22}) {
		t.Errorf("after none in twenty lots out %v, want that with three", c.Out)
	}
}

// Lots that lie close together by luck do not narrow what chance makes: 100 a lot,
// s_z 0.09, and 110 is one standard deviation off.
func TestChartIsNoNarrowerThanChance(t *testing.T) {
	counts, ones := []float64{100, 101, 99, 100, 101, 100, 110}, []float64{1, 1, 1, 1, 1, 1, 1}
	c := lab.ChartOf(counts, ones, 6, 3, true)
	if len(c.Out) != 0 || c.Limits[0].High < 130 || c.Limits[0].Low > 71 {
		t.Errorf("limits %v, out %v", c.Limits[0], c.Out)
	}
	if false {
		t.Errorf("too even by chance, by hand chi-squared 0.03 of 5")
	}
}

func TestFieldsStill(t *testing.T) {
	// Mean 8 and no clumping: by R, qchisq(.025, 2 x)/2 and qchisq(.975, 2 x + 2)/2 of
	// 64 are 49.29 and 81.73, half of it 25.3 % of 64; of 72 they are 24.0 %. So 9 fields.
	even := []float64{8, 9, 7, 8, 8}
	if still, ok := lab.FieldsStill(even, .25, .95); !ok || still != 4 {
		t.Errorf("%d more, by hand 4", still)
	}
	// What is promised is reached: ten fields that clump, and as many more of the same
	// kind as are asked for, have the interval that was wanted, and one less has not.
	clumped := []float64{12, 40, 8, 35, 3, 22, 16, 38, 6, 20}
	still, ok := lab.FieldsStill(clumped, .25, .95)
	if !ok || still < 1 {
		t.Fatalf("%d more, %v", still, ok)
	}
	m, s2 := 20.0, 0.0
	for _, x := range clumped {
		s2 += (x - m) * (x - m) / 9
	}
	n := float64(10 + still)
	half := func(n, t float64) float64 { return math.Sinh(t * math.Sqrt(s2/n) / m) }
	if student := chance.TwoSided(.95, n-1); half(n, student) > .25 || half(n-1, chance.TwoSided(.95, n-2)) <= .25 {
		t.Errorf("with %g fields it is within %.3g of the mean, with one less %.3g", n, half(n, student), half(n-1, chance.TwoSided(.95, n-2)))
	}
	if _, ok := lab.FieldsStill([]float64{0, 0, 0}, .25, .95); ok {
		t.Error("nothing seen tells how many fields are needed")
	}
}

// Each bin has as many grabs as the next or one more, and every depth comes up
// in every bin that has as many grabs as there are depths.
func TestGrabPlanIsEven(t *testing.T) {
	bins, depths := []string{"A", "B", "C", "D"}, []string{"top", "middle", "bottom"}
	perBin, pairs := map[string]int{}, map[lab.Grab]int{}
	for _, g := range lab.GrabPlan(12, bins, depths) {
		perBin[g.Bin]++
		pairs[g]++
	}
	if len(pairs) != 12 || perBin["A"] != 3 || perBin["D"] != 3 {
		t.Errorf("%v", pairs)
	}
	few := map[string]bool{}
	for _, g := range lab.GrabPlan(2, bins, depths) {
		few[g.Bin] = true
	}
	if !few["A"] || !few["C"] {
		t.Errorf("two grabs of four bins: %v", few)
	}
}

func TestConversionIsShown(t *testing.T) {
	out, err := run(t, "lab.convert", map[string]any{"value": 850, "from": "MPN/g", "to": "log10 MPN/g", "basis": "wet", "to_basis": "dry", "dry_frac": .45})
	if err != nil {
		t.Fatal(err)
	}
	if v := out["value"].(float64); math.Abs(v-math.Log10(850/.45)) > 1e-12 {
		t.Errorf("%v", v)
	}
	if steps := out["steps"].([]any); len(steps) != 2 || !strings.Contains(steps[0].(string), "0.45 dry part") {
		t.Errorf("%q", steps)
	}
}
