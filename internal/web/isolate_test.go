package web

import (
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"wormyard/farm"
	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/qty"
)

// What runs from right to left, with a number that it would pull along, and a
// mark that would turn the rest of a page round.
const (
	hebrewGate = "שער 7"
	turnedText = "\u202ebackwards\u2069"
	emojiNote  = "🪱🚪 wet"
)

// typedFarm is the sample farm with such text wherever people type.
func typedFarm(t testing.TB) (*Server, *paper, *desk) {
	f := sampleFarm(t)
	f.write(30, "owner", &journal.Setting{Key: farm.KeyPerson + "דנה", Value: []byte("{}")})
	f.write(2, "דנה", &journal.Receive{Pile: hebrewGate, Material: "dairy solids, separated", VolumeM3: ptr(qty.CubicMetre(3)), Note: turnedText})
	f.write(1, "דנה", &journal.Sighting{Bin: "B10", What: hebrewGate + " " + emojiNote, Severity: "slight"})
	f.write(0.9, "דנה", &journal.Sighting{Bin: "B10", What: turnedText, Severity: "slight"})
	f.write(0.8, "دانا", &journal.Left{Bins: []string{"B11"}, Act: "feed", How: "skipped", Why: hebrewGate})
	f.flush()
	d := sampleDesk(t, f)
	return serverOf(t, f, d), f, d
}

// Wherever typed text is shown on a page it stands isolated, and in the boxes of
// forms it stands as it was typed. Pages of other text carry no such marks.
func TestTypedTextIsIsolatedOnEveryPage(t *testing.T) {
	s, f, d := typedFarm(t)
	shown := map[string]int{}
	paths := []string{"/yard/pile/" + url.PathEscape(hebrewGate), "/journal?q=" + escaped(hebrewGate), "/journal?q=" + escaped("backwards"), "/bin/B10/trouble"}
	for _, e := range f.book.list()[len(f.book.list())-5:] {
		paths = append(paths, "/journal/"+e.ID, "/journal/"+e.ID+"/strike")
	}
	for path := range everyPage(t, d) {
		paths = append(paths, path)
	}
	for _, path := range paths {
		w := get(t, s, path, "who="+escaped("דנה"))
		if w.Code >= 500 {
			t.Errorf("%s: %d", path, w.Code)
		}
		var walk func(*html.Node, bool)
		walk = func(n *html.Node, own bool) {
			own = own || n.Type == html.ElementNode && n.Data == "textarea"
			if n.Type == html.TextNode && !own {
				if words.Isolated(n.Data) != n.Data {
					t.Errorf("%s: in %s stands %q", path, n.Parent.Data, n.Data)
				}
				for _, typed := range []string{hebrewGate, "backwards", emojiNote, "דנה"} {
					if strings.Contains(n.Data, typed) {
						shown[typed]++
					}
				}
			}
			if n.Type == html.ElementNode && n.Data == "input" && strings.ContainsAny(attr(n, "value"), "\u2068\u2069") {
				t.Errorf("%s: the box %s has %q", path, attr(n, "name"), attr(n, "value"))
			}
			for c := n.FirstChild; c != nil; c = c.NextSibling {
				walk(c, own)
			}
		}
		walk(doc(t, w), false)
	}
	for _, typed := range []string{hebrewGate, "backwards", emojiNote, "דנה"} {
		if shown[typed] == 0 {
			t.Errorf("%q is shown nowhere", typed)
		}
	}
	t.Logf("shown: %v", shown)

	// a form that comes back has what was typed, to the letter
	note := hebrewGate + " " + turnedText + " " + emojiNote
	n := doc(t, post(t, s, "/bin/B10/sighting", "what="+note, "severity=no such"))
	back := value(n, "what")
	if back == "" {
		back = textOf(n, "textarea[name=what]")
	}
	if back != note {
		t.Errorf("%q came back as %q", note, back)
	}
	plain, _, pd := sample(t)
	for path := range everyPage(t, pd) {
		if body := get(t, plain, path).Body.String(); strings.ContainsAny(body, "\u2068\u2069") {
			t.Errorf("%s carries marks that nothing on it needs", path)
		}
	}
}
