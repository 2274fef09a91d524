package app

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/lab"
)

// TrialList is the answer of wormyard trial.
type TrialList struct {
	Trials []TrialAnswer `json:"trials"` // the newest first
}

// TrialAnswer is what a trial says so far: each side with its bins, and for each
// thing that was measured the mean by side and the difference with its range.
type TrialAnswer struct {
	Name     string         `json:"name"`
	Question string         `json:"question,omitempty"`
	What     string         `json:"what,omitempty"`
	Since    time.Time      `json:"since"`
	Sides    [][]string     `json:"sides"`
	Measures []TrialMeasure `json:"measures"`
	Entry    string         `json:"entry"`
}

// TrialMeasure is one thing that was measured on both sides. A bin counts once,
// however often it was read.
type TrialMeasure struct {
	Key   string      `json:"key"` // temp_c, water_frac_wet, fed_kg_wet, castings_kg_wet, worms_per_m2
	Sides []TrialSide `json:"sides"`
	Pairs []TrialPair `json:"against"`        // each other side against the first
	Days  int         `json:"days,omitempty"` // on which all sides were read; 0 where days do not matter
}

// TrialSide is one side of a measure.
type TrialSide struct {
	Side int      `json:"side"` // from 1
	Bins int      `json:"bins"` // that something is known of
	Read int      `json:"read"` // readings or entries behind it
	Mean *float64 `json:"mean"`
}

// TrialPair is the difference of a side from the first.
type TrialPair struct {
	Side       int      `json:"side"`
	Difference float64  `json:"difference"` // of this side less the first
	Low        *float64 `json:"low"`        // null where no range can be given
	High       *float64 `json:"high"`
	P          float64  `json:"p"`
	Verdict    string   `json:"verdict"` // more, less, cannot tell
}

// trialConfidence is how sure the range of a trial is, trialDoubt the chance under
// which a difference is said: what is usual, and no more than that.
const (
	trialConfidence = 0.9
	trialDoubt      = 0.1
)

// Trials gives what the farm's trials say so far, the newest first.
func Trials(s *farm.State, now time.Time) TrialList {
	out := TrialList{Trials: []TrialAnswer{}}
	all := s.Trials()
	for i := len(all) - 1; i >= 0; i-- {
		out.Trials = append(out.Trials, trialSaid(s, &all[i], now))
	}
	return out
}

// reads is what one bin tells of a measure: by day where the day matters.
type reads struct {
	sum map[string]float64
	n   map[string]int
}

func (r *reads) add(day string, v float64) {
	if r.sum == nil {
		r.sum, r.n = map[string]float64{}, map[string]int{}
	}
	r.sum[day] += v
	r.n[day]++
}

// trialKeys are what is compared, in this order; true where the day of a reading
// matters, so that only days count on which all sides were read.
var trialKeys = []struct {
	key   string
	byDay bool
	total bool // summed, not averaged
}{{"temp_c", true, false}, {"water_frac_wet", true, false}, {"fed_kg_wet", false, true}, {"castings_kg_wet", false, true}, {"worms_per_m2", false, false}}

func trialSaid(s *farm.State, t *farm.Trial, now time.Time) TrialAnswer {
	out := TrialAnswer{Name: t.Name, Question: t.Question, What: t.What, Since: t.At, Sides: t.Sides, Measures: []TrialMeasure{}, Entry: t.Entry}
	got := make([][]map[string]*reads, len(t.Sides))
	for i, side := range t.Sides {
		for _, name := range side {
			if b, ok := s.Bin(name); ok {
				got[i] = append(got[i], readsOf(s, b, t.At, now))
			}
		}
	}
	for _, k := range trialKeys {
		if m, ok := measure(k.key, k.byDay, k.total, got); ok {
			out.Measures = append(out.Measures, m)
		}
	}
	return out
}

// readsOf gathers what was read of a bin and done in it since a trial began.
func readsOf(s *farm.State, b *farm.Bin, from, to time.Time) map[string]*reads {
	out := map[string]*reads{}
	for _, k := range trialKeys {
		out[k.key] = &reads{}
	}
	within := func(at time.Time) bool { return !at.Before(from) && !at.After(to) }
	day := func(at time.Time) string { return at.In(s.Zone()).Format(time.DateOnly) }
	if b.Bed != nil {
		for _, r := range b.Bed.Readings {
			if !within(r.At) {
				continue
			}
			if r.Temp != nil {
				out["temp_c"].add(day(r.At), float64(*r.Temp))
			}
			if r.Water != nil {
				out["water_frac_wet"].add(day(r.At), float64(*r.Water))
			}
		}
		for _, a := range b.Bed.Acts {
			if !within(a.At) {
				continue
			}
			switch {
			case a.Kind == farm.ActFeed && a.Matter.Wet() > 0:
				out["fed_kg_wet"].add("", float64(a.Matter.Wet()))
			case a.Kind == farm.ActTake && a.Mass > 0:
				out["castings_kg_wet"].add("", float64(a.Mass))
			}
		}
		for _, c := range b.Bed.Counts {
			if n, ok := wormsCounted(&c); ok && within(c.At) && c.Area != nil && *c.Area > 0 {
				out["worms_per_m2"].add("", n/float64(*c.Area))
			}
		}
	}
	for i := range b.Past {
		if p := &b.Past[i]; within(p.Until) && p.Harvested > 0 {
			out["castings_kg_wet"].add("", float64(p.Harvested))
		}
	}
	return out
}

func wormsCounted(c *farm.Count) (float64, bool) {
	n, ok := 0.0, false
	for _, x := range []*int{c.Adults, c.Juveniles} {
		if x != nil {
			n, ok = n+float64(*x), true
		}
	}
	return n, ok
}

// measure compares the sides in one thing; false where not two sides have it.
func measure(key string, byDay, total bool, got [][]map[string]*reads) (TrialMeasure, bool) {
	m := TrialMeasure{Key: key, Pairs: []TrialPair{}}
	common := commonDays(key, got)
	if byDay {
		m.Days = len(common)
	}
	values := make([][]float64, len(got))
	have := 0
	for i, side := range got {
		x := TrialSide{Side: i + 1}
		for _, bin := range side {
			sum, n, read := 0.0, 0, 0
			for _, d := range slices.Sorted(maps.Keys(bin[key].sum)) { // in order, so that the sum has the same bits
				s := bin[key].sum[d]
				if byDay && !common[d] {
					continue
				}
				read += bin[key].n[d]
				if byDay { // a day counts once, however many readings it has
					sum, n = sum+s/float64(bin[key].n[d]), n+1
				} else {
					sum, n = sum+s, n+bin[key].n[d]
				}
			}
			if n == 0 {
				continue
			}
			v := sum
			if !total {
				v = sum / float64(n)
			}
			values[i] = append(values[i], v)
			x.Read += read
		}
		x.Bins = len(values[i])
		if x.Bins > 0 {
			have++
			mean := 0.0
			for _, v := range values[i] {
				mean += v / float64(x.Bins)
			}
			x.Mean = &mean
		}
		m.Sides = append(m.Sides, x)
	}
	if have < 2 || len(values[0]) == 0 {
		return m, false
	}
	for i := 1; i < len(values); i++ {
		if len(values[i]) == 0 {
			continue
		}
		d := lab.Difference(values[i], values[0], trialConfidence)
		p := TrialPair{Side: i + 1, Difference: d.Difference, P: d.P, Verdict: "cannot tell"}
		if d.Told {
			p.Low, p.High = numberOf(d.Bounds.Low), numberOf(d.Bounds.High)
			switch {
			case d.P < trialDoubt && d.Difference > 0:
				p.Verdict = "more"
			case d.P < trialDoubt && d.Difference < 0:
				p.Verdict = "less"
			}
		}
		m.Pairs = append(m.Pairs, p)
	}
	return m, true
}

// commonDays gives the days on which something of every side was read.
func commonDays(key string, got [][]map[string]*reads) map[string]bool {
	sides := map[string]int{}
	for _, side := range got {
		here := map[string]bool{}
		for _, bin := range side {
			for d := range bin[key].sum {
				here[d] = true
			}
		}
		for d := range here {
			sides[d]++
		}
	}
	out := map[string]bool{}
	for d, n := range sides {
		if n == len(got) {
			out[d] = true
		}
	}
	return out
}

// TrialNamed gives one trial, or names that are near.
func TrialNamed(list TrialList, name string) (TrialList, error) {
	var out TrialList
	var names []string
	for _, t := range list.Trials {
		if strings.EqualFold(t.Name, strings.TrimSpace(name)) {
			out.Trials = append(out.Trials, t)
		}
		if !slices.Contains(names, t.Name) {
			names = append(names, t.Name)
		}
	}
	if len(out.Trials) > 0 {
		return out, nil
	}
	try := "Write the trial down first: its name and the bins of each side."
	if len(names) > 0 {
		try = "There are: " + strings.Join(names, ", ") + "."
	}
	return out, figure.Refuse("trial", fmt.Sprintf("No trial is called %q.", name), try)
}
