package words

// spanishRelease is the words of the page on which a lot is released.
var spanishRelease = map[string]string{
	"release.onrecord": "%s: %s", "release.heatlog.one": "Calor del montón %[2]s, %[1]d lectura, %[3]s a %[4]s", "release.heatlog.many": "Calor del montón %[2]s, %[1]d lecturas, %[3]s a %[4]s", "release.hold": "Retener este lote", "release.other": "Otra cosa", "release.norecord": "No hay nada de esta clase anotado. Diga qué lo muestra, o déjelo vacío.", "release.shownhelp": "Quien firma dice qué muestra cada punto que la bitácora no resuelve por sí sola.", "release.told": "Lote %s autorizado según: %s.", "release.would": "%s según: %s", "release.allowed": "Permitido", "release.recalled": "Se permitiría si el texto es como se recuerda", "release.missing": "Faltan pruebas", "release.blocked": "No pasa",
	"release.known.found": "%s, texto leído; hay que leerlo otra vez antes del %s.", "release.known.memory": "%s, texto solo recordado; hay que leerlo otra vez antes del %s.", "release.known.assumed": "%s, propia de la granja; hay que mirarla otra vez antes del %s.",
	"release.where.found": "%s; este texto se leyó.", "release.where.memory": "%s; este texto es como se recuerda.", "release.where.assumed": "%s; propia de la granja.",
	"release.either": "Aquí basta con una de varias.", "release.entry": "La anotación en que se apoya", "release.rules": "Compararlo con otra regla", "release.refuses": "Palabras que no deja poner en una etiqueta", "fault.norule": "No hay ninguna regla %s.",
}
