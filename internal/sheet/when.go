package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"wormyard/journal"
)

// clock is a time of the day; said is false when none was given.
type clock struct {
	h, m, s int
	ns      int
	said    bool
}

// A fault is what is wrong with a cell.
type fault struct{ say, try string }

var months = map[string]time.Month{"jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "sept": 9, "oct": 10, "nov": 11, "dec": 12,
	"january": 1, "february": 2, "march": 3, "april": 4, "june": 6, "july": 7, "august": 8, "september": 9, "october": 10, "november": 11, "december": 12}

// day is a calendar day.
type day struct {
	y int
	m time.Month
	d int
}

func (d day) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.y, int(d.m), d.d) }

func (d day) words() string {
	return time.Date(d.y, d.m, d.d, 12, 0, 0, 0, time.UTC).Format("2 January 2006")
}

func (d day) real() bool {
	t := time.Date(d.y, d.m, d.d, 12, 0, 0, 0, time.UTC)
	return d.m >= 1 && d.m <= 12 && t.Day() == d.d && t.Month() == d.m
}

// whyNot says why a day is not in the calendar.
func (d day) whyNot(typed string) *fault {
	if d.m == time.February && d.d == 29 {
		return &fault{fmt.Sprintf("%d has no 29 February.", d.y), "Type 28 February or 1 March."}
	}
	if d.m >= 1 && d.m <= 12 {
		return &fault{fmt.Sprintf("%s has no day %d.", d.m, d.d), "Look at the day again."}
	}
	return &fault{fmt.Sprintf("%q is not a day of the calendar.", typed), "Write it as 2026-03-25."}
}

func fullYear(y int, digits int) int {
	if digits > 2 {
		return y
	}
	if y < 70 {
		return 2000 + y
	}
	return 1900 + y
}

// plainDay takes commas and the endings of 1st, 2nd, 3rd, 4th away.
var plainDay = strings.NewReplacer(",", " ", "st ", " ", "nd ", " ", "rd ", " ", "th ", " ")

// parseDay reads a day as people write it: 2026-03-01, 3/25/2026, 25.3.2026,
// 25 March 2026, Mar 25, 2026. What can be read two ways is refused with both
// readings unless order is "mdy" or "dmy".
func parseDay(s, order string) (day, *fault) {
	typed := strings.TrimSpace(s)
	if len(typed) == 10 && typed[4] == '-' && typed[7] == '-' { // as the journal writes it
		if t, err := time.Parse(journal.DayLayout, typed); err == nil {
			return day{t.Year(), t.Month(), t.Day()}, nil
		}
	}
	low := plainDay.Replace(strings.ToLower(typed) + " ")
	parts := strings.FieldsFunc(low, func(r rune) bool { return r == ' ' || r == '/' || r == '.' || r == '-' || r == '\u00a0' })
	if len(parts) == 4 { // Mon, 2 March 2026
		if _, err := strconv.Atoi(parts[0]); err != nil && months[parts[0]] == 0 {
			parts = parts[1:]
		}
	}
	if len(parts) != 3 {
		return day{}, &fault{fmt.Sprintf("%q is not a day.", typed), "Write it as 2026-03-25 or 3/25/2026."}
	}
	var n [3]int
	month := -1
	for i, p := range parts {
		if m, ok := months[p]; ok && month < 0 {
			month, n[i] = i, int(m)
			continue
		}
		v, err := strconv.Atoi(p)
		if err != nil || v < 0 {
			return day{}, &fault{fmt.Sprintf("%q is not a day.", typed), "Write it as 2026-03-25 or 3/25/2026."}
		}
		n[i] = v
	}
	var out day
	switch {
	case month == 0: // March 25 2026
		out = day{fullYear(n[2], len(parts[2])), time.Month(n[0]), n[1]}
	case month == 1 && len(parts[0]) == 4:
		out = day{n[0], time.Month(n[1]), n[2]}
	case month == 1: // 25 March 2026
		out = day{fullYear(n[2], len(parts[2])), time.Month(n[1]), n[0]}
	case len(parts[0]) == 4: // 2026-03-25
		out = day{n[0], time.Month(n[1]), n[2]}
	case len(parts[2]) == 4 || len(parts[2]) == 2:
		y := fullYear(n[2], len(parts[2]))
		mdy, dmy := day{y, time.Month(n[0]), n[1]}, day{y, time.Month(n[1]), n[0]}
		switch {
		case order == "mdy":
			out = mdy
		case order == "dmy":
			out = dmy
		case mdy == dmy || !dmy.real():
			out = mdy
		case !mdy.real():
			out = dmy
		default:
			return day{}, &fault{fmt.Sprintf("%q can be %s or %s.", typed, mdy.words(), dmy.words()), "Say --dates mdy if the month comes first, --dates dmy if the day does, or write it as " + mdy.String() + "."}
		}
	default:
		return day{}, &fault{fmt.Sprintf("%q is not a day.", typed), "Write it as 2026-03-25 or 3/25/2026."}
	}
	if !out.real() {
		return day{}, out.whyNot(typed)
	}
	return out, nil
}

// parseClock reads a time of the day: 7:30, 07:30:15.5, 7:30 pm, 7 pm, 1930.
func parseClock(s string) (clock, *fault) {
	typed := strings.TrimSpace(s)
	low := strings.ReplaceAll(strings.ToLower(typed), ".m.", "m")
	wrong := &fault{fmt.Sprintf("%q is not a time of the day.", typed), "Write it as 7:30, 19:30 or 7:30 pm."}
	half := ""
	for _, end := range []string{"am", "pm", "a", "p"} {
		if cut, ok := strings.CutSuffix(low, end); ok {
			low, half = strings.TrimSpace(cut), end[:1]
			break
		}
	}
	c := clock{said: true}
	parts := strings.Split(low, ":")
	if len(parts) == 1 && len(low) == 4 && half == "" {
		parts = []string{low[:2], low[2:]}
	} else if len(parts) == 1 && half == "" {
		return clock{}, wrong
	}
	if len(parts) > 3 {
		return clock{}, wrong
	}
	for i, p := range parts {
		if i == 2 {
			if whole, part, ok := strings.Cut(p, "."); ok && part != "" {
				v, err := strconv.ParseFloat("0."+part, 64)
				if err != nil {
					return clock{}, wrong
				}
				c.ns, p = int(v*1e9), whole
			}
		}
		v, err := strconv.Atoi(p)
		if err != nil || v < 0 || len(p) > 2 {
			return clock{}, wrong
		}
		switch i {
		case 0:
			c.h = v
		case 1:
			c.m = v
		case 2:
			c.s = v
		}
	}
	if half != "" {
		if c.h < 1 || c.h > 12 {
			return clock{}, wrong
		}
		c.h %= 12
		if half == "p" {
			c.h += 12
		}
	}
	if c.h > 23 || c.m > 59 || c.s > 59 {
		return clock{}, wrong
	}
	return c, nil
}

// parseWhen reads a day with or without a time of the day. A time with a zone
// of its own is exact.
func parseWhen(s, order string) (d day, c clock, exact time.Time, f *fault) {
	s = strings.TrimSpace(s)
	for _, layout := range []string{time.RFC3339Nano, "2006-01-02T15:04Z07:00", "2006-01-02 15:04:05.999999999Z07:00", "2006-01-02 15:04Z07:00"} {
		if len(s) < 17 || !strings.ContainsAny(s[16:], "Z+-") { // no zone behind the time
			break
		}
		if t, err := time.Parse(layout, s); err == nil {
			return d, c, t, nil
		}
	}
	// A time of the day, if there is one, follows the last space or T before the first colon.
	cut := -1
	if i := strings.IndexByte(s, ':'); i > 0 {
		cut = strings.LastIndexAny(s[:i], " T,\u00a0")
	} else if low := strings.ToLower(s); strings.HasSuffix(low, "am") || strings.HasSuffix(low, "pm") {
		trimmed := strings.TrimSpace(s[:len(s)-2])
		cut = strings.LastIndexByte(trimmed, ' ')
	}
	if cut > 0 {
		if c, f = parseClock(s[cut+1:]); f != nil {
			return d, c, exact, f
		}
		s = s[:cut]
	}
	d, f = parseDay(strings.TrimRight(s, " ,"), order)
	return d, c, exact, f
}

// kindRank gives a kind's place in the order of a farmer's day.
var kindRank = func() map[string]int {
	m := map[string]int{}
	for i, k := range journal.Kinds() {
		m[k.Name] = i
	}
	return m
}()

// localTime puts a day and a time of the day into a zone. Without a time of the
// day it is noon. Entries of the same wall-clock moment keep the order of a
// farmer's day (built before bedded before fed) by as many milliseconds as the
// kind's place among the kinds. The note tells of an hour that comes twice.
func localTime(d day, c clock, kind string, zone *time.Location) (t time.Time, note string, f *fault) {
	if !c.said {
		c.h = 12
	}
	if c.ns == 0 {
		c.ns = kindRank[kind] * 1_000_000
	}
	t = time.Date(d.y, d.m, d.d, c.h, c.m, c.s, c.ns, zone)
	if t.Hour() != c.h || t.Minute() != c.m {
		naive := time.Date(d.y, d.m, d.d, c.h, c.m, c.s, 0, time.UTC)
		_, before := t.Add(-12 * time.Hour).Zone()
		_, after := t.Add(12 * time.Hour).Zone()
		early := naive.Add(-time.Duration(after) * time.Second).In(zone)
		late := naive.Add(-time.Duration(before) * time.Second).In(zone)
		return t, "", &fault{fmt.Sprintf("On %s the clocks went forward; there was no %d:%02d.", d.words(), c.h, c.m),
			fmt.Sprintf("Type %s or %s.", early.Format("15:04"), late.Format("15:04"))}
	}
	for _, gap := range []time.Duration{time.Hour, 30 * time.Minute} {
		for _, other := range []time.Time{t.Add(-gap), t.Add(gap)} {
			if other.Day() == t.Day() && other.Hour() == c.h && other.Minute() == c.m {
				if other.Before(t) {
					t = other
				}
				return t, fmt.Sprintf("On %s the clocks went back and %d:%02d came twice; the first was taken.", d.words(), c.h, c.m), nil
			}
		}
	}
	return t, "", nil
}

// serialDay turns a spreadsheet's number of a day into a day and a time: days
// since 30 December 1899, or since 1 January 1904 (ECMA-376 part 1, 18.17.4).
func serialDay(v float64, from1904 bool) (day, clock) {
	start := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	if from1904 {
		start = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	seconds := int64(v*86400 + 0.5)
	t := start.AddDate(0, 0, int(seconds/86400)).Add(time.Duration(seconds%86400) * time.Second)
	return day{t.Year(), t.Month(), t.Day()}, clock{h: t.Hour(), m: t.Minute(), s: t.Second(), said: seconds%86400 != 0}
}
