"""What every motion of a unit on the ground gives: histories, peaks, load factor, whether it bottomed."""

from dataclasses import dataclass
from functools import cached_property

from scipy.constants import g

from beam.gear.main_gear import MainGear
from beam.gear.motion.history import History
from materials.checks import Array


@dataclass(frozen=True, kw_only=True, eq=False)
class GroundRun:
    """A unit on the ground over time.

    Parameters
    ----------
    gear : MainGear
        The gear.
    mass : float
        Mass on the unit [kg].
    lift_ratio : float
        Lift over weight [-].
    ground_speed : float
        Speed of the ground past the airplane [m/s].
    history : History
        The motion.
    bottoming_energy : float
        Kinetic energy of the descent left when the shock met its stop; zero if it did not [J].
    """

    gear: MainGear
    mass: float
    lift_ratio: float
    ground_speed: float
    history: History
    bottoming_energy: float

    @property
    def time(self) -> Array:
        """Time since touchdown, shape (time,) [s]."""
        return self.history.time

    @property
    def sink(self) -> Array:
        """Descent of the sprung mass since touchdown, shape (time,) [m]."""
        return self.history.state("sink")

    @property
    def stroke(self) -> Array:
        """Stroke of the shock, shape (time,) [m]."""
        return self.history.forces.stroke

    @property
    def stroke_rate(self) -> Array:
        """Rate of the stroke, shape (time,) [m/s]."""
        return self.history.forces.stroke_rate

    @property
    def tire_deflection(self) -> Array:
        """Deflection of the tire, negative when clear of the ground, shape (time,) [m]."""
        return self.history.forces.deflection

    @property
    def ground_force(self) -> Array:
        """Vertical load of the ground on the tire, shape (time,) [N]."""
        return self.history.forces.ground

    @property
    def shock_force(self) -> Array:
        """Axial force of the shock, positive in compression, shape (time,) [N]."""
        return self.history.forces.shock

    @property
    def drag_force(self) -> Array:
        """Drag of the ground on the tire, positive aft, shape (time,) [N]."""
        return self.history.forces.drag

    @cached_property
    def _peak(self) -> tuple[float, float]:
        return self.history.peak(lambda t: self.history.forces_at(t).ground)

    @property
    def peak_ground_force(self) -> float:
        """Largest vertical load of the ground [N]."""
        return self._peak[1]

    @cached_property
    def max_stroke_used(self) -> float:
        """Largest stroke of the shock [m]."""
        return self.history.peak(lambda t: self.history.forces_at(t).stroke)[1]

    @property
    def load_factor(self) -> float:
        """Inertia load factor n [-].

        Vertical balance of the whole mass at the peak: n W = F + L W, so n = F / W + L, with n the
        upward acceleration of the center of mass over g, plus 1. It is 23.725(e), n = n_j W_e / W + L,
        with n_j W_e the peak load of the drop test.
        """
        return self.peak_ground_force / (self.mass * g) + self.lift_ratio

    @property
    def heat(self) -> float:
        """Energy turned into heat in the shock by the end of the history [J]."""
        return float(self.history.state("damper_loss")[-1] + self.history.state("friction_loss")[-1])

    @property
    def energy_error(self) -> float:
        """Gap in the energy ledger over the energy put in [-]."""
        return self.history.energy_error

    @property
    def bottomed(self) -> bool:
        """Whether the shock met its compression stop."""
        return len(self.history.bottomed_at) > 0

    @property
    def tire_bottomed(self) -> bool:
        """Whether the tire was flat on its rim."""
        return bool((self.tire_deflection > self.gear.tire.bottoming_deflection).any())
