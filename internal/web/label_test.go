package web

import (
	"bytes"
	"net/url"
	"strings"
	"testing"

	"wormyard/internal/app"
	"wormyard/internal/label"
)

func TestLabelsToPrint(t *testing.T) {
	s, _, _ := sample(t)
	form := []string{"which=row 3 of 1, B1", "paper=letter", "base=http://192.168.1.20:8484"}
	w := post(t, s, "/labels", form...)
	if w.Code != 200 || w.Header().Get("Content-Type") != "application/pdf" || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF-")) {
		t.Fatalf("%d %s", w.Code, w.Header().Get("Content-Type"))
	}
	if again := post(t, s, "/labels", form...); !bytes.Equal(again.Body.Bytes(), w.Body.Bytes()) {
		t.Error("the same labels on the same day gave other bytes")
	}
	for _, bad := range []struct {
		form []string
		say  string
	}{
		{[]string{"which=B999", "paper=letter", "base=http://x"}, "B999"},
		{[]string{"which=all", "paper=papyrus", "base=http://x"}, "No paper"},
		{[]string{"which=all", "paper=a4", "base=barn"}, "barn"},
	} {
		w := post(t, s, "/labels", bad.form...)
		if n := doc(t, w); w.Code != 422 || !strings.Contains(textOf(n, ".wrong"), bad.say) {
			t.Errorf("%v: %d %s", bad.form, w.Code, textOf(n, ".wrong"))
		}
	}
	// On this machine alone a printed address would be of no use to a phone.
	if n := doc(t, get(t, s, "/labels")); textOf(n, "main .care") != "" {
		t.Errorf("a farm with a name is warned: %s", textOf(n, "main .care"))
	}
}

func TestLabelOpensItsBin(t *testing.T) {
	s, f, _ := sample(t)
	mark := app.FarmMark(f.State())
	if len(mark) != 4 {
		t.Fatalf("the farm's mark is %q", mark)
	}
	path := func(bin, mark string) string {
		u, err := url.Parse(label.Address("http://192.168.1.20:8484", bin, mark))
		if err != nil {
			t.Fatal(err)
		}
		return u.EscapedPath()
	}
	for _, c := range []struct {
		path string
		code int
		to   string // where it leads
		say  string
	}{
		{path("B10", mark), 303, "/bin/B10", ""},
		{strings.ToLower(path("B10", mark)), 303, "/bin/B10", ""},
		{"/b/B10", 303, "/bin/B10", ""},
		{"/b/b10", 303, "/bin/B10", ""},
		{path("B10", label.Mark("somebody else")), 404, "", "of another farm"},
		{"/b/B10/" + label.Tail("B11", mark), 404, "", "not read whole"},
		{path("B999", mark), 404, "", "There is no bin B999"},
	} {
		w := get(t, s, c.path)
		if w.Code != c.code || w.Header().Get("Location") != c.to {
			t.Errorf("%s: %d to %q, want %d to %q", c.path, w.Code, w.Header().Get("Location"), c.code, c.to)
			continue
		}
		if c.say == "" {
			continue
		}
		n := doc(t, w)
		if x := textOf(n, "main"); !strings.Contains(x, c.say) || strings.Contains(x, "«") || strings.Contains(x, "%!") {
			t.Errorf("%s says %q", c.path, x)
		}
		if len(all(n, "form[action='/b'] input[name=bin]")) != 1 {
			t.Errorf("%s offers no box for the painted number", c.path)
		}
	}
}

func TestLabelOfABinOutOfUse(t *testing.T) {
	s, f, _ := sample(t)
	if w := post(t, s, "/bin/B5/build", "id="+f.newID(f.now), "bins=B5", "state=retired"); w.Code != 303 {
		t.Fatalf("%d %s", w.Code, textOf(doc(t, w), "main"))
	}
	n := doc(t, get(t, s, "/b/B5/"+label.Tail("B5", app.FarmMark(f.State()))))
	if x := textOf(n, "main"); !strings.Contains(x, "taken out of use") {
		t.Error(x)
	}
	if len(all(n, "a[href='/bin/B5/build']")) != 1 || len(all(n, "a[href='/bin/B5']")) != 1 {
		t.Error("the page of a bin out of use leads neither to its history nor back into use")
	}
}

func TestWhichBin(t *testing.T) {
	s, f, _ := sample(t)
	b10, _ := f.State().Bin("B10")
	for typed, to := range map[string]string{"B10": "/bin/B10", "b10": "/bin/B10", "b 10": "/bin/B10", " B 10 ": "/bin/B10", "row 1 of 1 except B1-B9, B11-B99": "/bin/B10"} {
		if w := post(t, s, "/b", "bin="+typed); w.Header().Get("Location") != to {
			t.Errorf("%q: %d %s", typed, w.Code, w.Header().Get("Location"))
		}
	}
	if w := post(t, s, "/b", "bin="+b10.Slot.String()); w.Header().Get("Location") != "/bin/B10" {
		t.Errorf("%s: %d", b10.Slot, w.Code)
	}
	top := ""
	for _, b := range f.State().Bins() { // row 3 is in one barn only
		if b.Slot.Row == "3" && b.Slot.Stack == 4 {
			top = b.Name
		}
	}
	for _, typed := range []string{"3-4 top", " 3-4  TOP "} {
		if w := post(t, s, "/b", "bin="+typed); top == "" || w.Header().Get("Location") != "/bin/"+top {
			t.Errorf("%q: %d %s, want bin %q", typed, w.Code, w.Header().Get("Location"), top)
		}
	}
	for typed, say := range map[string]string{"": "Nothing is typed", "B999": "B999", "row 1 of 1": "is 22 bins", "1-4 top": "more than one barn"} {
		w := post(t, s, "/b", "bin="+typed)
		n := doc(t, w)
		if x := textOf(n, ".wrong"); w.Code != 422 || !strings.Contains(x, say) {
			t.Errorf("%q: %d %q, want %q", typed, w.Code, x, say)
		}
		if v := attr(all(n, "input[name=bin]")[0], "value"); v != typed {
			t.Errorf("what was typed, %q, came back as %q", typed, v)
		}
	}
}

// The code beside a line of the sheet opens that line, in capitals too.
func TestCodesOfTheSheet(t *testing.T) {
	s, _, d := sample(t)
	key := lineKey(t, d, "feed", "")
	for _, path := range []string{"/R/", "/r/"} {
		w := get(t, s, path+label.Short(key))
		if to, _ := url.PathUnescape(w.Header().Get("Location")); w.Code != 303 || to != "/round/"+key {
			t.Errorf("%s: %d to %s", path, w.Code, to)
		}
	}
	if w := get(t, s, "/R/222222"); w.Code != 404 {
		t.Errorf("a line that is not on the list: %d", w.Code)
	}
	n := doc(t, get(t, s, "/round/print"))
	c, err := label.Encode(label.Loud("http://example.com", "/r/"+label.Short(key)))
	if err != nil {
		t.Fatal(err)
	}
	if len(all(n, ".sheet-line svg.code path[d='"+c.Path()+"']")) != 1 {
		t.Error("the sheet does not have the code of the line")
	}
}
