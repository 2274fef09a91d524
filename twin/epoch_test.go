package twin_test

import (
	"bytes"
	"testing"

	"wormyard/twin"
)

// Numbers that change to the same numbers change nothing, and others change only
// what comes after.
func TestNumbersTurnAtAnHour(t *testing.T) {
	b := open(t)
	h := b.history(3)
	const days = 20
	turn := h.Start.Hour/6*6 + 12*24
	code := func(e *twin.Ensemble) []byte { return e.AppendBinary(nil) }
	plain := b.run(b.crew(), h, days)
	same := b.crew()
	same.Turn([]twin.Epoch{{Numbers: b.draws}, {From: turn, Numbers: b.draws}})
	if !bytes.Equal(code(b.run(same, h, days)), code(plain)) {
		t.Error("turning to the same numbers changed the twins")
	}
	other := b.crew()
	later := append(b.draws[1:len(b.draws):len(b.draws)], b.draws[0])
	other.Turn([]twin.Epoch{{Numbers: b.draws}, {From: turn, Numbers: later}})
	if !bytes.Equal(code(b.run(other, h, 11)), code(b.run(b.crew(), h, 11))) {
		t.Error("numbers of later changed what came before")
	}
	if bytes.Equal(code(b.run(other, h, days)), code(plain)) {
		t.Error("other numbers changed nothing")
	}
}
