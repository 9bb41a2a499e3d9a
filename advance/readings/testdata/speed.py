"""Speed of a fit with intervals beside SciPy's: python3 testdata/speed.py, from the
folder of the package.

SciPy (Debian's python3-scipy): a rise between two plateaus by least_squares with a
soft loss, its intervals by 500 bootstrap refits (Efron and Tibshirani 1993). This
package: the benchmark Fit12/0 on one core. Run by hand; no test asserts a time.
"""
import re
import subprocess
import time

import numpy as np
from scipy.optimize import least_squares

RPM = np.array([610, 790, 1010, 1240, 1490, 1760, 2010, 2240, 2510, 2990, 3520, 4010.0])
DEG = np.array([8.0, 7.0, 9.5, 11.5, 17.0, 20.5, 23.0, 29.0, 31.5, 33.0, 34.5, 33.5])


def curve(p, n):
    static, travel, a, b = p
    return static + travel * np.clip((n * n - a * a) / max(b * b - a * a, 1), 0, 1)


def fit(n, y, x0):
    return least_squares(lambda p: curve(p, n) - y, x0, loss="soft_l1", x_scale=[1, 1, 100, 100]).x


def main():
    rng = np.random.default_rng(1)
    fit(RPM, DEG, [8, 26, 950, 2700])
    began = time.process_time()
    best = fit(RPM, DEG, [8, 26, 950, 2700])
    draws = []
    for _ in range(500):
        n = RPM + 25 * rng.standard_normal(RPM.size)
        draws.append(fit(RPM, curve(best, n) + rng.standard_normal(RPM.size), best))
    scipy = time.process_time() - began
    low, high = np.percentile(draws, [2.5, 97.5], axis=0)
    for name, v, l, h in zip(("static", "travel", "start", "all-in"), best, low, high):
        print("%-7s %8.1f (%.1f to %.1f)" % (name, v, l, h))
    out = subprocess.run(["go", "test", "-run", "^$", "-bench", "Fit12/0", "-cpu", "1", "-count", "5", "."], capture_output=True, text=True, check=True).stdout
    here = min(float(m) for m in re.findall(r"(\S+) ns/op", out)) / 1e9
    print("SciPy %.3f s, here %.4f s: %.0f times" % (scipy, here, scipy / here))


main()
