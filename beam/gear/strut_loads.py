"""What a wheel load puts on the strut: through the link to its pivot and through the shock to its bracket."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.axes import attitude, into
from beam.gear.free_body import FreeBody, free_body
from beam.gear.parts.rotation import position
from materials.checks import Array, array, common_shape, reject

if TYPE_CHECKING:
    from beam.gear.main_gear import MainGear

PLACES = ("ground", "axle")
"""Where a wheel load acts: at the ground contact (braked or from the side), or the axle (free to spin)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class StrutLoads:
    """What link and shock put on the strut, airplane axes; the second axis is (pivot, shock upper end).

    Parameters
    ----------
    points : ndarray, shape (case, 2, 3)
        Pivot and upper end of the shock [m].
    force : ndarray, shape (case, 2, 3)
        Force on the strut at each [N].
    moment : ndarray, shape (case, 2, 3)
        Moment on the strut at each: none about the hinge axis, none at the shock [N m].
    shock_force : ndarray, shape (case,)
        Axial force of the shock, positive when it pushes its ends apart [N].
    contact : ndarray, shape (case, 3)
        Where the wheel's force was applied [m].
    body : FreeBody
        Link and wheel in equilibrium; `body.residual` is the check.
    """

    points: Array
    force: Array
    moment: Array
    shock_force: Array
    contact: Array
    body: FreeBody


def strut_loads(
    gear: "MainGear",
    force: ArrayLike,
    applied_at: ArrayLike,
    stroke: ArrayLike,
    attitude_deg: ArrayLike,
    *,
    tire_load: ArrayLike,
    moment: ArrayLike,
    unsprung_factor: ArrayLike,
) -> StrutLoads:
    """Carry wheel loads through the link to the strut; see `MainGear.strut_loads` for the arguments.

    Parameters
    ----------
    gear : MainGear
        The gear.
    force, moment : array_like, shape (case, 3)
        Force [N] and couple [N m] of the ground on the wheel, ground axes.
    applied_at : sequence of str, shape (case,)
        "ground" or "axle".
    stroke : array_like, shape (case,)
        Stroke of the shock [m].
    attitude_deg : array_like, shape (case,)
        Nose-up attitude [deg].
    tire_load : array_like, shape (case,)
        Load that sets the loaded radius [N].
    unsprung_factor : array_like, shape (case,)
        Vertical load factor of link and wheel [-].

    Returns
    -------
    StrutLoads
        What reaches the strut.
    """
    force = array("strut_loads: force [N]", force, last=(3,))
    places = np.asarray(applied_at)
    if not np.isin(places, PLACES).all():
        unknown = sorted(set(places.ravel().tolist()) - set(PLACES))
        reject("strut_loads: applied_at", unknown, f"one of {PLACES}")
    stroke, most = array("strut_loads: stroke [m]", stroke), gear.shock.max_stroke
    if not ((stroke >= -1e-9 * most) & (stroke <= (1 + 1e-9) * most)).all():
        reject("strut_loads: stroke [m]", stroke.tolist(), f"from 0 to {most:g}", "given as a fraction?")

    couple = array("strut_loads: moment [N m]", moment, last=(3,))
    pitch = array("strut_loads: attitude_deg [deg]", attitude_deg)
    standing = array("strut_loads: tire_load [N]", tire_load)
    factor = array("strut_loads: unsprung_factor [-]", unsprung_factor)
    cases = (places, stroke, pitch, standing, factor)
    shapes = (force.shape[:-1], couple.shape[:-1], *(one.shape for one in cases))
    common_shape("strut_loads: cases", *shapes)

    link, angle, axes = gear.link, gear.link.angle(stroke), attitude(pitch)

    wheel = np.where(
        (places == "ground")[..., np.newaxis],
        gear.contact(stroke, standing, pitch),
        link.axle_at(angle),
    )
    down = -g * factor[..., np.newaxis] * axes[..., 2]
    at = [wheel, link.axle_at(angle), position(gear.link_center_terms, angle)]
    loads = [into(axes, force), gear.wheel_mass * down, gear.link_mass * down]
    body = free_body(
        pivot=link.pivot,
        hinge=link.hinge,
        lug=link.lug_at(angle),
        bracket=link.shock_on_strut,
        at=np.stack(np.broadcast_arrays(*at, loads[0])[:3], axis=-2),
        force=np.stack(np.broadcast_arrays(*loads), axis=-2),
        moment=into(axes, couple),
    )
    return StrutLoads(
        points=np.stack([body.pivot, body.bracket], axis=-2),
        force=np.stack([-body.pivot_force, -body.shock_on_link], axis=-2),
        moment=np.stack([-body.pivot_moment, np.zeros_like(body.pivot_moment)], axis=-2),
        shock_force=body.shock_force,
        contact=body.at[..., 0, :],
        body=body,
    )
