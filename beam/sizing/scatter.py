"""Scatter: the probability that a book fails where materials, thickness, angles, strengths and loads are random.

1. Rows of the margin table that may govern are found from the nominal table and from some exact samples.
2. Exact samples train a surrogate: the logarithm of the reserve of every row as a full quadratic of the variables.
3. Samples near the quantile asked for are judged exactly and join the training; others measure what error is left.
4. The surrogate judges all samples. Those near failure, within twice the largest error found, are judged exactly.
"""

import time
from collections.abc import Callable, Sequence
from functools import partial
from typing import Annotated, Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beam.sizing.parallel import finished_calls, one_pool
from beam.sizing.problem import STRENGTHS, Problem
from beam.sizing.sampled_struts import ELASTIC, Drawn, Judged, Row, SampledStruts
from beam.sizing.surrogate import (
    CHUNK,
    Surrogate,
    design_points,
    governing_share,
    least_margins,
    quadratic_terms,
    without_idle,
)
from beam.strut import Strut
from beam.strut.supports import support_sets
from materials.checks import Array, Frozen, Limits, Table, checked, reject
from materials.statistics.sampling import DEFAULT_SCATTER

BAND, MOST_ROWS = 0.35, 600
"""Rows with a nominal reserve up to 1 + BAND times the lowest may govern; at most so many, the lowest first."""
SCREENED, NEAR = 96, 0.06
"""Samples that choose the rows, and how near, relative, the reserve of a row comes to the lowest in one of them."""
SPREAD = 1.3
"""Training samples scatter by so much more than the variables do, to reach the tail."""
TAIL, CHECKED = 192, 128
"""Exact samples near the quantile that join the training, and that measure the error."""
AT_FAILURE = 64
"""Exact samples nearest to failure, in each of the two."""
WIDE = 48
"""Of these, samples in which the rows that were left out are judged too."""
FEW = 6
"""Samples that choose the rows that only the margin table judges."""
SOME = 1 << 16
"""Samples that find the tail and the pieces that matter."""
NONE = np.zeros(0, dtype=np.int64)
PARTS = 8
"""Into which exact samples are divided for workers."""

Quantity = Literal["E1", "E2", "G12", "thickness", "angle", "Xt", "Xc", "Yt", "Yc", "S", "Zt", "cap", "load"]


class Variation(Frozen, eq=True):
    """One quantity that scatters.

    Parameters
    ----------
    quantity : str
        "E1", "E2", "G12", "thickness", "angle", a strength "Xt", "Xc", "Yt", "Yc", "S", "Zt" with its failure strain,
        "cap" for all caps of fiber strain, or "load" for all loads together.
    lamina : str
        Name of the lamina; empty for caps and loads.
    deviation : float
        Coefficient of variation; of an angle the standard deviation [-], [deg].
    mean : float
        Mean over the value of the problem, as of a mean strength over its A-basis value; of an angle it has no
        effect [-].
    distribution : {"lognormal", "normal"}
        Of the factor on the value; an angle is always normal.

    Notes
    -----
    A quantity is the same for all plies of a lamina, as from one batch to the next: on the safe side, since errors of
    single plies cancel. A thinner ply has the same strength and modulus.

    Examples
    --------
    >>> Variation(quantity="load", deviation=0.05, mean=0.9).factor(np.array([0.0])).round(4)
    array([0.8989])
    """

    quantity: Quantity
    lamina: str | None = None
    deviation: Annotated[float, Limits("-", above=0.0, at_most=10.0)]
    mean: Annotated[float, Limits("-", at_least=0.1, at_most=10.0)] = 1.0
    distribution: Literal["lognormal", "normal"] = "lognormal"

    def __post_init__(self) -> None:
        super().__post_init__()
        alone = self.quantity in ("cap", "load")
        if alone == bool(self.lamina):
            limit = "not given" if alone else "the name of a lamina"
            reject(f"Variation of {self.quantity}: lamina", repr(self.lamina), limit)
        if self.quantity != "angle" and self.deviation > 0.5:
            reject(
                f"Variation of {self.quantity}: deviation [-]", self.deviation, "<= 0.5", "given in percent?"
            )

    @property
    def title(self) -> str:
        """Quantity and lamina."""
        return f"{self.quantity} of {self.lamina}" if self.lamina else self.quantity

    @checked
    def factor(self, u: Annotated[ArrayLike, Limits("-")]) -> Array:
        """Factor on the value, or the angle that is added [deg], of a standard normal variable.

        Parameters
        ----------
        u : array_like, shape (...)
            Standard normal variable [-].
        """
        u = np.asarray(u)
        if self.quantity == "angle":
            return np.asarray(self.deviation * u)
        if self.distribution == "normal":
            return np.asarray(np.maximum(self.mean * (1.0 + self.deviation * u), 0.05))
        log = np.log1p(self.deviation**2)
        return np.asarray(self.mean * np.exp(np.sqrt(log) * u - log / 2))


@checked
def usual_variations(problem: Problem, strut: Strut) -> tuple[Variation, ...]:
    """Variations to begin with where none were measured.

    Parameters
    ----------
    problem : Problem
        Says whether there are caps.
    strut : Strut
        Gives the laminae.

    Returns
    -------
    tuple of Variation
        Strengths by the default scatter of `materials`: 6 % along fibers, 10 % across and in shear. Moduli 3 %,
        thickness 2 %, angles 1 degree, loads 5 %: own choice, no source. Means are those of the problem: where its
        strengths are basis values, give their means.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> from beam.sizing import size
    >>> tube = Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)
    >>> len(usual_variations(tube, size(tube).strut))
    11
    """
    out = []
    for lamina in {ply.lamina.name: ply.lamina for ply in strut.ply_book.plies}.values():
        across = "fiber" if lamina.kind == "fabric" else "matrix"
        kinds = {"Xt": "fiber", "Xc": "fiber", "Yt": across, "Yc": across, "S": "shear"}
        of: dict[Any, float] = dict.fromkeys(ELASTIC, 0.03) | {"thickness": 0.02, "angle": 1.0}
        of |= {name: DEFAULT_SCATTER[kind] for name, kind in kinds.items()}
        out += [Variation(quantity=name, lamina=lamina.name, deviation=one) for name, one in of.items()]
    if any(check.caps is not None for check in problem.requirement.checks):
        out.append(Variation(quantity="cap", deviation=DEFAULT_SCATTER["fiber"]))
    return (*out, Variation(quantity="load", deviation=0.05))


class Scatter(Frozen):
    """What scatter does to one ply book.

    Parameters
    ----------
    probability : float
        That the least margin is below zero [-].
    bounds : tuple of float
        Confidence bounds on it, Clopper-Pearson [-].
    confidence : float
        Of the bounds [-].
    first_order : tuple of float
        The same by FORM: of the worst row alone, and the sum over all rows, between which the probability of their
        union lies to first order [-].
    importance : DataFrame
        By variable: share of the variance at the design point of the worst row [-], and the standard normal variable
        there.
    margin : ndarray, shape (sample,)
        Least margin of all samples, by the surrogate [-].
    rows : DataFrame
        Rows that may govern: case, station [m], wall, mode, nominal margin, share of the samples that they govern [-],
        first-order index, and whether the batch or the margin table judges them.
    error : tuple of float
        Difference of the surrogate from exact samples near the quantile: 95 % of them, and the largest [-].
    held : float
        Largest relative difference of the batch from the margin table in the rows tried, from holding what taper and
        bands add; rounding for a straight strut [-].
    missed : float
        By how much a row that was left out was lower than those kept, in exact samples of the tail [-].
    exact : int
        Number of exact samples [-].
    rechecked : int
        Of these, samples near failure that were judged exactly for the count [-].

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> from beam.sizing import size
    >>> tube = Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)
    >>> load = Variation(quantity="load", deviation=0.05)
    >>> found = scatter(tube, size(tube).strut, [load], samples=4096)
    >>> found.bounds[0] <= found.probability <= found.bounds[1]
    True
    """

    probability: float
    bounds: tuple[float, float]
    confidence: float
    first_order: tuple[float, float]
    importance: Table
    margin: Array
    rows: Table
    error: tuple[float, float]
    held: float
    missed: float
    exact: int
    rechecked: int

    @property
    def summary(self) -> str:
        """The result in a few lines."""
        q = np.quantile(self.margin, [0.001, 0.01, 0.5])
        return "\n".join(
            (
                f"probability of failure {self.probability:.3g}, {self.confidence:.0%} bounds "
                f"{self.bounds[0]:.3g} to {self.bounds[1]:.3g} ({len(self.margin)} samples)",
                f"first order: worst row {self.first_order[0]:.3g}, sum over rows {self.first_order[1]:.3g}",
                f"least margin: 0.1 % quantile {q[0]:+.4f}, 1 % {q[1]:+.4f}, median {q[2]:+.4f}",
                f"surrogate: error {self.error[0]:.4f} in 95 % of exact samples near the quantile, largest "
                f"{self.error[1]:.4f}; {self.exact} exact samples, {self.rechecked} near failure",
                f"batch: off the margin table by {self.held:.1g} of the reserve at most in the rows tried",
                f"rows: {len(self.rows)} kept; what was left out is lower by {self.missed:.4f} at most in the tail",
            )
        )


@checked
def scatter(
    problem: Problem,
    strut: Strut,
    variations: Sequence[Variation],
    *,
    nominal: Table | None = None,
    samples: Annotated[int, Limits("-", at_least=1000, at_most=100_000_000)] = 1 << 20,
    quantile: Annotated[float, Limits("-", above=0.0, below=0.5)] = 0.01,
    confidence: Annotated[float, Limits("-", above=0.5, below=1.0, cause="given in percent?")] = 0.95,
    most_rechecked: Annotated[int, Limits("-", at_least=0)] = 256,
    seed: Annotated[int, Limits("-", at_least=0)] = 0,
    workers: Any = None,
    progress: Callable[[str], None] | None = None,
) -> Scatter:
    """Probability that a strut fails where some quantities scatter.

    Parameters
    ----------
    problem : Problem
        Loads and requirement. The margin is that of the requirement, with its factors.
    strut : Strut
        The book judged, as of a `Sizing`.
    variations : sequence of Variation
        What scatters, each on its own; `usual_variations` to begin with.
    nominal : DataFrame, optional
        Margins of the strut in this problem, as `Sizing.margins`; found if not given.
    samples : int
        Number of quasi-random samples, scrambled Sobol points [-].
    quantile : float
        Where the surrogate is trained and its error measured [-].
    confidence : float
        Of the bounds [-].
    most_rechecked : int
        Most samples near failure that are judged exactly; where there are more, as many of them at random [-].
    seed : int
        Of the samples [-].
    workers : int, Executor or callable, optional
        Number of processes, an executor, or a function like ``map``, for the exact samples [-].
    progress : callable, optional
        Called with a line of text after every step.

    Returns
    -------
    Scatter
        With the error of the surrogate and what was judged exactly.

    Raises
    ------
    ValueError
        If a variation names no lamina of the strut, or two are the same.

    Notes
    -----
    Samples of a straight strut are judged exactly. With taper or bands, what these add to the wall loads is held as on
    the nominal book, times the load of the sample: an approximation. A ratio of a convex check then errs by no more
    than the change of the added loads would take alone. The batch is tried against `beam.margins` in some rows: the
    difference is `Scatter.held`, and modes off by more than 0.002 are left to `beam.margins`. Of thick
    corners the batch has the loads of cure, not the curved stacks, which may have less.

    With k of n samples failed the bounds at confidence 1 - a are the quantiles a/2 of Beta(k, n - k + 1) and 1 - a/2 of
    Beta(k + 1, n - k). They are those of independent samples; quasi-random samples spread more evenly. Where only
    some of the samples near failure are judged exactly, their share that failed has such bounds too.

    FORM: the least |u| = beta at which the reserve of a row is 1, its probability the normal integral beyond beta.

    References
    ----------
    C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404-413; A. M. Hasofer, N. C. Lind, J. Eng. Mech. Div. ASCE 100
    (1974) 111-121; both from memory.

    Examples
    --------
    >>> from small_tube import LATTICE, PULL, REQUIREMENT  # examples/small_tube.py
    >>> from beam.sizing import size
    >>> tube = Problem(lattice=LATTICE, loads=PULL, requirement=REQUIREMENT)
    >>> load = Variation(quantity="load", deviation=0.15, distribution="normal")
    >>> found = scatter(tube, size(tube).strut, [load], samples=4096)
    >>> reserve = 1 + found.rows["margin"].min()
    >>> from scipy.stats import norm
    >>> bool(abs(found.probability / norm.sf((reserve - 1) / 0.15) - 1) < 0.1)
    True
    """
    given = tuple(variations)
    _refuse(strut, given)
    if len(sets := support_sets("scatter: problem", problem.supports, len(problem.loads.force))) > 1:
        reject(
            "scatter: problem: supports", f"{len(sets)} sets", "one", "scatter the cases of each set apart"
        )
    if problem.deflected:
        reject("scatter: problem: deflected", True, "False", "samples are judged on the strut as built")
    table = problem.margins(strut) if nominal is None else nominal
    with one_pool(workers) as pool:
        return _scattered(
            problem,
            strut,
            given,
            table,
            samples=samples,
            quantile=quantile,
            confidence=confidence,
            most_rechecked=most_rechecked,
            seed=seed,
            workers=pool,
            progress=progress,
        )


def _scattered(
    problem: Problem,
    strut: Strut,
    given: tuple[Variation, ...],
    nominal: Table,
    *,
    samples: int,
    quantile: float,
    confidence: float,
    most_rechecked: int,
    seed: int,
    workers: Any,
    progress: Callable[[str], None] | None,
) -> Scatter:
    """The steps of `scatter`."""
    say, start = progress or (lambda _: None), time.perf_counter()
    judge = SampledStruts(problem, strut)
    rows, reserves = _candidates(nominal, problem, strut)
    stream = _Stream(given, seed)

    def exact(some: NDArray[np.int64], u: Array, pieces: NDArray[np.int64] | None = NONE) -> Judged:
        return _exact(judge, given, [rows[i] for i in some.tolist()], in_batch[some], pieces, u, workers)

    in_batch, held = judge.in_batch(rows, _drawn(given, stream.normal(2)))
    u = SPREAD * stream.normal(SCREENED)
    quick, slow = np.flatnonzero(in_batch), np.flatnonzero(~in_batch)
    least = np.full((SCREENED, len(rows)), np.inf)
    least[:, quick] = exact(quick, u).least
    least[:FEW, slow] = exact(slow, u[:FEW]).least
    kept = _leading(least)
    found = exact(kept, u, None)
    pieces = _leading(found.reserve)
    found = Judged(found.least, found.reserve[:, pieces], found.twist[:, pieces], found.row[pieces])
    say(f"{len(rows)} rows may govern; {len(kept)} do or nearly do in {SCREENED} exact samples")
    terms = quadratic_terms(np.zeros((1, len(given)))).shape[1]

    def learn(more: Array) -> Surrogate:
        nonlocal u, found
        u, found = np.concatenate([u, more]), _joined([found, exact(kept, more, pieces)])
        return Surrogate.fit(u, found)

    model = learn(SPREAD * stream.normal(max(2 * terms - len(u), 64)))
    say(f"surrogate of {len(pieces)} pieces, {terms} terms, from {len(u)} exact samples")
    population = stream.population(samples)
    early = population[: min(SOME, samples)]
    margin = least_margins(model, early)
    rng = np.random.default_rng(seed)

    def drawn_tail(count: int) -> Array:
        chosen = np.concatenate([rng.choice(_near(margin, quantile), count), _nearest(margin, rng)])
        return population[chosen].astype(float)

    model = learn(drawn_tail(TAIL))
    row, model = without_idle(model, found.row, early)
    margin = least_margins(model, population)
    say(f"{samples} samples judged by {len(row)} pieces, {time.perf_counter() - start:.0f} s so far")
    tail = drawn_tail(CHECKED)
    lowest = exact(kept, tail).least.min(axis=1)
    off = np.abs(least_margins(model, tail) - (lowest - 1.0))
    widely = np.r_[: WIDE // 2, -WIDE // 2 : 0]  # near the quantile, and near failure
    missed = float(
        (lowest[widely] - exact(quick, tail[widely]).least.min(axis=1, initial=np.inf)).max(initial=0.0)
    )
    error = float(np.quantile(off[:CHECKED], 0.95)), float(off[:CHECKED].max())
    say(f"error near the {quantile:.3g} quantile: {error[0]:.4f} in 95 %, {error[1]:.4f} at most")
    width = 2.0 * float(off.max())
    sure, band = margin < -width, np.flatnonzero(np.abs(margin) <= width)
    some = band if len(band) <= most_rechecked else rng.choice(band, most_rechecked, replace=False)
    failed = 0
    if len(some):
        failed = int((exact(kept, population[some].astype(float)).least.min(axis=1) < 1.0).sum())
    say(f"{len(some)} of {len(band)} samples within {width:.4f} of failure judged exactly: {failed} fail")
    probability, bounds = _probability(int(sure.sum()), len(band), failed, len(some), samples, confidence)
    beta, point, share = design_points(model, row, len(kept), len(given))
    import pandas as pd
    from scipy.stats import norm

    governs = governing_share(model, early, row, len(kept))
    return Scatter(
        probability=probability,
        bounds=bounds,
        confidence=confidence,
        first_order=(float(norm.sf(beta.min())), float(min(norm.sf(beta).sum(), 1.0))),
        importance=pd.DataFrame(
            {"share": share, "at": point}, index=pd.Index([one.title for one in given], name="variable")
        ).sort_values("share", ascending=False),
        margin=margin,
        rows=pd.DataFrame([rows[i] for i in kept]).assign(
            margin=reserves[kept] - 1.0, governs=governs, beta=beta, batch=in_batch[kept]
        ),
        error=error,
        held=held,
        missed=missed,
        exact=len(u) + len(tail) + len(some),
        rechecked=len(some),
    )


def _refuse(strut: Strut, variations: Sequence[Variation]) -> None:
    """Refuse variations of laminae that are not there, and the same twice."""
    titles = [one.title for one in variations]
    if twice := sorted({one for one in titles if titles.count(one) > 1}):
        reject("scatter: variations", twice, "each once")
    laminae = {ply.lamina.name: ply.lamina for ply in strut.ply_book.plies}
    for one in variations:
        if one.lamina and one.lamina not in laminae:
            reject(f"scatter: variations: {one.title}", repr(one.lamina), f"among {sorted(laminae)}")
        strength = STRENGTHS.get(one.quantity, ("Xt",))[0]
        if one.lamina and getattr(laminae[one.lamina].allowables, strength, None) is None:
            reject(f"scatter: variations: {one.title}", "a strength not given", "one that the lamina has")


def _candidates(table: Table, problem: Problem, strut: Strut) -> tuple[list[Row], Array]:
    """Rows of the nominal table that may govern, and their reserves."""
    deciding = table[table["decides"]]
    low = (
        deciding["reserve"]
        .groupby(level=["case", "station", "wall", "mode"], observed=True)
        .min()
        .sort_values()
    )
    low = low[low <= (1.0 + BAND) * low.iloc[0]].iloc[:MOST_ROWS]
    number = {label: i for i, label in enumerate(problem.cases or range(len(problem.loads.force)))}
    if unknown := set(low.index.get_level_values("case")) - set(number):
        reject("scatter: nominal: cases", sorted(map(str, unknown))[:3], "those of the problem")
    rows = [Row(number[case], float(s), str(wall), str(mode)) for case, s, wall, mode in low.index]
    # Both sides of a station where no ply ends are one section.
    first: dict[Any, int] = {}
    names, length = strut.mold_line.wall_names, strut.mold_line.length
    for i, row in enumerate(rows):
        laid_up = tuple(strut.ply_book.laminate(name, row.station) for name in names)
        first.setdefault((row.case, round(row.station / length, 6), row.wall, row.mode, laid_up), i)
    return [rows[i] for i in first.values()], low.to_numpy()[list(first.values())]


def _leading(reserves: Array) -> NDArray[np.int64]:
    """Columns of reserves (sample, column) that come near the lowest, without those that another never exceeds."""
    near = (reserves <= (1.0 + NEAR) * reserves.min(axis=1, keepdims=True)).any(axis=0)
    out: list[int] = []
    for one in np.argsort(reserves.sum(axis=0), kind="stable").tolist():
        if near[one] and not (reserves[:, out] <= reserves[:, [one]]).all(axis=0).any():
            out.append(one)
    return np.sort(np.array(out, dtype=np.int64))


class _Stream:
    """Standard normal quasi-random points: small sets of their own, and the population."""

    def __init__(self, variations: Sequence[Variation], seed: int) -> None:
        self.size, self.seed, self.sets = len(variations), seed, 0

    def normal(self, count: int) -> Array:
        """A new small set (count, variable)."""
        self.sets += 1
        return _sobol(self.size, (self.seed, self.sets), count).astype(float)

    def population(self, count: int) -> NDArray[np.float32]:
        """All samples (count, variable)."""
        return _sobol(self.size, (self.seed, 0), count)


def _sobol(size: int, seed: tuple[int, int], count: int) -> NDArray[np.float32]:
    """Normal quasi-random points (count, size), scrambled."""
    from scipy.special import ndtri
    from scipy.stats import qmc

    engine = qmc.Sobol(size, scramble=True, rng=np.random.default_rng(seed))
    out = np.empty((count, size), dtype=np.float32)
    for first in range(0, count, CHUNK):
        part = engine.random(min(CHUNK, 1 << (count - 1).bit_length()))
        own = out[first : first + CHUNK]
        own[:] = ndtri(np.clip(part[: len(own)], 1e-12, 1.0 - 1e-12))
    return out


def _drawn(variations: Sequence[Variation], u: Array) -> Drawn:
    """Values of quantities at points u (sample, variable)."""
    values: dict[tuple[str, str], Array] = {
        (one.quantity, one.lamina or ""): one.factor(u[:, i]) for i, one in enumerate(variations)
    }
    return Drawn(len(u), values)


def _exact(
    judge: SampledStruts,
    variations: Sequence[Variation],
    rows: Sequence[Row],
    batch: NDArray[np.bool_],
    pieces: NDArray[np.int64] | None,
    u: Array,
    workers: Any,
) -> Judged:
    """Exact reserves at points u (sample, variable), in parts where there are workers."""
    parts = [u] if workers is None else np.array_split(u, min(PARTS, len(u)))
    drawn = [_drawn(variations, part) for part in parts]
    call = partial(judge.judge, rows, batch=batch, pieces=pieces)
    found = finished_calls("scatter", call, drawn, workers)
    if len(found) < len(parts):
        raise KeyboardInterrupt
    return _joined([found[i] for i in range(len(parts))])


def _joined(parts: Sequence[Judged]) -> Judged:
    """Samples one after another."""
    least, reserves, twist = (np.concatenate([one[n] for one in parts]) for n in range(3))
    return Judged(least, reserves, twist, parts[0].row)


def _near(margin: Array, quantile: float) -> NDArray[np.int64]:
    """Samples between half and twice the quantile."""
    low, high = np.quantile(margin, [quantile / 2, quantile * 2])
    return np.flatnonzero((margin >= low) & (margin <= high))


def _nearest(margin: Array, rng: np.random.Generator) -> NDArray[np.int64]:
    """Some samples that are near failure, or nearest to it."""
    count = min(AT_FAILURE, len(margin))
    near = np.argpartition(np.abs(margin), min(8 * count, len(margin) - 1))[: 8 * count]
    return rng.choice(near, count)


def _probability(
    sure: int, band: int, failed: int, checked_: int, samples: int, confidence: float
) -> tuple[float, tuple[float, float]]:
    """Probability of failure and its bounds, of samples that surely fail and of those near failure."""
    all_checked = checked_ == band
    share = failed / checked_ if checked_ else 0.5 if band else 0.0
    # Two statements, each at half of what may go wrong, where a part of the band stands for all of it.
    level = confidence if all_checked else (1.0 + confidence) / 2
    low, high = (share, share) if all_checked else clopper_pearson(failed, checked_, level)
    bounds = [
        clopper_pearson(sure + band * one, samples, level)[side] for side, one in enumerate((low, high))
    ]
    return (sure + band * share) / samples, (bounds[0], bounds[1])


def clopper_pearson(failed: float, count: int, confidence: float) -> tuple[float, float]:
    """Bounds on a probability after some failures in a count of trials."""
    from scipy.stats import beta

    half = (1.0 - confidence) / 2
    low = beta.ppf(half, failed, count - failed + 1) if failed > 0 else 0.0
    high = beta.ppf(1.0 - half, failed + 1, count - failed) if failed < count else 1.0
    return float(low), float(high)
