package app

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/trouble"
	"wormyard/twin"
)

// troubled is a farm of one bin with what was written of it.
func troubled(t *testing.T, now time.Time, bodies map[float64]any) (*farm.State, *farm.Bin, string) {
	t.Helper()
	trade, err := Trade()
	if err != nil {
		t.Fatal(err)
	}
	f := farm.New(trade)
	n, sighting := 0, ""
	add := func(daysAgo float64, body any) {
		kind := ""
		for _, k := range journal.Kinds() {
			if fmt.Sprintf("%T", k.New()) == fmt.Sprintf("%T", body) {
				kind = k.Name
			}
		}
		n++
		e := journal.Entry{ID: fmt.Sprintf("0195f1d2-0000-7000-8000-%012d", n), Kind: kind, At: now.Add(-time.Duration(daysAgo * 24 * float64(time.Hour))), Seq: int64(n), Body: body}
		if kind == "sighting" {
			sighting = e.ID
		}
		f.Apply([]journal.Entry{e})
	}
	add(300, &journal.Build{Bins: []string{"B1"}})
	add(200, &journal.Bed{Bins: []string{"B1"}, Material: "corrugated cardboard", DepthM: 0.15})
	var days []float64
	for d := range bodies {
		days = append(days, d)
	}
	slices.Sort(days)
	slices.Reverse(days)
	for _, d := range days {
		add(d, bodies[d])
	}
	s := f.State()
	b, _ := s.Bin("B1")
	return s, b, sighting
}

func of[T any](v T) *T { return &v }

func TestDiagnoseReadsWhatIsWritten(t *testing.T) {
	now := time.Date(2026, 3, 3, 12, 0, 0, 0, time.UTC)
	s, b, id := troubled(t, now, map[float64]any{
		9:   &journal.Look{Bins: []string{"B1"}, Smell: "ammonia"}, // too long ago
		4:   &journal.Stock{Bins: []string{"B1"}, Kg: 3, Bought: true},
		2:   &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: of(qty.Metre(0.05))},
		1:   &journal.Look{Bins: []string{"B1"}, Squeeze: "runs", Where: "bottom"},
		.5:  &journal.Reading{Bin: "B1", TempC: of(qty.Celsius(41)), PH: of(qty.PH(7))},
		.01: &journal.Sighting{Bin: "B1", What: "red mites and a sour smell", Signs: []string{"worms on the lid"}},
	})
	d, err := Diagnose(s, b, id, nil, nil, now)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, m := range d.Told {
		is := ""
		for k, v := range m.Share {
			if v > 0.5 {
				is = k
			}
		}
		got[m.Look+" by "+string(m.From)] = is
	}
	want := map[string]string{
		"mites by seen": "red mites", "smell by seen": "sour", "where by seen": "lid", "where by look": "deep", "wetness by look": "wet",
		"warmth by reading": "hot", "acid by reading": "", "fed by journal": "just now", "stocked by journal": "days ago",
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("told:\n%v\nwant:\n%v", got, want)
	}
	if d.Sighting == nil || d.Sighting.Entry != id {
		t.Error("the sighting is not the one asked for")
	}
	// What was said again just now stands in place of the sighting's word.
	d, err = Diagnose(s, b, id, []trouble.Message{trouble.Says("smell", "earth", trouble.Seen)}, nil, now)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range d.Told {
		if m.Look == "smell" && m.Share["sour"] > 0 {
			t.Error("the smell was said anew, and the old word counts")
		}
	}
}

// Seen months later, a sighting is weighed by what was known then.
func TestDiagnoseOfThen(t *testing.T) {
	now := time.Date(2026, 3, 3, 12, 0, 0, 0, time.UTC)
	s, b, id := troubled(t, now, map[float64]any{
		30: &journal.Sighting{Bin: "B1", Signs: []string{"bed hot"}},
		20: &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: of(qty.Metre(0.05))},
		1:  &journal.Look{Bins: []string{"B1"}, Smell: "earth"},
	})
	look := &Outlook{Bin: "B1", Made: now, Warmest: twin.Range{Low: 10, Mid: 12, High: 14}}
	d, err := Diagnose(s, b, id, nil, look, now)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Told) != 1 || d.Told[0].Look != "warmth" {
		t.Errorf("told: %v", d.Told)
	}
	if d.Finding.Causes[0].Cause.Key != "heat" {
		t.Errorf("first: %s", d.Finding.Causes[0].Cause.Key)
	}
}

// The twin speaks with its range: the hotter it computes the bed, the likelier
// is heat; a person with a thermometer outweighs it.
func TestDiagnoseHearsTheTwin(t *testing.T) {
	now := time.Date(2026, 3, 3, 12, 0, 0, 0, time.UTC)
	s, b, id := troubled(t, now, map[float64]any{.01: &journal.Sighting{Bin: "B1", Signs: []string{"worms at the sides"}}})
	chance := func(look *Outlook, seen ...trouble.Message) float64 {
		d, err := Diagnose(s, b, id, seen, look, now)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range d.Finding.Causes {
			if c.Cause.Key == "heat" {
				return c.Chance.Best
			}
		}
		return -1
	}
	at := func(c float64) *Outlook {
		return &Outlook{Bin: "B1", Made: now, Warmest: twin.Range{Low: c - 4, Mid: c, High: c + 4}, Water: twin.Range{Low: .7, Mid: .75, High: .8}, Oxygen: twin.Range{Low: .15, Mid: .18, High: .2}}
	}
	before := 0.0
	for _, c := range []float64{15, 24, 28, 30, 32, 36, 45} {
		p := chance(at(c))
		if p < before {
			t.Errorf("at %v °C heat has %.3f, and had %.3f colder", c, p, before)
		}
		before = p
	}
	if hot := chance(at(45)); hot < 0.6 || hot > 0.97 {
		t.Errorf("a twin that is sure of heat gives %.2f", hot)
	}
	odds := func(p float64) float64 { return p / (1 - p) }
	twin, both := chance(at(45)), chance(at(45), trouble.Says("warmth", "middling", trouble.Probe))
	if odds(both) > odds(twin)/4 || both > 0.4 {
		t.Errorf("the twin alone gives %.2f for heat; with a thermometer that says otherwise it is still %.2f", twin, both)
	}
}
