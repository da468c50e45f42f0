"""One main gear unit: link, shock, tire and wheel."""

from functools import cached_property
from typing import Annotated, Any

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.axes import attitude, into
from beam.gear.parts.link import LEAST_ARM, LinkStroke, TrailingLink
from beam.gear.parts.rotation import circle, lowest_point, position, rising_root, slope
from beam.gear.parts.shock import Shock
from beam.gear.parts.tire import GroundFriction, StaticLoad, Tire
from beam.gear.strut_loads import StrutLoads, free_body
from materials.checks import (
    Array,
    Frozen,
    Limits,
    OptionalNumbers,
    checked,
    common_shape,
    default,
    number,
    reject,
    unchecked,
)

PLACES = ("ground", "axle")
"""Where a wheel load acts: at the ground contact (braked or from the side), or the axle (free to spin)."""

Attitude = Annotated[ArrayLike, Limits("deg")]


class MainGear(Frozen):
    """The starboard main gear below the strut.

    Parameters
    ----------
    link : TrailingLink
        Geometry of link and shock, airplane axes.
    shock : Shock
        The shock absorber.
    tire : Tire
        The tire.
    wheel_mass : float
        Mass of wheel, tire and brake, at the axle [kg].
    wheel_inertia : float
        Inertia of the rolling parts about the axle [kg m2].
    rolling_radius : float
        Effective rolling radius during spin-up [m].
    link_mass : float
        Mass of the link and of the parts of the shock that move with it [kg].
    link_center : array_like, shape (3,), optional
        Center of that mass with the shock extended; halfway from pivot to axle if not given [m].
    link_inertia : float, optional
        Its inertia about the direction of the hinge through its center; a slender bar if not given [kg m2].
    friction : GroundFriction
        Friction of the tire on the ground over slip.

    Raises
    ------
    ValueError
        If the stroke is beyond the geometry of the link or a value is outside its limits.

    Notes
    -----
    Inertia of link and wheel about the hinge, the wheel free to turn on its axle: J = m_w a_w**2 + m_l a_l**2 + I_l,
    with the arms a of wheel and link center square to the hinge; I_l = m_l L**2 / 12 for a slender bar.

    Examples
    --------
    >>> from tourer import GEAR  # examples/tourer.py
    >>> stroke = GEAR.static(527.0)
    >>> float(stroke.round(4)), GEAR.contact(stroke, 527 * 9.81).round(3)
    (0.0801, array([ 0.296,  1.05 , -0.794]))
    """

    link: TrailingLink
    shock: Shock
    tire: Tire
    wheel_mass: Annotated[float, Limits("kg", above=0.0, at_most=500.0)]
    wheel_inertia: Annotated[float, Limits("kg m2", above=0.0, at_most=100.0)]
    rolling_radius: Annotated[float, Limits("m", above=0.0, below=1.5, cause="given in mm?")]
    link_mass: Annotated[float, Limits("kg", at_least=0.0, at_most=500.0)]
    link_center: Annotated[OptionalNumbers, Limits("m", shape=(3,))] = default(None)
    link_inertia: Annotated[float | None, Limits("kg m2", at_least=0.0, at_most=100.0)] = None
    friction: GroundFriction = GroundFriction()

    def __post_init__(self) -> None:
        super().__post_init__()
        link, stroke = self.link, self.shock.max_stroke
        cause = "the link's geometry ends before the shock does"
        number("MainGear: shock.max_stroke [m]", stroke, below=link.geometric_stroke, cause=cause)
        angle = link.angle(np.linspace(0.0, stroke, 51))
        arm, least = float(link.shock_arm(angle).min()), LEAST_ARM * link.length
        cause = "the line of the shock comes to pass through the pivot"
        number("MainGear: least arm of the shock about the hinge [m]", arm, at_least=least, cause=cause)
        rise, cause = (
            float(slope(link.axle_terms, angle)[:, 2].min()),
            "the link passes upright within the stroke",
        )
        number("MainGear: least rise of the axle per angle [m/rad]", rise, above=0, cause=cause)
        what, cause = "MainGear: rolling_radius [m]", "more than the tire's radius, or given in mm?"
        number(what, self.rolling_radius, at_most=self.tire.radius, cause=cause)
        if self.link_center is None:
            object.__setattr__(self, "link_center", (link.pivot + link.axle) / 2)
            np.asarray(self.link_center).setflags(write=False)

    @property
    def unsprung_mass(self) -> float:
        """Mass of wheel and link [kg]."""
        return self.wheel_mass + self.link_mass

    @cached_property
    def link_center_terms(self) -> Array:
        """Terms of the circle of the link's center of mass, shape (3, 3), see `rotation.circle` [m]."""
        return circle(np.asarray(self.link_center), self.link.pivot, self.link.hinge)

    @cached_property
    def mass_moment(self) -> Array:
        """Terms of sum(mass x position) of wheel and link, shape (3, 3), see `rotation.circle` [kg m]."""
        return self.wheel_mass * self.link.axle_terms + self.link_mass * self.link_center_terms

    @property
    def hinge_inertia(self) -> float:
        """Inertia of link and wheel about the hinge, the wheel free to turn on its axle [kg m2]."""
        wheel, center = self.link.axle_terms[1], self.link_center_terms[1]
        bar = self.link_mass * self.link.length**2 / 12 if self.link_inertia is None else self.link_inertia
        return float(self.wheel_mass * wheel @ wheel + self.link_mass * center @ center + bar)

    @checked
    def axle(self, stroke: LinkStroke) -> Array:
        """Center of the wheel at a stroke, airplane axes, shape (..., 3) [m].

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke of the shock from fully extended [m].
        """
        return position(self.link.axle_terms, unchecked(self.link.angle)(stroke))

    @checked
    def contact(self, stroke: LinkStroke, tire_load: StaticLoad, attitude_deg: Attitude = 0.0) -> Array:
        """Ground contact point, below the axle in the plane of the wheel, airplane axes, shape (..., 3) [m].

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke of the shock from fully extended [m].
        tire_load : array_like, shape (...)
            Load that deflects the tire [N].
        attitude_deg : array_like, shape (...)
            Nose-up attitude [deg].
        """
        shapes = (np.shape(one) for one in (stroke, tire_load, attitude_deg))
        common_shape("MainGear.contact: stroke, tire_load, attitude_deg", *shapes)
        return self._contact(unchecked(self.link.angle)(stroke), tire_load, attitude(attitude_deg))

    def _contact(self, angle: Array, tire_load: ArrayLike, axes: Array) -> Array:
        """Contact point (..., 3) at link angles, under static loads, on the ground axes of `attitude`."""
        up, axis = axes[..., 2], position(self.link.wheel_axis_terms, angle)
        down = np.sum(up * axis, axis=-1, keepdims=True) * axis - up
        down = down / np.linalg.norm(down, axis=-1, keepdims=True)
        radius = unchecked(self.tire.loaded_radius)(tire_load)
        return position(self.link.axle_terms, angle) + radius[..., np.newaxis] * down

    @checked
    def shock_at_rest(self, stroke: LinkStroke, load: Annotated[ArrayLike, Limits("N")]) -> Array:
        """Shock force that balances a vertical load on the wheel and the unsprung weight, shape (...) [N].

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke of the shock from fully extended [m].
        load : array_like, shape (...)
            Vertical load of the ground on the wheel, airplane level [N].
        """
        common_shape("MainGear.shock_at_rest: stroke, load", np.shape(stroke), np.shape(load))
        angle = unchecked(self.link.angle)(stroke)
        axle, axis = self.link.axle_terms[:, 2], self.link.wheel_axis_terms[:, 2]
        _, rise = lowest_point(axle, axis, self.tire.radius, np.cos(angle), np.sin(angle))
        weight = g * slope(self.mass_moment, angle)[..., 2]
        return (np.asarray(load) * rise - weight) / unchecked(self.link.shock_arm)(angle)

    @checked
    def static(self, mass: Annotated[ArrayLike, Limits("kg", above=0.0)], *, slow: bool = True) -> Array:
        """Stroke at which the airplane stands on this unit, without friction, shape (...) [m].

        Parameters
        ----------
        mass : array_like, shape (...)
            Mass that stands on this unit, its own included [kg].
        slow : bool
            The stroke was reached slowly; False for the position to which a landing settles at first.

        Raises
        ------
        ValueError
            If the shock does not carry that mass within its stroke.
        """
        load = np.asarray(mass) * g
        force, needed = unchecked(self.shock.spring.force), unchecked(self.shock_at_rest)
        ends = np.array([0.0, self.shock.max_stroke])
        has, wanted = force(ends, slow=slow), needed(ends, load[..., np.newaxis])
        if not ((has[0] <= wanted[..., 0]) & (has[1] >= wanted[..., 1])).all():
            got = f"spring force {has[0]:.5g} N extended, {has[1]:.5g} N at the full stroke of {ends[1]:g} m"
            limit = f"at most {wanted[..., 0].min():.5g} N and at least {wanted[..., 1].max():.5g} N"
            masses = ", ".join(f"{one:g}" for one in np.unique(mass)[[0, -1]])
            cause = f"to stand on {masses} kg within it; charge pressure, gas volume or area?"
            reject("MainGear: static position outside the stroke", got, limit, cause)
        zero = np.zeros_like(load)
        return rising_root(
            lambda stroke: force(stroke, slow=slow) - needed(stroke, load), zero, zero + ends[1]
        )

    @checked
    def strut_loads(
        self,
        force: Annotated[ArrayLike, Limits("N", last=(3,))],
        applied_at: Any,
        stroke: LinkStroke,
        attitude_deg: Attitude = 0.0,
        *,
        tire_load: StaticLoad,
        moment: Annotated[ArrayLike, Limits("N m", last=(3,))] = (0.0, 0.0, 0.0),
        unsprung_factor: Annotated[ArrayLike, Limits("-")] = 0.0,
    ) -> StrutLoads:
        """Carry wheel loads through the link to the strut.

        Parameters
        ----------
        force : array_like, shape (case, 3)
            Force of the ground on the wheel in ground axes: aft, starboard, up [N].
        applied_at : sequence of str, shape (case,)
            "ground": at the contact, the wheel fixed to the link by its brake or the load from the side;
            "axle": through the wheel's center, the wheel free to spin.
        stroke : array_like, shape (case,)
            Stroke of the shock from fully extended [m].
        attitude_deg : array_like, shape (case,)
            Nose-up attitude of the airplane [deg].
        tire_load : array_like, shape (case,)
            Load that sets the loaded radius; the static load of the leg for conditions of the code [N].
        moment : array_like, shape (case, 3)
            Couple of the ground on the wheel in ground axes [N m].
        unsprung_factor : array_like, shape (case,)
            Vertical load factor of link and wheel: their inertia and weight relieve the strut. Zero leaves
            them out, which is safe for loads from the ground up [-].

        Returns
        -------
        StrutLoads
            Points, forces and moments on the strut in airplane axes.

        Raises
        ------
        ValueError
            If `applied_at` has another word, or a stroke is outside the shock's.
        """
        force, stroke, moment, factor = (np.asarray(x) for x in (force, stroke, moment, unsprung_factor))
        places, most = np.asarray(applied_at), self.shock.max_stroke
        if not np.isin(places, PLACES).all():
            unknown = sorted({str(place) for place in places.ravel()} - set(PLACES))
            reject("MainGear.strut_loads: applied_at", unknown, f"one of {PLACES}")
        outside = (stroke < -1e-9 * most) | (stroke > (1 + 1e-9) * most)
        if outside.any():
            what, cause = "MainGear.strut_loads: stroke [m]", "given as a fraction?"
            reject(what, f"{stroke[outside].flat[0]:g}", f"from 0 to {most:g}", cause)
        shapes = (np.shape(x) for x in (places, stroke, attitude_deg, tire_load, factor))
        common_shape("MainGear.strut_loads: cases", force.shape[:-1], moment.shape[:-1], *shapes)
        link, axes = self.link, attitude(attitude_deg)
        angle = unchecked(link.angle)(stroke)
        axle = position(link.axle_terms, angle)
        on_ground = (places == "ground")[..., np.newaxis]
        down = -g * factor[..., np.newaxis] * axes[..., 2]
        wheel = np.where(on_ground, self._contact(angle, tire_load, axes), axle)
        loads = [into(axes, force), self.wheel_mass * down, self.link_mass * down]
        center = position(self.link_center_terms, angle)
        at = np.stack(np.broadcast_arrays(wheel, axle, center, loads[0])[:3], axis=-2)
        body = free_body(
            pivot=link.pivot,
            hinge=link.hinge,
            lug=position(link.lug_terms, angle),
            bracket=link.shock_on_strut,
            at=at,
            force=np.stack(np.broadcast_arrays(*loads), axis=-2),
            moment=into(axes, moment),
        )
        points = np.stack(np.broadcast_arrays(link.pivot, link.shock_on_strut, at[..., 0, :])[:2], axis=-2)
        return StrutLoads(
            points=points,
            force=np.stack([-body.pivot_force, -body.shock_on_link], axis=-2),
            moment=np.stack([-body.pivot_moment, np.zeros_like(body.pivot_moment)], axis=-2),
            shock_force=body.shock_force,
            contact=at[..., 0, :],
            residual=body.residual,
        )
