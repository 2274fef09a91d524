package web

import (
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/slide"
)

// What was seen is typed group by group, field after field: "12 9 15". The boxes
// become the rows of the entry.

// seenBox is one box of the bench and the column of the entry that it fills.
type seenBox struct{ name, column string }

// seenBoxes lists the boxes in the order of the groups; threads have two.
func seenBoxes() []seenBox {
	var out []seenBox
	for _, g := range slide.Groups() {
		if g == slide.Threads {
			out = append(out, seenBox{"seen_length", "length_um"}, seenBox{"seen_width", "diameter_um"})
			continue
		}
		out = append(out, seenBox{"seen_" + string(g), string(g)})
	}
	return out
}

// columns are those of the table of fields.
func columnsOf(kind journal.Kind) []string {
	k, _ := kind.Field("fields")
	var out []string
	for _, i := range k.Item {
		out = append(out, i.Key)
	}
	return out
}

// seenPart finds where one field's value ends: blanks, semicolons, and commas that
// part numbers rather than stand in one.
var seenPart = regexp.MustCompile(`\s*;\s*|\s*,\s+|\s+`)

// seenParts parts what was typed in a box of the bench. In counts a comma parts too.
func seenParts(text string, counts bool) []string {
	if counts {
		text = strings.ReplaceAll(text, ",", " ")
	}
	var out []string
	for _, x := range seenPart.Split(strings.TrimSpace(text), -1) {
		if x != "" {
			out = append(out, x)
		}
	}
	return out
}

// notLooked are the marks of a field in which a group was not looked for.
var notLooked = []string{"-", "–", "—", "−"}

// gatherSeen turns the boxes of the bench into rows of the table of fields, before
// those that stand in the table itself.
func (s *Server) gatherSeen(r *http.Request, p person, kind journal.Kind, v values) (problems []app.Problem) {
	columns := columnsOf(kind)
	var rows [][]string
	for _, box := range seenBoxes() {
		text := typed(r, box.name)
		v[box.name] = text
		whole := box.column != "length_um" && box.column != "diameter_um"
		for i, part := range seenParts(text, whole) {
			if slices.Contains(notLooked, part) {
				continue
			}
			value, ok := seenNumber(part, whole, box.column == "diameter_um")
			if !ok {
				key := "bench.nolength"
				if whole {
					key = "bench.nocount"
				}
				problems = append(problems, app.Problem{Field: box.name, Say: p.Say(key, seenLabel(p, kind, box), i+1, part), Try: p.Say(key + "try")})
				continue
			}
			for len(rows) <= i {
				rows = append(rows, make([]string, len(columns)))
			}
			rows[i][slices.Index(columns, box.column)] = plainNumber(value)
		}
	}
	var lines []string
	for _, row := range rows {
		if line := strings.Join(row, ","); strings.Trim(line, ",") != "" {
			lines = append(lines, line)
		}
	}
	if table := typed(r, "fields"); table != "" {
		lines = append(lines, table)
	}
	r.PostForm.Set("fields", strings.Join(lines, "\n"))
	return problems
}

// seenNumber reads the value of one field. Lengths of several threads are summed
// ("120+85"), widths of several are their mean.
func seenNumber(text string, whole, mean bool) (float64, bool) {
	sum, n := 0.0, 0
	for _, part := range strings.Split(text, "+") {
		x, ok := qty.Number(strings.ReplaceAll(part, "−", "-"))
		if !ok || whole && x != float64(int64(x)) {
			return 0, false
		}
		sum, n = sum+x, n+1
	}
	if mean {
		sum /= float64(n)
	}
	return sum, true
}

func seenLabel(p person, kind journal.Kind, box seenBox) string {
	switch box.name {
	case "seen_length":
		return p.Say("bench.length")
	case "seen_width":
		return p.Say("bench.width")
	}
	k, _ := kind.Field("fields")
	for _, i := range k.Item {
		if i.Key == box.column {
			return i.Label
		}
	}
	return box.column
}

// seenFields lays out the boxes of what was seen.
func seenFields(p person, kind journal.Kind, v values) []Field {
	var out []Field
	for _, box := range seenBoxes() {
		f := textField(box.name, seenLabel(p, kind, box), v[box.name])
		f.Mode = "text"
		switch box.name {
		case "seen_bacteria":
			f.Help = p.Say("bench.seenhelp")
		case "seen_length":
			f.Help, f.Unit = p.Say("bench.lengthhelp"), "µm"
		case "seen_width":
			f.Help, f.Unit = p.Say("bench.widthhelp"), "µm"
		}
		out = append(out, f)
	}
	return out
}

// seenProblem gives a problem of a row to the box that it was typed in.
func seenProblem(x app.Problem) app.Problem {
	rest, ok := strings.CutPrefix(x.Field, "fields[")
	if !ok {
		if x.Field == "fields" {
			x.Field = "seen_bacteria"
		}
		return x
	}
	if _, column, ok := strings.Cut(rest, "]."); ok {
		for _, box := range seenBoxes() {
			if box.column == column {
				x.Field = box.name
			}
		}
	}
	return x
}

// onBoxes gives problems of an entry to the boxes that a person sees.
func onBoxes(kind journal.Kind, problems []app.Problem) []app.Problem {
	if kind.Name != "microscope" {
		return problems
	}
	out := slices.Clone(problems)
	for i, x := range out {
		out[i] = seenProblem(x)
	}
	return out
}

// nextSlide gives what is likely the same on the slide that comes next: how it is
// looked at, and the handful; the number of the slide is one more.
func (s *Server) nextSlide(lot string) map[string]string {
	state := s.Farm.State()
	out := map[string]string{"sub_sample": "1", "slide": "1"}
	var last *journal.Microscope
	setting := func(of string) {
		list := app.Glasses(state, of)
		if len(list) == 0 || last != nil {
			return
		}
		e, _, _ := state.Entry(list[len(list)-1].Entry)
		last, _ = e.Body.(*journal.Microscope)
	}
	setting(lot)
	if last != nil && last.SubSample != "" {
		out["sub_sample"] = last.SubSample
		if n, err := strconv.Atoi(last.Slide); err == nil {
			out["slide"] = strconv.Itoa(n + 1)
		}
	}
	lots := state.Lots()
	for i := len(lots) - 1; i >= 0 && last == nil; i-- {
		setting(lots[i].Name)
	}
	if last == nil {
		return out
	}
	for key, v := range map[string]*float64{"objective_x": last.ObjectiveX, "field_number_mm": last.FieldNumberMM, "dilution": last.Dilution, "drop_ml": last.DropML} {
		if v != nil {
			out[key] = plainNumber(*v)
		}
	}
	var cover []string
	for _, x := range last.CoverMM {
		cover = append(cover, plainNumber(x))
	}
	out["cover_mm"] = strings.Join(cover, " ")
	return out
}
