package carpentry_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"wormyard/carpentry"
	"wormyard/figure"
	"wormyard/internal/highs"
	"wormyard/internal/nature"
	"wormyard/internal/published"
	"wormyard/program"
	"wormyard/work"
)

func parameters(t testing.TB) carpentry.Parameters {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	return n.Wood
}

func TestPublished_ReferenceComputedWood(t *testing.T) {
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	published.RunFigures(t, published.Open(t, "reference_computed_wood"), append(carpentry.Figures(n.Wood), work.Figures(n.Work)...))
}

func solver(t testing.TB) program.Solver {
	s := highs.Open(highs.Options{})
	t.Cleanup(func() { _ = s.Close() })
	return s.Solve
}

// everyday is the bin of the worked cases, near enough: 48 by 48 in, posts
// outside, castings at 55 lb/ft3, three high.
func everyday() carpentry.Box {
	return carpentry.Box{
		Length: 48, Width: 48, Height: 28, Wall: "2x6", Floor: "2x6", Bearer: "2x4", Skid: "4x4", Post: "2x4", Bearers: 3, Skids: 3,
		Species: "spruce-pine-fir", Grade: "No 2", FillLbFt3: 55, High: 3, Fastener: "screw", DiameterIn: 0.19, PointIn: 1.5, PerJoint: 2,
		ForksIn: 24, TruckLb: 4000, TruckCenter: 24,
	}
}

// What goes in comes out: the fill by its room, the pieces by the wood, the
// lowest post by what stands above it.
func TestABinWorkedOut(t *testing.T) {
	p := parameters(t)
	x := everyday()
	b, err := p.Build(x)
	if err != nil {
		t.Fatal(err)
	}
	if !b.OK() {
		t.Errorf("the everyday bin fails: %+v", b.Checks)
	}
	// 3.5 + 3.5 + 1.5 of floor leave 19.5 in for walls: three courses of 5.5
	if b.Courses != 3 || math.Abs(b.Stands-25) > 1e-9 || math.Abs(b.Inside[0]-(48-3-3)) > 1e-9 {
		t.Errorf("%+v", b)
	}
	if want := 42.0 * 42 * 16.5 / 1728 * 55; math.Abs(b.FillLb-want) > 1e-9 {
		t.Errorf("fill %g lb, want %g", b.FillLb, want)
	}
	volume := 0.0
	for _, q := range b.Pieces {
		s, _ := carpentry.Dressed(q.Stick)
		volume += s.Area() * q.Length * float64(q.Count) / 1728
	}
	if want := volume * 0.42 * 62.4 * 1.3; math.Abs(b.WoodLb-want) > 1e-9 {
		t.Errorf("wood %g lb, want %g", b.WoodLb, want)
	}
	if got, want := named(t, b, "corner post").Value, 2*b.BoxLb/4; math.Abs(got-want) > 1e-9 {
		t.Errorf("a post of three bins carries %g, want %g", got, want)
	}
}

// Four bins of 1400 lb stand on four posts: the lowest carries 3 x 1400/4 = 1050
// lb, 85.7 psi along a 4x4; on 1.5 by 3.5 in that is 200 psi, and spruce-pine-fir
// bears 425 x 0.67 across the grain when wet. A joist of 332.8 lb needs 0.779 in
// of 1.5 in there. On forks 27 in apart a length of 48 in bends by
// 1607.8 lb in over them. All by hand, as in reference_computed_wood.
func TestWhatPostsAndJoistsRestOn(t *testing.T) {
	p := parameters(t)
	near := func(what string, got, want, rel float64) {
		t.Helper()
		if math.Abs(got-want) > rel*want {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	x := everyday()
	x.High = 4
	b, err := p.Build(x)
	if err != nil {
		t.Fatal(err)
	}
	bears := named(t, b, "bearing under a post")
	near("bearing of 1400 lb", bears.Value*1400/b.BoxLb, 200, 1e-9)
	near("bearing allowed", bears.Allowed, 284.75, 1e-9)
	near("post of 1400 lb", named(t, b, "corner post").Value*1400/b.BoxLb, 1050, 1e-9)
	post, _ := carpentry.Dressed("4x4")
	near("along a 4x4", 1050/post.Area(), 85.714, 1e-5)
	// a 4x4 inside rests on 1.5 in of bearer too: 1050 lb on 5.25 in2 are 200 psi
	inside := x
	inside.Post, inside.PostsInside = "4x4", true
	if b, err = p.Build(inside); err != nil {
		t.Fatal(err)
	}
	near("bearing of 1400 lb inside", named(t, b, "bearing under a post").Value*1400/b.BoxLb, 200, 1e-9)
	if !slices.ContainsFunc(b.Notes, func(n string) bool { return strings.Contains(n, "block") }) {
		t.Errorf("nothing is said of what stands under posts inside: %q", b.Notes)
	}
	near("end of a joist", 332.8/(1.5*bears.Allowed), 0.779, 1e-3)
	forks := carpentry.Load{Kind: "forks", PerIn: 1400.0 / 48, Span: 48, ForksIn: 27}
	near("over a fork, the larger", forks.Forces(1).Moment, 1607.8, 1e-4)
}

// Floor boards over three bearers are two equal spans: the middle one carries 5/4 of a
// field, 0.625 of the bin, on 3.5 by 1.5 in between skids 22.25 in apart, where it goes
// on over the middle skid too. By hand for 0.625 of 1144.94 lb on 48 in.
func TestTheMiddleBearerCarriesMost(t *testing.T) {
	b, err := parameters(t).Build(everyday())
	if err != nil {
		t.Fatal(err)
	}
	w := 0.625 * b.BoxLb / 48
	for name, want := range map[string]float64{
		"bearer bending": w * 22.25 * 22.25 / 8 / (1.5 * 3.5 * 3.5 / 6),
		"bearer shear":   1.5 * w * 22.25 * 5 / 8 / (1.5 * 3.5),
	} {
		if got := named(t, b, name).Value; math.Abs(got-want) > 1e-9*want {
			t.Errorf("%s: %g psi, want %g", name, got, want)
		}
	}
}

// What fasteners hold is less for a push that stays, as all strength is but that across
// the grain. By hand: 2850 x 0.42 x 0.42 x 0.19 lb/in, 0.7 of it in wood that is wet and
// dry in turn, 0.9 for good, 1.5 in of six screws at a corner, and of two at a board.
func TestFastenersHoldLessForGood(t *testing.T) {
	screw := 2850 * 0.42 * 0.42 * 0.19 * 0.7 * 0.9 * 1.5
	x := everyday()
	for name, want := range map[string]float64{"corner fasteners": 6 * screw, "wall fasteners": 2 * screw} {
		x.PostsInside = name == "wall fasteners"
		b, err := parameters(t).Build(x)
		if err != nil {
			t.Fatal(err)
		}
		if got := named(t, b, name).Allowed; math.Abs(got-want) > 1e-9*want {
			t.Errorf("%s hold %g lb, want %g", name, got, want)
		}
	}
}

// A length without a price beside others that have one would be taken as free.
func TestALengthWithoutAPriceIsAskedFor(t *testing.T) {
	pieces := []carpentry.Piece{{Name: "long side", Stick: "2x6", Length: 48, Count: 4}, {Name: "short side", Stick: "2x6", Length: 40, Count: 4}}
	stock := []carpentry.Stock{{Stick: "2x6", Length: 96, Price: 6}, {Stick: "2x6", Length: 192}, {Stick: "2x4", Length: 96}}
	_, err := carpentry.CutList(context.Background(), solver(t), pieces, stock, 0.125)
	var r *figure.Refusal
	if !errors.As(err, &r) || len(r.Problems) != 1 || !strings.Contains(err.Error(), "2x6 of 192 in has no price") {
		t.Errorf("%v", err)
	}
}

func named(t *testing.T, b carpentry.Built, name string) carpentry.Check {
	t.Helper()
	for _, c := range b.Checks {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no check %q", name)
	return carpentry.Check{}
}

// Every check fails for the box that should make it fail, and for the reason
// named: more weight, a thinner board, a taller stack, a weaker truck.
func TestWhatFails(t *testing.T) {
	p := parameters(t)
	for name, worse := range map[string]func(*carpentry.Box){
		"floor board bending": func(x *carpentry.Box) { x.Floor, x.Bearers = "1x4", 2; x.FillLbFt3 = 62.4 },
		"floor board sag":     func(x *carpentry.Box) { x.Floor, x.Bearers = "1x6", 2 },
		"height of the stack": func(x *carpentry.Box) { x.High, x.Width = 4, 30 },
		"bins in the stack":   func(x *carpentry.Box) { x.High = 5 },
		"truck":               func(x *carpentry.Box) { x.TruckLb = 1000 },
		"wall fasteners":      func(x *carpentry.Box) { x.PostsInside, x.Fastener, x.DiameterIn, x.PerJoint = true, "nail", 0.131, 1 },
		"lowest wall board, full of water": func(x *carpentry.Box) {
			x.Wall, x.Length, x.Height = "1x6", 96, 40
		},
	} {
		x := everyday()
		b, err := p.Build(x)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range b.Checks {
			if c.Name == name && !c.OK {
				t.Errorf("%s fails before it is made worse", name)
			}
		}
		worse(&x)
		b, err = p.Build(x)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if c := named(t, b, name); c.OK {
			t.Errorf("%s holds: %+v", name, c)
		}
	}
}

// More of the same load bends more, in proportion; deeper boards bend less.
func TestBendingIsMonotone(t *testing.T) {
	p := parameters(t)
	g, err := p.Lumber("SPF", "no. 2")
	if err == nil {
		t.Fatal("an abbreviation is no name of a species here")
	}
	g, err = p.Lumber("Spruce Pine Fir", "#2")
	if err != nil {
		t.Fatal(err)
	}
	of := func(load, depth float64) carpentry.Bent {
		return p.Bend(carpentry.Member{Section: carpentry.Section{Width: 1.5, Depth: depth}, Grade: g, Wet: true, Load: carpentry.Load{Kind: "uniform", PerIn: load, Span: 40}})
	}
	a, b, c := of(5, 3.5), of(10, 3.5), of(5, 5.5)
	if math.Abs(b.Stress-2*a.Stress) > 1e-9 || math.Abs(b.Sag-2*a.Sag) > 1e-12 || c.Stress >= a.Stress || c.Sag >= a.Sag {
		t.Errorf("%+v %+v %+v", a, b, c)
	}
}

// A length on forks bends least where it bends alike over them and between: an
// overhang a and forks s apart with w a2/2 = w s2/8 - w a2/2, so s = a sqrt 8.
func TestForksStandBestApart(t *testing.T) {
	l := carpentry.Load{Kind: "forks", PerIn: 10, Span: 48}
	at := func(share float64) float64 { l.ForksIn = share * 48; return l.Forces(1).Moment }
	best := math.Sqrt(8) / (2 + math.Sqrt(8)) // w a2/2 = w s2/8 - w a2/2
	for _, other := range []float64{best - 0.05, best + 0.05, 0.2, 0.95} {
		if at(other) <= at(best) {
			t.Errorf("forks at %.2f bend %g, at %.2f %g", other, at(other), best, at(best))
		}
	}
}

func TestBadBoxes(t *testing.T) {
	p := parameters(t)
	for want, bad := range map[string]func(*carpentry.Box){
		"A stack of 10":         func(x *carpentry.Box) { x.High = 10 },
		"is no stick":           func(x *carpentry.Box) { x.Wall = "3x7" },
		"no wall board fits":    func(x *carpentry.Box) { x.Height = 9 },
		"no room inside":        func(x *carpentry.Box) { x.Width, x.Wall = 12, "4x4" },
		"do not touch":          func(x *carpentry.Box) { x.Post = "4x4" },
		"do not go under a bin": func(x *carpentry.Box) { x.ForksIn = 60 },
		"no strength values":    func(x *carpentry.Box) { x.Species = "balsa" },
		"is not castings":       func(x *carpentry.Box) { x.FillLbFt3 = math.NaN() },
		"skids are not":         func(x *carpentry.Box) { x.Skids = 0 },
		"The length of":         func(x *carpentry.Box) { x.Length = math.Inf(1) },
	} {
		x := everyday()
		bad(&x)
		if _, err := p.Build(x); err == nil || !strings.Contains(allOf(err), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

func allOf(err error) string {
	return err.Error() + " " + strings.Join(saysOf(err), " ")
}

// The cut list against every list there is, on small ones: nothing costs less.
func TestCutListAgainstBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	solve := solver(t)
	for n := range 30 {
		stock := []carpentry.Stock{{Stick: "2x4", Length: 96, Price: float64(r.IntN(4) + 3)}, {Stick: "2x4", Length: 120, Price: float64(r.IntN(4) + 5)}}
		if n%3 == 0 {
			stock[0].Price, stock[1].Price = 0, 0
		}
		var pieces []carpentry.Piece
		var flat []float64
		for range 1 + r.IntN(3) {
			q := carpentry.Piece{Name: "piece", Stick: "2x4", Length: float64(10 + r.IntN(85)), Count: 1 + r.IntN(2)}
			pieces = append(pieces, q)
			for range q.Count {
				flat = append(flat, q.Length)
			}
		}
		got, err := carpentry.CutList(context.Background(), solve, pieces, stock, 0.125)
		if err != nil {
			t.Fatal(err)
		}
		want := bruteCut(flat, nil, stock, 0.125)
		cost := got.Price
		if n%3 == 0 {
			cost = got.Bought
		}
		if !got.Proved || math.Abs(cost-want) > 1e-9 {
			t.Errorf("%v: list costs %g, the best %g", pieces, cost, want)
		}
		whole(t, got, flat)
	}
}

// bruteCut puts each piece on every stick begun, and on a new one of each length.
func bruteCut(left []float64, open []float64, stock []carpentry.Stock, kerf float64) float64 {
	if len(left) == 0 {
		return 0
	}
	best := math.Inf(1)
	for i, room := range open {
		if room >= left[0]-1e-9 {
			next := append([]float64(nil), open...)
			next[i] -= left[0] + kerf
			best = math.Min(best, bruteCut(left[1:], next, stock, kerf))
		}
	}
	for _, s := range stock {
		if s.Length >= left[0] {
			cost := s.Price
			if cost == 0 {
				cost = s.Length
			}
			next := append(append([]float64(nil), open...), s.Length-left[0]-kerf)
			best = math.Min(best, cost+bruteCut(left[1:], next, stock, kerf))
		}
	}
	return best
}

// whole checks that every piece is cut once and every stick holds its pieces.
func whole(t *testing.T, c carpentry.Cutting, wanted []float64) {
	t.Helper()
	left := map[float64]int{}
	for _, l := range wanted {
		left[l]++
	}
	for _, k := range c.Cuts {
		sum := 0.0
		for i, l := range k.Pieces {
			sum += l
			if i > 0 {
				sum += 0.125
			}
			left[l] -= k.Times
		}
		if sum > k.Stock+1e-9 {
			t.Errorf("%v from %g in", k.Pieces, k.Stock)
		}
	}
	for l, n := range left {
		if n != 0 {
			t.Errorf("%d of %g in are missing (or too many)", n, l)
		}
	}
}

func TestCutListOfABin(t *testing.T) {
	b, err := parameters(t).Build(everyday())
	if err != nil {
		t.Fatal(err)
	}
	var stock []carpentry.Stock
	for _, stick := range []string{"2x6", "2x4", "4x4"} {
		for _, feet := range []float64{8, 10, 12, 16} {
			stock = append(stock, carpentry.Stock{Stick: stick, Length: 12 * feet})
		}
	}
	c, err := carpentry.CutList(context.Background(), solver(t), b.Pieces, stock, 0.125)
	if err != nil {
		t.Fatal(err)
	}
	wanted := 0.0
	for _, q := range b.Pieces {
		wanted += q.Length * float64(q.Count)
	}
	if !c.Proved || c.Bought < wanted || c.Waste > 0.15*c.Bought {
		t.Errorf("bought %g in for %g in of pieces, waste %g", c.Bought, wanted, c.Waste)
	}
	if _, err := carpentry.CutList(context.Background(), solver(t), []carpentry.Piece{{Name: "long side", Stick: "2x6", Length: 200, Count: 1}}, stock, 0.125); err == nil || !strings.Contains(err.Error(), "longest 2x6 on the list is 192 in") {
		t.Errorf("%v", err)
	}
}

func saysOf(err error) (out []string) {
	if r, ok := err.(*figure.Refusal); ok {
		for _, p := range r.Problems {
			out = append(out, p.Say)
		}
	}
	return out
}

// What is wrong is told in the order of the form, the same each time.
func TestWhatIsWrongIsToldInOrder(t *testing.T) {
	p, x := parameters(t), everyday()
	x.Wall, x.Floor, x.Bearer, x.Skid, x.Post = "a", "b", "c", "d", "e"
	for range 20 {
		_, err := p.Build(x)
		var got []string
		for _, q := range err.(*figure.Refusal).Problems {
			got = append(got, q.Field)
		}
		if want := "wall floor bearer skid post"; strings.Join(got, " ") != want {
			t.Fatalf("told %v, want %s", got, want)
		}
	}
}

// Inches are told as a tape has them.
func TestInches(t *testing.T) {
	for v, want := range map[float64]string{48: "48", 16.5: "16 1/2", 0.0625: "1/16", 5.3125: "5 5/16", 47.999: "48", 0: "0", 2.75: "2 3/4"} {
		if got := carpentry.Inches(v); got != want {
			t.Errorf("%g is %q, want %q", v, got, want)
		}
	}
}
