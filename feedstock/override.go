package feedstock

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"wormyard/figure"
	"wormyard/qty"
)

// limits within which a property can be; beyond them a value was typed on
// another basis or in another unit.
func limits(key string) (low, high float64, unit string) {
	switch key {
	case KeyDensity:
		return 1, 3000, "kg/m3"
	case KeyCN:
		return 1, 5000, ""
	case KeySalts:
		return 0, 200, "dS/m"
	case KeyPH:
		return 0, 14, ""
	case KeyAmmonia:
		return 0, 200000, "mg/kg dry"
	}
	return 0, 1, ""
}

// Override gives the material with a pile's own analyses in front: each stands
// as the range used and as the first claim, and every claim of the library is
// kept behind it. volatile_frac_dry is stored as ash. An own moisture without
// an own density moves the density with it at the same dry matter in the same
// space (M16), up to what leaves no air. Two analyses of one property keep the
// later in use and both as claims. All analyses that cannot be are told at once
// in a *figure.Refusal.
func (m Material) Override(own ...Assay) (Material, error) {
	var wrong []figure.Problem
	before := m.Water
	for _, p := range m.properties() {
		p.value.Claims = slices.Clone(p.value.Claims)
	}
	for _, a := range own {
		key, e := a.Key, a.Value
		if key == KeyVolatile {
			key, e = KeyAsh, qty.Estimate{Best: 1 - e.Best, Low: 1 - e.High, High: 1 - e.Low, Known: e.Known}
		}
		p := m.Property(key)
		if p == nil {
			wrong = append(wrong, figure.Problem{Field: a.Key, Say: fmt.Sprintf("%q is not a property of a material.", a.Key), Try: "Use one of " + strings.Join(append(Keys(), KeyVolatile), ", ") + "."})
			continue
		}
		if e.Low == 0 && e.High == 0 && e.Best != 0 {
			e.Low, e.High = e.Best, e.Best
		}
		low, high, unit := limits(key)
		if bad := !(e.Low <= e.Best && e.Best <= e.High) || !(e.Low >= low && e.High <= high) || math.IsInf(e.High, 0); bad {
			wrong = append(wrong, figure.Problem{Field: a.Key,
				Say: strings.TrimSpace(fmt.Sprintf("%s of %s is %s.", a.Key, m.Name, spread(a.Value))),
				Try: strings.TrimSpace(fmt.Sprintf("It must lie between %g and %g %s", low, high, unit)) + ", low before best before high."})
			continue
		}
		if e.Known == "" {
			e.Known = "measured"
		}
		ref := a.Ref
		if ref == "" {
			ref = "own"
		}
		how := e.Known
		if how == "handbook" {
			how = "memory"
		}
		p.Estimate, p.Own = e, true
		p.Claims = append([]Claim{{Low: e.Low, Best: e.Best, High: e.High, Ref: ref, How: how, Note: a.Note}}, p.Claims...)
	}
	if len(wrong) > 0 {
		return Material{}, &figure.Refusal{Problems: wrong}
	}
	if m.Water.Own && !m.Density.Own && m.Density.Has() && before.Has() && before.Best < 1 {
		m.Density = moved(m.Density, before.Best, m.Water.Best)
	}
	if m.Lignin.Own && m.Ash.Has() && m.Woody.Has() && !m.Woody.Own && m.Group != "wood" {
		m.resplit()
	}
	return m, nil
}

// resplit divides the volatile matter anew by an own lignin (Y13), quick to
// slow as before. Wood is left alone: its chips are guarded by their size.
func (m *Material) resplit() {
	was := 1 - m.Woody.Best
	if was <= 0 || m.Ash.Best >= 1 {
		return
	}
	now := Degradable(m.Lignin.Best / (1 - m.Ash.Best))
	for _, p := range []*Property{&m.Quick, &m.Slow} {
		f := now / was
		p.Low, p.Best, p.High = min(p.Low*f, 1), p.Best*f, min(p.High*f, 1)
	}
	shift := (1 - now) - m.Woody.Best
	m.Woody.Low, m.Woody.Best, m.Woody.High = max(m.Woody.Low+shift, 0), 1-now, min(max(m.Woody.High+shift, 1-now), 1)
	for _, p := range []*Property{&m.Quick, &m.Slow, &m.Woody} {
		p.Claims = append([]Claim{{Low: p.Low, Best: p.Best, High: p.High, Ref: "own", How: "derived", Note: "from the pile's own lignin (Y13)"}}, p.Claims...)
	}
}

// moved gives a density at another moisture, dry matter in the space unchanged,
// and never above that of the same matter without air (organic solids at
// 1600 kg/m3, as in figure mix.air_filled).
func moved(d Property, from, to float64) Property {
	if to >= 1 || from == to {
		return d
	}
	full := 1 / (to/1000 + (1-to)/1600)
	f := (1 - from) / (1 - to)
	shift := func(x float64) float64 { return min(x*f, full) }
	old := d.Estimate
	d.Low, d.Best, d.High = shift(old.Low), shift(old.Best), shift(old.High)
	d.Claims = append([]Claim{{Low: d.Low, Best: d.Best, High: d.High, Ref: "own", How: "derived",
		Note: "the library's dry matter in the same space, at the pile's own moisture (M16); weigh a bucket to know"}}, d.Claims...)
	return d
}

func spread(e qty.Estimate) string {
	if e.Low == e.High {
		return fmt.Sprintf("%g", e.Best)
	}
	return fmt.Sprintf("%g (%g to %g)", e.Best, e.Low, e.High)
}
