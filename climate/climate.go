// Package climate is the air around the bins: moist air and its states, the
// hourly series that drive a bed, how a day's low and high become hours, what
// frost and heat are coming, and how a barn turns outside air into the air
// between the stacks.
//
// Moist air is treated as a mixture of ideal gases with the saturation pressure
// of Hyland and Wexler; the real-gas factor (about 0.45 % in the humidity ratio
// at saturation) is left out and named where it matters. A barn is one well
// mixed volume of air with a lumped heat capacity; sun on the roof, wind and
// the depth of the ground are left out. Equations: docs/model.md, C1 to
// C18. Hot loops use plain float64 with the unit in the name or the comment.
package climate

// Hour is the air of one hour as a bed sees it.
type Hour struct {
	TempC float64 // [C]
	RH    float64 // relative humidity [0..1]
}

// Series is hourly air. Hours[i] holds for hour Start+i, counted in hours since
// 1970-01-01T00:00Z.
//
// Off says how far the air of an hour may truly lie from it, and Lasts how long
// such a difference lasts; an hour beyond Off is taken for known.
type Series struct {
	Start int64
	Hours []Hour
	Off   []float64 // by hour [C, one standard deviation]
	Lasts float64   // until it has faded to 1/e [day]
}

// At gives the air of an hour; before the first or after the last hour of the
// series the nearest one is held. An empty series gives 15 C and 0.7.
func (s Series) At(hour int64) Hour {
	if len(s.Hours) == 0 {
		return Hour{TempC: 15, RH: 0.7}
	}
	i := hour - s.Start
	if i < 0 {
		i = 0
	}
	if n := int64(len(s.Hours)); i >= n {
		i = n - 1
	}
	return s.Hours[i]
}

// OffAt gives how far the air of an hour may be off [C, one standard deviation];
// after the last hour of the series that of the last is held.
func (s Series) OffAt(hour int64) float64 {
	if len(s.Off) == 0 {
		return 0
	}
	return s.Off[max(0, min(hour-s.Start, int64(len(s.Off))-1))]
}

// End gives the first hour after the series.
func (s Series) End() int64 { return s.Start + int64(len(s.Hours)) }

// Shift gives the same air moved on by a number of hours; what it holds is shared.
func (s Series) Shift(hours int64) Series { s.Start += hours; return s }

// Steady gives a series of n hours of unchanging air.
func Steady(start int64, n int, air Hour) Series {
	h := make([]Hour, n)
	for i := range h {
		h[i] = air
	}
	return Series{Start: start, Hours: h}
}
