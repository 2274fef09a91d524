package farm

import (
	"maps"
	"slices"
)

// freeze gives a picture of the state. From then on everything in it is shared,
// and the work copies what it changes.
func (s *State) freeze() *State {
	c := *s
	c.journal, c.struck = nil, nil
	s.barns, s.bins, s.piles = maps.Clone(s.barns), maps.Clone(s.bins), maps.Clone(s.piles)
	s.batches, s.lots, s.doubts = maps.Clone(s.batches), maps.Clone(s.lots), maps.Clone(s.doubts)
	s.cancels = maps.Clone(s.cancels)
	s.epoch++
	return &c
}

// thaw gives a state to work on that begins as the picture. Its own lists grow
// in new memory, since the old may be written by the branch it leaves.
func (s *State) thaw() *State {
	c := *s
	c.barns, c.bins, c.piles = maps.Clone(s.barns), maps.Clone(s.bins), maps.Clone(s.piles)
	c.batches, c.lots, c.doubts = maps.Clone(s.batches), maps.Clone(s.lots), maps.Clone(s.doubts)
	c.orders, c.trials, c.early = slices.Clip(c.orders), slices.Clip(c.trials), slices.Clip(c.early)
	c.worms, c.amiss, c.cancels = slices.Clip(c.worms), slices.Clip(c.amiss), maps.Clone(c.cancels)
	c.site, c.seen, c.duties = slices.Clip(c.site), slices.Clip(c.seen), slices.Clip(c.duties)
	return &c
}

// ownBin gives the bin to change, nil when there is none of that name.
func (s *State) ownBin(name string) *Bin {
	b := s.bins[name]
	if b == nil || b.epoch == s.epoch {
		return b
	}
	c := *b
	if b.epoch <= s.branch {
		c.Past, c.Sightings, c.Tests, c.Remedies = slices.Clip(c.Past), slices.Clip(c.Sightings), slices.Clip(c.Tests), slices.Clip(c.Remedies)
	}
	c.epoch = s.epoch
	s.bins[name] = &c
	return &c
}

// ownBed gives the bed of an owned bin to change, nil when it has none.
func (s *State) ownBed(b *Bin) *Bed {
	if b.Bed == nil || b.Bed.epoch == s.epoch {
		return b.Bed
	}
	c := *b.Bed
	if c.epoch <= s.branch {
		c.Acts, c.Readings, c.Looks = slices.Clip(c.Acts), slices.Clip(c.Readings), slices.Clip(c.Looks)
		c.Depths, c.Weighs, c.Counts = slices.Clip(c.Depths), slices.Clip(c.Weighs), slices.Clip(c.Counts)
		c.batches = slices.Clip(c.batches)
	}
	c.epoch = s.epoch
	b.Bed = &c
	return &c
}

func (s *State) ownBarn(name string) *Barn {
	b := s.barns[name]
	if b == nil {
		b = &Barn{Name: name, epoch: s.epoch}
		s.barns[name] = b
		return b
	}
	if b.epoch == s.epoch {
		return b
	}
	c := *b
	if c.epoch <= s.branch {
		c.Heat, c.Readings, c.Weather = slices.Clip(c.Heat), slices.Clip(c.Readings), slices.Clip(c.Weather)
	}
	c.epoch = s.epoch
	s.barns[name] = &c
	return &c
}

// ownPile gives the pile to change, nil when there is none of that name.
func (s *State) ownPile(name string) *Pile {
	p := s.piles[name]
	if p == nil || p.epoch == s.epoch {
		return p
	}
	c := *p
	c.Holds = slices.Clone(c.Holds) // its elements change in place
	if c.epoch <= s.branch {
		c.Tests, c.Declared, c.Tended = slices.Clip(c.Tests), slices.Clip(c.Declared), slices.Clip(c.Tended)
		c.Batches, c.Seen, c.Missing = slices.Clip(c.Batches), slices.Clip(c.Seen), slices.Clip(c.Missing)
		c.past = slices.Clip(c.past)
		c.Loads = slices.Clip(c.Loads)
	}
	c.epoch = s.epoch
	s.piles[name] = &c
	return &c
}

// ownBatch gives the batch to change, nil when there is none of that name.
func (s *State) ownBatch(name string) *Batch {
	b := s.batches[name]
	if b == nil || b.epoch == s.epoch {
		return b
	}
	c := *b
	if c.epoch <= s.branch {
		c.Parts, c.Bins, c.Tests = slices.Clip(c.Parts), slices.Clip(c.Bins), slices.Clip(c.Tests)
		c.blends = slices.Clip(c.blends)
	}
	c.in = slices.Clone(c.in)
	c.epoch = s.epoch
	s.batches[name] = &c
	return &c
}

func (s *State) ownLot(name string) *Lot {
	l := s.lots[name]
	if l == nil || l.epoch == s.epoch {
		return l
	}
	c := *l
	if c.epoch <= s.branch {
		c.From, c.Screens, c.Cures = slices.Clip(c.From), slices.Clip(c.Screens), slices.Clip(c.Cures)
		c.Joined, c.Given = slices.Clip(c.Joined), slices.Clip(c.Given)
		c.Bags, c.Sales, c.Tests = slices.Clip(c.Bags), slices.Clip(c.Sales), slices.Clip(c.Tests)
		c.Seen, c.Releases, c.Holds = slices.Clip(c.Seen), slices.Clip(c.Releases), slices.Clip(c.Holds)
	}
	c.epoch = s.epoch
	s.lots[name] = &c
	return &c
}
