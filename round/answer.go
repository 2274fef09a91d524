package round

// answers are the kinds of entries that settle an act.
var answers = map[Act][]string{
	Feed: {"feed"}, Water: {"water"}, Cover: {"cover"}, Open: {"cover", "harvest", "turn"},
	Look: {"look", "reading"}, Harvest: {"harvest"}, Split: {"stock", "harvest"}, Warm: {"heat", "move", "cover"},
	Turn: {"tend"}, Wet: {"tend"}, Measure: {"tend"}, Blend: {"blend"}, Ask: {"answer"},
	Mend: {"outcome"}, Helped: {"outcome"},
}

// Kinds gives the kinds of entries that settle an act; none where nothing is to be
// done.
func (a Act) Kinds() []string { return append([]string(nil), answers[a]...) }

// About names the bin or the pile of an item.
func (i *Item) About() string {
	if i.Bin != "" {
		return i.Bin
	}
	return i.Pile
}

// Step names the step of a remedy that an item is, empty for other work.
func (i *Item) Step() string {
	if i.Remedy == nil {
		return ""
	}
	return i.Remedy.Step
}

// Bins names the bins of a line.
func (l Line) Bins() []string {
	var out []string
	for i := range l.Items {
		if l.Items[i].Bin != "" {
			out = append(out, l.Items[i].Bin)
		}
	}
	return out
}

// Only gives a line with the items that are to be kept.
func (l Line) Only(keep func(*Item) bool) Line {
	var items []Item
	for i := range l.Items {
		if keep(&l.Items[i]) {
			items = append(items, l.Items[i])
		}
	}
	l.Items = items
	return l
}

// Parts gives the items of a line by what is to be done, so that each part is one
// set of entries. A pile is a part of its own.
func (l Line) Parts() [][]Item { return parts(l.Items, sameWork) }

// AskedParts gives the items of a line that asks by what they would have been fed.
func (l Line) AskedParts() [][]Item {
	return parts(l.Items, func(a, b *Item) bool { return a.Asked.DepthM == b.Asked.DepthM && a.Asked.Mix == b.Asked.Mix })
}

func sameWork(a, b *Item) bool {
	return b.Pile == "" && a.DepthM == b.DepthM && a.WaterKg == b.WaterKg && a.Mix == b.Mix && a.Cover == b.Cover
}

func parts(items []Item, same func(a, b *Item) bool) [][]Item {
	var out [][]Item
next:
	for i := range items {
		for n := range out {
			if same(&out[n][0], &items[i]) {
				out[n] = append(out[n], items[i])
				continue next
			}
		}
		out = append(out, []Item{items[i]})
	}
	return out
}
