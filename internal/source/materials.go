package source

import (
	"fmt"
	"slices"
	"sync"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/qty"
)

// materialFile is data/materials.json. A number stands as its source prints it;
// densities in lb/yd3 are turned into kg/m3 here, exactly.
type materialFile struct {
	Materials []materialEntry `json:"materials"`
}

type materialEntry struct {
	Name  string   `json:"name"`
	Also  []string `json:"also"`
	Group string   `json:"group" choice:"manure,hay,straw,leaf,wood,paper,grass,food,compost,castings,peat,mineral,water,other"`
	Note  string   `json:"note,omitempty"`

	Water    *propertyEntry `json:"water_frac_wet"`
	Nitrogen *propertyEntry `json:"nitrogen_frac_dry"`
	CN       *propertyEntry `json:"cn"`
	Carbon   *propertyEntry `json:"carbon_frac_dry"`
	Density  *propertyEntry `json:"density_kg_m3_wet"`
	Ash      *propertyEntry `json:"ash_frac_dry"`
	Lignin   *propertyEntry `json:"lignin_frac_dry"`
	Salts    *propertyEntry `json:"ec_ds_m"`
	PH       *propertyEntry `json:"ph"`
	Ammonia  *propertyEntry `json:"ammonia_n_mg_kg_dry"`
	Quick    *propertyEntry `json:"quick_frac_volatile"`
	Slow     *propertyEntry `json:"slow_frac_volatile"`
	Woody    *propertyEntry `json:"woody_frac_volatile"`
	Worked   *propertyEntry `json:"worked_frac_volatile"`
}

type propertyEntry struct {
	Low     float64      `json:"low"`
	Typical float64      `json:"typical"`
	High    float64      `json:"high"`
	Unit    string       `json:"unit,omitempty" choice:"lb/yd3,kg/m3"`
	Known   string       `json:"known" choice:"handbook,assumed"`
	Note    string       `json:"note,omitempty"`
	Claims  []claimEntry `json:"claims"`
}

type claimEntry struct {
	Low     float64 `json:"low" default:"0"`
	Typical float64 `json:"typical" default:"0"`
	High    float64 `json:"high" default:"0"`
	Unit    string  `json:"unit,omitempty" choice:"lb/yd3,kg/m3"`
	Ref     string  `json:"ref"`
	Where   string  `json:"where,omitempty"`
	How     string  `json:"how" choice:"found,memory,assumed,derived"`
	Note    string  `json:"note,omitempty"`
}

type hazardFile struct {
	Hazards   []hazardEntry   `json:"hazards"`
	Bioassays []protocolEntry `json:"bioassays"`
}

type protocolEntry struct {
	TestParts float64 `json:"test_parts" default:"0"`
	MixParts  float64 `json:"mix_parts" default:"0"`
	Pots      string  `json:"pots"`
	Controls  string  `json:"controls"`
	Seeds     string  `json:"seeds"`
	Weeks     string  `json:"weeks"`
	Ref       string  `json:"ref"`
	How       string  `json:"how" choice:"found,memory"`
	Note      string  `json:"note,omitempty"`
}

type hazardEntry struct {
	What      string   `json:"what"`
	Level     string   `json:"level" choice:"refuse,hold,warn"`
	Why       string   `json:"why"`
	Clears    string   `json:"clears"`
	Declared  string   `json:"declared,omitempty" doc:"the declared treatment that raises it"`
	Denied    string   `json:"denied,omitempty" doc:"the supplier's word that lowers it by one step"`
	Fact      string   `json:"fact,omitempty" choice:"age_days,days_since_dosing,hot_days,share_frac,ec_ds_m,ammonia_n_mg_kg_wet"`
	Over      float64  `json:"over" default:"0"`
	Under     float64  `json:"under" default:"0"`
	Unknown   string   `json:"unknown,omitempty" choice:"refuse,hold,warn" doc:"how it speaks while the fact is not known"`
	Test      string   `json:"test,omitempty" choice:"bioassay,bucket"`
	Ref       string   `json:"ref"`
	How       string   `json:"how" choice:"found,memory,assumed"`
	Note      string   `json:"note,omitempty"`
	Groups    []string `json:"groups"`
	Materials []string `json:"materials"`
	Except    []string `json:"except"`
}

var library = sync.OnceValues(func() (*feedstock.Library, error) {
	materials, err := Materials()
	if err != nil {
		return nil, err
	}
	return feedstock.NewLibrary(materials)
})

// Library gives the library of materials, read once.
func Library() (*feedstock.Library, error) { return library() }

// Materials gives the materials of data/materials.json with the hazards of
// data/hazards.json, in the file's order. The error lists everything that is
// wrong in both files.
func Materials() ([]feedstock.Material, error) {
	refs, err := Refs()
	if err != nil {
		return nil, err
	}
	var m materialFile
	var h hazardFile
	var problems []figure.Problem
	for _, f := range []struct {
		name string
		into any
	}{{"materials.json", &m}, {"hazards.json", &h}} {
		data, err := files.ReadFile("data/" + f.name)
		if err != nil {
			return nil, err
		}
		problems = append(problems, within(f.name, contract.Decode(data, f.into))...)
	}
	say := func(field, what, try string) {
		problems = append(problems, figure.Problem{Field: field, Say: what, Try: try})
	}
	sourced := func(field, ref string) {
		if _, ok := refs[ref]; !ok {
			say(field, fmt.Sprintf("Reference %q is in no refs file.", ref), "Add it to refs_feedstock.json.")
		}
	}
	var names, groups []string
	out := make([]feedstock.Material, len(m.Materials))
	for i, e := range m.Materials {
		out[i] = e.material(func(key, ref string) { sourced("materials.json "+e.Name+" "+key, ref) })
		names = append(names, e.Name)
		if !slices.Contains(groups, e.Group) {
			groups = append(groups, e.Group)
		}
	}
	for _, b := range h.Bioassays {
		sourced("hazards.json bioassays", b.Ref)
	}
	for _, e := range h.Hazards {
		field := "hazards.json " + e.What
		sourced(field, e.Ref)
		if len(e.Groups)+len(e.Materials) == 0 {
			say(field, "It belongs to no material.", "Give groups or materials.")
		}
		if (e.Fact == "") != (e.Over == 0 && e.Under == 0) {
			say(field, "A fact needs a bound and a bound needs a fact.", "Give both or neither.")
		}
		for _, n := range append(slices.Clone(e.Materials), e.Except...) {
			if !slices.Contains(names, n) {
				say(field, fmt.Sprintf("%q is not a material.", n), "Near it: "+fmt.Sprint(contract.Nearest(n, names))+".")
			}
		}
		for _, g := range e.Groups {
			if !slices.Contains(groups, g) {
				say(field, fmt.Sprintf("No material is in group %q.", g), "Near it: "+fmt.Sprint(contract.Nearest(g, groups))+".")
			}
		}
		for i := range out {
			if (slices.Contains(e.Groups, out[i].Group) || slices.Contains(e.Materials, out[i].Name)) && !slices.Contains(e.Except, out[i].Name) {
				out[i].Hazards = append(out[i].Hazards, feedstock.Hazard{
					What: e.What, Level: feedstock.Level(e.Level), Why: e.Why, Clears: e.Clears, Declared: e.Declared, Denied: e.Denied,
					Fact: e.Fact, Over: e.Over, Under: e.Under, Unknown: feedstock.Level(e.Unknown), Test: e.Test, Ref: e.Ref, How: e.How, Note: e.Note,
				})
			}
		}
	}
	if len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	return out, nil
}

// Bioassays gives the published ways of testing for persistent herbicide in
// pots, which disagree on how far to thin.
func Bioassays() ([]feedstock.Protocol, error) {
	data, err := files.ReadFile("data/hazards.json")
	if err != nil {
		return nil, err
	}
	var h hazardFile
	if err := contract.Refuse(contract.Decode(data, &h)); err != nil {
		return nil, err
	}
	out := make([]feedstock.Protocol, len(h.Bioassays))
	for i, b := range h.Bioassays {
		out[i] = feedstock.Protocol{TestParts: b.TestParts, MixParts: b.MixParts, Pots: b.Pots, Controls: b.Controls, Seeds: b.Seeds, Weeks: b.Weeks, Ref: b.Ref, How: b.How, Note: b.Note}
	}
	return out, nil
}

func (e materialEntry) material(sourced func(key, ref string)) feedstock.Material {
	m := feedstock.Material{Name: e.Name, Also: e.Also, Group: e.Group, Note: e.Note}
	for _, p := range []struct {
		key   string
		entry *propertyEntry
	}{
		{feedstock.KeyWater, e.Water}, {feedstock.KeyNitrogen, e.Nitrogen}, {feedstock.KeyCN, e.CN}, {feedstock.KeyCarbon, e.Carbon},
		{feedstock.KeyDensity, e.Density}, {feedstock.KeyAsh, e.Ash}, {feedstock.KeyLignin, e.Lignin}, {feedstock.KeySalts, e.Salts},
		{feedstock.KeyPH, e.PH}, {feedstock.KeyAmmonia, e.Ammonia},
		{feedstock.KeyQuick, e.Quick}, {feedstock.KeySlow, e.Slow}, {feedstock.KeyWoody, e.Woody}, {feedstock.KeyWorked, e.Worked},
	} {
		if p.entry == nil {
			continue
		}
		for _, c := range p.entry.Claims {
			sourced(p.key, c.Ref)
		}
		*m.Property(p.key) = p.entry.property()
	}
	return m.WithCarbon()
}

func (p propertyEntry) property() feedstock.Property {
	f := factor(p.Unit)
	out := feedstock.Property{Estimate: qty.Estimate{Low: p.Low * f, Best: p.Typical * f, High: p.High * f, Known: p.Known}, Note: p.Note}
	for _, c := range p.Claims {
		f := factor(c.Unit)
		out.Claims = append(out.Claims, feedstock.Claim{Low: c.Low * f, Best: c.Typical * f, High: c.High * f, Ref: c.Ref, Where: c.Where, How: c.How, Note: c.Note})
	}
	return out
}

func factor(unit string) float64 {
	if unit == "lb/yd3" {
		return qty.KgPerPound / qty.M3PerCubicYard
	}
	return 1
}
