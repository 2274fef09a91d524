package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"wormyard/farm"
	"wormyard/internal/nature"
	"wormyard/journal"
	"wormyard/lab"
	"wormyard/qty"
	"wormyard/slide"
)

// numbersOfNature are read once.
var numbersOfNature = sync.OnceValues(nature.Load)

// Glass is one slide of the journal as the bench reads it.
type Glass struct {
	Entry, Who string
	At         time.Time
	Count      slide.Count
}

// Bench is what the slides of a lot say.
type Bench struct {
	slide.Answer
	Lot      string
	Glasses  []Glass
	Unread   []Glass // of which it is not said how they were looked at
	From, To time.Time
}

// Glasses gives the slides of a lot in the order they were counted.
func Glasses(s *farm.State, lot string) []Glass {
	l, ok := s.Lot(lot)
	if !ok {
		return nil
	}
	var out []Glass
	for _, seen := range l.Seen {
		e, counts, found := s.Entry(seen.Entry)
		if !found || !counts {
			continue
		}
		if b, ok := e.Body.(*journal.Microscope); ok {
			out = append(out, GlassOf(e, b, s.Zone()))
		}
	}
	slices.SortStableFunc(out, func(a, b Glass) int { return a.At.Compare(b.At) })
	return out
}

// GlassOf reads the slide of an entry. A slide of no handful is of one of its day;
// one without a number is of none that is counted again.
func GlassOf(e *journal.Entry, b *journal.Microscope, zone *time.Location) Glass {
	g := Glass{Entry: e.ID, Who: e.Who, At: e.At, Count: slide.Count{Handful: b.SubSample, Slide: b.Slide, Who: e.Who, Seen: map[slide.Group][]float64{}}}
	if g.Count.Handful == "" {
		g.Count.Handful = e.At.In(zone).Format(journal.DayLayout)
	}
	if g.Count.Slide == "" {
		g.Count.Slide = e.ID
	}
	g.Count.CellLength, g.Count.CellWidth = or0(b.CellLengthUM), or0(b.CellWidthUM)
	g.Count.Optics = opticsOf(b)
	threads := threadsMeant(b.Group)
	var width, length float64
	for _, f := range b.Fields {
		for group, n := range map[slide.Group]*int{
			slide.Bacteria: f.Bacteria, slide.Flagellates: f.Flagellates, slide.Amoebae: f.Amoebae, slide.Ciliates: f.Ciliates, slide.Unknown: f.Unknown,
			slide.NematodesBacteria: f.NematodesBacteria, slide.NematodesFungi: f.NematodesFungi, slide.NematodesPlants: f.NematodesPlants, slide.NematodesPredators: f.NematodesPredators,
		} {
			if n != nil {
				g.Count.Seen[group] = append(g.Count.Seen[group], float64(*n))
			}
		}
		switch {
		case f.LengthUM != nil:
			g.Count.Seen[slide.Threads] = append(g.Count.Seen[slide.Threads], *f.LengthUM)
			if w := or0(f.DiameterUM); w > 0 {
				width, length = width+w*(*f.LengthUM), length+*f.LengthUM
			}
		case f.Count != nil && threads && *f.Count == 0:
			g.Count.Seen[slide.Threads] = append(g.Count.Seen[slide.Threads], 0)
		case f.Count != nil && !threads:
			if group, ok := groupMeant(b.Group); ok {
				g.Count.Seen[group] = append(g.Count.Seen[group], float64(*f.Count))
			}
		}
	}
	if length > 0 {
		g.Count.Width = width / length
	}
	return g
}

func threadsMeant(group string) bool {
	g := strings.ToLower(group)
	return g == "fungi" || g == "threads" || g == "hyphae"
}

// groupMeant finds the group that an entry of one group names in words.
func groupMeant(word string) (slide.Group, bool) {
	w := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(word)), " ", "_")
	for _, g := range slide.Groups() {
		if string(g) == w || string(g) == w+"s" {
			return g, true
		}
	}
	return "", false
}

// lookedAt is how a slide was looked at as far as it is said, 0 for what is not.
func lookedAt(b *journal.Microscope) lab.Slide {
	return lab.Slide{FieldNumber: or0(b.FieldNumberMM), Objective: or0(b.ObjectiveX), Tube: 1, Cover: b.CoverMM, Drop: or0(b.DropML), Dilution: or0(b.Dilution), Area: b.FieldAreaMM2}
}

// opticsOf is how a slide was looked at; nil where a part of it is not said.
func opticsOf(b *journal.Microscope) *lab.Slide {
	s := lookedAt(b)
	if b.WaterFracWet != nil && *b.WaterFracWet < 1 {
		dry := 1 - float64(*b.WaterFracWet)
		s.DryPart = &dry
	}
	if len(s.Problems(1)) > 0 {
		return nil
	}
	return &s
}

// againstSlide refuses what cannot be seen under a cover glass, and numbers of the
// setting that no microscope has.
func againstSlide(b *journal.Microscope) (ps []journal.Problem) {
	s := lookedAt(b)
	given := map[string]bool{"field_number_mm": b.FieldNumberMM != nil, "objective_x": b.ObjectiveX != nil, "cover_mm": len(b.CoverMM) == 2, "drop_ml": b.DropML != nil, "dilution": b.Dilution != nil, "field_area_mm2": b.FieldAreaMM2 != nil}
	for _, x := range s.Problems(float64(max(1, len(b.Fields)))) {
		key, _, _ := strings.Cut(x.Field, "[")
		if given[key] || key == "fields" {
			ps = append(ps, journal.Problem{Field: key, Say: x.Say, Try: x.Try, Level: journal.Refused})
		}
	}
	if b.CellLengthUM != nil && b.CellWidthUM != nil && *b.CellLengthUM < *b.CellWidthUM {
		ps = append(ps, journal.Problem{Field: "cell_length_um", Level: journal.Refused, Say: fmt.Sprintf("The bacteria are said to be shorter (%g µm) than wide (%g µm).", *b.CellLengthUM, *b.CellWidthUM),
			Try: "Look whether the two were swapped; a ball has the same number twice."})
	}
	return ps
}

// BenchOf gives what the slides of a lot say, with one more that is not written down
// when it is given.
func BenchOf(s *farm.State, lot string, more ...Glass) (Bench, error) {
	numbers, err := numbersOfNature()
	if err != nil {
		return Bench{}, err
	}
	out := Bench{Lot: lot}
	var counts []slide.Count
	for _, g := range append(Glasses(s, lot), more...) {
		if g.Count.Optics == nil {
			out.Unread = append(out.Unread, g)
			continue
		}
		if len(g.Count.Seen) == 0 {
			continue
		}
		out.Glasses = append(out.Glasses, g)
		counts = append(counts, g.Count)
		if out.From.IsZero() {
			out.From = g.At
		}
		out.To = g.At
	}
	out.Answer = numbers.Slide.Say(counts)
	return out, nil
}

// SlideNumbers are the numbers behind what slides say.
func SlideNumbers() (slide.Parameters, error) {
	n, err := numbersOfNature()
	return n.Slide, err
}

// DryPart is the dry part of a lot as its slides were made, the last that was
// measured; false where none was.
func (b Bench) DryPart() (float64, bool) {
	for i := len(b.Glasses) - 1; i >= 0; i-- {
		if d := b.Glasses[i].Count.Optics.DryPart; d != nil {
			return *d, true
		}
	}
	return 0, false
}

// Reported is a value of a report that gives no raw counts.
type Reported struct {
	At               time.Time
	Entry            string
	Analyte          string
	Value, Low, High float64 // the range is ours: wide, as the method is not known
	Limit            float64 // under which it lies, where Value is 0
	Laboratory       string
	Method           string
	Note             string
}

// reportSuffixes are the units of groups in reports.
var reportSuffixes = []string{"_per_g_wet", "_per_g_dry", "_ug_g_wet", "_ug_g_dry", "_m_g_wet", "_ratio"}

// ReportedGroup tells which group an analyte of a report is about; "fungi_bacteria"
// is the ratio.
func ReportedGroup(analyte string) (string, bool) {
	for _, suffix := range reportSuffixes {
		name, ok := strings.CutSuffix(analyte, suffix)
		if !ok {
			continue
		}
		if name == "fungi" || name == "nematodes" || name == "fungi_bacteria" {
			return name, true
		}
		if _, ok := groupMeant(name); ok {
			return name, true
		}
	}
	return "", false
}

// ReportsOf gives what reports say of a lot, in the order of their entries.
func ReportsOf(s *farm.State, lot string) ([]Reported, error) {
	n, err := numbersOfNature()
	if err != nil {
		return nil, err
	}
	l, ok := s.Lot(lot)
	if !ok {
		return nil, nil
	}
	var out []Reported
	for _, x := range l.Tests {
		if _, ok := ReportedGroup(x.Analyte); !ok {
			continue
		}
		e, _, found := s.Entry(x.Entry)
		if !found {
			continue
		}
		b, ok := e.Body.(*journal.Assay)
		if !ok {
			continue
		}
		r := Reported{At: x.At, Entry: x.Entry, Analyte: x.Analyte, Value: b.Value, Laboratory: b.Laboratory, Method: b.Method, Note: b.Note, Limit: or0(b.DetectionLimit)}
		r.Low, r.High = b.Value/n.Slide.Unsure, b.Value*n.Slide.Unsure
		out = append(out, r)
	}
	return out, nil
}

// SeenLot is a lot with what is known of it where counts are compared.
type SeenLot struct {
	Bench
	Reports  []Reported
	Mix      string  // the material of the largest share
	MixShare float64 // of it, 0 to 1
	Age      float64 // from the first harvest to the first count [day]
	Opening  float64 // of the finest screen it went through before [mm]; 0 for none
	Stored   float64 // cured before the first count [day]; 0 for none
}

// SeenLots gives the lots that were counted or reported on, in the order of their
// first count.
func SeenLots(s *farm.State) ([]SeenLot, error) {
	var out []SeenLot
	for _, l := range s.Lots() {
		b, err := BenchOf(s, l.Name)
		if err != nil {
			return nil, err
		}
		x := SeenLot{Bench: b}
		if x.Reports, err = ReportsOf(s, l.Name); err != nil {
			return nil, err
		}
		first := b.From
		if len(x.Reports) > 0 && (first.IsZero() || x.Reports[0].At.Before(first)) {
			first = x.Reports[0].At
		}
		if first.IsZero() {
			continue
		}
		x.From = first
		x.Age = first.Sub(l.Since.At).Hours() / 24
		for _, sc := range l.Screens {
			for _, d := range sc.Decks {
				if sc.At.Before(first) && (x.Opening == 0 || d.OpeningMM < x.Opening) {
					x.Opening = d.OpeningMM
				}
			}
		}
		if len(l.Cures) > 0 && l.Cures[0].At.Before(first) {
			x.Stored = first.Sub(l.Cures[0].At).Hours() / 24
		}
		if shown, ok := LotShown(s, l.Name); ok {
			if made := ByMaterial(shown.Made); len(made) > 0 && made[0].Share != nil {
				x.Mix, x.MixShare = made[0].Name, *made[0].Share
			}
		}
		out = append(out, x)
	}
	slices.SortStableFunc(out, func(a, b SeenLot) int { return cmp.Or(a.From.Compare(b.From), cmp.Compare(a.Lot, b.Lot)) })
	return out, nil
}

// WouldRefuse gives what is wrong with an entry, without writing it.
func WouldRefuse(s *farm.State, e journal.Entry, now time.Time) []Problem {
	ps := journal.Check(&e, journal.Known{Units: s.Settings.Units, Zone: s.Zone(), Now: now})
	return problems(append(ps, against(s, &e)...))
}

// Round2 rounds to two figures, as counts are told.
func Round2(v float64) float64 { return qty.Rounded(v, 2) }
