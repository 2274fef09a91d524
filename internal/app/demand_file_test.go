package app

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"

	"wormyard/internal/sheet"
	"wormyard/journal"
)

// demandFarm is a farm with a bin, on Monday 2 March 2026.
func demandFarm(t *testing.T, bins bool) *App {
	t.Helper()
	at := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	a, store, err := OpenFile(context.Background(), filepath.Join(t.TempDir(), "farm.wormyard"), func() time.Time { return at })
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	if bins {
		if _, err := a.RecordAll(context.Background(), []journal.Entry{{Kind: "build", At: at, Body: &journal.Build{Bins: []string{"B1"}}},
			{Kind: "setting", At: at, Body: &journal.Setting{Key: "money", Value: []byte(`{"currency":"USD","products":[{"name":"garden bag","volume_m3":0.02,"price":15}]}`)}}}, true); err != nil {
			t.Fatal(err)
		}
	}
	return a
}

func demandIn(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// A sheet is read by its headers; days and weeks, units in a column or with the amount;
// what is bad is told by its row, and answered row by row.
func TestDemandOfASheet(t *testing.T) {
	a := demandFarm(t, true)
	path := demandIn(t, "demand.csv", `Ship date,Item,Qty,Unit,Unit price,Penalty,Buyer
2026-03-10,garden bag,40,,15,,shop
2026-03-17,castings,3 yd3,,200,50,nursery
W14,live worms,5,lb,35,,school
2026-04-01,jars,12,,,,shop
someday,castings,2,yd3,,,shop
2026-04-02,castings,many,yd3,,,shop
2026-02-02,castings,2,yd3,,,shop
2028-02-02,castings,2,yd3,,,shop
2026-04-03,garden bag,5,bags,$12,,shop
`)
	f, err := a.DemandFile(path, DemandAsk{})
	if err != nil {
		t.Fatal(err)
	}
	if f.Past != 1 || f.Far != 1 || len(f.Rows) != 7 || !f.Asked() {
		t.Fatalf("%d past, %d far, %d rows: %+v", f.Past, f.Far, len(f.Rows), f.Problems)
	}
	asked := map[int]string{}
	for _, r := range f.Rows {
		for _, q := range r.Ask {
			asked[r.Row] += q.Field + ": " + q.Say + " "
			if q.Try == "" {
				t.Errorf("row %d: nothing says what to do about %q", r.Row, q.Say)
			}
		}
	}
	if len(asked) != 3 || !strings.Contains(asked[5], "not on the price list") || !strings.Contains(asked[6], "day") || !strings.Contains(asked[7], "cannot be read") {
		t.Errorf("asked: %v", asked)
	}
	kept := f.Demand("demand.csv", false)
	if len(kept) != 4 {
		t.Fatalf("kept: %+v", kept)
	}
	if x := kept[1]; x.Day != "2026-03-17" || x.Amount != 3 || x.Unit != "yd3" || *x.Price != 200 || *x.Penalty != 50 {
		t.Errorf("%+v", x)
	}
	if x := kept[2]; x.Day != "2026-04-02" || x.Unit != "lb" { // ISO week 14 of 2026 begins on 30 March
		t.Errorf("%+v", x)
	}
	if x := kept[3]; x.Unit != "" || x.Product != "garden bag" || *x.Price != 12 {
		t.Errorf("%+v", x)
	}
	f, _ = a.DemandFile(path, DemandAsk{Answers: map[int]DemandAnswer{5: {"garden bag", "12", ""}, 6: {"castings", "2 yd3", "2026-05-01"}, 7: {}}})
	if f.Asked() || len(f.Demand("demand.csv", false)) != 6 {
		t.Errorf("with answers: %+v", f.Demand("demand.csv", false))
	}
	// what the columns mean is remembered, and another sheet asks for it
	set, err := KeepDemand(a.State(), f, "demand.csv", false, true)
	if err != nil || len(set) != 2 {
		t.Fatalf("%v %v", set, err)
	}
	if f, err = a.DemandFile(demandIn(t, "x.csv", "colour,size\nred,3\n"), DemandAsk{}); err != nil || len(f.Problems) != 2 || f.Problems[0].Try == "" {
		t.Errorf("%+v %v", f, err)
	}
}

// An event is read by its words: amounts in its title or below it, for whom it is left
// out, each time that it comes; what is not clear is asked about.
func TestDemandOfACalendar(t *testing.T) {
	a := demandFarm(t, true)
	event := func(lines ...string) string {
		return "BEGIN:VEVENT\r\nUID:" + lines[0] + "\r\nDTSTAMP:20260301T000000Z\r\n" + strings.Join(lines, "\r\n") + "\r\nEND:VEVENT\r\n"
	}
	path := demandIn(t, "market.ics", "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//A calendar//EN\r\n"+
		event("SUMMARY:20 bags for Green Street", "DTSTART;VALUE=DATE:20260310")+
		event("SUMMARY:Market: 10 garden bags\\, 5 lb worms", "DTSTART;TZID=America/Los_Angeles:20260307T090000", "RRULE:FREQ=WEEKLY;COUNT=6", "EXDATE;TZID=America/Los_Angeles:20260314T090000")+
		event("SUMMARY:Pick-up", "DESCRIPTION:3 cu yd castings to the nursery", "DTSTART:20260320T180000Z")+
		event("SUMMARY:Open day 10:00", "DTSTART;VALUE=DATE:20260321")+
		event("SUMMARY:12 visitors", "DTSTART;VALUE=DATE:20260322")+
		event("SUMMARY:9 bags", "STATUS:CANCELLED", "DTSTART;VALUE=DATE:20260323")+
		event("SUMMARY:9 bags", "DTSTART;VALUE=DATE:20260101")+"END:VCALENDAR\r\n")
	f, err := a.DemandFile(path, DemandAsk{})
	if err != nil {
		t.Fatal(err)
	}
	var clear, asked []string
	for _, r := range f.Rows {
		if r.Clear() {
			clear = append(clear, r.Product)
		} else {
			asked = append(asked, r.Said)
		}
	}
	if strings.Join(clear, "|") != "bags|garden bags|worms|castings" || strings.Join(asked, "|") != "Open day 10:00|12 visitors" || f.Past != 1 {
		t.Errorf("clear %v, asked %v, past %d", clear, asked, f.Past)
	}
	kept := f.Demand("market.ics", true)
	if len(kept) != 1+5+5+1 || !kept[0].Beside { // six Saturdays but one
		t.Errorf("%d kept: %+v", len(kept), kept)
	}
	for _, d := range kept {
		if d.Product == "castings" && (d.Amount != 3 || d.Unit != "yd3" || d.Day != "2026-03-20") || d.Product == "worms" && d.Unit != "lb" {
			t.Errorf("%+v", d)
		}
	}
}

// Before there is a farm, and of what is no calendar, one says what to do.
func TestDemandIsRefused(t *testing.T) {
	var no *sheet.Unreadable
	if _, err := demandFarm(t, false).DemandFile(demandIn(t, "d.csv", "day,amount\n2026-03-10,5 yd3\n"), DemandAsk{}); !errors.As(err, &no) || !strings.Contains(no.Try, "First morning") {
		t.Errorf("%v", err)
	}
	if _, err := demandFarm(t, true).DemandFile(demandIn(t, "d.ics", "hello"), DemandAsk{}); !errors.As(err, &no) || no.Try == "" {
		t.Errorf("%v", err)
	}
}

// What would be looked through without end, is more than a plan takes or is not read to
// its end is told, and nothing is left out without a word: of a long sheet the rows after
// those that are past count.
func TestLongDemand(t *testing.T) {
	a := demandFarm(t, true)
	calendar := func(lines ...string) string {
		return demandIn(t, "d.ics", "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//A calendar//EN\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20260301T000000Z\r\nSUMMARY:20 garden bags\r\n"+strings.Join(lines, "\r\n")+"\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n")
	}
	hours := make([]string, 24)
	sixty := make([]string, 60)
	for i := range sixty {
		sixty[i] = strconv.Itoa(i)
	}
	for i := range hours {
		hours[i] = strconv.Itoa(i)
	}
	dense := "RRULE:FREQ=DAILY;BYHOUR=" + strings.Join(hours, ",") + ";BYMINUTE=" + strings.Join(sixty, ",") + ";BYSECOND=" + strings.Join(sixty, ",")
	for _, rule := range []string{"RRULE:FREQ=SECONDLY", "RRULE:FREQ=MINUTELY;BYMONTH=2;BYMONTHDAY=30", dense} {
		f, err := a.DemandFile(calendar("DTSTART:19700101T090000Z", rule), DemandAsk{})
		if err != nil || len(f.Rows) != 1 || f.Rows[0].Clear() || f.Rows[0].Ask[0].Field != "day" {
			t.Errorf("%.30s: %+v %v", rule, f.Rows, err)
		}
	}
	f, err := a.DemandFile(calendar("DTSTART:19700105T090000Z", "RRULE:FREQ=DAILY;INTERVAL=7"), DemandAsk{})
	if err != nil || len(f.Rows) != 1 || len(f.Rows[0].Days) != 53 {
		t.Errorf("each Monday since 1970: %+v %v", f.Rows, err)
	}
	rows := func(n int, day string) string { return strings.Repeat(day+",garden bag,1\n", n) }
	path := demandIn(t, "d.csv", "day,product,amount\n"+rows(2500, "2025-03-10")+rows(3, "2026-03-10"))
	if f, err = a.DemandFile(path, DemandAsk{}); err != nil || f.Past != 2500 || len(f.Rows) != 3 {
		t.Errorf("%d past and %d rows: %v", f.Past, len(f.Rows), err)
	}
	var no *sheet.Unreadable
	for n, say := range map[int]string{MostDemand + 1: "sales", mostDemandRows + 1: "rows"} {
		if _, err = a.DemandFile(demandIn(t, "d.csv", "day,product,amount\n"+rows(n, "2026-03-10")), DemandAsk{}); !errors.As(err, &no) || !strings.Contains(no.Say, say) {
			t.Errorf("%d rows: %v", n, err)
		}
	}
}

// Cases of the weeks of ISO 8601 and of the repeats of RFC 5545 (Q9.4 to
// Q9.6 of docs/validation.md): a month that has no day 31 is passed over.
func TestWeeksAndRepeatsOfTheStandards(t *testing.T) {
	zone := time.UTC
	day := func(s string) time.Time {
		d, err := time.ParseInLocation("2006-01-02", s, zone)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	r := demandReader{now: day("2024-12-01"), until: day("2027-12-31")}
	for week, thursday := range map[string]string{"2026-W01": "2026-01-01", "2026-W53": "2026-12-31", "2025-W01": "2025-01-02"} {
		if got, ok := r.week(week, false); !ok || !got.Equal(day(thursday)) {
			t.Errorf("%s: %v %v", week, got, ok)
		}
	}
	if got, ok := r.week("2025-W53", false); ok {
		t.Errorf("2025 has 52 weeks, and one more was read as %v", got)
	}
	for event, want := range map[string]string{
		"DTSTART;VALUE=DATE:20260105\r\nRRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,TH;COUNT=5": "2026-01-05 2026-01-08 2026-01-19 2026-01-22 2026-02-02",
		"DTSTART;VALUE=DATE:20260131\r\nRRULE:FREQ=MONTHLY;COUNT=4":                       "2026-01-31 2026-03-31 2026-05-31 2026-07-31",
	} {
		cal, err := ics.ParseCalendar(strings.NewReader("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//A calendar//EN\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20251201T000000Z\r\n" + event + "\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"))
		if err != nil {
			t.Fatal(err)
		}
		days, err := r.daysOf(cal.Events()[0])
		var got []string
		for _, d := range days {
			got = append(got, d.Format("2006-01-02"))
		}
		if strings.Join(got, " ") != want || err != nil {
			t.Errorf("%s: %v %v", event, got, err)
		}
	}
}
