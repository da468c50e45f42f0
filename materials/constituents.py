"""Fiber and matrix as objects, and the unidirectional ply made of them."""

from dataclasses import dataclass

from materials.checks import number, reject
from materials.fiber_content import CLOSEST, cured_thickness
from materials.kinds import instance
from materials.lamina import Lamina
from materials.limits import Limit, hold_within, named
from materials.micromechanics import (
    halpin_tsai,
    longitudinal_expansion,
    mixture,
    transverse_expansion,
)
from materials.source import Source, source_of

FIBER_LIMITS: tuple[Limit, ...] = (
    ("E1", "Pa", 1e8, 2e12, "given in GPa?"),
    ("E2", "Pa", 1e8, 2e12, "given in GPa?"),
    ("G12", "Pa", 1e8, 2e12, "given in GPa?"),
    ("nu12", "-", -1.0, 1.0, "given in percent?"),
    ("density", "kg/m^3", 500.0, 25e3, "given in g/cm^3?"),
    ("alpha1", "1/K", -1e-4, 1e-4, "given in 1e-6/K?"),
    ("alpha2", "1/K", -1e-4, 1e-4, "given in 1e-6/K?"),
)
MATRIX_LIMITS: tuple[Limit, ...] = (
    ("E", "Pa", 1e6, 1e12, "given in GPa?"),
    ("nu", "-", -0.999, 0.4999, "isotropic solids lie between -1 and 1/2"),
    ("density", "kg/m^3", 200.0, 25e3, "given in g/cm^3?"),
    ("alpha", "1/K", -5e-4, 5e-4, "given in 1e-6/K?"),
    ("beta", "-", -5.0, 5.0, "is it strain per mass fraction, 1 % being 0.01?"),
)


@dataclass(frozen=True, kw_only=True)
class Fiber:
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
        Mass per volume [kg/m^3].
    alpha1, alpha2 : float
        Thermal expansion along and across the fiber [1/K].
    source : Source
        Where the values come from.

    Raises
    ------
    ValueError
        If a value is impossible, or of a size that only a slip of units explains.
    """

    name: str
    E1: float
    E2: float
    G12: float
    nu12: float
    density: float
    alpha1: float
    alpha2: float
    source: Source

    def __post_init__(self) -> None:
        owner = named("Fiber", self.name)
        hold_within(self, owner, FIBER_LIMITS)
        if self.nu12**2 >= self.E1 / self.E2:
            limit = f"below sqrt(E1/E2) = {(self.E1 / self.E2) ** 0.5:.3g} in size"
            reject(f"{owner}: nu12 [-]", f"{self.nu12:g}", limit, "are E1 and E2 swapped?")
        source_of(owner, self.source)


@dataclass(frozen=True, kw_only=True)
class Matrix:
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
        Mass per volume [kg/m^3].
    alpha : float
        Thermal expansion [1/K].
    beta : float
        Swelling, strain per mass fraction of moisture in the matrix [-].
    source : Source
        Where the values come from.

    Raises
    ------
    ValueError
        If a value is impossible, or of a size that only a slip of units explains.
    """

    name: str
    E: float
    nu: float
    density: float
    alpha: float
    beta: float
    source: Source

    def __post_init__(self) -> None:
        owner = named("Matrix", self.name)
        hold_within(self, owner, MATRIX_LIMITS)
        source_of(owner, self.source)

    @property
    def G(self) -> float:
        """Shear modulus, E / (2 (1 + nu)) [Pa]."""
        return self.E / (2.0 * (1.0 + self.nu))


def unidirectional(
    fiber: Fiber,
    matrix: Matrix,
    *,
    name: str,
    fiber_volume: float,
    areal_weight: float,
    reinforcement_E2: float = 2.0,
    reinforcement_G12: float = 1.0,
    stress_free_temperature: float | None = None,
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
        Mass of dry fiber per area of the ply [kg/m^2].
    reinforcement_E2, reinforcement_G12 : float
        Halpin-Tsai reinforcing factors [-].
    stress_free_temperature : float, optional
        Temperature without thermal residual stress [K].

    Returns
    -------
    Lamina
        With G13 = G12, which the symmetry of the ply implies; without G23 and without allowables, which fiber
        and matrix alone do not give.

    Raises
    ------
    ValueError
        If the fiber volume is not below that of the closest packing, or another value is out of bound.

    Notes
    -----
    E1, nu12 and density by the rule of mixtures, E2 and G12 after Halpin-Tsai, thermal expansion after
    Schapery. Moisture expansions refer to the moisture of the ply: the matrix holds all of it, so its
    mass fraction there is larger by ply density / (matrix volume x matrix density).
    """
    instance("unidirectional: fiber", fiber, Fiber)
    instance("unidirectional: matrix", matrix, Matrix)
    Vf = number("fiber_volume [-]", fiber_volume, above=0.0, at_most=CLOSEST, cause="given in percent?")
    xi2 = number("reinforcement_E2 [-]", reinforcement_E2, at_least=0.0)
    xi12 = number("reinforcement_G12 [-]", reinforcement_G12, at_least=0.0)
    weight = number("areal_weight [kg/m^2]", areal_weight, above=0.0, cause="given in g/m^2?")
    E1, nu12, density = (
        float(mixture(f, m, Vf))
        for f, m in ((fiber.E1, matrix.E), (fiber.nu12, matrix.nu), (fiber.density, matrix.density))
    )
    moduli = {"fiber_modulus": fiber.E1, "matrix_modulus": matrix.E}
    poisson = {"fiber_poisson": fiber.nu12, "matrix_poisson": matrix.nu}
    wet = matrix.beta * density / ((1.0 - Vf) * matrix.density)
    alpha1 = longitudinal_expansion(fiber.alpha1, matrix.alpha, Vf, **moduli)
    beta1 = longitudinal_expansion(0.0, wet, Vf, **moduli)
    alpha2 = transverse_expansion(
        fiber.alpha2, matrix.alpha, Vf, fiber_along=fiber.alpha1, along=alpha1, **poisson
    )
    beta2 = transverse_expansion(0.0, wet, Vf, fiber_along=0.0, along=beta1, **poisson)
    G12 = float(halpin_tsai(fiber.G12, matrix.G, Vf, reinforcement=xi12))
    method = f"rule of mixtures, Halpin-Tsai, Schapery at fiber volume {Vf:g}"
    note = f"{method}; fiber: {fiber.source}; matrix: {matrix.source}"
    return Lamina(
        name=name,
        E1=E1,
        E2=float(halpin_tsai(fiber.E2, matrix.E, Vf, reinforcement=xi2)),
        G12=G12,
        G13=G12,
        nu12=nu12,
        thickness=float(cured_thickness(weight, fiber_density=fiber.density, fiber_volume=Vf)),
        density=density,
        alpha1=float(alpha1),
        alpha2=float(alpha2),
        beta1=float(beta1),
        beta2=float(beta2),
        stress_free_temperature=stress_free_temperature,
        source=Source("micromechanics", f"{fiber.name} in {matrix.name}", note),
    )
