package harvest

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"wormyard/figure"
)

// A Sieve is one of a standard series.
type Sieve struct {
	Name    string  // as stamped on the ring
	Opening float64 // [mm]
	Wire    float64 // [mm], 0 where it is not known to us
	Read    bool    // read in print, not recalled
}

// sieves is the ASTM E11 series from coarse to fine: openings and wires as read
// in E11-01, table 1, down to No. 7; the finer ones as recalled. The openings
// are those of ISO 565, as recalled.
var sieves = []Sieve{
	{"1 in", 25.0, 3.55, true}, {"3/4 in", 19.0, 3.15, true}, {"5/8 in", 16.0, 3.15, true}, {"1/2 in", 12.5, 2.50, true}, {"3/8 in", 9.5, 2.24, true},
	{"5/16 in", 8.0, 2.00, true}, {".265 in", 6.7, 1.80, true}, {"1/4 in", 6.3, 1.80, true}, {"No. 3 1/2", 5.6, 1.60, true}, {"No. 4", 4.75, 1.60, true},
	{"No. 5", 4.00, 1.40, true}, {"No. 6", 3.35, 1.25, true}, {"No. 7", 2.80, 0, true},
	{"No. 8", 2.36, 0, false}, {"No. 10", 2.00, 0, false}, {"No. 12", 1.70, 0, false}, {"No. 14", 1.40, 0, false}, {"No. 16", 1.18, 0, false}, {"No. 18", 1.00, 0, false},
	{"No. 20", 0.850, 0, false}, {"No. 30", 0.600, 0, false}, {"No. 40", 0.425, 0, false}, {"No. 60", 0.250, 0, false}, {"No. 100", 0.150, 0, false}, {"No. 200", 0.075, 0, false},
}

// Sieves gives the series from coarse to fine.
func Sieves() []Sieve { return slices.Clone(sieves) }

// SieveNamed finds a sieve by what is stamped on it.
func SieveNamed(name string) (Sieve, bool) {
	plain := func(s string) string {
		return strings.ToLower(strings.NewReplacer(" ", "", "#", "no.", "½", "1/2", "¼", "1/4", "\"", "in").Replace(s))
	}
	for _, s := range sieves {
		if plain(s.Name) == plain(name) {
			return s, true
		}
	}
	return Sieve{}, false
}

// OpenArea is the open part of a square mesh: opening and wire alike in unit.
// model.md (S1).
func OpenArea(opening, wire float64) float64 {
	f := opening / (opening + wire)
	return f * f
}

// MeshOpening is the opening [mm] of a cloth sold by meshes in an inch, as
// hardware cloth is: the wire takes its part. model.md (S2).
func MeshOpening(meshes, wireMM float64) float64 { return mmPerInch/meshes - wireMM }

const mmPerInch = 25.4

type openIn struct {
	Opening *float64 `json:"opening_mm" unit:"mm" low:"0.01" high:"1000" doc:"clear width of a hole"`
	Meshes  *float64 `json:"mesh_per_in" unit:"1/in" low:"0.5" high:"400" doc:"in its place: holes in an inch, as hardware cloth is sold"`
	Wire    float64  `json:"wire_mm" unit:"mm" low:"0" high:"100"`
}

type openOut struct {
	Open    float64 `json:"open_frac" unit:"-"`
	Opening float64 `json:"opening_mm" unit:"mm"`
}

func openFigure(in openIn) (out openOut, notes []string, err error) {
	var p figure.Problems
	p.Between("wire_mm", "The wire", in.Wire, 0, 100)
	switch {
	case in.Opening != nil && in.Meshes != nil, in.Opening == nil && in.Meshes == nil:
		p.Add("opening_mm", "Opening or meshes in an inch: one of the two is needed.", "Give the opening; measure it if you can.")
	case in.Opening != nil:
		out.Opening = *in.Opening
	default:
		out.Opening = MeshOpening(*in.Meshes, in.Wire)
		notes = []string{fmt.Sprintf("Cloth sold as %.4g mm has holes of %.4g mm: the wire takes its part.", mmPerInch / *in.Meshes, out.Opening)}
	}
	if len(p) == 0 && !(out.Opening > 0) {
		p.Add("wire_mm", "The wire is thicker than the mesh is wide.", "Look whether the wire is given in millimetres.")
	}
	if err := p.Refuse(); err != nil {
		return openOut{}, nil, err
	}
	out.Open = OpenArea(out.Opening, in.Wire)
	return out, notes, nil
}

// CriticalSpeed is how fast a drum turns when everything clings to it [rpm],
// diameter in metres. model.md (S3).
func CriticalSpeed(diameter float64) float64 {
	return 60 / (2 * math.Pi) * math.Sqrt(2*gravity/diameter)
}

const gravity = 9.80665 // m/s2, standard

type drumIn struct {
	Diameter float64 `json:"diameter_m" unit:"m" low:"0.05" high:"10"`
}

type drumOut struct {
	Critical float64 `json:"critical_rpm" unit:"1/min"`
	Low      float64 `json:"run_low_rpm" unit:"1/min"`
	High     float64 `json:"run_high_rpm" unit:"1/min"`
}

func (par Parameters) drumFigure(in drumIn) (out drumOut, notes []string, err error) {
	var p figure.Problems
	p.Between("diameter_m", "The diameter", in.Diameter, 0.05, 10)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	c := CriticalSpeed(in.Diameter)
	return drumOut{c, par.DrumLow * c, par.DrumHigh * c}, nil, nil
}
