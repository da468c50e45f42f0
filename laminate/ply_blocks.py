"""In-situ strengths: a crack across the fibers of a ply is held by the plies beside it, the more the thinner its block.

::

      z      45  ----------  block of one ply, outer: it touches a free surface
      ^       0  ==========  block of two plies, embedded
      |       0  ==========
      |     -45  ----------  block of one ply, embedded

A slit as deep as the block grows along the fibers at half the energy release rate of growth through the block; the
coupon of the transverse tension test holds a slit at its edge (factor 1.12).
"""

from collections.abc import Sequence
from dataclasses import replace
from math import pi, sqrt
from typing import Annotated

from laminate.governing import allowables_of
from laminate.stack import Laminate, Ply
from materials.allowables import AllowableName, Allowables
from materials.checks import Frozen, Limits, checked, reject
from materials.lamina import Lamina
from materials.source import noted

__all__ = ["Block", "blocks", "in_situ", "in_situ_at_drop"]

SAME_DIRECTION_DEG = 15.0
"""Adjacent tape plies that differ by less lie in one block; own choice, a thicker block is weaker."""

EDGE = 1.12
"""Stress intensity of a slit at an edge over that of a slit inside."""


class Block(Frozen, eq=True):
    """Adjacent tape plies of about one direction, through which a crack can run.

    Parameters
    ----------
    first, last : int
        Its plies, counted from z = -h/2 [-].
    thickness : float
        Thickness of the block [m].
    outer : bool
        Whether it touches a free surface, or a layer that carries no fiber.
    alone : bool
        Whether nothing that carries fiber lies beside it, so that nothing holds a crack in it.

    Examples
    --------
    >>> Block(first=1, last=2, thickness=0.25e-3, outer=False, alone=False).last
    2
    """

    first: Annotated[int, Limits("-", at_least=0)]
    last: Annotated[int, Limits("-", at_least=0)]
    thickness: Annotated[float, Limits("m", above=0.0, at_most=1.0, cause="given in mm?")]
    outer: bool
    alone: bool


@checked
def blocks(laminate: Laminate, *, without_fiber: Sequence[Lamina] = ()) -> tuple[Block, ...]:
    """Blocks of tape plies in a stack.

    Parameters
    ----------
    laminate : Laminate
        The whole stack.
    without_fiber : sequence of Lamina
        Laminae that carry no fiber, as a core, a film or a liner: a block beside one is an outer block.

    Returns
    -------
    tuple of Block
        From z = -h/2 up.

    Notes
    -----
    Tape plies whose directions differ by less than 15 deg lie in one block; so do the two at the midplane of a
    symmetric stack. A fabric ends a block and counts as a neighbor, since one of its yarns crosses the crack.

    Examples
    --------
    >>> from materials import lamina
    >>> stack = Laminate.from_code("[0/45/90]s", lamina("IM7/8552"))
    >>> [(b.first, b.last, b.outer) for b in blocks(stack)]
    [(0, 0, True), (1, 1, False), (2, 3, False), (4, 4, False), (5, 5, True)]
    """
    return _blocks(laminate.plies, without_fiber)


@checked
def in_situ(
    laminate: Laminate,
    *,
    thin: bool | None = None,
    shear: bool = False,
    without_fiber: Sequence[Lamina] = (),
) -> tuple[Allowables, ...]:
    """Allowables of each ply with the transverse tensile strength that it has in its block.

    Parameters
    ----------
    laminate : Laminate
        The whole stack; every lamina needs allowables.
    thin : bool, optional
        Whether the thin form counts too, which needs GIc of every tape. None: where GIc is given. False: the thick form
        alone, on the safe side.
    shear : bool
        Whether the shear strength is raised too, by the nonlinear form, which needs GIIc and `shear_nonlinearity`.
    without_fiber : sequence of Lamina
        As in `blocks`.

    Returns
    -------
    tuple of Allowables, one for each ply
        Yt (and S) raised, the values before any factor; then the factors of the lamina's allowables act on the result.
        A fabric, and a block with nothing beside it, keep their own. The source of Yt (and S) names block and form.

    Raises
    ------
    ValueError
        If a lamina has no allowables, or lacks what a declared form needs.

    Notes
    -----
    With t the thickness of the block and L22 = 2 (1/E2 - nu12^2/E1):

    embedded  Yt = max(sqrt(8 GIc / (pi t L22)), 1.12 sqrt(2) Yt);
    outer     Yt = max((2/1.12) sqrt(GIc / (pi t L22)), Yt);
    shear     S = sqrt((sqrt(1 + b phi G12^2) - 1) / (3 b G12)), embedded the larger of phi = 48 GIIc / (pi t) and
    phi = 12 S^2/G12 + 18 b S^4, outer phi = 24 GIIc / (pi t), and S at least.

    The forms for linear shear are left out: they give more than twice the strength of a thin block.

    References
    ----------
    P. P. Camanho, C. G. Dávila, S. T. Pinho, L. Iannucci, P. Robinson, Prediction of in situ strengths and matrix
    cracking in composites under transverse tension and in-plane shear, Composites A 37 (2006) 165-176 (from memory). It
    prints nu21^2/E1 in L22; nu12^2/E1 follows from plane strain along the fibers, 0.3 % of strength apart.

    Examples
    --------
    >>> from materials import lamina
    >>> stack = Laminate.from_code("[0/45/90]s", lamina("IM7/8552"))
    >>> [round(a.Yt / 1e6, 1) for a in in_situ(stack, thin=False)][:3]
    [62.3, 98.7, 98.7]
    """
    return _in_situ(laminate.plies, thin, shear, without_fiber)


@checked
def in_situ_at_drop(
    laminate: Laminate,
    continues: Sequence[bool],
    *,
    thin: bool | None = None,
    shear: bool = False,
    without_fiber: Sequence[Lamina] = (),
) -> tuple[Allowables, ...]:
    """In-situ allowables at the end of some plies: each ply has the lower of its strengths on the two sides.

    Parameters
    ----------
    laminate : Laminate
        The stack on the thick side.
    continues : sequence of bool
        For each of its plies, whether it goes on to the thin side.
    thin, shear, without_fiber
        As in `in_situ`.

    Returns
    -------
    tuple of Allowables, one for each ply of the thick side
        A ply that ends has its strengths of the thick side.

    Raises
    ------
    ValueError
        If no ply continues, or as `in_situ`.

    Examples
    --------
    >>> from materials import lamina
    >>> stack = Laminate.from_code("[45/0/-45/0/45]T", lamina("IM7/8552"))
    >>> both = in_situ_at_drop(stack, [True, True, False, True, True])
    >>> [[round(a.Yt / 1e6, 1) for a in side] for side in (in_situ(stack), both)]
    [[99.1, 156.9, 156.9, 156.9, 99.1], [99.1, 110.9, 156.9, 110.9, 99.1]]
    """
    if len(continues) != len(laminate.plies):
        got = f"{len(continues)} of them"
        reject("in_situ_at_drop: continues", got, f"one for each of the {len(laminate.plies)} plies")
    if not any(continues):
        reject("in_situ_at_drop: continues", "no ply", "at least one that goes on", "use in_situ at an end")
    out = list(_in_situ(laminate.plies, thin, shear, without_fiber))
    places = [i for i, goes_on in enumerate(continues) if goes_on]
    beyond = _in_situ([laminate.plies[i] for i in places], thin, shear, without_fiber)
    for i, other in zip(places, beyond, strict=True):
        here = out[i].before or out[i]
        there = other.before or other
        if there.Yt < here.Yt or there.S < here.S:
            lower = there if there.Yt < here.Yt else here
            out[i] = replace(lower, S=min(here.S, there.S)).times(*other.factors)
    return tuple(out)


def _blocks(plies: Sequence[Ply], without_fiber: Sequence[Lamina]) -> tuple[Block, ...]:
    """Blocks of tape plies, from the first ply on."""
    bare = [ply.lamina in without_fiber for ply in plies]
    spans: list[tuple[int, int]] = []
    for i, ply in enumerate(plies):
        if bare[i] or ply.lamina.kind != "tape":
            continue
        if spans and spans[-1][1] == i - 1 and _apart_deg(ply, plies[i - 1]) < SAME_DIRECTION_DEG:
            spans[-1] = spans[-1][0], i
        else:
            spans.append((i, i))
    out = []
    for first, last in spans:
        beside = [0 <= i < len(plies) and not bare[i] for i in (first - 1, last + 1)]
        thickness = sum(ply.lamina.thickness for ply in plies[first : last + 1])
        out.append(
            Block(first=first, last=last, thickness=thickness, outer=not all(beside), alone=not any(beside))
        )
    return tuple(out)


def _apart_deg(one: Ply, other: Ply) -> float:
    """Smaller angle between the fibers of two plies [deg]."""
    turn = abs(one.angle_deg - other.angle_deg) % 180
    return min(turn, 180 - turn)


def _in_situ(
    plies: Sequence[Ply], thin: bool | None, shear: bool, without_fiber: Sequence[Lamina]
) -> tuple[Allowables, ...]:
    """In-situ allowables of each ply."""
    out = [allowables_of(ply.lamina) for ply in plies]
    found: dict[tuple[int, float, bool, bool], Allowables] = {}
    for block in _blocks(plies, without_fiber):
        for i in range(block.first, block.last + 1):
            key = id(plies[i].lamina), block.thickness, block.outer, block.alone
            if key not in found:
                found[key] = _raised(plies[i].lamina, out[i], block, thin, shear)
            out[i] = found[key]
    return tuple(out)


def _raised(
    lamina: Lamina, allowables: Allowables, block: Block, thin: bool | None, shear: bool
) -> Allowables:
    """Allowables of one lamina in a block."""
    what, given = f"in_situ: lamina '{lamina.name}'", allowables.before or allowables
    if thin and lamina.GIc is None:
        cause = "ASTM D5528 gives it; the thick form stands in for the thin one: thin=False"
        reject(f"{what}: GIc [J/m2]", None, "given for the thin form", cause)
    GIIc, b = shear_data(lamina) if shear else (0.0, 0.0)
    if block.alone:
        return allowables
    place = f"{block.thickness * 1e3:.3g} mm {'outer' if block.outer else 'embedded'} block"
    GIc = None if thin is False else lamina.GIc
    Yt, form = transverse_tension(
        block.thickness, block.outer, Yt=given.Yt, GIc=GIc, L22=crack_compliance(lamina)
    )
    S, said = given.S, ""
    if shear:
        S = in_plane_shear(block.thickness, block.outer, S=given.S, G12=lamina.G12, GIIc=GIIc, b=b)
        said = ", S nonlinear form"
    if GIc is None and thin is None:
        form += ", no GIc (ASTM D5528)"
    note = f"in situ: {place}, Yt {form} form{said}"
    raised: tuple[AllowableName, ...] = ("Yt", "S") if shear else ("Yt",)
    sources = [pair for pair in given.sources if pair[0] not in raised]
    sources += [(name, noted(given.source_of(name), note)) for name in raised]
    return replace(given, Yt=Yt, S=S, sources=sources).times(*allowables.factors)


def shear_data(lamina: Lamina) -> tuple[float, float]:
    """GIIc [J/m2] and b [1/Pa3] of a lamina; stops if one is not given, and says which test gives it."""
    GIIc, b = lamina.GIIc, lamina.shear_nonlinearity
    if not b or GIIc is None:
        missing, got = ("GIIc [J/m2]", GIIc) if GIIc is None else ("shear_nonlinearity [1/Pa3]", b)
        cause = "ASTM D7905 gives GIIc and the curve of ASTM D3518 b; the coupon's S stands in: shear=False"
        reject(
            f"in_situ: lamina '{lamina.name}': {missing}",
            got,
            "given, above 0, for the nonlinear form",
            cause,
        )
    return GIIc, b


def crack_compliance(lamina: Lamina) -> float:
    """L22 = 2 (1/E2 - nu12^2/E1), by which stress squared opens a crack along the fibers [1/Pa]."""
    return 2 * (1 / lamina.E2 - lamina.nu12**2 / lamina.E1)


def transverse_tension(
    thickness: float, outer: bool, *, Yt: float, GIc: float | None, L22: float
) -> tuple[float, str]:
    """Transverse tensile strength in situ [Pa], and whether the thin or the thick form gives it."""
    thick = Yt if outer else EDGE * sqrt(2) * Yt
    driven = 0.0 if GIc is None else GIc / (pi * thickness * L22)
    thin = 2 / EDGE * sqrt(driven) if outer else sqrt(8 * driven)
    return (thin, "thin") if thin > thick else (thick, "thick")


def in_plane_shear(thickness: float, outer: bool, *, S: float, G12: float, GIIc: float, b: float) -> float:
    """Shear strength in situ with g12 = t12/G12 + b t12^3, b > 0 [Pa]."""
    driven = GIIc / (pi * thickness)
    phis = (24 * driven,) if outer else (48 * driven, 12 * S**2 / G12 + 18 * b * S**4)
    return max(S, *(sqrt((sqrt(1 + b * phi * G12**2) - 1) / (3 * b * G12)) for phi in phis))
