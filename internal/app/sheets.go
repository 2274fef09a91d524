package app

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"wormyard/internal/label"
	"wormyard/round"
)

// Sheet is a round as it was printed. Code stands on the paper.
type Sheet struct {
	Code string    `json:"code"`
	Day  string    `json:"day"`
	Made time.Time `json:"made"`
	Slot int       `json:"slot"`

	Mends []SheetMend `json:"mends,omitempty"` // lines after those of the twins, in the order of their numbers
}

// SheetMend is a line of a remedy as it was printed: its key and its bins. What it
// says is read from the journal, where remedies are.
type SheetMend struct {
	Key  string   `json:"key"`
	Bins []string `json:"bins"`
}

// sheetsKept is how many printed rounds can be typed back; an older one gives
// way to the next.
const sheetsKept = 14

// Sheets gives the printed rounds that are kept, the newest first.
func (t *Twins) Sheets(ctx context.Context) ([]Sheet, error) {
	data, _, ok, err := t.Kept.Result(ctx, "sheet", "list")
	if err != nil || !ok {
		return nil, err
	}
	var list []Sheet
	if err := json.Unmarshal(data, &list); err != nil {
		return nil, fmt.Errorf("the list of printed rounds: %w", err)
	}
	return list, nil
}

// KeepSheet keeps the newest round as it is printed, once however often it is
// printed; false when there is none. Lines of remedies that are new since it was
// printed last come after the others, so that each keeps its number.
func (t *Twins) KeepSheet(ctx context.Context, mends []SheetMend) (Sheet, bool, error) {
	m, err := t.Last(ctx)
	if err != nil || m == nil {
		return Sheet{}, false, err
	}
	t.sheets.Lock()
	defer t.sheets.Unlock()
	list, err := t.Sheets(ctx)
	if err != nil {
		return Sheet{}, false, err
	}
	x := Sheet{Code: SheetCode(m), Day: m.Day, Made: m.At}
	if i := slices.IndexFunc(list, func(s Sheet) bool { return s.Code == x.Code }); i >= 0 {
		if !list[i].add(mends) {
			return list[i], true, nil
		}
		raw, err := json.Marshal(list)
		if err != nil {
			return Sheet{}, false, err
		}
		return list[i], true, t.Kept.PutResults(ctx, "sheet", m.Day, m.At, map[string][]byte{"list": raw})
	}
	x.add(mends)
	x.Slot = len(list)
	if len(list) >= sheetsKept {
		x.Slot = list[sheetsKept-1].Slot
		list = list[:sheetsKept-1]
	}
	list = append([]Sheet{x}, list...)
	bare := *m
	bare.Items = slices.Clone(m.Items)
	for i := range bare.Items {
		y := &bare.Items[i]
		y.Tried, y.Chances, y.Working = nil, nil, nil
		y.Others = slices.Clone(y.Others)
		for n := range y.Others { // amounts as good as the first: they part the bins into lines
			y.Others[n].Tried, y.Others[n].Chances, y.Others[n].Working = nil, nil, nil
		}
	}
	raw, err := json.Marshal(&bare)
	if err != nil {
		return Sheet{}, false, err
	}
	rawList, err := json.Marshal(list)
	if err != nil {
		return Sheet{}, false, err
	}
	return x, true, t.Kept.PutResults(ctx, "sheet", m.Day, m.At, map[string][]byte{fmt.Sprint("slot ", x.Slot): raw, "list": rawList})
}

// add takes in lines of remedies and says whether any of it is new.
func (x *Sheet) add(mends []SheetMend) bool {
	changed := false
	for _, m := range mends {
		i := slices.IndexFunc(x.Mends, func(y SheetMend) bool { return y.Key == m.Key })
		if i < 0 {
			x.Mends, changed = append(x.Mends, m), true
			continue
		}
		for _, b := range m.Bins {
			if y := &x.Mends[i]; !slices.Contains(y.Bins, b) {
				y.Bins, changed = append(y.Bins, b), true
			}
		}
	}
	return changed
}

// SheetCode gives the six letters of a round's sheet.
func SheetCode(m *Made) string { return label.Short("sheet " + m.At.UTC().Format(time.RFC3339Nano)) }

// SheetList writes a printed round for a reader, line by line as it was printed;
// false when it is not kept.
func (t *Twins) SheetList(ctx context.Context, code string, w round.Words) (round.List, bool, error) {
	list, err := t.Sheets(ctx)
	if err != nil {
		return round.List{}, false, err
	}
	i := slices.IndexFunc(list, func(s Sheet) bool { return s.Code == code })
	if i < 0 {
		return round.List{}, false, nil
	}
	data, _, ok, err := t.Kept.Result(ctx, "sheet", fmt.Sprint("slot ", list[i].Slot))
	if err != nil || !ok {
		return round.List{}, false, err
	}
	var m Made
	if err := json.Unmarshal(data, &m); err != nil || SheetCode(&m) != code {
		return round.List{}, false, err
	}
	in := m.Made
	in.Items = m.Items
	l := t.round.Write(in)
	l.Speak(w)
	return l, true, nil
}
