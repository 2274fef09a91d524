package lab

import (
	"fmt"
	"math"

	"wormyard/chance"
	"wormyard/figure"
	"wormyard/qty"
)

// FieldArea gives the width [mm] and the area [mm2] of what an eyepiece shows:
// field number [mm] over the magnification of the objective and of a tube lens,
// 1 without one. model.md (L10).
func FieldArea(fieldNumber, objective, tube float64) (diameter, area float64) {
	d := fieldNumber / objective / tube
	return d, math.Pi * d * d / 4
}

type areaIn struct {
	FieldNumber float64 `json:"field_number_mm" unit:"mm" low:"5" high:"40" doc:"printed on the eyepiece after FN"`
	Objective   float64 `json:"objective_x" unit:"-" low:"1" high:"200"`
	Tube        float64 `json:"tube_x" unit:"-" low:"0.5" high:"4" default:"1"`
}

type areaOut struct {
	Diameter float64 `json:"diameter_mm" unit:"mm"`
	Area     float64 `json:"area_mm2" unit:"mm2"`
}

func areaFigure(in areaIn) (out areaOut, notes []string, err error) {
	var p problems
	p.optics(in.FieldNumber, in.Objective, in.Tube)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	d, a := FieldArea(in.FieldNumber, in.Objective, in.Tube)
	return areaOut{d, a}, nil, nil
}

func (par Parameters) slideNotes(s Slide, fields float64) []string {
	var notes []string
	if fields == 1 {
		notes = append(notes, "One field says little, and nothing of clumping. Count ten or more, spread over the slide.")
	}
	if f := s.Film(); s.Objective >= 20 && f > par.FocusDepth {
		notes = append(notes, fmt.Sprintf("The drop lies %s µm deep under the cover, more than is sharp at once: count while focusing through it, or the count is low.", qty.Figures(f)))
	}
	return notes
}

type perGramIn struct {
	Count  float64 `json:"count" unit:"-" low:"0" high:"1e7" doc:"seen in all fields together"`
	Fields float64 `json:"fields" unit:"-" low:"1" high:"1e6"`
	Slide
	Confidence float64 `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type perGramOut struct {
	Wet    float64  `json:"per_g_wet" unit:"1/g wet"`
	Dry    *float64 `json:"per_g_dry" unit:"1/g dry"`
	Low    float64  `json:"low" unit:"1/g wet"`
	High   float64  `json:"high" unit:"1/g wet"`
	Factor float64  `json:"one_stands_for" unit:"1/g wet" doc:"one seen stands for so many in a gram"`
	Shown  string   `json:"shown"`
}

func (par Parameters) perGramFigure(in perGramIn) (out perGramOut, notes []string, err error) {
	var p problems
	p.count("count", "The count", in.Count)
	p.confidence(in.Confidence)
	in.check(&p, in.Fields)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	one := float64(in.PerGram(1, in.Fields))
	b := Poisson(in.Count, in.Confidence).times(one)
	wet := in.PerGram(in.Count, in.Fields)
	out = perGramOut{Wet: float64(wet), Low: b.Low, High: b.High, Factor: one, Shown: shown(in.Count, float64(wet), b, NothingSeen(in.Confidence)*one)}
	if in.DryPart != nil {
		out.Dry = ptr(float64(wet.Dry(qty.Fraction(*in.DryPart))))
	}
	return out, append(par.slideNotes(in.Slide, in.Fields), "The interval is that of counting alone, for this slide: it does not speak for other slides or for the lot, and not for clumps."), nil
}

type hyphaIn struct {
	Length    *float64  `json:"length_um" unit:"um" low:"0" high:"1e9" doc:"of all threads in all fields together"`
	LengthSE  *float64  `json:"length_se_um" unit:"um" low:"0" high:"1e9" doc:"standard error of that sum"`
	Fields    *float64  `json:"fields" unit:"-" low:"1" high:"1e6"`
	Number    *float64  `json:"field_number_mm" unit:"mm" low:"5" high:"40"`
	Objective *float64  `json:"objective_x" unit:"-" low:"1" high:"200"`
	Tube      float64   `json:"tube_x" unit:"-" low:"0.5" high:"4" default:"1"`
	Cover     []float64 `json:"cover_mm" unit:"mm" low:"1" high:"100"`
	Drop      *float64  `json:"drop_ml" unit:"mL" low:"0.0001" high:"10"`
	Dilution  *float64  `json:"dilution" unit:"mL/g" low:"1" high:"1e12"`
	Width     *float64  `json:"diameter_um" unit:"um" low:"0.1" high:"100" doc:"mean width of the threads"`
	WidthSE   *float64  `json:"diameter_se_um" unit:"um" low:"0" high:"100"`
	Density   *float64  `json:"density_g_cm3" unit:"g dry/cm3" low:"0.01" high:"1.5" doc:"dry mass in the volume of a thread"`
	Crossings *float64  `json:"intersections" unit:"-" low:"0" high:"1e7" doc:"of threads with the lines of a grid"`
	Area      *float64  `json:"area_mm2" unit:"mm2" low:"0" high:"1e9" doc:"over which they were counted"`
	Crossing  string    `json:"crossing_factor" choice:"newman,tennant" default:"newman" doc:"pi/4 or the rounder 11/14"`
	Line      *float64  `json:"line_mm" unit:"mm" low:"0" high:"1e9" doc:"length of all grid lines in it"`
}

type hyphaOut struct {
	PerGram  *float64 `json:"m_per_g" unit:"m/g wet"`
	Mass     *float64 `json:"ug_per_g" unit:"ug/g wet"`
	MassLow  *float64 `json:"ug_per_g_low" unit:"ug/g wet" doc:"central 90 %, conversion included"`
	MassHigh *float64 `json:"ug_per_g_high" unit:"ug/g wet"`
	Length   *float64 `json:"length_mm" unit:"mm"`
}

// ThreadsByCrossings gives the length of threads from how often they cross the
// lines of a grid: area over which they were counted, length of line in it.
// model.md (L12).
func ThreadsByCrossings(crossings, area, line float64) float64 {
	return math.Pi * crossings * area / (2 * line)
}

// ThreadMass gives dry mass [ug/g] of threads: length [m/g], width [um], dry
// mass in their volume [g/cm3]. model.md (L13).
func ThreadMass(length, width, density float64) float64 {
	return length * math.Pi * width * width / 4 * density // m um2 g/cm3 is ug
}

// Spread is the 5 to 95 % range about a product of parts that are off by
// independent factors, each by its standard deviation on the logarithm.
// model.md (L14).
func Spread(best float64, sd ...float64) Bounds {
	s := 0.0
	for _, x := range sd {
		s = math.Hypot(s, x)
	}
	f := math.Exp(chance.NormalQuantile(0.95) * s)
	return Bounds{best / f, best * f}
}

// LogSD is the standard deviation on the logarithm of a number known to a range.
func LogSD(e qty.Estimate) float64 { return math.Log(e.High/e.Low) / (2 * chance.NormalQuantile(0.95)) }

func (par Parameters) hyphaFigure(in hyphaIn) (out hyphaOut, notes []string, err error) {
	var p problems
	if in.Crossings != nil {
		p.count("intersections", "The number of crossings", *in.Crossings)
		for _, x := range []struct {
			key, what string
			v         *float64
		}{{"area_mm2", "The area", in.Area}, {"line_mm", "The length of the lines", in.Line}} {
			if x.v == nil {
				p.Add(x.key, x.what+" is missing.", "Give it beside the crossings.")
				continue
			}
			p.Over0(x.key, x.what, *x.v)
		}
		if err := p.Refuse(); err != nil {
			return out, nil, err
		}
		l := ThreadsByCrossings(*in.Crossings, *in.Area, *in.Line)
		if in.Crossing == "tennant" {
			l *= 11. / 14 / (math.Pi / 4)
		}
		if math.IsInf(l, 0) {
			return out, nil, figure.Refuse("line_mm", "That comes to more than can be printed.", "Look at the area and the length of the lines.")
		}
		out.Length = &l
		return out, nil, nil
	}
	for _, x := range []struct {
		key string
		v   *float64
	}{{"length_um", in.Length}, {"fields", in.Fields}, {"field_number_mm", in.Number}, {"objective_x", in.Objective}, {"drop_ml", in.Drop}, {"dilution", in.Dilution}} {
		if x.v == nil {
			p.Add(x.key, "It is missing.", "Give it, or give intersections, area_mm2 and line_mm.")
		}
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	s := Slide{FieldNumber: *in.Number, Objective: *in.Objective, Tube: in.Tube, Cover: in.Cover, Drop: *in.Drop, Dilution: *in.Dilution}
	s.check(&p, *in.Fields)
	p.Between("length_um", "The length", *in.Length, 0, 1e9)
	if in.Width != nil {
		p.Between("diameter_um", "The width of the threads", *in.Width, 0.1, 100)
	}
	if in.Density != nil {
		p.Between("density_g_cm3", "The dry mass in their volume", *in.Density, 0.01, 1.5)
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	perGram := float64(s.PerGram(*in.Length, *in.Fields)) * 1e-6
	out.PerGram = &perGram
	notes = par.slideNotes(s, *in.Fields)
	if in.Width == nil {
		return out, append(notes, "Without the width of the threads no mass is given."), nil
	}
	density := par.HyphaDensity.Best
	if in.Density != nil {
		density = *in.Density
	}
	mass := ThreadMass(perGram, *in.Width, density)
	out.Mass = &mass
	sd := []float64{LogSD(par.HyphaDensity)}
	if in.LengthSE != nil && *in.Length > 0 {
		sd = append(sd, max(0, *in.LengthSE) / *in.Length)
	}
	if in.WidthSE != nil {
		sd = append(sd, 2*max(0, *in.WidthSE) / *in.Width)
	}
	b := Spread(mass, sd...)
	if math.IsInf(b.High, 0) {
		return out, append(notes, "The standard errors given are so large that no range is printed."), nil
	}
	out.MassLow, out.MassHigh = &b.Low, &b.High
	return out, append(notes, fmt.Sprintf("Mass rests on %s g of dry matter in a cubic centimetre of thread; sources differ from %s to %s, and mass goes with the square of the width.",
		qty.Figures(density), qty.Figures(par.HyphaDensity.Low), qty.Figures(par.HyphaDensity.High))), nil
}

type cellsIn struct {
	PerGram float64  `json:"per_g" unit:"1/g" low:"0" high:"1e15"`
	PerSE   float64  `json:"per_g_se" unit:"1/g" low:"0" high:"1e15" default:"0" doc:"its standard error"`
	Length  float64  `json:"length_um" unit:"um" low:"0.05" high:"1000" doc:"of a rod from end to end; of a ball its width"`
	Width   float64  `json:"width_um" unit:"um" low:"0.05" high:"1000"`
	Density *float64 `json:"density_g_cm3" unit:"g dry/cm3" low:"0.01" high:"1.5"`
}

type cellsOut struct {
	Volume float64  `json:"volume_um3" unit:"um3"`
	Mass   float64  `json:"ug_per_g" unit:"ug/g"`
	Low    *float64 `json:"ug_per_g_low" unit:"ug/g" doc:"central 90 %, conversion included, size of the cells not"`
	High   *float64 `json:"ug_per_g_high" unit:"ug/g"`
}

// CellVolume gives the volume [um3] of a rod with round ends; with length and
// width alike it is a ball. model.md (L15).
func CellVolume(length, width float64) float64 {
	return math.Pi*width*width*(length-width)/4 + math.Pi*width*width*width/6
}

func (par Parameters) cellsFigure(in cellsIn) (out cellsOut, notes []string, err error) {
	var p problems
	p.Between("per_g", "The number in a gram", in.PerGram, 0, 1e15)
	p.Between("width_um", "The width", in.Width, 0.05, 1000)
	if in.Length < in.Width {
		p.Add("length_um", fmt.Sprintf("A cell is said to be shorter (%g µm) than wide (%g µm).", in.Length, in.Width), "Look whether the two were swapped; a ball has the same number twice.")
	}
	p.Between("length_um", "The length", in.Length, 0.05, 1000)
	density := par.CellDensity.Best
	if in.Density != nil {
		density = *in.Density
		p.Between("density_g_cm3", "The dry mass in their volume", density, 0.01, 1.5)
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	out.Volume = CellVolume(in.Length, in.Width)
	out.Mass = in.PerGram * out.Volume * 1e-12 * density * 1e6
	sd := []float64{LogSD(par.CellDensity)}
	if in.PerGram > 0 {
		sd = append(sd, max(0, in.PerSE)/in.PerGram)
	}
	if b := Spread(out.Mass, sd...); !math.IsInf(b.High, 0) && !math.IsNaN(b.High) {
		out.Low, out.High = &b.Low, &b.High
	}
	return out, []string{fmt.Sprintf("Mass rests on %s g of dry matter in a cubic centimetre of cell; it goes with the cube of the size, which is not in the range.", qty.Figures(density))}, nil
}

type funnelIn struct {
	Count      float64 `json:"count" unit:"-" low:"0" high:"1e7"`
	Wet        float64 `json:"mass_g_wet" unit:"g wet" low:"0" high:"1e6" doc:"laid in the funnel"`
	Yield      float64 `json:"yield_frac" unit:"-" low:"0" high:"1" default:"1" doc:"part of those present that come out; 1 is not corrected"`
	Confidence float64 `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type funnelOut struct {
	Wet  float64 `json:"per_g_wet" unit:"1/g wet"`
	Low  float64 `json:"low" unit:"1/g wet"`
	High float64 `json:"high" unit:"1/g wet"`
}

// funnelFigure is model.md (L16).
func funnelFigure(in funnelIn) (out funnelOut, notes []string, err error) {
	var p problems
	p.count("count", "The count", in.Count)
	p.Over0("mass_g_wet", "The mass in the funnel", in.Wet)
	p.Over0("yield_frac", "The yield", in.Yield)
	p.Between("yield_frac", "The yield", in.Yield, 0, 1)
	p.confidence(in.Confidence)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	one := 1 / (in.Wet * in.Yield)
	b := Poisson(in.Count, in.Confidence).times(one)
	if in.Yield == 1 {
		notes = []string{"Not corrected for those that stay in the funnel."}
	}
	return funnelOut{in.Count * one, b.Low, b.High}, notes, nil
}
