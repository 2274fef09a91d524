// Package slide is what slides under a microscope say of a lot of castings: what
// was seen in each field, field by field and group by group, brought to a gram
// with its range, to mass by named conversions, and to the ratio of fungi to
// bacteria; how many fields are still to be counted; how two people and two lots
// compare, and whether a lot stands out from those before it.
//
// It assumes that handfuls were taken from all over the lot. Fields of one slide
// are not that: one slide speaks only for itself, slides of one handful for that
// handful, and only several handfuls for the lot. It leaves out what is good for
// plants: there are no grades here, only the farm's own lots.
//
// The equations are in docs/model/slide.md (E1 to E6), the statistics under them
// in docs/model/lab.md; conversions to mass are in internal/source/data/slide.json.
package slide

import (
	"math"
	"slices"

	"wormyard/chance"
	"wormyard/lab"
	"wormyard/qty"
)

// Group is a kind of thing that is counted.
type Group string

// The groups, in the order of the page.
const (
	Bacteria           Group = "bacteria"
	Threads            Group = "threads" // of fungi: length in place of a count
	Flagellates        Group = "flagellates"
	Amoebae            Group = "amoebae"
	Ciliates           Group = "ciliates"
	NematodesBacteria  Group = "nematodes_bacteria" // by what they feed on
	NematodesFungi     Group = "nematodes_fungi"
	NematodesPlants    Group = "nematodes_plants"
	NematodesPredators Group = "nematodes_predators"
	Unknown            Group = "unknown"
)

// Groups lists the groups in order.
func Groups() []Group {
	return []Group{Bacteria, Threads, Flagellates, Amoebae, Ciliates, NematodesBacteria, NematodesFungi, NematodesPlants, NematodesPredators, Unknown}
}

// Conversions are the numbers from what is seen to mass, and what is enough; values,
// ranges and sources are in internal/source/data/slide.json.
type Conversions struct {
	CellLength qty.Estimate `param:"cell_length" unit:"um"`
	CellWidth  qty.Estimate `param:"cell_width" unit:"um"`
	Wanted     float64      `param:"wanted_half_width" unit:"-"` // part of the mean to which an interval is brought
	Enough     float64      `param:"chart_least" unit:"lots"`    // fewer lots have no limits
	Unsure     float64      `param:"report_factor" unit:"-"`     // up and down from a value whose method nobody tells
}

// Parameters are the numbers behind what slides say.
type Parameters struct {
	Conversions
	Lab lab.Parameters
}

// A Count is one slide as one person counted it.
type Count struct {
	Handful string // of the lot
	Slide   string // of that handful
	Who     string
	Optics  *lab.Slide
	// Seen holds a value for each field that was counted for a group: how many, or
	// the length of threads [um]. A group that was not looked for is absent.
	Seen map[Group][]float64
	// Width is the mean width of the threads [um], by their length; 0 when not measured.
	Width                 float64
	CellLength, CellWidth float64 // of the bacteria [um]; 0 when not measured
}

// chord is the mean length of a straight thread across a round field [um].
// model.md (E1).
func chord(s lab.Slide) float64 {
	return 1000 * math.Pi / 4 * math.Sqrt(4*s.FieldArea()/math.Pi)
}

// unit is what one of a group stands for: itself, or a thread across the field [um].
func unit(g Group, s lab.Slide) float64 {
	if g == Threads {
		return chord(s)
	}
	return 1
}

// Known is what is known of a group.
type Known struct {
	Group
	Fields, Slides, Handfuls int
	Seen                     float64 // in all: how many, or the length of threads [um]
	PerField                 float64
	FieldLow, FieldHigh      float64
	None                     bool // looked for and not seen: High is the limit
	PerGram                  float64
	Low, High                float64     // of PerGram, for what it speaks for; [1/g wet], threads [m/g wet]
	SE, DF                   float64     // of PerGram; SE is 0 where there was one field
	SpeaksFor                string      // "lot", "sub-sample" or "slide"
	MostOf                   string      // "sub-samples", "slides", "fields" or ""
	Clumped, TooEven         float64     // chance of as uneven, or as even, counts on each slide were they independent; 1 where it cannot be told
	Still                    *int        // fields more for the wanted half width; nil where it cannot be told
	Looked                   float64     // how much of the lot was looked at [g wet]
	Units                    float64     // seen in it, threads as pieces across a field
	Mass                     *lab.Bounds // [ug dry/g wet], 5 to 95 %; nil where there is no conversion
	MassBest                 float64
}

// Answer is what the slides of a lot say.
type Answer struct {
	Groups []Known
	Ratio  *Ratio
	People []People
	Deep   bool // a film too deep to be sharp at once
	Mixed  bool // slides that were looked at in different ways
	OneEye bool // some group has one field only
}

// Of gives what is known of a group; false when nobody looked for it.
func (a Answer) Of(g Group) (Known, bool) {
	i := slices.IndexFunc(a.Groups, func(k Known) bool { return k.Group == g })
	if i < 0 {
		return Known{}, false
	}
	return a.Groups[i], true
}

// Say gives what slides say, in the order they were counted: the first count of a
// slide stands, later ones of the same slide are compared with it.
func (par Parameters) Say(counts []Count) Answer {
	var out Answer
	first, again := once(counts)
	for _, g := range Groups() {
		if k, ok := par.known(g, first, &out); ok {
			out.Groups = append(out.Groups, k)
		}
	}
	out.Ratio = par.ratio(out)
	for _, p := range again {
		out.People = append(out.People, par.people(p[0], p[1])...)
	}
	for _, c := range first {
		out.Deep = out.Deep || c.Optics != nil && c.Optics.Objective >= 20 && c.Optics.Film() > par.Lab.FocusDepth
	}
	return out
}

// once parts first counts of slides from repeats, which come with their first. Another
// count by the same person goes on with the slide: its fields are added.
func once(counts []Count) (first []Count, again [][2]Count) {
	for _, c := range counts {
		i := slices.IndexFunc(first, func(x Count) bool { return x.Handful == c.Handful && x.Slide == c.Slide })
		switch {
		case i < 0:
			first = append(first, c)
		case first[i].Who == c.Who || !shares(first[i], c):
			first = append(first, c)
		default:
			again = append(again, [2]Count{first[i], c})
		}
	}
	return first, again
}

// shares says whether both looked for some group.
func shares(a, b Count) bool {
	for g := range a.Seen {
		if len(b.Seen[g]) > 0 && len(a.Seen[g]) > 0 {
			return true
		}
	}
	return false
}

// known brings the fields of a group to a gram. Slides that were looked at in
// different ways are brought to the way in which one seen stands for most, so that
// no interval comes out too narrow. model.md (E2).
func (par Parameters) known(g Group, counts []Count, all *Answer) (Known, bool) {
	k := Known{Group: g, Clumped: 1, TooEven: 1}
	factor := 0.0
	for _, c := range counts {
		if len(c.Seen[g]) == 0 || c.Optics == nil {
			continue
		}
		f := float64(c.Optics.PerGram(unit(g, *c.Optics), 1))
		if factor > 0 && math.Abs(f/factor-1) > 1e-9 {
			all.Mixed = true
		}
		factor = max(factor, f)
	}
	if factor == 0 {
		return k, false
	}
	var nested [][][]float64
	var handfuls []string
	slidesOf := map[string][]string{}
	var last []float64
	var widest, dispersion, free float64
	for _, c := range counts {
		seen := c.Seen[g]
		if len(seen) == 0 || c.Optics == nil {
			continue
		}
		one := unit(g, *c.Optics)
		share := float64(c.Optics.PerGram(one, 1)) / factor
		scaled := make([]float64, len(seen))
		for i, x := range seen {
			scaled[i] = x / one * share
			k.Seen += x
			k.Units += x / one
		}
		k.Looked += float64(len(seen)) / float64(c.Optics.PerGram(one, 1))
		widest = max(widest, one)
		h := slices.Index(handfuls, c.Handful)
		if h < 0 {
			h, handfuls, nested = len(handfuls), append(handfuls, c.Handful), append(nested, nil)
		}
		if s := slices.Index(slidesOf[c.Handful], c.Slide); s >= 0 {
			nested[h][s] = append(nested[h][s], scaled...)
			last = nested[h][s]
		} else {
			slidesOf[c.Handful] = append(slidesOf[c.Handful], c.Slide)
			nested[h] = append(nested[h], scaled)
			last = scaled
		}
		d, n := spreadOf(seen, one)
		dispersion, free = dispersion+d, free+n
	}
	n := lab.NestedOf(nested, par.Lab.Confidence)
	k.Fields, k.Slides, k.Handfuls, k.SpeaksFor, k.MostOf = n.Fields, n.Slides, n.SubSamples, n.SpeaksFor, n.MostOf
	all.OneEye = all.OneEye || k.Fields == 1
	if g != Threads && free > 0 {
		k.Clumped, k.TooEven = chance.GammaUpper(free/2, dispersion/2), chance.GammaLower(free/2, dispersion/2)
	}
	gram := factor // a gram's worth of one a field
	field := 1.0
	if g == Threads {
		gram, field = factor*1e-6, widest
	}
	k.PerField, k.FieldLow, k.FieldHigh = n.Mean*field, n.Interval.Low*field, n.Interval.High*field
	k.PerGram, k.Low, k.High = n.Mean*gram, n.Interval.Low*gram, n.Interval.High*gram
	if k.None = n.Mean == 0; k.None {
		k.High = lab.NothingSeen(par.Lab.Confidence) / float64(n.Fields) * gram
		k.Low = 0
	}
	if n.SE != nil {
		// No surer than counting alone allows.
		k.SE, k.DF = max(*n.SE, math.Sqrt(n.Mean/float64(n.Fields)))*gram, n.DF
	}
	if still, ok := lab.FieldsStill(last, par.Wanted, par.Lab.Confidence); ok {
		k.Still = &still
	}
	par.mass(&k, counts)
	return k, true
}

// spreadOf is the dispersion of the counts of a slide and its degrees. model.md (L5).
func spreadOf(seen []float64, one float64) (d, free float64) {
	if len(seen) < 2 {
		return 0, 0
	}
	mean := 0.0
	for _, x := range seen {
		mean += x / one / float64(len(seen))
	}
	if mean == 0 {
		return 0, 0
	}
	for _, x := range seen {
		d += (x/one - mean) * (x/one - mean) / mean
	}
	return d, float64(len(seen) - 1)
}

// massSpan is what lies in the range of a mass, 5 to 95 %.
const massSpan = 0.9

// mass turns a count or a length into dry mass. model.md (L13 to L15, E3).
func (par Parameters) mass(k *Known, counts []Count) {
	if k.PerGram == 0 {
		return
	}
	// As far out as Student's t has it, in terms of the normal of L14: two handfuls
	// tell little of how far they may be off.
	relative := k.SE / k.PerGram
	if k.SE > 0 {
		relative *= chance.TwoSided(massSpan, k.DF) / chance.TwoSided(massSpan, math.Inf(1))
	} else {
		relative = math.Log(k.High/k.Low) / (2 * chance.TwoSided(par.Lab.Confidence, math.Inf(1)))
	}
	switch k.Group {
	case Threads:
		var sum, length float64
		for _, c := range counts {
			if c.Width > 0 {
				for _, x := range c.Seen[Threads] {
					sum, length = sum+x*c.Width, length+x
				}
			}
		}
		if length == 0 {
			return
		}
		k.MassBest = lab.ThreadMass(k.PerGram, sum/length, par.Lab.HyphaDensity.Best)
		b := lab.Spread(k.MassBest, relative, lab.LogSD(par.Lab.HyphaDensity))
		k.Mass = &b
	case Bacteria:
		long, wide, sd := par.CellLength.Best, par.CellWidth.Best, []float64{lab.LogSD(par.CellLength), 2 * lab.LogSD(par.CellWidth)}
		for _, c := range counts {
			if c.CellLength > 0 && c.CellWidth > 0 && c.CellLength >= c.CellWidth {
				long, wide, sd = c.CellLength, c.CellWidth, nil // the last that was measured
			}
		}
		k.MassBest = k.PerGram * lab.CellVolume(long, wide) * 1e-12 * par.Lab.CellDensity.Best * 1e6
		b := lab.Spread(k.MassBest, append(sd, relative, lab.LogSD(par.Lab.CellDensity))...)
		k.Mass = &b
	}
}

// Ratio is fungi to bacteria by dry mass.
type Ratio struct {
	Best      float64
	Low, High float64
	Finite    bool // else the bacteria may be none, and there is no limit
	None      bool // no thread was seen: High is the limit
}

// ratio is that of the masses. The conversions are the same for every lot and stay
// out of the range. model.md (L19, E4).
func (par Parameters) ratio(a Answer) *Ratio {
	f, okF := a.Of(Threads)
	b, okB := a.Of(Bacteria)
	if !okF || !okB || b.MassBest == 0 {
		return nil
	}
	perBacterium := b.MassBest / b.PerGram
	if f.None {
		return nil // without a thread there is no width to make a mass of
	}
	if f.MassBest == 0 {
		return nil
	}
	perThread := f.MassBest / f.PerGram
	if f.SE == 0 || b.SE == 0 {
		return &Ratio{Best: f.MassBest / b.MassBest}
	}
	t := chance.TwoSided(par.Lab.Confidence, min(f.DF, b.DF))
	r := lab.FiellerRatio(f.PerGram*perThread, f.SE*perThread, b.PerGram*perBacterium, b.SE*perBacterium, t)
	return &Ratio{Best: r.Ratio, Low: max(0, r.Bounds.Low), High: r.Bounds.High, Finite: r.Finite}
}

// People is how two people compare on the same slide.
type People struct {
	Group
	Handful, Slide string
	First, Second  string
	SameFields     bool // field by field; else only the sums
	lab.TwoRates
}

func (par Parameters) people(a, b Count) []People {
	var out []People
	for _, g := range Groups() {
		x, y := a.Seen[g], b.Seen[g]
		if g == Threads || len(x) == 0 || len(y) == 0 || total(x)+total(y) == 0 {
			continue
		}
		p := People{Group: g, Handful: a.Handful, Slide: a.Slide, First: a.Who, Second: b.Who}
		if p.SameFields = len(x) == len(y) && len(x) > 1; p.SameFields {
			p.TwoRates = lab.ComparePeople(x, y, par.Lab.Confidence, par.Lab.Doubt).TwoRates
		} else {
			p.TwoRates = lab.CompareRates(total(x), float64(len(x)), total(y), float64(len(y)), par.Lab.Confidence, par.Lab.Doubt, false)
		}
		out = append(out, p)
	}
	return out
}

func total(v []float64) (sum float64) {
	for _, x := range v {
		sum += x
	}
	return sum
}
