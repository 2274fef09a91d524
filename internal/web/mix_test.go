package web

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"wormyard/internal/app"
	"wormyard/journal"
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
	if stands := textOf(n, "#made figcaption"); !strings.Contains(stands, "Too dry: ") || !strings.Contains(stands, "in 10") {
		t.Errorf("four of chips to one of solids: %s", stands)
	}
	if len(all(n, "#made .mend")) == 0 {
		t.Error("nothing is said to mend it")
	}
	if len(all(n, "#mixsaid[role=status]")) != 1 || len(all(n, "step-box[data-step='0.5'] input[name=buckets]")) < 2 {
		t.Error("no steppers, or nothing that is read aloud")
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
	raw, err := json.Marshal(app.MixRequest{Purpose: "feed", Parts: []app.MixPart{part}, Draws: drawsAPage})
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
	p.until(`document.querySelector("#made > .told[role=status]") !== null && ` + row + `.querySelector("input[name=buckets]").value === "2"`)
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
