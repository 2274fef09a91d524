package mix

import (
	"fmt"
	"math"
	"slices"

	"wormyard/feedstock"
)

// test is one thing a person can do that measures one or more properties.
type test struct {
	keys   []string
	what   string  // %s is the part
	effort float64 // against a bucket weighed
}

// tests in the order of ease. The effort only decides between tests that help
// nearly alike; it is our judgement of minutes and money (assumed).
var tests = []test{
	{[]string{feedstock.KeyDensity}, "Weigh a bucket of the %s.", 1},
	{[]string{"shrink_frac"}, "Fill a bucket of known size with the mixed %s and compare it with the buckets that went in.", 1},
	{[]string{feedstock.KeyWater}, "Weigh a pan of the %s, dry it and weigh it again.", 1.2},
	{[]string{feedstock.KeyPH}, "Hold a strip or a meter into the %s stirred with water.", 1.2},
	{[]string{feedstock.KeySalts}, "Measure the conductivity of the %s in five parts of water.", 1.3},
	{[]string{feedstock.KeyAmmonia}, "Test the %s for ammonia with a strip.", 1.3},
	{[]string{feedstock.KeyNitrogen, feedstock.KeyCarbon, feedstock.KeyCN}, "Send a sample of the %s to a laboratory for carbon and nitrogen.", 2},
	{[]string{feedstock.KeyAsh}, "Send a sample of the %s to a laboratory for ash.", 2},
	{[]string{feedstock.KeyLignin}, "Send a sample of the %s to a laboratory for lignin.", 3},
}

// nextTest finds the measurement that would help most (M35): first what a
// window lacks altogether, then what settles the largest part of the doubt
// whether all windows are met, and where there is no such doubt, of the doubt
// about the output that is widest against its window.
func nextTest(r Recipe, base Result, windows []Window, random []*drawn, columns [][]float64, met []bool, out Outlook) *Test {
	if t := lacking(base, windows); t != nil {
		return t
	}
	if len(random) == 0 {
		return nil
	}
	about := make([]float64, len(met))
	var of string
	if out.All > 0.02 && out.All < 0.98 {
		for d, ok := range met {
			if ok {
				about[d] = 1
			}
		}
		of = fmt.Sprintf("whether all windows are met (now %.0f in 100)", 100*out.All)
	} else {
		o, ok := widest(base, windows, columns)
		if !ok {
			return nil
		}
		copy(about, columns[o])
		of = "about " + words[o]
		if o == CN || o == Density {
			for d, v := range about {
				about[d] = math.Log(v)
			}
		}
	}
	mean, whole := variation(about)
	var best *Test
	score := 0.0
	for i := -1; i < len(r.Parts); i++ {
		for _, t := range tests {
			gain := 0.0
			var key string
			for _, d := range random {
				if d.part == i && slices.Contains(t.keys, d.key) {
					gain += settled(d.classes, about, mean, whole)
					key = d.key
				}
			}
			// A dearer test must help clearly more.
			if s := gain / math.Sqrt(t.effort); s > score*(1+1e-9) {
				name := "parts"
				if i >= 0 {
					name = r.Parts[i].Name
				}
				score = s
				best = &Test{What: fmt.Sprintf(t.what, name), Part: name, Key: key, Settle: min(gain, 1),
					Why: fmt.Sprintf("It would settle about %.0f %% of the doubt %s.", 100*min(gain, 1), of)}
			}
		}
	}
	return best
}

// lacking gives the test for a property without which a window cannot be judged.
func lacking(base Result, windows []Window) *Test {
	for _, t := range tests {
		for _, m := range base.Missing {
			if !slices.Contains(t.keys, m.Lacks) {
				continue
			}
			if slices.ContainsFunc(windows, func(w Window) bool { return w.Output == m.Output && w.Why == "" }) {
				return &Test{What: fmt.Sprintf(t.what, m.Parts[0]), Part: m.Parts[0], Key: m.Lacks, Settle: math.NaN(),
					Why: fmt.Sprintf("Without it %s cannot be judged at all.", words[m.Output])}
			}
		}
	}
	return nil
}

// widest gives the window's output whose spread is widest against the room the
// window leaves; without windows moisture and C:N against their own size.
func widest(base Result, windows []Window, columns [][]float64) (Output, bool) {
	if len(windows) == 0 {
		windows = []Window{{Output: Water, Low: 0.7, High: 0.8}, {Output: CN, Low: 20, High: 60}}
	}
	worst, which, any := 0.0, Output(0), false
	for _, w := range windows {
		if !base.Numbers.Known(w.Output) || w.Output == PHLow || w.Output == PHHigh {
			continue
		}
		room := w.High - w.Low
		if math.IsInf(room, 0) || room == 0 {
			room = math.Max(math.Abs(finite(w.Low)), math.Abs(finite(w.High)))
		}
		if s := spread(columns[w.Output]) / math.Max(room, 1e-9); s > worst {
			worst, which, any = s, w.Output, true
		}
	}
	return which, any
}

func spread(v []float64) float64 {
	_, whole := variation(v)
	return math.Sqrt(whole / float64(len(v)))
}

// bins is how many classes a property is cut into to see how far knowing it
// would settle an output: a fifth of a standard deviation each, the outer two
// open. Finer ones change the answer less than the draws do.
const bins = 16

// class gives the class of a standard normal deviate.
func class(z float64) uint8 { return uint8(min(max(int(5*z+bins/2), 0), bins-1)) }

// variation gives the mean of y and the sum of its squared deviations.
func variation(y []float64) (mean, whole float64) {
	for _, v := range y {
		mean += v
	}
	mean /= float64(len(y))
	for _, v := range y {
		whole += (v - mean) * (v - mean)
	}
	return mean, whole
}

// settled gives the part of the variance of y that goes when the property whose
// draws have these classes becomes known: the variance between the means of its
// classes over the whole, less what chance alone would give (M35).
func settled(classes []uint8, y []float64, mean, whole float64) float64 {
	if whole <= 0 {
		return 0
	}
	var sum, count [bins]float64
	for d, b := range classes {
		sum[b] += y[d]
		count[b]++
	}
	n := float64(len(y))
	between := 0.0
	for b := range sum {
		if count[b] > 0 {
			m := sum[b]/count[b] - mean
			between += count[b] * m * m
		}
	}
	ratio := between / whole
	// With no bearing at all the classes still differ by (bins-1)/(n-1).
	free := float64(bins-1) / (n - 1)
	return math.Max(0, (ratio-free)/(1-free))
}
