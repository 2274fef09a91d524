package app

import (
	"math"
	"reflect"
	"slices"
	"time"

	"wormyard/bed"
)

// BedRow is one row of the series, all for the whole bin. With several members
// each number is {p05, p50, p95}; what an empty bin does not have is null.
type BedRow struct {
	Day          float64        `json:"day" doc:"days from the start at the end of the row"`
	At           string         `json:"at" doc:"end of the row, clock of the place"`
	Depth        any            `json:"depth_m" unit:"m"`
	Mean         any            `json:"mean_c" unit:"C"`
	Max          any            `json:"max_c" unit:"C"`
	MaxAt        any            `json:"max_at_m" unit:"m" doc:"below the surface"`
	Min          any            `json:"min_c" unit:"C"`
	Surface      any            `json:"surface_c" unit:"C"`
	Water        any            `json:"water_frac_wet"`
	Top          any            `json:"top_water_frac_wet" doc:"of the uppermost 5 cm"`
	Drained      any            `json:"drained_kg" unit:"kg"`
	Evaporated   any            `json:"evaporated_kg" unit:"kg"`
	Oxygen       any            `json:"oxygen_min_frac" doc:"by volume in the pores"`
	Ammonia      any            `json:"ammonia_ppm" unit:"ppm" doc:"in the air under the cover, highest"`
	FeedLeft     any            `json:"feed_left_kg_dry" unit:"kg"`
	Dry          any            `json:"dry_kg" unit:"kg" doc:"all but worms"`
	CN           any            `json:"cn"`
	Castings     any            `json:"castings_kg_wet" unit:"kg"`
	CastingsFrac any            `json:"castings_frac" doc:"of dry matter"`
	Worms        any            `json:"worms_kg" unit:"kg" doc:"live"`
	Adults       any            `json:"adults"`
	Juveniles    any            `json:"juveniles"`
	Cocoons      any            `json:"cocoons"`
	Eaten        any            `json:"eaten_kg_wet_day" unit:"kg/day"`
	Heat         any            `json:"heat_w" unit:"W" doc:"made by decay and worms, mean"`
	Refuge       any            `json:"refuge_m" unit:"m" doc:"least depth under 30 C and with air"`
	Frozen       any            `json:"frozen_of_water"`
	Stress       map[string]any `json:"stress" doc:"by cause: 0 none to 1 lethal within a day"`

	Range map[string]MixRange `json:"range,omitempty" doc:"by key, where a property was given as a range and members were not asked for"`

	best bed.Day // of the first member, for the page of words
}

// BedSlice is a layer at the end, from the top down, of the first member.
type BedSlice struct {
	Laid     string  `json:"laid" doc:"date"`
	Kind     string  `json:"kind" doc:"feed or bedding"`
	TopM     float64 `json:"top_m" unit:"m" doc:"below the surface"`
	DepthM   float64 `json:"depth_m" unit:"m"`
	TempC    float64 `json:"temp_c" unit:"C"`
	Water    float64 `json:"water_frac_wet"`
	Air      float64 `json:"air_filled_frac"`
	Oxygen   float64 `json:"oxygen_frac"`
	Ammonia  float64 `json:"ammonia_ppm" unit:"ppm"`
	Castings float64 `json:"castings_frac"`
	DryKg    float64 `json:"dry_kg" unit:"kg"`
	FeedLeft float64 `json:"feed_left_kg_dry" unit:"kg"`
	WormsKg  float64 `json:"worms_kg" unit:"kg"`
	CN       float64 `json:"cn"`
	PH       float64 `json:"ph"`
}

// BedBalance is a balance: in counts what lay there at the start.
type BedBalance struct {
	Start  float64 `json:"start"`
	In     float64 `json:"in" doc:"start included"`
	Out    float64 `json:"out"`
	Stored float64 `json:"stored" doc:"at the end"`
	Error  float64 `json:"error_frac" doc:"in - out - stored against the larger of in and stored; the worst of the members"`
}

// BedBudget is the balance of the first member, for the whole bin: kg and J.
type BedBudget struct {
	Dry      BedBalance `json:"dry"`
	Water    BedBalance `json:"water"`
	Carbon   BedBalance `json:"carbon"`
	Nitrogen BedBalance `json:"nitrogen"`
	Energy   BedBalance `json:"energy"`
	Released float64    `json:"heat_released_j" unit:"J"`
	Oxygen   float64    `json:"oxygen_used_kg" unit:"kg"`
	Top      float64    `json:"heat_out_top_j" unit:"J"`
	Base     float64    `json:"heat_out_base_j" unit:"J"`
	Sides    float64    `json:"heat_out_sides_j" unit:"J"`
	Latent   float64    `json:"heat_out_evaporation_j" unit:"J"`
	Ammonia  float64    `json:"ammonia_lost_kg_n" unit:"kg"`
}

// BedNoticed is something that a run noticed: the day on which it began.
type BedNoticed struct {
	Day    float64 `json:"day"`
	What   string  `json:"what"`
	Chance float64 `json:"chance" doc:"share of the members that noticed it"`
}

// BedAnswer is what wormyard bed prints.
type BedAnswer struct {
	Series []BedRow     `json:"series"`
	Layers []BedSlice   `json:"layers"`
	Budget BedBudget    `json:"budget"`
	Events []BedNoticed `json:"events"`
	Notes  []string     `json:"notes"`
}

func clock(hour int64) time.Time { return time.Unix(hour*3600, 0).UTC() }

// row gives row i of the series: of the members together, or of the first with
// the spread of all beside it.
func (b *bedder) row(days [][]bed.Day, i int) BedRow {
	if !b.beside() {
		return b.joint(days, i)
	}
	r := b.joint(days[:1], i)
	r.Range = b.joint(days, i).ranges()
	return r
}

func (b *bedder) joint(days [][]bed.Day, i int) BedRow {
	v := make([]float64, len(days))
	pick := func(f func(d *bed.Day) float64) any {
		for k := range days {
			v[k] = f(&days[k][i])
		}
		if slices.ContainsFunc(v, math.IsNaN) {
			return nil
		}
		if len(v) == 1 {
			return v[0]
		}
		slices.Sort(v)
		at := func(q float64) float64 {
			x := q * float64(len(v)-1)
			j := min(int(x), len(v)-2)
			return v[j] + (x-float64(j))*(v[j+1]-v[j])
		}
		return MixRange{at(0.05), at(0.50), at(0.95)}
	}
	// An empty bin has no temperature, moisture or C:N: null, not 0.
	lies := func(f func(d *bed.Day) float64) any {
		if !slices.ContainsFunc(days, func(m []bed.Day) bool { return m[i].DryKg > 0 }) {
			return nil
		}
		return pick(f)
	}
	first := days[0][i]
	hours := first.Hour - b.from
	span := 1.0
	if b.in.Output == "hourly" {
		span = 1.0 / 24
	}
	r := BedRow{
		Day: float64(hours) / 24, At: clock(first.Hour).Format("2006-01-02T15:04:05"), Stress: map[string]any{}, best: first,
		Depth:        pick(func(d *bed.Day) float64 { return d.DepthM }),
		Mean:         lies(func(d *bed.Day) float64 { return d.MeanC }),
		Max:          lies(func(d *bed.Day) float64 { return d.MaxC }),
		MaxAt:        lies(func(d *bed.Day) float64 { return d.MaxAtM }),
		Min:          lies(func(d *bed.Day) float64 { return d.MinC }),
		Surface:      lies(func(d *bed.Day) float64 { return d.SurfaceC }),
		Water:        lies(func(d *bed.Day) float64 { return d.WaterOfWet }),
		Top:          lies(func(d *bed.Day) float64 { return d.TopWater }),
		Drained:      pick(func(d *bed.Day) float64 { return d.DrainedKg }),
		Evaporated:   pick(func(d *bed.Day) float64 { return d.EvaporatedKg }),
		Oxygen:       lies(func(d *bed.Day) float64 { return d.OxygenMin }),
		Ammonia:      pick(func(d *bed.Day) float64 { return d.AmmoniaPPM }),
		FeedLeft:     pick(func(d *bed.Day) float64 { return d.FeedLeftKg }),
		Dry:          pick(func(d *bed.Day) float64 { return d.DryKg }),
		CN:           lies(func(d *bed.Day) float64 { return d.CN }),
		Castings:     pick(func(d *bed.Day) float64 { return d.CastingsKg }),
		CastingsFrac: lies(func(d *bed.Day) float64 { return d.CastingsOfDry }),
		Worms:        pick(func(d *bed.Day) float64 { return d.WormsKg }),
		Adults:       pick(func(d *bed.Day) float64 { return d.Adults }),
		Juveniles:    pick(func(d *bed.Day) float64 { return d.Juveniles }),
		Cocoons:      pick(func(d *bed.Day) float64 { return d.Cocoons }),
		Eaten:        pick(func(d *bed.Day) float64 { return d.EatenKg / span }),
		Heat:         pick(func(d *bed.Day) float64 { return d.HeatW }),
		Refuge:       pick(func(d *bed.Day) float64 { return d.RefugeM }),
		Frozen:       lies(func(d *bed.Day) float64 { return d.FrozenOfWater }),
	}
	for c := range bed.Stresses {
		r.Stress[c.String()] = pick(func(d *bed.Day) float64 { return d.Stress[c] })
	}
	return r
}

// ranges gives the spread of a row of several members by key.
func (r BedRow) ranges() map[string]MixRange {
	out := map[string]MixRange{}
	v := reflect.ValueOf(r)
	for i := range v.NumField() {
		if f := v.Type().Field(i); f.IsExported() && f.Type.Kind() == reflect.Interface {
			if one, ok := v.Field(i).Interface().(MixRange); ok {
				out[f.Tag.Get("json")] = one
			}
		}
	}
	for cause, x := range r.Stress {
		if one, ok := x.(MixRange); ok {
			out["stress."+cause] = one
		}
	}
	return out
}

func budgetOf(all []bed.Budget) BedBudget {
	first := all[0]
	balance := func(f func(b *bed.Budget) bed.Balance) BedBalance {
		x := f(&first)
		out := BedBalance{Start: x.Start, In: x.In, Out: x.Out, Stored: x.Stored}
		for i := range all {
			out.Error = math.Max(out.Error, f(&all[i]).Error())
		}
		return out
	}
	return BedBudget{
		Dry:      balance(func(b *bed.Budget) bed.Balance { return b.Dry }),
		Water:    balance(func(b *bed.Budget) bed.Balance { return b.Water }),
		Carbon:   balance(func(b *bed.Budget) bed.Balance { return b.Carbon }),
		Nitrogen: balance(func(b *bed.Budget) bed.Balance { return b.Nitrogen }),
		Energy:   balance(func(b *bed.Budget) bed.Balance { return b.Energy }),
		Released: first.ReleasedJ, Oxygen: first.OxygenKg, Top: first.TopJ, Base: first.BaseJ, Sides: first.SidesJ, Latent: first.LatentJ, Ammonia: first.AmmoniaKg,
	}
}

// noticed gives each spell of something noticed by its first day.
func (b *bedder) noticed(days [][]bed.Day) []BedNoticed {
	out := []BedNoticed{}
	for i := range days[0] {
		for n := range bed.Notices {
			began := 0
			for k := range days {
				if days[k][i].Noticed[n] && (i == 0 || !days[k][i-1].Noticed[n]) {
					began++
				}
			}
			// Told when it begins in the best run, or in a quarter of all.
			if days[0][i].Noticed[n] && (i == 0 || !days[0][i-1].Noticed[n]) || began*4 >= len(days) {
				seen := 0
				for k := range days {
					if days[k][i].Noticed[n] {
						seen++
					}
				}
				out = append(out, BedNoticed{float64(days[0][i].Hour-b.from) / 24, n.String(), float64(seen) / float64(len(days))})
			}
		}
	}
	return out
}

// Best gives the first member's day of a row, for a page of words.
func (r BedRow) Best() bed.Day { return r.best }
