"""Weight and balance: the range of the center of gravity at each mass, from the items on board and their arms."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from beam.loads.airplane import HEAVIEST
from materials.checks import Array, Frozen, Items, Limits, Numbers, checked, number, reject

if TYPE_CHECKING:
    from pandas import DataFrame

_Share = Annotated[float, Limits("kg", at_least=0.0, at_most=HEAVIEST, cause="given in pounds?")]


class MassItem(Frozen):
    """One item of a weight-and-balance sheet: empty airplane, fuel of a tank, people on a row, baggage.

    Parameters
    ----------
    name : str
        As in "fuel".
    mass : float
        Largest mass [kg].
    arm : array_like, shape (3,)
        Its center of gravity, on the axes of the airplane sheet: x aft, y starboard, z up [m].
    least : float, optional
        Smallest mass; the largest if not given, which makes the item fixed [kg].
    all_or_none : bool
        Whether the mass is either the smallest or the largest, nothing between.

    Raises
    ------
    ValueError
        If a mass is outside its limits, or the smallest exceeds the largest.

    Examples
    --------
    >>> fuel = MassItem(name="fuel", least=15, mass=160, arm=(2.50, 0.0, 0.10))
    >>> fuel.range
    (15.0, 160.0)
    >>> MassItem(name="empty", mass=760, arm=(2.44, 0.0, 0.20)).range
    (760.0, 760.0)
    """

    name: str
    mass: Annotated[float, Limits("kg", above=0.0, at_most=HEAVIEST, cause="given in pounds?")]
    arm: Annotated[
        Numbers, Limits("m", shape=(3,), at_least=-50.0, at_most=50.0, cause="given in mm or inches?")
    ]
    least: _Share | None = None
    all_or_none: bool = False

    def __post_init__(self) -> None:
        super().__post_init__()
        number(f"{self._owner()}: least [kg]", self.range[0], at_most=self.mass,
               cause="least and largest mass swapped?")  # fmt: skip

    @property
    def range(self) -> tuple[float, float]:
        """Smallest and largest mass [kg]."""
        return (self.mass if self.least is None else self.least, self.mass)


class CgRange(Frozen):
    """Extreme centers of gravity at each mass, and the loadings that give them.

    Parameters
    ----------
    items : iterable of MassItem
        The items.
    mass : array_like, shape (mass,)
        Masses of the airplane [kg].
    loading_forward, loading_aft : array_like, shape (mass, item)
        Mass of every item in the loading with the most forward and the most aft center of gravity [kg].

    Examples
    --------
    See `cg_range`.
    """

    items: Items[MassItem]
    mass: Annotated[Numbers, Limits("kg", shape=(-1,), above=0.0, at_most=HEAVIEST)]
    loading_forward: Annotated[Numbers, Limits("kg", shape=(-1, -1))]
    loading_aft: Annotated[Numbers, Limits("kg", shape=(-1, -1))]

    def __post_init__(self) -> None:
        super().__post_init__()
        want = (len(self.mass), len(self.items))
        for name in ("loading_forward", "loading_aft"):
            have = getattr(self, name)
            if have.shape != want or not np.allclose(have.sum(axis=1), self.mass, rtol=1e-6):
                got = f"shape {have.shape}, sums {have.sum(axis=-1).tolist()}"
                reject(f"CgRange: {name} [kg]", got, f"of shape {want} that sums to the masses")

    @property
    def forward(self) -> Array:
        """Most forward center of gravity at each mass, shape (mass, 3) [m]."""
        return self._centers(self.loading_forward)

    @property
    def aft(self) -> Array:
        """Most aft center of gravity at each mass, shape (mass, 3) [m]."""
        return self._centers(self.loading_aft)

    def _centers(self, loading: Array) -> Array:
        """Centers of gravity of loadings, shape (mass, item) [m]."""
        return loading @ np.array([item.arm for item in self.items]) / self.mass[:, None]

    @property
    def cg_forward(self) -> Array:
        """Most forward center over all masses, in the plane of symmetry, for the airplane sheet, shape (3,) [m]."""
        return self.forward[np.argmin(self.forward[:, 0])] * (1.0, 0.0, 1.0)

    @property
    def cg_aft(self) -> Array:
        """Most aft center over all masses, in the plane of symmetry, for the airplane sheet, shape (3,) [m]."""
        return self.aft[np.argmax(self.aft[:, 0])] * (1.0, 0.0, 1.0)

    @property
    def table(self) -> "DataFrame":
        """One row for each mass and end of the range: center of gravity, and the mass of every item."""
        from pandas import DataFrame

        rows = [
            {"mass [kg]": mass, "end": end, "x [m]": center[0], "y [m]": center[1], "z [m]": center[2]}
            | {
                f"{item.name} [kg]": part + 0.0
                for item, part in zip(self.items, loading.tolist(), strict=True)
            }
            for end, centers, loadings in (
                ("forward", self.forward, self.loading_forward),
                ("aft", self.aft, self.loading_aft),
            )
            for mass, center, loading in zip(self.mass, centers, loadings, strict=True)
        ]
        return DataFrame(rows)


@checked
def cg_range(
    items: Sequence[MassItem],
    mass: Annotated[ArrayLike, Limits("kg", above=0.0, at_most=HEAVIEST, cause="given in pounds?")],
) -> CgRange:
    """Return the range of the center of gravity at each mass, over all loadings.

    Parameters
    ----------
    items : sequence of MassItem
        Items on board, each once.
    mass : array_like, shape (...)
        Masses of the airplane, such as the maximum and the landing mass [kg].

    Returns
    -------
    CgRange
        Extreme centers and their loadings; `cg_forward` and `cg_aft` are those of the airplane sheet.

    Raises
    ------
    ValueError
        If the items at their least are heavier than a mass, or lighter than it at their most, or two have one name.

    Notes
    -----
    Least and largest sum(m_i x_i) / m under sum(m_i) = m and the limits of every m_i: a linear program, with a whole
    number for each item that is on board or not. Its optimum is exact. Items that may take any mass between their
    limits make the range at least as wide as items in steps.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from tourer import TOURER  # examples/tourer.py
    >>> from brake_stop import ITEMS  # examples/brake_stop.py
    >>> found = cg_range(ITEMS, [TOURER.max_mass, TOURER.landing_mass])
    >>> found.forward[:, 0].round(3).tolist(), found.aft[:, 0].round(3).tolist()
    ([2.465, 2.445], [2.524, 2.533])
    >>> sheet = replace(TOURER, cg_forward=found.cg_forward, cg_aft=found.cg_aft)
    """
    names = [item.name for item in items]
    if len(set(names)) < len(names):
        reject("cg_range: items", names, "of different names", "an item given twice?")
    low, high = np.array([item.range for item in items]).T
    masses = np.ravel(mass)
    arms = np.array([item.arm[0] for item in items])
    for one in masses.tolist():
        number("cg_range: items at their least, sum [kg]", float(low.sum()), at_most=one * (1 + 1e-12),
               cause=f"the items are heavier than the mass of {one:g}")  # fmt: skip
        number("cg_range: items at their most, sum [kg]", float(high.sum()), at_least=one * (1 - 1e-12),
               cause=f"the items cannot make up the mass of {one:g}; one left out?")  # fmt: skip
    # unknowns: fraction f of the way from the least to the largest mass of every item
    whole = np.array([item.all_or_none for item in items], dtype=np.intp)
    loadings = [[_extreme(sign * arms, low, high, one, whole) for one in masses] for sign in (1.0, -1.0)]
    return CgRange(items=items, mass=masses, loading_forward=loadings[0], loading_aft=loadings[1])


def _extreme(arms: Array, low: Array, high: Array, mass: float, whole: NDArray[np.intp]) -> Array:
    """Loading (item,) [kg] of a mass with the least moment of the arms; items that are whole take a limit."""
    span = high - low
    total = LinearConstraint(span[None, :], mass - low.sum(), mass - low.sum())
    least, most = np.zeros(len(low)), np.ones(len(low))
    best = milp(arms * span, constraints=total, bounds=Bounds(least, most), integrality=whole,
                options={"mip_rel_gap": 0.0})  # fmt: skip
    if best.x is not None and whole.any():  # again with the whole numbers fixed, free of their tolerance
        least, most = (np.where(whole, np.rint(best.x), end) for end in (least, most))
        best = milp(arms * span, constraints=total, bounds=Bounds(least, most))
    if best.x is None:
        reject(f"cg_range: loadings of {mass:g} kg", "none", "at least one",
               "items of all or none do not add up to it")  # fmt: skip
    return low + best.x * span
