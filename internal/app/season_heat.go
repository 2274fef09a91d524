package app

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/season"
)

// YearHeat is with what a year's plan may heat.
type YearHeat struct {
	With   string             `json:"with"`       // one of farm.HeatWith
	Price  float64            `json:"price"`      // of a kilowatt-hour or a litre of it
	Brings float64            `json:"brings_kwh"` // heat for one of them [kWh]
	AtC    float64            `json:"at_c"`       // that the air of a barn is kept at
	KW     map[string]float64 `json:"kw"`         // that the heater of each barn must give in the coldest hour
}

// HeatC is at what the air of barns is kept where nobody said, and the least and most that
// may be said [°C]: numbers that come with the program and that its tests read.
func HeatC() (usual, least, most float64) {
	p, _ := seasonNumbers()
	return p.HeatToC, p.HeatLeastC, p.HeatMostC
}

// heating gives the ways of heating each barn that holds bins.
func (m *seasonMaker) heating() error {
	said := m.setup.Heat
	if said == nil {
		return nil
	}
	h := &YearHeat{With: said.With, AtC: m.p.HeatToC, Brings: 1, KW: map[string]float64{}}
	from := WhenceAssumed
	if said.AtC != nil {
		h.AtC, from = float64(*said.AtC), WhenceTyped
	}
	m.fact("heatat", "", h.AtC, from, 0)
	switch said.With {
	case farm.HeatPump:
		h.Brings = m.p.PumpTimes
	case farm.HeatPropane:
		h.Brings = m.p.BurnerPart * m.p.PropaneKWhL
	case farm.HeatOil:
		h.Brings = m.p.BurnerPart * m.p.OilKWhL
	case farm.HeatGas:
		h.Brings = m.p.BurnerPart
	}
	from = WhenceTyped
	switch power := m.s.Settings.Money.Power; {
	case said.Price != nil:
		h.Price = float64(*said.Price)
	case power != nil && (said.With == farm.HeatPower || said.With == farm.HeatPump):
		h.Price, from = float64(*power), WhenceJournal
	default:
		return figure.Refuse("", "The plan may heat, and it is not known what that costs.", "Type the price of what is heated with, or let the plan not heat.")
	}
	m.fact("heatprice", "", h.Price/h.Brings, from, 0)
	living := livingIn(m.s)
	all := 0.0
	for _, l := range living {
		all += l.at(m.now.Unix() / 3600)
	}
	for _, b := range m.s.Barns() {
		if len(said.Barns) > 0 && !slices.Contains(said.Barns, b.Name) {
			continue
		}
		bins := living[b.Name].at(m.now.Unix() / 3600)
		if bins == 0 {
			continue
		}
		house, _ := barnOf(b, living[b.Name].most(), m.params.BarnBinM3, m.s.Settings.Units)
		air := m.airOf(b.Name)
		var bedC []float64
		for w := range m.out.Farm.Weeks {
			sum, n := 0.0, 0.0
			for h := w * 168; h < min((w+1)*168, len(air)); h++ {
				sum, n = sum+air[h], n+1
			}
			bedC = append(bedC, sum/math.Max(n, 1)+m.above)
		}
		loss := house.Transmission() + house.Infiltration()
		way, kW, cold := season.Keep(b.Name, h.AtC, air, bedC, bins/all, m.out.Farm, m.out.sure, loss, h.Price/h.Brings)
		if !cold {
			continue
		}
		h.KW[b.Name] = kW
		m.fact("heatloss", b.Name, loss, WhenceJournal, 0)
		m.fact("heater", b.Name, kW, WhenceAssumed, 0)
		m.out.Farm.Heat = append(m.out.Farm.Heat, way)
	}
	m.out.Heat = h
	return nil
}

// airOf is the air about the bins of a barn, hour by hour [°C].
func (m *seasonMaker) airOf(barn string) []float64 {
	levels := map[int]float64{}
	all := 0.0
	for _, b := range m.s.Living() {
		if b.Slot.Barn == barn {
			levels[b.Slot.Level]++
			all++
		}
	}
	var out []float64
	for _, level := range slices.Sorted(maps.Keys(levels)) { // in order, so that the sum is the same each time
		n, hours := levels[level], m.air.At(barn, level).Hours
		if out == nil {
			out = make([]float64, len(hours))
		}
		for h := range min(len(out), len(hours)) {
			out[h] += n / all * hours[h].TempC
		}
	}
	return out
}

// splitting lets the plan split bins where the owner does.
func (m *seasonMaker) splitting() {
	said := m.setup.Split
	if said == nil {
		return
	}
	x := season.Split{Hours: m.p.SplitHours, Back: m.p.SplitBack}
	from := WhenceAssumed
	if said.Hours != nil {
		x.Hours, from = *said.Hours, WhenceTyped
	}
	m.fact("splithours", "", x.Hours, from, 0)
	from = WhenceAssumed
	if said.Back != nil {
		x.Back, from = *said.Back, WhenceTyped
	}
	m.fact("splitback", "", x.Back, from, 0)
	m.out.Farm.Split = &x
}

// aim takes over what the plan is for, and the money at hand. A plan for what was promised
// is the one that earns most, and then the surer one.
func (m *seasonMaker) aim() {
	f := &m.out.Farm
	if f.Aim = season.AimMoney; m.setup.Aim == farm.AimCastings {
		f.Aim = season.AimCastings
	}
	if m.setup.Cash == nil {
		return
	}
	f.Cash = &season.Cash{Start: float64(*m.setup.Cash)}
	m.fact("cash", "", f.Cash.Start, WhenceTyped, 0)
	from := WhenceAssumed
	if m.setup.Spent != nil {
		f.Cash.Spent, from = float64(*m.setup.Spent), WhenceTyped
	}
	m.fact("spent", "", f.Cash.Spent, from, 0)
}

// aimProblems tells what is wrong with what an owner says a plan is for.
func aimProblems(v farm.SeasonSetup, wrong func(say, try string)) {
	if v.Aim != "" && !slices.Contains(farm.Aims(), v.Aim) {
		wrong("It is not said what the plan is for.", "Say money, castings or promises.")
	}
	if v.Cash != nil && !(*v.Cash >= -1e9 && *v.Cash <= 1e9) || v.Spent != nil && !(*v.Spent >= 0 && *v.Spent <= 1e7) {
		wrong("The money at hand, or what is spent in a week, is no number that can be.", "Look at both.")
	}
}

// heatProblems tells what is wrong with what an owner says of heating and splitting.
func heatProblems(v farm.SeasonSetup, wrong func(say, try string)) {
	if h := v.Heat; h != nil {
		if !slices.Contains(farm.HeatWith(), h.With) {
			wrong("It is not said with what barns are heated.", "Say power, heat pump, propane, oil or gas.")
		}
		if h.Price != nil && !(*h.Price > 0 && *h.Price <= 1000) {
			wrong("What is heated with costs nothing, or far too much.", "Type the price of one of its units.")
		}
		_, least, most := HeatC()
		if h.AtC != nil && !(float64(*h.AtC) >= least && float64(*h.AtC) <= most) {
			wrong("The barns are to be kept colder than frost, or too warm for worms.", fmt.Sprintf("Type a warmth between %g and %g °C (%.0f and %.0f °F).", least, most, math.Ceil(least*1.8+32), math.Floor(most*1.8+32)))
		}
	}
	if x := v.Split; x != nil {
		if x.Hours != nil && !(*x.Hours >= 0 && *x.Hours <= 100) || x.Back != nil && !(*x.Back >= 0 && *x.Back <= 52) {
			wrong("Splitting a bin takes less than no time, or far too long.", "Type 0 to 100 hours and 0 to 52 weeks.")
		}
	}
}
