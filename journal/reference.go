package journal

import (
	"fmt"
	"strings"
)

// IsSlot says whether s is a slot, BARN/ROW/STACK/LEVEL, with numbers from 1
// for the last three.
func IsSlot(s string) bool {
	parts := strings.Split(s, "/")
	if len(parts) != 4 || strings.TrimSpace(parts[0]) == "" {
		return false
	}
	for _, p := range parts[1:] {
		if n, ok := digits(p); !ok || p == "" || n < 1 || n > 1000 || len(p) > 4 {
			return false
		}
	}
	return true
}

// names checks every named thing against what the farm has.
func (c *checker) names() {
	for _, ref := range References(c.e) {
		if ref.Makes {
			continue
		}
		c.reference(ref)
	}
}

// A Reference is a thing that an entry names.
type Reference struct {
	Field string // path of the field
	Of    string // "bin", "pile", "batch", "lot", "barn"
	Name  string
	Makes bool // the entry makes it
}

// References lists the things that an entry names, in a fixed order.
func References(e *Entry) []Reference {
	var out []Reference
	add := func(field, of, name string, makes bool) {
		if name != "" {
			out = append(out, Reference{field, of, name, makes})
		}
	}
	all := func(field, of string, names []string, makes bool) {
		for i, n := range names {
			add(fmt.Sprintf("%s[%d]", field, i), of, n, makes)
		}
	}
	switch b := e.Body.(type) {
	case *Receive:
		add("pile", "pile", b.Pile, true)
	case *Assay:
		if of, name, ok := strings.Cut(b.Subject, " "); ok {
			add("subject", of, strings.TrimSpace(name), false)
		}
	case *Blend:
		add("batch", "batch", b.Batch, true)
		for i, p := range b.Parts {
			add(fmt.Sprintf("parts[%d].pile", i), "pile", p.Pile, false)
		}
	case *Build:
		all("bins", "bin", b.Bins, b.State == "" || b.State == "built")
		add("barn", "barn", b.Barn, true)
	case *Bed:
		all("bins", "bin", b.Bins, false)
		add("batch", "batch", b.Batch, false)
		add("pile", "pile", b.Pile, false)
	case *Stock:
		all("bins", "bin", b.Bins, false)
		add("from_bin", "bin", b.FromBin, false)
	case *Left:
		all("bins", "bin", b.Bins, false)
		add("pile", "pile", b.Pile, false)
	case *Answer:
		all("bins", "bin", b.Bins, false)
	case *Remedy:
		all("bins", "bin", b.Bins, false)
	case *Outcome:
		all("bins", "bin", b.Bins, false)
	case *Feed:
		all("bins", "bin", b.Bins, false)
		add("batch", "batch", b.Batch, false)
	case *Water:
		all("bins", "bin", b.Bins, false)
	case *Cover:
		all("bins", "bin", b.Bins, false)
	case *Heat:
		all("bins", "bin", b.Bins, false)
		add("barn", "barn", b.Barn, false)
	case *Turn:
		all("bins", "bin", b.Bins, false)
	case *Reading:
		add("bin", "bin", b.Bin, false)
		add("barn", "barn", b.Barn, false)
	case *Look:
		all("bins", "bin", b.Bins, false)
	case *Tend:
		add("pile", "pile", b.Pile, false)
	case *Site:
		if barn, ok := strings.CutPrefix(b.Place, "barn "); ok {
			add("place", "barn", strings.TrimSpace(barn), false)
		}
	case *Weigh:
		add("bin", "bin", b.Bin, false)
	case *Depth:
		all("bins", "bin", b.Bins, false)
	case *Count:
		add("bin", "bin", b.Bin, false)
	case *Sighting:
		add("bin", "bin", b.Bin, false)
		add("pile", "pile", b.Pile, false)
	case *Move:
		add("bin", "bin", b.Bin, false)
	case *Harvest:
		all("bins", "bin", b.Bins, false)
		for i, w := range b.WormsTo {
			add(fmt.Sprintf("worms_to[%d].bin", i), "bin", w.Bin, false)
		}
		add("lot", "lot", b.Lot, true)
	case *Join:
		add("lot", "lot", b.Lot, true)
		for i, p := range b.Parts {
			add(fmt.Sprintf("parts[%d].lot", i), "lot", p.Lot, false)
		}
	case *Screen:
		add("lot", "lot", b.Lot, false)
		add("overs_pile", "pile", b.OversPile, true)
	case *Cure:
		add("lot", "lot", b.Lot, false)
	case *Bag:
		add("lot", "lot", b.Lot, false)
	case *Sell:
		add("lot", "lot", b.Lot, false)
	case *WormsSold:
		all("bins", "bin", b.Bins, false)
	case *KeptSample:
		add("lot", "lot", b.Lot, false)
	case *Complaint:
		add("lot", "lot", b.Lot, false)
	case *RecallDrill:
		if lot, ok := strings.CutPrefix(b.Of, "lot "); ok {
			add("of", "lot", lot, false)
		}
	case *Microscope:
		add("lot", "lot", b.Lot, false)
		add("bin", "bin", b.Bin, false)
	case *Trial:
		for i, side := range b.Sides {
			all(fmt.Sprintf("sides[%d]", i), "bin", side, false)
		}
	case *Release:
		add("lot", "lot", b.Lot, false)
	case *Hold:
		add("lot", "lot", b.Lot, false)
		add("pile", "pile", b.Pile, false)
		add("bin", "bin", b.Bin, false)
	}
	return out
}

// needsBed are the kinds that make sense only where a bed lies.
var needsBed = map[string]string{
	"feed": "fed", "water": "watered", "turn": "turned", "stock": "stocked",
	"reading": "read", "depth": "measured", "count": "counted", // which no twin would hear of
}

func (c *checker) reference(r Reference) {
	facts, e := c.known.Facts, c.e
	if !facts.Has(r.Of, r.Name) {
		near := Nearest(r.Name, facts.Names(r.Of))
		try := ""
		if len(near) > 0 {
			try = "Did you mean " + orList(near) + "?"
		}
		if r.Of == "bin" {
			if try == "" {
				try = "Write down first that it was built, or look at the name again."
			}
			c.refuse(r.Field, fmt.Sprintf("There is no bin %s on this farm.", r.Name), try)
			return
		}
		if try != "" {
			try += " If the name is right, say yes."
		}
		c.doubt(r.Field, fmt.Sprintf("Nothing is written down yet of %s %s.", r.Of, r.Name), try)
		return
	}
	if r.Of != "bin" {
		return
	}
	built, retired, bedded, _ := facts.Bin(r.Name, e.At)
	did := strings.ToLower(c.kind.Words)
	switch {
	case !built.IsZero() && c.known.dayKey(e.At) < c.known.dayKey(built):
		c.refuse(r.Field, fmt.Sprintf("Bin %s was built on %s; this %s is of %s, before that.", r.Name, c.known.day(built), did, c.known.day(e.At)),
			"Look at the day, at its year and at the bin. If the bin is older, strike its building and write it again with the right day.")
	case !retired.IsZero() && c.known.dayKey(e.At) > c.known.dayKey(retired) && e.Kind != "build":
		c.doubt(r.Field, fmt.Sprintf("Bin %s was retired on %s; this %s is of %s, after that.", r.Name, c.known.day(retired), did, c.known.day(e.At)), "")
	case e.Kind == "harvest" && strings.HasPrefix(r.Field, "bins") && !bedded:
		c.refuse(r.Field, fmt.Sprintf("Bin %s held no bed on %s, so nothing can be harvested from it.", r.Name, c.known.day(e.At)),
			"Look at the name and the day. If it held a bed, write down first when it was bedded.")
	case needsBed[e.Kind] != "" && strings.HasPrefix(r.Field, "bin") && !bedded:
		c.doubt(r.Field, fmt.Sprintf("Bin %s held no bed on %s when it was %s.", r.Name, c.known.day(e.At), needsBed[e.Kind]),
			"Look at the name. If it held a bed, say yes, and write down when it was bedded.")
	}
}
