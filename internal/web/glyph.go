package web

import "wormyard/round"

// Glyph is a small drawing of an act; the word always stands with it.
type Glyph struct {
	Label   string
	Strokes []Stroke
}

// Stroke is one path of a glyph.
type Stroke struct{ D, Class string }

const (
	boxOpen   = "M4 14v28h44V14"
	boxClosed = "M4 14h44v28H4z"
)

var glyphs = map[round.Act][]Stroke{
	round.Open:    {{D: boxClosed}, {D: "M4 14 40 3"}, {D: "M14 36q4-6 0-11M26 36q4-6 0-11M38 36q4-6 0-11"}},
	round.Feed:    {{D: "M4 12v30h44V12"}, {D: "M9 26h34M9 33h34", Class: "thick"}, {D: "M26 2v15m-6-6 6 6 6-6"}},
	round.Water:   {{D: boxOpen}, {D: "M16 4q5 8 0 12-5-4 0-12M36 4q5 8 0 12-5-4 0-12"}, {D: "M9 30q5-5 10 0t10 0 10 0"}},
	round.Wet:     {{D: "M4 42q22-46 44 0z"}, {D: "M16 3q5 7 0 11-5-4 0-11M36 3q5 7 0 11-5-4 0-11"}},
	round.Cover:   {{D: boxOpen}, {D: "M2 14q24-12 48 0"}, {D: "M10 30h32"}},
	round.Warm:    {{D: boxClosed}, {D: "M14 36q4-6 0-14M26 36q4-6 0-14M38 36q4-6 0-14"}, {D: "M2 6h48"}},
	round.Rest:    {{D: boxClosed}, {D: "M14 28h24"}},
	round.Look:    {{D: boxClosed}, {D: "M12 28q14-14 28 0-14 14-28 0z"}, {D: "M26 25v6", Class: "thick"}},
	round.Harvest: {{D: boxOpen}, {D: "M26 30V6m-7 7 7-7 7 7"}, {D: "M12 36h2M20 36h2M28 36h2M36 36h2", Class: "thick"}},
	round.Split:   {{D: "M3 16v24h20V16M29 16v24h20V16"}, {D: "M12 8h28m-5-5 5 5-5 5"}},
	round.Turn:    {{D: "M4 42q22-40 44 0z"}, {D: "M15 12a12 9 0 0 1 22 0m1-8-1 8-8-1"}},
	round.Blend:   {{D: "M3 42q11-24 22 0zM27 42q11-24 22 0z"}, {D: "M14 14c4-10 20-10 24 0m2-7-2 7-7-1"}},
	round.Ask:     {{D: boxClosed}, {D: "M20 24q0-5 6-5t6 5q0 4-6 6v2"}, {D: "M26 36v2", Class: "thick"}},
	round.Mend:    {{D: boxClosed}, {D: "M26 19v18M17 28h18", Class: "thick"}},
	round.Helped:  {{D: boxClosed}, {D: "M15 28l8 8 14-16"}},
	round.Wait:    {{D: "M4 42q22-40 44 0z"}, {D: "M26 20v10l7 4"}},
	round.Measure: {{D: "M4 42q22-40 44 0z"}, {D: "M26 2v26"}, {D: "M20 2h12"}},
}

func glyph(p person, act round.Act) Glyph {
	strokes := glyphs[act]
	if strokes == nil {
		strokes = glyphs[round.Rest]
	}
	return Glyph{Label: p.actWord(act), Strokes: strokes}
}

// actWord gives an act as one word.
func (p person) actWord(act round.Act) string {
	key := "act." + string(act)
	if !p.Words.Has(key) {
		return string(act)
	}
	return p.Say(key)
}

// strip gives the texture of an act; what cannot wait is solid.
func strip(act round.Act, u round.Urgency) string {
	if u == round.Now {
		return "now"
	}
	return string(act)
}
