package draw

import (
	"math"
)

// Times is several quantities and what was done, over one axis of time.
type Times struct {
	ViewBox string
	Panels  []Plot
	Lanes   []Lane
	Marks   []Mark
	Today   string
	TodayAt Mark
	Base    string

	Chart Chart
}

// Plot is one quantity of it.
type Plot struct {
	Fan
	Shift, Class, Title, TitleX, TitleY, TodayIn string
}

// Lane is one kind of act, on a line of its own under the quantities.
type Lane struct {
	Label, LabelX, LabelY, Class string
	Events                       []Event // X and Y of the middle of the shape
	Shape                        string
}

// Chart is the same in numbers, for a script that draws it. Lengths are those
// of the drawing, times are days from now.
type Chart struct {
	Width  float64      `json:"width"`
	Height float64      `json:"height"`
	Left   float64      `json:"left"`
	Right  float64      `json:"right"`
	Foot   float64      `json:"foot"` // where the last plot ends
	From   float64      `json:"from"`
	To     float64      `json:"to"`
	Days   []float64    `json:"days"`
	Said   []string     `json:"said"` // of each day, in words
	Panels []ChartPanel `json:"panels"`
	Lanes  []ChartLane  `json:"lanes"`
	Marks  []TimeMark   `json:"marks"`
	Today  string       `json:"today"`
}

// ChartPanel is one quantity of a Chart.
type ChartPanel struct {
	Class    string         `json:"class"`
	Title    string         `json:"title"`
	Top      float64        `json:"top"`
	Bottom   float64        `json:"bottom"`
	Low      float64        `json:"low"`
	High     float64        `json:"high"`
	Bands    [][]float64    `json:"bands"` // 5, 25, 50, 75 and 95 %; without 25 and 75 the second and fourth are empty
	Grid     []Grade        `json:"grid"`
	Limits   []ChartLimit   `json:"limits"`
	Readings []ChartReading `json:"readings"`
}

// ChartLimit is a limit with the side on which its words stand.
type ChartLimit struct {
	ValueLimit
	End bool `json:"end"`
}

// ChartReading is a reading by day, value and how far it may be off.
type ChartReading [3]float64

// ChartLane is a kind of act.
type ChartLane struct {
	Class string    `json:"class"`
	Shape string    `json:"shape"`
	Say   string    `json:"say"`
	Words float64   `json:"words"` // foot of its word
	At    float64   `json:"at"`    // middle of its shapes
	Days  []float64 `json:"days"`
}

// TimePanel is a quantity with its title and class.
type TimePanel struct {
	Series
	Title, Class string
}

// TimeLane is a kind of act with its word.
type TimeLane struct {
	Label, Class string
	Events       []TimeEvent
}

// Shapes of acts, about the middle of each: none is told by its colour alone.
var shapes = map[string]string{
	"fed":     "M-6.5 5L0-6L6.5 5Z",
	"watered": "M0-7C5-1 5 6 0 6C-5 6-5-1 0-7Z",
	"looked":  "M-7 0L0-6L7 0L0 6Z",
	"turned":  "M-6-6L6 6M6-6L-6 6",
	"other":   "M-5-5H5V5H-5Z",
}

const (
	laneHeight = 32.0
	panelFoot  = 8.0
)

// NewTimes draws quantities one under the other and acts below them. Said has a
// sentence for each day of the first quantity.
func NewTimes(panels []TimePanel, lanes []TimeLane, marks []TimeMark, today string, said []string) Times {
	var t Times
	c := &t.Chart
	c.Width, c.Left, c.Right, c.Today, c.Said, c.Marks = 360, plotLeft, plotRight, today, said, []TimeMark{}
	top := 0.0
	for i := range panels {
		p := &panels[i]
		p.Foot, p.TodayLabel, p.Marks = panelFoot, "", nil
		f := newFan(&p.Series)
		t.Panels = append(t.Panels, Plot{Fan: f, Shift: "translate(0 " + coordinate(top) + ")", Class: p.Class, Title: p.Title, TitleX: coordinate(plotLeft), TitleY: "13"})
		x := ChartPanel{Class: p.Class, Title: p.Title, Top: top + plotTop, Bottom: top + p.Height - panelFoot, Low: p.low, High: p.high, Grid: p.steps, Bands: [][]float64{p.Low, p.LowMid, p.Mid, p.HighMid, p.High}}
		for b := range x.Bands {
			x.Bands[b] = tenths(x.Bands[b])
		}
		if x.Grid == nil {
			x.Grid = []Grade{}
		}
		x.Limits, x.Readings = []ChartLimit{}, []ChartReading{}
		for _, l := range p.Limits {
			if l.Value >= p.low && l.Value <= p.high {
				x.Limits = append(x.Limits, ChartLimit{l, p.nearer(l.Value)})
			}
		}
		for _, r := range p.Readings {
			x.Readings = append(x.Readings, ChartReading{hundredth(r.Day), hundredth(r.Value), hundredth(r.Off)})
		}
		c.Panels = append(c.Panels, x)
		top += p.Height
	}
	first, last := 0.0, 1.0
	if len(panels) > 0 && len(panels[0].Days) > 0 {
		d := panels[0].Days
		first, last = math.Min(panels[0].From, d[0]), d[len(d)-1]
		c.Days = make([]float64, len(d))
		for i := range d {
			c.Days[i] = hundredth(d[i])
		}
	}
	c.From, c.To, c.Foot = hundredth(first), hundredth(last), top-panelFoot
	x := scale{first, last, plotLeft, plotRight}
	c.Lanes = []ChartLane{}
	for _, l := range lanes {
		if len(l.Events) == 0 {
			continue
		}
		drawn := Lane{Label: l.Label, Class: l.Class, Shape: shapes[l.Class], LabelX: coordinate(plotLeft), LabelY: coordinate(top + 11)}
		lane := ChartLane{Class: l.Class, Shape: shapes[l.Class], Say: l.Label, Words: top + 11, At: top + 22}
		for _, e := range l.Events {
			if e.Day < first || e.Day > last {
				continue
			}
			drawn.Events = append(drawn.Events, Event{X: coordinate(x.at(e.Day)), Y: coordinate(top + 22), Label: e.Label})
			lane.Days = append(lane.Days, hundredth(e.Day))
		}
		t.Lanes, c.Lanes = append(t.Lanes, drawn), append(c.Lanes, lane)
		top += laneHeight
	}
	if today != "" && first < 0 && last > 0 {
		for i := range t.Panels { // under the words of each, from the top of the drawing on
			from := 0.0
			if i == 0 {
				from = plotTop - 6
			}
			t.Panels[i].TodayIn = line([]Point{{x.at(0), from}, {x.at(0), panels[i].Height}})
		}
		t.Today = line([]Point{{x.at(0), c.Foot + panelFoot}, {x.at(0), top}})
		t.TodayAt = Mark{X: coordinate(x.at(0)), Y: coordinate(plotTop - 9), Label: today}
	}
	t.Base = line([]Point{{plotLeft, top}, {plotRight, top}})
	height := top + 24
	for _, m := range marks {
		if m.Day < first || m.Day > last {
			continue
		}
		t.Marks = append(t.Marks, Mark{X: coordinate(math.Min(x.at(m.Day), plotRight-21)), Y: coordinate(height - 7), Label: m.Label})
		c.Marks = append(c.Marks, TimeMark{hundredth(m.Day), m.Label})
	}
	c.Height, t.ViewBox = height, "0 0 360 "+coordinate(height)
	return t
}

func hundredth(v float64) float64 { return math.Round(v*100) / 100 }

func tenths(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = math.Round(v[i]*10) / 10
	}
	return out
}
