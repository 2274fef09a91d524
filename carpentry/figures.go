package carpentry

import (
	"fmt"
	"math"

	"wormyard/figure"
)

// Figures gives the figures of wood, stacks and trucks, in the order of
// docs/model/carpentry.md.
func Figures(p Parameters) []figure.Figure {
	of := func(name, equation, title, formula, source string) figure.Figure {
		return figure.Figure{Name: name, Title: title, Equation: equation, Formula: formula, Source: source}
	}
	const spec = "NDS 2018 as quoted; elastic beams"
	return []figure.Figure{
		figure.Of(of("carpentry.member", "K2", "A board under a load", "M/S <= Fb', 1.5 V/A <= Fv'", spec), p.memberFigure),
		figure.Of(of("carpentry.post", "K3", "A post", "Fc* CP", "NDS 3.7.1 as recalled"), p.postFigure),
		figure.Of(of("carpentry.withdrawal", "K4", "What a fastener holds", "1380 G^2.5 D; 2850 G^2 D; 1800 G^1.5 D^0.75", "NDS chapter 12 as told"), p.withdrawalFigure),
		figure.Of(of("carpentry.wall", "K5", "Push of the fill on a wall", "K rho h", "statics"), p.wallFigure),
		figure.Of(of("carpentry.stack", "K6", "How a stack tips", "atan(b/h)", "statics"), stackFigure),
		figure.Of(of("truck.derate", "K7", "What a truck may lift", "rated (c1 + a)/(c2 + a)", "29 CFR 1910.178, appendix A"), derateFigure),
		figure.Of(of("carpentry.holes", "K14", "Holes for air", "D A/(t + pi d/4) dC", "Brown and Escombe 1900, by memory"), p.holesFigure),
		figure.Of(of("carpentry.heat", "K15", "What heat a wall of wood lets through", "1/(R films + t/k + R liner), k = G(0.1941 + 0.004064 M) + 0.01864", "wood handbook, by memory; ASHRAE 2005 for films"), p.heatFigure),
	}
}

type memberIn struct {
	Width     float64  `json:"width_in" unit:"in" low:"0.25" high:"24" doc:"across the load; a board on its flat is wider than deep"`
	Depth     float64  `json:"depth_in" unit:"in" low:"0.25" high:"24" doc:"along the load"`
	Span      float64  `json:"span_in" unit:"in" low:"1" high:"480" doc:"between supports; the whole length on forks"`
	Kind      string   `json:"kind" choice:"uniform,two spans,point,forks" default:"uniform"`
	PerIn     *float64 `json:"load_lb_in" unit:"lb/in" low:"0" high:"100000"`
	Lb        *float64 `json:"load_lb" unit:"lb" low:"0" high:"1000000" doc:"in its place the whole load, and of a point its load"`
	Forks     *float64 `json:"forks_in" unit:"in" low:"1" high:"480" doc:"middle to middle"`
	Species   string   `json:"species" default:"spruce-pine-fir"`
	Grade     string   `json:"grade" default:"No 2"`
	Wet       bool     `json:"wet" default:"true" doc:"over 19 % moisture in use"`
	Duration  string   `json:"duration" choice:"permanent,10 years,1 year,2 months,7 days,10 minutes,impact" default:"permanent"`
	Count     int      `json:"count" unit:"1" low:"1" high:"1000" default:"1" doc:"alike, side by side"`
	ImpactNum float64  `json:"impact" unit:"1" low:"1" high:"5" default:"1" doc:"times the load"`
}

type memberOut struct {
	Moment     float64 `json:"moment_lb_in" unit:"lb in"`
	Shear      float64 `json:"shear_lb" unit:"lb"`
	Stress     float64 `json:"stress_psi" unit:"psi"`
	Allowed    float64 `json:"allowed_psi" unit:"psi"`
	ShearPsi   float64 `json:"shear_psi" unit:"psi"`
	AllowedV   float64 `json:"shear_allowed_psi" unit:"psi"`
	Deflection float64 `json:"deflection_in" unit:"in" doc:"at once"`
	LongTerm   float64 `json:"deflection_years_in" unit:"in"`
	Ratio      float64 `json:"ratio" unit:"1" doc:"the worse of bending and shear beside what is allowed"`
	OK         bool    `json:"ok"`
}

func (p Parameters) memberFigure(in memberIn) (memberOut, []string, error) {
	g, err := p.Lumber(in.Species, in.Grade)
	if err != nil {
		return memberOut{}, nil, err
	}
	l := Load{Kind: in.Kind, Span: in.Span}
	switch {
	case (in.PerIn == nil) == (in.Lb == nil):
		return memberOut{}, nil, figure.Refuse("load_lb_in", "The load is missing, or given twice.", "Give load_lb_in or load_lb.")
	case in.Kind == "point" && in.Lb == nil:
		return memberOut{}, nil, figure.Refuse("load_lb", "A point has a load in pounds.", "Give load_lb.")
	case in.Kind == "point":
		l.Lb = *in.Lb
	case in.PerIn != nil:
		l.PerIn = *in.PerIn
	default:
		l.PerIn = *in.Lb / in.Span
	}
	if in.Kind == "forks" {
		if in.Forks == nil || *in.Forks > in.Span {
			return memberOut{}, nil, figure.Refuse("forks_in", "How far the forks stand apart is missing, or more than the length.", "Give it middle to middle, at most span_in.")
		}
		l.ForksIn = *in.Forks
	}
	s := Section{Width: in.Width, Depth: in.Depth}
	b := p.Bend(Member{Section: s, Count: in.Count, Grade: g, Wet: in.Wet, Duration: Duration(in.Duration), Load: l, Impact: in.ImpactNum})
	out := memberOut{Moment: b.Moment, Shear: b.Shear, Stress: b.Stress, Allowed: b.Allowed, ShearPsi: b.ShearStress, AllowedV: b.InShear, Deflection: b.Sag, LongTerm: b.Long, Ratio: b.Ratio, OK: b.Ratio <= 1}
	notes := []string{engineer}
	if s.thin() {
		notes = append(notes, "Boards under 2 in by name are graded by other rules; the values of thicker lumber are used.")
	}
	return out, notes, nil
}

const engineer = "Values as quoted, not read in the printed table; a licensed engineer and the local code decide."

type postIn struct {
	Width    float64 `json:"width_in" unit:"in" low:"0.5" high:"24"`
	Depth    float64 `json:"depth_in" unit:"in" low:"0.5" high:"24"`
	Length   float64 `json:"length_in" unit:"in" low:"1" high:"480" doc:"without support at its sides"`
	Species  string  `json:"species" default:"spruce-pine-fir"`
	Grade    string  `json:"grade" default:"No 2"`
	Wet      bool    `json:"wet" default:"true"`
	Duration string  `json:"duration" choice:"permanent,10 years,1 year,2 months,7 days,10 minutes,impact" default:"permanent"`
}

type postOut struct {
	Factor  float64 `json:"column_factor" unit:"1"`
	Allowed float64 `json:"allowed_psi" unit:"psi"`
	Lb      float64 `json:"allowed_lb" unit:"lb"`
}

func (p Parameters) postFigure(in postIn) (postOut, []string, error) {
	g, err := p.Lumber(in.Species, in.Grade)
	if err != nil {
		return postOut{}, nil, err
	}
	s := Section{Width: in.Width, Depth: in.Depth}
	if r := in.Length / math.Min(s.Width, s.Depth); r > 50 {
		return postOut{}, nil, figure.Refuse("length_in", fmt.Sprintf("The post is %.0f times as long as thin.", r), "At most 50 times (NDS 3.7.1.4, by memory); take a thicker post or hold it at its sides.")
	}
	f, psi, lb := p.Column(g, s, in.Length, in.Wet, Duration(in.Duration))
	return postOut{f, psi, lb}, []string{engineer}, nil
}

type withdrawalIn struct {
	Gravity  float64 `json:"specific_gravity" unit:"1" low:"0.2" high:"1.2" doc:"oven-dry; spruce-pine-fir 0.42"`
	Diameter float64 `json:"diameter_in" unit:"in" low:"0.05" high:"1"`
	Kind     string  `json:"kind" choice:"nail,screw,lag" default:"nail"`
	Cycled   bool    `json:"cycles_wet_dry" default:"false" doc:"wood that is wet and dry in turn"`
}

type withdrawalOut struct {
	PerIn float64 `json:"lb_per_in" unit:"lb/in" doc:"for each inch of the point in side grain"`
}

func (p Parameters) withdrawalFigure(in withdrawalIn) (withdrawalOut, []string, error) {
	return withdrawalOut{p.Withdrawal(in.Gravity, in.Diameter, in.Kind, in.Cycled)}, []string{"Never in end grain; load nails across, not along. " + engineer}, nil
}

type wallIn struct {
	Ratio   *float64 `json:"pressure_ratio" unit:"1" low:"0" high:"1" doc:"side pressure beside the weight above; 1 is water"`
	Density float64  `json:"density_lb_ft3" unit:"lb/ft3" low:"1" high:"150"`
	Depth   float64  `json:"depth_in" unit:"in" low:"0.5" high:"200"`
}

type wallOut struct {
	Base      float64 `json:"base_psi" unit:"psi"`
	Resultant float64 `json:"resultant_lb_per_in" unit:"lb/in"`
	Moment    float64 `json:"moment_lb_in_per_in" unit:"lb in/in"`
}

func (p Parameters) wallFigure(in wallIn) (wallOut, []string, error) {
	k, notes := p.Pressure.Best, []string(nil)
	if in.Ratio != nil {
		k = *in.Ratio
	} else {
		notes = []string{fmt.Sprintf("Side pressure taken as %g of the weight above.", k)}
	}
	w := WallPush(k, in.Density, in.Depth)
	return wallOut(w), notes, nil
}

type stackIn struct {
	High float64  `json:"high" unit:"1" low:"1" high:"20" doc:"boxes one on another"`
	Base float64  `json:"base_in" unit:"in" low:"1" high:"240" doc:"the least side"`
	Each float64  `json:"each_in" unit:"in" low:"1" high:"120" doc:"height of each"`
	Lb   *float64 `json:"box_lb" unit:"lb" low:"0" high:"20000"`
	// Shift takes the boxes out of line, as a driver in a hurry does.
	Shift float64 `json:"shift_in" unit:"in" low:"0" high:"60" default:"0" doc:"how far each box stands off the one below, all to one side"`
}

type stackOut struct {
	Ratio float64  `json:"height_to_base" unit:"1"`
	Deg   float64  `json:"tips_at_deg" unit:"deg"`
	Accel float64  `json:"tips_at_g" unit:"g"`
	Push  *float64 `json:"push_lb" unit:"lb" doc:"at the top, that tips it"`
	Off   float64  `json:"off_in" unit:"in" doc:"the middle of its weight from that of its base"`
	Floor *float64 `json:"floor_lb_ft2" unit:"lb/ft2" doc:"under a square base; less under a longer one"`
}

func stackFigure(in stackIn) (stackOut, []string, error) {
	lb := 0.0
	if in.Lb != nil {
		lb = *in.Lb
	}
	if in.High != math.Round(in.High) {
		return stackOut{}, nil, figure.Refuse("high", fmt.Sprintf("%g bins cannot stand one on another.", in.High), "Give a whole number.")
	}
	s := StackOf(int(in.High), in.Base, in.Each, lb, in.Shift)
	out := stackOut{Ratio: s.Ratio, Deg: s.TipsAt, Accel: s.Accel, Off: s.Off}
	if in.Lb != nil {
		out.Push, out.Floor = &s.PushLb, &s.FloorLbFt2
	}
	return out, []string{"All boxes full alike, on a level floor."}, nil
}

type derateIn struct {
	Rated       float64 `json:"rated_lb" unit:"lb" low:"1" high:"100000"`
	RatedCenter float64 `json:"rated_center_in" unit:"in" low:"1" high:"100"`
	Center      float64 `json:"center_in" unit:"in" low:"1" high:"200"`
	Axle        float64 `json:"axle_to_face_in" unit:"in" low:"0" high:"60" default:"0" doc:"front axle to the face of the forks; 0 is the safer"`
}

type derateOut struct {
	Allowed float64 `json:"allowed_lb" unit:"lb"`
}

func derateFigure(in derateIn) (derateOut, []string, error) {
	return derateOut{Derate(in.Rated, in.RatedCenter, in.Center, in.Axle)}, []string{"An estimate: only the maker's plate counts, and a truck lifts less the higher it goes."}, nil
}

type holesIn struct {
	Oxygen   float64 `json:"oxygen_kg_s" unit:"kg/s" low:"0" high:"1" doc:"that the bed needs beside what comes through its top"`
	Outside  float64 `json:"outside_kg_m3" unit:"kg/m3" low:"0" high:"1" default:"0.28" doc:"oxygen in the air of the barn"`
	Inside   float64 `json:"inside_kg_m3" unit:"kg/m3" low:"0" high:"1" default:"0.14" doc:"at the inner end of the holes"`
	Diameter float64 `json:"diameter_m" unit:"m" low:"0.001" high:"0.3"`
	Wall     float64 `json:"wall_m" unit:"m" low:"0" high:"0.3" default:"0.038"`
	Vapour   float64 `json:"vapour_kg_m3" unit:"kg/m3" low:"0" high:"0.1" default:"0.01" doc:"more of it inside than out"`
}

type holesOut struct {
	Count  int     `json:"holes" unit:"1"`
	Area   float64 `json:"area_m2" unit:"m2"`
	Oxygen float64 `json:"oxygen_kg_s" unit:"kg/s"`
	Drying float64 `json:"drying_kg_day" unit:"kg/day"`
}

func (p Parameters) holesFigure(in holesIn) (holesOut, []string, error) {
	h, err := p.HolesFor(in.Oxygen, in.Outside, in.Inside, in.Diameter, in.Wall, in.Vapour)
	return holesOut{h.Count, h.AreaM2, h.OxygenKgS, h.DryingKgS * 86400}, []string{"By diffusion alone; wind makes more of both. Air that comes in near the wall does not reach the middle of a wet bed."}, err
}

type heatIn struct {
	Thick    float64 `json:"thick_m" unit:"m" low:"0.001" high:"0.5"`
	Gravity  float64 `json:"specific_gravity" unit:"1" low:"0.2" high:"1.2" default:"0.42" doc:"oven-dry"`
	Moisture float64 `json:"moisture_pct" unit:"%" low:"0" high:"25" default:"19" doc:"of dry mass"`
	Films    float64 `json:"films_m2k_w" unit:"m2 K/W" low:"0" high:"1" default:"0.23952" doc:"of air on both sides together; inside, upright, when left out"`
	Liner    float64 `json:"liner_m2k_w" unit:"m2 K/W" low:"0" high:"10" default:"0"`
}

type heatOut struct {
	Conductivity float64 `json:"conductivity_w_mk" unit:"W/(m K)"`
	U            float64 `json:"u_w_m2k" unit:"W/(m2 K)"`
}

func (p Parameters) heatFigure(in heatIn) (heatOut, []string, error) {
	k := p.WoodConductivity(in.Gravity, in.Moisture)
	return heatOut{k, Transfer(in.Thick, k, in.Films, in.Liner)}, []string{"Wood that is wetter lets through more; gaps between boards are left out."}, nil
}
