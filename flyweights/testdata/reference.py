#!/usr/bin/python3
"""Reference curves of full mechanisms, made independently of the Go code.

Run by hand:  python3 reference.py > reference.json
Needs NumPy and SciPy (made with 1.10). Nothing is shared with the library: the
cam's angle is solved from the contact condition with scipy.optimize, moments
are differences of energies, speeds are bracketed on a fine grid with brentq, and
motion is Hamilton's equations of the kinetic energy in the resting frame,
integrated by DOP853.
"""
import cmath
import json
import math
import sys

import numpy as np
import scipy
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq, newton

H = 2e-4  # rad, step of the differences
GRID = 3001


def turn(p, angle):
    return p * cmath.exp(1j * angle)


def sense(clockwise):
    return -1 if clockwise else 1


class Mechanism:
    def __init__(self, d):
        self.d = d
        self.sign = 1
        # Follow the cam's signed angle from rest, then polish each value.
        self.table = [0.0]
        self.phis = np.linspace(-2 * H, d["stop"] + 2 * H, 161)
        start = int(np.argmin(abs(self.phis)))
        angles = {start: self.solve(self.phis[start], 0.0)}
        for i in range(start + 1, 161):
            angles[i] = self.solve(self.phis[i], angles[i - 1])
        for i in range(start - 1, -1, -1):
            angles[i] = self.solve(self.phis[i], angles[i + 1])
        self.angles = np.array([angles[i] for i in range(161)])
        if self.angles[-1] < 0:
            self.sign = -1
        l = d["linkage"]
        if l["kind"] not in ("ratio", "rolling", "radial", "tabulated"):
            d["camClockwise"] = self.sign < 0
        self.cam = sense(d["camClockwise"])

    def contact(self, phi, t):
        """Zero when the cam, turned by t counter-clockwise, meets the weight."""
        l = self.d["linkage"]
        k = l["kind"]
        if k == "slot" or k == "follower" or k == "four-bar":
            rest = complex(*l["point"])
            pivot = complex(*l["pivot"])
            q = pivot + turn(rest - pivot, sense(l["clockwise"]) * phi)
        if k == "slot":  # the pin, seen from the cam, lies on the slot's line
            along = turn(rest / abs(rest), math.asin(l["offset"] / abs(rest)))
            return ((turn(q, -t) - rest) * along.conjugate()).imag / abs(rest)
        if k == "follower":
            x = abs(q) - abs(rest)
            path = rest / abs(rest) * cmath.exp(1j * (l["slope"] * x + l["bend"] * x * x))
            return cmath.phase(turn(q, -t) / path)
        if k == "four-bar":
            b = complex(*l["camJoint"])
            return (abs(q - turn(b, t)) - abs(rest - b)) / abs(b)
        if k == "radial":
            c = (l["rest"] ** 2 + l["crank"] ** 2 - l["rod"] ** 2) / (2 * l["rest"] * l["crank"])
            b = l["crank"] * complex(c, math.sqrt(1 - c * c))
            return (abs(l["rest"] + l["reach"] * phi - turn(b, t)) - l["rod"]) / l["crank"]
        raise ValueError(k)

    def solve(self, phi, guess):
        l = self.d["linkage"]
        if l["kind"] == "ratio":
            return l["k"] * phi
        if l["kind"] == "rolling":
            r = lambda x: l["radius"] + l["growth"] * x
            return quad(lambda x: r(x) / (l["centres"] - r(x)), 0, phi, epsabs=1e-14)[0]
        if l["kind"] == "tabulated":
            if not hasattr(self, "fit"):
                self.fit = PchipInterpolator(l["phi"], l["theta"])
            return float(self.fit(phi))
        return newton(lambda t: self.contact(phi, t), guess, x1=guess + 1e-3, tol=1e-15, rtol=1e-15, maxiter=100)

    def theta(self, phi):
        return self.sign * self.solve(phi, np.interp(phi, self.phis, self.angles))

    def place(self, body, at, phi, theta):
        p = complex(*at)
        if body == "plate":
            return p
        if body == "cam":
            return turn(p, self.cam * theta)
        w = self.d["weights"][int(body)]
        if "slide" in w:
            return p + complex(*w["slide"]) * phi
        pivot = complex(*w["pivot"])
        return pivot + turn(p - pivot, sense(w["clockwise"]) * phi)

    def length(self, i, phi):
        s = self.d["springs"][i]
        theta = self.theta(phi)
        return abs(self.place(s["bodyA"], s["a"], phi, theta) - self.place(s["bodyB"], s["b"], phi, theta))

    def slope(self, f, phi):
        """Difference of fourth order."""
        return (8 * (f(phi + H) - f(phi - H)) - (f(phi + 2 * H) - f(phi - 2 * H))) / (12 * H)

    def spring_moment(self, phi):
        total = 0.0
        for i, s in enumerate(self.d["springs"]):
            over = self.length(i, phi) - s["freeLength"] - s["slack"]
            if over > 0:
                total += (s["initialTension"] + s["rate"] * over) * self.slope(lambda x: self.length(i, x), phi)
        return total

    def weight_moment(self, phi):
        square = lambda x: sum(
            w["mass"] * abs(self.place(str(i), w["centre"], x, 0)) ** 2 for i, w in enumerate(self.d["weights"])
        )
        return self.slope(square, phi) / 2

    def speed2(self, phi, side):
        s = self.spring_moment(phi)
        f = self.d["frictionMoment"] + self.d["frictionProportion"] * abs(s)
        if self.d["drag"] > 0:
            s += self.d["drag"] * self.slope(self.theta, phi)
        return (s + side * f) / self.weight_moment(phi)

    def sweeps(self):
        d = self.d
        phis = np.linspace(0, d["stop"], GRID)
        up = np.array([self.speed2(p, 1) for p in phis])
        down = np.array([self.speed2(p, -1) for p in phis])
        top = math.sqrt(up.max())
        speeds = d.get("speeds") or [top * x for x in (0.0371, 0.171, 0.293, 0.411, 0.487, 0.553, 0.619, 0.687, 0.751, 0.817, 0.883, 0.947, 0.983, 1.071)]
        rising, falling = [], []
        for w in speeds:
            u = w * w
            over = np.nonzero(up >= u)[0]
            if len(over) == 0:
                phi = d["stop"]
            elif over[0] == 0:
                phi = 0.0
            else:
                i = over[0]
                phi = brentq(lambda p: self.speed2(p, 1) - u, phis[i - 1], phis[i], xtol=1e-14)
            rising.append(self.theta(phi) if phi > 0 else 0.0)
            under = np.nonzero(down <= u)[0]
            if len(under) == 0:
                phi = 0.0
            elif under[-1] == GRID - 1:
                phi = d["stop"]
            else:
                i = under[-1]
                phi = brentq(lambda p: self.speed2(p, -1) - u, phis[i], phis[i + 1], xtol=1e-14)
            falling.append(self.theta(phi) if phi > 0 else 0.0)
        return {"speeds": speeds, "rising": rising, "falling": falling}

    # Motion by Hamilton's equations in the resting frame.
    def kinetic(self, phi, rate, omega, inertia):
        h = 1e-5
        total = 0.0
        for i, w in enumerate(self.d["weights"]):
            at = lambda dt: turn(self.place(str(i), w["centre"], phi + rate * dt, 0), self.cam * omega * dt)
            v = abs(8 * (at(h) - at(-h)) - (at(2 * h) - at(-2 * h))) / (12 * h)
            spin = self.cam * omega + (0 if "slide" in w else sense(w["clockwise"]) * rate)
            total += w["mass"] * v * v / 2 + w["inertia"] * spin * spin / 2
        spin = omega + rate * self.slope(self.theta, phi)
        return total + inertia * spin * spin / 2

    def motion(self, inertia, damping, speed, phi0, times):
        def parts(phi, omega):
            t = lambda r, w: self.kinetic(phi, r, w, inertia)
            mass = 2 * t(1, 0)
            coupling = (t(1, 1) - t(-1, 1)) / 2
            return mass, coupling

        def f(t, y):
            phi, p = y
            omega = speed(t)
            mass, coupling = parts(phi, omega)
            rate = (p - coupling * omega) / mass
            push = self.slope(lambda x: self.kinetic(x, rate, omega, inertia), phi)
            drag = self.d["drag"] * self.slope(self.theta, phi) if self.d["drag"] else 0.0
            return [rate, push - self.spring_moment(phi) - drag - damping * rate]

        _, coupling = parts(phi0, speed(0))
        r = solve_ivp(f, (0, times[-1]), [phi0, coupling * speed(0)], method="DOP853", rtol=1e-10, atol=1e-13, t_eval=times)
        return [float(x) for x in r.y[0]]


def spring(rate, free, tension=0.0, slack=0.0, a=(-0.012, -0.003), bodyA="plate", b=(0.0, -0.018), bodyB="0"):
    return dict(rate=rate, freeLength=free, initialTension=tension, slack=slack, a=list(a), bodyA=bodyA, b=list(b), bodyB=bodyB)


def weight(mass, pivot, centre, inertia=4e-6, clockwise=False):
    return dict(mass=mass, pivot=list(pivot), centre=list(centre), inertia=inertia, clockwise=clockwise)


W0 = weight(0.030, (0.025, 0), (0.008, -0.016))
W1 = weight(0.030, (-0.025, 0), (-0.008, 0.016))
OTHER = dict(a=(0.012, 0.003), b=(0.0, 0.018), bodyB="1")


def mechanism(name, springs, linkage, stop, weights=None, **more):
    d = dict(name=name, weights=weights or [W0, W1], springs=springs, linkage=linkage, stop=stop, camClockwise=False,
             drag=0.0, frictionMoment=0.0, frictionProportion=0.0)
    d.update(more)
    return d


def slot(offset=0.0):
    return dict(kind="slot", pivot=[0.025, 0], point=[-0.004, -0.008], clockwise=False, offset=offset)


MECHANISMS = [
    mechanism("two equal springs, ratio", [spring(1800, 0.0186), spring(1800, 0.0186, **OTHER)], dict(kind="ratio", k=1.8), 0.11),
    mechanism("light spring and one with a long loop", [spring(1800, 0.0185), spring(4000, 0.019, 2.0, 0.0015, **OTHER)], slot(), 0.1),
    mechanism("offset slot, unequal weights and springs, drag",
              [spring(2300, 0.0181, 0.7), spring(1500, 0.0188, **OTHER)], slot(0.0023), 0.12,
              weights=[W0, weight(0.034, (-0.025, 0.001), (-0.0075, 0.0165))], drag=0.012),
    mechanism("four-bar", [spring(2500, 0.0184), spring(2500, 0.0187, **OTHER)],
              dict(kind="four-bar", pivot=[0.025, 0], point=[0.002, -0.014], camJoint=[-0.006, -0.009], clockwise=False), 0.13),
    mechanism("radial sliders with friction",
              [spring(3000, 0.044, 1.5, a=(-0.03, 0.002), b=(0.018, 0), bodyB="0"), spring(2600, 0.043, a=(0.03, -0.002), b=(-0.018, 0), bodyB="1")],
              dict(kind="radial", rest=0.018, reach=0.04, crank=0.011, rod=0.016), 0.2,
              weights=[dict(mass=0.035, centre=[0.02, 0.001], inertia=1e-6, slide=[0.04, 0.0]), dict(mass=0.033, centre=[-0.0195, 0], inertia=1e-6, slide=[-0.04, 0.0])],
              frictionMoment=0.006),
    mechanism("rolling cheek, spring from weight to weight",
              [spring(1200, 0.0345, 1.0, a=(0.001, -0.0175), bodyA="0", b=(-0.001, 0.0175), bodyB="1"), spring(1700, 0.0189)],
              dict(kind="rolling", centres=0.025, radius=0.0155, growth=0.012), 0.15, camClockwise=True),
    mechanism("follower on a curved flank", [spring(2100, 0.0185), spring(2100, 0.0186, **OTHER)],
              dict(kind="follower", pivot=[0.025, 0], point=[-0.004, -0.008], clockwise=False, slope=35.0, bend=-1500.0), 0.12),
    mechanism("measured linkage", [spring(1900, 0.0186, 0.4), spring(3500, 0.0192, 0.8, 0.0006, **OTHER)],
              dict(kind="tabulated", phi=[0, 0.02, 0.05, 0.08, 0.12], theta=[0, 0.036, 0.095, 0.165, 0.27]), 0.12),
    mechanism("springs on the cam",
              [spring(900, 0.0165, a=(-0.009, -0.006), bodyA="cam", b=(0.006, -0.017), bodyB="0"),
               spring(700, 0.0196, a=(0.015, 0.004), b=(0.004, 0.02), bodyB="cam"), spring(1300, 0.0187)], slot(), 0.11),
    mechanism("snaps in the middle of its travel",
              [spring(1500, 0.0253, a=(0.0171, 0.0108), b=(0.014, -0.018)), spring(1500, 0.0253, a=(-0.0171, -0.0108), b=(-0.014, 0.018), bodyB="1"),
               spring(9000, 0.02, slack=0.007)], dict(kind="ratio", k=1.2), 0.53,
              speeds=[50, 60, 63, 64, 64.5, 64.9, 65.1, 65.4, 65.6, 65.7, 66, 70, 90, 120, 150]),
    mechanism("friction in proportion to the load, drag", [spring(2000, 0.0183, 1.2), spring(1600, 0.0186, **OTHER)], slot(), 0.1,
              frictionMoment=0.003, frictionProportion=0.06, drag=0.01),
    mechanism("friction above the preload: stays out", [spring(1800, 0.01915), spring(1800, 0.01918, **OTHER)], dict(kind="ratio", k=2.0), 0.1,
              frictionMoment=0.02),
    mechanism("slack at rest", [spring(2400, 0.0196), spring(2400, 0.0202, 0.5, **OTHER)], slot(0.001), 0.12),
    mechanism("clockwise rotation", [spring(1800, 0.0185, a=(-0.012, 0.003), b=(0.0, 0.018)), spring(3000, 0.0191, 0.6, 0.0008, a=(0.012, -0.003), b=(0.0, -0.018), bodyB="1")],
              dict(kind="slot", pivot=[0.025, 0], point=[-0.004, 0.008], clockwise=True, offset=-0.001), 0.1,
              weights=[weight(0.03, (0.025, 0), (0.008, 0.016), clockwise=True), weight(0.03, (-0.025, 0), (-0.008, -0.016), clockwise=True)]),
]


def main():
    out = {"made": "SciPy %s, NumPy %s" % (scipy.__version__, np.__version__), "mechanisms": [], "motions": []}
    for d in MECHANISMS:
        m = Mechanism(d)
        d.update(m.sweeps())
        out["mechanisms"].append(d)
        print(d["name"], file=sys.stderr)
    times = [0.01 * i for i in range(1, 31)]
    for i, phi0, w0, w1, tau, damping in ((2, 0.05, 106.0, 119.0, 0.08, 0.004), (3, 0.045, 113.0, 125.0, 0.05, 0.006), (8, 0.045, 63.0, 70.0, 0.1, 0.003)):
        m = Mechanism(MECHANISMS[i])
        speed = lambda t: w1 + (w0 - w1) * math.exp(-t / tau)
        out["motions"].append({"mechanism": MECHANISMS[i]["name"], "camInertia": 6e-6, "damping": damping, "phi": phi0,
                               "from": w0, "to": w1, "time": tau, "times": times, "swing": m.motion(6e-6, damping, speed, phi0, times)})
        print("motion", MECHANISMS[i]["name"], file=sys.stderr)
    json.dump(out, sys.stdout, indent=1)
    print()


main()
