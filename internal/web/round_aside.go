package web

import (
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/round"
)

// Aside adds to a round what no twin has a say in, for who reads it without a
// page: the steps of remedies and the questions whether they helped, each a line,
// and by the key of a line what of it was left since yesterday, with who, when and
// why. The error is the loader's.
func Aside(state *farm.State, l round.List, c *words.Catalogue, units qty.System, now time.Time) (round.List, map[string][]string, error) {
	p := person{Units: units, Words: c, Zone: state.Zone(), Now: now.In(state.Zone())}
	l, err := withRemedies(p, state, l)
	if err != nil {
		return l, nil, err
	}
	lefts := app.StillLeft(state, midnight(p.Now).AddDate(0, 0, -1))
	left := map[string][]string{}
	for _, x := range l.Lines {
		for _, i := range x.Items {
			if w, ok := lefts[app.LeftKeyOf(&i)]; ok {
				left[x.Key] = append(left[x.Key], leftLine(p, placeOr(i), w))
			}
		}
	}
	return l, left, nil
}
