// Package twin keeps the model twins of one bin: an ensemble of beds that differ
// in the uncertain numbers of nature, in how they began and in how exactly what
// was written down was done, run along with the journal.
//
// Every forecast is read off the ensemble as a range. What was found (a squeeze, a
// probe, the height of the bed, a count of worms) moves the members by a
// deterministic square-root update, with the error of what it was found with
// (equations T5 to T7). A run depends on nothing but its arguments and the seed:
// the same history gives the same bits.
package twin

import (
	"fmt"
	"math"
	"math/rand/v2"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/qty"
	"wormyard/worm"
)

// Members is how many twins a bin has.
const Members = 32

// History is what the journal says of one bed.
type History struct {
	Bin      string
	Box      bed.Box
	Start    Start
	Acts     []bed.Act // in order of hour, as written down
	Looks    []Look    // in order of hour
	Readings []Reading // in order of hour
	Marks    []Mark    // heights of the bed, in order of hour
	Weights  []Weight  // of the bin, in order of hour
	Counts   []Count   // of worms in samples, in order of hour
	Visits   []Visit   // on which nothing was written of dead or gone worms, nor of heat, in order of hour
	AirSD    float64   // how far the air of all its barn may be off, where nobody reads it [C]
}

// Start is how a bed began, or how it was found on the first morning.
type Start struct {
	Hour      int64            // hours since 1970-01-01T00Z
	Matter    feedstock.Matter // of the bed, whole bin, as laid, and what is left of LastFeed as if it were of the same
	DepthM    float64          // of all of it [m]
	TempC     float64          // NaN when it was as warm as the air
	AgeDays   qty.Estimate     // how long worms had worked in it; 0 when fresh [day]
	Worked    qty.Estimate     // castings in the dry matter, where somebody said so; Best 0 otherwise
	StockKg   qty.Estimate     // worms already in it [kg live]; 0 when they come by an act
	LastFeed  feedstock.Matter // the feeding before, as it was given; Dry 0 for none
	FeedDepth float64          // as it was given [m]
	FeedDays  float64          // how long before
	FeedGone  qty.Estimate     // days after which such a feeding is gone; Best 0 where nobody can say
	Lain      feedstock.Lain   // what lying in heaps had left of Matter
	LastLain  feedstock.Lain   // and of LastFeed
	Layer     uint64           // identity of the bed's layers
	Cover     bed.Cover
}

// Parameters are the spreads the ensemble is drawn with. Values are data.
type Parameters struct {
	AmountSD     float64 `param:"amount_sd" unit:"-"`                  // of one feeding, as a share: a bucket spreads to about an inch
	AmountBiasSD float64 `param:"amount_bias_sd" unit:"-"`             // of all feedings of a bin
	UnwrittenLow float64 `param:"unwritten_low_frac" unit:"-"`         // of the feed of a bin, what nobody wrote down: little,
	Unwritten    float64 `param:"unwritten_frac" unit:"-"`             // as usual,
	UnwrittenTop float64 `param:"unwritten_high_frac" unit:"-"`        // and much
	FreshLow     float64 `param:"fresh_low" unit:"-"`                  // quick matter in what is laid, against what the library has: little,
	FreshMid     float64 `param:"fresh" unit:"-"`                      // as usual,
	FreshHigh    float64 `param:"fresh_high" unit:"-"`                 // and much
	HeatedLow    float64 `param:"bedding_quick_low" unit:"-"`          // quick matter and ammonia left in fresh bedding into which worms are put: little,
	HeatedMid    float64 `param:"bedding_quick" unit:"-"`              // as usual,
	HeatedHigh   float64 `param:"bedding_quick_high" unit:"-"`         // and much
	HeatLow      float64 `param:"heat_low" unit:"-"`                   // heat that stays in a bed, against what the equations keep there: little,
	HeatMid      float64 `param:"heat" unit:"-"`                       // as usual,
	HeatHigh     float64 `param:"heat_high" unit:"-"`                  // and much
	HeatDays     float64 `param:"heat_days" unit:"day"`                // of readings that are off alike, after which what they moved stands for a bed's own heat
	HeatLeast    float64 `param:"heat_least_k_day" unit:"K/day"`       // a bed that its matter warms by less than this tells little of its heat
	HeatBack     float64 `param:"heat_back_days" unit:"day"`           // after which a bed's own heat has gone back to 1/e of what it was off by
	HeatBeds     float64 `param:"heat_beds" unit:"-"`                  // what was held to be the usual heat of a farm weighs as so many beds of a week
	WaterSD      float64 `param:"water_sd" unit:"-"`                   // of one watering, as a share
	AirSD        float64 `param:"air_sd_c" unit:"C"`                   // of the air at a bin against the barn's
	StockSD      float64 `param:"stock_sd" unit:"-"`                   // of worms weighed in, as a share
	MoistureSD   float64 `param:"moisture_sd" unit:"-"`                // of the water in what is laid, as a share of it
	FoundWarmer  float64 `param:"found_warmer_c" unit:"C"`             // a bed found is warmer than the air of the day before
	FoundSD      float64 `param:"found_warmer_sd_ln" unit:"-"`         // of that, natural log
	SpotC        float64 `param:"spot_c" unit:"C"`                     // how far one place of a layer is from the layer's mean
	SpotWater    float64 `param:"spot_frac_wet" unit:"-"`              // the same of its water
	DepthSD      float64 `param:"depth_sd_m" unit:"m"`                 // of a depth that somebody judged or measured
	ProbeSD      float64 `param:"probe_sd_c" unit:"C"`                 // of a thermometer nobody named
	ProbeWaterSD float64 `param:"probe_water_sd_frac_wet" unit:"-"`    // of a moisture probe nobody named
	WeightSD     float64 `param:"weight_sd_frac" unit:"-"`             // of a weighed bin, as a share
	CountSD      float64 `param:"count_sd_ln" unit:"-"`                // of worms in one sample against the bed, natural log
	GasSD        float64 `param:"gas_sd_ln" unit:"-"`                  // of measured oxygen or ammonia, natural log
	WhereSD      float64 `param:"where_sd" unit:"-"`                   // how loosely worms at the lid or the sides speak of bad air, natural log
	Reach        float64 `param:"reach_m" unit:"m"`                    // how far from a measurement in depth it still moves a layer
	Relax        float64 `param:"relax_frac" unit:"-"`                 // of the spread that a measurement takes away, given back
	LeastSpread  float64 `param:"least_spread" unit:"-"`               // of the spread that a number of a bin was drawn with, least that stays
	UsualStab    float64 `param:"usual_stab_m" unit:"m"`               // depth of a stab of which nobody said it
	Broken       float64 `param:"broken_spreads" unit:"-"`             // from how far off a measurement is not believed
	AgainHours   float64 `param:"again_hours" unit:"h"`                // sooner than this a probe at one depth tells nothing new
	SqueezeDry   float64 `param:"squeeze_dry_frac_wet" unit:"-"`       // bounds between the classes of the squeeze
	SqueezeCrumb float64 `param:"squeeze_crumbly_frac_wet" unit:"-"`   //
	SqueezeDrops float64 `param:"squeeze_few_drops_frac_wet" unit:"-"` //
	SqueezeDrips float64 `param:"squeeze_drips_frac_wet" unit:"-"`     //
	SqueezeSD    float64 `param:"squeeze_sd_frac_wet" unit:"-"`        // error of a hand
	FeedGone     float64 `param:"feed_gone_frac" unit:"-"`             // of the last feeding, less than this is gone
	FeedSome     float64 `param:"feed_some_frac" unit:"-"`             // less than this is some
	FeedSD       float64 `param:"feed_left_sd_frac" unit:"-"`          // error of an eye
	WormsFew     float64 `param:"worms_few_kg_m2" unit:"kg/m2"`        // less is few
	WormsMany    float64 `param:"worms_many_kg_m2" unit:"kg/m2"`       // more is many
	WormsSD      float64 `param:"worms_sd_ln" unit:"-"`                // error of an eye, natural log
	WormsGone    float64 `param:"worms_gone_kg_m2" unit:"kg/m2"`       // with less their loss is seen by who does something on the bed
	GoneShare    float64 `param:"worms_gone_frac" unit:"-"`            // where fewer were put in: the same, of the most that a member has
	Remarks      float64 `param:"remarks_frac" unit:"-"`               // of people, those who would ever write that worms are gone
	RemarkFeed   float64 `param:"remark_feed_frac" unit:"-"`           // of such people, those who see and write it when they feed,
	RemarkWater  float64 `param:"remark_water_frac" unit:"-"`          // when they water,
	RemarkLook   float64 `param:"remark_look_frac" unit:"-"`           // and when they look in
	HandC        float64 `param:"hot_hand_c" unit:"C"`                 // of a bed, at which half of those who have a hand in it find it hot
	HandSD       float64 `param:"hot_hand_sd_c" unit:"C"`              // and how far hands differ
	SaidDays     float64 `param:"said_days" unit:"day"`                // for which it is not written again that there are few worms or none
	SmellSD      float64 `param:"smell_sd" unit:"-"`                   // how loosely a smell follows oxygen and ammonia
	SourOxygen   float64 `param:"sour_oxygen_frac" unit:"-"`           // oxygen of pore air below which a bed smells sour
	RottenOxygen float64 `param:"rotten_oxygen_frac" unit:"-"`         // rotten
	AmmoniaPPM   float64 `param:"ammonia_smell_ppm" unit:"ppm"`        // a nose notices
	MattersFeed  float64 `param:"matters_feed_frac" unit:"-"`          // by how much the feed left must differ to be fed otherwise
	MattersC     float64 `param:"matters_c" unit:"C"`                  // the warmest layer, to be opened or left
	MattersWorms float64 `param:"matters_worms_ln" unit:"-"`           // the worms, to be fed otherwise, natural log
	LearnOwn     float64 `param:"learn_own_sd" unit:"-"`               // error of one bed that its readings of a week share, in parts of the members' spread
	LearnShared  float64 `param:"learn_shared_sd" unit:"-"`            // error that all beds share, in parts of the members' spread
	LearnMemory  float64 `param:"learn_memory_days" unit:"day"`        // after which a lesson has faded to 1/e
	LearnLeast   float64 `param:"learn_least_sd" unit:"-"`             // of the spread that a number began with, least that stays
}

// Knob is one uncertain number of nature.
type Knob struct {
	Name  string
	Range qty.Estimate
	Field func(*bed.Parameters) *float64
	With  map[string]float64 // correlation with knobs of these names, on the scale on which it is drawn
}

// Draws gives the parameter sets of the members, alike for all bins of a farm,
// before anything was learned: NumbersAt of DeviatesOf (docs/model.md (T1)).
func Draws(base *bed.Parameters, knobs []Knob, seed uint64) []bed.Parameters {
	return NumbersAt(base, knobs, DeviatesOf(knobs, seed))
}

// Deviates gives for each member how far each of n knobs lies from its middle, in
// standard deviations; of member 0 none does.
func Deviates(n int, seed uint64) [][]float64 {
	z := make([][]float64, Members)
	for m := range z {
		z[m] = make([]float64, n)
		if m == 0 {
			continue
		}
		r := rand.New(rand.NewPCG(seed, uint64(m)))
		for k := range z[m] {
			z[m][k] = r.NormFloat64()
		}
	}
	return z
}

// DeviatesOf gives Deviates that are correlated as the knobs say. docs/model.md (T1)
func DeviatesOf(knobs []Knob, seed uint64) [][]float64 {
	z := Deviates(len(knobs), seed)
	factor := correlated(knobs)
	for m := range z {
		for k := len(knobs) - 1; k >= 0; k-- { // those before it are still independent
			sum := 0.0
			for j, f := range factor[k] {
				sum += f * z[m][j]
			}
			z[m][k] = sum
		}
	}
	return z
}

// correlated gives the Cholesky factor of the knobs' correlations, row by row up to
// the diagonal. Of correlations that cannot hold together, the later ones hold as
// far as they can; each row has length 1 in any case, so that no spread is changed.
func correlated(knobs []Knob) [][]float64 {
	low := make([][]float64, len(knobs))
	for i := range knobs {
		low[i] = make([]float64, i+1)
		squares := 0.0
		for j := range i {
			sum := knobs[i].With[knobs[j].Name]
			for k := range j {
				sum -= low[i][k] * low[j][k]
			}
			if low[j][j] > 0 {
				low[i][j] = sum / low[j][j]
			}
			squares += low[i][j] * low[i][j]
		}
		if squares > 1 {
			for j := range i {
				low[i][j] /= math.Sqrt(squares)
			}
			squares = 1
		}
		low[i][i] = math.Sqrt(1 - squares)
	}
	return low
}

// NumbersAt gives a parameter set for each member from how far its knobs lie from
// their middles [standard deviations]. Each knob is a two-piece log-normal whose
// median is Best and whose central 90 % is Low to High (docs/model.md (T1)).
func NumbersAt(base *bed.Parameters, knobs []Knob, z [][]float64) []bed.Parameters {
	out := make([]bed.Parameters, len(z))
	for m := range out {
		out[m] = *base
		for i, k := range knobs {
			if z[m][i] != 0 {
				*k.Field(&out[m]) = draw(k.Range, z[m][i])
			}
		}
	}
	return out
}

// z90 is the 95th percentile of the standard normal, the half width of its
// central 90 %.
const z90 = 1.6448536269514722

// draw gives the value of an estimate at z standard deviations: log-normal by
// halves where all three are positive, normal by halves otherwise.
func draw(e qty.Estimate, z float64) float64 {
	if !e.Spread() {
		return e.Best
	}
	if e.Low > 0 && e.Best > 0 {
		if z < 0 {
			return e.Best * math.Exp(z/z90*math.Log(e.Best/e.Low))
		}
		return e.Best * math.Exp(z/z90*math.Log(e.High/e.Best))
	}
	if z < 0 {
		return math.Max(0, e.Best+z/z90*(e.Best-e.Low))
	}
	return e.Best + z/z90*(e.High-e.Best)
}

// Member is one twin. Draw says which parameter set it runs with; the rest is its
// own.
type Member struct {
	Draw      int
	Amount    float64      // of all feedings, against what was written
	Unwritten float64      // of its feed, the share that nobody wrote down
	Air       float64      // of the air at this bin, against the barn's [C]
	Wet       float64      // water of what is laid, against what was written
	Fresh     float64      // matter in it that rots quickly, against what the library has
	Stock     float64      // worms weighed in, against what was written
	Home      float64      // heat that stays, as drawn about what is usual, natural log
	Tare      float64      // of the bin without its bed, by its first weighing [kg]; NaN before
	Patience  float64      // how much more silence about gone worms its people are good for; infinite where they never write of them
	Moved     bed.Contents // what was found has added to the bed, beyond what any process did
	State     bed.State
}

// Ensemble is the twins of one bin at one hour, all equally likely but where two
// branches stand side by side (Either).
type Ensemble struct {
	Bin     string
	Hour    int64
	Taken   int // how many of the things found have been taken in
	Members []Member
	Weights []float64 // how likely each is, of all of 1; nil where all are alike. They are never stored
}

// Crew runs ensembles: a runner for each parameter set, with its memory. One
// goroutine uses a Crew at a time.
type Crew struct {
	P       Parameters
	epochs  []epoch
	acts    []bed.Act
	hours   []climate.Hour
	seed    uint64
	scratch bed.State
	told    func(News)
	space   coordinates
	skies   skies
}

// NewCrew makes a crew of which each member runs with one of the parameter sets
// (Draws), until Turn says otherwise.
func NewCrew(p Parameters, draws []bed.Parameters, seed uint64) *Crew {
	c := &Crew{P: p, seed: seed, skies: skies{seed: seed}}
	c.Turn([]Epoch{{Numbers: draws}})
	return c
}

// Best gives the numbers of nature at their best values, before anything was
// learned. They are not to be changed.
func (c *Crew) Best() *bed.Parameters { return &c.epochs[0].Numbers[0] }

// Begin gives the ensemble of a bed at its start. docs/model.md (T3).
func (c *Crew) Begin(h History, air climate.Series) *Ensemble {
	e := &Ensemble{Bin: h.Bin, Hour: h.Start.Hour, Members: make([]Member, Members)}
	first, _ := c.at(h.Start.Hour)
	for m := range e.Members {
		r := rand.New(rand.NewPCG(c.seed^hash(h.Bin), uint64(m)+uint64(h.Start.Hour)<<8))
		n := func() float64 { // member 0 is the plain one
			z := r.NormFloat64()
			if m == 0 {
				return 0
			}
			return z
		}
		b := &e.Members[m]
		b.Draw, b.Tare = m%len(c.epochs[0].Numbers), math.NaN()
		b.Amount = math.Exp(c.P.AmountBiasSD * n())
		b.Air = math.Hypot(c.P.AirSD, h.AirSD) * n()
		b.Wet = math.Exp(c.P.MoistureSD * n())
		b.Stock = math.Exp(c.P.StockSD * n())
		b.Fresh = 1
		if m > 0 {
			b.Fresh = draw(c.P.fresh(), r.NormFloat64())
		}
		c.start(b, h, air, n)
		if m > 0 {
			b.Unwritten = min(draw(c.P.unwritten(), r.NormFloat64()), mostUnwritten)
			b.Home = math.Log(draw(c.P.heat(), r.NormFloat64()))
		}
		b.State.HeatLn = heatOf(b.Home + first.HeatLn)
		b.Patience = c.patience(h.Bin, m, h.Start.Hour)
	}
	return e
}

// fresh gives how quick what is laid is, against what the library has: its lots
// differ, and lie for weeks before they come to the farm.
func (p *Parameters) fresh() qty.Estimate {
	return qty.Estimate{Best: p.FreshMid, Low: p.FreshLow, High: p.FreshHigh}
}

// heat gives how much of the heat of what rots stays in a bed, against what the
// equations keep there.
func (p *Parameters) heat() qty.Estimate {
	return qty.Estimate{Best: p.HeatMid, Low: p.HeatLow, High: p.HeatHigh}
}

// mostHeat is more than a bed can keep.
const mostHeat = 2

// heated gives how much of the quick matter and of the ammonia is left in bedding
// into which worms are put: it was left to heat until a hand could bear it.
func (p *Parameters) heated() qty.Estimate {
	return qty.Estimate{Best: p.HeatedMid, Low: p.HeatedLow, High: p.HeatedHigh}
}

// soon is within how many hours of the bedding worms are put into it as it lies.
const soon = 7 * 24

// stocksSoon says whether worms were put into a fresh bed as it was laid.
func (h *History) stocksSoon() bool {
	for _, a := range h.Acts {
		if a.Kind == bed.Stock && a.Hour <= h.Start.Hour+soon {
			return true
		}
	}
	return false
}

// quicker gives matter with f times as much of it that rots quickly; what is gone
// from there rots slowly, and the other way round. docs/model.md (T2).
func quicker(m feedstock.Matter, f float64) feedstock.Matter {
	more := min(m.Quick*qty.DryKg(f-1), m.Slow)
	m.Quick, m.Slow = m.Quick+more, m.Slow-more
	return m
}

// pace gives how far matter has aged in its heap with a member's numbers of
// nature, against what the yard reckons at their best. docs/model.md (T2).
func pace(p *bed.Parameters, l feedstock.Lain) float64 {
	if l.Untold && l.Days > 0 && p.UntoldDays > 0 {
		return p.HeapPace * p.UntoldDays / float64(l.Days)
	}
	return p.HeapPace
}

// lies gives matter as it lay by a member's numbers of nature: how far it aged in its
// heap, and how much of its fibre is as good as wood. docs/model.md (T2).
func lies(p *bed.Parameters, m feedstock.Matter, l feedstock.Lain) feedstock.Matter {
	if !l.Fresh() {
		m = l.Pace(m, pace(p, l))
	}
	return m.Opened(p.Guarded)
}

// unwritten gives the share of the feed that nobody writes down.
func (p *Parameters) unwritten() qty.Estimate {
	return qty.Estimate{Best: p.Unwritten, Low: p.UnwrittenLow, High: p.UnwrittenTop}
}

// mostUnwritten is the greatest share of feed that a member takes to be missing.
const mostUnwritten = 0.6

// uneaten gives what a member at z standard deviations takes to lie there still of
// the feeding before: what is left falls evenly until the day by which it is gone,
// but for a crumb, so that all members have the layer. docs/model.md (T3).
func (s *Start) uneaten(z float64) float64 {
	gone := draw(s.FeedGone, z)
	if gone <= 0 {
		return 1
	}
	return math.Max(1-s.FeedDays/gone, crumb)
}

// crumb is what is left at least of a feeding that is gone in some twins.
const crumb = 0.01

func (c *Crew) start(b *Member, h History, air climate.Series, n func() float64) {
	now, _ := c.at(h.Start.Hour)
	s, p := h.Start, &now.Numbers[b.Draw]
	under := lies(p, s.Matter, s.Lain)
	s.LastFeed = lies(p, s.LastFeed, s.LastLain)
	under.Water *= qty.WaterKg(b.Wet)
	under, s.LastFeed = quicker(under, b.Fresh), quicker(s.LastFeed, b.Fresh)
	if s.AgeDays.Best == 0 && h.stocksSoon() && b.Draw != 0 {
		left := draw(c.P.heated(), n())
		if !s.Lain.Fresh() { // what lying took is gone already
			left = math.Min(1, left/math.Pow(s.Lain.Quick, pace(p, s.Lain)))
		}
		under = quicker(under, left)
		under.Ammonia *= qty.NitrogenKg(left)
	}
	age := math.Max(0, draw(s.AgeDays, n()))
	worked := draw(s.Worked, n())
	stock := draw(s.StockKg, n())
	depth, left := s.DepthM, 0.0
	if s.LastFeed.Dry > 0 && s.DepthM > 0 && s.FeedDepth > 0 && !(s.FeedDays >= s.FeedGone.High && s.FeedGone.High > 0) {
		left = math.Min(s.uneaten(n()), s.DepthM/s.FeedDepth)
		depth -= left * s.FeedDepth
		under = under.Times(depth / s.DepthM)
	}
	if age > 0 && (stock > 0 || h.stocksSoon()) && b.Draw != 0 { // as fresh bedding; what its age took is gone already
		gone := math.Exp(-p.QuickRate * p.Speed(p.RipeC) * age)
		own := rand.New(rand.NewPCG(c.seed^hash(h.Bin)^0x626564, uint64(b.Draw)+uint64(s.Hour)<<8)) // so that nothing else hangs on it
		under = quicker(under, math.Min(1, draw(c.P.heated(), own.NormFloat64())/gone))
	}
	if math.IsNaN(s.TempC) && age > 0 { // it has been living there
		s.TempC = dayBefore(air, s.Hour) + b.Air + c.P.FoundWarmer*math.Exp(c.P.FoundSD*n())
	}
	layers := []bed.Laid{{Matter: under, DepthM: depth, TempC: s.TempC, AgeDays: age, Layer: s.Layer}}
	if worked > 0 {
		layers[0].Castings = ofEdible(bed.Aged(p, under, qty.Days(age), 0), worked)
	}
	if left > 0 {
		layers = append(layers, bed.Laid{Matter: s.LastFeed.Times(left), DepthM: left * s.FeedDepth, TempC: s.TempC, AgeDays: s.FeedDays, Layer: s.Layer + 1, Feed: true})
	}
	at := air.At(s.Hour)
	at.TempC += b.Air
	b.State = *bed.Start(p, h.Box, layers, at, s.Hour)
	b.State.Cover = s.Cover
	if stock > 0 {
		b.State.Worms = usual(p, stock)
	}
}

// dayBefore gives the mean temperature of the day before an hour.
func dayBefore(air climate.Series, hour int64) float64 {
	var sum float64
	for t := hour - 24; t < hour; t++ {
		sum += air.At(t).TempC
	}
	return sum / 24
}

// ofEdible turns a share of castings in the dry matter, ash included, into the
// worked share of what worms can eat, with the ash worked alike. docs/model.md (T3).
func ofEdible(m feedstock.Matter, castings float64) float64 {
	if can := float64(m.Quick + m.Slow + m.Cast + m.Ash); can > 0 && castings > 0 {
		return math.Min(1, castings*float64(m.Dry)/can)
	}
	return 0
}

// usual gives a stock of mixed ages of kg live mass: two thirds adults by mass
// (common practice, no source).
func usual(p *bed.Parameters, kg float64) worm.Stock {
	return worm.Stock{AdultKg: kg * 2 / 3, JuvenileKg: kg / 3, Cocoons: kg * 2 / 3 / (p.Worm.MatureG * 2e-3) * 1.5}
}

// block is how many hours a bed steps at most at once: a run stopped at a whole
// block and taken up again gives the same bits. Ensembles stop there, and at the
// hour of what was found, which is the same in every run.
const block = 6

// Seen is told what a member is like at the end of a day.
type Seen func(member int, s *bed.State, d bed.Day)

// Advance runs the ensemble to the last whole block of six hours at or before
// the hour until, through the acts of the history and what was found. It changes e. Seen
// may be nil. The error names the act that cannot be done.
// docs/model.md (T2, T7, T23).
func (c *Crew) Advance(e *Ensemble, h History, air climate.Series, until int64, seen Seen) error {
	all := c.P.Found(&h)
	for e.Taken < len(all) && all[e.Taken].Hour <= until {
		at := all[e.Taken].Hour
		if err := c.run(e, h, air, at, seen); err != nil {
			return err
		}
		for ; e.Taken < len(all) && all[e.Taken].Hour <= at; e.Taken++ {
			c.take(e, h.Box, all[e.Taken])
		}
	}
	return c.run(e, h, air, until-((until%block)+block)%block, seen)
}

// Forecast runs a copy of the ensemble on and calls seen for each member and day.
func (c *Crew) Forecast(e *Ensemble, h History, air climate.Series, until int64, seen Seen) error {
	return c.run(e.Clone(), h, air, until-((until%block)+block)%block, seen)
}

// run moves every member from e.Hour to the hour until.
func (c *Crew) run(e *Ensemble, h History, air climate.Series, until int64, seen Seen) error {
	if until <= e.Hour {
		return nil
	}
	for m := range e.Members {
		b := &e.Members[m]
		var day func(bed.Day)
		if seen != nil {
			day = func(d bed.Day) { seen(m, &b.State, d) }
		}
		acts := c.own(b, h, e.Hour, until)
		if err := c.live(b, h.Box, &b.State, c.air(air, b, e.Hour, until), until, acts, day); err != nil {
			return fmt.Errorf("bin %s: %w", h.Bin, err)
		}
	}
	e.Hour = until
	return nil
}

// air gives the part of a series from one hour to another as a member has it: off
// by what the place of its bin is, and by what the weather may do. docs/model.md (T18).
func (c *Crew) air(s climate.Series, b *Member, from, until int64) climate.Series {
	c.hours = c.hours[:0]
	for t := from; t <= until; t++ {
		a := s.At(t)
		a.TempC += b.Air
		if off := s.OffAt(t); off > 0 {
			a.TempC += off * c.skies.of(b.Draw, t, s.Lasts)
		}
		c.hours = append(c.hours, a)
	}
	return climate.Series{Start: from, Hours: c.hours}
}

// own gives the acts of the history from one hour up to but not including
// another, as this member did them.
func (c *Crew) own(b *Member, h History, from, until int64) []bed.Act {
	c.acts = c.acts[:0]
	for _, a := range h.Acts {
		if a.Hour < from || a.Hour >= until {
			continue
		}
		a = c.asDone(b, h.Bin, h.Box.Area(), a)
		if a.Kind == bed.Feed { // and with it what is missing in the journal
			f := 1 / (1 - b.Unwritten)
			a.Matter, a.DepthM = a.Matter.Times(f), a.DepthM*f
		}
		c.acts = append(c.acts, a)
	}
	return c.acts
}

// asDone gives an act as the member did it: the amount off by the error of the
// bin and by that of the day, which is the same in every run.
func (c *Crew) asDone(b *Member, bin string, area float64, a bed.Act) bed.Act {
	r := rand.New(rand.NewPCG(c.seed^hash(bin)^a.Layer*0x9e3779b97f4a7c15, uint64(a.Hour)<<8|uint64(b.Draw)))
	day := func(sd float64) float64 {
		if b.Draw == 0 { // the plain one
			return 1
		}
		return math.Exp(sd * r.NormFloat64())
	}
	if a.Kind == bed.Feed || a.Kind == bed.Bedding {
		now, _ := c.at(a.Hour)
		a.Matter = lies(&now.Numbers[b.Draw], a.Matter, a.Lain)
	}
	switch a.Kind {
	case bed.Feed:
		f := b.Amount * day(c.P.AmountSD)
		a.ToldM = a.DepthM
		if a.ToldM <= 0 {
			a.ToldM = float64(a.Matter.Volume) / area
		}
		a.Matter, a.DepthM = a.Matter.Times(f), a.DepthM*f
		a.Matter.Water *= qty.WaterKg(b.Wet)
		a.Matter = quicker(a.Matter, b.Fresh)
	case bed.Bedding:
		a.Matter.Water *= qty.WaterKg(b.Wet)
		a.Matter = quicker(a.Matter, b.Fresh)
	case bed.Water:
		a.WaterKg *= day(c.P.WaterSD)
	case bed.Stock:
		a.Worms.AdultKg *= b.Stock
		a.Worms.JuvenileKg *= b.Stock
		a.Worms.Cocoons *= b.Stock
	}
	return a
}

// Profile gives the layers of a member from the top down.
func (c *Crew) Profile(m *Member, box bed.Box) []bed.Slice {
	now, _ := c.at(m.State.Hour)
	return now.runner(m.Draw).Profile(box, &m.State)
}

// Clone gives a copy that shares nothing with e.
func (e *Ensemble) Clone() *Ensemble {
	c := *e
	c.Members = make([]Member, len(e.Members))
	for m := range e.Members {
		c.Members[m] = e.Members[m]
		c.Members[m].State = *e.Members[m].State.Clone()
	}
	return &c
}

// hash is FNV-1a.
func hash(s string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(s) {
		h = (h ^ uint64(s[i])) * 1099511628211
	}
	return h
}
