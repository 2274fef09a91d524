package main

import (
	"bytes"
	"fmt"
	"html"
	"math"
)

// plot is a small picture of points against a line, one scale each way from 0 or,
// where x does not begin there, from its least.
type plot struct {
	title, x, y string
	points      [][2]float64
	line        [][2]float64
	courses     []course // beside the points, each joined and named
}

// course is points of one kind among several.
type course struct {
	name   string
	points [][2]float64
}

// ink is of the points and of the courses, in order; the courses are dashed apart too.
var ink = [...]struct{ colour, dashes string }{{"#b3541e", "none"}, {"#1f5f8b", "6 2"}, {"#3a7d44", "2 2"}, {"#6b4a8f", "6 2 2 2"}}

const (
	plotWide, plotHigh     = 300, 200
	plotLeft, plotBottom   = 46, 34
	plotRight, plotTop     = 8, 22
	plotAcross, plotUpward = plotWide - plotLeft - plotRight, plotHigh - plotTop - plotBottom
)

// svg draws it.
func (p *plot) svg() []byte {
	least, most, high := math.Inf(1), math.Inf(-1), 0.0
	all := [][][2]float64{p.points, p.line}
	for _, c := range p.courses {
		all = append(all, c.points)
	}
	for _, of := range all {
		for _, v := range of {
			least, most, high = min(least, v[0]), max(most, v[0]), max(high, v[1])
		}
	}
	if least < 0.4*most {
		least = 0
	}
	high = ceiling(high)
	at := func(v [2]float64) (x, y float64) {
		return plotLeft + plotAcross*(v[0]-least)/(most-least), plotTop + plotUpward*(1-v[1]/high)
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" font-family="sans-serif" font-size="10">`, plotWide, plotHigh, plotWide, plotHigh)
	fmt.Fprintf(&b, "\n<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n", html.EscapeString(p.title))
	text := func(x, y float64, anchor, say string) {
		fmt.Fprintf(&b, "<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">%s</text>\n", x, y, anchor, html.EscapeString(say))
	}
	text(plotWide/2, 13, "middle", p.title)
	text(plotLeft+plotAcross/2, plotHigh-4, "middle", p.x+"; up: "+p.y)
	const ticks = 4
	for i := range ticks + 1 {
		part := float64(i) / ticks
		x, y := at([2]float64{least + part*(most-least), part * high})
		fmt.Fprintf(&b, "<path d=\"M%d %.1fH%d\" stroke=\"#ddd\"/>\n", plotLeft, y, plotWide-plotRight)
		text(plotLeft-4, y+3, "end", fmt.Sprintf("%.4g", part*high))
		text(x, plotHigh-plotBottom+13, "middle", fmt.Sprintf("%.3g", least+part*(most-least)))
	}
	ruler := "#1f5f8b"
	if len(p.courses) > 0 { // it is none of them
		ruler = "#999"
	}
	joined := func(points [][2]float64, colour, style string) {
		fmt.Fprintf(&b, `<polyline fill="none" stroke="%s" %s points="`, colour, style)
		for _, v := range points {
			x, y := at(v)
			fmt.Fprintf(&b, "%.1f,%.1f ", x, y)
		}
		b.WriteString("\"/>\n")
	}
	joined(p.line, ruler, `stroke-width="1.5"`)
	dots := func(points [][2]float64, colour string) {
		for _, v := range points {
			x, y := at(v)
			fmt.Fprintf(&b, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"2.5\" fill=\"%s\"/>\n", x, y, colour)
		}
	}
	dots(p.points, ink[0].colour)
	for i, c := range p.courses {
		k := ink[i%len(ink)]
		joined(c.points, k.colour, fmt.Sprintf(`stroke-dasharray="%s"`, k.dashes))
		dots(c.points, k.colour)
		y := plotTop + 10 + 12*float64(i)
		fmt.Fprintf(&b, "<path d=\"M%d %.1fh18\" stroke=\"%s\" stroke-dasharray=\"%s\"/>\n", plotLeft+6, y-3, k.colour, k.dashes)
		text(plotLeft+28, y, "start", c.name)
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// ceiling gives the next of 1, 2, 4, 8, 10 in their tens.
func ceiling(v float64) float64 {
	if !(v > 0) {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{1, 2, 4, 8} {
		if v <= k*ten {
			return k * ten
		}
	}
	return 10 * ten
}
