"""What a strut must withstand: states of service and factors, in one object that margins and sizing read.

Knockdowns act on allowables and stand in a `Service`; factors of safety act on loads and stand in a `Requirement`.
Neither therefore counts twice.
"""

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property, lru_cache
from typing import Annotated, Literal

import numpy as np

from beam.strength.check import Check, Level, meets, recommended, refuse_environment, screening
from beam.strength.region_factors import ALL_PLIES, BESIDE_BRICKS, KINDS, RegionFactor
from beam.strut import MoldLine, PointLoads, PointMass
from laminate.failure import Puck, ShearOffset, ShearStrength
from materials import Allowables, ConditionedLamina, Factor, Lamina
from materials.checks import Array, Frozen, Items, Limits, checked, default, reject
from materials.environment import check_glass_transition

BUCKLING, CURVED_BUCKLING, CORNER_OPENING = "buckling", "curved wall buckling", "corner opening"
COLUMN, DEFLECTION, TWIST, FREQUENCY = "column", "deflection", "twist", "lowest frequency"

_IN_SERVICE = Limits("K", at_least=200.0, at_most=450.0, cause="given in degC or degF?")
_MOISTURE = Limits("-", at_least=0.0, at_most=0.1, cause="given in percent?")
ROOM = 294.15
"""Room temperature, 21 degC [K]."""
KEPT = ("G13", "G23", "E3", "nu13", "nu23", "alpha3", "beta3", "wet_glass_transition")
"""Properties that stay those of the ply book where no test gives them."""
ROOMS = (288.0, 300.0)
"""Temperatures that count as room temperature [K]."""
LEAST_SPECIAL = 1.2
"""Least special factor on means: moist specimens, hottest service; 1.5 dry at room. AMC VLA 619, from memory [-]."""
WAY_OUT = 'state the reason of a mix in Requirement(mixed="...")'
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
    conditioned : sequence of ConditionedLamina
        Laminae tested at several conditions. A ply whose lamina has the name of one takes stiffness, expansion and
        strengths from it at the temperature and moisture of the service; every other ply keeps its own.
    residual_temperature, residual_moisture : float, optional
        State in which the residual stress is taken; None: that of the service [K], [-].

    Examples
    --------
    >>> from materials import lamina
    >>> hot = Service(name="hot wet", temperature=344.0, moisture=0.008)
    >>> round(hot.temperature_change(lamina("AS4/3501-6")), 1)
    -106.1
    """

    name: str
    temperature: Annotated[float, _IN_SERVICE]
    moisture: Annotated[float, _MOISTURE] = 0.0
    factors: Annotated[Items[Factor], Limits(items=0)] = default(())
    conditioned: Annotated[Items[ConditionedLamina], Limits(items=0)] = default(())
    residual_temperature: Annotated[float | None, _IN_SERVICE] = None
    residual_moisture: Annotated[float | None, _MOISTURE] = None

    @property
    def title(self) -> str:
        """Name with the state of the residual stress, where that is another one."""
        at = self.residual_temperature
        return self.name if at is None else f"{self.name}, residual stress of {at:g} K"

    @property
    def free_moisture(self) -> float:
        """Moisture that swells the plies [-]."""
        return self.moisture if self.residual_moisture is None else self.residual_moisture

    @checked
    def lamina(self, lamina: Lamina) -> Lamina:
        """Return a lamina as it is in this state.

        Parameters
        ----------
        lamina : Lamina
            As in the ply book.

        Returns
        -------
        Lamina
            Stiffness, expansion and strengths of the tests under its name, thickness and density of the ply book;
            the knockdowns of its allowables act on the tested ones. What the tests do not give, as through the
            thickness, stays that of the lamina. Without tests the lamina itself.

        Raises
        ------
        ValueError
            If the state is not between the tested conditions.
        """
        found = next((one for one in self.conditioned if one.name == lamina.name), None)
        if found is None:
            return lamina
        return _tested(found, lamina, self.temperature, self.moisture)

    @checked
    def refuse_too_hot(self, lamina: Lamina) -> None:
        """Refuse a lamina whose matrix softens in this state.

        Parameters
        ----------
        lamina : Lamina
            As it is in this state.

        Raises
        ------
        ValueError
            If the service is above the wet glass transition less 28 K, or above 50 degC without one.
        """
        try:
            check_glass_transition(self.temperature, lamina.wet_glass_transition)
        except ValueError as error:
            raise ValueError(f"Service '{self.name}', lamina '{lamina.name}': {error}") from None

    @checked
    def temperature_change(self, *laminae: Lamina) -> float:
        """Temperature of the residual stress less the stress-free temperature of laminae cured together.

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
        at = self.temperature if self.residual_temperature is None else self.residual_temperature
        return at - next(iter(found))

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


@lru_cache(maxsize=64)
def _tested(tests: ConditionedLamina, lamina: Lamina, temperature: float, moisture: float) -> Lamina:
    """A lamina of the ply book with what was tested of it at one temperature [K] and moisture [-]."""
    tested = tests.at(temperature=temperature, moisture=moisture)
    allowables, own = tested.allowables, lamina.allowables
    if allowables is not None and own is not None:
        if allowables.Zt is None:
            allowables = replace(allowables, Zt=own.stated.Zt)
        allowables = allowables.times(*own.factors)
    kept = {name: getattr(lamina, name) for name in KEPT if getattr(tested, name) is None}
    free = lamina.stress_free_temperature or tested.stress_free_temperature
    return replace(
        tested,
        **kept,
        name=lamina.name,
        thickness=lamina.thickness,
        density=lamina.density,
        stress_free_temperature=free,
        allowables=allowables,
    )


class TipLimit(Frozen, eq=True):
    """A limit on a linear form of the motion of the tip at limit load, such as toe or camber of the wheel.

    Parameters
    ----------
    name : str
        Name of the mode in tables.
    form : sequence of float, length 6
        Weights of u1, u2, u3 [1/m] and r1, r2, r3 [1/rad] of the tip in strut axes, or all of them in other units of
        which `limit` is then one.
    limit : float
        Largest size of the form, either sign [any].

    Raises
    ------
    ValueError
        If the form has no weight but zero.

    Notes
    -----
    |form . (u, r)| <= limit. First order in the motion.

    Examples
    --------
    >>> TipLimit(name="sideways", form=(0, 0, 1, 0, 0, 0), limit=0.01).limit
    0.01
    """

    name: str
    form: Annotated[Items[float], Limits(items=6)]
    limit: Annotated[float, Limits("any", above=0.0)]

    def __post_init__(self) -> None:
        super().__post_init__()
        if len(self.form) != 6 or not any(self.form):
            reject(f"TipLimit '{self.name}': form", self.form, "six weights, not all zero")


class Requirement(Frozen, eq=True):
    """Services, factors and checks for the margins of a strut.

    Parameters
    ----------
    services : sequence of Service
        The strut must withstand every case in each of them; names must differ.
    special_factor : float
        Special factor of 14 CFR 23.619 for composite structure, on top of the factor of
        safety [-]. Part 23 prints no number: agree it with the authority.
    special_factor_basis : str
        Where that number comes from; printed with the results.
    route : {"allowables", "factor"}
        How scatter and environment are covered: "allowables" by A- or B-basis values at the worst environment, "factor"
        by the special factor on mean, typical or specification values.
    mixed : str, optional
        Reason for a mix of both routes; printed. Without one a mix is refused: a special factor above 1 on route
        "allowables", a basis value or a knockdown on route "factor".
    factor_of_safety : float
        Ultimate over limit load, 14 CFR 23.303 [-]; a case that carries its own takes that.
    deflection_allowance : float
        On the loads, for what they gain as the strut bends away under them (23.301(c)), where margins and
        sizing take the loads on the undeflected strut; `beam.margins` checks it with ``deflected=True`` [-].
    checks : sequence of Check
        Checks of the plies, one of a mode; `recommended` if not given. `screening` is always computed, and decides only
        where it is given here.
    deflection_limit : float, optional
        Largest displacement of the tip at limit load [m].
    twist_limit : float, optional
        Largest rotation of the tip about the axis at limit load [rad].
    tip_limits : sequence of TipLimit
        Limits on other forms of the motion of the tip at limit load.
    frequency_limit : float, optional
        Least value of the lowest natural frequency [Hz].
    carried : sequence of PointMass
        Masses that the strut carries where its frequency is found: link, wheel, brake.
    corner_opening : bool
        Check the tension through the thickness of curved walls, which needs Zt of every lamina and, of a fabric, its
        stiffness through the thickness. Switched off, no margin is printed for it: prove it by test.
    assembly_temperature : float, optional
        Temperature at which the dry strut is mounted on its supports without force: needed where more than six
        directions are supported, because heat and moisture then load the strut [K].
    credit_relief : bool
        Count on the residual stress that heat and moisture relax. Otherwise a service above room temperature is judged
        twice, with its own residual stress and with that of the dry strut at room temperature; the lower counts.
    region_factors : sequence of RegionFactor
        On the load near the bands and the ply ends of a strut with bands, where solid models have less reserve than a
        beam; measured on bricks of one strut if not given. Replace them by what you measured on yours.

    Notes
    -----
    With R the strength ratio at the given load, RF = R / deflection allowance at limit and
    RF = R / (factor of safety x special factor x deflection allowance) at ultimate, MS = RF - 1. 1.5 is the factor of
    safety of 14 CFR 23.303, 23.619 asks for the special factor, which never multiplies limit load.

    Route "factor": a special factor of at least 1.5 for specimens tested dry at room temperature, 1.2 for moist ones at
    the maximum temperature (AMC VLA 619, from memory). Route "allowables": A-basis for a single load path (23.613),
    special factor 1. A mean or typical value needs a special factor of 1.2 whatever the route.

    Examples
    --------
    >>> service = Service(name="room, dry", temperature=297.0)
    >>> requirement = Requirement(services=[service], special_factor=1.0, special_factor_basis="A-basis",
    ...                           route="allowables", deflection_allowance=1.04)
    >>> round(requirement.ultimate_factor, 2), requirement.limit_factor
    (1.56, 1.04)
    """

    services: Items[Service]
    special_factor: Annotated[float, _FACTOR]
    special_factor_basis: str
    route: Literal["allowables", "factor"]
    mixed: str | None = None
    factor_of_safety: Annotated[float, _FACTOR] = 1.5
    deflection_allowance: Annotated[float, _FACTOR] = 1.0
    checks: Items[Check] = default(recommended())
    deflection_limit: Annotated[float | None, Limits("m", above=0.0)] = None
    twist_limit: Annotated[float | None, Limits("rad", above=0.0)] = None
    tip_limits: Annotated[Items[TipLimit], Limits(items=0)] = default(())
    frequency_limit: Annotated[float | None, Limits("Hz", above=0.0)] = None
    carried: Annotated[Items[PointMass], Limits(items=0)] = default(())
    corner_opening: bool = True
    assembly_temperature: Annotated[float | None, _IN_SERVICE] = None
    credit_relief: bool = False
    region_factors: Annotated[Items[RegionFactor], Limits(items=0)] = default(BESIDE_BRICKS)

    def __post_init__(self) -> None:
        super().__post_init__()
        known = [service.name for service in self.services]
        for what, names in (("services", known), ("checks", [check.mode for check in self.checks])):
            if len(set(names)) != len(names):
                reject(f"Requirement: {what}", names, "distinct by name")
        reserved = (BUCKLING, CURVED_BUCKLING, CORNER_OPENING, COLUMN, DEFLECTION, TWIST, FREQUENCY)
        taken = (*(check.mode for check in (*self.checks, *screening(decides=False))), *reserved)
        tips = [limit.name for limit in self.tip_limits]
        if len(set(tips)) != len(tips) or set(tips) & set(taken):
            reject("Requirement: tip_limits: name", tips, f"distinct, none of {', '.join(taken)}")
        for check in self.checks:
            if check.mode in reserved:
                reject("Requirement: checks: name", repr(check.mode), f"none of {', '.join(reserved)}")
            if unknown := [name for name in check.services if name not in known]:
                reject(f"Check '{check.mode}': services", unknown, f"among {known}")
        if not any(check.decides for check in self.checks):
            reject("Requirement: checks", "none that decides", "at least one", "every strut would pass")
        if self.route == "factor" and self.special_factor < LEAST_SPECIAL and not self.mixed:
            cause = "AMC VLA 619 (from memory): 1.5 tested dry at room temperature, 1.2 moist at the hottest service"
            reject("Requirement: special_factor [-]", self.special_factor, '>= 1.2 on route "factor"', cause)
        if self.route == "allowables" and self.special_factor > 1.0 and not self.mixed:
            cause = f"A- or B-basis in the worst environment covers scatter; with a factor it counts twice; {WAY_OUT}"
            reject("Requirement: special_factor [-]", self.special_factor, '1 on route "allowables"', cause)
        self._refuse_caps()

    def _refuse_caps(self) -> None:
        """Refuse caps of another route or environment, and a service that meets no caps where others do."""
        tested = [check for check in self.checks if check.caps]
        for check in tested:
            caps = check.caps
            assert caps is not None
            wrong = ("mean", "typical") if self.route == "allowables" else ("A", "B", "estimate")
            if caps.basis in wrong and not self.mixed:
                limit = f'no {caps.basis} on route "{self.route}"'
                reject(f"Caps '{caps.name}': basis", repr(caps.basis), limit, WAY_OUT)
            for service in self.services:
                if meets(check, service.name):
                    refuse_environment(caps, service.name, service.temperature, service.moisture)
        for service in self.services:
            if tested and not any(meets(check, service.name) for check in tested):
                cause = "name it in the services of a check with caps"
                reject(f"Requirement: caps of service '{service.name}'", "none", "one at least", cause)

    @property
    def limit_factor(self) -> float:
        """Factor on limit load that a check at limit load must bear: the deflection allowance [-]."""
        return self.deflection_allowance

    @property
    def ultimate_factor(self) -> float:
        """Ultimate over limit load with the special factor and the allowance, 14 CFR 23.303 and 23.619 [-]."""
        return self.factor_of_safety * self.special_factor * self.deflection_allowance

    @cached_property
    def ply_checks(self) -> tuple[Check, ...]:
        """The checks, and after them those of `screening` that are not among them."""
        given = {check.criterion.name for check in self.checks}
        modes = {check.mode for check in self.checks}
        extra = [
            one
            for one in screening(decides=False)
            if one.criterion.name not in given and one.mode not in modes
        ]
        return (*self.checks, *extra)

    @cached_property
    def states(self) -> tuple[Service, ...]:
        """The services, those above room temperature also with the residual stress of the dry strut at room."""
        if self.credit_relief:
            return tuple(self.services)
        rooms = [one.temperature for one in self.services if ROOMS[0] <= one.temperature <= ROOMS[1]]
        room = min(rooms, default=ROOM)
        out: list[Service] = []
        for one in self.services:
            out.append(one)
            if one.residual_temperature is None and (one.temperature > room or one.moisture > 0.0):
                cold = min(room, one.temperature)
                out.append(replace(one, residual_temperature=cold, residual_moisture=0.0))
        return tuple(out)

    @property
    def modes(self) -> tuple[str, ...]:
        """The ply checks, the modes of flat and curved walls, the column, and the limits on the tip that are set."""
        limits = (
            (DEFLECTION, self.deflection_limit),
            (TWIST, self.twist_limit),
            *((one.name, one.limit) for one in self.tip_limits),
            (FREQUENCY, self.frequency_limit),
        )
        return (
            *(check.mode for check in self.ply_checks),
            BUCKLING,
            CURVED_BUCKLING,
            *((CORNER_OPENING,) if self.corner_opening else ()),
            COLUMN,
            *(mode for mode, limit in limits if limit is not None),
        )


@checked
def alignment_limits(
    mold_line: MoldLine,
    *,
    toe_deg: Annotated[float | None, Limits("deg", above=0.0, at_most=45.0)] = None,
    camber_deg: Annotated[float | None, Limits("deg", above=0.0, at_most=45.0)] = None,
) -> tuple[TipLimit, ...]:
    """Limits on what bend and twist of the strut add to toe and camber of the wheel, for `beam.Requirement`.

    Parameters
    ----------
    mold_line : MoldLine
        The strut, trunnion to link pivot.
    toe_deg, camber_deg : float, optional
        Largest change, either way, at limit load; no limit if not given [deg].

    Returns
    -------
    tuple of TipLimit
        "toe change" and "camber change".

    Notes
    -----
    The rotation of the tip about the airplane's upright axis and about its longitudinal axis, which turn a wheel
    that stands upright and straight so. The turn of the link about its pivot as the bracket moves is left out: none
    where the pivot lies across the airplane. `beam.wheel_alignment` has both.

    Examples
    --------
    >>> import tarn  # examples/tarn.py
    >>> [(one.name, one.limit) for one in alignment_limits(tarn.MOLD_LINE, toe_deg=0.5)]
    [('toe change', 0.5)]
    """
    given = (("toe change", 2, toe_deg), ("camber change", 0, camber_deg))
    per_radian = np.degrees(mold_line.frame)
    return tuple(
        TipLimit(name=name, form=(0.0, 0.0, 0.0, *per_radian[:, axis].tolist()), limit=limit)
        for name, axis, limit in given
        if limit is not None
    )


def case_factors(requirement: Requirement, loads: PointLoads) -> dict[Level, Array]:
    """Factor on the load of each case, (case,), at each level; 0 for limit checks of a case at ultimate load."""
    ultimate = loads.at_ultimate
    safety = np.where(ultimate, 1.0, requirement.factor_of_safety)
    if loads.factor_of_safety is not None:
        safety = np.asarray(loads.factor_of_safety)
    return {
        "limit": np.where(ultimate, 0.0, requirement.limit_factor),
        "ultimate": safety * requirement.special_factor * requirement.deflection_allowance,
    }


def level_of(requirement: Requirement, mode: str) -> Level:
    """Load level of a mode."""
    found: dict[str, Level] = {check.mode: check.level for check in requirement.ply_checks}
    tips = (DEFLECTION, TWIST, FREQUENCY, *(one.name for one in requirement.tip_limits))
    return found.get(mode, "limit" if mode in tips else "ultimate")


def decides(requirement: Requirement, mode: str) -> bool:
    """Whether a negative margin of a mode fails the strut."""
    return all(check.decides for check in requirement.ply_checks if check.mode == mode)


def kind_of(requirement: Requirement, mode: str) -> int | None:
    """Column of a mode in `factors_at`; None of the modes that the factors of regions leave alone."""
    if mode == CORNER_OPENING:
        return KINDS.index("corner")
    check = next((one for one in requirement.ply_checks if one.mode == mode), None)
    if check is None:
        return None
    if check.caps is not None:
        return KINDS.index("fiber")
    if isinstance(check.criterion, ShearOffset | ShearStrength):
        return KINDS.index("shear")
    if isinstance(check.criterion, Puck) and not check.criterion.fiber:
        return KINDS.index("matrix")
    return ALL_PLIES


def refuse_route(requirement: Requirement, laminae: Iterable[Lamina]) -> None:
    """Refuse laminae whose allowables do not belong to the route, unless a reason for the mix is given.

    A mean needs the special factor in any case, since nothing else covers its scatter.
    """
    route = requirement.route
    for lamina in dict.fromkeys(laminae):
        a = lamina.allowables
        if a is None:
            continue
        what = f"Requirement: route '{route}': lamina '{lamina.name}'"
        reduced = a.basis in ("A", "B", "estimate")
        if route == "allowables" and not reduced and not requirement.mixed:
            cause = f"a {a.basis} is no allowable; Allowables.to_basis makes one; {WAY_OUT}"
            reject(f"{what}: basis", repr(a.basis), "'A' or 'B'", cause)
        if not reduced and requirement.special_factor < LEAST_SPECIAL:
            limit = f">= {LEAST_SPECIAL:g} on values of basis {a.basis}"
            reject(f"{what}: special_factor [-]", requirement.special_factor, limit, "nothing covers scatter")
        if requirement.mixed:
            continue
        if route == "factor" and reduced:
            limit = "'mean', 'typical' or 'specification'"
            reject(f"{what}: basis", repr(a.basis), limit, f"scatter counts twice; {WAY_OUT}")
        services = requirement.services
        factors = [one.name for one in (*a.factors, *(f for one in services for f in one.factors))]
        if route == "factor" and factors:
            cause = f"the special factor stands for scatter and environment; {WAY_OUT}"
            reject(f"{what}: factors", ", ".join(dict.fromkeys(factors)), "none", cause)
        for one in services if route == "allowables" else ():
            known = one.factors or lamina.name in (tests.name for tests in one.conditioned)
            if (one.temperature > ROOMS[1] or one.moisture > 0.0) and not known:
                limit = "tests (conditioned) or a factor, of 1 where the values hold there"
                reject(
                    f"{what}: environment of service '{one.name}'", "none", limit, "a route needs the worst"
                )
