package main

import (
	"errors"
	"fmt"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/contract"
	"wormyard/internal/sheet"
	"wormyard/internal/sqlite"
	"wormyard/journal"
	"wormyard/qty"
)

// openStore opens the file of the farm that the flags name, which must be there,
// or that of the demo farm, which is made when there is none.
func (c *Context) openStore() (*sqlite.Store, error) {
	if c.Demo {
		_, store, err := openDemo(c)
		return store, err
	}
	return sqlite.OpenToRead(c.Farm)
}

// openFarm opens and folds the farm that the flags name, which must be there.
func (c *Context) openFarm() (*app.App, *sqlite.Store, error) {
	if c.Demo {
		return openDemo(c)
	}
	store, err := sqlite.OpenToRead(c.Farm)
	if err != nil {
		return nil, nil, err
	}
	a, err := app.Open(c, store, c.Now)
	if err != nil {
		return nil, nil, errors.Join(err, store.Close())
	}
	return a, store, nil
}

// makeFarm opens the farm that the flags name and makes it when there is none.
func (c *Context) makeFarm() (*app.App, *sqlite.Store, error) {
	if c.Demo {
		return openDemo(c)
	}
	return app.OpenFile(c, c.Farm, c.Now)
}

// record writes an entry down and gives its id; yes says that what is unusual is
// right.
func (c *Context) record(a *app.App, e journal.Entry, yes bool) (string, error) {
	ack, err := a.Record(c, e, yes)
	if err != nil {
		return "", err
	}
	if ack.Saved {
		return ack.Entry.ID, nil
	}
	var out []figure.Problem
	for _, p := range ack.Problems {
		try := p.Try
		if p.Doubt {
			try += " If it is right, add --yes."
		}
		out = append(out, figure.Problem{Field: p.Field, Say: p.Say, Try: try})
	}
	return "", contract.Refuse(out)
}

// inWords turns what a person can mend into a refusal.
func inWords(err error) error {
	var trouble *sqlite.Trouble
	var unreadable *sheet.Unreadable
	var conflict *journal.Conflict
	switch {
	case errors.As(err, &trouble):
		return figure.Refuse("", trouble.Say, trouble.Try)
	case errors.As(err, &unreadable):
		return figure.Refuse("", unreadable.Say, unreadable.Try)
	case errors.As(err, &conflict):
		return figure.Refuse("id", conflict.Error(), "Give the entry an id of its own, or strike the one that is there.")
	}
	return err
}

// openTwins opens the farm with its twins; the store is to be closed.
func (c *Context) openTwins() (*app.App, *sqlite.Store, *app.Twins, error) {
	a, store, err := c.openFarm()
	if err != nil {
		return nil, nil, nil, err
	}
	t, err := newTwins(c, a, store)
	if err != nil {
		store.Close()
		return nil, nil, nil, err
	}
	return a, store, t, nil
}

// newTwins makes the twins of an open farm, with its weather.
func newTwins(c *Context, a *app.App, store *sqlite.Store) (*app.Twins, error) {
	t, err := app.NewTwins(a, app.KeepIn{Store: store})
	if err != nil {
		return nil, err
	}
	t.Scores = store
	if c.Demo {
		t.Site = demoSite()
	}
	return t, nil
}

func temp(u qty.System, c float64) string  { return u.Temperature(qty.Celsius(c)) }
func depth(u qty.System, m float64) string { return u.Depth(qty.Metre(m)) }

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return grouped(n) + " " + many
}

// grouped prints a count with thousands marks.
func grouped(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
