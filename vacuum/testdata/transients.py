"""Reference transients for the tests of package vacuum.

Run by hand:  python3 transients.py > transients.json

Nothing of the package is used: the formulas are written anew and SciPy's Radau
integrates pressures (the package integrates masses with a method of its own).
SciPy 1.10 was used for the file beside this one. Tolerances: rtol 1e-11, atol
1e-6 Pa; a hundred times looser, rtol 1e-9, no pressure moves by more than 0.1 Pa.
"""
import json
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

R, K = 8314.32 / 28.9644, 1.4
RC = (2 / (K + 1)) ** (K / (K - 1))
LAM = 0.999


def psi(r):
    if r > LAM:
        return psi(LAM) * (1 - r) / (1 - LAM)
    r = max(r, RC)
    return np.sqrt(2 * K / (K - 1) * (r ** (2 / K) - r ** ((K + 1) / K)))


def beta2(r):
    if r > LAM:
        return beta2(LAM) * (1 - r) / (1 - LAM)
    return 1.0 if r < 0.4125 else np.sqrt(r**0.4404 - r**2.3143) / 0.7404


def orifice(a, p, q, t):
    """kg/s from p to q, signed."""
    return a * p / np.sqrt(R * t) * psi(q / p) if p >= q else -orifice(a, q, p, t)


def plate(th, alpha):
    """Heywood's closed form of the throttle's open area, with shaft."""
    c, a = np.cos(alpha) / np.cos(th["closed"]), th["shaft"] / th["bore"]
    if c <= a:
        share = 1 - 2 / np.pi * (a * np.sqrt(1 - a * a) + np.arcsin(a))
    else:
        # open = bore - plate - (shaft outside the plate)
        share = 1 - c - 2 / np.pi * ((a * np.sqrt(1 - a * a) + np.arcsin(a))
                                     - (a * np.sqrt(1 - (a / c) ** 2) + c * np.arcsin(a / c)))
    return np.pi / 4 * th["bore"] ** 2 * share


def passed(case, alpha):
    th, po = case["throttle"], case["port"]
    z = th["bore"] / 2 * (np.sin(alpha) - np.sin(th["closed"])) / np.cos(th["closed"])
    h = np.clip((z - po["height"]) / (po["diameter"] / 2), -1, 1)
    # area of a circle's segment by its central angle
    g = 2 * np.arccos(-h)
    return (g - np.sin(g)) / (2 * np.pi)


def model(case):
    th, e, air, u, l = (case[k] for k in ("throttle", "engine", "air", "unit", "line"))
    pa, ta = air["pressure"], air["temperature"]
    tt, aa, ww = np.array(case["driver"]).T

    def throttle(alpha, p):
        cda = th["discharge"] * plate(th, alpha) + th["bypass"]
        if case["measured"]:
            return cda * pa / np.sqrt(R * ta) * psi(RC) * beta2(p / pa)
        return orifice(cda, pa, p, ta)

    def engine(w, p):
        pe = pa + e["back"]
        x = 0.0
        if e["overlap"]:
            x = 1.266 * e["overlap"] / (w * e["drive"] / (2 * np.pi)) * (p / pe) ** -0.87 * np.sqrt((pe - p) / 1e5)
        eta = np.interp(w, *np.array(e["filling"]).T)
        return eta * e["displacement"] * w / (2 * np.pi) * p / (R * e["temperature"]) * (1 - x) / (1 - x + x * 620 / e["temperature"])

    def port(alpha, p):
        if case["source"] == "manifold":
            return p
        s = passed(case, alpha)
        if s <= 0:
            return pa
        if s >= 1:
            return p
        return brentq(lambda q: (1 - s) * pa * psi(q / pa) - s * q * psi(p / q), p, pa, xtol=1e-9, rtol=1e-14)

    def rod(pc):
        return np.clip(((pa - pc) * u["area"] - u["friction"] - u["preload"]) / u["rate"], 0, u["travel"])

    def rhs(t, y):
        p, pc = y
        alpha, w = np.interp(t, tt, aa), np.interp(t, tt, ww)
        hose = orifice(l["restriction"], pc, port(alpha, p), ta)
        torn = orifice(l["leak"], pa, pc, ta)
        dp = R * e["temperature"] / e["volume"] * (throttle(alpha, p) + hose - engine(w, p))
        x = rod(pc)
        moving = 0 < x < u["travel"]
        # d(pc (V - A x))/dt = R T (torn - hose), x' = -A/k pc'
        stiff = l["volume"] - u["area"] * x + (pc * u["area"] ** 2 / u["rate"] if moving else 0)
        return [dp, R * ta * (torn - hose) / stiff]

    def steady(alpha, w):
        hose = 0.0
        for _ in range(200):
            p = brentq(lambda q: throttle(alpha, q) + hose - engine(w, q), 1e-3 * pa, pa, xtol=1e-10, rtol=1e-14)
            ps = port(alpha, p)
            pc = ps
            if l["leak"]:
                pc = brentq(lambda q: orifice(l["leak"], pa, q, ta) - orifice(l["restriction"], q, ps, ta), ps, pa, xtol=1e-10, rtol=1e-14)
            hose = orifice(l["leak"], pa, pc, ta)
        return [p, pc]

    return rhs, steady, rod, tt, aa, ww


def run(case):
    rhs, steady, rod, tt, aa, ww = model(case)
    y = steady(aa[0], ww[0])
    out = []
    times = np.arange(0, tt[-1] + 1e-9, case["every"])
    for a, b in zip(tt[:-1], tt[1:]):
        want = times[(times >= a - 1e-12) & (times < b - 1e-12)]
        s = solve_ivp(rhs, (a, b), y, method="Radau", rtol=1e-11, atol=1e-6, dense_output=True, max_step=0.02)
        for t in want:
            v = s.sol(t)
            out.append([float(t), float(v[0]), float(v[1]), float(rod(v[1]))])
        y = s.y[:, -1]
    out.append([float(tt[-1]), float(y[0]), float(y[1]), float(rod(y[1]))])
    return out


D = np.pi / 180
UNIT = dict(area=9e-4, rate=4100.0, preload=18.3, travel=4.4e-3, arm=32e-3, friction=0.0)
BASE = dict(
    throttle=dict(bore=0.036, shaft=0.008, closed=8 * D, discharge=0.8, bypass=8e-6),
    engine=dict(displacement=1.6e-3, volume=2.5e-3, temperature=320.0, back=2e3, overlap=0.4, drive=2.0,
                filling=[[30, 0.72], [200, 0.85], [300, 0.8]]),
    air=dict(pressure=101325.0, temperature=293.15),
    port=dict(height=1.2e-3, diameter=1.2e-3),
    line=dict(restriction=2e-7, volume=35e-6, leak=0.0),
    unit=UNIT, source="manifold", measured=False, every=0.05,
)
CASES = [
    dict(BASE, name="tip-in and lift-off on the manifold",
         driver=[[0, 17 * D, 120], [0.5, 17 * D, 120], [0.7, 50 * D, 120], [2, 50 * D, 160], [2.2, 9 * D, 160], [5, 9 * D, 60]]),
    dict(BASE, name="ported source opens at the edge, plate with friction", source="ported",
         unit=dict(UNIT, friction=0.6),
         driver=[[0, 8 * D, 45], [0.5, 8 * D, 45], [1.5, 16 * D, 90], [4, 16 * D, 120]]),
    dict(BASE, name="torn diaphragm at altitude, measured throttle law", measured=True,
         air=dict(pressure=84300.0, temperature=278.0), line=dict(restriction=2e-7, volume=35e-6, leak=9e-8),
         driver=[[0, 12 * D, 60], [1, 25 * D, 140], [2, 25 * D, 140], [2.1, 85 * D, 140], [3, 85 * D, 180], [3.3, 10 * D, 180], [5, 10 * D, 90]]),
]

for c in CASES:
    print(c["name"], file=sys.stderr)
    c["columns"] = ["time s", "manifold Pa", "chamber Pa", "rod m"]
    c["samples"] = run(c)
json.dump(CASES, sys.stdout, indent=1)
