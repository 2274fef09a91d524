package app

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/sheet"
	"wormyard/journal"
	"wormyard/lab"
	"wormyard/qty"
)

// labReader reads one sheet of a laboratory.
type labReader struct {
	state *farm.State
	ask   LabAsk
	table sheet.Plain
	m     LabMap
	out   LabSheet
	head  []string
	units map[string]map[string]bool // by test: mixed units are told
}

// labHeadRows is how far down the header row is looked for.
const labHeadRows = 30

// labShown is how many of the first rows are shown.
const labShown = 6

// labCell is one result before it is put into the journal's terms.
type labCell struct {
	row                                            int
	sample, subject, test, text, sign, unit, basis string
	limit, method, laboratory                      string
	number                                         bool
	at                                             time.Time
}

func texts(row sheet.PlainRow) []string {
	var out []string
	for _, c := range row.Cells {
		out = append(out, strings.TrimSpace(c.Text))
	}
	return out
}

func (r *labReader) refuse(row int, column, say, try string) {
	r.out.Problems = append(r.out.Problems, Problem{Row: row, Column: column, Say: say, Try: try})
}

func (r *labReader) doubt(row int, column, say, try string) {
	r.out.Problems = append(r.out.Problems, Problem{Row: row, Column: column, Say: say, Try: try, Doubt: true})
}

// read reads the sheet with its mapping.
func (r *labReader) read() LabSheet {
	rows := r.table.Rows
	at, most := 0, 1 // one word that we know is no header row
	for i := range min(len(rows), labHeadRows) {
		n := headed(texts(rows[i]))
		if r.ask.Map != nil { // what was said of its columns finds the row surely
			for _, c := range texts(rows[i]) {
				if _, said := r.ask.Map.Columns[c]; said && c != "" {
					n += 100
				}
			}
		}
		if n > most {
			at, most = i, n
		}
	}
	r.head = texts(rows[at])
	seen := map[string]int{}
	for i, h := range r.head { // two columns of one name are told apart
		if seen[h]++; h != "" && seen[h] > 1 {
			r.head[i] = fmt.Sprintf("%s %d", h, seen[h])
		}
	}
	r.out = LabSheet{Mark: markOf(keyLabMap, r.head), Tabs: r.table.Tabs, Tab: r.table.Tab, Header: r.head, Row: rows[at].Number,
		Samples: []LabSample{}, Tests: []LabTest{}, Results: []LabResult{}, Problems: []Problem{}, Notes: []string{}}
	rows = rows[at+1:]
	for i := range min(len(rows), labShown) {
		r.out.First = append(r.out.First, texts(rows[i]))
	}
	switch m, ok := remembered[LabMap](r.state, keyLabMap, r.out.Mark); {
	case r.ask.Map != nil:
		r.m, r.out.Known = *r.ask.Map, ok
	case ok:
		r.m, r.out.Known = m, true
	default:
		r.m = LabMap{Columns: guessColumns(r.head)}
	}
	r.out.Map = r.m
	r.out.Problems = append(r.out.Problems, r.m.amiss()...)
	long, wide := r.columnOf("test") >= 0, r.columnOf("each") >= 0
	switch {
	case long && wide:
		r.refuse(r.out.Row, "", "One column names the tests, and other columns are tests by themselves.", "Say one of the two.")
	case long && r.columnOf("result") < 0:
		r.refuse(r.out.Row, "", "It is not said which column holds the results.", "Choose it among the columns.")
	case !long && !wide:
		r.refuse(r.out.Row, "", "It is not said which column names the tests.", "Choose it among the columns, or say which columns are tests by themselves.")
	}
	for _, role := range LabColumns {
		if n := r.columnsOf(role); role != "each" && role != "-" && len(n) > 1 {
			r.refuse(r.out.Row, r.head[n[1]], fmt.Sprintf("Two columns are said to be %q.", role), "Leave one of them out.")
		}
	}
	if len(r.out.Problems) > 0 {
		return r.out
	}
	r.units = map[string]map[string]bool{}
	var cells []labCell
	for _, row := range rows {
		cells = append(cells, r.cells(row)...)
	}
	cells = r.samples(cells)
	tests := r.tests(cells)
	moist := r.moistures(cells, tests)
	for _, c := range cells {
		if key := tests[c.test]; key != "" {
			r.result(c, key, moist)
		}
	}
	r.twice()
	for _, name := range sortedNames(r.units) {
		if list := sortedNames(r.units[name]); len(list) > 1 {
			r.out.Notes = append(r.out.Notes, fmt.Sprintf("%s comes in %s: each result is kept in its own unit, and a rule turns them into its own.", name, strings.Join(list, " and ")))
		}
	}
	return r.out
}

func (r *labReader) columnsOf(role string) (out []int) {
	for i, h := range r.head {
		if h != "" && r.m.Columns[h] == role {
			out = append(out, i)
		}
	}
	return out
}

func (r *labReader) columnOf(role string) int {
	if all := r.columnsOf(role); len(all) > 0 {
		return all[0]
	}
	return -1
}

// cells gives the results that stand in a row.
func (r *labReader) cells(row sheet.PlainRow) (out []labCell) {
	get := func(role string) sheet.PlainCell {
		if i := r.columnOf(role); i >= 0 && i < len(row.Cells) {
			return sheet.PlainCell{Text: strings.TrimSpace(row.Cells[i].Text), Number: row.Cells[i].Number}
		}
		return sheet.PlainCell{}
	}
	c := labCell{row: row.Number, sample: get("sample").Text, sign: get("sign").Text, unit: get("unit").Text, basis: get("basis").Text, limit: get("limit").Text, method: get("method").Text, laboratory: cmp.Or(get("laboratory").Text, r.m.Laboratory), at: r.ask.Day}
	if d := get("day"); d.Text != "" {
		at, u := r.table.DayIn(d, r.m.Dates, r.state.Zone())
		if u != nil {
			r.refuse(row.Number, r.head[r.columnOf("day")], u.Say, u.Try)
		} else if c.at = at; at.After(r.ask.Day) && at.Format(time.DateOnly) == r.ask.Day.Format(time.DateOnly) {
			c.at = r.ask.Day
		}
	}
	if i := r.columnOf("test"); i >= 0 {
		x := get("result")
		c.test, c.text, c.number = get("test").Text, x.Text, x.Number
		switch {
		case c.test == "" && c.text != "":
			r.refuse(row.Number, r.head[i], fmt.Sprintf("Nothing says what the result %q is of.", c.text), "Name the test in the sheet.")
		case c.test != "" && c.text == "" && c.sign == "":
			r.out.Empty++
		case c.test != "":
			out = append(out, c)
		}
		return out
	}
	for _, i := range r.columnsOf("each") {
		if i >= len(row.Cells) || strings.TrimSpace(row.Cells[i].Text) == "" {
			r.out.Empty++
			continue
		}
		x := c
		x.test, x.text, x.number = r.head[i], strings.TrimSpace(row.Cells[i].Text), row.Cells[i].Number
		out = append(out, x)
	}
	return out
}

// samples finds what the samples were taken of, and leaves out those that nobody
// wants.
func (r *labReader) samples(cells []labCell) (out []labCell) {
	at := map[string]int{}
	for _, c := range cells {
		if _, ok := at[c.sample]; !ok {
			at[c.sample] = len(r.out.Samples)
			subject := r.ask.Samples[c.sample]
			if subject == "" {
				subject = labSubject(r.state, c.sample)
			}
			if c.sample == "" {
				subject = cmp.Or(subject, r.ask.Subject)
			}
			r.out.Samples = append(r.out.Samples, LabSample{Sample: c.sample, Subject: subject})
		}
		r.out.Samples[at[c.sample]].Rows++
	}
	if len(r.out.Samples) == 1 && r.out.Samples[0].Subject == "" && r.ask.Subject != "" {
		x := &r.out.Samples[0]
		x.Subject = r.ask.Subject
		r.out.Notes = append(r.out.Notes, fmt.Sprintf("Sample %q is the only one on the sheet and is read as %s.", x.Sample, x.Subject))
	}
	for _, x := range r.out.Samples {
		switch {
		case x.Subject == "" && x.Sample == "":
			r.refuse(0, "", "Some rows name no sample, and it is not said what they are of.", "Say which lot they are of.")
		case x.Subject == "":
			r.refuse(0, "", fmt.Sprintf("Sample %q names no lot that we know.", x.Sample), "Say which lot it was taken of, or leave it out.")
		}
	}
	for _, c := range cells {
		if c.subject = r.out.Samples[at[c.sample]].Subject; c.subject != "" && c.subject != LabOut {
			out = append(out, c)
		}
	}
	return out
}

// tests finds what each name of a test means.
func (r *labReader) tests(cells []labCell) map[string]string {
	out := map[string]string{}
	for _, c := range cells {
		if _, ok := out[c.test]; ok {
			continue
		}
		key, known := r.m.Tests[c.test], true
		if key == "" {
			key, known = labAnalyte(c.test)
			if !known {
				key = LabAsIs
				r.out.Notes = append(r.out.Notes, fmt.Sprintf("%q is no test that we know: it is kept as it is, and no rule asks for it.", c.test))
			}
		}
		shown := key
		if key == LabOut {
			out[c.test], shown = "", ""
		} else {
			out[c.test] = key
		}
		r.out.Tests = append(r.out.Tests, LabTest{c.test, shown, known})
	}
	return out
}

// moistures gives the dry part of each sample, from the sheet or else from the
// newest test of what was sampled.
func (r *labReader) moistures(cells []labCell, tests map[string]string) map[string]qty.Fraction {
	out := map[string]qty.Fraction{}
	for _, c := range cells {
		key := tests[c.test]
		if key != feedstock.KeyWater && key != labSolids {
			continue
		}
		v, err := lab.ParseValue("value", c.text, r.comma(c), 0)
		unit, basis, _ := labUnit(cmp.Or(c.unit, v.Unit))
		_, inside := brackets(c.test)
		if u, b, ok := labUnit(inside); unit == "" && inside != "" && ok {
			unit, basis = u, b
		}
		share, ok := lab.InUnit(v.Number, unit, "%")
		if err != nil || v.Kind != lab.Measured || !ok || basis == "dry" && key == feedstock.KeyWater || !(share > 0 && share < 100) {
			continue
		}
		dry := 1 - share/100
		if key == labSolids {
			dry = share / 100
		}
		if _, there := out[c.sample]; !there {
			out[c.sample] = qty.Fraction(dry)
		}
	}
	for _, x := range r.out.Samples {
		if _, there := out[x.Sample]; there {
			continue
		}
		for _, t := range testsOf(r.state, x.Subject) {
			if t.Analyte == feedstock.KeyWater && t.Reads == "" && t.Value > 0 && t.Value < 1 {
				out[x.Sample] = qty.Fraction(1 - t.Value)
			}
		}
	}
	return out
}

func (r *labReader) comma(c labCell) lab.Comma {
	switch {
	case c.number, r.m.Comma == "thousands":
		return lab.CommaThousands
	case r.m.Comma == "tenths", r.table.Comma:
		return lab.CommaDecimal
	}
	return lab.CommaUnknown
}

// signs are what laboratories put in a column of their own.
var signs = map[string]string{"<": "<", ">": ">", "<=": "<", ">=": ">", "u": "ND", "nd": "ND", "n.d.": "ND", "bdl": "ND", "less than": "<", "greater than": ">", "more than": ">", "tntc": "TNTC", "e": "~", "j": "~", "est": "~", "=": ""}

// result puts one cell into the journal's terms.
func (r *labReader) result(c labCell, key string, moist map[string]qty.Fraction) {
	column := c.test
	x := LabResult{Row: c.row, Sample: c.sample, Test: c.test, At: c.at, Steps: []string{}, Notes: []string{}}
	note := func(format string, args ...any) { x.Notes = append(x.Notes, fmt.Sprintf(format, args...)) }
	limit := 0.0
	if c.limit != "" {
		l, err := lab.ParseValue("limit", strings.TrimLeft(c.limit, "<≤ "), r.comma(labCell{}), 0)
		if err != nil {
			r.refusal(c.row, column, err)
			return
		}
		limit = l.Number
	}
	text := c.text
	if sign, ok := signs[strings.ToLower(c.sign)]; ok && sign != "" {
		if (sign == "<" || sign == ">" || sign == "~") && !strings.HasPrefix(text, sign) {
			text = sign + text
		} else if sign == "ND" {
			if limit == 0 { // with a sign for not detected the number beside it is what could have been seen
				if l, err := lab.ParseValue("value", text, r.comma(c), 0); err == nil && l.Kind == lab.Measured {
					limit = l.Number
				}
			}
			text = sign
		} else if sign == "TNTC" {
			text = sign
		}
	} else if c.sign != "" && !ok {
		note("The sign %q is kept in the note; it is not one that we know.", c.sign)
		x.Entry.Note = c.sign
	}
	v, err := lab.ParseValue("value", text, r.comma(c), limit)
	if err != nil {
		r.refusal(c.row, column, err)
		return
	}
	if v.Kind == lab.NotTested {
		r.out.Empty++
		return
	}
	_, inside := brackets(c.test)
	name := c.unit
	if name == "" {
		name = v.Unit
	}
	if _, _, ok := labUnit(inside); name == "" && inside != "" && ok {
		name = inside
	}
	unit, basis, known := labUnit(name)
	x.Cell = strings.TrimSpace(c.text + " " + strings.TrimSpace(c.unit))
	if c.sign != "" {
		x.Cell = c.sign + " " + x.Cell
	}
	basis = cmp.Or(labBasis(c.basis), basis, labBasis(labWord(c.test)), labBasis(inside), r.m.Basis)
	if b := strings.ToLower(c.basis); b == "wet" || b == "dry" {
		basis = b
	}
	b := &x.Entry
	b.Subject, b.Method, b.Laboratory, b.Sample = c.subject, c.method, c.laboratory, c.sample
	switch v.Kind {
	case lab.LessThan:
		b.Reads = journal.ReadsLess
	case lab.MoreThan:
		b.Reads = journal.ReadsMore
	case lab.TooMany:
		b.Reads = journal.ReadsTooMany
		note("%s is read as too many to count, with no number.", c.text)
	case lab.Present:
		b.Reads = journal.ReadsPresent
		note("%s is read as present and not counted.", c.text)
	case lab.NotDetected:
		if v.Number == 0 && strings.ContainsAny(c.text, "0123456789") && !countsFromLimit(key) { // a share of 0 is 0
			v.Kind = lab.Measured
			break
		}
		b.Reads = journal.ReadsNone
		note("%s is read as not detected; how little could have been seen is not told, so a rule takes it as not known.", c.text)
	}
	if v.About {
		note("The laboratory calls it an estimate.")
	}
	value := v.Number
	switch b.Reads {
	case journal.ReadsTooMany, journal.ReadsPresent, journal.ReadsNone:
		value = 0
	}
	value, ok := r.convert(&x, c, key, value, unit, basis, known, moist)
	if !ok {
		return
	}
	b.Value = value
	if b.Reads == journal.ReadsLess || b.Reads == journal.ReadsMore {
		words := "below"
		if b.Reads == journal.ReadsMore {
			words = "above"
		}
		amount := strings.TrimSpace(qty.Figures(v.Number) + " " + unit)
		if words == "below" {
			note("%s is read as below %s.", cmp.Or(strings.TrimSpace(c.sign+" "+c.text), c.text), amount)
		} else {
			note("%s is read as above %s.", cmp.Or(strings.TrimSpace(c.sign+" "+c.text), c.text), amount)
		}
	}
	x.Already = slices.ContainsFunc(testsOf(r.state, b.Subject), func(t farm.Test) bool { return sameTest(t, *b) })
	if x.Already {
		r.out.Already++
	}
	r.out.Results = append(r.out.Results, x)
}

// countsFromLimit says whether none of a thing is what was not seen.
func countsFromLimit(key string) bool {
	_, e, ok := journal.EndingOf(key)
	return !ok && !slices.Contains([]string{"ph", "cn", "bioassay", "worms_left", "emergence", "inerts"}, key) || ok && e.Unit != "%"
}

func (r *labReader) refusal(row int, column string, err error) {
	var no *figure.Refusal
	if errors.As(err, &no) {
		for _, p := range no.Problems {
			r.refuse(row, column, p.Say, p.Try)
		}
	}
}

// convert brings a value to the terms of the journal and names the test; false when
// it cannot be taken.
func (r *labReader) convert(x *LabResult, c labCell, key string, value float64, unit, basis string, known bool, moist map[string]qty.Fraction) (float64, bool) {
	b := &x.Entry
	note := func(format string, args ...any) { x.Notes = append(x.Notes, fmt.Sprintf(format, args...)) }
	without := b.Reads == journal.ReadsNone || b.Reads == journal.ReadsTooMany || b.Reads == journal.ReadsPresent
	noUnit := func() (float64, bool) {
		r.refuse(c.row, c.test, fmt.Sprintf("Nothing says in which unit %q is.", c.text), "Choose the column of units, or write the unit behind the number.")
		return 0, false
	}
	oxide := strings.TrimPrefix(key, "*")
	switch key {
	case labSolids:
		key = feedstock.KeyWater
		if b.Reads == journal.ReadsLess || b.Reads == journal.ReadsMore {
			b.Reads = map[string]string{journal.ReadsLess: journal.ReadsMore, journal.ReadsMore: journal.ReadsLess}[b.Reads]
		}
	case labP2O5:
		key = "phosphorus_frac_dry"
	case labK2O:
		key = "potassium_frac_dry"
	case LabAsIs:
		key = labSlug(c.test)
		if e, ok := journal.EndingFor(unit, basis); ok {
			key += e.End
			value /= e.Times
			unit, basis = "", ""
		}
		b.Analyte, b.Unit, b.Basis = key, unit, basis
		return value, true
	}
	b.Analyte = key
	base, e, ended := journal.EndingOf(key)
	switch {
	case key == feedstock.KeyWater:
		if unit == "" {
			return noUnit()
		}
		share, ok := lab.InUnit(value, unit, "%")
		if !ok {
			r.refuse(c.row, c.test, fmt.Sprintf("%s is no unit of moisture.", unit), "Moisture is a share, in %.")
			return 0, false
		}
		if strings.HasPrefix(oxide, "solids") {
			x.Steps = append(x.Steps, fmt.Sprintf("100 %% − %s %% of solids = %s %% of moisture", qty.Figures(share), qty.Figures(100-share)))
			share = 100 - share
		} else if basis == "dry" {
			x.Steps = append(x.Steps, fmt.Sprintf("%s %% of dry matter / (100 %% + %s %%) = %s %% of matter as it lies", qty.Figures(share), qty.Figures(share), qty.Figures(100*share/(100+share))))
			share = 100 * share / (100 + share)
		}
		return share / 100, true
	case key == "density_kg_m3_wet":
		u, ok := qty.Named(unit)
		if unit == "" {
			return noUnit()
		}
		if !ok || u.Of != qty.Density {
			r.refuse(c.row, c.test, fmt.Sprintf("%s is no unit of density that we know.", unit), "Write it as kg/m3, lb/yd3 or lb/ft3.")
			return 0, false
		}
		if y := u.To(value); unit != "kg/m3" && !without {
			x.Steps = append(x.Steps, fmt.Sprintf("%s %s = %s kg/m3", qty.Figures(value), unit, qty.Figures(y)))
			return y, true
		}
		return u.To(value), true
	case ended && e.Unit != "":
		if unit == "" {
			return noUnit()
		}
		in := lab.Conversion{Value: value, From: unit, To: e.Unit, Basis: "none", ToBasis: "none", As: "same", Oxide: "none"}
		if oxide == "P2O5" || oxide == "K2O" {
			in.As, in.Oxide = "oxide_to_element", oxide
		}
		if e.Basis != "" {
			switch dry, there := moist[c.sample]; {
			case basis == "" && e.Basis == "dry":
				r.doubt(c.row, c.test, fmt.Sprintf("Nothing says whether %s is of dry matter or of matter as it lies; it is taken as of dry matter.", c.test), "Say yes if it is so, or say on what basis this laboratory gives its results.")
			case basis != "" && basis != e.Basis && there:
				part := float64(dry)
				in.Basis, in.ToBasis, in.DryPart = basis, e.Basis, &part
			case basis != "" && basis != e.Basis:
				other, ok := journal.EndingFor(e.Unit, basis)
				if !ok {
					r.refuse(c.row, c.test, fmt.Sprintf("%s is of %s matter and is kept of %s; the moisture of this sample is not known.", c.test, basis, e.Basis), "Add its moisture to the sheet, or write down a test of its moisture first.")
					return 0, false
				}
				note("The moisture of this sample is not known, so it is kept of %s matter as it came.", basis)
				b.Analyte, e = base+other.End, other
			}
		}
		out, steps, err := lab.Convert(in)
		if err != nil {
			r.refusal(c.row, c.test, err)
			return 0, false
		}
		if !without && (in.From != in.To || in.Basis != in.ToBasis || in.Oxide != "none") {
			x.Steps = append(x.Steps, steps...)
		}
		return out / e.Times, true
	case slices.Contains([]string{"ph", "cn", "bioassay"}, key):
		if unit != "" {
			r.refuse(c.row, c.test, fmt.Sprintf("%s has no unit, and here it has %s.", c.test, unit), "See whether the columns are the right ones.")
			return 0, false
		}
		return value, true
	}
	// Germs, metals and the like keep their unit: a rule names the one it wants.
	b.Unit, b.Basis = unit, basis
	if unit == "" && !without {
		return noUnit()
	}
	if !known {
		note("%s is no unit that we can turn into another: it is kept, and a rule may not be able to use it.", unit)
	}
	if r.units[c.test] == nil {
		r.units[c.test] = map[string]bool{}
	}
	if unit != "" {
		r.units[c.test][unit] = true
	}
	if basis == "" && !without && unit != "%" && !strings.HasPrefix(unit, "CFU/25") && !strings.HasPrefix(unit, "CFU/5") {
		note("Nothing says whether it is of wet or of dry matter: a rule that asks for one of them cannot use it.")
	}
	return value, true
}

// sameTest says whether a test of the journal is what a sheet says.
func sameTest(t farm.Test, b journal.Assay) bool {
	limit := t.DetectionLimit != nil && t.Value == 0 && b.Reads == journal.ReadsLess && math.Abs(*t.DetectionLimit-b.Value) <= 1e-9*b.Value
	return t.Analyte == b.Analyte && t.Unit == b.Unit && t.Basis == b.Basis && (t.Sample == b.Sample || t.Sample == "") && (t.Laboratory == b.Laboratory || t.Laboratory == "" || b.Laboratory == "") &&
		(t.Reads == b.Reads && math.Abs(t.Value-b.Value) <= 1e-9*math.Abs(b.Value) || limit)
}

// twice asks about rows that say the same.
func (r *labReader) twice() {
	first := map[string]int{}
	for _, x := range r.out.Results {
		e := x.Entry
		key := fmt.Sprint(e.Subject, "\x00", e.Sample, "\x00", e.Analyte, "\x00", e.Value, "\x00", e.Unit, e.Basis, e.Reads, "\x00", e.Method)
		if row, ok := first[key]; ok && row != x.Row {
			r.doubt(x.Row, x.Test, fmt.Sprintf("Row %d says the same as row %d.", x.Row, row), "Take one of them out of the sheet, or say yes if it was tested twice.")
			continue
		}
		first[key] = x.Row
	}
}
