package cvode

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/qty"
)

const (
	layers = 20
	days   = 60
	thick  = 0.025 // [m]
	pourKg = 6.0   // whole bin, every four days
	every  = 96    // [h]
	ashKg  = 1.2   // [kg/m2] a layer
	slowKg = 3.6
	wetKg  = 11.0
	startC = 16.0

	together = 50 // runs of ours that are timed as one: the system counts processor time by some milliseconds
)

// TestAgainstSolvers runs 60 days of one bed with our scheme, with CVODE and with
// LSODA. The state at the end must agree with a CVODE run of tight tolerance;
// processor times are printed with their ratio.
func TestAgainstSolvers(t *testing.T) {
	cc, err := exec.LookPath("cc")
	if err != nil {
		t.Skip("no C compiler here")
	}
	program := filepath.Join(t.TempDir(), "column")
	build := []string{"-O2", "c/column.c", "-lsundials_cvode", "-lsundials_nvecserial", "-lsundials_sunmatrixband", "-lsundials_sunlinsolband", "-lm"}
	if out, err := exec.Command(cc, slices.Concat([]string{"-o", program}, build)...).CombinedOutput(); err != nil {
		if os.Getenv("CVODE") != "" {
			t.Fatalf("%v\n%s", err, out)
		}
		t.Skip("SUNDIALS is not here")
	}
	p := parameters(t)
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, Under: bed.UnderFloor, WallU: p.WallU}
	air := climate.Series{Hours: make([]climate.Hour, days*24)}
	for i := range air.Hours {
		d := float64(i) / 24
		air.Hours[i] = climate.Hour{TempC: 14 - 4*math.Cos(2*math.Pi*(d-0.125)) + 3*math.Sin(2*math.Pi*d/10), RH: 0.75 + 0.1*math.Cos(2*math.Pi*d)}
	}

	// Ours.
	area := box.Area()
	m := feedstock.Matter{Dry: qty.DryKg((slowKg + ashKg) * area), Slow: qty.DryKg(slowKg * area), Ash: qty.DryKg(ashKg * area), Water: qty.WaterKg(wetKg * area)}
	var laid []bed.Laid
	for i := range layers {
		laid = append(laid, bed.Laid{Matter: m, DepthM: thick, TempC: startC, Layer: uint64(i)})
	}
	var acts []bed.Act
	for h := int64(every); h < days*24; h += every {
		acts = append(acts, bed.Act{Hour: h, Kind: bed.Water, WaterKg: pourKg, TempC: math.NaN()})
	}
	run := func(finer int) (*bed.State, time.Duration) {
		r := bed.NewRunner(p)
		r.Finer = finer
		best := time.Hour
		var s *bed.State
		for range 5 {
			began := spent(t)
			for range together {
				s = bed.Start(p, box, laid, air.Hours[0], 0)
				s.Cover, _ = p.Cover("cloth")
				if _, err := r.Run(box, s, air, days*24, acts, nil); err != nil {
					t.Fatal(err)
				}
			}
			best = min(best, (spent(t)-began)/together)
		}
		return s, best
	}
	runtime.LockOSThread()
	ours, took := run(1)

	// Theirs.
	var in bytes.Buffer
	for _, v := range []struct {
		name  string
		value float64
	}{
		{"layers", layers}, {"share", p.ConductivityShare}, {"dryHeat", p.DryHeat}, {"oxygenHeat", p.OxygenHeat}, {"perMatter", p.OxygenPerVolatile},
		{"airU", p.AirU}, {"coverU", p.ClothU}, {"permeance", p.ClothPermeance}, {"gap", p.CoverGapM}, {"leak", p.CoverLeak}, {"airH", p.AirH},
		{"holdsSlow", p.HoldsFibre}, {"holdsAsh", p.HoldsAsh}, {"drain", p.DrainHours * 3600}, {"spread", p.Spread}, {"drySurface", p.DrySurface},
		{"metabolic", p.MetabolicWater}, {"rate", p.SlowRate}, {"rateAt", p.RateAtC}, {"minC", p.DecayMinC}, {"bestC", p.DecayBestC}, {"maxC", p.DecayMaxC},
		{"moistSlope", p.Responses.MoistSlope}, {"moistStart", p.Responses.MoistStart}, {"organic", p.OrganicDensity}, {"ashDensity", p.AshDensity},
		{"airDrained", p.AirDrained}, {"floorU", p.FloorU}, {"floorDays", p.FloorDays}, {"wallU", box.WallU}, {"perimeter", box.PerimeterM()}, {"area", area},
		{"vapour0", p.Diffusivity.Vapour}, {"vapourPower", p.Diffusivity.Exponent},
		{"ash0", ashKg}, {"slow0", slowKg}, {"dz0", thick}, {"water0", wetKg}, {"temp0", startC}, {"poured", pourKg / area}, {"pouredEach", every},
	} {
		fmt.Fprintf(&in, "%s %.17g\n", v.name, v.value)
	}
	fmt.Fprintf(&in, "air %d\n", len(air.Hours))
	for _, h := range air.Hours {
		fmt.Fprintf(&in, "%.17g %.17g\n", h.TempC, h.RH)
	}
	theirs := answers(t, in.Bytes(), program, "1e-1", "1e-2", "1e-3", "1e-4", "1e-6", "1e-8")
	var lsoda []answer
	if exec.Command(python, "-c", "import scipy").Run() == nil {
		if out, err := exec.Command(cc, slices.Concat([]string{"-shared", "-fPIC", "-o", program + ".so"}, build)...).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		lsoda = answers(t, in.Bytes(), python, "c/lsoda.py", program+".so", "1e-1", "1e-2", "1e-3", "1e-4", "1e-6")
	} else if os.Getenv("CVODE") != "" {
		t.Fatal("SciPy is not here")
	}
	exact := theirs[len(theirs)-1]
	// Temperature by the worst layer, water as the pool of the whole bed.
	off := func(temp, wet func(i int) float64) (c, w float64) {
		have, want := 0.0, 0.0
		for i := range layers {
			c = math.Max(c, math.Abs(temp(i)-exact.temp[i]))
			have += wet(i)
			want += exact.wet[i]
		}
		return c, math.Abs(have/want - 1)
	}
	oursC, oursW := off(func(i int) float64 { return ours.Layers[i].TempC }, func(i int) float64 { return ours.Layers[i].Water })
	fine, _ := run(8)
	fineC, fineW := off(func(i int) float64 { return fine.Layers[i].TempC }, func(i int) float64 { return fine.Layers[i].Water })
	t.Logf("a bed of %d layers, %d days of hourly air, water poured every %d hours; errors against CVODE at %s", layers, days, every, exact.tolerance)
	t.Logf("%-22s %9.3f ms  %8.4f C %8.3f %% of water", "package bed", took.Seconds()*1e3, oursC, oursW*100)
	t.Logf("%-22s %9s     %8.4f C %8.3f %% of water", "  steps 8 times finer", "", fineC, fineW*100)
	tell := func(name, what string, of []answer) {
		for _, a := range of {
			c, w := off(func(i int) float64 { return a.temp[i] }, func(i int) float64 { return a.wet[i] })
			t.Logf("%-22s %9.3f ms  %8.4f C %8.3f %% of water  %6d %s, %.1f times package bed", name+", rtol "+a.tolerance, a.seconds*1e3, c, w*100, a.steps, what, a.seconds/took.Seconds())
		}
	}
	tell("CVODE", "steps", theirs[:len(theirs)-1])
	tell("LSODA", "asked", lsoda)
	if oursC > 0.2 || oursW > 0.015 {
		t.Errorf("the bed differs from CVODE by %.3f C and %.2f %% of water", oursC, oursW*100)
	}
}

// python is Debian's, which knows Debian's SciPy.
const python = "/usr/bin/python3"

// answer is what a solver ends at.
type answer struct {
	tolerance      string
	seconds        float64 // of processor time
	steps          int
	temp, wet, dry [layers]float64
}

// answers runs a program of another solver, which is given the bed.
func answers(t *testing.T, in []byte, program string, args ...string) (list []answer) {
	c := exec.Command(program, args...)
	c.Stdin, c.Stderr = bytes.NewReader(in), os.Stderr
	out, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		var a answer
		r := strings.NewReader(line)
		if _, err := fmt.Fscan(r, &a.tolerance, &a.seconds, &a.steps); err != nil {
			t.Fatal(err)
		}
		for i := range layers {
			if _, err := fmt.Fscan(r, &a.temp[i], &a.wet[i], &a.dry[i]); err != nil {
				t.Fatal(err)
			}
		}
		list = append(list, a)
	}
	return list
}

// spent gives the processor time that this thread has taken.
func spent(t *testing.T) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_THREAD, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// parameters gives the published set without what CVODE's column leaves out: air
// is never short, matter does not settle, nitrogen never lacks.
func parameters(t *testing.T) *bed.Parameters {
	p := new(bed.Parameters)
	if err := errors.Join(source.Load("bed", &p.Column), source.Load("warmth", &p.Warmth), source.Load("response", &p.Responses), source.Load("diffusivity", &p.Diffusivity), source.Load("worm", &p.Worm)); err != nil {
		t.Fatal(err)
	}
	p.Diffusivity.Oxygen = 1
	p.Responses.OxygenHalf = 1e-9
	p.SettleDays = 1e15
	p.NitrogenLack = 1
	return p
}
