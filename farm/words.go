package farm

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/barn"
	"wormyard/journal"
	"wormyard/lot"
	"wormyard/qty"
)

// Subjects names what an entry is about, each as "bin B12", "pile chips",
// "batch 41", "lot 7" or "barn North", each once.
func Subjects(e *journal.Entry) []string {
	var out []string
	for _, r := range journal.References(e) {
		out = once(out, r.Of+" "+r.Name)
	}
	return out
}

// is says whether an entry is about the subject.
func is(e *journal.Entry, what, name string) bool {
	switch b := e.Body.(type) { // the many first, without making a list
	case *journal.Reading:
		return (what == "bin" && b.Bin == name) || (what == "barn" && b.Barn == name)
	case *journal.Feed:
		return (what == "bin" && slices.Contains(b.Bins, name)) || (what == "batch" && b.Batch == name)
	case *journal.Water:
		return what == "bin" && slices.Contains(b.Bins, name)
	case *journal.Look:
		return what == "bin" && slices.Contains(b.Bins, name)
	}
	return slices.Contains(Subjects(e), what+" "+name)
}

// Sentence tells an entry as a person would, in a system of units: "Fed 1½ in
// of batch 41 to B12-B20."
func Sentence(e *journal.Entry, u qty.System) string {
	s := sentence(e, u)
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}

func sentence(e *journal.Entry, u qty.System) string {
	to := func(bins []string) string { return barn.Spoken(bins) }
	switch b := e.Body.(type) {
	case *journal.Receive:
		s := fmt.Sprintf("%s of %s came to pile %s", amountOf(u, b.VolumeM3, b.MassKgWet), b.Material, b.Pile)
		if declared := slices.DeleteFunc(slices.Clone(b.Declared), func(d string) bool { return d == "none" }); len(declared) > 0 {
			s += ", declared: " + strings.Join(declared, ", ")
		}
		return s
	case *journal.Assay:
		return fmt.Sprintf("test of %s: %s", b.Subject, result(b))
	case *journal.Blend:
		var parts []string
		for _, p := range b.Parts {
			parts = append(parts, amountOf(u, p.VolumeM3, p.MassKgWet)+" of "+p.Pile)
		}
		s := fmt.Sprintf("mixed batch %s from %s", b.Batch, strings.Join(parts, ", "))
		if b.WaterKg != nil && *b.WaterKg > 0 {
			s += " and " + u.Water(*b.WaterKg) + " of water"
		}
		if b.WaterFracWet != nil {
			s += ", moisture " + qty.Percent100(float64(*b.WaterFracWet))
		}
		return s
	case *journal.Build:
		switch b.State {
		case "retired":
			return "retired " + to(b.Bins)
		case "repaired":
			return "repaired " + to(b.Bins)
		}
		return "built " + to(b.Bins)
	case *journal.Bed:
		s := "bedded " + to(b.Bins) + " " + u.Depth(b.DepthM) + " deep"
		if b.AgeDays != nil && *b.AgeDays > 0 {
			s = to(b.Bins) + " held a bed " + u.Depth(b.DepthM) + " deep, about " + days(*b.AgeDays) + " old"
		}
		if b.Batch != "" {
			s += ", batch " + b.Batch
		} else if b.Pile != "" {
			s += ", from pile " + b.Pile
		} else if b.Material != "" {
			s += ", " + b.Material
		}
		return s
	case *journal.Stock:
		s := u.Mass(float64(b.Kg)) + " of worms into each of " + to(b.Bins)
		if len(b.Bins) == 1 {
			s = u.Mass(float64(b.Kg)) + " of worms into " + b.Bins[0]
		}
		if b.FromBin != "" {
			s += " from " + b.FromBin
		}
		return s
	case *journal.Feed:
		how := ""
		if b.DepthM != nil {
			how = u.Depth(*b.DepthM)
		} else if b.MassKgWet != nil {
			how = u.Mass(float64(*b.MassKgWet))
		}
		s := fmt.Sprintf("fed %s of batch %s to %s", how, b.Batch, to(b.Bins))
		if b.Side == "left" || b.Side == "right" {
			s += ", " + b.Side + " side"
		}
		return s
	case *journal.Water:
		return u.Water(b.Kg) + " of water on " + to(b.Bins)
	case *journal.Cover:
		if b.Cover == "none" {
			return "cover off " + to(b.Bins)
		}
		return b.Cover + " laid on " + to(b.Bins)
	case *journal.Heat:
		what := to(b.Bins)
		if b.Barn != "" {
			what = barnNamed(b.Barn)
		}
		switch {
		case b.On != nil && !*b.On:
			return "heating off, " + what
		case b.SetC != nil:
			return "heating of " + what + " set to " + u.Temperature(*b.SetC)
		case b.Watts != nil:
			return "heating of " + what + " at " + qty.Figures(float64(*b.Watts)) + " W"
		}
		return "heating on, " + what
	case *journal.Turn:
		if b.TakenOffM != nil {
			return strings.TrimSuffix("took the top "+u.Depth(*b.TakenOffM)+" off, "+to(b.Bins)+": "+b.What, ": ")
		}
		return strings.TrimSuffix("turned "+to(b.Bins)+": "+b.What, ": ")
	case *journal.Reading:
		where := b.Bin
		if b.Barn != "" {
			where = barnNamed(b.Barn)
		}
		var said []string
		if b.TempC != nil {
			t := u.Temperature(*b.TempC)
			if b.DepthM != nil {
				t += " at " + u.Depth(*b.DepthM)
			}
			said = append(said, t)
		}
		if b.WaterFracWet != nil {
			said = append(said, "moisture "+qty.Percent100(float64(*b.WaterFracWet)))
		}
		if b.OxygenFrac != nil {
			said = append(said, "oxygen "+qty.Percent100(float64(*b.OxygenFrac)))
		}
		if b.AmmoniaPPM != nil {
			said = append(said, "ammonia "+qty.Figures(float64(*b.AmmoniaPPM))+" ppm")
		}
		if b.ECDSM != nil {
			said = append(said, "salts "+qty.Figures(float64(*b.ECDSM))+" dS/m")
		}
		if b.PH != nil {
			said = append(said, "pH "+qty.Figures(float64(*b.PH)))
		}
		return where + " read " + strings.Join(said, ", ")
	case *journal.Look:
		var said []string
		for _, w := range [][2]string{{"squeeze", b.Squeeze}, {"feed left", b.FeedLeft}, {"worms", b.Worms}, {"where", b.Where}, {"colour", b.Colour}, {"crumb", b.Crumb}, {"chips", b.Chips}, {"smell", b.Smell}} {
			if w[1] != "" {
				said = append(said, w[0]+" "+w[1])
			}
		}
		return "looked at " + to(b.Bins) + ": " + strings.Join(said, ", ")
	case *journal.Tend:
		s := "pile " + b.Pile + " " + b.Act
		if b.WaterKg != nil {
			s += ", " + u.Water(*b.WaterKg)
		}
		if b.TempC != nil {
			s += ", " + u.Temperature(*b.TempC)
		}
		return s
	case *journal.Site:
		var said []string
		if b.LowC != nil {
			said = append(said, "low "+u.Temperature(*b.LowC))
		}
		if b.HighC != nil {
			said = append(said, "high "+u.Temperature(*b.HighC))
		}
		if b.RainMM != nil {
			said = append(said, "rain "+qty.Figures(*b.RainMM)+" mm")
		}
		if b.PowerLostHours != nil {
			said = append(said, "no power for "+qty.Figures(float64(*b.PowerLostHours))+" h")
		}
		place := b.Place
		if name, ok := strings.CutPrefix(place, "barn "); ok {
			place = barnNamed(name)
		}
		s := place + ": " + strings.Join(said, ", ")
		if b.Outlook {
			s = "outlook " + s
		}
		return s
	case *journal.Weigh:
		return b.Bin + " weighed " + u.Mass(float64(b.MassKg))
	case *journal.Depth:
		return "bed of " + to(b.Bins) + " measured " + u.Depth(b.DepthM)
	case *journal.Count:
		var said []string
		for _, n := range []struct {
			what string
			n    *int
		}{{"adults", b.Adults}, {"juveniles", b.Juveniles}, {"cocoons", b.Cocoons}} {
			if n.n != nil {
				said = append(said, fmt.Sprintf("%d %s", *n.n, n.what))
			}
		}
		if b.WormsKg != nil {
			said = append(said, u.Mass(float64(*b.WormsKg)))
		}
		return "worms counted in " + b.Bin + ": " + strings.Join(said, ", ")
	case *journal.Sighting:
		where := b.Place
		if b.Bin != "" {
			where = b.Bin
		} else if b.Pile != "" {
			where = "pile " + b.Pile
		}
		said := b.Signs
		if b.What != "" {
			said = append([]string{b.What}, b.Signs...)
		}
		return strings.TrimSuffix(where+": "+strings.Join(said, ", ")+", "+b.Severity, ", ")
	case *journal.TruckCheck:
		say := "truck " + b.Truck + " looked over: "
		switch {
		case len(b.Wrong) == 0 && b.Fit:
			return say + "in order"
		case b.Fit:
			return say + strings.Join(b.Wrong, ", ") + " not as it should be, in use"
		case len(b.Wrong) == 0:
			return say + "out of service"
		}
		return say + strings.Join(b.Wrong, ", ") + " not as it should be, out of service"
	case *journal.Left:
		at := to(b.Bins)
		if b.Pile != "" {
			at = "pile " + b.Pile
		}
		if b.How != "" {
			return b.How + ", " + b.Act + " " + at + ": " + b.Why
		}
		return "left undone, " + b.Act + " " + at + ": " + b.Why
	case *journal.Answer:
		switch b.Said {
		case "fed":
			return to(b.Bins) + " was fed on " + b.Day + ", somebody said"
		case "not fed":
			return to(b.Bins) + " was not fed on " + b.Day + ", somebody said"
		}
		return "nobody knows whether " + to(b.Bins) + " was fed on " + b.Day
	case *journal.Remedy:
		s := to(b.Bins) + " is treated against " + b.Cause
		if b.Cause == "else" {
			s = to(b.Bins) + " is treated"
		}
		return strings.TrimSuffix(s+": "+strings.Join(b.Steps, ", "), ": ")
	case *journal.Outcome:
		switch b.Said {
		case "done":
			return "done in " + to(b.Bins) + " against " + b.Cause + ": " + strings.Join(b.Steps, ", ")
		case "dropped":
			return "the remedy against " + b.Cause + " was given up in " + to(b.Bins)
		}
		return "the remedy against " + b.Cause + " in " + to(b.Bins) + ": " + b.Said
	case *journal.Move:
		s := b.Bin + " moved"
		if b.From != "" {
			s += " from " + b.From
		}
		return s + " to " + b.To
	case *journal.Harvest:
		s := "harvested " + to(b.Bins)
		if b.MassKgWet != nil || b.VolumeM3 != nil {
			s = "harvested " + amountOf(u, b.VolumeM3, b.MassKgWet) + " from " + to(b.Bins)
		}
		if b.How != "" {
			s += " (" + b.How + ")"
		}
		if b.Lot != "" {
			s += ", into lot " + b.Lot
		}
		return s
	case *journal.Join:
		var parts []string
		for _, p := range b.Parts {
			parts = append(parts, amountOf(u, p.VolumeM3, p.MassKgWet)+" of lot "+p.Lot)
		}
		return "lot " + b.Lot + " put together from " + strings.Join(parts, ", ")
	case *journal.Screen:
		s := "screened lot " + b.Lot
		var over qty.WetKg
		var decks []string
		for _, d := range b.Decks {
			decks = append(decks, u.Opening(qty.Metre(d.OpeningMM/1000)))
			if d.OverKg != nil {
				over += *d.OverKg
			}
		}
		if len(decks) > 0 {
			s += " over " + strings.Join(decks, " and ")
		}
		if over > 0 {
			s += ", " + u.Mass(float64(over)) + " kept back"
		}
		if b.OversPile != "" {
			s += ", overs onto pile " + b.OversPile
		}
		return s
	case *journal.Cure:
		return strings.TrimSuffix("lot "+b.Lot+" laid to cure: "+b.Place, ": ")
	case *journal.Bag:
		return fmt.Sprintf("lot %s: %s of %s", b.Lot, many(b.Number, "bag"), BagVolume(u, b.SizeM3))
	case *journal.Sell:
		what := amountOf(u, b.VolumeM3, b.MassKgWet)
		if b.Bags != nil {
			what = many(*b.Bags, "bag")
		}
		return strings.TrimSuffix("sold "+what+" of lot "+b.Lot+" to "+b.Customer, " to ")
	case *journal.Microscope:
		n := "1 field"
		if len(b.Fields) != 1 {
			n = fmt.Sprintf("%d fields", len(b.Fields))
		}
		return strings.TrimSuffix(fmt.Sprintf("microscope, %s of %s: %s", n, seenIn(b), b.Group), ": ")
	case *journal.Trial:
		return strings.TrimSuffix("trial "+b.Name+": "+b.Question, ": ")
	case *journal.Order:
		what := []string{ordered(u, b.What, b.Number, b.VolumeM3, b.MassKg)}
		if len(b.Lines) > 0 {
			what = nil
			for _, p := range b.Lines {
				what = append(what, ordered(u, p.What, p.Number, p.VolumeM3, p.MassKg))
			}
		}
		s := b.Customer + " ordered " + strings.Join(what, ", ")
		if b.Due != "" {
			s += ", due " + dayWritten(b.Due)
		}
		return s
	case *journal.CancelOrder:
		return "order cancelled: " + b.Why
	case *journal.WormsSold:
		return strings.TrimSuffix("sold "+u.Mass(float64(b.Kg))+" of live worms from "+to(b.Bins)+" to "+b.Customer, " to ")
	case *journal.KeptSample:
		return strings.TrimSuffix("sample "+b.Sample+" of lot "+b.Lot+" kept back at "+b.Place, " at ")
	case *journal.Duty:
		s := b.Duty + ", due " + b.Due
		if b.Every != nil {
			s += fmt.Sprintf(" and every %d %s", *b.Every, b.Period)
		}
		return s
	case *journal.DutyDone:
		switch {
		case b.Over:
			return b.Duty + " done, not due again"
		case b.Next != "":
			return b.Duty + " done, due next " + b.Next
		}
		return b.Duty + " done"
	case *journal.RecallDrill:
		s := "recall drill of " + b.Of
		if b.Bags != nil && b.Customers != nil {
			s += ": " + many(*b.Bags, "bag") + ", " + many(*b.Customers, "customer")
		}
		return s
	case *journal.Complaint:
		s := "complaint"
		if b.Lot != "" {
			s += " about lot " + b.Lot
		}
		if b.Customer != "" {
			s += " from " + b.Customer
		}
		return s + ": " + b.What
	case *journal.Release:
		return "lot " + b.Lot + " released under " + strings.ReplaceAll(b.Rule, "_", " ")
	case *journal.Hold:
		if b.Pile != "" {
			return "pile " + b.Pile + " on hold: " + b.Why
		}
		if b.Bin != "" {
			return b.Bin + " rests: " + b.Why
		}
		return "lot " + b.Lot + " on hold: " + b.Why
	case *journal.Setting:
		return settingSentence(b)
	case *journal.Strike:
		return strings.TrimSuffix("struck an entry: "+b.Why, ": ")
	}
	return ""
}

// barnNamed gives a barn as one says it: "barn 1", and "Barn 1" for one that
// has the word in its name.
func barnNamed(name string) string {
	if strings.Contains(strings.ToLower(name), "barn") {
		return name
	}
	return "barn " + name
}

func settingSentence(b *journal.Setting) string {
	if name, ok := strings.CutPrefix(b.Key, KeyBarn); ok {
		return "set " + barnNamed(name)
	}
	if name, ok := strings.CutPrefix(b.Key, KeyPerson); ok {
		if strings.Contains(strings.ReplaceAll(string(b.Value), " ", ""), `"gone":true`) {
			return "took " + name + " off the people of the farm"
		}
		return "named " + name + " among the people of the farm"
	}
	if name, ok := strings.CutPrefix(b.Key, KeyBox); ok {
		if strings.TrimSpace(string(b.Value)) == "false" {
			return "took the build " + name + " off the list"
		}
		return "wrote down the build " + name
	}
	if say, ok := map[string]string{
		KeyFarm: "set the farm's name", KeyZone: "set the time zone", KeyUnits: "set the units", KeySite: "set the place and its weather", KeyHabits: "set the farm's habits",
		KeyWorms: "set which worms there are", KeyMoney: "set prices and currency", KeySeason: "set the limits of the year", KeyTruck: "set the truck",
	}[b.Key]; ok {
		return say
	}
	for key, say := range map[string]string{
		KeyLabSheet: "kept what the columns of a laboratory's sheet mean", KeyDemandSheet: "kept what the columns of a sheet of sales mean", KeyOrderSheet: "kept what the columns of a sheet of orders mean",
	} {
		if strings.HasPrefix(b.Key, key) {
			return say
		}
	}
	return "set " + b.Key
}

// ordered tells one product of an order with how much of it: "2 × bag", "4 yd³
// castings, screened".
func ordered(u qty.System, what string, number *int, v *qty.CubicMetre, kg *float64) string {
	switch {
	case number != nil:
		return fmt.Sprintf("%d × %s", *number, what)
	case v != nil:
		return u.Volume(*v) + " " + what
	case kg != nil:
		return u.Mass(*kg) + " " + what
	}
	return what
}

// many counts things of a name: "1 bag", "8 bags".
func many(n int, name string) string {
	if n == 1 {
		return "1 " + name
	}
	return fmt.Sprintf("%d %ss", n, name)
}

// dayWritten gives a day of the journal as one says it, and anything else as it is.
func dayWritten(day string) string {
	t, err := time.Parse(journal.DayLayout, day)
	if err != nil {
		return day
	}
	return t.Format("2 January 2006")
}

func amountOf(u qty.System, v *qty.CubicMetre, m *qty.WetKg) string {
	switch {
	case v != nil:
		return u.Volume(*v)
	case m != nil:
		return u.Mass(float64(*m))
	}
	return "some"
}

// result tells a test: "moisture 70 %", "nitrogen 1.8 % of dry matter", "salmonella
// less than 3 MPN/4 g".
func result(b *journal.Assay) string {
	name, unit := b.Analyte, b.Unit
	for _, end := range []struct{ key, unit string }{
		{"_frac_dry", "% of dry matter"}, {"_frac_wet", "%"}, {"_mg_kg_dry", "mg/kg dry"}, {"_kg_m3_wet", "kg/m3"}, {"_ds_m", "dS/m"}, {"_ppm", "ppm"}, {"_c", "°C"},
	} {
		if head, ok := strings.CutSuffix(name, end.key); ok {
			name, unit = head, end.unit
			break
		}
	}
	v := b.Value
	if strings.HasPrefix(unit, "%") && name != b.Analyte {
		v *= 100
	}
	if w, ok := map[string]string{"water": "moisture", "cn": "C:N", "ec": "salts", "ph": "pH", "ammonia_n": "ammonia nitrogen",
		"bioassay": "bean and pea test (0 unhurt to 5 dead)", "fecal_coliform": "fecal coliforms", "salmonella": "Salmonella", "listeria": "Listeria", "e_coli": "E. coli", "e_coli_o157": "E. coli O157:H7"}[name]; ok {
		name = w
	}
	name, amount := strings.ReplaceAll(name, "_", " "), strings.TrimSpace(qty.Reported(v)+" "+unit)
	switch b.Reads { // a limit is never told as if it were the amount
	case journal.ReadsLess, journal.ReadsMore:
		return name + " " + b.Reads + " " + amount
	case journal.ReadsTooMany:
		return name + " too many to count"
	case journal.ReadsNone, journal.ReadsPresent:
		return name + " " + b.Reads
	}
	return name + " " + amount
}

func days(d qty.Days) string {
	switch {
	case d < 14:
		return qty.Figures(float64(d)) + " days"
	case d < 100:
		return fmt.Sprintf("%.0f weeks", float64(d)/7)
	}
	return fmt.Sprintf("%.0f months", float64(d)/30.44)
}

func seenIn(b *journal.Microscope) string {
	if b.Lot != "" {
		return "lot " + b.Lot
	}
	return "bin " + b.Bin
}

// BagVolume prints the size of a bag as it stands on its label.
func BagVolume(u qty.System, v qty.CubicMetre) string {
	us, metric := lot.NetVolume(v)
	if u == qty.US {
		return us
	}
	return metric
}
