package bed_test

import (
	"testing"

	"wormyard/bed"
	"wormyard/internal/published"
)

func TestPublished_ReferenceComputedColumns(t *testing.T) {
	published.RunFigures(t, published.Open(t, "reference_computed_columns"), bed.ColumnFigures())
}
