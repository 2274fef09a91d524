package web

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"wormyard/farm"
	"wormyard/journal"
)

// mapBox gives the box of a bin on a map.
func mapBox(t *testing.T, n *html.Node, bin string) *html.Node {
	t.Helper()
	list := all(n, "a.box[data-bin='"+bin+"']")
	if len(list) != 1 {
		t.Fatalf("bin %s is drawn %d times", bin, len(list))
	}
	return list[0]
}

// TestTheMapShowsABarn sees that the rows stand on their floors as they are laid
// out, that what a bin needs is told by word and texture, and that a tap without
// scripts opens the look.
func TestTheMapShowsABarn(t *testing.T) {
	s, f, _ := sample(t)
	n := doc(t, get(t, s, "/barn/1"))
	standing := 0
	for _, b := range f.State().Bins() {
		if b.Slot.Barn == "1" {
			standing++
		}
	}
	if got := len(all(n, "svg.elevation a.box")); got != standing || standing == 0 {
		t.Errorf("%d boxes are drawn of %d", got, standing)
	}
	if got := len(all(n, "svg.plan a[href^='#row-']")); got != 4 {
		t.Errorf("%d rows are drawn from above, not 4", got)
	}
	// the third and seventh stack of a row are two high: a place is left open
	if got := len(all(n, "#row-1 ~ .mapscroll rect.vacant")); got != 2 {
		t.Errorf("%d open places in row 1, not 2", got)
	}
	b4 := mapBox(t, n, "B4")
	if attr(b4, "data-act") != "now" || len(all(b4, "rect.bx-in")) != 1 {
		t.Errorf("danger has no double frame: %s", words1(b4))
	}
	if feed := mapBox(t, n, "B3"); attr(feed, "data-act") != "feed" || words1(feed) != "1-1 top feed 1½ in B3" {
		t.Errorf("a bin to feed: %s, %s", attr(feed, "data-act"), words1(feed))
	}
	place := func(bin, key string) float64 {
		v, err := strconv.ParseFloat(attr(all(mapBox(t, n, bin), "rect.bx")[0], key), 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if gap := place("B1", "y") - place("B2", "y") - place("B2", "height"); place("B1", "x") != place("B2", "x") || gap < 0 || gap > 8 {
		t.Errorf("B2 does not stand on B1: %g between them", gap)
	}
	kept := get(t, s, "/keep.json").Body.String()
	for _, path := range []string{`"/barn/1"`, `"/barn/1?show=needs"`, `"/barn/2?show=warmth"`} {
		if !strings.Contains(kept, path) {
			t.Errorf("a phone does not keep %s", path)
		}
	}
	to, _, _ := strings.Cut(attr(b4, "href"), "#")
	n = doc(t, get(t, s, to))
	need := textOf(n, "#look .need")
	if !strings.Contains(need, "in 10") || len(all(n, "#look a[href='/bin/B4']")) != 1 || len(all(n, "#look .care")) == 0 {
		t.Errorf("the look inside B4 says %q", need)
	}
	if len(all(n, "a.box[aria-current]")) != 1 {
		t.Error("the box that is looked into is not marked")
	}
	n = doc(t, get(t, s, to+"&only=look"))
	if len(all(n, "#look .need")) == 0 || len(all(n, "a.box")) != 0 {
		t.Error("the look alone brings the map along")
	}
}

// TestTheMapIsFiltered sees what needs a person, and one kind of act of it.
func TestTheMapIsFiltered(t *testing.T) {
	s, _, _ := sample(t)
	n := doc(t, get(t, s, "/barn/1?show=needs&act=harvest"))
	clear := all(n, "a.box:not(.faint)")
	if len(clear) == 0 {
		t.Fatal("nothing to harvest is shown")
	}
	for _, b := range clear {
		if attr(b, "data-act") != "harvest" {
			t.Errorf("%s is not to be harvested", words1(b))
		}
	}
	all4, shown := len(all(n, "svg.plan > a[href^='#row-']")), len(all(n, ".maprow"))
	if all4 != shown || shown == 4 || !strings.Contains(textOf(n, "barn-map > .under"), "left out") {
		t.Errorf("%d rows are open to a tap and %d drawn", all4, shown)
	}
	links := all(n, "[aria-label='What it needs'] a")
	if len(links) < 3 || attr(links[0], "href") != "/barn/1?show=needs" {
		t.Errorf("%d kinds of act to filter by", len(links))
	}
}

// TestWarmthIsOrdered sees that each step of the layer has its words, and that a
// warmer bin has never a lighter step.
func TestWarmthIsOrdered(t *testing.T) {
	s, _, d := sample(t)
	n := doc(t, get(t, s, "/barn/1?show=warmth", "units=metric"))
	if got := len(all(n, ".key li")); got != len(warmStepsC)+2 {
		t.Errorf("%d words in the key", got)
	}
	steps := 0
	for _, b := range all(n, "a.box") {
		o := d.outlooks[attr(b, "data-bin")]
		act, isStep := strings.CutPrefix(attr(b, "data-act"), "warm-")
		if !isStep {
			if o != nil && o.Warmest.High < float64(alarmC) {
				t.Errorf("%s has no step", words1(b))
			}
			continue
		}
		steps++
		below := 0
		for _, edge := range []float64{10, 15, 20, 25, 30} {
			if o.Warmest.Mid >= edge {
				below++
			}
		}
		if act != string(rune('0'+below)) {
			t.Errorf("%s is drawn as step %s", words1(b), act)
		}
	}
	if steps == 0 {
		t.Error("no bin has a step")
	}
	css := string(s.static.files[s.static.to("look.css")].plain)
	for i := 1; i <= len(warmStepsC); i++ {
		if p := "m-warm-" + string(rune('0'+i)); !strings.Contains(css, "url(#"+p+")") || len(all(n, "pattern#"+p)) != 1 {
			t.Errorf("step %d has no pattern", i)
		}
	}
}

// layoutBoxes gives the boxes of a layout form as they stand, with some changed.
func layoutBoxes(t *testing.T, s *Server, path string, change map[string]string) []string {
	t.Helper()
	n := doc(t, get(t, s, path))
	var out []string
	for _, e := range all(n, "main form input,main form textarea") {
		name := attr(e, "name")
		v := attr(e, "value")
		if e.Data == "textarea" {
			v = words1(e)
		}
		if attr(e, "type") == "radio" && !hasAttr(e, "checked") {
			continue
		}
		if x, ok := change[name]; ok {
			v = x
		}
		out = append(out, name+"="+v)
	}
	return out
}

func hasAttr(n *html.Node, key string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
}

// TestTheLayoutIsChanged changes rows, spots and doors by the form, keeps what
// the form does not show, and refuses to take a place away under a bin.
func TestTheLayoutIsChanged(t *testing.T) {
	s, f, _ := sample(t)
	count := func() int { return len(f.book.list()) }
	before := count()
	w := post(t, s, "/layout", layoutBoxes(t, s, "/layout?barn=1", map[string]string{"stacks_0": "7", "high_2": "2", "row_3": "9"})...)
	n := doc(t, w)
	wrong := textOf(n, ".wrong")
	if w.Code != 422 || count() != before {
		t.Fatalf("%d, %d entries more", w.Code, count()-before)
	}
	for _, want := range []string{"in row 1 stand beyond stack 7: B20", "in row 3 stand higher than 2 boxes", "stand in row 4, which this layout does not have", "Move what stands there first"} {
		if !strings.Contains(wrong, want) {
			t.Errorf("it does not say %q: %s", want, wrong)
		}
	}
	if attr(all(n, "input[name=stacks_0]")[0], "value") != "7" || len(all(n, "#f-stacks_0.bad")) != 1 {
		t.Error("what was typed is lost or its box not marked")
	}
	w = post(t, s, "/layout", layoutBoxes(t, s, "/layout?barn=1", map[string]string{"stacks_0": "lots", "high_1": "99", "row_4": "4", "stacks_4": "2", "high_4": "2"})...)
	if wrong = textOf(doc(t, w), ".wrong"); !strings.Contains(wrong, `"lots"`) || !strings.Contains(wrong, `"99"`) || !strings.Contains(wrong, "Two rows are called 4") {
		t.Errorf("not all at once: %s", wrong)
	}

	boxes := layoutBoxes(t, s, "/layout?barn=1", map[string]string{"stacks_0": "10", "row_4": "5", "stacks_4": "6", "high_4": "3", "aisle_1": "no", "spots": "staging 1\nstaging 2", "doors": "two on the south side"})
	if w = post(t, s, "/layout", boxes...); w.Code != 303 || count() != before+1 {
		t.Fatalf("%d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	var set farm.BarnSetup
	e := last(f).Body.(*journal.Setting)
	if err := json.Unmarshal(e.Value, &set); err != nil || e.Key != "barn/1" {
		t.Fatal(e.Key, err)
	}
	if set.LengthM != 30 || set.WidthM != 12 || len(set.Rows) != 5 || set.Rows[0].Stacks != 10 || !set.Rows[1].Against || !slices.Equal(set.Spots, []string{"staging 1", "staging 2"}) {
		t.Errorf("kept: %+v", set)
	}
	n = doc(t, get(t, s, "/barn/1"))
	if len(all(n, "svg.plan a[href^='#row-']")) != 5 || len(all(n, "svg.plan rect.spot")) != 2 || !strings.Contains(textOf(n, "svg.plan"), "two on the south side") {
		t.Error("the map does not show the new layout")
	}
	// pressed twice: nothing more is written
	if w = post(t, s, "/layout", boxes...); w.Code != 303 || count() != before+1 {
		t.Errorf("pressed twice: %d, %d entries", w.Code, count()-before)
	}
	// a form that lay open while the layout was changed: it is told, nothing is written
	boxes[slices.Index(boxes, "stacks_0=10")] = "stacks_0=11"
	if w = post(t, s, "/layout", boxes...); w.Code != 422 || !strings.Contains(textOf(doc(t, w), ".wrong"), "changed by somebody") || count() != before+1 {
		t.Errorf("a form left open: %d", w.Code)
	}
	// a spot with a bin on it stays
	f.write(0.01, "crew 1", &journal.Move{Bin: "B3", To: "staging 2"})
	f.flush()
	w = post(t, s, "/layout", layoutBoxes(t, s, "/layout?barn=1", map[string]string{"spots": "staging 1"})...)
	if wrong = textOf(doc(t, w), ".wrong"); w.Code != 422 || !strings.Contains(wrong, "stands on the spot staging 2") || !strings.Contains(wrong, "B3") {
		t.Errorf("a spot taken away under a bin: %d %s", w.Code, wrong)
	}
	w = post(t, s, "/layout", "name=North", "row_0=1", "stacks_0=4", "high_0=2")
	if w.Code != 303 || !hasBarn(f.State(), "North") {
		t.Errorf("a new barn: %d %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	if w = post(t, s, "/layout", "name=north", "row_0=1", "stacks_0=4", "high_0=2"); w.Code != 422 {
		t.Errorf("a second barn of the name: %d", w.Code)
	}
}
