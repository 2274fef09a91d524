package round

import "wormyard/climate"

// Weather puts the coming days into phrases: today's low and high, and each
// frost or heat ahead.
func Weather(days []climate.Day, warnings []climate.Warning, today int64) []Phrase {
	var out []Phrase
	for _, d := range days {
		if d.Day == today {
			out = append(out, say("weather.now", temp(d.LowC), temp(d.HighC)))
		}
	}
	for _, w := range warnings {
		if w.Day < today || w.Day > today+5 {
			continue
		}
		key := "weather.frost"
		if w.Kind == "heat" {
			key = "weather.heat"
		}
		if w.Origin == climate.Normal {
			continue // a usual year's frost is no warning
		}
		out = append(out, say(key, day(w.Day*24+12), temp(w.TempC)))
	}
	return out
}
