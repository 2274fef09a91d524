package journal

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/qty"
)

// Known is what Check may lean on. The zero value checks an entry by itself.
type Known struct {
	Units qty.System     // of the messages
	Zone  *time.Location // of the days in messages; UTC when nil
	Now   time.Time      // entries may not lie in the future of it; not checked when zero
	Facts *Facts         // names are not checked when nil
}

func (k Known) day(t time.Time) string {
	if k.Zone != nil {
		t = t.In(k.Zone)
	}
	return t.Format("2 January 2006")
}

func (k Known) dayKey(t time.Time) string {
	if k.Zone != nil {
		t = t.In(k.Zone)
	}
	return t.Format(DayLayout)
}

// Earliest is the first day an entry may bear; before it a time is a slip.
var Earliest = time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)

// latestYear is the last year that a day may lie in; after it it is a slip.
const latestYear = 2199

// Check tells everything that is wrong with an entry, refused or doubtful, in
// the farmer's words. A doubtful problem whose field is named in e.Confirmed
// has been answered and is not told again. An entry with no problem left may be
// kept.
func Check(e *Entry, known Known) []Problem {
	c := checker{e: e, known: known}
	c.run()
	return slices.DeleteFunc(c.problems, func(p Problem) bool {
		return p.Level == Doubtful && slices.Contains(e.Confirmed, p.Field)
	})
}

// Worst gives the graver level among problems, "" when there are none.
func Worst(ps []Problem) Level {
	worst := Level("")
	for _, p := range ps {
		if p.Level == Refused {
			return Refused
		}
		worst = p.Level
	}
	return worst
}

// Confirm adds the fields of doubtful problems to e.Confirmed: the writer was
// asked and said that it is right.
func (e *Entry) Confirm(ps []Problem) {
	for _, p := range ps {
		if p.Level == Doubtful && !slices.Contains(e.Confirmed, p.Field) {
			e.Confirmed = append(e.Confirmed, p.Field)
		}
	}
	slices.Sort(e.Confirmed)
}

type checker struct {
	e        *Entry
	known    Known
	kind     Kind
	problems []Problem
}

func (c *checker) refuse(field, say, try string) {
	c.problems = append(c.problems, refusal(field, say, try))
}

func (c *checker) doubt(field, say, try string) {
	if try == "" {
		try = "If that is right, say yes; else type it again."
	}
	c.problems = append(c.problems, Problem{Field: field, Say: say, Try: try, Level: Doubtful})
}

func (c *checker) run() {
	e := c.e
	if !IsID(e.ID) {
		c.refuse("id", fmt.Sprintf("%q is not an id as the journal uses it.", e.ID), "Leave it out, or use a UUID of version 7 in lower case.")
	}
	k, ok := KindNamed(e.Kind)
	if !ok {
		c.problems = append(c.problems, unknownKind(e.Kind))
		return
	}
	c.kind = k
	c.time()
	c.who()
	raw, err := Encode(e.Body)
	var m map[string]any
	if err == nil {
		err = json.Unmarshal(raw, &m)
	}
	if err != nil || m == nil {
		c.refuse("body", "The body holds a number that is not finite, or nothing at all.", "Fill the entry in again.")
		return
	}
	ps := shape(k.Fields, m, "")
	if len(ps) > 0 { // the body is of another kind, or was filled by hand with too little
		c.problems = append(c.problems, ps...)
		return
	}
	if _, err := Read(e.Kind, raw); err != nil {
		c.refuse("body", "The body does not fit a "+strings.ToLower(k.Words)+".", "Fill the entry in again.")
		return
	}
	c.fields(k.Fields, m, "")
	for _, g := range k.OneOf {
		c.group(g, m, "")
	}
	c.kindRules(m)
	if c.known.Facts != nil {
		c.names()
	}
}

func (c *checker) time() {
	e, now := c.e, c.known.Now
	if e.At.IsZero() {
		c.refuse("at", "The day is missing.", "Say when it happened.")
		return
	}
	if e.At.Before(Earliest) || e.At.Year() > 9999 {
		c.refuse("at", "The day is "+c.known.day(e.At)+".", "Look at the year again.")
		return
	}
	if now.IsZero() || !e.At.After(now.Add(time.Hour)) {
		return
	}
	if site, ok := e.Body.(*Site); ok && site.Outlook {
		return
	}
	if c.known.dayKey(e.At) == c.known.dayKey(now) { // noon of a day whose hour was not typed
		return
	}
	try := "Type the day on which it happened."
	if e.Kind == "site" {
		try = "Type the day on which it happened, or say that it is a forecast."
	}
	if e.At.After(now.AddDate(0, 6, 0)) { // no day before or behind is so far ahead
		try = "Look at the year, and at the clock that gave it."
	}
	c.refuse("at", fmt.Sprintf("The day is %s, which is still to come.", c.known.day(e.At)), try)
}

// The longest texts the journal takes, in letters.
const (
	LongestText = 4000
	LongestName = 60
)

func (c *checker) who() {
	for _, t := range [...]struct{ key, label, text string }{{"who", "The name of the person", c.e.Who}, {"device", "The name of the device", c.e.Device}, {"photo", "The name of the photo", c.e.Photo}} {
		if len([]rune(t.text)) > LongestName*2 || strings.ContainsAny(t.text, "\n\r\x00") {
			c.refuse(t.key, fmt.Sprintf("%s is too long or runs over lines.", t.label), fmt.Sprintf("Use at most %d letters on one line.", LongestName*2))
		}
	}
	if s := c.e.Strikes; s != "" {
		if !IsID(s) {
			c.refuse("strikes", fmt.Sprintf("%q is not the id of an entry.", s), "Copy the id from the journal.")
		} else if s == c.e.ID {
			c.refuse("strikes", "The entry strikes itself.", "Give the id of the entry that is wrong.")
		}
	}
}

func (c *checker) fields(fields []Field, m map[string]any, path string) {
	for _, f := range fields {
		v, there := m[f.Key]
		if !there {
			continue
		}
		at := path + f.Key
		switch f.Type {
		case Number, Whole:
			c.number(f, v.(float64), at)
		case Numbers:
			for i, x := range v.([]any) {
				c.number(f, x.(float64), fmt.Sprintf("%s[%d]", at, i))
			}
		case Text:
			if s := v.(string); len([]rune(s)) > LongestText {
				c.refuse(at, fmt.Sprintf("%s has %d letters.", f.Label, len([]rune(s))), fmt.Sprintf("Use at most %d.", LongestText))
			} else if strings.ContainsRune(s, 0) {
				c.refuse(at, f.Label+" holds a letter that cannot be kept.", "Type it again.")
			}
		case Name, Slot:
			c.name(f, v.(string), at)
		case Names, Slots:
			seen := map[string]bool{}
			for i, x := range v.([]any) {
				s := x.(string)
				c.name(f, s, fmt.Sprintf("%s[%d]", at, i))
				if seen[s] {
					c.refuse(at, fmt.Sprintf("%s is named twice.", s), "Name it once.")
				}
				seen[s] = true
			}
		case Sides:
			for i, side := range v.([]any) {
				for j, x := range side.([]any) {
					c.name(f, x.(string), fmt.Sprintf("%s[%d][%d]", at, i, j))
				}
			}
		case Choice:
			c.choice(f, v.(string), at)
		case Choices:
			for _, x := range v.([]any) {
				c.choice(f, x.(string), at)
			}
		case Day:
			c.aDay(f, v.(string), at)
		case Table:
			for i, x := range v.([]any) {
				c.fields(f.Item, x.(map[string]any), fmt.Sprintf("%s[%d].", at, i))
			}
		}
	}
}

func (c *checker) number(f Field, v float64, at string) {
	sys := c.known.Units
	is := fmt.Sprintf("%s is %s.", f.Label, f.Show(v, sys))
	if f.Dim != nil && *f.Dim == qty.Percent && v > 1 {
		is = fmt.Sprintf("%s is %s, which is %s.", f.Label, plain(v), f.Show(v, sys))
	}
	if !f.Refused.holds(v) {
		try := f.meant(v)
		if try == "" && v < 0 && f.Refused.Low >= 0 {
			try = "Type it without the minus sign if that was a slip."
		}
		if try == "" {
			try = "Look at the number and its unit again."
		}
		c.refuse(at, is+" "+f.mustBe(v, f.Refused, sys), try)
		return
	}
	if !f.Doubtful.holds(v) {
		c.doubt(at, fmt.Sprintf("%s Usual is %s to %s.", is, f.Show(f.Doubtful.Low, sys), f.Show(f.Doubtful.High, sys)), "")
	}
}

func (c *checker) name(f Field, s, at string) {
	switch {
	case len([]rune(s)) > LongestName:
		c.refuse(at, fmt.Sprintf("%s has %d letters: %q.", f.Label, len([]rune(s)), string([]rune(s)[:20])+"..."), fmt.Sprintf("Use at most %d.", LongestName))
	case strings.ContainsAny(s, ",;\"\n\r\t\x00"):
		c.refuse(at, fmt.Sprintf("%s is %q. A name cannot hold commas, semicolons, quotation marks or line ends.", f.Label, s), "Leave them out.")
	}
}

func (c *checker) choice(f Field, s, at string) {
	if slices.Contains(f.Choices, s) {
		return
	}
	try := "Choose " + orList(f.Choices) + "."
	if near := Nearest(s, f.Choices); len(near) > 0 {
		try = "Did you mean " + orList(near) + "? " + try
	}
	c.refuse(at, fmt.Sprintf("%s is %q.", f.Label, s), try)
}

func (c *checker) aDay(f Field, s, at string) {
	day, err := time.Parse(DayLayout, s)
	if err == nil && (day.Before(Earliest) || day.Year() > latestYear) {
		c.refuse(at, fmt.Sprintf("%s is %q, and that is the year %d.", f.Label, s, day.Year()), fmt.Sprintf("Look at the year: a day lies between %d and %d.", Earliest.Year(), latestYear))
	}
	if err != nil {
		say, try := fmt.Sprintf("%s is %q, which is not a day.", f.Label, s), "Write it as 2026-03-01."
		var y, m, d int
		if n, _ := fmt.Sscanf(s, "%d-%d-%d", &y, &m, &d); n == 3 && m == 2 && d == 29 {
			say, try = fmt.Sprintf("%d has no 29 February.", y), "Type 28 February or 1 March."
		}
		c.refuse(at, say, try)
	}
}

func (c *checker) group(g Group, m map[string]any, path string) {
	var given []string
	for _, key := range g.Keys {
		if _, ok := m[key]; ok {
			given = append(given, key)
		}
	}
	labels := make([]string, 0, len(g.Keys))
	for _, key := range g.Keys {
		if f, ok := c.kind.Field(key); ok {
			labels = append(labels, strings.ToLower(f.Label[:1])+f.Label[1:])
		}
	}
	switch {
	case len(given) == 0 && !g.None:
		c.refuse(path+g.Keys[0], "It is not said "+g.What+".", "Fill in "+orList(labels)+".")
	case len(given) > 1 && !g.Many:
		c.refuse(path+given[1], fmt.Sprintf("It is said more than once %s.", g.What), "Keep one of "+andList(labels)+", and leave the rest empty.")
	}
}
