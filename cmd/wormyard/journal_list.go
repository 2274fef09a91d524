package main

import (
	"context"
	"fmt"
	"io"
	"sort"
	"strings"
	"text/tabwriter"
	"time"

	"wormyard/internal/sqlite"
	"wormyard/journal"
)

type journalList struct {
	filter
	Limit int  `default:"50" help:"At most this many, the newest; 0 for all."`
	Live  bool `help:"Only entries that count: not struck, and no strikes."`
}

// listed is an entry as journal list prints it.
type listed struct {
	*journal.Entry
	Struck bool
	By     []string
}

// MarshalJSON adds to an entry what became of it.
func (l listed) MarshalJSON() ([]byte, error) {
	raw, err := journal.Encode(*l.Entry)
	if err != nil {
		return nil, err
	}
	more, err := journal.Encode(struct {
		Struck bool     `json:"struck"`
		By     []string `json:"struck_by,omitempty"`
	}{l.Struck, l.By})
	if err != nil {
		return nil, err
	}
	return append(append(raw[:len(raw)-1], ','), more[1:]...), nil
}

// Run lists entries.
func (j *journalList) Run(c *Context) error {
	store, err := c.openStore()
	if err != nil {
		return err
	}
	defer store.Close()
	zone, strikes, err := zoneAndStrikes(c, store)
	if err != nil {
		return err
	}
	want, err := j.wanted(zone, store.Entries(c, 0))
	if err != nil {
		return err
	}
	var list []listed
	total := 0
	for e, err := range some(store.Entries(c, 0), want) {
		if err != nil {
			return err
		}
		struck := strikes.Struck(e.ID)
		if j.Live && (struck || e.Kind == "strike") {
			continue
		}
		total++
		list = append(list, listed{&e, struck, strikes.By(e.ID)})
		if j.Limit > 0 && len(list) > 4*j.Limit+1000 {
			list = newest(list, j.Limit)
		}
	}
	list = newest(list, j.Limit)
	return c.Print(struct {
		Total   int      `json:"total"`
		Entries []listed `json:"entries"`
	}{total, append([]listed{}, list...)}, func(w io.Writer) error {
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, l := range list {
			kind, _ := journal.KindNamed(l.Kind)
			mark := ""
			switch {
			case l.Struck:
				mark = "[struck] "
			case l.Strikes != "" && l.Kind != "strike":
				mark = "[replaces " + l.Strikes + "] "
			case l.Strikes != "":
				mark = "[strikes " + l.Strikes + "] "
			}
			fmt.Fprintf(t, "%s\t%s\t%s\t%s%s\t%s\n", l.At.In(zone).Format("2006-01-02 15:04"), kind.Words, l.Who, mark, clip(journal.Brief(l.Entry, c.Units())), l.ID)
		}
		if err := t.Flush(); err != nil {
			return err
		}
		if total > len(list) {
			fmt.Fprintf(w, "%s of %s. Say --limit 0 for all.\n", grouped(len(list)), plural(total, "entry", "entries"))
		} else {
			fmt.Fprintf(w, "%s.\n", plural(total, "entry", "entries"))
		}
		return nil
	})
}

// clip shortens what would make a line of the list unreadable.
func clip(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// newest keeps the last n by time, all when n is 0.
func newest(list []listed, n int) []listed {
	sort.SliceStable(list, func(i, k int) bool { return journal.Before(list[i].Entry, list[k].Entry) })
	if n > 0 && len(list) > n {
		list = list[len(list)-n:]
	}
	return list
}

// zoneAndStrikes reads once through the journal for the farm's zone and for
// what is struck.
func zoneAndStrikes(ctx context.Context, store *sqlite.Store) (*time.Location, *journal.Strikes, error) {
	var facts journal.Facts
	var strikes journal.Strikes
	for e, err := range store.Entries(ctx, 0) {
		if err != nil {
			return nil, nil, err
		}
		strikes.Add(&e)
		if e.Kind == "setting" || e.Strikes != "" {
			facts.Add(&e)
		}
	}
	zone := time.UTC
	if value, ok := facts.Setting("zone", time.Unix(1<<40, 0)); ok {
		if z, err := time.LoadLocation(strings.Trim(value, `"`)); err == nil {
			zone = z
		}
	}
	return zone, &strikes, nil
}
