package feedstock

import (
	"math"
	"slices"
	"strings"
)

// Level is how strongly a hazard speaks.
type Level string

// The three levels.
const (
	LevelRefuse Level = "refuse" // must not go to worms
	LevelHold   Level = "hold"   // not before the test that clears it
	LevelWarn   Level = "warn"   // may go, with care
)

func (l Level) rank() int {
	switch l {
	case LevelRefuse:
		return 3
	case LevelHold:
		return 2
	case LevelWarn:
		return 1
	}
	return 0
}

func (l Level) lower() Level {
	switch l {
	case LevelRefuse:
		return LevelHold
	case LevelHold:
		return LevelWarn
	}
	return ""
}

// Hazard is something a material may bring, and when it speaks.
type Hazard struct {
	What     string // "persistent herbicide"
	Level    Level
	Why      string // what it does, one sentence
	Clears   string // what clears it: a test, a wait, a wash
	Declared string // the declared treatment that raises it ("dewormer"), or "" when none is needed
	Denied   string // the supplier's word that lowers it by one step ("no herbicide"), or ""
	Fact     string // the known thing that decides (see Facts), or "" when the hazard is there as soon as the material is
	Over     float64
	Under    float64 // the hazard speaks when the fact is over Over or under Under; a bound of 0 is not there
	Unknown  Level   // how it speaks while the fact is not known; "" is silent
	Test     string  // the test that clears it when passed and refuses when failed: TestBioassay, TestBucket, or ""
	Ref      string
	How      string // found, memory, assumed
	Note     string // where sources disagree
}

// The tests that clear hazards.
const (
	TestBioassay = "bioassay" // peas or beans in pots: Bioassay
	TestBucket   = "bucket"   // fifty worms in a bucket of it for two or three days
)

// Outcome of a test.
type Outcome string

// The outcomes; a void or doubtful test settles nothing.
const (
	OutcomePassed   Outcome = "passed"
	OutcomeFailed   Outcome = "failed"
	OutcomeDoubtful Outcome = "doubtful"
	OutcomeVoid     Outcome = "void"
)

// Facts are what is known of the pile in hand beside its material. A nil
// pointer or an absent test is "not known". Conductivity and ammonia are taken
// from the material's own analyses when it has them.
type Facts struct {
	AgeDays        *float64           // since it was received [day]
	DosedDaysAgo   *float64           // since the animals were last dosed [day]
	HotDays        *float64           // days on which the core stood at 55 C or above [day]
	ShareOfMix     *float64           // part of the mix by volume [m3/m3]
	Tests          map[string]Outcome // by TestBioassay, TestBucket
	SaltsDSm       *float64           // ec_ds_m, 1:5 extract [dS/m]
	AmmoniaMgKgWet *float64           // ammoniacal nitrogen in the feed as it lies [mg/kg wet]
}

// The facts a hazard may name.
const (
	FactAge     = "age_days"
	FactDosed   = "days_since_dosing"
	FactHot     = "hot_days"
	FactShare   = "share_frac"
	FactSalts   = "ec_ds_m"
	FactAmmonia = "ammonia_n_mg_kg_wet"
)

// FactNames lists the facts a hazard may name.
func FactNames() []string {
	return []string{FactAge, FactDosed, FactHot, FactShare, FactSalts, FactAmmonia}
}

func (f Facts) value(name string, m Material) (float64, bool) {
	of := func(p *float64) (float64, bool) {
		if p == nil || math.IsNaN(*p) {
			return 0, false
		}
		return *p, true
	}
	switch name {
	case FactAge:
		return of(f.AgeDays)
	case FactDosed:
		return of(f.DosedDaysAgo)
	case FactHot:
		return of(f.HotDays)
	case FactShare:
		return of(f.ShareOfMix)
	case FactSalts:
		if f.SaltsDSm == nil && m.Salts.Own {
			return m.Salts.Best, true
		}
		return of(f.SaltsDSm)
	case FactAmmonia:
		if f.AmmoniaMgKgWet == nil && m.Ammonia.Own && m.Water.Has() {
			return m.Ammonia.Best * (1 - m.Water.Best), true
		}
		return of(f.AmmoniaMgKgWet)
	}
	return 0, false
}

// DeclaredNone is the supplier's word that nothing was given or sprayed.
const DeclaredNone = "none"

// Screen says which hazards of the material speak, given what the supplier
// declared (words such as "dewormer", "herbicide", "no herbicide", "dye") and
// what is known of the pile. Of several entries for one hazard the strongest is
// given. The order is refuse, hold, warn, then as the library has them.
func Screen(m Material, declared []string, facts Facts) []Hazard {
	var out []Hazard
	for _, h := range m.Hazards {
		level := h.speaks(m, declared, facts)
		if level == "" {
			continue
		}
		h.Level = level
		if i := slices.IndexFunc(out, func(o Hazard) bool { return o.What == h.What }); i >= 0 {
			if h.Level.rank() > out[i].Level.rank() {
				out[i] = h
			}
			continue
		}
		out = append(out, h)
	}
	slices.SortStableFunc(out, func(a, b Hazard) int { return b.Level.rank() - a.Level.rank() })
	return out
}

func (h Hazard) speaks(m Material, declared []string, facts Facts) Level {
	if h.Declared != "" && !said(declared, h.Declared) {
		return ""
	}
	if h.Test != "" {
		switch facts.Tests[h.Test] {
		case OutcomePassed:
			return ""
		case OutcomeFailed:
			return LevelRefuse
		}
	}
	level := h.Level
	if h.Fact != "" {
		v, known := facts.value(h.Fact, m)
		switch {
		case !known:
			level = h.Unknown
		case (h.Over != 0 && v > h.Over) || (h.Under != 0 && v < h.Under):
		default:
			return ""
		}
	}
	if level != "" && h.Denied != "" && (said(declared, h.Denied) || said(declared, DeclaredNone)) {
		return level.lower()
	}
	return level
}

func said(declared []string, word string) bool {
	return slices.ContainsFunc(declared, func(d string) bool { return strings.EqualFold(strings.TrimSpace(d), word) })
}
