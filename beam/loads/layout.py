"""Angles and clearances of the standing airplane that a designer checks before any load."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, common_shape, reject
from materials.limits import between, positive

LONGEST = 20.0
"""No length of a light airplane's gear is longer [m]; common practice, no source."""

SLIP = "given in mm or inches?"


def tip_back_angle(main_arm: ArrayLike, height: ArrayLike) -> Array:
    """Return the angle from the vertical to the line from the main contacts up to the c.g.

    Parameters
    ----------
    main_arm : array_like
        c.g. to main contacts along the ground [m].
    height : array_like
        c.g. above the ground [m].

    Returns
    -------
    ndarray
        Pitch at which the c.g. stands over the main wheels [deg].

    Raises
    ------
    ValueError
        If a length is not finite and positive; a c.g. behind the mains has no tip-back angle.
    """
    behind = "the c.g. is over or behind the main wheels: the airplane sits on its tail"
    b = _length("tip_back_angle: main_arm [m]", main_arm, behind)
    h = _length("tip_back_angle: height [m]", height)
    common_shape("tip_back_angle: main_arm, height", b.shape, h.shape)
    return np.degrees(np.arctan2(b, h))


def turnover_angle(
    nose_arm: ArrayLike, wheelbase: ArrayLike, half_track: ArrayLike, height: ArrayLike
) -> Array:
    """Return the turnover angle: how steep the c.g. stands above the line from nose to main contact.

    Parameters
    ----------
    nose_arm : array_like
        Nose contact to c.g. along the ground [m].
    wheelbase : array_like
        Nose to main contacts along the ground [m].
    half_track : array_like
        Main contact to the plane of symmetry [m].
    height : array_like
        c.g. above the ground [m].

    Returns
    -------
    ndarray
        Angle; small is stable [deg].

    Raises
    ------
    ValueError
        If a length is not finite and positive, or the c.g. is behind the main wheels.

    Notes
    -----
    tan(angle) = h / (a sin(delta)), tan(delta) = half track / wheelbase.
    """
    a = _length("turnover_angle: nose_arm [m]", nose_arm, "the c.g. is ahead of the nose wheel")
    d = _length("turnover_angle: wheelbase [m]", wheelbase)
    t = _length("turnover_angle: half_track [m]", half_track)
    h = _length("turnover_angle: height [m]", height)
    common_shape(
        "turnover_angle: nose_arm, wheelbase, half_track, height", a.shape, d.shape, t.shape, h.shape
    )
    if not (a < d).all():
        behind = "the c.g. is behind the main wheels: the airplane sits on its tail"
        reject("turnover_angle: nose_arm [m]", a.tolist(), f"below the wheelbase of {d.tolist()}", behind)
    return np.degrees(np.arctan2(h, a * t / np.hypot(t, d)))


def tail_clearance_angle(point: ArrayLike, wheel_radius: ArrayLike) -> Array:
    """Return the pitch from level at which a point of the tail touches, rolling back on the main wheels.

    Parameters
    ----------
    point : array_like, shape (..., 2)
        Aft of and above the main contacts, on ground axes [m].
    wheel_radius : array_like
        Main axle above the ground; the leg stays at its standing length [m].

    Returns
    -------
    ndarray
        Pitch [deg].

    Raises
    ------
    ValueError
        If a value is not finite, or the point is not behind the main wheel.

    Notes
    -----
    The point turns about the axle, R away at the angle gamma above aft, and touches when it is a
    wheel radius r below the axle: gamma + asin(r / R).
    """
    at = array("tail_clearance_angle: point [m]", point, last=(2,))
    r = between("tail_clearance_angle: wheel_radius [m]", wheel_radius, 0.0, 2.0, SLIP)
    common_shape("tail_clearance_angle: point, wheel_radius", at.shape[:-1], r.shape)
    if not ((at[..., 0] > r) & (at[..., 0] < 2 * LONGEST)).all():
        cause = "a point ahead of the mains does not come down; x runs aft, in meters"
        reject("tail_clearance_angle: point, aft of the main contacts [m]", at[..., 0].tolist(),
               f"more than wheel_radius, below {2 * LONGEST:g}", cause)  # fmt: skip
    x, z = at[..., 0], at[..., 1] - r
    return np.degrees(np.arctan2(z, x) + np.arcsin(r / np.hypot(x, z)))


def sunk_nose_height(point: ArrayLike, wheelbase: ArrayLike, sink: ArrayLike) -> Array:
    """Return the height of a point above the ground when the nose has sunk.

    Parameters
    ----------
    point : array_like, shape (..., 2)
        Aft of and above the main contacts with the airplane level, on ground axes [m].
    wheelbase : array_like
        Nose to main contacts along the ground [m].
    sink : array_like
        How far the nose comes down: strut to its stop and tire flat [m].

    Returns
    -------
    ndarray
        Height above the ground; negative below it [m].

    Raises
    ------
    ValueError
        If a value is not finite, or the sink is not below the wheelbase.

    Notes
    -----
    The airplane turns nose down about the main contacts by asin(sink / wheelbase).
    """
    at = array("sunk_nose_height: point [m]", point, last=(2,))
    d = _length("sunk_nose_height: wheelbase [m]", wheelbase)
    down = between("sunk_nose_height: sink [m]", sink, 0.0, LONGEST, SLIP)
    common_shape("sunk_nose_height: point, wheelbase, sink", at.shape[:-1], d.shape, down.shape)
    if not (down < d).all():
        reject("sunk_nose_height: sink [m]", down.tolist(), f"below the wheelbase of {d.tolist()}", SLIP)
    s = down / d
    return at[..., 1] * np.sqrt(1.0 - s**2) + at[..., 0] * s


def _length(what: str, value: ArrayLike, cause: str = "") -> Array:
    """Lengths above zero; `cause` says what a length of zero or less means."""
    held = array(what, value)
    if not (held > 0.0).all():
        reject(what, f"{held.min():g}", "> 0", cause)
    return positive(what, held, LONGEST, SLIP)
