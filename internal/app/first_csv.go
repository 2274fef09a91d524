package app

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

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
	var f FirstForm
	data, err := io.ReadAll(io.LimitReader(r, 4<<20))
	if err != nil {
		return f, nil, err
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	c := csv.NewReader(strings.NewReader(text))
	c.FieldsPerRecord, c.TrimLeadingSpace, c.Comment = -1, true, '#'
	if first, _, _ := strings.Cut(text, "\n"); strings.Count(first, ";") > strings.Count(first, ",") {
		c.Comma = ';'
	}
	var ps []Problem
	one := map[string]*string{
		"farm": &f.Farm, "zone": &f.Zone, "units": &f.Units, "place": &f.Place, "weather": &f.Weather, "altitude": &f.Altitude,
		"names": &f.Names, "wall": &f.Wall, "liner": &f.Liner, "holes": &f.Holes, "cover": &f.Cover, "depth": &f.Depth,
		"material": &f.Material, "age": &f.Age, "last fed": &f.LastFed, "fed depth": &f.LastFedDepth, "stock": &f.Stock,
		"feed every": &f.FeedEvery, "visit": &f.Visit,
	}
	many := []string{"barn", "barn size", "bin size", "except", "pile", "mix", "person", "months low", "months high", "today"}
	seen := map[string]bool{}
	sizes := map[string][3]string{}
	for {
		record, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		line, _ := c.FieldPos(0)
		tell := func(say, try string) { ps = append(ps, Problem{Field: "file", Row: line, Say: say, Try: try}) }
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			ps = append(ps, Problem{Field: "file", Row: broken.Line, Say: "The quotation marks of this line do not close.", Try: "Put the whole value between two quotation marks."})
			break
		}
		if err != nil {
			return f, ps, err
		}
		for i := range record {
			record[i] = strings.TrimSpace(record[i])
		}
		for len(record) < 3 {
			record = append(record, "")
		}
		what, of, value := strings.ToLower(record[0]), record[1], record[2]
		if extra := strings.Join(record[3:], ""); extra != "" {
			tell(fmt.Sprintf("There is %q beyond the third column.", extra), "Put a value that holds commas between quotation marks.")
			continue
		}
		if what == "what" || what == "" && of == "" && value == "" {
			continue
		}
		if p, ok := one[what]; ok {
			if value == "" {
				value = of
			}
			if seen[what] && *p != value {
				tell(fmt.Sprintf("%q is told twice, as %q and as %q.", what, *p, value), "Keep one of them.")
			}
			*p, seen[what] = value, true
			continue
		}
		switch what {
		case "barn":
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
				tell(fmt.Sprintf("The barn %s is told as %q.", of, value), `Write it as "5 rows, 8 stacks, 3 high", or "3 rows, 8 8 7 stacks, 3 high" when rows differ.`)
			}
			f.Barns = append(f.Barns, b)
		case "barn size", "bin size":
			bits := strings.Split(strings.ToLower(value), "x")
			if len(bits) != 3 {
				tell(fmt.Sprintf("The size %q is not three lengths.", value), `Write length x width x height with their units, such as "47 in x 47 in x 23 in".`)
				continue
			}
			for i := range bits {
				bits[i] = strings.TrimSpace(bits[i])
			}
			if what == "bin size" {
				f.Length, f.Width, f.Deep = bits[0], bits[1], bits[2]
			} else {
				sizes[of] = [3]string(bits)
			}
		case "except":
			f.Except = append(f.Except, of+": "+value)
		case "pile":
			bits := strings.Split(value, ";")
			if len(bits) < 2 || len(bits) > 4 {
				tell(fmt.Sprintf("The pile %s is told as %q.", of, value), `Write material; amount; age; declared, such as "leaves, loose dry; 30 yd3; 3 weeks".`)
				continue
			}
			for len(bits) < 4 {
				bits = append(bits, "")
			}
			f.Piles = append(f.Piles, FirstPile{of, strings.TrimSpace(bits[0]), strings.TrimSpace(bits[1]), strings.TrimSpace(bits[2]), strings.TrimSpace(bits[3])})
		case "mix":
			purpose, parts, ok := strings.Cut(value, ";")
			if !ok {
				purpose, parts = "", value
			}
			f.Mixes = append(f.Mixes, FirstMix{of, strings.TrimSpace(purpose), strings.TrimSpace(parts)})
		case "person":
			if of == "" {
				of = value
			}
			f.People = append(f.People, of)
		case "months low", "months high":
			list := strings.Split(value, ";")
			if len(list) != 12 {
				tell(fmt.Sprintf("There are %d months, twelve are wanted.", len(list)), `Write them from January to December, parted by semicolons, such as "35 F; 36 F".`)
			}
			if what == "months low" {
				f.MonthLow = list
			} else {
				f.MonthHigh = list
			}
		case "today":
			low, high, _ := strings.Cut(value, ";")
			f.LowToday, f.HighToday = strings.TrimSpace(low), strings.TrimSpace(high)
		default:
			known := append([]string{}, many...)
			for k := range one {
				known = append(known, k)
			}
			try := "Look at the names in the manual."
			if near := contract.Nearest(what, known); len(near) > 0 {
				try = "Did you mean " + strings.Join(near, " or ") + "?"
			}
			tell(fmt.Sprintf("%q is not something a first morning tells.", record[0]), try)
		}
	}
	for name, size := range sizes {
		found := false
		for i := range f.Barns {
			if f.Barns[i].Name == name {
				f.Barns[i].Length, f.Barns[i].Width, f.Barns[i].Height = size[0], size[1], size[2]
				found = true
			}
		}
		if !found {
			ps = append(ps, Problem{Field: "file", Say: fmt.Sprintf("A size is told for barn %s, which is not among the barns.", name), Try: "Look at the name."})
		}
	}
	return f, ps, nil
}
