package words

// spanishRulesPage is the words of the pages of rules and of the farm's own one.
var spanishRulesPage = map[string]string{
	"rules.title": "Reglas", "rules.under": "Contra qué se puede comparar un lote de humus antes de liberarlo.", "rules.link": "Todas las reglas, y la propia de la granja", "rules.note": "%s. %s", "rules.due": "Ya pasó el día de leerla otra vez: nada se libera según ella hasta que se haga.",
	"rules.jurisdiction": "Vale en", "rules.citation": "Dónde está", "rules.date": "Texto del", "rules.known": "Qué tan seguro", "rules.review": "Leerla otra vez antes del", "rules.text": "Su texto",
	"rules.known.found": "El texto se leyó.", "rules.known.memory": "El texto es como se recuerda y no se leyó.", "rules.known.assumed": "Elección propia de la granja.",
	"rules.where.found": "%s; leído.", "rules.where.memory": "%s; como se recuerda.", "rules.where.assumed": "%s.",
	"rules.asks": "Pide todo esto", "rules.either": "Y una de estas cosas", "rules.animal": "%s (solo si entró materia animal)", "rules.allows": "Palabras que una etiqueta puede usar según ella",
	"house.title": "La regla propia de la granja", "house.change": "Cambiarla", "house.under": "Un lote que cumple cada renglón se puede liberar. Un resultado que falta cuenta como no cumplido.", "house.history": "Cambios", "house.asitcame": "Nunca se cambió: está como vino con el programa.",
	"house.name": "Nombre de la regla", "house.applies": "Para qué lotes", "house.review": "Mirarla otra vez antes del", "house.reviewhelp": "Después de ese día nada se libera según ella hasta que alguien la haya mirado.",
	"house.limits": "Límites", "house.limit": "Límite %d", "house.limitof": "Límite %d: %s", "house.addlimit": "Añadir un límite", "house.drop": "Quitar esta fila",
	"house.analyte": "Análisis o cifra", "house.bound": "Tiene que ser", "house.most": "como mucho", "house.lower": "menos de", "house.least": "al menos", "house.between": "de … a", "house.bar": "Límite", "house.top": "A", "house.tophelp": "Solo con: de … a.",
	"house.unit": "Unidad", "house.unithelp": "Como mg/kg, MPN/g, MPN/4 g, CFU/g, dS/m, %", "house.basis": "De", "house.basis.none": "no se dice", "house.basis.dry": "materia seca", "house.basis.wet": "materia tal como está", "house.only": "Se pide a", "house.every": "todos los lotes", "house.animal": "con materia animal",
	"house.samples": "Resultados que se quieren", "house.of": "Se compara", "house.of.each": "cada resultado", "house.of.mean": "su media", "house.of.geometric_mean": "su media geométrica", "house.over": "Cuántos pueden pasar", "house.within": "de este nivel", "house.either": "Una de varias: una palabra para el grupo", "house.eitherhelp": "De los renglones con la misma palabra basta uno.", "house.where": "Por qué, o de dónde", "house.note": "Nota",
	"house.needs": "Pruebas", "house.need": "Prueba %d", "house.heat": "Prueba %d: calor de un montón", "house.addneed": "Añadir una prueba", "house.addheat": "Añadir calor de un montón", "house.what": "Qué hay que mostrar", "house.own": "Otra cosa, en sus palabras", "house.say": "En sus palabras", "house.sayhelp": "Vacío toma las palabras de arriba.", "house.try": "Qué hacer cuando falta",
	"house.hot": "Al menos tan caliente", "house.days": "Durante cuántos días", "house.turns": "Volteado mientras tanto, veces", "house.turnshelp": "Vacío: los días son seguidos, y no hace falta voltearlo.",
	"house.words": "Palabras", "house.wordshelp": "Una por línea, en el idioma de la etiqueta.",
	"house.noanalyte": "Límite %d: \"%s\" no es un análisis ni una cifra que se conozca.", "house.near": "¿Quiso decir %s?", "house.noanalytetry": "Escriba uno como %s; la lista bajo la casilla los tiene todos.", "house.empty": "El límite %d no dice de qué trata.", "house.notop": "Al límite %d le falta el extremo alto.", "house.notoptry": "Escriba el número mayor en la casilla A, o elija al menos.",
	"house.nosay": "La prueba %d no dice qué hay que mostrar.", "house.nosaytry": "Dígalo en pocas palabras, por ejemplo: olido y palpado por el dueño.", "house.nohot": "La prueba %d no dice qué tan caliente, entre 30 y 90 °C.", "house.nohottry": "Escríbalo como %s.", "house.nodays": "La prueba %d no dice durante cuántos días, hasta un año.", "house.nodaystry": "Escriba 3, o 0.5 para medio día.",
	"drill.title": "Esto fue un ensayo", "drill.write": "Anotarlo como ensayo de retiro", "drill.mend": "Qué hay que arreglar", "drill.mendhelp": "Lo que faltaba o tardó. Puede quedar vacío.", "drill.list": "Retiros ensayados", "drill.when": "%s, por %s",
	"drill.of": "retiro de %s", "drill.found": "%s: %s, %s", "drill.in": "%s, en %s", "drill.seconds": "%s segundos",
	"more.rulesnote": "contra qué se compara un lote, y la regla propia de la granja",
}
