"""Lamina: the elastic, thermal and moisture properties of one ply in its own axes."""

from dataclasses import dataclass

from materials.allowables import Allowables
from materials.checks import number, reject
from materials.knockdown import STRAINS, STRENGTHS
from materials.limits import Limit, hold_within, named
from materials.source import Source, source_of

OPTIONAL = ("G13", "G23", "E3", "nu13", "nu23", "alpha3", "beta3", "stress_free_temperature")

# Wide enough for foam and tungsten, boron and felt; what lies outside is a slip of units.
LIMITS: tuple[Limit, ...] = (
    ("E1", "Pa", 1e6, 2e12, "given in GPa or MPa?"),
    ("E2", "Pa", 1e6, 2e12, "given in GPa or MPa?"),
    ("G12", "Pa", 1e6, 2e12, "given in GPa or MPa?"),
    ("G13", "Pa", 1e6, 2e12, "given in GPa or MPa?"),
    ("G23", "Pa", 1e6, 2e12, "given in GPa or MPa?"),
    ("nu12", "-", -10.0, 10.0, "given in percent?"),
    ("E3", "Pa", 1e6, 2e12, "given in GPa or MPa?"),
    ("nu13", "-", -10.0, 10.0, "given in percent?"),
    ("nu23", "-", -10.0, 10.0, "given in percent?"),
    ("thickness", "m", 1e-6, 0.02, "given in mm?"),
    ("density", "kg/m^3", 15.0, 25e3, "given in g/cm^3?"),
    ("alpha1", "1/K", -5e-4, 5e-4, "given in 1e-6/K?"),
    ("alpha2", "1/K", -5e-4, 5e-4, "given in 1e-6/K?"),
    ("alpha3", "1/K", -5e-4, 5e-4, "given in 1e-6/K?"),
    ("beta1", "-", -5.0, 5.0, "is it strain per mass fraction, 1 % being 0.01?"),
    ("beta2", "-", -5.0, 5.0, "is it strain per mass fraction, 1 % being 0.01?"),
    ("beta3", "-", -5.0, 5.0, "is it strain per mass fraction, 1 % being 0.01?"),
    ("stress_free_temperature", "K", 250.0, 1500.0, "given in degC? add 273.15"),
)


@dataclass(frozen=True, kw_only=True)
class Lamina:
    """One ply: axis 1 along the fiber (warp), axis 2 across it (fill).

    Equal values make equal laminae, so that a lamina can be the key of a dict.

    Parameters
    ----------
    name : str
        Name in tables and reports.
    E1, E2 : float
        Young's moduli along and across the fiber [Pa].
    G12 : float
        In-plane shear modulus [Pa].
    nu12 : float
        Major Poisson's ratio, -e2/e1 under stress along 1 [-].
    thickness : float
        Cured ply thickness [m].
    density : float
        Mass per volume [kg/m^3].
    G13, G23 : float, optional
        Transverse shear moduli [Pa]. Nothing is put in place of a value that is not given.
    E3 : float, optional
        Young's modulus through the thickness [Pa]. What stands for it and for the next four where they are not
        given, and when nothing can, is in `materials.through_thickness`.
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
    allowables : Allowables, optional
        Strengths and failure strains.
    source : Source
        Where the properties come from.

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
    thickness: float
    density: float
    G13: float | None = None
    G23: float | None = None
    E3: float | None = None
    nu13: float | None = None
    nu23: float | None = None
    alpha3: float | None = None
    beta3: float | None = None
    alpha1: float = 0.0
    alpha2: float = 0.0
    beta1: float = 0.0
    beta2: float = 0.0
    stress_free_temperature: float | None = None
    allowables: Allowables | None = None
    source: Source

    def __post_init__(self) -> None:
        owner = named("Lamina", self.name)
        hold_within(self, owner, LIMITS, OPTIONAL)
        if self.nu12**2 >= self.E1 / self.E2:
            limit = f"below sqrt(E1/E2) = {(self.E1 / self.E2) ** 0.5:.3g} in size"
            cause = "nu12 belongs to stress along 1; are E1 and E2, or nu12 and nu21, swapped?"
            reject(f"{owner}: nu12 [-]", f"{self.nu12:g}", limit, cause)
        source_of(owner, self.source)
        if self.allowables is not None:
            if not isinstance(self.allowables, Allowables):
                reject(f"{owner}: allowables", repr(self.allowables), "Allowables or None")
            self._check_allowables(owner, self.allowables)

    def _check_allowables(self, owner: str, allowables: Allowables) -> None:
        """Hold stated allowables against moduli: no strength is 20 % of strain, no limit 20 times linear."""
        stated = allowables.before or allowables
        moduli = (self.E1, self.E1, self.E2, self.E2, self.G12)
        for strength_name, strain_name, modulus in zip(STRENGTHS, STRAINS, moduli, strict=True):
            linear = getattr(stated, strength_name) / modulus
            what = f"{owner}: {strength_name} / modulus [-]"
            number(what, linear, at_most=0.2, cause="MPa and GPa mixed?")
            if (strain := getattr(stated, strain_name)) is not None:
                what = f"{owner}: {strain_name} * modulus / {strength_name} [-]"
                number(what, strain / linear, at_most=20.0, cause="strain given in percent?")

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
