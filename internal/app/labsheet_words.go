package app

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"wormyard/journal"
	"wormyard/lab"
)

// Words of laboratories' sheets, in English and Spanish.

// labHeaders are the headers of what a column may be, the surest first.
var labHeaders = []struct {
	role  string
	words []string
}{
	{"sample", []string{"client sample id", "customer sample id", "client id", "sample id", "sample name", "sample no", "sample number", "sample", "lot", "lot no", "lot id", "sample description", "field id", "muestra", "id de muestra", "lote", "no de muestra", "lab no", "lab number", "lab id"}},
	{"test", []string{"analyte", "parameter", "determinand", "determination", "test", "test name", "analysis", "component", "property", "parámetro", "parametro", "analito", "ensayo", "determinación", "análisis"}},
	{"result", []string{"result", "results", "reported result", "value", "reading", "concentration", "amount", "resultado", "valor"}},
	{"sign", []string{"qualifier", "qual", "sign", "flag", "flags", "prefix", "calificador", "signo"}},
	{"unit", []string{"unit", "units", "uom", "reporting units", "unidad", "unidades"}},
	{"basis", []string{"basis", "weight basis", "reporting basis", "moisture basis", "base"}},
	{"limit", []string{"detection limit", "limit of detection", "lod", "mdl", "dl", "method detection limit", "loq", "rl", "reporting limit", "quantitation limit", "pql", "límite de detección", "límite"}},
	{"method", []string{"method", "test method", "analytical method", "reference method", "método", "metodo"}},
	{"day", []string{"date sampled", "sample date", "sampling date", "date collected", "collection date", "collected", "sampled", "date received", "received", "date", "date analyzed", "date analysed", "analysis date", "date reported", "report date", "fecha de muestreo", "fecha"}},
	{"laboratory", []string{"laboratory", "lab", "lab name", "laboratorio"}},
}

// labOther are headers that say nothing of a test.
var labOther = []string{"notes", "note", "comment", "comments", "remarks", "analyst", "matrix", "dilution", "batch", "status", "client", "customer", "project", "job", "report", "address", "notas", "cliente"}

// labNames are what laboratories call tests, beside the names in docs/entries.md.
// What starts with a star is worked out of something else.
var labNames = map[string]string{
	"total solids": labSolids, "solids": labSolids, "dry matter": labSolids, "ts": labSolids, "dm": labSolids, "materia seca": labSolids, "sólidos totales": labSolids,
	"p2o5": labP2O5, "phosphate": labP2O5, "phosphorus as p2o5": labP2O5, "fosfato": labP2O5,
	"k2o": labK2O, "potash": labK2O, "potassium as k2o": labK2O, "potasa": labK2O,
	"moisture content": "water_frac_wet", "humidity": "water_frac_wet", "humedad": "water_frac_wet",
	"kjeldahl nitrogen": "nitrogen_frac_dry", "tkn": "nitrogen_frac_dry", "tn": "nitrogen_frac_dry", "nitrógeno": "nitrogen_frac_dry", "nitrógeno total": "nitrogen_frac_dry",
	"toc": "carbon_frac_dry", "tc": "carbon_frac_dry", "carbono": "carbon_frac_dry", "carbono orgánico": "carbon_frac_dry",
	"loss on ignition": "volatile_frac_dry", "loi": "volatile_frac_dry", "om": "volatile_frac_dry", "vs": "volatile_frac_dry", "materia orgánica": "volatile_frac_dry",
	"fósforo": "phosphorus_frac_dry", "potasio": "potassium_frac_dry", "ceniza": "ash_frac_dry", "cenizas": "ash_frac_dry",
	"nh4-n": "ammonia_n_mg_kg_dry", "nh3-n": "ammonia_n_mg_kg_dry", "ammonium-n": "ammonia_n_mg_kg_dry", "ammonia-n": "ammonia_n_mg_kg_dry", "amonio": "ammonia_n_mg_kg_dry",
	"no3-n": "nitrate_n_mg_kg_dry", "nitrate-n": "nitrate_n_mg_kg_dry", "nitrato": "nitrate_n_mg_kg_dry", "nitratos": "nitrate_n_mg_kg_dry",
	"electrical conductivity": "ec_ds_m", "ec5": "ec_ds_m", "salinity": "ec_ds_m", "conductividad eléctrica": "ec_ds_m", "conductividad": "ec_ds_m", "ce": "ec_ds_m",
	"c/n": "cn", "carbon nitrogen": "cn", "c:n": "cn", "relación c/n": "cn",
	"densidad": "density_kg_m3_wet", "densidad aparente": "density_kg_m3_wet",
	"coliformes fecales": "fecal_coliform", "fecal coliform bacteria": "fecal_coliform", "salmonela": "salmonella",
	"arsénico": "arsenic", "cadmio": "cadmium", "cromo": "chromium", "cobre": "copper", "plomo": "lead", "mercurio": "mercury", "molibdeno": "molybdenum", "níquel": "nickel", "selenio": "selenium", "zinc": "zinc", "cinc": "zinc",
}

const (
	labSolids = "*solids"
	labP2O5   = "*P2O5"
	labK2O    = "*K2O"
)

// labWord brings a text of a sheet to small words with single blanks, without what
// stands in brackets.
func labWord(text string) string {
	name, _ := brackets(text)
	return strings.Trim(strings.ToLower(strings.Join(strings.Fields(strings.NewReplacer("_", " ", "#", " no ").Replace(name)), " ")), " .:*")
}

// brackets parts a text from what stands in its brackets.
func brackets(text string) (name, inside string) {
	for {
		open := strings.IndexAny(text, "([")
		if open < 0 {
			break
		}
		end := strings.IndexAny(text[open:], ")]")
		if end < 0 {
			break
		}
		inside = strings.TrimSpace(inside + " " + text[open+1:open+end])
		text = text[:open] + " " + text[open+end+1:]
	}
	return strings.TrimSpace(text), inside
}

// looseWords are words that stand with the name of a test and do not change it.
var looseWords = regexp.MustCompile(`\b(total|totals|spp|sp|content|ratio|by icp|generic|as received|as is|dry basis|dry weight|wet weight|wet basis|fresh weight|mpn|cfu|1:5|1:2)\b|[,.]`)

// labAnalyte finds the test that a name on a sheet means.
func labAnalyte(name string) (key string, ok bool) {
	word := labWord(name)
	plain := strings.Join(strings.Fields(looseWords.ReplaceAllString(word, " ")), " ")
	_, inside := brackets(name)
	for _, w := range []string{word, plain, strings.TrimSpace(plain + " total"), strings.TrimSpace("total " + plain), strings.ToLower(inside)} {
		if key, ok := labNames[w]; ok {
			return key, true
		}
		if key, ok := journal.AnalyteNamed(w); ok && (w != strings.ToLower(inside) || len(w) <= 2) { // Copper (Cu)
			return key, true
		}
	}
	return "", false
}

// labSlug makes the name of a test of the farm's own of what a sheet calls it.
func labSlug(name string) string {
	var b strings.Builder
	for _, r := range labWord(name) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "_"):
			b.WriteByte('_')
		}
	}
	if s := strings.Trim(b.String(), "_"); s != "" {
		return s
	}
	return "test"
}

var (
	ofDry = regexp.MustCompile(`(?i)[\s,;(-]*\b(dry[ -]?(weight|wt|basis|matter|mass)?|d\.?w\.?|d\.?m\.?|ts|total solids|db|base seca|peso seco|m\.?s\.?|seco)\b\.?\)?$`)
	ofWet = regexp.MustCompile(`(?i)[\s,;(-]*\b(wet[ -]?(weight|wt|basis)?|w\.?w\.?|fresh[ -]?(weight|matter|wt)?|f\.?w\.?|f\.?m\.?|as[ -]received|as[ -]is|a\.?r\.?|base húmeda|peso fresco|fresco|tal cual)\b\.?\)?$`)
)

// labBasis reads which matter a result is of.
func labBasis(text string) string {
	t := " " + strings.TrimSpace(text)
	switch {
	case ofDry.MatchString(t):
		return "dry"
	case ofWet.MatchString(t):
		return "wet"
	}
	return ""
}

// labUnits are spellings of units, without blanks and in small letters.
var labUnits = map[string]string{
	"percent": "%", "pct": "%", "wt%": "%", "wt.%": "%", "%w/w": "%", "%(w/w)": "%", "w/w%": "%", "g/100g": "%",
	"mgkg-1": "mg/kg", "mg/kilogram": "mg/kg", "ug/g": "mg/kg", "µg/g": "mg/kg", "ugg-1": "mg/kg", "gkg-1": "g/kg",
	"mpn/gram": "MPN/g", "mpn/gm": "MPN/g", "nmp/g": "MPN/g", "mpng-1": "MPN/g", "mpn/4grams": "MPN/4 g", "nmp/4g": "MPN/4 g", "mpn/4gts": "MPN/4 g",
	"cfu/gram": "CFU/g", "ufc/g": "CFU/g", "cfug-1": "CFU/g", "org/g": "1/g", "organisms/g": "1/g", "count/g": "1/g", "#/g": "1/g",
	"mmho/cm": "mmhos/cm", "dsm-1": "dS/m", "umhos/cm": "uS/cm", "umho/cm": "uS/cm", "mscm-1": "mS/cm",
	"g/cc": "g/cm3", "g/ml": "g/cm3", "kg/m³": "kg/m3", "lb/yd³": "lb/yd3", "lbs/yd3": "lb/yd3", "lb/cuyd": "lb/yd3", "lbs/cuyd": "lb/yd3", "lb/ft³": "lb/ft3", "lbs/ft3": "lb/ft3",
	"su": "", "s.u.": "", "phunits": "", "phunit": "", "stdunits": "", "standardunits": "", "unitless": "", "-": "", "none": "", "dimensionless": "", "ratio": "", "n/a": "", "x:1": "", ":1": "",
}

// labUnit reads a unit with the basis that may stand behind it. known is false for one
// that we cannot turn into another.
func labUnit(text string) (unit, basis string, known bool) {
	unit = strings.TrimSpace(text)
	if basis = labBasis(unit); basis != "" {
		unit = strings.TrimSpace(ofWet.ReplaceAllString(ofDry.ReplaceAllString(" "+unit, ""), ""))
	}
	plain := strings.ToLower(strings.ReplaceAll(unit, " ", ""))
	if u, ok := labUnits[plain]; ok {
		return u, basis, true
	}
	for _, u := range lab.Units() {
		if strings.ToLower(strings.ReplaceAll(u, " ", "")) == plain {
			return u, basis, true
		}
	}
	return unit, basis, unit == ""
}

// labRole guesses what a column is by its header.
func labRole(header string) (role string, rank int) {
	word := labWord(header)
	for _, h := range labHeaders {
		if i := slices.Index(h.words, word); i >= 0 {
			return h.role, i
		}
	}
	return "", 0
}

// guessColumns says what each column of a sheet is most likely.
func guessColumns(header []string) map[string]string {
	out := map[string]string{}
	best := map[string]int{}
	at := map[string]string{}
	for _, h := range header {
		if strings.TrimSpace(h) == "" {
			continue
		}
		out[h] = "-"
		if role, rank := labRole(h); role != "" {
			if was, ok := at[role]; !ok || rank < best[role] {
				if ok {
					out[was] = "-"
				}
				out[h], best[role], at[role] = role, rank, h
			}
		}
	}
	if _, long := at["test"]; long {
		return out
	}
	if was, ok := at["result"]; ok { // a result of no test
		out[was] = "-"
	}
	for _, h := range header {
		if _, known := labAnalyte(h); known && out[h] == "-" {
			out[h] = "each"
			continue
		}
		_, inside := brackets(h)
		if _, _, unit := labUnit(inside); out[h] == "-" && inside != "" && unit && !slices.Contains(labOther, labWord(h)) {
			out[h] = "each"
		}
	}
	return out
}

// headed counts the headers of a row that we know.
func headed(cells []string) (n int) {
	for _, c := range cells {
		if role, _ := labRole(c); role != "" {
			n++
		} else if _, ok := labAnalyte(c); ok {
			n++
		}
	}
	return n
}

func sortedNames[T any](m map[string]T) []string { return slices.Sorted(maps.Keys(m)) }
