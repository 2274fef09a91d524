package web

import (
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// How tests are said, on pages and on paper.

// analyte names a test.
func (p person) analyte(key string) string {
	if p.Words.Has("analyte." + key) {
		return p.Say("analyte." + key)
	}
	name, e, _ := journal.EndingOf(key)
	if e.Unit == "" {
		name = key
	}
	return strings.ReplaceAll(name, "_", " ")
}

// testAmount says what a test found, without its name: a limit is never said as if
// it were the amount.
func (p person) testAmount(t app.LotTest) string {
	v, unit, basis := t.Value, t.Unit, t.Basis
	if _, e, ok := journal.EndingOf(t.Analyte); ok && e.Unit != "" {
		v, unit, basis = t.Value*e.Times, e.Unit, e.Basis
	}
	if strings.HasPrefix(unit, "1/") {
		unit = unit[1:]
	}
	value := printable(strings.TrimSpace(qty.Reported(v) + " " + strings.TrimSuffix(unit, "-")))
	switch t.Reads {
	case journal.ReadsLess:
		value = p.Say("test.less", value)
	case journal.ReadsMore:
		value = p.Say("test.more", value)
	case journal.ReadsNone: // what was not measured is of neither wet nor dry matter
		return p.Say("test.none")
	case journal.ReadsTooMany:
		return p.Say("test.many")
	case journal.ReadsPresent:
		return p.Say("test.present")
	}
	if basis == "wet" || basis == "dry" {
		value += " " + p.Say("bag.basis."+basis)
	}
	return value
}

// testedValue says one result with its basis.
func (p person) testedValue(t app.LotTest) string {
	return p.analyte(t.Analyte) + " " + p.testAmount(t)
}

// tested says one result with its basis, day and laboratory.
func (p person) tested(t app.LotTest) string {
	from := p.day(t.At)
	if t.Laboratory != "" {
		from += p.Say("list.comma") + t.Laboratory
	}
	return p.testedValue(t) + " (" + from + ")"
}

// testFact is one test on the page of what was tested.
func (p person) testFact(t farm.Test) Fact {
	x := app.LotTestOf(t)
	return Fact{Name: sentence(p.analyte(x.Analyte)), Value: p.testAmount(x), Note: p.Say("fact.at", p.Moment(x.At)), Working: "/journal/" + t.Entry}
}
