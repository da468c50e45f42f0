"""Where the wheels are under the center of gravity, in ground axes, at a given pitch.

      z up                       a: nose contact to c.g.      b: c.g. to main contact
      |        o c.g.            h: c.g. above ground         d = a + b: wheelbase
      |    a   |   b
      +---N----+---M----- x aft  (y to starboard, out of the page's far side)

Ground axes are airplane axes turned by the pitch: x stays horizontal, z vertical.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import attitude, into, out_of
from beam.loads.airplane import Airplane
from materials.checks import Array


def ground_axes(vector: ArrayLike, attitude_deg: ArrayLike) -> Array:
    """Turn components on airplane axes into components on ground axes.

    Parameters
    ----------
    vector : array_like, shape (..., 3)
        Components on airplane axes, in any unit [any].
    attitude_deg : array_like, shape (...)
        Nose-up pitch of the airplane x axis [deg].

    Returns
    -------
    ndarray, shape (..., 3)
        Components on ground axes, in the same unit [any].
    """
    return out_of(attitude(attitude_deg), vector)


def airplane_axes(vector: ArrayLike, attitude_deg: ArrayLike) -> Array:
    """Turn components on ground axes into components on airplane axes.

    Parameters
    ----------
    vector : array_like, shape (..., 3)
        Components on ground axes, such as the loads of the table of ground cases [any].
    attitude_deg : array_like, shape (...)
        Nose-up pitch of the airplane x axis [deg].

    Returns
    -------
    ndarray, shape (..., 3)
        Components on airplane axes, in the same unit [any].
    """
    return into(attitude(attitude_deg), vector)


@dataclass(frozen=True, kw_only=True)
class Stance:
    """Arms of the wheels about one center of gravity, airplane standing on three wheels.

    Parameters
    ----------
    nose_arm : float
        a: nose contact to c.g., along the ground [m].
    main_arm : float
        b: c.g. to main contacts, along the ground [m].
    height : float
        h: c.g. above the ground [m].
    half_track : float
        Main contact to the plane of symmetry [m].
    """

    nose_arm: float
    main_arm: float
    height: float
    half_track: float

    @property
    def wheelbase(self) -> float:
        """Nose to main contact along the ground, d = a + b [m]."""
        return self.nose_arm + self.main_arm


def stance(airplane: Airplane, cg: str) -> Stance:
    """Return the arms about the forward or aft center of gravity.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    cg : str
        "forward" or "aft".

    Returns
    -------
    Stance
        The arms.
    """
    center = airplane.point(f"cg_{cg}")
    pitch = airplane.level_attitude_deg
    to_nose = ground_axes(airplane.point("nose_contact") - center, pitch)
    to_main = ground_axes(airplane.point("main_contact") - center, pitch)
    return Stance(
        nose_arm=-float(to_nose[0]),
        main_arm=float(to_main[0]),
        height=-float(to_main[2]),
        half_track=float(to_main[1]),
    )


def split(
    weight: ArrayLike, nose_arm: ArrayLike, main_arm: ArrayLike, moment: ArrayLike = 0.0
) -> tuple[Array, Array]:
    """Share a vertical load between nose and both mains so that moments about the c.g. vanish.

    Parameters
    ----------
    weight : array_like
        Vertical load at the c.g. [N].
    nose_arm, main_arm : array_like
        Nose contact to c.g. and c.g. to main contacts, along the ground [m].
    moment : array_like
        Nose-down moment about the c.g. of all other loads on the airplane [N m].

    Returns
    -------
    nose, mains : ndarray
        Vertical reaction of the nose and of both mains together [N].

    Notes
    -----
    V_n = (W b + M) / (a + b), V_m = W - V_n.
    """
    a, b = np.asarray(nose_arm, dtype=float), np.asarray(main_arm, dtype=float)
    total = np.asarray(weight, dtype=float)
    nose = (total * b + np.asarray(moment, dtype=float)) / (a + b)
    return nose, total - nose
