package web

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/andybalholm/cascadia"
	"golang.org/x/net/html"

	"wormyard/journal"
	"wormyard/program"
	"wormyard/qty"
)

func escaped(v string) string { return url.QueryEscape(v) }

// noSolver stands where a test wants no solver.
func noSolver(context.Context, program.Problem) (program.Solution, error) {
	return program.Solution{}, nil
}

// doc reads a page.
func doc(t testing.TB, w *httptest.ResponseRecorder) *html.Node {
	t.Helper()
	n, err := html.Parse(w.Body)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func all(n *html.Node, selector string) []*html.Node {
	return cascadia.QueryAll(n, cascadia.MustCompile(selector))
}

// text gives the text of the first match, with single spaces.
func textOf(n *html.Node, selector string) string {
	list := all(n, selector)
	if len(list) == 0 {
		return ""
	}
	return words1(list[0])
}

func words1(n *html.Node) string {
	var b strings.Builder
	var walk func(*html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data + " ")
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(n)
	return strings.Join(strings.Fields(b.String()), " ")
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// everyPage is each address that can be looked at on the sample farm, with what
// must stand on it.
func everyPage(t testing.TB, d *desk) map[string]string {
	d.printed = true // a sheet to be typed back
	aLot(t, d.farm)
	feed := url.PathEscape(lineKey(t, d, "feed", ""))
	return map[string]string{
		"/round": "article.line .say", "/round/" + feed: ".opened table", "/round/" + feed + "/except": "form .pick input[type=checkbox]", "/round/print": ".sheet-line svg.code path",
		"/moves": "ol.movesteps li", "/moves?set=yes&back=same&more=B1": "ol.movesteps li", "/moves/print": ".sheet ol.movesteps li", "/moves/places": "article.drive form", "/moves/drive": "article.drive .say",
		"/round/walk": "form button[value=done]", "/round/walk?at=3": "details input[name=why]",
		"/barn": "svg.elevation a.box", "/barn/1?show=needs": "a.box.faint", "/barn/1?show=warmth": "a.box[data-act^=warm-]", "/barn/1?look=B4": "#look .need", "/layout?barn=1": "input[name=stacks_0]", "/layout": "input[name=name]", "/barn/2?show=list": "table td", "/bin/B10": "svg.drawing .d-band",
		"/bin/B10/feed": "form input[name=batch]", "/bin/B10/water": "input[name=kg]", "/bin/B10/look": "input[name=squeeze]", "/bin/B10/reading": "input[name=temp_c]", "/bin/B10/depth": "input[name=depth_m]", "/bin/B10/sighting": "input[name=what]",
		"/yard": ".heap svg", "/yard/pile/solids%207": ".opened dl", "/yard/batch/41": ".opened dl", "/yard/receive": "input[name=material]", "/yard/pile/rabbit%203/tend": "input[name=act]",
		"/workshop": "svg.drawing path.w-heavy", "/workshop?hole=&liner=none&beside=redwood&truck=800+lb": "#result table td",
		"/mix": "select[name=pile]", "/mix?from=41": "select[name=pile] option[selected]", "/journal": ".entries li", "/journal?q=mites": ".entries li", "/enter": ".things a", "/enter/harvest": "input[name=bins]", "/enter/site": "input[name=low_c]",
		"/bin/B20/trouble": ".do-list li a", "/bin/B20/trouble?is=smell:sour&is=mites:red+mites": "form[action='/bin/B20/look'] input[name=smell]", "/truck": "input[name=wrong]",
		"/labels": "input[name=which]", "/labels?which=row+3+of+1": "input[name=base]", "/b": "input[name=bin]", "/scan": "bin-scan[data-keys]", "/round/sheet": "fieldset.sheet-back input[type=radio]",
		"/castings": "a.heap svg", "/lot/26-01": "a[href='/lot/26-01/sheet']", "/lot/26-01/sheet": "input[type=file]", "/lot/26-01/sample": "table", "/lot/26-01/sample?bins=row+3+of+1": "table", "/lot/26-01/release": "details summary", "/lot/26-01/release?rule=us_organic_compost": "details summary",
		"/rules": ".things a[href='/rules/farm_house']", "/rules/us_organic_compost": ".asks li small", "/rules/farm_house": "a[href='/rules/farm_house/change']", "/rules/farm_house/change": "fieldset input[name=analyte_0]",
		"/farm": "form input[name=farm]", "/import": "input[type=file]", "/more": "form[action='/choose'] button", "/score": "h1", "/season": "input[name=product_0]", "/season/demand": "input[type=file]", "/bench": "h1", "/trials": "h1", "/costs": "form[data-try] input[name=wage]", "/prices": "fieldset input[name=name_0]", "/orders": "a[href='/orders/import']", "/orders/new": "input[name='lines.0.what']", "/orders/import": "input[type=file]", "/enter/order": "input[name=customer]", "/working": "h1", "/working/bin/B10": "h1", "/working/pile/solids%207": "table", "/working/batch/41": "table",
	}
}

// aLot gives a farm a lot, tested, that no rule lets go yet.
func aLot(t testing.TB, f *paper) {
	t.Helper()
	if _, there := f.State().Lot("26-01"); there {
		return
	}
	mass, at := qty.WetKg(75), f.Now().Add(-2*time.Hour)
	for _, e := range []journal.Entry{
		{Kind: "harvest", Body: &journal.Harvest{Bins: []string{"B11"}, MassKgWet: &mass, Lot: "26-01"}},
		{Kind: "assay", Body: &journal.Assay{Subject: "lot 26-01", Analyte: "salmonella", Value: 3, Unit: "MPN/4 g", Basis: "dry", Reads: journal.ReadsLess}},
	} {
		e.ID, e.At, e.Who, at = f.newID(at), at, "owner", at.Add(time.Minute)
		if ack, err := f.Record(context.Background(), e, true); err != nil || !ack.Saved {
			t.Fatalf("%s: %v %v", e.Kind, err, ack.Problems)
		}
	}
}

func TestEveryPageIsDrawn(t *testing.T) {
	s, _, d := sample(t)
	for path, selector := range everyPage(t, d) {
		for _, who := range []string{"units=us", "units=metric"} {
			w := get(t, s, path, who, "theme=soil")
			if w.Code != 200 {
				t.Errorf("%s: %d", path, w.Code)
				continue
			}
			n := doc(t, w)
			if len(all(n, selector)) == 0 {
				t.Errorf("%s has no %s", path, selector)
			}
			if x := words1(n); strings.Contains(x, "«") {
				t.Errorf("%s says a key that is not in the catalogue: %s", path, x[strings.Index(x, "«"):][:40])
			} else if strings.Contains(x, "%!") {
				t.Errorf("%s has a sentence that does not fit its values: %s", path, x[strings.Index(x, "%!"):][:40])
			}
			if x := words1(n); strings.Contains(x, "{0}") || strings.Contains(x, "{1}") || strings.Contains(x, "why.") || strings.Contains(x, "sure.") {
				t.Errorf("%s shows a phrase that nobody put into words", path)
			}
			seen := map[string]bool{}
			for _, e := range all(n, "[id]") {
				if seen[attr(e, "id")] {
					t.Errorf("%s has the id %q twice", path, attr(e, "id"))
				}
				seen[attr(e, "id")] = true
			}
			for _, e := range all(n, "[style],script:not([src]),[onclick]") {
				t.Errorf("%s has something the policy forbids: <%s>", path, e.Data)
			}
			for _, e := range all(n, "input:not([type=hidden]):not([type=radio]):not([type=checkbox]),select,textarea") {
				if id := attr(e, "id"); len(all(n, "label[for='"+id+"']")) == 0 {
					t.Errorf("%s: the box %q has no label", path, attr(e, "name"))
				}
			}
		}
	}
}

type (
	http_   = http.ResponseWriter
	request = http.Request
)
