package demo

import (
	"fmt"
	"math"
	"reflect"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/internal/weather"
	"wormyard/qty"
	"wormyard/yard"
)

// knob is one number of nature that differs on this farm.
type knob struct {
	name  string
	of    qty.Estimate
	index []int // of the field in bed.Parameters
}

// fixed are numbers of a bed or its worms that are no property of a farm: limits
// that say when something is noticed, reference points, guesses for beds without
// a record, and what castings are as a material.
var fixed = map[string]bool{
	"rate_at_c": true, "refuge_c": true, "alarm_c": true, "refuge_oxygen_frac": true, "dry_top_frac_wet": true, "sour_oxygen_frac": true,
	"leaving_per_day": true, "frozen_of_water": true, "ripe_days": true, "ripe_c": true, "castings_bulk_kg_m3": true, "castings_water_frac_wet": true,
	"castings_ash_frac_dry": true, "castings_carbon_of_volatile": true, "castings_cn": true, "ammonia_test_ph": true,
	"organic_density_kg_m3": true, "ash_density_kg_m3": true, "metabolic_water_kg_kg": true,
	"sour_from_ph": true, "sour_full_ph": true, "bitter_from_ph": true, "bitter_full_ph": true, "salt_leave_ds_m": true, "salt_from_ds_m": true, "salt_full_ds_m": true,
}

// knobs lists the numbers that may differ, in the order of the files.
func knobs() ([]knob, error) {
	index := map[string][]int{}
	find(reflect.TypeFor[bed.Parameters](), nil, index)
	var out []knob
	for _, name := range []string{"bed", "worm"} {
		list, err := source.Parameters(name)
		if err != nil {
			return nil, err
		}
		for _, e := range list {
			if fixed[e.Name] || e.Value == nil || e.Low == nil || *e.Low >= *e.High {
				continue
			}
			at, ok := index[e.Name]
			if !ok {
				return nil, fmt.Errorf("a bed has no number %s", e.Name)
			}
			out = append(out, knob{e.Name, e.Estimate(), at})
		}
	}
	return out, nil
}

func find(t reflect.Type, at []int, into map[string][]int) {
	for i := range t.NumField() {
		f := t.Field(i)
		here := append(append([]int(nil), at...), i)
		if name := f.Tag.Get("param"); name != "" && f.Type.Kind() == reflect.Float64 {
			into[name] = here
		} else if f.Type.Kind() == reflect.Struct && f.IsExported() {
			find(f.Type, here, into)
		}
	}
}

// others gives numbers of nature as they are on one farm, or in one bin: each
// knob drawn about what it is in p, with a part of its admitted spread.
func others(p bed.Parameters, list []knob, share float64, d dice) bed.Parameters {
	v := reflect.ValueOf(&p).Elem()
	for _, k := range list {
		f := v.FieldByIndex(k.index)
		at, z := f.Float(), share*d.NormFloat64()
		moved := drawn(k.of, z)
		if k.of.Low > 0 {
			moved = at * moved / k.of.Best
		} else {
			moved = at + moved - k.of.Best
		}
		f.SetFloat(min(max(moved, k.of.Low), k.of.High))
	}
	return p
}

// heapsOwn gives the yard's numbers as they are on this farm.
func heapsOwn(p yard.Parameters, share float64, d dice) (yard.Parameters, error) {
	list, err := source.Parameters("yard")
	if err != nil {
		return p, err
	}
	index := map[string][]int{}
	find(reflect.TypeFor[yard.Parameters](), nil, index)
	v := reflect.ValueOf(&p).Elem()
	for _, e := range list {
		switch e.Name {
		case "quick_rate", "slow_rate", "woody_rate", "still_air_exchange", "drawn_air_exchange", "conductivity", "settling", "ammonia_loss_rate":
			if e.Value != nil && e.Low != nil {
				v.FieldByIndex(index[e.Name]).SetFloat(drawn(e.Estimate(), share*d.NormFloat64()))
			}
		}
	}
	return p, nil
}

// weatherHere gives the true air outside: the record moved on, a little colder
// and off by what drifts over days.
func weatherHere(p *climate.Parameters, from, to int64, h Habits, d dice) (climate.Series, error) {
	a, err := weather.Site{Source: weather.SeattleDaily, ShiftYears: ShiftYears}.Air(p, from, to)
	if err != nil {
		return climate.Series{}, err
	}
	const memory = 3 * 24 // hours over which the difference is forgotten
	keep := math.Exp(-1.0 / memory)
	off := h.SiteSD * d.NormFloat64()
	for i := range a.Air.Hours {
		x := &a.Air.Hours[i]
		vapour := x.RH * climate.SaturationPa(x.TempC)
		x.TempC += h.SiteOffset + off
		x.RH = min(1, vapour/climate.SaturationPa(x.TempC))
		off = keep*off + h.SiteSD*math.Sqrt(1-keep*keep)*d.NormFloat64()
	}
	return a.Air, nil
}

// supplier is a material as this farm gets it: the same library material, off by
// a lasting part in every property.
type supplier struct {
	material feedstock.Material
	z        map[string]float64
}

func newSupplier(m feedstock.Material, share float64, d dice) supplier {
	s := supplier{m.WithCarbon(), map[string]float64{}}
	for _, key := range feedstock.Keys() {
		s.z[key] = share * d.NormFloat64()
	}
	return s
}

// load gives one load of a volume [m3], or of a wet mass [kg] when volume is 0.
func (s supplier) load(volume, wet float64, share float64, d dice) (feedstock.Matter, error) {
	v := s.material.Values(func(key string, p feedstock.Property) float64 {
		return drawn(p.Estimate, s.z[key]+share*d.NormFloat64())
	})
	q := feedstock.Quantity{Volume: qty.CubicMetre(volume)}
	if volume <= 0 {
		q = feedstock.Quantity{Wet: qty.WetKg(wet)}
	}
	m, _, err := v.Of(s.material.Name, q)
	return m, err
}
