package web

import (
	"context"
	"strings"
	"testing"
	"time"

	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/qty"
)

// A duty stands on the page of the year, on the round when it is due and in the
// calendar; written done it is due again after its time, and off the round.
func TestDutiesStandWhereTheyAreSeen(t *testing.T) {
	s, f, _ := sample(t)
	id := func() string { return "id=" + f.newID(f.Now()) }
	due := f.Now().AddDate(0, 0, -2).Format(journal.DayLayout)
	if w := post(t, s, "/enter/duty", id(), "duty=permit of the yard", "what=permit", "due="+due, "every=12", "hours=3"); w.Code != 422 || !strings.Contains(w.Body.String(), "only in part how often") {
		t.Fatalf("half of how often is taken: %d", w.Code)
	}
	w := post(t, s, "/enter/duty", id(), "duty=permit of the yard", "what=permit", "due="+due, "every=12", "period=months", "hours=3")
	if w.Code != 303 || !strings.Contains(w.Header().Get("Location"), "/season") {
		t.Fatalf("%d to %s", w.Code, w.Header().Get("Location"))
	}
	for path, want := range map[string]string{"/season": "permit, every year, 3 hours", "/round": "permit of the yard: overdue since", "/round/print": "permit of the yard: overdue since", "/season.ics": "SUMMARY:Due: permit of the yard"} {
		if body := get(t, s, path).Body.String(); !strings.Contains(body, want) {
			t.Errorf("%s does not say %q", path, want)
		}
	}
	if w := post(t, s, "/enter/duty%20done", id(), "duty=permit of the barn"); w.Code != 422 || !strings.Contains(w.Body.String(), "The duties are permit of the yard.") {
		t.Errorf("a duty that is not there is taken: %d", w.Code)
	}
	if w := post(t, s, "/enter/duty%20done", id(), "duty=Permit of the yard", "hours=4"); w.Code != 303 {
		t.Fatalf("%d %s", w.Code, w.Body.String())
	}
	if body := get(t, s, "/round").Body.String(); strings.Contains(body, "overdue") {
		t.Error("it is done and still on the round")
	}
	d := f.State().Duties()
	if len(d) != 1 || d[0].Due.Format(journal.DayLayout) != f.Now().AddDate(1, 0, -2).Format(journal.DayLayout) {
		t.Errorf("%+v", d)
	}
	lines := string(SeasonCalendar(nil, d, words.English(), qty.US, time.UTC, f.Now()))
	if strings.Count(lines, "BEGIN:VEVENT") != 1 || !strings.Contains(lines, "DTSTART;VALUE=DATE:"+d[0].Due.Format("20060102")) {
		t.Errorf("%s", lines)
	}
}

// A plan under way shows how far it is and can be stopped.
func TestAPlanIsStopped(t *testing.T) {
	s, _, _ := sample(t)
	d := s.Seasons.(*seasonDesk)
	d.doing = Progress{Running: true, Done: 3, Total: 9}
	if body := get(t, s, "/season").Body.String(); !strings.Contains(body, `<progress max="100" value="33">`) || !strings.Contains(body, `action="/season/stop"`) {
		t.Error("no progress, or no way to stop")
	}
	if w := post(t, s, "/season/stop"); w.Code != 303 {
		t.Errorf("%d", w.Code)
	}
	if doing, _ := d.Planning(); doing.Running {
		t.Error("it runs on")
	}
	if y, _ := d.Years(context.Background()); y == nil {
		t.Error("what was planned before is gone")
	}
}
