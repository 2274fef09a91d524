package words

// spanishLabSheet is the words of tests, of laboratories' sheets and of what a rule
// asks in numbers.
var spanishLabSheet = map[string]string{
	"test.less": "menos de %s", "test.more": "más de %s", "test.none": "no detectado", "test.many": "demasiado para contar", "test.present": "presente",

	"labsheet.title": "Una hoja de laboratorio", "labsheet.link": "Cargar una hoja de laboratorio", "labsheet.under": "CSV o XLSX, tal como la mandó el laboratorio. Puede traer varios lotes; las filas sin muestra se toman como del lote %s. Nada se anota antes de que vea cómo se lee cada casilla.",
	"labsheet.file": "La hoja", "labsheet.try": "Revisarla", "labsheet.found": "Cómo se lee %s", "labsheet.known": "Ya se cargó antes una hoja con estos encabezados; sus columnas se leen como entonces.",
	"labsheet.changed":   "Lo que cambió se leyó otra vez; revíselo y después anótelo.",
	"labsheet.samples":   "De qué son las muestras",
	"labsheet.sample":    "La muestra %s es de",
	"labsheet.nosample":  "Las filas sin muestra son de",
	"labsheet.choose":    "Escoja",
	"labsheet.leave":     "Dejar fuera",
	"labsheet.tests":     "Análisis que no se conocen",
	"labsheet.moretests": "Cómo se leen los demás análisis",
	"labsheet.asread":    "Como se lee abajo",
	"labsheet.asis":      "Guardarlo como viene",
	"labsheet.columns":   "Qué son las columnas",
	"labsheet.more":      "Qué quieren decir números, fechas y análisis",
	"labsheet.reread":    "Leerla otra vez",
	"labsheet.results":   "Lo que se anotaría",
	"labsheet.of":        "De", "labsheet.stood": "Como está en la hoja", "labsheet.kept": "Como se anota",
	"labsheet.already":  "Ya está en la bitácora.",
	"labsheet.save.one": "Anotar %d resultado", "labsheet.save.many": "Anotar %d resultados",
	"labsheet.saved.one": "Se anotó %d resultado de la hoja del laboratorio.", "labsheet.saved.many": "Se anotaron %d resultados de la hoja del laboratorio.",
	"labsheet.tab": "Hoja del libro", "labsheet.day": "Día de las filas que no lo traen", "labsheet.dayhelp": "Hoy, si se deja vacío.",
	"labsheet.basis": "Las filas que no lo dicen son de", "labsheet.notsaid": "no se dice",
	"labsheet.comma": "Una coma en un número", "labsheet.seen": "como muestra la hoja", "labsheet.tenths": "va antes de los décimos", "labsheet.thousands": "separa miles",
	"labsheet.dates": "3/4/2026 es", "labsheet.mdy": "4 de marzo", "labsheet.dmy": "3 de abril", "labsheet.lab": "Laboratorio",
	"labsheet.again": "Lo que ya está en la bitácora", "labsheet.madeagain": "Los análisis se hicieron otra vez: anotarlos también",
	"labsheet.col.sample": "muestra o lote", "labsheet.col.test": "nombre del análisis", "labsheet.col.result": "resultado", "labsheet.col.sign": "signo, como < o U", "labsheet.col.unit": "unidad", "labsheet.col.basis": "húmedo o seco", "labsheet.col.limit": "límite de detección", "labsheet.col.method": "método", "labsheet.col.day": "día", "labsheet.col.laboratory": "laboratorio", "labsheet.col.each": "un análisis por sí misma", "labsheet.col.out": "dejar fuera",

	"limit.mean": "media de %s", "limit.geometric_mean": "media geométrica de %s", "limit.between": "%s de %s a %s", "limit.least": "%s al menos %s", "limit.under": "%s menos de %s", "limit.most": "%s como mucho %s",
	"limit.dry": "%s, de materia seca", "limit.wet": "%s, de materia tal como está", "limit.within": "%s, en cada uno de %d resultados", "limit.over": "%s, y como mucho %d de ellos sobre %s",
	"limit.analyte.cn_start": "carbono a nitrógeno al inicio", "limit.analyte.organic_matter": "materia orgánica", "limit.analyte.salts": "sales", "limit.analyte.water": "humedad", "limit.analyte.plastic": "plástico", "limit.analyte.bioassay_hurt": "daño en la prueba de frijol y chícharo",
}
