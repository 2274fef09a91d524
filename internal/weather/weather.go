// Package weather gives the outside air of a farm, from whatever the farm has:
// its own record as a file, lows and highs typed now and then, an outlook of
// some days, twelve monthly lows and highs; and where there is nothing, the
// normals of the nearest record. Every answer says which serves on which day.
//
// The nearest record is, for now, always Seattle: the daily record of 2012 to
// 2015 and the hourly normals of the National Oceanic and Atmospheric
// Administration, as redistributed in the npm package vega-datasets 2.11.0
// (BSD-3-Clause). They were converted by gen. The package names no units;
// degrees Celsius and millimetres are as recalled and agree with the climate of
// the place.
package weather

import (
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"wormyard/climate"
)

//go:embed data
var files embed.FS

// Citation names the source of the embedded record.
const Citation = "NOAA, Seattle daily record 2012 to 2015 and hourly normals, as redistributed in vega-datasets 2.11.0 (BSD-3-Clause)"

// SeattleDaily is the word for the daily record in a site or a bed's place.
const SeattleDaily = "seattle-daily"

// SeattlePlace is where the record was kept. Standard time; solar noon at
// 122.3 degrees west lies 9 minutes after twelve.
var SeattlePlace = climate.Place{LatitudeDeg: 47.4, SolarNoonH: 12.15, ClockH: -8}

var seattle = sync.OnceValues(func() (record, error) { return read() })

type record struct {
	days    []climate.Day
	normals [365][24]float64
}

func read() (record, error) {
	var r record
	rows, err := rowsOf("seattle_daily.csv")
	if err != nil {
		return r, err
	}
	for _, row := range rows {
		number, err := parseDay(row[0])
		if err != nil {
			return r, err
		}
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i+1], 64); err != nil {
				return r, err
			}
		}
		r.days = append(r.days, climate.Day{Day: number, LowC: v[0], HighC: v[1], RainMM: v[2], DewC: math.NaN(), Origin: climate.Measured})
	}
	rows, err = rowsOf("seattle_normals.csv")
	if err != nil {
		return r, err
	}
	if len(rows) != 365 {
		return r, fmt.Errorf("the normals have %d days, not 365", len(rows))
	}
	for i, row := range rows {
		for h := range 24 {
			if r.normals[i][h], err = strconv.ParseFloat(row[h+1], 64); err != nil {
				return r, err
			}
		}
	}
	return r, nil
}

func rowsOf(name string) ([][]string, error) {
	data, err := files.ReadFile("data/" + name)
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return rows[1:], nil
}

func parseDay(s string) (int64, error) {
	var y, m, d int
	if n, err := fmt.Sscanf(s, "%d-%d-%d", &y, &m, &d); n != 3 || err != nil {
		return 0, fmt.Errorf("%q is not a date such as 2026-03-01", s)
	}
	number := climate.DayNumber(y, m, d)
	if yy, mm, dd := climate.Civil(number); yy != y || mm != m || dd != d {
		return 0, fmt.Errorf("%q is not in the calendar", s)
	}
	return number, nil
}

// Daily gives the daily record, moved on by a number of years that is a
// multiple of four, so that leap days stay in place.
func Daily(years int) ([]climate.Day, error) {
	if years%4 != 0 {
		return nil, fmt.Errorf("the record can be moved by 4, 8, 12 ... years, not by %d", years)
	}
	r, err := seattle()
	if err != nil {
		return nil, err
	}
	days := slices.Clone(r.days)
	for i := range days {
		y, m, d := climate.Civil(days[i].Day)
		days[i].Day = climate.DayNumber(y+years, m, d)
	}
	return days, nil
}

// Normals gives the usual lows and highs of days from up to but not including
// to: the coldest and warmest of each day's hourly normals. Over 2012 to 2015
// the record's lows lie 0.1 C below these, its highs 1.9 C above.
func Normals(from, to int64) ([]climate.Day, error) {
	r, err := seattle()
	if err != nil {
		return nil, err
	}
	var out []climate.Day
	for d := from; d < to; d++ {
		hours := r.normals[yearDay(d)]
		out = append(out, climate.Day{Day: d, LowC: slices.Min(hours[:]), HighC: slices.Max(hours[:]), DewC: math.NaN(), RainMM: math.NaN(), Origin: climate.Normal})
	}
	return out, nil
}

// yearDay gives the row of the normals; 29 February takes that of the 28th.
func yearDay(day int64) int {
	_, m, d := climate.Civil(day)
	if m == 2 && d == 29 {
		d = 28
	}
	return int(climate.DayNumber(2010, m, d) - climate.DayNumber(2010, 1, 1))
}

// Years gives the multiple of four by which the daily record must be moved to
// hold a day.
func Years(day int64) int {
	y, _, _ := climate.Civil(day)
	n := (y - 2012) / 4 * 4
	if y < 2012 && (y-2012)%4 != 0 {
		n -= 4
	}
	return n
}
