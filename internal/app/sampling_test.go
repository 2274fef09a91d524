package app

import (
	"testing"
)

// A heap takes five cuts at three depths, bags their square root from all along the
// row, bins one each at least; with a spread it is (1.96 s / h) squared.
func TestSampled(t *testing.T) {
	for _, c := range []struct {
		asked  SampleAsked
		grabs  int
		reason string
	}{
		{SampleAsked{}, 15, "heap"},
		{SampleAsked{Bags: 100}, 10, "bags"},
		{SampleAsked{Bags: 3}, 3, "bags"},
		{SampleAsked{Bags: 10000}, 20, "bags"},
		{SampleAsked{Bins: []string{"B1", "B2"}}, 15, "bins"},
		{SampleAsked{Bins: make([]string, 30)}, 30, "bins"},
		{SampleAsked{SD: 10, Half: 5}, 16, "spread"}, // (1.96 x 2)^2 = 15.4
	} {
		got, ok, err := Sampled(c.asked)
		if err != nil || !ok || got.Grabs != c.grabs || got.Reason != c.reason || len(got.Plan) != c.grabs {
			t.Errorf("%+v: %d grabs by %s, %v %v; wanted %d by %s", c.asked, got.Grabs, got.Reason, ok, err, c.grabs, c.reason)
		}
	}
	bags, _, _ := Sampled(SampleAsked{Bags: 100})
	if bags.Plan[0].Bin != "6" || bags.Plan[9].Bin != "96" {
		t.Errorf("of 100 bags the first opened is %s and the last %s", bags.Plan[0].Bin, bags.Plan[9].Bin)
	}
	heap, _, _ := Sampled(SampleAsked{})
	seen := map[string]int{}
	for _, g := range heap.Plan {
		seen[g.Bin+" "+g.Depth]++
	}
	if len(seen) != 15 || seen["3 middle"] != 1 {
		t.Errorf("the heap is taken at %v", seen)
	}
	if _, ok, _ := Sampled(SampleAsked{SD: 100, Half: 1}); ok {
		t.Error("thousands of grabs are planned")
	}
}
