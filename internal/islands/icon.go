package islands

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
)

// The icon, as static/icon.svg has it: a bin cut open, bedding over castings,
// and a worm on top. The unit is a thirty-second of its side.

type shape struct {
	colour color.RGBA
	inside func(x, y float64) bool
}

func box(x0, y0, x1, y1 float64) func(x, y float64) bool {
	return func(x, y float64) bool { return x >= x0 && x <= x1 && y >= y0 && y <= y1 }
}

// stroke gives the places within half a width of a line through points.
func stroke(width float64, points ...[2]float64) func(x, y float64) bool {
	return func(x, y float64) bool {
		for i := 1; i < len(points); i++ {
			ax, ay, bx, by := points[i-1][0], points[i-1][1], points[i][0], points[i][1]
			dx, dy := bx-ax, by-ay
			t := math.Max(0, math.Min(1, ((x-ax)*dx+(y-ay)*dy)/(dx*dx+dy*dy)))
			if math.Hypot(x-ax-t*dx, y-ay-t*dy) <= width/2 {
				return true
			}
		}
		return false
	}
}

// worm is two bows, quadratic curves as in the drawing: from 8,15 over 12,10 to
// 16,15, and mirrored on to 24,15.
func worm() [][2]float64 {
	var out [][2]float64
	bow := func(x0, cy float64) {
		for i := 0; i <= 16; i++ {
			t := float64(i) / 16
			x := (1-t)*(1-t)*x0 + 2*t*(1-t)*(x0+4) + t*t*(x0+8)
			y := (1-t)*(1-t)*15 + 2*t*(1-t)*cy + t*t*15
			out = append(out, [2]float64{x, y})
		}
	}
	bow(8, 10)
	bow(16, 20)
	return out
}

var drawing = []shape{
	{color.RGBA{0xdf, 0xcd, 0xa6, 255}, box(5, 9, 27, 27)},
	{color.RGBA{0x4a, 0x35, 0x27, 255}, box(5, 17, 27, 27)},
	{color.RGBA{0x7a, 0x4b, 0x24, 255}, func(x, y float64) bool {
		return box(2.5, 6, 5.5, 29.5)(x, y) || box(26.5, 6, 29.5, 29.5)(x, y) || box(2.5, 26.5, 29.5, 29.5)(x, y)
	}},
	{color.RGBA{0xc5, 0x57, 0x4b, 255}, stroke(2.6, worm()...)},
}

// Icon draws the icon as a PNG of side pixels. One that a phone may cut to a
// shape of its own (maskable) stands on paper, smaller.
func Icon(side int, maskable bool) ([]byte, error) {
	const fine = 4 // points a pixel, each way
	paper := color.RGBA{0xfb, 0xf7, 0xee, 255}
	img := image.NewNRGBA(image.Rect(0, 0, side, side))
	scale, off := 32/float64(side), 0.0
	if maskable { // what lies within four fifths of the side is never cut off
		scale, off = scale/0.62, (32/0.62-32)/2
	}
	for py := range side {
		for px := range side {
			var r, g, b, n float64
			for s := range fine * fine {
				x := (float64(px)+(float64(s%fine)+0.5)/fine)*scale - off
				y := (float64(py)+(float64(s/fine)+0.5)/fine)*scale - off
				c, hit := paper, maskable
				for _, p := range drawing {
					if p.inside(x, y) {
						c, hit = p.colour, true
					}
				}
				if hit {
					r, g, b, n = r+float64(c.R), g+float64(c.G), b+float64(c.B), n+1
				}
			}
			if n > 0 {
				img.SetNRGBA(px, py, color.NRGBA{uint8(r/n + 0.5), uint8(g/n + 0.5), uint8(b/n + 0.5), uint8(255*n/(fine*fine) + 0.5)})
			}
		}
	}
	var out bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, img)
	return out.Bytes(), err
}

// Icons gives every icon by file name.
func Icons() (map[string][]byte, error) {
	out := map[string][]byte{}
	for _, x := range []struct {
		name     string
		side     int
		maskable bool
	}{{"icon-192.png", 192, false}, {"icon-512.png", 512, false}, {"icon-cut-512.png", 512, true}, {"icon-touch-180.png", 180, true}} {
		data, err := Icon(x.side, x.maskable)
		if err != nil {
			return nil, err
		}
		out[x.name] = data
	}
	return out, nil
}
