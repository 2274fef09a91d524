package runners

import "slices"

// All gives every runner, one line an owner.
func All() []Runner {
	return slices.Concat(
		house(),
		science(),
		stock(),
		mixing(),
		cases(),
		pots(),
		beds(),
		heaps(),
		troubles(),
		yards(),
	)
}
