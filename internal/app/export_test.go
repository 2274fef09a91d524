package app

import (
	"time"

	"wormyard/farm"
	"wormyard/round"
)

// Suspects opens what a round suspects by the journal alone to tests outside, which
// may use the demo farm.
func (t *Twins) Suspects(s *farm.State, now time.Time) map[string]*round.Asked {
	return t.suspects(s, now)
}

// Limits gives the limits that a round keeps.
func (t *Twins) Limits() round.Parameters { return t.round }
