package proof

import (
	"bytes"
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

// The closed form for a normal forecast (Gneiting and Raftery 2007, eq. 21):
// sd (z (2 Phi(z) - 1) + 2 phi(z) - 1/sqrt(pi)), z the truth less the mean over sd.
func TestCRPSOfANormalForecast(t *testing.T) {
	const sd, mean, n = 2.0, 5.0, 20000
	v := make([]float64, n)
	for i := range v { // its even quantiles
		v[i] = mean + sd*math.Sqrt2*math.Erfinv(2*(float64(i)+0.5)/n-1)
	}
	for _, truth := range []float64{5, 6, 1, 12} {
		z := (truth - mean) / sd
		want := sd * (z*math.Erf(z/math.Sqrt2) + 2*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi) - 1/math.Sqrt(math.Pi))
		if got := CRPS(slices.Clone(v), truth); math.Abs(got-want) > 1e-3 { // what 20,000 steps leave out of the tails
			t.Errorf("at %v it is %v, want %v", truth, got, want)
		}
	}
	if got := CRPS([]float64{3}, 7.5); got != 4.5 {
		t.Errorf("of one value it is the distance: %v", got)
	}
}

// A series whose course and memory are known is found again: a year's wave of 8
// about 15, differences that halve in five days, each reading off by 1.
func TestPlainForecastsFindWhatIsThere(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const memory, spread, noise = 7.2, 2.0, 1.0
	read := map[string][]point{}
	for _, bin := range []string{"a", "b", "c", "d"} {
		off := 0.0
		for d := range 730 {
			off = off*math.Exp(-1/memory) + spread*math.Sqrt(1-math.Exp(-2/memory))*r.NormFloat64()
			a := 2 * math.Pi * float64(d) / 365.25
			read[bin] = append(read[bin], point{int64(d) * 24, 15 + 8*math.Sin(a) + off + noise*r.NormFloat64()})
		}
	}
	h := newHabit(read, noise)
	if math.Abs(h.mean[0]-15) > 0.5 || math.Abs(h.mean[2]-8) > 0.6 || math.Abs(h.mean[1]) > 0.6 { // about 200 independent values of 2, and the pull to no season
		t.Errorf("course %v, want 15, 0 and 8", h.mean)
	}
	if h.tau != 7 {
		t.Errorf("memory %v days, want the one tried next to 7.2", h.tau)
	}
	if want := spread * spread / (spread*spread + noise*noise); math.Abs(h.trust-want) > 0.1 { // four series of a hundred independent values
		t.Errorf("a reading is believed by %v, want %v", h.trust, want)
	}
	var sum float64
	for _, x := range h.around {
		sum += x * x
	}
	if sd := math.Sqrt(sum / float64(len(h.around))); math.Abs(sd-spread) > 0.3 {
		t.Errorf("differences from the course of %v, want %v without the readings' own error", sd, spread)
	}
}

// What is written to files and read again scores alike, the same seed gives the
// same farm, and what the twins are told never rests on what was recorded later.
func TestAFarmFromFilesIsTheSame(t *testing.T) {
	p := Plan{Bins: 3, Days: 75, Counts: true}
	f, err := Same(1, p)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Same(1, p)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(f, again) {
		t.Error("the same seed gives another farm")
	}
	var j, a bytes.Buffer
	if err := WriteJournal(&j, f.Entries); err != nil {
		t.Fatal(err)
	}
	if err := WriteAnswers(&a, f.Answers); err != nil {
		t.Fatal(err)
	}
	read := &Farm{Name: f.Name, Seed: f.Seed}
	if read.Entries, err = ReadJournal(&j); err != nil {
		t.Fatal(err)
	}
	if read.Answers, err = ReadAnswers(&a); err != nil {
		t.Fatal(err)
	}
	o := Options{Every: 20, First: 40}
	score := func(f *Farm) Result {
		m, err := Run(context.Background(), f, o)
		if err != nil {
			t.Fatal(err)
		}
		return Sum([]*Marks{m}, p.Days, "")
	}
	want, got := score(f), score(read)
	for i, c := range want.Cells {
		if d := got.Cells[i]; d.N != c.N || math.Abs(d.Twin.CRPS-c.Twin.CRPS) > 1e-4*c.Twin.CRPS { // answers are kept to six digits
			t.Errorf("%s, %d days: %v of %d, from files %v of %d", c.Quantity, c.Days, c.Twin.CRPS, c.N, d.Twin.CRPS, d.N)
		}
	}
	cut := &Farm{Name: f.Name, Seed: f.Seed, Entries: slices.Clone(f.Entries), Answers: f.Answers}
	first := f.Entries[0].At.Unix()/86400 + int64(o.First)
	for i := range cut.Entries { // all that comes after the first issue is lost, but for the last entry, which ends the farm
		if cut.Entries[i].Recorded.Unix() > first*86400 {
			cut.Entries = append(cut.Entries[:i], cut.Entries[len(cut.Entries)-1])
			break
		}
	}
	m, err := Run(context.Background(), f, o)
	if err != nil {
		t.Fatal(err)
	}
	n, err := Run(context.Background(), cut, o)
	if err != nil {
		t.Fatal(err)
	}
	now := func(m *Marks) (out []pair) {
		for _, x := range fair(m.pairs[midC][0], true) {
			if x.issue == first*24 {
				out = append(out, x)
			}
		}
		return out
	}
	if a, b := now(m), now(n); len(a) == 0 || !reflect.DeepEqual(a, b) {
		t.Errorf("what is said at the time of issue rests on what came later: %+v and %+v", a, b)
	}
}
