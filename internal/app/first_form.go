package app

// FirstForm is a farm as told on its first morning, each value as typed ("10
// in", "3 months", "middle"). Everything but the barns may be left empty; what
// is taken then is told. It is also one CSV of three columns (ReadFirst).
type FirstForm struct {
	Farm  string `json:"farm,omitempty"`
	Zone  string `json:"zone,omitempty"`  // America/Los_Angeles; UTC when empty
	Units string `json:"units,omitempty"` // us or metric; us when empty

	Place     string   `json:"place,omitempty"`    // of the site, in words
	Weather   string   `json:"weather,omitempty"`  // normals, monthly, typed, own record
	Altitude  string   `json:"altitude,omitempty"` // "600 ft"
	MonthLow  []string `json:"month_low,omitempty"`
	MonthHigh []string `json:"month_high,omitempty"`
	LowToday  string   `json:"low_today,omitempty"`
	HighToday string   `json:"high_today,omitempty"`

	Barns []FirstBarn `json:"barns"`
	Names string      `json:"names,omitempty"` // the painted name of the first bin; "B1" when empty

	Length string `json:"length,omitempty"` // inside of a bin
	Width  string `json:"width,omitempty"`
	Deep   string `json:"deep,omitempty"`
	Wall   string `json:"wall,omitempty"`
	Liner  string `json:"liner,omitempty"`
	Holes  string `json:"holes,omitempty"` // area in all sides, "20 sq in" is not taken: "0.01 m2", "0.1 sq ft"
	Cover  string `json:"cover,omitempty"`

	Depth        string `json:"depth,omitempty"`      // of a bed
	Material     string `json:"material,omitempty"`   // what the beds are made of
	Age          string `json:"age,omitempty"`        // "4 months"
	LastFed      string `json:"last_fed,omitempty"`   // "5 days"
	LastFedDepth string `json:"fed_depth,omitempty"`  // "1.5 in"
	Stock        string `json:"stock,omitempty"`      // low, middle, high, or a mass a bin
	FeedEvery    string `json:"feed_every,omitempty"` // "7 days"
	Visit        string `json:"visit,omitempty"`      // how often a bin low in a stack is seen

	Except []string    `json:"except,omitempty"` // "row 3: age 2 months", "B17 empty"
	Piles  []FirstPile `json:"piles,omitempty"`
	Mixes  []FirstMix  `json:"mixes,omitempty"`
	People []string    `json:"people,omitempty"`
}

// FirstMix is a batch that lies ready, or the usual mix that can be made at
// once from the piles.
type FirstMix struct {
	Name    string `json:"name"`
	Purpose string `json:"purpose,omitempty"` // feed when empty
	Parts   string `json:"parts"`             // "2 yd3 solids, 1 yd3 chips"
}

// FirstBarn is a barn as laid out: rows of stacks of bins.
type FirstBarn struct {
	Name   string `json:"name"`
	Rows   string `json:"rows"`   // how many
	Stacks string `json:"stacks"` // in each row; "8, 8, 7" when they differ
	High   string `json:"high"`   // bins in a stack
	Length string `json:"length,omitempty"`
	Width  string `json:"width,omitempty"`
	Height string `json:"height,omitempty"`
}

// FirstPile is something that lies in the yard.
type FirstPile struct {
	Name     string `json:"name"`
	Material string `json:"material"`
	Amount   string `json:"amount"` // "30 yd3", "2 short tons"
	Age      string `json:"age,omitempty"`
	Declared string `json:"declared,omitempty"` // "dewormer, dye"
}
