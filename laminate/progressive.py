"""From first-ply to last-ply failure: discount the plies that fail, and load the rest again."""

from collections.abc import Sequence
from enum import Enum
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from laminate import lamina_stiffness, plate
from laminate.failure import Criterion, Mode, TsaiWu
from laminate.failure.modes import ModeArray
from laminate.governing import Moisture, TemperatureChange, allowables_of_plies
from laminate.stack import Laminate
from materials.allowables import Allowables
from materials.checks import Array, Frozen, Items, Limits, Numbers, checked, reject

__all__ = ["PlyFailure", "Progression", "Step", "progressive"]

Share = Annotated[float, Limits("-", above=0.0, at_most=1.0)]

TOGETHER = 1e-6
"""Plies whose ratios differ by less than this, relatively, fail in one step: mirror images do."""

CARRIED = 1e-9
"""Part of a load, relatively, that may be left over by rounding where it is carried in full."""


class Damage(Enum):
    """What is left of a ply."""

    NONE = "intact"
    MATRIX = "carries along the fiber only"
    PLY = "carries nothing"


class PlyFailure(Frozen, eq=True):
    """Failure of one ply.

    Parameters
    ----------
    ply : int
        Place in the stack, counted from z = -h/2 [-].
    surface : int
        Surface at which the criterion is met: 0 the lower, 1 the upper [-].
    mode : Mode
        How it fails.

    Examples
    --------
    >>> PlyFailure(ply=2, surface=0, mode=Mode.MATRIX_TENSION).mode.label
    'matrix tension'
    """

    ply: Annotated[int, Limits("-", at_least=0)]
    surface: Annotated[int, Limits("-", at_least=0, at_most=1)]
    mode: Mode


class Step(Frozen):
    """One step of the discount.

    Parameters
    ----------
    factor : float
        Factor on the load at which the plies fail, in the laminate as discounted before. It can be lower
        than that of an earlier step: then they fail together with those of the earlier step [-].
    failures : tuple of PlyFailure
        The plies that fail.
    deformation : array_like, shape (6,)
        Midplane strain [-] and curvature [1/m] at this factor before they fail, expansion included.

    Examples
    --------
    >>> failure = PlyFailure(ply=0, surface=0, mode=Mode.FIBER_TENSION)
    >>> Step(factor=1.5, failures=[failure], deformation=[1e-3, 0, 0, 0, 0, 0]).failures[0].ply
    0
    """

    factor: Annotated[float, Limits("-", at_least=0.0)]
    failures: Items[PlyFailure]
    deformation: Annotated[Numbers, Limits("any", shape=(6,))]


class Progression(Frozen):
    """Result of `progressive`.

    Parameters
    ----------
    steps : tuple of Step
        In the order in which plies fail; empty if the load never reaches a criterion.

    Examples
    --------
    >>> Progression(steps=()).last_ply
    inf
    """

    steps: Annotated[Items[Step], Limits(items=0)]

    @property
    def first_ply(self) -> float:
        """Factor on the load at first-ply failure, inf if none fails [-]."""
        return self.steps[0].factor if self.steps else np.inf

    @property
    def last_ply(self) -> float:
        """Largest factor on the load that the laminate carries, inf if none fails [-]."""
        return max((step.factor for step in self.steps), default=np.inf)


def discounted_stiffness(
    laminate: Laminate, damage: Sequence[Damage], *, matrix_left: float, fiber_left: float
) -> Array:
    """Plane-stress stiffness Q of each ply in its axes after some have failed, (ply, 3, 3) [Pa]."""
    Q = np.array(laminate.Q)
    for i, (ply, state) in enumerate(zip(laminate.plies, damage, strict=True)):
        m, k = ply.lamina, matrix_left
        if state is Damage.PLY:
            Q[i] *= fiber_left
        elif state is Damage.MATRIX and k > 0:
            Q[i] = lamina_stiffness.q_reduced(m.E1, m.E2 * k, m.G12 * k, m.nu12 * k)
        elif state is Damage.MATRIX:
            Q[i] = np.diag([m.E1, 0.0, 0.0])
    return Q


@checked
def progressive(
    laminate: Laminate,
    N: Annotated[ArrayLike, Limits("N/m", shape=(3,))] = (0.0, 0.0, 0.0),
    M: Annotated[ArrayLike, Limits("N", shape=(3,))] = (0.0, 0.0, 0.0),
    *,
    criterion: Criterion = TsaiWu(),  # noqa: B008
    temperature_change: TemperatureChange = 0.0,
    moisture: Moisture = 0.0,
    complete: bool = False,
    matrix_left: Share = 1e-6,
    fiber_left: Share = 1e-6,
    allowables: Sequence[Allowables] | None = None,
) -> Progression:
    """Load a laminate in proportion until nothing is left that carries the load.

    In each step the plies with the smallest strength ratio fail. After a failure of the matrix a ply keeps its
    stiffness along the fiber, and only its fiber stress counts; after a failure of the fiber it carries nothing.
    Residual stress is found again for the discounted laminate.

    Parameters
    ----------
    laminate : Laminate
        The stack; every lamina needs allowables.
    N, M : array_like, shape (3,)
        Running loads (Nx, Ny, Nxy) [N/m] and moments (Mx, My, Mxy) [N] at factor 1.
    criterion : Criterion
        Any of `laminate.failure`.
    temperature_change : float
        Uniform temperature above the stress-free one [K].
    moisture : float
        Uniform absorbed moisture as mass fraction [-].
    complete : bool
        Whether a ply carries nothing after a failure of any mode (complete discount).
    matrix_left : float
        Share of E2, G12 and nu12 left where the matrix has failed, above 0 [-].
    fiber_left : float
        Share of E1, E2 and G12 left where the ply carries nothing, above 0 [-].
    allowables : sequence of Allowables, optional
        One for each ply, as from `laminate.in_situ`; those of the laminae if not given.

    Returns
    -------
    Progression
        The load factor, plies and modes of each step.

    Raises
    ------
    ValueError
        If the load is zero or not a single case, a lamina has no allowables, or a share is out of its range.

    Notes
    -----
    The end is reached when the load cannot be in equilibrium with what has not failed: intact plies, and
    the fibers of plies whose matrix has failed. That does not depend on the shares left, which
    only keep the stiffness from being singular. A fabric has fibers along axis 2 too: by maximum stress its "matrix"
    modes break them, and `complete` is the right choice; matrix criteria for tape refuse it.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 4.5; A. K. Kaw, Mechanics of
    Composite Materials, 2nd ed. 2006, sec. 5.3 (complete discount of a ply).

    Examples
    --------
    >>> from materials import lamina
    >>> found = progressive(Laminate.from_code("[0/90]s", lamina("T300/5208")), [1e5, 0.0, 0.0])
    >>> round(found.first_ply, 2), round(found.last_ply, 2)
    (1.87, 3.19)
    >>> [failure.mode.label for failure in found.steps[0].failures]
    ['matrix tension', 'matrix tension']
    """
    load = np.concatenate([np.asarray(N), np.asarray(M)])
    if not load.any():
        reject("progressive: N, M", "zero", "a load that grows")
    limits = allowables_of_plies(laminate, allowables)
    criteria = [criterion.for_kind(ply.lamina.kind) for ply in laminate.plies]
    free = laminate.ply_free_strain([[temperature_change]], [[moisture]])
    back = lamina_stiffness.strain_rotation(-laminate.angles_deg)
    free_in_laminate_axes = np.einsum("pij,psj->psi", back, free)

    damage = [Damage.NONE] * len(laminate.plies)
    steps: list[Step] = []
    while _carries(laminate, damage, load):
        Q = discounted_stiffness(laminate, damage, matrix_left=matrix_left, fiber_left=fiber_left)
        q_bar = lamina_stiffness.q_rotated(Q, laminate.angles_deg)
        compliance = plate.inverse(plate.abd(q_bar, laminate.ply_thickness))
        thermal = plate.thermal_resultants(q_bar, laminate.ply_thickness, free_in_laminate_axes)
        growing, fixed = load @ compliance, thermal @ compliance
        parts = [laminate.strain_recovery @ growing, laminate.strain_recovery @ fixed - free]
        if criterion.takes == "stress":
            parts = [np.einsum("pij,psj->psi", Q, part) for part in parts]
        ratio, mode = _ply_ratios(criteria, limits, damage, *parts)
        factor = float(ratio.min())
        if factor == np.inf:
            break
        going = np.flatnonzero(ratio.min(axis=1) <= factor * (1 + TOGETHER))
        failures = tuple(
            PlyFailure(ply=int(i), surface=int(s), mode=Mode(mode[i, s]))
            for i, s in zip(going, ratio[going].argmin(axis=1), strict=True)
        )
        steps.append(Step(factor=factor, failures=failures, deformation=factor * growing + fixed))
        for failure in failures:
            again = damage[failure.ply] is Damage.MATRIX
            out = complete or again or failure.mode.in_fiber
            damage[failure.ply] = Damage.PLY if out else Damage.MATRIX
    return Progression(steps=tuple(steps))


def _ply_ratios(
    criteria: list[Criterion],
    allowables: Sequence[Allowables],
    damage: list[Damage],
    growing: Array,
    fixed: Array,
) -> tuple[Array, ModeArray]:
    """Ratio and mode of each ply surface, (ply, surface); a ply with failed matrix has only its fiber to fail."""
    ratio, mode = np.full(growing.shape[:-1], np.inf), np.zeros(growing.shape[:-1], dtype=np.int8)
    for i, (criterion, limits, state) in enumerate(zip(criteria, allowables, damage, strict=True)):
        if state is not Damage.PLY:
            counts = (1.0, 1.0, 1.0) if state is Damage.NONE else (1.0, 0.0, 0.0)
            ratio[i], mode[i] = criterion._ratio_and_mode(growing[i] * counts, limits, fixed[i] * counts)
    return ratio, mode


def _carries(laminate: Laminate, damage: list[Damage], load: Array) -> bool:
    """Whether what has not failed can be in equilibrium with the load, without any discounted stiffness."""
    Q = discounted_stiffness(laminate, damage, matrix_left=0.0, fiber_left=0.0)
    abd = plate.abd(lamina_stiffness.q_rotated(Q, laminate.angles_deg), laminate.ply_thickness)
    h = laminate.thickness
    scale = np.array([1, 1, 1, 1 / h, 1 / h, 1 / h])
    abd, load = abd * scale[:, None] * scale, load * scale
    carried = abd @ (np.linalg.pinv(abd, rcond=CARRIED, hermitian=True) @ load)
    return bool(np.linalg.norm(carried - load) <= CARRIED * np.linalg.norm(load))
