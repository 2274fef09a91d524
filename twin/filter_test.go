package twin

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"wormyard/bed"
)

// What a word leaves of a normal quantity is its prior times the probit of its
// class, normalised: mean and variance by a sum over a fine grid.
func TestAWordAsANumber(t *testing.T) {
	bounds := []float64{0.58, 0.68, 0.78, 0.84}
	rapid.Check(t, func(t *rapid.T) {
		mean := rapid.Float64Range(0.5, 0.9).Draw(t, "mean")
		sd := rapid.Float64Range(0.01, 0.1).Draw(t, "sd")
		err := rapid.Float64Range(0.02, 0.1).Draw(t, "error")
		class := rapid.IntRange(0, 4).Draw(t, "class")
		told, off, believed := asNumber(mean, sd*sd, sight{variance: err * err, bounds: bounds, class: class}, 6)
		all := math.Hypot(sd, err)
		if !believed || math.IsInf(off, 1) || class > 0 && bounds[class-1]-mean > unlikely*all || class < 4 && mean-bounds[class] > unlikely*all {
			return
		}
		var sum, m1, m2 float64
		for i := -4000; i <= 4000; i++ {
			z := float64(i) / 500
			x := mean + sd*z
			w := math.Exp(-z*z/2) * between(x, err, class, bounds...)
			sum, m1, m2 = sum+w, m1+w*x, m2+w*x*x
		}
		m1, m2 = m1/sum, m2/sum-m1*m1/sum/sum
		gain := sd * sd / (sd*sd + off*off)
		if got := mean + gain*(told-mean); math.Abs(got-m1) > 1e-5 {
			t.Fatalf("mean %.6f, by summing %.6f", got, m1)
		}
		if got := sd * sd * (1 - gain); math.Abs(got-m2) > 1e-4*sd*sd {
			t.Fatalf("variance %.8f, by summing %.8f", got, m2)
		}
	})
}

// By equation 4.10 of Gaspari and Cohn (1999): 1 at no distance, 5/24 at half the
// reach, 0 at it, smooth where its two parts meet.
func TestTaper(t *testing.T) {
	for at, want := range map[float64]float64{0: 1, 0.25: 5.0 / 24, 0.5: 0, 0.7: 0} {
		if got := taper(at, 0.5); math.Abs(got-want) > 1e-12 {
			t.Errorf("at %.2f m %.6f, want %.6f", at, got, want)
		}
	}
	if d := taper(0.25+1e-7, 0.5) - taper(0.25-1e-7, 0.5); math.Abs(d) > 1e-6 {
		t.Errorf("a step of %g where the parts meet", d)
	}
}

// members of a bed of four layers with numbers drawn for the test
func somewhere(r *rand.Rand) (*Crew, *Ensemble, bed.Box) {
	p := bed.Parameters{}
	p.Column.OrganicDensity, p.Column.AshDensity, p.Column.DryHeat = 1500, 2600, 1500
	p.Worm.DryFrac, p.Worm.CarbonFrac, p.Worm.NitrogenFrac = 0.2, 0.45, 0.1
	draws := make([]bed.Parameters, Members)
	for m := range draws {
		draws[m] = p
	}
	c := NewCrew(Parameters{Reach: 0.3, Broken: 6, SpotC: 1, ProbeSD: 1, DepthSD: 0.01}, draws, 1)
	e := &Ensemble{Bin: "B1", Members: make([]Member, Members)}
	for m := range e.Members {
		b := &e.Members[m]
		*b = Member{Draw: m, Amount: math.Exp(0.1 * r.NormFloat64()), Air: r.NormFloat64(), Wet: 1, Stock: 1, Unwritten: 0.1, Tare: math.NaN()}
		for i := range 4 {
			dry := 6 * math.Exp(0.2*r.NormFloat64())
			cast := dry * 0.6 * expit(r.NormFloat64())
			b.State.Layers = append(b.State.Layers, bed.Layer{ID: uint64(i), DepthM: 0.1 * math.Exp(0.1*r.NormFloat64()), Quick: 0.1 * (dry*0.8 - cast), Slow: 0.9 * (dry*0.8 - cast), Cast: cast, Woody: 0.1 * dry, Ash: 0.1 * dry,
				Carbon: 0.4 * dry, Nitrogen: 0.02 * dry, Water: dry * 2.5 * math.Exp(0.1*r.NormFloat64()), TempC: 18 + 2*b.Air + r.NormFloat64(), Oxygen: 0.2})
		}
		b.State.Worms.AdultKg, b.State.Worms.Adults = 5*math.Exp(0.3*r.NormFloat64()), 8000
	}
	return c, e, bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6}
}

// A number that is itself measured moves by Kalman's formula, mean and variance.
func TestAMeasurementIsKalmans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, e, box := somewhere(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)))
		air := func() []float64 {
			v := make([]float64, Members)
			for m := range v {
				v[m] = e.Members[m].Air
			}
			return v
		}
		told, noise := rapid.Float64Range(-1.5, 1.5).Draw(t, "told"), rapid.Float64Range(0.2, 4).Draw(t, "noise")
		mean, variance := moments(air())
		c.move(e, box, Temperature, air(), told, noise, math.NaN())
		gain := variance / (variance + noise)
		m, v := moments(air())
		if want := mean + gain*(told-mean); math.Abs(m-want) > 1e-9 {
			t.Fatalf("mean %.9f, Kalman's %.9f", m, want)
		}
		if want := variance * (1 - gain); math.Abs(v-want) > 1e-9 {
			t.Fatalf("variance %.9f, Kalman's %.9f", v, want)
		}
	})
}

// What a reading moves is booked to the last gram, moves the layer it was read in
// toward it, leaves what lies out of reach and what no process makes: no pool
// below nothing, no water without room.
func TestAReadingMovesABed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, e, box := somewhere(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2)))
		before := e.Clone()
		depth := rapid.Float64Range(0, 0.5).Draw(t, "depth")
		told := rapid.Float64Range(-300, 300).Draw(t, "told")
		kind := rapid.SampledFrom([]Kind{Temperature, Moisture, Height, WormsKg, WormsNumber}).Draw(t, "kind")
		var news []News
		c.Watch(func(n News) { news = append(news, n) })
		c.take(e, box, Found{Kind: kind, Value: told, DepthM: depth})
		if len(news) != 1 || len(news[0].Expected) != Members {
			t.Fatalf("%d news of one reading", len(news))
		}
		was, _ := moments(news[0].Expected)
		if news[0].Believed && kind == Temperature && (news[0].After.Mid-was)*(told-was) < 0 && math.Abs(news[0].After.Mid-was) > 0.5 {
			t.Fatalf("read %.2f: expected %.2f before and %.2f after", told, was, news[0].After.Mid)
		}
		for m := range e.Members {
			b, old := &e.Members[m], &before.Members[m]
			r := c.epochs[0].runner(m)
			moved := r.Contents(box, &b.State).Less(r.Contents(box, &old.State)).Less(b.Moved)
			for _, x := range []float64{moved.Dry, moved.Water, moved.Carbon, moved.Nitrogen, moved.Heat / 1e6} {
				if !(math.Abs(x) < 1e-9) {
					t.Fatalf("member %d: %+v is not booked", m, moved)
				}
			}
			for i := range b.State.Layers {
				l := &b.State.Layers[i]
				for _, x := range []float64{l.Quick, l.Slow, l.Cast, l.Woody, l.Ash, l.Water, l.Ice, l.DepthM} {
					if !(x >= 0) || math.IsInf(x, 0) {
						t.Fatalf("member %d, layer %d: %+v", m, i, *l)
					}
				}
				if math.IsNaN(l.TempC) || l.TempC > 90 || l.TempC < -60 {
					t.Fatalf("member %d, layer %d at %.1f C", m, i, l.TempC)
				}
				if kind == Temperature && math.Abs(below(&old.State, i)-depth) > 0.4 && l.TempC != old.State.Layers[i].TempC {
					t.Fatalf("a layer %.2f m below the surface was moved by a reading at %.2f m", below(&old.State, i), depth)
				}
			}
		}
	})
}

// What says nothing of water leaves it as it was in every member, however far off it
// lies and however well the two seem to go together; what is of water moves it.
func TestOnlyWhatIsOfWaterMovesWater(t *testing.T) {
	kinds := map[Kind]float64{Temperature: 25, Height: 0.5, WormsKg: 9, WormsNumber: 9000, Moisture: 0.7}
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		c, e, box := somewhere(r)
		for m := range e.Members { // wet where it is warm, deep and full of worms
			b := &e.Members[m]
			z := r.NormFloat64()
			b.Wet = math.Exp(0.06 * z)
			b.State.Worms = b.State.Worms.Times(math.Exp(0.3*z), math.Exp(0.3*z))
			for i := range b.State.Layers {
				l := &b.State.Layers[i]
				l.Water, l.TempC, l.DepthM = l.Dry()*2*math.Exp(0.1*z), 18+2*z, 0.1*math.Exp(0.1*z)
			}
		}
		before := e.Clone()
		kind := rapid.SampledFrom([]Kind{Temperature, Height, WormsKg, WormsNumber, Moisture}).Draw(t, "kind")
		c.take(e, box, Found{Kind: kind, Value: kinds[kind], DepthM: 0.15})
		moved := 0.0
		for m := range e.Members {
			b, old := &e.Members[m], &before.Members[m]
			moved = math.Max(moved, math.Abs(b.Wet-old.Wet))
			for i := range b.State.Layers {
				moved = math.Max(moved, math.Abs(b.State.Layers[i].WaterOfWet()-old.State.Layers[i].WaterOfWet()))
			}
		}
		if wants := kind == Moisture; (moved > 1e-9) != wants {
			t.Fatalf("%s moved the water by %.3g", kind, moved)
		}
	})
}

// Nothing is made of what cannot be: a reading too far off for any error is told
// and not believed.
func TestAReadingFarOffIsNotBelieved(t *testing.T) {
	c, e, box := somewhere(rand.New(rand.NewPCG(3, 3)))
	before := e.AppendBinary(nil)
	var news []News
	c.Watch(func(n News) { news = append(news, n) })
	c.take(e, box, Found{Kind: Temperature, Value: 75, DepthM: 0.1})
	if len(news) != 1 || news[0].Believed || string(e.AppendBinary(nil)) != string(before) {
		t.Errorf("75 C in a bed of 18: %+v", news)
	}
}

// A word that nobody expected moves what it is of as an unlikely number does; one
// that is out of the question does not.
func TestAnUnexpectedWord(t *testing.T) {
	few := sight{variance: 0.25, bounds: []float64{math.Log(2.5), math.Log(8)}, class: 0}
	told, sd, believed := asNumber(math.Log(20), 0.04, few, 6)
	if !believed || math.Abs(told-math.Log(2.5)) > 1e-12 || sd != 0.5 {
		t.Errorf("few where 20 kg were expected counts as %.3g with %.3g, %v", math.Exp(told), sd, believed)
	}
	if _, _, believed := asNumber(math.Log(100), 0.04, few, 6); believed {
		t.Error("few where 100 kg were expected was believed")
	}
}

// Whatever is found of a bin, as often as anybody looks, what is peculiar to it is
// never taken for known.
func TestABinIsNeverKnown(t *testing.T) {
	c, e, box := somewhere(rand.New(rand.NewPCG(5, 5)))
	c.P.AirSD, c.P.AmountBiasSD, c.P.LeastSpread = 1, 0.1, 0.35
	for range 200 {
		c.take(e, box, Found{Kind: Temperature, Value: 18, DepthM: 0.1})
	}
	v := make([]float64, Members)
	for m := range v {
		v[m] = e.Members[m].Air
	}
	if _, variance := moments(v); math.Sqrt(variance) < 0.35-1e-9 {
		t.Errorf("the air of its place is known to %.3f C", math.Sqrt(variance))
	}
}

// Members whose worms died do not keep a bin from having those that were seen.
func TestWormsSeenWhereSomeMembersHaveNone(t *testing.T) {
	c, e, box := somewhere(rand.New(rand.NewPCG(6, 6)))
	c.P.CountSD, c.P.WormsMany = 0.4, 8
	for m := range e.Members {
		c.epochs[0].Numbers[m].Worm.MatureG = 0.3
	}
	for m := range 4 {
		e.Members[m].State.Worms = e.Members[m].State.Worms.Times(1e-12, 1e-12)
	}
	alive := func() (n int) {
		for m := range e.Members {
			if e.Members[m].State.Worms.LiveKg()/box.Area() > 0.5 {
				n++
			}
		}
		return n
	}
	before := alive()
	for range 12 {
		c.take(e, box, Found{Kind: WormsKg, Value: 4})
	}
	if n := alive(); before != Members-4 || n <= before {
		t.Errorf("%d members had worms, and %d after 4 kg under a square metre were counted twelve times", before, n)
	}
}
