package journal

// Signs are what may be ticked on a sighting. Package trouble's data says what
// each speaks for; a test holds the two together.
var Signs = []string{
	"sour smell", "ammonia smell", "rotten smell", "bed cold", "bed hot", "bed dry", "bed wet",
	"worms on the lid", "worms at the sides", "worms deep", "few worms", "worms beaded", "worms bitten", "worms limp",
	"pale mites", "red mites", "mite dust", "fruit flies", "gnats", "springtails", "pot worms", "ants", "centipedes or moles", "flatworm", "mould",
	"feed not eaten", "feed open", "meal or grain on top", "fresh manure",
}

// TruckParts are what is looked over before a truck's first lift: first with the
// key off, then with it running. Data in internal/source says where each is
// asked for; a test holds the two together.
var TruckParts = []string{
	"capacity plate", "attachment", "leaks", "tires", "forks", "mast and chains", "overhead guard", "load backrest", "seat and belt", "battery or fuel", "oil and dirt",
	"brakes", "parking brake", "steering", "lift and tilt", "horn", "lights and alarm", "exhaust",
}

// RoundActs are the works that a round asks for and that may be left undone. A
// test holds them together with package round.
var RoundActs = []string{"open", "feed", "water", "cover", "warm", "look", "harvest", "split", "turn", "wet", "measure"}
