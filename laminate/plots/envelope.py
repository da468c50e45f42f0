"""Failure envelopes of a stack: the mean stress or the strain at which the first ply fails."""

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from laminate.failure import CRITERIA, STRAIN_CRITERIA
from laminate.failure.parameters import Criterion, known_criterion, known_parameters
from laminate.governing import allowables_of
from laminate.plots.canvas import axes_or_new, looks, shown, tidy, unit
from laminate.stack import Laminate
from materials.checks import Array, number, reject
from materials.kinds import instance

NAMES = {
    "max_stress": "maximum stress", "max_strain": "maximum strain", "tsai_hill": "Tsai-Hill",
    "hoffman": "Hoffman", "tsai_wu": "Tsai-Wu", "hashin": "Hashin", "puck": "Puck", "larc03": "LaRC03",
}  # fmt: skip
AXES = {
    "stress": {"x": r"$\sigma_x$", "y": r"$\sigma_y$", "xy": r"$\tau_{xy}$"},
    "strain": {"x": r"$\epsilon_x$", "y": r"$\epsilon_y$", "xy": r"$\gamma_{xy}$"},
}
DIRECTIONS = 1441


def first_ply_envelope(
    laminate: Laminate,
    criterion: Criterion,
    *,
    parameters: Mapping[str, float] | None = None,
    space: str = "stress",
    plane: tuple[str, str] = ("x", "y"),
    third: float = 0.0,
    temperature_change: float = 0.0,
    moisture: float = 0.0,
) -> Array:
    """Points at which the first ply fails, all the way round the origin of two components.

    Parameters
    ----------
    laminate : Laminate
        The stack; every lamina needs allowables.
    criterion : callable
        One of `laminate.failure.CRITERIA`.
    parameters : mapping of str to float, optional
        Parameters of the criterion by name, as in ``{"interaction": 0.0}`` [any].
    space : str
        "stress", the mean over the thickness N/h, or "strain", made by the load, with no curvature.
    plane : tuple of two str
        The components that change, of "x", "y" and "xy".
    third : float
        The component that stays, present before the others grow [Pa] or [-].
    temperature_change : float
        Uniform temperature above the stress-free one, kept while the load grows [K].
    moisture : float
        Uniform moisture as mass fraction, kept while the load grows [-].

    Returns
    -------
    ndarray, shape (point, 2)
        Points in the plane [Pa] or [-]; NaN where nothing fails in a direction.

    Raises
    ------
    ValueError
        If the criterion, its parameter, the space or the plane is unknown, the laminate fails before any
        load, or a lamina has no allowables.
    """
    instance("first_ply_envelope: laminate", laminate, Laminate)
    known_criterion("envelope", criterion)
    (options,) = known_parameters("envelope", parameters, criterion)
    judge = partial(criterion, **options)
    if space not in AXES:
        reject("envelope: space", repr(space), f"one of {tuple(AXES)}")
    names = tuple(AXES[space])
    if len(plane) != 2 or plane[0] == plane[1] or not set(plane) <= set(names):
        reject("envelope: plane", plane, f"two different ones of {names}")
    first, second = (names.index(name) for name in plane)
    kept = np.zeros(3)
    kept[3 - first - second] = number("envelope: third [Pa] or [-]", third)

    state = laminate.response(temperature_change=temperature_change, moisture=moisture)
    if state.shape != ():
        reject("envelope: temperature_change and moisture", "arrays", "one number each")
    stress, strain = _grown(laminate, kept, space)
    in_strain = criterion in STRAIN_CRITERIA
    residual = state.residual_strain + strain if in_strain else state.residual_stress + stress

    def points(directions: Array) -> Array:
        load = np.zeros((len(directions), 3))
        load[:, first], load[:, second] = directions.T
        ratio = _ratio(laminate, judge, _grown(laminate, load, space)[in_strain], residual)
        if not ratio.all():
            reject("envelope: third, temperature_change and moisture", "failure before any load", "less")
        return np.where(np.isfinite(ratio), ratio, np.nan)[:, None] * directions

    # Stretch the fan of directions to the shape of the envelope, so that slender ones get even points.
    size = np.nanmax(abs(points(np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]]))), axis=0)
    angle = np.linspace(0.0, 2.0 * np.pi, DIRECTIONS)
    return points(np.stack([size[0] * np.cos(angle), size[1] * np.sin(angle)], axis=-1))


def _grown(laminate: Laminate, load: Array, space: str) -> tuple[Array, Array]:
    """Stress and strain of every ply surface under mean stress or strain `load`, (..., ply, surface, 3)."""
    flat = np.concatenate([load, np.zeros_like(load)], axis=-1)
    deformation = flat if space == "strain" else laminate.thickness * flat @ laminate.compliance
    each = deformation[..., None, None, :, None]
    return (laminate.stress_recovery @ each)[..., 0], (laminate.strain_recovery @ each)[..., 0]


def _ratio(laminate: Laminate, judge: Criterion, state: Array, residual: Array) -> Array:
    """Lowest ratio over plies and surfaces, (...)."""
    each = [
        judge(state[..., i, :, :], allowables_of(ply.lamina), residual=residual[i])
        for i, ply in enumerate(laminate.plies)
    ]
    return np.asarray(np.min(each, axis=(0, -1)))


def plot_envelope(
    laminate: Laminate,
    criteria: Sequence[Criterion] = CRITERIA,
    *,
    parameters: Mapping[str, float] | None = None,
    space: str = "stress",
    plane: tuple[str, str] = ("x", "y"),
    third: float = 0.0,
    temperature_change: float = 0.0,
    moisture: float = 0.0,
    ax: Axes | None = None,
    units: str = "SI",
    **line: Any,
) -> Axes:
    """Draw the first-ply failure envelope of a stack by several criteria.

    Parameters
    ----------
    laminate : Laminate
        The stack; a single ply at 0 degrees gives the envelope of the lamina.
    criteria : sequence of callable
        Of `laminate.failure.CRITERIA`.
    parameters : mapping of str to float, optional
        Parameters by name; each goes to the criteria that have one of that name [any].
    space : str
        "stress", the mean over the thickness N/h, or "strain", made by the load, with no curvature.
    plane : tuple of two str
        The components on the axes, of "x", "y" and "xy".
    third : float
        The component that stays [Pa] or [-].
    temperature_change : float
        Uniform temperature above the stress-free one [K].
    moisture : float
        Uniform moisture as mass fraction [-].
    ax : Axes, optional
        Where to draw; new axes if none.
    units : str
        "SI" or "US".
    **line
        Passed to ``Axes.plot``.

    Returns
    -------
    Axes
        One line for each criterion.

    Raises
    ------
    ValueError
        As `first_ply_envelope`, or if there is no criterion, or none has a parameter of a given name.
    """
    instance("plot_envelope: laminate", laminate, Laminate)
    if not criteria:
        reject("plot_envelope: criteria", "none", "at least one of laminate.failure.CRITERIA")
    options = known_parameters(
        "plot_envelope", parameters, *(known_criterion("envelope", c) for c in criteria)
    )
    ax = axes_or_new(ax)
    for i, (criterion, style) in enumerate(zip(criteria, looks(len(criteria)), strict=True)):
        points = first_ply_envelope(
            laminate, criterion, parameters=options[i], space=space, plane=plane, third=third,
            temperature_change=temperature_change, moisture=moisture,
        )  # fmt: skip
        told = (f"{name.replace('_', ' ')} {value}" for name, value in options[i].items())
        label = ", ".join((NAMES[criterion.__name__], *told))
        x, y = shown(points, space, units).T
        # Wide ones lie below narrow ones, so that criteria that agree are all seen.
        width = np.interp(i, [0, max(len(criteria) - 1, 1)], [3.0, 1.2])
        own: dict[str, Any] = {"label": label, "linewidth": width} | style
        ax.plot(x, y, **(own | line))
    symbol = unit(space, units)[1]
    before = "mean " if space == "stress" else ""
    ax.set_xlabel(f"{before}{AXES[space][plane[0]]} [{symbol}]")
    ax.set_ylabel(f"{before}{AXES[space][plane[1]]} [{symbol}]")
    ax.axhline(0.0, color="#555555", linewidth=0.8, zorder=0)
    ax.axvline(0.0, color="#555555", linewidth=0.8, zorder=0)
    tidy(ax)
    ax.legend(loc="upper left", bbox_to_anchor=(1.01, 1.0), frameon=False, fontsize=9)
    return ax
