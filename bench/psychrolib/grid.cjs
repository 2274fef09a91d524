// Prints states of moist air as the package psychrolib computes them.
const p = require('psychrolib')
p.SetUnitSystem(p.SI)
const rows = []
for (const pressure of [101325, 95000, 84000]) {
  for (let t = -20; t <= 60; t += 5) {
    for (const rh of [0.1, 0.35, 0.6, 0.85, 1]) {
      const [ratio, wet, dew, vapour, enthalpy, volume] = p.CalcPsychrometricsFromRelHum(t, rh, pressure)
      rows.push({ temp_c: t, pressure_pa: pressure, rh_frac: rh, humidity_ratio: ratio, wet_bulb_c: wet, dew_point_c: dew,
        vapour_pa: vapour, enthalpy_kj_kg: enthalpy / 1000, volume_m3_kg: volume, saturation_pa: p.GetSatVapPres(t) })
    }
  }
}
console.log(JSON.stringify(rows))
