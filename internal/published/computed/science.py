"""Computes the check values of data/reference_computed_*.json from the printed
equations, with nothing but the standard library and nothing of this program.

    python3 internal/published/computed/science.py

rewrites the files beside it in data/. Inputs are illustrative; the numbers are
exact mathematics, not claims about nature.
"""
import json
import math
import os

HERE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "data")


def check(ident, figure, where, unit, rows, rel=1e-9, abs_=0.0, why="the same mathematics in double precision on both sides", what=None):
    c = {"id": ident}
    if figure:
        c["figure"] = figure
    if what:
        c["what"] = what
    c.update({"where": where, "unit": unit, "role": "check",
              "tolerance": {"rel": rel, "abs": abs_, "why": why},
              "rows": [{"in": i, "out": o} for i, o in rows]})
    return c


# Moist air: Hyland and Wexler 1983 in the form of ASHRAE Fundamentals chapter 1.
def saturation(t):
    k = t + 273.15
    if t < 0:
        return math.exp(-5674.5359 / k + 6.3925247 - 9.677843e-3 * k + 6.2215701e-7 * k**2 + 2.0747825e-9 * k**3 - 9.484024e-13 * k**4 + 4.1635019 * math.log(k))
    return math.exp(-5800.2206 / k + 1.3914993 - 4.8640239e-2 * k + 4.1764768e-5 * k**2 - 1.4452093e-8 * k**3 + 6.5459673 * math.log(k))


def secant(f, a, b):
    fa, fb = f(a), f(b)
    for _ in range(100):
        if fb == fa or abs(b - a) < 1e-12:
            break
        a, fa, b = b, fb, b - fb * (b - a) / (fb - fa)
        fb = f(b)
    return b


def state(t, rh, p=101325.0):
    pv = rh * saturation(t)
    w = 0.621945 * pv / (p - pv)

    def wick(x):
        s = saturation(x)
        ws = 0.621945 * s / (p - s)
        if x >= 0:
            return ((2501 - 2.326 * x) * ws - 1.006 * (t - x)) / (2501 + 1.86 * t - 4.186 * x) - w
        return ((2830 - 0.24 * x) * ws - 1.006 * (t - x)) / (2830 + 1.86 * t - 2.1 * x) - w
    return {
        "saturation_pa": saturation(t), "vapour_pa": pv, "humidity_ratio": w,
        "enthalpy_kj_kg": 1.006 * t + w * (2501 + 1.86 * t),
        "volume_m3_kg": 0.287042 * (t + 273.15) * (1 + 1.607858 * w) / (p / 1000),
        "dew_point_c": secant(lambda x: saturation(x) - pv, t, t - 1),
        "wet_bulb_c": secant(wick, t, t - 1),
        "vapour_g_m3": 1000 * pv / (461.52 * (t + 273.15)),
    }


def air():
    out = []
    rows = []
    for t, rh in [(20, 0.5), (25, 0.8), (10, 0.9), (30, 0.6), (-10, 0.7)]:
        o = state(t, rh)
        rows.append(({"temp_c": t, "rh_frac": rh}, o))
    out.append(check("states", "air.state", "moist air, ideal gases", "", rows, rel=1e-6,
                     why="dew point and wet bulb are found by different searches; the volume's factor 1.607858 is the rounded inverse of 0.621945"))
    rows = []
    for t in (-10, 0, 10, 15, 20, 25, 30, 40, 60):
        o = state(t, 1.0)
        rows.append(({"temp_c": t, "rh_frac": 1}, {k: o[k] for k in ("saturation_pa", "humidity_ratio", "enthalpy_kj_kg", "vapour_g_m3")}))
    out.append(check("saturation", "air.state", "saturated air", "", rows))
    return out


# Responses.
def haug(t):
    return 1.066 ** (t - 20) - 1.21 ** (t - 60)


def rosso(t, lo, best, hi):
    if t <= lo or t >= hi:
        return 0.0
    return (t - hi) * (t - lo) ** 2 / ((best - lo) * ((best - lo) * (t - best) - (best - hi) * (best + lo - 2 * t)))


def kirschbaum(t):
    return math.exp(-3.764 + 0.204 * t * (1 - 0.5 * t / 36.9))


def century(t):
    x = (45 - t) / (45 - 35)
    return 3.439423 * math.exp(0.2 / 2.63 * (1 - x ** 2.63)) * x ** 0.2


def roth(t):
    return 47.91 / (1 + math.exp(106.06 / (t + 18.27)))


def logistic(x, slope, start):
    return 1 / (1 + math.exp(-slope * x + start))


def responses():
    rows = []
    for t in (5, 10, 20, 30, 40, 50, 65):
        rows.append(({"curve": "exponential_pair", "temp_c": t}, {"factor": haug(t)}))
        rows.append(({"curve": "rosso", "min_c": 5, "best_c": 58.6, "max_c": 71.6, "temp_c": t}, {"factor": rosso(t, 5, 58.6, 71.6)}))
        rows.append(({"curve": "rosso", "min_c": 0, "best_c": 30, "max_c": 45, "temp_c": t}, {"factor": rosso(t, 0, 30, 45)}))
    for t in (5, 10, 20, 30, 36.9):
        rows.append(({"curve": "kirschbaum", "temp_c": t}, {"factor": kirschbaum(t)}))
        rows.append(({"curve": "century", "temp_c": t}, {"factor": century(t)}))
        rows.append(({"curve": "rothc", "temp_c": t}, {"factor": roth(t)}))
    out = [check("temperature", "bed.temperature_response", "response curves", "1", rows)]
    rows = [({"rate_per_day": r / 365.25, "measured_at_c": 9.25, "curve": "rothc", "temp_c": 25}, {"rate_per_day": r / 365.25 * roth(25) / roth(9.25)}) for r in (10, 0.3)]
    rows.append(({"rate_per_day": 0.02, "measured_at_c": 25, "curve": "exponential_pair", "temp_c": 10}, {"rate_per_day": 0.02 * haug(10) / haug(25)}))
    out.append(check("rates", "bed.rate_at", "a rate normalised where it was measured", "1/day", rows))
    out.append(check("moisture", "bed.moisture_response", "logistic", "1", [({"water_frac_wet": x}, {"factor": logistic(x, 17.684, 7.0622)}) for x in (0.4, 0.6, 0.75)]))
    out.append(check("air", "bed.air_response", "logistic", "1", [({"air_filled_frac": x}, {"factor": logistic(x, 23.675, 3.4945)}) for x in (0.1, 0.2, 0.3)]))
    out.append(check("oxygen", "bed.oxygen_response", "Monod", "1", [({"oxygen_frac": x}, {"factor": x / (0.02 + x)}) for x in (0.01, 0.05, 0.2095)]))
    product = haug(30) * logistic(0.6, 17.684, 7.0622) * logistic(0.25, 23.675, 3.4945) * 12 / (2 + 12)
    out.append(check("together", None, "four responses multiplied", "1", [({"temp_c": 30, "water_frac_wet": 0.6, "air_filled_frac": 0.25, "oxygen_frac": 0.12}, {"factor": product})],
                     what="exponential pair, moisture, air and oxygen multiplied"))
    pools = [(0.20, 0.10), (0.50, 0.015), (0.18, 0.0015)]
    rows = []
    for factor, days in [(1, 7), (1, 30), (1, 90), (1, 180), (haug(15), 30), (haug(15), 90)]:
        left = 0.12 + sum(f * math.exp(-k * factor * days) for f, k in pools)
        rows.append(({"pools": [{"frac": f, "rate_per_day": k} for f, k in pools], "inert_frac": 0.12, "factor": factor, "days": days},
                     {"left_frac": left, "lost_per_day_frac": factor * sum(f * k for f, k in pools)}))
    out.append(check("decay", "bed.decay", "three pools and an inert share", "1", rows))
    return out


def burning():
    mass = {"c": 12.011, "h": 1.008, "o": 15.999, "n": 14.007}
    rows = []
    for c, h, o, n in [(6, 10, 5, 0), (295, 420, 186, 1), (5, 7, 2, 1)]:
        m = c * mass["c"] + h * mass["h"] + o * mass["o"] + n * mass["n"]
        rows.append(({"c": c, "h": h, "o": o, "n": n}, {
            "oxygen_kg_kg": (4 * c + h - 2 * o - 3 * n) / 4 * 2 * mass["o"] / m,
            "carbon_dioxide_kg_kg": c * (mass["c"] + 2 * mass["o"]) / m,
            "water_kg_kg": (h - 3 * n) / 2 * (2 * mass["h"] + mass["o"]) / m,
            "ammonia_kg_kg": n * (mass["n"] + 3 * mass["h"]) / m}))
    return [check("burning", "bed.oxygen_demand", "cellulose, wood, bacteria", "kg/kg", rows)]


def nitrogen():
    rows = []
    for cn, e in [(15, 0.4), (40, 0.4), (80, 0.4), (30, 0.3)]:
        rows.append(({"cn_substrate": cn, "cn_microbe": 8, "efficiency": e}, {"critical_cn": 8 / e, "nitrogen_mg_per_g_carbon": 1000 * (1 / cn - e / 8)}))
    out = [check("turnover", "bed.nitrogen_turnover", "balance through microbes", "mg/g", rows)]
    rows = []
    for t in (10, 20, 25, 30):
        for ph in (7.5, 8.0, 8.5):
            k = t + 273.15
            pka = 0.09018 + 2729.92 / k
            free = 1 / (1 + 10 ** (pka - ph))
            henry = math.exp(-8.09694 + 3917.507 / k - 0.00314 * k)
            rows.append(({"temp_c": t, "ph": ph, "ammonia_n_mg_l": 500}, {"pka": pka, "free_frac": free, "free_n_mg_l": 500 * free, "gas_ppm": 1e6 * 500 * free * 1e-3 / 14.0067 / henry}))
    out.append(check("ammonia", "bed.ammonia", "Emerson and others 1975; Clegg and Brimblecombe 1989; 1 kg of water a litre", "", rows))
    return out


def gas():
    rows = []
    for t in (0, 20, 30):
        for air, pores in [(0.30, 0.75), (0.40, 0.80), (0.10, 0.75)]:
            free = 1.820e-5 * ((t + 273.15) / 273.15) ** 1.81
            for model, rel in [("mq1961", air ** (10 / 3) / pores**2), ("mq1960", air**2 / pores ** (2 / 3)), ("penman", 0.66 * air),
                               ("moldrup2000", air**2.5 / pores**0.5), ("marshall", air**1.5), ("square", air**2)]:
                rows.append(({"temp_c": t, "air_filled_frac": air, "porosity_frac": pores, "model": model}, {"free_m2_s": free, "relative": rel, "effective_m2_s": free * rel}))
    out = [check("diffusivity", "bed.diffusivity", "Massman 1998 with six models of pores", "", rows)]
    rows = [({"temp_c": t}, {"kg_m3": 0.2095 * 101325 * 0.0319988 / (8.314462618 * (t + 273.15))}) for t in (15, 20, 25, 30)]
    out.append(check("oxygen in air", None, "ideal gas, 20.95 % by volume", "kg/m3", rows, what="oxygen in open air"))
    return out


def evaporation():
    def density(t):
        return saturation(t) / (461.52 * (t + 273.15))

    def film(h, t):
        return h / (101325 / (287.05 * (t + 273.15)) * 1006 * 0.865 ** (2 / 3))

    def latent(t):
        return (2501 - 2.361 * t) * 1e3
    rows = []
    for s, a, rh, h in [(20, 15, 0.7, 3.0), (25, 10, 0.8, 3.0)]:
        e = film(h, (s + a) / 2) * (density(s) - rh * density(a))
        rows.append(({"surface_c": s, "air_c": a, "rh_frac": rh, "h_w_m2k": h}, {"kg_m2_day": e * 86400, "latent_w_m2": e * latent(s)}))
    s, a, rh, h = 25, 12, 0.7, 3.0
    mean = (s + a) / 2
    d = 2.178e-5 * ((mean + 273.15) / 273.15) ** 1.81
    r = 0.020 / d + 1 / (10 * 57.2135e-12 * 461.52 * (mean + 273.15)) + 1 / film(h, mean)
    e = (density(s) - rh * density(a)) / r
    rows.append(({"surface_c": s, "air_c": a, "rh_frac": rh, "h_w_m2k": h, "cover": {"perm": 10, "gap_m": 0.02}}, {"kg_m2_day": e * 86400}))
    out = [check("evaporation", "bed.evaporation", "Lewis analogy; gap, cover and film in series", "", rows, rel=1e-4,
                 why="287.05 here and 287.042 J/(kg K) there for dry air; another convention for the film moves it by 1 to 4 %")]
    out.append(check("drain", "bed.drain", "water above what is held", "kg", [({"dry_kg": 25, "holds_kg_kg": 2.5, "water_kg": 60, "added_kg": 8}, {"drained_kg": 5.5}), ({"dry_kg": 25, "holds_kg_kg": 2.5, "water_kg": 40, "added_kg": 8}, {"drained_kg": 0})]))
    return out


def barn():
    walls = 2 * (12 + 24) * 3.6
    roof = 12 * 24
    film_in_wall, film_out, film_in_roof = 0.68 * 0.17611, 0.17 * 0.17611, 0.61 * 0.17611
    u_wall = 1 / (film_in_wall + 0.0127 / 0.12 + film_out)
    u_roof = 1 / (film_in_roof + film_out)
    ua = walls * u_wall + roof * u_roof + 1.2 * 72
    inf = 1207.2 * 2 * 12 * 24 * 3.6 / 3600
    rows = [({"parts": [{"u_w_m2k": u_wall, "area_m2": walls}, {"u_w_m2k": u_roof, "area_m2": roof}], "slab": {"w_mk": 1.2, "perimeter_m": 72},
              "volume_m3": 12 * 24 * 3.6, "air_changes_per_h": 2, "inside_c": 10, "outside_c": -5, "bins": 300, "heat_w_per_bin": 25},
             {"ua_w_k": ua, "infiltration_w_k": inf, "load_w": 15 * (ua + inf), "floating_c": -5 + 300 * 25 / (ua + inf)})]
    out = [check("bare shed", "barn.heat", "12 x 24 x 3.6 m of plywood and sheet metal", "", rows)]
    cd, h, ti, to = 0.62, 3.0, 12.0, -5.0
    a = 1 / math.sqrt(1 / 0.5**2 + 1 / 0.5**2)
    q = cd * a * math.sqrt(2 * 9.80665 * h * (ti - to) / (ti + 273.15))
    dp = 101325 / (287.042 * (to + 273.15)) * 9.80665 * h * (ti - to) / (ti + 273.15)
    holes = 12 * math.pi * 0.0125**2
    a2 = holes / math.sqrt(2)
    q2 = cd * a2 * math.sqrt(2 * 9.80665 * 0.35 * 16 / (28 + 273.15))
    dp2 = 101325 / (287.042 * (12 + 273.15)) * 9.80665 * 0.35 * 16 / (28 + 273.15)
    out.append(check("stack effect", None, "two openings apart in height", "m3/s", [
        ({"discharge": cd, "low_m2": 0.5, "high_m2": 0.5, "rise_m": h, "inside_c": ti, "outside_c": to}, {"m3_s": q, "pa": dp}),
        ({"discharge": cd, "low_m2": holes, "high_m2": holes, "rise_m": 0.35, "inside_c": 28, "outside_c": 12}, {"m3_s": q2, "pa": dp2})],
        what="air drawn by warmth through a low and a high opening"))
    c, g, t0, to = 3.0e7, 3892.44, 20.0, 5.0
    days = 0.5
    out.append(check("cooling barn", None, "lumped capacity, exponential", "C", [({"capacity_j_k": c, "loss_w_k": g, "from_c": t0, "outside_c": to, "hours": 12}, {"temp_c": to + (t0 - to) * math.exp(-g * days * 86400 / c)})],
                     rel=0, abs_=0.001, why="the implicit step of a second nears the exponential at first order", what="a barn that cools, followed by short steps"))
    return out


# Worms: shapes and levels as fitted; here only the arithmetic is checked.
def briere(t, lo, hi):
    return t * (t - lo) * math.sqrt(hi - t) if 0 < t and lo < t < hi else 0.0


def growth(t):
    return briere(t, 4.574, 38.057) / briere(25, 4.574, 38.057)


def worms():
    out = [check("growth shape", "worm.growth_rate", "Briere", "1", [({"temp_c": t}, {"factor": growth(t)}) for t in (4, 5, 8, 10, 12, 15, 18, 20, 22, 25, 28, 30, 32, 35, 37, 38, 39)])]
    rows = []
    for t in (10, 15, 20, 25, 30):
        mean = 421 / (t - 5.13)
        k = 16.0
        for day in (0.8 * mean, mean, 1.3 * mean):
            x = k * day / mean
            # Erlang with 16 steps: a finite sum, no series needed
            share = 1 - math.exp(-x) * sum(x**i / math.factorial(i) for i in range(16))
            rows.append(({"temp_c": t, "day": day}, {"mean_days": mean, "hatched_frac": share}))
    rows.append(({"temp_c": 5}, {"mean_days": None}))
    out.append(check("incubation", "worm.incubation", "degree-days; Erlang of 16 steps", "day", rows))
    out.append(check("maturation", "worm.maturation", "scale over shape", "day", [({"temp_c": t}, {"days": 44 / growth(t)}) for t in (15, 20, 25, 30)]))
    rows = []
    c25 = briere(25, -2.2, 32)
    for t, w, d, f in [(10, 0.8, 0, 1), (20, 0.8, 0, 1), (25, 0.8, 0, 1), (25, 0.63, 0, 1), (25, 0.8, 12.5, 1), (25, 0.8, 20, 1), (25, 0.8, 0, 0.6), (30, 0.8, 0, 1), (32, 0.8, 0, 1), (4, 0.8, 0, 1)]:
        c = 0 if t < 5 else briere(t, -2.2, 32) / c25
        moist = 1 / (1 + math.exp(-(w - 0.63) / 0.05))
        crowd = 1 - min(1, max(0, (d - 5) / 15))
        spare = min(1, max(0, (f - 0.2) / 0.8))
        rows.append(({"temp_c": t, "water_frac_wet": w, "density_kg_m2": d, "fed_frac": f}, {"cocoons_per_adult_day": 0.36 * c * moist * crowd * spare}))
    out.append(check("laying", "worm.laying", "level, shape and brakes", "1/day", rows))
    out.append(check("laying shape", None, "Briere", "1", [({"temp_c": t}, {"factor": 0 if t < 5 else briere(t, -2.2, 32) / c25}) for t in (4, 5, 10, 12, 15, 18, 20, 22, 25, 28, 30, 32)], what="laying by temperature against that at 25 C"))
    rows = []
    for inc, mat, young, s in [(23, 70, 0.35 * 0.73 * 2.7, 1), (23, 50, 0.35 * 0.73 * 2.7, 1), (23, 70, 0.35 * 0.73 * 2.7, 0.5), (23, 70, 0.35 * 0.73 * 2.7, 0.1), (25, 60, 2.3 / 7 * 2.7, 1)]:
        def euler(r):
            n = 4000  # Simpson over the laying days
            h = 530 / n
            total = 0.0
            for i in range(n + 1):
                total += (1 if i in (0, n) else 4 if i % 2 else 2) * math.exp(-r * (inc + mat + i * h))
            return young * s * total * h / 3 - 1
        lo, hi = 0.001, 0.2
        for _ in range(60):
            r = (lo + hi) / 2
            lo, hi = (r, hi) if euler(r) > 0 else (lo, r)
        rows.append(({"incubation_days": inc, "maturity_days": mat, "young_per_adult_day": young, "survival_frac": s, "laying_days": 530}, {"growth_per_day": r, "doubling_days": math.log(2) / r, "r0": young * s * 530}))
    out.append(check("life table", "worm.life_table", "Euler's equation by Simpson's rule", "1/day", rows, rel=1e-7, why="the integral is summed here and closed there"))
    return out


def write(name, title, checks):
    with open(os.path.join(HERE, name), "w") as f:
        f.write(json.dumps({"source": {"title": title, "how": "computed", "where": "internal/published/computed/science.py", "note": "An independent program in another language, from the printed equations and stated inputs; the inputs are illustrative."}})[:-1])
        f.write(',\n "checks": [\n')
        parts = []
        for c in checks:
            rows = c.pop("rows")
            parts.append("  " + json.dumps(c)[:-1] + ', "rows": [\n   ' + ",\n   ".join(json.dumps(r) for r in rows) + "]}")
        f.write(",\n".join(parts) + "\n ]}\n")


if __name__ == "__main__":
    write("reference_computed_climate.json", "Moist air and barn, calculated independently", air() + barn())
    write("reference_computed_responses.json", "Closed forms of the bed, calculated independently", responses() + burning() + nitrogen() + gas() + evaporation())
    write("reference_computed_worms.json", "Worm rates, calculated independently", worms())
