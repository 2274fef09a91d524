package main

import (
	"wormyard/internal/app"
	"wormyard/internal/contract"
	"wormyard/round"
)

// roundAnswer is the list of a round with its items also in one row.
type roundAnswer struct {
	Items []round.Item `json:"items"`
	round.List
}

// commandShapes are what each command reads and prints.
var commandShapes = []struct {
	name    string
	in, out any
}{
	{"mix", app.MixRequest{}, app.MixAnswer{}},
	{"bed", app.BedRequest{}, app.BedAnswer{}},
	{"season", app.SeasonRequest{}, app.SeasonAnswer{}},
	{"moves", app.MovesRequest{}, app.MovesAnswer{}},
	{"carpentry", app.BoxRequest{}, app.BoxAnswer{}},
	{"bin", nil, app.Outlook{}},
	{"round", nil, roundAnswer{}},
	{"lot", nil, app.LotAnswer{}},
	{"count", nil, app.CountAnswer{}},
	{"harvest", nil, app.RipeList{}},
	{"harvest_entry", nil, app.HarvestSaid{}},
	{"trial", nil, app.TrialList{}},
	{"screen", nil, app.ScreenForetold{}},
	{"lot_list", nil, app.LotList{}},
	{"lot_release", nil, app.ReleaseAnswer{}},
	{"lot_rules", nil, app.RuleList{}},
	{"lot_trace", nil, app.TraceAnswer{}},
	{"costs", nil, app.CostAnswer{}},
	{"orders", nil, app.OrderAnswer{}},
	{"orders_sheet", nil, app.OrderSheet{}},
	{"duties", nil, app.DutyList{}},
	{"lot_assay", nil, app.LabSheetAnswer{}},
	{"lot_record", nil, app.LotRecordWritten{}},
}

// contracts gives a schema for what each figure and each command reads and prints.
func contracts(_ string, out pages) error {
	for _, c := range commandShapes {
		if c.in != nil {
			out["contracts/"+c.name+".in.schema.json"] = contract.InputSchema("wormyard "+c.name+", what it reads", c.in)
		}
		if c.out != nil {
			out["contracts/"+c.name+".out.schema.json"] = contract.Schema("wormyard "+c.name+", what it prints", c.out)
		}
	}
	figures, err := app.Figures()
	if err != nil {
		return err
	}
	for _, f := range figures {
		out["contracts/figure/"+f.Name+".in.schema.json"] = contract.InputSchema(f.Name+", inputs", f.In())
		out["contracts/figure/"+f.Name+".out.schema.json"] = contract.Schema(f.Name+", outputs", f.Out())
	}
	return nil
}
