"""One main gear unit: link, shock, tire and wheel."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike
from scipy.constants import g

from beam.axes import attitude
from beam.gear.checks import vector
from beam.gear.motion.equations import lowest_point
from beam.gear.parts.friction import GroundFriction
from beam.gear.parts.link import LEAST_ARM, TrailingLink
from beam.gear.parts.rotation import circle, slope
from beam.gear.parts.shock import Shock
from beam.gear.parts.tire import Tire
from beam.gear.roots import rising_root
from beam.gear.strut_loads import StrutLoads, strut_loads
from materials.checks import Array, array, common_shape, flag, number, reject
from materials.kinds import instance


@dataclass(frozen=True, kw_only=True, eq=False)
class MainGear:
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
        Mass of the link and what of the shock goes with it [kg].
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
    """

    link: TrailingLink
    shock: Shock
    tire: Tire
    wheel_mass: float
    wheel_inertia: float
    rolling_radius: float
    link_mass: float
    link_center: Array | None = None
    link_inertia: float | None = None
    friction: GroundFriction = field(default_factory=GroundFriction)

    def __post_init__(self) -> None:
        kinds = {"link": TrailingLink, "shock": Shock, "tire": Tire, "friction": GroundFriction}
        for name, kind in kinds.items():
            instance(f"MainGear: {name}", getattr(self, name), kind)
        link, stroke = self.link, self.shock.max_stroke
        cause = "the link's geometry ends before the shock does"
        number("MainGear: shock.max_stroke [m]", stroke, below=link.geometric_stroke, cause=cause)
        angle = link.angle(np.linspace(0.0, stroke, 51))
        arm, least = float(link.shock_arm(angle).min()), LEAST_ARM * link.length
        cause = "the line of the shock comes to pass through the pivot"
        number("MainGear: least arm of the shock about the hinge [m]", arm, at_least=least, cause=cause)
        rise, cause = float(link.axle_slope(angle)[:, 2].min()), "the link passes upright within the stroke"
        number("MainGear: least rise of the axle per angle [m/rad]", rise, above=0, cause=cause)
        number("MainGear: wheel_mass [kg]", self.wheel_mass, above=0, at_most=500)
        number("MainGear: wheel_inertia [kg m2]", self.wheel_inertia, above=0, at_most=100)
        what, cause = "MainGear: rolling_radius [m]", "more than the tire's radius, or given in mm?"
        number(what, self.rolling_radius, above=0, at_most=self.tire.radius, cause=cause)
        number("MainGear: link_mass [kg]", self.link_mass, at_least=0, at_most=500)
        center = (link.pivot + link.axle) / 2 if self.link_center is None else self.link_center
        object.__setattr__(self, "link_center", vector("MainGear: link_center [m]", center))
        if self.link_inertia is not None:
            number("MainGear: link_inertia [kg m2]", self.link_inertia, at_least=0, at_most=100)

    @property
    def unsprung_mass(self) -> float:
        """Mass of wheel and link [kg]."""
        return self.wheel_mass + self.link_mass

    @cached_property
    def link_center_terms(self) -> Array:
        """Terms of the circle of the link's center of mass, shape (3, 3), see `circle` [m]."""
        return circle(np.asarray(self.link_center), self.link.pivot, self.link.hinge)

    @cached_property
    def mass_moment(self) -> Array:
        """Terms of sum(mass x position) of wheel and link, shape (3, 3), see `circle` [kg m]."""
        return self.wheel_mass * self.link.axle_terms + self.link_mass * self.link_center_terms

    @property
    def hinge_inertia(self) -> float:
        """Inertia of link and wheel about the hinge, the wheel free to turn on its axle [kg m2]."""
        wheel, center = self.link.axle_terms[1], self.link_center_terms[1]
        bar = self.link_mass * self.link.length**2 / 12 if self.link_inertia is None else self.link_inertia
        return float(self.wheel_mass * wheel @ wheel + self.link_mass * center @ center + bar)

    def axle(self, stroke: ArrayLike) -> Array:
        """Center of the wheel at a stroke.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke of the shock from fully extended [m].

        Returns
        -------
        ndarray, shape (..., 3)
            Position in airplane axes [m].
        """
        return self.link.axle_at(self.link.angle(stroke))

    def contact(self, stroke: ArrayLike, tire_load: ArrayLike, attitude_deg: ArrayLike = 0.0) -> Array:
        """Ground contact point at a stroke, the tire deflected by a load.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke of the shock from fully extended [m].
        tire_load : array_like, shape (...)
            Load that deflects the tire [N].
        attitude_deg : array_like, shape (...)
            Nose-up attitude [deg].

        Returns
        -------
        ndarray, shape (..., 3)
            Position in airplane axes, below the axle in the plane of the wheel [m].
        """
        angle = self.link.angle(stroke)
        load = array("MainGear.contact: tire_load [N]", tire_load)
        if not (load >= 0).all():
            reject(
                "MainGear.contact: tire_load [N]", load.tolist(), ">= 0", "a load of the ground, positive up"
            )
        pitch = array("MainGear.contact: attitude_deg [deg]", attitude_deg)
        common_shape(
            "MainGear.contact: stroke, tire_load, attitude_deg", angle.shape, load.shape, pitch.shape
        )
        up, axis = attitude(pitch)[..., 2], self.link.wheel_axis_at(angle)
        down = np.sum(up * axis, axis=-1, keepdims=True) * axis - up
        down = down / np.linalg.norm(down, axis=-1, keepdims=True)
        return self.link.axle_at(angle) + self.tire.loaded_radius(load)[..., np.newaxis] * down

    def shock_at_rest(self, stroke: ArrayLike, load: ArrayLike) -> Array:
        """Shock force that balances a vertical load on the wheel and the weight of link and wheel.

        Parameters
        ----------
        stroke : array_like, shape (...)
            Stroke of the shock from fully extended [m].
        load : array_like, shape (...)
            Vertical load of the ground on the wheel, airplane level [N].

        Returns
        -------
        ndarray, shape (...)
            Force, positive in compression [N].
        """
        angle, force = self.link.angle(stroke), array("MainGear.shock_at_rest: load [N]", load)
        common_shape("MainGear.shock_at_rest: stroke, load", angle.shape, force.shape)
        axle, axis = self.link.axle_terms[:, 2], self.link.wheel_axis_terms[:, 2]
        _, rise = lowest_point(axle, axis, self.tire.radius, np.cos(angle), np.sin(angle))
        weight = g * slope(self.mass_moment, angle)[..., 2]
        return (force * rise - weight) / self.link.shock_arm(angle)

    def static(self, mass: ArrayLike, *, slow: bool = True) -> Array:
        """Stroke at which the airplane stands on this unit.

        Parameters
        ----------
        mass : array_like, shape (...)
            Mass that stands on this unit, its own included [kg].
        slow : bool
            The stroke was reached slowly; False for the position to which a landing settles at first.

        Returns
        -------
        ndarray, shape (...)
            Stroke of the shock from fully extended, without friction [m].

        Raises
        ------
        ValueError
            If the shock does not carry that mass within its stroke.
        """
        standing = array("MainGear.static: mass [kg]", mass)
        flag("MainGear.static: slow", slow)
        if not (standing > 0).all():
            reject("MainGear.static: mass [kg]", standing.tolist(), "> 0")
        load = standing * g
        ends = np.array([0.0, self.shock.max_stroke])
        has, wanted = (
            self.shock.spring.force(ends, slow=slow),
            self.shock_at_rest(ends, load[..., np.newaxis]),
        )
        if not ((has[0] <= wanted[..., 0]) & (has[1] >= wanted[..., 1])).all():
            got = f"spring force {has[0]:.5g} N extended, {has[1]:.5g} N at the full stroke of {ends[1]:g} m"
            limit = f"at most {wanted[..., 0].min():.5g} N and at least {wanted[..., 1].max():.5g} N"
            cause = (
                f"to stand on {np.asarray(mass).tolist()} kg within it; charge pressure, gas volume or area?"
            )
            reject("MainGear: static position outside the stroke", got, limit, cause)
        zero = np.zeros_like(load)
        return rising_root(
            lambda stroke: self.shock.spring.force(stroke, slow=slow) - self.shock_at_rest(stroke, load),
            zero,
            zero + ends[1],
        )

    def strut_loads(
        self,
        force: ArrayLike,
        applied_at: ArrayLike,
        stroke: ArrayLike,
        attitude_deg: ArrayLike = 0.0,
        *,
        tire_load: ArrayLike,
        moment: ArrayLike = (0.0, 0.0, 0.0),
        unsprung_factor: ArrayLike = 0.0,
    ) -> StrutLoads:
        """Carry wheel loads through the link to the strut.

        Parameters
        ----------
        force : array_like, shape (case, 3)
            Force of the ground on the wheel in ground axes: aft, starboard, up [N].
        applied_at : sequence of str, shape (case,)
            "ground": at the contact, the wheel held on the link by its brake or the load from the side;
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
            If `applied_at` holds another word, or a stroke is outside the shock's.
        """
        return strut_loads(
            self,
            force,
            applied_at,
            stroke,
            attitude_deg,
            tire_load=tire_load,
            moment=moment,
            unsprung_factor=unsprung_factor,
        )
