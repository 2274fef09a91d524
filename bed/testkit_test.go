package bed_test

import (
	"errors"
	"testing"

	"wormyard/bed"
	"wormyard/internal/source"
)

// parameters gives the published set.
func parameters(t testing.TB) *bed.Parameters {
	t.Helper()
	p := new(bed.Parameters)
	err := errors.Join(
		source.Load("bed", &p.Column),
		source.Load("response", &p.Responses),
		source.Load("diffusivity", &p.Diffusivity),
		source.Load("worm", &p.Worm),
	)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
