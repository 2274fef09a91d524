package app

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"wormyard/farm"
	"wormyard/internal/label"
	"wormyard/journal"
)

// What the columns of a sheet mean is kept under the mark of its header row, in one
// way for results of a laboratory, for demand and for orders (docs/adr/0066, 0069,
// 0075).

// The beginnings of settings that hold what the columns of a sheet mean.
const (
	keyLabMap    = farm.KeyLabSheet
	keyDemandMap = farm.KeyDemandSheet
	keyOrderMap  = farm.KeyOrderSheet
)

// sheetMap says what the columns of a sheet mean.
type sheetMap interface {
	amiss() []Problem // what in it does not hold together
}

// markOf names the header row of a sheet; key is the beginning of its setting.
func markOf(key string, header []string) string {
	var plain []string
	for _, h := range header {
		if h = labWord(h); h != "" {
			plain = append(plain, h)
		}
	}
	return label.Short(strings.TrimSuffix(key, "/") + " " + strings.Join(plain, "\n"))
}

// remembered gives what the columns of such a sheet mean, where it is kept.
func remembered[M sheetMap](s *farm.State, key, mark string) (M, bool) {
	text := s.Settings.Other[key+mark]
	var m M
	return m, text != "" && json.Unmarshal([]byte(text), &m) == nil && len(m.amiss()) == 0
}

// toRemember gives the setting that keeps what the columns of such a sheet mean; false
// where it is kept already.
func toRemember(s *farm.State, key, mark string, m sheetMap) (*journal.Setting, bool, error) {
	raw, err := journal.Encode(m)
	if err != nil {
		return nil, false, err
	}
	return &journal.Setting{Key: key + mark, Value: raw}, s.Settings.Other[key+mark] != string(raw), nil
}

// columnsAmiss tells of which columns it is said what no column is.
func columnsAmiss(columns map[string]string, may []string) (ps []Problem) {
	for _, header := range sortedNames(columns) {
		if !slices.Contains(may, columns[header]) {
			ps = append(ps, Problem{Field: "columns", Column: header, Say: fmt.Sprintf("The column %q is said to be %q, which no column is.", header, columns[header]), Try: "Use one of " + strings.Join(may, ", ") + "."})
		}
	}
	return ps
}
