package app

import (
	"encoding/json"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/journal"
	"wormyard/lab"
	"wormyard/slide"
)

// CountAnswer is the answer of wormyard count: what a count says, and the entry when
// it was written down.
type CountAnswer struct {
	Kind      string           `json:"kind"` // "count" of worms, or "microscope"
	Of        string           `json:"of"`
	Counted   []Counted        `json:"counted"`
	Ratio     *CountRatio      `json:"fungi_to_bacteria,omitempty"`
	SpeaksFor string           `json:"speaks_for"`         // "slide", or "sample" of a bed
	Doubts    []figure.Problem `json:"doubts,omitempty"`   // what is unusual, asked about before it is written down
	Recorded  string           `json:"recorded,omitempty"` // id of the entry
}

// CountRatio is fungi to bacteria by dry mass.
type CountRatio struct {
	Ratio float64  `json:"ratio"`
	Low   *float64 `json:"low"` // null where no limits can be given
	High  *float64 `json:"high"`
}

// Counted is one thing that was counted. Low and high are of the rate, by counting
// alone for worms and for the slide with its clumps otherwise; where none was seen
// high is the limit.
type Counted struct {
	What   string   `json:"what"`
	Seen   float64  `json:"seen"` // threads: length [um]
	Fields int      `json:"fields,omitempty"`
	Rate   float64  `json:"rate"`
	Unit   string   `json:"unit"`
	Low    float64  `json:"low"`
	High   float64  `json:"high"`
	None   bool     `json:"none_seen"`
	Whole  *float64 `json:"in_bin,omitempty"` // were the bin like the sample all over
	MassUg *float64 `json:"ug_per_g,omitempty"`
}

// CountBody reads the body of a count: of worms in a bin, or of a slide.
func CountBody(data []byte) (kind string, body any, err error) {
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(data, &keys); err != nil {
		return "", nil, figure.Refuse("", "That is not a JSON object.", "Give the body of a count, as docs/entries.md has it.")
	}
	kind = "count"
	for _, k := range []string{"fields", "lot", "objective_x", "dilution", "group"} {
		if _, ok := keys[k]; ok {
			kind = "microscope"
		}
	}
	body, ps := journal.Decode(kind, data)
	return kind, body, refusedOf(ps)
}

// refusedOf turns what is refused into an error; nil where nothing is.
func refusedOf(ps []journal.Problem) error {
	var bad figure.Problems
	for _, p := range ps {
		if p.Level == journal.Refused {
			bad.Add(p.Field, p.Say, p.Try)
		}
	}
	return bad.Refuse()
}

// CountSaid gives what a count would say, without writing it.
func CountSaid(s *farm.State, kind string, body any, id string, now time.Time) (CountAnswer, error) {
	out := CountAnswer{Kind: kind, Counted: []Counted{}}
	e := journal.Entry{ID: id, Kind: kind, At: now.UTC(), Body: body}
	ps := append(journal.Check(&e, journal.Known{Units: s.Settings.Units, Zone: s.Zone(), Now: now}), against(s, &e)...)
	if err := refusedOf(ps); err != nil {
		return out, err
	}
	for _, p := range ps {
		out.Doubts = append(out.Doubts, figure.Problem{Field: p.Field, Say: p.Say, Try: p.Try})
	}
	numbers, err := numbersOfNature()
	if err != nil {
		return out, err
	}
	switch b := body.(type) {
	case *journal.Microscope:
		out.Of, out.SpeaksFor = "lot "+b.Lot, "slide"
		if b.Lot == "" {
			out.Of = "bin " + b.Bin
		}
		g := GlassOf(&e, b, s.Zone())
		if g.Count.Optics == nil {
			return out, figure.Refuse("objective_x", "How the slide was looked at is not all said, so fields cannot be brought to a gram.", "Give objective_x and field_number_mm or field_area_mm2, and cover_mm, drop_ml and dilution.")
		}
		a := numbers.Slide.Say([]slide.Count{g.Count})
		for _, k := range a.Groups {
			c := Counted{What: string(k.Group), Seen: k.Seen, Fields: k.Fields, Rate: k.PerGram, Unit: "1/g wet", Low: k.Low, High: k.High, None: k.None}
			if k.Group == slide.Threads {
				c.Unit = "m/g wet"
			}
			if k.Mass != nil {
				c.MassUg = numberOf(k.MassBest)
			}
			out.Counted = append(out.Counted, c)
		}
		if r := a.Ratio; r != nil {
			out.Ratio = &CountRatio{Ratio: r.Best}
			if r.Finite {
				out.Ratio.Low, out.Ratio.High = numberOf(r.Low), numberOf(r.High)
			}
		}
	case *journal.Count:
		out.Of, out.SpeaksFor = "bin "+b.Bin, "sample"
		over, unit := float64(or0(b.AreaM2)), "1/m2"
		if over == 0 {
			over, unit = float64(or0(b.MassKgWet)), "1/kg wet"
		}
		bin, known := s.Bin(b.Bin)
		for _, x := range []struct {
			what string
			n    *int
		}{{"adults", b.Adults}, {"juveniles", b.Juveniles}, {"cocoons", b.Cocoons}} {
			if x.n == nil || over == 0 {
				continue
			}
			n := float64(*x.n)
			i := lab.Poisson(n, numbers.Lab.Confidence)
			c := Counted{What: x.what, Seen: n, Rate: n / over, Unit: unit, Low: i.Low / over, High: i.High / over, None: n == 0}
			if c.None {
				c.High = lab.NothingSeen(numbers.Lab.Confidence) / over
			}
			if known && unit == "1/m2" && bin.Box.Area() > 0 {
				c.Whole = numberOf(c.Rate * float64(bin.Box.Area()))
			}
			out.Counted = append(out.Counted, c)
		}
		if b.WormsKg != nil && over > 0 { // weighed: counting leaves no doubt about it
			rate := float64(*b.WormsKg) / over
			c := Counted{What: "worms", Seen: float64(*b.WormsKg), Rate: rate, Unit: "kg" + strings.TrimPrefix(unit, "1"), Low: rate, High: rate}
			if known && unit == "1/m2" && bin.Box.Area() > 0 {
				c.Whole = numberOf(rate * float64(bin.Box.Area()))
			}
			out.Counted = append(out.Counted, c)
		}
	}
	return out, nil
}

// Body reads the body of an entry of one kind; what cannot be is an error.
func Body(kind string, data []byte) (any, error) {
	body, ps := journal.Decode(kind, data)
	return body, refusedOf(ps)
}
