"""How many coupons a basis value needs, and what may be said of the scatter where there are few or none."""

from typing import Annotated, Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from materials.checks import Array, Limits, checked, reject
from materials.statistics.basis import tolerance_of
from materials.statistics.batches import levene
from materials.statistics.fit import FIT_LEAST, observed_significance
from materials.statistics.sample import BasisLetter, Batches, nonempty

SAMPLES: dict[BasisLetter, tuple[tuple[str, int, int], ...]] = {
    "B": (("reduced", 18, 3), ("robust", 30, 5)),
    "A": (("reduced", 55, 5), ("robust", 75, 10)),
}
"""Fewest coupons and batches of each sampling. CMH-17-1G section 8.2, from memory."""

DEFAULT_SCATTER = {"fiber": 0.06, "matrix": 0.10, "shear": 0.10}
"""Coefficient of variation where none was measured: 6 % fiber, 8 to 10 % matrix and shear, the upper end taken [-].
Common practice, from memory."""

FITS = 0.05
"""A distribution is kept, and scatters are called alike, if the level of the test exceeds this [-]."""


class Sampling(NamedTuple):
    """What a sample may be called, the result of `sampling`.

    Attributes
    ----------
    basis : {"A", "B", "estimate"}
        The basis asked for, or "estimate" if the sample is too small for it.
    said : str
        The same in words, with the numbers.
    """

    basis: Literal["A", "B", "estimate"]
    said: str


@checked
def sampling(
    coupons: Annotated[int, Limits("-", at_least=1)],
    batches: Annotated[int, Limits("-", at_least=1)],
    *,
    basis: BasisLetter,
) -> Sampling:
    """Tell whether a sample is large enough for an A- or B-basis value.

    Parameters
    ----------
    coupons : int
        Number of coupons [-].
    batches : int
        Number of batches that they come from [-].
    basis : {"A", "B"}
        Basis asked for.

    Returns
    -------
    Sampling
        The basis, or "estimate", and the reason in words.

    Raises
    ------
    ValueError
        If there are more batches than coupons.

    Notes
    -----
    B: 18 coupons in 3 batches (reduced), 30 in 5 (robust). A: 55 in 5 (reduced), 75 in 10 (robust). A value from
    fewer is computed all the same, and is an estimate.

    References
    ----------
    CMH-17-1G, section 8.2 (from memory).

    Examples
    --------
    >>> sampling(30, 5, basis="B")
    Sampling(basis='B', said='B-basis, robust sampling: 30 coupons in 5 batches')
    >>> sampling(30, 5, basis="A").said
    'estimate, not A-basis: 30 coupons in 5 batches, 55 in 5 needed'
    """
    if batches > coupons:
        reject("sampling: batches [-]", batches, f"<= coupons = {coupons}", "swapped?")
    size = f"{coupons} coupons in {batches} {'batch' if batches == 1 else 'batches'}"
    for name, least, groups in reversed(SAMPLES[basis]):
        if coupons >= least and batches >= groups:
            return Sampling(basis, f"{basis}-basis, {name} sampling: {size}")
    _, least, groups = SAMPLES[basis][0]
    return Sampling("estimate", f"estimate, not {basis}-basis: {size}, {least} in {groups} needed")


@checked
def modified_variation(
    variation: Annotated[ArrayLike, Limits("-", at_least=0.0, at_most=1.0, cause="given in percent?")],
) -> Array:
    """Modified coefficient of variation: the scatter to expect of later batches where a small sample shows little.

    Parameters
    ----------
    variation : array_like
        Measured coefficient of variation, s / mean [-].

    Returns
    -------
    ndarray
        The modified one, never below the measured one [-].

    Notes
    -----
    6 % where the measured one is below 4 %, half of it plus 4 % up to 8 %, else itself.

    References
    ----------
    CMH-17-1G, section 8.4.4 (from memory).

    Examples
    --------
    >>> modified_variation([0.02, 0.05, 0.09]).round(3)
    array([0.06 , 0.065, 0.09 ])
    """
    cv = np.asarray(variation)
    return np.asarray(np.maximum(np.maximum(0.5 * cv + 0.04, 0.06), cv))


def modified_batches(groups: list[Array]) -> list[Array] | None:
    """Batches (n,) spread to the modified scatter about their own means; None if none scatters within."""
    x = np.concatenate(groups)
    spread = []
    for one in groups:
        off = one - one.mean()
        s = one.std(ddof=1) if one.size > 1 else 0.0
        spread.append(off * (float(modified_variation(s / one.mean())) * one.mean() / s if s > 0 else 1.0))
    between = sum(one.size * (one.mean() - x.mean()) ** 2 for one in groups)
    total = (x.size - 1) * (float(modified_variation(x.std(ddof=1) / x.mean())) * x.mean()) ** 2
    within = sum((off**2).sum() for off in spread)
    if within <= 0:  # total is above between, since the modified scatter is never below the measured one
        return None
    scale = np.sqrt((total - between) / within)
    return [one.mean() + scale * off for one, off in zip(groups, spread, strict=True)]


@checked
def pooled_basis(environments: Batches, *, basis: BasisLetter = "B") -> Array:
    """Basis value in each of several environments, with the scatter of all of them together.

    Parameters
    ----------
    environments : sequence of array_like, shape (n,)
        Coupon values of one property in each environment, in one unit [any].
    basis : {"B", "A"}
        Kind of basis value.

    Returns
    -------
    ndarray, shape (environment,)
        Basis values, in the unit of the coupons [any].

    Raises
    ------
    ValueError
        If the environments scatter differently relative to their means (Levene), no environment has the three coupons
        by which that is judged, or the pooled ratios are not normal: then each environment stands alone.

    Notes
    -----
    With the ratios x / mean of each environment, N in all over r environments, s^2 = sum (x / mean - 1)^2 / (N - r).
    The basis value is mean (1 - k s), k sqrt(n) being the 95 % quantile of the noncentral t distribution with N - r
    degrees of freedom and noncentrality z_p sqrt(n). One environment gives the normal basis value.

    References
    ----------
    CMH-17-1G, section 8.3.5 (from memory).

    Examples
    --------
    >>> dry, wet = [100.0, 104.0, 97.0, 101.0, 98.0, 103.0], [70.0, 72.0, 69.0, 73.0, 68.0, 71.0]
    >>> pooled_basis([dry, wet]).round(1)
    array([93.9, 65.9])
    """
    groups = nonempty(environments)
    mean = np.array([one.mean() for one in groups])
    if (mean <= 0).any():
        reject("pooled_basis: environments [any]", f"mean {mean.min():g}", "> 0", "strengths are magnitudes")
    ratios = [one / m for one, m in zip(groups, mean, strict=True)]
    what, alone = "pooled_basis: environments", "take each environment by itself with basis_from_coupons"
    if (p := levene(ratios)) <= FITS:
        reject(what, f"Levene {p:.3g}", f"> {FITS:g}, scatter alike", alone)
    pooled = np.concatenate(ratios)
    if pooled.size >= FIT_LEAST and (p := float(observed_significance(pooled, "normal"))) <= FITS:
        reject(what, f"observed significance of the normal fit {p:.3g}", f"> {FITS:g}", alone)
    freedom = pooled.size - len(groups)
    s = np.sqrt(sum(((one - 1.0) ** 2).sum() for one in ratios) / freedom)
    sizes = np.array([one.size for one in groups], dtype=float)
    return np.asarray(mean * (1.0 - tolerance_of(sizes, freedom, basis=basis) * s))
