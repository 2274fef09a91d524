package app

import (
	"fmt"
	"time"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/harvest"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// RipeList is the answer of wormyard harvest without an entry: the bins that are
// ripe, or are within the days that were looked ahead, the ripest first.
type RipeList struct {
	Made  time.Time  `json:"made"` // when it was worked out
	Bins  []RipeBin  `json:"bins"`
	Known int        `json:"looked_at"` // bins with a bed that something is worked out of
	Later int        `json:"not_yet"`   // of them not ripe as far as was looked ahead
	All   RipeAmount `json:"ripe_now"`  // of all that are as likely as not ripe today
}

// RipeAmount sums bins; low and high are sums of the bins' own, as wide as if all
// erred alike.
type RipeAmount struct {
	Bins     int        `json:"bins"`
	Castings twin.Range `json:"castings_kg_wet"`
	Worms    twin.Range `json:"worms_kg"`
	Cocoons  twin.Range `json:"cocoons"`
}

// RipeBin is a bin that is ripe or soon is, with what it holds and how to take it.
type RipeBin struct {
	Bin      string        `json:"bin"`
	Place    string        `json:"place"`
	Ripe     twin.Range    `json:"ripe_days"`
	Chance   *float64      `json:"ripe_chance"` // now; null where an older program looked
	Worked   *twin.Range   `json:"worked_frac"` // of what worms can work, by dry mass
	Feed     *twin.Range   `json:"feed_frac"`
	Depth    *twin.Range   `json:"ripe_depth_m"`
	Castings twin.Range    `json:"castings_kg_wet"`
	Worms    twin.Range    `json:"worms_kg"`
	Cocoons  twin.Range    `json:"cocoons"`
	Steps    []PlannedStep `json:"steps"`
	Ways     []GotBy       `json:"ways"`
}

// GotBy is what a way of taking a bin is likely to give.
type GotBy struct {
	Way      harvest.Way `json:"way"`
	Days     float64     `json:"takes_days"` // until most worms have gone over; 0 where they need not
	Worms    twin.Range  `json:"worms_back_kg"`
	Cocoons  twin.Range  `json:"cocoons_back"`
	Castings twin.Range  `json:"castings_kg_wet"`
}

// RipeBins gives the bins that are ripe or soon are, from what was worked out last.
func (p *Screens) RipeBins(s *farm.State, all []*Outlook, now time.Time) RipeList {
	out := RipeList{Bins: []RipeBin{}}
	for _, o := range all {
		if o != nil {
			out.Known++
			if o.Made.After(out.Made) {
				out.Made = o.Made
			}
		}
	}
	add := func(to *twin.Range, x twin.Range) {
		to.Low, to.Mid, to.High = to.Low+x.Low, to.Mid+x.Mid, to.High+x.High
	}
	for _, x := range RipeningOf(all) {
		b, ok := s.Bin(x.Outlook.Bin)
		if !ok {
			continue
		}
		o := x.Outlook
		r := RipeBin{Bin: b.Name, Place: s.Called(b), Ripe: x.Days, Castings: o.CastKg, Worms: o.Worms, Cocoons: o.Cocoons, Steps: p.Plan(o, now)}
		if o.Ready != nil {
			r.Chance, r.Worked, r.Feed, r.Depth = &o.Ready.Chance, &o.Ready.Worked, &o.Ready.Feed, &o.Ready.Depth
		}
		for _, w := range p.Ways(o) {
			r.Ways = append(r.Ways, GotBy(w))
		}
		out.Bins = append(out.Bins, r)
		if x.Days.Mid < 0.5 {
			out.All.Bins++
			add(&out.All.Castings, o.CastKg)
			add(&out.All.Worms, o.Worms)
			add(&out.All.Cocoons, o.Cocoons)
		}
	}
	out.Later = out.Known - len(out.Bins)
	return out
}

// HarvestSaid is what a harvest would do: what is moved, out of what is likely
// there, and what stays. Masses are of all its bins together.
type HarvestSaid struct {
	Bins       []string         `json:"bins"`
	How        string           `json:"how,omitempty"`
	Taken      *float64         `json:"castings_kg_wet"`                 // null where nobody said how much
	Guessed    bool             `json:"from_volume,omitempty"`           // the mass was made of a volume
	There      *twin.Range      `json:"likely_there_kg_wet"`             // castings; null where no bin was worked out
	Ends       bool             `json:"ends_bed"`                        //
	Worms      *WormsMoved      `json:"worms,omitempty"`                 // null where no bin was worked out
	Lot        *LotMoved        `json:"lot,omitempty"`                   // null where it goes into none
	Doubts     []figure.Problem `json:"doubts,omitempty"`                // asked about before it is written down
	Recorded   string           `json:"recorded,omitempty"`              // id of the entry
	Unreckoned []string         `json:"not_worked_out_bins,omitempty"`   // bins of which nothing is known
	Cocoons    *twin.Range      `json:"cocoons_with_castings,omitempty"` // that go out with them
}

// WormsMoved is the worms of a harvest [kg live].
type WormsMoved struct {
	There twin.Range  `json:"likely_there_kg"`
	Back  *float64    `json:"got_back_kg"`    // as said
	Ought *twin.Range `json:"likely_back_kg"` // by the way they are parted; null where it is not said
	To    float64     `json:"returned_to_bins_kg"`
	Rest  *float64    `json:"got_back_and_not_returned_kg"`
}

// LotMoved is a lot before and after [kg wet].
type LotMoved struct {
	Lot    string  `json:"lot"`
	Began  bool    `json:"begins"`
	Before float64 `json:"in_before_kg_wet"`
	After  float64 `json:"in_after_kg_wet"`
	Sure   bool    `json:"sure"` // every mass is known
}

// HarvestSaid gives what a harvest would do, without writing it. Outlooks are those
// of its bins, nil where nothing was worked out.
func (p *Screens) HarvestSaid(a *App, b *journal.Harvest, look map[string]*Outlook, e *journal.Entry) (HarvestSaid, error) {
	s := a.State()
	out := HarvestSaid{Bins: b.Bins, How: b.How, Ends: b.EndsBed}
	doubts, err := a.checked(e)
	if err != nil {
		return out, err
	}
	out.Doubts = doubts
	var there, worms, cocoons twin.Range
	known := 0
	for _, name := range b.Bins {
		o := look[name]
		if o == nil {
			out.Unreckoned = append(out.Unreckoned, name)
			continue
		}
		known++
		there, worms, cocoons = plusRange(there, o.CastKg), plusRange(worms, o.Worms), plusRange(cocoons, o.Cocoons)
	}
	before, is := s.Lot(b.Lot)
	if !is {
		before = &farm.Lot{Name: b.Lot}
	}
	density, _ := s.CastingsDensity(before)
	switch {
	case b.MassKgWet != nil:
		out.Taken = numberOf(float64(*b.MassKgWet))
	case b.VolumeM3 != nil:
		out.Taken, out.Guessed = numberOf(float64(*b.VolumeM3)*float64(density)), true
	}
	if known > 0 {
		out.There = &there
		w := &WormsMoved{There: worms}
		if b.WormsKg != nil {
			w.Back = numberOf(float64(*b.WormsKg))
		}
		for _, t := range b.WormsTo {
			w.To += float64(t.Kg)
		}
		if w.Back != nil {
			w.Rest = numberOf(*w.Back - w.To)
		}
		if x, ok := p.parted(b.How); ok {
			w.Ought = &twin.Range{Low: worms.Low * x.Worms.Low, Mid: worms.Mid * x.Worms.Best, High: worms.High * x.Worms.High}
			out.Cocoons = &twin.Range{Low: cocoons.Low * (1 - x.Cocoons.High), Mid: cocoons.Mid * (1 - x.Cocoons.Best), High: cocoons.High * (1 - x.Cocoons.Low)}
		}
		out.Worms = w
	}
	if b.Lot != "" {
		m := &LotMoved{Lot: b.Lot, Began: !is, Sure: out.Taken != nil}
		if is {
			was := s.Amounts(before)
			m.Before, m.Sure = float64(was.In), m.Sure && was.Sure
		}
		m.After = m.Before
		if out.Taken != nil {
			m.After += *out.Taken
		}
		out.Lot = m
	}
	return out, nil
}

// parted gives what a way that is written in a harvest gets back.
func (p *Screens) parted(how string) (harvest.Parted, bool) {
	w := harvest.Way(how)
	if how == "" {
		return harvest.Parted{}, false
	}
	days := 0.0
	if w == harvest.Side {
		days = harvest.SideDays(harvest.MostMoved, p.par.SideRate.Best, p.par.SideStay.Best)
	}
	return p.par.PartedBy(w, days, quarterInch), true
}

func plusRange(a, b twin.Range) twin.Range {
	return twin.Range{Low: a.Low + b.Low, Mid: a.Mid + b.Mid, High: a.High + b.High}
}

// checked gives what is unusual about an entry; what cannot be is an error.
func (a *App) checked(e *journal.Entry) ([]figure.Problem, error) {
	s := a.State()
	ps := append(journal.Check(e, journal.Known{Facts: a.known(), Units: s.Settings.Units, Zone: s.Zone(), Now: a.Now()}), against(s, e)...)
	if err := refusedOf(ps); err != nil {
		return nil, err
	}
	var out []figure.Problem
	for _, p := range ps {
		out = append(out, figure.Problem{Field: p.Field, Say: p.Say, Try: p.Try})
	}
	return out, nil
}

// ScreenForetold is what a deck is likely to do: the answer of wormyard screen.
type ScreenForetold struct {
	Lot          string           `json:"lot,omitempty"`
	Opening      float64          `json:"opening_mm"`
	Water        float64          `json:"water_frac_wet"`
	Rate         float64          `json:"rate_of_usual"`
	Kind         string           `json:"kind"` // flat or drum
	Chips        float64          `json:"chips_frac"`
	Runs         bool             `json:"can_be_screened"` // false where it balls: then the shares are null
	Share        *twin.Range      `json:"through_frac"`
	Heap         *float64         `json:"heap_kg_wet"` // of the lot; null where none is named or its mass is not known
	Through      *twin.Range      `json:"through_kg_wet"`
	Over         *twin.Range      `json:"over_kg_wet"`
	Fine         *float64         `json:"fine_frac"` // of the heap, finer than the opening
	Recovered    *float64         `json:"fine_through_frac"`
	Kept         *float64         `json:"coarse_over_frac"`
	Efficient    *float64         `json:"efficiency"`
	Cocoons      *float64         `json:"cocoons_over_frac"` // kept for the stock
	Worms        *float64         `json:"worms_over_frac"`
	Threads      *float64         `json:"threads_kept_frac"`
	CocoonsRange *twin.Range      `json:"cocoons_over_range"` // central 90 %, as that of what goes through
	WormsRange   *twin.Range      `json:"worms_over_range"`
	ThreadsRange *twin.Range      `json:"threads_kept_range"`
	Own          int              `json:"own_screenings"`            // the farm's own that the cut was learned from
	Dry          *float64         `json:"dry_to_frac_wet,omitempty"` // first, where it sticks or balls
	Warnings     []string         `json:"warnings"`
	Beside       []OpeningBeside  `json:"beside"` // other openings for the same heap
	Said         *ScreenSaid      `json:"entry,omitempty"`
	Doubts       []figure.Problem `json:"doubts,omitempty"`
	Recorded     string           `json:"recorded,omitempty"`
}

// OpeningBeside is another opening for the same heap.
type OpeningBeside struct {
	Opening      float64    `json:"opening_mm"`
	Share        twin.Range `json:"through_frac"`
	Cocoons      float64    `json:"cocoons_over_frac"`
	Worms        float64    `json:"worms_over_frac"`
	Threads      float64    `json:"threads_kept_frac"`
	CocoonsRange twin.Range `json:"cocoons_over_range"`
	WormsRange   twin.Range `json:"worms_over_range"`
	ThreadsRange twin.Range `json:"threads_kept_range"`
}

// ScreenSaid is what the entry of a screening says and would do [kg wet].
type ScreenSaid struct {
	Through     *float64 `json:"through_kg_wet"` // by the finest deck
	Over        *float64 `json:"over_kg_wet"`    // by all of them
	Unexplained *float64 `json:"unexplained_kg_wet"`
	LotBefore   float64  `json:"lot_before_kg_wet"`
	LotAfter    float64  `json:"lot_after_kg_wet"`
	Sure        bool     `json:"sure"`
	Pile        string   `json:"overs_pile,omitempty"`
	PileBefore  float64  `json:"pile_before_kg_wet,omitempty"`
	PileAfter   float64  `json:"pile_after_kg_wet,omitempty"`
}

// Foretell tells what a deck is likely to do, with a lot of a farm or, where both
// are nil, with a heap of castings of which only the shares can be told.
func (p *Screens) Foretell(s *farm.State, l *farm.Lot, in ScreenAsked) ScreenForetold {
	if s == nil {
		s, l = farm.New(farm.Trade{}).State(), &farm.Lot{}
	}
	a := p.Ask(s, l, in)
	out := ScreenForetold{Lot: l.Name, Opening: in.Opening, Water: float64(in.Water), Rate: in.Rate, Kind: "flat", Chips: a.Asked.Chips, Runs: !a.Cut.Balls, Own: a.Own, Beside: []OpeningBeside{}}
	if in.Drum {
		out.Kind = "drum"
	}
	out.Warnings = p.par.Warnings(in.Opening, float64(in.Water), 1-a.Cut.Cocoons.Best)
	if a.Cut.Balls || a.Sticks {
		out.Dry = numberOf(a.Dry)
	}
	share := func(e qty.Estimate) twin.Range { return twin.Range{Low: e.Low, Mid: e.Best, High: e.High} }
	if a.Sure && a.Heap > 0 {
		out.Heap = numberOf(float64(a.Heap))
	}
	if a.Cut.Balls {
		return out
	}
	t := share(a.Cut.Through)
	out.Share = &t
	out.Fine, out.Recovered, out.Kept, out.Efficient = numberOf(a.Cut.Fine), numberOf(a.Cut.Recovered), numberOf(a.Cut.Kept), numberOf(a.Cut.Efficiency())
	out.Cocoons, out.Worms, out.Threads = numberOf(a.Cut.Cocoons.Best), numberOf(a.Cut.Worms.Best), numberOf(a.Cut.Threads.Best)
	cocoons, worms, threads := share(a.Cut.Cocoons), share(a.Cut.Worms), share(a.Cut.Threads)
	out.CocoonsRange, out.WormsRange, out.ThreadsRange = &cocoons, &worms, &threads
	if out.Heap != nil {
		h := *out.Heap
		out.Through = &twin.Range{Low: t.Low * h, Mid: t.Mid * h, High: t.High * h}
		out.Over = &twin.Range{Low: h - t.High*h, Mid: h - t.Mid*h, High: h - t.Low*h}
	}
	for _, b := range a.Beside {
		out.Beside = append(out.Beside, OpeningBeside{b.Opening, share(b.Cut.Through), b.Cut.Cocoons.Best, b.Cut.Worms.Best, b.Cut.Threads.Best, share(b.Cut.Cocoons), share(b.Cut.Worms), share(b.Cut.Threads)})
	}
	return out
}

// ScreenSaid gives what the entry of a screening would do, without writing it, and
// what was to be expected of its coarsest deck. What the entry leaves out is as
// asked.
func (p *Screens) ScreenSaid(x *App, b *journal.Screen, asked ScreenAsked, e *journal.Entry) (ScreenForetold, error) {
	s := x.State()
	doubts, err := x.checked(e)
	if err != nil {
		return ScreenForetold{}, err
	}
	l, ok := s.Lot(b.Lot)
	if !ok {
		return ScreenForetold{}, figure.Refuse("lot", fmt.Sprintf("Nothing is called lot %q in the journal.", b.Lot), "See wormyard lot list for the names, or enter the harvest first.")
	}
	finest := -1
	for i, d := range b.Decks {
		if d.OpeningMM > asked.Opening || i == 0 {
			asked.Opening, asked.Drum = d.OpeningMM, d.Type == "drum" || d.Type == "" && asked.Drum
			if d.RateFrac != nil {
				asked.Rate = *d.RateFrac
			}
		}
		if finest < 0 || d.OpeningMM < b.Decks[finest].OpeningMM {
			finest = i
		}
	}
	if b.WaterFracWet != nil {
		asked.Water = *b.WaterFracWet
	}
	if asked.Opening <= 0 {
		return ScreenForetold{}, figure.Refuse("decks", "No deck is named.", `Give its opening: "decks":[{"opening":"1/4 in"}].`)
	}
	out := p.Foretell(s, l, asked)
	out.Doubts = doubts
	a := s.Amounts(l)
	said := &ScreenSaid{LotBefore: float64(a.Left()), LotAfter: float64(a.Left()), Sure: a.Sure, Pile: b.OversPile}
	var over float64
	weighed := 0
	for _, d := range b.Decks {
		if d.OverKg != nil {
			over += float64(*d.OverKg)
			weighed++
		}
	}
	if weighed > 0 {
		said.Over, said.LotAfter = numberOf(over), said.LotBefore-over
	}
	if finest >= 0 && b.Decks[finest].ThroughKg != nil {
		said.Through = numberOf(float64(*b.Decks[finest].ThroughKg))
	}
	if said.Through != nil && weighed == len(b.Decks) && a.Sure {
		said.Unexplained = numberOf(said.LotBefore - *said.Through - over)
	}
	if b.OversPile != "" {
		if heap, ok := s.Pile(b.OversPile); ok {
			said.PileBefore = float64(heap.Left().Wet())
		}
		said.PileAfter = said.PileBefore + over
	}
	out.Said = said
	return out, nil
}
