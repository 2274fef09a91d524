package paper

import (
	"math"

	"wormyard/internal/drawing"
)

// views draws views in two columns, each in the column that is less full; one
// that is higher than a page is drawn smaller.
func (s *sheet) views(list []drawing.View) {
	if len(list) == 0 {
		return
	}
	const between = 8.0
	wide := (s.width() - between) / 2
	at := [2]float64{s.y, s.y}
	least := s.size.Height - foot - gap
	for _, v := range list {
		scale := math.Min(wide/drawing.Wide, (least-2*margin-high(body))/v.High)
		head := high(body)
		if v.Title == "" {
			head = 0
		}
		tall := v.High*scale + head + gap
		side := 0
		if at[1] < at[0] {
			side = 1
		}
		if at[side]+tall > least {
			if side = 1 - side; at[side]+tall > least {
				s.page()
				at, side = [2]float64{s.y, s.y}, 0
			}
		}
		x := margin + float64(side)*(wide+between)
		s.font("B", body)
		s.cell(x, at[side], wide, body, Cut(s.pdf, v.Title, wide), "L")
		s.view(v, x, at[side]+head, scale)
		at[side] += tall + gap
	}
	s.y = math.Max(at[0], at[1])
}

// view draws one view with its left top corner at a place, at so many
// millimetres for one of its units.
func (s *sheet) view(v drawing.View, x, y, scale float64) {
	p := s.pdf
	p.SetDrawColor(0, 0, 0)
	p.SetLineJoinStyle("round")
	for _, d := range v.Shapes {
		style := ""
		if g, ok := d.Fill.Grey(); ok {
			p.SetFillColor(g, g, g)
			style = "F"
		}
		if w := d.Pen.Width(); w > 0 {
			p.SetLineWidth(w * scale)
			style += "D"
		}
		if style == "" {
			continue
		}
		if n := d.Pen.Dash() * scale; n > 0 {
			p.SetDashPattern([]float64{n, n * 0.75}, 0)
		}
		if d.Radius > 0 {
			p.Circle(x+d.Points[0].X*scale, y+d.Points[0].Y*scale, d.Radius*scale, style)
		} else {
			for i, c := range d.Points {
				if i == 0 {
					p.MoveTo(x+c.X*scale, y+c.Y*scale)
				} else {
					p.LineTo(x+c.X*scale, y+c.Y*scale)
				}
			}
			if d.Closed {
				p.ClosePath()
			}
			p.DrawPath(style)
		}
		p.SetDashPattern(nil, 0)
	}
	for _, t := range v.Texts {
		size := drawing.Letters
		if t.Small {
			size = drawing.Small
		}
		s.font("", size*scale*points*0.92) // the letters of a page are narrower
		say := Plain(t.Say)
		wide := p.GetStringWidth(say)
		left := x + t.At.X*scale - [...]float64{wide / 2, 0, wide}[t.Align]
		foot := y + t.At.Y*scale
		if t.Turned {
			p.TransformBegin()
			p.TransformRotate(90, x+t.At.X*scale, foot)
		}
		p.Text(left, foot, say)
		if t.Turned {
			p.TransformEnd()
		}
	}
}
