package farm

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/bed"
	"wormyard/feedstock"
	"wormyard/qty"
	"wormyard/twin"
	"wormyard/worm"
)

// History gives what the twin needs to run along with the bed that is in a bin,
// with the numbers of nature p that turn words (a cover, a weight of castings)
// into what the model takes. The notes say in words what had to be guessed or
// left out. It is false when the bin is not there or holds no bed.
//
// What was laid is as it was mixed of what came; see Heaps.History.
func (s *State) History(name string, p *bed.Parameters) (twin.History, []string, bool) {
	return s.history(name, p, nil)
}

// History is State.History with what was laid as lying has left it by that day.
func (l *Heaps) History(name string, p *bed.Parameters) (twin.History, []string, bool) {
	return l.s.history(name, p, l)
}

func (s *State) history(name string, p *bed.Parameters, lie *Heaps) (twin.History, []string, bool) {
	bin := s.bins[name]
	if bin == nil || bin.Bed == nil {
		return twin.History{}, nil, false
	}
	b := bin.Bed
	h := twin.History{Bin: name, Box: s.box(bin, p)}
	var notes []string
	note := func(what string) {
		if what != "" && !slices.Contains(notes, what) {
			notes = append(notes, what)
		}
	}
	cover, _ := p.Cover(said(b.Start.Cover, "none"))
	start := twin.Start{Hour: hour(b.At), Matter: b.Start.Matter, DepthM: float64(b.Start.Depth), TempC: math.NaN(), Layer: layer(b.Entry), Cover: cover,
		AgeDays: qty.Estimate{Best: float64(b.Start.AgeDays), Low: float64(b.Start.AgeLow), High: float64(b.Start.AgeHigh), Known: "assumed"}}
	note(b.Start.Guessed)
	area, u := bin.Box.Area(), s.Settings.Units
	if zero(start.Matter) || start.Matter.Dry == 0 {
		start.Matter, start.DepthM = s.anyMatter(b, area)
		note("Nobody wrote down what the bed is made of; it is taken to be like what was fed.")
	}
	untold := false
	if b.Start.AgeDays <= 0 { // else the age that was told is reckoned from when it came
		start.Matter, start.Lain = lie.laid(start.Matter, b.Start.Batch, false, start.Hour)
		untold = start.Lain.Untold
	}
	if b.Start.Castings != nil {
		start.Worked = qty.Estimate{Best: float64(*b.Start.Castings), Low: float64(*b.Start.Castings) / 1.5, High: math.Min(1, float64(*b.Start.Castings)*1.5), Known: "assumed"}
	}
	if b.Start.LastFeedDepth > 0 {
		if like, whole := start.Matter, start.DepthM; like.Volume > 0 && whole > 0 { // the depth that was told is that of all of it
			start.FeedDepth, start.FeedDays, start.FeedGone = float64(b.Start.LastFeedDepth), float64(b.Start.LastFeedDays), s.gone()
			start.LastFeed = like.Times(start.FeedDepth / whole)
			if start.Lain.Fresh() {
				start.LastFeed, start.LastLain = lie.laid(start.LastFeed, b.Start.Batch, false, start.Hour-int64(start.FeedDays*24))
			} else {
				start.LastLain = start.Lain
			}
		}
	}
	fed := bed.Whole // the half fed last
	for _, a := range b.Acts {
		if a.Kind == ActStock && b.Start.FirstMorning && a.At.Sub(b.At) < 24*time.Hour && a.Stock.Best > 0 {
			start.StockKg.Low += float64(a.Stock.Low)
			start.StockKg.Best += float64(a.Stock.Best)
			start.StockKg.High += float64(a.Stock.High)
			start.StockKg.Known = "assumed"
			continue
		}
		act := bed.Act{Hour: hour(a.At), TempC: math.NaN(), Layer: a.Layer}
		switch a.Kind {
		case ActFeed:
			act.Kind, act.DepthM = bed.Feed, float64(a.Depth)
			note(a.Guessed)
			if a.Matter.Dry == 0 {
				continue
			}
			act.Matter, act.Lain = lie.laid(a.Matter, a.Batch, a.ByMass, act.Hour)
			if a.ByMass && a.Matter.Volume > 0 {
				act.DepthM *= float64(act.Matter.Volume / a.Matter.Volume)
			}
			if most := s.usual.MostFeed * float64(bin.Box.Depth); most > 0 && act.DepthM > most {
				act.Matter, act.DepthM = act.Matter.Times(most/act.DepthM), most
				note(fmt.Sprintf("More was fed at once than lies on the bin, so the twin takes %s of it and leaves out the rest.", u.Depth(qty.Metre(most))))
			}
			untold = untold || act.Lain.Untold
			switch a.Side {
			case "left":
				act.Side = bed.Left
			case "right":
				act.Side = bed.Right
			}
			fed = act.Side
		case ActWater:
			act.Kind, act.WaterKg = bed.Water, float64(a.Water)
		case ActCover:
			c, ok := p.Cover(a.Cover)
			if !ok {
				continue
			}
			act.Kind, act.Cover = bed.Covered, c
		case ActHeat:
			if a.On && a.Watts == 0 {
				note("Heating of the bin was switched on without its power, so the twin runs without it.")
				continue
			}
			act.Kind, act.Watts = bed.Heat, float64(a.Watts)
			if most := s.usual.MostHeat * float64(area); most > 0 && act.Watts > most {
				act.Watts = most
				note(fmt.Sprintf("The heating of the bin was written down as stronger than any; the twin takes %s W.", qty.Figures(most)))
			}
		case ActTurn:
			act.Kind = bed.Turn
		case ActStock:
			if a.Stock.Best <= 0 {
				act.Kind, act.Worms = bed.Out, worm.Stock{AdultKg: -float64(a.Stock.Best)}
				break
			}
			kg := float64(a.Stock.Best)
			if most := p.Worm.CrowdFull * float64(area); most > 0 && kg > most {
				note(fmt.Sprintf("%s of worms were put in, and a bed of its size holds %s at the very most; the twin takes that many and the rest as gone.", u.Mass(kg), u.Mass(most)))
				kg = most
			}
			act.Kind, act.Worms = bed.Stock, mixed(p, kg)
		case ActTake:
			depth := takenDepth(a, area, p)
			if a.Side == "side feeding" && fed != bed.Whole { // what the worms left
				act.Kind, act.DepthM, act.Side = bed.Take, depth, fed.Other()
				fed = bed.Whole
				break
			}
			if depth <= 0 {
				note("Castings were taken without weight or volume, so the twin runs as if they still lay there.")
				continue
			}
			act.Kind, act.DepthM, act.From = bed.Take, depth, bed.FromBottom
			if a.Side == fromTop || a.Side == "table" || a.Side == "side feeding" {
				act.From = bed.FromTop
			}
		default:
			continue
		}
		h.Acts = append(h.Acts, act)
	}
	if untold {
		note("Nobody wrote down when some of what was laid came to the farm; it is taken to have lain about two weeks, from a few days to two months.")
	}
	for _, l := range b.Looks {
		h.Looks = append(h.Looks, twin.Look{Hour: hour(l.At), Squeeze: l.Squeeze, FeedLeft: l.FeedLeft, Worms: l.Worms, Where: l.Where, Smell: l.Smell})
	}
	read, unbelieved := s.believed(bin)
	note(leftOut(unbelieved))
	for _, x := range s.assumed(bin) {
		note(x)
	}
	for _, r := range read {
		h.Readings = append(h.Readings, twin.Reading{Hour: hour(r.At), DepthM: float64(or(r.Depth, 0)), TempC: float64(or(r.Temp, qty.Celsius(math.NaN()))),
			Water: float64(or(r.Water, qty.WaterOfWet(math.NaN()))), Oxygen: float64(or(r.Oxygen, 0)), Ammonia: float64(or(r.Ammonia, 0)), Probe: r.Probe, ProbeID: r.ProbeID})
	}
	for _, d := range b.Depths {
		h.Marks = append(h.Marks, twin.Mark{Hour: hour(d.At), DepthM: float64(d.Depth)})
	}
	heaviest := s.usual.Heaviest * float64(area) * float64(bin.Box.Depth)
	for _, w := range b.Weighs {
		if heaviest > 0 && float64(w.Mass) > heaviest {
			note(fmt.Sprintf("It was weighed as %s, more than if it were full of stone, so the twin leaves that out.", u.Mass(float64(w.Mass))))
			continue
		}
		h.Weights = append(h.Weights, twin.Weight{Hour: hour(w.At), Kg: float64(w.Mass)})
	}
	for _, n := range b.Counts {
		if c, ok := counted(n, h.Box); ok {
			h.Counts = append(h.Counts, c)
		}
	}
	h.Visits = visits(b)
	h.Start = start
	return h, notes, true
}

// visits gives when somebody was at a bed and wrote nothing of dead or gone worms,
// in order of hour. What is said in a note nobody here can read, so that such a visit
// tells nothing.
func visits(b *Bed) []twin.Visit {
	var out []twin.Visit
	for _, a := range b.Acts {
		v := twin.Visit{Hour: hour(a.At)}
		switch a.Kind {
		case ActFeed:
			v.For = twin.Fed
		case ActWater:
			v.For = twin.Watered
		case ActTurn:
			v.For = twin.LookedIn
		}
		if v.For != "" && !a.Words {
			out = append(out, v)
		}
	}
	for _, l := range b.Looks {
		if !l.Words {
			out = append(out, twin.Visit{Hour: hour(l.At), For: twin.LookedIn})
		}
	}
	slices.SortStableFunc(out, func(a, b twin.Visit) int { return cmp.Compare(a.Hour, b.Hour) })
	return out
}

// counted gives a count for each square metre of bed: by the area that was dug
// through, or the whole bed where nobody said how much. It is false of a sample of
// which only the mass is known, since that depends on how deep it was dug.
func counted(n Count, box bed.Box) (twin.Count, bool) {
	c := twin.Count{Hour: hour(n.At)}
	area := box.Area()
	switch {
	case n.Area != nil && *n.Area > 0:
		area = float64(*n.Area)
	case n.Mass != nil:
		return c, false
	}
	if n.WormsKg != nil {
		c.KgM2 = float64(*n.WormsKg) / area
	}
	if n.Adults != nil {
		c.Number += float64(*n.Adults) / area
	}
	if n.Juveniles != nil {
		c.Number += float64(*n.Juveniles) / area
	}
	if c.KgM2 > 0 || c.Number > 0 {
		return c, true
	}
	if n.WormsKg == nil && n.Adults == nil && n.Juveniles == nil || area <= 0 {
		return c, false
	}
	c.Below = hardlyMissed / area
	return c, true
}

// hardlyMissed is how many worms a sample must be expected to have so that it has
// none in one case of twenty: ln 20, of things that lie about at random.
const hardlyMissed = 3.0

// hour gives the whole hour that a time lies in, since 1970-01-01T00Z.
func hour(t time.Time) int64 {
	u := t.Unix()
	if u < 0 {
		u -= 3599
	}
	return u / 3600
}

// gone gives the days after which a feeding of before the journal began is gone: a
// farm feeds again when the last feeding is gone. Common practice, no source. The
// owner's word on the days between feedings is used, never what the journal shows
// later, so that the start of a bed does not move. It is 0 where nobody can say.
func (s *State) gone() qty.Estimate {
	every := s.Settings.Habits.FeedEveryDays
	if every <= 0 {
		every = s.usual.FeedEvery
	}
	if every <= 0 {
		return qty.Estimate{}
	}
	times := max(s.usual.FeedEveryRange, 1)
	return qty.Estimate{Low: every / times, Best: every, High: every * times, Known: "assumed"}
}

// anyMatter gives a bed of the usual depth of what was fed first, or nothing.
func (s *State) anyMatter(b *Bed, area qty.SquareMetre) (feedstock.Matter, float64) {
	depth := float64(b.Start.Depth)
	if depth <= 0 {
		depth = float64(s.Settings.Habits.Bedding)
	}
	if depth <= 0 {
		depth = s.usual.FirstDepth
	}
	like := feedstock.Matter{}
	for _, a := range b.Acts {
		if a.Kind == ActFeed && a.Matter.Dry > 0 && a.Matter.Volume > 0 {
			like = a.Matter
			break
		}
	}
	if last := s.batches[s.lastBatch]; zero(like) && last != nil {
		like = last.Made
	}
	if like.Volume <= 0 {
		return feedstock.Matter{}, depth
	}
	return like.Times(depth * float64(area) / float64(like.Volume)), depth
}

// mixed gives a stock of mixed ages: two thirds adults by mass and one and a
// half cocoons an adult, as the twin takes a stock that nobody sorted (common
// practice, no source).
func mixed(p *bed.Parameters, kg float64) worm.Stock {
	w := worm.Stock{AdultKg: kg * 2 / 3, JuvenileKg: kg / 3}
	if p.Worm.MatureG > 0 {
		w.Cocoons = kg * 2 / 3 / (p.Worm.MatureG * 2e-3) * 1.5
	}
	return w
}

// takenDepth gives how much of the bed went with castings that were weighed or
// measured by volume [m].
func takenDepth(a *Act, area qty.SquareMetre, p *bed.Parameters) float64 {
	if a.Depth > 0 {
		return float64(a.Depth)
	}
	if area <= 0 {
		return 0
	}
	if a.Volume > 0 {
		return float64(a.Volume) / float64(area)
	}
	if p.CastingsBulk <= 0 {
		return 0
	}
	return float64(a.Mass) * (1 - p.CastingsWater) / p.CastingsBulk / float64(area)
}

// box gives the bin as the model takes it: where it stands decides what is
// under it, over it and beside it. Stacks of a row are taken to stand close, so
// that a neighbour at the same level hides a quarter of the sides (common
// practice, no source), and the air is warmer up the stack.
func (s *State) box(bin *Bin, p *bed.Parameters) bed.Box {
	b := bed.Box{LengthM: float64(bin.Box.Length), WidthM: float64(bin.Box.Width), DepthM: float64(bin.Box.Depth),
		HolesM2: float64(bin.Box.Holes), Under: bed.UnderFloor}
	b.WallU, _ = p.Wall(strings.ToLower(bin.Box.Wall)) // 0, the wall of a bin that names none, for a build we do not know
	if !bin.Slot.InRow() {
		return b
	}
	places := s.Places()
	if bin.Slot.Level > 1 {
		b.Under = bed.UnderBin
	}
	up := bin.Slot
	up.Level++
	b.Over = places.At(up) != ""
	levels := bin.Slot.Level
	for ; places.At(up) != ""; up.Level++ {
		levels++
	}
	b.AirK = p.LevelK(bin.Slot.Level, levels)
	for _, d := range []int{-1, 1} {
		side := bin.Slot
		side.Stack += d
		if places.At(side) != "" {
			b.Hidden += 0.25
		}
	}
	return b
}
