package web

import (
	"fmt"
	"math"
	"reflect"
	"strconv"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// plateLines is how many lines of a capacity plate the form has.
const plateLines = 3

// truckLength and truckMass print what stands in a box, in the reader's units.
func truckLength(p person, m qty.Metre) string {
	if m == 0 {
		return ""
	}
	return plainNumber(math.Round(float64(m)*pickNumber(p.Units, 1/qty.MetrePerInch, 100)*10) / 10)
}

func truckMass(p person, kg qty.WetKg) string {
	if kg == 0 {
		return ""
	}
	return plainNumber(math.Round(float64(kg) * pickNumber(p.Units, 1/qty.KgPerPound, 1)))
}

// truckFields are the boxes of the truck.
func truckFields(p person, t farm.TruckSetup) []Field {
	long, heavy := pick(p.Units, "in", "cm"), pick(p.Units, "lb", "kg")
	var out []Field
	for i := range plateLines {
		var l farm.TruckLine
		if i < len(t.Plate) {
			l = t.Plate[i]
		}
		n := strconv.Itoa(i + 1)
		out = append(out, numberField("load_"+n, p.Say("farm.truckload", i+1), heavy, truckMass(p, l.LoadKg)), numberField("height_"+n, p.Say("farm.truckheight", i+1), long, truckLength(p, l.HeightM)))
	}
	choice := func(name, label, help string, value, from, to int, any bool) Field {
		var o []Option
		if any {
			o = append(o, Option{Value: "0", Label: p.Say("moves.reachany")})
		}
		for n := from; n <= to; n++ {
			o = append(o, Option{Value: strconv.Itoa(n), Label: strconv.Itoa(n)})
		}
		f := chipsField(name, label, strconv.Itoa(value), o)
		f.Help = help
		return f
	}
	centre := numberField("centre", p.Say("farm.truckcentre"), long, truckLength(p, t.CentreM))
	each := numberField("each", p.Say("farm.truckeach"), long, truckLength(p, t.EachM))
	each.Help = p.Say("farm.truckeachhelp")
	full := numberField("full", p.Say("farm.truckfull"), heavy, truckMass(p, t.FullKg))
	full.Help = p.Say("farm.truckfullhelp")
	return append(out, centre, each, full,
		choice("reach_up", p.Say("moves.reach"), p.Say("moves.reachhelp"), t.ReachUp, 1, 4, true),
		choice("spots", p.Say("moves.spots"), p.Say("moves.spotshelp"), max(1, t.Spots), 1, 4, false),
		choice("trucks", p.Say("moves.trucks"), "", max(1, t.Trucks), 1, 2, false))
}

// truckOf reads the boxes of the truck.
func (s *Server) truckOf(p person, v values) ([]setting, []app.Problem) {
	was := s.Farm.State().Settings.Truck
	var now farm.TruckSetup
	var problems []app.Problem
	read := func(box, label string, d qty.Dimension, unit string, low, high float64) float64 {
		if v[box] == "" {
			return 0
		}
		n, ps := s.number(p, journal.Field{Key: box, Label: label, Dim: dimension(d), Unit: unit}, v[box])
		if ps == nil && !(n >= low && n <= high) {
			ps = []app.Problem{{Field: box, Say: p.Say("farm.trucknot", label, v[box]), Try: p.Say("farm.trucknottry")}}
		}
		problems = append(problems, ps...)
		return n
	}
	for i := 1; i <= plateLines; i++ {
		load, height := fmt.Sprint("load_", i), fmt.Sprint("height_", i)
		l := farm.TruckLine{LoadKg: qty.WetKg(read(load, p.Say("farm.truckload", i), qty.Mass, "kg", 1, 20000)), HeightM: qty.Metre(read(height, p.Say("farm.truckheight", i), qty.Length, "m", 0, 15))}
		switch {
		case v[load] == "" && v[height] == "":
		case v[load] == "" || v[height] == "":
			problems = append(problems, app.Problem{Field: load, Say: p.Say("farm.truckhalf", i), Try: p.Say("farm.truckhalftry")})
		default:
			now.Plate = append(now.Plate, l)
		}
	}
	now.CentreM = qty.Metre(read("centre", p.Say("farm.truckcentre"), qty.Length, "m", 0.2, 1.5))
	now.EachM = qty.Metre(read("each", p.Say("farm.truckeach"), qty.Length, "m", 0.2, 2))
	now.FullKg = qty.WetKg(read("full", p.Say("farm.truckfull"), qty.Mass, "kg", 20, 5000))
	whole := func(box string) int { n, _ := strconv.Atoi(v[box]); return n }
	now.ReachUp, now.Spots, now.Trucks = whole("reach_up"), whole("spots"), whole("trucks")
	if problems != nil {
		return nil, problems
	}
	if reflect.DeepEqual(now, was) {
		return []setting{}, nil
	}
	return []setting{{farm.KeyTruck, now}}, nil
}
