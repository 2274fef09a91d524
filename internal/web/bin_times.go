package web

import (
	"encoding/json"
	"slices"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/qty"
	"wormyard/twin"
)

// TimesShown is what was and what is likely in a bed over one axis of time: as
// a drawing, as numbers for the island that draws it anew, and as a table.
type TimesShown struct {
	draw.Times
	Title, Alt, Caption, Pick string
	Data                      string // draw.Chart
	Said                      string // of today
	WarmHead, WetHead         string
	Days                      []DayShown
}

// DayShown is one day of it in words.
type DayShown struct{ Day, Warm, Wet, Done string }

const timesBack = 21 * 24 * time.Hour

// doneThen is something done or read, with its words.
type doneThen struct {
	at   time.Time
	lane string // empty for a reading
	say  string
}

// binTimes draws a bed: what was worked out of the last weeks and of the coming
// days, what was read, and what was done.
func binTimes(p person, b *farm.Bin, o *app.Outlook) (*TimesShown, error) {
	if len(o.Ahead) < 2 || b.Bed == nil {
		return nil, nil
	}
	unit := pick(p.Units, "°F", "°C")
	warm := draw.TimePanel{Class: "warm", Title: p.Say("times.warm", unit)}
	wet := draw.TimePanel{Class: "wet", Title: p.Say("times.wet")}
	warm.Least, warm.Most, warm.Height = p.degrees(5), p.degrees(37), 196
	wet.Least, wet.Most, wet.Height = 55, 85, 126
	warm.Limits = []draw.ValueLimit{{Value: p.degrees(float64(alarmC)), Label: p.Say("limit.alarm", p.Units.Temperature(alarmC))}, {Value: p.degrees(float64(refugeC)), Label: p.Say("limit.refuge", p.Units.Temperature(refugeC))}}
	done, lanes := doneInBed(p, b, o, &warm, &wet)
	out := &TimesShown{Title: p.Say("times.title"), Alt: p.Say("times.alt"), Caption: p.Say("times.caption"), Pick: p.Say("times.pick"), WarmHead: p.Say("times.warmhead", unit), WetHead: p.Say("times.wethead")}
	days := make([]app.DayRange, 0, len(o.Past)+len(o.Ahead))
	for _, d := range slices.Concat(o.Past, o.Ahead) {
		if n := len(days); n == 0 || d.Day.After(days[n-1].Day) {
			days = append(days, d)
		}
	}
	percent := func(v float64) float64 { return 100 * v }
	var said []string
	halves := true
	for _, d := range days {
		halves = halves && d.HalfC != nil && d.HalfWater != nil
	}
	for _, d := range days {
		at := dayOn(p, d.Day)
		addDay(&warm.Series, at, d.Warmest, d.HalfC, halves, p.degrees)
		addDay(&wet.Series, at, d.Water, d.HalfWater, halves, percent)
		x := DayShown{Day: p.Words.Short(d.Day.In(p.Zone)), Warm: rangeSay(p, d.Warmest, p.temperature), Wet: rangeSay(p, d.Water, percentNumber)}
		var then []string
		for _, y := range done {
			if y.at.After(d.Day.Add(-24*time.Hour)) && !y.at.After(d.Day) {
				then = append(then, y.say)
			}
		}
		say := p.Say("times.said", x.Day, rangeSay(p, d.Warmest, p.temperatureUnit), rangeSay(p, d.Water, qty.Percent100))
		if len(then) > 0 {
			x.Done = p.Words.List(then)
			say = p.Say("times.saiddone", say, x.Done)
		}
		said, out.Days = append(said, printable(say)), append(out.Days, x)
		if at <= 0.5 {
			out.Said = printable(say)
		}
	}
	if out.Said == "" {
		out.Said = said[0]
	}
	warm.From, wet.From = -timesBack.Hours()/24, -timesBack.Hours()/24
	out.Times = draw.NewTimes([]draw.TimePanel{warm, wet}, lanes, mondays(p, timesBack, warm.Days[len(warm.Days)-1]), p.Say("draw.today"), said)
	data, err := json.Marshal(out.Chart)
	out.Data = string(data)
	return out, err
}

// addDay adds a day's range to a series; halves says whether all days have
// their inner half.
func addDay(s *draw.Series, at float64, r twin.Range, h *twin.Half, halves bool, unit func(float64) float64) {
	s.Days = append(s.Days, at)
	s.Low, s.Mid, s.High = append(s.Low, unit(r.Low)), append(s.Mid, unit(r.Mid)), append(s.High, unit(r.High))
	if halves {
		s.LowMid, s.HighMid = append(s.LowMid, unit(h.Low)), append(s.HighMid, unit(h.High))
	}
}

// mondays gives marks of the time axis, four at most.
func mondays(p person, back time.Duration, last float64) []draw.TimeMark {
	var all []draw.TimeMark
	for t := midnight(p.Now.Add(-back)); dayOn(p, t) <= last; t = t.AddDate(0, 0, 1) {
		if t.Weekday() == time.Monday {
			all = append(all, draw.TimeMark{Day: dayOn(p, t), Label: p.Words.Tick(t)})
		}
	}
	step := (len(all) + 3) / 4
	var out []draw.TimeMark
	for i := 0; i < len(all); i += max(1, step) {
		out = append(out, all[i])
	}
	return out
}

// doneInBed gives what was done and read in the time shown, the oldest first,
// puts readings on their quantity and acts on their lanes.
func doneInBed(p person, b *farm.Bin, o *app.Outlook, warm, wet *draw.TimePanel) ([]doneThen, []draw.TimeLane) {
	from := p.Now.Add(-timesBack)
	lanes := []draw.TimeLane{{Class: "fed", Label: p.Say("times.fed")}, {Class: "watered", Label: p.Say("times.watered")}, {Class: "looked", Label: p.Say("times.looked")}, {Class: "turned", Label: p.Say("times.turned")}, {Class: "other", Label: p.Say("times.other")}}
	var done []doneThen
	add := func(at time.Time, lane int, say string) {
		if at.Before(from) || at.After(p.Now) {
			return
		}
		l := &lanes[lane]
		done = append(done, doneThen{at, l.Class, say})
		l.Events = append(l.Events, draw.TimeEvent{Day: dayOn(p, at), Label: p.Say("draw.done", say, p.Moment(at))})
	}
	for _, a := range b.Bed.Acts {
		switch a.Kind {
		case farm.ActFeed:
			add(a.At, 0, lanes[0].Label)
		case farm.ActWater:
			add(a.At, 1, lanes[1].Label)
		case farm.ActTurn:
			add(a.At, 3, lanes[3].Label)
		default:
			add(a.At, 4, p.Say("times.act."+string(a.Kind)))
		}
	}
	for _, l := range b.Bed.Looks {
		add(l.At, 2, lanes[2].Label)
	}
	span := pickNumber(p.Units, 1.8, 1)
	for _, x := range farm.Since(b.Bed.Readings, from) {
		if x.Temp != nil {
			off := float64(o.Probes.Temp(x.Probe)) * span
			say := p.Say("times.read", p.Units.Temperature(*x.Temp), whole(off))
			warm.Readings = append(warm.Readings, draw.TimeReading{Day: dayOn(p, x.At), Value: p.degrees(float64(*x.Temp)), Off: off, Label: p.Say("draw.done", say, p.Moment(x.At))})
			done = append(done, doneThen{at: x.At, say: say})
		}
		if x.Water != nil {
			say := p.Say("times.read", qty.Percent100(float64(*x.Water)), percentNumber(o.Probes.Water))
			wet.Readings = append(wet.Readings, draw.TimeReading{Day: dayOn(p, x.At), Value: 100 * float64(*x.Water), Off: 100 * o.Probes.Water, Label: p.Say("draw.done", say, p.Moment(x.At))})
			done = append(done, doneThen{at: x.At, say: say})
		}
	}
	warm.Readings, wet.Readings = thinned(warm.Readings, 40), thinned(wet.Readings, 40)
	slices.SortStableFunc(done, func(a, b doneThen) int { return a.at.Compare(b.at) })
	return done, lanes
}
