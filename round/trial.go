package round

import (
	"math"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/twin"
)

// Parameters are the limits on risk and the habits of work. Values are data
// (internal/source/data/round.json).
type Parameters struct {
	HorizonDays   float64 `param:"horizon_days" unit:"day"`        // consequences are followed for
	SoonDays      float64 `param:"soon_days" unit:"day"`           // heat within which is a danger of today
	RefugeM       float64 `param:"refuge_m" unit:"m"`              // least depth of bed that must stay cool
	AlarmC        float64 `param:"alarm_c" unit:"C"`               // where worms are held
	Flee          float64 `param:"flee" unit:"-"`                  // chance of worms leaving from which a bin is opened, or looked at
	FleeLoss      float64 `param:"flee_loss" unit:"-"`             // of the worms, leaving within SoonDays, that cannot wait
	Danger        float64 `param:"danger" unit:"-"`                // chance of either from which a bin is opened
	MostWarm      float64 `param:"most_warm" unit:"-"`             // chance of either that an act may bring
	MostSour      float64 `param:"most_sour" unit:"-"`             // chance allowed
	MostDry       float64 `param:"most_dry" unit:"-"`              // chance allowed
	MostLeave     float64 `param:"most_leave" unit:"-"`            // chance allowed that worms leave
	MostLeft      float64 `param:"most_left" unit:"-"`             // chance allowed of leftovers at the visit
	MostLaid      float64 `param:"most_laid" unit:"-"`             // chance allowed that more is laid than the worms eat
	LeftDays      float64 `param:"left_days" unit:"day"`           // feed for more days than this is a leftover
	LeftLeastM    float64 `param:"left_least_m" unit:"m"`          // less feed than this lying is none
	AgainFrac     float64 `param:"again_frac" unit:"-"`            // more of the last feed than this left is not fed on
	GoneFrac      float64 `param:"gone_frac" unit:"-"`             // less of the last feed than this left is nearly gone
	SoakKg        float64 `param:"soak_kg" unit:"kg"`              // more water at once than this wants a look
	SoakDays      float64 `param:"soak_days" unit:"day"`           // for so long
	HungryDays    float64 `param:"hungry_days" unit:"day"`         // feed for fewer days leaves worms hungry
	DryTop        float64 `param:"dry_top_frac_wet" unit:"-"`      // water of the top below which feed is left
	WetBed        float64 `param:"wet_bed_frac_wet" unit:"-"`      // water above which no more is given
	LeastGain     float64 `param:"least_gain_kg_dry" unit:"kg"`    // castings that make an act worth a visit
	SteadyFrac    float64 `param:"steady_frac" unit:"-"`           // of the best castings, what is no material loss
	HoldChance    float64 `param:"hold_chance" unit:"-"`           // past a limit, from which the last advice gives way
	RipeFrac      float64 `param:"ripe_frac" unit:"-"`             // castings in castings and what may still be eaten
	RipeKg        float64 `param:"ripe_kg_wet" unit:"kg"`          // castings that make a harvest worth it
	StopFeedDays  float64 `param:"stop_feed_days" unit:"day"`      // without feed before a harvest
	SplitKgM2     float64 `param:"split_kg_m2" unit:"kg/m2"`       // worms above which a split is worth it
	ColdC         float64 `param:"cold_c" unit:"C"`                // mean of the bed below which nothing is eaten to speak of
	RimM          float64 `param:"rim_m" unit:"m"`                 // to be kept free under the rim
	FinishShare   float64 `param:"finish_share" unit:"-"`          // of the depth to the rim from which a bed is left to ripen
	VisitDays     float64 `param:"visit_days" unit:"day"`          // between visits of a bin under others, where nobody said
	LookDays      float64 `param:"look_days" unit:"day"`           // without a look after which one is due
	HarvestMost   float64 `param:"harvest_most" unit:"-"`          // harvests asked for in one round
	ReadOff       float64 `param:"read_off_c" unit:"C"`            // from what is expected, from which a thermometer's word wants a look
	LookMost      float64 `param:"look_most" unit:"-"`             // looks asked for in one round
	FeedMinutes   float64 `param:"feed_minutes" unit:"min"`        // each bin
	WaterMin      float64 `param:"water_minutes" unit:"min"`       //
	OpenMinutes   float64 `param:"open_minutes" unit:"min"`        //
	LookMinutes   float64 `param:"look_minutes" unit:"min"`        //
	ProbeDays     float64 `param:"probe_days" unit:"day"`          // without a thermometer in a bed, after which its warmth is what the twins make of it
	StabMinutes   float64 `param:"stab_minutes" unit:"min"`        // of one thermometer at one depth
	RuleMinutes   float64 `param:"rule_minutes" unit:"min"`        // of a measured depth
	CountMinutes  float64 `param:"count_minutes" unit:"min"`       // of the worms of one sample
	CoverMin      float64 `param:"cover_minutes" unit:"min"`       //
	HarvestMin    float64 `param:"harvest_minutes" unit:"min"`     //
	LiftMinutes   float64 `param:"lift_minutes" unit:"min"`        // for each bin lifted off and put back
	OverdueDays   float64 `param:"overdue_days" unit:"day"`        // under others and not seen, from which the truck comes
	MinuteKg      float64 `param:"minute_kg_dry" unit:"kg/min"`    // castings that a minute of truck and crew must bring
	LookWorth     float64 `param:"look_worth_kg_dry" unit:"kg"`    // castings that a look is worth where its bin is a toss-up
	VisitHold     float64 `param:"visit_hold" unit:"-"`            // of the price, by which another depth must be better
	BlendMin      float64 `param:"blend_minutes_m3" unit:"min/m3"` //
	DepthStepM    float64 `param:"depth_step_m" unit:"m"`          // half an inch
	DepthMostM    float64 `param:"depth_most_m" unit:"m"`          // four inches
	DeeperMostM   float64 `param:"deeper_most_m" unit:"m"`         // than the last feeding, at once
	StarveDays    float64 `param:"starve_days" unit:"day"`         // with next to nothing before the next day of feeding, for which a habit is broken
	PriceBins     float64 `param:"price_bins" unit:"-"`            // on which a habit is priced
	UnwrittenLine float64 `param:"unwritten_line" unit:"-"`        // chance that the feeding of a stack is not written down
	UnwrittenBin  float64 `param:"unwritten_bin" unit:"-"`         // that a bin is left out of what is
	FeedDayShare  float64 `param:"feed_day_share" unit:"-"`        // of the bins, written down as fed, that makes a day one of feeding
	AskBinDays    float64 `param:"ask_bin_days" unit:"day"`        // of the journal that tell the habit of bins
	AskStackDays  float64 `param:"ask_stack_days" unit:"day"`      // of stacks
	AskDays       float64 `param:"ask_days" unit:"day"`            // back that are asked about
	AskChance     float64 `param:"ask_chance" unit:"-"`            // of a yes, from which it is asked
	AskMost       float64 `param:"ask_most" unit:"-"`              // questions of one round
	AskMinutes    float64 `param:"ask_minutes" unit:"min"`         // of one
	NoWormsKgM2   float64 `param:"no_worms_kg_m2" unit:"kg/m2"`    // fewer worms than this a look does not find
	FollowMost    float64 `param:"follow_most" unit:"-"`           // bins of a round followed both ways
	PaceTicks     float64 `param:"pace_ticks" unit:"-"`            // of a farm that weigh as much as what is reckoned elsewhere
	PacePause     float64 `param:"pace_pause" unit:"-"`            // times what is reckoned, beyond which somebody did something else
	PaceDays      float64 `param:"pace_days" unit:"day"`           // of the journal that tell how long work takes
	WaterStepKg   float64 `param:"water_step_kg" unit:"kg"`        // a gallon
}

// Mix is a batch in the yard that can be fed.
type Mix struct {
	Batch  string
	PerM3  feedstock.Matter // one cubic metre as it lies
	Lain   feedstock.Lain   // what lying has left of it
	LeftM3 float64
}

// Case is one bin as of now.
type Case struct {
	Bin, Place, Barn, Row string
	Stack, Level, Above   int // Above: bins that stand on it
	History               twin.History
	Ensemble              *twin.Ensemble
	Air                   climate.Series // expected, for the horizon
	Now, Visit            int64          // hours; Visit: when the bin is next seen to after today
	Due                   bool           // by habit it is seen to today
	Waits                 int64          // under others: the hour of the visit it waits for, 0 when not
	Seen                  int64          // when somebody last had it before them, 0 unknown
	Mixes                 []Mix
	LastFed, LastLook     int64   // 0 when never
	LastDepthM            float64 // of the last feeding
	EveryDays             float64 // usual days between feedings, 0 unknown
	MostM                 float64 // the farm never feeds deeper [m], 0 where it has no such rule
	OffDay                bool    // the farm feeds on other days of the week, Visit the next of them

	Held  Held  // that it gets no feed
	Apart Apart // that nothing of it goes to other bins

	Was *Advice // the last advice; nil where there is none, or something was written since

	finish bool   // it is ripe but for what it was fed last
	late   Phrase // why what is ripe or crowded waits, where it is kept apart
}

// Held is somebody's decision that a bin gets no feed; it ends with the next
// feeding. Since is 0 where there is none.
type Held struct {
	Since int64 // hour
	Why   string
}

// Apart is the time in which a bed with bought worms is kept apart. Until is 0
// where it is not.
type Apart struct{ Since, Until int64 } // hours

// Trier tries acts on twins. One goroutine uses it at a time.
type Trier struct {
	P    Parameters
	Crew *twin.Crew
	half halves // of the bin in hand
	outs []twin.Outcome
}

// mostMembers are those of both branches of a bin of which it is not known whether
// it was fed.
const mostMembers = 2 * twin.Members

// option is one thing that can be done with a bin, and what became of the
// members on which it was tried.
type option struct {
	head    Phrase
	act     Act
	acts    []bed.Act
	depthM  float64
	waterKg float64
	cover   string
	mix     int // of Case.Mixes, -1 none
	tried   Tried
	rank    float64
	spared  bool // of leaving the bin alone: a feeding was tried that keeps the limits
	had     [mostMembers]bool
	outs    [mostMembers]twin.Outcome
}

// verdict is what a set of members says of an option.
type verdict struct {
	left, warm, danger, stays, flee, seep, sour, dry, leave, frozen, hungry, full, much float64 // chances; stays: the danger is still there on its last day; flee, seep: worms leave fast, are seen to leave; much: more is laid than is eaten
	leftFrac, castDry, castWet, depthM, water, minC, coolM                              float64 // medians
	maxC                                                                                float64 // what it may reach soon: the upper end of the range
	n                                                                                   int
	one                                                                                 float64 // chance that one of them stands for

	dryTold float64 // dry, by the members that tell, of dryOf
	dryOf   int
}

// try runs an option on the members that have not had it, and says what all of
// them say.
func (t *Trier) try(c *Case, o *option, members []int) (verdict, error) {
	var fresh [mostMembers]int
	todo := fresh[:0]
	for _, m := range members {
		if !o.had[m] {
			todo = append(todo, m)
		}
	}
	outs, err := t.Crew.Try(c.Ensemble, todo, c.History, c.Air, twin.Trial{
		Acts: o.acts, Soon: c.Now + int64(t.P.SoonDays*24), Visit: c.Visit, Until: c.Now + int64(t.P.HorizonDays*24),
	}, t.outs)
	if err != nil {
		return verdict{}, err
	}
	t.outs = outs
	for i := range outs {
		o.had[outs[i].Member], o.outs[outs[i].Member] = true, outs[i]
	}
	v := t.verdict(c, o, members)
	o.tried = Tried{
		Option: o.head, LeftFrac: v.leftFrac, Left: v.left, TooWarm: v.warm, Sour: v.sour, Dry: v.dry, Leave: v.leave,
		CastingsKg: v.castWet, Value: v.castDry, Members: len(members),
	}
	return v, nil
}

func (t *Trier) verdict(c *Case, o *option, members []int) verdict {
	box, inch := c.History.Box, t.inch(c, o)
	v := verdict{n: len(members), one: 1 / float64(len(members))}
	weights := t.weights(c, members)
	for _, w := range weights {
		v.one = max(v.one, w)
	}
	share := func(is func(o *twin.Outcome) bool) float64 {
		var k, sum float64
		for i, m := range members {
			if is(&o.outs[m]) {
				if k++; weights != nil {
					sum += weights[i]
				}
			}
		}
		if weights != nil {
			return min(1, sum)
		}
		return k / float64(len(members))
	}
	spread := func(of func(o *twin.Outcome) float64) twin.Range {
		x := make([]float64, len(members))
		for i, m := range members {
			x[i] = of(&o.outs[m])
		}
		return twin.RangeBy(x, weights)
	}
	middle := func(of func(o *twin.Outcome) float64) float64 { return spread(of).Mid }
	upper := func(of func(o *twin.Outcome) float64) float64 { return spread(of).High }
	// Of a shallow bed the refuge need not be the full four inches.
	least := func(o *twin.Outcome) float64 { return math.Min(t.P.RefugeM, shallow*o.DepthM) }
	hot := t.Crew.Best().RefugeC
	v.warm = share(func(o *twin.Outcome) bool {
		return o.WormsMaxC > t.P.AlarmC || o.RefugeM < least(o) && o.MaxC > hot
	})
	v.danger = share(func(o *twin.Outcome) bool {
		return o.SoonC > t.P.AlarmC || o.SoonM < least(o) && o.SoonMaxC > t.P.AlarmC
	})
	v.stays = share(func(o *twin.Outcome) bool {
		return o.ThenC > t.P.AlarmC || o.ThenM < least(o) && o.ThenMaxC > t.P.AlarmC
	})
	v.flee = share(func(o *twin.Outcome) bool { return o.SoonLost >= t.P.FleeLoss })
	v.seep = share(func(o *twin.Outcome) bool { return o.Flee })
	v.sour = share(func(o *twin.Outcome) bool { return o.Noticed[bed.Souring] })
	v.dry = share(func(o *twin.Outcome) bool { return o.TopWater < t.P.DryTop })
	v.leave = share(func(o *twin.Outcome) bool { return o.Noticed[bed.Leaving] })
	v.frozen = share(func(o *twin.Outcome) bool { return o.Noticed[bed.Frozen] })
	v.left = share(func(o *twin.Outcome) bool { return o.LeftDays > t.P.LeftDays && o.LeftKg > inch })
	v.hungry = share(func(o *twin.Outcome) bool { return o.LeftDays < t.P.HungryDays })
	v.full = share(func(o *twin.Outcome) bool { return box.DepthM > 0 && o.DeepM > box.DepthM-t.P.RimM })
	if fed := t.tries(c, o); fed > 0 && o.depthM > t.P.DepthStepM*1.01 {
		from := max(c.Now-int64(24*t.P.HorizonDays), c.History.Start.Hour)
		days := float64(c.Visit-from) / 24
		v.much = share(func(o *twin.Outcome) bool {
			b := &c.Ensemble.Members[o.Member]
			return b.Laid(&c.History, from, c.Now)+fed*b.Amount > days*o.EatenKg
		})
	}
	v.leftFrac = middle(func(o *twin.Outcome) float64 { return o.LeftFrac })
	v.castDry = middle(func(o *twin.Outcome) float64 { return o.CastDryKg })
	v.castWet = middle(func(o *twin.Outcome) float64 { return o.CastWetKg })
	v.depthM = middle(func(o *twin.Outcome) float64 { return o.DepthM })
	v.water = middle(func(o *twin.Outcome) float64 { return o.Water })
	v.maxC = upper(func(o *twin.Outcome) float64 { return o.SoonC })
	v.minC = middle(func(o *twin.Outcome) float64 { return o.MinC })
	v.coolM = middle(func(o *twin.Outcome) float64 { return o.SoonM })
	return v
}

// weights gives how likely each of some members is among them, of all of 1; nil
// where all are alike. docs/model.md (T10)
func (t *Trier) weights(c *Case, members []int) []float64 {
	if c.Ensemble.Weights == nil {
		return nil
	}
	out, sum := make([]float64, len(members)), 0.0
	for i, m := range members {
		out[i] = c.Ensemble.Weights[m]
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// shallow is the part of a bed thinner than the refuge that must stay cool.
const shallow = 0.6

// over gives, with some slack, by how much the verdict passes the limits, 0 when it keeps them
// all; what was already so without the act is not held against it, and one member
// more than the limit allows cannot be told from the limit. docs/model.md (R2).
func (t *Trier) over(v, base verdict, slack float64) float64 {
	var sum float64
	one := v.one + slack
	for _, l := range [...][3]float64{
		{v.warm, t.P.MostWarm, base.warm}, {v.sour, t.P.MostSour, base.sour},
		{v.leave, t.P.MostLeave, base.leave}, {v.full, 0.5, 0}, {v.much, t.P.MostLaid, 0},
	} {
		if past := l[0] - math.Max(l[1], l[2]) - one; past > 0 {
			sum += past
		}
	}
	return sum
}

// tries gives the feed that an option lays until the visit, but for what rots within
// days [kg dry, whole bin].
func (t *Trier) tries(c *Case, o *option) (kg float64) {
	for i := range o.acts {
		if o.acts[i].Kind == bed.Feed && o.acts[i].Hour < max(c.Visit, c.Now+1) {
			kg += twin.Lasting(&o.acts[i].Matter)
		}
	}
	return kg
}

// leftover gives by how much more feed is likely left than the limit.
// docs/model.md (R2).
func (t *Trier) leftover(v verdict, slack float64) float64 {
	return math.Max(0, v.left-t.P.MostLeft-slack)
}

// inch gives the edible matter in the least feed that counts as a leftover [kg
// dry, whole bin], of the mix tried or, where none is, of the first.
func (t *Trier) inch(c *Case, o *option) float64 {
	if len(c.Mixes) == 0 {
		return 0
	}
	m := c.Mixes[max(o.mix, 0)].PerM3.Opened(t.Crew.Best().Guarded)
	return float64(m.Quick+m.Slow) * t.P.LeftLeastM * c.History.Box.Area()
}
