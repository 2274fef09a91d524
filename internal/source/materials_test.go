package source

import "testing"

func TestMaterialsLoad(t *testing.T) {
	l, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	if n := len(l.Names()); n < 50 {
		t.Fatalf("%d materials", n)
	}
}
