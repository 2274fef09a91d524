package app

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/nature"
	"wormyard/internal/weather"
	"wormyard/qty"
	"wormyard/twin"
	"wormyard/worm"
)

// BedWall is a named build of the sides, or its heat transfer.
type BedWall struct {
	Name   string   `json:"-" as:"word" choice:"boards,plywood,plastic"`
	Number *float64 `json:"-" as:"number" unit:"W/(m2 K)" low:"0.05" high:"50"`
	U      *float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0.05" high:"50" doc:"bed to air through a side, films included"`
}

// BedCover is a named cover, or one of one's own.
type BedCover struct {
	Name      string   `json:"-" as:"word" choice:"none,cloth,board,film"`
	U         *float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0.05" high:"1000" doc:"of the cover alone"`
	Permeance *float64 `json:"permeance_ng_s_m2_pa" unit:"ng/(s m2 Pa)" low:"0.01" high:"1e6" doc:"to water vapour; 57.2 is one perm"`
}

// BedBin is the bin of a bed that is run.
type BedBin struct {
	LengthM float64   `json:"length_m" unit:"m" low:"0.1" high:"20" default:"1.2"`
	WidthM  float64   `json:"width_m" unit:"m" low:"0.1" high:"20" default:"1.2"`
	DepthM  float64   `json:"depth_m" unit:"m" low:"0.05" high:"3" default:"0.6" doc:"floor to rim"`
	Wall    *BedWall  `json:"wall" doc:"boards, plywood, plastic, or its heat transfer"`
	U       *float64  `json:"u_w_m2k" unit:"W/(m2 K)" low:"0.05" high:"50" doc:"in place of wall"`
	Cover   *BedCover `json:"cover" doc:"none, cloth, board, film, or one of your own; cloth when left out"`
	HolesM2 float64   `json:"holes_m2" unit:"m2" low:"0" high:"2" default:"0.006" doc:"open area of the side holes together"`
	Under   string    `json:"under" choice:"floor,bin,air" default:"floor" doc:"what the base stands on"`
	Over    bool      `json:"over" doc:"another bin stands on it"`
	Hidden  float64   `json:"hidden_frac" low:"0" high:"1" default:"0" doc:"share of the sides that stands against other bins"`
}

// BedAir is unchanging air.
type BedAir struct {
	TempC float64  `json:"temp_c" unit:"C" low:"-60" high:"60"`
	RH    *float64 `json:"rh_frac" low:"0" high:"1" doc:"0.75 when left out"`
}

// BedAirAt is air at a time.
type BedAirAt struct {
	At    string   `json:"at,omitempty" doc:"RFC 3339, or the first of day"`
	Day   *float64 `json:"day" low:"-10" high:"5000" doc:"days from the start"`
	TempC float64  `json:"temp_c" unit:"C" low:"-60" high:"60"`
	RH    *float64 `json:"rh_frac" low:"0" high:"1"`
}

// BedBarn is the barn around the bin, the inputs of figure barn.heat.
type BedBarn struct {
	Parts []struct {
		U      float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0" high:"50"`
		AreaM2 float64 `json:"area_m2" unit:"m2" low:"0" high:"1e6"`
	} `json:"parts"`
	Slab *struct {
		WMK        float64 `json:"w_mk" unit:"W/(m K)" low:"0" high:"10"`
		PerimeterM float64 `json:"perimeter_m" unit:"m" low:"0" high:"10000"`
	} `json:"slab"`
	VolumeM3   float64 `json:"volume_m3" unit:"m3" low:"1" high:"1e7"`
	AirChanges float64 `json:"air_changes_per_h" unit:"1/h" low:"0" high:"100"`
	Bins       float64 `json:"bins" low:"0" high:"100000" default:"0"`
	HeatPerBin float64 `json:"heat_w_per_bin" unit:"W" low:"0" high:"10000" default:"0"`
	HeaterW    float64 `json:"heater_w" unit:"W" low:"0" high:"1e7" default:"0"`
	HeaterSetC float64 `json:"heater_set_c" unit:"C" low:"-20" high:"40" default:"5"`
}

// BedPlace is the air that the bin stands in: one of air, series and weather.
type BedPlace struct {
	Air     *BedAir    `json:"air"`
	Series  []BedAirAt `json:"series" doc:"in order of time; straight between, held before and after"`
	Weather string     `json:"weather,omitempty" choice:"seattle-daily,normals"`
	Barn    *BedBarn   `json:"barn" doc:"the air given is outside; the bin stands in this barn"`
}

// BedLayer is a layer that lies in the bin at the start: a part as in mix, and
// how it lies.
type BedLayer struct {
	MixPart
	DepthM       *float64        `json:"depth_m" unit:"m" low:"0.001" high:"3" doc:"as it lies"`
	Depth        *contract.Typed `json:"depth" quantity:"length" low:"0.001" high:"3" doc:"as typed, \"6 in\""`
	TempC        *float64        `json:"temp_c" unit:"C" low:"-20" high:"75" doc:"that of the air when left out"`
	CastingsFrac *float64        `json:"castings_frac" low:"0" high:"1" doc:"worked share of the edible matter, where known; with age_days the rest is guessed"`
	Castings     bool            `json:"castings" doc:"finished castings, in place of a material"`
}

// BedWorms are live worms in the whole bin.
type BedWorms struct {
	Species    string  `json:"species,omitempty" choice:"fetida,andrei,eisenia fetida,eisenia andrei"`
	AdultKg    float64 `json:"adult_kg" unit:"kg" low:"0" high:"1000" default:"0"`
	JuvenileKg float64 `json:"juvenile_kg" unit:"kg" low:"0" high:"1000" default:"0"`
	Cocoons    float64 `json:"cocoons" low:"0" high:"1e8" default:"0"`
}

// BedEvent is one thing done to the bed.
type BedEvent struct {
	Day  float64 `json:"day" low:"0" high:"5000" doc:"days from the start; 0.5 is noon of the first day"`
	Kind string  `json:"kind" choice:"feed,bed,water,cover,heat,turn,stock,take"`
	MixPart
	Mix        *MixRequest     `json:"mix" doc:"feed: a mix as wormyard mix reads it"`
	DepthM     *float64        `json:"depth_m" unit:"m" low:"0.0005" high:"3" doc:"feed, take, turn"`
	Depth      *contract.Typed `json:"depth" quantity:"length" low:"0.0005" high:"3" doc:"as typed, \"2 in\""`
	TempC      *float64        `json:"temp_c" unit:"C" low:"-20" high:"90" doc:"of what comes; that of the air when left out"`
	Side       string          `json:"side,omitempty" choice:"whole,left,right" doc:"noted; the layer is spread over the whole bin"`
	Kg         *float64        `json:"kg" unit:"kg" low:"0" high:"5000" doc:"water"`
	Cover      *BedCover       `json:"cover"`
	W          *float64        `json:"w" unit:"W" low:"0" high:"20000" doc:"heat"`
	AdultKg    *float64        `json:"adult_kg" unit:"kg" low:"0" high:"1000" doc:"stock"`
	JuvenileKg *float64        `json:"juvenile_kg" unit:"kg" low:"0" high:"1000" doc:"stock"`
	Cocoons    *float64        `json:"cocoons" low:"0" high:"1e8" doc:"stock"`
	From       string          `json:"from,omitempty" choice:"top,bottom" doc:"take"`
}

// BedRequest is what wormyard bed reads, docs/contracts/bed.
type BedRequest struct {
	From     string     `json:"from" doc:"date of the start, 2013-03-01"`
	Days     int        `json:"days" low:"1" high:"3660"`
	Bin      BedBin     `json:"bin"`
	Place    BedPlace   `json:"place"`
	Layers   []BedLayer `json:"layers" doc:"from the floor up"`
	Worms    *BedWorms  `json:"worms"`
	Events   []BedEvent `json:"events"`
	Members  int        `json:"members" low:"1" high:"256" default:"1" doc:"runs with numbers drawn from their ranges; the first has the best values"`
	Seed     uint64     `json:"seed" default:"1"`
	Output   string     `json:"output" choice:"daily,hourly" default:"daily"`
	Contract *int       `json:"contract" low:"1" high:"1"`
}

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

// Bed runs one bed from a stated start, no farm needed. The error is a
// *figure.Refusal with every problem, or ours.
func (m *Mixer) Bed(ctx context.Context, data []byte, units qty.System) (*BedAnswer, error) {
	var in BedRequest
	problems := contract.Decode(data, &in)
	n, err := nature.Load()
	if err != nil {
		return nil, err
	}
	b := bedder{mixer: m, numbers: &n, in: &in, units: units}
	b.read(ctx)
	// What merely follows from a problem of the same field is told once.
	for _, p := range b.problems {
		if !slices.ContainsFunc(problems, func(t figure.Problem) bool {
			return t.Field == p.Field || strings.HasPrefix(p.Field, t.Field+".") || t.Field == ""
		}) {
			problems = append(problems, p)
		}
	}
	if len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	return b.run(ctx)
}

// bedder reads a request into the core's terms and runs it.
type bedder struct {
	mixer    *Mixer
	numbers  *nature.Numbers
	in       *BedRequest
	units    qty.System
	problems []figure.Problem
	notes    []string

	from  int64 // hour of the start, clock of the place
	box   bed.Box
	cover bed.Cover
	laid  []bed.Laid
	acts  []bed.Act
	air   climate.Series
}

func (b *bedder) tell(field, say, try string) {
	b.problems = append(b.problems, figure.Problem{Field: field, Say: say, Try: try})
}

func (b *bedder) read(ctx context.Context) {
	day, err := time.Parse("2006-01-02", b.in.From)
	if err != nil {
		if at, other := time.Parse(time.RFC3339, b.in.From); other == nil {
			day, err = at.Truncate(24*time.Hour), nil
		}
	}
	if err != nil {
		b.tell("from", fmt.Sprintf("%q is not a date.", b.in.From), "Write it as 2013-03-01.")
	}
	b.from = climate.DayNumber(day.Year(), int(day.Month()), day.Day()) * 24
	b.bin()
	b.place()
	b.layers()
	b.events(ctx)
}

func (b *bedder) bin() {
	i := b.in.Bin
	p := &b.numbers.Bed
	b.box = bed.Box{LengthM: i.LengthM, WidthM: i.WidthM, DepthM: i.DepthM, HolesM2: i.HolesM2, Under: bed.Under(i.Under), Over: i.Over, Hidden: i.Hidden, WallU: p.WallU}
	if i.Wall != nil && i.U != nil {
		b.tell("bin.u_w_m2k", "The wall is given twice.", "Give one of wall and u_w_m2k.")
	}
	switch {
	case i.U != nil:
		b.box.WallU = *i.U
	case i.Wall == nil:
		b.notes = append(b.notes, "The wall was not told; 38 mm boards are taken.")
	case i.Wall.U != nil:
		b.box.WallU = *i.Wall.U
	case i.Wall.Number != nil:
		b.box.WallU = *i.Wall.Number
	default:
		b.box.WallU, _ = p.Wall(i.Wall.Name)
	}
	if i.Cover == nil {
		b.cover, _ = p.Cover("cloth")
		b.notes = append(b.notes, "The cover was not told; a cloth is taken.")
	} else {
		b.cover = b.covered(i.Cover, "bin.cover")
	}
}

func (b *bedder) covered(c *BedCover, field string) bed.Cover {
	if c.Name != "" {
		out, _ := b.numbers.Bed.Cover(c.Name)
		return out
	}
	if c.U == nil || c.Permeance == nil {
		b.tell(field, "A cover of your own needs both its heat transfer and its permeance.", `Give {"u_w_m2k":7,"permeance_ng_s_m2_pa":300}, or one of none, cloth, board, film.`)
		return bed.Cover{}
	}
	return bed.Cover{Name: "own", U: *c.U, Permeance: *c.Permeance * 1e-12}
}

// place makes the hourly air, by the clock of the place.
func (b *bedder) place() {
	i := b.in.Place
	given := 0
	for _, g := range []bool{i.Air != nil, len(i.Series) > 0, i.Weather != ""} {
		if g {
			given++
		}
	}
	if given != 1 {
		b.tell("place", "The air around the bin must be told in one way.", `Give one of "air":{"temp_c":15,"rh_frac":0.8}, "series":[...] or "weather":"seattle-daily".`)
		return
	}
	hours := min(max(b.in.Days, 1), 3660) * 24
	switch {
	case i.Air != nil:
		rh := usualRH
		if i.Air.RH != nil {
			rh = *i.Air.RH
		} else {
			b.notes = append(b.notes, fmt.Sprintf("The humidity was not told; %g %% is taken.", 100*usualRH))
		}
		b.air = climate.Steady(b.from, hours, climate.Hour{TempC: i.Air.TempC, RH: rh})
	case len(i.Series) > 0:
		b.series(hours)
	default:
		b.weather(hours)
	}
	if i.Barn == nil || len(b.air.Hours) == 0 {
		return
	}
	barn := climate.Barn{VolumeM3: i.Barn.VolumeM3, AirChanges: i.Barn.AirChanges, HeaterW: i.Barn.HeaterW, HeaterSetC: i.Barn.HeaterSetC}
	for _, p := range i.Barn.Parts {
		barn.Parts = append(barn.Parts, climate.Part{U: p.U, Area: p.AreaM2})
	}
	if s := i.Barn.Slab; s != nil {
		barn.SlabWMK, barn.PerimeterM = s.WMK, s.PerimeterM
	}
	heat := i.Barn.Bins * i.Barn.HeatPerBin
	b.air, _ = barn.Air(&b.numbers.Climate, b.air, func(int64, climate.Hour) (float64, float64) { return heat, 0 })
	b.notes = append(b.notes, "The bin stands in the barn told; the air given is that outside it.")
}

// usualRH is the humidity of a barn that tells none. Common practice, no source.
const usualRH = 0.75

func (b *bedder) series(hours int) {
	type point struct {
		hour  float64
		temp  float64
		rh    float64
		moist bool
	}
	var points []point
	dry := false
	for k, s := range b.in.Place.Series {
		field := fmt.Sprintf("place.series[%d]", k)
		p := point{temp: s.TempC}
		switch {
		case s.At != "" && s.Day != nil:
			b.tell(field, "The time is given twice.", "Give one of at and day.")
			continue
		case s.Day != nil:
			p.hour = *s.Day * 24
		default:
			at, err := time.Parse(time.RFC3339, s.At)
			if err != nil {
				if at, err = time.Parse("2006-01-02", s.At); err != nil {
					b.tell(field+".at", fmt.Sprintf("%q is not a time.", s.At), `Write it as 2013-03-01T06:00:00Z, or give "day".`)
					continue
				}
			}
			p.hour = at.Sub(time.Unix(b.from*3600, 0)).Hours()
		}
		if len(points) > 0 && p.hour <= points[len(points)-1].hour {
			b.tell(field, "This time is not after the one before it.", "Put the series in order of time.")
			continue
		}
		if s.RH != nil {
			p.rh, p.moist = *s.RH, true
		} else {
			dry = true
		}
		points = append(points, p)
	}
	if len(points) == 0 {
		return
	}
	out := climate.Series{Start: b.from, Hours: make([]climate.Hour, hours)}
	k := 0
	for h := range out.Hours {
		at := float64(h) + 0.5
		for k+1 < len(points) && points[k+1].hour <= at {
			k++
		}
		p := points[k]
		out.Hours[h] = climate.Hour{TempC: p.temp, RH: p.rh}
		if k+1 < len(points) && at > p.hour {
			q := points[k+1]
			x := (at - p.hour) / (q.hour - p.hour)
			out.Hours[h] = climate.Hour{TempC: p.temp + x*(q.temp-p.temp), RH: p.rh + x*(q.rh-p.rh)}
		}
	}
	if dry { // the dew point of each day from its low
		c := &b.numbers.Climate
		for d := 0; d < hours; d += 24 {
			low := math.Inf(1)
			for h := d; h < min(d+24, hours); h++ {
				low = math.Min(low, out.Hours[h].TempC)
			}
			dew := climate.Day{LowC: low, HighC: low, DewC: math.NaN()}.DewPointOf(c)
			for h := d; h < min(d+24, hours); h++ {
				out.Hours[h].RH = math.Min(1, climate.SaturationPa(dew)/climate.SaturationPa(out.Hours[h].TempC))
			}
		}
		b.notes = append(b.notes, "Humidity is not told everywhere, so each day's dew point is taken from its low.")
	}
	b.air = out
}

func (b *bedder) weather(hours int) {
	site := weather.Site{Source: ""}
	if b.in.Place.Weather == "seattle-daily" {
		site.Source = weather.SeattleDaily
		site.ShiftYears = weather.Years(b.from / 24)
	}
	clock := weather.SeattlePlace.ClockH
	answer, err := site.Air(&b.numbers.Climate, b.from-clock, b.from-clock+int64(hours))
	if err != nil {
		b.tell("place.weather", err.Error(), "Choose another start, or give the air as a series.")
		return
	}
	b.air = answer.Air.Shift(clock)
	b.notes = append(b.notes, answer.Notes...)
	b.notes = append(b.notes, "The record has no humidity, so the dew point of each day is taken from its low.", weather.Citation)
}

// matter turns a typed part into matter for the bin; an amount in the part wins
// over the depth, which then only says how deep it lies.
func (b *bedder) matter(part MixPart, depth float64, at string) feedstock.Matter {
	r, problems := b.mixer.Resolve(part, at)
	b.problems = append(b.problems, problems...)
	if len(problems) > 0 {
		return feedstock.Matter{}
	}
	var q feedstock.Quantity
	given := 0
	for _, g := range []struct {
		set bool
		do  func()
	}{
		{part.WetKg != nil, func() { q.Wet = qty.WetKg(*part.WetKg) }},
		{part.DryKg != nil, func() { q.Dry = qty.DryKg(*part.DryKg) }},
		{part.VolumeM3 != nil, func() { q.Volume = qty.CubicMetre(*part.VolumeM3) }},
		{part.Mass != nil, func() { q.Wet = qty.WetKg(part.Mass.Value) }},
		{part.Volume != nil, func() { q.Volume = qty.CubicMetre(part.Volume.Value) }},
	} {
		if g.set {
			given++
			g.do()
		}
	}
	switch {
	case part.Share != nil:
		b.tell(at+".share", "A share is a share of a mix; this is one material.", "Give depth_m, a mass or a volume.")
		return feedstock.Matter{}
	case given > 1:
		b.tell(at, "The amount is given in more than one way.", "Give one of mass_kg_wet, mass_kg_dry, volume_m3, mass and volume, or only depth_m.")
		return feedstock.Matter{}
	case given == 0 && depth <= 0:
		b.tell(at, "How much is not told.", `Give "depth_m", such as 0.05, or a mass or a volume.`)
		return feedstock.Matter{}
	case given == 0:
		q.Volume = qty.CubicMetre(depth * b.box.Area())
	}
	m, missing, err := r.Material.Amount(q)
	if err != nil {
		b.refused(err, at)
		return feedstock.Matter{}
	}
	if len(missing) > 0 {
		b.notes = append(b.notes, fmt.Sprintf("Of %s these are not known and taken as none: %s.", r.Name, strings.Join(missing, ", ")))
	}
	return m
}

func (b *bedder) refused(err error, at string) {
	var refusal *figure.Refusal
	if !errors.As(err, &refusal) {
		b.tell(at, err.Error(), "")
		return
	}
	for _, p := range refusal.Problems {
		b.tell(strings.TrimSuffix(at+"."+p.Field, "."), p.Say, p.Try)
	}
}

// deep gives the depth told, in metres, 0 for none.
func (b *bedder) deep(m *float64, typed *contract.Typed, at string) float64 {
	if m != nil && typed != nil {
		b.tell(at+".depth", "The depth is given twice.", "Give one of depth and depth_m.")
	}
	switch {
	case m != nil:
		return *m
	case typed != nil:
		return typed.Value
	}
	return 0
}

func (b *bedder) layers() {
	for k, l := range b.in.Layers {
		at := fmt.Sprintf("layers[%d]", k)
		depth := b.deep(l.DepthM, l.Depth, at)
		temp := math.NaN()
		if l.TempC != nil {
			temp = *l.TempC
		}
		one := bed.Laid{DepthM: depth, TempC: temp, Castings: -1, Layer: uint64(k + 1)}
		if l.Castings {
			if l.Material != "" || l.Name != "" {
				b.tell(at+".castings", "Castings are named beside another material.", "Leave castings out, or give castings alone.")
			}
			if depth <= 0 {
				b.tell(at, "How deep the castings lie is not told.", `Give "depth_m".`)
			}
			one.Matter = bed.Castings(&b.numbers.Bed, qty.CubicMetre(depth*b.box.Area()))
		} else {
			one.Matter = b.matter(l.MixPart, depth, at)
		}
		if l.AgeDays != nil {
			one.AgeDays = *l.AgeDays
		}
		if l.CastingsFrac != nil {
			one.Castings = *l.CastingsFrac
		}
		b.laid = append(b.laid, one)
	}
	if len(b.in.Layers) == 0 {
		b.notes = append(b.notes, "No layers are told, so the bin starts empty.")
	}
}

func (b *bedder) events(ctx context.Context) {
	if w := b.in.Worms; w != nil {
		b.acts = append(b.acts, bed.Act{Hour: b.from, Kind: bed.Stock, Worms: worm.Stock{AdultKg: w.AdultKg, JuvenileKg: w.JuvenileKg, Cocoons: w.Cocoons}})
	}
	sides := false
	for k := range b.in.Events {
		e := &b.in.Events[k]
		at := fmt.Sprintf("events[%d]", k)
		if e.Day >= float64(b.in.Days) {
			b.tell(at+".day", fmt.Sprintf("Day %g is at or after the end; the run has %d days.", e.Day, b.in.Days), "Raise days, or leave the event out.")
		}
		a := bed.Act{Hour: b.from + int64(math.Floor(e.Day*24)), TempC: math.NaN(), Layer: uint64(1000 + k)}
		if e.TempC != nil {
			a.TempC = *e.TempC
		}
		depth := b.deep(e.DepthM, e.Depth, at)
		switch e.Kind {
		case "feed", "bed":
			a.Kind, a.DepthM = bed.Feed, depth
			if e.Kind == "bed" {
				a.Kind = bed.Bedding
			}
			a.Matter = b.fed(ctx, e, depth, at)
			sides = sides || e.Side == "left" || e.Side == "right"
		case "water":
			a.Kind = bed.Water
			b.needs(at+".kg", e.Kg != nil, "How much water is not told.", `Give "kg".`)
			if e.Kg != nil {
				a.WaterKg = *e.Kg
			}
		case "cover":
			a.Kind = bed.Covered
			b.needs(at+".cover", e.Cover != nil, "Which cover is not told.", "Give one of none, cloth, board, film.")
			if e.Cover != nil {
				a.Cover = b.covered(e.Cover, at+".cover")
			}
		case "heat":
			a.Kind = bed.Heat
			b.needs(at+".w", e.W != nil, "How strong the heater is set is not told.", `Give "w"; 0 turns it off.`)
			if e.W != nil {
				a.Watts = *e.W
			}
		case "turn":
			a.Kind, a.DepthM = bed.Turn, depth
		case "stock":
			a.Kind = bed.Stock
			b.needs(at, e.AdultKg != nil || e.JuvenileKg != nil || e.Cocoons != nil, "How many worms is not told.", `Give "adult_kg", "juvenile_kg" or "cocoons".`)
			for _, g := range []struct{ from, to *float64 }{{e.AdultKg, &a.Worms.AdultKg}, {e.JuvenileKg, &a.Worms.JuvenileKg}, {e.Cocoons, &a.Worms.Cocoons}} {
				if g.from != nil {
					*g.to = *g.from
				}
			}
		case "take":
			a.Kind, a.DepthM, a.From = bed.Take, depth, bed.End(e.From)
			b.needs(at+".depth_m", depth > 0, "How deep is taken is not told.", `Give "depth_m".`)
			b.needs(at+".from", e.From != "", "From which end it is taken is not told.", `Give "from":"top" or "bottom".`)
		}
		b.acts = append(b.acts, a)
	}
	slices.SortStableFunc(b.acts, func(x, y bed.Act) int { return int(x.Hour - y.Hour) })
	if sides {
		b.notes = append(b.notes, "A feeding at one side is spread over the whole bin here; the bed is one column.")
	}
}

func (b *bedder) needs(field string, have bool, say, try string) {
	if !have {
		b.tell(field, say, try)
	}
}

// fed gives the matter of a feeding: a part, or a mix scaled to the depth or the
// mass told.
func (b *bedder) fed(ctx context.Context, e *BedEvent, depth float64, at string) feedstock.Matter {
	if e.Mix == nil {
		return b.matter(e.MixPart, depth, at)
	}
	if e.Material != "" || e.Name != "" {
		b.tell(at, "Both a material and a mix are given.", "Give one of the two.")
	}
	answer, err := b.mixer.Answer(ctx, *e.Mix, b.units)
	if err != nil {
		b.refused(err, at+".mix")
		return feedstock.Matter{}
	}
	if answer.Possible != nil && !*answer.Possible {
		b.tell(at+".mix", "No mix meets this target.", "Run wormyard mix with it to see what blocks.")
	}
	m := answer.Matter
	switch {
	case e.WetKg != nil && m.Wet() > 0:
		m = m.Times(*e.WetKg / float64(m.Wet()))
	case depth > 0 && m.Volume > 0:
		m = m.Times(depth * b.box.Area() / float64(m.Volume))
	case depth > 0:
		b.tell(at, "The volume of this mix is not known, so a depth of it is no amount.", "Give mass_kg_wet, or the density of the parts.")
	}
	return m
}

// run runs the members and gathers the answer.
func (b *bedder) run(ctx context.Context) (*BedAnswer, error) {
	sets, err := b.draws()
	if err != nil {
		return nil, err
	}
	each := int64(24)
	if b.in.Output == "hourly" {
		each = 1
	}
	until := b.from + int64(b.in.Days)*24
	days := make([][]bed.Day, len(sets))
	states := make([]*bed.State, len(sets))
	budgets := make([]bed.Budget, len(sets))
	failed := make([]error, len(sets))
	one := func(k int) {
		p := &sets[k]
		s := bed.Start(p, b.box, b.laid, b.air.At(b.from), b.from)
		s.Cover = b.cover
		r := bed.NewRunner(p)
		r.Each = each
		budgets[k], failed[k] = r.Run(b.box, s, b.air, until, b.acts, func(d bed.Day) { days[k] = append(days[k], d) })
		states[k] = s
	}
	var wait sync.WaitGroup
	lanes := make(chan struct{}, 2)
	for k := range sets {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		lanes <- struct{}{}
		wait.Add(1)
		go func() {
			defer wait.Done()
			one(k)
			<-lanes
		}()
	}
	wait.Wait()
	for _, err := range failed {
		if err != nil {
			return nil, fmt.Errorf("running the bed: %w", err)
		}
	}
	out := &BedAnswer{Series: []BedRow{}, Layers: []BedSlice{}, Events: []BedNoticed{}, Notes: b.notes}
	for i := range days[0] {
		out.Series = append(out.Series, b.row(days, i))
	}
	for _, x := range bed.NewRunner(&sets[0]).Profile(b.box, states[0]) {
		kind := "bedding"
		if x.Feed {
			kind = "feed"
		}
		out.Layers = append(out.Layers, BedSlice{
			Laid: clock(x.Laid).Format("2006-01-02"), Kind: kind, TopM: x.TopM, DepthM: x.DepthM, TempC: x.TempC, Water: x.WaterOfWet, Air: x.AirFilled,
			Oxygen: x.Oxygen, Ammonia: x.Ammonia, Castings: x.Castings, DryKg: x.DryKg, FeedLeft: x.FeedLeftKg, WormsKg: x.WormsKg, CN: x.CN, PH: x.PH,
		})
	}
	out.Budget = budgetOf(budgets)
	out.Events = b.noticed(days)
	if len(sets) > 1 {
		out.Notes = append(out.Notes, fmt.Sprintf("%d runs; the ranges are the 5th, 50th and 95th of a hundred of them. Layers and budget are of the first, which has the best values.", len(sets)))
	}
	if out.Notes == nil {
		out.Notes = []string{}
	}
	return out, nil
}

// draws gives the parameter sets: the first with the best values, the others
// drawn from the ranges of the numbers that the twins vary.
func (b *bedder) draws() ([]bed.Parameters, error) {
	sets := []bed.Parameters{b.numbers.Bed}
	if b.in.Members <= 1 {
		return sets, nil
	}
	k, err := knobs(&b.numbers.Bed)
	if err != nil {
		return nil, err
	}
	for block := uint64(0); len(sets) < b.in.Members; block++ {
		sets = append(sets, twin.Draws(&b.numbers.Bed, k, b.in.Seed+block<<32)[1:]...)
	}
	return sets[:b.in.Members], nil
}

func clock(hour int64) time.Time { return time.Unix(hour*3600, 0).UTC() }

func (b *bedder) row(days [][]bed.Day, i int) BedRow {
	v := make([]float64, len(days))
	pick := func(f func(d *bed.Day) float64) any {
		for k := range days {
			v[k] = f(&days[k][i])
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
