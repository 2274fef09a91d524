package words

// englishLabSheet is the words of tests, of laboratories' sheets and of what a rule
// asks in numbers.
var englishLabSheet = map[string]string{
	"test.less": "less than %s", "test.more": "more than %s", "test.none": "not detected", "test.many": "too many to count", "test.present": "present",

	"labsheet.title": "A laboratory's sheet", "labsheet.link": "Take in a laboratory's sheet", "labsheet.under": "CSV or XLSX, as the laboratory sent it. It may hold several lots; rows that name no sample are taken as of lot %s. Nothing is written down before you have seen how each cell is read.",
	"labsheet.file": "The sheet", "labsheet.try": "Look through it", "labsheet.found": "How %s is read", "labsheet.known": "A sheet with these headers was taken in before; its columns are read as they were then.",
	"labsheet.changed":   "What you changed was read again; look through it, then write it down.",
	"labsheet.samples":   "What was sampled",
	"labsheet.sample":    "Sample %s is of",
	"labsheet.nosample":  "Rows without a sample are of",
	"labsheet.choose":    "Choose",
	"labsheet.leave":     "Leave it out",
	"labsheet.tests":     "Tests that are not known",
	"labsheet.moretests": "What the other tests are read as",
	"labsheet.asread":    "As it is read below",
	"labsheet.asis":      "Keep it as it is",
	"labsheet.columns":   "What the columns are",
	"labsheet.more":      "How numbers, days and tests are meant",
	"labsheet.reread":    "Read it again",
	"labsheet.results":   "What would be written down",
	"labsheet.of":        "Of", "labsheet.stood": "As it stands on the sheet", "labsheet.kept": "As it is written down",
	"labsheet.already":  "It stands in the journal already.",
	"labsheet.save.one": "Write down %d result", "labsheet.save.many": "Write down %d results",
	"labsheet.saved.one": "%d result of the laboratory's sheet is written down.", "labsheet.saved.many": "%d results of the laboratory's sheet are written down.",
	"labsheet.tab": "Sheet of the workbook", "labsheet.day": "Day of rows that have none", "labsheet.dayhelp": "Today when it is left empty.",
	"labsheet.basis": "Rows that do not say are of", "labsheet.notsaid": "not said",
	"labsheet.comma": "A comma in a number", "labsheet.seen": "as the sheet shows", "labsheet.tenths": "stands before tenths", "labsheet.thousands": "parts thousands",
	"labsheet.dates": "3/4/2026 is", "labsheet.mdy": "4 March", "labsheet.dmy": "3 April", "labsheet.lab": "Laboratory",
	"labsheet.again": "What stands in the journal already", "labsheet.madeagain": "The tests were made again: write them down too",
	"labsheet.col.sample": "sample or lot", "labsheet.col.test": "name of the test", "labsheet.col.result": "result", "labsheet.col.sign": "sign, such as < or U", "labsheet.col.unit": "unit", "labsheet.col.basis": "wet or dry", "labsheet.col.limit": "limit of detection", "labsheet.col.method": "method", "labsheet.col.day": "day", "labsheet.col.laboratory": "laboratory", "labsheet.col.each": "a test by itself", "labsheet.col.out": "leave it out",

	"limit.mean": "mean of %s", "limit.geometric_mean": "geometric mean of %s", "limit.between": "%s from %s to %s", "limit.least": "%s at least %s", "limit.under": "%s under %s", "limit.most": "%s at most %s",
	"limit.dry": "%s, of dry matter", "limit.wet": "%s, of matter as it lies", "limit.within": "%s, in each of %d results", "limit.over": "%s, and at most %d of them over %s",
	"limit.analyte.cn_start": "carbon to nitrogen at the start", "limit.analyte.organic_matter": "organic matter", "limit.analyte.salts": "salts", "limit.analyte.water": "moisture", "limit.analyte.plastic": "plastic", "limit.analyte.bioassay_hurt": "hurt in the pea test",
}
