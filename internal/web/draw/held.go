package draw

// Shares is how many readings their ranges held, so far ahead a row.
type Shares struct {
	Rows                  []Share
	Whole, Half           float64 // what the ranges should hold, 0 to 1
	WholeLabel, HalfLabel string
	None, All             string // labels of the ends
}

// Share is one row of it.
type Share struct {
	Label       string
	Whole, Half float64 // held, 0 to 1
}

// Held is drawn shares.
type Held struct {
	ViewBox string
	Rows    []HeldRow
	Limits  []HeldLimit
	Base    string // path
	Ends    []Mark
}

// HeldRow is one bar in another.
type HeldRow struct {
	Label, LabelX, LabelY, Whole, Half string // Whole and Half are paths
}

// HeldLimit is an upright line with its label.
type HeldLimit struct {
	Path string
	Mark
}

// NewHeld draws shares on a phone's width: for each row a bar for the whole range
// with that of the inner one in it, against what both should reach.
func NewHeld(s Shares) Held {
	const left, right, top, each, thick, thin = 12.0, 348.0, 26.0, 44.0, 20.0, 10.0
	bottom := top + each*float64(len(s.Rows))
	x := scale{0, 1, left, right}
	bar := func(to, y, high float64) string {
		return "M" + coordinate(left) + " " + coordinate(y) + "H" + coordinate(x.at(to)) + "V" + coordinate(y+high) + "H" + coordinate(left) + "Z"
	}
	h := Held{ViewBox: "0 0 360 " + coordinate(bottom+22), Base: "M" + coordinate(left) + " " + coordinate(bottom) + "H" + coordinate(right)}
	for i, r := range s.Rows {
		y := top + each*float64(i)
		h.Rows = append(h.Rows, HeldRow{r.Label, coordinate(left), coordinate(y + 14), bar(r.Whole, y+19, thick), bar(r.Half, y+19+(thick-thin)/2, thin)})
	}
	for _, l := range []struct {
		at    float64
		label string
	}{{s.Half, s.HalfLabel}, {s.Whole, s.WholeLabel}} {
		at := coordinate(x.at(l.at))
		h.Limits = append(h.Limits, HeldLimit{"M" + at + " " + coordinate(top) + "V" + coordinate(bottom), Mark{X: at, Y: coordinate(top - 8), Label: l.label}})
	}
	h.Ends = []Mark{{X: coordinate(left), Y: coordinate(bottom + 17), Label: s.None}, {X: coordinate(right), Y: coordinate(bottom + 17), Label: s.All}}
	return h
}
