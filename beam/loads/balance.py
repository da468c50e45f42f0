"""23.471: the linear and angular inertia that balances a case.

The loads of the wheels, wing lift at the c.g. and weight are all that acts on the airplane; inertia
does the rest. A drag that spins up a wheel is taken at the axle: the couple between ground and
axle goes into the spin of the wheel, not into the airplane.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.loads.airplane import Airplane
from beam.loads.case import GroundCase
from beam.loads.stance import airplane_axes, ground_axes
from materials.checks import Array, reject


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
        Sum of all forces over weight and of all moments about the origin of the airplane axes over
        weight times wheelbase [-].
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
            If the sheet has no moments of inertia.

        Notes
        -----
        n(r) = n + (alpha x r) / g: a mass m at r presses on its support with -m g n(r).
        """
        if self.angular_acceleration is None:
            reject("Airplane: moments_of_inertia [kg m2]", None, "given, to spread the inertia")
        turn = np.cross(self.angular_acceleration, np.asarray(offset, dtype=float)) / g
        return airplane_axes(self.load_factor, self.case.attitude_deg) + turn


def wheel_position(airplane: Airplane, case: GroundCase, leg: str, applied_at: str) -> Array:
    """Return where a wheel load acts, from the c.g., on ground axes.

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
        Axle or lowest point of the wheel; the gear is rigid, at its standing length [m].

    Notes
    -----
    When the airplane pitches the axle turns with it and the wheel still touches below the axle.
    """
    kind = "nose" if leg == "nose" else "main"
    level = airplane.level_attitude_deg
    contact = airplane.point(f"{kind}_contact") * (1.0, -1.0 if leg == "port" else 1.0, 1.0)
    at = ground_axes(contact - airplane.point(f"cg_{case.cg}"), level)
    if applied_at == "ground" and case.attitude_deg == level:
        return at
    radius = np.array([0.0, 0.0, airplane.required(f"{kind}_wheel_radius", case.paragraph)])
    axle = ground_axes(at + radius, case.attitude_deg - level)
    return axle - radius if applied_at == "ground" else axle


def balance(airplane: Airplane, case: GroundCase) -> Balance:
    """Balance a case by linear and angular inertia.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet; wheel radii are needed where a load acts at an axle.
    case : GroundCase
        The case.

    Returns
    -------
    Balance
        Load factor, inertia and the residual of equilibrium.

    Raises
    ------
    ValueError
        If the case is one of flight, which no ground reaction balances.

    References
    ----------
    14 CFR 23.301(b), 23.471 (through Amendment 23-62).
    """
    if case.shock == "extended":
        reject(f"balance: {case.paragraph} {case.condition}", "a case in flight", "a case on the ground")
    forces = np.array([[w.Fx, w.Fy, w.Fz] for w in case.wheels])
    couples = np.array([[w.Mx, w.My, w.Mz] for w in case.wheels])
    arms = np.array([wheel_position(airplane, case, w.leg, w.applied_at) for w in case.wheels])
    weight = case.mass * g
    up = np.array([0.0, 0.0, 1.0])
    lift = case.lift_ratio * weight * up
    load_factor = (forces.sum(axis=0) + lift) / weight
    inertia_force = weight * (up - load_factor)
    moment = (np.cross(arms, forces) + couples).sum(axis=0)
    angular = None
    if airplane.moments_of_inertia is not None:
        angular = airplane_axes(moment, case.attitude_deg) / np.asarray(airplane.moments_of_inertia)
    cg = ground_axes(airplane.point(f"cg_{case.cg}"), case.attitude_deg)
    at_cg = lift - weight * up + inertia_force
    force = forces.sum(axis=0) + at_cg
    about_origin = (np.cross(arms + cg, forces) + couples).sum(axis=0) + np.cross(cg, at_cg) - moment
    return Balance(
        case=case,
        load_factor=load_factor,
        inertia_force=inertia_force,
        inertia_moment=0.0 - moment,
        angular_acceleration=angular,
        residual=np.concatenate([force / weight, about_origin / (weight * airplane.wheelbase)]),
    )
