"""Lamina: the elastic, thermal and moisture properties of one ply in its own axes."""

from dataclasses import fields
from typing import Annotated, Literal

from materials.allowables import MODULI, MODULUS, STRAINS, STRENGTHS, Allowables
from materials.checks import Frozen, Items, Limits, checked, default, number, reject
from materials.source import SOURCED, Source, check_value_sources

Kind = Literal["tape", "fabric"]

# Wide enough for foam and tungsten, boron and felt; what lies outside is a slip of units.
POISSON = Limits("-", at_least=-10.0, at_most=10.0, cause="given in percent?")
THICKNESS = Limits("m", at_least=1e-6, at_most=0.02, cause="given in mm?")
EXPANSION = Limits("1/K", at_least=-5e-4, at_most=5e-4, cause="given in 1e-6/K?")
SWELLING = Limits("-", at_least=-5.0, at_most=5.0, cause="is it strain per mass fraction, 1 % being 0.01?")
CURE = Limits("K", at_least=270.0, at_most=1500.0, cause="given in degC or degF? degC + 273.15 is K")
TOUGHNESS = Limits("J/m2", at_least=5.0, at_most=1e5, cause="given in kJ/m2?")
NONLINEARITY = Limits("1/Pa3", at_least=0.0, at_most=1e-20, cause="given in 1/MPa3? times 1e-18 is 1/Pa3")
WET_TRANSITION = Limits("K", at_least=300.0, at_most=1500.0, cause="given in degC or degF?")
PROPERTY_TESTS = {
    "E1": "ASTM D3039", "E2": "ASTM D3039", "G12": "ASTM D3518", "nu12": "ASTM D3039", "thickness": "ASTM D3171",
    "density": "ASTM D792", "G13": "ASTM D5379", "G23": "ASTM D5379", "E3": "ASTM D7291", "nu13": "ASTM D3039",
    "nu23": "ASTM D3039", "alpha1": "ASTM E831", "alpha2": "ASTM E831", "alpha3": "ASTM E831",
    "beta1": "the length of a strip before and after moisture",
    "beta2": "the width of a strip before and after moisture",
    "beta3": "the thickness of a strip before and after moisture",
    "stress_free_temperature": "heating a [0/90] strip until it is flat", "E1c": "ASTM D6641", "E2c": "ASTM D6641",
    "GIc": "ASTM D5528", "GIIc": "ASTM D7905", "shear_nonlinearity": "the curve of ASTM D3518",
    "wet_glass_transition": "ASTM D7028 on moist specimens",
}  # fmt: skip
"""Test that gives each property, where there is a standard one."""

PropertyName = Literal[
    "E1", "E2", "G12", "nu12", "thickness", "density", "G13", "G23", "E3", "nu13", "nu23", "alpha1", "alpha2",
    "alpha3", "beta1", "beta2", "beta3", "stress_free_temperature", "E1c", "E2c", "GIc", "GIIc",
    "shear_nonlinearity", "wet_glass_transition",
]  # fmt: skip
KIND_CAUSE = "fibers along axis 1 only are tape; woven ones are fabric"
MOST_ANISOTROPIC = 500.0
"""Largest over smallest modulus of a ply; ultra-high-modulus pitch fiber in epoxy has about 220 [-]."""


class Lamina(Frozen, eq=True):
    """One ply: axis 1 along the fiber (warp), axis 2 across it (fill).

    Equal values make equal laminae, so that a lamina can be the key of a dict.

    Parameters
    ----------
    name : str
        Name in tables and reports.
    kind : {"tape", "fabric"}
        "tape": all fibers along axis 1, so that cracks can run along them. "fabric": fibers along both axes, woven or
        stitched; also a sheet without a weak direction, as a metal, a film or a core. Matrix criteria judge tape only.
    E1, E2 : float
        Young's moduli along and across the fiber [Pa].
    G12 : float
        In-plane shear modulus [Pa].
    nu12 : float
        Major Poisson's ratio, -e2/e1 under stress along 1 [-].
    thickness : float
        Cured ply thickness [m].
    density : float
        Mass per volume [kg/m3].
    G13, G23 : float, optional
        Transverse shear moduli [Pa]. Nothing is put in place of a value that is not given.
    E3 : float, optional
        Young's modulus through the thickness [Pa]. `through_thickness` says what stands for it and for the
        next four where they are not given.
    nu13, nu23 : float, optional
        Poisson's ratios, contraction through the thickness under stress along 1 and along 2 [-].
    alpha3 : float, optional
        Thermal expansion through the thickness [1/K].
    beta3 : float, optional
        Moisture expansion through the thickness, strain per mass fraction [-].
    alpha1, alpha2 : float
        Thermal expansion along and across the fiber [1/K].
    beta1, beta2 : float
        Moisture expansion along and across, strain per mass fraction of moisture (1 % is 0.01) [-].
    stress_free_temperature : float, optional
        Temperature at which a laminate has no thermal residual stress, near the cure temperature [K].
    E1c, E2c : float, optional
        Young's moduli in compression [Pa]. E1 and E2 are those of tension, or of both.
    GIc, GIIc : float, optional
        Energy release rate of a crack between the plies, opening and shear [J/m2].
    shear_nonlinearity : float, optional
        b of the shear response g12 = t12 / G12 + b t12^3 [1/Pa3].
    wet_glass_transition : float, optional
        Glass transition temperature of the wet laminate [K].
    allowables : Allowables, optional
        Strengths and failure strains.
    source : Source
        Where the properties come from.
    sources : iterable of (str, Source)
        Source of single values by name, where it is another one.

    Raises
    ------
    ValueError
        If the values do not go together.

    Notes
    -----
    |nu12| < sqrt(E1 / E2), or stress would give work for nothing. No modulus is above 500 times another, no stated
    strength above 0.2 of its modulus, and no stated failure strain above 20 times strength / modulus.

    Examples
    --------
    >>> ply = Lamina(name="carbon tape", kind="tape", E1=126e9, E2=11e9, G12=6.6e9, nu12=0.28, thickness=0.125e-3,
    ...              density=1580.0, source=Source("coupon tests", "invented"))
    >>> round(ply.nu21, 5)
    0.02444
    """

    name: str
    kind: Annotated[Kind, Limits(cause=KIND_CAUSE)]
    E1: Annotated[float, MODULUS]
    E2: Annotated[float, MODULUS]
    G12: Annotated[float, MODULUS]
    nu12: Annotated[float, POISSON]
    thickness: Annotated[float, THICKNESS]
    density: Annotated[float, Limits("kg/m3", at_least=15.0, at_most=25e3, cause="given in g/cm3?")]
    G13: Annotated[float | None, MODULUS] = None
    G23: Annotated[float | None, MODULUS] = None
    E3: Annotated[float | None, MODULUS] = None
    nu13: Annotated[float | None, POISSON] = None
    nu23: Annotated[float | None, POISSON] = None
    alpha3: Annotated[float | None, EXPANSION] = None
    beta3: Annotated[float | None, SWELLING] = None
    alpha1: Annotated[float, EXPANSION] = 0.0
    alpha2: Annotated[float, EXPANSION] = 0.0
    beta1: Annotated[float, SWELLING] = 0.0
    beta2: Annotated[float, SWELLING] = 0.0
    stress_free_temperature: Annotated[float | None, CURE] = None
    E1c: Annotated[float | None, MODULUS] = None
    E2c: Annotated[float | None, MODULUS] = None
    GIc: Annotated[float | None, TOUGHNESS] = None
    GIIc: Annotated[float | None, TOUGHNESS] = None
    shear_nonlinearity: Annotated[float | None, NONLINEARITY] = None
    wet_glass_transition: Annotated[float | None, WET_TRANSITION] = None
    allowables: Allowables | None = None
    source: Annotated[Source, SOURCED]
    sources: Annotated[Items[tuple[str, Source]], Limits(items=0)] = default(())

    def __post_init__(self) -> None:
        super().__post_init__()
        owner = f"Lamina '{self.name}'"
        check_value_sources(owner, self.sources, PROPERTIES)
        cause = "nu12 belongs to stress along 1; are E1 and E2, or nu12 and nu21, swapped?"
        check_poisson(owner, self.nu12, self.E1, self.E2, cause)
        check_anisotropy(owner, self, ("E1", "E2", "G12", "G13", "G23", "E3", "E1c", "E2c"))
        stated = self.allowables and (self.allowables.before or self.allowables)
        for strength, strain, modulus in zip(STRENGTHS, STRAINS, MODULI, strict=True):
            if stated is None:
                break
            linear = getattr(stated, strength) / getattr(self, modulus)
            number(f"{owner}: {strength} / {modulus} [-]", linear, at_most=0.2, cause="MPa and GPa mixed?")
            if (given := getattr(stated, strain)) is not None:
                what = f"{owner}: {strain} {modulus} / {strength} [-]"
                number(what, given / linear, at_most=20.0, cause="strain given in percent?")

    @property
    def nu21(self) -> float:
        """Minor Poisson's ratio, nu12 E2 / E1 [-]."""
        return self.nu12 * self.E2 / self.E1

    @property
    def transverse_shear(self) -> tuple[float, float]:
        """Moduli (G13, G23) [Pa]; stops if one is not given, and says what could stand for it."""
        if self.G13 is None or self.G23 is None:
            missing = ", ".join(name for name in ("G13", "G23") if getattr(self, name) is None)
            cause = "for a unidirectional ply G13 = G12 by symmetry, and G23 = E2 / (2 (1 + nu23))"
            reject(f"Lamina '{self.name}'", f"no {missing}", "given for transverse shear", cause)
        return self.G13, self.G23

    @checked
    def source_of(self, name: PropertyName) -> Source:
        """Source of one property, with its standing.

        Parameters
        ----------
        name : str
            A property, as E1 or GIc.

        Returns
        -------
        Source
            That of the value, or that of all of them.
        """
        return dict(self.sources).get(name, self.source)

    @checked
    def need(self, name: PropertyName) -> float:
        """Return a property; refuse if it is not given, and say which test gives it.

        Parameters
        ----------
        name : str
            A property, as E1 or GIc.

        Returns
        -------
        float
            The value, in the unit of the property [any].
        """
        value: float | None = getattr(self, name)
        if value is None:
            what = f"Lamina '{self.name}'"
            reject(what, f"no {name}", "given for this check", f"{PROPERTY_TESTS[name]} gives it")
        return value

    @property
    def placeholders(self) -> tuple[str, ...]:
        """Names of the values, allowables among them, that only fill a gap until they are tested."""
        sources = (*self.sources, *(self.allowables.sources if self.allowables else ()))
        return tuple(name for name, source in sources if source.standing == "placeholder")


PROPERTIES = tuple(
    f.name for f in fields(Lamina) if f.name not in ("name", "kind", "allowables", "source", "sources")
)
"""Names of the fields that hold numbers."""


def check_poisson(owner: str, nu12: float, E1: float, E2: float, cause: str) -> None:
    """Refuse a Poisson's ratio with which stress would give work for nothing."""
    if nu12**2 >= E1 / E2:
        limit = f"below sqrt(E1/E2) = {(E1 / E2) ** 0.5:.3g} in size"
        reject(f"{owner}: nu12 [-]", f"{nu12:g}", limit, cause)


def check_anisotropy(owner: str, holder: object, names: tuple[str, ...]) -> None:
    """Refuse moduli that differ by more than in any material."""
    moduli = {name: value for name in names if (value := getattr(holder, name)) is not None}
    low, high = min(moduli, key=moduli.__getitem__), max(moduli, key=moduli.__getitem__)
    if moduli[high] > MOST_ANISOTROPIC * moduli[low]:
        got = f"{moduli[high]:g} and {moduli[low]:g}"
        reject(
            f"{owner}: {high}, {low} [Pa]",
            got,
            f"within a factor of {MOST_ANISOTROPIC:g}",
            "MPa and GPa mixed?",
        )
