"""Computes the check values of data/reference_computed_columns.json: columns of
heat and oxygen whose answer is known in closed form (error functions, series of
cosines, parabolas, hyperbolic functions), and one by shooting. Nothing but the
standard library and nothing of this program; grids play no part here.

    python3 internal/published/computed/columns.py

rewrites the file beside it in data/. Inputs are illustrative; the numbers are
exact mathematics, not claims about nature.
"""
import json
import math
import os

HERE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "data")
K, C = 0.40, 2.5e6
ALPHA = K / C


def layer(thick, temp=None, heat=0.0, k=K, c=C):
    out = {"thickness_m": thick, "conductivity_w_mk": k, "capacity_j_m3k": c, "heat_w_m3": heat}
    if temp is not None:
        out["temp_c"] = temp
    return out


def check(ident, figure, where, rows, rel, abs_, why, unit="C"):
    return {"id": ident, "figure": figure, "where": where, "unit": unit, "role": "check",
            "tolerance": {"rel": rel, "abs": abs_, "why": why}, "rows": [{"in": i, "out": o} for i, o in rows]}


GRID = "the column is cut into 2000 cells and steps grow to 10 minutes; halving both changes the answer less than this"
checks = []

# A deep body, its face stepped to 0 C: Ti erf(x / 2 sqrt(alpha t)).
depths = [0.05, 0.1, 0.2, 0.3]
rows = []
for hours in (24, 72):
    t = hours * 3600
    want = {f"times[0].at[{i}].temp_c": 20 * math.erf(x / (2 * math.sqrt(ALPHA * t))) for i, x in enumerate(depths)}
    rows.append(({"layers": [layer(3, 20)], "top": {"temp_c": 0}, "bottom": {"closed": True}, "hours": [hours], "depths_m": depths}, want))
checks.append(check("face_stepped", "bed.heat_column", "deep body, error function", rows, 5e-5, 2e-4, GRID))

# The same with a film of air at the face.
rows = []
h, ti, air = 8.0, 20.0, -10.0
depths = [0.0, 0.05, 0.1, 0.2]
for hours in (24, 72):
    t = hours * 3600
    want = {}
    for i, x in enumerate(depths):
        eta, b = x / (2 * math.sqrt(ALPHA * t)), h * math.sqrt(ALPHA * t) / K
        g = math.erfc(eta) - math.exp(h * x / K + b * b) * math.erfc(eta + b)
        want[f"times[0].at[{i}].temp_c"] = ti + (air - ti) * g
    rows.append(({"layers": [layer(3, ti)], "top": {"u_w_m2k": h, "air_c": air}, "bottom": {"closed": True}, "hours": [hours], "depths_m": depths}, want))
checks.append(check("film_at_face", "bed.heat_column", "deep body, complementary error function", rows, 5e-5, 3e-4, GRID))


# A slab with both faces held at 0, 1 at the start; half thickness l.
def held(fo, x):
    return sum(2 * (-1) ** n / m * math.cos(m * x) * math.exp(-m * m * fo) for n in range(200) for m in [(2 * n + 1) * math.pi / 2])


def held_mean(fo):
    return sum(2 / (m * m) * math.exp(-m * m * fo) for n in range(200) for m in [(2 * n + 1) * math.pi / 2])


rows = []
half = 0.3
for fo in (0.1, 0.5, 1.0):
    hours = fo * half * half / ALPHA / 3600
    rows.append(({"layers": [layer(0.6, 1)], "top": {"temp_c": 0}, "bottom": {"temp_c": 0}, "hours": [hours], "depths_m": [0.3, 0.15]},
                 {"times[0].at[0].temp_c": held(fo, 0), "times[0].at[1].temp_c": held(fo, 0.5), "times[0].mean_c": held_mean(fo)}))
checks.append(check("faces_held", "bed.heat_column", "slab, series of cosines", rows, 3e-5, 1e-6, GRID))


# A slab with films on both faces: roots of z tan z = Bi.
def roots(bi, count):
    out = []
    for n in range(count):
        lo, hi = n * math.pi + 1e-12, n * math.pi + math.pi / 2 - 1e-12
        for _ in range(200):
            mid = (lo + hi) / 2
            if mid * math.tan(mid) < bi:
                lo = mid
            else:
                hi = mid
        out.append((lo + hi) / 2)
    return out


def films(bi, fo, x):
    return sum(4 * math.sin(z) / (2 * z + math.sin(2 * z)) * math.cos(z * x) * math.exp(-z * z * fo) for z in roots(bi, 60))


def films_mean(bi, fo):
    return sum(4 * math.sin(z) / (2 * z + math.sin(2 * z)) * math.sin(z) / z * math.exp(-z * z * fo) for z in roots(bi, 60))


assert abs(roots(1.0, 3)[0] - 0.860333589) < 1e-9 and abs(roots(1.0, 3)[2] - 6.437298179) < 1e-9
rows = []
bi = 2 * half / K
for day in (1, 5, 10, 20):
    fo = ALPHA * day * 86400 / half ** 2
    rows.append(({"layers": [layer(0.6, 60)], "top": {"u_w_m2k": 2, "air_c": 10}, "bottom": {"u_w_m2k": 2, "air_c": 10}, "hours": [day * 24], "depths_m": [0.3]},
                 {"times[0].at[0].temp_c": 10 + 50 * films(bi, fo, 0), "times[0].surface_c": 10 + 50 * films(bi, fo, 1), "times[0].mean_c": 10 + 50 * films_mean(bi, fo)}))
checks.append(check("films_both_faces", "bed.heat_column", "slab, roots of z tan z = Bi", rows, 2e-5, 1e-4, GRID))

# Steady heat made: both faces held q L^2 / 8k; one face closed q L^2 / 2k.
q = 150.0
rows = [({"layers": [layer(0.6, heat=q)], "top": {"temp_c": 0}, "bottom": {"temp_c": 0}, "hours": "steady"}, {"times[0].max_c": q * 0.36 / (8 * K), "times[0].max_at_m": 0.3})]
for l in (0.1, 0.2, 0.3, 0.6):
    rows.append(({"layers": [layer(l, heat=q)], "top": {"temp_c": 0}, "bottom": {"closed": True}, "hours": "steady"}, {"times[0].max_c": q * l * l / (2 * K)}))
checks.append(check("heat_made_steady", "bed.heat_column", "parabola", rows, 1e-6, 1e-6, "a parabola on 2000 cells, second order in their size"))

# Different films: top, bottom, maximum and where.
q, l, ut, at, ub, ab = 100.0, 0.6, 1.5, 5.0, 3.0, 8.0
# T(z) = T0 + (F/K) z - q z^2/2K with F the flux out at the top, F = ut (T0 - at), q l - F = ub (T(l) - ab).
# ub (T0 + F l/K - q l^2/2K - ab) = q l - F, T0 = at + F/ut.
f = (q * l - ub * (at - ab - q * l * l / (2 * K))) / (1 + ub * (1 / ut + l / K))
t0 = at + f / ut
z = f / q
rows = [({"layers": [layer(l, heat=q)], "top": {"u_w_m2k": ut, "air_c": at}, "bottom": {"u_w_m2k": ub, "air_c": ab}, "hours": "steady"},
         {"times[0].surface_c": t0, "times[0].bottom_c": ab + (q * l - f) / ub, "times[0].max_c": t0 + f * f / (2 * K * q), "times[0].max_at_m": z,
          "times[0].heat_out_top_w_m2": f, "times[0].heat_out_bottom_w_m2": q * l - f})]
assert abs(f - 27.2) < 1e-9 and abs(t0 - 23.13333) < 1e-5
checks.append(check("two_films_steady", "bed.heat_column", "parabola", rows, 1e-6, 2e-6, "a parabola on 2000 cells"))

# Two layers.
d1, q1, k1, d2, q2, k2, ut, ub, air = 0.05, 800.0, 0.25, 0.45, 20.0, 0.45, 3.0, 2.0, 10.0
# F out at the top; interface Ti = T0 + F d1/k1 - q1 d1^2/2k1; flux up through the interface G = F - q1 d1;
# bottom Tb = Ti + G d2/k2 - q2 d2^2/2k2; out below q1 d1 + q2 d2 - F = ub (Tb - air).
total = q1 * d1 + q2 * d2
f = (total + ub * (q1 * d1 ** 2 / (2 * k1) + q1 * d1 * d2 / k2 + q2 * d2 ** 2 / (2 * k2))) / (1 + ub * (1 / ut + d1 / k1 + d2 / k2))
t0 = air + f / ut
ti = t0 + f * d1 / k1 - q1 * d1 ** 2 / (2 * k1)
rows = [({"layers": [layer(d1, heat=q1, k=k1), layer(d2, heat=q2, k=k2)], "top": {"u_w_m2k": ut, "air_c": air}, "bottom": {"u_w_m2k": ub, "air_c": air}, "hours": "steady", "depths_m": [d1]},
         {"times[0].surface_c": t0, "times[0].at[0].temp_c": ti, "times[0].max_c": t0 + f * f / (2 * k1 * q1), "times[0].max_at_m": f / q1, "times[0].bottom_c": air + (total - f) / ub})]
assert abs(t0 - 21.96721) < 1e-5 and abs(f / q1 - 0.044877) < 1e-6
checks.append(check("two_layers_steady", "bed.heat_column", "two parabolas", rows, 1e-5, 1e-6, "where the highest point lies is found between cells of 0.2 mm"))

# Heat switched on, both faces held: rise at the centre.
q = 150.0
rows = []
for day in (1, 2, 5, 10):
    fo = ALPHA * day * 86400 / half ** 2
    rise = q * half ** 2 / K * (0.5 - sum(2 * (-1) ** n / m ** 3 * math.exp(-m * m * fo) for n in range(100) for m in [(2 * n + 1) * math.pi / 2]))
    rows.append(({"layers": [layer(0.6, 0, q)], "top": {"temp_c": 0}, "bottom": {"temp_c": 0}, "hours": [day * 24], "depths_m": [0.3]}, {"times[0].at[0].temp_c": rise}))
checks.append(check("heat_switched_on", "bed.heat_column", "slab, series of cosines", rows, 2e-5, 1e-5, GRID))

# A body so conductive that it is one lump: time constant of capacity over loss; and one that loses nothing.
lump = {"thickness_m": 0.6, "conductivity_w_mk": 1000, "capacity_j_m3k": 2.16e6 / 0.6, "heat_w_m3": 0, "temp_c": 30}
tau = 2.16e6 / 14.4
rows = [({"layers": [lump], "top": {"closed": True}, "bottom": {"closed": True}, "sides": {"u_w_m2k": 14.4 / 0.6, "perimeter_m": 1, "area_m2": 1, "air_c": 5}, "hours": [72]},
         {"times[0].mean_c": 5 + 25 * math.exp(-72 * 3600 / tau)}),
        ({"layers": [layer(0.6, 0, 100)], "top": {"closed": True}, "bottom": {"closed": True}, "hours": [24]}, {"times[0].mean_c": 100 * 86400 / C, "times[0].energy_error_frac": 0})]
checks.append(check("lump_and_closed", "bed.heat_column", "exponential; straight line", rows, 1e-5, 1e-9, "steps of 10 minutes against a time constant of 1.7 days"))

# Oxygen.
C0 = 0.2739


def air_layer(thick, de, uptake=0.0, half_=0.0, first=0.0):
    return {"thickness_m": thick, "diffusivity_m2_s": de, "uptake_kg_m3_s": uptake, "half_kg_m3": half_, "first_order_per_s": first}


FINE = "1000 cells; halving them changes the answer less than this"


def oxygen(layers, **more):
    return dict({"layers": layers, "surface_kg_m3": C0}, **more)


rows = []
d = math.sqrt(2 * 1.23894e-6 * 0.274009 / 4e-5)
rows.append((oxygen([air_layer(0.5, 1.23894e-6, 4e-5)], surface_kg_m3=0.274009), {"aerobic_depth_m": d, "flux_kg_m2_s": 4e-5 * d}))
d = math.sqrt(2 * 4.42226e-7 * 0.278683 / 1.5e-6)
rows.append((oxygen([air_layer(0.8, 4.42226e-7, 1.5e-6)], surface_kg_m3=0.278683), {"aerobic_depth_m": d, "flux_kg_m2_s": 1.5e-6 * d}))
for r in (1e-5, 2e-6):
    d = math.sqrt(2 * 1e-6 * C0 / r)
    rows.append((oxygen([air_layer(1.0, 1e-6, r)]), {"aerobic_depth_m": d, "flux_kg_m2_s": r * d}))
rows.append((oxygen([air_layer(0.5, 1e-6, 1e-6)], depths_m=[0.5]), {"at[0].frac_of_surface": 1 - 1e-6 / 1e-6 * (0.5 * 0.5 - 0.125) / C0, "aerobic_depth_m": None}))
rows.append((oxygen([air_layer(0.6, 1e-6, 2e-6)], depths_m=[0.3], bottom="open"), {"at[0].frac_of_surface": 1 - 2e-6 * 0.36 / (8 * 1e-6 * C0), "aerobic_depth_m": None}))
for g in (2e-5, 1e-3):
    # R d^2 / 2De + R d / g = C0
    r, de = 1e-5, 1e-6
    a, b = r / (2 * de), r / g
    d = (-b + math.sqrt(b * b + 4 * a * C0)) / (2 * a)
    rows.append((oxygen([air_layer(1.0, de, r)], conductance_m_s=g, depths_m=[0]), {"aerobic_depth_m": d, "at[0].frac_of_surface": 1 - r * d / (g * C0)}))
# Two layers, zero order.
d1, de1, r1, de2, r2 = 0.05, 1.2e-6, 4e-5, 6e-7, 2e-6
lo, hi = 0.0, 5.0
for _ in range(200):
    d = (lo + hi) / 2
    ci = C0 - ((r2 * d + r1 * d1) * d1 - r1 * d1 * d1 / 2) / de1
    if ci > r2 * d * d / (2 * de2):
        lo = d
    else:
        hi = d
ci = C0 - ((r2 * d + r1 * d1) * d1 - r1 * d1 * d1 / 2) / de1
assert abs(d - 0.349119) < 1e-6
rows.append((oxygen([air_layer(d1, de1, r1), air_layer(0.4, de2, r2)], depths_m=[d1]), {"aerobic_depth_m": d1 + d, "at[0].frac_of_surface": ci / C0, "flux_kg_m2_s": r1 * d1 + r2 * d}))
checks.append(check("zero_order", "bed.oxygen_column", "parabolas", rows, 2e-5, 0, FINE, unit="m, fraction, kg/(m2 s)"))

rows = []
for k1_, l, depths in ((1e-5, 0.3, [0.3, 0.15]), (4e-5, 0.6, [0.6])):
    phi = l * math.sqrt(k1_ / 1e-6)
    want = {f"at[{i}].frac_of_surface": math.cosh(phi * (1 - x / l)) / math.cosh(phi) for i, x in enumerate(depths)}
    want["flux_kg_m2_s"] = C0 * 1e-6 / l * phi * math.tanh(phi)
    rows.append((oxygen([air_layer(l, 1e-6, first=k1_)], depths_m=depths), want))
checks.append(check("first_order", "bed.oxygen_column", "hyperbolic cosine", rows, 2e-5, 0, FINE, unit="fraction, kg/(m2 s)"))


# Monod uptake: shooting from the closed base with Runge-Kutta.
def monod(vm, km, l, de=1e-6, n=20000):
    def run(base):
        y, s, h = base, 0.0, l / n
        mid = None
        for i in range(n):
            if i == n // 2:
                mid = y
            f = lambda c: vm * c / (km + c) / de
            a1, b1 = s, f(y)
            a2, b2 = s + h / 2 * b1, f(y + h / 2 * a1)
            a3, b3 = s + h / 2 * b2, f(y + h / 2 * a2)
            a4, b4 = s + h * b3, f(y + h * a3)
            y += h / 6 * (a1 + 2 * a2 + 2 * a3 + a4)
            s += h / 6 * (b1 + 2 * b2 + 2 * b3 + b4)
        return y, mid, s * de
    lo, hi = 0.0, C0
    for _ in range(50):
        base = (lo + hi) / 2
        if run(base)[0] > C0:
            hi = base
        else:
            lo = base
    _, mid, flux = run(base)
    return base / C0, mid / C0, flux


rows = []
for vm, km, l in ((1e-6, 0.0274, 0.5), (1e-5, 0.0274, 0.3)):
    base, mid, flux = monod(vm, km, l)
    rows.append((oxygen([air_layer(l, 1e-6, vm, km)], depths_m=[l, l / 2]), {"at[0].frac_of_surface": base, "at[1].frac_of_surface": mid, "flux_kg_m2_s": flux}))
checks.append(check("monod", "bed.oxygen_column", "shooting, Runge-Kutta of 20000 steps", rows, 3e-5, 0, FINE, unit="fraction, kg/(m2 s)"))

out = {"source": {"title": "Columns of heat and oxygen with known answers, calculated independently", "how": "computed",
                  "where": "internal/published/computed/columns.py", "note": "Closed forms and one shooting; the inputs are illustrative, the mathematics is exact."},
       "checks": checks}
with open(os.path.join(HERE, "reference_computed_columns.json"), "w") as fh:
    json.dump(out, fh, indent=1)
    fh.write("\n")
