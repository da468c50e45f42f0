"""The tube of the docstrings in one bay without taper: nothing is held, so that sizing it is quick and exact."""

from dataclasses import replace

from small_tube import LATTICE, PULL, REQUIREMENT

from beam.sizing import Problem

LINE = replace(LATTICE.mold_line, width=[0.1] * 2, height=[0.08] * 2, corner_radius=[0.02] * 2)
TUBE = Problem(
    lattice=replace(LATTICE, mold_line=LINE, stations=[0.0, 0.4]), loads=PULL, requirement=REQUIREMENT
)
