package words

// englishMixPage is where a mix stands, what would mend it, and how a batch is
// mixed without signal.
var englishMixPage = map[string]string{
	"mixat.water_frac_wet.in": "Wet enough: %s.", "mixat.water_frac_wet.below": "Too dry: %s.", "mixat.water_frac_wet.above": "Too wet: %s.",
	"mixat.cn.in": "Carbon and nitrogen are in step: %s.", "mixat.cn.below": "Little carbon for its nitrogen: %s.", "mixat.cn.above": "Much carbon for its nitrogen, so it is slow: %s.",
	"mixat.air_filled_frac.in": "Open enough for air: %s.", "mixat.air_filled_frac.below": "Too tight for air: %s.", "mixat.air_filled_frac.above": "So open that it dries out: %s.",
	"mixat.ec_ds_m.in": "Salts are low enough: %s.", "mixat.ec_ds_m.below": "Salts are lower than asked for: %s.", "mixat.ec_ds_m.above": "Salty: %s.",
	"mixat.ammonia_n_mg_kg_dry.in": "Ammonia is low enough: %s.", "mixat.ammonia_n_mg_kg_dry.below": "Ammonia is lower than asked for: %s.", "mixat.ammonia_n_mg_kg_dry.above": "Ammonia that drives worms off: %s.",
	"mixat.density_kg_m3_wet.in": "Light enough: %s.", "mixat.density_kg_m3_wet.below": "Lighter than asked for: %s.", "mixat.density_kg_m3_wet.above": "Too heavy to breathe: %s.",
	"mixat.other": "%s: %s.", "mixat.unknown": "%s is not known.",
	"mend.more.half": "Half a bucket more of %s makes it %s (as wanted: %s).", "mend.more.one": "A bucket more of %s makes it %s (as wanted: %s).",
	"mend.less.half": "Half a bucket less of %s makes it %s (as wanted: %s).", "mend.less.one": "A bucket less of %s makes it %s (as wanted: %s).",
	"mend.wetter": "%s more of water makes it %s (as wanted: %s).", "mend.drier": "%s less of water makes it %s (as wanted: %s).",
	"mend.none":     "No single bucket mends it without spoiling something else. Find the parts changes several at once.",
	"mix.another":   "Another pile",
	"mix.nosignal":  "No signal: the sums come when there is signal. What you set stays, and the batch can be written down all the same; it waits on this device.",
	"mix.batchwait": "Mixed without signal, it gets letters of its own behind the number, so that no other batch has the same.",
}
