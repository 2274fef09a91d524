package words

var spanishMixPage = map[string]string{
	"mixat.water_frac_wet.in": "Humedad suficiente: %s.", "mixat.water_frac_wet.below": "Demasiado seca: %s.", "mixat.water_frac_wet.above": "Demasiado mojada: %s.",
	"mixat.cn.in": "Carbono y nitrógeno van parejos: %s.", "mixat.cn.below": "Poco carbono para su nitrógeno: %s.", "mixat.cn.above": "Mucho carbono para su nitrógeno, por eso es lenta: %s.",
	"mixat.air_filled_frac.in": "Bastante suelta para que entre aire: %s.", "mixat.air_filled_frac.below": "Demasiado apretada para el aire: %s.", "mixat.air_filled_frac.above": "Tan suelta que se seca: %s.",
	"mixat.ec_ds_m.in": "Las sales son bastante bajas: %s.", "mixat.ec_ds_m.below": "Las sales son más bajas de lo pedido: %s.", "mixat.ec_ds_m.above": "Salada: %s.",
	"mixat.ammonia_n_mg_kg_dry.in": "El amoniaco es bastante bajo: %s.", "mixat.ammonia_n_mg_kg_dry.below": "El amoniaco es más bajo de lo pedido: %s.", "mixat.ammonia_n_mg_kg_dry.above": "Amoniaco que ahuyenta a las lombrices: %s.",
	"mixat.density_kg_m3_wet.in": "Bastante ligera: %s.", "mixat.density_kg_m3_wet.below": "Más ligera de lo pedido: %s.", "mixat.density_kg_m3_wet.above": "Demasiado pesada para respirar: %s.",
	"mixat.other": "%s: %s.", "mixat.unknown": "No se conoce: %s.",
	"mend.more.half": "Con medio cucharón más de %s queda en %s (como se quiere: %s).", "mend.more.one": "Con un cucharón más de %s queda en %s (como se quiere: %s).",
	"mend.less.half": "Con medio cucharón menos de %s queda en %s (como se quiere: %s).", "mend.less.one": "Con un cucharón menos de %s queda en %s (como se quiere: %s).",
	"mend.wetter": "Con %s más de agua queda en %s (como se quiere: %s).", "mend.drier": "Con %s menos de agua queda en %s (como se quiere: %s).",
	"mend.none":     "Ningún cucharón solo lo remedia sin echar a perder otra cosa. Buscar las partes cambia varias a la vez.",
	"mix.another":   "Otro montón",
	"mix.nosignal":  "Sin señal: las cuentas llegan cuando haya señal. Lo que puso se queda, y la tanda se puede anotar de todos modos; espera en este aparato.",
	"mix.batchwait": "Si se mezcla sin señal, lleva letras propias detrás del número, para que ninguna otra tanda tenga el mismo.",
}
