package climate_test

import (
	"testing"

	"wormyard/climate"
	"wormyard/internal/source"
)

func parameters(t testing.TB) climate.Parameters {
	t.Helper()
	var p climate.Parameters
	if err := source.Load("climate", &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func TestParametersLoad(t *testing.T) { parameters(t) }
