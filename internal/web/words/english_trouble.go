package words

// englishTrouble is what is said when something is amiss in a bin.
var englishTrouble = map[string]string{}
