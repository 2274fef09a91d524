package bed

import (
	"fmt"
	"math"
	"sort"

	"wormyard/figure"
)

// HeatLayer is one layer of the figure bed.heat_column.
type HeatLayer struct {
	ThicknessM   float64  `json:"thickness_m" unit:"m" low:"1e-6" high:"100" doc:"thickness"`
	Conductivity float64  `json:"conductivity_w_mk" unit:"W/(m K)" low:"1e-6" high:"1e9" doc:"heat conductivity"`
	Capacity     *float64 `json:"capacity_j_m3k" unit:"J/(m3 K)" low:"1" high:"1e9" doc:"volumetric heat capacity; needed with hours"`
	Heat         float64  `json:"heat_w_m3" unit:"W/m3" low:"-1e7" high:"1e7" default:"0" doc:"heat made"`
	TempC        *float64 `json:"temp_c" unit:"C" low:"-100" high:"500" doc:"temperature at the start; needed with hours"`
}

// HeatEnd is what an end of the column meets: air behind a conductance, a
// temperature held, or nothing at all.
type HeatEnd struct {
	U      *float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0" high:"1e9" doc:"conductance to the air"`
	AirC   *float64 `json:"air_c" unit:"C" low:"-100" high:"500" doc:"temperature of that air"`
	TempC  *float64 `json:"temp_c" unit:"C" low:"-100" high:"500" doc:"temperature held at the face"`
	Closed bool     `json:"closed" doc:"no heat passes"`
}

// HeatSides is the loss through the sides.
type HeatSides struct {
	U          float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0" high:"1e6" doc:"conductance of the sides"`
	PerimeterM float64 `json:"perimeter_m" unit:"m" low:"0" high:"1e6" doc:"around the column"`
	AreaM2     float64 `json:"area_m2" unit:"m2" low:"1e-6" high:"1e9" doc:"plan area"`
	AirC       float64 `json:"air_c" unit:"C" low:"-100" high:"500" doc:"air at the sides"`
}

// HeatHours is when the column is told: hours from the start, or "steady".
type HeatHours struct {
	Word string    `json:"-" as:"word" choice:"steady"`
	List []float64 `json:"-" as:"list" unit:"h" low:"0" high:"1e6"`
}

type heatColumnIn struct {
	Layers  []HeatLayer `json:"layers" doc:"from the top down"`
	Top     HeatEnd     `json:"top" doc:"upper face"`
	Bottom  HeatEnd     `json:"bottom" doc:"lower face"`
	Sides   *HeatSides  `json:"sides" doc:"loss sideways"`
	Hours   HeatHours   `json:"hours" doc:"list of hours, or steady"`
	DepthsM []float64   `json:"depths_m" unit:"m" low:"0" high:"100" doc:"where else the temperature is wanted"`
	Cells   float64     `json:"cells" low:"10" high:"4000" default:"2000" doc:"how finely the column is cut"`
}

// DepthTemp is a temperature at a depth.
type DepthTemp struct {
	DepthM float64 `json:"depth_m" unit:"m"`
	TempC  float64 `json:"temp_c" unit:"C"`
}

// HeatTime is the column at one time.
type HeatTime struct {
	Hour      any         `json:"hour" doc:"hours from the start, or steady"`
	MeanC     float64     `json:"mean_c" unit:"C"`
	MaxC      float64     `json:"max_c" unit:"C"`
	MaxAtM    float64     `json:"max_at_m" unit:"m"`
	SurfaceC  float64     `json:"surface_c" unit:"C"`
	BottomC   float64     `json:"bottom_c" unit:"C"`
	At        []DepthTemp `json:"at"`
	OutTop    float64     `json:"heat_out_top_w_m2" unit:"W/m2"`
	OutBottom float64     `json:"heat_out_bottom_w_m2" unit:"W/m2"`
	Error     float64     `json:"energy_error_frac" unit:"-"`
}

type heatColumnOut struct {
	Times []HeatTime `json:"times"`
}

// end gives the conductance from the face to what is beyond and its temperature;
// an infinite conductance holds the face.
func (e HeatEnd) end(field string) (u, beyond float64, problems []figure.Problem) {
	given := 0
	for _, b := range []bool{e.U != nil || e.AirC != nil, e.TempC != nil, e.Closed} {
		if b {
			given++
		}
	}
	if given != 1 {
		return 0, 0, []figure.Problem{{Field: field, Say: "A face needs one of: u_w_m2k with air_c, temp_c, or closed.", Try: `Give for example {"u_w_m2k":3,"air_c":10}.`}}
	}
	switch {
	case e.Closed:
		return 0, 0, nil
	case e.TempC != nil:
		return math.Inf(1), *e.TempC, nil
	case e.U == nil || e.AirC == nil:
		return 0, 0, []figure.Problem{{Field: field, Say: "u_w_m2k and air_c belong together.", Try: "Give both."}}
	}
	return *e.U, *e.AirC, nil
}

// finely is a column of the figure, cut into cells from the top down.
type finely struct {
	h           *heatColumn
	dz, k, mid  []float64
	t           []float64
	uTop, uBot  float64
	beyondTop   float64
	beyondBot   float64
	sideAir     float64
	depth       float64
	storedStart float64
}

// series joins a half cell and a face.
func series(half, u float64) float64 {
	if math.IsInf(u, 1) {
		return 1 / half
	}
	if u <= 0 {
		return 0
	}
	return 1 / (half + 1/u)
}

func cutFinely(in heatColumnIn) (*finely, error) {
	var problems []figure.Problem
	f := new(finely)
	if n := len(in.Layers); n < 1 || n > 100 {
		problems = append(problems, figure.Problem{Field: "layers", Say: fmt.Sprintf("There are %d layers; 1 to 100 are taken.", n), Try: "Give the layers from the top down."})
	}
	var p []figure.Problem
	f.uTop, f.beyondTop, p = in.Top.end("top")
	problems = append(problems, p...)
	f.uBot, f.beyondBot, p = in.Bottom.end("bottom")
	problems = append(problems, p...)
	steady := in.Hours.Word == "steady"
	if !steady && len(in.Hours.List) == 0 {
		problems = append(problems, figure.Problem{Field: "hours", Say: "No hours are given.", Try: `Give a list such as [24, 72], or "steady".`})
	}
	if len(in.Hours.List) > 1000 {
		problems = append(problems, figure.Problem{Field: "hours", Say: "More than 1000 hours are given.", Try: "Give fewer."})
	}
	sink := f.uTop > 0 || f.uBot > 0 || in.Sides != nil && in.Sides.U > 0 && in.Sides.PerimeterM > 0
	if steady && !sink {
		problems = append(problems, figure.Problem{Field: "hours", Say: "Nothing lets heat out, so the column never becomes steady.", Try: "Open a face or a side, or ask for hours."})
	}
	for i, l := range in.Layers {
		f.depth += l.ThicknessM
		if !steady && (l.Capacity == nil || l.TempC == nil) {
			problems = append(problems, figure.Problem{Field: fmt.Sprintf("layers[%d]", i), Say: "With hours each layer needs capacity_j_m3k and temp_c.", Try: "Give both."})
		}
	}
	for i, d := range in.DepthsM {
		if d > f.depth {
			problems = append(problems, figure.Problem{Field: fmt.Sprintf("depths_m[%d]", i), Say: fmt.Sprintf("%g m lies below the column, which is %g m deep.", d, f.depth), Try: "Give a depth within it."})
		}
	}
	if problems != nil {
		return nil, &figure.Refusal{Problems: problems}
	}
	total := 0
	counts := make([]int, len(in.Layers))
	for i, l := range in.Layers {
		counts[i] = int(max(math.Ceil(in.Cells*l.ThicknessM/f.depth), math.Ceil(in.Cells/20)))
		total += counts[i]
	}
	f.h = newHeatColumn(total)
	f.h.n = total
	z := 0.0
	for i, l := range in.Layers {
		dz := l.ThicknessM / float64(counts[i])
		for j := range counts[i] {
			n := len(f.dz)
			f.dz, f.k = append(f.dz, dz), append(f.k, l.Conductivity)
			f.mid = append(f.mid, z+(float64(j)+0.5)*dz)
			if l.Capacity != nil {
				f.h.cap[n] = *l.Capacity * dz
			}
			t := 0.0
			if l.TempC != nil {
				t = *l.TempC
			}
			f.t = append(f.t, t)
			f.h.source[n] = l.Heat * dz
			if in.Sides != nil {
				f.h.side[n] = in.Sides.U * in.Sides.PerimeterM / in.Sides.AreaM2 * dz
			}
			if n > 0 {
				f.h.link[n] = 2 / (f.dz[n-1]/f.k[n-1] + dz/l.Conductivity)
			}
		}
		z += l.ThicknessM
	}
	if in.Sides != nil {
		f.sideAir = in.Sides.AirC
	}
	f.h.link[0] = series(f.dz[0]/(2*f.k[0]), f.uTop)
	f.h.link[total] = series(f.dz[total-1]/(2*f.k[total-1]), f.uBot)
	f.storedStart = f.stored()
	return f, nil
}

func (f *finely) stored() float64 {
	s := 0.0
	for i, t := range f.t {
		s += f.h.cap[i] * t
	}
	return s
}

// face gives the temperature of a face from its cell: at the end of a half cell
// that carries the flux and makes half the cell's heat on the way.
func face(t, k, dz, u, beyond, heat float64) float64 {
	if math.IsInf(u, 1) {
		return beyond
	}
	g := 2 * k / dz
	// With q per m3 over the half cell the face lies q dz^2 / 8k lower.
	bend := heat * dz / (8 * k)
	return (g*(t-bend) + u*beyond) / (g + u)
}

// tell gives the column at a time.
func (f *finely) tell(hour any, depths []float64, flow heatFlow) HeatTime {
	n := len(f.t)
	out := HeatTime{Hour: hour, OutTop: flow.first, OutBottom: flow.last, At: []DepthTemp{}}
	out.SurfaceC = face(f.t[0], f.k[0], f.dz[0], f.uTop, f.beyondTop, f.h.source[0])
	out.BottomC = face(f.t[n-1], f.k[n-1], f.dz[n-1], f.uBot, f.beyondBot, f.h.source[n-1])
	sum, best := 0.0, 0
	for i, t := range f.t {
		sum += t * f.dz[i]
		if t > f.t[best] {
			best = i
		}
	}
	out.MeanC = sum / f.depth
	out.MaxC, out.MaxAtM = f.t[best], f.mid[best]
	if best > 0 && best < n-1 && f.k[best-1] == f.k[best+1] && f.dz[best-1] == f.dz[best+1] { // top of the parabola through three cells
		a, b, c := f.t[best-1], f.t[best], f.t[best+1]
		if curve := a - 2*b + c; curve < 0 {
			x := (a - c) / (2 * curve)
			out.MaxAtM += x * f.dz[best]
			out.MaxC = b - (a-c)*(a-c)/(8*curve)
		}
	}
	if out.SurfaceC > out.MaxC {
		out.MaxC, out.MaxAtM = out.SurfaceC, 0
	}
	if out.BottomC > out.MaxC {
		out.MaxC, out.MaxAtM = out.BottomC, f.depth
	}
	for _, d := range depths {
		out.At = append(out.At, DepthTemp{d, f.at(d, out.SurfaceC, out.BottomC)})
	}
	return out
}

// at gives the temperature at a depth, straight between the middles of cells,
// with the kink where the conductivity changes.
func (f *finely) at(d, top, bottom float64) float64 {
	n := len(f.t)
	i := sort.SearchFloat64s(f.mid, d)
	switch {
	case i == 0:
		return top + (f.t[0]-top)*d/f.mid[0]
	case i == n:
		return f.t[n-1] + (bottom-f.t[n-1])*(d-f.mid[n-1])/(f.depth-f.mid[n-1])
	}
	a, b := f.dz[i-1]/(2*f.k[i-1]), f.dz[i]/(2*f.k[i])
	edge := f.mid[i-1] + f.dz[i-1]/2
	way := (d - f.mid[i-1]) / f.k[i-1]
	if d > edge {
		way = a + (d-edge)/f.k[i]
	}
	return f.t[i-1] + (f.t[i]-f.t[i-1])*way/(a+b)
}

// heatFigure runs the column of the bed on a stated case. model.md (B2, B3)
func heatFigure(in heatColumnIn) (heatColumnOut, []string, error) {
	f, err := cutFinely(in)
	if err != nil {
		return heatColumnOut{}, nil, err
	}
	var out heatColumnOut
	made := 0.0
	for _, q := range f.h.source {
		made += q
	}
	if in.Hours.Word == "steady" {
		flow := f.h.steady(f.t, f.beyondTop, f.beyondBot, f.sideAir)
		told := f.tell("steady", in.DepthsM, flow)
		told.Error = relative(made-flow.first-flow.last-flow.sides, math.Abs(made), math.Abs(flow.first), math.Abs(flow.last))
		out.Times = append(out.Times, told)
		return out, nil, nil
	}
	hours := append([]float64(nil), in.Hours.List...)
	sort.Float64s(hours)
	longest := max(600, hours[len(hours)-1]*3600/20000)
	now, dt, lost, put := 0.0, 0.5, 0.0, 0.0
	factored := 0.0
	flow := heatFlow{
		first: f.h.link[0] * (f.t[0] - f.beyondTop), last: f.h.link[f.h.n] * (f.t[f.h.n-1] - f.beyondBot),
	}
	for _, h := range hours {
		until := h * 3600
		for now < until {
			step := min(dt, until-now)
			if until-now-step < 1e-6*step {
				step = until - now
			}
			if step != factored {
				f.h.factor(step)
				factored = step
			}
			flow = f.h.step(f.t, f.beyondTop, f.beyondBot, f.sideAir)
			lost += (flow.first + flow.last + flow.sides) * step
			put += (math.Abs(flow.first) + math.Abs(flow.last) + math.Abs(flow.sides) + math.Abs(made)) * step
			now += step
			if step == dt && dt < longest {
				dt = min(longest, dt*1.04)
			}
		}
		// Flux at this moment, not over the last step.
		flow.first = f.h.link[0] * (f.t[0] - f.beyondTop)
		flow.last = f.h.link[f.h.n] * (f.t[f.h.n-1] - f.beyondBot)
		told := f.tell(h, in.DepthsM, flow)
		stored := f.stored()
		told.Error = relative(made*now-lost-(stored-f.storedStart), put, math.Abs(stored), math.Abs(f.storedStart))
		out.Times = append(out.Times, told)
	}
	return out, nil, nil
}

// relative gives a difference against the largest of some amounts.
func relative(d float64, of ...float64) float64 {
	most := 0.0
	for _, v := range of {
		most = max(most, v)
	}
	if most == 0 {
		return math.Abs(d)
	}
	return math.Abs(d) / most
}

// OxygenLayer is one layer of the figure bed.oxygen_column. Uptake is
// first_order C + uptake C/(half + C); without half the uptake does not slow
// until nothing is left.
type OxygenLayer struct {
	ThicknessM  float64 `json:"thickness_m" unit:"m" low:"1e-6" high:"100" doc:"thickness"`
	Diffusivity float64 `json:"diffusivity_m2_s" unit:"m2/s" low:"1e-15" high:"1" doc:"effective, for the bulk of the bed"`
	Uptake      float64 `json:"uptake_kg_m3_s" unit:"kg/(m3 s)" low:"0" high:"10" default:"0" doc:"uptake, or its most when half_kg_m3 is given"`
	Half        float64 `json:"half_kg_m3" unit:"kg/m3" low:"0" high:"10" default:"0" doc:"oxygen at which uptake is halved (Monod); 0 for zero order"`
	FirstOrder  float64 `json:"first_order_per_s" unit:"1/s" low:"0" high:"100" default:"0" doc:"uptake in proportion to oxygen"`
}

type oxygenColumnIn struct {
	Layers      []OxygenLayer `json:"layers" doc:"from the top down"`
	Surface     float64       `json:"surface_kg_m3" unit:"kg/m3" low:"1e-6" high:"10" default:"0.2787" doc:"oxygen in the air above"`
	Conductance *float64      `json:"conductance_m_s" unit:"m/s" low:"1e-12" high:"1e6" doc:"of the cover; left out for none"`
	Bottom      string        `json:"bottom" choice:"closed,open" default:"closed" doc:"the lower face"`
	DepthsM     []float64     `json:"depths_m" unit:"m" low:"0" high:"100" doc:"where oxygen is wanted"`
	Cells       float64       `json:"cells" low:"10" high:"4000" default:"1000" doc:"how finely the column is cut"`
}

// DepthOxygen is oxygen at a depth against that of the air above.
type DepthOxygen struct {
	DepthM float64 `json:"depth_m" unit:"m"`
	Frac   float64 `json:"frac_of_surface" unit:"-"`
}

type oxygenColumnOut struct {
	AerobicM *float64      `json:"aerobic_depth_m" unit:"m" doc:"from the surface; null when oxygen runs out nowhere"`
	At       []DepthOxygen `json:"at"`
	Flux     float64       `json:"flux_kg_m2_s" unit:"kg/(m2 s)"`
}

// oxygenFigure runs the gas column of the bed on a stated case. model.md (B9)
func oxygenFigure(in oxygenColumnIn) (oxygenColumnOut, []string, error) {
	var problems []figure.Problem
	if n := len(in.Layers); n < 1 || n > 100 {
		problems = append(problems, figure.Problem{Field: "layers", Say: fmt.Sprintf("There are %d layers; 1 to 100 are taken.", n), Try: "Give the layers from the top down."})
	}
	depth := 0.0
	for _, l := range in.Layers {
		depth += l.ThicknessM
	}
	for i, d := range in.DepthsM {
		if d > depth {
			problems = append(problems, figure.Problem{Field: fmt.Sprintf("depths_m[%d]", i), Say: fmt.Sprintf("%g m lies below the column, which is %g m deep.", d, depth), Try: "Give a depth within it."})
		}
	}
	if problems != nil {
		return oxygenColumnOut{}, nil, &figure.Refusal{Problems: problems}
	}
	counts, total := make([]int, len(in.Layers)), 0
	for i, l := range in.Layers {
		counts[i] = int(max(math.Ceil(in.Cells*l.ThicknessM/depth), math.Ceil(in.Cells/20)))
		total += counts[i]
	}
	g := newGasColumn(total)
	g.n = total
	var mid, dz, de []float64
	z := 0.0
	for i, l := range in.Layers {
		d := l.ThicknessM / float64(counts[i])
		for j := range counts[i] {
			n := len(dz)
			dz, de = append(dz, d), append(de, l.Diffusivity)
			mid = append(mid, z+(float64(j)+0.5)*d)
			g.first[n] = l.FirstOrder * d * in.Surface
			g.most[n] = l.Uptake * d
			g.half[n] = l.Half / in.Surface
			g.c[n] = 1
			if n > 0 {
				g.link[n] = 2 * in.Surface / (dz[n-1]/de[n-1] + d/l.Diffusivity)
			}
		}
		z += l.ThicknessM
	}
	way := dz[0] / (2 * de[0])
	if in.Conductance != nil {
		way += 1 / *in.Conductance
	}
	g.link[0] = in.Surface / way
	if in.Bottom == "open" {
		g.link[total] = in.Surface * 2 * de[total-1] / dz[total-1]
	}
	if passes := g.solve(4*total+50, 1e-13); passes > 4*total+49 {
		return oxygenColumnOut{}, []string{"The solver stopped before its answer was fully settled."}, nil
	}
	out := oxygenColumnOut{Flux: g.link[0] * (1 - g.c[0]), At: []DepthOxygen{}}
	top := 1.0
	if in.Conductance != nil {
		top = 1 - out.Flux/(*in.Conductance*in.Surface)
	}
	for i := range total {
		if g.none[i] {
			// What still reaches the first empty cell feeds a part of it.
			end := mid[i] - dz[i]/2 + g.reach(i)/g.most[i]*dz[i]
			out.AerobicM = &end
			break
		}
	}
	bottom := g.c[total-1]
	if in.Bottom == "open" {
		bottom = 1
	}
	for _, d := range in.DepthsM {
		i := sort.SearchFloat64s(mid, d)
		var x float64
		switch {
		case i == 0:
			x = top + (g.c[0]-top)*d/mid[0]
		case i == total:
			x = g.c[total-1] + (bottom-g.c[total-1])*(d-mid[total-1])/(depth-mid[total-1])
		default:
			a, b := dz[i-1]/(2*de[i-1]), dz[i]/(2*de[i])
			edge := mid[i-1] + dz[i-1]/2
			part := (d - mid[i-1]) / de[i-1]
			if d > edge {
				part = a + (d-edge)/de[i]
			}
			x = g.c[i-1] + (g.c[i]-g.c[i-1])*part/(a+b)
		}
		out.At = append(out.At, DepthOxygen{d, x})
	}
	return out, nil, nil
}

// ColumnFigures gives the figures that run the solvers of the bed.
func ColumnFigures() []figure.Figure {
	return []figure.Figure{
		figure.Of(figure.Figure{
			Name: "bed.heat_column", Title: "Heat through a column of layers", Equation: "B2",
			Formula: "C dT/dt = d/dz(k dT/dz) + q - U P/A (T - Tair); at a face -k dT/dz = U (T - Tair)",
			Source:  "Fourier's law; time by Alexander 1977; the solver is the bed's own",
		}, heatFigure),
		figure.Of(figure.Figure{
			Name: "bed.oxygen_column", Title: "How deep oxygen reaches", Equation: "B9",
			Formula: "d/dz(De dC/dz) = R(C), C at or above 0; at the surface g (C0 - C) = -De dC/dz",
			Source:  "Fick's law with uptake; the solver is the bed's own",
		}, oxygenFigure),
	}
}
