package nature_test

import (
	"testing"

	"wormyard/internal/nature"
)

func TestLoad(t *testing.T) {
	if _, err := nature.Load(); err != nil {
		t.Fatal(err)
	}
}
