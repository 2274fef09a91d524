package trouble_test

import (
	"testing"

	"wormyard/internal/published/runners"
)

func TestPublished_Eddy1982(t *testing.T) { runners.Run(t, "eddy_1982") }
