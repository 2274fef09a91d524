package web

import (
	"context"
	"encoding/json"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/mix"
	"wormyard/qty"
)

// Where a mix stands is a sentence, and what would mend it is what the page
// itself says once the change is made.
func TestTheMixSaysWhereItStands(t *testing.T) {
	s, f, _ := sample(t)
	see := func(solids, chips, water string) *html.Node {
		t.Helper()
		w := post(t, s, "/mix", "id="+f.newID(f.now), "purpose=feed", "pile=solids 7", "buckets="+solids, "pile=chips", "buckets="+chips, "water="+water, "bucket=0.5 yd3", "do=see")
		if w.Code != 200 {
			t.Fatalf("%d: %s", w.Code, textOf(doc(t, w), ".wrong"))
		}
		return doc(t, w)
	}
	n := see("1", "4", "")
	if stands := textOf(n, "#made figcaption"); !strings.Contains(stands, "Too dry: ") || !strings.Contains(stands, "As wanted: ") {
		t.Errorf("four of chips to one of solids: %s", stands)
	}
	if len(all(n, "#made .mend")) == 0 {
		t.Error("nothing is said to mend it")
	}
	if len(all(n, "#mixsaid[role=status]")) != 1 || len(all(n, "step-box[data-step='0.5'] input[name=buckets]")) < 2 {
		t.Error("no steppers, or nothing that is read aloud")
	}
}

// mixHeard keeps what the page was answered.
type mixHeard struct {
	Mixer
	last *app.MixAnswer
}

func (h *mixHeard) Answer(ctx context.Context, in app.MixRequest, units qty.System) (*app.MixAnswer, error) {
	out, err := h.Mixer.Answer(ctx, in, units)
	h.last = out
	return out, err
}

// The page and the command give the same numbers to the last digit: what stands
// in the boxes is typed as the command reads it, and another mixer answers.
func TestPageAndCommandGiveTheSame(t *testing.T) {
	s, f, _ := sample(t)
	page := &mixHeard{Mixer: s.Mix}
	s.Mix = page
	command, err := app.NewMixer(noSolver)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		boxes   []string
		command string
	}{
		{[]string{"purpose=feed", "bucket=0.5 yd3", "pile=solids 7", "buckets=3", "pile=chips", "buckets=1½", "water=20"},
			`{"purpose":"feed","water_kg":75.70823568,"parts":[{"name":"solids 7","material":"dairy solids, separated","volume":"1.5 yd3","water_frac_wet":0.79},{"name":"chips","material":"wood chips, hardwood","volume":"0.75 yd3"}]}`},
		{[]string{"purpose=woody feed", "bucket=1 yd3", "pile=chips", "buckets=2", "pile=solids 7", "buckets=", "pile=cardboard", "buckets=0.5", "shrink=12"},
			`{"purpose":"woody feed","shrink_frac":0.12,"parts":[{"name":"chips","material":"wood chips, hardwood","volume":"2 yd3"},{"name":"cardboard","material":"corrugated cardboard","volume":"0.5 yd3"}]}`},
		{[]string{"purpose=hot pile", "bucket=0.4 m3", "pile=solids 7", "buckets=2", "pile=cardboard", "buckets=1"},
			`{"purpose":"hot pile","parts":[{"name":"solids 7","material":"dairy solids, separated","volume_m3":0.8,"water_frac_wet":0.79},{"name":"cardboard","material":"corrugated cardboard","volume_m3":0.4}]}`},
	} {
		// stepped there from another mix, so that draws are kept from it
		for _, more := range []string{"do=see", "do=see"} {
			if w := post(t, s, "/mix", append([]string{"id=" + f.newID(f.now), more}, c.boxes...)...); w.Code != 200 {
				t.Fatalf("%q: %d %s", c.boxes, w.Code, textOf(doc(t, w), ".wrong"))
			}
		}
		want, err := command.Mix(t.Context(), []byte(c.command), qty.US)
		if err != nil {
			t.Fatalf("%s: %v", c.command, err)
		}
		for what, pair := range map[string][2]any{
			"numbers": {page.last.Mix, want.Mix}, "windows": {page.last.Windows, want.Windows}, "chances": {page.last.Chance, want.Chance},
			"chance of all": {page.last.ChanceAll, want.ChanceAll}, "ranges": {page.last.Range, want.Range},
		} {
			if !reflect.DeepEqual(pair[0], pair[1]) {
				a, _ := json.Marshal(pair[0])
				b, _ := json.Marshal(pair[1])
				t.Errorf("%q: %s of the page\n%s, of the command\n%s", c.boxes, what, a, b)
			}
		}
		if len(want.Range) == 0 || len(want.Chance) == 0 {
			t.Errorf("%s: nothing was drawn", c.command)
		}
	}
}

// A mend is a button: pressed, it changes the boxes, and the page then says what
// the sentence said; without scripts it is a form like any other.
func TestAMendIsPressed(t *testing.T) {
	s, f, _ := sample(t)
	press := func(do string, from *html.Node) *html.Node {
		t.Helper()
		form := []string{"id=" + f.newID(f.now), "purpose=feed", "bucket=0.5 yd3", "do=" + do}
		if from == nil {
			form = append(form, "pile=solids 7", "buckets=1", "pile=chips", "buckets=2½")
		} else {
			for _, x := range all(from, "form[data-kind=blend] input[name=pile],form[data-kind=blend] input[name=buckets],form[data-kind=blend] input[name=water]") {
				form = append(form, attr(x, "name")+"="+attr(x, "value"))
			}
		}
		w := post(t, s, "/mix", form...)
		if w.Code != 200 {
			t.Fatalf("%s: %d %s", do, w.Code, textOf(doc(t, w), ".wrong"))
		}
		return doc(t, w)
	}
	n := press("see", nil)
	if worst := textOf(n, "#mixsaid b"); !strings.HasPrefix(worst, "Much carbon for its nitrogen, so it is slow: ") {
		t.Errorf("it stands worst at %q", worst)
	}
	if squeeze := textOf(n, "#made"); !strings.Contains(squeeze, "squeeze a handful") || !strings.Contains(squeeze, "Wanted are a few drops") {
		t.Error("nothing says how a hand finds out")
	}
	if ranges := textOf(n, "#made figure .help"); !strings.Contains(ranges, "9 times in 10 it comes out between ") {
		t.Errorf("a range says %q", ranges)
	}
	mends := all(n, "#made .mend:has(button[name=do])")
	if len(mends) == 0 {
		t.Fatal("nothing mends it")
	}
	say := textOf(mends[0], "p")
	button := all(mends[0], "button")[0]
	if attr(button, "aria-describedby") != attr(all(mends[0], "p")[0], "id") {
		t.Error("the button does not say what it does")
	}
	after := press(attr(button, "value"), n)
	m := regexp.MustCompile(`makes it (.+?) \(as wanted: (.+)\)\.$`).FindStringSubmatch(say)
	if m == nil {
		t.Fatalf("the sentence reads %q", say)
	}
	window := strings.TrimSuffix(attr(all(mends[0], "p")[0], "id"), "-mend")
	told := textOf(after, "#"+window+" figcaption")
	if !strings.Contains(told, m[1]) || !strings.Contains(told, "As wanted: "+m[2]+".") {
		t.Errorf("the sentence was %q, then the page says %q", say, told)
	}
	// a pile that is not on the page gets a row; what cannot be added changes nothing
	form := mixForm{Parts: []mixPart{{"chips", "1½"}, {}}, Water: "10 gal"}
	who := person{Units: qty.US, Words: words.English()}
	if got := s.mended(who, form, "mend -0.5 chips"); got.Parts[0].Buckets != "1" {
		t.Errorf("half less of 1½: %+v", got)
	}
	if got := s.mended(who, form, "mend 1 solids 7"); got.Parts[1] != (mixPart{"solids 7", "1"}) || form.Parts[1] != (mixPart{}) {
		t.Errorf("a new row: %+v", got)
	}
	if got := s.mended(who, form, "mend 37.854"); got.Water != "20" {
		t.Errorf("ten gallons more: %+v", got)
	}
	if got := s.mended(who, form, "mend NaN chips"); !reflect.DeepEqual(got, form) {
		t.Errorf("nothing: %+v", got)
	}
}

// A batch mixed without signal is read as the page reads it, once.
func TestABatchComesThroughTheOutbox(t *testing.T) {
	s, f, _ := sample(t)
	id := f.newID(f.now)
	send := func(id, batch, yes string, buckets ...string) outboxResult {
		t.Helper()
		e := outboxEntry{ID: id, Kind: "blend", Made: f.now.UnixMilli(), Units: "us", Yes: yes, Form: [][2]string{{"purpose", "feed"}, {"bucket", "0.5 yd3"}, {"pile", "solids 7"}, {"buckets", buckets[0]}, {"pile", "chips"}, {"buckets", buckets[1]}, {"water", "20"}, {"batch", batch}}}
		out := sendBox(t, s, outboxSent{Format: 1, DeviceNow: f.now.UnixMilli(), Device: "abcd", Entries: []outboxEntry{e}})
		return out.Results[0]
	}
	pile, _ := f.State().Pile("solids 7")
	left := pile.Left().Volume
	before := len(f.book.entries)
	for range 2 {
		if r := send(id, "77-ab3f", "", "3", "2"); r.State != "saved" {
			t.Fatalf("%+v", r)
		}
	}
	if len(f.book.entries) != before+1 {
		t.Fatalf("sent twice: %d entries", len(f.book.entries)-before)
	}
	b := last(f).Body.(*journal.Blend)
	if b.Batch != "77-ab3f" || len(b.Parts) != 2 || !near(float64(*b.Parts[0].VolumeM3), 1.5*qty.M3PerCubicYard) || !near(float64(*b.WaterKg), 20*qty.M3PerUSGallon*1000) {
		t.Errorf("kept %+v", b)
	}
	pile, _ = f.State().Pile("solids 7")
	if fell := left - pile.Left().Volume; !near(float64(fell), 1.5*qty.M3PerCubicYard) {
		t.Errorf("the pile fell by %v", fell)
	}
	if r := send(f.newID(f.now), "78", "", "-3", "2"); r.State != "refused" || len(r.Problems) == 0 || r.Problems[0].Field != "f-buckets-0" {
		t.Errorf("less than nothing: %+v", r)
	}
	id = f.newID(f.now)
	r := send(id, "77-ab3f", "", "1", "1")
	if r.State != "doubtful" || r.Yes == "" {
		t.Fatalf("a number that is taken: %+v", r)
	}
	if r := send(id, "77-ab3f", r.Yes, "1", "1"); r.State != "saved" {
		t.Errorf("said yes: %+v", r)
	}
}

// A bucket stepped on a phone changes what the page says, to what the command
// prints for the same parts; by keys alone; and without signal nothing is lost.
func TestBucketsSteppedOnAPhone(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a browser")
	}
	t.Parallel()
	s, f, _ := sample(t)
	p := newPhone(t, newSignal(t, s))
	p.openNow("/mix")
	row := `[...document.querySelectorAll(".bucketrow")].find(r => r.querySelector("input[type=hidden][name=pile][value='solids 7']"))`
	p.until(`document.readyState === "complete" && customElements.get("step-box") && ` + row)
	p.eval(row + `.querySelector("[data-by='1']").focus()`)
	for range 3 { // half a bucket a press of the space bar
		p.do(chromedp.KeyEvent(" "))
	}
	p.until(row + `.querySelector("input[name=buckets]").value === "1.5" && ` + row + `.querySelectorAll(".poured .d-bucket").length === 2 && !document.querySelector("#made[aria-busy]")`)
	was := p.eval(`document.querySelector("#made figcaption a").textContent`)
	if at := p.eval(`document.activeElement.dataset.by ?? ""`); at != "1" {
		t.Errorf("the focus went to %q", at)
	}
	// What the command prints of the same parts.
	pile, _ := f.State().Pile("solids 7")
	who := person{Now: f.now, Units: qty.US}
	part := pilePart(who, pile)
	v := 1.5 * 0.5 * qty.M3PerCubicYard
	part.VolumeM3 = &v
	raw, err := json.Marshal(app.MixRequest{Purpose: "feed", Parts: []app.MixPart{part}, Seed: mixSeed, Draws: mix.Draws})
	if err != nil {
		t.Fatal(err)
	}
	mixer, err := app.NewMixer(noSolver)
	if err != nil {
		t.Fatal(err)
	}
	out, err := mixer.Mix(t.Context(), raw, qty.US) // as the command reads and answers it
	if err != nil {
		t.Fatal(err)
	}
	if want := qty.Percent100(*out.Mix.Water); !strings.Contains(was, want) {
		t.Errorf("the page says %q, the command %s", was, want)
	}
	// No signal: told, kept, and written down all the same.
	p.ready("/yard")
	before := len(f.book.entries)
	p.online(false)
	p.do(chromedp.KeyEvent(" "))
	p.until(`document.querySelector("#made > .told") !== null && document.querySelector("#mixsaid").textContent.startsWith("No signal") && ` + row + `.querySelector("input[name=buckets]").value === "2"`)
	p.tap(`button[name=do][value=save]`)
	p.until(`location.pathname === "/yard"`)
	p.count("waiting", 1)
	p.online(true)
	p.count("sent", 1)
	if len(f.book.entries) != before+1 {
		t.Fatalf("%d entries", len(f.book.entries)-before)
	}
	b := last(f).Body.(*journal.Blend)
	if number, letters, ok := strings.Cut(b.Batch, "-"); !ok || number == "" || len(letters) != 4 || len(b.Parts) != 1 || b.Parts[0].Pile != "solids 7" || !near(float64(*b.Parts[0].VolumeM3), qty.M3PerCubicYard) {
		t.Errorf("kept %+v", b)
	}
}

// Without signal every form that a bin or a pile offers stands in for its own
// page, and each pile has its page: a phone is told to keep them.
func TestPhonesKeepTheFormsOfTheYard(t *testing.T) {
	s, f, _ := sample(t)
	kept := get(t, s, "/keep.json").Body.String()
	bin := f.State().Living()[0]
	first, more := binActs(person{Words: words.English()}, bin)
	links := append(first, more...)
	n := doc(t, get(t, s, "/yard/pile/chips"))
	for _, a := range all(n, ".opened .row-of-b a") {
		links = append(links, Link{To: attr(a, "href")})
	}
	acts := 0
	for _, l := range links {
		to, _, _ := strings.Cut(l.To, "?")
		parts := strings.Split(to, "/")
		if len(parts) < 4 {
			continue
		}
		acts++
		if form := "/enter/" + parts[len(parts)-1]; !strings.Contains(kept, `"`+form+`"`) {
			t.Errorf("%s has no form that is kept: %s", l.To, form)
		}
	}
	if acts < 15 {
		t.Errorf("only %d forms were looked for", acts)
	}
	for _, x := range f.State().Lying() {
		if !strings.Contains(kept, `"`+pileTo(x.Name)+`"`) {
			t.Errorf("the page of %s is not kept", x.Name)
		}
	}
	// what such a form sends is taken in, once
	id := f.newID(f.now)
	before := len(f.book.entries)
	for range 2 {
		e := outboxEntry{ID: id, Kind: "tend", Made: f.now.UnixMilli(), Units: "us", Form: [][2]string{{"pile", "solids 7"}, {"act", "measured"}, {"temp_c", "131"}}}
		if r := sendBox(t, s, outboxSent{Format: 1, DeviceNow: f.now.UnixMilli(), Device: "abcd", Entries: []outboxEntry{e}}).Results[0]; r.State != "saved" {
			t.Fatalf("%+v", r)
		}
	}
	if b, ok := last(f).Body.(*journal.Tend); !ok || len(f.book.entries) != before+1 || b.Pile != "solids 7" || !near(float64(*b.TempC), 55) {
		t.Errorf("%d entries more, the last %+v", len(f.book.entries)-before, last(f).Body)
	}
	id = f.newID(f.now)
	e := outboxEntry{ID: id, Kind: "receive", Made: f.now.UnixMilli(), Units: "us", Form: [][2]string{{"pile", "leaves 2"}, {"material", "leaves, loose dry"}, {"volume_m3", "4 yd3"}}}
	if r := sendBox(t, s, outboxSent{Format: 1, DeviceNow: f.now.UnixMilli(), Device: "abcd", Entries: []outboxEntry{e}}).Results[0]; r.State != "saved" {
		t.Errorf("feedstock in: %+v", r)
	}
}
