"""One ground-load condition at one mass and c.g.: the loads on each wheel that it prescribes."""

from dataclasses import dataclass

from beam.loads.airplane import Airplane
from beam.loads.stance import CENTERS
from materials.checks import number, one_of, reject
from materials.kinds import instance, instances, text
from materials.limits import between

LEGS = ("starboard", "port", "nose")
PLACES = ("axle", "ground")
LEVELS = ("limit", "ultimate")
STROKES = {"landing": (0.25, 0.50, 0.75, 1.00), "static": (), "extended": (0.0,)}
"""Fractions of the shock stroke a load is judged at by default [-]. Landing: Appendix C, Note 2 (25 to 100 %)."""


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
        one_of("WheelLoad: leg", self.leg, LEGS)
        one_of("WheelLoad: applied_at", self.applied_at, PLACES)
        for name in ("Fx", "Fy", "Fz", "Mx", "My", "Mz"):
            what = f"WheelLoad: {name} [{'N' if name[0] == 'F' else 'N m'}]"
            object.__setattr__(self, name, number(what, getattr(self, name)))


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
        The loads, one for a leg; a wheel that is not named carries none.
    lift_ratio : float
        Wing lift at the c.g. over weight [-].
    level : str
        "limit", to be multiplied by the factor of safety; or "ultimate", which already is what
        the leg must hold without failing.
    strokes : tuple of float
        Fractions of the shock stroke a landing case is judged at, where its code asks for others than
        25, 50, 75 and 100 % [-]. Empty takes these; 0 in the air; and none at static position, which
        the gear finds.

    Raises
    ------
    ValueError
        If a word is not one of these, a number is out of its range, or a leg is loaded twice.
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
    strokes: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        text("GroundCase: paragraph", self.paragraph)
        text("GroundCase: condition", self.condition)
        what = f"GroundCase {self.paragraph} {self.condition}"
        one_of(f"{what}: cg", self.cg, CENTERS)
        one_of(f"{what}: shock", self.shock, STROKES)
        one_of(f"{what}: level", self.level, LEVELS)
        held = {
            "mass": number(f"{what}: mass [kg]", self.mass, above=0.0),
            "attitude_deg": number(f"{what}: attitude_deg [deg]", self.attitude_deg, above=-90.0, below=90.0),
            "lift_ratio": number(
                f"{what}: lift_ratio [-]",
                self.lift_ratio,
                at_least=0.0,
                at_most=10.0,
                cause="given in percent?",
            ),
            "wheels": instances(f"{what}: wheels", self.wheels, WheelLoad, least=0),
            "strokes": self._strokes(f"{what}: strokes [-]"),
        }
        for name, value in held.items():
            object.__setattr__(self, name, value)
        legs = [wheel.leg for wheel in self.wheels]
        if len(set(legs)) < len(legs):
            cause = "each row is carried to the strut alone: add the loads of a leg up first"
            reject(f"{what}: wheels", ", ".join(legs), "one load for a leg", cause)

    def _strokes(self, what: str) -> tuple[float, ...]:
        given = between(what, self.strokes, 0.0, 1.0, "given in percent or meters?")
        if given.ndim != 1:
            reject(what, f"shape {given.shape}", "a tuple of numbers")
        strokes = tuple(given.tolist()) or STROKES[self.shock]
        if self.shock != "landing" and strokes != STROKES[self.shock]:
            reject(what, strokes, f"left out where the shock is {self.shock}", "only a landing has a choice")
        return strokes


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
    instance("standing: airplane", airplane, Airplane)
    return GroundCase(
        paragraph=paragraph,
        condition=condition,
        mass=airplane.max_mass,
        cg=cg,
        shock="static",
        attitude_deg=airplane.level_attitude_deg,
        wheels=wheels,
    )
