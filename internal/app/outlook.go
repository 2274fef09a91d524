package app

import (
	"context"
	"math"
	"slices"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/farm"
	"wormyard/qty"
	"wormyard/twin"
)

// Outlook is what is likely in a bin now and in the coming days. Fractions are
// of one; ranges are the central 90 % of the members.
type Outlook struct {
	Bin      string      `json:"bin"`
	Made     time.Time   `json:"made"`
	Members  int         `json:"members"`
	Layers   []LayerNow  `json:"layers"`  // from the top down
	Depth    twin.Range  `json:"depth_m"` // of the whole bed
	Warmest  twin.Range  `json:"max_c"`
	WarmAt   twin.Range  `json:"max_at_m"`        // depth of the warmest place below the surface
	Water    twin.Range  `json:"water_frac_wet"`  // in the middle of the bed
	Left     twin.Range  `json:"left_frac"`       // of the last feeding that is not worked
	Worms    twin.Range  `json:"worms_kg"`        // live
	Adults   twin.Range  `json:"adults"`          //
	Young    twin.Range  `json:"juveniles"`       //
	Cocoons  twin.Range  `json:"cocoons"`         //
	Later    Stages      `json:"stages_later"`    // at the end of the days ahead
	Cast     twin.Range  `json:"castings_frac"`   // of the dry matter
	CastKg   twin.Range  `json:"castings_kg_wet"` // whole bin
	Refuge   twin.Range  `json:"refuge_m"`        // depth of bed where worms can live
	Oxygen   twin.Range  `json:"oxygen_min_frac"` // lowest in any layer
	Ripe     *twin.Range `json:"ripe_days"`       // nil when beyond what was computed
	Ready    *Ready      `json:"ready,omitempty"` // nil where an older program made it
	Past     []DayRange  `json:"past"`            // of the last fourteen days, as the twins stood then
	Ahead    []DayRange  `json:"ahead"`
	Readings []Probe     `json:"readings"`
	Says     []string    `json:"says"` // what had to be guessed, in words
	Probes   Probes      `json:"probes"`

	Perhaps *Perhaps `json:"perhaps,omitempty"` // a feeding that nobody wrote down, followed both ways

	Helps     []twin.Help  `json:"helps,omitempty"`   // what each measure would tell, the most in a minute first
	Learned   []Learned    `json:"learned,omitempty"` // what moved the twins last, the newest first
	Corrected bed.Contents `json:"corrected"`         // what findings have put into the bed since it was laid, median
}

// Stages are the worms of a bed by age, how many.
type Stages struct {
	Cocoons twin.Range `json:"cocoons"`
	Young   twin.Range `json:"juveniles"`
	Adults  twin.Range `json:"adults"`
}

// LayerNow is one layer as it is likely to be.
type LayerNow struct {
	Texture string     `json:"texture"`         // feed, bedding, castings
	Batch   string     `json:"batch,omitempty"` // or the material, as far as the journal says
	Laid    time.Time  `json:"laid"`
	Feed    bool       `json:"feed"`
	Thick   twin.Range `json:"depth_m"`
	Temp    twin.Range `json:"temp_c"`
	Water   twin.Range `json:"water_frac_wet"`
	Oxygen  twin.Range `json:"oxygen_frac"`
	Cast    float64    `json:"castings_frac"`     // of the dry matter, median
	Worms   float64    `json:"worms_frac"`        // of the worms, mean
	Perhaps bool       `json:"perhaps,omitempty"` // there only if a feeding was made that nobody wrote down

	id uint64
}

// DayRange is one day's likely values if the bin is left alone.
type DayRange struct {
	Day     time.Time  `json:"day"`
	Warmest twin.Range `json:"max_c"`
	Mean    twin.Range `json:"mean_c"`
	Water   twin.Range `json:"water_frac_wet"`
	Left    twin.Range `json:"left_kg_dry"`
	Worms   twin.Range `json:"worms_kg"`
	Refuge  twin.Range `json:"refuge_m"`

	EatenKg float64 `json:"eaten_kg_wet"`    // over the day, median
	CastKg  float64 `json:"castings_kg_dry"` // at its end, median

	HalfC     *twin.Half `json:"max_c_half,omitempty"` // nil where an older program kept the day
	HalfWater *twin.Half `json:"water_frac_wet_half,omitempty"`
}

// outlook reads an ensemble as it stands and as it goes on if the bin, under so
// many others, is left alone.
func (t *Twins) outlook(c *twin.Crew, b *farm.Bin, above int, h twin.History, e *twin.Ensemble, air climate.Series, now time.Time) (*Outlook, error) {
	v := &Outlook{Bin: b.Name, Made: now, Members: len(e.Members), Readings: lastProbes(b, 6), Probes: t.probes}
	profiles := make([][]bed.Slice, len(e.Members))
	for m := range e.Members {
		profiles[m] = c.Profile(&e.Members[m], h.Box)
	}
	over := func(of func(p []bed.Slice) float64) twin.Range {
		x := make([]float64, 0, len(profiles))
		for _, p := range profiles {
			x = append(x, of(p))
		}
		return twin.RangeBy(x, e.Weights)
	}
	sum := func(of func(s *bed.Slice) float64) func([]bed.Slice) float64 {
		return func(p []bed.Slice) float64 {
			var k float64
			for i := range p {
				k += of(&p[i])
			}
			return k
		}
	}
	v.Corrected = corrected(e)
	v.Helps = c.Helps(e, h.Box, t.probes.Dial, t.takes(above))
	v.Depth = over(sum(func(s *bed.Slice) float64 { return s.DepthM }))
	v.Warmest = over(func(p []bed.Slice) float64 { return hottest(p).TempC })
	v.WarmAt = over(func(p []bed.Slice) float64 { s := hottest(p); return s.TopM + s.DepthM/2 })
	v.Oxygen = over(func(p []bed.Slice) float64 {
		least := 0.2095
		for i := range p {
			least = math.Min(least, p[i].Oxygen)
		}
		return least
	})
	v.Refuge = over(sum(func(s *bed.Slice) float64 {
		if t.numbers.Bed.Refuge(s.TempC, s.Oxygen) {
			return s.DepthM
		}
		return 0
	}))
	v.Water = over(func(p []bed.Slice) float64 {
		var deep, at float64
		for i := range p {
			deep += p[i].DepthM
		}
		for i := range p {
			if at += p[i].DepthM; at >= deep/2 {
				return p[i].WaterOfWet
			}
		}
		return math.NaN()
	})
	v.Left = e.Over(func(m *twin.Member) float64 { return twin.LeftOfLast(&m.State) })
	v.Worms = e.Over(func(m *twin.Member) float64 { return m.State.Worms.LiveKg() })
	v.Adults = e.Over(func(m *twin.Member) float64 { return m.State.Worms.Adults })
	v.Young = e.Over(func(m *twin.Member) float64 { return m.State.Worms.Juveniles() })
	v.Cocoons = e.Over(func(m *twin.Member) float64 { return m.State.Worms.Cocoons })
	v.Cast = e.Over(func(m *twin.Member) float64 { return twin.Worked(&m.State) })
	v.CastKg = e.Over(func(m *twin.Member) float64 { return twin.CastingsKg(&m.State) * h.Box.Area() })
	v.Layers = layersNow(profiles, e.Weights)
	for i := range v.Layers {
		v.Layers[i].Batch = batchOf(b.Bed, h.Start.Layer, v.Layers[i].id)
	}
	ahead := days{least: e.Hour, weights: e.Weights}
	ripe := make([]float64, len(e.Members)) // days from now
	area := h.Box.Area()
	for m := range e.Members {
		ripe[m] = math.Inf(1)
		if t.round.Ripe(&e.Members[m].State, area) {
			ripe[m] = 0
		}
	}
	until := e.Hour + (horizon-1)*24
	cocoons, young, adults := make([]float64, len(e.Members)), make([]float64, len(e.Members)), make([]float64, len(e.Members))
	v.Ready = ready(&t.numbers.Harvest, profiles, e.Weights, ripe)
	err := c.Forecast(e, h, air, until, func(m int, s *bed.State, d bed.Day) {
		ahead.see(m, s, d)
		cocoons[m], young[m], adults[m] = s.Worms.Cocoons, s.Worms.Juveniles(), s.Worms.Adults
		if t.round.Ripe(s, area) {
			ripe[m] = math.Min(ripe[m], float64(d.Hour-e.Hour)/24)
		}
	})
	if err != nil {
		return nil, err
	}
	v.Ahead, v.Ripe = ahead.ranges(), ripeIn(ripe, e.Weights)
	v.Later = Stages{twin.RangeBy(cocoons, e.Weights), twin.RangeBy(young, e.Weights), twin.RangeBy(adults, e.Weights)}
	return v, nil
}

// takes gives how long each measure takes at a bin under so many others [min].
func (t *Twins) takes(above int) twin.Minutes {
	lift := float64(above) * t.round.LiftMinutes
	return twin.Minutes{twin.Stab: lift + t.round.StabMinutes, twin.Glance: lift + t.round.LookMinutes, twin.Rule: lift + t.round.RuleMinutes, twin.Counting: lift + t.round.CountMinutes}
}

// nothingLeft is said of a bed of which more was taken out than it had.
const nothingLeft = "By what was written down, nothing is left of this bed; if something is, write down how deep it lies."

// tooDeep is said of a bed that would be far higher than its box.
const tooDeep = "By what was written down, this bed is far deeper than its box; write down how deep it lies."

// andNow adds to what had to be guessed of a bed's past what it comes to, in a box
// so deep.
func andNow(notes []string, v *Outlook, box qty.Metre) []string {
	const heaped = 1.3 // times the box, as a heap on it may stand
	switch {
	case len(v.Layers) == 0:
		notes = append(notes, nothingLeft)
	case box > 0 && v.Depth.Mid > heaped*float64(box):
		notes = append(notes, tooDeep)
	}
	return notes
}

// ripeIn gives when a bed is ripe, as far as was looked ahead: nil when fewer
// than half of the members are by then; a later end counts as the last day.
func ripeIn(days, weights []float64) *twin.Range {
	var by float64
	for i, d := range days {
		switch {
		case math.IsInf(d, 1):
			days[i] = horizon
		case weights != nil:
			by += weights[i] * float64(len(days))
		default:
			by++
		}
	}
	if 2*by < float64(len(days)) {
		return nil
	}
	r := twin.RangeBy(days, weights)
	return &r
}

// batchOf names the batch or material that the layer of an act is of.
func batchOf(b *farm.Bed, first, layer uint64) string {
	if layer == first {
		if b.Start.Batch != "" {
			return b.Start.Batch
		}
		return b.Start.Material
	}
	for _, a := range b.Acts {
		if a.Kind == farm.ActFeed && a.Layer == layer {
			return a.Batch
		}
	}
	return ""
}

// days gathers the days of all members from an hour on.
type days struct {
	least   int64
	weights []float64 // of the members, nil where all are alike
	of      map[int64][]bed.Day
	who     map[int64][]float64 // weights of these
	order   []int64
}

func (x *days) see(m int, _ *bed.State, d bed.Day) {
	if d.Hour <= x.least || d.Hour%24 != 0 {
		return
	}
	if x.of == nil {
		x.of = map[int64][]bed.Day{}
	}
	if len(x.of[d.Hour]) == 0 {
		x.order = append(x.order, d.Hour)
	}
	x.of[d.Hour] = append(x.of[d.Hour], d)
	if x.weights != nil {
		if x.who == nil {
			x.who = map[int64][]float64{}
		}
		x.who[d.Hour] = append(x.who[d.Hour], x.weights[m])
	}
}

// beside puts the days of another branch behind those of this one, with the
// weights of the members of both.
func (x *days) beside(o *days, weights []float64) {
	x.weights, x.who = weights, map[int64][]float64{}
	for _, hour := range x.order {
		n := len(x.of[hour])
		if more := o.of[hour]; n+len(more) == len(weights) {
			x.of[hour] = append(x.of[hour], more...)
			x.who[hour] = weights
		} else {
			x.who[hour] = nil
		}
	}
}

func (x *days) ranges() []DayRange {
	var out []DayRange
	for _, hour := range x.order {
		ds := x.of[hour]
		halves := func(read func(*bed.Day) float64) (twin.Range, *twin.Half) {
			v := make([]float64, len(ds))
			for i := range ds {
				v[i] = read(&ds[i])
			}
			h := twin.HalfBy(slices.Clone(v), x.who[hour])
			return twin.RangeBy(v, x.who[hour]), &h
		}
		of := func(read func(*bed.Day) float64) twin.Range {
			r, _ := halves(read)
			return r
		}
		warmest, halfC := halves(func(d *bed.Day) float64 { return d.MaxC })
		water, halfWater := halves(func(d *bed.Day) float64 { return d.WaterOfWet })
		out = append(out, DayRange{
			Day: time.Unix(hour*3600, 0).UTC(), HalfC: halfC, HalfWater: halfWater,
			EatenKg: of(func(d *bed.Day) float64 { return d.EatenKg }).Mid,
			CastKg:  of(func(d *bed.Day) float64 { return d.CastingsOfDry * d.DryKg }).Mid,
			Warmest: warmest, Mean: of(func(d *bed.Day) float64 { return d.MeanC }),
			Water: water, Left: of(func(d *bed.Day) float64 { return d.FeedLeftKg }),
			Worms: of(func(d *bed.Day) float64 { return d.WormsKg }), Refuge: of(func(d *bed.Day) float64 { return d.RefugeM }),
		})
	}
	return out
}

func hottest(p []bed.Slice) bed.Slice {
	var at bed.Slice
	at.TempC = math.Inf(-1)
	for _, s := range p {
		if s.TempC > at.TempC {
			at = s
		}
	}
	return at
}

// layersNow reads layer by layer across members. Those of one branch have the
// same layers; one that is in another branch alone has no thickness in theirs.
// docs/model.md (T10)
func layersNow(profiles [][]bed.Slice, weights []float64) []LayerNow {
	var out []LayerNow
	for _, like := range inEither(profiles) {
		var there, all []float64 // weights of members that have it, and of all
		var have []*bed.Slice
		thick := make([]float64, len(profiles))
		var worms, total float64
		for m, p := range profiles {
			w := 1.0
			if weights != nil {
				w = weights[m]
			}
			for k := range p {
				s := &p[k]
				total += w * s.WormsKg
				if s.ID == like.ID && s.Part == like.Part {
					have, there, thick[m] = append(have, s), append(there, w), s.DepthM
					worms += w * s.WormsKg
				}
			}
			all = append(all, w)
		}
		if weights == nil {
			there, all = nil, nil
		}
		at := func(of func(*bed.Slice) float64) twin.Range {
			x := make([]float64, len(have))
			for i, s := range have {
				x[i] = of(s)
			}
			return twin.RangeBy(x, there)
		}
		l := LayerNow{
			Laid: time.Unix(like.Laid*3600, 0).UTC(), Feed: like.Feed, id: like.ID, Perhaps: len(have) < len(profiles),
			Thick: twin.RangeBy(thick, all), Temp: at(func(s *bed.Slice) float64 { return s.TempC }),
			Water: at(func(s *bed.Slice) float64 { return s.WaterOfWet }), Oxygen: at(func(s *bed.Slice) float64 { return s.Oxygen }),
			Cast: at(func(s *bed.Slice) float64 { return s.Castings }).Mid,
		}
		if total > 0 {
			l.Worms = worms / total
		}
		switch {
		case l.Cast > 0.6:
			l.Texture = "castings"
		case like.Feed:
			l.Texture = "feed"
		default:
			l.Texture = "bedding"
		}
		out = append(out, l)
	}
	return out
}

// inEither gives the layers of the members of both branches, from the top down:
// those of the last branch, and what only the first has under what it has it under.
func inEither(profiles [][]bed.Slice) []bed.Slice {
	if len(profiles) == 0 {
		return nil
	}
	out := slices.Clone(profiles[len(profiles)-1])
	is := func(a bed.Slice) func(bed.Slice) bool {
		return func(b bed.Slice) bool { return a.ID == b.ID && a.Part == b.Part }
	}
	above := 0
	for _, s := range profiles[0] {
		if i := slices.IndexFunc(out, is(s)); i >= 0 {
			above = i + 1
			continue
		}
		out = slices.Insert(out, above, s)
		above++
	}
	return out
}

// Probe is one reading as it is shown beside the outlook.
type Probe struct {
	At     time.Time `json:"at"`
	DepthM *float64  `json:"depth_m,omitempty"`
	TempC  *float64  `json:"temp_c,omitempty"`
	Water  *float64  `json:"water_frac_wet,omitempty"`
	By     string    `json:"probe"`
}

// Say puts a reading into words.
func (p Probe) Say(u qty.System, zone *time.Location) string {
	s := p.At.In(zone).Format("Mon 2 Jan 15:04")
	if p.TempC != nil {
		s += ", " + u.Temperature(qty.Celsius(*p.TempC))
	}
	if p.Water != nil {
		s += ", water " + qty.Percent100(*p.Water)
	}
	if p.DepthM != nil {
		s += " at " + u.Depth(qty.Metre(*p.DepthM))
	}
	if p.By != "" {
		s += ", " + p.By
	}
	return s
}

// lastProbes gives the newest readings of a bed, the newest first.
func lastProbes(b *farm.Bin, most int) []Probe {
	var out []Probe
	for i := len(b.Bed.Readings) - 1; i >= 0 && len(out) < most; i-- {
		r := b.Bed.Readings[i]
		out = append(out, Probe{At: r.At, DepthM: (*float64)(r.Depth), TempC: (*float64)(r.Temp), Water: (*float64)(r.Water), By: r.Probe})
	}
	return out
}

// OutlookNow computes the outlook of one bin as of now, whether or not a round
// was made; nil when it holds no bed. It is long work.
func (t *Twins) OutlookNow(ctx context.Context, bin string) (*Outlook, error) {
	return t.OutlookAt(ctx, bin, t.App.Now())
}

// OutlookAt computes the outlook of one bin as of a time since its bedding and
// not after now, by what the journal says today of that time; what was done
// since is in the days ahead. Nothing of it is kept unless the time is now.
func (t *Twins) OutlookAt(ctx context.Context, bin string, at time.Time) (*Outlook, error) {
	s := t.App.State()
	b, ok := s.Bin(bin)
	if !ok || b.Bed == nil {
		return nil, nil
	}
	air, err := t.airFor(s, at)
	if err != nil {
		return nil, err
	}
	c := t.borrow()
	defer t.giveBack(c)
	h, notes, _ := t.history(s, b, air)
	around := air.At(b.Slot.Barn, b.Slot.Level)
	hour := at.Unix() / 3600
	past := days{least: hour - pastDays*24}
	var e *twin.Ensemble
	var heard listener
	c.Watch(heard.hear)
	defer c.Watch(nil)
	if now := t.App.Now(); at.Before(now.Add(-time.Hour)) {
		e = c.Begin(h, around)
		err = c.Advance(e, h, around, hour, past.see)
	} else {
		var snaps []Snap
		if e, snaps, err = t.ensemble(ctx, c, h, around, hour, past.see); err == nil {
			err = t.Kept.PutSnapshots(ctx, t.kind.Load().version, snaps)
		}
	}
	if err != nil {
		return nil, err
	}
	v, err := t.outlook(c, b, len(s.Places().Above(b.Name)), h, e, around, at)
	if err == nil {
		v.Says, v.Past, v.Learned = andNow(notes, v, b.Box.Depth), past.ranges(), heard.last(h.Box, hour)
	}
	return v, err
}
