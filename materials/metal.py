"""Metals for pins, links, bushings and inserts: isotropic, with the strengths of their handbooks."""

from dataclasses import fields
from math import sqrt
from typing import Annotated

from materials.allowables import Allowables, Basis
from materials.checks import Frozen, Limits, checked, reject
from materials.lamina import THICKNESS, Lamina
from materials.source import SOURCED, Source, noted

STRENGTH = Limits("Pa", at_least=1e6, at_most=2e10, cause="given in MPa or ksi?")
NU = Limits("-", at_least=-0.999, at_most=0.4999, cause="isotropic solids lie between -1 and 1/2")


class Metal(Frozen, eq=True):
    """An isotropic metal with the strengths by which a pin, lug or bushing is checked.

    Parameters
    ----------
    name : str
        Alloy, temper, form.
    E : float
        Young's modulus [Pa].
    nu : float
        Poisson's ratio [-].
    density : float
        Mass per volume [kg/m3].
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
    basis : {"mean", "typical", "specification", "A", "B", "estimate"}
        Statistical meaning of the strengths; "specification" is the minimum of a specification.
    source : Source
        Where the values come from.

    Raises
    ------
    ValueError
        If Fty is above Ftu.

    Examples
    --------
    >>> steel = Metal(name="steel", E=200e9, nu=0.25, density=7850.0, alpha=11e-6, Ftu=655e6, Fty=517e6,
    ...               basis="specification", source=Source("mill certificate", "invented"))
    >>> steel.G / 1e9
    80.0
    """

    name: str
    E: Annotated[float, Limits("Pa", at_least=1e9, at_most=1e12, cause="given in GPa?")]
    nu: Annotated[float, NU]
    density: Annotated[float, Limits("kg/m3", at_least=500.0, at_most=25e3, cause="given in g/cm3?")]
    alpha: Annotated[float, Limits("1/K", at_least=-1e-4, at_most=1e-4, cause="given in 1e-6/K?")]
    Ftu: Annotated[float, STRENGTH]
    Fty: Annotated[float, STRENGTH]
    Fcy: Annotated[float | None, STRENGTH] = None
    Fsu: Annotated[float | None, STRENGTH] = None
    Fbru: Annotated[float | None, STRENGTH] = None
    Fbry: Annotated[float | None, STRENGTH] = None
    basis: Basis
    source: Annotated[Source, SOURCED]

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.Fty > self.Ftu:
            reject(f"Metal '{self.name}': Fty [Pa]", f"{self.Fty:g}", f"<= Ftu = {self.Ftu:g}", "swapped?")

    @property
    def G(self) -> float:
        """Shear modulus, E / (2 (1 + nu)) [Pa]."""
        return self.E / (2.0 * (1.0 + self.nu))

    @checked
    def lamina(self, thickness: Annotated[float, THICKNESS]) -> Lamina:
        """Return the metal as a ply, for an insert or a shim among plies.

        Parameters
        ----------
        thickness : float
            Thickness of the sheet [m].

        Returns
        -------
        Lamina
            Isotropic, of kind "fabric" (no weak direction), with yield as its allowables. Beyond yield linear
            laminate theory does not apply.

        Raises
        ------
        ValueError
            If the metal has no Fcy.

        Notes
        -----
        Xt = Yt = Fty, Xc = Yc = Fcy, S = Fty / sqrt(3) after von Mises; strains linear.
        """
        if self.Fcy is None:
            reject(f"Metal '{self.name}'", "no Fcy", "given for a ply", "yield in compression limits it")
        stated = Allowables(
            Xt=self.Fty, Xc=self.Fcy, Yt=self.Fty, Yc=self.Fcy, S=self.Fty / sqrt(3.0),
            basis=self.basis, condition="room temperature",
            source=noted(self.source, "yield strengths, S = Fty / sqrt(3) after von Mises"),
        )  # fmt: skip
        return Lamina(
            name=self.name, kind="fabric", E1=self.E, E2=self.E, G12=self.G, nu12=self.nu, G13=self.G, G23=self.G,
            thickness=thickness, density=self.density, alpha1=self.alpha, alpha2=self.alpha,
            allowables=stated.with_linear_strains(E1=self.E, E2=self.E, G12=self.G), source=self.source,
        )  # fmt: skip


PROPERTIES = tuple(f.name for f in fields(Metal) if f.name not in ("name", "basis", "source"))
"""Names of the fields that hold numbers."""
