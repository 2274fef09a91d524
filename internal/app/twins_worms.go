package app

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"wormyard/bed"
	"wormyard/farm"
	"wormyard/internal/nature"
	"wormyard/twin"
)

// worms are the numbers of nature of a farm with its species of worms, and what is
// drawn of them. They are not changed once made.
type worms struct {
	species  string
	bed      bed.Parameters
	knobs    []twin.Knob
	deviates [][]float64      // of the members before anything was learned
	draws    []bed.Parameters // the same as numbers
	version  string           // of what the twins rest on beside the farm
	rounds   string           // of what a round rests on: that and the limits
}

// WormKinds are the worms that a farm may choose from, the usual ones first.
var WormKinds = nature.Species

// speciesOf names the worms of a farm; those of mixed stock are the ones of which
// there are most.
func speciesOf(s *farm.State) string {
	if slices.Contains(nature.Species, s.Settings.Worms) {
		return s.Settings.Worms
	}
	return nature.Species[0]
}

// suit takes the numbers of the farm's worms for the twins. What was learned of
// other worms waits until those come back.
func (t *Twins) suit() (err error) {
	species := speciesOf(t.App.State())
	if k := t.kind.Load(); k != nil && k.species == species {
		return nil
	}
	k := &worms{species: species, bed: t.numbers.Bed}
	if k.bed.Worm, err = nature.Worms(species); err != nil {
		return err
	}
	if k.knobs, err = knobs(&k.bed, species); err != nil {
		return err
	}
	k.deviates = twin.DeviatesOf(k.knobs, twinSeed)
	k.draws = twin.NumbersAt(&k.bed, k.knobs, k.deviates)
	h := sha256.New()
	fmt.Fprintf(h, "%d %d %+v %+v %+v %+v %+v", modelMake, twinSeed, k.draws, t.twin, t.params, t.numbers.Climate, t.numbers.Yard)
	k.version = hex.EncodeToString(h.Sum(nil)[:12])
	fmt.Fprintf(h, " %+v", t.round)
	k.rounds = hex.EncodeToString(h.Sum(nil)[:12])
	t.mu.Lock()
	defer t.mu.Unlock()
	t.kind.Store(k)
	t.learned, t.epochs = nil, []twin.Epoch{{Numbers: k.draws}}
	return nil
}
