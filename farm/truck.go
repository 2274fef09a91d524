package farm

import "wormyard/qty"

// TruckSetup is the value of the setting "truck": what the owner says of the fork
// truck and of bins in a stack. What is left out limits nothing.
type TruckSetup struct {
	Plate   []TruckLine `json:"plate,omitempty"`    // as the capacity plate has it
	CentreM qty.Metre   `json:"centre_m,omitempty"` // load centre of the plate
	EachM   qty.Metre   `json:"each_m,omitempty"`   // what a bin adds to the height of a stack
	FullKg  qty.WetKg   `json:"full_kg,omitempty"`  // a full, wet bin with its box
	ReachUp int         `json:"reach_up,omitempty"` // highest level at which a bin on top is worked on where it stands
	Spots   int         `json:"spots,omitempty"`    // places on the floor of an aisle, where bins may be set down meanwhile
	Trucks  int         `json:"trucks,omitempty"`   // that may work at once
}

// TruckLine is one line of a capacity plate.
type TruckLine struct {
	HeightM qty.Metre `json:"height_m"`
	LoadKg  qty.WetKg `json:"load_kg"`
}
