"""Ply books as whole numbers for a search that knows nothing of the theory: steps in count from bay to bay."""

import numpy as np

from beam.sizing.lattice import bay_masses
from beam.sizing.problem import broken_rule
from beam.sizing.search import Search

HEAVY = 100.0
"""Mass of a book that breaks a rule, and more by how far it does [kg]."""


class Books:
    """Books of a lattice as vectors: the counts of the root bay, then how many groups end at each station.

    The cost is the mass; a book that fails, or breaks a rule, costs more than every book that holds. What a bay has
    been judged to is kept, so that the search pays for each lay-up of a bay once, as ours does.
    """

    def __init__(self, problem):
        self.problem, lattice = problem, problem.lattice
        self.search = Search(lattice, problem.loads, problem.requirement, str)
        self.number = {tuple(one): i for i, one in enumerate(lattice.candidates.tolist())}
        self.mass = bay_masses(lattice, lattice.candidates)
        root = [(kind.least, kind.most) for kind in lattice.kinds]
        ends = [(0, min(lattice.most_ending, kind.most - kind.least)) for kind in lattice.kinds]
        self.bounds = root + ends * (lattice.bays - 1)
        self.known = {}

    def counts(self, x):
        """Counts (bay, kind) of a vector."""
        steps = np.rint(x).astype(int).reshape(self.problem.lattice.bays, -1)
        return np.concatenate([steps[:1], steps[:1] - np.cumsum(steps[1:], axis=0)])

    def cost(self, population):
        """Cost of vectors (variable, book)."""
        return np.array([self.cost_of(self.counts(x)) for x in np.atleast_2d(population.T)])

    def cost_of(self, counts):
        """Cost of one book."""
        lattice = self.problem.lattice
        least = np.array([kind.least for kind in lattice.kinds])
        if broken_rule(lattice, counts) is not None:
            return HEAVY + float(np.maximum(least - counts, 0).sum())
        chain = [self.number[tuple(one)] for one in counts.tolist()]
        mass = sum(self.mass[bay, one] for bay, one in enumerate(chain))
        short = sum(max(1.0 - self._reserve(bay, one), 0.0) for bay, one in enumerate(chain))
        return mass if short < 1e-9 else mass + 1.0 + 10.0 * short

    def _reserve(self, bay, candidate):
        if (bay, candidate) not in self.known:
            self.known[bay, candidate] = float(self.search.reserve(candidate, bay).min())
        return self.known[bay, candidate]

    def judged(self, x):
        """Mass and least margin of a vector by the margin table; of a book that breaks a rule inf."""
        counts = self.counts(x)
        if broken_rule(self.problem.lattice, counts) is not None:
            return np.inf, -np.inf
        strut = self.problem.strut(counts)
        table = self.problem.margins(strut)
        return strut.mass, float(table.loc[table["decides"], "margin"].min())
