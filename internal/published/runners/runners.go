// Package runners names the functions that compute the published checks which
// are not figures, so that the tests and docs/validation.md compute them by the
// same function. Each owner of a part of the trade keeps one file here
// (runners_bed.go) with a function that returns its list; All joins them.
package runners

import (
	"sync"
	"testing"

	"wormyard/internal/nature"
	"wormyard/internal/published"
)

// numbers gives the parameters of every part of the model, read once.
var numbers = sync.OnceValues(nature.Load)

// Runner computes one check of one file.
type Runner struct {
	File, Check string
	Compute     published.Compute
}

// Run compares every check of the file that has a runner.
func Run(t testing.TB, file string) {
	t.Helper()
	f := published.Open(t, file)
	n := 0
	for _, r := range All() {
		if r.File == file {
			published.RunAny(t, f, r.Check, r.Compute)
			n++
		}
	}
	if n == 0 {
		t.Errorf("no runner computes anything of %s", file)
	}
}
