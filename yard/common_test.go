package yard_test

import (
	"errors"
	"testing"

	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/yard"
)

func parameters(t testing.TB) *yard.Parameters {
	t.Helper()
	var p yard.Parameters
	if err := errors.Join(source.Load("yard", &p.Heap), source.Load("warmth", &p.Warmth)); err != nil {
		t.Fatal(err)
	}
	return &p
}

func matter(t testing.TB, name string, volume qty.CubicMetre) feedstock.Matter {
	t.Helper()
	l, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	m, err := l.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	x, _, err := m.Amount(feedstock.Quantity{Volume: volume})
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func steady(c float64) climate.Series {
	return climate.Steady(0, 1, climate.Hour{TempC: c, RH: .75})
}

func follow(t testing.TB, p *yard.Parameters, air climate.Series, days float64, events ...yard.Event) (yard.Pile, yard.Budget) {
	t.Helper()
	s, b, err := yard.Follow(p, air, nil, events, int64(days*24))
	if err != nil {
		t.Fatal(err)
	}
	return s, b
}

func received(m feedstock.Matter) yard.Event { return yard.Event{Kind: yard.Received, Matter: m} }
