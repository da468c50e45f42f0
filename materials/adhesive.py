"""Adhesives of bonded joints: shear curve and peel strength over temperature and moisture."""

from typing import Annotated

import numpy as np

from materials.allowables import Basis
from materials.checks import Frozen, Items, Limits, checked, reject
from materials.environment import (
    MOISTURE,
    TEMPERATURE,
    WORST_LAST,
    check_glass_transition,
    condition_weights,
)
from materials.lamina import WET_TRANSITION
from materials.source import SOURCED, Source, noted

STRENGTH = Limits("Pa", at_least=1e5, at_most=2e8, cause="given in MPa or psi?")
PROPERTIES = ("G", "E", "shear_strength", "ultimate_strain", "peel_strength")
"""Names of the fields of `AdhesiveCurve` that hold measured numbers."""


class AdhesiveCurve(Frozen, eq=True):
    """An adhesive at one temperature and moisture: elastic, then perfectly plastic in shear.

    Parameters
    ----------
    temperature : float
        Test temperature [K].
    moisture : float
        Moisture that a laminate beside the bond takes up in the same climate, by mass: what a service names [-].
    G : float
        Shear modulus [Pa].
    E : float
        Young's modulus, for peel [Pa].
    shear_strength : float
        Height of the plastic part of the curve; the elastic limit of the idealized curve too [Pa].
    ultimate_strain : float
        Shear strain at failure, elastic part included [-].
    peel_strength : float
        Tensile strength across the bond [Pa].
    source : Source
        Where the values come from.

    Raises
    ------
    ValueError
        If the ultimate strain is below the elastic one, or E and G do not belong to an isotropic solid.

    Notes
    -----
    The strength of a bond hangs on the area under the curve, U = tau_p (gamma_u - gamma_e / 2), gamma_e = tau_p / G:
    choose the height so that U is that of the test.

    References
    ----------
    L. J. Hart-Smith, NASA CR-112235 (1973), idealized curve (abstract read). ASTM D5656, thick-adherend test.

    Examples
    --------
    >>> room = AdhesiveCurve(temperature=296.0, moisture=0.0, G=0.8e9, E=2.2e9, shear_strength=40e6,
    ...                      ultimate_strain=0.5, peel_strength=50e6, source=Source("invented"))
    >>> round(room.elastic_strain, 3), round(room.energy / 1e6, 3)
    (0.05, 19.0)
    """

    temperature: Annotated[float, TEMPERATURE]
    moisture: Annotated[float, MOISTURE]
    G: Annotated[float, Limits("Pa", at_least=1e6, at_most=5e9, cause="given in GPa or MPa?")]
    E: Annotated[float, Limits("Pa", at_least=2e6, at_most=15e9, cause="given in GPa or MPa?")]
    shear_strength: Annotated[float, STRENGTH]
    ultimate_strain: Annotated[float, Limits("-", above=0.0, at_most=3.0, cause="given in percent?")]
    peel_strength: Annotated[float, STRENGTH]
    source: Annotated[Source, SOURCED]

    def __post_init__(self) -> None:
        super().__post_init__()
        who = f"AdhesiveCurve at {self.temperature:g} K"
        if self.ultimate_strain < self.elastic_strain:
            limit = f">= shear_strength / G = {self.elastic_strain:g}"
            reject(
                f"{who}: ultimate_strain [-]", f"{self.ultimate_strain:g}", limit, "the plastic part alone?"
            )
        if not 0.0 <= self.nu < 0.5:
            cause = "nu = E / (2 G) - 1 lies between 0 and 1/2"
            reject(f"{who}: E [Pa]", f"{self.E:g}", f"from 2 G to below 3 G = {3 * self.G:g}", cause)

    @property
    def nu(self) -> float:
        """Poisson's ratio, E / (2 G) - 1 [-]."""
        return self.E / (2.0 * self.G) - 1.0

    @property
    def elastic_strain(self) -> float:
        """Shear strain at which the curve bends, shear strength / G [-]."""
        return self.shear_strength / self.G

    @property
    def energy(self) -> float:
        """Area under the shear curve up to failure, per volume [J/m3]."""
        return self.shear_strength * (self.ultimate_strain - self.elastic_strain / 2.0)

    @property
    def constrained_modulus(self) -> float:
        """Modulus across a bond whose width cannot change, E (1 - nu) / ((1 + nu) (1 - 2 nu)) [Pa]."""
        return self.E * (1.0 - self.nu) / ((1.0 + self.nu) * (1.0 - 2.0 * self.nu))


class Adhesive(Frozen, eq=True):
    """A structural adhesive tested at several temperatures and moistures.

    Parameters
    ----------
    name : str
        Product, form, surface treatment of the adherends.
    curves : iterable of AdhesiveCurve
        The tests, as cold dry, room dry, hot wet; each temperature and moisture once.
    stress_free_temperature : float
        Temperature at which the bond is free of stress: that of its cure, less what relaxes [K].
    wet_glass_transition : float, optional
        Glass transition temperature of the moist adhesive; without it no service above 323.15 K is taken [K].
    basis : {"mean", "typical", "specification", "A", "B", "estimate"}
        Statistical meaning of the strengths.

    Raises
    ------
    ValueError
        If there is no curve, or two are of the same condition.

    Examples
    --------
    >>> tests = [AdhesiveCurve(temperature=T, moisture=0.0, G=G, E=2.6 * G, shear_strength=tau, ultimate_strain=strain,
    ...                        peel_strength=50e6, source=Source("invented"))
    ...          for T, G, tau, strain in ((219.0, 1e9, 60e6, 0.15), (296.0, 0.8e9, 40e6, 0.5))]
    >>> paste = Adhesive(name="paste", curves=tests, stress_free_temperature=340.0, basis="mean")
    >>> round(paste.at(temperature=257.5, moisture=0.0).shear_strength / 1e6, 3)
    50.0
    """

    name: str
    curves: Items[AdhesiveCurve]
    stress_free_temperature: Annotated[float, TEMPERATURE]
    wet_glass_transition: Annotated[float | None, WET_TRANSITION] = None
    basis: Basis

    def __post_init__(self) -> None:
        super().__post_init__()
        climates = [(one.temperature, one.moisture) for one in self.curves]
        if len(set(climates)) < len(climates):
            reject(f"Adhesive '{self.name}': curves", climates, "of different temperature or moisture")

    @checked
    def at(
        self, *, temperature: Annotated[float, TEMPERATURE], moisture: Annotated[float, MOISTURE]
    ) -> AdhesiveCurve:
        """Curve at a temperature and moisture, linear between the tests.

        Parameters
        ----------
        temperature : float
            Temperature of the service [K].
        moisture : float
            Moisture of the service [-].

        Returns
        -------
        AdhesiveCurve
            Its source is that of worst standing among the tests it is made of.

        Raises
        ------
        ValueError
            If the service is above the wet glass transition less 28 K, or the tests do not surround it.
        """
        who = f"Adhesive '{self.name}'"
        try:
            check_glass_transition(temperature, self.wet_glass_transition)
        except ValueError as error:
            raise ValueError(f"{who}: {error}") from None
        climates = np.array([(one.temperature, one.moisture) for one in self.curves])
        shares = condition_weights(climates, temperature, moisture)
        if shares is None:
            tested = ", ".join(f"({T:g}, {c:g})" for T, c in climates)
            limit = f"between its tests at {tested}"
            reject(
                f"{who}: temperature [K], moisture [-]",
                f"({temperature:g}, {moisture:g})",
                limit,
                "not tested",
            )
        values = {name: float(shares @ [getattr(one, name) for one in self.curves]) for name in PROPERTIES}
        used = [one.source for one, share in zip(self.curves, shares, strict=True) if share > 0.0]
        source = max(used, key=lambda one: WORST_LAST.index(one.standing))
        if len(used) > 1:
            source = noted(source, "between tests")
        return AdhesiveCurve(temperature=temperature, moisture=moisture, source=source, **values)
