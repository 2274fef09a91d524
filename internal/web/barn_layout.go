package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/internal/app"
)

// LayoutPage is the form of a barn's rows and staging spots.
type LayoutPage struct {
	Frame
	Heading, Under   string
	BackTo, BackName string
	ID, Barn, Was    string
	Problems         []Complaint
	Head, Foot       []Field
	Rows             []LayoutRow
}

// LayoutRow is the boxes of one row.
type LayoutRow struct {
	Title  string
	Fields []Field
	Aisle  []Field
}

// What a barn of ours can have, so that a slip of the finger is not drawn.
const (
	mostLaidRows = 60
	mostStacks   = 300
	mostHigh     = 8
	mostSpots    = 20
	spareRows    = 3 // empty rows on the form, to fill in
	mostLetters  = 30
)

// barnLayout shows how a barn is laid out and takes it back changed.
func (s *Server) barnLayout(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	if r.Method != http.MethodPost {
		name := r.URL.Query().Get("barn")
		if name != "" && !hasBarn(state, name) {
			return missing{p.Say("fault.nobarn", name, p.Words.List(barnNames(state)))}
		}
		return s.drawLayout(w, r, p, name, layoutValues(state, name), nil, http.StatusOK)
	}
	v := values{}
	for key := range r.PostForm {
		v[key] = typed(r, key)
	}
	name := v["barn"]
	set, problems := layoutOf(p, state, name, v)
	if name == "" {
		name = v["name"]
	}
	if b, ok := state.Barn(name); ok && b.Known && sameSetup(b.Setup, set) { // the button was pressed twice, or nothing was changed
		seeOther(w, r, barnTo(name))
		return nil
	}
	if len(problems) > 0 {
		return s.drawLayout(w, r, p, v["barn"], v, problems, http.StatusUnprocessableEntity)
	}
	ack, err := s.keepSetting(r.Context(), p, setting{farm.KeyBarn + name, set})
	if err != nil {
		return err
	}
	if !ack.Saved {
		return s.drawLayout(w, r, p, v["barn"], v, ack.Problems, http.StatusUnprocessableEntity)
	}
	seeOther(w, r, withSaid(barnTo(name), ack.Entry.ID))
	return nil
}

func barnNames(state *farm.State) []string {
	var out []string
	for _, b := range state.Barns() {
		out = append(out, b.Name)
	}
	for _, row := range state.Rows() {
		if row.Barn != "" && !slices.Contains(out, row.Barn) {
			out = append(out, row.Barn)
		}
	}
	slices.SortFunc(out, barn.Natural)
	return out
}

func hasBarn(state *farm.State, name string) bool { return slices.Contains(barnNames(state), name) }

func sameSetup(a, b farm.BarnSetup) bool { return setupMark(a) == setupMark(b) }

// setupMark names what a barn was when its form was drawn.
func setupMark(v farm.BarnSetup) string {
	raw, err := json.Marshal(v)
	if err != nil {
		return ""
	}
	h := sha256.Sum256(raw)
	return hex.EncodeToString(h[:8])
}

func setupOf(state *farm.State, name string) farm.BarnSetup {
	if b, ok := state.Barn(name); ok {
		return b.Setup
	}
	return farm.BarnSetup{}
}

func box(key string, i int) string { return key + "_" + strconv.Itoa(i) }

// layoutValues gives what stands in the boxes at first.
func layoutValues(state *farm.State, name string) values {
	set := setupOf(state, name)
	v := values{"doors": set.Doors, "spots": strings.Join(set.Spots, "\n"), "was": setupMark(set)}
	for i, row := range laidRows(state, name) {
		v[box("row", i)], v[box("stacks", i)], v[box("high", i)] = row.Name, strconv.Itoa(row.Stacks), strconv.Itoa(row.High)
		if row.Against {
			v[box("aisle", i)] = "no"
		}
	}
	return v
}

// rowsTyped is how many rows the boxes have something in.
func rowsTyped(v values) int {
	n := 0
	for i := range mostLaidRows + spareRows {
		if v[box("row", i)] != "" || v[box("stacks", i)] != "" || v[box("high", i)] != "" {
			n = i + 1
		}
	}
	return n
}

func (s *Server) drawLayout(w http.ResponseWriter, r *http.Request, p person, name string, v values, problems []app.Problem, status int) error {
	state := s.Farm.State()
	page := LayoutPage{Heading: p.Say("map.newbarn"), Under: p.Say("map.layoutsay"), Barn: name, BackTo: barnTo(name), BackName: p.Say("nav.barn"), Was: setupMark(setupOf(state, name)), ID: s.NewID(p.Now)}
	if name != "" {
		page.Heading, page.BackName = p.Say("map.layoutof", p.barn(name)), p.barn(name)
	} else {
		f := textField("name", p.Say("map.name"), v["name"])
		f.Help = p.Say("map.namehelp")
		page.Head = append(page.Head, f)
	}
	page.Frame = s.frame(r, p, page.Heading, "barn")
	page.One = true
	groups := [][]Field{page.Head}
	for i := range min(rowsTyped(v)+spareRows, mostLaidRows) {
		x := LayoutRow{Title: p.Say("map.rownew")}
		if n := v[box("row", i)]; n != "" {
			x.Title = p.Say("map.row", n)
		}
		f := textField(box("row", i), p.Say("map.rowname"), v[box("row", i)])
		f.Short = true
		x.Fields = append(x.Fields, f)
		for _, k := range []struct{ key, label string }{{"stacks", p.Say("map.stacks")}, {"high", p.Say("map.high")}} {
			f := numberField(box(k.key, i), k.label, "", v[box(k.key, i)])
			f.Mode = "numeric"
			x.Fields = append(x.Fields, f)
		}
		x.Aisle = append(x.Aisle, chipsField(box("aisle", i), p.Say("map.before"), v[box("aisle", i)], []Option{{Value: "", Label: p.Say("map.aisle")}, {Value: "no", Label: p.Say("map.against")}}))
		groups = append(groups, x.Fields)
		page.Rows = append(page.Rows, x)
	}
	spots := areaField("spots", p.Say("map.spots"), v["spots"])
	spots.Help = p.Say("map.spotshelp")
	doors := textField("doors", p.Say("map.doorsbox"), v["doors"])
	doors.Help = p.Say("map.doorshelp")
	page.Foot = []Field{spots, doors}
	page.Problems = mark(problems, append(groups, page.Foot)...)
	return s.draw(w, "layoutform", status, page)
}

// layoutOf reads the boxes. What it refuses names the box, all at once.
func layoutOf(p person, state *farm.State, name string, v values) (farm.BarnSetup, []app.Problem) {
	set := setupOf(state, name)
	var problems []app.Problem
	refuse := func(field, say, try string) {
		problems = append(problems, app.Problem{Field: field, Say: say, Try: try})
	}
	if name != "" && v["was"] != setupMark(set) {
		refuse("", p.Say("map.changed", p.barn(name)), p.Say("map.changedtry"))
	}
	if name == "" {
		switch n := v["name"]; {
		case n == "":
			refuse("name", p.Say("map.noname"), p.Say("map.nonametry"))
		case strings.ContainsAny(n, "/,;\"") || len([]rune(n)) > mostLetters:
			refuse("name", p.Say("map.badname", n), p.Say("map.badnametry", mostLetters))
		case slices.ContainsFunc(barnNames(state), func(o string) bool { return strings.EqualFold(o, n) }):
			refuse("name", p.Say("map.twice", n), p.Say("map.twicetry"))
		}
	}
	set.Rows, set.Doors = nil, v["doors"]
	count := func(field, label, text string, most int) int {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > most {
			refuse(field, p.Say("map.badcount", label, text), p.Say("map.badcounttry", most))
			return 0
		}
		return n
	}
	for i := range mostLaidRows + spareRows {
		n, stacks, high := v[box("row", i)], v[box("stacks", i)], v[box("high", i)]
		if n == "" && stacks == "" && high == "" {
			continue
		}
		switch {
		case n == "":
			refuse(box("row", i), p.Say("map.norow"), p.Say("map.norowtry"))
		case strings.ContainsAny(n, "/,;\"") || len([]rune(n)) > mostLetters:
			refuse(box("row", i), p.Say("map.badname", n), p.Say("map.badnametry", mostLetters))
		case slices.ContainsFunc(set.Rows, func(o farm.BarnRow) bool { return strings.EqualFold(o.Name, n) }):
			refuse(box("row", i), p.Say("map.rowtwice", n), p.Say("map.rowtwicetry"))
		}
		set.Rows = append(set.Rows, farm.BarnRow{Name: n, Stacks: count(box("stacks", i), p.Say("map.stacks"), stacks, mostStacks), High: count(box("high", i), p.Say("map.high"), high, mostHigh), Against: v[box("aisle", i)] == "no"})
	}
	was := set.Spots
	set.Spots = nil
	for _, n := range strings.Split(v["spots"], "\n") {
		n = strings.TrimSpace(n)
		if n == "" || slices.Contains(set.Spots, n) {
			continue
		}
		if strings.ContainsAny(n, "/,;\"") || len([]rune(n)) > mostLetters {
			refuse("spots", p.Say("map.badname", n), p.Say("map.badnametry", mostLetters))
		}
		set.Spots = append(set.Spots, n)
	}
	if len(set.Spots) > mostSpots {
		refuse("spots", p.Say("map.manyspots", len(set.Spots)), p.Say("map.manyspotstry", mostSpots))
	}
	if len(problems) > 0 {
		return set, problems
	}
	return set, straysOf(p, state, name, set, was)
}

// straysOf refuses a layout that would leave a bin without its place.
func straysOf(p person, state *farm.State, name string, set farm.BarnSetup, spotsWere []string) []app.Problem {
	var rows []barn.Extent
	for _, r := range set.Rows {
		rows = append(rows, barn.Extent{Row: r.Name, Stacks: r.Stacks, High: r.High})
	}
	gone := slices.DeleteFunc(slices.Clone(spotsWere), func(n string) bool { return slices.Contains(set.Spots, n) })
	places := barn.NewPlaces()
	for _, b := range state.Bins() {
		if b.State != farm.Retired {
			places.Put(b.Name, b.Slot)
		}
	}
	var out []app.Problem
	for _, x := range places.Strays(name, rows, gone) {
		bins := barn.Spoken(x.Bins)
		i := slices.IndexFunc(rows, func(e barn.Extent) bool { return e.Row == x.Extent.Row })
		y := app.Problem{Try: p.Say("map.movefirst")}
		switch x.Lack {
		case barn.NoRow:
			y.Say = p.Count("map.stray.row", len(x.Bins), x.Extent.Row, bins)
		case barn.NoStack:
			y.Field, y.Say = box("stacks", i), p.Count("map.stray.stack", len(x.Bins), x.Extent.Row, x.Extent.Stacks, bins)
		case barn.NoLevel:
			y.Field, y.Say = box("high", i), p.Count("map.stray.level", len(x.Bins), x.Extent.Row, x.Extent.High, bins)
		case barn.NoSpot:
			y.Field, y.Say = "spots", p.Count("map.stray.spot", len(x.Bins), x.Spot, bins)
		}
		out = append(out, y)
	}
	return out
}
