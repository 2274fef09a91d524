// Package published holds printed values that our numbers are checked against,
// one file a source in data/, and compares them.
//
// A file names its source and lists checks; a check has rows of inputs and
// printed outputs, a role and a tolerance with the reason for it. A check that
// names a figure is computed by that figure (RunFigures); any other is computed
// by a function named in package runners (Run). Both also feed
// docs/validation.md. Expected values come from print, from algebra or from an
// independent calculation, never from our own output. A row that we cannot meet
// stands under known_gap with what differs, what was tried and what would be
// next; a gap that has closed fails the test until it is moved back.
//
// One test a source, named TestPublished_Source. cases.json lists the numbered
// equations and worked cases with the checks that hold each (Cases).
package published

import (
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"

	"wormyard/figure"
	"wormyard/internal/contract"
)

//go:embed data
var files embed.FS

// File is one source with its checks.
type File struct {
	Name   string  `json:"-"`
	Source Source  `json:"source"`
	Checks []Check `json:"checks"`
	Gaps   []Gap   `json:"known_gap,omitempty"`
}

// Source says what was printed and how its text is known.
type Source struct {
	Title   string `json:"title"`
	Authors string `json:"authors,omitempty"`
	Year    int    `json:"year,omitempty"`
	Where   string `json:"where,omitempty" doc:"publisher, journal, number"`
	How     string `json:"how" choice:"found,memory,algebra,computed,practice" doc:"found: read by us; memory: as recalled; algebra: a closed form; computed: by an independent program; practice: common practice without a source"`
	Note    string `json:"note,omitempty"`
}

// Check is one table or case.
type Check struct {
	ID        string    `json:"id"`
	Figure    string    `json:"figure,omitempty" doc:"the figure that computes it"`
	What      string    `json:"what,omitempty" doc:"in words, when it is no figure"`
	Where     string    `json:"where,omitempty" doc:"table, page, equation"`
	Unit      string    `json:"unit,omitempty"`
	Role      string    `json:"role" choice:"check,calibration"`
	Tolerance Tolerance `json:"tolerance"`
	Rows      []Row     `json:"rows"`
}

// Tolerance is met when the difference is at most the larger of Abs and Rel
// times the printed value.
type Tolerance struct {
	Rel float64 `json:"rel" default:"0"`
	Abs float64 `json:"abs" default:"0"`
	Why string  `json:"why"`
}

// Row is one printed line. Outputs are numbers, words, true, false or null; a
// key of the outputs may be a path such as "times[0].mean_c". The output
// "refused" stands alone and holds words, or a list of words, that the refusal
// must say.
type Row struct {
	In        map[string]any `json:"in"`
	Out       map[string]any `json:"out"`
	Note      string         `json:"note,omitempty"`
	Tolerance *Tolerance     `json:"tolerance"`
}

// Gap is a row that we do not meet.
type Gap struct {
	Check   string `json:"check" doc:"id of the check that it belongs to"`
	Row     Row    `json:"row"`
	Differs string `json:"differs"`
	Tried   string `json:"tried"`
	Next    string `json:"next" doc:"what would be tried next"`
}

// Names gives the files, in order.
func Names() []string {
	all, err := fs.Glob(files, "data/*.json")
	if err != nil {
		panic(err) // the pattern is constant
	}
	var out []string
	for _, f := range all {
		out = append(out, strings.TrimSuffix(path.Base(f), ".json"))
	}
	return out
}

// Read gives one file by name, without ".json". The error lists everything that
// is wrong in it.
func Read(name string) (File, error) {
	data, err := files.ReadFile("data/" + name + ".json")
	if err != nil {
		return File{}, fmt.Errorf("no published values are kept under %q; near it: %s", name, strings.Join(contract.Nearest(name, Names()), ", "))
	}
	return decode(name, data)
}

func decode(name string, data []byte) (File, error) {
	f := File{Name: name}
	problems := contract.Decode(data, &f)
	add := func(field, say string) {
		problems = append(problems, figure.Problem{Field: field, Say: say, Try: "Mend the file."})
	}
	seen := map[string]bool{}
	for i, c := range f.Checks {
		at := fmt.Sprintf("checks[%d] %s", i, c.ID)
		if seen[c.ID] {
			add(at, "The id stands twice.")
		}
		seen[c.ID] = true
		if c.Figure == "" && c.What == "" {
			add(at, "Neither figure nor what is given.")
		}
		if c.Tolerance.Why == "" {
			add(at, "The tolerance has no reason.")
		}
		if len(c.Rows) == 0 && !slices.ContainsFunc(f.Gaps, func(g Gap) bool { return g.Check == c.ID }) {
			add(at, "There are no rows.")
		}
		for j, r := range c.Rows {
			if len(r.Out) == 0 {
				add(fmt.Sprintf("%s row %d", at, j), "Nothing is printed to compare with.")
			}
			if words, given := r.Out[refused]; given && (len(r.Out) > 1 || len(wordsOf(words)) == 0) {
				add(fmt.Sprintf("%s row %d", at, j), "A refusal needs the words it must say and no other output.")
			}
		}
	}
	for i, g := range f.Gaps {
		if !seen[g.Check] {
			add(fmt.Sprintf("known_gap[%d]", i), fmt.Sprintf("Check %q is not in this file.", g.Check))
		}
	}
	for i := range problems {
		problems[i].Field = name + ".json " + problems[i].Field
	}
	return f, contract.Refuse(problems)
}

// Check gives a check by its id.
func (f File) Check(id string) (Check, bool) {
	for _, c := range f.Checks {
		if c.ID == id {
			return c, true
		}
	}
	return Check{}, false
}

// Compute gives our outputs for the inputs of a row.
type Compute func(in map[string]any) (out map[string]any, err error)

// Numbers makes a Compute of a function of plain numbers; inputs that are no
// numbers are left out.
func Numbers(f func(in map[string]float64) map[string]float64) Compute {
	return func(in map[string]any) (map[string]any, error) {
		plain := map[string]float64{}
		for k, v := range in {
			if x, ok := v.(float64); ok {
				plain[k] = x
			}
		}
		out := map[string]any{}
		for k, v := range f(plain) {
			out[k] = v
		}
		return out, nil
	}
}

// ByFigure makes a Compute of a figure, through the same door as the command.
func ByFigure(f figure.Figure) Compute {
	return func(in map[string]any) (map[string]any, error) {
		data, err := json.Marshal(in)
		if err != nil {
			return nil, err
		}
		args := f.In()
		if err := contract.Refuse(contract.Decode(data, args)); err != nil {
			return nil, err
		}
		got, _, err := f.Run(args)
		if err != nil {
			return nil, err
		}
		data, err = json.Marshal(got)
		if err != nil {
			return nil, err
		}
		out := map[string]any{}
		return out, json.Unmarshal(data, &out)
	}
}

// Result is how near we came in one check.
type Result struct {
	Rows, Values int
	WorstRel     float64  // largest relative difference among printed numbers that are not 0
	WorstAbs     float64  // largest difference
	Misses       []string // rows outside the tolerance, in words
	Ours         []string // of every number that missed: our number beside the printed one
}

// Now says where a row that missed stands: our numbers beside the printed ones,
// or what else is amiss.
func (r Result) Now() []string {
	if len(r.Ours) > 0 {
		return r.Ours
	}
	return r.Misses
}

// Measure computes every row of c and compares it.
func Measure(c Check, compute Compute) Result {
	var r Result
	for i, row := range c.Rows {
		r.row(c, fmt.Sprintf("row %d", i), row, compute)
	}
	return r
}

func (r *Result) row(c Check, name string, row Row, compute Compute) {
	r.Rows++
	tolerance := c.Tolerance
	if row.Tolerance != nil {
		tolerance = *row.Tolerance
	}
	miss := func(format string, args ...any) {
		r.Misses = append(r.Misses, fmt.Sprintf("%s %s: ", c.ID, name)+fmt.Sprintf(format, args...))
	}
	out, err := compute(row.In)
	if words, ok := row.Out[refused]; ok {
		r.Values++
		r.Misses = append(r.Misses, unsaid(fmt.Sprintf("%s %s: %v", c.ID, name, given(row.In)), wordsOf(words), err)...)
		return
	}
	if err != nil {
		miss("%v: %v", given(row.In), err)
		return
	}
	names := make([]string, 0, len(row.Out))
	for k := range row.Out {
		names = append(names, k)
	}
	sort.Strings(names)
	for _, k := range names {
		r.Values++
		want := row.Out[k]
		got, ok := At(out, k)
		if !ok {
			miss("%s: %s is not among our outputs %s", given(row.In), k, given(out))
			continue
		}
		w, number := want.(float64)
		g, ours := got.(float64)
		if !number || !ours {
			if !reflect.DeepEqual(want, got) {
				miss("%s: %s is %v, printed %v", given(row.In), k, got, want)
			}
			continue
		}
		d := math.Abs(g - w)
		r.WorstAbs = max(r.WorstAbs, d)
		if w != 0 {
			r.WorstRel = max(r.WorstRel, d/math.Abs(w))
		}
		if !(d <= max(tolerance.Abs, tolerance.Rel*math.Abs(w))) {
			r.Ours = append(r.Ours, fmt.Sprintf("%s %.4g, printed %.4g", k, g, w))
			miss("%s: %s is %.6g, printed %.6g (off by %.3g)", given(row.In), k, g, w, d)
		}
	}
}

// refused is the output of a row that must be refused.
const refused = "refused"

// wordsOf reads one text or a list of texts; none when it is neither.
func wordsOf(v any) []string {
	switch v := v.(type) {
	case string:
		if v != "" {
			return []string{v}
		}
	case []any:
		var all []string
		for _, w := range v {
			all = append(all, wordsOf(w)...)
		}
		return all
	}
	return nil
}

// unsaid lists which of the words a refusal does not say; an answer, or an error
// that is no refusal, misses all of them.
func unsaid(where string, words []string, err error) []string {
	if err == nil {
		return []string{where + " is answered; it must be refused"}
	}
	var refusal *figure.Refusal
	if !errors.As(err, &refusal) {
		return []string{fmt.Sprintf("%s fails with %v, which is no refusal", where, err)}
	}
	var told []string
	for _, p := range refusal.Problems {
		told = append(told, p.Field, p.Say, p.Try)
	}
	said := strings.Join(told, " ")
	var misses []string
	for _, w := range words {
		if !strings.Contains(said, w) {
			misses = append(misses, fmt.Sprintf("%s is refused with %q, which does not say %q", where, said, w))
		}
	}
	return misses
}

// given prints the inputs of a row on one line.
func given(in map[string]any) string {
	text, err := json.Marshal(in)
	if err != nil {
		return fmt.Sprint(in)
	}
	return string(text)
}

// At follows a path such as "times[0].at[2].temp_c" through the outputs of a
// Compute.
func At(out map[string]any, path string) (any, bool) {
	if v, ok := out[path]; ok {
		return v, true
	}
	var here any = out
	for _, step := range strings.Split(strings.ReplaceAll(path, "[", ".["), ".") {
		if index, ok := strings.CutPrefix(step, "["); ok {
			list, isList := here.([]any)
			i, err := strconv.Atoi(strings.TrimSuffix(index, "]"))
			if !isList || err != nil || i < 0 || i >= len(list) {
				return nil, false
			}
			here = list[i]
			continue
		}
		object, isObject := here.(map[string]any)
		if !isObject {
			return nil, false
		}
		v, ok := object[step]
		if !ok {
			return nil, false
		}
		here = v
	}
	return here, true
}

// Run compares every row of one check of a file with what compute gives.
func Run(t testing.TB, f File, check string, compute func(in map[string]float64) map[string]float64) {
	t.Helper()
	run(t, f, check, Numbers(compute))
}

// RunFigures compares every check of a file that names a figure, with that
// figure of the list; a figure that is not in the list fails.
func RunFigures(t testing.TB, f File, figures []figure.Figure) {
	t.Helper()
	byName := map[string]figure.Figure{}
	for _, g := range figures {
		byName[g.Name] = g
	}
	n := 0
	for _, c := range f.Checks {
		if c.Figure == "" {
			continue
		}
		g, ok := byName[c.Figure]
		if !ok {
			t.Errorf("%s %s: figure %q is not offered", f.Name, c.ID, c.Figure)
			continue
		}
		n++
		run(t, f, c.ID, ByFigure(g))
	}
	if n == 0 {
		t.Errorf("%s names no figure of this list", f.Name)
	}
}

// RunAny compares one check of a file with a function of any inputs.
func RunAny(t testing.TB, f File, check string, compute Compute) {
	t.Helper()
	run(t, f, check, compute)
}

func run(t testing.TB, f File, check string, compute Compute) {
	t.Helper()
	c, ok := f.Check(check)
	if !ok {
		t.Errorf("%s has no check %q", f.Name, check)
		return
	}
	r := Measure(c, compute)
	for _, m := range r.Misses {
		t.Errorf("%s %s", f.Name, m)
	}
	t.Logf("%s %s: %d rows, worst %.3g absolute, %.3g relative", f.Name, c.ID, r.Rows, r.WorstAbs, r.WorstRel)
	for _, g := range f.Gaps {
		if g.Check != check {
			continue
		}
		gap := MeasureGap(c, g, compute)
		if len(gap.Misses) == 0 {
			t.Errorf("%s %s: the known gap for %v is met now; move the row back into the check", f.Name, c.ID, g.Row.In)
			continue
		}
		t.Logf("%s %s known gap: ours %s (%s)", f.Name, c.ID, strings.Join(gap.Now(), "; "), g.Differs)
	}
}

// MeasureGap computes the row of a known gap.
func MeasureGap(c Check, g Gap, compute Compute) Result {
	var r Result
	r.row(c, "gap", g.Row, compute)
	return r
}

// Open reads a file inside a test.
func Open(t testing.TB, name string) File {
	t.Helper()
	f, err := Read(name)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return f
}
