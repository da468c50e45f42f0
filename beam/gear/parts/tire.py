"""The tire: load against deflection, bottoming on the rim, loaded radius, damping, friction on the ground."""

from functools import cached_property
from typing import Annotated, Literal, Protocol, Self, runtime_checkable

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.parts.curve import Curve
from beam.gear.parts.orifice import fit_together
from beam.gear.parts.rotation import rising_root
from materials.checks import Array, Frozen, Limits, Numbers, checked, default, number, reject, unchecked

CZ = {"I": 0.02, "III": 0.03, "VII": 0.03}
"""Vertical-load constant of Smiley and Horne for each tire type [-]."""

TireType = Literal["I", "III", "VII"]
Inflation = Annotated[float, Limits("Pa", at_least=2e4, at_most=5e6, cause="given in bar, psi or kPa?")]
Width = Annotated[float, Limits("m", above=0.0, below=1.0, cause="given in mm or inches?")]
Diameter = Annotated[float, Limits("m", above=0.0, below=3.0, cause="given in mm?")]
KnownLoad = Annotated[float, Limits("N", above=0.0)]
KnownDeflection = Annotated[float, Limits("m", above=0.0, below=1.0, cause="given in mm?")]
Power = Annotated[float, Limits("-", at_least=1.0, at_most=3.0)]
DeflectionPoints = Limits("m", shape=(-1,), at_least=0.0, below=1.0, cause="given in mm?")
LoadPoints = Limits("N", shape=(-1,), at_least=0.0)
Radius = Annotated[float, Limits("m", above=0.0, below=1.5, cause="given in mm or inches?")]
Bottoming = Annotated[float, Limits("m", above=0.0, below=1.5, cause="more than the radius; given in mm?")]
Damping = Annotated[float, Limits("s/m", at_least=0.0, at_most=2.0, cause="given in N s/m? divide by load")]
StaticLoad = Annotated[ArrayLike, Limits("N", at_least=0.0, cause="a load of the ground, positive up")]


@runtime_checkable
class TireLaw(Protocol):
    """Load [N] of a tire over its deflection [m] and its integral [J], both zero at and below zero deflection."""

    def load(self, deflection: ArrayLike) -> Array:
        """Load [N], shape (...)."""

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy [J], shape (...)."""


def smiley_horne_ratio(x: ArrayLike, Cz: float) -> Array:
    """Load over (p + 0.08 p_rated) w sqrt(w d) at a deflection over width x: 0.96 x + 0.216 x**2 / Cz, later straight.

    From x = 10 Cz / 3 on it is 2.4 (x - Cz): value and slope are continuous.
    """
    x = np.maximum(x, 0.0)
    foot = np.minimum(x, 10 * Cz / 3)
    return 0.96 * foot + 0.216 * foot**2 / Cz + 2.4 * (x - foot)


class SmileyHorne(Frozen, eq=True):
    """Load of a tire from size and pressure."""

    width: Width
    diameter: Diameter
    pressure: Inflation
    rated_pressure: Inflation
    tire_type: TireType = "III"

    def __post_init__(self) -> None:
        super().__post_init__()
        number("SmileyHorne: diameter [m]", self.diameter, above=self.width, cause="given in mm?")
        most, cause = 3 * self.rated_pressure, "far above the rated one; two units?"
        number("SmileyHorne: pressure [Pa]", self.pressure, at_most=most, cause=cause)

    @cached_property
    def scale(self) -> float:
        """Load at unit ratio [N]."""
        return (self.pressure + 0.08 * self.rated_pressure) * self.width * np.sqrt(self.width * self.diameter)

    def load(self, deflection: ArrayLike) -> Array:
        """Load [N], shape (...)."""
        return self.scale * smiley_horne_ratio(np.asarray(deflection) / self.width, CZ[self.tire_type])

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy [J], shape (...): integral of `smiley_horne_ratio`."""
        Cz = CZ[self.tire_type]
        x = np.maximum(np.asarray(deflection) / self.width, 0.0)
        foot = np.minimum(x, 10 * Cz / 3)
        beyond = x - foot
        area = 0.48 * foot**2 + 0.072 * foot**3 / Cz + beyond * (5.6 * Cz + 1.2 * beyond)
        return self.scale * self.width * area


class PowerLaw(Frozen, eq=True):
    """Load of a tire as a power of the deflection through one known point."""

    known_load: KnownLoad
    known_deflection: KnownDeflection
    exponent: Power = 1.0

    def load(self, deflection: ArrayLike) -> Array:
        """Load [N], shape (...)."""
        return self.known_load * (np.maximum(deflection, 0.0) / self.known_deflection) ** self.exponent

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy [J], shape (...)."""
        return self.load(deflection) * np.maximum(deflection, 0.0) / (self.exponent + 1)


class Points(Frozen):
    """Load of a tire through measured points, going on along the last slope."""

    deflection: Annotated[Numbers, DeflectionPoints]
    load_points: Annotated[Numbers, LoadPoints]

    def __post_init__(self) -> None:
        super().__post_init__()
        curve = self._curve()
        if curve.x[0] != 0 or curve.y[0] != 0:
            first = (float(curve.x[0]), float(curve.y[0]))
            reject("Tire points: first deflection and load", first, "(0, 0)", "leave the preload out")
        if not (np.diff(curve.y) > 0).all():
            reject("Tire points: load [N]", curve.y.tolist(), "rising")

    def _curve(self) -> Curve:
        name = "Tire points (deflection, load)"
        return Curve(x=self.deflection, y=self.load_points, extend=True, name=name)

    @cached_property
    def curve(self) -> Curve:
        """Load over deflection."""
        return self._curve()

    def load(self, deflection: ArrayLike) -> Array:
        """Load [N], shape (...)."""
        return np.asarray(self.curve.pieces(np.maximum(deflection, 0.0)))

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy [J], shape (...)."""
        return unchecked(self.curve.integral)(np.maximum(deflection, 0.0))


class Tire(Frozen, eq=True):
    """A tire loaded radially on flat ground; `smiley_horne`, `power_law` and `from_points` build one.

    Parameters
    ----------
    radius : float
        Outside radius of the inflated, unloaded tire [m].
    law : TireLaw
        Load against deflection: any object with `load` and its integral `energy`.
    bottoming_deflection : float
        Deflection at which the tire is flat on the rim [m].
    bottoming_stiffness : float, optional
        Stiffness added beyond that [N/m]. Ten times the secant stiffness at bottoming if not given
        (common practice, no source).
    damping : float
        Radial damping: the load is multiplied by 1 + damping * rate [s/m]. A damping of c [N s/m]
        quoted at a load F is c / F here.
    fore_aft_stiffness : float, optional
        Fore-aft force over the motion of the tread's contact against the wheel, see `fore_aft_stiffness` [N/m]. None
        if not given: the slip follows the wheel's speed at once.

    Raises
    ------
    ValueError
        If a size is outside what a light airplane's tire can have.

    Notes
    -----
    F = f(delta) max(0, 1 + damping * rate): the damping goes to zero with the load, so that the load is
    continuous when the tire meets or leaves the ground and never pulls (the form of Hunt and Crossley).

    Examples
    --------
    >>> from beam.gear import Tire
    >>> tire = Tire.power_law(radius=0.22, load=6e3, deflection=0.04, bottoming_deflection=0.11, damping=0.05)
    >>> float(tire.load(0.04)), float(tire.load(0.04, 2.0).round(6)), float(tire.loaded_radius(3e3).round(4))
    (6000.0, 6600.0, 0.2)
    """

    radius: Radius
    law: TireLaw
    bottoming_deflection: Bottoming
    bottoming_stiffness: Annotated[float | None, Limits("N/m", at_least=0.0)] = None
    damping: Damping = 0.0
    fore_aft_stiffness: Annotated[float | None, Limits("N/m", at_least=1e3, at_most=1e9)] = None

    def __post_init__(self) -> None:
        super().__post_init__()
        what, cause = "Tire: bottoming_deflection [m]", "more than the radius; given in mm?"
        number(what, self.bottoming_deflection, below=self.radius, cause=cause)

    @classmethod
    @checked
    def smiley_horne(
        cls,
        *,
        width: Width,
        diameter: Diameter,
        pressure: Inflation,
        rated_pressure: Inflation,
        bottoming_deflection: Bottoming,
        tire_type: TireType = "III",
        damping: Damping = 0.0,
    ) -> Self:
        """Build a tire from its size and pressure.

        Parameters
        ----------
        width : float
            Section width of the inflated tire [m].
        diameter : float
            Outside diameter of the inflated tire [m].
        pressure : float
            Inflation pressure by gauge [Pa].
        rated_pressure : float
            Rated inflation pressure by gauge [Pa].
        bottoming_deflection : float
            Deflection at which the tire is flat on the rim [m].
        tire_type : str
            "I", "III" or "VII".
        damping : float
            Radial damping, see `Tire` [s/m].

        Notes
        -----
        F = (p + 0.08 p_rated) w sqrt(w d) times 0.96 x + 0.216 x**2 / Cz with x = delta / w, and from x = 10 Cz / 3 on
        times 2.4 (x - Cz).

        References
        ----------
        R. F. Smiley, W. B. Horne, Mechanical Properties of Pneumatic Tires with Special Reference to
        Modern Aircraft Tires, NASA TR R-64 (1960), earlier NACA TN 4110 (from memory).
        """
        law = SmileyHorne(
            width=width,
            diameter=diameter,
            pressure=pressure,
            rated_pressure=rated_pressure,
            tire_type=tire_type,
        )
        return cls(radius=diameter / 2, law=law, bottoming_deflection=bottoming_deflection, damping=damping)

    @classmethod
    @checked
    def power_law(
        cls,
        *,
        radius: Radius,
        load: KnownLoad,
        deflection: KnownDeflection,
        bottoming_deflection: Bottoming,
        exponent: Power = 1.0,
        damping: Damping = 0.0,
    ) -> Self:
        """Build a tire whose load grows as a power of the deflection through one known point.

        Parameters
        ----------
        radius : float
            Outside radius of the unloaded tire [m].
        load : float
            Load at the known point [N].
        deflection : float
            Deflection at the known point [m].
        bottoming_deflection : float
            Deflection at which the tire is flat on the rim [m].
        exponent : float
            Power, 1 for a linear tire [-].
        damping : float
            Radial damping, see `Tire` [s/m].
        """
        law = PowerLaw(known_load=load, known_deflection=deflection, exponent=exponent)
        return cls(radius=radius, law=law, bottoming_deflection=bottoming_deflection, damping=damping)

    @classmethod
    @checked
    def from_points(
        cls,
        *,
        radius: Radius,
        deflection: Annotated[ArrayLike, DeflectionPoints],
        load: Annotated[ArrayLike, LoadPoints],
        bottoming_deflection: Bottoming,
        damping: Damping = 0.0,
    ) -> Self:
        """Build a tire from a measured or published load-deflection table.

        Parameters
        ----------
        radius : float
            Outside radius of the unloaded tire [m].
        deflection : array_like, shape (point,)
            Deflections, rising from zero [m].
        load : array_like, shape (point,)
            Loads, rising from zero [N].
        bottoming_deflection : float
            Deflection at which the tire is flat on the rim [m].
        damping : float
            Radial damping, see `Tire` [s/m].
        """
        law = Points(deflection=deflection, load_points=load)
        return cls(radius=radius, law=law, bottoming_deflection=bottoming_deflection, damping=damping)

    @cached_property
    def stiffness_beyond(self) -> float:
        """Stiffness added beyond bottoming [N/m]."""
        if self.bottoming_stiffness is not None:
            return self.bottoming_stiffness
        return 10 * (float(self.law.load(self.bottoming_deflection)) / self.bottoming_deflection)

    @checked
    def load(
        self,
        deflection: Annotated[ArrayLike, Limits("m", finite=False)],
        rate: Annotated[ArrayLike, Limits("m/s", finite=False)] = 0.0,
    ) -> Array:
        """Load of the ground on the tire, zero when clear of the ground, shape (...) [N].

        Parameters
        ----------
        deflection : array_like, shape (...)
            Deflection, negative when clear of the ground [m].
        rate : array_like, shape (...)
            Rate of deflection [m/s].
        """
        fit_together("Tire.load: deflection, rate", deflection, rate)
        return static_load(self, np.asarray(deflection)) * np.maximum(
            1 + self.damping * np.asarray(rate), 0.0
        )

    @checked
    def energy(self, deflection: Annotated[ArrayLike, Limits("m", finite=False)]) -> Array:
        """Energy stored elastically: integral of the static load, shape (...) [J].

        Parameters
        ----------
        deflection : array_like, shape (...)
            Deflection [m].
        """
        over = np.maximum(np.asarray(deflection) - self.bottoming_deflection, 0.0)
        return self.law.energy(deflection) + 0.5 * self.stiffness_beyond * over**2

    @checked
    def deflection(self, load: StaticLoad) -> Array:
        """Deflection under a static load, shape (...) [m].

        Parameters
        ----------
        load : array_like, shape (...)
            Load, from zero to what flattens the tire to its center [N].
        """
        load, most = np.asarray(load), float(static_load(self, np.asarray(self.radius)))
        if not (load < most).all():
            reject("Tire: load [N]", f"{load.max():g}", f"< {most:.4g}", "the load of the whole airplane?")
        return rising_root(
            lambda d: static_load(self, d) - load, np.zeros_like(load), np.full_like(load, self.radius)
        )

    @checked
    def loaded_radius(self, load: StaticLoad) -> Array:
        """Distance from the axle to the ground under a static load, shape (...) [m].

        Parameters
        ----------
        load : array_like, shape (...)
            Load, from zero to what flattens the tire to its center [N].
        """
        return self.radius - unchecked(self.deflection)(load)


@checked
def fore_aft_stiffness(
    *,
    diameter: Diameter,
    pressure: Inflation,
    rated_pressure: Inflation,
    deflection: KnownDeflection,
) -> float:
    """Fore-aft stiffness of a standing tire, from its size and pressure.

    Parameters
    ----------
    diameter : float
        Outside diameter of the inflated tire [m].
    pressure : float
        Inflation pressure by gauge [Pa].
    rated_pressure : float
        Rated inflation pressure by gauge [Pa].
    deflection : float
        Radial deflection [m].

    Returns
    -------
    float
        Fore-aft force over the motion of the contact against the wheel [N/m].

    Raises
    ------
    ValueError
        If an input is outside its limits.

    Notes
    -----
    K = 0.8 d (p + 4 p_rated) (delta / d)**(1/3).

    References
    ----------
    R. F. Smiley, W. B. Horne, NASA TR R-64 (1960) (from memory).

    Examples
    --------
    >>> from beam.gear import fore_aft_stiffness
    >>> size = {"diameter": 0.4445, "pressure": 290e3, "rated_pressure": 290e3}
    >>> round(fore_aft_stiffness(**size, deflection=0.03), -3)
    210000.0
    """
    return float(0.8 * diameter * (pressure + 4 * rated_pressure) * np.cbrt(deflection / diameter))


def static_load(tire: Tire, deflection: Array) -> Array:
    """Load [N] of a tire at rest at deflections of shape (...) [m]."""
    over = np.maximum(deflection - tire.bottoming_deflection, 0.0)
    return tire.law.load(deflection) + tire.stiffness_beyond * over


class GroundFriction(Frozen):
    """Friction coefficient of a tire on the ground over slip ratio, from a table.

    Parameters
    ----------
    slip : array_like, shape (point,)
        Slip ratio, rising from 0; 1 is a wheel that does not turn [-].
    coefficient : array_like, shape (point,)
        Drag over vertical load, rising from 0 [-].
    least_speed : float
        The slip ratio is slip speed over ground speed, or over this where the ground is slower, so
        that a standing wheel rolls freely instead of sticking [m/s].

    Raises
    ------
    ValueError
        If the table does not start at (0, 0) or a coefficient is beyond rubber on a runway.

    Notes
    -----
    The default rises to 0.8 at a slip of 0.15 and stays there: 0.8 is the sliding coefficient that
    14 CFR 23.479(b) assumes; the rise is common practice, no source.

    Examples
    --------
    >>> from beam.gear import GroundFriction
    >>> GroundFriction()([35.0, 3.5, -1.75], 35.0).round(3)
    array([ 0.8 ,  0.68, -0.4 ])
    """

    slip: Annotated[
        Numbers, Limits("-", shape=(-1,), at_least=0.0, at_most=1.0, cause="given in percent?")
    ] = default((0.0, 0.05, 0.10, 0.15, 1.0))
    coefficient: Annotated[Numbers, Limits("-", shape=(-1,), at_least=0.0, at_most=1.5)] = default(
        (0.0, 0.40, 0.68, 0.80, 0.80)
    )
    least_speed: Annotated[float, Limits("m/s", above=0.0)] = 10.0

    def __post_init__(self) -> None:
        super().__post_init__()
        curve = self._curve()
        if curve.x[0] != 0 or curve.y[0] != 0 or not (curve.y[1:] > 0).all():
            reject("GroundFriction: coefficient [-]", curve.y.tolist(), "from (0, 0), then above 0")

    def _curve(self) -> Curve:
        return Curve(x=self.slip, y=self.coefficient, name="GroundFriction (slip, coefficient)")

    @cached_property
    def curve(self) -> Curve:
        """Coefficient over slip ratio."""
        return self._curve()

    @checked
    def __call__(
        self,
        slip_speed: Annotated[ArrayLike, Limits("m/s", finite=False)],
        ground_speed: Annotated[ArrayLike, Limits("m/s", finite=False)],
    ) -> Array:
        """Drag over vertical load [-], with the sign of the slip speed.

        `slip_speed` is the speed of the ground past the tread, `ground_speed` past the airplane, shape (...) [m/s].
        """
        fit_together("GroundFriction: slip_speed, ground_speed", slip_speed, ground_speed)
        ratio = np.asarray(slip_speed) / np.maximum(ground_speed, self.least_speed)
        return np.copysign(self.curve.pieces(np.abs(ratio)), ratio)
