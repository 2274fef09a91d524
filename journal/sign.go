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
var RoundActs = []string{"open", "feed", "water", "cover", "warm", "look", "harvest", "split", "turn", "wet", "measure", "mend"}

// Causes are what may be behind a trouble, and Steps what may be done against it,
// as an entry names them. A test holds them together with package trouble's data.
var (
	Causes = []string{"no air", "overfed", "open feed", "dry", "heat", "ammonia", "cold", "protein", "salts", "meal", "hunters", "flatworm", "poison", "strangers", "else"}
	Steps  = []string{
		"stop feed", "lift sour", "loosen", "dry paper", "drain", "look again", "lime", "bait", "bury", "dry cover", "trap", "freeze", "water slow", "cover keep", "half off", "open lid", "wet paths", "thin next", "read again", "take off", "air out", "add carbon", "age feed", "warm wrap", "warm place", "thick feed", "warm water", "split out", "test salts", "leach", "blend down", "stop meal", "dry top", "lift top", "pick out", "mesh", "count worms", "pick flat", "salt outside", "keep apart", "fifty worms", "ask source", "hold pile", "light on", "wait days", "ask someone",
	}
)

// What became of a remedy: a step that was done, a remedy that was given up, and
// whether it helped.
var outcomes = []string{"done", "dropped", "gone", "better", "same", "worse"}
