package web

import (
	"reflect"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// moneyBoxes are the prices of the setting money, with where each stands.
var moneyBoxes = []struct {
	name string
	of   func(*farm.MoneySetup) **qty.Money
}{
	{"wage", func(m *farm.MoneySetup) **qty.Money { return &m.Wage }},
	{"truck", func(m *farm.MoneySetup) **qty.Money { return &m.Truck }},
	{"power", func(m *farm.MoneySetup) **qty.Money { return &m.Power }},
	{"bag", func(m *farm.MoneySetup) **qty.Money { return &m.Bag }},
	{"tote", func(m *farm.MoneySetup) **qty.Money { return &m.Tote }},
}

// mostCurrency is the most letters of the name of a currency.
const mostCurrency = 6

func moneyFields(p person, m farm.MoneySetup) []Field {
	currency := textField("currency", p.Say("farm.currency"), m.Currency)
	currency.Help, currency.Short = p.Say("farm.currencyhelp"), true
	out := []Field{currency}
	for _, b := range moneyBoxes {
		text := ""
		if v := *b.of(&m); v != nil {
			text = plainNumber(float64(*v))
		}
		out = append(out, numberField(b.name, p.Say("costs.try."+b.name), m.Currency, text))
	}
	return out
}

// minuteFields are the minutes that acts take; an empty box is as usual.
func (s *Server) minuteFields(p person, state *farm.State) ([]Field, error) {
	usual, err := app.Tempo(nil)
	if err != nil {
		return nil, err
	}
	var out []Field
	for _, act := range app.TimedActs() {
		text := ""
		if v, ok := state.Settings.Money.Minutes[act]; ok {
			text = plainNumber(v)
		}
		f := numberField("minutes_"+act, p.Say("costs.act."+act), p.Say("unit.minutes"), text)
		x := usual.Minutes[act]
		f.Help = p.Say("farm.minuteshelp", x.Best.String(), x.Low.String(), x.High.String())
		out = append(out, f)
	}
	return out, nil
}

// moneyOf reads the boxes of the prices. The price list stays as it was.
func (s *Server) moneyOf(p person, v values) ([]setting, []app.Problem) {
	was := s.Farm.State().Settings.Money
	now := farm.MoneySetup{Currency: strings.TrimSpace(v["currency"]), Products: was.Products}
	var problems []app.Problem
	if len([]rune(now.Currency)) > mostCurrency {
		problems = append(problems, app.Problem{Field: "currency", Say: p.Say("farm.badcurrency", now.Currency), Try: p.Say("farm.badcurrencytry", mostCurrency)})
	}
	for _, b := range moneyBoxes {
		if v[b.name] == "" {
			continue
		}
		d, ok := app.Price(v[b.name])
		if !ok {
			problems = append(problems, app.Problem{Field: b.name, Say: p.Say("costs.noprice", p.Say("costs.try."+b.name), v[b.name]), Try: p.Say("costs.nopricetry")})
			continue
		}
		price := qty.Money(d.InexactFloat64())
		*b.of(&now) = &price
	}
	for _, act := range app.TimedActs() {
		box := "minutes_" + act
		if v[box] == "" {
			continue
		}
		n, ps := s.number(p, journal.Field{Key: box, Label: p.Say("costs.act." + act)}, v[box])
		if ps == nil && (n < 0 || n > 1440) {
			ps = []app.Problem{{Field: box, Say: p.Say("farm.badminutes", v[box]), Try: p.Say("farm.badminutestry")}}
		}
		problems = append(problems, ps...)
		if now.Minutes == nil {
			now.Minutes = map[string]float64{}
		}
		now.Minutes[act] = n
	}
	if problems != nil {
		return nil, problems
	}
	if reflect.DeepEqual(now, was) {
		return []setting{}, nil
	}
	return []setting{{farm.KeyMoney, now}}, nil
}
