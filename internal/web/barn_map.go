package web

import (
	"cmp"
	"context"
	"net/url"
	"slices"
	"strconv"

	"wormyard/farm"
	"wormyard/internal/web/draw"
	"wormyard/round"
)

// MapRow is a row of the map: its heading and its boxes as seen from the aisle.
type MapRow struct {
	Anchor, Title, Floor string
	High                 string // how many boxes high, for the room it takes before it is drawn
	draw.Elevation
}

// WarmStep is one step of the layer of temperatures.
type WarmStep struct{ Class, Word string }

// BarnMap is a barn from above and its rows from their aisles.
type BarnMap struct {
	Plan  draw.Plan
	Alt   string
	Rows  []MapRow
	Quiet string // rows that are left out, because nothing in them is asked for
	Warm  []WarmStep
}

// warmStepsC are the edges of the steps of temperature that are told apart [C].
// They are marks of a scale and say nothing of what worms bear.
var warmStepsC = []float64{10, 15, 20, 25, 30}

// mapView is how a reader looks at a barn.
type mapView struct {
	barn, show, act, look string
}

// to gives the address of a view; an empty part is left out.
func (v mapView) to() string {
	q := url.Values{}
	for key, value := range map[string]string{"show": v.show, "act": v.act, "look": v.look} {
		if value != "" {
			q.Set(key, value)
		}
	}
	if len(q) == 0 {
		return barnTo(v.barn)
	}
	return barnTo(v.barn) + "?" + q.Encode()
}

// laidRow is a row as it is laid out, with the boxes that stand in it.
type laidRow struct {
	farm.BarnRow
	bins []*farm.Bin
}

// laidRows gives the rows of a barn: as laid out, and those that are known only
// because a box stands in them.
func laidRows(state *farm.State, name string) []laidRow {
	var out []laidRow
	if b, ok := state.Barn(name); ok {
		for _, r := range b.Setup.Rows {
			out = append(out, laidRow{BarnRow: r})
		}
	}
	for _, row := range state.Rows() {
		if row.Barn != name || row.Barn == "" {
			continue
		}
		i := slices.IndexFunc(out, func(r laidRow) bool { return r.Name == row.Name })
		if i < 0 {
			i, out = len(out), append(out, laidRow{BarnRow: farm.BarnRow{Name: row.Name}})
		}
		out[i].bins = row.Bins
		for _, b := range row.Bins {
			out[i].Stacks, out[i].High = max(out[i].Stacks, b.Slot.Stack), max(out[i].High, b.Slot.Level)
		}
	}
	return out
}

// mapOf draws a barn.
func (s *Server) mapOf(ctx context.Context, p person, state *farm.State, said saying, view mapView) (*BarnMap, error) {
	out := &BarnMap{}
	var rows []draw.PlanRow
	var quiet []string
	for _, row := range laidRows(state, view.barn) {
		drawn, plan, wanted, err := s.mapRow(ctx, p, state, said, view, row)
		if err != nil {
			return nil, err
		}
		if view.show == "needs" && wanted == 0 {
			quiet = append(quiet, row.Name)
			plan.To = ""
		} else {
			out.Rows = append(out.Rows, drawn)
		}
		rows = append(rows, plan)
	}
	if len(quiet) > 0 {
		out.Quiet = p.Count("map.quiet", len(quiet), p.Words.List(quiet))
	}
	doors := ""
	var spots []draw.PlanSpot
	if b, ok := state.Barn(view.barn); ok {
		doors = b.Setup.Doors
		for _, spot := range b.Setup.Spots {
			n := 0
			for _, x := range state.Bins() {
				if x.Slot.Spot == spot && x.State != farm.Retired {
					n++
				}
			}
			x := draw.PlanSpot{Name: spot, Say: p.Count("barn.bins", n), Label: p.Say("map.spot", spot, p.Count("barn.bins", n))}
			if n > 0 {
				x.To = "#spots"
			}
			spots = append(spots, x)
		}
	}
	if doors != "" {
		doors = p.Say("map.doors", doors)
	}
	out.Plan = draw.NewPlan(rows, spots, p.Say("barn.aisle"), doors)
	out.Alt = p.Say("map.plan", p.barn(view.barn))
	if view.show == "warmth" {
		for i := range len(warmStepsC) + 1 {
			x := WarmStep{Class: "warm-" + strconv.Itoa(i)}
			switch i {
			case 0:
				x.Word = p.Say("map.under", p.temperatureUnit(warmStepsC[0]))
			case len(warmStepsC):
				x.Word = p.Say("map.over", p.temperatureUnit(warmStepsC[i-1]))
			default:
				x.Word = p.Say("map.between", p.temperature(warmStepsC[i-1]), p.temperatureUnit(warmStepsC[i]))
			}
			out.Warm = append(out.Warm, x)
		}
		out.Warm = append(out.Warm, WarmStep{Class: "now", Word: p.Say("map.alarm", p.temperatureUnit(float64(alarmC)))})
	}
	return out, nil
}

// mapRow draws one row both ways, and counts the boxes that the view asks for.
func (s *Server) mapRow(ctx context.Context, p person, state *farm.State, said saying, view mapView, row laidRow) (MapRow, draw.PlanRow, int, error) {
	anchor := "row-" + row.Name
	plan := draw.PlanRow{Name: p.Say("map.row", row.Name), To: "#" + url.PathEscape(anchor), Against: row.Against, Stacks: make([]draw.PlanStack, row.Stacks)}
	rank, counts := make([]int, row.Stacks), make([]int, row.Stacks)
	for i := range plan.Stacks {
		plan.Stacks[i].Vacant = true
	}
	var boxes []draw.SlotBox
	taken := map[[2]int]bool{}
	wanted := 0
	for _, b := range row.bins {
		x, urgent, err := s.slotBox(ctx, p, state, said, view, b)
		if err != nil {
			return MapRow{}, plan, 0, err
		}
		taken[[2]int{b.Slot.Stack, b.Slot.Level}] = true
		boxes = append(boxes, x)
		i := b.Slot.Stack - 1
		plan.Stacks[i].Vacant = false
		if urgent > 0 && !x.Faint {
			wanted++
			counts[i]++
			if urgent > rank[i] {
				rank[i], plan.Stacks[i].Act, plan.Stacks[i].Double = urgent, x.Act, x.Double
			}
			plan.Stacks[i].Count = whole(float64(counts[i]))
		}
	}
	for stack := 1; stack <= row.Stacks; stack++ {
		for level := 1; level <= row.High; level++ {
			if !taken[[2]int{stack, level}] {
				boxes = append(boxes, draw.SlotBox{Stack: stack, Level: level, Vacant: true})
			}
		}
	}
	slices.SortStableFunc(boxes, func(a, b draw.SlotBox) int {
		return cmp.Or(cmp.Compare(a.Stack, b.Stack), cmp.Compare(b.Level, a.Level))
	})
	plan.Label = p.Say("map.rowis", row.Name, p.Count("barn.bins", len(row.bins)), p.Count("barn.needs", wanted))
	if view.show == "warmth" {
		plan.Label = p.Say("map.rowwarm", row.Name, p.Count("barn.bins", len(row.bins)))
	}
	return MapRow{Anchor: anchor, Title: p.Say("barn.row", row.Name), Floor: p.Say("barn.aisle"), High: strconv.Itoa(min(row.High, 6)), Elevation: draw.NewElevation(boxes, row.Stacks, row.High)}, plan, wanted, nil
}

// slotBox gives a box as the view shows it, and how urgent it is: 0 for one that
// needs nothing.
func (s *Server) slotBox(ctx context.Context, p person, state *farm.State, said saying, view mapView, b *farm.Bin) (draw.SlotBox, int, error) {
	look := view
	look.look = b.Name
	x := draw.SlotBox{Stack: b.Slot.Stack, Level: b.Slot.Level, Place: state.Called(b), Name: b.Name, Say: said.state(p, b), To: look.to() + "#look", ID: "at-" + b.Name, Here: b.Name == view.look}
	urgent := 0
	if y, ok := said.of[b.Name]; ok && y.act != round.Rest && b.Bed != nil {
		x.Act, urgent = y.strip, y.rank
		x.Faint = view.show == "needs" && view.act != "" && view.act != string(y.act)
	} else if view.show == "needs" {
		x.Faint = true
	}
	if b.Bed == nil {
		x.Act = "empty"
	}
	if view.show == "warmth" {
		x.Say, x.Act, urgent = p.Say("state.unknown"), "", 0
		o, err := s.outlook(ctx, b.Name)
		if err != nil {
			return x, 0, err
		}
		if o != nil {
			x.Say, x.Range = p.temperatureUnit(o.Warmest.Mid), p.Say("map.between", p.temperature(o.Warmest.Low), p.temperature(o.Warmest.High))
			said := p.Say("state.warm", x.Say, p.temperature(o.Warmest.Low), p.temperature(o.Warmest.High))
			x.Label = p.Say("map.box", x.Place, b.Name, said)
			step := warmStep(o.Warmest.Mid)
			x.Act, urgent = "warm-"+strconv.Itoa(step), 1+step
			if o.Warmest.High >= float64(alarmC) {
				x.Act, urgent = "now", 2+len(warmStepsC)
			}
		}
	}
	x.Double = x.Act == "now"
	if x.Label == "" {
		x.Label = p.Say("map.box", x.Place, b.Name, x.Say)
	}
	return x, urgent, nil
}

func warmStep(c float64) int {
	n := 0
	for _, edge := range warmStepsC {
		if c >= edge {
			n++
		}
	}
	return n
}

// actLinks are the kinds of act that bins of a barn ask for, each a filter.
func (s *Server) actLinks(p person, state *farm.State, said saying, view mapView) []Link {
	counts := map[round.Act]int{}
	for _, b := range state.Bins() {
		if y, ok := said.of[b.Name]; ok && b.Slot.Barn == view.barn && b.Bed != nil && y.act != round.Rest {
			counts[y.act]++
		}
	}
	var acts []round.Act
	for a := range counts {
		acts = append(acts, a)
	}
	slices.SortFunc(acts, func(a, b round.Act) int { return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a, b)) })
	var out []Link
	all := view
	all.act, all.look = "", ""
	if len(acts) > 0 {
		out = append(out, Link{To: all.to(), Name: p.Say("map.every"), Here: view.act == ""})
	}
	for _, a := range acts {
		v := all
		v.act = string(a)
		out = append(out, Link{To: v.to(), Name: p.Say("map.actcount", p.actWord(a), counts[a]), Here: view.act == v.act})
	}
	return out
}
