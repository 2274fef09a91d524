package mix

import (
	"math"

	"wormyard/feedstock"
)

// sums are the extensive amounts of a part or of a mix, all in kg but volume
// [m3], salt [kg dS/m] and the ends of pH. NaN is not known, and what is added
// to it is not known either.
type sums struct {
	wet, dry, water, volume          float64
	carbon, nitrogen, ammonia        float64
	ash, lignin, salt, phLow, phHigh float64
}

// none is a mix with nothing in it.
func none() sums { return sums{phLow: math.Inf(1), phHigh: math.Inf(-1)} }

// sumsOf gives what a quantity of matter with these values holds (M8, M12, M16).
// Matter that is all water has no other property and fills no space of its own.
func sumsOf(v *feedstock.Values, q feedstock.Quantity) sums {
	s := none()
	w := float64(v.Water)
	switch {
	case q.Volume > 0:
		s.wet = float64(q.Volume) * float64(v.Density)
	case q.Dry > 0:
		s.wet = float64(q.Dry) / (1 - w)
	default:
		s.wet = float64(q.Wet)
	}
	if s.wet == 0 {
		return s
	}
	s.water = s.wet * w
	s.dry = s.wet - s.water
	if w == 1 {
		s.water, s.dry = s.wet, 0
		return s
	}
	if q.Volume > 0 {
		s.volume = float64(q.Volume)
	} else {
		s.volume = s.wet / float64(v.Density)
	}
	s.carbon = s.dry * float64(v.Carbon)
	s.nitrogen = s.dry * float64(v.Nitrogen)
	s.ammonia = s.dry * float64(v.Ammonia)
	s.ash = s.dry * float64(v.Ash)
	s.lignin = s.dry * float64(v.Lignin)
	s.salt = s.dry * float64(v.Salts)
	s.phLow, s.phHigh = float64(v.PHLow), float64(v.PHHigh)
	return s
}

// add throws o in.
func (s *sums) add(o *sums) {
	s.wet += o.wet
	s.dry += o.dry
	s.water += o.water
	s.volume += o.volume
	s.carbon += o.carbon
	s.nitrogen += o.nitrogen
	s.ammonia += o.ammonia
	s.ash += o.ash
	s.lignin += o.lignin
	s.salt += o.salt
	s.phLow = min(s.phLow, o.phLow)
	s.phHigh = max(s.phHigh, o.phHigh)
}

// ratio is a over b, not known when there is nothing to divide by.
func ratio(a, b float64) float64 {
	if b == 0 {
		return math.NaN()
	}
	return a / b
}

// numbers gives the outputs of a mix (M3, M9, M17, M21, M22, M26, M27).
func (s *sums) numbers(p *Parameters, shrink float64, method Method) Numbers {
	var n Numbers
	n[MassWet], n[MassDry], n[WaterMass] = s.wet, s.dry, s.water
	n[Water] = ratio(s.water, s.wet)
	n[Carbon] = ratio(s.carbon, s.dry)
	n[Nitrogen] = ratio(s.nitrogen, s.dry)
	n[CN] = ratio(s.carbon, s.nitrogen)
	n[Ash] = ratio(s.ash, s.dry)
	n[Lignin] = ratio(s.lignin, s.dry)
	n[Salts] = ratio(s.salt, s.dry)
	n[Ammonia] = ratio(s.ammonia, s.dry)
	volume := s.volume * (1 - shrink)
	n[Volume] = volume
	n[Density] = ratio(s.wet, volume)
	n[AirFilled] = math.Max(0, s.air(p, volume, method))
	n[PHLow], n[PHHigh] = s.phLow, s.phHigh
	if math.IsInf(s.phLow, 0) {
		n[PHLow], n[PHHigh] = math.NaN(), math.NaN()
	}
	return n
}

// air gives air-filled space as it comes out, below zero when water and solids
// do not fit in the volume.
func (s *sums) air(p *Parameters, volume float64, method Method) float64 {
	switch method {
	case Volumes:
		return airByVolumes(s.water, s.dry-s.ash, s.ash, volume, p.OrganicDensity, p.AshDensity)
	case Linear:
		return airByDensity(ratio(s.wet, volume), p.SlopePycno)
	}
	return math.NaN()
}

// waterDensity is that of water at room temperature, rounded [kg/m3].
const waterDensity = 1000

// airByVolumes is M21 with the masses [kg] in a volume [m3]: what the water,
// the organic matter and the ash leave of it.
func airByVolumes(water, organic, ash, volume, organicDensity, ashDensity float64) float64 {
	return 1 - ratio(water/waterDensity+organic/organicDensity+ash/ashDensity, volume)
}

// airByDensity is M22: bulk density [kg/m3 wet], slope [% m3/kg].
func airByDensity(density, slope float64) float64 { return 1 - slope*density/100 }
