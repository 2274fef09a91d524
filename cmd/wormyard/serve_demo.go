package main

import (
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/sqlite"
)

func openDemo(*Context) (*app.App, *sqlite.Store, error) {
	return nil, nil, figure.Refuse("demo", "The demo farm is not built in yet.", "Leave --demo out.")
}

func demoSite() app.Site { return app.Site{} }
