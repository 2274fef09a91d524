package mix

import "sync"

// Kept holds what was drawn of properties, so that a mix that changes in one
// part is not drawn anew in all. The answers do not depend on it. The zero Kept
// holds nothing; it is safe for use by many goroutines.
type Kept struct {
	mu         sync.Mutex
	young, old map[keptOf]keptDraws
	size       int // values in young
}

// keptOf is what draws depend on.
type keptOf struct {
	seed, stream    uint64
	fraction        bool
	low, best, high float64
}

type keptDraws struct {
	classes []uint8
	values  []float64
}

// mostKept is how many values each of the two generations holds: twelve parts
// of nine properties at 10,000 draws, 10 MB.
const mostKept = 12 * 9 * Draws

// draw fills in the first n draws of a property.
func (k *Kept) draw(d *drawn, seed uint64, n int) {
	of := keptOf{seed, d.stream, d.fraction, d.of.Low, d.of.Best, d.of.High}
	k.mu.Lock()
	x, young := k.young[of]
	if !young {
		x = k.old[of]
	}
	k.mu.Unlock()
	if len(x.values) < n {
		d.draw(seed, n)
		x, young = keptDraws{d.classes, d.values}, false
	}
	if !young {
		k.put(of, x)
	}
	d.classes, d.values = x.classes[:n], x.values[:n]
}

// put keeps draws; the older generation makes room.
func (k *Kept) put(of keptOf, x keptDraws) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.young == nil || k.size+len(x.values) > mostKept {
		k.young, k.old, k.size = map[keptOf]keptDraws{}, k.young, 0
	}
	k.size += len(x.values) - len(k.young[of].values)
	k.young[of] = x
}
