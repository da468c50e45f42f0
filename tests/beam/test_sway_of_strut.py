"""Spring-back with the stiffness of the strut itself: from the section to the forward drag on the wheel."""

from dataclasses import replace

import numpy as np
import pytest
import tarn

from beam.axes import into
from beam.gear import StrutSway, drop
from beam.strut import PointLoads, Strut, point_stiffness

BOOK = tarn.LATTICE.book([[kind.most for kind in tarn.LATTICE.kinds]] * tarn.BAYS)
SPAN = Strut(tarn.MOLD_LINE, BOOK).span
AFT = into(tarn.MOLD_LINE.frame, [1.0, 0.0, 0.0])
STIFFNESS = float(point_stiffness(SPAN, tarn.MOLD_LINE.length, [AFT])[0])
LANDING = {"mass": 590.0, "speed": 2.7, "lift_ratio": 2 / 3, "ground_speed": 34.8}


def test_stiffness_is_a_drag_over_the_motion_of_the_tip_with_it():
    drag = 2500.0
    loads = PointLoads(at=[tarn.MOLD_LINE.length], force=[drag * AFT], moment=[[0.0, 0.0, 0.0]])
    moved = SPAN.displacement(loads, [tarn.MOLD_LINE.length])[0, :3] @ AFT
    assert pytest.approx(drag / moved, rel=1e-9) == STIFFNESS


def test_the_strut_springs_back_and_a_softer_one_otherwise():
    """Without flexibility there is none to speak of; four times softer, the sway takes about twice as long."""
    sway = StrutSway(stiffness=STIFFNESS, mass=1.5)
    stiff = drop(tarn.GEAR, **LANDING, sway=sway, rtol=1e-6)
    soft = drop(tarn.GEAR, **LANDING, sway=replace(sway, stiffness=STIFFNESS / 4), rtol=1e-6)
    rigid = drop(tarn.GEAR, **LANDING, rtol=1e-6)
    assert stiff.spring_back.drag < min(10 * rigid.spring_back.drag, -500.0)
    assert soft.spring_back.time > stiff.spring_back.time
    assert np.isfinite(soft.load_factor)
