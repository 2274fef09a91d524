package web

import (
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/qty"
	"wormyard/season"
)

// splitByHand is the choice of who splits bins.
const splitByHand = "hand"

const (
	kWhPerTherm     = 29.3071 // 100,000 Btu
	litresPerGallon = 1000 * qty.M3PerUSGallon
	btuPerKWh       = 3412.14
)

// fuelUnit gives the key of the unit in which a farm buys what it heats with, and how many
// kilowatt-hours or litres that is.
func (p person) fuelUnit(with string) (key string, times float64) {
	switch with {
	case farm.HeatPropane, farm.HeatOil:
		return pick(p.Units, "season.gallon", "season.litre"), pickNumber(p.Units, litresPerGallon, 1)
	case farm.HeatGas:
		return pick(p.Units, "season.therm", "season.kwh"), pickNumber(p.Units, kWhPerTherm, 1)
	}
	return "season.kwh", 1
}

// fuel prints so many units of what is heated with.
func (p person) fuel(unit string, n float64) string {
	whole := int(math.Round(n))
	return p.Count(unit, whole, thousands(whole))
}

// heatFields asks whether barns may be heated, with what and how warm.
func (s *Server) heatFields(p person, v values) []Field {
	state := s.Farm.State()
	with := []Option{{Label: p.Say("season.heat.none")}}
	for _, w := range farm.HeatWith() {
		with = append(with, Option{Value: w, Label: p.Say("season.heat." + strings.ReplaceAll(w, " ", ""))})
	}
	price := numberField("heatprice", p.Say("season.field.heatprice"), state.Settings.Money.Currency, v["heatprice"])
	price.Help = pick(p.Units, p.Say("season.heatpriceus"), p.Say("season.heatpricesi"))
	at := numberField("heatat", p.Say("season.field.heatat"), pick(p.Units, "°F", "°C"), v["heatat"])
	usual, _, _ := app.HeatC()
	at.Help = p.Say("season.heatathelp", plainNumber(p.degrees(usual))+" "+at.Unit)
	out := []Field{selectField("heat", p.Say("season.field.heat"), v["heat"], with), price, at}
	if barns := state.Barns(); len(barns) > 1 {
		var options []Option
		for _, b := range barns {
			options = append(options, Option{Value: b.Name, Label: sentence(p.barn(b.Name))})
		}
		of := chipsField("barns", p.Say("season.field.barns"), v["barns"], options)
		of.Many, of.Help = true, p.Say("season.barnshelp")
		out = append(out, of)
	}
	return out
}

// splitFields asks whether bins are split, and what that takes.
func (p person) splitFields(v values) []Field {
	how := []Option{{Label: p.Say("season.split.none")}, {Value: splitByHand, Label: p.Say("season.split.hand")}}
	return []Field{
		selectField("split", p.Say("season.field.split"), v["split"], how),
		numberField("splithours", p.Say("season.field.splithours"), p.Say("season.unit.hours"), v["splithours"]),
		numberField("splitback", p.Say("season.field.splitback"), p.Say("season.unit.weeks"), v["splitback"]),
	}
}

// heatSaid reads whether barns may be heated; nil for not.
func (s *Server) heatSaid(p person, v values, read func(key string, least, most float64) *float64, problems *[]app.Problem) *farm.SeasonHeat {
	if !slices.Contains(farm.HeatWith(), v["heat"]) {
		return nil
	}
	h := &farm.SeasonHeat{With: v["heat"]}
	unit, times := p.fuelUnit(h.With)
	if n := read("heatprice", 0.001, 1000); n != nil {
		m := qty.Money(*n / times)
		h.Price = &m
	}
	power := h.With == farm.HeatPower || h.With == farm.HeatPump
	if v["heatprice"] == "" && (!power || s.Farm.State().Settings.Money.Power == nil) {
		*problems = append(*problems, app.Problem{Field: "heatprice", Say: p.Say("season.noheatprice"), Try: p.Say("season.noheatpricetry", p.fuel(unit, 1))})
	}
	_, least, most := app.HeatC()
	if n := read("heatat", math.Ceil(p.degrees(least)), math.Floor(p.degrees(most))); n != nil {
		c := qty.Celsius(math.Round(100*pickNumber(p.Units, (*n-32)/1.8, *n)) / 100)
		h.AtC = &c
	}
	for _, name := range strings.Split(v["barns"], "\n") {
		if _, known := s.Farm.State().Barn(name); known {
			h.Barns = append(h.Barns, name)
		}
	}
	return h
}

// splitSaid reads whether bins are split; nil where worms spread by themselves.
func splitSaid(v values, read func(key string, least, most float64) *float64) *farm.SeasonSplit {
	if v["split"] != splitByHand {
		return nil
	}
	return &farm.SeasonSplit{Hours: read("splithours", 0, 100), Back: read("splitback", 0, 52)}
}

// heatShown tells when a plan heats, what that costs and brings; head is empty where it
// may not.
func (p person) heatShown(y *app.Year, day func(float64) time.Time, currency string, out *YearShown) {
	if y.Heat == nil {
		return
	}
	out.HeatHead = p.Say("season.head.heat")
	switch {
	case len(y.Farm.Heat) == 0:
		out.Heat = []string{p.Say("season.heat.never", p.temperatureUnit(y.Heat.AtC))}
	case len(y.Plan.Warmed) == 0:
		out.Heat = []string{p.Say("season.heat.nothing")}
	default:
		out.HeatWorth = p.Say("season.heat.worth", p.temperatureUnit(y.Heat.AtC), p.roughly(y.Plan.HeatWorth, currency))
		if len(y.Plan.Warmed) > 1 {
			out.HeatWorth += " " + p.Say("season.heat.lean")
		}
		out.HeatCare = p.Told(season.HeatCaution)
	}
	unit, times := p.fuelUnit(y.Heat.With)
	for _, x := range y.Plan.Warmed {
		fuel := p.Say("season.fuel", p.fuel(unit, x.Cost/y.Heat.Price/times), p.Say("season.of."+strings.ReplaceAll(y.Heat.With, " ", "")))
		out.Heat = append(out.Heat, p.Say("season.heat.stretch", sentence(p.barn(x.Barn)), p.Words.Date(day(x.Week)), p.Words.Date(day(x.Week+x.Weeks).AddDate(0, 0, -1)), p.roughly(x.Cost, currency), fuel, p.roughly(x.Brings, currency)))
	}
}

// heatedIn names the barns that are heated in a step.
func (p person) heatedIn(s season.Step) string {
	var out []string
	for _, h := range s.Heat {
		out = append(out, p.barn(h.Barn))
	}
	return strings.Join(out, p.Say("list.comma"))
}

// splitIn is how many bins are split in a step.
func splitIn(s season.Step) (n float64) {
	for _, x := range s.Splits {
		n += x.Bins
	}
	return n
}

// splitsIn tells which bins are split in a step.
func (p person) splitsIn(s season.Step, day func(float64) time.Time) string {
	var out []string
	for _, x := range s.Splits {
		if x.Begun < 0 {
			out = append(out, p.Say("season.split.running", p.number(x.Bins), p.number(x.RipeIn)))
		} else {
			out = append(out, p.Say("season.split.begun", p.number(x.Bins), p.Words.Date(day(x.Begun))))
		}
	}
	return strings.Join(out, "; ")
}

// fuelOf is what a heated step costs of fuel [money].
func fuelOf(f *season.Farm, s season.Step) (sum float64) {
	for _, h := range f.Heat {
		if slices.Contains(s.Heat, season.Heated{Barn: h.Barn, Degrees: h.Degrees}) {
			for w := int(s.Week); w < int(s.Week+s.Weeks); w++ {
				sum += h.Cost[min(w, len(h.Cost)-1)]
			}
		}
	}
	return sum
}

// heatedBarns names the barns that a plan heats, each once, in the plan's order.
func heatedBarns(y *app.Year) (out []string) {
	for _, x := range y.Plan.Warmed {
		if !slices.Contains(out, x.Barn) {
			out = append(out, x.Barn)
		}
	}
	return out
}
