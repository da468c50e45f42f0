"""23.471: the linear and angular inertia that balances a case.

The loads of the wheels, wing lift at the c.g. and weight are all that acts on the airplane; inertia does the rest. A
drag that spins up a wheel is taken at the axle: the couple between ground and axle goes into the spin of the wheel,
not into the airplane. Where a wheel swings on a flexible strut, the drag of the ground counts, not the axle's force.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.loads.airplane import CENTERS, Airplane
from beam.loads.case import GroundCase, Leg, Place, WheelLoad
from beam.loads.stance import airplane_axes, center, ground_axes
from materials.checks import Array, Frozen, Limits, Numbers, OptionalNumbers, checked, default, number, reject


class Balance(Frozen):
    """A case with the inertia that balances it, on ground axes unless said otherwise.

    Parameters
    ----------
    case : GroundCase
        The case.
    load_factor : array_like, shape (3,)
        Inertia load factor at the c.g.: wheel loads and lift over weight [-].
    inertia_force : array_like, shape (3,)
        Minus mass times acceleration, at the c.g. [N].
    inertia_moment : array_like, shape (3,)
        Minus moment of inertia times angular acceleration [N m].
    angular_acceleration : array_like, shape (3,), optional
        On AIRPLANE axes; None when the sheet has no moments of inertia [rad/s2].

    Notes
    -----
    n = (sum of wheel loads + L) / W, inertia force W (up - n), inertia moment minus the sum of r x F + M.
    Source: 14 CFR 23.471.

    Examples
    --------
    >>> from beam.loads import Landing, balance, part23
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = part23.tail_down_landing(TOURER, Landing(load_factor=3.0))[0]
    >>> balance(TOURER, [case])[0].load_factor.round(6).tolist()
    [0.0, 0.0, 3.0]
    """

    case: GroundCase
    load_factor: Annotated[Numbers, Limits("-", shape=(3,))]
    inertia_force: Annotated[Numbers, Limits("N", shape=(3,))]
    inertia_moment: Annotated[Numbers, Limits("N m", shape=(3,))]
    angular_acceleration: Annotated[OptionalNumbers, Limits("rad/s2", shape=(3,))] = default(None)

    @checked
    def load_factor_at(self, offset: Annotated[ArrayLike, Limits("m", last=(3,))]) -> Array:
        """Return the inertia load factor at a point of the airplane.

        Parameters
        ----------
        offset : array_like, shape (..., 3)
            Point from the c.g., on airplane axes [m].

        Returns
        -------
        ndarray, shape (..., 3)
            Load factor there, on airplane axes [-].

        Raises
        ------
        ValueError
            If the sheet has no moments of inertia.

        Notes
        -----
        n(r) = n + (alpha x r) / g: a mass m at r puts -m g n(r) on its support.
        """
        if self.angular_acceleration is None:
            reject("Airplane: moments_of_inertia [kg m2]", None, "given, to spread the inertia")
        turn = np.cross(self.angular_acceleration, np.asarray(offset)) / g
        return airplane_axes(self.load_factor, self.case.attitude_deg) + turn


@checked
def balance(airplane: Airplane, cases: Annotated[Sequence[GroundCase], Limits(items=0)]) -> list[Balance]:
    """Balance cases by linear and angular inertia.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; wheel radii are needed where a load acts at an axle.
    cases : sequence of GroundCase
        The cases.

    Returns
    -------
    list of Balance
        Load factor and inertia of each case.

    Raises
    ------
    ValueError
        If a case is one of flight, which no ground reaction balances, has no wheel load, or is heavier than the
        airplane.

    Notes
    -----
    On ground axes n = (sum F + L) / W; about the c.g. I alpha = sum (r x F + M) on airplane axes.
    Source: 14 CFR 23.301(b), 23.471.

    Examples
    --------
    >>> from beam.loads import Landing, part23
    >>> from tourer import TOURER  # examples/tourer.py
    >>> case = part23.side_load(TOURER, Landing(load_factor=3.0))[0]
    >>> balance(TOURER, [case])[0].load_factor.round(2).tolist()
    [0.0, -0.83, 1.33]
    """
    for case in cases:
        what = f"balance: cases: {case.paragraph} {case.condition}"
        number(f"{what}: mass [kg]", case.mass, at_most=1.2 * airplane.max_mass,
               cause="far above the maximum mass; given in pounds?")  # fmt: skip
        if not case.wheels:
            reject(what, "no wheel load", "one or more")
        if case.shock == "extended":
            reject(what, "a case in flight", "a case on the ground")
    if not cases:
        return []
    starts = np.cumsum([0, *(len(case.wheels) for case in cases)])[:-1]
    wheels = [wheel for case in cases for wheel in case.wheels]
    force = np.array([[w.ground_drag, w.Fy, w.Fz] for w in wheels])
    couple = np.array([[w.Mx, w.My, w.Mz] for w in wheels])
    arm = wheel_positions(airplane, cases)
    pitch = np.array([case.attitude_deg for case in cases])
    weight = np.array([[case.mass * g] for case in cases])
    up = np.array([0.0, 0.0, 1.0])
    lift = np.array([[case.lift_ratio] for case in cases]) * weight * up

    load_factor = (np.add.reduceat(force, starts) + lift) / weight
    inertia_force = weight * (up - load_factor)
    moment = np.add.reduceat(np.cross(arm, force) + couple, starts)
    inertia = airplane.moments_of_inertia
    turn = None if inertia is None else airplane_axes(moment, pitch) / inertia
    return [
        Balance(
            case=case,
            load_factor=load_factor[i],
            inertia_force=inertia_force[i],
            inertia_moment=0.0 - moment[i],
            angular_acceleration=None if turn is None else turn[i],
        )
        for i, case in enumerate(cases)
    ]


def wheel_positions(airplane: Airplane, cases: Sequence[GroundCase]) -> Array:
    """Where every wheel load of some cases acts, from the c.g., on ground axes, gear as it stands (wheel, 3) [m]."""
    # when the airplane pitches the axle turns with it, and the wheel still touches below the axle
    level = airplane.level_attitude_deg
    centers = {cg: center(airplane, cg) for cg in CENTERS}
    main, nose = airplane.main_contact, airplane.nose_contact
    contacts: dict[Leg, Array] = {"starboard": main, "port": main * (1.0, -1.0, 1.0), "nose": nose}
    loads = [(case, wheel) for case in cases for wheel in case.wheels]
    at = ground_axes([contacts[wheel.leg] - centers[case.cg] for case, wheel in loads], level)
    pitch = np.array([case.attitude_deg for case, _ in loads]) - level
    at_axle = np.array([wheel.applied_at == "axle" for _, wheel in loads])
    radius = np.zeros_like(at)
    for i in np.flatnonzero(at_axle | (pitch != 0.0)):
        case, wheel = loads[i]
        kind = "nose" if wheel.leg == "nose" else "main"
        radius[i, 2] = airplane.required(f"{kind}_wheel_radius", case.paragraph)
    axle = ground_axes(at + radius, pitch)
    return np.where(at_axle[:, np.newaxis], axle, axle - radius)


def wheel_position(airplane: Airplane, case: GroundCase, leg: Leg, applied_at: Place) -> Array:
    """Where a load on a wheel would act in a case, from the c.g., on ground axes (3,) [m]."""
    wheel = WheelLoad(leg=leg, Fz=0.0, applied_at=applied_at)
    return np.asarray(wheel_positions(airplane, [replace(case, wheels=(wheel,))])[0])
