package web

import (
	"fmt"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// Code is a QR code, drawn.
type Code struct{ ViewBox, Path, Label, Text string }

// quiet is the empty edge that readers need, in modules (ISO/IEC 18004).
const quiet = 4

// qrCode draws a text as one path of dark runs.
func qrCode(text, label string) (*Code, error) {
	c, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return nil, err
	}
	size := c.Bounds().Dx()
	dark := func(x, y int) bool {
		r, _, _, _ := c.At(x, y).RGBA()
		return r == 0
	}
	var b strings.Builder
	for y := range size {
		for x := 0; x < size; x++ {
			from := x
			for x < size && dark(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", from+quiet, y+quiet, x-from, x-from)
			}
		}
	}
	return &Code{fmt.Sprintf("0 0 %d %d", size+2*quiet, size+2*quiet), b.String(), label, text}, nil
}
