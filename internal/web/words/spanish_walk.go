package words

var spanishWalk = map[string]string{
	"outbox.lookat": "Vea qué puede ser",
	"visit.title":   "Visitas de hoy con el montacargas: %d",
	"walk.title":    "Caminar la ronda", "walk.none": "Todavía no hay ronda que caminar.", "walk.pile": "Montón %s",
	"walk.over": "No queda nada abierto", "walk.oversay": "Cada parada de esta ronda está hecha o se dejó con su razón.",
	"walk.progress": "%d de %d paradas resueltas", "walk.minutes": "Hasta ahora tomó %s, sin las pausas. Ese trabajo se calculó en %s.",
	"walk.pace":     "%s: unos %s por caja aquí, según %d anotaciones. Antes de ellas se calculaba en %s.",
	"walk.open.one": "Queda %d parada abierta.", "walk.open.many": "Quedan %d paradas abiertas.",
	"walk.left": "Se dejó, con su razón", "walk.leftat": "%s se dejó %s por %s: %s", "walk.settled": "Se dejó. Vuelve mañana con su razón.",
	"walk.before": "La anterior", "walk.next": "La siguiente", "walk.list": "Toda la lista",
	"walk.how.skipped": "Saltarla", "walk.how.couldnot": "No se pudo", "walk.how.visit": "Dejar toda esta visita del montacargas: %d cajas",
	"walk.truck.one": "Está debajo de %d caja. El montacargas la baja primero y después la vuelve a poner.", "walk.truck.many": "Está debajo de %d cajas. El montacargas las baja primero, desde arriba, y después las vuelve a poner.",
	"walk.own": "Otra razón", "walk.leave": "Dejarla",
	"walk.nowhy":   "Nada dice por qué se dejó. Toque una razón, o escriba una.",
	"stop.settled": "Lo resolvió %[2]s, %[1]s.", "stop.settledby": "Esto lo resolvió %[2]s, %[1]s: %[3]s",
	"stop.settledtry":    "Si es el mismo trabajo, lo suyo no hace falta y se puede tirar. Si se hizo por segunda vez, diga que sí.",
	"stop.notwritten":    "%s Lo que usted marcó no se anotó.",
	"stop.notwrittenwhy": "%s Su razón no se anotó: %s",
	"walk.why.notime":    "no hubo tiempo", "walk.why.notneeded": "no hace falta, ya revisé", "walk.why.other": "lo hace otra persona",
	"walk.why.nofeed": "no hay comida mezclada", "walk.why.noreach": "no se alcanza", "walk.why.truck": "el montacargas está fuera de servicio", "walk.why.water": "no hay agua", "walk.why.unsafe": "no es seguro",
}
