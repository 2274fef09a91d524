package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/sqlite"
	"wormyard/qty"
)

// openFarm opens the farm that the flags name, which must be there, or the demo
// farm, which is made when there is none.
func (c *Context) openFarm() (*app.App, *sqlite.Store, error) {
	if c.Demo {
		return openDemo(c)
	}
	if _, err := os.Stat(c.Farm); errors.Is(err, fs.ErrNotExist) {
		return nil, nil, figure.Refuse("farm", fmt.Sprintf("There is no farm in %s.", c.Farm), "Name its file with --farm, or make one: wormyard serve --farm "+c.Farm)
	}
	return app.OpenFile(c, c.Farm, c.Now)
}

// newTwins makes the twins of an open farm, with its weather.
func newTwins(c *Context, a *app.App, store *sqlite.Store) (*app.Twins, error) {
	t, err := app.NewTwins(a, app.KeepIn{Store: store})
	if err == nil && c.Demo {
		t.Site = demoSite()
	}
	return t, err
}

func temp(u qty.System, c float64) string  { return u.Temperature(qty.Celsius(c)) }
func depth(u qty.System, m float64) string { return u.Depth(qty.Metre(m)) }
