package contract_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/qty"
)

type part struct {
	Name     string           `json:"name"`
	Water    *contract.Number `json:"water_frac_wet"`
	WaterDry *float64         `json:"water_frac_dry"`
	Mass     *qty.WetKg       `json:"mass_kg_wet"`
	Volume   *contract.Typed  `json:"volume" quantity:"volume"`
	Deep     *float64         `json:"depth" quantity:"depth"`
}

type cover struct {
	Word string   `json:"-" as:"word" choice:"none,cloth"`
	U    *float64 `json:"u_w_m2k"`
}

type hours struct {
	Word string    `json:"-" as:"word" choice:"steady"`
	List []float64 `json:"-" as:"list" low:"0"`
}

type request struct {
	Parts   []part             `json:"parts"`
	Purpose string             `json:"purpose" default:"feed" choice:"feed,bedding,hot pile"`
	Temp    float64            `json:"temp_c" unit:"C" low:"-60" high:"120" doc:"Temperature of the bed"`
	Seed    uint64             `json:"seed" default:"1"`
	Members int                `json:"members" default:"32" low:"1" high:"1000"`
	Cover   cover              `json:"cover,omitzero"`
	Hours   hours              `json:"hours,omitzero"`
	Day     time.Time          `json:"day,omitzero"`
	Target  map[string]float64 `json:"target" choice:"cn,water_frac_wet"`
	Place   struct {
		Length float64 `json:"length_m"`
		Open   bool    `json:"open"`
	} `json:"place,omitempty"`
	More any `json:"more"`
}

func decode(t *testing.T, text string) (request, []figure.Problem) {
	t.Helper()
	var r request
	return r, contract.Decode([]byte(text), &r)
}

func TestDecodeReadsAllForms(t *testing.T) {
	var r request
	problems := contract.Decode([]byte("\ufeff"+`{"contract":1,"parts":[{"name":"chips \u00e9\n","water_frac_wet":{"best":0.3,"low":0.2,"high":0.4,"known":"measured"},"mass_kg_wet":120,"depth":"2 in"},
		{"name":"b","volume":"2 yd3","water_frac_wet":0.5}],"temp_c":-1.5e1,"cover":"cloth","hours":[1,2.5],"day":"2024-02-29","target":{"cn":30},"more":[{"x":null},true]}`), &r)
	if len(problems) > 0 {
		t.Fatal(contract.InWords(problems))
	}
	if r.Purpose != "feed" || r.Seed != 1 || r.Members != 32 {
		t.Errorf("defaults: %+v", r)
	}
	if r.Parts[0].Water.Best != 0.3 || r.Parts[0].Water.Known != "measured" || *r.Parts[0].Deep != 0.0508 || r.Parts[0].Name != "chips é\n" {
		t.Errorf("first part: %+v", r.Parts[0])
	}
	// 2 x 27 x 0.3048^3 m3
	if got, want := r.Parts[1].Volume.Value, 2*27*0.3048*0.3048*0.3048; math.Abs(got-want) > 1e-12 {
		t.Errorf("2 yd3 is %v m3, want %v", got, want)
	}
	if e := r.Parts[1].Water.Estimate(); e != qty.Exactly(0.5) {
		t.Errorf("a plain number has a spread: %+v", e)
	}
	if r.Temp != -15 || r.Cover.Word != "cloth" || len(r.Hours.List) != 2 || r.Day.Day() != 29 || r.Target["cn"] != 30 {
		t.Errorf("rest: %+v", r)
	}
	if diff := cmp.Diff([]any{map[string]any{"x": nil}, true}, r.More); diff != "" {
		t.Error(diff)
	}
}

func TestDecodeTellsAllProblemsAtOnce(t *testing.T) {
	_, problems := decode(t, `{
		"parts":[{"name":"a","watr_frac_wet":0.5,"water_frac_wet":72,"water_frac_dry":1.06},
		         {"mass_kg_wet":-3,"name":"b"},
		         {"name":"c","water_frac_wet":"0.5","volume":"2 ton"},
		         {"name":"d","volume":"2 yards","mass_kg_wet":NaN},
		         {"name":"e","mass_kg_wet":1e999,"volume":"3 qt","water_frac_wet":{"best":0.5,"low":0.6,"high":0.4}},
		         {"name":"f","name":"g","depth":0.1,"mass_kg_wet":.5}],
		"purpose":"beding","members":2.5,"cover":"plastic","hours":"never","day":"2023-02-29","target":{"c:n":2},"seed":-1}`)
	want := []struct{ field, say, try string }{
		{"parts[0].watr_frac_wet", "not a key known here", `"water_frac_wet"`},
		{"parts[0].water_frac_wet", "72", "type 0.72"},
		{"parts[1].mass_kg_wet", "-3", "minus"},
		{"parts[2].water_frac_wet", "a number is wanted", "0.5 without quotation marks"},
		{"parts[2].volume", "ton", ""},
		{"parts[3].mass_kg_wet", "not an amount", ""},
		{"parts[4].mass_kg_wet", "too large", ""},
		{"parts[4].volume", "two ways", "liquid"},
		{"parts[4].water_frac_wet", "not in order", ""},
		{"parts[5].name", "twice", ""},
		{"parts[5].depth", "text with a unit", "2 in"},
		{"parts[5].mass_kg_wet", "not written as JSON", ""},
		{"purpose", "beding", "bedding"},
		{"temp_c", "missing", "Temperature of the bed [C]"},
		{"members", "whole number", ""},
		{"cover", "plastic", "cloth"},
		{"hours", "never", "steady"},
		{"day", "2023-02-29", ""},
		{"target.c:n", "not a key", ""},
		{"seed", "-1", ""},
	}
	for _, w := range want {
		found := false
		for _, p := range problems {
			if p.Field == w.field && strings.Contains(p.Say, w.say) && strings.Contains(p.Try, w.try) {
				found = true
			}
		}
		if !found {
			t.Errorf("no problem at %s that says %q and advises %q", w.field, w.say, w.try)
		}
	}
	// Absent on purpose: 106 % of dry matter is possible; a yard of volume has one reading.
	for _, p := range problems {
		if p.Field == "parts[0].water_frac_dry" || p.Field == "parts[3].volume" {
			t.Errorf("wrongly refused: %+v", p)
		}
	}
	if got := len(problems); got != len(want) {
		t.Errorf("%d problems, want %d:\n%s", got, len(want), contract.InWords(problems))
	}
	if t.Failed() {
		t.Log(contract.InWords(problems))
	}
}

// The air of a barn as a person types it: contracts.md section 1, a quantity
// with its unit under the bare name of a key.
func TestDecodeReadsQuantitiesUnderBareNames(t *testing.T) {
	type air struct {
		TempC  float64          `json:"temp_c" low:"-60" high:"60"`
		Wet    *float64         `json:"mass_kg_wet"`
		Dry    *float64         `json:"mass_kg_dry"`
		Heavy  *contract.Number `json:"density_kg_m3_wet"`
		Salt   *float64         `json:"ec_ds_m"`
		Volume *contract.Typed  `json:"volume" quantity:"volume"`
		Other  *float64         `json:"volume_m3"`
		Depths []float64        `json:"depths_m"`
	}
	var in air
	if found := contract.Decode([]byte(`{"temp":"68 F","density":"1000 lb/yd3","volume":"1 yd3"}`), &in); len(found) > 0 {
		t.Fatal(found)
	}
	// 68 F is 20 C by definition; a pound is 0.45359237 kg and a yard 0.9144 m exactly.
	if math.Abs(in.TempC-20) > 1e-12 || math.Abs(in.Heavy.Best-453.59237/math.Pow(0.9144, 3)) > 1e-9 || in.Volume.Text != "1 yd3" || in.Other != nil {
		t.Errorf("%+v", in)
	}
	for typed, field := range map[string]string{
		`{"temp":"68 F","temp_c":20}`:    "temp",
		`{"temp":20}`:                    "temp",
		`{"temp":"68"}`:                  "temp",
		`{"temp":"200 F"}`:               "temp_c",
		`{"temp_c":20,"mass":"5 lb"}`:    "mass",
		`{"temp_c":20,"ec_ds":"5 m"}`:    "ec_ds",
		`{"temp_c":20,"depths":"5 in"}`:  "depths",
		`{"temp_c":20,"density":"2 yd"}`: "density",
	} {
		var in air
		found := contract.Decode([]byte(typed), &in)
		if len(found) != 1 || found[0].Field != field || found[0].Try == "" {
			t.Errorf("%s: %v, wanted one problem at %s", typed, found, field)
		}
	}
}

func TestDecodeNamesWhatIsMissingInsideAnAbsentObject(t *testing.T) {
	type outer struct {
		Box struct {
			Length float64 `json:"length_m"`
		} `json:"bin"`
	}
	var o outer
	problems := contract.Decode([]byte(`{}`), &o)
	if len(problems) != 1 || problems[0].Field != "bin.length_m" {
		t.Errorf("%+v", problems)
	}
}

func TestDecodeSyntax(t *testing.T) {
	for text, say := range map[string]string{
		``:                                 "nothing to read",
		`{"temp_c":1`:                      "ends before",
		`{"temp_c" 1}`:                     "colon is missing",
		`{"temp_c":1} x`:                   "follows after",
		`{"temp_c":1,}`:                    "comma before the closing",
		`{'temp_c':1}`:                     "key in quotation marks",
		`{"temp_c":abc}`:                   "cannot be read",
		`{"temp_c":"a` + "\n" + `"}`:       "end of the line",
		`[1,2`:                             "ends before",
		`"x"`:                              "an object",
		strings.Repeat("[", 100):           "deep",
		`{"temp_c":1,"more":"\ud8"}`:       "four digits",
		"{\"temp_c\":1,\"more\":\"\xff\"}": "not a text",
		"\x00":                             "not a text",
	} {
		_, problems := decode(t, text)
		if len(problems) == 0 || !strings.Contains(problems[len(problems)-1].Say, say) && !strings.Contains(problems[0].Say, say) {
			t.Errorf("%q gives %+v, want %q", text, problems, say)
		}
	}
	if _, problems := decode(t, "{\n\"temp_c\": 1\n \"seed\": 2}"); !strings.Contains(problems[0].Say, "line 3 at character 2") {
		t.Errorf("place of the mistake: %+v", problems)
	}
	if problems := contract.Decode(make([]byte, contract.MaxBytes+1), &request{}); !strings.Contains(problems[0].Say, "32 MB") {
		t.Errorf("too large: %+v", problems)
	}
}

// farmerWords are words that a message to a farmer must not hold.
var banned = []string{"invalid", "!", "error", "null pointer", "unmarshal", "struct", "float64"}

func TestDecodeNeverBlamesNorPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.String(),
			rapid.StringMatching(`\{("(temp_c|parts|seed|cover|hours|more|day)":(-?[0-9]{1,3}(\.[0-9])?|"[a-z ]{0,5}"|\[\{?\}?\]|null|NaN|true),?){0,5}\}`),
		).Draw(t, "text")
		var r request
		for _, p := range contract.Decode([]byte(text), &r) {
			if p.Say == "" {
				t.Fatalf("an empty message for %q", text)
			}
			for _, w := range banned {
				if strings.Contains(strings.ReplaceAll(p.Say, text, ""), w) && !strings.Contains(text, w) {
					t.Fatalf("%q says %q", text, p.Say)
				}
			}
		}
	})
}

// What encoding/json accepts as a document is read alike by our reader.
func TestDecodeAgreesWithStandardReader(t *testing.T) {
	leaf := rapid.OneOf(
		rapid.Map(rapid.Float64(), func(f float64) any { return f }),
		rapid.Map(rapid.String(), func(s string) any { return s }),
		rapid.Map(rapid.Bool(), func(b bool) any { return b }),
		rapid.Just(any(nil)),
	)
	value := rapid.OneOf(leaf,
		rapid.Map(rapid.SliceOfN(leaf, 0, 4), func(l []any) any { return append([]any{}, l...) }),
		rapid.Map(rapid.MapOfN(rapid.String(), leaf, 0, 4), func(m map[string]any) any { return m }))
	rapid.Check(t, func(t *rapid.T) {
		data, err := json.Marshal(map[string]any{"v": value.Draw(t, "value")})
		if err != nil {
			t.Skip("not a document")
		}
		var want, got map[string]any
		if err := json.Unmarshal(data, &want); err != nil {
			t.Fatal(err)
		}
		if problems := contract.Decode(data, &got); len(problems) > 0 {
			t.Fatalf("%s: %+v", data, problems)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatal(diff)
		}
	})
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte(`{"parts":[{"name":"a","water_frac_wet":0.5}],"temp_c":20}`))
	f.Add([]byte(`{"temp_c":1e999,"hours":"steady",}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var r request
		if len(contract.Decode(data, &r)) > 0 {
			return
		}
		if math.IsNaN(r.Temp) || r.Temp < -60 || r.Temp > 120 {
			t.Errorf("%q gave %v", data, r.Temp)
		}
		for _, p := range r.Parts {
			if p.Mass != nil && !(*p.Mass >= 0 && float64(*p.Mass) <= math.MaxFloat64) {
				t.Errorf("%q gave a mass of %v", data, *p.Mass)
			}
		}
	})
}

type selfRead struct{ fine bool }

func (s *selfRead) UnmarshalJSON(b []byte) error {
	if string(b) == `"good"` {
		s.fine = true
		return nil
	}
	return figure.Refuse("inner", "This is not good.", "Type good.")
}

func TestDecodeLetsATypeReadItself(t *testing.T) {
	var r struct {
		S selfRead `json:"s"`
	}
	if p := contract.Decode([]byte(`{"s":"good"}`), &r); len(p) > 0 || !r.S.fine {
		t.Errorf("%+v %+v", p, r)
	}
	if p := contract.Decode([]byte(`{"s":[1, 2]}`), &r); len(p) != 1 || p[0].Field != "s.inner" {
		t.Errorf("%+v", p)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"horse manure with bedding", "leaves, loose dry", "wood chips, hardwood", "dairy solids, separated", "water_frac_wet"}
	for word, want := range map[string]string{
		"hors manure": "horse manure with bedding", "leafs": "leaves, loose dry", "wood chip": "wood chips, hardwood",
		"dairy": "dairy solids, separated", "waterfracwet": "water_frac_wet",
	} {
		if got := contract.Nearest(word, known); len(got) == 0 || got[0] != want {
			t.Errorf("%q: %v, want %q", word, got, want)
		}
	}
	if got := contract.Nearest("zzzzqqq", known); len(got) > 0 {
		t.Errorf("far away, yet %v", got)
	}
}

func TestSchema(t *testing.T) {
	var s struct {
		Required   []string                   `json:"required"`
		Properties map[string]json.RawMessage `json:"properties"`
		Additional bool                       `json:"additionalProperties"`
	}
	s.Additional = true
	if err := json.Unmarshal(contract.Schema("a request", request{}), &s); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"temp_c"}, s.Required); diff != "" {
		t.Error(diff)
	}
	if s.Additional || len(s.Properties) != 12 {
		t.Errorf("%d properties, more allowed: %v", len(s.Properties), s.Additional)
	}
	if !strings.Contains(string(s.Properties["parts"]), `"null"`) {
		t.Errorf("parts that are not known cannot be null: %s", s.Properties["parts"])
	}
	if !strings.Contains(string(s.Properties["temp_c"]), `"minimum": -60`) {
		t.Errorf("temp_c: %s", s.Properties["temp_c"])
	}
}

func TestWrite(t *testing.T) {
	var b strings.Builder
	if err := contract.Write(&b, struct {
		N contract.Number `json:"n"`
	}{contract.Number(qty.Exactly(2))}); err != nil {
		t.Fatal(err)
	}
	if b.String() != "{\n  \"contract\": 1,\n  \"n\": 2\n}\n" {
		t.Errorf("%q", b.String())
	}
	b.Reset()
	if err := contract.Write(&b, struct {
		Contract int `json:"contract"`
	}{1}); err != nil || b.String() != "{\n  \"contract\": 1\n}\n" {
		t.Errorf("%v %q", err, b.String())
	}
	if err := contract.Write(&b, []int{1}); err == nil {
		t.Error("a list was written as an answer")
	}
}
