"""Computes the check values of data/reference_computed_cases.json: worked cases
of layers, heat, air, water and sheds. Nothing but the standard library and
nothing of this program. Each value is also held against the six digits to which
it was worked out before, so that a slip on either side ends the run.

    python3 internal/published/computed/cases.py

rewrites the file beside it in data/. Inputs are illustrative; the numbers are
mathematics, not claims about nature.
"""
import json
import math
import os

HERE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "data")
checks = []


def held(value, known, digits=6):
    assert abs(value - known) <= 0.6 * 10 ** (math.floor(math.log10(abs(known))) - digits + 1), (value, known)
    return value


def check(ident, rows, rel=1e-6, abs_=0.0, why="closed form in double precision on both sides", figure=None, what=None, where="", unit=""):
    c = {"id": ident}
    if figure:
        c["figure"] = figure
    if what:
        c["what"] = what
    c.update({"where": where, "unit": unit, "role": "check", "tolerance": {"rel": rel, "abs": abs_, "why": why}, "rows": rows})
    checks.append(c)


def row(given, out, note=None, tolerance=None):
    r = {"in": given, "out": out}
    if note:
        r["note"] = note
    if tolerance:
        r["tolerance"] = tolerance
    return r


# What fills a layer: water 1000, organic matter 1600, ash 2500 kg/m3.
def fills(rho, w, v):
    solid = rho * (1 - w) * (v / 1600 + (1 - v) / 2500)
    water = rho * w / 1000
    return {"porosity_frac": 1 - solid, "air_filled_frac": 1 - solid - water, "water_frac_volume": water, "saturation_frac": water / (1 - solid),
            "capacity_j_m3k": rho * (w * 4186 + (1 - w) * 1480)}


def wettest(dry, v, air):
    """moisture of the wet mass that leaves so much air at a dry bulk density"""
    room = 1 - air - dry * (v / 1600 + (1 - v) / 2500)
    return room * 1000 / dry / (1 + room * 1000 / dry)


a, b = fills(600, 0.70, 0.80), fills(800, 0.75, 0.60)
held(a["air_filled_frac"], 0.4756), held(a["saturation_frac"], 0.4690, 4), held(a["capacity_j_m3k"], 2024520)
held(b["air_filled_frac"], 0.2930), held(b["saturation_frac"], 0.67189, 5), held(b["capacity_j_m3k"], 2807600)
check("1a, 1b", [row({"density_kg_m3_wet": r, "water_frac_wet": w, "volatile_frac_dry": v}, o) for (r, w, v), o in (((600, 0.70, 0.80), a), ((800, 0.75, 0.60), b))],
      rel=1e-9, figure="bed.layer", where="air, water and heat capacity of a layer")
rows = []
for dry, v, known in ((150, 0.85, 0.80297), (350, 0.45, 0.59980)):
    w = held(wettest(dry, v, 0.30), known, 5)
    rows.append(row({"density_kg_m3_wet": dry / (1 - w), "water_frac_wet": w, "volatile_frac_dry": v}, {"air_filled_frac": 0.30, "water_frac_volume": dry / (1 - w) * w / 1000},
                    "the moisture that leaves 30 % air"))
check("1c", rows, rel=1e-9, figure="bed.layer", where="the wettest layer that still breathes")
k = 0.42 * 0.60 + (1 - 0.8956) * 0.25 + 0.4756 * 0.026
held(k, 0.29047, 5)
check("1a, parallel bound", [row({"density_kg_m3_wet": 600, "water_frac_wet": 0.70, "volatile_frac_dry": 0.80}, {"conductivity_w_mk": k})], rel=0.02,
      why="worked out with 0.60 for water and 0.026 for air; the bed takes 0.59 and 0.025", figure="bed.layer", where="heat conductivity", unit="W/(m K)")
k = held(1 / (0.42 / 0.60 + 0.1044 / 0.25 + 0.4756 / 0.026), 0.051520, 5)
thin = [(0.42, 0.60), (0.1044, 0.25), (0.4756, 0.026)]
check("1a, series bound", [row({"layers": [{"thickness_m": d, "conductivity_w_mk": c} for d, c in thin], "top": {"temp_c": 1}, "bottom": {"temp_c": 0}, "hours": "steady"},
                               {"times[0].heat_out_bottom_w_m2": k})], figure="bed.heat_column", where="water, solids and air of a layer as three layers on end", unit="W/(m2 K)", rel=1e-9)

# Walls: films and boards in series; h ft2 F/Btu to m2 K/W.
R = 0.17611


def wall(films, thick, cond):
    return {"layers": [{"thickness_m": thick, "conductivity_w_mk": cond}], "top": {"u_w_m2k": 1 / (films[0] * R), "air_c": 10}, "bottom": {"u_w_m2k": 1 / (films[1] * R), "air_c": 0}, "hours": "steady", "cells": 100}


def through(films, thick, cond):
    return 1 / (sum(films) * R + thick / cond)


rows = []
for films, thick, cond, known, note in (
        ((0.68, 0.68), 0.019, 0.12, 2.5136, "plywood, air inside on both sides"), ((0.68, 0.68), 0.038, 0.115, 1.7546, "softwood"), ((0.68, 0.68), 0.0127, 0.5, 3.7749, "plastic sheet"),
        ((0.68, 0.17), 0.0127, 0.12, 3.91348, "plywood wall of a shed"), ((0.61, 0.17), 0.0008, 45.28, 7.2789, "metal roof of a shed, the sheet itself counted")):
    u = held(through(films, thick, cond), known, 6 if known == 3.91348 else 5)
    rows.append(row(wall(films, thick, cond), {"times[0].heat_out_bottom_w_m2": 10 * u}, note))
check("1d", rows, rel=1e-9, figure="bed.heat_column", where="heat through walls for 10 K", unit="W/m2")

# Under a cover: bed 24 C, shed 4 C, films of 0.11 on both sides.
rows = []
for thick, cond, known, note in ((0.003, 0.5, 14.2655, "plastic sheet 3 mm"), (0.017, 0.1, 18.3590, "bubble film of R 0.17")):
    r = thick / cond
    t = held(24 - 20 * 0.11 / (0.22 + r), known)
    rows.append(row({"layers": [{"thickness_m": thick, "conductivity_w_mk": cond}], "top": {"u_w_m2k": 1 / 0.11, "air_c": 24}, "bottom": {"u_w_m2k": 1 / 0.11, "air_c": 4}, "hours": "steady", "cells": 100},
                    {"times[0].surface_c": t}, note))
check("5e, underside", rows, rel=1e-9, figure="bed.heat_column", where="temperature of the underside of a cover", unit="C")


# Moist air: Hyland and Wexler 1983 over water, ideal gases.
def saturation(t):
    x = t + 273.15
    return math.exp(-5800.2206 / x + 1.3914993 - 4.8640239e-2 * x + 4.1764768e-5 * x**2 - 1.4452093e-8 * x**3 + 6.5459673 * math.log(x))


def dew(pv):
    lo, hi = 0.0, 60.0
    for _ in range(100):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if saturation(mid) < pv else (lo, mid)
    return (lo + hi) / 2


def ratio(t, rh):
    pv = rh * saturation(t)
    return 0.621945 * pv / (101325 - pv)


check("5e, dew point", [row({"temp_c": 24, "rh_frac": rh}, {"dew_point_c": held(dew(rh * saturation(24)), known)}, note)
                        for rh, known, note in ((0.9, 22.2577, "condenses under both covers"), (0.7, 18.1938, "not under bubble film"))], figure="air.state", where="air under the cover", unit="C")

# Worms breathe: 112.02 uL/(g h) at 10 C, Q10 1.93; 10 kg/m2; 14 MJ/kg.
rate = held(112.02 * 1.93, 216.2, 4)
dens = held(101325 * 0.0319988 / (8.314462618 * 293.15), 1.3302, 5)
gas = held(216.1986 * 1e-6 * dens * 10 * 1e3, 2.8759, 5)
micro = 0.3e-3 * 600 * 0.3 * 0.75 * 0.3 / 3600 * 14e6
held(micro, 47.25, 4)
check("2a", [row({"ul_g_h": 112.02, "measured_c": 10, "temp_c": 20, "q10": 1.93, "kg_m2": 10}, {"ul_g_h": 112.02 * 1.93, "oxygen_kg_m3": dens, "oxygen_g_m2_h": gas, "heat_w_m2": gas * 14e6 / 3600 / 1e3},
                 "a litter worm stands in; the temperature factor, the density and the heat are those of the bed")], rel=1e-4, why="the gas constant and the mass of oxygen are cut at the tenth digit",
      what="oxygen and heat of worms", where="worms on a square metre")

# Heat that dies away, nothing lost.
rows = []
for day, known in ((1, 9.8665), (3, 26.872), (7, 52.194)):
    rows.append(row({"heat_w_m3": 300, "dies_per_day": 0.1, "capacity_j_m3k": 2.5e6, "days": day}, {"rise_c": held(300 * 86400 / (2.5e6 * 0.1) * (1 - math.exp(-0.1 * day)), known, 5)}))
check("2c", rows, rel=1e-6, why="the heat of each hour is its mean, which is exact when nothing is lost", what="rise of a layer whose heat dies away, hour by hour through bed.heat_column", where="no loss", unit="C")
check("2b", [row({"layers": [{"thickness_m": 0.6, "conductivity_w_mk": 0.4, "capacity_j_m3k": 2.5e6, "heat_w_m3": 100, "temp_c": 0}], "top": {"closed": True}, "bottom": {"closed": True}, "hours": [24]},
                 {"times[0].mean_c": held(100 * 86400 / 2.5e6, 3.456)})], rel=1e-9, figure="bed.heat_column", where="nothing lost", unit="C")

# Heat of formulas at 13.9 MJ/kg of oxygen.
MASS = (12.011, 1.008, 15.999, 14.007)
rows = []
for atoms, known in (((6, 10, 5, 0), 16.46), ((295, 420, 186, 1), 19.58), ((5, 7, 2, 1), 19.66)):
    c, h, o, n = atoms
    need = (4 * c + h - 2 * o - 3 * n) / 4 * 2 * MASS[2] / sum(x * y for x, y in zip(atoms, MASS))
    rows.append(row({"c": c, "h": h, "o": o, "n": n, "mj_kg_oxygen": 13.9}, {"mj_kg": held(need * 13.9, known, 4)}))
check("2, heat of burning", rows, rel=1e-9, what="heat of a formula from the oxygen it needs", where="cellulose, wood, bacteria", unit="MJ/kg")

# Three pools: first loss as oxygen and as heat.
lost = held(0.20 * 0.10 + 0.50 * 0.015 + 0.18 * 0.0015, 0.02777)
check("3c", [row({"pools": [{"frac": 0.20, "rate_per_day": 0.10}, {"frac": 0.50, "rate_per_day": 0.015}, {"frac": 0.18, "rate_per_day": 0.0015}], "inert_frac": 0.12, "oxygen_kg_kg": 1.35, "mj_kg": 19},
                 {"oxygen_mg_g_h": held(lost * 1.35 * 1e3 / 24, 1.5621, 5), "heat_w_kg": held(lost * 19e6 / 86400, 6.1068, 5)})], rel=1e-9, what="oxygen and heat of the first loss of bed.decay", where="three pools and an inert share")

# Rothamsted's rates at 25 C: the curve is 1 for their year.
roth = held(47.91 / (1 + math.exp(106.06 / (25 + 18.27))), 3.80198)
rows = []
for per_year, known, half in ((10, 0.104092, 6.659), (0.3, 0.00312277, 222.0)):
    r = held(per_year / 365.25 * roth, known)
    rows.append(row({"rate_per_year": per_year, "temp_c": 25}, {"rate_per_day": r, "half_days": held(math.log(2) / r, half, 4)}))
check("3d", rows, rel=1e-9, what="rates of a year at which the curve is 1, at 25 C, by bed.temperature_response", where="decomposable and resistant plant matter", unit="1/day, day")

# C:N after losses.
check("3f", [row({"parts": [{"carbon_kg": 30 * 0.55, "nitrogen_kg": 0.85}]}, {"cn": held(30 * 0.55 / 0.85, 19.412, 5)}, "C:N 30; 45 % of the carbon and 15 % of the nitrogen lost")], rel=1e-9, figure="mix.carbon_to_nitrogen", where="C:N after losses")
check("3f, in a bed", [row({"days": 60, "temp_c": 25, "cn": 30}, {"cn_differs": 0, "carbon_lost": True})], rel=0, abs_=1e-6, why="the same balance, printed through the carbon and nitrogen that are left",
      what="C:N of a bed after it rotted, against (1 - carbon lost)/(1 - nitrogen lost)", where="a bed without worms")

# Ammonia between water and air.
rows = []
for t, kh, d in ((10, 127.666, 2966.3), (20, 77.1737, 1856.4), (30, 48.1267, 1197.2)):
    x = t + 273.15
    henry = held(math.exp(-8.09694 + 3917.507 / x - 0.00314 * x), kh)
    rows.append(row({"temp_c": t}, {"henry_mol_kg_atm": henry, "water_over_air": held(henry * 0.0820573661 * x, d, 5)}))
check("3, ammonia in water and air", rows, rel=1e-6, why="the gas constant in litres and atmospheres is cut at nine digits", what="solubility of ammonia, and what is in the water over what is in the air", where="Clegg and Brimblecombe 1989")

# Oxygen that runs out, from what the bed is made of.
rows = []
for our, rho, w, v, t, eps, phi, known in ((1.0, 600, 0.70, 0.80, 25, 0.30, 0.72, (4.0e-5, 1.23894e-6, 0.13028, 560.0, 5.2114e-6)), (0.05, 750, 0.68, 0.45, 20, 0.20, 0.70, (1.5e-6, 4.42226e-7, 0.40537, 21.0, None))):
    r = our * 1e-3 * rho * (1 - w) * v / 3600
    r = round(r, 9) if known[0] == 4.0e-5 else known[0]
    de = 1.820e-5 * ((t + 273.15) / 273.15) ** 1.81 * eps**2.5 / phi**0.5
    held(de, known[1])
    c0 = 0.2095 * 101325 * 0.0319988 / (8.314462618 * (t + 273.15))
    depth = held(math.sqrt(2 * de * c0 / r), known[2], 5)
    if known[4]:
        held(r * depth, known[4], 5)
    rows.append(row({"temp_c": t, "air_filled_frac": eps, "porosity_frac": phi, "uptake_kg_m3_s": r, "bed_m": 1.0}, {"effective_m2_s": de, "aerobic_depth_m": depth, "flux_kg_m2_s": r * depth, "heat_w_m3": r * 14e6}))
check("4a, 4b", rows, rel=3e-5, why="1000 cells", what="depth to which oxygen reaches: bed.diffusivity and oxygen of the air into bed.oxygen_column, heat by the bed's heat of oxygen", where="fresh and mature matter")

de, c0, r = 1e-6, 0.2739, 1e-5
delta = held(math.sqrt(2 * de * c0 / r), 0.234051)
held(2 * delta, 0.468103)
thick = 0.460
rows = [row({"layers": [{"thickness_m": 0.60, "diffusivity_m2_s": de, "uptake_kg_m3_s": r}], "surface_kg_m3": c0, "bottom": "open"}, {"aerobic_depth_m": delta, "flux_kg_m2_s": r * delta}, "thicker than 0.468 m: the middle is empty, each face feeds 0.234 m"),
        row({"layers": [{"thickness_m": thick, "diffusivity_m2_s": de, "uptake_kg_m3_s": r}], "surface_kg_m3": c0, "bottom": "open", "depths_m": [thick / 2]}, {"aerobic_depth_m": None, "at[0].frac_of_surface": 1 - r * thick**2 / (8 * de * c0)}, "thinner: aerobic throughout", {"rel": 3e-4, "abs": 0, "why": "little is left in the middle, the difference of two large numbers"})]
check("4c, both faces open", rows, rel=2e-5, why="1000 cells", figure="bed.oxygen_column", where="limit at twice the depth of one face", unit="m, kg/(m2 s)")


def fill(x, t):
    return 1 - sum(4 / math.pi * (-1) ** n / (2 * n + 1) * math.exp(-((2 * n + 1) * math.pi / 2) ** 2 * t) * math.cos((2 * n + 1) * math.pi / 2 * x) for n in range(60))


end = held(fill(0, 1e-6 / 0.3 * 3600 / 0.09), 0.105615)
check("4h", [row({"layers": [{"thickness_m": 0.3, "conductivity_w_mk": 1, "capacity_j_m3k": 3e5, "temp_c": 0}], "top": {"temp_c": 1}, "bottom": {"closed": True}, "hours": [1], "depths_m": [0.3]}, {"times[0].at[0].temp_c": end},
                 "oxygen in the pores follows the equation of heat: 1e-6 m2/s over 0.3 of air space, both times a million")], rel=2e-4, why="2000 cells and steps that grow from half a second", figure="bed.heat_column", where="filling of a closed column")
check("6d, first root", [row({"conductivity_w_mk": 0.4, "capacity_j_m3k": 2.5e6, "half_m": 0.3, "biot": 1}, {"root": 0.860333589})], rel=2e-5, why="2000 cells and steps of ten minutes", what="root of z tan z = Bi from how a slab cools at last, by bed.heat_column", where="Biot number 1")

rho = 101325 / (287.042 * 300)
ra = rho**2 * 1006 * 9.80665 / 300 * 1e-8 * 20 * 0.6 / (1.85e-5 * 0.4)
held(ra, 0.738, 3)
check("4j", [row({"permeability_m2": 1e-8, "warmer_c": 20, "depth_m": 0.6, "conductivity_w_mk": 0.4, "mean_c": 26.85}, {"rayleigh": ra, "critical": 4 * math.pi**2})], rel=1e-9, figure="bed.rayleigh", where="air at 300 K in a tight bed")
check("4, form between Penman and Millington-Quirk", [row({"temp_c": 20, "air_filled_frac": e, "porosity_frac": p, "model": "penman_mq"}, {"relative": 0.66 * p * (e / p) ** 2}) for e, p in ((0.3, 0.75), (0.4, 0.8), (0.1, 0.75))], rel=1e-9, figure="bed.diffusivity", where="0.66 porosity (air/porosity)^((12-m)/3), m = 6")

# Evaporation against the formula for pools of ASHRAE at 0.1 m/s.
pool = (saturation(20) - 0.7 * saturation(15)) / 1e3 * (0.089 + 0.0782 * 0.1) / (2501 - 2.361 * 20) * 86400
held(pool, 3.9034, 4)
check("5a, half a pool", [row({"surface_c": 20, "air_c": 15, "rh_frac": 0.7, "h_w_m2k": 3}, {"kg_m2_day": pool / 2})], rel=0.25, why="half the formula for pools is usual for still water that nobody stirs, common practice; films of air are known no better", figure="bed.evaporation", where="still wet surface", unit="kg/(m2 day)")

dp = held(saturation(25) - 0.7 * saturation(10), 2309.62)
check("5c", [row({"surface_c": 25, "air_c": 10, "rh_frac": 0.7, "h_w_m2k": 100, "cover": {"perm": p}}, {"kg_m2_day": held(p * 57.2135e-12 * dp * 86400, known / 1e3)}) for p, known in ((0.06, 0.685021), (10, 114.170))], rel=0.06,
      why="worked out from vapour pressures; ours takes vapour densities and the mean temperature, 4.4 % less over 15 K", figure="bed.evaporation", where="a cover alone", unit="kg/(m2 day)")

# Water of feed that rots.
dry, water = 10 * 0.3 * 0.8, 10 * 0.7 - 2.0 + 0.55 * 0.6
held(water, 5.33), held(water / (dry + water), 0.689521)
check("5f", [row({"parts": [{"mass_kg_wet": dry, "water_frac_wet": 0}], "water_kg": water}, {"mass_kg_dry": 2.4, "water_frac_wet": water / (dry + water)}, "10 kg at 70 % loses a fifth of its dry matter and 2 kg of water and gains 0.55 kg for each kg rotted")], rel=1e-9, figure="mix.blend_moisture", where="moisture of feed after a while")
check("5f, in a bed", [row({"days": 60, "temp_c": 25, "cn": 30}, {"water_differs": 0, "metabolic_kg_kg": 0.55})], rel=1e-6, abs_=1e-9, why="the same balance", what="water of a bed after it rotted, against water before less evaporated and drained and 0.55 kg for each kg rotted", where="a bed without worms", unit="of the water, kg/kg")
check("5h", [row({"in_c": 12, "in_rh": 0.7, "out_c": 25}, {"dry_air_kg": held(1 / (ratio(25, 1) - ratio(12, 0.7)), 71.451, 5)})], rel=1e-9, what="dry air that carries a kilogram of water, by air.state", where="in at 12 C and 70 %, out full at 25 C", unit="kg")

# A wave of a day.
alpha, omega = 1.6e-7, 2 * math.pi / 86400
d = held(math.sqrt(2 * alpha / omega), 0.0663349)
held(math.sqrt(2 * 5e-7 / omega), 0.117265)
want = {}
for i, (x, ka, kl) in enumerate(((0.1, 0.221462, 5.75824), (0.3, 0.0108617, 17.2747))):
    want[f"amplitude[{i}]"], want[f"lag_h[{i}]"] = held(math.exp(-x / d), ka), held(x / d / omega / 3600, kl)
check("6h", [row({"depths_m": [0.1, 0.3]}, want)], rel=0.006, why="cells of 8 mm, the face held at the mean of each quarter hour", what="wave of a day, followed through bed.heat_column", where="alpha 1.6e-7 m2/s", unit="of the face, h")


# A box through all six faces: product of three slabs.
def roots(bi, count):
    out = []
    for n in range(count):
        lo, hi = n * math.pi + 1e-12, n * math.pi + math.pi / 2 - 1e-12
        for _ in range(200):
            mid = (lo + hi) / 2
            lo, hi = (mid, hi) if mid * math.tan(mid) < bi else (lo, mid)
        out.append((lo + hi) / 2)
    return out


def slab(half, t, x):
    out = 0.0
    for z in roots(5 * half / 0.4, 60):
        a = 4 * math.sin(z) / (2 * z + math.sin(2 * z)) * math.exp(-z * z * alpha * t / half**2)
        out += a * (1 if x == 0 else math.sin(z) / z)
    return out


rows = []
for day, kc, km in ((1, 33.0019, 21.6917), (5, 13.0934, 8.20548), (10, 6.19843, 5.45775)):
    t = day * 86400
    rows.append(row({"days": day}, {"center_c": held(5 + 30 * slab(0.6, t, 0) ** 2 * slab(0.3, t, 0), kc), "mean_c": held(5 + 30 * slab(0.6, t, 1) ** 2 * slab(0.3, t, 1), km)}))
check("6i", rows, rel=1e-5, why="2000 cells and steps of ten minutes", what="a box of 1.2 x 1.2 x 0.6 m that cools on six sides: three runs of bed.heat_column multiplied", where="35 C in 5 C, film of 5 W/(m2 K)", unit="C")

m = math.sqrt(100 * 0.065 / 0.4)
held(math.pi / m, 0.779333)
rows = [row({"depth_m": l}, {"center_c": held((1 / math.cos(m * l / 2) - 1) / 0.065, known)}) for l, known in ((0.3, 3.31576), (0.4, 6.84019))]
check("6l", rows, rel=2e-4, why="heat is even in each of 100 layers", what="heat that rises with temperature: bed.heat_column again and again until it holds", where="100 W/m3, 6.5 % more for each kelvin", unit="K")
check("6l, without feedback", [row({"layers": [{"thickness_m": 0.3, "conductivity_w_mk": 0.4, "heat_w_m3": 100}], "top": {"temp_c": 0}, "bottom": {"temp_c": 0}, "hours": "steady"}, {"times[0].max_c": 2.8125})], rel=1e-6, figure="bed.heat_column", where="the same with even heat", unit="K")

# Sheds and a box.
walls, roof = 2 * 36 * 3.6, 288
uw, ur = through((0.68, 0.17), 0.0127, 0.12), through((0.61, 0.17), 0.0008, 45.28)
ua = held(walls * uw + roof * ur + 1.2 * 72, 3197.1, 5)
inf = held(1207.2 * 2 * 12 * 24 * 3.6 / 3600, 695.347, 6)
held(ua + inf, 3892.44), held(15 * (ua + inf) / 1e3, 58.387, 5), held(300 * 25 / (ua + inf), 1.927, 4)
shed = {"parts": [{"u_w_m2k": uw, "area_m2": walls}, {"u_w_m2k": ur, "area_m2": roof}], "slab": {"w_mk": 1.2, "perimeter_m": 72}, "volume_m3": 12 * 24 * 3.6, "air_changes_per_h": 2}
check("8a", [row(dict(shed, inside_c=10, outside_c=-5, bins=300, heat_w_per_bin=25), {"ua_w_k": ua, "infiltration_w_k": inf, "total_w_k": ua + inf, "load_w": 15 * (ua + inf), "floating_c": -5 + 7500 / (ua + inf)}, "3,197.1 W/K counts the metal sheet of the roof; without it it is 3,197.4")],
      rel=1e-9, figure="barn.heat", where="bare shed of 12 x 24 x 3.6 m")
check("8a, 8b, season", [row(dict(shed, degree_days_c=3000), {"mwh": held((ua + inf) * 24 * 3000 / 1e6, 280.26, 5)}),
                         row({"parts": [{"u_w_m2k": 1, "area_m2": 1500 * 1055.05585262 * 1.8 / 3600}], "volume_m3": 0, "air_changes_per_h": 0, "degree_days_c": 6000 / 1.8}, {"mwh": held(1500 * 24 * 6000 * 1055.05585262 / 3.6e9, 63.303, 5)}, "1500 Btu/(h F) over 6000 F day: 216 million Btu"),
                         ], rel=1e-9, what="heat of a season from the loss of barn.heat and degree days", where="sheds", unit="MWh")
check("8b, air", [row({"parts": [], "volume_m3": 36000 * 0.3048**3, "air_changes_per_h": 0.7, "outside_c": 0}, {"infiltration_w_k": 453.6 * 1055.05585262 * 1.8 / 3600}, "453.6 Btu/(h F): 0.018 Btu for each cubic foot and degree")], rel=2e-4, why="0.018 is rounded", figure="barn.heat", where="36,000 ft3, 0.7 changes an hour", unit="W/K")
u = held(1.44 * 4.5 + 2.4 * 2.51355, 12.5125)
check("8c", [row({"layers": [{"thickness_m": 0.5, "conductivity_w_mk": 1e7, "heat_w_m3": u * 8 / 0.72}], "top": {"u_w_m2k": 2.5, "air_c": 0}, "bottom": {"u_w_m2k": 2.0, "air_c": 0}, "sides": {"u_w_m2k": 2.51355, "perimeter_m": 4.8, "area_m2": 1.44, "air_c": 0}, "hours": "steady", "cells": 100}, {"times[0].mean_c": 8},
                 "12.5125 W/K of one box; 100.1 W, 139.0 W/m3, hold 8 K")], rel=1e-6, figure="bed.heat_column", where="one box as one lump", unit="K")
held(u * 8, 100.1, 4), held(u * 8 / 0.72, 139.0, 4)

# Finer grids: the error must fall to a quarter each time the cells are halved.
d1, q1, k1, d2, q2, k2 = 0.05, 800.0, 0.25, 0.45, 20.0, 0.45
total = q1 * d1 + q2 * d2
f = (total + 2 * (q1 * d1**2 / (2 * k1) + q1 * d1 * d2 / k2 + q2 * d2**2 / (2 * k2))) / (1 + 2 * (1 / 3 + d1 / k1 + d2 / k2))
t0 = 10 + f / 3
ti = t0 + f * d1 / k1 - q1 * d1**2 / (2 * k1)
mean = (d1 * (t0 + f * d1 / (2 * k1) - q1 * d1**2 / (6 * k1)) + d2 * (ti + (f - q1 * d1) * d2 / (2 * k2) - q2 * d2**2 / (6 * k2))) / (d1 + d2)
held(t0, 21.96721, 7), held(ti, 25.14754, 7)
heat = {"layers": [{"thickness_m": d1, "conductivity_w_mk": k1, "heat_w_m3": q1}, {"thickness_m": d2, "conductivity_w_mk": k2, "heat_w_m3": q2}], "top": {"u_w_m2k": 3, "air_c": 10}, "bottom": {"u_w_m2k": 2, "air_c": 10}, "hours": "steady"}
flux = 0.2739 * 1e-6 / 0.3 * 0.3 * math.sqrt(10) * math.tanh(0.3 * math.sqrt(10))
held(flux, 6.40245e-7)
oxygen = {"layers": [{"thickness_m": 0.3, "diffusivity_m2_s": 1e-6, "first_order_per_s": 1e-5}], "surface_kg_m3": 0.2739}
check("grid", [row({"figure": "bed.heat_column", "case": heat, "output": "times[0].mean_c", "exact": mean, "cells": [20, 40, 80, 160]}, {"falls[0]": 4, "falls[1]": 4, "falls[2]": 4}, "two layers with heat"),
               row({"figure": "bed.oxygen_column", "case": oxygen, "output": "flux_kg_m2_s", "exact": flux, "cells": [20, 40, 80, 160]}, {"falls[0]": 4, "falls[1]": 4, "falls[2]": 4}, "first order uptake")],
      rel=0.06, why="second order in the size of the cells, with a remainder of fourth", what="error over the error with cells half as large", where="20, 40, 80 and 160 cells", unit="-")

with open(os.path.join(HERE, "reference_computed_cases.json"), "w") as f:
    f.write(json.dumps({"source": {"title": "Worked cases of layers, heat, air, water and sheds, calculated independently", "how": "computed", "where": "internal/published/computed/cases.py",
                                   "note": "An independent program in another language, each value held against the digits of an earlier working; the inputs are illustrative."}})[:-1])
    f.write(',\n "checks": [\n')
    parts = []
    for c in checks:
        rows = c.pop("rows")
        parts.append("  " + json.dumps(c)[:-1] + ', "rows": [\n   ' + ",\n   ".join(json.dumps(r) for r in rows) + "]}")
    f.write(",\n".join(parts) + "\n ],\n")
    gap = {"check": "5a, half a pool", "row": {"in": {"surface_c": 20, "air_c": 15, "rh_frac": 0.7, "h_w_m2k": 3}, "out": {"kg_m2_day": pool}, "tolerance": {"rel": 0.25, "abs": 0, "why": "as the check"}},
           "differs": "The formula for swimming pools of ASHRAE at 0.1 m/s, the whole of it", "tried": "the formula is for moved water and people in it; a film of 3 W/(m2 K) is that of still air. Taking 6 would meet it and dry every bed twice as fast"}
    f.write(' "known_gap": [\n  ' + json.dumps(gap) + "\n ]}\n")
