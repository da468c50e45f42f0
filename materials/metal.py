"""Metals for pins, links, bushings and inserts: isotropic, with the strengths of their handbooks."""

from dataclasses import dataclass, replace
from math import sqrt
from typing import get_args

from materials.allowables import Allowables, Basis
from materials.checks import reject
from materials.lamina import Lamina
from materials.limits import Limit, hold_within, named
from materials.source import Source, source_of

OPTIONAL = ("Fcy", "Fsu", "Fbru", "Fbry")

LIMITS: tuple[Limit, ...] = (
    ("E", "Pa", 1e9, 1e12, "given in GPa?"),
    ("nu", "-", -0.999, 0.4999, "isotropic solids lie between -1 and 1/2"),
    ("density", "kg/m^3", 500.0, 25e3, "given in g/cm^3?"),
    ("alpha", "1/K", -1e-4, 1e-4, "given in 1e-6/K?"),
    ("Ftu", "Pa", 1e6, 2e10, "given in MPa or ksi?"),
    ("Fty", "Pa", 1e6, 2e10, "given in MPa or ksi?"),
    ("Fcy", "Pa", 1e6, 2e10, "given in MPa or ksi?"),
    ("Fsu", "Pa", 1e6, 2e10, "given in MPa or ksi?"),
    ("Fbru", "Pa", 1e6, 2e10, "given in MPa or ksi?"),
    ("Fbry", "Pa", 1e6, 2e10, "given in MPa or ksi?"),
)


@dataclass(frozen=True, kw_only=True)
class Metal:
    """An isotropic metal with the strengths a pin, lug or bushing is checked by.

    Parameters
    ----------
    name : str
        Alloy, temper, form.
    E : float
        Young's modulus [Pa].
    nu : float
        Poisson's ratio [-].
    density : float
        Mass per volume [kg/m^3].
    alpha : float
        Thermal expansion [1/K].
    Ftu, Fty : float
        Tensile ultimate and yield strength [Pa].
    Fcy : float, optional
        Compressive yield strength [Pa].
    Fsu : float, optional
        Shear ultimate strength [Pa].
    Fbru, Fbry : float, optional
        Bearing ultimate and yield strength at edge distance / diameter = 2 [Pa].
    basis : {"mean", "B", "A", "S", "typical"}
        Statistical meaning of the strengths; "S" is the minimum of a specification.
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
    Ftu: float
    Fty: float
    Fcy: float | None = None
    Fsu: float | None = None
    Fbru: float | None = None
    Fbry: float | None = None
    basis: Basis
    source: Source

    def __post_init__(self) -> None:
        owner = named("Metal", self.name)
        hold_within(self, owner, LIMITS, OPTIONAL)
        if self.Fty > self.Ftu:
            reject(f"{owner}: Fty [Pa]", f"{self.Fty:g}", f"<= Ftu = {self.Ftu:g}", "swapped?")
        if self.basis not in get_args(Basis):
            reject(f"{owner}: basis", repr(self.basis), f"one of {', '.join(get_args(Basis))}")
        source_of(owner, self.source)

    @property
    def G(self) -> float:
        """Shear modulus, E / (2 (1 + nu)) [Pa]."""
        return self.E / (2.0 * (1.0 + self.nu))

    def lamina(self, thickness: float) -> Lamina:
        """Return the metal as a ply, an insert or a shim among plies.

        Parameters
        ----------
        thickness : float
            Thickness of the sheet [m].

        Returns
        -------
        Lamina
            Isotropic, with yield as its allowables: Xt = Yt = Fty, Xc = Yc = Fcy, S = Fty / sqrt(3) after
            von Mises, strains linear. Beyond yield linear laminate theory does not hold.

        Raises
        ------
        ValueError
            If the metal has no Fcy, or the thickness is out of bound.
        """
        if self.Fcy is None:
            reject(f"Metal '{self.name}'", "no Fcy", "given for a ply", "yield in compression limits it")
        said = (self.source.note, "yield strengths, S = Fty / sqrt(3) after von Mises")
        stated = Allowables(
            Xt=self.Fty, Xc=self.Fcy, Yt=self.Fty, Yc=self.Fcy, S=self.Fty / sqrt(3.0),
            basis=self.basis, condition="room temperature",
            source=replace(self.source, note="; ".join(part for part in said if part)),
        )  # fmt: skip
        return Lamina(
            name=self.name, E1=self.E, E2=self.E, G12=self.G, nu12=self.nu, G13=self.G, G23=self.G,
            thickness=thickness, density=self.density, alpha1=self.alpha, alpha2=self.alpha,
            allowables=stated.with_linear_strains(E1=self.E, E2=self.E, G12=self.G), source=self.source,
        )  # fmt: skip
