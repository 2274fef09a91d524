package app

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/barn"
	"wormyard/journal"
	"wormyard/qty"
)

// counts reads how many rows, stacks by row, and levels a barn has.
func (m *morning) counts(i int, b FirstBarn, tell bool) (rows int, stacks []int, high int) {
	whole := func(field, what, text string, most int) int {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || n < 1 || n > most {
			if tell {
				m.refuse(fmt.Sprintf("barns[%d].%s", i, field), fmt.Sprintf("The number of %s in barn %s is %q.", what, b.Name, text), fmt.Sprintf("Type a whole number from 1 to %d.", most))
			}
			return 0
		}
		return n
	}
	rows = whole("rows", "rows", b.Rows, 200)
	high = whole("high", "bins in a stack", b.High, 12)
	list := strings.FieldsFunc(b.Stacks, func(r rune) bool { return r == ',' || r == ';' || r == ' ' })
	if len(list) == 0 {
		list = []string{""}
	}
	for r := range rows {
		text := list[len(list)-1]
		if r < len(list) {
			text = list[r]
		}
		stacks = append(stacks, whole("stacks", "stacks in a row", text, 500))
	}
	if tell && len(list) > 1 && len(list) != rows && rows > 0 {
		m.refuse(fmt.Sprintf("barns[%d].stacks", i), fmt.Sprintf("Barn %s has %d rows and %d numbers of stacks.", b.Name, rows, len(list)), "Give one number for all rows, or one for each.")
	}
	return rows, stacks, high
}

type firstBin struct {
	name string
	slot barn.Slot
}

// lay gives the bins where they stand, named in the order in which a crew walks.
func (m *morning) lay() []firstBin {
	f := &m.form
	if len(f.Barns) == 0 {
		m.refuse("barns", "No barn is told.", "Give a barn its name, rows, stacks and how high they are.")
	}
	name := strings.TrimSpace(f.Names)
	if name == "" {
		name = "B1"
	}
	head := strings.TrimRight(name, "0123456789")
	digits := name[len(head):]
	next, err := strconv.Atoi(digits)
	if err != nil {
		m.refuse("names", fmt.Sprintf("The name of the first bin, %q, does not end in a number to count on from.", name), "Type one such as B1 or 101.")
		return nil
	}
	pad := 0
	if strings.HasPrefix(digits, "0") {
		pad = len(digits)
	}
	var out []firstBin
	seen := map[string]bool{}
	for i, b := range f.Barns {
		b.Name = strings.TrimSpace(b.Name)
		if b.Name == "" || strings.ContainsAny(b.Name, "/,;\"") {
			m.refuse(fmt.Sprintf("barns[%d].name", i), fmt.Sprintf("The name of barn %d is %q.", i+1, b.Name), "Give it a name without strokes, commas or quotation marks, such as North.")
			continue
		}
		if seen[strings.ToLower(b.Name)] {
			m.refuse(fmt.Sprintf("barns[%d].name", i), fmt.Sprintf("Two barns are called %s.", b.Name), "Give each its own name.")
			continue
		}
		seen[strings.ToLower(b.Name)] = true
		rows, stacks, high := m.counts(i, b, true)
		for r := range rows {
			for s := range stacks[r] {
				for l := range high {
					n := firstBin{fmt.Sprintf("%s%0*d", head, pad, next), barn.Slot{Barn: b.Name, Row: strconv.Itoa(r + 1), Stack: s + 1, Level: l + 1}}
					next++
					out = append(out, n)
					m.places.Put(n.name, n.slot)
				}
			}
		}
	}
	if len(out) > 5000 {
		m.refuse("barns", fmt.Sprintf("That makes %d bins.", len(out)), "Look at the rows, stacks and heights again; up to 5,000 bins can be set up at once.")
		return nil
	}
	return out
}

// build builds the bins, one entry a row.
func (m *morning) build(at time.Time, bins []firstBin, length, width, deep float64) {
	f := &m.form
	var holes *qty.SquareMetre
	if f.Holes != "" {
		holes = point(qty.SquareMetre(m.typed("holes", f.Holes, qty.Area, 0)))
	}
	size := func(text string, v float64) *qty.Metre {
		if text == "" {
			return nil // stays assumed
		}
		return point(qty.Metre(v))
	}
	for i := 0; i < len(bins); {
		b := &journal.Build{LengthM: size(f.Length, length), WidthM: size(f.Width, width), DepthM: size(f.Deep, deep), Wall: f.Wall, Liner: f.Liner, HolesM2: holes, Cover: f.Cover}
		j := i
		for ; j < len(bins) && bins[j].slot.Barn == bins[i].slot.Barn && bins[j].slot.Row == bins[i].slot.Row; j++ {
			b.Bins, b.Slots = append(b.Bins, bins[j].name), append(b.Slots, bins[j].slot.String())
		}
		m.add("build", at, b)
		i = j
	}
}

// beds enters the beds and their stock, those alike in one entry.
func (m *morning) beds(bins []firstBin, told map[string]first) {
	type group struct {
		t    first
		bins []string
	}
	var groups []group
	for _, b := range bins {
		t := told[b.name]
		if t.empty {
			continue
		}
		i := slices.IndexFunc(groups, func(g group) bool { return g.t == t })
		if i < 0 {
			groups, i = append(groups, group{t: t}), len(groups)
		}
		groups[i].bins = append(groups[i].bins, b.name)
	}
	for i, g := range groups {
		t := g.t
		if t.fed > t.age {
			if t.fedSaid && t.ageSaid {
				m.refuse("last_fed", fmt.Sprintf("%s: the last feeding was %.0f days ago and the bed is %.0f days old.", barn.Spoken(g.bins), float64(t.fed), float64(t.age)), "Make the age larger or the last feeding later.")
				continue
			}
			t.fed = t.age
		}
		bed := &journal.Bed{Bins: g.bins, Material: t.material, DepthM: t.depth, AgeDays: point(t.age), AgeLowDays: point(t.ageL), AgeHighDays: point(t.ageH),
			LastFeedDays: point(t.fed)}
		if t.fedDepth > 0 {
			bed.LastFeedDepthM = point(t.fedDepth)
		}
		at := m.now.Add(time.Duration(2*i-2*len(groups)) * time.Second)
		m.add("bed", at, bed)
		if t.cover != m.form.Cover && t.cover != "" {
			m.add("cover", at, &journal.Cover{Bins: g.bins, Cover: t.cover})
		}
		if t.stock.Best > 0 {
			m.add("stock", at.Add(time.Second), &journal.Stock{Bins: g.bins, Kg: t.stock.Best, KgLow: point(t.stock.Low), KgHigh: point(t.stock.High), Note: "as told on the first morning"})
		}
	}
}
