"""Studies around the sizing of the Tarn: sensitivity, scatter of a million samples, and a search that may not win.

Run it: python tests/bench/bench_sizing_studies.py [small] [sensitivity] [scatter] [evolution]; all without a word.
"""

import resource
import sys
import time
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import numpy as np
from scipy.optimize import differential_evolution

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "examples"), str(ROOT / "tests" / "helpers")]

import small_strut  # noqa: E402
import tarn  # noqa: E402
from evolution import Books  # noqa: E402

import beam  # noqa: E402
from beam.loads import part23  # noqa: E402
from beam.sizing import InfeasibleSizing, Problem, Variation, scatter, size, usual_variations  # noqa: E402
from beam.sizing.sampled_struts import Row, SampledStruts  # noqa: E402
from beam.sizing.scatter import _drawn, _near, _sobol  # noqa: E402
from beam.sizing.sensitivity import assumptions  # noqa: E402

EXACT = 1000
TIMES = 20
"""How many times as long as the search the evolution may take."""


def tarn_problem():
    """The Tarn after one landing on its first strut."""
    static = beam.static_reactions(tarn.AIRPLANE)
    flexibility = tarn.FIRST_STRUT.flexibility(bracket=tarn.GEAR.link.shock_on_strut)
    envelope = beam.landing_envelope(
        tarn.AIRPLANE, tarn.GEAR, flexibility=flexibility, equipment=tarn.EQUIPMENT, workers=2
    )
    conditions = (*part23.LANDING_AND_ROLLING, *part23.HANDLING, part23.reserve_energy)
    cases = beam.ground_cases(tarn.AIRPLANE, envelope.landing, conditions=conditions)
    design = beam.design_cases(tarn.GEAR, cases, tarn.MOLD_LINE, static=static, airplane=tarn.AIRPLANE)
    labels = [str(one) for one in design.labels]
    return Problem(lattice=tarn.LATTICE, loads=design.loads, requirement=tarn.REQUIREMENT, cases=labels)


def study_small():
    """Every change of a small straight strut against a sizing from nothing, and the order of its two sides."""
    wet = small_strut.knocked("wet", 0.9)
    required = small_strut.REQUIREMENT
    services = [replace(one, factors=(wet,)) for one in required.services]
    problem = Problem(
        lattice=replace(small_strut.lattice(2, most=(4, 2, 1)), mold_line=small_strut.STRAIGHT),
        loads=small_strut.LOADS.times(0.56),
        requirement=replace(required, services=services),
        cases=small_strut.CASES,
    )
    base = size(problem)
    table = base.sensitivity(step=0.2)
    for one in assumptions(problem, base.margins, 0.2, {}):
        key, mass = (one.assumption, one.side), np.nan
        with suppress(InfeasibleSizing):
            mass = np.nan if one.problem is None else size(one.problem).mass
        assert np.isclose(table.loc[key, "mass"], mass, rtol=1e-12, equal_nan=True), key
    change = table["change_g"].dropna()
    side = change.index.get_level_values("side")
    assert (change[side == "relaxed"] <= 1e-6).all()
    assert (change[side == "tightened"] >= -1e-6).all()
    print(f"small strut: {len(table)} changes equal a sizing from nothing, none goes the wrong way")


def study_sensitivity(problem, sizing):
    """Time of all re-sizings, and the assumptions that move most."""
    start = time.perf_counter()
    table = sizing.sensitivity(workers=2, progress=print)
    print(table[["before", "after", "mass", "change_g", "margin"]].head(30).to_string())
    print(f"sensitivity: {len(table)} changes in {time.perf_counter() - start:.0f} s on two processes")


def study_scatter(problem, sizing):
    """Time of a million samples, and the surrogate against exact samples near the 1 % quantile."""
    means = tuple(
        Variation(quantity="load", deviation=0.05, mean=0.85) if one.quantity == "load" else one
        for one in usual_variations(problem, sizing.strut)
    )
    start = time.perf_counter()
    found = scatter(
        problem, sizing.strut, means, nominal=sizing.margins, samples=1 << 20, workers=2, progress=print
    )
    took = time.perf_counter() - start
    print(found.summary, found.importance.head(8).round(3).to_string(), sep="\n")
    print(found.rows.round(3).to_string())
    population = _sobol(len(means), (0, 0), 1 << 20)
    chosen = np.random.default_rng(7).choice(_near(found.margin, 0.01), EXACT)
    rows = [Row(*one) for one in found.rows[list(Row._fields)].itertuples(index=False)]
    drawn = _drawn(means, population[chosen].astype(float))
    judge = SampledStruts(problem, sizing.strut)
    least = judge.judge(
        rows, drawn, batch=found.rows["batch"].to_numpy(), pieces=np.zeros(0, dtype=int)
    ).least
    off = np.abs(found.margin[chosen] - (least.min(axis=1) - 1.0))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2
    print(
        f"scatter: {len(found.margin)} samples in {took:.1f} s (limit 30 s), {peak:.2f} GB; within "
        f"{np.quantile(off, 0.95):.4f} of {EXACT} exact samples near the 1 % quantile in 95 % (limit 0.005)"
    )


def study_evolution(problem, sizing, took):
    """Differential evolution over whole numbers, with 20 times as long."""
    books = Books(problem)
    until = time.perf_counter() + TIMES * took
    found = differential_evolution(
        books.cost,
        books.bounds,
        integrality=True,
        vectorized=True,
        updating="deferred",
        popsize=8,
        maxiter=100_000,
        tol=0.0,
        polish=False,
        seed=1,
        callback=lambda *_: time.perf_counter() > until,
    )
    mass, least = books.judged(found.x)
    print(
        f"evolution: {found.nfev} books, the best {mass:.4f} kg with margin {least:+.4f}; ours {sizing.mass:.4f} kg"
    )
    assert least < -1e-9 or mass >= sizing.mass * (1 - 1e-9)


def main(asked):
    if "small" in asked:
        study_small()
    if asked == ["small"]:
        return
    problem = tarn_problem()
    start = time.perf_counter()
    sizing = size(problem)
    took = time.perf_counter() - start
    print(f"the Tarn: {sizing.mass:.4f} kg, {len(problem.cases)} cases, sized in {took:.1f} s")
    if "sensitivity" in asked:
        study_sensitivity(problem, sizing)
    if "scatter" in asked:
        study_scatter(problem, sizing)
    if "evolution" in asked:
        study_evolution(problem, sizing, took)


if __name__ == "__main__":
    main(sys.argv[1:] or ["small", "sensitivity", "scatter", "evolution"])
