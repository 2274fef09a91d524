// Package proof scores the twins on farms whose truth is known. A farm is a
// journal, as its people would have written it, and the answers, which nobody on
// it knows. The twins see the journal as it was recorded by each day, the air as
// it was known then, and nothing else; what they say of the days after it is held
// against the answers, beside two plain forecasts that see the same readings.
//
// The farms are of two sorts: identical twins (Same), whose truth is our own bed
// with numbers of nature and habits that no member has, and those of bench/fraternal,
// whose truth follows other laws; or whatever is read from a pair of files. A miss
// is reported as a miss.
package proof

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"time"

	"wormyard/climate"
	"wormyard/journal"
)

// Farm is a farm whose truth is known.
type Farm struct {
	Name    string
	Seed    uint64
	Entries []journal.Entry            // in the order of Recorded
	Answers map[string]map[int64]Truth // by bin and hour since 1970-01-01T00Z, whole days
	Barn    climate.Series             // the air of its barn as it truly was; empty where nobody can say
}

// Truth is what was true in a bin at an hour.
type Truth struct {
	MidC   float64 // halfway between the surface and the floor of the bed [C]
	Water  float64 // of the whole bed, of wet
	FeedKg float64 // feed not yet worked or rotted [kg dry]
	WormKg float64 // live [kg]
}

// WriteJournal writes entries one a line, with when they were recorded.
func WriteJournal(w io.Writer, entries []journal.Entry) error {
	out := bufio.NewWriter(w)
	for i := range entries {
		data, err := json.Marshal(entries[i])
		if err != nil {
			return err
		}
		out.Write(data)
		out.WriteByte('\n')
	}
	return out.Flush()
}

// ReadJournal reads what WriteJournal wrote.
func ReadJournal(r io.Reader) ([]journal.Entry, error) {
	var out []journal.Entry
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 1<<22)
	for lines.Scan() {
		e, ps := journal.ReadEntry(lines.Bytes())
		if len(ps) > 0 {
			return nil, fmt.Errorf("line %d: %s", len(out)+1, ps[0].Say)
		}
		var when struct{ Recorded time.Time }
		if err := json.Unmarshal(lines.Bytes(), &when); err != nil {
			return nil, err
		}
		e.Recorded = when.Recorded
		out = append(out, *e)
	}
	slices.SortStableFunc(out, func(a, b journal.Entry) int { return a.Recorded.Compare(b.Recorded) })
	return out, lines.Err()
}

var answerColumns = []string{"bin", "hour", "mid_c", "water_frac_wet", "feed_left_kg_dry", "worms_kg"}

// WriteAnswers writes the truth as a table, one row a bin and day.
func WriteAnswers(w io.Writer, answers map[string]map[int64]Truth) error {
	out := csv.NewWriter(w)
	out.Write(answerColumns)
	for _, bin := range sorted(answers) {
		for _, hour := range sorted(answers[bin]) {
			t := answers[bin][hour]
			row := []string{bin, strconv.FormatInt(hour, 10)}
			for _, v := range []float64{t.MidC, t.Water, t.FeedKg, t.WormKg} {
				row = append(row, strconv.FormatFloat(v, 'g', 6, 64))
			}
			out.Write(row)
		}
	}
	out.Flush()
	return out.Error()
}

// ReadAnswers reads what WriteAnswers wrote.
func ReadAnswers(r io.Reader) (map[string]map[int64]Truth, error) {
	rows, err := csv.NewReader(r).ReadAll()
	if err != nil {
		return nil, err
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("there are no answers")
	}
	var at []int
	for _, name := range answerColumns {
		i := slices.Index(rows[0], name)
		if i < 0 {
			return nil, fmt.Errorf("the answers have no column %s", name)
		}
		at = append(at, i)
	}
	out := map[string]map[int64]Truth{}
	for _, row := range rows[1:] {
		bin := row[at[0]]
		hour, err := strconv.ParseInt(row[at[1]], 10, 64)
		if err != nil {
			return nil, err
		}
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[at[i+2]], 64); err != nil {
				return nil, err
			}
		}
		if out[bin] == nil {
			out[bin] = map[int64]Truth{}
		}
		out[bin][hour] = Truth{v[0], v[1], v[2], v[3]}
	}
	return out, nil
}
