"""Stresses of a bondline between two adherends along an overlap: linear shear and peel, and elastic-plastic shear.

Adherend 1 comes in at the start (-) and ends at the end (+); adherend 2 starts at - and leaves at +. Adherend 1 is
loaded by N at -, adherend 2 by N at +; tau is what the bond puts on adherend 2 along N. Loads are per width of bond.

    N1' = -m tau,   eta tau' / G = N2 / K2 - N1 / K1 + t1 w1'' / 2 + t2 w2'' / 2 + mismatch,   N2 = N - N1
    M1' = Q1 + t1 tau / 2 - N1 t1' / 2,   M2' = Q2 + t2 tau / 2 + N2 t2' / 2,   M = D w''
    Q1' = s - k1 w1,   Q2' = -s - k2 w2,   s = E (w2 - w1) / eta

k is the spring of a round wall, E_hoop t / R^2. The linear solutions are exact where the stiffness is constant.
"""

from typing import Any, NamedTuple

import numpy as np
from scipy.linalg import solve_banded
from scipy.sparse import csc_array
from scipy.sparse.linalg import splu

from materials.checks import Array, reject

HARDENING = 1e-7
"""Slope of the plastic part of the shear curve over G: keeps the equations solvable where all of the bond yields."""
STEPS = 8
"""Steps from the stress of mismatch alone up to failure."""
ROUNDS = 40
"""Most Newton steps at failure."""
CONVERGED = 1e-9
"""Last step over the strain and the load."""


class Adherend(NamedTuple):
    """Stiffness of one adherend in every element of the overlap."""

    K: Array
    """Membrane stiffness E t, (element,) [N/m]."""
    D: Array
    """Bending stiffness of a strip, (element,) [N m]."""
    t: Array
    """Thickness, (element,) [m]."""
    slope: Array
    """Change of thickness along the overlap, (element,) [-]."""
    spring: Array
    """Spring of the hoop, (element,) [N/m3]; 0 for a flat."""


class Bondline(NamedTuple):
    """Adhesive layer: moduli in shear and peel [Pa], thickness [m], number of bonded faces."""

    G: float
    E: float
    thickness: float
    faces: int = 1


def mesh(length: float, kinks: tuple[float, ...], elements: int) -> Array:
    """Nodes along an overlap (node,) [m], dense at its ends, with one at every kink."""
    x = length * (1.0 - np.cos(np.linspace(0.0, np.pi, elements + 1))) / 2.0
    inside = [kink for kink in kinks if 0.0 < kink < length]
    near = [np.abs(x[1:-1] - kink).argmin() + 1 for kink in inside]
    x[near] = inside
    return np.unique(x)


def two_point(
    h: Array, A: Array, F: Array, start: tuple[Array, Array], end: tuple[Array, Array], size: Array
) -> Array:
    """Solve y' = A y + F over elements of length h with rows of y given at both ends, for each load.

    A (element, n, n), F (element, n, load); ``start`` and ``end`` are rows (p, n) and (n - p, n) with their values
    (p, load), (n - p, load); `size` (n,) is the size of each part of y. Returns y (node, n, load).
    """
    n, loads, count = A.shape[1], F.shape[2], len(h)
    whole = np.zeros((count, n + loads, n + loads))
    whole[:, :n, :n] = A * size[None, None, :] / size[None, :, None]
    push = F / size[None, :, None]
    most = np.maximum(abs(push).max(axis=(0, 1)), 1e-300)
    whole[:, :n, n:] = push / most
    step = _exponential(whole * h[:, None, None])
    matrix = np.zeros(((count + 1) * n, (count + 1) * n))
    scale = [abs(rows * size).max(axis=1, keepdims=True) for rows, _ in (start, end)]
    p = len(start[0])
    matrix[:p, :n], matrix[p - n :, -n:] = start[0] * size / scale[0], end[0] * size / scale[1]
    for i in range(count):
        here = slice(p + i * n, p + (i + 1) * n)
        matrix[here, i * n : (i + 1) * n] = -step[i, :n, :n]
        matrix[here, (i + 1) * n : (i + 2) * n] = np.eye(n)
    given = np.concatenate(
        [start[1] / scale[0], (step[:, :n, n:] * most).reshape(-1, loads), end[1] / scale[1]]
    )
    found = splu(csc_array(matrix)).solve(given)
    return np.asarray(found.reshape(count + 1, n, loads) * size[:, None])


def _exponential(A: Array) -> Array:
    """Exponential of small matrices (matrix, n, n), all at once, which `scipy.linalg.expm` takes one by one."""
    halvings = max(0, int(np.ceil(np.log2(max(abs(A).sum(axis=-1).max(), 1e-300)))) + 1)
    part = A / 2.0**halvings
    term = whole = np.broadcast_to(np.eye(A.shape[-1]), A.shape)
    for order in range(1, 16):  # 0.5^16 / 16! is below rounding
        term = term @ part / order
        whole = whole + term
    for _ in range(halvings):
        whole = whole @ whole
    return np.asarray(whole)


def shear_lag(h: Array, one: Array, two: Array, bond: Bondline) -> Array:
    """Shear stress (node, 2) of a unit load per width [1/m] and of a unit mismatch [Pa], membrane stiffness alone.

    `one` and `two` are the stiffness (element,) of the adherends, E t or G t per width of bond [N/m].
    """
    zero, rate = np.zeros_like(h), 1.0 / bond.thickness
    A = _square([[zero, zero - bond.faces * bond.G], [-rate * (1 / one + 1 / two), zero]])
    F = _square([[zero, zero], [rate / two, zero + rate]])
    row = np.array([[1.0, 0.0]])
    y = two_point(
        h,
        A,
        F,
        (row, np.array([[1.0, 0.0]])),
        (row, np.zeros((1, 2))),
        np.array([1.0, 1.0 / (bond.G * h.sum())]),
    )
    return bond.G * y[:, 1]


def _square(rows: list[list[Array]]) -> Array:
    """Matrix (element, row, column) of entries (element,)."""
    return np.moveaxis(np.array(rows), -1, 0)


def sandwich(h: Array, one: Adherend, two: Adherend, bond: Bondline, *, tube: bool) -> dict[str, Array]:
    """Linear shear and peel of one bonded face with bending of both adherends.

    Returns "shear" and "peel" (node, load) and "end" (2, load), the moments of adherend 1 at - and 2 at + [N]. The
    loads are a unit N, with ``tube=False`` a unit edge moment of adherend 1 at - and of 2 at +, and a unit mismatch.
    A tube goes on with the same wall beyond both ends; its springs hold it. Of a flat, the shear force of the edges
    follows by equilibrium.
    """
    loads = 2 if tube else 4
    K1, D1, t1, slope1, k1 = one
    K2, D2, t2, slope2, k2 = two
    eta, G, E = bond.thickness, bond.G, bond.E
    A, F = np.zeros((len(h), 10, 10)), np.zeros((len(h), 10, loads))
    # y = N1, shear strain, w1, slope1, M1, Q1, w2, slope2, M2, Q2
    A[:, 0, 1] = -G
    A[:, 1, 0] = -(1 / K1 + 1 / K2) / eta
    A[:, 1, 4], A[:, 1, 8] = t1 / (2 * D1) / eta, t2 / (2 * D2) / eta
    A[:, 2, 3] = A[:, 6, 7] = A[:, 4, 5] = A[:, 8, 9] = 1.0
    A[:, 3, 4], A[:, 7, 8] = 1 / D1, 1 / D2
    A[:, 4, 1], A[:, 8, 1] = t1 * G / 2, t2 * G / 2
    A[:, 4, 0], A[:, 8, 0] = -slope1 / 2, -slope2 / 2
    A[:, 5, 2], A[:, 5, 6] = -E / eta - k1, E / eta
    A[:, 9, 2], A[:, 9, 6] = E / eta, -E / eta - k2
    F[:, 1, 0], F[:, 8, 0], F[:, 1, -1] = 1 / K2 / eta, slope2 / 2, 1 / eta
    unit, values = np.eye(10), np.zeros((5, loads))
    values[0, 0] = 1.0
    if tube:
        start = np.concatenate([unit[[0, 8, 9]], _continued(D1[0], k1[0], 2, -1.0)])
        end = np.concatenate([unit[[0, 4, 5]], _continued(D2[-1], k2[-1], 6, 1.0)])
        last = np.zeros((5, loads))
    else:
        start, end, last = unit[[0, 8, 9, 4, 2, 3]], unit[[0, 4, 5, 8]], np.zeros((4, loads))
        values = np.zeros((6, loads))
        values[0, 0], values[3, 1], last[3, 2] = 1.0, -1.0, 1.0
    stiff, c = E / eta, h.sum()
    w = 1.0 / (stiff * c)
    size = np.array([1.0, 1 / (G * c), w, w / c, c, 1.0, w, w / c, c, 1.0])
    y = two_point(h, A, F, (start, values), (end, last), size)
    return {"shear": G * y[:, 1], "peel": E / eta * (y[:, 6] - y[:, 2]), "end": np.stack([y[0, 4], y[-1, 8]])}


def both_faces(
    h: Array, one: Array, two: Adherend, bond: Bondline, *, arm: float | None = None
) -> tuple[Array, Array]:
    """Shear and peel (node, 2) in the middle of each bond of a wall bonded on both faces.

    The columns are a unit load per width [1/m] and a unit mismatch [Pa]. `one` is the stiffness (element,) of the
    wall; K of `two` counts both walls of the fitting, D and t one of them. The wall stays straight. The shear is that
    of shear lag. A square end of the bond is free of shear, so the shear force in the layer, tau eta, falls on its
    faces there, half on each: the arm of the shear about the middle of a wall of the fitting is (t2 + eta) / 2,
    M2' = Q2 + (t2 + eta) tau / 2 + N2 t2' / (2 m), Q2' = -E w2 / eta. Both ends of that wall are free to turn, and
    have no shear force; with `arm` it goes on behind the end at + for that length [m], to where it cannot turn.
    """
    K2, D2, t2, slope, _ = two
    m, eta, G, E = bond.faces, bond.thickness, bond.G, bond.E
    A, F = np.zeros((len(h), 6, 6)), np.zeros((len(h), 6, 2))
    # y = N1, shear strain, w2, slope2, M2, Q2
    A[:, 0, 1], A[:, 1, 0] = -m * G, -(1 / one + 1 / K2) / eta
    A[:, 2, 3] = A[:, 4, 5] = 1.0
    A[:, 3, 4], A[:, 5, 2] = 1 / D2, -E / eta
    A[:, 4, 1], A[:, 4, 0] = (t2 + eta) * G / 2, -slope / (2 * m)
    F[:, 1, 0], F[:, 1, 1], F[:, 4, 0] = 1 / K2 / eta, 1 / eta, slope / (2 * m)
    unit, c = np.eye(6), h.sum()
    free, end = unit[[0, 4, 5]], unit[[0, 4, 5]]
    if arm is not None:
        end[1, 3] = D2[-1] / arm
    w = eta / (E * c)
    y = two_point(
        h, A, F, (free, np.array([[1.0, 0.0], [0.0, 0.0], [0.0, 0.0]])), (end, np.zeros((3, 2))),
        np.array([1.0, 1 / (G * c), w, w / c, c, 1.0])
    )  # fmt: skip
    return G * y[:, 1], E / eta * y[:, 2]


def peel_per_shear(t2: Array, E2: float, bond: Bondline) -> Array:
    """Peel over shear (...) at a free end of a fitting of thickness t2 (...) under uniform shear, both faces bonded.

    E2: modulus of the fitting in plane strain [Pa]. Without eta in the arm this is Hart-Smith's double lap.
    """
    eta = bond.thickness
    return np.asarray((1 + eta / t2) * (3 * bond.E * t2 / (E2 * eta)) ** 0.25)


def _continued(D: float, spring: float, at: int, sign: float) -> Array:
    """Rows (2, 10) at an end where a wall on springs goes on; `at` is the place of its w, sign +1 for the end."""
    b = (spring / (4.0 * D)) ** 0.25
    rows = np.zeros((2, 10))
    rows[0, at + 2], rows[0, at + 1], rows[0, at] = 1 / D, sign * 2 * b, 2 * b**2
    rows[1, at + 3], rows[1, at + 1], rows[1, at] = 1 / D, -2 * b**2, -sign * 4 * b**3
    return rows


def edge_moments(
    load: Array, K: tuple[float, float], D: tuple[float, float], t: tuple[float, float], length: float
) -> Array:
    """Edge moments over load (..., 2) [m] of a flat lap, of adherend 1 at - and 2 at +, for loads per width (...).

    The line of the load joins the middles of two long adherends, which it straightens as it grows; the overlap bends
    as one piece. In compression that of the smallest load stands. The rule of Goland and Reissner (1944) for unlike
    adherends: own derivation.
    """
    N = np.maximum(np.asarray(load, dtype=float), 1e-9 * min(D) / length**2)
    arm = sum(t) / 2
    arms = np.array([K[1], K[0]]) / sum(K) * arm
    whole = sum(D) + K[0] * K[1] / sum(K) * arm**2
    s1, s2, so = (np.sqrt(N / stiffness) for stiffness in (*D, whole))
    th = np.tanh(so * length / 2)
    a1, b1, a2, b2 = s1 + so * th, s1 * th + so, s2 + so * th, s2 * th + so
    even = (s1 * arms[0] * b2 - s2 * arms[1] * b1) / (a1 * b2 + a2 * b1)
    odd = -(a1 * s2 * arms[1] + a2 * s1 * arms[0]) / (a1 * b2 + a2 * b1)
    return np.stack([arms[0] - even + th * odd, even + th * odd + arms[1]], axis=-1)


def uniform_shear(
    load: Array,
    edges: Array,
    K: tuple[float, float],
    D: tuple[float, float],
    t: tuple[float, float],
    length: float,
) -> Array:
    """Part of the shear (...) [Pa] of a flat lap that is uniform, of loads per width (...) and edge moments (..., 2).

    The shear force of the edges, V l = N (t1 + t2)/2 - M1 - M2, bends the adherends evenly; of unlike ones the softer
    counts for both. With like adherends it is 3 (1 - k) N / (4 l), as of Goland and Reissner.
    """
    V = (load * sum(t) / 2 - edges.sum(axis=-1)) / length
    compliance = sum(1 / k + d**2 / (4 * stiff) for k, stiff, d in zip(K, D, t, strict=True))
    return V * max(d / (2 * stiff) for stiff, d in zip(D, t, strict=True)) / compliance


def shear_strength(
    h: Array, compliance: Array, second: Array, bond: Bondline, *, strength: float, ultimate: float,
    mismatch: float, directions: Array,
) -> Array:  # fmt: skip
    """Load per width (2, direction) [N/m] at which an elastic-plastic bond reaches `ultimate` strain in either half.

    The load acts along and across the overlap at once, ``directions`` (direction, 2), on adherends of `compliance`
    1/K1 + 1/K2 and compliance of the second 1/K2 (element, 2) [m/N]; the stress follows the strain in direction, with
    the size of the curve. 0 where the mismatch alone breaks it.

    Displacement of the bond by linear elements, the stress at their nodes: (eta g' - mismatch - N / K2) / c = -N1.
    """
    eta, m, nodes = bond.thickness, bond.faces, len(h) + 1
    weight = m * np.convolve(h, [0.5, 0.5], mode="full")
    spread = eta / (compliance * h[:, None])  # (element, 2)
    pull = second / compliance  # (element, 2)
    unit = np.zeros((nodes, 2))
    unit[:-1] -= pull
    unit[1:] += pull
    unit[0] += 1.0
    heat = np.zeros((nodes, 2))
    heat[:-1, 0] -= mismatch / compliance[:, 0]
    heat[1:, 0] += mismatch / compliance[:, 0]
    model = _Bond(spread, weight, bond.G, strength)
    still, _ = model.settle(np.zeros((1, nodes, 2)), heat[None])
    if np.linalg.norm(still, axis=-1).max() >= ultimate:
        return np.zeros((2, len(directions)))
    load = unit * directions[:, None, :]
    middle = int(np.searchsorted(np.cumsum(h), h.sum() / 2)) + 1
    halves = slice(0, middle), slice(middle, nodes)
    found = np.array([model.load_at(still, heat, load, half, ultimate) for half in halves])
    if np.isnan(found).all(axis=0).any():
        reject("plastic strength of the bond", "no solution", "found", "a bond far from usual proportions?")
    return np.where(np.isnan(found), found[::-1], found)  # a half that cannot fail first counts as the other


def long_strength(
    K: tuple[float, float], bond: Bondline, energy: float, mismatch: float
) -> tuple[float, float]:
    """Load per width [N/m] that breaks a bond of long overlap, in tension and in compression of the joint.

    energy: area under the shear curve [J/m3]; mismatch: free strain of the second adherend less the first [-]. The
    lower of both ends (Hart-Smith, NASA CR-112235/-6, derived); negative where the mismatch alone breaks it.
    """
    K1, K2 = K
    most = 2.0 * bond.faces * bond.thickness * energy
    late, early = np.sqrt(most * K2 * (1 + K2 / K1)), np.sqrt(most * K1 * (1 + K1 / K2))
    pull = min(late - K2 * mismatch, early + K1 * mismatch)
    push = min(late + K2 * mismatch, early - K1 * mismatch)
    return float(pull), float(push)


class _Bond(NamedTuple):
    """Equations of an elastic-plastic bond: K g + weight tau(g) = loads, g (load case, node, 2)."""

    spread: Array
    weight: Array
    G: float
    strength: float

    def stress(self, g: Array) -> tuple[Array, Array]:
        """Shear stress (..., 2) and its derivatives (..., 2, 2) at shear strains g (..., 2)."""
        size = np.linalg.norm(g, axis=-1)[..., None]
        knee = self.strength / self.G
        plastic = size > knee
        safe = np.where(plastic, size, 1.0)
        secant = np.where(plastic, (self.strength + HARDENING * self.G * (size - knee)) / safe, self.G)
        along = np.where(plastic, g / safe, 0.0)
        fall = np.where(plastic, secant - HARDENING * self.G, 0.0)
        slope = secant[..., None] * np.eye(2) - fall[..., None] * along[..., :, None] * along[..., None, :]
        return secant * g, slope

    def residual(self, g: Array, load: Array) -> Array:
        """What is out of balance (case, node, 2)."""
        flow = self.spread * np.diff(g, axis=1)
        out = load - self.weight[:, None] * self.stress(g)[0]
        out[:, :-1] += flow
        out[:, 1:] -= flow
        return out

    def solve(self, g: Array, *right: Array) -> list[Array]:
        """Newton's steps for right-hand sides (case, node, 2), all cases in one band matrix."""
        cases, nodes, _ = g.shape
        slope = self.weight[:, None, None] * self.stress(g)[1]
        diagonal = np.zeros((nodes, 2))
        diagonal[:-1] += self.spread
        diagonal[1:] += self.spread
        band = np.zeros((5, cases, nodes, 2))
        band[2] = diagonal + slope[..., [0, 1], [0, 1]]
        band[1, :, :, 1] = band[3, :, :, 0] = slope[..., 0, 1]
        band[0, :, 1:] = band[4, :, :-1] = -self.spread
        flat = np.stack([np.broadcast_to(one, g.shape).reshape(-1) for one in right], axis=-1)
        out = solve_banded((2, 2), band.reshape(5, -1), flat, check_finite=False)
        return [out[:, i].reshape(g.shape) for i in range(len(right))]

    def settle(self, g: Array, load: Array) -> tuple[Array, float]:
        """Strain under a given load, from a first guess, by Newton's steps."""
        for _ in range(ROUNDS):
            (step,) = self.solve(g, self.residual(g, load))
            g = g + step
            if abs(step).max() < 1e-12:
                break
        return g, float(abs(step).max())

    def load_at(self, still: Array, heat: Array, load: Array, half: slice, ultimate: float) -> Array:
        """Factor on the load (case,) at which the largest strain of a half is `ultimate`; NaN where none is found."""
        g = np.broadcast_to(still, load.shape).copy()
        (rise,) = self.solve(g, load)
        case, factor = np.arange(len(load)), np.zeros(len(load))
        size = np.linalg.norm(rise[:, half], axis=-1)
        node = size.argmax(axis=1)
        normal = rise[:, half][case, node] / size[case, node][:, None]
        first = (normal * g[:, half][case, node]).sum(axis=-1)
        for i in range(1, STEPS + ROUNDS):
            goal: Any = ultimate
            if i <= STEPS:  # step by step where and whither the load strains most, then on the largest strain
                goal = first + (ultimate - first) * i / STEPS
            else:
                size = np.linalg.norm(g[:, half], axis=-1)
                node = size.argmax(axis=1)
                normal = g[:, half][case, node] / size[case, node][:, None]
            for _ in range(2 if i <= STEPS else 1):
                rest, rise = self.solve(g, self.residual(g, heat + factor[:, None, None] * load), load)
                lacks = goal - (normal * (g + rest)[:, half][case, node]).sum(axis=-1)
                more = lacks / (normal * rise[:, half][case, node]).sum(axis=-1)
                step = rest + more[:, None, None] * rise
                g, factor = g + step, factor + more
            off = abs(more / factor) + abs(step).max(axis=(1, 2)) / ultimate
            if i > STEPS and off.max() < CONVERGED:
                break
        return np.where((off < CONVERGED) & (factor > 0.0), factor, np.nan)
