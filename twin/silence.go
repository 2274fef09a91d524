package twin

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"wormyard/bed"
	"wormyard/chance"
)

// Visiting is what somebody did on a bed who wrote nothing of dead or gone worms.
type Visiting string

// What brings somebody to a bed, that which shows more of its worms first.
const (
	LookedIn Visiting = "looked in"
	Fed      Visiting = "fed"
	Watered  Visiting = "watered"
)

// Visit is that somebody was at a bed and wrote down what was done there, and
// nothing of worms that are dead or gone, nor of heat. What was found beside it is
// told apart.
type Visit struct {
	Hour int64
	For  Visiting
}

// silences gives the visits of a history that tell something of the worms and those
// that tell something of heat, as things found.
func (p *Parameters) silences(h *History) []Found {
	out := p.quiet(h, Unremarked, p.said)
	if p.HandSD > 0 {
		out = append(out, p.quiet(h, Unfelt, p.hot)...)
	}
	return out
}

// quiet gives the visits on which nothing was written of something, and nothing had
// been said that explains it: of those within again_hours the one that shows most.
// Of worms nothing tells for said_days after somebody wrote that there are few or
// none, and not at all after worms were taken out, unless some were found or put in
// since; of heat nothing where a thermometer told it. docs/model.md (T23).
func (p *Parameters) quiet(h *History, kind Kind, said func(*History, int64) bool) []Found {
	var out []Found
	for _, v := range h.Visits {
		if said(h, v.Hour) {
			continue
		}
		f := Found{Hour: v.Hour, Kind: kind, Word: string(v.For)}
		if n := len(out); n > 0 && float64(v.Hour-out[n-1].Hour) < p.AgainHours {
			if p.remark(v.For) > p.remark(Visiting(out[n-1].Word)) {
				out[n-1] = f
			}
			continue
		}
		out = append(out, f)
	}
	return out
}

// said says whether people have written lately, or at the same visit, that a bed
// has few worms or none, or have taken worms out themselves: they know how few are
// left, and need not write it.
func (p *Parameters) said(h *History, hour int64) bool {
	gone, there, taken := int64(math.MinInt64), int64(math.MinInt64), int64(math.MinInt64)
	until := hour + int64(p.AgainHours)
	note := func(at int64, few bool) {
		switch {
		case few && at < until:
			gone = max(gone, at)
		case !few && at <= hour:
			there = max(there, at)
		}
	}
	for _, l := range h.Looks {
		if l.Worms != "" {
			note(l.Hour, l.Worms == "few")
		}
	}
	for _, n := range h.Counts {
		note(n.Hour, n.Below > 0 || n.KgM2 > 0 && n.KgM2 < p.WormsGone)
	}
	for _, a := range h.Acts {
		switch a.Kind {
		case bed.Stock:
			note(a.Hour, false)
		case bed.Out:
			if a.Hour < until {
				taken = max(taken, a.Hour)
			}
		}
	}
	return taken > there || gone > there && float64(hour-gone) < 24*p.SaidDays
}

// hot says whether somebody put a thermometer in about that hour, which tells of the
// heat by itself, or has lately read a heat that a hand feels, which is known then.
func (p *Parameters) hot(h *History, hour int64) bool {
	for i := range h.Readings {
		r := &h.Readings[i]
		if math.IsNaN(r.TempC) || float64(r.Hour-hour) >= p.AgainHours {
			continue
		}
		if ago := float64(hour - r.Hour); ago < p.AgainHours || ago < 24*p.SaidDays && r.TempC > p.HandC-p.HandSD {
			return true
		}
	}
	return false
}

// remark gives how many of those who would write that worms are gone see and write
// it on a visit, 0 to 1.
func (p *Parameters) remark(v Visiting) float64 {
	switch v {
	case LookedIn:
		return p.RemarkLook
	case Fed:
		return p.RemarkFeed
	case Watered:
		return p.RemarkWater
	}
	return 0
}

// patience draws how much silence the people of a member are good for whose worms
// are gone: of most an exponential of mean 1, of the others without end. It has its
// own draw, so that nothing else of a member depends on it. docs/model.md (T23).
func (c *Crew) patience(bin string, member int, hour int64) float64 {
	r := rand.New(rand.NewPCG(c.seed^hash(bin)^0x70617469656e6365, uint64(member)+uint64(hour)<<8))
	if r.Float64() >= c.P.Remarks {
		return math.Inf(1)
	}
	return r.ExpFloat64()
}

// unfelt takes in that somebody was at a bed and wrote nothing of heat. Members whose
// bed is hot to the hand lose patience. docs/model.md (T23).
func (c *Crew) unfelt(e *Ensemble, box bed.Box, v Visiting) {
	c.tire(e, box, v, func(s *bed.State) float64 {
		return chance.NormalLower((TempAt(s, c.P.UsualStab) - c.P.HandC) / c.P.HandSD)
	})
}

// unremarked takes in that somebody was at a bed and wrote nothing of gone worms.
// Members whose worms are gone lose patience. docs/model.md (T23).
func (c *Crew) unremarked(e *Ensemble, box bed.Box, v Visiting) {
	most := 0.0
	for m := range e.Members {
		most = math.Max(most, e.Members[m].State.Worms.LiveKg()/box.Area())
	}
	gone := math.Min(c.P.WormsGone, c.P.GoneShare*most)
	if !(gone > 0) {
		return
	}
	c.tire(e, box, v, func(s *bed.State) float64 {
		kgM2 := math.Max(s.Worms.LiveKg()/box.Area(), 1e-9)
		return chance.NormalLower(math.Log(gone/kgM2) / c.P.WormsSD)
	})
}

// tire takes patience from the members by what would be seen in their beds, 0 to 1,
// of which nothing was written. Those that have none left give place to copies of the
// others.
func (c *Crew) tire(e *Ensemble, box bed.Box, v Visiting, seen func(*bed.State) float64) {
	var out []int
	for m := range e.Members {
		b := &e.Members[m]
		b.Patience += math.Log1p(-c.P.remark(v) * seen(&b.State))
		if b.Patience < 0 {
			out = append(out, m)
		}
	}
	c.giveWay(e, box, out)
}

// giveWay puts copies of the other members in the place of some: one of each like
// share of the others, sorted by their worms, from a start that hangs on bin and
// hour. A member keeps its numbers of nature; what its bed holds more or less is
// booked. Where all would have to go, none does. docs/model.md (T23).
func (c *Crew) giveWay(e *Ensemble, box bed.Box, out []int) {
	n := len(e.Members) - len(out)
	if len(out) == 0 || n == 0 {
		return
	}
	kept := make([]int, 0, n)
	for m := range e.Members {
		if !slices.Contains(out, m) {
			kept = append(kept, m)
		}
	}
	kg := func(m int) float64 { return e.Members[m].State.Worms.LiveKg() }
	slices.SortStableFunc(kept, func(a, b int) int { return cmp.Compare(kg(a), kg(b)) })
	at := rand.New(rand.NewPCG(c.seed^hash(e.Bin), uint64(e.Hour))).Float64()
	for i, m := range out {
		from := &e.Members[kept[min(int((float64(i)+at)*float64(n)/float64(len(out))), n-1)]]
		b := &e.Members[m]
		now, _ := c.at(b.State.Hour)
		r := now.runner(b.Draw)
		before, drained := r.Contents(box, &b.State), b.State.DrainedKg
		was := *b
		*b = *from
		b.Draw, b.State = was.Draw, was.State
		b.State.CopyFrom(&from.State)
		b.State.DrainedKg = drained
		b.Moved = was.Moved.Plus(r.Contents(box, &b.State).Less(before))
	}
}
