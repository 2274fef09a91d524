// Command gen turns the two Seattle weather files of the npm package
// vega-datasets 2.11.0 into the data that package weather embeds. Run once:
//
//	npm pack vega-datasets@2.11.0 && tar xzf vega-datasets-2.11.0.tgz
//	go run ./internal/weather/gen package/data
//
// It refuses files whose SHA-256 is not the one written here.
package main

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

const into = "internal/weather/data"

var sums = map[string]string{
	"seattle-weather.csv":                "0845078a290b48e3149ab8639966824110a251db4e06fc144c06ebb534af23be",
	"seattle-weather-hourly-normals.csv": "3433511ab963755ec1a573420af962e713e66691c07c068f5a247e6891912311",
}

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: go run ./internal/weather/gen FOLDER (the data folder of the unpacked package)")
		os.Exit(2)
	}
	if err := convert(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func convert(folder string) error {
	daily, err := table(folder, "seattle-weather.csv")
	if err != nil {
		return err
	}
	var b strings.Builder
	b.WriteString("date,low_c,high_c,rain_mm\n")
	for _, r := range daily {
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", r["date"], r["temp_min"], r["temp_max"], r["precipitation"])
	}
	if err := os.WriteFile(filepath.Join(into, "seattle_daily.csv"), []byte(b.String()), 0o644); err != nil {
		return err
	}
	normals, err := table(folder, "seattle-weather-hourly-normals.csv")
	if err != nil {
		return err
	}
	hours := make([]string, 365*24)
	for _, r := range normals {
		at, err := time.Parse("2006-01-02T15:04:05", r["date"])
		if err != nil {
			return err
		}
		hours[(at.YearDay()-1)*24+at.Hour()] = r["temperature"]
	}
	if hours[0] != "" {
		return fmt.Errorf("the first hour of January was thought to be missing and is not")
	}
	after, err := strconv.ParseFloat(hours[1], 64)
	if err != nil {
		return err
	}
	before, err := strconv.ParseFloat(hours[len(hours)-1], 64)
	if err != nil {
		return err
	}
	hours[0] = strconv.FormatFloat((after+before)/2, 'f', 2, 64) // between its neighbours
	b.Reset()
	b.WriteString("day_of_year")
	for h := range 24 {
		fmt.Fprintf(&b, ",h%02d", h)
	}
	b.WriteString("\n")
	for d := range 365 {
		row := hours[d*24 : d*24+24]
		for h, v := range row {
			if v == "" {
				return fmt.Errorf("day %d lacks hour %d", d+1, h)
			}
		}
		fmt.Fprintf(&b, "%d,%s\n", d+1, strings.Join(row, ","))
	}
	return os.WriteFile(filepath.Join(into, "seattle_normals.csv"), []byte(b.String()), 0o644)
}

func table(folder, name string) ([]map[string]string, error) {
	data, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		return nil, err
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != sums[name] {
		return nil, fmt.Errorf("%s is not the file that was converted: its SHA-256 differs", name)
	}
	rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, v := range r {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out, nil
}
