package paper

import (
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/go-pdf/fpdf"

	"wormyard/internal/drawing"
)

// Document is a paper of several pages, in words ready to print.
type Document struct {
	Title, Under string
	Banner       string // in a black bar on every page: why it is no proof of sale; may be empty
	Foot         string // at the foot of every page
	Page         string // "page %d of %d"
	Parts        []Part
}

// Part is a heading with what stands under it, in this order.
type Part struct {
	Head  string
	Says  []string
	Facts []Fact
	Views []drawing.View // in two columns
	Table *Table
	Lines []string // to write on, with what is to be written under each
}

// Fact is a name and its value.
type Fact struct{ Name, Value string }

// Table is rows under headings, which stand again on each page.
type Table struct {
	Columns []Column
	Rows    [][]string
}

// Column is a heading, the share of the width, and whether its cells are numbers.
type Column struct {
	Head  string
	Wide  float64
	Right bool
}

// Size is a size of paper [mm].
type Size struct{ Width, Height float64 }

// The sizes that offices have.
var (
	Letter = Size{8.5 * Inch, 11 * Inch}
	A4     = Size{210, 297}
)

// Measures of a page [mm] and sizes of its letters [pt].
const (
	margin  = 18.0
	foot    = 12.0
	gap     = 2.0
	body    = 9.0
	tiny    = 7.5
	heading = 11.5
	title   = 18.0
	leading = 1.25
	points  = 72 / Inch
)

// Write writes a document as PDF. The same document and day give the same bytes.
func (d Document) Write(w io.Writer, size Size, day time.Time) error {
	pages := 0
	for {
		s := sheet{pdf: New(size.Width, size.Height, day), size: size, d: d, pages: pages}
		s.all()
		if n := s.pdf.PageNo(); n != pages { // how many there are is known after the first time
			pages = n
			continue
		}
		return s.pdf.Output(w)
	}
}

// sheet is a document being written.
type sheet struct {
	pdf   *fpdf.Fpdf
	size  Size
	d     Document
	pages int
	y     float64
}

func (s *sheet) width() float64 { return s.size.Width - 2*margin }

func high(size float64) float64 { return size / points * leading }

func (s *sheet) font(style string, size float64) { s.pdf.SetFont(Face, style, size) }

// page begins a page with its foot and banner.
func (s *sheet) page() {
	s.pdf.AddPage()
	s.pdf.SetTextColor(0, 0, 0)
	s.font("", tiny)
	y := s.size.Height - foot
	count := fmt.Sprintf(s.d.Page, s.pdf.PageNo(), s.pages)
	s.cell(margin, y, s.width(), tiny, Plain(count), "R")
	s.cell(margin, y, s.width(), tiny, Cut(s.pdf, s.d.Foot, s.width()-s.pdf.GetStringWidth(count)-3), "L")
	s.y = margin
	if s.d.Banner != "" {
		s.pdf.SetFillColor(0, 0, 0)
		s.pdf.Rect(margin, s.y, s.width(), high(heading)+2, "F")
		s.pdf.SetTextColor(255, 255, 255)
		s.font("B", heading)
		s.cell(margin, s.y+1, s.width(), heading, Cut(s.pdf, s.d.Banner, s.width()-4), "C")
		s.pdf.SetTextColor(0, 0, 0)
		s.y += high(heading) + 2 + gap
	}
}

func (s *sheet) cell(x, y, w, size float64, text, align string) {
	s.pdf.SetXY(x, y)
	s.pdf.CellFormat(w, high(size), text, "", 0, align+"M", false, 0, "")
}

// room begins a page when there is less room than so much.
func (s *sheet) room(high float64) bool {
	if s.y+high <= s.size.Height-foot-gap {
		return false
	}
	s.page()
	return true
}

func (s *sheet) all() {
	s.page()
	s.lines(s.d.Title, "B", title)
	s.lines(s.d.Under, "", body)
	for _, p := range s.d.Parts {
		s.part(p)
	}
}

// lines writes a text over the width.
func (s *sheet) lines(text, style string, size float64) {
	s.font(style, size)
	for _, t := range Lines(s.pdf, text, s.width()) {
		s.room(high(size))
		s.font(style, size)
		s.cell(margin, s.y, s.width(), size, t, "L")
		s.y += high(size)
	}
}

func (s *sheet) part(p Part) {
	s.room(high(heading) + 4*high(body)) // no heading alone at the foot
	s.y += 2 * gap
	s.lines(p.Head, "B", heading)
	s.y += gap / 2
	for _, t := range p.Says {
		s.lines(t, "", body)
	}
	for _, f := range p.Facts {
		s.row([]Column{{Wide: 0.3}, {Wide: 0.7}}, []string{f.Name, f.Value}, "", nil)
	}
	s.views(p.Views)
	if p.Table != nil {
		s.table(*p.Table)
	}
	for _, l := range p.Lines {
		s.room(4 * high(body))
		s.y += 3 * high(body)
		s.pdf.SetLineWidth(0.2)
		s.pdf.SetDrawColor(0, 0, 0)
		s.pdf.Line(margin, s.y, margin+s.width()*0.6, s.y)
		s.lines(l, "", tiny)
	}
}

func (s *sheet) table(t Table) {
	heads := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = c.Head
	}
	top := func() { s.row(t.Columns, heads, "B", nil) }
	top()
	for _, r := range t.Rows {
		s.row(t.Columns, r, "", top)
	}
	s.rule()
}

func (s *sheet) rule() {
	s.pdf.SetLineWidth(0.1)
	s.pdf.SetDrawColor(120, 120, 120)
	s.pdf.Line(margin, s.y, margin+s.width(), s.y)
}

// mostLines is how many lines a cell may have, so that a row fits a page.
const mostLines = 40

// row writes one row whose cells may have several lines; again is written after a
// new page.
func (s *sheet) row(columns []Column, cells []string, style string, again func()) {
	const apart = 3.0
	s.font(style, tiny+0.5)
	lines := make([][]string, len(columns))
	most := 1
	for i, c := range columns {
		lines[i] = Lines(s.pdf, cells[i], c.Wide*s.width()-apart)
		if len(lines[i]) > mostLines {
			lines[i] = append(lines[i][:mostLines-1], Cut(s.pdf, strings.Join(lines[i][mostLines-1:], " "), c.Wide*s.width()-apart))
		}
		most = max(most, len(lines[i]))
	}
	each := high(tiny + 0.5)
	if s.room(each*float64(most)+apart/2) && again != nil {
		again()
	}
	s.rule()
	s.font(style, tiny+0.5)
	x := margin
	for i, c := range columns {
		align := "L"
		if c.Right {
			align = "R"
		}
		for k, t := range lines[i] {
			s.cell(x, s.y+apart/4+float64(k)*each, c.Wide*s.width()-apart, tiny+0.5, t, align)
		}
		x += c.Wide * s.width()
	}
	s.y += each*float64(most) + apart/2
}
