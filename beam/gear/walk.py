"""Gear walk: frequency and damping of the fore-aft mode of the leg while the wheel is braked."""

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING, Annotated

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Frozen, Limits, OptionalNumbers, checked, default

if TYPE_CHECKING:
    from pandas import DataFrame

NOT_COVERED = "not covered: slope of the brake's torque over wheel speed not given"

_Stiffness = Annotated[float, Limits("N/m", at_least=1e3, at_most=1e10, cause="given in N/mm?")]
_Mass = Annotated[float, Limits("kg", above=0.0, at_most=1e4, cause="given in pounds?")]
_Inertia = Annotated[float, Limits("kg m2", at_least=0.0, at_most=100.0)]
_Rolling = Annotated[float, Limits("m", above=0.0, at_most=1.5, cause="given in mm or inches?")]
_Damping = Annotated[float, Limits("-", at_least=0.0, below=1.0, cause="given in percent?")]
_Slope = Limits("N m s", at_least=-1e4, at_most=1e4, cause="per rad/s, not per rpm")
_Least = Annotated[float, Limits("-", at_least=0.0, below=1.0, cause="given in percent?")]


class GearWalk(Frozen):
    """Fore-aft mode of one leg under the brake.

    Parameters
    ----------
    stiffness : float
        Fore-aft force at the axle over its displacement, strut, link and bend included [N/m].
    mass : float
        Mass that moves fore and aft, reduced to the axle [kg].
    wheel_inertia : float
        Inertia of the rolling parts about the axle [kg m2].
    rolling_radius : float
        Rolling radius of the tire [m].
    damping_ratio : float
        Damping over critical of the mode with a freely rolling wheel [-].
    torque_slope : array_like, shape (case,), optional
        Slope of the brake's torque over the speed of the wheel, negative where the torque falls with speed;
        None where it is not known [N m s].
    least_damping_ratio : float
        Damping over critical that is asked for; 0 asks for stability alone [-].

    Examples
    --------
    See `gear_walk`.
    """

    stiffness: _Stiffness
    mass: _Mass
    wheel_inertia: _Inertia
    rolling_radius: _Rolling
    damping_ratio: _Damping
    torque_slope: Annotated[OptionalNumbers, replace(_Slope, shape=(-1,))] = default(None)
    least_damping_ratio: _Least = 0.0

    @property
    def covered(self) -> bool:
        """Whether the slope of the torque is known, so that the mode can be judged."""
        return self.torque_slope is not None

    @property
    def moving_mass(self) -> float:
        """Mass of the mode with the turning of the wheel, m + I / r^2 [kg]."""
        return self.mass + self.wheel_inertia / self.rolling_radius**2

    @property
    def natural_frequency(self) -> float:
        """Undamped frequency of the mode [Hz]."""
        return float(np.sqrt(self.stiffness / self.moving_mass) / (2 * np.pi))

    @property
    def free_damping(self) -> float:
        """Damping of the mode with a freely rolling wheel, c [N s/m]."""
        return float(2 * self.damping_ratio * np.sqrt(self.stiffness * self.moving_mass))

    @property
    def critical_slope(self) -> float:
        """Slope of the torque at which the damping is the least that is asked for [N m s]."""
        critical = 2 * np.sqrt(self.stiffness * self.moving_mass)
        return float((self.least_damping_ratio - self.damping_ratio) * critical * self.rolling_radius**2)

    @cached_property
    def braked_damping_ratio(self) -> Array | None:
        """Damping over critical under the brake, shape (case,) [-]; None where the slope is not given."""
        if self.torque_slope is None:
            return None
        critical = 2 * np.sqrt(self.stiffness * self.moving_mass)
        return self.damping_ratio + self.torque_slope / self.rolling_radius**2 / critical

    @property
    def frequency(self) -> Array | None:
        """Damped frequency under the brake, 0 where the mode does not swing, shape (case,) [Hz]."""
        zeta = self.braked_damping_ratio
        return None if zeta is None else self.natural_frequency * np.sqrt(np.maximum(1 - zeta**2, 0.0))

    @property
    def growth_rate(self) -> Array | None:
        """Real part of the faster growing eigenvalue, positive grows, shape (case,) [1/s]."""
        zeta = self.braked_damping_ratio
        if zeta is None:
            return None
        return np.asarray(
            2 * np.pi * self.natural_frequency * (-zeta + np.sqrt(np.maximum(zeta**2 - 1, 0.0)))
        )

    @property
    def margin(self) -> Array | None:
        """Damping over critical beyond the least that is asked for, shape (case,) [-]."""
        zeta = self.braked_damping_ratio
        return None if zeta is None else zeta - self.least_damping_ratio

    @property
    def stable(self) -> bool | None:
        """Whether the mode has more than the damping asked for in every case; None where the slope is not given."""
        margin = self.margin
        return None if margin is None else bool((margin > 0).all())

    @property
    def table(self) -> "DataFrame":
        """One row for each slope: slope, frequency, damping over critical, margin, critical slope, judgment."""
        from pandas import DataFrame

        named = {
            "torque_slope [N m s]": self.torque_slope,
            "frequency [Hz]": self.frequency,
            "damping_ratio [-]": self.braked_damping_ratio,
            "margin [-]": self.margin,
        }
        unknown = {"frequency [Hz]": np.array([self.natural_frequency])}
        rows = {
            name: unknown.get(name, np.array([np.nan])) if values is None else values
            for name, values in named.items()
        }
        margin = self.margin
        judged = (
            [NOT_COVERED]
            if margin is None
            else np.where(margin > 0, "stable", "NOT stable: gear walk").tolist()
            if not self.least_damping_ratio
            else np.where(margin > 0, "damped", "TOO LITTLE damping: gear walk").tolist()
        )
        return DataFrame(rows | {"critical_slope [N m s]": self.critical_slope, "judgment": judged})


@checked
def gear_walk(
    *,
    stiffness: _Stiffness,
    mass: _Mass,
    wheel_inertia: _Inertia,
    rolling_radius: _Rolling,
    damping_ratio: _Damping,
    torque_slope: Annotated[ArrayLike | None, _Slope] = None,
    least_damping_ratio: _Least = 0.0,
) -> GearWalk:
    """Judge the fore-aft mode of a leg under the brake.

    Parameters
    ----------
    stiffness : float
        Fore-aft force at the axle over its displacement, strut, link and bend included [N/m].
    mass : float
        Mass that moves fore and aft, reduced to the axle [kg].
    wheel_inertia : float
        Inertia of the rolling parts about the axle [kg m2].
    rolling_radius : float
        Rolling radius of the tire [m].
    damping_ratio : float
        Damping over critical of the mode with a freely rolling wheel [-].
    torque_slope : array_like, shape (...), optional
        Slope of the brake's torque over the speed of the wheel at one or more speeds and temperatures, negative where
        the torque falls with speed. None lists gear walk as not covered [N m s].
    least_damping_ratio : float
        Damping over critical that is asked for; 0 asks for stability alone [-].

    Returns
    -------
    GearWalk
        Frequency, damping, margin and judgment.

    Notes
    -----
    The axle moves aft by x, the airplane rolls at V, the wheel rolls without slip at w = (V - x') / r. The wheel is
    braked by T(w): I w' = F r - T, so that the ground pulls the leg aft with F = T / r - I x'' / r^2 and
    dT = -T' x' / r. The mode is

        (m + I / r^2) x'' + (c + T' / r^2) x' + k x = 0,    T' = dT/dw,  dF/dv = T' / r^2.

    A torque that falls with speed (T' < 0) takes damping away; the mode grows where T' < -c r^2.
    Not covered: slip of the tire on a slippery surface, a skid control that cycles near the frequency of the mode, and
    the coupling with pitch and with the stroke of the shock.
    Source: one degree of freedom, derived here.

    Examples
    --------
    >>> mode = gear_walk(stiffness=5e5, mass=14, wheel_inertia=0.25, rolling_radius=0.19, damping_ratio=0.03,
    ...                  torque_slope=[-2.0, -8.0])
    >>> mode.braked_damping_ratio.round(4).tolist(), mode.stable, round(mode.critical_slope, 2)
    ([0.0214, -0.0043], False, -7.01)
    >>> gear_walk(stiffness=5e5, mass=14, wheel_inertia=0.25, rolling_radius=0.19, damping_ratio=0.03).table.judgment[0]
    "not covered: slope of the brake's torque over wheel speed not given"
    """
    return GearWalk(
        stiffness=stiffness,
        mass=mass,
        wheel_inertia=wheel_inertia,
        rolling_radius=rolling_radius,
        damping_ratio=damping_ratio,
        torque_slope=None if torque_slope is None else np.ravel(torque_slope),
        least_damping_ratio=least_damping_ratio,
    )
