"""What a strut must hold: the states of service and the factors, in one object that both margin and sizing read.

Knockdowns act on allowables (they stand in a `Service`), factors of safety act on loads (they
stand in a `Requirement`), so neither counts twice.
"""

from dataclasses import dataclass

from beam.strength.ply_criteria import CRITERIA
from materials import Allowables, Factor, Lamina
from materials.checks import flag, number, reject
from materials.kinds import instance, instances

BUCKLING, CURVED_BUCKLING, CORNER_OPENING = "buckling", "curved wall buckling", "corner opening"
COLUMN, DEFLECTION, TWIST = "column", "deflection", "twist"


@dataclass(frozen=True, kw_only=True)
class Service:
    """One state of the structure in which every load case must be held.

    Parameters
    ----------
    name : str
        As in "hot wet, impact damage".
    temperature : float
        Temperature of the laminate [K].
    moisture : float
        Moisture absorbed since the stress-free state, by mass [-].
    factors : tuple of Factor
        Knockdowns on the allowables that hold in this state.

    Raises
    ------
    ValueError
        If the temperature cannot be in kelvin, or the moisture not a mass fraction.
    """

    name: str
    temperature: float
    moisture: float = 0.0
    factors: tuple[Factor, ...] = ()

    def __post_init__(self) -> None:
        what = f"Service {instance('Service: name', self.name, str)!r}"
        object.__setattr__(self, "factors", instances(f"{what}: factors", self.factors, Factor, least=0))
        _temperature(f"{what}: temperature [K]", self.temperature)
        number(f"{what}: moisture [-]", self.moisture, at_least=0.0, at_most=0.1, cause="given in percent?")

    def temperature_change(self, *laminae: Lamina) -> float:
        """Temperature relative to the stress-free state of laminae cured together.

        Parameters
        ----------
        *laminae : Lamina
            Must say their stress-free temperature, and the same one.

        Returns
        -------
        float
            Service less stress-free temperature [K].

        Raises
        ------
        ValueError
            If a lamina does not say, or two say different ones.
        """
        found: dict[float, str] = {}
        for lamina in instances("Service: laminae", laminae, Lamina):
            free = lamina.stress_free_temperature
            if free is None:
                reject(
                    f"Lamina {lamina.name!r}: stress_free_temperature [K]",
                    None,
                    "given",
                    "cure stress cannot be left out",
                )
            found.setdefault(free, lamina.name)
        if len(found) != 1:
            reject(
                "Service: stress-free temperatures of the laminae [K]",
                {name: free for free, name in found.items()},
                "one",
                "plies cured together share one stress-free state; say which with dataclasses.replace",
            )
        return self.temperature - next(iter(found))

    def allowables(self, lamina: Lamina) -> Allowables:
        """Allowables of a lamina in this state.

        Parameters
        ----------
        lamina : Lamina
            Must hold allowables.

        Returns
        -------
        Allowables
            Times the factors of this state.

        Raises
        ------
        ValueError
            If the lamina holds none.
        """
        instance("Service: lamina", lamina, Lamina)
        if lamina.allowables is None:
            reject(
                f"Lamina {lamina.name!r}: allowables",
                None,
                "given",
                "a stiffness-only lamina cannot be sized",
            )
        return lamina.allowables.times(*self.factors)


@dataclass(frozen=True, kw_only=True)
class Requirement:
    """Services, factors and criteria that a strut is judged by.

    Parameters
    ----------
    services : tuple of Service
        Every one must be held.
    special_factor : float
        Special factor of 14 CFR 23.619 for composite structure, on top of the factor of
        safety [-]. Part 23 prints no number: agree it with the authority.
    special_factor_basis : str
        Where that number comes from; printed with the results.
    factor_of_safety : float
        Ultimate over limit load, 14 CFR 23.303 [-].
    deflection_allowance : float
        On the loads, for what they gain as the strut bends away under them (23.301(c)), where margins and
        sizing take the loads on the undeflected strut; `beam.margins` checks it with ``deflected=True`` [-].
    criteria : tuple of str
        Ply criteria, from `beam.strength.ply_criteria.CRITERIA`.
    interaction : float
        Tsai-Wu interaction F12 / sqrt(F11 F22) [-].
    deflection_limit : float, optional
        Largest displacement of the tip at limit load [m].
    twist_limit : float, optional
        Largest rotation of the tip about the axis at limit load [rad].
    corner_opening : bool
        Judge the tension through the thickness of curved walls, which asks every lamina for Zt and a fabric for its
        stiffness through the thickness. Switched off, nothing is said of it: settle it by test.
    assembly_temperature : float, optional
        Temperature at which the dry strut is mounted on its supports without force: asked for where more than six
        directions are held, because heat and moisture then load the strut [K].

    Raises
    ------
    ValueError
        If there is no service, a factor is below 1, a criterion is unknown or the basis is empty.
    """

    services: tuple[Service, ...]
    special_factor: float
    special_factor_basis: str
    factor_of_safety: float = 1.5
    deflection_allowance: float = 1.0
    criteria: tuple[str, ...] = ("tsai_wu", "max_strain")
    interaction: float = -0.5
    deflection_limit: float | None = None
    twist_limit: float | None = None
    corner_opening: bool = True
    assembly_temperature: float | None = None

    def __post_init__(self) -> None:
        if isinstance(self.services, Service):
            reject("Requirement: services", "one Service", "a tuple of them", "write services=(service,)")
        object.__setattr__(self, "services", instances("Requirement: services", self.services, Service))
        names = [service.name for service in self.services]
        if len(set(names)) != len(names):
            reject("Requirement: services", names, "at least one, distinct by name")
        for name in ("special_factor", "factor_of_safety", "deflection_allowance"):
            number(
                f"Requirement: {name} [-]",
                getattr(self, name),
                at_least=1.0,
                cause="a factor on load, not a knockdown",
            )
        if not instance("Requirement: special_factor_basis", self.special_factor_basis, str).strip():
            reject(
                "Requirement: special_factor_basis",
                "''",
                "the basis of the special factor",
                "Part 23 prints none",
            )
        object.__setattr__(self, "criteria", instances("Requirement: criteria", self.criteria, str))
        if len(set(self.criteria)) < max(1, len(self.criteria)) or not set(self.criteria) <= set(CRITERIA):
            reject("Requirement: criteria", self.criteria, f"a choice of {tuple(CRITERIA)}")
        number(
            "Requirement: interaction [-]",
            self.interaction,
            above=-1.0,
            below=1.0,
            cause="the surface would not close",
        )
        for name, unit in (("deflection_limit", "m"), ("twist_limit", "rad")):
            if getattr(self, name) is not None:
                number(f"Requirement: {name} [{unit}]", getattr(self, name), above=0.0)
        flag("Requirement: corner_opening", self.corner_opening)
        if self.assembly_temperature is not None:
            _temperature("Requirement: assembly_temperature [K]", self.assembly_temperature)

    @property
    def ultimate_factor(self) -> float:
        """Ultimate over limit load with the special factor and the allowance, 14 CFR 23.303 and 23.619 [-]."""
        return self.factor_of_safety * self.special_factor * self.deflection_allowance

    @property
    def modes(self) -> tuple[str, ...]:
        """The ply criteria, the modes of flat and curved walls, the column, and the limits on the tip that are set."""
        limits = ((DEFLECTION, self.deflection_limit), (TWIST, self.twist_limit))
        return (
            *self.criteria,
            BUCKLING,
            CURVED_BUCKLING,
            *((CORNER_OPENING,) if self.corner_opening else ()),
            COLUMN,
            *(mode for mode, limit in limits if limit is not None),
        )


def _temperature(what: str, value: float) -> None:
    number(what, value, at_least=150.0, at_most=600.0, cause="given in degrees Celsius?")
