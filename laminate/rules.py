"""Lay-up rules: yes or no, and the reason.

These are habits of good practice rather than physics: each has its exceptions, so each is asked by
itself and nothing here refuses a laminate. The default limits are common practice (no single source);
collected for instance in J. A. Bailie, R. P. Ley, A. Pasricha, A Summary and Review of Composite
Laminate Design Guidelines, NASA contract NAS1-19347, 1997 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from materials.checks import number, reject, sequence, whole

if TYPE_CHECKING:
    from laminate.stack import Laminate, Ply


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """Answer of one rule; true or false as a condition.

    Parameters
    ----------
    rule : str
        What was asked.
    holds : bool
        Whether the laminate keeps the rule.
    reason : str
        The place or the number that decides.
    """

    rule: str
    holds: bool
    reason: str

    def __bool__(self) -> bool:
        return self.holds

    def __str__(self) -> str:
        return f"{self.rule}: {'yes' if self.holds else 'no'}, {self.reason}"


def symmetry(laminate: Laminate) -> Verdict:
    """Whether the stack is its own mirror image, so that it stays flat in cure.

    Parameters
    ----------
    laminate : Laminate
        The stack.

    Returns
    -------
    Verdict
        No: the first pair of plies that differ.
    """
    plies = _plies(laminate)
    n = len(plies)
    for i in range(n // 2):
        low, high = plies[i], plies[n - 1 - i]
        if (low.lamina, low.direction_deg) != (high.lamina, high.direction_deg):
            return _no("symmetric", f"ply {i + 1} is {_name(low)}, ply {n - i} is {_name(high)}")
    return _yes("symmetric", "each ply has its mirror image")


def balance(laminate: Laminate) -> Verdict:
    """Whether each off-axis ply has a partner at the opposite angle, so that pulling does not shear.

    Parameters
    ----------
    laminate : Laminate
        The stack.

    Returns
    -------
    Verdict
        No: the ply with more of one sign than of the other.
    """
    plies = _plies(laminate)
    same = [(p.lamina, p.direction_deg) for p in plies]
    for ply in dict.fromkeys(plies):
        have = same.count((ply.lamina, ply.direction_deg))
        opposite = same.count((ply.lamina, ply.mirrored.direction_deg))
        if have != opposite:
            return _no("balanced", f"{have} times {_name(ply)}, {opposite} times the opposite angle")
    return _yes("balanced", "as many plies at each angle as at its opposite")


def least_share(
    laminate: Laminate, *, share: float = 0.10, directions_deg: Sequence[float] = (0.0, 45.0, -45.0, 90.0)
) -> Verdict:
    """Whether each direction has at least its share of the thickness, so that no load is left to resin alone.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    share : float
        Least part of the thickness in each direction [-].
    directions_deg : sequence of float
        The directions asked for [deg].

    Returns
    -------
    Verdict
        No: the direction with the smallest share.

    Raises
    ------
    ValueError
        If the share is not within 0 to 1 / number of directions.

    Notes
    -----
    A weave that is alike both ways counts by halves in its two directions.
    """
    given = sequence("least_share: directions_deg [deg]", directions_deg)
    wanted = [number("least_share: directions_deg [deg]", d) % 180 for d in given]
    limit = number(
        "least_share: share [-]", share, at_least=0.0, at_most=1 / len(wanted), cause="given in percent?"
    )
    have = dict.fromkeys(wanted, 0.0)
    for ply in _plies(laminate):
        for direction, part in _directions(ply):
            for d in wanted:
                if abs((d - direction + 90) % 180 - 90) < 1e-6:
                    have[d] += part * ply.lamina.thickness / laminate.thickness
    lowest = min(have, key=have.__getitem__)
    shown = lowest - 180 if lowest > 90 else lowest
    reason = f"least is {have[lowest]:.1%} at {shown:g} deg, {limit:.1%} wanted"
    # a share made of equal plies is exact but for rounding
    return _answer(f"least share in {len(wanted)} directions", have[lowest] >= limit - 1e-9, reason)


def contiguity(laminate: Laminate, *, most: int = 4, thickness: float | None = None) -> Verdict:
    """Whether no block of plies of one direction is so thick that it splits by itself.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    most : int
        Largest number of neighboring plies in the same direction [-].
    thickness : float, optional
        Largest thickness of such a block [m].

    Returns
    -------
    Verdict
        No: the first block that is too thick.

    Raises
    ------
    ValueError
        If `most` is not whole and positive, or the thickness not positive or above 20 mm.
    """
    most = whole("contiguity: most [-]", most, at_least=1)
    if thickness is not None:
        what = "contiguity: thickness [m]"
        thickness = number(what, thickness, above=0.0, at_most=0.02, cause="given in mm?")
    first, largest = 1, 0
    for direction, group in groupby(_plies(laminate), key=lambda p: p.direction_deg):
        block = list(group)
        size = sum(p.lamina.thickness for p in block)
        shown = direction - 180 if direction > 90 else direction
        place = f"{len(block)} plies from ply {first} on at {shown:g} deg, {size * 1e3:.3g} mm together"
        if len(block) > most:
            return _no("contiguity", f"{place}; at most {most} plies")
        if thickness is not None and size > thickness * (1 + 1e-9):
            return _no("contiguity", f"{place}; at most {thickness * 1e3:.3g} mm")
        first, largest = first + len(block), max(largest, len(block))
    return _yes("contiguity", f"no more than {largest} neighboring plies alike, {most} allowed")


def outer_plies(
    laminate: Laminate, *, directions_deg: Sequence[float] = (45.0, -45.0), count: int = 1
) -> Verdict:
    """Whether the outer plies lie in the wanted directions, off the load, where handling and impact hit.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    directions_deg : sequence of float
        Directions allowed on the faces [deg].
    count : int
        Number of plies asked for on each face [-].

    Returns
    -------
    Verdict
        No: the first outer ply in another direction.

    Raises
    ------
    ValueError
        If no direction is given or the count is not whole and positive.
    """
    count = whole("outer_plies: count [-]", count, at_least=1)
    given = sequence("outer_plies: directions_deg [deg]", directions_deg)
    allowed = [number("outer_plies: directions_deg [deg]", d) for d in given]
    plies = _plies(laminate)
    for i in [*range(count), *range(-1, -count - 1, -1)]:
        if not -len(plies) <= i < len(plies):
            return _no("outer plies", f"{len(plies)} plies, {count} wanted on each face")
        if not any(abs((d - a + 90) % 180 - 90) < 1e-6 for a in allowed for d, _ in _directions(plies[i])):
            return _no("outer plies", f"ply {i % len(plies) + 1} is {_name(plies[i])}")
    return _yes("outer plies", "both faces in " + ", ".join(f"{a:g}" for a in allowed) + " deg")


def angle_step(laminate: Laminate, *, most_deg: float = 60.0) -> Verdict:
    """Whether neighboring plies turn by no more than a limit, which keeps the shear between them low.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    most_deg : float
        Largest turn between neighbors; the largest there can be is 90 [deg].

    Returns
    -------
    Verdict
        No: the first pair that turns by more.

    Raises
    ------
    ValueError
        If the limit is outside 0 to 90.

    Notes
    -----
    A weave that is alike both ways turns by 45 deg at most against another, and is compared by the
    nearer of its two directions.
    """
    limit = number("angle_step: most_deg [deg]", most_deg, at_least=0.0, at_most=90.0)
    largest = 0.0
    for i, (low, high) in enumerate(pairwise(_plies(laminate))):
        turns = [abs((a - b + 90) % 180 - 90) for a, _ in _directions(low) for b, _ in _directions(high)]
        if min(turns) > limit + 1e-6:
            return _no(
                "angle step", f"{min(turns):g} deg from ply {i + 1} to ply {i + 2}, at most {limit:g} allowed"
            )
        largest = max(largest, min(turns))
    return _yes("angle step", f"at most {largest:g} deg between neighbors, {limit:g} allowed")


RULES = (symmetry, balance, least_share, contiguity, outer_plies, angle_step)
"""The rules in the order in which a designer asks them."""


def check(laminate: Laminate) -> tuple[Verdict, ...]:
    """Ask all rules with their default limits.

    Parameters
    ----------
    laminate : Laminate
        The stack.

    Returns
    -------
    tuple of Verdict
        One per rule, in the order of `RULES`.
    """
    return tuple(rule(laminate) for rule in RULES)


def _plies(laminate: Laminate) -> tuple[Ply, ...]:
    plies = getattr(laminate, "plies", None)
    if plies is None:
        reject("Lay-up rule: laminate", repr(laminate), "a Laminate")
    return tuple(plies)


def _directions(ply: Ply) -> list[tuple[float, float]]:
    """Fiber directions of a ply and the part of its thickness in each."""
    if ply.is_even:
        return [(ply.direction_deg, 0.5), (ply.direction_deg + 90, 0.5)]
    return [(ply.direction_deg, 1.0)]


def _name(ply: Ply) -> str:
    return f"{ply.lamina.name} at {ply.angle_deg:g} deg"


def _answer(rule: str, holds: bool, reason: str) -> Verdict:
    return Verdict(rule=rule, holds=bool(holds), reason=reason)


def _yes(rule: str, reason: str) -> Verdict:
    return _answer(rule, True, reason)


def _no(rule: str, reason: str) -> Verdict:
    return _answer(rule, False, reason)
