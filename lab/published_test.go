package lab_test

import (
	"testing"

	"wormyard/internal/published"
	"wormyard/internal/source"
	"wormyard/lab"
)

func parameters(t testing.TB) lab.Parameters {
	t.Helper()
	var p lab.Parameters
	if err := source.Load("lab", &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func compare(t *testing.T, name string) {
	t.Helper()
	published.RunFigures(t, published.Open(t, name), lab.Figures(parameters(t)))
}

func TestPublished_ReferenceComputedCounts(t *testing.T) { compare(t, "reference_computed_counts") }
func TestPublished_ReferenceComputedTubes(t *testing.T)  { compare(t, "reference_computed_tubes") }
func TestPublished_BAMTubeTables(t *testing.T)           { compare(t, "bam_tube_tables") }
func TestPublished_BAMWorkedExamples(t *testing.T)       { compare(t, "bam_worked_examples") }
func TestPublished_TubeAnchors(t *testing.T)             { compare(t, "tube_anchors") }

func TestPublished_ReferenceComputedLessThans(t *testing.T) {
	compare(t, "reference_computed_less_thans")
}
