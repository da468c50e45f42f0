"""One ground-load condition at one mass and c.g.: the loads on each wheel that it prescribes."""

from dataclasses import dataclass

from beam.loads.airplane import Airplane
from materials.checks import number, reject

LEGS = ("starboard", "port", "nose")
PLACES = ("axle", "ground")
STROKES = {"landing": (0.25, 0.50, 0.75, 1.00), "static": (), "extended": (0.0,)}
"""Fractions of the shock stroke a load is judged at [-]. Landing: Appendix C, Note 2 (25 to 100 %)."""


@dataclass(frozen=True, kw_only=True)
class WheelLoad:
    """Load on one wheel.

    Parameters
    ----------
    leg : str
        "starboard", "port" or "nose".
    Fx, Fy, Fz : float
        Aft, to starboard and up, on ground axes [N].
    applied_at : str
        "axle" or "ground".
    Mx, My, Mz : float
        Couple on the leg about the same axes [N m].

    Raises
    ------
    ValueError
        If leg or place has another name, or a load is not finite.
    """

    leg: str
    Fx: float = 0.0
    Fy: float = 0.0
    Fz: float
    applied_at: str
    Mx: float = 0.0
    My: float = 0.0
    Mz: float = 0.0

    def __post_init__(self) -> None:
        _word("WheelLoad: leg", self.leg, LEGS)
        _word("WheelLoad: applied_at", self.applied_at, PLACES)
        for name in ("Fx", "Fy", "Fz", "Mx", "My", "Mz"):
            number(f"WheelLoad: {name} [{'N' if name[0] == 'F' else 'N m'}]", getattr(self, name))


@dataclass(frozen=True, kw_only=True)
class GroundCase:
    """Loads of one condition at one mass and center of gravity.

    Parameters
    ----------
    paragraph : str
        Paragraph of the code.
    condition : str
        The condition in words; with paragraph, mass and cg it is unique.
    mass : float
        Airplane mass [kg].
    cg : str
        "forward" or "aft".
    shock : str
        "landing": judged over the stroke; "static": at static position; "extended": in the air.
    attitude_deg : float
        Nose-up pitch of the airplane x axis [deg].
    wheels : tuple of WheelLoad
        The loads; a wheel that is not named carries none.
    lift_ratio : float
        Wing lift at the c.g. over weight [-].
    level : str
        "limit", to be multiplied by the factor of safety; or "ultimate", which already is what
        the leg must hold without failing.

    Raises
    ------
    ValueError
        If a word is not one of these, or a number is out of its range.
    """

    paragraph: str
    condition: str
    mass: float
    cg: str
    shock: str
    attitude_deg: float
    wheels: tuple[WheelLoad, ...]
    lift_ratio: float = 0.0
    level: str = "limit"

    def __post_init__(self) -> None:
        what = f"GroundCase {self.paragraph} {self.condition}"
        _word(f"{what}: cg", self.cg, ("forward", "aft"))
        _word(f"{what}: shock", self.shock, tuple(STROKES))
        _word(f"{what}: level", self.level, ("limit", "ultimate"))
        number(f"{what}: mass [kg]", self.mass, above=0.0)
        number(f"{what}: attitude_deg [deg]", self.attitude_deg, above=-90.0, below=90.0)
        number(f"{what}: lift_ratio [-]", self.lift_ratio, at_least=0.0)

    @property
    def strokes(self) -> tuple[float, ...]:
        """Fractions of the shock stroke the case stands for; empty at static position [-]."""
        return STROKES[self.shock]


def _word(what: str, word: str, known: tuple[str, ...]) -> None:
    if word not in known:
        reject(what, repr(word), f"one of {', '.join(known)}")


def pair(Fx: float, Fz: float, *, applied_at: str) -> tuple[WheelLoad, WheelLoad]:
    """Return the same load on the starboard and the port main wheel.

    Parameters
    ----------
    Fx, Fz : float
        Aft and up, on each wheel [N].
    applied_at : str
        "axle" or "ground".

    Returns
    -------
    tuple of WheelLoad
        Starboard and port.
    """
    return (
        WheelLoad(leg="starboard", Fx=Fx, Fz=Fz, applied_at=applied_at),
        WheelLoad(leg="port", Fx=Fx, Fz=Fz, applied_at=applied_at),
    )


def standing(airplane: Airplane, paragraph: str, condition: str, cg: str, *wheels: WheelLoad) -> GroundCase:
    """Return a case of the standing airplane: maximum mass, level, shocks and tires static, no lift.

    Parameters
    ----------
    airplane : Airplane
        The airplane sheet.
    paragraph : str
        Paragraph of the code.
    condition : str
        The condition in words.
    cg : str
        "forward" or "aft".
    *wheels : WheelLoad
        The loads.

    Returns
    -------
    GroundCase
        The case.
    """
    return GroundCase(
        paragraph=paragraph,
        condition=condition,
        mass=airplane.max_mass,
        cg=cg,
        shock="static",
        attitude_deg=airplane.level_attitude_deg,
        wheels=wheels,
    )
