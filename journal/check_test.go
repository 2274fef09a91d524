package journal

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"wormyard/qty"
)

func entry(kind string, body any) *Entry {
	return &Entry{ID: testID(1), Kind: kind, At: start, Who: "owner", Body: body}
}

// farmFacts is a small farm: bins A1 and A2 built on 1 January 2026, A1 bedded
// on 2 January, A3 retired on 1 February; pile rabbit; batch 41; lot 7.
func farmFacts() *Facts {
	var f Facts
	jan := time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC)
	for i, e := range []Entry{
		{Kind: "build", At: jan, Body: &Build{Bins: []string{"A1", "A2", "A3"}, Barn: "West"}},
		{Kind: "bed", At: jan.AddDate(0, 0, 1), Body: &Bed{Bins: []string{"A1"}, DepthM: 0.15}},
		{Kind: "build", At: jan.AddDate(0, 1, 0), Body: &Build{Bins: []string{"A3"}, State: "retired"}},
		{Kind: "receive", At: jan, Body: &Receive{Pile: "rabbit", Material: "rabbit manure"}},
		{Kind: "blend", At: jan, Body: &Blend{Batch: "41"}},
		{Kind: "harvest", At: jan.AddDate(0, 0, 30), Body: &Harvest{Bins: []string{"A1"}, Lot: "7"}},
	} {
		e.ID = testID(100 + i)
		f.Add(&e)
	}
	return &f
}

func TestCheckSpeaksTheFarmersWords(t *testing.T) {
	metre := func(in float64) *qty.Metre { return ptr(qty.Metre(in * qty.MetrePerInch)) }
	known := Known{Now: start.Add(time.Hour), Facts: farmFacts()}
	for name, c := range map[string]struct {
		e     *Entry
		field string
		level Level
		say   []string // parts of say and try; empty: nothing is wrong
	}{
		"an everyday feeding":      {e: entry("feed", &Feed{Bins: []string{"A1"}, Batch: "41", DepthM: metre(2)})},
		"woody and deep in carbon": {e: entry("assay", &Assay{Subject: "pile rabbit", Analyte: "cn", Value: 480})},
		"moisture as a plain number": {entry("assay", &Assay{Subject: "pile rabbit", Analyte: "water_frac_wet", Value: 7.2}), "value", Refused,
			[]string{"Moisture of pile rabbit is 7.2", "It must be between 0 and 100 %.", "If you meant 72 %, type 72 %."}},
		"dry basis typed as wet": {entry("assay", &Assay{Subject: "pile rabbit", Analyte: "water_frac_wet", Value: 1.06}), "value", Refused,
			[]string{"106 %", "between 0 and 100 %", "each part of dry matter", "51.46 %"}}, // 1.06/2.06
		"negative water":      {entry("water", &Water{Bins: []string{"A1"}, Kg: -5}), "kg", Refused, []string{"It must be more than 0", "minus sign"}},
		"negative lignin":     {entry("assay", &Assay{Subject: "pile rabbit", Analyte: "lignin_frac_dry", Value: -0.1}), "value", Refused, []string{"Lignin of pile rabbit is −10 %", "minus sign"}},
		"an absurd depth":     {entry("feed", &Feed{Bins: []string{"A1"}, Batch: "41", DepthM: metre(200)}), "depth_m", Refused, []string{"Depth of the feed is 200 in", "at most 78.74 in"}},
		"a deep feeding":      {entry("feed", &Feed{Bins: []string{"A1"}, Batch: "41", DepthM: metre(12)}), "depth_m", Doubtful, []string{"Depth of the feed is 12 in. Usual is 0.25 in to 6 in.", "say yes"}},
		"no amount":           {entry("feed", &Feed{Bins: []string{"A1"}, Batch: "41"}), "depth_m", Refused, []string{"It is not said how much was fed.", "depth of the feed or mass of the feed"}},
		"two amounts":         {entry("feed", &Feed{Bins: []string{"A1"}, Batch: "41", DepthM: metre(2), MassKgWet: ptr(qty.WetKg(20))}), "mass_kg_wet", Refused, []string{"more than once how much was fed"}},
		"no bins":             {entry("water", &Water{Kg: 5}), "bins", Refused, []string{"Bins is missing."}},
		"a bin twice":         {entry("water", &Water{Bins: []string{"A1", "A1"}, Kg: 5}), "bins", Refused, []string{"A1 is named twice."}},
		"a bin that is none":  {entry("water", &Water{Bins: []string{"A1", "A11"}, Kg: 5}), "bins[1]", Refused, []string{"There is no bin A11 on this farm.", "Did you mean A1"}},
		"a batch not written": {entry("feed", &Feed{Bins: []string{"A1"}, Batch: "42", DepthM: metre(2)}), "batch", Doubtful, []string{"Nothing is written down yet of batch 42."}},
		"older than the bin": {&Entry{ID: testID(1), Kind: "depth", At: start.AddDate(-1, 0, 0), Body: &Depth{Bins: []string{"A1"}, DepthM: 0.3}}, "bins[0]", Refused,
			[]string{"Bin A1 was built on 1 January 2026", "1 March 2025, before that"}},
		"reading of an empty bin":  {entry("reading", &Reading{Bin: "A2", TempC: ptr(qty.Celsius(18)), DepthM: ptr(qty.Metre(0.1))}), "bin", Doubtful, []string{"Bin A2 held no bed on 1 March 2026 when it was read"}},
		"harvest of an empty bin":  {entry("harvest", &Harvest{Bins: []string{"A2"}, VolumeM3: ptr(qty.CubicMetre(0.3))}), "bins[0]", Refused, []string{"Bin A2 held no bed on 1 March 2026"}},
		"fed without a bed":        {entry("feed", &Feed{Bins: []string{"A2"}, Batch: "41", DepthM: metre(2)}), "bins[0]", Doubtful, []string{"Bin A2 held no bed"}},
		"a retired bin":            {entry("depth", &Depth{Bins: []string{"A3"}, DepthM: 0.3}), "bins[0]", Doubtful, []string{"retired on 1 February 2026"}},
		"tomorrow":                 {&Entry{ID: testID(1), Kind: "water", At: start.AddDate(0, 0, 1), Body: &Water{Bins: []string{"A1"}, Kg: 5}}, "at", Refused, []string{"2 March 2026, which is still to come"}},
		"a forecast":               {e: &Entry{ID: testID(1), Kind: "site", At: start.AddDate(0, 0, 2), Body: &Site{Place: "outside", LowC: ptr(qty.Celsius(-6)), Outlook: true}}},
		"low above high":           {entry("site", &Site{Place: "outside", LowC: ptr(qty.Celsius(20)), HighC: ptr(qty.Celsius(10))}), "low_c", Refused, []string{"The low is 68 °F and the high is 50 °F.", "Swap them"}},
		"an unknown word":          {entry("cover", &Cover{Bins: []string{"A1"}, Cover: "clothe"}), "cover", Refused, []string{`Cover is "clothe".`, "Did you mean cloth?", "none, cloth, board or film"}},
		"29 February":              {entry("site", &Site{Place: "outside", LowC: ptr(qty.Celsius(1)), Day: "2025-02-29"}), "day", Refused, []string{"2025 has no 29 February."}},
		"strike of nothing":        {entry("strike", &Strike{Why: "x"}), "strikes", Refused, []string{"not said which entry"}},
		"strike of itself":         {&Entry{ID: testID(1), Kind: "strike", At: start, Strikes: testID(1), Body: &Strike{Why: "x"}}, "strikes", Refused, []string{"strikes itself"}},
		"worms from where they go": {entry("stock", &Stock{Bins: []string{"A1"}, Kg: 2, FromBin: "A1"}), "from_bin", Refused, []string{"Name another bin."}},
		"low over middle":          {entry("stock", &Stock{Bins: []string{"A1"}, Kg: 2, KgLow: ptr(qty.LiveKg(3))}), "kg_low", Refused, []string{"from low to high"}},
		"an unknown test":          {entry("assay", &Assay{Subject: "pile rabbit", Analyte: "moistre", Value: 1}), "analyte", Doubtful, []string{"is not a test we know"}},
		"a test of the farm's own": {e: entry("assay", &Assay{Subject: "pile rabbit", Analyte: "copper_mg_kg_dry", Value: 80})},
		"two bins in one slot":     {entry("build", &Build{Bins: []string{"B1", "B2"}, Row: 1, Stack: 1, Level: 1}), "row", Refused, []string{"2 bins cannot stand in one place."}},
		"a slot that is none":      {entry("build", &Build{Bins: []string{"B1"}, Slots: []string{"West/1/2"}}), "slots[0]", Refused, []string{"BARN/ROW/STACK/LEVEL"}},
		"one side":                 {entry("trial", &Trial{Name: "x", Sides: [][]string{{"A1"}}}), "sides", Refused, []string{"two sides"}},
		"a body of another kind":   {entry("water", &Cover{Bins: []string{"A1"}, Cover: "none"}), "cover", Refused, []string{"is not a field here"}},
		"a comma in a name":        {entry("build", &Build{Bins: []string{"B1,B2"}}), "bins[0]", Refused, []string{"cannot hold commas"}},
		"an id that is none":       {&Entry{ID: "7", Kind: "strike", At: start, Strikes: testID(4), Body: &Strike{Why: "x"}}, "id", Refused, []string{"not an id"}},
	} {
		t.Run(name, func(t *testing.T) {
			ps := Check(c.e, known)
			if len(c.say) == 0 {
				if len(ps) > 0 {
					t.Fatalf("%+v", ps)
				}
				return
			}
			text := ""
			found := false
			for _, p := range ps {
				text += fmt.Sprintf("%s (%s): %s %s\n", p.Field, p.Level, p.Say, p.Try)
				found = found || p.Field == c.field && p.Level == c.level
				if strings.ContainsAny(p.Say+p.Try, "!") || strings.Contains(strings.ToLower(p.Say+p.Try), "invalid") {
					t.Errorf("not a farmer's words: %s", text)
				}
			}
			if !found {
				t.Fatalf("no %s problem of %s in\n%s", c.level, c.field, text)
			}
			for _, s := range c.say {
				if !strings.Contains(text, s) {
					t.Errorf("%q is not said in\n%s", s, text)
				}
			}
		})
	}
}

func TestAnAnsweredDoubtIsNotAskedAgain(t *testing.T) {
	e := entry("feed", &Feed{Bins: []string{"A1"}, Batch: "41", DepthM: ptr(qty.Metre(0.3))})
	ps := Check(e, Known{})
	if Worst(ps) != Doubtful {
		t.Fatal(ps)
	}
	e.Confirm(ps)
	if ps := Check(e, Known{}); len(ps) > 0 || len(e.Confirmed) != 1 {
		t.Fatal(ps, e.Confirmed)
	}
	e.Body = &Feed{Bins: []string{"A1"}, Batch: "41", DepthM: ptr(qty.Metre(30))}
	if Worst(Check(e, Known{})) != Refused { // a yes does not make the impossible true
		t.Fatal("30 m of feed were taken")
	}
}

func TestFactsKnowOfStrikes(t *testing.T) {
	f := farmFacts()
	if !f.Has("bin", "A1") || f.Has("bin", "A9") || !f.Has("barn", "West") || !f.Has("lot", "7") {
		t.Fatal(f.Names("bin"))
	}
	f.Add(&Entry{ID: testID(500), Kind: "strike", Strikes: testID(100), Body: &Strike{Why: "x"}})
	if f.Has("bin", "A1") {
		t.Fatal("a struck building stands")
	}
	f.Add(&Entry{ID: testID(501), Kind: "strike", Strikes: testID(500), Body: &Strike{Why: "x"}})
	if !f.Has("bin", "A1") {
		t.Fatal("the building does not stand again")
	}
}

func TestDecodeTellsEverythingAtOnce(t *testing.T) {
	for name, c := range map[string]struct {
		kind, raw string
		fields    []string
		say       []string
	}{
		"unknown and missing":   {"feed", `{"bin":["A1"],"depth_m":0.05,"dept":1}`, []string{"bin", "bins", "batch", "dept"}, []string{`"bin" is not a field here. Did you mean bins?`, "Batch is missing."}},
		"wrong types":           {"feed", `{"bins":"A1","batch":41,"depth_m":"two"}`, []string{"bins", "batch", "depth_m"}, []string{`must be a list`, `Put it in quotation marks.`, `must be a number`}},
		"unit that fits not":    {"feed", `{"bins":["A1"],"batch":"41","depth":"2 lb"}`, []string{"depth"}, []string{"is a mass; a length is wanted here"}},
		"two readings":          {"receive", `{"pile":"x","material":"y","mass":"2 tons"}`, []string{"mass"}, []string{"can be read two ways", "short ton", "tonne"}},
		"unit under a unit key": {"weigh", `{"bin":"A1","mass_kg":"500 lb"}`, []string{"mass_kg"}, []string{`or "mass" with a unit`}},
		"a number without unit": {"weigh", `{"bin":"A1","mass":500}`, []string{"mass"}, []string{"needs its unit"}},
		"half a worm":           {"count", `{"bin":"A1","area_m2":0.1,"adults":2.5}`, []string{"adults"}, []string{"whole number"}},
		"inside a table":        {"blend", `{"batch":"1","parts":[{"pile":"a","volume_m3":1},{"pil":"b"}]}`, []string{"parts[1].pil", "parts[1].pile"}, []string{"Did you mean pile?"}},
		"no such kind":          {"fead", `{}`, []string{"kind"}, []string{"Did you mean feed?"}},
		"no JSON":               {"feed", `{"bins":`, []string{"body"}, []string{"cannot be read"}},
	} {
		t.Run(name, func(t *testing.T) {
			body, ps := Decode(c.kind, []byte(c.raw))
			if body != nil || len(ps) != len(c.fields) {
				t.Fatalf("%+v", ps)
			}
			text := ""
			for _, p := range ps {
				text += p.Field + ": " + p.Say + " " + p.Try + "\n"
			}
			for _, f := range c.fields {
				if !strings.Contains(text, f+": ") {
					t.Errorf("%s is not named in\n%s", f, text)
				}
			}
			for _, s := range c.say {
				if !strings.Contains(text, s) {
					t.Errorf("%q is not said in\n%s", s, text)
				}
			}
		})
	}
}

func TestTypedQuantitiesAreTurned(t *testing.T) {
	near := func(got, want float64) {
		t.Helper()
		if got < want*(1-1e-12) || got > want*(1+1e-12) {
			t.Errorf("got %v, want %v", got, want)
		}
	}
	b, ps := Decode("feed", []byte(`{"bins":["A1"],"batch":"41","depth":"2 in"}`))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	near(float64(*b.(*Feed).DepthM), 0.0508) // 2 x 25.4 mm
	b, ps = Decode("water", []byte(`{"bins":["A1"],"water":"5 gal"}`))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	near(float64(b.(*Water).Kg), 18.92705892) // 5 x 3.785411784 L
	b, ps = Decode("bed", []byte(`{"bins":["A1"],"depth":"6 in","age":"2 weeks","castings":"40 %"}`))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	near(float64(*b.(*Bed).AgeDays), 14)
	near(float64(*b.(*Bed).CastingsFrac), 0.4)
	b, ps = Decode("screen", []byte(`{"lot":"7","decks":[{"opening":"0.25 in"}]}`))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	near(b.(*Screen).Decks[0].OpeningMM, 6.35)
	b, ps = Decode("assay", []byte(`{"subject":"pile x","analyte":"Moisture","value":72,"unit":"%"}`))
	if len(ps) > 0 || b.(*Assay).Analyte != "water_frac_wet" || b.(*Assay).Unit != "" {
		t.Fatal(b, ps)
	}
	near(b.(*Assay).Value, 0.72)
}

// A day of the year 1 or 20260 is a slip of typing, of whatever it is the day.
func TestDayOfAnImpossibleYear(t *testing.T) {
	for due, say := range map[string]string{"0001-03-01": "the year 1.", "1969-12-31": "the year 1969.", "2200-01-01": "the year 2200.", "1970-01-01": "", "2199-12-31": ""} {
		e := entry("duty", &Duty{Duty: "permit", What: "permit", Due: due})
		told := ""
		for _, p := range Check(e, Known{Now: start}) {
			if p.Field == "due" {
				told = p.Say
			}
		}
		if (say == "") != (told == "") || !strings.Contains(told, say) {
			t.Errorf("due %s: %q", due, told)
		}
	}
}
