package web

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"wormyard/journal"
)

// A sighting that is written down leads to what may be the matter, and each
// answer given there to a better guess.
func TestSightingLeadsToItsCauses(t *testing.T) {
	s, f, _ := sample(t)
	id := f.newID(f.now)
	w := post(t, s, "/bin/B20/sighting", "id="+id, "back=/bin/B20", "signs=red mites", "signs=worms on the lid", "severity=some")
	to := w.Header().Get("Location")
	if w.Code != 303 || !strings.HasPrefix(to, "/bin/B20/trouble?") || !strings.Contains(to, "sighting="+id) {
		t.Fatalf("%d to %s", w.Code, to)
	}
	n := doc(t, get(t, s, to))
	if x := textOf(n, "main .under"); !strings.Contains(x, "red mites, worms on the lid") {
		t.Errorf("it began with %q", x)
	}
	first := textOf(n, ".cause h3")
	if first != "More feed than they eat, turning sour" && first != "The bed has no air" {
		t.Errorf("first comes %q", first)
	}
	for _, c := range all(n, ".cause h3 + p") {
		if x := words1(c); strings.Contains(x, "nearly always") || strings.Contains(x, "all of it") || strings.Contains(x, "nothing,") {
			t.Errorf("somebody is certain: %s", x)
		}
	}
	if len(all(n, "a[href='/bin/B20/turn'],a[href='/bin/B20/harvest'],a[href='/bin/B20/look']")) == 0 {
		t.Error("no remedy leads to its form")
	}
	// An answer changes the order, and the same page can be had again by its address.
	hot := to + "&is=warmth:hot&is=where:sides&is=mites:no+mites&is=smell:earth"
	n = doc(t, get(t, s, hot))
	if first := textOf(n, ".cause h3"); first != "The feed is heating" {
		t.Errorf("hot, and worms at the sides: first comes %q", first)
	}
	if textOf(n, "main .care") == "" {
		t.Error("hot feed comes without its caution")
	}
	if len(all(n, "form[action='/bin/B20/look'] input[name=where][value=sides]")) != 1 {
		t.Error("what was found cannot be written down")
	}
	if len(all(n, "details table td")) == 0 {
		t.Error("the working is missing")
	}
	// Answers that no look has are left out, without a fault.
	if w := get(t, s, to+"&is=smell:roses&is=nonsense&is=fed:just+now"); w.Code != 200 {
		t.Errorf("%d", w.Code)
	}
	if w := get(t, s, "/bin/B999/trouble"); w.Code != 404 {
		t.Errorf("a bin that is not there: %d", w.Code)
	}
}

// What was found is kept as a look by one press, and the page still opens.
func TestFoundIsWrittenDown(t *testing.T) {
	s, f, _ := sample(t)
	n := doc(t, get(t, s, "/bin/B20/trouble?is=smell:sour&is=mites:red+mites"))
	form := all(n, "form[action='/bin/B20/look']")
	if len(form) != 1 {
		t.Fatal("no form")
	}
	var pairs []string
	for _, in := range all(form[0], "input") {
		pairs = append(pairs, attr(in, "name")+"="+attr(in, "value"))
	}
	w := post(t, s, "/bin/B20/look", pairs...)
	if w.Code != 303 || !strings.HasPrefix(w.Header().Get("Location"), "/bin/B20/trouble?") {
		t.Fatalf("%d to %s: %s", w.Code, w.Header().Get("Location"), textOf(doc(t, w), ".wrong"))
	}
	b, _ := f.State().Bin("B20")
	if x := b.Bed.Looks[len(b.Bed.Looks)-1]; x.Smell != "sour" {
		t.Errorf("the look says %+v", x)
	}
}

func TestTroubleInAnEmptyBin(t *testing.T) {
	s, f, _ := sample(t)
	for _, b := range f.State().Bins() {
		if b.Bed == nil {
			if w := get(t, s, "/bin/"+url.PathEscape(b.Name)+"/trouble?is=eaters:hunters"); w.Code != 200 {
				t.Errorf("%s: %d", b.Name, w.Code)
			}
			return
		}
	}
	t.Fatal("the sample has no empty bin")
}

// The sheet for the truck is offered before the first lift of the day, and not
// again once it is filled in, unless a truck is out of service.
func TestTruckBeforeTheFirstLift(t *testing.T) {
	s, f, _ := sample(t)
	offered := func() string { return textOf(doc(t, get(t, s, "/bin/B1/move")), ".told") }
	if x := offered(); !strings.Contains(x, "Nobody looked over a truck today") {
		t.Errorf("before: %q", x)
	}
	w := post(t, s, "/truck", "id="+f.newID(f.now), "truck=1", "wrong=brakes", "fit=yes")
	if n := doc(t, w); w.Code != 422 || !strings.Contains(textOf(n, ".doubt"), "truck 1 is not as it should be (brakes)") {
		t.Errorf("bad brakes and fit: %d %s", w.Code, textOf(n, ".doubt"))
	}
	w = post(t, s, "/truck", "id="+f.newID(f.now), "truck=1", "wrong=brakes", "fit=no")
	if w.Code != 303 {
		t.Fatalf("%d %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	if x := offered(); !strings.Contains(x, "Truck 1 is out of service") {
		t.Errorf("after a bad one: %q", x)
	}
	f.keep(journal.Entry{ID: f.newID(f.now), Kind: "truck check", At: f.now, Who: "owner", Body: &journal.TruckCheck{Truck: "1", Fit: true}})
	if x := offered(); x != "" {
		t.Errorf("after a good one: %q", x)
	}
	if w := post(t, s, "/truck", "id="+f.newID(f.now), "truck="); w.Code != 422 {
		t.Errorf("an empty sheet: %d", w.Code)
	}
}

func TestBoughtWormsAreKeptApart(t *testing.T) {
	s, f, _ := sample(t)
	if x := textOf(doc(t, get(t, s, "/bin/B7")), "main"); strings.Contains(x, "Bought worms") {
		t.Error("worms of our own are kept apart")
	}
	f.keep(journal.Entry{ID: f.newID(f.now), Kind: "stock", At: f.now.AddDate(0, 0, -3), Who: "owner", Body: &journal.Stock{Bins: []string{"B7"}, Kg: 2, Bought: true}})
	if x := textOf(doc(t, get(t, s, "/bin/B7")), "main .care"); !strings.Contains(x, "Bought worms went into this bed on 28 February. Keep it apart until 30 March") {
		t.Errorf("the page of the bin says %q", x)
	}
	w := post(t, s, "/bin/B8/stock", "id="+f.newID(f.now), "bins=B8", "kg=1 kg", "from_bin=B7")
	if x := textOf(doc(t, w), ".doubt"); w.Code != 422 || !strings.Contains(x, "is kept apart until 30 March") {
		t.Errorf("split from it: %d %q", w.Code, fmt.Sprint(x))
	}
}

// A bin that rests says so, a feeding asks first, and then the rest is over.
func TestRest(t *testing.T) {
	s, f, _ := sample(t)
	if w := get(t, s, "/bin/B7/hold"); w.Code != 200 {
		t.Fatalf("the form: %d", w.Code)
	}
	if w := post(t, s, "/bin/B7/hold", "id="+f.newID(f.now), "why=sour feed lies there"); w.Code != 303 {
		t.Fatalf("%d %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	if x := textOf(doc(t, get(t, s, "/bin/B7")), "main .care"); !strings.Contains(x, "It rests since") || !strings.Contains(x, "sour feed lies there") {
		t.Errorf("the page of the bin says %q", x)
	}
	feed := []string{"id=" + f.newID(f.now), "bins=B7", "batch=41", "depth_m=1 in"}
	w := post(t, s, "/bin/B7/feed", feed...)
	n := doc(t, w)
	if x := textOf(n, ".doubt"); w.Code != 422 || !strings.Contains(x, "Bin B7 rests since") {
		t.Fatalf("a feeding does not ask: %d %q", w.Code, x)
	}
	yes := attr(all(n, "button[name=yes]")[0], "value")
	if w := post(t, s, "/bin/B7/feed", append(feed, "yes="+yes)...); w.Code != 303 {
		t.Fatalf("after yes: %d", w.Code)
	}
	if b, _ := f.State().Bin("B7"); b.Bed.Rest != nil {
		t.Error("it was fed and still rests")
	}
}
