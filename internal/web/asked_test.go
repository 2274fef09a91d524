package web

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/round"
)

// asking is the sample farm whose round asks about two bins of a stack, four days
// back, and about one of another.
func asking(t *testing.T) (s *Server, f *paper, bins []string, day string) {
	t.Helper()
	s, f, d := sample(t)
	at := f.now.AddDate(0, 0, -4)
	day = at.In(f.State().Zone()).Format(journal.DayLayout)
	for i := range d.made.Items {
		it := &d.made.Items[i]
		if it.Row != "3" || it.Stack != 2 || it.Level > 2 {
			continue
		}
		it.Asked = &round.Asked{Day: day, Hour: at.Unix() / 3600, Prior: 0.8, Share: 0.9, Ratio: 1, Others: 6, Every: 7, Gap: 14, DepthM: 1.5 * in, Mix: "41"}
		bins = append(bins, it.Bin)
	}
	slices.Sort(bins)
	if len(bins) != 2 {
		t.Fatalf("asked about %v", bins)
	}
	return s, f, bins, day
}

// A question has its answers as buttons; yes writes the usual feeding on its day
// and the answer, once, and until then nothing is advised on its bins.
func TestAQuestionIsAnsweredYes(t *testing.T) {
	s, f, bins, day := asking(t)
	n := doc(t, get(t, s, "/round"))
	line := all(n, "article[data-act=ask]")
	if len(line) != 1 || len(all(line[0], "form")) != 3 || !strings.Contains(textOf(line[0], ".say"), "fed on") || !strings.Contains(textOf(line[0], ".why"), "14 days") {
		t.Fatalf("%d questions: %s", len(line), words1(n))
	}
	for _, x := range all(n, "article[data-act=feed] .say") {
		for _, b := range bins {
			if strings.Contains(textOf(x, "a"), b+" ") {
				t.Errorf("%s is asked about and fed", b)
			}
		}
	}
	form := all(line[0], "form")[0]
	was := len(f.book.list())
	wants(t, sendForm(t, s, form, all(form, "button")[0]), 303, "")
	got := f.book.list()[was:]
	if len(got) != 2 {
		t.Fatalf("%d entries", len(got))
	}
	feed, ok := got[0].Body.(*journal.Feed)
	if !ok || !same(feed.Bins, bins) || feed.Batch != "41" || float64(*feed.DepthM) != 1.5*in || got[0].At.In(f.State().Zone()).Format(journal.DayLayout) != day {
		t.Errorf("%+v at %s", got[0].Body, got[0].At)
	}
	if a, ok := got[1].Body.(*journal.Answer); !ok || a.Said != "fed" || a.Day != day || !same(a.Bins, bins) || got[1].At.Before(f.now.Add(-time.Minute)) {
		t.Errorf("%+v", got[1].Body)
	}
	if again := sendForm(t, s, form, all(form, "button")[0]); again.Code != 303 || len(f.book.list()) != was+2 {
		t.Error("pressed twice, written twice")
	}
	if n := doc(t, get(t, s, "/round")); len(all(n, "article[data-act=ask] form")) != 0 {
		t.Error("it still asks")
	}
	if said := f.State().AnsweredSince(f.now.AddDate(0, 0, -1)); len(said) != 2 || said[bins[0]][0].Said != "fed" {
		t.Errorf("%+v", said)
	}
}

// No, and nobody knows, write the answer and nothing else; another answer is none.
func TestAQuestionIsAnsweredNo(t *testing.T) {
	for i, said := range []string{"not fed", "not known"} {
		s, f, _, _ := asking(t)
		n := doc(t, get(t, s, "/round"))
		form := all(n, "article[data-act=ask] form")[i+1]
		was := len(f.book.list())
		wants(t, sendForm(t, s, form, all(form, "button")[0]), 303, "")
		got := f.book.list()[was:]
		if a, ok := got[0].Body.(*journal.Answer); len(got) != 1 || !ok || a.Said != said {
			t.Errorf("%s: %+v", said, got[0].Body)
		}
		wants(t, post(t, s, attr(form, "action"), "id=018e04e2-db9e-765c-abab-4d5bd3e69aaa", "answer=perhaps"), 404, "")
	}
}

// Fed otherwise is a form with the day of the question in it: the bins that were
// left out are answered with no.
func TestAQuestionIsAnsweredOtherwise(t *testing.T) {
	s, f, bins, day := asking(t)
	n := doc(t, get(t, s, "/round"))
	to := attr(all(n, "article[data-act=ask] a.b[href$='/except']")[0], "href")
	form := doc(t, get(t, s, to))
	if at := attr(all(form, "input[name=at]")[0], "value"); !strings.HasPrefix(at, day) {
		t.Errorf("the form says %q", at)
	}
	was := len(f.book.list())
	wants(t, post(t, s, to, "id="+formID(t, s, to), "bins="+bins[0], "batch=41", "depth_m=1 in", "at="+day+"T09:30"), 303, "")
	got := f.book.list()[was:]
	if len(got) != 3 {
		t.Fatalf("%d entries", len(got))
	}
	for i, want := range []string{"fed " + bins[0], "not fed " + bins[1]} {
		if a, ok := got[i+1].Body.(*journal.Answer); !ok || a.Said+" "+strings.Join(a.Bins, " ") != want {
			t.Errorf("%+v, wanted %s", got[i+1].Body, want)
		}
	}
}

// On the walk a question is a stop of one bin.
func TestAQuestionOnTheWalk(t *testing.T) {
	s, f, bins, _ := asking(t)
	for at := range 200 {
		n := doc(t, get(t, s, walkAt(at)))
		forms := all(n, "form[action*='/answer?bin=']")
		if len(forms) == 0 {
			continue
		}
		was := len(f.book.list())
		if len(forms) != 3 || len(all(n, "details form")) != 0 {
			t.Fatalf("%d answers, %d ways to leave it", len(forms), len(all(n, "details form")))
		}
		wants(t, sendForm(t, s, forms[0], all(forms[0], "button")[0]), 303, "")
		got := f.book.list()[was:]
		if b, ok := got[0].Body.(*journal.Feed); len(got) != 2 || !ok || len(b.Bins) != 1 || !slices.Contains(bins, b.Bins[0]) {
			t.Errorf("%+v", got[0].Body)
		}
		return
	}
	t.Fatal("no stop asks")
}

// An answer made without signal has the feeding on its own day.
func TestAQuestionAnsweredWithoutSignal(t *testing.T) {
	s, f, bins, day := asking(t)
	form := all(doc(t, get(t, s, "/round")), "article[data-act=ask] form")[0]
	raw := attr(form, "data-facts")
	if !strings.Contains(raw, `"at":"`) {
		t.Fatal(raw)
	}
	var facts []outboxFact
	if err := json.Unmarshal([]byte(raw), &facts); err != nil {
		t.Fatal(err)
	}
	was := len(f.book.list())
	out := sendBox(t, s, outboxSent{Format: 1, Entries: []outboxEntry{{ID: "018e04e2-db9e-765c-abab-4d5bd3e69aab", Kind: "facts", Facts: facts, Made: f.now.UnixMilli()}}})
	got := f.book.list()[was:]
	if len(out.Results) != 1 || out.Results[0].State != "saved" || len(got) != 2 {
		t.Fatalf("%+v, %d entries", out.Results, len(got))
	}
	if b, ok := got[0].Body.(*journal.Feed); !ok || !same(b.Bins, bins) || got[0].At.In(f.State().Zone()).Format(journal.DayLayout) != day {
		t.Errorf("%+v at %s", got[0].Body, got[0].At)
	}
}

// Habits are kept as a setting; what has no box stays, and what is no habit is
// told with its box.
func TestHabitsOfTheFarm(t *testing.T) {
	s, f, d := sample(t)
	n := doc(t, get(t, s, "/farm"))
	if got := len(all(n, "input[name=feed_days]")); got != 7 {
		t.Fatalf("%d days of the week", got)
	}
	bedding := f.State().Settings.Habits.Bedding
	wants(t, post(t, s, "/farm/habits", "id="+formID(t, s, "/farm"), "feed_days=tuesday", "feed_days=friday", "feed_most=2 in", "feed_depth=1 1/2 in", "feed_every=4"), 303, "")
	h := f.State().Settings.Habits
	if !slices.Equal(h.FeedDays.Names(), []string{"tuesday", "friday"}) || float64(h.FeedMost) != 2*in || h.FeedEveryDays != 4 || h.Bedding != bedding {
		t.Errorf("%+v", h)
	}
	if d.asked != 1 {
		t.Errorf("the round is made anew %d times", d.asked)
	}
	n = doc(t, get(t, s, "/farm"))
	if got := len(all(n, "input[name=feed_days][checked]")); got != 2 || !strings.Contains(words1(n), "The next round works it out.") {
		t.Errorf("%d days are ticked: %s", got, words1(n))
	}
	was := len(f.book.list())
	wants(t, post(t, s, "/farm/habits", "id="+formID(t, s, "/farm"), "feed_days=tuesday", "feed_days=friday", "feed_most=2 in", "feed_depth=1 1/2 in", "feed_every=4"), 303, "")
	if len(f.book.list()) != was {
		t.Error("what is as it was is written again")
	}
	bad := doc(t, post(t, s, "/farm/habits", "id="+formID(t, s, "/farm"), "feed_days=someday", "feed_most=4 ft", "feed_every=0"))
	if text := words1(bad); !strings.Contains(text, "someday") || !strings.Contains(text, "4 ft") || len(f.book.list()) != was {
		t.Errorf("%s", text)
	}
}

// same says whether two lists name the same bins.
func same(a, b []string) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}
