package app

import (
	"fmt"
	"math"

	"wormyard/lab"
)

// SampleAsked is what a composite is to be taken of: Bags where it lies in bags,
// Bins where it is still in them, else a heap. SD is what single grabs differ by and
// Half how near their mean shall come, both 0 where nobody knows.
type SampleAsked struct {
	Bags     int
	Bins     []string
	SD, Half float64
}

// SamplePlan is how many grabs a composite takes, from where, and by which reason:
// "spread", "bags", "bins" or "heap".
type SamplePlan struct {
	Grabs  int
	Exact  float64 // by the spread, before it is rounded up
	Reason string
	Plan   []lab.Grab // Bin is the bin, the number of the bag or of the cut
}

// mostSampled is the most grabs that are taken.
const mostSampled = 200

// cutsOfHeap is how many cuts are made through a heap, at each of sampleDepths.
const cutsOfHeap = 5

// sampleDepths are where a grab is taken.
var sampleDepths = []string{"top", "middle", "bottom"}

// Sampled plans a composite. model.md (L36). It reports false where that would take
// more grabs than anybody takes.
func Sampled(a SampleAsked) (SamplePlan, bool, error) {
	n, err := numbersOfNature()
	if err != nil {
		return SamplePlan{}, false, err
	}
	out := SamplePlan{Reason: "heap", Grabs: int(n.Lab.CutsLeast)}
	places, depths := []string{}, sampleDepths
	switch {
	case a.Bags > 0:
		out.Reason, out.Grabs, depths = "bags", int(n.Lab.BagsToOpen(float64(a.Bags))), []string{"middle"}
	case len(a.Bins) > 0:
		out.Reason, out.Grabs = "bins", max(int(n.Lab.CutsLeast), len(a.Bins))
		places = a.Bins
	default:
		for i := range cutsOfHeap {
			places = append(places, fmt.Sprint(i+1))
		}
	}
	if a.SD > 0 && a.Half > 0 {
		out.Exact = lab.GrabsFor(a.SD, a.Half, n.Lab.Confidence)
		out.Reason, out.Grabs = "spread", int(max(1, math.Ceil(math.Min(out.Exact, 1e6)-1e-9)))
	}
	if out.Grabs > mostSampled {
		return out, false, nil
	}
	if a.Bags > 0 { // evenly over the row of bags, the first one from half a step in
		out.Grabs = min(out.Grabs, a.Bags)
		for i := range out.Grabs {
			places = append(places, fmt.Sprint(1+(2*i+1)*a.Bags/(2*out.Grabs)))
		}
	}
	out.Plan = lab.GrabPlan(out.Grabs, places, depths)
	return out, true, nil
}
