"""From first-ply to last-ply failure: discount the ply that fails, and load the rest again."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import partial

import numpy as np
from numpy.typing import ArrayLike

from laminate import lamina_stiffness, plate
from laminate.failure import MODE_OF, STRAIN_CRITERIA, Mode, tsai_wu
from laminate.failure.modes import ModeArray
from laminate.failure.parameters import Criterion, known_criterion, known_parameters
from laminate.governing import allowables_of
from laminate.stack import Laminate
from materials.allowables import Allowables
from materials.checks import Array, array, flag, number, reject
from materials.kinds import instance, instances

TOGETHER = 1e-6
"""Plies whose ratios differ by less than this, relatively, go in one step: mirror images do."""


CARRIED = 1e-9
"""Part of a load, relatively, that may be left over by rounding where it is carried in full."""


class Damage(Enum):
    """What is left of a ply."""

    NONE = "intact"
    MATRIX = "carries along the fiber only"
    PLY = "carries nothing"


@dataclass(frozen=True, kw_only=True)
class PlyFailure:
    """One ply that goes.

    Parameters
    ----------
    ply : int
        Place in the stack, counted from z = -h/2 [-].
    surface : int
        Surface at which the criterion is met: 0 the lower, 1 the upper [-].
    mode : Mode
        How it goes.
    """

    ply: int
    surface: int
    mode: Mode


@dataclass(frozen=True, kw_only=True, eq=False)
class Step:
    """One step of the discount.

    Parameters
    ----------
    factor : float
        Factor on the load at which the plies go, in the laminate as discounted before. It can be lower
        than that of an earlier step: then they go together with those of the earlier step [-].
    failures : tuple of PlyFailure
        The plies that go.
    deformation : ndarray, shape (6,)
        Midplane strain [-] and curvature [1/m] at this factor before they go, expansion included.
    """

    factor: float
    failures: tuple[PlyFailure, ...]
    deformation: Array


@dataclass(frozen=True, kw_only=True)
class Progression:
    """Result of `progressive`.

    Parameters
    ----------
    steps : tuple of Step
        In the order in which plies go; empty if the load never reaches a criterion.
    """

    steps: tuple[Step, ...]

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
    """Plane-stress stiffness of each ply after some have failed.

    Parameters
    ----------
    laminate : Laminate
        The stack before any failure.
    damage : sequence of Damage, length ply
        State of each ply.
    matrix_left : float
        Share of E2, G12 and nu12 left where the matrix has failed [-].
    fiber_left : float
        Share of E1, E2 and G12 left where the ply is out [-].

    Returns
    -------
    ndarray, shape (ply, 3, 3)
        Q in ply axes [Pa].

    Raises
    ------
    ValueError
        If there is not one state for each ply, or a share is not from 0 to 1.
    """
    Q = np.array(instance("discounted_stiffness: laminate", laminate, Laminate).Q)
    states = instances("discounted_stiffness: damage", damage, Damage)
    if len(states) != len(Q):
        reject("discounted_stiffness: damage", f"{len(states)} states", f"one for each of {len(Q)} plies")
    matrix_left = number("discounted_stiffness: matrix_left [-]", matrix_left, at_least=0.0, at_most=1.0)
    fiber_left = number("discounted_stiffness: fiber_left [-]", fiber_left, at_least=0.0, at_most=1.0)
    for i, (ply, state) in enumerate(zip(laminate.plies, states, strict=True)):
        m, k = ply.lamina, matrix_left
        if state is Damage.PLY:
            Q[i] *= fiber_left
        elif state is Damage.MATRIX and k > 0:
            Q[i] = lamina_stiffness.q_reduced(m.E1, m.E2 * k, m.G12 * k, m.nu12 * k)
        elif state is Damage.MATRIX:
            Q[i] = np.diag([m.E1, 0.0, 0.0])
    return Q


def progressive(
    laminate: Laminate,
    N: ArrayLike = (0.0, 0.0, 0.0),
    M: ArrayLike = (0.0, 0.0, 0.0),
    *,
    criterion: Criterion = tsai_wu,
    parameters: Mapping[str, float] | None = None,
    temperature_change: float = 0.0,
    moisture: float = 0.0,
    complete: bool = False,
    matrix_left: float = 1e-6,
    fiber_left: float = 1e-6,
) -> Progression:
    """Load a laminate in proportion until nothing is left that carries the load.

    In each step the ply with the smallest strength ratio goes. After a failure of the matrix it keeps its
    stiffness along the fiber and is judged by its fiber stress alone; after a failure of the fiber it
    is out. Residual stress is found again for the discounted laminate.

    Parameters
    ----------
    laminate : Laminate
        The stack; every lamina needs allowables.
    N, M : array_like, shape (3,)
        Running loads (Nx, Ny, Nxy) [N/m] and moments (Mx, My, Mxy) [N] at factor 1.
    criterion : callable
        One of ``laminate.failure.CRITERIA``.
    parameters : mapping of str to float, optional
        Parameters of the criterion by name, as in ``{"interaction": 0.0}``; they hold for all plies [any].
    temperature_change : float
        Uniform temperature above the stress-free one [K].
    moisture : float
        Uniform absorbed moisture as mass fraction [-].
    complete : bool
        Whether a ply is out altogether after a failure of any mode (complete discount).
    matrix_left : float
        Share of E2, G12 and nu12 left where the matrix has failed, above 0 [-].
    fiber_left : float
        Share of E1, E2 and G12 left where the ply is out, above 0 [-].

    Returns
    -------
    Progression
        The load factor, plies and modes of each step.

    Raises
    ------
    ValueError
        If the load is zero or not a single case, a lamina has no allowables, the criterion is not one of
        `CRITERIA` or has no parameter of a given name, or a share is out of its range.

    Notes
    -----
    The end is reached when the load cannot be in equilibrium with what has not failed: intact plies, and
    the fibers of plies whose matrix has failed. That does not depend on the shares left, which
    only keep the stiffness from being singular. A woven ply has fibers along axis 2 too: its "matrix"
    modes break them, and `complete` is the right choice.

    References
    ----------
    R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, sec. 4.5; A. K. Kaw, Mechanics of
    Composite Materials, 2nd ed. 2006, sec. 5.3 (complete discount of a ply).
    """
    instance("progressive: laminate", laminate, Laminate)
    known_criterion("progressive", criterion)
    flag("progressive: complete", complete)
    (options,) = known_parameters("progressive", parameters, criterion)
    mode_of: Callable[..., ModeArray] = MODE_OF[criterion]
    judge = partial(criterion, **options), partial(mode_of, **options)
    left = {
        "matrix_left": number("progressive: matrix_left [-]", matrix_left, above=0.0, at_most=1.0),
        "fiber_left": number("progressive: fiber_left [-]", fiber_left, above=0.0, at_most=1.0),
    }
    forces = array("progressive: N [N/m]", N, last=(3,))
    moments = array("progressive: M [N]", M, last=(3,))
    if forces.ndim + moments.ndim > 2:
        reject("progressive: N, M", f"shapes {forces.shape}, {moments.shape}", "(3,) each, one load case")
    load = np.concatenate([forces, moments])
    if not load.any():
        reject("progressive: load", "zero", "a load that grows")
    allowables = [allowables_of(ply.lamina) for ply in laminate.plies]

    free = laminate.ply_free_strain(
        [[number("progressive: temperature_change [K]", temperature_change)]],
        [[number("progressive: moisture [-]", moisture)]],
    )
    back = lamina_stiffness.strain_rotation(-laminate.angles_deg)
    free_in_laminate_axes = np.einsum("pij,psj->psi", back, free)

    damage = [Damage.NONE] * len(laminate.plies)
    steps: list[Step] = []
    while _carries(laminate, damage, load):
        Q = discounted_stiffness(laminate, damage, **left)
        q_bar = lamina_stiffness.q_rotated(Q, laminate.angles_deg)
        compliance = plate.inverse(plate.abd(q_bar, laminate.ply_thickness))
        held = plate.thermal_resultants(q_bar, laminate.ply_thickness, free_in_laminate_axes)
        growing, fixed = load @ compliance, held @ compliance
        parts = [laminate.strain_recovery @ growing, laminate.strain_recovery @ fixed - free]
        if criterion not in STRAIN_CRITERIA:
            parts = [np.einsum("pij,psj->psi", Q, part) for part in parts]
        ratio, mode = _ply_ratios(allowables, damage, parts, *judge)
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
            second = damage[failure.ply] is Damage.MATRIX
            out = complete or second or failure.mode.in_fiber
            damage[failure.ply] = Damage.PLY if out else Damage.MATRIX
    return Progression(steps=tuple(steps))


def _ply_ratios(
    allowables: list[Allowables],
    damage: list[Damage],
    parts: list[Array],
    ratio_of: Callable[..., Array],
    mode_of: Callable[..., ModeArray],
) -> tuple[Array, ModeArray]:
    """Ratio and mode of each ply surface; a ply with failed matrix has only its fiber to fail."""
    growing, fixed = parts
    ratio, mode = np.full(growing.shape[:-1], np.inf), np.zeros(growing.shape[:-1], dtype=np.int8)
    for i, (limits, state) in enumerate(zip(allowables, damage, strict=True)):
        if state is Damage.PLY:
            continue
        judged = (1.0, 1.0, 1.0) if state is Damage.NONE else (1.0, 0.0, 0.0)
        load, residual = growing[i] * judged, fixed[i] * judged
        ratio[i] = ratio_of(load, limits, residual=residual)
        mode[i] = mode_of(load, limits, residual=residual)
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
