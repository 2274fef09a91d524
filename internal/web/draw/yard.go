package draw

import "math"

// Heap is a pile as it lies, seen from the front.
type Heap struct {
	Texture string
	Volume  float64 // any one unit, alike for all
	Hot     bool    // steam is drawn
	Label   string
}

// DrawnHeap is a heap ready to print.
type DrawnHeap struct{ Path, Texture, Steam, Label, ViewBox, FloorX1, FloorX2, FloorY string }

// NewHeap draws one pile in a box of 96 by 60, its size by the cube root of its
// volume against the largest, so that twice as high is eight times as much.
func NewHeap(h Heap, largest float64) DrawnHeap {
	f := 0.0
	if largest > 0 && h.Volume > 0 {
		f = math.Cbrt(h.Volume / largest)
	}
	half, high := math.Max(8, 42*f), math.Max(5, 40*f)
	x0, x1, base := 48-half, 48+half, 56.0
	d := "M" + coordinate(x0) + " " + coordinate(base) +
		"Q" + coordinate(48-half*0.45) + " " + coordinate(base-high*0.75) + " " + coordinate(48-half*0.12) + " " + coordinate(base-high) +
		"Q" + coordinate(48+half*0.2) + " " + coordinate(base-high*1.02) + " " + coordinate(48+half*0.4) + " " + coordinate(base-high*0.66) +
		"Q" + coordinate(48+half*0.7) + " " + coordinate(base-high*0.25) + " " + coordinate(x1) + " " + coordinate(base) + "Z"
	out := DrawnHeap{Path: d, Texture: h.Texture, Label: h.Label, ViewBox: "0 0 96 60", FloorX1: "2", FloorX2: "94", FloorY: "57"}
	if h.Hot {
		top := base - high - 3
		for _, dx := range []float64{-9, 0, 9} {
			out.Steam += "M" + coordinate(46+dx) + " " + coordinate(top) + "q4-4 0-8"
		}
	}
	return out
}

// Bucket is one drawn bucket, full to a part.
type Bucket struct{ X, Outline, Fill, Texture string }

// Buckets draws n buckets of a material, the last one filled to its fraction.
func Buckets(n float64, texture string, most int) (list []Bucket, width string) {
	const wide, high = 30.0, 28.0
	count := int(math.Ceil(n - 1e-9))
	if count > most {
		count = most
	}
	for i := 0; i < count; i++ {
		x := float64(i) * (wide + 6)
		fill := math.Min(1, n-float64(i))
		inset := func(f float64) float64 { return 5 * (1 - f) }
		b := Bucket{X: coordinate(x), Texture: texture}
		b.Outline = line([]Point{{x + 2, 4}, {x + 7, high + 4}, {x + wide - 7, high + 4}, {x + wide - 2, 4}})
		top := high + 4 - fill*(high-2)
		b.Fill = line([]Point{{x + 2 + inset(fill), top}, {x + 7, high + 3}, {x + wide - 7, high + 3}, {x + wide - 2 - inset(fill), top}}) + "Z"
		list = append(list, b)
	}
	return list, coordinate(math.Max(36, float64(count)*(wide+6)))
}
