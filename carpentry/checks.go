package carpentry

import (
	"fmt"
	"math"
	"slices"
)

// checks is everything about a box that can fail, from the floor up. The fill
// is as heavy as given; walls are also held against a box full of water.
// model.md (K10 to K12).
func (p Parameters) checks(x Box, b Built, g Grade) []Check {
	c := checking{p: p, box: x, built: b, grade: g}
	c.floor()
	c.bearers()
	c.walls()
	c.corners()
	c.stack()
	c.truck()
	return c.list
}

type checking struct {
	p     Parameters
	box   Box
	built Built
	grade Grade
	list  []Check
}

func (c *checking) add(name, say string, value, allowed float64, unit, source string, factors ...Factor) {
	ratio := value / allowed
	c.list = append(c.list, Check{Name: name, Say: say, Value: value, Allowed: allowed, Unit: unit, Ratio: ratio, OK: ratio <= 1, Source: source, Factors: factors})
}

const nds = "allowable stress, NDS as quoted"

// bend holds a member against its stress, shear and sag.
func (c *checking) bend(name, what string, m Member, span float64) {
	m.Grade, m.Wet = c.grade, true
	if m.Duration == "" {
		m.Duration = "permanent"
	}
	v, f := c.p.Bend(m), c.p.adjust(m.Grade, m.Section, m.Wet, m.Duration)
	n := float64(max(m.Count, 1))
	acts := []Factor{{"load along it", m.Load.PerIn, "lb/in"}, {"length between supports", span, "in"}}
	if m.Impact > 1 {
		acts = append(acts, Factor{"times the load, for jolts", m.Impact, ""})
	}
	if n > 1 {
		acts = append(acts, Factor{"sticks that carry together", n, ""})
	}
	c.add(fmt.Sprintf("%s bending", name), "How hard "+what+" bends.", v.Stress, v.Allowed, "psi", nds, slices.Concat(acts, []Factor{
		{"bending moment M", v.Moment, "lb in"}, {"section modulus S of one", m.Section.Modulus(), "in3"},
		{"strength in bending by the grade, Fb", m.Grade.Bending, "psi"}, {"size factor C_F", f.sizeBending, ""}, {"wet service C_M", f.wetBending, ""}, {"flat use C_fu", f.flat, ""}, {"load duration C_D", f.long, ""}})...)
	c.add(fmt.Sprintf("%s shear", name), "How hard "+what+" is cut at its ends.", v.ShearStress, v.InShear, "psi", nds, slices.Concat(acts, []Factor{
		{"shear force V", v.Shear, "lb"}, {"section area A of one", m.Section.Area(), "in2"},
		{"strength in shear by the grade, Fv", m.Grade.Shear, "psi"}, {"wet service C_M", f.wetShear, ""}, {"load duration C_D", f.long, ""}})...)
	c.add(fmt.Sprintf("%s sag", name), fmt.Sprintf("How far %s sags at once; wet wood sags about %g times as far in years.", what, c.p.Creep), v.Sag, span/c.p.SagLimit, "in", fmt.Sprintf("span by %.0f, our choice", c.p.SagLimit), slices.Concat(acts, []Factor{
		{"stiffness by the grade, E", m.Grade.Stiffness, "psi"}, {"wet service C_M", f.wetStiffness, ""}, {"moment of inertia I of one", m.Section.Inertia(), "in4"}, {"sag after years", v.Long, "in"}})...)
}

// floorPsi is the weight of the fill on the floor [psi].
func (c *checking) floorPsi() float64 { return c.built.Inside[2] * c.box.FillLbFt3 / inches3 }

func (c *checking) floor() {
	s := laid(dressed[c.box.Floor])
	span := (c.box.Width - dressed[c.box.Bearer].Width) / float64(c.box.Bearers-1)
	c.bend("floor board", "a floor board between two bearers", Member{Section: s, Count: 1, Load: Load{Kind: over(c.box.Bearers), PerIn: c.floorPsi() * s.Width, Span: span}}, span)
}

// over is the kind of load on a stick that lies on so many supports.
func over(supports int) string {
	if supports > 2 {
		return "several spans"
	}
	return "uniform"
}

func (c *checking) bearers() {
	s := dressed[c.box.Bearer]
	n := c.box.Bearers
	span := (c.box.Length - dressed[c.box.Skid].Width) / float64(c.box.Skids-1)
	whole := c.built.BoxLb / c.box.Length
	// inner bearers carry more than outer ones: each one of n-1 fields, and as floor
	// boards go on over it, a quarter more
	share := 1.0
	if n > 2 {
		share = 1.25 * float64(n) / float64(n-1)
	}
	c.bend("bearer", "a bearer between two skids", Member{Section: s, Count: n, Load: Load{Kind: over(c.box.Skids), PerIn: whole * share, Span: span}}, span)
	c.bend("bearer on forks", "a bearer on the forks, with a jolt", Member{Section: s, Count: n, Duration: "10 minutes", Impact: c.p.Impact, Load: Load{Kind: "forks", PerIn: whole * share, Span: c.box.Length, ForksIn: c.box.ForksIn}}, c.box.ForksIn)
	if clear := dressed[c.box.Skid].Depth; clear < c.p.ForkClear {
		c.add("fork opening", "Forks want room to go in.", c.p.ForkClear, clear, "in", "common practice, no source", Factor{"height of a skid", clear, "in"})
	}
}

func (c *checking) walls() {
	s := laid(dressed[c.box.Wall])
	d := c.built.Inside[2]
	span := c.built.Inside[0]
	middle := d - s.Width/2 // of the lowest board
	left := s               // what the holes leave of it
	left.Width = math.Max(0.1, s.Width-c.box.HoleIn)
	a := WallPush(c.p.Pressure.Best, c.box.FillLbFt3, middle)
	c.bend("lowest wall board", "the lowest board of the long side", Member{Section: left, Count: 1, Load: Load{Kind: "uniform", PerIn: a.Base * s.Width, Span: span}}, span)
	w := WallPush(1, c.p.Water, middle)
	full := c.p.Bend(Member{Section: left, Count: 1, Grade: c.grade, Wet: true, Duration: "7 days", Load: Load{Kind: "uniform", PerIn: w.Base * s.Width, Span: span}})
	c.add("lowest wall board, full of water", "The same board when the bin stands full of water.", full.Ratio, 1, "of what is allowed", nds,
		Factor{"pressure at its middle", w.Base, "psi"}, Factor{"length between supports", span, "in"}, Factor{"stress in bending", full.Stress, "psi"}, Factor{"allowed in bending", full.Allowed, "psi"}, Factor{"stress in shear", full.ShearStress, "psi"}, Factor{"allowed in shear", full.InShear, "psi"})
	each, long := c.p.Withdrawal(c.grade.Gravity, c.box.DiameterIn, c.box.Fastener, true), Duration("permanent").Factor()
	of := func(n float64, more ...Factor) []Factor {
		return append(more, Factor{"a fastener holds, wet and dry in turn", each, "lb/in"}, Factor{"of its point in the wood", c.box.PointIn, "in"}, Factor{"fasteners", n, ""}, Factor{"load duration C_D", long, ""})
	}
	if c.box.PostsInside {
		pull, n := a.Base*s.Width*span/2, float64(c.box.PerJoint)
		c.add("wall fasteners", "The fill pushes the boards off the posts inside. Posts outside take that from the fasteners.", pull, each*c.box.PointIn*n*long, "lb", "NDS chapter 12, as told", of(n, Factor{"pressure at its middle", a.Base, "psi"}, Factor{"length between supports", span, "in"})...)
		return
	}
	all, n := WallPush(c.p.Pressure.Best, c.box.FillLbFt3, d), float64(c.built.Courses*c.box.PerJoint)
	c.add("corner fasteners", "The long side pushes the outer post of each corner off the one beside it.", all.Resultant*span/2, each*c.box.PointIn*n*long, "lb", "NDS chapter 12, as told", of(n, Factor{"push on each inch of wall", all.Resultant, "lb/in"}, Factor{"length between supports", span, "in"})...)
}

func (c *checking) corners() {
	s := dressed[c.box.Post]
	// the lowest box carries those above it; its own fill stands on its floor. Of
	// the two posts of a corner outside, one is held to carry all.
	lb := float64(c.box.High-1) * c.built.BoxLb / 4
	factor, psi, holds := c.p.Column(c.grade, s, c.built.Inside[2], true, "permanent")
	f := c.p.adjust(c.grade, s, true, "permanent")
	above := Factor{"bins above", float64(c.box.High - 1), ""}
	full := Factor{"a full bin", c.built.BoxLb, "lb"}
	c.add("corner post", "What a post of the lowest bin carries.", lb, holds, "lb", nds, above, full, Factor{"strength along the grain by the grade, Fc", c.grade.Compression, "psi"}, Factor{"size factor C_F", f.sizeCompression, ""},
		Factor{"wet service C_M", f.wetCompression, ""}, Factor{"load duration C_D", f.long, ""}, Factor{"column stability C_P", factor, ""}, Factor{"allowed along the grain", psi, "psi"}, Factor{"section area A of one", s.Area(), "in2"})
	a := c.p.Allow(c.grade, s, true, "permanent")
	// a bearer lies between the floor under the post and the skid
	area := math.Min(s.Width, dressed[c.box.Bearer].Width) * math.Min(s.Depth, dressed[c.box.Skid].Width)
	c.add("bearing under a post", "How hard a post presses into the wood it stands on.", lb/area, a.Bearing, "psi", nds, above, full, Factor{"area it stands on", area, "in2"}, Factor{"strength across the grain by the grade, Fc⊥", c.grade.Bearing, "psi"}, Factor{"wet service C_M", f.wetBearing, ""})
}

func (c *checking) stack() {
	base := math.Min(c.box.Length, c.box.Width)
	s := StackOf(c.box.High, base, c.built.Stands, c.built.BoxLb, 0)
	c.add("height of the stack", fmt.Sprintf("Height beside the least base. It tips at a lean of %.0f degrees.", s.TipsAt), s.Ratio, c.p.StackRatio, "times the base", "house rule; no published limit was found",
		Factor{"bins in the stack", float64(c.box.High), ""}, Factor{"height of each", c.built.Stands, "in"}, Factor{"least side", base, "in"}, Factor{"push at the top that tips it", s.PushLb, "lb"})
	c.add("bins in the stack", "Bins one on another.", float64(c.box.High), c.p.StackMost, "bins", "house rule")
}

func (c *checking) truck() {
	if c.box.TruckLb == 0 {
		return
	}
	one := Derate(c.box.TruckLb, c.box.TruckCenter, c.box.Width/2, c.box.AxleToFace)
	c.add("truck", "One bin on the truck, its middle half its width from the forks' face. The plate on the truck decides, and it lifts less the higher it goes.", c.built.BoxLb, one, "lb", "moment about the front axle; 29 CFR 1910.178 app. A",
		Factor{"load on the plate", c.box.TruckLb, "lb"}, Factor{"load center on the plate", c.box.TruckCenter, "in"}, Factor{"middle of the bin from the forks' face", c.box.Width / 2, "in"}, Factor{"front axle to the forks' face", c.box.AxleToFace, "in"})
}
