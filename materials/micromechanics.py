"""From fiber and matrix to the unidirectional ply: rules on plain arrays, and the ply made by them."""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Frozen, Limits, broadcastable, checked
from materials.fiber_content import CLOSEST, cured_thickness
from materials.lamina import CURE, EXPANSION, SWELLING, Lamina, check_anisotropy, check_poisson
from materials.metal import NU
from materials.source import SOURCED, Source

FIBER_MODULUS = Limits("Pa", at_least=1e8, at_most=2e12, cause="given in GPa?")
FIBER_EXPANSION = Limits("1/K", at_least=-1e-4, at_most=1e-4, cause="given in 1e-6/K?")
FIBER_NU = Limits("-", at_least=-1.0, at_most=1.0, cause="given in percent?")

AnyArray = Annotated[ArrayLike, Limits("any")]
Positive = Annotated[ArrayLike, Limits("any", above=0.0)]
Share = Annotated[ArrayLike, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")]


@checked
def mixture(fiber: AnyArray, matrix: AnyArray, fiber_volume: Share) -> Array:
    """Rule of mixtures: E1, nu12 and density of a ply.

    Parameters
    ----------
    fiber, matrix : array_like
        Property of the fiber and of the matrix, in one unit [any].
    fiber_volume : array_like
        Fiber volume fraction [-].

    Returns
    -------
    ndarray
        Property of the ply, Vf f + (1 - Vf) m, in the unit of `fiber` [any].

    Examples
    --------
    >>> mixture([85.0, 2500.0], [3.4, 1200.0], 0.7).round(2)
    array([  60.52, 2110.  ])
    """
    f, m, Vf = broadcastable(fiber=fiber, matrix=matrix, fiber_volume=fiber_volume)
    return np.asarray(Vf * f + (1.0 - Vf) * m)


@checked
def halpin_tsai(
    fiber: Positive,
    matrix: Positive,
    fiber_volume: Share,
    *,
    reinforcement: Annotated[ArrayLike, Limits("-", at_least=0.0)],
) -> Array:
    """Halpin-Tsai interpolation between the series and the parallel bound.

    Parameters
    ----------
    fiber, matrix : array_like
        Modulus of the fiber and of the matrix, in one unit [any].
    fiber_volume : array_like
        Fiber volume fraction [-].
    reinforcement : array_like
        Reinforcing factor xi: 2 for E2 and 1 for G12 of round fibers in a square array; 0 gives the series
        bound 1 / (Vf/f + Vm/m), a very large one `mixture` [-].

    Returns
    -------
    ndarray
        Modulus of the ply, m (1 + xi eta Vf) / (1 - eta Vf) with eta = (f/m - 1) / (f/m + xi), in the unit of
        `fiber` [any].

    References
    ----------
    Halpin & Kardos, The Halpin-Tsai equations: a review, Polym. Eng. Sci. 16 (1976) 344-352.

    Examples
    --------
    >>> round(float(halpin_tsai(85.0, 3.4, 0.7, reinforcement=2.0)), 2)
    20.2
    """
    f, m, Vf, xi = broadcastable(
        fiber=fiber, matrix=matrix, fiber_volume=fiber_volume, reinforcement=reinforcement
    )
    eta = (f / m - 1.0) / (f / m + xi)
    return np.asarray(m * (1.0 + xi * eta * Vf) / (1.0 - eta * Vf))


class Fiber(Frozen, eq=True):
    """A fiber, the same in every direction across its axis.

    Parameters
    ----------
    name : str
        Trade name.
    E1, E2 : float
        Young's moduli along and across the fiber [Pa].
    G12 : float
        Shear modulus along the fiber [Pa].
    nu12 : float
        Poisson's ratio under stress along the fiber [-].
    density : float
        Mass per volume [kg/m3].
    alpha1, alpha2 : float
        Thermal expansion along and across the fiber [1/K].
    source : Source
        Where the values come from.

    Raises
    ------
    ValueError
        If nu12 is not below sqrt(E1 / E2), or a modulus is above 500 times another.

    Examples
    --------
    >>> glass = Fiber(name="E-glass", E1=85e9, E2=85e9, G12=35.42e9, nu12=0.2, density=2500.0, alpha1=5e-6,
    ...               alpha2=5e-6, source=Source("Kaw (2006)", "table 3.1", "from memory"))
    """

    name: str
    E1: Annotated[float, FIBER_MODULUS]
    E2: Annotated[float, FIBER_MODULUS]
    G12: Annotated[float, FIBER_MODULUS]
    nu12: Annotated[float, FIBER_NU]
    density: Annotated[float, Limits("kg/m3", at_least=500.0, at_most=25e3, cause="given in g/cm3?")]
    alpha1: Annotated[float, FIBER_EXPANSION]
    alpha2: Annotated[float, FIBER_EXPANSION]
    source: Annotated[Source, SOURCED]

    def __post_init__(self) -> None:
        super().__post_init__()
        owner = f"Fiber '{self.name}'"
        check_poisson(owner, self.nu12, self.E1, self.E2, "are E1 and E2 swapped?")
        check_anisotropy(owner, self, ("E1", "E2", "G12"))


class Matrix(Frozen, eq=True):
    """An isotropic matrix.

    Parameters
    ----------
    name : str
        Resin and hardener.
    E : float
        Young's modulus [Pa].
    nu : float
        Poisson's ratio [-].
    density : float
        Mass per volume [kg/m3].
    alpha : float
        Thermal expansion [1/K].
    beta : float
        Swelling, strain per mass fraction of moisture in the matrix [-].
    source : Source
        Where the values come from.

    Examples
    --------
    >>> epoxy = Matrix(name="epoxy", E=3.4e9, nu=0.3, density=1200.0, alpha=63e-6, beta=0.33,
    ...                source=Source("Kaw (2006)", "table 3.2", "from memory"))
    >>> round(epoxy.G / 1e9, 3)
    1.308
    """

    name: str
    E: Annotated[float, Limits("Pa", at_least=1e6, at_most=1e12, cause="given in GPa?")]
    nu: Annotated[float, NU]
    density: Annotated[float, Limits("kg/m3", at_least=200.0, at_most=25e3, cause="given in g/cm3?")]
    alpha: Annotated[float, EXPANSION]
    beta: Annotated[float, SWELLING]
    source: Annotated[Source, SOURCED]

    @property
    def G(self) -> float:
        """Shear modulus, E / (2 (1 + nu)) [Pa]."""
        return self.E / (2.0 * (1.0 + self.nu))


@checked
def unidirectional(
    fiber: Fiber,
    matrix: Matrix,
    *,
    name: str,
    fiber_volume: Annotated[float, Limits("-", above=0.0, at_most=CLOSEST, cause="given in percent?")],
    areal_weight: Annotated[float, Limits("kg/m2", above=0.0, at_most=20.0, cause="given in g/m2?")],
    reinforcement_E2: Annotated[float, Limits("-", at_least=0.0)] = 2.0,
    reinforcement_G12: Annotated[float, Limits("-", at_least=0.0)] = 1.0,
    stress_free_temperature: Annotated[float | None, CURE] = None,
) -> Lamina:
    """Build a unidirectional ply from fiber and matrix.

    Parameters
    ----------
    fiber : Fiber
        The fiber; it takes up no moisture.
    matrix : Matrix
        The matrix.
    name : str
        Name of the ply.
    fiber_volume : float
        Fiber volume fraction [-].
    areal_weight : float
        Mass of dry fiber per area of the ply [kg/m2].
    reinforcement_E2, reinforcement_G12 : float
        Halpin-Tsai reinforcing factors [-].
    stress_free_temperature : float, optional
        Temperature without thermal residual stress [K].

    Returns
    -------
    Lamina
        With G13 = G12, which the symmetry of the ply implies; without G23 and without allowables, which fiber
        and matrix alone do not give.

    Notes
    -----
    E1, nu12 and density by the rule of mixtures, E2 and G12 after Halpin-Tsai. Thermal expansion after Schapery:
    a1 = (Vf E1f a1f + Vm Em am) / (Vf E1f + Vm Em), and
    a2 = Vf (a2f + nu12f a1f) + Vm (1 + num) am - a1 (Vf nu12f + Vm num).
    Moisture expansion by the same formulas, am being beta times ply density / (Vm x matrix density): it refers to
    the moisture of the ply, all of which is in the matrix.

    References
    ----------
    Schapery, Thermal expansion coefficients of composite materials based on energy principles,
    J. Compos. Mater. 2 (1968) 380-404.

    Examples
    --------
    >>> source = Source("Kaw (2006)", "chapter 3", "from memory")
    >>> glass = Fiber(name="E-glass", E1=85e9, E2=85e9, G12=35.42e9, nu12=0.2, density=2500.0, alpha1=5e-6,
    ...               alpha2=5e-6, source=source)
    >>> epoxy = Matrix(name="epoxy", E=3.4e9, nu=0.3, density=1200.0, alpha=63e-6, beta=0.33, source=source)
    >>> ply = unidirectional(glass, epoxy, name="glass/epoxy", fiber_volume=0.7, areal_weight=0.3)
    >>> round(ply.E1 / 1e9, 2), round(ply.E2 / 1e9, 2), ply.G23
    (60.52, 20.2, None)
    """
    Vf = fiber_volume
    E1, nu12, density = (
        float(mixture(f, m, Vf))
        for f, m in ((fiber.E1, matrix.E), (fiber.nu12, matrix.nu), (fiber.density, matrix.density))
    )
    wet = matrix.beta * density / ((1.0 - Vf) * matrix.density)
    alpha1, alpha2 = expansions(fiber, matrix, Vf, (fiber.alpha1, fiber.alpha2), matrix.alpha)
    beta1, beta2 = expansions(fiber, matrix, Vf, (0.0, 0.0), wet)
    G12 = float(halpin_tsai(fiber.G12, matrix.G, Vf, reinforcement=reinforcement_G12))
    method = f"rule of mixtures, Halpin-Tsai, Schapery at fiber volume {Vf:g}"
    note = f"{method}; fiber: {fiber.source}; matrix: {matrix.source}"
    return Lamina(
        name=name,
        kind="tape",
        E1=E1,
        E2=float(halpin_tsai(fiber.E2, matrix.E, Vf, reinforcement=reinforcement_E2)),
        G12=G12,
        G13=G12,
        nu12=nu12,
        thickness=float(cured_thickness(areal_weight, fiber_density=fiber.density, fiber_volume=Vf)),
        density=density,
        alpha1=alpha1,
        alpha2=alpha2,
        beta1=beta1,
        beta2=beta2,
        stress_free_temperature=stress_free_temperature,
        source=Source("micromechanics", f"{fiber.name} in {matrix.name}", note),
    )


def expansions(
    fiber: Fiber, matrix: Matrix, Vf: float, of_fiber: tuple[float, float], of_matrix: float
) -> tuple[float, float]:
    """Free expansion of the ply along and across the fiber, from that of fiber (along, across) and matrix."""
    a1f, a2f = of_fiber
    stiffness = Vf * fiber.E1, (1.0 - Vf) * matrix.E
    a1 = (stiffness[0] * a1f + stiffness[1] * of_matrix) / sum(stiffness)
    free = Vf * (a2f + fiber.nu12 * a1f) + (1.0 - Vf) * (1.0 + matrix.nu) * of_matrix
    return a1, free - a1 * (Vf * fiber.nu12 + (1.0 - Vf) * matrix.nu)
