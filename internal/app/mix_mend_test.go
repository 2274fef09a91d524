package app

import (
	"testing"

	"wormyard/internal/contract"
	"wormyard/qty"
)

func request(t *testing.T, text string) (in MixRequest) {
	t.Helper()
	if problems := contract.Decode([]byte(text), &in); len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	return in
}

// A mend is what the mix itself says once the change is made.
func TestMendIsWhatTheChangedMixMakes(t *testing.T) {
	m := mixer(t)
	// One bucket of dry leaves to one of wet solids: too dry for feed.
	in := request(t, `{"parts":[{"name":"solids","material":"dairy solids, separated","volume_m3":0.5},{"name":"leaves","material":"leaves, loose dry","volume_m3":0.5}],
		"purpose":"feed","shrink_frac":0.1,"draws":2000}`)
	was, err := m.Answer(t.Context(), in, qty.US)
	if err != nil {
		t.Fatal(err)
	}
	mends, err := m.Mends(t.Context(), in, MixMending{Bucket: 0.5, Water: 20})
	if err != nil {
		t.Fatal(err)
	}
	if len(mends) == 0 {
		t.Fatalf("nothing mends a mix of %+v", was.Chance)
	}
	for _, x := range mends {
		then := in
		then.Parts = append([]MixPart(nil), in.Parts...)
		then.WaterKg += x.WaterKg
		for i := range then.Parts {
			if then.Parts[i].Name == x.Part {
				v := *then.Parts[i].VolumeM3 + x.Buckets*0.5
				then.Parts[i].VolumeM3 = &v
			}
		}
		out, err := m.Answer(t.Context(), then, qty.US)
		if err != nil {
			t.Fatalf("%+v: %v", x, err)
		}
		for _, w := range out.Windows {
			if w.Window == x.Window && (*w.Value != x.Value || *out.Chance[w.Window] != *x.Chance || *out.ChanceAll != *x.All) {
				t.Errorf("%+v is told, the mix makes %v, %v, %v", x, *w.Value, *out.Chance[w.Window], *out.ChanceAll)
			}
		}
		if !(*x.Chance >= *was.Chance[x.Window]) {
			t.Errorf("%s: %v before, %v after", x.Window, *was.Chance[x.Window], *x.Chance)
		}
	}
}

// A mix that is surely as wanted is left alone.
func TestNothingToMend(t *testing.T) {
	m := mixer(t)
	in := request(t, `{"parts":[{"name":"x","volume_m3":1,"water_frac_wet":0.75,"density_kg_m3_wet":500}],"target":{"water_frac_wet":{"min":0.7,"max":0.8}}}`)
	mends, err := m.Mends(t.Context(), in, MixMending{Bucket: 0.5, Water: 20})
	if err != nil || len(mends) != 0 {
		t.Errorf("%+v, %v", mends, err)
	}
}
