"""Every book of a small lattice, judged bay by bay by the margin table: the second way for the search.

The forces of a strut clamped at the root follow from equilibrium, so a row of the margin table at a station depends on
the lay-up of its bay alone. One strut with the same lay-up in all bays therefore tells the margins of that lay-up in
every bay.
"""

from itertools import product

import numpy as np

from beam.sizing.lattice import wall_thickness
from beam.sizing.search import Search
from beam.strength.margins import margins
from beam.strut import Strut

LEFT_OUT = ("curved wall buckling", "corner opening")
"""Modes that the search leaves to the margin table."""


def lawful(lattice, book):
    """Whether counts (bay, kind) obey the rules for plies that start and end, one boundary and wall at a time."""
    if (book < lattice.limits[0]).any() or (book > lattice.limits[1]).any():
        return False
    for inboard, outboard, room in zip(book, book[1:], lattice.most_dropped, strict=False):
        for ending, kind in zip(inboard - outboard, lattice.kinds, strict=True):
            if abs(ending) > lattice.most_ending or (ending < 0 and kind.start is None and kind.end is None):
                return False
        for step in (np.maximum(inboard - outboard, 0), np.maximum(outboard - inboard, 0)):
            if wall_thickness(lattice, step).max() > room + 1e-15:
                return False
    return True


class Enumeration:
    """Lowest margin of every candidate in every bay, over all modes and over those that the search judges."""

    def __init__(self, lattice, loads, requirement):
        self.lattice, self.loads, self.requirement = lattice, loads, requirement
        self.stations = Search(lattice, loads, requirement, str).stations
        shape = (lattice.bays, len(lattice.candidates))
        self.margin, self.searched = np.full(shape, np.nan), np.full(shape, np.nan)
        for candidate, counts in enumerate(lattice.candidates):
            table = self.table(np.clip(counts, *lattice.limits))
            left = table.index.get_level_values("mode").isin(LEFT_OUT)
            station = table.index.get_level_values("station")
            for bay in np.flatnonzero((np.clip(counts, *lattice.limits) == counts).all(axis=1)).tolist():
                own = self.stations[bay]
                here = station.isin(own)
                self.margin[bay, candidate] = table["margin"][here].min()
                self.searched[bay, candidate] = table["margin"][here & ~left].min()

    def table(self, counts):
        """Margin table of a whole book at the stations of the search, the rows that decide."""
        strut = Strut(self.lattice.mold_line, self.lattice.book(counts))
        every = np.unique(np.concatenate(self.stations))
        table = margins(strut, self.loads, self.requirement, stations=every, whole_strut=False)
        return table[table["decides"]]

    def books(self):
        """Yield (mass, candidate of each bay, lowest margin, the same of what the search judges) of every book."""
        lattice, counts = self.lattice, self.lattice.candidates
        for chain in product(range(len(counts)), repeat=lattice.bays):
            book = counts[list(chain)]
            if lawful(lattice, book):
                mass = Strut(lattice.mold_line, lattice.book(book)).mass
                bays = np.arange(lattice.bays), list(chain)
                yield mass, chain, self.margin[bays].min(), self.searched[bays].min()

    def counts(self, chain):
        """Counts of a book, shape (bay, kind)."""
        return self.lattice.candidates[list(chain)]
