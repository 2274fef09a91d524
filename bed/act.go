package bed

import (
	"wormyard/feedstock"
	"wormyard/worm"
)

// Kind is what was done to a bed.
type Kind string

// The acts.
const (
	Bedding Kind = "bed"   // a layer without the wish that it be eaten
	Feed    Kind = "feed"  // a layer of feed
	Water   Kind = "water" // poured over the top
	Covered Kind = "cover" // the cover was changed
	Heat    Kind = "heat"  // the heater under the bed was set
	Turn    Kind = "turn"  // forked through
	Stock   Kind = "stock" // worms in
	Take    Kind = "take"  // matter out, with the worms in it
	Out     Kind = "out"   // worms out, without the matter
)

// Act is one thing done to the bed, at the start of an hour. Amounts are for
// the whole bin.
type Act struct {
	Hour    int64 // hours since 1970-01-01T00Z
	Kind    Kind
	Matter  feedstock.Matter // Bedding, Feed
	Lain    feedstock.Lain   // Bedding, Feed: what lying in heaps had left of it; a bed does not ask
	DepthM  float64          // Bedding, Feed: as laid, on its half with a Side, 0 to take it from the volume; Turn: from the top, 0 for all; Take: over the whole bin, 0 for all with a Side
	ToldM   float64          // Bedding, Feed: the depth that was told, where DepthM is another; layers are laid and merged by it
	TempC   float64          // of what is laid or poured [C]; NaN for that of the air
	Layer   uint64           // identity of the layer laid, from the journal
	WaterKg float64          // Water
	Cover   Cover            // Covered
	Watts   float64          // Heat
	Worms   worm.Stock       // Stock; Out: live mass only, taken alike of young and grown
	From    End              // Take
	Side    Side             // Bedding, Feed: the half it is laid on; Take: the half that is taken, the other left
}

// End is an end of the column.
type End string

// The ends.
const (
	FromTop    End = "top"
	FromBottom End = "bottom"
)

// Side is a half of the bin.
type Side uint8

// The halves.
const (
	Whole Side = iota // both
	Left
	Right
)

// Other gives the half across.
func (s Side) Other() Side {
	switch s {
	case Left:
		return Right
	case Right:
		return Left
	}
	return Whole
}
