package web

import (
	"context"
	"math"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/qty"
)

// Pasts gives what the farm had and did, as it was reckoned with the round; nil
// when that was not done yet.
type Pasts interface {
	Past(ctx context.Context) (*app.Past, error)
}

// PastPicture is one quantity of the farm over time.
type PastPicture struct {
	FanShown
	Now string // the last value, in words
}

// farmPast draws what the farm had and did: stock of worms, feed eaten, castings
// made, air of each barn, minutes of work.
func (s *Server) farmPast(ctx context.Context, p person) ([]PastPicture, error) {
	from, ok := s.Rounds.(Pasts)
	if !ok {
		return nil, nil
	}
	past, err := from.Past(ctx)
	if err != nil || past == nil {
		return nil, err
	}
	var out []PastPicture
	add := func(title, caption, now string, f draw.Series) {
		n := len(f.Days)
		if n < 3 {
			return
		}
		if f.LowMid = nil; f.Low == nil {
			f.Low, f.High = f.Mid, f.Mid
		}
		f.Today, f.Height, f.From = f.Days[n-1]+1, 150, f.Days[0]
		f.Marks = mondays(p, time.Duration(-f.Days[0]*24)*time.Hour, f.Days[n-1])
		for _, v := range f.High {
			f.Most = math.Max(f.Most, v)
		}
		out = append(out, PastPicture{FanShown{Fan: draw.NewFan(f), Title: title, Alt: p.Say("past.alt", title, now), Caption: caption}, now})
	}
	mass := pickNumber(p.Units, 1/qty.KgPerPound, 1)
	unit := pick(p.Units, "lb", "kg")
	var worms, eaten, made draw.Series
	for _, d := range past.Days {
		at := dayOn(p, d.Day)
		worms.Days, eaten.Days, made.Days = append(worms.Days, at), append(eaten.Days, at), append(made.Days, at)
		worms.Low, worms.Mid, worms.High = append(worms.Low, mass*d.Worms.Low), append(worms.Mid, mass*d.Worms.Mid), append(worms.High, mass*d.Worms.High)
		eaten.Mid, made.Mid = append(eaten.Mid, mass*d.EatenKg), append(made.Mid, mass*d.MadeKg)
	}
	if n := len(past.Days); n > 0 {
		d := past.Days[n-1]
		add(p.Say("past.worms", unit), p.Say("past.wormssay"), rangeKg(p, d.Worms.Low, d.Worms.Mid, d.Worms.High), worms)
		add(p.Say("past.eaten", unit), p.Say("past.eatensay"), printable(p.Units.Mass(d.EatenKg)), eaten)
		add(p.Say("past.made", unit), p.Say("past.madesay"), printable(p.Units.Mass(d.MadeKg)), made)
	}
	for _, a := range past.Air {
		f := draw.Series{Least: p.degrees(0), Most: p.degrees(15), Unit: "°"}
		for i := range a.Mean {
			f.Days = append(f.Days, dayOn(p, a.From.AddDate(0, 0, i))+0.5)
			f.Low, f.Mid, f.High = append(f.Low, p.degrees(a.LowC[i])), append(f.Mid, p.degrees(a.Mean[i])), append(f.High, p.degrees(a.High[i]))
		}
		n := len(a.Mean) - 1
		add(p.Say("past.air", p.barn(a.Barn)), p.Say("past.airsay"), p.Say("barn.lowhighsay", p.temperatureUnit(a.LowC[n]), p.temperatureUnit(a.High[n])), f)
	}
	var work draw.Series
	for _, w := range past.Weeks {
		work.Days, work.Mid = append(work.Days, dayOn(p, w.From)), append(work.Mid, w.Minutes/60)
	}
	if n := len(past.Weeks); n > 0 {
		add(p.Say("past.work"), p.Say("past.worksay"), p.Words.Span(past.Weeks[n-1].Minutes), work)
	}
	return out, nil
}
