package worm

// Steps of development that a cocoon and a juvenile pass. The spread of single
// ones (coefficient of variation) is the inverse root: 0.25 for 16 steps as the
// hatching histogram of Venter and Reinecke 1988 has it, 0.29 for 12, 0.41 for
// the 6 of an adult's life.
const (
	cocoonSteps = 16
	youngSteps  = 12
	adultSteps  = 6
)

// Stock is the worms of a bed. A Stock written with the first three fields only
// is complete: the rest is filled by Settle with a usual spread of ages and
// sizes when it is first stepped.
type Stock struct {
	AdultKg    float64 // live mass of adults [kg]
	JuvenileKg float64 // live mass of juveniles [kg]
	Cocoons    float64 // number of cocoons

	Adults  float64              // number of adults
	Aged    [adultSteps]float64  // number of adults by step of age; adds to Adults
	Young   [youngSteps]float64  // number of juveniles by step of development
	YoungKg [youngSteps]float64  // their live mass [kg]; adds to JuvenileKg
	Cocoon  [cocoonSteps]float64 // number of cocoons by step; adds to Cocoons
}

// Place is a part of the bed in which a share of the worms lives.
type Place struct {
	Share       float64 // of juveniles and adults; the shares of a bed add to 1
	CocoonShare float64 // of cocoons
	TempC       float64
	Water       float64 // water [kg/kg wet]
	Oxygen      float64 // in the pore air [m3/m3]
	AmmoniaMgG  float64 // as in the trials of W13: ammonium hydroxide in dry soil [mg/g]
	PH          float64 // of the pore water; 0 where nobody knows and it harms nobody
	SaltDSm     float64 // conductivity of an extract with five parts of water to one of dry matter [dS/m]
}

// Conditions is what a stock meets in one step.
type Conditions struct {
	Places      []Place
	AreaM2      float64
	EatenKgWet  float64 // feed eaten in the step
	EatenKgDry  float64 // its dry matter
	WantedKgWet float64 // feed the worms would have eaten, from Wanted
	Days        float64 // length of the step, at most about 1
}

// Cause names what kills or drives away.
type Cause int

// The causes.
const (
	Age Cause = iota
	Heat
	Cold
	Drought
	NoAir
	Ammonia
	Acid // or its opposite
	Salts
	causes
)

// Flows is what happened in a step: live mass [kg] unless said.
type Flows struct {
	Laid, Hatched, Matured float64 // numbers: cocoons laid, young hatched, juveniles matured
	Grown                  float64 // live mass made out of feed, cocoons laid included
	Shrunk                 float64 // live mass burnt by hungry worms
	Left                   float64 // live mass that crawled away
	Died                   [causes]float64
	CocoonsDied            float64 // live mass of cocoons that died or failed
	Crowding               float64 // brake on laying and growth, 1 none to 0 full
	Fed                    float64 // eaten over wanted
}
