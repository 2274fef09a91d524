package source

import "testing"

func TestTroubleIsWhole(t *testing.T) {
	b, err := Trouble()
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Causes()) < 10 || len(b.Looks()) < 10 {
		t.Errorf("%d causes, %d looks", len(b.Causes()), len(b.Looks()))
	}
	for _, c := range b.Causes() {
		if len(c.Do) == 0 || len(c.Not) == 0 {
			t.Errorf("%s: nothing to do, or nothing to leave", c.Key)
		}
	}
}
