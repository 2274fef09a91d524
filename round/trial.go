package round

import (
	"math"
	"slices"
	"sort"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/twin"
)

// Parameters are the limits on risk and the habits of work. Values are data.
type Parameters struct {
	HorizonDays float64 `param:"horizon_days" unit:"day"`        // consequences are followed for
	RefugeM     float64 `param:"refuge_m" unit:"m"`              // least depth of bed that must stay cool
	AlarmC      float64 `param:"alarm_c" unit:"C"`               // where worms are held
	MostWarm    float64 `param:"most_warm" unit:"-"`             // chance allowed of alarm or lost refuge
	MostSour    float64 `param:"most_sour" unit:"-"`             // chance allowed
	MostDry     float64 `param:"most_dry" unit:"-"`              // chance allowed
	MostLeave   float64 `param:"most_leave" unit:"-"`            // chance allowed that worms leave
	MostLeft    float64 `param:"most_left" unit:"-"`             // chance allowed of leftovers at the visit
	LeftFrac    float64 `param:"left_frac" unit:"-"`             // more than this share unworked is a leftover
	DryTop      float64 `param:"dry_top_frac_wet" unit:"-"`      // water of the top below which feed is left
	WetBed      float64 `param:"wet_bed_frac_wet" unit:"-"`      // water above which no more is given
	LeastGain   float64 `param:"least_gain_kg_dry" unit:"kg"`    // castings that make an act worth a visit
	RipeFrac    float64 `param:"ripe_frac" unit:"-"`             // castings in castings and what may still be eaten
	RipeKg      float64 `param:"ripe_kg_wet" unit:"kg"`          // castings that make a harvest worth it
	SplitKgM2   float64 `param:"split_kg_m2" unit:"kg/m2"`       // worms above which a split is worth it
	ColdC       float64 `param:"cold_c" unit:"C"`                // mean of the bed below which nothing is eaten to speak of
	RimM        float64 `param:"rim_m" unit:"m"`                 // to be kept free under the rim
	LookDays    float64 `param:"look_days" unit:"day"`           // without a look after which one is due
	LookMost    float64 `param:"look_most" unit:"-"`             // looks asked for in one round
	FeedMinutes float64 `param:"feed_minutes" unit:"min"`        // each bin
	WaterMin    float64 `param:"water_minutes" unit:"min"`       //
	OpenMinutes float64 `param:"open_minutes" unit:"min"`        //
	LookMinutes float64 `param:"look_minutes" unit:"min"`        //
	CoverMin    float64 `param:"cover_minutes" unit:"min"`       //
	HarvestMin  float64 `param:"harvest_minutes" unit:"min"`     //
	LiftMinutes float64 `param:"lift_minutes" unit:"min"`        // for each bin that stands on it
	BlendMin    float64 `param:"blend_minutes_m3" unit:"min/m3"` //
	DepthStepM  float64 `param:"depth_step_m" unit:"m"`          // half an inch
	DepthMostM  float64 `param:"depth_most_m" unit:"m"`          // four inches
	WaterStepKg float64 `param:"water_step_kg" unit:"kg"`        // a gallon
}

// Mix is a batch in the yard that can be fed.
type Mix struct {
	Batch   string
	PerM3   feedstock.Matter // one cubic metre as it lies
	LeftM3  float64
	Forbids bool // held or refused by a hazard
}

// Case is one bin as of now.
type Case struct {
	Bin, Place, Barn, Row string
	Stack, Level, Above   int // Above: bins that stand on it
	History               twin.History
	Ensemble              *twin.Ensemble
	Air                   climate.Series // expected, for the horizon
	Now, Visit            int64          // hours
	Mixes                 []Mix
	LastFed, LastLook     int64 // 0 when never
	LastDepthM            float64
	MostDepthM            float64 // the farm's own limit on a feeding; 0 none
}

// Trier tries acts on twins. One goroutine uses it at a time.
type Trier struct {
	P    Parameters
	Crew *twin.Crew
	out  []twin.Outcome
}

// The members that screen, those that choose among the best few, and those that
// tell the chances and have no part in choosing (R3).
var screening, choosing, telling = parts()

func parts() (screen, choose, tell []int) {
	for m := range twin.Members {
		switch {
		case m%4 == 0:
			screen, choose = append(screen, m), append(choose, m)
		case m%2 == 0:
			choose = append(choose, m)
		default:
			tell = append(tell, m)
		}
	}
	return
}

// option is one thing that can be done with a bin.
type option struct {
	phrase  Phrase
	act     Act
	acts    []bed.Act
	depthM  float64
	waterKg float64
	mix     int // of Case.Mixes, -1 none
	tried   Tried
	rank    float64
}

// verdict is what a set of outcomes says of an option.
type verdict struct {
	left, warm, refuge, alarm, sour, dry, leave, frozen, hungry, full float64
	leftFrac, castDry, castWet, depthM, water, maxC, minC, refugeM    float64
	wormsLow, wormsHigh                                               float64
	n                                                                 int
}

func (t *Trier) verdict(c *Case, outs []twin.Outcome) verdict {
	v := verdict{n: len(outs)}
	share := func(is func(o *twin.Outcome) bool) float64 {
		var k int
		for i := range outs {
			if is(&outs[i]) {
				k++
			}
		}
		return float64(k) / float64(len(outs))
	}
	middle := func(of func(o *twin.Outcome) float64) float64 {
		x := make([]float64, len(outs))
		for i := range outs {
			x[i] = of(&outs[i])
		}
		return twin.RangeOf(x).Mid
	}
	refuge := func(o *twin.Outcome) bool { return o.RefugeM < math.Min(t.P.RefugeM, 0.6*o.DepthM) }
	alarm := func(o *twin.Outcome) bool { return o.WormsMaxC > t.P.AlarmC }
	v.refuge, v.alarm = share(refuge), share(alarm)
	v.warm = share(func(o *twin.Outcome) bool {
		return o.Noticed[bed.Heating] && refuge(o) || alarm(o) || refuge(o) && o.MaxC > 30
	})
	v.sour = share(func(o *twin.Outcome) bool { return o.Noticed[bed.Souring] })
	v.dry = share(func(o *twin.Outcome) bool { return o.TopWater < t.P.DryTop })
	v.leave = share(func(o *twin.Outcome) bool { return o.Noticed[bed.Leaving] })
	v.frozen = share(func(o *twin.Outcome) bool { return o.Noticed[bed.Frozen] })
	v.left = share(func(o *twin.Outcome) bool { return o.LeftFrac > t.P.LeftFrac })
	v.hungry = share(func(o *twin.Outcome) bool { return o.Hungry > 0.5 })
	v.full = share(func(o *twin.Outcome) bool { return o.Noticed[bed.Heaped] })
	v.leftFrac = middle(func(o *twin.Outcome) float64 { return o.LeftFrac })
	v.castDry = middle(func(o *twin.Outcome) float64 { return o.CastDryKg })
	v.castWet = middle(func(o *twin.Outcome) float64 { return o.CastWetKg })
	v.depthM = middle(func(o *twin.Outcome) float64 { return o.DepthM })
	v.water = middle(func(o *twin.Outcome) float64 { return o.Water })
	v.maxC = middle(func(o *twin.Outcome) float64 { return o.WormsMaxC })
	v.minC = middle(func(o *twin.Outcome) float64 { return o.MinC })
	v.refugeM = middle(func(o *twin.Outcome) float64 { return o.RefugeM })
	return v
}

// over gives by how much the verdict passes the limits, 0 when it keeps them
// all; what was already so without the act is not held against it.
func (t *Trier) over(v, base verdict) float64 {
	var sum float64
	for _, l := range [][3]float64{
		{v.warm, t.P.MostWarm, base.warm}, {v.sour, t.P.MostSour, base.sour},
		{v.leave, t.P.MostLeave, base.leave}, {v.full, 0.5, 0},
	} {
		sum += math.Max(0, l[0]-math.Max(l[1], l[2]))
	}
	return sum
}

// try runs an option on members and fills what it says.
func (t *Trier) try(c *Case, o *option, members []int) (verdict, error) {
	until := c.Now + int64(t.P.HorizonDays*24)
	outs, err := t.Crew.Try(c.Ensemble, members, c.History, c.Air, twin.Trial{Acts: o.acts, Visit: c.Visit, Until: until}, t.out)
	if err != nil {
		return verdict{}, err
	}
	t.out = outs
	v := t.verdict(c, outs)
	o.tried = Tried{
		Option: o.phrase, LeftFrac: v.leftFrac, Left: v.left, TooWarm: v.warm, Sour: v.sour, Dry: v.dry, Leave: v.leave,
		CastingsKg: v.castWet, Value: v.castDry, Members: len(members),
	}
	return v, nil
}

// Bin gives what today asks of a bin: one item, Rest when nothing. The error is
// of the twins, not of the farmer. docs/model.md (R1), (R2), (R3), (R4).
func (t *Trier) Bin(c Case) (Item, error) {
	it := Item{Bin: c.Bin, Place: c.Place, Barn: c.Barn, Row: c.Row, Stack: c.Stack, Level: c.Level, Visit: time.Unix(c.Visit*3600, 0).UTC()}
	rest := option{phrase: say("rest"), act: Rest, mix: -1}
	base, err := t.try(&c, &rest, screening)
	if err != nil {
		return it, err
	}
	if base.warm > 2*t.P.MostWarm {
		done, err := t.cool(&c, &it, rest, base)
		if err != nil || done {
			return it, err
		}
	}
	if base.frozen > 0.3 {
		t.frost(&c, &it, base)
		return it, nil
	}
	if done := t.ripe(&c, &it, base); done {
		return it, nil
	}
	kg, watered, err := t.water(&c, base)
	if err != nil {
		return it, err
	}
	return it, t.feed(&c, &it, rest, base, kg, watered)
}

// water finds the least water that keeps the top moist, 0 when none is needed.
func (t *Trier) water(c *Case, base verdict) (float64, []option, error) {
	if base.dry <= t.P.MostDry || base.water > t.P.WetBed {
		return 0, nil, nil
	}
	var tried []option
	for _, n := range []float64{1, 2, 3, 5} {
		kg := n * t.P.WaterStepKg
		o := option{phrase: say("water", water(kg)), act: Water, waterKg: kg, mix: -1, acts: []bed.Act{wetting(c, kg)}}
		v, err := t.try(c, &o, screening)
		if err != nil {
			return 0, nil, err
		}
		tried = append(tried, o)
		if v.water > t.P.WetBed || v.sour > math.Max(base.sour, t.P.MostSour) {
			return (n - 1) * t.P.WaterStepKg, tried, nil
		}
		if v.dry <= t.P.MostDry {
			return kg, tried, nil
		}
	}
	return 5 * t.P.WaterStepKg, tried, nil
}

func wetting(c *Case, kg float64) bed.Act {
	return bed.Act{Hour: c.Now, Kind: bed.Water, WaterKg: kg, TempC: math.NaN()}
}

// layer is the identity that a tried feeding's layer gets; journals never give it.
const layer = math.MaxUint64

func feeding(c *Case, mix int, depthM float64) bed.Act {
	v := depthM * c.History.Box.Area()
	return bed.Act{Hour: c.Now, Kind: bed.Feed, Matter: c.Mixes[mix].PerM3.Times(v), DepthM: depthM, TempC: math.NaN(), Layer: layer}
}

// feed tries depths of every mix with the water found, and takes what makes
// most castings within the limits (R1, R2).
func (t *Trier) feed(c *Case, it *Item, rest option, base verdict, kg float64, watered []option) error {
	var options []option
	if kg > 0 {
		rest = option{phrase: say("water", water(kg)), act: Water, waterKg: kg, mix: -1, acts: []bed.Act{wetting(c, kg)}}
		v, err := t.try(c, &rest, screening)
		if err != nil {
			return err
		}
		base = v
	}
	rest.rank = rest.tried.Value
	options = append(options, rest)
	for m, mix := range c.Mixes {
		if mix.Forbids {
			continue
		}
		worse := 0
		for d := t.P.DepthStepM; d <= t.P.DepthMostM*1.001; d += t.P.DepthStepM {
			if c.MostDepthM > 0 && d > c.MostDepthM*1.001 {
				break
			}
			o := option{phrase: say("feed", depth(d), text(mix.Batch)), act: Feed, depthM: d, mix: m, waterKg: kg, acts: []bed.Act{feeding(c, m, d)}}
			if kg > 0 {
				o.phrase = say("feed_water", depth(d), text(mix.Batch), water(kg))
				o.acts = append(o.acts, wetting(c, kg))
			}
			v, err := t.try(c, &o, screening)
			if err != nil {
				return err
			}
			o.rank = t.rank(o, v, base)
			options = append(options, o)
			if t.over(v, base) > 0.3 || v.left > 0.9 {
				if worse++; worse == 2 {
					break // deeper only gets worse: R2
				}
			}
		}
	}
	sort.SliceStable(options, func(i, j int) bool { return options[i].rank > options[j].rank })
	few := options[:min(4, len(options))]
	if !slices.ContainsFunc(few, func(o option) bool { return o.act == rest.act && o.mix < 0 }) {
		few = append(slices.Clone(few), rest)
	}
	best, verdicts := 0, make([]verdict, len(few))
	for i := range few {
		v, err := t.try(c, &few[i], choosing)
		if err != nil {
			return err
		}
		verdicts[i] = v
		few[i].rank = few[i].tried.Value
		if few[i].mix >= 0 {
			few[i].rank = t.rank(few[i], v, base)
		}
		if few[i].rank > few[best].rank {
			best = i
		}
	}
	if few[best].mix >= 0 { // a feeding must be worth the visit
		for i := range few {
			if few[i].mix < 0 && few[best].tried.Value-few[i].tried.Value < t.P.LeastGain {
				best = i
			}
		}
	}
	chosen := few[best]
	told, err := t.try(c, &chosen, telling)
	if err != nil {
		return err
	}
	it.Tried = triedOf(options, few, watered, chosen.phrase, func(o option) bool { return o.rank > -1e8 })
	it.Doubt = 4 * told.left * (1 - told.left)
	t.tell(c, it, chosen, base, told, verdicts[best], options)
	return nil
}

// rank is the objective: castings made [kg dry], far below zero when a limit is
// passed, so that among forbidden options the least bad comes first.
func (t *Trier) rank(o option, v, base verdict) float64 {
	if over := t.over(v, base) + math.Max(0, v.left-t.P.MostLeft); over > 0 {
		return -1e9 * (1 + over)
	}
	return o.tried.Value
}

func triedOf(options, few, watered []option, chosen Phrase, allowed func(option) bool) []Tried {
	var out []Tried
	for _, o := range watered {
		out = append(out, o.tried)
	}
	for _, o := range options {
		for _, f := range few {
			if same(f.phrase, o.phrase) {
				o = f
			}
		}
		o.tried.Allowed = allowed(o)
		o.tried.Chosen = same(o.phrase, chosen)
		out = append(out, o.tried)
	}
	sort.SliceStable(out, func(i, j int) bool { return size(out[i].Option) < size(out[j].Option) })
	return out
}

func same(a, b Phrase) bool { return a.Key == b.Key && slices.Equal(a.Args, b.Args) }

func size(p Phrase) float64 {
	if len(p.Args) == 0 {
		return 0
	}
	return p.Args[0].V
}

// tell writes the item of the chosen option.
func (t *Trier) tell(c *Case, it *Item, o option, base, told, chose verdict, options []option) {
	it.Act, it.Head, it.DepthM, it.WaterKg = o.act, o.phrase, o.depthM, o.waterKg
	it.Urgency, it.Minutes = NoHurry, 0
	visit := day(c.Visit)
	lay := c.Ensemble.Over(func(m *twin.Member) float64 { return twin.LeftOfLast(&m.State) })
	if c.LastFed > 0 {
		it.Why = append(it.Why, say("why.left", share(lay.Mid)))
	} else if o.act == Feed {
		it.Why = append(it.Why, say("why.first"))
	}
	switch o.act {
	case Feed:
		mix := c.Mixes[o.mix]
		it.Mix, it.VolumeM3 = mix.Batch, o.depthM*c.History.Box.Area()
		it.Urgency, it.Minutes = Today, t.P.FeedMinutes
		it.Why = append(it.Why, say("why.lasts", depth(o.depthM), visit))
		for _, other := range options {
			if other.mix == o.mix && math.Abs(other.depthM-o.depthM-t.P.DepthStepM) < 1e-6 && other.tried.Left > t.P.MostLeft {
				it.Why = append(it.Why, say("why.more", depth(t.P.DepthStepM), odds(other.tried.Left, other.tried.Members)))
			}
		}
		it.Sureness = append(it.Sureness, say("sure.eaten", visit, odds(1-told.left, told.n)), say("sure.warm", odds(told.warm, told.n)))
		it.Care = append(it.Care, say("care.gloves"))
		if o.waterKg > 0 {
			it.Minutes += t.P.WaterMin
			it.Why = append(it.Why, say("why.dry", odds(base.dry, base.n)))
		}
	case Water:
		it.Urgency, it.Minutes = Today, t.P.WaterMin
		it.Why = append(it.Why, say("why.dry", odds(base.dry, base.n)))
		it.Sureness = append(it.Sureness, say("sure.dry", visit, odds(told.dry, told.n)))
	case Rest:
		mean := c.Ensemble.Over(meanC).Mid
		switch {
		case mean < t.P.ColdC:
			it.Why = append(it.Why, say("why.cold", temp(mean)))
		case base.sour > t.P.MostSour:
			it.Why = append(it.Why, say("why.soaked"))
		case base.full > 0.5:
			it.Why = append(it.Why, say("why.full", depth(t.P.RimM)))
		default:
			it.Why = append(it.Why, say("why.enough", visit))
		}
		it.Sureness = append(it.Sureness, say("sure.hungry", visit, odds(told.hungry, told.n)))
	}
	if c.Above > 0 && o.act != Rest {
		it.Minutes += t.P.LiftMinutes * float64(c.Above)
		it.Care = append(it.Care, say("care.truck"))
	}
	it.Chances = chances(told)
}

func chances(v verdict) []Chance {
	return []Chance{
		{"left", v.left, v.n}, {"too_warm", v.warm, v.n}, {"sour", v.sour, v.n}, {"dry", v.dry, v.n},
		{"leave", v.leave, v.n}, {"frozen", v.frozen, v.n}, {"hungry", v.hungry, v.n},
	}
}

func meanC(m *twin.Member) float64 {
	var sum, d float64
	for i := range m.State.Layers {
		l := &m.State.Layers[i]
		sum, d = sum+l.TempC*l.DepthM, d+l.DepthM
	}
	if d == 0 {
		return math.NaN()
	}
	return sum / d
}

// cool looks for what takes the danger of heat off. It reports whether an item
// was made; a bin that is warm without danger to worms goes on to feeding.
func (t *Trier) cool(c *Case, it *Item, rest option, base verdict) (bool, error) {
	fed := c.LastDepthM
	if fed == 0 {
		fed = t.P.DepthMostM / 2
	}
	none := bed.Act{Hour: c.Now, Kind: bed.Covered, Cover: bed.Cover{Name: "none"}}
	take := func(d float64) bed.Act { return bed.Act{Hour: c.Now, Kind: bed.Take, DepthM: d, From: bed.FromTop} }
	half := math.Max(t.P.DepthStepM, math.Round(fed/2/t.P.DepthStepM)*t.P.DepthStepM)
	options := []option{
		rest,
		{phrase: say("open.cover"), act: Open, mix: -1, acts: []bed.Act{none}},
		{phrase: say("open.feed", depth(half)), act: Open, mix: -1, depthM: half, acts: []bed.Act{take(half)}},
		{phrase: say("open.both", depth(half)), act: Open, mix: -1, depthM: half, acts: []bed.Act{none, take(half)}},
		{phrase: say("open.both", depth(fed)), act: Open, mix: -1, depthM: fed, acts: []bed.Act{none, take(fed)}},
	}
	best, least := 0, math.Inf(1)
	for i := range options {
		v, err := t.try(c, &options[i], choosing)
		if err != nil {
			return false, err
		}
		if score := v.warm + 0.01*float64(i); score < least-0.05 {
			best, least = i, score
		}
	}
	o := options[best]
	if best == 0 {
		o.phrase, o.act = say("open.watch"), Open
	}
	told, err := t.try(c, &o, telling)
	if err != nil {
		return false, err
	}
	alone, err := t.try(c, &rest, telling)
	if err != nil {
		return false, err
	}
	if alone.warm <= 2*t.P.MostWarm { // the members that tell do not see it
		return false, nil
	}
	it.Act, it.Head, it.DepthM, it.Urgency, it.Minutes = Open, o.phrase, o.depthM, Now, t.P.OpenMinutes
	it.Why = []Phrase{say("why.warm", temp(base.maxC)), say("why.refuge", depth(base.refugeM))}
	it.Sureness = []Phrase{say("sure.danger", temp(t.P.AlarmC), odds(alone.warm, alone.n), odds(told.warm, told.n))}
	it.Care = []Phrase{say("care.ammonia"), say("care.gloves")}
	if c.Above > 0 {
		it.Minutes += t.P.LiftMinutes * float64(c.Above)
		it.Care = append(it.Care, say("care.truck"))
	}
	it.Chances = chances(told)
	it.Tried = triedOf(options, nil, nil, o.phrase, func(o option) bool { return o.tried.TooWarm <= t.P.MostWarm })
	return true, nil
}

func (t *Trier) frost(c *Case, it *Item, base verdict) {
	it.Act, it.Head, it.Urgency, it.Minutes = Warm, say("warm"), Today, t.P.CoverMin
	if name := c.Ensemble.Members[0].State.Cover.Name; name == "" || name == "none" {
		it.Act, it.Cover, it.Head = Cover, "film", say("cover", text("cover"))
	}
	it.Why = []Phrase{say("why.frozen", temp(base.minC))}
	it.Sureness = []Phrase{say("sure.frozen", odds(base.frozen, base.n))}
	it.Care = []Phrase{say("care.power")}
	it.Chances = chances(base)
}

// ripe makes an item of a bed whose feed is worked, or of one with more worms
// than it carries well.
func (t *Trier) ripe(c *Case, it *Item, base verdict) bool {
	worked := c.Ensemble.Over(func(m *twin.Member) float64 { return twin.Eaten(&m.State) })
	n := len(c.Ensemble.Members)
	var ripe int
	for m := range c.Ensemble.Members {
		s := &c.Ensemble.Members[m].State
		if twin.Eaten(s) > t.P.RipeFrac && twin.CastingsKg(s)*c.History.Box.Area() > t.P.RipeKg {
			ripe++
		}
	}
	if float64(ripe) > 0.6*float64(n) {
		it.Act, it.Head, it.Urgency, it.Minutes = Harvest, say("harvest"), Week, t.P.HarvestMin
		it.Why = []Phrase{say("why.ripe", share(worked.Mid))}
		it.Sureness = []Phrase{say("sure.ripe", odds(float64(ripe)/float64(n), n))}
		it.Care = []Phrase{say("care.dust"), say("care.truck")}
		it.Chances = chances(base)
		return true
	}
	kg := c.Ensemble.Over(func(m *twin.Member) float64 { return m.State.Worms.LiveKg() / c.History.Box.Area() })
	if kg.Low > t.P.SplitKgM2 {
		it.Act, it.Head, it.Urgency, it.Minutes = Split, say("split"), Week, t.P.HarvestMin
		it.Why = []Phrase{say("why.crowded", Arg{Of: "stocking", V: kg.Mid})}
		it.Care = []Phrase{say("care.lift")}
		it.Chances = chances(base)
		return true
	}
	return false
}
