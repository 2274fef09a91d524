package fraternal

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"time"

	"wormyard/internal/ids"
	"wormyard/journal"
	"wormyard/qty"
)

// how a thing is written down.
type how struct {
	sure   bool // never left out, at the right time: what a farm cannot do without
	exact  bool // by a machine: time right, typed in the evening
	delays int  // days until it is typed
	now    bool // typed as it is done
}

// at gives a time of today, in minutes since midnight.
func (f *Farm) at(minutes int) time.Time {
	y, m, d := f.From.Date()
	return time.Date(y, m, d+f.Day, minutes/60, minutes%60, 0, 0, f.Zone)
}

// write has somebody write down what was done or seen at a time.
func (f *Farm) write(kind, who string, at time.Time, body any, h how) {
	if !h.sure && !h.exact {
		switch {
		case f.pen.chance(0.06): // hour wrong
			at = at.Add(time.Duration(f.pen.IntN(9)-4) * time.Hour)
		case f.pen.chance(0.04): // thought to be of the day after, and typed then
			at = at.AddDate(0, 0, 1)
			h.delays = 1
		}
		if f.pen.chance(0.12) {
			h.delays += 1 + f.pen.IntN(3)
		}
	}
	y, m, d := at.In(f.Zone).Date()
	typed := time.Date(y, m, d+h.delays, 17, 30, 0, 0, f.Zone)
	if h.now || h.sure && f.Day == 0 {
		typed = at
	}
	if typed.Before(at) {
		typed = at.Add(10 * time.Minute)
	}
	for _, x := range f.mutes {
		if f.Day >= x[0] && f.Day < x[1] && !h.exact {
			if !h.sure {
				return
			}
		}
	}
	f.serial++
	e := journal.Entry{ID: ids.FromContent(at, fmt.Appendf(nil, "%d %s %s", f.Seed, kind, f.Kind), f.serial), Kind: kind, At: at, Recorded: typed, Who: who, Device: "desk", Body: body}
	if h.exact {
		e.Device = "loggers"
	}
	if err := e.Seal(); err != nil {
		panic(err) // a body that is no body of its kind
	}
	f.waiting = append(f.waiting, e)
}

// Write has somebody of a policy's crew write something down at once.
func (f *Farm) Write(kind, who string, minutes int, body any) {
	f.write(kind, who, f.at(minutes), body, how{sure: true})
}

// Note has somebody write something down as people do: now and then at the wrong
// hour, on the wrong day, or late.
func (f *Farm) Note(kind, who string, minutes int, body any) {
	f.write(kind, who, f.at(minutes), body, how{})
}

// Late has somebody write down what was done on an earlier day.
func (f *Farm) Late(kind, who string, at time.Time, body any) {
	f.write(kind, who, at, body, how{sure: true, delays: int(f.at(720).Sub(at).Hours()/24 + 0.5)})
}

// type_ takes into the journal what is typed until the next morning.
func (f *Farm) type_() { f.typed(time.Unix((f.hour()+24)*3600, 0)) }

func (f *Farm) typed(until time.Time) {
	slices.SortStableFunc(f.waiting, func(a, b journal.Entry) int { return a.Recorded.Compare(b.Recorded) })
	n := 0
	for n < len(f.waiting) && f.waiting[n].Recorded.Before(until) {
		n++
	}
	f.entries = append(f.entries, f.waiting[:n]...)
	f.waiting = append([]journal.Entry(nil), f.waiting[n:]...)
}

func asJSON(v any) json.RawMessage {
	data, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return data
}

func ptr[T any](v T) *T { return &v }

// celsius gives a temperature as somebody types it: whole degrees Fahrenheit.
func celsius(c float64) *qty.Celsius {
	return ptr(qty.Celsius(math.Round((math.Round(c*9/5+32)-32)/9*5*1e6) / 1e6))
}

// inches gives a depth to the nearest of some inches.
func inches(m, by float64) float64 {
	return math.Round(max(by, math.Round(m/inch/by)*by)*inch*1e6) / 1e6
}

// pounds gives a mass to the nearest of some pounds.
func pounds(kg, by float64) float64 {
	const lb = 0.45359237
	return math.Round(max(by, math.Round(kg/lb/by)*by)*lb*1e4) / 1e4
}

// WriteJournal writes what was recorded, an entry a line with when it was.
func (f *Farm) WriteJournal(w io.Writer) error {
	out := bufio.NewWriter(w)
	for i := range f.entries {
		data, err := json.Marshal(f.entries[i])
		if err != nil {
			return err
		}
		out.Write(data)
		out.WriteByte('\n')
	}
	return out.Flush()
}

// WriteAnswers writes the truth as a table, a row a bin and day.
func (f *Farm) WriteAnswers(w io.Writer) error {
	return f.table(w, []string{"bin", "hour", "mid_c", "water_frac_wet", "feed_left_kg_dry", "worms_kg"},
		func(t Truth) []float64 { return []float64{t.MidC, t.WaterOfWet, t.FeedKg, t.WormKg} })
}

// WriteCastings writes the castings made as a table, a row a bin and day.
func (f *Farm) WriteCastings(w io.Writer) error {
	return f.table(w, []string{"bin", "hour", "castings_kg_dry"}, func(t Truth) []float64 { return []float64{t.MadeKg} })
}

func (f *Farm) table(w io.Writer, head []string, of func(Truth) []float64) error {
	out := csv.NewWriter(w)
	out.Write(head)
	for _, bin := range slices.Sorted(maps.Keys(f.answers)) {
		for _, hour := range slices.Sorted(maps.Keys(f.answers[bin])) {
			row := []string{bin, strconv.FormatInt(hour, 10)}
			for _, v := range of(f.answers[bin][hour]) {
				row = append(row, strconv.FormatFloat(v, 'g', 6, 64))
			}
			out.Write(row)
		}
	}
	out.Flush()
	return out.Error()
}
