package lab

import (
	"fmt"
	"math"

	"wormyard/figure"
	"wormyard/qty"
)

// A Slide is how a drop was looked at.
type Slide struct {
	FieldNumber float64   `json:"field_number_mm" unit:"mm" low:"5" high:"40" doc:"printed on the eyepiece after FN"`
	Objective   float64   `json:"objective_x" unit:"-" low:"1" high:"200"`
	Tube        float64   `json:"tube_x" unit:"-" low:"0.5" high:"4" default:"1"`
	Cover       []float64 `json:"cover_mm" unit:"mm" low:"1" high:"100" doc:"width and length of the cover glass"`
	Drop        float64   `json:"drop_ml" unit:"mL" low:"0.0001" high:"10" doc:"of one drop: weigh ten"`
	Dilution    float64   `json:"dilution" unit:"mL/g" low:"1" high:"1e12" doc:"1 g made up to so many mL, 5 for one to five"`
	Area        *float64  `json:"-"` // of a field as measured [mm2], in place of field number and objective
	DryPart     *float64  `json:"dry_frac" unit:"kg/kg wet" low:"0" high:"1" doc:"dry part of the mass as it lies"`
}

func (s Slide) coverArea() float64 { return s.Cover[0] * s.Cover[1] }

// FieldsUnderCover is how many fields lie under the cover glass. model.md (L11).
func (s Slide) FieldsUnderCover() float64 {
	return s.coverArea() / s.FieldArea()
}

// FieldArea is what is seen at once [mm2]: as measured, or by the eyepiece.
// model.md (L10).
func (s Slide) FieldArea() float64 {
	if s.Area != nil {
		return *s.Area
	}
	_, area := FieldArea(s.FieldNumber, s.Objective, s.Tube)
	return area
}

// Film is the depth of the drop under its cover [um].
func (s Slide) Film() float64 { return 1e6 * s.Drop / s.coverArea() }

// PerGram brings a sum over fields to a gram as it lies: sum is what was seen in
// all, in the unit wanted. model.md (L11).
func (s Slide) PerGram(sum, fields float64) qty.PerGramWet {
	return qty.PerGramWet(sum / fields * s.FieldsUnderCover() / s.Drop * s.Dilution)
}

func (s Slide) check(p *problems, fields float64) {
	before := len(p.Problems)
	if s.Area != nil {
		p.Over0("field_area_mm2", "The area of a field", *s.Area)
		p.Between("field_area_mm2", "The area of a field", *s.Area, 0, 1000)
	} else {
		p.optics(s.FieldNumber, s.Objective, s.Tube)
	}
	if len(s.Cover) != 2 {
		p.Add("cover_mm", fmt.Sprintf("The cover glass has %d sizes.", len(s.Cover)), "Give width and length in millimetres, as [18, 18].")
	} else {
		for i, x := range s.Cover {
			p.Between(fmt.Sprintf("cover_mm[%d]", i), "A side of the cover glass", x, 1, 100)
		}
	}
	p.Between("drop_ml", "The drop", s.Drop, 0.0001, 10)
	if !(s.Dilution >= 1 && s.Dilution <= 1e12) {
		p.Add("dilution", fmt.Sprintf("The dilution is %g.", s.Dilution), "Give how many millilitres one gram was made up to: 5 for 1 g made up to 5 mL, 1000 for 1:1000. It is 1 when nothing was added.")
	}
	if s.DryPart != nil && !(*s.DryPart > 0 && *s.DryPart <= 1) {
		p.Add("dry_frac", fmt.Sprintf("The dry part is %g.", *s.DryPart), "Give a part of the mass as it lies, over 0 to 1: 0.4 for 60 % moisture.")
	}
	p.count("fields", "The number of fields", fields)
	p.Over0("fields", "The number of fields", fields)
	if len(p.Problems) == before && fields > math.Ceil(s.FieldsUnderCover()) {
		p.Add("fields", fmt.Sprintf("%g fields are said to have been counted, but only about %s lie under this cover glass.", fields, qty.Figures(s.FieldsUnderCover())), "Look at the number of fields, the objective and the field number.")
	}
}

// Problems gives what is wrong with how a slide of so many fields was looked at.
func (s Slide) Problems(fields float64) []figure.Problem {
	var p problems
	s.check(&p, fields)
	return p.Problems
}

func (p *problems) optics(number, objective, tube float64) {
	p.Between("field_number_mm", "The field number", number, 5, 40)
	p.Between("objective_x", "The objective", objective, 1, 200)
	p.Between("tube_x", "The tube lens", tube, 0.5, 4)
}
