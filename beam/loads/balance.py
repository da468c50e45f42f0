"""23.471: the linear and angular inertia that balances a case.

The loads of the wheels, wing lift at the c.g. and weight are all that acts on the airplane; inertia
does the rest. A drag that spins up a wheel is taken at the axle: the couple between ground and
axle goes into the spin of the wheel, not into the airplane.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase, WheelLoad
from beam.loads.residual import residuals
from beam.loads.stance import CENTERS, airplane_axes, ground_axes
from materials.checks import Array, array, number, reject
from materials.kinds import instance, instances


@dataclass(frozen=True, kw_only=True, eq=False)
class Balance:
    """A case with the inertia that balances it, on ground axes unless said otherwise.

    Parameters
    ----------
    case : GroundCase
        The case.
    load_factor : ndarray, shape (3,)
        Inertia load factor at the c.g.: wheel loads and lift over weight [-].
    inertia_force : ndarray, shape (3,)
        Minus mass times acceleration, at the c.g. [N].
    inertia_moment : ndarray, shape (3,)
        Minus moment of inertia times angular acceleration [N m].
    angular_acceleration : ndarray, shape (3,), optional
        On AIRPLANE axes; None when the sheet has no moments of inertia [rad/s2].
    residual : ndarray, shape (6,)
        Sum of all forces over weight and of all moments about the nose contact over weight times
        wheelbase, on AIRPLANE axes, worked out a second way [-].
    """

    case: GroundCase
    load_factor: Array
    inertia_force: Array
    inertia_moment: Array
    angular_acceleration: Array | None
    residual: Array

    def load_factor_at(self, offset: ArrayLike) -> Array:
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
            If the sheet has no moments of inertia, or the offset is not three finite numbers.

        Notes
        -----
        n(r) = n + (alpha x r) / g: a mass m at r presses on its support with -m g n(r).
        """
        if self.angular_acceleration is None:
            reject("Airplane: moments_of_inertia [kg m2]", None, "given, to spread the inertia")
        arm = array("Balance.load_factor_at: offset [m]", offset, last=(3,))
        turn = np.cross(self.angular_acceleration, arm) / g
        return airplane_axes(self.load_factor, self.case.attitude_deg) + turn


def wheel_positions(airplane: Airplane, cases: Sequence[GroundCase]) -> Array:
    """Return where every wheel load of some cases acts, from the c.g., on ground axes.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; wheel radii are needed where a load acts at an axle or the airplane is
        not level.
    cases : sequence of GroundCase
        Give center of gravity, attitude, wheels and where their loads act.

    Returns
    -------
    ndarray, shape (wheel, 3)
        Axle or lowest point of the wheel, case after case; the gear is rigid, at its standing
        length [m].

    Notes
    -----
    When the airplane pitches the axle turns with it and the wheel still touches below the axle.
    """
    level = airplane.level_attitude_deg
    centers = {cg: airplane.point(f"cg_{cg}") for cg in CENTERS}
    main, nose = airplane.point("main_contact"), airplane.point("nose_contact")
    contacts = {"starboard": main, "port": main * (1.0, -1.0, 1.0), "nose": nose}
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


def wheel_position(airplane: Airplane, case: GroundCase, leg: str, applied_at: str) -> Array:
    """Return where a load on a wheel would act in a case, from the c.g., on ground axes.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    case : GroundCase
        Gives center of gravity and attitude.
    leg : str
        "starboard", "port" or "nose".
    applied_at : str
        "axle" or "ground".

    Returns
    -------
    ndarray, shape (3,)
        The position [m].
    """
    wheel = WheelLoad(leg=leg, Fz=0.0, applied_at=applied_at)
    return np.asarray(wheel_positions(airplane, [replace(case, wheels=(wheel,))])[0])


def balance(airplane: Airplane, cases: Sequence[GroundCase]) -> list[Balance]:
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
        Load factor, inertia and the residual of equilibrium of each case.

    Raises
    ------
    ValueError
        If a case is one of flight, which no ground reaction balances, or has no wheel load.

    References
    ----------
    14 CFR 23.301(b), 23.471 (through Amendment 23-62).
    """
    instance("balance: airplane", airplane, Airplane)
    cases = instances("balance: cases", cases, GroundCase, least=0)
    for case in cases:
        what, most = f"balance: {case.paragraph} {case.condition}: mass [kg]", 1.2 * airplane.max_mass
        number(what, case.mass, at_most=most, cause="far above the maximum mass; given in pounds?")
        if not case.wheels:
            reject(f"balance: {case.paragraph} {case.condition}", "no wheel load", "one or more")
        if case.shock == "extended":
            what = f"balance: {case.paragraph} {case.condition}"
            reject(what, "a case in flight", "a case on the ground")
    if not cases:
        return []
    starts = np.cumsum([0, *(len(case.wheels) for case in cases)])[:-1]
    wheels = [wheel for case in cases for wheel in case.wheels]
    force = np.array([[w.Fx, w.Fy, w.Fz] for w in wheels])
    couple = np.array([[w.Mx, w.My, w.Mz] for w in wheels])
    arm = wheel_positions(airplane, cases)
    pitch = np.array([case.attitude_deg for case in cases])
    weight = np.array([[case.mass * g] for case in cases])
    up = np.array([0.0, 0.0, 1.0])
    lift = np.array([[case.lift_ratio] for case in cases]) * weight * up

    ground = np.add.reduceat(force, starts)
    load_factor = (ground + lift) / weight
    inertia_force = weight * (up - load_factor)
    moment = np.add.reduceat(np.cross(arm, force) + couple, starts)
    on_airplane = airplane_axes(moment, pitch)
    turn, resists = None, -on_airplane
    if airplane.moments_of_inertia is not None:
        inertia = np.asarray(airplane.moments_of_inertia)
        turn = on_airplane / inertia
        resists = -inertia * turn
    residual = residuals(airplane, cases, inertia_force, resists)
    return [
        Balance(
            case=case,
            load_factor=load_factor[i],
            inertia_force=inertia_force[i],
            inertia_moment=0.0 - moment[i],
            angular_acceleration=None if turn is None else turn[i],
            residual=residual[i],
        )
        for i, case in enumerate(cases)
    ]
