package app

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/highs"
	"wormyard/qty"
)

func mixer(t testing.TB) *Mixer {
	t.Helper()
	s := highs.Open(highs.Options{CacheDir: highs.CacheDir(), Interpret: !highs.Cached(highs.CacheDir())})
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	m, err := NewMixer(s.Solve)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func answer(t *testing.T, in string) *MixAnswer {
	t.Helper()
	out, err := mixer(t).Mix(t.Context(), []byte(in), qty.US)
	if err != nil {
		t.Fatalf("%s: %v", in, err)
	}
	return out
}

func nearly(t *testing.T, what string, got *float64, want, within float64) {
	t.Helper()
	if got == nil || !(math.Abs(*got-want) <= within) {
		t.Errorf("%s is %v, want %v within %g", what, got, want, within)
		if got != nil {
			t.Logf("%s is %v", what, *got)
		}
	}
}

// The example of the contract runs as it is written.
func TestMixContractExample(t *testing.T) {
	out := answer(t, `{"parts":[{"name":"solids","material":"dairy solids, separated","volume":"3 yd3","cost_per_m3":4},
		{"name":"chips","mass_kg_wet":120,"water_frac_wet":0.3,"nitrogen_frac_dry":0.0009,"cn":560,"density_kg_m3_wet":250},
		{"name":"leaves","material":"leaves, loose dry","cost_per_m3":0,"available_m3":20}],
		"water_kg":0, "shrink_frac":0.1, "purpose":"feed",
		"solve":{"free":["leaves","water"],"total":"10 yd3","bucket_m3":0.5,"least":"cost"},
		"target":{"water_frac_wet":{"min":0.7,"max":0.8},"cn":{"min":20,"max":30},"air_filled_frac":{"min":0.3}}}`)
	// 3 yd3 of solids in 10 yd3 leave more leaves than a C:N of 30 bears.
	if out.Possible == nil || *out.Possible || len(out.Blocked) != 1 || out.Blocked[0].Window != "cn" || out.Blocked[0].Best == nil || *out.Blocked[0].Best < 30 {
		t.Errorf("possible %v, blocked %+v", out.Possible, out.Blocked)
	}
	if !strings.Contains(out.Blocked[0].Needs, "nitrogen") {
		t.Errorf("needs: %s", out.Blocked[0].Needs)
	}
	if len(out.Range) == 0 || len(out.Chance) != 3 || len(out.Hazards) == 0 || out.NextTest == nil || len(out.Missing) == 0 || len(out.Working) == 0 {
		t.Errorf("something is left out of %+v", out)
	}
	data, err := json.Marshal(out)
	if err != nil {
		t.Fatal(err)
	}
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(data, &keys); err != nil {
		t.Fatal(err)
	}
	for _, k := range []string{"possible", "mix", "parts", "water_to_add_kg", "chance", "range", "hazards", "blocked", "next_test", "missing", "working"} {
		if _, ok := keys[k]; !ok {
			t.Errorf("the answer has no %q", k)
		}
	}
	var numbers map[string]json.RawMessage
	if err := json.Unmarshal(keys["mix"], &numbers); err != nil {
		t.Fatal(err)
	}
	for _, k := range strings.Fields("mass_kg_wet mass_kg_dry water_kg water_frac_wet carbon_frac_dry nitrogen_frac_dry cn ash_frac_dry volume_m3 density_kg_m3_wet air_filled_frac air_filled_method ec_ds_m ph_low ph_high ammonia_n_mg_kg_dry lignin_frac_dry") {
		if _, ok := numbers[k]; !ok {
			t.Errorf("mix has no %q", k)
		}
	}
}

// Reference case 22, constructed, through the command's own door: by volume, as
// typed, with a tenth of the volume lost.
func TestMixByVolumeAsTyped(t *testing.T) {
	out := answer(t, `{"parts":[
		{"name":"manure","volume":"3 yd3","density":"1379 lb/yd3","water_frac_wet":0.72,"nitrogen_frac_dry":0.016,"cn":30,"ash_frac_dry":0.2},
		{"name":"leaves","volume":"2 cu yd","density":"200 lb/yd3","water_frac_wet":0.38,"nitrogen_frac_dry":0.009,"cn":54,"volatile_frac_dry":0.8}],
		"shrink_frac":0.1,"target":{"water_frac_wet":{"is":0.75}}}`)
	nearly(t, "mass", out.Mix.MassWet, 4537*qty.KgPerPound, .01)
	nearly(t, "moisture", out.Mix.Water, .69, .00005)
	nearly(t, "C:N", out.Mix.CN, 32.58, .005)
	nearly(t, "density", out.Mix.Density, 598.15, .005)
	nearly(t, "air", out.Mix.AirFilled, .480, .0005)
	if out.Mix.AirMethod == nil || *out.Mix.AirMethod != "volumes" {
		t.Errorf("method %v", out.Mix.AirMethod)
	}
	// W = Q (G - M)/(1 - G).
	nearly(t, "water to add", out.WaterToAdd, *out.Mix.MassWet*(.75-*out.Mix.Water)/.25, 1e-6)
	if out.Possible != nil || len(out.Range) != 0 {
		t.Error("nothing was solved and nothing is a range")
	}
	nearly(t, "share of manure", out.Parts[0].Share, .6, 1e-12)
}

// Every printed number can be redone from the working, by the figures' own door.
func TestMixWorkingCanBeRedone(t *testing.T) {
	out := answer(t, `{"parts":[{"material":"leaves, loose dry","share":1},{"material":"horse manure with bedding","share":1},{"material":"wood chips, hardwood","share":0.5}],
		"purpose":"feed","shrink_frac":0.1,"total":"10 yd3"}`)
	figures, err := Figures()
	if err != nil {
		t.Fatal(err)
	}
	byName := map[string]figure.Figure{}
	for _, f := range figures {
		byName[f.Name] = f
	}
	told := map[string]bool{}
	for _, s := range out.Working {
		f, ok := byName[s.Figure]
		if !ok {
			t.Errorf("%s is no figure", s.Figure)
			continue
		}
		if s.Equation == "" || s.Source == "" || s.How == "" {
			t.Errorf("%+v says too little", s)
		}
		data, err := json.Marshal(nested(s.Inputs))
		if err != nil {
			t.Fatal(err)
		}
		in := f.In()
		if problems := contract.Decode(data, in); len(problems) > 0 {
			t.Errorf("%s %s: %+v", s.Figure, data, problems)
			continue
		}
		got, _, err := f.Run(in)
		if err != nil {
			t.Errorf("%s: %v", s.Figure, err)
			continue
		}
		data, err = json.Marshal(got)
		if err != nil {
			t.Fatal(err)
		}
		var numbers map[string]any
		if err := json.Unmarshal(data, &numbers); err != nil {
			t.Fatal(err)
		}
		for k, want := range s.Outputs {
			told[k+" "+s.How] = true
			if v, ok := numbers[k].(float64); !ok || math.Abs(v-want) > 1e-9*(1+math.Abs(want)) {
				t.Errorf("%s %s: redone %v, printed %v", s.Figure, k, numbers[k], want)
			}
		}
	}
	all := ""
	for k := range told {
		all += k + "\n"
	}
	for _, k := range strings.Fields("water_frac_wet cn density_kg_m3_wet volume_m3 air_filled_frac carbon_frac_dry nitrogen_frac_dry ash_frac_dry ec_ds_m ammonia_n_mg_kg_dry lignin_frac_dry water_kg") {
		if !strings.Contains(all, k) {
			t.Errorf("no step of the working gives %s", k)
		}
	}
}

// nested turns "parts[0].mass_kg_wet" into lists of objects.
func nested(flat map[string]float64) map[string]any {
	out := map[string]any{}
	var parts []any
	for i := 0; ; i++ {
		prefix := "parts[" + string(rune('0'+i)) + "]."
		one := map[string]any{}
		for k, v := range flat {
			if rest, ok := strings.CutPrefix(k, prefix); ok {
				one[rest] = v
			}
		}
		if len(one) == 0 {
			break
		}
		parts = append(parts, one)
	}
	if parts != nil {
		out["parts"] = parts
	}
	for k, v := range flat {
		if !strings.HasPrefix(k, "parts[") {
			out[k] = v
		}
	}
	return out
}

func TestMixSharesWithATotalByMass(t *testing.T) {
	out := answer(t, `{"parts":[{"name":"a","share":2,"water_frac_wet":0.5,"density_kg_m3_wet":400},{"name":"b","share":1,"water_frac_wet":0.2,"density_kg_m3_wet":100}],"water_kg":100,"total":"1 tonne"}`)
	nearly(t, "mass", out.Mix.MassWet, 1000, 1e-9)
	nearly(t, "volume", out.Mix.Volume, 3*1.0, 1e-9) // (1000 - 100)/(2*400 + 100) = 1 share of 1 m3
	out = answer(t, `{"parts":[{"name":"a","share":2,"water_frac_wet":0.5,"density_kg_m3_wet":400}]}`)
	nearly(t, "one share is a cubic metre", out.Mix.Volume, 2, 1e-12)
}

// Dry basis: 106 % of Briggs' green wood is 51.5 % on wet basis.
func TestMixMoistureOnDryBasis(t *testing.T) {
	out := answer(t, `{"parts":[{"name":"chips","mass_kg_wet":40,"water_frac_dry":1.0619}]}`)
	nearly(t, "moisture", out.Mix.Water, .5150, .00005)
}

func TestMixBucketsAndPrice(t *testing.T) {
	out := answer(t, `{"parts":[{"material":"stall manure","cost_per_m3":0,"available_m3":3},{"material":"leaves, loose dry","cost_per_m3":2},{"material":"dairy solids, separated","cost_per_m3":4}],
		"shrink_frac":0.12,"solve":{"free":["stall manure","leaves, loose dry","dairy solids, separated","water"],"total":"10 yd3","bucket":"1 yd3"},
		"target":{"water_frac_wet":{"min":0.7,"max":0.8},"cn":{"min":30,"max":50}}}`)
	if out.Possible == nil || !*out.Possible || out.BucketStep == nil || *out.BucketStep != 1 {
		t.Fatalf("%+v", out)
	}
	cost := 0.0
	for _, p := range out.Parts {
		if p.Buckets == nil || *p.Buckets != math.Round(*p.Buckets) {
			t.Errorf("%s: %v buckets", p.Name, p.Buckets)
		}
		cost += *p.Cost
	}
	nearly(t, "cost", out.Cost, cost, 1e-9)
	nearly(t, "total", out.Mix.Volume, 10*qty.M3PerCubicYard, .5*.88*qty.M3PerCubicYard+1e-9)
	for _, w := range out.Windows {
		if w.Met == nil || !*w.Met {
			t.Errorf("%+v", w)
		}
	}
}

func TestMixProblemsAllAtOnceInWords(t *testing.T) {
	m := mixer(t)
	for name, c := range map[string]struct {
		in     string
		fields []string
		say    string
	}{
		"negative":             {`{"parts":[{"material":"stall manure","mass_kg_wet":-3}]}`, []string{"parts[0].mass_kg_wet"}, ""},
		"absurd":               {`{"parts":[{"material":"stall manure","mass_kg_wet":1e12}]}`, []string{"parts[0].mass_kg_wet"}, ""},
		"dry basis as wet":     {`{"parts":[{"material":"stall manure","mass_kg_wet":3,"water_frac_wet":1.06}]}`, []string{"parts[0].water_frac_wet"}, "0.515"},
		"percent as fraction":  {`{"parts":[{"material":"stall manure","mass_kg_wet":3,"water_frac_wet":72}]}`, []string{"parts[0].water_frac_wet"}, "if you meant 72 %, type 0.72"},
		"water only":           {`{"parts":[{"material":"water","mass_kg_wet":3}],"water_kg":4}`, []string{"parts"}, "water only"},
		"unknown material":     {`{"parts":[{"material":"manuure of a horse","mass_kg_wet":3}]}`, []string{"parts[0].material"}, "horse manure"},
		"ambiguous material":   {`{"parts":[{"material":"wood chips","mass_kg_wet":3}]}`, []string{"parts[0].material"}, "wood chips, hardwood"},
		"NaN":                  {`{"parts":[{"material":"stall manure","mass_kg_wet":NaN}]}`, nil, ""},
		"shares and amounts":   {`{"parts":[{"material":"stall manure","share":1},{"material":"leaves, loose dry","volume":"2 yd3"}]}`, []string{"parts[1].share"}, ""},
		"two amounts":          {`{"parts":[{"material":"stall manure","mass_kg_wet":1,"volume":"2 yd3"}]}`, []string{"parts[0].mass_kg_wet"}, ""},
		"no amount":            {`{"parts":[{"material":"stall manure"}]}`, []string{"parts[0].volume"}, ""},
		"no parts":             {`{"parts":[]}`, []string{"parts"}, ""},
		"two tons":             {`{"parts":[{"material":"stall manure","mass":"2 ton"}]}`, []string{"parts[0].mass"}, "short ton"},
		"same name":            {`{"parts":[{"material":"stall manure","mass_kg_wet":1},{"material":"stall manure","mass_kg_wet":1}]}`, []string{"parts[1].name"}, ""},
		"target of nothing":    {`{"parts":[{"material":"stall manure","mass_kg_wet":1}],"target":{"cn":{}}}`, []string{"target.cn"}, ""},
		"target in percent":    {`{"parts":[{"material":"stall manure","mass_kg_wet":1}],"target":{"water_frac_wet":{"min":70}}}`, []string{"target.water_frac_wet"}, "70 % is 0.7"},
		"target upside down":   {`{"parts":[{"material":"stall manure","mass_kg_wet":1}],"target":{"cn":{"min":40,"max":20}}}`, []string{"target.cn"}, ""},
		"unknown free":         {`{"parts":[{"name":"manure","material":"stall manure","mass_kg_wet":1}],"purpose":"feed","solve":{"free":["manuer"]}}`, []string{"solve.free[0]"}, "manure"},
		"nothing free":         {`{"parts":[{"material":"stall manure","mass_kg_wet":1}],"purpose":"feed","solve":{"free":[]}}`, []string{"solve.free"}, ""},
		"no price":             {`{"parts":[{"material":"stall manure"}],"purpose":"feed","solve":{"free":["stall manure"],"total":"3 yd3","least":"cost"}}`, []string{"parts[0].cost_per_m3"}, ""},
		"no end of it":         {`{"parts":[{"material":"stall manure"}],"purpose":"feed","solve":{"free":["stall manure","water"]}}`, []string{"solve.total"}, ""},
		"total of nothing":     {`{"parts":[{"material":"stall manure"}],"purpose":"feed","solve":{"free":["stall manure","water"],"total":"a heap"}}`, []string{"solve.total"}, ""},
		"target not to be met": {`{"parts":[{"name":"x","water_frac_wet":0.5}],"target":{"ec_ds_m":{"max":3}},"solve":{"free":["x"],"total":"100 kg"}}`, []string{"target.ec_ds_m"}, ""},
		"three at once":        {`{"parts":[{"material":"stal","mass_kg_wet":1},{"material":"leaves, loose dry","mass_kg_wet":1,"cn":-4}],"purpse":"feed"}`, []string{"parts[0].material", "parts[1].cn", "purpse"}, ""},
		"carbon above all":     {`{"parts":[{"name":"x","mass_kg_wet":1,"water_frac_wet":0.5,"nitrogen_frac_dry":0.16,"cn":30}]}`, []string{"parts[0].cn"}, "480 %"},
		"range upside down":    {`{"parts":[{"material":"stall manure","mass_kg_wet":1,"water_frac_wet":{"best":0.7,"low":0.8,"high":0.9}}]}`, []string{"parts[0].water_frac_wet"}, ""},
		"not an object":        {`[1,2]`, nil, ""},
		"nothing":              {``, nil, ""},
	} {
		_, err := m.Mix(t.Context(), []byte(c.in), qty.US)
		var refusal *figure.Refusal
		if !errors.As(err, &refusal) || len(refusal.Problems) == 0 {
			t.Errorf("%s: %v", name, err)
			continue
		}
		text := ""
		for _, p := range refusal.Problems {
			text += p.Field + ": " + p.Say + " " + p.Try + "\n"
			if p.Say == "" || strings.Contains(p.Say+p.Try, "!") || strings.Contains(strings.ToLower(p.Say+p.Try), "invalid") {
				t.Errorf("%s: %+v", name, p)
			}
		}
		for _, f := range c.fields {
			if !strings.Contains(text, f+": ") {
				t.Errorf("%s: %s is not named in\n%s", name, f, text)
			}
		}
		if !strings.Contains(text, c.say) {
			t.Errorf("%s: nothing says %q in\n%s", name, c.say, text)
		}
	}
}

// A material that must not go to worms says so, whatever else the mix is.
func TestMixHazardsSpeak(t *testing.T) {
	out := answer(t, `{"parts":[{"material":"treated or painted wood","share":1},{"material":"stall manure","share":3,"declared":["dewormer"]}]}`)
	refuse, dosed := false, false
	for _, h := range out.Hazards {
		refuse = refuse || (h.Level == "refuse" && strings.Contains(h.Material, "wood"))
		dosed = dosed || strings.Contains(h.What, "dewormer")
		if h.Clears == "" && h.Level == "hold" {
			t.Errorf("%+v says not what clears it", h)
		}
	}
	if !refuse || !dosed {
		t.Errorf("%+v", out.Hazards)
	}
}
