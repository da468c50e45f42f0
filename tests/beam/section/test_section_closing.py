"""Walls whose mid-lines miss their joints, each refused by name."""

from dataclasses import replace

import numpy as np
import pytest
from section_cases import metal

from beam.section import Contour, Section, solve

WALL = metal(2e-3)
GAPING = Contour(
    start=[[-0.02, 0.02], [0.02, 0.02], [0.02, -0.02], [-0.02, -0.02]],
    direction=[0.0, -np.pi / 2, np.pi, np.pi / 2], length=[0.03, 0.04, 0.04, 0.04], turn=np.zeros(4),
    ends=[[0, 1], [1, 2], [2, 3], [3, 0]],
)  # fmt: skip


def test_walls_that_do_not_close():
    with pytest.raises(ValueError, match=r"(?s)off its joint.*do not close"):
        Section(GAPING, [WALL] * 4)


def test_walls_of_a_batch_that_do_not_close():
    with pytest.raises(ValueError, match=r"(?s)of section \(0,\) .* off its joint.*do not close"):
        solve(replace(GAPING, start=[GAPING.start] * 3), [WALL.abd] * 4)
