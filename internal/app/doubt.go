package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"wormyard/farm"
	"wormyard/internal/nature"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// Expecting tells what is to be expected of a bed at a depth and about a time, as
// worked out last; false where nothing was.
type Expecting func(bin string, depth qty.Metre, at time.Time) (twin.Range, bool)

// wondered asks about what is likely a slip of the one who wrote: a temperature
// that fits only in the other scale, and the wrong year. docs/model.md (P2), (P5).
func (a *App) wondered(e *journal.Entry, now time.Time) (ps []journal.Problem) {
	s, l := a.State(), a.trade.Limits
	doubt := func(field, say, try string) {
		ps = append(ps, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Doubtful})
	}
	if late := now.Sub(e.At).Hours() / 24; l.YearOff(late, 0) && prompt(s, e.Device, now, l.PromptDays) {
		years, _ := twin.WholeYears(late)
		right := e.At.AddDate(years, 0, 0).In(s.Zone())
		doubt("at", fmt.Sprintf("The day is %s, and everything else that was written here of late is of these days.", e.At.In(s.Zone()).Format("2 January 2006")),
			fmt.Sprintf("If it was %s, type that year; if the year is right, say yes.", right.Format("2 January 2006")))
	}
	switch b := e.Body.(type) {
	case *journal.Stock:
		return append(ps, a.crowded(s, b)...)
	case *journal.Count:
		return append(ps, a.teeming(s, b)...)
	}
	r, ok := e.Body.(*journal.Reading)
	if !ok || r.TempC == nil || r.Bin == "" {
		return ps
	}
	var as, expect float64
	known := false
	for i, x := range a.expected(s, r, e.At) {
		other, is := l.Mistaken(float64(*r.TempC), x.Low, x.High)
		if !is { // as good as any of them, it is asked for nothing
			return ps
		}
		if i == 0 {
			as, expect, known = other, x.Mid, true
		}
	}
	if known {
		ps = append(ps, otherScale(s.Settings.Units, *r.TempC, qty.Celsius(as), qty.Celsius(expect)))
	}
	return ps
}

// oldClocks asks about the day of all that a thermometer says in a file, where the
// last of it is whole years old to a few days. docs/model.md (P2).
func (a *App) oldClocks(rows []journal.Entry, out map[string][]journal.Problem) {
	type probe struct{ kind, id string }
	of := func(e *journal.Entry) (probe, bool) {
		r, ok := e.Body.(*journal.Reading)
		if !ok {
			return probe{}, false
		}
		return probe{r.Probe, r.ProbeID}, true
	}
	last := map[probe]*journal.Entry{}
	for i := range rows {
		if p, ok := of(&rows[i]); ok && (last[p] == nil || rows[i].At.After(last[p].At)) {
			last[p] = &rows[i]
		}
	}
	for i := range rows {
		e := &rows[i]
		p, ok := of(e)
		if !ok || !a.yearsOld(last[p]) {
			continue
		}
		day := last[p].At.In(a.State().Zone())
		years, _ := twin.WholeYears(a.Clock().Sub(day).Hours() / 24)
		out[e.ID] = append(out[e.ID], journal.Problem{Field: "at", Level: journal.Doubtful,
			Say: fmt.Sprintf("What this thermometer said ends on %s, whole years before today. The clock that gave the days may have the wrong year.", day.Format("2 January 2006")),
			Try: fmt.Sprintf("If it ended on %s, mend the years in the file; if the days are right, say yes.", day.AddDate(years, 0, 0).Format("2 January 2006"))})
	}
}

// crowded asks about more worms than a bed keeps, and than the bin that they come
// from is likely to have.
func (a *App) crowded(s *farm.State, b *journal.Stock) (ps []journal.Problem) {
	u := s.Settings.Units
	n, err := nature.Load()
	if err != nil { // whoever makes the round says so
		return nil
	}
	for _, name := range b.Bins {
		bin, ok := s.Bin(name)
		if !ok || bin.Box.Area() <= 0 {
			continue
		}
		area := float64(bin.Box.Area())
		if most := n.Bed.Worm.CrowdFull * area; float64(b.Kg) > most {
			ps = append(ps, journal.Problem{Field: "kg", Level: journal.Doubtful,
				Say: fmt.Sprintf("%s of worms in bin %s: a bed of its size is well stocked with %s and holds %s at the very most.", u.Mass(float64(b.Kg)), name, u.Mass(n.Bed.Worm.CrowdFrom*area), u.Mass(most)),
				Try: "Type the mass in each bin again, or say yes if it is right."})
			break
		}
	}
	if a.ExpectWorms == nil || b.FromBin == "" {
		return ps
	}
	all := float64(b.Kg) * float64(len(b.Bins))
	if x, ok := a.ExpectWorms(b.FromBin); ok && all > x.High {
		ps = append(ps, journal.Problem{Field: "from_bin", Level: journal.Doubtful,
			Say: fmt.Sprintf("%s of worms come out of bin %s, and by the forecast it holds %s at most.", u.Mass(all), b.FromBin, u.Mass(math.Max(x.High, 0))),
			Try: "Look at the mass and at the bin again, or say yes if they were weighed."})
	}
	return ps
}

// teeming asks about a count of more worms than a bed keeps.
func (a *App) teeming(s *farm.State, b *journal.Count) []journal.Problem {
	n, err := nature.Load()
	bin, ok := s.Bin(b.Bin)
	if err != nil || !ok {
		return nil
	}
	area := bin.Box.Area()
	if b.AreaM2 != nil {
		area = *b.AreaM2
	}
	w := &n.Bed.Worm
	field, kg := "adults", 0.0 // at least
	switch {
	case b.WormsKg != nil:
		field, kg = "worms_kg", float64(*b.WormsKg)
	case b.Adults != nil:
		kg = float64(*b.Adults) * w.MatureG / 1e3
	case b.Juveniles != nil:
		field, kg = "juveniles", float64(*b.Juveniles)*w.HatchlingG/1e3
	}
	most := w.CrowdFull * float64(area)
	if area <= 0 || kg <= most {
		return nil
	}
	u := s.Settings.Units
	return []journal.Problem{{Field: field, Level: journal.Doubtful,
		Say: fmt.Sprintf("That is %s of worms at least, and no bed is known to hold more than %s on as much ground.", u.Mass(kg), u.Mass(most)),
		Try: "Look at the number and at the area that was dug again, or say yes if both are right."}}
}

// otherScale asks about a temperature that fits only in the other scale, as so
// much, in a bed that was to be expected at so much, NaN where nobody can say.
func otherScale(u qty.System, c, as, expect qty.Celsius) journal.Problem {
	typed, meant := farm.OtherScale(c, as)
	which := farm.Meant(u, meant, as)
	p := journal.Problem{Field: "temp_c", Level: journal.Doubtful,
		Say: fmt.Sprintf("%s in a bed. Did you mean %s?", typed, which),
		Try: fmt.Sprintf("If so, type %s; if %s is right, say yes.", meant, typed)}
	if !math.IsNaN(float64(expect)) {
		p.Say = fmt.Sprintf("%s in a bed that should be about %s. Did you mean %s?", typed, u.Temperature(expect), which)
	}
	return p
}

// prompt says whether a device wrote something of the last days.
func prompt(s *farm.State, device string, now time.Time, days float64) bool {
	if device == "" {
		return false
	}
	all := s.Journal()
	from := now.Add(-time.Duration(days * float64(24*time.Hour)))
	for i := len(all) - 1; i >= 0 && all[i].At.After(from); i-- {
		if all[i].Device == device && now.Sub(all[i].Recorded) < 24*time.Hour {
			return true
		}
	}
	return false
}

// expected gives what a temperature of a bed may be by each that tells: the twins,
// what was read in the bed about then, and where neither does, what beds are.
func (a *App) expected(s *farm.State, r *journal.Reading, at time.Time) (out []twin.Range) {
	l := a.trade.Limits
	if a.Expect != nil && r.DepthM != nil {
		if x, ok := a.Expect(r.Bin, *r.DepthM, at); ok {
			out = append(out, x)
		}
	}
	within := time.Duration(l.UnitDays * float64(24*time.Hour))
	b, ok := s.Bin(r.Bin)
	if !ok {
		return out
	}
	if b.Bed != nil {
		read := b.Bed.Readings
		if a.odd(float64(*r.TempC)) { // else what is not believed makes no difference, and asking for it takes long
			read = s.Believed(r.Bin)
		}
		if about := temps(read, at, within); len(about) > 0 {
			mid := twin.RangeOf(about).Mid
			out = append(out, twin.Range{Low: mid, Mid: mid, High: mid})
		}
	}
	if len(out) > 0 {
		return out
	}
	return []twin.Range{a.usualOf(s, b, at)}
}

// usualOf gives what is to be expected of a bed of which nothing was read, as far
// as the air of its barn tells [C].
func (a *App) usualOf(s *farm.State, b *farm.Bin, at time.Time) twin.Range {
	within := time.Duration(a.trade.Limits.UnitDays * float64(24*time.Hour))
	x := twin.Range{Mid: math.NaN()}
	x.Low, x.High = a.trade.Limits.Usual(s.AirAbout(b.Slot.Barn, at, within)...)
	return x
}

// most is how many readings tell what is to be expected.
const most = 24

// temps gives the last temperatures that were read about a time [C].
func temps(all []*farm.Reading, at time.Time, within time.Duration) (out []float64) {
	i, _ := slices.BinarySearchFunc(all, at.Add(within), func(r *farm.Reading, t time.Time) int { return r.At.Compare(t) })
	for i--; i >= 0 && len(out) < most && !all[i].At.Before(at.Add(-within)); i-- {
		if all[i].Temp != nil {
			out = append(out, float64(*all[i].Temp))
		}
	}
	return out
}

// expectWorms gives how many worms the newest outlook of a bin has [kg live], where
// it is of these days. It is quick.
func (t *Twins) expectWorms(bin string) (twin.Range, bool) {
	v, err := t.Outlook(context.Background(), bin)
	if err != nil || v == nil || t.App.Now().Sub(v.Made).Abs() > 3*24*time.Hour {
		return twin.Range{}, false
	}
	return v.Worms, true
}

// expect gives what the newest outlook of a bed says of a depth, where it is of
// these days. It is quick.
func (t *Twins) expect(bin string, depth qty.Metre, at time.Time) (twin.Range, bool) {
	v, err := t.Outlook(context.Background(), bin)
	if err != nil || v == nil || at.Sub(v.Made).Abs() > 3*24*time.Hour {
		return twin.Range{}, false
	}
	deep := 0.0
	for i := range v.Layers {
		l := &v.Layers[i]
		if deep += l.Thick.Mid; deep >= float64(depth) || i == len(v.Layers)-1 {
			return l.Temp, true
		}
	}
	return twin.Range{}, false
}
