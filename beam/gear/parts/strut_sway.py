"""Fore-aft flexibility of the strut at the link pivot."""

from dataclasses import dataclass

from materials.checks import number


@dataclass(frozen=True, kw_only=True)
class StrutSway:
    """The strut as a spring between pivot and airplane, fore and aft.

    Parameters
    ----------
    stiffness : float
        Fore-aft force at the pivot over its displacement, such as `beam.strut.point_stiffness` gives it [N/m].
    mass : float
        Part of the strut's mass that moves with the pivot; about a quarter of a cantilever [kg].
    damping_ratio : float
        Damping over critical, of strut, link and wheel swaying together [-].

    Raises
    ------
    ValueError
        If a value is outside its limits.
    """

    stiffness: float
    mass: float
    damping_ratio: float = 0.02

    def __post_init__(self) -> None:
        number(
            "StrutSway: stiffness [N/m]", self.stiffness, at_least=1e3, at_most=1e10, cause="given in N/mm?"
        )
        number("StrutSway: mass [kg]", self.mass, at_least=0, at_most=1e4)
        number(
            "StrutSway: damping_ratio [-]", self.damping_ratio, at_least=0, below=1, cause="given in percent?"
        )
