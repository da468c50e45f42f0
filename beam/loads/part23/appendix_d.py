"""Appendix D: the drag that spins a wheel up, and the vertical load at that instant."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, common_shape
from materials.limits import Limit, between, hold_within

MOST_DRAG = 0.8
"""Spin-up drag need not exceed this part of the peak vertical load, Appendix D (b) [-]."""

_LIMITS: tuple[Limit, ...] = (
    ("wheel_inertia", "kg m2", 1e-5, 100.0, "given in other units?"),
    ("rolling_radius", "m", 1e-3, 2.0, "given in mm?"),
    ("time_to_peak", "s", 1e-6, 2.0, "given in ms?"),
    ("friction", "-", 1e-9, 0.8, "23.479(b) assumes 0.8"),
    ("pre_rotation", "m/s", 0.0, 150.0, "only rotation that lessens the spin-up counts"),
)


@dataclass(frozen=True, kw_only=True)
class SpinUp:
    """One wheel and its tire, as they meet the ground.

    Parameters
    ----------
    wheel_inertia : float
        Moment of inertia of the rolling assembly of one wheel about its axle [kg m2].
    rolling_radius : float
        Effective rolling radius under impact [m].
    time_to_peak : float
        Time from contact to the peak vertical load [s].
    friction : float
        Coefficient of friction; 0.8 may be used, less needs evidence of one's own [-].
    pre_rotation : float
        Circumferential speed of the tire before contact [m/s].

    Raises
    ------
    ValueError
        If a value is out of its range.
    """

    wheel_inertia: float
    rolling_radius: float
    time_to_peak: float
    friction: float = 0.8
    pre_rotation: float = 0.0

    def __post_init__(self) -> None:
        hold_within(self, "SpinUp", _LIMITS)


def spin_up_drag(
    peak_vertical: ArrayLike,
    ground_speed: ArrayLike,
    *,
    wheel_inertia: ArrayLike,
    rolling_radius: ArrayLike,
    time_to_peak: ArrayLike,
    friction: ArrayLike = 0.8,
    pre_rotation: ArrayLike = 0.0,
) -> tuple[Array, Array]:
    """Return the drag at the end of spin-up and the vertical load at that instant.

    Parameters
    ----------
    peak_vertical : array_like
        F_Vmax: peak vertical load on the wheel, n_j W_e [N].
    ground_speed : array_like
        V_H: speed along the ground at contact, 1.2 V_S0 [m/s].
    wheel_inertia : array_like
        I_w: rolling assembly about its axle [kg m2].
    rolling_radius : array_like
        r_e: effective rolling radius under impact [m].
    time_to_peak : array_like
        t_s: from contact to the peak vertical load [s].
    friction : array_like
        Coefficient of friction (the n of the printed formula; not a load factor) [-].
    pre_rotation : array_like
        V_C: circumferential speed of the tire before contact [m/s].

    Returns
    -------
    drag, vertical : ndarray
        Drag at the end of spin-up and vertical load then [N].

    Raises
    ------
    ValueError
        If a value is not finite or out of its range.

    Notes
    -----
    F_H = (1/r_e) sqrt(2 I_w (V_H - V_C) mu F_V / t_s), at most 0.8 F_V. The vertical load rises
    linearly and drag is mu times it, so at the end of spin-up it is F_H / mu, at most F_V.

    References
    ----------
    14 CFR Part 23 Appendix D (through Amendment 23-62).
    """
    peak = between("spin_up_drag: peak_vertical [N]", peak_vertical, 0.0, np.inf, "up is positive")
    speed = between("spin_up_drag: ground_speed [m/s]", ground_speed, 0.0, 150.0, "given in km/h?")
    inertia = between(
        "spin_up_drag: wheel_inertia [kg m2]", wheel_inertia, 0.0, 100.0, "given in other units?"
    )
    radius = between("spin_up_drag: rolling_radius [m]", rolling_radius, 1e-3, 2.0, "given in mm?")
    time = between("spin_up_drag: time_to_peak [s]", time_to_peak, 1e-6, 2.0, "given in ms?")
    mu = between("spin_up_drag: friction [-]", friction, 1e-9, 2.0)
    before = between("spin_up_drag: pre_rotation [m/s]", pre_rotation, 0.0, 150.0, "given in km/h?")
    given = (peak, speed, inertia, radius, time, mu, before)
    names = "peak_vertical, ground_speed, wheel_inertia, rolling_radius, time_to_peak, friction, pre_rotation"
    common_shape(f"spin_up_drag: {names}", *(held.shape for held in given))
    formula = np.sqrt(2.0 * inertia * np.maximum(speed - before, 0.0) * mu * peak / time) / radius
    drag = np.minimum(formula, MOST_DRAG * peak)
    return drag, np.minimum(drag / mu, peak)
