package farm

import (
	"slices"
	"sync"
	"time"

	"wormyard/barn"
	"wormyard/chance"
	"wormyard/journal"
	"wormyard/qty"
)

// layout is where bins stand, worked out once for a picture.
type layout struct {
	once   sync.Once
	places *barn.Places
	bins   []*Bin
}

func (s *State) layout() *layout {
	l := s.lay
	if l == nil { // the work itself, which no reader sees
		l = new(layout)
	}
	l.once.Do(func() {
		l.bins = make([]*Bin, 0, len(s.bins))
		for _, b := range s.bins {
			l.bins = append(l.bins, b)
		}
		slices.SortFunc(l.bins, func(a, b *Bin) int {
			if c := a.Slot.Compare(b.Slot); c != 0 {
				return c
			}
			return barn.Natural(a.Name, b.Name)
		})
		l.places = barn.NewPlaces()
		for _, b := range l.bins {
			if b.State != Retired {
				l.places.Put(b.Name, b.Slot)
			}
		}
	})
	return l
}

// Places says where each bin stands that is not retired. Read only.
func (s *State) Places() *barn.Places { return s.layout().places }

// Bins gives all bins, retired ones too, as a crew walks: barn, row, stack, from
// the floor up.
func (s *State) Bins() []*Bin { return s.layout().bins }

// Bin gives a bin by its painted name.
func (s *State) Bin(name string) (*Bin, bool) {
	b, ok := s.bins[name]
	return b, ok
}

// BinCalled gives the bin that a crew means by its painted name, by its number or
// by its place. A bin out of use is meant only by its name as painted.
func (s *State) BinCalled(text string) (string, *barn.SelectError) {
	if _, ok := s.bins[text]; ok {
		return text, nil
	}
	return s.Places().One(text)
}

// Called gives what a crew calls the place of a bin: "3-4 top".
func (s *State) Called(b *Bin) string { return s.Places().Called(b.Slot) }

// Living gives the bins with a bed, as a crew walks.
func (s *State) Living() []*Bin {
	var out []*Bin
	for _, b := range s.Bins() {
		if b.Bed != nil {
			out = append(out, b)
		}
	}
	return out
}

// Row is the bins of one row, stack by stack from the floor up.
type Row struct {
	Barn, Name string
	Bins       []*Bin
}

// Rows gives the bins that are not retired, row by row; bins off the rows come
// last in a row without name.
func (s *State) Rows() []Row {
	var out []Row
	for _, b := range s.Bins() {
		if b.State == Retired {
			continue
		}
		if n := len(out); n == 0 || out[n-1].Barn != b.Slot.Barn || out[n-1].Name != b.Slot.Row {
			out = append(out, Row{Barn: b.Slot.Barn, Name: b.Slot.Row})
		}
		out[len(out)-1].Bins = append(out[len(out)-1].Bins, b)
	}
	return out
}

func sorted[T any](m map[string]*T) []*T {
	names := make([]string, 0, len(m))
	for n := range m {
		names = append(names, n)
	}
	slices.SortFunc(names, barn.Natural)
	out := make([]*T, len(names))
	for i, n := range names {
		out[i] = m[n]
	}
	return out
}

// Barns gives the barns by name.
func (s *State) Barns() []*Barn { return sorted(s.barns) }

// Barn gives a barn by name.
func (s *State) Barn(name string) (*Barn, bool) {
	b, ok := s.barns[name]
	return b, ok
}

// Piles gives the piles by name, used up ones too.
func (s *State) Piles() []*Pile { return sorted(s.piles) }

// Pile gives a pile by name.
func (s *State) Pile(name string) (*Pile, bool) {
	p, ok := s.piles[name]
	return p, ok
}

// usedUp is the part of what came below which a pile or a batch counts as used
// up: what the loader cannot scrape together. Common practice, no source.
const usedUp = 0.02

// Lying gives the piles in which something is left.
func (s *State) Lying() []*Pile {
	var out []*Pile
	for _, p := range s.Piles() {
		left := p.Left()
		if left.Volume > p.Got.Volume*usedUp || (p.Got.Volume <= 0 && left.Wet() > p.Got.Wet()*usedUp) {
			out = append(out, p)
		}
	}
	return out
}

// Batches gives the batches, the last mixed first.
func (s *State) Batches() []*Batch {
	out := make([]*Batch, 0, len(s.batches))
	for _, b := range s.batches {
		out = append(out, b)
	}
	slices.SortFunc(out, func(a, b *Batch) int {
		if c := b.At.Compare(a.At); c != 0 {
			return c
		}
		return barn.Natural(a.Name, b.Name)
	})
	return out
}

// Batch gives a batch by name.
func (s *State) Batch(name string) (*Batch, bool) {
	b, ok := s.batches[name]
	return b, ok
}

// Feeding gives the batches with matter left, the last mixed first.
func (s *State) Feeding() []*Batch {
	var out []*Batch
	for _, b := range s.Batches() {
		if b.Known && b.FedShare() < 1-usedUp && b.Made.Wet() > 0 {
			out = append(out, b)
		}
	}
	return out
}

// Lots gives the lots by name.
func (s *State) Lots() []*Lot { return sorted(s.lots) }

// Lot gives a lot by name.
func (s *State) Lot(name string) (*Lot, bool) {
	l, ok := s.lots[name]
	return l, ok
}

// Orders gives what was ordered, in order of entry. What was written of an order that
// was written anew since is of the new one.
func (s *State) Orders() []Order {
	out := slices.Clone(s.orders)
	taken := map[string]bool{}
	for i := range out {
		o := &out[i]
		o.Parts = slices.Clone(o.Parts)
		for id := o.Strikes; id != "" && s.struck[id] && !taken[id]; {
			e, _, _ := s.Entry(id)
			b, ok := bodyOf[*journal.Order](e)
			if !ok {
				break
			}
			taken[id] = true
			o.Before, id = append(o.Before, OrderIn(e, b)), e.Strikes
		}
		for k, cancel := range s.cancelled(*o) {
			o.Parts[k].Cancel = cancel
		}
	}
	return out
}

// cancelled gives the products of an order, by place, that are not wanted any more.
func (s *State) cancelled(o Order) map[int]*Cancel {
	if len(s.cancels) == 0 {
		return nil
	}
	out := map[int]*Cancel{}
	for _, was := range append([]Order{o}, o.Before...) {
		for k := range was.Parts {
			now := o.now(was.Entry, k)
			if c := s.cancels[orderAt{was.Entry, k + 1}]; c != nil && now >= 0 && out[now] == nil {
				out[now] = c
			}
		}
	}
	for _, was := range append([]Order{o}, o.Before...) {
		for k := range o.Parts {
			if c := s.cancels[orderAt{was.Entry, 0}]; c != nil && out[k] == nil {
				out[k] = c
			}
		}
	}
	return out
}

// bodyOf gives the body of an entry of a kind; false for any other.
func bodyOf[T any](e *journal.Entry) (T, bool) {
	var none T
	if e == nil {
		return none, false
	}
	b, ok := e.Body.(T)
	return b, ok
}

// WormSales gives the live worms that were sold, in order of entry.
func (s *State) WormSales() []WormSale { return slices.Clip(s.worms) }

// Drills gives the recalls that were tried out, in order of entry.
func (s *State) Drills() []Drill { return slices.Clip(s.drills) }

// Complaints gives what customers found amiss, in order of entry.
func (s *State) Complaints() []Complaint { return slices.Clip(s.amiss) }

// Trials gives the comparisons, in order of entry.
func (s *State) Trials() []Trial { return slices.Clip(s.trials) }

// Weather gives the lows and highs typed for outside, in order of entry. Of two
// for one day the later stands.
func (s *State) Weather() []Weather { return slices.Clip(s.site) }

// Seen gives sightings in places that are neither bin nor pile.
func (s *State) Seen() []Sighting { return slices.Clip(s.seen) }

// Age gives how old the bed is, as far as anybody said.
func (b *Bed) Age(now time.Time) qty.Days {
	return b.Start.AgeDays + qty.Days(now.Sub(b.At).Hours()/24)
}

// SinceFed gives the days since the bed was last fed, by an entry or by what
// was said on the first morning; false when it never was as far as anybody knows.
func (b *Bed) SinceFed(now time.Time) (qty.Days, bool) {
	if b.LastFeed != nil {
		return qty.Days(now.Sub(b.LastFeed.At).Hours() / 24), true
	}
	if b.Start.LastFeedDepth > 0 || b.Start.LastFeedDays > 0 {
		return b.Start.LastFeedDays + qty.Days(now.Sub(b.At).Hours()/24), true
	}
	return 0, false
}

// ByAge gives the bins with a bed, the oldest bed first.
func (s *State) ByAge(now time.Time) []*Bin {
	out := s.Living()
	slices.SortStableFunc(out, func(a, b *Bin) int {
		switch x, y := a.Bed.Age(now), b.Bed.Age(now); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return out
}

// Usually is what the journal shows of a habit, or what the owner said.
type Usually struct {
	EveryDays float64   // days between feedings, 0 when nothing is known
	Depth     qty.Metre // of a feeding, 0 when nothing is known
	From      int       // feedings it rests on; 0 when it is the owner's word
}

// habitFeeds is how many of the last feedings of a bin make its habit.
const habitFeeds = 8

// Habit gives the usual feeding of a bin: the median of its last feedings when
// there are three or more, else that of the farm, else the owner's word.
func (s *State) Habit(bin string) Usually {
	if b := s.bins[bin]; b != nil && b.Bed != nil {
		if u := usually([]*Bin{b}); u.From >= 3 {
			return u
		}
	}
	return s.FarmHabit()
}

// FarmHabit gives the usual feeding over all bins, or the owner's word.
func (s *State) FarmHabit() Usually {
	u := usually(s.Living())
	if u.From < 3 {
		u.EveryDays, u.Depth, u.From = s.Settings.Habits.FeedEveryDays, s.Settings.Habits.FeedDepth, 0
	}
	return u
}

func usually(bins []*Bin) Usually {
	var gaps, depths []float64
	n := 0
	for _, b := range bins {
		var last time.Time
		count := 0
		for i := len(b.Bed.Acts) - 1; i >= 0 && count < habitFeeds; i-- {
			a := b.Bed.Acts[i]
			if a.Kind != ActFeed {
				continue
			}
			count++
			if a.Depth > 0 {
				depths = append(depths, float64(a.Depth))
			}
			if !last.IsZero() {
				gaps = append(gaps, last.Sub(a.At).Hours()/24)
			}
			last = a.At
		}
		n += count
	}
	return Usually{EveryDays: chance.Median(gaps), Depth: qty.Metre(chance.Median(depths)), From: n}
}

// Since gives the readings from a time on, of readings in order.
func Since(r []*Reading, from time.Time) []*Reading {
	i, _ := slices.BinarySearchFunc(r, from, func(r *Reading, t time.Time) int { return r.At.Compare(t) })
	return r[i:]
}

// Names gives the names of all things of a kind ("lot", "pile", "batch", "bin",
// "barn"), in their order; nothing of another kind.
func (s *State) Names(kind string) (out []string) {
	switch kind {
	case "lot":
		for _, x := range s.Lots() {
			out = append(out, x.Name)
		}
	case "pile":
		for _, x := range s.Piles() {
			out = append(out, x.Name)
		}
	case "batch":
		for _, x := range s.Batches() {
			out = append(out, x.Name)
		}
	case "bin":
		for _, x := range s.Bins() {
			out = append(out, x.Name)
		}
	case "barn":
		for _, x := range s.Barns() {
			out = append(out, x.Name)
		}
	}
	return out
}
