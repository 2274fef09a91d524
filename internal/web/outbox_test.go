package web

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"image"
	"image/jpeg"
	"image/png"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"wormyard/journal"
)

// sendBox sends what a device holds.
func sendBox(t testing.TB, s *Server, sent outboxSent) outboxAnswer {
	t.Helper()
	raw, err := json.Marshal(sent)
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest("POST", "/outbox", bytes.NewReader(raw))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Accept", "application/json")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	if w.Code != 200 {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	var out outboxAnswer
	if err := json.Unmarshal(w.Body.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	if len(out.Results) != len(sent.Entries) {
		t.Fatalf("%d answers to %d entries", len(out.Results), len(sent.Entries))
	}
	return out
}

func feeding(f *paper, made time.Time, bin, depth string) outboxEntry {
	return outboxEntry{ID: f.newID(made), Kind: "feed", Form: [][2]string{{"bins", bin}, {"batch", "41"}, {"depth_m", depth}}, Made: made.UnixMilli(), Units: "us", Who: "crew 2"}
}

func TestAnEntryOfADeviceIsTakenOnce(t *testing.T) {
	s, f, _ := sample(t)
	before := len(f.book.entries)
	made := f.now.Add(-3 * time.Hour)
	sent := outboxSent{Format: 1, DeviceNow: f.now.UnixMilli(), Device: "a1b2c3", Entries: []outboxEntry{feeding(f, made, "B10", "1.5")}}
	for i := range 3 { // the answer was lost twice
		sent.DeviceNow += int64(i) * 700
		if r := sendBox(t, s, sent).Results[0]; r.State != "saved" || r.Said != "" {
			t.Fatalf("sending %d: %+v", i, r)
		}
	}
	if n := len(f.book.entries) - before; n != 1 {
		t.Fatalf("%d entries of one", n)
	}
	e := last(f)
	if !e.At.Equal(made) || e.Who != "crew 2" || e.Device != "phone a1b2c3" {
		t.Errorf("kept at %v by %q on %q", e.At, e.Who, e.Device)
	}
	// the same id with something else in it
	other := sent
	other.Entries = []outboxEntry{sent.Entries[0]}
	other.Entries[0].Form = [][2]string{{"bins", "B10"}, {"batch", "41"}, {"depth_m", "3"}}
	if r := sendBox(t, s, other).Results[0]; r.State != "refused" || len(r.Problems) == 0 || !strings.Contains(r.Problems[0].Say, "says something else") {
		t.Errorf("another content under the same id: %+v", r)
	}
	if n := len(f.book.entries) - before; n != 1 {
		t.Errorf("%d entries", n)
	}
}

func TestOneRefusedEntryHoldsUpNoOther(t *testing.T) {
	s, f, _ := sample(t)
	before := len(f.book.entries)
	made := f.now.Add(-time.Hour)
	list := []outboxEntry{feeding(f, made, "B10", "1"), feeding(f, made.Add(time.Minute), "X99", "1"), feeding(f, made.Add(2*time.Minute), "B11", "-1"), feeding(f, made.Add(3*time.Minute), "B12", "9"), {ID: "no id", Kind: "feed"}, {ID: f.newID(made), Kind: "setting"}, feeding(f, made.Add(4*time.Minute), "B13", "1")}
	got := sendBox(t, s, outboxSent{Format: 1, DeviceNow: f.now.UnixMilli(), Entries: list})
	for i, want := range []string{"saved", "refused", "refused", "doubtful", "refused", "refused", "saved"} {
		r := got.Results[i]
		if r.State != want || want != "saved" && (len(r.Problems) == 0 || r.Problems[0].Say == "" || r.Problems[0].Try == "") {
			t.Errorf("entry %d is %+v, wanted %s", i, r, want)
		}
	}
	if p := got.Results[1].Problems[0]; p.Field != "f-bins" || !strings.Contains(p.Say, "X99") {
		t.Errorf("the box is not marked: %+v", p)
	}
	if n := len(f.book.entries) - before; n != 2 {
		t.Fatalf("%d entries kept", n)
	}
	yes := list[3]
	yes.Yes = "something else"
	if r := sendBox(t, s, outboxSent{Format: 1, Entries: []outboxEntry{yes}}).Results[0]; r.State != "doubtful" {
		t.Errorf("a yes to other doubts: %+v", r)
	}
	yes.Yes = got.Results[3].Yes
	if r := sendBox(t, s, outboxSent{Format: 1, Entries: []outboxEntry{yes}}).Results[0]; r.State != "saved" {
		t.Errorf("after the yes: %+v", r)
	}
	if e := last(f); len(e.Confirmed) == 0 {
		t.Errorf("the yes is not kept: %+v", e)
	}
	if r := sendBox(t, s, outboxSent{Format: OutboxFormat + 1, Entries: []outboxEntry{feeding(f, made, "B10", "1")}}).Results[0]; r.State != "refused" {
		t.Errorf("a newer device: %+v", r)
	}
}

func TestAWrongClockIsPutRight(t *testing.T) {
	for _, c := range []struct {
		name   string
		off    time.Duration // of the device
		ago    time.Duration // when the entry was made, truly
		said   string
		device string
	}{
		{"right", 40 * time.Second, time.Hour, "", "phone a1b2"},
		{"three hours ahead", 3 * time.Hour, time.Hour, "3 h ahead", "phone a1b2, its clock 3 h ahead"},
		{"a day behind", -24 * time.Hour, 2 * time.Hour, "24 h behind", "phone a1b2, its clock 24 h behind"},
	} {
		s, f, _ := sample(t)
		s.Config.Demo = false
		made := f.now.Add(-c.ago)
		e := feeding(f, made.Add(c.off), "B10", "1")
		r := sendBox(t, s, outboxSent{Format: 1, DeviceNow: f.now.Add(c.off).UnixMilli(), Device: "a1b2", Entries: []outboxEntry{e}}).Results[0]
		kept := last(f)
		if off := kept.At.Sub(made).Abs(); r.State != "saved" || off > time.Minute || !strings.Contains(r.Said, c.said) || (c.said == "") != (r.Said == "") || kept.Device != c.device {
			t.Errorf("%s: %+v, kept %v from the truth on %q", c.name, r, off, kept.Device)
		}
	}
	// what would lie in the time to come is now
	s, f, _ := sample(t)
	if r := sendBox(t, s, outboxSent{Format: 1, DeviceNow: f.now.UnixMilli(), Entries: []outboxEntry{feeding(f, f.now.Add(time.Hour), "B10", "1")}}).Results[0]; r.State != "saved" || last(f).At.After(f.now) {
		t.Errorf("%+v at %v", r, last(f).At)
	}
}

// TestATickIsTheFactItStoodFor sends a tick of the round when the round is gone.
func TestATickIsTheFactItStoodFor(t *testing.T) {
	s, f, d := sample(t)
	before := len(f.book.entries)
	n := doc(t, get(t, s, "/round"))
	forms := all(n, "article[data-act=feed] form[data-facts]")
	if len(forms) == 0 {
		t.Fatal("no line carries its facts")
	}
	var facts []outboxFact
	if err := json.Unmarshal([]byte(attr(forms[0], "data-facts")), &facts); err != nil {
		t.Fatal(err)
	}
	d.made = nil
	e := outboxEntry{ID: f.newID(f.now), Kind: "facts", Facts: facts, Made: f.now.Add(-time.Hour).UnixMilli()}
	for range 2 {
		if r := sendBox(t, s, outboxSent{Format: 1, DeviceNow: f.now.UnixMilli(), Entries: []outboxEntry{e}}).Results[0]; r.State != "saved" {
			t.Fatalf("%+v", r)
		}
	}
	if len(f.book.entries) != before+len(facts) {
		t.Errorf("%d entries of %d facts", len(f.book.entries)-before, len(facts))
	}
	if b, ok := f.book.entries[before].Body.(*journal.Feed); !ok || b.Batch != "41" || len(b.Bins) == 0 {
		t.Errorf("kept %+v", f.book.entries[before].Body)
	}
}

func TestUndo(t *testing.T) {
	s, f, _ := sample(t)
	e := feeding(f, f.now, "B10", "1")
	sendBox(t, s, outboxSent{Format: 1, Entries: []outboxEntry{e}})
	n := doc(t, get(t, s, "/bin/B10?said="+e.ID))
	form := all(n, ".said form[data-undo]")
	if len(form) != 1 {
		t.Fatal("no button to undo")
	}
	before := len(f.book.entries)
	for range 2 { // a double tap
		if w := post(t, s, attr(form[0], "action"), "id="+value(form[0], "id"), "back=/bin/B10"); w.Code != 303 {
			t.Fatalf("%d", w.Code)
		}
	}
	if _, counts, _ := f.State().Entry(e.ID); counts {
		t.Error("it still counts")
	}
	if b, ok := last(f).Body.(*journal.Strike); !ok || b.Why != "undone" || len(f.book.entries) != before+1 {
		t.Errorf("kept %+v, %d entries", last(f).Body, len(f.book.entries)-before)
	}
	// by the outbox, of one struck already and of one that is not there
	got := sendBox(t, s, outboxSent{Format: 1, Entries: []outboxEntry{{ID: f.newID(f.now), Kind: "strike", Strikes: e.ID}, {ID: f.newID(f.now), Kind: "strike", Strikes: f.newID(f.now)}}})
	if got.Results[0].State != "saved" || got.Results[1].State != "refused" {
		t.Errorf("%+v", got.Results)
	}
}

// album keeps photos in memory.
type album map[string][]byte

func (a album) KeepPhoto(_ context.Context, data []byte, _, _ int) (string, error) {
	sum := sha256.Sum256(data)
	name := hex.EncodeToString(sum[:])
	a[name] = data
	return name, nil
}

func (a album) Photo(_ context.Context, name string) ([]byte, int, int, bool, error) {
	data, ok := a[name]
	return data, 40, 30, ok, nil
}

func TestAPhotoComesWithItsEntry(t *testing.T) {
	s, f, _ := sample(t)
	s.Photos = album{}
	give := func(data []byte) *httptest.ResponseRecorder {
		r := httptest.NewRequest("POST", "/photo", bytes.NewReader(data))
		r.Header.Set("Content-Type", "image/jpeg")
		r.Header.Set("Sec-Fetch-Site", "same-origin")
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		return w
	}
	var good, flat, wide bytes.Buffer
	if err := jpeg.Encode(&good, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(&flat, image.NewGray(image.Rect(0, 0, 4, 3))); err != nil {
		t.Fatal(err)
	}
	if err := jpeg.Encode(&wide, image.NewGray(image.Rect(0, 0, mostPixels+1, 3)), nil); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"a page": []byte("<html><script>"), "a PNG": flat.Bytes(), "half of it": good.Bytes()[:good.Len()/2], "too wide": wide.Bytes(), "nothing": nil} {
		if w := give(data); w.Code != 422 {
			t.Errorf("%s: %d %s", name, w.Code, w.Body)
		}
	}
	if w := give(make([]byte, mostPhoto+1)); w.Code != 413 {
		t.Errorf("too much: %d", w.Code)
	}
	w := give(good.Bytes())
	var named struct{ Photo string }
	if err := json.Unmarshal(w.Body.Bytes(), &named); err != nil || !photoName.MatchString(named.Photo) {
		t.Fatalf("%d %s %v", w.Code, w.Body, err)
	}
	e := feeding(f, f.now, "B10", "1")
	e.Photo = named.Photo
	lost := feeding(f, f.now, "B11", "1")
	lost.Photo = strings.Repeat("0", 64)
	got := sendBox(t, s, outboxSent{Format: 1, Entries: []outboxEntry{e, lost}})
	if got.Results[0].State != "saved" || got.Results[1].State != "refused" || last(f).Photo != named.Photo {
		t.Fatalf("%+v", got.Results)
	}
	img := all(doc(t, get(t, s, "/journal/"+e.ID)), "img.shot")
	if len(img) != 1 || attr(img[0], "width") != "40" {
		t.Fatal("the entry does not show its photo")
	}
	shown := get(t, s, attr(img[0], "src"))
	if shown.Code != 200 || shown.Header().Get("Content-Type") != "image/jpeg" || !bytes.Equal(shown.Body.Bytes(), good.Bytes()) {
		t.Errorf("the photo: %d %s", shown.Code, shown.Header().Get("Content-Type"))
	}
	if w := get(t, s, "/photo/..%2f..%2fetc"); w.Code != 404 {
		t.Errorf("a name that is none: %d", w.Code)
	}
}

func TestInstalledProgram(t *testing.T) {
	s, _, _ := sample(t)
	w := get(t, s, "/manifest.webmanifest")
	var m webManifest
	if err := json.Unmarshal(w.Body.Bytes(), &m); err != nil || m.StartURL != "/round" || len(m.Icons) != 3 {
		t.Fatalf("%v %+v", err, m)
	}
	for _, i := range m.Icons {
		if x := get(t, s, i.Src); x.Code != 200 || x.Header().Get("Content-Type") != "image/png" {
			t.Errorf("%s: %d", i.Src, x.Code)
		}
	}
	w = get(t, s, "/sw.js")
	if w.Code != 200 || w.Header().Get("Cache-Control") == "public, max-age=31536000, immutable" || !strings.HasPrefix(w.Body.String(), "self.wormyard={") {
		t.Errorf("the worker: %d %q", w.Code, w.Header().Get("Cache-Control"))
	}
	w = get(t, s, "/keep.json")
	var list struct{ Pages []keptPage }
	if err := json.Unmarshal(w.Body.Bytes(), &list); err != nil || len(list.Pages) < 100 {
		t.Fatalf("%v, %d pages to keep", err, len(list.Pages))
	}
	for _, p := range list.Pages {
		if x := get(t, s, p.At); x.Code != 200 {
			t.Errorf("%s is to be kept and answers %d", p.At, x.Code)
		}
	}
}

// TestFirstPageIsLight adds up what the first page brings, as it is sent.
func TestFirstPageIsLight(t *testing.T) {
	s, _, _ := sample(t)
	size := func(path string) int {
		r := httptest.NewRequest("GET", path, nil)
		r.Header.Set("Accept-Encoding", "gzip")
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != 200 {
			t.Fatalf("%s: %d", path, w.Code)
		}
		return w.Body.Len()
	}
	page := size("/round")
	total := page
	for _, name := range []string{"look.css", "page.js", "icon.svg"} {
		n := size(s.static.to(name))
		t.Logf("%s %d bytes", name, n)
		total += n
	}
	t.Logf("page %d bytes, together %d", page, total)
	if total > 100_000 {
		t.Errorf("the first page brings %d bytes", total)
	}
}
