"""Lay-up rules: yes or no, and the reason.

These are habits of good practice rather than physics. Each has its exceptions, so each is a function
of its own and nothing here refuses a laminate. The default limits are common practice (no single source);
collected for instance in J. A. Bailie, R. P. Ley, A. Pasricha, A Summary and Review of Composite
Laminate Design Guidelines, NASA contract NAS1-19347, 1997 (from memory).
"""

from collections.abc import Sequence
from itertools import groupby, pairwise
from typing import Annotated

from laminate.stack import Laminate, Ply
from materials.checks import Frozen, Limits, checked, number

__all__ = [
    "Verdict",
    "angle_step",
    "balance",
    "check",
    "contiguity",
    "least_share",
    "outer_plies",
    "symmetry",
]

Directions = Annotated[Sequence[float], Limits("deg")]


class Verdict(Frozen, eq=True):
    """Answer of one rule; true or false as a condition.

    Parameters
    ----------
    rule : str
        Name of the rule.
    holds : bool
        Whether the laminate keeps the rule.
    reason : str
        The place or the number that decides.

    Examples
    --------
    >>> verdict = Verdict(rule="symmetric", holds=False, reason="ply 1 is carbon at 0 deg, ply 2 at 90")
    >>> print(verdict)
    symmetric: no, ply 1 is carbon at 0 deg, ply 2 at 90
    >>> bool(verdict)
    False
    """

    rule: str
    holds: bool
    reason: str

    def __bool__(self) -> bool:
        return self.holds

    def __str__(self) -> str:
        return f"{self.rule}: {'yes' if self.holds else 'no'}, {self.reason}"


@checked
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

    Examples
    --------
    >>> import materials
    >>> print(symmetry(Laminate.from_code("[0/90]", materials.lamina("T300/5208"))))
    symmetric: no, ply 1 is T300/5208 at 0 deg, ply 2 is T300/5208 at 90 deg
    """
    plies = laminate.plies
    n = len(plies)
    for i in range(n // 2):
        low, high = plies[i], plies[n - 1 - i]
        if (low.lamina, low.direction_deg) != (high.lamina, high.direction_deg):
            return _no("symmetric", f"ply {i + 1} is {_name(low)}, ply {n - i} is {_name(high)}")
    return _yes("symmetric", "each ply has its mirror image")


@checked
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

    Examples
    --------
    >>> import materials
    >>> print(balance(Laminate.from_code("[45/0]s", materials.lamina("T300/5208"))))
    balanced: no, 2 times T300/5208 at 45 deg, 0 times the opposite angle
    """
    same = [(p.lamina, p.direction_deg) for p in laminate.plies]
    for ply in dict.fromkeys(laminate.plies):
        have = same.count((ply.lamina, ply.direction_deg))
        opposite = same.count((ply.lamina, ply.mirrored.direction_deg))
        if have != opposite:
            return _no("balanced", f"{have} times {_name(ply)}, {opposite} times the opposite angle")
    return _yes("balanced", "as many plies at each angle as at its opposite")


@checked
def least_share(
    laminate: Laminate,
    *,
    share: Annotated[float, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")] = 0.10,
    directions_deg: Directions = (0.0, 45.0, -45.0, 90.0),
) -> Verdict:
    """Whether each direction has at least its share of the thickness, so that resin alone carries no load.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    share : float
        Least part of the thickness in each direction [-].
    directions_deg : sequence of float
        The directions that need the share [deg].

    Returns
    -------
    Verdict
        No: the direction with the smallest share.

    Raises
    ------
    ValueError: if the share is not within 0 to 1 / number of directions.

    Notes
    -----
    A weave that is alike both ways counts by halves in its two directions.

    Examples
    --------
    >>> import materials
    >>> print(least_share(Laminate.from_code("[0_4/±45]s", materials.lamina("T300/5208"))))
    least share in 4 directions: no, least is 0.0% at 90 deg, 10.0% wanted
    """
    wanted = [d % 180 for d in directions_deg]
    what = "least_share: share, for each of the directions [-]"
    number(what, share, at_most=1 / len(wanted), cause="given in percent?")
    have = dict.fromkeys(wanted, 0.0)
    for ply in laminate.plies:
        for d in wanted:
            have[d] += share_of(ply, d) * ply.lamina.thickness / laminate.thickness
    lowest = min(have, key=have.__getitem__)
    reason = f"least is {have[lowest]:.1%} at {_shown(lowest):g} deg, {share:.1%} wanted"
    enough = have[lowest] >= share - 1e-9  # a share made of equal plies is exact but for rounding
    return Verdict(rule=f"least share in {len(wanted)} directions", holds=enough, reason=reason)


@checked
def contiguity(
    laminate: Laminate,
    *,
    most: Annotated[int, Limits("-", at_least=1)] = 4,
    thickness: Annotated[float | None, Limits("m", above=0.0, at_most=0.02, cause="given in mm?")] = None,
) -> Verdict:
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
    ValueError: if `most` is not whole and positive, or the thickness not positive or above 20 mm.

    Examples
    --------
    >>> import materials
    >>> print(contiguity(Laminate.from_code("[90/0_5]T", materials.lamina("T300/5208"))))
    contiguity: no, 5 plies from ply 2 on at 0 deg, 0.625 mm together; at most 4 plies
    """
    first, largest = 1, 0
    for direction, group in groupby(laminate.plies, key=lambda p: p.direction_deg):
        block = list(group)
        size = sum(p.lamina.thickness for p in block)
        place = f"{len(block)} plies from ply {first} on at {_shown(direction):g} deg, {size * 1e3:.3g} mm together"
        if len(block) > most:
            return _no("contiguity", f"{place}; at most {most} plies")
        if thickness is not None and size > thickness * (1 + 1e-9):
            return _no("contiguity", f"{place}; at most {thickness * 1e3:.3g} mm")
        first, largest = first + len(block), max(largest, len(block))
    return _yes("contiguity", f"no more than {largest} neighboring plies alike, {most} allowed")


@checked
def outer_plies(
    laminate: Laminate,
    *,
    directions_deg: Directions = (45.0, -45.0),
    count: Annotated[int, Limits("-", at_least=1)] = 1,
) -> Verdict:
    """Whether the outer plies, which take handling and impact damage, lie off the direction of the load.

    Parameters
    ----------
    laminate : Laminate
        The stack.
    directions_deg : sequence of float
        Directions allowed on the faces [deg].
    count : int
        Number of plies on each face that the rule looks at [-].

    Returns
    -------
    Verdict
        No: the first outer ply in another direction.

    Raises
    ------
    ValueError: if no direction is given or the count is not whole and positive.

    Examples
    --------
    >>> import materials
    >>> print(outer_plies(Laminate.from_code("[±45/0/90]s", materials.lamina("T300/5208"))))
    outer plies: yes, both faces in 45, -45 deg
    """
    plies = laminate.plies
    for i in [*range(count), *range(-1, -count - 1, -1)]:
        if not -len(plies) <= i < len(plies):
            return _no("outer plies", f"{len(plies)} plies, {count} wanted on each face")
        if not any(share_of(plies[i], allowed) for allowed in directions_deg):
            return _no("outer plies", f"ply {i % len(plies) + 1} is {_name(plies[i])}")
    return _yes("outer plies", "both faces in " + ", ".join(f"{a:g}" for a in directions_deg) + " deg")


@checked
def angle_step(
    laminate: Laminate, *, most_deg: Annotated[float, Limits("deg", at_least=0.0, at_most=90.0)] = 60.0
) -> Verdict:
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
    ValueError: if the limit is outside 0 to 90.

    Notes
    -----
    A weave that is alike both ways turns by 45 deg at most against another, and is compared by the
    nearer of its two directions.

    Examples
    --------
    >>> import materials
    >>> print(angle_step(Laminate.from_code("[0/90]s", materials.lamina("T300/5208"))))
    angle step: no, 90 deg from ply 1 to ply 2, at most 60 allowed
    """
    largest = 0.0
    for i, (low, high) in enumerate(pairwise(laminate.plies)):
        turn = least_turn(low, high)
        if turn > most_deg + 1e-6:
            place = f"{turn:g} deg from ply {i + 1} to ply {i + 2}"
            return _no("angle step", f"{place}, at most {most_deg:g} allowed")
        largest = max(largest, turn)
    return _yes("angle step", f"at most {largest:g} deg between neighbors, {most_deg:g} allowed")


RULES = (symmetry, balance, least_share, contiguity, outer_plies, angle_step)
"""The rules in the order in which a designer checks them."""


@checked
def check(laminate: Laminate) -> tuple[Verdict, ...]:
    """Apply all rules with their default limits.

    Parameters
    ----------
    laminate : Laminate
        The stack.

    Returns
    -------
    tuple of Verdict
        One per rule, in the order of `RULES`.

    Examples
    --------
    >>> import materials
    >>> stack = Laminate.from_code("[±45/0/90]s", materials.lamina("T300/5208"))
    >>> [verdict.rule for verdict in check(stack) if not verdict]
    ['angle step']
    """
    return tuple(rule(laminate) for rule in RULES)


def _directions(ply: Ply) -> list[tuple[float, float]]:
    """Fiber directions of a ply and the part of its thickness in each."""
    if ply.is_even:
        return [(ply.direction_deg, 0.5), (ply.direction_deg + 90, 0.5)]
    return [(ply.direction_deg, 1.0)]


def share_of(ply: Ply, direction: float) -> float:
    """Part of the thickness of a ply with fibers in a direction [deg]."""
    return sum(part for own, part in _directions(ply) if _turn(own, direction) < 1e-6)


def least_turn(one: Ply, other: Ply) -> float:
    """Least angle between fibers of two plies [deg]."""
    return min(_turn(a, b) for a, _ in _directions(one) for b, _ in _directions(other))


def _turn(one: float, other: float) -> float:
    """Angle between two directions, 0 to 90 [deg]."""
    return abs((one - other + 90) % 180 - 90)


def _shown(direction: float) -> float:
    """A direction between 0 and 180 as it is written, -90 to 90 [deg]."""
    return direction - 180 if direction > 90 else direction


def _name(ply: Ply) -> str:
    return f"{ply.lamina.name} at {ply.angle_deg:g} deg"


def _yes(rule: str, reason: str) -> Verdict:
    return Verdict(rule=rule, holds=True, reason=reason)


def _no(rule: str, reason: str) -> Verdict:
    return Verdict(rule=rule, holds=False, reason=reason)
