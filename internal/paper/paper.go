// Package paper writes what the farm prints and files: a page with letters of the
// Latin, Greek and Cyrillic alphabets, and documents of headings, sentences and
// tables that run over as many pages as they need.
//
// Everything that is said comes in ready to print. The same content and day give
// the same bytes, so that a paper can be made again and held against a filed one.
//
// The letters are those of the Go fonts (golang.org/x/image, free to embed), which
// the file carries along, since the fonts that every reader has end at the western
// code page. What it leaves out: scripts written from right to left and those of
// East Asia; Lacking names the letters that it cannot print, and Plain puts a mark
// in their place.
package paper

import (
	"slices"
	"strings"
	"sync"
	"time"
	"unicode"

	"github.com/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// Inch is 25.4 [mm], exact since 1959.
const Inch = 25.4

// Face is the name of the letters in a file of New; "B" is its bold style.
const Face = "go"

// New gives an empty file of pages of one size [mm], made on a day.
func New(width, height float64, day time.Time) *fpdf.Fpdf {
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	pdf.SetCreationDate(day)
	pdf.SetModificationDate(day)
	pdf.SetCatalogSort(true)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.SetCellMargin(0)
	pdf.AddUTF8FontFromBytes(Face, "", goregular.TTF)
	pdf.AddUTF8FontFromBytes(Face, "B", gobold.TTF)
	return pdf
}

// letters is which letters the font has.
var letters = sync.OnceValue(func() *[0x10000]bool {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic(err) // the font is part of the program
	}
	var b sfnt.Buffer
	out := new([0x10000]bool)
	for r := range out {
		g, err := f.GlyphIndex(&b, rune(r))
		out[r] = err == nil && g != 0
	}
	return out
})

// has says whether the font has a letter.
func has(r rune) bool { return r >= 0 && r < 0x10000 && letters()[r] }

// Lacking gives the letters of a text that cannot be printed, each once.
func Lacking(text string) string {
	var out []rune
	for _, r := range text {
		if !unicode.IsControl(r) && !unicode.Is(unicode.Cf, r) && !has(r) && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return string(out)
}

// lack stands for a letter that cannot be printed.
const lack = '?'

// Plain gives a text that can be printed: every letter that cannot is a question
// mark, every break and sign of control a space.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Cf, r): // marks of direction
			return -1
		case unicode.IsControl(r):
			return ' '
		case !has(r):
			return lack
		}
		return r
	}, text)
}

// Words parts a text at its spaces, and not at those that hold a number to its unit.
func Words(text string) []string {
	return strings.FieldsFunc(Plain(text), func(r rune) bool { return r == ' ' })
}

// Lines breaks a text into lines of a width [mm] in the font that is set: at
// spaces, and within a word that is longer than a line.
func Lines(pdf *fpdf.Fpdf, text string, width float64) []string {
	var out []string
	line := ""
	for _, word := range Words(text) {
		if both := strings.TrimSpace(line + " " + word); pdf.GetStringWidth(both) <= width {
			line = both
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		line = word
		for pdf.GetStringWidth(line) > width {
			n := fitting(pdf, line, width)
			out, line = append(out, line[:n]), line[n:]
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// fitting gives the bytes of a word that a line holds, at least its first letter.
func fitting(pdf *fpdf.Fpdf, word string, width float64) int {
	last := 0
	for i := range word {
		if i > 0 && pdf.GetStringWidth(word[:i]) > width {
			break
		}
		if i > 0 {
			last = i
		}
	}
	if last == 0 {
		last = len(word)
		for i := range word {
			if i > 0 {
				last = i
				break
			}
		}
	}
	return last
}

// Cut gives a text short enough for a line of a width [mm], its end left out where
// it has to be.
func Cut(pdf *fpdf.Fpdf, text string, width float64) string {
	text = Plain(text)
	if pdf.GetStringWidth(text) <= width {
		return text
	}
	r := []rune(text)
	for len(r) > 1 && pdf.GetStringWidth(string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return strings.TrimSpace(string(r)) + "…"
}
