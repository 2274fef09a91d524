package words

// englishQuick is what makes writing down quick: the camera, a whole row at
// once, and a ticked sheet typed back.
var englishQuick = map[string]string{
	"scan.title": "Scan a label", "scan.picture": "What the camera sees", "scan.begin": "The camera reads labels where scripts and a camera are at hand. The painted number works everywhere.",
	"scan.torch": "Torch", "scan.byhand": "Or the number painted on the bin",
	"scan.nocamera": "This device gives no camera to the page. Type the number painted on the bin.", "scan.notallowed": "The camera is not allowed for this page. Allow it in the browser, or type the number painted on the bin.",
	"scan.unknown":  "By the list on this device {1} is no one bin. Type it as it is painted, such as B12, or where it stands, such as 3-4 top.",
	"more.scannote": "Open a bin by its label or by its painted number", "more.sheetnote": "What the crew wrote on a printed round, by keys alone",
	"scan.hold": "Hold the label in the picture, an arm's length away.", "scan.nolabel": "This code is no label of a bin. It says: {1}", "scan.garbled": "The label was not read whole. Hold still, or type the number painted on the bin.",
	"scan.other": "This label is for bin {1} of another farm, with the mark {2}. This farm's mark is {3}. Nothing was opened or written down.", "scan.gone": "The label is of this farm, and the journal knows no bin {1}. Its building may have been struck.", "scan.retired": "Bin {1} was taken out of use. If it is in use again, write down that it was repaired; if the label hangs on another bin, take it off.",

	"sheet.title": "Type a ticked sheet back", "sheet.none": "No round has been printed yet. A sheet can be typed back once it is printed from here.", "sheet.gone": "The sheet %s is not kept any more, or its letters were read wrong. The last fourteen printed rounds can be typed back.",
	"sheet.under": "Round of %s, made %s, sheet %s", "sheet.day": "%s, made %s", "sheet.days": "Another sheet",
	"sheet.how":      "The lines stand as on the paper. Keys: 1 to 3 answer a line, the minus key names bins that were left out, in a list the figure of the entry chooses it, 0 takes the answer back, Enter goes on.",
	"sheet.way.done": "%d done as printed", "sheet.way.other": "%d another amount", "sheet.way.not": "%d not done", "sheet.way.fed": "%d fed, as usual", "sheet.way.notfed": "%d not fed", "sheet.way.notknown": "%d nobody knows", "sheet.way.gone": "%d it is gone", "sheet.way.better": "%d better", "sheet.way.same": "%d the same", "sheet.way.worse": "%d worse",
	"sheet.over.remedy": "What stood here is over: the remedy is no longer under way.", "sheet.way.none": "0 nothing written",
	"sheet.but": "All but these bins", "sheet.form": "This line has a form of its own", "sheet.look": "Look it over", "sheet.over": "This will be written down", "sheet.write": "Write it all down", "sheet.change": "Change something",
	"sheet.at": "Line %d: %s", "sheet.nothing": "No line has an answer yet.", "sheet.nothingtry": "Answer the lines that are ticked on the paper.",
	"sheet.noway": "something is typed, but not whether it was done.", "sheet.nowaytry": "Choose done, another amount or not done.", "sheet.notin": "bin %s is not in this line.", "sheet.notintry": "The line is for %s.",
	"sheet.allbut": "every bin of the line is left out.", "sheet.allbuttry": "If nothing of it was done, answer not done.", "sheet.noamount": "the other amount is missing.", "sheet.noamounttry": "Type what the crew wrote beside the line.",
	"sheet.nolook": "nothing says what was seen.", "sheet.nolooktry": "Choose at least one of the boxes.", "sheet.notemp": "the temperature is missing.", "sheet.notemptry": "Type what the thermometer said.",
	"sheet.code":  "Sheet %s. The code opens it to be typed back.",
	"whole.title": "A whole row, stack or barn, all except…", "whole.stack": "Stack %s-%d", "whole.under.one": "%d bin is ticked. Untick it where it was left out.", "whole.under.many": "%d bins are ticked. Untick those that were left out.",
}
