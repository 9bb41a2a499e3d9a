"""Reference fit of hand-pump readings for the tests of package vacuum.

Run by hand:  python3 handpump.py > handpump.json

The likelihood is written anew and searched by SciPy's differential evolution, and
each profile by the same with one quantity held; nothing of the package is used.
SciPy 1.10 was used for the file beside this one.
"""
import json
import sys

import numpy as np
from scipy.optimize import brentq, differential_evolution, minimize

INHG, DEG = 3386.389, np.pi / 180
SV, ST = 0.5 * INHG, 0.5 * DEG
# inches of mercury, degrees at the distributor shaft, way (1 pumped up, -1 let down)
READINGS = [[3, 0.1, 1], [5, 0.0, 1], [6.5, 0.6, 1], [8, 2.9, 1], [9.5, 4.6, 1], [11, 6.8, 1], [13, 8.2, 1], [16, 7.8, 1],
            [11.5, 8.1, -1], [9, 5.9, -1], [7, 3.2, -1], [5, 0.4, -1]]
V, T, W = np.array(READINGS).T
V, T = V * INHG, T * DEG


def misfit(onset, full, most, band):
    if full - onset < 200 or most <= 0 or most > 0.5 or band < 0:
        return 1e9
    slope = most / (full - onset)
    v = V + np.where(W < 0, band, 0)
    on = (v > onset) & (v < full)
    model = np.clip((v - onset) * slope, 0, most)
    var = ST**2 + np.where(on, slope * SV, 0) ** 2
    return float(np.sum((T - model) ** 2 / var) + np.sum(np.log(var / ST**2)))


BOX = {"onset": (0, 12 * INHG), "full": (8 * INHG, 20 * INHG), "most": (0.05, 0.3), "band": (0, 6 * INHG)}
NAMES = list(BOX)


def best(fixed=None, value=None):
    """Least misfit with one quantity held, slope = most/(full - onset) included."""
    free = [n for n in NAMES if n != fixed and not (fixed == "slope" and n == "most")]

    def f(x):
        p = dict(zip(free, x))
        if fixed == "slope":
            p["most"] = value * (p["full"] - p["onset"])
        elif fixed:
            p[fixed] = value
        return misfit(**p)

    r = differential_evolution(f, [BOX[n] for n in free], seed=1, tol=1e-10, maxiter=3000, popsize=20, polish=False)
    r2 = minimize(f, r.x, method="Nelder-Mead", options=dict(xatol=1e-6, fatol=1e-10, maxiter=20000))
    x = r2.x if r2.fun < r.fun else r.x
    return min(r.fun, r2.fun), dict(zip(free, x))


level, p = best()
p["slope"] = p["most"] / (p["full"] - p["onset"])
out = {"readings": READINGS, "best": p, "misfit": level, "low": {}, "high": {}}
for name, reach in [("onset", 3 * INHG), ("full", 3 * INHG), ("most", 1.5 * DEG), ("slope", 0.6 * p["slope"]), ("band", 2.5 * INHG)]:
    g = lambda v: best(name, v)[0] - level - 3.841458820694124
    for side, end in (("low", max(p[name] - reach, 1e-9)), ("high", p[name] + reach)):
        print(name, side, g(end), file=sys.stderr)
        out[side][name] = brentq(g, *sorted((p[name], end)), rtol=2e-4, xtol=1e-12)
json.dump(out, sys.stdout, indent=1)
