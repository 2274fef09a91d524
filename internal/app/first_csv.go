package app

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"wormyard/internal/contract"
)

// ReadFirst reads a first morning from a CSV of three columns, what, of and
// value, with that header:
//
//	what,of,value
//	farm,,Heron Slough
//	zone,,America/Los_Angeles
//	units,,us
//	barn,North,"5 rows, 8 stacks, 3 high"
//	barn size,North,"80 ft x 40 ft x 14 ft"
//	names,,B1
//	bin size,,"47 in x 47 in x 23 in"
//	cover,,cloth
//	depth,,10 in
//	material,,horse manure with bedding
//	age,,4 months
//	last fed,,5 days
//	fed depth,,1.5 in
//	stock,,middle
//	feed every,,7 days
//	except,row 3,age 2 months
//	except,B17,empty
//	pile,solids,"dairy solids, separated; 30 yd3; 3 weeks; dewormer"
//	mix,41,"feed; 2 yd3 solids, 1 yd3 chips"
//	person,crew 1,
//	place,,wet coast
//	weather,,normals
//	months low,,"35 F; 36 F; ..."   twelve
//	months high,,"45 F; 48 F; ..."  twelve
//	today,,"34 F; 52 F"             low and high
//
// Lines may come in any order; barn, except, pile, mix and person may come often. A
// semicolon may part the columns instead of a comma. All that cannot be read is
// told with its line; the error is that of the reader.
func ReadFirst(r io.Reader) (FirstForm, []Problem, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostFirst+1))
	if err != nil {
		return FirstForm{}, nil, err
	}
	if say := unlikeFirst(data); say != "" {
		return FirstForm{}, []Problem{{Field: "file", Say: say, Try: "Give a CSV of three columns, what, of and value, as docs/first_morning.md shows."}}, nil
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	c := csv.NewReader(strings.NewReader(text))
	c.FieldsPerRecord, c.TrimLeadingSpace, c.Comment = -1, true, '#'
	if first, _, _ := strings.Cut(text, "\n"); strings.Count(first, ";") > strings.Count(first, ",") {
		c.Comma = ';'
	}
	f := firstReader{seen: map[string]bool{}, sizes: map[string]firstSize{}}
	f.single = map[string]*string{
		"farm": &f.form.Farm, "zone": &f.form.Zone, "units": &f.form.Units, "place": &f.form.Place, "weather": &f.form.Weather,
		"altitude": &f.form.Altitude, "names": &f.form.Names, "wall": &f.form.Wall, "liner": &f.form.Liner, "holes": &f.form.Holes,
		"cover": &f.form.Cover, "depth": &f.form.Depth, "material": &f.form.Material, "age": &f.form.Age, "last fed": &f.form.LastFed,
		"fed depth": &f.form.LastFedDepth, "stock": &f.form.Stock, "feed every": &f.form.FeedEvery, "visit": &f.form.Visit,
	}
	for {
		record, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			f.line = broken.Line
			f.tell("The quotation marks of this line do not close.", "Put the whole value between two quotation marks.")
			break
		}
		if err != nil {
			return f.form, f.problems, err
		}
		f.line, _ = c.FieldPos(0)
		f.record(record)
	}
	f.placeSizes()
	return f.form, f.problems, nil
}

// mostFirst is the largest file that tells a first morning [byte].
const mostFirst = 4 << 20

// unlikeFirst says why a file cannot tell a first morning, "" when it may.
func unlikeFirst(data []byte) string {
	switch {
	case len(data) > mostFirst:
		return fmt.Sprintf("The file is larger than %d MB.", mostFirst>>20)
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		return "The file is not a text in UTF-8."
	case len(bytes.TrimSpace(data)) == 0:
		return "The file is empty."
	}
	return ""
}

// firstReader reads the lines of a first morning into the form.
type firstReader struct {
	form     FirstForm
	single   map[string]*string // what is told once, by its name
	seen     map[string]bool
	sizes    map[string]firstSize // of barns, which may be told before the barn
	line     int
	problems []Problem
}

type firstSize struct {
	line int
	of   [3]string
}

func (f *firstReader) tell(say, try string) {
	f.problems = append(f.problems, Problem{Field: "file", Row: f.line, Say: say, Try: try})
}

// severally are the names that may come more than once, and what reads each.
var severally = map[string]func(f *firstReader, of, value string){
	"barn":      (*firstReader).barn,
	"barn size": (*firstReader).barnSize,
	"bin size": func(f *firstReader, _, value string) {
		if size, ok := f.size(value); ok {
			f.form.Length, f.form.Width, f.form.Deep = size[0], size[1], size[2]
		}
	},
	"except":      func(f *firstReader, of, value string) { f.form.Except = append(f.form.Except, of+": "+value) },
	"pile":        (*firstReader).pile,
	"mix":         (*firstReader).mix,
	"person":      func(f *firstReader, of, value string) { f.form.People = append(f.form.People, cmp.Or(of, value)) },
	"months low":  func(f *firstReader, _, value string) { f.form.MonthLow = f.months(value) },
	"months high": func(f *firstReader, _, value string) { f.form.MonthHigh = f.months(value) },
	"today": func(f *firstReader, _, value string) {
		low, high, _ := strings.Cut(value, ";")
		f.form.LowToday, f.form.HighToday = strings.TrimSpace(low), strings.TrimSpace(high)
	},
}

// record reads one line.
func (f *firstReader) record(cells []string) {
	for i := range cells {
		cells[i] = strings.TrimSpace(cells[i])
		if utf8.RuneCountInString(cells[i]) > longestCell {
			f.tell(fmt.Sprintf("The value in column %d has more than %d letters.", i+1, longestCell), "Shorten it, or look for a quotation mark that does not close.")
			return
		}
	}
	for len(cells) < 3 {
		cells = append(cells, "")
	}
	what, of, value := strings.ToLower(cells[0]), cells[1], cells[2]
	if extra := strings.Join(cells[3:], ""); extra != "" {
		f.tell(fmt.Sprintf("There is %q beyond the third column.", extra), "Put a value that holds commas between quotation marks.")
		return
	}
	if what == "what" || what == "" && of == "" && value == "" {
		return
	}
	if to, ok := f.single[what]; ok {
		f.once(what, to, cmp.Or(value, of))
		return
	}
	if read, ok := severally[what]; ok {
		read(f, of, value)
		return
	}
	known := slices.Sorted(maps.Keys(f.single))
	known = append(known, slices.Sorted(maps.Keys(severally))...)
	try := "Use one of " + strings.Join(known, ", ") + "."
	if near := contract.Nearest(what, known); len(near) > 0 {
		try = "Did you mean " + strings.Join(near, " or ") + "?"
	}
	f.tell(fmt.Sprintf("%q is not something a first morning tells.", cells[0]), try)
}

// longestCell is the longest value of a first morning [letters]: names of 240
// bins have room in it.
const longestCell = 2000

func (f *firstReader) once(what string, to *string, value string) {
	if f.seen[what] && *to != value {
		f.tell(fmt.Sprintf("%q is told twice, as %q and as %q.", what, *to, value), "Keep one of them.")
	}
	*to, f.seen[what] = value, true
}

func (f *firstReader) barn(of, value string) {
	b := FirstBarn{Name: of}
	understood := true
	for _, part := range strings.Split(value, ",") {
		words := strings.Fields(strings.ToLower(part))
		if len(words) < 2 {
			understood = false
			break
		}
		n := strings.Join(words[:len(words)-1], " ")
		switch words[len(words)-1] {
		case "rows", "row":
			b.Rows = n
		case "stacks", "stack":
			b.Stacks = n
		case "high":
			b.High = n
		default:
			understood = false
		}
	}
	if !understood {
		f.tell(fmt.Sprintf("The barn %s is told as %q.", of, value), `Write it as "5 rows, 8 stacks, 3 high", or "3 rows, 8 8 7 stacks, 3 high" when rows differ.`)
	}
	f.form.Barns = append(f.form.Barns, b)
}

func (f *firstReader) size(value string) (size [3]string, ok bool) {
	bits := strings.Split(strings.ToLower(value), "x")
	if len(bits) != 3 {
		f.tell(fmt.Sprintf("The size %q is not three lengths.", value), `Write length x width x height with their units, such as "47 in x 47 in x 23 in".`)
		return size, false
	}
	for i := range bits {
		size[i] = strings.TrimSpace(bits[i])
	}
	return size, true
}

func (f *firstReader) barnSize(of, value string) {
	if size, ok := f.size(value); ok {
		f.sizes[of] = firstSize{f.line, size}
	}
}

// placeSizes gives the barns the sizes that were told of them.
func (f *firstReader) placeSizes() {
	for _, name := range slices.Sorted(maps.Keys(f.sizes)) {
		size := f.sizes[name]
		i := slices.IndexFunc(f.form.Barns, func(b FirstBarn) bool { return b.Name == name })
		if i < 0 {
			f.line = size.line
			f.tell(fmt.Sprintf("A size is told for barn %s, which is not among the barns.", name), "Look at the name.")
			continue
		}
		b := &f.form.Barns[i]
		b.Length, b.Width, b.Height = size.of[0], size.of[1], size.of[2]
	}
}

func (f *firstReader) pile(of, value string) {
	bits := strings.Split(value, ";")
	if len(bits) < 2 || len(bits) > 4 {
		f.tell(fmt.Sprintf("The pile %s is told as %q.", of, value), `Write material; amount; age; declared, such as "leaves, loose dry; 30 yd3; 3 weeks".`)
		return
	}
	for i := range bits {
		bits[i] = strings.TrimSpace(bits[i])
	}
	bits = append(bits, "", "")
	f.form.Piles = append(f.form.Piles, FirstPile{of, bits[0], bits[1], bits[2], bits[3]})
}

func (f *firstReader) mix(of, value string) {
	purpose, parts, ok := strings.Cut(value, ";")
	if !ok {
		purpose, parts = "", value
	}
	f.form.Mixes = append(f.form.Mixes, FirstMix{of, strings.TrimSpace(purpose), strings.TrimSpace(parts)})
}

func (f *firstReader) months(value string) []string {
	list := strings.Split(value, ";")
	if len(list) != 12 {
		f.tell(fmt.Sprintf("There are %d months, twelve are wanted.", len(list)), `Write them from January to December, parted by semicolons, such as "35 F; 36 F".`)
	}
	return list
}
