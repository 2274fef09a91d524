package app

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/twin"
)

// plainly is what the farm read, for the two plain forecasts that the twins are held
// against.
type plainly struct {
	by map[twin.Kind][]atHour // in order of hour
}

// atHour is one number that was read.
type atHour struct {
	hour, recorded int64
	bin            string
	depth, v       float64
}

// newPlain gathers what was read and counts.
func newPlain(all []journal.Entry, s *farm.State) *plainly {
	p := &plainly{map[twin.Kind][]atHour{}}
	for i := range all {
		e := &all[i]
		add := func(k twin.Kind, bin string, depth, v float64) {
			if !math.IsNaN(v) && !math.IsInf(v, 0) && bin != "" {
				p.by[k] = append(p.by[k], atHour{e.At.Unix() / 3600, (e.Recorded.Unix() + 3599) / 3600, bin, depth, v})
			}
		}
		switch e.Body.(type) {
		case *journal.Reading, *journal.Depth, *journal.Weigh, *journal.Count:
			if _, counts, found := s.Entry(e.ID); !found || !counts {
				continue
			}
		}
		switch b := e.Body.(type) {
		case *journal.Reading:
			depth := 0.0
			if b.DepthM != nil {
				depth = float64(*b.DepthM)
			}
			if b.TempC != nil {
				add(twin.Temperature, b.Bin, depth, float64(*b.TempC))
			}
			if b.WaterFracWet != nil {
				add(twin.Moisture, b.Bin, depth, float64(*b.WaterFracWet))
			}
		case *journal.Depth:
			for _, bin := range b.Bins {
				add(twin.Height, bin, 0, float64(b.DepthM))
			}
		case *journal.Weigh:
			add(twin.Weighed, b.Bin, 0, float64(b.MassKg))
		case *journal.Count:
			if b.AreaM2 == nil || *b.AreaM2 <= 0 {
				continue
			}
			if b.WormsKg != nil && *b.WormsKg > 0 { // none has no logarithm
				add(twin.WormsKg, b.Bin, 0, math.Log(float64(*b.WormsKg)/float64(*b.AreaM2)))
			}
			n := 0
			for _, k := range []*int{b.Adults, b.Juveniles} {
				if k != nil {
					n += *k
				}
			}
			if n > 0 {
				add(twin.WormsNumber, b.Bin, 0, math.Log(float64(n)/float64(*b.AreaM2)))
			}
		}
	}
	for k, list := range p.by {
		slices.SortStableFunc(list, func(a, b atHour) int { return cmp.Compare(a.hour, b.hour) })
		type place struct {
			bin  string
			deep int
			day  int64
		}
		seen := map[place]bool{}
		p.by[k] = slices.DeleteFunc(list, func(x atHour) bool { // as of a logger, one a day
			at := place{x.bin, int(math.Round(x.depth / 0.05)), x.hour / 24}
			was := seen[at]
			seen[at] = true
			return was
		})
	}
	return p
}

const (
	fewest    = 10      // numbers of which a plain forecast can be made
	mostPairs = 2000    // readings of which it is made
	sameDeep  = 0.1     // how near two readings count as of one depth [m]
	sameTime  = 45 * 24 // about the time of the year [h]
	yearHours = 365.25 * 24
)

// score puts down how the plain forecasts did where the twins had one.
// docs/model.md (T20).
func (p *plainly) score(s *twin.Score) {
	s.LastCRPS, s.SeasonCRPS = math.NaN(), math.NaN()
	if v := p.last(s); len(v) >= fewest {
		s.LastCRPS = twin.Foretell(v, 0).CRPS(s.Told)
	}
	if v := p.season(s); len(v) >= fewest {
		s.SeasonCRPS = twin.Foretell(v, 0).CRPS(s.Told)
	}
}

// season gives what was read on the farm by the issue within sameTime of the time
// of the year.
func (p *plainly) season(s *twin.Score) (out []float64) {
	for _, x := range p.by[s.Kind] {
		if x.recorded > s.Issue || x.hour > s.Issue {
			continue
		}
		off := math.Mod(math.Abs(float64(s.Hour-x.hour)), yearHours)
		if math.Min(off, yearHours-off) <= sameTime {
			out = append(out, x.v)
		}
	}
	return thin(out)
}

// last gives the last reading of the bin at the depth, damped and dressed by how far
// readings of one bin so long apart lay from one another on the farm by the issue.
func (p *plainly) last(s *twin.Score) []float64 {
	by := map[string][]atHour{}
	var was *atHour
	for _, x := range p.by[s.Kind] {
		if x.recorded > s.Issue || x.hour > s.Issue {
			continue
		}
		by[x.bin] = append(by[x.bin], x)
		if x.bin == s.Bin && math.Abs(x.depth-s.DepthM) <= sameDeep {
			was = &x
		}
	}
	if was == nil {
		return nil
	}
	lag := float64(s.Hour - was.hour)
	var a, b []float64
	for _, bin := range slices.Sorted(maps.Keys(by)) {
		list := by[bin]
		for i := len(list) - 1; i >= 0 && len(a) < mostPairs; i-- {
			for k := i - 1; k >= 0; k-- {
				apart := float64(list[i].hour - list[k].hour)
				if apart > 1.5*lag {
					break
				}
				if apart >= lag/1.5 && math.Abs(list[i].depth-list[k].depth) <= sameDeep {
					a, b = append(a, list[k].v), append(b, list[i].v)
				}
			}
		}
	}
	if len(a) < fewest {
		return nil
	}
	ma, mb := mean(a), mean(b)
	var ab, aa float64
	for i := range a {
		ab, aa = ab+(a[i]-ma)*(b[i]-mb), aa+(a[i]-ma)*(a[i]-ma)
	}
	keeps := 0.0
	if aa > 0 {
		keeps = min(max(ab/aa, 0), 1)
	}
	out := make([]float64, len(a))
	for i := range a {
		out[i] = mb + keeps*(was.v-ma) + (b[i] - mb - keeps*(a[i]-ma))
	}
	return thin(out)
}

// thin leaves as many of many values, evenly, as twins have members.
func thin(v []float64) []float64 {
	if len(v) <= twin.Members {
		return v
	}
	slices.Sort(v)
	out := make([]float64, twin.Members)
	for i := range out {
		out[i] = v[int((float64(i)+0.5)*float64(len(v))/twin.Members)]
	}
	return out
}

func mean(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}
