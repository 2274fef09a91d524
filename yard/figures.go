package yard

import (
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

// Figures gives the figures of the yard, in the order of docs/model.md.
func Figures(p Parameters) []figure.Figure {
	return []figure.Figure{
		figure.Of(figure.Figure{Name: "yard.heap", Title: "Shape of a pile", Equation: "Y1",
			Formula: "r = (3 V / (pi s))^(1/3); h = s r; A = pi r^2 sqrt(1 + s^2)", Source: "geometry of the cone; the slope is an assumption"}, p.heapFigure),
		figure.Of(figure.Figure{Name: "yard.temperature_response", Title: "Rate of a pile by temperature", Equation: "Y3",
			Formula: "f = CTMI(T)/CTMI(T0), 0 at and under 0 C", Source: "Rosso, Lobry and Flandrois 1993; the upper constants as used for compost (Richard and Walker), the lowest set by us to follow the Rothamsted curve below 25 C"}, p.temperatureFigure),
		figure.Of(figure.Figure{Name: "yard.oxygen", Title: "Oxygen in the pores of a pile", Equation: "Y5",
			Formula: "G rho (oa - o) = D o / (h + o)", Source: "balance of supply and use; the half-rate oxygen from Haug 1993"}, p.oxygenFigure),
		figure.Of(figure.Figure{Name: "yard.pile", Title: "A pile after some days", Equation: "Y2",
			Formula: "hour by hour: Y1 to Y9, Y11; turned on the days given (Y10)", Source: "this model; see docs/model.md section Y"}, p.pileFigure),
	}
}

type heapIn struct {
	Volume float64  `json:"volume_m3" unit:"m3" low:"0" high:"100000" doc:"loose volume"`
	Slope  *float64 `json:"slope" unit:"-" low:"0.05" high:"5" doc:"height over radius; the yard's when absent"`
}

type heapOut struct {
	Radius  float64 `json:"radius_m" unit:"m"`
	Height  float64 `json:"height_m" unit:"m"`
	Surface float64 `json:"surface_m2" unit:"m2"`
}

func (p Parameters) heapFigure(in heapIn) (out heapOut, notes []string, err error) {
	slope := p.Slope
	if in.Slope != nil {
		slope = *in.Slope
	}
	out.Radius, out.Height, out.Surface = Shape(in.Volume, slope)
	return out, nil, nil
}

type temperatureIn struct {
	Temp float64 `json:"temp_c" unit:"C" low:"-60" high:"120" doc:"temperature of the core"`
}

type temperatureOut struct {
	Factor float64 `json:"factor" unit:"-" doc:"1 at the temperature at which rates were measured"`
}

func (p Parameters) temperatureFigure(in temperatureIn) (temperatureOut, []string, error) {
	return temperatureOut{p.Speed(in.Temp)}, nil, nil
}

type oxygenIn struct {
	Flow float64  `json:"flow_m3_s" unit:"m3/s" low:"0" doc:"air through the pile"`
	Need float64  `json:"need_kg_s" unit:"kg/s" low:"0" doc:"oxygen that would be used with air enough"`
	Half *float64 `json:"half_oxygen_frac" unit:"m3/m3" low:"0.0001" high:"0.2" doc:"oxygen at half rate; the yard's when absent"`
	Rho  float64  `json:"oxygen_density_kg_m3" unit:"kg/m3" default:"1.33" low:"0.5" high:"2" doc:"density of pure oxygen"`
}

type oxygenOut struct {
	Oxygen float64 `json:"oxygen_frac" unit:"m3/m3"`
	Part   float64 `json:"rate_part" unit:"-" doc:"rate over the rate with air enough"`
}

func (p Parameters) oxygenFigure(in oxygenIn) (out oxygenOut, notes []string, err error) {
	half := p.HalfOxygen
	if in.Half != nil {
		half = *in.Half
	}
	out.Oxygen = oxygenLeft(in.Flow, in.Need, half, in.Rho)
	out.Part = out.Oxygen / (half + out.Oxygen)
	return out, nil, nil
}

type pileIn struct {
	Volume   float64   `json:"volume_m3" unit:"m3" low:"0.001" high:"100000"`
	Density  float64   `json:"density_kg_m3_wet" unit:"kg/m3" low:"1" high:"3000"`
	Water    float64   `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"0.99"`
	Ash      float64   `json:"ash_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	Quick    float64   `json:"quick_frac_volatile" unit:"kg/kg" low:"0" high:"1" doc:"part of volatile matter that rots within days"`
	Slow     float64   `json:"slow_frac_volatile" unit:"kg/kg" low:"0" high:"1" doc:"part that rots within weeks; the rest is woody"`
	Carbon   float64   `json:"carbon_frac_dry" unit:"kg/kg dry" default:"0.45" low:"0" high:"1"`
	Nitrogen float64   `json:"nitrogen_frac_dry" unit:"kg/kg dry" default:"0.015" low:"0" high:"0.2" doc:"organic nitrogen"`
	Ammonia  float64   `json:"ammonia_n_mg_kg_dry" unit:"mg/kg dry" default:"0" low:"0" high:"200000"`
	AirC     float64   `json:"air_c" unit:"C" default:"15" low:"-40" high:"50"`
	RH       float64   `json:"rh_frac" unit:"-" default:"0.7" low:"0" high:"1"`
	Start    *float64  `json:"start_c" unit:"C" low:"-40" high:"95" doc:"as warm as the air when absent"`
	Days     float64   `json:"days" unit:"day" low:"0" high:"730"`
	Turned   []float64 `json:"turned_days" unit:"day" low:"0" high:"730" doc:"days on which it was turned"`
}

type pileOut struct {
	Core         float64 `json:"core_c" unit:"C"`
	Low          float64 `json:"core_low_c" unit:"C"`
	High         float64 `json:"core_high_c" unit:"C"`
	Peak         float64 `json:"peak_c" unit:"C"`
	HotDays      float64 `json:"hot_days" unit:"day" doc:"at 55 C or above"`
	Oxygen       float64 `json:"oxygen_frac" unit:"m3/m3"`
	AirFilled    float64 `json:"air_filled_frac" unit:"m3/m3"`
	Water        float64 `json:"water_frac_wet" unit:"kg/kg wet"`
	Ash          float64 `json:"ash_frac_dry" unit:"kg/kg dry"`
	DryLeft      float64 `json:"dry_left_frac" unit:"-"`
	CarbonLost   float64 `json:"carbon_lost_frac" unit:"-"`
	NitrogenLost float64 `json:"nitrogen_lost_frac" unit:"-"`
	Volume       float64 `json:"volume_m3" unit:"m3"`
	VolumeLeft   float64 `json:"volume_left_frac" unit:"-"`
	Laid         float64 `json:"laid_c" unit:"C" doc:"how warm it would grow laid thin on a bed"`
	HeatError    float64 `json:"energy_error_frac" unit:"-"`
}

func (p Parameters) pileFigure(in pileIn) (out pileOut, notes []string, err error) {
	if in.Quick+in.Slow > 1 {
		return out, nil, figure.Refuse("slow_frac_volatile", "Quick and slow together are more than all of it.", "Lower one of them.")
	}
	wet := qty.CubicMetre(in.Volume).Mass(qty.KgPerM3Wet(in.Density))
	dry := wet.Dry(qty.WaterOfWet(in.Water))
	volatile := float64(dry) * (1 - in.Ash)
	m := feedstock.Matter{
		Dry: dry, Water: wet.Water(qty.WaterOfWet(in.Water)), Ash: dry - qty.DryKg(volatile),
		Quick: qty.DryKg(volatile * in.Quick), Slow: qty.DryKg(volatile * in.Slow), Woody: qty.DryKg(volatile * (1 - in.Quick - in.Slow)),
		Carbon: dry.Carbon(qty.CarbonOfDry(in.Carbon)), Nitrogen: dry.Nitrogen(qty.NitrogenOfDry(in.Nitrogen)),
		Ammonia: qty.NitrogenKg(float64(dry) * in.Ammonia * 1e-6), Volume: qty.CubicMetre(in.Volume),
	}
	air := climate.Steady(0, 1, climate.Hour{TempC: in.AirC, RH: in.RH})
	came := Event{Kind: Received, Matter: m}
	if in.Start != nil {
		warm := qty.Celsius(*in.Start)
		came.AtC = &warm
	}
	events := []Event{came}
	for _, d := range in.Turned {
		events = append(events, Event{Hour: int64(d * 24), Kind: Turned})
	}
	s, b, err := Follow(&p, air, nil, events, int64(in.Days*24))
	if err != nil {
		return out, nil, err
	}
	st := s.Status(&p, b)
	out = pileOut{
		Core: s.TempC, Low: st.Core.Low, High: st.Core.High, Peak: s.PeakC, HotDays: st.HotDays, Oxygen: s.Oxygen,
		AirFilled: float64(st.AirFilled), Water: float64(st.Moisture), Volume: float64(s.Matter.Volume),
		VolumeLeft: float64(s.Matter.Volume) / in.Volume, Laid: float64(st.Laid), HeatError: b.HeatError(),
	}
	if dry > 0 {
		out.Ash = float64(s.Matter.Ash) / float64(s.Matter.Dry)
		out.DryLeft = float64(s.Matter.Dry) / float64(dry)
	}
	if m.Carbon > 0 {
		out.CarbonLost = float64(b.CarbonLost) / float64(m.Carbon)
	}
	if n := m.TotalNitrogen(); n > 0 {
		out.NitrogenLost = float64(b.NitrogenLost) / float64(n)
	}
	return out, []string{"A pile as one lump: a long thermometer tells more."}, nil
}
