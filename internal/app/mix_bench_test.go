package app

import (
	"syscall"
	"testing"
	"time"

	"wormyard/qty"
)

// benchYard is a mix of four piles and four more that lie beside it, as a step
// on the mix page asks about.
func benchYard(b *testing.B) (MixRequest, MixMending) {
	b.Helper()
	v := func(x float64) *float64 { return &x }
	part := func(name string, volume float64) MixPart {
		return MixPart{Name: name, Material: name, VolumeM3: v(volume), Available: v(30)}
	}
	in := MixRequest{Purpose: "feed", Seed: 1, Parts: []MixPart{
		part("dairy solids, separated", 1.5), part("wood chips, hardwood", 0.5), part("corrugated cardboard", 1), part("leaves, loose dry", 0.5),
	}}
	may := MixMending{Bucket: 0.38, Water: 38, Others: []MixPart{
		part("horse manure with bedding", 0), part("spent mushroom compost", 0), part("rabbit manure", 0), part("apple pomace", 0),
	}}
	for i := range may.Others {
		may.Others[i].VolumeM3 = nil
	}
	return in, may
}

// BenchmarkMixStep is what a step of a bucket costs: the mix and what would mend
// it. The time of the processor is told too, since others may use the machine.
func BenchmarkMixStep(b *testing.B) {
	m, err := NewMixer(nil)
	if err != nil {
		b.Fatal(err)
	}
	in, may := benchYard(b)
	used := func() time.Duration {
		var r syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
			b.Fatal(err)
		}
		return time.Duration(r.Utime.Nano() + r.Stime.Nano())
	}
	before := used()
	steps := 0
	for b.Loop() {
		steps++
		volume := 1.5 + 0.19*float64(steps%7)
		in.Parts[0].VolumeM3 = &volume
		if _, err := m.Answer(b.Context(), in, qty.US); err != nil {
			b.Fatal(err)
		}
		if _, err := m.Mends(b.Context(), in, may); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(used()-before)/float64(steps)/1e6, "cpu-ms/op")
}
