package farm

import (
	"slices"
	"strings"
	"testing"

	"wormyard/feedstock"
)

// A feeding two feet deep makes what is said of warmth less sure; one that is
// left out, as nobody knows what it was made of, warms no bed and says nothing.
func TestDeepFeedThatIsLeftOutWarmsNoBed(t *testing.T) {
	s := New(trade(t)).State()
	s.usual.MuchFeed = 0.15
	deep := func(m feedstock.Matter) bool {
		bin := &Bin{Bed: &Bed{Acts: []*Act{{Kind: ActFeed, Depth: 0.6, Matter: m}}}}
		return slices.ContainsFunc(s.assumed(bin), func(say string) bool { return strings.Contains(say, "far deeper than a usual feeding") })
	}
	if !deep(feedstock.Matter{Dry: 100, Water: 300}) {
		t.Error("two feet of feed are nothing unusual")
	}
	if deep(feedstock.Matter{Volume: 0.8}) {
		t.Error("feed that is left out is said to warm the bed")
	}
}
