"""The criteria as their books print them: an index that is 1 at failure, one stress state at a time.

Written apart from the library, with roots, fractions and branches as printed, as the second way to the
numbers. `INDEX` is keyed by the name of the criterion.
"""

from math import atan, cos, inf, pi, radians, sin, sqrt, tan


def max_limits(x, limits):
    """Jones 1999, secs. 2.9.1, 2.9.2: each component over its own limit."""
    t1, c1, t2, c2, s = limits
    return max(x[0] / t1, -x[0] / c1, x[1] / t2, -x[1] / c2, abs(x[2]) / s)


def tsai_hill(x, limits):
    """Jones 1999, eq. 2.125, with strengths by the sign of the stress."""
    t1, c1, t2, c2, s = limits
    X, Y = (t1 if x[0] >= 0 else c1), (t2 if x[1] >= 0 else c2)
    return (x[0] / X) ** 2 - x[0] * x[1] / X**2 + (x[1] / Y) ** 2 + (x[2] / s) ** 2


def hoffman(x, limits):
    """Hoffman 1967 in plane stress."""
    t1, c1, t2, c2, s = limits
    quadratic = (x[0] ** 2 - x[0] * x[1]) / (t1 * c1) + x[1] ** 2 / (t2 * c2) + (x[2] / s) ** 2
    return quadratic + (c1 - t1) / (t1 * c1) * x[0] + (c2 - t2) / (t2 * c2) * x[1]


def tsai_wu(x, limits, interaction=-0.5):
    """Tsai and Hahn 1980, ch. 7."""
    t1, c1, t2, c2, s = limits
    F11, F22, F66 = 1 / (t1 * c1), 1 / (t2 * c2), 1 / s**2
    F12, F1, F2 = interaction * sqrt(F11 * F22), 1 / t1 - 1 / c1, 1 / t2 - 1 / c2
    return F11 * x[0] ** 2 + F22 * x[1] ** 2 + F66 * x[2] ** 2 + 2 * F12 * x[0] * x[1] + F1 * x[0] + F2 * x[1]


def hashin(x, limits, ST=None, share=1.0):
    """Hashin 1980, eqs. 26 to 29 (numbers from memory)."""
    t1, c1, t2, c2, s = limits
    ST = c2 / 2 if ST is None else ST
    fiber = (x[0] / t1) ** 2 + share * (x[2] / s) ** 2 if x[0] >= 0 else -x[0] / c1
    if x[1] >= 0:
        return max(fiber, (x[1] / t2) ** 2 + (x[2] / s) ** 2)
    return max(fiber, (x[1] / (2 * ST)) ** 2 + ((c2 / (2 * ST)) ** 2 - 1) * x[1] / c2 + (x[2] / s) ** 2)


def puck(x, limits, pt=0.35, pc=0.30):
    """Puck and Schürmann 1998: stress exposures of the modes, C where the ray passes the point (RA, t12c)."""
    t1, c1, t2, c2, s = limits
    RA = s / (2 * pc) * (sqrt(1 + 2 * pc * c2 / s) - 1)
    pp = pc * RA / s
    t12c = s * sqrt(1 + 2 * pp)
    fiber = max(x[0] / t1, -x[0] / c1)
    if x[1] >= 0:
        return max(fiber, sqrt((x[2] / s) ** 2 + (1 - pt * t2 / s) ** 2 * (x[1] / t2) ** 2) + pt * x[1] / s)
    if abs(x[1]) * t12c <= RA * abs(x[2]):
        return max(fiber, (sqrt(x[2] ** 2 + (pc * x[1]) ** 2) + pc * x[1]) / s)
    return max(fiber, ((x[2] / (2 * (1 + pp) * s)) ** 2 + (x[1] / c2) ** 2) * c2 / -x[1])


def larc03(x, limits, G=None, g=0.35, angle=53.0, planes=213, strain=None):
    """Dávila, Camanho, Rose 2005, table of the six criteria; `strain` is the shear strain at failure."""
    t1, c1, t2, c2, s = limits
    G = s / strain if G is None else G
    a0 = radians(angle)
    eta_T = -1 / tan(2 * a0)
    ST = c2 * cos(a0) * (sin(a0) + cos(a0) / tan(2 * a0))
    eta_L = -s * cos(2 * a0) / (c2 * cos(a0) ** 2)
    k = s / c1
    phi_c = atan((1 - sqrt(1 - 4 * (k + eta_L) * k)) / (2 * (k + eta_L)))

    def tension(s2, t):
        return (1 - g) * s2 / t2 + g * (s2 / t2) ** 2 + (t / s) ** 2

    def compression(s2, t):
        worst = 0.0
        for i in range(planes):
            a = a0 * i / (planes - 1)
            tT = max(-s2 * cos(a) * (sin(a) - eta_T * cos(a)), 0.0)
            tL = max(cos(a) * (abs(t) + eta_L * s2 * cos(a)), 0.0)
            worst = max(worst, (tT / ST) ** 2 + (tL / s) ** 2)
        return worst

    s1, s2, t = x[0], x[1], abs(x[2])
    index = [s1 / t1]
    if s1 < 0:
        if G + s1 - s2 <= 0:
            return inf
        phi = (t + (G - c1) * phi_c) / (G + s1 - s2)
        s2m = sin(phi) ** 2 * s1 + cos(phi) ** 2 * s2 - 2 * sin(phi) * cos(phi) * t
        tm = sin(phi) * cos(phi) * (s2 - s1) + cos(2 * phi) * t
        index.append(max((abs(tm) + eta_L * s2m) / s, 0.0) if s2m < 0 else tension(s2m, tm))
        if s2 < 0 and s1 < -c2 and s2m < 0:
            index.append(compression(s2m, tm))
    if s2 >= 0:
        index.append(tension(s2, t))
    elif s1 >= -c2:
        index.append(compression(s2, t))
    return max(index)


INDEX = {
    "max_stress": max_limits,
    "max_strain": max_limits,
    "tsai_hill": tsai_hill,
    "hoffman": hoffman,
    "tsai_wu": tsai_wu,
    "hashin": hashin,
    "puck": puck,
    "larc03": larc03,
}


def root(index, load, residual, reach=60.0, steps=6000):
    """Smallest R at which index(R load + residual) reaches 1, by a fine search and Brent's method."""
    from scipy.optimize import brentq

    def excess(R):
        return index([R * x + y for x, y in zip(load, residual, strict=True)]) - 1

    if excess(0.0) >= 0:
        return 0.0
    last = 0.0
    for i in range(1, steps + 1):
        R = reach * (i / steps) ** 2
        if excess(R) >= 0:
            return brentq(lambda R: min(excess(R), pi), last, R, xtol=1e-14, rtol=1e-14, maxiter=300)
        last = R
    return inf


def compare(criterion, book, allowables, n, *, fixed=0.4, rtol=1e-9):
    """Ratios of a criterion on random load paths with a residual, against the root of a printed formula."""
    import numpy as np
    from failure_cases import paths

    load, residual = paths(criterion, allowables, n, seed=11, fixed=fixed)
    got = criterion.ratio(load, allowables, residual=residual)
    reach = np.where(np.isinf(got) | (got == 0), 40.0, 3.0 * got)
    want = [root(book, s, r, reach=x, steps=400) for s, r, x in zip(load, residual, reach, strict=True)]
    np.testing.assert_allclose(got, want, rtol=rtol)
    return got
