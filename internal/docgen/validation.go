package main

import (
	"bytes"
	"fmt"
	"strings"

	"wormyard/bench/proof"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/published"
	"wormyard/internal/published/runners"
)

var howChecked = map[string]string{
	"found": "printed, read by us", "memory": "printed, as recalled", "algebra": "a closed form", "computed": "an independent calculation", "practice": "common practice, no source",
}

func validation(_ string, out pages) error {
	figures, err := app.Figures()
	if err != nil {
		return err
	}
	byName := map[string]figure.Figure{}
	for _, f := range figures {
		byName[f.Name] = f
	}
	byCheck := map[string]published.Compute{}
	for _, r := range runners.All() {
		byCheck[r.File+" "+r.Check] = r.Compute
	}
	checked := map[string]bool{}
	var table, gaps, missing bytes.Buffer
	checks, rows, values := 0, 0, 0
	for _, name := range published.Names() {
		f, err := published.Read(name)
		if err != nil {
			return err
		}
		for _, c := range f.Checks {
			compute, ok := byCheck[name+" "+c.ID]
			if !ok {
				if g, isFigure := byName[c.Figure]; isFigure {
					compute, ok = published.ByFigure(g), true
				}
			}
			if !ok {
				fmt.Fprintf(&missing, "- %s, %s: nothing here computes it (%s).\n", sourceLine(f), c.ID, firstOf(c.Figure, c.What))
				continue
			}
			r := published.Measure(c, compute)
			if len(r.Misses) > 0 {
				return fmt.Errorf("docs/validation.md: %s", strings.Join(r.Misses, "\n"))
			}
			if len(c.Rows) > 0 {
				checked[c.Figure] = true
				checks, rows, values = checks+1, rows+r.Rows, values+r.Values
				fmt.Fprintf(&table, "| %s/%s | %s | %s | %s | %s | %d | %s | %s | %s |\n", name, c.ID, cell(sourceLine(f)), cell(what(c)), howChecked[f.Source.How], c.Role, r.Rows, errorOf(r, c.Unit), tolerance(c.Tolerance), cell(c.Tolerance.Why))
			}
			writeGaps(&gaps, f, c, compute)
		}
	}
	cases, err := published.Cases()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.WriteString("<!-- Made by go run ./internal/docgen, which computes every check again. Change internal/published/data. -->\n\n# Validation\n\n")
	b.WriteString("What was compared with values that are not ours, and how near we came. A row is one printed case; the error is the largest over its rows, computed when this page was made. A *check* was not used to choose anything; a *calibration* was, and proves only that the fit is what it claims. Balances, limits and monotone behaviour are held by the tests of each package and are not in this table.\n\n")
	fmt.Fprintf(&b, "%d checks with %d rows and %d values.\n\n", checks, rows, values)
	b.WriteString("| check | source | what | whose value | role | rows | our largest error | tolerance | why that tolerance |\n|---|---|---|---|---|---|---|---|---|\n")
	b.Write(table.Bytes())
	writeCases(&b, cases)
	known, err := proof.Kept()
	if err != nil {
		return err
	}
	for i := range known {
		if r := &known[i]; r.Picture() != "" {
			out[r.Picture()] = reliability(r)
		}
	}
	b.WriteString("\n## Farms whose truth is known\n\n" + proof.About + proof.Page(known) + proof.Heat + proof.Held + proof.Aired + proof.Misses)
	b.WriteString("\n## Known gaps\n\nRows that we do not meet, with our number of today and the next idea; a row that is met again fails its test until it is moved up.\n\n")
	b.WriteString(firstOf(gaps.String(), "None are known.\n"))
	b.WriteString("\n## Not checked\n\n")
	b.Write(missing.Bytes())
	for _, f := range figures {
		if !checked[f.Name] {
			fmt.Fprintf(&b, "- Figure `%s` (%s): no published value is compared with it.\n", f.Name, f.Equation)
		}
	}
	b.WriteString("- The bed as a whole, the yard's piles, the twin and the round have not been compared with a real farm. Their parts are; the sum of the parts is not.\n")
	b.WriteString("- Other species of worms have numbers of their own, of which growth alone is held against what was measured (docs/calibration.md); the rest of them, and that salts drive worms off and kill them (W14, W15), is compared with nothing that was not used to set it.\n")
	b.WriteString("- Values marked \"as recalled\" were not read in their source; a slip of memory would pass both the check and us.\n")
	out["validation.md"] = b.Bytes()
	return nil
}

// reliability draws how often the truth lay below what a forecast of a week said that
// it would lie below with a chance: the line is where it should.
func reliability(r *proof.Result) []byte {
	p := plot{title: r.Farm + ", a week ahead", x: "chance told that the truth is less", y: "how often it was", line: [][2]float64{{0, 0}, {1, 1}}}
	for _, k := range r.Told() {
		c := course{name: k.Quantity, points: [][2]float64{{0, 0}}}
		sum := 0.0
		for i, part := range k.Parts {
			sum += part
			c.points = append(c.points, [2]float64{float64(i+1) / float64(len(k.Parts)), min(sum, 1)})
		}
		p.courses = append(p.courses, c)
	}
	return p.svg()
}

// writeGaps writes the known gaps of a check, those that differ for one reason
// together.
func writeGaps(b *bytes.Buffer, f published.File, c published.Check, compute published.Compute) {
	last := ""
	for _, g := range f.Gaps {
		if g.Check != c.ID {
			continue
		}
		m := published.MeasureGap(c, g, compute)
		now := firstOf(strings.Join(m.Now(), "; "), "met")
		if g.Row.Note != "" {
			now = g.Row.Note + ": " + now
		}
		if g.Differs+g.Tried != last {
			fmt.Fprintf(b, "- **%s/%s.** %s: %s %s Tried: %s Next: %s Ours today:\n", f.Name, c.ID, sourceLine(f), what(c)+".", sentence(g.Differs), sentence(g.Tried), sentence(g.Next))
		}
		last = g.Differs + g.Tried
		fmt.Fprintf(b, "  - %s\n", cell(now))
	}
}

// writeCases says where each case is held.
func writeCases(b *bytes.Buffer, groups []published.Group) {
	b.WriteString("\n## Where each case is\n\nEach numbered equation and worked case with the checks above, or the known gaps below, that hold it. A test fails when one has none. The numbers of the equations of mixing are those of M1 to M29 in docs/model.md.\n")
	for _, g := range groups {
		fmt.Fprintf(b, "\n**%s**\n\n| case | what | checks |\n|---|---|---|\n", g.Title)
		for _, c := range g.Cases {
			fmt.Fprintf(b, "| %s | %s | %s |\n", c.ID, cell(c.What), firstOf(strings.Join(c.Checks, "; "), "none: "+c.None))
		}
	}
}

func sourceLine(f published.File) string {
	s := f.Source.Title
	if f.Source.Authors != "" {
		s = f.Source.Authors + ", " + s
	}
	if f.Source.Year != 0 {
		s += fmt.Sprintf(" (%d)", f.Source.Year)
	}
	return s
}

func what(c published.Check) string {
	s := firstOf(c.What, "`"+c.Figure+"`")
	return s + ", " + firstOf(c.Where, strings.ReplaceAll(c.ID, "_", " "))
}

// errorOf shows the largest error; relative where it says more.
func errorOf(r published.Result, unit string) string {
	if r.WorstAbs == 0 {
		return "none"
	}
	s := fmt.Sprintf("%.1e", r.WorstAbs)
	if unit != "" && unit != "-" {
		s += " " + unit
	}
	return s + fmt.Sprintf(", %.1e relative", r.WorstRel)
}

func tolerance(t published.Tolerance) string {
	var said []string
	if t.Rel > 0 {
		said = append(said, fmt.Sprintf("%g relative", t.Rel))
	}
	if t.Abs > 0 {
		said = append(said, fmt.Sprintf("%g", t.Abs))
	}
	return firstOf(strings.Join(said, " or "), "exact")
}

func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

func sentence(s string) string {
	s = cell(s)
	if s == "" || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}
