"""The tire: load against deflection, bottoming on the rim, loaded radius, radial damping."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike

from beam.gear.checks import able, numbers, together
from beam.gear.parts.tire_laws import Points, PowerLaw, SmileyHorne, TireLaw
from beam.gear.roots import rising_root
from materials.checks import Array, array, number, reject


@dataclass(frozen=True, kw_only=True)
class Tire:
    """A tire pressed radially on flat ground.

    Parameters
    ----------
    radius : float
        Outside radius of the inflated, unloaded tire [m].
    law : TireLaw
        Load against deflection.
    bottoming_deflection : float
        Deflection at which the tire is flat on the rim [m].
    bottoming_stiffness : float, optional
        Stiffness added beyond that [N/m]. Ten times the secant stiffness at bottoming if not given
        (common practice, no source).
    damping : float
        Radial damping: the load is multiplied by 1 + damping * rate [s/m]. A damping of c [N s/m]
        quoted at a load F is c / F here.

    Raises
    ------
    ValueError
        If a size is outside what a light airplane's tire can have.

    Notes
    -----
    F = f(delta) max(0, 1 + damping * rate): the damping goes to zero with the load, so that the load is
    continuous when the tire meets or leaves the ground and never pulls (the form of Hunt and Crossley).
    """

    radius: float
    law: TireLaw
    bottoming_deflection: float
    bottoming_stiffness: float | None = None
    damping: float = 0.0

    def __post_init__(self) -> None:
        number("Tire: radius [m]", self.radius, above=0, below=1.5, cause="given in mm or inches?")
        able("Tire: law", self.law, "load", "energy")
        what, limit = "Tire: bottoming_deflection [m]", self.radius
        number(
            what, self.bottoming_deflection, above=0, below=limit, cause="more than the radius; given in mm?"
        )
        number(
            "Tire: damping [s/m]", self.damping, at_least=0, at_most=2, cause="given in N s/m? divide by load"
        )
        if self.bottoming_stiffness is None:
            secant = float(self.law.load(self.bottoming_deflection)) / self.bottoming_deflection
            object.__setattr__(self, "bottoming_stiffness", 10 * secant)
        number("Tire: bottoming_stiffness [N/m]", self.stiffness_beyond, at_least=0)

    @classmethod
    def smiley_horne(
        cls,
        *,
        width: float,
        diameter: float,
        pressure: float,
        rated_pressure: float,
        bottoming_deflection: float,
        tire_type: str = "III",
        damping: float = 0.0,
    ) -> Self:
        """Build a tire from its size and pressure.

        Parameters
        ----------
        width : float
            Section width of the inflated tire [m].
        diameter : float
            Outside diameter of the inflated tire [m].
        pressure : float
            Inflation pressure by gauge [Pa].
        rated_pressure : float
            Rated inflation pressure by gauge [Pa].
        bottoming_deflection : float
            Deflection at which the tire is flat on the rim [m].
        tire_type : str
            "I", "III" or "VII".
        damping : float
            Radial damping, see `Tire` [s/m].

        Returns
        -------
        Tire
            The tire.

        References
        ----------
        R. F. Smiley, W. B. Horne, NASA TR R-64 (1960) (from memory).
        """
        law = SmileyHorne(
            width=width,
            diameter=diameter,
            pressure=pressure,
            rated_pressure=rated_pressure,
            tire_type=tire_type,
        )
        return cls(radius=diameter / 2, law=law, bottoming_deflection=bottoming_deflection, damping=damping)

    @classmethod
    def power_law(
        cls,
        *,
        radius: float,
        load: float,
        deflection: float,
        bottoming_deflection: float,
        exponent: float = 1.0,
        damping: float = 0.0,
    ) -> Self:
        """Build a tire whose load grows as a power of the deflection through one known point.

        Parameters
        ----------
        radius : float
            Outside radius of the unloaded tire [m].
        load : float
            Load at the known point [N].
        deflection : float
            Deflection at the known point [m].
        bottoming_deflection : float
            Deflection at which the tire is flat on the rim [m].
        exponent : float
            Power, 1 for a linear tire [-].
        damping : float
            Radial damping, see `Tire` [s/m].

        Returns
        -------
        Tire
            The tire.
        """
        law = PowerLaw(known_load=load, known_deflection=deflection, exponent=exponent)
        return cls(radius=radius, law=law, bottoming_deflection=bottoming_deflection, damping=damping)

    @classmethod
    def from_points(
        cls,
        *,
        radius: float,
        deflection: ArrayLike,
        load: ArrayLike,
        bottoming_deflection: float,
        damping: float = 0.0,
    ) -> Self:
        """Build a tire from a measured or published load-deflection table.

        Parameters
        ----------
        radius : float
            Outside radius of the unloaded tire [m].
        deflection : array_like, shape (point,)
            Deflections, rising from zero [m].
        load : array_like, shape (point,)
            Loads, rising from zero [N].
        bottoming_deflection : float
            Deflection at which the tire is flat on the rim [m].
        damping : float
            Radial damping, see `Tire` [s/m].

        Returns
        -------
        Tire
            The tire.
        """
        law = Points(deflection=deflection, load_points=load)
        return cls(radius=radius, law=law, bottoming_deflection=bottoming_deflection, damping=damping)

    @property
    def stiffness_beyond(self) -> float:
        """Stiffness added beyond bottoming [N/m]."""
        return 0.0 if self.bottoming_stiffness is None else self.bottoming_stiffness

    def load(self, deflection: ArrayLike, rate: ArrayLike = 0.0) -> Array:
        """Load of the ground on the tire, along the radius.

        Parameters
        ----------
        deflection : array_like, shape (...)
            Deflection, negative when clear of the ground [m].
        rate : array_like, shape (...)
            Rate of deflection [m/s].

        Returns
        -------
        ndarray, shape (...)
            Load, zero when clear of the ground [N].
        """
        deflection = numbers("Tire.load: deflection [m]", deflection)
        rate = numbers("Tire.load: rate [m/s]", rate)
        together("Tire.load: deflection, rate", deflection, rate)
        over = np.maximum(deflection - self.bottoming_deflection, 0.0)
        elastic = self.law.load(deflection) + self.stiffness_beyond * over
        return elastic * np.maximum(1 + self.damping * rate, 0.0)

    def energy(self, deflection: ArrayLike) -> Array:
        """Energy stored elastically.

        Parameters
        ----------
        deflection : array_like, shape (...)
            Deflection [m].

        Returns
        -------
        ndarray, shape (...)
            Integral of the static load from zero deflection [J].
        """
        deflection = numbers("Tire.energy: deflection [m]", deflection)
        over = np.maximum(deflection - self.bottoming_deflection, 0.0)
        return self.law.energy(deflection) + 0.5 * self.stiffness_beyond * over**2

    def deflection(self, load: ArrayLike) -> Array:
        """Deflection under a static load.

        Parameters
        ----------
        load : array_like, shape (...)
            Load, not negative [N].

        Returns
        -------
        ndarray, shape (...)
            Deflection [m].

        Raises
        ------
        ValueError
            If a load is negative or flattens the tire to its center.
        """
        load = array("Tire: load [N]", load)
        most = float(self.load(self.radius))
        if not ((load >= 0) & (load < most)).all():
            reject(
                "Tire: load [N]", load.tolist(), f"from 0 to {most:.4g}", "the load of the whole airplane?"
            )
        return rising_root(
            lambda d: self.load(d) - load, np.zeros_like(load), np.full_like(load, self.radius)
        )

    def loaded_radius(self, load: ArrayLike) -> Array:
        """Distance from the axle to the ground under a static load.

        Parameters
        ----------
        load : array_like, shape (...)
            Load, not negative [N].

        Returns
        -------
        ndarray, shape (...)
            Loaded radius [m].
        """
        return self.radius - self.deflection(load)
