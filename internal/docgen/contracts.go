package main

import (
	"wormyard/internal/app"
	"wormyard/internal/contract"
)

// contracts gives a schema for what each figure and each command reads and prints.
func contracts(_ string, out pages) error {
	figures, err := app.Figures()
	if err != nil {
		return err
	}
	for _, f := range figures {
		out["contracts/figure/"+f.Name+".in.schema.json"] = contract.Schema(f.Name+", inputs", f.In())
		out["contracts/figure/"+f.Name+".out.schema.json"] = contract.Schema(f.Name+", outputs", f.Out())
	}
	return nil
}
