package lot

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/figure"
	"wormyard/lab"
)

// A Rule is one public rule set, or the farm's own.
type Rule struct {
	Key          string   `json:"key"`
	Title        string   `json:"title"`
	Jurisdiction string   `json:"jurisdiction"`
	Citation     string   `json:"citation"`
	Date         string   `json:"date" doc:"of the text that we know, or since when it holds"`
	Review       string   `json:"review" doc:"day by which it must be read again"`
	How          string   `json:"how" choice:"found,memory,assumed" doc:"how the text is known; assumed is the farm's own"`
	Applies      string   `json:"applies" doc:"to what, in words"`
	Limits       []Limit  `json:"limits"`
	Evidence     []Need   `json:"evidence"`
	Allows       []string `json:"allows" doc:"what a label may say once it is met"`
	Refuses      []string `json:"refuses" doc:"what a label may not say"`
	Note         string   `json:"note,omitempty"`
}

// A Limit is one number that a lot must keep.
type Limit struct {
	Analyte string   `json:"analyte"`
	Unit    string   `json:"unit"`
	Basis   string   `json:"basis" choice:"wet,dry,none" default:"none"`
	Under   *float64 `json:"under" doc:"must be under it"`
	Most    *float64 `json:"most" doc:"at most"`
	Least   *float64 `json:"least" doc:"at least"`
	Of      string   `json:"of" choice:"each,mean,geometric_mean" default:"each" doc:"what is held against it"`
	Samples int      `json:"samples" default:"1" doc:"how many are asked for"`
	Over    int      `json:"over" default:"0" doc:"how many of them may lie over within"`
	Within  *float64 `json:"within" doc:"with over: the level that so many may pass"`
	Either  string   `json:"either,omitempty" doc:"one of those with the same word is enough"`
	OnlyFor string   `json:"only_for" choice:"all,animal" default:"all" doc:"animal: only when animal matter is in it"`
	Where   string   `json:"where"`
	How     string   `json:"how" choice:"found,memory,assumed"`
	Note    string   `json:"note,omitempty"`
}

// A Need is one piece of evidence that a rule asks for.
type Need struct {
	Key     string `json:"key" doc:"as the evidence of a lot is named"`
	Say     string `json:"say" doc:"what is asked, in words"`
	Try     string `json:"try" doc:"what to do when it is missing"`
	Either  string `json:"either,omitempty"`
	OnlyFor string `json:"only_for" choice:"all,animal" default:"all"`
	Heat    *Heat  `json:"heat,omitempty" doc:"when it is a record of heat"`
	Where   string `json:"where"`
	How     string `json:"how" choice:"found,memory,assumed"`
	Note    string `json:"note,omitempty"`
}

// mostLimit is the largest number that stands as a limit: germs of raw manure come
// to about 1e9 a gram.
const mostLimit = 1e12

// analytes are what limits may be about: the unit shows the kind.
var analytes = map[string]string{
	"arsenic": "mg/kg", "cadmium": "mg/kg", "chromium": "mg/kg", "chromium_6": "mg/kg", "copper": "mg/kg", "lead": "mg/kg", "mercury": "mg/kg", "molybdenum": "mg/kg", "nickel": "mg/kg", "selenium": "mg/kg", "zinc": "mg/kg",
	"fecal_coliform": "1/g", "salmonella": "1/g", "e_coli": "1/g", "e_coli_o157": "1/g", "listeria": "1/g", "enterococci": "1/g",
	"cn_start": "", "ph": "", "salts": "dS/m", "organic_matter": "%", "inerts": "%", "plastic": "%", "respiration": "", "self_heating_rise": "", "oxygen_uptake": "", "pah16": "mg/kg",
	"emergence": "%", "germination_index": "%", "bioassay_hurt": "", "worms_left": "", "water": "%",
}

// Analytes gives what limits may be about, in order.
func Analytes() []string {
	out := make([]string, 0, len(analytes))
	for a := range analytes {
		out = append(out, a)
	}
	slices.Sort(out)
	return out
}

// UnitOf gives the unit that an analyte is usually held against, empty where any
// will do: its kind is what a limit's unit must be of.
func UnitOf(analyte string) string { return analytes[analyte] }

// UnknownAnalyte is said of a limit that is about nothing known.
func UnknownAnalyte(analyte string) string {
	return fmt.Sprintf("The analyte %q is not known.", analyte)
}

// Check tells what is amiss in a rule's file, all at once.
func (r Rule) Check() []figure.Problem {
	var p figure.Problems
	for _, x := range [][2]string{{"key", r.Key}, {"title", r.Title}, {"jurisdiction", r.Jurisdiction}, {"citation", r.Citation}, {"applies", r.Applies}} {
		if x[1] == "" {
			p.Add(r.Key+" "+x[0], "It is empty.", "Fill it in.")
		}
	}
	for _, x := range [][2]string{{"date", r.Date}, {"review", r.Review}} {
		if _, err := time.Parse(time.DateOnly, x[1]); err != nil {
			p.Add(r.Key+" "+x[0], fmt.Sprintf("%q is no day.", x[1]), "Write it as 2026-11-25.")
		}
	}
	if len(r.Limits)+len(r.Evidence) == 0 {
		p.Add(r.Key+" limits", "The rule asks for nothing.", "Give a limit or a piece of evidence.")
	}
	for i, l := range r.Limits {
		at := fmt.Sprintf("%s limits[%d]", r.Key, i)
		unit, known := analytes[l.Analyte]
		switch {
		case !known:
			p.Add(at+".analyte", UnknownAnalyte(l.Analyte), "Known are "+strings.Join(Analytes(), ", ")+".")
		case unit != "" && l.Unit == "":
			p.Add(at+".unit", fmt.Sprintf("No unit stands with the limit of %s.", l.Analyte), "It is measured as "+unit+".")
		case unit != "" && !lab.SameKind(unit, l.Unit):
			p.Add(at+".unit", fmt.Sprintf("%s cannot be in %s.", l.Analyte, l.Unit), "It is measured as "+unit+".")
		}
		if l.Under == nil && l.Most == nil && l.Least == nil {
			p.Add(at+".limit", "There is no limit in it.", "Give under, most or least.")
		}
		for _, v := range []*float64{l.Under, l.Most, l.Least} {
			if v != nil && !(*v >= 0 && *v <= mostLimit) {
				p.Add(at+".limit", fmt.Sprintf("The limit is %g.", *v), fmt.Sprintf("Give one between 0 and %g.", float64(mostLimit)))
			}
		}
		if l.Least != nil && l.Most != nil && *l.Least > *l.Most {
			p.Add(at+".limit", fmt.Sprintf("At least %g and at most %g cannot both be.", *l.Least, *l.Most), "Look at the two.")
		}
		if (l.Over > 0 && l.Within == nil) || l.Samples < 1 || l.Over < 0 || l.Over > l.Samples {
			p.Add(at+".samples", "The plan of samples does not hold together.", "Give samples, how many may lie over, and over what (within).")
		}
		if l.Where == "" {
			p.Add(at+".where", "Nothing says where the rule has it.", "Give the paragraph or the table.")
		}
	}
	for i, n := range r.Evidence {
		at := fmt.Sprintf("%s evidence[%d]", r.Key, i)
		if n.Key == "" || n.Say == "" || n.Try == "" || n.Where == "" {
			p.Add(at+".say", "Key, say, try or where is empty.", "Fill it in.")
		}
		if h := n.Heat; h != nil && (!(h.Low > 0) || !(h.Hours > 0) || h.High != 0 && h.High <= h.Low || h.Turns < 0) {
			p.Add(at+".heat", "The heat that it asks for does not hold together.", "Give low_c, hours, and high_c over low_c or none.")
		}
	}
	return p
}

// recalled tells whether a text is not one that we read.
func recalled(how string) bool { return how == "memory" }

// NeedsLimit says whether a result of 0 of an analyte is none seen and not none
// there: germs and metals.
func NeedsLimit(analyte string) bool {
	return analytes[analyte] == "1/g" || analytes[analyte] == "mg/kg"
}
