package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/round"
)

// mostMixes is how many mixes are tried on each bin.
const mostMixes = 3

// mixes gives the batches in the yard that may be fed, and in words why others may
// not. Those that were mixed or fed from last come first, of one day those with
// most left: what an old batch has left by the journal is mostly what was fed of
// it and not written down.
func (t *Twins) mixes(s *farm.State, air *Air, now time.Time) (out []round.Mix, held []round.Phrase) {
	used := map[string]string{}
	for _, b := range s.Feeding() {
		left := b.Left()
		if left.Volume <= leastMix || left.Dry <= 0 || b.Purpose == "starting bed" || b.Purpose == "bedding" || b.Purpose == "hot pile" {
			continue
		}
		if now.Sub(b.At) > staleMix && now.Sub(b.Last) > staleMix {
			continue // used up by feedings that nobody wrote down
		}
		if why := forbids(s, b, now); why != "" {
			held = append(held, round.Phrase{Key: "note.held", Args: []round.Arg{{Of: "text", S: b.Name}, {Of: "text", S: why}}})
			continue
		}
		last := b.At
		if b.Last.After(last) {
			last = b.Last
		}
		used[b.Name] = last.In(s.Zone()).Format(time.DateOnly)
		mix := round.Mix{Batch: b.Name, PerM3: left.Times(1 / float64(left.Volume)), LeftM3: float64(left.Volume)}
		if perM3, lain, room, ok := t.heaps(s, air).Batch(b.Name, now.Unix()/3600); ok {
			mix.PerM3, mix.Lain, mix.LeftM3 = perM3, lain, mix.LeftM3*room
		}
		out = append(out, mix)
	}
	slices.SortStableFunc(out, func(a, b round.Mix) int {
		return cmp.Or(cmp.Compare(used[b.Batch], used[a.Batch]), cmp.Compare(b.LeftM3, a.LeftM3))
	})
	return out[:min(len(out), mostMixes)], held
}

// staleMix is how long a batch that nobody fed from is still taken to lie there.
const staleMix = 21 * 24 * time.Hour

// leastMix is what the loader cannot scrape together [m3].
const leastMix = 0.02

// forbids says in words why a batch may not be fed: a pile it came from is held,
// or what lies in it harms worms. A weed killer that nobody tested for harms the
// buyer's plants and holds the castings, not the feed.
func forbids(s *farm.State, b *farm.Batch, now time.Time) string {
	for _, part := range b.Parts {
		p, ok := s.Pile(part.Pile)
		if !ok {
			continue
		}
		if p.Hold != nil {
			return strings.TrimSuffix("pile "+p.Name+" is on hold: "+p.HoldWhy, ": ") + "."
		}
		age := now.Sub(p.Newest.At).Hours() / 24
		share := float64(part.Share)
		facts := feedstock.Facts{AgeDays: &age, ShareOfMix: &share, Tests: map[string]feedstock.Outcome{}}
		if dosed, err := time.ParseInLocation(time.DateOnly, p.DosedOn, s.Zone()); err == nil {
			days := now.Sub(dosed).Hours() / 24
			facts.DosedDaysAgo = &days
		} else { // no later than the day it came
			facts.DosedDaysAgo = &age
		}
		for _, lies := range p.Holds {
			if lies.Material.Name != part.Material && len(p.Holds) > 1 {
				continue
			}
			for _, h := range feedstock.Screen(lies.Material, p.Declared, facts) {
				if h.Level != feedstock.LevelWarn && h.Test != feedstock.TestBioassay {
					return fmt.Sprintf("%s in pile %s. %s", h.What, p.Name, h.Clears)
				}
			}
		}
	}
	return ""
}

// want says what to mix when nothing mixed is left: enough of the last feed for
// all bins that are due.
func (t *Twins) want(s *farm.State, now time.Time) *round.Want {
	w := new(round.Want)
	depth := float64(s.FarmHabit().Depth)
	if depth <= 0 {
		depth = t.App.Usual().FeedDepth
	}
	for _, b := range s.Living() {
		if h := t.habitOf(s, b, now); h.due && h.waits == 0 {
			w.Bins++
			w.M3 += depth * float64(b.Box.Area())
		}
	}
	if w.Bins == 0 {
		return nil
	}
	for _, b := range s.Batches() {
		if !b.Known || len(b.Parts) == 0 || strings.Contains(b.Purpose, "bed") || forbids(s, b, now) != "" {
			continue
		}
		w.Like = b.Name
		var all float64
		for _, p := range b.Parts {
			all += float64(p.Matter.Volume)
		}
		if made := float64(b.Made.Volume); all > 0 && made > 0 {
			for _, p := range b.Parts {
				w.Parts = append(w.Parts, round.Part{Pile: p.Pile, M3: w.M3 * float64(p.Matter.Volume) / made})
			}
		}
		break
	}
	return w
}
