package job

import (
	"testing"
	"time"
)

func TestLeft(t *testing.T) {
	at := time.Date(2026, 3, 1, 2, 0, 0, 0, time.UTC)
	var m Meter
	if _, ok := m.Left(at, 0, 0); ok {
		t.Error("nothing is known of how many there are")
	}
	if _, ok := m.Left(at, 40, 100); ok { // forty were done before a restart
		t.Error("it knows at once")
	}
	if left, ok := m.Left(at.Add(20*time.Second), 50, 100); !ok || left != 100*time.Second { // ten in 20 s, fifty to go
		t.Error(left, ok)
	}
	if left, ok := m.Left(at.Add(120*time.Second), 100, 100); !ok || left != 0 {
		t.Error(left, ok)
	}
	if _, ok := m.Left(at.Add(130*time.Second), 0, 100); ok { // begun anew
		t.Error("it goes by the last run")
	}
	if _, ok := m.Left(at.Add(140*time.Second), 1, 230); ok { // weeks before, bins now
		t.Error("it goes by the parts of another step")
	}
}
