package label

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

const base = "http://192.168.1.20:8484"

var day = time.Date(2026, 3, 3, 0, 0, 0, 0, time.UTC)

func farmOf(n int) ([]Label, string) {
	mark := Mark("0195f1d2-0000-7000-8000-000000000001")
	var out []Label
	for i := 1; i <= n; i++ {
		bin := fmt.Sprintf("B%d", i)
		out = append(out, Label{Bin: bin, Place: fmt.Sprintf("Barn 1, 3-%d top", i), Farm: "Heron Slough", Printed: "As of 3 March 2026.",
			Help: "Cannot be read? Type " + bin + " at 192.168.1.20:8484/b", Address: Address(base, bin, mark)})
	}
	return out, mark
}

func TestAddress(t *testing.T) {
	mark := "7K3M"
	for _, c := range []struct{ base, bin, want string }{
		{base, "B17", "HTTP://192.168.1.20:8484/B/B17/7K3M"},
		{base + "/", "B17", "HTTP://192.168.1.20:8484/B/B17/7K3M"},
		{base, "B 17", "HTTP://192.168.1.20:8484/B/B%2017/7K3M"},
		{base, "b17", base + "/b/b17/7K3M"},
		{"https://farm.example/worms", "B17", "https://farm.example/worms/b/B17/7K3M"},
		{"https://barn.local:8484", "NORTH-3", "HTTPS://BARN.LOCAL:8484/B/NORTH-3/7K3M"},
		{base, "Größe 1", base + "/b/Gr%C3%B6%C3%9Fe%201/7K3M"},
	} {
		got := Address(c.base, c.bin, mark)
		if len(got) != len(c.want)+1 || got[:len(got)-1] != c.want {
			t.Errorf("%s of %s: %s, want %s and a check", c.bin, c.base, got, c.want)
		}
		if Read(c.bin, got[len(got)-5:], mark) != Ours {
			t.Errorf("%s is not known as ours", got)
		}
	}
}

func TestWhoseLabel(t *testing.T) {
	ours, other := Mark("first entry of one farm"), Mark("first entry of another")
	if ours == other {
		t.Fatal("two farms have one mark")
	}
	if got := Read("B17", Tail("B17", other), ours); got != Other {
		t.Errorf("the label of another farm is read as %d", got)
	}
	if got := Read("b17", strings.ToLower(Tail("B17", ours)), ours); got != Ours {
		t.Errorf("small letters are read as %d", got)
	}
	for _, tail := range []string{"", "7", "7K3M", "?????", Tail("B17", ours) + "2"} {
		if got := Read("B17", tail, ours); got != Garbled {
			t.Errorf("%q is read as %d", tail, got)
		}
	}
	// One letter of the mark typed wrong is seen always, since the letters leave
	// different rests or the mark is another farm's; two swapped never pass as ours.
	tail := []byte(Tail("B17", ours))
	for i := range tail {
		for _, c := range []byte(letters) {
			bad := append([]byte(nil), tail...)
			bad[i] = c
			if c != tail[i] && Read("B17", string(bad), ours) == Ours {
				t.Errorf("%s passes for %s", bad, tail)
			}
		}
	}
	// Of the names with one figure changed, those pass whose rest is the same.
	passed, tried := 0, 0
	for n := 1; n < 2000; n++ {
		for _, m := range []int{n + 1, n + 10, n + 100} {
			tried++
			if Read(fmt.Sprintf("B%d", m), Tail(fmt.Sprintf("B%d", n), ours), ours) == Ours {
				passed++
			}
		}
	}
	if passed > tried/20 {
		t.Errorf("%d of %d neighbouring names pass with the wrong check; 1 in 29 is expected", passed, tried)
	}
}

// Marks of many farms are spread: by the birthday rule 1,000 of 29^4 have 0.7
// pairs alike.
func TestMarksDiffer(t *testing.T) {
	seen, same := map[string]bool{}, 0
	for i := range 1000 {
		m := Mark(fmt.Sprintf("0195f1d2-0000-7000-8000-%012x", i))
		if seen[m] {
			same++
		}
		seen[m] = true
		if len(m) != 4 || strings.Trim(m, letters) != "" {
			t.Fatalf("the mark %q", m)
		}
	}
	if same > 5 {
		t.Errorf("%d of 1,000 farms share a mark", same)
	}
}

// The size of a module is arithmetic: the side by the modules and the quiet zone.
func TestSizeOfModules(t *testing.T) {
	labels, _ := farmOf(1)
	c, err := Encode(labels[0].Address)
	if err != nil {
		t.Fatal(err)
	}
	// 35 alphanumeric characters: version 3 holds 47 at level Q and 35 at level H,
	// version 2 only 29 at Q (ISO/IEC 18004, table of capacities); version 3 is 29
	// modules.
	if n := len(labels[0].Address); n != 35 || c.Modules != 29 || c.Level != 'H' {
		t.Errorf("%d characters take %d modules at level %c", n, c.Modules, c.Level)
	}
	for _, p := range Papers() {
		var b bytes.Buffer
		got, err := Print(&b, p, labels, day)
		if err != nil {
			t.Fatal(err)
		}
		_, _, side := p.Code()
		if want := side / 37; math.Abs(got-want) > 1e-9 || got < 1 {
			t.Errorf("%s: a module of %.3f mm, want %.3f and at least 1", p.Key, got, want)
		}
		t.Logf("%s: code %.1f mm with its border, module %.2f mm, %d bytes", p.Key, side, got, b.Len())
	}
}

func TestSameLabelsSameBytes(t *testing.T) {
	labels, _ := farmOf(20)
	for _, p := range Papers() {
		var a, b, c bytes.Buffer
		for _, w := range []*bytes.Buffer{&a, &b} {
			if _, err := Print(w, p, labels, day); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: the same labels gave other bytes", p.Key)
		}
		labels2, _ := farmOf(19)
		if _, err := Print(&c, p, labels2, day); err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(a.Bytes(), c.Bytes()) {
			t.Errorf("%s: other labels gave the same bytes", p.Key)
		}
	}
}

// decode reads a picture, parting dark from light by neighbourhood and, when
// that fails, by the whole picture, as the apps of phones do over some frames.
func decode(img image.Image) (text string, err error) {
	source := gozxing.NewLuminanceSourceFromImage(img)
	for _, part := range []gozxing.Binarizer{gozxing.NewHybridBinarizer(source), gozxing.NewGlobalHistgramBinarizer(source)} {
		bitmap, e := gozxing.NewBinaryBitmap(part)
		if e != nil {
			return "", e
		}
		r, e := qrcode.NewQRCodeReader().Decode(bitmap, map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true})
		if e == nil {
			return r.GetText(), nil
		}
		err = e
	}
	return "", err
}

// pages draws a PDF as a printer of 203 dots an inch would.
func pages(t *testing.T, pdf []byte) []image.Image {
	t.Helper()
	tool, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Skip("pdftoppm is not here; ./check installs poppler-utils")
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "labels.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(tool, "-png", "-gray", "-r", "203", file, filepath.Join(dir, "page")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	names, err := filepath.Glob(filepath.Join(dir, "page*.png"))
	if err != nil {
		t.Fatal(err)
	}
	var out []image.Image
	for _, n := range names {
		f, err := os.Open(n)
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, img)
	}
	return out
}

// cut gives one label of a page.
func (p Paper) cut(img image.Image, at int) image.Image {
	width, height := p.Each()
	px := func(mm float64) int { return int(mm / inch * 203) }
	x, y := p.Left+float64(at%p.Columns)*width, p.Top+float64(at/p.Columns)*height
	type sub interface {
		SubImage(image.Rectangle) image.Image
	}
	return img.(sub).SubImage(image.Rect(px(x), px(y), px(x+width), px(y+height)))
}

// Every label of every paper is read back from the drawn page.
func TestLabelsAreReadBack(t *testing.T) {
	labels, _ := farmOf(8)
	for _, p := range Papers() {
		var b bytes.Buffer
		if _, err := Print(&b, p, labels, day); err != nil {
			t.Fatal(err)
		}
		drawn := pages(t, b.Bytes())
		each := p.Columns * p.Rows
		if want := (len(labels) + each - 1) / each; len(drawn) != want {
			t.Fatalf("%s: %d pages, want %d", p.Key, len(drawn), want)
		}
		for i, l := range labels {
			got, err := decode(p.cut(drawn[i/each], i%each))
			if err != nil || got != l.Address {
				t.Errorf("%s, bin %s: %q %v, want %q", p.Key, l.Bin, got, err, l.Address)
			}
		}
	}
}

// raster draws a code as a grey picture with so many dots a module.
func raster(c Code, dots int) *image.Gray {
	n := c.Side() * dots
	img := image.NewGray(image.Rect(0, 0, n, n))
	for y := range n {
		for x := range n {
			v := uint8(235)
			if c.Dark(x/dots-Quiet, y/dots-Quiet) {
				v = 30
			}
			img.SetGray(x, y, color.Gray{Y: v})
		}
	}
	return img
}

func at(img *image.Gray, x, y float64) float64 {
	x0, y0 := int(math.Floor(x)), int(math.Floor(y))
	var v float64
	for _, d := range [4][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
		w := (1 - math.Abs(x-float64(x0+d[0]))) * (1 - math.Abs(y-float64(y0+d[1])))
		p := image.Pt(x0+d[0], y0+d[1])
		if p.In(img.Bounds()) {
			v += w * float64(img.GrayAt(p.X, p.Y).Y)
		} else {
			v += w * 235
		}
	}
	return v
}

func turn(img *image.Gray, degrees float64) *image.Gray {
	n := float64(img.Bounds().Dx())
	side := int(n * 1.45)
	out := image.NewGray(image.Rect(0, 0, side, side))
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for y := range side {
		for x := range side {
			dx, dy := float64(x)-float64(side)/2, float64(y)-float64(side)/2
			out.SetGray(x, y, color.Gray{Y: uint8(at(img, n/2+dx*cos+dy*sin, n/2-dx*sin+dy*cos))})
		}
	}
	return out
}

// blur spreads each dot over a square of 2r+1, twice.
func blur(img *image.Gray, r int) *image.Gray {
	for range 2 {
		out := image.NewGray(img.Bounds())
		b := img.Bounds()
		for y := b.Min.Y; y < b.Max.Y; y++ {
			for x := b.Min.X; x < b.Max.X; x++ {
				sum, n := 0, 0
				for dy := -r; dy <= r; dy++ {
					for dx := -r; dx <= r; dx++ {
						if p := image.Pt(x+dx, y+dy); p.In(b) {
							sum, n = sum+int(img.GrayAt(p.X, p.Y).Y), n+1
						}
					}
				}
				out.SetGray(x, y, color.Gray{Y: uint8(sum / n)})
			}
		}
		img = out
	}
	return img
}

// dirt lays dark and light blots on a code, never on the three corners that a
// camera finds it by, until so much of the rest is covered.
func dirt(c Code, dots int, share float64, seed uint64) *image.Gray {
	img := raster(c, dots)
	r := rand.New(rand.NewPCG(seed, 1))
	covered, want := 0, int(share*float64(c.Modules*c.Modules))
	corner := func(x, y int) bool {
		return x < 9 && (y < 9 || y >= c.Modules-9) || x >= c.Modules-9 && y < 9
	}
	seen := map[[2]int]bool{}
	for covered < want {
		cx, cy, v := r.IntN(c.Modules), r.IntN(c.Modules), uint8(30)
		if r.IntN(2) == 0 {
			v = 235
		}
		for y := cy; y < min(cy+3, c.Modules); y++ {
			for x := cx; x < min(cx+3, c.Modules); x++ {
				if corner(x, y) || seen[[2]int{x, y}] || covered >= want {
					continue
				}
				seen[[2]int{x, y}] = true
				covered++
				for dy := range dots {
					for dx := range dots {
						img.SetGray((x+Quiet)*dots+dx, (y+Quiet)*dots+dy, color.Gray{Y: v})
					}
				}
			}
		}
	}
	return img
}

// What a wet, dirty, crooked label looks like is read all the same; how far it
// goes is printed.
func TestHurtLabels(t *testing.T) {
	labels, _ := farmOf(12)
	const dots = 6
	read := func(make func(c Code, n int) image.Image) (ok int) {
		for n, l := range labels {
			c, err := Encode(l.Address)
			if err != nil {
				t.Fatal(err)
			}
			got, err := decode(make(c, n))
			if err == nil && got != l.Address {
				t.Errorf("%s was read as %s", l.Address, got)
			}
			if err == nil {
				ok++
			}
		}
		return ok
	}
	for _, c := range []struct {
		what  string
		least int // of 12
		make  func(c Code, n int) image.Image
	}{
		{"clean", 12, func(c Code, _ int) image.Image { return raster(c, dots) }},
		{"turned by 7 to 84 degrees", 12, func(c Code, n int) image.Image { return turn(raster(c, dots), 7*float64(n+1)) }},
		{"upside down", 12, func(c Code, n int) image.Image { return turn(raster(c, dots), 180) }},
		{"blurred over two thirds of a module", 12, func(c Code, _ int) image.Image { return blur(raster(c, dots), 2) }},
		{"a twentieth under blots", 10, func(c Code, n int) image.Image { return dirt(c, dots, 0.05, uint64(n)) }},
		{"a twelfth under blots", 7, func(c Code, n int) image.Image { return dirt(c, dots, 1.0/12, uint64(n)) }},
		{"a twentieth under blots, turned and blurred", 10, func(c Code, n int) image.Image {
			return blur(turn(dirt(c, dots, 0.05, uint64(n)), 13+float64(n)), 1)
		}},
	} {
		ok := read(c.make)
		t.Logf("%s: %d of %d read", c.what, ok, len(labels))
		if ok < c.least {
			t.Errorf("%s: %d of %d are read, %d are wanted", c.what, ok, len(labels), c.least)
		}
	}
	// Half of it gone is not read as something else.
	if ok := read(func(c Code, n int) image.Image { return dirt(c, dots, 0.5, uint64(n)) }); ok > 0 {
		t.Errorf("half of the code is gone and %d were read", ok)
	}
}

// The path for pages draws the same modules.
func TestPathIsTheCode(t *testing.T) {
	c, err := Encode("HTTP://192.168.1.20:8484/ROUND/FEED-1")
	if err != nil {
		t.Fatal(err)
	}
	dark := map[[2]int]bool{}
	for _, m := range strings.Split(strings.TrimPrefix(c.Path(), "M"), "M") {
		var x, y, n, back int
		if _, err := fmt.Sscanf(m, "%d %dh%dv1h-%dz", &x, &y, &n, &back); err != nil || n != back {
			t.Fatalf("%q: %v", m, err)
		}
		for i := range n {
			dark[[2]int{x + i, y}] = true
		}
	}
	for y := -Quiet; y < c.Modules+Quiet; y++ {
		for x := -Quiet; x < c.Modules+Quiet; x++ {
			if c.Dark(x, y) != dark[[2]int{x + Quiet, y + Quiet}] {
				t.Fatalf("module %d, %d", x, y)
			}
		}
	}
}

func TestLettersThatCannotBePrinted(t *testing.T) {
	if got := Unprintable("Señor Müller’s Bins 1–9"); got != "" {
		t.Errorf("%q cannot be printed", got)
	}
	if got := Unprintable("Łódź Ł"); got != "Łź" {
		t.Errorf("%q cannot be printed", got)
	}
}

func TestTooLong(t *testing.T) {
	_, err := Print(&bytes.Buffer{}, papers[0], []Label{{Bin: "B1", Address: strings.Repeat("http://x/", 400)}}, day)
	if err == nil || !strings.Contains(err.Error(), "bin B1") {
		t.Errorf("%v", err)
	}
}
