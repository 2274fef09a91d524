package twin

import (
	"errors"
	"fmt"
	"math"
)

// codeVersion is the first byte of a stored ensemble; another version is not read.
const codeVersion = 7

// AppendBinary appends the ensemble in a form that Decode reads back to the bit.
func (e *Ensemble) AppendBinary(b []byte) []byte {
	b = append(b, codeVersion)
	b = putUint(b, uint64(len(e.Bin)))
	b = append(b, e.Bin...)
	b = putUint(b, uint64(e.Hour))
	b = putUint(b, uint64(e.Taken))
	b = putUint(b, uint64(len(e.Members)))
	for m := range e.Members {
		k := &e.Members[m]
		b = putUint(b, uint64(k.Draw))
		for _, f := range []float64{k.Amount, k.Unwritten, k.Air, k.Wet, k.Stock, k.Fresh, k.Home, k.Tare, k.Patience, k.Moved.Dry, k.Moved.Water, k.Moved.Carbon, k.Moved.Nitrogen, k.Moved.Heat} {
			b = putUint(b, math.Float64bits(f))
		}
		state := k.State.AppendBinary(nil)
		b = putUint(b, uint64(len(state)))
		b = append(b, state...)
	}
	return b
}

// Decode reads what AppendBinary wrote. The error says that the bytes are of
// another version or broken; the caller then runs from the start again.
func Decode(b []byte) (*Ensemble, error) {
	broken := errors.New("the stored twins are cut short or damaged")
	if len(b) == 0 {
		return nil, broken
	}
	if b[0] != codeVersion {
		return nil, fmt.Errorf("the stored twins are of version %d, ours is %d", b[0], codeVersion)
	}
	b = b[1:]
	ok := true
	next := func() uint64 {
		if len(b) < 8 {
			ok = false
			return 0
		}
		var v uint64
		for i := range 8 {
			v |= uint64(b[i]) << (8 * i)
		}
		b = b[8:]
		return v
	}
	cut := func() []byte {
		n := next()
		if !ok || n > uint64(len(b)) {
			ok = false
			return nil
		}
		p := b[:n]
		b = b[n:]
		return p
	}
	e := &Ensemble{Bin: string(cut()), Hour: int64(next()), Taken: int(next())}
	n := next()
	if !ok || n > 4096 {
		return nil, broken
	}
	e.Members = make([]Member, n)
	for m := range e.Members {
		k := &e.Members[m]
		k.Draw = int(next())
		for _, f := range []*float64{&k.Amount, &k.Unwritten, &k.Air, &k.Wet, &k.Stock, &k.Fresh, &k.Home, &k.Tare, &k.Patience, &k.Moved.Dry, &k.Moved.Water, &k.Moved.Carbon, &k.Moved.Nitrogen, &k.Moved.Heat} {
			*f = math.Float64frombits(next())
		}
		state := cut()
		if !ok {
			return nil, broken
		}
		if err := k.State.Decode(state); err != nil {
			return nil, err
		}
	}
	if len(b) != 0 {
		return nil, broken
	}
	return e, nil
}

func putUint(b []byte, v uint64) []byte {
	return append(b, byte(v), byte(v>>8), byte(v>>16), byte(v>>24), byte(v>>32), byte(v>>40), byte(v>>48), byte(v>>56))
}
