package bed

// Stress is a cause of trouble for the worms.
type Stress int

// The causes, in a fixed order.
const (
	Hot Stress = iota
	Cold
	Dry
	Wet
	Airless
	Sharp     // ammonia
	Corrosive // sour or bitter
	Salty
	Hungry
	Stresses // how many there are
)

var stressWords = [Stresses]string{"hot", "cold", "dry", "wet", "airless", "ammonia", "sour or bitter", "salty", "hungry"}

func (s Stress) String() string { return stressWords[s] }

// Notice is something that a run noticed.
type Notice int

// What may be noticed.
const (
	Heating Notice = iota
	Drying
	Souring
	Leaving
	Frozen
	Heaped
	Notices // how many there are
)

var noticeWords = [Notices]string{"heating", "drying", "souring", "worms leaving", "frozen", "heaped above the rim"}

func (n Notice) String() string { return noticeWords[n] }

// Day is what a bed was over one day, or over one step of output, ending at
// Hour. Amounts are for the whole bin.
type Day struct {
	Hour          int64   // at the end, hours since 1970-01-01T00Z
	DepthM        float64 // at the end [m]
	MeanC         float64 // mean over the bed and the day [C]
	MaxC          float64 // highest of any layer [C]
	MaxAtM        float64 // where that was, below the surface [m]
	MinC          float64 // lowest of any layer [C]
	SurfaceC      float64 // of the surface, mean of the day [C]
	WaterOfWet    float64 // water on wet basis, at the end, ice included
	TopWater      float64 // the same of the top 5 cm
	DrainedKg     float64 // over the day [kg]
	EvaporatedKg  float64 // over the day [kg]
	OxygenMin     float64 // lowest in any layer, by volume [0..0.2095]
	AmmoniaPPM    float64 // highest, in the air under the cover [ppm]
	FeedLeftKg    float64 // dry matter of feed not yet worked or rotted, at the end [kg]
	DryKg         float64 // all but worms, at the end [kg]
	CN            float64 // of the dry matter left
	CastingsKg    float64 // worked matter with its ash and water, at the end [kg wet]
	CastingsOfDry float64 // share of the dry matter that is worked
	WormsKg       float64 // live, at the end [kg]
	Adults        float64
	Juveniles     float64
	Cocoons       float64
	LeftKg        float64           // worms that crawled out over the day, live [kg]
	EatenKg       float64           // eaten over the day, as it lay [kg wet]
	HeatW         float64           // released by decay and worms, mean of the day [W]
	RefugeM       float64           // least depth in which worms can live (Column.Refuge) [m]
	WormsMaxC     float64           // highest temperature where at least a tenth of the worms would be [C]
	FrozenOfWater float64           // ice in all water, at the end
	Stress        [Stresses]float64 // 0 none to 1 lethal within a day, mean over the worms, worst of the day
	Noticed       [Notices]bool     // what was noticed in it
}

// Slice is one layer as a profile shows it.
type Slice struct {
	ID         uint64
	Part       uint8
	Feed       bool
	TopM       float64 // upper face below the surface [m]
	DepthM     float64 // thickness [m]
	TempC      float64
	WaterOfWet float64
	Saturation float64 // water against what the layer holds
	AirFilled  float64 // air space in the bulk
	Oxygen     float64 // by volume
	Ammonia    float64 // gas in the pores [ppm]
	Castings   float64 // worked share of dry matter
	DryKg      float64 // whole bin [kg]
	FeedLeftKg float64 // unworked edible dry matter, whole bin [kg]
	WormsKg    float64 // live, whole bin [kg]
	CN         float64
	PH         float64
	Laid       int64
}

// Balance is what went in and out of one thing and what is there. In counts
// what lay there at the start (Start).
type Balance struct {
	Start  float64
	In     float64 // Start included
	Out    float64
	Stored float64 // at the end
}

// Error gives In - Out - Stored against the larger of In and Stored.
func (b Balance) Error() float64 {
	d := b.In - b.Out - b.Stored
	if d < 0 {
		d = -d
	}
	most := b.In
	if b.Stored > most {
		most = b.Stored
	}
	if most <= 0 {
		return d
	}
	return d / most
}

// Budget is the balance of a run, for the whole bin: dry matter, water, carbon
// and nitrogen [kg], worms included; energy of the bed without its worms [J],
// above everything frozen at -50 C.
type Budget struct {
	Dry, Water, Carbon, Nitrogen, Energy Balance

	ReleasedJ    float64 // by decay and worms
	OxygenKg     float64 // used
	TopJ         float64 // lost through cover and surface without evaporation
	BaseJ        float64 // lost through the base
	SidesJ       float64 // lost through the sides
	LatentJ      float64 // lost by evaporation
	HeaterJ      float64 // put in by the heater
	DrainedKg    float64 // water
	EvaporatedKg float64 // water, condensation taken off
	AmmoniaKg    float64 // nitrogen lost to the air
}
