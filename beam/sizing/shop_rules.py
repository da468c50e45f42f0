"""Rules of the shop for the lay-up of every wall, as rules of a lattice: those of `laminate.rules`, for many lay-ups.

A rule judges laminates that are one stack of plies of which some are left out, in one pass through the stack.
"""

from abc import abstractmethod
from collections.abc import Sequence
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from laminate import Laminate, Ply, rules
from materials.checks import Frozen, Items, Limits, checked, default, reject

Present = NDArray[np.bool_]
"""Which plies of a stack are there, shape (laminate, ply)."""
_DIRECTIONS = Limits("deg", at_least=-360.0, at_most=360.0)


class ShopRule(Frozen, eq=True):
    """A rule for the laminate of a wall; its limits are the fields of each class below it."""

    @checked
    def verdict(self, laminate: Laminate) -> rules.Verdict:
        """Whether a laminate keeps the rule, and why."""
        return self._verdict(laminate)

    @abstractmethod
    def _verdict(self, laminate: Laminate) -> rules.Verdict:
        """The verdict of `laminate.rules`."""

    @abstractmethod
    def _holds(self, plies: Sequence[Ply], present: Present) -> Present:
        """Whether laminates of some of the plies keep the rule, (laminate,)."""


class Contiguity(ShopRule, eq=True):
    """No block of plies of one direction is so thick that it splits by itself, as `laminate.rules.contiguity`.

    Parameters
    ----------
    most : int
        Largest number of neighboring plies in the same direction [-].
    thickness : float, optional
        Largest thickness of such a block [m].

    Examples
    --------
    >>> from laminate import Laminate
    >>> from materials import lamina
    >>> print(Contiguity(most=6))
    at most 6 plies of one direction together
    >>> print(Contiguity(most=2).verdict(Laminate.from_code("[45/0_3]T", lamina("T300/5208"))))
    contiguity: no, 3 plies from ply 2 on at 0 deg, 0.375 mm together; at most 2 plies
    """

    most: Annotated[int, Limits("-", at_least=1)] = 4
    thickness: Annotated[float | None, Limits("m", above=0.0, at_most=0.02, cause="given in mm?")] = None

    def __str__(self) -> str:
        thick = "" if self.thickness is None else f", {self.thickness * 1e3:.3g} mm"
        return f"at most {self.most} plies{thick} of one direction together"

    def _verdict(self, laminate: Laminate) -> rules.Verdict:
        return rules.contiguity(laminate, most=self.most, thickness=self.thickness)

    def _holds(self, plies: Sequence[Ply], present: Present) -> Present:
        """Whether laminates of some of the plies keep the rule, (laminate,)."""
        limit = np.inf if self.thickness is None else self.thickness * (1 + 1e-9)
        last, out = np.full(len(present), np.nan), np.ones(len(present), dtype=bool)
        number, thick = np.zeros((2, len(present)))
        for ply, here in zip(plies, present.T, strict=True):
            same = last == ply.direction_deg
            number = np.where(here, np.where(same, number, 0) + 1, number)
            thick = np.where(here, np.where(same, thick, 0.0) + ply.lamina.thickness, thick)
            last = np.where(here, ply.direction_deg, last)
            out &= (number <= self.most) & (thick <= limit)
        return out


class LeastShare(ShopRule, eq=True):
    """Each direction has at least its share of the thickness, as `laminate.rules.least_share`.

    Parameters
    ----------
    share : float
        Least part of the thickness in each direction [-].
    directions_deg : sequence of float
        The directions that need the share [deg].

    Raises
    ------
    ValueError
        If the shares of all directions add up to more than 1.

    Examples
    --------
    >>> print(LeastShare(share=0.08, directions_deg=(90,)))
    at least 8 % of every wall at 90 deg
    """

    share: Annotated[float, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")] = 0.10
    directions_deg: Annotated[Items[float], _DIRECTIONS] = default((0.0, 45.0, -45.0, 90.0))

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.share * len(self.directions_deg) > 1:
            limit = f"at most 1 / {len(self.directions_deg)} directions"
            reject("LeastShare: share [-]", self.share, limit, "given in percent?")

    def __str__(self) -> str:
        return f"at least {self.share * 100:.3g} % of every wall at {_angles(self.directions_deg)} deg"

    def _verdict(self, laminate: Laminate) -> rules.Verdict:
        return rules.least_share(laminate, share=self.share, directions_deg=self.directions_deg)

    def _holds(self, plies: Sequence[Ply], present: Present) -> Present:
        """Whether laminates of some of the plies keep the rule, (laminate,)."""
        thickness = np.array([ply.lamina.thickness for ply in plies])
        part = np.array([[rules.share_of(ply, wanted) for wanted in self.directions_deg] for ply in plies])
        have = (present * thickness) @ part
        return np.asarray((have >= (self.share - 1e-9) * (present @ thickness)[:, None]).all(axis=1))


class AngleStep(ShopRule, eq=True):
    """Neighboring plies turn by no more than a limit, as `laminate.rules.angle_step`.

    Parameters
    ----------
    most_deg : float
        Largest turn between neighbors; the largest there can be is 90 [deg].

    Examples
    --------
    >>> print(AngleStep(most_deg=45))
    at most 45 deg from ply to ply
    """

    most_deg: Annotated[float, Limits("deg", at_least=0.0, at_most=90.0)] = 60.0

    def __str__(self) -> str:
        return f"at most {self.most_deg:g} deg from ply to ply"

    def _verdict(self, laminate: Laminate) -> rules.Verdict:
        return rules.angle_step(laminate, most_deg=self.most_deg)

    def _holds(self, plies: Sequence[Ply], present: Present) -> Present:
        """Whether laminates of some of the plies keep the rule, (laminate,)."""
        # The last row is that of no ply before.
        turn = np.zeros((len(plies) + 1, len(plies)))
        turn[:-1] = [[rules.least_turn(one, other) for other in plies] for one in plies]
        last, out = np.full(len(present), len(plies)), np.ones(len(present), dtype=bool)
        for slot, here in enumerate(present.T):
            out &= ~here | (turn[last, slot] <= self.most_deg + 1e-6)
            last = np.where(here, slot, last)
        return out


class OuterPlies(ShopRule, eq=True):
    """The outer plies lie in directions that bear handling and impact, as `laminate.rules.outer_plies`.

    Parameters
    ----------
    directions_deg : sequence of float
        Directions allowed on the faces [deg].
    count : int
        Number of plies on each face that the rule looks at [-].

    Examples
    --------
    >>> print(OuterPlies(count=2))
    2 outer plies on each face at 45, -45 deg
    """

    directions_deg: Annotated[Items[float], _DIRECTIONS] = default((45.0, -45.0))
    count: Annotated[int, Limits("-", at_least=1)] = 1

    def __str__(self) -> str:
        return f"{self.count} outer plies on each face at {_angles(self.directions_deg)} deg"

    def _verdict(self, laminate: Laminate) -> rules.Verdict:
        return rules.outer_plies(laminate, directions_deg=self.directions_deg, count=self.count)

    def _holds(self, plies: Sequence[Ply], present: Present) -> Present:
        """Whether laminates of some of the plies keep the rule, (laminate,)."""
        wrong = np.array(
            [not any(rules.share_of(ply, wanted) for wanted in self.directions_deg) for ply in plies]
        )
        out = present.sum(axis=1) >= self.count
        for one, off in ((present, wrong), (present[:, ::-1], wrong[::-1])):
            out &= ~(one & off & (np.cumsum(one, axis=1) <= self.count)).any(axis=1)
        return np.asarray(out)


def _angles(directions: Sequence[float]) -> str:
    """Angles as they are written."""
    return ", ".join(f"{one:g}" for one in directions)


def kept(rule: ShopRule, plies: Sequence[Ply], present: Present) -> Present:
    """Whether symmetric laminates keep a rule, (laminate,), of the plies of one half, from the surface inward."""
    return rule._holds((*plies, *plies[::-1]), np.concatenate([present, present[:, ::-1]], axis=1))
