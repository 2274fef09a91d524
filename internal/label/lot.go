package label

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/boombuler/barcode/ean"
	"github.com/go-pdf/fpdf"

	"wormyard/internal/paper"
)

// Part is a text of a label that may run over several lines.
type Part struct {
	Key  string // what it is, for those who are told that there was no room
	Head string // in bold before it
	Text string
	Less string // in place of the text where there is no room for it; may be empty
	Must bool   // the label is not printed without it
}

// LotLabel is the label of a bag or tote of a lot, in words ready to print.
type LotLabel struct {
	Name, Farm string
	Lot        string   // "Lot 26-03"
	Lines      []string // days, which bag of how many
	Net        string   // volume in both systems
	Mass       string   // the same of mass; may be empty
	Parts      []Part   // in the order in which they stand; the last that need not be goes first when there is no room
	Banner     string   // across it: why it may not be sold; empty when it may
	Code       string   // what the square code says
	Under      string   // under the code: how to find the lot without it
	Goods      string   // thirteen figures of a number of goods, its check digit last; may be empty
}

// Grid is a paper with labels of lots on it: a sheet to cut or of labels to peel,
// or a roll of one after another. Measures in millimetres.
type Grid struct {
	Key           string
	Width, Height float64
	Columns, Rows int
	Wide, High    float64 // of one label
	Left, Top     float64 // of the first label
	GapX, GapY    float64 // between labels
}

// Each gives how many labels a page has.
func (g Grid) Each() int { return g.Columns * g.Rows }

// Roll says whether a page is one label.
func (g Grid) Roll() bool { return g.Each() == 1 }

// pad gives the margin within a label [mm].
func (g Grid) pad() float64 { return min(max(0.06*g.High, leastPad), mostPad) }

// corner gives the corner of a label of a page.
func (g Grid) corner(at int) (x, y float64) {
	return g.Left + float64(at%g.Columns)*(g.Wide+g.GapX), g.Top + float64(at/g.Columns)*(g.High+g.GapY)
}

// grids are described by their own measures: labels of 4 in by 5, 3⅓ and 2 in that
// fill a sheet of US Letter, halves and quarters of A4 and eight of 99.1 by 67.7 mm,
// and rolls of printers of labels.
var grids = []Grid{
	{Key: "letter4", Width: 8.5 * inch, Height: 11 * inch, Columns: 2, Rows: 2, Wide: 4 * inch, High: 5 * inch, Left: 0.25 * inch, Top: 0.5 * inch},
	{Key: "letter6", Width: 8.5 * inch, Height: 11 * inch, Columns: 2, Rows: 3, Wide: 4 * inch, High: 10 * inch / 3, Left: 0.15625 * inch, Top: 0.5 * inch, GapX: 0.1875 * inch},
	{Key: "letter10", Width: 8.5 * inch, Height: 11 * inch, Columns: 2, Rows: 5, Wide: 4 * inch, High: 2 * inch, Left: 0.15625 * inch, Top: 0.5 * inch, GapX: 0.1875 * inch},
	{Key: "a4x4", Width: 210, Height: 297, Columns: 2, Rows: 2, Wide: 105, High: 148.5},
	{Key: "a4x8", Width: 210, Height: 297, Columns: 2, Rows: 4, Wide: 99.1, High: 67.7, Left: 4.65, Top: 13.1, GapX: 2.5},
	{Key: "4x6", Width: 4 * inch, Height: 6 * inch, Columns: 1, Rows: 1, Wide: 4 * inch, High: 6 * inch},
	{Key: "4x3", Width: 4 * inch, Height: 3 * inch, Columns: 1, Rows: 1, Wide: 4 * inch, High: 3 * inch},
	{Key: "3x2", Width: 3 * inch, Height: 2 * inch, Columns: 1, Rows: 1, Wide: 3 * inch, High: 2 * inch},
}

// Grids gives the papers for labels of lots.
func Grids() []Grid { return slices.Clone(grids) }

// GridNamed finds a paper by its key.
func GridNamed(key string) (Grid, bool) {
	for _, g := range grids {
		if g.Key == key {
			return g, true
		}
	}
	return Grid{}, false
}

// Printed tells what came of a file of labels.
type Printed struct {
	Module float64  // of the smallest dot of the square codes [mm]
	Letter float64  // size of the text [pt]
	Left   []string // keys of parts for which there was no room
}

// NoRoom is the refusal of a label that does not fit its paper.
type NoRoom struct{ Grid, Lot string }

// Error names the lot.
func (e *NoRoom) Error() string {
	return fmt.Sprintf("the label of %s has more words than paper %s has room for", e.Lot, e.Grid)
}

// Measures of a label of a lot [mm], and sizes of its text [pt].
const (
	leastPad   = 3.0
	mostPad    = 5.0
	leastCode  = 19.0
	mostCode   = 36.0
	barsHigh   = 13.0
	barModule  = 0.375 // of a number of goods: 0.33 mm at full size; three dots of a printer of 203 an inch
	wideLabel  = 1.3   // wider than so many times its height, a label has its text beside the code
	mostText   = 12.5
	leastText  = 5.5
	textStep   = 0.5
	leading    = 1.22
	between    = 0.4  // space before a part, in lines
	capital    = 0.72 // height of a capital, part of the size of the letters
	pointsInMM = 72 / inch
)

// PrintLots writes labels of lots as PDF, in their order. letter is the least height
// of the figures of the net contents [mm]. The same labels and day give the same
// bytes. The error is a NoRoom, names a code that holds too much, or is the writer's.
func PrintLots(w io.Writer, g Grid, labels []LotLabel, letter float64, day time.Time) (Printed, error) {
	pdf := paper.New(g.Width, g.Height, day)
	out := Printed{Module: math.Inf(1), Letter: mostText}
	left := map[string]bool{}
	var code Code
	for i, l := range labels {
		if i%g.Each() == 0 {
			pdf.AddPage()
			g.marks(pdf)
		}
		if i == 0 || l.Code != labels[i-1].Code {
			var err error
			if code, err = Encode(l.Code); err != nil {
				return out, fmt.Errorf("%s: %w", l.Lot, err)
			}
		}
		x, y := g.corner(i % g.Each())
		pad := g.pad()
		d := lotDrawing{pdf: pdf, l: l, x: x + pad, y: y + pad, w: g.Wide - 2*pad, h: g.High - 2*pad, code: code, letter: letter}
		if !d.fit(out.Letter) {
			return out, &NoRoom{Grid: g.Key, Lot: l.Lot}
		}
		if err := d.draw(); err != nil {
			return out, err
		}
		out.Letter = d.size
		out.Module = min(out.Module, code.Module(d.side))
		for _, k := range d.left {
			if !left[k] {
				left[k] = true
				out.Left = append(out.Left, k)
			}
		}
	}
	return out, pdf.Output(w)
}

// marks draws a hair line around the labels of a sheet, a tick at every corner.
func (g Grid) marks(pdf *fpdf.Fpdf) {
	if g.Roll() {
		return
	}
	pdf.SetLineWidth(hair)
	pdf.SetDrawColor(0, 0, 0)
	for at := range g.Each() {
		x, y := g.corner(at)
		for _, c := range [][2]float64{{x, y}, {x + g.Wide, y}, {x, y + g.High}, {x + g.Wide, y + g.High}} {
			pdf.Line(c[0]-mark/4, c[1], c[0]+mark/4, c[1])
			pdf.Line(c[0], c[1]-mark/4, c[0], c[1]+mark/4)
		}
	}
}

// lotDrawing lays out one label.
type lotDrawing struct {
	pdf        *fpdf.Fpdf
	l          LotLabel
	x, y, w, h float64 // within its margin
	code       Code
	letter     float64

	side float64 // of the square code with its border
	text float64 // width of the upper part
	size float64 // of the letters
	rows []row
	foot []row // beside the code, from above
	left []string
}

// row is one line.
type row struct {
	head, text string
	bold       bool
	size       float64 // [pt]
	above      float64 // space over it [mm]
}

func (r row) high() float64 { return r.size / pointsInMM * leading }

func high(rows []row) (sum float64) {
	for _, r := range rows {
		sum += r.above + r.high()
	}
	return sum
}

// wide says whether the text stands beside the code and not above it.
func (d *lotDrawing) wide() bool { return d.w > wideLabel*d.h }

// fit finds the largest text that lets the most parts in, from a size down.
func (d *lotDrawing) fit(from float64) bool {
	d.side = min(max(d.h*0.42, leastCode), mostCode, d.w*0.5)
	d.text = d.w
	if d.wide() {
		d.text = d.w - d.side - 2
	}
	parts := slices.Clone(d.l.Parts)
	d.left = nil
	for {
		for size := from; size >= leastText; size -= textStep {
			d.size = size
			d.layFoot()
			d.lay(parts)
			if high(d.rows) <= d.room() {
				return true
			}
		}
		last := -1
		for i, p := range parts {
			if !p.Must {
				last = i
			}
		}
		if last < 0 {
			return d.fitLess(parts, from)
		}
		d.left = append(d.left, parts[last].Key)
		parts = slices.Delete(parts, last, last+1)
	}
}

// fitLess is fit with the shorter texts.
func (d *lotDrawing) fitLess(parts []Part, from float64) bool {
	shorter := false
	for i, p := range parts {
		if p.Less != "" {
			parts[i].Text, parts[i].Less, shorter = p.Less, "", true
		}
	}
	if !shorter {
		return false
	}
	left := d.left
	d.l.Parts = parts
	ok := d.fit(from)
	d.left = append(left, d.left...)
	return ok
}

// room gives the height that the upper part may have.
func (d *lotDrawing) room() float64 { return d.h - d.low() - 1 }

// low gives the height of the lower part: net contents, bars, and the code where it
// is not beside all of it.
func (d *lotDrawing) low() float64 {
	low := high(d.foot)
	if !d.wide() {
		low = max(low, d.side)
	}
	if d.l.Goods != "" {
		low += barsHigh + 1
	}
	return low
}

// layFoot lays what stands beside the code: the net contents, half again as large as
// the text and never under the least height of their letters, the mass, and how to
// find the lot.
func (d *lotDrawing) layFoot() {
	d.foot = d.foot[:0]
	add := func(text string, bold bool, size float64) {
		d.pdf.SetFont(paper.Face, style(bold), size)
		for _, t := range paper.Lines(d.pdf, text, d.w-d.side-1) {
			d.foot = append(d.foot, row{text: t, bold: bold, size: size})
		}
	}
	add(d.l.Net, true, max(d.letter*pointsInMM/capital, d.size*1.5))
	add(d.l.Mass, false, d.size)
	add(d.l.Under, false, fine)
}

// fine is the size of what helps to find the lot [pt].
const fine = 5.5

func (d *lotDrawing) lay(parts []Part) {
	d.rows = d.rows[:0]
	add := func(text string, bold bool, size float64, most int) {
		d.pdf.SetFont(paper.Face, style(bold), size)
		lines := paper.Lines(d.pdf, text, d.text)
		if len(lines) > most {
			lines[most-1] = paper.Cut(d.pdf, strings.Join(lines[most-1:], " "), d.text)
			lines = lines[:most]
		}
		for _, t := range lines {
			d.rows = append(d.rows, row{text: t, bold: bold, size: size})
		}
	}
	add(d.l.Banner, true, d.size*1.25, 1)
	add(d.l.Name, true, d.size*1.7, 2)
	add(d.l.Farm, false, d.size*1.1, 2)
	add(d.l.Lot, true, d.size*1.25, 3)
	for _, t := range d.l.Lines {
		add(t, false, d.size, 2)
	}
	for _, p := range parts {
		d.part(p)
	}
}

// part lays a text whose head stands in bold before its first line.
func (d *lotDrawing) part(p Part) {
	at := len(d.rows)
	defer func() { d.rows[at].above = between * d.size / pointsInMM }()
	d.pdf.SetFont(paper.Face, "B", d.size)
	head := paper.Plain(p.Head)
	wide := 0.0
	if head != "" {
		head += " "
		wide = d.pdf.GetStringWidth(head)
	}
	if wide > d.text*0.6 {
		d.rows = append(d.rows, row{text: paper.Cut(d.pdf, head, d.text), bold: true, size: d.size})
		head, wide = "", 0
	}
	d.pdf.SetFont(paper.Face, "", d.size)
	first := ""
	words := paper.Words(p.Text)
	for len(words) > 0 {
		next := strings.TrimSpace(first + " " + words[0])
		if d.pdf.GetStringWidth(next) > d.text-wide {
			break
		}
		first, words = next, words[1:]
	}
	d.rows = append(d.rows, row{head: head, text: first, size: d.size})
	for _, t := range paper.Lines(d.pdf, strings.Join(words, " "), d.text) {
		d.rows = append(d.rows, row{text: t, size: d.size})
	}
}

func style(bold bool) string {
	if bold {
		return "B"
	}
	return ""
}

func (d *lotDrawing) draw() error {
	pdf := d.pdf
	pdf.SetTextColor(0, 0, 0)
	bottom := d.y + d.h
	d.lines(d.rows, d.y)
	d.lines(d.foot, bottom-high(d.foot))
	draw(pdf, d.code, d.x+d.w-d.side, bottom-d.side, d.side)
	if d.l.Goods != "" {
		if err := bars(pdf, d.l.Goods, d.x, bottom-d.low()); err != nil {
			return err
		}
	}
	if d.l.Banner != "" {
		d.banner()
	}
	return nil
}

// lines writes lines from a height down.
func (d *lotDrawing) lines(rows []row, y float64) {
	for _, r := range rows {
		x := d.x
		y += r.above
		if r.head != "" {
			d.pdf.SetFont(paper.Face, "B", r.size)
			d.write(x, y, r.high(), r.head)
			x += d.pdf.GetStringWidth(r.head)
		}
		d.pdf.SetFont(paper.Face, style(r.bold), r.size)
		d.write(x, y, r.high(), r.text)
		y += r.high()
	}
}

// write puts a line at a place.
func (d *lotDrawing) write(x, y, high float64, text string) {
	d.pdf.SetXY(x, y)
	d.pdf.CellFormat(d.w, high, text, "", 0, "LM", false, 0, "")
}

// banner lays a black strip with white letters across the upper part, which says
// why the bag may not be sold.
func (d *lotDrawing) banner() {
	pdf := d.pdf
	width, top := d.text, d.room()
	slope := math.Atan2(top*0.5, width) * 180 / math.Pi
	high := min(top*0.3, 12)
	cx, cy := d.x+width/2, d.y+top/2
	pdf.TransformBegin()
	pdf.TransformRotate(slope, cx, cy)
	pdf.SetFillColor(0, 0, 0)
	pdf.Rect(d.x, cy-high/2, width, high, "F")
	pdf.SetTextColor(255, 255, 255)
	size := high * pointsInMM * 0.7
	text := paper.Plain(d.l.Banner)
	pdf.SetFont(paper.Face, "B", size)
	if wide := pdf.GetStringWidth(text); wide > width-2 {
		pdf.SetFont(paper.Face, "B", size*(width-2)/wide)
	}
	pdf.SetXY(d.x, cy-high/2)
	pdf.CellFormat(width, high, text, "", 0, "CM", false, 0, "")
	pdf.TransformEnd()
	pdf.SetTextColor(0, 0, 0)
}

// errGoods is the refusal of a number of goods that cannot be drawn.
var errGoods = errors.New("a number of goods has thirteen figures, the last one its check digit")

// bars draws a number of goods as bars with its figures under them.
func bars(pdf *fpdf.Fpdf, number string, x, y float64) error {
	b, err := ean.Encode(number)
	if err != nil || len(number) != 13 {
		return errGoods
	}
	const quiet = 11 // modules left of the bars; seven right
	n := b.Bounds().Dx()
	pdf.SetFillColor(0, 0, 0)
	for i := 0; i < n; i++ {
		from := i
		for i < n && darkBar(b.At(i, 0)) {
			i++
		}
		if i > from {
			pdf.Rect(x+float64(quiet+from)*barModule, y, float64(i-from)*barModule, barsHigh-3, "F")
		}
	}
	pdf.SetFont(paper.Face, "", 7)
	pdf.SetXY(x, y+barsHigh-3)
	pdf.CellFormat(float64(quiet+n+7)*barModule, 3, number, "", 0, "CM", false, 0, "")
	return nil
}
