package label

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// inchNet is the least height of the net contents in these tests, 3/16 in [mm].
const inchNet = 3 * inch / 16

func lotLabel(n int) LotLabel {
	return LotLabel{
		Name: "Worm castings", Farm: "Heron Slough Worm Farm", Lot: "Lot 26-03",
		Lines: []string{"Packed 2026-03-03", "Harvested 2026-02-10 to 2026-02-24", fmt.Sprintf("Bag %d", n)},
		Net:   "NET 1\u00a0ft³ (28.3\u00a0L)", Mass: "about 42 lb (19 kg) when packed",
		Parts: []Part{
			{Key: "caution", Text: "Not to be eaten. Open away from the face, do not breathe the dust, wash hands after. Keep moist, out of sun and frost, and let it breathe.", Less: "Not to be eaten. No dust. Wash hands.", Must: true},
			{Key: "made", Head: "Made from", Text: "rabbit manure with bedding about 61 %, wood chips about 22 %, hay about 12 %, leaves about 5 %"},
			{Key: "tests", Head: "Tested:", Text: "Moisture 48 % as it lies (2026-02-28), pH 7.1 (2026-02-28), Salts 2.1 dS/m (2026-02-28)"},
		},
		Code: "Heron Slough Worm Farm; 26-03; 7K3MX; 2026-03-03; 1 ft3", Under: "Check 7K3MX",
	}
}

func lotLabels(n int) []LotLabel {
	var out []LotLabel
	for i := range n {
		out = append(out, lotLabel(i+1))
	}
	return out
}

func printLots(t *testing.T, g Grid, labels []LotLabel) ([]byte, Printed) {
	t.Helper()
	var b bytes.Buffer
	p, err := PrintLots(&b, g, labels, inchNet, day)
	if err != nil {
		t.Fatalf("%s: %v", g.Key, err)
	}
	return b.Bytes(), p
}

// Labels lie within their paper, none over another.
func TestGridsFitTheirPaper(t *testing.T) {
	for _, g := range Grids() {
		last, _ := g.corner(g.Columns - 1)
		_, low := g.corner(g.Each() - 1)
		if last+g.Wide > g.Width+0.01 || low+g.High > g.Height+0.01 || g.Left < 0 || g.Top < 0 {
			t.Errorf("%s: labels reach %.2f, %.2f of %.2f, %.2f mm", g.Key, last+g.Wide, low+g.High, g.Width, g.Height)
		}
	}
}

// textIn reads the text of a PDF back.
func textIn(t *testing.T, pdf []byte) string {
	t.Helper()
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not here; ./check installs poppler-utils")
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// Every label of every paper is read back from the drawn page, by the same code as a
// phone's and, where it is there, by another reader; and what it says is in the text.
func TestLotLabelsAreReadBack(t *testing.T) {
	for _, g := range Grids() {
		labels := lotLabels(g.Each() + 1)
		pdf, p := printLots(t, g, labels)
		drawn := pages(t, pdf)
		if len(drawn) != 2 {
			t.Fatalf("%s: %d pages, want 2", g.Key, len(drawn))
		}
		for i, l := range labels {
			if i > 0 && i < g.Each()-1 { // the first, the last of a page and the one after it stand for the rest
				continue
			}
			got, err := decode(g.codeOf(drawn[i/g.Each()], i%g.Each()))
			if err != nil || got != l.Code {
				t.Errorf("%s, %s: %q %v, want %q", g.Key, l.Lines[2], got, err, l.Code)
			}
		}
		text := textIn(t, pdf)
		for _, want := range []string{"Worm castings", "Lot 26-03", "NET 1 ft³ (28.3 L)", "42 lb (19 kg)", "Packed 2026-03-03", fmt.Sprintf("Bag %d", len(labels)), "Not to be eaten", "Check 7K3MX"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %q: %s", g.Key, want, text)
			}
		}
		for _, part := range labels[0].Parts {
			left := false
			for _, k := range p.Left {
				left = left || k == part.Key
			}
			if first := strings.Join(strings.Fields(part.Text)[:2], " "); strings.Contains(text, first) == left {
				t.Errorf("%s: %q is told to be left out: %v, and %q is there: %v", g.Key, part.Key, left, first, !left)
			}
		}
		t.Logf("%s: text of %.1f points, dots of %.2f mm, left out %v, %d bytes", g.Key, p.Letter, p.Module, p.Left, len(pdf))
		if g.Roll() || g.Each() == 8 { // rolls and a small label of a sheet stand for the rest
			scanned(t, g, pdf, labels[0].Code)
		}
	}
}

// cut gives one label of a page.
func (g Grid) cut(img image.Image, at int) image.Image {
	px := func(mm float64) int { return int(mm / inch * 203) }
	x, y := g.corner(at)
	return img.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(image.Rect(px(x), px(y), px(x+g.Wide), px(y+g.High)))
}

// codeOf cuts the part of a label with its code out, as one holds a phone.
func (g Grid) codeOf(img image.Image, at int) image.Image {
	b := g.cut(img, at).Bounds()
	side := int((mostCode + g.pad()) / inch * 203)
	return img.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(image.Rect(max(b.Min.X, b.Max.X-side), max(b.Min.Y, b.Max.Y-side), b.Max.X, b.Max.Y))
}

// scanned reads the first page with a reader of another make and finds a text.
func scanned(t *testing.T, g Grid, pdf []byte, want string) {
	t.Helper()
	tool, err := exec.LookPath("zbarimg")
	draws, err2 := exec.LookPath("pdftoppm")
	if err != nil || err2 != nil {
		t.Log("zbarimg is not here; ./check installs zbar-tools")
		return
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "a.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(draws, "-png", "-r", "203", "-l", "1", "-singlefile", file, filepath.Join(dir, "p")).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	out, err := exec.Command(tool, "-q", "--raw", filepath.Join(dir, "p.png")).Output()
	if err != nil || !strings.Contains(string(out), want) {
		t.Errorf("%s: the other reader has %q %v, want %q", g.Key, out, err, want)
	}
}

// A number of goods is read back from its bars. 4006381333931 is the number of the
// standard's check digit example with the digit 1 (Q9.1).
func TestBarsAreReadBack(t *testing.T) {
	for _, key := range []string{"letter4", "4x3", "3x2"} {
		g, _ := GridNamed(key)
		l := lotLabel(1)
		l.Goods = "4006381333931"
		if g.High < 3*inch {
			l.Parts = l.Parts[:1]
		}
		var b bytes.Buffer
		_, err := PrintLots(&b, g, []LotLabel{l}, inchNet, day)
		var no *NoRoom
		if errors.As(err, &no) {
			t.Logf("%s has no room for bars", g.Key)
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		scanned(t, g, b.Bytes(), l.Goods)
	}
	l := lotLabel(1)
	l.Goods = "4006381333932"
	if _, err := PrintLots(&bytes.Buffer{}, grids[0], []LotLabel{l}, inchNet, day); err == nil {
		t.Error("a number of goods with a wrong check digit is drawn")
	}
}

// A held lot says so across each label, and its words and code are read all the same.
func TestBannerAcross(t *testing.T) {
	for _, g := range Grids() {
		if g.Each() > 4 {
			continue // the strip is laid out by the label, not by the sheet
		}
		labels := lotLabels(min(g.Each(), 2))
		plain, _ := printLots(t, g, labels)
		for i := range labels {
			labels[i].Banner = "HELD: NOT FOR SALE"
		}
		held, _ := printLots(t, g, labels)
		if strings.Contains(textIn(t, plain), "HELD") {
			t.Errorf("%s: a released lot says held", g.Key)
		}
		text := textIn(t, held)
		dark, was := 0, 0
		a, b := pages(t, held)[0], pages(t, plain)[0]
		for at := range labels {
			dark, was = dark+darkness(g.cut(a, at)), was+darkness(g.cut(b, at))
			if at > 0 {
				continue
			}
			if got, err := decode(g.codeOf(a, at)); err != nil || got != labels[0].Code {
				t.Errorf("%s: the code of a held label reads %q %v", g.Key, got, err)
			}
		}
		if !strings.Contains(text, "NET 1 ft³") || !strings.Contains(text, labels[0].Banner) || dark < was*5/4 {
			t.Errorf("%s: the strip across darkens a label from %d to %d points only", g.Key, was, dark)
		}
	}
}

func darkness(img image.Image) (n int) {
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if v, _, _, _ := img.At(x, y).RGBA(); v < 1<<15 {
				n++
			}
		}
	}
	return n
}

func TestSameLotLabelsSameBytes(t *testing.T) {
	for _, g := range Grids() {
		a, _ := printLots(t, g, lotLabels(9))
		b, _ := printLots(t, g, lotLabels(9))
		c, _ := printLots(t, g, lotLabels(8))
		if !bytes.Equal(a, b) || bytes.Equal(a, c) {
			t.Errorf("%s: the same labels gave other bytes, or others the same", g.Key)
		}
	}
}

// Names as long as the journal takes them and other alphabets fit or are refused in
// words; nothing runs over.
func TestLongNamesOnLabels(t *testing.T) {
	for _, g := range Grids() {
		l := lotLabel(1)
		l.Farm = strings.Repeat("Ферма у большой реки ", 8)
		l.Lot = "Lot " + strings.Repeat("LONG-NAME-", 12)
		l.Name = strings.Repeat("Ωκεανός ", 30)
		var b bytes.Buffer
		_, err := PrintLots(&b, g, []LotLabel{l}, inchNet, day)
		var no *NoRoom
		if errors.As(err, &no) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if text := textIn(t, b.Bytes()); !strings.Contains(text, "Ферма у") || !strings.Contains(text, "Ωκεανός") {
			t.Errorf("%s: %s", g.Key, text)
		}
		img := pages(t, b.Bytes())[0]
		px := func(mm float64) int { return int(mm / inch * 203) }
		x, y := g.corner(0)
		edge := img.Bounds()
		edge.Min.X, edge.Max.X = px(x+g.Wide-g.pad())+2, px(x+g.Wide-1.5)
		edge.Min.Y, edge.Max.Y = px(y+1.5), px(y+g.High-1.5)
		if n := darkness(img.(interface {
			SubImage(image.Rectangle) image.Image
		}).SubImage(edge)); n > 0 {
			t.Errorf("%s: %d points are printed in the margin", g.Key, n)
		}
	}
}

// Two thousand labels are what the page prints at once.
func TestManyLabels(t *testing.T) {
	g, _ := GridNamed("letter4")
	pdf, p := printLots(t, g, lotLabels(2000))
	if math.IsInf(p.Module, 1) || len(pdf) > 20<<20 {
		t.Errorf("%d bytes, module %v", len(pdf), p.Module)
	}
	t.Logf("%d bytes", len(pdf))
}
