package words

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"wormyard/journal"
)

// toldFiles is the files of the core whose sentences pages show.
var toldFiles = []string{"lot/label.go", "lot/judge.go", "lot/heat.go", "lot/rule.go", "internal/app/release.go", "internal/app/house_rule.go", "internal/app/labsheet*.go", "internal/app/sheet_map.go", "internal/app/orders_import.go", "lab/value.go", "lab/convert.go",
	"journal/rules.go", "journal/check.go", "journal/decode.go", "journal/words.go", "journal/reference.go", "qty/parse.go", "barn/select.go", "barn/named.go", "feedstock/library.go", "yard/advice.go",
	"farm/fold*.go", "farm/believed.go", "farm/assumed.go", "farm/history.go", "mix/forward.go", "mix/advice.go", "mix/blocked.go", "mix/solve.go", "feedstock/amount.go",
	"figure/problems.go", "lab/optics.go", "lab/lab.go", "internal/app/bench.go",
	"barn/reach.go", "internal/app/moves_farm.go",
	"carpentry/box.go", "carpentry/carpentry.go", "carpentry/checks.go", "carpentry/cut.go", "carpentry/holes.go", "internal/app/carpentry.go",
	"internal/app/record.go", "internal/app/record_lot.go", "internal/app/doubt.go", "internal/app/air.go", "internal/app/air_high.go", "internal/weather/site.go", "internal/app/outlook.go", "internal/app/setting.go", "internal/app/prices.go", "internal/app/mix_solve.go", "internal/app/season.go", "internal/app/duty.go", "internal/app/season_demand.go", "internal/app/demand_file.go", "internal/app/season_year.go", "internal/app/season_heat.go", "season/choices.go", "season/sound.go", "internal/app/first_bins.go", "internal/app/first_morning.go", "internal/app/first_told.go", "internal/app/first_yard.go", "internal/app/first_span.go", "internal/app/first_csv.go",
	"internal/sheet/bins.go", "internal/sheet/cells.go", "internal/sheet/header.go", "internal/sheet/import.go", "internal/sheet/names.go", "internal/sheet/objects.go", "internal/sheet/table.go", "internal/sheet/value.go", "internal/sheet/when.go",
}

// joined are sentences that the core makes in two steps, by the end that stands
// in the source.
var joined = map[string]string{
	"%s as far as we know.": "%s is %s, and bin %s is %s deep as far as we know.",
}

// literal gives the format that an expression makes: what is joined in between
// is a value.
func literal(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind == token.STRING {
			s, err := strconv.Unquote(e.Value)
			return s, err == nil
		}
	case *ast.BinaryExpr:
		a, left := literal(e.X)
		b, right := literal(e.Y)
		if e.Op != token.ADD || !left && !right {
			return "", false
		}
		if !left {
			a, b = "%s", strings.ReplaceAll(b, "%.", "%%.")
		}
		if !right {
			b = "%s"
		}
		return a + b, true
	case *ast.ParenExpr:
		return literal(e.X)
	}
	return "", false
}

// formatsOf gives every format of a sentence in a file, with where it stands.
func formatsOf(t *testing.T, path string) map[string]token.Position {
	set := token.NewFileSet()
	f, err := parser.ParseFile(set, path, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]token.Position{}
	ast.Inspect(f, func(n ast.Node) bool {
		e, ok := n.(ast.Expr)
		if !ok {
			return true
		}
		s, ok := literal(e)
		if !ok {
			return true
		}
		s = strings.TrimSpace(s)
		if strings.Contains(s, " ") && strings.ContainsAny(s[len(s)-1:], ".?") || strings.HasSuffix(s, ". %s") || strings.HasSuffix(s, ": %v") {
			out[s] = set.Position(e.Pos())
		}
		_, isLit := e.(*ast.BasicLit)
		return !isLit && strings.Count(s, "%s") > 0 && len(s) == 2
	})
	return out
}

// TestCoreIsToldInSpanish walks the source and the data of the core, and wants
// Spanish for every sentence and every material.
func TestCoreIsToldInSpanish(t *testing.T) {
	root := filepath.Join("..", "..", "..")
	want := map[string]string{}
	var source strings.Builder
	for _, g := range toldFiles {
		paths, _ := filepath.Glob(filepath.Join(root, g))
		if len(paths) == 0 {
			t.Errorf("no file is %s", g)
		}
		for _, p := range paths {
			if strings.HasSuffix(p, "_test.go") {
				continue
			}
			data, err := os.ReadFile(p)
			if err != nil {
				t.Fatal(err)
			}
			source.Write(data)
			for s, at := range formatsOf(t, p) {
				if whole := joined[s]; whole != "" {
					s = whole
				}
				want[s] = at.String()
			}
		}
	}
	if len(want) < 150 {
		t.Fatalf("only %d sentences were found in the source", len(want))
	}
	var hazards struct {
		Hazards []struct{ What, Why, Clears string }
	}
	var materials struct{ Materials []struct{ Name string } }
	var claims struct{ Claims []struct{ Why, Try string } }
	for name, into := range map[string]any{"hazards": &hazards, "materials": &materials, "claims": &claims} {
		data, err := os.ReadFile(filepath.Join(root, "internal/source/data", name+".json"))
		if err == nil {
			err = json.Unmarshal(data, into)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	ruleFiles, _ := filepath.Glob(filepath.Join(root, "internal/source/data/rules/*.json"))
	if len(ruleFiles) < 8 {
		t.Errorf("only %d rules were found", len(ruleFiles))
	}
	for _, name := range ruleFiles {
		var r struct {
			Title, Applies, Note, How, Citation, Jurisdiction string
			Limits                                            []struct{ Where, Note string }
			Evidence                                          []struct{ Say, Try, Where, Note string }
		}
		data, err := os.ReadFile(name)
		if err == nil {
			err = json.Unmarshal(data, &r)
		}
		if err != nil {
			t.Fatal(err)
		}
		all := []string{r.Title, r.Applies, r.Note, r.Jurisdiction}
		own := r.How == "assumed" // the law is cited in its own language
		if own {
			all = append(all, r.Citation)
		}
		for _, l := range r.Limits {
			if all = append(all, l.Note); own {
				all = append(all, l.Where)
			}
		}
		for _, n := range r.Evidence {
			if all = append(all, n.Say, n.Try, n.Note); own {
				all = append(all, n.Where, r.Citation+", "+n.Where)
			}
		}
		for _, s := range all {
			if s != "" {
				want[s] = filepath.Base(name)
			}
		}
	}
	for _, c := range claims.Claims {
		want[c.Why], want[c.Try] = "claims.json", "claims.json"
	}
	for _, h := range hazards.Hazards {
		for _, s := range []string{h.What, h.Why, h.Clears} {
			if s != "" {
				want[s] = "hazards.json"
			}
		}
	}
	for _, s := range slices.Sorted(maps.Keys(want)) {
		if _, ok := spanishTold[s]; !ok {
			t.Errorf("%s has no Spanish: %q", want[s], s)
		}
	}
	for _, s := range slices.Sorted(maps.Keys(spanishTold)) {
		sentence := strings.ContainsAny(s[len(s)-1:], ".?")
		if want[s] == "" && (sentence || !strings.Contains(source.String(), `"`+strings.TrimSuffix(s, "%s"))) {
			t.Errorf("Spanish has a sentence that the core does not: %q", s)
		}
		if a, b := valuesOf(s), valuesOf(spanishTold[s]); !slices.Equal(a, b) {
			t.Errorf("%q takes %v in English and %v in Spanish", s, a, b)
		}
	}
	for _, m := range materials.Materials {
		if spanishMaterials[m.Name] == "" {
			t.Errorf("the material %q has no Spanish name", m.Name)
		}
	}
}

// TestGroupsAreTold holds the words of what an entry must say, or say once.
func TestGroupsAreTold(t *testing.T) {
	n := 0
	for _, k := range journal.Kinds() {
		for _, g := range k.OneOf {
			n++
			if spanishWords[g.What] == "" {
				t.Errorf("%s: %q has no Spanish", k.Name, g.What)
			}
		}
	}
	if n < 15 {
		t.Errorf("only %d groups of fields were found", n)
	}
}

func TestTold(t *testing.T) {
	es, en := Spanish(), English()
	for _, x := range []struct{ english, want string }{
		{"Depth of the feed is 30 in. Usual is 0.5 in to 4 in.", "Grueso de la comida: 30 in. Lo normal es de 0.5 in a 4 in."},
		{"We think the core is between 130 °F and 150 °F. It has never been measured.", "Creemos que el centro está entre 130 °F y 150 °F. Nunca se ha medido."},
		{"Bin B12 holds a bed since 3 March 2026.", "La caja B12 tiene cama desde el 3 de marzo de 2026."},
		{`"2 buckets" has no unit. Did you mean B1 or B2?`, `"2 buckets" no trae unidad. ¿Quiso decir B1 o B2?`},
		{"Bin B3 stands in North/1/2/3 by the journal.", "Según la bitácora, en North/1/2/3 está la caja B3."},
		{"Nothing is written down yet of pile Old barn. If the name is right, say yes.", "Todavía no hay nada anotado de montón Old barn. Si el nombre está bien, diga que sí."},
		{"rabbit manure", "estiércol de conejo"},
		{"Rabbit manure", "Estiércol de conejo"},
		{"The mother in law is ill.", "The mother in law is ill."},
		{"Pile 7 is on hold: smells. Ask Joe.", "El montón 7 está retenido: smells. Ask Joe."},
		{"It would be possible with 3 yd3 of hay, general and 1 yd3 of sawdust.", "Con 3 yd3 de heno y 1 yd3 de aserrín se podría."},
		{`Temperatura: "hot" does not begin with a number.`, `Temperatura: "hot" no empieza con un número.`},
		{"Pile solids 24-06 after the load of 19 June 2024. 0 of 360 hours count. It was turned 0 of 5 times meanwhile. 144 hours were too cold.", "Montón solids 24-06 después de la carga del 19 de junio de 2024. Cuentan 0 de 360 horas. Mientras tanto se volteó 0 de 5 veces. 144 horas estuvo demasiado frío."},
		{"Animal matter went in: dairy solids, separated and rabbit manure.", "Entró materia animal: " + es.Material("dairy solids, separated") + " y estiércol de conejo."},
		{"Have enterococci tested.", "Mande analizar: enterococos."},
		{"Have self-heating tested.", "Mande analizar: autocalentamiento."},
		{"Weigh a bucket of the Solids.", "Pese una cubeta de Solids."},
		{"Share that is castings is −7 %. It must be between 0 and 100 %.", "Parte que es humus: −7 %. Debe estar entre 0 y 100 %."},
		{"It is not said what the probe said.", "Falta un dato: qué marcó la sonda."},
		{"What was said is missing.", "Falta: Qué se dijo."},
		{"No column says when. Add a column \"Date\".", "Ninguna columna dice cuándo. Agregue una columna \"Date\" (fecha)."},
		{"", ""},
	} {
		if got := es.Told(x.english); got != x.want {
			t.Errorf("%q is told %q, not %q", x.english, got, x.want)
		}
		if got := en.Told(x.english); got != x.english {
			t.Errorf("English changes %q into %q", x.english, got)
		}
	}
}

// What serves as weather and what is assumed of a barn stands under the round; a page
// tells it in the reader's language, record and barn included.
func TestNotesOfTheRoundInSpanish(t *testing.T) {
	for say, want := range map[string]string{
		"Weather of 302 days is taken from the daily record of Seattle, moved on by 12 years. Weather of one day is taken from the outlook. Weather of 13 days is taken from the normals of the nearest record (Seattle), moved towards the days around them.": "Tiempo de 302 días, según el registro diario de Seattle, adelantado 12 años. Tiempo de un día, según el pronóstico del tiempo. Tiempo de 13 días, según lo usual del registro más cercano (Seattle), acercado a los días de alrededor.",
		"Nobody measured barn North: a floor of 29 × 15 ft is assumed.": "Nadie midió el granero North: se supone un piso de 29 × 15 ft.",
		"Barn Shed is taken as a bare shed of boards and sheet metal.":  "El granero Shed se toma como un cobertizo sencillo de tablas y lámina.",
	} {
		if got := Spanish().Told(say); got != want {
			t.Errorf("%q", got)
		}
	}
}
