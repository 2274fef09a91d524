package runners_test

import (
	"testing"

	"wormyard/internal/published/runners"
)

func TestPublished_NISTHandbook44AppendixC(t *testing.T) { runners.Run(t, "nist_hb44_appendix_c") }
