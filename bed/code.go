package bed

import (
	"errors"
	"math"
)

// make of a snapshot; it changes when what a State holds changes.
const snapshotMake = 8

// AppendBinary appends the state to b, every bit of it; Decode reads it back.
func (s *State) AppendBinary(b []byte) []byte {
	b = append(b, snapshotMake)
	b = appendWord(b, uint64(s.Hour))
	b = appendWord(b, uint64(s.Stirred))
	b = append(b, uint8(len(s.Cover.Name)))
	b = append(b, s.Cover.Name...)
	for _, v := range s.numbers() {
		b = appendWord(b, math.Float64bits(*v))
	}
	b = append(b, uint8(len(s.Layers)))
	for i := range s.Layers {
		l := &s.Layers[i]
		feed := uint8(0)
		if l.Feed {
			feed = 1
		}
		b = append(b, l.Part, feed, uint8(l.Side))
		b = appendWord(b, l.ID)
		b = appendWord(b, uint64(l.Laid))
		for _, v := range l.numbers() {
			b = appendWord(b, math.Float64bits(*v))
		}
	}
	return b
}

// Decode reads a state written by AppendBinary, keeping the memory s has. It
// refuses a snapshot of another make or one cut short; s is then unusable.
func (s *State) Decode(b []byte) error {
	r := reader{b: b}
	if r.byte() != snapshotMake {
		return errors.New("the stored bed was written by another version")
	}
	s.Hour = int64(r.word())
	s.Stirred = int64(r.word())
	s.Cover.Name = string(r.take(int(r.byte())))
	for _, v := range s.numbers() {
		*v = math.Float64frombits(r.word())
	}
	n := int(r.byte())
	s.Layers = s.Layers[:0]
	for i := 0; i < n && !r.short; i++ {
		var l Layer
		l.Part = r.byte()
		l.Feed = r.byte() == 1
		l.Side = Side(r.byte())
		l.ID = r.word()
		l.Laid = int64(r.word())
		for _, v := range l.numbers() {
			*v = math.Float64frombits(r.word())
		}
		s.Layers = append(s.Layers, l)
	}
	if r.short || len(r.b) != 0 {
		return errors.New("the stored bed is cut short or longer than it should be")
	}
	return nil
}

// numbers are the numbers of a state beside its layers, in their stored order.
func (s *State) numbers() []*float64 {
	w, m := &s.Worms, &s.Meal
	out := []*float64{
		&s.Cover.U, &s.Cover.Permeance, &s.HeatW, &s.FloorC, &s.Drying, &s.Drawn, &s.HeatLn, &s.DrainedKg,
		&m.Hours, &m.WantedWet, &m.EatenWet, &m.EatenDry, &m.Nitrogen,
		&w.AdultKg, &w.JuvenileKg, &w.Cocoons, &w.Adults,
	}
	for i := range w.Aged {
		out = append(out, &w.Aged[i])
	}
	for i := range w.Young {
		out = append(out, &w.Young[i], &w.YoungKg[i])
	}
	for i := range w.Cocoon {
		out = append(out, &w.Cocoon[i])
	}
	return out
}

func (l *Layer) numbers() []*float64 {
	return []*float64{
		&l.LaidM, &l.DepthM, &l.Quick, &l.Slow, &l.Woody, &l.Cast, &l.Ash, &l.Lignin, &l.Carbon,
		&l.Nitrogen, &l.Ammonia, &l.Nitrate, &l.Salt, &l.PH, &l.Water, &l.Ice, &l.TempC, &l.Trend, &l.Warming,
		&l.Oxygen, &l.Worms, &l.Cocoons,
	}
}

// appendWord appends eight bytes, the lowest first.
func appendWord(b []byte, v uint64) []byte {
	return append(b, byte(v), byte(v>>8), byte(v>>16), byte(v>>24), byte(v>>32), byte(v>>40), byte(v>>48), byte(v>>56))
}

type reader struct {
	b     []byte
	short bool
}

func (r *reader) take(n int) []byte {
	if len(r.b) < n {
		r.short, r.b = true, nil
		return make([]byte, n)
	}
	out := r.b[:n]
	r.b = r.b[n:]
	return out
}

func (r *reader) byte() uint8 { return r.take(1)[0] }

func (r *reader) word() uint64 {
	b := r.take(8)
	v := uint64(0)
	for i := 7; i >= 0; i-- {
		v = v<<8 | uint64(b[i])
	}
	return v
}
