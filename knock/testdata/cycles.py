"""Reference for three full cycles, by another method than the package's.

The package integrates pressure and two temperatures with fixed Runge-Kutta steps and
reads burned gas from a table. Here the total internal energy and the entropy of the
unburned gas are integrated by scipy.integrate.solve_ivp (DOP853, rtol 1e-9), pressure
and burned temperature follow from energy and volume by a Newton search, and the
equilibrium of the burned gas is solved at every state by equilibrium constants of the
element potentials with numpy. Only the NASA coefficients are shared: they are read
from ../gas/species.go.

Run by hand:  /usr/bin/python3 cycles.py > cycles.json     (scipy 1.10, some minutes)
"""
import json
import math
import re
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

R = 8.31451
ATM = 101325.0
SPECIES = {}
source = open(__file__.rsplit("/", 1)[0] + "/../gas/species.go" if "/" in __file__ else "../gas/species.go").read()
for m in re.finditer(r'(\w+)\s+= &Species\{name: "\w+", atoms: atoms\{([^}]*)\}, molar: ([\d.]+)e-3, lowest: \d+, fit: \[2\]nine\{\s*\{([^}]*)\},\s*\{([^}]*)\}', source):
    name, atoms, molar, low, high = m.groups()
    SPECIES[name] = (np.array([float(x) for x in atoms.split(",")]), float(molar) * 1e-3,
                     [float(x) for x in low.split(",")], [float(x) for x in high.split(",")])
PRODUCTS = ["N2", "O2", "CO2", "H2O", "CO", "H2", "OH", "NO", "O", "H", "N", "HO2", "NO2", "Ar"]
A = np.array([SPECIES[s][0] for s in PRODUCTS])
COEF = [np.array([SPECIES[s][2] for s in PRODUCTS]), np.array([SPECIES[s][3] for s in PRODUCTS])]


def reduced(a, t):
    """cp/R, h/RT, s/R for rows of nine coefficients."""
    a = np.atleast_2d(a)
    cp = a[:, 0] / t**2 + a[:, 1] / t + a[:, 2] + a[:, 3] * t + a[:, 4] * t**2 + a[:, 5] * t**3 + a[:, 6] * t**4
    h = -a[:, 0] / t**2 + a[:, 1] * math.log(t) / t + a[:, 2] + a[:, 3] * t / 2 + a[:, 4] * t**2 / 3 + a[:, 5] * t**3 / 4 + a[:, 6] * t**4 / 5 + a[:, 7] / t
    s = -a[:, 0] / t**2 / 2 - a[:, 1] / t + a[:, 2] * math.log(t) + a[:, 3] * t + a[:, 4] * t**2 / 2 + a[:, 5] * t**3 / 3 + a[:, 6] * t**4 / 4 + a[:, 8]
    return cp, h, s


def product_rows(t):
    return COEF[0] if t <= 1000 else COEF[1]


class Burned:
    """Equilibrium at max-like(t, 1700 K), properties at t."""

    def __init__(self, atoms):
        self.b = atoms
        self.ln = None

    def composition(self, t, p):
        _, h, s = reduced(product_rows(t), t)
        g = h - s + math.log(p / 1e5)
        ln = self.ln if self.ln is not None else np.full(len(PRODUCTS), math.log(0.1e3 / len(PRODUCTS)))
        total = np.exp(ln).sum() if self.ln is not None else 100.0
        for _ in range(300):
            n = np.exp(ln)
            mu = g + ln - math.log(total)
            m = np.zeros((6, 6))
            m[:5, :5] = (A.T * n) @ A
            m[:5, 5] = m[5, :5] = A.T @ n
            m[5, 5] = n.sum() - total
            rhs = np.concatenate([self.b - A.T @ n + A.T @ (n * mu), [total - n.sum() + (n * mu).sum()]])
            x = np.linalg.solve(m, rhs)
            d = A @ x[:5] + x[5] - mu
            big = max(5 * abs(x[5]), np.max(np.abs(d[ln - math.log(total) > -18.4])))
            step = min(1.0, 2.0 / big)
            grow = (ln - math.log(total) <= -18.4) & (d > 0)
            if grow.any():
                step = min(step, np.min(np.abs((-(ln - math.log(total)) - 9.21)[grow] / (d[grow] - x[5]))))
            ln = np.maximum(ln + step * d, -200)
            total *= math.exp(step * x[5])
            if np.max(n * np.abs(d)) < 1e-12 * total and abs(x[5]) < 1e-12:
                break
        self.ln = ln
        return np.exp(ln)

    def at(self, t, p):
        """h and R per kg."""
        y = (t - 1700.0) / 60.0
        react = 1700.0 + 60.0 * (math.log1p(math.exp(y)) if y < 50 else y)
        n = self.composition(react, p)
        _, h, _ = reduced(product_rows(t), t)
        return float((n * h).sum()) * R * t, float(n.sum()) * R


def charge(phi):
    """Moles of fresh charge: gasoline of iso-octane and toluene in dry air, per kg."""
    fuel = {"IsoOctane": 0.65 / SPECIES["IsoOctane"][1], "Toluene": 0.35 / SPECIES["Toluene"][1]}
    oxygen = sum(n * (SPECIES[s][0][0] + SPECIES[s][0][1] / 4) for s, n in fuel.items())
    moles = {s: n * phi for s, n in fuel.items()}
    for s, share in {"N2": 0.78084, "O2": 0.209476, "Ar": 0.009365, "CO2": 0.000319}.items():
        moles[s] = moles.get(s, 0) + share * oxygen / 0.209476
    mass = sum(n * SPECIES[s][1] for s, n in moles.items())
    return {s: n / mass for s, n in moles.items()}


class Frozen:
    def __init__(self, moles):
        self.n = np.array(list(moles.values()))
        self.low = np.array([SPECIES[s][2] for s in moles])
        self.high = np.array([SPECIES[s][3] for s in moles])
        self.r = float(self.n.sum()) * R
        self.atoms = sum(n * SPECIES[s][0] for s, n in moles.items())

    def at(self, t):
        cp, h, s = reduced(self.low if t <= 1000 else self.high, t)
        return float((self.n * cp).sum()) * R, float((self.n * h).sum()) * R * t, float((self.n * s).sum()) * R


def cycle(c):
    fresh = charge(c["phi"])
    gas = Frozen(fresh)
    burned = Burned(gas.atoms)
    cold = Burned(gas.atoms).composition(1700.0, 1e5)
    # The residual is products frozen at one bar; near 1700 K the soft change of
    # composition is below what matters at charge temperatures.
    y = c["residual"]
    mixed = {s: (1 - y) * n for s, n in fresh.items()}
    for s, n in zip(PRODUCTS, cold):
        mixed[s] = mixed.get(s, 0) + y * n
    u = Frozen(mixed)

    a, l, e = c["stroke"] / 2, c["rod"], c["offset"]
    area = math.pi / 4 * c["bore"] ** 2
    top = math.sqrt((l + a) ** 2 - e**2)
    swept = area * (top - math.sqrt((l - a) ** 2 - e**2))
    clearance = swept / (c["ratio"] - 1)
    shift = math.asin(e / (l + a))

    def volume(deg):
        th = math.radians(deg) + shift
        lean = a * math.sin(th) - e
        up = math.sqrt(l * l - lean * lean)
        x = top - a * math.cos(th) - up
        return clearance + area * x, area * a * (math.sin(th) + lean * math.cos(th) / up) * math.pi / 180, 2.3 * area + math.pi * c["bore"] * x

    t0, ivc, evo = c["t0"], -c["closes"], c["opens"]
    v0 = volume(ivc)[0]
    mass = c["mass"]
    p0 = mass * u.r * t0 / v0
    second = 6 * c["rpm"]
    piston = 2 * c["stroke"] * c["rpm"] / 60

    def conductance(deg, p, firing):
        v, _, wall = volume(deg)
        w = 2.28 * piston
        if firing:
            w += 3.24e-3 * swept * t0 / (p0 * v0) * (p - p0 * (v0 / v) ** 1.3)
        mean = t0 * p * v / (p0 * v0)
        h = c["wall heat"] * 3.26 * c["bore"] ** -0.2 * (p / 1e3) ** 0.8 * mean**-0.55 * w**0.8
        return h * wall / second

    def delay_rate(p, t):
        tau = c["delay scale"] * 17.68e-3 * (c["octane"] / 100) ** 3.402 * (p / ATM) ** -1.7 * math.exp(3800 / t)
        return 1 / tau / second

    # Compression: temperature, integral, work, heat.
    def compress(deg, z):
        t = z[0]
        v, dv, _ = volume(deg)
        p = mass * u.r * t / v
        q = conductance(deg, p, False) * (t - c["wall"])
        cp = u.at(t)[0]
        return [(-p * dv - q) / (mass * (cp - u.r)), delay_rate(p, t), p * dv, q]

    start = -c["spark"]
    k = math.log(math.log(10) / math.log(1 / 0.9)) / math.log((c["develop"] + c["rapid"]) / c["develop"])

    def share(deg):
        return -math.expm1(-math.log(1 / 0.9) * ((deg - start) / c["develop"]) ** k)

    # Two zones begin where 1e-6 has burned; before it the charge is one zone.
    begin = start + c["develop"] * (-math.log1p(-1e-6) / math.log(1 / 0.9)) ** (1 / k)
    first = solve_ivp(compress, (ivc, begin), [t0, 0, 0, 0], method="DOP853", rtol=1e-10, atol=1e-12, dense_output=True)
    t1, i1, w1, q1 = first.y[:, -1]
    v1 = volume(begin)[0]
    p1 = mass * u.r * t1 / v1
    cp, h, s = u.at(t1)
    energy = mass * (h - u.r * t1)
    entropy = s - u.r * math.log(p1 / 1e5)
    guess = [p1, 2400.0, t1]

    def settle(deg, energy, entropy):
        """p, T_u, T_b from energy, entropy of the unburned gas and volume."""
        x = share(deg)
        v = volume(deg)[0]
        p, tb, tu = guess

        def unburned(p):
            t = guess[2]
            for _ in range(50):
                cp, h, s = u.at(t)
                step = (entropy + u.r * math.log(p / 1e5) - s) * t / cp
                t += step
                if abs(step) < 1e-12 * t:
                    break
            return t, u.at(t)[1]

        def off(p, tb):
            tu, hu = unburned(p)
            hb, rb = burned.at(tb, p)
            de = mass * ((1 - x) * (hu - u.r * tu) + x * (hb - rb * tb)) - energy
            dv = mass * ((1 - x) * u.r * tu + x * rb * tb) / p - v
            return de, dv, tu

        for _ in range(60):
            e0, d0, tu = off(p, tb)
            e1, d1, _ = off(p * (1 + 1e-6), tb)
            e2, d2, _ = off(p, tb + 1e-3)
            j = np.array([[(e1 - e0) / (p * 1e-6), (e2 - e0) / 1e-3], [(d1 - d0) / (p * 1e-6), (d2 - d0) / 1e-3]])
            dp, dt = np.linalg.solve(j, [-e0, -d0])
            dp = max(-0.2 * p, min(0.2 * p, dp))
            dt = max(-300, min(300, dt))
            p, tb = p + dp, tb + dt
            if abs(dp) < 1e-10 * p and abs(dt) < max(1e-7, 1e-10 / x):
                break
        guess[:] = [p, tb, off(p, tb)[2]]
        return guess[0], guess[2], guess[1], x

    def burn(deg, z):
        energy, entropy = z[0], z[1]
        p, tu, tb, x = settle(deg, energy, entropy)
        v, dv, _ = volume(deg)
        g = conductance(deg, p, True) / v
        _, rb = burned.at(tb, p)
        lu = g * u.r * tu / p * (tu - c["wall"])  # per kg
        lb = g * rb * tb / p * (tb - c["wall"])
        q = mass * ((1 - x) * lu + x * lb)
        return [-p * dv - q, -lu / tu, delay_rate(p, tu), p * dv, q]

    second_part = solve_ivp(burn, (begin, evo), [energy, entropy, i1, w1, q1], method="DOP853", rtol=c.get("rtol", 1e-9),
                            atol=1e-11, dense_output=True, max_step=3.0)
    last = start + c["develop"] * (math.log(20) / math.log(1 / 0.9)) ** (1 / k)
    out = dict(c)
    angles = [x for x in np.arange(-20.0, evo, 5.0) if x > begin + 1] + [evo]
    out["angles"], out["pressure"], out["unburned"], out["burned"] = [], [], [], []
    guess[:] = [p1, 2400.0, t1]
    for deg in sorted(angles):
        z = second_part.sol(deg)
        p, tu, tb, x = settle(deg, z[0], z[1])
        out["angles"].append(float(deg))
        out["pressure"].append(p)
        out["unburned"].append(tu)
        out["burned"].append(tb)
    out["p0"] = p0
    out["work"] = float(second_part.y[3, -1])
    out["heat"] = float(second_part.y[4, -1])
    out["integral"] = float(second_part.sol(last)[2])
    if out["integral"] > 1:
        out["onset"] = brentq(lambda d: second_part.sol(d)[2] - 1, begin, last, xtol=1e-9)
    print(out["spark"], out["work"], out["integral"], out.get("onset"), second_part.nfev, file=sys.stderr)
    return out


CASES = [
    {"name": "full load", "rpm": 2000, "phi": 1.1, "residual": 0.05, "mass": 4.7e-4, "t0": 352.0, "wall": 438.0, "wall heat": 1.0,
     "bore": 0.0803, "stroke": 0.0889, "rod": 0.1588, "offset": 0.0, "ratio": 8.5, "closes": 125.0, "opens": 130.0,
     "spark": 20.0, "develop": 21.0, "rapid": 30.0, "delay scale": 0.6, "octane": 91.0},
    {"name": "slow, early and hot", "rpm": 900, "phi": 1.0, "residual": 0.07, "mass": 4.3e-4, "t0": 375.0, "wall": 430.0, "wall heat": 1.3,
     "bore": 0.0803, "stroke": 0.0889, "rod": 0.1588, "offset": 0.0, "ratio": 9.5, "closes": 120.0, "opens": 135.0,
     "spark": 14.0, "develop": 15.0, "rapid": 21.0, "delay scale": 0.6, "octane": 90.0},
    {"name": "cruise, offset pin", "rpm": 3200, "phi": 1.2, "residual": 0.13, "mass": 2.3e-4, "t0": 395.0, "wall": 420.0, "wall heat": 0.8,
     "bore": 0.1016, "stroke": 0.0884, "rod": 0.1448, "offset": 0.0016, "ratio": 10.0, "closes": 115.0, "opens": 125.0,
     "spark": 42.0, "develop": 30.0, "rapid": 40.0, "delay scale": 0.6, "octane": 88.0},
]
if __name__ == "__main__":
    json.dump({"made by": "cycles.py", "cycles": [cycle(c) for c in CASES]}, sys.stdout, indent=1)
