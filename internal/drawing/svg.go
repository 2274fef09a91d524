package drawing

import (
	"fmt"
	"html"
	"io"
	"strings"
)

// The pens and fills as they are printed: black on white, greys for wood.
var (
	widths = map[Pen]float64{Edge: 1.2, Heavy: 2, Thin: 0.6, Dashed: 0.9, Measure: 0.6}
	greys  = map[Fill]int{Sheet: 255, Wood: 240, Shade: 222, Bed: 205}
)

// Width is how wide a pen draws in units, 0 for none.
func (p Pen) Width() float64 { return widths[p] }

// Grey is how light a fill is, 0 for black to 255, and whether there is one.
func (f Fill) Grey() (int, bool) {
	g, ok := greys[f]
	return g, ok
}

// Dash is the length of the strokes of a pen and between them; 0 for a whole line.
func (p Pen) Dash() float64 {
	if p == Dashed {
		return 4
	}
	return 0
}

// WriteSVG writes views one under another as one file that stands alone, under a
// heading and with a line at its foot.
func WriteSVG(w io.Writer, title, foot string, views []View) error {
	const head, gap = 40.0, 26.0
	high := head + gap
	for _, v := range views {
		high += gap + v.High
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="-12 0 %s %s" width="%smm" height="%smm" font-family="system-ui, sans-serif" font-size="%g">`+"\n", number(Wide+24), number(high), number((Wide+24)/2), number(high/2), Letters)
	fmt.Fprintf(&b, `<title>%s</title><rect x="-12" width="%s" height="%s" fill="#fff"/><text x="0" y="26" font-size="%s" font-weight="700">%s</text>`+"\n", html.EscapeString(title), number(Wide+24), number(high), number(min(17, 1.6*Wide/float64(max(1, len([]rune(title)))))), html.EscapeString(title))
	y := head
	for _, v := range views {
		fmt.Fprintf(&b, `<g transform="translate(0 %s)"><text x="0" y="14" font-weight="700">%s</text><g transform="translate(0 20)">`+"\n", number(y), html.EscapeString(v.Title))
		for _, s := range v.Shapes {
			fill := "none"
			if g, ok := s.Fill.Grey(); ok {
				fill = fmt.Sprintf("#%02x%02x%02x", g, g, g)
			}
			stroke := ""
			if s.Pen.Width() > 0 {
				stroke = fmt.Sprintf(` stroke="#000" stroke-width="%g" stroke-linejoin="round"`, s.Pen.Width())
			}
			if d := s.Pen.Dash(); d > 0 {
				stroke += fmt.Sprintf(` stroke-dasharray="%g %g"`, d, d*0.75)
			}
			fmt.Fprintf(&b, `<path d="%s" fill="%s"%s/>`+"\n", s.D(), fill, stroke)
		}
		for _, t := range v.Texts {
			size, turn := "", ""
			if t.Small {
				size = fmt.Sprintf(` font-size="%g"`, Small)
			}
			if t.Turned {
				turn = ` transform="` + t.Turn() + `"`
			}
			fmt.Fprintf(&b, `<text x="%s" y="%s" text-anchor="%s"%s%s>%s</text>`+"\n", t.X(), t.Y(), [...]string{"middle", "start", "end"}[t.Align], size, turn, html.EscapeString(t.Say))
		}
		b.WriteString("</g></g>\n")
		y += gap + v.High
	}
	fmt.Fprintf(&b, `<text x="0" y="%s" font-size="%g">%s</text></svg>`+"\n", number(high-10), Small, html.EscapeString(foot))
	_, err := io.WriteString(w, b.String())
	return err
}
