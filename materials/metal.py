"""Metals for pins, links, bushings and inserts: isotropic, with the strengths of their handbooks."""

from dataclasses import fields
from math import sqrt
from typing import Annotated

from materials.allowables import Allowables, Basis
from materials.checks import Frozen, Items, Limits, checked, default, one_of, reject
from materials.lamina import THICKNESS, Lamina
from materials.source import SOURCED, Source, check_value_sources, noted

STRENGTH = Limits("Pa", at_least=1e6, at_most=2e10, cause="given in MPa or ksi?")
NU = Limits("-", at_least=-0.999, at_most=0.4999, cause="isotropic solids lie between -1 and 1/2")

NOT_ABOVE = (
    ("Fty", "Ftu"), ("Fbry", "Fbru"), ("Fbry_1_5", "Fbru_1_5"), ("Fbru_1_5", "Fbru"), ("Fbry_1_5", "Fbry"),
    ("Fty_across", "Ftu_across"), ("Ftu_across", "Ftu"), ("Fty_across", "Fty"),
)  # fmt: skip
"""Pairs of strengths of which the first is not above the second."""


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
    Fbru_1_5, Fbry_1_5 : float, optional
        The same at edge distance / diameter = 1.5 [Pa].
    Ftu_across, Fty_across : float, optional
        Tensile ultimate and yield strength across the grain, the lowest over the directions across [Pa].
    elongation : float, optional
        Least elongation at break; 0.1 is 10 % [-].
    basis : {"mean", "typical", "specification", "A", "B", "estimate"}
        Statistical meaning of the strengths; "specification" is the minimum of a specification.
    source : Source
        Where the values come from.
    sources : iterable of (str, Source)
        Sources of single values that differ from `source`.

    Raises
    ------
    ValueError
        If a yield strength is above its ultimate, a bearing strength at 1.5 above that at 2, or a strength across the
        grain above that along it.

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
    Fbru_1_5: Annotated[float | None, STRENGTH] = None
    Fbry_1_5: Annotated[float | None, STRENGTH] = None
    Ftu_across: Annotated[float | None, STRENGTH] = None
    Fty_across: Annotated[float | None, STRENGTH] = None
    elongation: Annotated[float | None, Limits("-", above=0.0, at_most=1.0, cause="given in percent?")] = None
    basis: Basis
    source: Annotated[Source, SOURCED]
    sources: Annotated[Items[tuple[str, Source]], Limits(items=0)] = default(())

    def __post_init__(self) -> None:
        super().__post_init__()
        for low, high in NOT_ABOVE:
            least, most = getattr(self, low), getattr(self, high)
            if least is not None and most is not None and least > most:
                reject(f"Metal '{self.name}': {low} [Pa]", f"{least:g}", f"<= {high} = {most:g}", "swapped?")
        check_value_sources(f"Metal '{self.name}'", self.sources, PROPERTIES)

    @property
    def G(self) -> float:
        """Shear modulus, E / (2 (1 + nu)) [Pa]."""
        return self.E / (2.0 * (1.0 + self.nu))

    @checked
    def need(self, name: str) -> float:
        """Return a property; refuse if it is not given.

        Parameters
        ----------
        name : str
            A property, as Fsu or Fcy.

        Returns
        -------
        float
            The value, in the unit of the property [any].

        Raises
        ------
        ValueError
            If the metal does not have it.
        """
        value = getattr(self, one_of(f"Metal '{self.name}': name", name, PROPERTIES))
        if value is None:
            cause = "take it from the handbook of the alloy, with its source"
            reject(f"Metal '{self.name}': {name}", None, "given for this check", cause)
        return float(value)

    @checked
    def source_of(self, name: str) -> Source:
        """Source of one property, with its standing.

        Parameters
        ----------
        name : str
            A property, as Fsu or elongation.

        Returns
        -------
        Source
            That of the value, or that of all of them.
        """
        one_of(f"Metal '{self.name}': name", name, PROPERTIES)
        return dict(self.sources).get(name, self.source)

    @checked
    def bearing_strength(
        self,
        edge_ratio: Annotated[
            float, Limits("-", at_least=1.5, cause="short edges: prove them as a lug or by test")
        ],
    ) -> tuple[float, float]:
        """Bearing strengths at an edge distance.

        Parameters
        ----------
        edge_ratio : float
            Edge distance from the center of the hole over the diameter, 1.5 or more [-].

        Returns
        -------
        tuple of float
            Fbru and Fbry [Pa].

        Raises
        ------
        ValueError
            If the metal has no bearing strengths at 2, or none at 1.5 and the ratio is below 2.

        Notes
        -----
        Linear from 1.5 to 2 and constant beyond, as the handbooks of metals have it (from memory).
        """
        share = min((edge_ratio - 1.5) / 0.5, 1.0)
        found = [self.need(name) for name in ("Fbru", "Fbry")]
        if share < 1.0:
            short = [self.need(name) for name in ("Fbru_1_5", "Fbry_1_5")]
            found = [low + share * (high - low) for low, high in zip(short, found, strict=True)]
        return found[0], found[1]

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


PROPERTIES = tuple(f.name for f in fields(Metal) if f.name not in ("name", "basis", "source", "sources"))
"""Names of the fields that hold numbers."""
