package journal

import "wormyard/qty"

// Where limits come from. Refused limits are arithmetic or physics; doubtful
// ones are common practice on farms of this kind, no source.
const (
	arithmetic = "arithmetic"
	physical   = "physical limit"
	practice   = "common practice, no source"
)

// maker changes a field while the list below is built.
type maker func(*Field)

func field(t Type, key, label string, m ...maker) Field {
	f := Field{Key: key, Label: label, Type: t}
	for _, g := range m {
		g(&f)
	}
	return f
}

// tally is a count of one field of view. More than some hundreds of one thing
// are not counted one by one: the drop is diluted. Common practice, no source.
func tally(key, label string) Field {
	return field(Whole, key, label, refuse(0, 1_000_000, arithmetic), doubt(0, 1000))
}

func required(f *Field) { f.Required = true }
func makes(f *Field)    { f.Makes = true }

func of(what string) maker          { return func(f *Field) { f.Of = what } }
func help(s string) maker           { return func(f *Field) { f.Help = s } }
func also(names ...string) maker    { return func(f *Field) { f.Also = names } }
func choices(words ...string) maker { return func(f *Field) { f.Choices = words } }
func rows(fields ...Field) maker    { return func(f *Field) { f.Item = fields } }

func unit(symbol string) maker { return func(f *Field) { f.Unit = symbol } }

func typed(d qty.Dimension, symbol, bare string) maker {
	return func(f *Field) { f.Dim, f.Unit, f.Bare = &d, symbol, bare }
}

func refuse(low, high float64, why string) maker {
	return func(f *Field) { f.Refused = &Limits{Low: low, High: high, Why: why} }
}

func above(low, high float64, why string) maker {
	return func(f *Field) { f.Refused = &Limits{Low: low, High: high, Open: true, Why: why} }
}

func doubt(low, high float64) maker {
	return func(f *Field) { f.Doubtful = &Limits{Low: low, High: high, Why: practice} }
}

const (
	inch  = qty.MetrePerInch
	pound = qty.KgPerPound
	yard3 = qty.M3PerCubicYard
)

// fahrenheit gives the stored temperature of a limit thought of in °F.
func fahrenheit(f float64) float64 { return (f - 32) / 1.8 }

func bins(m ...maker) Field {
	return field(Names, "bins", "Bins", append([]maker{of("bin"), required, help("Names as painted, separated by commas or spaces."), also("bin", "bin name", "bin no", "box", "boxes", "bed")}, m...)...)
}

func bin(m ...maker) Field {
	return field(Name, "bin", "Bin", append([]maker{of("bin"), also("bins", "bin name", "bin no", "box", "bed")}, m...)...)
}

func note() Field {
	return field(Text, "note", "Note", also("notes", "remark", "remarks", "comment", "comments"))
}

func volume(label string, m ...maker) Field {
	return field(Number, "volume_m3", label, append([]maker{typed(qty.Volume, "m3", "volume"), above(0, 100_000, arithmetic)}, m...)...)
}

func wetMass(key, label string, m ...maker) Field {
	return field(Number, key, label, append([]maker{typed(qty.Mass, "kg", "mass"), above(0, 100_000_000, arithmetic)}, m...)...)
}

func moisture(label string, m ...maker) Field {
	return field(Number, "water_frac_wet", label, append([]maker{typed(qty.Percent, "fraction", "moisture"),
		refuse(0, 1, arithmetic), also("moisture", "water content", "wetness", "mc")}, m...)...)
}

func temperature(key, label, bare string, m ...maker) Field {
	return field(Number, key, label, append([]maker{typed(qty.Temperature, "°C", bare), refuse(-60, 110, physical)}, m...)...)
}

func liveMass(key, label, bare string, m ...maker) Field {
	return field(Number, key, label, append([]maker{typed(qty.Mass, "kg", bare), refuse(0, 100_000, arithmetic)}, m...)...)
}

// ofWater marks an amount of water, which a person may type by volume too: 1 L is 1 kg.
func ofWater(f *Field) { f.Water = true }

func wantedNumber(m ...maker) Field {
	return field(Whole, "number", "How many", append([]maker{refuse(1, 1_000_000, arithmetic), doubt(1, 5000), help("Bags, totes or kits.")}, m...)...)
}

func wantedVolume() Field { return volume("Volume wanted", doubt(0.001, 2000*yard3)) }

func wantedMass() Field {
	return field(Number, "mass_kg", "Mass wanted", typed(qty.Mass, "kg", "mass"), above(0, 1e7, arithmetic), doubt(0.1*pound, 400_000*pound))
}

func orderLine() Field {
	return field(Whole, "line", "Product of the order", refuse(1, 1000, arithmetic), help("Its number in an order of several products."))
}

func delivery() Field {
	return field(Text, "delivery", "Delivery", help("The same word for all that went out together; one delivery note tells of it."))
}

// kinds is the list; every kind but strike and setting also takes a note.
var kinds = withNotes([]Kind{
	{
		Name: "receive", Words: "Feedstock in", Help: "Feedstock arrives and becomes a pile, or joins one.",
		Also: []string{"received", "delivery", "delivered", "arrived", "load in", "feedstock"},
		Fields: []Field{
			field(Name, "pile", "Pile", of("pile"), makes, required, also("pile name", "heap")),
			field(Text, "material", "Material", required, also("feedstock", "what came", "stuff")),
			volume("Volume received", doubt(0.05*yard3, 400*yard3)),
			wetMass("mass_kg_wet", "Mass received", doubt(20*pound, 200_000*pound)),
			field(Number, "price", "Price paid", refuse(-1e6, 1e7, arithmetic), help("Less than zero when the giver pays."), also("cost", "paid")),
			field(Number, "haulage", "Paid for haulage", refuse(0, 1e7, arithmetic), help("Beside the price."), also("freight", "hauling", "trucking")),
			field(Choices, "declared", "Declared treatments", choices("dewormer", "herbicide", "dye", "antibiotic", "insecticide", "preservative", "none"),
				help("What the giver says was used.")),
			field(Day, "dosed_on", "Day of the treatment"),
		},
		OneOf: []Group{{Keys: []string{"volume_m3", "mass_kg_wet"}, What: "how much came"}},
		New:   func() any { return new(Receive) },
	},
	{
		Name: "assay", Words: "Test", Help: "A laboratory or field test of a pile, batch, bin or lot.",
		Also: []string{"analysis", "lab", "laboratory", "test", "lab result"},
		Fields: []Field{
			field(Name, "subject", "What was tested", of("subject"), required, help("As in: pile rabbit 3."), also("sample", "of", "tested")),
			field(Text, "analyte", "What was measured", required, also("parameter", "test of", "measured"),
				help("As the laboratory calls it: moisture, nitrogen, salts, pH, fecal coliform.")),
			field(Number, "value", "Result", required, also("result")),
			field(Text, "unit", "Unit"),
			field(Text, "method", "Method"),
			field(Number, "detection_limit", "Detection limit", refuse(0, 1e9, arithmetic)),
			field(Text, "laboratory", "Laboratory", also("lab")),
			field(Choice, "basis", "Basis", choices("wet", "dry"), help("Whether the result is of the matter as it lies or of its dry matter.")),
			field(Choice, "reads", "Reads as", choices(Readings...), also("sign", "qualifier"), help("When the result is not the amount itself: less than 3 is 3, read as less than.")),
			field(Text, "sample", "Sample number", also("sample id", "sample no", "report")),
		},
		New: func() any { return new(Assay) },
	},
	{
		Name: "blend", Words: "Batch mixed", Help: "A batch is mixed from piles.",
		Also: []string{"mix", "mixed", "blended", "batch"},
		Fields: []Field{
			field(Name, "batch", "Batch", of("batch"), makes, required, also("mix", "batch no", "mix no", "batch number")),
			field(Text, "purpose", "Purpose", help("starting bed, feed, woody feed, bedding or hot pile.")),
			field(Table, "parts", "Parts", required, rows(
				field(Name, "pile", "Pile", of("pile"), required),
				volume("Volume taken"),
				wetMass("mass_kg_wet", "Mass taken"),
			)),
			field(Number, "water_kg", "Water added", typed(qty.Mass, "kg", "water"), ofWater, refuse(0, 1e6, arithmetic), doubt(0, 40_000)),
			moisture("Moisture of the batch", doubt(0.25, 0.9)),
			field(Number, "shrink_frac", "Volume lost on mixing", typed(qty.Percent, "fraction", "shrink"), refuse(0, 0.95, arithmetic), doubt(0, 0.5)),
		},
		New: func() any { return new(Blend) },
	},
	{
		Name: "build", Words: "Bin built", Help: "Bins are built, repaired or retired.",
		Also: []string{"built", "new bin", "repair", "repaired", "retire", "retired", "made bin"},
		Fields: []Field{
			bins(makes),
			field(Number, "length_m", "Length of the bin", typed(qty.Length, "m", "length"), above(0, 60, arithmetic), doubt(12*inch, 240*inch)),
			field(Number, "width_m", "Width of the bin", typed(qty.Length, "m", "width"), above(0, 60, arithmetic), doubt(12*inch, 120*inch)),
			field(Number, "depth_m", "Depth of the bin", typed(qty.Length, "m", "depth"), above(0, 10, arithmetic), doubt(6*inch, 60*inch)),
			field(Text, "wall", "Wall", help("A named build of wall.")),
			field(Text, "liner", "Liner"),
			field(Number, "holes_m2", "Area of the holes", typed(qty.Area, "m2", "holes"), refuse(0, 20, arithmetic), doubt(0, 1)),
			field(Choice, "cover", "Cover", choices("none", "cloth", "board", "film")),
			field(Name, "barn", "Barn", of("barn"), makes),
			field(Whole, "row", "Row", refuse(1, 1000, arithmetic)),
			field(Whole, "stack", "Stack", refuse(1, 1000, arithmetic)),
			field(Whole, "level", "Level", refuse(1, 12, arithmetic), doubt(1, 5), help("1 stands on the floor.")),
			field(Slots, "slots", "Slots", help("BARN/ROW/STACK/LEVEL for each bin, in the same order.")),
			field(Choice, "state", "State", choices("built", "repaired", "retired")),
		},
		New: func() any { return new(Build) },
	},
	{
		Name: "bed", Words: "Bedded", Help: "Bins are bedded, or held a bed when the journal began.",
		Also: []string{"bedding", "bedded", "bed in", "new bed"},
		Fields: []Field{
			bins(),
			field(Name, "batch", "Batch", of("batch"), also("mix", "batch no", "mix no")),
			field(Name, "pile", "Straight from pile", of("pile"), help("Bedding that was mixed with nothing, such as overs.")),
			field(Text, "material", "Material"),
			field(Number, "depth_m", "Depth of the bed", typed(qty.Length, "m", "depth"), required, above(0, 5, arithmetic), doubt(1*inch, 36*inch),
				also("how deep", "how much", "amount", "thickness")),
			field(Number, "age_days", "Age of the bed", typed(qty.Duration, "d", "age"), refuse(0, 20_000, arithmetic), doubt(0, 2000)),
			field(Number, "age_low_days", "Least age of the bed", refuse(0, 20_000, arithmetic), unit("d")),
			field(Number, "age_high_days", "Greatest age of the bed", refuse(0, 20_000, arithmetic), unit("d")),
			field(Number, "last_feed_days", "Days since the last feeding", refuse(0, 20_000, arithmetic), doubt(0, 400), unit("d")),
			field(Number, "last_feed_depth_m", "Depth of the last feeding", typed(qty.Length, "m", "last_feed_depth"), refuse(0, 2, arithmetic), doubt(0, 8*inch)),
			field(Number, "castings_frac", "Share that is castings", typed(qty.Percent, "fraction", "castings"), refuse(0, 1, arithmetic)),
		},
		OneOf: []Group{{Keys: []string{"batch", "pile", "material"}, Many: true, None: true, What: "what the bed is made of"}},
		New:   func() any { return new(Bed) },
	},
	{
		Name: "stock", Words: "Worms in", Help: "Worms are put into bins.",
		Also: []string{"stocked", "stocking", "worms", "split", "worms added"},
		Fields: []Field{
			bins(),
			liveMass("kg", "Worms put in", "mass", required, above(0, 100_000, arithmetic), doubt(0.1*pound, 100*pound), help("Live mass in each bin."),
				also("worms", "mass", "weight", "how much", "amount")),
			liveMass("kg_low", "Worms put in, at least", "mass_low"),
			liveMass("kg_high", "Worms put in, at most", "mass_high"),
			field(Name, "from_bin", "From bin", of("bin"), also("from", "source")),
			field(Flag, "bought", "Bought"),
		},
		New: func() any { return new(Stock) },
	},
	{
		Name: "feed", Words: "Feeding", Help: "A batch is spread on beds.",
		Also: []string{"fed", "feeding", "feed bins"},
		Fields: []Field{
			bins(),
			field(Name, "batch", "Batch", of("batch"), required, also("mix", "batch no", "mix no", "feed", "what was fed")),
			field(Number, "depth_m", "Depth of the feed", typed(qty.Length, "m", "depth"), above(0, 2, arithmetic), doubt(0.25*inch, 6*inch),
				also("how deep", "how much", "amount", "thickness")),
			wetMass("mass_kg_wet", "Mass of the feed", doubt(1*pound, 800*pound), help("In each bin."), also("how much", "amount", "weight", "mass")),
			field(Choice, "side", "Where", choices("whole", "left", "right"), also("where")),
		},
		OneOf: []Group{{Keys: []string{"depth_m", "mass_kg_wet"}, What: "how much was fed"}},
		New:   func() any { return new(Feed) },
	},
	{
		Name: "water", Words: "Watering", Help: "Water is given to beds.",
		Also: []string{"watered", "watering", "wet down", "sprinkle"},
		Fields: []Field{
			bins(),
			field(Number, "kg", "Water given", typed(qty.Mass, "kg", "water"), ofWater, required, above(0, 100_000, arithmetic), doubt(0.1, 200), help("To each bin."),
				also("how much", "amount", "water", "gallons")),
		},
		New: func() any { return new(Water) },
	},
	{
		Name: "cover", Words: "Cover", Help: "A cover is laid on or taken off.",
		Also:   []string{"covered", "uncovered", "lid"},
		Fields: []Field{bins(), field(Choice, "cover", "Cover", required, choices("none", "cloth", "board", "film"), also("how", "which cover"))},
		New:    func() any { return new(Cover) },
	},
	{
		Name: "heat", Words: "Heating", Help: "Heating is switched or set.",
		Also: []string{"heating", "heater"},
		Fields: []Field{
			field(Names, "bins", "Bins", of("bin"), also("bin", "box", "bed")),
			field(Name, "barn", "Barn", of("barn")),
			field(Number, "watts", "Heating power", unit("W"), refuse(0, 10_000_000, arithmetic), doubt(0, 100_000)),
			temperature("set_c", "Set-point", "set", doubt(fahrenheit(32), fahrenheit(95))),
			field(Flag, "on", "On"),
		},
		OneOf: []Group{
			{Keys: []string{"bins", "barn"}, What: "what is heated"},
			{Keys: []string{"watts", "set_c", "on"}, Many: true, What: "what was set"},
		},
		New: func() any { return new(Heat) },
	},
	{
		Name: "turn", Words: "Turning", Help: "A bed is turned or loosened, or feed is taken off its top.",
		Also: []string{"turned", "turning", "fluffed", "loosened", "fork", "took off"},
		Fields: []Field{
			bins(), field(Text, "what", "What was done", also("how")),
			field(Number, "taken_off_m", "Taken off the top", typed(qty.Length, "m", "taken_off"), above(0, 2, arithmetic), doubt(0.25*inch, 12*inch), also("feed taken off", "removed")),
		},
		New: func() any { return new(Turn) },
	},
	{
		Name: "reading", Words: "Reading", Help: "What a probe said, in a bin or a barn.",
		Also: []string{"read", "probe", "thermometer", "measurement", "measure", "temp"},
		Fields: []Field{
			bin(),
			field(Name, "barn", "Barn", of("barn")),
			temperature("temp_c", "Temperature", "temp", also("temperature"), doubt(fahrenheit(14), fahrenheit(165))),
			moisture("Moisture of the bed", doubt(0.3, 0.92)),
			field(Number, "oxygen_frac", "Oxygen", typed(qty.Percent, "fraction", "oxygen"), refuse(0, 1, arithmetic), doubt(0, 0.211)),
			field(Number, "ammonia_ppm", "Ammonia", unit("ppm"), refuse(0, 1_000_000, arithmetic), doubt(0, 500), also("ammonia", "nh3")),
			field(Number, "ec_ds_m", "Salts", unit("dS/m"), refuse(0, 200, physical), doubt(0, 20), also("ec", "salts", "conductivity")),
			field(Number, "ph", "pH", refuse(0, 14, physical), doubt(4, 10), also("ph")),
			field(Number, "depth_m", "Depth of the probe", typed(qty.Length, "m", "depth"), refuse(0, 5, arithmetic), doubt(0, 36*inch), also("at depth", "probe depth", "how deep")),
			field(Choice, "probe", "Probe", choices("dial", "logger", "other")),
			field(Text, "probe_id", "Name of the probe", also("logger", "sensor", "probe no")),
		},
		OneOf: []Group{
			{Keys: []string{"bin", "barn"}, What: "where the probe was"},
			{Keys: []string{"temp_c", "water_frac_wet", "oxygen_frac", "ammonia_ppm", "ec_ds_m", "ph"}, Many: true, What: "what the probe said"},
		},
		New: func() any { return new(Reading) },
	},
	{
		Name: "look", Words: "Look", Help: "What hand, eye and nose found; all of it may be left out.",
		Also: []string{"looked", "check", "checked", "inspection", "inspect"},
		Fields: []Field{
			bins(),
			field(Choice, "squeeze", "Squeeze of the hand", choices("dry", "crumbly", "few drops", "drips", "runs"), also("squeeze test", "wetness")),
			field(Choice, "feed_left", "Feed left", choices("gone", "some", "most"), also("food left", "leftovers")),
			field(Choice, "worms", "Worms", choices("few", "usual", "many")),
			field(Choice, "where", "Where they are", choices("spread", "top", "bottom", "sides", "lid"), also("where worms")),
			field(Text, "colour", "Colour", also("color")),
			field(Text, "crumb", "Crumb", also("texture")),
			field(Choice, "chips", "Chips left", choices("none", "some", "many")),
			field(Choice, "smell", "Smell", choices("none", "earth", "sour", "ammonia", "rotten"), also("odor", "odour")),
		},
		OneOf: []Group{{Keys: []string{"squeeze", "feed_left", "worms", "where", "colour", "crumb", "chips", "smell"}, Many: true, What: "what was seen"}},
		New:   func() any { return new(Look) },
	},
	{
		Name: "tend", Words: "Pile tended", Help: "A pile is turned, wetted, measured or covered.",
		Also: []string{"pile", "pile work", "turned pile", "windrow"},
		Fields: []Field{
			field(Name, "pile", "Pile", of("pile"), required, also("pile name", "heap")),
			field(Choice, "act", "What was done", required, choices("turned", "wetted", "measured", "covered"), also("how", "done")),
			field(Number, "water_kg", "Water added", typed(qty.Mass, "kg", "water"), ofWater, refuse(0, 1e6, arithmetic), doubt(0, 40_000)),
			temperature("temp_c", "Temperature of the pile", "temp", also("temperature"), doubt(fahrenheit(14), fahrenheit(180))),
			field(Number, "depth_m", "Depth of the thermometer", typed(qty.Length, "m", "depth"), refuse(0, 20, arithmetic), doubt(0, 120*inch)),
		},
		New: func() any { return new(Tend) },
	},
	{
		Name: "site", Words: "Weather", Help: "Low and high outside or in a barn, rain, lost power.",
		Also: []string{"weather", "outside", "barn temp", "power cut", "forecast"},
		Fields: []Field{
			field(Name, "place", "Place", of("place"), required, help("outside, or barn NAME."), also("where", "location")),
			temperature("low_c", "Low", "low", doubt(fahrenheit(-40), fahrenheit(100)), also("low", "min", "minimum", "min temp", "low temp")),
			temperature("high_c", "High", "high", doubt(fahrenheit(-20), fahrenheit(125)), also("high", "max", "maximum", "max temp", "high temp")),
			field(Number, "rain_mm", "Rain", unit("mm"), refuse(0, 2000, physical), doubt(0, 200), also("rain", "rainfall")),
			field(Number, "power_lost_hours", "Hours without power", unit("h"), refuse(0, 8784, arithmetic), doubt(0, 240)),
			field(Flag, "outlook", "Forecast", also("forecast")),
			field(Day, "day", "Day"),
		},
		OneOf: []Group{{Keys: []string{"low_c", "high_c", "rain_mm", "power_lost_hours"}, Many: true, What: "what was read"}},
		New:   func() any { return new(Site) },
	},
	{
		Name: "weigh", Words: "Weighing", Help: "A whole bin on the scale.",
		Also: []string{"weighed", "weighing", "weight", "scale"},
		Fields: []Field{
			bin(required),
			field(Number, "mass_kg", "Weight of the bin", typed(qty.Mass, "kg", "mass"), required, above(0, 50_000, arithmetic), doubt(50*pound, 4000*pound),
				also("weight", "mass", "how much", "amount")),
		},
		New: func() any { return new(Weigh) },
	},
	{
		Name: "depth", Words: "Depth of the bed", Help: "The measured height of beds.",
		Also: []string{"height", "bed depth", "bed height", "depth mark"},
		Fields: []Field{
			bins(),
			field(Number, "depth_m", "Depth of the bed", typed(qty.Length, "m", "depth"), required, refuse(0, 5, arithmetic), doubt(1*inch, 36*inch),
				also("how deep", "how much", "amount", "height")),
		},
		New: func() any { return new(Depth) },
	},
	{
		Name: "count", Words: "Worm count", Help: "A worm sample: what was sampled and what was in it.",
		Also: []string{"counted", "worm count", "sample"},
		Fields: []Field{
			bin(required),
			field(Number, "area_m2", "Area sampled", typed(qty.Area, "m2", "area"), above(0, 100, arithmetic), doubt(0.001, 4)),
			wetMass("mass_kg_wet", "Mass sampled", doubt(0.01, 50)),
			field(Number, "depth_m", "Depth sampled", typed(qty.Length, "m", "depth"), above(0, 5, arithmetic), doubt(0.5*inch, 36*inch)),
			field(Whole, "adults", "Adults", refuse(0, 1_000_000, arithmetic)),
			field(Whole, "juveniles", "Juveniles", refuse(0, 1_000_000, arithmetic), also("young")),
			field(Whole, "cocoons", "Cocoons", refuse(0, 1_000_000, arithmetic)),
			liveMass("worms_kg", "Mass of the worms", "worms", doubt(0, 20)),
		},
		OneOf: []Group{
			{Keys: []string{"area_m2", "mass_kg_wet"}, What: "how much was sampled"},
			{Keys: []string{"adults", "juveniles", "cocoons", "worms_kg"}, Many: true, What: "what was found"},
		},
		New: func() any { return new(Count) },
	},
	{
		Name: "sighting", Words: "Sighting", Help: "A pest, a smell, an escape or mould.",
		Also: []string{"seen", "pest", "pests", "problem", "saw"},
		Fields: []Field{
			bin(),
			field(Name, "pile", "Pile", of("pile")),
			field(Text, "place", "Place", also("where")),
			field(Text, "what", "What was seen", help("In your own words, when no sign says it."), also("seen", "pest", "note", "notes")),
			field(Choices, "signs", "Signs", choices(Signs...), help("All that fit.")),
			field(Choice, "severity", "How bad", choices("slight", "some", "bad"), also("how much")),
		},
		OneOf: []Group{
			{Keys: []string{"bin", "pile", "place"}, Many: true, What: "where it was seen"},
			{Keys: []string{"what", "signs"}, Many: true, What: "what was seen"},
		},
		New: func() any { return new(Sighting) },
	},
	{
		Name: "move", Words: "Bin moved", Help: "The truck carries a bin from slot to slot.",
		Also: []string{"moved", "truck"},
		Fields: []Field{
			bin(required),
			field(Slot, "from", "From"),
			field(Slot, "to", "To", required, help("BARN/ROW/STACK/LEVEL, or the name of a staging spot.")),
		},
		New: func() any { return new(Move) },
	},
	{
		Name: "harvest", Words: "Harvest", Help: "Castings come out of bins.",
		Also: []string{"harvested", "harvesting", "castings out"},
		Fields: []Field{
			bins(),
			field(Choice, "how", "How", choices("side feeding", "screening", "table", "whole")),
			wetMass("mass_kg_wet", "Castings, mass", doubt(1*pound, 40_000*pound), help("Of all the bins together."), also("how much", "amount", "weight", "castings")),
			volume("Castings, volume", doubt(0.01*yard3, 40*yard3), also("how much", "amount", "castings")),
			liveMass("worms_kg", "Worms got back", "worms", doubt(0, 500*pound)),
			field(Table, "worms_to", "Worms returned to", rows(
				field(Name, "bin", "Bin", of("bin"), required),
				liveMass("kg", "Worms", "mass", required, above(0, 100_000, arithmetic)),
			)),
			field(Name, "lot", "Lot", of("lot"), makes),
			field(Flag, "ends_bed", "The bin is empty now", also("emptied", "empty")),
		},
		OneOf: []Group{{Keys: []string{"mass_kg_wet", "volume_m3"}, None: true, Many: true, What: "how much came out"}},
		New:   func() any { return new(Harvest) },
	},
	{
		Name: "screen", Words: "Screening", Help: "A lot goes through the decks.",
		Also: []string{"screened", "screening", "sifted"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot"), required),
			field(Table, "decks", "Decks", rows(
				field(Number, "opening_mm", "Opening", typed(qty.Length, "mm", "opening"), required, above(0, 500, arithmetic), doubt(0.5, 100)),
				field(Number, "through_kg", "Passed", typed(qty.Mass, "kg", "through"), refuse(0, 1e7, arithmetic)),
				field(Number, "over_kg", "Kept back", typed(qty.Mass, "kg", "over"), refuse(0, 1e7, arithmetic)),
				field(Choice, "type", "Deck", choices("flat", "drum")),
				field(Number, "rate_frac", "Fed, of the usual speed", typed(qty.Percent, "fraction", "rate"), above(0, 20, arithmetic), doubt(0.1, 5)),
			)),
			moisture("Moisture of the lot", doubt(0.15, 0.85)),
			field(Name, "overs_pile", "Overs went onto pile", of("pile"), makes, help("They are feedstock again from then on. A new name begins a pile.")),
			field(Text, "overs_to", "Overs went elsewhere"),
		},
		New: func() any { return new(Screen) },
	},
	{
		Name: "cure", Words: "Curing", Help: "A lot is laid to cure.",
		Also:   []string{"cured", "curing"},
		Fields: []Field{field(Name, "lot", "Lot", of("lot"), required), field(Text, "place", "Place", also("where"))},
		New:    func() any { return new(Cure) },
	},
	{
		Name: "bag", Words: "Bagging", Help: "A lot is bagged.",
		Also: []string{"bagged", "bagging"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot"), required),
			field(Number, "size_m3", "Size of a bag", typed(qty.Volume, "m3", "size"), required, above(0, 10, arithmetic), doubt(0.0005, 2)),
			field(Whole, "number", "Bags", required, refuse(1, 1_000_000, arithmetic), doubt(1, 5000), also("bags", "how many")),
		},
		New: func() any { return new(Bag) },
	},
	{
		Name: "sell", Words: "Sale", Help: "Castings are sold.",
		Also: []string{"sold", "sale"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot"), required),
			field(Text, "customer", "Customer", also("buyer", "to")),
			volume("Volume sold", doubt(0.001, 400*yard3)),
			wetMass("mass_kg_wet", "Mass sold", doubt(0.5*pound, 200_000*pound)),
			field(Whole, "bags", "Bags sold", refuse(1, 1_000_000, arithmetic), doubt(1, 5000)),
			field(Number, "size_m3", "Size of a bag", typed(qty.Volume, "m3", "size"), above(0, 10, arithmetic), doubt(0.0005, 2), help("Where the lot was put into bags of several sizes.")),
			field(Number, "price", "Price", refuse(0, 1e8, arithmetic), help("For all of it.")),
			field(Text, "what", "Product", help("As the price list calls it."), also("product", "item")),
			field(Text, "order", "Order", help("The id of the order that it delivers.")),
			orderLine(), delivery(),
		},
		OneOf: []Group{{Keys: []string{"volume_m3", "mass_kg_wet", "bags"}, What: "how much was sold"}},
		New:   func() any { return new(Sell) },
	},
	{
		Name: "microscope", Words: "Microscope", Help: "Counts by field of view.",
		Also: []string{"microscopy", "slide"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot")),
			bin(),
			field(Text, "group", "What was counted"),
			field(Number, "objective_x", "Objective", above(0, 200, physical)),
			field(Number, "field_number_mm", "Field number of the eyepiece", unit("mm"), above(0, 60, physical), doubt(10, 30)),
			field(Number, "dilution", "Dilution", refuse(1, 1e9, arithmetic), help("Parts of the whole to one part of sample: 5 for one part in five, 1 when nothing was added.")),
			field(Number, "drop_ml", "Drop", unit("mL"), above(0, 10, physical), doubt(0.005, 0.2)),
			field(Numbers, "cover_mm", "Cover glass", unit("mm"), above(0, 100, physical)),
			field(Table, "fields", "Fields", rows(
				tally("count", "Count"),
				field(Number, "length_um", "Length", unit("µm"), refuse(0, 1e7, arithmetic)),
				field(Number, "diameter_um", "Diameter", unit("µm"), above(0, 1000, physical)),
				field(Whole, "intersections", "Crossings", refuse(0, 1_000_000, arithmetic)),
				tally("bacteria", "Bacteria"), tally("flagellates", "Flagellates"), tally("amoebae", "Amoebae"), tally("ciliates", "Ciliates"),
				tally("nematodes_bacteria", "Nematodes that feed on bacteria"), tally("nematodes_fungi", "Nematodes that feed on fungi"),
				tally("nematodes_plants", "Nematodes that feed on roots"), tally("nematodes_predators", "Nematodes that hunt"), tally("unknown", "Not known"),
			)),
			field(Text, "sub_sample", "Handful", help("Which handful of the lot the slide was made of: 1, 2, 3, or bin and depth. Two handfuls or more speak for the lot.")),
			field(Text, "slide", "Slide", help("Which slide of that handful. Somebody who counts the same slide again gives the same number.")),
			moisture("Moisture of what was looked at"),
			field(Number, "cell_length_um", "Length of the bacteria", unit("µm"), above(0, 1000, physical), doubt(0.2, 20)),
			field(Number, "cell_width_um", "Width of the bacteria", unit("µm"), above(0, 1000, physical), doubt(0.1, 5)),
			field(Number, "field_area_mm2", "Area of a field", unit("mm²"), above(0, 1000, physical), help("Measured with a stage micrometer; it stands for objective and field number.")),
			field(Number, "um_per_px", "Scale of the photo", unit("µm"), above(0, 10_000, physical), help("Of one point of the picture.")),
			field(Table, "traces", "Marks on the photo", rows(
				field(Text, "what", "What"),
				field(Text, "points", "Points"),
				field(Number, "length_um", "Length", unit("µm"), refuse(0, 1e7, arithmetic)),
			)),
		},
		OneOf: []Group{{Keys: []string{"lot", "bin"}, What: "what was looked at"}},
		New:   func() any { return new(Microscope) },
	},
	{
		Name: "trial", Words: "Trial", Help: "Bins are marked as matched sides of a comparison.",
		Also: []string{"experiment", "comparison"},
		Fields: []Field{
			field(Text, "name", "Name of the trial", required),
			field(Sides, "sides", "Sides", of("bin"), required),
			field(Text, "question", "Question"),
			field(Text, "what", "What differs"),
		},
		New: func() any { return new(Trial) },
	},
	{
		Name: "order", Words: "Order", Help: "Who wants what, and when.",
		Also: []string{"ordered"},
		Fields: []Field{
			field(Text, "customer", "Customer", required, also("buyer")),
			field(Text, "what", "What is wanted", also("product", "item", "description")),
			wantedNumber(also("qty", "quantity", "count", "bags", "pieces", "units")), wantedVolume(), wantedMass(),
			field(Day, "due", "Due", also("due date", "wanted by", "when", "ship date", "delivery date", "deliver by", "needed by")),
			field(Number, "price", "Price agreed", refuse(0, 1e8, arithmetic), help("For all of it; empty is by the price list."), also("total", "amount")),
			field(Text, "ref", "Their number", help("As the customer numbers the order."), also("po", "po number", "po no", "purchase order", "order number", "order no", "reference")),
			field(Table, "lines", "Products", help("Of an order of several products, in place of what is wanted and how much."), rows(
				field(Text, "what", "What is wanted", required),
				wantedNumber(), wantedVolume(), wantedMass(),
				field(Day, "due", "Due"),
				field(Number, "price", "Price agreed", refuse(0, 1e8, arithmetic)),
			)),
		},
		OneOf: []Group{
			{Keys: []string{"what", "lines"}, What: "what is wanted"},
			{Keys: []string{"number", "volume_m3", "mass_kg"}, None: true, What: "how much is wanted"},
		},
		New: func() any { return new(Order) },
	},
	{
		Name: "release", Words: "Release", Help: "A lot may be sold under a rule.",
		Also: []string{"released"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot"), required),
			field(Text, "rule", "Rule", required),
			field(Text, "by", "Decided by"),
			field(Table, "shown", "Evidence said by whoever signs", rows(
				field(Text, "key", "Evidence", required),
				field(Text, "what", "What shows it", required),
				field(Names, "entries", "Entries that show it", help("Their ids.")),
			)),
		},
		New: func() any { return new(Release) },
	},
	{
		Name: "hold", Words: "Hold", Help: "A lot or a pile must wait, or a bin rests until it is fed again.",
		Also: []string{"held", "on hold"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot")),
			field(Name, "pile", "Pile", of("pile")),
			bin(),
			field(Text, "why", "Why", required, also("reason", "note", "notes")),
		},
		OneOf: []Group{{Keys: []string{"lot", "pile", "bin"}, What: "what must wait"}},
		New:   func() any { return new(Hold) },
	},
	{
		Name: "setting", Words: "Setting", Help: "Something the farm says of itself: its name, zone, units, site, habits, people, barns.",
		Also: []string{"settings"},
		Fields: []Field{
			field(Text, "key", "Setting", required),
			field(Any, "value", "Value", required),
		},
		New: func() any { return new(Setting) },
	},
	{
		Name: "strike", Words: "Strike", Help: "Cancels an entry; both stay readable.",
		Also:   []string{"struck", "cancel", "cancelled"},
		Fields: []Field{field(Text, "why", "Why", required, also("reason"))},
		New:    func() any { return new(Strike) },
	},
	// From here on in the order in which kinds were added: an imported row's id
	// rests on the place of its kind (ADR 12).
	{
		Name: "truck check", Words: "Truck check", Help: "The look over a truck before its first lift of the day.",
		Also: []string{"forklift check", "fork truck check", "truck inspection", "daily check"},
		Fields: []Field{
			field(Text, "truck", "Truck", required, help("Its name or number."), also("forklift", "truck no")),
			field(Number, "hours", "Hours on its meter", unit("h"), refuse(0, 1_000_000, arithmetic), also("meter")),
			field(Choices, "wrong", "Not as it should be", choices(TruckParts...), help("Nothing ticked: all is in order."), also("faults", "defects")),
			field(Flag, "fit", "It may be used today", required, also("safe", "ok")),
		},
		New: func() any { return new(TruckCheck) },
	},
	{
		Name: "left", Words: "Left undone", Help: "Work of the round that was skipped or could not be done, with the reason.",
		Also: []string{"undone", "not done", "skipped", "could not"},
		Fields: []Field{
			field(Names, "bins", "Bins", of("bin"), help("Names as painted, separated by commas or spaces."), also("bin")),
			field(Name, "pile", "Pile", of("pile")),
			field(Choice, "act", "What was to be done", required, choices(RoundActs...), also("work", "task")),
			field(Choice, "how", "Skipped or could not", choices("skipped", "could not")),
			field(Text, "why", "Why", required, also("reason")),
			field(Choice, "step", "Step of a remedy", choices(Steps...)),
		},
		OneOf: []Group{{Keys: []string{"bins", "pile"}, What: "where it was left"}},
		New:   func() any { return new(Left) },
	},
	{
		Name: "answer", Words: "Answer", Help: "Whether bins were fed on a day on which nobody wrote it down, as somebody said when the round asked.",
		Also: []string{"answered"},
		Fields: []Field{
			bins(),
			field(Day, "day", "Day", required),
			field(Choice, "said", "What was said", required, choices("fed", "not fed", "not known")),
		},
		New: func() any { return new(Answer) },
	},
	{
		Name: "remedy", Words: "Remedy", Help: "What is to be done against a trouble in bins; its steps stand on the round.",
		Also: []string{"treatment", "cure for a bin"},
		Fields: []Field{
			bins(),
			field(Choice, "cause", "What it looks like", required, choices(Causes...), also("trouble")),
			field(Choices, "steps", "Steps", choices(Steps...), help("All that are to be done.")),
			field(Text, "sighting", "Sighting", help("The id of the entry that it began with.")),
		},
		New: func() any { return new(Remedy) },
	},
	{
		Name: "outcome", Words: "What became of a remedy", Help: "A step of a remedy that was done, a remedy that was given up, or whether it helped.",
		Also: []string{"remedy outcome", "did it help"},
		Fields: []Field{
			bins(),
			field(Choice, "cause", "What it looked like", required, choices(Causes...), also("trouble")),
			field(Choice, "said", "What was said", required, choices(outcomes...)),
			field(Choices, "steps", "Steps done", choices(Steps...)),
		},
		New: func() any { return new(Outcome) },
	},
	{
		Name: "join", Words: "Lots joined", Help: "Lots, or parts of them, are put together as one lot.",
		Also: []string{"joined", "lots blended", "blend of lots", "combined"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot"), makes, required, help("The lot that they become.")),
			field(Table, "parts", "Made of", required, rows(
				field(Name, "lot", "Lot", of("lot"), required),
				volume("Volume taken"),
				wetMass("mass_kg_wet", "Mass taken"),
			)),
		},
		New: func() any { return new(Join) },
	},
	{
		Name: "cancel order", Words: "Order cancelled", Help: "An order, or what is not delivered of it yet, is not wanted any more.",
		Also: []string{"order cancelled", "cancelled order", "order closed"},
		Fields: []Field{
			field(Text, "order", "Order", required, help("The id of the order.")),
			field(Whole, "line", "Product of the order", refuse(1, 1000, arithmetic), help("Its number in an order of several products; empty is all of them.")),
			field(Text, "why", "Why", required, also("reason")),
		},
		New: func() any { return new(CancelOrder) },
	},
	{
		Name: "worms sold", Words: "Live worms sold", Help: "Worms leave bins for a customer, by mass or as starter kits.",
		Also: []string{"sold worms", "worm sale", "kits sold"},
		Fields: []Field{
			bins(),
			liveMass("kg", "Worms taken", "mass", required, above(0, 100_000, arithmetic), doubt(0.05*pound, 500*pound), help("Live mass out of all these bins together."), also("worms", "mass", "weight", "how much", "amount")),
			field(Whole, "number", "Kits", refuse(1, 100_000, arithmetic), doubt(1, 2000), also("kits", "how many")),
			field(Text, "what", "Product", help("As the price list calls it."), also("product", "item")),
			field(Text, "customer", "Customer", also("buyer", "to")),
			field(Number, "price", "Price", refuse(0, 1e8, arithmetic), help("For all of it.")),
			field(Text, "order", "Order", help("The id of the order that it delivers.")),
			orderLine(), delivery(),
		},
		New: func() any { return new(WormsSold) },
	},
	{
		Name: "kept sample", Words: "Sample kept back", Help: "A sample of a lot is put by, to be looked at again when somebody asks.",
		Also: []string{"retained sample", "sample kept", "retain"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot"), required),
			field(Text, "sample", "Name on the sample", required, also("sample id", "sample no")),
			field(Text, "place", "Place", also("where")),
			wetMass("mass_kg_wet", "Mass", doubt(0.05, 20)),
			field(Day, "until", "Kept until"),
		},
		New: func() any { return new(KeptSample) },
	},
	{
		Name: "complaint", Words: "Complaint", Help: "What a customer finds amiss with a lot or with bags of it.",
		Also: []string{"complained", "returned goods", "claim"},
		Fields: []Field{
			field(Name, "lot", "Lot", of("lot"), help("As the label has it; leave it empty while nobody knows.")),
			field(Text, "bags", "Which bags", help("Their numbers or how many, as the customer says.")),
			field(Text, "customer", "Customer", also("buyer", "from")),
			field(Text, "what", "What is amiss", required, also("complaint", "problem")),
			field(Text, "done", "What was done about it", also("answer", "action")),
		},
		OneOf: []Group{{Keys: []string{"lot", "customer"}, Many: true, What: "which lot or which customer it is about"}},
		New:   func() any { return new(Complaint) },
	},
	{
		Name: "recall drill", Words: "Recall drill", Help: "How quickly it is found where something went, tried before it is needed.",
		Also: []string{"mock recall", "trace exercise"},
		Fields: []Field{
			field(Text, "of", "What was asked", required, help("As the page Trace calls it: lot 25-20, delivery hay 2026-05-03."), also("asked", "traced")),
			field(Number, "seconds", "Found in", unit("s"), refuse(0, 1e7, arithmetic), doubt(0, 86_400)),
			field(Whole, "bags", "Bags that can contain it", refuse(0, 1e7, arithmetic)),
			field(Whole, "customers", "Customers who have some", refuse(0, 1e6, arithmetic)),
			field(Text, "mend", "What to mend", help("What was missing or took long: a name, a day, a number of a bag.")),
		},
		New: func() any { return new(RecallDrill) },
	},
	{
		Name: "duty", Words: "Duty", Help: "Something that must be done by a day, once or again and again: a registration, a permit, the check of a truck or of a screen, a stocktake.",
		Also: []string{"duties", "deadline", "reminder", "renewal"},
		Fields: []Field{
			field(Text, "duty", "Duty", required, help("A name of its own. The same name again puts this in place of what was said before."), also("name", "task", "title")),
			field(Choice, "what", "What it is", required, choices(Duties...), also("type")),
			field(Day, "due", "Due", required, also("due date", "by", "deadline", "expires", "valid until")),
			field(Whole, "every", "Again every", refuse(1, 600, arithmetic), doubt(1, 120), help("Empty: once only."), also("repeats", "interval")),
			field(Choice, "period", "Weeks or months", choices("weeks", "months"), help("A year is 12 months.")),
			field(Number, "hours", "Hours it takes", unit("h"), refuse(0, 10_000, arithmetic), doubt(0, 200), help("They are taken from the hours of the crew when the year is planned.")),
		},
		New: func() any { return new(Duty) },
	},
	{
		Name: "duty done", Words: "Duty done", Help: "A duty was done; it is due again after its time.",
		Also: []string{"duty completed", "renewed"},
		Fields: []Field{
			field(Text, "duty", "Duty", required, help("As it was named."), also("name", "task", "title")),
			field(Number, "hours", "Hours it took", unit("h"), refuse(0, 10_000, arithmetic), doubt(0, 200)),
			field(Day, "next", "Due next", help("Empty: after its time."), also("next due", "valid until", "expires")),
			field(Flag, "over", "It is not due again"),
		},
		New: func() any { return new(DutyDone) },
	},
})

func withNotes(list []Kind) []Kind {
	for i := range list {
		if list[i].Name != "strike" && list[i].Name != "setting" {
			list[i].Fields = append(list[i].Fields, note())
		}
	}
	return list
}
