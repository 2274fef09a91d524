package farm

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"wormyard/barn"
	"wormyard/journal"
	"wormyard/qty"
)

// Keys of the settings that the farm understands. A barn is "barn/NAME" and a
// person "person/NAME".
const (
	KeyFarm   = "farm"    // the farm's name, a string
	KeyZone   = "zone"    // "America/Los_Angeles"
	KeyUnits  = "units"   // "us" or "metric"
	KeySite   = "site"    // SiteSetup
	KeyHabits = "habits"  // HabitSetup
	KeyWorms  = "worms"   // the species that most worms are of, "veneta"
	KeyMoney  = "money"   // MoneySetup
	KeySeason = "season"  // SeasonSetup
	KeyTruck  = "truck"   // TruckSetup
	KeyBarn   = "barn/"   // BarnSetup
	KeyPerson = "person/" // PersonSetup
	KeyBox    = "box/"    // a build of a bin, as docs/contracts has carpentry; kept as it is

	// What the columns of a sheet mean, under the mark of its header row.
	KeyLabSheet    = "labsheet/"
	KeyDemandSheet = "demandsheet/"
	KeyOrderSheet  = "ordersheet/"
)

// SiteSetup is the value of the setting "site".
type SiteSetup struct {
	Place      string        `json:"place,omitempty"`
	Source     string        `json:"source,omitempty"` // "normals" (also when empty), "monthly", "typed", "own record", "seattle-daily"
	AltitudeM  float64       `json:"altitude_m,omitempty"`
	MonthLowC  []qty.Celsius `json:"month_low_c,omitempty"`
	MonthHighC []qty.Celsius `json:"month_high_c,omitempty"`
}

// HabitSetup is the value of the setting "habits".
type HabitSetup struct {
	FeedDepthM    qty.Metre   `json:"feed_depth_m,omitempty"`
	FeedEveryDays float64     `json:"feed_every_days,omitempty"`
	VisitDays     float64     `json:"visit_days,omitempty"`
	BeddingDepthM qty.Metre   `json:"bedding_depth_m,omitempty"`
	WaterKg       qty.WaterKg `json:"water_kg,omitempty"`
	FeedMostM     qty.Metre   `json:"feed_most_m,omitempty"` // "never more than 2 in"
	FeedDays      []string    `json:"feed_days,omitempty"`   // "tuesday", "friday": of Weekdays
}

// PersonSetup is the value of the setting of one person. What they wrote keeps
// their name when they are gone.
type PersonSetup struct {
	Gone bool `json:"gone,omitempty"` // no longer offered on forms
}

func (f *folding) setting(e *journal.Entry, b *journal.Setting) {
	text := func() string {
		var s string
		f.decode(e, b, &s)
		return strings.TrimSpace(s)
	}
	switch {
	case b.Key == KeyFarm:
		f.Settings.Name = text()
	case b.Key == KeyUnits:
		f.Settings.Units = qty.US
		if text() == "metric" {
			f.Settings.Units = qty.Metric
		}
	case b.Key == KeyZone:
		name := text()
		f.Settings.Zone = name
		if f.trade.Zone == nil {
			return
		}
		if z, err := f.trade.Zone(name); err == nil {
			f.zone = z
		} else {
			f.raise(e, "setting zone", "zone", fmt.Sprintf("%q is not a time zone we know.", name), "Choose one such as America/Los_Angeles.")
		}
	case b.Key == KeySite:
		var v SiteSetup
		if f.decode(e, b, &v) {
			f.Settings.Site = Site{v.Place, v.Source, v.AltitudeM, v.MonthLowC, v.MonthHighC}
		}
	case b.Key == KeyWorms:
		f.Settings.Worms = text()
	case b.Key == KeyHabits:
		var v HabitSetup
		if f.decode(e, b, &v) {
			f.Settings.Habits = Habits{v.FeedDepthM, v.FeedEveryDays, v.VisitDays, v.BeddingDepthM, v.WaterKg, v.FeedMostM, NewFeedDays(v.FeedDays)}
		}
	case b.Key == KeyMoney:
		var v MoneySetup
		if f.decode(e, b, &v) {
			f.Settings.Money = v
		}
	case b.Key == KeySeason:
		var v SeasonSetup
		if f.decode(e, b, &v) {
			f.Settings.Season = v
		}
	case b.Key == KeyTruck:
		var v TruckSetup
		if f.decode(e, b, &v) {
			f.Settings.Truck = v
		}
	case strings.HasPrefix(b.Key, KeyBarn):
		var v BarnSetup
		if f.decode(e, b, &v) {
			h := f.ownBarn(strings.TrimPrefix(b.Key, KeyBarn))
			h.Setup, h.Known = v, true
		}
	case strings.HasPrefix(b.Key, KeyPerson):
		var v PersonSetup
		if f.decode(e, b, &v) {
			f.person(strings.TrimPrefix(b.Key, KeyPerson), v)
		}
		f.other(b)
	default:
		f.other(b)
	}
}

// person puts a name on the list of people or takes it off; pictures share the
// old list.
func (f *folding) person(name string, v PersonSetup) {
	people := slices.DeleteFunc(slices.Clone(f.Settings.People), func(n string) bool { return n == name })
	if !v.Gone {
		people = append(people, name)
		slices.SortFunc(people, barn.Natural)
	}
	f.Settings.People = people
}

// other keeps a setting as it was given.
func (f *folding) other(b *journal.Setting) {
	m := maps.Clone(f.Settings.Other)
	if m == nil {
		m = map[string]string{}
	}
	m[b.Key] = string(b.Value)
	f.Settings.Other = m
}

func (f *folding) decode(e *journal.Entry, b *journal.Setting, into any) bool {
	if f.trade.Decode == nil {
		return false
	}
	if err := f.trade.Decode(b.Value, into); err != nil {
		f.raise(e, "setting "+b.Key, "setting", fmt.Sprintf("The setting %s of %s cannot be read: %v.", b.Key, f.date(e.At), err), "Set it again on the page Farm.")
		return false
	}
	return true
}

func (f *folding) weather(e *journal.Entry, b *journal.Site) {
	w := Weather{Noted: noted(e), Place: b.Place, Day: b.Day, Low: b.LowC, High: b.HighC, RainMM: b.RainMM, PowerLost: b.PowerLostHours, Outlook: b.Outlook}
	if w.Day == "" {
		w.Day = e.At.In(f.Zone()).Format("2006-01-02")
	}
	if name, ok := strings.CutPrefix(b.Place, "barn "); ok {
		w.Place = strings.TrimSpace(name)
		h := f.ownBarn(w.Place)
		h.Weather = append(h.Weather, w)
		return
	}
	w.Place = "outside"
	f.site = append(f.site, w)
}
