package bed

import "math"

// Turnover gives the nitrogen set free [kg N for each kg of carbon decomposed];
// below 0 it is taken up from the ammoniacal pool. cnSubstrate and cnMicrobe are
// carbon to nitrogen by mass, efficiency the share of carbon built into
// microbes. model.md (B55)
func Turnover(cnSubstrate, cnMicrobe, efficiency float64) float64 {
	return 1/cnSubstrate - efficiency/cnMicrobe
}

// CriticalCN gives the carbon to nitrogen ratio at which nitrogen is neither
// set free nor taken up. model.md (B55)
func CriticalCN(cnMicrobe, efficiency float64) float64 { return cnMicrobe / efficiency }

// Constants of the ammonia equilibrium are published fits, kept with the
// equation they belong to: Emerson, Russo, Lund and Thurston 1975 (0 to 50 C);
// Clegg and Brimblecombe 1989 (273 to 313 K).
const (
	emersonA = 0.09018
	emersonB = 2729.92 // a page that prints 2727.92 is a slip of the pen
	cleggA   = -8.09694
	cleggB   = 3917.507
	cleggC   = -0.00314
)

// AmmoniaPKa gives the pKa of ammonium, for 0 to 50 C.
// model.md (B56)
func AmmoniaPKa(tempC float64) float64 { return emersonA + emersonB/(tempC+zeroKelvin) }

// FreeAmmonia gives the share of ammoniacal nitrogen that is unionised.
// model.md (B56)
func FreeAmmonia(tempC, pH float64) float64 {
	return 1 / (1 + math.Pow(10, AmmoniaPKa(tempC)-pH))
}

// AmmoniaHenry gives the solubility of ammonia [mol/(kg atm)], for 0 to 40 C.
// model.md (B57)
func AmmoniaHenry(tempC float64) float64 {
	t := tempC + zeroKelvin
	return math.Exp(cleggA + cleggB/t + cleggC*t)
}

// AmmoniaGasPPM gives ammonia in air at balance with pore water [ppm by volume
// at 101325 Pa] for ammoniacal nitrogen in the water [mg N/L].
// model.md (B57)
func AmmoniaGasPPM(tempC, pH, ammoniaNMgL float64) float64 {
	free := FreeAmmonia(tempC, pH) * ammoniaNMgL * 1e-6 / nitrogenMolar // [mol/kg] with 1 kg of water a litre
	return 1e6 * free / AmmoniaHenry(tempC)
}
