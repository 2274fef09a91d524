package words

var spanishMap = map[string]string{
	"map.plan": "%s visto desde arriba", "map.planhelp": "Visto desde arriba, en orden y sin escala. El número dice cuántas cajas de la pila están marcadas. Toque una fila para verla desde su pasillo.",
	"map.row": "Fila %s", "map.rowis": "Fila %s: %s, %s", "map.rowwarm": "Fila %s: %s", "map.spot": "%s %s", "map.doors": "Puertas: %s", "map.box": "%s, caja %s: %s",
	"map.quiet.one": "Se deja fuera %d fila, porque nada en ella se pide: %s.", "map.quiet.many": "Se dejan fuera %d filas, porque nada en ellas se pide: %s.",
	"map.warmkey": "El lugar más caliente de la caja", "map.under": "menos de %s", "map.over": "%s y más", "map.between": "%s a %s", "map.alarm": "puede pasar de %s",
	"map.acts": "Lo que necesita", "map.every": "Todo lo que haga falta", "map.actcount": "%s, %d",
	"map.open": "Abrir la caja", "map.back": "Volver al plano", "map.nobed": "No hay cama en ella.", "map.noround": "Todavía no se ha hecho ninguna ronda, así que no se aconseja nada.", "map.rests": "Descansa. Hoy no le pide nada.",
	"map.smaller": "Más chico", "map.larger": "Más grande", "map.size": "Tamaño del dibujo",
	"map.layout": "Cambiar la distribución", "map.newbarn": "Agregar un granero", "map.layoutof": "Distribución de %s", "map.layoutsay": "Las filas como están desde la primera pared hasta la última. Un lugar con caja se queda hasta que se mueva la caja.",
	"map.name": "nombre del granero", "map.namehelp": "Un nombre o un número, como Norte o 3.", "map.rownew": "Otra fila", "map.rowname": "nombre", "map.stacks": "pilas", "map.high": "cajas de alto", "map.before": "antes de esta fila", "map.aisle": "un pasillo", "map.against": "la fila anterior, espalda con espalda",
	"map.spots": "lugares de espera", "map.spotshelp": "Uno por línea: donde las cajas esperan fuera de las filas, como espera 1.", "map.doorsbox": "puertas", "map.doorshelp": "Con palabras, como dos del lado sur.", "map.save": "Guardar esta distribución",
	"map.changed": "Alguien cambió la distribución de %s después de que se abrió este formulario.", "map.changedtry": "Lo que usted escribió está abajo. Mírelo otra vez y guárdelo.",
	"map.noname": "El granero no tiene nombre.", "map.nonametry": "Escriba uno, como Norte.", "map.badname": "El nombre %q no se puede escribir en una etiqueta.", "map.badnametry": "Use hasta %d letras y cifras, sin barras, comas ni comillas.",
	"map.twice": "Ya hay un granero que se llama %s.", "map.twicetry": "Póngale otro nombre a este, o cambie la distribución de aquel.",
	"map.norow": "Una fila no tiene nombre.", "map.norowtry": "Escriba su número, o vacíe sus otras casillas para dejarla fuera.", "map.rowtwice": "Dos filas se llaman %s.", "map.rowtwicetry": "Dele a cada una su propio nombre.",
	"map.badcount": "El número de %s es %q.", "map.badcounttry": "Escriba un número entero del 1 al %d.", "map.manyspots": "Hay %d lugares de espera.", "map.manyspotstry": "Se pueden dibujar hasta %d.",
	"map.movefirst":     "Mueva primero lo que está ahí, o deje el lugar como está. No se ha cambiado nada.",
	"map.stray.row.one": "%d caja está en la fila %s, que esta distribución no tiene: %s.", "map.stray.row.many": "%d cajas están en la fila %s, que esta distribución no tiene: %s.",
	"map.stray.stack.one": "%d caja de la fila %s está más allá de la pila %d: %s.", "map.stray.stack.many": "%d cajas de la fila %s están más allá de la pila %d: %s.",
	"map.stray.level.one": "%d caja de la fila %s está más alta que %d cajas: %s.", "map.stray.level.many": "%d cajas de la fila %s están más altas que %d cajas: %s.",
	"map.stray.spot.one": "%d caja está en el lugar %s, que esta distribución no tiene: %s.", "map.stray.spot.many": "%d cajas están en el lugar %s, que esta distribución no tiene: %s.",
}
