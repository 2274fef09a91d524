package app

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/nature"
	"wormyard/journal"
	"wormyard/qty"
)

// Sources of weather that a site may name.
var weatherSources = []string{"normals", "monthly", "typed", "own record", "seattle-daily"}

// mostName is the most letters of a farm's or a person's name that a page can show.
const mostName = 60

// mostMinutes is the longest that one act can be said to take.
const mostMinutes = 1440

// setting tells what is wrong with the value of a setting that we understand,
// and asks about a key that we do not.
func setting(b *journal.Setting) []journal.Problem {
	var ps []journal.Problem
	refuse := func(say, try string) {
		ps = append(ps, journal.Problem{Field: "value", Say: say, Try: try, Level: journal.Refused})
	}
	read := func(into any) bool {
		d := json.NewDecoder(bytes.NewReader(b.Value))
		d.DisallowUnknownFields()
		err := d.Decode(into)
		if err == nil {
			return true
		}
		say := fmt.Sprintf("The setting %s cannot be read.", b.Key)
		var wrong *json.UnmarshalTypeError
		if errors.As(err, &wrong) && wrong.Field != "" {
			say = fmt.Sprintf("The setting %s: %s is a %s, a %s is wanted.", b.Key, wrong.Field, wrong.Value, wrong.Type)
		} else if name, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
			say = fmt.Sprintf("The setting %s has no field %s.", b.Key, name)
		}
		refuse(say, "See docs/entries.md, or set it on the page Farm.")
		return false
	}
	word := func() string {
		var s string
		if read(&s) && strings.TrimSpace(s) == "" {
			refuse(fmt.Sprintf("The setting %s is empty.", b.Key), "Type a word.")
		}
		return strings.TrimSpace(s)
	}
	switch {
	case b.Key == farm.KeyFarm:
		if n := len([]rune(word())); n > mostName {
			refuse(fmt.Sprintf("The farm's name has %d letters.", n), fmt.Sprintf("Use at most %d.", mostName))
		}
	case b.Key == farm.KeyZone:
		if name := word(); name != "" {
			if _, err := time.LoadLocation(name); err != nil || name == "Local" {
				refuse(fmt.Sprintf("%q is not a time zone we know.", name), "Choose one such as America/Los_Angeles or Europe/Dublin.")
			}
		}
	case b.Key == farm.KeyUnits:
		if u := word(); u != "" && u != "us" && u != "metric" {
			refuse(fmt.Sprintf("The units are %q.", u), "Choose us or metric.")
		}
	case b.Key == farm.KeyWorms:
		if w := word(); w != "" && !slices.Contains(nature.Species, w) {
			refuse(fmt.Sprintf("%q are no worms we have numbers for.", w), "Choose "+strings.Join(nature.Species, ", ")+": the kind that most of the worms are of.")
		}
	case b.Key == farm.KeySite:
		var v farm.SiteSetup
		if !read(&v) {
			break
		}
		if v.Source != "" && !slices.Contains(weatherSources, v.Source) {
			refuse(fmt.Sprintf("%q is not a source of weather we know.", v.Source), "Choose "+strings.Join(weatherSources, ", ")+".")
		}
		if n, m := len(v.MonthLowC), len(v.MonthHighC); (n != 0 && n != 12) || n != m || (v.Source == "monthly" && n != 12) {
			refuse(fmt.Sprintf("There are %d monthly lows and %d monthly highs.", n, m), "Give twelve of each, from January to December.")
		} else {
			for i := range v.MonthLowC {
				if v.MonthLowC[i] > v.MonthHighC[i] {
					refuse(fmt.Sprintf("The low of %s is above its high.", time.Month(i+1)), "Swap them if they were typed the wrong way round.")
				}
			}
		}
		if v.AltitudeM < -430 || v.AltitudeM > 5500 {
			refuse(fmt.Sprintf("The altitude is %g m.", v.AltitudeM), "Type the height above the sea, between -430 and 5,500 m.")
		}
	case b.Key == farm.KeyHabits:
		var v farm.HabitSetup
		if read(&v) && (v.FeedDepthM < 0 || v.FeedEveryDays < 0 || v.VisitDays < 0 || v.BeddingDepthM < 0 || v.WaterKg < 0 || v.FeedMostM < 0) {
			refuse("One of the habits is less than 0.", "Type it without the minus sign, or leave it out.")
		}
		for _, d := range v.FeedDays {
			if !slices.Contains(farm.Weekdays, d) {
				refuse(fmt.Sprintf("The farm feeds on %q, which is no day of the week.", d), "Write days as "+strings.Join(farm.Weekdays, ", ")+".")
			}
		}
	case b.Key == farm.KeyMoney:
		var v farm.MoneySetup
		if read(&v) {
			for _, m := range []*qty.Money{v.Wage, v.Truck, v.Power, v.Bag, v.Tote} {
				if m != nil && (*m < 0 || *m > 1e6) {
					refuse(fmt.Sprintf("One of the prices is %g.", float64(*m)), "Type a price between 0 and 1,000,000, or leave it out.")
				}
			}
			for act, minutes := range v.Minutes {
				if !slices.Contains(TimedActs(), act) {
					refuse(fmt.Sprintf("%q is no act whose minutes are reckoned.", act), "Choose "+strings.Join(TimedActs(), ", ")+".")
				} else if minutes < 0 || minutes > mostMinutes {
					refuse(fmt.Sprintf("%q takes %g minutes.", act, minutes), fmt.Sprintf("Type minutes between 0 and %d, or leave them out.", mostMinutes))
				}
			}
			for _, p := range PricesWrong(v.Products) {
				refuse(p.Say, p.Try)
			}
		}
	case b.Key == farm.KeySeason:
		var v farm.SeasonSetup
		if read(&v) {
			for _, x := range seasonProblems(v) {
				refuse(x[0], x[1])
			}
		}
	case strings.HasPrefix(b.Key, keyRule):
		if key := strings.TrimPrefix(b.Key, keyRule); key != HouseRule {
			refuse(fmt.Sprintf("The rule %q cannot be set: only the farm's own rule can.", key), "Write the key as "+keyRule+HouseRule+".")
			break
		}
		for _, p := range houseRuleAmiss(b.Value) {
			refuse(p.Say, p.Try)
		}
	case strings.HasPrefix(b.Key, keyLabMap):
		var v LabMap
		if read(&v) {
			for _, p := range v.amiss() {
				refuse(p.Say, p.Try)
			}
		}
	case strings.HasPrefix(b.Key, keyDemandMap):
		var v DemandMap
		if read(&v) {
			for _, p := range v.amiss() {
				refuse(p.Say, p.Try)
			}
		}
	case strings.HasPrefix(b.Key, keyOrderMap):
		var v OrderMap
		if read(&v) {
			for _, p := range v.amiss() {
				refuse(p.Say, p.Try)
			}
		}
	case strings.HasPrefix(b.Key, farm.KeyBarn):
		var v farm.BarnSetup
		if strings.TrimPrefix(b.Key, farm.KeyBarn) == "" || strings.Contains(strings.TrimPrefix(b.Key, farm.KeyBarn), "/") {
			refuse("The barn has no name, or a name with a stroke in it.", "Write the key as barn/North.")
		} else if read(&v) {
			for _, n := range []float64{v.LengthM, v.WidthM, v.HeightM, v.SlabWMK, v.PerimeterM, v.VolumeM3, v.AirChanges, v.HeaterW} {
				if n < 0 {
					refuse("A measure of the barn is less than 0.", "Type it without the minus sign.")
					break
				}
			}
		}
	case b.Key == farm.KeyTruck:
		var v farm.TruckSetup
		if read(&v) {
			for _, x := range truckProblems(v) {
				refuse(x[0], x[1])
			}
		}
	case strings.HasPrefix(b.Key, farm.KeyBox):
		name := strings.TrimPrefix(b.Key, farm.KeyBox)
		if n := len([]rune(name)); strings.TrimSpace(name) == "" || n > mostName {
			refuse(fmt.Sprintf("The name of the build has %d letters.", n), fmt.Sprintf("Use 1 to %d.", mostName))
		}
		var no *figure.Refusal
		if errors.As(boxProblems(b.Value), &no) {
			for _, x := range no.Problems {
				refuse(x.Say, x.Try)
			}
		}
	case strings.HasPrefix(b.Key, farm.KeyPerson):
		var v farm.PersonSetup
		switch name := strings.TrimPrefix(b.Key, farm.KeyPerson); {
		case strings.TrimSpace(name) == "":
			refuse("The person has no name.", "Write the key as person/owner.")
		case len([]rune(name)) > mostName:
			refuse(fmt.Sprintf("The name of the person has %d letters.", len([]rune(name))), fmt.Sprintf("Use at most %d.", mostName))
		default:
			read(&v)
		}
	default:
		keys := []string{farm.KeyFarm, farm.KeyZone, farm.KeyUnits, farm.KeySite, farm.KeyHabits, farm.KeyWorms, farm.KeyMoney, farm.KeySeason, farm.KeyTruck, keyRule + HouseRule}
		ps = append(ps, journal.Problem{Field: "key", Level: journal.Doubtful, Say: fmt.Sprintf("%q is not a setting that is used.", b.Key),
			Try: "The settings in use are " + strings.Join(keys, ", ") + ", barn/NAME, box/NAME and person/NAME. Say yes to keep it all the same."})
	}
	return ps
}
