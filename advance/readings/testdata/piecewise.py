"""Independent fit of one straight ramp between two plateaus, for the package tests.

Run by hand: python3 piecewise.py > piecewise.txt   (SciPy 1.10)

Likelihood as stated in the package documentation, built here from numerical
quadrature over the tachometer's error instead of the closed form, and minimised
by a global search and a simplex instead of Levenberg and Marquardt's method.
Limits of the 95 % intervals: Brent's root of the profile.
"""
import numpy as np
from scipy import optimize, stats

RPM = np.array([610, 790, 1010, 1240, 1490, 1760, 2010, 2240, 2510, 2990, 3520, 4010.0])
DEG = np.array([8.0, 7.0, 9.5, 11.5, 17.0, 20.5, 23.0, 29.0, 31.5, 33.0, 34.5, 33.5])
SIGMA_RPM, SIGMA_DEG, SHARE, WIDTH, PRIOR = 25.0, 1.0, 0.03, 10.0, 10.0

NODES, WEIGHTS = np.polynomial.legendre.leggauss(40)


def clamp_mean(a, b):
    """Means of the speeds held between a and b, by Gauss-Legendre quadrature of
    the normal law piece by piece, the corners being ends of pieces."""
    cut = [np.full_like(RPM, -9.0)] + [np.clip((x - RPM) / SIGMA_RPM, -9, 9) for x in (a, b)] + [np.full_like(RPM, 9.0)]
    total = np.zeros_like(RPM)
    for low, high in zip(cut, cut[1:]):
        z = (low + high)[:, None] / 2 + (high - low)[:, None] / 2 * NODES
        f = np.clip(RPM[:, None] + SIGMA_RPM * z, a, b) * np.exp(-z * z / 2) / np.sqrt(2 * np.pi)
        total += (f @ WEIGHTS) * (high - low) / 2
    return total


def model(p):
    static, travel, a, b = p
    mean = static + travel * (clamp_mean(a, b) - a) / (b - a)
    inside = stats.norm.cdf((RPM - a) / SIGMA_RPM) - stats.norm.cdf((RPM - b) / SIGMA_RPM)
    return mean, travel / (b - a) * inside


def deviance(p):
    static, travel, a, b = p
    if b < a + 10 or travel < 0 or a < RPM.min() - 2 * SIGMA_RPM or b > RPM.max() + 2 * SIGMA_RPM:
        return 1e6
    mean, slope = model(p)
    v = SIGMA_DEG**2 + SIGMA_RPM**2 * slope**2
    z = (DEG - mean) / np.sqrt(v)
    norm = (1 - SHARE) + SHARE / WIDTH
    mix = ((1 - SHARE) * np.exp(-z * z / 2) + SHARE / WIDTH * np.exp(-z * z / 2 / WIDTH**2)) / norm
    return np.sum(-2 * np.log(mix) + np.log(v / SIGMA_DEG**2))


def polish(f, x):
    for _ in range(4):
        r = optimize.minimize(f, x, method="Nelder-Mead", options=dict(xatol=1e-7, fatol=1e-10, maxiter=4000, maxfev=4000))
        x = r.x
    return r


def main():
    start = [8, 26, 950, 2700]
    best = polish(deviance, start)
    for other in ([8, 26, 700, 2400], [7, 27, 1100, 3000], [9, 24, 1300, 2600]):
        r = polish(deviance, other)
        if r.fun < best.fun:
            best = r
    mean, slope = model(best.x)
    z = (DEG - mean) / np.sqrt(SIGMA_DEG**2 + SIGMA_RPM**2 * slope**2)
    good = (1 - SHARE) * np.exp(-z * z / 2)
    bad = SHARE / WIDTH * np.exp(-z * z / 2 / WIDTH**2)
    prob = good / (good + bad)
    freedom = PRIOR + prob.sum() - 4
    variance = (PRIOR + (prob * z * z).sum()) / freedom
    threshold = variance * stats.t.ppf(0.975, freedom) ** 2
    print("deviance %.6f" % best.fun)
    print("threshold %.6f" % threshold)
    s, t, a, b = best.x
    # quantity: value, and the other three parameters free
    def profile(kind, q):
        if kind == "static":
            return polish(lambda x: deviance([q, x[0], x[1], x[2]]), [t + s - q, a, b]).fun
        if kind == "total":
            return polish(lambda x: deviance([x[0], q - x[0], x[1], x[2]]), [s, a, b]).fun
        if kind == "travel":
            return polish(lambda x: deviance([x[0], q, x[1], x[2]]), [s + (t - q) / 2, a, b]).fun
        if kind == "start":
            return polish(lambda x: deviance([x[0], x[1], q, x[2]]), [s, t, b]).fun
        return polish(lambda x: deviance([x[0], x[1], x[2], q]), [s, t, a]).fun
    for kind, value, step in (("static", s, 1.0), ("total", s + t, 1.0), ("travel", t, 1.5), ("start", a, 100), ("all-in", b, 120)):
        ends = []
        for sign in (-1, 1):
            f = lambda q: profile(kind, q) - best.fun - threshold
            far = value + sign * step
            while f(far) < 0:
                far += sign * step / 2
            ends.append(optimize.brentq(f, value, far, xtol=1e-4))
        print("%s %.5f %.5f %.5f" % (kind, value, *ends), flush=True)


main()
