"""Least torque given up by any rising curve, as a quadratic programme in SciPy.

Run by hand: python3 bound.py > bound.txt

Variables: the advance at nine speeds and the static timing. Minimise the mean of
2.8e-4 (spark - MBT)^2 subject to: advance rising, 0 up to 800 rpm, held from
3600 rpm on and there 18 to 25.9427 degrees, spark 2 degrees below the knock
limit, static timing 4 to 16 degrees. The problem is convex, so the solution of
trust-constr (scipy.optimize.minimize) is the least.
"""
import numpy as np
import scipy
from scipy.optimize import LinearConstraint, minimize

mbt = np.array([14, 20, 25, 29, 32, 34, 35, 36, 36.0])
knock = np.array([16, 21, 25, 29, 33, 36, 38, 41, 43.0])
margin, travel = 2.0, (0.0115 - 0.0055) / 0.0265 * 180 / np.pi * 2

off = lambda z: z[:9] + z[9] - mbt
cost = lambda z: np.mean(off(z) ** 2)
slope = lambda z: np.append(2 * off(z) / 9, 2 * np.mean(off(z)))
rules = [LinearConstraint(np.eye(10)[1:9] - np.eye(10)[:8], [0] * 6 + [0, 0], [np.inf] * 6 + [0, 0]),
         LinearConstraint(np.hstack([np.eye(9), np.ones((9, 1))]), -np.inf, knock - margin)]
bounds = [(0, 0)] + [(0, travel)] * 5 + [(18, travel)] * 3 + [(4, 16)]
best = None
for static in (6, 10, 13):
    start = np.clip(mbt - static, 0, travel)
    r = minimize(cost, np.append(start, static), jac=slope, bounds=bounds, constraints=rules, method="trust-constr",
                 options={"xtol": 1e-12, "gtol": 1e-12, "barrier_tol": 1e-12, "maxiter": 20000})
    if r.constr_violation < 1e-9 and (best is None or r.fun < best.fun):
        best = r
print("# scipy", scipy.__version__)
print("least_torque_given_up %.8g" % (2.8e-4 * best.fun))
