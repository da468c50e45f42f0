"""What a strut must withstand: states of service and factors, in one object that margins and sizing read.

Knockdowns act on allowables and stand in a `Service`; factors of safety act on loads and stand in a `Requirement`.
Neither therefore counts twice.
"""

from typing import Annotated

from laminate.failure import Criterion, MaxStrain, TsaiWu
from materials import Allowables, Factor, Lamina
from materials.checks import Frozen, Items, Limits, checked, default, reject

BUCKLING, CURVED_BUCKLING, CORNER_OPENING = "buckling", "curved wall buckling", "corner opening"
COLUMN, DEFLECTION, TWIST = "column", "deflection", "twist"

_IN_SERVICE = Limits("K", at_least=200.0, at_most=450.0, cause="given in degC or degF?")
_FACTOR = Limits("-", at_least=1.0, cause="a factor on load, not a knockdown")


class Service(Frozen, eq=True):
    """One state of the structure in which every load case must be withstood.

    Parameters
    ----------
    name : str
        As in "hot wet, impact damage".
    temperature : float
        Temperature of the laminate, 200 to 450 K [K].
    moisture : float
        Moisture absorbed since the stress-free state, by mass [-].
    factors : sequence of Factor
        Knockdowns on the allowables that apply in this state.

    Examples
    --------
    >>> from materials import lamina
    >>> hot = Service(name="hot wet", temperature=344.0, moisture=0.008)
    >>> round(hot.temperature_change(lamina("AS4/3501-6")), 1)
    -106.1
    """

    name: str
    temperature: Annotated[float, _IN_SERVICE]
    moisture: Annotated[float, Limits("-", at_least=0.0, at_most=0.1, cause="given in percent?")] = 0.0
    factors: Annotated[Items[Factor], Limits(items=0)] = default(())

    @checked
    def temperature_change(self, *laminae: Lamina) -> float:
        """Temperature of the service less the stress-free temperature of laminae cured together.

        Parameters
        ----------
        *laminae : Lamina
            Must state their stress-free temperature, and the same one.

        Returns
        -------
        float
            The change [K].

        Raises
        ------
        ValueError
            If a lamina does not state it, or two state different ones.
        """
        found: dict[float, str] = {}
        for lamina in laminae:
            free = lamina.stress_free_temperature
            if free is None:
                what = f"Lamina {lamina.name!r}: stress_free_temperature [K]"
                reject(what, None, "given", "cure stress cannot be left out")
            found.setdefault(free, lamina.name)
        if len(found) != 1:
            reject(
                "Service: stress-free temperatures of the laminae [K]",
                {name: free for free, name in found.items()},
                "one",
                "plies cured together share one stress-free state; say which with dataclasses.replace",
            )
        return self.temperature - next(iter(found))

    @checked
    def allowables(self, lamina: Lamina) -> Allowables:
        """Allowables of a lamina times the factors of this state.

        Parameters
        ----------
        lamina : Lamina
            Must hold allowables.

        Returns
        -------
        Allowables
            Knocked down.
        """
        if lamina.allowables is None:
            cause = "a lamina with stiffness alone cannot be sized"
            reject(f"Lamina {lamina.name!r}: allowables", None, "given", cause)
        return lamina.allowables.times(*self.factors)


class Requirement(Frozen, eq=True):
    """Services, factors and criteria for the margins of a strut.

    Parameters
    ----------
    services : sequence of Service
        The strut must withstand every case in each of them; names must differ.
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
    criteria : sequence of Criterion
        Ply criteria of `laminate.failure`, one of a name.
    deflection_limit : float, optional
        Largest displacement of the tip at limit load [m].
    twist_limit : float, optional
        Largest rotation of the tip about the axis at limit load [rad].
    corner_opening : bool
        Check the tension through the thickness of curved walls, which needs Zt of every lamina and, of a fabric, its
        stiffness through the thickness. Switched off, no margin is printed for it: prove it by test.
    assembly_temperature : float, optional
        Temperature at which the dry strut is mounted on its supports without force: needed where more than six
        directions are supported, because heat and moisture then load the strut [K].

    Notes
    -----
    With R the strength ratio at limit load, RF = R / (factor of safety x special factor x deflection allowance)
    and MS = RF - 1; 1.5 is the factor of safety of 14 CFR 23.303, 23.619 asks for the special factor.

    Examples
    --------
    >>> service = Service(name="room, dry", temperature=297.0)
    >>> requirement = Requirement(services=[service], special_factor=1.2, special_factor_basis="invented")
    >>> round(requirement.ultimate_factor, 2), requirement.modes[:2]
    (1.8, ('tsai_wu', 'max_strain'))
    """

    services: Items[Service]
    special_factor: Annotated[float, _FACTOR]
    special_factor_basis: str
    factor_of_safety: Annotated[float, _FACTOR] = 1.5
    deflection_allowance: Annotated[float, _FACTOR] = 1.0
    criteria: Items[Criterion] = default((TsaiWu(), MaxStrain()))
    deflection_limit: Annotated[float | None, Limits("m", above=0.0)] = None
    twist_limit: Annotated[float | None, Limits("rad", above=0.0)] = None
    corner_opening: bool = True
    assembly_temperature: Annotated[float | None, _IN_SERVICE] = None

    def __post_init__(self) -> None:
        super().__post_init__()
        for what, names in (
            ("services", [service.name for service in self.services]),
            ("criteria", [criterion.name for criterion in self.criteria]),
        ):
            if len(set(names)) != len(names):
                reject(f"Requirement: {what}", names, "distinct by name")

    @property
    def ultimate_factor(self) -> float:
        """Ultimate over limit load with the special factor and the allowance, 14 CFR 23.303 and 23.619 [-]."""
        return self.factor_of_safety * self.special_factor * self.deflection_allowance

    @property
    def modes(self) -> tuple[str, ...]:
        """The ply criteria, the modes of flat and curved walls, the column, and the limits on the tip that are set."""
        limits = ((DEFLECTION, self.deflection_limit), (TWIST, self.twist_limit))
        return (
            *(criterion.name for criterion in self.criteria),
            BUCKLING,
            CURVED_BUCKLING,
            *((CORNER_OPENING,) if self.corner_opening else ()),
            COLUMN,
            *(mode for mode, limit in limits if limit is not None),
        )
