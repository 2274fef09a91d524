package journal

import (
	"slices"
	"strings"
	"time"
)

// Facts is what Check needs to know of the farm: which bins, piles, batches,
// lots and barns there are, since when, and when beds began and ended. It is
// gathered from entries in any order and knows of strikes. The zero value is an
// empty farm. It is not safe for use by several goroutines at once.
type Facts struct {
	strikes Strikes
	seen    map[string]bool // ids of entries kept in things
	things  map[string]map[string][]event
	setting map[string][]event
}

type event struct {
	at   time.Time
	id   string
	what string // "made", "retired", "bedded", "ended"; for settings the value
}

// Add takes note of one entry.
func (f *Facts) Add(e *Entry) {
	f.strikes.Add(e)
	switch b := e.Body.(type) {
	case *Build:
		what := "made"
		if b.State == "retired" {
			what = "retired"
		} else if b.State == "repaired" {
			what = "repaired"
		}
		for _, name := range b.Bins {
			f.note("bin", name, e, what)
		}
		f.note("barn", b.Barn, e, "made")
		for _, s := range b.Slots {
			if barn, _, cut := strings.Cut(s, "/"); cut {
				f.note("barn", barn, e, "made")
			}
		}
	case *Bed:
		for _, name := range b.Bins {
			f.note("bin", name, e, "bedded")
		}
	case *Harvest:
		f.note("lot", b.Lot, e, "made")
		if b.EndsBed {
			for _, name := range b.Bins {
				f.note("bin", name, e, "ended")
			}
		}
	case *Join:
		f.note("lot", b.Lot, e, "made")
	case *Receive:
		f.note("pile", b.Pile, e, "made")
	case *Screen:
		f.note("pile", b.OversPile, e, "made")
	case *Blend:
		f.note("batch", b.Batch, e, "made")
	case *Setting:
		if barn, ok := strings.CutPrefix(b.Key, "barn/"); ok {
			f.note("barn", barn, e, "made")
		}
		if f.setting == nil {
			f.setting = map[string][]event{}
		}
		if f.fresh(e.ID) {
			f.setting[b.Key] = append(f.setting[b.Key], event{e.At, e.ID, string(b.Value)})
		}
	}
}

func (f *Facts) fresh(id string) bool {
	if f.seen[id] {
		return false
	}
	if f.seen == nil {
		f.seen = map[string]bool{}
	}
	f.seen[id] = true
	return true
}

func (f *Facts) note(of, name string, e *Entry, what string) {
	if name == "" || !f.fresh(of+"\x00"+name+"\x00"+e.ID) {
		return
	}
	if f.things == nil {
		f.things = map[string]map[string][]event{}
	}
	if f.things[of] == nil {
		f.things[of] = map[string][]event{}
	}
	list := append(f.things[of][name], event{e.At, e.ID, what})
	slices.SortFunc(list, func(a, b event) int {
		if c := a.at.Compare(b.at); c != 0 {
			return c
		}
		return strings.Compare(a.id, b.id)
	})
	f.things[of][name] = list
}

// Names gives the names of a kind of thing ("bin", "pile", "batch", "lot",
// "barn"), sorted.
func (f *Facts) Names(of string) []string {
	if f == nil {
		return nil
	}
	var out []string
	for name := range f.things[of] {
		if f.Has(of, name) {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// Has says whether there is, or was, such a thing.
func (f *Facts) Has(of, name string) bool {
	if f == nil {
		return false
	}
	for _, ev := range f.things[of][name] {
		if (ev.what == "made" || ev.what == "repaired") && !f.strikes.Struck(ev.id) {
			return true
		}
	}
	return false
}

// Bin gives since when a bin stands, when it was retired (zero while it
// serves) and whether a bed lies in it at the time asked.
func (f *Facts) Bin(name string, at time.Time) (built, retired time.Time, bedded, ok bool) {
	for _, ev := range f.things["bin"][name] {
		if f.strikes.Struck(ev.id) {
			continue
		}
		switch ev.what {
		case "made", "repaired":
			if !ok || ev.what == "made" && !retired.IsZero() {
				if !ok {
					built = ev.at
				}
				ok = true
			}
			retired = time.Time{}
		case "retired":
			retired = ev.at
		case "bedded":
			if !ev.at.After(at) {
				bedded = true
			}
		case "ended":
			if ev.at.Before(at) {
				bedded = false
			}
		}
	}
	return built, retired, bedded, ok
}

// Setting gives the JSON value of a setting as last made at the time asked.
func (f *Facts) Setting(key string, at time.Time) (value string, ok bool) {
	var last event
	for _, ev := range f.setting[key] {
		if ev.at.After(at) || f.strikes.Struck(ev.id) {
			continue
		}
		if !ok || ev.at.After(last.at) || ev.at.Equal(last.at) && ev.id > last.id {
			last, ok = ev, true
		}
	}
	return last.what, ok
}
