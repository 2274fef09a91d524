package draw

// Year is a plan drawn week by week: a strip for each thing that grows and
// shrinks, over the same months.
type Year struct {
	ViewBox string
	Strips  []YearStrip
	Months  []Mark
	Grid    string // path, where months begin
}

// YearStrip is one of them.
type YearStrip struct {
	Title, Note    string // and its most
	TitleX, TitleY string
	NoteX          string
	Area, Line     string // paths; of bars Line is empty
	Band           string // what it may come to, "" without
	Limit          string // path of what there is room for, "" without
	Base           string
	Class          string
}

// YearLine is what is drawn of one thing: Values at the end of each step, of Weeks
// each; bars where it is done and not held.
type YearLine struct {
	Title, Note, Class string
	Values             []float64
	Low, High          []float64 // nil without
	Limit              float64   // 0 without
	Bars               bool
}

// MonthMark is where a month begins, in weeks from the start.
type MonthMark struct {
	Week  float64
	Label string
}

// NewYear draws strips on a phone's width; from and weeks tell where each step
// begins and how long it is.
func NewYear(strips []YearLine, from, weeks []float64, months []MonthMark) Year {
	const left, right, top, high, gap = 4.0, 356.0, 6.0, 46.0, 30.0
	end := 1.0
	if n := len(from); n > 0 {
		end = from[n-1] + weeks[n-1]
	}
	x := scale{0, end, left, right}
	out := Year{}
	y0 := top
	for _, s := range strips {
		y0 += gap
		floor := y0 + high
		most := s.Limit
		for i, v := range s.Values {
			most = max(most, v)
			if s.High != nil {
				most = max(most, s.High[i])
			}
		}
		if most <= 0 {
			most = 1
		}
		y := scale{0, most * 1.05, floor, y0}
		strip := YearStrip{Title: s.Title, Note: s.Note, TitleX: coordinate(left), NoteX: coordinate(right), TitleY: coordinate(y0 - 7), Class: s.Class,
			Base: "M" + coordinate(left) + " " + coordinate(floor) + "H" + coordinate(right)}
		if s.Limit > 0 {
			strip.Limit = "M" + coordinate(left) + " " + coordinate(y.at(s.Limit)) + "H" + coordinate(right)
		}
		if s.Bars {
			for i, v := range s.Values {
				if v <= 0 {
					continue
				}
				a, b := x.at(from[i]), x.at(from[i]+weeks[i])
				strip.Area += "M" + coordinate(a+0.5) + " " + coordinate(floor) + "V" + coordinate(y.at(v)) + "H" + coordinate(b-0.5) + "V" + coordinate(floor) + "Z"
			}
		} else {
			var p, low, up []Point
			for i, v := range s.Values {
				at := x.at(from[i] + weeks[i])
				if i == 0 {
					p = append(p, Point{left, y.at(v)})
				}
				p = append(p, Point{at, y.at(v)})
				if s.High != nil {
					low, up = append(low, Point{at, y.at(s.Low[i])}), append(up, Point{at, y.at(s.High[i])})
				}
			}
			if len(p) > 0 {
				strip.Line = line(p)
				strip.Area = strip.Line + "V" + coordinate(floor) + "H" + coordinate(left) + "Z"
			}
			strip.Band = band(low, up)
		}
		out.Strips = append(out.Strips, strip)
		y0 = floor
	}
	for _, m := range months {
		at := x.at(m.Week)
		out.Grid += "M" + coordinate(at) + " " + coordinate(top+gap-4) + "V" + coordinate(y0)
		out.Months = append(out.Months, Mark{X: coordinate(at + 2), Y: coordinate(y0 + 16), Label: m.Label})
	}
	out.ViewBox = "0 0 360 " + coordinate(y0+24)
	return out
}
