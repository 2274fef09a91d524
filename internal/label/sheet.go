package label

import (
	"fmt"
	"io"
	"math"
	"slices"
	"time"

	"github.com/go-pdf/fpdf"
)

// Label is one label, in words ready to print.
type Label struct {
	Bin     string // as painted
	Place   string // "Barn 1, 3-4 top"
	Farm    string
	Printed string // "as of 3 March 2026": bins move
	Help    string // what to do when the code cannot be read
	Address string // in the code
}

// Paper is a size of paper with the labels on it. Measures in millimetres.
type Paper struct {
	Key           string
	Width, Height float64
	Columns, Rows int
	Left, Top     float64 // margin, the same right and at the bottom
}

const inch = 25.4 // [mm], exact since 1959

// Papers are the sizes that are printed.
var papers = []Paper{
	{Key: "letter", Width: 8.5 * inch, Height: 11 * inch, Columns: 2, Rows: 3, Left: 0.25 * inch, Top: 0.5 * inch},
	{Key: "a4", Width: 210, Height: 297, Columns: 2, Rows: 3, Left: 7.5, Top: 10.5},
	{Key: "4x6", Width: 4 * inch, Height: 6 * inch, Columns: 1, Rows: 1},
}

// Papers gives the sizes that are printed.
func Papers() []Paper { return slices.Clone(papers) }

// PaperNamed finds a size by its key.
func PaperNamed(key string) (Paper, bool) {
	for _, p := range papers {
		if p.Key == key {
			return p, true
		}
	}
	return Paper{}, false
}

// Each gives the width and height of one label [mm].
func (p Paper) Each() (width, height float64) {
	return (p.Width - 2*p.Left) / float64(p.Columns), (p.Height - 2*p.Top) / float64(p.Rows)
}

// Code gives where the code stands on a label of this paper, with its quiet
// zone: the corner from the label's own corner, and the side [mm].
func (p Paper) Code() (x, y, side float64) {
	width, height := p.Each()
	if p.single() {
		side = width - 2*pad
		return pad, height - pad - footSingle - side, side
	}
	side = height - 2*pad - numberHeight
	return pad, height - pad - side, side
}

func (p Paper) single() bool { return p.Columns*p.Rows == 1 }

// Measures of a label [mm].
const (
	pad          = 4.0
	numberHeight = 24.0 // of the line with the number, on a sheet
	footSingle   = 18.0 // of the words under the code, on a single label
	mark         = 4.0  // length of a cut mark
	hair         = 0.2  // width of its line
)

// Print writes the labels as PDF, in their order, and gives the size of the
// smallest module [mm]. The same labels and day give the same bytes. The error
// names a label whose address is too long, or is the writer's.
func Print(w io.Writer, p Paper, labels []Label, day time.Time) (module float64, err error) {
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: p.Width, Ht: p.Height}})
	pdf.SetCreationDate(day)
	pdf.SetModificationDate(day)
	pdf.SetCatalogSort(true)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	say := pdf.UnicodeTranslatorFromDescriptor("")
	module = math.Inf(1)
	each := p.Columns * p.Rows
	width, height := p.Each()
	for i, l := range labels {
		if i%each == 0 {
			pdf.AddPage()
			p.marks(pdf, min(each, len(labels)-i))
		}
		code, err := Encode(l.Address)
		if err != nil {
			return 0, fmt.Errorf("bin %s: %w", l.Bin, err)
		}
		at := i % each
		x, y := p.Left+float64(at%p.Columns)*width, p.Top+float64(at/p.Columns)*height
		cx, cy, side := p.Code()
		module = min(module, code.Module(side))
		draw(pdf, code, x+cx, y+cy, side)
		if p.single() {
			line(pdf, say(l.Bin), "B", x+pad, y+pad, width-2*pad, cy-pad, 130, "C")
			line(pdf, say(l.Place), "B", x+pad, y+height-pad-footSingle, width-2*pad, 7, 18, "C")
			line(pdf, say(l.Farm), "", x+pad, y+height-pad-footSingle+7, width-2*pad, 5, 12, "C")
			line(pdf, say(l.Help+" "+l.Printed), "", x+pad, y+height-pad-footSingle+12, width-2*pad, 4, 8, "C")
			continue
		}
		line(pdf, say(l.Bin), "B", x+pad, y+pad, width-2*pad, numberHeight-2, 72, "L")
		tx, wide := x+cx+side+2, width-cx-side-2-pad
		words(pdf, say(l.Place), "B", tx, y+cy+4, wide, 6, 14, 3)
		words(pdf, say(l.Farm), "", tx, y+cy+23, wide, 5, 11, 3)
		words(pdf, say(l.Help), "", tx, y+cy+side-24, wide, 3.4, 7.5, 5)
		words(pdf, say(l.Printed), "", tx, y+cy+side-6, wide, 3.4, 7.5, 2)
	}
	if len(labels) == 0 {
		pdf.AddPage()
	}
	return module, pdf.Output(w)
}

// draw fills the dark modules as one shape, so that no hairlines show between
// them.
func draw(pdf *fpdf.Fpdf, c Code, x, y, side float64) {
	m := c.Module(side)
	pdf.SetFillColor(0, 0, 0)
	c.runs(func(cx, cy, n int) {
		left, top := x+float64(cx+Quiet)*m, y+float64(cy+Quiet)*m
		pdf.MoveTo(left, top)
		pdf.LineTo(left+float64(n)*m, top)
		pdf.LineTo(left+float64(n)*m, top+m)
		pdf.LineTo(left, top+m)
		pdf.ClosePath()
	})
	pdf.DrawPath("F")
}

// line writes one line as large as the box allows, up to most points.
func line(pdf *fpdf.Fpdf, text, style string, x, y, width, height, most float64, align string) {
	size := most
	pdf.SetFont("Helvetica", style, size)
	if wide := pdf.GetStringWidth(text); wide > width-1 {
		size *= (width - 1) / wide
	}
	if tall := height * 72 / inch / 0.8; size > tall { // a line of capitals is about 0.72 of its points high
		size = tall
	}
	pdf.SetFont("Helvetica", style, size)
	pdf.SetXY(x, y)
	pdf.CellFormat(width, height, text, "", 0, align+"M", false, 0, "")
}

// words writes a text over several lines, the rest left out.
func words(pdf *fpdf.Fpdf, text, style string, x, y, width, height, size float64, most int) {
	pdf.SetFont("Helvetica", style, size)
	for i, l := range pdf.SplitLines([]byte(text), width) {
		if i == most {
			return
		}
		pdf.SetXY(x, y+float64(i)*height)
		pdf.CellFormat(width, height, string(l), "", 0, "LM", false, 0, "")
	}
}

// marks draws where to cut: ticks in the margin at the ends of every cut and a
// small cross where cuts meet, both outside what is printed of a label.
func (p Paper) marks(pdf *fpdf.Fpdf, n int) {
	if p.single() {
		return
	}
	width, height := p.Each()
	rows := (n + p.Columns - 1) / p.Columns
	pdf.SetLineWidth(hair)
	for row := 0; row <= rows; row++ {
		for col := 0; col <= p.Columns; col++ {
			x, y := p.Left+float64(col)*width, p.Top+float64(row)*height
			pdf.Line(x-mark/2, y, x+mark/2, y)
			pdf.Line(x, y-mark/2, x, y+mark/2)
		}
	}
}

// Unprintable gives the letters of a text that the printers' own fonts lack,
// each once.
func Unprintable(text string) string {
	var out []rune
	for _, r := range text {
		if !western(r) && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return string(out)
}

// western says whether code page 1252 has a letter.
func western(r rune) bool {
	if r >= 0x20 && r < 0x7f || r >= 0xa0 && r <= 0xff {
		return true
	}
	return slices.Contains([]rune("€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ"), r)
}
