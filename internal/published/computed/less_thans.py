"""Values under limits of detection, by the standard library alone.

Largest likelihood by a search that narrows about the best point of a grid, and
its curvature by differences; regression on order statistics by the plotting
positions of several limits; product limit by hand. Prints the file
internal/published/data/reference_computed_less_thans.json.
"""
import json
import math
from statistics import NormalDist, fmean, stdev

N = NormalDist()


def log_cdf(z):
    if z < -30:
        return -0.5 * z * z - math.log(-z) - 0.5 * math.log(2 * math.pi)
    return math.log(0.5 * math.erfc(-z / math.sqrt(2)))


def likelihood(data, m, s):
    total = 0.0
    for value, less in data:
        z = (math.log(value) - m) / s
        total += log_cdf(z) if less else -0.5 * z * z - math.log(s)
    return total


def largest(data):
    m, s, wide = 1.0, 1.5, 4.0
    while wide > 1e-10:
        best = max(((likelihood(data, m + wide * i / 10, s * math.exp(wide * j / 10)), i, j)
                    for i in range(-10, 11) for j in range(-10, 11) if 1e-3 < s * math.exp(wide * j / 10) < 100))
        m, s = m + wide * best[1] / 10, s * math.exp(wide * best[2] / 10)
        wide *= 0.5
    return m, s


def mean_error(data, m, s):
    h = 1e-4
    f = lambda a, b: likelihood(data, a, b)
    mm = -(f(m + h, s) - 2 * f(m, s) + f(m - h, s)) / h**2
    ss = -(f(m, s + h) - 2 * f(m, s) + f(m, s - h)) / h**2
    ms = -(f(m + h, s + h) - f(m + h, s - h) - f(m - h, s + h) + f(m - h, s - h)) / (4 * h * h)
    return math.sqrt(ss / (mm * ss - ms * ms))


def order(data):
    limits = [0.0] + sorted({v for v, less in data if less})
    pe = [0.0] * (len(limits) + 1)
    for j in range(len(limits) - 1, -1, -1):
        top = limits[j + 1] if j + 1 < len(limits) else math.inf
        a = sum(1 for v, less in data if not less and limits[j] <= v < top)
        b = sum(1 for v, less in data if (less and v <= limits[j]) or (not less and v < limits[j]))
        pe[j] = pe[j + 1] + a / (a + b) * (1 - pe[j + 1]) if a + b else pe[j + 1]
    pe[0] = 1.0
    x, z, fill = [], [], []
    for j in range(len(limits)):
        top = limits[j + 1] if j + 1 < len(limits) else math.inf
        seen = sorted(v for v, less in data if not less and limits[j] <= v < top)
        for i, v in enumerate(seen, 1):
            x.append(math.log(v))
            z.append(N.inv_cdf(1 - pe[j] + i / (len(seen) + 1) * (pe[j] - pe[j + 1])))
        under = sum(1 for v, less in data if less and v == limits[j])
        fill += [N.inv_cdf(i / (under + 1) * (1 - pe[j])) for i in range(1, under + 1)]
    mz, mx = fmean(z), fmean(x)
    slope = sum((a - mz) * (b - mx) for a, b in zip(z, x)) / sum((a - mz) ** 2 for a in z)
    logs = x + [mx + slope * (q - mz) for q in fill]
    return math.exp(fmean(logs)), stdev(logs), fmean(map(math.exp, logs))


one = [(3, True), (3, True), (3, True), (4.1, False), (5.6, False), (8, False), (11, False), (19, False)]
two = [(1, True), (1, True), (5, True), (5, True), (2.2, False), (3.1, False), (4.4, False), (6.5, False), (9.8, False), (23, False)]
none = [(2, False), (3, False), (5, False), (9, False)]
T7, T9 = 2.364624251592785, 2.2621571627409915  # two-sided 95 %, 7 and 9 degrees, printed tables


def given(data):
    return [{"value": v, "less_than": less} for v, less in data]


likely, ordered = [], []
for data, t in ((one, T7), (two, T9)):
    m, s = largest(data)
    f = math.exp(t * mean_error(data, m, s) * math.sqrt(len(data) / (len(data) - 1)))
    likely.append({"in": {"results": given(data)}, "out": {"geometric_mean": math.exp(m), "log_sd": s, "low": math.exp(m) / f, "high": math.exp(m) * f}})
    g, sd, mean = order(data)
    ordered.append({"in": {"results": given(data), "method": "order"}, "out": {"geometric_mean": g, "log_sd": sd, "mean": mean}})
logs = [math.log(v) for v, _ in none]
whole = {"in": {"results": given(none)}, "out": {"geometric_mean": math.exp(fmean(logs)), "log_sd": stdev(logs) * math.sqrt(3 / 4)}, "note": "none under a limit: the mean of logarithms, their deviation over n"}

product = [
    {"in": {"results": given(one), "method": "product_limit"}, "out": {"mean": (19 + 11 + 8 + 5.6 + 4.1 + 3 * 3) / 8, "median": 4.1},
     "note": "one limit under all values: the three under it stand at the limit; half lie at or under 4.1"},
    {"in": {"results": given(two), "method": "product_limit"}, "out": {"mean": .1 * 23 + .1 * 9.8 + .1 * 6.5 + .14 * 4.4 + .14 * 3.1 + .14 * 2.2 + .28 * 1, "median": 3.1},
     "note": "by hand: 10, 9, 8 of 10; below 5 of 7 at risk with the two under 5 gone: .7 falls by 1 in 5 three times, and .28 is left at 1"},
]

checks = [
    ("likelihood", "largest likelihood and its curvature", {"rel": 1e-5, "why": "the search ends at 1e-10, the curvature is by differences of 1e-4"}, likely + [whole]),
    ("order", "regression on order statistics", {"rel": 1e-9, "why": "closed form in double precision on both sides"}, ordered),
    ("product limit", "Kaplan and Meier by hand", {"rel": 1e-9, "why": "sums by hand"}, product),
]
print(json.dumps({"source": {"title": "Values under limits of detection, calculated independently", "how": "computed", "where": "internal/published/computed/less_thans.py",
                             "note": "The values are made up."},
                  "checks": [{"id": i, "figure": "lab.less_than", "where": w, "role": "check", "tolerance": t, "rows": r} for i, w, t, r in checks]}, indent=1))
