// Package words is the one catalogue of everything the pages say. A page asks
// for a sentence by its key; the catalogue of the reader's language holds the
// sentence. Templates and handlers hold no sentences of their own; a test in
// internal/web reads both and says so.
//
// What it assumes: a language has a rule that picks a plural form, names for
// days and months, and an order of words, which a format with numbered verbs
// ("%[2]s of %[1]s") can turn around. What it leaves out: the words of entry
// kinds (they stand with the kinds in package journal) and the sentences of
// the round (package round).
package words

import (
	"fmt"
	"sort"
	"strings"
	"time"
)

// Catalogue is every sentence in one language.
type Catalogue struct {
	Lang   string // as in the html lang attribute
	say    map[string]string
	plural func(n int) string // suffix of the key: "one", "many"
	days   [7]string          // from Sunday
	months [12]string
}

// Say gives the sentence of a key with its values filled in. A key that is not
// in the catalogue gives the key in double angle marks, which the tests look for.
func (c *Catalogue) Say(key string, values ...any) string {
	s, ok := c.say[key]
	if !ok {
		return "«" + key + "»"
	}
	if len(values) == 0 {
		return s
	}
	return fmt.Sprintf(s, isolated(values)...)
}

// Count gives the sentence of a key for n things; n is the first value.
func (c *Catalogue) Count(key string, n int, values ...any) string {
	key += "." + c.plural(n)
	if s, ok := c.say[key]; ok && !strings.Contains(s, "%") { // "fed once"
		return s
	}
	return c.Say(key, append([]any{n}, values...)...)
}

// Has says whether a key is in the catalogue.
func (c *Catalogue) Has(key string) bool { _, ok := c.say[key]; return ok }

// Keys lists every key in order.
func (c *Catalogue) Keys() []string {
	keys := make([]string, 0, len(c.say))
	for k := range c.say {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// Day gives "Tuesday 3 March".
func (c *Catalogue) Day(t time.Time) string {
	return c.Say("date.day", c.days[t.Weekday()], t.Day(), c.months[t.Month()-1])
}

// Weekday gives "Tuesday".
func (c *Catalogue) Weekday(t time.Time) string { return c.days[t.Weekday()] }

// Month gives "March".
func (c *Catalogue) Month(t time.Time) string { return c.months[t.Month()-1] }

// Short gives "3 March".
func (c *Catalogue) Short(t time.Time) string {
	return c.Say("date.short", t.Day(), c.months[t.Month()-1])
}

// Date gives "3 March 2026".
func (c *Catalogue) Date(t time.Time) string {
	return c.Say("date.date", t.Day(), c.months[t.Month()-1], t.Year())
}

// Tick gives the label of a day on an axis, "3 Mar".
func (c *Catalogue) Tick(t time.Time) string {
	return c.Say("date.tick", t.Day(), string([]rune(c.months[t.Month()-1])[:3]))
}

// Dated gives a day as papers have it, "3 Mar 2026".
func (c *Catalogue) Dated(t time.Time) string {
	return c.Say("date.dated", c.Tick(t), t.Year())
}

// Clock gives "7:42".
func (c *Catalogue) Clock(t time.Time) string {
	return c.Say("date.clock", t.Hour(), t.Minute())
}

// Moment gives the time of something that happened as one says it: the clock
// today, the weekday within the week, the date beyond, with the year when it
// is another one.
func (c *Catalogue) Moment(t, now time.Time) string {
	day := func(x time.Time) time.Time { return time.Date(x.Year(), x.Month(), x.Day(), 0, 0, 0, 0, time.UTC) }
	switch apart := int(day(now).Sub(day(t)).Hours() / 24); {
	case apart == 0:
		return c.Say("date.today", c.Clock(t))
	case apart == 1:
		return c.Say("date.yesterday", c.Clock(t))
	case apart > 1 && apart < 7:
		return c.Say("date.weekday", c.days[t.Weekday()], c.Clock(t))
	case t.Year() == now.Year():
		return c.Say("date.shortclock", c.Short(t), c.Clock(t))
	}
	return c.Date(t)
}

// Age gives how old something is, in the unit one would use.
func (c *Catalogue) Age(d time.Duration) string {
	switch hours := d.Hours(); {
	case hours < 1:
		return c.Count("age.minutes", int(d.Minutes()))
	case hours < 36:
		return c.Count("age.hours", int(hours+0.5))
	case hours < 24*21:
		return c.Count("age.days", int(hours/24+0.5))
	case hours < 24*120:
		return c.Count("age.weeks", int(hours/24/7+0.5))
	default:
		return c.Count("age.months", int(hours/24/30.44+0.5))
	}
}

// Span gives a working time, "2 h 10 min".
func (c *Catalogue) Span(minutes float64) string {
	m := int(minutes + 0.5)
	if m < 60 {
		return c.Say("span.minutes", m)
	}
	if m%60 == 0 {
		return c.Say("span.hours", m/60)
	}
	return c.Say("span.both", m/60, m%60)
}

// List joins names as one says them: "a, b and c".
func (c *Catalogue) List(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return c.Say("list.and", strings.Join(names[:len(names)-1], c.Say("list.comma")), names[len(names)-1])
}

// Chance gives a probability in chances of ten, and in finer ones near the
// ends where ten would round it away.
func (c *Catalogue) Chance(p float64) string {
	switch {
	case p <= 0.005:
		return c.Say("chance.none")
	case p >= 0.995:
		return c.Say("chance.sure")
	case p < 0.03:
		return c.Say("chance.of", 1, int(1/p+0.5))
	case p < 0.075:
		return c.Say("chance.of", 1, 20)
	case p > 0.925:
		return c.Say("chance.of", 19, 20)
	}
	n := int(p*10 + 0.5)
	if n > 9 {
		n = 9
	}
	return c.Say("chance.of", n, 10)
}

// Tenths gives a share with its range in tenths, "7 in 10 (6 to 9)".
func (c *Catalogue) Tenths(mid, low, high float64) string {
	in := func(p float64) int { return int(min(max(p, 0), 1)*10 + 0.5) }
	if in(low) == in(high) {
		return c.Chance10(mid)
	}
	return c.Say("chance.range", c.Chance10(mid), in(low), in(high))
}

// Chance10 gives a share in tenths, "6 in 10".
func (c *Catalogue) Chance10(p float64) string {
	switch {
	case p <= 0.05:
		return c.Say("chance.nothing")
	case p >= 0.95:
		return c.Say("chance.all")
	}
	return c.Say("chance.of", int(p*10+0.5), 10)
}
