package label

import (
	"fmt"
	"image/color"
	"strings"

	"github.com/boombuler/barcode"
	"github.com/boombuler/barcode/qr"
)

// Quiet is the white border that a code needs, in modules (ISO/IEC 18004: four
// on every side).
const Quiet = 4

// Code is a square code: modules that are dark or light, without the quiet zone.
type Code struct {
	Modules int  // along a side, without the quiet zone
	Level   byte // of error correction: Q mends a quarter of the code, H three tenths
	dark    []bool
}

// Encode makes the smallest code of a text with error correction Q, or H where
// that fits in the same size. The error says that the text is too long.
func Encode(text string) (Code, error) {
	b, err := qr.Encode(text, qr.Q, qr.Auto)
	if err != nil {
		return Code{}, fmt.Errorf("no square code holds an address of %d letters: %w", len(text), err)
	}
	level := byte('Q')
	if h, err := qr.Encode(text, qr.H, qr.Auto); err == nil && h.Bounds().Dx() == b.Bounds().Dx() {
		b, level = h, 'H'
	}
	return read(b, level), nil
}

func read(b barcode.Barcode, level byte) Code {
	n := b.Bounds().Dx()
	c := Code{Modules: n, Level: level, dark: make([]bool, n*n)}
	for y := range n {
		for x := range n {
			c.dark[y*n+x] = darkBar(b.At(b.Bounds().Min.X+x, b.Bounds().Min.Y+y))
		}
	}
	return c
}

// Dark says whether a module is dark; outside the code all is light.
func (c Code) Dark(x, y int) bool {
	return x >= 0 && y >= 0 && x < c.Modules && y < c.Modules && c.dark[y*c.Modules+x]
}

// Side gives the modules along a side with the quiet zone.
func (c Code) Side() int { return c.Modules + 2*Quiet }

// Module gives the size of one module of a code drawn with its quiet zone into
// a square of a side [same unit].
func (c Code) Module(side float64) float64 { return side / float64(c.Side()) }

// runs calls f for every run of dark modules along a row.
func (c Code) runs(f func(x, y, n int)) {
	for y := range c.Modules {
		for x := 0; x < c.Modules; x++ {
			from := x
			for c.Dark(x, y) {
				x++
			}
			if x > from {
				f(from, y, x-from)
			}
		}
	}
}

// Path gives the code as the path of an SVG drawing whose view box is
// 0 0 Side Side, the quiet zone within.
func (c Code) Path() string {
	var b strings.Builder
	c.runs(func(x, y, n int) { fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", x+Quiet, y+Quiet, n, n) })
	return b.String()
}

// darkBar says whether a bar of a code is dark.
func darkBar(c color.Color) bool {
	grey, _, _, _ := c.RGBA()
	return grey < 1<<15
}
