package drawing_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"wormyard/carpentry"
	"wormyard/internal/drawing"
	"wormyard/internal/nature"
)

func words() drawing.Words {
	return drawing.Words{Inch: "in", Foot: "ft", Plan: "Plan", Front: "Long side", Side: "Short side", Section: "Section", Exploded: "Taken apart", Corner: "Corner", Cuts: "Cut list",
		Inside: "inside", Forks: "forks", Bed: "bed", Liner: "liner", Holes: "%d holes of %s, %s apart", Many: "%d × %s", Fasteners: "2 screws of No. 10, 0.19 in · 4.8 mm,\nat each board and post, 1 1/2 in · 38 mm past it", OneBin: "%d × %s, %s", Left: "left %s",
		Pieces: map[string]string{"long side": "lado largo", "short side": "lado corto", "corner post": "poste de esquina", "floor board": "tabla del piso", "bearer": "viga", "skid": "patín"}}
}

// bins are bins of every kind of build, with holes and a cut list.
func bins(t testing.TB) map[string]drawing.Bin {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]drawing.Bin{}
	for name, change := range map[string]func(*carpentry.Box){
		"everyday": func(*carpentry.Box) {},
		"inside":   func(x *carpentry.Box) { x.PostsInside, x.Lined = true, true },
		"long":     func(x *carpentry.Box) { x.Length, x.Width, x.Skids, x.Bearers = 118.4, 30, 4, 5 },
		"deep":     func(x *carpentry.Box) { x.Width, x.Height, x.Skid = 40.3, 71, "2x4" },
		"small":    func(x *carpentry.Box) { x.Length, x.Width, x.Height, x.ForksIn = 24, 18, 14.5, 12 },
	} {
		x := carpentry.Box{
			Length: 48, Width: 48, Height: 28, Wall: "2x6", Floor: "2x6", Bearer: "2x4", Skid: "4x4", Post: "2x4", Bearers: 3, Skids: 3, Species: "spruce-pine-fir", Grade: "No 2",
			FillLbFt3: 55, High: 3, Fastener: "screw", DiameterIn: 0.19, PointIn: 1.5, PerJoint: 2, ForksIn: 24, HoleIn: 1,
		}
		change(&x)
		b, err := n.Wood.Build(x)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		holes, err := carpentry.PatternOf(x, b, 4, 1)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		var cuts []carpentry.Cut
		for _, p := range b.Pieces {
			for range p.Count { // each from a stick of its own: the longest list there is
				cuts = append(cuts, carpentry.Cut{Stick: p.Stick, Stock: 144, Times: 1, Pieces: []float64{p.Length}, Waste: 144 - p.Length - 0.125})
			}
		}
		out[name] = drawing.Bin{Box: x, Built: b, Holes: holes, Cuts: cuts, Words: words()}
	}
	return out
}

// extent is the room that a text takes, by how wide letters are in the mean.
func extent(t drawing.Text) (x1, y1, x2, y2 float64) {
	high, each := drawing.Letters, 6.2
	if t.Small {
		high, each = drawing.Small, 5.5
	}
	wide := each * float64(len([]rune(t.Say)))
	from := map[drawing.Align]float64{drawing.Middle: -wide / 2, drawing.Start: 0, drawing.End: -wide}[t.Align]
	if t.Turned {
		return t.At.X - 0.8*high, t.At.Y - wide/2, t.At.X, t.At.Y + wide/2
	}
	return t.At.X + from, t.At.Y - 0.8*high, t.At.X + from + wide, t.At.Y
}

// Nothing is drawn beside the sheet, no words lie on other words, and every view
// has something cut or seen on it.
func TestViewsAreLegible(t *testing.T) {
	for name, b := range bins(t) {
		for _, v := range b.Views() {
			edges := 0
			for _, s := range v.Shapes {
				if s.Pen == drawing.Edge || s.Pen == drawing.Heavy || s.Pen == drawing.Thin && s.Fill != drawing.Clear {
					edges++
				}
				for _, p := range s.Points {
					if !(p.X > -6 && p.X < drawing.Wide+6 && p.Y > -6 && p.Y < v.High+2) {
						t.Errorf("%s, %s: a line goes to %+v of %g by %g", name, v.Title, p, drawing.Wide, v.High)
					}
				}
			}
			if edges < 4 {
				t.Errorf("%s, %s: %d edges", name, v.Title, edges)
			}
			for i, a := range v.Texts {
				x1, y1, x2, y2 := extent(a)
				if x1 < -6 || y1 < -8 || x2 > drawing.Wide+6 || y2 > v.High+2 {
					t.Errorf("%s, %s: %q goes beside the sheet: %g %g to %g %g of %g", name, v.Title, a.Say, x1, y1, x2, y2, v.High)
				}
				for _, o := range v.Texts[:i] {
					u1, w1, u2, w2 := extent(o)
					if math.Min(x2, u2)-math.Max(x1, u1) > 2 && math.Min(y2, w2)-math.Max(y1, w1) > 2 {
						t.Errorf("%s, %s: %q lies on %q", name, v.Title, a.Say, o.Say)
					}
				}
			}
		}
	}
}

// The sizes of a bin stand on its views, in inches and in millimetres worked by
// hand: 48 in is 1219.2 mm, 16.5 in 419.1 mm.
func TestViewsTellTheSizes(t *testing.T) {
	said := map[string]string{}
	for _, v := range bins(t)["everyday"].Views() {
		for _, x := range v.Texts {
			said[v.Title] += x.Say + "\n"
		}
	}
	for title, want := range map[string][]string{
		"Plan": {"48 in · 1219 mm", "inside 42 in · 1067 mm"}, "Long side": {"25 in · 635 mm", "16 1/2 in · 419 mm", "1 1/2 in · 38 mm", "18 3/4 in", "476 mm", "forks"},
		"Section": {"42 in · 1067 mm", "3 1/2 in · 89 mm"}, "Taken apart": {"8 × poste de esquina", "2x4, 16 1/2 in · 419 mm", "9 × tabla del piso"}, "Cut list": {"1 × 2x6, 12 ft · 3658 mm", "left 98 7/8 in · 2511 mm"},
	} {
		for _, w := range want {
			if !strings.Contains(said[title], w) {
				t.Errorf("%s lacks %q:\n%s", title, w, said[title])
			}
		}
	}
}

// The file of SVG is one that every reader takes, and needs no style sheet.
func TestSVGIsWhole(t *testing.T) {
	for name, b := range bins(t) {
		var out bytes.Buffer
		if err := drawing.WriteSVG(&out, "Bin <of> 48 & more", "foot", b.Views()); err != nil {
			t.Fatal(err)
		}
		paths, texts := 0, 0
		d := xml.NewDecoder(&out)
		for {
			tok, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if e, ok := tok.(xml.StartElement); ok {
				for _, a := range e.Attr {
					if a.Name.Local == "class" || a.Name.Local == "style" || strings.Contains(a.Value, "NaN") {
						t.Errorf("%s: <%s %s=%q>", name, e.Name.Local, a.Name.Local, a.Value)
					}
				}
				switch e.Name.Local {
				case "path":
					paths++
				case "text":
					texts++
				}
			}
		}
		want, wantTexts := 0, 2
		for _, v := range b.Views() {
			want, wantTexts = want+len(v.Shapes), wantTexts+len(v.Texts)+1
		}
		if paths != want || texts != wantTexts {
			t.Errorf("%s: %d paths and %d texts, want %d and %d", name, paths, texts, want, wantTexts)
		}
	}
}
