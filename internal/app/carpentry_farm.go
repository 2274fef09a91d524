package app

import (
	"cmp"
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strings"

	"wormyard/barn"
	"wormyard/carpentry"
	"wormyard/farm"
	"wormyard/qty"
)

// FarmBox is the bin that the farm has most of, as a request: its inside and the
// usual build around it, the stacks of the farm, and what it feeds. A farm that
// has none gets the everyday bin.
func FarmBox(state *farm.State) (BoxRequest, error) {
	in, err := ReadBox([]byte(`{"length_in":48,"width_in":48,"height_in":28,"air":{}}`))
	if err != nil {
		return in, err
	}
	type inside [3]float64
	count := map[inside]int{}
	high, lined := 0, 0
	for _, b := range state.Bins() {
		if b.State == farm.Retired {
			continue
		}
		tenth := func(m qty.Metre) float64 { return math.Round(float64(m)/qty.MetrePerInch*10) / 10 }
		count[inside{tenth(b.Box.Length), tenth(b.Box.Width), tenth(b.Box.Depth)}]++
		high = max(high, b.Slot.Level)
		lined++
		if l := strings.ToLower(strings.TrimSpace(b.Box.Liner)); l == "none" || l == "no" {
			lined -= 2
		}
	}
	if len(count) == 0 {
		return in, nil
	}
	size := slices.MaxFunc(slices.Collect(maps.Keys(count)), func(a, b inside) int {
		return cmp.Or(cmp.Compare(count[a], count[b]), slices.Compare(a[:], b[:]))
	})
	of := func(stick string) carpentry.Section { s, _ := carpentry.Dressed(stick); return s }
	around := 2 * (of(in.Build.Wall).Width + of(in.Build.Post).Width)
	under := of(in.Build.Skid).Depth + of(in.Build.Bearer).Depth + of(in.Build.Floor).Width
	quarter := func(v float64) float64 { return math.Round(v*4) / 4 }
	in.Length, in.Width, in.Height = quarter(size[0]+around), quarter(size[1]+around), quarter(size[2]+under)
	in.High = min(max(1, high), 8)
	in.Build.Lined = lined >= 0
	in.Truck = farmTruck(state.Settings.Truck, in)
	u := state.FarmHabit()
	if d := float64(u.Depth) / qty.MetrePerInch; d >= 0.25 {
		in.Air.Bed.FeedIn = math.Round(d*4) / 4
	}
	if u.EveryDays >= 1 {
		in.Air.Bed.EveryDays = math.Round(u.EveryDays)
	}
	return in, nil
}

// usualCenterIn and usualForksIn are what a truck has that nothing else is said of, as in
// BoxTruck.
const usualCenterIn, usualForksIn = 24, 24

// farmTruck is the farm's truck at the bin on top of a stack of a box: what the line of
// its plate allows that reaches so high, or its highest line where none does; nil where no
// plate was written down.
func farmTruck(set farm.TruckSetup, in BoxRequest) *BoxTruck {
	if len(set.Plate) == 0 {
		return nil
	}
	lines := slices.SortedFunc(slices.Values(set.Plate), func(a, b farm.TruckLine) int { return cmp.Compare(a.HeightM, b.HeightM) })
	each := cmp.Or(float64(set.EachM), in.Height*qty.MetrePerInch)
	i := slices.IndexFunc(lines, func(l farm.TruckLine) bool { return float64(l.HeightM) >= each*float64(in.High-1) })
	if i < 0 {
		i = len(lines) - 1
	}
	t := &BoxTruck{Rated: math.Round(float64(lines[i].LoadKg) / qty.KgPerPound), Center: usualCenterIn, Forks: math.Min(usualForksIn, in.Length/2)}
	if set.CentreM > 0 {
		t.Center = math.Round(float64(set.CentreM)/qty.MetrePerInch*10) / 10
	}
	return t
}

// KeptBox is a build that the farm wrote down.
type KeptBox struct {
	Name string
	Box  BoxRequest
}

// KeptBoxes are the builds that the farm wrote down, by name.
func KeptBoxes(state *farm.State) (out []KeptBox) {
	for key, value := range state.Settings.Other {
		name, ok := strings.CutPrefix(key, farm.KeyBox)
		if !ok || strings.TrimSpace(value) == noBox {
			continue
		}
		if in, err := ReadBox([]byte(value)); err == nil {
			out = append(out, KeptBox{name, in})
		}
	}
	slices.SortFunc(out, func(a, b KeptBox) int { return barn.Natural(a.Name, b.Name) })
	return out
}

// noBox is the value of a build that was taken off the list.
const noBox = "false"

// boxProblems says what is wrong with a build that is to be written down.
func boxProblems(value json.RawMessage) error {
	if strings.TrimSpace(string(value)) == noBox {
		return nil
	}
	_, err := ReadBox(value)
	return err
}
