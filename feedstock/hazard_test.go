package feedstock_test

import (
	"slices"
	"testing"

	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/qty"
)

func ptr(v float64) *float64 { return &v }

func level(hazards []feedstock.Hazard, what string) feedstock.Level {
	for _, h := range hazards {
		if h.What == what {
			return h.Level
		}
	}
	return ""
}

func TestScreen(t *testing.T) {
	l := library(t)
	for _, c := range []struct {
		why      string
		material string
		declared []string
		facts    feedstock.Facts
		what     string
		want     feedstock.Level
	}{
		{"nobody asked what was sprayed", "horse manure with bedding", nil, feedstock.Facts{}, "persistent herbicide", feedstock.LevelHold},
		{"the supplier says none", "hay, grass", []string{"no herbicide"}, feedstock.Facts{}, "persistent herbicide", feedstock.LevelWarn},
		{"declared as sprayed", "straw, wheat", []string{"Herbicide"}, feedstock.Facts{}, "persistent herbicide", feedstock.LevelHold},
		{"the pots were clean", "hay, grass", nil, feedstock.Facts{Tests: map[string]feedstock.Outcome{"bioassay": feedstock.OutcomePassed}}, "persistent herbicide", ""},
		{"the pots were hurt", "hay, grass", []string{"no herbicide"}, feedstock.Facts{Tests: map[string]feedstock.Outcome{"bioassay": feedstock.OutcomeFailed}}, "persistent herbicide", feedstock.LevelRefuse},
		{"a void test settles nothing", "hay, grass", nil, feedstock.Facts{Tests: map[string]feedstock.Outcome{"bioassay": feedstock.OutcomeVoid}}, "persistent herbicide", feedstock.LevelHold},
		{"compost carries it too", "finished compost", nil, feedstock.Facts{}, "persistent herbicide", feedstock.LevelHold},
		{"wood does not", "wood chips, hardwood", nil, feedstock.Facts{}, "persistent herbicide", ""},
		{"dosing not known", "horse manure with bedding", nil, feedstock.Facts{}, "dewormer", feedstock.LevelWarn},
		{"dosed, day not known", "horse manure with bedding", []string{"dewormer"}, feedstock.Facts{}, "dewormer", feedstock.LevelHold},
		{"dosed last week", "sheep manure", []string{"dewormer"}, feedstock.Facts{DosedDaysAgo: ptr(7)}, "dewormer", feedstock.LevelHold},
		{"dosed long ago", "sheep manure", []string{"dewormer"}, feedstock.Facts{DosedDaysAgo: ptr(31)}, "dewormer", ""},
		{"worms lived in it", "sheep manure", []string{"dewormer"}, feedstock.Facts{Tests: map[string]feedstock.Outcome{"bucket": feedstock.OutcomePassed}}, "dewormer", ""},
		{"not dosed", "sheep manure", []string{"no dewormer"}, feedstock.Facts{}, "dewormer", ""},
		{"salt as measured", "food waste", nil, feedstock.Facts{SaltsDSm: ptr(9)}, "salts", feedstock.LevelRefuse},
		{"salt near the limit", "food waste", nil, feedstock.Facts{SaltsDSm: ptr(5)}, "salts", feedstock.LevelHold},
		{"salt fine", "broiler litter", nil, feedstock.Facts{SaltsDSm: ptr(2)}, "salts", ""},
		{"salt not measured", "broiler litter", nil, feedstock.Facts{}, "salts", feedstock.LevelWarn},
		{"ammonia kills", "cattle manure", nil, feedstock.Facts{AmmoniaMgKgWet: ptr(1200)}, "ammonia", feedstock.LevelRefuse},
		{"ammonia sharp", "cattle manure", nil, feedstock.Facts{AmmoniaMgKgWet: ptr(700)}, "ammonia", feedstock.LevelHold},
		{"hen manure unmeasured", "laying hen manure", nil, feedstock.Facts{}, "ammonia", feedstock.LevelHold},
		{"aged cow manure", "cattle manure", nil, feedstock.Facts{AgeDays: ptr(30)}, "ammonia", ""},
		{"cedar", "wood chips, aromatic", nil, feedstock.Facts{}, "aromatic wood", feedstock.LevelRefuse},
		{"cedar among chips", "wood chips, softwood", []string{"aromatic wood"}, feedstock.Facts{}, "aromatic wood", feedstock.LevelRefuse},
		{"walnut fresh", "walnut", nil, feedstock.Facts{AgeDays: ptr(10)}, "walnut", feedstock.LevelHold},
		{"walnut old", "walnut", nil, feedstock.Facts{AgeDays: ptr(400)}, "walnut", ""},
		{"plywood", "plywood", nil, feedstock.Facts{}, "treated or painted wood", feedstock.LevelRefuse},
		{"treated among chips", "sawdust", []string{"treated wood"}, feedstock.Facts{}, "treated or painted wood", feedstock.LevelRefuse},
		{"dye", "wood chips, hardwood", []string{"dye"}, feedstock.Facts{}, "dyed mulch", feedstock.LevelHold},
		{"no dye", "wood chips, hardwood", nil, feedstock.Facts{}, "dyed mulch", ""},
		{"glossy", "paper, mixed shredded", []string{"glossy"}, feedstock.Facts{}, "glossy print", feedstock.LevelWarn},
		{"insulation", "cellulose insulation", nil, feedstock.Facts{}, "fire retardant", feedstock.LevelRefuse},
		{"meat", "food waste", []string{"meat"}, feedstock.Facts{}, "grease and meat", feedstock.LevelHold},
		{"half coffee", "coffee grounds", nil, feedstock.Facts{ShareOfMix: ptr(.5)}, "much coffee", feedstock.LevelWarn},
		{"a fifth coffee", "coffee grounds", nil, feedstock.Facts{ShareOfMix: ptr(.2)}, "much coffee", ""},
		{"fresh chips", "wood chips, hardwood", nil, feedstock.Facts{AgeDays: ptr(20)}, "fresh wood chips", feedstock.LevelWarn},
		{"aged chips", "wood chips, hardwood", nil, feedstock.Facts{AgeDays: ptr(200)}, "fresh wood chips", ""},
		{"germs", "dairy solids, separated", nil, feedstock.Facts{}, "germs", feedstock.LevelWarn},
		{"heated", "dairy solids, separated", nil, feedstock.Facts{HotDays: ptr(20)}, "germs", ""},
		{"weeds", "hay, general", nil, feedstock.Facts{}, "weed seeds", feedstock.LevelWarn},
		{"quick lime", "lime", []string{"quick lime"}, feedstock.Facts{}, "quick lime", feedstock.LevelRefuse},
		{"ground limestone", "lime", nil, feedstock.Facts{}, "quick lime", ""},
		{"the supplier says nothing was used", "hay, grass", []string{"none"}, feedstock.Facts{}, "persistent herbicide", feedstock.LevelWarn},
		{"fly killer", "cattle manure", []string{"insecticide"}, feedstock.Facts{}, "insecticide", feedstock.LevelHold},
		{"medicine", "rabbit manure", []string{"antibiotic"}, feedstock.Facts{}, "antibiotic", feedstock.LevelHold},
		{"wood preservative", "wood chips, softwood", []string{"preservative"}, feedstock.Facts{}, "treated or painted wood", feedstock.LevelRefuse},
		{"hay preservative", "hay, legume", []string{"preservative"}, feedstock.Facts{}, "preservative", feedstock.LevelWarn},
		{"airless", "dairy solids, separated", []string{"digestate"}, feedstock.Facts{}, "airless digestate", feedstock.LevelHold},
	} {
		m, err := l.Find(c.material)
		if err != nil {
			t.Fatal(err)
		}
		if got := level(feedstock.Screen(m, c.declared, c.facts), c.what); got != c.want {
			t.Errorf("%s: %s of %s is %q, want %q", c.why, c.what, c.material, got, c.want)
		}
	}
}

// A pile's own analysis speaks without being handed over again.
func TestScreenSeesOwnAnalyses(t *testing.T) {
	m, _ := library(t).Find("dairy solids, separated")
	salty, err := m.Override(feedstock.Assay{Key: "ec_ds_m", Value: qty.Exactly(8.5)}, feedstock.Assay{Key: "ammonia_n_mg_kg_dry", Value: qty.Exactly(5000)})
	if err != nil {
		t.Fatal(err)
	}
	got := feedstock.Screen(salty, nil, feedstock.Facts{})
	if level(got, "salts") != feedstock.LevelRefuse || level(got, "ammonia") != feedstock.LevelRefuse { // 5000 x 0.23 = 1150 mg/kg as it lies
		t.Errorf("%+v", got)
	}
	if got[0].Level != feedstock.LevelRefuse {
		t.Error("the strongest does not come first")
	}
}

// Every hazard of the library speaks for some declared word or fact and says
// what clears it; the materials refused by name are refused with nothing known.
func TestEveryHazardIsReachable(t *testing.T) {
	for _, m := range library(t).Materials() {
		for _, h := range m.Hazards {
			if h.Clears == "" || h.Why == "" || h.Ref == "" {
				t.Errorf("%s of %s lacks words: %+v", h.What, m.Name, h)
			}
			if h.Fact != "" && !slices.Contains(feedstock.FactNames(), h.Fact) {
				t.Errorf("%s of %s waits for %q, which nobody knows", h.What, m.Name, h.Fact)
			}
			var declared []string
			if h.Declared != "" {
				declared = []string{h.Declared}
			}
			v := h.Over + 1
			if h.Over == 0 {
				v = h.Under / 2
			}
			facts := feedstock.Facts{AgeDays: &v, DosedDaysAgo: &v, HotDays: &v, ShareOfMix: &v, SaltsDSm: &v, AmmoniaMgKgWet: &v}
			if level(feedstock.Screen(m, declared, facts), h.What) == "" {
				t.Errorf("%s of %s never speaks", h.What, m.Name)
			}
		}
	}
	for _, name := range []string{"wood chips, aromatic", "treated or painted wood", "cellulose insulation"} {
		m, _ := library(t).Find(name)
		if got := feedstock.Screen(m, nil, feedstock.Facts{}); len(got) == 0 || got[0].Level != feedstock.LevelRefuse {
			t.Errorf("%s is not refused: %+v", name, got)
		}
	}
}

// Carbon alone is never a hazard: the everyday woody feed brings nothing that
// speaks of carbon or C:N (common practice, no source).
func TestHighCarbonIsNoHazard(t *testing.T) {
	for _, name := range []string{"wood chips, hardwood", "leaves, loose dry", "sawdust", "corrugated cardboard"} {
		m, _ := library(t).Find(name)
		for _, h := range feedstock.Screen(m, []string{"aged"}, feedstock.Facts{}) {
			if h.Level != feedstock.LevelWarn {
				t.Errorf("%s of %s: %s", h.What, name, h.Level)
			}
			if slices.Contains([]string{"carbon", "C:N", "high carbon"}, h.What) {
				t.Errorf("%s of %s", h.What, name)
			}
		}
	}
}

func limits(t testing.TB) feedstock.BioassayLimits {
	t.Helper()
	var l feedstock.BioassayLimits
	if err := source.Load("bioassay", &l); err != nil {
		t.Fatal(err)
	}
	return l
}

func pots(control bool, words ...feedstock.Damage) []feedstock.Pot {
	var out []feedstock.Pot
	for _, w := range words {
		out = append(out, feedstock.Pot{Control: control, Plants: []feedstock.Damage{w, w, w}})
	}
	return out
}

func TestBioassayVerdict(t *testing.T) {
	l := limits(t)
	none4 := pots(true, "none", "none", "none", "none")
	for _, c := range []struct {
		why  string
		b    feedstock.Bioassay
		want feedstock.Outcome
	}{
		{"all hurt, controls clean", feedstock.Bioassay{Days: 21, LeafSets: 3, Pots: append(pots(false, "moderate", "severe", "slight", "moderate"), none4...)}, feedstock.OutcomeFailed},
		{"all clean", feedstock.Bioassay{Days: 21, LeafSets: 3, Pots: append(pots(false, "none", "none", "doubtful", "none"), none4...)}, feedstock.OutcomePassed},
		{"one hurt of four", feedstock.Bioassay{Days: 21, LeafSets: 3, Pots: append(pots(false, "none", "none", "moderate", "none"), none4...)}, feedstock.OutcomeDoubtful},
		{"a control is hurt", feedstock.Bioassay{Days: 21, LeafSets: 3, Pots: append(pots(false, "severe", "severe", "severe", "severe"), append(pots(true, "slight"), none4...)...)}, feedstock.OutcomeVoid},
		{"no controls", feedstock.Bioassay{Days: 21, LeafSets: 3, Pots: pots(false, "none", "none", "none", "none")}, feedstock.OutcomeVoid},
		{"too early", feedstock.Bioassay{Days: 7, LeafSets: 1, Pots: append(pots(false, "none", "none", "none", "none"), none4...)}, feedstock.OutcomeVoid},
		{"nothing came up", feedstock.Bioassay{Days: 21, LeafSets: 3, Pots: append([]feedstock.Pot{{}, {}, {}}, none4...)}, feedstock.OutcomeVoid},
		{"a word of another scale", feedstock.Bioassay{Days: 21, LeafSets: 3, Pots: append(pots(false, "awful", "none", "none", "none"), none4...)}, feedstock.OutcomeVoid},
	} {
		v := c.b.Verdict(l)
		if v.Outcome != c.want || len(v.Why) == 0 {
			t.Errorf("%s: %s, want %s: %v", c.why, v.Outcome, c.want, v.Why)
		}
	}
}

// The pot is the unit: twelve plants in one pot are one answer.
func TestPotIsTheUnit(t *testing.T) {
	many := feedstock.Pot{Plants: slices.Repeat([]feedstock.Damage{"severe"}, 12)}
	v := feedstock.Bioassay{Days: 21, LeafSets: 3, Pots: append([]feedstock.Pot{many}, pots(true, "none", "none", "none")...)}.Verdict(limits(t))
	if v.Outcome != feedstock.OutcomeVoid {
		t.Errorf("one pot was enough: %+v", v)
	}
}

func TestBucket(t *testing.T) {
	l := limits(t)
	for _, c := range []struct {
		b    feedstock.Bucket
		want feedstock.Outcome
	}{
		{feedstock.Bucket{Worms: 50, Days: 3}, feedstock.OutcomePassed},
		{feedstock.Bucket{Worms: 20, Dead: 2, Days: 3}, feedstock.OutcomeFailed},
		{feedstock.Bucket{Worms: 20, Left: 15, Days: 3}, feedstock.OutcomeFailed},
		{feedstock.Bucket{Worms: 20, Dead: 1, Days: 3}, feedstock.OutcomeDoubtful},
		{feedstock.Bucket{Worms: 5, Days: 3}, feedstock.OutcomeVoid},
		{feedstock.Bucket{Worms: 50, Days: .5}, feedstock.OutcomeVoid},
		{feedstock.Bucket{Worms: 20, Dead: 15, Left: 10, Days: 3}, feedstock.OutcomeVoid},
	} {
		if v := c.b.Verdict(l); v.Outcome != c.want {
			t.Errorf("%+v: %s, want %s: %v", c.b, v.Outcome, c.want, v.Why)
		}
	}
}

func TestPublishedWaysOfTestingDisagree(t *testing.T) {
	ways, err := source.Bioassays()
	if err != nil {
		t.Fatal(err)
	}
	mixes := map[[2]float64]bool{}
	for _, w := range ways {
		mixes[[2]float64{w.TestParts, w.MixParts}] = true
	}
	if len(mixes) < 4 {
		t.Errorf("only %d different mixes are kept", len(mixes))
	}
}
