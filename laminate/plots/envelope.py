"""Failure envelopes of a stack: the mean stress or the strain at which the first ply fails."""

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Annotated, Any, Literal

import numpy as np
from matplotlib.axes import Axes

from laminate.failure import CRITERIA, Criterion
from laminate.governing import Moisture, TemperatureChange, allowables_of
from laminate.plots.canvas import axes_or_new, looks, shown, tidy, unit
from laminate.stack import Laminate, Ply
from materials.allowables import Factor
from materials.checks import Array, Limits, checked, reject

__all__ = ["first_ply_envelope", "plot_envelope"]

AXES = {
    "stress": {"x": r"$\sigma_x$", "y": r"$\sigma_y$", "xy": r"$\tau_{xy}$"},
    "strain": {"x": r"$\epsilon_x$", "y": r"$\epsilon_y$", "xy": r"$\gamma_{xy}$"},
}
COMPONENTS = ("x", "y", "xy")
DIRECTIONS = 1441

Space = Literal["stress", "strain"]
Component = Literal["x", "y", "xy"]


@checked
def first_ply_envelope(
    laminate: Laminate,
    criterion: Criterion,
    *,
    space: Space = "stress",
    plane: tuple[Component, Component] = ("x", "y"),
    third: Annotated[float, Limits("any")] = 0.0,
    temperature_change: TemperatureChange = 0.0,
    moisture: Moisture = 0.0,
) -> Array:
    """Points at which the first ply fails, in all directions from the origin of two components.

    Parameters
    ----------
    laminate : Laminate
        The stack; every lamina needs allowables.
    criterion : Criterion
        Any of `laminate.failure`.
    space : {"stress", "strain"}
        The mean stress over the thickness N/h, or the strain made by the load, without curvature.
    plane : tuple of two str
        The components that change, of "x", "y" and "xy".
    third : float
        The component that stays, present before the others grow [Pa] or [-].
    temperature_change : float
        Uniform temperature above the stress-free one, constant while the load grows [K].
    moisture : float
        Uniform moisture as mass fraction, constant while the load grows [-].

    Returns
    -------
    ndarray, shape (point, 2)
        Points in the plane [Pa] or [-]; NaN where nothing fails in a direction.

    Raises
    ------
    ValueError
        If the two components are the same, the laminate fails before any load, or a lamina has no allowables.

    Notes
    -----
    A point is R d, with d a direction and R the lowest strength ratio over plies and surfaces.

    Examples
    --------
    >>> from laminate.failure import MaxStress
    >>> from materials import lamina
    >>> ply = Laminate.from_code("[0]T", lamina("T300/5208"))
    >>> points = first_ply_envelope(ply, MaxStress())
    >>> (points[[0, 360]] / 1e6).round(1).tolist()
    [[1500.0, 0.0], [0.0, 40.0]]
    """
    if plane[0] == plane[1]:
        reject("first_ply_envelope: plane", plane, f"two different ones of {COMPONENTS}")
    first, second = (COMPONENTS.index(name) for name in plane)
    constant = np.zeros(3)
    constant[3 - first - second] = third
    state = laminate.response(temperature_change=temperature_change, moisture=moisture)
    stress, strain = _grown(laminate, constant, space)
    in_strain = criterion.takes == "strain"
    residual = state.residual_strain + strain if in_strain else state.residual_stress + stress

    def points(directions: Array) -> Array:
        load = np.zeros((len(directions), 3))
        load[:, first], load[:, second] = directions.T
        ratio = _ratio(laminate, criterion, _grown(laminate, load, space)[in_strain], residual)
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


def _ratio(laminate: Laminate, criterion: Criterion, state: Array, residual: Array) -> Array:
    """Lowest ratio over plies and surfaces, (...)."""
    each = [
        criterion.for_kind(ply.lamina.kind)._ratio(
            state[..., i, :, :], allowables_of(ply.lamina), residual[i]
        )
        for i, ply in enumerate(laminate.plies)
    ]
    return np.asarray(np.min(each, axis=(0, -1)))


@checked
def plot_envelope(
    laminate: Laminate,
    criteria: Sequence[Criterion] | None = None,
    *,
    space: Space = "stress",
    plane: tuple[Component, Component] = ("x", "y"),
    third: Annotated[float, Limits("any")] = 0.0,
    temperature_change: TemperatureChange = 0.0,
    moisture: Moisture = 0.0,
    factors: Sequence[Factor] = (),
    ax: Axes | None = None,
    units: Literal["SI", "US"] = "SI",
    **line: Any,
) -> Axes:
    """Draw the first-ply failure envelope of a stack by several criteria.

    Parameters
    ----------
    laminate : Laminate
        The stack; a single ply at 0 degrees gives the envelope of the lamina.
    criteria : sequence of Criterion, optional
        One line each; the legend names parameters that differ from the default. Those of `CRITERIA` that judge
        every ply of the stack if not given.
    space : {"stress", "strain"}
        The mean stress over the thickness N/h, or the strain made by the load, without curvature.
    plane : tuple of two str
        The components on the axes, of "x", "y" and "xy".
    third : float
        The component that stays [Pa] or [-].
    temperature_change : float
        Uniform temperature above the stress-free one [K].
    moisture : float
        Uniform moisture as mass fraction [-].
    factors : sequence of Factor
        Knockdowns of a service on the allowables of each lamina, on top of their own.
    ax : Axes, optional
        Where to draw; new axes if none.
    units : {"SI", "US"}
        Units of the axes.
    **line
        Passed to ``Axes.plot``.

    Returns
    -------
    Axes
        One line for each criterion and, where knockdowns act, a thin dotted one of the same color before them.

    Raises
    ------
    ValueError
        As `first_ply_envelope`.
    """
    ax = axes_or_new(ax)
    if criteria is None:
        kinds = {ply.lamina.kind for ply in laminate.plies}
        criteria = [criterion for criterion in CRITERIA if kinds <= set(criterion.suits)]
    reduced, pristine = _knocked_down(laminate, factors), _pristine(laminate)
    drawn = [(reduced, criterion) for criterion in criteria]
    if reduced != pristine:
        drawn += [(pristine, criterion) for criterion in criteria]
    for i, ((stack, criterion), style) in enumerate(zip(drawn, 2 * looks(len(criteria)), strict=False)):
        points = first_ply_envelope(
            stack, criterion, space=space, plane=plane, third=third,
            temperature_change=temperature_change, moisture=moisture,
        )  # fmt: skip
        x, y = shown(points, space, units).T
        # Wide ones lie below narrow ones, so that criteria that agree are all seen.
        width = np.interp(i, [0, max(len(criteria) - 1, 1)], [3.0, 1.2])
        own: dict[str, Any] = {"label": _label(criterion), "linewidth": width} | style
        if i >= len(criteria):
            label = "before knockdowns" if i == len(criteria) else "_one label for all"
            own |= {"label": label, "linewidth": 1.0, "linestyle": ":", "zorder": 1.5}
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


def _knocked_down(laminate: Laminate, factors: Sequence[Factor]) -> Laminate:
    """The stack with the allowables of each lamina times factors."""
    return Laminate(
        Ply(replace(ply.lamina, allowables=allowables_of(ply.lamina).times(*factors)), ply.angle_deg)
        for ply in laminate.plies
    )


def _pristine(laminate: Laminate) -> Laminate:
    """The stack with allowables before any knockdown."""
    return Laminate(
        Ply(replace(ply.lamina, allowables=(own := allowables_of(ply.lamina)).before or own), ply.angle_deg)
        for ply in laminate.plies
    )


def _label(criterion: Criterion) -> str:
    """Title of a criterion with the parameters that differ from their default."""
    values = {f.name: (getattr(criterion, f.name), f.default) for f in fields(criterion)}
    told = (f"{name.replace('_', ' ')} {value}" for name, (value, usual) in values.items() if value != usual)
    return ", ".join((criterion.title, *told))
