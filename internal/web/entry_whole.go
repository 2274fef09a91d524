package web

import (
	"net/url"
	"slices"
	"strings"

	"wormyard/farm"
)

// wholeKinds are written down for a whole row, stack or barn at once, all except
// those that are unticked.
var wholeKinds = []string{"feed", "water", "look", "cover"}

// wholeOf lays out the boxes to tick for the bins that a text means, all ticked.
// The entry names the bins that stay ticked.
func (s *Server) wholeOf(p person, sh *slip, text string) bool {
	state := s.Farm.State()
	bins, wrong := state.Places().Select(text)
	if len(wrong) > 0 || !slices.Contains(wholeKinds, sh.kind) {
		return false
	}
	var on []string
	for _, name := range bins {
		b, ok := state.Bin(name)
		if !ok || b.Bed == nil {
			continue
		}
		label := state.Called(b)
		if label == "" {
			label = name
		}
		sh.offer["bins"] = append(sh.offer["bins"], Option{Value: name, Label: label})
		on = append(on, name)
	}
	if len(on) == 0 {
		return false
	}
	sh.pick, sh.preset["bins"], sh.open = "bins", strings.Join(on, "\n"), layouts[sh.kind]
	sh.open = append(slices.Clone(sh.open[1:]), "bins") // what was done first, then where
	sh.action += "?" + url.Values{"all": {text}}.Encode()
	return true
}

// wholes offers the barns and rows of a farm, and the stacks of the row that is
// chosen.
func (s *Server) wholes(p person, kind, chosen string) []Link {
	if !slices.Contains(wholeKinds, kind) {
		return nil
	}
	state := s.Farm.State()
	var out []Link
	add := func(text, name string) {
		out = append(out, Link{To: "/enter/" + kind + "?" + url.Values{"all": {text}}.Encode(), Name: name, Here: text == chosen})
	}
	said := ""
	for _, row := range state.Rows() {
		if row.Barn == "" {
			continue
		}
		if row.Barn != said {
			said = row.Barn
			add("barn "+row.Barn, p.barn(row.Barn))
		}
		add("row "+row.Name+" of "+row.Barn, p.Say("round.row", p.barn(row.Barn), row.Name))
	}
	return append(out, s.stacksOf(p, state, kind, chosen)...)
}

// stacksOf offers the stacks of a chosen row.
func (s *Server) stacksOf(p person, state *farm.State, kind, chosen string) []Link {
	var out []Link
	if !strings.HasPrefix(chosen, "row ") {
		return nil
	}
	bins, _ := state.Places().Select(chosen)
	stacks := map[string][]string{}
	var order []string
	for _, name := range bins {
		if b, ok := state.Bin(name); ok && b.Slot.InRow() {
			key := p.Say("whole.stack", b.Slot.Row, b.Slot.Stack)
			if stacks[key] == nil {
				order = append(order, key)
			}
			stacks[key] = append(stacks[key], name)
		}
	}
	for _, key := range order {
		out = append(out, Link{To: "/enter/" + kind + "?" + url.Values{"all": {strings.Join(stacks[key], ", ")}}.Encode(), Name: key})
	}
	return out
}
