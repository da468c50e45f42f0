"""One ground-load condition at one mass and c.g.: the loads on each wheel that it prescribes."""

from collections.abc import Callable
from typing import Annotated, Any, Literal

from scipy.constants import g

from beam.loads.airplane import Airplane, Cg
from beam.loads.stance import split, stance
from materials.checks import Frozen, Items, Limits, checked, default, reject

Leg = Literal["starboard", "port", "nose"]
Place = Literal["axle", "ground"]
Level = Literal["limit", "ultimate"]
Shock = Literal["landing", "static", "extended"]

LEGS: tuple[Leg, ...] = ("starboard", "port", "nose")
LEVELS: tuple[Level, ...] = ("limit", "ultimate")
MAINS: dict[Leg, float] = {"starboard": 1.0, "port": -1.0}
"""Main legs and the sign of outboard on the athwart axis y [-]."""

STROKES: dict[Shock, tuple[float, ...]] = {
    "landing": (0.25, 0.50, 0.75, 1.00),
    "static": (),
    "extended": (0.0,),
}
"""Fractions of the shock stroke a load is judged at by default [-]. Landing: Appendix C, Note 2 (25 to 100 %)."""

_Force = Annotated[float, Limits("N")]
_Couple = Annotated[float, Limits("N m")]


class WheelLoad(Frozen, eq=True):
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
    ground_Fx : float, optional
        Drag of the ground where the wheel's own inertia makes Fx another force; None: it is Fx [N].

    Notes
    -----
    The drag of a wheel that spins up acts at the axle, that of a braked wheel at the ground: there its moment
    D r about the axle reaches the leg as brake torque. On a flexible strut the wheel swings fore and aft: Fx is then
    the force of the wheel on the axle, and only `ground_Fx` enters the balance of the airplane.

    Examples
    --------
    >>> WheelLoad(leg="nose", Fx=800.0, Fz=4000.0, applied_at="axle").Fz
    4000.0
    """

    leg: Leg
    Fx: _Force = 0.0
    Fy: _Force = 0.0
    Fz: _Force
    applied_at: Place
    Mx: _Couple = 0.0
    My: _Couple = 0.0
    Mz: _Couple = 0.0
    ground_Fx: _Force | None = None

    @property
    def ground_drag(self) -> float:
        """Drag of the ground on the wheel [N]."""
        return self.Fx if self.ground_Fx is None else self.ground_Fx


class GroundCase(Frozen, eq=True):
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
    wheels : iterable of WheelLoad
        The loads, one for a leg; a wheel that is not named carries none.
    lift_ratio : float
        Wing lift at the c.g. over weight [-].
    level : str
        "limit", to be multiplied by the factor of safety; or "ultimate", which the leg must carry as it is
        without failing.
    strokes : array_like, shape (stroke,)
        Fractions of the shock stroke a landing case is judged at. None given takes 25, 50, 75 and 100 % for a
        landing, 0 in the air, and none at static position, which the gear finds [-].

    Raises
    ------
    ValueError
        If a leg is loaded twice, or strokes are given for a case that is no landing.

    Notes
    -----
    25 to 100 % of the stroke: Part 23 Appendix C, Note 2.

    Examples
    --------
    >>> case = GroundCase(
    ...     paragraph="X 1", condition="some", mass=1000.0, cg="aft", shock="landing", attitude_deg=2.0,
    ...     wheels=[WheelLoad(leg="nose", Fz=4000.0, applied_at="axle")],
    ... )
    >>> case.strokes
    (0.25, 0.5, 0.75, 1.0)
    """

    paragraph: str
    condition: str
    mass: Annotated[float, Limits("kg", above=0.0)]
    cg: Cg
    shock: Shock
    attitude_deg: Annotated[float, Limits("deg", above=-90.0, below=90.0)]
    wheels: Annotated[Items[WheelLoad], Limits(items=0)]
    lift_ratio: Annotated[float, Limits("-", at_least=0.0, at_most=10.0, cause="given in percent?")] = 0.0
    level: Level = "limit"
    strokes: Annotated[
        Items[float],
        Limits("-", items=0, at_least=0.0, at_most=1.0, cause="given in percent or meters?"),
    ] = default(())

    def __post_init__(self) -> None:
        super().__post_init__()
        usual, who = STROKES[self.shock], self._owner()
        if self.shock != "landing" and self.strokes not in ((), usual):
            reject(f"{who}: strokes [-]", self.strokes, f"left out where the shock is {self.shock}",
                   "only a landing has a choice")  # fmt: skip
        object.__setattr__(self, "strokes", self.strokes or usual)
        legs = [wheel.leg for wheel in self.wheels]
        if len(set(legs)) < len(legs):
            reject(f"{who}: wheels", ", ".join(legs), "one load for a leg",
                   "each row is carried to the strut alone: add the loads of a leg up first")  # fmt: skip

    def _owner(self) -> str:
        return f"GroundCase {self.paragraph} {self.condition}"


Condition = Callable[[Airplane, Any], list[GroundCase]]
"""What a paragraph prescribes; its second argument is whatever describes the landing in that code."""


@checked
def pair(Fx: _Force, Fz: _Force, *, applied_at: Place) -> tuple[WheelLoad, WheelLoad]:
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

    Examples
    --------
    >>> [wheel.leg for wheel in pair(0.0, 6000.0, applied_at="axle")]
    ['starboard', 'port']
    """
    starboard = WheelLoad(leg="starboard", Fx=Fx, Fz=Fz, applied_at=applied_at)
    return starboard, WheelLoad(leg="port", Fx=Fx, Fz=Fz, applied_at=applied_at)


@checked
def standing(airplane: Airplane, paragraph: str, condition: str, cg: Cg, *wheels: WheelLoad) -> GroundCase:
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

    Examples
    --------
    >>> from tourer import TOURER  # examples/tourer.py
    >>> standing(TOURER, "X 2", "turn", "aft", *pair(0.0, 6000.0, applied_at="ground")).mass
    1240.0
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


def resting(airplane: Airplane, cg: Cg) -> dict[Leg, WheelLoad]:
    """Static reactions of the standing airplane at maximum mass, at the ground, by leg."""
    at = stance(airplane, cg)
    nose, mains = split(airplane.max_mass * g, at.nose_arm, at.main_arm)
    loads = {wheel.leg: wheel for wheel in pair(0.0, float(mains) / 2, applied_at="ground")}
    return loads | {"nose": WheelLoad(leg="nose", Fz=float(nose), applied_at="ground")}
