package feedstock

import "wormyard/qty"

// Matter is an amount of something that rots: a pile, a part of a mix, a batch,
// a layer. All masses are extensive, so that mixing is adding and taking a part
// is scaling; ratios are computed from the sums and never averaged
// (docs/model.md M9). Quick + Slow + Woody + Ash + Cast = Dry.
type Matter struct {
	Dry      qty.DryKg      // dry mass, ash included [kg]
	Water    qty.WaterKg    // [kg]
	Quick    qty.DryKg      // volatile matter that rots within days [kg]
	Slow     qty.DryKg      // volatile matter that rots within weeks to months [kg]
	Woody    qty.DryKg      // volatile matter guarded by lignin, that rots over years [kg]
	Fibre    qty.DryKg      // of Woody, what only lignin guards and not the size of its pieces [kg]
	Cast     qty.DryKg      // volatile matter that worms have already worked [kg]
	Ash      qty.DryKg      // [kg]
	Lignin   qty.DryKg      // lignin, a part of Woody and Slow [kg]
	Carbon   qty.CarbonKg   // [kg]
	Nitrogen qty.NitrogenKg // organic nitrogen [kg]
	Ammonia  qty.NitrogenKg // ammoniacal nitrogen, not in Nitrogen [kg N]
	Nitrate  qty.NitrogenKg // nitrate nitrogen, not in Nitrogen [kg N]
	Salt     float64        // sum of dry mass times conductivity of its 1:5 extract [kg dS/m]
	Volume   qty.CubicMetre // loose volume, before shrink [m3]
	PHLow    qty.PH         // lowest pH among what went in; 0 when none is known
	PHHigh   qty.PH         // highest pH among what went in; 0 when none is known
}

// Plus gives the two amounts thrown together. Volumes add; mixing shrink is
// applied by the one who mixes.
func (m Matter) Plus(o Matter) Matter {
	m.Dry += o.Dry
	m.Water += o.Water
	m.Quick += o.Quick
	m.Slow += o.Slow
	m.Woody += o.Woody
	m.Fibre += o.Fibre
	m.Cast += o.Cast
	m.Ash += o.Ash
	m.Lignin += o.Lignin
	m.Carbon += o.Carbon
	m.Nitrogen += o.Nitrogen
	m.Ammonia += o.Ammonia
	m.Nitrate += o.Nitrate
	m.Salt += o.Salt
	m.Volume += o.Volume
	if m.PHLow == 0 || (o.PHLow != 0 && o.PHLow < m.PHLow) {
		m.PHLow = o.PHLow
	}
	if o.PHHigh > m.PHHigh {
		m.PHHigh = o.PHHigh
	}
	return m
}

// Times gives the amount scaled by f, a fraction taken or a number of loads.
func (m Matter) Times(f float64) Matter {
	m.Dry *= qty.DryKg(f)
	m.Water *= qty.WaterKg(f)
	m.Quick *= qty.DryKg(f)
	m.Slow *= qty.DryKg(f)
	m.Woody *= qty.DryKg(f)
	m.Fibre *= qty.DryKg(f)
	m.Cast *= qty.DryKg(f)
	m.Ash *= qty.DryKg(f)
	m.Lignin *= qty.DryKg(f)
	m.Carbon *= qty.CarbonKg(f)
	m.Nitrogen *= qty.NitrogenKg(f)
	m.Ammonia *= qty.NitrogenKg(f)
	m.Nitrate *= qty.NitrogenKg(f)
	m.Salt *= f
	m.Volume *= qty.CubicMetre(f)
	return m
}

// Opened gives the matter with f times as much of its fibre guarded: what is open
// then rots slowly, and the other way round as far as there is slow matter. Lignin
// stays. docs/model.md (T2)
func (m Matter) Opened(f float64) Matter {
	more := min(m.Fibre*qty.DryKg(f-1), m.Slow)
	m.Fibre, m.Woody, m.Slow = m.Fibre+more, m.Woody+more, m.Slow-more
	return m
}

// Wet gives the mass as it lies [kg].
func (m Matter) Wet() qty.WetKg { return m.Dry.With(m.Water) }

// WaterContent gives the water on wet basis; 0 for nothing at all.
func (m Matter) WaterContent() qty.WaterOfWet {
	w := m.Wet()
	if w <= 0 {
		return 0
	}
	return qty.WaterOfWet(float64(m.Water) / float64(w))
}

// TotalNitrogen gives organic, ammoniacal and nitrate nitrogen together [kg].
func (m Matter) TotalNitrogen() qty.NitrogenKg { return m.Nitrogen + m.Ammonia + m.Nitrate }

// CN gives carbon to nitrogen by mass; 0 when there is no nitrogen.
func (m Matter) CN() qty.Ratio {
	n := m.TotalNitrogen()
	if n <= 0 {
		return 0
	}
	return qty.Ratio(float64(m.Carbon) / float64(n))
}

// Density gives the bulk density as it lies; 0 when the volume is not known.
func (m Matter) Density() qty.KgPerM3Wet {
	if m.Volume <= 0 {
		return 0
	}
	return qty.KgPerM3Wet(float64(m.Wet()) / float64(m.Volume))
}
