package journal

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"wormyard/qty"
)

// Known is what Check may lean on. The zero value checks an entry by itself.
type Known struct {
	Units qty.System     // of the messages
	Zone  *time.Location // of the days in messages; UTC when nil
	Now   time.Time      // entries may not lie in the future of it; not checked when zero
	Facts *Facts         // names are not checked when nil
}

func (k Known) day(t time.Time) string {
	if k.Zone != nil {
		t = t.In(k.Zone)
	}
	return t.Format("2 January 2006")
}

func (k Known) dayKey(t time.Time) string {
	if k.Zone != nil {
		t = t.In(k.Zone)
	}
	return t.Format(DayLayout)
}

// Earliest is the first day an entry may bear; before it a time is a slip.
var Earliest = time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)

// Check tells everything that is wrong with an entry, refused or doubtful, in
// the farmer's words. A doubtful problem whose field is named in e.Confirmed
// has been answered and is not told again. An entry with no problem left may be
// kept.
func Check(e *Entry, known Known) []Problem {
	c := checker{e: e, known: known}
	c.run()
	return slices.DeleteFunc(c.problems, func(p Problem) bool {
		return p.Level == Doubtful && slices.Contains(e.Confirmed, p.Field)
	})
}

// Worst gives the graver level among problems, "" when there are none.
func Worst(ps []Problem) Level {
	worst := Level("")
	for _, p := range ps {
		if p.Level == Refused {
			return Refused
		}
		worst = p.Level
	}
	return worst
}

// Confirm adds the fields of doubtful problems to e.Confirmed: the writer was
// asked and said that it is right.
func (e *Entry) Confirm(ps []Problem) {
	for _, p := range ps {
		if p.Level == Doubtful && !slices.Contains(e.Confirmed, p.Field) {
			e.Confirmed = append(e.Confirmed, p.Field)
		}
	}
	slices.Sort(e.Confirmed)
}

type checker struct {
	e        *Entry
	known    Known
	kind     Kind
	problems []Problem
}

func (c *checker) refuse(field, say, try string) {
	c.problems = append(c.problems, refusal(field, say, try))
}

func (c *checker) doubt(field, say, try string) {
	if try == "" {
		try = "If that is right, say yes; else type it again."
	}
	c.problems = append(c.problems, Problem{Field: field, Say: say, Try: try, Level: Doubtful})
}

func (c *checker) run() {
	e := c.e
	if !IsID(e.ID) {
		c.refuse("id", fmt.Sprintf("%q is not an id as the journal uses it.", e.ID), "Leave it out, or use a UUID of version 7 in lower case.")
	}
	k, ok := KindNamed(e.Kind)
	if !ok {
		c.problems = append(c.problems, unknownKind(e.Kind))
		return
	}
	c.kind = k
	c.time()
	c.who()
	raw, err := Encode(e.Body)
	var m map[string]any
	if err == nil {
		err = json.Unmarshal(raw, &m)
	}
	if err != nil || m == nil {
		c.refuse("body", "The body holds a number that is not finite, or nothing at all.", "Fill the entry in again.")
		return
	}
	ps := shape(k.Fields, m, "")
	if len(ps) > 0 { // the body is of another kind, or was filled by hand with too little
		c.problems = append(c.problems, ps...)
		return
	}
	if _, err := Read(e.Kind, raw); err != nil {
		c.refuse("body", "The body does not fit a "+strings.ToLower(k.Words)+".", "Fill the entry in again.")
		return
	}
	c.fields(k.Fields, m, "")
	for _, g := range k.OneOf {
		c.group(g, m, "")
	}
	c.kindRules(m)
	if c.known.Facts != nil {
		c.names()
	}
}

func (c *checker) time() {
	e, now := c.e, c.known.Now
	if e.At.IsZero() {
		c.refuse("at", "The day is missing.", "Say when it happened.")
		return
	}
	if e.At.Before(Earliest) || e.At.Year() > 9999 {
		c.refuse("at", "The day is "+c.known.day(e.At)+".", "Look at the year again.")
		return
	}
	if now.IsZero() || !e.At.After(now.Add(time.Hour)) {
		return
	}
	if site, ok := e.Body.(*Site); ok && site.Outlook {
		return
	}
	if c.known.dayKey(e.At) == c.known.dayKey(now) { // noon of a day whose hour was not typed
		return
	}
	try := "Type the day on which it happened."
	if e.Kind == "site" {
		try = "Type the day on which it happened, or say that it is a forecast."
	}
	c.refuse("at", fmt.Sprintf("The day is %s, which is still to come.", c.known.day(e.At)), try)
}

// The longest texts the journal takes, in letters.
const (
	LongestText = 4000
	LongestName = 60
)

func (c *checker) who() {
	for _, t := range [...]struct{ key, label, text string }{{"who", "The name of the person", c.e.Who}, {"device", "The name of the device", c.e.Device}, {"photo", "The name of the photo", c.e.Photo}} {
		if len([]rune(t.text)) > LongestName*2 || strings.ContainsAny(t.text, "\n\r\x00") {
			c.refuse(t.key, fmt.Sprintf("%s is too long or runs over lines.", t.label), fmt.Sprintf("Use at most %d letters on one line.", LongestName*2))
		}
	}
	if s := c.e.Strikes; s != "" {
		if !IsID(s) {
			c.refuse("strikes", fmt.Sprintf("%q is not the id of an entry.", s), "Copy the id from the journal.")
		} else if s == c.e.ID {
			c.refuse("strikes", "The entry strikes itself.", "Give the id of the entry that is wrong.")
		}
	}
}

func (c *checker) fields(fields []Field, m map[string]any, path string) {
	for _, f := range fields {
		v, there := m[f.Key]
		if !there {
			continue
		}
		at := path + f.Key
		switch f.Type {
		case Number, Whole:
			c.number(f, v.(float64), at)
		case Numbers:
			for i, x := range v.([]any) {
				c.number(f, x.(float64), fmt.Sprintf("%s[%d]", at, i))
			}
		case Text:
			if s := v.(string); len([]rune(s)) > LongestText {
				c.refuse(at, fmt.Sprintf("%s has %d letters.", f.Label, len([]rune(s))), fmt.Sprintf("Use at most %d.", LongestText))
			} else if strings.ContainsRune(s, 0) {
				c.refuse(at, f.Label+" holds a letter that cannot be kept.", "Type it again.")
			}
		case Name, Slot:
			c.name(f, v.(string), at)
		case Names, Slots:
			seen := map[string]bool{}
			for i, x := range v.([]any) {
				s := x.(string)
				c.name(f, s, fmt.Sprintf("%s[%d]", at, i))
				if seen[s] {
					c.refuse(at, fmt.Sprintf("%s is named twice.", s), "Name it once.")
				}
				seen[s] = true
			}
		case Sides:
			for i, side := range v.([]any) {
				for j, x := range side.([]any) {
					c.name(f, x.(string), fmt.Sprintf("%s[%d][%d]", at, i, j))
				}
			}
		case Choice:
			c.choice(f, v.(string), at)
		case Choices:
			for _, x := range v.([]any) {
				c.choice(f, x.(string), at)
			}
		case Day:
			c.aDay(f, v.(string), at)
		case Table:
			for i, x := range v.([]any) {
				c.fields(f.Item, x.(map[string]any), fmt.Sprintf("%s[%d].", at, i))
			}
		}
	}
}

func (c *checker) number(f Field, v float64, at string) {
	sys := c.known.Units
	is := fmt.Sprintf("%s is %s.", f.Label, f.Show(v, sys))
	if f.Dim != nil && *f.Dim == qty.Percent && v > 1 {
		is = fmt.Sprintf("%s is %s, which is %s.", f.Label, plain(v), f.Show(v, sys))
	}
	if !f.Refused.holds(v) {
		try := f.meant(v)
		if try == "" && v < 0 && f.Refused.Low >= 0 {
			try = "Type it without the minus sign if that was a slip."
		}
		if try == "" {
			try = "Look at the number and its unit again."
		}
		c.refuse(at, is+" "+f.mustBe(v, f.Refused, sys), try)
		return
	}
	if !f.Doubtful.holds(v) {
		c.doubt(at, fmt.Sprintf("%s Usual is %s to %s.", is, f.Show(f.Doubtful.Low, sys), f.Show(f.Doubtful.High, sys)), "")
	}
}

func (c *checker) name(f Field, s, at string) {
	switch {
	case len([]rune(s)) > LongestName:
		c.refuse(at, fmt.Sprintf("%s has %d letters: %q.", f.Label, len([]rune(s)), string([]rune(s)[:20])+"..."), fmt.Sprintf("Use at most %d.", LongestName))
	case strings.ContainsAny(s, ",;\"\n\r\t\x00"):
		c.refuse(at, fmt.Sprintf("%s is %q. A name cannot hold commas, semicolons, quotation marks or line ends.", f.Label, s), "Leave them out.")
	}
}

func (c *checker) choice(f Field, s, at string) {
	if slices.Contains(f.Choices, s) {
		return
	}
	try := "Choose " + orList(f.Choices) + "."
	if near := Nearest(s, f.Choices); len(near) > 0 {
		try = "Did you mean " + orList(near) + "? " + try
	}
	c.refuse(at, fmt.Sprintf("%s is %q.", f.Label, s), try)
}

func (c *checker) aDay(f Field, s, at string) {
	if _, err := time.Parse(DayLayout, s); err != nil {
		say, try := fmt.Sprintf("%s is %q, which is not a day.", f.Label, s), "Write it as 2026-03-01."
		var y, m, d int
		if n, _ := fmt.Sscanf(s, "%d-%d-%d", &y, &m, &d); n == 3 && m == 2 && d == 29 {
			say, try = fmt.Sprintf("%d has no 29 February.", y), "Type 28 February or 1 March."
		}
		c.refuse(at, say, try)
	}
}

func (c *checker) group(g Group, m map[string]any, path string) {
	var given []string
	for _, key := range g.Keys {
		if _, ok := m[key]; ok {
			given = append(given, key)
		}
	}
	labels := make([]string, 0, len(g.Keys))
	for _, key := range g.Keys {
		if f, ok := c.kind.Field(key); ok {
			labels = append(labels, strings.ToLower(f.Label[:1])+f.Label[1:])
		}
	}
	switch {
	case len(given) == 0 && !g.None:
		c.refuse(path+g.Keys[0], "It is not said "+g.What+".", "Fill in "+orList(labels)+".")
	case len(given) > 1 && !g.Many:
		c.refuse(path+given[1], fmt.Sprintf("It is said more than once %s.", g.What), "Keep one of "+andList(labels)+", and leave the rest empty.")
	}
}

// kindRules are what the fields of one kind say to one another.
func (c *checker) kindRules(m map[string]any) {
	switch b := c.e.Body.(type) {
	case *Assay:
		c.assay(b)
	case *Blend:
		seen := map[string]bool{}
		for i, p := range b.Parts {
			at := fmt.Sprintf("parts[%d].", i)
			if (p.VolumeM3 == nil) == (p.MassKgWet == nil) {
				c.refuse(at+"volume_m3", fmt.Sprintf("Part %d of the batch, %s, needs a volume or a mass, and only one of them.", i+1, p.Pile), "Say how much of it went in.")
			}
			if seen[p.Pile] {
				c.doubt(at+"pile", fmt.Sprintf("Pile %s is in the batch twice.", p.Pile), "")
			}
			seen[p.Pile] = true
		}
	case *Build:
		slot := b.Row != 0 || b.Stack != 0 || b.Level != 0
		if slot && len(b.Slots) > 0 {
			c.refuse("slots", "The place is given twice, as row, stack and level and as slots.", "Keep one of them.")
		}
		if slot && (b.Row == 0 || b.Stack == 0 || b.Level == 0) {
			c.refuse("row", "Row, stack and level belong together.", "Fill in all three, or none.")
		}
		if slot && len(b.Bins) > 1 {
			c.refuse("row", fmt.Sprintf("%d bins cannot stand in one place.", len(b.Bins)), "Give a slot for each bin under slots.")
		}
		if n := len(b.Slots); n > 0 && n != len(b.Bins) {
			c.refuse("slots", fmt.Sprintf("There are %d bins and %d slots.", len(b.Bins), n), "Give one slot for each bin, in the same order.")
		}
		for i, s := range b.Slots {
			if !IsSlot(s) {
				c.refuse(fmt.Sprintf("slots[%d]", i), fmt.Sprintf("%q is not a slot.", s), "Write it as BARN/ROW/STACK/LEVEL, such as West/3/4/1.")
			}
		}
	case *Bed:
		c.ordered("age_low_days", "age_days", "age_high_days", b.AgeLowDays, b.AgeDays, b.AgeHighDays, "age of the bed")
		if b.AgeDays != nil && b.LastFeedDays != nil && *b.LastFeedDays > *b.AgeDays && (b.AgeHighDays == nil || *b.LastFeedDays > *b.AgeHighDays) {
			c.refuse("last_feed_days", fmt.Sprintf("The bed is %s days old and was fed %s days ago.", plain(float64(*b.AgeDays)), plain(float64(*b.LastFeedDays))), "Make the age larger or the last feeding later.")
		}
	case *Stock:
		c.ordered("kg_low", "kg", "kg_high", b.KgLow, &b.Kg, b.KgHigh, "mass of the worms")
		if b.FromBin != "" && slices.Contains(b.Bins, b.FromBin) {
			c.refuse("from_bin", fmt.Sprintf("The worms come from bin %s and go into bin %s.", b.FromBin, b.FromBin), "Name another bin.")
		}
		if b.FromBin != "" && b.Bought {
			c.refuse("bought", "The worms come from a bin and are bought.", "Keep one of the two.")
		}
	case *Site:
		if b.LowC != nil && b.HighC != nil && *b.LowC > *b.HighC {
			f, _ := c.kind.Field("low_c")
			c.refuse("low_c", fmt.Sprintf("The low is %s and the high is %s.", f.Show(float64(*b.LowC), c.known.Units), f.Show(float64(*b.HighC), c.known.Units)), "Swap them if they were typed the wrong way round.")
		}
		if barn, ok := strings.CutPrefix(b.Place, "barn "); b.Place != "outside" && (!ok || strings.TrimSpace(barn) == "") {
			c.refuse("place", fmt.Sprintf("The place is %q.", b.Place), `Say "outside", or "barn" and its name.`)
		}
	case *Move:
		if b.From != "" && b.From == b.To {
			c.refuse("to", fmt.Sprintf("Bin %s moves from %s to the same place.", b.Bin, b.From), "Say where it went.")
		}
		if strings.Contains(b.To, "/") && !IsSlot(b.To) {
			c.refuse("to", fmt.Sprintf("%q is not a slot.", b.To), "Write it as BARN/ROW/STACK/LEVEL, such as West/3/4/1, or give the name of a staging spot.")
		}
	case *Trial:
		if len(b.Sides) < 2 {
			c.refuse("sides", "A trial needs two sides or more.", "Name the bins of each side.")
		}
		seen := map[string]bool{}
		for _, side := range b.Sides {
			for _, name := range side {
				if seen[name] {
					c.refuse("sides", fmt.Sprintf("Bin %s is named more than once.", name), "Put each bin on one side.")
				}
				seen[name] = true
			}
		}
	case *Harvest:
		var back qty.LiveKg
		for _, w := range b.WormsTo {
			back += w.Kg
		}
		if b.WormsKg != nil && back > *b.WormsKg*1.001 {
			c.doubt("worms_to", fmt.Sprintf("%s of worms go back to bins, and %s were got out.", c.known.Units.Mass(float64(back)), c.known.Units.Mass(float64(*b.WormsKg))), "")
		}
	case *TruckCheck:
		if b.Fit && len(b.Wrong) > 0 {
			c.doubt("fit", fmt.Sprintf("Something on truck %s is not as it should be (%s), and the truck may be used.", b.Truck, andList(b.Wrong)), "A truck that is unsafe in any way stays out of service until it is mended.")
		}
		if !b.Fit && len(b.Wrong) == 0 && b.Note == "" {
			c.doubt("wrong", fmt.Sprintf("Truck %s may not be used, and nothing says why.", b.Truck), "Tick what is wrong, or write it in the note.")
		}
	case *Microscope:
		if n := len(b.CoverMM); n != 0 && n != 2 {
			c.refuse("cover_mm", fmt.Sprintf("The cover glass has %d measures.", n), "Give its width and its height, such as [22,22].")
		}
	case *Strike:
		if c.e.Strikes == "" {
			c.refuse("strikes", "It is not said which entry is struck.", "Give its id, as the journal shows it.")
		}
	}
}

func (c *checker) ordered(lowKey, key, highKey string, low, mid, high any, what string) {
	l, hasLow := plainNumber(low)
	m, hasMid := plainNumber(mid)
	h, hasHigh := plainNumber(high)
	f, _ := c.kind.Field(key)
	switch {
	case hasLow && hasMid && l > m:
		c.refuse(lowKey, fmt.Sprintf("The least %s, %s, is more than the middle one, %s.", what, f.Show(l, c.known.Units), f.Show(m, c.known.Units)), "Type them from low to high.")
	case hasMid && hasHigh && m > h:
		c.refuse(highKey, fmt.Sprintf("The greatest %s, %s, is less than the middle one, %s.", what, f.Show(h, c.known.Units), f.Show(m, c.known.Units)), "Type them from low to high.")
	case hasLow && hasHigh && l > h:
		c.refuse(highKey, fmt.Sprintf("The greatest %s, %s, is less than the least, %s.", what, f.Show(h, c.known.Units), f.Show(l, c.known.Units)), "Type them from low to high.")
	}
}

func plainNumber(v any) (float64, bool) {
	switch p := v.(type) {
	case *qty.Days:
		if p != nil {
			return float64(*p), true
		}
	case *qty.LiveKg:
		if p != nil {
			return float64(*p), true
		}
	}
	return 0, false
}

func (c *checker) assay(b *Assay) {
	what, name, ok := strings.Cut(b.Subject, " ")
	if !ok || !slices.Contains([]string{"pile", "batch", "bin", "lot"}, what) || strings.TrimSpace(name) == "" {
		c.refuse("subject", fmt.Sprintf("What was tested is %q.", b.Subject), `Say "pile", "batch", "bin" or "lot" and its name.`)
	}
	f, known := analyteField(b.Analyte)
	if known {
		f.Label += " of " + b.Subject
		c.number(f, b.Value, "value")
		return
	}
	if b.Value < 0 && !strings.HasSuffix(b.Analyte, "_c") {
		c.refuse("value", fmt.Sprintf("%s of %s is %s. It cannot be less than 0.", b.Analyte, b.Subject, plain(b.Value)), "Type it without the minus sign if that was a slip.")
	}
	if strings.Contains(b.Analyte, "_frac_") && b.Value > 1 {
		c.refuse("value", fmt.Sprintf("%s of %s is %s. A part of the whole is between 0 and 1.", b.Analyte, b.Subject, plain(b.Value)), "Divide by 100 if it was in per cent.")
	}
	if !slices.ContainsFunc(analyteSuffixes, func(s string) bool { return strings.HasSuffix(b.Analyte, s) }) {
		try := "The tests we know are " + andList(Analytes()) + ". If this is another one, say yes."
		if near := Nearest(b.Analyte, Analytes()); len(near) > 0 {
			try = "Did you mean " + orList(near) + "? If this is another test, say yes."
		}
		c.doubt("analyte", fmt.Sprintf("%q is not a test we know.", b.Analyte), try)
	}
}

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
	case *Stock:
		all("bins", "bin", b.Bins, false)
		add("from_bin", "bin", b.FromBin, false)
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
	case *Screen:
		add("lot", "lot", b.Lot, false)
	case *Cure:
		add("lot", "lot", b.Lot, false)
	case *Bag:
		add("lot", "lot", b.Lot, false)
	case *Sell:
		add("lot", "lot", b.Lot, false)
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
			"Look at the day and at the bin. If the bin is older, strike its building and write it again with the right day.")
	case !retired.IsZero() && c.known.dayKey(e.At) > c.known.dayKey(retired) && e.Kind != "build":
		c.doubt(r.Field, fmt.Sprintf("Bin %s was retired on %s; this %s is of %s, after that.", r.Name, c.known.day(retired), did, c.known.day(e.At)), "")
	case e.Kind == "harvest" && strings.HasPrefix(r.Field, "bins") && !bedded:
		c.refuse(r.Field, fmt.Sprintf("Bin %s held no bed on %s, so nothing can be harvested from it.", r.Name, c.known.day(e.At)),
			"Look at the name and the day. If it held a bed, write down first when it was bedded.")
	case needsBed[e.Kind] != "" && strings.HasPrefix(r.Field, "bins") && !bedded:
		c.doubt(r.Field, fmt.Sprintf("Bin %s held no bed on %s when it was %s.", r.Name, c.known.day(e.At), needsBed[e.Kind]),
			"Look at the name. If it held a bed, say yes, and write down when it was bedded.")
	}
}

// KindNames lists the stored names of the kinds, sorted.
func KindNames() []string { return slices.Sorted(maps.Keys(kindIndex)) }
