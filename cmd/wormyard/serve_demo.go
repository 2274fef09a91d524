package main

import (
	"fmt"

	"wormyard/internal/app"
	"wormyard/internal/demo"
	"wormyard/internal/sqlite"
)

// openDemo opens the demo farm, which is made first when there is none of this
// edition. Its clock stands still. --farm names another place for its file.
func openDemo(c *Context) (*app.App, *sqlite.Store, error) {
	path := demo.Path()
	if c.Farm != "" && c.Farm != "./farm.wormyard" {
		path = c.Farm
	}
	made := false
	last := -1
	a, store, err := demo.Open(c, path, func(step string, done, of int) {
		if part := 100 * done / max(of, 1); part != last {
			last, made = part, true
			fmt.Fprintf(c.Stderr, "\r%s: %d %%   ", step, part)
		}
	})
	if made {
		fmt.Fprintln(c.Stderr)
	}
	if err != nil {
		return nil, nil, err
	}
	return a, store, nil
}

func demoSite() app.Site { return demo.Site() }
