"""Stress around a circular hole in an orthotropic sheet: open, filled by a fastener, and pressed on by a bushing.

::

      ^ N, direction 1                 angle 0 of the edge lies along direction 1, where the load pulls;
      |        ____                    the ligament leaves the edge at 90 deg, where an axial load has its peak
      |      /      \\
            ( hole  )---ligament--->   distance_ratio = distance from the center / radius
"""

from functools import lru_cache
from typing import Annotated, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import nnls

from laminate.stack import Laminate
from materials.checks import Array, Limits, checked, checked_together, reject

CONCENTRATION = Limits("-", above=1.0, at_most=20.0)
SPLIT = 3e-4
"""Relative distance to which equal roots are moved apart: truncation and rounding both stay near 1e-7."""

Complex = NDArray[np.complex128]


class SheetModuli(NamedTuple):
    """Moduli of an orthotropic sheet in its plane [Pa], nu12 [-]."""

    E1: float
    E2: float
    G12: float
    nu12: float


def sheet_moduli(laminate: Laminate, *, owner: str = "stress_concentration") -> SheetModuli:
    """Moduli in the plane of a laminate; one that is not balanced and symmetric is refused."""
    A = laminate.A
    if abs(A[:2, 2]).max() > 1e-6 * A[0, 0] or abs(laminate.B).max() > 1e-6 * A[0, 0] * laminate.thickness:
        cause = "the solution is that of an orthotropic sheet"
        reject(f"{owner}: laminate", laminate.code, "balanced and symmetric", cause)
    (A11, A12), A22, A66 = A[0, :2].tolist(), float(A[1, 1]), float(A[2, 2])
    det, h = A11 * A22 - A12**2, laminate.thickness
    return SheetModuli(det / A22 / h, det / A11 / h, A66 / h, A12 / A22)


def _k_and_n(sheet: SheetModuli) -> tuple[float, float]:
    """k = sqrt(E1/E2) and n, by which Lekhnitskii writes the stress at the edge [-]."""
    k = float(np.sqrt(sheet.E1 / sheet.E2))
    return k, float(np.sqrt(2.0 * (k - sheet.nu12) + sheet.E1 / sheet.G12))


def concentration_of(sheet: SheetModuli) -> float:
    """Peak at the edge over the mean stress, load along 1 [-]."""
    return 1.0 + _k_and_n(sheet)[1]


@checked
def stress_concentration(laminate: Laminate) -> float:
    """Stress at the edge of an open hole in a wide laminate over the mean stress, load along x.

    Parameters
    ----------
    laminate : Laminate
        Balanced and symmetric, so that it is orthotropic in its plane.

    Returns
    -------
    float
        KT [-].

    Raises
    ------
    ValueError
        If the laminate couples extension and shear, or extension and bending.

    Notes
    -----
    KT = 1 + sqrt(2 (sqrt(E1/E2) - nu12) + E1/G12); 3 for a quasi-isotropic laminate.

    References
    ----------
    S. G. Lekhnitskii, Anisotropic Plates, 2nd ed. 1968; J. M. Whitney, R. J. Nuismer, Stress fracture criteria for
    laminated composites containing stress concentrations, J. Compos. Mater. 8 (1974) 253-265 (from memory).

    Examples
    --------
    >>> from materials import lamina
    >>> round(stress_concentration(Laminate.from_code("[0/45/-45/90]s", lamina("T300/5208"))), 6)
    3.0
    """
    return concentration_of(sheet_moduli(laminate))


@checked
def finite_width_factor(
    width_ratio: Annotated[ArrayLike, Limits("-", at_least=0.0, below=1.0)],
    *,
    concentration: Annotated[ArrayLike | None, CONCENTRATION] = None,
) -> Array:
    """Stress concentration in a strip of finite width over that in a wide one, both on the gross stress.

    Parameters
    ----------
    width_ratio : array_like, shape (...)
        Diameter of the hole over width of the strip [-].
    concentration : array_like, shape (...), optional
        KT of the wide laminate, for the formula of Tan; that of Heywood without it [-].

    Returns
    -------
    ndarray, shape (...)
        Factor, by which the strength of the wide laminate is divided [-].

    Notes
    -----
    Heywood, isotropic strip: (2 + (1 - d/w)^3) / (3 (1 - d/w)). Tan, orthotropic: KT / KTw =
    b + (d M/w)^6 (KT - 3) (1 - (d M/w)^2) / 2 with b the inverse of Heywood's,
    2 (d M/w)^2 = sqrt(1 - 8 (b - 1)) - 1.
    Finite elements at w/d = 3: Heywood 1 % low for KT 3; Tan 2.5 % high for KT 4.55.

    References
    ----------
    R. B. Heywood; S. C. Tan, J. Compos. Mater. 22 (1988) (both from memory).

    Examples
    --------
    >>> finite_width_factor([0.0, 1 / 6]).round(4).tolist()
    [1.0, 1.0315]
    >>> finite_width_factor(1 / 3, concentration=4.55065).round(5).tolist()
    1.14045
    """
    left = 1 - np.asarray(width_ratio)
    heywood = (2 + left**3) / (3 * left)
    if concentration is None:
        return np.asarray(heywood)
    dm = (np.sqrt(1 - 8 * (1 / heywood - 1)) - 1) / 2
    return np.asarray(1 / (1 / heywood + 0.5 * dm**3 * (np.asarray(concentration) - 3) * (1 - dm)))


@checked_together
def edge_stress(
    laminate: Laminate,
    N: Annotated[ArrayLike, Limits("N/m", last=(3,))],
    *,
    angle: Annotated[ArrayLike, Limits("rad")],
) -> Array:
    """Stress along the edge of an open hole in a wide laminate.

    Parameters
    ----------
    laminate : Laminate
        Balanced and symmetric.
    N : array_like, shape (..., 3)
        Running loads Nx, Ny, Nxy far from the hole [N/m].
    angle : array_like, shape (...)
        Place on the edge, from x toward y [rad].

    Returns
    -------
    ndarray, shape (...)
        Mean over the thickness of the stress along the edge, tension positive [Pa].

    Raises
    ------
    ValueError
        If the laminate couples extension and shear, or extension and bending.

    Notes
    -----
    With k = sqrt(E1/E2), n = KT - 1, c, s of the angle t and E_t the modulus along the edge,
    1/E_t = s^4/E1 + (1/G12 - 2 nu12/E1) s^2 c^2 + c^4/E2:
    stress = E_t/(E1 h) [Nx (-k c^2 + (1+n) s^2) + Ny (k (k+n) c^2 - k s^2) - n (1+k+n) Nxy s c].
    It is Lekhnitskii's formula for one axial load, turned to the axes and superposed.

    References
    ----------
    S. G. Lekhnitskii, Anisotropic Plates, 2nd ed. 1968 (from memory; agrees with complex potentials).

    Examples
    --------
    >>> from materials import lamina
    >>> quasi = Laminate.from_code("[0/45/-45/90]s", lamina("T300/5208"))
    >>> stress = edge_stress(quasi, [1e5, 0.0, 0.0], angle=[0.0, np.pi / 2])
    >>> (stress * quasi.thickness / 1e5).round(6).tolist()
    [-1.0, 3.0]
    """
    sheet, loads = sheet_moduli(laminate, owner="edge_stress"), np.asarray(N) / laminate.thickness
    return _edge_stress(sheet, loads, np.asarray(angle))


def _edge_stress(sheet: SheetModuli, stress: Array, angle: Array) -> Array:
    """Stress along the edge (...) under mean stresses (..., 3) far away."""
    (k, n), c, s = _k_and_n(sheet), np.cos(angle), np.sin(angle)
    E1, E2, G12, nu12 = sheet
    inverse = s**4 / E1 + (1 / G12 - 2 * nu12 / E1) * (s * c) ** 2 + c**4 / E2
    along = -k * c**2 + (1 + n) * s**2
    across = k * (k + n) * c**2 - k * s**2
    shear = -n * (1 + k + n) * s * c
    parts = stress[..., 0] * along + stress[..., 1] * across + stress[..., 2] * shear
    return np.asarray(parts / inverse / E1)


@checked
def ligament_stress(
    laminate: Laminate, distance_ratio: Annotated[ArrayLike, Limits("-", at_least=1.0)]
) -> Array:
    """Stress along x beside an open hole in a wide laminate over the mean stress, load along x.

    Parameters
    ----------
    laminate : Laminate
        Balanced and symmetric.
    distance_ratio : array_like, shape (...)
        Distance from the center of the hole, across the load, over the radius of the hole [-].

    Returns
    -------
    ndarray, shape (...)
        KT at the edge, falling to 1 far away [-].

    Raises
    ------
    ValueError
        If the laminate couples extension and shear, or extension and bending.

    Notes
    -----
    With g the distance ratio, m1 and m2 the roots of m^4/E2 + (1/G12 - 2 nu12/E1) m^2 + 1/E1 = 0 that have a positive
    imaginary part, and q = sqrt(g^2 - 1 - m^2):
    s/s0 = 1 + Re{[-m2/(1 + i m1) (g/q1 - 1) + m1/(1 + i m2) (g/q2 - 1)] / (m1 - m2)}.
    The polynomial of Konish and Whitney, which uses KT alone, is up to 15 % lower at g = 1.25 to 2 where most plies
    lie along the load.

    References
    ----------
    S. G. Lekhnitskii, Anisotropic Plates, 2nd ed. 1968 (from memory); compact form derived.

    Examples
    --------
    >>> from materials import lamina
    >>> quasi = Laminate.from_code("[0/45/-45/90]s", lamina("T300/5208"))
    >>> ligament_stress(quasi, [1.0, 1.5, 3.0]).round(4).tolist()
    [3.0, 1.5185, 1.0741]
    """
    return ligament(sheet_moduli(laminate, owner="ligament_stress"), np.asarray(distance_ratio))


def _roots(sheet: SheetModuli) -> tuple[complex, complex]:
    """The two roots of the characteristic equation for load along 1, apart by `SPLIT` if they are equal."""
    E1, E2, G12, nu12 = sheet
    half = (1 / G12 - 2 * nu12 / E1) / 2 * E2
    root = np.sqrt(complex(half**2 - E2 / E1))
    first, second = (np.sqrt(-half + sign * root + 0j) for sign in (1, -1))
    first, second = (m if m.imag > 0 else -m for m in (first, second))
    if abs(first - second) < SPLIT * abs(first):
        mean = (first + second) / 2
        first, second = mean * (1 + SPLIT / 2), mean * (1 - SPLIT / 2)
    return complex(first), complex(second)


def ligament(sheet: SheetModuli, g: Array, *, mean: bool = False) -> Array:
    """Stress over the mean stress at g radii from the center (...), or its mean from the edge to g."""
    m1, m2 = _roots(sheet)

    def part(m: complex) -> Complex:
        q = np.sqrt(g**2 - 1 - m**2 + 0j)
        return q - g + 1 + 1j * m if mean else g / q - 1

    total = (-m2 / (1 + 1j * m1) * part(m1) + m1 / (1 + 1j * m2) * part(m2)) / (m1 - m2)
    return np.asarray(1 + total.real / (np.maximum(g - 1, 1e-12) if mean else 1.0))


@checked_together
def loads_around_hole(
    laminate: Laminate,
    N: Annotated[ArrayLike, Limits("N/m", last=(3,))],
    *,
    place: Annotated[ArrayLike, Limits("-", last=(2,))],
) -> Array:
    """Running loads at places around an open hole in a wide laminate.

    Parameters
    ----------
    laminate : Laminate
        Balanced and symmetric.
    N : array_like, shape (..., 3)
        Running loads Nx, Ny, Nxy far from the hole [N/m].
    place : array_like, shape (..., 2)
        x and y from the center of the hole over its radius; on the edge or outside [-].

    Returns
    -------
    ndarray, shape (..., 3)
        Nx, Ny, Nxy there [N/m]. Any criterion of plies can be asked at the distance d0 all around the hole.

    Raises
    ------
    ValueError
        If the laminate couples extension and shear, or extension and bending, or a place lies in the hole.

    Notes
    -----
    Two potentials A / zeta with z = x + m y = ((1 - i m) zeta + (1 + i m) / zeta) / 2, m the roots of the
    characteristic equation; A free the edge of traction.

    References
    ----------
    S. G. Lekhnitskii, Anisotropic Plates, 2nd ed. 1968 (from memory).

    Examples
    --------
    >>> from materials import lamina
    >>> quasi = Laminate.from_code("[0/45/-45/90]s", lamina("T300/5208"))
    >>> around = [[np.cos(t), np.sin(t)] for t in (0.0, np.pi / 2)]
    >>> ((loads_around_hole(quasi, [1e5, 0, 0], place=around) / 1e5).round(3) + 0.0).tolist()
    [[0.0, -1.0, 0.0], [3.0, 0.0, 0.0]]
    """
    sheet, far, at = sheet_moduli(laminate, owner="loads_around_hole"), np.asarray(N), np.asarray(place)
    x, y = at[..., 0], at[..., 1]
    if (np.hypot(x, y) < 1 - 1e-9).any():
        got = f"{np.hypot(x, y).min():g} radii from the center"
        reject("loads_around_hole: place [-]", got, "1 or more", "over the radius, not the diameter")
    m = np.array([1 / root for root in _roots(sheet)])  # here x is direction 1
    m = np.where(m.imag > 0, m, -m)
    # on the edge Ux = Nxy sin t - Ny cos t, Uy = Nxy cos t - Nx sin t
    edge = np.stack([1j * far[..., 2] - far[..., 1], far[..., 2] - 1j * far[..., 0]], axis=-1) / 2
    A = edge @ np.linalg.inv(np.array([[1, 1], m])).T
    z = x[..., None] + m * y[..., None]
    root = np.sqrt(z**2 - (1 + m**2))
    zeta = (z + np.where((root * z.conj()).real < 0, -root, root)) / (1 - 1j * m)
    slope = -2 * A / (zeta**2 * (1 - 1j * m) - (1 + 1j * m))
    added = [2 * (slope * weight).sum(axis=-1).real for weight in (m**2, np.ones(2), -m)]
    return np.asarray(far + np.stack(added, axis=-1))


@checked
def filled_edge_stress(
    laminate: Laminate,
    N: Annotated[ArrayLike, Limits("N/m", shape=(3,))],
    *,
    angle: Annotated[ArrayLike, Limits("rad", shape=(-1,))],
    modulus: Annotated[float, Limits("Pa", at_least=1e6, at_most=1e15, cause="given in GPa?")],
    poisson: Annotated[float, Limits("-", at_least=0.0, below=0.5)] = 0.3,
    clearance: Annotated[float, Limits("-", at_least=0.0, at_most=0.1)] = 0.0,
) -> Array:
    """Stress along the edge of a hole that a fastener fills, without load on the fastener.

    Parameters
    ----------
    laminate : Laminate
        Balanced and symmetric, wide.
    N : array_like, shape (3,)
        Running loads Nx, Ny, Nxy far from the hole; Nxy must be zero [N/m].
    angle : array_like, shape (place,)
        Places on the edge, from x toward y [rad].
    modulus : float
        Young's modulus of the fastener, isotropic and solid [Pa].
    poisson : float
        Poisson's ratio of the fastener [-].
    clearance : float
        Difference of the diameters of hole and fastener over the diameter [-].

    Returns
    -------
    ndarray, shape (place,)
        Mean over the thickness of the stress along the edge, tension positive [Pa].

    Raises
    ------
    ValueError
        If the laminate couples extension and shear, or extension and bending, or there is shear.

    Notes
    -----
    Contact without friction at 65 places of a quarter of the edge: pressure and gap are not negative and never both
    there. A clearance larger than the strains leaves the open hole. Clamp-up is not covered.

    References
    ----------
    Complex potentials after S. G. Lekhnitskii (from memory); contact derived.

    Examples
    --------
    >>> from materials import lamina
    >>> quasi = Laminate.from_code("[0/45/-45/90]s", lamina("T300/5208"))
    >>> peaks = [filled_edge_stress(quasi, [-1e5, 0, 0], angle=[np.pi / 2], modulus=110e9, clearance=gap)[0]
    ...          for gap in (0.01, 0.0)]
    >>> bool(peaks[0] < peaks[1] < 0)
    True
    """
    sheet, stress = sheet_moduli(laminate, owner="filled_edge_stress"), np.asarray(N) / laminate.thickness
    if stress[2] != 0.0:
        cause = "the contact is solved for loads along x and y"
        reject("filled_edge_stress: N [N/m]", f"Nxy = {np.asarray(N)[2]:g}", "0", cause)
    pull = float(stress[0]), float(stress[1])
    terms = fit_pressure(sheet, RingCore(modulus, poisson), clearance, pull)
    at = LoadedEdge(sheet, np.asarray(angle))
    return np.asarray(at.pulled(*pull)[1] + at.pressed(len(terms))[1] @ terms)


# --- normal pressure on the edge, symmetric about both axes: p(t) = sum p_k cos 2 k t ----------------------


class RingCore(NamedTuple):
    """An isotropic ring or solid disk that fills a hole: E [Pa], nu [-], inner over outer radius [-]."""

    E: float
    nu: float
    bore_ratio: float = 0.0


def core_answer(core: RingCore, orders: NDArray[np.intp]) -> tuple[Array, Array]:
    """Inward motion of a ring over its radius and hoop stress at its bore, over p = cos(order x angle); (order,)."""
    E, nu, r = core
    out = []
    for n in orders.tolist():
        if n == 0:
            out.append((((1 + r**2) / (1 - r**2) - nu) / E, -2 / (1 - r**2)))
            continue
        powers = np.array([n, n + 2, -n, 2 - n][: 4 if r > 0 else 2], dtype=float)  # of the stress function
        radial, shear, hoop = powers - n**2, n * (powers - 1), powers * (powers - 1)
        rows, right = [radial, shear], [-1.0, 0.0]
        if r > 0:
            at_bore = r ** (powers - 2)
            rows, right = [*rows, radial * at_bore, shear * at_bore], [*right, 0.0, 0.0]
        found = np.linalg.solve(np.array(rows), np.array(right))
        inside = float(found @ (hoop * at_bore)) if r > 0 else 0.0
        out.append((-float(found @ ((radial - nu * hoop) / (powers - 1))) / E, inside))
    motion, stress = np.array(out).T
    return motion, stress


class LoadedEdge:
    """Answers of the edge of a hole of unit radius in a sheet, symmetric about both axes, at angles (place,)."""

    def __init__(self, sheet: SheetModuli, angle: Array) -> None:
        """Prepare the complex potentials at the places."""
        E1, E2, _, nu12 = self.sheet = sheet
        m = np.array([1 / root for root in _roots(sheet)])  # here x is direction 1
        self.m = np.where(m.imag > 0, m, -m)
        self.moves = np.array([self.m**2 / E1 - nu12 / E1, -nu12 / E1 * self.m + 1 / (E2 * self.m)])
        self.angle, self.zeta = angle, np.exp(1j * angle)
        self.dz = 0.5 * ((1 - 1j * self.m)[:, None] - (1 + 1j * self.m)[:, None] / self.zeta**2)

    def pressed(self, terms: int) -> tuple[Array, Array]:
        """Outward motion and stress along the edge (place, term) under the pressures p = cos 2 k angle, k < terms."""
        found = []
        for n in range(0, 2 * terms, 2):
            # dUx/dt = p sin t, dUy/dt = -p cos t on the edge
            up, down = 0.5 / (n + 1), 0.5 / (n - 1)
            found.append(self._answer([(n + 1, -up, -up), (n - 1, down, -down)] if n else [(1, -1.0, -1.0)]))
        return np.array([u for u, _ in found]).T, np.array([s for _, s in found]).T

    def pulled(self, x: float, y: float) -> tuple[Array, Array]:
        """Outward motion and stress along the edge (place,) of the open hole under mean stresses x and y."""
        E1, E2, _, nu12 = self.sheet
        c, s = np.cos(self.angle), np.sin(self.angle)
        outward, along = self._answer([(1, -y, -x)])
        strain = (x / E1 - nu12 * y / E1) * c**2 + (y / E2 - nu12 * x / E1) * s**2
        return outward + strain, along + x * s**2 + y * c**2

    def _answer(self, terms: list[tuple[int, float, float]]) -> tuple[Array, Array]:
        """Answer to Ux = sum a cos(order t), Uy = sum b sin(order t) on the edge, for terms (order, a, b)."""
        disp, slope = np.zeros((2, 2, len(self.angle)), complex)
        for order, a, b in terms:
            A = np.linalg.solve(np.array([np.ones(2), self.m]), np.array([a / 2, 1j * b / 2]))
            disp += A[:, None] * self.zeta**-order
            slope += -order * A[:, None] * self.zeta ** (-order - 1) / self.dz
        u, v = 2 * (self.moves @ disp).real
        sx, sy, txy = (2 * (w @ slope).real for w in (self.m**2, np.ones(2), -self.m))
        c, s = np.cos(self.angle), np.sin(self.angle)
        return u * c + v * s, sx * s**2 + sy * c**2 - 2 * txy * s * c


PLACES = 65
"""Places of a quarter of the edge at which contact is decided."""


class Quarter(NamedTuple):
    """A quarter of the edge under p = sum p_k cos(order_k x angle): every matrix (place, term)."""

    angle: Array
    order: NDArray[np.intp]
    waves: Array
    outward: Array
    """Motion over radius and pressure [1/Pa]."""
    hoop: Array
    """Stress along the edge over pressure [-]."""


@lru_cache(maxsize=32)
def quarter(sheet: SheetModuli) -> Quarter:
    """Answers of a hole in a sheet to pressure on its edge."""
    angle, order = np.linspace(0.0, np.pi / 2, PLACES), 2 * np.arange(PLACES)
    return Quarter(angle, order, np.cos(angle[:, None] * order), *LoadedEdge(sheet, angle).pressed(PLACES))


@lru_cache(maxsize=32)
def _contact(sheet: SheetModuli, core: RingCore) -> tuple[Array, Array, Array, float]:
    """Pressures at the places to terms, weights of the places, Cholesky factor of the flexibility, its scale."""
    edge = quarter(sheet)
    to_terms, weight = np.linalg.inv(edge.waves), np.ones(PLACES)
    weight[[0, -1]] = 0.5  # of the trapezoidal rule, with which the flexibility is symmetric
    flexibility = edge.outward + core_answer(core, edge.order)[0] * edge.waves
    matrix = weight[:, None] * (flexibility @ to_terms)
    scale = float(abs(matrix).max())
    lower = np.linalg.cholesky((matrix + matrix.T) / (2 * scale))
    return np.asarray(to_terms, dtype=float), weight, np.asarray(lower, dtype=float), scale


def fit_pressure(
    sheet: SheetModuli, core: RingCore, gap: Array | float, stress: tuple[float, float] = (0.0, 0.0)
) -> Array:
    """Terms p_k [Pa] of the contact pressure of a core in a hole; `gap` is radial, over the radius, (place,) or one."""
    to_terms, weight, lower, scale = _contact(sheet, core)
    apart = LoadedEdge(sheet, quarter(sheet).angle).pulled(*stress)[0] + gap
    # pressure and gap are not negative and never both there: least squares with pressures >= 0
    found, _ = nnls(lower.T, np.linalg.solve(lower, -weight * apart))
    return np.asarray(to_terms @ found / scale)
