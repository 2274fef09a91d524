package words

var spanishQuick = map[string]string{
	"scan.title": "Leer una etiqueta", "scan.picture": "Lo que ve la cámara", "scan.begin": "La cámara lee etiquetas donde hay programas de página y una cámara. El número pintado sirve en todas partes.",
	"scan.torch": "Linterna", "scan.byhand": "O el número pintado en la caja",
	"scan.nocamera": "Este aparato no da una cámara a la página. Escriba el número pintado en la caja.", "scan.notallowed": "La cámara no está permitida para esta página. Permítala en el navegador, o escriba el número pintado en la caja.",
	"scan.unknown":  "Según la lista de este aparato, {1} no es una sola caja. Escríbala como está pintada, por ejemplo B12, o donde está, por ejemplo 3-4 top.",
	"more.scannote": "Abrir una caja con su etiqueta o con su número pintado", "more.sheetnote": "Lo que la cuadrilla apuntó en una ronda impresa, solo con teclas",
	"scan.hold": "Mantenga la etiqueta en la imagen, a un brazo de distancia.", "scan.nolabel": "Este código no es la etiqueta de una caja. Dice: {1}", "scan.garbled": "La etiqueta no se leyó entera. No mueva el aparato, o escriba el número pintado en la caja.",
	"scan.other": "Esta etiqueta es de la caja {1} de otra granja, con la marca {2}. La marca de esta granja es {3}. No se abrió ni se anotó nada.", "scan.gone": "La etiqueta es de esta granja, y el diario no conoce ninguna caja {1}. Quizá se anuló su construcción.", "scan.retired": "La caja {1} se sacó de uso. Si se usa de nuevo, anote que se reparó; si la etiqueta cuelga de otra caja, quítela.",

	"sheet.title": "Pasar una hoja marcada", "sheet.none": "Todavía no se ha impreso ninguna ronda. Una hoja se puede pasar cuando se ha impreso desde aquí.", "sheet.gone": "La hoja %s ya no se guarda, o sus letras se leyeron mal. Se pueden pasar las últimas catorce rondas impresas.",
	"sheet.under": "Ronda del %s, hecha %s, hoja %s", "sheet.day": "%s, hecha %s", "sheet.days": "Otra hoja",
	"sheet.how":      "Las líneas están como en el papel. Teclas: 1 a 3 responden una línea, la tecla menos nombra cajas que se dejaron fuera, en una lista la cifra elige lo que está en ese lugar, 0 quita la respuesta, Intro sigue adelante.",
	"sheet.way.done": "%d hecho como impreso", "sheet.way.other": "%d otra cantidad", "sheet.way.not": "%d no hecho", "sheet.way.fed": "%d comió, como siempre", "sheet.way.notfed": "%d no comió", "sheet.way.notknown": "%d nadie lo sabe", "sheet.way.gone": "%d se acabó", "sheet.way.better": "%d mejor", "sheet.way.same": "%d igual", "sheet.way.worse": "%d peor",
	"sheet.over.remedy": "Lo que estaba aquí terminó: el remedio ya no está en marcha.", "sheet.way.none": "0 nada escrito",
	"sheet.but": "Todas menos estas cajas", "sheet.form": "Esta línea tiene su propio formulario", "sheet.look": "Revisarlo", "sheet.over": "Esto se va a anotar", "sheet.write": "Anotarlo todo", "sheet.change": "Cambiar algo",
	"sheet.at": "Línea %d: %s", "sheet.nothing": "Ninguna línea tiene respuesta todavía.", "sheet.nothingtry": "Responda las líneas que están marcadas en el papel.",
	"sheet.noway": "hay algo escrito, pero no si se hizo.", "sheet.nowaytry": "Elija hecho, otra cantidad o no hecho.", "sheet.notin": "la caja %s no está en esta línea.", "sheet.notintry": "La línea es para %s.",
	"sheet.allbut": "se dejan fuera todas las cajas de la línea.", "sheet.allbuttry": "Si no se hizo nada, responda no hecho.", "sheet.noamount": "falta la otra cantidad.", "sheet.noamounttry": "Escriba lo que la cuadrilla anotó junto a la línea.",
	"sheet.nolook": "nada dice qué se vio.", "sheet.nolooktry": "Elija al menos una de las opciones.", "sheet.notemp": "falta la temperatura.", "sheet.notemptry": "Escriba lo que dijo el termómetro.",
	"sheet.code":  "Hoja %s. El código la abre para pasarla.",
	"whole.title": "Toda una fila, pila o granero, menos algunas…", "whole.stack": "Pila %s-%d", "whole.under.one": "%d caja está marcada. Quite la marca si se dejó fuera.", "whole.under.many": "%d cajas están marcadas. Quite la marca de las que se dejaron fuera.",
}
