package web

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/net/html"

	"wormyard/cost"
	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/label"
	"wormyard/internal/source"
	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/round"
	"wormyard/trace"
)

// recordKeys and recordColumns are the headings of the record of a lot.
var (
	recordKeys    = []string{"made", "loads", "heat", "batches", "beds", "harvests", "joined", "screens", "cures", "counts", "tests", "decisions", "rules", "bagged", "sales", "samples", "drills"}
	recordColumns = []string{"material", "share", "day", "pile", "came", "declared", "who", "time", "act", "temp", "depth", "water", "batch", "parts", "tests", "bin", "till", "laid", "lot", "how", "mass", "volume", "from", "to", "opening", "through", "over", "moisture", "oversto", "place", "group", "fields", "counted", "dilution", "result", "laboratory", "decision", "why", "bags", "each", "same", "customer", "asked", "has", "answer", "citation", "known", "sample", "until", "customers", "foundin", "mend"}
)

// gridKeys are the papers for labels of lots.
func gridKeys() []string {
	var out []string
	for _, g := range label.Grids() {
		out = append(out, g.Key)
	}
	return out
}

// traceKindKeys are the kinds of things of a trace, counted.
func traceKindKeys() []string {
	var out []string
	for _, k := range trace.Kinds() {
		out = append(out, string(k)+".one", string(k)+".many")
	}
	return out
}

// builtKeys are the beginnings of keys that are put together while a page is
// drawn, with every ending that can come.
func builtKeys() map[string][]string {
	acts := []string{"open", "feed", "water", "cover", "warm", "rest", "look", "harvest", "split", "blend", "turn", "wet", "measure", "wait", "ask", "mend", "helped"}
	var startNames []string
	for _, l := range [][]startBox{siteBoxes, binBoxes, bedBoxes} {
		for _, b := range l {
			startNames = append(startNames, b.name)
		}
	}
	var barnNames, pileNames []string
	for _, b := range barnBoxes {
		barnNames = append(barnNames, b.name)
	}
	for _, b := range pileBoxes {
		pileNames = append(pileNames, b.name)
	}
	groups := []string{"bacteria", "threads", "flagellates", "amoebae", "ciliates", "nematodes_bacteria", "nematodes_fungi", "nematodes_plants", "nematodes_predators", "unknown"}
	known := []string{"found", "memory", "assumed"}
	ripeSteps := []string{"feed_one_side", "stop_feeding", "let_dry", "take"}
	likelyKeys := []string{"warmest", "wet", "left", "worms", "air", "refuge", "castings"}
	return map[string][]string{
		"nav.": {"round", "barn", "yard", "mix", "more"}, "worms.": app.WormKinds, "act.": acts, "urgency.": {"now", "today", "thisweek", "nohurry"},
		"answer.": {"look", "harvest", "split", "warm", "measure"}, "bin.act.": {"feed", "water", "look", "reading", "depth", "sighting", "cover", "weigh", "turn", "stock", "count", "harvest", "move", "assay", "bed", "build"},
		"pile.act.": {"measured", "turned", "wetted", "covered"}, "hazard.": {"refuse", "hold", "warn"}, "key.": {"feed", "water", "look", "harvest", "cover", "turn", "now"},
		"layer.": {"feed", "bedding", "castings", "chips"}, "likely.": likelyKeys, "matter.": {"water", "cn", "density", "salts", "ph"},
		"unit.": {"inches", "cm"}, "out.": {"water_frac_wet", "cn", "air_filled_frac", "ec_ds_m", "ph_low", "ph_high", "ammonia_n_mg_kg_dry", "density_kg_m3_wet", "nitrogen_frac_dry", "ash_frac_dry", "lignin_frac_dry", "volume_m3", "mass_kg_wet", "water_to_add_kg", "cost"},
		"workshop.f.": workshopKeys("f"), "workshop.beside.": append(workshopKeys("beside"), "none"), "workshop.part.": {"liner", "fastener"}, "workshop.v.": workshopKeys("v"), "workshop.posts.": {"outside", "inside"}, "workshop.liner.": {"none", "film", "bubblefilm", "foamboard"}, "workshop.fastener.": {"screw", "nail"}, "workshop.": {}, "workshop.mend.": {"floor", "bearer", "onforks", "opening", "wall", "off", "corner", "post", "stack", "truck"},
		"moves.from.": {"stack", "floor"}, "moves.in.": {"stack", "floor"}, "moves.level.": {"1", "2", "3", "4", "5", "6", "7", "8"}, "barn.view.": {"all", "needs", "warmth", "list"}, "start.": {"barns", "barns.say", "bins", "bins.say", "beds", "beds.say", "excepts", "excepts.say", "piles", "piles.say", "mixes", "mixes.say", "site", "site.say"},
		"start.f.": startNames, "start.barns.": barnNames, "start.piles.": pileNames, "start.mixes.": {"name", "purpose", "parts"}, "care.": {"truck", "harvest", "dust", "pile", "receive", "lift", "manure"},
		"site.": {}, "start.c.": {}, "start.h.": {}, "start.barns.h.": {}, "start.piles.h.": {}, "start.mixes.h.": {}, "chanceof.": {}, "working.": {}, "working.formula.": likelyKeys, "working.how.": likelyKeys, "round.": {},
		"costs.say.": {"yard", "metre"}, "costs.partof.": {"yard", "metre"}, "costs.bylot.": {"yard", "metre"}, "costs.bymonth.": {"yard", "metre"}, "cost.kind.": costKinds(), "costs.used.": costKinds()[2:], "costs.try.": triedBoxes, "costs.act.": app.TimedActs(), "prices.as.": farm.SoldAs(), "order.state.": {"open", "part", "done", "cancelled"}, "order.act.": {"deliver", "worms", "cancel"},
		"lot.state.": {"raw", "screened", "curing", "held", "released", "sold"}, "lot.act.": lotActs, "trace.": {"back", "forward"}, "trace.kind.": traceKindKeys(), "trace.column.": {"delivery", "pile", "batch", "bed", "lot", "bags", "overs", "sale", "customer"},
		"ripe.way.": {"side_feeding", "table", "screening"}, "ripe.step.": ripeSteps, "trials.measure.": {"temp_c", "water_frac_wet", "fed_kg_wet", "castings_kg_wet", "worms_per_m2"}, "trials.verdict.": {"more", "less", "cannot"}, "ripe.note.": ripeSteps, "deck.": {"opening", "openinghelp", "water", "waterhelp", "rate", "ratehelp", "chips", "chipshelp"},
		"labsheet.col.": {"sample", "test", "result", "sign", "unit", "basis", "limit", "method", "day", "laboratory", "each", "out"},
		"limit.":        {"mean", "geometric_mean", "dry", "wet"}, "limit.analyte.": {"cn_start", "organic_matter", "salts", "water", "plastic", "bioassay_hurt"},
		"label.paper.":  {"letter", "a4", "4x6"},
		"season.gallon": plural, "season.litre": plural, "season.therm": plural, "season.kwh": plural, // fuelUnit
		"bag.paper.": gridKeys(), "analyte.": journal.Analytes(), "bag.basis.": {"wet", "dry"},
		"bench.": {"nocounttry", "nolengthtry"}, "bench.group.": groups, "bench.short.": groups, "bench.speaks.": {"lot", "slide", "subsample"}, "bench.versus.": {"fewer", "more"}, "bench.versus.only.": {"fewer", "more"},
		"benches.for.": {"lot", "slide", "subsample"}, "benches.way.": {"age", "screen", "storage"}, "benches.against.": {"age", "screen", "storage"},
		"report.group.": append([]string{"fungi", "fungi_bacteria", "nematodes"}, groups...), "report.unit.": {"m_g", "per_g", "ug_g"}, "rules.known.": known, "rules.where.": known, "release.known.": known, "release.where.": known,
		"season.eased.": {"lies", "end", "feed", "cash", "crew", "store", "worms"}, "season.enough.": {"bins", "worms", "crew"}, "demand.col.": {"day", "week", "product", "amount", "unit", "price", "penalty"}, "season.changed.": {"start", "harvest", "sell", "heat", "cold"}, "season.changedfrom.": {"start", "harvest", "sell", "heat", "cold"}, "season.heat.": {"power", "heatpump", "propane", "oil", "gas"}, "plan.changed.": {"start", "harvest", "sell", "heat", "cold"}, "plan.limit.": {"bins", "worms", "crew", "cash", "store", "demand", "feed", "feedstore"}, "plan.unit.": {"bins", "worms", "crew", "cash", "store", "demand", "feed", "feedstore"}, "season.step.": {"round", "bins", "farm", "search", "years", "surer", "promises"}, "season.of.": {"power", "heatpump", "propane", "oil", "gas"}, "season.from.": {"typed", "journal", "twins", "assumed"},
		"season.fact.": {"bedabove", "bins", "ripe", "gives", "eats", "running", "feedcost", "feedstore", "feedcomes", "worms", "mosthold", "price", "sales", "orders", "crew", "cure", "stock", "store", "endbins", "bedding", "duties", "demand", "heatat", "heatprice", "heatloss", "heater", "splithours", "splitback", "cash", "spent"}, "season.aim.": {"money", "castings", "promises"},
		"orders.col.":  {"at", "time", "unit", "who"},
		"season.head.": {"week", "start", "harvest", "collect", "sell", "bins", "worms", "stock", "crew"}, "season.more.": {"volume", "volumeweek"},
		"sample.why.": {"heap", "bags", "bins", "spread"}, "sample.depth.": {"top", "middle", "bottom"}, "sample.step.": {"clean", "grab", "mix", "send", "name"},
		"record.": recordKeys, "record.c.": recordColumns, "record.decision.": {"release", "hold"}, "record.known.": {"found", "memory", "assumed"},
		"times.act.":     {string(farm.ActCover), string(farm.ActHeat), string(farm.ActMove), string(farm.ActStock), string(farm.ActTake)},
		"enter.group.":   enterGroupKeys(),
		"trouble.cause.": troubleKeys("cause"), "trouble.why.": troubleKeys("cause"), "trouble.look.": troubleKeys("look"), "trouble.is.": troubleKeys("is"), "trouble.do.": troubleKeys("do"), "trouble.not.": troubleKeys("not"), "trouble.care.": troubleKeys("care"), "trouble.need.": troubleKeys("need"),
		"mixat.": mixKeys(), "mend.more.": {"half", "one"}, "mend.less.": {"half", "one"}, "sheet.way.": {"done", "other", "not", "fed", "notfed", "notknown", "gone", "better", "same", "worse"},
		"choice.cause.": journal.Causes, "choice.step.": journal.Steps, "choice.steps.": journal.Steps,
		"remedy.now.": {"look_again", "read_again"}, "remedy.said.": app.SaidHelped, "remedy.tried.": append([]string{remedyDrop}, app.SaidHelped...), "remedy.entry.": append([]string{"begun", "done", remedyDrop}, app.SaidHelped...),
		"trouble.from.": {"seen", "look", "reading", "journal", "twin"}, "truck.": {"off", "on"}, "truck.part.": truckKeys(),
	}
}

// workshopKeys gives the endings of the words of the workshop.
func workshopKeys(of string) (out []string) {
	switch of {
	case "f":
		out = append(out, "stock", "name")
		return append(out, boxNames...)
	case "beside":
		for _, x := range besides {
			out = append(out, x.key)
		}
	case "v":
		out = []string{"holds", "cost", "year", "bought", "room", "weight", "warmth", "life", "air", "no", "noprice", "some", "to", "boughtsay"}
	}
	return out
}

func costKinds() (out []string) {
	for _, k := range cost.Kinds() {
		out = append(out, string(k))
	}
	return out
}

func enterGroupKeys() []string {
	out := []string{"rest"}
	for _, g := range enterGroups {
		out = append(out, g.key)
	}
	return out
}

// mixKeys gives the endings of the sentences of where a window stands.
func mixKeys() []string {
	out := []string{"other", "unknown"}
	for _, w := range []string{"water_frac_wet", "cn", "air_filled_frac", "ec_ds_m", "ammonia_n_mg_kg_dry", "density_kg_m3_wet"} {
		for _, where := range []string{"below", "in", "above"} {
			out = append(out, w+"."+where)
		}
	}
	return out
}

// troubleKeys gives the endings of the words of a diagnosis, from its data.
func troubleKeys(of string) []string {
	book, err := source.Trouble()
	if err != nil {
		panic(err)
	}
	var out []string
	add := func(what, key string) {
		if what == of && key != "" && !slices.Contains(out, key) {
			out = append(out, key)
		}
	}
	for _, c := range book.Causes() {
		add("cause", c.Key)
		for _, d := range c.Do {
			add("do", d.Key)
		}
		for _, n := range c.Not {
			add("not", n)
		}
		for _, n := range c.Care {
			add("care", n)
		}
	}
	for _, l := range book.Looks() {
		add("look", l.Key)
		add("need", l.Needs)
		for _, is := range l.Is() {
			add("is", l.Key+"."+strings.ReplaceAll(is, " ", ""))
		}
	}
	return out
}

func truckKeys() (out []string) {
	for _, part := range journal.TruckParts {
		out = append(out, strings.ReplaceAll(part, " ", ""))
	}
	return out
}

// optional are keys that are looked up and may be missing.
var optional = []string{"site.", "start.c.", "start.h.", "start.barns.h.", "start.piles.h.", "start.mixes.h.", "chanceof.", "out."}

var plural = []string{".one", ".many"}

// TestCatalogue holds three things: every key that a page asks for is there,
// none is there that no page asks for, and each has the values its sentence
// wants (TestEveryPageIsDrawn sees the rest).
func TestCatalogue(t *testing.T) {
	c := words.English()
	asked := map[string]bool{}
	for _, file := range goFiles(t) {
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			name := ""
			switch fun := call.Fun.(type) {
			case *ast.SelectorExpr:
				name = fun.Sel.Name
			case *ast.Ident:
				name = fun.Name
			}
			if !slices.Contains([]string{"Say", "Count"}, name) {
				return true
			}
			lit, ok := call.Args[0].(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			key, _ := strconv.Unquote(lit.Value)
			switch {
			case name == "Count":
				for _, p := range plural {
					asked[key+p] = true
				}
			default:
				asked[key] = true
			}
			return true
		})
		// keys that stand in tables of the code
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`"([a-z]+(?:\.[a-z_0-9A-Z]+)+)"`).FindAllStringSubmatch(string(data), -1) {
			if c.Has(m[1]) {
				asked[m[1]] = true
			}
		}
	}
	for _, m := range regexp.MustCompile(`say "([^"]+)"`).FindAllStringSubmatch(allTemplates(t), -1) {
		asked[m[1]] = true
	}
	for prefix, endings := range builtKeys() {
		delete(asked, prefix)
		for _, e := range endings {
			asked[prefix+e] = true
		}
		if slices.Contains(optional, prefix) {
			for _, k := range c.Keys() {
				if strings.HasPrefix(k, prefix) {
					asked[k] = true
				}
			}
		}
	}
	for key := range asked {
		if !c.Has(key) && key != "" && !strings.HasSuffix(key, ".") {
			t.Errorf("a page asks for %q, which the catalogue lacks", key)
		}
	}
	for _, key := range c.Keys() {
		if !asked[key] {
			t.Errorf("no page asks for %q", key)
		}
		s := c.Say(key)
		if strings.Contains(s, "!") {
			t.Errorf("%q raises its voice: %s", key, s)
		}
		if strings.Contains(strings.ToLower(s), "invalid") {
			t.Errorf("%q says what is wrong with a word that does not help: %s", key, s)
		}
	}
}

func goFiles(t *testing.T) []string {
	var out []string
	for _, dir := range []string{".", "words"} {
		list, err := fs.Glob(os.DirFS("."), dir+"/*.go")
		if dir == "." {
			list, err = fs.Glob(os.DirFS("."), "*.go")
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range list {
			if !strings.HasSuffix(f, "_test.go") && !strings.HasPrefix(f, "words/english") && !strings.HasPrefix(f, "words/spanish") {
				out = append(out, f)
			}
		}
	}
	return out
}

func allTemplates(t *testing.T) string {
	var b strings.Builder
	names, err := fs.Glob(templateFiles, "templates/*.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		data, err := fs.ReadFile(templateFiles, n)
		if err != nil {
			t.Fatal(err)
		}
		b.Write(data)
	}
	return b.String()
}

// TestTemplatesHoldNoWords sees that no letter is shown that does not come from
// the catalogue or the page, and that templates only repeat and leave out.
func TestTemplatesHoldNoWords(t *testing.T) {
	actions := regexp.MustCompile(`\{\{[^}]*\}\}`)
	names, _ := fs.Glob(templateFiles, "templates/*.html")
	for _, n := range names {
		data, err := fs.ReadFile(templateFiles, n)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range actions.FindAllString(string(data), -1) {
			word := strings.Fields(strings.Trim(a, "{}- "))
			if !slices.Contains([]string{"if", "range", "else", "end", "with", "template", "define", "say", "told", "block"}, word[0]) && !strings.HasPrefix(word[0], ".") && !strings.HasPrefix(word[0], "$") {
				t.Errorf("%s computes: %s", n, a)
			}
			for _, w := range word {
				if slices.Contains([]string{"eq", "ne", "lt", "gt", "and", "or", "not", "printf", "len", "index"}, w) {
					t.Errorf("%s decides: %s", n, a)
				}
			}
		}
		unscripted := strings.NewReplacer("<noscript>", "", "</noscript>", "") // what it holds is markup for a browser without scripts
		z := html.NewTokenizer(strings.NewReader(unscripted.Replace(actions.ReplaceAllString(string(data), ""))))
		for {
			tt := z.Next()
			if tt == html.ErrorToken {
				break
			}
			tok := z.Token()
			if tt == html.TextToken && strings.IndexFunc(tok.Data, unicode.IsLetter) >= 0 {
				t.Errorf("%s says %q itself", n, strings.TrimSpace(tok.Data))
			}
			for _, a := range tok.Attr {
				if slices.Contains([]string{"aria-label", "title", "alt", "placeholder"}, a.Key) && strings.IndexFunc(a.Val, unicode.IsLetter) >= 0 {
					t.Errorf("%s says %q itself", n, a.Val)
				}
			}
		}
	}
}

// TestHandlersHoldNoSentences sees that sentences come from the catalogue: a
// string of several words in a handler must be for the log or an error of ours.
func TestHandlersHoldNoSentences(t *testing.T) {
	sentence := regexp.MustCompile(`[a-z]{2,} [a-z]{2,} [a-z]{2,}`)
	ours := []string{"Errorf", "New", "Error", "Error.New"}
	for _, file := range goFiles(t) {
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				if fun, ok := call.Fun.(*ast.SelectorExpr); ok && slices.Contains(ours, fun.Sel.Name) {
					return false
				}
			}
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING && sentence.MatchString(lit.Value) {
				t.Errorf("%s holds a sentence: %s", set.Position(lit.Pos()), lit.Value)
			}
			return true
		})
	}
}

// TestRoundPhrasesHaveDrawings sees that every act has a glyph and a word.
func TestRoundPhrasesHaveDrawings(t *testing.T) {
	for _, act := range actsAnswered {
		if glyphs[act] == nil {
			t.Errorf("%s has no glyph", act)
		}
	}
	for _, act := range []round.Act{round.Open, round.Feed, round.Water, round.Cover, round.Warm, round.Rest, round.Look, round.Harvest, round.Split, round.Blend, round.Turn, round.Wet, round.Measure, round.Wait} {
		if !words.English().Has("act." + string(act)) {
			t.Errorf("%s has no word", act)
		}
	}
}
