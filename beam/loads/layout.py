"""Angles and clearances of the standing airplane that a designer checks before any load."""

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array


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
    """
    return np.degrees(np.arctan2(np.asarray(main_arm, dtype=float), np.asarray(height, dtype=float)))


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

    Notes
    -----
    tan(angle) = h / (a sin(delta)), tan(delta) = half track / wheelbase.
    """
    t, d = np.asarray(half_track, dtype=float), np.asarray(wheelbase, dtype=float)
    reach = np.asarray(nose_arm, dtype=float) * t / np.hypot(t, d)
    return np.degrees(np.arctan2(np.asarray(height, dtype=float), reach))


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

    Notes
    -----
    The point turns about the axle, R away at the angle gamma above aft, and touches when it is a
    wheel radius r below the axle: gamma + asin(r / R).
    """
    at, r = np.asarray(point, dtype=float), np.asarray(wheel_radius, dtype=float)
    x, z = at[..., 0], at[..., 1] - r
    return np.degrees(np.arctan2(z, x) + np.arcsin(np.clip(r / np.hypot(x, z), -1.0, 1.0)))


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

    Notes
    -----
    The airplane turns nose down about the main contacts by asin(sink / wheelbase).
    """
    at = np.asarray(point, dtype=float)
    s = np.asarray(sink, dtype=float) / np.asarray(wheelbase, dtype=float)
    return at[..., 1] * np.sqrt(1.0 - s**2) + at[..., 0] * s
