package app

import (
	"cmp"
	"context"
	"encoding/json"
	"math"
	"slices"
	"time"

	"wormyard/barn"
	"wormyard/twin"
)

// Trust is how far the forecasts of a farm could be trusted so far.
type Trust struct {
	Readings int         `json:"readings"` // that were held against a forecast and count
	Forecast int         `json:"forecasts"`
	From     time.Time   `json:"from"` // of the readings
	To       time.Time   `json:"to"`
	Left     int         `json:"left"` // readings still to be held against one
	Lines    []TrustLine `json:"lines"`
	Limit    *TrustLimit `json:"limit,omitempty"` // what most limits them; nil where too little was read to say
	Helps    []BinHelp   `json:"helps"`           // what would help most, the most first
}

// TrustLimit is what most limits the forecasts.
type TrustLimit struct {
	Cause  string    `json:"cause"`
	Kind   twin.Kind `json:"kind"`
	Days   int       `json:"horizon_days"`
	Higher float64   `json:"higher"` // mean of the readings less the middle of their ranges
	In90   float64   `json:"in_90"`
}

// The causes of a limit.
const (
	LimitOff    = "off"    // readings lie to one side
	LimitNarrow = "narrow" // ranges hold too few
	LimitNow    = "now"    // what the bed is like today is known too little
	LimitAhead  = "ahead"  // what is to come is
)

// TrustLine is how forecasts of one kind of reading did, so many days ahead. Of worms
// differences are of the natural log.
type TrustLine struct {
	Kind   twin.Kind `json:"kind"`
	Days   int       `json:"horizon_days"`
	N      int       `json:"n"`
	Bins   int       `json:"bins"`
	In50   float64   `json:"in_50"`  // share that the inner range held; half of them should be
	In90   float64   `json:"in_90"`  // share that the whole range held; nine tenths should be
	Off    float64   `json:"off"`    // mean of how far the reading lay from the middle of its range
	Higher float64   `json:"higher"` // mean of the reading less the middle
	SD     float64   `json:"sd"`     // mean error of the readings themselves
	Wide   float64   `json:"wide"`   // mean width of the whole range
	CRPS   float64   `json:"crps"`
	Parts  []float64 `json:"parts"` // share of the readings in each fifth of what was expected; a fifth each is right

	Last   *Against `json:"last,omitempty"`   // nil where no forecast of the sort could be made
	Season *Against `json:"season,omitempty"` // likewise
}

// Against is the twins held against a plain forecast, of the readings of which both
// had one.
type Against struct {
	N     int     `json:"n"`
	CRPS  float64 `json:"crps"`  // of the twins
	Plain float64 `json:"plain"` // of the plain forecast
}

// Less gives how much less the twins are off, as a share.
func (a *Against) Less() float64 {
	if !(a.Plain > 0) {
		return 0
	}
	return 1 - a.CRPS/a.Plain
}

// Trust adds up the scores of what still counts: a struck reading is left out, its
// scores stay.
func (t *Twins) Trust(ctx context.Context) (*Trust, error) {
	out := &Trust{Lines: []TrustLine{}, Helps: []BinHelp{}}
	if t.Scores == nil {
		return out, nil
	}
	all, err := t.Scores.Scores(ctx)
	if err != nil {
		return nil, err
	}
	s := t.App.State()
	counts := map[string]bool{}
	all = slices.DeleteFunc(all, func(x twin.Score) bool {
		in, seen := counts[x.Entry]
		if !seen {
			_, is, found := s.Entry(x.Entry)
			in = is && found
			counts[x.Entry] = in
		}
		return !in
	})
	for _, in := range counts {
		if in {
			out.Readings++
		}
	}
	out.Forecast = len(all)
	if len(all) > 0 {
		out.From, out.To = time.Unix(all[0].Hour*3600, 0).UTC(), time.Unix(all[len(all)-1].Hour*3600, 0).UTC()
	}
	out.Lines = trustLines(all)
	out.Limit = limitOf(out.Lines)
	data, _, ok, err := t.Kept.Result(ctx, scoresLeft, "farm")
	if err == nil && ok {
		err = json.Unmarshal(data, &out.Left)
	}
	if err != nil {
		return nil, err
	}
	return out, t.helps(ctx, out)
}

// kinds is the order in which kinds of reading are told.
var kinds = []twin.Kind{twin.Temperature, twin.Moisture, twin.Height, twin.Weighed, twin.WormsKg, twin.WormsNumber}

// trustLines adds up scores by kind and horizon.
func trustLines(all []twin.Score) []TrustLine {
	type key struct {
		kind twin.Kind
		days int
	}
	by := map[key][]twin.Score{}
	for _, x := range all {
		k := key{x.Kind, x.Days}
		by[k] = append(by[k], x)
	}
	out := make([]TrustLine, 0, len(by))
	for k, list := range by {
		out = append(out, trustLine(k.kind, k.days, list))
	}
	slices.SortFunc(out, func(a, b TrustLine) int {
		return cmp.Or(cmp.Compare(slices.Index(kinds, a.Kind), slices.Index(kinds, b.Kind)), cmp.Compare(a.Days, b.Days))
	})
	return out
}

func trustLine(kind twin.Kind, days int, list []twin.Score) TrustLine {
	l := TrustLine{Kind: kind, Days: days, N: len(list)}
	bins := map[string]bool{}
	var below []float64
	n := float64(len(list))
	for i := range list {
		x := &list[i]
		bins[x.Bin] = true
		below = append(below, x.Below)
		l.Off += math.Abs(x.Told-x.Mid) / n
		l.Higher += (x.Told - x.Mid) / n
		l.SD += x.SD / n
		l.Wide += (x.High - x.Low) / n
		l.CRPS += x.CRPS / n
	}
	l.Bins = len(bins)
	l.In50, l.In90, l.Parts = twin.Within(below, 0.5), twin.Within(below, 0.9), twin.Parts(below, 5)
	l.Last = heldAgainst(list, func(x *twin.Score) float64 { return x.LastCRPS })
	l.Season = heldAgainst(list, func(x *twin.Score) float64 { return x.SeasonCRPS })
	return l
}

// EnoughRead is from how many readings on something is said of forecasts of a kind.
const EnoughRead = 20

// limitOf says what most limits the forecasts of the kind that was read most: a lean
// of more than half of the miss, ranges that hold less than 85 in 100, what is not
// known of today where a day ahead is off by most of what two weeks are, else what
// is to come. docs/model.md (T20).
func limitOf(lines []TrustLine) *TrustLimit {
	var week, day, far *TrustLine
	for i := range lines {
		if l := &lines[i]; l.Days == 7 && l.N >= EnoughRead && (week == nil || l.N > week.N) {
			week = l
		}
	}
	if week == nil {
		return nil
	}
	for i := range lines {
		if l := &lines[i]; l.Kind == week.Kind && l.N >= EnoughRead {
			switch l.Days {
			case 1:
				day = l
			case 14:
				far = l
			}
		}
	}
	out := &TrustLimit{LimitAhead, week.Kind, week.Days, week.Higher, week.In90}
	const lean, least, most = 0.5, 0.85, 0.7
	switch {
	case math.Abs(week.Higher) > lean*week.Off:
		out.Cause = LimitOff
	case week.In90 < least:
		out.Cause = LimitNarrow
	case day != nil && far != nil && day.CRPS >= most*far.CRPS:
		out.Cause = LimitNow
	}
	return out
}

func heldAgainst(list []twin.Score, plain func(*twin.Score) float64) *Against {
	var a Against
	for i := range list {
		if v := plain(&list[i]); !math.IsNaN(v) {
			a.N++
			a.CRPS += list[i].CRPS
			a.Plain += v
		}
	}
	if a.N == 0 {
		return nil
	}
	a.CRPS, a.Plain = a.CRPS/float64(a.N), a.Plain/float64(a.N)
	return &a
}

// BinHelp is what would tell most of one bin, for each minute that it takes.
type BinHelp struct {
	Bin string `json:"bin"`
	twin.Help
}

// mostHelps is how many bins are named.
const mostHelps = 8

// helps puts down in which bins a measurement would help most, as their outlooks
// have it, the most first.
func (t *Twins) helps(ctx context.Context, out *Trust) error {
	for _, b := range t.App.State().Living() {
		v, err := t.Outlook(ctx, b.Name)
		if err != nil {
			return err
		}
		if v != nil && len(v.Helps) > 0 {
			out.Helps = append(out.Helps, BinHelp{b.Name, v.Helps[0]})
		}
	}
	slices.SortStableFunc(out.Helps, func(a, b BinHelp) int {
		return cmp.Or(cmp.Compare(b.PerMinute(), a.PerMinute()), barn.Natural(a.Bin, b.Bin))
	})
	out.Helps = out.Helps[:min(len(out.Helps), mostHelps)]
	return nil
}
