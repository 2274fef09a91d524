package carpentry

import "math"

// A Load is what lies on a stick between its supports.
type Load struct {
	Kind    string  // "uniform", "two spans", "several spans", "point", "forks"
	PerIn   float64 // [lb/in]
	Lb      float64 // [lb] of a point
	Span    float64 // [in]; of forks the whole length
	ForksIn float64 // [in] how far the forks stand apart, middle to middle
}

// Forces are the largest moment [lb in], shear [lb] and, by the stiffness times
// inertia given [lb in2], sag [in].
type Forces struct {
	Moment float64
	Shear  float64
	Sag    float64
}

// Forces of a load on a stick of that stiffness times inertia. Two equal spans
// bend most over the middle support, which carries 5/4 of a span's load; of several
// the moment and the shear are at most those, and the sag at most that of one. Forks
// under a length that hangs over on both sides bend it up over them and down
// between. model.md (K2).
func (l Load) Forces(ei float64) Forces {
	w, s := l.PerIn, l.Span
	switch l.Kind {
	case "point":
		return Forces{Moment: l.Lb * s / 4, Shear: l.Lb / 2, Sag: l.Lb * s * s * s / (48 * ei)}
	case "two spans":
		return Forces{Moment: w * s * s / 8, Shear: 5 * w * s / 8, Sag: w * math.Pow(s, 4) / (185 * ei)}
	case "several spans":
		return Forces{Moment: w * s * s / 8, Shear: 5 * w * s / 8, Sag: 5 * w * math.Pow(s, 4) / (384 * ei)}
	case "forks":
		over := (s - l.ForksIn) / 2
		up := w * over * over / 2
		down := w*l.ForksIn*l.ForksIn/8 - up
		// the free ends sag below the forks, the middle between them
		end := w * over * math.Abs(l.ForksIn*l.ForksIn*l.ForksIn-6*over*over*l.ForksIn-3*over*over*over) / (24 * ei)
		middle := w * l.ForksIn * l.ForksIn * math.Abs(5*l.ForksIn*l.ForksIn-24*over*over) / (384 * ei)
		return Forces{Moment: math.Max(up, math.Abs(down)), Shear: math.Max(w*over, w*l.ForksIn/2), Sag: math.Max(end, middle)}
	}
	return Forces{Moment: w * s * s / 8, Shear: w * s / 2, Sag: 5 * w * math.Pow(s, 4) / (384 * ei)}
}

// A Member is a stick, or several alike side by side, under a load.
type Member struct {
	Section  Section
	Count    int
	Grade    Grade
	Wet      bool
	Duration Duration
	Load     Load
	Impact   float64 // times the load, 1 for none
}

// Bent is how a member takes its load. Stresses [psi], sag [in] at once.
type Bent struct {
	Forces
	Stress, Allowed      float64
	ShearStress, InShear float64 // and what is allowed
	Long                 float64 // sag after years [in]
	Ratio                float64 // the worse of stress and shear beside what is allowed
}

// Bend works a member out. model.md (K2).
func (p Parameters) Bend(m Member) Bent {
	n := float64(max(m.Count, 1))
	a := p.Allow(m.Grade, m.Section, m.Wet, m.Duration)
	f := m.Load.Forces(n * a.Stiffness * m.Section.Inertia())
	impact := math.Max(m.Impact, 1)
	b := Bent{Forces: f, Allowed: a.Bending, InShear: a.Shear}
	b.Stress = impact * f.Moment / (n * m.Section.Modulus())
	b.ShearStress = impact * 1.5 * f.Shear / (n * m.Section.Area())
	b.Long = f.Sag * p.Creep
	b.Ratio = math.Max(b.Stress/b.Allowed, b.ShearStress/b.InShear)
	return b
}

// Column is the column stability factor and what a post may carry along the
// grain [psi and lb]; its length is free of side support [in]. model.md (K3).
func (p Parameters) Column(g Grade, s Section, length float64, wet bool, d Duration) (factor, psi, lb float64) {
	a := p.Allow(g, s, wet, d)
	slender := length / math.Min(s.Width, s.Depth)
	euler := p.Buckles * a.LeastStiffness / (slender * slender)
	r := euler / a.Compression
	h := (1 + r) / (2 * p.ColumnC)
	factor = h - math.Sqrt(h*h-r/p.ColumnC)
	psi = a.Compression * factor
	return factor, psi, psi * s.Area()
}

// Withdrawal is what a fastener in side grain holds for each inch of its point
// [lb/in]; kind is "nail", "screw" or "lag". model.md (K4).
func (p Parameters) Withdrawal(gravity, diameterIn float64, kind string, cycled bool) float64 {
	w, kept := p.Nail*math.Pow(gravity, 2.5)*diameterIn, p.NailCycled
	switch kind {
	case "screw":
		w, kept = p.Screw*gravity*gravity*diameterIn, p.ScrewCycled
	case "lag":
		w, kept = p.Lag*math.Pow(gravity, 1.5)*math.Pow(diameterIn, 0.75), p.ScrewCycled
	}
	if cycled {
		w *= kept
	}
	return w
}

// A Push is what the fill does to a wall: at its foot [psi], in all [lb for each
// inch of wall], and turning it over its foot [lb in for each inch].
type Push struct {
	Base, Resultant, Moment float64
}

// WallPush is the push of a fill of that weight [lb/ft3] and depth [in]; ratio
// is the side pressure beside the weight above, 1 for water. model.md (K5).
func WallPush(ratio, lbFt3, depthIn float64) Push {
	base := ratio * lbFt3 * depthIn / inches3
	return Push{Base: base, Resultant: base * depthIn / 2, Moment: base * depthIn * depthIn / 6}
}

const inches3 = 12 * 12 * 12 // in a cubic foot

// A Stack is how boxes one on another stand. model.md (K6).
type Stack struct {
	Ratio      float64 // height beside the least base
	Off        float64 // [in] of the middle of its weight from that of its base
	TipsAt     float64 // [degrees] of lean
	Accel      float64 // [g] to the side
	PushLb     float64 // [lb] at the top that tips it
	FloorLbFt2 float64 // [lb/ft2] under a square base, less under a longer one
}

// StackOf is a free stack of that many boxes on their least base [in], all full
// alike, each so high [in] and heavy [lb], and each set down by shift [in] to the
// same side of the one below. One that stands off by half its base tips at once.
// model.md (K6).
func StackOf(high int, base, each, boxLb, shift float64) Stack {
	h, w := float64(high)*each, float64(high)*boxLb
	off := shift * float64(high-1) / 2
	b := math.Max(0, base-2*off)
	return Stack{Ratio: h / base, Off: off, TipsAt: math.Atan(b/h) * 180 / math.Pi, Accel: b / h, PushLb: w * b / (2 * h), FloorLbFt2: w / (base * base) * 144}
}

// Derate is what a truck may lift at another load centre [lb]. With the way from
// the front axle to the face of the forks [in] the moment is about the axle, and
// without it about the face, which is the safer. Never more than rated.
// model.md (K7).
func Derate(ratedLb, ratedCenter, center, axleToFace float64) float64 {
	return math.Min(ratedLb, ratedLb*(ratedCenter+axleToFace)/(center+axleToFace))
}
