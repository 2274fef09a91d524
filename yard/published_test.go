package yard_test

import (
	"testing"

	"wormyard/internal/published"
	"wormyard/yard"
)

func TestPublished_PilesMeasured(t *testing.T) {
	published.RunFigures(t, published.Open(t, "piles_measured"), yard.Figures(*parameters(t)))
}

func TestPublished_PileLimitsFigures(t *testing.T) {
	published.RunFigures(t, published.Open(t, "pile_limits"), yard.Figures(*parameters(t)))
}
