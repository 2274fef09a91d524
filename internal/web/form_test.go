package web

import (
	"math"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

func last(f *paper) journal.Entry { return f.book.entries[len(f.book.entries)-1] }

// formID gives the id hidden in the form of a page.
func formID(t testing.TB, s *Server, path string) string {
	t.Helper()
	list := all(doc(t, get(t, s, path)), "form input[name=id]")
	if len(list) == 0 {
		t.Fatalf("%s has no form with an id", path)
	}
	return attr(list[0], "value")
}

func value(n *html.Node, name string) string {
	for _, e := range all(n, "[name='"+name+"']") {
		switch attr(e, "type") {
		case "radio", "checkbox":
			for _, a := range e.Attr {
				if a.Key == "checked" {
					return attr(e, "value")
				}
			}
		default:
			if v := attr(e, "value"); v != "" {
				return v
			}
			if e.Data == "textarea" {
				return words1(e)
			}
		}
	}
	return ""
}

func TestAFeedingIsWrittenDown(t *testing.T) {
	s, f, _ := sample(t)
	before := len(f.book.entries)
	id := formID(t, s, "/bin/B10/feed")
	w := post(t, s, "/bin/B10/feed", "id="+id, "back=/bin/B10", "depth_m=1.5", "batch=41", "bins=B10")
	if w.Code != 303 || w.Header().Get("Location") != "/bin/B10?said="+id {
		t.Fatalf("%d to %q: %s", w.Code, w.Header().Get("Location"), textOf(doc(t, w), "main"))
	}
	if len(f.book.entries) != before+1 {
		t.Fatalf("%d entries came of one form", len(f.book.entries)-before)
	}
	e := last(f)
	b, ok := e.Body.(*journal.Feed)
	if !ok || b.Batch != "41" || len(b.Bins) != 1 || b.Bins[0] != "B10" || *b.DepthM != qty.Metre(1.5*0.0254) || e.Who != "crew 1" || !e.At.Equal(f.now) {
		t.Errorf("kept %+v %+v", e, e.Body)
	}
	if said := textOf(doc(t, get(t, s, "/bin/B10?said="+id)), ".said"); !strings.Contains(said, "1½ in") {
		t.Errorf("the page says %q", said)
	}
	// the button pressed twice
	if w := post(t, s, "/bin/B10/feed", "id="+id, "back=/bin/B10", "depth_m=1.5", "batch=41", "bins=B10"); w.Code != 303 || len(f.book.entries) != before+1 {
		t.Errorf("the same form sent twice: %d, %d entries", w.Code, len(f.book.entries)-before)
	}
	// the same id with something else in it
	if w := post(t, s, "/bin/B10/feed", "id="+id, "depth_m=2", "batch=41", "bins=B11"); w.Code != 422 || len(f.book.entries) != before+1 {
		t.Errorf("another form with the same id: %d, %d entries", w.Code, len(f.book.entries)-before)
	}
}

func TestUnitsOfAForm(t *testing.T) {
	for _, c := range []struct {
		typed, unit string
		metres      float64
	}{{"2", "us", 2 * 0.0254}, {"1½", "us", 1.5 * 0.0254}, {"1 1/2", "us", 1.5 * 0.0254}, {"5 cm", "us", 0.05}, {"5", "metric", 0.05}, {"2 in", "metric", 2 * 0.0254}, {"3,5", "metric", 0.035}} {
		s, f, _ := sample(t)
		r := httptest.NewRequest("POST", "/bin/B10/feed", strings.NewReader(url.Values{"id": {f.newID(f.now)}, "bins": {"B10"}, "batch": {"41"}, "depth_m_other": {c.typed}, "depth_m": {"1"}}.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Cookie", "units="+c.unit)
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		b, ok := last(f).Body.(*journal.Feed)
		if w.Code != 303 || !ok || float64(*b.DepthM) < c.metres-1e-9 || float64(*b.DepthM) > c.metres+1e-9 {
			t.Errorf("%q in %s: %d, %+v", c.typed, c.unit, w.Code, last(f).Body)
		}
	}
}

func TestABadFormComesBackAsTyped(t *testing.T) {
	s, f, _ := sample(t)
	before := len(f.book.entries)
	for _, c := range []struct {
		name, path string
		typed      []string
		says       []string // each must be said at the top
		marked     []string // boxes
		kept       map[string]string
	}{
		{"less than nothing", "/bin/B10/feed", []string{"depth_m_other=-2", "batch=41", "bins=B10"}, []string{"Depth of the feed"}, []string{"depth_m"}, map[string]string{"depth_m_other": "-2", "bins": "B10"}},
		{"a word for a number", "/bin/B10/water", []string{"kg_other=a lot", "bins=B10"}, []string{"a lot"}, []string{"kg"}, map[string]string{"kg_other": "a lot"}},
		{"a bin that is not there", "/bin/B10/water", []string{"kg=2", "bins=B10, X99"}, []string{"X99"}, []string{"bins"}, map[string]string{"bins": "B10, X99"}},
		{"a batch nobody mixed", "/bin/B10/feed", []string{"depth_m=1", "batch=4711", "bins=B10"}, []string{"4711"}, []string{"batch"}, nil},
		{"moisture over 100", "/bin/B10/reading", []string{"water_frac_wet=106"}, []string{"106"}, []string{"water_frac_wet"}, map[string]string{"water_frac_wet": "106"}},
		{"nothing at all", "/bin/B10/look", []string{"bins=B10"}, []string{"seen"}, nil, nil},
		{"30 February", "/bin/B10/water", []string{"kg=2", "bins=B10", "at=2026-02-30T10:00"}, []string{"2026 has no 30 February"}, []string{"at"}, map[string]string{"at": "2026-02-30T10:00"}},
		{"29 February of 2025", "/bin/B10/water", []string{"kg=2", "bins=B10", "at=2025-02-29T10:00"}, []string{"2025 has no 29 February", "28 February or 1 March"}, []string{"at"}, nil},
		{"an hour the clocks skip", "/bin/B10/water", []string{"kg=2", "bins=B10", "at=2025-03-09T02:30"}, []string{"2:30 on 9 March 2025"}, []string{"at"}, nil},
		{"tomorrow", "/bin/B10/water", []string{"kg=2", "bins=B10", "at=2026-03-09T10:00"}, []string{"still to come"}, []string{"at"}, nil},
		{"two things at once", "/bin/B10/feed", []string{"depth_m_other=deep", "batch=4711", "bins=B10", "at=yesterday"}, []string{"deep", "yesterday"}, []string{"depth_m", "at"}, map[string]string{"at": "yesterday"}},
	} {
		w := post(t, s, c.path, append([]string{"id=" + f.newID(f.now)}, c.typed...)...)
		n := doc(t, w)
		if w.Code != 422 {
			t.Errorf("%s: %d", c.name, w.Code)
			continue
		}
		top := textOf(n, ".wrong, .doubt")
		if strings.Contains(top, "It is not said") && c.name != "nothing at all" {
			t.Errorf("%s: also says that what was typed is missing: %s", c.name, top)
		}
		for _, say := range c.says {
			if !strings.Contains(top, say) {
				t.Errorf("%s: does not say %q: %s", c.name, say, top)
			}
		}
		for _, box := range c.marked {
			if len(all(n, ".field.bad [name='"+box+"'], .field.bad [name='"+box+"_other']")) == 0 {
				t.Errorf("%s: the box %s is not marked; %s", c.name, box, top)
			}
		}
		for box, v := range c.kept {
			if got := value(n, box); got != v {
				t.Errorf("%s: %s came back as %q, typed %q", c.name, box, got, v)
			}
		}
	}
	if len(f.book.entries) != before {
		t.Errorf("%d entries were kept", len(f.book.entries)-before)
	}
}

func TestADoubtIsAskedOnceForWhatWasShown(t *testing.T) {
	s, f, _ := sample(t)
	before := len(f.book.entries)
	id := f.newID(f.now)
	w := post(t, s, "/bin/B10/feed", "id="+id, "depth_m_other=9", "batch=41", "bins=B10")
	n := doc(t, w)
	yes := all(n, ".doubt button[name=yes]")
	if w.Code != 422 || len(yes) != 1 || len(f.book.entries) != before {
		t.Fatalf("nine inches: %d, %s", w.Code, textOf(n, "main"))
	}
	if got := value(n, "depth_m_other"); got != "9" {
		t.Errorf("came back as %q", got)
	}
	// a yes to nine is no yes to eleven
	if w := post(t, s, "/bin/B10/feed", "id="+id, "depth_m_other=11", "batch=41", "bins=B10", "yes="+attr(yes[0], "value")); w.Code != 422 || len(f.book.entries) != before {
		t.Errorf("a yes to something else: %d", w.Code)
	}
	if w := post(t, s, "/bin/B10/feed", "id="+id, "depth_m_other=9", "batch=41", "bins=B10", "yes="+attr(yes[0], "value")); w.Code != 303 || len(f.book.entries) != before+1 {
		t.Errorf("a yes: %d", w.Code)
	}
}

func TestARowWithExceptions(t *testing.T) {
	s, f, _ := sample(t)
	w := post(t, s, "/bin/B10/water", "id="+f.newID(f.now), "kg=2", "bins=row 1 of 1 except B1, B22")
	if w.Code != 303 {
		t.Fatalf("%d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
	b := last(f).Body.(*journal.Water)
	if len(b.Bins) != 20 || b.Bins[0] != "B2" {
		t.Errorf("watered %v", b.Bins)
	}
}

func TestALineIsAnswered(t *testing.T) {
	s, f, d := sample(t)
	key := url.PathEscape(lineKey(t, d, round.Feed, ""))
	before := len(f.book.entries)
	id := f.newID(f.now)
	w := post(t, s, "/round/"+key+"/answer", "id="+id, "answer=done", "back=/round")
	if w.Code != 303 || len(f.book.entries) != before+1 {
		t.Fatalf("%d, %d entries", w.Code, len(f.book.entries)-before)
	}
	b, ok := last(f).Body.(*journal.Feed)
	if !ok || len(b.Bins) < 4 || b.Batch != "41" || *b.DepthM != qty.Metre(1.5*0.0254) {
		t.Errorf("kept %+v", last(f).Body)
	}
	if w := post(t, s, "/round/"+key+"/answer", "id="+id, "answer=done", "back=/round"); w.Code != 303 || len(f.book.entries) != before+1 {
		t.Errorf("twice: %d, %d entries", w.Code, len(f.book.entries)-before)
	}
	if say := textOf(doc(t, get(t, s, "/round")), ".line.done"); !strings.Contains(say, "Done today") {
		t.Errorf("the line says %q", say)
	}
	// another line, all but one
	other := ""
	l, _, _ := s.list(t.Context(), s.person(httptest.NewRequest("GET", "/", nil)))
	for _, x := range l.Lines {
		if x.Act == round.Feed && url.PathEscape(x.Key) != key {
			other = url.PathEscape(x.Key)
		}
	}
	n := doc(t, get(t, s, "/round/"+other+"/except"))
	boxes := all(n, ".pick input")
	var send []string
	for _, b := range boxes[1:] {
		send = append(send, "bins="+attr(b, "value"))
	}
	if w := post(t, s, "/round/"+other+"/except", append(send, "id="+f.newID(f.now), "depth_m=2", "batch=41", "back=/round")...); w.Code != 303 {
		t.Fatalf("%d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	if b := last(f).Body.(*journal.Feed); len(b.Bins) != len(boxes)-1 {
		t.Errorf("fed %d of %d", len(b.Bins), len(boxes))
	}
}

func TestStrikeAndRevive(t *testing.T) {
	s, f, _ := sample(t)
	id := last(f).ID
	for _, e := range f.book.entries {
		if e.Kind == "sighting" {
			id = e.ID
		}
	}
	w := post(t, s, "/journal/"+id+"/strike", "why= ")
	if n := doc(t, w); w.Code != 422 || len(all(n, ".field.bad textarea")) != 1 {
		t.Errorf("struck without a reason: %d", w.Code)
	}
	if w := post(t, s, "/journal/"+id+"/strike", "why=it was B21"); w.Code != 303 {
		t.Fatalf("%d", w.Code)
	}
	if _, counts, _ := f.State().Entry(id); counts {
		t.Fatal("it still counts")
	}
	n := doc(t, get(t, s, "/journal/"+id))
	if say := textOf(n, ".opened .care"); !strings.Contains(say, "it was B21") {
		t.Errorf("the entry says %q", say)
	}
	if w := post(t, s, "/journal/"+id+"/revive", "why=no, B20"); w.Code != 303 {
		t.Fatalf("%d", w.Code)
	}
	if _, counts, _ := f.State().Entry(id); !counts {
		t.Error("it does not count again")
	}
	if n := doc(t, get(t, s, "/journal")); len(all(n, "li.struck")) == 0 {
		t.Error("struck entries are not shown")
	}
}

func TestTheBench(t *testing.T) {
	s, f, _ := sample(t)
	w := post(t, s, "/mix", "id="+f.newID(f.now), "purpose=feed", "pile=solids 7", "buckets=3", "pile=chips", "buckets=2", "pile=", "buckets=", "bucket=0.5 yd3", "do=see")
	n := doc(t, w)
	if w.Code != 200 || len(all(n, "#result figure")) < 3 || len(all(n, "path.d-bucket")) != 5 {
		t.Fatalf("%d: %d properties, %d buckets: %s", w.Code, len(all(n, "#result figure")), len(all(n, "path.d-bucket")), textOf(n, ".wrong"))
	}
	for _, c := range []struct{ name, box, value string }{
		{"less than nothing", "buckets", "-3"}, {"a word", "buckets", "many"}, {"a pile that is gone", "pile", "gold"}, {"a bucket of nothing", "bucket", "0 yd3"}, {"water taken away", "water", "-5"},
	} {
		v := map[string]string{"pile": "solids 7", "buckets": "3", "bucket": "0.5 yd3", "water": ""}
		v[c.box] = c.value
		w := post(t, s, "/mix", "id="+f.newID(f.now), "purpose=feed", "pile="+v["pile"], "buckets="+v["buckets"], "bucket="+v["bucket"], "water="+v["water"], "do=see")
		if n := doc(t, w); w.Code != 422 || len(all(n, ".wrong li")) == 0 {
			t.Errorf("%s: %d", c.name, w.Code)
		}
	}
	before := len(f.book.entries)
	w = post(t, s, "/mix", "id="+f.newID(f.now), "purpose=feed", "pile=solids 7", "buckets=3", "pile=chips", "buckets=2", "bucket=0.5 yd3", "batch=42", "water=20", "do=save")
	if w.Code != 303 || len(f.book.entries) != before+1 {
		t.Fatalf("save: %d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
	b := last(f).Body.(*journal.Blend)
	if b.Batch != "42" || len(b.Parts) != 2 || !near(float64(*b.Parts[0].VolumeM3), 1.5*qty.M3PerCubicYard) || !near(float64(*b.WaterKg), 20*qty.M3PerUSGallon*1000) {
		t.Errorf("kept %+v", b)
	}
}

func TestSettings(t *testing.T) {
	s, f, _ := sample(t)
	if w := post(t, s, "/farm/name", "farm=", "units=metric", "zone=Mars/Olympus"); w.Code != 422 || len(all(doc(t, w), ".field.bad")) != 2 {
		t.Errorf("no name and no zone: %d", w.Code)
	}
	if w := post(t, s, "/farm/name", "id="+f.newID(f.now), "farm=Otter Bend", "units=metric", "zone=America/Denver"); w.Code != 303 {
		t.Fatalf("%d", w.Code)
	}
	set := f.State().Settings
	if set.Name != "Otter Bend" || set.Units != qty.Metric || f.State().Zone().String() != "America/Denver" {
		t.Errorf("the farm is %+v", set)
	}
	if n := doc(t, get(t, s, "/bin/B10")); !strings.Contains(textOf(n, "main"), "°C") {
		t.Error("pages are not in the farm's units")
	}
	if w := post(t, s, "/farm/people", "id="+f.newID(f.now), "people=owner\ncrew 9"); w.Code != 303 {
		t.Fatalf("%d", w.Code)
	}
	if people := f.State().Settings.People; len(people) != 4 {
		t.Errorf("the people are %v", people)
	}
	// A name is taken off by taking it out of the box; one that came in the
	// meantime, which this box never showed, stays.
	if w := post(t, s, "/farm/people", "was=owner\ncrew 1\ncrew 2", "people=owner\ncrew 1"); w.Code != 303 {
		t.Fatalf("%d", w.Code)
	}
	if people := f.State().Settings.People; !slices.Equal(people, []string{"crew 1", "crew 9", "owner"}) {
		t.Errorf("the people are %v", people)
	}
	before := len(f.book.entries)
	if w := post(t, s, "/farm/people", "was=owner\ncrew 1\ncrew 2", "people=owner\ncrew 1"); w.Code != 303 || len(f.book.entries) != before {
		t.Errorf("the button pressed twice: %d, %d entries more", w.Code, len(f.book.entries)-before)
	}
	long := strings.Repeat("z", 300)
	w := post(t, s, "/farm/people", "people=owner\n"+long)
	kept := strings.Contains(w.Body.String(), long)
	if w.Code != 422 || !kept || len(all(doc(t, w), ".field.bad")) != 1 {
		t.Errorf("a name of 300 letters: %d, kept as typed: %t", w.Code, kept)
	}
}

func TestWhatOthersTypeIsShownAsText(t *testing.T) {
	s, f, _ := sample(t)
	evil := `<script>alert(1)</script>`
	f.write(0, evil, &journal.Sighting{Bin: "B10", What: evil})
	f.flush()
	for _, path := range []string{"/bin/B10", "/journal", "/journal?q=" + url.QueryEscape(evil), "/bin/" + url.PathEscape(evil), "/enter/feed?batch=" + url.QueryEscape(evil)} {
		w := get(t, s, path)
		if strings.Contains(w.Body.String(), "<script>") {
			t.Errorf("%s lets a script through", path)
		}
		if p := w.Header().Get("Content-Security-Policy"); !strings.Contains(p, "default-src 'none'") {
			t.Errorf("%s has the policy %q", path, p)
		}
	}
}

func TestTheRim(t *testing.T) {
	s, f, _ := sample(t)
	for path, code := range map[string]int{"/": 303, "/nothing": 404, "/bin/X99": 404, "/bin/X99/feed": 404, "/bin/B10/dance": 404, "/yard/pile/gold": 404, "/yard/batch/99": 404, "/journal/none": 404, "/working/figure/none.such": 404, "/round/none": 404, "/barn/9": 404, "/enter/strike": 404, "/static/none.css": 404} {
		w := get(t, s, path)
		if w.Code != code {
			t.Errorf("%s: %d, wanted %d", path, w.Code, code)
		}
	}
	if say := textOf(doc(t, get(t, s, "/bin/B100x")), "main"); !strings.Contains(say, "Did you mean") {
		t.Errorf("a slip of the name gets %q", say)
	}
	// a form from another site
	r := httptest.NewRequest("POST", "/bin/B10/water", strings.NewReader("kg=2&bins=B10"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	before := len(f.book.entries)
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	if w.Code != 403 || len(f.book.entries) != before {
		t.Errorf("another site: %d", w.Code)
	}
	// too much at once
	w = post(t, s, "/bin/B10/water", "kg=2", "bins="+strings.Repeat("B10,", 400_000))
	if w.Code != 413 || !strings.Contains(textOf(doc(t, w), "main"), "MB") {
		t.Errorf("two megabytes of bins: %d", w.Code)
	}
	// back never leads away
	w = post(t, s, "/bin/B10/water", "id="+f.newID(f.now), "kg=2", "bins=B10", "back=//elsewhere.example/")
	if to := w.Header().Get("Location"); w.Code != 303 || !strings.HasPrefix(to, "/bin/B10") {
		t.Errorf("back leads to %q", to)
	}
	// a page that breaks down is ours and says a reference
	s.Config.Rounds = nil
	broken := s.handler(func(_ http_, _ *request, _ person) error { panic("broken") }, mostForm)
	w = httptest.NewRecorder()
	broken.ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
	if say := textOf(doc(t, w), "main"); w.Code != 500 || !strings.Contains(say, "our fault") || strings.Contains(say, "broken") {
		t.Errorf("a fault of ours: %d %q", w.Code, say)
	}
	// another name for this machine
	s.Config.Loopback = true
	for host, code := range map[string]int{"127.0.0.1:8484": 200, "localhost:8484": 200, "[::1]:8484": 200, "farm.example": 403, "127.0.0.1.evil.example:8484": 403} {
		r := httptest.NewRequest("GET", "/more", nil)
		r.Host = host
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != code {
			t.Errorf("asked for as %s: %d, wanted %d", host, w.Code, code)
		}
	}
}

func TestAnEmptyFarm(t *testing.T) {
	f := newPaper(t, sampleNow)
	s := serverOf(t, f, &desk{})
	if w := get(t, s, "/round"); w.Code != 303 || w.Header().Get("Location") != "/start" {
		t.Errorf("an empty farm begins at %d %q", w.Code, w.Header().Get("Location"))
	}
	for _, path := range []string{"/start", "/barn", "/yard", "/mix", "/journal", "/farm", "/more", "/round/print", "/enter", "/import", "/working"} {
		w := get(t, s, path)
		if w.Code != 200 {
			t.Errorf("%s: %d", path, w.Code)
		}
		if x := words1(doc(t, w)); strings.Contains(x, "«") || strings.Contains(x, "%!") {
			t.Errorf("%s: %s", path, x)
		}
	}
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9*math.Abs(b) }

// A feeding that is to come with water and a cloth is three entries, all or none.
func TestALineOfSeveralActs(t *testing.T) {
	s, f, d := sample(t)
	for i := range d.made.Items {
		if it := &d.made.Items[i]; it.Act == round.Feed && it.Row == "3" && it.Barn == "1" {
			it.WaterKg, it.Cover = 7.6, "cloth"
		}
	}
	made := *d.made
	d.made = &made
	key := lineKey(t, d, round.Feed, "B46") // barn 1, row 3
	before := len(f.book.entries)
	if w := post(t, s, "/round/"+url.PathEscape(key)+"/answer", "id="+f.newID(f.now), "answer=done"); w.Code != 303 {
		t.Fatalf("%d", w.Code)
	}
	var kinds []string
	for _, e := range f.book.entries[before:] {
		kinds = append(kinds, e.Kind)
	}
	if strings.Join(kinds, " ") != "feed water cover" {
		t.Errorf("one button kept %v", kinds)
	}
	// with exceptions, and without the cloth
	before = len(f.book.entries)
	if n := doc(t, get(t, s, "/round/"+url.PathEscape(key)+"/except")); len(all(n, "input[name=also][checked]")) != 2 {
		t.Error("the form does not offer water and cloth")
	}
	if w := post(t, s, "/round/"+url.PathEscape(key)+"/except", "id="+f.newID(f.now), "depth_m=1", "batch=41", "bins=B46", "bins=B47", "also=water"); w.Code != 303 {
		t.Fatalf("%d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
	kinds = nil
	for _, e := range f.book.entries[before:] {
		kinds = append(kinds, e.Kind)
	}
	if strings.Join(kinds, " ") != "feed water" {
		t.Errorf("the form kept %v", kinds)
	}
}

// A danger that is met is written down as what was done: feed off, cover off.
func TestADangerIsAnswered(t *testing.T) {
	s, f, d := sample(t)
	key := lineKey(t, d, round.Open, "B4")
	before := len(f.book.entries)
	if w := post(t, s, "/round/"+url.PathEscape(key)+"/answer", "id="+f.newID(f.now), "answer=done"); w.Code != 303 {
		t.Fatalf("%d: %s", w.Code, textOf(doc(t, w), ".wrong, .doubt"))
	}
	if got := f.book.entries[before:]; len(got) != 2 || got[0].Kind != "turn" || got[1].Kind != "cover" || math.Abs(float64(*got[0].Body.(*journal.Turn).TakenOffM)-2*qty.MetrePerInch) > 1e-9 {
		t.Errorf("kept %+v", got)
	}
}
