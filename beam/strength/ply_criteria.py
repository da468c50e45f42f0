"""Ply criteria by name, so that margin and sizing call them alike."""

from collections.abc import Callable

from laminate import failure
from materials import Allowables
from materials.checks import Array, reject

CRITERIA: dict[str, Callable[..., Array]] = {criterion.__name__: criterion for criterion in failure.CRITERIA}
"""Every criterion of `laminate.failure` by its name."""

CONVEX = ("tsai_wu", "max_strain", "max_stress")
"""Criteria whose safe strains are always a convex set: for these the outermost surfaces of a material and angle
govern. Hoffman's are only where 4 Xt Xc > Yt Yc."""


def ply_ratio(
    name: str,
    load_stress: Array,
    load_strain: Array,
    allowables: Allowables,
    *,
    residual_stress: Array,
    residual_strain: Array,
    interaction: float,
) -> Array:
    """Strength ratio of one criterion, whether it asks for stress or strain.

    Parameters
    ----------
    name : str
        A name from `CRITERIA`.
    load_stress : ndarray, shape (..., 3)
        Ply stress that grows with load [Pa].
    load_strain : ndarray, shape (..., 3)
        Ply strain that grows with load [-].
    allowables : Allowables
        Of the ply, knockdowns applied.
    residual_stress : ndarray, shape (..., 3)
        Ply stress that does not grow [Pa].
    residual_strain : ndarray, shape (..., 3)
        Stress-producing ply strain that does not grow [-].
    interaction : float
        Tsai-Wu interaction, used by that criterion alone [-].

    Returns
    -------
    ndarray, shape (...)
        Strength ratio [-].

    Raises
    ------
    ValueError
        If the name is unknown.
    """
    if name not in CRITERIA:
        reject("criterion", repr(name), f"one of {tuple(CRITERIA)}")
    if name == "max_strain":
        return failure.max_strain(load_strain, allowables, residual=residual_strain)
    if name == "tsai_wu":
        return failure.tsai_wu(load_stress, allowables, residual=residual_stress, interaction=interaction)
    return CRITERIA[name](load_stress, allowables, residual=residual_stress)
