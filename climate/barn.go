package climate

// Part is a wall, roof or door of a barn.
type Part struct {
	U    float64 // heat transfer [W/(m2 K)]
	Area float64 // [m2]
}

// Barn is one well mixed volume of air around the bins.
type Barn struct {
	Parts        []Part
	SlabWMK      float64 // loss at the edge of the floor for each metre and kelvin [W/(m K)]
	PerimeterM   float64
	VolumeM3     float64
	AirChanges   float64 // outside air let in, volumes each hour
	CapacityJK   float64 // heat held by air, frame, floor surface and bins' outer boards [J/K]
	HeaterW      float64 // greatest heat of the heater; 0 without one [W]
	HeaterSetC   float64 // temperature that the heater keeps [C]
	PressurePa   float64 // 0 is sea level
	OpeningM2    float64 // low and high openings each, for the stack effect; 0 leaves it out
	OpeningRiseM float64 // height between them [m]
}

// Inside is the state of the air in a barn.
type Inside struct {
	TempC    float64 // [C]
	VapourKg float64 // water vapour in the air [kg/m3]
}

// BarnFlow is the heat and vapour that moved in one step of a barn.
type BarnFlow struct {
	LostJ, HeaterJ, BinsJ, StoredJ float64 // LostJ to the outside; in - out = stored
	VapourIn, VapourOut            float64 // [kg] evaporated in; carried out by air
	CondensedKg                    float64
	StoredKg                       float64
}
