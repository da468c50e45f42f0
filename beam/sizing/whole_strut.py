"""Limits of the whole strut as sums over the bays, which no chain that keeps the limit can pass.

Every limit that a strut has failed becomes a cut on all chains of the lattice.

* Motion of the tip. With F the section forces of a case and f those of a unit load at the tip along the failing
  direction, both in equilibrium on the supports, the motion is the sum over the bays of the integral of f C F, and of
  what elastic supports give. It is exact, and linear in the compliance C of each bay.
* Column and lowest frequency. By Rayleigh the motion of the failing strut in its own mode is a trial motion for every
  other: a strut holds only if in this motion too its energy, the sum over the bays of the integral of e K e, is as
  large as the work of the forces, or as omega^2 times that of u M u.

So a cut never excludes a strut that keeps the limit, where F does not depend on the plies: on determinate supports.
On redundant supports F is that of the strut that failed: the cut holds at that strut and near it, not strictly.
C, K and M are those of `beam.Strut`, at the same kind of points along the span.
"""

from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.polynomial.legendre import leggauss, legvander
from numpy.typing import NDArray

from beam.section import solve
from beam.section.centers import inertia
from beam.section.outline import rounded_box
from beam.section.taper import tapered
from beam.sizing.chain import Chains
from beam.sizing.cut_chain import Chain, Cuts, LightestUnder, lightest_under
from beam.sizing.feasibility import Feasibility
from beam.sizing.lattice import Lattice, wall_thickness
from beam.strength.global_modes import global_ratios, stiffness_ratios, tip_limits
from beam.strength.requirement import COLUMN, FREQUENCY, Requirement, case_factors
from beam.strength.section_forces import InService, free_strains, in_service
from beam.strut import PlyBook, PointLoads, Strut
from beam.strut.axis import distinct
from beam.strut.solver import buckling, vibration
from beam.strut.solver.field import SAMPLES, sample_points, slopes
from beam.strut.solver.line import Trial
from laminate.plate import inverse
from materials.checks import Array

ROWS = 384
"""Sections solved at a time."""
WINDOWS = (0.004, 0.02, 0.08, 0.3, np.inf)
"""How far above the lightest chain lay-ups are looked at, relative to its mass [-]; more only if nothing is found."""
TIGHTENED = 1e-6
"""Most by which a cut is drawn in where rounding lets the failing strut itself pass it, relative to its limit [-]."""
ROUNDING = 1e-9


class Samples(NamedTuple):
    """Where one bay is looked at: ends of its pieces (piece + 1,), points and weights (piece x 8,) [m]."""

    ends: Array
    at: Array
    weight: Array


class Weights(NamedTuple):
    """One cut before it meets a lay-up: weights (sample, 6, 6) of C, K and M in each bay, and the limit on the sum."""

    part: int
    C: list[Array] | None
    K: list[Array] | None
    M: list[Array] | None
    limit: float
    what: str


class Failing(NamedTuple):
    """What a strut fails as a whole: mode, index of the case, reserve, and what makes a cut of it."""

    mode: str
    case: int
    reserve: float
    service: InService
    loads: PointLoads


class WholeStrut:
    """Judge of chains as whole struts, with the cuts found; it lives for one call of `lightest`."""

    def __init__(self, feasibility: Feasibility, mass: Array, chains: Chains, steps: Array) -> None:
        self.lattice: Lattice = feasibility.lattice
        self.requirement: Requirement = feasibility.requirement
        self._feasibility, self._mass, self.chains = feasibility, mass, chains
        self.samples = [self._sampled(bay, steps) for bay in range(self.lattice.bays)]
        self.weights: list[Weights] = []
        self._values: list[Array] = []
        self._limits: list[float] = []
        self._found: dict[tuple[int, int], _Properties] = {}
        self._holding: list[PlyBook] = []

    def _sampled(self, bay: int, steps: Array) -> Samples:
        start, end = self.lattice.stations[bay : bay + 2]
        inside = np.concatenate([self.lattice.mold_line.stations, steps])
        inside = inside[(inside > start) & (inside < end)]
        ends = distinct(np.concatenate([[start, end], inside]), self.lattice.mold_line.length)
        weight = np.diff(ends)[:, None] / 2 * leggauss(SAMPLES)[1]
        return Samples(ends, sample_points(ends).ravel(), weight.ravel())

    def lightest(self, mass: Array) -> LightestUnder:
        """The lightest chain by mass (bay, candidate), inf where excluded, that meets the cuts found."""
        with np.errstate(invalid="ignore"):
            through = self.chains.inboard(mass) + self.chains.outboard(mass) - mass
        least = float(np.nanmin(np.where(np.isfinite(through), through, np.inf)))
        if not np.isfinite(least):
            return LightestUnder(np.inf, np.inf, None)
        if not self.weights:
            return LightestUnder(least, least, self.chains.follow(self.chains.outboard(mass)))
        for excess in WINDOWS:
            most = least * (1 + excess)
            near = np.where(np.isfinite(through) & (through <= most), mass, np.inf)
            self._fill(np.isfinite(near))
            cuts = Cuts(np.array(self._values), np.array(self._limits))
            found = lightest_under(self.chains, near, cuts, at_most=most)
            if np.isfinite(found.bound):
                return found
        return found

    def impossible(self, mass: Array) -> tuple[str, Chain | None]:
        """Which limit no chain by mass (bay, candidate) meets, with the chain nearest to it; or all together."""
        able = np.isfinite(mass)
        self._fill(able)
        for value, limit, one in zip(self._values, self._limits, self.weights, strict=True):
            to_tip = self.chains.outboard(np.where(able, value, np.inf))
            if to_tip[0].min() > limit:
                return one.what, self.chains.follow(to_tip)
        return "; ".join(dict.fromkeys(one.what for one in self.weights)), None

    def strict(self) -> "WholeStrut":
        """The same with the cuts alone that hold whatever the section forces are."""
        steps = np.concatenate([one.ends for one in self.samples])
        out = WholeStrut(self._feasibility, self._mass, self.chains, steps)
        for value, limit, one in zip(self._values, self._limits, self.weights, strict=True):
            if one.what == FREQUENCY:
                out.weights.append(one)
                out._values.append(value)
                out._limits.append(limit)
        return out

    def failing(self, struts: list[tuple[Strut, PointLoads, NDArray[np.intp]]]) -> list[Failing]:
        """The worst case of each mode that a strut fails, on each set: (strut, its cases, their numbers)."""
        out: list[Failing] = []
        book = struts[0][0].ply_book
        if book in self._holding:
            return out
        for stiffness in (True, False):
            for strut, loads, rows in struts:
                for service in in_service(strut, self.requirement):
                    laid_up, states = service.strut, service.states
                    ratios = (
                        stiffness_ratios(laid_up, loads, self.requirement)
                        if stiffness
                        else global_ratios(laid_up, loads, self.requirement, states=states)
                    )
                    for mode, (ratio, factor) in ratios.items():
                        spare = np.where(factor > 0.0, ratio / np.where(factor > 0.0, factor, 1.0), np.inf)
                        worst = int(spare.argmin())
                        if spare[worst] < 1 - ROUNDING:
                            lowest = float(spare[worst])
                            out.append(Failing(mode, int(rows[worst]), lowest, service, loads.take([worst])))
            if out:
                return out
        self._holding.append(book)
        return out

    def cut(self, failing: Failing, chain: Chain, label: str) -> None:
        """Add the cut of a failing strut, which its own chain does not meet."""
        make = {COLUMN: self._column, FREQUENCY: self._frequency}.get(failing.mode, self._motion)
        weights = make(failing)
        weights = weights._replace(
            what=f"{failing.mode} in case {label}" if failing.mode != FREQUENCY else failing.mode
        )
        self._add(weights)
        own = np.zeros(self._mass.shape, dtype=bool)
        own[np.arange(len(chain)), chain] = True
        self._fill(own)
        total = float(self._values[-1][own].sum())
        if total <= weights.limit:
            # Rounding, or the step from one fit of the stiffness along the span to another.
            if weights.limit - total > TIGHTENED:
                raise RuntimeError(
                    f"lightest: {weights.what}: the book fails by {1 - failing.reserve:.3g} of its reserve, but its "
                    f"cut is met by {weights.limit - total:.3g}: they disagree, do not use the result"
                )
            self._limits[-1] = total - 1e-12

    def tighten(
        self,
        struts: list[tuple[Strut, PointLoads, NDArray[np.intp]]],
        mode: str,
        case: int,
        growth: float,
        label: str,
    ) -> None:
        """Add the cut of a motion of the tip that passes its limit where it grows by a factor as the strut deflects."""
        strut, loads, rows = next(one for one in struts if case in one[2])
        own = loads.take(np.flatnonzero(rows == case))
        found = [
            Failing(
                mode, case, float(stiffness_ratios(one.strut, own, self.requirement)[mode][0][0]), one, own
            )
            for one in in_service(strut, self.requirement)
        ]
        weights = self._motion(min(found, key=lambda one: one.reserve))
        what = f"{mode} in case {label}, on the deflected strut"
        self._add(weights._replace(limit=weights.limit - 1.0 + 1.0 / growth, what=what))

    def _add(self, weights: Weights) -> None:
        self.weights.append(weights)
        self._values.append(np.full(self._mass.shape, np.nan))
        self._limits.append(weights.limit)

    def _motion(self, one: Failing) -> Weights:
        """Cut by the motion of the tip along the direction in which it fails; values in units of the limit."""
        span, length = one.service.strut.span, self.lattice.mold_line.length
        forms, limit = tip_limits(self.requirement)[one.mode]
        moved = forms @ span.displacement(one.loads, at=[length])[0, 0]
        along = moved @ forms / np.linalg.norm(moved)
        unit = PointLoads(at=[length], force=along[None, None, :3], moment=along[None, None, 3:])
        C = []
        for sample in self.samples:
            F, f = (span.forces(loads, at=sample.at)[0] for loads in (one.loads, unit))
            both = (sample.weight[:, None, None] / limit) * (f[:, :, None] * F[:, None, :])
            C.append((both + np.swapaxes(both, -1, -2)) / 2)
        R, r = (span.reactions(loads)[0] for loads in (one.loads, unit))
        springs = float((span.held.flexibility * R * r).sum()) / limit
        return Weights(self._part(one), C, None, None, 1.0 - springs, one.mode)

    def _column(self, one: Failing) -> Weights:
        """Cut by the energy in the buckling mode at the load that the column must bear; values in units of its work."""
        span = one.service.strut.span
        factor = float(case_factors(self.requirement, one.loads)["ultimate"][0])
        # The forces of free strain count in the service where they leave the least.
        _, states, strut = one.service
        trials = [
            buckling.mode(span.axis, span.stiffness, span.held, one.loads, factor, strain, self.ends)
            for strain in dict.fromkeys(free_strains(strut, self.requirement, states))
        ]
        trial = max(trials, key=lambda t: t.work)
        K = self._energy(trial, trial.motion.strain, -1.0 / trial.work)
        return Weights(self._part(one), None, K, None, -1.0 + trial.springs / trial.work, one.mode)

    def _frequency(self, one: Failing) -> Weights:
        """Cut by the energy in the lowest mode less that of its inertia at the frequency asked for."""
        span = one.service.strut.span
        trial = vibration.lowest(
            span.axis, span.stiffness, span.inertia, span.held, self.requirement.carried, self.ends
        )
        assert self.requirement.frequency_limit is not None
        omega2 = (2 * np.pi * self.requirement.frequency_limit) ** 2
        K = self._energy(trial, trial.motion.strain, -1.0)
        M = self._energy(trial, trial.motion.points, omega2)
        return Weights(self._part(one), None, K, M, trial.springs - omega2 * trial.work, one.mode)

    def _energy(self, trial: Trial, moved: Array, factor: float) -> list[Array]:
        """Weights (sample, 6, 6) in each bay of the integral of v X v, v (piece, point, 6), times a factor."""
        s, w = trial.line.points.ravel(), trial.line.weights.ravel()
        v = moved.reshape(-1, 6)
        G = factor * w[:, None, None] * v[:, :, None] * v[:, None, :]
        out = []
        for sample in self.samples:
            weights = np.zeros((len(sample.at), 6, 6))
            for piece, (start, end) in enumerate(zip(sample.ends[:-1], sample.ends[1:], strict=True)):
                own = np.flatnonzero((s > start) & (s < end))
                x = (2 * s[own] - start - end) / (end - start)
                # A property is the polynomial through its values at the samples.
                onto = legvander(x, SAMPLES - 1) @ np.linalg.inv(legvander(leggauss(SAMPLES)[0], SAMPLES - 1))
                weights[piece * SAMPLES : (piece + 1) * SAMPLES] = np.einsum("ps,pij->sij", onto, G[own])
            out.append(weights)
        return out

    def _part(self, one: Failing) -> int:
        """Number of the stiffness in which a strut fails."""
        first = one.service.indices[0]
        return next(i for i, (indices, _) in enumerate(self._feasibility._parts) if first in indices)

    @cached_property
    def ends(self) -> Array:
        """Ends of the pieces of all bays [m]."""
        return np.unique(np.concatenate([one.ends for one in self.samples]))

    def _fill(self, wanted: NDArray[np.bool_]) -> None:
        """Find the values of every cut for lay-ups (bay, candidate)."""
        for bay, row in enumerate(wanted):
            for value, weights in zip(self._values, self.weights, strict=True):
                new = np.flatnonzero(row & np.isnan(value[bay]))
                if new.size:
                    value[bay, new] = self._properties(weights.part, bay).value(new, weights)

    def _properties(self, part: int, bay: int) -> "_Properties":
        if (part, bay) not in self._found:
            self._found[part, bay] = _Properties(self, part, bay)
        return self._found[part, bay]


class _Properties:
    """Compliance, stiffness and inertia of lay-ups at the samples of one bay, found as they are asked for."""

    def __init__(self, of: WholeStrut, part: int, bay: int) -> None:
        self._judge = of._feasibility._parts[part][1]
        self._sample, self._bay = of.samples[bay], bay
        self._row = np.full(len(of._mass[bay]), -1)
        self._C = np.empty((0, 1, 6, 6))
        self._M = np.empty((0, 1, 6, 6))
        ends = self._judge.lattice.mold_line.at(self._sample.ends)
        self._prismatic = all(float(np.ptp(one)) == 0.0 for one in ends)

    def value(self, candidates: NDArray[np.int64], weights: Weights) -> Array:
        """Values (candidate,) of some lay-ups by one cut."""
        new = candidates[self._row[candidates] < 0]
        size = max(1, ROWS // len(self._sample.at))
        for first in range(0, len(new), size):
            some = new[first : first + size]
            C, M = self._solve(some)
            self._row[some] = len(self._C) + np.arange(len(some))
            self._C = np.concatenate([self._C.reshape(-1, *C.shape[1:]), C])
            self._M = np.concatenate([self._M.reshape(-1, *M.shape[1:]), M])
        rows, out = self._row[candidates], np.zeros(len(candidates))
        for every, values in ((weights.C, self._C), (weights.K, None), (weights.M, self._M)):
            if every is not None:
                X = inverse(self._C[rows]) if values is None else values[rows]
                G = every[self._bay]
                G = G.sum(axis=0, keepdims=True) if self._prismatic else G
                out += np.einsum("csij,sij->c", X, G, optimize=True)
        return out

    def _solve(self, candidates: NDArray[np.int64]) -> tuple[Array, Array]:
        """Compliance and inertia (candidate, sample, 6, 6) of some lay-ups; one sample where the bay has no taper."""
        lattice, sample = self._judge.lattice, self._sample
        at = sample.at[:1] if self._prismatic else sample.at
        count, profile = len(candidates), lattice.mold_line.at(at)
        counts = lattice.candidates[candidates]
        thickness = np.tile(wall_thickness(lattice, counts), (len(at), 1))
        density = np.array([[kind.lamina.density] for kind in lattice.kinds])
        areal = np.tile(counts @ (lattice.group_thickness * density), (len(at), 1))
        width, height, radius = (np.repeat(one, count) for one in profile)
        contour = rounded_box(width, height, radius, thickness)
        abd = np.empty((*thickness.shape, 6, 6))
        for stack in self._judge.stacks:
            abd[:, stack.walls] = np.tile(stack.abd[stack.of_candidate[candidates], None], (len(at), 1, 1, 1))
        solved = solve(contour, abd)
        if self._prismatic:
            C = solved.compliance
        else:

            def along(v: Array) -> Array:
                return slopes(sample.ends, v.reshape(len(at), -1)).reshape(v.shape)

            C = tapered(solved, abd, along).compliance
        M = inertia(contour, areal, thickness)
        return tuple(np.swapaxes(one.reshape(len(at), count, 6, 6), 0, 1) for one in (C, M))  # type: ignore[return-value]
