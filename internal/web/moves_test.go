package web

import (
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"wormyard/barn"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// A lift that is ticked stands in the journal as a move, and the list goes on from
// where bins stand then, with a lift less. Pressed twice it is one.
func TestLiftsAreTickedOneByOne(t *testing.T) {
	s, f, _ := sample(t)
	lifts := func() (int, url.Values) {
		t.Helper()
		n := doc(t, get(t, s, "/moves?set=yes&more=B1"))
		forms := all(n, ".movestep form")
		if len(forms) == 0 {
			return len(all(n, ".movestep .no")), nil
		}
		v := url.Values{}
		for _, x := range all(forms[0], "input") {
			v.Set(attr(x, "name"), attr(x, "value"))
		}
		return len(all(n, ".movestep .no")), v
	}
	for want := 4; want > 0; want-- { // two bins on B1, which is on the floor, and no room but the aisle's floor
		n, v := lifts()
		if n > want {
			t.Fatalf("%d lifts, and %d do", n, want)
		}
		if v == nil {
			break
		}
		entries := f.State().Entries
		for range 2 {
			if w := post(t, s, "/moves/lift", pairsOf(v)...); w.Code != 303 {
				t.Fatalf("%v: %d %s", v, w.Code, w.Body)
			}
		}
		if got := f.State().Entries; got != entries+1 {
			t.Fatalf("%d entries more", got-entries)
		}
		if b, _ := f.State().Bin(v.Get("bin")); b.Slot.String() != v.Get("to") {
			t.Errorf("%s stands in %s, ticked %s", b.Name, b.Slot, v.Get("to"))
		}
	}
	if n, _ := lifts(); n != 0 {
		t.Errorf("%d lifts are left", n)
	}
	for _, b := range f.State().Bins() {
		if !b.Slot.InRow() {
			t.Errorf("%s stands in %s in the end", b.Name, b.Slot)
		}
	}
	if bad := f.State().Places().Crowded(); len(bad) > 0 {
		t.Errorf("two bins in one place: %v", bad)
	}
}

// Who ticks a lift of a bin that another moved meanwhile is told, and nothing is
// written.
func TestALiftThatIsOvertakenIsNotWritten(t *testing.T) {
	s, f, _ := sample(t)
	b, _ := f.State().Bin("B3")
	v := url.Values{"id": {f.newID(f.Now())}, "bin": {"B3"}, "from": {"1/1/7/3"}, "to": {"aisle 1-1"}}
	entries := f.State().Entries
	w := post(t, s, "/moves/lift", pairsOf(v)...)
	if w.Code != 422 || !strings.Contains(w.Body.String(), "moved meanwhile") || f.State().Entries != entries {
		t.Errorf("%d, %d entries more (B3 stands in %s)", w.Code, f.State().Entries-entries, b.Slot)
	}
}

// Put back as they stood nothing changes where a bin stands: no lift is ticked.
func TestPutBackAsTheyStoodWritesNothing(t *testing.T) {
	s, _, _ := sample(t)
	n := doc(t, get(t, s, "/moves?set=yes&back=same&more=B1"))
	if len(all(n, ".movestep .no")) != 4 || len(all(n, ".movestep form")) != 0 {
		t.Errorf("%d lifts, %d to tick", len(all(n, ".movestep .no")), len(all(n, ".movestep form")))
	}
	if x := words1(n); !strings.Contains(x, "4 lifts, the fewest possible") {
		t.Error("the page does not say that no list is shorter")
	}
}

// What cannot be is told in words: a bin asked for twice, one that is not there, a
// hole in a stack, a stack of ten, two bins in one place.
func TestMovesThatCannotBe(t *testing.T) {
	s, f, _ := sample(t)
	for at, say := range map[string]string{
		"/moves?set=yes&more=B1%2C+B2%2C+B1": "B1 is asked for twice.",
		"/moves?set=yes&more=Z9":             `No bin is called "Z9".`,
	} {
		if w := get(t, s, at); w.Code != 422 || !strings.Contains(words1(doc(t, w)), say) {
			t.Errorf("%s: %d without %q", at, w.Code, say)
		}
	}
	move := func(bin, to string) {
		t.Helper()
		e := journal.Entry{ID: f.newID(f.Now()), Kind: "move", At: f.Now(), Who: "crew 1", Body: &journal.Move{Bin: bin, To: to}}
		if ack, err := f.Record(t.Context(), e, true); err != nil || !ack.Saved {
			t.Fatalf("%s to %s: %v %v", bin, to, err, ack.Problems)
		}
	}
	move("B2", "1/4/1/3") // a hole in 1-1, two in 4-1
	for level, bin := range []string{"B97", "B98", "B99", "B100", "B101", "B102", "B103"} {
		if b, ok := f.State().Bin(bin); !ok || b.Slot.Barn != "2" {
			t.Fatalf("%s is not in barn 2", bin)
		}
		move(bin, barn.Slot{Barn: "1", Row: "3", Stack: 1, Level: 4 + level}.String())
	}
	low := f.State().Places().At(barn.Slot{Barn: "1", Row: "3", Stack: 1, Level: 1})
	crowd := f.State().Places().At(barn.Slot{Barn: "1", Row: "4", Stack: 1, Level: 1})
	x := words1(doc(t, get(t, s, "/moves?set=yes&more=B1%2C"+low+"%2C"+crowd)))
	for _, say := range []string{"Stack 1-1 has a hole at level 2", "Stack 3-1 is 10 bins high", "stand in one place by the journal: stack 4-1, level 3"} {
		if !strings.Contains(x, say) {
			t.Errorf("nothing says %q", say)
		}
	}
}

// The plate of the truck is typed on the page Farm; a bin that it forbids is told by
// name, and the rest is planned.
func TestThePlateForbidsALift(t *testing.T) {
	s, f, _ := sample(t)
	v := url.Values{"load_1": {"1500"}, "height_1": {"30"}, "load_2": {"900"}, "height_2": {"120"}, "each": {"26"}, "full": {"1000"}, "reach_up": {"0"}, "spots": {"1"}, "trucks": {"1"}}
	if w := post(t, s, "/farm/truck", pairsOf(v)...); w.Code != 303 {
		t.Fatalf("%d %s", w.Code, words1(doc(t, w)))
	}
	if set := f.State().Settings.Truck; len(set.Plate) != 2 || set.FullKg < 453 || set.FullKg > 454 || set.EachM != 26*qty.MetrePerInch {
		t.Fatalf("%+v", set)
	}
	x := words1(doc(t, get(t, s, "/moves?set=yes&more=B1%2C+B5")))
	if !strings.Contains(x, "B3 stands on B1 at level 3 and is too heavy for the truck's plate at that height.") {
		t.Error("nothing says that the plate forbids B3")
	}
	v.Del("height_2")
	if w := post(t, s, "/farm/truck", pairsOf(v)...); w.Code != 422 || !strings.Contains(words1(doc(t, w)), "Line 2 of the plate has a load without a height") {
		t.Errorf("half a line: %d", w.Code)
	}
}

// Two trucks never have an aisle in common, and a bin moves within its aisle.
func TestTwoTrucksWorkInDifferentAisles(t *testing.T) {
	_, f, d := sample(t)
	var plans app.TruckPlans
	ask := app.TruckAsk{Trucks: 2, Spots: 1}
	for i, b := range f.State().Living() {
		if i%4 == 0 {
			ask.Want = append(ask.Want, app.TruckWant{Bin: b.Name, Minutes: 4})
		}
	}
	looks := func(bin string) *app.Outlook { return d.outlooks[bin] }
	day, err := plans.TruckMoves(t.Context(), f.State(), looks, []string{"aisle"}, ask)
	if err != nil {
		t.Fatal(err)
	}
	by, trucks := map[string]int{}, map[int]bool{}
	for _, a := range day.Aisles {
		trucks[a.Truck] = true
		for _, row := range a.Rows {
			key := a.Barn + "/" + row
			if was, ok := by[key]; ok && was != a.Truck {
				t.Errorf("row %s has two trucks", key)
			}
			by[key] = a.Truck
		}
		for _, x := range a.Steps {
			for _, at := range []barn.Slot{x.From, x.To} {
				if at.InRow() && (at.Barn != a.Barn || !slices.Contains(a.Rows, at.Row)) {
					t.Errorf("%s goes through %s outside its aisle", x.Bin, at)
				}
			}
		}
	}
	if len(trucks) != 2 || day.Lifts == 0 || day.Bound > day.Lifts {
		t.Errorf("%d trucks, %d lifts of at least %d", len(trucks), day.Lifts, day.Bound)
	}
}

// Changes of places that are pressed stand in the journal, and are not suggested
// again.
func TestPlacesAreChanged(t *testing.T) {
	s, f, _ := sample(t)
	page := doc(t, get(t, s, "/moves/places"))
	if again := words1(doc(t, get(t, s, "/moves/places"))); again != words1(page) {
		t.Error("what was kept is told otherwise than when it was found")
	}
	was := len(all(page, "article.drive"))
	v := url.Values{}
	for _, x := range all(all(page, "article.drive form")[0], "input") {
		v.Add(attr(x, "name"), attr(x, "value"))
	}
	if w := post(t, s, "/moves/lift", pairsOf(v)...); w.Code != 303 {
		t.Fatalf("%d %s", w.Code, words1(doc(t, w)))
	}
	for i, bin := range v["bin"] {
		if b, _ := f.State().Bin(bin); b.Slot.String() != v["to"][i] {
			t.Errorf("%s stands in %s, not in %s", bin, b.Slot, v["to"][i])
		}
	}
	if bad := f.State().Places().Crowded(); len(bad) > 0 {
		t.Errorf("two bins in one place: %v", bad)
	}
	if now := len(all(doc(t, get(t, s, "/moves/places")), "article.drive")); now >= was {
		t.Errorf("%d changes, and %d before one was made", now, was)
	}
}

// A phone keeps the list and its steps, so that a driver goes on without signal: each
// tick carries its entry and the page after it.
func TestStepsAreKeptOnAPhone(t *testing.T) {
	s, _, _ := sample(t)
	kept := get(t, s, "/keep.json").Body.String()
	for _, at := range []string{`"/moves"`, `"/moves/drive?at=0"`, `"/moves/drive?at=9"`} {
		if !strings.Contains(kept, at) {
			t.Errorf("a phone does not keep %s", at)
		}
	}
	n := doc(t, get(t, s, "/moves/drive?at=0"))
	forms := all(n, "form[data-kind=facts]")
	if len(forms) != 1 || !strings.Contains(attr(forms[0], "data-facts"), `"kind":"move"`) || attr(forms[0], "data-next") != "/moves/drive?at=1" {
		t.Errorf("the first step: %v", forms)
	}
}

// What the farm names as to be kept is what the device agrees to keep.
func TestWhatIsNamedIsKept(t *testing.T) {
	s, _, _ := sample(t)
	script, err := os.ReadFile(filepath.Join("islands", "sw.ts"))
	if err != nil {
		t.Fatal(err)
	}
	rule := func(name string) *regexp.Regexp {
		m := regexp.MustCompile(`(?m)^const ` + name + ` = /(.*)/;$`).FindSubmatch(script)
		if m == nil {
			t.Fatalf("sw.ts has no rule %s", name)
		}
		return regexp.MustCompile(strings.ReplaceAll(string(m[1]), `\/`, "/"))
	}
	kept, never := rule("kept"), rule("never")
	var list struct {
		Pages []struct {
			At string `json:"at"`
		} `json:"pages"`
	}
	if err := json.Unmarshal(get(t, s, "/keep.json").Body.Bytes(), &list); err != nil || len(list.Pages) < 100 {
		t.Fatalf("%d pages: %v", len(list.Pages), err)
	}
	for _, x := range list.Pages {
		if path, _, _ := strings.Cut(x.At, "?"); !kept.MatchString(path) || never.MatchString(path) {
			t.Errorf("%s is named, and a device does not keep it", x.At)
		}
	}
}

// A caution stands once on the list, however many bins it is for, and again in the
// driver's step that it is for; a list opens where it begins.
func TestCautionsOnceOnTheList(t *testing.T) {
	s, _, _ := sample(t)
	n := doc(t, get(t, s, "/moves"))
	for _, say := range []string{"Gloves, and wash before you eat", "Ammonia may be strong", "Level floor, forks low", "The last feed is nearly gone"} {
		if k := strings.Count(words1(n), say); k != 1 {
			t.Errorf("%q stands %d times on the list", say, k)
		}
	}
	if len(all(n, ".movestep .care")) != 0 || len(all(n, "details.moveaisle[open]")) != 1 || len(all(n, "details.movestack[open]")) != movesOpen || len(all(n, "details.movestack")) < 10 {
		t.Errorf("%d cautions in steps, %d aisles and %d of %d stacks open", len(all(n, ".movestep .care")), len(all(n, "details.moveaisle[open]")), len(all(n, "details.movestack[open]")), len(all(n, "details.movestack")))
	}
	if sheet := doc(t, get(t, s, "/moves/print")); len(all(sheet, "main details")) != 0 || len(all(sheet, "main form.form")) != 0 || len(all(sheet, ".movestep")) != len(all(n, ".movestep")) {
		t.Error("the sheet folds steps away or has a form")
	}
	gloves := 0
	for at := range len(all(n, ".movestep")) {
		if strings.Contains(words1(doc(t, get(t, s, fmt.Sprintf("/moves/drive?at=%d", at)))), "Gloves, and wash before you eat") {
			gloves++
		}
	}
	if gloves < 2 {
		t.Errorf("%d steps of the driver say gloves", gloves)
	}
}

func pairsOf(v url.Values) (out []string) {
	for key, list := range v {
		for _, x := range list {
			out = append(out, key+"="+x)
		}
	}
	return out
}

// What the page says to type can be typed on a phone too, and a round that was not
// made yet is not told as one that asks for nothing.
func TestMovesAreChosenOnAPhone(t *testing.T) {
	s, _, d := sample(t)
	n := doc(t, get(t, s, "/moves"))
	if len(all(n, "input[name=more]")) != 1 || len(all(n, ".two.at-list")) != 0 {
		t.Error("the choices are not on the page, or hidden on a phone, which at-list does")
	}
	if len(all(n, "a[href='#choose']")) != 1 || len(all(n, "#choose")) != 1 {
		t.Error("no way from the top of a long list to the choices")
	}
	d.made = nil
	x := words1(doc(t, get(t, s, "/moves")))
	if !strings.Contains(x, "No round was made yet") || strings.Contains(x, "asks for no bin today") {
		t.Errorf("without a round: %s", x)
	}
}

// What the list comes to stands first, how near that is to the least after it; a step
// says how many there are before it says what to do.
func TestHowNearStandsLast(t *testing.T) {
	s, _, _ := sample(t)
	page := get(t, s, "/moves").Body.String()
	if first := textOf(doc(t, get(t, s, "/moves")), ".stands"); strings.Contains(first, "No order") || !strings.Contains(first, "along the aisles") {
		t.Errorf("it begins with %q", first)
	}
	if at := strings.Index(page, "No order of these lifts"); at < strings.LastIndex(page, "movestep") || at > strings.Index(page, `id="choose"`) {
		t.Error("how near the list is to the least does not stand after it")
	}
	drive := get(t, s, "/moves/drive").Body.String()
	if at := strings.Index(drive, "Step 1 of "); at < 0 || at > strings.Index(drive, "<h1>") {
		t.Error("a step does not say first which of how many it is")
	}
}
