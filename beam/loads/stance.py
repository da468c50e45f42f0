"""Where the wheels are under the center of gravity, in ground axes, at a given pitch.

      z up                       a: nose contact to c.g.      b: c.g. to main contact
      |        o c.g.            h: c.g. above ground         d = a + b: wheelbase
      |    a   |   b
      +---N----+---M----- x aft  (y to starboard, out of the page's far side)

Ground axes are airplane axes turned by the pitch: x stays horizontal, z vertical.
"""

from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from beam.axes import attitude, into, out_of
from beam.loads.airplane import CENTERS, Airplane, Cg
from materials.checks import Array, Frozen, Limits, broadcastable, checked, common_shape

_Vectors = Annotated[ArrayLike, Limits("any", last=(3,))]
_Angles = Annotated[ArrayLike, Limits("deg")]
_Arm = Annotated[
    float, Limits("m", above=0.0, below=20.0, cause="the airplane stands on three wheels; in meters")
]
_Arms = Annotated[ArrayLike, Limits("m", above=0.0, cause="the c.g. is not between nose and main wheels")]


@checked
def ground_axes(vector: _Vectors, attitude_deg: _Angles) -> Array:
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

    Notes
    -----
    x_g = x cos(a) + z sin(a), z_g = z cos(a) - x sin(a).

    Examples
    --------
    >>> ground_axes([1.0, 0.0, 0.0], 90.0).round(12).tolist()  # what points to the tail points down
    [0.0, 0.0, -1.0]
    """
    common_shape("ground_axes: vector, attitude_deg", np.shape(vector)[:-1], np.shape(attitude_deg))
    return out_of(attitude(attitude_deg), vector)


@checked
def airplane_axes(vector: _Vectors, attitude_deg: _Angles) -> Array:
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

    Notes
    -----
    x = x_g cos(a) - z_g sin(a), z = z_g cos(a) + x_g sin(a).

    Examples
    --------
    >>> airplane_axes([0.0, 0.0, 1.0], 10.0).round(3).tolist()  # the ground's push, seen nose up
    [-0.174, 0.0, 0.985]
    """
    common_shape("airplane_axes: vector, attitude_deg", np.shape(vector)[:-1], np.shape(attitude_deg))
    return into(attitude(attitude_deg), vector)


class Stance(Frozen, eq=True):
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

    Notes
    -----
    The wheelbase is d = a + b.

    Examples
    --------
    >>> Stance(nose_arm=1.7, main_arm=0.3, height=1.0, half_track=1.05).wheelbase
    2.0
    """

    nose_arm: _Arm
    main_arm: _Arm
    height: _Arm
    half_track: _Arm

    @property
    def wheelbase(self) -> float:
        """Nose to main contact along the ground, d = a + b [m]."""
        return self.nose_arm + self.main_arm


@checked
def stance(airplane: Airplane, cg: Cg) -> Stance:
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

    Notes
    -----
    The arms are those of the points turned by the level attitude, so that all wheels stand on one ground line.

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> round(stance(TOURER, "aft").main_arm, 3)
    0.32
    """
    at, pitch = center(airplane, cg), airplane.level_attitude_deg
    to_nose = ground_axes(airplane.nose_contact - at, pitch)
    to_main = ground_axes(airplane.main_contact - at, pitch)
    return Stance(
        nose_arm=-float(to_nose[0]),
        main_arm=float(to_main[0]),
        height=-float(to_main[2]),
        half_track=float(to_main[1]),
    )


def center(airplane: Airplane, cg: Cg) -> Array:
    """The forward or aft center of gravity on airplane axes (3,) [m]."""
    return airplane.cg_forward if cg == "forward" else airplane.cg_aft


@checked
def split(
    weight: Annotated[ArrayLike, Limits("N")],
    nose_arm: _Arms,
    main_arm: _Arms,
    moment: Annotated[ArrayLike, Limits("N m")] = 0.0,
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
        If an arm is not positive, or the shapes do not fit.

    Notes
    -----
    V_n = (W b + M) / (a + b), V_m = W - V_n.

    Examples
    --------
    >>> nose, mains = split(12_000.0, 1.7, 0.3)
    >>> float(nose), float(mains)
    (1800.0, 10200.0)
    """
    W, a, b, M = broadcastable(weight=weight, nose_arm=nose_arm, main_arm=main_arm, moment=moment)
    nose = np.asarray((W * b + M) / (a + b))
    return nose, W - nose


def braked_nose_load(airplane: Airplane, load: float, braking: float) -> float:
    """Nose reaction to a load down at the c.g. and `braking` times it forward, at the worse c.g.; unit of `load`."""
    stances = [stance(airplane, cg) for cg in CENTERS]
    return max(float(split(load, at.nose_arm, at.main_arm, braking * load * at.height)[0]) for at in stances)
