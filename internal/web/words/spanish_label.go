package words

var spanishLabel = map[string]string{
	"label.title": "Etiquetas para las cajas", "label.under": "Un código cuadrado abre la caja en la cámara del teléfono. El número pintado va en grande, para cuando el código está mojado, roto o tapado.",
	"label.loopback": "%s solo se puede abrir en esta máquina; un teléfono no puede seguirla. Antes de imprimir, escriba la dirección con la que los teléfonos llegan a la granja.",
	"label.which":    "Qué cajas", "label.whichhelp": "all (todas), barn North (granero), row 3 except 3-4 top (fila 3 menos una), o nombres como B12, B14-B20.",
	"label.paper": "Papel", "label.paper.letter": "Carta, seis para cortar", "label.paper.a4": "A4, seis para cortar", "label.paper.4x6": "4 × 6 in, una por una",
	"label.base": "Dirección de la granja", "label.basehelp": "Lo que escriben los teléfonos del granero para llegar aquí. Queda en el código mientras viva la etiqueta: escoja un nombre o un número que no cambie.",
	"label.fetch": "Hacer el archivo para imprimir", "label.sizes": "De qué tamaño salen los códigos", "label.module": "%s de ancho con su borde blanco, cada punto %s mm",
	"label.mm": "%s mm", "label.sizehelp": "Un código se lee desde unas diez veces su ancho (práctica común, sin fuente). Una cuarta parte puede estar sucia o rota. Imprima a tamaño completo, en papel que no se corra; detrás de una funda transparente se puede mojar.",
	"label.parts": "Solo algunas", "label.all": "Todas las cajas", "label.file": "etiquetas-%s",
	"label.printed": "Donde estaba el %s.", "label.help": "Si el código no se lee, escriba %s en %s", "label.place": "%s, %s",
	"label.nopaper": "No se escogió papel.", "label.nopapertry": "Escoja uno de los tres.",
	"label.badbase": "%q no es una dirección que un teléfono pueda abrir.", "label.badbasetry": "Escríbala así: http://192.168.1.20:8484 o https://barn.local.",
	"label.toolong": "La dirección es demasiado larga para un código.", "label.toolongtry": "Use un nombre más corto para la máquina de la granja.",
	"label.unprintable": "El nombre de la caja %s lleva %s, que no está en las letras de las impresoras.", "label.unprintabletry": "Deje fuera esa caja, o escriba su etiqueta a mano.",

	"which.title": "¿Cuál caja?", "which.box": "Número pintado en la caja", "which.help": "B17, 17, o donde está: 3-4 top (la de arriba).", "which.open": "Abrirla", "which.empty": "Todavía no se ha escrito nada.",
	"which.this":       "Abrir la caja %s de esta granja",
	"which.othertitle": "Esta etiqueta es de otra granja", "which.other": "Es para la caja %s de la granja con la marca %s. La marca de esta granja es %s. No se abrió ni se anotó nada.",
	"which.othertry":     "Si la caja vino de allá, quite la etiqueta vieja e imprima una de esta granja.",
	"which.garbledtitle": "La dirección no se leyó entera", "which.garbled": "Sus últimas letras no van con el nombre. Escanéela una vez más, o escriba el número pintado en la caja.",
	"which.gonetitle": "Aquí no hay una caja %s", "which.gone": "La etiqueta es de esta granja, y la bitácora no conoce una caja %s. Puede que esté abierta una copia más vieja de la granja, o que se haya tachado su construcción.",
	"which.retiredtitle": "La caja %s se sacó de uso", "which.retired": "La caja %s está marcada como retirada. Su historia se puede seguir leyendo. Si está en uso otra vez, anote que se reparó; si la etiqueta cuelga de otra caja, quítela.",
	"which.rebuilt": "Está en uso otra vez",

	"print.code": "Código cuadrado que abre %s", "print.codehelp": "La cámara de un teléfono abre el renglón junto a cada código, para marcarlo ahí.",
}
