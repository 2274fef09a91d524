package worm_test

import (
	"testing"

	"wormyard/internal/source"
	"wormyard/worm"
)

func parameters(t testing.TB) worm.Parameters {
	t.Helper()
	var p worm.Parameters
	if err := source.Load("worm", &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestParametersLoad(t *testing.T) { parameters(t) }
