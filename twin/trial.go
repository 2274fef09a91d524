package twin

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
)

// Trial is something to try on the twins: acts on top of those of the history,
// the hour up to which heat is a danger of now, that of the next visit, and that
// up to which the consequences are followed.
type Trial struct {
	Acts  []bed.Act
	Soon  int64
	Visit int64
	Until int64
}

// Outcome is what became of one member under a trial. Amounts are for the whole
// bin.
type Outcome struct {
	Member     int
	LeftFrac   float64 // unworked at the visit, of what was fed in the ten days before it
	LeftKg     float64 // feed within reach unworked at the visit [kg dry]
	LeftDays   float64 // how long that would last the worms, at what they ate on the last day [day]
	EatenKg    float64 // eaten on the last whole day to the visit, wood that goes with it too [kg dry]
	CastDryKg  float64 // castings made until the end [kg dry]
	CastWetKg  float64 // castings made until the end, as they lie [kg wet]
	SoonC      float64 // hottest place where worms were held, up to the hour Soon [C]
	SoonMaxC   float64 // hottest layer up to then [C]
	SoonM      float64 // least refuge up to then [m]
	ThenC      float64 // hottest place where worms were held, on the last day up to then [C]
	ThenMaxC   float64 // hottest layer on that day [C]
	ThenM      float64 // least refuge on that day [m]
	WormsMaxC  float64 // hottest place where worms were held [C]
	MaxC       float64 // hottest layer [C]
	MinC       float64 // coldest layer [C]
	RefugeM    float64 // least refuge [m]
	TopWater   float64 // of the top, driest day to the visit
	Water      float64 // of the bed at the visit
	DepthM     float64 // at the visit
	DeepM      float64 // greatest depth to the visit
	WormsKg    float64 // live, at the end
	WormsGain  float64 // end against start
	Flee       bool    // worms are seen to leave before the visit
	SoonLost   float64 // share of the worms that leave up to the hour Soon
	OxygenMin  float64 // least oxygen
	AmmoniaPPM float64 // most ammonia under the cover
	Noticed    [bed.Notices]bool
}

// Try runs copies of the named members through a trial. It leaves e as it is.
// The outcomes come in the order of members. docs/model.md (R1), (R2).
func (c *Crew) Try(e *Ensemble, members []int, h History, air climate.Series, t Trial, out []Outcome) ([]Outcome, error) {
	out = out[:0]
	worst := math.Inf(1)
	for _, m := range members {
		b := &e.Members[m]
		c.scratch.CopyFrom(&b.State)
		o := Outcome{Member: m, RefugeM: worst, SoonM: worst, MinC: worst, TopWater: 1, SoonC: -worst, SoonMaxC: -worst, WormsMaxC: -worst, MaxC: -worst, OxygenMin: 1}
		dry, wet := castings(&c.scratch)
		worms := b.State.Worms.LiveKg()
		c.own(b, h, e.Hour, t.Until)
		for _, a := range t.Acts {
			c.acts = append(c.acts, c.asDone(b, h.Bin, h.Box.Area(), a))
		}
		byHour := func(a, b bed.Act) int { return cmp.Compare(a.Hour, b.Hour) }
		if !slices.IsSortedFunc(c.acts, byHour) { // something was written down ahead of its time
			slices.SortStableFunc(c.acts, byHour)
		}
		began, eaten := e.Hour, 0.0
		last, gone := e.Hour, 0.0
		day := func(d bed.Day) {
			o.WormsMaxC = math.Max(o.WormsMaxC, d.WormsMaxC)
			o.MaxC, o.MinC = math.Max(o.MaxC, d.MaxC), math.Min(o.MinC, d.MinC)
			o.RefugeM = math.Min(o.RefugeM, d.RefugeM)
			if last < t.Soon && d.Hour > last {
				gone += d.LeftKg * float64(min(d.Hour, t.Soon)-last) / float64(d.Hour-last)
			}
			last = d.Hour
			if d.Hour <= t.Soon {
				o.ThenC, o.ThenMaxC, o.ThenM = d.WormsMaxC, d.MaxC, d.RefugeM
				o.SoonC, o.SoonMaxC, o.SoonM = math.Max(o.SoonC, d.WormsMaxC), math.Max(o.SoonMaxC, d.MaxC), math.Min(o.SoonM, d.RefugeM)
			}
			o.OxygenMin = math.Min(o.OxygenMin, d.OxygenMin)
			o.AmmoniaPPM = math.Max(o.AmmoniaPPM, d.AmmoniaPPM)
			for n, seen := range d.Noticed {
				o.Noticed[n] = o.Noticed[n] || seen
			}
			if d.Hour <= t.Visit {
				o.Water, o.DepthM = d.WaterOfWet, d.DepthM
				o.TopWater = math.Min(o.TopWater, d.TopWater)
				o.DeepM = math.Max(o.DeepM, d.DepthM)
				o.Flee = o.Flee || d.Noticed[bed.Leaving]
				if hours := d.Hour - began; hours >= fullDay {
					eaten = d.EatenKg * (1 - d.TopWater) * 24 / float64(hours)
				}
				began = d.Hour
			}
			o.WormsKg = d.WormsKg
		}
		around := c.air(air, b, e.Hour, t.Until)
		for _, leg := range [...]int64{t.Visit, t.Until} {
			if err := c.live(b, h.Box, &c.scratch, around, leg, c.acts, day); err != nil {
				return nil, fmt.Errorf("bin %s: %w", h.Bin, err)
			}
			if leg == t.Visit {
				o.LeftFrac = LeftSince(&c.scratch, t.Visit-recentDays*24)
				o.LeftKg = Unworked(&c.scratch) * h.Box.Area()
				o.LeftDays, o.EatenKg = lasts(o.LeftKg, eaten), eaten
			}
		}
		if worms > 0 {
			o.SoonLost = gone / worms
		}
		dry1, wet1 := castings(&c.scratch)
		o.CastDryKg, o.CastWetKg = (dry1-dry)*h.Box.Area(), (wet1-wet)*h.Box.Area()
		o.WormsGain = o.WormsKg - worms
		out = append(out, o)
	}
	return out, nil
}

// fullDay is from how many hours on a day's eating is told by what was eaten in
// them.
const fullDay = 12

// lasts gives for how many days feed lasts worms that eat so much a day, both dry
// [kg], at most mostDays; less feed than a worm would find counts as none.
func lasts(left, perDay float64) float64 {
	if left < noFeedKg {
		return 0
	}
	if perDay*mostDays <= left {
		return mostDays
	}
	return left / perDay
}

const (
	mostDays = 60   // feed that lasts longer is not told apart [day]
	noFeedKg = 0.02 // less of it in a bin is none [kg dry]
)

// Laid gives the feed that a member holds to have been laid from one hour up to but
// not including another, what nobody wrote down among it, but for what rots within
// days [kg dry, whole bin]; the error of each day is left out. docs/model.md (T2), (R2).
func (b *Member) Laid(h *History, from, to int64) float64 {
	var kg float64
	for i := range h.Acts {
		if a := &h.Acts[i]; a.Kind == bed.Feed && a.Hour >= from && a.Hour < to {
			kg += Lasting(&a.Matter)
		}
	}
	return kg * b.Amount / (1 - b.Unwritten)
}

// Lasting gives the matter that does not rot within days, ash and wood among it [kg
// dry].
func Lasting(m *feedstock.Matter) float64 { return float64(m.Dry - m.Quick) }

// recentDays is how long a feeding counts as one of the last.
const recentDays = 10

// LeftSince gives how much of the edible matter fed since an hour is unworked, 0
// to 1; 0 when nothing was fed. docs/model.md (T4).
func LeftSince(s *bed.State, hour int64) float64 {
	var edible, cast float64
	for i := range s.Layers {
		if l := &s.Layers[i]; l.Feed && l.Laid >= hour {
			edible += l.Quick + l.Slow
			cast += l.Cast
		}
	}
	if edible+cast <= 0 {
		return 0
	}
	return edible / (edible + cast)
}

// reach is how deep feed counts as within reach of the worms [m]: the top 7 to 10
// cm of a bed hold most of them. What lies deeper is worked in months.
const reach = 0.1

// Unworked gives the edible matter of feed within reach that is neither eaten nor
// rotted [kg/m2]. docs/model.md (T4).
func Unworked(s *bed.State) float64 {
	var kg, depth float64
	for i := len(s.Layers) - 1; i >= 0 && depth < reach; i-- {
		l := &s.Layers[i]
		if l.Feed && l.DepthM > 0 {
			kg += (l.Quick + l.Slow) * math.Min(1, (reach-depth)/l.DepthM)
		}
		depth += l.DepthM
	}
	return kg
}

// TopWater gives the water of the top 5 cm, ice included [kg/kg wet]; 0 of an
// empty bed.
func TopWater(s *bed.State) float64 {
	const skin = 0.05
	var water, wet, depth float64
	for i := len(s.Layers) - 1; i >= 0 && depth < skin; i-- {
		l := &s.Layers[i]
		if l.DepthM <= 0 {
			continue
		}
		f := math.Min(1, (skin-depth)/l.DepthM)
		w := f * (l.Water + l.Ice)
		water, wet, depth = water+w, wet+w+f*l.Dry(), depth+l.DepthM
	}
	if wet <= 0 {
		return 0
	}
	return water / wet
}

// TempAt gives the temperature of the layer at a depth below the surface [C]; of
// the lowest where the bed is not that deep, NaN of an empty bed.
func TempAt(s *bed.State, depthM float64) float64 {
	at, t := 0.0, math.NaN()
	for i := len(s.Layers) - 1; i >= 0; i-- {
		if l := &s.Layers[i]; l.DepthM > 0 && l.Dry() > 0 {
			at, t = at+l.DepthM, l.TempC
			if at >= depthM {
				break
			}
		}
	}
	return t
}

// castings gives the worked matter with its share of ash, dry and as it lies [kg/m2].
func castings(s *bed.State) (dry, wet float64) {
	for i := range s.Layers {
		l := &s.Layers[i]
		v := l.Volatile()
		if v <= 0 {
			continue
		}
		share := l.Cast / v
		dry += share * l.Dry()
		wet += share * (l.Dry() + l.Water + l.Ice)
	}
	return dry, wet
}

// Eaten gives the share of what worms eat that they have worked: castings over
// castings and the edible matter of all layers. Wood is not in it.
func Eaten(s *bed.State) float64 {
	var edible, cast float64
	for i := range s.Layers {
		l := &s.Layers[i]
		edible += l.Quick + l.Slow
		cast += l.Cast
	}
	if edible+cast <= 0 {
		return 0
	}
	return cast / (edible + cast)
}

// Worked gives the share of the dry matter that is castings.
func Worked(s *bed.State) float64 {
	cast, _ := castings(s)
	var dry float64
	for i := range s.Layers {
		dry += s.Layers[i].Dry()
	}
	if dry <= 0 {
		return 0
	}
	return cast / dry
}

// CastingsKg gives the castings as they lie [kg/m2].
func CastingsKg(s *bed.State) float64 {
	_, wet := castings(s)
	return wet
}
