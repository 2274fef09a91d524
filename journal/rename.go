package journal

import (
	"fmt"
	"slices"
	"strings"
)

// Rename puts the names of bins that an entry means in the place of those that
// were written. To gives them for a name: one, or where the entry takes a list
// several; none leaves the name as it is. Bins that the entry itself builds keep
// their names.
func Rename(e *Entry, to func(field, name string, many bool) []string) {
	one := func(field string, name *string) {
		if *name == "" {
			return
		}
		if got := to(field, *name, false); len(got) == 1 {
			*name = got[0]
		}
	}
	all := func(field string, names *[]string) {
		var out []string
		changed := false
		for i, name := range *names {
			got := to(fmt.Sprintf("%s[%d]", field, i), name, true)
			if len(got) == 0 {
				got = []string{name}
			}
			changed = changed || len(got) > 1 || got[0] != name
			for _, g := range got {
				if !slices.Contains(out, g) || !changed {
					out = append(out, g)
				}
			}
		}
		if changed {
			*names = out
		}
	}
	switch b := e.Body.(type) {
	case *Assay:
		if of, name, ok := strings.Cut(b.Subject, " "); ok && strings.EqualFold(of, "bin") {
			name = strings.TrimSpace(name)
			one("subject", &name)
			b.Subject = of + " " + name
		}
	case *Build:
		if b.State != "" && b.State != "built" {
			all("bins", &b.Bins)
		}
	case *Bed:
		all("bins", &b.Bins)
	case *Stock:
		all("bins", &b.Bins)
		one("from_bin", &b.FromBin)
	case *Left:
		all("bins", &b.Bins)
	case *Answer:
		all("bins", &b.Bins)
	case *Remedy:
		all("bins", &b.Bins)
	case *Outcome:
		all("bins", &b.Bins)
	case *Feed:
		all("bins", &b.Bins)
	case *Water:
		all("bins", &b.Bins)
	case *Cover:
		all("bins", &b.Bins)
	case *Heat:
		all("bins", &b.Bins)
	case *Turn:
		all("bins", &b.Bins)
	case *Reading:
		one("bin", &b.Bin)
	case *Look:
		all("bins", &b.Bins)
	case *Weigh:
		one("bin", &b.Bin)
	case *Depth:
		all("bins", &b.Bins)
	case *Count:
		one("bin", &b.Bin)
	case *Sighting:
		one("bin", &b.Bin)
	case *Move:
		one("bin", &b.Bin)
	case *Harvest:
		all("bins", &b.Bins)
		for i := range b.WormsTo {
			one(fmt.Sprintf("worms_to[%d].bin", i), &b.WormsTo[i].Bin)
		}
	case *WormsSold:
		all("bins", &b.Bins)
	case *Microscope:
		one("bin", &b.Bin)
	case *Trial:
		for i := range b.Sides {
			all(fmt.Sprintf("sides[%d]", i), &b.Sides[i])
		}
	case *Hold:
		one("bin", &b.Bin)
	}
}
