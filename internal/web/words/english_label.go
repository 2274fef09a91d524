package words

// englishLabel is what is said of labels, and after one was read.
var englishLabel = map[string]string{
	"label.title": "Labels for the bins", "label.under": "A square code opens the bin on a phone's camera. The painted number stands on it large, for when the code is wet, torn or hidden.",
	"label.loopback": "%s can be opened on this machine only; a phone cannot follow it. Type the address under which phones reach the farm before you print.",
	"label.which":    "Which bins", "label.whichhelp": "all, barn North, row 3 except 3-4 top, or names such as B12, B14-B20.",
	"label.paper": "Paper", "label.paper.letter": "US Letter, six to cut", "label.paper.a4": "A4, six to cut", "label.paper.4x6": "4 × 6 in, one each",
	"label.base": "Address of the farm", "label.basehelp": "What phones in the barn type to get here. It is in the code for as long as the label lives: choose a name or number that stays.",
	"label.fetch": "Make the file to print", "label.sizes": "How large the codes come out", "label.module": "%s wide with its white border, each dot %s mm",
	"label.mm": "%s mm", "label.sizehelp": "A code reads from about ten times its width away (common practice, no source). A quarter of it may be dirty or torn. Print at full size, on paper that does not run; behind a clear sleeve it may get wet.",
	"label.parts": "Only some of them", "label.all": "All bins", "label.file": "labels-%s",
	"label.printed": "Where it stood on %s.", "label.help": "If the code does not read, type %s at %s", "label.place": "%s, %s",
	"label.nopaper": "No paper is chosen.", "label.nopapertry": "Choose one of the three.",
	"label.badbase": "%q is not an address that a phone can open.", "label.badbasetry": "Write it like http://192.168.1.20:8484 or https://barn.local.",
	"label.toolong": "The address is too long for a code.", "label.toolongtry": "Use a shorter name for the farm's machine.",
	"label.unprintable": "The name of bin %s has %s in it, which the fonts of printers lack.", "label.unprintabletry": "Leave that bin out, or write its label by hand.",

	"which.title": "Which bin?", "which.box": "Number painted on the bin", "which.help": "B17, 17, or where it stands: 3-4 top.", "which.open": "Open it", "which.empty": "Nothing is typed yet.",
	"which.this":       "Open bin %s of this farm",
	"which.othertitle": "This label is of another farm", "which.other": "It is for bin %s of the farm with the mark %s. This farm's mark is %s. Nothing was opened or written down.",
	"which.othertry":     "If the bin came here from there, take the old label off and print one of this farm.",
	"which.garbledtitle": "The address was not read whole", "which.garbled": "Its last letters do not fit the name. Scan it once more, or type the number painted on the bin.",
	"which.gonetitle": "There is no bin %s here", "which.gone": "The label is of this farm, and the journal knows no bin %s. An older copy of the farm may be open, or its building was struck.",
	"which.retiredtitle": "Bin %s was taken out of use", "which.retired": "Bin %s is marked as retired. Its history can still be read. If it is in use again, write down that it was repaired; if the label hangs on another bin, take it off.",
	"which.rebuilt": "It is in use again",

	"print.code": "Square code that opens %s", "print.codehelp": "A phone's camera opens the line beside each code, to tick it there.",
}
