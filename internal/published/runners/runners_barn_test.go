package runners_test

import (
	"testing"

	"wormyard/internal/published/runners"
)

func TestPublished_Galle2018(t *testing.T) { runners.Run(t, "galle_2018") }

func TestPublished_Zhu2012(t *testing.T) { runners.Run(t, "zhu_2012") }
