package farm

import "testing"

// Of bags that are counted the last one is owed too; scales and loader buckets are good
// to some hundredths.
func TestWhenAnOrderIsDelivered(t *testing.T) {
	for _, x := range []struct {
		count string
		got   float64
		want  OrderState
		left  float64
	}{
		{CountPieces, 97, OrderPart, 3}, {CountPieces, 100, OrderDone, 0}, {CountPieces, 101, OrderDone, 0},
		{CountPieces, 97.5, OrderDone, 0}, // kits of worms that were weighed
		{CountPieces, 96.5, OrderPart, 3.5}, {CountVolume, 97, OrderDone, 0}, {CountMass, 96, OrderPart, 4}, {"", 0, OrderDone, 0},
	} {
		o := OrderLine{Count: x.count, Wanted: 100, Sales: []Delivered{{Amount: x.got, Known: true}}}
		if o.settle(); o.State != x.want || o.Left() != x.left {
			t.Errorf("%g of 100 in %q: %s, %g left", x.got, x.count, o.State, o.Left())
		}
	}
}
