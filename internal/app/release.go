package app

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/journal"
	lots "wormyard/lot"
	"wormyard/qty"
	"wormyard/trace"
)

// ReleaseAnswer is what a rule says of a lot, with what it rests on.
type ReleaseAnswer struct {
	Lot          string        `json:"lot"`
	Rule         string        `json:"rule"`
	Title        string        `json:"title"`
	Jurisdiction string        `json:"jurisdiction"`
	Citation     string        `json:"citation"`
	Date         string        `json:"date"`
	Review       string        `json:"review"` // day by which it is to be read again
	Known        string        `json:"known"`  // how the text is known: found, memory or assumed
	Applies      string        `json:"applies"`
	Note         string        `json:"note,omitempty"`
	State        lots.State    `json:"state"`
	Held         string        `json:"held_why,omitempty"` // the lot is on hold, and a release ends that
	Animal       bool          `json:"animal"`
	AnimalWhy    string        `json:"animal_why"`
	Lines        []ReleaseLine `json:"lines"`
	Heat         []PileHeat    `json:"heat"`
	Allows       []string      `json:"allows"`
	Refuses      []string      `json:"refuses"`
	Caution      []string      `json:"caution"`
	Recorded     string        `json:"recorded,omitempty"` // id of the release, where it was written down
}

// ReleaseLine is one thing that a rule asks, with the entries that it rests on.
type ReleaseLine struct {
	lots.Line
	Entries []string `json:"entries"`
	Asks    bool     `json:"asks_for_word"` // whoever signs may say what shows it
}

// PileHeat is what was read of a pile that went into a lot, from its last load to
// when it was first taken. Share is the part of the lot that came from the pile, not
// given where nobody knows; Entries are the ids of the readings.
type PileHeat struct {
	Pile     string     `json:"pile"`
	From     time.Time  `json:"from"`
	To       time.Time  `json:"to"`
	Readings int        `json:"readings"`
	Turns    int        `json:"turns"`
	Share    *float64   `json:"share,omitempty"`
	Entries  []string   `json:"entries"`
	Routes   []HeatLine `json:"routes"`
}

// HeatLine is one way of heating that a rule knows, held against a record [h].
type HeatLine struct {
	Key   string  `json:"key"`
	Asked string  `json:"asked"`
	Met   bool    `json:"met"`
	Hours float64 `json:"hours"` // that count
	Want  float64 `json:"hours_wanted"`
	Gaps  float64 `json:"hours_unread"`
	Cold  float64 `json:"hours_too_cold"`
	Hot   float64 `json:"hours_too_hot"`
	Turns int     `json:"turns"`
	Said  string  `json:"said"`
}

// HouseRule is the key of the farm's own rule; the setting rule/farm_house holds
// what the farm made of it.
const HouseRule = "farm_house"

// keyRule is the beginning of settings that hold a rule of the farm's own.
const keyRule = "rule/"

var builtIn = sync.OnceValues(source.Rules)

// Rules gives the rules that a lot may be held against, with the farm's own as it
// set it.
func Rules(s *farm.State) ([]lots.Rule, error) {
	all, err := builtIn()
	if err != nil {
		return nil, err
	}
	out := slices.Clone(all)
	if text := s.Settings.Other[keyRule+HouseRule]; text != "" {
		own, err := source.ReadRule("rule", []byte(text))
		if err != nil {
			return nil, err
		}
		for i := range out {
			if out[i].Key == HouseRule {
				out[i] = own
			}
		}
	}
	return out, nil
}

// RuleNamed finds a rule by its key; near are those like it.
func RuleNamed(s *farm.State, key string) (r lots.Rule, near []string, ok bool, err error) {
	all, err := Rules(s)
	if err != nil {
		return r, nil, false, err
	}
	var keys []string
	for _, x := range all {
		if x.Key == strings.TrimSpace(key) {
			return x, nil, true, nil
		}
		keys = append(keys, x.Key)
	}
	if near = journal.Nearest(key, keys); len(near) == 0 {
		near = keys
	}
	return r, near, false, nil
}

// evidence is what the journal holds of a lot for a rule.
type evidence struct {
	facts   lots.Facts
	entries map[string][]string // by analyte or key
	heat    []PileHeat
	why     string // animal matter is in it, or not
}

// Judged holds a lot against a rule, with what whoever signs says besides.
func Judged(s *farm.State, name string, rule lots.Rule, shown []journal.Evidence, by string, now time.Time) (ReleaseAnswer, error) {
	l, ok := s.Lot(name)
	if !ok {
		return ReleaseAnswer{}, fmt.Errorf("there is no lot %q", name)
	}
	library, err := source.Library()
	if err != nil {
		return ReleaseAnswer{}, err
	}
	ev := evidenceOf(s, l, library)
	for _, x := range shown {
		ev.facts.Proofs = append(ev.facts.Proofs, lots.Proof{Key: x.Key, Good: true, From: fmt.Sprintf("On the word of %s: %s", cmp.Or(by, "whoever signs"), x.What)})
		ev.entries[x.Key] = append(ev.entries[x.Key], x.Entries...)
		if strings.HasPrefix(x.Key, "heat_") { // how air got into a pile that stood
			for i := range ev.facts.Heat {
				if ev.facts.Heat[i].Kind == "" {
					ev.facts.Heat[i].Kind = "still"
				}
			}
		}
	}
	j := rule.Judge(ev.facts, now)
	out := ReleaseAnswer{Lot: name, Rule: rule.Key, Title: rule.Title, Jurisdiction: rule.Jurisdiction, Citation: rule.Citation, Date: rule.Date, Review: rule.Review, Known: rule.How, Applies: rule.Applies, Note: rule.Note,
		State: j.State, Animal: ev.facts.Animal, AnimalWhy: ev.why, Lines: []ReleaseLine{}, Heat: []PileHeat{}, Allows: slices.Concat([]string{}, rule.Allows), Refuses: slices.Concat([]string{}, rule.Refuses), Caution: j.Caution}
	if l.Held() {
		out.Held = l.Holds[len(l.Holds)-1].Why
	}
	word := map[string]bool{}
	for _, n := range rule.Evidence {
		word[n.Key] = n.Heat == nil || n.Heat.Kind == "still"
	}
	for _, x := range j.Lines {
		out.Lines = append(out.Lines, ReleaseLine{x, slices.Concat([]string{}, ev.entries[x.Key]), word[x.Key] && (x.State == lots.Missing || slices.ContainsFunc(shown, func(e journal.Evidence) bool { return e.Key == x.Key }))})
	}
	for i, p := range ev.heat {
		for _, n := range rule.Evidence {
			if n.Heat == nil || n.OnlyFor == "animal" && !ev.facts.Animal {
				continue
			}
			f := n.Heat.Evaluate(ev.facts.Heat[i])
			p.Routes = append(p.Routes, HeatLine{n.Key, n.Say, f.Met, f.Hours, n.Heat.Hours, f.Gaps, f.Cold, f.Hot, f.Turns, f.Said})
		}
		if len(p.Routes) > 0 {
			out.Heat = append(out.Heat, p)
		}
	}
	return out, nil
}

// animalGroups are the groups of the library that come from animals.
var animalGroups = []string{"manure"}

// evidenceOf gathers what the journal holds of a lot: tests, screens, counts, what
// went in, how hot its piles were, and how its beds were fed.
func evidenceOf(s *farm.State, l *farm.Lot, library *feedstock.Library) evidence {
	ev := evidence{entries: map[string][]string{}, why: "No manure is written down as having gone in."}
	ev.facts.Hints = map[string]string{}
	ev.tests(l.Tests)
	proof := func(key string, n farm.Noted, from string) {
		ev.facts.Proofs = append(ev.facts.Proofs, lots.Proof{Key: key, Good: true, From: from})
		ev.entries[key] = append(ev.entries[key], n.Entry)
	}
	zone := s.Zone()
	if n := len(l.Seen); n > 0 {
		proof("counted", l.Seen[n-1].Noted, fmt.Sprintf("Counted under the microscope on %s.", l.Seen[n-1].At.In(zone).Format(journal.DayLayout)))
	}
	if n := len(l.Screens); n > 0 {
		x := l.Screens[n-1]
		if x.OversTo != "" {
			proof("screened", x.Noted, fmt.Sprintf("Screened on %s, and what stayed on top went to %s.", x.At.In(zone).Format(journal.DayLayout), x.OversTo))
		} else {
			ev.facts.Hints["screened"] = "It was screened, and nobody wrote where what stayed on top went."
		}
	}
	t, _ := s.Trace().Trace("lot "+l.Name, trace.Back)
	materials, unwritten := map[string]bool{}, false
	deliveries := 0
	animal := map[string]bool{}
	beds := map[string]time.Time{}
	for _, f := range t.Found {
		what := ""
		switch f.Kind {
		case trace.Delivery:
			deliveries++
			what = f.What
		case trace.Bedding:
			what = f.Name
		case trace.Bed:
			beds[f.Name] = f.At
		}
		if what == "" {
			continue
		}
		materials[what] = true
		switch m, ofAnimals, known := animalMatter(what, library); {
		case !known:
			unwritten = true
			ev.why = fmt.Sprintf("Nobody wrote what %q is, so it counts as animal matter.", what)
		case ofAnimals:
			animal[m] = true
			ev.facts.Animal = true
		}
	}
	switch {
	case ev.facts.Animal:
		ev.why = fmt.Sprintf("Animal matter went in: %s.", strings.Join(slices.Sorted(maps.Keys(animal)), " and ")) // names have commas in them
	case len(materials) == 0:
		ev.facts.Animal, ev.why = true, "Nobody wrote what went in, so it counts as animal matter."
	default:
		ev.facts.Animal = unwritten
	}
	if deliveries > 0 {
		ev.facts.Hints["feedstocks_listed"] = fmt.Sprintf("%d loads of %d materials are written down. Whether each of them is allowed, the journal does not know.", deliveries, len(materials))
	}
	ev.piles(s, l, t, library)
	ev.feeding(s, l, beds)
	return ev
}

// tests makes findings of the tests of a lot.
func (ev *evidence) tests(tests []farm.Test) {
	var dry *qty.Fraction
	for _, t := range tests {
		if t.Analyte == feedstock.KeyWater && t.Value >= 0 && t.Value < 1 {
			d := qty.Fraction(1 - t.Value)
			dry = &d
		}
	}
	for _, t := range tests {
		f := findingOf(t)
		f.Dry = dry
		ev.facts.Findings = append(ev.facts.Findings, f)
		ev.entries[f.Analyte] = append(ev.entries[f.Analyte], t.Entry)
	}
}

// named are tests whose names in the journal are not those of rules.
var named = map[string]struct {
	analyte, unit, basis string
	times                float64
}{
	feedstock.KeyWater: {"water", "%", "wet", 100}, "ec_ds_m": {"salts", "dS/m", "none", 1}, "bioassay": {"bioassay_hurt", "-", "none", 1}, "volatile_frac_dry": {"organic_matter", "%", "dry", 100},
}

// findingOf reads a test as rules do.
func findingOf(t farm.Test) lots.Finding {
	times := 1.0
	f := lots.Finding{Analyte: t.Analyte, Value: t.Value, Unit: t.Unit, Basis: cmp.Or(t.Basis, "none"), From: strings.TrimSpace(t.Laboratory + " " + t.Sample)}
	if n, ok := named[t.Analyte]; ok {
		f.Analyte, f.Unit, f.Basis, times = n.analyte, n.unit, n.basis, n.times
	} else if base, e, ok := journal.EndingOf(t.Analyte); ok {
		f.Analyte, f.Unit, f.Basis, times = base, e.Unit, cmp.Or(e.Basis, "none"), e.Times
	}
	f.Value = t.Value * times
	switch t.Reads {
	case journal.ReadsLess:
		f.LessThan = true
	case journal.ReadsMore:
		f.MoreThan = true
	case journal.ReadsNone:
		f.Unseen = true
	case journal.ReadsTooMany, journal.ReadsPresent:
		f.Many = true
	default:
		if t.Value == 0 && t.DetectionLimit != nil && *t.DetectionLimit > 0 {
			f.LessThan, f.Value = true, *t.DetectionLimit*times
		} else if t.Value == 0 && lots.NeedsLimit(f.Analyte) {
			f.Unseen = true
		}
	}
	if f.Unseen && (f.Unit == "CFU/25 g" || f.Unit == "CFU/5 g") { // none in that portion is less than one in it
		f.Unseen, f.LessThan, f.Value = false, true, 1
	}
	return f
}

// piles makes a record of heat for each pile with animal matter: from its last
// load before a batch was mixed of it up to that mixing, so that what came after
// the heat, or left before it, does not pass with the rest. C:N at the start is
// that of tests of these piles.
func (ev *evidence) piles(s *farm.State, l *farm.Lot, t trace.Trace, library *feedstock.Library) {
	type span struct {
		pile     string
		from, to time.Time
	}
	var spans []span
	share := map[string]float64{}
	for _, f := range t.Found {
		if f.Kind == trace.Pile && f.Known() {
			share[f.Name] += f.Share
		}
		if f.Kind != trace.Batch {
			continue
		}
		b, ok := s.Batch(f.Name)
		if !ok {
			continue
		}
		for _, part := range b.Parts {
			p, ok := s.Pile(part.Pile)
			if !ok || !fromAnimals(p, library) {
				continue
			}
			var from time.Time
			for _, load := range p.Loads {
				if !load.At.After(b.At) {
					from = load.At
				}
			}
			i := slices.IndexFunc(spans, func(x span) bool { return x.pile == p.Name && x.from.Equal(from) })
			if i < 0 {
				spans = append(spans, span{p.Name, from, b.At})
			} else if b.At.Before(spans[i].to) {
				spans[i].to = b.At
			}
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return a.to.Compare(b.to) })
	seen := map[string]bool{}
	for _, x := range spans {
		p, _ := s.Pile(x.pile)
		heat := PileHeat{Pile: p.Name, From: x.from, To: x.to, Entries: []string{}, Routes: []HeatLine{}}
		if part, ok := share[p.Name]; ok {
			heat.Share = &part
		}
		r := lots.HeatRecord{Name: fmt.Sprintf("Pile %s after the load of %s.", p.Name, x.from.In(s.Zone()).Format(journal.DayLayout))}
		for _, d := range p.Tended {
			if d.At.Before(x.from) || d.At.After(x.to) {
				continue
			}
			if d.Temp != nil {
				place := "somewhere"
				if d.Depth != nil {
					place = fmt.Sprintf("%.1f m", float64(*d.Depth))
				}
				r.Readings = append(r.Readings, lots.HeatReading{At: d.At, Place: place, Temp: *d.Temp})
				heat.Entries = append(heat.Entries, d.Entry)
			}
			if d.Act == "turned" {
				r.Kind = "turned"
				r.Turned = append(r.Turned, d.At)
			}
		}
		ev.facts.Heat = append(ev.facts.Heat, r)
		heat.Readings, heat.Turns = len(r.Readings), len(r.Turned)
		ev.heat = append(ev.heat, heat)
		if !seen[p.Name] {
			seen[p.Name] = true
			for _, test := range p.Tests {
				if test.Analyte == feedstock.KeyCN {
					ev.facts.Findings = append(ev.facts.Findings, lots.Finding{Analyte: "cn_start", Value: test.Value, Unit: "-", Basis: "none"})
					ev.entries["cn_start"] = append(ev.entries["cn_start"], test.Entry)
				}
			}
		}
	}
}

// fromAnimals says whether a load of a pile was of animals, or nobody knows of what.
func fromAnimals(p *farm.Pile, library *feedstock.Library) bool {
	return slices.ContainsFunc(p.Loads, func(d farm.Delivery) bool {
		_, ofAnimals, known := animalMatter(d.Material, library)
		return ofAnimals || !known
	})
}

// animalMatter says whether a material comes from animals, as far as it is known, and
// what the library calls it.
func animalMatter(material string, library *feedstock.Library) (name string, ofAnimals, known bool) {
	m, err := library.Find(material)
	return m.Name, err == nil && slices.Contains(animalGroups, m.Group), err == nil
}

// Thin layers come every one to three days; a wait of a quarter day more is taken
// as three. The moisture is the rule's as recalled (data/rules, us_organic_vermicompost).
const (
	thinLayerDays  = 3.25
	wettest, least = 0.9, 0.7
)

// feeding tells how the beds of a lot were fed and how moist they were read.
func (ev *evidence) feeding(s *farm.State, l *farm.Lot, beds map[string]time.Time) {
	type stay struct {
		bin      string
		from, to time.Time
	}
	var stays []stay
	for _, x := range l.From {
		if from, ok := beds[x.Bed]; ok {
			stays = append(stays, stay{x.Bin, from, x.At})
		}
	}
	if len(stays) == 0 {
		return
	}
	fed := make([][]time.Time, len(stays))
	moist, inside := 0, 0
	for _, e := range s.Journal() {
		for i, st := range stays {
			if e.At.Before(st.from) || e.At.After(st.to) {
				continue
			}
			switch b := e.Body.(type) {
			case *journal.Feed:
				if slices.Contains(b.Bins, st.bin) {
					fed[i] = append(fed[i], e.At)
				}
			case *journal.Reading:
				if b.Bin == st.bin && b.WaterFracWet != nil {
					moist++
					if w := float64(*b.WaterFracWet); w >= least && w <= wettest {
						inside++
					}
				}
			}
		}
	}
	feedings, longest := 0, 0.0
	for _, times := range fed {
		slices.SortFunc(times, time.Time.Compare)
		feedings += len(times)
		for i := 1; i < len(times); i++ {
			longest = math.Max(longest, times[i].Sub(times[i-1]).Hours()/24)
		}
	}
	switch {
	case feedings >= 2 && longest > 0 && longest <= thinLayerDays:
		ev.facts.Proofs = append(ev.facts.Proofs, lots.Proof{Key: "layers", Good: true, From: fmt.Sprintf("%d feedings in %d beds, the longest wait %s days.", feedings, len(stays), qty.Figures(longest))})
	case feedings > 0:
		ev.facts.Hints["layers"] = fmt.Sprintf("%d feedings in %d beds, the longest wait %s days: that is no thin layer every 1 to 3 days.", feedings, len(stays), qty.Figures(longest))
	}
	if moist > 0 {
		ev.facts.Hints["moisture_log"] = fmt.Sprintf("%d readings of moisture in %d beds, %d of them from 70 to 90 %%. What lies between them is not known.", moist, len(stays), inside)
	}
}

// RuleList is the answer of wormyard lot rules.
type RuleList struct {
	Rules []RuleShort `json:"rules"`
}

// RuleShort is a rule on the list of rules.
type RuleShort struct {
	Rule         string `json:"rule"`
	Title        string `json:"title"`
	Jurisdiction string `json:"jurisdiction"`
	Citation     string `json:"citation"`
	Known        string `json:"known"` // found, memory or assumed
	Review       string `json:"review"`
	Due          bool   `json:"overdue"` // the day to read it again is past
}

// RulesListed gives the rules with the day by which each is to be read again.
func RulesListed(s *farm.State, now time.Time) (RuleList, error) {
	all, err := Rules(s)
	out := RuleList{Rules: []RuleShort{}}
	for _, r := range all {
		out.Rules = append(out.Rules, RuleShort{r.Key, r.Title, r.Jurisdiction, r.Citation, r.How, r.Review, r.Due(now)})
	}
	return out, err
}
