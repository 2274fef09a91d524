package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"wormyard/qty"
)

// Decode reads the body of an entry that comes from outside, strictly: unknown
// keys are refused with the nearest known one, wrong types and missing fields
// are told all at once, and quantities typed with a unit under a bare name
// ("depth":"2 in") are turned into the stored unit. Limits are the business of
// Check. The body is nil when there are problems.
func Decode(kind string, raw []byte) (any, []Problem) {
	k, ok := KindNamed(kind)
	if !ok {
		return nil, []Problem{unknownKind(kind)}
	}
	var m map[string]any
	if err := json.Unmarshal(raw, &m); err != nil {
		return nil, []Problem{{Field: "body", Say: "The body of the entry cannot be read: " + jsonFault(err) + ".", Try: "Write it as an object with the fields of docs/entries.md.", Level: Refused}}
	}
	if m == nil {
		m = map[string]any{}
	}
	ps := shape(k.Fields, m, "")
	if kind == "assay" && len(ps) == 0 {
		ps = append(ps, assayUnit(m)...)
	}
	if len(ps) > 0 {
		return nil, ps
	}
	clean, err := Encode(m)
	body := k.New()
	if err == nil {
		err = json.Unmarshal(clean, body)
	}
	if err != nil {
		return nil, []Problem{{Field: "body", Say: "The body of the entry cannot be read: " + jsonFault(err) + ".", Level: Refused}}
	}
	return body, nil
}

// shape checks keys and types of m against fields, in place: typed quantities
// become numbers, texts are trimmed, empty things are left out.
func shape(fields []Field, m map[string]any, path string) []Problem {
	var ps []Problem
	index, bare := map[string]int{}, map[string]int{}
	var names []string
	for i, f := range fields {
		index[f.Key] = i
		names = append(names, f.Key)
	}
	for i, f := range fields {
		if _, taken := index[f.Bare]; f.Bare != "" && !taken {
			bare[f.Bare] = i
			names = append(names, f.Bare)
		}
	}
	for _, key := range sortedKeys(m) {
		v := m[key]
		if v == nil {
			delete(m, key)
			continue
		}
		if i, ok := index[key]; ok {
			kept, problems := value(fields[i], v, path+key)
			ps = append(ps, problems...)
			if kept == nil {
				delete(m, key)
			} else {
				m[key] = kept
			}
			continue
		}
		i, ok := bare[key]
		if !ok {
			ps = append(ps, unknownKey(key, path+key, names))
			continue
		}
		f := fields[i]
		delete(m, key)
		if _, twice := m[f.Key]; twice {
			ps = append(ps, refusal(path+key, f.Label+" is given twice, as "+key+" and as "+f.Key+".", "Leave one of them out."))
			continue
		}
		s, isText := v.(string)
		if !isText {
			ps = append(ps, refusal(path+key, f.Label+" needs its unit under this name.", f.typedKeyHelp()))
			continue
		}
		n, err := f.Typed(s)
		if err != nil {
			say, try := sayParse(f, err)
			ps = append(ps, refusal(path+key, say, try))
			continue
		}
		m[f.Key] = n
	}
	for _, f := range fields {
		if _, there := m[f.Key]; f.Required && !there && !mentioned(ps, path, f) {
			ps = append(ps, missing(f, path))
		}
	}
	return ps
}

func mentioned(ps []Problem, path string, f Field) bool {
	return slices.ContainsFunc(ps, func(p Problem) bool {
		return p.Field == path+f.Key || f.Bare != "" && p.Field == path+f.Bare || strings.HasPrefix(p.Field, path+f.Key+"[")
	})
}

func missing(f Field, path string) Problem {
	try := "Fill it in."
	if len(f.Choices) > 0 {
		try = "Choose " + orList(f.Choices) + "."
	} else if f.Help != "" {
		try = f.Help
	}
	return refusal(path+f.Key, f.Label+" is missing.", try)
}

// value checks the type of one value; nil means absent.
func value(f Field, v any, path string) (any, []Problem) {
	wrong := func(want, try string) (any, []Problem) {
		return nil, []Problem{refusal(path, fmt.Sprintf("%s must be %s; it is %s.", f.Label, want, showJSON(v)), try)}
	}
	switch f.Type {
	case Text, Name, Choice, Day, Slot:
		s, ok := v.(string)
		if !ok {
			return wrong("text", "Put it in quotation marks.")
		}
		s = strings.TrimSpace(s)
		if s == "" {
			return nil, nil
		}
		return s, nil
	case Names, Choices, Slots:
		list, ok := v.([]any)
		if !ok {
			return wrong("a list", `Write a list, such as ["A1","A2"].`)
		}
		return texts(f, list, path)
	case Number, Whole:
		n, ok := v.(float64)
		if !ok {
			return wrong("a number", f.typedKeyHelp())
		}
		if f.Type == Whole && n != math.Trunc(n) {
			return wrong("a whole number", "Type a number without a fraction.")
		}
		if f.Type == Whole && math.Abs(n) > 1<<53 {
			return wrong("a number one can count to", "Look at the number again.")
		}
		return n, nil
	case Flag:
		if _, ok := v.(bool); !ok {
			return wrong("yes or no", "Write true or false.")
		}
		return v, nil
	case Numbers:
		list, ok := v.([]any)
		if !ok {
			return wrong("a list of numbers", "Write a list, such as [22,22].")
		}
		for _, x := range list {
			if _, ok := x.(float64); !ok {
				return wrong("a list of numbers", "Write a list, such as [22,22].")
			}
		}
		if len(list) == 0 {
			return nil, nil
		}
		return list, nil
	case Sides:
		list, ok := v.([]any)
		if !ok {
			return wrong("a list of lists of bins", `Write it as [["A1","A2"],["B1","B2"]].`)
		}
		var out []any
		for i, x := range list {
			inner, ok := x.([]any)
			if !ok {
				return wrong("a list of lists of bins", `Write it as [["A1","A2"],["B1","B2"]].`)
			}
			side, ps := texts(f, inner, fmt.Sprintf("%s[%d]", path, i))
			if len(ps) > 0 {
				return nil, ps
			}
			out = append(out, side)
		}
		if len(out) == 0 {
			return nil, nil
		}
		return out, nil
	case Table:
		list, ok := v.([]any)
		if !ok {
			return wrong("a list of rows", `Write a list of objects, such as [{"`+f.Item[0].Key+`":...}].`)
		}
		var ps []Problem
		for i, x := range list {
			row, ok := x.(map[string]any)
			if !ok {
				return wrong("a list of rows", `Write a list of objects, such as [{"`+f.Item[0].Key+`":...}].`)
			}
			ps = append(ps, shape(f.Item, row, fmt.Sprintf("%s[%d].", path, i))...)
		}
		if len(list) == 0 {
			return nil, ps
		}
		return list, ps
	}
	return v, nil
}

func texts(f Field, list []any, path string) (any, []Problem) {
	var out []any
	for i, x := range list {
		s, ok := x.(string)
		if !ok {
			return nil, []Problem{refusal(fmt.Sprintf("%s[%d]", path, i), fmt.Sprintf("%s must be a list of texts; %s is not one.", f.Label, showJSON(x)), "Put it in quotation marks.")}
		}
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		return nil, nil
	}
	return out, nil
}

// analyte is a test whose value and limits are known.
type analyte struct {
	key   string
	words []string
	field Field
}

// analytes are the tests the journal knows limits of. Other names are taken
// when they end in a unit, as in copper_mg_kg_dry.
var analytes = []analyte{
	{"water_frac_wet", []string{"moisture", "water", "water content"}, fraction("Moisture", 1, 0.05, 0.95)},
	{"carbon_frac_dry", []string{"carbon", "total carbon", "organic carbon"}, fraction("Carbon", 1, 0.02, 0.62)},
	{"nitrogen_frac_dry", []string{"nitrogen", "total nitrogen", "n"}, fraction("Nitrogen", 0.5, 0, 0.15)},
	{"ash_frac_dry", []string{"ash"}, fraction("Ash", 1, 0, 0.99)},
	{"volatile_frac_dry", []string{"volatile solids", "organic matter"}, fraction("Volatile solids", 1, 0.01, 1)},
	{"lignin_frac_dry", []string{"lignin"}, fraction("Lignin", 1, 0, 0.6)},
	{"phosphorus_frac_dry", []string{"phosphorus", "p"}, fraction("Phosphorus", 0.5, 0, 0.1)},
	{"potassium_frac_dry", []string{"potassium", "k"}, fraction("Potassium", 0.6, 0, 0.15)},
	{"cn", []string{"c:n", "c/n", "c to n", "carbon to nitrogen"}, field(Number, "value", "C:N", above(0, 5000, arithmetic), doubt(4, 900))},
	{"density_kg_m3_wet", []string{"density", "bulk density"}, field(Number, "value", "Density", typed(qty.Density, "kg/m3", "density"), above(0, 3000, physical), doubt(30, 1600))},
	{"ec_ds_m", []string{"salts", "ec", "conductivity", "soluble salts"}, field(Number, "value", "Salts", unit("dS/m"), refuse(0, 200, physical), doubt(0, 20))},
	{"ph", []string{"ph"}, field(Number, "value", "pH", refuse(0, 14, physical), doubt(3, 12.6))},
	{"ammonia_n_mg_kg_dry", []string{"ammonia", "ammonium", "ammonium nitrogen", "ammonia nitrogen"}, field(Number, "value", "Ammonia nitrogen", unit("mg/kg dry"), refuse(0, 500_000, arithmetic), doubt(0, 20_000))},
	{"nitrate_n_mg_kg_dry", []string{"nitrate", "nitrate nitrogen"}, field(Number, "value", "Nitrate nitrogen", unit("mg/kg dry"), refuse(0, 250_000, arithmetic), doubt(0, 10_000))},
	{"bioassay", []string{"bean test", "pea test", "bean and pea", "bean and pea test", "bioassay score"}, field(Number, "value", "Bioassay score", refuse(0, 100, arithmetic))},
	{"glass_frac_wet", []string{"glass"}, fraction("Glass", 1, 0, 0.1)},
	{"plastic_frac_wet", []string{"plastic"}, fraction("Plastic", 1, 0, 0.1)},
	{"fecal_coliform", []string{"fecal coliforms", "faecal coliform", "faecal coliforms", "fecal coliform", "thermotolerant coliforms"}, asTyped("Fecal coliforms")},
	{"salmonella", []string{"salmonella spp", "salmonella sp"}, asTyped("Salmonella")},
	{"e_coli", []string{"e. coli", "e coli", "escherichia coli", "generic e. coli"}, asTyped("E. coli")},
	{"e_coli_o157", []string{"e. coli o157:h7", "e. coli o157", "o157:h7"}, asTyped("E. coli O157:H7")},
	{"listeria", []string{"listeria monocytogenes", "l. monocytogenes"}, asTyped("Listeria monocytogenes")},
	{"enterococci", []string{"enterococcaceae", "enterococcus"}, asTyped("Enterococci")},
	{"arsenic", []string{"as"}, asTyped("Arsenic")}, {"cadmium", []string{"cd"}, asTyped("Cadmium")}, {"chromium", []string{"cr", "total chromium"}, asTyped("Chromium")}, {"chromium_6", []string{"chromium vi", "cr vi", "hexavalent chromium"}, asTyped("Chromium VI")},
	{"copper", []string{"cu"}, asTyped("Copper")}, {"lead", []string{"pb"}, asTyped("Lead")}, {"mercury", []string{"hg"}, asTyped("Mercury")}, {"molybdenum", []string{"mo"}, asTyped("Molybdenum")},
	{"nickel", []string{"ni"}, asTyped("Nickel")}, {"selenium", []string{"se"}, asTyped("Selenium")}, {"zinc", []string{"zn"}, asTyped("Zinc")},
	{"respiration", []string{"co2 evolution", "carbon dioxide evolution"}, asTyped("Respiration")}, {"oxygen_uptake", []string{"oxygen uptake rate"}, asTyped("Oxygen uptake")}, {"self_heating_rise", []string{"self-heating", "dewar"}, asTyped("Self-heating")},
	{"emergence", []string{"seed emergence"}, asTyped("Emergence")}, {"germination_index", []string{"germination index"}, asTyped("Germination index")}, {"inerts", []string{"foreign matter", "physical contaminants"}, asTyped("Inerts")}, {"pah16", []string{"pah", "pah 16"}, asTyped("PAH")}, {"worms_left", []string{"worms left"}, asTyped("Worms left")},
}

// asTyped are tests whose unit is kept as it was typed: germs and metals have many,
// and a rule names the one it wants.
func asTyped(label string) Field {
	return field(Number, "value", label, refuse(0, 1e15, arithmetic))
}

// unitAsTyped says whether a test keeps its unit as it was typed.
func unitAsTyped(f Field) bool { return f.Dim == nil && f.Unit == "" }

func fraction(label string, most, low, high float64) Field {
	return field(Number, "value", label, typed(qty.Percent, "fraction", ""), refuse(0, most, arithmetic), doubt(low, high))
}

// Analytes gives the keys of the tests the journal knows, in a fixed order.
func Analytes() []string {
	var out []string
	for _, a := range analytes {
		out = append(out, a.key)
	}
	return out
}

// AnalyteNamed finds a known test by its key or by words.
func AnalyteNamed(s string) (key string, ok bool) {
	w := strings.ToLower(strings.TrimSpace(s))
	for _, a := range analytes {
		if a.key == w || slices.Contains(a.words, w) {
			return a.key, true
		}
	}
	return "", false
}

func analyteField(key string) (Field, bool) {
	for _, a := range analytes {
		if a.key == key {
			f := a.field
			if f.Dim != nil && *f.Dim == qty.Percent {
				f.Key = key
			}
			return f, true
		}
	}
	return Field{}, false
}

// assayUnit turns words for the analyte into its key and the value into its unit.
func assayUnit(m map[string]any) []Problem {
	name, _ := m["analyte"].(string)
	if key, ok := AnalyteNamed(name); ok {
		name = key
		m["analyte"] = key
	}
	u, _ := m["unit"].(string)
	if u == "" {
		return nil
	}
	n, _ := m["value"].(float64)
	limit, hasLimit := m["detection_limit"].(float64)
	f, known := analyteField(name)
	factor := 0.0
	switch l := strings.ToLower(u); {
	case known && (f.Unit == u || unitAsTyped(f)), !known, l == "-", l == "dimensionless", name == "ph", name == "cn", name == "bioassay":
		return nil
	case name == "ec_ds_m" && (l == "ds/m" || l == "ms/cm" || l == "mmho/cm"):
		factor = 1
	case name == "ec_ds_m" && (l == "us/cm" || l == "µs/cm"):
		factor = 0.001
	case strings.HasSuffix(name, "_mg_kg_dry") && (l == "mg/kg" || l == "ppm" || l == "mg/kg dry"):
		factor = 1
	case strings.Contains(name, "_frac_") && (l == "mg/kg" || l == "ppm"):
		factor = 1e-6
	case strings.Contains(name, "_frac_") && (l == "g/kg"):
		factor = 1e-3
	case strings.Contains(name, "_frac_") && (l == "fraction" || l == "kg/kg"):
		factor = 1
	case strings.HasSuffix(name, "_mg_kg_dry") && l == "%":
		factor = 1e4
	default:
		q, ok := qty.Named(u)
		if !ok || f.Dim == nil || q.Of != *f.Dim {
			return []Problem{refusal("unit", fmt.Sprintf("%s is not a unit of %s that we know.", u, name), "Leave the unit out and give the value in the unit that the name ends in.")}
		}
		factor = q.To(1)
	}
	m["value"] = n * factor
	if hasLimit {
		m["detection_limit"] = limit * factor
	}
	delete(m, "unit")
	return nil
}

func refusal(field, say, try string) Problem {
	return Problem{Field: field, Say: say, Try: try, Level: Refused}
}

func unknownKind(kind string) Problem {
	var names []string
	for _, k := range kinds {
		names = append(names, k.Name)
	}
	if kind == "" {
		return refusal("kind", "What was done is missing.", "Say one of "+orList(names)+".")
	}
	try := "Use one of " + orList(names) + "."
	if near := Nearest(kind, names); len(near) > 0 {
		try = "Did you mean " + orList(near) + "?"
	}
	return refusal("kind", fmt.Sprintf("%q is not a kind of entry.", kind), try)
}

func unknownKey(key, path string, known []string) Problem {
	try := "The fields here are " + andList(known) + "."
	if near := Nearest(key, known); len(near) > 0 {
		try = "Did you mean " + orList(near) + "?"
	}
	return refusal(path, fmt.Sprintf("%q is not a field here.", key), try)
}

func sortedKeys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func showJSON(v any) string {
	b, err := Encode(v)
	if err != nil {
		return "something else"
	}
	if len(b) > 60 {
		return string(b[:57]) + "..."
	}
	return string(b)
}

// jsonFault puts a fault of JSON into words.
func jsonFault(err error) string {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return fmt.Sprintf("it is not JSON from character %d on", syntax.Offset)
	case errors.As(err, &kind):
		return fmt.Sprintf("%s cannot be a %s", kind.Field, kind.Value)
	}
	return err.Error()
}
