package weather

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/climate"
	"wormyard/figure"
)

// Limits of what air on earth has been [C]; a number beyond is a slip.
const (
	coldest = -70
	hottest = 60
)

// gapHours is the longest gap in an hourly record that is drawn straight
// across.
const gapHours = 6

// MaxBytes is the largest weather file that is read [byte].
const MaxBytes = 64 << 20

// Record is a farm's own weather file: days, or hours with no gap longer than
// six hours (the longest run without one is kept; Notes says what was left out).
type Record struct {
	Days  []climate.Day
	Hours climate.Series
	Notes []string
}

// columns that a file may have, with the words people write for them.
var columns = map[string][]string{
	"day":        {"date", "day"},
	"time":       {"time", "datetime", "date_time", "timestamp", "date and time"},
	"low_c":      {"low", "min", "temp_min", "tmin", "low (c)", "minimum"},
	"high_c":     {"high", "max", "temp_max", "tmax", "high (c)", "maximum"},
	"low_f":      {"low (f)", "min_f", "tmin_f"},
	"high_f":     {"high (f)", "max_f", "tmax_f"},
	"rain_mm":    {"rain", "precipitation", "rain (mm)"},
	"rain_in":    {"rain (in)"},
	"dew_c":      {"dew_point_c", "dew point", "dew (c)"},
	"dew_f":      {"dew_point_f", "dew (f)"},
	"temp_c":     {"temp", "temperature", "temp (c)"},
	"temp_f":     {"temperature_f", "temp (f)"},
	"rh_frac":    {},
	"rh_percent": {"rh", "humidity", "rh (%)", "relative humidity", "rh_pct"},
}

// ReadRecord reads a CSV file of a farm's own weather with a header row: either
// days (day, low_c or low_f, high_c or high_f, and if there rain and dew point)
// or hours (time, temp_c or temp_f, and if there rh_frac or rh_percent). Commas,
// semicolons or tabs part the columns; a decimal comma is read where commas do
// not. Times without a zone are in the standard time of the place. The error is
// a *figure.Refusal with every problem by row and column.
func ReadRecord(r io.Reader, place climate.Place) (Record, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return Record{}, err
	}
	if len(data) > MaxBytes {
		return Record{}, figure.Refuse("file", fmt.Sprintf("The file is larger than %d MB.", MaxBytes>>20), "Give one year at a time.")
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	head, _, _ := strings.Cut(text, "\n")
	comma := ','
	for _, c := range []rune{';', '\t'} {
		if strings.Count(head, string(c)) > strings.Count(head, string(comma)) {
			comma = c
		}
	}
	in := csv.NewReader(strings.NewReader(text))
	in.Comma, in.FieldsPerRecord, in.TrimLeadingSpace, in.LazyQuotes = comma, -1, true, true
	var f file
	f.comma, f.place = comma, place
	if f.place == (climate.Place{}) {
		f.place = SeattlePlace
	}
	names, err := in.Read()
	if errors.Is(err, io.EOF) {
		return Record{}, figure.Refuse("file", "The file is empty.", "The first row names the columns: day, low_c, high_c; or time, temp_c, rh_percent.")
	}
	if err != nil {
		return Record{}, err
	}
	if !f.head(names) {
		return Record{}, &figure.Refusal{Problems: f.problems}
	}
	for row := 2; ; row++ {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			f.say(fmt.Sprintf("row %d", row), "This row cannot be read as columns.", "Look for a stray quotation mark.")
			continue
		}
		if strings.TrimSpace(strings.Join(cells, "")) != "" {
			f.row(row, cells)
		}
		if len(f.problems) > 200 {
			f.say("file", "There are more problems than these; reading stopped.", "Mend these first.")
			break
		}
	}
	if len(f.problems) > 0 {
		return Record{}, &figure.Refusal{Problems: f.problems}
	}
	return f.record(), nil
}

type file struct {
	comma    rune
	place    climate.Place
	at       map[string]int // column by its name
	hourly   bool
	days     map[int64]climate.Day
	hours    map[int64]climate.Hour
	rows     map[int64]int
	problems []figure.Problem
}

func (f *file) say(field, say, try string) {
	f.problems = append(f.problems, figure.Problem{Field: field, Say: say, Try: try})
}

func (f *file) head(names []string) bool {
	f.at, f.days, f.hours, f.rows = map[string]int{}, map[int64]climate.Day{}, map[int64]climate.Hour{}, map[int64]int{}
	for i, name := range names {
		word := strings.ToLower(strings.TrimSpace(name))
		for column, also := range columns {
			if word == column || slices.Contains(also, word) {
				if _, twice := f.at[column]; twice {
					f.say("row 1", fmt.Sprintf("Two columns say %s.", column), "Keep one.")
				}
				f.at[column] = i
			}
		}
	}
	has := func(names ...string) bool {
		return slices.ContainsFunc(names, func(n string) bool { _, ok := f.at[n]; return ok })
	}
	for _, pair := range [][2]string{{"low_c", "low_f"}, {"high_c", "high_f"}, {"temp_c", "temp_f"}, {"rh_frac", "rh_percent"}, {"dew_c", "dew_f"}, {"rain_mm", "rain_in"}} {
		if has(pair[0]) && has(pair[1]) {
			f.say("row 1", fmt.Sprintf("There are both %s and %s.", pair[0], pair[1]), "Keep one.")
		}
	}
	f.hourly = has("temp_c", "temp_f")
	switch {
	case f.hourly && !has("time"):
		f.say("row 1", "There is a temperature but no column named time.", "Name the column of date and hour: time.")
	case f.hourly:
	case !has("day"):
		f.say("row 1", "There is no column named day or time.", "The first row names the columns: day, low_c, high_c; or time, temp_c, rh_percent.")
	case !has("low_c", "low_f") || !has("high_c", "high_f"):
		f.say("row 1", "A day wants its low and its high.", "Name them low_c and high_c, or low_f and high_f.")
	}
	return len(f.problems) == 0
}

// cell gives a number; NaN for an empty cell.
func (f *file) cell(row int, cells []string, column string, low, high float64) float64 {
	i, ok := f.at[column]
	if !ok || i >= len(cells) || strings.TrimSpace(cells[i]) == "" {
		return math.NaN()
	}
	text := strings.TrimSpace(cells[i])
	if f.comma != ',' {
		text = strings.Replace(text, ",", ".", 1)
	}
	field := fmt.Sprintf("row %d %s", row, column)
	v, err := strconv.ParseFloat(strings.TrimSuffix(text, "%"), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		f.say(field, fmt.Sprintf("%q is not a number.", cells[i]), "Type a plain number, or leave the cell empty.")
		return math.NaN()
	}
	if v < low || v > high {
		f.say(field, fmt.Sprintf("%g is beyond %g to %g.", v, low, high), "Check the unit in the name of the column.")
		return math.NaN()
	}
	return v
}

func (f *file) temperature(row int, cells []string, name string) float64 {
	if v := f.cell(row, cells, name+"_c", coldest, hottest); !math.IsNaN(v) {
		return v
	}
	return (f.cell(row, cells, name+"_f", coldest*1.8+32, hottest*1.8+32) - 32) / 1.8
}

func (f *file) twice(row int, key int64, what string) bool {
	if first, ok := f.rows[key]; ok {
		f.say(fmt.Sprintf("row %d", row), fmt.Sprintf("This %s stands in row %d already.", what, first), "Keep one of the two.")
		return true
	}
	f.rows[key] = row
	return false
}

func (f *file) row(row int, cells []string) {
	text := func(column string) string {
		if i := f.at[column]; i < len(cells) {
			return strings.TrimSpace(cells[i])
		}
		return ""
	}
	if f.hourly {
		at, err := f.clock(text("time"))
		if err != nil {
			f.say(fmt.Sprintf("row %d time", row), err.Error()+".", "Write 2026-03-01 14:00.")
			return
		}
		t := f.temperature(row, cells, "temp")
		rh := f.cell(row, cells, "rh_frac", 0, 1)
		if math.IsNaN(rh) {
			rh = f.cell(row, cells, "rh_percent", 0, 100) / 100
		}
		if !math.IsNaN(t) && !f.twice(row, at, "hour") {
			f.hours[at] = climate.Hour{TempC: t, RH: rh}
		}
		return
	}
	day, err := parseDay(text("day"))
	if err != nil {
		f.say(fmt.Sprintf("row %d day", row), err.Error()+".", "Write 2026-03-01.")
		return
	}
	d := climate.Day{Day: day, LowC: f.temperature(row, cells, "low"), HighC: f.temperature(row, cells, "high"), DewC: f.temperature(row, cells, "dew"), Origin: climate.Measured}
	if d.RainMM = f.cell(row, cells, "rain_mm", 0, 2000); math.IsNaN(d.RainMM) {
		d.RainMM = f.cell(row, cells, "rain_in", 0, 80) * 25.4
	}
	if d.LowC > d.HighC {
		f.say(fmt.Sprintf("row %d", row), fmt.Sprintf("The low, %.1f C, is above the high, %.1f C.", d.LowC, d.HighC), "Check whether the two are exchanged.")
		return
	}
	if !f.twice(row, day, "day") {
		f.days[day] = d
	}
}

// clock gives the hour since 1970-01-01T00Z that a time lies nearest to.
func (f *file) clock(s string) (int64, error) {
	if t, err := time.Parse(time.RFC3339, s); err == nil {
		return t.Add(30*time.Minute).Unix() / 3600, nil
	}
	for _, layout := range []string{"2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t.Add(30*time.Minute).Unix()/3600 - f.place.ClockH, nil
		}
	}
	return 0, fmt.Errorf("%q is not a date and time", s)
}

func (f *file) record() Record {
	var r Record
	for _, d := range f.days {
		r.Days = append(r.Days, d)
	}
	slices.SortFunc(r.Days, func(a, b climate.Day) int { return int(a.Day - b.Day) })
	if !f.hourly {
		return r
	}
	var at []int64
	dry := 0
	for h, v := range f.hours {
		at = append(at, h)
		if math.IsNaN(v.RH) {
			dry++
		}
	}
	slices.Sort(at)
	if len(at) == 0 {
		return r
	}
	begin, end, from := 0, 0, 0
	for i := range at {
		if i > 0 && at[i]-at[i-1] > gapHours {
			from = i
		}
		if i-from > end-begin {
			begin, end = from, i
		}
	}
	if end-begin+1 < len(at) {
		r.Notes = append(r.Notes, fmt.Sprintf("The file has gaps longer than %d hours; of its %d hours the longest run, %d, is used.", gapHours, len(at), end-begin+1))
	}
	if dry > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("Humidity is missing in %d hours; it is taken from the coldest hour of the day before.", dry))
	}
	r.Hours.Start = at[begin]
	drawn := 0
	for i := begin; i <= end; i++ {
		v := f.hours[at[i]]
		if i > begin {
			a := f.hours[at[i-1]]
			gap := at[i] - at[i-1]
			for k := int64(1); k < gap; k++ {
				x := float64(k) / float64(gap)
				r.Hours.Hours = append(r.Hours.Hours, climate.Hour{TempC: a.TempC + x*(v.TempC-a.TempC), RH: a.RH + x*(v.RH-a.RH)})
				drawn++
			}
		}
		r.Hours.Hours = append(r.Hours.Hours, v)
	}
	if drawn > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d missing hours were drawn straight across.", drawn))
	}
	for i := range r.Hours.Hours {
		if h := &r.Hours.Hours[i]; math.IsNaN(h.RH) {
			low := h.TempC
			for _, o := range r.Hours.Hours[max(0, i-23) : i+1] {
				low = math.Min(low, o.TempC)
			}
			h.RH = climate.SaturationPa(low) / climate.SaturationPa(h.TempC)
		}
	}
	return r
}
