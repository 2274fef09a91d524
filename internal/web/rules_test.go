package web

import (
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/lot"
)

// rowsSent gives the boxes of the form as they stand, as a browser sends them.
func rowsSent(t *testing.T, w *httptest.ResponseRecorder) []string {
	t.Helper()
	return rowsIn(doc(t, w))
}

func rowsIn(n *html.Node) []string {
	var out []string
	for _, e := range all(n, "form[action='"+houseTo+"'] input") {
		out = append(out, attr(e, "name")+"="+attr(e, "value"))
	}
	for _, e := range all(n, "form[action='"+houseTo+"'] textarea") {
		out = append(out, attr(e, "name")+"="+words1(e))
	}
	for _, e := range all(n, "form[action='"+houseTo+"'] select") {
		for _, o := range all(e, "option[selected]") {
			out = append(out, attr(e, "name")+"="+attr(o, "value"))
		}
	}
	return out
}

// postIn sends a form in a language.
func postIn(t *testing.T, s *Server, path, lang string, pairs ...string) *httptest.ResponseRecorder {
	t.Helper()
	var body []string
	for _, p := range pairs {
		k, v, _ := strings.Cut(p, "=")
		body = append(body, k+"="+escaped(v))
	}
	r := httptest.NewRequest("POST", path, strings.NewReader(strings.Join(body, "&")))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	r.Header.Set("Cookie", lang)
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// put sets boxes of a form that is sent.
func put(sent []string, pairs ...string) []string {
	for _, x := range pairs {
		key, _, _ := strings.Cut(x, "=")
		var rest []string
		for _, y := range sent {
			if !strings.HasPrefix(y, key+"=") {
				rest = append(rest, y)
			}
		}
		sent = append(rest, x)
	}
	return sent
}

// The house rule is changed without a script: rows are added and taken off, what is
// wrong is told on its box and nothing is kept, and what is right holds lots from
// then on. Saved as it stands it is no new entry, in either language.
func TestHouseRuleIsChangedOnItsPage(t *testing.T) {
	s := withLot(t)
	entries := func() int { return s.Farm.State().Entries }
	before := entries()
	for _, lang := range []string{"lang=en", "lang=es"} {
		sent := rowsSent(t, get(t, s, houseTo, lang))
		if w := postIn(t, s, houseTo, lang, append(sent, "do=save")...); w.Code != 303 || entries() != before {
			t.Errorf("%s: the rule as it stands gives %d and %d new entries: %s", lang, w.Code, entries()-before, textOf(doc(t, w), ".wrong"))
		}
	}
	w := post(t, s, houseTo, append(rowsSent(t, get(t, s, houseTo)), "do=add_limit")...)
	sent := rowsSent(t, w)
	if w.Code != 200 || entries() != before {
		t.Fatalf("a row more gives %d", w.Code)
	}
	w = post(t, s, houseTo, append(put(sent, "analyte_3=coper", "limit_3=300", "unit_3=dS/m", "limit_0=a lot"), "do=save")...)
	said := strings.Join(shown(doc(t, w)), " ")
	for _, want := range []string{`Limit 4: "coper" is no test or figure that is known.`, "Did you mean Copper", `"a lot"`} {
		if w.Code != 422 || !strings.Contains(said, want) {
			t.Errorf("a bad rule gives %d and does not say %q: %s", w.Code, want, said)
		}
	}
	w = post(t, s, houseTo, append(put(sent, "analyte_3=Copper", "limit_3=300", "unit_3=dS/m"), "do=save")...)
	if n := all(doc(t, w), "#f-unit_3.bad"); w.Code != 422 || len(n) != 1 || entries() != before {
		t.Errorf("copper in dS/m gives %d, %d boxes marked, %d entries", w.Code, len(n), entries()-before)
	}
	sent = put(sent, "analyte_3=Copper", "limit_3=300", "unit_3=mg/kg", "basis_3=dry", "refuses=organic")
	sent = rowsSent(t, post(t, s, houseTo, append(sent, "do=drop_limit_2")...)) // the pea test
	sent = rowsSent(t, post(t, s, houseTo, append(sent, "do=drop_need_0")...))
	sent = rowsSent(t, post(t, s, houseTo, append(sent, "do=add_need")...))
	sent = rowsSent(t, post(t, s, houseTo, append(put(sent, "say_1=Smelled by the owner"), "do=add_heat")...))
	sent = put(sent, "hot_2=131 °F", "days_2=3")
	if w := post(t, s, houseTo, append(sent, "do=save")...); w.Code != 303 || entries() != before+1 {
		t.Fatalf("a good rule gives %d and %d entries: %s", w.Code, entries()-before, textOf(doc(t, w), ".wrong"))
	}
	r, err := app.HouseRuleOf(s.Farm.State())
	if err != nil || len(r.Limits) != 3 || len(r.Evidence) != 3 {
		t.Fatalf("kept: %+v %v", r, err)
	}
	if l := r.Limits[2]; l.Analyte != "copper" || l.Unit != "mg/kg" || l.Basis != "dry" || l.Most == nil || *l.Most != 300 {
		t.Errorf("the limit that was added: %+v", l)
	}
	if n := r.Evidence[2]; n.Heat == nil || n.Heat.Low < 54.99 || n.Heat.Low > 55.01 || n.Heat.Hours != 72 || !n.Heat.Consecutive {
		t.Errorf("the heat that was added: %+v", n)
	}
	if n := r.Evidence[1]; n.Key != "smelled_by_the_owner" || n.Try != app.OwnTry {
		t.Errorf("the evidence in the farm's words: %+v", n)
	}
	if j, err := app.Judged(s.Farm.State(), "L 1", r, nil, "owner", s.Farm.Now()); err != nil || j.State != lot.Missing || len(j.Lines) < 4 {
		t.Errorf("the lot is held against it: %+v %v", j.Lines, err)
	}
	if page := saidOn(t, s, "/lot/L%201/release"); !strings.Contains(page, "Copper at most 300 mg/kg") || !strings.Contains(page, "Smelled by the owner") {
		t.Errorf("the page of a release: %s", page)
	}
	if page := saidOn(t, s, "/rules/farm_house"); !strings.Contains(page, "organic") || !strings.Contains(page, "Copper at most 300 mg/kg, of dry matter") {
		t.Errorf("the page of the rule: %s", page)
	}
	if n := all(doc(t, get(t, s, "/rules/farm_house")), ".opened .entries li"); len(n) != 1 {
		t.Errorf("%d changes are listed, want 1", len(n))
	}
}

// Days of rules and of what shows a thing are written as the farm writes days.
func TestReleasePagesWriteDays(t *testing.T) {
	s := withLot(t)
	for _, path := range []string{"/lot/L%201/release", "/rules", "/rules/us_organic_compost"} {
		if page := saidOn(t, s, path); coreDay.MatchString(page) {
			t.Errorf("%s has a raw day: %s", path, coreDay.FindString(page))
		}
	}
}

// Two people have the form open; who saves later is told that it changed meanwhile, by
// whom, and loses nothing of what was typed.
func TestHouseRuleChangedMeanwhile(t *testing.T) {
	s := withLot(t)
	first, second := rowsSent(t, get(t, s, houseTo)), rowsSent(t, get(t, s, houseTo))
	if w := post(t, s, houseTo, put(first, "title=Rule of the first", "do=save")...); w.Code != 303 {
		t.Fatalf("the first is answered with %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	w := post(t, s, houseTo, put(second, "title=Rule of the second", "do=save")...)
	n := doc(t, w)
	if rule, _ := app.HouseRuleOf(s.Farm.State()); w.Code != 422 || rule.Title != "Rule of the first" {
		t.Fatalf("the second is answered with %d, and %q stands", w.Code, rule.Title)
	}
	if said := textOf(n, ".wrong"); !strings.Contains(said, "changed while the form was open") || len(all(n, ".told a[href^='/journal/']")) != 1 || len(all(n, "input[name=title][value='Rule of the second']")) != 1 {
		t.Errorf("it says %q, and what was typed or what was set does not stand there", said)
	}
	if w = post(t, s, houseTo, put(rowsIn(n), "do=save")...); w.Code != 303 {
		t.Errorf("pressed once more it is answered with %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	if rule, _ := app.HouseRuleOf(s.Farm.State()); rule.Title != "Rule of the second" {
		t.Errorf("in the end stands %q", rule.Title)
	}
}

// A rule that came from a file with more rows than anybody would type keeps them all.
func TestHouseRuleOfManyRows(t *testing.T) {
	s := withLot(t)
	rule, err := app.HouseRuleOf(s.Farm.State())
	if err != nil {
		t.Fatal(err)
	}
	const many = 57
	for len(rule.Limits) < many {
		rule.Limits = append(rule.Limits, rule.Limits[0])
	}
	for i := len(rule.Evidence); i < many; i++ {
		rule.Evidence = append(rule.Evidence, lot.Need{Key: fmt.Sprint("look_", i), Say: fmt.Sprint("Looked at, ", i), Try: "Look at it.", OnlyFor: "all", Where: "our choice", How: "assumed"})
	}
	raw, err := json.Marshal(rule)
	if err != nil {
		t.Fatal(err)
	}
	write(t, s, journal.Entry{Kind: "setting", Body: &journal.Setting{Key: app.HouseRuleKey, Value: raw}})
	sent := rowsSent(t, get(t, s, houseTo))
	if w := post(t, s, houseTo, put(sent, "title=Long rule", "do=save")...); w.Code != 303 {
		t.Fatalf("it is answered with %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	is, _ := app.HouseRuleOf(s.Farm.State())
	if is.Title != "Long rule" || len(is.Limits) != many || len(is.Evidence) != many {
		t.Errorf("%q keeps %d limits and %d pieces of evidence of %d", is.Title, len(is.Limits), len(is.Evidence), many)
	}
}
