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
from materials.checks import Array, array, common_shape, number, one_of, reject
from materials.kinds import instance

CENTERS = ("forward", "aft")
"""Ends of the range of the center of gravity."""


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

    Raises
    ------
    ValueError
        If a value is not finite or the shapes do not fit.
    """
    return out_of(*_turn("ground_axes", vector, attitude_deg))


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

    Raises
    ------
    ValueError
        If a value is not finite or the shapes do not fit.
    """
    return into(*_turn("airplane_axes", vector, attitude_deg))


def _turn(owner: str, vector: ArrayLike, attitude_deg: ArrayLike) -> tuple[Array, Array]:
    """Rotation and vector, checked."""
    held = array(f"{owner}: vector", vector, last=(3,), copy=False)
    pitch = array(f"{owner}: attitude_deg [deg]", attitude_deg, copy=False)
    common_shape(f"{owner}: vector, attitude_deg", held.shape[:-1], pitch.shape)
    return attitude(pitch), held


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

    Raises
    ------
    ValueError
        If an arm is not positive: the airplane would not stand on three wheels.
    """

    nose_arm: float
    main_arm: float
    height: float
    half_track: float

    def __post_init__(self) -> None:
        for name in ("nose_arm", "main_arm", "height", "half_track"):
            what, cause = f"Stance: {name} [m]", "the airplane stands on three wheels; in meters"
            held = number(what, getattr(self, name), above=0.0, below=20.0, cause=cause)
            object.__setattr__(self, name, held)

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

    Raises
    ------
    ValueError
        If it is no airplane or the center of gravity has another name.
    """
    instance("stance: airplane", airplane, Airplane)
    one_of("stance: cg", cg, CENTERS)
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

    Raises
    ------
    ValueError
        If a value is not finite, or an arm not positive.

    Notes
    -----
    V_n = (W b + M) / (a + b), V_m = W - V_n.
    """
    W, M = array("split: weight [N]", weight), array("split: moment [N m]", moment)
    a, b = array("split: nose_arm [m]", nose_arm), array("split: main_arm [m]", main_arm)
    for what, arm in (("split: nose_arm [m]", a), ("split: main_arm [m]", b)):
        if not (arm > 0.0).all():
            reject(what, arm.tolist(), "> 0", "the c.g. is not between nose and main wheels")
    common_shape("split: weight, nose_arm, main_arm, moment", W.shape, a.shape, b.shape, M.shape)
    nose = np.asarray((W * b + M) / (a + b))
    return nose, W - nose
