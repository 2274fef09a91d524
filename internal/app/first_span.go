package app

import (
	"fmt"
	"strings"

	"wormyard/qty"
)

// typed reads a quantity, or gives what is usual when nothing was typed.
func (m *morning) typed(field, text string, of qty.Dimension, usual float64) float64 {
	if strings.TrimSpace(text) == "" {
		return usual
	}
	v, err := qty.Parse(text, of)
	if err != nil {
		m.parse(field, err)
		return usual
	}
	if v < 0 && of != qty.Temperature {
		m.refuse(field, fmt.Sprintf("%q is less than 0.", text), "Type it without the minus sign if that was a slip.")
		return usual
	}
	return v
}

func (m *morning) parse(field string, err error) {
	if p, ok := err.(*qty.ParseError); ok {
		m.refuse(field, p.Say, p.Try)
		return
	}
	m.refuse(field, err.Error(), "Type it again.")
}

// span reads a time in days, weeks, months or years.
func (m *morning) span(field, text string) (qty.Days, bool) {
	d, err := Span(text)
	if err != nil {
		m.parse(field, err)
		return 0, false
	}
	return d, true
}

// Span reads a length of time as a person types it: "5 days", "3 weeks", "2
// months", "1 1/2 years", "today", or in Spanish "hace 5 días", "2 meses", "hoy".
// A month is a twelfth of 365.25 days. The error is a *qty.ParseError.
func Span(text string) (qty.Days, error) {
	t := strings.ToLower(strings.TrimSpace(text))
	t = strings.TrimSpace(strings.TrimPrefix(strings.TrimSuffix(strings.TrimSuffix(t, "ago"), "old"), "hace "))
	switch t {
	case "today", "new", "fresh", "hoy", "nueva", "nuevo":
		return 0, nil
	case "yesterday", "ayer":
		return 1, nil
	}
	for _, u := range []struct {
		names string
		days  float64
	}{{"months|month|meses|mes|mo", 365.25 / 12}, {"years|year|yrs|yr|años|año|y", 365.25}} {
		for _, n := range strings.Split(u.names, "|") {
			if head, ok := strings.CutSuffix(t, n); ok {
				v, ok := howMany(head)
				if !ok || v < 0 {
					return 0, &qty.ParseError{Say: fmt.Sprintf("%q is not a length of time.", text), Try: `Type one such as "5 days", "3 weeks" or "2 months".`}
				}
				return qty.Days(v * u.days), nil
			}
		}
	}
	h, err := qty.Parse(t, qty.Duration)
	if err != nil || h < 0 {
		return 0, &qty.ParseError{Say: fmt.Sprintf("%q is not a length of time.", text), Try: `Type one such as "5 days", "3 weeks" or "2 months".`}
	}
	return qty.Days(h / 24), nil
}

// howMany reads a number as people write it: "2", "1.5", "1 1/2", "½", "a".
func howMany(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if s == "a" || s == "one" {
		return 1, true
	}
	v, err := qty.Parse(s+" h", qty.Duration)
	return v, err == nil
}

func (m *morning) spanOr(field, text string, usual qty.Days) (qty.Days, bool) {
	if strings.TrimSpace(text) == "" {
		return usual, false
	}
	return m.span(field, text)
}
