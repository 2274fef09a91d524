package app

import (
	"slices"
	"strings"

	"wormyard/internal/contract"
	"wormyard/internal/nature"
)

// BedWall is a named build of the sides, or its heat transfer.
type BedWall struct {
	Name   string   `json:"-" as:"word" choice:"boards,plywood,plastic"`
	Number *float64 `json:"-" as:"number" unit:"W/(m2 K)" low:"0.05" high:"50"`
	U      *float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0.05" high:"50" doc:"bed to air through a side, films included"`
}

// BedCover is a named cover, or one of one's own.
type BedCover struct {
	Name      string   `json:"-" as:"word" choice:"none,cloth,board,film"`
	U         *float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0.05" high:"1000" doc:"of the cover alone"`
	Permeance *float64 `json:"permeance_ng_s_m2_pa" unit:"ng/(s m2 Pa)" low:"0.01" high:"1e6" doc:"to water vapour; 57.2 is one perm"`
}

// BedBin is the bin of a bed that is run.
type BedBin struct {
	LengthM float64   `json:"length_m" unit:"m" low:"0.1" high:"20" default:"1.2"`
	WidthM  float64   `json:"width_m" unit:"m" low:"0.1" high:"20" default:"1.2"`
	DepthM  float64   `json:"depth_m" unit:"m" low:"0.05" high:"3" default:"0.6" doc:"floor to rim"`
	Wall    *BedWall  `json:"wall" doc:"boards, plywood, plastic, or its heat transfer"`
	U       *float64  `json:"u_w_m2k" unit:"W/(m2 K)" low:"0.05" high:"50" doc:"in place of wall"`
	Cover   *BedCover `json:"cover" doc:"none, cloth, board, film, or one of your own; cloth when left out"`
	HolesM2 float64   `json:"holes_m2" unit:"m2" low:"0" high:"2" default:"0.006" doc:"open area of the side holes together"`
	Under   string    `json:"under" choice:"floor,bin,air" default:"floor" doc:"what the base stands on"`
	Over    bool      `json:"over" doc:"another bin stands on it"`
	Hidden  float64   `json:"hidden_frac" low:"0" high:"1" default:"0" doc:"share of the sides that stands against other bins"`
}

// BedAir is unchanging air.
type BedAir struct {
	TempC float64  `json:"temp_c" unit:"C" low:"-60" high:"60"`
	RH    *float64 `json:"rh_frac" low:"0" high:"1" doc:"0.75 when left out"`
}

// BedAirAt is air at a time.
type BedAirAt struct {
	At    string   `json:"at,omitempty" doc:"RFC 3339, or the first of day"`
	Day   *float64 `json:"day" low:"-10" high:"5000" doc:"days from the start"`
	TempC float64  `json:"temp_c" unit:"C" low:"-60" high:"60"`
	RH    *float64 `json:"rh_frac" low:"0" high:"1"`
}

// BedBarn is the barn around the bin, the inputs of figure barn.heat.
type BedBarn struct {
	Parts []struct {
		U      float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0" high:"50"`
		AreaM2 float64 `json:"area_m2" unit:"m2" low:"0" high:"1e6"`
	} `json:"parts"`
	Slab *struct {
		WMK        float64 `json:"w_mk" unit:"W/(m K)" low:"0" high:"10"`
		PerimeterM float64 `json:"perimeter_m" unit:"m" low:"0" high:"10000"`
	} `json:"slab"`
	VolumeM3   float64  `json:"volume_m3" unit:"m3" low:"1" high:"1e7"`
	AirChanges float64  `json:"air_changes_per_h" unit:"1/h" low:"0" high:"100"`
	Bins       float64  `json:"bins" low:"0" high:"100000" default:"0"`
	HeatPerBin float64  `json:"heat_w_per_bin" unit:"W" low:"0" high:"10000" default:"0"`
	HeaterW    float64  `json:"heater_w" unit:"W" low:"0" high:"1e7" default:"0"`
	InsideC    *float64 `json:"inside_c" unit:"C" low:"-60" high:"60" doc:"taken and not needed: the air inside is what the run finds"`
	OutsideC   *float64 `json:"outside_c" unit:"C" low:"-60" high:"60" doc:"taken and not needed: the air outside is that of the place"`
	HeaterSetC float64  `json:"heater_set_c" unit:"C" low:"-20" high:"40" default:"5"`
}

// BedPlace is the air that the bin stands in: one of air, series and weather.
type BedPlace struct {
	Air     *BedAir    `json:"air"`
	Series  []BedAirAt `json:"series" doc:"in order of time; straight between, held before and after"`
	Weather string     `json:"weather,omitempty" choice:"seattle-daily,normals"`
	Barn    *BedBarn   `json:"barn" doc:"the air given is outside; the bin stands in this barn"`
}

// BedLayer is a layer that lies in the bin at the start: a part as in mix, and
// how it lies.
type BedLayer struct {
	MixPart
	DepthM       *float64        `json:"depth_m" unit:"m" low:"0.001" high:"3" doc:"as it lies"`
	Depth        *contract.Typed `json:"depth" quantity:"length" low:"0.001" high:"3" doc:"as typed, \"6 in\""`
	TempC        *float64        `json:"temp_c" unit:"C" low:"-20" high:"75" doc:"that of the air when left out"`
	CastingsFrac *float64        `json:"castings_frac" low:"0" high:"1" doc:"worked share of the edible matter, where known; with age_days the rest is guessed"`
	Castings     bool            `json:"castings" doc:"finished castings, in place of a material"`
}

// BedWorms are live worms in the whole bin.
type BedWorms struct {
	Species    string  `json:"species,omitempty" choice:"fetida,andrei,veneta,eugeniae,excavatus,rubellus,eisenia fetida,eisenia andrei" doc:"those of the first when left out"`
	AdultKg    float64 `json:"adult_kg" unit:"kg" low:"0" high:"1000" default:"0"`
	JuvenileKg float64 `json:"juvenile_kg" unit:"kg" low:"0" high:"1000" default:"0"`
	Cocoons    float64 `json:"cocoons" low:"0" high:"1e8" default:"0"`
}

// species gives the worms of a request by the last word of their name; the choice
// of the field sees to it that there are such.
func (r *BedRequest) species() string {
	if r.Worms == nil {
		return ""
	}
	words := strings.Fields(r.Worms.Species)
	if len(words) == 0 || !slices.Contains(nature.Species, words[len(words)-1]) {
		return ""
	}
	return words[len(words)-1]
}

// BedEvent is one thing done to the bed.
type BedEvent struct {
	Day  float64 `json:"day" low:"0" high:"5000" doc:"days from the start; 0.5 is noon of the first day"`
	Kind string  `json:"kind" choice:"feed,bed,water,cover,heat,turn,stock,take"`
	MixPart
	Mix        *MixRequest     `json:"mix" doc:"feed: a mix as wormyard mix reads it"`
	DepthM     *float64        `json:"depth_m" unit:"m" low:"0.0005" high:"3" doc:"feed, take, turn"`
	Depth      *contract.Typed `json:"depth" quantity:"length" low:"0.0005" high:"3" doc:"as typed, \"2 in\""`
	TempC      *float64        `json:"temp_c" unit:"C" low:"-20" high:"90" doc:"of what comes; that of the air when left out"`
	Side       string          `json:"side,omitempty" choice:"whole,left,right" doc:"feed, bed: the half it is laid on, depth_m deep there; take: the half that is taken, depth_m of it over the whole bin, all when left out"`
	Kg         *float64        `json:"kg" unit:"kg" low:"0" high:"5000" doc:"water"`
	Cover      *BedCover       `json:"cover"`
	W          *float64        `json:"w" unit:"W" low:"0" high:"20000" doc:"heat"`
	AdultKg    *float64        `json:"adult_kg" unit:"kg" low:"0" high:"1000" doc:"stock"`
	JuvenileKg *float64        `json:"juvenile_kg" unit:"kg" low:"0" high:"1000" doc:"stock"`
	Cocoons    *float64        `json:"cocoons" low:"0" high:"1e8" doc:"stock"`
	From       string          `json:"from,omitempty" choice:"top,bottom" doc:"take"`
}

// BedRequest is what wormyard bed reads, docs/contracts/bed.
type BedRequest struct {
	From     string     `json:"from" doc:"date of the start, 2013-03-01"`
	Days     int        `json:"days" low:"1" high:"3660"`
	Bin      BedBin     `json:"bin"`
	Place    BedPlace   `json:"place"`
	Layers   []BedLayer `json:"layers" doc:"from the floor up"`
	Worms    *BedWorms  `json:"worms"`
	Events   []BedEvent `json:"events"`
	Members  int        `json:"members" low:"1" high:"256" default:"1" doc:"runs with numbers drawn from their ranges; the first has the best values"`
	Seed     uint64     `json:"seed" default:"1"`
	Output   string     `json:"output" choice:"daily,hourly" default:"daily"`
	Contract *int       `json:"contract" low:"1" high:"1"`
}
