"""Where the plies of a wall lie: in a block of tape, at a surface, at a ply drop. In-situ strengths follow from it."""

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from itertools import product
from math import inf

import numpy as np

from beam.strength.check import Check, applies, meets
from beam.strength.requirement import Requirement, Service
from beam.strut import PlyBook
from beam.strut.point_loads import SNAP, before
from laminate import Laminate
from laminate.ply_blocks import (
    Block,
    blocks,
    crack_compliance,
    in_plane_shear,
    shear_data,
    transverse_tension,
)
from materials import Allowables, Lamina

Side = tuple[float, bool] | None
"""Thickness of the block of a tape ply [m], and whether it is outer; None where nothing beside it holds a crack."""
Place = tuple[Side, ...]
"""The block of a ply, of both sides of a ply drop; the weaker counts. Empty: the strength of the coupon."""


def ply_places(book: PlyBook, wall: str, station: float, length: float) -> dict[int, Place]:
    """Places of the tape plies of a wall by their index there, at a station [m] of a strut of some length [m]."""
    numbers = book.numbers(wall, station).tolist()
    found: dict[int, dict[Side, None]] = {number: {} for number in numbers}
    for side in _sides(book, station, length):
        beside = book.numbers(wall, side).tolist()
        for block in _blocks(book.laminate(wall, side)) if beside else ():
            for i in range(block.first, block.last + 1):
                if beside[i] in found:
                    found[beside[i]][_side(block)] = None
    return {i: tuple(found[number]) for i, number in enumerate(numbers) if found[number]}


@lru_cache(maxsize=4096)
def _blocks(laminate: Laminate) -> tuple[Block, ...]:
    """Blocks of tape of a laminate, found once."""
    return blocks(laminate)


def _sides(book: PlyBook, station: float, length: float) -> tuple[float, ...]:
    """The station, or both sides of the ply drop that it stands at [m]."""
    near = book.drops[np.abs(book.drops - station) <= 3.0 * SNAP * length]
    return (station,) if not near.size else (float(before(near[0], length)), float(near[0]))


def _side(block: Block) -> Side:
    """What decides the strength in a block, thicknesses that differ by rounding alike."""
    return None if block.alone else (round(block.thickness, 9), block.outer)


@lru_cache(maxsize=4096)
def judged_allowables(
    check: Check, service: Service, lamina: Lamina, place: Place = (), *, thin: bool = True
) -> tuple[Allowables, str]:
    """Allowables that a check takes of a lamina as it is in a service, and what was changed of them.

    With `place` Yt, and S where the check says so, are those in situ; without `thin` by the thick form alone, on the
    safe side.
    """
    a = service.allowables(lamina)
    if check.in_situ and place and lamina.allowables is not None:
        stated = lamina.allowables.before or lamina.allowables
        L22, GIc = crack_compliance(lamina), lamina.GIc if thin else None
        Yt, form = min(
            (stated.Yt, "coupon")
            if side is None
            else transverse_tension(*side, Yt=stated.Yt, GIc=GIc, L22=L22)
            for side in place
        )
        S, said = _shear(lamina, stated.S, place, thin) if check.in_situ_shear else (stated.S, "")
        raised = replace(stated, Yt=Yt, S=S).times(*lamina.allowables.factors, *service.factors)
        return raised, f"Yt in situ, {form} form{said}"
    if check.criterion.takes == "stress" or check.caps is not None:
        return a, ""
    linear = a.S / lamina.G12
    if a.g12 is None or a.g12 <= linear * (1.0 + 1e-9):
        return a, ""
    return replace(a, g12=linear), f"g12 cut from {a.g12:.4g} to S/G12 = {linear:.4g}"


def refuse_lacking(requirement: Requirement, laminae: Iterable[Lamina]) -> None:
    """Refuse a check that decides and does not suit a lamina that it is made for, or lacks what it needs of it."""
    cases = product(requirement.states, requirement.ply_checks, dict.fromkeys(laminae))
    for state, check, given in cases:
        lamina = state.lamina(given)
        if not check.decides or not meets(check, state.name) or not applies(check, lamina):
            continue
        try:
            place: Place = ((lamina.thickness, False),) if check.in_situ and lamina.kind == "tape" else ()
            allowables = judged_allowables(check, state, lamina, place)[0]
            check.criterion.for_kind(lamina.kind).surfaces(allowables)
        except ValueError as error:
            raise ValueError(f"Requirement: check '{check.mode}': lamina '{lamina.name}': {error}") from None


def _shear(lamina: Lamina, S: float, place: Place, thin: bool) -> tuple[float, str]:
    """Shear strength in situ from that of the coupon [Pa], and its form in words."""
    GIIc, b = shear_data(lamina)
    out = min(
        S
        if side is None
        else in_plane_shear(side[0] if thin else inf, side[1], S=S, G12=lamina.G12, GIIc=GIIc, b=b)
        for side in place
    )
    return out, ", S in situ, nonlinear form"
