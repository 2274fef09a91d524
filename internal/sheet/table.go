package sheet

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"wormyard/journal"
)

// headerRows is how far down a header row is looked for.
const headerRows = 30

// longestLine is the longest line of a CSV file that is read [byte].
const longestLine = 1 << 20

// grid gives the rows of a table one after the other; io.EOF at the end.
type grid interface {
	next() (number int, cells []cell, err error)
	close()
}

// filled counts the cells that hold something.
func filled(cells []cell) (n int) {
	for _, c := range cells {
		if strings.TrimSpace(c.text) != "" {
			n++
		}
	}
	return n
}

func (f *File) table(yield func(Row, error) bool) error {
	var g grid
	var from1904 bool
	var comma bool
	var err error
	if f.format == "xlsx" {
		g, from1904, err = f.openWorkbook()
	} else {
		g, comma, err = f.openCSV()
	}
	if err != nil {
		return err
	}
	defer g.close()

	type line struct {
		number int
		cells  []cell
	}
	var first []line
	best, bestKnown := -1, 0
	for len(first) < headerRows {
		number, cells, err := g.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		first = append(first, line{number, cells})
		if _, _, known := columns(cells, f.opt.Map, f.opt.Kind != ""); known > bestKnown {
			best, bestKnown = len(first)-1, known
		}
	}
	if len(first) == 0 {
		return &Unreadable{fmt.Sprintf("%s is empty.", f.path), "Give a file with a header row and one row an entry."}
	}
	if bestKnown < 2 && f.opt.AnyHeader {
		if i := slices.IndexFunc(first, func(l line) bool { return filled(l.cells) > 1 }); i >= 0 {
			best, bestKnown = i, 2
		}
	}
	if bestKnown < 2 {
		return &Unreadable{fmt.Sprintf("%s has no header row that we know: nothing like Date, What, Bin in its first %d rows.", f.path, len(first)),
			"Put names of columns in a row above the entries, or say what yours mean in a mapping file (--map)."}
	}
	head := first[best]
	cols, unknown, _ := columns(head.cells, f.opt.Map, f.opt.Kind != "")
	r := &reader{opt: f.opt, cols: cols, comma: comma, from1904: from1904, seen: map[uint64]int{}, unknown: unknown, width: len(head.cells)}
	f.last = r
	top := Row{Number: head.number}
	for _, p := range missingColumns(cols, f.opt) {
		top.Problems = append(top.Problems, Problem{head.number, "", p})
	}
	for _, c := range unknown {
		top.Problems = append(top.Problems, Problem{head.number, c.header, unknownColumn(c)})
	}
	if best > 0 {
		skipped := 0
		for _, l := range first[:best] {
			if !blank(l.cells) {
				skipped++
			}
		}
		if skipped > 0 {
			top.Notes = append(top.Notes, Problem{head.number, "", journal.Problem{Say: fmt.Sprintf("Row %d is the header row; what stands above it is skipped.", head.number)}})
		}
	}
	if !yield(top, nil) {
		return errStop
	}
	if journal.Worst(levels(top.Problems)) == journal.Refused { // each row would say the same
		return nil
	}
	give := func(number int, cells []cell) bool {
		if blank(cells) {
			return true
		}
		return yield(r.entry(number, cells), nil)
	}
	for _, l := range first[best+1:] {
		if !give(l.number, l.cells) {
			return errStop
		}
	}
	for {
		number, cells, err := g.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if !give(number, cells) {
			return errStop
		}
	}
}

func levels(ps []Problem) []journal.Problem {
	out := make([]journal.Problem, len(ps))
	for i := range ps {
		out[i] = ps[i].Problem
	}
	return out
}

func blank(cells []cell) bool {
	for _, c := range cells {
		if strings.TrimSpace(c.text) != "" {
			return false
		}
	}
	return true
}

// counting counts bytes and refuses lines without end.
type counting struct {
	r     io.Reader
	n     *int64
	line  int
	since int // bytes since the last line end
}

func (c *counting) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	*c.n += int64(n)
	for rest := p[:n]; len(rest) > 0; {
		i := bytes.IndexByte(rest, '\n')
		if i < 0 {
			c.since += len(rest)
			break
		}
		c.line++
		c.since = 0
		rest = rest[i+1:]
	}
	if c.since > longestLine {
		return 0, &Unreadable{fmt.Sprintf("Row %d is longer than 1 MB.", c.line+1), "This does not look like a table. See that the file is a CSV file and that its quotation marks are closed."}
	}
	return n, err
}

type csvGrid struct {
	file *os.File
	csv  *csv.Reader
}

func (g *csvGrid) close() { g.file.Close() }

func (g *csvGrid) next() (int, []cell, error) {
	rec, err := g.csv.Read()
	if err != nil {
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			return 0, nil, &Unreadable{fmt.Sprintf("Row %d cannot be read: its quotation marks do not match.", parse.StartLine), "Close them, or take them away."}
		}
		return 0, nil, err
	}
	line, _ := g.csv.FieldPos(0)
	cells := make([]cell, len(rec))
	for i, s := range rec {
		cells[i] = cell{text: s}
	}
	return line, cells, nil
}

func (f *File) openCSV() (grid, bool, error) {
	file, err := os.Open(f.path)
	if err != nil {
		return nil, false, err
	}
	in := bufio.NewReaderSize(&counting{r: file, n: &f.read}, 1<<16)
	sample, err := in.Peek(1 << 16)
	var long *Unreadable
	if errors.As(err, &long) {
		file.Close()
		return nil, false, err
	}
	decode, fl := decoderFor(sample)
	if fl != nil {
		file.Close()
		return nil, false, fl
	}
	var r io.Reader = in
	if decode != nil {
		r = transform.NewReader(in, decode)
		if plain, _, err := transform.Bytes(decode, sample); err == nil || len(plain) > 0 {
			sample = plain
		}
	}
	sample = bytes.TrimPrefix(sample, []byte("\ufeff"))
	br := bufio.NewReaderSize(r, 1<<16)
	if bom, _ := br.Peek(3); string(bom) == "\ufeff" {
		br.Discard(3)
	}
	c := csv.NewReader(br)
	c.Comma = delimiter(sample)
	c.FieldsPerRecord = -1
	c.LazyQuotes = true
	c.TrimLeadingSpace = c.Comma != '\t'
	return &csvGrid{file, c}, commaDecimals(sample, c.Comma), nil
}

// decoderFor finds how the letters of a file are written, from its beginning.
func decoderFor(sample []byte) (transform.Transformer, *Unreadable) {
	switch {
	case bytes.HasPrefix(sample, []byte{0xff, 0xfe}), bytes.HasPrefix(sample, []byte{0xfe, 0xff}):
		return unicode.BOMOverride(unicode.UTF8.NewDecoder()), nil
	case bytes.HasPrefix(sample, []byte("PK\x03\x04")):
		return nil, &Unreadable{"This is a workbook, not a CSV file.", "Give it a name that ends in .xlsx."}
	case bytes.IndexByte(sample, 0) >= 0:
		return nil, &Unreadable{"This is not a text file.", "Save the table as CSV or XLSX."}
	}
	for i := 0; i < 3 && len(sample) > 0; i++ { // the sample may cut a letter in two
		if utf8.Valid(sample[:len(sample)-i]) {
			return nil, nil
		}
	}
	return charmap.Windows1252.NewDecoder(), nil
}

// delimiter finds what divides the cells: the mark that divides the lines of
// the beginning into the most and evenest parts, outside quotation marks.
func delimiter(sample []byte) rune {
	best, bestScore := ',', 0
	for _, d := range []rune{',', ';', '\t', '|'} {
		counts := map[int]int{}
		n, quoted := 0, false
		for _, c := range string(sample) {
			switch {
			case c == '"':
				quoted = !quoted
			case c == d && !quoted:
				n++
			case c == '\n' && !quoted:
				counts[n]++
				n = 0
			}
		}
		if len(counts) == 0 {
			counts[n]++
		}
		score := 0
		for parts, lines := range counts {
			if parts > 0 {
				score = max(score, lines*10+parts)
			}
		}
		if score > bestScore {
			best, bestScore = d, score
		}
	}
	return best
}

// commaDecimals says whether the numbers of a file have a decimal comma: its
// cells hold numbers such as 2,5 and none such as 2.5.
func commaDecimals(sample []byte, delim rune) bool {
	if delim == ',' && !bytes.Contains(sample, []byte(`"`)) {
		return false
	}
	c := csv.NewReader(bytes.NewReader(sample))
	c.Comma, c.FieldsPerRecord, c.LazyQuotes = delim, -1, true
	commas, points := 0, 0
	for {
		rec, err := c.Read()
		if err != nil {
			break
		}
		for _, s := range rec {
			s, _, _ = strings.Cut(strings.TrimSpace(s), " ")
			if !plainNumber(s) {
				continue
			}
			head, tail, ok := strings.Cut(s, ",")
			if ok && len(tail) > 0 && strings.Count(s, ",") == 1 && !strings.Contains(tail, ".") && (len(tail) != 3 || strings.Trim(head, "+-0") == "" || strings.Contains(head, ".")) {
				commas++
			}
			if _, tail, ok := strings.Cut(s, "."); ok && strings.Count(s, ".") == 1 && !strings.Contains(tail, ",") && len(tail) != 3 {
				points++
			}
		}
	}
	return commas > 0 && points == 0
}

type bookGrid struct {
	book       *excelize.File
	tab        string
	raw, shown *excelize.Rows
	number     int
}

func (g *bookGrid) close() {
	g.raw.Close()
	g.shown.Close()
	g.book.Close()
}

func (g *bookGrid) next() (int, []cell, error) {
	if !g.raw.Next() || !g.shown.Next() {
		if err := g.raw.Error(); err != nil {
			return 0, nil, err
		}
		return 0, nil, io.EOF
	}
	g.number++
	raw, err := g.raw.Columns(excelize.Options{RawCellValue: true})
	if err != nil {
		return 0, nil, err
	}
	shown, err := g.shown.Columns()
	if err != nil {
		return 0, nil, err
	}
	cells := make([]cell, len(raw))
	for i, s := range raw {
		cells[i].text = s
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			continue
		}
		cells[i].serial = true
		if i < len(shown) && strings.HasSuffix(shown[i], "%") { // a cell shown as per cent holds a part of one
			cells[i] = cell{text: strconv.FormatFloat(v*100, 'g', 12, 64) + " %"}
		}
	}
	return g.number, cells, nil
}

func (f *File) openWorkbook() (grid, bool, error) {
	broken := func(err error) error {
		if errors.Is(err, excelize.ErrWorkbookFileFormat) || errors.Is(err, excelize.ErrUnsupportedEncryptMechanism) || errors.Is(err, excelize.ErrWorkbookPassword) {
			return &Unreadable{fmt.Sprintf("%s cannot be opened as a workbook.", f.path), "If it has a password, take it away; else save it again as XLSX or CSV."}
		}
		return &Unreadable{fmt.Sprintf("%s cannot be read as a workbook (%v).", f.path, err), "Open it and save it again as XLSX or CSV."}
	}
	// Larger parts are unpacked to a file for the time of reading.
	book, err := excelize.OpenFile(f.path, excelize.Options{UnzipXMLSizeLimit: 16 << 20, UnzipSizeLimit: 4 << 30})
	if err != nil {
		return nil, false, broken(err)
	}
	tab := f.opt.Tab
	tabs := book.GetSheetList()
	if tab == "" {
		for _, name := range tabs {
			if f.hasHeader(book, name) {
				tab = name
				break
			}
		}
		if tab == "" && len(tabs) > 0 {
			tab = tabs[0]
		}
	} else if i, err := book.GetSheetIndex(tab); err != nil || i < 0 {
		book.Close()
		return nil, false, &Unreadable{fmt.Sprintf("The workbook has no sheet %q.", tab), "It has " + strings.Join(tabs, ", ") + "."}
	}
	g := &bookGrid{book: book, tab: tab}
	if g.raw, err = book.Rows(tab); err == nil {
		g.shown, err = book.Rows(tab)
	}
	if err != nil {
		book.Close()
		return nil, false, broken(err)
	}
	from1904 := false
	if p, err := book.GetWorkbookProps(); err == nil && p.Date1904 != nil {
		from1904 = *p.Date1904
	}
	return g, from1904, nil
}

// hasHeader says whether one of the first rows of a sheet is a header row.
func (f *File) hasHeader(book *excelize.File, tab string) bool {
	rows, err := book.Rows(tab)
	if err != nil {
		return false
	}
	defer rows.Close()
	for i := 0; i < headerRows && rows.Next(); i++ {
		texts, err := rows.Columns()
		if err != nil {
			return false
		}
		cells := make([]cell, len(texts))
		for i, s := range texts {
			cells[i].text = s
		}
		if _, _, known := columns(cells, f.opt.Map, f.opt.Kind != ""); known >= 2 {
			return true
		}
	}
	return false
}
