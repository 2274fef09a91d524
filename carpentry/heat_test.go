package carpentry_test

import (
	"math"
	"testing"

	"wormyard/carpentry"
)

// Walls between films of air inside a building, worked by hand from the handbook's
// tables: 38 mm of softwood, 19 mm of plywood, 12.7 mm of polyethylene; and wood
// by the formula of the wood handbook at 12 and 25 % of moisture.
func TestWhatWallsLetThrough(t *testing.T) {
	const films = 2 * 0.68 * 0.17611 // ft2 h F/Btu in m2 K/W
	for _, x := range []struct{ thick, k, want float64 }{{0.038, 0.115, 1.7546}, {0.019, 0.12, 2.5136}, {0.0127, 0.5, 3.7749}} {
		if got := carpentry.Transfer(x.thick, x.k, films, 0); math.Abs(got-x.want) > 1e-4 {
			t.Errorf("%g m of %g W/(m K): %g, want %g", x.thick, x.k, got, x.want)
		}
	}
	p := parameters(t)
	for moisture, want := range map[float64]float64{12: 0.1158, 25: 0.1369} {
		if got := p.WoodConductivity(0.40, moisture); math.Abs(got-want) > 5e-5 {
			t.Errorf("wood at %g %%: %g, want %g", moisture, got, want)
		}
	}
}

// A liner and thicker boards keep warmth, wood that is drier too, and the loss is
// that of the areas.
func TestLossOfABox(t *testing.T) {
	p := parameters(t)
	of := func(change func(*carpentry.Box)) carpentry.Built {
		x := everyday()
		change(&x)
		b, err := p.Build(x)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	bare := of(func(*carpentry.Box) {})
	last := bare.Loss.WK()
	for _, liner := range carpentry.Liners { // from the thinnest to the best
		got := of(func(x *carpentry.Box) { x.Lined, x.Liner = true, liner })
		if got.Loss.WK() >= last {
			t.Errorf("%s: %g W/K, and %g with less", liner, got.Loss.WK(), last)
		}
		last = got.Loss.WK()
	}
	if thin := of(func(x *carpentry.Box) { x.Wall, x.Floor = "1x6", "1x6" }); thin.Loss.WallU <= bare.Loss.WallU {
		t.Errorf("1x6 lets through %g, 2x6 %g", thin.Loss.WallU, bare.Loss.WallU)
	}
	const m2 = 0.0254 * 0.0254
	if want := bare.Loss.WallU * 4 * 42 * 16.5 * m2; math.Abs(bare.Loss.SidesWK-want) > 1e-9 {
		t.Errorf("sides %g W/K, want %g", bare.Loss.SidesWK, want)
	}
	if want := bare.Loss.FloorU * 42 * 42 * m2; math.Abs(bare.Loss.FloorWK-want) > 1e-9 {
		t.Errorf("floor %g W/K, want %g", bare.Loss.FloorWK, want)
	}
}

// What a check was made from makes it: the product of its factors is what is
// allowed.
func TestFactorsMakeWhatIsAllowed(t *testing.T) {
	b, err := parameters(t).Build(everyday())
	if err != nil {
		t.Fatal(err)
	}
	factor := func(c carpentry.Check, names ...string) float64 {
		out := 1.0
		for _, name := range names {
			found := false
			for _, f := range c.Factors {
				if f.Name == name {
					out, found = out*f.Value, true
				}
			}
			if !found {
				t.Fatalf("%s has no %q", c.Name, name)
			}
		}
		return out
	}
	for _, member := range []string{"floor board", "bearer", "bearer on forks", "lowest wall board"} {
		c := named(t, b, member+" bending")
		if want := factor(c, "strength in bending by the grade, Fb", "size factor C_F", "wet service C_M", "flat use C_fu", "load duration C_D"); math.Abs(c.Allowed-want) > 1e-9 {
			t.Errorf("%s: allowed %g, the factors give %g", c.Name, c.Allowed, want)
		}
		if got := factor(c, "bending moment M") / factor(c, "section modulus S of one"); c.Value > 2*got { // jolts make it 1.5 times at most
			t.Errorf("%s: %g psi, M/S is %g", c.Name, c.Value, got)
		}
		s := named(t, b, member+" shear")
		if want := factor(s, "strength in shear by the grade, Fv", "wet service C_M", "load duration C_D"); math.Abs(s.Allowed-want) > 1e-9 {
			t.Errorf("%s: allowed %g, the factors give %g", s.Name, s.Allowed, want)
		}
	}
	c := named(t, b, "corner post")
	if want := factor(c, "strength along the grain by the grade, Fc", "size factor C_F", "wet service C_M", "load duration C_D", "column stability C_P", "section area A of one"); math.Abs(c.Allowed-want) > 1e-6 {
		t.Errorf("post: allowed %g, the factors give %g", c.Allowed, want)
	}
}
