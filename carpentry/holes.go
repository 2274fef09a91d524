package carpentry

import (
	"fmt"
	"math"

	"wormyard/figure"
)

// Holes are round holes through a wall, as air comes through them by diffusion.
type Holes struct {
	Count      int
	AreaM2     float64
	OxygenKgS  float64 // that comes in through all of them
	DryingKgS  float64 // of water vapour that leaves through them
	ThroughM2S float64 // conductance of one hole by unit of diffusivity [m]
}

// HoleConductance is the conductance of one round hole by unit of diffusivity
// [m]: its area by its depth and the way in the air before both its ends, a
// quarter of pi of its width in all (Brown and Escombe 1900). model.md (K14).
func HoleConductance(diameterM, depthM float64) float64 {
	area := math.Pi * diameterM * diameterM / 4
	return area / (depthM + math.Pi*diameterM/4)
}

// HolesFor is how many round holes let in that much oxygen [kg/s] where the air
// outside and at the hole's inner end hold that much of it [kg/m3], and what
// water leaves through them by the difference of vapour [kg/m3]. It says no word
// of wind, and of how far the air goes on through the bed. The error is a
// *figure.Refusal. model.md (K14).
func (p Parameters) HolesFor(oxygenKgS, outKgM3, inKgM3, diameterM, depthM, vapourKgM3 float64) (Holes, error) {
	var bad figure.Problems
	if !(oxygenKgS > 0) || math.IsInf(oxygenKgS, 0) {
		bad.Add("oxygen_kg_s", fmt.Sprintf("A bed that needs %g kg of oxygen a second needs no holes.", oxygenKgS), "Give what the bed uses that does not come through its top.")
	}
	if !(outKgM3 > inKgM3 && inKgM3 >= 0) {
		bad.Add("inside_kg_m3", "Oxygen comes in only where there is less of it inside than outside.", "Outside it is about 0.28 kg/m3 at 20 C.")
	}
	if !(diameterM > 0 && diameterM < 0.5) || !(depthM >= 0 && depthM < 1) {
		bad.Add("diameter_m", fmt.Sprintf("A hole %g m wide through %g m of wood cannot be.", diameterM, depthM), "Look at the numbers again.")
	}
	if err := bad.Refuse(); err != nil {
		return Holes{}, err
	}
	h := Holes{ThroughM2S: HoleConductance(diameterM, depthM)}
	one := p.Oxygen * h.ThroughM2S * (outKgM3 - inKgM3)
	n := math.Ceil(oxygenKgS/one - 1e-9)
	if n > 1e6 {
		return Holes{}, figure.Refuse("oxygen_kg_s", "That takes more than a million holes.", "Wider holes, or a shallower bed.")
	}
	h.Count = int(n)
	h.AreaM2 = n * math.Pi * diameterM * diameterM / 4
	h.OxygenKgS = n * one
	h.DryingKgS = n * p.Vapour * h.ThroughM2S * math.Max(0, vapourKgM3)
	return h, nil
}
