package web

import (
	"strings"

	"wormyard/internal/app"
	"wormyard/qty"
	"wormyard/round"
)

// askAnswers gives the buttons of a line that asks.
func (s *Server) askAnswers(p person, l, open round.Line) []Answer {
	post := func(label, said string, main bool) Answer {
		return Answer{Label: label, To: lineTo(l, "/answer"), ID: s.NewID(p.Now), Value: said, Post: true, Main: main, Facts: factsOf(app.Answer(open, said, ""))}
	}
	return []Answer{
		post(p.Say("ask.fed", p.Words.Day(app.AskedAt(l).In(p.Zone))), app.SaidFed, true), {Label: p.Say("ask.other"), To: lineTo(l, "/except")},
		post(p.Say("ask.not"), app.SaidNotFed, false), post(p.Say("ask.nobody"), app.SaidNobody, false), {Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true},
	}
}

// askSheet lays out the form of a feeding that was made otherwise than usual.
func (s *Server) askSheet(p person, l round.Line, sh *slip) {
	first := l.Items[0].Asked
	sh.kind, sh.open = "feed", []string{"depth_m", "batch", "bins"}
	sh.offer["depth_m"], sh.preset["depth_m"] = depthChips(p), depthText(p, qty.Metre(first.DepthM))
	sh.offer["batch"], sh.preset["batch"] = s.batchChips(p, first.Mix), first.Mix
}

// askWhen gives what the form of a line that asks says of its time.
func askWhen(p person, l round.Line) values {
	if l.Act != round.Ask {
		return values{}
	}
	return values{"at": app.AskedAt(l).In(p.Zone).Format(momentLayout)}
}

// askFields carries along on the form what was asked, so that the entry answers it
// wherever and whenever it is sent from.
func askFields(l round.Line) []Field {
	if l.Act != round.Ask {
		return nil
	}
	return []Field{
		{Name: "asked_day", Value: l.Items[0].Asked.Day, Hidden: true},
		{Name: "asked_bins", Value: strings.Join(l.Bins(), "\n"), Hidden: true},
	}
}
