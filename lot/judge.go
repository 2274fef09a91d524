package lot

import (
	"fmt"
	"math"
	"strings"
	"time"

	"wormyard/lab"
	"wormyard/qty"
)

// A Finding is one result of a laboratory, or of a test on the farm.
type Finding struct {
	Analyte  string
	Value    float64 // the value, or the limit it lies under
	LessThan bool
	MoreThan bool // there is at least so much
	Unseen   bool // not detected, and the laboratory did not say what it could have seen
	Many     bool // too many to count, or present and not counted
	Unit     string
	Basis    string        // wet, dry or none
	Dry      *qty.Fraction // dry part of the mass as it lies, when it was measured
	From     string        // laboratory, date, number of the report
}

// A Proof is a piece of evidence kept with a lot.
type Proof struct {
	Key  string
	Good bool   // false: it was looked at and is not met
	From string // what it is and where it lies
}

// Facts are what is known of a lot.
type Facts struct {
	Animal   bool // animal matter went into it
	Findings []Finding
	Proofs   []Proof
	Heat     []HeatRecord      // one of each pile that has to have been hot, empty where nobody read it
	Hints    map[string]string // what is known of a piece of evidence and does not show it, by its key
}

// State is the answer to whether a lot may be released.
type State string

// The answers; only Allowed lets a lot go.
const (
	Allowed    State = "allowed"
	IfRecalled State = "would be allowed if the text is as recalled"
	Missing    State = "missing evidence"
	Blocked    State = "blocked"
)

// A Line is one thing that a rule asks, and what the lot has.
type Line struct {
	Key      string `json:"key" doc:"the analyte, or the evidence as the rule names it"`
	Asked    string `json:"asked"`
	Has      string `json:"has"`
	State    State  `json:"state"`
	Try      string `json:"try,omitempty"`
	Citation string `json:"citation"`
	Known    string `json:"known" doc:"found, memory or assumed"`
	Either   string `json:"either,omitempty" doc:"one of those with the same word is enough"`
	Limit    *Limit `json:"-"` // of which it tells, where it is one
}

// A Judgement is what a rule says of a lot.
type Judgement struct {
	Rule    string   `json:"rule"`
	State   State    `json:"state"`
	Lines   []Line   `json:"lines"`
	Caution []string `json:"caution"`
}

// Decides is said on every judgement.
const Decides = "This is help. The text of the rule, and the certifier or the inspector, decide."

// Judge holds a lot against a rule on a day. Nothing that is missing is taken as
// met; an amount that a laboratory could not see is met only when its limit lies
// under the rule's.
func (r Rule) Judge(f Facts, today time.Time) Judgement {
	j := Judgement{Rule: r.Key, Caution: []string{Decides}}
	for _, l := range r.Limits {
		if l.OnlyFor != "animal" || f.Animal {
			j.Lines = append(j.Lines, r.limitLine(l, f))
		}
	}
	for _, n := range r.Evidence {
		if n.OnlyFor != "animal" || f.Animal {
			j.Lines = append(j.Lines, r.needLine(n, f))
		}
	}
	memory := recalled(r.How)
	if memory {
		j.Caution = append(j.Caution, "The text of this rule is as recalled and was not read. Read it before you rest on it.")
	}
	if r.Due(today) {
		memory = true
		j.Caution = append(j.Caution, fmt.Sprintf("This rule was to be read again by %s; it may have changed.", r.Review))
	}
	j.State = Allowed
	for _, l := range settled(j.Lines) {
		if worse(l.State, j.State) {
			j.State = l.State
		}
		memory = memory || recalled(l.Known)
	}
	if j.State == Allowed && memory {
		j.State = IfRecalled
	}
	if len(j.Lines) == 0 {
		j.State = Missing
		j.Caution = append(j.Caution, "Nothing in this rule is about a lot like this one.")
	}
	return j
}

// Due says whether the day by which a rule is to be read again is past.
func (r Rule) Due(today time.Time) bool {
	due, err := time.Parse(time.DateOnly, r.Review)
	return err != nil || today.After(due)
}

// settled gives the lines that decide: of those with one word, the best.
func settled(lines []Line) []Line {
	var out []Line
	at := map[string]int{}
	for _, l := range lines {
		if l.Either == "" {
			out = append(out, l)
			continue
		}
		i, ok := at[l.Either]
		if !ok {
			at[l.Either] = len(out)
			out = append(out, l)
			continue
		}
		// A text that was read goes before one that is recalled.
		if worse(out[i].State, l.State) || out[i].State == l.State && recalled(out[i].Known) {
			out[i] = l
		}
	}
	return out
}

func worse(a, b State) bool { return severity(a) > severity(b) }

func severity(s State) int {
	switch s {
	case Allowed:
		return 0
	case IfRecalled:
		return 1
	case Missing:
		return 2
	}
	return 3
}

func (r Rule) cite(where string) string { return r.Citation + ", " + where }

func (r Rule) limitLine(l Limit, f Facts) Line {
	line := Line{Key: l.Analyte, Asked: l.words(), Citation: r.cite(l.Where), Known: l.How, Either: l.Either, State: Missing, Limit: &l}
	var values []float64
	var unders []bool
	blocked, waits := "", false
	for _, x := range f.Findings {
		if x.Analyte != l.Analyte {
			continue
		}
		if x.Many && l.upper() > 0 {
			blocked = "There is so much of it that it was not counted, or it is there and was not counted."
			continue
		}
		v, why := x.in(l)
		if why == "" && x.MoreThan {
			if top := l.upper(); top > 0 && v >= top {
				blocked = fmt.Sprintf("There is more of it than %s.", qty.Reported(v)+" "+l.Unit)
				continue
			}
			why = fmt.Sprintf("The laboratory says only that there is more than %s.", qty.Reported(v)+" "+l.Unit)
		}
		if why != "" {
			line.Has, line.Try = why, fmt.Sprintf("Ask the laboratory for it in %s.", l.Unit+basisWords(l.Basis))
			waits = true
			continue
		}
		values, unders = append(values, v), append(unders, x.LessThan)
	}
	if blocked != "" {
		line.State, line.Has, line.Try = Blocked, blocked, holdIt
		return line
	}
	if waits {
		if state, _ := l.hold(values, unders); len(values) > 0 && state == Blocked && l.Of == "each" && l.Within == nil { // what is over the limit is over it whatever else was found
			line.State, line.Try = Blocked, holdIt
		}
		return line
	}
	if len(values) < l.Samples {
		line.Has = fmt.Sprintf("%d of %d results are there.", len(values), l.Samples)
		line.Try = fmt.Sprintf("Have %s tested.", name(l.Analyte))
		return line
	}
	line.State, line.Has = l.hold(values, unders)
	switch line.State {
	case Missing:
		line.Try = "Ask for a test that sees less."
	case Blocked:
		line.Try = holdIt
	}
	return line
}

const holdIt = "Hold it. Test again only if the sample may not have been of this lot; a second result does not undo the first."

// upper gives what a result must lie under or at most be; 0 where there is no such limit.
func (l Limit) upper() float64 {
	switch {
	case l.Under != nil:
		return *l.Under
	case l.Most != nil:
		return *l.Most
	}
	return 0
}

// hold holds results against a limit. model.md (Q3).
func (l Limit) hold(values []float64, unders []bool) (State, string) {
	if l.Of != "each" {
		v, found, under := 0.0, 0.0, false
		for i := range values {
			under = under || unders[i]
			v += values[i] / float64(len(values))
			if !unders[i] {
				found += values[i] / float64(len(values))
			}
		}
		if l.Of == "mean" && under && l.one(found, false) == Blocked && l.Least == nil {
			return Blocked, fmt.Sprintf("%d results, the mean at least %s.", len(values), strings.TrimSuffix(qty.Reported(found)+" "+l.Unit, " -"))
		}
		if l.Of == "geometric_mean" {
			for _, x := range values {
				if !(x > 0) {
					return Missing, "A result of 0 has no place in a geometric mean: its limit is needed."
				}
			}
			v = lab.GeometricMean(values)
		}
		values, unders = []float64{v}, []bool{under}
	}
	state, over := Allowed, 0
	worst, worstUnder := math.Inf(-1), false
	for i, v := range values {
		s := l.one(v, unders[i])
		if worse(s, state) {
			state = s
		}
		if l.Within != nil && v > *l.Within && !unders[i] {
			over++
		}
		if v > worst {
			worst, worstUnder = v, unders[i]
		}
	}
	if l.Within != nil && over > l.Over {
		state = Blocked
	}
	has := strings.TrimSuffix(qty.Reported(worst)+" "+l.Unit, " -")
	if worstUnder {
		has = "<" + has
	}
	if len(values) > 1 {
		has = fmt.Sprintf("%d results, the highest %s.", len(values), has)
		if l.Within != nil && l.Over < l.Samples {
			has += fmt.Sprintf(" %d over %s.", over, qty.Reported(*l.Within))
		}
	}
	return state, has
}

func (l Limit) one(v float64, under bool) State {
	switch {
	case l.Most != nil && v > *l.Most, l.Under != nil && v >= *l.Under && !(under && v == *l.Under):
		if under {
			return Missing // it lies under a limit that is above the rule's
		}
		return Blocked
	case l.Least != nil && v < *l.Least:
		return Blocked
	case l.Least != nil && under:
		return Missing
	}
	return Allowed
}

// in brings a finding to the unit and the basis of a limit; why says what stands
// in the way.
func (x Finding) in(l Limit) (value float64, why string) {
	value = x.Value
	if x.Unseen {
		return 0, "It was not detected, and the laboratory does not say how little it could have seen."
	}
	if unit := analytes[l.Analyte]; unit != "" {
		v, ok := lab.InUnit(x.Value, x.Unit, l.Unit)
		if !ok {
			return 0, fmt.Sprintf("A result in %q cannot be read as %s.", x.Unit, l.Unit)
		}
		value = v
	} else if l.Unit != "" && l.Unit != "-" && !strings.EqualFold(x.Unit, l.Unit) {
		return 0, fmt.Sprintf("A result in %q cannot be read as %s.", x.Unit, l.Unit)
	}
	if l.Basis == "none" || l.Basis == x.Basis {
		return value, ""
	}
	if x.Basis == "none" || x.Basis == "" {
		return 0, "The result does not say whether it is of wet or of dry matter."
	}
	if x.Dry == nil || !(*x.Dry > 0) {
		return 0, fmt.Sprintf("The result is of %s matter and the rule of %s; the moisture is missing.", x.Basis, l.Basis)
	}
	if l.Basis == "dry" {
		return float64(qty.PerGramWet(value).Dry(*x.Dry)), ""
	}
	return float64(qty.PerGramDry(value).Wet(*x.Dry)), ""
}

func (r Rule) needLine(n Need, f Facts) Line {
	line := Line{Key: n.Key, Asked: n.Say, Citation: r.cite(n.Where), Known: n.How, Either: n.Either, State: Missing, Try: n.Try}
	if n.Heat != nil {
		line.Has = "There is no record of heat."
		met := len(f.Heat) > 0
		for i, record := range f.Heat {
			found := n.Heat.Evaluate(record)
			said := found.Said
			if record.Name != "" {
				said = record.Name + " " + said
			}
			if met = met && found.Met; i == 0 {
				line.Has = said
			} else {
				line.Has += " " + said
			}
		}
		if met {
			line.State, line.Try = Allowed, ""
		}
		return line
	}
	line.Has = "Nothing is there."
	if hint := f.Hints[n.Key]; hint != "" {
		line.Has = hint
	}
	for _, p := range f.Proofs {
		if p.Key != n.Key {
			continue
		}
		line.Has = p.From
		if !p.Good {
			line.State = Blocked
			return line
		}
		line.State, line.Try = Allowed, ""
	}
	return line
}

func name(analyte string) string {
	if w, ok := analyteWords[analyte]; ok {
		return w
	}
	return analyte
}

var analyteWords = map[string]string{
	"fecal_coliform": "fecal coliforms", "e_coli": "E. coli", "e_coli_o157": "E. coli O157:H7", "salmonella": "Salmonella", "listeria": "Listeria monocytogenes", "cn_start": "carbon to nitrogen at the start",
	"chromium_6": "chromium VI", "organic_matter": "organic matter", "self_heating_rise": "self-heating", "oxygen_uptake": "oxygen uptake", "pah16": "PAH", "germination_index": "the germination index",
	"bioassay_hurt": "hurt in the pea test", "worms_left": "worms left in it", "water": "moisture", "ph": "pH",
}

func basisWords(basis string) string {
	if basis == "wet" || basis == "dry" {
		return " of " + basis + " matter"
	}
	return ""
}

// words say what a limit asks, in formats that each stand whole.
func (l Limit) words() string {
	s := name(l.Analyte)
	switch l.Of {
	case "mean":
		s = fmt.Sprintf("mean of %s", s)
	case "geometric_mean":
		s = fmt.Sprintf("geometric mean of %s", s)
	}
	amount := func(x float64) string {
		if l.Unit == "" || l.Unit == "-" {
			return qty.Reported(x)
		}
		return qty.Reported(x) + " " + l.Unit
	}
	switch {
	case l.Least != nil && l.Most != nil:
		s = fmt.Sprintf("%s from %s to %s", s, qty.Reported(*l.Least), amount(*l.Most))
	case l.Least != nil:
		s = fmt.Sprintf("%s at least %s", s, amount(*l.Least))
	case l.Under != nil:
		s = fmt.Sprintf("%s under %s", s, amount(*l.Under))
	case l.Most != nil:
		s = fmt.Sprintf("%s at most %s", s, amount(*l.Most))
	}
	switch l.Basis {
	case "dry":
		s = fmt.Sprintf("%s, of dry matter", s)
	case "wet":
		s = fmt.Sprintf("%s, of matter as it lies", s)
	}
	if l.Within != nil {
		s = fmt.Sprintf("%s, in each of %d results", s, l.Samples)
		if l.Over < l.Samples {
			s = fmt.Sprintf("%s, and at most %d of them over %s", s, l.Over, qty.Reported(*l.Within))
		}
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
