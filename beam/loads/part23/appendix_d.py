"""Appendix D: the drag that spins a wheel up, and the vertical load at that instant."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, array, number, reject

MOST_DRAG = 0.8
"""Spin-up drag need not exceed this part of the peak vertical load, Appendix D (b) [-]."""


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
        number("SpinUp: wheel_inertia [kg m2]", self.wheel_inertia, above=0.0, below=100.0)
        number("SpinUp: rolling_radius [m]", self.rolling_radius, above=0.0, below=2.0, cause="given in mm?")
        number("SpinUp: time_to_peak [s]", self.time_to_peak, above=0.0, below=2.0, cause="given in ms?")
        number("SpinUp: friction [-]", self.friction, above=0.0, at_most=0.8, cause="23.479(b) assumes 0.8")
        number(
            "SpinUp: pre_rotation [m/s]",
            self.pre_rotation,
            at_least=0.0,
            cause="only rotation that lessens the spin-up counts",
        )


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
    peak = _within("peak_vertical [N]", peak_vertical, 0.0, np.inf)
    mu = _within("friction [-]", friction, 1e-9, 2.0)
    inertia = _within("wheel_inertia [kg m2]", wheel_inertia, 0.0, 100.0)
    radius = _within("rolling_radius [m]", rolling_radius, 1e-3, 2.0, "given in mm?")
    time = _within("time_to_peak [s]", time_to_peak, 1e-6, 2.0, "given in ms?")
    speed, before = array("ground_speed [m/s]", ground_speed), array("pre_rotation [m/s]", pre_rotation)
    formula = np.sqrt(2.0 * inertia * np.maximum(speed - before, 0.0) * mu * peak / time) / radius
    drag = np.minimum(formula, MOST_DRAG * peak)
    return drag, np.minimum(drag / mu, peak)


def _within(what: str, value: ArrayLike, low: float, high: float, cause: str = "") -> Array:
    values = array(f"spin_up_drag: {what}", value)
    if not ((values >= low) & (values <= high)).all():
        reject(f"spin_up_drag: {what}", values.tolist(), f"from {low:g} to {high:g}", cause)
    return values
