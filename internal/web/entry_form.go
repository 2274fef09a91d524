package web

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// A slip says how the form of one kind is laid out: what stands open, what is
// filled in and kept out of sight, what is offered. Everything else about the
// fields comes from the kind itself.
type slip struct {
	kind   string
	action string
	back   string
	open   []string            // keys shown first; the others are folded away
	only   bool                // the others are left out
	fixed  map[string]string   // keys with a given value, not shown
	preset map[string]string   // keys with a value that may be changed
	offer  map[string][]Option // keys with choices made for this place
	pick   string              // key shown as a grid of boxes to tick
	rows   string              // key whose choices are a line each
	care   string
	submit string
	stop   string        // of the round that it settles
	next   string        // where one goes then without signal
	since  int64         // when that round was made
	doubts []app.Problem // about the whole, asked before anything else is
	shown  []shownBox    // what a rule asks a word for; nil where no rule is asked
	once   bool          // the id was made for this entry: another content under it is refused
}

// layouts say which fields of a kind stand open on the form.
var layouts = map[string][]string{
	"feed": {"bins", "batch", "depth_m"}, "water": {"bins", "kg"}, "look": {"bins", "squeeze", "feed_left", "worms", "where", "smell"},
	"reading": {"bin", "temp_c", "depth_m", "water_frac_wet"}, "depth": {"bins", "depth_m"}, "sighting": {"bin", "signs", "what", "severity"},
	"cover": {"bins", "cover"}, "receive": {"pile", "material", "volume_m3", "declared"}, "tend": {"pile", "act", "temp_c", "water_kg"},
	"assay": {"subject", "analyte", "value", "unit"}, "harvest": {"bins", "how", "mass_kg_wet", "volume_m3", "lot", "ends_bed"},
	"stock": {"bins", "kg", "from_bin", "bought"}, "bed": {"bins", "batch", "material", "depth_m"}, "move": {"bin", "to"}, "weigh": {"bin", "mass_kg"},
	"turn": {"bins", "what"}, "site": {"place", "low_c", "high_c", "outlook"}, "count": {"bin", "mass_kg_wet", "adults", "juveniles", "cocoons"},
	"sell":  {"lot", "customer", "bags", "mass_kg_wet", "volume_m3", "price"},
	"order": {"customer", "what", "number", "volume_m3", "mass_kg", "due"}, "worms sold": {"bins", "kg", "customer", "price"}, "complaint": {"lot", "bags", "customer", "what", "done"}, "kept sample": {"lot", "sample", "place", "until"}, "recall drill": {"of", "seconds", "bags", "customers", "mend"},
	"duty": {"duty", "what", "due", "every", "period", "hours"}, "duty done": {"duty", "hours", "next"},
	"build": {"bins", "length_m", "width_m", "depth_m", "slots", "state"}, "hold": {"lot", "pile", "why"},
	"microscope": {"lot", "sub_sample", "slide", "objective_x", "field_number_mm", "dilution", "drop_ml", "cover_mm"},
}

// cautions stand on the forms of work that can hurt.
var cautions = map[string]string{
	"move": "care.truck", "harvest": "care.harvest", "screen": "care.dust", "tend": "care.pile", "receive": "care.receive", "weigh": "care.lift", "bed": "care.manure", "blend": "care.dust",
}

// reader tells how a person types a field: the unit that is taken when none is
// typed, and the symbol that is shown.
func reader(f journal.Field, sys qty.System) (symbol string) {
	if f.Water {
		return pick(sys, "gal", "L")
	}
	if f.Dim == nil {
		return f.Unit
	}
	switch *f.Dim {
	case qty.Temperature:
		return pick(sys, "°F", "°C")
	case qty.Mass:
		return pick(sys, "lb", "kg")
	case qty.Volume:
		if f.Key == "size_m3" { // of a bag
			return pick(sys, "ft3", "L")
		}
		return pick(sys, "yd3", "m3")
	case qty.Length:
		if f.Unit == "mm" {
			return pick(sys, "in", "mm")
		}
		return pick(sys, "in", "cm")
	case qty.Area:
		return pick(sys, "ft2", "m2")
	case qty.Percent:
		return "%"
	case qty.Duration:
		return f.Unit
	}
	return f.Unit
}

func pick(sys qty.System, us, metric string) string {
	if sys == qty.US {
		return us
	}
	return metric
}

// printable gives a text as it is written on a page: raised figures, and names of
// places that do not break.
func printable(text string) string {
	return hyphened.ReplaceAllString(raised.Replace(text), "$1\u2011$2")
}

var (
	raised   = strings.NewReplacer("/m3", "/m³", "yd3", "yd³", "ft3", "ft³", " m3", " m³", " m2", " m²", "ft2", "ft²", " °", "\u00a0°")
	hyphened = regexp.MustCompile(`([0-9])-([A-Z]*[0-9])`) // a place or a run of bins stays on one line
)

// values is what stands in the boxes of a form.
type values map[string]string

// formOf lays out the form of a kind with the values given.
func (s *Server) formOf(p person, sh slip, v values) (Form, error) {
	kind, ok := p.kindNamed(sh.kind)
	if !ok {
		return Form{}, fmt.Errorf("there is no kind %q", sh.kind)
	}
	open := sh.open
	if open == nil {
		open = layouts[sh.kind]
	}
	f := Form{Kind: kind.Name, Stop: sh.stop, Since: sh.since, Next: sh.next, Action: sh.action, Back: sh.back, ID: v["id"], Submit: sh.submit, Cancel: sh.back, MoreLabel: p.Say("form.more")}
	if f.ID == "" {
		f.ID = s.NewID(p.Now)
	}
	if f.Submit == "" {
		f.Submit = p.Say("form.save")
	}
	if key := cautions[sh.kind]; key != "" {
		f.Care = p.Say(key)
	}
	if sh.care != "" {
		f.Care = sh.care
	}
	var fields []journal.Field
	for _, key := range open {
		if k, ok := kind.Field(key); ok {
			fields = append(fields, k)
		}
	}
	for _, k := range fields {
		f.Fields = append(f.Fields, s.box(p, sh, k, v))
	}
	f.Fields = append(f.Fields, p.shownFields(sh.shown, v)...)
	for _, k := range kind.Fields {
		if slices.Contains(open, k.Key) || k.Key == "shown" && sh.shown != nil {
			continue
		}
		b := s.box(p, sh, k, v)
		switch {
		case b.Hidden:
			f.Fields = append(f.Fields, b)
		case len(open) == 0:
			f.Fields = append(f.Fields, b)
		case !sh.only:
			f.More = append(f.More, b)
			f.MoreOpen = f.MoreOpen || b.Value != ""
		}
	}
	if kind.Name == "harvest" {
		f.Fields = append(f.Fields, Field{Name: newLot, Value: app.NextLot(s.Farm.State(), p.Now), Hidden: true})
	}
	if kind.Name == "microscope" {
		f.Fields = append(f.Fields, seenFields(p, kind, v)...)
	}
	f.Listed = slices.ContainsFunc(slices.Concat(f.Fields, f.More), func(x Field) bool { return len(x.Sets) > 0 })
	f.When, f.WhenLabel, f.WhenOpen = s.when(p, v["at"], v["who"])
	return f, nil
}

// box lays out one field of a kind.
func (s *Server) box(p person, sh slip, k journal.Field, v values) Field {
	if fixed, ok := sh.fixed[k.Key]; ok {
		return Field{ID: "f-" + k.Key, Name: k.Key, Value: fixed, Hidden: true}
	}
	value, given := v[k.Key]
	if !given {
		value = sh.preset[k.Key]
	}
	f := textField(k.Key, k.Label, value)
	f.Help = k.Help
	if sh.kind == "harvest" && k.Of == "lot" {
		return p.lotChips(s.Farm.State(), f)
	}
	if k.Required {
		f.Must, f.MustTry = p.Say("form.must", k.Label), p.Say("form.musttry")
	}
	steps(p, sh, k, &f)
	if offer := sh.offer[k.Key]; offer != nil {
		f.Chips, f.Options, f.Grid, f.Rows = true, offer, sh.pick == k.Key, sh.rows == k.Key
		f.Many = f.Grid || f.Rows
		if k.Dim != nil {
			f.Unit, f.Other, f.Mode, f.Short = printable(reader(k, p.Units)), p.Say("form.other"), "decimal", true
			if value != "" && !slices.ContainsFunc(offer, func(o Option) bool { return o.Value == value }) {
				f.OtherValue, f.Value = value, ""
			}
		}
		if f.Grid {
			f.Help = ""
		}
		return choose(f)
	}
	switch k.Type {
	case journal.Number, journal.Whole:
		f.Unit, f.Mode, f.Short = printable(reader(k, p.Units)), "decimal", true
		if k.Unit == "mm" && k.Dim != nil && p.Units == qty.US {
			f.Mode = "text" // a keyboard with the stroke of 1/4
		}
	case journal.Choice, journal.Choices:
		f.Chips, f.Many, f.Options = true, k.Type == journal.Choices, p.choices(k)
		return choose(f)
	case journal.Flag:
		f.Chips, f.Options = true, []Option{{Value: "yes", Label: p.Say("form.yesword")}, {Value: "no", Label: p.Say("form.noword")}}
		return choose(f)
	case journal.Day:
		f.Type = "date"
	case journal.Table:
		if rowed(k) {
			s.sets(p, sh, k, v, &f)
			return f
		}
		f.Area = true
		var columns []string
		for _, item := range k.Item {
			columns = append(columns, item.Label)
		}
		f.Help = p.Say("form.table", strings.Join(columns, ", "))
	case journal.Slots, journal.Sides, journal.Numbers, journal.Any:
		f.Area = true
	case journal.Name:
		f.List = s.names(k)
	case journal.Text:
		if k.Key == "material" {
			f.List = s.Materials
		}
		if k.Key == "what" && slices.Contains([]string{"order", "sell", "worms sold"}, sh.kind) {
			for _, x := range s.Farm.State().Settings.Money.Products {
				f.List = append(f.List, x.Name)
			}
		}
		if k.Key == "duty" {
			for _, d := range s.Farm.State().Duties() {
				f.List = append(f.List, d.Name)
			}
		}
		if k.Key == "analyte" {
			f.List = journal.Analytes()
		}
		if k.Key == "customer" {
			f.List = customersOf(s.Farm.State())
		}
		if k.Key == "note" || k.Key == "why" {
			f.Area = true
		}
	}
	return f
}

// names lists what a field may name, for the browser to offer.
func (s *Server) names(k journal.Field) []string {
	var out []string
	if k.Of != "bin" { // bins are typed in words, and too many to offer
		out = s.Farm.State().Names(k.Of)
	}
	if len(out) > 60 {
		out = out[len(out)-60:]
	}
	return out
}
